//! Templates of dishes, and how a menu is drawn from them. All invented;
//! minutes, temperatures and waits are common practice, no source.

use serde_json::{Value, json};

use super::Dice;
use super::draft::{Step, hold, items, loads, oven, recipe, warm_oven, way, with};
use super::more_dishes::{
    crumble, custard, fish, fritters, fruit, grains, grilled, relish, salad, stew,
};

const ROOTS: [&str; 8] =
    ["carrot", "beetroot", "parsnip", "potato", "celeriac", "swede", "turnip", "salsify"];

/// A template: its steps, and what it makes of the dice.
type Template = (usize, fn(&mut Dice) -> Value);

const TEMPLATES: [Template; 16] = [
    (6, roast),
    (5, bread),
    (4, fried),
    (3, dip),
    (5, gratin),
    (4, soup),
    (4, custard),
    (4, fish),
    (2, grains),
    (5, crumble),
    (4, fritters),
    (3, salad),
    (5, stew),
    (3, relish),
    (3, grilled),
    (2, fruit),
];
/// The stew wants hours; small parties do without.
const STEW: usize = 12;
const STEPS_FOR_STEW: usize = 40;

/// Recipes with just so many steps together. Each template comes once before
/// any comes again.
pub fn menu(steps: usize, dice: &mut Dice) -> Vec<Value> {
    let (mut menu, mut left) = (Vec::new(), steps);
    while left > 0 {
        for at in dice.order(TEMPLATES.len()) {
            let (count, make) = TEMPLATES[at];
            let fits = count == left || count + 2 <= left;
            if fits && (at != STEW || steps >= STEPS_FOR_STEW) {
                let mut dish = make(dice);
                dish["id"] = json!(format!("dish-{:02}", menu.len() + 1));
                menu.push(dish);
                left -= count;
            }
        }
    }
    menu
}

fn roast(dice: &mut Dice) -> Value {
    let at = [150, 165, 180, 190][dice.below(4) as usize];
    let (wait, rest) = (dice.from(5, 15), dice.from(10, 20));
    let tin = ("roasting_tin", 2500);
    let steps = vec![
        Step::by_hand("season", dice.from(6, 12)).ware(tin.0, tin.1),
        Step::new("brown", vec![way("stovetop", dice.from(8, 14))], (2, 1, 50))
            .after("season", json!({ "most_minutes": 40 }))
            .ware("frying_pan", 0),
        Step::new("roast", vec![oven(dice.from(45, 80), at, 10)], (2, 2, 0))
            .after("brown", json!({ "most_minutes": wait, "place": "hot" }))
            .ware(tin.0, tin.1)
            .overdone(8),
        Step::new("rest", vec![way("counter", rest)], (0, 0, 0))
            .after("roast", json!({ "most_minutes": 5, "place": "hot" }))
            .ware(tin.0, tin.1),
        Step::new("gravy", vec![way("stovetop", dice.from(9, 14))], (2, 2, 20))
            .after("roast", json!({ "most_minutes": 30, "place": "hot" }))
            .ware("saucepan", 700),
        Step::by_hand("carve", dice.from(4, 6))
            .after("rest", json!({ "most_minutes": 15, "place": "hot" }))
            .after("gravy", json!({ "most_minutes": 30, "place": "hot" }))
            .grows(),
    ];
    let holds = vec![warm_oven(80, 10, dice.from(2, 4), 45), hold("counter", "room", 8, 3, 40)];
    let title = format!("Roast {} joint", dice.pick(&["pork", "beef", "lamb", "venison"]));
    let used = items(&[("meat", "fridge", "season"), ("stock", "cupboard", "gravy")]);
    recipe(title, "main", "whole_meat", used, steps, holds)
}

fn bread(dice: &mut Dice) -> Value {
    let best = dice.from(55, 80);
    let bake = dice.from(14, 20);
    let ways = vec![
        with(oven(bake, 215, 15), json!({ "slots": dice.from(1, 2) })),
        with(loads("air_fryer", bake * 2 / 3, 4), json!({ "points": 12 })),
    ];
    let rise = json!({
        "least_minutes": best - 20, "most_minutes": best + 60, "best_minutes": best,
        "short_points": 3
    });
    let steps = vec![
        Step::by_hand("mix", dice.from(6, 9)).ware("mixing_bowl", 2500),
        Step::by_hand("shape", dice.from(6, 9))
            .after("mix", rise)
            .ware("mixing_bowl", 2500)
            .grows(),
        Step::new("prove", vec![way("counter", dice.from(22, 32))], (0, 0, 0))
            .after("shape", json!({ "most_minutes": 5 }))
            .ware("sheet_tray", 0)
            .overdone(15),
        Step::new("bake", ways, (2, 1, 0))
            .after("prove", json!({ "most_minutes": 20 }))
            .ware("sheet_tray", 0)
            .overdone(4),
        Step::new("cool", vec![way("counter", dice.from(8, 12))], (1, 0, 0))
            .after("bake", json!({})),
    ];
    let used = items(&[("flour", "cupboard", "mix"), ("yeast", "cupboard", "mix")]);
    let title = format!("{} rolls", dice.pick(&["Rye", "Oat", "Wheat", "Barley"]));
    let holds = vec![hold("counter", "room", 45, 1, 300)];
    let mut made = recipe(title, "bread", "baked_dry", used, steps, holds);
    made["safety"]["exempt"] = json!("plain_bread");
    made
}

