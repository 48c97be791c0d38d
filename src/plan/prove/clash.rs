//! Can every demand be met, and if not, which ones clash?

use super::demand::Demand;
use super::engine::{Limits, Lit, Outcome};
use super::model::{Model, NotModelled};
use crate::plan::judge::judge;
use crate::plan::problem::{Problem, Schedule};

/// How long to look.
#[derive(Clone, Copy)]
pub struct Patience<'a> {
    /// At most so much work, in the unit of [`super::Prover::advance`].
    pub work: u64,
    /// Asked often; true ends it.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

/// Demands that cannot all be met.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clashing {
    /// Which. Empty: not even what is no demand goes together.
    pub demands: Vec<Demand>,
    /// It is certain that with any one of them less the rest can be met. Certain
    /// in any case is that together they cannot.
    pub smallest: bool,
}

/// Whether all demands can be met.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Met {
    /// By this schedule, whatever it costs; every dish is served when due.
    Yes(Schedule),
    /// These clash.
    No(Clashing),
    /// It was stopped, or the problem holds something that is not modelled.
    Open,
}

/// Looks for a schedule that keeps every rule and serves every dish when it is
/// due, or for a smallest set of demands that clash. `but` are demands given up.
#[must_use]
pub fn met(problem: &Problem, but: &[Demand], patience: &Patience<'_>) -> Met {
    look(problem, but, true, patience).unwrap_or(Met::Open)
}

/// A smallest set of demands for which a problem has no schedule at all, late
/// or not. None if it has one, or if that was not settled.
#[must_use]
pub fn clash(problem: &Problem, patience: &Patience<'_>) -> Option<Clashing> {
    match look(problem, &[], false, patience) {
        Ok(Met::No(clashing)) => Some(clashing),
        _ => None,
    }
}

/// All demands of a problem; none if it holds something that is not modelled.
#[must_use]
pub fn demands(problem: &Problem) -> Vec<Demand> {
    let model = Model::of_demands(problem);
    model.map_or_else(|_| Vec::new(), |m| m.demands.into_iter().flatten().map(|d| d.0).collect())
}

fn look(
    problem: &Problem,
    but: &[Demand],
    in_time: bool,
    patience: &Patience<'_>,
) -> Result<Met, NotModelled> {
    let mut model = Model::of_demands(problem)?;
    let kept = |d: &Demand| !but.contains(d) && (in_time || !matches!(d, Demand::Due { .. }));
    let all: Vec<(Demand, Lit)> =
        model.demands.iter().flatten().copied().filter(|d| kept(&d.0)).collect();
    let lits: Vec<Lit> = all.iter().map(|d| d.1).collect();
    model.engine.dive_by(model.choices());
    match solve(&mut model, &lits, patience) {
        Outcome::Found => {
            let schedule = model.schedule();
            // With demands given up it breaks rules of the problem as it is.
            let sound = !but.is_empty() || judge(problem, &schedule).is_ok();
            Ok(if sound { Met::Yes(schedule) } else { Met::Open })
        }
        Outcome::Refuted(core) => Ok(Met::No(smaller(&mut model, &all, core, patience))),
        Outcome::Stopped => Ok(Met::Open),
    }
}

fn solve(model: &mut Model<'_>, lits: &[Lit], patience: &Patience<'_>) -> Outcome {
    let work = patience.work.saturating_sub(model.engine.work);
    let limits = Limits { conflicts: u64::MAX, work, stop: patience.stop };
    model.engine.solve(lits, false, &limits)
}

/// Lets one demand after the other go, as long as the rest still clashes.
fn smaller(
    model: &mut Model<'_>,
    all: &[(Demand, Lit)],
    core: Vec<usize>,
    patience: &Patience<'_>,
) -> Clashing {
    let mut set = core;
    // Last to go: what a cook would name first.
    set.sort_by_key(|&i| (rank(all[i].0), all[i].0));
    let (mut k, mut smallest) = (0, true);
    while k < set.len() {
        let rest: Vec<usize> = set.iter().copied().filter(|&i| i != set[k]).collect();
        let lits: Vec<Lit> = rest.iter().map(|&i| all[i].1).collect();
        match solve(model, &lits, patience) {
            Outcome::Refuted(core) => {
                let needed: Vec<usize> = core.iter().map(|&c| rest[c]).collect();
                set.retain(|i| needed.contains(i));
            }
            Outcome::Found => k += 1,
            Outcome::Stopped => {
                smallest = false;
                k += 1;
            }
        }
    }
    let mut demands: Vec<Demand> = set.iter().map(|&i| all[i].0).collect();
    demands.sort_unstable();
    Clashing { demands, smallest }
}

const fn rank(demand: Demand) -> u8 {
    match demand {
        Demand::Capacity { .. } | Demand::End { .. } => 0,
        Demand::Most { .. } | Demand::HoldMost { .. } => 1,
        Demand::Open { .. } | Demand::Earliest { .. } => 2,
        Demand::Limit { .. } | Demand::Latest { .. } => 3,
        Demand::Due { .. } => 4,
    }
}
