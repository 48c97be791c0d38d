//! A small supper for tests: a roast with a rest, chips fried in loads, a dip
//! that gains by a night in the fridge. Invented.

use serde_json::{Value, json};

use super::{Block, StepKey};
use crate::kitchen::{Clockface, Evening, Kitchen, Minute, Party, Recipe, check};

/// The supper, after changes to its party, kitchen and recipes (roast, chips, dip).
pub(crate) fn evening_with(
    change: impl FnOnce(&mut Value, &mut Value, &mut [Value; 3]),
) -> Evening {
    let (mut party, mut kitchen, mut recipes) = (party(), kitchen(), [roast(), chips(), dip()]);
    change(&mut party, &mut kitchen, &mut recipes);
    read(party, kitchen, recipes.into())
}

/// The evening of a party, its kitchen and its recipes.
pub(crate) fn read(party: Value, kitchen: Value, recipes: Vec<Value>) -> Evening {
    let party: Party = serde_json::from_value(party).expect("a party");
    let kitchen: Kitchen = serde_json::from_value(kitchen).expect("a kitchen");
    let recipes: Vec<Recipe> =
        recipes.into_iter().map(|r| serde_json::from_value(r).expect("a recipe")).collect();
    let face = Clockface::fixed(party.day, 0);
    check::evening(party, kitchen, recipes, face)
}

pub(crate) fn evening() -> Evening {
    evening_with(|_, _, _| ())
}

/// The supper with a second cook, lou.
pub(crate) fn two_cooks() -> Evening {
    let mut evening = evening();
    let mut lou = evening.party.cooks[0].clone();
    lou.id = "lou".into();
    evening.party.cooks.push(lou);
    evening
}

/// One load by itself in the first place of a station, ahead, with nobody's hands and no heat.
pub(crate) fn block(key: StepKey, station: &str, (start, end): (Minute, Minute)) -> Block {
    Block {
        key,
        loads: 1,
        way: 0,
        station: station.to_owned(),
        slots: vec![0],
        cook: None,
        start,
        end,
        hands_start: 0,
        hands_end: 0,
        hands_between: 0,
        setting_c: None,
        begun: false,
    }
}

fn party() -> Value {
    json!({
        "id": "small", "title": "Small supper", "day": "2026-11-20",
        "services": [{"id": "supper", "title": "Supper", "at": "19:00"}],
        "dishes": [
            {"id": "roast", "recipe": "roast", "servings": 4, "service": "supper", "letter": "R"},
            {"id": "chips", "recipe": "chips", "servings": 6, "service": "supper", "letter": "C"},
            {"id": "dip", "recipe": "dip", "servings": 8, "service": "supper", "letter": "D"}
        ],
        "cooks": [{"id": "kim", "name": "Kim", "free": [
            {"from": "16:00", "to": "17:00"}, {"from": "17:10", "to": "20:00"}
        ]}],
        "kitchen": "small", "table_minutes": 40
    })
}

fn kitchen() -> Value {
    json!({
        "id": "small", "title": "Small kitchen",
        "stations": [
            {"id": "oven", "title": "Oven", "kind": "oven", "slots": 2, "thermostat":
                {"least_c": 50, "most_c": 250, "up_c_per_min": 10, "down_c_per_min": 10}},
            {"id": "hob", "title": "Hob", "kind": "stovetop", "slots": 2},
            {"id": "fryer", "title": "Air fryer", "kind": "air_fryer", "slots": 1},
            {"id": "board", "title": "Counter", "kind": "counter", "slots": 2},
            {"id": "fridge", "title": "Fridge", "kind": "fridge", "slots": 3}
        ],
        "cookware": [
            {"id": "tin-small", "title": "Small tin", "kind": "tin", "count": 1,
                "volume_ml": 2000, "ovenproof": true},
            {"id": "tin-large", "title": "Large tin", "kind": "tin", "count": 1,
                "volume_ml": 4000, "ovenproof": true},
            {"id": "tin-thin", "title": "Cake tin", "kind": "tin", "count": 1, "volume_ml": 3000},
            {"id": "bowl-a", "title": "Bowl", "kind": "bowl", "count": 2, "volume_ml": 3000},
            {"id": "bowl-b", "title": "Bowl", "kind": "bowl", "count": 1, "volume_ml": 3000}
        ]
    })
}

