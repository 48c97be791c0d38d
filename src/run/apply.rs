//! What each event does to the facts.

use std::sync::Arc;

use super::event::{Answer, Clearing, Event, Mark, StepId};
use super::oven::Dial;
use super::reshuffle::Why;
use super::state::{MINUTE_MS, Progress, Reading, Run, State, Stay, Whereabouts};
use super::words;
use crate::kitchen::{Minute, StationKind};
use crate::plan::StepKey;

/// Longest extension that is believed, minutes.
pub const MORE_AT_MOST: u32 = 24 * 60;

impl State {
    pub(super) fn take_event(&mut self, mark: &Mark, at_ms: i64) {
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
            Event::StationDown { station } => self.station(mark, station, Some(at_ms)),
            Event::StationUp { station } => self.station(mark, station, None),
            Event::OvenSet { station, celsius } => self.dial(mark, station, *celsius, at_ms),
            Event::ServiceMoved { service, to } => self.move_service(mark, service, *to, at_ms),
            Event::ServingsChanged { dish, servings } => {
                self.with_dish(mark, dish, |s, dish| s.change_servings(mark, dish, *servings));
            }
            Event::DishDropped { dish } => {
                self.with_dish(mark, dish, |s, dish| s.drop_dish(mark, dish, at_ms));
            }
            Event::DishBack { dish } => {
                self.with_dish(mark, dish, |s, dish| s.bring_back(mark, dish, at_ms));
            }
            Event::AlarmAcknowledged { alarm } => {
                self.facts.handled.entry(alarm.clone()).or_default().seen_ms = Some(at_ms);
            }
            Event::AlarmPutOff { alarm, until_ms } => {
                let until = self.sane_ms(*until_ms);
                self.facts.handled.entry(alarm.clone()).or_default().put_off = Some((at_ms, until));
            }
            Event::AlarmAnswered { alarm, how } => {
                let handled = self.facts.handled.entry(alarm.clone()).or_default();
                handled.answered = Some((at_ms, *how));
                self.answer(alarm, *how, at_ms);
            }
            Event::PlanAdopted { plan, moved, why } => self.adopt(plan, moved, why, at_ms),
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
        then(self, key);
    }

    fn with_dish(&mut self, mark: &Mark, id: &str, then: impl FnOnce(&mut Self, usize)) {
        let Some(dish) = self.party.dish_index(id) else {
            self.note(mark, &format!("the party has no dish \"{id}\""));
            return;
        };
        then(self, dish);
    }

    /// A run as the event says, with what it gets wrong put right and noted.
    fn begin(
        &mut self,
        mark: &Mark,
        key: StepKey,
        way: usize,
        station: &str,
        cook: Option<&str>,
        start_ms: i64,
    ) -> Run {
        let mut run = self.likely_run(key, start_ms);
        let ways = self.step(key).map_or(0, |s| s.ways.len());
        if way < ways {
            run.way = way;
        } else {
            self.note(mark, "the recipe has no such way; the planned one counts");
        }
        if self.party.station(station).is_some() {
            run.station = station.to_owned();
        } else {
            self.note(mark, &format!("the kitchen has no station \"{station}\""));
        }
        match cook {
            Some(id) if self.party.party.cooks.iter().any(|c| c.id == id) => {
                run.cook = Some(id.to_owned());
            }
            Some(id) => self.note(mark, &format!("nobody called \"{id}\" cooks tonight")),
            None => {}
        }
        run.setting_c = self.setting_of(key, &run);
        run
    }

    /// A run as the plan has it, or else as the recipe's best way has it.
    pub(super) fn likely_run(&self, key: StepKey, start_ms: i64) -> Run {
        let way = self.way_of(key);
        let block = self.block(key).filter(|b| b.way == way);
        let station = block.map(|b| b.station.clone()).or_else(|| {
            let kind = self.step(key)?.ways.get(way)?.station;
            let mut stations = self.evening.kitchen.stations.iter();
            stations.find(|s| s.kind == kind).map(|s| s.id.clone())
        });
        let cook = block.and_then(|b| b.cook.clone());
        let station = station.unwrap_or_default();
        let mut run = Run { start_ms, way, station, cook, more_until_ms: None, setting_c: None };
        run.setting_c = self.setting_of(key, &run);
        run
    }

