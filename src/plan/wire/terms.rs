//! What a plan costs, piece by piece.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::kitchen::Evening;
use crate::plan::build::{LagWhy, Map};
use crate::plan::judge::{self, Serving};
use crate::plan::problem::{Dish, Point, Problem, Schedule};
use crate::plan::weights;

/// A piece of the cost: `cost` is `amount` times `weight`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Term {
    /// What is counted.
    pub kind: TermKind,
    /// Id of the dish that it is about, if it is about one.
    pub dish: Option<String>,
    /// Id of the step that it is about, if it is about one.
    pub step: Option<String>,
    /// How many.
    pub amount: i64,
    /// The price of each, in cost units.
    pub weight: i64,
    /// The two multiplied.
    pub cost: i64,
}

/// What a term counts.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum TermKind {
    /// Minutes from due to served. Weight 1 000 000. Counts as late.
    MinutesLate,
    /// Minutes past a most wait that had begun when the plan was made.
    /// Weight 2 000 000. Counts as late.
    PastMostWait,
    /// Minutes past a safety limit whose time had begun when the plan was
    /// made. Weight 5 000 000. Counts as late.
    PastSafetyLimit,
    /// Minutes of the hold past its free ones. Weight 1 000 x the hold's
    /// points. Counts as quality.
    HoldPastFree,
    /// Minutes of the hold short of its best. Weight 1 000 x the hold's
    /// `short_points`. Counts as quality. Without any hold: as the hold that would have cost least.
    HoldShortOfBest,
    /// Minutes between the first load's end of the step before and the start of
    /// this one short of the best wait. Weight 1 000 x the `short_points`. Counts as quality.
    WaitShortOfBest,
    /// Quality points of the way chosen. Weight 10 000. Counts as quality.
    SecondBestWay,
    /// Minutes by which the dish is ready with less than its cushion before
    /// due (late minutes do not count again). Weight 2 000. Counts as risk.
    CushionMissing,
    /// Minutes from the first hands-on minute of what has not begun to the
    /// last service due. Weight 400 ahead, 0 once the evening has begun. Counts as effort.
    Hours,
    /// Hundredths of a cook's minute: for each cook, 100 x the minutes from
    /// the first to the last hands-on one, less per cent x minutes asked for. Weight 2 ahead, 0
    /// once the evening has begun. Counts as effort.
    Idle,
    /// 1 for a pair of `links` in which the second does not start just when the
    /// first's last load ends. Weight 1 500. Counts as effort.
    Hop,
    /// Minutes by which a step moved against the plan that was on the screen.
    /// Weight 300 if it stood there within 10 minutes of the present, 150
    /// within 30, 50 beyond. Counts as change.
    Moved,
    /// 1 for a step that changed its way or station against the plan that was
    /// on the screen. Weight 3 000. Counts as change.
    OtherPlace,
}

/// All pieces of a schedule's cost that are not nothing.
pub(crate) fn terms(
    evening: &Evening,
    problem: &Problem,
    map: &Map,
    schedule: &Schedule,
) -> Vec<Term> {
    let mut count = Count { evening, problem, map, schedule, terms: Vec::new() };
    count.services();
    count.waits();
    count.ways();
    count.effort();
    count.moves();
    count.terms
}

struct Count<'a> {
    evening: &'a Evening,
    problem: &'a Problem,
    map: &'a Map,
    schedule: &'a Schedule,
    terms: Vec<Term>,
}

