//! What follows what: loads after loads, steps after steps, and which steps
//! the cook would rather do in one go.

use super::draft::Draft;
use super::map::LagWhy;
use crate::kitchen::{AcrossDishes, After, Sheet, StationKind};
use crate::plan::problem::{Lag, Link, Point};
use crate::plan::weights;

pub(super) fn add(draft: &mut Draft<'_>) {
    let dishes: Vec<_> = draft.dishes().collect();
    for (d, sheet) in dishes {
        for s in 0..sheet.recipe.steps.len() {
            add_loads(draft, d, s);
            for after in &sheet.recipe.steps[s].after {
                if let Some(before) = sheet.step_index(&after.step) {
                    add_after(draft, d, before, s, after);
                }
            }
            add_link(draft, d, s, sheet);
        }
        let across: Vec<AcrossDishes> = draft.evening.waits_across(d).collect();
        for wait in across {
            add_across(draft, d, wait);
        }
    }
}

/// What is cut among the steps of another dish is cut before it is wanted. Of a
/// dish that is not made any more, or was served, nothing is waited for.
fn add_across(draft: &mut Draft<'_>, dish: usize, wait: AcrossDishes) {
    let AcrossDishes { from_dish, from_step, step } = wait;
    let not_begun = |p: &Point| draft.known(*p).is_none();
    let Some(to) = draft.starts(dish, step).find(not_begun) else { return };
    let ends: Vec<Point> = draft.ends(from_dish, from_step).collect();
    for from in ends {
        let lag = Lag { from, to, least: 0, most: i32::MAX, soft_most: None, best: None };
        push(draft, lag, LagWhy::Board { dish, step, from_dish, from_step });
    }
}

/// Loads in order. A load that has begun stands; the others follow the
/// nearest before them, begun or not.
fn add_loads(draft: &mut Draft<'_>, dish: usize, step: usize) {
    let tasks = draft.tasks[dish][step].clone();
    for (n, &task) in tasks.iter().enumerate() {
        if draft.problem.tasks[task].fixed.is_some() {
            continue;
        }
        let is_free = |t: &&usize| draft.problem.tasks[**t].fixed.is_none();
        let before = tasks[..n].last();
        let free_before = tasks[..n].iter().rev().find(is_free).filter(|t| Some(*t) != before);
        let lags: Vec<Lag> = before
            .into_iter()
            .chain(free_before)
            .map(|&from| Lag {
                from: Point { task: from, end: true },
                to: Point { task, end: false },
                least: 0,
                most: i32::MAX,
                soft_most: None,
                best: None,
            })
            .collect();
        for lag in lags {
            push(draft, lag, LagWhy::Loads { dish, step });
        }
    }
}

pub(super) fn push(draft: &mut Draft<'_>, lag: Lag, why: LagWhy) {
    draft.problem.lags.push(lag);
    draft.map.lags.push(why);
}

/// The least wait counts from the end of every load of the step before, the
/// most and the best one from the end of its first to the start of the later
/// step's first. What has begun has begun, whatever should have come before
/// it: the loads that are left come after.
fn add_after(draft: &mut Draft<'_>, dish: usize, before: usize, step: usize, after: &After) {
    let minutes = |n: u32| i32::try_from(n).unwrap_or(i32::MAX / 4);
    let best = after
        .best_minutes
        .filter(|_| after.short_points > 0)
        .map(|b| (minutes(b), weights::POINT_PER_TEN_MINUTES * i64::from(after.short_points)));
    let not_begun = |p: &Point| draft.known(*p).is_none();
    let Some(to) = draft.starts(dish, step).find(not_begun) else { return };
    let is_first = draft.start(dish, step) == Some(to);
    let ends: Vec<Point> = draft.ends(dish, before).collect();
    for (n, from) in ends.into_iter().enumerate() {
        let most = after.most_minutes.filter(|_| n == 0 && is_first).map(minutes);
        let lag = Lag {
            from,
            to,
            least: minutes(after.least_minutes),
            most: most.unwrap_or(i32::MAX),
            soft_most: most.and(draft.happened(from)).map(|_| weights::PAST_TASTE),
            best: best.filter(|_| n == 0 && is_first),
        };
        push(draft, lag, LagWhy::After { dish, before, step });
    }
}

/// A step at the counter or hob that wants both hands and may follow another
/// such step at once: the one before it that can wait least.
fn add_link(draft: &mut Draft<'_>, d: usize, s: usize, sheet: &Sheet) {
    let wants_hands = |s: usize| {
        let step = &sheet.recipe.steps[s];
        let near = |kind| matches!(kind, StationKind::Counter | StationKind::Stovetop);
        step.ways.first().is_some_and(|w| near(w.station))
            && (step.hands.between_percent >= 100
                || step.hands.start_minutes > 0
                || step.hands.end_minutes > 0)
    };
    let Some(&to_step) = draft.steps[d][s].last() else { return };
    if !wants_hands(s) || draft.start(d, s).is_none_or(|p| draft.known(p).is_some()) {
        return;
    }
    let at_once = sheet.recipe.steps[s].after.iter().filter(|a| {
        a.least_minutes == 0 && a.best_minutes.is_none_or(|best| best == 0 || a.short_points == 0)
    });
    let from = at_once
        .filter_map(|a| sheet.step_index(&a.step).map(|from| (a.most_minutes, from)))
        .filter(|&(_, from)| wants_hands(from))
        .min_by_key(|&(most, from)| (most.unwrap_or(u32::MAX), from));
    let from_step = from.and_then(|(_, from)| draft.steps[d][from].last().copied());
    if let Some(from_step) = from_step {
        draft.problem.links.push(Link { from_step, to_step, least: 0, price: weights::HOP });
    }
}
