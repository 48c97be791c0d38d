//! The cook's own minutes for steps of recipes, as past evenings have shown
//! them. They stand in for the recipe's figures in the recipe as a dish is made;
//! the recipe as it is written stays.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::equipment::StationKind;
use super::recipe::{Minutes, Recipe};

/// How long a way of a step takes this cook.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OwnTime {
    /// Id of the recipe.
    pub recipe: String,
    /// Id of the step.
    pub step: String,
    /// The kind of station of the way.
    pub station: StationKind,
    /// What the recipe says. Where it says otherwise by now, this does not count.
    pub written: Minutes,
    /// What past evenings say.
    pub own: Minutes,
}

/// All that an evening goes by.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct OwnTimes(Arc<[OwnTime]>);

impl From<Vec<OwnTime>> for OwnTimes {
    fn from(times: Vec<OwnTime>) -> Self {
        Self(times.into())
    }
}

impl OwnTimes {
    /// One by one.
    #[must_use]
    pub fn list(&self) -> &[OwnTime] {
        &self.0
    }

    /// Puts them into a recipe that has its written minutes.
    pub fn onto(&self, recipe: &mut Recipe) {
        for step in &mut recipe.steps {
            for way in &mut step.ways {
                let of = |t: &&OwnTime| {
                    t.recipe == recipe.id
                        && t.step == step.id
                        && t.station == way.station
                        && t.written == way.minutes
                };
                if let Some(time) = self.0.iter().find(of) {
                    way.minutes = time.own;
                }
            }
        }
    }

    /// What the recipe itself says of a way, by the minutes that stand there now.
    #[must_use]
    pub fn written(
        &self,
        recipe: &str,
        step: &str,
        station: StationKind,
        now: Minutes,
    ) -> Option<&OwnTime> {
        let of = |t: &&OwnTime| {
            t.recipe == recipe && t.step == step && t.station == station && t.own == now
        };
        self.0.iter().find(of)
    }
}
