//! When a new plan is wanted, and why, in plain words.

use std::collections::BTreeMap;

use super::state::{MINUTE_MS, Progress, Run, State};
use super::{prompts, words};
use crate::kitchen::{HoldClass, Minute};
use crate::plan::{Block, HoldBlock, Plan, SettingKind, StepKey};

/// Why a reshuffle is needed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Why {
    /// "because the soup (simmer) overran by 8 min".
    pub text: String,
    /// The dish it is about, if it is about one.
    pub dish: Option<usize>,
}

impl Why {
    /// A reason that is not about a dish.
    #[must_use]
    pub fn plain(text: impl Into<String>) -> Self {
        Self { text: text.into(), dish: None }
    }

    /// A reason that is about a dish.
    #[must_use]
    pub fn dish(text: impl Into<String>, dish: usize) -> Self {
        Self { text: text.into(), dish: Some(dish) }
    }
}

/// Ended or started so many minutes early, the plan may gain by it.
const EARLY_MATTERS: Minute = 3;

/// What drifts asks again after so many minutes at the latest.
const DRIFTS_AT_MOST: i64 = 5;

/// Why the plan on the screen will not do any more; None while it does.
///
/// Lateness below a minute does nothing. What drifts asks again when it has
/// drifted as long again as it had when the plan was made, or
/// [`DRIFTS_AT_MOST`] minutes: a new plan each minute would only say once more that it is late.
#[must_use]
pub fn needs_reshuffle(state: &State, now_ms: i64) -> Option<Why> {
    if state.facts().finished_ms.is_some() {
        return None;
    }
    let Some(plan) = state.plan() else { return Some(Why::plain("because there is no plan yet")) };
    if let Some(why) = &state.facts().stale {
        return Some(why.clone());
    }
    let blocks: BTreeMap<StepKey, &Block> = plan.blocks.iter().map(|b| (b.key, b)).collect();
    demands(state, plan, now_ms)
        .or_else(|| running(state, &blocks, now_ms))
        .or_else(|| unmarked(state, &blocks))
        .or_else(|| late_dial(state, plan, now_ms))
        .or_else(|| late_start(state, plan, now_ms))
        .or_else(|| moved_hold(state, now_ms))
}

/// What the cook asks for and the plan does not do.
fn demands(state: &State, plan: &Plan, now_ms: i64) -> Option<Why> {
    for line in &plan.services {
        let title = words::service_title(state.evening(), line.service);
        let due = state.service_minute(line.service);
        if line.service < state.evening().party.services.len() && line.due != due {
            let at = state.evening().face.label(due);
            return Some(Why::plain(format!("because {title} moved to {at}")));
        }
    }
    let open = plan.blocks.iter().filter(|b| !state.facts().progress.contains_key(&b.key));
    for block in open {
        if state.is_dropped(block.key.dish) {
            let name = words::dish(state, block.key.dish);
            return Some(Why::dish(format!("because you dropped the {name}"), block.key.dish));
        }
        if state.facts().down.contains_key(&block.station) {
            let name = words::the_station(state.evening(), &block.station);
            return Some(Why::plain(format!("because {name} is out of use")));
        }
    }
    let broken = |h: &&HoldBlock| {
        state.facts().down.contains_key(&h.station) && !state.is_out_of_hand(h.dish)
    };
    let held_at_broken = plan.holds.iter().filter(broken).find(|h| !stands_there(state, h, now_ms));
    held_at_broken.map(|h| {
        let name = words::the_station(state.evening(), &h.station);
        Why::plain(format!("because {name} is out of use"))
    })
}

/// Does a dish stand where the plan has it, without heat or cold? It goes on standing there in every new plan, until
/// the cook moves it.
fn stands_there(state: &State, hold: &HoldBlock, now_ms: i64) -> bool {
    let held = state.held(hold.dish, now_ms).and_then(|held| held.station);
    hold.class == HoldClass::Room && held.as_ref() == Some(&hold.station)
}

/// Begun loads that are not where the plan has them.
fn running(state: &State, blocks: &BTreeMap<StepKey, &Block>, now_ms: i64) -> Option<Why> {
    for (key, progress) in &state.facts().progress {
        if state.is_dropped(key.dish) || state.sheet(key.dish).is_none() {
            continue;
        }
        let Some(block) = blocks.get(key) else { continue };
        let found = match progress {
            Progress::Running(_) if !state.still_runs(*key, now_ms) => None,
            Progress::Running(run) => runs_differently(state, *key, run, block, now_ms),
            Progress::Done(_, end_ms) => ended_differently(state, *key, *end_ms, block),
            // Leaving a step out sets its own reason when it is marked.
            Progress::Skipped(..) => None,
        };
        if found.is_some() {
            return found;
        }
    }
    None
}

fn runs_differently(
    state: &State,
    key: StepKey,
    run: &Run,
    block: &Block,
    now_ms: i64,
) -> Option<Why> {
    let name = words::step_of(state, key);
    if run.station != block.station {
        let onto = words::onto(state.evening(), &run.station);
        return Some(Why::dish(format!("because {name} went {onto}"), key.dish));
    }
    if run.way != block.way {
        return Some(Why::dish(format!("because {name} went another way"), key.dish));
    }
    let expected = state.expected_end_ms(key, run, now_ms);
    let planned = state.ms(block.end);
    // A minute of lateness is not worth a new plan; and a step that has only
    // just reached its end may be marked any moment.
    let asked = run.more_until_ms.is_some_and(|until| until > now_ms);
    let mark_on_its_way = !asked && now_ms >= planned && now_ms < planned + MINUTE_MS;
    if expected >= planned + MINUTE_MS && !mark_on_its_way {
        let late = (expected - planned) / MINUTE_MS;
        return Some(Why::dish(overrun(state, key, run, now_ms, late), key.dish));
    }
    let early = planned.saturating_sub(expected) / MINUTE_MS;
    (early >= i64::from(EARLY_MATTERS))
        .then(|| Why::dish(format!("because {name} started {early} min early"), key.dish))
}