    /// The setting that a run's oven has: the planned one, else what the dial
    /// says if the way accepts it, else the recipe's own.
    fn setting_of(&self, key: StepKey, run: &Run) -> Option<i32> {
        self.evening.station(&run.station)?.thermostat.as_ref()?;
        let way = self.step(key)?.ways.get(run.way)?;
        let at_c = way.at_c?;
        let give = way.give_c.max(0);
        let accepted = |c: &i32| (*c - at_c).abs() <= give;
        let block = self.block(key).filter(|b| b.station == run.station && b.way == run.way);
        let planned = block.and_then(|b| b.setting_c).filter(accepted);
        let dialled = self.setting(&run.station).filter(accepted);
        dialled.or(planned).or(Some(at_c))
    }

    fn start(&mut self, mark: &Mark, key: StepKey, run: Run) {
        match self.facts.progress.get(&key) {
            Some(Progress::Running(_)) => {
                self.note(mark, "it runs already; the first mark counts");
                return;
            }
            Some(Progress::Done(..)) => {
                self.note(mark, "it is done already; undo that mark to start it again");
                return;
            }
            Some(Progress::Skipped(..)) => {
                self.note(mark, "it was left out, and is done after all")
            }
            None => {}
        }
        self.finish_earlier(mark, key, run.start_ms);
        // Food in the oven means that the oven is hot, marked or not.
        if let Some(to_c) = run.setting_c
            && self.setting(&run.station) != Some(to_c)
        {
            let dial = Dial { at_ms: run.start_ms, from_c: f64::from(to_c), to_c };
            self.facts.dials_due.remove(&run.station);
            self.facts.dials.insert(run.station.clone(), dial);
        }
        self.facts.due_since.remove(&key);
        self.facts.progress.insert(key, Progress::Running(run));
    }

    fn finish(&mut self, mark: &Mark, key: StepKey, end_ms: i64) {
        let run = match self.facts.progress.get(&key) {
            Some(Progress::Running(run)) => run.clone(),
            Some(Progress::Done(..)) => {
                self.note(mark, "it is done already; the first mark counts");
                return;
            }
            Some(Progress::Skipped(..)) | None => {
                self.note(mark, "its start was not marked; it is taken to have been on time");
                self.run_before(key, end_ms)
            }
        };
        let end_ms = if end_ms < run.start_ms {
            self.note(mark, "it ends before it starts; it is taken to end as it starts");
            run.start_ms
        } else {
            end_ms
        };
        self.finish_earlier(mark, key, run.start_ms);
        self.facts.due_since.remove(&key);
        self.facts.progress.insert(key, Progress::Done(run, end_ms));
        self.stay_where_it_is(key, end_ms);
    }

    /// A dish that is planned to wait at the very station where it was finished
    /// waits there from then on: nobody moves it, so nobody marks it.
    fn stay_where_it_is(&mut self, key: StepKey, at_ms: i64) {
        let last = self.sheet(key.dish).is_some_and(|s| s.last_step() == key.step);
        if !last || self.facts.stays.contains_key(&key.dish) {
            return;
        }
        let Some(block) = self.stays_put(key.dish) else { return };
        let Some(place) = self.evening.station(&block.station).map(|s| s.kind) else { return };
        let holds = self.sheet(key.dish).map_or(0, |s| s.recipe.holds.len());
        let hold = Some(block.hold).filter(|h| *h < holds);
        let at = Whereabouts::Held { hold, place, station: Some(block.station.clone()) };
        self.facts.stays.insert(key.dish, vec![Stay { at_ms, at }]);
    }

    /// What a begun step follows must be over, whatever was marked.
    fn finish_earlier(&mut self, mark: &Mark, key: StepKey, at_ms: i64) {
        let mut open: Vec<StepKey> = (0..key.load).map(|load| StepKey { load, ..key }).collect();
        for step in self.earlier_steps(key.dish, key.step) {
            let loads = self.loads(key.dish, step);
            open.extend((0..loads).map(|load| StepKey { dish: key.dish, step, load }));
        }
        for key in open {
            self.close(mark, key, at_ms);
        }
    }

