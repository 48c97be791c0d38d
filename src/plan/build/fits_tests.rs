//! What just fits and what does not: stations, volumes, settings, hands, places to wait, cushions.

use std::sync::Arc;

use serde_json::{Value, json};

use super::steps::hands;
use super::{HoldAt, Map, NoWay, Reason, WayWhy, build};
use crate::kitchen::{Evening, Hands, HoldClass, TimeOfDay};
use crate::plan::problem::{HandsPart, OvenUse, Problem, Use};
use crate::plan::sample::{evening_with, two_cooks};
use crate::plan::{Begun, Held, HoldBlock, Plan, Situation, StepKey, weights};

const ROAST: usize = 0;
const CHIPS: usize = 1;

fn built(evening: &Evening) -> Result<(Problem, Map), NoWay> {
    build(evening, &Situation::default())
}

fn roast(change: impl FnOnce(&mut Value)) -> Evening {
    evening_with(|_, _, recipes| change(&mut recipes[0]))
}

/// Why the chips cannot be fried.
fn no_fryer(evening: &Evening) -> Option<WayWhy> {
    let reasons = built(evening).err()?.reasons;
    let mut whys = reasons.into_iter().filter_map(|r| match r {
        Reason::Step { dish: CHIPS, step: 1, whys } => Some(whys),
        _ => None,
    });
    whys.next().and_then(|whys| whys.into_iter().next())
}

#[test]
fn a_way_is_taken_where_its_places_its_volume_and_its_setting_are_to_be_had() {
    // Two of the six servings in a load.
    let volume = |ml: u32| {
        evening_with(|_, kitchen, recipes| {
            kitchen["stations"][2]["volume_ml"] = json!(200);
            recipes[1]["steps"][1]["ways"][0]["ml_per_serving"] = json!(ml);
        })
    };
    assert_eq!(no_fryer(&volume(100)), None);
    let needs = WayWhy::Volume { station: 2, needs_ml: 202, has_ml: 200 };
    assert_eq!(no_fryer(&volume(101)), Some(needs));
    let slots = |slots: u32| {
        let way = json!({"station": "stovetop", "minutes": 9, "slots": slots});
        evening_with(|_, _, recipes| recipes[1]["steps"][1]["ways"][0] = way)
    };
    assert_eq!(no_fryer(&slots(2)), None);
    assert_eq!(no_fryer(&slots(3)), Some(WayWhy::Slots { station: 1, needs: 3, has: 2 }));
    // 180 °C, ten more or less: a dial that ends at 170 will do, one that ends at 169 will not.
    let dial = |least: i32, most: i32| {
        let evening = evening_with(|_, kitchen, _| {
            let thermostat = &mut kitchen["stations"][0]["thermostat"];
            (thermostat["least_c"], thermostat["most_c"]) = (json!(least), json!(most));
        });
        built(&evening).expect("the air fryer is left").0.steps[1].modes[0].oven
    };
    let oven = |least_c, most_c| Some(OvenUse { oven: 0, least_c, most_c });
    assert_eq!(dial(50, 170), oven(170, 170));
    assert_eq!(dial(190, 250), oven(190, 190));
    assert_eq!(dial(50, 169), None);
    assert_eq!(dial(191, 250), None);
}

#[test]
fn a_way_that_the_cook_settled_is_the_only_one_while_it_can_be_had() {
    let ways = |settled: Option<usize>, down: &[&str]| {
        let situation = Situation {
            ways: settled.map(|way| ((ROAST, 1), way)).into_iter().collect(),
            down: down.iter().map(|&id| id.to_owned()).collect(),
            ..Situation::default()
        };
        let (_, map) = build(&roast(|_| ()), &situation).expect("a problem");
        map.steps[1].modes.iter().map(|m| m.way).collect::<Vec<_>>()
    };
    assert_eq!(ways(None, &[]), [0, 1]);
    assert_eq!(ways(Some(0), &[]), [0]);
    assert_eq!(ways(Some(1), &[]), [1]);
    assert_eq!(ways(Some(0), &["oven"]), [1]);
    let down = Situation { down: ["fryer".to_owned()].into(), ..Situation::default() };
    let no = build(&roast(|_| ()), &down).expect_err("no fryer");
    let whys = vec![WayWhy::Down(2)];
    assert_eq!(no.reasons, [Reason::Step { dish: CHIPS, step: 1, whys }]);
}

