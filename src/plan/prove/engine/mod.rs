//! Bounds, the trail of what was learnt about them and why, and propagation
//! until nothing more follows.

mod analyze;
mod arcs;
#[cfg(test)]
mod bound_tests;
mod clauses;
mod decide;
mod energy;
mod linear;
mod lit;
mod search;
mod table;
#[cfg(test)]
mod walk_tests;

pub use energy::Energy;
pub use linear::Linear;
pub use lit::{Expr, Lit, Var};
pub use search::{Limits, Outcome};
pub use table::{Item, Table};

use arcs::Arcs;
use clauses::Clauses;
use decide::Order;

/// No entry of the trail.
const NONE: u32 = u32::MAX;

/// Why a bound holds.
#[derive(Debug, Clone, Copy)]
enum Reason {
    /// It was tried.
    Choice,
    /// All other statements of this clause are false.
    Clause(u32),
    /// An arc pushed it: see [`arcs`].
    Arc(u32),
    /// These statements (from, how many) of the store.
    Stored(u32, u32),
    /// A linear inequality, asked for its reason only if it is wanted.
    Linear(u32),
}

/// A bound that rose.
#[derive(Debug, Clone, Copy)]
struct Entry {
    var: Var,
    /// The new lower bound.
    to: i32,
    /// The one before.
    before: i32,
    /// The entry that set that one, or [`NONE`].
    prev: u32,
    level: u32,
    reason: Reason,
}

/// What propagates beyond clauses and arcs.
#[derive(Debug)]
enum Propagator {
    Linear(Linear),
    Table(Table),
    Energy(Energy),
    /// At work just now.
    Away,
}

/// A contradiction; the statements that make it lie in `Engine::conflict`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Conflict;

/// All of it.
#[derive(Debug, Default)]
pub struct Engine {
    /// Lower bound of each signed variable.
    low: Vec<i32>,
    /// The same before anything was tried.
    root: Vec<i32>,
    last: Vec<u32>,
    trail: Vec<Entry>,
    /// Length of the trail and of the store where each level begins.
    levels: Vec<(u32, u32)>,
    store: Vec<Lit>,
    head: usize,
    clauses: Clauses,
    arcs: Arcs,
    propagators: Vec<Propagator>,
    /// For each signed variable the propagators that want to know of it.
    wakes: Vec<Vec<u32>>,
    /// Propagators to run, the cheap ones in the first list.
    queues: [Vec<u32>; 3],
    queued: Vec<bool>,
    conflict: Vec<Lit>,
    order: Order,
    analysis: analyze::Analysis,
    /// Nothing satisfies what was said.
    broken: bool,
    /// Work done so far, in a unit that does not depend on the machine.
    pub work: u64,
    /// Conflicts so far.
    pub conflicts: u64,
    search: search::State,
}

impl Engine {
    /// A variable from `low` to `high`.
    pub fn variable(&mut self, low: i32, high: i32) -> Var {
        let base = u32::try_from(self.low.len() / 2).unwrap_or(u32::MAX >> 1);
        for bound in [low, -high] {
            self.low.push(bound);
            self.root.push(bound);
            self.last.push(NONE);
            self.wakes.push(Vec::new());
        }
        self.clauses.grow();
        self.arcs.grow();
        self.order.grow();
        self.broken |= low > high;
        Var::positive(base)
    }

    /// A yes-or-no variable, as the statement that it is yes.
    pub fn yes_or_no(&mut self) -> Lit {
        self.variable(0, 1).at_least(1)
    }

    /// Variables so far.
    #[must_use]
    pub fn variables(&self) -> usize {
        self.low.len() / 2
    }

    /// Is it known that nothing satisfies what was said?
    #[must_use]
    pub const fn is_broken(&self) -> bool {
        self.broken
    }

    /// The least that a variable can be now.
    #[must_use]
    pub fn low(&self, var: Var) -> i32 {
        self.low[var.index()]
    }

    /// The most that it can be now.
    #[must_use]
    pub fn high(&self, var: Var) -> i32 {
        -self.low[var.neg().index()]
    }

    /// The least that it can be whatever is tried.
    #[must_use]
    pub fn root_low(&self, var: Var) -> i32 {
        self.root[var.index()]
    }

    /// The same of a moved variable.
    #[must_use]
    pub fn lowest(&self, e: Expr) -> i32 {
        self.low(e.var) + e.add
    }

    /// The same of a moved variable.
    #[must_use]
    pub fn highest(&self, e: Expr) -> i32 {
        self.high(e.var) + e.add
    }

    /// Is the statement known to be true?
    #[must_use]
    pub fn is_true(&self, lit: Lit) -> bool {
        self.low[lit.var.index()] >= lit.at
    }

