//! The meaning of the cook's files: every sentence once, and what holds of an
//! evening after a check that finds nothing wrong. `files_fit.rs` goes on.

#[path = "support/meaning.rs"]
mod meaning;
mod support;

use meaning::{bake, drop_field, fill, holds, kitchen, load, push, recipe};
use serde_json::json;
use support::{changed, told};

#[test]
fn the_base_party_is_sound() {
    holds(&[(|_| (), &[])]);
}

#[test]
fn what_is_wrong_with_a_party() {
    holds(&[
        (
            |p| p["id"] = json!("Test Supper"),
            &[
                "id: \"Test Supper\" cannot be an id. Write lower-case letters, digits, _ or -, like \"leek_pie\".",
            ],
        ),
        (
            |p| p["id"] = json!(""),
            &["id: is empty. Write lower-case letters, digits, _ or -, like \"leek_pie\"."],
        ),
        (|p| p["id"] = json!("a".repeat(41)), &["id: is too long. Use at most 40 letters."]),
        (|p| p["title"] = json!("  "), &["title: is empty. Write what the cook would call it."]),
        (
            |p| p["title"] = json!("x".repeat(81)),
            &["title: is too long. Use at most 80 characters."],
        ),
        (
            |p| p["title"] = json!("a\u{1b}[2Jb"),
            &["title: holds a line break or another control sign. Write it as one plain line."],
        ),
        (|p| p["day"] = json!("1999-12-31"), &["day: is in the year 1999. Write 2000 to 2199."]),
        (
            |p| p["guidance"] = json!("us_consumers"),
            &["guidance: there is no guidance \"us_consumers\". Did you mean \"us_consumer\"?"],
        ),
        (|p| p["room_c"] = json!(51), &["room_c: is 51. Write -20 to 50."]),
        (|p| p["on_time_percent"] = json!(100), &["on_time_percent: is 100. Write 50 to 99."]),
        (|p| p["table_minutes"] = json!(1441), &["table_minutes: is 1441. Write 0 to 1440."]),
        (
            |p| p["services"] = json!([]),
            &[
                "services: is empty. Add one: {\"id\": \"mains\", \"title\": \"Mains\", \"at\": \"19:00\"}.",
                "dishes[0].service: there is no service \"mains\". There is none yet; add it.",
                "dishes[1].service: there is no service \"starters\". There is none yet; add it.",
            ],
        ),
        (
            |p| p["services"][1]["id"] = json!("starters"),
            &[
                "services[1].id: \"starters\" is already the id of services[0]. Give each its own.",
                "dishes[0].service: there is no service \"mains\". The only one is starters.",
            ],
        ),
        (
            |p| p["services"][0]["at"] = json!("12:00"),
            &[
                "services[0].at: 12:00 is not after 12:00, when the first cook comes. Move the service, or let a cook begin earlier.",
            ],
        ),
        (
            |p| p["services"][1]["at"] = json!("20:01"),
            &[
                "services[1].at: 20:01 is after 20:00, when the last cook leaves. Let a cook stay until then.",
            ],
        ),
        (
            |p| push(&mut p["services"], json!({"id": "late", "title": "Late", "at": "19:30"})),
            &["services[2]: no dish belongs to it. Give it a dish, or take it out."],
        ),
        (
            |p| p["dishes"] = json!([]),
            &[
                "services[0]: no dish belongs to it. Give it a dish, or take it out.",
                "services[1]: no dish belongs to it. Give it a dish, or take it out.",
                "dishes: is empty. Add at least one dish.",
            ],
        ),
        (
            |p| p["dishes"][1]["id"] = json!("pie"),
            &["dishes[1].id: \"pie\" is already the id of dishes[0]. Give each its own."],
        ),
        (|p| p["dishes"][0]["servings"] = json!(0), &["dishes[0].servings: is 0. Write 1 to 500."]),
        (
            |p| p["dishes"][0]["service"] = json!("main"),
            &[
                "services[1]: no dish belongs to it. Give it a dish, or take it out.",
                "dishes[0].service: there is no service \"main\". Did you mean \"mains\"?",
            ],
        ),
        (
            |p| p["dishes"][1]["letter"] = json!("P"),
            &[
                "dishes[1].letter: \"P\" is already the letter of dishes[0]. Take another, or leave it out.",
            ],
        ),
        (
            |p| p["dishes"][1]["letter"] = json!("-"),
            &["dishes[1].letter: \"-\" does not stand out on the chart. Use a letter or a digit."],
        ),
        (
            |p| p["dishes"][1]["letter"] = json!("\u{98df}"),
            &[
                "dishes[1].letter: \"\u{98df}\" does not stand out on the chart. Use a letter or a digit.",
            ],
        ),
        (
            |p| p["cooks"] = json!([]),
            &["cooks: is empty. Add at least one cook, with the hours that they cook."],
        ),
        (
            |p| p["cooks"][0]["free"] = json!([]),
            &["cooks[0].free: is empty. Add hours: {\"from\": \"14:00\", \"to\": \"21:00\"}."],
        ),
        (
            |p| p["cooks"][0]["free"][0]["to"] = json!("12:00"),
            &[
                "cooks[0].free[0]: ends at 12:00, but begins at 12:00. Write the earlier time first; half past one at night is 25:30.",
            ],
        ),
        (
            |p| p["cooks"][0]["free"][1]["from"] = json!("16:59"),
            &["cooks[0].free[1]: 16:59 to 20:00 overlaps [0], 12:00 to 17:00. Join them into one."],
        ),
        (|p| p["guests"][0]["count"] = json!(0), &["guests[0].count: is 0. Write 1 to 5000."]),
        (
            |p| p["guests"][0]["diets"][0] = json!(""),
            &["guests[0].diets[0]: is empty. Write what the cook would call it."],
        ),
    ]);
}

