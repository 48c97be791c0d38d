//! What the search says something costs is what the judge says, term by term; and no bound is above the least.

use super::super::bound::{Prover as _, Simple};
use super::super::model::Model;
use super::super::{in_work, price, solve};
use super::{ask, later, least, some, steps, whole};
use crate::plan::judge::judge;
use crate::plan::problem::{Dish, HandsPart, Lag, Point, Problem, Task};
use in_work::Ground;

#[test]
fn a_cost_is_the_judges_term_by_term() {
    let mut seen = [0; 5];
    for seed in 1..=400 {
        let mut problem = later(&some(seed), [0, 700][seed as usize % 2]);
        problem.finish_price = [0, 3][seed as usize / 2 % 2];
        let m = Model::new(&problem);
        let Some(state) = whole(&m, seed) else { continue };
        let cost = price::cost(&state);
        assert_eq!(judge(&problem, &m.outward(&state.schedule())), Ok(cost), "seed {seed}");
        let terms = [cost.late, cost.quality, cost.risk, cost.effort, cost.change];
        seen.iter_mut().zip(terms).for_each(|(seen, term)| *seen += i32::from(term > 0));
        // Dearer is further behind, and of equals what starts earlier.
        let early: i64 = super::starts(&m.p, &state.schedule())
            .iter()
            .map(|&(_, at)| i64::from(m.h - at.clamp(0, m.h)))
            .sum();
        assert_eq!(price::rank(&state), cost.total() * m.scale + early, "seed {seed}");
        // What each part of the menu costs by itself is in the whole.
        let parts = price::by_unit(&state);
        assert_eq!(parts.len(), m.units.len());
        assert!(parts.iter().sum::<i64>() <= cost.total(), "seed {seed}");
    }
    assert!(seen.iter().all(|&n| n > 50), "each kind of price: {seen:?}");
}

/// By hand: each part of the menu pays for its own dish and for waits within it that are too long.
#[test]
fn each_part_pays_its_own() {
    let mut counted = 0;
    for seed in 1..=200 {
        let problem = some(seed);
        let m = Model::new(&problem);
        let Some(state) = whole(&m, seed) else { continue };
        let parts = price::by_unit(&state);
        for (u, &said) in parts.iter().enumerate() {
            let mut own = 0;
            for (d, dish) in m.p.dishes.iter().enumerate() {
                if m.unit_of[dish.last_step] != u {
                    continue;
                }
                let (out, ready) = state.made(d).expect("it is made");
                let waits = ready.max(dish.due) - out;
                own += dish.late_price * i64::from((ready - dish.due).max(0));
                let short = dish.cushion - (dish.due - ready).max(0);
                own += dish.cushion_price * i64::from(short.max(0));
                own += match dish.holds.get(state.hold[d]) {
                    None => dish.straight_price,
                    Some(h) => {
                        h.price * i64::from((waits - h.free).max(0))
                            + h.best.map_or(0, |b| b.1 * i64::from((b.0 - waits).max(0)))
                            + h.soft_most.map_or(0, |f| f * i64::from((waits - h.most).max(0)))
                    }
                };
            }
            for l in m.p.lags.iter().filter(|l| m.unit_of[m.p.tasks[l.to.task].step] == u) {
                if let Some(fee) = l.soft_most.filter(|_| l.most != i32::MAX)
                    && state.active(l.from.task)
                    && state.active(l.to.task)
                {
                    own += fee * i64::from((state.at(l.to) - state.at(l.from) - l.most).max(0));
                }
            }
            assert_eq!(said, own, "seed {seed}, part {u}");
            counted += i32::from(own > 0);
        }
    }
    assert!(counted > 100, "{counted}");
}

/// What cannot be avoided is never more than the least cost, and now and then it is all of it.
#[test]
fn a_bound_is_no_more_than_the_least() {
    let (mut all, mut met, mut share) = (0, 0, 0);
    for seed in 1..=500 {
        let mut problem = later(&some(seed), [0, 700][seed as usize % 2]);
        if seed % 3 == 0 {
            // Only waits, ways and moves have a price.
            (problem.span_price, problem.idle_price) = (0, 0);
        }
        if seed % 5 == 0 {
            problem.resources.iter_mut().for_each(|r| r.capacity = 1000);
            problem.span_price = 40;
        }
        let Some(least) = least(&problem) else { continue };
        let bound = Simple.bound(&Model::new(&problem));
        assert!(bound <= least, "seed {seed}: {bound} and {least}");
        all += 1;
        met += i32::from(bound == least);
        share += if least > 0 { bound.max(0) * 1000 / least } else { 1000 };
    }
    println!("{met} of {all} at the least cost, {} in a thousand of it", share / i64::from(all));
    assert!(all > 150 && met > 0 && share >= i64::from(all) * 245, "{share}");
}

