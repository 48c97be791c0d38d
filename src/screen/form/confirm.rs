//! What was read from a text and is proposed: the words that it was read from, and
//! the key by which the cook says that it is right.

use serde_json::Value;

use super::{Form, Known, Paper, Row, What, tree};

/// What the row in focus says of where it comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Source {
    /// The words that it was read from.
    pub words: Option<String>,
    /// Nobody has confirmed it yet.
    pub open: bool,
}

/// The thing of the row in focus that was read from a text: the entry in the row, the
/// one that is open, or the part of the file that the field is of.
fn path_of(paper: &Paper, row: &Row) -> Option<String> {
    let part = match row.what {
        What::Field(_) => row.path.rsplit_once('.').map(|(part, _)| part.to_owned()),
        _ => None,
    };
    let opened = Some(paper.place().to_owned()).filter(|p| !p.is_empty());
    let read = |path: &String| {
        let thing = tree::get(&paper.value, path);
        thing.is_some_and(|t| is_open(t) || ["words", "line"].iter().any(|k| t.get(k).is_some()))
    };
    let row = Some(row.path.clone()).filter(|p| !p.is_empty());
    [row, opened, part].into_iter().flatten().find(read)
}

fn is_open(thing: &Value) -> bool {
    thing.get("unconfirmed").and_then(Value::as_bool) == Some(true)
}

/// Where the row in focus comes from, if it was read from a text.
pub(super) fn source(paper: &Paper, row: &Row) -> Option<Source> {
    let path = path_of(paper, row)?;
    let thing = tree::get(&paper.value, &path)?;
    let text = |key: &str| thing.get(key).and_then(Value::as_str).map(str::to_owned);
    Some(Source { words: text("words").or_else(|| text("line")), open: is_open(thing) })
}

/// Is it a field of the file itself whose part nobody has confirmed? Entries of lists
/// say so in their own line.
pub(super) fn is_open_field(paper: &Paper, row: &Row) -> bool {
    let own = matches!(row.what, What::Field(_)) && paper.opened.is_empty();
    own && source(paper, row).is_some_and(|s| s.open)
}

/// Confirms what is in focus, and goes on to the next that is not confirmed.
pub(super) fn confirm(form: &mut Form, known: &Known) {
    let row = form.row(known);
    let path = row.as_ref().and_then(|row| path_of(&form.paper, row));
    let open = path.as_ref().and_then(|p| tree::get(&form.paper.value, p)).is_some_and(is_open);
    let Some(path) = path.filter(|_| open) else {
        form.say = Some(match left(&form.paper.value) {
            0 => "Everything in it is confirmed.".to_owned(),
            n => format!("Choose one of the {n} that are not confirmed: they are marked."),
        });
        return;
    };
    form.snapshot();
    if let Some(thing) = tree::get_mut(&mut form.paper.value, &path).and_then(Value::as_object_mut)
    {
        thing.remove("unconfirmed");
    }
    form.say = Some(match left(&form.paper.value) {
        0 => "Confirmed; that was the last. Ctrl-S saves it.".to_owned(),
        n => format!("Confirmed; {n} left. Ctrl-U takes it back."),
    });
    let rows = form.rows(known);
    let waits = |row: &Row| source(&form.paper, row).is_some_and(|s| s.open);
    if form.paper.opened.is_empty() {
        let next = rows.iter().enumerate().skip(form.paper.row).find(|(_, r)| waits(r));
        if let Some((next, _)) = next {
            let say = form.say.take();
            form.go(next, known);
            form.say = say;
        }
    }
}

/// How many things of a file are not confirmed.
fn left(value: &Value) -> usize {
    match value {
        Value::Object(map) => usize::from(is_open(value)) + map.values().map(left).sum::<usize>(),
        Value::Array(list) => list.iter().map(left).sum(),
        _ => 0,
    }
}