impl Count<'_> {
    fn add(
        &mut self,
        kind: TermKind,
        at: (Option<usize>, Option<usize>),
        amount: i64,
        weight: i64,
    ) {
        if amount <= 0 || weight == 0 {
            return;
        }
        let sheet = at.0.and_then(|d| self.evening.sheets.get(d));
        let step = sheet.zip(at.1).and_then(|(sheet, s)| sheet.recipe.steps.get(s));
        self.terms.push(Term {
            kind,
            dish: sheet.map(|s| s.id.clone()),
            step: step.map(|s| s.id.clone()),
            amount,
            weight,
            cost: amount * weight,
        });
    }

    fn at(&self, point: Point) -> i64 {
        i64::from(if point.end {
            self.problem.end_of(self.schedule, point.task)
        } else {
            self.start(point.task)
        })
    }

    fn start(&self, task: usize) -> i32 {
        self.problem.tasks[task].fixed.map_or(self.schedule.start[task], |f| f.start)
    }

    fn active(&self, point: Point) -> bool {
        self.problem.active(self.schedule, point.task)
    }

    fn services(&mut self) {
        for (d, dish) in self.problem.dishes.iter().enumerate() {
            let serving = judge::serving(self.problem, self.schedule, d);
            let at = (Some(self.map.dishes[d]), None);
            let late = i64::from(serving.served - dish.due);
            self.add(TermKind::MinutesLate, at, late, dish.late_price);
            let early = (dish.due - serving.ready).max(0);
            let short = i64::from(dish.cushion - early);
            self.add(TermKind::CushionMissing, at, short, dish.cushion_price);
            self.hold(d, dish, serving);
        }
    }

    fn hold(&mut self, d: usize, dish: &Dish, serving: Serving) {
        let at = (Some(self.map.dishes[d]), None);
        let waits = serving.served - serving.out;
        let chosen = self.schedule.hold[d].map(|h| &dish.holds[h]);
        if let Some(hold) = chosen {
            self.add(TermKind::HoldPastFree, at, i64::from(waits - hold.free), hold.price);
            if let Some((best, price)) = hold.best {
                self.add(TermKind::HoldShortOfBest, at, i64::from(best - waits), price);
            }
            let past = i64::from(waits - hold.most);
            self.add(TermKind::PastMostWait, at, past, hold.soft_most.unwrap_or(0));
        } else if dish.straight_price > 0 {
            let least = dish.holds.iter().filter_map(|h| h.best);
            let least = least.min_by_key(|&(best, price)| i64::from(best) * price);
            if let Some((best, price)) = least {
                self.add(TermKind::HoldShortOfBest, at, i64::from(best), price);
            }
        }
        let limits = chosen.map_or(&dish.straight, |h| &h.limits);
        for limit in limits {
            if !self.active(limit.from) {
                continue;
            }
            let past = i64::from(serving.served) - self.at(limit.from) - i64::from(limit.most);
            self.add(TermKind::PastSafetyLimit, at, past, limit.soft_most.unwrap_or(0));
        }
    }

    fn waits(&mut self) {
        for (lag, why) in self.problem.lags.iter().zip(&self.map.lags) {
            if !(self.active(lag.from) && self.active(lag.to)) {
                continue;
            }
            let gap = self.at(lag.to) - self.at(lag.from);
            let (at, past) = match *why {
                LagWhy::After { dish, step, .. }
                | LagWhy::Loads { dish, step }
                | LagWhy::Board { dish, step, .. } => {
                    ((Some(dish), Some(step)), TermKind::PastMostWait)
                }
                LagWhy::Clock { dish } => ((Some(dish), None), TermKind::PastSafetyLimit),
            };
            if let Some((best, price)) = lag.best {
                self.add(TermKind::WaitShortOfBest, at, i64::from(best) - gap, price);
            }
            self.add(past, at, gap - i64::from(lag.most), lag.soft_most.unwrap_or(0));
        }
    }

    fn ways(&mut self) {
        for (s, &mode) in self.schedule.mode.iter().enumerate() {
            let at = &self.map.steps[s];
            let points = self.problem.steps[s].modes[mode].price / weights::POINT;
            let at = (Some(at.dish), Some(at.step));
            self.add(TermKind::SecondBestWay, at, points, weights::POINT);
        }
    }

    fn effort(&mut self) {
        let (mut first, mut idle) = (None::<i32>, 0_i64);
        for cook in 0..self.problem.resources.len() {
            let (mut from, mut to, mut asked) = (i32::MAX, i32::MIN, 0_i64);
            for (t, task) in self.problem.tasks.iter().enumerate() {
                let here = self.schedule.cook[t] == Some(cook) && task.fixed.is_none();
                if !here || !self.problem.active(self.schedule, t) {
                    continue;
                }
                for part in
                    &self.problem.steps[task.step].modes[self.schedule.mode[task.step]].hands
                {
                    from = from.min(self.schedule.start[t] + part.from);
                    to = to.max(self.schedule.start[t] + part.to);
                    asked += i64::from(part.percent) * i64::from(part.to - part.from);
                }
            }
            if from < to {
                first = Some(first.map_or(from, |f| f.min(from)));
                idle += 100 * i64::from(to - from) - asked;
            }
        }
        let none = (None, None);
        let span = first.map_or(0, |f| i64::from(self.problem.effort_until - f));
        self.add(TermKind::Hours, none, span, self.problem.span_price);
        self.add(TermKind::Idle, none, idle, self.problem.idle_price);
        for link in &self.problem.links {
            let from = &self.problem.steps[link.from_step];
            let ended = (from.first_task..from.first_task + from.task_count)
                .filter(|&t| self.problem.active(self.schedule, t))
                .map(|t| self.problem.end_of(self.schedule, t))
                .max();
            let start = self.start(self.problem.steps[link.to_step].first_task);
            let at = &self.map.steps[link.to_step];
            let hop = i64::from(ended.is_some_and(|e| start > e + link.least));
            self.add(TermKind::Hop, (Some(at.dish), Some(at.step)), hop, link.price);
        }
    }

    fn moves(&mut self) {
        for anchor in &self.problem.anchors {
            if !self.problem.active(self.schedule, anchor.task) {
                continue;
            }
            let key = self.map.tasks[anchor.task].key;
            let at = (Some(key.dish), Some(key.step));
            let moved = i64::from(self.schedule.start[anchor.task]) - i64::from(anchor.start);
            self.add(TermKind::Moved, at, moved.abs(), anchor.price);
            if let Some((mode, price)) = anchor.mode {
                let step = self.problem.tasks[anchor.task].step;
                let other = i64::from(self.schedule.mode[step] != mode);
                self.add(TermKind::OtherPlace, at, other, price);
            }
        }
    }
}

#[cfg(test)]
mod tests;
