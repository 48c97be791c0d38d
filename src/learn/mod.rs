//! The cook's own times: what the marked steps of past evenings say of how long
//! steps take this cook in this kitchen.
//!
//! A step that was marked at its start and at its end gives one figure: the
//! logarithm of the minutes that it took over the minutes that the recipe
//! expects for those servings. That figure is a sum of
//!
//! - what is usual of the **step** with this cook (the recipe is hasty),
//! - what is usual of its **oven**, hob or fryer, or if it is done by hand of
//!   the **cook**, shared by all dishes: an oven that runs slow is noticed,
//! - what was so **that evening** with all from that oven or cook,
//! - and the chance of the one time.
//!
//! All four begin at nothing: a recipe is believed until evenings speak against
//! it. Each is given a width beforehand ([`prior`]), and the evidence moves them
//! from nothing as far as those widths allow: a *shrinking estimate*, in the
//! books the best linear unbiased prediction of a mixed model (Henderson,
//! "Best linear unbiased estimation and prediction under a selection model",
//! Biometrics 31, 1975; from memory, not seen in a text). The chance of the one
//! time has heavy tails (Student's t), so that a mark that was made an hour late
//! moves next to nothing. And a cook may scatter more, or less, than recipes have it:
//! how much wider all of this is with this cook is learnt from all figures together.
//! [`fit`] does the arithmetic; `tests/outside/own_times.py` finds the same with
//! SciPy's optimizer and NumPy's matrices.
//!
//! What comes out are the same three figures that a recipe has, low, likely and
//! high, in [`own`]. They never make a limit laxer: limits are not estimated.
//! Steps that cool food are left alone, and where food is cooked to a
//! temperature or heated again the recipe's minutes are the least ([`Guard`]).

#[cfg(test)]
mod edge_tests;
#[cfg(test)]
mod figures_tests;
pub mod fit;
pub mod own;
pub mod prior;
mod text;
pub mod wire;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::kitchen::{Hands, Minutes, Recipe, StationKind, Step, StepCare};
use crate::safety::{Profile, least_inner_c};

pub use own::{Estimate, Known, Share};

/// A step that was done, with its start and its end marked as they happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seen {
    /// The day of the party.
    #[serde(with = "crate::kitchen::party::day")]
    pub day: NaiveDate,
    /// Names the evening; no two have the same.
    pub evening: String,
    /// Id of the recipe.
    pub recipe: String,
    /// The recipe's title.
    pub title: String,
    /// Id of the step.
    pub step: String,
    /// The step's label.
    pub label: String,
    /// The kind of station that it was done at.
    pub station: StationKind,
    /// The recipe's minutes for that way, as they were written then.
    pub written: Minutes,
    /// What else was done at the same pace.
    pub shares: Option<Group>,
    /// Likely minutes by the recipe, for the servings that were made. At least 1.
    pub expected: f64,
    /// Minutes that it took. Above 0.
    pub took: f64,
    /// When it ended (unix ms).
    pub at_ms: i64,
}

/// What steps of all dishes have in common.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "of")]
pub enum Group {
    /// They go on by themselves at this station.
    Station {
        /// Id of the kitchen.
        kitchen: String,
        /// Id of the station.
        station: String,
    },
    /// They are done by hand by this cook.
    Cook {
        /// Id of the cook.
        cook: String,
    },
}

/// How far an estimate may move a step's minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Guard {
    /// Either way.
    Free,
    /// The recipe's minutes are the least: food is cooked to a temperature here,
    /// or heated again.
    NeverShorter,
    /// Not at all: food is cooled here, or the clock alone ends it.
    Stays,
}

impl Guard {
    /// The guard of a way of a step.
    #[must_use]
    pub fn of(recipe: &Recipe, step: &Step, way: usize) -> Self {
        if step.care == Some(StepCare::Cools) || step.ends_by_itself(way) {
            return Self::Stays;
        }
        let heats = step.ways.get(way).is_none_or(|w| w.station.heats());
        let class = recipe.safety.class;
        // Any guidance's figure counts: another may be chosen mid-way.
        let has_least = || Profile::all().iter().any(|p| least_inner_c(p, class, None).is_some());
        match step.probe || step.care == Some(StepCare::Reheats) || heats && has_least() {
            true => Self::NeverShorter,
            false => Self::Free,
        }
    }
}

/// Is a way of a step done by hand: does it go on only while the cook is at it?
#[must_use]
pub fn by_hand(step: &Step, way: usize) -> bool {
    let long = step.ways.get(way).map_or(0, |w| w.minutes.likely);
    let ends = step.hands.start_minutes.saturating_add(step.hands.end_minutes);
    step.hands.between_percent >= Hands::BY_HAND || (ends >= long && ends > 0)
}
