//! What stands so far ([`Laid`]), and what that leaves of resources and ovens.

use std::ops::{Deref, DerefMut};

use super::laid::Laid;
use super::model::{Model, NONE};
use super::oven::{OvenLine, Stint};
use super::profile::Profile;
use crate::plan::problem::{Hold, Point, Schedule};

/// A schedule in the making.
#[derive(Debug, Clone)]
pub struct State<'m> {
    laid: Laid<'m>,
    /// For each dish: is it known how it waits?
    pub settled: Vec<bool>,
    /// For each dish that is settled: out and served.
    pub wait: Vec<(i32, i32)>,
    /// What is left of each resource.
    pub profiles: Vec<Profile>,
    /// The ovens.
    pub ovens: Vec<OvenLine>,
    /// For each stay the minutes it takes so far.
    stay: Vec<(i32, i32)>,
    /// Stays and holds that stand whatever is done.
    stands: Vec<bool>,
    /// For each dish what its wait took that has begun, though loads of it are
    /// still to come: of which resource, since when, and how much at each minute.
    begun: Vec<Vec<(usize, i32, Vec<i32>)>>,
}

impl<'m> Deref for State<'m> {
    type Target = Laid<'m>;

    fn deref(&self) -> &Laid<'m> {
        &self.laid
    }
}

impl DerefMut for State<'_> {
    fn deref_mut(&mut self) -> &mut Self::Target {
        &mut self.laid
    }
}

impl<'m> State<'m> {
    /// Only what is fixed stands.
    pub fn new(m: &'m Model) -> Self {
        let p = &m.p;
        let mut levels: Vec<Vec<i32>> = vec![Vec::new(); p.resources.len()];
        for s in &p.steps {
            for mode in &s.modes {
                for u in &mode.uses {
                    levels[u.resource].push(u.amount);
                }
                for part in &mode.hands {
                    for &c in &s.cooks {
                        levels[c].push(part.percent);
                    }
                }
            }
        }
        for stay in &p.stays {
            levels[stay.uses.resource].push(stay.uses.amount);
        }
        for u in p.dishes.iter().flat_map(|d| &d.holds).flat_map(|h| &h.uses) {
            levels[u.resource].push(u.amount);
        }
        let profiles = p.resources.iter().zip(levels).map(|(r, mut levels)| {
            levels.sort_unstable();
            levels.dedup();
            Profile::new(r, levels, m.room)
        });
        let dishes = p.dishes.len();
        let mut state = Self {
            laid: Laid::new(m),
            settled: vec![false; dishes],
            wait: vec![(0, 0); dishes],
            profiles: profiles.collect(),
            ovens: p.ovens.iter().map(OvenLine::new).collect(),
            stay: vec![(0, 0); p.stays.len()],
            stands: vec![false; p.stays.len()],
            begun: vec![Vec::new(); dishes],
        };
        state.put_fixed();
        state
    }

    /// Puts in what happened: tasks, holds already begun, stays that are all past or held.
    fn put_fixed(&mut self) {
        let m = self.m;
        for (t, task) in m.p.tasks.iter().enumerate() {
            let Some(f) = task.fixed else { continue };
            let mode = &m.p.steps[task.step].modes[self.mode[task.step]];
            for u in &mode.uses {
                self.profiles[u.resource].take_fixed(f.start, f.end, u.amount);
            }
            if let Some(c) = f.cook {
                for part in &mode.hands {
                    let (from, to) = (f.start + part.from, f.start + part.to);
                    self.profiles[c].take_fixed(from, to, part.percent);
                }
            }
            if let (Some(o), Some(c)) = (mode.oven, f.setting_c) {
                let stint = Stint { start: f.start, end: f.end, lo: c, hi: c, owner: t };
                self.ovens[o.oven].put_fixed(stint);
            }
        }
        for d in 0..m.p.dishes.len() {
            self.put_held(d);
        }
        for (s, stay) in m.p.stays.iter().enumerate() {
            let points = stay.from.iter().chain(&stay.to);
            let past = points.clone().all(|q| m.p.tasks[q.task].fixed.is_some());
            let goes_on = |&(d, h): &(usize, usize)| {
                let held = m.p.dishes[d].held;
                held.is_some_and(|held| held != h || self.settled[d])
                    || (held.is_none() && m.p.dishes[d].holds.is_empty())
            };
            if past && stay.through_hold.iter().all(goes_on) {
                let (from, to) = self.span(s);
                self.profiles[stay.uses.resource].take_fixed(from, to, stay.uses.amount);
                self.stands[s] = true;
            }
        }
        // After all that is as it happened: what is too much for a place then shows.
        (0..m.p.stays.len()).for_each(|s| self.refresh_stay(s));
    }

