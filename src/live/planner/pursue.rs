//! The proof that the plan on the screen is best goes on when nothing is asked:
//! in small pieces with rests between, on the planner's thread, and it gives way
//! at once.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::Ordering;
use std::sync::{Arc, PoisonError};
use std::time::{Duration, Instant};

use super::{Desk, OddsQuestion, Shared, Told, weigh};
use crate::plan::planner::Planning;
use crate::plan::pursuit::Pursuit;
use crate::plan::{Plan, Proof};

/// Work of one piece: some tens of milliseconds.
const PIECE: u64 = 150_000;
/// It rests so many times as long as it worked, so that it takes a third of a core.
const RESTS: u32 = 2;
/// It works so long on one plan and no longer: what is not proved by then hardly ever is later, and
/// a laptop on its battery has an evening to last.
const MOST_WORK: Duration = Duration::from_secs(60);
/// It begins when nothing was asked for so long: laying out a large evening takes some
/// milliseconds in which it cannot give way.
const QUIET: Duration = Duration::from_millis(400);
/// The shortest rest.
const SHORTEST_REST: Duration = Duration::from_millis(5);

/// What was pursued before.
#[derive(Default)]
pub(super) struct Proofs {
    /// Of this plan no more will be known.
    done: Option<Arc<Plan>>,
}

impl Proofs {
    /// Works on the proof of the plan that was asked about, until something else is asked.
    pub fn pursue(&mut self, shared: &Shared, question: &OddsQuestion, tell: &dyn Fn(Told)) {
        let plan = &question.plan;
        let known = self.done.as_ref().is_some_and(|done| Arc::ptr_eq(done, plan));
        if known || plan.proof == Proof::Best {
            return;
        }
        // A fault of the program leaves the cook without a figure, no more.
        let all = catch_unwind(AssertUnwindSafe(|| go_on(shared, question, tell)));
        if all.unwrap_or(true) {
            self.done = Some(Arc::clone(plan));
        }
    }
}

/// True: all was done that will be.
fn go_on(shared: &Shared, question: &OddsQuestion, tell: &dyn Fn(Told)) -> bool {
    let OddsQuestion { evening, situation, plan, .. } = question;
    rest(shared, QUIET);
    if !give_way(shared, plan, tell) {
        return false;
    }
    let Ok(planning) = Planning::new(evening, situation) else { return true };
    let Some(mut pursuit) = Pursuit::of(&planning, plan) else { return true };
    let mut told = plan.proof;
    let is_asked = || shared.desk().is_asked() || has_ended(shared);
    let mut worked = Duration::ZERO;
    while !pursuit.is_over() && worked < MOST_WORK {
        let began = Instant::now();
        pursuit.go_on(PIECE, &is_asked);
        let took = began.elapsed();
        worked += took;
        let known = pursuit.known();
        if is_news(told, known) {
            told = known;
            tell(Told::Proof(Arc::clone(plan), known));
        }
        if pursuit.is_over() {
            break;
        }
        rest(shared, (took * RESTS).max(SHORTEST_REST));
        if !give_way(shared, plan, tell) {
            return false;
        }
    }
    true
}

/// Is it more than was said, by a hundredth at least?
fn is_news(told: Proof, known: Proof) -> bool {
    match (told, known) {
        (Proof::Best, _) | (_, Proof::Stopped) => false,
        (_, Proof::Best) | (Proof::Stopped, _) => true,
        (Proof::WithinPermille(told), Proof::WithinPermille(known)) => {
            known.div_ceil(10) < told.div_ceil(10)
        }
    }
}

/// Waits for so long, or until something is asked.
fn rest(shared: &Shared, time: Duration) {
    let desk = shared.desk();
    if !desk.is_asked() && !has_ended(shared) {
        drop(shared.rung.wait_timeout(desk, time).unwrap_or_else(PoisonError::into_inner));
    }
}

/// Answers how the same plan fares, if that is asked. False: something else is asked.
fn give_way(shared: &Shared, plan: &Arc<Plan>, tell: &dyn Fn(Told)) -> bool {
    if has_ended(shared) {
        return false;
    }
    let mut desk = shared.desk();
    if desk.plan.is_some() || desk.odds.as_ref().is_some_and(|o| !Arc::ptr_eq(&o.plan, plan)) {
        return false;
    }
    let odds = desk.odds.take();
    drop(desk);
    if let Some(odds) = odds {
        weigh(&odds, tell);
    }
    true
}

fn has_ended(shared: &Shared) -> bool {
    shared.latest.load(Ordering::SeqCst) == u64::MAX
}

impl Desk {
    fn is_asked(&self) -> bool {
        self.plan.is_some() || self.odds.is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_told_gets_better_only() {
        let within = Proof::WithinPermille;
        assert!(is_news(Proof::Stopped, within(900)) && is_news(within(1), Proof::Best));
        assert!(is_news(within(41), within(31)) && !is_news(within(40), within(31)));
        assert!(!is_news(within(30), within(41)) && !is_news(within(30), Proof::Stopped));
        assert!(!is_news(Proof::Best, within(0)));
    }
}
