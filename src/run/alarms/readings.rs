//! Alarms that a reading gives cause for: food taken off the heat too soon, and
//! cooling that missed its time. They stay until a better reading (of food that
//! is still on its way) or until the cook says what was done.

use super::{banner, key};
use crate::run::event::Clearing;
use crate::run::food::Food;
use crate::run::state::{State, Whereabouts};
use crate::run::view::{Alarm, AlarmKind, AlarmState, Rank};
use crate::run::{measure, portions, words};

/// Foods of which a reading shows that something is wrong, and that the cook
/// has not answered.
pub(super) fn shown(state: &State, now_ms: i64) -> Vec<Alarm> {
    let open = |alarm: &Alarm| {
        let answered = state.facts().handled.get(&alarm.key).and_then(|h| h.answered);
        answered.is_none_or(|(at_ms, _)| at_ms < alarm.raised_ms)
    };
    let dishes = 0..state.evening().sheets.len();
    let foods = dishes.flat_map(|dish| portions::foods(state, dish));
    let alarms = foods.filter(|food| !thrown_out(state, *food, now_ms)).flat_map(|food| {
        let under = food.part.is_none().then(|| undercooked(state, food.dish, now_ms)).flatten();
        [under, cooling(state, food, now_ms)].into_iter().flatten()
    });
    alarms.filter(open).collect()
}

fn thrown_out(state: &State, food: Food, now_ms: i64) -> bool {
    let last = portions::stays(state, food).into_iter().rev().find(|s| s.at_ms <= now_ms);
    last.is_some_and(|s| s.at == Whereabouts::Gone(Clearing::ThrownOut))
}

fn celsius(state: &State, c: f64) -> String {
    state.evening().customs.reading(c)
}

fn undercooked(state: &State, dish: usize, now_ms: i64) -> Option<Alarm> {
    let (low, end_ms) = measure::undercooked(state, dish, now_ms)?;
    let least = measure::least_words(state, dish)?;
    let served_ms = state.served_ms(dish).filter(|at| *at <= now_ms);
    let due_ms = state.due_ms(dish).max(low.at_ms);
    let name = banner(state, dish);
    Some(Alarm {
        key: key(AlarmKind::Undercooked, &state.sheet(dish)?.id, "", ""),
        kind: AlarmKind::Undercooked,
        rank: if served_ms.is_some() { Rank::Urgent } else { Rank::Warning },
        title: format!("{name} not cooked through"),
        cause: format!(
            "Measured {} at {}; it needs {least}.",
            celsius(state, low.celsius),
            words::clock(state, low.at_ms)
        ),
        consequence: "Eaten like this it can make people ill.".to_owned(),
        remedy: match served_ms {
            Some(_) => "Take it off the table. Then say what you did.".to_owned(),
            None => "Back on the heat, then measure again.".to_owned(),
        },
        raised_ms: low.at_ms.max(end_ms),
        harm_ms: Some(due_ms).filter(|at| served_ms.is_none() && *at > now_ms),
        state: AlarmState::New,
        dish: Some(dish),
        safety: true,
        root: None,
    })
}

fn cooling(state: &State, food: Food, now_ms: i64) -> Option<Alarm> {
    let missed = measure::cooling_missed(state, food, now_ms)?;
    let part = food.part.map_or_else(String::new, |part| format!("part{part}"));
    let name = match food.part {
        Some(part) => format!("{}, PART {part},", banner(state, food.dish)),
        None => banner(state, food.dish),
    };
    Some(Alarm {
        key: key(AlarmKind::CoolingMissed, &state.sheet(food.dish)?.id, &part, ""),
        kind: AlarmKind::CoolingMissed,
        rank: Rank::Urgent,
        title: format!("{name} cooled too slowly"),
        cause: format!(
            "Measured {} at {}; by {} it had to be {} or colder.",
            celsius(state, missed.reading.celsius),
            words::clock(state, missed.reading.at_ms),
            words::clock(state, missed.by_ms),
            missed.most
        ),
        consequence: "It may no longer be eaten.".to_owned(),
        remedy: "Throw it out. Then say what you did.".to_owned(),
        raised_ms: missed.reading.at_ms,
        harm_ms: None,
        state: AlarmState::New,
        dish: Some(food.dish),
        safety: true,
        root: None,
    })
}
