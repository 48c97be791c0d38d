//! A mark read back in a few words: "done: the pie (bake)".

use super::event::{Answer, Clearing, Event, Mark, PortionDid, StepId};
use super::state::{MINUTE_MS, State};
use super::{prompts, words};
use crate::kitchen::{PartyChange, borrowed};

/// What a mark says, for the line under the chart and beside the undo key.
/// None for what the program marks by itself.
#[must_use]
pub fn echo(state: &State, mark: &Mark) -> Option<String> {
    let step = |id: &StepId| {
        state.key(id).map_or_else(|| id.step.clone(), |key| words::step_name(state, key))
    };
    let dish = |id: &str| {
        let dish = state.evening().dish_index(id);
        dish.map_or_else(|| id.to_owned(), |dish| words::dish(state, dish))
    };
    let station = |id: &str| words::the_station(state.evening(), id);
    Some(match &mark.event {
        Event::Started { id, station, .. } => match state.key(id) {
            Some(key) => words::marked(state, key, prompts::start_kind(state, key, station)),
            None => format!("started: {}", id.step),
        },
        Event::Done { id, .. } => match state.key(id) {
            Some(key) => words::marked(state, key, prompts::end_kind(state, key)),
            None => format!("done: {}", id.step),
        },
        Event::Skipped { id } => format!("left out: {}", step(id)),
        Event::NeedsMore { id, minutes } => format!("{minutes} min more: {}", step(id)),
        Event::Temperature { dish: id, celsius } => {
            format!("taken: {} at {}", dish(id), state.evening().customs.taken(*celsius))
        }
        Event::HeldAt { dish: id, station: Some(at), .. } => {
            format!("waits {}: {}", words::at(state.evening(), at), dish(id))
        }
        Event::HeldAt { dish: id, .. } => format!("waits: {}", dish(id)),
        Event::Served { dish: id } => format!("on the table: {}", dish(id)),
        Event::Cleared { dish: id, how } => {
            format!("{}: {}", cleared(*how), dish(id))
        }
        Event::StationDown { station: id } => {
            // What is in it comes out by nobody's mark but the cook's.
            let there = words::running_at(state, id, mark.at_ms);
            match there.is_empty() {
                true => format!("out of use: {}", station(id)),
                false => format!("out of use: {}, with {}", station(id), words::list(&there)),
            }
        }
        Event::StationUp { station: id } => format!("in use again: {}", station(id)),
        Event::OvenSet { station: id, celsius } => {
            format!("set: {} to {}", station(id), state.evening().customs.oven(*celsius))
        }
        Event::ServiceMoved { service, to } => {
            let services = &state.evening().party.services;
            let index = services.iter().position(|s| s.id == *service);
            let title = index.map_or_else(
                || service.clone(),
                |index| words::service_title(state.evening(), index),
            );
            format!("moved: {title} to {}", state.evening().face.label(*to))
        }
        Event::ServingsChanged { dish: id, servings } => {
            format!("now for {servings}: {}", dish(id))
        }
        Event::DishDropped { dish: id } => format!("dropped: {}", dish(id)),
        Event::DishBack { dish: id } => format!("back on: {}", dish(id)),
        Event::Pinned { id, at } => {
            format!("pinned to {}: {}", state.evening().face.label(*at), step(id))
        }
        Event::Unpinned { id } => format!("unpinned: {}", step(id)),
        Event::WaySettled { dish: id, .. } => format!("settled how: {}", dish(id)),
        Event::PlaceSettled { dish: id, .. } => format!("settled where it waits: {}", dish(id)),
        Event::CookThere { cook, name, from, .. } => {
            let cooks = &state.evening().party.cooks;
            let name = cooks.iter().find(|c| c.id == *cook).map_or(name, |c| &c.name);
            format!("from {}: {name}", state.evening().face.label(*from))
        }
        Event::PartyChanged { change } => changed(state, change),
        Event::WayTaken { words, .. } => format!("taken: {words}"),
        Event::AlarmAcknowledged { .. } => "seen".to_owned(),
        Event::Ticked { line, on } => {
            let name = line.split_once('/').map_or(line.as_str(), |(_, name)| name);
            format!("{}: {name}", if *on { "ticked" } else { "not ticked" })
        }
        Event::AlarmPutOff { until_ms, .. } => {
            format!("put off until {}", words::clock(state, *until_ms))
        }
        Event::AlarmAnswered { how, .. } => match how {
            Answer::Discarded => "noted: thrown out".to_owned(),
            Answer::KeptKnowingly => "noted: kept, knowing the limit".to_owned(),
            Answer::WasNeverOut => "noted: it was never out".to_owned(),
        },
        Event::GuidanceChanged { to } => {
            let title = crate::safety::Profile::by_id(to).map_or(to.as_str(), |p| &p.title);
            format!("guidance: {title}")
        }
        Event::RuleChosen { dish: id, rule } => {
            let rules = super::food::profile(state).map(|p| p.chosen_rules.as_slice());
            let chosen = rules.unwrap_or_default().iter().find(|r| Some(&r.id) == rule.as_ref());
            let title = chosen.map_or("the ordinary rule", |r| r.title.as_str());
            format!("{}: {title}", dish(id))
        }
        Event::AirMeasured { celsius } => {
            format!("the room: {}", state.evening().customs.taken(*celsius))
        }
        Event::IngredientsOut { id } => format!("out of the fridge early: {}", step(id)),
        Event::IngredientsBack { id } => format!("back in the fridge: {}", step(id)),
        Event::Portion { dish: id, part, did } => {
            format!("{}, part {part}: {}", dish(id), portion(state, did))
        }
        Event::ClockSetBack { by_ms } => {
            format!("the clock was set back by {}", words::minutes(by_ms / MINUTE_MS))
        }
        Event::Undone { seq } => {
            let taken_back = state.marks().map(|(m, _)| m).find(|m| m.seq == *seq);
            match taken_back.and_then(|m| echo(state, m)) {
                Some(words) => format!("taken back \u{2013} {words}"),
                None => "taken back".to_owned(),
            }
        }
        Event::Finished => "the evening is over".to_owned(),
        Event::PlanAdopted { .. } => return None,
    })
}

