//! The least cost, from below and from above at once.
//!
//! From below: all prices are assumed away, the dearest first (stratified); a
//! set of them that cannot all be away costs at least its cheapest, and a new
//! variable counts how much of the set is there (OLL; Andres, Kaufmann,
//! Matheis & Schaub, ICLP 2012; Morgado, Dodaro & Marques-Silva, CP 2014).
//! From above: any answer that costs less than the best so far. Both work on
//! one store of learnt clauses.

use super::engine::{Limits, Linear, Lit, Outcome, Var};
use super::model::{Model, NotModelled, Term};
use super::near::Near;
use crate::plan::blocks::Cost;
use crate::plan::judge::judge;
use crate::plan::problem::{Problem, Schedule};

/// What is known when it stops.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Proved {
    /// The best schedule known is the best there is.
    Best,
    /// There is no schedule.
    Impossible,
    /// Neither yet.
    Open,
}

/// A proof in work.
#[derive(Debug)]
pub struct Prover<'a> {
    pub(super) problem: &'a Problem,
    pub(super) model: Model<'a>,
    terms: Vec<Term>,
    constant: i64,
    /// Number of the inequality that asks for a lower cost.
    less: Option<usize>,
    pub(super) best: Option<(Schedule, Cost)>,
    pub(super) proved: Proved,
    /// Prices at least this dear are assumed away now.
    stratum: i64,
    /// Conflicts of the next attempt from below and from above.
    patience: u64,
    from_above: bool,
    begun: bool,
    /// What to try first was said once.
    weighed: bool,
    /// An answer broke a rule: nothing that this prover says counts.
    faulty: bool,
    pub(super) near: Near,
}

/// Conflicts to begin with.
const PATIENCE: u64 = 400;
/// Conflicts for making a set smaller, and for raising a new count at once.
const SMALL: u64 = 60;
/// Conflicts on the way to a schedule that is known, and to one that is not.
const WAY: u64 = 500;
const DIVE: u64 = 2000;
/// Sets up to this size are made smaller one by one.
const MINIMIZED: usize = 40;

/// What a step of the way needs.
pub(super) struct Step<'a> {
    pub work: u64,
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

impl<'a> Prover<'a> {
    /// A proof to be worked on.
    ///
    /// # Errors
    /// If something in the problem is not modelled: then nothing can be proved.
    pub fn new(problem: &'a Problem) -> Result<Self, NotModelled> {
        Ok(Self::of(problem, Model::new(problem)?))
    }