#[test]
fn too_much_of_a_thing() {
    holds(&[
        (
            |p| {
                p["cooks"][0]["free"] = (0..13)
                    .map(|i| json!({"from": format!("{i}:00"), "to": format!("{i}:30")}))
                    .chain([json!({"from": "14:00", "to": "20:00"})])
                    .collect()
            },
            &["cooks[0].free: has 14 entries. Use at most 12."],
        ),
        (
            |p| {
                let dish = p["dishes"][1].clone();
                for i in 0..39 {
                    push(&mut p["dishes"], dish.clone());
                    p["dishes"][i + 2]["id"] = json!(format!("d{i}"));
                }
            },
            &["dishes: has 41 entries. Use at most 40."],
        ),
        (
            |p| {
                let step = bake(p).clone();
                for i in 0..59 {
                    let mut step = step.clone();
                    step["id"] = json!(format!("s{i}"));
                    step["after"] = json!([{"step": if i == 0 { "bake".to_owned() } else { format!("s{}", i - 1) }}]);
                    push(&mut recipe(p)["steps"], step);
                }
            },
            &["dishes[0].recipe.steps: has 61 entries. Use at most 60."],
        ),
        (
            |p| {
                let step = p["dishes"][1]["recipe"]["steps"][1].clone();
                for i in 0..58 {
                    let mut step = step.clone();
                    step["id"] = json!(format!("s{i}"));
                    step["after"] = json!([{"step": if i == 0 { "chill".to_owned() } else { format!("s{}", i - 1) }}]);
                    push(&mut p["dishes"][1]["recipe"]["steps"], step);
                }
                let dish = p["dishes"][1].clone();
                for i in 0..6 {
                    push(&mut p["dishes"], dish.clone());
                    p["dishes"][i + 2]["id"] = json!(format!("d{i}"));
                }
            },
            &["dishes: have 422 steps together. Use at most 400: leave out a dish, or join steps."],
        ),
    ]);
}

