//! Looking back at an evening: planned against actual, what was late and what
//! first made it so, how long dishes waited, what was measured, which alarms came
//! and what was said to them, and what to change next time.
//!
//! "Planned" is the plan with which the evening began. All of it follows from the
//! marks; times are minutes of the party's day.

mod late;
mod next;
#[cfg(test)]
mod tests;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use next::{About, Edit};

use super::alarms;
use super::event::Answer;
use super::food_log::food_log;
use super::state::{MINUTE_MS, Progress, State, Whereabouts};
use super::{report, words};
use crate::kitchen::Minute;
use crate::plan::StepKey;

/// The format's name and number.
pub const LOOK_BACK_FORMAT: &str = "potwatch look-back 1";

/// An evening looked back at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LookBack {
    /// `potwatch look-back 1`; another number means other fields.
    pub format: String,
    /// The party's title.
    pub title: String,
    /// Its day: 2026-11-25.
    pub day: String,
    /// The services.
    pub services: Vec<Service>,
    /// The dishes, in the party's order.
    pub dishes: Vec<Dish>,
    /// What was late, and why, the latest first.
    pub late: Vec<Late>,
    /// What was measured and what it was held against.
    pub readings: Vec<Reading>,
    /// Every alarm that came.
    pub alarms: Vec<Alarm>,
    /// What to change next time.
    pub next_time: Vec<Edit>,
}

/// A service, planned and actual.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Service {
    /// Its title.
    pub title: String,
    /// By the party, or as it was moved.
    pub due_minute: Minute,
    /// By the party, if it was moved.
    pub moved_from_minute: Option<Minute>,
    /// When its last dish stood on the table.
    pub served_minute: Option<Minute>,
    /// The same in words: "asked for 19:00, served 19:06, 6 min late".
    pub words: String,
}

/// A dish, planned and actual.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Dish {
    /// Its id.
    pub dish: String,
    /// Its title.
    pub title: String,
    /// Its name for narrow places.
    pub short: String,
    /// Its letter.
    pub letter: char,
    /// Its steps, load by load, by time.
    pub steps: Vec<Step>,
    /// Where it waited, finished.
    pub waits: Vec<Wait>,
    /// When it stood on the table.
    pub served_minute: Option<Minute>,
}

/// From when to when.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stretch {
    /// First minute.
    pub from_minute: Minute,
    /// Minute after the last.
    pub to_minute: Minute,
}

impl Stretch {
    /// So many minutes.
    #[must_use]
    pub const fn minutes(self) -> Minute {
        self.to_minute - self.from_minute
    }
}

/// A load of a step, planned and actual.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// Id of the step.
    pub step: String,
    /// Its label.
    pub label: String,
    /// Which load, from 0.
    pub load: u32,
    /// By the plan with which the evening began; nothing if it was not in it.
    pub planned: Option<Stretch>,
    /// As it happened; nothing if it was left out or never begun.
    pub actual: Option<Stretch>,
    /// Likely minutes by the recipe as it is written.
    pub recipe_minutes: Minute,
    /// It was left out.
    pub left_out: bool,
}

/// A stretch in which a finished dish waited.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Wait {
    /// Where.
    pub place: String,
    /// From when to when.
    pub stretch: Stretch,
    /// Minutes that were planned in all.
    pub planned_minutes: Minute,
    /// Minutes that it keeps its best there, if the recipe says.
    pub best_minutes: Option<u32>,
    /// The most minutes there, if the recipe says.
    pub most_minutes: Option<u32>,
}

/// Something that was late, and the chain of what made it so: the last link is
/// the first cause.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Late {
    /// What: a service or a step.
    pub what: String,
    /// How many minutes.
    pub minutes: Minute,
    /// Why, link by link.
    pub chain: Vec<String>,
}

/// A reading or a limit of the temperature log.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// When, on the wall.
    pub when: String,
    /// The food; "room" for the air.
    pub food: String,
    /// What was done.
    pub what: String,
    /// The reading in the party's degrees.
    pub reading: String,
    /// The limit that it is held against.
    pub limit: String,
    /// Whether it was kept: "ok", "NOT MET", or nothing.
    pub verdict: String,
}

/// An alarm that came.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Alarm {
    /// When.
    pub minute: Minute,
    /// The same on the wall.
    pub clock: String,
    /// Its words.
    pub title: String,
    /// "urgent", "warning" or "notice".
    pub rank: String,
    /// What the cook said to it: seen, put off, answered; nothing if it went away unseen.
    pub answer: String,
}

impl Alarm {
    /// Its title, and behind it what the cook said to it.
    #[must_use]
    pub fn words(&self) -> String {
        match self.answer.as_str() {
            "" => self.title.clone(),
            answer => format!("{} ({answer})", self.title),
        }
    }
}

/// The evening as known at `now_ms`, looked back at.
#[must_use]
pub fn look_back(state: &State, now_ms: i64) -> LookBack {
    let report = report(state, now_ms);
    let face = &state.evening().face;
    let services = report.services.iter().map(|s| Service {
        title: s.title.clone(),
        due_minute: s.moved.unwrap_or(s.asked),
        moved_from_minute: s.moved.map(|_| s.asked),
        served_minute: s.served,
        words: s.line(face),
    });
    LookBack {
        format: LOOK_BACK_FORMAT.to_owned(),
        title: report.title.clone(),
        day: state.evening().party.day.to_string(),
        services: services.collect(),
        dishes: dishes(state, &report.steps, now_ms),
        late: late::late(state, &report, now_ms),
        readings: readings(state, now_ms),
        alarms: came(state, now_ms),
        next_time: next::next_time(state, &report, until(state, now_ms)),
    }
}

