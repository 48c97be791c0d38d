//! Pins, and what it costs to stray from the plan on the screen.

use std::collections::BTreeMap;

use super::Pins;
use super::draft::Draft;
use crate::kitchen::Minute;
use crate::plan::problem::Anchor;
use crate::plan::{Block, StepKey, weights};

pub(super) fn add(draft: &mut Draft<'_>, pins: Pins) {
    add_pins(draft, pins);
    add_anchors(draft);
}

/// A pin holds a load to its minute, as long as it can be kept: a minute that
/// is past, or in which nobody is there, or before what it follows can be
/// done, only says "not earlier".
fn add_pins(draft: &mut Draft<'_>, pins: Pins) {
    if draft.situation.pins.is_empty() {
        return;
    }
    for (t, soonest) in soonest(draft).into_iter().enumerate() {
        let at = draft.map.tasks[t];
        let Some(&pin) = draft.situation.pins.get(&at.key).filter(|_| !at.shadow) else { continue };
        if draft.problem.tasks[t].fixed.is_some() || pin < draft.problem.start {
            continue;
        }
        let can_be = soonest <= pin && ends_in_time(draft, t, pin) && has_hands(draft, t, pin);
        let task = &mut draft.problem.tasks[t];
        if pin <= task.latest {
            task.earliest = pin;
            if can_be && pins == Pins::Hold {
                task.latest = pin;
            }
        }
    }
}

/// The minute before which each task cannot start, by the least lags alone.
fn soonest(draft: &Draft<'_>) -> Vec<Minute> {
    let problem = &draft.problem;
    let minutes = |t: usize| {
        let modes = &problem.steps[problem.tasks[t].step].modes;
        modes.iter().map(|m| m.minutes).min().unwrap_or(0)
    };
    let mut start: Vec<Minute> =
        problem.tasks.iter().map(|t| t.fixed.map_or(t.earliest, |f| f.start)).collect();
    // Every pass settles at least one more task; rings of lags stop at the count.
    for _ in 0..problem.tasks.len() {
        let mut moved = false;
        for lag in problem.lags.iter().filter(|l| l.least > i32::MIN / 2) {
            if problem.tasks[lag.to.task].fixed.is_some() || lag.to.end {
                continue;
            }
            let from = lag.from.task;
            let end = problem.tasks[from].fixed.map_or(start[from] + minutes(from), |f| f.end);
            let from = if lag.from.end { end } else { start[from] };
            if start[lag.to.task] < from.saturating_add(lag.least) {
                start[lag.to.task] = from.saturating_add(lag.least);
                moved = true;
            }
        }
        if !moved {
            break;
        }
    }
    start
}

fn ends_in_time(draft: &Draft<'_>, t: usize, pin: Minute) -> bool {
    let modes = &draft.problem.steps[draft.problem.tasks[t].step].modes;
    modes.iter().any(|m| pin.saturating_add(m.minutes) <= draft.problem.end)
}

/// Is there a mode and a cook whose hours cover its hands at the pin?
fn has_hands(draft: &Draft<'_>, t: usize, pin: Minute) -> bool {
    let step = &draft.problem.steps[draft.problem.tasks[t].step];
    step.modes.iter().any(|mode| {
        mode.hands.is_empty()
            || step.cooks.iter().any(|&cook| {
                let closed = &draft.problem.resources[cook].closed;
                mode.hands.iter().all(|part| {
                    closed.iter().all(|&(from, to)| pin + part.to <= from || to <= pin + part.from)
                })
            })
    })
}

/// Anchors every load that has not begun to where the plan on the screen has it.
fn add_anchors(draft: &mut Draft<'_>) {
    let (Some(now), Some(previous)) = (draft.situation.now, &draft.situation.previous) else {
        return;
    };
    let blocks: BTreeMap<StepKey, &Block> = previous.blocks.iter().map(|b| (b.key, b)).collect();
    let mut placed = vec![false; draft.problem.steps.len()];
    let mut anchors = Vec::new();
    for (t, task) in draft.problem.tasks.iter().enumerate() {
        let at = draft.map.tasks[t];
        let Some(block) = blocks.get(&at.key).filter(|b| !at.shadow && !b.begun) else { continue };
        if task.fixed.is_some() {
            continue;
        }
        let station = draft.station(&block.station);
        let modes = &draft.map.steps[task.step].modes;
        let mode = modes.iter().position(|m| m.way == block.way && m.station == station);
        let once = !std::mem::replace(&mut placed[task.step], true);
        anchors.push(Anchor {
            task: t,
            start: block.start,
            price: price(block.start - now),
            mode: mode.filter(|_| once).map(|m| (m, weights::MOVE_PLACE)),
        });
    }
    draft.problem.anchors = anchors;
}

/// What a minute's move costs of a step that is to start in so many minutes.
pub(super) fn price(minutes_away: Minute) -> i64 {
    if minutes_away <= weights::NEAR_MINUTES {
        weights::MOVE_NEAR
    } else if minutes_away <= weights::MIDDLE_MINUTES {
        weights::MOVE_MIDDLE
    } else {
        weights::MOVE_FAR
    }
}
