//! Kitchen time: whole minutes from midnight of the party's day.

use chrono::{DateTime, FixedOffset, NaiveDate, NaiveTime, TimeZone, Utc};
use schemars::JsonSchema;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Minutes since local midnight at the start of the party's day; negative on
/// the day before, above 1440 after midnight. Sixty real seconds each, so on a
/// day when the clocks change the face is read through [`Clockface`].
pub type Minute = i32;

/// Minutes in a day.
pub const DAY: Minute = 24 * 60;

/// A time written as `18:00` in a file; `25:30` is half past one at night.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, JsonSchema)]
#[schemars(with = "String", extend("pattern" = "^([0-3]?[0-9]|4[0-7]):[0-5][0-9]$"))]
pub struct TimeOfDay(pub Minute);

impl TimeOfDay {
    /// Reads `H:MM` or `HH:MM`, hours 0 to 47.
    ///
    /// # Errors
    /// A sentence that says what a time looks like.
    pub fn parse(text: &str) -> Result<Self, String> {
        let wrong = || format!("\"{text}\" is not a time; write it as 18:00");
        let (hours, minutes) = text.split_once(':').ok_or_else(wrong)?;
        let digits =
            |s: &str| !s.is_empty() && s.len() <= 2 && s.bytes().all(|b| b.is_ascii_digit());
        if !digits(hours) || minutes.len() != 2 || !digits(minutes) {
            return Err(wrong());
        }
        let hours: Minute = hours.parse().map_err(|_| wrong())?;
        let minutes: Minute = minutes.parse().map_err(|_| wrong())?;
        if hours > 47 || minutes > 59 {
            return Err(wrong());
        }
        Ok(Self(hours * 60 + minutes))
    }
}

impl std::fmt::Display for TimeOfDay {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:02}:{:02}", self.0.div_euclid(60), self.0.rem_euclid(60))
    }
}

/// How the clock is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub enum Hours {
    /// `18:05`.
    #[default]
    #[serde(rename = "24")]
    TwentyFour,
    /// `6:05pm`.
    #[serde(rename = "12")]
    Twelve,
}

impl Hours {
    /// An hour (0 to 23) and a minute as they are read.
    #[must_use]
    pub fn show(self, hour: u32, minute: u32) -> String {
        match self {
            Self::TwentyFour => format!("{hour:02}:{minute:02}"),
            Self::Twelve => {
                let half = if hour < 12 { "am" } else { "pm" };
                format!("{}:{minute:02}{half}", (hour + 11) % 12 + 1)
            }
        }
    }

    /// A time of a file as it is read; with 12 hours the night after says so.
    #[must_use]
    pub fn of(self, time: TimeOfDay) -> String {
        let (hour, minute) = (time.0.div_euclid(60), time.0.rem_euclid(60));
        let parts = (u32::try_from(hour), u32::try_from(minute));
        match (self, parts) {
            (Self::Twelve, (Ok(hour), Ok(minute))) if hour < 24 => self.show(hour, minute),
            (Self::Twelve, (Ok(hour), Ok(minute))) => {
                format!("{} next day", self.show(hour % 24, minute))
            }
            _ => time.to_string(),
        }
    }
}

impl Serialize for TimeOfDay {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for TimeOfDay {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let text = String::deserialize(deserializer)?;
        Self::parse(&text).map_err(serde::de::Error::custom)
    }
}

/// What the clock on the wall says at each minute of the party: the day, and
/// the offsets from UTC that hold from given instants on. Built at the edge
/// from the system's time zone; pure from then on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clockface {
    /// The party's day.
    pub day: NaiveDate,
    /// Unix seconds of minute 0.
    pub origin_s: i64,
    /// `(from unix second, offset from UTC in seconds)`, in rising order, never empty.
    pub offsets: Vec<(i64, i32)>,
    /// How it is read.
    pub hours: Hours,
}

impl Clockface {
    /// A face with one offset the whole evening (tests, the demo).
    #[must_use]
    pub fn fixed(day: NaiveDate, offset_s: i32) -> Self {
        let midnight = day.and_time(NaiveTime::MIN).and_utc().timestamp();
        let origin_s = midnight - i64::from(offset_s);
        Self { day, origin_s, offsets: vec![(i64::MIN, offset_s)], hours: Hours::default() }
    }

    /// The same wall clock read from midnight of the day before.
    #[must_use]
    pub fn day_before(&self) -> Self {
        let day = self.day.pred_opt().unwrap_or(self.day);
        let midnight = day.and_time(NaiveTime::MIN).and_utc().timestamp();
        let offset = self.offset_at(self.origin_s - 12 * 3600);
        Self {
            day,
            origin_s: midnight - i64::from(offset),
            offsets: self.offsets.clone(),
            hours: self.hours,
        }
    }

    /// The minute in which the unix millisecond `ms` lies.
    #[must_use]
    pub fn minute_at(&self, ms: i64) -> Minute {
        let minutes = (ms - self.origin_s * 1000).div_euclid(60_000);
        minutes.clamp(i64::from(-100 * DAY), i64::from(100 * DAY)) as Minute
    }

    /// Unix milliseconds at which `minute` begins.
    #[must_use]
    pub fn ms_of(&self, minute: Minute) -> i64 {
        (self.origin_s + i64::from(minute) * 60) * 1000
    }

