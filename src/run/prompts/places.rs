//! Dials to turn, dishes to put away, dishes to serve.

use super::{Item, Press};
use crate::kitchen::{HoldClass, StationKind};
use crate::order::InOrder;
use crate::plan::{HoldBlock, SettingBlock, SettingKind};
use crate::run::event::Event;
use crate::run::state::{MINUTE_MS, State, Whereabouts};
use crate::run::view::{Prompt, PromptKind};
use crate::run::{food, words};

/// Dials that the plan wants turned and that are not yet set so.
pub(super) fn dials(state: &State, now_ms: i64) -> Vec<Item> {
    let Some(plan) = state.plan() else { return Vec::new() };
    let mut stations: Vec<&str> = plan.settings.iter().map(|s| s.station.as_str()).collect();
    stations.sort_unstable();
    stations.dedup();
    let open = stations.into_iter().flat_map(|id| open_dials(state, &plan.settings, id, now_ms));
    open.map(|block| dial_item(state, block)).collect()
}

/// The turns of one dial that lie ahead; of those that are due only the last.
#[must_use]
pub fn open_dials<'a>(
    state: &State,
    settings: &'a [SettingBlock],
    station: &str,
    now_ms: i64,
) -> Vec<&'a SettingBlock> {
    if state.facts().down.contains_key(station) {
        return Vec::new();
    }
    let mut turns: Vec<&SettingBlock> = settings
        .iter()
        .filter(|s| s.station == station && s.kind != SettingKind::Keeping)
        // What was turned the day before is no matter of the day.
        .filter(|s| s.to > 0 || now_ms < state.ms(0))
        .collect();
    turns.order_by_key(|s| s.from);
    let dial = state.dial_of(station);
    let answered = |i: usize, turn: &SettingBlock| {
        // Set so already, and since the turn before this one was due: an older
        // setting that happens to be the same does not answer a later turn.
        let before = i.checked_sub(1).and_then(|b| turns.get(b));
        dial.is_some_and(|d| {
            d.to_c == turn.to_c && before.is_none_or(|b| d.at_ms >= state.ms(b.from))
        })
    };
    let done = turns.iter().enumerate().rev().find(|(i, t)| answered(*i, t)).map(|(i, _)| i + 1);
    let mut open = turns.split_off(done.unwrap_or(0));
    let due = open.iter().filter(|t| state.ms(t.from) <= now_ms).count();
    open.drain(..due.saturating_sub(1));
    open
}

fn dial_item(state: &State, turn: &SettingBlock) -> Item {
    let setting = words::degrees(state, turn.to_c);
    let name = words::station(state.evening(), &turn.station);
    let short = format!("{name} to {setting}");
    let due_ms = state.ms(turn.from);
    let ready = words::clock(state, state.ms(turn.to));
    let verb = if turn.kind == SettingKind::Cooling { "cooled" } else { "hot" };
    let text = format!("Turn the {name} to {setting}: it is {verb} by {ready}.");
    Item {
        label: format!("dial: {short}"),
        prompt: Prompt { kind: PromptKind::Dial, key: None, dish: None, short, text, due_ms },
        event: Event::OvenSet { station: turn.station.clone(), celsius: turn.to_c },
        press: Press::Dial,
        free: true,
        hands_on: false,
    }
}

/// Finished dishes that are to wait hot or cold somewhere else than where they
/// were finished: until that is marked, their clock runs.
pub(super) fn holds(state: &State, now_ms: i64) -> Vec<Item> {
    let Some(plan) = state.plan() else { return Vec::new() };
    plan.holds.iter().filter_map(|block| hold_item(state, block, now_ms)).collect()
}

fn hold_item(state: &State, block: &HoldBlock, now_ms: i64) -> Option<Item> {
    let dish = block.dish;
    let out_ms = state.out_ms(dish, now_ms)?;
    let last = food::phases(state, dish, now_ms).last().copied();
    let left_cold = matches!(last, Some((_, food::Keeping::In(_))));
    let moves = block.class != HoldClass::Room && !(left_cold && state.stays_put(dish).is_some());
    let waits = !state.is_dropped(dish) && !state.is_out_of_hand(dish);
    // Where it was put it may be kept no more: then it is to be moved, since that moment.
    let failed = state.failed_there(dish, now_ms);
    let held = matches!(state.last_stay(dish).map(|s| &s.at), Some(Whereabouts::Held { .. }));
    let marked = held && !failed;
    if !moves || !waits || marked {
        return None;
    }
    let place = state.evening().station(&block.station)?.kind;
    let name = words::dish(state, dish);
    let onto = words::onto(state.evening(), &block.station);
    let warm = match (block.setting_c, place) {
        (Some(celsius), _) => format!(", {}", words::degrees(state, celsius)),
        (None, StationKind::SlowCooker) => ", warm".to_owned(),
        (None, StationKind::Stovetop) => ", lid on, low".to_owned(),
        _ => String::new(),
    };
    let short = format!("{name} {onto}{warm}");
    let until = words::clock(state, state.ms(block.to));
    let at = words::at(state.evening(), &block.station);
    let text = format!("{} waits {at}{warm} until {until}.", words::capital(&name));
    let id = state.sheet(dish)?.id.clone();
    let station = Some(block.station.clone());
    Some(Item {
        label: format!("waits {at}: {name}"),
        event: Event::HeldAt { dish: id, hold: Some(block.hold), place, station },
        prompt: Prompt {
            kind: PromptKind::PutIn,
            key: None,
            dish: Some(dish),
            short,
            text,
            due_ms: last.filter(|_| failed).map_or(out_ms, |(failed_ms, _)| failed_ms),
        },
        press: Press::PutAway,
        free: true,
        hands_on: false,
    })
}

/// Dishes to take to the table: at their service, once they are ready.
pub(super) fn serves(state: &State, now_ms: i64) -> Vec<Item> {
    let dishes = 0..state.evening().sheets.len();
    dishes.filter_map(|dish| serve_item(state, dish, now_ms)).collect()
}

/// The serving of a dish.
#[must_use]
pub fn serve_item(state: &State, dish: usize, now_ms: i64) -> Option<Item> {
    if state.is_dropped(dish) || state.is_out_of_hand(dish) {
        return None;
    }
    let sheet = state.sheet(dish)?;
    // That the last step is left out makes nothing of what is still to be done before it.
    let ready_ms = state.made_ms(dish, now_ms);
    let planned = state.plan().and_then(|plan| {
        let mut lines = plan.services.iter().flat_map(|l| &l.dishes);
        lines.find(|d| d.0 == dish).map(|d| state.ms(d.1))
    });
    let free = ready_ms.is_some();
    let ready_ms = ready_ms.or(planned).unwrap_or(i64::MIN);
    let floor = if free { i64::MIN } else { now_ms.saturating_add(MINUTE_MS) };
    let due_ms = state.due_ms(dish).max(ready_ms).max(floor);
    let short = format!("serve the {}", words::dish(state, dish));
    let title = words::service_title(state.evening(), sheet.service);
    let text = format!("{} to the table: {title}.", words::dish_first(state, dish));
    Some(Item {
        label: format!("on the table: {}", words::dish(state, dish)),
        event: Event::Served { dish: sheet.id.clone() },
        prompt: Prompt {
            kind: PromptKind::Serve,
            key: None,
            dish: Some(dish),
            short,
            text,
            due_ms,
        },
        press: Press::Serves,
        free,
        hands_on: false,
    })
}
