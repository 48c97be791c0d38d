//! The shelves of the desk: parties, recipes and kitchens, the cook's own and those
//! inside the program, and the settings.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::settings::{Setting, table};
use crate::kitchen::clock::Hours;
use crate::kitchen::customs::OvenDial;
use crate::kitchen::units::Degrees;
use crate::kitchen::{Customs, Settings};
use crate::paper::{self, Head, Paper, Part, Table};

/// The format's name and number.
pub const SHELF_FORMAT: &str = "potwatch shelf 1";

/// What stands on the desk.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ShelfPage {
    /// `potwatch shelf 1`; another number means other fields.
    pub format: String,
    /// Parties, by id.
    pub parties: Vec<Entry>,
    /// Recipes: the cook's own, then those inside the program.
    pub recipes: Vec<Entry>,
    /// Kitchens: the cook's own, then those inside the program.
    pub kitchens: Vec<Entry>,
    /// How things are read and written.
    pub settings: SettingsEntry,
}

/// A thing on a shelf.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Its id.
    pub id: String,
    /// Its title; nothing if its file cannot be read.
    pub title: Option<String>,
    /// A party's day, a recipe's course, in a word; nothing for a kitchen.
    pub says: Option<String>,
    /// Its file; nothing if it is inside the program.
    pub file: Option<String>,
    /// What is wrong with its file.
    pub trouble: Option<String>,
}

/// The settings: what is set, and what holds.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SettingsEntry {
    /// Their file; nothing if there is no place for it.
    pub file: Option<String>,
    /// What is set; what is not follows the system.
    pub set: Settings,
    /// Degrees that hold.
    pub degrees: Degrees,
    /// What stands on the dial of the oven.
    pub oven: OvenDial,
    /// The clock that holds.
    pub hours: Hours,
    /// A comma before the tenths, not a point.
    pub comma: bool,
    /// Plans go by the cook's own times.
    pub own_times: bool,
    /// Each of them, in the order of the desk.
    #[serde(default)]
    pub all: Vec<Setting>,
}

impl SettingsEntry {
    /// What is set and what follows.
    #[must_use]
    pub fn of(file: Option<String>, set: Settings, holds: Customs, all: Vec<Setting>) -> Self {
        let Customs { degrees, oven, hours, comma } = holds;
        let own_times = set.own_times.unwrap_or(true);
        Self { file, set, degrees, oven, hours, comma, own_times, all }
    }
}

impl ShelfPage {
    /// The shelves as text.
    #[must_use]
    pub fn text(&self) -> String {
        let settings = table(&self.settings.all);
        let papers = [
            shelf("parties", "Parties", &self.parties),
            shelf("recipes", "Recipes", &self.recipes),
            shelf("kitchens", "Kitchens", &self.kitchens),
            Paper { id: "settings", title: "Settings", parts: vec![Part::Table(settings)] },
        ];
        let foot = ["`potwatch desk` changes any of it.".to_owned()];
        paper::all("Your shelf", &[], &papers, &foot)
    }
}

fn shelf(id: &'static str, title: &'static str, entries: &[Entry]) -> Paper {
    let row = |entry: &Entry| {
        let whose = if entry.file.is_some() { "yours" } else { "built in" };
        let title = entry.title.as_deref().or(entry.trouble.as_deref()).unwrap_or_default();
        let says = entry.says.as_ref().map_or_else(String::new, |says| format!(", {says}"));
        vec![entry.id.clone(), whose.to_owned(), format!("{title}{says}")]
    };
    let heads = vec![Head::tight("Id"), Head::tight("Whose"), Head::wide("What")];
    let rows: Vec<Vec<String>> = entries.iter().map(row).collect();
    let part = match rows.is_empty() {
        true => Part::Words("None yet.".to_owned()),
        false => Part::Table(Table::of(title, heads, rows)),
    };
    Paper { id, title, parts: vec![part] }
}