/// What may not come up is in no bound: a wait for a load that need not be made, hands that no dish waits for, and minutes
/// that two pairs of hands save.
#[test]
fn a_bound_holds_only_what_is_certain() {
    let bound = |p: &Problem| Simple.bound(&Model::new(p));
    let hands = |minutes: i32| vec![HandsPart { from: 0, to: minutes, percent: 100 }];
    let mut p = steps(&[(2, &[]), (2, &[])]);
    let mut twice = p.steps[0].modes[0].clone();
    twice.loads = 2;
    p.steps[0].modes.push(twice);
    (p.steps[0].task_count, p.steps[1].first_task) = (2, 2);
    let task = |step: usize, load: usize| Task { step, load, latest: 10, ..Task::default() };
    p.tasks = vec![task(0, 0), task(0, 1), task(1, 0)];
    p.dishes.push(Dish { last_step: 1, due: 4, ..Dish::default() });
    for (from, to, certain) in [(1, 2, false), (2, 1, false), (0, 2, true)] {
        let (from, to) = (Point { task: from, end: true }, Point { task: to, end: false });
        let best = Some((50, 7));
        p.lags = vec![Lag { from, to, least: i32::MIN, most: i32::MAX, soft_most: None, best }];
        assert_eq!(bound(&p) > 0, certain, "{from:?} to {to:?}");
    }

    // Nothing of the dish is done by hand, and what is may wait until no minute of it counts.
    let mut p = steps(&[(2, &[]), (2, &[])]);
    p.steps[0].modes[0].hands = hands(2);
    p.steps[0].cooks = vec![0];
    p.resources[0].capacity = 100;
    (p.span_price, p.effort_until) = (4, 30);
    p.dishes.push(Dish { last_step: 1, due: 10, late_price: 1000, ..Dish::default() });
    assert_eq!(bound(&p), 0);

    // Two at a time, from ten minutes before: four times ten.
    let mut p = steps(&[(10, &[]), (10, &[])]);
    for (n, step) in p.steps.iter_mut().enumerate() {
        step.modes[0].hands = hands(10);
        step.cooks = vec![0];
        p.dishes.push(Dish { last_step: n, due: 30, late_price: 1000, ..Dish::default() });
    }
    p.resources[0].capacity = 200;
    (p.span_price, p.effort_until) = (4, 30);
    assert!(bound(&p) <= 40, "{}", bound(&p));
    p.resources[0].capacity = 100;
    assert_eq!(bound(&p), 80, "one after the other");
}

/// A price below nothing has no bound, wherever it stands.
#[test]
#[allow(
    clippy::unit_arg,
    clippy::type_complexity,
    reason = "an edit that finds nothing to change says so"
)]
fn rewards_have_no_bound() {
    let mut kinds = 0;
    for seed in 1..=40 {
        let sound = some(seed);
        assert!(!Model::new(&sound).rewards);
        let edit: [&dyn Fn(&mut crate::plan::Problem) -> Option<()>; 16] = [
            &|p| Some(p.span_price = -1),
            &|p| Some(p.idle_price = -1),
            &|p| Some(p.finish_price = -1),
            &|p| Some(p.steps.last_mut()?.modes.last_mut()?.price = -1),
            &|p| Some(p.lags.last_mut()?.soft_most = Some(-1)),
            &|p| Some(p.lags.last_mut()?.best = Some((0, -1))),
            &|p| Some(p.links.last_mut()?.price = -1),
            &|p| Some(p.anchors.last_mut()?.price = -1),
            &|p| Some(p.anchors.last_mut()?.mode = Some((0, -1))),
            &|p| Some(p.dishes.last_mut()?.late_price = -1),
            &|p| Some(p.dishes.last_mut()?.cushion_price = -1),
            &|p| Some(p.dishes.last_mut()?.straight_price = -1),
            &|p| Some(p.dishes.last_mut()?.straight.last_mut()?.soft_most = Some(-1)),
            &|p| Some(p.dishes.last_mut()?.holds.last_mut()?.price = -1),
            &|p| Some(p.dishes.last_mut()?.holds.last_mut()?.best = Some((0, -1))),
            &|p| {
                Some(p.dishes.last_mut()?.holds.last_mut()?.limits.last_mut()?.soft_most = Some(-1))
            },
        ];
        for (kind, edit) in edit.iter().enumerate() {
            let mut problem = sound.clone();
            if edit(&mut problem).is_some() {
                let m = Model::new(&problem);
                assert!(m.rewards && Simple.bound(&m) < 0, "kind {kind}");
                kinds |= 1 << kind;
            }
        }
    }
    assert_eq!(kinds, (1 << 16) - 1, "each of them was seen");
}

