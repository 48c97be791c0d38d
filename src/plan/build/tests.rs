//! The problem of a small supper, number by number.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::*;
use crate::kitchen::{HoldClass, WaitsFor};
use crate::plan::problem::{Fixed, HandsPart, Lag, Limit, OvenUse, Point, Problem, Use};
use crate::plan::sample::{self, evening, evening_with};
use crate::plan::{Begun, Held, Plan, StepKey, weights};
use serde_json::json;

const ROAST: usize = 0;
const CHIPS: usize = 1;
const DIP: usize = 2;

fn ahead() -> (Problem, Map) {
    build(&evening(), &Situation::default()).expect("a problem")
}

fn task(map: &Map, dish: usize, step: usize, load: u32) -> usize {
    let key = StepKey { dish, step, load };
    map.tasks.iter().position(|t| t.key == key && !t.shadow).expect("a task")
}

fn start(task: usize) -> Point {
    Point { task, end: false }
}

fn end(task: usize) -> Point {
    Point { task, end: true }
}

fn lags(problem: &Problem, from: Point, to: Point) -> Vec<&Lag> {
    problem.lags.iter().filter(|l| l.from == from && l.to == to).collect()
}

fn key(dish: usize, step: usize, load: u32) -> StepKey {
    StepKey { dish, step, load }
}

fn running(start: i32, end: i32, station: &str, setting_c: Option<i32>) -> Begun {
    let cook = Some("kim".to_owned());
    Begun::Running { start, end, way: 0, station: station.to_owned(), cook, setting_c }
}

fn done(start: i32, end: i32, station: &str) -> Begun {
    Begun::Done { start, end, way: 0, station: station.to_owned(), left_out: false }
}

fn at(now: i32, begun: Vec<(StepKey, Begun)>) -> Situation {
    Situation { now: Some(now), begun: begun.into_iter().collect(), ..Situation::default() }
}

#[test]
fn resources_are_stations_cooks_and_cookware_with_their_hours() {
    let (problem, map) = ahead();
    assert_eq!((problem.start, problem.end), (16 * 60, 19 * 60 + 40 + SLACK_MINUTES));
    assert_eq!(problem.effort_until, 19 * 60);
    let capacity: Vec<i32> = problem.resources.iter().map(|r| r.capacity).collect();
    assert_eq!(capacity, [2, 2, 1, 2, 3, 100, 1, 1, 1, 2, 1]);
    assert_eq!(map.thing(0), Thing::Station(0));
    assert_eq!(map.thing(5), Thing::Cook(0));
    assert_eq!(map.thing(8), Thing::Cookware(2));
    assert_eq!(problem.resources[5].closed, [(17 * 60, 17 * 60 + 10), (20 * 60, problem.end)]);
    assert_eq!(problem.ovens.len(), 1);
    assert_eq!((problem.ovens[0].start_c, map.ovens[0]), (21, 0));
    assert_eq!((problem.span_price, problem.idle_price), (weights::SPAN, weights::IDLE));
}

#[test]
fn ways_become_modes_with_hands_settings_and_loads() {
    let (problem, map) = ahead();
    let roast = &problem.steps[problem.tasks[task(&map, ROAST, 1, 0)].step];
    assert_eq!(roast.modes.len(), 2);
    let oven = &roast.modes[0];
    assert_eq!((oven.minutes, oven.loads, oven.price), (60, 1, 0));
    assert_eq!(oven.oven, Some(OvenUse { oven: 0, least_c: 170, most_c: 190 }));
    assert_eq!(oven.uses, [Use { resource: 0, amount: 1 }]);
    let part = |from, to, percent| HandsPart { from, to, percent };
    assert_eq!(oven.hands, [part(0, 2, 100), part(59, 60, 100)]);
    assert_eq!((roast.modes[1].price, roast.modes[1].oven), (4 * weights::POINT, None));
    assert_eq!(roast.cooks, [5]);
    // Six servings in loads of two.
    let fry = &problem.steps[problem.tasks[task(&map, CHIPS, 1, 2)].step];
    assert_eq!((fry.task_count, fry.modes[0].loads, fry.modes[0].minutes), (3, 3, 9));
    // Nobody is asked for while it rests.
    let rest = &problem.steps[problem.tasks[task(&map, ROAST, 2, 0)].step];
    assert!(rest.cooks.is_empty() && rest.modes[0].hands.is_empty());
}

