//! What a cook may ask for and may give up.

/// A demand of a problem, by its indexes. What follows from how food is cooked
/// (least lags, minutes, what has happened) is no demand: it is always kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Demand {
    /// The task starts no earlier than its `earliest` (a pin, or goods that come later).
    Earliest {
        /// Index of the task.
        task: usize,
    },
    /// The task starts no later than its `latest` (a pin, or a wish).
    Latest {
        /// Index of the task.
        task: usize,
    },
    /// The task ends by the end of the problem.
    End {
        /// Index of the task.
        task: usize,
    },
    /// The most minutes of a lag.
    Most {
        /// Index of the lag.
        lag: usize,
    },
    /// The most minutes of a hold.
    HoldMost {
        /// Index of the dish.
        dish: usize,
        /// Index of its hold.
        hold: usize,
    },
    /// A limit of a hold, or of serving straight (no hold).
    Limit {
        /// Index of the dish.
        dish: usize,
        /// Index of its hold.
        hold: Option<usize>,
        /// Index among the limits there.
        limit: usize,
    },
    /// A dish is ready when it is due (only asked by [`super::met`]).
    Due {
        /// Index of the dish.
        dish: usize,
    },
    /// There is no more of a resource than there is.
    Capacity {
        /// Index of the resource.
        resource: usize,
    },
    /// A resource is not used in its closed minutes (a cook's hours).
    Open {
        /// Index of the resource.
        resource: usize,
    },
}