#[test]
fn hands_are_clipped_to_the_minutes_there_are() {
    let of = |start_minutes, between_percent, end_minutes, minutes| {
        let asks = Hands { start_minutes, between_percent, end_minutes };
        let parts = hands(asks, minutes).into_iter();
        parts.map(|HandsPart { from, to, percent }| (from, to, percent)).collect::<Vec<_>>()
    };
    assert_eq!(of(2, 0, 1, 60), [(0, 2, 100), (59, 60, 100)]);
    assert_eq!(of(2, 30, 1, 60), [(0, 2, 100), (2, 59, 30), (59, 60, 100)]);
    assert_eq!(of(5, 50, 5, 8), [(0, 8, 100)], "five, and the three that are left");
    assert_eq!(of(9, 0, 5, 8), [(0, 8, 100)]);
    assert_eq!(of(2, 100, 2, 8), [(0, 8, 100)]);
    assert_eq!(of(0, 150, 0, 8), [(0, 8, 100)]);
    assert_eq!(of(4, 50, 4, 8), [(0, 8, 100)]);
    assert_eq!(of(0, 0, 0, 8), []);
}

/// The roast's holds, as places: number in the recipe and station.
fn places(evening: &Evening) -> Vec<(usize, Option<usize>)> {
    let (_, map) = built(evening).expect("a problem");
    map.holds[ROAST].iter().map(|h: &HoldAt| (h.hold, h.station)).collect()
}

#[test]
fn a_dish_waits_where_it_fits_and_its_pan_may_stand() {
    let slow = |ml: u32| {
        evening_with(|_, kitchen, recipes| {
            kitchen["stations"].as_array_mut().expect("stations").push(json!({
                "id": "slow", "title": "Slow cooker", "kind": "slow_cooker", "slots": 1,
                "volume_ml": 1000}));
            recipes[0]["portion_ml"] = json!(ml);
            recipes[0]["holds"][0]["place"] = json!("slow_cooker");
        })
    };
    assert_eq!(places(&slow(250)), [(0, Some(5)), (1, Some(3))], "four portions are a litre");
    assert_eq!(places(&slow(251)), [(1, Some(3))]);
    // A tin may stand an oven, none of the bowls may.
    assert_eq!(places(&roast(|_| ())), [(0, Some(0)), (1, Some(3))]);
    assert_eq!(places(&roast(|r| r["holds"][0]["cookware"] = json!("bowl"))), [(1, Some(3))]);
    // What is kept neither hot nor at a setting does not go into an oven.
    let at = |class: &str, at_c: Option<i32>| {
        roast(|r| {
            r["holds"][0]["class"] = json!(class);
            r["holds"][0]["at_c"] = json!(at_c);
        })
    };
    assert_eq!(places(&at("hot", None)).len(), 2);
    assert_eq!(places(&at("room", None)), [(1, Some(3))]);
    // Two places settled to one.
    let situation = Situation { places: [(ROAST, 1)].into(), ..Situation::default() };
    let (problem, map) = build(&roast(|_| ()), &situation).expect("a problem");
    assert_eq!(map.holds[ROAST].iter().map(|h| h.hold).collect::<Vec<_>>(), [1]);
    let mosts: Vec<i32> = problem.dishes[ROAST].holds.iter().map(|h| h.most).collect();
    assert_eq!(mosts, [20]);
}

/// An oven keeps hot what must be kept hot if any setting that the recipe takes does: 140 °F, which is 60 °C.
#[test]
fn a_hot_hold_is_hot_enough_or_its_clock_runs() {
    let at = |at_c: i32| {
        let evening = roast(|r| {
            r["holds"][0]["at_c"] = json!(at_c);
            r["holds"][0]["give_c"] = json!(10);
        });
        let hold = built(&evening).expect("a problem").0.dishes[ROAST].holds[0].clone();
        let oven = hold.oven.expect("in the oven");
        (oven.least_c, oven.most_c, hold.limits.len())
    };
    assert_eq!(at(70), (60, 80, 0));
    assert_eq!(at(71), (61, 81, 0));
    assert_eq!(at(50), (60, 60, 0));
    assert_eq!(at(49), (50, 59, 1));
}

