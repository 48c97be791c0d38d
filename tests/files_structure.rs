//! The structure of the cook's files: every sentence about a wrong field, and
//! the reader's agreement with the types.

mod support;

use potwatch::kitchen::Party;
use potwatch::store::read::{Document, FileProblem};
use proptest::prelude::*;
use serde_json::{Value, json};
use support::{BASE, Change, base, changed, told};

/// What is told of the structure of the base party after a change.
fn structure(change: Change) -> Vec<String> {
    let text = changed(change);
    let document = Document::parse("party.json", &text).expect("JSON");
    let problems = document.value::<Party>().err().unwrap_or_default();
    told(&problems, &text)
}

#[test]
fn every_wrong_field_is_told_with_its_remedy() {
    let table: &[(Change, &[&str])] = &[
        (
            |p| p["dishes"][0]["recipe"]["steps"][0]["ways"][0]["minuts"] = json!(3),
            &[
                "dishes[0].recipe.steps[0].ways[0].minuts: is not a known field. Did you mean \"minutes\"?",
            ],
        ),
        (
            |p| p["cooks"][0]["colour"] = json!("red"),
            &[
                "cooks[0].colour: is not a known field. Known here are free, free_day_before, id, name.",
            ],
        ),
        (
            |p| p["od\nd key"] = json!(1),
            &[
                "\"od\\nd key\": is not a known field. Known here are appetite, borrowed, cooks, day, degrees, dishes, guests, guidance, id, in_house, kitchen, least, on_time_percent, own_times, pool_knife_work, room_c, services, shops, table_minutes, title.",
            ],
        ),
        (
            |p| drop(p["dishes"][0].as_object_mut().map(|d| d.remove("servings"))),
            &["dishes[0]: \"servings\" is missing. Add \"servings\": how many servings to make."],
        ),
        (
            |p| p["dishes"][0]["servings"] = json!("8"),
            &[
                "dishes[0].servings: is the text \"8\", but should be a whole number. Write 8 without quotation marks.",
            ],
        ),
        (
            |p| p["dishes"][0]["servings"] = json!(-3),
            &["dishes[0].servings: is -3. Write 0 or more."],
        ),
        (
            |p| p["dishes"][0]["servings"] = json!(8.0),
            &["dishes[0].servings: 8.0 is not a whole number. Write 8, without a decimal point."],
        ),
        (
            |p| p["dishes"][0]["servings"] = json!(1e300),
            &[
                "dishes[0].servings: 1e+300 is not a whole number. Write it without a decimal point or exponent.",
            ],
        ),
        (
            |p| p["dishes"][0]["servings"] = json!(u64::MAX),
            &["dishes[0].servings: 18446744073709551615 is far too much. Write a smaller number."],
        ),
        (
            |p| p["room_c"] = json!(3_000_000_000_i64),
            &["room_c: 3000000000 is far too much. Write a smaller number."],
        ),
        (
            |p| p["room_c"] = json!(-3_000_000_000_i64),
            &["room_c: is -3000000000. Write -2147483648 or more."],
        ),
        (
            |p| p["title"] = json!(12),
            &["title: is the number 12, but should be text in \"…\". Write \"12\"."],
        ),
        (
            |p| p["title"] = Value::Null,
            &["title: is null, but should be text in \"…\". Write text in \"…\"."],
        ),
        (
            |p| p["services"] = json!({"id": "a"}),
            &[
                "services: is an object, but should be a list [ … ]. Put it in [ ], even if it is only one.",
            ],
        ),
        (
            |p| p["guests"][0]["diets"] = json!("vegan"),
            &[
                "guests[0].diets: is the text \"vegan\", but should be a list [ … ]. Put it in [ ], even if it is only one.",
            ],
        ),
        (
            |p| p["cooks"][0] = json!(true),
            &["cooks[0]: is true, but should be an object { … }. Write an object { … }."],
        ),
        (
            |p| p["kitchen"]["cookware"][0]["ovenproof"] = json!("true"),
            &[
                "kitchen.cookware[0].ovenproof: is the text \"true\", but should be true or false. Write true without quotation marks.",
            ],
        ),
        (
            |p| p["kitchen"]["stations"][1]["kind"] = json!("stove top"),
            &[
                "kitchen.stations[1].kind: \"stove top\" is not a known word here. Did you mean \"stovetop\"?",
            ],
        ),
        (
            |p| p["dishes"][0]["recipe"]["course"] = json!("third"),
            &[
                "dishes[0].recipe.course: \"third\" is not a known word here. Known are starter, main, side, sauce, bread, dessert, drink.",
            ],
        ),
        // A recipe is text or an object; the message speaks of what was meant.
        (
            |p| p["dishes"][0]["recipe"] = json!(7),
            &[
                "dishes[0].recipe: is the number 7, but should be text in \"…\" or an object { … }. Write \"7\".",
            ],
        ),
        (
            |p| p["dishes"][0]["recipe"] = json!(["leek-pie"]),
            &[
                "dishes[0].recipe: is a list, but should be text in \"…\" or an object { … }. Write text in \"…\" or an object { … }.",
            ],
        ),
        // Minutes are a number or low, likely and high.
        (
            |p| p["dishes"][0]["recipe"]["steps"][1]["ways"][0]["minutes"] = json!("30"),
            &[
                "dishes[0].recipe.steps[1].ways[0].minutes: is the text \"30\", but should be a whole number or an object { … }. Write 30 without quotation marks.",
            ],
        ),
        (
            |p| {
                drop(
                    p["dishes"][0]["recipe"]["steps"][1]["ways"][0]["minutes"]
                        .as_object_mut()
                        .map(|m| m.remove("high")),
                )
            },
            &[
                "dishes[0].recipe.steps[1].ways[0].minutes: \"high\" is missing. Add \"high\": nine evenings in ten it takes less than this.",
            ],
        ),
        (
            |p| p["services"][0]["at"] = json!("6pm"),
            &[
                "services[0].at: \"6pm\" is not a time. Write it as 18:00; half past one at night is 25:30.",
            ],
        ),
        (
            |p| p["services"][0]["at"] = json!("48:00"),
            &[
                "services[0].at: \"48:00\" is not a time. Write it as 18:00; half past one at night is 25:30.",
            ],
        ),
        (
            |p| p["services"][0]["at"] = json!("18:00 "),
            &[
                "services[0].at: \"18:00 \" is not a time. Write it as 18:00; half past one at night is 25:30.",
            ],
        ),
        (
            |p| p["day"] = json!("25.11.2026"),
            &["day: \"25.11.2026\" is not a day. Write it as 2026-11-25."],
        ),
        (
            |p| p["day"] = json!("2026-02-30"),
            &["day: \"2026-02-30\" is not a day. Write it as 2026-11-25."],
        ),
        (
            |p| p["dishes"][0]["recipe"]["ingredients"][0]["amount"] = json!("a few"),
            &[
                "dishes[0].recipe.ingredients[0].amount: \"a few\" is not an amount. Write it as 1.5, \"2/3\" or \"1 1/3\".",
            ],
        ),
        (
            |p| p["dishes"][0]["letter"] = json!("PP"),
            &[
                "dishes[0].letter: \"PP\" is not a single letter. Write one, or leave the field out.",
            ],
        ),
        (
            |p| p["title"] = json!([["x"]]),
            &["title: is a list, but should be text in \"…\". Write text in \"…\"."],
        ),
        // All of them at once, in the order of the file.
        (
            |p| {
                p["cooks"] = json!([]);
                p["dishes"][1]["servings"] = json!(null);
                p["dishes"][1]["servngs"] = json!("x");
                p["dishes"][1]["recipe"]["safety"] = json!({"class": "beans"});
            },
            &[
                "dishes[1].recipe.safety.class: \"beans\" is not a known word here. Known are poultry, ground_meat, whole_meat, fish, egg_dish, casserole, cooked_plant, dairy, cut_produce, leftovers, baked_dry, other.",
                "dishes[1].servings: is null, but should be a whole number. Write a whole number.",
                "dishes[1].servngs: is not a known field. Did you mean \"servings\"?",
            ],
        ),
    ];
    for (change, expected) in table {
        assert_eq!(structure(*change), *expected);
    }
    assert_eq!(structure(|_| ()), Vec::<String>::new());
}

