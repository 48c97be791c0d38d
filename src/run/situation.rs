//! What the planner needs to know of the evening so far.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::state::{MINUTE_MS, Progress, State, Whereabouts};
use crate::kitchen::{HoldClass, Minute};
use crate::plan::{Begun, Held, Situation, StepKey};

impl State {
    /// The evening as the planner sees it at `now_ms`.
    #[must_use]
    pub fn situation(&self, now_ms: i64) -> Situation {
        let now = self.minute(now_ms);
        let dishes = 0..self.evening.sheets.len();
        Situation {
            planned: BTreeSet::new(),
            now: Some(now),
            begun: self.begun(now_ms),
            down: self.facts.down.keys().cloned().collect(),
            oven_c: self.oven_temperatures(now_ms),
            unturned: self.unturned(now_ms),
            service_at: self.facts.service_at.clone(),
            dropped: self.facts.dropped.keys().copied().collect(),
            served: dishes.clone().filter(|d| self.is_out_of_hand(*d)).collect::<BTreeSet<_>>(),
            pins: self.open_pins(now),
            ways: self.facts.ways.clone(),
            places: self.facts.places.clone(),
            held: dishes.filter_map(|d| Some((d, self.held(d, now_ms)?))).collect(),
            previous: self.plan().map(Arc::clone),
        }
    }

    /// The minute in which a run is expected to end, rounded up; at least the
    /// minute after the present one.
    #[must_use]
    pub fn expected_end(&self, key: StepKey, run: &super::state::Run, now_ms: i64) -> Minute {
        let end_ms = self.expected_end_ms(key, run, now_ms);
        let end = self.minute(end_ms.saturating_add(MINUTE_MS - 1));
        end.max(self.minute(now_ms).saturating_add(1))
    }

    fn begun(&self, now_ms: i64) -> BTreeMap<StepKey, Begun> {
        let of = |(key, progress): (&StepKey, &Progress)| {
            let begun = match progress {
                Progress::Running(run) if self.over_ms(*key, now_ms).is_some() => Begun::Done {
                    start: self.minute(run.start_ms),
                    end: self.minute(self.nominal_end_ms(*key, run)),
                    way: run.way,
                    station: run.station.clone(),
                    left_out: false,
                },
                Progress::Running(run) => Begun::Running {
                    start: self.minute(run.start_ms),
                    end: self.expected_end(*key, run, now_ms),
                    way: run.way,
                    station: run.station.clone(),
                    cook: run.cook.clone(),
                    setting_c: run.setting_c,
                },
                Progress::Done(run, end_ms) => Begun::Done {
                    start: self.minute(run.start_ms),
                    end: self.minute(*end_ms),
                    way: run.way,
                    station: run.station.clone(),
                    left_out: false,
                },
                Progress::Skipped(run, at_ms) => {
                    // What was begun and then given up was begun there, in that way.
                    let left_out = run.is_none();
                    let run = run.clone().unwrap_or_else(|| self.likely_run(*key, *at_ms));
                    let at = self.minute(*at_ms);
                    Begun::Done { start: at, end: at, way: run.way, station: run.station, left_out }
                }
            };
            (*key, begun)
        };
        self.facts.progress.iter().map(of).collect()
    }

    fn oven_temperatures(&self, now_ms: i64) -> BTreeMap<String, i32> {
        let stations = self.evening.kitchen.stations.iter();
        stations
            .filter_map(|s| Some((s.id.clone(), self.temperature(&s.id, now_ms)?.round() as i32)))
            .collect()
    }

    fn unturned(&self, now_ms: i64) -> BTreeSet<String> {
        let dials = self.evening.kitchen.stations.iter().filter(|s| s.thermostat.is_some());
        let open = dials.filter(|s| self.dial_due(&s.id, now_ms).is_some());
        open.map(|s| s.id.clone()).collect()
    }

    /// Pins of steps that have not begun; one whose minute has passed holds no more.
    pub(super) fn open_pins(&self, now: Minute) -> BTreeMap<StepKey, Minute> {
        let pins = self.facts.pins.iter().map(|(key, at)| (*key, *at));
        pins.filter(|(key, at)| *at >= now && !self.facts.progress.contains_key(key)).collect()
    }

    /// Served, or gone without.
    #[must_use]
    pub fn is_out_of_hand(&self, dish: usize) -> bool {
        self.served_ms(dish).is_some() || self.is_gone(dish)
    }

    /// Where a finished dish waits, if that is known.
    #[must_use]
    pub fn held(&self, dish: usize, now_ms: i64) -> Option<Held> {
        if self.is_out_of_hand(dish) || self.is_dropped(dish) {
            return None;
        }
        let out_ms = self.out_ms(dish, now_ms)?;
        if let Some(stay) = self.last_stay(dish)
            && let Whereabouts::Held { hold, station, .. } = &stay.at
        {
            let since = self.minute(stay.at_ms.max(out_ms));
            return Some(Held { hold: *hold, since, station: station.clone() });
        }
        let block = self.stays_put(dish)?;
        let holds = self.sheet(dish)?.recipe.holds.len();
        Some(Held {
            hold: Some(block.hold).filter(|h| *h < holds),
            since: self.minute(out_ms),
            station: Some(block.station.clone()),
        })
    }

    /// The planned hold of a dish, if it is at the very station where the dish
    /// was finished, or out at room temperature: then nobody moves it, or is
    /// asked to mark that it was set down.
    #[must_use]
    pub(super) fn stays_put(&self, dish: usize) -> Option<&crate::plan::HoldBlock> {
        let block = self.hold_block(dish)?;
        let step = self.sheet(dish)?.last_step();
        let key = StepKey { dish, step, load: 0 };
        let run = self.facts.progress.get(&key)?.run()?;
        (run.station == block.station || block.class == HoldClass::Room).then_some(block)
    }
}
