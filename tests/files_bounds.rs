//! Every number, text and list of the cook's files has its bounds: at them nothing is said of it, beyond them what
//! would be right.

#[path = "support/meaning.rs"]
mod meaning;
mod support;

use meaning::load;
use serde_json::{Value, json};
use support::{base, told};

/// The base party with everything in it that has bounds.
fn full() -> Value {
    let mut party = base();
    party["least"] = json!({"starters": 0, "mains": 1});
    party["borrowed"] = json!([{"what": "cookware", "like": "pan", "count": 1}]);
    party["in_house"] = json!([{"item": "flour"}]);
    party["guests"][0]["heat"] = json!(1);
    party["dishes"][0]["swaps"] = json!([{"item": "leek", "by": "onion"}]);
    party["dishes"][0]["half"] = json!([{"item": "cream", "by": "oat cream"}]);
    let recipe = &mut party["dishes"][0]["recipe"];
    recipe["portion"] = json!("a slice");
    recipe["portion_cm2"] = json!(60);
    recipe["heat"] = json!(0);
    recipe["notes"] = json!(["Good cold too."]);
    recipe["reheat"] = json!({"text": "Heat it.", "ways": [{"station": "oven", "minutes": 20, "at_c": 180,
        "load_servings": 4}], "hands": {"between_percent": 10}, "cookware": [{"kind": "pan"}]});
    for (field, text) in [("size", "large"), ("note", "washed"), ("line", "6 leeks, sliced")] {
        recipe["ingredients"][0][field] = json!(text);
    }
    recipe["steps"][0]["words"] = json!("Soften them.");
    recipe["holds"][0]["words"] = json!("It waits.");
    recipe["safety"]["words"] = json!("A pie.");
    recipe["safety"]["table_minutes"] = json!(60);
    party["kitchen"]["servingware"][0]["area_cm2"] = json!(300);
    party["kitchen"]["servingware"][0]["size"] =
        json!({"shape": "box", "long_mm": 300, "wide_mm": 200, "deep_mm": 50});
    party
}

/// What is said of the party with this at the pointer.
fn said(pointer: &str, value: Value) -> Vec<String> {
    let mut party = full();
    let (around, field) = pointer.rsplit_once('/').expect("a pointer");
    match party.pointer_mut(around).expect("it is there") {
        Value::Array(list) => list[field.parse::<usize>().expect("an index")] = value,
        object => object[field] = value,
    }
    let text = format!("{party:#}\n");
    told(&load(&text), &text)
}

/// `/dishes/0/servings` as `dishes[0].servings`.
fn path(pointer: &str) -> String {
    let part = |part: &str| match part.parse::<usize>() {
        Ok(index) => format!("[{index}]"),
        Err(_) => format!(".{part}"),
    };
    let all: String = pointer.split('/').skip(1).map(part).collect();
    all.trim_start_matches('.').to_owned()
}

const PIE: &str = "/dishes/0/recipe";

#[test]
fn the_full_party_is_sound() {
    let text = format!("{:#}\n", full());
    assert_eq!(told(&load(&text), &text), [""; 0]);
}

