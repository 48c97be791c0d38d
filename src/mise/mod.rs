//! From the party to lists, before the first flame: how much of everything
//! ([`scale`]), what to buy ([`shopping`]), what is put into what, what lies on
//! paper. Pure: the party and the plan come in as data, lists and pages go out.
//! Amounts stay exact until they are rounded to something that can be bought or
//! measured, once, at the end.

pub mod amounts;
pub mod calendar;
pub mod card;
pub mod chart;
pub mod knife;
pub mod scale;
pub mod servingware;
pub mod sheets;
pub mod shopping;
pub mod ticks;
pub mod trays;
mod wording;

use chrono::{NaiveDate, TimeDelta};

use crate::kitchen::{DAY, Evening, Minute};

/// The day of the calendar in which a minute lies.
#[must_use]
pub fn day_of(evening: &Evening, minute: Minute) -> NaiveDate {
    let days = TimeDelta::days(i64::from(minute.div_euclid(DAY)));
    let day = evening.party.day;
    day.checked_add_signed(days).unwrap_or(day)
}

/// "Fri 23 Oct, " before a time that is not on the party's day; nothing on it.
#[must_use]
pub fn day_words(evening: &Evening, minute: Minute) -> String {
    match day_of(evening, minute) {
        day if day == evening.party.day => String::new(),
        day => format!("{}, ", day.format("%a %-d %b")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn another_day_than_the_partys_is_said() {
        // A Friday.
        let evening = crate::plan::sample::evening();
        let words = |minute| day_words(&evening, minute);
        assert_eq!([words(0), words(DAY - 1)], ["", ""]);
        assert_eq!([words(-1), words(DAY)], ["Thu 19 Nov, ", "Sat 21 Nov, "]);
    }
}
