//! What is done to the loads of steps: begun, ended, left out, given more time,
//! pinned. A mark that says less than must have happened is completed.

use super::MORE_AT_MOST;
use crate::kitchen::Minute;
use crate::plan::StepKey;
use crate::run::event::Mark;
use crate::run::oven::Dial;
use crate::run::reshuffle::Why;
use crate::run::state::{MINUTE_MS, Progress, Run, State, Stay, Whereabouts};
use crate::run::words;

impl State {
    /// A run as the event says, with what it gets wrong put right and noted.
    pub(super) fn begin(
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
        if self.evening.station(station).is_some() {
            run.station = station.to_owned();
        } else {
            self.note(mark, &format!("the kitchen has no station \"{station}\""));
        }
        match cook {
            Some(id) if self.evening.party.cooks.iter().any(|c| c.id == id) => {
                run.cook = Some(id.to_owned());
            }
            Some(id) => self.note(mark, &format!("nobody called \"{id}\" cooks tonight")),
            None => {}
        }
        run.setting_c = self.setting_of(key, &run);
        run.told_ms = self.sane_ms(mark.at_ms).max(run.start_ms);
        run
    }

    /// A run as the plan has it, or else as the recipe's best way has it.
    pub(in crate::run) fn likely_run(&self, key: StepKey, start_ms: i64) -> Run {
        let way = self.way_of(key);
        let block = self.block(key).filter(|b| b.way == way);
        let station = block.map(|b| b.station.clone()).or_else(|| {
            let kind = self.step(key)?.ways.get(way)?.station;
            let mut stations = self.evening.kitchen.stations.iter();
            stations.find(|s| s.kind == kind).map(|s| s.id.clone())
        });
        let cook = block.and_then(|b| b.cook.clone());
        let station = station.unwrap_or_default();
        let (told_ms, more_until_ms, setting_c) = (start_ms, None, None);
        let mut run = Run { start_ms, told_ms, way, station, cook, more_until_ms, setting_c };
        run.setting_c = self.setting_of(key, &run);
        run
    }

    /// The setting that a run's oven has: what the dial says if the way accepts
    /// it, else the planned one, else the recipe's own.
    fn setting_of(&self, key: StepKey, run: &Run) -> Option<i32> {
        self.evening.station(&run.station)?.thermostat.as_ref()?;
        let way = self.step(key)?.ways.get(run.way)?;
        let at_c = way.at_c?;
        let give = way.give_c.max(0);
        let accepted = |c: &i32| (*c - at_c).abs() <= give;
        let block = self.block(key).filter(|b| b.station == run.station && b.way == run.way);
        let planned = block.and_then(|b| b.setting_c).filter(accepted);
        let dialled = self.setting_at(&run.station, run.start_ms).filter(accepted);
        dialled.or(planned).or(Some(at_c))
    }

    pub(super) fn start(&mut self, mark: &Mark, key: StepKey, run: Run) {
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
        self.finish_before(mark, key, run.start_ms, Some(&run.station));
        // Food in the oven means that the oven is hot, marked or not.
        if let Some(to_c) = run.setting_c
            && self.setting_at(&run.station, run.start_ms) != Some(to_c)
        {
            let dial = Dial { at_ms: run.start_ms, from_c: f64::from(to_c), to_c };
            self.turn(&run.station, dial);
        }
        self.facts.due_since.remove(&key);
        self.facts.progress.insert(key, Progress::Running(run));
    }

    pub(super) fn finish(&mut self, mark: &Mark, key: StepKey, end_ms: i64) {
        let (run, begun) = match self.facts.progress.get(&key) {
            Some(Progress::Running(run)) => (run.clone(), true),
            Some(Progress::Done(..)) => {
                self.note(mark, "it is done already; the first mark counts");
                return;
            }
            Some(Progress::Skipped(..)) | None => {
                self.note(mark, "its start was not marked; it is taken to have been on time");
                (self.run_before(mark, key, end_ms), false)
            }
        };
        let end_ms = if end_ms < run.start_ms {
            self.note(mark, "it ends before it starts; it is taken to end as it starts");
            run.start_ms
        } else {
            end_ms
        };
        self.finish_before(mark, key, run.start_ms, begun.then_some(&run.station));
        self.facts.due_since.remove(&key);
        self.facts.progress.insert(key, Progress::Done(run, end_ms));
        self.stay_where_it_is(key, end_ms);
    }