#[test]
fn every_number_has_its_bounds() {
    let numbers: [(&str, i64, i64); 20] = [
        ("/room_c", -20, 50),
        ("/table_minutes", 0, 1440),
        ("/on_time_percent", 50, 99),
        ("/least/starters", 0, 20),
        ("/least/mains", 0, 20),
        ("/borrowed/0/count", 1, 50),
        ("/dishes/0/servings", 1, 500),
        ("/guests/0/count", 1, 5000),
        ("/guests/0/heat", 0, 4),
        ("/dishes/1/recipe/steps/0/ways/0/ml_per_serving", 1, 10_000),
        ("/kitchen/stations/0/slots", 1, 50),
        ("/kitchen/stations/3/volume_ml", 1, 500_000),
        ("/kitchen/stations/0/thermostat/least_c", -40, 600),
        ("/kitchen/stations/0/thermostat/most_c", -40, 600),
        ("/kitchen/stations/0/thermostat/up_c_per_min", 1, 200),
        ("/kitchen/stations/0/thermostat/down_c_per_min", 1, 200),
        ("/kitchen/cookware/0/count", 1, 500),
        ("/kitchen/cookware/0/volume_ml", 1, 500_000),
        ("/kitchen/servingware/0/count", 1, 500),
        ("/kitchen/servingware/0/volume_ml", 1, 500_000),
    ];
    let of_ware = [
        ("/kitchen/servingware/0/area_cm2", 1, 100_000),
        ("/kitchen/servingware/0/size/long_mm", 10, 2000),
        ("/kitchen/servingware/0/size/wide_mm", 10, 2000),
        ("/kitchen/servingware/0/size/deep_mm", 10, 2000),
    ];
    let of_pie: [(&str, i64, i64); 31] = [
        ("/servings", 1, 500),
        ("/portion_ml", 1, 10_000),
        ("/portion_cm2", 1, 10_000),
        ("/heat", 0, 4),
        ("/steps/0/ways/0/slots", 1, 50),
        ("/steps/0/ways/0/points", 0, 1000),
        ("/steps/1/ways/0/at_c", -40, 600),
        ("/steps/1/ways/0/give_c", 0, 100),
        ("/steps/1/ways/1/load_servings", 1, 500),
        ("/steps/0/hands/between_percent", 0, 100),
        ("/steps/1/overdone_after", 0, 20_160),
        ("/steps/1/after/0/least_minutes", 0, 2880),
        ("/steps/1/after/0/most_minutes", 0, 20_160),
        ("/steps/1/after/0/short_points", 0, 1000),
        ("/steps/0/cookware/0/count", 1, 100),
        ("/steps/0/cookware/0/least_ml", 1, 500_000),
        ("/holds/0/points", 0, 1000),
        ("/holds/0/short_points", 0, 1000),
        ("/holds/0/at_c", -40, 600),
        ("/holds/0/give_c", 0, 100),
        ("/holds/0/most_minutes", 1, 20_160),
        ("/safety/table_minutes", 0, 1440),
        ("/reheat/ways/0/slots", 1, 50),
        ("/reheat/ways/0/points", 0, 1000),
        ("/reheat/ways/0/at_c", -40, 600),
        ("/reheat/ways/0/give_c", 0, 100),
        ("/reheat/ways/0/load_servings", 1, 500),
        ("/reheat/hands/between_percent", 0, 100),
        ("/reheat/cookware/0/count", 1, 100),
        ("/reheat/cookware/0/least_ml", 1, 500_000),
        ("/steps/1/ways/0/slots", 1, 50),
    ];
    let of_pie = of_pie.map(|(at, least, most)| (format!("{PIE}{at}"), least, most));
    let others = numbers.into_iter().chain(of_ware);
    let all = others.map(|(at, least, most)| (at.to_owned(), least, most)).chain(of_pie);
    for (at, least, most) in all {
        let field = path(&at);
        for within in [least, most] {
            let of = format!("{field}: is {within}. ");
            assert!(!said(&at, json!(within)).iter().any(|s| s.starts_with(&of)), "{of}");
        }
        let below = Some(least - 1).filter(|n| least != 0 || at.ends_with("give_c") && *n < 0);
        for beyond in below.into_iter().chain([most + 1]) {
            let wanted = format!("{field}: is {beyond}. Write {least} to {most}.");
            let said = said(&at, json!(beyond));
            assert!(said.contains(&wanted), "{wanted}: {said:#?}");
        }
    }
}

