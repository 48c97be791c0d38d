//! The demo's cook at the clock: looks now and then, and marks what is due.

use crate::run::{Event, State, hand};

/// The demo's cook looks again after so long (party ms).
const LOOKS_AGAIN_MS: i64 = 10_000;

/// The demo's cook.
#[derive(Debug, Clone, Copy)]
pub struct Hand {
    seed: u64,
}

impl Hand {
    /// A cook whose slips come from a seed.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self { seed }
    }

    /// What they mark at `now_ms`, if anything. Ask again after each mark.
    #[must_use]
    pub fn next(&self, state: &State, now_ms: i64) -> Option<Event> {
        hand::next_mark(state, now_ms, self.seed)
    }

    /// When they look again (unix ms of the party).
    #[must_use]
    pub const fn next_ms(&self, now_ms: i64) -> i64 {
        now_ms.saturating_add(LOOKS_AGAIN_MS)
    }
}
