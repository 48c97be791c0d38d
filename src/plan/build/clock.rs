//! The guidance's limit on time out of temperature control, as lags and limits.
//!
//! The rule. Perishable food is *under control* while a step heats or chills
//! it, while it waits between steps in a hot or a cold place, and in a hold
//! that keeps it hot or cold (a thermostat that may be set below the limit
//! for hot holding does not). Everything else is a *stretch* out of control:
//! counter steps, waits in the room, the time on the table. A stretch begins
//! when the first load leaves control, or when a counter step starts that uses
//! something from the fridge, the freezer or a can, or when a first step starts
//! (one that uses none of these counts only if no heating follows before the
//! table, or if nothing in the dish is kept so); it ends when the last load is back under control.
//! The stretches from one heating to the next, or to the end of the time on
//! the table, together never exceed the limit: each gets what it needs at the
//! least, and an equal part of what is left. Chilling stops the clock and does
//! not set it back. No profile's limit is exceeded by this reading, whatever
//! its minutes count.

use std::collections::BTreeMap;

use super::draft::Draft;
use super::food::{Entry, Exit, Food, Sum};
use super::map::{HoldAt, LagWhy, Reason};
use super::order::push;
use crate::kitchen::HoldClass;
use crate::plan::problem::{Hold, Lag, Limit, Point};
use crate::plan::weights;
use crate::safety::{self, Profile};

pub(super) fn add(draft: &mut Draft<'_>) {
    if !draft.reasons.is_empty() {
        return;
    }
    let dishes: Vec<_> = draft.dishes().collect();
    for (d, sheet) in dishes {
        if let Some(limit) = draft.limit(d) {
            let food = Food::of(draft, d, sheet);
            let entries = food.entries(draft);
            add_dish(draft, &food, &entries, limit);
        }
    }
}

/// What a stretch may last, and whether it must.
struct Allowed {
    most: i32,
    soft: bool,
}

fn add_dish(draft: &mut Draft<'_>, food: &Food, entries: &[Entry], limit: i32) {
    let mut allowed: BTreeMap<(Point, Exit), Allowed> = BTreeMap::new();
    let mut worst = Sum::default();
    for entry in entries {
        for out in &entry.exits {
            let sum = entry.before.then(out.own).then(out.tail);
            worst = if sum.need > worst.need { sum } else { worst };
            if out.own.count == 0 {
                continue; // It lies behind us.
            }
            let spare = (limit - sum.need).max(0) / i32::try_from(sum.count.max(1)).unwrap_or(1);
            let most = out.own.need + spare;
            let soft =
                draft.happened(entry.from).is_some() || (draft.running() && sum.need > limit);
            let slot = allowed.entry((entry.from, out.exit)).or_insert(Allowed { most, soft });
            slot.most = slot.most.min(most);
            slot.soft |= soft;
        }
    }
    if worst.need > limit && !draft.running() {
        let table = if worst.served { draft.table(food.dish) } else { 0 };
        draft.reasons.push(Reason::Clock { dish: food.dish, needs: worst.need, table, limit });
        return;
    }
    for ((from, exit), allowed) in allowed {
        add_stretch(draft, food, from, exit, &allowed);
    }
}

fn add_stretch(draft: &mut Draft<'_>, food: &Food, from: Point, exit: Exit, allowed: &Allowed) {
    let soft_most = allowed.soft.then_some(weights::PAST_SAFETY);
    let to: Vec<Point> = match exit {
        Exit::Start(step) => draft.starts(food.dish, step).collect(),
        Exit::End(step) => draft.ends(food.dish, step).collect(),
        Exit::Serve => draft.ends(food.dish, food.last).collect(),
    };
    let mut all_laid = true;
    for to in to {
        if draft.known(to).is_some() || to.task == from.task {
            all_laid = false;
            continue;
        }
        let lag = Lag { from, to, least: i32::MIN, most: allowed.most, soft_most, best: None };
        push(draft, lag, LagWhy::Clock { dish: food.dish });
    }
    let dish = draft.map.dishes.iter().position(|&d| d == food.dish);
    if let (Exit::Serve, Some(dish), Some(profile)) = (exit, dish, draft.profile()) {
        let limit = Limit { from, most: allowed.most, soft_most };
        let recipe_holds = &draft.evening.sheets[food.dish].recipe.holds;
        let holds = &mut draft.problem.dishes[dish].holds;
        for (hold, at) in holds.iter_mut().zip(&draft.map.holds[dish]) {
            let at_c = recipe_holds.get(at.hold).and_then(|h| h.at_c);
            if !controls(profile, hold, *at, at_c) {
                hold.limits.push(limit.clone());
            }
        }
        // Served as it comes out, a dish is served when its last load ends: the lags up to there say it
        // already, and what is past is to be paid for once.
        if !all_laid {
            draft.problem.dishes[dish].straight.push(limit);
        }
    }
}

/// Does a hold keep food under control at every setting that it accepts?
fn controls(profile: &Profile, hold: &Hold, at: HoldAt, at_c: Option<i32>) -> bool {
    let coldest = hold.setting_c.or(hold.oven.map(|o| o.least_c)).or(at_c);
    match at.class {
        HoldClass::Hot => safety::setting_holds(profile, at.class, coldest.map(f64::from)),
        HoldClass::Cold => true,
        HoldClass::Room => false,
    }
}