#[test]
fn hands_are_clipped_to_the_minutes() {
    let ask = |start_minutes, end_minutes, between_percent, minutes| {
        let asks = crate::kitchen::Hands { start_minutes, end_minutes, between_percent };
        steps::hands(asks, minutes)
            .into_iter()
            .map(|p| (p.from, p.to, p.percent))
            .collect::<Vec<_>>()
    };
    assert_eq!(ask(5, 5, 50, 20), [(0, 5, 100), (5, 15, 50), (15, 20, 100)]);
    assert_eq!(ask(5, 5, 100, 20), [(0, 20, 100)]);
    assert_eq!(ask(8, 8, 50, 10), [(0, 10, 100)]);
    assert_eq!(ask(20, 8, 50, 10), [(0, 10, 100)]);
    assert_eq!(ask(0, 0, 0, 10), []);
}

#[test]
fn steps_follow_each_other_and_loads_too() {
    let (problem, map) = ahead();
    let (cut, dress) = (task(&map, CHIPS, 0, 0), task(&map, DIP, 1, 0));
    let (fry0, fry1) = (task(&map, CHIPS, 1, 0), task(&map, CHIPS, 1, 1));
    assert_eq!(lags(&problem, end(fry0), start(fry1)).len(), 1);
    let after = lags(&problem, end(cut), start(fry0));
    assert_eq!((after[0].least, after[0].most, after[0].best), (0, i32::MAX, None));
    let mix = task(&map, DIP, 0, 0);
    let wait = lags(&problem, end(mix), start(dress));
    assert_eq!((wait[0].least, wait[0].most), (30, i32::MAX));
    assert_eq!(wait[0].best, Some((90, 2 * weights::POINT_PER_TEN_MINUTES)));
    let (season, roast) = (task(&map, ROAST, 0, 0), task(&map, ROAST, 1, 0));
    assert_eq!(lags(&problem, end(season), start(roast))[0].most, 30);
}

#[test]
fn the_smallest_fitting_pan_is_taken_and_equal_ones_in_turn() {
    let (problem, map) = ahead();
    let of = |dish| {
        let stays = map.stays.iter().zip(&problem.stays);
        stays
            .filter_map(|(at, stay)| match at {
                StayAt::Pan { dish: d, cookware } if *d == dish => Some((*cookware, stay.clone())),
                _ => None,
            })
            .collect::<Vec<_>>()
    };
    // 1.5 l goes into the small tin; the cake tin does not go into the oven.
    assert_eq!(of(ROAST)[0].0, 0);
    assert_eq!(of(ROAST)[0].1.through_hold, [(0, 0)]);
    assert_eq!(of(ROAST)[0].1.from.len(), 2);
    // Bowls of one size: the chips' bowl is one of two, the dip's the other kind.
    assert_eq!((of(CHIPS)[0].0, of(DIP)[0].0), (3, 4));
    assert_eq!(of(CHIPS)[0].1.to.len(), 4);
    let large = evening_with(|p, _, _| p["dishes"][0]["servings"] = json!(8));
    let (_, map) = build(&large, &Situation::default()).expect("a problem");
    assert!(map.stays.contains(&StayAt::Pan { dish: ROAST, cookware: 1 }));
}

#[test]
fn a_cold_wait_takes_a_place_in_the_fridge() {
    let (problem, map) = ahead();
    let n = map.stays.iter().position(|s| matches!(s, StayAt::Wait { .. })).expect("a wait");
    assert_eq!(problem.stays[n].uses, Use { resource: 4, amount: 1 });
    assert_eq!(problem.stays[n].from, [end(task(&map, DIP, 0, 0))]);
    assert_eq!(problem.stays[n].to, [start(task(&map, DIP, 1, 0))]);
}

#[test]
fn dishes_wait_where_their_recipe_says_or_on_the_pass() {
    let (problem, map) = ahead();
    let roast = &problem.dishes[ROAST];
    assert_eq!((roast.due, roast.late_price), (19 * 60, weights::LATE));
    let hold = &roast.holds[0];
    assert_eq!((hold.free, hold.most, hold.price), (15, 60, 2_000));
    // 70 °C give or take 20, but never below 140 °F, which is 60 °C.
    assert_eq!(hold.oven, Some(OvenUse { oven: 0, least_c: 60, most_c: 90 }));
    // The roast may run over by 12 minutes and the rest by 5: the square root of 169.
    assert_eq!(roast.cushion, 13);
    let chips = &problem.dishes[CHIPS];
    assert_eq!(map.holds[CHIPS], [HoldAt { hold: 0, station: None, class: HoldClass::Room }]);
    // Ten minutes after the last of three loads of nine.
    assert_eq!((chips.holds[0].free, chips.holds[0].most), (2, 28));
    assert_eq!(chips.cushion, 2);
    let dip = &problem.dishes[DIP];
    assert_eq!(dip.holds[0].best, Some((20, 3_000)));
    assert_eq!(dip.straight_price, 60_000);
    assert_eq!(dip.cushion, 0);
}

