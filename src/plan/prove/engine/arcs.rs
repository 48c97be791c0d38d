//! Arcs: `to >= from + gap`, if up to a few statements hold.

use super::lit::{Lit, Var};
use super::{Conflict, Engine, Reason};

#[derive(Debug, Clone)]
struct Arc {
    when: Vec<Lit>,
    from: Var,
    gap: i32,
    to: Var,
}

/// What is asked of an arc first; mostly it is all.
#[derive(Debug, Clone, Copy)]
struct Out {
    arc: u32,
    gap: i32,
    to: Var,
    /// One of the statements that it waits for; where it waits for none, one that holds.
    guard: Lit,
}

/// All arcs. Each difference is two: one forward from lower bounds, one back
/// from upper ones.
#[derive(Debug, Default)]
pub struct Arcs {
    all: Vec<Arc>,
    /// Arcs from each signed variable.
    out: Vec<Vec<Out>>,
    /// Arcs that wait for a bound of each signed variable.
    waiting: Vec<Vec<(i32, u32)>>,
}

impl Arcs {
    /// Room for one more variable.
    pub fn grow(&mut self) {
        for _ in 0..2 {
            self.out.push(Vec::new());
            self.waiting.push(Vec::new());
        }
    }

    /// Adds both arcs of a difference; the number of the first.
    pub fn add(&mut self, when: Vec<Lit>, from: Var, gap: i32, to: Var) -> u32 {
        let number = self.all.len() as u32;
        let back = Arc { when: when.clone(), from: to.neg(), gap, to: from.neg() };
        for (arc, n) in [(Arc { when, from, gap, to }, number), (back, number + 1)] {
            let none = arc.from.at_least(i32::MIN);
            let guard = arc.when.last().copied().unwrap_or(none);
            let out = Out { arc: n, gap: arc.gap, to: arc.to, guard };
            self.out[arc.from.index()].push(out);
            for l in &arc.when {
                self.waiting[l.var.index()].push((l.at, n));
            }
            self.all.push(arc);
        }
        number
    }

    /// Why `lit` follows by this arc: as little as is needed.
    pub fn explain(&self, arc: u32, lit: Lit, out: &mut Vec<Lit>) {
        let arc = &self.all[arc as usize];
        out.extend_from_slice(&arc.when);
        out.push(arc.from.at_least(lit.at - arc.gap));
    }
}

impl Engine {
    /// A bound of `var` rose: arcs from it push, and arcs that waited for it may begin to.
    pub(super) fn propagate_arcs(
        &mut self,
        var: Var,
        before: i32,
        to: i32,
    ) -> Result<(), Conflict> {
        for i in 0..self.arcs.out[var.index()].len() {
            let out = self.arcs.out[var.index()][i];
            let at = self.low(var) + out.gap;
            // Most say nothing new, or wait for a statement and could not refute it either.
            let idle =
                at <= self.low(out.to) || at <= self.high(out.to) && !self.is_true(out.guard);
            if !idle {
                self.push_arc(out.arc)?;
            }
        }
        for i in 0..self.arcs.waiting[var.index()].len() {
            let (at, arc) = self.arcs.waiting[var.index()][i];
            if before < at && at <= to {
                self.push_arc(arc)?;
            }
        }
        Ok(())
    }

    pub(super) fn push_arc(&mut self, number: u32) -> Result<(), Conflict> {
        let arc = &self.arcs.all[number as usize];
        let (from, gap, to) = (arc.from, arc.gap, arc.to);
        let mut open = None;
        for &l in &arc.when {
            if self.is_true(l) {
                continue;
            }
            if open.is_some() || self.is_false(l) {
                return Ok(());
            }
            open = Some(l);
        }
        let at = self.low(from) + gap;
        let Some(open) = open else {
            return self.enqueue(to.at_least(at), Reason::Arc(number));
        };
        if at <= self.high(to) {
            return Ok(());
        }
        let mut why: Vec<Lit> = arc.when.iter().copied().filter(|&l| l != open).collect();
        why.push(from.at_least(self.low(from)));
        why.push(to.at_most(at - 1));
        self.enqueue_for(open.not(), &why)
    }
}
