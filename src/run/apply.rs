//! What each event does to the facts.

mod changes;
mod day_before;
mod decisions;
mod food_marks;
mod steps;

use std::sync::Arc;

pub(super) use decisions::is_whole;

use super::alarms;
use super::event::{Answer, Clearing, Event, Mark, StepId};
use super::food::{self, Food};
use super::oven::Dial;
use super::reshuffle::Why;
use super::state::{MINUTE_MS, Progress, Reading, State, StationMark, Stay, Whereabouts};
use super::words;
use crate::kitchen::Minute;
use crate::plan::StepKey;

/// Keeps readings in order of time.
fn insert(readings: &mut Vec<Reading>, reading: Reading) {
    let after = readings.partition_point(|r| r.at_ms <= reading.at_ms);
    readings.insert(after, reading);
}

/// Longest extension that is believed, minutes.
pub const MORE_AT_MOST: u32 = 24 * 60;

impl State {
    pub(super) fn take_event(&mut self, mark: &Mark, at_ms: i64) {
        self.settle_the_day_before(at_ms);
        self.take_it(mark, at_ms);
        if matches!(
            mark.event,
            Event::ServingsChanged { .. }
                | Event::DishDropped { .. }
                | Event::DishBack { .. }
                | Event::PartyChanged { .. }
        ) {
            self.settle_ticks();
        }
        if matches!(mark.event, Event::PlanAdopted { .. }) {
            self.settle_the_day_before(at_ms);
        }
    }

    fn take_it(&mut self, mark: &Mark, at_ms: i64) {
        match &mark.event {
            Event::Started { .. } | Event::Done { .. } | Event::NeedsMore { .. } => {
                self.take_step(mark, at_ms);
            }
            Event::Skipped { id } => self.with_key(mark, id, |s, key| s.skip(key, at_ms)),
            Event::Pinned { id, at } => self.with_key(mark, id, |s, key| s.pin(mark, key, *at)),
            Event::Unpinned { id } => self.with_key(mark, id, |s, key| s.unpin(mark, key)),
            Event::Temperature { dish, celsius } => {
                self.with_dish(mark, dish, |s, dish| s.measure(mark, dish, at_ms, *celsius));
            }
            Event::HeldAt { .. } | Event::Served { .. } | Event::Cleared { .. } => {
                self.take_stay(mark, at_ms);
            }
            Event::StationDown { station } => self.station(mark, station, at_ms, true),
            Event::StationUp { station } => self.station(mark, station, at_ms, false),
            Event::OvenSet { station, celsius } => self.dial(mark, station, *celsius, at_ms),
            Event::ServiceMoved { service, to } => self.move_service(mark, service, *to, at_ms),
            Event::ServingsChanged { dish, servings } => {
                self.with_dish(mark, dish, |s, dish| {
                    s.with_board(|s| s.change_servings(mark, dish, *servings));
                });
            }
            Event::DishDropped { dish } => {
                self.with_dish(mark, dish, |s, dish| {
                    s.with_board(|s| s.drop_dish(mark, dish, at_ms));
                });
            }
            Event::DishBack { dish } => {
                self.with_dish(mark, dish, |s, dish| {
                    s.with_board(|s| s.bring_back(mark, dish, at_ms));
                });
            }
            Event::WaySettled { .. }
            | Event::PlaceSettled { .. }
            | Event::CookThere { .. }
            | Event::WayTaken { .. } => self.take_decision(mark, at_ms),
            Event::PartyChanged { change } => {
                self.with_board(|s| s.change_party(mark, change));
            }
            Event::AlarmAcknowledged { alarm } => {
                self.facts.handled.entry(alarm.clone()).or_default().seen_ms = Some(at_ms);
            }
            Event::AlarmPutOff { alarm, until_ms } => {
                let until = self.sane_ms(*until_ms);
                self.facts.handled.entry(alarm.clone()).or_default().put_off = Some((at_ms, until));
            }
            Event::AlarmAnswered { alarm, how } => self.answer(mark, alarm, *how, at_ms),
            Event::GuidanceChanged { .. }
            | Event::RuleChosen { .. }
            | Event::AirMeasured { .. }
            | Event::IngredientsOut { .. }
            | Event::IngredientsBack { .. }
            | Event::Portion { .. }
            | Event::ClockSetBack { .. } => self.take_food(mark, at_ms),
            Event::PlanAdopted { plan, moved, why } => self.adopt(plan, moved, why, at_ms),
            Event::Ticked { line, on } => self.tick(line, *on),
            Event::Undone { .. } => {}
            Event::Finished => self.facts.finished_ms = Some(at_ms),
        }
    }

