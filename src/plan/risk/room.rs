//! Room that a plan leaves for steps that run over, beyond what its recipes ask for.
//!
//! It is made by **widening** the problem: a step takes so many minutes more of
//! its place (and, done by hand, of its cook), what follows it begins so much
//! later, and a dish wishes to be ready so much sooner. Every schedule of the
//! widened problem is one of the problem itself, with the same starts: the places
//! are taken for longer there, most waits are shorter by as much, least waits
//! are not. The judge of the problem itself says so again of each plan, and says what it costs.

use serde::{Deserialize, Serialize};

use crate::kitchen::Minute;
use crate::plan::build::Map;
use crate::plan::problem::{Limit, Mode, Problem};

/// Price of a minute by which a dish is ready with less room than was made for
/// it, in the widened problem only: two quality points, so that most holds give way.
const ROOM_PRICE: i64 = 20_000;

/// Minutes of room, by dish and by step.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Room {
    /// `(dish, minutes)`: ready so long before it is due; by dish.
    pub dishes: Vec<(usize, Minute)>,
    /// `(dish, step, minutes)`: free for so long after each load; by step.
    pub steps: Vec<(usize, usize, Minute)>,
}

impl Room {
    /// Is none made?
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.dishes.is_empty() && self.steps.is_empty()
    }

    /// The minutes made for a dish.
    #[must_use]
    pub fn of_dish(&self, dish: usize) -> Minute {
        self.dishes.iter().find(|d| d.0 == dish).map_or(0, |d| d.1)
    }

    /// The minutes made after a step.
    #[must_use]
    pub fn of_step(&self, dish: usize, step: usize) -> Minute {
        self.steps.iter().find(|s| (s.0, s.1) == (dish, step)).map_or(0, |s| s.2)
    }

    /// Makes so much room for a dish, no less.
    pub fn set_dish(&mut self, dish: usize, minutes: Minute) {
        self.dishes.retain(|d| d.0 != dish);
        if minutes > 0 {
            self.dishes.push((dish, minutes));
            self.dishes.sort_unstable();
        }
    }

    /// Makes so much room after a step.
    pub fn set_step(&mut self, dish: usize, step: usize, minutes: Minute) {
        self.steps.retain(|s| (s.0, s.1) != (dish, step));
        if minutes > 0 {
            self.steps.push((dish, step, minutes));
            self.steps.sort_unstable();
        }
    }

    /// The problem with this room in it.
    #[must_use]
    pub fn widen(&self, problem: &Problem, map: &Map) -> Problem {
        let mut wide = problem.clone();
        for &(dish, minutes) in &self.dishes {
            let Some(d) = map.dishes.iter().position(|&of| of == dish) else { continue };
            if let Some(dish) = wide.dishes.get_mut(d).filter(|d| d.cushion < minutes) {
                dish.cushion = minutes;
                dish.cushion_price = dish.cushion_price.max(ROOM_PRICE);
            }
        }
        for &(dish, step, minutes) in &self.steps {
            for (s, at) in map.steps.iter().enumerate() {
                if (at.dish, at.step) == (dish, step) {
                    let pad = minutes.min(most_pad(&wide, s));
                    if pad > 0 {
                        pad_step(&mut wide, s, pad);
                    }
                }
            }
        }
        wide
    }
}

/// Is the point one of the step's tasks?
fn of_step(problem: &Problem, step: usize, task: usize) -> bool {
    problem.tasks.get(task).is_some_and(|t| t.step == step)
}

/// The most minutes that can be added to a step without making its own limits impossible.
fn most_pad(problem: &Problem, step: usize) -> Minute {
    let last = problem.dishes.iter().any(|d| d.last_step == step);
    let begun = problem.tasks.iter().any(|t| t.step == step && t.fixed.is_some());
    // What waits from a padded end on would really wait from before it.
    let waits = problem.stays.iter().flat_map(|s| &s.from);
    let waits = waits.filter(|p| p.end && of_step(problem, step, p.task)).count() > 0;
    if last || begun || waits {
        return 0;
    }
    let mut most = Minute::MAX;
    for lag in &problem.lags {
        let (from, to) =
            (of_step(problem, step, lag.from.task), of_step(problem, step, lag.to.task));
        if from && lag.from.end && !(to && lag.to.end) && lag.most < Minute::MAX {
            most = most.min(lag.most.saturating_sub(lag.least.max(0)));
        }
    }
    let limits = problem
        .dishes
        .iter()
        .flat_map(|d| d.straight.iter().chain(d.holds.iter().flat_map(|h| &h.limits)));
    for limit in limits.filter(|l| l.from.end && of_step(problem, step, l.from.task)) {
        most = most.min(limit.most);
    }
    most.max(0)
}

/// Adds minutes to a step; `pad` is at most [`most_pad`].
fn pad_step(problem: &mut Problem, step: usize, pad: Minute) {
    let is_of = |problem: &Problem, task: usize| of_step(problem, step, task);
    for n in 0..problem.lags.len() {
        let (from, to) = (problem.lags[n].from, problem.lags[n].to);
        let from_end = from.end && is_of(problem, from.task);
        let to_end = to.end && is_of(problem, to.task);
        let lag = &mut problem.lags[n];
        let shift = Minute::from(to_end) * pad - Minute::from(from_end) * pad;
        if lag.most < Minute::MAX {
            lag.most = lag.most.saturating_add(shift);
        }
        if to_end && lag.least > Minute::MIN / 2 {
            lag.least = lag.least.saturating_add(pad);
        }
        if let Some((best, _)) = &mut lag.best {
            *best = (*best + shift).max(0);
        }
    }
    let of: Vec<bool> = (0..problem.tasks.len()).map(|t| is_of(problem, t)).collect();
    let shorten = |limit: &mut Limit| {
        if limit.from.end && of.get(limit.from.task) == Some(&true) {
            limit.most -= pad;
        }
    };
    for dish in &mut problem.dishes {
        dish.straight.iter_mut().for_each(shorten);
        dish.holds.iter_mut().flat_map(|h| &mut h.limits).for_each(shorten);
    }
    if let Some(step) = problem.steps.get_mut(step) {
        step.modes.iter_mut().for_each(|mode| longer(mode, pad));
    }
}

/// A mode that takes so many minutes more; the cook of work by hand is taken for them too.
fn longer(mode: &mut Mode, pad: Minute) {
    let by_hand = mode.hands.last().is_some_and(|p| p.from == 0 && p.to == mode.minutes);
    if by_hand && let Some(last) = mode.hands.last_mut() {
        last.to += pad;
    }
    mode.minutes += pad;
}

#[cfg(test)]
mod widen_tests;
