//! Every alarm of an evening, cleared ones included: for the report, the log
//! and for counting how often the cook was disturbed.

use std::collections::BTreeSet;
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
}

/// Every alarm that was raised up to `now_ms`, in order of time: the marks are
/// gone through one by one, and before each of them what was raised by then is
/// noted. How often anybody looked makes no difference.
#[must_use]
pub fn history(evening: Arc<Evening>, marks: &[Mark], now_ms: i64) -> Vec<Raised> {
    let mut state = State::new(evening);
    let mut all: BTreeSet<Raised> = BTreeSet::new();
    let note = |all: &mut BTreeSet<Raised>, state: &State, at_ms: i64| {
        all.extend(raised(state, at_ms).into_iter().map(|a| Raised {
            raised_ms: a.raised_ms,
            key: a.key,
            kind: a.kind,
            rank: a.rank,
        }));
    };
    for mark in marks {
        note(&mut all, &state, state.sane_ms(mark.at_ms));
        state.apply(mark);
        // By the clock as it is now all of that was earlier.
        if let Event::ClockSetBack { by_ms } = mark.event
            && is_a_step(by_ms)
        {
            let earlier = |a: Raised| Raised { raised_ms: a.raised_ms.saturating_sub(by_ms), ..a };
            all = all.into_iter().map(earlier).collect();
        }
    }
    note(&mut all, &state, state.sane_ms(now_ms));
    all.into_iter().collect()
}