/// An hour later everything is the same, an hour later.
#[test]
fn the_same_an_hour_later() {
    for seed in 1..=60 {
        let problem = some(seed);
        let hence = later(&problem, 700);
        let (now, then) =
            (solve(&ask(&problem, 30), &mut |_, _| ()), solve(&ask(&hence, 30), &mut |_, _| ()));
        assert_eq!((now.cost, now.bound, &now.standing), (then.cost, then.bound, &then.standing));
        let moved = now.schedule.map(|s| starts_later(&problem, &s, 700));
        assert_eq!(moved, then.schedule.map(|s| super::starts(&hence, &s)), "seed {seed}");
    }
}

fn starts_later(p: &crate::plan::Problem, s: &crate::plan::Schedule, by: i32) -> Vec<(usize, i32)> {
    super::starts(p, s).into_iter().map(|(t, at)| (t, at + by)).collect()
}

/// A search in pieces is the same as one in one go, and each is told once, better each time.
#[test]
fn in_pieces_as_in_one_go() {
    for problem in (1..=24).map(|n| some(n * 4 + 1)).filter(|p| !super::waits_too_long(p)) {
        let Ok(ground) = Ground::of(&problem) else { continue };
        let begin = || {
            in_work::Search::begin(
                &problem,
                &ground,
                ask(&problem, 0).begin(),
                super::NEVER,
                &mut |_, _| (),
            )
        };
        let (Ok(mut one), Ok(mut other)) = (begin(), begin()) else { continue };
        let mut told = Vec::new();
        one.advance(320, super::NEVER, &mut |s, c| told.push((s.clone(), *c)));
        for _ in 0..32 {
            other.advance(10, super::NEVER, &mut |_, _| ());
        }
        assert_eq!(one.best(), other.best());
        assert!(told.windows(2).all(|w| w[0].1.total() >= w[1].1.total()));
        if let Some(last) = told.last() {
            assert_eq!(Some(last), one.best(), "the last one told is the best");
        }
        let (best, cost) = one.best().cloned().expect("a schedule");
        assert_eq!(judge(&problem, &best), Ok(cost));
    }
}

/// Where every start and way is given, the bound is all that is to pay for ways, waits, moves and the last end.
#[test]
fn where_nothing_is_left_to_choose_a_bound_is_all_of_it() {
    let (mut seen, mut dear) = (0, 0);
    for seed in 1..=300 {
        let mut p = later(&some(seed), [0, 700][seed as usize % 2]);
        let m = Model::new(&p);
        let Some(state) = whole(&m, seed) else { continue };
        let mut s = m.outward(&state.schedule());
        for (t, at) in super::starts(&p, &s) {
            let task = &mut p.tasks[t];
            if task.fixed.is_none() {
                (task.earliest, task.latest) = (at, at);
            }
        }
        for (step, mode) in p.steps.iter_mut().zip(&mut s.mode) {
            step.modes = vec![step.modes[*mode].clone()];
            *mode = 0;
        }
        p.anchors.iter_mut().for_each(|a| (a.start, a.mode) = (a.start + seed as i32 % 4, None));
        p.dishes.clear();
        p.stays.clear();
        p.links.clear();
        (p.span_price, p.idle_price, p.finish_price) = (0, 0, seed as i64 % 3);
        (s.hold, s.hold_setting_c) = (Vec::new(), Vec::new());
        let cost = judge(&p, &s).expect("it keeps every rule").total();
        assert_eq!(Simple.bound(&Model::new(&p)), cost, "seed {seed}");
        seen += 1;
        dear += i32::from(cost > 0);
    }
    assert!(seen > 80 && dear > 50, "{seen} {dear}");
}