#[test]
fn the_guidance_limits_what_stands_about() {
    let (problem, map) = ahead();
    // From the fridge to the oven: 120 minutes of the US consumer guidance.
    let (season, roast) = (task(&map, ROAST, 0, 0), task(&map, ROAST, 1, 0));
    let clock = lags(&problem, start(season), start(roast));
    assert_eq!((clock[0].most, clock[0].soft_most), (120, None));
    // The rest and the hold on the counter leave 40 minutes for the table.
    let rest = task(&map, ROAST, 2, 0);
    let most = 120 - 40;
    assert_eq!(problem.dishes[ROAST].holds[0].limits, []);
    let limit = Limit { from: start(rest), most, soft_most: None };
    assert_eq!(problem.dishes[ROAST].holds[1].limits, [limit]);
    // The dip: mixing (6) and dressing (4) are two stretches; 120 - 40 - 10 = 70 to share.
    let (mix, dress) = (task(&map, DIP, 0, 0), task(&map, DIP, 1, 0));
    let clocks: Vec<(Point, Point, i32)> = problem
        .lags
        .iter()
        .zip(&map.lags)
        .filter(|(_, why)| **why == LagWhy::Clock { dish: DIP })
        .map(|(l, _)| (l.from, l.to, l.most))
        .collect();
    // Both stretches begin and end with one step each, so that no lag is needed,
    assert_eq!(clocks, []);
    // and in the cold hold no limit runs.
    assert_eq!(problem.dishes[DIP].holds[0].limits, []);
    let straight = &problem.dishes[DIP].straight;
    assert_eq!(straight[0], Limit { from: start(dress), most: 4 + 35, soft_most: None });
    assert_ne!(mix, dress);
}

#[test]
fn a_hot_room_shortens_the_clock_and_the_food_code_lengthens_it() {
    let limit = |evening| {
        let (problem, _) = build(&evening, &Situation::default()).expect("a problem");
        problem.dishes[ROAST].holds[1].limits[0].most
    };
    assert_eq!(limit(evening_with(|p, _, _| p["room_c"] = json!(35))), 60 - 40);
    let code = evening_with(|p, _, _| p["guidance"] = json!("us_food_code_2022"));
    assert_eq!(limit(code), 240 - 40);
}

/// Two waits in the room around a spell in the fridge share the limit.
#[test]
fn stretches_before_and_after_the_fridge_share_the_limit() {
    let evening = evening_with(|_, _, r| {
        let steps = r[2]["steps"].as_array_mut().expect("steps");
        steps.insert(
            1,
            json!({"id": "fold", "text": "Fold.", "label": "fold",
                "ways": [{"station": "counter", "minutes": 5}], "after": [{"step": "mix"}]}),
        );
        steps[2]["after"][0]["step"] = json!("fold");
    });
    let (problem, map) = build(&evening, &Situation::default()).expect("a problem");
    let (mix, fold, dress) = (task(&map, DIP, 0, 0), task(&map, DIP, 1, 0), task(&map, DIP, 2, 0));
    // 120 less 40 for the table, 6 + 5 and 4 for the work: 65 in two parts of 32.
    assert_eq!(lags(&problem, start(mix), end(fold))[0].most, 11 + 32);
    assert_eq!(problem.dishes[DIP].straight[0].from, start(dress));
    assert_eq!(problem.dishes[DIP].straight[0].most, 4 + 32);
}

#[test]
fn food_that_must_stand_too_long_is_refused_ahead_and_priced_while_running() {
    let long = evening_with(|p, _, _| p["table_minutes"] = json!(115));
    let no = build(&long, &Situation::default()).expect_err("too long");
    assert!(no.reasons.contains(&Reason::Clock { dish: DIP, needs: 125, table: 115, limit: 120 }));
    let (problem, _) = build(&long, &at(16 * 60, Vec::new())).expect("a problem");
    assert_eq!(problem.dishes[DIP].straight[0].soft_most, Some(weights::PAST_SAFETY));
}

