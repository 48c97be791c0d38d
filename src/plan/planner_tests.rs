//! From evenings to checked plans.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::planner::{Budget, Planning, plan_ahead, reshuffle, within};
use super::risk::Room;
use super::sample::{evening, evening_with, two_cooks};
use super::verify::verify;
use super::{Begun, Block, Plan, Proof, Situation, StepKey};
use crate::kitchen::{Evening, TimeOfDay};
use crate::safety::Profile;
use serde_json::json;

const BUDGET: Budget<'_> = Budget { seed: 3, rounds: 400, stop: &|| false };

fn ahead(evening: &Evening) -> Plan {
    plan_ahead(evening, &BUDGET, &mut |_| ()).expect("a plan")
}

fn key(dish: usize, step: usize, load: u32) -> StepKey {
    StepKey { dish, step, load }
}

/// What has begun by a minute if everything goes as planned.
pub(super) fn as_planned(plan: &Plan, now: i32) -> BTreeMap<StepKey, Begun> {
    let begun = plan.blocks.iter().filter(|b| b.start < now).map(|b| {
        let (start, end, way, station) = (b.start, b.end, b.way, b.station.clone());
        let begun = if end <= now {
            Begun::Done { start, end, way, station, left_out: false }
        } else {
            let (cook, setting_c) = (b.cook.clone(), b.setting_c);
            Begun::Running { start, end, way, station, cook, setting_c }
        };
        (b.key, begun)
    });
    begun.collect()
}

pub(super) fn running(plan: &Plan, now: i32) -> Situation {
    let dial = plan.settings.iter().rfind(|s| s.from <= now);
    let oven_c = dial.map_or(21, |s| {
        let gone = (now - s.from).min(s.to - s.from);
        s.from_c + (s.to_c - s.from_c) * gone / (s.to - s.from).max(1)
    });
    Situation {
        now: Some(now),
        begun: as_planned(plan, now),
        oven_c: [("oven".to_owned(), oven_c)].into(),
        previous: Some(Arc::new(plan.clone())),
        ..Situation::default()
    }
}

fn again(evening: &Evening, situation: &Situation) -> Plan {
    reshuffle(evening, situation, &BUDGET, &mut |_| ()).expect("a plan")
}

#[test]
fn a_small_supper_is_on_time_and_the_same_every_time() {
    let evening = evening();
    let mut told = Vec::new();
    let plan = plan_ahead(&evening, &BUDGET, &mut |p| told.push(p.cost.total())).expect("a plan");
    assert_eq!(plan.cost.late, 0);
    // Better by a hundredth at the least each time.
    assert!(told.windows(2).all(|w| w[0] - w[1] > w[0] / 100), "{told:?}");
    assert!(told.last().is_some_and(|&last| last >= plan.cost.total()));
    assert_eq!(plan, ahead(&evening));
    let profile = Profile::by_id("us_consumer").expect("built in");
    assert_eq!(verify(&evening, &Situation::default(), profile, &plan), Ok(()));
}

#[test]
fn the_first_plan_is_checked_too() {
    let (evening, situation) = (evening(), Situation::default());
    let planning = Planning::new(&evening, &situation).expect("a problem");
    let (plan, schedule) = planning.first().expect("a plan");
    assert_eq!(planning.schedule_of(&plan), schedule);
    assert!(plan.cost.total() >= ahead(&evening).cost.total());
}

/// If everything goes as planned, nothing moves, at any minute of the evening.
#[test]
fn a_plan_that_is_kept_stays() {
    let evening = evening();
    let plan = ahead(&evening);
    for now in (16 * 60..19 * 60).step_by(7) {
        let next = again(&evening, &running(&plan, now));
        assert_eq!(next.cost.late, 0, "at {now}");
        assert_eq!(next.cost.change, 0, "at {now}: {:?}", next.cost);
    }
}

#[test]
fn an_evening_that_runs_late_still_has_a_plan() {
    let evening = evening();
    let plan = ahead(&evening);
    // Nothing was done at all, and it is later and later, past the last hour too.
    for now in [17 * 60, 18 * 60 + 30, 19 * 60, 20 * 60 + 30, 23 * 60] {
        let mut situation = running(&plan, now);
        situation.begun.clear();
        let next = again(&evening, &situation);
        assert!(next.blocks.iter().all(|b| b.start >= now));
        assert_eq!(next.cost.late > 0, now > 18 * 60, "at {now}: {:?}", next.cost);
    }
    // What runs, runs an hour over.
    let mut situation = running(&plan, 17 * 60 + 30);
    for begun in situation.begun.values_mut() {
        if let Begun::Running { end, .. } = begun {
            *end = 18 * 60 + 45;
        }
    }
    again(&evening, &situation);
}

