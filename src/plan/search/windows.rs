//! The minutes in which each task can start, by lags and windows alone.

use super::model::Model;

/// One "at least so many minutes from start to start" between tasks that are
/// active in any case.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Arc {
    /// From the start of this task.
    pub from: usize,
    /// To the start of this one.
    pub to: usize,
    /// At least so many minutes.
    pub least: i32,
    /// The lag it comes from.
    pub lag: usize,
}

/// Shortest and longest minutes of a task over the modes of its step.
pub fn minutes(model: &Model, task: usize) -> (i32, i32) {
    let step = model.p.tasks[task].step;
    let all = model.modes[step].iter().map(|&m| model.minutes(task, m));
    (all.clone().min().unwrap_or(0), all.max().unwrap_or(0))
}

/// The lags as arcs that hold whatever the modes.
pub fn arcs(model: &Model) -> Vec<Arc> {
    let mut arcs = Vec::with_capacity(model.p.lags.len());
    for (i, lag) in model.p.lags.iter().enumerate() {
        let (a, b) = (lag.from, lag.to);
        if a.task == b.task || !model.always_active(a.task) || !model.always_active(b.task) {
            continue;
        }
        let (from, to) = (minutes(model, a.task), minutes(model, b.task));
        let part = |end: bool, m: i32| if end { m } else { 0 };
        if lag.least != i32::MIN {
            let least = lag.least + part(a.end, from.0) - part(b.end, to.1);
            arcs.push(Arc { from: a.task, to: b.task, least, lag: i });
        }
        if lag.most != i32::MAX && lag.soft_most.is_none() {
            let least = part(b.end, to.0) - lag.most - part(a.end, from.1);
            arcs.push(Arc { from: b.task, to: a.task, least, lag: i });
        }
    }
    arcs
}

/// Earliest and latest start of each task. Where the first is later than the
/// second there is no plan (a task that may be inactive excepted).
pub fn plain(model: &Model) -> (Vec<i32>, Vec<i32>) {
    let (mut early, mut late) = start_windows(model);
    let arcs = arcs(model);
    for _ in 0..=model.p.tasks.len() {
        if !pass(model, &arcs, &mut early, &mut late) {
            break;
        }
    }
    (early, late)
}

/// One pass over all arcs; true if anything moved. Fixed tasks do not move.
pub fn pass(model: &Model, arcs: &[Arc], early: &mut [i32], late: &mut [i32]) -> bool {
    let mut moved = false;
    let far = model.h.saturating_add(1);
    for arc in arcs {
        let (a, b) = (arc.from, arc.to);
        if model.p.tasks[b].fixed.is_none() && early[a] + arc.least > early[b] {
            early[b] = (early[a] + arc.least).min(far);
            moved |= early[b] < far || early[a] < far;
        }
        if model.p.tasks[a].fixed.is_none() && late[b] - arc.least < late[a] {
            late[a] = (late[b] - arc.least).max(-far);
            moved |= late[a] > -far || late[b] > -far;
        }
    }
    moved
}

/// Windows of the tasks alone: their own, the horizon, and the safety limits
/// that hold however the dish waits.
pub fn start_windows(model: &Model) -> (Vec<i32>, Vec<i32>) {
    let (mut early, mut late) = (Vec::new(), Vec::new());
    for (i, t) in model.p.tasks.iter().enumerate() {
        if let Some(f) = t.fixed {
            early.push(f.start);
            late.push(f.start);
            continue;
        }
        let (shortest, longest) = minutes(model, i);
        let limit = if model.limits_of[i].is_empty() { 0 } else { by_limits(model, i, longest) };
        early.push(t.earliest.max(0).max(limit).min(model.h.saturating_add(1)));
        late.push(t.latest.min(model.h - shortest));
    }
    (early, late)
}

/// Served no earlier than due, a point must not lie further back than every
/// way of waiting allows.
fn by_limits(model: &Model, task: usize, longest: i32) -> i32 {
    let mut earliest = 0;
    for dish in &model.p.dishes {
        for end in [false, true] {
            let hard = |option: usize| -> Option<i32> {
                let limits = match option.checked_sub(1) {
                    None => &dish.straight,
                    Some(h) => &dish.holds[h].limits,
                };
                let hits = limits.iter().filter(|l| l.from.task == task && l.from.end == end);
                hits.filter(|l| l.soft_most.is_none()).map(|l| l.most).min()
            };
            let options = match dish.held {
                Some(h) => h + 1..h + 2,
                None => 0..dish.holds.len() + 1,
            };
            let all: Option<Vec<i32>> = options.map(hard).collect();
            if let Some(most) = all.and_then(|all| all.into_iter().max()) {
                let point = dish.due - most;
                earliest = earliest.max(if end { point - longest } else { point });
            }
        }
    }
    earliest
}
