//! Forms: what is typed about a recipe, a kitchen, a party or the settings,
//! field by field. A form edits the tree of the file ([`Paper`]); what each kind
//! of file holds is a table of [`Item`]s (`subject/`); what a field means is its
//! [`Kind`]. While a form has the focus, letters are text.
//!
//! A text that cannot be read stays as it was typed, with what is wrong beside
//! it; the file keeps its last sound value until it is put right.

mod confirm;
pub mod diff;
mod draw;
mod faults;
pub mod kind;
mod known;
mod pick;
mod pointer;
mod press;
pub mod program;
mod rows;
mod sketch;
mod subject;
pub mod tree;

pub use draw::draw;
pub use faults::{Fault, faults};
pub use kind::{Kind, Reader};
pub use known::{Known, Sort, slug};
pub use pick::Pick;
pub use pointer::{click, wheel};
pub use press::{Asks, paste, press};
pub use rows::{Row, What};
pub use subject::{choices, fresh, settings_fields};

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use serde_json::Value;

/// A field of a form.
#[derive(Debug)]
pub struct Spec {
    /// Its path, below the entry that the form is at.
    pub key: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// What the cook should know to fill it in.
    pub help: &'static str,
    /// What it holds.
    pub kind: Kind,
    /// Shown while it is empty; it may be left so.
    pub blank: Option<&'static str>,
    /// Shown only for entries of which this holds.
    pub when: Option<fn(&Value) -> bool>,
}

/// A list of a form: a row for each entry, which opens as a form of its own.
#[derive(Debug)]
pub struct ListSpec {
    /// Its path, below the entry that the form is at.
    pub key: &'static str,
    /// The heading.
    pub title: &'static str,
    /// What one entry is called: "step".
    pub one: &'static str,
    /// What the cook should know.
    pub help: &'static str,
    /// The first entry that is shown: those before have fields of their own.
    pub from: usize,
    /// What an entry holds.
    pub items: &'static [Item],
    /// An entry in a line: the whole file, the entry, how it is read.
    pub sum: fn(&Value, &Value, &Known) -> String,
    /// A new entry; the text is what was picked for it, if something is.
    pub make: fn(&Value, &str, &Known) -> Value,
    /// A new entry begins with a choice of this kind.
    pub pick: Option<Kind>,
}

impl ListSpec {
    /// Is an entry nothing but what was picked, with no fields to open?
    #[must_use]
    pub const fn is_bare(&self) -> bool {
        self.items.is_empty()
    }
}

/// A part of a form.
#[derive(Debug)]
pub enum Item {
    /// A heading.
    Head(&'static str),
    /// A field.
    Field(Spec),
    /// A list.
    List(ListSpec),
}

/// An entry that was opened.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Opened {
    /// Its path: `steps[2]`.
    pub path: String,
    /// The row that it was opened from.
    pub row: usize,
}

/// What is being written: kept on the disk at every key, as it is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Paper {
    /// What kind of thing it is.
    pub sort: Sort,
    /// The name under which it is kept; a new thing has none yet.
    pub id: Option<String>,
    /// As it was on the shelf when it was opened.
    pub before: Option<Value>,
    /// As it is now.
    pub value: Value,
    /// Texts that are being typed, or cannot be read, by their fields.
    #[serde(default)]
    pub typed: BTreeMap<String, String>,
    /// The entries that are open, outermost first.
    #[serde(default)]
    pub opened: Vec<Opened>,
    /// The row in focus.
    #[serde(default)]
    pub row: usize,
    /// It was read from a text: it is kept before anything in it is touched.
    #[serde(default)]
    pub brought: bool,
}

impl Paper {
    /// A paper for a thing as it is on the shelf, or for a new one.
    #[must_use]
    pub fn new(sort: Sort, id: Option<String>, before: Option<Value>, value: Value) -> Self {
        Self {
            sort,
            id,
            before,
            value,
            typed: BTreeMap::new(),
            opened: Vec::new(),
            row: 0,
            brought: false,
        }
    }

    /// A paper for a new thing that was read from a text.
    #[must_use]
    pub fn brought(sort: Sort, value: Value) -> Self {
        Self { brought: true, ..Self::new(sort, None, None, value) }
    }

    /// The path of the entry that is open; empty for the whole file.
    #[must_use]
    pub fn place(&self) -> &str {
        self.opened.last().map_or("", |o| o.path.as_str())
    }

