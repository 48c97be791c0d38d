//! The state of an evening is a fold of its marks.
//!
//! The fold is total: a mark that names something unknown, comes twice or out
//! of order is noted and passed over, never refused. `Undone` voids the mark
//! that it names; an undo that is itself undone brings the mark back.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::asked::AskedFor;
use super::event::{Event, Mark};
use super::memo::Memo;
use super::reshuffle::Why;
use super::state::{Facts, MINUTE_MS, Note, State};
use crate::kitchen::Evening;

/// The state after all of these marks.
#[must_use]
pub fn fold(evening: Arc<Evening>, marks: &[Mark]) -> State {
    let mut state = State::new(evening);
    state.log = marks.iter().cloned().map(Arc::new).collect();
    state.replay();
    state
}

impl State {
    /// An evening in which nothing has happened yet.
    #[must_use]
    pub fn new(evening: Arc<Evening>) -> Self {
        Self {
            party: Arc::clone(&evening),
            evening,
            log: Vec::new(),
            void: Vec::new(),
            memo: Memo::default(),
            asked: AskedFor::default(),
            facts: Facts::default(),
        }
    }

    /// Adds a mark. The same marks give the same state, one by one or all at once.
    pub fn apply(&mut self, mark: &Mark) {
        let known = self.log.iter().any(|m| m.seq == mark.seq);
        let earlier = self.log.last().map(|m| m.at_ms);
        self.log.push(Arc::new(mark.clone()));
        if matches!(mark.event, Event::Undone { .. } | Event::ClockSetBack { .. }) {
            self.replay();
            return;
        }
        self.void.push(known);
        self.take(mark, known, earlier);
    }

    /// Forgets everything but the marks and builds it anew.
    fn replay(&mut self) {
        self.void = voided(&self.log);
        self.facts = Facts::default();
        self.evening = Arc::clone(&self.party);
        let log = by_the_last_clock(&self.log, &self.void);
        let mut known = BTreeSet::new();
        let mut earlier = None;
        for (mark, void) in log.iter().zip(self.void.clone()) {
            let twice = !known.insert(mark.seq);
            if twice || !void || matches!(mark.event, Event::Undone { .. }) {
                self.take(mark, twice, earlier);
            } else {
                self.keep_seat(mark);
            }
            earlier = Some(mark.at_ms);
        }
    }

    fn take(&mut self, mark: &Mark, twice: bool, earlier: Option<i64>) {
        if twice {
            self.note(mark, "this mark comes twice in the journal; the first one counts");
            return;
        }
        if earlier.is_some_and(|ms| mark.at_ms < ms.saturating_sub(MINUTE_MS)) {
            self.note(mark, "the clock stood earlier than at the mark before");
        }
        if let Event::Undone { seq } = mark.event {
            self.take_undo(mark, seq);
            return;
        }
        let at_ms = self.sane_ms(mark.at_ms);
        self.take_event(mark, at_ms);
    }

    /// The voiding itself is done by [`voided`]; what is left is to say so.
    fn take_undo(&mut self, mark: &Mark, seq: u64) {
        let earlier = self.log.iter().take_while(|m| m.seq != mark.seq);
        if !earlier.into_iter().any(|m| m.seq == seq) {
            self.note(mark, &format!("there is no mark {seq} to undo"));
            return;
        }
        self.facts.stale = Some(Why::plain("because a mark was undone"));
    }

    pub(super) fn note(&mut self, mark: &Mark, text: &str) {
        self.facts.notes.push(Note { seq: mark.seq, text: text.to_owned() });
    }
}

/// The marks by the clock as it was set last: what was marked before the clock
/// was set back happened so much earlier by it. A clock that was put forward
/// cannot be told from a laptop that slept, so that counts as time passed.
fn by_the_last_clock(log: &[Arc<Mark>], void: &[bool]) -> Vec<Arc<Mark>> {
    let mut back_ms: i64 = 0;
    let mut shifted: Vec<Arc<Mark>> = Vec::with_capacity(log.len());
    for (mark, void) in log.iter().zip(void).rev() {
        shifted.push(match back_ms {
            0 => Arc::clone(mark),
            _ => Arc::new(earlier_by(mark, back_ms)),
        });
        if let Event::ClockSetBack { by_ms } = mark.event
            && !void
            && is_a_step(by_ms)
        {
            back_ms = back_ms.saturating_add(by_ms);
        }
    }
    shifted.reverse();
    shifted
}

fn earlier_by(mark: &Mark, back_ms: i64) -> Mark {
    let mut mark = mark.clone();
    mark.at_ms = mark.at_ms.saturating_sub(back_ms);
    if let Event::AlarmPutOff { until_ms, .. } = &mut mark.event {
        *until_ms = until_ms.saturating_sub(back_ms);
    }
    mark
}

/// How far a clock may be set back and still be believed: a week.
pub(super) fn is_a_step(by_ms: i64) -> bool {
    (1..=7 * 24 * 60 * MINUTE_MS).contains(&by_ms)
}

/// Which marks count no more: read from the last to the first, so that each
/// undo is known to count or not before it is used. Doubles never count.
fn voided(log: &[Arc<Mark>]) -> Vec<bool> {
    let mut first = BTreeMap::new();
    let mut void = vec![false; log.len()];
    for (i, mark) in log.iter().enumerate() {
        let place = *first.entry(mark.seq).or_insert(i);
        if let Some(double) = void.get_mut(i) {
            *double = place != i;
        }
    }
    for (i, mark) in log.iter().enumerate().rev() {
        let counts = void.get(i).is_some_and(|v| !v);
        let Event::Undone { seq } = mark.event else { continue };
        let Some(&target) = first.get(&seq) else { continue };
        if counts
            && target < i
            && let Some(v) = void.get_mut(target)
        {
            *v = true;
        }
    }
    void
}
