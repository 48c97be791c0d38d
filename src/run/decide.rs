//! A change taken: the events that say so in the journal.

use super::event::{Event, StepId};
use super::marks::Refusal;
use super::state::State;
use crate::kitchen::{PartyChange, borrowed};
use crate::plan::ways::Change;

/// What the journal is told when changes are taken: one event, taken back as one.
///
/// # Errors
/// A sentence that says what to do instead, where a journal cannot say it: what
/// only a file can change, or only the cook's own hands.
pub fn decide(state: &State, changes: &[Change], words: &str) -> Result<Event, Refusal> {
    // What is borrowed is told whole, so that a file that has it already has it once.
    let mut borrowed = state.evening().party.borrowed.clone();
    let mut events = Vec::new();
    for change in changes {
        if let Some(more) = change.borrowed(state.evening()) {
            borrowed::add(&mut borrowed, more);
            let all = borrowed.clone();
            events.push(Event::PartyChanged { change: PartyChange::Borrowed { all } });
        } else {
            events.push(event(state, change)?);
        }
    }
    if events.is_empty() {
        return Err(Refusal::no("That is the evening as it is."));
    }
    Ok(Event::WayTaken { words: words.to_owned(), events })
}

fn event(state: &State, change: &Change) -> Result<Event, Refusal> {
    let evening = state.evening().as_ref();
    let gone = || Refusal::no("The party has no such thing any more.");
    let sheet = |d: usize| evening.sheets.get(d).ok_or_else(gone);
    let id = |d: usize| sheet(d).map(|s| s.id.clone());
    let station = |s: usize| evening.kitchen.stations.get(s).ok_or_else(gone);
    Ok(match *change {
        Change::ServiceAt { service, to } => {
            let found = evening.party.services.get(service).ok_or_else(gone)?;
            Event::ServiceMoved { service: found.id.clone(), to }
        }
        Change::CookThere { cook, from, to } => {
            let found = evening.party.cooks.get(cook).ok_or_else(gone)?;
            Event::CookThere { cook: found.id.clone(), name: found.name.clone(), from, to }
        }
        Change::Helper { from, to } => {
            let cooks = &evening.party.cooks;
            let cook = crate::kitchen::id::free("helper", |id| cooks.iter().any(|c| c.id == id));
            Event::CookThere { cook, name: "Second pair of hands".into(), from, to }
        }
        Change::Way { dish, step, way } => {
            let of = sheet(dish)?;
            let step = of.recipe.steps.get(step).ok_or_else(gone)?;
            Event::WaySettled { dish: of.id.clone(), step: step.id.clone(), way }
        }
        Change::Place { dish, hold } => Event::PlaceSettled { dish: id(dish)?, hold },
        Change::Drop { dish } => Event::DishDropped { dish: id(dish)? },
        Change::Servings { dish, servings } => Event::ServingsChanged { dish: id(dish)?, servings },
        Change::Unpin { key } => {
            let id: StepId = state.id(key).ok_or_else(gone)?;
            Event::Unpinned { id }
        }
        Change::Without { station: at } => Event::StationDown { station: station(at)?.id.clone() },
        Change::DayBefore { dish } => {
            Event::PartyChanged { change: PartyChange::DayBefore { dish: id(dish)?, on: true } }
        }
        Change::Another { .. } | Change::MoreOf { .. } => return Err(gone()),
        Change::Slower { .. } => {
            return Err(Refusal::no("That is only to see what would come of it."));
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::run::testbed::{minute, ms, state};
    use crate::run::{Mark, echo, marks, needs_reshuffle};

    fn mark(seq: u64, at: &str, event: Event) -> Mark {
        Mark { seq, at_ms: ms(at), event }
    }

    #[test]
    fn a_way_out_is_one_mark_and_taken_back_as_one() {
        let mut state = state(&[]);
        let pie = state.evening().dish_index("pie").expect("a dish");
        let changes = [
            Change::ServiceAt { service: 1, to: minute("19:20") },
            Change::Helper { from: minute("17:00"), to: minute("19:20") },
            Change::Servings { dish: pie, servings: 6 },
        ];
        let event = decide(&state, &changes, "Mains 20 min later (19:20)").expect("an event");
        assert_eq!(marks::check(&state, &event, ms("16:10")), Ok(()));
        let taken = mark(2, "16:10", event);
        state.apply(&taken);
        assert_eq!(state.service_minute(1), minute("19:20"));
        assert_eq!(state.evening().party.cooks.len(), 2);
        assert_eq!(state.sheet(pie).map(|s| s.servings), Some(6));
        assert_eq!(echo(&state, &taken).as_deref(), Some("taken: Mains 20 min later (19:20)"));
        let why = needs_reshuffle(&state, ms("16:10")).expect("another plan is wanted").text;
        assert_eq!(why, "because you chose: mains 20 min later (19:20)");
        let undo = marks::undo(&state).expect("something to undo");
        state.apply(&mark(3, "16:11", undo));
        assert_eq!(state.service_minute(1), minute("19:00"));
        assert_eq!(state.evening().party.cooks.len(), 1);
        assert_eq!(state.sheet(pie).map(|s| s.servings), Some(8));
    }

    #[test]
    fn each_part_is_checked_like_a_mark_of_its_own() {
        let state = state(&[]);
        let past =
            [Change::Drop { dish: 0 }, Change::ServiceAt { service: 0, to: minute("15:00") }];
        let event = decide(&state, &past, "").expect("an event");
        let refused = marks::check(&state, &event, ms("16:10")).expect_err("in the past");
        assert_eq!(refused.text, "That time has passed.");
        let nested = Event::WayTaken { words: String::new(), events: vec![event] };
        assert!(marks::check(&state, &nested, ms("16:10")).is_err());
    }

    #[test]
    fn what_no_journal_can_say_is_told() {
        let state = state(&[]);
        let said = |change: Change| decide(&state, &[change], "").expect_err("not by a key").text;
        assert!(said(Change::Slower { station: 0, percent: 10 }).contains("only to see"));
        assert!(decide(&state, &[], "").is_err());
    }

    #[test]
    fn what_is_borrowed_is_there_until_it_is_taken_back() {
        let mut state = state(&[]);
        let own = state.evening().kitchen.clone();
        let changes =
            [Change::MoreOf { ware: 0, count: 2 }, Change::Another { station: 0, places: 1 }];
        let event = decide(&state, &changes, "Borrow").expect("an event");
        assert_eq!(marks::check(&state, &event, ms("16:10")), Ok(()));
        state.apply(&mark(2, "16:10", event));
        let evening = state.evening();
        assert_eq!(evening.kitchen.cookware[0].count, own.cookware[0].count + 2);
        assert_eq!(evening.kitchen.stations.len(), own.stations.len() + 1);
        assert_eq!(evening.party.borrowed.len(), 2);
        assert_eq!(evening.own_kitchen(), own);
        assert!(needs_reshuffle(&state, ms("16:10")).is_some());
        let undo = marks::undo(&state).expect("something to undo");
        state.apply(&mark(3, "16:11", undo));
        assert_eq!(state.evening().kitchen, own);
        assert!(state.evening().party.borrowed.is_empty());
    }

    #[test]
    fn ways_and_places_that_are_settled_reach_the_planner() {
        let mut state = state(&[]);
        let dip = state.evening().dish_index("dip").expect("a dish");
        let event = decide(&state, &[Change::Way { dish: dip, step: 0, way: 0 }], "").expect("one");
        state.apply(&mark(2, "16:05", event));
        assert_eq!(state.situation(ms("16:06")).ways, [((dip, 0), 0)].into());
        let unknown = Event::WaySettled { dish: "dip".into(), step: "mix".into(), way: 9 };
        state.apply(&mark(3, "16:06", unknown));
        assert_eq!(state.situation(ms("16:06")).ways, [((dip, 0), 0)].into());
        assert_eq!(state.notes().len(), 1);
        state.apply(&mark(4, "16:07", Event::Undone { seq: 2 }));
        assert!(state.situation(ms("16:07")).ways.is_empty());
    }
}
