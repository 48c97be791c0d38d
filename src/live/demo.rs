//! The demo party: today, with an evening that is already under way.

use std::sync::Arc;

use anyhow::anyhow;

use super::book::Book;
use super::clock::{Clocks, PartyTime};
use super::hand::Hand;
use super::pass::Opening;
use crate::kitchen::{Evening, Minute};
use crate::plan::clash;
use crate::plan::planner::{Budget, Planning};
use crate::run::{Event, Mark, State};
use crate::screen::Look;

/// The clock of the demo when it opens: 17:01.
const OPENS_AT: Minute = 17 * 60 + 1;
/// Rounds of search for its plan: the same plan on every machine.
const ROUNDS: u64 = 1500;
/// The seed of its cook's slips.
const SEED: u64 = 1;

/// Opens the demo.
///
/// # Errors
/// If the party inside the program cannot be planned: a fault of the program.
pub fn open(evening: Evening, look: Look) -> anyhow::Result<Opening> {
    let clocks = Clocks::default();
    let mut state = State::new(Arc::new(evening));
    let hand = Hand::new(SEED);
    let next_seq = play_until(&mut state, hand, OPENS_AT)?;
    let now_ms = state.evening().face.ms_of(OPENS_AT);
    Ok(Opening {
        state,
        book: Book::Memory { next_seq },
        time: PartyTime::demo(now_ms, clocks.now()),
        clocks,
        look,
        notice: None,
        hand: Some(hand),
    })
}

/// Plans the party and lets its cook work up to a minute. Returns the number of the next mark.
fn play_until(state: &mut State, hand: Hand, minute: Minute) -> anyhow::Result<u64> {
    let evening = Arc::clone(state.evening());
    let from = first_minute(&evening);
    let situation = crate::plan::Situation::default();
    let plan = Planning::new(&evening, &situation)
        .and_then(|p| p.search(None, &Budget { seed: SEED, rounds: ROUNDS, stop: &|| false }))
        .map_err(|no_plan| anyhow!("the demo has no plan: {}", clash::words(&evening, &no_plan)))?;
    let mut seq = 1;
    let mut mark = |state: &mut State, at_ms: i64, event: Event| {
        state.apply(&Mark { seq, at_ms, event });
        seq += 1;
    };
    let adopted =
        Event::PlanAdopted { plan: Box::new(plan.0), moved: String::new(), why: String::new() };
    mark(state, evening.face.ms_of(from), adopted);
    for minute in from..=minute {
        let at_ms = evening.face.ms_of(minute);
        while let Some(event) = hand.next(state, at_ms) {
            mark(state, at_ms, event);
        }
    }
    Ok(seq)
}

/// The first minute at which somebody cooks.
fn first_minute(evening: &Evening) -> Minute {
    let free = evening.party.cooks.iter().flat_map(|c| &c.free);
    free.map(|f| evening.face.minute_of(f.from)).min().unwrap_or(0)
}
