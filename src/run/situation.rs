//! What the planner needs to know of the evening so far.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::food;
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
        // What was thrown out half made is in nobody's way.
        let there = |(key, progress): &(&StepKey, &Progress)| {
            let thrown_out = food::is_thrown_out_unfinished(self, key.dish, now_ms);
            !(matches!(progress, Progress::Running(_)) && thrown_out)
        };
        self.facts.progress.iter().filter(there).map(of).collect()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::run::fold;
    use crate::run::testbed::{adopted, evening, key, marks, minute, ms, on_time, plan, state};

    #[test]
    fn a_step_is_begun_done_or_left_out_as_it_is_seen_now() {
        let begun = |rows: &[(&str, &str)], at: &str, step: (&str, &str)| {
            let key = key(&evening(), step.0, step.1, 0);
            state(rows).situation(ms(at)).begun.remove(&key)
        };
        let (chill, rows) = (("dip", "chill"), on_time("16:30"));
        let runs = |at: &str| match begun(&rows, at, chill) {
            Some(Begun::Running { start, end, .. }) => Some((start, end)),
            _ => None,
        };
        assert_eq!(runs("17:29:59"), Some((minute("16:30"), minute("17:30"))));
        let over = |start: &str, end: &str, way: (usize, &str), left_out: bool| {
            let (start, end, station) = (minute(start), minute(end), way.1.to_owned());
            Some(Begun::Done { start, end, way: way.0, station, left_out })
        };
        let fridge = over("16:30", "17:30", (0, "fridge"), false);
        assert_eq!(begun(&rows, "17:30", chill), fridge, "it ends by itself");
        let mixed = over("16:20", "16:30", (0, "board"), false);
        assert_eq!(begun(&rows, "17:30", ("dip", "mix")), mixed);
        // Left out it took no time; only what had not begun is left out.
        let skipped = |more: &[(&'static str, &'static str)]| {
            let rows = [more, &[("16:25", "skip dip mix")]].concat();
            begun(&rows, "16:30", ("dip", "mix"))
        };
        assert_eq!(skipped(&[]), over("16:25", "16:25", (0, "board"), true));
        let given_up = over("16:25", "16:25", (0, "board"), false);
        assert_eq!(skipped(&[("16:20", "start dip mix")]), given_up);
    }

    /// Ten minutes of mixing: a begun minute counts, so that nothing is planned into its last seconds.
    #[test]
    fn what_runs_ends_with_the_minute_in_which_it_ends() {
        let mix = key(&evening(), "dip", "mix", 0);
        let end = |start: &'static str, at: &str| {
            let state = state(&[(start, "start dip mix")]);
            let run = state.facts().progress.get(&mix).and_then(Progress::run).cloned();
            state.expected_end(mix, &run.expect("it was begun"), ms(at))
        };
        assert_eq!(end("16:20", "16:21"), minute("16:30"));
        assert_eq!(end("16:20:01", "16:21"), minute("16:31"));
        assert_eq!(end("16:20", "16:30"), minute("16:31"));
    }

    #[test]
    fn ovens_dials_and_pins_are_as_they_are_now() {
        let mut rows = on_time("17:42");
        let hot = state(&rows).situation(ms("17:50"));
        assert_eq!(hot.oven_c.get("oven"), Some(&101), "eight minutes at ten degrees each");
        assert!(hot.unturned.is_empty());
        rows.retain(|r| r.1 != "oven 200");
        let unturned = |at: &str| state(&rows).situation(ms(at)).unturned.contains("oven");
        assert_eq!((unturned("17:41:59"), unturned("17:42")), (false, true));
        let pins = |more: &[(&'static str, &'static str)], at: &str| {
            let rows = [&[("16:01", "pin pie fill 17:30")][..], more].concat();
            state(&rows).situation(ms(at)).pins.into_values().collect::<Vec<_>>()
        };
        assert_eq!(pins(&[], "17:30:59"), [minute("17:30")]);
        assert!(pins(&[], "17:31").is_empty());
        assert!(pins(&[("17:10", "start pie fill")], "17:20").is_empty());
    }

    #[test]
    fn a_finished_dish_waits_where_it_is_or_where_it_was_put() {
        let by = |change: &dyn Fn(&mut crate::plan::Plan), rows: &[(&str, &str)], dish: usize| {
            let mut plan = plan(&evening());
            change(&mut plan);
            let mut all = marks(rows);
            all[0].event = adopted(plan);
            fold(evening(), &all).situation(ms("17:50")).held.remove(&dish)
        };
        let held = |hold: Option<usize>, since: &str, station: &str| {
            Some(Held { hold, since: minute(since), station: Some(station.to_owned()) })
        };
        // The dip stays in the fridge in which it chilled, and nobody marked it.
        let rows = on_time("17:42");
        assert_eq!(by(&|_| (), &rows, 1), held(Some(0), "17:30", "fridge"));
        let to = |class: HoldClass| {
            let place = |plan: &mut crate::plan::Plan| {
                plan.holds[1].class = class;
                "board".clone_into(&mut plan.holds[1].station);
            };
            by(&place, &rows, 1)
        };
        assert_eq!(to(HoldClass::Cold), None, "it has yet to be put there");
        assert_eq!(to(HoldClass::Room), held(Some(0), "17:30", "board"));
        // Its recipe has one hold: a plan that speaks of a second one says where it is and no more.
        let second = |plan: &mut crate::plan::Plan| plan.holds[1].hold = 1;
        assert_eq!(by(&second, &rows, 1), held(None, "17:30", "fridge"));
        // Put into its place before it was finished, the soup waits from when it was.
        let mut early = rows.clone();
        early.push(("17:00", "hold soup 0 hob"));
        early.sort_by_key(|r| ms(r.0));
        assert_eq!(by(&|_| (), &early, 0), held(Some(0), "17:20", "hob"));
        for gone in ["drop soup", "serve soup", "clear soup put_away"] {
            assert_eq!(by(&|_| (), &[&rows[..], &[("17:45", gone)]].concat(), 0), None, "{gone}");
        }
    }
}
