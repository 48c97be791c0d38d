//! From what the cook wants to mark to the event, or a sentence why not.
//!
//! The fold takes whatever a journal holds; here slips are caught before they
//! are written. What is odd but may be meant can be insisted on.

mod check;

pub use check::{check, is_out_of_order};

use super::event::Event;
use super::now;
use super::state::{MINUTE_MS, State};
use crate::kitchen::units::Degrees;
use crate::kitchen::{HoldClass, Minute};
use crate::plan::StepKey;
use crate::safety::{AskAgain, Expect, Probe};

/// Why a mark is not taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    /// A sentence to the cook.
    pub text: String,
    /// The cook may say that it is meant so.
    pub may_insist: bool,
}

impl Refusal {
    pub(super) fn no(text: impl Into<String>) -> Self {
        Self { text: text.into(), may_insist: false }
    }

    fn sure(text: impl Into<String>) -> Self {
        Self { text: text.into(), may_insist: true }
    }
}

/// The longest for which an alarm is put off, minutes. Our choice.
pub const PUT_OFF_AT_MOST: i64 = 60;

/// What the one key marks now.
///
/// # Errors
/// If nothing is left to mark.
pub fn expected(state: &State, now_ms: i64) -> Result<Event, Refusal> {
    let expected = now::view(state, now_ms).expected;
    expected.map(|e| e.event).ok_or_else(|| Refusal::no("There is nothing left to mark."))
}

/// Takes back the last mark.
///
/// # Errors
/// If there is none.
pub fn undo(state: &State) -> Result<Event, Refusal> {
    let last = state.last_undoable().ok_or_else(|| Refusal::no("There is nothing to undo."))?;
    Ok(Event::Undone { seq: last.seq })
}

/// Brings back the mark that was just undone.
///
/// # Errors
/// If the last thing that the cook did was not an undo.
pub fn redo(state: &State) -> Result<Event, Refusal> {
    let undone = state.last_redoable().ok_or_else(|| Refusal::no("Nothing was just undone."))?;
    Ok(Event::Undone { seq: undone.seq })
}

/// More minutes for a running step; for the one that ends first if none is named.
///
/// # Errors
/// If nothing runs, or the minutes are out of bounds.
pub fn more(
    state: &State,
    key: Option<StepKey>,
    minutes: u32,
    now_ms: i64,
) -> Result<Event, Refusal> {
    let first = || now::view(state, now_ms).running.first().and_then(|p| p.key);
    let key = key.or_else(first).ok_or_else(|| Refusal::no("Nothing is running."))?;
    let id = state.id(key).ok_or_else(|| Refusal::no("There is no such step."))?;
    let event = Event::NeedsMore { id, minutes };
    check(state, &event, now_ms).map(|()| event)
}

/// Moves a service by so many minutes (back if negative).
///
/// # Errors
/// If there is no such service or the time will not do.
pub fn move_service(
    state: &State,
    service: usize,
    by: Minute,
    now_ms: i64,
) -> Result<Event, Refusal> {
    let found = state.evening().party.services.get(service);
    let id = found.map(|s| s.id.clone()).ok_or_else(|| Refusal::no("There is no such service."))?;
    let to = state.service_minute(service).saturating_add(by);
    let event = Event::ServiceMoved { service: id, to };
    check(state, &event, now_ms).map(|()| event)
}

/// A temperature as the cook typed it, in a dish.
///
/// # Errors
/// Asked back if it cannot be or looks like the other unit.
pub fn temperature(
    state: &State,
    dish: usize,
    typed: &str,
    now_ms: i64,
) -> Result<Event, AskAgain> {
    let unit = state.evening().customs.degrees;
    let probe = Probe::parse(typed, unit, expect(state, dish, now_ms))?;
    Ok(reading(state, dish, probe))
}

/// A temperature that the cook has confirmed after it was asked back.
///
/// # Errors
/// If no thermometer shows such a thing.
pub fn sure_temperature(
    state: &State,
    dish: usize,
    value: f64,
    unit: Degrees,
    now_ms: i64,
) -> Result<Event, AskAgain> {
    Probe::confirm(value, unit, expect(state, dish, now_ms)).map(|p| reading(state, dish, p))
}

fn reading(state: &State, dish: usize, probe: Probe) -> Event {
    let dish = state.sheet(dish).map(|s| s.id.clone()).unwrap_or_default();
    Event::Temperature { dish, celsius: probe.celsius }
}

/// What a reading in a dish is likely to be.
#[must_use]
pub fn expect(state: &State, dish: usize, now_ms: i64) -> Expect {
    if let Some(entry) = super::holding::entry(state, dish, now_ms) {
        let warm = matches!(
            super::food::phases(state, dish, now_ms).last(),
            Some((_, super::food::Keeping::In(crate::safety::Control::Chilling)))
        );
        return match entry.class {
            HoldClass::Hot => Expect::HotFood,
            HoldClass::Cold if !warm => Expect::ColdFood,
            _ => Expect::Food,
        };
    }
    let on_the_heat = state.facts().progress.iter().any(|(key, progress)| {
        key.dish == dish
            && matches!(progress, super::Progress::Running(run)
                if state.evening().station(&run.station).is_some_and(|s| s.kind.heats()))
    });
    if on_the_heat { Expect::HotFood } else { Expect::Food }
}

/// Puts an alarm off for so many minutes.
///
/// # Errors
/// If it is over, or may not wait so long.
pub fn put_off(state: &State, alarm: &str, minutes: i64, now_ms: i64) -> Result<Event, Refusal> {
    let until_ms = now_ms.saturating_add(minutes.saturating_mul(MINUTE_MS));
    let event = Event::AlarmPutOff { alarm: alarm.to_owned(), until_ms };
    check(state, &event, now_ms).map(|()| event)
}
