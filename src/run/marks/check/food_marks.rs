//! May this be marked of the food's safety: the guidance, the air, ingredients
//! out early, parts of a dish?

use super::{Refusal, check_hold, dish_of, key_of, not_dropped};
use crate::kitchen::check::words::mean;
use crate::kitchen::units::Degrees;
use crate::run::event::{Clearing, Event, PortionDid};
use crate::run::fold::is_a_step;
use crate::run::food::{self, Food, Keeping, phases_of};
use crate::run::portions;
use crate::run::state::State;
use crate::run::words;
use crate::safety::{Control, Expect, Probe, Profile};

pub(super) fn check(state: &State, event: &Event, now_ms: i64) -> Result<(), Refusal> {
    match event {
        Event::GuidanceChanged { to } => match Profile::by_id(to) {
            None => {
                let mean = mean(to, Profile::ids());
                Err(Refusal::no(format!("There is no guidance \"{to}\". {mean}")))
            }
            Some(_) if state.evening().party.guidance == *to => {
                Err(Refusal::no("The evening goes by that already."))
            }
            Some(_) => Ok(()),
        },
        Event::RuleChosen { dish, rule } => {
            let found = dish_of(state, dish)?;
            if rule.as_ref().is_some_and(|rule| !food::rule_known(state, rule)) {
                return Err(Refusal::no("The guidance has no such rule."));
            }
            match food::has_left_control(state, found, now_ms) {
                true => Err(Refusal::no(
                    "Its time runs already: the rule is chosen while it is still kept cold.",
                )),
                false => Ok(()),
            }
        }
        Event::AirMeasured { celsius } => taken(*celsius, Expect::Air),
        Event::IngredientsOut { id } | Event::IngredientsBack { id } => {
            let key = key_of(state, id)?;
            not_dropped(state, key.dish)?;
            let early = state.facts().early.get(&key).and_then(|s| s.last());
            let is_out = early.is_some_and(|s| s.1.is_none());
            let begun = state.facts().progress.contains_key(&key);
            match event {
                _ if begun => Err(Refusal::no("That step has begun: it counts from then.")),
                Event::IngredientsOut { .. } if is_out => Err(Refusal::no("It is out already.")),
                Event::IngredientsBack { .. } if !is_out => {
                    Err(Refusal::no("It was not taken out."))
                }
                _ => Ok(()),
            }
        }
        Event::Portion { dish, part, did } => portion(state, (dish, *part), did, now_ms),
        Event::ClockSetBack { by_ms } if !is_a_step(*by_ms) => {
            Err(Refusal::no("A clock is set back by at most a week."))
        }
        _ => Ok(()),
    }
}

fn taken(celsius: f64, expect: Expect) -> Result<(), Refusal> {
    Probe::take(celsius, Degrees::Celsius, expect)
        .map(|_| ())
        .map_err(|ask| Refusal { text: ask.message, may_insist: ask.can_confirm })
}

