//! More templates; see `dishes.rs`.

use serde_json::{Value, json};

use super::Dice;
use super::draft::{Step, hold, items, loads, oven, recipe, warm_oven, way, with};

pub fn custard(dice: &mut Dice) -> Value {
    let tray = ("baking_dish", 1500);
    let steps = vec![
        Step::new("thicken", vec![way("stovetop", dice.from(8, 12))], (0, 0, 100))
            .ware("saucepan", 1000)
            .overdone(2),
        Step::new("set", vec![oven(dice.from(25, 35), 150, 10)], (2, 1, 0))
            .after("thicken", json!({ "most_minutes": 15, "place": "hot" }))
            .ware(tray.0, tray.1)
            .overdone(4),
        Step::new("chill", vec![way("fridge", dice.from(45, 75))], (1, 0, 0))
            .after("set", json!({ "least_minutes": 10, "most_minutes": 40, "place": "hot" }))
            .ware(tray.0, tray.1),
        Step::by_hand("finish", dice.from(3, 5))
            .after("chill", json!({ "most_minutes": 240, "place": "cold" }))
            .ware(tray.0, tray.1),
    ];
    let cold = with(
        hold("fridge", "cold", 60, 1, 240),
        json!({ "best_minutes": 20, "short_points": 1, "cookware": tray.0 }),
    );
    let holds = vec![cold, hold("counter", "room", 10, 2, 30)];
    let used = items(&[("egg", "fridge", "thicken"), ("cream", "fridge", "thicken")]);
    let title = format!("{} custard", dice.pick(&["Vanilla", "Bay", "Caramel", "Almond"]));
    recipe(title, "dessert", "egg_dish", used, steps, holds)
}

pub fn fish(dice: &mut Dice) -> Value {
    let bake = dice.from(12, 16);
    let ways = vec![
        oven(bake, 200, 10),
        with(loads("air_fryer", bake - 3, 4), json!({ "points": dice.from(1, 4) })),
        with(loads("stovetop", bake - 5, 8), json!({ "points": 3 })),
    ];
    let cold = json!({
        "least_minutes": 10, "most_minutes": 180, "best_minutes": 25, "short_points": 2,
        "place": "cold"
    });
    let steps = vec![
        Step::by_hand("trim", dice.from(4, 7)).grows(),
        Step::by_hand("crumb", dice.from(4, 6))
            .after("trim", json!({ "most_minutes": 30 }))
            .ware("sheet_tray", 0),
        Step::new("bake", ways, (1, 1, 0)).after("crumb", cold).ware("sheet_tray", 0).overdone(2),
        // No place to wait: from the pass to the table.
        Step::by_hand("plate", dice.from(3, 4))
            .after("bake", json!({ "most_minutes": 45, "place": "hot" })),
    ];
    let used = items(&[("fish", "fridge", "trim"), ("crumbs", "cupboard", "crumb")]);
    let title = format!("Crumbed {}", dice.pick(&["cod", "haddock", "hake", "plaice"]));
    recipe(title, "main", "fish", used, steps, Vec::new())
}

pub fn grains(dice: &mut Dice) -> Value {
    let pot = ("saucepan", 1200);
    let rest = json!({ "least_minutes": 5, "most_minutes": 20, "place": "hot" });
    let steps = vec![
        Step::new("simmer", vec![way("stovetop", dice.from(14, 22))], (2, 1, 0))
            .ware(pot.0, pot.1)
            .overdone(5),
        Step::by_hand("fluff", dice.from(2, 4)).after("simmer", rest).ware(pot.0, pot.1),
    ];
    let warm = with(hold("stovetop", "hot", 10, 2, 45), json!({ "cookware": pot.0 }));
    let holds = vec![warm, warm_oven(80, 8, 2, 30)];
    let grain = dice.pick(&["rice", "barley", "bulgur", "spelt"]);
    let used = items(&[(grain, "cupboard", "simmer")]);
    recipe(format!("Steamed {grain}"), "side", "cooked_plant", used, steps, holds)
}