/// Lou helps until 17:20. What she was to do and has not begun by then is Kim's, at once and at every minute; what she
/// has in hand she ends, though it takes until 18:00.
#[test]
fn what_a_helper_who_has_gone_was_to_do_another_does() {
    let mut evening = two_cooks();
    let until = 17 * 60 + 20;
    let lou = &mut evening.party.cooks[1];
    lou.free.truncate(1);
    (lou.free[0].from, lou.free[0].to) = (TimeOfDay(15 * 60), TimeOfDay(until));
    let plan = ahead(&evening);
    let lous = |b: &&Block| b.cook.as_deref() == Some("lou");
    assert!(plan.blocks.iter().any(|b| lous(&b)), "{:?}", plan.blocks);
    let gone = |plan: &Plan| plan.blocks.iter().filter(lous).all(|b| b.begun || b.end <= until);
    assert!(gone(&plan));
    let first = plan.blocks.iter().filter(lous).map(|b| b.start).min().expect("one");
    for now in (first + 1..18 * 60).step_by(5) {
        let mut idle = running(&plan, now);
        let is_lous = |key: &StepKey| plan.blocks.iter().filter(lous).any(|b| b.key == *key);
        idle.begun.retain(|key, _| !is_lous(key));
        let planning = Planning::new(&evening, &idle).expect("a problem");
        let (next, _) = planning.first().expect("a plan");
        assert!(gone(&next), "at {now}: {:?}", next.blocks);
        let mut slow = running(&plan, now);
        for begun in slow.begun.values_mut() {
            if let Begun::Running { end, cook, .. } = begun
                && cook.as_deref() == Some("lou")
            {
                *end = 18 * 60;
            }
        }
        assert!(gone(&again(&evening, &slow)), "at {now}");
    }
}

#[test]
fn pins_hold_and_give_way_only_to_each_other() {
    let evening = evening();
    let plan = ahead(&evening);
    let mut situation = running(&plan, 16 * 60);
    situation.begun.clear();
    situation.pins.insert(key(1, 0, 0), 17 * 60 + 20);
    let pinned = again(&evening, &situation);
    let cut = pinned.blocks.iter().find(|b| b.key == key(1, 0, 0)).expect("a block");
    assert_eq!(cut.start, 17 * 60 + 20);
    // Kim cannot cut and mix with both hands in the same minutes.
    situation.pins.insert(key(2, 0, 0), 17 * 60 + 22);
    let both = again(&evening, &situation);
    let start = |key| both.blocks.iter().find(|b| b.key == key).map(|b| b.start);
    assert!(start(key(1, 0, 0)) >= Some(17 * 60 + 20) && start(key(2, 0, 0)) >= Some(17 * 60 + 22));
}

#[test]
fn a_broken_oven_sends_the_roast_elsewhere() {
    let evening = evening();
    let plan = ahead(&evening);
    let mut situation = running(&plan, 16 * 60);
    situation.begun.clear();
    situation.down.insert("oven".to_owned());
    let next = again(&evening, &situation);
    let roast = next.blocks.iter().find(|b| b.key == key(0, 1, 0)).expect("a block");
    assert_eq!((roast.station.as_str(), roast.way), ("fryer", 1));
    assert!(next.holds.iter().all(|h| h.station != "oven"));
}

#[test]
fn a_fryer_that_breaks_between_loads_leaves_the_rest_to_the_oven() {
    let evening = evening_with(|_, k, r| {
        k["cookware"][3]["ovenproof"] = json!(true);
        let ways = r[1]["steps"][1]["ways"].as_array_mut().expect("ways");
        ways.push(json!({"station": "oven", "minutes": 25, "at_c": 180, "give_c": 20,
            "load_servings": 3, "points": 3}));
        r[1]["holds"] = json!([{"place": "counter", "class": "room", "free_minutes": 20,
            "points": 1, "most_minutes": 60}]);
    });
    let plan = ahead(&evening);
    let load = |n| plan.blocks.iter().find(|b| b.key == key(1, 1, n)).expect("a load").clone();
    let now = load(0).end;
    let mut situation = running(&plan, now);
    situation.begun.retain(|k, _| k.dish != 1 || k.load == 0);
    situation.down.insert(load(0).station);
    let next = again(&evening, &situation);
    let ways: Vec<usize> =
        next.blocks.iter().filter(|b| b.key.dish == 1 && b.key.step == 1).map(|b| b.way).collect();
    assert!(ways.iter().skip(1).all(|&w| w != ways[0]), "{ways:?}");
}

