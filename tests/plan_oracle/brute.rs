//! The slow, obvious version: every choice there is, judged by the written rules.

use potwatch::plan::Schedule;
use potwatch::plan::judge::judge;
use potwatch::plan::problem::Problem;

/// What has been seen so far.
pub struct Brute<'a> {
    p: &'a Problem,
    s: Schedule,
    /// Choices not worth judging: those that cannot cost less than this.
    below: i64,
    best: Option<i64>,
    /// Answers that keep every rule: how many, and a few of them.
    valid: usize,
    some: Vec<(Schedule, i64)>,
}

/// Of so many answers that keep every rule one is remembered.
const ONE_OF: usize = 97;

impl<'a> Brute<'a> {
    /// The least cost of all answers, None if there is none, and some of the
    /// answers seen on the way. Those that are sure to cost more than `known` are
    /// not tried.
    pub fn least(p: &'a Problem, known: Option<i64>) -> (Option<i64>, Vec<(Schedule, i64)>) {
        let tried = Self::tried(p, known);
        (tried.best, tried.some)
    }

    fn tried(p: &'a Problem, known: Option<i64>) -> Self {
        let (steps, tasks, dishes) = (p.steps.len(), p.tasks.len(), p.dishes.len());
        let s = Schedule {
            mode: vec![0; steps],
            start: vec![0; tasks],
            cook: vec![None; tasks],
            setting_c: vec![None; tasks],
            hold: vec![None; dishes],
            hold_setting_c: vec![None; dishes],
        };
        let mut brute = Self {
            p,
            s,
            below: known.map_or(i64::MAX, |k| k + 1),
            best: None,
            valid: 0,
            some: Vec::new(),
        };
        brute.modes(0);
        brute
    }

    fn modes(&mut self, step: usize) {
        if step == self.p.steps.len() {
            return self.task(0);
        }
        for mode in 0..self.p.steps[step].modes.len() {
            self.s.mode[step] = mode;
            self.modes(step + 1);
        }
    }

    fn task(&mut self, t: usize) {
        if t == self.p.tasks.len() {
            if self.sure() < self.below {
                self.hold(0);
            }
            return;
        }
        let task = &self.p.tasks[t];
        if let Some(f) = task.fixed {
            (self.s.start[t], self.s.cook[t], self.s.setting_c[t]) = (f.start, f.cook, f.setting_c);
            return self.task(t + 1);
        }
        (self.s.start[t], self.s.cook[t], self.s.setting_c[t]) = (0, None, None);
        if !self.p.active(&self.s, t) {
            return self.task(t + 1);
        }
        let step = &self.p.steps[task.step];
        let mode = &step.modes[self.s.mode[task.step]];
        let last = task.latest.min(self.p.end - mode.minutes);
        for start in task.earliest.max(self.p.start)..=last {
            self.s.start[t] = start;
            if self.lag_broken(t) {
                continue;
            }
            let cooks: Vec<Option<usize>> = if mode.hands.is_empty() {
                vec![None]
            } else {
                step.cooks.iter().map(|&c| Some(c)).collect()
            };
            for cook in cooks {
                self.s.cook[t] = cook;
                let settings: Vec<Option<i32>> =
                    mode.oven.map_or(vec![None], |o| (o.least_c..=o.most_c).map(Some).collect());
                for setting in settings {
                    self.s.setting_c[t] = setting;
                    self.task(t + 1);
                }
            }
        }
    }

    /// Lags to tasks that all stand already: they prune, and the judge checks them again.
    fn lag_broken(&self, t: usize) -> bool {
        let at = |p: potwatch::plan::problem::Point| {
            if p.end { self.p.end_of(&self.s, p.task) } else { self.s.start[p.task] }
        };
        self.p.lags.iter().filter(|l| l.from.task.max(l.to.task) == t).any(|l| {
            let counts = self.p.active(&self.s, l.from.task) && self.p.active(&self.s, l.to.task);
            let gap = at(l.to) - at(l.from);
            counts && (gap < l.least || gap > l.most && l.soft_most.is_none())
        })
    }

    /// What cannot be avoided with these starts: lateness, cushions, ways and
    /// moves. All that is left out is above nothing.
    fn sure(&self) -> i64 {
        let mut cost = 0;
        for (d, dish) in self.p.dishes.iter().enumerate() {
            let serving = potwatch::plan::judge::serving(self.p, &self.s, d);
            cost += dish.late_price * i64::from(serving.served - dish.due);
            let early = (dish.due - serving.ready).max(0);
            cost += dish.cushion_price * i64::from((dish.cushion - early).max(0));
        }
        for (step, &mode) in self.p.steps.iter().zip(&self.s.mode) {
            cost += step.modes[mode].price;
        }
        for a in self.p.anchors.iter().filter(|a| self.p.active(&self.s, a.task)) {
            cost += a.price * i64::from((self.s.start[a.task] - a.start).abs());
        }
        cost
    }

    fn hold(&mut self, d: usize) {
        if d == self.p.dishes.len() {
            if let Ok(cost) = judge(self.p, &self.s) {
                if self.valid.is_multiple_of(ONE_OF) {
                    self.some.push((self.s.clone(), cost.total()));
                }
                self.valid += 1;
                self.best = Some(self.best.map_or(cost.total(), |b| b.min(cost.total())));
                self.below = self.below.min(cost.total());
            }
            return;
        }
        let dish = &self.p.dishes[d];
        if dish.held.is_none() {
            (self.s.hold[d], self.s.hold_setting_c[d]) = (None, None);
            self.hold(d + 1);
        }
        for (h, hold) in dish.holds.iter().enumerate() {
            if dish.held.is_some_and(|held| held != h) {
                continue;
            }
            self.s.hold[d] = Some(h);
            let settings: Vec<Option<i32>> = match (hold.oven, hold.setting_c) {
                (None, _) => vec![None],
                (Some(_), Some(c)) => vec![Some(c)],
                (Some(o), None) => (o.least_c..=o.most_c).map(Some).collect(),
            };
            for c in settings {
                self.s.hold_setting_c[d] = c;
                self.hold(d + 1);
            }
        }
        (self.s.hold[d], self.s.hold_setting_c[d]) = (None, None);
    }
}
