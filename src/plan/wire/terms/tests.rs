//! The pieces of the cost against the judge's own sums: plans whose limits, bests and prices are moved to just what the
//! schedule does, a little more or a little less.

use std::collections::BTreeSet;

use super::*;
use crate::plan::Cost;
use crate::plan::build::{build, schedule_of};
use crate::plan::compose::tests::{long_holds, supper};
use crate::plan::problem::{Anchor, Link};
use crate::plan::sample::evening_with;
use crate::plan::situation::Situation;

/// Sums by what each kind counts as; see [`TermKind`].
fn sums(terms: &[Term]) -> Cost {
    use TermKind as K;
    let mut cost = Cost::default();
    for term in terms {
        assert_eq!(term.cost, term.amount * term.weight);
        *match term.kind {
            K::MinutesLate | K::PastMostWait | K::PastSafetyLimit => &mut cost.late,
            K::HoldPastFree | K::HoldShortOfBest | K::WaitShortOfBest | K::SecondBestWay => {
                &mut cost.quality
            }
            K::CushionMissing => &mut cost.risk,
            K::Hours | K::Idle | K::Hop => &mut cost.effort,
            K::Moved | K::OtherPlace => &mut cost.change,
        } += term.cost;
    }
    cost
}

/// The problem with every price there is, where each is due by `k` or just not.
fn priced(problem: &Problem, schedule: &Schedule, k: i32) -> Problem {
    let mut priced = problem.clone();
    let at = |p: Point| match p.end {
        true => problem.end_of(schedule, p.task),
        false => schedule.start[p.task],
    };
    for (d, dish) in priced.dishes.iter_mut().enumerate() {
        let serving = judge::serving(problem, schedule, d);
        let waits = serving.served - serving.out;
        dish.straight_price = i64::from(6 + k) * 3;
        for (h, hold) in dish.holds.iter_mut().enumerate() {
            (hold.most, hold.soft_most) = (waits - k, Some(11));
            (hold.free, hold.price) = (waits + k, 9);
            // Of several the second is the dearer one to do without.
            hold.best =
                Some((if schedule.hold[d].is_some() { waits + k } else { 6 + k }, 3 + h as i64));
            for limit in &mut hold.limits {
                (limit.most, limit.soft_most) = (serving.served - at(limit.from) - k, Some(13));
            }
        }
        for limit in &mut dish.straight {
            (limit.most, limit.soft_most) = (serving.served - at(limit.from) - k, Some(14));
        }
        if dish.holds.is_empty() {
            dish.straight_price = 0;
        }
    }
    for lag in &mut priced.lags {
        let gap = at(lag.to) - at(lag.from);
        (lag.most, lag.soft_most) = (gap - k, Some(17));
        lag.best = Some((gap + k, 5));
    }
    for (s, step) in priced.steps.iter_mut().enumerate() {
        step.modes.iter_mut().for_each(|m| m.price = weights::POINT * (1 + s as i64));
    }
    let steps = problem.steps.len();
    priced.links = (0..steps - 1)
        .map(|from| {
            let last = |s: usize| {
                let step = &problem.steps[s];
                let tasks = step.first_task..step.first_task + step.task_count;
                tasks
                    .filter(|&t| problem.active(schedule, t))
                    .map(|t| problem.end_of(schedule, t))
                    .max()
            };
            let start = schedule.start[problem.steps[from + 1].first_task];
            let least = start - last(from).expect("a load") - k;
            Link { from_step: from, to_step: from + 1, least, price: 23 + from as i64 }
        })
        .collect();
    priced.anchors = (0..problem.tasks.len())
        .map(|task| {
            let mode = schedule.mode[problem.tasks[task].step];
            let mode = if task % 2 == 0 { mode } else { mode + 1 };
            Anchor { task, start: schedule.start[task] + k, price: 29, mode: Some((mode, 31)) }
        })
        .collect();
    (priced.span_price, priced.idle_price) = (37, 41);
    priced
}

#[test]
fn every_piece_of_the_cost_is_what_the_judge_takes_for_it() {
    // The roast is the second cook's; it could be made in two loads, and is made in one.
    let mut plan = supper().1;
    let evening = evening_with(|p, k, r| {
        long_holds(p, k, r);
        r[0]["steps"][1]["ways"][1]["load_servings"] = serde_json::json!(2);
        let mut lou = p["cooks"][0].clone();
        (lou["id"], lou["name"]) = (serde_json::json!("lou"), serde_json::json!("Lou"));
        p["cooks"].as_array_mut().expect("a list").push(lou);
    });
    plan.blocks.iter_mut().filter(|b| b.key.dish == 0).for_each(|b| b.cook = Some("lou".into()));
    let mut seen = BTreeSet::new();
    let mut judged = 0;
    for held in [true, false] {
        // Without holds each dish is served when it is out: the chips, in three loads, never could be.
        let dropped = if held { [].into() } else { [1].into() };
        let situation = Situation { dropped, ..Situation::default() };
        let (problem, map) = build(&evening, &situation).expect("a problem");
        let mut schedule = schedule_of(&problem, &map, &evening, &plan);
        assert!((0..problem.tasks.len()).any(|t| !problem.active(&schedule, t)));
        if !held {
            schedule.hold.iter_mut().for_each(|h| *h = None);
            schedule.hold_setting_c.iter_mut().for_each(|c| *c = None);
        }
        for k in -3..=3 {
            let mut priced = priced(&problem, &schedule, k);
            for (d, dish) in priced.dishes.iter_mut().enumerate() {
                let serving = judge::serving(&problem, &schedule, d);
                dish.due = if held { dish.due - k.max(0) } else { serving.ready - k };
                (dish.cushion, dish.cushion_price) = (dish.due - serving.ready + k, 43);
            }
            let Ok(cost) = judge::judge(&priced, &schedule) else { continue };
            judged += 1;
            let terms = terms(&evening, &priced, &map, &schedule);
            assert_eq!(sums(&terms), cost, "{held} {k}");
            seen.extend(terms.iter().map(|t| t.kind));
        }
    }
    println!("{judged} {seen:?}");
    assert!(judged >= 11 && seen.len() == 13, "{judged} {seen:?}");
}
