//! Food of dishes that were dropped or thrown out before they were finished:
//! that nobody makes them any more takes nothing off the counter.
//!
//! What had been begun when a dish was dropped stands out from then on, if it
//! stood on the heat too, until it is marked where it went. Only a cold place
//! keeps what is not cooked through.

use super::making::Stretch;
use super::{Food, Keeping, held_as, is_warm, making};
use crate::run::event::Clearing;
use crate::run::state::{State, Whereabouts};
use crate::safety::{Control, is_perishable};

/// Is anything perishable of the dish there, finished or begun?
#[must_use]
pub fn is_there(state: &State, dish: usize, now_ms: i64) -> bool {
    let Some(sheet) = state.sheet(dish) else { return false };
    let safety = &sheet.recipe.safety;
    let begun = || {
        state.out_ms(dish, now_ms).is_some()
            || !making::made_stretches(state, Food::whole(dish), now_ms).is_empty()
            || making::is_on_the_way(state, dish, now_ms)
    };
    is_perishable(safety.class, safety.exempt) && !is_gone_for_good(state, dish) && begun()
}

fn is_gone_for_good(state: &State, dish: usize) -> bool {
    let last = state.last_stay(dish).map(|s| &s.at);
    matches!(last, Some(Whereabouts::Gone(Clearing::Eaten | Clearing::ThrownOut)))
}

/// When what was begun of an unfinished dish was eaten or thrown out; None if it
/// was not, or if more was begun since. What is said of the whole takes no part
/// away that went its own way.
pub(super) fn gone_ms(state: &State, food: Food, now_ms: i64) -> Option<(i64, Clearing)> {
    let Food { dish, part } = food;
    if part.is_some() || state.out_ms(dish, now_ms).is_some() {
        return None;
    }
    let known = state.facts().stays.get(&dish)?.iter().rev().find(|s| s.at_ms <= now_ms)?;
    let Whereabouts::Gone(how @ (Clearing::Eaten | Clearing::ThrownOut)) = known.at else {
        return None;
    };
    let of_dish = state.facts().progress.iter().filter(|(key, _)| key.dish == dish);
    let mut runs = of_dish.filter_map(|(_, p)| p.run());
    let again = runs.any(|run| (known.at_ms + 1..=now_ms).contains(&run.start_ms));
    (!again).then_some((known.at_ms, how))
}

/// Was what was begun of a dish thrown out (or eaten) before any of it was finished, and nothing begun since?
#[must_use]
pub fn is_thrown_out_unfinished(state: &State, dish: usize, now_ms: i64) -> bool {
    gone_ms(state, Food::whole(dish), now_ms).is_some()
}

/// The stretches in which a dish was dropped before it was finished, up to `now_ms`.
pub(super) fn dropped(state: &State, dish: usize, now_ms: i64) -> Vec<Stretch> {
    let out_ms = state.out_ms(dish, now_ms).unwrap_or(i64::MAX);
    let left = state.facts().left.get(&dish).into_iter().flatten();
    left.map(|(from, to)| (*from, to.unwrap_or(now_ms).min(now_ms).min(out_ms)))
        .filter(|(from, to)| from < to)
        .collect()
}

/// When in such a stretch the food was out: until it was put where it is cold,
/// and again when it came from there.
pub(super) fn out_in(state: &State, dish: usize, (from, to): Stretch) -> Vec<Stretch> {
    let warm = is_warm(state, dish);
    let mut phases = vec![(from, Keeping::Out)];
    let stays = state.facts().stays.get(&dish).into_iter().flatten();
    for stay in stays.filter(|s| s.at_ms >= from && s.at_ms < to) {
        phases.retain(|p| p.0 < stay.at_ms);
        match &stay.at {
            Whereabouts::Held { hold, place, station } => {
                held_as(state, dish, *hold, *place, station.as_deref(), warm).enter(
                    state,
                    stay.at_ms,
                    to,
                    &mut phases,
                );
            }
            Whereabouts::Table => phases.push((stay.at_ms, Keeping::Out)),
            Whereabouts::Gone(Clearing::PutAway) => {
                phases.push((stay.at_ms, Keeping::In(Control::Chilling)));
            }
            Whereabouts::Gone(how) => phases.push((stay.at_ms, Keeping::Gone(*how))),
        }
    }
    let is_out = |k: Keeping| matches!(k, Keeping::Out | Keeping::In(Control::Hot));
    let ends = phases.iter().skip(1).map(|p| p.0).chain([to]);
    let each = phases.iter().zip(ends);
    each.filter(|(p, _)| is_out(p.1)).map(|(p, end)| (p.0, end)).collect()
}