fn dishes(state: &State, steps: &[report::StepTold], now_ms: i64) -> Vec<Dish> {
    let sheets = state.evening().sheets.iter().enumerate();
    let of = sheets.filter(|(dish, _)| !state.is_dropped(*dish)).map(|(dish, sheet)| Dish {
        dish: sheet.id.clone(),
        title: sheet.recipe.title.clone(),
        short: sheet.short(),
        letter: sheet.letter,
        steps: steps.iter().filter(|s| s.key.dish == dish).map(|s| step(state, s)).collect(),
        waits: waits(state, dish, until(state, now_ms)),
        served_minute: state.served_ms(dish).map(|ms| state.minute(ms)),
    });
    of.collect()
}

fn step(state: &State, told: &report::StepTold) -> Step {
    let stretch = |s: (Minute, Minute)| Stretch { from_minute: s.0, to_minute: s.1 };
    let of = state.step(told.key);
    let progress = state.facts().progress.get(&told.key);
    Step {
        step: of.map(|s| s.id.clone()).unwrap_or_default(),
        label: of.map(|s| s.label.clone()).unwrap_or_default(),
        load: told.key.load,
        planned: told.planned.map(stretch),
        actual: told.actual.map(stretch),
        recipe_minutes: told.likely,
        left_out: matches!(progress, Some(Progress::Skipped(..))),
    }
}

/// Up to when the evening is looked back at: what stood where when it was closed stood there no longer for all we know.
fn until(state: &State, now_ms: i64) -> i64 {
    state.facts().finished_ms.map_or(now_ms, |ms| ms.min(now_ms))
}

/// Where a finished dish waited, until it stood on the table or was gone.
fn waits(state: &State, dish: usize, until_ms: i64) -> Vec<Wait> {
    let stays = state.facts().stays.get(&dish).map(Vec::as_slice).unwrap_or_default();
    let first = state.facts().first_plan.as_deref();
    let planned = first.and_then(|p| p.holds.iter().find(|h| h.dish == dish));
    let planned_minutes = planned.map_or(0, |h| h.to - h.from);
    let ends = stays.iter().skip(1).map(|s| s.at_ms).chain([until_ms]);
    let waited = stays.iter().zip(ends).filter_map(|(stay, end_ms)| {
        let Whereabouts::Held { hold, place, station } = &stay.at else { return None };
        let holds = state.sheet(dish).map(|s| s.recipe.holds.as_slice()).unwrap_or_default();
        let rule = hold.and_then(|h| holds.get(h));
        let from_minute = state.minute(stay.at_ms);
        Some(Wait {
            place: match station {
                Some(id) => words::station(state.evening(), id),
                None => words::kind(*place).to_owned(),
            },
            stretch: Stretch { from_minute, to_minute: state.minute(end_ms).max(from_minute) },
            planned_minutes,
            best_minutes: rule.map(|r| r.free_minutes),
            most_minutes: rule.map(|r| r.most_minutes),
        })
    });
    waited.collect()
}

/// Readings and verdicts of the temperature log.
fn readings(state: &State, now_ms: i64) -> Vec<Reading> {
    let rows = food_log(state, now_ms).rows.into_iter();
    let told = rows.filter(|r| !r.reading.is_empty() || !r.verdict.is_empty());
    told.map(|r| Reading {
        when: r.when,
        food: r.food,
        what: r.what,
        reading: r.reading,
        limit: r.limit,
        verdict: r.verdict.to_owned(),
    })
    .collect()
}

fn came(state: &State, now_ms: i64) -> Vec<Alarm> {
    let marks: Vec<super::Mark> =
        state.marks().filter(|(_, counts)| *counts).map(|(m, _)| m.clone()).collect();
    let all = alarms::history(state.party().clone(), &marks, until(state, now_ms));
    all.into_iter()
        .map(|raised| Alarm {
            minute: state.minute(raised.raised_ms),
            clock: words::clock(state, raised.raised_ms),
            rank: raised.rank.word().to_owned(),
            answer: answer(state, &raised.key),
            title: raised.title,
        })
        .collect()
}

fn answer(state: &State, key: &str) -> String {
    let Some(handled) = state.facts().handled.get(key) else { return String::new() };
    let at = |ms: i64| words::clock(state, ms);
    let said = [
        handled.seen_ms.map(|ms| format!("seen {}", at(ms))),
        handled.put_off.map(|(ms, until)| {
            format!("put off {} by {}", at(ms), words::minutes((until - ms) / MINUTE_MS))
        }),
        handled.answered.map(|(ms, how)| {
            let how = match how {
                Answer::Discarded => "thrown out",
                Answer::KeptKnowingly => "kept, knowing the limit",
                Answer::WasNeverOut => "had not been out: the marks were wrong",
            };
            format!("{}: {how}", at(ms))
        }),
    ];
    said.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

/// A load's name in a sentence: "the pie: bake".
fn named(state: &State, key: StepKey) -> String {
    words::step_of(state, key)
}
