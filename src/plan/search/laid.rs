//! Where things stand: of each step the way, of each task the minute and the
//! cook, of each dish the wait.

use super::model::{Model, NONE};
use crate::plan::problem::Point;

/// A schedule in the making, as it can be read.
#[derive(Debug, Clone)]
pub struct Laid<'m> {
    /// The problem.
    pub m: &'m Model,
    /// For each step its mode.
    pub mode: Vec<usize>,
    /// For each task: does it stand somewhere?
    pub placed: Vec<bool>,
    /// For each task its start, if it stands.
    pub start: Vec<i32>,
    /// For each task its cook, or [`NONE`].
    pub cook: Vec<usize>,
    /// For each dish its hold, or [`NONE`].
    pub hold: Vec<usize>,
}

impl<'m> Laid<'m> {
    /// Nothing stands but what has begun.
    pub fn new(m: &'m Model) -> Self {
        let fixed = || m.p.tasks.iter().map(|t| t.fixed);
        Self {
            m,
            mode: m.modes.iter().map(|modes| modes.first().copied().unwrap_or(0)).collect(),
            placed: fixed().map(|f| f.is_some()).collect(),
            start: fixed().map(|f| f.map_or(0, |f| f.start)).collect(),
            cook: fixed().map(|f| f.and_then(|f| f.cook).unwrap_or(NONE)).collect(),
            hold: vec![NONE; m.p.dishes.len()],
        }
    }

    /// Is the task done at all in the mode of its step?
    #[inline]
    pub fn active(&self, task: usize) -> bool {
        let t = &self.m.p.tasks[task];
        self.m.always[task] || t.load < self.m.p.steps[t.step].modes[self.mode[t.step]].loads
    }

    /// Does it stand, and is it done at all?
    #[inline]
    pub fn stands(&self, task: usize) -> bool {
        self.placed[task] && self.active(task)
    }

    /// When a task that stands ends.
    #[inline]
    pub fn end(&self, task: usize) -> i32 {
        self.start[task] + self.m.minutes(task, self.mode[self.m.p.tasks[task].step])
    }

    /// When a point of a task that stands is.
    #[inline]
    pub fn at(&self, point: Point) -> i32 {
        if point.end { self.end(point.task) } else { self.start[point.task] }
    }

    /// Tasks of a step that are done in its mode.
    #[inline]
    pub fn loads(&self, step: usize) -> std::ops::Range<usize> {
        self.m.loads(step, self.mode[step])
    }

    /// Out and ready of a dish, if its last step stands whole.
    #[inline]
    pub fn made(&self, dish: usize) -> Option<(i32, i32)> {
        let d = &self.m.p.dishes[dish];
        let mut made: Option<(i32, i32)> = None;
        for t in self.loads(d.last_step) {
            if !self.placed[t] {
                return None;
            }
            let end = self.end(t);
            made = Some(made.map_or((end, end), |(out, ready)| (out, ready.max(end))));
        }
        Some(made.unwrap_or((d.due, d.due)))
    }

    /// Does the dish wait already, come what may?
    pub fn held_already(&self, d: usize) -> bool {
        let dish = &self.m.p.dishes[d];
        let mut all = self.loads(dish.last_step);
        dish.held.is_some() && all.all(|t| self.m.p.tasks[t].fixed.is_some())
    }
}