#[test]
fn exempt_food_has_no_clock() {
    let dry = evening_with(|_, _, r| {
        r[1]["safety"] = json!({"class": "baked_dry", "exempt": "dry_baked"});
    });
    let (problem, map) = build(&dry, &Situation::default()).expect("a problem");
    assert!(!map.lags.contains(&LagWhy::Clock { dish: CHIPS }));
    assert!(problem.dishes[CHIPS].holds.iter().all(|h| h.limits.is_empty()));
}

#[test]
fn hops_are_counted_between_hands_on_steps_that_may_follow_at_once() {
    let (problem, map) = ahead();
    // Only counter and hob: the roast goes into the oven, the dip must wait.
    assert_eq!(problem.links, []);
    assert_eq!(map.steps.len(), 7);
    let near = evening_with(|_, _, r| {
        r[0]["steps"][1]["ways"] = json!([{"station": "stovetop", "minutes": 30}]);
    });
    let (problem, _) = build(&near, &Situation::default()).expect("a problem");
    let link = &problem.links[0];
    assert_eq!((link.from_step, link.to_step, link.least), (0, 1, 0));
    assert_eq!(link.price, weights::HOP);
}

/// What must wait, or is better for waiting, or asks for no hands, is not left for another dish.
#[test]
fn only_what_may_follow_at_once_and_asks_for_hands_counts_as_a_hop() {
    let links = |change: fn(&mut serde_json::Value)| {
        let near = evening_with(|_, _, r| {
            r[0]["steps"][1]["ways"] = json!([{"station": "stovetop", "minutes": 30}]);
            change(&mut r[0]["steps"]);
        });
        build(&near, &Situation::default()).expect("a problem").0.links.len()
    };
    assert_eq!(links(|_| ()), 1);
    assert_eq!(links(|s| s[1]["after"][0]["least_minutes"] = json!(1)), 0);
    let better: [fn(&mut serde_json::Value); 3] = [
        |s| s[1]["after"][0] = json!({"step": "season", "best_minutes": 9, "short_points": 2}),
        |s| s[1]["after"][0] = json!({"step": "season", "best_minutes": 9}),
        |s| s[1]["after"][0] = json!({"step": "season", "best_minutes": 0, "short_points": 2}),
    ];
    assert_eq!(better.map(links), [0, 1, 1]);
    assert_eq!(links(|s| s[1]["hands"] = json!({"start_minutes": 1})), 1);
    assert_eq!(links(|s| s[1]["hands"] = json!({"end_minutes": 1})), 1);
    assert_eq!(links(|s| s[1]["hands"] = json!({"between_percent": 100})), 1);
    assert_eq!(links(|s| s[1]["hands"] = json!({"between_percent": 99})), 0);
    assert_eq!(links(|s| s[0]["hands"] = json!({})), 0);
    assert_eq!(links(|s| s[0]["ways"][0]["station"] = json!("fridge")), 0);
}

#[test]
fn most_and_best_waits_count_from_the_first_load_to_the_first() {
    let salted = evening_with(|_, _, r| {
        let steps = r[1]["steps"].as_array_mut().expect("steps");
        steps.push(json!({"id": "salt", "text": "Salt.", "label": "salt",
            "ways": [{"station": "counter", "minutes": 2}],
            "after": [{"step": "fry", "least_minutes": 1, "most_minutes": 40, "best_minutes": 9,
                "short_points": 2}]}));
    });
    let of = |situation: &Situation, from: (usize, u32), to: (usize, u32)| {
        let (problem, map) = build(&salted, situation).expect("a problem");
        let at = |(step, load)| task(&map, CHIPS, step, load);
        let found = lags(&problem, end(at(from)), start(at(to)));
        found.iter().map(|l| (l.least, l.most, l.best.map(|b| b.0))).collect::<Vec<_>>()
    };
    let ahead = Situation::default();
    assert_eq!(of(&ahead, (1, 0), (2, 0)), [(1, 40, Some(9))]);
    assert_eq!(of(&ahead, (1, 1), (2, 0)), [(1, i32::MAX, None)]);
    assert_eq!(of(&ahead, (1, 2), (2, 0)), [(1, i32::MAX, None)]);
}

