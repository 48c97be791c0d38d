//! Clauses: one of their statements must hold. Two of each clause are watched;
//! as long as neither is false there is nothing to do.

use super::lit::{Lit, Var};
use super::{Conflict, Engine, Reason};

/// A clause that wants to know when a bound reaches `at`.
#[derive(Debug, Clone, Copy)]
struct Watch {
    at: i32,
    clause: u32,
    /// A statement of the clause; where it is true, the clause is.
    other: Lit,
}

#[derive(Debug, Clone)]
struct Clause {
    lits: Vec<Lit>,
    learnt: bool,
    /// Levels that it spoke of when it was learnt: the fewer the better.
    levels: u32,
    activity: f32,
}

/// All clauses.
#[derive(Debug, Default)]
pub struct Clauses {
    all: Vec<Clause>,
    free: Vec<u32>,
    watches: Vec<Vec<Watch>>,
    learnt: usize,
    bump: f32,
}

/// Clauses of so few levels are never thrown away.
const GLUE: u32 = 2;

impl Clauses {
    /// Room for one more variable.
    pub fn grow(&mut self) {
        self.watches.push(Vec::new());
        self.watches.push(Vec::new());
    }

    /// Learnt clauses that are kept now.
    pub const fn learnt(&self) -> usize {
        self.learnt
    }

    /// The statements of a clause.
    pub fn lits(&self, clause: u32) -> &[Lit] {
        &self.all[clause as usize].lits
    }

    /// Adds a clause of at least two statements and watches the first two.
    pub fn add(&mut self, lits: Vec<Lit>, learnt: bool, levels: u32) -> u32 {
        let (a, b) = (lits[0], lits[1]);
        let clause = Clause { lits, learnt, levels, activity: self.bump };
        self.learnt += usize::from(learnt);
        let number = match self.free.pop() {
            Some(n) => {
                self.all[n as usize] = clause;
                n
            }
            None => {
                self.all.push(clause);
                (self.all.len() - 1) as u32
            }
        };
        self.watch(a, number, b);
        self.watch(b, number, a);
        number
    }

    fn watch(&mut self, lit: Lit, clause: u32, other: Lit) {
        let not = lit.not();
        self.watches[not.var.index()].push(Watch { at: not.at, clause, other });
    }

    /// A clause took part in a conflict.
    pub fn used(&mut self, clause: u32) {
        let bump = self.bump.max(1.0);
        self.bump = bump;
        let c = &mut self.all[clause as usize];
        if c.learnt {
            c.activity += bump;
            if c.activity > 1e20 {
                self.all.iter_mut().for_each(|c| c.activity *= 1e-20);
                self.bump *= 1e-20;
            }
        }
    }

    /// Older conflicts count for less.
    pub fn decay(&mut self) {
        self.bump = self.bump.max(1.0) * 1.001;
    }

    /// Throws half of the learnt clauses away: those that spoke of many levels
    /// and were little used. `kept` says which must stay.
    pub fn reduce(&mut self, kept: impl Fn(u32, Lit) -> bool) {
        let mut order: Vec<u32> = (0..self.all.len() as u32)
            .filter(|&c| {
                let clause = &self.all[c as usize];
                clause.learnt && clause.levels > GLUE && clause.lits.len() > 2
            })
            .collect();
        order.sort_by(|&a, &b| {
            let (x, y) = (&self.all[a as usize], &self.all[b as usize]);
            x.activity.total_cmp(&y.activity).then(y.levels.cmp(&x.levels)).then(a.cmp(&b))
        });
        let mut gone = vec![false; self.all.len()];
        for &c in &order[..order.len() / 2] {
            if !kept(c, self.all[c as usize].lits[0]) && !kept(c, self.all[c as usize].lits[1]) {
                gone[c as usize] = true;
            }
        }
        for list in &mut self.watches {
            list.retain(|w| !gone[w.clause as usize]);
        }
        for (c, _) in gone.iter().enumerate().filter(|(_, g)| **g) {
            self.all[c].lits = Vec::new();
            self.all[c].learnt = false;
            self.free.push(c as u32);
            self.learnt -= 1;
        }
    }
}

impl Engine {
    /// A bound of `var` rose: watched statements may have become false.
    pub(super) fn propagate_clauses(
        &mut self,
        var: Var,
        before: i32,
        to: i32,
    ) -> Result<(), Conflict> {
        let mut list = std::mem::take(&mut self.clauses.watches[var.index()]);
        let (mut read, mut write) = (0, 0);
        let mut done = Ok(());
        while read < list.len() {
            let w = list[read];
            read += 1;
            // Not false yet, or false before (and then the other one saw to the clause).
            if w.at > to || w.at <= before || self.is_true(w.other) {
                list[write] = w;
                write += 1;
                continue;
            }
            self.work += 1;
            match self.look(var, w) {
                Looked::Moved => {}
                Looked::Stays(w) => {
                    list[write] = w;
                    write += 1;
                }
                Looked::Clash(w) => {
                    list[write] = w;
                    write += 1;
                    done = Err(Conflict);
                    break;
                }
            }
        }
        while read < list.len() {
            list[write] = list[read];
            read += 1;
            write += 1;
        }
        list.truncate(write);
        // A statement of the same variable may have been watched anew meanwhile.
        let anew = std::mem::replace(&mut self.clauses.watches[var.index()], list);
        self.clauses.watches[var.index()].extend(anew);
        done
    }