    /// A dish that waits already, its last step done.
    fn put_held(&mut self, d: usize) {
        let m = self.m;
        let dish = &m.p.dishes[d];
        let Some(h) = dish.held else { return };
        let Some((out, ready)) = self.made(d) else { return };
        let step = dish.last_step;
        if m.loads(step, self.mode[step]).any(|t| m.p.tasks[t].fixed.is_none()) {
            return;
        }
        let served = ready.max(dish.due);
        let hold = &dish.holds[h];
        for u in &hold.uses {
            self.profiles[u.resource].take_fixed(out, served, u.amount);
        }
        if let (Some(o), Some(c)) = (hold.oven, setting_if_held(hold)) {
            let owner = m.p.tasks.len() + d;
            self.ovens[o.oven].put_fixed(Stint { start: out, end: served, lo: c, hi: c, owner });
        }
        self.hold[d] = h;
        self.settled[d] = true;
        self.wait[d] = (out, served);
    }

    /// Puts a task into a place that was found to fit.
    pub fn place(&mut self, task: usize, start: i32, cook: usize) {
        self.placed[task] = true;
        self.start[task] = start;
        self.cook[task] = cook;
        self.use_up(task, 1);
    }

    /// Takes a task away (never a fixed one).
    pub fn unplace(&mut self, task: usize) {
        if self.placed[task] && self.m.p.tasks[task].fixed.is_none() {
            self.use_up(task, -1);
            self.placed[task] = false;
            for i in 0..self.m.stays_of[task].len() {
                self.refresh_stay(self.m.stays_of[task][i]);
            }
        }
    }

    fn use_up(&mut self, task: usize, sign: i32) {
        let m = self.m;
        let step = m.p.tasks[task].step;
        let mode = &m.p.steps[step].modes[self.mode[step]];
        let (start, end) = (self.start[task], self.end(task));
        for u in &mode.uses {
            self.profiles[u.resource].take(start, end, sign * u.amount);
        }
        let cook = self.cook[task];
        if cook != NONE {
            for part in &mode.hands {
                let profile = &mut self.profiles[cook];
                profile.take(start + part.from, start + part.to, sign * part.percent);
            }
        }
        if let Some(o) = mode.oven {
            if sign > 0 {
                let (lo, hi) = (o.least_c, o.most_c);
                self.ovens[o.oven].put(Stint { start, end, lo, hi, owner: task });
            } else {
                self.ovens[o.oven].take(task);
            }
        }
        if sign > 0 {
            for &stay in &m.stays_of[task] {
                self.refresh_stay(stay);
            }
        }
    }

    /// Lets a made dish wait in a hold ([`NONE`]: it goes straight to the table).
    pub fn settle(&mut self, dish: usize, hold: usize) {
        let Some((out, ready)) = self.made(dish) else { return };
        let served = ready.max(self.m.p.dishes[dish].due);
        self.hold[dish] = hold;
        self.settled[dish] = true;
        self.wait[dish] = (out, served);
        self.keep_warm(dish, 1);
    }

    /// Takes a dish out of its hold (never one that waits already).
    pub fn unsettle(&mut self, dish: usize) {
        if self.settled[dish] && !self.held_already(dish) {
            self.keep_warm(dish, -1);
            self.settled[dish] = false;
            self.hold[dish] = NONE;
            for &stay in &self.m.stays_through[dish] {
                self.refresh_stay(stay);
            }
        }
    }

    fn keep_warm(&mut self, dish: usize, sign: i32) {
        let m = self.m;
        if m.p.dishes[dish].held == Some(self.hold[dish]) {
            self.keep_on(dish, sign);
        } else if let Some(hold) = m.p.dishes[dish].holds.get(self.hold[dish]) {
            let (out, served) = self.wait[dish];
            for u in &hold.uses {
                self.profiles[u.resource].take(out, served, sign * u.amount);
            }
            if let Some(o) = hold.oven {
                let owner = m.p.tasks.len() + dish;
                if sign > 0 {
                    let (lo, hi) = hold.setting_c.map_or((o.least_c, o.most_c), |c| (c, c));
                    self.ovens[o.oven].put(Stint { start: out, end: served, lo, hi, owner });
                } else {
                    self.ovens[o.oven].take(owner);
                }
            }
        }
        if sign > 0 {
            for &stay in &m.stays_through[dish] {
                self.refresh_stay(stay);
            }
        }
    }

