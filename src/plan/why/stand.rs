//! A schedule as it stands: when each load starts and ends, and who takes
//! what when. Read off the rules at the head of `plan/problem.rs`; what is
//! concluded from it is checked by the judge.

use crate::plan::judge::{self, Serving};
use crate::plan::problem::{Point, Problem, Schedule};

/// Which way a block is moved.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// To an earlier minute.
    Earlier,
    /// To a later one.
    Later,
}

impl Side {
    /// Minutes with the sign of this side.
    #[must_use]
    pub const fn by(self, minutes: i32) -> i32 {
        match self {
            Self::Earlier => -minutes,
            Self::Later => minutes,
        }
    }
}

/// A schedule with its problem.
#[derive(Debug, Clone, Copy)]
pub struct Stand<'a> {
    /// The rules.
    pub problem: &'a Problem,
    /// The choices.
    pub schedule: &'a Schedule,
}

/// Who takes something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Who {
    /// A load, from its start to its end.
    Task(usize),
    /// A load that wants a cook's hands.
    Hands(usize),
    /// A pan or fridge place over several steps: an index into the stays.
    Stay(usize),
    /// A dish that waits for its service.
    Hold(usize),
}

/// So much of a resource for a while.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Claim {
    /// Whose.
    pub who: Who,
    /// Index of the resource.
    pub resource: usize,
    /// How much.
    pub amount: i32,
    /// First minute.
    pub from: i32,
    /// Minute after the last.
    pub to: i32,
    /// It stands as it happened.
    pub fixed: bool,
}

impl Claim {
    /// Does it take the resource at this minute?
    #[must_use]
    pub const fn covers(&self, minute: i32) -> bool {
        self.from <= minute && minute < self.to
    }
}

/// An oven at a setting for a while.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Heat {
    /// Whose.
    pub who: Who,
    /// Index of the oven.
    pub oven: usize,
    /// The setting, °C.
    pub c: i32,
    /// First minute.
    pub from: i32,
    /// Minute after the last.
    pub to: i32,
    /// It stands as it happened.
    pub fixed: bool,
}