    fn take_step(&mut self, mark: &Mark, at_ms: i64) {
        let ago = |minutes: u32| at_ms.saturating_sub(i64::from(minutes) * MINUTE_MS);
        match &mark.event {
            Event::Started { id, way, station, cook, ago_minutes } => {
                let start = self.sane_ms(ago(*ago_minutes));
                self.with_key(mark, id, |s, key| {
                    let run = s.begin(mark, key, *way, station, cook.as_deref(), start);
                    s.start(mark, key, run);
                });
            }
            Event::Done { id, ago_minutes } => {
                let end = self.sane_ms(ago(*ago_minutes));
                self.with_key(mark, id, |s, key| s.finish(mark, key, end));
            }
            Event::NeedsMore { id, minutes } => {
                self.with_key(mark, id, |s, key| s.extend(mark, key, at_ms, *minutes));
            }
            _ => {}
        }
    }

    fn take_stay(&mut self, mark: &Mark, at_ms: i64) {
        let (dish, at) = match &mark.event {
            Event::HeldAt { dish, hold, place, station } => {
                (dish, Whereabouts::Held { hold: *hold, place: *place, station: station.clone() })
            }
            Event::Served { dish } => (dish, Whereabouts::Table),
            Event::Cleared { dish, how } => (dish, Whereabouts::Gone(*how)),
            _ => return,
        };
        self.with_dish(mark, dish, |s, dish| s.put(mark, dish, at, at_ms));
    }

    fn with_key(&mut self, mark: &Mark, id: &StepId, then: impl FnOnce(&mut Self, StepKey)) {
        let Some(key) = self.key(id) else {
            self.note(mark, &format!("the party has no step \"{}\" of \"{}\"", id.step, id.dish));
            return;
        };
        // Loads beyond what any number of servings asks for are a slip of the journal.
        if key.load > 500 {
            self.note(mark, &format!("\"{}\" has no load {}", id.step, id.load));
            return;
        }
        if self.is_dropped(key.dish) {
            self.note(mark, "marked for a dish that was dropped");
        }
        self.assume_no_more(key);
        then(self, key);
    }

    fn with_dish(&mut self, mark: &Mark, id: &str, then: impl FnOnce(&mut Self, usize)) {
        let Some(dish) = self.evening.dish_index(id) else {
            self.note(mark, &format!("the party has no dish \"{id}\""));
            return;
        };
        then(self, dish);
    }

    fn measure(&mut self, mark: &Mark, dish: usize, at_ms: i64, celsius: f64) {
        if self.may_be(mark, celsius) {
            let readings = self.facts.taken.entry(dish).or_default();
            insert(readings, Reading { at_ms, celsius });
        }
    }

    /// Could a thermometer show this?
    fn may_be(&mut self, mark: &Mark, celsius: f64) -> bool {
        let may_be = (-60.0..=400.0).contains(&celsius);
        if !may_be {
            self.note(mark, &format!("{celsius} °C cannot be; the reading does not count"));
        }
        may_be
    }

    fn put(&mut self, mark: &Mark, dish: usize, at: Whereabouts, at_ms: i64) {
        if self.is_dropped(dish) && !food::is_there(self, dish, at_ms) {
            self.note(mark, "marked for a dish that was dropped before there was any of it");
        }
        if self.last_stay(dish).is_some_and(|s| s.at == at) && !self.failed_there(dish, at_ms) {
            self.note(mark, "it is there already; the first mark counts");
            return;
        }
        if self.is_gone(dish) {
            self.note(mark, "it was gone, and is back");
        }
        let at = self.known_place(mark, dish, at);
        let on_table = matches!(at, Whereabouts::Table | Whereabouts::Gone(Clearing::Eaten));
        let floor = self.last_stay(dish).map_or(i64::MIN, |s| s.at_ms);
        let stay = Stay { at_ms: at_ms.max(floor), at };
        self.facts.stays.entry(dish).or_default().push(stay);
        if on_table {
            self.close_dish(mark, dish, at_ms);
        }
        self.refresh_risks(at_ms);
    }

    /// Did the place where a dish was put stop keeping it since? Put there anew it is kept anew.
    pub(in crate::run) fn failed_there(&self, dish: usize, at_ms: i64) -> bool {
        let put_ms = self.last_stay(dish).map_or(i64::MIN, |s| s.at_ms);
        let there_ms = self.out_ms(dish, at_ms).map_or(put_ms, |out_ms| out_ms.max(put_ms));
        let kept = food::phases(self, dish, at_ms).last().copied();
        kept.is_some_and(|(ms, kept)| kept == food::Keeping::Out && ms > there_ms)
    }