/// One dish of one step with all the room it wants: the bound is mostly what it costs.
#[test]
fn of_one_dish_alone_a_bound_is_mostly_all_of_it() {
    let (mut met, mut late, mut waits) = (0, 0, 0);
    for seed in 1..=300 {
        let mut p = super::tiny::tiny(seed);
        p.steps.drain(..2);
        p.steps[0].first_task = 0;
        p.steps[0].task_count = 1;
        p.steps[0].modes.iter_mut().for_each(|m| (m.loads, m.oven) = (1, None));
        p.tasks.truncate(1);
        p.tasks[0] = crate::plan::problem::Task {
            earliest: (seed % 7) as i32,
            latest: if seed % 3 == 0 { (seed % 7) as i32 } else { i32::MAX },
            ..Default::default()
        };
        p.dishes.drain(..1);
        let dish = &mut p.dishes[0];
        (dish.last_step, dish.held) = (0, None);
        dish.straight.clear();
        dish.holds.iter_mut().for_each(|h| (h.oven, h.limits) = (None, Vec::new()));
        p.lags.clear();
        p.stays.clear();
        p.links.clear();
        p.anchors.clear();
        (p.end, p.span_price, p.idle_price) = (20, 0, 0);
        for r in &mut p.resources {
            (r.capacity, r.closed) = (1000, Vec::new());
        }
        // In the one minute that it has it may be too early to be waited for.
        let Some(least) = least(&p) else { continue };
        let bound = Simple.bound(&Model::new(&later(&p, 30)));
        assert!(bound <= least, "seed {seed}: {bound} and {least}");
        met += i32::from(bound == least);
        late += i32::from(least >= 1000);
        waits += i32::from(least > 0 && least < 1000);
    }
    assert!(met > 50 && late > 10 && waits > 20, "{met} {late} {waits}");
}

/// Work of one cook, one thing after the other till it is served: the bound counts every minute of it.
#[test]
fn a_bound_counts_the_hours_of_the_work() {
    use crate::plan::problem::{Dish, HandsPart, Lag, Mode, Point, Problem, Resource, Step, Task};
    let mut late = 0;
    for seed in 0..200u64 {
        let minutes = [2 + (seed % 4) as i32, 1 + (seed / 4 % 3) as i32];
        let due = 12 + (seed / 12 % 5) as i32;
        let step = |n: usize| {
            let mode = |more: i32| Mode {
                minutes: minutes[n] + more,
                loads: 1,
                hands: vec![HandsPart { from: 0, to: minutes[n] + more, percent: 100 }],
                ..Mode::default()
            };
            let modes = vec![mode(1), mode(0)];
            Step { modes, cooks: vec![0], first_task: n, task_count: 1 }
        };
        let (from, to) = (Point { task: 0, end: true }, Point { task: 1, end: false });
        let lag = Lag { from, to, least: 0, most: i32::MAX, soft_most: None, best: None };
        let task = |step: usize| Task { step, latest: i32::MAX, ..Task::default() };
        let mut p = Problem {
            end: 60,
            resources: vec![Resource { capacity: 100, closed: Vec::new() }],
            steps: vec![step(0), step(1)],
            tasks: vec![task(0), task(1)],
            lags: vec![lag],
            dishes: vec![Dish { last_step: 1, due, late_price: 1000, ..Dish::default() }],
            span_price: 4,
            effort_until: due + (seed % 6) as i32,
            ..Problem::default()
        };
        // In the quick way alone: of several the bound takes the least of each part.
        if seed % 2 == 0 {
            p.steps.iter_mut().for_each(|s| drop(s.modes.remove(0)));
            p.tasks[0].earliest = (seed / 7 % 16) as i32;
        }
        let least = least(&p).expect("there is room");
        let bound = Simple.bound(&Model::new(&later(&p, 9)));
        assert!(
            bound == least || bound < least && seed % 2 == 1,
            "seed {seed}: {bound} and {least}"
        );
        late += i32::from(least >= 1000);
        // Where being late costs less than the work there is none.
        p.dishes[0].late_price = 3;
        assert!(Simple.bound(&Model::new(&p)) <= super::least(&p).expect("room"), "seed {seed}");
    }
    assert!(late > 10, "{late}");
}
