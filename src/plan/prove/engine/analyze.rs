//! From a contradiction to a clause that would have prevented it: reasons are
//! put in place of what they imply until one statement of the latest level is
//! left (the first such point; Marques-Silva & Sakallah 1996). A statement is
//! asked for only as strong as it is needed.

use super::lit::Lit;
use super::{Engine, NONE, Reason};

/// Not asked for.
const UNMARKED: i32 = i32::MIN;
/// How deep the search for implied statements goes.
const DEPTH: u32 = 24;

/// Working space.
#[derive(Debug, Default)]
pub struct Analysis {
    /// For each entry of the trail, the bound that is asked of it.
    need: Vec<i32>,
    marked: Vec<u32>,
    /// For each entry the bound known to be implied, or not to be.
    implied: Vec<i32>,
    refuted: Vec<i32>,
    tried: Vec<u32>,
    buffer: Vec<Lit>,
}

impl Analysis {
    fn fit(&mut self, length: usize) {
        if self.need.len() < length {
            self.need.resize(length, UNMARKED);
            self.implied.resize(length, UNMARKED);
            self.refuted.resize(length, i32::MAX);
        }
    }

    fn clear(&mut self) {
        for &m in &self.marked {
            self.need[m as usize] = UNMARKED;
        }
        for &t in &self.tried {
            self.implied[t as usize] = UNMARKED;
            self.refuted[t as usize] = i32::MAX;
        }
        self.marked.clear();
        self.tried.clear();
    }
}

/// What was learnt.
pub struct Learnt {
    /// The clause; its first statement follows at once on `level`.
    pub lits: Vec<Lit>,
    /// Where to go back to.
    pub level: usize,
    /// How many levels it speaks of.
    pub levels: u32,
}

impl Engine {
    /// The latest level that the contradiction speaks of.
    pub(super) fn level_of_conflict(&self) -> u32 {
        let level = |l: &Lit| self.entry_of(*l).map_or(0, |e| self.trail[e].level);
        self.conflict.iter().map(level).max().unwrap_or(0)
    }

    /// Asks for a statement; true if it is new and of the latest level.
    fn ask(&mut self, lit: Lit, latest: u32) -> bool {
        let Some(e) = self.entry_of(lit) else { return false };
        let level = self.trail[e].level;
        if level == 0 {
            return false;
        }
        let need = &mut self.analysis.need[e];
        let is_new = *need == UNMARKED;
        *need = (*need).max(lit.at);
        if is_new {
            self.analysis.marked.push(e as u32);
            self.order.bump(lit.var.base());
        }
        is_new && level == latest
    }

    /// Learns from the contradiction at hand. None: it holds whatever is tried.
    pub(super) fn learn(&mut self) -> Option<Learnt> {
        let latest = self.level_of_conflict();
        if latest == 0 {
            return None;
        }
        self.analysis.fit(self.trail.len());
        let mut lits = std::mem::take(&mut self.conflict);
        let mut open = 0;
        for &l in &lits {
            open += u32::from(self.ask(l, latest));
        }
        let mut e = self.trail.len();
        loop {
            e -= 1;
            let need = self.analysis.need[e];
            if need == UNMARKED || self.trail[e].level != latest {
                continue;
            }
            if open == 1 {
                break;
            }
            open -= 1;
            self.analysis.need[e] = UNMARKED;
            let entry = self.trail[e];
            lits.clear();
            if let Reason::Clause(c) = entry.reason {
                self.clauses.used(c);
            }
            self.explain(entry.reason, entry.var.at_least(need), e, &mut lits);
            self.work += 1 + lits.len() as u64 / 4;
            for &l in &lits {
                open += u32::from(self.ask(l, latest));
            }
        }
        self.conflict = lits;
        Some(self.clause_of_marks(e))
    }

