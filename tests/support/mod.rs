//! A sound party to break, and what is told of it.

use std::sync::OnceLock;

use potwatch::store::read::Problems;
use serde_json::Value;

/// A sound party with its kitchen and recipes in place.
pub const BASE: &str = include_str!("../files/base.json");

/// A change to the base party.
pub type Change = fn(&mut Value);

/// The base party as a value.
pub fn base() -> Value {
    serde_json::from_str(BASE).expect("the base party")
}

/// The base party's text after a change.
#[allow(dead_code)]
pub fn changed(change: Change) -> String {
    let mut party = base();
    change(&mut party);
    format!("{party:#}\n")
}

/// The sentences of problems. Each must name a line that shows the end of its
/// path, or the bracket around what is missing there.
#[allow(dead_code)]
pub fn told(problems: &Problems, text: &str) -> Vec<String> {
    for p in &problems.list {
        let line = p.line.expect("a line") as usize;
        let line = text.lines().nth(line - 1).unwrap_or_else(|| panic!("no line {line}: {p}"));
        let names_it = p.path.rsplit(['.', '[']).next().unwrap_or_default();
        let index = names_it.ends_with(']') || names_it.is_empty();
        let around = line.trim_end().ends_with(['{', '[']);
        assert!(index || around || line.contains(names_it.trim_matches('"')), "{p}: {line}");
        assert!(!p.what.is_empty() && !p.remedy.is_empty(), "{p}");
    }
    problems.list.iter().map(|p| p.sentence()).collect()
}

/// JSON pointers of every part of the base party.
#[allow(dead_code)]
pub fn places() -> &'static [String] {
    static PLACES: OnceLock<Vec<String>> = OnceLock::new();
    PLACES.get_or_init(|| {
        let mut found = Vec::new();
        walk(&base(), String::new(), &mut found);
        found
    })
}

fn walk(value: &Value, at: String, found: &mut Vec<String>) {
    match value {
        Value::Object(map) => {
            for (key, inner) in map {
                walk(inner, format!("{at}/{key}"), found);
            }
        }
        Value::Array(list) => {
            for (index, inner) in list.iter().enumerate() {
                walk(inner, format!("{at}/{index}"), found);
            }
        }
        _ => {}
    }
    found.push(at);
}
