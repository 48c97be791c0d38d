//! What comes up together reaches the cook as one: an oven that dies, a power
//! cut, a table forgotten. A bundle is a way of telling, no more: each alarm in
//! it keeps its own cause, limit and answer in the events, and is answered with
//! the others or by itself.
//!
//! Foods and their limits make one bundle, everything else the other: an answer
//! about food is never given by the way. The ISA-18.2 practice of keeping a
//! flood from the operator is meant (reported second-hand; the standard was not
//! seen); that all unseen alarms of a kind are one is our choice.

use crate::kitchen::Evening;
use crate::order::InOrder;
use crate::run::state::MINUTE_MS;
use crate::run::view::{Alarm, AlarmKind, AlarmState, Rank};
use crate::run::words;

/// Two alarms or more that nobody has seen yet, told as one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bundle {
    /// Their keys, most dangerous first.
    pub keys: Vec<String>,
    /// The highest of their ranks: it sounds by that.
    pub rank: Rank,
    /// They are about food and its limits.
    pub safety: bool,
    /// How many: "3 FOODS", "4 THINGS".
    pub count: String,
    /// How many and what, most dangerous first: "3 FOODS: DIP past the safe limit; PIE unsafe in 8 min".
    pub title: String,
    /// What they have in common, as far as that is known; else when they came.
    pub cause: String,
    /// What to do first, and with what.
    pub remedy: String,
}

impl Bundle {
    /// Why, and what to do first.
    #[must_use]
    pub fn words(&self) -> String {
        format!("{} {}", self.cause, self.remedy)
    }
}

/// The bundle that the alarm of this key came up in, if it came up in one.
#[must_use]
pub fn bundle_of(evening: &Evening, alarms: &[Alarm], key: &str, now_ms: i64) -> Option<Bundle> {
    let mut all = bundles(evening, alarms, now_ms).into_iter();
    all.find(|bundle| bundle.keys.iter().any(|k| k == key))
}

/// The bundles among `alarms`, which are in the order of [`super::alarms`]: the
/// one with the most pressing alarm first. Of one alarm alone there is none.
#[must_use]
pub fn bundles(evening: &Evening, alarms: &[Alarm], now_ms: i64) -> Vec<Bundle> {
    let mut found: Vec<Bundle> = [true, false]
        .iter()
        .filter_map(|&safety| of_kind(evening, alarms, safety, now_ms))
        .collect();
    found.order_by_key(|b| alarms.iter().position(|a| b.keys.first() == Some(&a.key)));
    found
}

/// The unseen alarms that are told together with the one of this key, in order,
/// itself among them; itself alone if it is told alone.
#[must_use]
pub fn bundle<'a>(alarms: &'a [Alarm], key: &str) -> Vec<&'a Alarm> {
    let Some(first) = alarms.iter().find(|a| a.key == key) else { return Vec::new() };
    match first.state {
        AlarmState::New => unseen(alarms, first.safety).collect(),
        _ => vec![first],
    }
}

fn unseen(alarms: &[Alarm], safety: bool) -> impl Iterator<Item = &Alarm> {
    alarms.iter().filter(move |a| a.state == AlarmState::New && a.safety == safety)
}

fn of_kind(evening: &Evening, alarms: &[Alarm], safety: bool, now_ms: i64) -> Option<Bundle> {
    let members: Vec<&Alarm> = unseen(alarms, safety).collect();
    let [first, _, ..] = members.as_slice() else { return None };
    let what = if safety { "FOODS" } else { "THINGS" };
    let count = format!("{} {what}", members.len());
    let phrases = phrases(evening, &members, now_ms).join("; ");
    Some(Bundle {
        keys: members.iter().map(|a| a.key.clone()).collect(),
        rank: members.iter().map(|a| a.rank).max().unwrap_or(first.rank),
        safety,
        title: format!("{count}: {phrases}"),
        count,
        cause: cause(evening, &members),
        remedy: format!("First {}: {}", name(evening, first), first.remedy),
    })
}

