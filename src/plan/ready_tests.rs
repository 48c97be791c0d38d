//! What may soon be late, and beginning from what was made ready for it.

use super::planner::{Budget, Planning, plan_ahead};
use super::planner_tests::{as_planned, running};
use super::ready::{Late, Whence, fitting, likely};
use super::sample::{evening, evening_with};
use super::{Begun, Plan, Situation};
use crate::kitchen::{Evening, Minute};

const BUDGET: Budget<'_> = Budget { seed: 3, rounds: 400, stop: &|| false };
const AT_ONCE: Budget<'_> = Budget { seed: 3, rounds: 0, stop: &|| false };

fn shown(evening: &Evening) -> Plan {
    plan_ahead(evening, &BUDGET, &mut |_| ()).expect("a plan")
}

/// Every tenth minute from before the first step to after the last.
fn minutes(plan: &Plan) -> impl Iterator<Item = Minute> {
    let from = plan.blocks.iter().map(|b| b.start).min().expect("blocks");
    let to = plan.blocks.iter().map(|b| b.end).max().expect("blocks");
    (from - 20..=to + 10).step_by(10)
}

/// Whatever may be late in all these minutes: the minute, what is late, and the evening then.
fn all_that_may_be(evening: &Evening, plan: &Plan) -> Vec<(Minute, Late, Situation)> {
    let each = minutes(plan).flat_map(|now| {
        let situation = running(plan, now);
        let all = likely(&situation, plan).into_iter();
        all.map(move |late| (now, late, late.then(evening, &situation, plan)))
    });
    each.collect()
}

#[test]
fn what_runs_ends_late_and_what_begins_next_begins_late() {
    let evening = evening();
    let plan = shown(&evening);
    let (mut run, mut begin) = (0, 0);
    for now in minutes(&plan) {
        let situation = running(&plan, now);
        let all = likely(&situation, &plan);
        assert!(all.is_sorted_by_key(|late| (late.minutes, late.seen)), "{now}");
        for late in all {
            let then = late.then(&evening, &situation, &plan);
            let Late { minutes, seen, key, runs } = late;
            let block = plan.blocks.iter().find(|b| b.key == key).expect("a block of the plan");
            let planned = if runs { block.end } else { block.start };
            assert!((now..=now + 30).contains(&planned), "{late:?} at {now}");
            assert_eq!(seen, planned + minutes, "{late:?}");
            match (runs, then.begun.get(&key)) {
                (true, Some(Begun::Running { end, .. })) => {
                    assert_eq!((*end, then.now), (seen, Some((planned + 1).min(seen - 1))));
                    run += 1;
                }
                (false, None) => {
                    assert_eq!(then.now, Some(seen));
                    begin += 1;
                }
                (_, other) => panic!("{late:?}: {other:?}"),
            }
            // All else has gone by the plan, or waits for what is late.
            let by_plan = as_planned(&plan, then.now.expect("a minute"));
            for (other, begun) in then.begun.iter().filter(|(k, _)| **k != key) {
                assert_eq!(by_plan.get(other), Some(begun), "{late:?}");
            }
            for other in situation.begun.keys() {
                assert!(then.begun.contains_key(other), "{late:?} forgets {other:?}");
            }
        }
    }
    assert!(run > 10 && begin > 10, "{run} {begin}");
}

#[test]
fn there_is_a_plan_for_whatever_is_late() {
    let evening = evening();
    let plan = shown(&evening);
    for (now, late, then) in all_that_may_be(&evening, &plan) {
        let planning = Planning::new(&evening, &then).expect("a problem");
        planning.first().unwrap_or_else(|e| panic!("{late:?} at {now}: {e:?}"));
    }
}

#[test]
fn what_comes_after_a_late_step_has_not_begun() {
    let evening = evening();
    let plan = shown(&evening);
    let mut held_up = 0;
    for (_, late, then) in all_that_may_be(&evening, &plan) {
        let step = |key: super::StepKey| &evening.sheets[key.dish].recipe.steps[key.step];
        let id = &step(late.key).id;
        let next = then.begun.keys().filter(|k| k.dish == late.key.dish);
        for key in next {
            assert!(!step(*key).after.iter().any(|a| a.step == *id), "{late:?}: {key:?}");
        }
        held_up += usize::from(!late.runs);
    }
    assert!(held_up > 0);
}

#[test]
fn days_before_and_with_nothing_on_the_way_nothing_is_late() {
    let evening = evening();
    let plan = shown(&evening);
    assert!(likely(&Situation::default(), &plan).is_empty());
    assert!(likely(&running(&plan, 0), &plan).is_empty());
}

/// One step of the evening ends six minutes late, a minute after it should have ended.
fn six_late(plan: &Plan) -> impl Iterator<Item = Situation> {
    let blocks = plan.blocks.iter().filter(|b| b.end > b.start);
    blocks.map(|block| {
        let mut situation = running(plan, block.end);
        let (start, way, station) = (block.start, block.way, block.station.clone());
        let (cook, setting_c, end) = (block.cook.clone(), block.setting_c, block.end + 6);
        let runs = Begun::Running { start, end, way, station, cook, setting_c };
        situation.begun.insert(block.key, runs);
        situation
    })
}