    /// Takes a load to be done by `at_ms`, if it is not over.
    fn close(&mut self, mark: &Mark, key: StepKey, at_ms: i64) {
        let run = match self.facts.progress.get(&key) {
            Some(Progress::Running(run)) => run.clone(),
            Some(_) => return,
            None => self.run_before(key, at_ms),
        };
        let end_ms = self.over_ms(key, at_ms).unwrap_or_else(|| {
            let label = self.step(key).map(|s| s.label.clone()).unwrap_or_default();
            self.note(mark, &format!("\"{label}\" was not marked done; it is taken to be"));
            at_ms.max(run.start_ms)
        });
        let start_ms = run.start_ms;
        self.facts.due_since.remove(&key);
        self.facts.progress.insert(key, Progress::Done(run, end_ms));
        self.finish_earlier(mark, key, start_ms);
    }

    /// The run of a load whose start was not marked: of likely length, up to `end_ms`.
    fn run_before(&self, key: StepKey, end_ms: i64) -> Run {
        let run = self.likely_run(key, end_ms);
        let likely = self.sheet(key.dish).map_or(1, |s| s.minutes(key.step, run.way));
        Run { start_ms: end_ms - i64::from(likely) * MINUTE_MS, ..run }
    }

    fn skip(&mut self, key: StepKey, at_ms: i64) {
        let run = match self.facts.progress.get(&key) {
            Some(Progress::Done(..) | Progress::Skipped(..)) => return,
            Some(Progress::Running(run)) => Some(run.clone()),
            None => None,
        };
        self.facts.due_since.remove(&key);
        self.facts.progress.insert(key, Progress::Skipped(run, at_ms));
        let text = format!("because {} is left out", words::step_of(self, key));
        self.facts.stale = Some(Why::dish(text, key.dish));
    }

    fn extend(&mut self, mark: &Mark, key: StepKey, at_ms: i64, minutes: u32) {
        if minutes > MORE_AT_MOST {
            self.note(mark, "more than a day more; it is taken to be a day");
        }
        let more = i64::from(minutes.min(MORE_AT_MOST)) * MINUTE_MS;
        match self.facts.progress.get_mut(&key) {
            Some(Progress::Running(run)) => run.more_until_ms = Some(at_ms + more),
            _ => self.note(mark, "more minutes for something that does not run"),
        }
    }

    fn pin(&mut self, mark: &Mark, key: StepKey, at: Minute) {
        if self.facts.progress.contains_key(&key) {
            self.note(mark, "pinned though it has begun");
            return;
        }
        self.facts.pins.insert(key, at);
        let text = format!("because you pinned {}", words::step_of(self, key));
        self.facts.stale = Some(Why::dish(text, key.dish));
    }

    fn unpin(&mut self, mark: &Mark, key: StepKey) {
        if self.facts.pins.remove(&key).is_none() {
            self.note(mark, "there is no pin to take out");
            return;
        }
        let text = format!("because you unpinned {}", words::step_of(self, key));
        self.facts.stale = Some(Why::dish(text, key.dish));
    }

    fn measure(&mut self, mark: &Mark, dish: usize, at_ms: i64, celsius: f64) {
        if !celsius.is_finite() || !(-60.0..=400.0).contains(&celsius) {
            self.note(mark, &format!("{celsius} °C cannot be; the reading does not count"));
            return;
        }
        let readings = self.facts.taken.entry(dish).or_default();
        let after = readings.partition_point(|r| r.at_ms <= at_ms);
        readings.insert(after, Reading { at_ms, celsius });
    }