    /// The learnt clause: what is marked, less what the rest implies.
    fn clause_of_marks(&mut self, first: usize) -> Learnt {
        let mut marks = std::mem::take(&mut self.analysis.marked);
        marks.sort_unstable();
        marks.dedup();
        marks.retain(|&m| self.analysis.need[m as usize] != UNMARKED);
        let mut kept: Vec<usize> = vec![first];
        for &m in marks.iter().rev() {
            let m = m as usize;
            if m != first && !self.follows_from_marks(m) {
                kept.push(m);
            }
        }
        // Of several bounds of one variable the strongest says all.
        let mut lits: Vec<Lit> = Vec::with_capacity(kept.len());
        let mut of: Vec<u32> = Vec::with_capacity(kept.len());
        for &m in &kept {
            let entry = &self.trail[m];
            let later = lits.iter().any(|l| l.not().var == entry.var);
            if !later {
                lits.push(entry.var.at_least(self.analysis.need[m]).not());
                of.push(entry.level);
            }
        }
        let second = (1..of.len()).max_by_key(|&i| (of[i], std::cmp::Reverse(i)));
        let mut level = 0;
        if let Some(s) = second {
            lits.swap(1, s);
            level = of[s] as usize;
        }
        of.sort_unstable();
        of.dedup();
        self.analysis.marked = marks;
        let marked = std::mem::take(&mut self.analysis.marked);
        for &m in &marked {
            self.analysis.need[m as usize] = UNMARKED;
        }
        self.analysis.clear();
        Learnt { lits, level, levels: of.len() as u32 }
    }

    fn follows_from_marks(&mut self, e: usize) -> bool {
        if matches!(self.trail[e].reason, Reason::Choice) {
            return false;
        }
        let need = self.analysis.need[e];
        self.reason_follows(e, need, 0)
    }

    /// Does entry `e`, at bound `need`, follow from marked ones by its reason?
    fn reason_follows(&mut self, e: usize, need: i32, depth: u32) -> bool {
        let entry = self.trail[e];
        let mut lits = std::mem::take(&mut self.analysis.buffer);
        let from = lits.len();
        self.explain(entry.reason, entry.var.at_least(need), e, &mut lits);
        let to = lits.len();
        self.work += 1;
        let mut all = true;
        for i in from..to {
            let l = lits[i];
            self.analysis.buffer = lits;
            all = self.follows(l, depth + 1);
            lits = std::mem::take(&mut self.analysis.buffer);
            if !all {
                break;
            }
        }
        lits.truncate(from);
        self.analysis.buffer = lits;
        all
    }

    fn follows(&mut self, lit: Lit, depth: u32) -> bool {
        let Some(e) = self.entry_of(lit) else { return true };
        let entry = self.trail[e];
        if entry.level == 0 {
            return true;
        }
        let marked = self.analysis.need[e];
        if marked != UNMARKED && marked >= lit.at {
            return true;
        }
        if self.analysis.implied[e] >= lit.at {
            return true;
        }
        if self.analysis.refuted[e] <= lit.at
            || depth > DEPTH
            || matches!(entry.reason, Reason::Choice)
        {
            return false;
        }
        let follows = self.reason_follows(e, lit.at, depth);
        self.analysis.tried.push(e as u32);
        if follows {
            self.analysis.implied[e] = lit.at;
        } else {
            self.analysis.refuted[e] = lit.at;
        }
        follows
    }

    /// Which of the choices so far make `lits` true together. Each is given by its level, from 1.
    pub(super) fn choices_behind(&mut self, lits: &[Lit]) -> Vec<u32> {
        self.analysis.fit(self.trail.len());
        for &l in lits {
            self.ask(l, u32::MAX);
        }
        let mut found = Vec::new();
        let mut why = Vec::new();
        for e in (0..self.trail.len()).rev() {
            let need = self.analysis.need[e];
            if need == UNMARKED {
                continue;
            }
            let entry = self.trail[e];
            debug_assert!(entry.prev == NONE || (entry.prev as usize) < e);
            if matches!(entry.reason, Reason::Choice) {
                found.push(entry.level);
                continue;
            }
            why.clear();
            self.explain(entry.reason, entry.var.at_least(need), e, &mut why);
            for l in why.clone() {
                self.ask(l, u32::MAX);
            }
        }
        self.analysis.clear();
        found.sort_unstable();
        found.dedup();
        found
    }
}