/// (That it begins from what is ready where that is cheaper, a larger party shows: `tests/plan_family.rs`.)
#[test]
fn of_plans_that_cost_the_same_the_one_on_the_screen_stays() {
    let evening = evening();
    let plan = shown(&evening);
    let mut equal = 0;
    for situation in six_late(&plan) {
        let Ok(planning) = Planning::new(&evening, &situation) else { continue };
        let shown = planning.shown();
        let Ok((without, _)) = planning.search(shown.as_ref(), &AT_ONCE) else { continue };
        let (best, _) = planning.search(shown.as_ref(), &BUDGET).expect("a plan");
        let planning = planning.with_ready([&best]);
        let (with, _) = planning.search(shown.as_ref(), &AT_ONCE).expect("a plan");
        assert_eq!(with.cost.total(), best.cost.total().min(without.cost.total()));
        if with.cost.total() == without.cost.total() {
            equal += 1;
            assert_eq!(with.blocks, without.blocks, "of equal ones the shown one stays");
        }
    }
    assert!(equal > 0);
}

#[test]
fn what_is_begun_from_was_made_for_what_is_late() {
    let evening = evening();
    let plan = shown(&evening);
    let (mut some, mut both) = (0, 0);
    for now in minutes(&plan) {
        let situation = running(&plan, now);
        let all = likely(&situation, &plan);
        let ready: Vec<(Late, Plan)> = all.iter().map(|late| (*late, plan.clone())).collect();
        // Nothing is late yet.
        assert_eq!(fitting(&ready, &situation).count(), 0, "at {now}");
        for late in all {
            let then = late.then(&evening, &situation, &plan);
            let of = |key| ready.iter().filter(move |(l, _)| l.key == key);
            let nearest = of(late.key).min_by_key(|(l, _)| l.minutes.abs_diff(late.minutes));
            let first = fitting(&ready, &then).next();
            let is_nearest =
                first.is_some_and(|f| nearest.is_some_and(|(_, n)| std::ptr::eq(f, n)));
            // Of several that have not begun, any.
            assert!(is_nearest || !late.runs && first.is_some(), "{late:?} at {now}");
            // What waits for something that runs over comes after that, and less of it.
            let kind =
                |p: &Plan| ready.iter().find(|(_, r)| std::ptr::eq(r, p)).is_some_and(|r| r.0.runs);
            let kinds: Vec<bool> = fitting(&ready, &then).map(kind).collect();
            let over = kinds.iter().take_while(|runs| **runs).count();
            let waiting = kinds[over..].iter().filter(|runs| !**runs).count();
            assert_eq!(over + waiting, kinds.len(), "{kinds:?}");
            assert!(over <= 2 && waiting <= if over > 0 { 1 } else { 2 }, "{kinds:?}");
            both += usize::from(over > 0 && waiting > 0);
            some += 1;
        }
    }
    assert!(some > 20 && both > 0, "{some}, {both} of both kinds");
}

/// What was made ready for other minutes, or for a supper without the chips: it helps or is passed over.
#[test]
fn what_fits_no_more_does_no_harm() {
    let evening = evening();
    let plan = shown(&evening);
    let other = shown(&evening_with(|party, _, _| {
        party["dishes"].as_array_mut().expect("dishes").remove(1);
    }));
    let later = shown(&evening_with(|party, _, _| party["services"][0]["at"] = "19:30".into()));
    for situation in six_late(&plan) {
        let Ok(planning) = Planning::new(&evening, &situation) else { continue };
        let shown = planning.shown();
        let Ok((without, _)) = planning.search(shown.as_ref(), &AT_ONCE) else { continue };
        let planning = planning.with_ready([&other, &later]);
        let (with, _) = planning.search(shown.as_ref(), &AT_ONCE).expect("a plan");
        assert!(with.cost.total() <= without.cost.total());
        assert_eq!(planning.check(&with), Ok(()));
    }
}

/// Three plans, told apart by the minute they were made for: of one step that runs, and of another.
#[test]
fn each_helping_has_its_own_beginnings() {
    let evening = evening();
    let plan = shown(&evening);
    let busy =
        |now: &Minute| likely(&running(&plan, *now), &plan).iter().filter(|l| l.runs).count();
    let now = minutes(&plan).max_by_key(busy).expect("minutes");
    let situation = running(&plan, now);
    let all = likely(&situation, &plan);
    let key = all.iter().find(|l| l.runs && l.minutes == 1).expect("one that runs").key;
    let of = |minutes| {
        *all.iter().find(|l| (l.key, l.minutes, l.runs) == (key, minutes, true)).expect("it")
    };
    let other = *all.iter().find(|l| l.key != key && l.runs).expect("another that runs");
    let named = |made_for| Plan { made_for, ..plan.clone() };
    let mut ready: Vec<(Late, Plan)> = Vec::new();
    for (n, late) in [(1, of(1)), (2, of(4)), (3, other), (4, of(10))] {
        Whence::Nearest.keep(&mut ready, late, named(n));
    }
    let late = of(5);
    let then = late.then(&evening, &situation, &plan);
    let names = |whence: Whence, ready: &[(Late, Plan)]| -> Vec<Minute> {
        whence.of(ready, &late, &then).iter().map(|p| p.made_for).collect()
    };
    assert_eq!(names(Whence::Nearest, &ready), [2, 1], "for four minutes, then for one");
    assert!(names(Whence::Shown, &ready).is_empty());
    assert_eq!(names(Whence::Cheapest, &ready), [4, 2, 1], "all of the step, the latest first");
    Whence::Shown.keep(&mut ready, of(4), named(5));
    assert_eq!(names(Whence::Nearest, &ready), [5, 2], "two for the same are both kept");
    Whence::Cheapest.keep(&mut ready, of(4), named(6));
    assert_eq!(names(Whence::Nearest, &ready), [6, 1]);
    assert_eq!(names(Whence::Cheapest, &ready), [6, 4, 1]);
}
