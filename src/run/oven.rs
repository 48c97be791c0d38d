//! How hot an oven is, from what its dial was set to and when.

use super::state::{MINUTE_MS, State};
use super::view::Heat;
use crate::kitchen::Thermostat;
use crate::plan::SettingKind;

/// What a thermostat was set to, when, and how hot it was then.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dial {
    /// When (unix ms).
    pub at_ms: i64,
    /// How hot it was then, °C.
    pub from_c: f64,
    /// The setting, °C.
    pub to_c: i32,
}

impl Dial {
    /// How hot the oven is at `now_ms`, °C: a straight ramp at the oven's own
    /// rates from the temperature when the dial was turned.
    #[must_use]
    pub fn temperature(&self, thermostat: &Thermostat, now_ms: i64) -> f64 {
        let minutes = now_ms.saturating_sub(self.at_ms).max(0) as f64 / MINUTE_MS as f64;
        let goal = f64::from(self.to_c);
        if goal >= self.from_c {
            (self.from_c + minutes * f64::from(thermostat.up_c_per_min)).min(goal)
        } else {
            (self.from_c - minutes * f64::from(thermostat.down_c_per_min)).max(goal)
        }
    }

    /// When it is as hot as it was set (unix ms), to the next whole millisecond.
    fn reached_ms(&self, thermostat: &Thermostat) -> i64 {
        let way = f64::from(self.to_c) - self.from_c;
        let per_min = if way >= 0.0 { thermostat.up_c_per_min } else { thermostat.down_c_per_min };
        let takes_ms = way.abs() / f64::from(per_min.max(1)) * MINUTE_MS as f64;
        self.at_ms.saturating_add(takes_ms.ceil() as i64)
    }
}

impl State {
    /// How hot a station with a thermostat is, °C; None for others. One whose
    /// dial was never touched is as warm as the room.
    #[must_use]
    pub fn temperature(&self, station: &str, now_ms: i64) -> Option<f64> {
        let thermostat = self.evening.station(station)?.thermostat.as_ref()?;
        Some(match self.dial_of(station) {
            Some(dial) => dial.temperature(thermostat, now_ms),
            None => f64::from(self.evening.party.room_c),
        })
    }

    /// What a station's dial is set to, °C; None if it was never touched.
    #[must_use]
    pub fn setting(&self, station: &str) -> Option<i32> {
        self.dial_of(station).map(|d| d.to_c)
    }

    /// The same as it was at a time.
    pub(super) fn setting_at(&self, station: &str, at_ms: i64) -> Option<i32> {
        let turns = self.facts.dials.get(station)?.iter();
        turns.rev().find(|d| d.at_ms <= at_ms).map(|d| d.to_c)
    }

    /// How a station's dial stands; None if it was never touched.
    pub(super) fn dial_of(&self, station: &str) -> Option<&Dial> {
        self.facts.dials.get(station)?.last()
    }

    /// What every oven has done up to `now_ms`, by its dial: on its way up or down, and at its setting.
    /// One that is off (set to less than its dial has) is on its way down and no more.
    pub(super) fn heats(&self, now_ms: i64) -> Vec<Heat> {
        let dials = self.facts.dials.iter();
        dials.flat_map(|(station, turns)| self.heats_of(station, turns, now_ms)).collect()
    }

    fn heats_of(&self, station: &str, turns: &[Dial], now_ms: i64) -> Vec<Heat> {
        let place = self.evening.station(station);
        let Some(thermostat) = place.and_then(|s| s.thermostat.as_ref()) else { return Vec::new() };
        let mut heats: Vec<Heat> = Vec::new();
        for (n, dial) in turns.iter().enumerate() {
            // Up to the next turn of the dial; the last one lasts.
            let next_ms = turns.get(n + 1).map(|next| next.at_ms);
            let until_ms = next_ms.unwrap_or(now_ms).min(now_ms);
            let reached_ms = dial.reached_ms(thermostat);
            let is_up = f64::from(dial.to_c) >= dial.from_c;
            let moves = if is_up { SettingKind::Heating } else { SettingKind::Cooling };
            let mut add = |kind, from_ms: i64, to_ms: Option<i64>| match heats.last_mut() {
                _ if from_ms >= to_ms.unwrap_or(now_ms.saturating_add(1)) => {}
                // Turned to where it stood: it went on.
                Some(last)
                    if (last.kind, last.to_c, last.to_ms) == (kind, dial.to_c, Some(from_ms)) =>
                {
                    last.to_ms = to_ms;
                }
                _ => heats.push(Heat {
                    station: station.to_owned(),
                    kind,
                    from_ms,
                    to_ms,
                    to_c: dial.to_c,
                }),
            };
            if reached_ms >= until_ms {
                add(moves, dial.at_ms, next_ms);
                continue;
            }
            add(moves, dial.at_ms, Some(reached_ms));
            if dial.to_c >= thermostat.least_c {
                add(SettingKind::Keeping, reached_ms, next_ms);
            }
        }
        heats
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::run::fold;
    use crate::run::testbed::{evening, marks, ms};

    const TURNS: [(&str, &str); 4] =
        [("16:00", "oven 200"), ("16:40", "oven 200"), ("17:00", "oven 150"), ("17:05", "oven 0")];

    /// What the oven did, after so many turns of its dial: kind, from, to (unix ms), setting.
    fn did(turns: usize, at: &str) -> Vec<(SettingKind, i64, Option<i64>, i32)> {
        let state = fold(evening(), &marks(&TURNS[..turns]));
        let heats = state.heats(ms(at)).into_iter();
        heats.map(|h| (h.kind, h.from_ms, h.to_ms, h.to_c)).collect()
    }

    #[test]
    fn what_an_oven_did_is_told_by_its_dial() {
        use SettingKind::{Cooling, Heating, Keeping};
        // From a room of 21 °C by 10 °C a minute up, by 5 down; off is less than its dial has.
        let (on, hot, down, off) = (ms("16:00"), ms("16:17:54"), ms("17:00"), ms("17:05"));
        assert_eq!(did(1, "16:10"), [(Heating, on, None, 200)]);
        // Turned again to where it stood.
        let kept = [(Heating, on, Some(hot), 200), (Keeping, hot, None, 200)];
        assert_eq!(did(2, "16:50"), kept);
        let all = [
            (Heating, on, Some(hot), 200),
            (Keeping, hot, Some(down), 200),
            (Cooling, down, Some(off), 150),
            (Cooling, off, None, 0),
        ];
        assert_eq!(did(4, "17:30"), all);
    }

    #[test]
    fn an_oven_ramps_to_its_setting_and_stays() {
        let thermostat =
            Thermostat { least_c: 60, most_c: 250, up_c_per_min: 12, down_c_per_min: 4 };
        let up = Dial { at_ms: 0, from_c: 20.0, to_c: 200 };
        assert_eq!(up.temperature(&thermostat, -5 * MINUTE_MS), 20.0);
        assert_eq!(up.temperature(&thermostat, 5 * MINUTE_MS), 80.0);
        assert_eq!(up.temperature(&thermostat, 15 * MINUTE_MS), 200.0);
        assert_eq!(up.temperature(&thermostat, 90 * MINUTE_MS), 200.0);
        let down = Dial { at_ms: 0, from_c: 200.0, to_c: 80 };
        assert_eq!(down.temperature(&thermostat, 10 * MINUTE_MS), 160.0);
        assert_eq!(down.temperature(&thermostat, 60 * MINUTE_MS), 80.0);
    }
}
