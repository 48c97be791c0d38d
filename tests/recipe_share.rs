//! A recipe shared as schema.org JSON-LD (release 30.0) and read back: nothing of it
//! is lost that the standard has a place for. Its places are name, recipeCategory,
//! recipeYield, recipeIngredient (text or PropertyValue), recipeInstructions (HowToStep
//! with a HowToDirection that has the time), tool and comment.

#[path = "support/program.rs"]
#[allow(dead_code, reason = "each target uses its part")]
mod program;

use potwatch::bring::{self, clean};
use potwatch::command::Exit;
use potwatch::kitchen::units::{Exact, Unit};
use potwatch::kitchen::{Course, Ingredient, Kept, Pack, Recipe, Step, Swap};
use potwatch::store::shelf;
use program::potwatch;
use proptest::prelude::*;
use serde_json::{Value, json};

/// An ingredient without the line that it was read from, and without the steps that use it, which are looked at where
/// the steps are.
fn bare(one: &Ingredient) -> Ingredient {
    Ingredient {
        steps: Vec::new(),
        line: None,
        unit: one.unit.filter(|u| *u != Unit::Piece),
        ..one.clone()
    }
}

/// What is different when a recipe comes back.
fn lost(recipe: &Recipe) -> Vec<String> {
    let text = serde_json::to_string(&bring::share(recipe)).expect("JSON");
    let found = bring::read(text.as_bytes()).expect("a recipe").remove(0);
    let back = bring::draft(&found).recipe;
    let mut lost = Vec::new();
    let mut differs = |what: &str, a: String, b: String| {
        if a != b {
            lost.push(format!("{what}: {a} / {b}"));
        }
    };
    differs("title", clean::clean_line(&recipe.title), back.title.clone());
    differs("course", format!("{:?}", recipe.course), format!("{:?}", back.course));
    differs("servings", recipe.servings.to_string(), back.servings.to_string());
    differs("portion", format!("{:?}", recipe.portion), format!("{:?}", back.portion));
    let (ours, theirs) = (recipe.ingredients.len(), back.ingredients.len());
    differs("ingredients", ours.to_string(), theirs.to_string());
    for (a, b) in recipe.ingredients.iter().zip(&back.ingredients) {
        differs("ingredient", format!("{:?}", bare(a)), format!("{:?}", bare(b)));
    }
    differs("steps", recipe.steps.len().to_string(), found.method.len().to_string());
    for (step, words) in recipe.steps.iter().zip(&found.method) {
        let used =
            recipe.ingredients.iter().enumerate().filter(|(_, one)| one.steps.contains(&step.id));
        let used: Vec<(Option<usize>, String)> =
            used.map(|(n, one)| (Some(n + 1), clean::clean_line(&one.item))).collect();
        let named: Vec<(Option<usize>, String)> =
            words.supplies.iter().map(|s| (s.position, s.name.clone())).collect();
        differs("goes in", format!("{used:?}"), format!("{named:?}"));
        differs("text", clean::clean_line(&step.text), words.text.clone());
        let likely = step.ways.first().map(|w| w.minutes.likely);
        differs("minutes", format!("{likely:?}"), format!("{:?}", words.minutes));
        // A word that the sentence begins with is not said twice.
        let begins = step.text.to_lowercase().starts_with(&step.label.to_lowercase());
        let name = Some(step.label.clone()).filter(|_| !begins);
        differs("label", format!("{name:?}"), format!("{:?}", words.name));
    }
    // Whatever a step becomes, it takes what it took.
    if recipe.ingredients.iter().any(|one| !one.steps.is_empty()) {
        for (a, b) in recipe.ingredients.iter().zip(&back.ingredients) {
            differs("used at all", a.steps.is_empty().to_string(), b.steps.is_empty().to_string());
        }
    }
    let notes: Vec<String> = recipe.notes.iter().map(|n| clean::clean_line(n)).collect();
    differs("notes", format!("{notes:?}"), format!("{:?}", found.notes));
    lost
}

#[test]
fn every_recipe_of_the_shelf_comes_back_whole() {
    let mut texts = 0;
    let mut all = 0;
    for recipe in shelf::recipes() {
        let lost = lost(&recipe);
        assert!(lost.is_empty(), "{}: {lost:#?}", recipe.id);
        let shared = bring::share(&recipe);
        let lines = shared["recipeIngredient"].as_array().expect("a list");
        texts += lines.iter().filter(|l| l.is_string()).count();
        all += lines.len();
    }
    println!("{texts} of {all} ingredients are lines of text, the others have their parts");
    // Nearly every program expects text.
    assert!(texts * 10 > all * 8, "{texts} of {all}");
}

fn words(most: usize) -> impl Strategy<Value = String> {
    let word = prop::sample::select(vec![
        "leek",
        "barley",
        "Quince",
        "pot",
        "of",
        "cold",
        "2",
        "night",
        "roast",
        "the",
        "to",
        "or",
        "a & b",
        "< 3",
        "30 minutes",
        "180 °C",
        "fresh",
        "chopped,",
        "(dry)",
        "it's",
        "half",
        "cup",
    ]);
    prop::collection::vec(word, 1..most).prop_map(|words| words.join(" "))
}

fn amount() -> impl Strategy<Value = Exact> {
    (1_i64..400, 1_i64..9)
        .prop_map(|(n, d)| Exact::fraction(n.into(), d.into()).expect("not by nought"))
}

