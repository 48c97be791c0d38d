//! Modes, starts, ends, cooks, and lags between them.

use super::{Demand, Expr, Lit, Model};

impl Model<'_> {
    pub(super) fn tasks(&mut self) {
        for s in 0..self.p.steps.len() {
            let modes = self.choice(self.p.steps[s].modes.len());
            self.mode.push(modes);
        }
        for t in 0..self.p.tasks.len() {
            let active = self.active(t);
            self.active.push(active);
            match self.p.tasks[t].fixed {
                Some(f) => {
                    let (start, end) = (self.number(f.start), self.number(f.end));
                    self.start.push(start);
                    self.end.push(end);
                    let yes = self.yes();
                    self.cook.push(f.cook.map(|c| (c, yes)).into_iter().collect());
                }
                None => self.open_task(t, active),
            }
        }
    }

    /// The modes in which a task is done.
    pub(super) fn modes_of(&self, t: usize) -> Vec<usize> {
        let task = &self.p.tasks[t];
        let modes = self.p.steps[task.step].modes.iter().enumerate();
        modes.filter(|(_, m)| task.load < m.loads).map(|(k, _)| k).collect()
    }

    fn active(&mut self, t: usize) -> Lit {
        let step = self.p.tasks[t].step;
        let on = self.modes_of(t);
        if on.len() == self.mode[step].len() {
            return self.yes();
        }
        let lits: Vec<Lit> = on.iter().map(|&k| self.mode[step][k]).collect();
        self.any_of(&lits)
    }

    fn open_task(&mut self, t: usize, active: Lit) {
        let (task, step) = (&self.p.tasks[t], self.p.tasks[t].step);
        let on = self.modes_of(t);
        let minutes: Vec<i32> = on.iter().map(|&k| self.p.steps[step].modes[k].minutes).collect();
        let shortest = minutes.iter().copied().min().unwrap_or(0);
        let longest = minutes.iter().copied().max().unwrap_or(0);
        let relaxed = self.demands.is_some();
        let first = if relaxed { self.p.start } else { task.earliest.max(self.p.start) };
        let until = if relaxed { self.horizon } else { self.p.end };
        let latest = if relaxed { until } else { task.latest };
        let last = latest.min(until - shortest);
        let start = Expr::from(self.engine.variable(first, last.max(first)));
        if last < first {
            self.engine.clause(&[active.not()]);
        }
        let end = if shortest == longest {
            start.plus(shortest)
        } else {
            let high = (last + longest).max(first + longest);
            let end = Expr::from(self.engine.variable(first + shortest, high));
            self.engine.difference(&[], start, shortest, end);
            self.engine.difference(&[], end, -longest, start);
            for (&k, &d) in on.iter().zip(&minutes) {
                let when = [self.mode[step][k]];
                self.engine.difference(&when, start, d, end);
                self.engine.difference(&when, end, -d, start);
            }
            end
        };
        let ends_by = end.at_most(self.p.end);
        if relaxed {
            self.window_demands(t, active, start, ends_by);
        } else {
            self.engine.clause(&[active.not(), ends_by]);
        }
        self.start.push(start);
        self.end.push(end);
        self.cooks(t, &on);
    }

    fn window_demands(&mut self, t: usize, active: Lit, start: Expr, ends_by: Lit) {
        let task = &self.p.tasks[t];
        let mut when = vec![(Demand::End { task: t }, ends_by)];
        if task.earliest > self.p.start {
            when.push((Demand::Earliest { task: t }, start.at_least(task.earliest)));
        }
        if task.latest < self.horizon {
            when.push((Demand::Latest { task: t }, start.at_most(task.latest)));
        }
        for (demand, lit) in when {
            if let Some(kept) = self.demand(demand) {
                self.engine.clause(&[kept.not(), active.not(), lit]);
            }
        }
    }

    fn cooks(&mut self, t: usize, on: &[usize]) {
        let step = &self.p.steps[self.p.tasks[t].step];
        let handy: Vec<usize> =
            on.iter().copied().filter(|&k| !step.modes[k].hands.is_empty()).collect();
        if handy.is_empty() {
            return self.cook.push(Vec::new());
        }
        let lits = self.choice(step.cooks.len());
        self.cook.push(step.cooks.iter().copied().zip(lits).collect());
    }

    pub(super) fn lags(&mut self) {
        for (l, lag) in self.p.lags.iter().enumerate() {
            let (a, b) = (self.at(lag.from), self.at(lag.to));
            let when = [self.active[lag.from.task], self.active[lag.to.task]];
            let fixed = |t: usize| self.p.tasks[t].fixed.is_some();
            if !(fixed(lag.from.task) && fixed(lag.to.task)) {
                if lag.least > -super::FAR {
                    let least = lag.least.min(super::FAR);
                    self.engine.difference(&when, a, least, b);
                }
                if lag.most < super::FAR && lag.soft_most.is_none() {
                    let mut when = when.to_vec();
                    when.extend(self.demand(Demand::Most { lag: l }));
                    self.engine.difference(&when, b, -lag.most.max(-super::FAR), a);
                }
            }
            if let Some(price) = lag.soft_most.filter(|_| lag.most < super::FAR) {
                self.pay_over(price, &when, &[(b, a.plus(lag.most.max(-super::FAR)))]);
            }
            if let Some((best, price)) = lag.best {
                self.pay_over(price, &when, &[(a.plus(best.clamp(-super::FAR, super::FAR)), b)]);
            }
        }
    }
}
