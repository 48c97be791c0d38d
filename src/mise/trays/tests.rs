//! Room in fridge and freezer counted by hand, what is taken out when, and the trays in words.

use serde_json::{Value, json};

use super::space::count;
use super::*;
use crate::kitchen::{Evening, HoldClass, StationKind, WaitPlace};
use crate::mise::wording::some;
use crate::plan::sample::{self, evening_with};
use crate::plan::{Block, HoldBlock, Plan, StepKey, WaitBlock};

/// The small supper with these ingredients of roast, chips and dip; a fridge of three places and so many ml.
fn evening(ingredients: [Value; 3], fridge_ml: u32) -> Evening {
    evening_with(|_, kitchen, recipes| {
        for (recipe, ingredients) in recipes.iter_mut().zip(ingredients) {
            recipe["ingredients"] = ingredients;
        }
        kitchen["stations"][4]["volume_ml"] = json!(fridge_ml);
    })
}

fn block(dish: usize, step: usize, load: u32, station: &str, at: (i32, i32)) -> Block {
    sample::block(StepKey { dish, step, load }, station, at)
}

fn hold(station: &str, slots: u32, (from, to): (i32, i32)) -> HoldBlock {
    HoldBlock {
        dish: 2,
        hold: 0,
        class: HoldClass::Cold,
        station: station.to_owned(),
        slots: (0..slots).collect(),
        from,
        to,
        setting_c: None,
    }
}

fn wait(station: &str, (from, to): (i32, i32)) -> WaitBlock {
    let station = Some(station.to_owned());
    let place = WaitPlace::Cold;
    WaitBlock { dish: 2, after_step: 0, before_step: 1, place, station, slots: vec![2], from, to }
}

fn fridge(evening: &Evening, plan: Option<&Plan>) -> Space {
    lay(evening, plan, &[]).fridge.expect("a fridge")
}

/// Boxed, what is in them takes half as much again. Places of 1 ml say how much that is.
#[test]
fn things_take_the_room_of_their_volume_or_weight_and_of_a_box() {
    let rows = [
        (json!({"item": "milk", "amount": 1, "unit": "l"}), 1500),
        (json!({"item": "pork loin", "amount": 1, "unit": "kg"}), 1500),
        (json!({"item": "pork loin", "amount": 100, "unit": "g"}), 150),
        // USDA SR28 01123: a large egg is 50 g.
        (json!({"item": "egg", "amount": 12}), 900),
        // 473.2 ml, and not the weight that a row has of a cup.
        (json!({"item": "milk", "amount": 2, "unit": "cup"}), 710),
        // Nobody knows: 300 ml.
        (json!({"item": "dragon cheese", "amount": 2, "kept": "fridge"}), 300),
        (json!({"item": "milk"}), 0),
        (json!({"item": "flour", "amount": 1, "unit": "kg"}), 0),
    ];
    for (ingredient, ml) in rows {
        let evening = evening([json!([ingredient]), json!([]), json!([])], 3);
        let space = fridge(&evening, None);
        assert_eq!((space.wanted, space.of_ingredients, space.places), (ml, ml, 3), "{ingredient}");
        assert_eq!(space.is_over(), ml > 3);
    }
    // 2 l in places of a litre: raw food has its own.
    let milk = json!([{"item": "milk", "amount": 800, "unit": "ml"}]);
    let pork = json!([{"item": "pork loin", "amount": 800, "unit": "g"}]);
    assert_eq!(fridge(&evening([milk.clone(), milk.clone(), json!([])], 3000), None).wanted, 3);
    assert_eq!(fridge(&evening([milk, pork, json!([])], 3000), None).wanted, 4);
}

/// Two litres of boxed milk and as much pork; places of a litre, so that each takes two.
fn supper() -> Evening {
    let pork = json!([{"item": "pork loin", "amount": "4/3", "unit": "kg", "steps": ["season"]}]);
    let milk = json!([{"item": "milk", "amount": "3/2", "unit": "l", "steps": ["dress"]}]);
    evening([pork, json!([{"item": "potato", "amount": 3}]), milk], 3000)
}

#[test]
fn the_fullest_minute_is_found_among_all_that_comes_and_goes() {
    let evening = supper();
    let mut plan = Plan {
        blocks: vec![
            block(0, 0, 0, "board", (960, 970)),
            block(2, 1, 0, "board", (1100, 1104)),
            block(2, 1, 1, "fridge", (1140, 1150)),
        ],
        holds: vec![hold("fridge", 2, (950, 1140)), hold("oven", 3, (940, 1200))],
        waits: vec![wait("fridge", (1000, 1090)), wait("fridge", (1050, 1050))],
        ..Plan::default()
    };
    // Pork and milk and the hold; with the wait there is no pork any more.
    let space = fridge(&evening, Some(&plan));
    assert_eq!((space.wanted, space.of_ingredients, space.at), (7, 5, Some(950)));
    assert_eq!(space.holds, ["D 1.5 l milk", "R 1.33 kg pork loin"]);
    // What goes in as the pork comes out does not meet it: the wait makes it fuller.
    plan.holds[0].from = 960;
    let space = fridge(&evening, Some(&plan));
    assert_eq!((space.wanted, space.of_ingredients, space.at), (6, 3, Some(1000)));
    // Nothing but ingredients: full before anything is taken out.
    plan = Plan { blocks: plan.blocks[..2].to_vec(), ..Plan::default() };
    let space = fridge(&evening, Some(&plan));
    assert_eq!((space.wanted, space.of_ingredients, space.at), (5, 5, None));
}

