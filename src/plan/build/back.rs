//! The way back: a plan as a schedule of the problem, to see whether it still
//! holds and what it costs, or to start a search from it.

use std::collections::BTreeMap;

use super::map::Map;
use crate::kitchen::Evening;
use crate::plan::problem::{Problem, Schedule};
use crate::plan::{Block, Plan, StepKey};

/// The schedule of the problem that a plan for the same evening stands for.
/// What has begun stands as the problem has it; what the plan does not say is
/// left at a first choice, so the schedule may break rules: judge it.
#[must_use]
pub fn schedule_of(problem: &Problem, map: &Map, evening: &Evening, plan: &Plan) -> Schedule {
    let blocks: BTreeMap<StepKey, &Block> = plan.blocks.iter().map(|b| (b.key, b)).collect();
    let station = |id: &str| evening.kitchen.stations.iter().position(|s| s.id == id);
    let block = |task: usize| blocks.get(&map.tasks[task].key).copied();
    let mut schedule = Schedule::default();
    for (step, at) in problem.steps.iter().zip(&map.steps) {
        let shown = step.tasks().find_map(block);
        let same = |b: &Block| {
            at.modes.iter().position(|m| m.way == b.way && m.station == station(&b.station))
        };
        schedule.mode.push(shown.and_then(same).unwrap_or(0));
    }
    for (t, task) in problem.tasks.iter().enumerate() {
        let mode = &problem.steps[task.step].modes[schedule.mode[task.step]];
        let cooks = &problem.steps[task.step].cooks;
        let cook = block(t).and_then(|b| b.cook.as_ref()).and_then(|id| {
            evening.party.cooks.iter().position(|c| c.id == *id).map(|c| map.of_cook(c))
        });
        let (start, cook, setting_c) = match task.fixed {
            Some(fixed) => (fixed.start, fixed.cook, fixed.setting_c),
            None => (
                block(t).map_or(task.earliest, |b| b.start),
                cook.filter(|c| cooks.contains(c))
                    .or(cooks.first().copied())
                    .filter(|_| !mode.hands.is_empty()),
                mode.oven.map(|o| {
                    let shown = block(t).and_then(|b| b.setting_c);
                    shown.unwrap_or(o.least_c).clamp(o.least_c, o.most_c)
                }),
            ),
        };
        schedule.start.push(start);
        schedule.cook.push(cook);
        schedule.setting_c.push(setting_c);
    }
    for (d, dish) in problem.dishes.iter().enumerate() {
        let shown = plan.holds.iter().find(|h| h.dish == map.dishes[d]);
        let same = shown.and_then(|h| {
            let at = station(&h.station);
            map.holds[d].iter().position(|m| m.hold == h.hold && m.station == at)
        });
        let chosen = dish.held.or(same);
        let hold = chosen.map(|h| &dish.holds[h]);
        let setting_c = hold.and_then(|h| {
            let range = h.oven?;
            let shown = shown.and_then(|s| s.setting_c).unwrap_or(range.least_c);
            Some(h.setting_c.unwrap_or(shown.clamp(range.least_c, range.most_c)))
        });
        schedule.hold.push(chosen);
        schedule.hold_setting_c.push(setting_c);
    }
    schedule
}
