//! Trying: choose, propagate, learn, go back; from time to time begin anew.

use super::lit::Lit;
use super::{Engine, Reason};

/// What the search remembers.
#[derive(Debug, Default)]
pub struct State {
    /// For each variable the value to try first.
    phase: Vec<Option<i32>>,
    /// Variables in the order in which a first dive sets them.
    dive: Vec<u32>,
    restarts: u64,
    /// Learnt clauses at which half of them are forgotten.
    room: usize,
    /// The first level is of many statements, said at once.
    said: bool,
}

/// How long to try.
pub struct Limits<'a> {
    /// At most so many conflicts.
    pub conflicts: u64,
    /// At most so much work (see [`Engine::work`]).
    pub work: u64,
    /// Asked often; true ends it.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

/// What came of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    /// All variables have a value, see [`Engine::low`]; it stays until something else is done.
    Found,
    /// These assumptions (by index) cannot hold together; none: nothing can.
    Refuted(Vec<usize>),
    /// It stopped.
    Stopped,
}

/// Conflicts of the shortest run between two new beginnings.
const RUN: u64 = 100;
/// The same where most is said beforehand.
const RUN_WITHIN: u64 = 32;

/// How far an attempt has come.
struct Pace<'l, 's> {
    limits: &'l Limits<'s>,
    conflicts: u64,
    work: u64,
    asked: u32,
}

impl<'l, 's> Pace<'l, 's> {
    const fn of(engine: &Engine, limits: &'l Limits<'s>) -> Self {
        Self { limits, conflicts: engine.conflicts, work: engine.work, asked: 0 }
    }

    fn is_over(&mut self, engine: &Engine) -> bool {
        self.asked += 1;
        engine.conflicts - self.conflicts >= self.limits.conflicts
            || engine.work - self.work >= self.limits.work
            || self.asked.is_multiple_of(16) && (self.limits.stop)()
    }
}

impl Engine {
    /// The value to try first for a variable.
    pub fn prefer(&mut self, base: usize, value: i32) {
        if self.search.phase.len() <= base {
            self.search.phase.resize(base + 1, None);
        }
        self.search.phase[base] = Some(value);
    }

    /// The values found are those to try first from now on.
    pub fn prefer_found(&mut self) {
        for base in 0..self.variables() {
            self.prefer(base, self.low[2 * base]);
        }
    }

    /// In a search with `dive`, these come first and in this order.
    pub fn dive_by(&mut self, order: Vec<u32>) {
        self.search.dive = order;
    }

    /// A variable is more worth trying the more weight it has; it has this at the least.
    pub fn weigh(&mut self, base: usize, weight: f64) {
        self.order.raise(base, weight);
    }

    /// Looks for values that satisfy everything and the assumptions.
    pub fn solve(&mut self, assumed: &[Lit], dive: bool, limits: &Limits<'_>) -> Outcome {
        if !self.settle() {
            return Outcome::Refuted(Vec::new());
        }
        let mut pace = Pace::of(self, limits);
        let mut run = 0;
        let mut length = RUN * luby(self.search.restarts);
        loop {
            if self.propagate().is_err() {
                self.conflicts += 1;
                run += 1;
                if !self.learn_and_go_back() {
                    return Outcome::Refuted(Vec::new());
                }
                continue;
            }
            if pace.is_over(self) {
                self.back_to(0);
                return Outcome::Stopped;
            }
            if run >= length && !dive {
                run = 0;
                self.search.restarts += 1;
                length = RUN * luby(self.search.restarts);
                self.back_to(0);
                self.make_room();
                continue;
            }
            match self.next_choice(assumed, dive) {
                Next::Try(lit) => self.choose(lit),
                Next::Empty => self.levels.push((self.trail.len() as u32, self.store.len() as u32)),
                Next::Refuted(core) => {
                    self.back_to(0);
                    return Outcome::Refuted(core);
                }
                Next::Nothing => return Outcome::Found,
            }
        }
    }

    /// Looks for values that satisfy everything and all of these, which are said at once: there are many of them, and a
    /// level for each would take long. Refuted: they cannot all hold together; which of them is not asked.
    pub fn solve_within(&mut self, said: &[Lit], limits: &Limits<'_>) -> Outcome {
        self.back_to(0);
        self.make_room();
        // To say it is work too: who goes on until so much work is done comes to an end, whatever is said.
        self.work += 1 + said.len() as u64 / 16;
        self.search.said = true;
        let outcome = self.within(said, limits);
        self.search.said = false;
        if outcome != Outcome::Found {
            self.back_to(0);
        }
        outcome
    }