/// What brought all of them about, or from when to when they came.
fn cause(evening: &Evening, members: &[&Alarm]) -> String {
    let root = members.first().and_then(|a| a.root.as_ref());
    if let Some(root) = root.filter(|r| members.iter().all(|a| a.root.as_ref() == Some(r))) {
        return root.clone();
    }
    let times = || members.iter().map(|a| a.raised_ms);
    let clock = |ms: Option<i64>| evening.face.read(ms.unwrap_or(0));
    let (first, last) = (clock(times().min()), clock(times().max()));
    if first == last {
        format!("All came up at {first}.")
    } else {
        format!("They came up between {first} and {last}.")
    }
}

/// What is wrong with which, runs of the same kind put together.
fn phrases(evening: &Evening, members: &[&Alarm], now_ms: i64) -> Vec<String> {
    members
        .chunk_by(|a, b| a.kind == b.kind && phrase(a.kind, 1).is_some())
        .filter_map(|run| {
            let first = run.first()?;
            let Some(words) = phrase(first.kind, run.len()) else {
                return Some(first.title.clone());
            };
            let names: Vec<String> = run.iter().map(|a| name(evening, a)).collect();
            let soonest = run.iter().filter_map(|a| a.harm_ms).min();
            let left = match soonest.map(|at| super::left(at, now_ms)) {
                Some(left) if says_when(first.kind) => format!(" {left}"),
                _ => String::new(),
            };
            Some(format!("{} {words}{left}", words::list(&names)))
        })
        .collect()
}

/// What is wrong with one, or with several; None: the alarm's own title says it.
fn phrase(kind: AlarmKind, count: usize) -> Option<&'static str> {
    let many = count > 1;
    Some(match kind {
        AlarmKind::PullNow if many => "are done",
        AlarmKind::PullNow => "is done",
        AlarmKind::NearlyOverdone | AlarmKind::Overdone => "overdone",
        AlarmKind::BestSoon | AlarmKind::BestPast if many => "past their best",
        AlarmKind::BestSoon | AlarmKind::BestPast => "past its best",
        AlarmKind::UnsafeSoon => "unsafe",
        AlarmKind::UnsafePast => "past the safe limit",
        AlarmKind::Undercooked => "not cooked through",
        AlarmKind::CoolingMissed => "cooled too slowly",
        AlarmKind::StepDue | AlarmKind::PreheatDue | AlarmKind::ServiceAtRisk => return None,
    })
}

const fn says_when(kind: AlarmKind) -> bool {
    matches!(kind, AlarmKind::UnsafeSoon | AlarmKind::NearlyOverdone | AlarmKind::BestSoon)
}

/// "PIE", "PIE part 2"; the whole title where the alarm is about no dish.
fn name(evening: &Evening, alarm: &Alarm) -> String {
    let Some(sheet) = alarm.dish.and_then(|d| evening.sheets.get(d)) else {
        return alarm.title.clone();
    };
    let part = alarm.key.split(':').find_map(|piece| piece.strip_prefix("part"));
    match part.filter(|_| alarm.safety) {
        Some(part) => format!("{} part {part}", sheet.short().to_uppercase()),
        None => sheet.short().to_uppercase(),
    }
}

/// Alarms that come up within so long after one of the same or a higher rank
/// has sounded wait for the end of that time with their sound, and then sound
/// as one. On the screen they are at once. Our choice: so no ten minutes have
/// more than 5 sounds of new urgent alarms, 2 of warnings and 1 of notices,
/// below the ten that a textbook's account of ISA-18.2 calls a flood.
#[must_use]
pub const fn gathers_ms(rank: Rank) -> i64 {
    match rank {
        Rank::Urgent => 2 * MINUTE_MS,
        Rank::Warning => 5 * MINUTE_MS,
        Rank::Notice => 10 * MINUTE_MS,
    }
}

/// The most sounds of new alarms in any ten minutes that [`gathers_ms`] leaves.
pub const MOST_IN_TEN_MINUTES: usize = 8;
