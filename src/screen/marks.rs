//! From what the cook means to the event that says so.

use super::Scene;
use super::ui::{Page, Sel, Ui};
use crate::kitchen::StationKind;
use crate::plan::{Block, StepKey};
use crate::run::{Alarm, AlarmState, Event, Measure, Phase, PromptKind, StepId, alarms};
use crate::safety::Profile;

/// Minutes for which an alarm is put off.
pub const PUT_OFF_MINUTES: i64 = 5;

/// How far a load has come.
#[must_use]
pub fn phase(scene: &Scene, key: StepKey) -> Phase {
    scene.view.phases.iter().find(|p| p.0 == key).map_or(Phase::Ahead, |p| p.1)
}

/// The block of a load.
#[must_use]
pub fn block<'a>(scene: &Scene<'a>, key: StepKey) -> Option<&'a Block> {
    scene.plan.blocks.iter().find(|b| b.key == key)
}

/// The ids of a load.
#[must_use]
pub fn step_id(scene: &Scene, key: StepKey) -> Option<StepId> {
    let sheet = scene.evening.sheets.get(key.dish)?;
    let step = sheet.recipe.steps.get(key.step)?;
    Some(StepId { dish: sheet.id.clone(), step: step.id.clone(), load: key.load })
}

/// Starts a load as planned, or says that it is done, by how far it has come.
#[must_use]
pub fn start_or_done(scene: &Scene, key: StepKey) -> Option<Event> {
    let id = step_id(scene, key)?;
    match phase(scene, key) {
        Phase::Ahead | Phase::LateStart => {
            let b = block(scene, key)?;
            Some(Event::Started {
                id,
                way: b.way,
                station: b.station.clone(),
                cook: b.cook.clone(),
                ago_minutes: 0,
            })
        }
        Phase::Running | Phase::Over | Phase::Overdone => Some(Event::Done { id, ago_minutes: 0 }),
        Phase::Done | Phase::Skipped => None,
    }
}

/// The same event, but so many minutes ago, where the event knows of that.
#[must_use]
pub fn earlier(event: Event, minutes: u32) -> Event {
    match event {
        Event::Started { id, way, station, cook, .. } => {
            Event::Started { id, way, station, cook, ago_minutes: minutes }
        }
        Event::Done { id, .. } => Event::Done { id, ago_minutes: minutes },
        other => other,
    }
}

/// The running load that "more minutes" is about: the chosen one, the one
/// expected to end, or the one that ends first.
#[must_use]
pub fn running_target(scene: &Scene, ui: &Ui) -> Option<StepKey> {
    let runs = |key: &StepKey| {
        matches!(phase(scene, *key), Phase::Running | Phase::Over | Phase::Overdone)
    };
    let expected = scene.view.expected.as_ref().and_then(|e| e.prompt.key).filter(runs);
    let chosen = ui.focus_step(scene).filter(runs);
    let over = |p: &&crate::run::Prompt| {
        matches!(p.kind, PromptKind::Finish | PromptKind::TakeOut)
            && p.key.as_ref().is_some_and(runs)
    };
    let due = scene.view.do_now.iter().find(over).and_then(|p| p.key);
    let first = scene.view.running.iter().filter_map(|p| p.key).find(runs);
    chosen.or(expected).or(due).or(first)
}

/// The load that "skip" is about: the chosen one, or the one expected.
#[must_use]
pub fn skip_target(scene: &Scene, ui: &Ui) -> Option<StepKey> {
    let open = |key: &StepKey| !matches!(phase(scene, *key), Phase::Done | Phase::Skipped);
    let expected = scene.view.expected.as_ref().and_then(|e| e.prompt.key);
    ui.focus_step(scene).or(expected).filter(open)
}

/// The load that "pin" is about: the chosen one, if it has not begun.
#[must_use]
pub fn pin_target(scene: &Scene, ui: &Ui) -> Option<StepKey> {
    let ahead = |key: &StepKey| matches!(phase(scene, *key), Phase::Ahead | Phase::LateStart);
    let expected = scene.view.expected.as_ref().and_then(|e| e.prompt.key);
    ui.focus_step(scene).or(expected).filter(ahead)
}

/// Pins a load at its planned minute, or takes its pin out.
#[must_use]
pub fn pin(scene: &Scene, key: StepKey) -> Option<Event> {
    let id = step_id(scene, key)?;
    if scene.view.pinned.contains(&key) {
        return Some(Event::Unpinned { id });
    }
    Some(Event::Pinned { id, at: block(scene, key)?.start })
}

/// May the alarm be put off? One about a safety limit not past that limit.
#[must_use]
pub fn may_put_off(alarm: &Alarm, now_ms: i64) -> bool {
    let until_ms = now_ms.saturating_add(PUT_OFF_MINUTES * 60_000);
    let passed = alarm.harm_ms.is_none_or(|at| at < until_ms);
    let off_already = matches!(alarm.state, AlarmState::PutOff(_));
    !(off_already || alarm.safety && passed)
}