#[test]
fn a_dish_is_dropped_and_a_service_moved() {
    let evening = evening();
    let plan = ahead(&evening);
    let mut situation = running(&plan, 17 * 60);
    situation.dropped.insert(1);
    situation.service_at.insert(0, 19 * 60 + 30);
    let next = again(&evening, &situation);
    assert!(next.blocks.iter().all(|b| b.key.dish != 1));
    assert_eq!(next.services[0].due, 19 * 60 + 30);
    assert_eq!(next.cost.late, 0);
}

/// Room that was made stays in the plan while the evening goes by it.
#[test]
fn a_plan_keeps_its_room() {
    let (evening, ahead) = (evening(), Situation::default());
    let planning = Planning::new(&evening, &ahead).expect("a problem");
    let mut room = Room::default();
    room.set_dish(0, 12);
    let (plan, _) = planning.search_with(&room, None, &BUDGET).expect("room for it");
    assert_eq!(plan.room, room);
    let ready = |plan: &Plan| plan.services[0].dishes.iter().find(|d| d.0 == 0).map(|d| d.1);
    assert!(ready(&plan) <= Some(19 * 60 - 12), "{:?}", plan.services);
    let situation = running(&plan, 16 * 60);
    assert!(Planning::new(&evening, &situation).expect("a problem").shown().is_some());
    let next = again(&evening, &situation);
    assert_eq!((&next.room, ready(&next), next.cost.change), (&room, ready(&plan), 0));
}

/// Rounded up: what is said is never better than what is known.
#[test]
fn how_far_a_plan_may_be_from_the_best_is_rounded_up() {
    for (cost, bound, permille) in [
        (1_000, 1_000, 0),
        (900, 1_000, 0),
        (1_001, 1_000, 1),
        (1_000_001, 1_000_000, 1),
        (1_001_000, 1_000_000, 1),
        (1_001_001, 1_000_000, 2),
        (3_000, 1_000, 2_000),
        (i64::MAX, 1, u32::MAX),
        (i64::MAX, i64::MAX / 2, 1_001),
    ] {
        assert_eq!(within(cost, bound), Proof::WithinPermille(permille), "{cost} {bound}");
    }
    assert_eq!(within(5, 0), Proof::Stopped);
    assert_eq!(within(5, -5), Proof::Stopped);
}

/// It is 18:21, and the chips take 12 minutes of hands and 27 in the fryer: they are on time if they are begun now. The plan on
/// the screen has the dip before them, and ten minutes of room after the cutting: put off as it stands the supper is six minutes
/// late, with its room ten.
#[test]
fn no_room_is_worth_a_dish_that_is_late() {
    let evening = evening_with(|_, _, r| {
        r[2]["steps"][1]["after"] = json!([{"step": "mix", "place": "cold"}]);
    });
    let mut shown = ahead(&evening);
    for b in shown.blocks.iter_mut().filter(|b| b.key.dish > 0) {
        let start = match (b.key.dish, b.key.step, b.key.load) {
            (2, 0, _) => 1085,
            (2, _, _) => 1130,
            (_, 0, _) => 1091,
            (_, _, load) => 1110 + 9 * load as i32,
        };
        (b.start, b.end) = (start, start + b.end - b.start);
    }
    let mut room = Room::default();
    room.set_step(1, 0, 10);
    shown.room = room.clone();
    let situation = Situation {
        now: Some(1101),
        dropped: [0].into(),
        previous: Some(Arc::new(shown)),
        ..Situation::default()
    };
    let planning = Planning::new(&evening, &situation).expect("a problem");
    let begin = planning.shown().expect("a plan on the screen");
    let off = super::search::put_off(planning.problem(), &begin).expect("it can be put off");
    let late = |schedule| super::judge::judge(planning.problem(), schedule).expect("valid").late;
    assert!(late(&off.cheapest) > 0 && late(&off.least) > 0);
    let (roomy, _) = planning.search_with(&room, Some(&begin), &BUDGET).expect("a plan");
    assert!(roomy.cost.late > 0, "{:?}", roomy.cost);
    let next = again(&evening, &situation);
    assert_eq!((next.cost.late, next.room.is_empty()), (0, true));
}