    /// A wait that has begun goes on wherever it is, or ends again.
    fn keep_on(&mut self, dish: usize, sign: i32) {
        let (out, served) = self.wait[dish];
        let owner = self.m.p.tasks.len() + dish;
        let Some(hold) = self.m.p.dishes[dish].holds.get(self.hold[dish]) else { return };
        if sign > 0 {
            let take = |u: &crate::plan::problem::Use| {
                let from = out.max(0);
                (u.resource, from, self.profiles[u.resource].take_begun(from, served, u.amount))
            };
            self.begun[dish] = hold.uses.iter().map(take).collect();
        } else {
            for (resource, from, taken) in std::mem::take(&mut self.begun[dish]) {
                self.profiles[resource].give_back(from, &taken);
            }
        }
        if let (Some(o), Some(c)) = (hold.oven, setting_if_held(hold)) {
            if sign > 0 {
                let stint = Stint { start: out, end: served, lo: c, hi: c, owner };
                self.ovens[o.oven].put_begun(stint);
            } else {
                self.ovens[o.oven].take(owner);
            }
        }
    }

    /// The earliest of the points from which a stay runs that stand, and the latest to which.
    pub fn ends_of_stay(&self, stay: usize) -> (Option<i32>, Option<i32>) {
        let s = &self.m.p.stays[stay];
        let standing = |q: &&Point| self.stands(q.task);
        let from = s.from.iter().filter(standing).map(|&q| self.at(q)).min();
        let mut to = s.to.iter().filter(standing).map(|&q| self.at(q)).max();
        if let Some(last) = to {
            for &(d, h) in &s.through_hold {
                if self.settled[d] && self.hold[d] == h {
                    to = Some(last.max(self.wait[d].1));
                }
            }
        }
        (from, to)
    }

    /// The minutes that a stay takes so far.
    pub fn span(&self, stay: usize) -> (i32, i32) {
        match self.ends_of_stay(stay) {
            (Some(from), Some(to)) if from < to => (from, to),
            _ => (0, 0),
        }
    }

    fn refresh_stay(&mut self, stay: usize) {
        if self.stands[stay] {
            return;
        }
        let span = self.span(stay);
        let was = self.stay[stay];
        if span != was {
            let uses = self.m.p.stays[stay].uses;
            self.profiles[uses.resource].take(was.0, was.1, -uses.amount);
            self.profiles[uses.resource].take(span.0, span.1, uses.amount);
            self.stay[stay] = span;
        }
    }

    /// Everything chosen so far as a schedule in this model's minutes.
    pub fn schedule(&self) -> Schedule {
        let m = self.m;
        let (tasks, dishes) = (m.p.tasks.len(), m.p.dishes.len());
        let mut setting_c: Vec<Option<i32>> = vec![None; tasks + dishes];
        for line in &self.ovens {
            for (owner, c) in line.settings() {
                setting_c[owner] = Some(c);
            }
        }
        for t in (0..tasks).filter(|&t| self.active(t)) {
            let step = m.p.tasks[t].step;
            match (m.p.tasks[t].fixed, m.p.steps[step].modes[self.mode[step]].oven) {
                (Some(f), _) => setting_c[t] = f.setting_c,
                (None, Some(o)) => setting_c[t] = setting_c[t].or(Some(o.least_c)),
                (None, None) => {}
            }
        }
        for d in 0..dishes {
            let hold = m.p.dishes[d].holds.get(self.hold[d]);
            setting_c[tasks + d] = hold.and_then(|h| {
                h.oven?;
                h.setting_c.or(setting_c[tasks + d]).or_else(|| setting_if_held(h))
            });
        }
        let hold_setting_c = setting_c.split_off(tasks);
        let chosen = |i: usize| (i != NONE).then_some(i);
        Schedule {
            mode: self.mode.clone(),
            start: self.start.clone(),
            cook: self.cook.iter().map(|&c| chosen(c)).collect(),
            setting_c,
            hold: self.hold.iter().map(|&h| chosen(h)).collect(),
            hold_setting_c,
        }
    }
}

/// The setting of a hold that has begun: as it is, or the lowest it accepts.
pub fn setting_if_held(hold: &Hold) -> Option<i32> {
    hold.setting_c.or_else(|| hold.oven.map(|o| o.least_c))
}
