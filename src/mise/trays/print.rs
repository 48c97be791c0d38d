//! The trays on paper.

use super::{Cold, Space, Tray, Trays};
use crate::kitchen::{Evening, Kept};
use crate::mise::day_words;
use crate::mise::wording::some;
use crate::order::InOrder;
use crate::paper::{notes, wrapped};

const WIDTH: usize = 78;

/// Plain text, dish by dish, then the room.
#[must_use]
pub fn text(evening: &Evening, trays: &Trays) -> String {
    let mut out = format!("{}, {}: trays\n", trays.title, trays.day);
    for tray in &trays.trays {
        out.push_str(&format!("\n{} {}\n", tray.letter, tray.title));
        out.push_str(&wrapped("  counter  ", &ready(tray), WIDTH));
        for cold in by_time(tray) {
            let line = format!("{}{}", cold.thing.words(), until(evening, cold));
            out.push_str(&wrapped(&format!("  {:<9}", store(cold.kept)), &line, WIDTH));
        }
    }
    out.push_str("\nRoom\n");
    for line in room(evening, trays) {
        out.push_str(&wrapped("  ", &line, WIDTH));
    }
    out.push_str(&notes(&trays.notes, WIDTH));
    out
}

/// What stands on the counter for a dish, in one line.
#[must_use]
pub fn ready(tray: &Tray) -> String {
    let things: Vec<String> = tray.counter.iter().map(super::Thing::words).collect();
    if things.is_empty() { "nothing".to_owned() } else { things.join("; ") }
}

/// What stays cold, first out first.
#[must_use]
pub fn by_time(tray: &Tray) -> Vec<&Cold> {
    let mut cold: Vec<&Cold> = tray.cold.iter().collect();
    cold.order_by_key(|c| (c.out_at, c.thing.ingredient));
    cold
}

/// "fridge", "freezer".
#[must_use]
pub const fn store(kept: Kept) -> &'static str {
    match kept {
        Kept::Cupboard => "counter",
        Kept::Fridge => "fridge",
        Kept::Freezer => "freezer",
    }
}

/// " until 16:20; raw: lowest, covered, apart"; " until it is used" without a plan.
#[must_use]
pub fn until(evening: &Evening, cold: &Cold) -> String {
    let time = match cold.out_at {
        Some(at) => {
            let days = at.div_euclid(crate::kitchen::DAY);
            let day = match days {
                0 => String::new(),
                -1 => " the day before".to_owned(),
                1.. => " the day after".to_owned(),
                n => format!(" {} days before", n.saturating_neg()),
            };
            format!(" until {}{day}", evening.face.label(at))
        }
        None => " until it is used".to_owned(),
    };
    let raw = if cold.raw { "; raw: lowest, covered, apart" } else { "" };
    let why = cold.why.as_ref().map_or_else(String::new, |w| format!("; {w}"));
    format!("{time}{raw}{why}")
}

/// Counter, fridge and freezer, each a sentence.
#[must_use]
pub fn room(evening: &Evening, trays: &Trays) -> Vec<String> {
    let (laid, places) = (some(trays.counter.trays, "tray"), some(trays.counter.places, "place"));
    let mut lines = vec![format!("Counter: {laid}, {places}.")];
    for (name, space) in [("Fridge", &trays.fridge), ("Freezer", &trays.freezer)] {
        if let Some(space) = space {
            lines.push(format!("{name}: {}.", fullest(evening, space)));
        }
    }
    lines
}

fn fullest(evening: &Evening, space: &Space) -> String {
    if space.wanted == 0 {
        return format!("empty, {}", some(space.places, "place"));
    }
    let at = match space.at {
        Some(at) => format!("at {}{}", day_words(evening, at), evening.face.label(at)),
        None => "before anything is taken out".to_owned(),
    };
    let over = if space.is_over() { ", more than it has" } else { "" };
    format!(
        "fullest {at}, {} of {} places{over} ({} for ingredients)",
        space.wanted, space.places, space.of_ingredients
    )
}
