//! A planning problem said in variables, differences, linear inequalities,
//! resources and clauses, rule by rule as written at [`crate::plan::problem`].

mod answer;
#[cfg(test)]
mod begun_tests;
mod dishes;
mod effort;
#[cfg(test)]
mod fits_tests;
mod free;
mod orders;
mod ovens;
mod places;
mod tasks;

use std::collections::BTreeMap;

pub use free::Free;
use free::Whose;

use super::demand::Demand;
use super::engine::{Engine, Expr, Item, Linear, Lit, Var};
use crate::plan::problem::{Point, Problem};

/// Something of the problem that is not modelled, so that nothing can be proved of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotModelled;

/// So much for each unit of a variable.
#[derive(Debug, Clone, Copy)]
pub struct Term {
    /// Above nothing.
    pub price: i64,
    /// The variable.
    pub var: Var,
}

/// When a dish is out, ready and served.
#[derive(Debug, Clone, Copy)]
struct Serving {
    out: Expr,
    ready: Expr,
    due: i32,
    /// None where the last step has one load: then it is the later of out and due.
    served: Option<Expr>,
}

/// Two stretches, each from and to, of which one comes before the other.
#[derive(Debug, Clone, Copy)]
struct Pair {
    one: (Expr, Expr),
    other: (Expr, Expr),
    /// The one comes first.
    first: Lit,
}

/// The whole of it.
#[derive(Debug)]
pub struct Model<'a> {
    p: &'a Problem,
    /// What propagates and searches.
    pub engine: Engine,
    zero: Var,
    mode: Vec<Vec<Lit>>,
    active: Vec<Lit>,
    start: Vec<Expr>,
    end: Vec<Expr>,
    /// For each task, (cook, whether it is the one).
    cook: Vec<Vec<(usize, Lit)>>,
    /// For each (task, mode) in an oven, its setting.
    setting: BTreeMap<(usize, usize), Expr>,
    hold: Vec<Vec<Lit>>,
    straight: Vec<Lit>,
    hold_setting: BTreeMap<(usize, usize), Expr>,
    serving: Vec<Serving>,
    items: Vec<Vec<Item>>,
    /// What the cost is made of, but for `constant`.
    pub terms: Vec<Term>,
    /// Cost that cannot be changed.
    pub constant: i64,
    /// Where demands may be dropped: each with the statement that it is kept.
    pub demands: Option<Vec<(Demand, Lit)>>,
    /// All that cannot use something at once.
    pairs: Vec<Pair>,
    /// Of each variable here, but for those that a proof adds.
    whose: Vec<Whose>,
    /// Latest minute of anything.
    horizon: i32,
    first: i32,
}

/// Minutes are at most so far from nothing, or nothing is proved.
const FAR: i32 = 1 << 20;
/// Prices are at most so much, or nothing is proved.
const DEAR: i64 = 1 << 36;
/// Minutes past its end that a problem may last if its end is a demand that may be dropped.
const BEYOND: i32 = 720;

impl<'a> Model<'a> {
    /// Says the problem.
    ///
    /// # Errors
    /// If some rule or number in it is outside of what is modelled.
    pub fn new(p: &'a Problem) -> Result<Self, NotModelled> {
        Self::build(p, false)
    }