#[test]
fn every_text_is_there_and_fits() {
    let titles = [
        "/title",
        "/services/0/title",
        "/cooks/0/name",
        "/guests/0/name",
        "/guests/0/diets/0",
        "/guests/0/avoids/0",
        "/in_house/0/item",
        "/dishes/0/swaps/0/by",
        "/dishes/0/half/0/by",
        "/dishes/0/recipe/title",
        "/dishes/0/recipe/portion",
        "/dishes/0/recipe/ingredients/0/item",
        "/dishes/0/recipe/ingredients/0/cut",
        "/dishes/0/recipe/ingredients/0/size",
        "/dishes/0/recipe/ingredients/1/allergens/0",
        "/dishes/0/recipe/ingredients/1/swaps/0/item",
        "/dishes/0/recipe/ingredients/1/swaps/0/opens/0",
        "/kitchen/title",
        "/kitchen/stations/0/title",
        "/kitchen/cookware/0/title",
        "/kitchen/servingware/0/title",
    ];
    let texts = [
        ("/short", 12),
        ("/notes/0", 600),
        ("/ingredients/0/note", 600),
        ("/ingredients/0/line", 600),
        ("/steps/0/text", 600),
        ("/steps/0/label", 24),
        ("/steps/0/words", 600),
        ("/reheat/text", 600),
        ("/holds/0/words", 600),
        ("/safety/words", 600),
    ];
    let of_pie = texts.map(|(at, longest)| (format!("{PIE}{at}"), longest));
    for (at, longest) in titles.map(|at| (at.to_owned(), 80)).into_iter().chain(of_pie) {
        let field = path(&at);
        let of = |text: String| {
            let said = said(&at, json!(text)).into_iter();
            said.filter(|s| s.starts_with(&format!("{field}: "))).collect::<Vec<_>>()
        };
        // Words that nobody knows may be said to be unknown, never to be too long.
        let too_long = format!("{field}: is too long. Use at most {longest} characters.");
        assert!(!of("x".repeat(longest)).contains(&too_long), "{field}");
        assert!(of("x".repeat(longest + 1)).contains(&too_long), "{field}");
        let empty = format!("{field}: is empty. Write what the cook would call it.");
        assert!(of(" ".to_owned()).contains(&empty), "{field}");
    }
    let ids = [
        "/id",
        "/services/0/id",
        "/dishes/0/id",
        "/cooks/0/id",
        "/dishes/0/recipe/id",
        "/dishes/0/recipe/steps/0/id",
        "/dishes/0/recipe/steps/0/cookware/0/kind",
        "/dishes/0/recipe/reheat/cookware/0/kind",
        "/kitchen/id",
        "/kitchen/stations/0/id",
        "/kitchen/cookware/0/id",
        "/kitchen/cookware/0/kind",
        "/kitchen/servingware/0/id",
    ];
    for at in ids {
        let long = format!("{}: is too long. Use at most 40 letters.", path(at));
        assert!(!said(at, json!("a".repeat(40))).contains(&long), "{at}");
        assert!(said(at, json!("a".repeat(41))).contains(&long), "{at}");
        let cannot = format!("{}: \"Ab\" cannot be an id.", path(at));
        assert!(said(at, json!("Ab")).iter().any(|s| s.starts_with(&cannot)), "{at}");
    }
}

#[test]
fn every_list_has_its_bound() {
    let lists = [
        ("/services", 12),
        ("/cooks", 12),
        ("/cooks/0/free", 12),
        ("/guests", 500),
        ("/guests/0/diets", 40),
        ("/guests/0/avoids", 40),
        ("/in_house", 300),
        ("/borrowed", 50),
        ("/dishes/0/swaps", 40),
        ("/dishes/0/half", 40),
        ("/dishes/0/recipe/notes", 40),
        ("/dishes/0/recipe/ingredients", 100),
        ("/dishes/0/recipe/ingredients/0/steps", 40),
        ("/dishes/0/recipe/ingredients/1/allergens", 40),
        ("/dishes/0/recipe/ingredients/1/swaps", 40),
        ("/dishes/0/recipe/ingredients/1/swaps/0/opens", 40),
        ("/dishes/0/recipe/steps/0/ways", 8),
        ("/dishes/0/recipe/steps/1/after", 60),
        ("/dishes/0/recipe/steps/0/cookware", 12),
        ("/dishes/0/recipe/reheat/ways", 8),
        ("/dishes/0/recipe/reheat/cookware", 12),
        ("/dishes/0/recipe/holds", 12),
        ("/kitchen/stations", 40),
        ("/kitchen/cookware", 200),
        ("/kitchen/servingware", 200),
    ];
    for (at, most) in lists {
        let first = full().pointer(at).expect("a list")[0].clone();
        let long = format!("{}: has {} entries. Use at most {most}.", path(at), most + 1);
        assert!(!said(at, json!(vec![first.clone(); most])).contains(&long), "{long}");
        let said = said(at, json!(vec![first; most + 1]));
        assert!(said.contains(&long), "{long}: {:#?}", &said[..said.len().min(4)]);
    }
}

/// What is said of the full party after a change.
fn after(change: impl Fn(&mut Value)) -> Vec<String> {
    let mut party = full();
    change(&mut party);
    let text = format!("{party:#}\n");
    told(&load(&text), &text)
}

