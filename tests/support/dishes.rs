//! Evenings of any dishes, for the tests of lists.

use std::sync::LazyLock;

use potwatch::kitchen::{Clockface, Evening, Recipe, Sheet};
use potwatch::store::load::load_builtin;
use potwatch::store::read::Document;
use potwatch::store::shelf;

/// The demo.
pub fn demo() -> Evening {
    static DEMO: LazyLock<Evening> = LazyLock::new(|| {
        let day = "2026-10-24".parse().expect("day");
        load_builtin(Clockface::fixed(day, 0)).expect("the demo")
    });
    DEMO.clone()
}

/// Every recipe of the shelf.
pub fn recipes() -> Vec<Recipe> {
    static RECIPES: LazyLock<Vec<Recipe>> = LazyLock::new(|| {
        let read = |(name, text): &(&str, &str)| {
            Document::parse(name, text).expect("JSON").value().expect("recipe")
        };
        shelf::RECIPES.iter().map(read).collect()
    });
    RECIPES.clone()
}

/// The demo's evening with these dishes instead of its own, for so many each.
pub fn evening(sheets: Vec<(Recipe, u32)>) -> Evening {
    let mut evening = demo();
    let letters = ('A'..='Z').chain('a'..='z');
    evening.sheets = sheets
        .into_iter()
        .zip(letters)
        .map(|((recipe, servings), letter)| Sheet {
            id: recipe.id.clone(),
            letter,
            written: recipe.clone(),
            recipe,
            servings,
            service: 0,
            jobs: Vec::new(),
            waits_for: Vec::new(),
        })
        .collect();
    evening
}

/// A dish of nothing but these ingredients, for as many as it is written for, in US cups.
pub fn dish(id: &str, ingredients: serde_json::Value) -> (Recipe, u32) {
    let mut recipe = recipes().swap_remove(0);
    recipe.id = id.to_owned();
    recipe.ingredients = serde_json::from_value(ingredients).expect("ingredients");
    recipe.measures = potwatch::kitchen::units::Measures::UsCustomary;
    let servings = recipe.servings;
    (recipe, servings)
}
