//! What a schedule in the making costs at the least: one that gets too dear is given up before all of it stands.
//!
//! From the start of a task so many minutes pass at the least until each dish that waits for it is ready. So what stands
//! says how late each dish is to be at the least, whatever comes of the rest.

use super::hold::ready_price;
use super::model::Model;
use super::windows;

/// Sooner than any minute.
const NEVER_YET: i32 = i32::MIN / 4;

/// The most that may be foreseen for a rank (see [`super::price::rank`]) of no more than this. Where something costs less
/// than nothing, or the end of the day may, what is foreseen says nothing.
pub fn within(m: &Model, rank: i64) -> i64 {
    let below_nothing = m.rewards || (m.p.finish_price != 0 && m.shift < 0);
    if below_nothing { i64::MAX } else { rank / m.scale.max(1) }
}

/// What each dish costs at the least by what stands so far.
#[derive(Debug, Clone)]
pub struct Foresight {
    /// For each task the dishes that wait for it, and minutes from its start to when the dish is ready, at the least.
    tails: Vec<Vec<(usize, i32)>>,
    /// What is known of each dish before anything stands but what has begun.
    begun: Vec<(i32, i64)>,
    /// For each dish when it is ready at the soonest, and what that costs.
    dishes: Vec<(i32, i64)>,
    sum: i64,
}

impl Foresight {
    /// By lags and windows alone.
    pub fn new(m: &Model) -> Self {
        let mut tails = vec![Vec::new(); m.p.tasks.len()];
        for d in 0..m.p.dishes.len() {
            for (t, tail) in tails_of(m, d) {
                tails[t].push((d, tail));
            }
        }
        let begun = vec![(NEVER_YET, 0); m.p.dishes.len()];
        let mut foresight = Self { tails, dishes: begun.clone(), begun, sum: 0 };
        (0..m.p.tasks.len()).for_each(|t| foresight.stands(m, t, m.early[t]));
        foresight.begun.clone_from(&foresight.dishes);
        foresight
    }

    /// Only what has begun stands.
    pub fn begin(&mut self) {
        self.dishes.clone_from(&self.begun);
        self.sum = self.dishes.iter().map(|dish| dish.1).sum();
    }

    /// A task stands here.
    #[inline]
    pub fn stands(&mut self, m: &Model, task: usize, start: i32) {
        for &(d, tail) in &self.tails[task] {
            let (ready, price) = &mut self.dishes[d];
            let by_this = start.saturating_add(tail);
            if by_this > *ready {
                *ready = by_this;
                let now = ready_price(&m.p.dishes[d], by_this);
                self.sum += now - *price;
                *price = now;
            }
        }
    }

    /// What all dishes together cost at the least by being late or short of cushion.
    pub const fn least(&self) -> i64 {
        self.sum
    }
}

/// Tasks that a dish waits for whatever the modes, with the minutes from the start of each to when the dish is ready.
fn tails_of(m: &Model, d: usize) -> Vec<(usize, i32)> {
    let dish = &m.p.dishes[d];
    let mut tails: Vec<Option<i32>> = vec![None; m.p.tasks.len()];
    let mut todo: Vec<usize> = Vec::new();
    for t in m.p.steps[dish.last_step].tasks().filter(|&t| m.always_active(t)) {
        tails[t] = Some(windows::minutes(m, t).0);
        todo.push(t);
    }
    // Lags that run in a circle stop at the count.
    let mut left = m.p.tasks.len() * 16;
    while let Some(t) = todo.pop().filter(|_| left > 0) {
        left -= 1;
        // What has begun stands where it does, whatever waits for it.
        if m.p.tasks[t].fixed.is_some() {
            continue;
        }
        for arc in m.arcs_of[t].iter().filter(|arc| arc.to == t) {
            let tail = tails[t].map(|tail| tail.saturating_add(arc.least));
            if tail > tails[arc.from] {
                tails[arc.from] = tail;
                todo.push(arc.from);
            }
        }
    }
    tails.iter().enumerate().filter_map(|(t, tail)| Some((t, (*tail)?))).collect()
}

#[cfg(test)]
mod tests {
    use super::super::price;
    use super::super::tests::{some, steps, whole};
    use super::*;
    use crate::plan::problem::{Dish, Fixed, Lag, Point, Problem};

    /// Ten minutes, five of rest at the least, fifteen minutes; due at 20, each minute late costs 9.
    fn problem() -> Problem {
        let mut p = steps(&[(10, &[]), (15, &[])]);
        let point = |task, end| Point { task, end };
        p.lags = vec![Lag {
            from: point(0, true),
            to: point(1, false),
            least: 5,
            most: i32::MAX,
            soft_most: None,
            best: None,
        }];
        p.dishes = vec![Dish { last_step: 1, due: 20, late_price: 9, ..Dish::default() }];
        p
    }

    #[test]
    fn a_task_says_how_late_its_dish_is_at_the_least() {
        let m = Model::new(&problem());
        let mut foresight = Foresight::new(&m);
        for _ in 0..2 {
            foresight.begin();
            assert_eq!(foresight.least(), 90, "ready at 30 at the soonest");
            foresight.stands(&m, 0, 4);
            assert_eq!(foresight.least(), 126);
            foresight.stands(&m, 1, 18);
            assert_eq!(foresight.least(), 126, "it knew of more already");
            foresight.stands(&m, 1, 40);
            assert_eq!(foresight.least(), 315);
        }
    }

    #[test]
    fn what_has_begun_says_no_more_of_what_comes_before_it() {
        let mut p = problem();
        // It was begun sooner than it should have been: that the first step is not done makes no dish later.
        p.tasks[1].fixed = Some(Fixed { start: 2, end: 19, cook: None, setting_c: None });
        let m = Model::new(&p);
        let mut foresight = Foresight::new(&m);
        foresight.begin();
        foresight.stands(&m, 0, 60);
        assert_eq!(foresight.least(), 0);
    }

    #[test]
    fn a_schedule_that_keeps_the_rules_costs_what_was_foreseen_or_more() {
        let (mut late, mut all_of_it) = (0, 0);
        for seed in 1..=1_500 {
            let p = some(seed);
            let m = Model::new(&p);
            let Some(state) = whole(&m, seed).filter(|_| !m.rewards) else { continue };
            let mut foresight = Foresight::new(&m);
            foresight.begin();
            for t in (0..p.tasks.len()).filter(|&t| state.stands(t)) {
                foresight.stands(&m, t, state.start[t]);
            }
            let cost = price::cost(&state);
            assert!(foresight.least() <= cost.late + cost.risk, "{seed}");
            assert!(foresight.least() <= within(&m, price::rank(&state)), "{seed}");
            assert!(cost.total() > within(&m, price::rank(&state) - m.scale), "{seed}");
            late += usize::from(cost.late > 0);
            all_of_it += usize::from(cost.late > 0 && foresight.least() == cost.late + cost.risk);
        }
        assert!(late > 100 && all_of_it * 2 > late, "{all_of_it} of {late}");
    }

    #[test]
    fn where_something_costs_less_than_nothing_nothing_is_foreseen() {
        let mut p = problem();
        assert_eq!(within(&Model::new(&p), 7), 7 / Model::new(&p).scale);
        p.steps[0].modes[0].price = -1;
        assert_eq!(within(&Model::new(&p), 7), i64::MAX);
        p.steps[0].modes[0].price = 0;
        (p.start, p.finish_price) = (-30, 2);
        assert_eq!(within(&Model::new(&p), 7), i64::MAX);
    }
}
