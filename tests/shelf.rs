//! The built-in shelf: every recipe, kitchen and the demo party are what the
//! rest of the program takes them to be.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use potwatch::kitchen::equipment::Kitchen;
use potwatch::kitchen::party::{Party, Sourced};
use potwatch::kitchen::recipe::Recipe;
use serde::de::DeserializeOwned;

fn assets() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("assets")
}

/// Every file of a folder of the assets, by its name without ending.
fn shelf<T: DeserializeOwned>(folder: &str) -> BTreeMap<String, T> {
    let folder = assets().join(folder);
    let mut found = BTreeMap::new();
    for entry in std::fs::read_dir(&folder).expect("a folder of assets") {
        let path = entry.expect("an entry").path();
        let text = std::fs::read_to_string(&path).expect("a readable file");
        let thing = serde_json::from_str(&text)
            .unwrap_or_else(|wrong| panic!("{}: {wrong}", path.display()));
        let name = path.file_stem().expect("a name").to_string_lossy().into_owned();
        found.insert(name, thing);
    }
    found
}

fn recipes() -> BTreeMap<String, Recipe> {
    shelf("recipes")
}

fn demo() -> Party {
    shelf("demo").remove("party").expect("the demo party")
}

#[test]
fn ids_are_the_file_names() {
    for (name, recipe) in recipes() {
        assert_eq!(name, recipe.id);
    }
    for (name, kitchen) in shelf::<Kitchen>("kitchens") {
        assert_eq!(name, kitchen.id);
    }
}

#[test]
fn the_demo_names_what_is_there() {
    let party = demo();
    let recipes = recipes();
    for dish in &party.dishes {
        let Sourced::Named(id) = &dish.recipe else { panic!("{}: not by id", dish.id) };
        assert!(recipes.contains_key(id), "{}: no recipe {id}", dish.id);
        assert!(party.services.iter().any(|s| s.id == dish.service), "{}", dish.id);
    }
    let Sourced::Named(kitchen) = &party.kitchen else { panic!("kitchen not by id") };
    assert!(shelf::<Kitchen>("kitchens").contains_key(kitchen));
}
