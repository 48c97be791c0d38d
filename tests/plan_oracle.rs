//! Search and prover against the slow, obvious version: on tiny problems with
//! every rule in them every possible answer is tried and judged by the written rules.

#[path = "plan_oracle/brute.rs"]
mod brute;
#[path = "plan_oracle/jobs.rs"]
mod jobs;
#[path = "plan_oracle/midway.rs"]
mod midway;
#[path = "plan_oracle/oven.rs"]
mod oven;
#[path = "plan_oracle/tiny.rs"]
mod tiny;

use std::sync::atomic::{AtomicUsize, Ordering};

use brute::Brute;
use jobs::jobs;
use midway::{midway, waits_for_a_load};
use oven::shared_oven;
use potwatch::plan::judge::{judge, serving};
use potwatch::plan::problem::Problem;
use potwatch::plan::prove::{self, Clashing, Met, Patience, Proved, Prover};
use potwatch::plan::search::{self, Ask, Standing};
use tiny::tiny;

/// Tiny problems of which every answer is tried.
const PROBLEMS: u64 = 2000;

/// Problems in two halves, each on a thread of its own that bears the name of the test (`tests/mutants` goes by it).
fn halves(problems: u64, check: impl Fn(u64) + Sync) {
    let check = &check;
    let name = std::thread::current().name().unwrap_or_default().to_owned();
    std::thread::scope(|scope| {
        for half in 0..2 {
            let named = std::thread::Builder::new().name(name.clone());
            let work = move || (1..=problems).filter(|n| n % 2 == half).for_each(check);
            named.spawn_scoped(scope, work).expect("a thread");
        }
    });
}

/// The prover always comes to an end here, and says exactly what trying
/// everything says: the least cost, or that there is no answer.
#[test]
fn the_prover_agrees_with_trying_everything() {
    halves(PROBLEMS, |seed| agrees(&tiny(seed), &format!("seed {seed}")));
}

/// The same with an evening half over: what has happened is in the way of what
/// is to come, and no more than it is.
#[test]
fn the_prover_agrees_with_trying_everything_half_way() {
    let [with, without, waiting] = [const { AtomicUsize::new(0) }; 3];
    halves(PROBLEMS / 2, |seed| {
        let problem = midway(seed);
        agrees(&problem, &format!("half way, seed {seed}"));
        let mut prover = Prover::new(&problem).expect("all of it is modelled");
        let proved = prover.advance(u64::MAX, &|| false, &mut |_, _| ());
        let count = if proved == Proved::Best { &with } else { &without };
        count.fetch_add(1, Ordering::Relaxed);
        waiting.fetch_add(usize::from(waits_for_a_load(&problem)), Ordering::Relaxed);
    });
    // The family holds all kinds, or the test shows nothing.
    let [with, without, waiting] = [with, without, waiting].map(AtomicUsize::into_inner);
    println!("{with} with an answer, {without} without; {waiting} wait for a load");
    assert!(with >= 100 && without >= 100, "{with} with an answer, {without} without");
    assert!(waiting >= 10, "{waiting} wait for a load");
}

/// The same where the oven is shared.
#[test]
fn what_shares_an_oven_is_proved_as_trying_everything_says() {
    let (with, together) = (AtomicUsize::new(0), AtomicUsize::new(0));
    halves(PROBLEMS / 2, |seed| {
        let problem = shared_oven(seed);
        agrees(&problem, &format!("one oven, seed {seed}"));
        let mut prover = Prover::new(&problem).expect("all of it is modelled");
        prover.advance(u64::MAX, &|| false, &mut |_, _| ());
        let Some((best, _)) = prover.best() else { return };
        with.fetch_add(1, Ordering::Relaxed);
        let bakes: Vec<(i32, i32)> = (0..problem.tasks.len())
            .filter(|&t| problem.active(best, t) && best.setting_c[t].is_some())
            .map(|t| (best.start[t], problem.end_of(best, t)))
            .collect();
        let share = |a: &(i32, i32)| bakes.iter().filter(|b| a.0 < b.1 && b.0 < a.1).count() > 1;
        together.fetch_add(usize::from(bakes.iter().any(share)), Ordering::Relaxed);
    });
    let (with, together) = (with.into_inner(), together.into_inner());
    println!("{with} with an answer, in {together} of them two are in the oven together");
    assert!(with >= 100 && together >= 20, "{with} with an answer, {together} together");
}

