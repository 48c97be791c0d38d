//! How near the least cost each part of the search comes by itself, in counted rounds on tiny problems: the same on
//! every machine. The bars are a little below what is reached; a change that makes the search better lifts them.

use std::sync::OnceLock;

use super::super::improve::Improver;
use super::super::insert::Inserter;
use super::super::model::Model;
use super::super::rail::Orders;
use super::super::rng::Rng;
use super::super::state::State;
use super::super::{begin, price, shown, solve};
use super::kitchens::{Wish, party, running};
use super::{NEVER, ask, judged, least, open_starts, some};
use crate::plan::problem::{Problem, Schedule};
use crate::plan::search::Ask;

/// Problems with their least cost.
fn cases() -> &'static [(Problem, i64)] {
    static CASES: OnceLock<Vec<(Problem, i64)>> = OnceLock::new();
    CASES.get_or_init(|| {
        let all = (1..=600).map(some);
        all.filter_map(|p| least(&p).map(|least| (p, least))).collect()
    })
}

/// How many of the cases end at the least cost, and how many hundredths above it all of them are together, each one
/// at most its whole.
fn reached(name: &str, end: impl Fn(&Problem) -> Option<i64>) -> (usize, usize) {
    let (mut at, mut above) = (0, 0);
    for (problem, least) in cases() {
        let gap = end(problem).map_or(100, |cost| {
            assert!(cost >= *least, "cheaper than the cheapest");
            at += usize::from(cost == *least);
            ((cost - least) * 100 / least.max(&1)).min(100)
        });
        above += gap as usize;
    }
    println!("{name}: {at} of {} at the least cost, {above} hundredths above it", cases().len());
    (at, above)
}

fn begun(m: &Model) -> Option<State<'_>> {
    begin::first(m, &mut Inserter::default(), None, &mut Rng::new(1), 12, NEVER, &mut |_| ()).ok()
}

#[test]
fn first_schedules() {
    let end = |p: &Problem| judged(p, &begun(&Model::new(p))?);
    let (at, above) = reached("first", end);
    holds("first", at, above);
}

#[test]
fn dishes_out_and_back_in() {
    let (at, above) = reached("dishes", |p| {
        let m = Model::new(p);
        let mut improver = Improver::new(begun(&m)?, Rng::new(1));
        let mut inserter = Inserter::default();
        inserter.late_room = 60;
        for _ in 0..60 {
            let before = improver.best_rank();
            let better = improver.round(&mut inserter);
            assert_eq!(better, improver.best_rank() < before);
            if better {
                assert_eq!(price::rank(&improver.state), improver.best_rank());
            }
        }
        let best = shown::of_rough(&m, &mut inserter, &improver.best_schedule())?;
        assert!(price::rank(&best) <= improver.best_rank(), "it is what it was said to be");
        judged(p, &best)
    });
    holds("dishes", at, above);
}

#[test]
fn orders_worked_off() {
    let (at, above) = reached("orders", |p| {
        let m = Model::new(p);
        let begun = begun(&m)?;
        let Some(mut orders) = Orders::new(&State::new(&m), &begun.schedule()) else {
            return judged(p, &begun);
        };
        let mut rng = Rng::new(1);
        if !orders.is_over() {
            for _ in 0..150 {
                let before = orders.best_rank();
                assert_eq!(orders.round(&mut rng), orders.best_rank() < before);
            }
        }
        let best = shown::of_rough(&m, &mut Inserter::default(), &orders.schedule());
        judged(p, &best.unwrap_or(begun))
    });
    holds("orders", at, above);
}

#[test]
fn all_together() {
    for rounds in [0, 20, 300] {
        let end = |p: &Problem| {
            let answer = solve(&ask(p, rounds), &mut |_, _| ());
            answer.schedule.map(|_| answer.cost.total())
        };
        let (at, above) = reached(&format!("{rounds} rounds"), end);
        holds(&format!("{rounds} rounds"), at, above);
    }
}

