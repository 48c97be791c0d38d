//! Every alarm of an evening, cleared ones included: for the report, the log
//! and for counting how often the cook was disturbed.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::raised;
use crate::kitchen::Evening;
use crate::run::event::{Event, Mark};
use crate::run::fold::is_a_step;
use crate::run::state::State;
use crate::run::view::{AlarmKind, Rank};

/// An alarm that was raised.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Raised {
    /// When (unix ms).
    pub raised_ms: i64,
    /// Its key.
    pub key: String,
    /// Its kind.
    pub kind: AlarmKind,
    /// Its rank.
    pub rank: Rank,
    /// Its words when it was raised.
    pub title: String,
}

/// When, key, kind and rank: what makes it one alarm, whatever its words say later.
type Once = (i64, String, AlarmKind, Rank);

/// Every alarm that was raised up to `now_ms`, in order of time: the marks are
/// gone through one by one, and before each of them what was raised by then is
/// noted. How often anybody looked makes no difference.
#[must_use]
pub fn history(evening: Arc<Evening>, marks: &[Mark], now_ms: i64) -> Vec<Raised> {
    let mut state = State::new(evening);
    let mut all: BTreeMap<Once, String> = BTreeMap::new();
    let note = |all: &mut BTreeMap<Once, String>, state: &State, at_ms: i64| {
        for alarm in raised(state, at_ms) {
            let once = (alarm.raised_ms, alarm.key, alarm.kind, alarm.rank);
            all.entry(once).or_insert(alarm.title);
        }
    };
    for mark in marks {
        note(&mut all, &state, state.sane_ms(mark.at_ms));
        state.apply(mark);
        // By the clock as it is now all of that was earlier.
        if let Event::ClockSetBack { by_ms } = mark.event
            && is_a_step(by_ms)
        {
            let earlier = |((ms, key, kind, rank), title): (Once, String)| {
                ((ms.saturating_sub(by_ms), key, kind, rank), title)
            };
            all = all.into_iter().map(earlier).collect();
        }
    }
    note(&mut all, &state, state.sane_ms(now_ms));
    let whole = |((raised_ms, key, kind, rank), title): (Once, String)| Raised {
        raised_ms,
        key,
        kind,
        rank,
        title,
    };
    all.into_iter().map(whole).collect()
}