#[test]
fn a_field_that_comes_twice_is_told() {
    let text =
        BASE.replacen("\"title\": \"Test supper\",", "\"title\": \"A\",\n  \"title\": \"B\",", 1);
    let problems = Document::parse("party.json", &text).expect("JSON").value::<Party>();
    assert_eq!(
        problems.expect_err("twice").to_string(),
        "party.json:4: title: comes twice, first on line 3. Take one of them out."
    );
}

#[test]
fn very_many_problems_are_counted_not_listed() {
    let fields: Vec<String> = (0..5000).map(|i| format!("\"x{i}\": 1")).collect();
    let text = format!("{{\n{}\n}}", fields.join(",\n"));
    let problems = Document::parse("p.json", &text).expect("JSON").value::<Party>();
    let printed = problems.expect_err("wrong").to_string();
    assert_eq!(printed.lines().count(), 101);
    assert!(printed.ends_with("\n… and 4907 more. Put these right first."), "{printed}");
}

/// A place in the base party and something else to put there.
fn mutations() -> impl Strategy<Value = Vec<(usize, Value)>> {
    let other = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        (-3i64..600).prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        "[a-z0-9:-]{0,6}".prop_map(Value::from),
        Just(json!("oven")),
        Just(json!("18:30")),
        Just(json!("leek-pie")),
        Just(json!({})),
        Just(json!([])),
        Just(json!([1])),
        Just(json!({"low": 1, "likely": 2, "high": 3})),
    ];
    prop::collection::vec((any::<prop::sample::Index>(), other), 1..4).prop_map(|list| {
        list.into_iter().map(|(i, v)| (i.index(support::places().len()), v)).collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    /// What the walker passes, the types read, and the other way round.
    #[test]
    fn the_walker_and_the_types_agree(changes in mutations()) {
        let mut party = base();
        for (place, value) in changes {
            if let Some(there) = party.pointer_mut(&support::places()[place]) {
                *there = value;
            }
        }
        let text = format!("{party:#}");
        let ours = Document::parse("party.json", &text).expect("JSON").value::<Party>();
        let theirs = serde_json::from_str::<Party>(&text);
        match (&ours, &theirs) {
            (Ok(ours), Ok(theirs)) => prop_assert_eq!(ours, theirs),
            (Err(problems), Err(_)) => {
                prop_assert!(problems.any_wrong());
                told(problems, &text);
                prop_assert!(problems.list.iter().all(|p| !p.what.contains("cannot be read as")));
            }
            // The types take a day in more ways than one, and a list for an object with its
            // fields in order; the file format does not.
            (Err(problems), Ok(_)) => {
                let strict = |p: &FileProblem| {
                    p.path == "day" || p.what == "is a list, but should be an object { … }"
                };
                prop_assert!(problems.list.iter().all(strict), "{}", problems);
            }
            (Ok(_), Err(e)) => prop_assert!(false, "passed, but: {}", e),
        }
    }
}
