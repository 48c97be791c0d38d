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

#[cfg(test)]
mod tests {
    use super::*;

    const fn minutes(likely: u32) -> Minutes {
        Minutes { low: likely, likely, high: likely }
    }

    fn recipe(likely: u32) -> Recipe {
        serde_json::from_value(serde_json::json!({
            "id": "soup", "title": "Soup", "course": "starter", "servings": 4,
            "ingredients": [{"item": "leek"}],
            "steps": [{"id": "boil", "text": "Boil.", "label": "boil", "ways": [
                {"station": "stovetop", "minutes": likely},
                {"station": "microwave", "minutes": likely}
            ]}],
            "holds": [], "safety": {"class": "cooked_plant"}
        }))
        .expect("a recipe")
    }

    /// A time of one's own stands for a way of a step of a recipe as it is written, and for no other.
    #[test]
    fn own_minutes_stand_where_they_belong() {
        let time = OwnTime {
            recipe: "soup".into(),
            step: "boil".into(),
            station: StationKind::Stovetop,
            written: minutes(20),
            own: minutes(26),
        };
        let made = |time: &OwnTime, likely: u32| {
            let mut recipe = recipe(likely);
            OwnTimes::from(vec![time.clone()]).onto(&mut recipe);
            recipe.steps[0].ways.iter().map(|w| w.minutes.likely).collect::<Vec<_>>()
        };
        assert_eq!(made(&time, 20), [26, 20]);
        assert_eq!(made(&time, 21), [21, 21], "the recipe says otherwise by now");
        let others = [
            OwnTime { recipe: "stew".into(), ..time.clone() },
            OwnTime { step: "fry".into(), ..time.clone() },
            OwnTime { station: StationKind::Oven, ..time.clone() },
        ];
        for other in &others {
            assert_eq!(made(other, 20), [20, 20], "{other:?}");
        }
        // And what was written is found again by what stands there now.
        let times = OwnTimes::from(others.into_iter().chain([time.clone()]).collect::<Vec<_>>());
        assert_eq!(times.list().len(), 4);
        let written = |recipe, step, station, now| {
            times.written(recipe, step, station, minutes(now)).map(|t| t.written)
        };
        assert_eq!(written("soup", "boil", StationKind::Stovetop, 26), Some(minutes(20)));
        assert_eq!(written("soup", "boil", StationKind::Stovetop, 20), None);
        assert_eq!(written("soup", "boil", StationKind::Microwave, 26), None);
        assert_eq!(written("soup", "sift", StationKind::Stovetop, 26), None);
        assert_eq!(written("bread", "boil", StationKind::Stovetop, 26), None);
    }
}