#[test]
fn what_is_borrowed_or_swapped_must_be_there_once() {
    let borrowed = after(|p| p["borrowed"][0]["like"] = json!("pam"));
    let wanted = "borrowed[0].like: the kitchen has no pan \"pam\" that it could be like. Did you mean \"pan\"?";
    assert!(
        borrowed
            .iter()
            .any(|s| s == wanted || s.starts_with("borrowed[0].like: the kitchen has no")),
        "{borrowed:?}"
    );
    let missing = after(|p| p["dishes"][0]["swaps"][0]["item"] = json!("leeks"));
    let wanted =
        "dishes[0].swaps[0].item: there is no \"leeks\" in the recipe. Did you mean \"leek\"?";
    assert!(missing.contains(&wanted.to_owned()), "{missing:?}");
    let twice = after(|p| p["dishes"][0]["half"][0]["item"] = json!("leek"));
    let wanted = "dishes[0].half[0]: swaps \"leek\" a second time. Keep one of the two.";
    assert!(twice.contains(&wanted.to_owned()), "{twice:?}");
}

/// At the edges of hours, steps and settings: what just touches or just reaches is right.
#[test]
fn what_just_fits_is_right() {
    let hours = |free: Value| after(|p| p["cooks"][0]["free"] = free.clone());
    assert_eq!(
        hours(json!([{"from": "12:00", "to": "17:00"}, {"from": "17:00", "to": "20:00"}])),
        [""; 0]
    );
    assert_eq!(
        hours(json!([{"from": "17:00", "to": "20:00"}, {"from": "12:00", "to": "17:00"}])),
        [""; 0]
    );
    let inside = hours(json!([{"from": "12:00", "to": "20:00"}, {"from": "13:00", "to": "14:00"}]));
    assert_eq!(
        inside,
        ["cooks[0].free[1]: 13:00 to 14:00 overlaps [0], 12:00 to 20:00. Join them into one."]
    );
    let none = hours(json!([{"from": "13:00", "to": "13:00"}, {"from": "12:00", "to": "20:00"}]));
    assert_eq!(none.len(), 1, "no hours overlap nothing: {none:?}");
    assert_eq!(after(|p| p["services"][1]["at"] = json!("20:00")), [""; 0]);
    assert_eq!(after(|p| p["services"][0]["at"] = json!("12:01")), [""; 0]);
    let eve = |to: &str| {
        let stretch = json!([{"from": "18:00", "to": to}]);
        after(|p| p["cooks"][0]["free_day_before"] = stretch.clone())
    };
    assert_eq!(eve("24:00"), [""; 0]);
    let late = "cooks[0].free_day_before[0].to: 24:01 is on the party's own day. Write 24:00 at the latest.";
    assert_eq!(eve("24:01"), [late]);
    let oven = json!({"least_c": 190, "most_c": 190, "up_c_per_min": 10, "down_c_per_min": 5});
    let oven = after(|p| p["kitchen"]["stations"][0]["thermostat"] = oven.clone());
    assert!(!oven.iter().any(|s| s.contains("is above most_c")), "{oven:?}");
    // 60 °C are the consumer guidance's 140 °F: just as hot as asked, less what the setting may be off.
    assert_eq!(after(|p| p["dishes"][0]["recipe"]["holds"][0]["at_c"] = json!(70)), [""; 0]);
    let amount = |n: i64| {
        let said = after(|p| p["dishes"][0]["recipe"]["ingredients"][0]["amount"] = json!(n));
        said.iter().any(|s| s.contains("ingredients[0].amount: is"))
    };
    assert_eq!((amount(1_000_000), amount(1_000_001), amount(0)), (false, true, true));
}

