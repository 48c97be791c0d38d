//! How each service fares, for other programs.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::kitchen::{Evening, Minute};
use crate::plan::risk::{Odds, Threat};

/// How a service fares when the plan is played forward with the recipes' low,
/// likely and high minutes (`src/plan/risk` says how).
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChanceEntry {
    /// Evenings played.
    pub evenings: u32,
    /// Those in which every dish was ready less than 3 minutes after it was due.
    pub on_time: u32,
    /// The lower end of the interval that holds the true share 19 times in 20, as far as
    /// counting goes (Wilson's score interval), in thousandths, rounded down.
    pub low_permille: u32,
    /// Its upper end, rounded up.
    pub high_permille: u32,
    /// The steps that endanger it most, the worst first; at most three.
    pub threats: Vec<ThreatEntry>,
}

/// A step that makes a service late.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ThreatEntry {
    /// Id of the dish.
    pub dish: String,
    /// Id of the step in its recipe.
    pub step: String,
    /// Late evenings in which it ran over by a minute or more, and the service waited for that.
    pub evenings: u32,
    /// Minutes by which it then ran over its likely ones, on average.
    pub over_minutes: Minute,
}

/// The entry of a service.
pub(super) fn entry(evening: &Evening, odds: &Odds) -> ChanceEntry {
    let (low, high) = odds.interval();
    let threat = |t: &Threat| {
        let sheet = evening.sheets.get(t.dish);
        let step = sheet.and_then(|s| s.recipe.steps.get(t.step));
        ThreatEntry {
            dish: sheet.map_or_else(String::new, |s| s.id.clone()),
            step: step.map_or_else(String::new, |s| s.id.clone()),
            evenings: t.evenings,
            over_minutes: t.over_minutes,
        }
    };
    ChanceEntry {
        evenings: odds.evenings,
        on_time: odds.on_time,
        low_permille: (low * 1000.0).floor() as u32,
        high_permille: (high * 1000.0).ceil() as u32,
        threats: odds.threats.iter().map(threat).collect(),
    }
}
