//! The sheets as a JSON document: `potwatch sheets --json`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Card, Paper, Part, Picture, Row};

/// The format's name and number.
pub const SHEETS_FORMAT: &str = "potwatch sheets 1";

/// Everything for paper.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SheetsFile {
    /// `potwatch sheets 1`; another number means other fields.
    pub format: String,
    /// What heads them all.
    pub title: String,
    /// What stands below the title.
    pub lead: Vec<String>,
    /// The sheets.
    pub sheets: Vec<SheetEntry>,
    /// What stands at the end.
    pub foot: Vec<String>,
}

/// A sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SheetEntry {
    /// Its name, as `--sheet` takes it.
    pub id: String,
    /// Its heading.
    pub title: String,
    /// What is on it.
    pub parts: Vec<PartEntry>,
}

/// A row of a table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum RowEntry {
    /// A cell for every head.
    Cells(Vec<String>),
    /// A heading for the rows below it.
    Heading(String),
    /// What must not be overlooked before the rows below it.
    Caution(String),
}

/// What a sheet is made of.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "kind", rename_all = "snake_case", deny_unknown_fields)]
pub enum PartEntry {
    /// A heading below the sheet's own.
    Heading {
        /// Its words.
        words: String,
    },
    /// A line or more to be read.
    Words {
        /// What is said.
        words: String,
    },
    /// What must not be overlooked.
    Caution {
        /// What is said.
        words: String,
    },
    /// Lines with a bullet.
    List {
        /// The lines.
        items: Vec<String>,
    },
    /// Rows under heads.
    Table {
        /// What it shows.
        caption: String,
        /// The heads of the columns; an empty one is a column of boxes to tick.
        heads: Vec<String>,
        /// The rows.
        rows: Vec<RowEntry>,
    },
    /// Cards to be cut out.
    Cards {
        /// The cards.
        cards: Vec<CardEntry>,
    },
    /// A stretch of the plan as a picture.
    Picture {
        /// From when to when.
        title: String,
        /// An `svg` element.
        svg: String,
    },
}

/// A card.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CardEntry {
    /// The dish's letter.
    pub letter: char,
    /// The dish.
    pub title: String,
    /// What is said of it.
    pub lines: Vec<CardLine>,
}

/// A line of a card.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CardLine {
    /// A word.
    pub name: String,
    /// What it is.
    pub words: String,
}

/// The document of some sheets.
#[must_use]
pub fn sheets_file(title: &str, lead: &[String], papers: &[Paper], foot: &[String]) -> SheetsFile {
    let sheet = |paper: &Paper| SheetEntry {
        id: paper.id.to_owned(),
        title: paper.title.to_owned(),
        parts: paper.parts.iter().flat_map(parts).collect(),
    };
    SheetsFile {
        format: SHEETS_FORMAT.to_owned(),
        title: title.to_owned(),
        lead: lead.to_vec(),
        sheets: papers.iter().map(sheet).collect(),
        foot: foot.to_vec(),
    }
}

fn row(row: &Row) -> RowEntry {
    match row {
        Row::Cells(cells) => RowEntry::Cells(cells.clone()),
        Row::Heading(words) => RowEntry::Heading(words.clone()),
        Row::Caution(words) => RowEntry::Caution(words.clone()),
    }
}

/// The entries of a part: each picture of several is one.
fn parts(part: &Part) -> Vec<PartEntry> {
    let one = match part {
        Part::Heading(words) => PartEntry::Heading { words: words.clone() },
        Part::Words(words) => PartEntry::Words { words: words.clone() },
        Part::Caution(words) => PartEntry::Caution { words: words.clone() },
        Part::List(items) => PartEntry::List { items: items.clone() },
        Part::Table(table) => PartEntry::Table {
            caption: table.caption.clone(),
            heads: table.heads.iter().map(|head| head.words.to_owned()).collect(),
            rows: table.rows.iter().map(row).collect(),
        },
        Part::Cards(cards) => {
            let line = |(name, words): &(&str, String)| CardLine {
                name: (*name).to_owned(),
                words: words.clone(),
            };
            let card = |card: &Card| CardEntry {
                letter: card.letter,
                title: card.title.clone(),
                lines: card.lines.iter().map(line).collect(),
            };
            PartEntry::Cards { cards: cards.iter().map(card).collect() }
        }
        Part::Pictures(pictures) => {
            let picture =
                |p: &Picture| PartEntry::Picture { title: p.title.clone(), svg: p.svg.clone() };
            return pictures.iter().map(picture).collect();
        }
    };
    vec![one]
}