/// The same where dishes share work, and the search beside it: it finds an answer
/// nearly wherever there is one, breaks no rule and never claims too much.
#[test]
fn what_dishes_share_is_planned_as_trying_everything_says() {
    let (found, least_found, all) = (AtomicUsize::new(0), AtomicUsize::new(0), AtomicUsize::new(0));
    halves(PROBLEMS / 2, |seed| {
        let problem = jobs(seed);
        agrees(&problem, &format!("jobs, seed {seed}"));
        let mut prover = Prover::new(&problem).expect("all of it is modelled");
        prover.advance(u64::MAX, &|| false, &mut |_, _| ());
        let least = prover.best().map(|b| b.1.total());
        let ask = Ask {
            problem: &problem,
            warm: None,
            ready: &[],
            seed: 1,
            rounds: 500,
            stop: &|| false,
        };
        let answer = search::solve(&ask, &mut |_, _| ());
        let cost = answer.schedule.as_ref().map(|s| judge(&problem, s).expect("valid").total());
        assert!(cost.unwrap_or(i64::MAX) >= least.unwrap_or(i64::MAX), "seed {seed}");
        assert!(answer.bound <= least.unwrap_or(i64::MAX), "seed {seed}: the bound");
        match answer.standing {
            Standing::Best => assert_eq!(cost, least, "seed {seed}: not the best"),
            Standing::Impossible(clash) if clash.proven => assert_eq!(least, None, "seed {seed}"),
            _ => {}
        }
        for (count, is) in [(&all, least.is_some()), (&found, cost.is_some())] {
            count.fetch_add(usize::from(is), Ordering::Relaxed);
        }
        least_found.fetch_add(usize::from(cost.is_some() && cost == least), Ordering::Relaxed);
    });
    let [all, found, least_found] = [all, found, least_found].map(AtomicUsize::into_inner);
    println!("{all} with an answer, {found} found, the least cost of {least_found}");
    assert!(all >= 100 && found * 100 >= all * 90, "{found} of {all} found");
    assert!(least_found * 100 >= all * 80, "{least_found} of {all}");
}

fn agrees(problem: &Problem, name: &str) {
    let mut prover = Prover::new(problem).expect("all of it is modelled");
    let proved = prover.advance(u64::MAX, &|| false, &mut |_, _| ());
    let cost = prover.best().map(|(schedule, cost)| {
        assert_eq!(judge(problem, schedule), Ok(*cost), "{name}: a rule is broken");
        cost.total()
    });
    // What cannot cost less than the answer by being late alone is not tried further.
    let (least, some) = Brute::least(problem, cost);
    assert_eq!(cost, least, "{name}: {proved:?}");
    let expected = if least.is_some() { Proved::Best } else { Proved::Impossible };
    assert_eq!(proved, expected, "{name}");
    assert!(prover.bound() <= least.unwrap_or(i64::MAX), "{name}: the bound");
    for (schedule, cost) in some {
        let mut only = Prover::only(problem, &schedule).expect("all of it is modelled");
        let (bound, proved) = (only.bound(), only.advance(1_000_000, &|| false, &mut |_, _| ()));
        assert_eq!(proved, Proved::Best, "{name}: refused, or of another cost: {schedule:?}");
        assert!(bound <= cost, "{name}: dearer than {cost}, {bound}: {schedule:?}");
    }
}

