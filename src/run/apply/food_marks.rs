//! What is marked of the food's safety beyond readings and places: the guidance,
//! the air, ingredients out early, parts of a dish, a clock that was wrong.

use super::insert;
use crate::plan::StepKey;
use crate::run::event::{Clearing, Event, Mark, PortionDid};
use crate::run::food::{self, Food};
use crate::run::portions;
use crate::run::reshuffle::Why;
use crate::run::state::{Portion, Reading, State, Stay, Whereabouts};
use crate::safety::Profile;

/// The most parts into which a dish is divided.
pub const MOST_PORTIONS: u32 = 9;

impl State {
    pub(super) fn take_food(&mut self, mark: &Mark, at_ms: i64) {
        match &mark.event {
            Event::GuidanceChanged { to } => self.change_guidance(mark, to, at_ms),
            Event::RuleChosen { dish, rule } => {
                self.with_dish(mark, dish, |s, dish| s.choose(mark, dish, rule.as_deref(), at_ms));
            }
            Event::AirMeasured { celsius } => self.measure_air(mark, at_ms, *celsius),
            Event::IngredientsOut { id } => {
                self.with_key(mark, id, |s, key| s.take_out(mark, key, at_ms));
            }
            Event::IngredientsBack { id } => {
                self.with_key(mark, id, |s, key| s.put_back(mark, key, at_ms));
            }
            Event::Portion { dish, part, did } => {
                self.with_dish(mark, dish, |s, dish| s.portion(mark, (dish, *part), did, at_ms));
            }
            // What it does to the marks before it is done by the fold.
            Event::ClockSetBack { by_ms } if !crate::run::fold::is_a_step(*by_ms) => {
                self.note(mark, "a clock is set back by at most a week; it does not count");
            }
            _ => {}
        }
    }

    fn change_guidance(&mut self, mark: &Mark, to: &str, at_ms: i64) {
        let Some(profile) = Profile::by_id(to) else {
            self.note(mark, &format!("there is no guidance \"{to}\""));
            return;
        };
        if self.evening.party.guidance == to {
            self.note(mark, "the party goes by this guidance already");
            return;
        }
        std::sync::Arc::make_mut(&mut self.evening).party.guidance = to.to_owned();
        self.facts.guidance.push((at_ms, to.to_owned()));
        let text = format!("because the evening goes by {} now", profile.title);
        self.facts.stale = Some(Why::plain(text));
    }

    /// Another rule needs its time marked when the food is taken out, so it is
    /// chosen before; afterwards no word makes a limit later.
    fn choose(&mut self, mark: &Mark, dish: usize, rule: Option<&str>, at_ms: i64) {
        if food::has_left_control(self, dish, at_ms) {
            self.note(mark, "its time runs already; a rule is chosen before it is taken out");
            return;
        }
        match rule {
            None => _ = self.facts.rules.remove(&dish),
            Some(rule) if food::rule_known(self, rule) => {
                self.facts.rules.insert(dish, (at_ms, rule.to_owned()));
            }
            Some(rule) => self.note(mark, &format!("the guidance has no rule \"{rule}\"")),
        }
    }

    fn measure_air(&mut self, mark: &Mark, at_ms: i64, celsius: f64) {
        if !self.may_be(mark, celsius) {
            return;
        }
        insert(&mut self.facts.air, Reading { at_ms, celsius });
        // The plan goes by whole degrees: never by fewer than were measured.
        let whole = celsius.ceil().clamp(-20.0, 60.0) as i32;
        if self.evening.party.room_c != whole {
            std::sync::Arc::make_mut(&mut self.evening).party.room_c = whole;
            self.facts.stale = Some(Why::plain("because the room was measured".to_owned()));
        }
    }

    fn take_out(&mut self, mark: &Mark, key: StepKey, at_ms: i64) {
        if self.facts.progress.contains_key(&key) {
            self.note(mark, "the step has begun; what it uses counts from then");
            return;
        }
        let stretches = self.facts.early.entry(key).or_default();
        match stretches.last() {
            Some((_, None)) => self.note(mark, "it is out already; the first mark counts"),
            _ => stretches.push((at_ms, None)),
        }
    }

    fn put_back(&mut self, mark: &Mark, key: StepKey, at_ms: i64) {
        match self.facts.early.get_mut(&key).and_then(|s| s.last_mut()) {
            Some((from_ms, to_ms @ None)) => *to_ms = Some(at_ms.max(*from_ms)),
            _ => self.note(mark, "it was not taken out early"),
        }
    }

