//! Everything on paper: sheets made of a few kinds of parts, printed as text or
//! all together as one page for a browser and its printer.
//!
//! Sheets are data; `text` and `html` print any of them, so that a new sheet
//! needs a function that makes its parts and nothing else.

mod html;
mod sheets;
#[cfg(test)]
mod tests;
mod text;
pub mod wire;

pub use html::page;
pub use sheets::{Make, sheets};
pub use text::{all, text};

use super::card::Card;
use super::chart::Picture;

/// A sheet of paper.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Paper {
    /// Its name as a file's: `run-sheet`.
    pub id: &'static str,
    /// Its heading.
    pub title: &'static str,
    /// What is on it.
    pub parts: Vec<Part>,
}

/// What a sheet is made of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Part {
    /// A heading below the sheet's own.
    Heading(String),
    /// A line or more to be read.
    Words(String),
    /// What must not be overlooked.
    Caution(String),
    /// Lines with a bullet.
    List(Vec<String>),
    /// Rows under heads.
    Table(Table),
    /// Cards to be cut out.
    Cards(Vec<Card>),
    /// Pictures; in text there is nothing of them.
    Pictures(Vec<Picture>),
}

/// Rows under heads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// What it shows, for who has it read aloud.
    pub caption: String,
    /// The heads of the columns.
    pub heads: Vec<Head>,
    /// The rows, each with a cell for every head.
    pub rows: Vec<Vec<String>>,
}

/// The head of a column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Head {
    /// Its words; empty for a column of boxes to tick.
    pub words: &'static str,
    /// Its cells are short and stay on one line.
    pub tight: bool,
}

impl Head {
    /// A column whose cells are broken where they need to.
    #[must_use]
    pub const fn wide(words: &'static str) -> Self {
        Self { words, tight: false }
    }

    /// A column whose cells stay on one line.
    #[must_use]
    pub const fn tight(words: &'static str) -> Self {
        Self { words, tight: true }
    }

    /// A column of boxes to tick.
    pub const TICK: Self = Self { words: "", tight: true };
}
