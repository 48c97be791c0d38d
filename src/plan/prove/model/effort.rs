//! Hands-on span, idle minutes, hops, moves, modes, and the last end of all.

use std::collections::BTreeMap;

use super::super::engine::Linear;
use super::{Expr, Lit, Model};

/// For a cook: first and last hands-on minute, and (percent x minutes, if this holds).
struct Day {
    first: Expr,
    last: Expr,
    work: Vec<(i64, Lit)>,
}

impl Model<'_> {
    pub(super) fn effort(&mut self) {
        self.mode_prices();
        if self.p.span_price > 0 || self.p.idle_price > 0 {
            self.days();
        }
        for link in &self.p.links {
            let step = &self.p.steps[link.to_step];
            if link.price == 0
                || step.task_count == 0
                || self.p.steps[link.from_step].task_count == 0
            {
                continue;
            }
            let ended = self.ended(link.from_step);
            let hop = self.engine.yes_or_no();
            let start = self.start[step.first_task];
            self.engine.difference(&[hop.not()], start, -link.least, ended);
            self.pay_if(link.price, hop);
        }
        for anchor in &self.p.anchors {
            let (start, active) = (self.start[anchor.task], self.active[anchor.task]);
            let was = self.number(anchor.start);
            self.pay_over(anchor.price, &[active], &[(start, was)]);
            self.pay_over(anchor.price, &[active], &[(was, start)]);
            if let Some((mode, price)) = anchor.mode {
                let other = self.mode[self.p.tasks[anchor.task].step][mode].not();
                let pays = self.all_of(&[active, other]);
                self.pay_if(price, pays);
            }
        }
        if self.p.finish_price > 0 {
            self.finish();
        }
    }

    /// Percent x minutes that a step asks of cooks in a mode, but for what has begun.
    fn work(&self, s: usize, k: usize) -> i64 {
        let (step, mode) = (&self.p.steps[s], &self.p.steps[s].modes[k]);
        let of_load: i64 =
            mode.hands.iter().map(|h| i64::from(h.percent) * i64::from(h.to - h.from)).sum();
        let loads = step
            .tasks()
            .filter(|&t| self.p.tasks[t].fixed.is_none() && self.p.tasks[t].load < mode.loads);
        of_load * loads.count() as i64
    }

    /// The prices of modes, less what their work takes off the idle minutes.
    fn mode_prices(&mut self) {
        for s in 0..self.p.steps.len() {
            let modes = &self.p.steps[s].modes;
            let price = |k: usize| modes[k].price - self.p.idle_price * self.work(s, k);
            let prices: Vec<i64> = (0..modes.len()).map(price).collect();
            let least = prices.iter().copied().min().unwrap_or(0);
            self.constant += least;
            for (k, price) in prices.into_iter().enumerate() {
                let lit = self.mode[s][k];
                self.pay_if(price - least, lit);
            }
        }
    }

    fn days(&mut self) {
        let mut days: BTreeMap<usize, Day> = BTreeMap::new();
        let until = self.number(self.p.effort_until);
        let mut starts: Vec<(Vec<Lit>, Expr)> = Vec::new();
        for t in 0..self.p.tasks.len() {
            if self.p.tasks[t].fixed.is_some() {
                continue;
            }
            let step = self.p.tasks[t].step;
            for k in self.modes_of(t) {
                let mode = &self.p.steps[step].modes[k];
                let (Some(first), Some(last)) = (mode.hands.first(), mode.hands.last()) else {
                    continue;
                };
                let lit = self.mode[step][k];
                let (from, to) = (self.start[t].plus(first.from), self.start[t].plus(last.to));
                let work = mode
                    .hands
                    .iter()
                    .map(|h| i64::from(h.percent) * i64::from(h.to - h.from))
                    .sum();
                starts.push((vec![lit], from));
                for (c, is_cook) in self.cook[t].clone() {
                    let present = self.all_of(&[lit, is_cook]);
                    let day = days.entry(c).or_insert_with(|| Day {
                        first: Expr::from(self.engine.variable(self.p.start, self.horizon)),
                        last: Expr::from(self.engine.variable(self.p.start, self.horizon)),
                        work: Vec::new(),
                    });
                    self.engine.difference(&[present], day.first, 0, from);
                    self.engine.difference(&[present], to, 0, day.last);
                    day.work.push((work, present));
                }
            }
        }
        if self.p.span_price > 0 && !starts.is_empty() {
            let most = self.p.effort_until - self.p.start;
            let span = Expr::from(self.engine.variable(0, most.max(0)));
            for (when, from) in starts {
                self.exceeds(&when, span, until, from);
            }
            self.pay(self.p.span_price, span);
        }
        if self.p.idle_price > 0 {
            self.idle(&days);
        }
    }

    /// From the first to the last minute of each cook; the work in between is in the modes' prices.
    fn idle(&mut self, days: &BTreeMap<usize, Day>) {
        for (&c, day) in days {
            let stretch = Expr::from(self.engine.variable(0, self.horizon - self.p.start));
            self.exceeds(&[], stretch, day.last, day.first);
            // No more work than fits.
            let mut terms = vec![(i64::from(self.p.resources[c].capacity.max(0)), stretch.var)];
            let mut certain = 0;
            for &(work, lit) in &day.work {
                if self.always(lit) {
                    certain += work;
                } else {
                    // Yes-or-no as a number: the variable, moved so that "no" is 0.
                    let low = i64::from(lit.at - 1);
                    terms.push((-work, lit.var));
                    certain -= work * low;
                }
            }
            self.engine.linear(Linear::at_least(&[], &terms, certain));
            self.pay(100 * self.p.idle_price, stretch);
        }
    }

    fn finish(&mut self) {
        let last = Expr::from(self.engine.variable(self.first.min(0), self.horizon));
        for t in 0..self.p.tasks.len() {
            let when = [self.active[t]];
            self.engine.difference(&when, self.end[t], 0, last);
        }
        self.pay(self.p.finish_price, last);
    }
}