    /// Local `(hour, minute, second)` on the wall at the unix millisecond `ms`.
    #[must_use]
    pub fn wall(&self, ms: i64) -> (u32, u32, u32) {
        use chrono::Timelike;
        let second = ms.div_euclid(1000);
        let offset = self.offset_at(second);
        match (FixedOffset::east_opt(offset), DateTime::<Utc>::from_timestamp(second, 0)) {
            (Some(zone), Some(at)) => {
                let local = zone.from_utc_datetime(&at.naive_utc());
                (local.hour(), local.minute(), local.second())
            }
            _ => (0, 0, 0),
        }
    }

    /// `18:05` or `6:05pm` as the wall clock shows it at the start of `minute`.
    #[must_use]
    pub fn label(&self, minute: Minute) -> String {
        self.read(self.ms_of(minute))
    }

    /// `18:05` or `6:05pm` as the wall clock shows it at the unix millisecond `ms`.
    #[must_use]
    pub fn read(&self, ms: i64) -> String {
        let (hour, minute, _) = self.wall(ms);
        self.hours.show(hour, minute)
    }

    /// The minute at which the wall clock of this day shows `time`; where the
    /// clocks skip it, the first minute after; where it comes twice, the first.
    #[must_use]
    pub fn minute_of(&self, time: TimeOfDay) -> Minute {
        let wall_s =
            self.day.and_time(NaiveTime::MIN).and_utc().timestamp() + i64::from(time.0) * 60;
        let fits = |offset: i32| {
            let second = wall_s - i64::from(offset);
            (self.offset_at(second) == offset).then_some(second)
        };
        let skipped = || {
            self.offsets.windows(2).find_map(|pair| match *pair {
                [(_, before), (from, after)] => {
                    let gap = from + i64::from(before)..from + i64::from(after);
                    gap.contains(&wall_s).then_some(from)
                }
                _ => None,
            })
        };
        let second = self
            .offsets
            .iter()
            .filter_map(|&(_, offset)| fits(offset))
            .min()
            .or_else(skipped)
            .unwrap_or_else(|| wall_s - i64::from(self.offsets.last().map_or(0, |o| o.1)));
        ((second - self.origin_s).div_euclid(60)) as Minute
    }

    fn offset_at(&self, second: i64) -> i32 {
        self.offsets
            .iter()
            .rev()
            .find(|o| o.0 <= second)
            .or(self.offsets.first())
            .map_or(0, |o| o.1)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn noon_and_midnight_are_twelve() {
        let show = |h, m| Hours::Twelve.show(h, m);
        assert_eq!(show(0, 5), "12:05am");
        assert_eq!(show(9, 30), "9:30am");
        assert_eq!(show(12, 0), "12:00pm");
        assert_eq!(show(23, 59), "11:59pm");
        assert_eq!(Hours::Twelve.of(TimeOfDay(25 * 60 + 30)), "1:30am next day");
        assert_eq!(Hours::TwentyFour.of(TimeOfDay(25 * 60 + 30)), "25:30");
    }

    #[test]
    fn a_time_has_hours_to_47_and_two_digits_of_minutes() {
        let read = |text: &str| TimeOfDay::parse(text).ok().map(|t| t.0);
        for (text, minutes) in [("7:05", 425), ("07:05", 425), ("0:00", 0), ("47:59", 2879)] {
            assert_eq!(read(text), Some(minutes), "{text}");
        }
        for text in
            ["48:00", "18:60", ":30", "18:", "18:5", "007:05", "18:005", "18:5a", "-1:00", "1800"]
        {
            assert_eq!(read(text), None, "{text}");
        }
        assert_eq!(Hours::Twelve.of(TimeOfDay(24 * 60)), "12:00am next day");
        assert_eq!(Hours::Twelve.of(TimeOfDay(24 * 60 - 1)), "11:59pm");
    }

    /// On a day on which the clocks go from 02:00 to 03:00, an hour east of Greenwich.
    #[test]
    fn the_clocks_go_forward_in_the_night() {
        let day = NaiveDate::from_ymd_opt(2026, 3, 29).expect("a day");
        let mut face = Clockface::fixed(day, 3600);
        let change_s = face.origin_s + 2 * 3600;
        face.offsets.push((change_s, 7200));
        let at = |text: &str| face.minute_of(TimeOfDay::parse(text).expect("a time"));
        assert_eq!(
            (at("1:59"), at("2:00"), at("2:30"), at("3:00"), at("18:00")),
            (119, 120, 120, 120, 1020)
        );
        assert_eq!(face.wall(change_s * 1000 - 1), (1, 59, 59));
        assert_eq!(face.wall(change_s * 1000), (3, 0, 0));
        assert_eq!((face.label(119), face.label(120)), ("01:59".to_owned(), "03:00".to_owned()));
        // The day before had 24 hours by the offset that held then.
        let before = face.day_before();
        assert_eq!(
            (before.day, before.origin_s),
            (day.pred_opt().expect("a day"), face.origin_s - 86_400)
        );
        // Far off it ends: a hundred days either way.
        assert_eq!(
            (face.minute_at(i64::MAX / 2), face.minute_at(i64::MIN / 2)),
            (100 * DAY, -100 * DAY)
        );
    }
}
