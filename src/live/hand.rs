//! The cook of the demo and of rehearsals at the clock: looks now and then, and marks what is due.

use crate::run::hand::{self, Day, Habits};
use crate::run::{Event, State};

/// The demo's cook looks again after so long (party ms).
const LOOKS_AGAIN_MS: i64 = 10_000;

/// The demo's cook.
#[derive(Debug, Clone, Copy)]
pub struct Hand {
    habits: Habits,
}

impl Hand {
    /// A cook whose slips come from a seed.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self::on(Day::Demo, seed)
    }

    /// A cook on such a day.
    #[must_use]
    pub const fn on(day: Day, seed: u64) -> Self {
        Self { habits: Habits { seed, day } }
    }

    /// What they mark at `now_ms`, if anything. Ask again after each mark.
    #[must_use]
    pub fn next(&self, state: &State, now_ms: i64) -> Option<Event> {
        hand::next_mark_of(state, now_ms, self.habits)
    }

    /// When they look again (unix ms of the party).
    #[must_use]
    pub const fn next_ms(&self, now_ms: i64) -> i64 {
        now_ms.saturating_add(LOOKS_AGAIN_MS)
    }
}