impl Stand<'_> {
    /// Is the load done at all?
    #[must_use]
    pub fn active(&self, task: usize) -> bool {
        self.problem.active(self.schedule, task)
    }

    /// Has it begun?
    #[must_use]
    pub fn begun(&self, task: usize) -> bool {
        self.problem.tasks[task].fixed.is_some()
    }

    /// The minute at which a load starts.
    #[must_use]
    pub fn start(&self, task: usize) -> i32 {
        self.problem.tasks[task].fixed.map_or(self.schedule.start[task], |f| f.start)
    }

    /// The minute after its last.
    #[must_use]
    pub fn end(&self, task: usize) -> i32 {
        self.problem.end_of(self.schedule, task)
    }

    /// The minute of a point.
    #[must_use]
    pub fn at(&self, point: Point) -> i32 {
        if point.end { self.end(point.task) } else { self.start(point.task) }
    }

    /// When a dish is out, ready and served.
    #[must_use]
    pub fn serving(&self, dish: usize) -> Serving {
        judge::serving(self.problem, self.schedule, dish)
    }

    /// The first and the last load of a dish's last step, of those that are done.
    #[must_use]
    pub fn last_loads(&self, dish: usize) -> Option<(usize, usize)> {
        let step = &self.problem.steps[self.problem.dishes[dish].last_step];
        let loads = step.tasks();
        let first = loads.clone().find(|&t| self.active(t))?;
        loads.filter(|&t| self.active(t)).max_by_key(|&t| (self.end(t), t)).map(|l| (first, l))
    }

    /// The schedule with some loads moved.
    #[must_use]
    pub fn moved(&self, tasks: &[(usize, i32)]) -> Schedule {
        let mut schedule = self.schedule.clone();
        for &(task, by) in tasks {
            schedule.start[task] = schedule.start[task].saturating_add(by);
        }
        schedule
    }

    /// Who takes what when, in the order of the problem.
    #[must_use]
    pub fn claims(&self) -> Vec<Claim> {
        let mut claims = Vec::new();
        for t in (0..self.problem.tasks.len()).filter(|&t| self.active(t)) {
            self.task_claims(t, &mut claims);
        }
        for s in 0..self.problem.stays.len() {
            claims.extend(self.stay_claim(s));
        }
        for (d, dish) in self.problem.dishes.iter().enumerate() {
            let Some(hold) = self.schedule.hold[d].and_then(|h| dish.holds.get(h)) else {
                continue;
            };
            let serving = self.serving(d);
            let (from, to, fixed) = (serving.out, serving.served, dish.held.is_some());
            claims.extend(hold.uses.iter().map(|u| Claim {
                who: Who::Hold(d),
                resource: u.resource,
                amount: u.amount,
                from,
                to,
                fixed,
            }));
        }
        claims.retain(|c| c.from.max(self.problem.start) < c.to);
        claims
    }

    fn task_claims(&self, t: usize, claims: &mut Vec<Claim>) {
        let task = &self.problem.tasks[t];
        let mode = &self.problem.steps[task.step].modes[self.schedule.mode[task.step]];
        let (start, end, fixed) = (self.start(t), self.end(t), task.fixed.is_some());
        claims.extend(mode.uses.iter().map(|u| Claim {
            who: Who::Task(t),
            resource: u.resource,
            amount: u.amount,
            from: start,
            to: end,
            fixed,
        }));
        if let Some(cook) = self.schedule.cook[t] {
            claims.extend(mode.hands.iter().map(|part| Claim {
                who: Who::Hands(t),
                resource: cook,
                amount: part.percent,
                from: start + part.from,
                to: start + part.to,
                fixed,
            }));
        }
    }

    fn stay_claim(&self, s: usize) -> Option<Claim> {
        let stay = &self.problem.stays[s];
        let active = |p: &&Point| self.active(p.task);
        let from = stay.from.iter().filter(active).map(|&p| self.at(p)).min()?;
        let to = stay.to.iter().filter(active).map(|&p| self.at(p)).max()?;
        let mut points = stay.from.iter().chain(&stay.to).filter(active);
        let begun = points.all(|p| self.begun(p.task));
        let served = self.stay_served(s);
        let held = |&(d, h): &(usize, usize)| {
            self.schedule.hold[d] != Some(h) || self.problem.dishes[d].held.is_some()
        };
        Some(Claim {
            who: Who::Stay(s),
            resource: stay.uses.resource,
            amount: stay.uses.amount,
            from,
            to: served.map_or(to, |served| to.max(served)),
            fixed: begun && stay.through_hold.iter().all(held),
        })
    }

    /// When the dish is served that keeps a stay's pan through its hold.
    #[must_use]
    pub fn stay_served(&self, stay: usize) -> Option<i32> {
        let holds = &self.problem.stays[stay].through_hold;
        let chosen = holds.iter().filter(|&&(d, h)| self.schedule.hold[d] == Some(h));
        chosen.map(|&(d, _)| self.serving(d).served).max()
    }

    /// All uses of ovens that matter after the start of the problem.
    #[must_use]
    pub fn heats(&self) -> Vec<Heat> {
        let mut heats = Vec::new();
        for (t, task) in self.problem.tasks.iter().enumerate() {
            let mode = &self.problem.steps[task.step].modes[self.schedule.mode[task.step]];
            if let (true, Some(used), Some(c)) =
                (self.active(t), mode.oven, self.schedule.setting_c[t])
            {
                let (from, to, fixed) = (self.start(t), self.end(t), task.fixed.is_some());
                heats.push(Heat { who: Who::Task(t), oven: used.oven, c, from, to, fixed });
            }
        }
        for (d, dish) in self.problem.dishes.iter().enumerate() {
            let hold = self.schedule.hold[d].and_then(|h| dish.holds.get(h));
            if let (Some(used), Some(c)) =
                (hold.and_then(|h| h.oven), self.schedule.hold_setting_c[d])
            {
                let serving = self.serving(d);
                let (from, to, fixed) = (serving.out, serving.served, dish.held.is_some());
                heats.push(Heat { who: Who::Hold(d), oven: used.oven, c, from, to, fixed });
            }
        }
        heats.retain(|h| h.to > h.from && h.to > self.problem.start);
        heats
    }
}