#[test]
fn what_is_kept_of_a_line_that_was_read_makes_sense() {
    let of = |field: &str, value: Value| {
        let said = after(|p| p["dishes"][0]["recipe"]["ingredients"][0][field] = value.clone());
        said.iter().any(|s| s.starts_with(&format!("dishes[0].recipe.ingredients[0].{field}")))
    };
    // Six leeks, or up to so many.
    let up_to = [6, 7, 1_000_000, 1_000_001].map(|n| of("amount_to", json!(n)));
    assert_eq!(up_to, [true, false, false, true]);
    let pack = |n: i64| of("pack", json!({"amount": n, "unit": "g"}));
    assert_eq!([0, 1, 1_000_000, 1_000_001].map(pack), [true, false, false, true]);
    let none = after(|p| {
        let ingredient = p["dishes"][0]["recipe"]["ingredients"][0].as_object_mut().expect("one");
        ingredient.remove("amount");
        ingredient.insert("amount_to".to_owned(), json!(7));
    });
    let wanted =
        "dishes[0].recipe.ingredients[0].amount_to: has no amount to go up from. Add \"amount\".";
    assert_eq!(none, [wanted]);
    // What nobody has confirmed is said, each.
    let open = after(|p| {
        let recipe = &mut p["dishes"][0]["recipe"];
        recipe["steps"][0]["unconfirmed"] = json!(true);
        recipe["safety"]["unconfirmed"] = json!(true);
        recipe["holds"][0]["unconfirmed"] = json!(true);
    });
    let places: Vec<&str> = open.iter().filter_map(|s| s.split(": ").next()).collect();
    for place in ["steps", "safety", "holds[0]"] {
        assert!(places.contains(&format!("dishes[0].recipe.{place}").as_str()), "{open:?}");
    }
    assert!(open.iter().any(|s| s.contains("steps: 1 of 2 were read from text")), "{open:?}");
}

/// 400 steps of all dishes are the most.
#[test]
fn as_many_steps_as_there_may_be() {
    let steps = |of_last: usize| {
        let said = after(|p| {
            let stew = p["dishes"][1].clone();
            let chain = |n: usize| {
                let mut dish = stew.clone();
                let chill = dish["recipe"]["steps"][1].clone();
                for i in 2..n {
                    let mut step = chill.clone();
                    step["id"] = json!(format!("s{i}"));
                    let before = if i == 2 { "chill".to_owned() } else { format!("s{}", i - 1) };
                    step["after"] = json!([{"step": before, "place": "cold"}]);
                    dish["recipe"]["steps"].as_array_mut().expect("steps").push(step);
                }
                dish
            };
            let dishes = p["dishes"].as_array_mut().expect("dishes");
            dishes.truncate(1);
            for (at, n) in [60, 60, 60, 60, 60, 60, of_last].into_iter().enumerate() {
                let mut dish = chain(n);
                dish["id"] = json!(format!("d{at}"));
                dishes.push(dish);
            }
        });
        said.into_iter().find(|s| s.starts_with("dishes: have"))
    };
    assert_eq!(steps(38), None);
    let wanted =
        "dishes: have 401 steps together. Use at most 400: leave out a dish, or join steps.";
    assert_eq!(steps(39).as_deref(), Some(wanted));
}

/// The day before: what it follows is done then too, it waits in the cold, and what is kept hot is heated on the day.
#[test]
fn what_is_done_the_day_before_makes_sense() {
    let eve = |fill: bool, bake: bool, place: &str| {
        after(|p| {
            let recipe = &mut p["dishes"][0]["recipe"];
            recipe.as_object_mut().expect("a recipe").remove("reheat");
            recipe["steps"][0]["day_before"] = json!(fill);
            recipe["steps"][1]["day_before"] = json!(bake);
            recipe["steps"][1]["after"] = json!([{"step": "fill", "place": place}]);
        })
    };
    assert_eq!(eve(false, false, "room"), [""; 0]);
    assert_eq!(eve(true, false, "cold"), [""; 0]);
    let warm = "dishes[0].recipe.steps[1].after[0].place: what is done the day before waits for \"bake\" \
                overnight. Write \"place\": \"cold\".";
    assert_eq!(eve(true, false, "room"), [warm]);
    let order = "dishes[0].recipe.steps[1].after[0]: \"bake\" is done the day before, but follows \"fill\". \
                 Do the earlier step the day before too.";
    assert_eq!(eve(false, true, "cold"), [order]);
    let hot = "dishes[0].recipe.holds[0]: keeps hot what was made the day before and is not heated on the day. \
               Add a step that heats it again, with \"care\": \"reheats\".";
    assert_eq!(eve(true, true, "cold"), [hot]);
}

