//! A resource of which only so much is there: what surely uses it at a minute
//! leaves the rest to the others (time-table reasoning, explained minute by
//! minute; Schutt, Feydy, Stuckey & Wallace, Constraints 16, 2011).

use super::lit::{Expr, Lit, Var};
use super::{Conflict, Engine};

/// A use of it, from `start` to just before `end`, if `present` holds.
#[derive(Debug, Clone)]
pub struct Item {
    /// First minute.
    pub start: Expr,
    /// Minute after the last.
    pub end: Expr,
    /// Whether it is there at all; None: always.
    pub present: Option<Lit>,
    /// How much.
    pub amount: i32,
}

impl Item {
    /// Is it known to be there?
    pub(super) fn is_there(&self, e: &Engine) -> bool {
        self.present.is_none_or(|l| e.is_true(l))
    }

    /// Is it known not to be there?
    pub(super) fn is_away(&self, e: &Engine) -> bool {
        self.present.is_some_and(|l| e.is_false(l))
    }

    /// Its length, if that is the same whenever it starts.
    #[must_use]
    pub fn length(&self) -> Option<i32> {
        (self.start.var == self.end.var).then(|| self.end.add - self.start.add)
    }

    /// The minutes that it covers wherever it stands.
    pub(super) fn sure(&self, e: &Engine) -> (i32, i32) {
        (e.highest(self.start), e.lowest(self.end))
    }

    /// Why it covers `from..to`.
    pub(super) fn cover(&self, from: i32, to: i32, out: &mut Vec<Lit>) {
        out.push(self.start.at_most(from));
        out.push(self.end.at_least(to));
        out.extend(self.present);
    }

    /// Bounds that matter to what it surely covers, and to where it may go.
    pub(super) fn watched(&self) -> impl Iterator<Item = Var> + '_ {
        let (s, e) = (self.start.var, self.end.var);
        [s, s.neg(), e, e.neg()].into_iter().chain(self.present.map(|l| l.var))
    }
}

/// The resource.
#[derive(Debug, Clone, Default)]
pub struct Table {
    /// How much there is at once.
    pub capacity: i32,
    /// Uses that stand: from, to, amount.
    pub standing: Vec<(i32, i32, i32)>,
    /// The others.
    pub items: Vec<Item>,
    events: Vec<(i32, i32)>,
    heights: Vec<Stretch>,
}

/// From, to, and how much is surely used there.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    from: i32,
    to: i32,
    height: i32,
}

/// Variables whose bounds matter to any of these uses, each once.
pub(super) fn watched(items: &[Item]) -> impl Iterator<Item = Var> + use<> {
    let mut vars: Vec<Var> = items.iter().flat_map(Item::watched).collect();
    vars.sort_unstable();
    vars.dedup();
    vars.into_iter()
}

impl Table {
    /// A resource with these uses.
    #[must_use]
    pub fn new(capacity: i32, standing: Vec<(i32, i32, i32)>, items: Vec<Item>) -> Self {
        Self { capacity, standing, items, ..Self::default() }
    }