/// Kitchens of some twenty steps: what their plans cost together after so many rounds.
#[test]
fn whole_kitchens() {
    let (mut sums, mut late) = ([0; 3], [0; 3]);
    for seed in 1..=6 {
        let cooks = 1 + seed as usize % 2;
        let ahead = party(Wish { steps: 20, cooks, ovens: cooks, seed });
        let plan = solve(&ask(&ahead, 0), &mut |_, _| ()).schedule.expect("a schedule");
        let now = running(&ahead, &plan, 17 * 60, seed);
        for (i, rounds) in [0, 60, 240].into_iter().enumerate() {
            let answer = solve(&ask(&ahead, rounds), &mut |_, _| ());
            sums[i] += answer.cost.total();
            let begun = Ask { warm: Some(&plan), ..ask(&now, rounds) };
            late[i] += solve(&begun, &mut |_, _| ()).cost.total();
        }
    }
    println!("kitchens: {sums:?} ahead, {late:?} midway");
    for i in 0..3 {
        holds(&format!("ahead {i}"), 0, sums[i] as usize);
        holds(&format!("midway {i}"), 0, late[i] as usize);
    }
}

/// Each attempt at a first schedule by itself, on kitchens of some thirty steps: what all of them cost together.
#[test]
fn each_attempt() {
    let mut sums = [0; 10];
    for seed in 1..=5 {
        let p = party(Wish { steps: 28, cooks: 1 + seed as usize % 2, ovens: 1, seed });
        let m = Model::new(&p);
        for (number, sum) in sums.iter_mut().enumerate() {
            let mut inserter = Inserter::default();
            inserter.late_room = 60;
            let state = begin::attempt(&m, &mut inserter, number, &mut Rng::new(seed));
            *sum += state.map_or(100_000_000, |s| price::cost(&s).total());
        }
    }
    for (number, &sum) in sums.iter().enumerate() {
        holds(&format!("attempt {number}"), 0, sum as usize);
    }
}

/// What is told of a beginning from a plan on the screen: each no dearer than the one before, and the last the one that is given.
fn begun_from<'m>(m: &'m Model, plan: &Schedule) -> Vec<State<'m>> {
    let mut told: Vec<State<'m>> = Vec::new();
    let tell = &mut |state: &State<'m>| told.push(state.clone());
    let (inserter, rng) = (&mut Inserter::default(), &mut Rng::new(1));
    let given = begin::first(m, inserter, Some(plan), rng, 12, NEVER, tell).ok();
    assert_eq!(given.map(|g| g.schedule()), told.last().map(|t| t.schedule()));
    let costs: Vec<i64> = told.iter().map(|t| price::cost(t).total()).collect();
    assert!(costs.is_sorted_by(|a, b| a >= b), "{costs:?}");
    told
}

/// From a plan of which something can begin only a little later: how near the least each way comes to go on from it.
#[test]
fn from_a_plan_that_fits_no_more() {
    let mut all = Vec::new();
    for (n, (problem, _)) in cases().iter().enumerate() {
        let Some(plan) = solve(&ask(problem, 60), &mut |_, _| ()).schedule else { continue };
        let mut now = problem.clone();
        let open = open_starts(problem, &plan);
        let Some(&(t, at)) = open.get(n % open.len().max(1)) else { continue };
        now.tasks[t].earliest = at + 1 + n as i32 % 2;
        now.tasks[t].latest = now.tasks[t].latest.max(now.tasks[t].earliest);
        if let Some(least) = least(&now) {
            all.push((now, plan, least));
        }
    }
    type Way = for<'m> fn(&'m Model, &Schedule) -> Option<State<'m>>;
    let ways: [(&str, Way); 5] = [
        ("shown", |m, s| begun_from(m, s).pop()),
        ("again", |m, s| shown::again(m, &mut Inserter::default(), s)),
        ("in its order", |m, s| shown::put_off(m, &mut Inserter::default(), s)),
        ("must be", |m, s| shown::as_must_be(m, &mut Inserter::default(), s).map(|both| both.0)),
        ("at best", |m, s| shown::as_must_be(m, &mut Inserter::default(), s).map(|both| both.1)),
    ];
    for (name, way) in ways {
        let (mut at, mut above) = (0, 0);
        for (now, plan, least) in &all {
            let m = Model::new(now);
            let cost = way(&m, &m.inward(plan)).map(|state| {
                assert_eq!(judged(now, &state), Some(price::cost(&state).total()));
                price::cost(&state).total()
            });
            at += usize::from(cost == Some(*least));
            above += cost.map_or(100, |cost| ((cost - least) * 100 / least.max(&1)).min(100));
        }
        println!("{name}: {at} of {} at the least cost", all.len());
        holds(name, at, above as usize);
    }
}

