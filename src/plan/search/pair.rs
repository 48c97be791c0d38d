//! Two searches of one problem that go different ways: the better one counts.
//!
//! How good a schedule is found soon depends much on chance, so two short
//! searches find more than one that is twice as long. They meet after counted
//! rounds: whether they went on side by side or one after the other, the same
//! comes of it.

use super::in_work::{Ground, Search};
use super::rng::Rng;
use super::{Answer, Begin, Clash};
use crate::plan::Cost;
use crate::plan::problem::{Problem, Schedule};

/// Does two pieces of work and is done when both are: the first where it is called, the
/// other beside it, if it can.
pub type Both<'a> = &'a (dyn Fn(&mut dyn FnMut(), &mut (dyn FnMut() + Send)) + Sync);

/// Rounds after which they meet: some milliseconds.
const ROUNDS_APART: u64 = 96;
/// Rounds after which the one that got less far goes on from the other's best; each time
/// it is twice as long till the next.
const FIRST_EXCHANGE: u64 = 600;
/// The same where they began from different plans.
const FIRST_EXCHANGE_APART: u64 = 2_400;

/// One search, or two of them.
pub struct Pair<'g, 'b> {
    /// The one that has got further.
    one: Search<'g>,
    other: Option<(Search<'g>, Both<'b>)>,
    rounds: u64,
    exchange: u64,
}

impl<'g, 'b> Pair<'g, 'b> {
    /// Begins as [`Search::begin`] does; with two of them if there is something to do both. Where plans were made ready the
    /// other goes on from the plan on the screen alone: what is cheaper at once is not always what more can be made of.
    ///
    /// # Errors
    /// As there.
    pub fn begin(
        problem: &Problem,
        ground: &'g Ground,
        begin: Begin<'_>,
        both: Option<Both<'b>>,
        stop: &(dyn Fn() -> bool + Sync),
        found: &mut dyn FnMut(&Schedule, &Cost),
    ) -> Result<Self, Clash> {
        let one = Search::begin(problem, ground, begin, stop, found)?;
        let Some(both) = both else {
            return Ok(Self { one, other: None, rounds: 0, exchange: FIRST_EXCHANGE });
        };
        let apart = (!begin.ready.is_empty()).then(|| {
            let own = Begin { ready: &[], seed: Rng::new(begin.seed).bits(), ..begin };
            Search::begin(problem, ground, own, stop, &mut |_, _| ()).ok()
        });
        let (other, exchange) = match apart {
            Some(other) => (other, FIRST_EXCHANGE_APART),
            None => (one.twin(begin.seed), FIRST_EXCHANGE),
        };
        Ok(Self { one, other: other.map(|other| (other, both)), rounds: 0, exchange })
    }

    /// The best schedule so far, and its cost.
    pub const fn best(&self) -> Option<&(Schedule, Cost)> {
        self.one.best()
    }

    /// What is known at the end.
    pub fn answer(&self) -> Answer {
        self.one.answer()
    }

    /// Goes on from a better schedule found elsewhere.
    pub fn adopt(&mut self, schedule: &Schedule, cost: Cost) {
        self.one.adopt(schedule, cost);
    }

    /// Goes on for so many rounds (each of the two), or until `stop`.
    pub fn advance(
        &mut self,
        rounds: u64,
        stop: &(dyn Fn() -> bool + Sync),
        found: &mut dyn FnMut(&Schedule, &Cost),
    ) {
        let mut left = rounds;
        while left > 0 && !stop() {
            let Some((other, both)) = &mut self.other else {
                return self.one.advance(left, stop, found);
            };
            let piece = left.min(ROUNDS_APART);
            left -= piece;
            self.rounds += piece;
            let one = &mut self.one;
            both(&mut || one.advance(piece, stop, found), &mut || {
                other.advance(piece, stop, &mut |_, _| ());
            });
            self.meet(found);
        }
    }

    /// The one that has got further comes first; now and then the other goes on from there.
    fn meet(&mut self, found: &mut dyn FnMut(&Schedule, &Cost)) {
        let Some((other, _)) = &mut self.other else { return };
        let cost = |search: &Search| search.best().map_or(i64::MAX, |b| b.1.total());
        if cost(other) < cost(&self.one) {
            std::mem::swap(&mut self.one, other);
            if let Some((schedule, cost)) = self.one.best() {
                found(schedule, cost);
            }
        }
        if self.rounds >= self.exchange {
            self.exchange *= 2;
            if let Some((schedule, cost)) = self.one.best() {
                other.adopt(schedule, *cost);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::planner::Planning;
    use crate::plan::{Situation, sample};

    #[test]
    fn side_by_side_is_as_one_after_the_other() {
        let (evening, situation) = (sample::evening(), Situation::default());
        let planning = Planning::new(&evening, &situation).expect("a problem");
        let problem = planning.problem();
        let threads = |one: &mut dyn FnMut(), other: &mut (dyn FnMut() + Send)| {
            std::thread::scope(|scope| {
                scope.spawn(other);
                one();
            });
        };
        let by_turns = |one: &mut dyn FnMut(), other: &mut (dyn FnMut() + Send)| {
            one();
            other();
        };
        let solved = |both: Both<'_>, seed: u64, from: &[Schedule]| {
            let ground = Ground::of(problem).expect("sound");
            let begin = Begin { warm: from.first(), ready: from.get(1..).unwrap_or(&[]), seed };
            let mut told = i64::MAX;
            let mut found = |_: &Schedule, cost: &Cost| {
                assert!(cost.total() < told, "only what is better is told");
                told = cost.total();
            };
            let both = Some(both);
            let pair = Pair::begin(problem, &ground, begin, both, &|| false, &mut found);
            let mut pair = pair.expect("a schedule");
            pair.advance(700, &|| false, &mut found);
            pair.advance(100, &|| false, &mut found);
            pair.best().cloned().expect("a schedule")
        };
        for seed in 1..4 {
            let (best, cost) = solved(&threads, seed, &[]);
            assert_eq!(solved(&by_turns, seed, &[]), (best.clone(), cost));
            // From a plan on the screen and one that was made ready: each of the two goes on from its own.
            let ground = Ground::of(problem).expect("sound");
            let begin = Begin { warm: None, ready: &[], seed: seed + 10 };
            let other = Search::begin(problem, &ground, begin, &|| false, &mut |_, _| ());
            let (other, _) = other.ok().and_then(|s| s.best().cloned()).expect("a schedule");
            let from = [other, best];
            let ready = solved(&threads, seed, &from);
            assert_eq!(solved(&by_turns, seed, &from), ready);
            assert!(ready.1.total() <= cost.total(), "no dearer than what was made ready");
        }
    }
}
