//! What each dish goes to the table in, and what clashes.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{OfDish, Planned, headline};
use crate::kitchen::{Evening, borrowed};
use crate::mise::servingware::{Laying, Row, clash_lines, rows};
use crate::paper::{self, Head, Paper, Part, Table};

/// The format's name and number.
pub const SERVING_FORMAT: &str = "potwatch serving 1";

/// Which dish goes to the table in what.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ServingPage {
    /// `potwatch serving 1`; another number means other fields.
    pub format: String,
    /// The party's title.
    pub title: String,
    /// Its day: 2026-11-25.
    pub day: String,
    /// The dishes, in the order in which they are dished up.
    pub dishes: Vec<Dish>,
    /// What clashes and what to borrow, a sentence each; empty if every dish has its place.
    pub clashes: Vec<String>,
    /// What else is borrowed for the day, each in words: "1 more: Baking dish, 3 l".
    pub borrow: Vec<String>,
    /// Nothing fits more tightly, and no more dishes could be served.
    pub proved: bool,
}

/// A dish and what it is served in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Dish {
    /// Which dish.
    pub of: OfDish,
    /// When it is dished up.
    pub from: Planned,
    /// When it stands on the table.
    pub served: Planned,
    /// When the table is cleared.
    pub until: Planned,
    /// What it goes into; nothing: nothing is left for it.
    pub into: Option<String>,
    /// How much food there is and how much goes in.
    pub full: String,
    /// What else is to be known.
    pub notes: Vec<String>,
}

/// The page of a laying.
#[must_use]
pub fn serving(evening: &Evening, laying: &Laying) -> ServingPage {
    let dish = |row: Row| {
        Some(Dish {
            of: OfDish::at(evening, row.dish)?,
            from: Planned::of(evening, row.from),
            served: Planned::of(evening, row.served_at),
            until: Planned::of(evening, row.to),
            into: row.into,
            full: row.fill,
            notes: row.notes,
        })
    };
    ServingPage {
        format: SERVING_FORMAT.to_owned(),
        title: evening.party.title.clone(),
        day: evening.party.day.to_string(),
        dishes: rows(evening, laying).into_iter().filter_map(dish).collect(),
        clashes: clash_lines(evening, laying),
        borrow: borrowed::lines(&evening.kitchen, &evening.party.borrowed),
        proved: laying.proved,
    }
}

impl ServingPage {
    /// The page as text.
    #[must_use]
    pub fn text(&self) -> String {
        let row = |dish: &Dish| {
            let into = dish.into.clone().unwrap_or_else(|| "nothing is left".to_owned());
            let mut words = format!("{}: {into}", dish.of.title);
            let full = Some(dish.full.clone()).filter(|f| !f.is_empty());
            for note in full.iter().chain(&dish.notes) {
                words.push_str(&format!("; {note}"));
            }
            let when = format!("{}-{}", dish.from.clock, dish.until.clock);
            vec![when, dish.of.letter.to_string(), words]
        };
        let table = Table::of(
            "Dishes and what they are served in",
            vec![Head::tight("When"), Head::tight("Letter"), Head::wide("Dish")],
            self.dishes.iter().map(row),
        );
        let parts = vec![Part::Table(table)];
        let mut papers = vec![Paper { id: "serving", title: "Serving dishes", parts }];
        if !self.clashes.is_empty() {
            let parts = vec![Part::List(self.clashes.clone())];
            papers.push(Paper { id: "clashes", title: "What clashes", parts });
        }
        if !self.borrow.is_empty() {
            let parts = vec![Part::List(self.borrow.clone())];
            papers.push(Paper { id: "borrow", title: "To borrow", parts });
        }
        let title = headline(&self.title, &self.day, "serving dishes");
        paper::all(&title, &[], &papers, &[])
    }
}
