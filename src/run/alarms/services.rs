//! Alarms about services that will be late.

use super::{key, left, subject};
use crate::kitchen::Minute;
use crate::run::adopt::{LATE_MATTERS, MISS_STANDS_MS, WORSE, level_of};
use crate::run::state::{MINUTE_MS, Risk, State};
use crate::run::view::{Alarm, AlarmKind, AlarmState, Rank};
use crate::run::words;

/// Days ahead a plan that misses a service is no alarm (ms): the menu and the head of the screen say it while the
/// cook still chooses. Our own choice.
const ALARM_AHEAD_MS: i64 = 12 * 60 * MINUTE_MS;

/// Services that the plan on the screen misses, and those whose time has come
/// though not every dish is ready. A service that gets much later is a new alarm,
/// also where no plan says so.
pub(super) fn at_risk(state: &State, now_ms: i64) -> Vec<Alarm> {
    let services = 0..state.evening().party.services.len();
    let risks = services.flat_map(|service| {
        let planned = state.facts().risks.get(&service).copied();
        let worse = move |r: &Risk| planned.is_none_or(|p| r.level > p.level);
        let waited = waited_for(state, service).into_iter().filter(worse);
        planned.into_iter().chain(waited).map(move |risk| (service, risk))
    });
    risks.filter_map(|(service, risk)| alarm(state, service, &risk, now_ms)).collect()
}

/// Is the same service later than that by another alarm? The last of a key says how bad it is.
pub(super) fn is_outdone(alarm: &Alarm, raised: &[(AlarmKind, String)]) -> bool {
    let split = |subject: &str| -> Option<(String, u32)> {
        let (service, level) = subject.rsplit_once(':')?;
        Some((service.to_owned(), level.parse().ok()?))
    };
    let risk = AlarmKind::ServiceAtRisk;
    let Some(own) = split(subject(&alarm.key)).filter(|_| alarm.kind == risk) else { return false };
    let others = raised.iter().filter(|(kind, _)| *kind == risk).filter_map(|(_, s)| split(s));
    others.into_iter().any(|(service, level)| service == own.0 && level > own.1)
}

/// The service is due within half a day, or the cook has begun.
fn is_near(state: &State, service: usize, now_ms: i64) -> bool {
    let due_ms = state.ms(state.service_minute(service));
    !state.facts().progress.is_empty() || due_ms.saturating_sub(now_ms) <= ALARM_AHEAD_MS
}

/// A service whose dishes were not all ready when it was due, as late as it may get: the plan may not
/// know yet. What got ready by itself since is waited for until it is served, as where a plan says so.
fn waited_for(state: &State, service: usize) -> Vec<Risk> {
    let due = state.service_minute(service);
    let since_ms = state.ms(due.saturating_add(LATE_MATTERS)).saturating_sub(MISS_STANDS_MS);
    let risk = |late: Minute| {
        let level_ms = state.ms(due.saturating_add(late));
        let risk = Risk { since_ms, late, level: level_of(late), level_ms, dish: 0 };
        let dish = not_ready(state, service, risk.told_from_ms())?;
        Some(Risk { dish, ..risk })
    };
    std::iter::once(LATE_MATTERS).chain(WORSE).filter_map(risk).collect()
}

/// The first dish of a service that guests wait for and that is not ready at a time, by what is known.
fn not_ready(state: &State, service: usize, at_ms: i64) -> Option<usize> {
    state.evening().sheets.iter().enumerate().find_map(|(dish, sheet)| {
        let made = sheet.service == service && !state.is_dropped(dish);
        let ready = state.made_ms(dish, at_ms).is_some();
        (made && !ready && !state.is_out_of_hand(dish)).then_some(dish)
    })
}

/// None: it is too far ahead.
fn alarm(state: &State, service: usize, risk: &Risk, now_ms: i64) -> Option<Alarm> {
    if !is_near(state, service, now_ms) {
        return None;
    }
    let id = &state.evening().party.services.get(service)?.id;
    let title = words::service_title(state.evening(), service);
    let due = state.service_minute(service);
    let due_ms = state.ms(due);
    let since = (now_ms.saturating_sub(due_ms)) / MINUTE_MS;
    let late = Minute::try_from(since).unwrap_or(0).max(risk.late);
    let name = words::dish(state, risk.dish);
    let ready = match state.made_ms(risk.dish, now_ms).filter(|at| *at <= now_ms) {
        Some(at_ms) => format!("since {}", words::clock(state, at_ms)),
        None => format!("at about {}", words::clock(state, state.ms(due.saturating_add(late)))),
    };
    Some(Alarm {
        key: key(AlarmKind::ServiceAtRisk, id, "", risk.level),
        kind: AlarmKind::ServiceAtRisk,
        rank: Rank::Warning,
        title: format!("{} about {late} min late", title.to_uppercase()),
        cause: format!(
            "The {name} is ready {ready}; {title} are due {}.",
            left_or_since(due_ms, now_ms)
        ),
        consequence: "The guests wait.".to_owned(),
        remedy: format!("Move {title}, leave a step out, or serve without the {name}."),
        raised_ms: risk.told_from_ms(),
        harm_ms: Some(due_ms).filter(|at| *at > now_ms),
        state: AlarmState::New,
        dish: Some(risk.dish),
        safety: false,
        root: None,
    })
}

fn left_or_since(due_ms: i64, now_ms: i64) -> String {
    // In the minute in which it is due it is due now.
    match now_ms.saturating_sub(due_ms).div_euclid(MINUTE_MS) {
        since if since > 0 => format!("since {}", words::minutes(since)),
        _ => left(due_ms, now_ms),
    }
}

/// Services that were at risk and are on time again, until that was seen or for
/// `shown_ms`. One whose alarm had been seen says nothing more.
pub(super) fn relieved(state: &State, now_ms: i64, shown_ms: i64) -> Vec<Alarm> {
    let mut alarms = Vec::new();
    for (service, (risk, at_ms)) in &state.facts().relieved {
        let Some(alarm) = alarm(state, *service, risk, now_ms) else { continue };
        let handled = state.facts().handled.get(&alarm.key);
        let seen = handled.and_then(|h| h.seen_ms).is_some_and(|seen| seen >= risk.level_ms);
        let fresh = (*at_ms..at_ms.saturating_add(shown_ms)).contains(&now_ms);
        if seen || !fresh || state.facts().finished_ms.is_some() {
            continue;
        }
        let title = words::service_title(state.evening(), *service);
        alarms.push(Alarm {
            title: format!("{} on time again", title.to_uppercase()),
            cause: "The plan on the screen serves it on time.".to_owned(),
            consequence: "None.".to_owned(),
            remedy: "Nothing to do.".to_owned(),
            rank: Rank::Notice,
            harm_ms: None,
            state: AlarmState::Returned,
            ..alarm
        });
    }
    alarms
}
