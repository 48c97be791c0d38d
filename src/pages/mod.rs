//! What each page says, as data: printed as text or as JSON by the commands, drawn
//! from the same words by the screen.
//!
//! A page is a struct with its format's name and number, made from the evening, the
//! plan and the view, with a `text` of at most 80 columns. Its JSON Schema stands in
//! `shared/schema/`; another number in `format` means other fields. Times are told
//! twice: for programs in unix milliseconds or minutes of the party's day, for people
//! as the wall clock shows them.

pub mod ahead;
pub mod alarms;
pub mod guests;
pub mod holding;
pub mod lists;
pub mod menu;
pub mod now;
pub mod serving;
pub mod settings;
pub mod sheets;
pub mod shelf;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::kitchen::{Evening, Minute};

/// Stands below whatever shows a safety figure.
pub const CAUTION: &str =
    "Local food safety rules and package directions win over the figures here.";

/// A moment of an evening.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Moment {
    /// Milliseconds since 1970-01-01 UTC.
    pub unix_ms: i64,
    /// As the party's wall clock shows it: "18:04".
    pub clock: String,
}

impl Moment {
    /// A moment of this evening.
    #[must_use]
    pub fn of(evening: &Evening, unix_ms: i64) -> Self {
        Self { unix_ms, clock: evening.face.read(unix_ms) }
    }
}

/// A minute of the party's day, 0 its midnight; below 0 the days before.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Planned {
    /// Minutes from the party's midnight.
    pub minute: Minute,
    /// As the party's wall clock shows it: "18:04".
    pub clock: String,
}

impl Planned {
    /// A minute of this evening.
    #[must_use]
    pub fn of(evening: &Evening, minute: Minute) -> Self {
        Self { minute, clock: evening.face.label(minute) }
    }
}

/// Which dish something is about.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OfDish {
    /// Id of the dish.
    pub dish: String,
    /// Its letter on the chart.
    pub letter: char,
    /// Its title.
    pub title: String,
}

impl OfDish {
    /// The dish of this index; nothing if there is none.
    #[must_use]
    pub fn at(evening: &Evening, dish: usize) -> Option<Self> {
        let sheet = evening.sheets.get(dish)?;
        let (dish, title) = (sheet.id.clone(), sheet.recipe.title.clone());
        Some(Self { dish, letter: sheet.letter, title })
    }
}

/// The first line of a page's text: "Supper, 2026-11-25: menu".
fn headline(title: &str, day: &str, page: &str) -> String {
    format!("{title}, {day}: {page}")
}