/// Near a schedule nothing is found that breaks a rule or costs less than the least, and what is learnt there holds for the
/// proof that comes after it.
#[test]
fn what_is_looked_for_near_a_schedule_leaves_the_proof_sound() {
    let (better, least_found) = (AtomicUsize::new(0), AtomicUsize::new(0));
    halves(PROBLEMS / 2, |seed| {
        let problem = if seed % 3 == 0 { jobs(seed) } else { tiny(seed) };
        let mut alone = Prover::new(&problem).expect("all of it is modelled");
        alone.advance(u64::MAX, &|| false, &mut |_, _| ());
        let least = alone.best().map(|b| b.1.total());
        let ask =
            Ask { problem: &problem, warm: None, ready: &[], seed, rounds: 0, stop: &|| false };
        let Some(first) = search::solve(&ask, &mut |_, _| ()).schedule else { return };
        let mut prover = Prover::new(&problem).expect("modelled").with_seed(seed);
        prover.suggest(&first);
        let cost = |p: &Prover| p.best().map(|b| b.1.total());
        let begun = cost(&prover);
        let mut told = i64::MAX;
        let mut found = |s: &_, c: &potwatch::plan::Cost| {
            assert_eq!(judge(&problem, s), Ok(*c), "seed {seed}: a rule is broken");
            assert!(c.total() < told, "seed {seed}: only what is better is told");
            told = c.total();
        };
        for _ in 0..4 {
            prover.look_near(2_000, &|| false, &mut found);
        }
        assert!(cost(&prover) >= least && cost(&prover) <= begun, "seed {seed}");
        better.fetch_add(usize::from(cost(&prover) < begun), Ordering::Relaxed);
        least_found.fetch_add(usize::from(cost(&prover) == least), Ordering::Relaxed);
        assert!(prover.bound() <= least.unwrap_or(i64::MAX), "seed {seed}: the bound");
        if prover.proved() == Proved::Best {
            assert_eq!(cost(&prover), least, "seed {seed}: not the best");
        }
        let proved = prover.advance(u64::MAX, &|| false, &mut |_, _| ());
        assert_eq!((proved, cost(&prover)), (Proved::Best, least), "seed {seed}");
    });
    let (better, least_found) = (better.into_inner(), least_found.into_inner());
    println!("{better} better than the first, {least_found} at the least cost before the proof");
    assert!(better >= 50 && least_found >= 200, "{better} better, {least_found} at the least cost");
}

/// Search and prover together: the same, in few rounds; and never an answer
/// that a little time only leaves unproved and yet calls best.
#[test]
fn search_and_prover_together_find_the_least_cost() {
    halves(PROBLEMS / 5, |seed| {
        let problem = tiny(seed);
        let mut prover = Prover::new(&problem).expect("all of it is modelled");
        prover.advance(u64::MAX, &|| false, &mut |_, _| ());
        let least = prover.best().map(|b| b.1.total());
        for rounds in [0, 20, 2000] {
            let ask =
                Ask { problem: &problem, warm: None, ready: &[], seed: 1, rounds, stop: &|| false };
            let answer = prove::solve(&ask, &mut |_, _| ());
            let cost = answer.schedule.as_ref().map(|s| judge(&problem, s).expect("valid").total());
            assert!(cost.unwrap_or(i64::MAX) >= least.unwrap_or(i64::MAX), "seed {seed}");
            assert!(answer.bound <= least.unwrap_or(i64::MAX), "seed {seed}: the bound");
            match answer.standing {
                Standing::Best => assert_eq!(cost, least, "seed {seed}: not the best"),
                Standing::Impossible(clash) if clash.proven => {
                    assert_eq!(least, None, "seed {seed}: not impossible");
                }
                _ => assert!(rounds < 2000, "seed {seed}: unsettled after {rounds} rounds"),
            }
        }
    });
}

/// The heuristic search alone is not exhaustive; it must never break a rule,
/// claim a proof that is none, or give an answer where there is none.
#[test]
fn the_search_alone_never_claims_more_than_there_is() {
    let (mut least_found, mut solvable) = (0, 0);
    for seed in 1..=200 {
        let problem = tiny(seed);
        let mut prover = Prover::new(&problem).expect("all of it is modelled");
        prover.advance(u64::MAX, &|| false, &mut |_, _| ());
        let least = prover.best().map(|b| b.1.total());
        let ask = Ask {
            problem: &problem,
            warm: None,
            ready: &[],
            seed: 1,
            rounds: 2000,
            stop: &|| false,
        };
        let answer = search::solve(&ask, &mut |_, _| {});
        let cost = answer.schedule.as_ref().map(|s| judge(&problem, s).expect("valid").total());
        assert!(answer.schedule.is_none() || cost == Some(answer.cost.total()), "seed {seed}");
        assert!(least.is_some() || cost.is_none(), "seed {seed}: an answer where there is none");
        assert!(answer.bound <= least.unwrap_or(i64::MAX), "seed {seed}: the bound");
        match answer.standing {
            Standing::Best => assert_eq!(cost, least, "seed {seed}: not the best"),
            Standing::Impossible(clash) if clash.proven => assert_eq!(least, None, "seed {seed}"),
            _ => {}
        }
        solvable += i32::from(least.is_some());
        least_found += i32::from(least.is_some() && cost == least);
    }
    println!("the least cost in {least_found} of {solvable}");
    assert!(least_found * 100 >= solvable * 80, "{least_found} of {solvable}");
}