pub fn crumble(dice: &mut Dice) -> Value {
    let dish = ("baking_dish", 1800);
    let steps = vec![
        Step::by_hand("peel", dice.from(6, 10)).grows(),
        Step::by_hand("rub", dice.from(5, 8)).ware("mixing_bowl", 0),
        Step::by_hand("build", dice.from(3, 4))
            .after("peel", json!({ "most_minutes": 45 }))
            .after("rub", json!({ "most_minutes": 120, "place": "cold" }))
            .ware(dish.0, dish.1),
        Step::new("bake", vec![oven(dice.from(30, 42), 180, 20)], (1, 1, 0))
            .after("build", json!({ "most_minutes": 60 }))
            .ware(dish.0, dish.1)
            .overdone(8),
        Step::new("cool", vec![way("counter", dice.from(8, 15))], (0, 1, 0))
            .after("bake", json!({ "most_minutes": 15, "place": "hot" })),
    ];
    let holds = vec![hold("counter", "room", 20, 1, 45), warm_oven(80, 30, 1, 90)];
    let fruit = dice.pick(&["Apple", "Pear", "Plum", "Quince"]);
    let used = items(&[(fruit, "cupboard", "peel"), ("butter", "fridge", "rub")]);
    recipe(format!("{fruit} crumble"), "dessert", "cooked_plant", used, steps, holds)
}

pub fn fritters(dice: &mut Dice) -> Value {
    let fry = with(loads("stovetop", dice.from(6, 8), 8), json!({ "slots": 2 }));
    let rest = json!({
        "least_minutes": 10, "most_minutes": 100, "best_minutes": 25, "short_points": 1,
        "place": "cold"
    });
    let steps = vec![
        Step::by_hand("batter", dice.from(4, 6)).ware("mixing_bowl", 0),
        Step::new("soften", vec![way("stovetop", dice.from(7, 10))], (2, 1, 10))
            .ware("frying_pan", 0)
            .overdone(6),
        Step::by_hand("fold", dice.from(2, 4))
            .after("batter", json!({ "most_minutes": 90 }))
            .after("soften", json!({ "most_minutes": 30 }))
            .ware("mixing_bowl", 0),
        // Served as it comes from the pan: the first load waits for the last.
        Step::new("fry", vec![fry], (2, 2, 50))
            .after("fold", rest)
            .ware("frying_pan", 0)
            .ware("mixing_bowl", 0)
            .overdone(2),
    ];
    let holds = vec![hold("counter", "room", 6, 4, 25), warm_oven(80, 6, 4, 30)];
    let green = dice.pick(&["leek", "spinach", "courgette", "cabbage"]);
    let used = items(&[(green, "fridge", "soften"), ("flour", "cupboard", "batter")]);
    recipe(format!("Fried {green} cakes"), "starter", "cooked_plant", used, steps, holds)
}

pub fn salad(dice: &mut Dice) -> Value {
    let steps = vec![
        Step::by_hand("wash", dice.from(5, 8)).ware("mixing_bowl", 3000).grows(),
        Step::by_hand("shake", dice.from(3, 4)),
        Step::by_hand("toss", dice.from(2, 4))
            .after("wash", json!({ "most_minutes": 240, "place": "cold" }))
            .after("shake", json!({ "most_minutes": 300 }))
            .ware("mixing_bowl", 3000),
    ];
    let holds = vec![hold("counter", "room", 5, 3, 20), hold("fridge", "cold", 10, 4, 30)];
    let leaf = dice.pick(&["chicory", "lettuce", "rocket", "spinach"]);
    let used = items(&[(leaf, "fridge", "wash"), ("vinegar", "cupboard", "shake")]);
    recipe(format!("Tossed {leaf}"), "side", "cut_produce", used, steps, holds)
}

