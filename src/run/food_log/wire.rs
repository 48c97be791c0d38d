//! The log as a JSON document: `potwatch log --json`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{FoodLog, Row};
use crate::run::afterwards;

/// The format's name and number.
pub const LOG_FORMAT: &str = "potwatch log 1";

/// The temperature log of an evening.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LogFile {
    /// `potwatch log 1`; another number means other fields.
    pub format: String,
    /// The party's title.
    pub title: String,
    /// Its day: 2026-11-25.
    pub day: String,
    /// The guidance, its edition and for whom it is.
    pub guidance: String,
    /// What happened, in order of time.
    pub rows: Vec<LogRow>,
    /// Foods that are past their limit and still there.
    pub must_go: Vec<String>,
    /// Cooked food that is put away warm: by when it must be how cold.
    pub cooling: Vec<String>,
    /// How food cools fast enough, with the source.
    pub methods: Vec<String>,
    /// A label for each container in the fridge.
    pub labels: Vec<Label>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Every figure of the guidance with its source.
    pub sources: Vec<String>,
}

/// A line of the log.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LogRow {
    /// Milliseconds since 1970-01-01 UTC.
    pub unix_ms: i64,
    /// The same on the wall: `2026-11-25 18:04`.
    pub when: String,
    /// The food; "room" for the air.
    pub food: String,
    /// What happened.
    pub what: String,
    /// The reading, in the party's degrees; nothing if none was taken.
    pub reading: Option<String>,
    /// The limit that it is held against.
    pub limit: Option<String>,
    /// Whether it was kept: "ok", "NOT MET".
    pub verdict: Option<String>,
    /// The guidance in force at that time.
    pub guidance: String,
}

/// What goes on a container.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Label {
    /// The food.
    pub food: String,
    /// The day on which it was made: 2026-11-25.
    pub made: String,
    /// The last day on which it may be used; nothing: it is not perishable.
    pub use_by: Option<String>,
    /// How hot it is heated again.
    pub reheat: String,
}

/// The document of a log.
#[must_use]
pub fn log_file(log: &FoodLog) -> LogFile {
    LogFile {
        format: LOG_FORMAT.to_owned(),
        title: log.title.clone(),
        day: log.day.clone(),
        guidance: log.guidance.clone(),
        rows: log.rows.iter().map(row).collect(),
        must_go: log.after.must_go.clone(),
        cooling: log.after.cooling.clone(),
        methods: log.after.methods.clone(),
        labels: log.after.labels.iter().map(label).collect(),
        cautions: log.cautions.clone(),
        sources: log.sources.clone(),
    }
}

fn row(row: &Row) -> LogRow {
    let said = |words: &str| (!words.is_empty()).then(|| words.to_owned());
    LogRow {
        unix_ms: row.at_ms,
        when: row.when.clone(),
        food: row.food.clone(),
        what: row.what.clone(),
        reading: said(&row.reading),
        limit: said(&row.limit),
        verdict: said(row.verdict),
        guidance: row.guidance.clone(),
    }
}

fn label(label: &afterwards::Label) -> Label {
    Label {
        food: label.food.clone(),
        made: label.made.to_string(),
        use_by: label.use_by.map(|day| day.to_string()),
        reheat: label.reheat.clone(),
    }
}