    /// A dish that is planned to wait where it was finished, or out at room
    /// temperature, waits there from then on: nobody is asked to mark it.
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

    /// What a begun load follows must be over, whatever was marked; but for loads of its own step that go on beside
    /// it, if it was begun at a station.
    fn finish_before(&mut self, mark: &Mark, key: StepKey, at_ms: i64, station: Option<&String>) {
        for load in (0..key.load).map(|load| StepKey { load, ..key }) {
            if !station.is_some_and(|at| self.goes_on_beside(load, at, at_ms)) {
                self.close(mark, load, at_ms);
            }
        }
        self.finish_earlier(mark, key, at_ms);
    }

    /// The steps that a begun one follows must be over.
    pub(super) fn finish_earlier(&mut self, mark: &Mark, key: StepKey, at_ms: i64) {
        for step in self.earlier_steps(key.dish, key.step) {
            for load in 0..self.loads(key.dish, step) {
                self.close(mark, StepKey { dish: key.dish, step, load }, at_ms);
            }
        }
    }

    /// Takes a load to be done by `at_ms`, if it is not over.
    pub(super) fn close(&mut self, mark: &Mark, key: StepKey, at_ms: i64) {
        let run = match self.facts.progress.get(&key) {
            Some(Progress::Running(run)) => run.clone(),
            Some(_) => return,
            None => self.run_before(mark, key, at_ms),
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
    fn run_before(&self, mark: &Mark, key: StepKey, end_ms: i64) -> Run {
        let run = self.likely_run(key, end_ms);
        let likely = self.sheet(key.dish).map_or(1, |s| s.minutes(key.step, run.way));
        let start_ms = end_ms - i64::from(likely) * MINUTE_MS;
        Run { start_ms, told_ms: self.sane_ms(mark.at_ms).max(start_ms), ..run }
    }

    pub(super) fn skip(&mut self, key: StepKey, at_ms: i64) {
        let run = match self.facts.progress.get(&key) {
            Some(Progress::Done(..) | Progress::Skipped(..)) => return,
            Some(Progress::Running(run)) => Some(run.clone()),
            None => None,
        };
        self.facts.due_since.remove(&key);
        self.facts.progress.insert(key, Progress::Skipped(run, at_ms));
        let text = format!("because you left out {}", words::step_of(self, key));
        self.facts.stale = Some(Why::dish(text, key.dish));
    }

    pub(super) fn extend(&mut self, mark: &Mark, key: StepKey, at_ms: i64, minutes: u32) {
        if minutes > MORE_AT_MOST {
            self.note(mark, "more than a day more; it is taken to be a day");
        }
        if self.went_on(key, at_ms) {
            self.note(mark, "more minutes for what had ended and was put elsewhere since");
            return;
        }
        let more = i64::from(minutes.min(MORE_AT_MOST)) * MINUTE_MS;
        match self.facts.progress.get_mut(&key) {
            Some(Progress::Running(run)) => run.more_until_ms = Some(at_ms + more),
            _ => self.note(mark, "more minutes for something that does not run"),
        }
    }

    pub(super) fn pin(&mut self, mark: &Mark, key: StepKey, at: Minute) {
        if self.facts.progress.contains_key(&key) {
            self.note(mark, "pinned though it has begun");
            return;
        }
        self.facts.pins.insert(key, at);
        let text = format!("because you pinned {}", words::step_of(self, key));
        self.facts.stale = Some(Why::dish(text, key.dish));
    }

    pub(super) fn unpin(&mut self, mark: &Mark, key: StepKey) {
        if self.facts.pins.remove(&key).is_none() {
            self.note(mark, "there is no pin to take out");
            return;
        }
        let text = format!("because you unpinned {}", words::step_of(self, key));
        self.facts.stale = Some(Why::dish(text, key.dish));
    }
}