    /// A proof about one schedule, which keeps every rule: the model must admit
    /// it, at just what it costs. Else the model is wrong, and so is whatever is
    /// proved with it. For tests.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub fn only(problem: &'a Problem, schedule: &Schedule) -> Result<Self, NotModelled> {
        let mut model = Model::new(problem)?;
        model.only(schedule);
        Ok(Self::of(problem, model))
    }

    fn of(problem: &'a Problem, model: Model<'a>) -> Self {
        let (terms, constant) = (model.terms.clone(), model.constant);
        let mut prover = Self {
            problem,
            model,
            terms,
            constant,
            less: None,
            best: None,
            proved: Proved::Open,
            stratum: 0,
            patience: PATIENCE,
            from_above: false,
            begun: false,
            weighed: false,
            faulty: false,
            near: Near::of(problem),
        };
        prover.join_terms();
        prover.stratum = prover.terms.iter().map(|t| t.price).max().unwrap_or(0);
        if prover.model.engine.is_broken() {
            prover.proved = Proved::Impossible;
        }
        prover
    }

    /// No schedule costs less than this.
    #[must_use]
    pub fn bound(&self) -> i64 {
        let low = |t: &Term| t.price * i64::from(self.model.engine.low(t.var));
        if self.faulty {
            return i64::MIN / 4;
        }
        match (&self.best, self.proved) {
            (Some((_, cost)), Proved::Best) => cost.total(),
            (best, _) => {
                let bound = self.constant + self.terms.iter().map(low).sum::<i64>();
                best.as_ref().map_or(bound, |b| bound.min(b.1.total()))
            }
        }
    }

    /// What is proved.
    #[must_use]
    pub const fn proved(&self) -> Proved {
        self.proved
    }

    /// The best schedule known, and its cost.
    #[must_use]
    pub const fn best(&self) -> Option<&(Schedule, Cost)> {
        self.best.as_ref()
    }

    /// Conflicts so far, to tell how hard it is.
    #[must_use]
    pub const fn conflicts(&self) -> u64 {
        self.model.engine.conflicts
    }

    /// Work so far, in the unit of [`Self::advance`].
    #[must_use]
    pub const fn work(&self) -> u64 {
        self.model.engine.work
    }

    /// A schedule found elsewhere. One that breaks a rule is not taken.
    pub fn suggest(&mut self, schedule: &Schedule) {
        let Ok(cost) = judge(self.problem, schedule) else { return };
        if self.best.as_ref().is_some_and(|b| b.1.total() <= cost.total()) {
            return;
        }
        self.best = Some((schedule.clone(), cost));
        self.begun = false;
    }

    /// Works on it: at most `work` units, some 10 to 50 ns each, or until `stop`.
    /// Better schedules are given to `found`.
    pub fn advance(
        &mut self,
        work: u64,
        stop: &(dyn Fn() -> bool + Sync),
        found: &mut dyn FnMut(&Schedule, &Cost),
    ) -> Proved {
        let until = self.model.engine.work.saturating_add(work);
        self.begin(&Step { work, stop }, found);
        while self.goes_on(until, stop) {
            self.check_bound();
            if self.proved != Proved::Open {
                break;
            }
            let step = Step { work: until.saturating_sub(self.model.engine.work), stop };
            if self.from_above {
                self.improve(&step, found);
            } else {
                self.raise(&step, found);
            }
        }
        self.proved
    }

    /// Is anything left to be known, and work for it?
    pub(super) fn goes_on(&self, until: u64, stop: &(dyn Fn() -> bool + Sync)) -> bool {
        self.proved == Proved::Open && !self.faulty && self.work() < until && !stop()
    }

    fn check_bound(&mut self) {
        if let Some((_, cost)) = &self.best
            && self.bound() >= cost.total()
        {
            self.proved = Proved::Best;
        }
    }

    /// Prices of one variable become one, those that cannot be had become part of the constant.
    fn join_terms(&mut self) {
        let engine = &self.model.engine;
        let mut joined: Vec<Term> = Vec::new();
        self.terms.sort_by_key(|t| t.var);
        for t in &self.terms {
            if engine.low(t.var) == engine.high(t.var) {
                self.constant += t.price * i64::from(engine.low(t.var));
                continue;
            }
            match joined.last_mut() {
                Some(last) if last.var == t.var => last.price += t.price,
                _ if t.price > 0 => joined.push(*t),
                _ => {}
            }
        }
        self.terms = joined;
    }

    /// Takes the values of the best schedule so far as those to try first.
    pub(super) fn begin(&mut self, step: &Step<'_>, found: &mut dyn FnMut(&Schedule, &Cost)) {
        if self.begun || self.proved != Proved::Open {
            return;
        }
        self.begun = true;
        let choices = self.model.choices();
        // Later what was tried says more.
        if !std::mem::replace(&mut self.weighed, true) {
            for (i, &base) in choices.iter().enumerate() {
                let later = i as f64 / choices.len() as f64;
                self.model.engine.weigh(base as usize, 1.0 - later / 2.0);
            }
        }
        self.model.engine.dive_by(choices);
        // The way to that schedule, so that all that follows from it is known too.
        let mut outcome = Outcome::Stopped;
        if let Some((schedule, _)) = self.best.clone() {
            self.model.prefer(&schedule);
            let limits = Limits { conflicts: WAY, work: step.work, stop: step.stop };
            outcome = self.model.engine.solve_within(&self.model.exactly(&schedule), &limits);
        }
        if outcome != Outcome::Found {
            outcome = self.solve(&[], true, DIVE, step);
        }
        self.take(&outcome, found);
        self.want_less();
    }

    fn solve(&mut self, assumed: &[Lit], dive: bool, conflicts: u64, step: &Step<'_>) -> Outcome {
        let limits = Limits { conflicts, work: step.work, stop: step.stop };
        self.model.engine.solve(assumed, dive, &limits)
    }

    /// Takes an answer, if it is one.
    pub(super) fn take(&mut self, outcome: &Outcome, found: &mut dyn FnMut(&Schedule, &Cost)) {
        match outcome {
            Outcome::Refuted(core) if core.is_empty() => self.refuted(),
            Outcome::Found => {
                self.model.engine.prefer_found();
                for t in &self.terms {
                    let low = self.model.engine.root_low(t.var);
                    let value = if t.var.is_positive() { low } else { -low };
                    self.model.engine.prefer(t.var.base(), value);
                }
                let schedule = self.model.schedule();
                // An answer that the written rules refuse is a fault of this prover: it must
                // not count, and nothing that it says may count either.
                match judge(self.problem, &schedule) {
                    Ok(cost) => {
                        if self.best.as_ref().is_none_or(|b| cost.total() <= b.1.total()) {
                            self.near.values = self.model.values();
                        }
                        if self.best.as_ref().is_none_or(|b| cost.total() < b.1.total()) {
                            found(&schedule, &cost);
                            self.best = Some((schedule, cost));
                        }
                    }
                    Err(faults) => {
                        debug_assert!(false, "the prover broke a rule: {faults:?}");
                        self.faulty = true;
                        return;
                    }
                }
                self.want_less();
            }
            _ => {}
        }
    }

    /// Nothing (that costs less) is left.
    fn refuted(&mut self) {
        if self.faulty {
            return;
        }
        self.proved = if self.best.is_some() { Proved::Best } else { Proved::Impossible };
    }

    /// Asks for a lower cost than the best one's from now on.
    fn want_less(&mut self) {
        if !self.model.engine.settle() {
            return self.refuted();
        }
        let Some(total) = self.best.as_ref().map(|b| b.1.total()) else { return };
        self.join_terms();
        let terms: Vec<(i64, Var)> = self.terms.iter().map(|t| (-t.price, t.var)).collect();
        let linear = Linear::at_least(&[], &terms, self.constant - total + 1);
        match self.less {
            Some(number) => self.model.engine.replace_linear(number, linear),
            None => self.less = Some(self.model.engine.linear(linear)),
        }
        if !self.model.engine.settle() {
            self.refuted();
        }
    }

    /// From above: any answer that costs less.
    fn improve(&mut self, step: &Step<'_>, found: &mut dyn FnMut(&Schedule, &Cost)) {
        let outcome = self.solve(&[], false, self.patience, step);
        if outcome == Outcome::Stopped {
            self.from_above = false;
            self.patience += self.patience / 2;
        }
        self.take(&outcome, found);
    }

    /// From below: a set of prices that cannot all be away.
    fn raise(&mut self, step: &Step<'_>, found: &mut dyn FnMut(&Schedule, &Cost)) {
        if !self.model.engine.settle() {
            return self.refuted();
        }
        self.join_terms();
        let mut at: Vec<usize> =
            (0..self.terms.len()).filter(|&i| self.terms[i].price >= self.stratum).collect();
        at.sort_by_key(|&i| (std::cmp::Reverse(self.terms[i].price), i));
        let assumed: Vec<Lit> = at.iter().map(|&i| self.away(self.terms[i].var)).collect();
        let outcome = self.solve(&assumed, false, self.patience, step);
        match &outcome {
            Outcome::Found => {
                self.take(&outcome, found);
                let lower = self.terms.iter().map(|t| t.price).filter(|&p| p < self.stratum).max();
                match lower {
                    // All are away: nothing can cost less.
                    None if self.proved == Proved::Open => self.check_bound(),
                    None => {}
                    // The next prices that are not nearly as dear.
                    Some(next) => self.stratum = self.next_stratum(next),
                }
            }
            Outcome::Refuted(core) if core.is_empty() => self.refuted(),
            Outcome::Refuted(core) => {
                let set: Vec<Lit> = core.iter().map(|&c| assumed[c]).collect();
                let set = self.smaller(set, step, found);
                if self.proved == Proved::Open {
                    self.count(&set, step);
                }
            }
            Outcome::Stopped => self.from_above = true,
        }
    }

    fn next_stratum(&self, next: i64) -> i64 {
        let near = |p: i64| p < self.stratum && p * 2 >= next;
        self.terms.iter().map(|t| t.price).filter(|&p| near(p)).min().unwrap_or(next)
    }

    /// The statement that of this price no more is paid than is known to be.
    fn away(&self, var: Var) -> Lit {
        var.at_most(self.model.engine.root_low(var))
    }

    fn price(&self, var: Var) -> i64 {
        self.terms.iter().find(|t| t.var == var).map_or(0, |t| t.price)
    }

    /// The same contradiction from fewer, if that is soon seen.
    fn smaller(
        &mut self,
        mut set: Vec<Lit>,
        step: &Step<'_>,
        found: &mut dyn FnMut(&Schedule, &Cost),
    ) -> Vec<Lit> {
        // The cheapest decides what is gained, so it goes first if it can.
        set.sort_by_key(|&l| (self.price(l.var.neg()), l));
        if set.len() > MINIMIZED {
            return set;
        }
        let mut k = 0;
        while k < set.len() && set.len() > 1 && !(step.stop)() && self.proved == Proved::Open {
            let rest: Vec<Lit> = set.iter().copied().filter(|&l| l != set[k]).collect();
            let outcome = self.solve(&rest, false, SMALL, step);
            match &outcome {
                Outcome::Refuted(core) => {
                    // What went before stays needed.
                    let kept: Vec<Lit> = core.iter().map(|&c| rest[c]).collect();
                    set.retain(|v| kept.contains(v));
                    if core.is_empty() {
                        self.refuted();
                    }
                }
                _ => k += 1,
            }
            if outcome == Outcome::Found {
                self.take(&outcome, found);
            }
        }
        set
    }

    /// Of these not all hold: at least one unit is paid. Counts them.
    fn count(&mut self, set: &[Lit], step: &Step<'_>) {
        let clause: Vec<Lit> = set.iter().map(|l| l.not()).collect();
        self.model.engine.settle();
        self.model.engine.clause(&clause);
        if !self.model.engine.settle() {
            return self.refuted();
        }
        let set: Vec<Var> = set.iter().map(|l| l.var.neg()).collect();
        if let [one] = set[..] {
            return self.lift(one, step);
        }
        if clause.iter().any(|&l| self.model.engine.is_true(l)) {
            // It was learnt of one of them already.
            return;
        }
        let cheapest = set.iter().map(|&v| self.price(v)).min().unwrap_or(0);
        if cheapest <= 0 {
            return;
        }
        let (mut least, mut most) = (0i64, 0i64);
        let mut sum: Vec<(i64, Var)> = Vec::new();
        for &var in &set {
            let (low, high) = (self.model.engine.low(var), self.model.engine.high(var));
            least += i64::from(low);
            most += i64::from(high) - i64::from(low);
            sum.push((-1, var));
        }
        for t in self.terms.iter_mut().filter(|t| set.contains(&t.var)) {
            t.price -= cheapest;
        }
        let high = i32::try_from(most.min(1 << 28)).unwrap_or(1 << 28);
        let count = self.model.engine.variable(1, high.max(1));
        sum.push((1, count));
        self.model.engine.linear(Linear::at_least(&[], &sum, -least));
        self.constant += cheapest * least;
        self.terms.push(Term { price: cheapest, var: count });
        self.terms.retain(|t| t.price > 0);
        self.model.engine.prefer(count.base(), 1);
        self.want_less();
        self.lift(count, step);
    }

    /// Raises the lower bound of a variable as far as is soon seen, in growing leaps.
    fn lift(&mut self, var: Var, step: &Step<'_>) {
        let mut leap = 1;
        while self.proved == Proved::Open && !(step.stop)() {
            if !self.model.engine.settle() {
                return self.refuted();
            }
            let (low, high) = (self.model.engine.low(var), self.model.engine.high(var));
            if low >= high {
                break;
            }
            let at = low.saturating_add(leap).min(high);
            match self.solve(&[var.at_most(at - 1)], false, SMALL, step) {
                Outcome::Refuted(core) => {
                    if core.is_empty() || !self.model.engine.settle() {
                        return self.refuted();
                    }
                    self.model.engine.fact(var.at_least(at));
                    leap = leap.saturating_mul(2);
                }
                _ if leap > 1 => leap = 1,
                _ => break,
            }
        }
        if !self.model.engine.settle() {
            self.refuted();
        }
    }
}
