//! Resources: what tasks, hands, holds and stays take of them.

use std::collections::BTreeMap;

use super::super::engine::{Energy, Item, Table};
use super::{Demand, Expr, Lit, Model, NotModelled};
use crate::plan::problem::{Stay, Use};

/// Minute to amount.
type Taken = BTreeMap<i32, i32>;

/// What a dish of which more loads come takes where its first ones wait already: it stands, but nobody knows for how long.
struct Waiting {
    resource: usize,
    amount: i32,
    from: Expr,
    end: Expr,
    /// The latest that it can be served.
    last: i32,
}

impl Model<'_> {
    pub(super) fn places(&mut self) -> Result<(), NotModelled> {
        let mut taken = vec![Taken::new(); self.p.resources.len()];
        for t in 0..self.p.tasks.len() {
            self.task_uses(t, &mut taken);
        }
        let mut waiting = Vec::new();
        for d in 0..self.p.dishes.len() {
            self.hold_uses(d, &mut taken, &mut waiting)?;
        }
        let mut extended = Vec::new();
        for stay in &self.p.stays {
            self.stay(stay, &mut taken, &mut extended, &mut waiting)?;
        }
        self.go_on_waiting(&taken, &waiting)?;
        // A stay that stands, but would go on through a hold not begun: with that hold
        // it would no more excuse what others have taken already.
        for (resource, from, to, hold) in extended {
            let over = (from..to)
                .any(|m| taken[resource].get(&m).copied().unwrap_or(0) > self.open(resource, m));
            if over {
                self.engine.clause(&[hold.not()]);
            }
        }
        for (r, taken) in taken.iter().enumerate() {
            self.resource(r, taken);
        }
        Ok(())
    }

    /// What of a resource may be used at a minute, if nothing stood.
    fn open(&self, r: usize, minute: i32) -> i32 {
        let r = &self.p.resources[r];
        if r.closed.iter().any(|c| c.0 <= minute && minute < c.1) { 0 } else { r.capacity }
    }

    fn take(&self, taken: &mut [Taken], r: usize, (from, to): (i32, i32), amount: i32) {
        for minute in from.max(self.p.start)..to {
            *taken[r].entry(minute).or_default() += amount;
        }
    }

    fn task_uses(&mut self, t: usize, taken: &mut [Taken]) {
        let (task, step) = (&self.p.tasks[t], &self.p.steps[self.p.tasks[t].step]);
        for k in self.modes_of(t) {
            let mode = &step.modes[k];
            if let Some(f) = task.fixed {
                for u in &mode.uses {
                    self.take(taken, u.resource, (f.start, f.end), u.amount);
                }
                for part in mode.hands.iter().filter(|_| f.cook.is_some()) {
                    let stretch = (f.start + part.from, f.start + part.to);
                    self.take(taken, f.cook.unwrap_or(0), stretch, part.percent);
                }
                continue;
            }
            let (start, lit) = (self.start[t], self.mode[task.step][k]);
            for u in &mode.uses {
                self.item(u.resource, u.amount, start, start.plus(mode.minutes), lit);
            }
            for (c, is_cook) in self.cook[t].clone().into_iter().filter(|_| !mode.hands.is_empty())
            {
                let present = self.all_of(&[lit, is_cook]);
                for part in &mode.hands {
                    self.item(c, part.percent, start.plus(part.from), start.plus(part.to), present);
                }
            }
        }
    }

    fn item(&mut self, r: usize, amount: i32, start: Expr, end: Expr, present: Lit) {
        if self.engine.is_false(present)
            || start.var == end.var && start.add >= end.add
            || amount <= 0
        {
            return;
        }
        if amount > self.p.resources[r].capacity && self.demands.is_none() {
            // Only a use that lasts no time fits.
            return self.engine.difference(&[present], end, 0, start);
        }
        let present = (!self.always(present)).then_some(present);
        self.items[r].push(Item { start, end, present, amount });
    }

    /// Is all of a dish's last step done or begun?
    fn stands(&self, d: usize) -> bool {
        let step = &self.p.steps[self.p.dishes[d].last_step];
        step.tasks()
            .all(|t| self.p.tasks[t].fixed.is_some() || self.engine.is_false(self.active[t]))
    }

    /// When it is served, if that is known.
    fn served_at(&self, d: usize) -> i32 {
        self.engine.highest(self.serving[d].ready).max(self.p.dishes[d].due)
    }

    fn hold_uses(
        &mut self,
        d: usize,
        taken: &mut [Taken],
        waiting: &mut Vec<Waiting>,
    ) -> Result<(), NotModelled> {
        let dish = &self.p.dishes[d];
        let serving = self.serving[d];
        for (h, hold) in dish.holds.iter().enumerate() {
            let lit = self.hold[d][h];
            if self.engine.is_false(lit) || dish.held.is_some_and(|held| held != h) {
                continue;
            }
            if dish.held.is_some() {
                let out = self.engine.lowest(serving.out);
                if !self.stands(d) {
                    let (last, from) = (self.latest(d)?, self.number(self.p.start));
                    let end = serving.served.ok_or(NotModelled)?;
                    waiting.extend(hold.uses.iter().map(|u| {
                        let (resource, amount) = (u.resource, u.amount);
                        Waiting { resource, amount, from, end, last }
                    }));
                    continue;
                }
                for u in &hold.uses {
                    self.take(taken, u.resource, (out, self.served_at(d)), u.amount);
                }
                continue;
            }
            let end = serving.served.unwrap_or(self.number(serving.due));
            let out = self.no_sooner(serving.out);
            for u in &hold.uses {
                self.item(u.resource, u.amount, out, end, lit);
            }
        }
        Ok(())
    }

    /// The latest that a dish can be served of which a load is out, but not the last.
    fn latest(&self, d: usize) -> Result<i32, NotModelled> {
        let serving = self.serving[d];
        let is_out = self.engine.lowest(serving.out) == self.engine.highest(serving.out);
        let served = serving.served.filter(|_| is_out).ok_or(NotModelled)?;
        Ok(self.engine.highest(served))
    }

    /// What waits already and goes on waiting for the loads to come. What stands is excused where it alone is more than there
    /// is; how far that goes would hang on when the last load is ready, so that it is said only where nothing needs excusing.
    fn go_on_waiting(&mut self, taken: &[Taken], waiting: &[Waiting]) -> Result<(), NotModelled> {
        for w in waiting {
            let r = w.resource;
            let all: i32 = waiting.iter().filter(|o| o.resource == r).map(|o| o.amount).sum();
            let stands = |m: i32| taken[r].get(&m).copied().unwrap_or(0) + all;
            if (self.p.start..w.last).any(|m| stands(m) > self.open(r, m)) {
                return Err(NotModelled);
            }
            self.item(r, w.amount, w.from, w.end, self.yes());
        }
        Ok(())
    }

    /// When something begins to count as used. What was used before the
    /// problem begins counts no more: it may have been more than there is.
    fn no_sooner(&self, begin: Expr) -> Expr {
        if self.engine.highest(begin) < self.p.start { self.number(self.p.start) } else { begin }
    }

    fn stay(
        &mut self,
        stay: &Stay,
        taken: &mut [Taken],
        extended: &mut Vec<(usize, i32, i32, Lit)>,
        waiting: &mut Vec<Waiting>,
    ) -> Result<(), NotModelled> {
        let at = |m: &Self, points: &[crate::plan::problem::Point]| -> Vec<(Expr, Lit)> {
            let all = points.iter().map(|&p| (m.at(p), m.active[p.task]));
            all.filter(|(_, l)| !m.engine.is_false(*l)).collect()
        };
        let (mut from, to) = (at(self, &stay.from), at(self, &stay.to));
        if from.is_empty() || to.is_empty() {
            return Ok(());
        }
        let through: Vec<(usize, Lit)> = stay
            .through_hold
            .iter()
            .map(|&(d, h)| (d, self.hold[d][h]))
            .filter(|(_, l)| !self.engine.is_false(*l))
            .collect();
        let points = || {
            stay.from.iter().chain(&stay.to).filter(|p| !self.engine.is_false(self.active[p.task]))
        };
        let u = stay.uses;
        if points().all(|p| self.p.tasks[p.task].fixed.is_some()) {
            let begin = from.iter().map(|f| self.engine.lowest(f.0)).min().unwrap_or(0);
            let end = to.iter().map(|t| self.engine.lowest(t.0)).max().unwrap_or(0);
            return self.begun_stay(u, (begin, end), &through, taken, extended, waiting);
        }
        for (begin, _) in &mut from {
            *begin = self.no_sooner(*begin);
        }
        let begun: Vec<Lit> = from.iter().map(|f| f.1).collect();
        let ended: Vec<Lit> = to.iter().map(|t| t.1).collect();
        let (begun, ended) = (self.any_of(&begun), self.any_of(&ended));
        let present = self.all_of(&[begun, ended]);
        let begin = match from[..] {
            [(one, lit)] if self.always(lit) => one,
            _ => {
                let low = from.iter().map(|f| self.engine.lowest(f.0)).min().unwrap_or(self.first);
                let begin = Expr::from(self.engine.variable(low, self.horizon));
                for &(e, lit) in &from {
                    self.less(&[lit], begin, e);
                }
                begin
            }
        };
        let end = self.end_of_stay(&to, &through);
        self.item(u.resource, u.amount, begin, end, present);
        Ok(())
    }

    /// A stay of which all points have happened, so that it stands until then at the least.
    fn begun_stay(
        &mut self,
        u: Use,
        (begin, mut end): (i32, i32),
        through: &[(usize, Lit)],
        taken: &mut [Taken],
        extended: &mut Vec<(usize, i32, i32, Lit)>,
        waiting: &mut Vec<Waiting>,
    ) -> Result<(), NotModelled> {
        let (mut open, mut going_on) = (Vec::new(), Vec::new());
        for &(d, lit) in through {
            match self.p.dishes[d].held {
                Some(_) if self.stands(d) => end = end.max(self.served_at(d)),
                Some(_) => going_on.push((d, lit)),
                None => open.push((d, lit)),
            }
        }
        let from = self.number(end.max(self.p.start));
        for (d, lit) in going_on {
            let last = self.latest(d)?;
            let end = self.end_of_stay(&[(from, self.yes())], &[(d, lit)]);
            let (resource, amount) = (u.resource, u.amount);
            waiting.push(Waiting { resource, amount, from, end, last });
        }
        self.take(taken, u.resource, (begin, end), u.amount);
        for (d, lit) in open {
            extended.push((u.resource, begin.max(self.p.start), end, lit));
            let last = self.end_of_stay(&[(from, self.yes())], &[(d, lit)]);
            self.item(u.resource, u.amount, from, last, lit);
        }
        Ok(())
    }

    /// A minute that is no earlier than all of these that count, and no earlier
    /// than the serving of dishes that wait there.
    fn end_of_stay(&mut self, to: &[(Expr, Lit)], through: &[(usize, Lit)]) -> Expr {
        if let ([(one, lit)], []) = (to, through)
            && self.always(*lit)
        {
            return *one;
        }
        let end = Expr::from(self.engine.variable(self.first, self.horizon));
        for &(e, lit) in to {
            self.less(&[lit], e, end);
        }
        for &(d, lit) in through {
            for top in self.tops(self.serving[d]) {
                self.less(&[lit], top, end);
            }
        }
        end
    }

    fn resource(&mut self, r: usize, taken: &Taken) {
        let capacity = self.p.resources[r].capacity;
        let mut items = std::mem::take(&mut self.items[r]);
        if items.is_empty() {
            return;
        }
        let standing;
        if self.demands.is_none() {
            let left = |m: i32| (self.open(r, m) - taken.get(&m).copied().unwrap_or(0)).max(0);
            standing = self.stretches(|m| capacity - left(m).min(capacity));
        } else {
            let kept = self.demand(Demand::Capacity { resource: r });
            for item in &mut items {
                let present: Vec<Lit> = item.present.into_iter().chain(kept).collect();
                item.present = Some(self.all_of(&present));
            }
            let used = |m: i32| taken.get(&m).copied().unwrap_or(0).min(capacity);
            let closed = |m: i32| if self.open(r, m) == 0 { capacity - used(m) } else { 0 };
            let shut = self.stretches(closed);
            standing = self.stretches(used);
            if let Some(open) =
                self.demand(Demand::Open { resource: r }).filter(|_| !shut.is_empty())
            {
                for (from, to, amount) in shut {
                    let (start, end) = (self.number(from), self.number(to));
                    items.push(Item { start, end, present: Some(open), amount });
                }
            }
        }
        self.items[r].clone_from(&items);
        self.engine.table(Table::new(capacity, standing.clone(), items.clone()));
        if items.len() > 2 {
            self.engine.energy(Energy::new(capacity, standing, items));
        }
    }

    /// Stretches of minutes with the same amount above nothing.
    fn stretches(&self, amount: impl Fn(i32) -> i32) -> Vec<(i32, i32, i32)> {
        let mut all: Vec<(i32, i32, i32)> = Vec::new();
        for minute in self.p.start..=self.horizon {
            let n = amount(minute);
            match all.last_mut() {
                Some(last) if last.1 == minute && last.2 == n => last.1 = minute + 1,
                _ if n > 0 => all.push((minute, minute + 1, n)),
                _ => {}
            }
        }
        all
    }
}
