//! Whole evenings with everything that goes wrong in them, minute by minute:
//! whatever has happened there is a plan, it has passed its check, and the
//! same evening gives the same plan.
//!
//! `EVENINGS=200 cargo test --test plan_evenings` plays more of them,
//! `EVENING=17` one alone.

use std::sync::Arc;

use potwatch::kitchen::{Clockface, Evening, Minute, StationKind};
use potwatch::plan::planner::{Budget, NoPlan, plan_ahead, reshuffle};
use potwatch::plan::{Begun, Held, Plan, Situation, StepKey, change, clash};
use potwatch::store::load::load_builtin;

/// A small generator (xorshift64*), so that an evening can be played again by its number.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 33) % sides
    }

    fn percent(&mut self, chance: u64) -> bool {
        self.roll(100) < chance
    }

    fn minutes(&mut self, from: Minute, to: Minute) -> Minute {
        from + self.roll((to - from) as u64) as Minute
    }
}

fn demo() -> Evening {
    let day = chrono::NaiveDate::from_ymd_opt(2026, 10, 24).expect("a day");
    load_builtin(Clockface::fixed(day, 0)).expect("the demo")
}

struct Play<'a> {
    evening: &'a Evening,
    dice: Dice,
    situation: Situation,
    plan: Plan,
}

impl Play<'_> {
    /// What ends and begins until `now`, more or less as planned.
    fn go_on(&mut self, now: Minute) {
        let before = self.situation.now.unwrap_or(now);
        for begun in self.situation.begun.values_mut() {
            let Begun::Running { start, end, way, station, .. } = begun else { continue };
            if *end <= now && self.dice.percent(75) {
                let (start, end, way, station) = (*start, *end, *way, station.clone());
                *begun = Begun::Done { start, end, way, station, left_out: false };
            } else {
                *end = (*end).max(now + self.dice.minutes(0, 9));
            }
        }
        for block in self.plan.blocks.clone() {
            if block.begun || block.start >= now || self.situation.begun.contains_key(&block.key) {
                continue;
            }
            if !self.dice.percent(85) || self.situation.down.contains(&block.station) {
                continue; // Forgotten, or not possible.
            }
            let start = block.start.max(before);
            let end = start + (block.end - block.start) + self.dice.minutes(-2, 6);
            let end = end.max(start + 1);
            let (way, station) = (block.way, block.station.clone());
            let begun = if end <= now {
                Begun::Done { start, end, way, station, left_out: false }
            } else if self.dice.percent(3) {
                Begun::Done { start, end: start, way, station, left_out: true }
            } else {
                let (cook, setting_c) = (block.cook.clone(), block.setting_c);
                Begun::Running { start, end, way, station, cook, setting_c }
            };
            self.situation.begun.insert(block.key, begun);
        }
        self.situation.now = Some(now);
        self.ovens(now);
        self.serve(now);
    }

    fn ovens(&mut self, now: Minute) {
        for set in self.plan.settings.iter().filter(|s| s.from <= now) {
            let gone = (now - set.from).min(set.to - set.from);
            let c = set.from_c + (set.to_c - set.from_c) * gone / (set.to - set.from).max(1);
            self.situation.oven_c.insert(set.station.clone(), c);
        }
    }

    /// Finished dishes are put to wait and taken to the table, now and then.
    fn serve(&mut self, now: Minute) {
        for (d, sheet) in self.evening.sheets.iter().enumerate() {
            let last = sheet.last_step();
            let mut loads = self
                .plan
                .blocks
                .iter()
                .filter(|b| (b.key.dish, b.key.step) == (d, last))
                .peekable();
            let done =
                |key: &StepKey| matches!(self.situation.begun.get(key), Some(Begun::Done { .. }));
            let ready = loads.peek().is_some() && loads.all(|b| done(&b.key));
            if !ready || self.situation.served.contains(&d) {
                continue;
            }
            let due = self.plan.services.get(sheet.service).map_or(now, |l| l.due);
            if due <= now && self.dice.percent(80) {
                self.situation.served.insert(d);
                self.situation.held.remove(&d);
            } else if let Some(hold) = self.plan.holds.iter().find(|h| h.dish == d)
                && self.dice.percent(50)
            {
                let named = self.dice.percent(80);
                let held = Held {
                    hold: Some(hold.hold).filter(|&h| named && h < sheet.recipe.holds.len()),
                    since: hold.from,
                    station: Some(hold.station.clone()).filter(|s| !s.is_empty()),
                };
                self.situation.held.insert(d, held);
            }
        }
    }

    /// What nobody planned.
    fn trouble(&mut self, now: Minute) {
        if self.dice.percent(4) {
            let stations = &self.evening.kitchen.stations;
            let station = &stations[self.dice.roll(stations.len() as u64) as usize];
            if station.kind != StationKind::Counter {
                self.situation.down.insert(station.id.clone());
            }
        }
        if self.dice.percent(30) {
            self.situation.down.pop_first();
        }
        if self.dice.percent(2) {
            let dish = self.dice.roll(self.evening.sheets.len() as u64) as usize;
            self.situation.dropped.insert(dish);
        }
        if self.dice.percent(3) {
            let service = self.dice.roll(2) as usize;
            let due = self.plan.services[service].due;
            if due > now {
                let moved = due + self.dice.minutes(-10, 40);
                self.situation.service_at.insert(service, moved);
            }
        }
        if self.dice.percent(5) && !self.plan.blocks.is_empty() {
            let block = self.dice.roll(self.plan.blocks.len() as u64) as usize;
            let key = self.plan.blocks[block].key;
            if !self.situation.begun.contains_key(&key) {
                let minute = self.plan.blocks[block].start + self.dice.minutes(-20, 40);
                self.situation.pins.insert(key, minute);
            }
        }
    }
}

/// Plays an evening to its end, asking for a plan every few minutes.
fn play(evening: &Evening, number: u64) -> Result<(), String> {
    let budget = Budget { seed: number, rounds: 8, stop: &|| false };
    let plan = plan_ahead(evening, &budget, &mut |_| ()).expect("a plan");
    let dice = Dice(0x9E37_79B9_7F4A_7C15 ^ (number + 1));
    let mut play = Play { evening, dice, situation: Situation::default(), plan };
    let mut now = evening.face.minute_of(potwatch::kitchen::TimeOfDay(13 * 60));
    while now < 22 * 60 {
        now += play.dice.minutes(2, 14);
        play.go_on(now);
        play.trouble(now);
        play.situation.previous = Some(Arc::new(play.plan.clone()));
        match reshuffle(evening, &play.situation, &budget, &mut |_| ()) {
            Ok(next) => {
                let moved = change::describe(evening, &play.plan, &next, "");
                assert!(moved.moved.chars().count() <= change::MOST_LETTERS, "{}", moved.moved);
                play.plan = next;
            }
            // Without its station a step has no way at all: that is said, and it comes back.
            Err(NoPlan::NoWay(_)) if !play.situation.down.is_empty() => {}
            Err(no_plan) => {
                let words = clash::words(evening, &no_plan);
                return Err(format!("evening {number} at {}: {words}", evening.face.label(now)));
            }
        }
    }
    Ok(())
}

#[test]
fn whatever_happens_there_is_a_checked_plan() {
    let evening = demo();
    let evenings = std::env::var("EVENINGS").ok().and_then(|n| n.parse().ok()).unwrap_or(12);
    let one = std::env::var("EVENING").ok().and_then(|n| n.parse().ok());
    let numbers = one.map_or(0..evenings, |n: u64| n..n + 1);
    let failed: Vec<String> = numbers.filter_map(|n| play(&evening, n).err()).collect();
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}
