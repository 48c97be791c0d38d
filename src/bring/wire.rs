//! A reading for other programs: a part of what `potwatch recipe read --json` prints.

use schemars::JsonSchema;
use serde::Serialize;

use super::line::{IngredientLine, LineReading, Measure};
use crate::kitchen::units::{Exact, Unit};

/// An ingredient line and how it was read.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct LineEntry {
    /// The line as it stands in the source.
    pub line: String,
    /// "ingredient", "heading" or "unread".
    pub kind: &'static str,
    /// The heading's words, or why the line was not read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub says: Option<String>,
    /// The reading of an ingredient.
    #[serde(flatten, skip_serializing_if = "Option::is_none")]
    pub reading: Option<ReadingEntry>,
}

/// An ingredient as it was read.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct ReadingEntry {
    /// How much in all, or the lower end of a range.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub amount: Option<Exact>,
    /// The upper end of a range.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub amount_to: Option<Exact>,
    /// The unit's word as written, in lower case.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit_word: Option<String>,
    /// The kitchen's unit, if it has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<Unit>,
    /// What a sum is made of.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<MeasureEntry>,
    /// The same amount in other units.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub equals: Vec<MeasureEntry>,
    /// What one can, packet or piece holds.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pack: Option<MeasureEntry>,
    /// What it is.
    pub item: String,
    /// What may be taken instead.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub or: Vec<String>,
    /// What is done to it beforehand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub prep: Option<String>,
    /// How large a piece is.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub sizes: Vec<String>,
    /// Whatever else is said.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
    /// May be left out.
    pub optional: bool,
    /// Goes in at more than one place.
    pub divided: bool,
    /// As much as tastes good.
    pub to_taste: bool,
    /// The amount is said to be rough.
    pub about: bool,
}

/// An amount with its unit.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct MeasureEntry {
    /// How much, or the lower end of a range.
    pub amount: Exact,
    /// The upper end of a range.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub amount_to: Option<Exact>,
    /// The unit's word as written, in lower case.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit_word: Option<String>,
}

/// A line and its reading as an entry.
#[must_use]
pub fn entry(line: &str, reading: &LineReading) -> LineEntry {
    let (kind, says, reading) = match reading {
        LineReading::Ingredient(i) => ("ingredient", None, Some(ingredient(i))),
        LineReading::Heading(words) => ("heading", Some(words.clone()), None),
        LineReading::Unread(why) => ("unread", Some((*why).to_owned()), None),
    };
    LineEntry { line: line.to_owned(), kind, says, reading }
}

fn ingredient(i: &IngredientLine) -> ReadingEntry {
    ReadingEntry {
        amount: i.amount,
        amount_to: i.amount_to,
        unit_word: i.unit.as_ref().map(|u| u.word.clone()),
        unit: i.unit.as_ref().and_then(|u| u.unit),
        parts: i.parts.iter().map(measure).collect(),
        equals: i.equals.iter().map(measure).collect(),
        pack: i.pack.as_ref().map(measure),
        item: i.item.clone(),
        or: i.or.clone(),
        prep: i.prep.clone(),
        sizes: i.sizes.clone(),
        notes: i.notes.clone(),
        optional: i.optional,
        divided: i.divided,
        to_taste: i.to_taste,
        about: i.about,
    }
}

fn measure(m: &Measure) -> MeasureEntry {
    MeasureEntry {
        amount: m.amount,
        amount_to: m.to,
        unit_word: m.unit.as_ref().map(|u| u.word.clone()),
    }
}
