//! The planner on a case.

use std::time::{Duration, Instant};

use potwatch::plan::Plan;
use potwatch::plan::planner::{Budget, Planning, reshuffle};
use potwatch::plan::problem::{Problem, Schedule};
use potwatch::plan::prove::solve;
use potwatch::plan::search::{Ask, Standing};

use super::{Case, Run, judged};

fn ms(since: Instant) -> f64 {
    since.elapsed().as_secs_f64() * 1000.0
}

/// The first plan is timed as the cook waits for it: from what has happened to
/// a plan that has passed its checks, the median of five. The rest is search and
/// prover by turns on one thread, as the program has them.
pub fn run(case: &Case, problem: &Problem, shown: Option<&Schedule>, seconds: f64) -> Run {
    let mut firsts: Vec<f64> = (0..5).filter_map(|_| first(case)).collect();
    firsts.sort_unstable_by(f64::total_cmp);
    let begun = Instant::now();
    let budget = Duration::from_secs_f64(seconds);
    let stop = || begun.elapsed() >= budget;
    let ask = Ask { problem, warm: shown, ready: &[], seed: 1, rounds: u64::MAX, stop: &stop };
    let mut found = Vec::new();
    let answer = solve(&ask, &mut |_, cost| found.push((ms(begun), cost.total())));
    let took = ms(begun);
    if answer.schedule.is_none() && !impossible(&answer.standing) {
        return planned(case, firsts.first().copied(), seconds);
    }
    let impossible = impossible(&answer.standing);
    let proved = impossible || answer.standing == Standing::Best;
    Run {
        first_ms: firsts.get(firsts.len() / 2).copied(),
        found,
        cost: answer.schedule.as_ref().map(|s| judged(problem, s)),
        bound: answer.bound,
        proof_ms: proved.then_some(took),
        impossible,
    }
}

fn impossible(standing: &Standing) -> bool {
    matches!(standing, Standing::Impossible(clash) if clash.proven)
}

/// Where the search finds no beginning by itself: the planner, which then aims
/// at later services first.
fn planned(case: &Case, first_ms: Option<f64>, seconds: f64) -> Run {
    let begun = Instant::now();
    let stop = || begun.elapsed() >= Duration::from_secs_f64(seconds);
    let budget = Budget { seed: 1, rounds: u64::MAX, stop: &stop };
    let mut found = Vec::new();
    let mut tell = |plan: &Plan| found.push((ms(begun), plan.cost.total()));
    let plan = reshuffle(&case.evening, &case.situation, &budget, &mut tell);
    let (cost, bound) = plan.map_or((None, 0), |p| (Some(p.cost.total()), p.bound));
    Run { first_ms, found, cost, bound, proof_ms: None, impossible: false }
}

fn first(case: &Case) -> Option<f64> {
    let begun = Instant::now();
    let planning = Planning::new(&case.evening, &case.situation).ok()?;
    planning.first().ok()?;
    Some(ms(begun))
}
