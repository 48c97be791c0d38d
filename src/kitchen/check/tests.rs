//! Recipes and kitchens checked alone, without a party.

use serde_json::{Value, json};

use super::*;

fn wrong(problems: &[Problem]) -> Vec<&str> {
    let wrong = problems.iter().filter(|p| p.severity == Severity::Wrong);
    wrong.map(|p| p.place.path.as_str()).collect()
}

#[test]
fn a_recipe_alone_is_told_what_is_wrong_with_it() {
    let recipe = |servings: u32, steps: Value| {
        let recipe = json!({"id": "stew", "title": "Stew", "course": "main", "servings": servings,
            "ingredients": [{"item": "beans"}], "steps": steps, "safety": {"class": "cooked_plant"}});
        check_recipe(&serde_json::from_value(recipe).expect("reads"))
    };
    let cook = json!([{"id": "cook", "text": "Cook.", "label": "cook",
        "ways": [{"station": "stovetop", "minutes": 30}]}]);
    assert_eq!(wrong(&recipe(8, cook.clone())), [""; 0]);
    assert_eq!(wrong(&recipe(0, cook)), ["servings"]);
    assert_eq!(wrong(&recipe(8, json!([]))), ["steps"]);
}

fn kitchen(servingware: &Value, slots: u32) -> Vec<Problem> {
    let kitchen = json!({"id": "home", "title": "Home", "servingware": servingware,
        "stations": [{"id": "hob", "title": "Hob", "kind": "stovetop", "slots": slots}]});
    check_kitchen(&serde_json::from_value(kitchen).expect("reads"))
}

#[test]
fn a_kitchen_alone_is_told_what_is_wrong_with_it() {
    assert_eq!(wrong(&kitchen(&json!([]), 4)), [""; 0]);
    assert_eq!(wrong(&kitchen(&json!([]), 0)), ["stations[0].slots"]);
}

/// What is deep holds something by its depth or by its volume; of what is flat nobody asks.
#[test]
fn what_holds_nothing_on_paper_is_told() {
    let told = |kind: &str, deep: Option<u32>, ml: Option<u32>| {
        let ware = json!([{"id": "a", "title": "A", "count": 1, "kind": kind, "volume_ml": ml,
            "size": {"shape": "round", "long_mm": 300, "deep_mm": deep}}]);
        kitchen(&ware, 4).iter().any(|p| p.what.contains("holds nothing on paper"))
    };
    for (kind, is_deep) in [("bowl", true), ("pot", true), ("jug", true), ("platter", false)] {
        for (deep, ml) in [(None, None), (Some(50), None), (None, Some(900)), (Some(50), Some(900))]
        {
            let nothing = is_deep && deep.is_none() && ml.is_none();
            assert_eq!(told(kind, deep, ml), nothing, "{kind}, {deep:?}, {ml:?}");
        }
    }
}

/// What nobody here knows is looked for by its words alone, and the cook is told so.
#[test]
fn a_guests_word_that_nobody_knows_is_told() {
    let evening = crate::plan::sample::evening();
    let told = |avoids: Value| {
        let mut party = evening.party.clone();
        let guest = json!({"name": "Ilse", "avoids": avoids});
        party.guests = vec![serde_json::from_value(guest).expect("a guest")];
        let recipes: Vec<_> = evening.sheets.iter().map(|s| s.written.clone()).collect();
        let all = check(&party, &evening.own_kitchen(), &recipes, &[]);
        let of = all.into_iter().filter(|p| p.place.path.starts_with("guests[0].avoids"));
        of.map(|p| (p.place.path, p.severity, p.what)).collect::<Vec<_>>()
    };
    assert_eq!(told(json!(["nuts", "no eggs", "pork", "mushrooms", "gluten-free"])), []);
    let said = told(json!(["milk", "nightshades"]));
    assert_eq!(said.len(), 1, "{said:?}");
    assert_eq!((said[0].0.as_str(), said[0].1), ("guests[0].avoids[1]", Severity::WorthKnowing));
    assert!(said[0].2.contains("nightshades"), "{said:?}");
}
