//! A rehearsal: the evening played ahead in quick time by a cook of the program's, from how it stands, and nothing of
//! it kept. It silences itself: what sounds is real.

use std::sync::Arc;

use super::book::Book;
use super::clock::{Clocks, PartyTime};
use super::demo::first_minute;
use super::hand::Hand;
use super::pass::Opening;
use crate::run::hand::Habits;
use crate::run::{State, view};
use crate::screen::Look;

/// How fast a rehearsal begins, in its seconds a second.
pub const SPEED: u32 = 60;
/// It begins so long before the first step (ms): time to look round.
const BEFORE_MS: i64 = 60_000;

/// A rehearsal of an evening from how it stands at `now_ms`: from its first step if nobody cooks yet, or if it is over.
#[must_use]
pub fn open(state: &State, now_ms: i64, habits: Habits, clocks: Clocks, look: Look) -> Opening {
    let over = view(state, now_ms).ending.is_some_and(|e| e.closed);
    let state = if over { State::new(Arc::clone(state.party())) } else { state.clone() };
    let face = &state.evening().face;
    let blocks = state.plan().into_iter().flat_map(|p| &p.blocks);
    let first = blocks.map(|b| b.start).min().unwrap_or_else(|| first_minute(state.evening()));
    let begins_ms = face.ms_of(first).saturating_sub(BEFORE_MS);
    // A day that has gone by without a mark is played as it was to be.
    let is_past = state.evening().last_service().is_some_and(|last| now_ms > face.ms_of(last));
    let is_ahead = now_ms < begins_ms || is_past;
    let at_ms =
        if over || state.facts().progress.is_empty() && is_ahead { begins_ms } else { now_ms };
    let words = habits.day.words();
    Opening {
        book: Book::Memory { next_seq: state.next_seq() },
        journal: None,
        time: PartyTime::quick(at_ms, clocks.now(), SPEED),
        clocks,
        look,
        notice: Some(format!(
            "A rehearsal, {words} {}: nothing of it is kept. . faster , slower f stop q ends it",
            habits.seed
        )),
        hand: Some(Hand::on(habits.day, habits.seed)),
        rehearses: Some(habits),
        files: None,
        state,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kitchen::Clockface;
    use crate::live::demo;
    use crate::run::hand::Day;
    use crate::store::load::load_builtin;
    use crate::store::shelf::DEMO_EVENING;

    fn demo() -> State {
        let day = chrono::NaiveDate::from_ymd_opt(2026, 10, 24).unwrap();
        let evening = Arc::new(load_builtin(Clockface::fixed(day, 0)).unwrap());
        demo::told(&evening, DEMO_EVENING).unwrap()
    }

    fn at(state: &State, now: i32, day: Day) -> (usize, i64) {
        let now_ms = state.evening().face.ms_of(now);
        let clocks = Clocks::by(|| crate::live::clock::Ticks { wall_ms: 0, mono_ms: 0 });
        let look = Look::choose(false, "truecolor", "xterm-256color", None, false);
        let opened = open(state, now_ms, Habits { seed: 4, day }, clocks.clone(), look);
        assert!(matches!(opened.book, Book::Memory { .. }), "nothing of it reaches a disk");
        (opened.state.marks().count(), opened.time.now_ms(clocks.now()))
    }

    #[test]
    fn it_begins_from_how_the_evening_stands() {
        let state = demo();
        let (marks, at_ms) = at(&state, demo::OPENS_AT, Day::Bad);
        assert_eq!(marks, state.marks().count());
        assert_eq!(at_ms, state.evening().face.ms_of(demo::OPENS_AT));
    }

    #[test]
    fn before_anybody_cooks_it_begins_with_the_first_step() {
        let fresh = State::new(Arc::clone(demo().party()));
        let (_, at_ms) = at(&fresh, 60, Day::Ordinary);
        let first = first_minute(fresh.evening());
        assert_eq!(at_ms, fresh.evening().face.ms_of(first) - BEFORE_MS);
    }

    #[test]
    fn a_day_that_went_by_without_a_mark_begins_with_the_first_step() {
        let fresh = State::new(Arc::clone(demo().party()));
        let (_, at_ms) = at(&fresh, 35 * 24 * 60, Day::Ordinary);
        let first = first_minute(fresh.evening());
        assert_eq!(at_ms, fresh.evening().face.ms_of(first) - BEFORE_MS);
    }
}
