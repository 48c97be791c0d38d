//! After the evening: what still stands out and until when, what becomes of
//! it, and how the plan and the evening compare.

mod text;

use super::event::Clearing;
use super::food::{self, Food};
use super::holding;
use super::state::{MINUTE_MS, Progress, State, Whereabouts};
use super::{afterwards, portions, words};
use crate::kitchen::{HoldClass, Minute};
use crate::order::InOrder;
use crate::plan::{Plan, StepKey};
use crate::safety::{CoolsFrom, Profile, caution, cool_by};

/// How an evening went. Minutes are those of the party's day.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// The party's title.
    pub title: String,
    /// What still stands out, nearest limit first.
    pub out: Vec<StillOut>,
    /// What was put away, and until when it keeps.
    pub kept: Vec<PutAway>,
    /// Each service: planned and actual.
    pub services: Vec<ServiceTold>,
    /// Each load that was done: planned and actual, by start.
    pub steps: Vec<StepTold>,
    /// What must go, what cools by when, the labels.
    pub after: Vec<String>,
    /// How to cool what is left, and how to heat it again.
    pub advice: Vec<String>,
    /// Cautions that stand wherever a safety figure does.
    pub cautions: Vec<String>,
}

/// A dish that still stands out.
#[derive(Debug, Clone, PartialEq)]
pub struct StillOut {
    /// Its name.
    pub dish: String,
    /// Where.
    pub place: String,
    /// Until when it may, if its clock runs (unix ms).
    pub until_ms: Option<i64>,
    /// That time has passed.
    pub past: bool,
    /// What to do.
    pub advice: String,
}

/// A dish that was put into the fridge.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PutAway {
    /// Its name.
    pub dish: String,
    /// When it was put away (unix ms).
    pub at_ms: i64,
    /// "eat within 3 days", or that it must go.
    pub keeps: String,
}

/// A service, planned and actual.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ServiceTold {
    /// Its title.
    pub title: String,
    /// By the party file.
    pub asked: Minute,
    /// As it was moved, if it was.
    pub moved: Option<Minute>,
    /// When its last dish was served.
    pub served: Option<Minute>,
    /// Dishes that were not served.
    pub missing: Vec<String>,
}

/// A load, planned and actual.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepTold {
    /// Which.
    pub key: StepKey,
    /// "soup: simmer".
    pub name: String,
    /// Start and end by the first plan.
    pub planned: Option<(Minute, Minute)>,
    /// Start and end as marked; None: left out.
    pub actual: Option<(Minute, Minute)>,
    /// Minutes by the recipe.
    pub likely: Minute,
}

impl StepTold {
    /// Minutes that it took longer than the recipe says.
    #[must_use]
    pub fn over(&self) -> Option<Minute> {
        self.actual.map(|(from, to)| to.saturating_sub(from).saturating_sub(self.likely))
    }
}

/// How the evening went, as known at `now_ms`.
#[must_use]
pub fn report(state: &State, now_ms: i64) -> Report {
    state.memo.during(|| summed_up(state, now_ms))
}

fn summed_up(state: &State, now_ms: i64) -> Report {
    let profile = food::profile(state);
    Report {
        title: state.evening().party.title.clone(),
        out: still_out(state, now_ms),
        kept: put_away(state, now_ms),
        services: services(state),
        steps: steps(state, now_ms),
        after: afterwards::afterwards(state, now_ms).lines(),
        advice: profile.map(|p| advice(state, p)).unwrap_or_default(),
        cautions: profile.map(caution::lines).unwrap_or_default(),
    }
}

fn still_out(state: &State, now_ms: i64) -> Vec<StillOut> {
    let mut board = holding::board(state, now_ms);
    board.extend(holding::portions(state, now_ms));
    board.order_by_key(|h| h.safe.at_ms.unwrap_or(i64::MAX));
    let out = board.into_iter().filter(|h| h.served || h.class == HoldClass::Room);
    out.map(|h| StillOut {
        dish: afterwards::name(state, Food { dish: h.dish, part: h.part }),
        place: h.place,
        until_ms: h.safe.at_ms,
        past: h.safe.state == super::view::Countdown::Past,
        advice: h.advice,
    })
    .collect()
}

