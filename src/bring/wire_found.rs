//! A recipe as it was found, for other programs: what `potwatch recipe read --json` prints.

use schemars::JsonSchema;
use serde::Serialize;

use super::draft::draft;
use super::found::{Found, Words};
use super::line;
use super::wire::{self, LineEntry};
use crate::kitchen::Recipe;

/// The format's name and number.
pub const FOUND_FORMAT: &str = "potwatch found 1";

/// A recipe as it was found, with each line's reading.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FoundEntry {
    /// `potwatch found 1`; another number means other fields.
    pub format: &'static str,
    /// Its name.
    pub title: String,
    /// What it was found in.
    pub origin: &'static str,
    /// How much it makes, in the source's words.
    pub makes: Option<String>,
    /// Servings or pieces that it makes.
    pub servings: Option<u32>,
    /// Minutes to make ready, to cook, in all.
    pub prep_minutes: Option<u32>,
    /// Minutes to cook.
    pub cook_minutes: Option<u32>,
    /// Minutes in all.
    pub total_minutes: Option<u32>,
    /// Lines of ingredients with their readings.
    pub ingredients: Vec<IngredientEntry>,
    /// The method.
    pub method: Vec<StepEntry>,
    /// What the source claims of diets.
    pub diets: Vec<String>,
    /// What is said about it.
    pub notes: Vec<String>,
    /// Lines that found no place.
    pub unplaced: Vec<String>,
    /// What the cook should know of how it was read.
    pub said: Vec<String>,
    /// The recipe that would be made of it, nothing of it confirmed.
    pub proposal: Recipe,
    /// What the cook should know of that.
    pub proposal_said: Vec<String>,
}

/// A line of ingredients under its heading.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct IngredientEntry {
    /// The heading.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub section: Option<String>,
    /// The line and its reading.
    #[serde(flatten)]
    pub line: LineEntry,
}

/// A piece of the method.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct StepEntry {
    /// The heading that it stands under.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub section: Option<String>,
    /// Its words.
    pub text: String,
    /// Minutes that the source gives it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub minutes: Option<u32>,
}

/// A recipe as an entry.
#[must_use]
pub fn entry(found: &Found) -> FoundEntry {
    let ingredient = |w: &Words| IngredientEntry {
        section: w.section.clone(),
        line: wire::entry(&w.text, &line::read(&w.text)),
    };
    let step = |w: &Words| StepEntry {
        section: w.section.clone(),
        text: w.text.clone(),
        minutes: w.minutes,
    };
    let proposal = draft(found);
    FoundEntry {
        format: FOUND_FORMAT,
        title: found.title.clone(),
        origin: found.origin.words(),
        makes: found.makes.clone(),
        servings: found.servings,
        prep_minutes: found.times.prep,
        cook_minutes: found.times.cook,
        total_minutes: found.times.total,
        ingredients: found.lines.iter().map(ingredient).collect(),
        method: found.method.iter().map(step).collect(),
        diets: found.diets.clone(),
        notes: found.notes.clone(),
        unplaced: found.unplaced.clone(),
        said: found.said.clone(),
        proposal: proposal.recipe,
        proposal_said: proposal.said,
    }
}