    fn portion(&mut self, mark: &Mark, id: (usize, u32), did: &PortionDid, at_ms: i64) {
        if !(1..=MOST_PORTIONS).contains(&id.1) {
            self.note(mark, "parts of a dish are numbered 1 to 9");
            return;
        }
        if self.is_dropped(id.0) && !food::is_there(self, id.0, at_ms) {
            self.note(mark, "marked for a dish that was dropped before there was any of it");
        }
        if !self.facts.portions.contains_key(&id) {
            let goes = matches!(
                did,
                PortionDid::TakenOff
                    | PortionDid::Served
                    | PortionDid::HeldAt { .. }
                    | PortionDid::Cleared { .. }
            );
            if !goes {
                self.note(mark, "the part was not taken off yet; it is taken to be just now");
            }
            // Not before what was marked of the whole: a clock may be put right by seconds.
            let from_ms = self.last_stay(id.0).map_or(at_ms, |s| s.at_ms.max(at_ms));
            let portion = Portion { from_ms, stays: Vec::new(), taken: Vec::new(), joined: None };
            self.facts.portions.insert(id, portion);
        } else if *did == PortionDid::TakenOff {
            self.note(mark, "the part was taken off already; the first mark counts");
        }
        self.portion_did(mark, id, did, at_ms);
    }

    fn portion_did(&mut self, mark: &Mark, id: (usize, u32), did: &PortionDid, at_ms: i64) {
        if self.facts.portions.get(&id).is_some_and(|p| p.joined.is_some()) {
            self.note(mark, "that part was put together with something else; this does not count");
            return;
        }
        match did {
            PortionDid::TakenOff => {}
            PortionDid::HeldAt { hold, place, station } => {
                let at = Whereabouts::Held { hold: *hold, place: *place, station: station.clone() };
                let at = self.known_place(mark, id.0, at);
                self.put_portion(id, at, at_ms);
            }
            PortionDid::Served => self.put_portion(id, Whereabouts::Table, at_ms),
            PortionDid::Cleared { how } => {
                self.put_portion(id, Whereabouts::Gone(*how), at_ms);
            }
            PortionDid::Temperature { celsius } => {
                if self.may_be(mark, *celsius)
                    && let Some(portion) = self.facts.portions.get_mut(&id)
                {
                    insert(&mut portion.taken, Reading { at_ms, celsius: *celsius });
                }
            }
            PortionDid::JoinedTo { dish, part } => self.join(mark, id, (dish, *part), at_ms),
        }
    }

    fn put_portion(&mut self, id: (usize, u32), at: Whereabouts, at_ms: i64) {
        let Some(portion) = self.facts.portions.get_mut(&id) else { return };
        let floor = portion.stays.last().map_or(portion.from_ms, |s| s.at_ms);
        portion.stays.push(Stay { at_ms: at_ms.max(floor), at });
    }

    fn join(&mut self, mark: &Mark, id: (usize, u32), to: (&str, Option<u32>), at_ms: i64) {
        let Some(dish) = self.evening.dish_index(to.0) else {
            self.note(mark, &format!("the party has no dish \"{}\"", to.0));
            return;
        };
        let onto = Food { dish, part: to.1 };
        let known = to.1.is_none_or(|part| self.facts.portions.contains_key(&(dish, part)));
        let circle = portions::end_of(self, onto) == Food { dish: id.0, part: Some(id.1) };
        if !known || circle {
            self.note(mark, "there is nothing like that to put it together with");
            return;
        }
        if let Some(portion) = self.facts.portions.get_mut(&id) {
            let floor = portion.stays.last().map_or(portion.from_ms, |s| s.at_ms);
            portion.joined = Some((at_ms.max(floor), dish, to.1));
        }
    }

    /// Is the part eaten, put away, thrown out or put together with something?
    #[must_use]
    pub fn portion_is_gone(&self, id: (usize, u32)) -> bool {
        self.facts.portions.get(&id).is_none_or(|p| {
            p.joined.is_some()
                || p.stays.last().is_some_and(|s| matches!(s.at, Whereabouts::Gone(_)))
        })
    }

    /// Was the part put away into the fridge? It can come out again.
    #[must_use]
    pub fn portion_is_away(&self, id: (usize, u32)) -> bool {
        let away = Whereabouts::Gone(Clearing::PutAway);
        self.facts
            .portions
            .get(&id)
            .is_some_and(|p| p.joined.is_none() && p.stays.last().is_some_and(|s| s.at == away))
    }

    /// The number that the next part of a dish gets; None if it has nine.
    #[must_use]
    pub fn next_portion(&self, dish: usize) -> Option<u32> {
        (1..=MOST_PORTIONS).find(|part| !self.facts.portions.contains_key(&(dish, *part)))
    }
}