#[test]
fn what_comes_as_another_thing_goes_takes_its_room() {
    let evening = evening([json!([]), json!([]), json!([])], 3000);
    let plan = Plan {
        blocks: vec![block(0, 0, 0, "fridge", (1000, 1010))],
        holds: vec![hold("fridge", 3, (900, 950)), hold("fridge", 3, (950, 1000))],
        ..Plan::default()
    };
    let trays: [Tray; 0] = [];
    let space = |kind| count(&evening, Some(&plan), &[], &trays, (kind, Kept::Fridge));
    let fridge = space(StationKind::Fridge);
    assert_eq!((fridge.wanted, fridge.places, fridge.at), (3, 3, Some(900)));
    let oven = space(StationKind::Oven);
    assert_eq!((oven.wanted, oven.places, oven.at), (0, 2, None));
}

#[test]
fn more_trays_than_the_counter_has_places_are_told() {
    let one = || json!([{"item": "potato", "amount": 3}]);
    let evening = evening([one(), one(), one()], 3000);
    let all = lay(&evening, None, &[]);
    assert_eq!((all.counter.trays, all.counter.places), (3, 2));
    let told =
        "3 trays and 2 places on the counter: set out what comes first, the rest waits stacked";
    assert!(all.notes.iter().any(|n| n == told), "{:?}", all.notes);
    let two = lay(&evening, None, &[1]);
    assert_eq!((two.counter.trays, two.counter.places), (2, 2));
    assert!(two.notes.is_empty(), "{:?}", two.notes);
    assert!(!all.planned && lay(&evening, Some(&Plan::default()), &[]).planned);
    assert_eq!((some(1, "tray"), some(2, "tray")), ("1 tray".into(), "2 trays".into()));
}

/// FDA Food Code 2022, 1-201.10: tomatoes are kept cold once they are cut.
#[test]
fn what_is_cut_waits_where_it_must() {
    let things = json!([{"item": "plum tomato", "amount": 3, "cut": "diced"}, {"item": "tomato", "amount": 3},
        {"item": "apple", "amount": 3, "cut": "diced"}]);
    let trays = lay(&evening([things, json!([]), json!([])], 3000), None, &[]);
    let tray = &trays.trays[0];
    assert_eq!(
        tray.cold.iter().map(|c| c.thing.words()).collect::<Vec<_>>(),
        ["3 plum tomatoes, diced"]
    );
    let ready = ["3 tomatoes", "3 apples, diced"];
    assert_eq!(tray.counter.iter().map(Thing::words).collect::<Vec<_>>(), ready);
}

/// Half an hour before, but no more than a quarter of the two hours (of the hour above 32 °C) that US consumer guidance gives.
#[test]
fn what_is_wanted_soft_is_taken_out_before() {
    let ahead = |room_c: i32, butter: Value, exempt: bool| {
        let evening = evening_with(|party, _, recipes| {
            party["room_c"] = json!(room_c);
            recipes[0]["ingredients"] = json!([butter]);
            if exempt {
                recipes[0]["safety"] = json!({"class": "baked_dry", "exempt": "dry_baked"});
            }
        });
        let blocks = vec![block(0, 0, 0, "board", (960, 970)), block(0, 1, 0, "oven", (970, 1000))];
        let plan = Plan { blocks, ..Plan::default() };
        let tray = lay(&evening, Some(&plan), &[]).trays.remove(0);
        assert_eq!((tray.cold[0].used_at, tray.cleared), (Some(960), Some(970)));
        (960 - tray.cold[0].out_at.unwrap(), tray.cold[0].why.clone())
    };
    let butter = |note: &str| json!({"item": "butter", "amount": 100, "unit": "g", "note": note});
    let counted = "min before: it is wanted soft; that counts against its limit";
    assert_eq!(ahead(21, butter("softened"), false), (30, Some(format!("30 {counted}"))));
    assert_eq!(ahead(35, butter("softened"), false), (15, Some(format!("15 {counted}"))));
    let free = "30 min before: it is wanted soft".to_owned();
    assert_eq!(ahead(35, butter("softened"), true), (30, Some(free)));
    assert_eq!(ahead(21, butter("salted"), false), (0, None));
}

