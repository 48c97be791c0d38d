//! Alarms: what goes wrong or is about to, from the marks and the present time.
//!
//! Every alarm has a cause, a consequence, something to do and a time by which
//! to do it; without something to do it is not an alarm. When it is raised
//! depends on the marks alone, never on when somebody looked: however the clock
//! ticks, sleeps or jumps, the alarms raised by a certain time are the same.
//!
//! Three things are kept apart: silence (the sound stops, `live::ringer`),
//! acknowledge (it was seen; it stays on the screen and comes back when it
//! matters), and the answer that resets a latched one (what was done about food
//! past a limit). Where the cook's own mark takes a cause away, that mark is the
//! acknowledgement; what goes away by itself unseen is told as returned. What a
//! worse alarm of the same thing makes superfluous is held back by design.
//!
//! The practice followed (states, ranks by harm and time left, the difference
//! between seen, put off and answered) is that of the published standards for
//! alarm systems, ISA-18.2 and IEC 62682, as reported by a textbook; the
//! standards themselves were not seen.

mod bundle;
mod history;
mod readings;
mod services;
mod steps;
mod waits;

use std::cmp::Reverse;

pub use bundle::{Bundle, MOST_IN_TEN_MINUTES, bundle, bundle_of, bundles, gathers_ms};
pub use history::{Raised, history};
pub(super) use readings::{cooled_too_slowly, is_undercooked};

use super::state::{Handled, MINUTE_MS, State};
use super::view::{Alarm, AlarmKind, AlarmState, Rank};
use crate::order::InOrder;

/// A service back on time is told for so many minutes, or until that was seen.
const RELIEF_SHOWN: i64 = 10;

/// An alarm that asks what was done comes back so many minutes after it was
/// seen, until that is said. Our choice (OPC UA part 9, annex B, has the time
/// after which an alarm that lasts is raised again, and no figure).
const ASKS_AGAIN: i64 = 10;

/// How alarms stand at one moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Alarms {
    /// All of them, most pressing first, put-off ones last.
    pub all: Vec<Alarm>,
    /// Those that are raised and held back by design: a worse one of the same thing says it all. In order of key.
    pub held_back: Vec<Alarm>,
    /// When the next one is raised, or a put-off one comes back, if nothing is marked (unix ms).
    pub next_ms: Option<i64>,
}

/// How all alarms stand at `now_ms`.
#[must_use]
pub fn at(state: &State, now_ms: i64) -> Alarms {
    let now_ms = state.sane_ms(now_ms);
    let causes = causes(state, now_ms);
    let next_ms = next_ms(state, &causes, now_ms);
    let (held_back, mut all) = sorted_out(come(causes, now_ms));
    for alarm in &mut all {
        alarm.state = standing(state, alarm, now_ms);
    }
    all.extend(services::relieved(state, now_ms, RELIEF_SHOWN * MINUTE_MS));
    all.order_by(|a, b| urgency(a).cmp(&urgency(b)));
    Alarms { all, held_back, next_ms }
}

/// All alarms at `now_ms`, most pressing first, put-off ones last.
#[must_use]
pub fn alarms(state: &State, now_ms: i64) -> Vec<Alarm> {
    at(state, now_ms).all
}

/// Those that a worse one has outdone, and the others.
fn sorted_out(raised: Vec<Alarm>) -> (Vec<Alarm>, Vec<Alarm>) {
    let worse: Vec<(AlarmKind, String)> =
        raised.iter().map(|a| (a.kind, subject(&a.key).to_owned())).collect();
    raised.into_iter().partition(|a| is_outdone(a, &worse) || services::is_outdone(a, &worse))
}

/// Every alarm whose time has come by `now_ms` and whose cause lasts, in order
/// of key; those too that a worse one of the same thing has overtaken.
#[must_use]
pub fn raised(state: &State, now_ms: i64) -> Vec<Alarm> {
    come(causes(state, now_ms), now_ms)
}