    /// Is the statement known to be false?
    #[must_use]
    pub fn is_false(&self, lit: Lit) -> bool {
        self.is_true(lit.not())
    }

    /// Says that one of these holds. Only where nothing is being tried.
    pub fn clause(&mut self, lits: &[Lit]) {
        debug_assert!(self.levels.is_empty());
        if lits.iter().any(|&l| self.is_true(l)) {
            return;
        }
        let left: Vec<Lit> = lits.iter().copied().filter(|&l| !self.is_false(l)).collect();
        match left[..] {
            [] => self.broken = true,
            [one] => self.fact(one),
            _ => {
                self.clauses.add(left, false, 0);
            }
        }
    }

    /// Says that this holds. Only where nothing is being tried.
    pub fn fact(&mut self, lit: Lit) {
        debug_assert!(self.levels.is_empty());
        if self.enqueue(lit, Reason::Choice).is_err() {
            self.broken = true;
        }
    }

    /// Says that `to >= from + gap` if all of `when` hold.
    pub fn difference(&mut self, when: &[Lit], from: Expr, gap: i32, to: Expr) {
        if when.iter().any(|&l| self.is_false(l)) {
            return;
        }
        let when: Vec<Lit> = when.iter().copied().filter(|&l| !self.is_true(l)).collect();
        let gap = gap + from.add - to.add;
        if from.var == to.var {
            if gap > 0 {
                let none: Vec<Lit> = when.iter().map(|l| l.not()).collect();
                self.clause(&none);
            }
            return;
        }
        if self.low(to.var) >= self.high(from.var) + gap {
            return;
        }
        let pair = self.arcs.add(when, from.var, gap, to.var);
        for arc in [pair, pair + 1] {
            if self.broken || self.push_arc(arc).is_err() {
                self.broken = true;
            }
        }
    }

    /// Adds a linear inequality; its number.
    pub fn linear(&mut self, linear: Linear) -> usize {
        let vars: Vec<Var> = linear.watched().collect();
        self.propagator(Propagator::Linear(linear), &vars)
    }

    /// Adds a resource.
    pub fn table(&mut self, table: Table) {
        let vars: Vec<Var> = table.watched().collect();
        self.propagator(Propagator::Table(table), &vars);
    }

    /// Adds reasoning about the work that must fit between two minutes.
    pub fn energy(&mut self, energy: Energy) {
        let vars: Vec<Var> = energy.watched().collect();
        self.propagator(Propagator::Energy(energy), &vars);
    }

    fn propagator(&mut self, propagator: Propagator, vars: &[Var]) -> usize {
        let number = self.propagators.len();
        self.propagators.push(propagator);
        self.queued.push(false);
        for v in vars {
            self.wakes[v.index()].push(number as u32);
        }
        self.wake(number as u32);
        number
    }

    /// Changes a linear inequality, which must only become stricter or say
    /// something that follows otherwise. Only where nothing is being tried.
    pub fn replace_linear(&mut self, number: usize, linear: Linear) {
        debug_assert!(self.levels.is_empty());
        let id = number as u32;
        for v in linear.watched() {
            if !self.wakes[v.index()].contains(&id) {
                self.wakes[v.index()].push(id);
            }
        }
        self.propagators[number] = Propagator::Linear(linear);
        self.wake(id);
    }

    fn wake(&mut self, number: u32) {
        let n = number as usize;
        if !self.queued[n] {
            self.queued[n] = true;
            let queue = match self.propagators[n] {
                Propagator::Linear(_) | Propagator::Away => 0,
                Propagator::Table(_) => 1,
                Propagator::Energy(_) => 2,
            };
            self.queues[queue].push(number);
        }
    }

    /// Raises a bound. A statement that is true already changes nothing.
    fn enqueue(&mut self, lit: Lit, reason: Reason) -> Result<(), Conflict> {
        let v = lit.var.index();
        let before = self.low[v];
        if before >= lit.at {
            return Ok(());
        }
        if self.is_false(lit) {
            let mut lits = std::mem::take(&mut self.conflict);
            lits.clear();
            self.explain(reason, lit, self.trail.len(), &mut lits);
            lits.push(lit.not());
            self.conflict = lits;
            return Err(Conflict);
        }
        self.low[v] = lit.at;
        let entry = Entry {
            var: lit.var,
            to: lit.at,
            before,
            prev: self.last[v],
            level: self.levels.len() as u32,
            reason,
        };
        self.last[v] = self.trail.len() as u32;
        self.trail.push(entry);
        Ok(())
    }

