//! Knife work of all dishes together: one job for each item and way of cutting,
//! in an order that keeps the board clean, with the minutes that it takes and
//! that pooling saves; and what is opened and measured out for each dish.
//!
//! `rates` has the minutes, `order` what comes before what and what is washed
//! between, `pool` puts the jobs together, `board` puts them into the plan.

pub mod board;
mod order;
mod pool;
pub mod print;
mod rates;
mod setup;
#[cfg(test)]
mod tests;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use order::Board;
pub(super) use order::waits;
pub use pool::{pool, pool_without};

use super::shopping::{ForDish, Quantity, Share, shared};
use super::wording::{amount_of, taken};
use crate::kitchen::Kept;
use crate::kitchen::units::{Exact, Unit};
use crate::paper::list;

/// A tick off this list begins with this, the job's id follows.
pub const TICKS: &str = "mise/";

/// Knife work and what else is set out before the first flame.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Mise {
    /// The party's name.
    pub title: String,
    /// Its day, `2026-11-25`.
    pub day: String,
    /// The dishes it is for.
    pub dishes: Vec<ForDish>,
    /// The jobs, in the order in which the board is used.
    pub jobs: Vec<Job>,
    /// Cans and spices, dish by dish.
    pub setups: Vec<Setup>,
    /// Minutes of all jobs as pooled, without the washing.
    pub pooled_minutes: u32,
    /// Minutes if each dish had its own, reckoned alike.
    pub apart_minutes: u32,
    /// Minutes of washing between the jobs.
    pub washing_minutes: u32,
    /// What cannot be answered for, each a sentence.
    pub notes: Vec<String>,
}

/// One job at the board.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Job {
    /// Stays the same as long as item and way of cutting do.
    pub id: String,
    /// What is done: "dice".
    pub verb: String,
    /// To what.
    pub item: String,
    /// How it lies there afterwards: "diced".
    pub cut: String,
    /// All of it, where it comes to one measure.
    pub total: Option<Quantity>,
    /// What each dish gets of it.
    pub shares: Vec<Share>,
    /// Its place in the order of the board.
    pub board: Board,
    /// What is washed or changed before it, if anything is.
    pub wash: Option<String>,
    /// The guests who do not eat what is cut here.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_for: Vec<String>,
    /// Minutes, setting out and clearing away included. At least 1.
    pub minutes: u32,
    /// Where what is cut waits.
    pub waits: Kept,
    /// What its minutes were reckoned from.
    pub how: String,
}

/// What is opened and measured out for a dish.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Setup {
    /// Id of the dish.
    pub dish: String,
    /// Its letter.
    pub letter: char,
    /// Its title.
    pub title: String,
    /// Cans, jars and packets to open: "2 cans white beans".
    pub open: Vec<String>,
    /// Spices and spoonfuls to measure into one pot: "2 tsp cumin".
    pub measure: Vec<String>,
}

impl Mise {
    /// Minutes that pooling saves.
    #[must_use]
    pub fn saved_minutes(&self) -> u32 {
        self.apart_minutes.saturating_sub(self.pooled_minutes)
    }
}

impl Job {
    /// "dice 5 onions", "chop 2 bunches parsley", "juice lemon" if no amount is known.
    #[must_use]
    pub fn words(&self) -> String {
        let thing = self.thing();
        match self.verb.strip_prefix("cut in ") {
            Some(shape) => format!("cut {thing} in {shape}"),
            None => format!("{} {thing}", self.verb),
        }
    }

    /// "; not for Ilse", where a guest does not eat it.
    #[must_use]
    pub fn keep_off(&self) -> String {
        match self.not_for.as_slice() {
            [] => String::new(),
            names => format!("; not for {}", list(names)),
        }
    }

    /// What stands over it and others of its kind in the order of the board.
    #[must_use]
    pub const fn heading(&self) -> &'static str {
        if self.not_for.is_empty() || self.board.is_raw() {
            self.board.title()
        } else {
            "What a guest does not eat, after all the rest"
        }
    }

    /// "5 onions", "1.2 kg butternut squash": what the dishes' parts come to as they are measured out.
    #[must_use]
    pub fn thing(&self) -> String {
        let total = self.total.map(|t| (self.parts(t.unit).unwrap_or(t.amount), t.unit));
        amount_of(total, &self.item)
    }

    /// The parts as they are said, put together; nothing where one of them is in another unit.
    fn parts(&self, unit: Unit) -> Option<Exact> {
        let part = |s: &Share| s.quantity.filter(|q| q.unit == unit).map(|q| q.amount);
        let parts = self.shares.iter().map(|s| Some(taken(part(s)?, unit, &self.item)));
        parts.sum()
    }

    /// Each dish's part of it by its letter: "S 4, H 3".
    #[must_use]
    pub fn shared(&self) -> String {
        shared(&self.shares, &self.item)
    }
}
