//! Alarms about dishes that wait: past their best, and past what the guidance allows.

use super::{banner, key, left};
use crate::plan::StepKey;
use crate::run::event::Clearing;
use crate::run::food::{self, Food, Keeping};
use crate::run::state::{MINUTE_MS, State, Whereabouts};
use crate::run::view::{Alarm, AlarmKind, AlarmState, Rank};
use crate::run::{holding, portions, words};
use crate::safety::{ClockState, caution};

/// Before a dish is past its best: five minutes to act, at most half of what it
/// is good for. Our choice.
const TASTE_LEAD: i64 = 5;

/// A dish whose recipe names no place to wait may stand on the pass so many
/// minutes before that is an alarm; the planner reckons with the same.
const ON_THE_PASS: i64 = 10;

/// Dishes that will be, or are, past their best before they are served.
pub(super) fn taste(state: &State, now_ms: i64) -> Vec<Alarm> {
    let dishes = 0..state.evening().sheets.len();
    dishes.flat_map(|dish| taste_of(state, dish, now_ms)).collect()
}

fn taste_of(state: &State, dish: usize, now_ms: i64) -> Vec<Alarm> {
    let Some((since_ms, limit_ms)) = taste_limit(state, dish, now_ms) else { return Vec::new() };
    let lead_ms = (TASTE_LEAD * MINUTE_MS).min((limit_ms - since_ms) / 2);
    let name = banner(state, dish);
    let id = state.sheet(dish).map(|s| s.id.clone()).unwrap_or_default();
    let alarm = |kind, rank, title, raised_ms, harm_ms: Option<i64>| Alarm {
        key: key(kind, &id, "", ""),
        kind,
        rank,
        title,
        cause: format!("It has waited since {}.", words::clock(state, since_ms)),
        consequence: match harm_ms {
            Some(at) => {
                format!("From {} it gets worse (taste, not safety).", words::clock(state, at))
            }
            None => "It gets worse every minute (taste, not safety).".to_owned(),
        },
        remedy: "Serve it, or put it where it keeps better.".to_owned(),
        raised_ms,
        harm_ms,
        state: AlarmState::New,
        dish: Some(dish),
        safety: false,
        root: None,
    };
    let mut alarms = Vec::new();
    // If it is to be served in time there is nothing to do: no alarm before.
    if serve_ms(state, dish) > limit_ms {
        let title = format!("{name} past its best {}", left(limit_ms, now_ms));
        let raised_ms = limit_ms - lead_ms;
        alarms.push(alarm(AlarmKind::BestSoon, Rank::Notice, title, raised_ms, Some(limit_ms)));
    }
    let title = format!("{name} past its best");
    // Taste, not safety: told once, and no more.
    alarms.push(alarm(AlarmKind::BestPast, Rank::Notice, title, limit_ms, None));
    alarms
}

/// Since when a dish waits, and when its waiting becomes an alarm: at the end
/// of its free minutes, or, where the plan spends more than those on purpose,
/// at the most that its recipe allows.
fn taste_limit(state: &State, dish: usize, now_ms: i64) -> Option<(i64, i64)> {
    if state.is_dropped(dish) || state.is_out_of_hand(dish) {
        return None;
    }
    let out_ms = state.out_ms(dish, now_ms)?;
    if let Some((hold, since_ms)) = holding::hold_of(state, dish, now_ms) {
        let free_ms = since_ms.saturating_add(i64::from(hold.free_minutes) * MINUTE_MS);
        let planned_ms = state.hold_block(dish).map_or(i64::MIN, |b| state.ms(b.to));
        let most_ms = since_ms.saturating_add(i64::from(hold.most_minutes) * MINUTE_MS);
        let limit_ms = if planned_ms > free_ms { most_ms.max(free_ms) } else { free_ms };
        return Some((since_ms, limit_ms));
    }
    let no_holds = state.sheet(dish)?.recipe.holds.is_empty();
    no_holds.then(|| (out_ms, out_ms.saturating_add(ON_THE_PASS * MINUTE_MS)))
}

/// When a dish is served by the plan on the screen, or else at its service.
fn serve_ms(state: &State, dish: usize) -> i64 {
    let mut lines = state.plan().into_iter().flat_map(|p| &p.services).flat_map(|l| &l.dishes);
    let planned = lines.find(|d| d.0 == dish).map(|d| state.ms(d.2));
    planned.unwrap_or(i64::MIN).max(state.due_ms(dish))
}

