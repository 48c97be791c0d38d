//! The search and the prover on one problem, by turns on one thread: the search
//! is soon at a good schedule, the prover says how good it is and goes on from
//! there. Turns are counted in rounds and in work, never in time, so that a
//! budget of rounds gives the same answer on every machine.

use super::clash::{Patience, clash};
use super::optimum::{Proved, Prover};
use crate::plan::Cost;
use crate::plan::problem::Schedule;
use crate::plan::search::{self, Answer, Ask, Clash, ClashKind, Standing};

/// Rounds of the search before the prover begins.
const FIRST_ROUNDS: u64 = 200;
/// Rounds of its later turns; each is longer than the one before by half.
const ROUNDS: u64 = 100;
/// Work of the prover that counts as one round.
const WORK_OF_ROUND: u64 = 800;
/// The prover's turns are so many times as long as the search's.
const SHARE: u64 = 4;
/// Work for the smallest set of demands that clash.
const CLASH_WORK: u64 = 4_000_000;
/// Work, in rounds, to find any schedule where the search found none.
const SOME_SCHEDULE: u64 = 2_000;

/// Solves a problem: search and proof. As [`search::solve`], whose rounds it shares.
pub fn solve(ask: &Ask<'_>, found: &mut dyn FnMut(&Schedule, &Cost)) -> Answer {
    let first = ask.rounds.min(FIRST_ROUNDS);
    let answer = search::solve(&Ask { rounds: first, ..*ask }, found);
    let settled = match &answer.standing {
        Standing::Best => true,
        Standing::Impossible(clash) => clash.proven,
        Standing::Within | Standing::Stopped => false,
    };
    if settled || ask.rounds == 0 && answer.schedule.is_some() {
        return answer;
    }
    if search::sound(ask.problem).is_err() {
        return answer;
    }
    let Ok(prover) = Prover::new(ask.problem) else {
        return search_on(ask, answer, first, found);
    };
    Team { ask, prover, answer }.play(first, found)
}

/// Where nothing can be proved: the search alone.
fn search_on(
    ask: &Ask<'_>,
    answer: Answer,
    done: u64,
    found: &mut dyn FnMut(&Schedule, &Cost),
) -> Answer {
    let rounds = ask.rounds - done;
    if rounds == 0 || (ask.stop)() {
        return answer;
    }
    let warm = answer.schedule.as_ref().or(ask.warm);
    let best = answer.schedule.as_ref().map_or(i64::MAX, |_| answer.cost.total());
    let mut better = |s: &Schedule, c: &Cost| {
        if c.total() < best {
            found(s, c);
        }
    };
    let next = search::solve(&Ask { rounds, warm, ..*ask }, &mut better);
    if next.schedule.is_some() && next.cost.total() < best { next } else { answer }
}

struct Team<'a, 'b> {
    ask: &'b Ask<'a>,
    prover: Prover<'a>,
    answer: Answer,
}

impl Team<'_, '_> {
    fn play(mut self, done: u64, found: &mut dyn FnMut(&Schedule, &Cost)) -> Answer {
        if let Some(schedule) = &self.answer.schedule {
            self.prover.suggest(schedule);
        }
        let mut left = match self.answer.schedule {
            Some(_) => self.ask.rounds - done,
            None => (self.ask.rounds - done).max(SOME_SCHEDULE),
        };
        let (mut turn, mut number) = (ROUNDS, 1);
        while left > 0 && !(self.ask.stop)() {
            let rounds = (turn * SHARE).min(left);
            left -= rounds;
            self.prove(rounds, found);
            if self.prover.proved() != Proved::Open {
                break;
            }
            let rounds = turn.min(left);
            left -= rounds;
            self.search(rounds, number, found);
            number += 1;
            turn += turn / 2;
        }
        self.end()
    }

    fn prove(&mut self, rounds: u64, found: &mut dyn FnMut(&Schedule, &Cost)) {
        let work = rounds.saturating_mul(WORK_OF_ROUND);
        let best = self.best();
        let mut better = |s: &Schedule, c: &Cost| {
            if c.total() < best {
                found(s, c);
            }
        };
        self.prover.advance(work, self.ask.stop, &mut better);
        if let Some((schedule, cost)) = self.prover.best()
            && cost.total() < best
        {
            self.answer.schedule = Some(schedule.clone());
            self.answer.cost = *cost;
        }
        self.answer.bound = self.answer.bound.max(self.prover.bound());
    }

    fn best(&self) -> i64 {
        self.answer.schedule.as_ref().map_or(i64::MAX, |_| self.answer.cost.total())
    }

    fn search(&mut self, rounds: u64, number: u64, found: &mut dyn FnMut(&Schedule, &Cost)) {
        let best = self.best();
        if rounds == 0 || best == i64::MAX || (self.ask.stop)() {
            return;
        }
        let seed = self.ask.seed.wrapping_add(number);
        let mut better = |s: &Schedule, c: &Cost| {
            if c.total() < best {
                found(s, c);
            }
        };
        let warm = self.answer.schedule.as_ref();
        let next = search::solve(&Ask { rounds, seed, warm, ..*self.ask }, &mut better);
        if let Some(schedule) = next.schedule.filter(|_| next.cost.total() < best) {
            self.prover.suggest(&schedule);
            self.answer.cost = next.cost;
            self.answer.schedule = Some(schedule);
        }
    }

    fn end(mut self) -> Answer {
        let cost = self.answer.cost.total();
        let old = std::mem::replace(&mut self.answer.standing, Standing::Stopped);
        self.answer.standing = match (self.prover.proved(), old) {
            (Proved::Best, _) if self.answer.schedule.is_some() => {
                self.answer.bound = cost;
                Standing::Best
            }
            (Proved::Impossible, old) => {
                self.answer.schedule = None;
                Standing::Impossible(self.clash(old))
            }
            (_, old) if self.answer.schedule.is_none() => old,
            _ if self.answer.bound >= cost => Standing::Best,
            _ if self.answer.bound > 0 => Standing::Within,
            _ => Standing::Stopped,
        };
        self.answer
    }

    /// What clashes, if it is soon seen; else that something does.
    fn clash(&self, old: Standing) -> Clash {
        let patience = Patience { work: CLASH_WORK, stop: self.ask.stop };
        let benchmark = self.ask.problem.dishes.is_empty();
        let seen = if benchmark { None } else { clash(self.ask.problem, &patience) };
        match (seen, old) {
            (Some(clashing), _) => Clash::new(ClashKind::Demands { demands: clashing.demands }),
            (None, Standing::Impossible(clash)) => Clash::new(clash.kind),
            (None, _) => Clash::new(ClashKind::Demands { demands: Vec::new() }),
        }
    }
}
