//! The party as it stands after its marks, to be kept as a file.

use super::echo;
use super::event::Event;
use super::state::State;
use crate::kitchen::Party;
use crate::plan::ways::change::time_of;

/// What of an evening's marks a party file can hold, and what it cannot.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// The party with every change that counts; recipes and kitchen are named
    /// as its file names them, those that were added are written out.
    pub party: Party,
    /// Changes that no party file can hold, in words: they stay in the journal.
    pub stays: Vec<String>,
    /// Marks that tell what was done, not what was changed: they belong to the
    /// dishes and steps as the file has them now.
    pub done: usize,
}

/// The party as it stands now.
///
/// # Errors
/// One sentence, if no file could hold it: every dish was dropped, or a service
/// was moved to a time that is none of the party's day.
pub fn kept(state: &State) -> Result<Kept, String> {
    let evening = state.evening();
    let mut party = evening.party.clone();
    // What was measured tonight is of tonight, and of the time from then on.
    party.room_c = state.party().party.room_c;
    for (&service, &to) in &state.facts().service_at {
        let Some(service) = party.services.get_mut(service) else { continue };
        service.at = time_of(&evening.face, to).ok_or_else(|| {
            format!("{} was moved out of the party's day: no file can say that.", service.title)
        })?;
    }
    let dropped: Vec<&str> = state
        .facts()
        .dropped
        .keys()
        .filter_map(|&dish| evening.sheets.get(dish))
        .map(|sheet| sheet.id.as_str())
        .collect();
    party.dishes.retain(|dish| !dropped.contains(&dish.id.as_str()));
    if party.dishes.is_empty() {
        return Err("Every dish was dropped: there is no party to keep.".to_owned());
    }
    let counted: Vec<_> = state.marks().filter(|(_, counts)| *counts).map(|(m, _)| m).collect();
    let stays = counted.iter().filter(|m| stays(&m.event)).filter_map(|m| echo(state, m));
    Ok(Kept {
        party,
        stays: stays.collect(),
        done: counted.iter().filter(|m| is_done(&m.event)).count(),
    })
}

/// A change that a party file has no place for.
fn stays(event: &Event) -> bool {
    match event {
        Event::WayTaken { events, .. } => events.iter().any(stays),
        Event::WaySettled { .. }
        | Event::PlaceSettled { .. }
        | Event::Pinned { .. }
        | Event::StationDown { .. }
        | Event::StationUp { .. }
        | Event::RuleChosen { .. } => true,
        _ => false,
    }
}

/// It tells what was done: nothing of it would be known of a party with other
/// dishes or steps.
fn is_done(event: &Event) -> bool {
    match event {
        Event::PartyChanged { .. }
        | Event::ServingsChanged { .. }
        | Event::ServiceMoved { .. }
        | Event::DishDropped { .. }
        | Event::DishBack { .. }
        | Event::GuidanceChanged { .. }
        | Event::CookThere { .. }
        | Event::PlanAdopted { .. }
        | Event::Undone { .. }
        | Event::ClockSetBack { .. }
        | Event::AlarmAcknowledged { .. }
        | Event::AlarmPutOff { .. } => false,
        Event::WayTaken { events, .. } => events.iter().any(is_done),
        other => !stays(other),
    }
}

#[cfg(test)]
#[path = "kept_tests.rs"]
mod tests;