/// Those whose time has come, in order of key.
fn come(causes: Vec<Alarm>, now_ms: i64) -> Vec<Alarm> {
    let mut alarms: Vec<Alarm> = causes.into_iter().filter(|a| a.raised_ms <= now_ms).collect();
    alarms.order_by(|a, b| a.key.cmp(&b.key));
    alarms
}

/// When the next one is raised, or a put-off one comes back.
fn next_ms(state: &State, causes: &[Alarm], now_ms: i64) -> Option<i64> {
    let back = causes.iter().filter_map(|a| match standing(state, a, now_ms) {
        AlarmState::PutOff(until) => Some(until),
        AlarmState::Acknowledged => {
            let seen_ms = state.facts().handled.get(&a.key)?.seen_ms?;
            again_ms(a, seen_ms)
        }
        _ => None,
    });
    let raised = causes.iter().map(|a| a.raised_ms);
    raised.chain(back).filter(|t| *t > now_ms).min()
}

/// Every alarm that the marks give cause for, raised already or yet to come.
fn causes(state: &State, now_ms: i64) -> Vec<Alarm> {
    // An evening that was closed keeps only its safety limits.
    let mut causes = waits::safety(state, now_ms);
    causes.extend(readings::shown(state, now_ms));
    if state.facts().finished_ms.is_none() {
        causes.extend(steps::ends(state, now_ms));
        causes.extend(steps::starts(state, now_ms));
        causes.extend(steps::dials(state, now_ms));
        causes.extend(waits::taste(state, now_ms));
        causes.extend(services::at_risk(state, now_ms));
    }
    causes
}

/// How an alarm stands with the cook. What was done about it counts only if it
/// was done since the alarm was raised: a new cause is a new alarm.
fn standing(state: &State, alarm: &Alarm, now_ms: i64) -> AlarmState {
    let Some(handled) = state.facts().handled.get(&alarm.key) else { return AlarmState::New };
    let Handled { seen_ms, put_off, .. } = handled;
    let seen = seen_ms.filter(|at| *at >= alarm.raised_ms);
    // What was put off until its limit comes back if that has come nearer since.
    let outruns = |until: i64| alarm.safety && alarm.harm_ms.is_some_and(|harm| until > harm);
    let put_off = put_off
        .filter(|(at, until)| *at >= alarm.raised_ms && may_put_off(alarm) && !outruns(*until));
    match put_off {
        Some((at, until)) if seen.is_none_or(|seen| seen < at) => {
            if now_ms < until {
                AlarmState::PutOff(until)
            } else {
                AlarmState::New
            }
        }
        _ => match seen {
            Some(seen) if again_ms(alarm, seen).is_none_or(|again| now_ms < again) => {
                AlarmState::Acknowledged
            }
            _ => AlarmState::New,
        },
    }
}

/// When an alarm that was seen at `seen_ms` and still lasts is raised again,
/// because it matters: what asks for an answer, ten minutes later; a limit that
/// comes near, at the last minute at which what is to be done still takes no
/// longer than what is left (a warning leaves half as much again).
fn again_ms(alarm: &Alarm, seen_ms: i64) -> Option<i64> {
    match (alarm.kind, alarm.harm_ms) {
        (kind, None) if asks_what_was_done(kind) => Some(seen_ms + ASKS_AGAIN * MINUTE_MS),
        (AlarmKind::UnsafeSoon, Some(harm_ms)) => {
            let lead_ms = harm_ms.saturating_sub(alarm.raised_ms);
            Some(harm_ms - lead_ms * 2 / 3).filter(|again| *again > seen_ms)
        }
        _ => None,
    }
}

/// May it be put off? Never a safety limit that has passed.
#[must_use]
pub fn may_put_off(alarm: &Alarm) -> bool {
    !(alarm.safety && alarm.harm_ms.is_none())
}

/// Does it stay until the cook says what was done about it?
#[must_use]
pub const fn asks_what_was_done(kind: AlarmKind) -> bool {
    matches!(kind, AlarmKind::UnsafePast | AlarmKind::Undercooked | AlarmKind::CoolingMissed)
}

