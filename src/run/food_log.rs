//! The temperature log: every time, food, reading, limit and action of an
//! evening, with the guidance that it was kept by. Made to be printed.

mod print;
#[cfg(test)]
mod tests;
pub mod wire;

pub use print::Format;

use super::afterwards::{self, Afterwards};
use super::alarms;
use super::event::{Answer, Clearing};
use super::food::{self, Food, Keeping};
use super::state::{Reading, State};
use super::view::AlarmKind;
use super::{measure, portions, words};
use crate::kitchen::StepCare;
use crate::order::InOrder;
use crate::safety::{Control, Profile, caution, is_perishable};

/// The log of an evening.
#[derive(Debug, Clone, PartialEq)]
pub struct FoodLog {
    /// The party's title.
    pub title: String,
    /// Its day: 2026-11-25.
    pub day: String,
    /// The guidance, its edition and for whom it is.
    pub guidance: String,
    /// What happened, in order of time.
    pub rows: Vec<Row>,
    /// What is left to do.
    pub after: Afterwards,
    /// Cautions; then every figure with its source.
    pub cautions: Vec<String>,
    /// Every figure of the guidance with its source.
    pub sources: Vec<String>,
}

/// A line of the log.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// When (unix ms).
    pub at_ms: i64,
    /// The same on the wall: `2026-11-25 18:04`.
    pub when: String,
    /// The food; "room" for the air.
    pub food: String,
    /// What happened.
    pub what: String,
    /// The reading, in the party's degrees: `62.3 °C`.
    pub reading: String,
    /// The limit that it is held against.
    pub limit: String,
    /// Whether it was kept: "ok", "NOT MET", or nothing.
    pub verdict: &'static str,
    /// The guidance in force at that time, by its title.
    pub guidance: String,
}

/// The log as known at `now_ms`.
#[must_use]
pub fn food_log(state: &State, now_ms: i64) -> FoodLog {
    let last_ms = state.marks().map(|(m, _)| m.at_ms).max().unwrap_or(now_ms);
    let open_ms = now_ms.min(last_ms.saturating_add(afterwards::LOG_GOES_ON_MS));
    let until_ms = state.facts().finished_ms.unwrap_or(open_ms).min(now_ms.max(last_ms));
    let profile = food::profile(state);
    let mut rows = Vec::new();
    for dish in 0..state.evening().sheets.len() {
        for part in std::iter::once(None).chain(parts(state, dish)) {
            let food = Food { dish, part };
            places(state, food, until_ms, &mut rows);
            made_before(state, food, until_ms, &mut rows);
            readings(state, food, until_ms, &mut rows);
            answers(state, food, &mut rows);
        }
    }
    about_the_room(state, &mut rows);
    limits(state, until_ms, &mut rows);
    rows.order_by(|a, b| (a.at_ms, &a.food, &a.what).cmp(&(b.at_ms, &b.food, &b.what)));
    rows.dedup();
    FoodLog {
        title: state.evening().party.title.clone(),
        day: state.evening().party.day.to_string(),
        guidance: profile.map_or_else(String::new, |p| {
            format!("{} ({}); written for {}", p.title, p.edition, p.for_whom)
        }),
        rows,
        after: afterwards::afterwards(state, until_ms),
        cautions: profile.map(caution::lines).unwrap_or_default(),
        sources: profile.map(caution::sources).unwrap_or_default(),
    }
}

fn parts(state: &State, dish: usize) -> impl Iterator<Item = Option<u32>> {
    let parts = state.facts().portions.range((dish, 0)..=(dish, u32::MAX));
    parts.map(|((_, part), _)| Some(*part))
}

fn row(state: &State, at_ms: i64, food: String, what: String) -> Row {
    let day = afterwards::day_of(state, at_ms).map_or_else(String::new, |d| format!("{d} "));
    let when = format!("{day}{}", words::clock(state, at_ms));
    let guidance = food::profile_at(state, at_ms).map_or_else(String::new, |p| p.title.clone());
    let (reading, limit) = (String::new(), String::new());
    Row { at_ms, when, food, what, reading, limit, verdict: "", guidance }
}

/// A reading to a tenth, as it was taken.
fn shown(state: &State, celsius: f64) -> String {
    state.evening().customs.reading(celsius)
}