/// The same of kitchens half an hour and more into their evening, where dishes run over: what it costs together.
#[test]
fn kitchens_that_run_late() {
    let (mut sums, mut most_told) = ([0; 5], 0);
    for seed in 1..=8 {
        let ahead = party(Wish { steps: 24, cooks: 1 + seed as usize % 2, ovens: 1, seed });
        let Some(plan) = solve(&ask(&ahead, 20), &mut |_, _| ()).schedule else { continue };
        let now = running(&ahead, &plan, 16 * 60 + 20 * seed as i32, seed);
        let m = Model::new(&now);
        let (plan, mut inserter) = (m.inward(&plan), Inserter::default());
        let both = shown::as_must_be(&m, &mut inserter, &plan);
        let told = begun_from(&m, &plan);
        assert!(
            told.iter().all(|state| judged(&now, state).is_some()),
            "{seed}: one breaks a rule"
        );
        most_told = most_told.max(told.len());
        let states = [
            told.last().cloned(),
            shown::again(&m, &mut inserter, &plan),
            shown::put_off(&m, &mut inserter, &plan),
            both.as_ref().map(|both| both.0.clone()),
            both.map(|both| both.1),
        ];
        for (sum, state) in sums.iter_mut().zip(states) {
            *sum += state.map_or(100_000_000, |s| judged(&now, &s).expect("valid"));
        }
    }
    assert!(most_told > 1, "the first is told before the best is there");
    for (n, &sum) in sums.iter().enumerate() {
        holds(&format!("late {n}"), 0, sum as usize);
    }
}

/// What is held: at least so many at the least cost, and together no more than so much above it (or in all).
const BARS: &[(&str, usize, usize)] = &[
    ("first", 119, 3_250),
    ("dishes", 157, 1_700),
    ("orders", 147, 1_920),
    ("0 rounds", 137, 1_860),
    ("20 rounds", 158, 1_190),
    ("300 rounds", 168, 770),
    ("ahead 0", 0, 2_960_000),
    ("ahead 1", 0, 605_000),
    ("ahead 2", 0, 595_000),
    ("midway 0", 0, 74_500_000),
    ("midway 1", 0, 56_300_000),
    ("midway 2", 0, 2_700_000),
    ("attempt 0", 0, 201_000_000),
    ("attempt 1", 0, 118_000_000),
    ("attempt 2", 0, 362_000_000),
    ("attempt 3", 0, 208_000_000),
    ("attempt 4", 0, 220_000_000),
    ("attempt 5", 0, 232_000_000),
    ("attempt 6", 0, 278_000_000),
    ("attempt 7", 0, 360_000_000),
    ("attempt 8", 0, 311_000_000),
    ("attempt 9", 0, 519_000_000),
    ("shown", 93, 540),
    ("again", 80, 1_980),
    ("in its order", 85, 1_670),
    ("must be", 58, 1_870),
    ("at best", 85, 1_670),
    ("late 0", 0, 32_500_000),
    ("late 1", 0, 135_000_000),
    ("late 2", 0, 135_000_000),
    ("late 3", 0, 138_000_000),
    ("late 4", 0, 135_000_000),
];

fn holds(name: &str, at: usize, above: usize) {
    let &(_, least, most) = BARS.iter().find(|bar| bar.0 == name).expect("a bar");
    assert!(at >= least && above <= most, "{name}: {at} at the least cost, {above} above it");
}
