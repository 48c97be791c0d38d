//! The meaning of the cook's files, after `files_meaning.rs`: waits, what does not fit the
//! kitchen, and hours that the clocks skip.

#[path = "support/meaning.rs"]
mod meaning;
mod support;

use std::path::Path;

use meaning::{bake, drop_field, fill, holds, kitchen, push, recipe};
use potwatch::kitchen::Clockface;
use potwatch::store::load::load_document;
use potwatch::store::read::Document;
use serde_json::json;
use support::{changed, told};

#[test]
fn what_is_wrong_with_a_hold() {
    holds(&[
        (
            |p| recipe(p)["holds"][0]["most_minutes"] = json!(0),
            &["dishes[0].recipe.holds[0].most_minutes: is 0. Write 1 to 20160."],
        ),
        (
            |p| recipe(p)["holds"][0]["free_minutes"] = json!(61),
            &[
                "dishes[0].recipe.holds[0].free_minutes: 61 is more than most_minutes, 60. Write at most 60.",
            ],
        ),
        (
            |p| recipe(p)["holds"][0]["short_points"] = json!(1),
            &[
                "dishes[0].recipe.holds[0].short_points: counts for nothing without a best wait. Add \"best_minutes\".",
            ],
        ),
        (
            |p| recipe(p)["holds"][0]["place"] = json!("microwave"),
            &[
                "dishes[0].recipe.holds[0].place: a finished dish does not wait in or on a microwave. Write oven, slow_cooker, stovetop, counter, fridge or freezer.",
            ],
        ),
        (
            |p| recipe(p)["holds"][0]["class"] = json!("cold"),
            &[
                "dishes[0].recipe.holds[0].class: an oven keeps nothing cold. Change the class, or the place to fridge or freezer.",
            ],
        ),
        (
            |p| drop_field(&mut recipe(p)["holds"][0], "at_c"),
            &["dishes[0].recipe.holds[0]: a hot wait in an oven needs its setting. Add \"at_c\"."],
        ),
        // 140 °F is the consumer guidance's figure, 135 °F the Food Code's: see the profiles.
        (
            |p| recipe(p)["holds"][0]["at_c"] = json!(69),
            &[
                "dishes[0].recipe.holds[0].at_c: kept as cool as 59 °C, but us_consumer asks for 60 °C at the least. Set it so that at_c less give_c is 60 or more.",
            ],
        ),
        (
            |p| {
                p["guidance"] = json!("us_food_code_2022");
                recipe(p)["holds"][0]["at_c"] = json!(67);
            },
            &[
                "dishes[0].recipe.holds[0].at_c: kept as cool as 57 °C, but us_food_code_2022 asks for 57.2 °C at the least. Set it so that at_c less give_c is 58 or more.",
            ],
        ),
        (
            |p| recipe(p)["holds"][0]["cookware"] = json!("pot"),
            &[
                "dishes[0].recipe.holds[0].cookware: no step of this recipe uses a \"pot\" to wait in. The only one is pan.",
            ],
        ),
    ]);
}