#[test]
fn what_no_station_or_pan_can_do_is_said_all_at_once() {
    let poor = evening_with(|_, k, _| {
        k["stations"][0]["thermostat"]["most_c"] = json!(160);
        k["stations"][2]["kind"] = json!("microwave");
        k["stations"][4]["kind"] = json!("freezer");
        k["cookware"] = json!([{"id": "pot", "title": "Pot", "kind": "pot", "count": 1}]);
    });
    let no = build(&poor, &Situation::default()).expect_err("no way");
    let roast = Reason::Step {
        dish: ROAST,
        step: 1,
        whys: vec![
            WayWhy::Setting { station: 0, at_c: 180, range: (50, 160) },
            WayWhy::NoStation(crate::kitchen::StationKind::AirFryer),
        ],
    };
    assert_eq!(no.reasons[0], roast);
    assert_eq!(no.reasons.len(), 6);
    assert!(no.reasons.contains(&Reason::Fridge { dish: DIP, step: 1 }));
    let tin = |r: &Reason| matches!(r, Reason::Pan { kind, .. } if kind == "tin");
    assert!(no.reasons.iter().any(tin));
}

#[test]
fn what_has_begun_stands_as_it_happened() {
    let situation = at(
        17 * 60 + 30,
        vec![
            (key(ROAST, 0, 0), done(16 * 60, 16 * 60 + 12, "board")),
            (key(ROAST, 1, 0), running(17 * 60, 18 * 60 + 5, "oven", Some(185))),
        ],
    );
    let (problem, map) = build(&evening(), &situation).expect("a problem");
    assert_eq!(problem.start, 17 * 60 + 30);
    assert_eq!((problem.span_price, problem.idle_price), (0, 0));
    let roast = task(&map, ROAST, 1, 0);
    let fixed = Fixed { start: 1020, end: 1085, cook: Some(5), setting_c: Some(185) };
    assert_eq!(problem.tasks[roast].fixed, Some(fixed));
    let step = &problem.steps[problem.tasks[roast].step];
    assert_eq!(step.modes.len(), 1);
    assert_eq!(step.modes[0].oven, Some(OvenUse { oven: 0, least_c: 185, most_c: 185 }));
    assert_eq!(step.modes[0].uses, [Use { resource: 0, amount: 1 }]);
    // The hands at its end go with its end.
    assert_eq!(step.modes[0].hands[1], HandsPart { from: 64, to: 65, percent: 100 });
    assert_eq!(problem.ovens[0].start_c, 185);
    let season = task(&map, ROAST, 0, 0);
    assert!(problem.steps[problem.tasks[season].step].modes[0].uses.is_empty());
    // A most wait that has begun may be exceeded, at a price.
    let rest = task(&map, ROAST, 2, 0);
    let lag = lags(&problem, end(roast), start(rest))[0];
    assert_eq!((lag.most, lag.soft_most), (5, Some(weights::PAST_TASTE)));
    // Nothing follows what has begun.
    assert!(lags(&problem, end(season), start(roast)).is_empty());
}

#[test]
fn loads_left_over_go_where_the_first_ones_went() {
    let begun = vec![
        (key(CHIPS, 0, 0), done(17 * 60, 17 * 60 + 12, "board")),
        (key(CHIPS, 1, 0), running(17 * 60 + 20, 17 * 60 + 35, "fryer", None)),
    ];
    let situation = at(17 * 60 + 30, begun);
    let (problem, map) = build(&evening(), &situation).expect("a problem");
    let (first, second) = (task(&map, CHIPS, 1, 0), task(&map, CHIPS, 1, 1));
    assert_eq!(problem.tasks[first].step, problem.tasks[second].step);
    assert_eq!(problem.steps[problem.tasks[first].step].modes.len(), 1);
    assert_eq!(lags(&problem, end(first), start(second)).len(), 1);
    // It runs 6 minutes over: a shadow stands for them, with hands at their end.
    let shadow = map.tasks.iter().position(|t| t.shadow).expect("a shadow");
    let fixed = problem.tasks[shadow].fixed.expect("fixed");
    assert_eq!((fixed.start, fixed.end, fixed.cook), (1049, 1055, Some(5)));
    let hands = &problem.steps[problem.tasks[shadow].step].modes[0].hands;
    assert_eq!(hands, &[HandsPart { from: 5, to: 6, percent: 100 }]);
    assert_eq!(map.tasks[shadow].key, key(CHIPS, 1, 0));
    // On time it wants its hands but once.
    let begun = vec![(key(CHIPS, 1, 0), running(17 * 60 + 25, 17 * 60 + 34, "fryer", None))];
    let (_, map) = build(&evening(), &at(17 * 60 + 30, begun)).expect("a problem");
    assert!(map.tasks.iter().all(|t| !t.shadow));
}

