//! The search: a first schedule at once, then better ones for as long as it
//! may, and a bound below which no schedule can cost.
//!
//! It is pure. It reads no clock: [`Ask::stop`] is asked now and then, and a
//! budget of rounds ends it the same way on every machine. The same problem,
//! seed and rounds (and no stop) give the same answer.
//!
//! How it works, from the bottom up:
//! - [`bits`], [`profile`], [`oven`]: what is left at each minute, as bits;
//! - [`offer`], [`hold`]: all starts of one task with their prices, and the
//!   ways in which a finished dish can wait;
//! - [`reach`], [`slide`], [`program`], [`insert`]: a whole dish put in at its cheapest
//!   place, by a dynamic program over its tree of steps;
//! - [`shown`]: what becomes of the plan on the screen when something must be later;
//! - [`begin`], [`improve`]: dish after dish for the first answer, then a few
//!   dishes out and back in, again and again;
//! - [`beyond`]: a first schedule by way of a longer day, where the day is too full for that;
//! - [`rail`]: rough schedules by the thousand, tried by turns with that: a change
//!   of the order, and all that comes after it put in anew as soon as it fits, given up as soon as
//!   what stands already says that it gets too dear ([`foresight`]);
//! - [`in_work`]: both by turns, to be left and gone on with; [`pair`]: two of them at a time;
//! - [`timing`], [`ties`], [`cut`]: the best minutes of all for an order, for
//!   each better schedule, and for the plan on the screen when it must be put off;
//! - [`bound`]: what cannot be avoided, and the place for a prover;
//! - [`project`]: benchmark problems without dishes;
//! - [`blame`], [`workload`]: what clashes, where there is no schedule.

mod begin;
mod beyond;
mod bits;
mod blame;
mod bound;
mod clash;
mod cut;
mod foresight;
mod hold;
mod improve;
mod in_work;
mod insert;
mod laid;
mod model;
mod offer;
mod oven;
mod pair;
mod price;
mod profile;
mod program;
mod project;
mod rail;
mod reach;
pub(in crate::plan) mod rng;
mod shown;
mod slide;
mod state;
mod tame;
mod ties;
mod timing;
mod windows;
mod workload;

pub use clash::{Clash, ClashKind};
pub use in_work::{Ground, Search};
pub use pair::{Both, Pair};
pub use tame::sound;

use super::Cost;
use super::problem::{Problem, Schedule};
use begin::windows_clash;
use insert::Inserter;
use model::Model;
use rng::Rng;

/// A question to the search.
pub struct Ask<'a> {
    /// What is to be planned.
    pub problem: &'a Problem,
    /// A schedule to begin with: the plan on the screen. It may fit no more.
    pub warm: Option<&'a Schedule>,
    /// Others to begin with if they are cheaper, as the evening stands by now: what was made ready
    /// for a step that runs over.
    pub ready: &'a [Schedule],
    /// The same seed gives the same answer.
    pub seed: u64,
    /// Rounds of improvement, some 20 to 200 µs each.
    pub rounds: u64,
    /// Asked every few rounds; true ends the search.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

impl<'a> Ask<'a> {
    /// Where the search begins.
    #[must_use]
    pub const fn begin(&self) -> Begin<'a> {
        Begin { warm: self.warm, ready: self.ready, seed: self.seed }
    }
}

/// Where a search begins: see [`Ask`].
#[derive(Debug, Clone, Copy)]
pub struct Begin<'a> {
    /// The plan on the screen.
    pub warm: Option<&'a Schedule>,
    /// Others.
    pub ready: &'a [Schedule],
    /// The same seed gives the same answer.
    pub seed: u64,
}

/// What is known of an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// No schedule costs less.
    Best,
    /// The bound is above nothing, and the cost within it: see [`Answer::bound`].
    Within,
    /// The search stopped; the bound says little.
    Stopped,
    /// There is no schedule, or none was found (see [`Clash::proven`]).
    Impossible(Clash),
}

/// The answer of the search.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The best schedule found.
    pub schedule: Option<Schedule>,
    /// What it costs (nothing, if there is none).
    pub cost: Cost,
    /// No schedule costs less than this.
    pub bound: i64,
    /// How good it is known to be.
    pub standing: Standing,
}

/// A first schedule, in a millisecond or two; on a day too full for that it
/// takes as many hundred. None if none was found so soon.
#[must_use]
pub fn first(problem: &Problem, warm: Option<&Schedule>) -> Option<Schedule> {
    tame::sound(problem).ok()?;
    let m = Model::new(problem);
    if windows_clash(&m).is_some() || workload::overworked(&m).is_some() {
        return None;
    }
    if let Some(project) = project::Project::of(&m) {
        let mut searcher = project::Searcher::new(&project, Rng::new(0));
        let starts = (0..20).find_map(|_| searcher.round())?;
        return Some(m.outward(&in_work::plain_schedule(&m, &starts)));
    }
    let inward = warm.map(|w| m.inward(w));
    let (mut inserter, mut rng) = (Inserter::default(), Rng::new(0));
    let state =
        begin::first(&m, &mut inserter, inward.as_ref(), &mut rng, 6, &|| false, &mut |_| ());
    let state = state
        .ok()
        .or_else(|| beyond::first(problem, &m, Begin { warm, ready: &[], seed: 0 }, &|| false));
    state.map(|s| m.outward(&s.schedule()))
}

/// A schedule put off as far as what happened asks, each thing where it is and in its order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PutOff {
    /// What must be is later and nothing else moves: the schedule itself if it still fits.
    pub least: Schedule,
    /// The same at its best minutes, if that is cheaper and something must move.
    pub cheapest: Schedule,
}

/// Puts a schedule off as far as what happened asks. None if its order cannot be kept.
#[must_use]
pub fn put_off(problem: &Problem, warm: &Schedule) -> Option<PutOff> {
    tame::sound(problem).ok()?;
    let m = Model::new(problem);
    if windows_clash(&m).is_some() || project::Project::of(&m).is_some() {
        return None;
    }
    let (least, cheapest) = shown::as_must_be(&m, &mut Inserter::default(), &m.inward(warm))?;
    Some(PutOff { least: m.outward(&least.schedule()), cheapest: m.outward(&cheapest.schedule()) })
}

/// Searches. Each improvement is given to `found` with its cost.
pub fn solve(ask: &Ask, found: &mut dyn FnMut(&Schedule, &Cost)) -> Answer {
    let ground = match Ground::of(ask.problem) {
        Ok(ground) => ground,
        Err(clash) => return impossible(clash),
    };
    match Search::begin(ask.problem, &ground, ask.begin(), ask.stop, found) {
        Ok(mut search) => {
            search.advance(ask.rounds, ask.stop, found);
            search.answer()
        }
        Err(clash) => impossible(clash),
    }
}

pub(in crate::plan) fn impossible(clash: Clash) -> Answer {
    let standing = Standing::Impossible(clash);
    Answer { schedule: None, cost: Cost::default(), bound: 0, standing }
}

#[cfg(test)]
mod tests;
