//! Trays: what stands ready for each dish on the counter, what stays in fridge
//! or freezer until when, and whether there is room for it all.
//!
//! `lay` lays every ingredient of every dish on one tray or into one cold
//! store, once; `space` counts counter and fridge.

mod lay;
pub mod print;
mod space;
#[cfg(test)]
mod tests;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use lay::lay;

use super::shopping::Quantity;
use crate::kitchen::{Kept, Minute};

/// The trays of an evening.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Trays {
    /// The party's name.
    pub title: String,
    /// Its day, `2026-11-25`.
    pub day: String,
    /// A plan was there, so that times are known.
    pub planned: bool,
    /// One for each dish that is made, in the party's order.
    pub trays: Vec<Tray>,
    /// The counter.
    pub counter: Counter,
    /// The fridge; nothing if the kitchen has none.
    pub fridge: Option<Space>,
    /// The freezer; nothing if the kitchen has none.
    pub freezer: Option<Space>,
    /// What does not fit or cannot be answered for, each a sentence.
    pub notes: Vec<String>,
}

/// What one dish needs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Tray {
    /// Index of the dish in the evening.
    #[serde(skip)]
    pub index: usize,
    /// Id of the dish.
    pub dish: String,
    /// Its letter.
    pub letter: char,
    /// Its title.
    pub title: String,
    /// On the counter, ready.
    pub counter: Vec<Thing>,
    /// In the fridge or the freezer until it is wanted.
    pub cold: Vec<Cold>,
    /// Trays that it fills on the counter.
    pub trays: u32,
    /// The last minute at which anything of it is put in; nothing without a plan.
    pub cleared: Option<Minute>,
}

/// Something that stands ready.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Thing {
    /// Index of the ingredient in the recipe.
    #[serde(skip)]
    pub ingredient: usize,
    /// What it is, in the recipe's words.
    pub item: String,
    /// How much; nothing for "to taste".
    pub amount: Option<Quantity>,
    /// How it is cut.
    pub cut: Option<String>,
}

/// Something that stays cold until it is wanted.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Cold {
    /// What.
    #[serde(flatten)]
    pub thing: Thing,
    /// Fridge or freezer.
    pub kept: Kept,
    /// Raw meat, fish, poultry or egg: lowest, covered, apart.
    pub raw: bool,
    /// When it goes in; nothing without a plan.
    pub used_at: Option<Minute>,
    /// When to take it out; nothing without a plan.
    pub out_at: Option<Minute>,
    /// When to take it out if it is one large piece that thaws for days.
    #[serde(skip)]
    pub one_piece_at: Option<Minute>,
    /// What is to be known of that: "30 min before: it is wanted soft".
    pub why: Option<String>,
}

/// The counter against the trays.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Counter {
    /// Places of the kitchen's counters.
    pub places: u32,
    /// Trays of all dishes together.
    pub trays: u32,
}

/// A cold store against what is in it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Space {
    /// Places of all of its kind.
    pub places: u32,
    /// Places wanted at the fullest minute, by what the plan puts there and by
    /// the ingredients that wait.
    pub wanted: u32,
    /// Of those, places of ingredients.
    pub of_ingredients: u32,
    /// That minute; nothing without a plan.
    pub at: Option<Minute>,
    /// What is in it then, each a few words, the largest first.
    pub holds: Vec<String>,
}

impl Space {
    /// There is more than it holds.
    #[must_use]
    pub const fn is_over(&self) -> bool {
        self.wanted > self.places
    }
}

impl Thing {
    /// "5 onions, diced", "salt".
    #[must_use]
    pub fn words(&self) -> String {
        let amount = self.amount.map(|a| (a.amount, a.unit));
        let words = super::wording::amount_of(amount, self.item.trim());
        match &self.cut {
            Some(cut) => format!("{words}, {cut}"),
            None => words,
        }
    }
}