    fn within(&mut self, said: &[Lit], limits: &Limits<'_>) -> Outcome {
        let none = |e: &Self| {
            Outcome::Refuted(if e.broken { Vec::new() } else { (0..said.len()).collect() })
        };
        if !(self.settle() && self.say(said)) {
            return none(self);
        }
        let mut pace = Pace::of(self, limits);
        let (mut run, mut runs) = (0, 0);
        loop {
            if self.propagate().is_err() {
                self.conflicts += 1;
                run += 1;
                if self.level_of_conflict() <= 1 || !self.learn_and_go_back() {
                    return none(self);
                }
                // What holds whatever is said was learnt: it is made a fact.
                if self.levels.is_empty() && !(self.settle() && self.say(said)) {
                    return none(self);
                }
                continue;
            }
            if pace.is_over(self) {
                return Outcome::Stopped;
            }
            if run >= RUN_WITHIN * luby(runs) {
                run = 0;
                runs += 1;
                self.back_to(1);
                continue;
            }
            match self.next_choice(&[], false) {
                Next::Try(lit) => self.choose(lit),
                // Nothing is assumed one by one.
                Next::Nothing | Next::Empty | Next::Refuted(_) => return Outcome::Found,
            }
        }
    }

    /// Says all of these on a level of their own. No: they clash.
    fn say(&mut self, said: &[Lit]) -> bool {
        self.levels.push((self.trail.len() as u32, self.store.len() as u32));
        said.iter().all(|&lit| self.enqueue(lit, Reason::Choice).is_ok())
            && self.propagate().is_ok()
    }

    /// Forgets half of what was learnt if it is much. Only where nothing is being tried.
    fn make_room(&mut self) {
        self.search.room = self.search.room.max(4000);
        if self.clauses.learnt() > self.search.room {
            self.search.room += 500;
            self.forget();
        }
    }

    pub(super) fn choose(&mut self, lit: Lit) {
        self.levels.push((self.trail.len() as u32, self.store.len() as u32));
        // It is open, so it cannot clash.
        let _ = self.enqueue(lit, Reason::Choice);
    }

    pub(super) fn learn_and_go_back(&mut self) -> bool {
        let Some(learnt) = self.learn() else {
            self.broken = true;
            self.back_to(0);
            return false;
        };
        self.order.decay();
        self.clauses.decay();
        let levels = learnt.levels + self.said_in(&learnt.lits);
        self.back_to(learnt.level);
        let first = learnt.lits[0];
        let done = if learnt.lits.len() == 1 {
            self.enqueue(first, Reason::Choice)
        } else {
            let c = self.clauses.add(learnt.lits, true, levels);
            self.enqueue(first, Reason::Clause(c))
        };
        if done.is_err() {
            self.broken = true;
        }
        done.is_ok()
    }

    /// Of a learnt clause how many statements speak of what was said at once: each counts as a level of its own, for with
    /// other things said it says little.
    fn said_in(&self, learnt: &[Lit]) -> u32 {
        if !self.search.said {
            return 0;
        }
        let level = |l: &Lit| self.entry_of(l.not()).map_or(0, |e| self.trail[e].level);
        learnt.iter().filter(|l| level(l) == 1).count() as u32
    }

    fn next_choice(&mut self, assumed: &[Lit], dive: bool) -> Next {
        if let Some(&lit) = assumed.get(self.levels.len()) {
            if self.is_true(lit) {
                return Next::Empty;
            }
            if self.is_false(lit) {
                let behind = self.choices_behind(&[lit.not()]);
                let mut core: Vec<usize> = behind.iter().map(|&l| l as usize - 1).collect();
                core.push(self.levels.len());
                return Next::Refuted(core);
            }
            return Next::Try(lit);
        }
        if dive {
            for i in 0..self.search.dive.len() {
                let base = self.search.dive[i] as usize;
                if self.low[2 * base] < -self.low[2 * base + 1] {
                    return Next::Try(self.towards(base));
                }
            }
        }
        while let Some(base) = self.order.next() {
            if self.low[2 * base] < -self.low[2 * base + 1] {
                self.order.free(base);
                return Next::Try(self.towards(base));
            }
        }
        Next::Nothing
    }

    /// A bound that brings a variable nearer to the value to try first.
    fn towards(&self, base: usize) -> Lit {
        let var = super::Var::positive(base as u32);
        let (low, high) = (self.low(var), self.high(var));
        match self.search.phase.get(base).copied().flatten() {
            Some(value) if value >= high => var.at_least(high),
            Some(value) if value > low => var.at_least(value),
            _ => var.at_most(low),
        }
    }
}

enum Next {
    Try(Lit),
    Empty,
    Refuted(Vec<usize>),
    Nothing,
}

/// 1 1 2 1 1 2 4 1 1 2 … (Luby, Sinclair & Zuckerman 1993).
fn luby(n: u64) -> u64 {
    let mut n = n + 1;
    loop {
        let bits = 64 - n.leading_zeros();
        if n == (1 << bits) - 1 {
            return 1 << (bits - 1);
        }
        n -= (1 << (bits - 1)) - 1;
    }
}

#[cfg(test)]
mod tests {
    use super::luby;

    /// As it is printed in Luby, Sinclair & Zuckerman, "Optimal speedup of Las Vegas algorithms" (1993); from memory.
    #[test]
    fn runs_are_as_long_as_published() {
        let printed = [1, 1, 2, 1, 1, 2, 4, 1, 1, 2, 1, 1, 2, 4, 8, 1];
        assert!((0..).map(luby).zip(printed).all(|(n, p)| n == p));
    }
}
