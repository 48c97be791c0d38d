//! Thermostats go from one setting to the next at their own rate, and stand at
//! the right one whenever something is in.

use super::Check;
use crate::kitchen::{Minute, Station, Thermostat};
use crate::order::InOrder;
use crate::plan::blocks::{SettingBlock, SettingKind};
use crate::plan::situation::Begun;

impl Check<'_> {
    pub(super) fn heat(&mut self) {
        for station in &self.evening.kitchen.stations {
            if let Some(thermostat) = station.thermostat {
                self.settings_follow(station, thermostat);
                self.uses_are_kept(station);
            }
        }
    }

    fn settings_follow(&mut self, station: &Station, thermostat: Thermostat) {
        let mut blocks: Vec<&SettingBlock> =
            self.plan.settings.iter().filter(|s| s.station == station.id).collect();
        blocks.order_by_key(|s| (s.from, s.to));
        let now = self.now();
        let (mut at_c, mut told) = self.has_now(station);
        let mut until = Minute::MIN;
        for block in blocks.into_iter().filter(|b| b.to > now) {
            let name = format!("{} from {}", station.id, block.from);
            if now < 0 && until <= 0 && block.from >= 0 {
                // What was hot the day before is cold by the day.
                (at_c, told) = (self.evening.party.room_c, false);
            }
            if block.from < until {
                self.fault(format!("{name}: settings overlap"));
            }
            let change = block.kind != SettingKind::Keeping;
            // The dial was turned before: what is left of the way counts from now on.
            let underway = change && block.from < now && told;
            if underway && block.to - now < thermostat.minutes(at_c, block.to_c) {
                self.fault(format!("{name}: not at {} °C by {}", block.to_c, block.to));
            }
            if block.from_c != at_c && !underway {
                self.fault(format!("{name}: it has {at_c} °C, not {}", block.from_c));
            }
            let takes = thermostat.minutes(block.from_c, block.to_c);
            let fits = match block.kind {
                SettingKind::Keeping => block.from_c == block.to_c,
                SettingKind::Heating => block.to_c > block.from_c && block.to - block.from >= takes,
                SettingKind::Cooling => block.to_c < block.from_c && block.to - block.from >= takes,
            };
            let began_before = block.from < self.now();
            if !fits && !began_before {
                self.fault(format!("{name}: {:?} to {} °C", block.kind, block.to_c));
            }
            if change && !(thermostat.least_c..=thermostat.most_c).contains(&block.to_c) {
                self.fault(format!("{name}: {} °C is not on its dial", block.to_c));
            }
            let made_for = if block.from < 0 { now } else { self.plan.made_for };
            if change && block.from < made_for && !underway {
                self.fault(format!("{name}: it would have to be set in the past"));
            }
            (at_c, told, until) = (block.to_c, false, block.to);
        }
    }

    /// The temperature of a station now, and whether its dial is known to have
    /// been turned. Where something is in, it has that setting.
    fn has_now(&self, station: &Station) -> (i32, bool) {
        let (dropped, begun) = (&self.situation.dropped, &self.situation.begun);
        let within = begun.iter().filter(|(key, _)| !dropped.contains(&key.dish));
        let mut in_use = within.filter_map(|(_, begun)| match begun {
            Begun::Running { station: id, setting_c, .. } if *id == station.id => *setting_c,
            _ => None,
        });
        let told = self.situation.oven_c.get(&station.id).copied();
        let c = in_use.next_back().or(told).unwrap_or(self.evening.party.room_c);
        (c, told.is_some() && !self.situation.unturned.contains(&station.id))
    }

    fn uses_are_kept(&mut self, station: &Station) {
        let now = self.now();
        let blocks =
            self.plan.blocks.iter().filter(|b| b.station == station.id).map(|b| {
                (b.start, b.end, b.setting_c, self.begun(b.key).is_some(), self.name(b.key))
            });
        let holds = self.plan.holds.iter().filter(|h| h.station == station.id).map(|h| {
            let begun = self.situation.held.contains_key(&h.dish) || h.from < now;
            (h.from, h.to, h.setting_c, begun, format!("the hold of dish {}", h.dish))
        });
        let uses: Vec<_> = blocks.chain(holds).filter(|u| u.0.max(now) < u.1 && !u.3).collect();
        for (from, to, setting_c, _, who) in uses {
            let Some(c) = setting_c else {
                self.fault(format!("{who} is in {} without a setting", station.id));
                continue;
            };
            let kept = self.plan.settings.iter().any(|s| {
                s.station == station.id
                    && s.kind == SettingKind::Keeping
                    && (s.from <= from && to <= s.to && s.to_c == c)
            });
            if !kept {
                self.fault(format!("{who}: {} is not kept at {c} °C", station.id));
            }
        }
    }
}
