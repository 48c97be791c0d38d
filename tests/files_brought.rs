//! What a recipe keeps of the text that it was read from: every sentence about
//! it once, and what is not confirmed is said.

mod support;

use std::path::Path;

use potwatch::kitchen::Clockface;
use potwatch::store::load::load_document;
use potwatch::store::read::{Document, Problems};
use serde_json::{Value, json};
use support::{Change, changed, told};

fn load(text: &str) -> Problems {
    let document = Document::parse("party.json", text).expect("JSON");
    match load_document(document, Path::new(""), None, |day| Clockface::fixed(day, 0)) {
        Ok(loaded) => loaded.notes,
        Err(problems) => problems,
    }
}

fn recipe(p: &mut Value) -> &mut Value {
    &mut p["dishes"][0]["recipe"]
}

fn leek(p: &mut Value) -> &mut Value {
    &mut recipe(p)["ingredients"][0]
}

#[test]
fn what_is_wrong_with_what_was_read() {
    let table: &[(Change, &str)] = &[
        (
            |p| leek(p)["amount_to"] = json!(6),
            "dishes[0].recipe.ingredients[0].amount_to: is 6, with an amount of 6. Write more than the amount and at most 1000000, or leave it out.",
        ),
        (
            |p| {
                leek(p)["amount"] = Value::Null;
                leek(p)["amount_to"] = json!(3);
            },
            "dishes[0].recipe.ingredients[0].amount_to: has no amount to go up from. Add \"amount\".",
        ),
        (
            |p| leek(p)["size"] = json!(""),
            "dishes[0].recipe.ingredients[0].size: is empty. Write what the cook would call it.",
        ),
        (
            |p| leek(p)["pack"] = json!({"amount": 0, "unit": "g"}),
            "dishes[0].recipe.ingredients[0].pack.amount: is 0. Write more than 0 and at most 1000000, or leave the pack out.",
        ),
        (
            |p| leek(p)["note"] = json!("two\nlines"),
            "dishes[0].recipe.ingredients[0].note: holds a line break or another control sign. Write it as one plain line.",
        ),
        (
            |p| leek(p)["line"] = json!("6 leeks, ".repeat(80)),
            "dishes[0].recipe.ingredients[0].line: is too long. Use at most 600 characters.",
        ),
        (
            |p| recipe(p)["steps"][0]["words"] = json!(""),
            "dishes[0].recipe.steps[0].words: is empty. Write what the cook would call it.",
        ),
        (
            |p| recipe(p)["holds"][0]["words"] = json!(" "),
            "dishes[0].recipe.holds[0].words: is empty. Write what the cook would call it.",
        ),
        (
            |p| recipe(p)["safety"]["words"] = json!(""),
            "dishes[0].recipe.safety.words: is empty. Write what the cook would call it.",
        ),
    ];
    for (change, expected) in table {
        let text = changed(*change);
        let problems = load(&text);
        assert!(problems.any_wrong(), "{expected}");
        assert_eq!(told(&problems, &text), [*expected]);
    }
}

#[test]
fn what_is_not_confirmed_is_worth_knowing() {
    let text = changed(|p| {
        recipe(p)["steps"][0]["words"] = json!("Soften the leeks.");
        recipe(p)["steps"][0]["unconfirmed"] = json!(true);
        recipe(p)["holds"][0]["unconfirmed"] = json!(true);
        recipe(p)["safety"]["unconfirmed"] = json!(true);
    });
    let problems = load(&text);
    assert!(!problems.any_wrong());
    assert_eq!(
        told(&problems, &text),
        [
            "dishes[0].recipe.holds[0]: this wait was proposed and is not confirmed. Look whether it suits the dish: Ctrl-O in the form if so, or take out \"unconfirmed\".",
            "dishes[0].recipe.safety: the kind of food was read from text and is not confirmed. Look whether \"class\" is right: Ctrl-O in the form if so, or take out \"unconfirmed\".",
            "dishes[0].recipe.steps: 1 of 2 were read from text and are not confirmed. Hold each against its \"words\": Ctrl-O in the form if it is right, or take out \"unconfirmed\".",
        ]
    );
}
