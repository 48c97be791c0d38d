//! Better schedules near the best one.
//!
//! Most of a schedule is kept: ways, places, cooks, settings, and what comes before what, but no minutes. What is left free
//! the engine tries out for a moment, and only for what costs less than the best so far. That is called large
//! neighbourhood search (Shaw, CP 1998), here such that orders are kept and not times (Godard, Laborie & Nuijten, ICAPS
//! 2005). Where all is tried in vain more is let go the next time, where it takes too long less. What is learnt on the way
//! holds for everything that comes, the proof too.

use super::engine::{Limits, Outcome};
use super::model::Free;
use super::optimum::{Proved, Prover, Step};
use crate::plan::Cost;
use crate::plan::problem::{Problem, Schedule};
use crate::plan::search::rng::Rng;

/// Conflicts of one attempt.
const CONFLICTS: u64 = 100;
/// How much is let go, in hundredths of a part of the menu: to begin with, and at the least.
pub(super) const FIRST: usize = 200;
pub(super) const LEAST: usize = 100;
/// So much more where all was tried in vain, and less where it took too long.
const MORE: usize = 5;
const FEWER: usize = 10;
/// Minutes before the first of a dish that still count as beside it.
const BEFORE: i32 = 15;

/// What is let go together.
#[derive(Debug, Clone, Copy)]
pub(super) enum Kind {
    /// Some parts of the menu.
    Parts,
    /// Whatever is being done in a stretch of the evening.
    Stretch,
    /// A dish, more likely a late one, and some that are made at the same time.
    Beside,
}

pub(super) const KINDS: [Kind; 3] = [Kind::Parts, Kind::Stretch, Kind::Beside];

/// What is known of it.
#[derive(Debug)]
pub(super) struct Near {
    /// For each step its part of the menu: what lags join.
    part: Vec<usize>,
    parts: usize,
    /// The engine's values of the last schedule that it found.
    pub values: Vec<i32>,
    pub rng: Rng,
    /// How much is let go, for each kind.
    pub much: [usize; KINDS.len()],
}

impl Near {
    pub fn of(problem: &Problem) -> Self {
        let (part, parts) = parts(problem);
        Self { part, parts, values: Vec::new(), rng: Rng::new(1), much: [FIRST; KINDS.len()] }
    }

    /// How the attempt of a kind went.
    pub fn heed(&mut self, kind: Kind, outcome: &Outcome) {
        let much = &mut self.much[kind as usize];
        *much = match outcome {
            Outcome::Found => *much,
            Outcome::Refuted(_) => (*much + MORE).min(self.parts * 100),
            Outcome::Stopped => much.saturating_sub(FEWER).max(LEAST),
        };
    }

    /// What is let go of a schedule in one attempt.
    pub fn free(&mut self, p: &Problem, s: &Schedule, kind: Kind) -> Free {
        let much = self.much[kind as usize];
        // A part and a half is one or two.
        let parts = much / 100 + usize::from(self.rng.below(100) < much % 100);
        let mut free = Free::nothing(p.tasks.len(), p.dishes.len());
        let open: Vec<Span> = (0..p.tasks.len())
            .filter(|&t| p.active(s, t) && p.tasks[t].fixed.is_none())
            .map(|task| Span { task, from: s.start[task], to: p.end_of(s, task) })
            .collect();
        match kind {
            Kind::Parts => {
                for _ in 0..parts {
                    let part = self.rng.below(self.parts);
                    self.let_go(p, part, &mut free);
                }
            }
            Kind::Stretch => {
                let from = open.iter().map(|o| o.from).min().unwrap_or(0);
                let to = open.iter().map(|o| o.to).max().unwrap_or(0);
                let all = usize::try_from(to - from).unwrap_or(0);
                let long = (all * much / (self.parts * 100).max(1)) as i32;
                let at = from - long / 2 + self.rng.below(all + 1) as i32;
                for o in open.iter().filter(|o| o.from < at + long && o.to > at) {
                    free.tasks[o.task] = true;
                }
                for (d, dish) in p.dishes.iter().enumerate() {
                    free.dishes[d] = p.steps[dish.last_step].tasks().any(|t| free.tasks[t]);
                }
            }
            Kind::Beside => {
                let first = self.some_dish(p, s);
                let Some(part) = first.map(|d| self.part[p.dishes[d].last_step]) else {
                    return free;
                };
                self.let_go(p, part, &mut free);
                let own = |o: &&Span| self.part[p.tasks[o.task].step] == part;
                let from = open.iter().filter(own).map(|o| o.from).min().unwrap_or(0) - BEFORE;
                let to = open.iter().filter(own).map(|o| o.to).max().unwrap_or(0);
                let beside: Vec<usize> = open
                    .iter()
                    .filter(|o| o.from < to && o.to > from)
                    .map(|o| self.part[p.tasks[o.task].step])
                    .collect();
                for _ in 1..parts.min(beside.len() + 1) {
                    let part = beside[self.rng.below(beside.len())];
                    self.let_go(p, part, &mut free);
                }
            }
        }
        free
    }