/// Marked as begun and as done in one minute, a load says where the others are made; left out, it does not, and the
/// others are still to be made.
#[test]
fn one_load_in_no_time_is_not_all_of_them() {
    let evening = evening_with(|_, k, r| {
        k["cookware"][3]["ovenproof"] = json!(true);
        let ways = r[1]["steps"][1]["ways"].as_array_mut().expect("ways");
        ways.push(json!({"station": "oven", "minutes": 25, "at_c": 220}));
    });
    let ways = |begun: Vec<(StepKey, Begun)>| {
        let (problem, map) = build(&evening, &at(17 * 60 + 30, begun)).expect("a problem");
        let at = map.steps.iter().position(|s| (s.dish, s.step) == (CHIPS, 1)).expect("a step");
        let modes = map.steps[at].modes.iter().zip(&problem.steps[at].modes);
        modes.map(|(at, m)| (at.way, m.loads)).collect::<Vec<_>>()
    };
    let minute = 17 * 60 + 25;
    assert_eq!(ways(Vec::new()), [(0, 3), (1, 1)], "three in the fryer or all in the oven");
    let fried = done(minute, minute, "fryer");
    assert_eq!(ways(vec![(key(CHIPS, 1, 0), fried)]), [(0, 3)]);
    let left_out = |station: &str| Begun::Done {
        start: minute,
        end: minute,
        way: 0,
        station: station.to_owned(),
        left_out: true,
    };
    assert_eq!(ways(vec![(key(CHIPS, 1, 0), left_out("board"))]), [(0, 3)]);
    let all = (0..3).map(|load| (key(CHIPS, 1, load), left_out("fryer"))).collect();
    assert_eq!(ways(all), [(0, 3)], "nothing is left of it");
}

#[test]
fn loads_left_over_change_their_way_when_the_station_is_gone() {
    let evening = evening_with(|_, k, r| {
        k["cookware"][3]["ovenproof"] = json!(true);
        let ways = r[1]["steps"][1]["ways"].as_array_mut().expect("ways");
        ways.push(json!({"station": "oven", "minutes": 25, "at_c": 220, "load_servings": 3}));
    });
    let mut situation =
        at(17 * 60 + 30, vec![(key(CHIPS, 1, 0), done(17 * 60, 17 * 60 + 9, "fryer"))]);
    situation.down.insert("fryer".to_owned());
    let (problem, map) = build(&evening, &situation).expect("a problem");
    assert_eq!(problem.resources[2].capacity, 0);
    // Two servings are fried; four are left: two loads of up to three in the oven.
    let rest = task(&map, CHIPS, 1, 1);
    let step = &problem.steps[problem.tasks[rest].step];
    assert_eq!((step.task_count, step.modes.len(), step.modes[0].loads), (2, 1, 2));
    assert_eq!(map.steps[problem.tasks[rest].step].modes[0].way, 1);
    assert!(map.tasks.iter().any(|t| t.key == key(CHIPS, 1, 2)));
    // Where four go in at once they are one load.
    let more = evening_with(|_, k, r| {
        k["cookware"][3]["ovenproof"] = json!(true);
        let ways = r[1]["steps"][1]["ways"].as_array_mut().expect("ways");
        ways.push(json!({"station": "oven", "minutes": 25, "at_c": 220, "load_servings": 4}));
    });
    let (problem, map) = build(&more, &situation).expect("a problem");
    let step = &problem.steps[problem.tasks[task(&map, CHIPS, 1, 1)].step];
    assert_eq!((step.task_count, step.modes[0].loads), (1, 1));
    // Without a bowl that may go into the oven there is no other way.
    let none = build(&super::tests::evening(), &situation).expect_err("no fryer");
    assert!(matches!(none.reasons[0], Reason::Step { dish: CHIPS, step: 1, .. }));
}

#[test]
fn dropped_and_served_dishes_are_out_of_it() {
    let mut situation = at(
        18 * 60,
        vec![
            (key(CHIPS, 1, 0), running(17 * 60 + 55, 18 * 60 + 4, "fryer", None)),
            (key(ROAST, 1, 0), running(17 * 60, 18 * 60 + 5, "oven", Some(180))),
        ],
    );
    situation.dropped.insert(ROAST);
    situation.served.insert(CHIPS);
    let (problem, map) = build(&evening(), &situation).expect("a problem");
    assert_eq!(map.dishes, [DIP]);
    assert!(map.tasks.iter().all(|t| t.key.dish != ROAST));
    assert!(map.tasks.iter().any(|t| t.key == key(CHIPS, 1, 0)), "the fryer is still busy");
    assert_eq!(problem.ovens[0].start_c, 21);
}