    fn put(&mut self, mark: &Mark, dish: usize, at: Whereabouts, at_ms: i64) {
        if self.is_dropped(dish) {
            self.note(mark, "marked for a dish that was dropped");
        }
        if self.last_stay(dish).is_some_and(|s| s.at == at) {
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

    fn known_place(&mut self, mark: &Mark, dish: usize, at: Whereabouts) -> Whereabouts {
        let Whereabouts::Held { hold, place, station } = at else { return at };
        let holds = self.sheet(dish).map(|s| s.recipe.holds.as_slice()).unwrap_or_default();
        let named = hold.filter(|h| holds.get(*h).is_some_and(|h| h.place == place));
        if hold.is_some() && named.is_none() {
            self.note(mark, "the recipe has no such hold; only the place counts");
        }
        let known = station.filter(|id| {
            self.party.station(id).is_some_and(|s: &crate::kitchen::Station| s.kind == place)
        });
        Whereabouts::Held { hold: named, place, station: known }
    }

    /// A dish on the table is finished, whatever was marked.
    fn close_dish(&mut self, mark: &Mark, dish: usize, at_ms: i64) {
        let Some(step) = self.sheet(dish).map(crate::kitchen::Sheet::last_step) else { return };
        for load in 0..self.loads(dish, step) {
            self.close(mark, StepKey { dish, step, load }, at_ms);
        }
        // A last step that was marked done may still have open ones before it.
        let key = StepKey { dish, step, load: 0 };
        self.finish_earlier(mark, key, at_ms);
    }

    /// Food that was thrown out after its limit is gone.
    fn answer(&mut self, alarm: &str, how: Answer, at_ms: i64) {
        let mut parts = alarm.split(':');
        let about_limit = parts.next() == Some("unsafe_past");
        let dish = parts.next().and_then(|id| self.party.dish_index(id));
        if let (true, Answer::Discarded, Some(dish)) = (about_limit, how, dish)
            && !self.is_gone(dish)
        {
            let at = Whereabouts::Gone(Clearing::ThrownOut);
            self.facts.stays.entry(dish).or_default().push(Stay { at_ms, at });
        }
    }

    fn station(&mut self, mark: &Mark, id: &str, down_ms: Option<i64>) {
        if self.party.station(id).is_none() {
            self.note(mark, &format!("the kitchen has no station \"{id}\""));
            return;
        }
        let name = words::the_station(&self.party, id);
        let changed = match down_ms {
            Some(at_ms) if !self.facts.down.contains_key(id) => {
                self.facts.down.insert(id.to_owned(), at_ms);
                self.facts.dials_due.remove(id);
                Some(format!("because {name} is out of use"))
            }
            None if self.facts.down.remove(id).is_some() => {
                Some(format!("because {name} works again"))
            }
            _ => None,
        };
        match changed {
            Some(text) => self.facts.stale = Some(Why::plain(text)),
            None => self.note(mark, "the station was so already"),
        }
    }

    fn dial(&mut self, mark: &Mark, id: &str, celsius: i32, at_ms: i64) {
        let Some(from_c) = self.temperature(id, at_ms) else {
            self.note(mark, &format!("\"{id}\" has no dial for degrees"));
            return;
        };
        if !(-50..=600).contains(&celsius) {
            self.note(mark, &format!("{celsius} °C cannot be; the dial stays as it was"));
            return;
        }
        self.facts.dials_due.remove(id);
        self.facts.dials.insert(id.to_owned(), Dial { at_ms, from_c, to_c: celsius });
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
        self.facts.stale = Some(Why::dish(format!("because {name} is made for {servings}"), dish));
    }

    fn drop_dish(&mut self, mark: &Mark, dish: usize, at_ms: i64) {
        if self.is_dropped(dish) {
            self.note(mark, "it was dropped already");
            return;
        }
        self.facts.dropped.insert(dish, at_ms);
        let text = format!("because {} is dropped", words::dish(self, dish));
        self.facts.stale = Some(Why::dish(text, dish));
        self.refresh_risks(at_ms);
    }

    fn bring_back(&mut self, mark: &Mark, dish: usize, at_ms: i64) {
        if self.facts.dropped.remove(&dish).is_none() {
            self.note(mark, "it was not dropped");
            return;
        }
        let text = format!("because {} is made after all", words::dish(self, dish));
        self.facts.stale = Some(Why::dish(text, dish));
        self.refresh_risks(at_ms);
    }
}

/// Is this kind of place one into which food is put (rather than on which it is made)?
#[must_use]
pub(super) fn is_inside(kind: StationKind) -> bool {
    !matches!(kind, StationKind::Counter | StationKind::Stovetop)
}
