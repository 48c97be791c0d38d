//! What a recipe says of itself: what nobody has confirmed, what ends by the clock alone, and how it is written.

use serde_json::{Value, json};

use super::*;

fn stew() -> Value {
    json!({"id": "stew", "title": "Stew", "course": "main", "servings": 8,
        "ingredients": [{"item": "beans"}],
        "steps": [{"id": "rest", "text": "Let it rest.", "label": "rest",
            "ways": [{"station": "counter", "minutes": 10}]}],
        "holds": [{"place": "counter", "class": "room", "free_minutes": 10, "points": 1, "most_minutes": 60}],
        "safety": {"class": "cooked_plant"}})
}

fn after(change: impl Fn(&mut Value)) -> Recipe {
    let mut recipe = stew();
    change(&mut recipe);
    serde_json::from_value(recipe).expect("reads")
}

#[test]
fn any_one_thing_that_is_not_confirmed_leaves_the_recipe_unconfirmed() {
    assert!(!after(|_| ()).is_unconfirmed());
    for place in ["/steps/0", "/holds/0", "/safety"] {
        let open = after(|r| r.pointer_mut(place).expect("there")["unconfirmed"] = json!(true));
        assert!(open.is_unconfirmed(), "{place}");
    }
}

/// Ten minutes of rest end by themselves; heat, hands, a thermometer, or that it would be overdone, want the cook.
#[test]
fn only_what_wants_nobody_ends_by_itself() {
    let ends = |change: &dyn Fn(&mut Value), way: usize| {
        after(|r| change(&mut r["steps"][0])).steps[0].ends_by_itself(way)
    };
    assert!(ends(&|_| (), 0));
    assert!(ends(&|s| s["hands"] = json!({"start_minutes": 5}), 0), "hands to begin with only");
    assert!(ends(&|s| s["ways"][0]["station"] = json!("fridge"), 0));
    let each: [fn(&mut Value); 5] = [
        |s| s["ways"][0]["station"] = json!("stovetop"),
        |s| s["hands"] = json!({"end_minutes": 1}),
        |s| s["hands"] = json!({"between_percent": 1}),
        |s| s["overdone_after"] = json!(0),
        |s| s["probe"] = json!(true),
    ];
    for (n, change) in each.iter().enumerate() {
        assert!(!ends(change, 0), "{n}");
    }
    assert!(!ends(&|_| (), 1), "of a way that is not there nothing is known");
}

#[test]
fn a_recipe_is_written_as_it_was_read() {
    let minutes = |value: Value| {
        let recipe = after(|r| r["steps"][0]["ways"][0]["minutes"] = value.clone());
        serde_json::to_value(recipe).expect("JSON")["steps"][0]["ways"][0]["minutes"].clone()
    };
    let between =
        |low: u32, likely: u32, high: u32| json!({"low": low, "likely": likely, "high": high});
    for value in [json!(10), between(8, 10, 14), between(10, 10, 14), between(8, 10, 10)] {
        assert_eq!(minutes(value.clone()), value);
    }
    assert_eq!(minutes(between(10, 10, 10)), json!(10));
    assert_eq!(after(|_| ()).steps[0].ways[0].slots, 1);
    let measures = |value: &str| {
        let recipe = after(|r| r["measures"] = json!(value));
        serde_json::to_value(recipe).expect("JSON")["measures"].clone()
    };
    assert_eq!((measures("metric"), measures("us_customary")), (json!("metric"), Value::Null));
}
