//! A schedule said to the engine, but for what of it is let go.

use super::super::engine::Var;
use super::{Expr, Lit, Model, Pair};
use crate::plan::problem::Schedule;

/// What of a schedule is let go: everything about these tasks, and how these dishes wait.
#[derive(Debug, Clone, Default)]
pub struct Free {
    /// For each task.
    pub tasks: Vec<bool>,
    /// For each dish.
    pub dishes: Vec<bool>,
}

impl Free {
    /// Nothing is let go.
    #[must_use]
    pub fn nothing(tasks: usize, dishes: usize) -> Self {
        Self { tasks: vec![false; tasks], dishes: vec![false; dishes] }
    }
}

/// Whose minute a variable is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Whose {
    Task(usize),
    Dish(usize),
    /// A number, or what has happened.
    Nobodys,
    /// It hangs on several.
    Several,
}

impl Model<'_> {
    /// Every choice of a schedule, and its minutes.
    pub fn exactly(&self, s: &Schedule) -> Vec<Lit> {
        let nothing = Free::nothing(self.p.tasks.len(), self.p.dishes.len());
        let mut said = self.choices_of(s, &nothing);
        for t in (0..self.p.tasks.len()).filter(|&t| self.is_open(s, t)) {
            said.extend([self.start[t].at_least(s.start[t]), self.start[t].at_most(s.start[t])]);
        }
        said
    }

    /// What a schedule does where and how, and what comes before what in it, but for what is free; no minutes. `values`: of
    /// all variables, as they are in it.
    pub fn kept(&self, s: &Schedule, values: &[i32], free: &Free) -> Vec<Lit> {
        let mut said = self.choices_of(s, free);
        let is_free = |e: Expr| match self.whose.get(e.var.base()) {
            Some(Whose::Task(t)) => free.tasks[*t],
            Some(Whose::Dish(d)) => free.dishes[*d],
            Some(Whose::Nobodys) => false,
            Some(Whose::Several) | None => true,
        };
        let any_free = |p: &Pair| [p.one.0, p.one.1, p.other.0, p.other.1].into_iter().any(is_free);
        let holds = |lit: Lit| {
            values
                .get(lit.var.base())
                .is_some_and(|&v| if lit.var.is_positive() { v >= lit.at } else { -v >= lit.at })
        };
        let pairs = self.pairs.iter().filter(|p| !any_free(p));
        said.extend(pairs.map(|p| if holds(p.first) { p.first } else { p.first.not() }));
        said.retain(|&l| !self.engine.is_true(l));
        said
    }

    /// The values of all variables, where each has one.
    #[must_use]
    pub fn values(&self) -> Vec<i32> {
        let all = 0..self.engine.variables() as u32;
        all.map(|base| self.engine.low(Var::positive(base))).collect()
    }

    fn is_open(&self, s: &Schedule, t: usize) -> bool {
        self.p.active(s, t) && self.p.tasks[t].fixed.is_none()
    }

    fn choices_of(&self, s: &Schedule, free: &Free) -> Vec<Lit> {
        let p = self.p;
        let mut said: Vec<Lit> = Vec::new();
        for (step, &k) in s.mode.iter().enumerate() {
            if !p.steps[step].tasks().any(|t| free.tasks[t]) {
                said.push(self.mode[step][k]);
            }
        }
        for (d, &h) in s.hold.iter().enumerate().filter(|(d, _)| !free.dishes[*d]) {
            said.push(h.map_or(self.straight[d], |h| self.hold[d][h]));
            let setting = h.and_then(|h| self.hold_setting.get(&(d, h)));
            said.extend(equal(setting.copied(), s.hold_setting_c[d]));
        }
        for t in (0..p.tasks.len()).filter(|&t| self.is_open(s, t) && !free.tasks[t]) {
            said.extend(self.cook[t].iter().filter(|c| Some(c.0) == s.cook[t]).map(|c| c.1));
            let setting = self.setting.get(&(t, s.mode[p.tasks[t].step]));
            said.extend(equal(setting.copied(), s.setting_c[t]));
        }
        said
    }

    pub(super) fn whose(&self) -> Vec<Whose> {
        let mut whose = vec![Whose::Several; self.engine.variables()];
        for (d, serving) in self.serving.iter().enumerate() {
            for e in [serving.out, serving.ready].into_iter().chain(serving.served) {
                whose[e.var.base()] = Whose::Dish(d);
            }
        }
        for t in 0..self.p.tasks.len() {
            for e in [self.start[t], self.end[t]] {
                whose[e.var.base()] = Whose::Task(t);
            }
        }
        whose[self.zero.base()] = Whose::Nobodys;
        whose
    }
}

fn equal(of: Option<Expr>, value: Option<i32>) -> impl Iterator<Item = Lit> {
    of.zip(value).into_iter().flat_map(|(e, c)| [e.at_least(c), e.at_most(c)])
}
