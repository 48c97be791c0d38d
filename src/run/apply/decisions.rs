//! What the cook has settled about the rest of the evening, and ways out that
//! were taken.

use std::sync::Arc;

use crate::kitchen::party::{Cook, Stretch};
use crate::kitchen::{Evening, Minute, PartyChange};
use crate::plan::ways::change::{joined, time_of};
use crate::run::event::{Event, Mark};
use crate::run::reshuffle::Why;
use crate::run::state::State;
use crate::run::words;

/// The most events of one way out that are believed.
const MOST_EVENTS: usize = 40;

impl State {
    pub(super) fn take_decision(&mut self, mark: &Mark, at_ms: i64) {
        match &mark.event {
            Event::WaySettled { dish, step, way } => self.settle_way(mark, dish, step, *way),
            Event::PlaceSettled { dish, hold } => self.settle_place(mark, dish, *hold),
            Event::CookThere { cook, name, from, to } => {
                self.cook_there(mark, cook, name, *from, *to);
            }
            Event::WayTaken { words, events } => self.take_way(mark, words, events, at_ms),
            _ => {}
        }
    }

    /// Each part as if it had been marked by itself.
    fn take_way(&mut self, mark: &Mark, words: &str, events: &[Event], at_ms: i64) {
        if events.len() > MOST_EVENTS {
            self.note(mark, "it changes too much at once; the rest does not count");
        }
        for event in events.iter().take(MOST_EVENTS) {
            if is_whole(event) {
                self.note(mark, "a way out is made of changes alone; the rest does not count");
                continue;
            }
            let part = Mark { event: event.clone(), ..mark.clone() };
            self.take_event(&part, at_ms);
        }
        let first = words.chars().next().map(|c| c.to_lowercase().to_string()).unwrap_or_default();
        let rest: String = words.chars().skip(1).collect();
        self.facts.stale = Some(Why::plain(format!("because you chose: {first}{rest}")));
    }

    fn settle_way(&mut self, mark: &Mark, dish: &str, step: &str, way: usize) {
        let found = self.evening.dish_index(dish);
        let at = found.and_then(|d| Some((d, self.evening.sheets.get(d)?.step_index(step)?)));
        let Some((d, s)) = at else {
            self.note(mark, &format!("the party has no step \"{step}\" of \"{dish}\""));
            return;
        };
        let ways = self.evening.sheets.get(d).and_then(|sheet| sheet.recipe.steps.get(s));
        if ways.is_none_or(|step| way >= step.ways.len()) {
            self.note(mark, "the recipe has no such way; the plan chooses");
            return;
        }
        self.facts.ways.insert((d, s), way);
        let text = format!("because {} is done another way", words::dish(self, d));
        self.facts.stale = Some(Why::dish(text, d));
    }

    fn settle_place(&mut self, mark: &Mark, dish: &str, hold: usize) {
        let Some(d) = self.evening.dish_index(dish) else {
            self.note(mark, &format!("the party has no dish \"{dish}\""));
            return;
        };
        if self.evening.sheets.get(d).is_none_or(|sheet| hold >= sheet.recipe.holds.len()) {
            self.note(mark, "the recipe has no such place; the plan chooses");
            return;
        }
        self.facts.places.insert(d, hold);
        let text = format!("because {} shall wait elsewhere", words::dish(self, d));
        self.facts.stale = Some(Why::dish(text, d));
    }

    fn cook_there(&mut self, mark: &Mark, cook: &str, name: &str, from: Minute, to: Minute) {
        let face = self.party.face.clone();
        let times = time_of(&face, from).zip(time_of(&face, to)).filter(|_| from < to);
        let Some((from, to)) = times else {
            self.note(mark, "those are not hours of the party's day");
            return;
        };
        let stretch = Stretch { from, to };
        let evening: &mut Evening = Arc::make_mut(&mut self.evening);
        let cooks = &mut evening.party.cooks;
        let who = match cooks.iter_mut().find(|c| c.id == cook) {
            Some(known) => {
                known.free = joined(&face, &known.free, stretch);
                known.name.clone()
            }
            None => {
                let (id, name) = (cook.to_owned(), name.to_owned());
                let free = vec![stretch];
                cooks.push(Cook { id, name: name.clone(), free, free_day_before: Vec::new() });
                name
            }
        };
        self.facts.stale = Some(Why::plain(format!("because {who} is there from {from}")));
    }
}

/// Events that are never part of a way out.
pub(in crate::run) const fn is_whole(event: &Event) -> bool {
    matches!(
        event,
        Event::WayTaken { .. }
            | Event::PlanAdopted { .. }
            | Event::Undone { .. }
            | Event::Finished
            // Even taken back, a dish keeps its place among the others.
            | Event::PartyChanged { change: PartyChange::DishAdded { .. } }
    )
}
