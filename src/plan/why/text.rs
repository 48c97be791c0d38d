//! The explanation for reading: at most 80 columns, the big facts first.

use super::late::Late;
use super::room::Room;
use super::words::span;
use super::{Reasons, Why};
use crate::kitchen::Evening;
use crate::paper::Lines;

/// The explanation as text; every line ends with a line break.
#[must_use]
pub fn text(evening: &Evening, why: &Why, late: &[Late]) -> String {
    let clock = |minute| evening.face.label(minute);
    let mut lines = Lines::default();
    lines.put(0, &format!("{}, {} to {}", why.name, clock(why.start), clock(why.end)));
    lines.put(0, &capital_place(&why.place));
    if let Some(fact) = &why.fact {
        lines.put(0, fact);
    }
    for (head, reasons) in [("Earlier", &why.earlier), ("Later", &why.later)] {
        if !reasons.chain.is_empty() {
            lines.gap();
            lines.put(0, &format!("{head} by {}", room(reasons.room)));
            side(&mut lines, reasons);
        }
    }
    if !why.later.chain.is_empty() {
        lines.gap();
        lines.put(0, &slip(why));
    }
    for l in late {
        lines.gap();
        lines.put(0, &format!("If it ends {} late", span(i64::from(l.minutes))));
        for words in &l.lines {
            lines.hang("  ", words);
        }
    }
    lines.text
}

fn capital_place(place: &str) -> String {
    crate::paper::capital(place)
}

fn side(lines: &mut Lines, reasons: &Reasons) {
    for sentence in &reasons.chain {
        lines.hang("  ", &sentence.text);
    }
    for also in &reasons.also {
        lines.hang("  ", &format!("Also: {also}"));
    }
}

/// "up to 12 min", "0 min", "3 h and more".
#[must_use]
pub fn room(room: Room) -> String {
    match (room.minutes, room.more) {
        (n, true) => format!("{} and more", span(i64::from(n))),
        (0, _) => "0 min".to_owned(),
        (n, _) => format!("up to {}", span(i64::from(n))),
    }
}

/// "With the rest pushed along: up to 12 min later, then too late for mains at 19:00."
#[must_use]
pub fn slip(why: &Why) -> String {
    let minutes = span(i64::from(why.slip.minutes));
    if why.slip.more {
        return format!("With the rest pushed along: {minutes} later and more.");
    }
    format!("With the rest pushed along: up to {minutes} later, {}.", why.slip_until)
}

#[cfg(test)]
mod tests;
