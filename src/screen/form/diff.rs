//! What saving would change on the shelf, line by line, in the words of the fields.

use std::collections::BTreeMap;

use serde_json::Value;

use super::kind::plain;
use super::{Paper, tree};

/// One change.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// Where: `steps, roast, minutes`.
    pub place: String,
    /// What stood there; nothing for what is new.
    pub old: Option<String>,
    /// What will stand there; nothing for what goes.
    pub new: Option<String>,
}

/// Every change between the shelf and the paper, in the order of the paper.
#[must_use]
pub fn changes(paper: &Paper) -> Vec<Change> {
    between(paper.before.as_ref(), &paper.value)
}

/// Every change between two trees of the same kind, in the order of the later one.
#[must_use]
pub fn between(before: Option<&Value>, after: &Value) -> Vec<Change> {
    let (mut old, mut new) = (Vec::new(), Vec::new());
    if let Some(before) = before {
        flatten(before, "", &mut old);
    }
    flatten(after, "", &mut new);
    let before: BTreeMap<&str, &str> = old.iter().map(|(p, t)| (p.as_str(), t.as_str())).collect();
    let after: BTreeMap<&str, &str> = new.iter().map(|(p, t)| (p.as_str(), t.as_str())).collect();
    let changed = new.iter().filter(|(p, t)| before.get(p.as_str()) != Some(&t.as_str()));
    let changed = changed.map(|(place, text)| Change {
        place: place.clone(),
        old: before.get(place.as_str()).map(|t| (*t).to_owned()),
        new: Some(text.clone()),
    });
    let gone = old.iter().filter(|(p, _)| !after.contains_key(p.as_str()));
    let gone = gone.map(|(place, text)| Change {
        place: place.clone(),
        old: Some(text.clone()),
        new: None,
    });
    changed.chain(gone).collect()
}

fn flatten(value: &Value, place: &str, out: &mut Vec<(String, String)>) {
    let below = |name: &str| match place.is_empty() {
        true => name.replace('_', " "),
        false => format!("{place}, {}", name.replace('_', " ")),
    };
    match value {
        Value::Object(map) => {
            for (key, value) in map.iter().filter(|(key, _)| *key != "id" || place.is_empty()) {
                flatten(value, &below(key), out);
            }
        }
        Value::Array(entries) if entries.iter().any(Value::is_object) => {
            let names = names(entries);
            if names.len() > 1 {
                out.push((below("in order"), names.join("; ")));
            }
            for (entry, name) in entries.iter().zip(&names) {
                flatten(entry, &below(name), out);
            }
        }
        Value::Array(entries) => {
            let words: Vec<String> = entries.iter().map(plain).collect();
            if !words.is_empty() {
                out.push((place.to_owned(), words.join(", ")));
            }
        }
        Value::Null => {}
        other => out.push((place.to_owned(), plain(other))),
    }
}

/// What the entries of a list are called; alike ones with a number.
fn names(entries: &[Value]) -> Vec<String> {
    const KEYS: [&str; 8] = ["label", "title", "item", "name", "recipe", "step", "kind", "place"];
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    entries
        .iter()
        .map(|entry| {
            let named = KEYS.iter().map(|key| tree::text(entry, key)).find(|name| !name.is_empty());
            let name = named.unwrap_or("entry").to_owned();
            let n = seen.entry(name.clone()).or_insert(0);
            *n += 1;
            if *n == 1 { name } else { format!("{name} ({n})") }
        })
        .collect()
}
