//! Guidance profiles: the published limits that a party is run by, as data
//! (`assets/guidance/*.json`), each figure with its document and clause.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use super::figure::{Days, Heat, Minutes, Seconds};
use crate::kitchen::FoodClass;

/// The limits of one body's guidance. One profile holds for a whole party;
/// figures of two are never mixed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Profile {
    /// Short name, as a party file gives it: `us_consumer`.
    pub id: String,
    /// What the cook reads: "US consumer guidance (USDA)".
    pub title: String,
    /// Whom the guidance is written for.
    pub for_whom: String,
    /// Food held hot is at least this warm.
    pub hot_hold_least: Heat,
    /// Food held cold is at most this warm.
    pub cold_hold_most: Heat,
    /// How long food may be neither.
    pub room_rule: TimeRule,
    /// Other rules for that, each of which the cook must choose for a food.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub chosen_rules: Vec<TimeRule>,
    /// A shorter time in hot air.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hot_day: Option<HotDay>,
    /// How fast cooked food must get cold.
    pub cooling: Vec<CoolingStage>,
    /// Heating cold cooked food again.
    pub reheat: Reheat,
    /// Least inner temperatures at the end of cooking. A class that is not here
    /// has no figure in this guidance.
    pub least_inner: BTreeMap<FoodClass, Inner>,
    /// How long leftovers keep.
    pub leftovers: Leftovers,
}

/// What the minutes of a [`TimeRule`] count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ClockMeaning {
    /// All times out of control since the food was made, together. It may go
    /// back under control until the limit.
    Total,
    /// One episode: the limit is fixed when the food first leaves control and
    /// going back does not move it. At the limit what is left is discarded.
    OneEpisodeThenDiscard,
    /// One display, shorter than the limit; there is no second one.
    OneOccasion,
    /// All times together; after a first sum it may be eaten but not put back
    /// under control (`rechill_within`), after the limit it is discarded.
    RunningSum,
}

/// How long food may be out of temperature control.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TimeRule {
    /// Short name within the profile.
    pub id: String,
    /// What the cook reads.
    pub title: String,
    /// What the minutes count.
    pub meaning: ClockMeaning,
    /// The limit.
    pub most: Minutes,
    /// Only within this sum may it go back under control (running sum).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rechill_within: Option<Minutes>,
    /// Cold food must be at most this warm when the time starts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_cold_most: Option<Heat>,
    /// Hot food must be at least this warm when the time starts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start_hot_least: Option<Heat>,
    /// The warmest part must stay at or below this the whole time.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stay_most: Option<Heat>,
}

/// A shorter time out of control when the air is hot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HotDay {
    /// It holds when the air is warmer than this.
    pub above: Heat,
    /// The limit then.
    pub most: Minutes,
}

/// Which food a cooling stage is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CoolsFrom {
    /// Cooked food, from the end of cooking or hot holding.
    Cooked,
    /// Food made from ingredients at room temperature.
    Room,
}

/// One stage of cooling. All stages count from the same start: time saved in
/// one may be spent in the next.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CoolingStage {
    /// Which food it is for.
    pub from: CoolsFrom,
    /// The minutes count from when it passes this; from when it is set to cool if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start: Option<Heat>,
    /// It must be at most this warm at the end; the figure is the time to be in
    /// the fridge if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<Heat>,
    /// The minutes allowed.
    pub within: Minutes,
    /// What the stage is, or how it is done.
    pub how: String,
}

/// Heating cold cooked food again, to be held hot.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reheat {
    /// All parts reach this.
    pub least: Heat,
    /// And keep it for this long.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hold: Option<Seconds>,
    /// Time from cold to hot.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within: Option<Minutes>,
}

/// The least inner temperature of a class of food.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Inner {
    /// What the class covers in this guidance.
    pub covers: String,
    /// The coldest part reaches this.
    pub least: Heat,
    /// And keeps it for this long.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hold: Option<Seconds>,
    /// It rests this long off the heat before it is cut or eaten.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rest: Option<Minutes>,
}

/// How long leftovers keep in the fridge.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Leftovers {
    /// The days.
    pub most: Days,
    /// Whether the day it was made is day 1.
    pub day_made_counts: bool,
}

const FILES: [&str; 2] = [
    include_str!("../../assets/guidance/us_consumer.json"),
    include_str!("../../assets/guidance/us_food_code_2022.json"),
];

impl Profile {
    /// The profile of a party that names none: `us_consumer`.
    pub const DEFAULT_ID: &'static str = "us_consumer";

    /// The built-in profile of this id.
    #[must_use]
    pub fn by_id(id: &str) -> Option<&'static Self> {
        Self::all().iter().find(|p| p.id == id)
    }

    /// All built-in profiles. (That every embedded file reads is tested.)
    #[must_use]
    pub fn all() -> &'static [Self] {
        static ALL: OnceLock<Vec<Profile>> = OnceLock::new();
        ALL.get_or_init(|| FILES.iter().filter_map(|text| Self::read(text).ok()).collect())
    }

    /// The ids of all built-in profiles, for error messages.
    pub fn ids() -> impl Iterator<Item = &'static str> {
        Self::all().iter().map(|p| p.id.as_str())
    }

    /// Reads a profile.
    ///
    /// # Errors
    /// What is wrong and where: line and column of malformed JSON, or all
    /// problems of the figures, joined.
    pub fn read(text: &str) -> Result<Self, String> {
        let profile: Self = serde_json::from_str(text).map_err(|e| e.to_string())?;
        let problems = profile.problems();
        if problems.is_empty() { Ok(profile) } else { Err(problems.join("; ")) }
    }

    /// The last day on which leftovers may be used, in days after the day they
    /// were made: 6 for "7 days, the day it is made counts as day 1".
    #[must_use]
    pub fn leftover_days_after(&self) -> i64 {
        self.leftovers.most.value_days - i64::from(self.leftovers.day_made_counts)
    }
}
