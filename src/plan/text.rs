//! The plan for reading, by clock and by station, in plain words: at most 80
//! columns, times as the wall clock shows them, degrees as the party reads them.

mod by_clock;
mod by_station;

#[cfg(test)]
mod edge_tests;
#[cfg(test)]
mod tests;

use std::fmt::Write;

use super::blocks::{Plan, Proof};
use super::contact;
use super::risk::{Forecast, words};
use crate::kitchen::{Evening, Minute, Sheet, StationKind, Step};
use crate::paper::{Lines, list};
use crate::safety::{Profile, caution};
pub use by_clock::{Moment, What, moments};

/// What a question mark in a plan means.
const UNCONFIRMED: &str =
    "What has a question mark was read from a text, and nobody has confirmed it yet.";

/// A plan further above its bound than this is not said to be within anything.
const MOST_SAID_PERMILLE: u32 = 250;

/// The whole plan as text; every line ends with a line break.
#[must_use]
pub fn text(evening: &Evening, plan: &Plan) -> String {
    text_with(evening, plan, &Forecast::default())
}

/// As [`text`], with what is known of how each service fares.
#[must_use]
pub fn text_with(evening: &Evening, plan: &Plan, odds: &Forecast) -> String {
    let page = Page { evening, plan, odds };
    let mut lines = Lines::default();
    page.head(&mut lines);
    lines.heading("By clock");
    page.by_clock(&mut lines);
    lines.heading("By station");
    page.by_station(&mut lines);
    page.foot(&mut lines);
    lines.text
}

/// The same sentence, if more is known than that the search was stopped.
#[must_use]
pub fn known_quality(proof: Proof) -> Option<String> {
    let known = match proof {
        Proof::Best => true,
        Proof::WithinPermille(n) => n <= MOST_SAID_PERMILLE,
        Proof::Stopped => false,
    };
    known.then(|| quality(proof))
}

/// How good the plan is, as a sentence.
#[must_use]
pub fn quality(proof: Proof) -> String {
    match proof {
        Proof::Best => "Proved best: no other plan does better.".into(),
        // A bound so far off says nothing to a cook.
        Proof::WithinPermille(n) if n <= MOST_SAID_PERMILLE => {
            // Rounded up: the sentence never promises more than is known.
            let percent = n.div_ceil(10).max(1);
            format!("Within {percent} % of the best that is possible.")
        }
        _ => "The search was stopped here; the plan may still be improved.".into(),
    }
}

/// "Oven, rack 2", or "Air fryer" where there is only one place.
#[must_use]
pub fn place(evening: &Evening, id: &str, slots: &[u32]) -> String {
    let Some(station) = evening.station(id) else { return "the pass".into() };
    if station.slots <= 1 || slots.is_empty() {
        return station.title.clone();
    }
    let one = match station.kind {
        StationKind::Oven => "rack",
        StationKind::Stovetop => "burner",
        StationKind::Counter => "board",
        _ => "place",
    };
    let numbers: Vec<String> = slots.iter().map(|s| (s + 1).to_string()).collect();
    format!("{}, {one} {}", station.title, numbers.join("+"))
}

/// A plan with the evening that it is for.
struct Page<'a> {
    evening: &'a Evening,
    plan: &'a Plan,
    odds: &'a Forecast,
}

impl Page<'_> {
    fn at(&self, minute: Minute) -> String {
        self.evening.face.label(minute)
    }

    /// With the day, if it is the day before: "Tue 20:00".
    fn at_day(&self, minute: Minute) -> String {
        match self.evening.party.day.pred_opt().filter(|_| minute < 0) {
            Some(day) => format!("{} {}", day.format("%a"), self.at(minute)),
            None => self.at(minute),
        }
    }

    fn sheet(&self, dish: usize) -> Option<&Sheet> {
        self.evening.sheets.get(dish)
    }

    fn short(&self, dish: usize) -> String {
        self.sheet(dish).map_or_else(String::new, Sheet::short)
    }

    fn letter(&self, dish: usize) -> char {
        self.sheet(dish).map_or(' ', |s| s.letter)
    }

    fn label(&self, dish: usize, step: usize) -> String {
        let step = self.sheet(dish).and_then(|s| s.recipe.steps.get(step));
        step.map_or_else(String::new, Step::marked)
    }

    fn station(&self, id: &str) -> &str {
        self.evening.station(id).map_or("the pass", |s| &s.title)
    }

    fn degrees(&self, c: i32) -> String {
        self.evening.customs.oven(c)
    }

    fn place(&self, id: &str, slots: &[u32]) -> String {
        place(self.evening, id, slots)
    }

    fn head(&self, lines: &mut Lines) {
        let party = &self.evening.party;
        lines.put(0, &format!("{}, {}", party.title, party.day.format("%A %-d %B %Y")));
        for line in &self.plan.services {
            let title = party.services.get(line.service).map_or("", |s| s.title.as_str());
            let names: Vec<String> = line.dishes.iter().map(|d| self.short(d.0)).collect();
            let mut words = format!("{} {title}: {}.", self.at(line.due), list(&names));
            let late = line.dishes.iter().filter(|d| d.2 > line.due);
            let late: Vec<String> = late
                .map(|d| {
                    format!("{} {} min late ({})", self.short(d.0), d.2 - line.due, self.at(d.2))
                })
                .collect();
            if !late.is_empty() {
                let _ = write!(words, " {}.", list(&late));
            }
            lines.put(7, &words);
            if let Some(odds) = self.odds.of(line.service) {
                lines.hang("      ", &words::sentence(self.evening, odds));
            }
        }
        let wish = self.evening.party.on_time_percent;
        if self.odds.services.iter().any(|s| s.falls_short_of(wish)) {
            lines.put(0, &words::falls_short(wish));
        }
        let hands = || self.plan.blocks.iter().filter(|b| b.cook.is_some()).map(|b| b.start);
        if let Some(begins) = hands().filter(|at| *at >= 0).min() {
            lines.put(0, &format!("The first hands are needed at {}.", self.at(begins)));
        }
        if let Some(begins) = hands().filter(|at| *at < 0).min() {
            let from = self.at(begins);
            lines.put(0, &format!("What is made the day before begins at {from} of that day."));
        }
        lines.put(0, &quality(self.plan.proof));
        if self.evening.sheets.iter().any(|s| s.recipe.is_unconfirmed()) {
            lines.put(0, UNCONFIRMED);
        }
    }

    fn foot(&self, lines: &mut Lines) {
        let profile = Profile::by_id(&self.evening.party.guidance);
        lines.gap();
        if let Some(profile) = profile {
            let limits = format!("Waits keep the limits of {}.", profile.title);
            lines.put(0, &format!("{limits} {}", caution::LOCAL_RULES_WIN));
        }
        if !self.plan.cleans.is_empty() {
            lines.put(0, contact::ONLY_WHAT_IS_NAMED);
        }
    }
}
