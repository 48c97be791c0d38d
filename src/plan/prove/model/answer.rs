//! From the engine's values to a schedule, and from a schedule to values to try first.

use super::{Expr, Lit, Model};
use crate::plan::problem::Schedule;

impl Model<'_> {
    /// The schedule that the values found stand for.
    #[must_use]
    pub fn schedule(&self) -> Schedule {
        let p = self.p;
        let chosen = |lits: &[Lit]| lits.iter().position(|&l| self.engine.is_true(l));
        let mode: Vec<usize> = self.mode.iter().map(|lits| chosen(lits).unwrap_or(0)).collect();
        let mut s = Schedule {
            start: self.start.iter().map(|&e| self.engine.lowest(e)).collect(),
            cook: vec![None; p.tasks.len()],
            setting_c: vec![None; p.tasks.len()],
            hold: self.hold.iter().map(|lits| chosen(lits)).collect(),
            hold_setting_c: vec![None; p.dishes.len()],
            mode,
        };
        for (t, task) in p.tasks.iter().enumerate() {
            let k = s.mode[task.step];
            let way = &p.steps[task.step].modes[k];
            if let Some(f) = task.fixed {
                (s.cook[t], s.setting_c[t]) = (f.cook, f.setting_c);
                continue;
            }
            if task.load >= way.loads {
                continue;
            }
            if !way.hands.is_empty() {
                s.cook[t] = self.cook[t].iter().find(|c| self.engine.is_true(c.1)).map(|c| c.0);
            }
            s.setting_c[t] = self.setting.get(&(t, k)).map(|&e| self.engine.lowest(e));
        }
        for d in 0..p.dishes.len() {
            let setting = s.hold[d].and_then(|h| self.hold_setting.get(&(d, h)));
            s.hold_setting_c[d] = setting.map(|&e| self.engine.lowest(e));
        }
        s
    }

    /// Allows no choice but those of a schedule.
    pub fn only(&mut self, s: &Schedule) {
        let said = self.exactly(s);
        for lit in said {
            self.engine.fact(lit);
        }
        self.engine.settle();
    }

    /// Tries the values of a schedule first from now on.
    pub fn prefer(&mut self, s: &Schedule) {
        let p = self.p;
        let lits = |this: &mut Self, lits: &[Lit], chosen: Option<usize>| {
            for (k, &l) in lits.iter().enumerate() {
                this.prefer_lit(l, Some(k) == chosen);
            }
        };
        for (step, &k) in s.mode.iter().enumerate() {
            lits(self, &self.mode[step].clone(), Some(k));
        }
        for (d, &h) in s.hold.iter().enumerate() {
            lits(self, &self.hold[d].clone(), h);
            if let Some((h, c)) = h.zip(s.hold_setting_c[d])
                && let Some(&e) = self.hold_setting.get(&(d, h))
            {
                self.prefer_value(e, c);
            }
        }
        for t in 0..p.tasks.len() {
            self.prefer_value(self.start[t], s.start[t]);
            let k = s.mode[p.tasks[t].step];
            if let Some((&e, c)) = self.setting.get(&(t, k)).zip(s.setting_c[t]) {
                self.prefer_value(e, c);
            }
            let cooks = self.cook[t].clone();
            let chosen = cooks.iter().position(|c| Some(c.0) == s.cook[t]);
            let of: Vec<Lit> = cooks.iter().map(|c| c.1).collect();
            lits(self, &of, chosen);
        }
    }

    fn prefer_value(&mut self, e: Expr, value: i32) {
        let own = value - e.add;
        self.engine.prefer(e.var.base(), if e.var.is_positive() { own } else { -own });
    }

    fn prefer_lit(&mut self, l: Lit, yes: bool) {
        let at = if yes { l.at } else { l.at - 1 };
        self.engine.prefer(l.var.base(), if l.var.is_positive() { at } else { -at });
    }

    /// The variables of choices, in the order in which a first dive sets them.
    #[must_use]
    pub fn choices(&self) -> Vec<u32> {
        let mut order: Vec<u32> = Vec::new();
        let of_lit = |l: &Lit| l.var.base() as u32;
        order.extend(self.mode.iter().flatten().map(of_lit));
        order.extend(self.hold.iter().flatten().map(of_lit));
        order.extend(self.cook.iter().flatten().map(|c| c.1.var.base() as u32));
        let mut starts: Vec<(i32, u32)> = Vec::new();
        for e in &self.start {
            starts.push((self.engine.lowest(*e), e.var.base() as u32));
        }
        starts.sort_unstable();
        order.extend(starts.into_iter().map(|s| s.1));
        order.extend(
            self.setting.values().chain(self.hold_setting.values()).map(|e| e.var.base() as u32),
        );
        order
    }
}
