//! May the rest of the evening be settled so?

use super::{check as check_mark, dish_of, not_dropped};
use crate::plan::StepKey;
use crate::plan::ways::change::time_of;
use crate::run::event::Event;
use crate::run::marks::Refusal;
use crate::run::state::State;

/// May this decision be marked at `now_ms`?
pub(super) fn check(state: &State, event: &Event, now_ms: i64) -> Result<(), Refusal> {
    match event {
        Event::WaySettled { dish, step, way } => {
            let dish = dish_of(state, dish)?;
            not_dropped(state, dish)?;
            let sheet = state.sheet(dish);
            let at = sheet.and_then(|s| s.step_index(step));
            let at = at.ok_or_else(|| Refusal::no("The party has no such step."))?;
            if state.facts().progress.contains_key(&StepKey { dish, step: at, load: 0 }) {
                return Err(Refusal::no("It has begun already."));
            }
            let ways = sheet.and_then(|s| s.recipe.steps.get(at)).map_or(0, |s| s.ways.len());
            match *way < ways {
                true => Ok(()),
                false => Err(Refusal::no("The recipe has no such way.")),
            }
        }
        Event::PlaceSettled { dish, hold } => {
            let dish = dish_of(state, dish)?;
            not_dropped(state, dish)?;
            match state.sheet(dish).is_some_and(|s| *hold < s.recipe.holds.len()) {
                true => Ok(()),
                false => Err(Refusal::no("The recipe has no such place.")),
            }
        }
        Event::CookThere { from, to, .. } => {
            let (now, face) = (state.minute(now_ms), &state.evening().face);
            match from {
                _ if from >= to || *to <= now => Err(Refusal::no("Those hours have passed.")),
                // What the fold could not write down is not said to be taken.
                _ if time_of(face, *from).zip(time_of(face, *to)).is_none() => {
                    Err(Refusal::no("Those are not hours of the party's day."))
                }
                _ => Ok(()),
            }
        }
        Event::WayTaken { events, .. } => {
            if events.is_empty() || events.iter().any(crate::run::apply::is_whole) {
                return Err(Refusal::no("There is nothing to take."));
            }
            events.iter().try_for_each(|event| check_mark(state, event, now_ms))
        }
        _ => Ok(()),
    }
}
