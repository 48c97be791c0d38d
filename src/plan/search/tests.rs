//! The pieces of the search against the judge and against trying everything, on tiny problems of all kinds.

#[path = "../../../tests/plan_oracle/jobs.rs"]
pub mod jobs;
#[path = "../../../tests/bench/kitchens.rs"]
pub mod kitchens;
#[path = "../../../tests/plan_oracle/midway.rs"]
#[allow(dead_code, reason = "each target uses its part")]
pub mod midway;
#[path = "../../../tests/plan_oracle/tiny.rs"]
#[allow(dead_code, reason = "each target uses its part")]
pub mod tiny;

mod claims;
mod costs;
mod in_order;
mod minutes;
mod quality;
mod starts;
mod trees;
mod windows;

use super::insert::Inserter;
use super::model::Model;
use super::rng::Rng;
use super::state::State;
use super::{Ask, begin};
use crate::plan::judge::judge;
use crate::plan::problem::{Mode, Problem, Resource, Schedule, Step, Task, Use};
use crate::plan::prove::Prover;

pub const NEVER: &(dyn Fn() -> bool + Sync) = &|| false;

/// A tiny problem: of a party ahead, of an evening half over, or with jobs that dishes share.
pub fn some(seed: u64) -> Problem {
    match seed % 4 {
        0 => jobs::jobs(seed),
        1 => midway::midway(seed),
        _ => tiny::tiny(seed),
    }
}

/// Does a dish wait already for longer than a limit allows that is never exceeded? The builder of problems puts a price on
/// such a limit instead; what the search finds here the judge would refuse.
pub fn waits_too_long(p: &Problem) -> bool {
    p.dishes.iter().any(|d| {
        let step = &p.steps[d.last_step];
        let ends: Option<Vec<i32>> =
            step.tasks().map(|t| p.tasks[t].fixed.map(|f| f.end)).collect();
        let served = ends.and_then(|e| e.into_iter().max()).map(|ready| ready.max(d.due));
        let (Some(h), Some(served)) = (d.held, served) else { return false };
        d.holds[h].limits.iter().filter(|l| l.soft_most.is_none()).any(|l| {
            let since =
                p.tasks[l.from.task].fixed.map(|f| if l.from.end { f.end } else { f.start });
            since.is_some_and(|since| served - since > l.most)
        })
    })
}

/// Steps of so many minutes, each on the resources given; there are two of them, with room for one.
pub fn steps(all: &[(i32, &[usize])]) -> Problem {
    let step = |(i, &(minutes, uses)): (usize, &(i32, &[usize]))| Step {
        modes: vec![Mode {
            minutes,
            loads: 1,
            uses: uses.iter().map(|&resource| Use { resource, amount: 1 }).collect(),
            ..Mode::default()
        }],
        first_task: i,
        task_count: 1,
        ..Step::default()
    };
    Problem {
        end: 100,
        steps: all.iter().enumerate().map(step).collect(),
        tasks: (0..all.len())
            .map(|step| Task { step, latest: i32::MAX, ..Task::default() })
            .collect(),
        resources: vec![Resource { capacity: 1, closed: vec![] }; 2],
        ..Problem::default()
    }
}

/// The same, all of it so many minutes later.
pub fn later(p: &Problem, by: i32) -> Problem {
    let mut p = p.clone();
    for minute in [&mut p.start, &mut p.end, &mut p.effort_until] {
        *minute += by;
    }
    for closed in p.resources.iter_mut().flat_map(|r| &mut r.closed) {
        *closed = (closed.0 + by, closed.1 + by);
    }
    for task in &mut p.tasks {
        task.earliest += by;
        task.latest = task.latest.saturating_add(by);
        if let Some(f) = &mut task.fixed {
            (f.start, f.end) = (f.start + by, f.end + by);
        }
    }
    p.dishes.iter_mut().for_each(|d| d.due += by);
    p.anchors.iter_mut().for_each(|a| a.start += by);
    p
}

/// A whole schedule, not yet made better; None if none is found so soon.
pub fn whole(m: &Model, seed: u64) -> Option<State<'_>> {
    let (mut inserter, mut rng) = (Inserter::default(), Rng::new(seed));
    inserter.late_room = 60;
    if begin::windows_clash(m).is_some() || waits_too_long(&m.p) {
        return None;
    }
    begin::attempt(m, &mut inserter, seed as usize % 12, &mut rng).ok()
}

/// What a state costs, as the judge says it; None if it breaks a rule.
pub fn judged(problem: &Problem, state: &State) -> Option<i64> {
    judge(problem, &state.m.outward(&state.schedule())).ok().map(|cost| cost.total())
}

/// The least cost of a tiny problem, None if it has no schedule.
pub fn least(problem: &Problem) -> Option<i64> {
    let mut prover = Prover::new(problem).expect("all of it is modelled");
    prover.advance(u64::MAX, NEVER, &mut |_, _| ());
    prover.best().map(|b| b.1.total())
}

/// The plain question: so many rounds from nothing.
pub fn ask(problem: &Problem, rounds: u64) -> Ask<'_> {
    Ask { problem, warm: None, ready: &[], seed: 1, rounds, stop: NEVER }
}

/// Starts of all tasks that are done.
pub fn starts(problem: &Problem, s: &Schedule) -> Vec<(usize, i32)> {
    (0..s.start.len()).filter(|&t| problem.active(s, t)).map(|t| (t, s.start[t])).collect()
}

/// The same of those that are still to begin.
pub fn open_starts(problem: &Problem, s: &Schedule) -> Vec<(usize, i32)> {
    let open = |&(t, _): &(usize, i32)| problem.tasks[t].fixed.is_none();
    starts(problem, s).into_iter().filter(open).collect()
}

/// A schedule with each set of its open tasks a minute earlier and a minute later together.
pub fn a_minute_away(problem: &Problem, s: &Schedule) -> impl Iterator<Item = Schedule> {
    let open = open_starts(problem, s);
    let sets = (1..1u32 << open.len()).flat_map(|set| [(set, -1), (set, 1)]);
    sets.map(move |(set, by)| {
        let mut moved = s.clone();
        for (i, &(t, at)) in open.iter().enumerate() {
            moved.start[t] = at + by * (set >> i & 1) as i32;
        }
        moved
    })
}