/// Where the food was, from when on.
fn places(state: &State, food: Food, until_ms: i64, rows: &mut Vec<Row>) {
    let portion = food.part.and_then(|part| state.facts().portions.get(&(food.dish, part)));
    let since_ms = portion.map_or(i64::MIN, |p| p.from_ms);
    if let Some(portion) = portion {
        let what = "taken off the rest".to_owned();
        rows.push(row(state, portion.from_ms, afterwards::name(state, food), what));
    }
    let stays = portions::stays(state, food);
    for (at_ms, keeping) in food::phases_of(state, food, until_ms) {
        if at_ms < since_ms || at_ms > until_ms {
            continue;
        }
        let served = stays
            .iter()
            .rev()
            .find(|s| s.at_ms <= at_ms)
            .is_some_and(|s| s.at == super::state::Whereabouts::Table);
        let what = match keeping {
            Keeping::In(Control::Hot) => "kept hot",
            Keeping::In(Control::Cold) => "kept cold",
            Keeping::In(Control::Chilling) => "put to cool in the fridge",
            Keeping::Out if served => "on the table: its time runs",
            Keeping::Out => "neither hot nor cold: its time runs",
            Keeping::Gone(Clearing::Eaten) => "eaten",
            Keeping::Gone(Clearing::PutAway) => "put away",
            Keeping::Gone(Clearing::ThrownOut) => "thrown out",
        };
        rows.push(row(state, at_ms, afterwards::name(state, food), what.to_owned()));
    }
}

/// What was cooled the day before and heated again, as it was marked.
fn made_before(state: &State, food: Food, until_ms: i64, rows: &mut Vec<Row>) {
    let steps = state.sheet(food.dish).map(|s| s.recipe.steps.as_slice()).unwrap_or_default();
    for (key, progress) in state.facts().progress.iter().filter(|(k, _)| k.dish == food.dish) {
        let Some(care) = steps.get(key.step).and_then(|s| s.care) else { continue };
        let Some(run) = progress.run().filter(|_| key.load == 0 && food.part.is_none()) else {
            continue;
        };
        let unmarked =
            if state.facts().assumed.contains(key) { ", as planned; not marked" } else { "" };
        let name = || afterwards::name(state, food);
        let (begins, ends) = match care {
            StepCare::Cools => ("set to cool", "into the fridge"),
            StepCare::Reheats => ("heated again", "off the heat"),
        };
        let times = [(Some(run.start_ms), begins), (progress.end_ms(), ends)];
        for (at_ms, what) in times {
            if let Some(at_ms) = at_ms.filter(|at_ms| *at_ms <= until_ms) {
                rows.push(row(state, at_ms, name(), format!("{what}{unmarked}")));
            }
        }
    }
}

/// Readings, each against the limit of where the food was.
fn readings(state: &State, food: Food, until_ms: i64, rows: &mut Vec<Row>) {
    let own: &[Reading] = match food.part {
        None => state.facts().taken.get(&food.dish).map(Vec::as_slice).unwrap_or_default(),
        Some(part) => {
            let portion = state.facts().portions.get(&(food.dish, part));
            portion.map(|p| p.taken.as_slice()).unwrap_or_default()
        }
    };
    for reading in own {
        let (limit, met) = limit_of(state, food, reading, until_ms);
        let mut row =
            row(state, reading.at_ms, afterwards::name(state, food), "measured".to_owned());
        row.reading = shown(state, reading.celsius);
        row.limit = limit;
        row.verdict = match met {
            Some(true) => "ok",
            Some(false) => "NOT MET",
            None => "",
        };
        rows.push(row);
    }
}

/// The limit that a reading is held against, and whether it is met; no verdict
/// where food may still be on its way there.
fn limit_of(state: &State, food: Food, reading: &Reading, until_ms: i64) -> (String, Option<bool>) {
    let none = (String::new(), None);
    // Held against what was asked then, whatever the evening goes by since.
    let then = food::profile_at(state, reading.at_ms);
    let (Some(profile), Some(sheet)) = (then, state.sheet(food.dish)) else {
        return none;
    };
    let (unit, safety) = (state.evening().customs.degrees, &sheet.recipe.safety);
    let phases = food::phases_of(state, food, until_ms);
    let kept = phases.iter().rev().find(|p| p.0 <= reading.at_ms).map(|p| p.1);
    match kept {
        _ if !is_perishable(safety.class, safety.exempt) => none,
        None if is_cooling(state, food, reading.at_ms) => {
            let most = &profile.cold_hold_most;
            let met = most.at_most(reading.celsius).then_some(true);
            (format!("cooling to {}", most.most_text(unit)), met)
        }
        None if heats_again(state, food.dish, reading.at_ms) => {
            let again = &profile.reheat;
            let met = again.hold.is_none() && again.least.at_least(reading.celsius);
            (caution::reheat_words(profile, unit), met.then_some(true))
        }
        None => inner(state, profile, food.dish, reading.celsius),
        Some(Keeping::In(Control::Hot)) => {
            let least = &profile.hot_hold_least;
            let words = format!("at least {}", least.least_text(unit));
            (words, Some(least.at_least(reading.celsius)))
        }
        Some(Keeping::In(Control::Cold)) => {
            let most = &profile.cold_hold_most;
            (format!("at most {}", most.most_text(unit)), Some(most.at_most(reading.celsius)))
        }
        Some(Keeping::In(Control::Chilling)) => {
            let most = &profile.cold_hold_most;
            let met = most.at_most(reading.celsius).then_some(true);
            (format!("cooling to {}", most.most_text(unit)), met)
        }
        Some(Keeping::Out | Keeping::Gone(_)) => (profile.room_rule.title.clone(), None),
    }
}