#[test]
fn what_is_heated_again_is_heated_through() {
    let reheat = |change: &dyn Fn(&mut Value)| {
        let said = after(|p| change(&mut p["dishes"][0]["recipe"]["reheat"]));
        said.into_iter().filter(|s| s.contains("reheat")).collect::<Vec<_>>()
    };
    let none = "dishes[0].recipe.reheat.ways: is empty. Add at least one way to heat it.";
    assert_eq!(reheat(&|r| r["ways"] = json!([])), [none]);
    for (station, words) in
        [("counter", "a counter"), ("slow_cooker", "a slow cooker"), ("fridge", "a fridge")]
    {
        let way =
            json!([{"station": station, "minutes": 20, "setting": "low", "ml_per_serving": 9}]);
        let said = reheat(&|r| r["ways"] = way.clone());
        let wanted = format!(
            "dishes[0].recipe.reheat.ways[0]: {words} does not heat food through again. Name a stovetop, an oven or a microwave."
        );
        assert!(said.contains(&wanted), "{said:?}");
    }
    let after_what =
        "dishes[0].recipe.reheat.after: there is no step \"bakes\". Did you mean \"bake\"?";
    assert_eq!(reheat(&|r| r["after"] = json!("bakes")), [after_what]);
    assert_eq!(reheat(&|r| r["after"] = json!("bake")), [""; 0]);
}

/// A fridge for what must wait in the cold, and for what is made the day before.
#[test]
fn what_must_be_cold_needs_a_fridge() {
    let without = |p: &mut Value| {
        let stations = p["kitchen"]["stations"].as_array_mut().expect("stations");
        stations.retain(|s| s["kind"] != "fridge");
        p["dishes"].as_array_mut().expect("dishes").truncate(1);
        p["services"].as_array_mut().expect("services").remove(0);
    };
    let waits = |least: u32| {
        after(|p| {
            without(p);
            let after = &mut p["dishes"][0]["recipe"]["steps"][1]["after"][0];
            *after = json!({"step": "fill", "place": "cold", "least_minutes": least});
        })
    };
    assert_eq!(waits(0), [""; 0]);
    assert_eq!(waits(1).len(), 1);
    let eve = |fridge: bool, change: &dyn Fn(&mut Value)| {
        let said = after(|p| {
            if !fridge {
                without(p);
            }
            p["dishes"][0]["day_before"] = json!(true);
            change(&mut p["dishes"][0]["recipe"]);
        });
        said.into_iter().filter(|s| s.contains("day_before")).collect::<Vec<_>>()
    };
    assert_eq!(eve(true, &|_| ()), [""; 0]);
    let none = "dishes[0].day_before: cannot be made the day before: there is no fridge to keep it in. \
                Add a fridge to the kitchen, or make it on the day.";
    assert_eq!(eve(false, &|_| ()), [none]);
    let no_way = eve(true, &|r| {
        r.as_object_mut().expect("a recipe").remove("reheat");
    });
    assert!(
        no_way.len() == 1 && no_way[0].contains("the recipe names no way to heat it again"),
        "{no_way:?}"
    );
}

/// Filling waits for baking, that for plating, and that for baking: the circle is of the last two.
#[test]
fn a_circle_is_found_from_outside_of_it() {
    let said = after(|p| {
        let steps = &mut p["dishes"][0]["recipe"]["steps"];
        let mut plate = steps[1].clone();
        plate["id"] = json!("plate");
        plate["after"] = json!([{"step": "bake"}]);
        steps[0]["after"] = json!([{"step": "bake"}]);
        steps[1]["after"] = json!([{"step": "plate"}]);
        steps.as_array_mut().expect("steps").push(plate);
    });
    let circle = "the steps wait for one another in a circle: bake after plate after bake.";
    assert!(said.iter().any(|s| s.contains(circle)), "{said:?}");
}

