//! May the party be changed so?

use super::{dish_of, not_dropped};
use crate::kitchen::PartyChange;
use crate::plan::StepKey;
use crate::run::marks::Refusal;
use crate::run::state::State;
use crate::run::words;
use crate::safety::hold_limits;

/// May the party be changed so at `now_ms`?
pub(super) fn check(state: &State, change: &PartyChange, now_ms: i64) -> Result<(), Refusal> {
    if state.facts().finished_ms.is_some() {
        return Err(Refusal::no("The evening is over."));
    }
    if let Err(why) = change.apply(state.evening(), hold_limits()) {
        return Err(Refusal::no(why));
    }
    let of = match change {
        PartyChange::DishAdded { .. } => return Ok(()),
        other => other.dish(),
    };
    let Some(id) = of else { return Ok(()) };
    let dish = dish_of(state, id)?;
    not_dropped(state, dish)?;
    if state.ready_ms(dish, now_ms).is_some() {
        return Err(Refusal::no("It is made already."));
    }
    match change {
        _ if change.changes_steps() && state.is_begun(dish) => {
            let name = words::dish_first(state, dish);
            Err(Refusal::no(format!("{name} is begun: its steps stay as they are.")))
        }
        PartyChange::Swapped { item, .. } | PartyChange::Halved { item, .. } => {
            not_in(state, dish, item)
        }
        _ => Ok(()),
    }
}

/// An item that is in already is taken out again by no key.
fn not_in(state: &State, dish: usize, item: &str) -> Result<(), Refusal> {
    let Some(sheet) = state.sheet(dish) else { return Ok(()) };
    let uses = |step: usize| {
        let id = sheet.recipe.steps.get(step).map_or("", |s| s.id.as_str());
        let of = sheet.written.ingredients.iter().filter(|i| i.item == item);
        of.into_iter().any(|i| i.steps.is_empty() || i.steps.iter().any(|s| s == id))
    };
    let begun = |key: &StepKey| key.dish == dish && uses(key.step);
    match state.facts().progress.keys().any(begun) {
        true => Err(Refusal::sure(format!("A step that takes the {item} has begun."))),
        false => Ok(()),
    }
}