/// What the table does not have stands on no counter if it sounds like meat or fish.
#[test]
fn what_sounds_raw_stays_cold() {
    let evening = evening_with(|_, _, recipes| {
        recipes[0]["ingredients"] = json!([{"item": "wild boar shoulder", "amount": 2, "unit": "kg"},
            {"item": "marsh duck", "amount": 2, "cut": "quartered"}, {"item": "moon rock", "amount": 1}]);
    });
    let tray = lay(&evening, None, &[]).trays.remove(0);
    let cold: Vec<_> = tray.cold.iter().map(|c| (c.thing.item.as_str(), c.kept, c.raw)).collect();
    let raw = |item| (item, Kept::Fridge, true);
    assert_eq!(cold, [raw("wild boar shoulder"), raw("marsh duck")]);
    assert_eq!(tray.counter.len(), 1);
}

/// A day for each 2 kg (FSIS "The Big Thaw", from memory): what may be one large piece has to come out before the day on which
/// smaller ones do, and the cook is told so.
#[test]
fn what_may_be_one_large_piece_is_said_to_thaw_for_days() {
    let why = |item: Value, planned: bool| {
        let evening = evening_with(|_, _, recipes| recipes[0]["ingredients"] = json!([item]));
        let plan = Plan { blocks: vec![block(0, 0, 0, "board", (960, 970))], ..Plan::default() };
        let tray = lay(&evening, planned.then_some(&plan), &[]).trays.remove(0);
        let cold = &tray.cold[0];
        let ahead = cold.used_at.zip(cold.out_at).map(|(used, out)| used - out);
        assert_eq!(ahead, planned.then_some(1440));
        cold.why.clone().unwrap_or_default()
    };
    let pork = |amount: &str, unit: &str| json!({"item": "pork loin", "amount": amount, "unit": unit, "kept": "freezer", "note": "thawed"});
    let plain = "into the fridge to thaw, never on the counter: a day for each 2 kg";
    assert_eq!(why(pork("2", "kg"), true), plain);
    let days = |n: u32, from: &str| format!("{plain}; in one piece it takes {n} days{from}");
    // The supper is on Friday 20 November; it is wanted at 16:00.
    assert_eq!(why(pork("2.1", "kg"), true), days(2, ", from Wed 18 Nov, 16:00"));
    assert_eq!(why(pork("6", "kg"), true), days(3, ", from Tue 17 Nov, 16:00"));
    assert_eq!(why(pork("6", "kg"), false), days(3, ""));
    assert_eq!(why(pork("60", "kg"), true), plain, "that is no one piece");
    let berries =
        json!({"item": "berries", "amount": 6, "unit": "kg", "kept": "freezer", "note": "thawed"});
    assert_eq!(why(berries, true), plain);
}

/// Looked over by us: a supper with its plan, one without, one that does not fit.
#[test]
fn trays_read_like_this() {
    let roast = json!([
        {"item": "pork loin", "amount": 1, "unit": "kg", "steps": ["season"]},
        {"item": "butter", "amount": 100, "unit": "g", "steps": ["roast"]},
        {"item": "berries", "amount": 1, "unit": "kg", "kept": "freezer", "note": "thawed", "steps": ["rest"]},
        {"item": "salt"}, {"item": "carrot", "amount": 3, "cut": "diced"}
    ]);
    let dip = json!([{"item": "yoghurt", "amount": 500, "unit": "g", "steps": ["mix"]}]);
    let change = |party: &mut Value, kitchen: &mut Value, recipes: &mut [Value; 3]| {
        recipes[0]["ingredients"] = roast;
        recipes[2]["ingredients"] = dip;
        party["title"] = json!("Small supper");
        let freezer = json!({"id": "ice", "title": "Freezer", "kind": "freezer", "slots": 1});
        kitchen["stations"].as_array_mut().unwrap().push(freezer);
    };
    let mut evening = evening_with(change);
    let plan = Plan {
        blocks: vec![
            block(0, 0, 0, "board", (960, 970)),
            block(0, 1, 0, "oven", (980, 1040)),
            block(0, 2, 0, "board", (1040, 1050)),
            block(1, 0, 0, "board", (1060, 1072)),
            block(2, 0, 0, "board", (985, 991)),
            block(2, 1, 0, "board", (1100, 1104)),
        ],
        holds: vec![hold("fridge", 1, (1104, 1140))],
        waits: vec![wait("fridge", (991, 1100))],
        ..Plan::default()
    };
    let mut all = print::text(&evening, &lay(&evening, Some(&plan), &[]));
    all += "\n";
    all += &print::text(&evening, &lay(&evening, None, &[1]));
    evening.sheets[0].servings = 400;
    all += "\n";
    all += &print::text(&evening, &lay(&evening, Some(&plan), &[1]));
    // First out first, whatever the order of the recipe.
    let trays = lay(&evening, Some(&plan), &[]);
    let order = print::by_time(&trays.trays[0]).into_iter().map(|c| c.thing.item.as_str());
    assert_eq!(order.collect::<Vec<_>>(), ["berries", "pork loin", "carrot", "butter"]);
    insta::assert_snapshot!(all);
}
