//! The planner and OR-Tools CP-SAT side by side, in one run, on the family of
//! parties (`tests/family`), as they lie ahead and some way into the evening:
//!
//! `cargo test --release --test bench beside -- --ignored --nocapture`
//!
//! Both solve the same problem of integers. Every answer is judged by the
//! written rules (`plan/judge.rs`), CP-SAT's too: so the two readings of the
//! rules check each other, and a cost below the other's proved bound fails the
//! run. CP-SAT's time runs from its presolve on; building its model in Python
//! is not counted. Some way into the evening it is given the plan on the
//! screen as a hint, as ours is.
//!
//! Needs a Python that has ortools 9.12: `BENCH_PYTHON`, or the one that
//! `tests/outside/run` makes. `BENCH_STEPS=20,40` and `BENCH_SEEDS=1,2` choose
//! members, `BENCH_SECONDS=0.2` makes all time limits so many times as long.

mod cp_sat;
mod ours;
mod table;

use std::path::{Path, PathBuf};

use potwatch::kitchen::Evening;
use potwatch::plan::planner::Planning;
use potwatch::plan::problem::{Problem, Schedule};
use potwatch::plan::{Situation, judge};

use crate::family::{Member, SIZES, Tightness, members, midway};

/// A question that both are asked.
pub struct Case {
    pub member: Member,
    pub midway: bool,
    pub evening: Evening,
    pub situation: Situation,
}

impl Case {
    pub fn name(&self) -> String {
        self.member.name() + if self.midway { " mid" } else { "" }
    }
}

/// What one solver did with a case.
#[derive(Debug, Clone, Default)]
pub struct Run {
    /// Milliseconds to the first valid answer.
    pub first_ms: Option<f64>,
    /// Milliseconds and cost of each better answer.
    pub found: Vec<(f64, i64)>,
    /// The best answer's cost, as judged.
    pub cost: Option<i64>,
    /// No answer costs less, it says.
    pub bound: i64,
    /// Milliseconds to its proof: that its answer is the best, or that there is none.
    pub proof_ms: Option<f64>,
    /// It proved that there is no answer.
    pub impossible: bool,
}

impl Run {
    /// The best cost after so many milliseconds.
    pub fn at(&self, ms: f64) -> Option<i64> {
        self.found.iter().filter(|f| f.0 <= ms).map(|f| f.1).min()
    }
}

/// A case and its runs: ours with each number of threads, CP-SAT with 1 and 2 workers.
pub struct Row {
    pub steps: usize,
    pub midway: bool,
    pub impossible: bool,
    pub name: String,
    pub tasks: usize,
    pub ours: Run,
    pub theirs: Vec<Run>,
}

impl Row {
    /// The least cost that anybody found.
    pub fn best(&self) -> Option<i64> {
        self.theirs.iter().chain([&self.ours]).filter_map(|run| run.cost).min()
    }
}

fn numbers(name: &str, usual: &[u64]) -> Vec<u64> {
    let list = std::env::var(name).ok();
    list.map_or(usual.to_vec(), |l| l.split(',').filter_map(|n| n.trim().parse().ok()).collect())
}

/// Seconds that each solver has for a case.
fn seconds(steps: usize) -> f64 {
    let times = std::env::var("BENCH_SECONDS").ok().and_then(|t| t.parse().ok()).unwrap_or(1.0);
    times * [5.0, 10.0, 15.0, 20.0, 30.0][SIZES.iter().position(|&s| s >= steps).unwrap_or(4)]
}

fn cases(member: Member) -> Vec<Case> {
    let evening = member.evening();
    let ahead = Situation::default();
    let mut cases =
        vec![Case { member, midway: false, evening: evening.clone(), situation: ahead }];
    if let Ok(plan) = midway::shown(&evening, midway::ROUNDS) {
        let situation = midway::situation(&member, &evening, plan);
        cases.push(Case { member, midway: true, evening, situation });
    }
    cases
}

fn python() -> Option<PathBuf> {
    let usual = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/.venv/bin/python");
    Some(std::env::var_os("BENCH_PYTHON").map_or(usual, PathBuf::from)).filter(|p| p.is_file())
}

fn row(case: &Case, python: Option<&Path>) -> Row {
    let planning = Planning::new(&case.evening, &case.situation).expect("a problem");
    let (problem, shown) = (planning.problem(), planning.shown());
    let seconds = seconds(case.member.steps);
    let ours = ours::run(case, problem, shown.as_ref(), seconds);
    let theirs = python.map_or_else(Vec::new, |python| {
        let run = |workers| cp_sat::run(python, problem, shown.as_ref(), seconds, workers);
        vec![run(1), run(2)]
    });
    let row = Row {
        steps: case.member.steps,
        midway: case.midway,
        impossible: case.member.impossible(),
        name: case.name(),
        tasks: problem.tasks.len(),
        ours,
        theirs,
    };
    agree(&row);
    row
}

/// Nobody's answer costs less than anybody's proved bound, and nobody finds
/// what another proved not to be there.
fn agree(row: &Row) {
    let runs: Vec<&Run> = row.theirs.iter().chain([&row.ours]).collect();
    for one in &runs {
        for other in &runs {
            if let Some(cost) = one.cost {
                assert!(other.bound <= cost, "{}: bound {} > {cost}", row.name, other.bound);
                assert!(!other.impossible, "{}: called impossible", row.name);
            }
        }
    }
}

/// The cost of an answer that keeps the rules.
fn judged(problem: &Problem, schedule: &Schedule) -> i64 {
    match judge::judge(problem, schedule) {
        Ok(cost) => cost.total(),
        Err(faults) => panic!("an answer breaks the rules: {faults:?}"),
    }
}

#[test]
#[ignore = "a measurement"]
fn beside() {
    let python = python();
    if python.is_none() {
        println!("no Python with ortools: CP-SAT is left out");
    }
    let steps = numbers("BENCH_STEPS", &SIZES.map(|s| s as u64));
    let seeds = numbers("BENCH_SEEDS", &[1]);
    let mut chosen = members(seeds.into_iter().collect::<Vec<_>>().into_iter());
    // The clash, once for each size.
    chosen.extend(SIZES.map(|steps| Member { steps, tightness: Tightness::OverTight, seed: 2 }));
    chosen.retain(|m| steps.contains(&(m.steps as u64)));
    chosen.sort_unstable();
    chosen.dedup();
    println!("load when begun: {}", table::load());
    table::head();
    let mut rows = Vec::new();
    for case in chosen.into_iter().flat_map(cases) {
        let row = row(&case, python.as_deref());
        table::line(&row);
        rows.push(row);
    }
    table::summary(&rows);
    println!("load when ended: {}", table::load());
}
