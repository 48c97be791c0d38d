//! What was learnt as a JSON document: `potwatch times --json`.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Guard;
use super::fit::Scatter;
use super::own::{Estimate, Known};
use crate::kitchen::{Minutes, StationKind};

/// The format's name and number.
pub const TIMES_FORMAT: &str = "potwatch times 2";

/// The cook's own times.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TimesFile {
    /// `potwatch times 2`; another number means other fields.
    pub format: String,
    /// How much wider than recipes have it everything is with this cook.
    pub scatter: ScatterEntry,
    /// What all dishes have in common.
    pub shares: Vec<ShareEntry>,
    /// Steps of which something is known.
    pub steps: Vec<StepEntry>,
    /// Every time that counts, oldest first.
    pub seen: Vec<SeenEntry>,
    /// Steps that were to be forgotten: what was seen of them up to then does not count.
    pub forgotten: Vec<ForgottenEntry>,
}

/// How much wider than recipes have it everything is with this cook: standard deviations
/// over those held beforehand; 1 before anything was seen.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ScatterEntry {
    /// The chance of the one time.
    pub chance: f64,
    /// What is usual of steps.
    pub usual: f64,
    /// Evenings.
    pub evening: f64,
}

/// How much slower than the recipes an oven or a cook is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ShareEntry {
    /// Whose, in words.
    pub of: String,
    /// Minutes over the recipes' minutes.
    pub ratio: f64,
    /// Nine times in ten above this.
    pub low: f64,
    /// Nine times in ten below this.
    pub high: f64,
    /// Steps that were seen.
    pub steps: usize,
    /// Evenings on which they were.
    pub evenings: usize,
}

/// A step's minutes by its recipe and by past evenings.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StepEntry {
    /// Id of the recipe.
    pub recipe: String,
    /// Id of the step.
    pub step: String,
    /// The kind of station of the way.
    pub station: StationKind,
    /// By the recipe, for its own servings.
    pub written_minutes: Minutes,
    /// By past evenings.
    pub own_minutes: Minutes,
    /// The step's own part of the ratio.
    pub by_step: f64,
    /// The part of its oven or cook.
    pub by_share: f64,
    /// How far it may move.
    pub guard: Guard,
    /// Each time that it was seen.
    pub times: Vec<TimeEntry>,
    /// Why, in words.
    pub why: String,
}

/// A time that a step was seen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TimeEntry {
    /// The day of the party.
    pub day: String,
    /// Minutes as the recipe's own servings would have taken.
    pub minutes: f64,
}

/// A load of a step as it was marked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SeenEntry {
    /// The day of the party.
    pub day: String,
    /// Names the evening.
    pub evening: String,
    /// Id of the recipe.
    pub recipe: String,
    /// Id of the step.
    pub step: String,
    /// The kind of station.
    pub station: StationKind,
    /// The recipe's minutes as they were written then.
    pub written_minutes: Minutes,
    /// What it shares its pace with, in words.
    pub shares: Option<String>,
    /// Likely minutes by the recipe for the servings that were made.
    pub expected_minutes: f64,
    /// Minutes that it took.
    pub took_minutes: f64,
}

/// A step that was to be forgotten.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ForgottenEntry {
    /// Id of the recipe.
    pub recipe: String,
    /// Id of the step.
    pub step: String,
    /// What was seen up to then (unix ms).
    pub until_ms: i64,
}

/// The document of what is known and of some estimates.
#[must_use]
pub fn times_file(
    known: &Known,
    estimates: &[Estimate],
    forgotten: Vec<ForgottenEntry>,
) -> TimesFile {
    let day = |day: NaiveDate| day.to_string();
    TimesFile {
        format: TIMES_FORMAT.to_owned(),
        scatter: scatter(known.scatter()),
        shares: known.shares().iter().map(share).collect(),
        steps: estimates.iter().map(step).collect(),
        seen: known
            .seen()
            .iter()
            .map(|s| SeenEntry {
                day: day(s.day),
                evening: s.evening.clone(),
                recipe: s.recipe.clone(),
                step: s.step.clone(),
                station: s.station,
                written_minutes: s.written,
                shares: s.shares.as_ref().map(super::Group::words),
                expected_minutes: s.expected,
                took_minutes: s.took,
            })
            .collect(),
        forgotten,
    }
}

fn scatter(variances: Scatter) -> ScatterEntry {
    ScatterEntry {
        chance: variances.chance.sqrt(),
        usual: variances.usual.sqrt(),
        evening: variances.evening.sqrt(),
    }
}

fn share(share: &super::Share) -> ShareEntry {
    ShareEntry {
        of: share.group.words(),
        ratio: share.ratio,
        low: share.low,
        high: share.high,
        steps: share.steps,
        evenings: share.evenings,
    }
}

fn step(one: &Estimate) -> StepEntry {
    StepEntry {
        recipe: one.recipe.clone(),
        step: one.step.clone(),
        station: one.station,
        written_minutes: one.written,
        own_minutes: one.own,
        by_step: one.by_step,
        by_share: one.by_share,
        guard: one.guard,
        times: one.times.iter().map(|t| TimeEntry { day: t.0.to_string(), minutes: t.1 }).collect(),
        why: one.why(),
    }
}
