//! Why there is no plan.

use crate::plan::prove::Demand;

/// What cannot go together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clash {
    /// What kind of clash it is, with indices into the problem.
    pub kind: ClashKind,
    /// It is certain that there is no plan. If not, none was found.
    pub proven: bool,
}

/// The kinds of clash.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ClashKind {
    /// The problem itself is broken: an index that names nothing.
    Broken(String),
    /// A step that can be done in no way at all.
    NoMode {
        /// Index of the step.
        step: usize,
    },
    /// Lags that ask each other for more and more minutes.
    Circle {
        /// The lags, by index.
        lags: Vec<usize>,
    },
    /// Lags, limits, due minutes and windows leave a task no minute to start.
    Window {
        /// Index of the task.
        task: usize,
        /// Lags that matter, by index; leave one out and it has a minute.
        lags: Vec<usize>,
        /// Tasks whose own window or fixed place matters.
        tasks: Vec<usize>,
    },
    /// No resource, cook or oven ever has room for a task long enough.
    NoRoom {
        /// Index of the task.
        task: usize,
        /// Resources each of which, if there were plenty of it, would make room.
        resources: Vec<usize>,
        /// Ovens each of which, if it could be hot at once, would make room.
        ovens: Vec<usize>,
    },
    /// A dish cannot be placed even if nothing else is done.
    Dish {
        /// Index of the dish.
        dish: usize,
        /// Resources each of which, if there were plenty of it, would help.
        resources: Vec<usize>,
        /// Lags each of which, if it were void, would help.
        lags: Vec<usize>,
    },
    /// More work than there are hands, in whatever order.
    Hands {
        /// The cooks, of whom each step that is counted needs one.
        cooks: Vec<usize>,
        /// Minutes of work at the least, of one pair of hands.
        asked: i32,
        /// Minutes for which they are there, all of them together.
        there: i32,
        /// The dishes that ask for most of it, most first, three at the most.
        dishes: Vec<usize>,
    },
    /// Demands that cannot all be met: with any one of them less the others
    /// can, as far as that was settled. Empty if nothing more is known.
    Demands {
        /// Which.
        demands: Vec<Demand>,
    },
    /// A dish for which no place was found beside the others.
    Crowded {
        /// Index of the dish, if the step belongs to one.
        dish: Option<usize>,
        /// Index of the step at which the search got stuck.
        step: usize,
        /// Resources that were short there.
        resources: Vec<usize>,
    },
}

impl Clash {
    /// A certain clash.
    #[must_use]
    pub const fn new(kind: ClashKind) -> Self {
        Self { kind, proven: true }
    }

    /// A clash that the search ran into, without a proof.
    #[must_use]
    pub const fn likely(kind: ClashKind) -> Self {
        Self { kind, proven: false }
    }
}