pub fn stew(dice: &mut Dice) -> Value {
    let long = dice.from(150, 200);
    let ways = vec![
        with(way("slow_cooker", long), json!({ "ml_per_serving": 260, "setting": "high" })),
        with(oven(long * 3 / 5, 150, 10), json!({ "points": dice.from(1, 4) })),
    ];
    let steps = vec![
        Step::by_hand("dice", dice.from(6, 9)).grows(),
        Step::new("brown", vec![way("stovetop", dice.from(10, 15))], (3, 2, 50))
            .after("dice", json!({ "most_minutes": 40 }))
            .ware("frying_pan", 0),
        Step::new("braise", ways, (3, 1, 0))
            .after("brown", json!({ "most_minutes": 15, "place": "hot" }))
            .ware("casserole", 2500),
        Step::new("reduce", vec![way("stovetop", dice.from(8, 12))], (1, 1, 20))
            .after("braise", json!({ "most_minutes": 40, "place": "hot" }))
            .ware("saucepan", 1000)
            .overdone(5),
        Step::by_hand("stir", dice.from(3, 5))
            .after("reduce", json!({ "most_minutes": 20, "place": "hot" })),
    ];
    let pot = with(warm_oven(85, 40, 1, 120), json!({ "cookware": "casserole" }));
    let holds = vec![hold("slow_cooker", "hot", 25, 2, 80), pot];
    let used = items(&[("stewing meat", "fridge", "dice"), ("stock", "cupboard", "braise")]);
    let title = format!("Slow {} stew", dice.pick(&["beef", "pork", "mutton", "bean"]));
    recipe(title, "main", "whole_meat", used, steps, holds)
}

pub fn relish(dice: &mut Dice) -> Value {
    let pot = ("saucepan", 800);
    let steps = vec![
        Step::by_hand("mince", dice.from(4, 7)).grows(),
        Step::new("stew", vec![way("stovetop", dice.from(15, 25))], (1, 1, 10))
            .after("mince", json!({ "most_minutes": 60 }))
            .ware(pot.0, pot.1)
            .overdone(5),
        Step::by_hand("season", dice.from(2, 3))
            .after("stew", json!({ "least_minutes": 5, "most_minutes": 60, "place": "hot" }))
            .ware(pot.0, pot.1),
    ];
    let holds = vec![hold("counter", "room", 30, 1, 60), hold("fridge", "cold", 90, 1, 300)];
    let fruit = dice.pick(&["plum", "apple", "onion", "tomato"]);
    let used = items(&[(fruit, "cupboard", "mince"), ("vinegar", "cupboard", "stew")]);
    recipe(format!("Sharp {fruit} relish"), "sauce", "cooked_plant", used, steps, holds)
}

pub fn grilled(dice: &mut Dice) -> Value {
    let minutes = dice.from(8, 12);
    let ways = vec![
        way("grill", minutes),
        with(loads("stovetop", minutes, 8), json!({ "slots": 2, "points": 1 })),
        with(oven(minutes + 8, 210, 20), json!({ "points": 2 })),
    ];
    let steps = vec![
        Step::by_hand("slice", dice.from(4, 7)).grows(),
        Step::new("char", ways, (1, 1, 20))
            .after("slice", json!({ "most_minutes": 60 }))
            .ware("sheet_tray", 0)
            .overdone(3),
        Step::by_hand("dress", dice.from(2, 4))
            .after("char", json!({ "most_minutes": 20, "place": "hot" })),
    ];
    let holds = vec![hold("counter", "room", 10, 2, 40)];
    let green = dice.pick(&["aubergine", "courgette", "fennel", "pepper"]);
    let used = items(&[(green, "cupboard", "slice"), ("oil", "cupboard", "dress")]);
    recipe(format!("Charred {green}"), "side", "cooked_plant", used, steps, holds)
}

pub fn fruit(dice: &mut Dice) -> Value {
    let soak = json!({
        "least_minutes": 15, "most_minutes": 360, "best_minutes": dice.from(45, 90),
        "short_points": 1, "place": "cold"
    });
    let steps = vec![
        Step::by_hand("peel", dice.from(6, 9)).ware("mixing_bowl", 1500).grows(),
        Step::by_hand("spoon", dice.from(2, 4)).after("peel", soak).ware("mixing_bowl", 1500),
    ];
    let holds = vec![hold("fridge", "cold", 45, 1, 180), hold("counter", "room", 10, 2, 30)];
    let fruit = dice.pick(&["Melon", "Orange", "Berry", "Grape"]);
    let used = items(&[(fruit, "fridge", "peel"), ("sugar", "cupboard", "peel")]);
    recipe(format!("{fruit} bowl"), "dessert", "cut_produce", used, steps, holds)
}