/// Is there cause for this alarm about a reading, and no answer yet?
pub(super) fn reading_asks(state: &State, key: &str, now_ms: i64) -> bool {
    let shown = readings::shown(state, now_ms);
    shown.iter().any(|a| a.key == key && a.raised_ms <= now_ms)
}

/// The key of an alarm: `kind:dish:step:load`, empty where it has none.
fn key(kind: AlarmKind, dish: &str, step: &str, load: impl std::fmt::Display) -> String {
    format!("{}:{dish}:{step}:{load}", name(kind))
}

/// What an alarm is about: its key without the kind.
fn subject(key: &str) -> &str {
    key.split_once(':').map_or("", |(_, rest)| rest)
}

fn name(kind: AlarmKind) -> &'static str {
    match kind {
        AlarmKind::StepDue => "step_due",
        AlarmKind::PreheatDue => "preheat_due",
        AlarmKind::PullNow => "pull_now",
        AlarmKind::NearlyOverdone => "nearly_overdone",
        AlarmKind::Overdone => "overdone",
        AlarmKind::BestSoon => "best_soon",
        AlarmKind::BestPast => "best_past",
        AlarmKind::UnsafeSoon => "unsafe_soon",
        AlarmKind::UnsafePast => "unsafe_past",
        AlarmKind::Undercooked => "undercooked",
        AlarmKind::CoolingMissed => "cooling_missed",
        AlarmKind::ServiceAtRisk => "service_at_risk",
    }
}

/// Has a worse alarm about the same thing been raised?
fn is_outdone(alarm: &Alarm, raised: &[(AlarmKind, String)]) -> bool {
    let worse: &[AlarmKind] = match alarm.kind {
        AlarmKind::PullNow => &[AlarmKind::NearlyOverdone, AlarmKind::Overdone],
        AlarmKind::NearlyOverdone => &[AlarmKind::Overdone],
        AlarmKind::BestSoon => &[AlarmKind::BestPast, AlarmKind::UnsafePast],
        AlarmKind::BestPast => &[AlarmKind::UnsafePast],
        AlarmKind::UnsafeSoon => &[AlarmKind::UnsafePast],
        _ => &[],
    };
    raised.iter().any(|(kind, about)| worse.contains(kind) && about == subject(&alarm.key))
}

/// What sorts alarms: put-off ones last, then by rank, safety, time left.
fn urgency(alarm: &Alarm) -> (bool, bool, Reverse<Rank>, bool, i64, &str) {
    (
        matches!(alarm.state, AlarmState::PutOff(_)),
        alarm.state == AlarmState::Returned,
        Reverse(alarm.rank),
        !alarm.safety,
        alarm.harm_ms.unwrap_or(i64::MIN),
        alarm.key.as_str(),
    )
}

/// A dish's name as a banner shows it: "PIE".
fn banner(state: &State, dish: usize) -> String {
    state.sheet(dish).map_or_else(|| "A DISH".to_owned(), |s| s.short().to_uppercase())
}

/// "in 3 min", "in under 1 min", "now": rounded down, so that it never promises more than there is.
fn left(at_ms: i64, now_ms: i64) -> String {
    match at_ms.saturating_sub(now_ms) {
        ..=0 => "now".to_owned(),
        1..MINUTE_MS => "in under 1 min".to_owned(),
        ms => format!("in {}", super::words::minutes(ms.div_euclid(MINUTE_MS))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of two minutes and a half "in 3 min" would promise more than there is.
    #[test]
    fn what_is_left_is_never_told_as_more() {
        let told = |ms: i64| left(ms, 0);
        assert_eq!([0, -1].map(told), ["now", "now"]);
        assert_eq!([1, 59_999].map(told), ["in under 1 min", "in under 1 min"]);
        assert_eq!([60_000, 119_999, 120_000].map(told), ["in 1 min", "in 1 min", "in 2 min"]);
    }
}