#[test]
fn a_dish_that_waits_stays_where_it_is() {
    let mut situation = at(
        18 * 60 + 30,
        vec![
            (key(ROAST, 0, 0), done(17 * 60, 17 * 60 + 10, "board")),
            (key(ROAST, 1, 0), done(17 * 60 + 10, 18 * 60 + 10, "oven")),
            (key(ROAST, 2, 0), done(18 * 60 + 10, 18 * 60 + 20, "board")),
        ],
    );
    let station = Some("board".to_owned());
    let held = Held { hold: Some(1), since: 18 * 60 + 20, station };
    situation.held.insert(ROAST, held);
    let (problem, map) = build(&evening(), &situation).expect("a problem");
    let dish = &problem.dishes[ROAST];
    let held = dish.held.expect("held");
    assert_eq!(map.holds[ROAST][held].station, Some(3));
    assert_eq!(dish.holds[held].soft_most, Some(weights::PAST_TASTE));
    assert_eq!(dish.holds[held].limits[0].soft_most, Some(weights::PAST_SAFETY));
    // Somewhere the recipe does not name: on the hob.
    let station = Some("hob".to_owned());
    situation.held.insert(ROAST, Held { hold: None, since: 18 * 60 + 20, station });
    let (problem, map) = build(&evening(), &situation).expect("a problem");
    let held = problem.dishes[ROAST].held.expect("held");
    assert_eq!(map.holds[ROAST][held].hold, 2);
    assert_eq!(map.holds[ROAST][held].class, HoldClass::Hot);
}

/// Three loads of nine minutes: the first waits eighteen for the last, and ten more at the most;
/// also when all of them are out, and when the last one came ten minutes late.
#[test]
fn loads_that_are_out_have_waited_for_each_other_all_the_same() {
    let most = |last: Begun, now| {
        let begun = vec![
            (key(CHIPS, 0, 0), done(1000, 1012, "board")),
            (key(CHIPS, 1, 0), done(1100, 1109, "fryer")),
            (key(CHIPS, 1, 1), done(1109, 1118, "fryer")),
            (key(CHIPS, 1, 2), last),
        ];
        let (problem, map) = build(&evening(), &at(now, begun)).expect("a problem");
        let chips = map.dishes.iter().position(|&d| d == CHIPS).expect("a dish");
        problem.dishes[chips].holds[0].most
    };
    assert_eq!(most(running(1118, 1127, "fryer", None), 1120), 28);
    assert_eq!(most(done(1118, 1127, "fryer"), 1128), 28);
    assert_eq!(most(done(1128, 1137, "fryer"), 1138), 38);
}

#[test]
fn pins_hold_if_they_can_and_else_only_say_not_earlier() {
    let pinned = |minute, now| {
        let mut situation = at(now, Vec::new());
        situation.pins = BTreeMap::from([(key(ROAST, 1, 0), minute)]);
        let (problem, map) = build(&evening(), &situation).expect("a problem");
        let task = &problem.tasks[task(&map, ROAST, 1, 0)];
        (task.earliest, task.latest == task.earliest)
    };
    let now = 16 * 60;
    assert_eq!(pinned(17 * 60 + 20, now), (17 * 60 + 20, true));
    assert_eq!(pinned(now + 4, now), (now + 4, false), "the seasoning takes ten minutes");
    assert_eq!(pinned(now - 5, now), (now, false), "it is past");
    assert_eq!(pinned(17 * 60 + 2, now), (17 * 60 + 2, false), "Kim is away");
}

#[test]
fn a_pin_is_held_to_the_minute_in_which_it_can_just_be_kept() {
    let held = |evening: &Evening, step: &str, minute| {
        let mut situation = at(960, Vec::new());
        let step = evening.sheets[ROAST].step_index(step).expect("a step");
        situation.pins = BTreeMap::from([(key(ROAST, step, 0), minute)]);
        let (problem, map) = build(evening, &situation).expect("a problem");
        let task = &problem.tasks[task(&map, ROAST, step, 0)];
        assert_eq!(task.earliest, minute.max(960));
        task.latest == minute
    };
    let plain = evening();
    // Ten minutes of both hands: from now on, up to the minute at which Kim goes, from when they are back.
    let season = |minute| held(&plain, "season", minute);
    assert_eq!([960, 1010, 1011, 1029, 1030].map(season), [true, true, false, false, true]);
    // Nobody is asked for hands at the rest: after ten and 45 minutes, to the end of all.
    let rest = |minute| held(&plain, "rest", minute);
    let end = 19 * 60 + 40 + SLACK_MINUTES;
    assert_eq!([1014, 1015, end - 10, end - 9].map(rest), [false, true, true, false]);
    // In whatever order the recipe names its steps.
    let turned = evening_with(|_, _, r| r[0]["steps"].as_array_mut().expect("steps").reverse());
    assert_eq!([1014, 1015].map(|minute| held(&turned, "rest", minute)), [false, true]);
}