    fn known_place(&mut self, mark: &Mark, dish: usize, at: Whereabouts) -> Whereabouts {
        let Whereabouts::Held { hold, place, station } = at else { return at };
        let holds = self.sheet(dish).map(|s| s.recipe.holds.as_slice()).unwrap_or_default();
        let named = hold.filter(|h| holds.get(*h).is_some_and(|h| h.place == place));
        if hold.is_some() && named.is_none() {
            self.note(mark, "the recipe has no such hold; only the place counts");
        }
        let known = station.filter(|id| {
            self.evening.station(id).is_some_and(|s: &crate::kitchen::Station| s.kind == place)
        });
        Whereabouts::Held { hold: named, place, station: known }
    }

    /// A dish on the table is finished, whatever was marked. But where some of it was done, a load whose time on the
    /// heat is not up is not: it comes off when it is, and the cook is told.
    fn close_dish(&mut self, mark: &Mark, dish: usize, at_ms: i64) {
        let Some(step) = self.sheet(dish).map(crate::kitchen::Sheet::last_step) else { return };
        let out = self.out_ms(dish, at_ms).is_some();
        for load in 0..self.loads(dish, step) {
            let key = StepKey { dish, step, load };
            if out && self.is_on_the_heat(key, at_ms) {
                self.note(mark, "a load of it is on the heat still, and goes on there");
            } else {
                self.close(mark, key, at_ms);
            }
        }
        // A last step that was marked done may still have open ones before it.
        let key = StepKey { dish, step, load: 0 };
        self.finish_earlier(mark, key, at_ms);
    }

    /// Does a load run on the heat whose time is not up?
    fn is_on_the_heat(&self, key: StepKey, at_ms: i64) -> bool {
        let Some(Progress::Running(run)) = self.facts.progress.get(&key) else { return false };
        food::heats(self, run) && self.nominal_end_ms(key, run) > at_ms
    }

    /// What was done about a limit that has passed. Before it has, there is
    /// nothing to answer: no word of the cook stops a clock beforehand.
    fn answer(&mut self, mark: &Mark, alarm: &str, how: Answer, at_ms: i64) {
        let Some(food) = food::of_alarm(self, alarm) else {
            self.note(mark, "only a passed safety limit is answered");
            return;
        };
        let of_room = alarm.starts_with("unsafe_past:");
        let over = match of_room {
            true => food::passed(self, food, at_ms).is_some(),
            false => alarms::reading_asks(self, alarm, at_ms),
        };
        if !over {
            self.note(mark, "its safety limit had not passed; the answer does not count");
            return;
        }
        let handled = self.facts.handled.entry(alarm.to_owned()).or_default();
        handled.answered = Some((at_ms, how));
        if how == Answer::Discarded {
            self.throw_out(food, at_ms);
            // No service waits for it any more.
            self.refresh_risks(at_ms);
        }
    }

    fn throw_out(&mut self, food: Food, at_ms: i64) {
        let stay = Stay { at_ms, at: Whereabouts::Gone(Clearing::ThrownOut) };
        let gone = self.last_stay(food.dish).is_some_and(|s| {
            matches!(s.at, Whereabouts::Gone(Clearing::Eaten | Clearing::ThrownOut))
        });
        match food.part {
            // Out of the fridge too, if it had been put away.
            None if !gone => self.facts.stays.entry(food.dish).or_default().push(stay),
            None => {}
            Some(part) => {
                if let Some(portion) = self.facts.portions.get_mut(&(food.dish, part)) {
                    portion.stays.push(stay);
                }
            }
        }
    }

    fn station(&mut self, mark: &Mark, id: &str, at_ms: i64, down: bool) {
        if self.evening.station(id).is_none() {
            self.note(mark, &format!("the kitchen has no station \"{id}\""));
            return;
        }
        let name = words::the_station(&self.evening, id);
        let at_ms = self.not_before(id, at_ms);
        let changed = match (down, self.facts.down.contains_key(id)) {
            (true, false) => {
                self.facts.down.insert(id.to_owned(), at_ms);
                self.facts.dials_due.remove(id);
                self.log_station(id, at_ms, StationMark::Down);
                self.go_cold(id, at_ms);
                Some(format!("because {name} is out of use"))
            }
            (false, true) => {
                self.facts.down.remove(id);
                self.log_station(id, at_ms, StationMark::Up);
                Some(format!("because {name} works again"))
            }
            _ => None,
        };
        match changed {
            Some(text) => self.facts.stale = Some(Why::plain(text)),
            None => self.note(mark, "the station was so already"),
        }
    }

    /// No mark about a station comes before one that was made earlier: a clock may be
    /// put right by seconds in between.
    fn not_before(&self, station: &str, at_ms: i64) -> i64 {
        let log = self.facts.station_log.get(station).into_iter().flatten();
        log.map(|(ms, _)| *ms).fold(at_ms, i64::max)
    }

