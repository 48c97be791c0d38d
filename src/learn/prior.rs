//! How wide everything is held to be before any evening was seen. Logarithms of
//! ratios of minutes: 0.1 is about a tenth. All are our own assumptions, no
//! source; `tests/own_times.rs` plays cooks whose habits are narrower and wider
//! than this and looks at how often the minutes lie between low and high.

use crate::kitchen::Minutes;

/// Standard deviation between ovens, hobs and fryers.
pub const STATION: f64 = 0.10;
/// Standard deviation between cooks, in what they do by hand.
pub const COOK: f64 = 0.15;
/// Standard deviation of one evening with all that is shared there.
pub const EVENING: f64 = 0.06;
/// Shares of a step's own spread that are usual with this cook, and chance.
const USUAL: f64 = 0.7;
const CHANCE: f64 = 0.6;
/// Least standard deviations, for recipes that know no "about".
const USUAL_LEAST: f64 = 0.08;
const CHANCE_LEAST: f64 = 0.06;
/// Minutes that a mark may be off: they are whole, and a hand must be dried.
pub const MARK_MINUTES: f64 = 0.5;
/// Degrees of freedom of the chance of the one time.
pub const TAILS: f64 = 4.0;
/// The chance of the one time is believed as if it had been seen so often.
pub const CHANCE_SEEN: f64 = 4.0;
/// The cook's scatter is believed to be as the recipes have it as if that had been seen
/// so often.
pub const SCATTER_SEEN: f64 = 12.0;
/// So many figures of all steps say as much of a step's spread as one of its own.
pub const ALL_FOR_ONE: f64 = 25.0;
/// So many times seen, and a step's own spread counts as much as the recipe's.
pub const HALF_BELIEVED: f64 = 1.5;
/// One evening in ten lies beyond so many standard deviations: the normal
/// distribution's quantile of 0.9 (standard tables).
pub const TENTH: f64 = 1.281_551_565_544_600_4;
/// The same of Student's t with [`TAILS`] degrees of freedom (standard tables), in units
/// of its scale.
pub const TAIL_TENTH: f64 = 1.533_206_273_758_1;
/// No estimate makes a step shorter than this share of the recipe's minutes …
pub const LEAST_RATIO: f64 = 0.5;
/// … or longer than so many times.
pub const MOST_RATIO: f64 = 3.0;

/// What a recipe's three figures say of the widths of a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Width {
    /// From low to likely, in standard deviations of the logarithm.
    pub below: f64,
    /// From likely to high.
    pub above: f64,
    /// Standard deviation of what is usual of the step with this cook.
    pub usual: f64,
    /// Standard deviation of the chance of the one time.
    pub chance: f64,
}

impl Width {
    /// The widths of a recipe's minutes.
    #[must_use]
    pub fn of(written: Minutes) -> Self {
        let log = |n: u32| f64::from(n.max(1)).ln();
        let likely = log(written.likely);
        let below = (likely - log(written.low)).max(0.0) / TENTH;
        let above = (log(written.high) - likely).max(0.0) / TENTH;
        let both = f64::midpoint(below, above);
        Self {
            below,
            above,
            usual: (USUAL * both).max(USUAL_LEAST),
            chance: (CHANCE * both).max(CHANCE_LEAST),
        }
    }
}