#[test]
fn what_is_wrong_with_a_kitchen() {
    holds(&[
        (
            |p| kitchen(p)["stations"][1]["id"] = json!("oven"),
            &[
                "kitchen.stations[1].id: \"oven\" is already the id of stations[0]. Give each its own.",
            ],
        ),
        (
            |p| kitchen(p)["stations"][0]["slots"] = json!(0),
            &["kitchen.stations[0].slots: is 0. Write 1 to 50."],
        ),
        (
            |p| kitchen(p)["stations"][1]["volume_ml"] = json!(10),
            &[
                "kitchen.stations[1].volume_ml: a volume is read for slow cookers only, not for a hob. Leave it out.",
            ],
        ),
        (
            |p| drop_field(&mut kitchen(p)["stations"][3], "volume_ml"),
            &[
                "kitchen.stations[3]: has no volume, so that it may overflow on paper. Add \"volume_ml\".",
            ],
        ),
        (
            |p| kitchen(p)["stations"][3]["volume_ml"] = json!(0),
            &["kitchen.stations[3].volume_ml: is 0. Write 1 to 500000."],
        ),
        (
            |p| drop_field(&mut kitchen(p)["stations"][0], "thermostat"),
            &[
                "kitchen.stations[0]: an oven needs a thermostat. Add \"thermostat\" with least_c, most_c, up_c_per_min and down_c_per_min.",
            ],
        ),
        (
            |p| {
                kitchen(p)["stations"][2]["thermostat"] =
                    json!({"least_c": 50, "most_c": 250, "up_c_per_min": 10, "down_c_per_min": 5})
            },
            &[
                "kitchen.stations[2].thermostat: an air fryer is planned without a thermostat. Leave it out; only ovens and grills have one.",
            ],
        ),
        (
            |p| kitchen(p)["stations"][0]["thermostat"]["most_c"] = json!(601),
            &["kitchen.stations[0].thermostat.most_c: is 601. Write -40 to 600."],
        ),
        (
            |p| kitchen(p)["stations"][0]["thermostat"]["up_c_per_min"] = json!(0),
            &["kitchen.stations[0].thermostat.up_c_per_min: is 0. Write 1 to 200."],
        ),
        (
            |p| kitchen(p)["cookware"][0]["count"] = json!(0),
            &["kitchen.cookware[0].count: is 0. Write 1 to 500."],
        ),
        (
            |p| kitchen(p)["servingware"][0]["area_cm2"] = json!(0),
            &["kitchen.servingware[0].area_cm2: is 0. Write 1 to 100000."],
        ),
        (
            |p| {
                kitchen(p)["servingware"][0]["size"] =
                    json!({"shape": "box", "long_mm": 3300, "wide_mm": 5, "deep_mm": 50});
            },
            &[
                "kitchen.servingware[0].size.long_mm: is 3300. Write 10 to 2000.",
                "kitchen.servingware[0].size.wide_mm: is 5. Write 10 to 2000.",
            ],
        ),
        (
            |p| {
                let ware = &mut kitchen(p)["servingware"][0];
                drop_field(ware, "volume_ml");
                ware["kind"] = json!("jug");
                ware["size"] = json!({"shape": "round", "long_mm": 100});
            },
            &[
                "kitchen.servingware[0]: a jug without a depth holds nothing on paper. Add \"deep_mm\" to its size, or \"volume_ml\".",
            ],
        ),
        (
            |p| drop_field(&mut kitchen(p)["servingware"][0], "volume_ml"),
            &[
                "kitchen.servingware[0]: nobody can tell how much it holds, so that nothing is put into it. Fill it with water to a finger below the rim and write \"volume_ml\", or its \"size\".",
            ],
        ),
    ]);
    let text = changed(|p| {
        kitchen(p)["stations"] = json!([]);
        p["dishes"][0]["recipe"]["holds"] = json!([]);
    });
    let told = told(&load(&text), &text);
    assert!(told.contains(
        &"kitchen.stations: is empty. Add at least one station, a counter for example.".to_owned()
    ));
    let text = changed(|p| {
        kitchen(p)["stations"][0]["thermostat"] =
            json!({"least_c": 260, "most_c": 250, "up_c_per_min": 10, "down_c_per_min": 5});
    });
    let told = support::told(&load(&text), &text);
    assert!(
        told.contains(
            &"kitchen.stations[0].thermostat: least_c 260 is above most_c 250. Swap them."
                .to_owned()
        ),
        "{told:?}"
    );
}

