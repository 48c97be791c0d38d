//! What each thermostat is set to over time. A setting is kept from its first
//! use to its last; the way there is as late as it can be, unless the dial has
//! been turned already.

use super::Compose;
use crate::kitchen::Minute;
use crate::order::InOrder;
use crate::plan::blocks::{SettingBlock, SettingKind};
use crate::plan::problem::Oven;

/// A setting that is wanted from its first use to its last.
struct Wanted {
    from: Minute,
    to: Minute,
    c: i32,
}

impl Compose<'_> {
    pub(super) fn settings(&self) -> Vec<SettingBlock> {
        let ovens = self.problem.ovens.iter().enumerate();
        ovens.flat_map(|(o, oven)| self.settings_of(o, oven)).collect()
    }

    fn settings_of(&self, o: usize, oven: &Oven) -> Vec<SettingBlock> {
        let station = self.station_id(self.map.ovens.get(o).copied());
        let mut blocks: Vec<SettingBlock> = Vec::new();
        let (mut at_c, now) = (oven.start_c, self.problem.start);
        let mut since = None;
        for wanted in self.wanted(o) {
            let block = |kind, from, to, from_c, to_c| SettingBlock {
                station: station.clone(),
                kind,
                from,
                to,
                from_c,
                to_c,
            };
            let takes = oven.minutes(at_c, wanted.c);
            let first = since.is_none();
            let mut from = wanted.from;
            if takes > 0 {
                // What stands in it at odds with what stood there before waits for the change.
                from = from.max(since.unwrap_or(now) + takes);
                let kind =
                    if wanted.c > at_c { SettingKind::Heating } else { SettingKind::Cooling };
                let underway = if first { self.underway(&station, at_c, wanted.c) } else { None };
                let (turned, turned_c) = match underway {
                    Some(shown) => {
                        from = (now + takes).min(from);
                        (shown.from, shown.from_c)
                    }
                    None => (from - takes, at_c),
                };
                if from >= wanted.to {
                    continue;
                }
                // Where it happens to have come past its goal, only the keeping shows.
                let way = (wanted.c - turned_c).signum();
                if way == (wanted.c - at_c).signum() {
                    blocks.push(block(kind, turned, from, turned_c, wanted.c));
                } else {
                    blocks.push(block(kind, from - takes, from, at_c, wanted.c));
                }
            } else {
                if first && self.situation.oven_c.contains_key(&station) {
                    // It is hot already, and stays so.
                    from = from.min(now);
                }
                from = from.max(since.unwrap_or(from));
            }
            if from < wanted.to {
                blocks.push(block(SettingKind::Keeping, from, wanted.to, wanted.c, wanted.c));
                (at_c, since) = (wanted.c, Some(wanted.to));
            }
        }
        blocks
    }

    /// What an oven is wanted for from now on, one setting after the other.
    fn wanted(&self, oven: usize) -> Vec<Wanted> {
        let mut uses: Vec<Wanted> = Vec::new();
        for (t, task) in self.problem.tasks.iter().enumerate() {
            let mode = &self.problem.steps[task.step].modes[self.schedule.mode[task.step]];
            let here = mode.oven.is_some_and(|u| u.oven == oven);
            if let Some(c) = self.schedule.setting_c[t]
                && here
                && self.problem.active(self.schedule, t)
            {
                let to = self.problem.end_of(self.schedule, t);
                uses.push(Wanted { from: self.start(t), to, c });
            }
        }
        for (d, dish) in self.problem.dishes.iter().enumerate() {
            let hold = self.schedule.hold[d].map(|h| &dish.holds[h]);
            let here = hold.and_then(|h| h.oven).is_some_and(|u| u.oven == oven);
            if let Some(c) = self.schedule.hold_setting_c[d]
                && here
            {
                let serving = self.serving(d);
                uses.push(Wanted { from: serving.out, to: serving.served, c });
            }
        }
        uses.retain(|u| u.from < u.to && u.to > self.problem.start);
        uses.order_by_key(|u| (u.from, u.to, u.c));
        let mut wanted: Vec<Wanted> = Vec::new();
        for next in uses {
            match wanted.last_mut().filter(|last| last.c == next.c) {
                Some(last) => last.to = last.to.max(next.to),
                None => wanted.push(next),
            }
        }
        wanted
    }

    /// The change to this setting that the plan on the screen has running now,
    /// if the oven has left where it was and the dial is not known to stand as it did: an oven also
    /// leaves where it was by cooling.
    fn underway(&self, station: &str, at_c: i32, to_c: i32) -> Option<&SettingBlock> {
        let previous = self.situation.previous.as_ref()?;
        if self.situation.unturned.contains(station) {
            return None;
        }
        self.situation.oven_c.get(station)?;
        previous.settings.iter().find(|s| {
            s.station == station
                && s.kind != SettingKind::Keeping
                && s.to_c == to_c
                && s.from_c != at_c
                && s.from < self.problem.start
                && s.to >= self.problem.start - 1
        })
    }
}
