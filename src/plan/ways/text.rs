//! Ways out and tries for reading, at most 80 columns.

use std::fmt::Write;

use super::figures::Figures;
use super::find::Found;
use super::tries::{Tried, Try};
use super::words::{self, minutes};
use crate::kitchen::Evening;
use crate::paper::COLUMNS;
use crate::plan::Situation;
use crate::plan::risk::{self, Forecast, Odds};

/// Columns of the words of a change, beside its figures.
const WORDS: usize = 28;

/// What clashes and the ways out; every line ends with a line break.
#[must_use]
pub fn of_ways(evening: &Evening, situation: &Situation, found: &Found) -> String {
    let Found { clash, best, outs } = found;
    let mut out = String::new();
    if let Some(clash) = clash.as_ref().filter(|c| !c.demands.is_empty()) {
        out.push_str("These do not go together; any one of them less, and the rest does:\n");
        for line in words::of_clash(evening, situation, clash) {
            wrapped(&mut out, "  - ", &line);
        }
        if !clash.proven {
            wrapped(
                &mut out,
                "",
                "(No way was found through them; it is not proved that there is none.)",
            );
        }
    }
    match best {
        Ok(figures) => {
            wrapped(&mut out, "", &format!("As it is: {}.", figure_words(evening, figures)));
        }
        Err(lines) => lines.iter().for_each(|line| wrapped(&mut out, "", line)),
    }
    if outs.is_empty() {
        out.push_str("No way out was found.\n");
        return out;
    }
    out.push_str("Ways out, the least trouble first:\n");
    for (n, way) in outs.iter().enumerate() {
        wrapped(&mut out, &format!("  {}. ", n + 1), &way.words);
        let figures = Figures { late: 0, ..way.figures };
        wrapped(&mut out, "     ", &figure_words(evening, &figures));
    }
    out
}

/// Tries side by side; every line ends with a line break.
#[must_use]
pub fn of_tries(evening: &Evening, tries: &[(Try, Tried)]) -> String {
    let mut out = String::new();
    let head = ["late", "chance", "waits", "points", "begins", "idle"];
    writeln!(out, "{:<WORDS$} {}", "", columns(head.map(str::to_owned))).unwrap_or_default();
    for (of, tried) in tries {
        let lines = words_wrapped(&of.words, WORDS);
        let first = lines.first().map_or("", String::as_str);
        match tried {
            Tried::Plan(outcome) => {
                let f = &outcome.figures;
                let late = if f.past_limit { "limit!".into() } else { minutes(f.late) };
                let begins = f.begins.map_or_else(String::new, |m| evening.face.label(m));
                let (chance, waits) = (least_chance(&outcome.odds), minutes(f.waits));
                let row = [late, chance, waits, points(f.quality), begins, minutes(f.idle)];
                writeln!(out, "{first:<WORDS$} {}", columns(row)).unwrap_or_default();
                for more in lines.iter().skip(1) {
                    writeln!(out, "  {more}").unwrap_or_default();
                }
            }
            Tried::NoPlan(why) => {
                writeln!(out, "{first:<WORDS$} no plan").unwrap_or_default();
                for more in lines.iter().skip(1) {
                    writeln!(out, "  {more}").unwrap_or_default();
                }
                why.iter().for_each(|line| wrapped(&mut out, "    ", line));
            }
        }
    }
    out
}

/// "12 min late, food waits 35 min, 1.5 points lost, hands from 15:05, 20 min idle".
#[must_use]
pub fn figure_words(evening: &Evening, figures: &Figures) -> String {
    let mut parts = Vec::new();
    if figures.late > 0 {
        parts.push(format!("{} late", minutes(figures.late)));
    }
    if figures.past_limit {
        parts.push("a limit on waiting is passed".to_owned());
    }
    parts.push(format!("food waits {}", minutes(figures.waits)));
    parts.push(match figures.quality {
        0 => "no points lost".to_owned(),
        10 => "1 point lost".to_owned(),
        tenths => format!("{} points lost", points(tenths)),
    });
    if let Some(begins) = figures.begins {
        parts.push(format!("hands from {}", evening.face.label(begins)));
    }
    parts.push(format!("{} idle", minutes(figures.idle)));
    parts.join(", ")
}

/// Tenths of points: "1.5", "2".
#[must_use]
pub fn points(tenths: i64) -> String {
    match tenths % 10 {
        0 => format!("{}", tenths / 10),
        rest => format!("{}.{}", tenths / 10, rest.abs()),
    }
}

/// The chance of the service that is likeliest to be late: "83 %".
#[must_use]
pub fn least_chance(odds: &Forecast) -> String {
    let least = odds.services.iter().min_by(|a, b| a.share().total_cmp(&b.share()));
    least.map(risk::words::percent).unwrap_or_default()
}

/// The chance of each service that is ahead: "starters 83 %, mains 92 %".
#[must_use]
pub fn chances(evening: &Evening, odds: &Forecast) -> String {
    let of = |o: &Odds| {
        let title = &evening.party.services.get(o.service)?.title;
        Some(format!("{} {}", title.to_lowercase(), risk::words::percent(o)))
    };
    odds.services.iter().filter_map(of).collect::<Vec<_>>().join(", ")
}

fn columns(cells: [String; 6]) -> String {
    let [late, chance, waits, points, begins, idle] = cells;
    format!("{late:>8} {chance:>6} {waits:>10} {points:>6} {begins:>6} {idle:>10}")
}

fn wrapped(out: &mut String, head: &str, text: &str) {
    let hang = " ".repeat(head.chars().count());
    for (n, line) in words_wrapped(text, COLUMNS - head.chars().count()).iter().enumerate() {
        let start = if n == 0 { head } else { &hang };
        writeln!(out, "{start}{line}").unwrap_or_default();
    }
}

fn words_wrapped(text: &str, room: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= room => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
