//! Works on the proof that a plan is best when nobody waits for it any more.
//!
//! What has been learnt is kept from one piece of work to the next; the pieces
//! are counted in work, so that the same pieces end in the same answer.

use super::Plan;
use super::blocks::Proof;
use super::judge::judge;
use super::planner::{Planning, within};
use super::prove::{Proved, Prover};

/// Work after which it is given up, in the unit of [`Prover::advance`]: about a
/// minute of one core, measured on parties of forty steps.
const WORK_IN_ALL: u64 = 400_000_000;

/// The proof of one plan, as far as it has come.
#[derive(Debug)]
pub struct Pursuit<'a> {
    prover: Prover<'a>,
    /// What the plan costs.
    cost: i64,
}

impl<'a> Pursuit<'a> {
    /// Begins, for a plan of this evening. None: the plan breaks a rule as the
    /// evening now stands, or something of the evening is not modelled.
    #[must_use]
    pub fn of(planning: &'a Planning<'_>, plan: &Plan) -> Option<Self> {
        let problem = planning.problem();
        let schedule = planning.schedule_of(plan);
        let cost = judge(problem, &schedule).ok()?.total();
        let mut prover = Prover::new(problem).ok()?;
        prover.suggest(&schedule);
        // A model that refuses a plan which keeps every rule proves nothing.
        (prover.proved() != Proved::Impossible).then_some(Self { prover, cost })
    }

    /// Goes on for at most so much work, or until `stop`.
    pub fn go_on(&mut self, work: u64, stop: &(dyn Fn() -> bool + Sync)) {
        if !self.is_over() {
            self.prover.advance(work, stop, &mut |_, _| ());
        }
    }

    /// Is there nothing more to be learnt, or was enough spent on it?
    #[must_use]
    pub fn is_over(&self) -> bool {
        self.prover.proved() != Proved::Open || self.prover.work() >= WORK_IN_ALL
    }

    /// What is known of the plan by now. Where a better one was met, the plan is
    /// not best, and how far it may be from best is still told.
    #[must_use]
    pub fn known(&self) -> Proof {
        match self.prover.bound() {
            bound if bound >= self.cost => Proof::Best,
            bound => within(self.cost, bound),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Situation;
    use crate::plan::planner::Budget;
    use crate::plan::sample::evening;

    const NEVER: &(dyn Fn() -> bool + Sync) = &|| false;

    /// In pieces as small as may be: what is learnt in one is not lost for the next.
    fn pursued(rounds: u64) -> (Proof, Proof) {
        let (evening, ahead) = (evening(), Situation::default());
        let planning = Planning::new(&evening, &ahead).expect("a problem");
        let budget = Budget { seed: 3, rounds, stop: NEVER };
        let (plan, _) = planning.search(None, &budget).expect("a plan");
        let mut pursuit = Pursuit::of(&planning, &plan).expect("it keeps every rule");
        let before = pursuit.known();
        for _ in 0..100_000 {
            if pursuit.is_over() {
                break;
            }
            pursuit.go_on(2_000, NEVER);
        }
        assert!(pursuit.is_over(), "nothing is learnt from piece to piece");
        (before, pursuit.known())
    }

    #[test]
    fn the_best_plan_is_said_to_be_best_in_the_end() {
        let (before, after) = pursued(20_000);
        assert_ne!(before, Proof::Best, "before any work");
        assert_eq!(after, Proof::Best);
    }

    /// A plan of no search at all is not best; it is never said to be.
    #[test]
    fn a_plan_that_is_not_best_is_told_how_far_off_it_is() {
        let (_, after) = pursued(0);
        assert!(matches!(after, Proof::WithinPermille(1..)), "{after:?}");
    }

    #[test]
    fn a_question_stops_it_at_once() {
        let (evening, ahead) = (evening(), Situation::default());
        let planning = Planning::new(&evening, &ahead).expect("a problem");
        let budget = Budget { seed: 3, rounds: 0, stop: NEVER };
        let (plan, _) = planning.search(None, &budget).expect("a plan");
        let mut pursuit = Pursuit::of(&planning, &plan).expect("it keeps every rule");
        pursuit.go_on(u64::MAX, &|| true);
        assert!(!pursuit.is_over());
    }
}