#[test]
fn the_first_load_can_wait_for_the_last_or_there_is_no_way() {
    // Three loads of nine minutes: the first waits for eighteen.
    let most = |most: u32| {
        let hold = json!([{"place": "counter", "class": "room", "free_minutes": 5, "points": 3,
            "most_minutes": most}]);
        built(&evening_with(|_, _, recipes| recipes[1]["holds"] = hold))
    };
    assert!(most(18).is_ok());
    let no = most(17).expect_err("it cannot wait");
    assert_eq!(no.reasons, [Reason::Loads { dish: CHIPS, between: 18, most: 17 }]);
    // What is spoilt by any wait has no pass to stand on.
    let at_once = evening_with(|_, _, r| r[1]["steps"][1]["overdone_after"] = json!(0));
    let no = built(&at_once).expect_err("it cannot wait");
    assert_eq!(no.reasons, [Reason::Loads { dish: CHIPS, between: 18, most: 0 }]);
}

#[test]
fn a_cushion_is_what_the_last_steps_may_run_over_by() {
    let of = |dish: usize, change: fn(&mut [Value; 3])| {
        let evening = evening_with(|_, _, recipes| change(recipes));
        built(&evening).expect("a problem").0.dishes[dish].cushion
    };
    // 12 minutes and 5 are 13 together, if the rest follows tightly: within half an hour.
    assert_eq!(of(ROAST, |r| r[0]["steps"][2]["after"][0]["most_minutes"] = json!(29)), 13);
    assert_eq!(of(ROAST, |r| r[0]["steps"][2]["after"][0]["most_minutes"] = json!(30)), 5);
    let least = |r: &mut [Value; 3]| {
        r[0]["steps"][2]["after"][0] = json!({"step": "roast", "least_minutes": 1,
            "most_minutes": 30, "place": "hot"});
    };
    assert_eq!(of(ROAST, least), 13);
    // Three loads that run over by three each: the square root of 27, rounded up.
    let chips = |r: &mut [Value; 3]| {
        r[1]["holds"] = json!([{"place": "counter", "class": "room", "free_minutes": 20,
            "points": 3, "most_minutes": 40}]);
    };
    assert_eq!(of(CHIPS, chips), 6);
    // A quarter of an hour is the most, and what may wait for nothing.
    let wild = |r: &mut [Value; 3]| {
        r[0]["steps"][1]["ways"][0]["minutes"]["high"] = json!(99);
        r[0]["holds"][0]["free_minutes"] = json!(50);
    };
    assert_eq!(of(ROAST, wild), weights::MOST_CUSHION);
    assert_eq!(of(ROAST, |r| r[0]["holds"][0]["free_minutes"] = json!(9)), 9);
}

/// The roast is out of its rest at 18:20; the plan on the screen has it in the oven at 85 °C.
fn rested(now: i32) -> Situation {
    let done = |step: usize, start, end, station: &str| {
        let key = StepKey { dish: ROAST, step, load: 0 };
        (key, Begun::Done { start, end, way: 0, station: station.to_owned(), left_out: false })
    };
    let shown = HoldBlock {
        dish: ROAST,
        hold: 0,
        class: HoldClass::Hot,
        station: "oven".to_owned(),
        slots: vec![0],
        from: 1100,
        to: 1140,
        setting_c: Some(85),
    };
    Situation {
        now: Some(now),
        begun: [
            done(0, 1020, 1030, "board"),
            done(1, 1030, 1090, "oven"),
            done(2, 1090, 1100, "board"),
        ]
        .into(),
        previous: Some(Arc::new(Plan { holds: vec![shown], ..Plan::default() })),
        oven_c: [("oven".to_owned(), 70)].into(),
        ..Situation::default()
    }
}

/// Where it stands then.
fn waits(now: i32, held: Option<(Option<usize>, &str)>, down: &str) -> (Problem, Map) {
    let mut situation = rested(now);
    if let Some((hold, station)) = held {
        let station = Some(station.to_owned());
        situation.held.insert(ROAST, Held { hold, since: 1100, station });
    }
    situation.down.insert(down.to_owned());
    build(&roast(|_| ()), &situation).expect("a problem")
}