#[test]
fn the_plan_on_the_screen_pulls_most_on_what_is_near() {
    let now = 17 * 60;
    let block = |dish, step, start, station: &str| {
        sample::block(key(dish, step, 0), station, (start, start + 10))
    };
    let blocks = vec![
        block(ROAST, 0, now + 5, "board"),
        block(ROAST, 1, now + 25, "oven"),
        block(ROAST, 2, now + 85, "board"),
    ];
    let mut situation = at(now, Vec::new());
    situation.previous = Some(Arc::new(Plan { blocks, ..Plan::default() }));
    let (problem, _) = build(&evening(), &situation).expect("a problem");
    let prices: Vec<i64> = problem.anchors.iter().map(|a| a.price).collect();
    assert_eq!(prices, [weights::MOVE_NEAR, weights::MOVE_MIDDLE, weights::MOVE_FAR]);
    assert_eq!(problem.anchors[1].mode, Some((0, weights::MOVE_PLACE)));
}

/// The dip is mixed with what is cut among the steps of the chips.
#[test]
fn knife_work_of_another_dish_comes_first_while_both_are_made() {
    let mut evening = evening();
    let (step, dish, job) = ("mix".to_owned(), "chips".to_owned(), "cut".to_owned());
    evening.sheets[DIP].waits_for.push(WaitsFor { step, dish, job });
    let why = LagWhy::Board { dish: DIP, step: 0, from_dish: CHIPS, from_step: 0 };
    let across = |situation: &Situation| {
        let (problem, map) = build(&evening, situation).expect("a problem");
        let lags = problem.lags.iter().zip(&map.lags).filter(|(_, of)| **of == why);
        let key = |point: Point| (map.tasks[point.task].key, point.end);
        lags.map(|(l, _)| (key(l.from), key(l.to), l.least, l.most)).collect::<Vec<_>>()
    };
    let cut_first = [((key(CHIPS, 0, 0), true), (key(DIP, 0, 0), false), 0, i32::MAX)];
    assert_eq!(across(&Situation::default()), cut_first);
    let cuts = vec![(key(CHIPS, 0, 0), running(995, 1007, "board", None))];
    assert_eq!(across(&at(1000, cuts)), cut_first);
    let mixes = vec![(key(DIP, 0, 0), running(995, 1001, "board", None))];
    assert_eq!(across(&at(1000, mixes)), []);
    let mut gone = at(1000, vec![(key(CHIPS, 0, 0), done(980, 992, "board"))]);
    gone.served.insert(CHIPS);
    assert_eq!(across(&gone), []);
    gone.served.clear();
    gone.dropped.insert(CHIPS);
    assert_eq!(across(&gone), []);
}

/// Stirred from the fridge in five minutes, the sauce comes to the dip in the room; what was mixed waits cold: 120 minutes less 40
/// on the table, for each by its own way.
#[test]
fn a_cold_wait_of_one_part_is_none_of_the_other() {
    let evening = evening_with(|_, _, r| {
        let steps = r[2]["steps"].as_array_mut().expect("steps");
        steps.insert(
            1,
            json!({"id": "sauce", "text": "Stir.", "label": "sauce",
                "ways": [{"station": "counter", "minutes": 5}]}),
        );
        steps[2]["after"].as_array_mut().expect("a list").push(json!({"step": "sauce"}));
        r[2]["ingredients"][0]["steps"] = json!(["mix", "sauce"]);
    });
    let (problem, map) = build(&evening, &Situation::default()).expect("a problem");
    let (sauce, dress) = (task(&map, DIP, 1, 0), task(&map, DIP, 2, 0));
    let clocks = problem.lags.iter().zip(&map.lags);
    let clocks = clocks.filter(|(_, why)| **why == LagWhy::Clock { dish: DIP });
    let clocks: Vec<_> = clocks.map(|(l, _)| (l.from, l.to, l.most)).collect();
    assert_eq!(clocks, [(start(sauce), end(dress), 80)]);
    // The mixing took 6 of it, the dressing takes 4: 70 in two parts.
    let limit = Limit { from: start(dress), most: 4 + 35, soft_most: None };
    assert_eq!(problem.dishes[DIP].straight, [limit]);
}