/// `late`: minutes after the planned end at which it is expected to end.
fn overrun(state: &State, key: StepKey, run: &Run, now_ms: i64, late: i64) -> String {
    let name = words::step_of(state, key);
    if run.more_until_ms.is_some_and(|until| until > now_ms) {
        return format!("because {name} needed {late} min more");
    }
    let over = (now_ms - state.nominal_end_ms(key, run)) / MINUTE_MS;
    if over < 0 {
        return format!("because {name} started {late} min late");
    }
    format!("because {name} overran by {} min", over.max(1))
}

fn ended_differently(state: &State, key: StepKey, end_ms: i64, block: &Block) -> Option<Why> {
    let (end, name) = (state.minute(end_ms), words::step_of(state, key));
    // Late, the steps after it cannot stand where they are.
    if end > block.end {
        let late = end - block.end;
        return Some(Why::dish(format!("because {name} ended {late} min late"), key.dish));
    }
    let early = block.end.saturating_sub(end);
    (early >= EARLY_MATTERS)
        .then(|| Why::dish(format!("because {name} ended {early} min early"), key.dish))
}

/// Loads that the plan and the marks disagree about.
fn unmarked(state: &State, blocks: &BTreeMap<StepKey, &Block>) -> Option<Why> {
    for key in state.all_loads() {
        let begun = state.facts().progress.contains_key(&key);
        let name = words::step_of(state, key);
        match blocks.get(&key) {
            Some(block) if block.begun && !begun => {
                return Some(Why::dish(
                    format!("because {name} did not begin after all"),
                    key.dish,
                ));
            }
            None if !begun && !state.is_out_of_hand(key.dish) => {
                return Some(Why::dish(format!("because the plan lacks {name}"), key.dish));
            }
            _ => {}
        }
    }
    None
}

/// Is it time to ask about something that the plan in force wanted at `planned_ms`
/// and that has been due since `since_ms`?
fn drifted(state: &State, planned_ms: i64, since_ms: i64, now_ms: i64) -> bool {
    let made_ms = state.facts().plan.as_ref().map_or(since_ms, |p| p.since_ms);
    let before = made_ms.saturating_sub(since_ms);
    let patience = before.clamp(MINUTE_MS, DRIFTS_AT_MOST * MINUTE_MS);
    planned_ms.saturating_add(patience) <= now_ms
}

/// The first load that should have started a minute ago or more. (Those of a
/// dropped dish are [`demands`].)
fn late_start(state: &State, plan: &Plan, now_ms: i64) -> Option<Why> {
    let late = |b: &&Block| {
        state.ms(b.start).saturating_add(MINUTE_MS) <= now_ms
            && !state.facts().progress.contains_key(&b.key)
            && !state.is_out_of_hand(b.key.dish)
    };
    let asks = |b: &Block| {
        let start_ms = state.ms(b.start);
        let since_ms = state.due_since(b.key, now_ms).unwrap_or(start_ms);
        drifted(state, start_ms, since_ms, now_ms)
    };
    let all = || plan.blocks.iter().filter(late);
    // The first is why the others are late.
    let block = all().min_by_key(|b| (b.start, b.key)).filter(|_| all().any(asks))?;
    let since = state.due_since(block.key, now_ms).unwrap_or(now_ms);
    let minutes = (now_ms.saturating_sub(since) / MINUTE_MS).max(1);
    let name = words::step_of(state, block.key);
    Some(Why::dish(format!("because {name} should have started {minutes} min ago"), block.key.dish))
}

/// A dial that should have been turned a minute ago or more: the oven will not
/// be ready when the plan says.
fn late_dial(state: &State, plan: &Plan, now_ms: i64) -> Option<Why> {
    let turn = plan.settings.iter().find(|turn| {
        let from_ms = state.ms(turn.from);
        let due = || state.dial_due(&turn.station, now_ms).filter(|d| d.0 == turn.to_c);
        let since = || due().map_or(from_ms, |d| d.1);
        let late =
            from_ms.saturating_add(MINUTE_MS) <= now_ms && drifted(state, from_ms, since(), now_ms);
        let open = || prompts::open_dials(state, &plan.settings, &turn.station, now_ms);
        late && turn.kind != SettingKind::Keeping && open().first() == Some(turn)
    })?;
    let name = words::the_station(state.evening(), &turn.station);
    let setting = words::degrees(state, turn.to_c);
    Some(Why::plain(format!("because {name} is not yet set to {setting}")))
}

/// A dish that was put elsewhere than planned since the plan was made.
fn moved_hold(state: &State, now_ms: i64) -> Option<Why> {
    let in_force = state.facts().plan.as_ref()?;
    for block in &in_force.plan.holds {
        let moved = state.last_stay(block.dish).is_some_and(|s| s.at_ms >= in_force.since_ms);
        let Some(held) = state.held(block.dish, now_ms).filter(|_| moved) else { continue };
        let elsewhere = held.station.as_ref().is_some_and(|s| *s != block.station);
        if elsewhere || held.hold.is_some_and(|h| h != block.hold) {
            let name = words::dish(state, block.dish);
            return Some(Why::dish(
                format!("because the {name} went elsewhere to wait"),
                block.dish,
            ));
        }
    }
    None
}
