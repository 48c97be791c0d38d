//! The guests: what each can choose from, dish by dish, and why not.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{OfDish, headline};
use crate::kitchen::choice::words::{against, wishes};
use crate::kitchen::choice::{Choice, Count, Enough, choices};
use crate::kitchen::items::Answer;
use crate::kitchen::menu::by_course;
use crate::kitchen::{Evening, Guest};
use crate::paper::{self, Head, Paper, Part, Table};

/// The format's name and number.
pub const GUESTS_FORMAT: &str = "potwatch guests 1";

/// Stands below whatever says what a guest can eat.
pub const CAUTION: &str = "Read every label. No answer here is a promise: ask the guest.";

/// Who comes, and what each can eat.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GuestsPage {
    /// `potwatch guests 1`; another number means other fields.
    pub format: String,
    /// The party's title.
    pub title: String,
    /// Its day: 2026-11-25.
    pub day: String,
    /// The least of starters that each should find.
    pub least_starters: u32,
    /// The least of mains.
    pub least_mains: u32,
    /// The guests.
    pub guests: Vec<Entry>,
}

/// A guest, or several alike.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// A name or a description.
    pub name: String,
    /// How many of them.
    pub count: u32,
    /// What they eat and avoid, in words.
    pub wishes: String,
    /// Starters to choose from.
    pub starters: Choices,
    /// Mains to choose from.
    pub mains: Choices,
    /// Is it enough?
    pub enough: IsEnough,
    /// The dishes that are made, by course.
    pub dishes: Vec<Dish>,
}

/// How many dishes there are to choose from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Choices {
    /// Nothing is known against them.
    pub open: usize,
    /// The label decides.
    pub label: usize,
}

/// Does a guest find enough?
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum IsEnough {
    /// Of dishes against which nothing is known.
    Yes,
    /// If the labels allow it.
    IfLabelsAllow,
    /// Whatever the labels say, there is too little.
    No,
}

impl IsEnough {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Yes => "enough",
            Self::IfLabelsAllow => "read labels",
            Self::No => "too little",
        }
    }
}

impl From<Enough> for IsEnough {
    fn from(enough: Enough) -> Self {
        match enough {
            Enough::Yes => Self::Yes,
            Enough::IfLabelsAllow => Self::IfLabelsAllow,
            Enough::No => Self::No,
        }
    }
}

/// A dish for a guest.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Dish {
    /// Which dish.
    pub of: OfDish,
    /// What is known of it. Nothing known is not a promise.
    pub answer: Known,
    /// It is hotter of chilli than they like.
    pub too_hot: bool,
    /// Why, in words.
    pub why: String,
}

/// What is known of a dish and what a guest does not eat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Known {
    /// Nothing is known against it in the words given.
    NothingKnown,
    /// The label decides.
    MayContain,
    /// It is in it.
    Contains,
}

/// The page, without the dishes that are not made.
#[must_use]
pub fn guests(evening: &Evening, dropped: &[usize]) -> GuestsPage {
    let party = &evening.party;
    let all = choices(evening, dropped);
    let each = party.guests.iter().zip(&all);
    GuestsPage {
        format: GUESTS_FORMAT.to_owned(),
        title: party.title.clone(),
        day: party.day.to_string(),
        least_starters: party.least.starters,
        least_mains: party.least.mains,
        guests: each.map(|(guest, choice)| entry(evening, dropped, guest, choice)).collect(),
    }
}

fn entry(evening: &Evening, dropped: &[usize], guest: &Guest, choice: &Choice) -> Entry {
    let count = |c: Count| Choices { open: c.open, label: c.label };
    let made = by_course(evening).into_iter().filter(|d| !dropped.contains(d));
    let dishes = made.filter_map(|dish| {
        let (sheet, found) = (evening.sheets.get(dish)?, choice.dishes.get(dish)?);
        Some(Dish {
            of: OfDish::at(evening, dish)?,
            answer: match found.answer {
                Answer::NothingKnown => Known::NothingKnown,
                Answer::MayContain => Known::MayContain,
                Answer::Contains => Known::Contains,
            },
            too_hot: found.too_hot,
            why: against(guest, sheet, found),
        })
    });
    Entry {
        name: guest.name.clone(),
        count: guest.count,
        wishes: wishes(guest),
        starters: count(choice.starters),
        mains: count(choice.mains),
        enough: choice.enough.into(),
        dishes: dishes.collect(),
    }
}

impl Choices {
    /// "2", or "1 + 2?" where labels decide about two more.
    #[must_use]
    pub fn words(self) -> String {
        Count { open: self.open, label: self.label }.words()
    }
}

impl GuestsPage {
    /// The page as text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut parts = Vec::new();
        for guest in &self.guests {
            let n = if guest.count == 1 { String::new() } else { format!("{} ", guest.count) };
            parts.push(Part::Heading(format!("{n}{}: {}", guest.name, guest.wishes)));
            let counts = format!(
                "{} starters, {} mains: {}.",
                guest.starters.words(),
                guest.mains.words(),
                guest.enough.words()
            );
            parts.push(Part::Words(counts));
            let row = |dish: &Dish| {
                let sign = match (dish.too_hot, dish.answer) {
                    (true, _) | (_, Known::Contains) => "x",
                    (_, Known::MayContain) => "?",
                    (_, Known::NothingKnown) => ".",
                };
                let words = format!("{}: {}", dish.of.title, dish.why);
                vec![sign.to_owned(), dish.of.letter.to_string(), words]
            };
            parts.push(Part::Table(Table::of(
                &format!("Dishes for {}", guest.name),
                vec![Head::tight("Sign"), Head::tight("Letter"), Head::wide("Dish")],
                guest.dishes.iter().map(row),
            )));
        }
        if parts.is_empty() {
            parts.push(Part::Words("No guests are named.".to_owned()));
        }
        let title = headline(&self.title, &self.day, "guests");
        let lead = [format!(
            "Each should find at least {} starters and {} mains. x: something in it speaks against it; \
             ?: the label decides; .: nothing is known against it in the words given.",
            self.least_starters, self.least_mains
        )];
        let paper = Paper { id: "guests", title: "Guests", parts };
        paper::all(&title, &lead, &[paper], &[CAUTION.to_owned()])
    }
}