    fn let_go(&self, p: &Problem, part: usize, free: &mut Free) {
        for (t, task) in p.tasks.iter().enumerate() {
            free.tasks[t] |= self.part[task.step] == part;
        }
        for (d, dish) in p.dishes.iter().enumerate() {
            free.dishes[d] |= self.part[dish.last_step] == part;
        }
    }

    /// Any dish, or (every other time) one by what its being late costs.
    fn some_dish(&mut self, p: &Problem, s: &Schedule) -> Option<usize> {
        let any = self.rng.below(p.dishes.len());
        let late = |d: usize| {
            let dish = &p.dishes[d];
            let ends =
                p.steps[dish.last_step].tasks().filter(|&t| p.active(s, t)).map(|t| p.end_of(s, t));
            let minutes = ends.max().map_or(0, |ready| (ready - dish.due).max(0));
            usize::try_from(dish.late_price.saturating_mul(i64::from(minutes))).unwrap_or(0)
        };
        let all: usize = (0..p.dishes.len()).map(late).fold(0, usize::saturating_add);
        if all == 0 || self.rng.below(2) == 0 {
            return (any < p.dishes.len()).then_some(any);
        }
        let mut at = self.rng.below(all);
        (0..p.dishes.len()).find(|&d| {
            let own = late(d);
            let found = at < own;
            at = at.saturating_sub(own);
            found
        })
    }
}

/// When something is done.
struct Span {
    task: usize,
    from: i32,
    to: i32,
}

/// For each step the number of its part, and how many there are: steps that lags join are one.
pub(super) fn parts(p: &Problem) -> (Vec<usize>, usize) {
    let mut part: Vec<usize> = (0..p.steps.len()).collect();
    for lag in &p.lags {
        let step = |task: usize| p.tasks[task].step;
        let (a, b) = (part[step(lag.from.task)], part[step(lag.to.task)]);
        part.iter_mut().filter(|of| **of == a).for_each(|of| *of = b);
    }
    let mut names = part.clone();
    names.sort_unstable();
    names.dedup();
    for of in &mut part {
        *of = names.binary_search(of).unwrap_or(0);
    }
    (part, names.len())
}

impl Prover<'_> {
    /// What is tried near the best schedule depends on it.
    #[must_use]
    pub fn with_seed(mut self, seed: u64) -> Self {
        self.near.rng = Rng::new(seed);
        self
    }

    /// Looks for better schedules near the best one, which it must have: at most so much work, as in [`Self::advance`], or
    /// until `stop`. Better ones are given to `found`.
    pub fn look_near(
        &mut self,
        work: u64,
        stop: &(dyn Fn() -> bool + Sync),
        found: &mut dyn FnMut(&Schedule, &Cost),
    ) -> Proved {
        let until = self.work().saturating_add(work);
        self.begin(&Step { work, stop }, found);
        while self.goes_on(until, stop) && !self.near.values.is_empty() {
            let Some((schedule, _)) = self.best.clone() else { break };
            let kind = KINDS[self.near.rng.below(KINDS.len())];
            let free = self.near.free(self.problem, &schedule, kind);
            let said = self.model.kept(&schedule, &self.near.values, &free);
            let limits = Limits { conflicts: CONFLICTS, work: until - self.work(), stop };
            let outcome = self.model.engine.solve_within(&said, &limits);
            self.near.heed(kind, &outcome);
            self.take(&outcome, found);
        }
        self.proved()
    }
}
