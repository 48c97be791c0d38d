//! Can every demand be met? The ordinary search, ended as soon as nothing is late
//! and no limit passed: from the plan that is nearest, from nothing, and at last
//! with nothing priced but what a demand missed costs.

use std::sync::atomic::{AtomicBool, Ordering};

use crate::kitchen::{Evening, Minute};
use crate::plan::build::{Map, Pins, build_with, schedule_of};
use crate::plan::problem::{Problem, Schedule};
use crate::plan::search::{self, Ask, Standing};
use crate::plan::{Plan, Situation, StepKey, eve, judge};

/// Rounds after which a search that has found no way gives up: from a plan and
/// from nothing, and without prices. A party that can be met is mostly found so in
/// the first few.
const ROUNDS: [u64; 3] = [200, 400, 150];

/// What a look found.
#[derive(Debug, Clone, PartialEq)]
pub enum Look {
    /// Every demand is met by this schedule.
    Works(Schedule),
    /// It is certain that not every demand can be met.
    Clashes,
    /// No way was found.
    NotFound,
}

impl Look {
    /// Is there a way?
    #[must_use]
    pub const fn works(&self) -> bool {
        matches!(self, Self::Works(_))
    }
}

/// A question about an evening.
#[derive(Clone, Copy)]
pub struct Question<'a> {
    /// The evening.
    pub evening: &'a Evening,
    /// What has happened.
    pub situation: &'a Situation,
    /// The best plan there is of it or of one much like it, to begin from.
    pub near: Option<&'a Plan>,
    /// The same seed gives the same answer.
    pub seed: u64,
    /// Asked now and then; true ends the work.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

/// Looks for any way to meet every demand of an evening.
#[must_use]
pub fn look(question: &Question<'_>) -> Look {
    look_at(question, |_, _| ())
}

/// As [`look`], at the problem as `relax` leaves it.
#[must_use]
pub fn look_at(question: &Question<'_>, relax: impl FnOnce(&mut Problem, &Map)) -> Look {
    let Question { evening, situation, near, .. } = *question;
    let settled = eve::settle(evening, situation).ok().flatten().map(|eve| eve.situation);
    let situation = settled.as_ref().unwrap_or(situation);
    let Ok((mut problem, map)) = build_with(evening, situation, Pins::Hold) else {
        return Look::Clashes;
    };
    if situation.pins.iter().any(|(key, at)| !can_be_pinned(&problem, &map, *key, *at)) {
        return Look::Clashes;
    }
    let near = near.map(|plan| schedule_of(&problem, &map, evening, plan));
    forget_what_is_ready(&mut problem);
    relax(&mut problem, &map);
    let [from_near, from_nothing, unpriced] = ROUNDS;
    if let Some(near) = &near
        && let look @ (Look::Works(_) | Look::Clashes) =
            solve(&problem, Some(near), from_near, question)
    {
        return look;
    }
    match solve(&problem, None, from_nothing, question) {
        Look::NotFound => {
            problem.take_prices_away();
            solve(&problem, near.as_ref(), unpriced, question)
        }
        look => look,
    }
}

/// That a dish was ready late is a fact: no change to the rest makes it any sooner.
fn forget_what_is_ready(problem: &mut Problem) {
    let (start, tasks, steps) = (problem.start, &problem.tasks, &problem.steps);
    for dish in &mut problem.dishes {
        let Some(step) = steps.get(dish.last_step) else { continue };
        let loads = step.modes.iter().map(|m| m.loads).max().unwrap_or(0);
        let mut last = tasks.get(step.tasks()).unwrap_or_default().iter();
        if last.all(|t| t.load >= loads || t.fixed.is_some_and(|f| f.end <= start)) {
            dish.late_price = 0;
        }
    }
}

/// A pin that cannot be kept even by itself only says "not earlier".
fn can_be_pinned(problem: &Problem, map: &Map, key: StepKey, at: Minute) -> bool {
    let mut tasks = problem.tasks.iter().zip(&map.tasks);
    let pinned = tasks.find(|(_, of)| of.key == key && !of.shadow).map(|(task, _)| task);
    pinned.is_none_or(|t| t.fixed.is_some() || at < problem.start || t.latest == at)
}

fn solve(problem: &Problem, warm: Option<&Schedule>, rounds: u64, question: &Question<'_>) -> Look {
    let works = AtomicBool::new(false);
    let stop = || works.load(Ordering::Relaxed) || (question.stop)();
    let ask = Ask { problem, warm, ready: &[], seed: question.seed, rounds, stop: &stop };
    let answer = search::solve(&ask, &mut |_, cost| {
        works.fetch_or(cost.late == 0, Ordering::Relaxed);
    });
    match (answer.schedule, answer.standing) {
        (Some(schedule), _) if answer.cost.late == 0 => match judge::judge(problem, &schedule) {
            Ok(_) => Look::Works(schedule),
            Err(_) => Look::NotFound,
        },
        // Where only what is late is priced, a bound above nothing is a proof.
        (Some(_), _) if answer.bound > 0 && is_bare(problem) => Look::Clashes,
        (None, Standing::Impossible(clash)) if clash.proven => Look::Clashes,
        _ => Look::NotFound,
    }
}

fn is_bare(problem: &Problem) -> bool {
    problem.span_price == 0
        && problem.links.is_empty()
        && problem.dishes.iter().all(|d| d.cushion_price == 0)
}

#[cfg(test)]
mod tests;