fn fried(dice: &mut Dice) -> Value {
    let minutes = dice.from(9, 13);
    let ways = vec![
        loads("air_fryer", minutes, dice.from(5, 6)),
        with(oven(minutes * 2 + 4, 210, 15), json!({ "points": dice.from(2, 6) })),
    ];
    let steps = vec![
        Step::by_hand("cut", dice.from(4, 8)).ware("mixing_bowl", 2500).grows(),
        Step::by_hand("dressing", dice.from(3, 4)),
        Step::new("crisp", ways, (1, 1, 0))
            .after("cut", json!({ "most_minutes": 60 }))
            .ware("sheet_tray", 0)
            .ware("mixing_bowl", 2500)
            .overdone(3),
        Step::by_hand("toss", dice.from(2, 3))
            .after("crisp", json!({ "most_minutes": 45, "place": "hot" }))
            .after("dressing", json!({ "most_minutes": 300, "place": "cold" }))
            .ware("mixing_bowl", 2500),
    ];
    let holds = vec![hold("counter", "room", 6, dice.from(2, 5), 30), warm_oven(80, 6, 3, 30)];
    let root = dice.pick(&ROOTS);
    let used = items(&[(root, "cupboard", "cut"), ("mustard", "fridge", "dressing")]);
    recipe(format!("Crisp {root}"), "side", "cooked_plant", used, steps, holds)
}

fn dip(dice: &mut Dice) -> Value {
    let best = dice.from(60, 120);
    let rest = json!({
        "least_minutes": 20, "most_minutes": 600, "best_minutes": best, "short_points": 2,
        "place": "cold"
    });
    let steps = vec![
        Step::new(
            "warm",
            vec![
                way("stovetop", dice.from(5, 8)),
                with(way("microwave", 4), json!({ "points": 1 })),
            ],
            (1, 1, 20),
        )
        .ware("saucepan", 0)
        .overdone(2),
        Step::by_hand("blend", dice.from(5, 8))
            .after("warm", json!({ "most_minutes": 25 }))
            .ware("blender_jar", 1000),
        Step::by_hand("dress", dice.from(3, 5)).after("blend", rest),
    ];
    let holds =
        vec![hold("fridge", "cold", dice.from(30, 60), 1, 180), hold("counter", "room", 15, 1, 40)];
    let bean = dice.pick(&["white bean", "lentil", "chickpea", "pea"]);
    let used = items(&[(bean, "cupboard", "warm"), ("herbs", "fridge", "dress")]);
    recipe(format!("Cold {bean} dip"), "starter", "cooked_plant", used, steps, holds)
}

fn gratin(dice: &mut Dice) -> Value {
    let at = [170, 180, 190, 200][dice.below(4) as usize];
    let slots = if dice.chance(15) { 2 } else { 1 };
    let bake = with(oven(dice.from(28, 45), at, 15), json!({ "slots": slots }));
    let steps = vec![
        Step::by_hand("slice", dice.from(5, 9)).ware("mixing_bowl", 2000).grows(),
        Step::new("sauce", vec![way("stovetop", dice.from(8, 12))], (2, 1, 50))
            .ware("saucepan", 1000)
            .overdone(5),
        Step::by_hand("build", dice.from(4, 6))
            .after("slice", json!({ "most_minutes": 60 }))
            .after("sauce", json!({ "most_minutes": 30, "place": "hot" }))
            .ware("baking_dish", 2000),
        Step::new("bake", vec![bake], (1, 1, 0))
            .after("build", json!({ "most_minutes": 40 }))
            .ware("baking_dish", 2000)
            .overdone(6),
        Step::new("settle", vec![way("counter", dice.from(5, 10))], (0, 1, 0))
            .after("bake", json!({ "most_minutes": 10, "place": "hot" }))
            .ware("baking_dish", 2000),
    ];
    let warm = with(warm_oven(85, 15, dice.from(1, 3), 60), json!({ "cookware": "baking_dish" }));
    let holds = vec![warm, hold("counter", "room", 12, 2, 45)];
    let root = dice.pick(&ROOTS);
    let used = items(&[(root, "cupboard", "slice"), ("cream", "fridge", "sauce")]);
    recipe(format!("Baked {root} gratin"), "side", "casserole", used, steps, holds)
}

fn soup(dice: &mut Dice) -> Value {
    let simmer = dice.from(20, 35);
    let ways = vec![
        way("stovetop", simmer),
        with(
            way("slow_cooker", simmer * 4),
            json!({ "ml_per_serving": 250, "setting": "high", "points": 2 }),
        ),
    ];
    let steps = vec![
        Step::by_hand("chop", dice.from(5, 9)).grows(),
        Step::new("sweat", vec![way("stovetop", dice.from(8, 12))], (2, 1, 20))
            .after("chop", json!({ "most_minutes": 90 }))
            .ware("stock_pot", 2500),
        Step::new("simmer", ways, (1, 1, [0, 10][dice.below(2) as usize]))
            .after("sweat", json!({ "most_minutes": 10, "place": "hot" }))
            .ware("stock_pot", 2500),
        Step::by_hand("puree", dice.from(4, 6))
            .after("simmer", json!({ "most_minutes": 20, "place": "hot" }))
            .ware("stock_pot", 2500),
    ];
    let pot = with(hold("stovetop", "hot", 20, 1, 90), json!({ "cookware": "stock_pot" }));
    let holds = vec![pot, hold("slow_cooker", "hot", 40, 1, 150)];
    let root = dice.pick(&ROOTS);
    let used = items(&[(root, "cupboard", "chop"), ("stock", "cupboard", "simmer")]);
    recipe(format!("Smooth {root} soup"), "starter", "cooked_plant", used, steps, holds)
}