    /// Says the problem without its prices, each demand such that it can be given up.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub fn of_demands(p: &'a Problem) -> Result<Self, NotModelled> {
        Self::build(p, true)
    }

    fn build(p: &'a Problem, with_demands: bool) -> Result<Self, NotModelled> {
        Self::fits(p)?;
        let mut engine = Engine::default();
        let zero = engine.variable(0, 0);
        let fixed = p.tasks.iter().filter_map(|t| t.fixed);
        let times =
            fixed.clone().flat_map(|f| [f.start, f.end]).chain(p.dishes.iter().map(|d| d.due));
        let beyond = if with_demands { BEYOND } else { 0 };
        let mut m = Self {
            horizon: times.clone().chain([p.end]).max().unwrap_or(p.end) + beyond,
            first: times.chain([p.start]).min().unwrap_or(p.start),
            p,
            engine,
            zero,
            mode: Vec::new(),
            active: Vec::new(),
            start: Vec::new(),
            end: Vec::new(),
            cook: Vec::new(),
            setting: BTreeMap::new(),
            hold: Vec::new(),
            straight: Vec::new(),
            hold_setting: BTreeMap::new(),
            serving: Vec::new(),
            items: vec![Vec::new(); p.resources.len()],
            terms: Vec::new(),
            constant: 0,
            demands: with_demands.then(Vec::new),
            pairs: Vec::new(),
            whose: Vec::new(),
        };
        m.tasks();
        m.lags();
        m.dishes();
        // What follows so far makes what comes smaller. Nothing may rest on it: what
        // has happened is read from the problem.
        m.engine.settle();
        m.places()?;
        m.ovens();
        m.engine.settle();
        if !with_demands {
            m.effort();
        }
        m.orders();
        m.engine.settle();
        m.whose = m.whose();
        Ok(m)
    }

    /// Are all numbers such that sums of them fit, and all prices above nothing?
    fn fits(p: &Problem) -> Result<(), NotModelled> {
        let near = |n: i32| (-FAR..=FAR).contains(&n);
        let fair = |price: i64| (0..=DEAR).contains(&price);
        let fixed_modes =
            p.tasks.iter().all(|t| t.fixed.is_none() || p.steps[t.step].modes.len() == 1);
        let hold = |h: &crate::plan::problem::Hold| {
            fair(h.price)
                && fair(h.soft_most.unwrap_or(0))
                && fair(h.best.map_or(0, |b| b.1))
                && near(h.free)
                && h.limits.iter().all(|l| fair(l.soft_most.unwrap_or(0)))
        };
        let all = near(p.start)
            && near(p.end)
            && near(p.effort_until)
            && fixed_modes
            && p.steps.iter().flat_map(|s| &s.modes).all(|m| near(m.minutes) && fair(m.price))
            && p.tasks.iter().filter_map(|t| t.fixed).all(|f| near(f.start) && near(f.end))
            && p.lags
                .iter()
                .all(|l| fair(l.soft_most.unwrap_or(0)) && fair(l.best.map_or(0, |b| b.1)))
            && p.dishes.iter().all(|d| {
                near(d.due)
                    && fair(d.late_price)
                    && fair(d.cushion_price)
                    && fair(d.straight_price)
                    && d.holds.iter().all(hold)
                    && d.straight.iter().all(|l| fair(l.soft_most.unwrap_or(0)))
            })
            && p.links.iter().all(|l| fair(l.price))
            && p.anchors
                .iter()
                .all(|a| near(a.start) && fair(a.price) && fair(a.mode.map_or(0, |m| m.1)))
            && fair(p.span_price)
            && fair(p.idle_price)
            && fair(p.finish_price);
        if all { Ok(()) } else { Err(NotModelled) }
    }

    // Small helpers.

    fn number(&self, n: i32) -> Expr {
        Expr { var: self.zero, add: n }
    }

    fn yes(&self) -> Lit {
        self.zero.at_least(0)
    }

    fn always(&self, lit: Lit) -> bool {
        self.engine.is_true(lit)
    }

    /// A statement that a demand is kept, if demands may be dropped here.
    fn demand(&mut self, demand: Demand) -> Option<Lit> {
        self.demands.as_ref()?;
        let kept = self.engine.yes_or_no();
        if let Some(demands) = &mut self.demands {
            demands.push((demand, kept));
        }
        Some(kept)
    }

    /// A statement that is true just when all of these are.
    fn all_of(&mut self, lits: &[Lit]) -> Lit {
        let open: Vec<Lit> = lits.iter().copied().filter(|&l| !self.engine.is_true(l)).collect();
        if let Some(&no) = open.iter().find(|&&l| self.engine.is_false(l)) {
            return no;
        }
        match open[..] {
            [] => self.yes(),
            [one] => one,
            _ => {
                let all = self.engine.yes_or_no();
                let mut back = vec![all];
                for &l in &open {
                    self.engine.clause(&[all.not(), l]);
                    back.push(l.not());
                }
                self.engine.clause(&back);
                all
            }
        }
    }

    /// A statement that is true just when one of these is.
    fn any_of(&mut self, lits: &[Lit]) -> Lit {
        let nots: Vec<Lit> = lits.iter().map(|l| l.not()).collect();
        self.all_of(&nots).not()
    }

    /// One of as many statements is true.
    fn choice(&mut self, count: usize) -> Vec<Lit> {
        match count {
            1 => vec![self.yes()],
            2 => {
                let one = self.engine.yes_or_no();
                vec![one, one.not()]
            }
            _ => {
                let lits: Vec<Lit> = (0..count).map(|_| self.engine.yes_or_no()).collect();
                self.engine.clause(&lits);
                for (i, a) in lits.iter().enumerate() {
                    for b in &lits[i + 1..] {
                        self.engine.clause(&[a.not(), b.not()]);
                    }
                }
                lits
            }
        }
    }

    fn at(&self, point: Point) -> Expr {
        if point.end { self.end[point.task] } else { self.start[point.task] }
    }

    /// `a <= b` if all of `when` hold.
    fn less(&mut self, when: &[Lit], a: Expr, b: Expr) {
        self.engine.difference(when, a, 0, b);
    }

    /// `price` for each unit of an expression that is never below nothing.
    fn pay(&mut self, price: i64, e: Expr) {
        if price > 0 && self.demands.is_none() {
            self.constant += price * i64::from(e.add);
            self.terms.push(Term { price, var: e.var });
        }
    }

    /// `price` if the statement holds.
    fn pay_if(&mut self, price: i64, lit: Lit) {
        if price == 0 || self.demands.is_some() || self.engine.is_false(lit) {
            return;
        }
        if self.engine.is_true(lit) {
            self.constant += price;
            return;
        }
        // A bound from 0 to 1 is the statement itself.
        let own = (self.engine.low(lit.var), self.engine.high(lit.var));
        if own.0 == lit.at - 1 && own.1 == lit.at {
            let e = Expr { var: lit.var, add: 1 - lit.at };
            return self.pay(price, e);
        }
        let yes = self.engine.yes_or_no();
        self.engine.clause(&[lit.not(), yes]);
        self.pay(price, yes.var.into());
    }

    /// `price` for each unit by which the largest of `plus - minus` is above
    /// nothing, counted if all of `when` hold.
    fn pay_over(&mut self, price: i64, when: &[Lit], gaps: &[(Expr, Expr)]) {
        if price == 0 || self.demands.is_some() || when.iter().any(|&l| self.engine.is_false(l)) {
            return;
        }
        let most = |(a, b): &(Expr, Expr)| self.engine.highest(*a) - self.engine.lowest(*b);
        let most = gaps.iter().map(most).max().unwrap_or(0);
        if most <= 0 {
            return;
        }
        let over = self.engine.variable(0, most);
        for &(a, b) in gaps {
            self.exceeds(when, over.into(), a, b);
        }
        self.pay(price, over.into());
    }

    /// `over >= a - b` if all of `when` hold.
    fn exceeds(&mut self, when: &[Lit], over: Expr, a: Expr, b: Expr) {
        let (e, zero) = (&mut self.engine, self.zero);
        if e.low(b.var) == e.high(b.var) {
            let b = e.lowest(b);
            e.difference(when, a, -b, over);
        } else if e.low(a.var) == e.high(a.var) {
            // over >= a - b: -b + a <= over.
            let a = e.lowest(a);
            e.difference(when, b.neg(), a, over);
        } else if a.var == b.var {
            e.difference(when, Expr { var: zero, add: 0 }, a.add - b.add, over);
        } else {
            let least = i64::from(a.add) - i64::from(b.add) - i64::from(over.add);
            let terms = [(1, over.var), (-1, a.var), (1, b.var)];
            e.linear(Linear::at_least(when, &terms, least));
        }
    }
}
