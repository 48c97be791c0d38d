//! A sound party, changed, and what the check says of it.

#![allow(dead_code, reason = "each test target uses its part")]

use std::path::Path;

use potwatch::kitchen::Clockface;
use potwatch::store::load::load_document;
use potwatch::store::read::{Document, Problems};
use serde_json::Value;

use crate::support::{Change, changed, told};

pub fn load(text: &str) -> Problems {
    let document = Document::parse("party.json", text).expect("JSON");
    match load_document(document, Path::new(""), None, |day| Clockface::fixed(day, 0)) {
        Ok(loaded) => {
            assert!(!loaded.notes.any_wrong());
            loaded.notes
        }
        Err(problems) => {
            assert!(problems.any_wrong());
            problems
        }
    }
}

pub fn holds(table: &[(Change, &[&str])]) {
    let mut other = Vec::new();
    for (change, expected) in table {
        let text = changed(*change);
        let mut told = told(&load(&text), &text);
        told.sort();
        let mut expected = expected.to_vec();
        expected.sort_unstable();
        if told != expected {
            other.push(format!("{told:#?}\nnot {expected:#?}"));
        }
    }
    assert!(other.is_empty(), "{}", other.join("\n\n"));
}

pub fn recipe(p: &mut Value) -> &mut Value {
    &mut p["dishes"][0]["recipe"]
}

pub fn fill(p: &mut Value) -> &mut Value {
    &mut recipe(p)["steps"][0]
}

pub fn bake(p: &mut Value) -> &mut Value {
    &mut recipe(p)["steps"][1]
}

pub fn kitchen(p: &mut Value) -> &mut Value {
    &mut p["kitchen"]
}

pub fn push(list: &mut Value, value: Value) {
    list.as_array_mut().expect("a list").push(value);
}

pub fn drop_field(object: &mut Value, key: &str) {
    object.as_object_mut().expect("an object").remove(key);
}