/// Demands that are said to clash do: without any one of them there is a way
/// (that is what makes the set the smallest), and with all of them there is none.
#[test]
fn demands_that_clash_are_as_few_as_can_be() {
    let patience = Patience { work: u64::MAX, stop: &|| false };
    let (mut without, mut in_time) = (0, 0);
    for seed in 1..=600 {
        let problem = tiny(seed);
        let mut prover = Prover::new(&problem).expect("all of it is modelled");
        let possible = prover.advance(u64::MAX, &|| false, &mut |_, _| ()) == Proved::Best;
        let clash = prove::clash(&problem, &patience);
        assert_eq!(clash.is_none(), possible, "seed {seed}: {clash:?}");
        without += i32::from(clash.is_some());
        match prove::met(&problem, &[], &patience) {
            Met::Yes(schedule) => {
                let late = (0..problem.dishes.len())
                    .map(|d| serving(&problem, &schedule, d).served - problem.dishes[d].due);
                assert!(late.max() <= Some(0), "seed {seed}: late");
                assert!(judge(&problem, &schedule).is_ok(), "seed {seed}: a rule is broken");
                in_time += 1;
            }
            Met::No(Clashing { demands, smallest }) => {
                assert!(smallest, "seed {seed}");
                let all = prove::demands(&problem);
                for &given_up in &demands {
                    // All that is not in the set is given up, and this one.
                    let mut but: Vec<_> =
                        all.iter().copied().filter(|d| !demands.contains(d)).collect();
                    assert!(matches!(prove::met(&problem, &but, &patience), Met::No(_)));
                    but.push(given_up);
                    let met = prove::met(&problem, &but, &patience);
                    assert!(matches!(met, Met::Yes(_)), "seed {seed}: {given_up:?}");
                }
            }
            Met::Open => panic!("seed {seed}: unsettled"),
        }
    }
    // The family holds all kinds, or the test shows nothing.
    assert!(without >= 30 && in_time >= 30, "{without} without an answer, {in_time} in time");
}

/// Cut short it says no more than it knows: that demands clash is certain, that they are as few as can be only where
/// it says so.
#[test]
fn a_clash_that_is_cut_short_is_one_all_the_same() {
    let never = || false;
    let patience = |work: u64| Patience { work, stop: &never };
    let (mut short, mut open) = (0, 0);
    for seed in 1..=150 {
        let problem = tiny(seed);
        let all = prove::demands(&problem);
        let without = |but: &[prove::Demand]| prove::met(&problem, but, &patience(u64::MAX));
        let mut work = 50;
        loop {
            let met = prove::met(&problem, &[], &patience(work));
            work += 1 + work / 4;
            let (demands, smallest) = match met {
                Met::Yes(_) => break,
                Met::Open => {
                    open += 1;
                    continue;
                }
                Met::No(Clashing { demands, smallest }) => (demands, smallest),
            };
            let but: Vec<_> = all.iter().copied().filter(|d| !demands.contains(d)).collect();
            assert!(matches!(without(&but), Met::No(_)), "seed {seed}: {demands:?}");
            if smallest {
                for &given_up in &demands {
                    let met = without(&[&but[..], &[given_up]].concat());
                    assert!(matches!(met, Met::Yes(_)), "seed {seed}: {given_up:?}");
                }
                break;
            }
            short += 1;
        }
    }
    // The family holds both, or the test shows nothing.
    assert!(short > 0 && open > 0, "{short} cut short, {open} not seen");
}