#[test]
fn what_is_wrong_with_a_recipe() {
    holds(&[
        (
            |p| recipe(p)["short"] = json!("far too long for it"),
            &["dishes[0].recipe.short: is too long. Use at most 12 characters."],
        ),
        (
            |p| recipe(p)["servings"] = json!(501),
            &["dishes[0].recipe.servings: is 501. Write 1 to 500."],
        ),
        (
            |p| recipe(p)["portion_ml"] = json!(0),
            &["dishes[0].recipe.portion_ml: is 0. Write 1 to 10000."],
        ),
        (
            |p| recipe(p)["portion_cm2"] = json!(0),
            &["dishes[0].recipe.portion_cm2: is 0. Write 1 to 10000."],
        ),
        (
            |p| recipe(p)["ingredients"][0]["amount"] = json!(-0.5),
            &[
                "dishes[0].recipe.ingredients[0].amount: is -0.5. Write more than 0 and at most 1000000, or leave it out for \"to taste\".",
            ],
        ),
        (
            |p| {
                p["in_house"] = json!([{"item": "flour", "amount": 0}, {"item": "", "unit": "kg"}]);
            },
            &[
                "in_house[0].amount: is 0. Write more than 0 and at most 1000000, or leave it out for \"as much as is wanted\".",
                "in_house[1].item: is empty. Write what the cook would call it.",
                "in_house[1].unit: has no amount to go with. Add \"amount\", or leave the unit out for \"as much as is wanted\".",
            ],
        ),
        (
            |p| recipe(p)["ingredients"][0]["amount"] = json!("-1 1/3"),
            &[
                "dishes[0].recipe.ingredients[0].amount: is -1 1/3. Write more than 0 and at most 1000000, or leave it out for \"to taste\".",
            ],
        ),
        (
            |p| recipe(p)["ingredients"][0]["steps"][0] = json!("fil"),
            &[
                "dishes[0].recipe.ingredients[0].steps[0]: there is no step \"fil\". Did you mean \"fill\"?",
            ],
        ),
        (
            |p| recipe(p)["ingredients"][1]["swaps"][0]["item"] = json!(""),
            &[
                "dishes[0].recipe.ingredients[1].swaps[0].item: is empty. Write what the cook would call it.",
            ],
        ),
        (
            |p| p["dishes"][1]["recipe"]["steps"] = json!([]),
            &["dishes[1].recipe.steps: is empty. Add what is done, the plating at the least."],
        ),
        (
            |p| recipe(p)["safety"] = json!({"class": "casserole", "exempt": "dry_baked"}),
            &[
                "dishes[0].recipe.safety.exempt: \"dry_baked\" cannot be true of this class: it counts as perishable. Leave it out, or name the class that the dish really is.",
            ],
        ),
        (
            |p| recipe(p)["safety"]["table_minutes"] = json!(2000),
            &["dishes[0].recipe.safety.table_minutes: is 2000. Write 0 to 1440."],
        ),
    ]);
}