#[test]
fn what_is_out_stands_where_the_plan_had_it_unless_the_cook_says_otherwise() {
    let (problem, map) = waits(1110, None, "");
    let dish = &problem.dishes[ROAST];
    assert_eq!(dish.held, Some(0));
    assert_eq!((map.holds[ROAST][0].station, dish.holds[0].setting_c), (Some(0), Some(85)));
    assert_eq!(dish.holds.len(), 2);
    // What comes out just now is put wherever is best, or else on the pass: better than no plan.
    let (problem, map) = waits(1100, None, "");
    let dish = &problem.dishes[ROAST];
    assert_eq!((dish.held, dish.holds.len(), map.holds[ROAST][2].station), (None, 3, None));
    assert!(dish.holds.iter().all(|h| h.soft_most == Some(weights::PAST_TASTE)));
    assert_eq!(waits(1101, None, "").0.dishes[ROAST].held, Some(0));
    let class = |hold, station, down| {
        let (problem, map) = waits(1110, Some((hold, station)), down);
        let at = map.holds[ROAST][problem.dishes[ROAST].held.expect("held")];
        (at.hold, at.class)
    };
    // Wherever it is, it takes its place there.
    let (problem, map) = waits(1110, Some((None, "fridge")), "");
    let held = problem.dishes[ROAST].held.expect("held");
    assert_eq!(map.holds[ROAST][held].station, Some(4));
    assert_eq!(problem.dishes[ROAST].holds[held].uses, [Use { resource: 4, amount: 1 }]);
    // Named by the recipe: its own; else by what the place does, if it does anything.
    assert_eq!(class(Some(1), "board", ""), (1, HoldClass::Room));
    assert_eq!(class(None, "fridge", ""), (2, HoldClass::Cold));
    assert_eq!(class(None, "fridge", "fridge"), (2, HoldClass::Room));
    assert_eq!(class(None, "hob", ""), (2, HoldClass::Hot));
    assert_eq!(class(None, "hob", "hob"), (2, HoldClass::Room));
    assert_eq!(class(Some(0), "fryer", ""), (2, HoldClass::Hot), "not the place of that hold");
    assert_eq!(class(Some(0), "oven", "oven"), (2, HoldClass::Room));
}

/// From 50 to 90 °C the recipe takes; below 60 °C it would not be kept hot.
#[test]
fn what_waits_in_an_oven_has_the_setting_shown_or_what_the_oven_has() {
    let set = |oven_c: i32, shown: Option<Option<i32>>| {
        let mut situation = rested(1110);
        situation.oven_c.insert("oven".to_owned(), oven_c);
        let hold = Held { hold: Some(0), since: 1100, station: Some("oven".to_owned()) };
        situation.held.insert(ROAST, hold);
        let previous = situation.previous.take().filter(|_| shown.is_some());
        situation.previous = previous.map(|plan| {
            let mut plan = Plan::clone(&plan);
            plan.holds[0].setting_c = shown.flatten();
            Arc::new(plan)
        });
        let dish = &build(&roast(|_| ()), &situation).expect("a problem").0.dishes[ROAST];
        dish.holds[dish.held.expect("held")].setting_c
    };
    assert_eq!([70, 120, 21].map(|c| set(c, None)), [70, 90, 60].map(Some));
    assert_eq!([85, 99, 21].map(|c| set(70, Some(Some(c)))), [85, 90, 60].map(Some));
    assert_eq!(set(70, Some(None)), Some(70));
    // Where nobody says and the screen shows nothing it may still be put anywhere.
    let situation = Situation { previous: None, ..rested(1110) };
    let (problem, map) = build(&roast(|_| ()), &situation).expect("a problem");
    assert_eq!((problem.dishes[ROAST].held, map.holds[ROAST].len()), (None, 3));
}

/// The chips' recipe names no place to wait: the pass is theirs. The roast's names two, and the pass is another.
#[test]
fn what_was_put_nowhere_stands_on_the_pass() {
    let held = |dish: usize, hold: Option<usize>, station: Option<&str>| {
        let mut situation = rested(1145);
        for load in 0..3 {
            let start = 1110 + 10 * load as i32;
            let station = "fryer".to_owned();
            let fried = Begun::Done { start, end: start + 9, way: 0, station, left_out: false };
            situation.begun.insert(StepKey { dish: CHIPS, step: 1, load }, fried);
        }
        let station = station.map(str::to_owned);
        situation.held.insert(dish, Held { hold, since: 1119, station });
        let (problem, map) = build(&roast(|_| ()), &situation).expect("a problem");
        let index = problem.dishes[dish].held.expect("held");
        let at = map.holds[dish][index];
        (at.hold, at.station, map.holds[dish].len(), problem.dishes[dish].holds[index].uses.len())
    };
    assert_eq!(held(CHIPS, None, None), (0, None, 1, 0));
    assert_eq!(held(CHIPS, Some(0), None), (0, None, 1, 0));
    assert_eq!(held(CHIPS, None, Some("board")), (0, Some(3), 2, 1));
    assert_eq!(held(ROAST, None, None), (2, None, 3, 0));
    assert_eq!(held(ROAST, Some(1), Some("board")), (1, Some(3), 2, 1));
    assert_eq!(held(ROAST, Some(9), Some("board")), (2, Some(3), 3, 1), "no such hold");
}

