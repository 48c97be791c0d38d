//! Guidance profiles: the published limits that a party is run by, as data
//! (`assets/guidance/*.json`), each figure with its document and clause.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

use super::figure::{Days, Heat, Minutes, Seconds, Source};
use crate::kitchen::FoodClass;
use crate::kitchen::check::HoldLimits;

/// The limits of one body's guidance. One profile holds for a whole party;
/// figures of two are never mixed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Profile {
    /// Short name, as a party file gives it: `us_consumer`.
    pub id: String,
    /// What the cook reads: "US consumer guidance (USDA)".
    pub title: String,
    /// Of when the documents are, for a printed log.
    pub edition: String,
    /// Whom the guidance is written for.
    pub for_whom: String,
    /// Food held hot is at least this warm.
    pub hot_hold_least: Heat,
    /// Food held cold is at most this warm.
    pub cold_hold_most: Heat,
    /// How long food may be neither.
    pub room_rule: TimeRule,
    /// The rule instead for food that was known to be cold when it first left
    /// control. Planning keeps to `room_rule`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cold_start_rule: Option<TimeRule>,
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
    /// How frozen food is thawed; never on the counter.
    pub thawing: Vec<Thaw>,
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

/// One stage of cooling. All stages count from the same start, so that time
/// saved in one may be spent in the next, unless a stage is a leg of its own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CoolingStage {
    /// Which food it is for.
    pub from: CoolsFrom,
    /// The minutes count from when the stage before was passed: time saved
    /// there is lost.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub own_leg: bool,
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
    /// After a microwave it stands covered this long.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub microwave_stand: Option<Minutes>,
    /// A part of the country that asks for more. Shown; the cook there must know.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub elsewhere: Option<Elsewhere>,
}

/// A figure that holds in a part of the country only.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Elsewhere {
    /// Where.
    pub where_it_holds: String,
    /// All parts reach this there.
    pub least: Heat,
}

/// The least inner temperature of a class of food.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Inner {
    /// What the class covers in this guidance.
    pub covers: String,
    /// The coldest part reaches this.
    pub least: Heat,
    /// The same for a whole bird, where that is more. No recipe says whether
    /// it is one, so this counts: see [`Inner::counts`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub whole: Option<Heat>,
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
    /// Foods that keep shorter.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub shorter: Vec<Shorter>,
}

/// Leftovers that keep shorter than the others.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Shorter {
    /// The classes it holds for.
    pub classes: Vec<FoodClass>,
    /// What it covers in this guidance.
    pub covers: String,
    /// The days.
    pub most: Days,
}

/// Where food thaws.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ThawWay {
    /// In the fridge.
    Fridge,
    /// In or under cold water.
    ColdWater,
    /// In a microwave oven.
    Microwave,
    /// While it is cooked.
    Cooking,
}

/// One way to thaw.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Thaw {
    /// Where.
    pub way: ThawWay,
    /// What to do, in our words.
    pub how: String,
    /// The food stays at or below this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub food_most: Option<Heat>,
    /// The water is at most this warm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub water_most: Option<Heat>,
    /// The water is changed this often.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub change_every: Option<Minutes>,
    /// Most minutes of it, preparation included.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most: Option<Minutes>,
    /// Minutes that a kilogram takes. Not a limit: what to allow for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub minutes_per_kg: Option<Minutes>,
    /// Once thawed it is used within this.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub use_within: Option<Minutes>,
    /// Where this way was read.
    pub source: Source,
}

impl Inner {
    /// The temperature that counts: the higher, where a whole bird needs more.
    #[must_use]
    pub fn counts(&self) -> &Heat {
        match &self.whole {
            Some(whole) if whole.c() > self.least.c() => whole,
            _ => &self.least,
        }
    }
}

const FILES: [&str; 6] = [
    include_str!("../../assets/guidance/us_consumer.json"),
    include_str!("../../assets/guidance/us_food_code_2022.json"),
    include_str!("../../assets/guidance/uk.json"),
    include_str!("../../assets/guidance/australia.json"),
    include_str!("../../assets/guidance/new_zealand.json"),
    include_str!("../../assets/guidance/canada.json"),
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
    pub fn ids() -> impl Iterator<Item = &'static str> + Clone {
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

    /// As [`Self::leftover_days_after`], for a class of food: some keep shorter.
    #[must_use]
    pub fn leftover_days_of(&self, class: FoodClass) -> i64 {
        let shorter = self.leftovers.shorter.iter().filter(|s| s.classes.contains(&class));
        let days = shorter.map(|s| s.most.value_days - i64::from(self.leftovers.day_made_counts));
        days.min().map_or(self.leftover_days_after(), |d| d.min(self.leftover_days_after()))
    }

    /// The last day on which what is left of a food may be used, by the day on
    /// which it was made; `None` beyond the end of the calendar.
    #[must_use]
    pub fn use_by(&self, class: FoodClass, made: chrono::NaiveDate) -> Option<chrono::NaiveDate> {
        let days = u64::try_from(self.leftover_days_of(class).max(0)).ok()?;
        made.checked_add_days(chrono::Days::new(days))
    }
}
/// The limits of every built-in profile that a check of the cook's files needs.
#[must_use]
pub fn hold_limits() -> &'static [HoldLimits] {
    static LIMITS: OnceLock<Vec<HoldLimits>> = OnceLock::new();
    let of = |p: &Profile| HoldLimits { guidance: p.id.clone(), hot_c: p.hot_hold_least.c() };
    LIMITS.get_or_init(|| Profile::all().iter().map(of).collect())
}
