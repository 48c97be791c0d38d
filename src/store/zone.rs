//! What the clock on the wall shows on the party's day, by this machine's time zone.

use chrono::{Local, NaiveDate, NaiveTime, Offset, TimeZone, Utc};

use crate::kitchen::clock::Hours;
use crate::kitchen::{Clockface, TimeOfDay};

/// Days before and after the party's day over which changes of the clock are looked for.
const BEFORE: i64 = 1;
const AFTER: i64 = 3;
const HOUR: i64 = 3600;

/// The clock face of a day in this machine's time zone.
#[must_use]
pub fn clockface(day: NaiveDate) -> Clockface {
    clockface_by(day, |second| {
        Utc.timestamp_opt(second, 0)
            .single()
            .map_or(0, |at| Local.offset_from_utc_datetime(&at.naive_utc()).fix().local_minus_utc())
    })
}

/// The clock face of a day where `offset` gives the offset from UTC in seconds
/// that holds at a unix second.
#[must_use]
pub fn clockface_by(day: NaiveDate, offset: impl Fn(i64) -> i32) -> Clockface {
    let midnight = day.and_time(NaiveTime::MIN).and_utc().timestamp();
    let mut at = midnight - BEFORE * 24 * HOUR;
    let end = midnight + AFTER * 24 * HOUR;
    let mut offsets = vec![(i64::MIN, offset(at))];
    while at < end {
        let next = at + HOUR;
        if offset(at) != offset(next) {
            offsets.push((change(at, next, &offset), offset(next)));
        }
        at = next;
    }
    let mut face = Clockface { day, origin_s: 0, offsets, hours: Hours::default() };
    face.origin_s = i64::from(face.minute_of(TimeOfDay(0))) * 60;
    face
}

/// The first second after `before` at which the offset is that of `after`.
fn change(mut before: i64, mut after: i64, offset: impl Fn(i64) -> i32) -> i64 {
    let old = offset(before);
    while after - before > 1 {
        let middle = before + (after - before) / 2;
        if offset(middle) == old { before = middle } else { after = middle }
    }
    after
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().expect("a day")
    }

    fn time(text: &str) -> TimeOfDay {
        TimeOfDay::parse(text).expect("a time")
    }

    /// Central European Time: from UTC+1 to UTC+2 at 01:00 UTC on the last
    /// Sunday of March and back at 01:00 UTC on the last Sunday of October
    /// (Directive 2000/84/EC, articles 2 and 3).
    fn central_europe_2026(second: i64) -> i32 {
        let spring = day("2026-03-29").and_hms_opt(1, 0, 0).expect("a time").and_utc().timestamp();
        let autumn = day("2026-10-25").and_hms_opt(1, 0, 0).expect("a time").and_utc().timestamp();
        if (spring..autumn).contains(&second) { 7200 } else { 3600 }
    }

    #[test]
    fn a_day_without_a_change_has_one_offset() {
        let face = clockface_by(day("2026-11-25"), |_| -5 * 3600);
        assert_eq!(face, Clockface::fixed(day("2026-11-25"), -5 * 3600));
    }

    #[test]
    fn an_hour_is_skipped_in_spring() {
        let face = clockface_by(day("2026-03-29"), central_europe_2026);
        assert_eq!(face.offsets.len(), 2);
        assert_eq!(face.minute_of(time("01:59")), 119);
        for skipped in ["02:00", "02:30", "02:59", "03:00"] {
            assert_eq!(face.minute_of(time(skipped)), 120, "{skipped}");
        }
        assert_eq!(face.minute_of(time("18:00")), 17 * 60);
        assert_eq!(face.label(17 * 60), "18:00");
    }

    #[test]
    fn an_hour_comes_twice_in_autumn() {
        let face = clockface_by(day("2026-10-25"), central_europe_2026);
        assert_eq!(face.minute_of(time("02:30")), 150);
        assert_eq!(face.label(150), "02:30");
        assert_eq!(face.label(210), "02:30");
        assert_eq!(face.minute_of(time("18:00")), 19 * 60);
        // The night after the evening before.
        let eve = clockface_by(day("2026-10-24"), central_europe_2026);
        assert_eq!(eve.minute_of(time("26:30")), 26 * 60 + 30);
        assert_eq!(eve.minute_of(time("27:00")), 28 * 60);
    }

    #[test]
    fn times_rise_with_the_minutes_over_every_change() {
        for date in ["2026-03-28", "2026-03-29", "2026-10-24", "2026-10-25"] {
            let face = clockface_by(day(date), central_europe_2026);
            let minutes: Vec<i32> = (0..48 * 60).map(|m| face.minute_of(TimeOfDay(m))).collect();
            assert!(minutes.is_sorted(), "{date}");
            assert_eq!(minutes[0], 0, "{date}");
        }
    }

    #[test]
    fn a_midnight_that_is_skipped_is_the_first_minute_after() {
        // Clocks go forward at midnight, as they do in some zones.
        let midnight = day("2026-04-24").and_time(NaiveTime::MIN).and_utc().timestamp() - 7200;
        let face = clockface_by(day("2026-04-24"), |s| if s < midnight { 7200 } else { 10800 });
        assert_eq!(face.origin_s, midnight);
        assert_eq!(face.label(0), "01:00");
        assert_eq!(face.minute_of(time("18:00")), 17 * 60);
    }

    #[test]
    fn this_machines_zone_reads_the_same_as_the_library() {
        let face = clockface(day("2026-11-25"));
        let noon = face.ms_of(face.minute_of(time("12:00")));
        let local = Local.timestamp_millis_opt(noon).single().expect("an instant");
        assert_eq!(local.format("%Y-%m-%d %H:%M").to_string(), "2026-11-25 12:00");
    }
}
