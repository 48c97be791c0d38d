//! The plan for a telephone's calendar, as RFC 5545 (iCalendar) has it: what is
//! done on the days before and on the day, each with its alarm.
//!
//! `events` says what stands in it, `ics` how it is written. Nothing is random
//! and no clock is read: the same plan gives the same bytes, and an event keeps
//! its UID when its time moves, so that a calendar that is taken in again puts
//! the new one in the place of the old.

mod events;
mod ics;
#[cfg(test)]
mod tests;

pub use events::{Errand, calendar, thawing};
pub use ics::{Alarm, Calendar, Event, write};
