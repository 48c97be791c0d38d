//! Writing iCalendar: RFC 5545, with NAME and UID of the calendar from RFC 7986
//! and the UID of an alarm from RFC 9074.

use chrono::{DateTime, Utc};

/// A calendar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Calendar {
    /// Its UID, and the start of those of its events.
    pub uid: String,
    /// What a calendar program calls it.
    pub name: String,
    /// The time that stands as the time of its making, unix seconds.
    pub stamp_s: i64,
    /// Its events.
    pub events: Vec<Event>,
}

/// An event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// Unique among the events.
    pub id: String,
    /// When it begins, unix seconds.
    pub from_s: i64,
    /// When it ends, unix seconds; after the start.
    pub to_s: i64,
    /// What it is.
    pub summary: String,
    /// More about it; empty for nothing.
    pub description: String,
    /// It takes the cook's time.
    pub busy: bool,
    /// Alarms.
    pub alarms: Vec<Alarm>,
}

/// An alarm.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Alarm {
    /// Minutes before the event begins; 0 when it does.
    pub minutes_before: u32,
    /// What it says.
    pub words: String,
}

/// Octets of a line, at the most, its end not counted (RFC 5545, 3.1).
const OCTETS: usize = 75;

/// The calendar as a file.
#[must_use]
pub fn write(calendar: &Calendar) -> String {
    let mut out = String::new();
    let mut line = |name: &str, value: &str| fold(&mut out, &format!("{name}:{value}"));
    line("BEGIN", "VCALENDAR");
    line("VERSION", "2.0");
    line("PRODID", "-//potwatch//evening 1//EN");
    line("CALSCALE", "GREGORIAN");
    line("UID", &text(&calendar.uid));
    line("NAME", &text(&calendar.name));
    let stamp = utc(calendar.stamp_s);
    for event in &calendar.events {
        let uid = text(&format!("{}-{}", event.id, calendar.uid));
        line("BEGIN", "VEVENT");
        line("UID", &uid);
        line("DTSTAMP", &stamp);
        line("DTSTART", &utc(event.from_s));
        line("DTEND", &utc(event.to_s));
        line("SUMMARY", &text(&event.summary));
        if !event.description.is_empty() {
            line("DESCRIPTION", &text(&event.description));
        }
        line("TRANSP", if event.busy { "OPAQUE" } else { "TRANSPARENT" });
        for (n, alarm) in event.alarms.iter().enumerate() {
            line("BEGIN", "VALARM");
            line("UID", &text(&format!("alarm-{}-{}-{}", n + 1, event.id, calendar.uid)));
            line("ACTION", "DISPLAY");
            line("TRIGGER", &before(alarm.minutes_before));
            line("DESCRIPTION", &text(&alarm.words));
            line("END", "VALARM");
        }
        line("END", "VEVENT");
    }
    line("END", "VCALENDAR");
    out
}

/// A DURATION (RFC 5545, 3.3.6), negative: before the event.
fn before(minutes: u32) -> String {
    match minutes {
        0 => "PT0S".to_owned(),
        m if m % (24 * 60) == 0 => format!("-P{}D", m / (24 * 60)),
        m if m % 60 == 0 => format!("-PT{}H", m / 60),
        m => format!("-PT{m}M"),
    }
}

/// A DATE-TIME in UTC (RFC 5545, 3.3.5, form 2).
fn utc(seconds: i64) -> String {
    let at = DateTime::<Utc>::from_timestamp(seconds, 0).unwrap_or_default();
    at.format("%Y%m%dT%H%M%SZ").to_string()
}

/// A TEXT value (RFC 5545, 3.3.11): other control characters may not stand in it.
fn text(words: &str) -> String {
    let mut escaped = String::with_capacity(words.len());
    for c in words.chars() {
        match c {
            '\\' => escaped.push_str("\\\\"),
            ';' => escaped.push_str("\\;"),
            ',' => escaped.push_str("\\,"),
            '\n' => escaped.push_str("\\n"),
            c if c.is_control() => escaped.push(' '),
            c => escaped.push(c),
        }
    }
    escaped
}

/// Adds a content line, folded (RFC 5545, 3.1): a long one goes on after a line
/// break and a space, never within a character.
fn fold(out: &mut String, line: &str) {
    let mut used = 0;
    for c in line.chars() {
        if used + c.len_utf8() > OCTETS {
            out.push_str("\r\n ");
            used = 1;
        }
        out.push(c);
        used += c.len_utf8();
    }
    out.push_str("\r\n");
}