    /// What is out of order cools from then on, and when it works again it is off until
    /// its dial is set: that it heats by itself again nobody knows.
    fn go_cold(&mut self, station: &str, at_ms: i64) {
        let room_c = self.evening.party.room_c;
        let Some(from_c) = self.temperature(station, at_ms) else { return };
        if self.setting(station).is_some_and(|c| c > room_c) {
            let off = Dial { at_ms, from_c, to_c: room_c };
            self.facts.dials.entry(station.to_owned()).or_default().push(off);
        }
    }

    fn dial(&mut self, mark: &Mark, id: &str, celsius: i32, at_ms: i64) {
        let at_ms = self.not_before(id, at_ms);
        let Some(from_c) = self.temperature(id, at_ms) else {
            self.note(mark, &format!("\"{id}\" has no dial for degrees"));
            return;
        };
        if !(-50..=600).contains(&celsius) {
            self.note(mark, &format!("{celsius} °C cannot be; the dial stays as it was"));
            return;
        }
        self.turn(id, Dial { at_ms, from_c, to_c: celsius });
    }

    /// Sets a dial and remembers it, in order of time: what is told of late turns none back.
    fn turn(&mut self, station: &str, dial: Dial) {
        self.log_station(station, dial.at_ms, StationMark::Set(dial.to_c));
        let thermostat = self.evening.station(station).and_then(|s| s.thermostat);
        let dials = self.facts.dials.entry(station.to_owned()).or_default();
        let at = dials.partition_point(|d| d.at_ms <= dial.at_ms);
        dials.insert(at, dial);
        match (thermostat, dials.get_mut(at + 1)) {
            // The next one began from where this one had brought it.
            (Some(thermostat), Some(next)) if next.from_c != f64::from(next.to_c) => {
                next.from_c = dial.temperature(&thermostat, next.at_ms);
            }
            (_, Some(_)) => {}
            (_, None) => _ = self.facts.dials_due.remove(station),
        }
    }

    fn log_station(&mut self, station: &str, at_ms: i64, what: StationMark) {
        self.facts.station_log.entry(station.to_owned()).or_default().push((at_ms, what));
    }

    fn move_service(&mut self, mark: &Mark, id: &str, to: Minute, at_ms: i64) {
        let Some(service) = self.party.party.services.iter().position(|s| s.id == id) else {
            self.note(mark, &format!("the party has no service \"{id}\""));
            return;
        };
        let day = crate::kitchen::clock::DAY;
        if !(-day..=4 * day).contains(&to) {
            self.note(mark, "that is days away; the service stays where it was");
            return;
        }
        let before = self.service_minute(service);
        self.facts.service_at.insert(service, to);
        if before != to {
            let title = words::service_title(&self.party, service);
            let text = format!("because {title} moved to {}", self.party.face.label(to));
            self.facts.stale = Some(Why::plain(text));
        }
        self.refresh_risks(at_ms);
    }

    fn change_servings(&mut self, mark: &Mark, dish: usize, servings: u32) {
        if !(1..=500).contains(&servings) {
            self.note(mark, "servings are 1 to 500; they stay as they were");
            return;
        }
        self.facts.servings.insert(dish, servings);
        let evening = Arc::make_mut(&mut self.evening);
        if let Some(sheet) = evening.sheets.get_mut(dish) {
            sheet.servings = servings;
            if let Some(entry) = evening.party.dishes.iter_mut().find(|d| d.id == sheet.id) {
                entry.servings = servings;
            }
        }
        let name = words::dish(self, dish);
        self.facts.stale =
            Some(Why::dish(format!("because you made the {name} for {servings}"), dish));
    }

    fn drop_dish(&mut self, mark: &Mark, dish: usize, at_ms: i64) {
        if self.is_dropped(dish) {
            self.note(mark, "it was dropped already");
            return;
        }
        self.facts.dropped.insert(dish, at_ms);
        self.facts.left.entry(dish).or_default().push((at_ms, None));
        let text = format!("because you dropped the {}", words::dish(self, dish));
        self.facts.stale = Some(Why::dish(text, dish));
        self.refresh_risks(at_ms);
    }

    fn bring_back(&mut self, mark: &Mark, dish: usize, at_ms: i64) {
        if self.facts.dropped.remove(&dish).is_none() {
            self.note(mark, "it was not dropped");
            return;
        }
        let left = self.facts.left.get_mut(&dish).and_then(|l| l.last_mut());
        if let Some((from_ms, to_ms)) = left {
            *to_ms = Some(at_ms.max(*from_ms));
        }
        let text = format!("because you brought the {} back", words::dish(self, dish));
        self.facts.stale = Some(Why::dish(text, dish));
        self.refresh_risks(at_ms);
    }
}
