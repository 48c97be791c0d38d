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
//! - [`reach`], [`slide`], [`insert`]: a whole dish put in at its cheapest place, by a
//!   dynamic program over its tree of steps;
//! - [`begin`], [`improve`]: dish after dish for the first answer, then a few
//!   dishes out and back in, again and again;
//! - [`timing`], [`ties`], [`cut`]: the best minutes of all for an order, for
//!   each better schedule, and for the plan on the screen when it must be put off;
//! - [`bound`]: what cannot be avoided, and the place for a prover;
//! - [`project`]: benchmark problems without dishes;
//! - [`blame`]: what clashes, where there is no schedule.

mod begin;
mod bits;
mod blame;
mod bound;
mod clash;
mod cut;
mod hold;
mod improve;
mod insert;
mod model;
mod offer;
mod oven;
mod price;
mod profile;
mod project;
mod reach;
mod rng;
mod slide;
mod state;
mod tame;
mod ties;
mod timing;
mod windows;

pub use clash::{Clash, ClashKind};
pub use tame::sound;

use super::Cost;
use super::problem::{Problem, Schedule};
use begin::windows_clash;
use bound::{Prover, Simple};
use improve::Improver;
use insert::Inserter;
use model::Model;
use rng::Rng;

/// A question to the search.
pub struct Ask<'a> {
    /// What is to be planned.
    pub problem: &'a Problem,
    /// A schedule to begin with: the plan on the screen. It may fit no more.
    pub warm: Option<&'a Schedule>,
    /// The same seed gives the same answer.
    pub seed: u64,
    /// Rounds of improvement, some 20 to 200 µs each.
    pub rounds: u64,
    /// Asked every few rounds; true ends the search.
    pub stop: &'a (dyn Fn() -> bool + Sync),
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

/// A first schedule, in a millisecond or two. None if none was found so soon.
#[must_use]
pub fn first(problem: &Problem, warm: Option<&Schedule>) -> Option<Schedule> {
    tame::sound(problem).ok()?;
    let m = Model::new(problem);
    if windows_clash(&m).is_some() {
        return None;
    }
    if let Some(project) = project::Project::of(&m) {
        let mut searcher = project::Searcher::new(&project, Rng::new(0));
        let starts = (0..20).find_map(|_| searcher.round())?;
        return Some(m.outward(&plain_schedule(&m, &starts)));
    }
    let warm = warm.map(|w| m.inward(w));
    let (mut inserter, mut rng) = (Inserter::default(), Rng::new(0));
    let state = begin::first(&m, &mut inserter, warm.as_ref(), &mut rng, 6, &|| false);
    state.ok().map(|s| m.outward(&s.schedule()))
}

/// A schedule put off as far as what happened asks, each thing where it is and
/// in its order, at its best minutes; as it is if it still fits and that is no
/// dearer. None if its order cannot be kept.
#[must_use]
pub fn put_off(problem: &Problem, warm: &Schedule) -> Option<Schedule> {
    tame::sound(problem).ok()?;
    let m = Model::new(problem);
    if windows_clash(&m).is_some() || project::Project::of(&m).is_some() {
        return None;
    }
    let state = begin::put_off(&m, &mut Inserter::default(), &m.inward(warm))?;
    Some(m.outward(&state.schedule()))
}

/// Searches. Each improvement is given to `found` with its cost.
pub fn solve(ask: &Ask, found: &mut dyn FnMut(&Schedule, &Cost)) -> Answer {
    if let Err(clash) = tame::sound(ask.problem) {
        return impossible(clash);
    }
    let m = Model::new(ask.problem);
    if let Some(clash) = blame::windows(&m) {
        return impossible(clash);
    }
    if let Some(project) = project::Project::of(&m) {
        return solve_project(ask, &m, &project, found);
    }
    let warm = ask.warm.map(|w| m.inward(w));
    let mut inserter = Inserter::default();
    let mut rng = Rng::new(ask.seed);
    let begun = begin::first(&m, &mut inserter, warm.as_ref(), &mut rng, 20, ask.stop);
    let mut start = match begun {
        Ok(state) => state,
        Err(step) => return impossible(blame::stuck(ask.problem, &m, step)),
    };
    let mut best = m.outward(&start.schedule());
    let mut cost = price::cost(&start);
    found(&best, &cost);
    let bound = Simple.bound(&m);
    if warm.is_none() {
        for number in 1..begin::ATTEMPTS {
            if cost.total() <= bound || (ask.stop)() {
                break;
            }
            let other = begin::attempt(&m, &mut inserter, number, &mut rng);
            if let Some(other) = other.ok().filter(|o| price::rank(o) < price::rank(&start)) {
                start = other;
                best = m.outward(&start.schedule());
                cost = price::cost(&start);
                found(&best, &cost);
            }
        }
    }
    let mut improver = Improver::new(start, rng);
    for round in 0..ask.rounds {
        if cost.total() <= bound || round % 4 == 0 && (ask.stop)() {
            break;
        }
        if improver.round(&mut inserter) {
            if let Some(timed) = begin::polish(&m, &mut inserter, &improver.state) {
                improver.adopt(timed);
            }
            let now = price::cost(&improver.state);
            // The plan on the screen gives way to a cheaper one only.
            if warm.is_none() || now.total() < cost.total() {
                best = m.outward(&improver.state.schedule());
                cost = now;
                found(&best, &cost);
            }
        }
    }
    let standing = match cost.total() {
        total if total <= bound => Standing::Best,
        _ if bound > 0 => Standing::Within,
        _ => Standing::Stopped,
    };
    Answer { schedule: Some(best), cost, bound, standing }
}

/// Searches a project or job shop.
fn solve_project(
    ask: &Ask,
    m: &Model,
    project: &project::Project,
    found: &mut dyn FnMut(&Schedule, &Cost),
) -> Answer {
    if project.circle() && !m.cut {
        return impossible(blame::circle(&m.p));
    }
    let price = |end: i32| m.p.finish_price.saturating_mul(i64::from(end) + i64::from(m.shift));
    let bound = price(project.bound());
    let mut searcher = project::Searcher::new(project, Rng::new(ask.seed));
    let mut best: Option<(Schedule, Cost)> = None;
    for round in 0..ask.rounds {
        if round % 4 == 0 && (ask.stop)() {
            break;
        }
        if let Some(starts) = searcher.round() {
            let cost = Cost { finish: price(project.end(&starts)), ..Cost::default() };
            let schedule = m.outward(&plain_schedule(m, &starts));
            found(&schedule, &cost);
            best = Some((schedule, cost));
            if cost.total() <= bound {
                break;
            }
        }
    }
    let Some((schedule, cost)) = best else {
        return impossible(Clash::likely(ClashKind::Crowded {
            dish: None,
            step: 0,
            resources: Vec::new(),
        }));
    };
    let standing = if cost.total() <= bound { Standing::Best } else { Standing::Within };
    Answer { schedule: Some(schedule), cost, bound, standing }
}

/// A schedule of starts alone: each step in its first mode, without cooks, ovens and holds.
fn plain_schedule(m: &Model, starts: &[i32]) -> Schedule {
    Schedule {
        mode: vec![0; m.p.steps.len()],
        start: starts.to_vec(),
        cook: vec![None; starts.len()],
        setting_c: vec![None; starts.len()],
        ..Schedule::default()
    }
}

fn impossible(clash: Clash) -> Answer {
    let standing = Standing::Impossible(clash);
    Answer { schedule: None, cost: Cost::default(), bound: 0, standing }
}