fn ingredient() -> impl Strategy<Value = Ingredient> {
    let item = prop_oneof![
        prop::sample::select(vec![
            "onion",
            "butter",
            "plain flour",
            "chicken stock",
            "lemon juice",
            "egg",
            "hard cheese",
        ])
        .prop_map(str::to_owned),
        words(4),
    ];
    let unit = prop::sample::select(
        ["g", "kg", "ml", "l", "tsp", "tbsp", "cup", "oz", "lb", "clove", "can", "bunch", "pinch"]
            .map(|u| Unit::named(u).expect("a unit"))
            .to_vec(),
    );
    let kept = prop::sample::select(vec![Kept::Cupboard, Kept::Fridge, Kept::Freezer]);
    let maybe = || prop::option::of(words(3));
    let pack = prop::option::of(amount().prop_map(|amount| Pack { amount, unit: Unit::G }));
    let swap =
        (words(3), prop::collection::vec(prop::sample::select(vec!["vegan", "no-nuts"]), 0..2))
            .prop_map(|(item, opens)| Swap {
                item,
                opens: opens.into_iter().map(str::to_owned).collect(),
            });
    (
        item,
        prop::option::of((amount(), prop::option::of(unit), prop::option::of(amount()))),
        (maybe(), maybe(), maybe()),
        (kept, any::<bool>(), any::<bool>(), pack),
        prop::collection::vec(swap, 0..2),
        prop::option::of(Just(vec!["milk".to_owned(), "gluten".to_owned()])),
    )
        .prop_map(
            |(item, much, (cut, size, note), (kept, optional, divided, pack), swaps, allergens)| {
                let amount = much.map(|m| m.0);
                Ingredient {
                    item,
                    amount,
                    unit: much.and_then(|m| m.1),
                    cut,
                    kept,
                    steps: Vec::new(),
                    allergens,
                    optional,
                    swaps,
                    amount_to: much.and_then(|m| Some(m.0 + m.2?)),
                    size,
                    pack,
                    divided,
                    note,
                    line: None,
                    half: None,
                }
            },
        )
}

fn step() -> impl Strategy<Value = Step> {
    let label = prop::sample::select(vec!["roast", "whip", "turn over", "x"]);
    (label, words(12), 1_u32..400).prop_map(|(label, text, minutes)| {
        serde_json::from_value(json!({
            "id": "s", "text": text, "label": label,
            "ways": [{"station": "counter", "minutes": minutes}],
        }))
        .expect("a step")
    })
}

fn recipe() -> impl Strategy<Value = Recipe> {
    let course = prop::sample::select(vec![
        Course::Starter,
        Course::Main,
        Course::Side,
        Course::Sauce,
        Course::Bread,
        Course::Dessert,
        Course::Drink,
    ]);
    let portion = prop::option::of(prop::sample::select(vec![
        "a bowl",
        "two rolls",
        "a square (5 cm), with cream",
        "one slice of about a finger",
    ]));
    (
        words(6),
        course,
        1_u32..=500,
        portion,
        prop::collection::vec(ingredient(), 1..8),
        prop::collection::vec(step(), 1..8),
        prop::collection::btree_set(words(8), 0..4),
    )
        .prop_map(|(title, course, servings, portion, ingredients, mut steps, notes)| {
            for (n, step) in steps.iter_mut().enumerate() {
                step.id = format!("s{n}");
            }
            let mut recipe: Recipe = serde_json::from_value(json!({
                "id": "r", "title": title, "course": "main", "servings": servings,
                "portion": portion, "ingredients": [], "steps": [], "safety": {"class": "other"},
            }))
            .expect("a recipe");
            (recipe.course, recipe.ingredients, recipe.steps) = (course, ingredients, steps);
            recipe.notes = notes.into_iter().collect();
            recipe
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_recipe_comes_back_whole(recipe in recipe()) {
        let lost = lost(&recipe);
        prop_assert!(lost.is_empty(), "{:#?}\n{}", lost, bring::share(&recipe));
    }
}

/// Found by `tests/bring_fuzz.rs`: words that look like a tag are words all the same.
#[test]
fn what_looks_like_a_tag_is_not_lost() {
    let mut recipe = shelf::recipes().remove(0);
    recipe.steps[0].text = "<ul>".to_owned();
    recipe.notes = vec!["as <b>hot</b> as < 80 & more".to_owned()];
    let text = serde_json::to_string(&bring::share(&recipe)).expect("JSON");
    let found = bring::read(text.as_bytes()).expect("a recipe").remove(0);
    assert_eq!(found.method.len(), recipe.steps.len());
    assert_eq!(found.method[0].text, "\u{2039}ul>");
    assert_eq!(found.notes, ["as \u{2039}b>hot\u{2039}/b> as < 80 & more"]);
}

#[test]
fn the_command_prints_it_or_writes_it_and_overwrites_nothing() {
    let (exit, out, err) = potwatch(&["recipe", "share", "squash-soup"]);
    assert_eq!(exit, Exit::Done, "{err}");
    let shared: Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(
        (&shared["@type"], &shared["@context"]),
        (&json!("Recipe"), &json!("https://schema.org"))
    );
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("soup.json").display().to_string();
    let write = |more: &[&str]| {
        let mut args = vec!["recipe", "share", "squash-soup", "--out", path.as_str()];
        args.extend(more);
        potwatch(&args)
    };
    assert_eq!(write(&[]).0, Exit::Done);
    assert_eq!(std::fs::read_to_string(&path).expect("there"), out);
    let (exit, _, err) = write(&[]);
    assert!(exit != Exit::Done && err.contains("--replace"), "{err}");
    assert_eq!(write(&["--replace"]).0, Exit::Done);
    // What was shared can be brought in like any other page.
    let (exit, out, err) = potwatch(&["recipe", "read", &path]);
    assert_eq!(exit, Exit::Done, "{err}");
    assert!(out.contains("JSON-LD (schema.org)"), "{out}");
    let (exit, _, err) = potwatch(&["recipe", "share", "no-such-dish"]);
    assert!(exit != Exit::Done && err.contains("no-such-dish"), "{err}");
}
