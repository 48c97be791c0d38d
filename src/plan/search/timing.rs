//! The best minutes for an order: ways, cooks, waits, settings and who follows
//! whom stay as a schedule has them; all starts are chosen anew together.
//!
//! Points are the starts of tasks, when a dish is served, when a pan or place
//! is taken and given back, and the first and last minute of each cook's
//! hands. [`queues`] says who follows whom. What is found is exact for that
//! order (see [`super::ties`]) where no link breaks; a breaking one counts by the minute.

mod queues;

use super::model::Model;
use super::ties::{HARD, Ties};
use crate::plan::problem::{Point, Schedule};

/// A point of the network and minutes after it.
type At = (usize, i32);

/// The network of a schedule.
struct Timing<'m> {
    m: &'m Model,
    s: &'m Schedule,
    ties: Ties,
    /// For each task its point (0: it stands, or is not done).
    task: Vec<usize>,
    /// For each dish when it is served.
    served: Vec<usize>,
    /// Where each point is now: nothing that is yet to begin lies in the past.
    x: Vec<i32>,
    /// Where the schedule has each point, be it in the past: it says the order.
    was: Vec<i32>,
}

/// The starts that cost least in the order of a schedule, from its own starts
/// or, where those cannot be, from the earliest after them. None if the order
/// cannot be kept.
pub fn best(m: &Model, s: &Schedule) -> Option<Vec<i32>> {
    let mut t = Timing {
        m,
        s,
        ties: Ties::default(),
        task: vec![0; m.p.tasks.len()],
        served: vec![0; m.p.dishes.len()],
        x: vec![0],
        was: vec![0],
    };
    t.windows();
    t.dishes();
    t.lags();
    t.changes();
    t.efforts();
    queues::add(&mut t)?;
    let Timing { ties, task, mut x, .. } = t;
    if !ties.put_off(&mut x) {
        return None;
    }
    ties.descend(&mut x);
    let starts = s.start.iter().zip(&task);
    Some(starts.map(|(&s, &v)| if v == 0 { s } else { x[v] }).collect())
}

