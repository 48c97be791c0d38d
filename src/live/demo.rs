//! The demo party: today, with an evening that is already under way.
//!
//! What happened before the program opens is kept beside the party in
//! `assets/demo/evening.jsonl`, a mark a line, the plans among them: the first
//! frame waits for no search. `tests/demo_opening.rs` makes that file, and
//! holds it against the party and the planner as they are now.

use std::sync::Arc;

use anyhow::{anyhow, ensure};
use serde::{Deserialize, Serialize};

use super::book::Book;
use super::clock::{Clocks, PartyTime};
use super::hand::Hand;
use super::pass::Opening;
use crate::kitchen::{Evening, Minute};
use crate::plan::clash;
use crate::plan::planner::Planning;
use crate::run::{Event, Mark, State};
use crate::screen::Look;
use crate::store::shelf::DEMO_EVENING;

/// The clock of the demo when it opens: 17:00.
pub const OPENS_AT: Minute = 17 * 60;
/// The seed of its cook's slips.
pub const SEED: u64 = 1;
/// What is said when it opens.
const WELCOME: &str =
    "A demo: its cook works alone till you mark. . faster , slower  9 menu, lists";

/// A mark of the evening before the program opens.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Told {
    /// Seconds after the party's midnight.
    pub at_s: i64,
    /// What happened.
    pub event: Event,
}

/// Opens the demo.
///
/// # Errors
/// If the party inside the program cannot be planned: a fault of the program.
pub fn open(evening: Evening, look: Look) -> anyhow::Result<Opening> {
    let clocks = Clocks::default();
    let evening = Arc::new(evening);
    let state = told(&evening, DEMO_EVENING).or_else(|_| played(&evening))?;
    let now_ms = state.evening().face.ms_of(OPENS_AT);
    Ok(Opening {
        book: Book::Memory { next_seq: state.next_seq() },
        journal: None,
        state,
        time: PartyTime::demo(now_ms, clocks.now()),
        clocks,
        look,
        notice: Some(WELCOME.to_owned()),
        hand: Some(Hand::new(SEED)),
        rehearses: None,
        files: None,
    })
}

/// The evening as it is told, a mark a line, each plan in it checked by the
/// rules of the planner at the moment at which it was adopted.
///
/// # Errors
/// A line that is none, a mark that does not fit the party, a plan that the checks refuse.
pub fn told(evening: &Arc<Evening>, lines: &str) -> anyhow::Result<State> {
    let mut state = State::new(Arc::clone(evening));
    for (line, seq) in lines.lines().zip(1..) {
        let Told { at_s, event } = serde_json::from_str(line)?;
        let at_ms = evening.face.ms_of(0).saturating_add(at_s.saturating_mul(1000));
        if let Event::PlanAdopted { plan, .. } = &event {
            let situation = match state.plan() {
                None => crate::plan::Situation::default(),
                Some(_) => state.situation(at_ms),
            };
            Planning::new(evening, &situation)
                .and_then(|planning| planning.check(plan))
                .map_err(|no_plan| anyhow!("line {seq}: {}", clash::words(evening, &no_plan)))?;
        }
        state.apply(&Mark { seq, at_ms, event });
    }
    ensure!(state.plan().is_some(), "there is no plan");
    ensure!(state.facts().notes.is_empty(), "a mark does not fit: {:?}", state.facts().notes);
    Ok(state)
}

/// The evening planned at the first go and played by the demo's cook: where
/// what is told of it does not fit the party.
fn played(evening: &Arc<Evening>) -> anyhow::Result<State> {
    let situation = crate::plan::Situation::default();
    let (plan, _) = Planning::new(evening, &situation)
        .and_then(|planning| planning.first())
        .map_err(|no_plan| anyhow!("the demo has no plan: {}", clash::words(evening, &no_plan)))?;
    let mut state = State::new(Arc::clone(evening));
    let from = first_minute(evening);
    let plan =
        Event::PlanAdopted { plan: Box::new(plan), moved: String::new(), why: String::new() };
    state.apply(&Mark { seq: 1, at_ms: evening.face.ms_of(from), event: plan });
    for minute in from..=OPENS_AT {
        let at_ms = evening.face.ms_of(minute);
        while let Some(event) = Hand::new(SEED).next(&state, at_ms) {
            state.apply(&Mark { seq: state.next_seq(), at_ms, event });
        }
    }
    Ok(state)
}

/// The first minute at which somebody cooks.
#[must_use]
pub fn first_minute(evening: &Evening) -> Minute {
    let free = evening.party.cooks.iter().flat_map(|c| &c.free);
    free.map(|f| evening.face.minute_of(f.from)).min().unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kitchen::Clockface;
    use crate::store::load::load_builtin;

    fn evening() -> Arc<Evening> {
        let day = chrono::NaiveDate::from_ymd_opt(2026, 10, 24).unwrap();
        Arc::new(load_builtin(Clockface::fixed(day, 0)).unwrap())
    }

    #[test]
    fn a_tale_that_does_not_fit_is_refused_and_the_evening_played_instead() {
        let evening = evening();
        let lines: Vec<&str> = DEMO_EVENING.lines().collect();
        let without_plan = lines.iter().filter(|l| !l.contains("plan_adopted"));
        assert!(told(&evening, &without_plan.copied().collect::<Vec<_>>().join("\n")).is_err());
        let strange = DEMO_EVENING.replace("\"dish\":\"soup\"", "\"dish\":\"stew\"");
        assert!(strange != DEMO_EVENING && told(&evening, &strange).is_err());
        // The oven an hour early: a plan that no check lets pass.
        let mut bent: Told = serde_json::from_str(lines[0]).unwrap();
        let Event::PlanAdopted { plan, .. } = &mut bent.event else { panic!("a plan first") };
        plan.blocks.iter_mut().for_each(|b| b.end = b.start + 1);
        assert!(told(&evening, &serde_json::to_string(&bent).unwrap()).is_err());
        let state = played(&evening).unwrap();
        assert!(state.facts().progress.len() > 15 && state.plan().is_some());
    }
}
