//! Alarms that a reading gives cause for: food taken off the heat too soon, and
//! cooling that missed its time. They stay until a better reading (of food that
//! is still on its way) or until the cook says what was done.

use super::{banner, key};
use crate::run::event::{Answer, Clearing};
use crate::run::food::Food;
use crate::run::state::{State, Whereabouts};
use crate::run::view::{Alarm, AlarmKind, AlarmState, Rank};
use crate::run::{measure, portions, words};

/// Foods of which a reading shows that something is wrong, and that the cook
/// has not answered.
pub(super) fn shown(state: &State, now_ms: i64) -> Vec<Alarm> {
    let dishes = 0..state.evening().sheets.len();
    let foods = dishes.flat_map(|dish| portions::foods(state, dish));
    let there = foods.filter(|food| !thrown_out(state, *food, now_ms));
    there
        .flat_map(|food| [undercooked(state, food, now_ms), cooling(state, food, now_ms)])
        .flatten()
        .collect()
}

/// The first of what was put together in a food of which `find` finds something, with
/// the moment since when that is known, and of which the cook has said nothing since.
fn unanswered<T>(
    state: &State,
    (kind, food): (AlarmKind, Food),
    find: impl Fn(Food) -> Option<(T, i64)>,
) -> Option<(Food, T)> {
    let foods = portions::together(state, food).into_iter();
    let found = foods.filter_map(|f| find(f).map(|(what, at_ms)| (f, what, at_ms)));
    let mut open = found.filter(|(f, _, at_ms)| {
        !is_answered(state, (kind, food), *at_ms) && !is_answered(state, (kind, *f), *at_ms)
    });
    open.next().map(|(f, what, _)| (f, what))
}

/// Has the cook said since `at_ms` what was done about it? What was said of the whole
/// before a part was taken off is said of the part.
fn is_answered(state: &State, (kind, food): (AlarmKind, Food), at_ms: i64) -> bool {
    let said = |food: Food, until_ms: i64| {
        let handled = key_of(state, kind, food).and_then(|key| state.facts().handled.get(&key));
        let answered = handled.and_then(|h| h.answered);
        answered.is_some_and(|(ms, _)| (at_ms..=until_ms).contains(&ms))
    };
    let portion = food.part.and_then(|part| state.facts().portions.get(&(food.dish, part)));
    said(food, i64::MAX) || portion.is_some_and(|p| said(Food::whole(food.dish), p.from_ms))
}

fn key_of(state: &State, kind: AlarmKind, food: Food) -> Option<String> {
    let part = food.part.map_or_else(String::new, |part| format!("part{part}"));
    Some(key(kind, &state.sheet(food.dish)?.id, &part, ""))
}

/// "PIE", "PIE, PART 2,".
fn name(state: &State, food: Food) -> String {
    match food.part {
        Some(part) => format!("{}, PART {part},", banner(state, food.dish)),
        None => banner(state, food.dish),
    }
}

/// Has a reading shown that a food was not cooked through, and was nothing said of that?
pub(in crate::run) fn is_undercooked(state: &State, food: Food, now_ms: i64) -> bool {
    undercooked(state, food, now_ms).is_some()
}

/// Has a reading shown that a food cooled too slowly, whatever was said of it but that it was wrong?
pub(in crate::run) fn cooled_too_slowly(state: &State, food: Food, now_ms: i64) -> bool {
    let wrong = |f: Food, at_ms: i64| {
        let key = key_of(state, AlarmKind::CoolingMissed, f);
        let answered = key.and_then(|key| state.facts().handled.get(&key)?.answered);
        answered.is_some_and(|(ms, how)| ms >= at_ms && how == Answer::WasNeverOut)
    };
    portions::together(state, food).into_iter().any(|f| {
        let missed = measure::cooling_missed(state, f, now_ms).map(|m| m.reading.at_ms);
        missed.is_some_and(|at_ms| !wrong(f, at_ms) && !wrong(food, at_ms))
    })
}

fn thrown_out(state: &State, food: Food, now_ms: i64) -> bool {
    let last = portions::stays(state, food).into_iter().rev().find(|s| s.at_ms <= now_ms);
    last.is_some_and(|s| s.at == Whereabouts::Gone(Clearing::ThrownOut))
}

fn celsius(state: &State, c: f64) -> String {
    state.evening().customs.reading(c)
}

fn undercooked(state: &State, food: Food, now_ms: i64) -> Option<Alarm> {
    let kind = AlarmKind::Undercooked;
    let (of, (low, end_ms)) = unanswered(state, (kind, food), |f| {
        let (low, end_ms) = measure::undercooked_of(state, f, now_ms)?;
        Some(((low, end_ms), low.at_ms.max(end_ms)))
    })?;
    let least = measure::least_words(state, of.dish)?;
    let stays = portions::stays(state, food).into_iter();
    let mut served = stays.filter(|s| s.at == Whereabouts::Table && s.at_ms <= now_ms);
    let served_ms = served.next().map(|s| s.at_ms);
    let due_ms = state.due_ms(food.dish).max(low.at_ms);
    let name = name(state, food);
    Some(Alarm {
        key: key_of(state, kind, food)?,
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
        // On the table it is another alarm than it was before, seen or not.
        raised_ms: low.at_ms.max(end_ms).max(served_ms.unwrap_or(i64::MIN)),
        harm_ms: Some(due_ms).filter(|at| served_ms.is_none() && *at > now_ms),
        state: AlarmState::New,
        dish: Some(food.dish),
        safety: true,
        root: None,
    })
}

fn cooling(state: &State, food: Food, now_ms: i64) -> Option<Alarm> {
    let kind = AlarmKind::CoolingMissed;
    let (_, missed) = unanswered(state, (kind, food), |f| {
        let missed = measure::cooling_missed(state, f, now_ms)?;
        let at_ms = missed.reading.at_ms;
        Some((missed, at_ms))
    })?;
    let name = name(state, food);
    Some(Alarm {
        key: key_of(state, kind, food)?,
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