fn portion(
    state: &State,
    (id, part): (&str, u32),
    did: &PortionDid,
    now_ms: i64,
) -> Result<(), Refusal> {
    let dish = dish_of(state, id)?;
    if !crate::run::food::is_there(state, dish, now_ms) {
        not_dropped(state, dish)?;
    }
    let known = state.facts().portions.contains_key(&(dish, part));
    // What was put away comes out again, or goes for good.
    let comes_out = match did {
        PortionDid::Served | PortionDid::HeldAt { .. } | PortionDid::Temperature { .. } => true,
        PortionDid::Cleared { how } => *how != Clearing::PutAway,
        PortionDid::TakenOff | PortionDid::JoinedTo { .. } => false,
    };
    let away = comes_out && state.portion_is_away((dish, part));
    if known && state.portion_is_gone((dish, part)) && !away {
        return Err(Refusal::no("That part is gone."));
    }
    match did {
        PortionDid::TakenOff if known => Err(Refusal::no("That part was taken off already.")),
        PortionDid::TakenOff if state.next_portion(dish) != Some(part) => {
            Err(Refusal::no("A dish is divided into nine parts at most, numbered from 1."))
        }
        PortionDid::TakenOff => match (state.out_ms(dish, now_ms), state.is_gone(dish)) {
            (None, _) => Err(Refusal::sure("It is not finished yet.")),
            (_, true) => Err(Refusal::no("It is gone: there is nothing to take off.")),
            _ => Ok(()),
        },
        // Going somewhere takes a part off, so that one press is enough.
        PortionDid::Served | PortionDid::HeldAt { .. } | PortionDid::Cleared { .. }
            if !known && state.next_portion(dish) == Some(part) =>
        {
            portion(state, (id, part), &PortionDid::TakenOff, now_ms)
        }
        _ if !known => Err(Refusal::no("That part was not taken off yet.")),
        PortionDid::HeldAt { place, station, .. } => {
            check_hold(state, id, *place, station.as_deref(), now_ms)
        }
        PortionDid::Temperature { celsius } => {
            let food = Food { dish, part: Some(part) };
            check_taken(state, food, (*celsius, Expect::Food), now_ms)
        }
        PortionDid::JoinedTo { dish: to, part: onto } => {
            let to = dish_of(state, to)?;
            let there = match onto {
                Some(onto) => !state.portion_is_gone((to, *onto)),
                None => !state.is_gone(to),
            };
            if (to, *onto) == (dish, Some(part)) || !there {
                let name = words::dish(state, to);
                return Err(Refusal::no(format!("The {name} is not there to put it with.")));
            }
            Ok(())
        }
        PortionDid::Served | PortionDid::Cleared { .. } => Ok(()),
    }
}

/// A reading of food: one that cannot be is refused; one that does not fit the
/// one before, or looks like the other unit, is asked back.
pub(super) fn check_taken(
    state: &State,
    food: Food,
    (celsius, expect): (f64, Expect),
    now_ms: i64,
) -> Result<(), Refusal> {
    match taken(celsius, expect) {
        Err(no) if !no.may_insist => Err(no),
        doubt => check_order(state, food, celsius, now_ms).and(doubt),
    }
}

/// Does a reading that was confirmed as typed still not fit the one before?
/// That is a doubt of its own, and asked by itself.
#[must_use]
pub fn is_out_of_order(state: &State, event: &Event, now_ms: i64) -> bool {
    let (id, part, celsius) = match event {
        Event::Temperature { dish, celsius } => (dish, None, *celsius),
        Event::Portion { dish, part, did: PortionDid::Temperature { celsius } } => {
            (dish, Some(*part), *celsius)
        }
        _ => return false,
    };
    let dish = state.evening().dish_index(id);
    dish.is_some_and(|dish| check_order(state, Food { dish, part }, celsius, now_ms).is_err())
}

/// Food that is neither heated nor stands somewhere warmer gets no warmer by
/// more than this between two readings, °C: a probe is off by a degree or two.
const WARMS_C: f64 = 4.0;

/// Does a reading fit the one before? A time that runs backwards, or food that
/// gets warmer in the fridge or hotter off the heat, is asked back.
fn check_order(state: &State, food: Food, celsius: f64, now_ms: i64) -> Result<(), Refusal> {
    let taken = portions::taken(state, food);
    let Some(last) = taken.last() else { return Ok(()) };
    let show = |c: f64| state.evening().customs.degrees.show(c);
    let clock = words::clock(state, last.at_ms);
    if last.at_ms > now_ms {
        let text = format!("The last reading is of {clock}, later than now. Is the clock right?");
        return Err(Refusal::sure(text));
    }
    let phases = phases_of(state, food, now_ms);
    let Some((since_ms, keeping)) = phases.last() else { return Ok(()) };
    let room_c = f64::from(state.evening().party.room_c);
    let ceiling_c = match keeping {
        Keeping::In(Control::Hot) | Keeping::Gone(_) => return Ok(()),
        Keeping::In(Control::Cold | Control::Chilling) => last.celsius,
        Keeping::Out => last.celsius.max(room_c),
    };
    if *since_ms <= last.at_ms && celsius > ceiling_c + WARMS_C {
        let text = format!(
            "It was {} at {clock} and was not heated since: now {}?",
            show(last.celsius),
            show(celsius)
        );
        return Err(Refusal::sure(text));
    }
    Ok(())
}
