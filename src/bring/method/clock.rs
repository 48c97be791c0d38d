//! How long a clause takes, and what its times are of.

use std::cell::LazyCell;

use super::heat::{self, Of};
use super::verbs::{Doing, Met};
use crate::bring::moment::{self, Time};

/// What a time in a method is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TimeOf {
    /// Cooking.
    Cook,
    /// Waiting: standing, chilling, rising.
    Rest,
    /// Work of hands or of a machine without heat.
    Prep,
    /// How long food stays at a temperature to be safe: no time of the schedule.
    Safety,
    /// A rate by weight: no time until the weight is known.
    Rate,
    /// When, or how often: "after 30 minutes", "every 10 minutes".
    When,
}

impl TimeOf {
    /// Its word in what other programs read.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Cook => "cook",
            Self::Rest => "rest",
            Self::Prep => "prep",
            Self::Safety => "safety",
            Self::Rate => "rate",
            Self::When => "when",
        }
    }
}

/// A time of a text with what it is of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Placed {
    /// The time.
    pub time: Time,
    /// What it is of.
    pub of: TimeOf,
}

/// Longest time, in seconds, that is taken for a safety hold.
const SAFETY_SECONDS: i64 = 10 * 60;
/// Longest words between a temperature and how long it is held, in bytes.
const SAFETY_WORDS_MOST: usize = 200;

/// The times of a sentence, each with what it is of.
pub fn times(sentence: &str, verbs: &[Met]) -> Vec<Placed> {
    let heats = heat::heats(sentence);
    let all = moment::times(sentence);
    let unnamed = LazyCell::new(|| by_words(sentence));
    let of = |time: &Time| {
        if time.rate {
            return TimeOf::Rate;
        }
        if time.when.is_some() {
            return TimeOf::When;
        }
        let short = time.high.or(time.low).is_some_and(|s| s <= SAFETY_SECONDS);
        let near = heats.iter().rev().find(|h| h.at < time.from);
        let words = near.and_then(|h| sentence.get(h.at..time.from)).unwrap_or_default();
        let short = short && words.len() <= SAFETY_WORDS_MOST;
        let kept = near.is_some_and(|h| matches!(h.of, Of::Inside | Of::KeptHot));
        if short && kept && words.to_lowercase().contains(" for ") {
            return TimeOf::Safety;
        }
        let before = verbs.iter().rev().filter(|m| m.at < time.from);
        let after = verbs.iter().filter(|m| m.at > time.to);
        let governs = |m: &&Met| m.verb.doing != Doing::Along;
        match before.chain(after).find(governs).map(|m| m.verb.doing) {
            Some(Doing::Heat(_)) => TimeOf::Cook,
            Some(Doing::Rest(_)) => TimeOf::Rest,
            Some(_) => TimeOf::Prep,
            None => *unnamed,
        }
    };
    all.iter().map(|time| Placed { time: time.clone(), of: of(time) }).collect()
}

/// Without a verb: "10-minute rest", "Cooking time: 40 minutes".
fn by_words(sentence: &str) -> TimeOf {
    let lower = sentence.to_lowercase();
    let has = |words: &[&str]| words.iter().any(|w| lower.contains(w));
    if has(&["rest", "chill", "fridge", "overnight", "stand", "cool"]) {
        TimeOf::Rest
    } else if has(&["mix", "knead", "prep"]) {
        TimeOf::Prep
    } else {
        TimeOf::Cook
    }
}

/// Minutes at the least, likely and at the most.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Span {
    /// At the least.
    pub low: u32,
    /// Likely.
    pub likely: u32,
    /// At the most.
    pub high: u32,
}

impl Span {
    /// Time that the text does not give: a third less, two thirds more. Common practice.
    pub const fn guessed(likely: u32) -> Self {
        Self { low: likely * 2 / 3, likely, high: likely + likely * 2 / 3 }
    }

    pub fn plus(self, other: Self) -> Self {
        Self {
            low: self.low.saturating_add(other.low),
            likely: self.likely.saturating_add(other.likely),
            high: self.high.saturating_add(other.high),
        }
    }

    /// Not shorter than another.
    pub fn at_least(self, other: Self) -> Self {
        Self {
            low: self.low.max(other.low),
            likely: self.likely.max(other.likely),
            high: self.high.max(other.high),
        }
    }

    /// A time of the text. What is said to be rough, or to end when the food is
    /// ready, may take a fifth less and a third more: common practice, no source.
    pub fn of(time: &Time) -> Self {
        let (low, high) = match (time.low, time.high) {
            (Some(low), Some(high)) => (low, high),
            (Some(low), None) => (low, low.saturating_mul(5) / 4),
            (None, Some(high)) => (high / 2, high),
            (None, None) => (0, 0),
        };
        let likely = low / 2 + high / 2;
        let rough = time.about || time.until;
        let (low, high) = match (low == high, rough) {
            (true, true) => (low * 4 / 5, high.saturating_mul(4) / 3),
            (false, true) => (low, high.saturating_mul(11) / 10),
            _ => (low, high),
        };
        let minutes = |seconds: i64| u32::try_from((seconds.max(0) + 59) / 60).unwrap_or(u32::MAX);
        Self { low: minutes(low), likely: minutes(likely), high: minutes(high) }
    }

    /// Sound for a recipe file: rising, at least a minute, at most `most`.
    pub fn within(self, most: u32) -> Self {
        let likely = self.likely.clamp(1, most);
        Self { low: self.low.clamp(1, likely), likely, high: self.high.clamp(likely, most) }
    }
}