#[test]
fn serving_at_once_loses_as_much_as_the_wait_that_would_have_cost_least() {
    let price = |second: Value| {
        let evening = roast(|r| {
            r["holds"][0]["best_minutes"] = json!(20);
            r["holds"][0]["short_points"] = json!(3);
            r["holds"][1]["best_minutes"] = second;
            r["holds"][1]["short_points"] = json!(2);
        });
        built(&evening).expect("a problem").0.dishes[ROAST].straight_price
    };
    let point = weights::POINT_PER_TEN_MINUTES;
    assert_eq!(price(json!(10)), 10 * 2 * point);
    assert_eq!(price(json!(40)), 20 * 3 * point);
    assert_eq!(price(Value::Null), 0);
}

#[test]
fn hours_count_in_whatever_order_they_are_written() {
    let turned = evening_with(|p, _, _| {
        p["cooks"][0]["free"].as_array_mut().expect("a list").reverse();
    });
    let plain = roast(|_| ());
    for now in [None, Some(1000), Some(1025), Some(1250)] {
        let situation = Situation { now, ..Situation::default() };
        let of = |evening| build(evening, &situation).expect("a problem").0;
        assert_eq!(of(&turned), of(&plain), "{now:?}");
    }
}

/// Kim, whose kitchen it is, and Lou are there from 16:00. Ahead both go at their hour; once the evening runs Kim
/// stays on to its end, and Lou only if nobody leaves later.
#[test]
fn the_first_cook_and_who_leaves_last_stay_on_and_others_are_gone() {
    let closed = |kim: i32, lou: i32, now| {
        let mut evening = two_cooks();
        for (cook, until) in evening.party.cooks.iter_mut().zip([kim, lou]) {
            cook.free.truncate(1);
            (cook.free[0].from, cook.free[0].to) = (TimeOfDay(16 * 60), TimeOfDay(until * 60));
        }
        let situation = Situation { now, ..Situation::default() };
        let (problem, map) = build(&evening, &situation).expect("a problem");
        let of = |cook| problem.resources[map.of_cook(cook)].closed.clone();
        (of(0), of(1), problem.end)
    };
    let (kim, lou, end) = closed(20, 18, None);
    assert_eq!((kim, lou), (vec![(20 * 60, end)], vec![(18 * 60, end)]));
    let (kim, lou, end) = closed(20, 18, Some(17 * 60));
    assert_eq!((kim, lou), (vec![], vec![(18 * 60, end)]));
    let (_, lou, end) = closed(20, 18, Some(18 * 60 + 10));
    assert_eq!(lou, [(18 * 60 + 10, end)]);
    let (kim, lou, _) = closed(18, 20, Some(17 * 60));
    assert!(kim.iter().all(|c| c.0 > 22 * 60) && lou.is_empty(), "{kim:?} {lou:?}");
    let (kim, lou, end) = closed(18, 20, None);
    assert_eq!((kim, lou), (vec![(18 * 60, end)], vec![(20 * 60, end)]));
}

/// Three loads make the chips; the cook has begun a fourth.
#[test]
fn more_loads_than_the_recipe_makes_all_stand_as_they_were_begun() {
    let fried = |loads: &[u32]| {
        let begun = loads.iter().map(|&load| {
            let start = 1100 + 10 * load as i32;
            let station = "fryer".to_owned();
            let done = Begun::Done { start, end: start + 9, way: 0, station, left_out: false };
            (StepKey { dish: CHIPS, step: 1, load }, done)
        });
        let situation =
            Situation { now: Some(1145), begun: begun.collect(), ..Situation::default() };
        let (problem, map) = build(&roast(|_| ()), &situation).expect("a problem");
        let fry = problem.tasks.iter().zip(&map.tasks);
        let fry = fry.filter(|(_, at)| (at.key.dish, at.key.step) == (CHIPS, 1));
        fry.map(|(t, at)| (at.key.load, t.fixed.map(|f| f.start))).collect::<Vec<_>>()
    };
    let at = |load: u32| (load, Some(1100 + 10 * load as i32));
    assert_eq!(fried(&[0, 1]), [at(0), at(1), (2, None)]);
    assert_eq!(fried(&[0, 1, 2]), [0, 1, 2].map(at));
    assert_eq!(fried(&[0, 1, 2, 3]), [0, 1, 2, 3].map(at));
    // And a load that was passed over is still to be made.
    assert_eq!(fried(&[0, 3]), [at(0), (1, None), (2, None), at(3)]);
}