fn changed(state: &State, change: &PartyChange) -> String {
    let evening = state.evening();
    let found = change.dish().and_then(|id| evening.dish_index(id));
    let name = match (found, change) {
        (Some(dish), _) => words::dish(state, dish),
        (None, _) => change.dish().unwrap_or_default().to_owned(),
    };
    match change {
        PartyChange::DishAdded { .. } => format!("added: {name}"),
        PartyChange::DishMoved { service, .. } => {
            let index = evening.party.services.iter().position(|s| s.id == *service);
            let title = index.map_or_else(|| service.clone(), |i| words::service_title(evening, i));
            format!("with {title}: {name}")
        }
        PartyChange::Swapped { item, by: Some(by), .. } => format!("{by} for {item}: {name}"),
        PartyChange::Halved { item, by: Some(by), .. } => {
            format!("half with {by} for {item}: {name}")
        }
        PartyChange::Swapped { item, .. } | PartyChange::Halved { item, .. } => {
            format!("{item} after all: {name}")
        }
        PartyChange::DayBefore { on: true, .. } => format!("made the day before: {name}"),
        PartyChange::DayBefore { .. } => format!("made on the day: {name}"),
        PartyChange::RecipeChanged { .. } => format!("made by another recipe: {name}"),
        PartyChange::Borrowed { all } => {
            format!("borrowed: {}", crate::paper::list(&borrowed::lines(&evening.kitchen, all)))
        }
        PartyChange::GuestsChanged { guests } => {
            let heads: u64 = guests.iter().map(|g| u64::from(g.count)).sum();
            format!("guests: {heads}")
        }
        PartyChange::LeastChanged { starters, mains } => {
            format!("each finds at least {starters} starters and {mains} mains")
        }
        PartyChange::AppetiteChanged { appetite } => {
            format!("the guests' appetite: {}", appetite.word())
        }
    }
}

fn cleared(how: Clearing) -> &'static str {
    match how {
        Clearing::Eaten => "eaten",
        Clearing::PutAway => "put away",
        Clearing::ThrownOut => "thrown out",
    }
}

fn portion(state: &State, did: &PortionDid) -> String {
    match did {
        PortionDid::TakenOff => "taken off".to_owned(),
        PortionDid::HeldAt { station: Some(at), .. } => {
            format!("waits {}", words::at(state.evening(), at))
        }
        PortionDid::HeldAt { place, .. } => format!("waits, {}", words::kind(*place)),
        PortionDid::Served => "on the table".to_owned(),
        PortionDid::Cleared { how } => cleared(*how).to_owned(),
        PortionDid::Temperature { celsius } => state.evening().customs.taken(*celsius),
        PortionDid::JoinedTo { dish, part } => {
            let found = state.evening().dish_index(dish);
            let name = found.map_or_else(|| dish.clone(), |d| words::dish(state, d));
            match part {
                Some(part) => format!("together with {name}, part {part}"),
                None => format!("together with {name}"),
            }
        }
    }
}
