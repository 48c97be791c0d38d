//! How hot an oven is, from what its dial was set to and when.

use super::state::{MINUTE_MS, State};
use crate::kitchen::Thermostat;

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
}

impl State {
    /// How hot a station with a thermostat is, °C; None for others. One whose
    /// dial was never touched is as warm as the room.
    #[must_use]
    pub fn temperature(&self, station: &str, now_ms: i64) -> Option<f64> {
        let thermostat = self.evening.station(station)?.thermostat.as_ref()?;
        Some(match self.facts.dials.get(station) {
            Some(dial) => dial.temperature(thermostat, now_ms),
            None => f64::from(self.evening.party.room_c),
        })
    }

    /// What a station's dial is set to, °C; None if it was never touched.
    #[must_use]
    pub fn setting(&self, station: &str) -> Option<i32> {
        self.facts.dials.get(station).map(|d| d.to_c)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

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
