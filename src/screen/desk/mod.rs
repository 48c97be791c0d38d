//! The desk: the shelves of parties, recipes and kitchens, found as one types,
//! and the forms in which they are written. Pure: keys go in, wishes come out,
//! and whoever has the disk tells the desk what came of them.

mod bring;
mod brought;
mod draw;
mod list;
mod pointer;
mod press;

pub use bring::Bring;
pub use draw::draw;
pub use list::Thing;

use serde_json::{Value, json};

use super::form::{Form, Known, Paper, Sort, fresh, slug};
use super::look::Look;

/// What the desk wants done outside.
#[derive(Debug, Clone, PartialEq)]
pub enum Wish {
    /// Leave; nothing is lost.
    Leave,
    /// Put the program to sleep until the shell wakes it.
    Suspend,
    /// Draw everything afresh.
    Redraw,
    /// Take the mouse, or let it go.
    Mouse(bool),
    /// Open a thing, or a new one, with its draft if there is one.
    Open(Sort, Option<String>),
    /// Open a copy of a thing.
    Copy(Sort, String),
    /// Save what is in the form.
    Save(Box<Paper>),
    /// Throw the draft of a thing away.
    Discard(Sort, Option<String>),
    /// Take a thing off the shelf.
    TakeOff(Sort, String),
    /// Read the recipes of a file.
    Bring(String),
    /// Write a recipe as schema.org JSON-LD into a file.
    Share(String, String),
    /// Write a party with all that it names into one file.
    Export(String, String),
    /// Cook a party.
    Cook(String),
}

/// What can be done with a thing on the shelf.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deed {
    /// Open its evening.
    Cook,
    /// Change it.
    Change,
    /// Begin another from it.
    Copy,
    /// Write it into one file.
    Export,
    /// Write it for other programs.
    Share,
    /// Take it off the shelf.
    TakeOff,
}

impl Deed {
    /// What the cook reads.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Cook => "Open its evening",
            Self::Change => "Change it",
            Self::Copy => "Copy it, and change the copy",
            Self::Export => "Write it into one file, with all that it names",
            Self::Share => "Share it as schema.org JSON-LD, a file for other programs",
            Self::TakeOff => "Take it off the shelf (the file is kept aside)",
        }
    }
}

/// The desk.
#[derive(Debug, Clone, PartialEq)]
pub struct Desk {
    /// What is on the shelves.
    pub known: Known,
    /// How things look.
    pub look: Look,
    /// The shelf in front.
    pub sort: Sort,
    /// What was typed to find something.
    pub typed: String,
    /// The row in focus.
    pub row: usize,
    /// The form that is open.
    pub form: Option<Form>,
    /// What can be done with the chosen thing, while that is asked; the chosen one.
    pub menu: Option<usize>,
    /// The file that an export goes to, while it is asked: the party or recipe and the path.
    pub export: Option<(String, String)>,
    /// A recipe that is being brought in.
    pub bring: Option<Bring>,
    /// Clicks and the wheel come here; else the terminal keeps them.
    pub mouse: bool,
    /// What the desk has to say to the last press.
    pub say: Option<String>,
}

impl Desk {
    /// The desk with the parties in front.
    #[must_use]
    pub fn new(known: Known, look: Look) -> Self {
        Self {
            known,
            look,
            sort: Sort::Party,
            typed: String::new(),
            row: 0,
            form: None,
            menu: None,
            export: None,
            bring: None,
            mouse: false,
            say: None,
        }
    }

    /// A thing of a shelf as a tree.
    #[must_use]
    pub fn value(&self, sort: Sort, id: &str) -> Option<Value> {
        match sort {
            Sort::Recipe => serde_json::to_value(self.known.recipe(id)?).ok(),
            Sort::Kitchen => serde_json::to_value(self.known.kitchen(id)?).ok(),
            Sort::Party => {
                serde_json::to_value(self.known.parties.iter().find(|p| p.id == id)?).ok()
            }
            Sort::Settings => serde_json::to_value(&self.known.settings).ok(),
        }
    }

    /// Opens a form: of the draft if there is one, else of the thing itself, else of a new one.
    pub fn open(&mut self, sort: Sort, id: Option<&str>, draft: Option<Paper>) {
        let resumed = draft.is_some();
        let paper = draft.unwrap_or_else(|| match id.and_then(|id| self.value(sort, id)) {
            Some(value) => Paper::new(sort, id.map(str::to_owned), Some(value.clone()), value),
            None => Paper::new(sort, None, None, fresh(sort, &self.known)),
        });
        let mut form = Form::open(paper, &self.known);
        if resumed {
            form.say = Some("Here is what you had typed and not saved.".to_owned());
        }
        self.form = Some(form);
    }

    /// Opens a form of a copy.
    pub fn open_copy(&mut self, sort: Sort, id: &str) {
        let Some(mut value) = self.value(sort, id) else { return };
        let title = value.get("title").and_then(Value::as_str).unwrap_or_default();
        let title: String = format!("{title} (mine)").chars().take(80).collect();
        if let Some(map) = value.as_object_mut() {
            map.insert("title".to_owned(), json!(title));
        }
        self.form = Some(Form::open(Paper::new(sort, None, None, value), &self.known));
    }

    /// The form was saved under an id: back to the shelf, at that thing.
    pub fn saved(&mut self, known: Known, sort: Sort, id: &str, words: String) {
        self.known = known;
        self.form = None;
        self.sort = sort;
        self.typed.clear();
        let things = self.things();
        self.row = things.iter().position(|t| t.id.as_deref() == Some(id)).unwrap_or(0);
        self.menu = (sort == Sort::Party).then_some(0);
        self.say = Some(words);
    }

    /// What is on the shelf has been read anew.
    pub fn restock(&mut self, known: Known) {
        self.known = known;
        let last = self.things().len().saturating_sub(1);
        self.row = self.row.min(last);
    }

    /// The id that a new thing would like to have.
    #[must_use]
    pub fn wanted_id(paper: &Paper) -> String {
        let title = paper.value.get("title").and_then(Value::as_str).unwrap_or_default();
        slug(title, paper.sort.word())
    }
}
