//! Pans follow the servings: a bake and a crumble in one kitchen's baking dishes.

use std::path::Path;

use potwatch::kitchen::Evening;
use potwatch::plan::build::{StayAt, build};
use potwatch::plan::planner::{Budget, plan_ahead};
use potwatch::plan::verify::verify;
use potwatch::plan::{Begun, Plan, Situation, StepKey};
use potwatch::safety::Profile;
use potwatch::store::load::load_document;
use potwatch::store::read::Document;
use potwatch::store::zone;
use serde_json::{Value, json};

/// A pasta bake (two dishes of 3 l for twelve) and a crumble (two for sixteen) for so
/// many, in the home kitchen with these baking dishes.
fn party(servings: [u32; 2], dishes: &Value) -> Evening {
    let mut kitchen = asset("kitchens/home.json");
    let pans = kitchen["cookware"].as_array_mut().expect("pans");
    pans.retain(|p| p["kind"] != "baking_dish");
    // A second stock pot is borrowed.
    for pot in pans.iter_mut().filter(|p| p["kind"] == "stock_pot") {
        pot["count"] = json!(2);
    }
    for (i, dish) in dishes.as_array().expect("a list").iter().enumerate() {
        pans.push(json!({"id": format!("dish-{i}"), "title": "Baking dish", "kind": "baking_dish",
            "count": dish[0], "volume_ml": dish[1], "ovenproof": true}));
    }
    let dish = |id: &str, n: u32| json!({"id": id, "recipe": asset(&format!("recipes/{id}.json")), "servings": n, "service": "supper"});
    let party = json!({
        "id": "pans", "title": "Pans", "day": "2026-11-25", "kitchen": kitchen,
        "services": [{"id": "supper", "title": "Supper", "at": "19:00"}],
        "dishes": [dish("pasta-bake", servings[0]), dish("pear-crumble", servings[1])],
        "cooks": [{"id": "ann", "name": "Ann", "free": [{"from": "15:00", "to": "20:00"}]}],
        "guests": [{"name": "the walkers", "count": 8}]
    });
    let document = Document::parse("pans.json", &party.to_string()).expect("JSON");
    let loaded = load_document(document, Path::new(""), None, zone::clockface);
    loaded.unwrap_or_else(|p| panic!("{p}")).evening
}

fn asset(path: &str) -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets").join(path);
    serde_json::from_str(&std::fs::read_to_string(path).expect("an asset")).expect("JSON")
}

fn planned(evening: &Evening) -> Plan {
    let budget = Budget { seed: 1, rounds: 100, stop: &|| false };
    plan_ahead(evening, &budget, &mut |_| {}).expect("a plan")
}

fn is_refused(evening: &Evening, plan: &Plan) -> bool {
    let profile = Profile::by_id(&evening.party.guidance).expect("guidance");
    verify(evening, &Situation::default(), profile, plan).is_err()
}

/// Baking dishes of each dish: entry and how many.
fn baking_dishes(plan: &Plan) -> Vec<(usize, &str, usize)> {
    let pans = plan.pans.iter().filter(|p| p.cookware.starts_with("dish-"));
    let mut pans: Vec<_> = pans.map(|p| (p.dish, p.cookware.as_str(), p.numbers.len())).collect();
    pans.sort_unstable();
    pans
}

#[test]
fn for_six_each_takes_one_and_both_are_on_time() {
    let evening = party([6, 6], &json!([[2, 3300]]));
    let plan = planned(&evening);
    assert_eq!(baking_dishes(&plan), [(0, "dish-0", 1), (1, "dish-0", 1)]);
    assert_eq!((plan.cost.late, is_refused(&evening, &plan)), (0, false));
    // Fourteen want 7 l of the bake: three dishes, and two racks under them.
    let evening = party([14, 6], &json!([[4, 3300]]));
    let plan = planned(&evening);
    assert_eq!(baking_dishes(&plan), [(0, "dish-0", 3), (1, "dish-0", 1)]);
    let bake = evening.sheets[0].step_index("bake").expect("a step");
    let block = plan.blocks.iter().find(|b| (b.key.dish, b.key.step) == (0, bake));
    assert_eq!(block.expect("a block").slots.len(), 2);
    // The checker counts for itself.
    let mut slipped = plan.clone();
    let pan = slipped.pans.iter_mut().find(|p| p.dish == 0 && p.cookware == "dish-0");
    pan.expect("a pan").numbers.pop();
    assert!(is_refused(&evening, &slipped));
    let mut slipped = plan.clone();
    for block in slipped.blocks.iter_mut().filter(|b| (b.key.dish, b.key.step) == (0, bake)) {
        block.slots.truncate(1);
    }
    assert!(is_refused(&evening, &slipped) && !is_refused(&evening, &plan));
}

#[test]
fn one_large_dish_is_not_given_twice_while_smaller_ones_stand_idle() {
    let evening = party([12, 16], &json!([[1, 6500], [2, 3300]]));
    let plan = planned(&evening);
    assert_eq!(baking_dishes(&plan), [(0, "dish-0", 1), (1, "dish-1", 2)]);
    assert_eq!((plan.cost.late, is_refused(&evening, &plan)), (0, false));
}

#[test]
fn what_has_begun_keeps_its_dishes_and_its_rack() {
    let two = party([12, 6], &json!([[1, 6500], [3, 3300]]));
    let before = planned(&two);
    assert_eq!(baking_dishes(&before)[0], (0, "dish-0", 1));
    // The bake went into two small ones, and is in the oven on both racks.
    let mut shown = before.clone();
    for pan in shown.pans.iter_mut().filter(|p| p.dish == 0 && p.cookware == "dish-0") {
        (pan.cookware, pan.numbers) = ("dish-1".to_owned(), vec![0, 1]);
    }
    let sheet = &two.sheets[0];
    let bake = sheet.step_index("bake").expect("a step");
    let mut situation = Situation { now: Some(18 * 60), ..Situation::default() };
    for block in shown.blocks.iter_mut().filter(|b| b.key.dish == 0) {
        let (way, station) = (block.way, block.station.clone());
        let (start, end) = (17 * 60 + 50, 18 * 60 + 25);
        let begun = if block.key.step == bake {
            block.slots = vec![0, 1];
            let (cook, setting_c) = (None, Some(190));
            Begun::Running { start, end, way, station, cook, setting_c }
        } else if block.key.step < bake {
            Begun::Done { start: start - 40, end: start - 5, way, station, left_out: false }
        } else {
            continue;
        };
        situation.begun.insert(block.key, begun);
    }
    situation.previous = Some(std::sync::Arc::new(shown));
    let (problem, map) = build(&two, &situation).expect("a problem");
    let of_bake = |at: &StayAt| match at {
        StayAt::Pan { dish: 0, cookware } => Some(&two.kitchen.cookware[*cookware]),
        _ => None,
    };
    let stays = map.stays.iter().zip(&problem.stays);
    let dishes: Vec<_> = stays
        .filter_map(|(at, stay)| Some((of_bake(at)?, stay.uses.amount)))
        .filter(|(ware, _)| ware.kind == "baking_dish")
        .map(|(ware, n)| (ware.id.as_str(), n))
        .collect();
    assert_eq!(dishes, [("dish-1", 2)]);
    let key = StepKey { dish: 0, step: bake, load: 0 };
    let task = map.tasks.iter().position(|t| t.key == key && !t.shadow).expect("a task");
    let mode = &problem.steps[problem.tasks[task].step].modes[0];
    assert_eq!(mode.uses[0].amount, 2);
}