fn put_away(state: &State, now_ms: i64) -> Vec<PutAway> {
    let mut kept = Vec::new();
    let dishes = 0..state.evening().sheets.len();
    for food in dishes.flat_map(|dish| portions::foods(state, dish)) {
        let Some(stay) = portions::stays(state, food).pop() else { continue };
        if stay.at != Whereabouts::Gone(Clearing::PutAway) {
            continue;
        }
        let keeps = match afterwards::unfit(state, food, now_ms) {
            Some(unfit) => unfit.keeps().to_owned(),
            None => afterwards::keeps(state, food, (stay.at_ms, now_ms)),
        };
        kept.push(PutAway { dish: afterwards::name(state, food), at_ms: stay.at_ms, keeps });
    }
    kept
}

fn services(state: &State) -> Vec<ServiceTold> {
    let services = state.evening().party.services.iter().enumerate();
    services
        .map(|(index, service)| {
            let sheets = state.evening().sheets.iter().enumerate();
            let dishes: Vec<usize> = sheets
                .filter(|(dish, sheet)| sheet.service == index && !state.is_dropped(*dish))
                .map(|(dish, _)| dish)
                .collect();
            let served = dishes.iter().filter_map(|d| state.served_ms(*d)).max();
            let unserved = dishes.iter().filter(|d| state.served_ms(**d).is_none());
            ServiceTold {
                title: service.title.clone(),
                asked: state.evening().service_minute(index),
                moved: state.facts().service_at.get(&index).copied(),
                served: served.map(|ms| state.minute(ms)),
                missing: unserved.map(|d| words::dish(state, *d)).collect(),
            }
        })
        .collect()
}

fn steps(state: &State, now_ms: i64) -> Vec<StepTold> {
    let first = state.facts().first_plan.as_deref();
    let mut steps: Vec<StepTold> = state
        .facts()
        .progress
        .iter()
        .filter(|(key, _)| !state.is_dropped(key.dish))
        .filter_map(|(key, progress)| told(state, first, *key, progress, now_ms))
        .collect();
    let start = |s: &StepTold| s.actual.or(s.planned).map(|a| a.0);
    steps.order_by_key(|s| (start(s), s.key));
    steps
}

fn told(
    state: &State,
    first: Option<&Plan>,
    key: StepKey,
    progress: &Progress,
    now_ms: i64,
) -> Option<StepTold> {
    let actual = match progress {
        Progress::Skipped(..) => None,
        _ => {
            let end_ms = state.over_ms(key, now_ms)?;
            Some((state.minute(progress.run()?.start_ms), state.minute(end_ms)))
        }
    };
    let block = first.and_then(|p| p.blocks.iter().find(|b| b.key == key));
    let label = state.step(key).map(|s| s.label.clone()).unwrap_or_default();
    let load = words::load_of(state, key, " ");
    Some(StepTold {
        key,
        name: format!("{}: {label}{load}", words::dish(state, key.dish)),
        planned: block.map(|b| (b.start, b.end)),
        actual,
        likely: state.evening().written_minutes(key.dish, key.step, state.way_of(key)),
    })
}

/// How to cool and to heat again, by the party's guidance.
fn advice(state: &State, profile: &Profile) -> Vec<String> {
    let degrees = state.evening().customs.degrees;
    let mut advice = Vec::new();
    for point in cool_by(profile, CoolsFrom::Cooked, 0) {
        let within = words::minutes(point.by_ms / MINUTE_MS);
        advice.push(match point.to_c {
            Some(celsius) => {
                format!(
                    "Cool hot food to {} within {within}: {}.",
                    degrees.show(celsius.floor()),
                    point.stage.how.trim_end_matches('.')
                )
            }
            None => {
                format!("What was hot, within {within}: {}.", point.stage.how.trim_end_matches('.'))
            }
        });
    }
    advice.push(format!("Heat it again to {}.", caution::reheat_words(profile, degrees)));
    advice
}