fn roast() -> Value {
    json!({
        "id": "roast", "title": "Roast", "course": "main", "servings": 4,
        "ingredients": [
            {"item": "pork loin", "amount": 1, "unit": "kg", "kept": "fridge", "steps": ["season"]}
        ],
        "steps": [
            {"id": "season", "text": "Season it.", "label": "season",
                "ways": [{"station": "counter", "minutes": 10}],
                "hands": {"between_percent": 100}, "cookware": [{"kind": "tin", "least_ml": 1500}]},
            {"id": "roast", "text": "Roast it.", "label": "roast",
                "ways": [
                    {"station": "oven", "minutes": {"low": 50, "likely": 60, "high": 72},
                        "at_c": 180, "give_c": 10},
                    {"station": "air_fryer", "minutes": 45, "points": 4}
                ],
                "hands": {"start_minutes": 2, "end_minutes": 1},
                "after": [{"step": "season", "most_minutes": 30}],
                "cookware": [{"kind": "tin", "least_ml": 1500}], "overdone_after": 8},
            {"id": "rest", "text": "Let it rest.", "label": "rest",
                "ways": [{"station": "counter", "minutes": {"low": 10, "likely": 10, "high": 15}}],
                "after": [{"step": "roast", "most_minutes": 5, "place": "hot"}]}
        ],
        "holds": [
            {"place": "oven", "class": "hot", "at_c": 70, "give_c": 20, "free_minutes": 15,
                "points": 2, "most_minutes": 60, "cookware": "tin"},
            {"place": "counter", "class": "room", "free_minutes": 5, "points": 3, "most_minutes": 20}
        ],
        "safety": {"class": "whole_meat"}
    })
}

fn chips() -> Value {
    json!({
        "id": "chips", "title": "Chips", "course": "side", "servings": 6,
        "ingredients": [{"item": "potato", "amount": 1, "unit": "kg", "steps": ["cut"]}],
        "steps": [
            {"id": "cut", "text": "Cut them.", "label": "cut",
                "ways": [{"station": "counter", "minutes": 12}],
                "hands": {"between_percent": 100}, "cookware": [{"kind": "bowl"}],
                "grows": "proportion"},
            {"id": "fry", "text": "Fry them.", "label": "fry",
                "ways": [{"station": "air_fryer", "minutes": {"low": 8, "likely": 9, "high": 12},
                    "load_servings": 2}],
                "hands": {"start_minutes": 1, "end_minutes": 1},
                "after": [{"step": "cut"}], "cookware": [{"kind": "bowl"}]}
        ],
        "safety": {"class": "cooked_plant"}
    })
}

fn dip() -> Value {
    json!({
        "id": "dip", "title": "Yoghurt dip", "course": "starter", "servings": 8,
        "ingredients": [
            {"item": "yoghurt", "amount": 500, "unit": "g", "kept": "fridge", "steps": ["mix"]},
            {"item": "salt"}
        ],
        "steps": [
            {"id": "mix", "text": "Mix it.", "label": "mix",
                "ways": [{"station": "counter", "minutes": 6}],
                "hands": {"between_percent": 100}, "cookware": [{"kind": "bowl", "least_ml": 2500}]},
            {"id": "dress", "text": "Dress it.", "label": "dress",
                "ways": [{"station": "counter", "minutes": 4}],
                "hands": {"between_percent": 100},
                "after": [{"step": "mix", "least_minutes": 30, "best_minutes": 90,
                    "short_points": 2, "place": "cold"}]}
        ],
        "holds": [
            {"place": "fridge", "class": "cold", "free_minutes": 60, "points": 1,
                "most_minutes": 240, "best_minutes": 20, "short_points": 3}
        ],
        "safety": {"class": "dairy"}
    })
}
