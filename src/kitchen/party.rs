//! A party: the day, the services, the dishes, who cooks and who comes. The
//! shape of a party file.

use chrono::NaiveDate;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::borrowed::Borrowed;
use super::clock::TimeOfDay;
use super::equipment::Kitchen;
use super::items::Market;
use super::recipe::Recipe;
use super::swap::StandIn;
use super::units::{Degrees, Exact, Unit};

/// A party file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Party {
    /// Short name; with the day it names the evening's journal.
    pub id: String,
    /// What the cook calls it.
    pub title: String,
    /// The day, `2026-11-25`.
    #[serde(with = "day")]
    #[schemars(with = "String", extend("format" = "date"))]
    pub day: NaiveDate,
    /// Waves in which food goes to the table, at least one.
    pub services: Vec<Service>,
    /// What is cooked, at least one dish.
    pub dishes: Vec<Dish>,
    /// Who cooks and when, at least one.
    pub cooks: Vec<Cook>,
    /// The kitchen: its id, a path, or the kitchen itself.
    pub kitchen: Sourced<Kitchen>,
    /// What is borrowed for the day, on top of what the kitchen has.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub borrowed: Vec<Borrowed>,
    /// Who comes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub guests: Vec<Guest>,
    /// How much the guests eat.
    #[serde(default, skip_serializing_if = "Appetite::is_usual")]
    pub appetite: Appetite,
    /// How much each guest should find to choose from.
    #[serde(default, skip_serializing_if = "Least::is_default")]
    pub least: Least,
    /// The guidance whose safety figures apply: `us_consumer`, `us_food_code_2022`, `uk`,
    /// `australia`, `new_zealand` or `canada`.
    #[serde(default = "us_consumer")]
    pub guidance: String,
    /// Temperature of the room in °C.
    #[serde(default = "warm_room")]
    pub room_c: i32,
    /// Minutes that a served dish will stand on the table.
    #[serde(default = "three_quarters")]
    pub table_minutes: u32,
    /// Degrees on the screen; as the cook's settings have them if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub degrees: Option<Degrees>,
    /// What is in the house already and need not be bought.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub in_house: Vec<Stock>,
    /// Whose packs the shopping list reckons with; by the degrees if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub shops: Option<Market>,
    /// Whether knife work is planned: what several dishes want cut alike is one
    /// job, done before the first of them needs it. Else it is in the mise alone.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub pool_knife_work: bool,
    /// Of a hundred evenings, in how many each service should be on time; the
    /// plan is given room until it is. 50 to 99; 90 if not given.
    #[serde(default = "nine_in_ten", skip_serializing_if = "is_nine_in_ten")]
    pub on_time_percent: u32,
    /// Plan by the cook's own times, as past evenings have shown them; as the
    /// cook's settings have it if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub own_times: Option<bool>,
}

fn us_consumer() -> String {
    "us_consumer".to_owned()
}
fn warm_room() -> i32 {
    21
}
fn three_quarters() -> u32 {
    45
}
/// The chance that a party wishes for unless its file says otherwise, per cent.
pub const ON_TIME_PERCENT: u32 = 90;

fn nine_in_ten() -> u32 {
    ON_TIME_PERCENT
}
fn is_nine_in_ten(percent: &u32) -> bool {
    *percent == ON_TIME_PERCENT
}

/// A day as it stands in files: `2026-11-25`.
pub(crate) mod day {
    use chrono::NaiveDate;
    use serde::{Deserialize, Deserializer, Serializer};

    pub fn serialize<S: Serializer>(day: &NaiveDate, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(day)
    }

    pub fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<NaiveDate, D::Error> {
        let text = String::deserialize(deserializer)?;
        text.parse().map_err(|_| {
            serde::de::Error::custom(format!("\"{text}\" is not a day; write it as 2026-11-25"))
        })
    }
}

/// A wave of dishes that stands on the table at one time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Service {
    /// Short name within the party.
    pub id: String,
    /// What the cook calls it: "starters".
    pub title: String,
    /// When it stands on the table: `18:00`.
    pub at: TimeOfDay,
}

/// A dish of the party: a recipe, for so many, in one of the services.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Dish {
    /// Short name within the party.
    pub id: String,
    /// The recipe: its id, a path, or the recipe itself.
    pub recipe: Sourced<Recipe>,
    /// How many servings to make. 1 to 500.
    pub servings: u32,
    /// Id of the service.
    pub service: String,
    /// The letter on the chart; chosen by the program if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub letter: Option<char>,
    /// It is made the day before, as far as it keeps: cooled, and heated again if
    /// it is served hot.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub day_before: bool,
    /// Items that others stand in for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub swaps: Vec<StandIn>,
    /// Items that others stand in for in half of it: made half and half.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub half: Vec<StandIn>,
}

/// Who cooks, and when they are free.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cook {
    /// Short name within the party.
    pub id: String,
    /// What they are called.
    pub name: String,
    /// Hours in which they cook; at least one stretch.
    pub free: Vec<Stretch>,
    /// Hours of the day before in which they cook; 17:00 to 22:00 if none are given.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub free_day_before: Vec<Stretch>,
}

/// From one time to another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stretch {
    /// The first minute.
    pub from: TimeOfDay,
    /// The minute after the last.
    pub to: TimeOfDay,
}

/// A guest, or several alike.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Guest {
    /// A name or a description: "the Tuesday choir".
    pub name: String,
    /// How many of them.
    #[serde(default = "one_guest")]
    pub count: u32,
    /// Diets: "vegetarian", "vegan".
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub diets: Vec<String>,
    /// Items or allergens that they avoid.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub avoids: Vec<String>,
    /// The hottest of chilli that they like: 0 none at all, 1 mild, 2 hot, 3 very hot,
    /// 4 fierce; whatever comes if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heat: Option<u32>,
}

/// The least of starters and of mains that each guest should find. Two of each
/// unless the party says otherwise; our choice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Least {
    /// Starters.
    #[serde(default = "two")]
    pub starters: u32,
    /// Mains.
    #[serde(default = "two")]
    pub mains: u32,
}

fn two() -> u32 {
    2
}

impl Default for Least {
    fn default() -> Self {
        Self { starters: two(), mains: two() }
    }
}

impl Least {
    fn is_default(&self) -> bool {
        *self == Self::default()
    }
}

/// How much guests eat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Appetite {
    /// Small eaters, a late lunch, many children.
    Light,
    /// As people eat.
    #[default]
    Usual,
    /// Young people, a day out of doors.
    Hearty,
}

impl Appetite {
    fn is_usual(&self) -> bool {
        *self == Self::Usual
    }

    /// As it is said: "usual".
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Light => "light",
            Self::Usual => "usual",
            Self::Hearty => "hearty",
        }
    }

    /// The next of the three, round and round.
    #[must_use]
    pub const fn next(self) -> Self {
        match self {
            Self::Light => Self::Usual,
            Self::Usual => Self::Hearty,
            Self::Hearty => Self::Light,
        }
    }
}

/// Something in the house, as it was bought.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stock {
    /// What it is.
    pub item: String,
    /// How much of it; as much as is wanted if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amount: Option<Exact>,
    /// The amount's unit; pieces if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<Unit>,
}

fn one_guest() -> u32 {
    1
}

/// Something named by its id or path, or written out in place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
#[schemars(rename = "{T}OrName")]
pub enum Sourced<T> {
    /// Id of a built-in one, or a path from the party file.
    Named(String),
    /// The thing itself.
    Inline(Box<T>),
}

#[cfg(test)]
#[path = "party_tests.rs"]
mod tests;