#[test]
fn what_is_wrong_with_a_step() {
    holds(&[
        (
            |p| bake(p)["id"] = json!("fill"),
            &[
                "dishes[0].recipe.steps[1].id: \"fill\" is already the id of steps[0]. Give each its own.",
                "dishes[0].recipe.steps[1].after[0].step: \"fill\" follows itself. Name an earlier step.",
            ],
        ),
        (
            |p| fill(p)["label"] = json!("a label that is much too long"),
            &["dishes[0].recipe.steps[0].label: is too long. Use at most 24 characters."],
        ),
        (
            |p| bake(p)["ways"] = json!([]),
            &["dishes[0].recipe.steps[1].ways: is empty. Add at least one way to do the step."],
        ),
        (
            |p| fill(p)["ways"][0]["minutes"] = json!(0),
            &["dishes[0].recipe.steps[0].ways[0].minutes: is 0. Write at least 1 minute."],
        ),
        (
            |p| fill(p)["ways"][0]["minutes"] = json!(1441),
            &[
                "dishes[0].recipe.steps[0].ways[0].minutes: 1441 minutes is more than a day. Split the step, or let the next one wait by \"after\".",
            ],
        ),
        (
            |p| bake(p)["ways"][0]["minutes"]["high"] = json!(29),
            &[
                "dishes[0].recipe.steps[1].ways[0].minutes: low 25, likely 30, high 29 do not rise. Write low <= likely <= high.",
            ],
        ),
        (
            |p| bake(p)["ways"][0]["minutes"]["low"] = json!(31),
            &[
                "dishes[0].recipe.steps[1].ways[0].minutes: low 31, likely 30, high 40 do not rise. Write low <= likely <= high.",
            ],
        ),
        (
            |p| bake(p)["ways"][0]["minutes"]["low"] = json!(0),
            &["dishes[0].recipe.steps[1].ways[0].minutes.low: is 0. Write at least 1 minute."],
        ),
        (
            |p| drop_field(&mut bake(p)["ways"][0], "at_c"),
            &[
                "dishes[0].recipe.steps[1].ways[0]: an oven needs its setting. Add \"at_c\", 180 for example.",
                "dishes[0].recipe.steps[1].ways[0].give_c: counts for nothing without at_c. Add \"at_c\".",
            ],
        ),
        (
            |p| bake(p)["ways"][0]["at_c"] = json!(-41),
            &["dishes[0].recipe.steps[1].ways[0].at_c: is -41. Write -40 to 600."],
        ),
        (
            |p| bake(p)["ways"][0]["give_c"] = json!(-1),
            &["dishes[0].recipe.steps[1].ways[0].give_c: is -1. Write 0 to 100."],
        ),
        (
            |p| bake(p)["ways"][1]["setting"] = json!("high"),
            &[
                "dishes[0].recipe.steps[1].ways[1].setting: an air fryer has no such setting. Leave it out, or write \"at_c\".",
            ],
        ),
        (
            |p| drop_field(&mut p["dishes"][1]["recipe"]["steps"][0]["ways"][0], "setting"),
            &[
                "dishes[1].recipe.steps[0].ways[0]: a slow cooker needs its setting. Add \"setting\": low, high or warm.",
            ],
        ),
        (
            |p| drop_field(&mut p["dishes"][1]["recipe"]["steps"][0]["ways"][0], "ml_per_serving"),
            &[
                "dishes[1].recipe.steps[0].ways[0]: does not say how much room a serving takes in the slow cooker. Add \"ml_per_serving\".",
            ],
        ),
        (
            |p| fill(p)["ways"][0]["ml_per_serving"] = json!(3),
            &[
                "dishes[0].recipe.steps[0].ways[0].ml_per_serving: is read for slow cookers only, not for a hob. Leave it out.",
            ],
        ),
        (
            |p| p["dishes"][1]["recipe"]["steps"][1]["ways"][0]["at_c"] = json!(4),
            &[
                "dishes[1].recipe.steps[1].ways[0].at_c: a fridge is not set to a temperature. Leave it out.",
            ],
        ),
        (
            |p| bake(p)["ways"][1]["load_servings"] = json!(0),
            &["dishes[0].recipe.steps[1].ways[1].load_servings: is 0. Write 1 to 500."],
        ),
        (
            |p| bake(p)["grows"] = json!("proportion"),
            &[
                "dishes[0].recipe.steps[1].ways[1].load_servings: the step is done in loads and grows in proportion as well. Choose one: leave out load_servings, or \"grows\".",
            ],
        ),
        (
            |p| bake(p)["ways"][1]["points"] = json!(1001),
            &["dishes[0].recipe.steps[1].ways[1].points: is 1001. Write 0 to 1000."],
        ),
        (
            |p| bake(p)["ways"][1]["slots"] = json!(0),
            &["dishes[0].recipe.steps[1].ways[1].slots: is 0. Write 1 to 50."],
        ),
        (
            |p| fill(p)["hands"]["between_percent"] = json!(101),
            &["dishes[0].recipe.steps[0].hands.between_percent: is 101. Write 0 to 100."],
        ),
        (
            |p| fill(p)["hands"]["end_minutes"] = json!(16),
            &[
                "dishes[0].recipe.steps[0].hands: 21 minutes of full attention, but ways[0] takes 20. Make start_minutes and end_minutes together no longer than the step.",
            ],
        ),
        (
            |p| bake(p)["overdone_after"] = json!(99999),
            &["dishes[0].recipe.steps[1].overdone_after: is 99999. Write 0 to 20160."],
        ),
        (
            |p| push(&mut bake(p)["cookware"], json!({"kind": "pan"})),
            &[
                "dishes[0].recipe.steps[1].cookware[1].kind: \"pan\" is asked for twice in one step. Ask once, with a count.",
            ],
        ),
        (
            |p| fill(p)["cookware"][0]["kind"] = json!("Big pan"),
            &[
                "dishes[0].recipe.steps[0].cookware[0].kind: \"Big pan\" cannot be an id. Write lower-case letters, digits, _ or -, like \"leek_pie\".",
            ],
        ),
    ]);
}

