//! The cook's settings: what holds for each, whether it was set, and what it does.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::paper::{self, Head, Paper, Part, Table};

/// The format's name and number.
pub const SETTINGS_FORMAT: &str = "potwatch settings 1";

/// The settings.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SettingsPage {
    /// `potwatch settings 1`; another number means other fields.
    pub format: String,
    /// Their file; nothing if there is no place for it.
    pub file: Option<String>,
    /// What is wrong with the file, in which case nothing of it counts.
    pub trouble: Option<String>,
    /// Each of them, in the order of the desk.
    pub settings: Vec<Setting>,
    /// Ranks whose alarms make no sound; the screen shows them.
    pub silent: Vec<String>,
}

/// One setting.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Setting {
    /// Its name, in the file and at the command.
    pub name: String,
    /// What it is called at the desk.
    pub title: String,
    /// As it stands in the file; nothing if it is not set.
    pub value: Option<serde_json::Value>,
    /// What holds, in words.
    pub holds: String,
    /// Where that comes from.
    pub from: Whence,
    /// What it does.
    pub help: String,
    /// What it can be; nothing where a number or words are typed.
    pub choices: Vec<Choice>,
}

/// Something that a setting can be.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Choice {
    /// As the file has it.
    pub value: String,
    /// In words.
    pub words: String,
}

/// Where what holds comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Whence {
    /// The cook set it.
    Set,
    /// The system's locale.
    System,
    /// As it is where nobody sets it.
    Usual,
}

impl Setting {
    /// As a row of a table: its name, where it comes from, what holds.
    #[must_use]
    pub fn row(&self) -> Vec<String> {
        let from = match self.from {
            Whence::Set => "set",
            Whence::System => "as the system has it",
            Whence::Usual => "usual",
        };
        vec![self.name.clone(), from.to_owned(), self.holds.clone()]
    }
}

/// A table of settings.
#[must_use]
pub fn table(settings: &[Setting]) -> Table {
    let heads = vec![Head::tight("Setting"), Head::tight("From"), Head::wide("Holds")];
    Table::of("Settings", heads, settings.iter().map(Setting::row).collect::<Vec<_>>())
}

impl SettingsPage {
    /// The settings as text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut parts = Vec::new();
        if let [one] = self.settings.as_slice() {
            parts.push(Part::Heading(one.title.clone()));
            parts.push(Part::Words(one.help.clone()));
            let choice = |c: &Choice| format!("{}: {}", c.value, c.words);
            parts.push(Part::List(one.choices.iter().map(choice).collect()));
        }
        parts.insert(0, Part::Table(table(&self.settings)));
        if !self.silent.is_empty() {
            let words = "No sound for these alarms; the screen shows them, and somebody must look";
            parts.push(Part::Words(format!("{words}: {}.", self.silent.join(", "))));
        }
        let lead: Vec<String> = self.trouble.iter().chain(&self.file).cloned().collect();
        let paper = Paper { id: "settings", title: "Settings", parts };
        let foot = [
            "`potwatch settings NAME` says what one does, `potwatch settings NAME VALUE` sets it, \
             `usual` takes it back. `potwatch desk` has them as a form."
                .to_owned(),
        ];
        paper::all("Your settings", &lead, &[paper], &foot)
    }
}