/// Just as hot, as full and as long as it can be is right; a little more is said, once for steps that fail alike.
#[test]
fn what_just_fits_the_kitchen_is_right() {
    let bake = |way: Value, servings: u32| {
        after(|p| {
            p["dishes"][0]["recipe"]["steps"][1]["ways"] = json!([way]);
            p["dishes"][0]["servings"] = json!(servings);
        })
    };
    let oven = |at_c: i32| bake(json!({"station": "oven", "minutes": 20, "at_c": at_c}), 8);
    assert_eq!((oven(250), oven(50)), (vec![], vec![]));
    assert!(oven(251).iter().any(|s| s.contains("the oven goes up to 250 °C, not 251. ")));
    let loads =
        |n: u32| bake(json!({"station": "air_fryer", "minutes": 360, "load_servings": 2}), n);
    assert_eq!(loads(8), [""; 0], "four loads of six hours are a day");
    assert!(
        loads(10).iter().any(|s| s.contains("it takes 30 hours for 10 servings")),
        "{:?}",
        loads(10)
    );
    let stew = |ml: u32, load: Option<u32>| {
        after(|p| {
            let way = &mut p["dishes"][1]["recipe"]["steps"][0]["ways"][0];
            way["ml_per_serving"] = json!(ml);
            way["load_servings"] = json!(load);
        })
    };
    assert_eq!((stew(500, None), stew(500, Some(20))), (vec![], vec![]));
    assert!(stew(501, None)[0].contains("the slow cooker holds 4000 ml of the 4008 ml"));
    let two = after(|p| {
        let mut oven = p["kitchen"]["stations"][0].clone();
        oven["id"] = json!("left");
        p["kitchen"]["stations"].as_array_mut().expect("stations").push(oven);
        p["dishes"][0]["recipe"]["steps"][1]["ways"] =
            json!([{"station": "oven", "minutes": 20, "at_c": 251}]);
    });
    assert_eq!(two[0].matches("the oven goes up to").count(), 1, "{two:?}");
    let alike = after(|p| {
        for step in 0..2 {
            p["dishes"][0]["recipe"]["steps"][step]["ways"] =
                json!([{"station": "grill", "minutes": 20}]);
        }
    });
    let wanted = "dishes[0].recipe: steps \"fill\" and \"bake\" cannot be done in this kitchen: there is no grill. \
                  Add to the kitchen, or give the steps another way.";
    assert_eq!(alike, [wanted]);
}

#[test]
fn minutes_and_waits_at_their_edges_are_right() {
    let minutes = |low: u32, likely: u32, high: u32| {
        after(|p| {
            p["dishes"][0]["recipe"]["steps"][1]["ways"][0]["minutes"] =
                json!({"low": low, "likely": likely, "high": high});
        })
    };
    let at = "dishes[0].recipe.steps[1].ways[0].minutes";
    assert_eq!(minutes(0, 0, 5), [format!("{at}.low: is 0. Write at least 1 minute.")]);
    assert_eq!(minutes(5, 5, 1440), [""; 0]);
    let hands = |end: u32| {
        after(|p| p["dishes"][0]["recipe"]["steps"][0]["hands"]["end_minutes"] = json!(end))
    };
    assert_eq!((hands(15).len(), hands(16).len()), (0, 1), "five and fifteen of twenty");
    let wait = |least: u32, best: u32, most: u32| {
        after(|p| {
            p["dishes"][0]["recipe"]["steps"][1]["after"] = json!([{"step": "fill", "place": "hot",
                "least_minutes": least, "best_minutes": best, "most_minutes": most}]);
        })
    };
    for (least, best, most) in [(10, 10, 60), (10, 60, 60), (60, 60, 60)] {
        assert_eq!(wait(least, best, most), [""; 0]);
    }
    assert_eq!((wait(10, 9, 60).len(), wait(10, 61, 60).len(), wait(61, 61, 60).len()), (1, 1, 1));
}

/// A third of the longer word may differ, one letter at the least; four letters of a word are a beginning of it.
#[test]
fn the_word_that_was_meant_is_near() {
    use potwatch::kitchen::check::words::{mean, nearest};
    assert_eq!(nearest("ab", ["ac"]), Some("ac"));
    assert_eq!(nearest("ab", ["cd"]), None);
    assert_eq!(nearest("abdegh", ["abcdefghi"]), Some("abcdefghi"));
    assert_eq!(nearest("adegh", ["abcdefghi"]), None);
    assert_eq!(
        (nearest("abcd", ["abcdefghij"]), nearest("abc", ["abcdefghij"])),
        (Some("abcdefghij"), None)
    );
    let long = "a".repeat(160);
    assert_eq!(nearest(&long, [long.as_str()]), Some(long.as_str()));
    let longer = "a".repeat(161);
    assert_eq!(nearest(&longer, [longer.as_str()]), None, "no word is so long");
    let known: Vec<String> = (10..41).map(|n| format!("k{n}")).collect();
    let said = |n: usize| mean("zzzzzzzz", known.iter().take(n).map(String::as_str));
    assert!(said(30).ends_with("k38, k39") && said(31).ends_with("k39 and 1 more"), "{}", said(31));
    assert_eq!(
        (said(1), said(0)),
        ("The only one is k10".into(), "There is none yet; add it".into())
    );
}
