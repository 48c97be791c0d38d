//! Sheets as data: a few kinds of parts, printed as text or all together as one
//! page, so that a new sheet needs a function that makes its parts and nothing else.

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

/// A card to be cut out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Card {
    /// The dish's letter.
    pub letter: char,
    /// The dish.
    pub title: String,
    /// What is said of it: a word and what it is.
    pub lines: Vec<(&'static str, String)>,
}

/// A picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// What stands above it: "14:00 to 17:00".
    pub title: String,
    /// Height in units; the width is 1000.
    pub height: i32,
    /// The picture: an `svg` element.
    pub svg: String,
}

/// Rows under heads.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// What it shows, for who has it read aloud.
    pub caption: String,
    /// The heads of the columns.
    pub heads: Vec<Head>,
    /// The rows.
    pub rows: Vec<Row>,
}

impl Table {
    /// A table of plain rows.
    #[must_use]
    pub fn of(
        caption: &str,
        heads: Vec<Head>,
        rows: impl IntoIterator<Item = Vec<String>>,
    ) -> Self {
        let rows = rows.into_iter().map(Row::Cells).collect();
        Self { caption: caption.to_owned(), heads, rows }
    }
}

/// A row of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Row {
    /// A cell for every head.
    Cells(Vec<String>),
    /// A heading for the rows below it, as wide as the table.
    Heading(String),
    /// What must not be overlooked before the rows below it.
    Caution(String),
}

/// What stands in a cell of a column of boxes whose box is ticked.
pub const TICKED: &str = "x";

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