/// Was it cooling between two of its steps at a time?
fn is_cooling(state: &State, food: Food, at_ms: i64) -> bool {
    measure::cools_between(state, food, at_ms).is_some_and(|(_, set_ms)| set_ms <= at_ms)
}

/// Was a dish set to be heated again by then? What is asked of that is another figure than that of its cooking.
fn heats_again(state: &State, dish: usize, at_ms: i64) -> bool {
    let begun = state.facts().progress.iter().filter(|(key, _)| key.dish == dish);
    begun
        .filter(|(_, p)| p.run().is_some_and(|run| run.start_ms <= at_ms))
        .any(|(key, _)| state.step(*key).is_some_and(|s| s.care == Some(StepCare::Reheats)))
}

/// Of food that is being made: its least inner temperature, which it may not
/// have reached yet.
fn inner(state: &State, profile: &Profile, dish: usize, c: f64) -> (String, Option<bool>) {
    let Some(sheet) = state.sheet(dish) else { return (String::new(), None) };
    let class = sheet.recipe.safety.class;
    let unit = state.evening().customs.degrees;
    let words = caution::inner_words(profile, class, None, unit).unwrap_or_default();
    let least = crate::safety::least_inner_c(profile, class, None);
    // One reading does not show that it was kept for as long as it must be.
    let kept = crate::safety::least_inner(profile, class).is_some_and(|i| i.hold.is_some());
    (words, least.filter(|least| !kept && c >= least - 1e-6).map(|_| true))
}

fn answers(state: &State, food: Food, rows: &mut Vec<Row>) {
    for (at_ms, how) in food::answers(state, food) {
        let what = match how {
            Answer::Discarded => "done about its limit: thrown out",
            Answer::KeptKnowingly => "done about its limit: kept, knowing it",
            Answer::WasNeverOut => "said about its limit: it was never out",
        };
        rows.push(row(state, at_ms, afterwards::name(state, food), what.to_owned()));
    }
    // What was said about a reading that showed something wrong.
    for (key, handled) in &state.facts().handled {
        let about = ["undercooked:", "cooling_missed:"].iter().any(|kind| key.starts_with(kind));
        let Some((at_ms, how)) = handled.answered.filter(|_| about) else { continue };
        if food::of_alarm(state, key) != Some(food) {
            continue;
        }
        let what = match how {
            Answer::Discarded => "done about its reading: thrown out",
            Answer::KeptKnowingly => "done about its reading: kept, knowing it",
            Answer::WasNeverOut => "said about its reading: it was wrong",
        };
        rows.push(row(state, at_ms, afterwards::name(state, food), what.to_owned()));
    }
}

fn about_the_room(state: &State, rows: &mut Vec<Row>) {
    for reading in &state.facts().air {
        let mut row = row(state, reading.at_ms, "room".to_owned(), "air measured".to_owned());
        row.reading = shown(state, reading.celsius);
        rows.push(row);
    }
    for (at_ms, id) in &state.facts().guidance {
        let title = Profile::by_id(id).map_or(id.as_str(), |p| &p.title);
        rows.push(row(state, *at_ms, "all".to_owned(), format!("guidance changed to {title}")));
    }
}

/// Warnings and passed limits, as they were raised.
fn limits(state: &State, until_ms: i64, rows: &mut Vec<Row>) {
    let marks: Vec<_> = state.marks().map(|(mark, _)| mark.clone()).collect();
    let raised = alarms::history(std::sync::Arc::clone(state.party()), &marks, until_ms);
    for alarm in raised {
        let what = match alarm.kind {
            AlarmKind::UnsafeSoon => "warning: its time is nearly over",
            AlarmKind::UnsafePast => "PAST ITS LIMIT",
            AlarmKind::Undercooked => "NOT HOT ENOUGH INSIDE",
            AlarmKind::CoolingMissed => "COOLED TOO SLOWLY",
            _ => continue,
        };
        let past = alarm.key.replacen("unsafe_soon", "unsafe_past", 1);
        let Some(food) = food::of_alarm(state, &past) else { continue };
        let mut row = row(state, alarm.raised_ms, afterwards::name(state, food), what.to_owned());
        row.limit = limit_passed(state, food, alarm.kind, alarm.raised_ms);
        rows.push(row);
    }
}

/// The limit that an alarm is about, by the guidance in force when it was raised (of cooling, by the one in force now,
/// which is what [`measure::cooling_missed`] knows).
fn limit_passed(state: &State, food: Food, kind: AlarmKind, at_ms: i64) -> String {
    let then = food::profile_at(state, at_ms);
    let limit = match kind {
        AlarmKind::Undercooked => then.and_then(|p| measure::least_words_by(state, p, food.dish)),
        AlarmKind::CoolingMissed => measure::cooling_missed(state, food, at_ms)
            .map(|m| format!("{} or colder by {}", m.most, words::clock(state, m.by_ms))),
        _ => then.map(|p| p.room_rule.title.clone()),
    };
    limit.unwrap_or_default()
}