impl Timing<'_> {
    fn point(&mut self, minute: i32, was: i32) -> usize {
        self.x.push(minute);
        self.was.push(was);
        self.x.len() - 1
    }

    /// Where the schedule has it.
    fn was(&self, (point, minutes): At) -> i32 {
        self.was[point] + minutes
    }

    fn active(&self, task: usize) -> bool {
        let t = &self.m.p.tasks[task];
        t.load < self.m.p.steps[t.step].modes[self.s.mode[t.step]].loads
    }

    fn minutes(&self, task: usize) -> i32 {
        self.m.minutes(task, self.s.mode[self.m.p.tasks[task].step])
    }

    /// A minute after the start of a task, as the network says it.
    fn after(&self, task: usize, minutes: i32) -> At {
        match self.m.p.tasks[task].fixed {
            Some(f) => (0, f.start + minutes),
            None => (self.task[task], minutes),
        }
    }

    fn at(&self, point: Point) -> At {
        self.after(point.task, if point.end { self.minutes(point.task) } else { 0 })
    }

    fn now(&self, (point, minutes): At) -> i32 {
        self.x[point] + minutes
    }

    fn loads(&self, step: usize) -> std::ops::Range<usize> {
        self.m.loads(step, self.s.mode[step])
    }

    /// One is no earlier than another.
    fn follow(&mut self, before: At, after: At, least: i32) {
        self.ties.under(before, after, least, HARD);
    }

    fn windows(&mut self) {
        for t in 0..self.task.len() {
            let task = &self.m.p.tasks[t];
            if task.fixed.is_some() || !self.active(t) {
                continue;
            }
            let least = task.earliest.max(0);
            let most = task.latest.min(self.m.h - self.minutes(t));
            let v = self.point(self.s.start[t].max(least), self.s.start[t]);
            self.task[t] = v;
            self.follow((0, 0), (v, 0), least);
            self.ties.over((0, 0), (v, 0), most, HARD);
            // Of equals the later start.
            self.ties.under((0, 0), (v, 0), self.m.h, 1);
        }
    }

    fn dishes(&mut self) {
        let (m, scale) = (self.m, self.m.scale);
        for (d, dish) in m.p.dishes.iter().enumerate() {
            let ends: Vec<At> =
                self.loads(dish.last_step).map(|t| self.after(t, self.minutes(t))).collect();
            let Some(&out) = ends.first() else { continue };
            let latest = ends.iter().map(|&e| self.now(e)).max().unwrap_or(dish.due);
            let was = ends.iter().map(|&e| self.was(e)).max().unwrap_or(dish.due);
            let ready = self.point(latest, was);
            let served = self.point(latest.max(dish.due), was.max(dish.due));
            self.served[d] = served;
            for &end in &ends {
                self.follow(end, (ready, 0), 0);
            }
            self.follow((ready, 0), (served, 0), 0);
            self.follow((0, 0), (served, 0), dish.due);
            let cushion = dish.cushion_price.min(dish.late_price) * scale;
            self.ties.over((0, 0), (ready, 0), dish.due - dish.cushion, cushion);
            let late = dish.late_price * scale - if dish.cushion > 0 { cushion } else { 0 };
            self.ties.over((0, 0), (served, 0), dish.due, late);
            self.wait(d, out);
        }
    }

    /// How long a dish may and would best wait, and its limits.
    fn wait(&mut self, d: usize, out: At) {
        let (dish, scale) = (&self.m.p.dishes[d], self.m.scale);
        let served = (self.served[d], 0);
        let hold = self.s.hold[d].and_then(|h| dish.holds.get(h));
        if let Some(hold) = hold {
            self.ties.over(out, served, hold.free, hold.price * scale);
            let past = hold.soft_most.map_or(HARD, |fee| fee * scale);
            self.ties.over(out, served, hold.most, past);
            if let Some((best, fee)) = hold.best {
                self.ties.under(out, served, best, fee * scale);
            }
        } else {
            self.ties.over(out, served, 0, HARD);
        }
        for limit in hold.map_or(&dish.straight, |h| &h.limits) {
            if self.active(limit.from.task) {
                let past = limit.soft_most.map_or(HARD, |fee| fee * scale);
                self.ties.over(self.at(limit.from), served, limit.most, past);
            }
        }
    }

    fn lags(&mut self) {
        let (m, scale) = (self.m, self.m.scale);
        for lag in &m.p.lags {
            if !self.active(lag.from.task) || !self.active(lag.to.task) {
                continue;
            }
            let (from, to) = (self.at(lag.from), self.at(lag.to));
            if lag.least != i32::MIN {
                self.follow(from, to, lag.least);
            }
            if lag.most != i32::MAX {
                let past = lag.soft_most.map_or(HARD, |fee| fee * scale);
                self.ties.over(from, to, lag.most, past);
            }
            if let Some((best, fee)) = lag.best {
                self.ties.under(from, to, best, fee * scale);
            }
        }
    }

    /// Moves against the plan on the screen, and links that are kept now.
    fn changes(&mut self) {
        let (m, scale) = (self.m, self.m.scale);
        for a in &m.p.anchors {
            if !self.active(a.task) {
                continue;
            }
            let at = self.after(a.task, 0);
            self.ties.over((0, 0), at, a.start, a.price * scale);
            self.ties.under((0, 0), at, a.start, a.price * scale);
        }
        for link in &m.p.links {
            let ends = self.loads(link.from_step).map(|t| self.after(t, self.minutes(t)));
            let Some(end) = ends.max_by_key(|&e| self.was(e)) else { continue };
            let to = self.after(m.p.steps[link.to_step].first_task, 0);
            if self.was(to) <= self.was(end) + link.least {
                // A link costs once; by the minute it is kept wherever that pays.
                self.ties.over(end, to, link.least, link.price * scale);
            }
        }
    }

    /// The cooks' hours and the last end of all.
    fn efforts(&mut self) {
        let (p, scale) = (&self.m.p, self.m.scale);
        let mut first: Option<usize> = None;
        let mut days: Vec<Option<(usize, usize)>> = vec![None; p.resources.len()];
        let hours = p.span_price != 0 || p.idle_price != 0;
        for (t, task) in p.tasks.iter().enumerate() {
            let hands = &p.steps[task.step].modes[self.s.mode[task.step]].hands;
            let (Some(a), Some(b), Some(cook)) = (hands.first(), hands.last(), self.s.cook[t])
            else {
                continue;
            };
            if !hours || task.fixed.is_some() || !self.active(t) || cook >= days.len() {
                continue;
            }
            let (from, to) = (self.after(t, a.from), self.after(t, b.to));
            let (begin, end) = (self.now(from), self.now(to));
            let all = *first.get_or_insert_with(|| self.point(begin, begin));
            let (mine, last) =
                *days[cook].get_or_insert_with(|| (self.point(begin, begin), self.point(end, end)));
            for early in [all, mine] {
                self.x[early] = self.x[early].min(begin);
                self.follow((early, 0), from, 0);
            }
            self.x[last] = self.x[last].max(end);
            self.follow(to, (last, 0), 0);
        }
        if let Some(first) = first {
            self.ties.under((0, 0), (first, 0), p.effort_until, p.span_price * scale);
        }
        for (begin, end) in days.into_iter().flatten() {
            self.ties.over((begin, 0), (end, 0), 0, p.idle_price * 100 * scale);
        }
        if p.finish_price > 0 {
            let all = (0..p.tasks.len()).filter(|&t| self.active(t));
            let ends: Vec<At> = all.map(|t| self.after(t, self.minutes(t))).collect();
            let end = ends.iter().map(|&e| self.now(e)).max().unwrap_or(0);
            let last = self.point(end, end);
            for end in ends {
                self.follow(end, (last, 0), 0);
            }
            self.ties.over((0, 0), (last, 0), 0, p.finish_price * scale);
        }
    }
}