    /// Does it say anything else than the shelf?
    #[must_use]
    pub fn is_changed(&self) -> bool {
        !self.typed.is_empty() || self.before.as_ref() != Some(&self.value)
    }

    /// The text of the file, in the order of its type's fields; the reason if
    /// it is not whole yet.
    ///
    /// # Errors
    /// What is missing, in serde's words.
    pub fn text(&self) -> Result<String, String> {
        self.sort.file_text(&self.value)
    }
}

/// A form with the focus.
#[derive(Debug, Clone, PartialEq)]
pub struct Form {
    /// What is written.
    pub paper: Paper,
    past: Vec<Paper>,
    future: Vec<Paper>,
    /// The field whose typing the last snapshot began.
    typing: Option<String>,
    /// Letters before the cursor.
    cursor: usize,
    /// All of the field is marked: the next letter replaces it.
    marked: bool,
    /// A list to choose from, while it is open.
    pub pick: Option<Pick>,
    /// What would change on the shelf, shown before it does: lines scrolled past.
    pub diff: Option<usize>,
    /// What the form has to say to the last press.
    pub say: Option<String>,
}

/// Snapshots kept for undo.
const UNDO_MOST: usize = 200;

impl Form {
    /// Opens a paper.
    #[must_use]
    pub fn open(paper: Paper, known: &Known) -> Self {
        let mut form = Self {
            paper,
            past: Vec::new(),
            future: Vec::new(),
            typing: None,
            cursor: 0,
            marked: true,
            pick: None,
            diff: None,
            say: None,
        };
        // What was being typed when it was last left stays as it was typed, down to a space at its end.
        let typed = form.paper.typed.clone();
        form.go(form.paper.row, known);
        form.paper.typed = typed;
        form
    }

    /// The rows of the entry that is open.
    #[must_use]
    pub fn rows(&self, known: &Known) -> Vec<Row> {
        rows::rows(&self.paper, known)
    }

    /// The row in focus.
    #[must_use]
    pub fn row(&self, known: &Known) -> Option<Row> {
        self.rows(known).into_iter().nth(self.paper.row)
    }

    /// Has anything been changed since it was opened?
    #[must_use]
    pub fn is_touched(&self) -> bool {
        !self.past.is_empty()
    }

    /// Puts the focus on a row, or the nearest that can have it.
    fn go(&mut self, wanted: usize, known: &Known) {
        let rows = self.rows(known);
        let ahead = rows.iter().enumerate().skip(wanted).find(|(_, r)| r.what.takes_focus());
        let back = || rows.iter().enumerate().rev().find(|(_, r)| r.what.takes_focus());
        let (at, text) = ahead.or_else(back).map_or((0, 0), |(i, r)| (i, r.text.chars().count()));
        self.paper.row = at;
        self.cursor = text;
        self.marked = true;
        self.typing = None;
        self.settle(known);
    }

    /// Forgets typed texts that can be read: they are in the file. But the
    /// field in focus keeps what is typed into it.
    fn settle(&mut self, known: &Known) {
        let open = self.typing.clone();
        let by = known.reader;
        let sort = self.paper.sort;
        self.paper.typed.retain(|path, text| {
            Some(path) == open.as_ref()
                || subject::spec_at(sort, path)
                    .is_some_and(|spec| readable(spec, text, by).is_err())
        });
    }

    /// Keeps the paper as it is, to be brought back by undo.
    fn snapshot(&mut self) {
        self.past.push(self.paper.clone());
        if self.past.len() > UNDO_MOST {
            self.past.remove(0);
        }
        self.future.clear();
    }

    /// Takes the last change back.
    fn undo(&mut self, known: &Known) {
        let Some(before) = self.past.pop() else {
            self.say = Some("Nothing to undo.".to_owned());
            return;
        };
        self.future.push(std::mem::replace(&mut self.paper, before));
        self.go(self.paper.row, known);
    }

    /// Makes the change again that was taken back.
    fn redo(&mut self, known: &Known) {
        let Some(after) = self.future.pop() else {
            self.say = Some("Nothing to do again.".to_owned());
            return;
        };
        self.past.push(std::mem::replace(&mut self.paper, after));
        self.go(self.paper.row, known);
    }
}

/// Reads the text of a field; one that is needed may not be empty.
fn readable(spec: &Spec, text: &str, by: Reader) -> Result<Option<Value>, String> {
    match spec.kind.read(text, by)? {
        None if spec.blank.is_none() => Err("Something must stand here.".to_owned()),
        value => Ok(value),
    }
}

#[cfg(test)]
mod tests;