    /// As `enqueue`, for these reasons.
    fn enqueue_for(&mut self, lit: Lit, why: &[Lit]) -> Result<(), Conflict> {
        if self.is_true(lit) {
            return Ok(());
        }
        if self.is_false(lit) {
            self.conflict.clear();
            self.conflict.extend_from_slice(why);
            self.conflict.push(lit.not());
            return Err(Conflict);
        }
        let from = self.store.len() as u32;
        self.store.extend_from_slice(why);
        self.enqueue(lit, Reason::Stored(from, why.len() as u32))
    }

    /// Contradiction from these statements.
    fn fail(&mut self, why: &[Lit]) -> Result<(), Conflict> {
        self.conflict.clear();
        self.conflict.extend_from_slice(why);
        Err(Conflict)
    }

    /// The statements, true before entry `at` of the trail, from which `lit` follows.
    fn explain(&self, reason: Reason, lit: Lit, at: usize, out: &mut Vec<Lit>) {
        match reason {
            Reason::Choice => {}
            Reason::Clause(c) => {
                let others = self.clauses.lits(c).iter();
                out.extend(others.filter(|l| l.var != lit.var).map(|l| l.not()));
                // A clause may speak twice of one variable, once from each side only.
            }
            Reason::Arc(a) => self.arcs.explain(a, lit, out),
            Reason::Stored(from, len) => {
                let from = from as usize;
                out.extend_from_slice(&self.store[from..from + len as usize]);
            }
            Reason::Linear(p) => {
                if let Propagator::Linear(linear) = &self.propagators[p as usize] {
                    linear.explain(self, lit, at, out);
                }
            }
        }
    }

    /// The bound that held before entry `at` of the trail.
    fn low_before(&self, var: Var, at: usize) -> i32 {
        let mut e = self.last[var.index()];
        let mut low = self.low[var.index()];
        while e != NONE && e as usize >= at {
            let entry = &self.trail[e as usize];
            low = entry.before;
            e = entry.prev;
        }
        low
    }

    /// The entry that made a true statement true; None if it always was.
    fn entry_of(&self, lit: Lit) -> Option<usize> {
        let mut e = self.last[lit.var.index()];
        while e != NONE {
            let entry = &self.trail[e as usize];
            if entry.before < lit.at {
                return Some(e as usize);
            }
            e = entry.prev;
        }
        None
    }

    /// Everything that follows.
    fn propagate(&mut self) -> Result<(), Conflict> {
        let done = self.propagate_all();
        if done.is_err() {
            for queue in &mut self.queues {
                for &p in &*queue {
                    self.queued[p as usize] = false;
                }
                queue.clear();
            }
            self.head = self.trail.len();
        }
        done
    }

    fn propagate_all(&mut self) -> Result<(), Conflict> {
        loop {
            while self.head < self.trail.len() {
                let Entry { var, to, before, .. } = self.trail[self.head];
                self.head += 1;
                self.work += 1;
                self.propagate_clauses(var, before, to)?;
                self.propagate_arcs(var, before, to)?;
                for w in 0..self.wakes[var.index()].len() {
                    let p = self.wakes[var.index()][w];
                    self.wake(p);
                }
            }
            let Some(next) = self.queues.iter_mut().find_map(Vec::pop) else { return Ok(()) };
            self.queued[next as usize] = false;
            let n = next as usize;
            let mut at_work = std::mem::replace(&mut self.propagators[n], Propagator::Away);
            let done = match &mut at_work {
                Propagator::Linear(linear) => linear.propagate(self, next),
                Propagator::Table(table) => table.propagate(self),
                Propagator::Energy(energy) => energy.propagate(self),
                Propagator::Away => Ok(()),
            };
            self.propagators[n] = at_work;
            done?;
        }
    }

    /// Takes back all that was tried above this level.
    fn back_to(&mut self, level: usize) {
        if self.levels.len() <= level {
            return;
        }
        let (length, stored) = self.levels[level];
        self.levels.truncate(level);
        for i in (length as usize..self.trail.len()).rev() {
            let entry = self.trail[i];
            let v = entry.var.index();
            self.low[v] = entry.before;
            self.last[v] = entry.prev;
            self.order.free(entry.var.base());
        }
        self.trail.truncate(length as usize);
        self.store.truncate(stored as usize);
        self.head = self.trail.len();
    }

    /// With nothing tried: draws all conclusions and makes them facts.
    pub fn settle(&mut self) -> bool {
        self.back_to(0);
        if !self.broken && self.propagate().is_err() {
            self.broken = true;
        }
        for entry in &self.trail {
            let v = entry.var.index();
            self.last[v] = NONE;
            self.root[v] = self.low[v];
        }
        self.trail.clear();
        self.store.clear();
        self.head = 0;
        !self.broken
    }
}