    /// Variables whose bounds matter.
    pub fn watched(&self) -> impl Iterator<Item = Var> + '_ {
        watched(&self.items)
    }

    pub(super) fn propagate(&mut self, e: &mut Engine) -> Result<(), Conflict> {
        e.work += 2 + self.items.len() as u64 / 2;
        self.measure(e);
        if let Some(over) = self.heights.iter().find(|s| s.height > self.capacity) {
            let mut why = Vec::new();
            self.why_high(e, over.from, self.capacity + 1, None, &mut why);
            return e.fail(&why);
        }
        for i in 0..self.items.len() {
            let item = &self.items[i];
            let room = self.capacity - item.amount;
            if item.is_away(e) || self.heights.iter().all(|s| s.height <= room) {
                continue;
            }
            if item.is_there(e) {
                self.push_later(e, i)?;
                self.push_earlier(e, i)?;
            } else {
                self.drop_if_crowded(e, i)?;
            }
        }
        Ok(())
    }

    fn measure(&mut self, e: &Engine) {
        self.events.clear();
        self.heights.clear();
        for item in &self.items {
            let (from, to) = item.sure(e);
            if from < to && item.is_there(e) {
                self.events.push((from, item.amount));
                self.events.push((to, -item.amount));
            }
        }
        for &(from, to, amount) in &self.standing {
            self.events.push((from, amount));
            self.events.push((to, -amount));
        }
        self.events.sort_unstable();
        let mut height = 0;
        for (i, &(at, change)) in self.events.iter().enumerate() {
            height += change;
            let next = self.events.get(i + 1).map_or(at, |e| e.0);
            if next > at && height > 0 {
                self.heights.push(Stretch { from: at, to: next, height });
            }
        }
    }

    /// Its own part of a stretch.
    fn own(&self, e: &Engine, i: usize, at: i32) -> i32 {
        let item = &self.items[i];
        let (from, to) = item.sure(e);
        if from <= at && at < to && item.is_there(e) { item.amount } else { 0 }
    }

    /// Uses (but `but`) that surely cover the minute and together use `need`.
    fn why_high(&self, e: &Engine, at: i32, need: i32, but: Option<usize>, out: &mut Vec<Lit>) {
        let stands = self.standing.iter().filter(|s| s.0 <= at && at < s.1);
        let mut need = need - stands.map(|s| s.2).sum::<i32>();
        let mut covers: Vec<usize> =
            (0..self.items.len()).filter(|&i| Some(i) != but && self.own(e, i, at) > 0).collect();
        covers.sort_by_key(|&i| (std::cmp::Reverse(self.items[i].amount), i));
        // Small ones first go, as long as the rest is enough.
        let mut spare: i32 = covers.iter().map(|&i| self.items[i].amount).sum::<i32>() - need;
        covers.retain(|&i| {
            let amount = self.items[i].amount;
            let leave = amount <= spare;
            if leave {
                spare -= amount;
            }
            !leave
        });
        for i in covers {
            if need <= 0 {
                break;
            }
            need -= self.items[i].amount;
            self.items[i].cover(at, at + 1, out);
        }
    }

    fn push_later(&self, e: &mut Engine, i: usize) -> Result<(), Conflict> {
        let item = &self.items[i];
        for s in &self.heights {
            let (start, end) = (e.lowest(item.start), e.lowest(item.end));
            if s.from >= end {
                break;
            }
            if s.to <= start || s.height - self.own(e, i, s.from) + item.amount <= self.capacity {
                continue;
            }
            // It cannot cover this stretch, and it ends past a minute of it: step by step
            // where it is shorter than the stretch.
            loop {
                let (start, end) = (e.lowest(item.start), e.lowest(item.end));
                let at = s.to.min(end) - 1;
                if at < start || at < s.from {
                    break;
                }
                let mut why = vec![item.end.at_least(at + 1)];
                why.extend(item.present);
                self.why_high(e, at, self.capacity + 1 - item.amount, Some(i), &mut why);
                e.enqueue_for(item.start.at_least(at + 1), &why)?;
            }
        }
        Ok(())
    }

    fn push_earlier(&self, e: &mut Engine, i: usize) -> Result<(), Conflict> {
        let item = &self.items[i];
        for s in self.heights.iter().rev() {
            let (start, end) = (e.highest(item.start), e.highest(item.end));
            if s.to <= start {
                break;
            }
            if s.from >= end || s.height - self.own(e, i, s.from) + item.amount <= self.capacity {
                continue;
            }
            loop {
                let (start, end) = (e.highest(item.start), e.highest(item.end));
                let at = s.from.max(start);
                if at >= end || at >= s.to {
                    break;
                }
                let mut why = vec![item.start.at_most(at)];
                why.extend(item.present);
                self.why_high(e, at, self.capacity + 1 - item.amount, Some(i), &mut why);
                e.enqueue_for(item.end.at_most(at), &why)?;
            }
        }
        Ok(())
    }

    fn drop_if_crowded(&self, e: &mut Engine, i: usize) -> Result<(), Conflict> {
        let item = &self.items[i];
        let Some(present) = item.present else { return Ok(()) };
        let (from, to) = item.sure(e);
        for s in &self.heights {
            let at = s.from.max(from);
            if at >= s.to.min(to) || s.height + item.amount <= self.capacity {
                continue;
            }
            let mut why = vec![item.start.at_most(at), item.end.at_least(at + 1)];
            self.why_high(e, at, self.capacity + 1 - item.amount, Some(i), &mut why);
            return e.enqueue_for(present.not(), &why);
        }
        Ok(())
    }
}