#[test]
fn what_does_not_fit_the_kitchen() {
    holds(&[
        (
            |p| bake(p)["ways"] = json!([{"station": "grill", "minutes": 20}]),
            &[
                "dishes[0].recipe: step \"bake\" cannot be done in this kitchen: there is no grill. Add to the kitchen, or give the step another way.",
            ],
        ),
        (
            |p| bake(p)["ways"] = json!([{"station": "oven", "minutes": 20, "at_c": 251}, {"station": "air_fryer", "minutes": 9, "slots": 2}]),
            &[
                "dishes[0].recipe: step \"bake\" cannot be done in this kitchen: the oven goes up to 250 °C, not 251; the air fryer has 1 of the 2 places. Add to the kitchen, or give the step another way.",
            ],
        ),
        (
            |p| bake(p)["ways"] = json!([{"station": "oven", "minutes": 20, "at_c": 49}]),
            &[
                "dishes[0].recipe: step \"bake\" cannot be done in this kitchen: the oven goes down to 50 °C, not 49. Add to the kitchen, or give the step another way.",
            ],
        ),
        (
            |p| p["dishes"][1]["servings"] = json!(14),
            &[
                "dishes[1].recipe: step \"cook\" cannot be done in this kitchen: the slow cooker holds 4000 ml of the 4200 ml. Make it for 13 at the most, add to the kitchen, or give the step another way.",
            ],
        ),
        (|p| fill(p)["ways"][0]["minutes"] = json!(1440), &[]),
        (
            |p| {
                fill(p)["ways"][0]["minutes"] = json!(1440);
                drop_field(fill(p), "cookware");
                drop_field(bake(p), "cookware");
                drop_field(&mut recipe(p)["holds"][0], "cookware");
                p["dishes"][0]["servings"] = json!(9);
            },
            &[
                "dishes[0].recipe: step \"fill\" cannot be done in this kitchen: it takes 27 hours for 9 servings. Make it for 8 at the most, add to the kitchen, or give the step another way.",
            ],
        ),
        (
            |p| p["dishes"][0]["servings"] = json!(3),
            &[
                "dishes[0].recipe: step \"fill\" cannot be done in this kitchen: for 3 servings it takes 8 min, less than the 10 of full attention. Make it for 4 at the least, add to the kitchen, or give the step another way.",
            ],
        ),
        (
            |p| p["dishes"][0]["servings"] = json!(13),
            &[
                "dishes[0].recipe: step \"fill\" cannot be done in this kitchen: it needs a pan for 3250 ml and the largest, \"Deep pan\", holds 3000 ml: 2 of those would do and there is only 1. Make it for 12 at the most, add to the kitchen, or give the step another way.",
            ],
        ),
        (
            |p| bake(p)["cookware"][0] = json!({"kind": "pan", "count": 2}),
            &[
                "dishes[0].recipe: step \"bake\" cannot be done in this kitchen: it needs 2 of \"Deep pan\" and there is only 1. Add to the kitchen, or give the step another way.",
            ],
        ),
        // Twice 1 l goes into one pan of 3 l.
        (
            |p| {
                bake(p)["cookware"][0]["count"] = json!(2);
                bake(p)["cookware"][0]["least_ml"] = json!(1000);
            },
            &[],
        ),
        (
            |p| bake(p)["cookware"][0]["kind"] = json!("jam_kettle"),
            &[
                "dishes[0].recipe: step \"bake\" cannot be done in this kitchen: it needs a \"jam_kettle\" for 2000 ml and there is none; it needs a \"jam_kettle\" for 1000 ml and there is none. Add to the kitchen, or give the step another way.",
            ],
        ),
        (
            |p| {
                kitchen(p)["cookware"][0]["ovenproof"] = json!(false);
                bake(p)["ways"].as_array_mut().expect("ways").truncate(1);
            },
            &[
                "dishes[0].recipe: step \"bake\" cannot be done in this kitchen: it needs an ovenproof pan for 2000 ml and the one there is not. Add to the kitchen, or give the step another way.",
            ],
        ),
        // One pan for both steps: large enough for the first, ovenproof for the second, but not both.
        (
            |p| {
                bake(p)["ways"].as_array_mut().expect("ways").truncate(1);
                bake(p)["cookware"][0]["least_ml"] = json!(500);
                kitchen(p)["cookware"][0]["ovenproof"] = json!(false);
                push(
                    &mut kitchen(p)["cookware"],
                    json!({"id": "small", "title": "Small", "kind": "pan", "count": 1, "volume_ml": 600, "ovenproof": true}),
                );
            },
            &[
                "dishes[0].recipe: its pan goes through several steps: it needs an ovenproof pan for 2000 ml and the largest, \"Small\", holds 600 ml: 4 of those would do and there is only 1. Add to the kitchen's cookware.",
            ],
        ),
        (
            |p| recipe(p)["holds"][0]["place"] = json!("counter"),
            &[
                "dishes[0].recipe.holds[0].class: a counter keeps nothing hot. Change the class, or the place to oven, slow_cooker or stovetop.",
            ],
        ),
        (
            |p| recipe(p)["holds"][0] = json!({"place": "counter", "class": "room", "free_minutes": 1, "points": 1, "most_minutes": 9}),
            &[
                "dishes[0].recipe: cannot wait in this kitchen as the recipe says: counter: there is no counter. It will go straight to the table.",
            ],
        ),
        (
            |p| {
                push(
                    &mut recipe(p)["holds"],
                    json!({"place": "counter", "class": "room", "free_minutes": 1, "points": 1, "most_minutes": 9}),
                )
            },
            &[
                "dishes[0].recipe: cannot wait in this kitchen as the recipe says: counter: there is no counter. It waits in another of its places.",
            ],
        ),
        (
            |p| {
                kitchen(p)["stations"].as_array_mut().expect("stations").pop();
                p["dishes"][1]["recipe"]["steps"][1]["ways"][0]["station"] = json!("stovetop");
            },
            &[
                "dishes[1].recipe: step \"chill\" follows \"cook\" after 5 minutes in the cold, but there is no fridge. Add a fridge to the kitchen, or choose another recipe.",
            ],
        ),
    ]);
}

/// A night on which the clocks go from 02:00 to 03:00.
#[test]
fn hours_that_the_clocks_skip() {
    let text = changed(|p| {
        p["cooks"][0]["free"] =
            json!([{"from": "2:00", "to": "2:45"}, {"from": "12:00", "to": "20:00"}]);
    });
    let document = Document::parse("party.json", &text).expect("JSON");
    let face = |day| {
        let mut face = Clockface::fixed(day, 3600);
        face.offsets.push((face.origin_s + 2 * 3600, 7200));
        face
    };
    let problems = load_document(document, Path::new(""), None, face).expect_err("skipped");
    assert_eq!(
        told(&problems, &text),
        [
            "cooks[0].free[0]: 02:00 to 02:45 is skipped on that night. Write hours outside the one that the clocks skip."
        ]
    );
}
