//! Ovens: what overlaps there has one setting, and another setting takes its minutes.

use super::super::engine::Linear;
use super::{Expr, Lit, Model};
use crate::plan::problem::{Oven, OvenUse};

/// A stretch of time in an oven.
#[derive(Debug, Clone)]
struct Stretch {
    /// It is there if all of these hold.
    when: Vec<Lit>,
    start: Expr,
    end: Expr,
    setting: Expr,
    fixed: bool,
}

impl Model<'_> {
    pub(super) fn ovens(&mut self) {
        let mut stretches: Vec<Vec<Stretch>> = vec![Vec::new(); self.p.ovens.len()];
        for t in 0..self.p.tasks.len() {
            let (task, step) = (&self.p.tasks[t], &self.p.steps[self.p.tasks[t].step]);
            for k in self.modes_of(t) {
                let mode = &step.modes[k];
                let Some(OvenUse { oven, least_c, most_c }) = mode.oven else { continue };
                let lit = self.mode[task.step][k];
                let setting = match task.fixed {
                    Some(f) => match f.setting_c {
                        Some(c) if f.end > self.p.start && f.end > f.start => self.number(c),
                        _ => continue,
                    },
                    None => self.setting_between(lit, least_c, most_c),
                };
                self.setting.insert((t, k), setting);
                if task.fixed.is_none() && mode.minutes <= 0 {
                    continue;
                }
                let (start, end) = match task.fixed {
                    Some(_) => (self.start[t], self.end[t]),
                    None => (self.start[t], self.start[t].plus(mode.minutes)),
                };
                let fixed = task.fixed.is_some();
                stretches[oven].push(Stretch { when: vec![lit], start, end, setting, fixed });
            }
        }
        for d in 0..self.p.dishes.len() {
            self.holds_in_ovens(d, &mut stretches);
        }
        for (o, all) in stretches.iter_mut().enumerate() {
            let oven = &self.p.ovens[o];
            for s in all.iter_mut() {
                s.when.retain(|&l| !self.engine.is_true(l));
            }
            all.retain(|s| !s.when.iter().any(|&l| self.engine.is_false(l)));
            for (i, s) in all.iter().enumerate() {
                if !s.fixed {
                    let from = self.number(self.p.start);
                    let start_c = self.number(oven.start_c);
                    self.turn(&s.when.clone(), oven, (from, start_c), (s.start, s.setting));
                }
                for other in all[i + 1..].iter().filter(|other| !(s.fixed && other.fixed)) {
                    self.pair(oven, s, other);
                }
            }
        }
    }

    /// A setting within these; where they cross, the way is not open.
    fn setting_between(&mut self, lit: Lit, least: i32, most: i32) -> Expr {
        if least > most {
            self.engine.clause(&[lit.not()]);
            return self.number(least);
        }
        if least == most { self.number(least) } else { self.engine.variable(least, most).into() }
    }

    fn holds_in_ovens(&mut self, d: usize, stretches: &mut [Vec<Stretch>]) {
        let dish = &self.p.dishes[d];
        let serving = self.serving[d];
        for (h, hold) in dish.holds.iter().enumerate() {
            let Some(OvenUse { oven, least_c, most_c }) = hold.oven else { continue };
            let lit = self.hold[d][h];
            let setting = match hold.setting_c {
                Some(c) => self.number(c),
                None => self.setting_between(lit, least_c, most_c),
            };
            self.hold_setting.insert((d, h), setting);
            let (waits, end) = match serving.served {
                None => (serving.out.at_most(serving.due - 1), self.number(serving.due)),
                Some(served) => {
                    let waits = self.engine.yes_or_no();
                    self.engine.difference(&[waits], serving.out, 1, served);
                    self.engine.difference(&[waits.not()], served, 0, serving.out);
                    (waits, served)
                }
            };
            if self.engine.highest(end) <= self.p.start {
                continue;
            }
            let fixed = dish.held.is_some();
            stretches[oven].push(Stretch {
                when: vec![lit, waits],
                start: serving.out,
                end,
                setting,
                fixed,
            });
        }
    }

    /// From one setting to another: the oven needs its minutes.
    fn turn(&mut self, when: &[Lit], oven: &Oven, from: (Expr, Expr), to: (Expr, Expr)) {
        let e = &mut self.engine;
        let (low, high) = (e.lowest(from.1), e.highest(from.1));
        let (to_low, to_high) = (e.lowest(to.1), e.highest(to.1));
        let fixed = low == high && to_low == to_high;
        // At least so much whatever the settings.
        let least = if to_low > high {
            oven.minutes(high, to_low)
        } else if to_high < low {
            oven.minutes(low, to_high)
        } else {
            0
        };
        e.difference(when, from.0, least, to.0);
        if fixed {
            return;
        }
        let (a, b) = (from.0, to.0);
        for (rate, sign) in [(oven.up_c_per_min.max(1), 1), (oven.down_c_per_min.max(1), -1)] {
            // rate x (b - a) >= sign x (to's setting - from's setting)
            let rate = i64::from(rate);
            let constant =
                rate * i64::from(b.add - a.add) - sign * i64::from(to.1.add - from.1.add);
            let terms = [(rate, b.var), (-rate, a.var), (-sign, to.1.var), (sign, from.1.var)];
            e.linear(Linear::at_least(when, &terms, -constant));
        }
    }

    fn pair(&mut self, oven: &Oven, a: &Stretch, b: &Stretch) {
        let e = &self.engine;
        let fixed = |s: Expr| e.low(s.var) == e.high(s.var);
        let both_fixed = fixed(a.setting) && fixed(b.setting);
        let may_agree = e.lowest(a.setting) <= e.highest(b.setting)
            && e.lowest(b.setting) <= e.highest(a.setting);
        if both_fixed && may_agree {
            return;
        }
        let mut either: Vec<Lit> = a.when.iter().chain(&b.when).map(|l| l.not()).collect();
        let before = self.engine.yes_or_no();
        let (before, behind) =
            if may_agree { (before, self.engine.yes_or_no()) } else { (before, before.not()) };
        if may_agree {
            let same = self.engine.yes_or_no();
            self.less(&[same], a.setting, b.setting);
            self.less(&[same], b.setting, a.setting);
            either.push(same);
        }
        if may_agree {
            either.extend([before, behind]);
            self.engine.clause(&either);
            self.turn(&[before], oven, (a.end, a.setting), (b.start, b.setting));
            self.turn(&[behind], oven, (b.end, b.setting), (a.start, a.setting));
            return;
        }
        // One or the other; void where one of them is not there.
        let mut when: Vec<Lit> = a.when.iter().chain(&b.when).copied().collect();
        when.push(before);
        self.turn(&when, oven, (a.end, a.setting), (b.start, b.setting));
        if let Some(last) = when.last_mut() {
            *last = behind;
        }
        self.turn(&when, oven, (b.end, b.setting), (a.start, a.setting));
    }
}