#[test]
fn what_is_wrong_with_the_order_of_steps() {
    holds(&[
        (
            |p| bake(p)["after"][0]["step"] = json!("filling"),
            &[
                "dishes[0].recipe.steps[1].after[0].step: there is no step \"filling\". The only one is fill.",
            ],
        ),
        (
            |p| push(&mut bake(p)["after"], json!({"step": "fill"})),
            &[
                "dishes[0].recipe.steps[1].after[1].step: \"fill\" is named twice. Take one of them out.",
            ],
        ),
        (
            |p| fill(p)["after"] = json!([{"step": "bake"}]),
            &[
                "dishes[0].recipe.steps[0].after: the steps wait for one another in a circle: fill after bake after fill. Take one of these out.",
            ],
        ),
        (
            |p| bake(p)["after"] = json!([]),
            &[
                "dishes[0].recipe.steps: 2 steps come last: fill, bake. Let all others lead to one last step, the plating for example, by its \"after\".",
            ],
        ),
        (
            |p| bake(p)["after"][0]["least_minutes"] = json!(61),
            &[
                "dishes[0].recipe.steps[1].after[0]: at least 61 minutes between, but at most 60. Make least_minutes no more than most_minutes.",
            ],
        ),
        (
            |p| bake(p)["after"][0]["least_minutes"] = json!(2881),
            &["dishes[0].recipe.steps[1].after[0].least_minutes: is 2881. Write 0 to 2880."],
        ),
        (
            |p| bake(p)["after"][0]["most_minutes"] = json!(20161),
            &["dishes[0].recipe.steps[1].after[0].most_minutes: is 20161. Write 0 to 20160."],
        ),
        (
            |p| bake(p)["after"][0]["best_minutes"] = json!(61),
            &[
                "dishes[0].recipe.steps[1].after[0].best_minutes: 61 lies outside 0 to 60. Write 0 to 60.",
            ],
        ),
        (
            |p| p["dishes"][1]["recipe"]["steps"][1]["after"][0]["short_points"] = json!(2),
            &[
                "dishes[1].recipe.steps[1].after[0].short_points: counts for nothing without a best wait. Add \"best_minutes\".",
            ],
        ),
    ]);
}
