//! The rows of a form: fields, headings, entries of lists and the places to add to them.

use serde_json::Value;

use super::{Item, Known, ListSpec, Paper, Spec, subject, tree};

/// What a row is.
#[derive(Debug, Clone, Copy)]
pub enum What {
    /// A heading.
    Head,
    /// A field.
    Field(&'static Spec),
    /// An entry of a list.
    Entry(&'static ListSpec, usize),
    /// Where an entry is added.
    Add(&'static ListSpec),
}

impl What {
    /// Can it have the focus?
    #[must_use]
    pub const fn takes_focus(&self) -> bool {
        !matches!(self, Self::Head)
    }
}

/// A row.
#[derive(Debug, Clone)]
pub struct Row {
    /// Its place in the file.
    pub path: String,
    /// What it is called.
    pub label: String,
    /// What stands in it.
    pub text: String,
    /// What it is.
    pub what: What,
}

/// The rows of the entry that is open.
pub(super) fn rows(paper: &Paper, known: &Known) -> Vec<Row> {
    let place = paper.place();
    let Some(items) = subject::items_at(paper.sort, place) else { return Vec::new() };
    let entry = if place.is_empty() { Some(&paper.value) } else { tree::get(&paper.value, place) };
    let Some(entry) = entry else { return Vec::new() };
    let mut rows = Vec::new();
    for item in items {
        match item {
            Item::Head(title) => rows.push(head(title)),
            Item::Field(spec) if spec.when.is_none_or(|when| when(entry)) => {
                rows.push(field(paper, known, place, spec));
            }
            Item::Field(_) => {}
            Item::List(list) => push_list(&mut rows, paper, known, place, list),
        }
    }
    rows
}

fn head(title: &str) -> Row {
    let (path, text) = (String::new(), String::new());
    Row { path, label: title.to_owned(), text, what: What::Head }
}

fn field(paper: &Paper, known: &Known, place: &str, spec: &'static Spec) -> Row {
    let path = tree::join(place, spec.key);
    let text = match (paper.typed.get(&path), tree::get(&paper.value, &path)) {
        (Some(typed), _) => typed.clone(),
        (None, Some(value)) => subject::shown(paper, known, spec, value),
        (None, None) => String::new(),
    };
    Row { path, label: spec.label.to_owned(), text, what: What::Field(spec) }
}

fn push_list(
    rows: &mut Vec<Row>,
    paper: &Paper,
    known: &Known,
    place: &str,
    list: &'static ListSpec,
) {
    rows.push(head(list.title));
    let path = tree::join(place, list.key);
    let entries: &[Value] = tree::list(&paper.value, &path);
    for (n, entry) in entries.iter().enumerate().skip(list.from) {
        rows.push(Row {
            path: format!("{path}[{n}]"),
            label: format!("{}", n + 1),
            text: (list.sum)(&paper.value, entry, known),
            what: What::Entry(list, n),
        });
    }
    rows.push(Row {
        path,
        label: "+".to_owned(),
        text: format!("add {}", with_article(list.one)),
        what: What::Add(list),
    });
}

fn with_article(word: &str) -> String {
    match word.starts_with(['a', 'e', 'i', 'o', 'u']) {
        true if word.starts_with("other ") => format!("an{word}"),
        true => format!("an {word}"),
        false => format!("a {word}"),
    }
}