/// Foods near or past the limit of the guidance.
pub(super) fn safety(state: &State, now_ms: i64) -> Vec<Alarm> {
    let dishes = 0..state.evening().sheets.len();
    let foods = dishes.flat_map(|dish| portions::foods(state, dish));
    foods.flat_map(|food| safety_of(state, food, now_ms)).collect()
}

fn safety_of(state: &State, food: Food, now_ms: i64) -> Vec<Alarm> {
    // What heat has ended since may have been past its limit before.
    let passed = food::passed(state, food, now_ms);
    let Some(standing) = passed.or_else(|| food::standing_of(state, food, now_ms)) else {
        return Vec::new();
    };
    let (Some(limit_ms), Some(warn_ms)) = (standing.limit_ms, standing.warn_ms) else {
        return Vec::new();
    };
    let over = standing.state == ClockState::Over;
    let ended = food::story_of(state, food, now_ms).and_then(|s| s.ended).map(|e| e.1);
    // What is eaten or thrown out in time has no limit any more; what was eaten
    // after it still asks to be recorded.
    if matches!(ended, Some(Clearing::ThrownOut)) || (ended.is_some() && !over) {
        return Vec::new();
    }
    // An answer is about this limit if it was given since it passed.
    if food::is_answered(state, food, limit_ms) {
        return Vec::new();
    }
    let dish = food.dish;
    let part = food.part.map_or_else(String::new, |part| format!("part{part}"));
    let name = match food.part {
        Some(part) => format!("{}, PART {part},", banner(state, dish)),
        None => banner(state, dish),
    };
    let id = state.sheet(dish).map(|s| s.id.clone()).unwrap_or_default();
    let root = root(state, food, now_ms);
    let alarm = |kind, rank, title, raised_ms, harm_ms: Option<i64>| Alarm {
        key: key(kind, &id, &part, ""),
        kind,
        rank,
        title,
        cause: standing.why.clone(),
        consequence: match harm_ms {
            Some(at) => format!("At {} it may no longer be eaten.", words::clock(state, at)),
            None => "It may no longer be eaten.".to_owned(),
        },
        remedy: match harm_ms {
            Some(_) => format!("{} {}", standing.advice, caution::LOCAL_RULES_WIN),
            None => format!("{} Then say what you did.", standing.advice),
        },
        raised_ms,
        harm_ms,
        state: AlarmState::New,
        dish: Some(dish),
        safety: true,
        root: root.clone(),
    };
    let warned_ms = warn_ms.max(out_again_ms(state, food, now_ms).unwrap_or(i64::MIN));
    let soon = format!("{name} unsafe {}", left(limit_ms, now_ms));
    let past = format!("{name} past its safe limit");
    vec![
        alarm(AlarmKind::UnsafeSoon, Rank::Warning, soon, warned_ms, Some(limit_ms)),
        alarm(AlarmKind::UnsafePast, Rank::Urgent, past, limit_ms, None),
    ]
}

/// When it came out of where it was kept, if it did and is out since then: with
/// little time left that is a new warning, whatever was seen before.
fn out_again_ms(state: &State, food: Food, now_ms: i64) -> Option<i64> {
    let phases = food::phases_of(state, food, now_ms);
    let out = phases.iter().rev().take_while(|p| p.1 == Keeping::Out).count();
    let came = phases.len().checked_sub(out).filter(|kept| *kept > 0)?;
    phases.get(came).map(|p| p.0)
}

/// What others may share with it: the station where it is and that is out of
/// order, or else the place where it stands.
fn root(state: &State, food: Food, now_ms: i64) -> Option<String> {
    let stays = portions::stays(state, food);
    let last = stays.into_iter().rev().find(|s| s.at_ms <= now_ms).map(|s| s.at);
    let id = match last {
        Some(Whereabouts::Table) => return Some("They stand on the table.".to_owned()),
        Some(Whereabouts::Held { station, .. }) => station?,
        Some(Whereabouts::Gone(_)) => return None,
        // Nobody took it from where its last step was done.
        None if food.part.is_none() => {
            let step = state.sheet(food.dish)?.last_step();
            let key = StepKey { dish: food.dish, step, load: 0 };
            state.facts().progress.get(&key)?.run()?.station.clone()
        }
        None => return None,
    };
    let evening = state.evening();
    Some(match state.facts().down.get(&id) {
        Some(since_ms) => {
            let name = words::capital(&words::the_station(evening, &id));
            format!("{name} is out of order since {}.", words::clock(state, *since_ms))
        }
        None => format!("They are {}.", words::at(evening, &id)),
    })
}