/// Must the cook say what was done? For food past its safety limit.
#[must_use]
pub fn wants_answer(alarm: &Alarm) -> bool {
    alarms::asks_what_was_done(alarm.kind)
}

/// The dish (or the part of it) in which a temperature was taken: the chosen
/// one, else the first of which a reading is wanted.
#[must_use]
pub fn to_measure(scene: &Scene, ui: &Ui) -> (usize, Option<u32>) {
    let mut held = scene.view.holding.iter().chain(&scene.view.portions);
    let row = held.nth(ui.row).filter(|_| ui.page == Page::Holding);
    if let Some(row) = row {
        return (row.dish, row.part);
    }
    let chosen = ui.selected.is_some() || ui.focus_step(scene).is_some();
    let due = measures(scene).next().filter(|_| !chosen);
    due.map_or_else(|| (likely_dish(scene, ui), None), |m| (m.dish, m.part))
}

/// The other rule of the guidance for the chosen dish of the holding board, or
/// the ordinary one if it goes by the other.
#[must_use]
pub fn choose_rule(scene: &Scene, ui: &Ui) -> Option<Event> {
    let held = scene.view.holding.get(ui.row).filter(|h| !h.served)?;
    let profile = Profile::by_id(&scene.evening.party.guidance)?;
    let rule = profile.chosen_rules.first()?.id.clone();
    let dish = scene.evening.sheets.get(held.dish)?.id.clone();
    let rule = Some(rule).filter(|_| !scene.view.ruled.contains(&held.dish));
    Some(Event::RuleChosen { dish, rule })
}

/// The readings that are wanted now, the longest wanted first.
pub fn measures<'a>(scene: &Scene<'a>) -> impl Iterator<Item = &'a Measure> + use<'a> {
    let now_ms = scene.view.now_ms;
    scene.view.measure.iter().filter(move |m| m.due_ms <= now_ms)
}

/// Dishes that are made and do not stand on the table yet: those that wait first.
#[must_use]
pub fn unserved(scene: &Scene) -> Vec<usize> {
    let waiting = scene.view.holding.iter();
    let mut dishes: Vec<usize> = waiting.clone().filter(|h| !h.served).map(|h| h.dish).collect();
    let served: Vec<usize> = waiting.filter(|h| h.served).map(|h| h.dish).collect();
    for dish in 0..scene.evening.sheets.len() {
        if !dishes.contains(&dish) && !served.contains(&dish) && !scene.view.dropped.contains(&dish)
        {
            dishes.push(dish);
        }
    }
    dishes
}

/// Stations whose dial can be set, by index.
#[must_use]
pub fn dials(scene: &Scene) -> Vec<usize> {
    let stations = scene.evening.kitchen.stations.iter().enumerate();
    stations.filter(|(_, s)| s.thermostat.is_some()).map(|(i, _)| i).collect()
}

/// Places where a finished dish can wait: those of its recipe first (their
/// indexes and stations), then every other station that is in order.
#[must_use]
pub fn places(scene: &Scene, dish: usize) -> Vec<(Option<usize>, StationKind, Option<String>)> {
    let mut out = Vec::new();
    let Some(sheet) = scene.evening.sheets.get(dish) else { return out };
    let usable = |s: &&crate::kitchen::Station| !scene.view.down.contains(&s.id);
    let stations = &scene.evening.kitchen.stations;
    for (index, hold) in sheet.recipe.holds.iter().enumerate() {
        for station in stations.iter().filter(usable).filter(|s| s.kind == hold.place) {
            out.push((Some(index), hold.place, Some(station.id.clone())));
        }
    }
    for station in stations.iter().filter(usable) {
        if !sheet.recipe.holds.iter().any(|h| h.place == station.kind) {
            out.push((None, station.kind, Some(station.id.clone())));
        }
    }
    out
}

/// The dish that a press is most likely about: of the chosen row or block, then of
/// what waits nearest its limit, then of what is expected, then the first.
#[must_use]
pub fn likely_dish(scene: &Scene, ui: &Ui) -> usize {
    let chosen = match ui.selected {
        Some(Sel::Step(key)) => Some(key.dish),
        Some(Sel::Hold(dish)) => Some(dish),
        None => ui.focus_step(scene).map(|k| k.dish),
    };
    let chosen = super::page::chosen_dish(scene, ui).or(chosen);
    let expected = scene.view.expected.as_ref().and_then(|e| e.prompt.dish);
    let holding = scene.view.holding.get(ui.row).or(scene.view.holding.first()).map(|h| h.dish);
    chosen.or(holding).or(expected).unwrap_or(0)
}

/// The chosen dish made the day before, or on the day if it is already.
#[must_use]
pub fn day_before(scene: &Scene, ui: &Ui) -> Option<Event> {
    let dish = super::page::chosen_dish(scene, ui)?;
    let sheet = scene.evening.sheets.get(dish)?;
    let on = !scene.evening.party.dishes.get(dish)?.day_before;
    let change = crate::kitchen::PartyChange::DayBefore { dish: sheet.id.clone(), on };
    Some(Event::PartyChanged { change })
}