    /// A watched statement of a clause, `var < at`, became false.
    fn look(&mut self, var: Var, w: Watch) -> Looked {
        let falsified = Lit { var, at: w.at }.not();
        let low = &self.low;
        let clause = &mut self.clauses.all[w.clause as usize];
        let lits = &mut clause.lits;
        if lits[0] == falsified {
            lits.swap(0, 1);
        }
        let first = lits[0];
        let is_true = |l: Lit| low[l.var.index()] >= l.at;
        let w = Watch { other: first, ..w };
        if is_true(first) {
            return Looked::Stays(w);
        }
        if let Some(k) = (2..lits.len()).find(|&k| !is_true(lits[k].not())) {
            lits.swap(1, k);
            let next = lits[1];
            self.clauses.watch(next, w.clause, first);
            return Looked::Moved;
        }
        if self.enqueue(first, Reason::Clause(w.clause)).is_err() {
            return Looked::Clash(w);
        }
        Looked::Stays(w)
    }

    /// Forgets half of what was learnt, but for what is in use.
    pub(super) fn forget(&mut self) {
        let mut clauses = std::mem::take(&mut self.clauses);
        clauses.reduce(|c, lit| {
            let e = self.entry_of(lit);
            let is_reason = |e: usize| matches!(self.trail[e].reason, Reason::Clause(r) if r == c);
            self.is_true(lit) && e.is_some_and(is_reason)
        });
        self.clauses = clauses;
    }
}

enum Looked {
    Moved,
    Stays(Watch),
    Clash(Watch),
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A clause of its own number, so that it is known again.
    fn lits(number: i32, count: u32) -> Vec<Lit> {
        (0..count).map(|v| Var::positive(v).at_least(number)).collect()
    }

    /// Those that are kept, by their numbers.
    fn left(clauses: &Clauses) -> Vec<i32> {
        let of = |c: &Clause| c.lits.first().map(|l| l.at);
        clauses.all.iter().filter_map(of).collect()
    }

    #[test]
    fn half_of_what_was_learnt_is_forgotten_the_least_used_first() {
        let mut clauses = Clauses::default();
        (0..4).for_each(|_| clauses.grow());
        clauses.add(lits(1, 3), false, 9);
        clauses.add(lits(2, 3), true, GLUE);
        clauses.add(lits(3, 2), true, 9);
        for n in 4..=9 {
            clauses.add(lits(n, 3), true, 5);
        }
        assert_eq!(clauses.learnt(), 8);
        // Of 4 to 9 the last and the first took part in conflicts, 6 lately.
        for number in [8, 3] {
            clauses.used(number);
        }
        (0..2000).for_each(|_| clauses.decay());
        clauses.used(5);
        // Three of the six go: 5 is in use, so only 7 and 8.
        clauses.reduce(|c, _| c == 4);
        assert_eq!(left(&clauses), [1, 2, 3, 4, 5, 6, 9]);
        assert_eq!(clauses.learnt(), 6);
        let watched = |clauses: &Clauses, n: u32| -> usize {
            clauses.watches.iter().flatten().filter(|w| w.clause == n).count()
        };
        assert_eq!([6, 7].map(|n| watched(&clauses, n)), [0, 0]);
        assert_eq!([0, 1, 2, 3, 4, 5, 8].map(|n| watched(&clauses, n)), [2; 7]);
        // Their places are taken again.
        let anew = [clauses.add(lits(10, 3), true, 5), clauses.add(lits(11, 3), true, 5)];
        assert!(anew.contains(&6) && anew.contains(&7), "{anew:?}");
        assert!([10, 11].iter().all(|n| left(&clauses).contains(n)), "what is put there is kept");
        // Of those that were used equally little, the one of most levels goes first.
        let mut clauses = Clauses::default();
        (0..4).for_each(|_| clauses.grow());
        for levels in [4, 6, 5, 7] {
            clauses.add(lits(levels, 3), true, levels as u32);
        }
        clauses.reduce(|_, _| false);
        assert_eq!(left(&clauses), [4, 5]);
    }

    /// A clause is in use by either of the two statements that it is watched by: it is the reason of the one that holds.
    #[test]
    fn what_is_in_use_by_one_of_its_statements_is_not_forgotten() {
        for side in 0..2 {
            let mut clauses = Clauses::default();
            (0..4).for_each(|_| clauses.grow());
            for n in 1..=4 {
                clauses.add(lits(n, 3), true, 5);
            }
            clauses.reduce(|c, l| c == 0 && l.var == Var::positive(side));
            assert_eq!(left(&clauses), [1, 3, 4]);
        }
    }

    #[test]
    fn use_may_grow_for_ever() {
        let mut clauses = Clauses::default();
        (0..4).for_each(|_| clauses.grow());
        for n in 1..=4 {
            clauses.add(lits(n, 3), true, 5);
        }
        for _ in 0..100_000 {
            clauses.used(1);
            clauses.decay();
        }
        clauses.used(2);
        assert!(clauses.all.iter().all(|c| c.activity.is_finite()) && clauses.bump.is_finite());
        clauses.reduce(|_, _| false);
        assert_eq!(left(&clauses), [2, 3]);
    }
}
