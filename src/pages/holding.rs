//! The holding board: what waits or stands on the table, and until when.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{CAUTION, Moment, OfDish, headline};
use crate::kitchen::{Evening, HoldClass};
use crate::paper::{self, Card, Paper, Part};
use crate::run::{Countdown, Holding, Limit, Measure, View};

/// The format's name and number.
pub const HOLDING_FORMAT: &str = "potwatch holding 1";

/// What is said where nothing is held.
pub const NOTHING: &str = "No finished dish waits, and nothing stands on the table.";

/// The board.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HoldingPage {
    /// `potwatch holding 1`; another number means other fields.
    pub format: String,
    /// The party's title.
    pub title: String,
    /// Its day: 2026-11-25.
    pub day: String,
    /// The moment of which it tells.
    pub now: Moment,
    /// What waits or stands on the table, the nearest limit first, then parts of dishes.
    pub holding: Vec<Entry>,
}

/// A dish, or a part of one, that waits.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Which dish.
    pub of: OfDish,
    /// Which part of it; nothing: what was not taken off.
    pub part: Option<u32>,
    /// Where, in words.
    pub place: String,
    /// How it is kept.
    pub class: HoldClass,
    /// It is on the table.
    pub served: bool,
    /// Since when.
    pub since: Moment,
    /// Until when it is at its best.
    pub best: Until,
    /// Until when it may be eaten, by the guidance.
    pub may_be_eaten: Until,
    /// The last temperature taken.
    pub taken: Option<Taken>,
    /// Why a reading is wanted; nothing if none is.
    pub measure: Option<String>,
    /// What to do with it.
    pub advice: String,
}

/// A limit on waiting.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Until {
    /// When it is reached; nothing: it does not run while the food is kept like this.
    pub at: Option<Moment>,
    /// How it stands.
    pub state: Stands,
    /// Where the figure comes from.
    pub why: String,
    /// How long it still is, in words.
    pub words: String,
}

/// How a limit stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Stands {
    /// Far off, or not running.
    Fine,
    /// Near: time to act.
    Soon,
    /// Passed.
    Past,
}

/// A temperature that was taken.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Taken {
    /// °C.
    pub celsius: f64,
    /// In the party's degrees.
    pub words: String,
    /// When.
    pub at: Moment,
}

/// The board of a view.
#[must_use]
pub fn holding(evening: &Evening, view: &View) -> HoldingPage {
    let all = view.holding.iter().chain(&view.portions);
    HoldingPage {
        format: HOLDING_FORMAT.to_owned(),
        title: evening.party.title.clone(),
        day: evening.party.day.to_string(),
        now: Moment::of(evening, view.now_ms),
        holding: all.filter_map(|held| entry(evening, view, held)).collect(),
    }
}

fn entry(evening: &Evening, view: &View, held: &Holding) -> Option<Entry> {
    let same = |m: &&Measure| (m.dish, m.part) == (held.dish, held.part);
    let due = |m: &&Measure| m.due_ms <= view.now_ms;
    let until = |limit: &Limit, gone: &str| Until {
        at: limit.at_ms.map(|at| Moment::of(evening, at)),
        state: match limit.state {
            Countdown::Fine => Stands::Fine,
            Countdown::Soon => Stands::Soon,
            Countdown::Past => Stands::Past,
        },
        why: limit.why.clone(),
        words: limit.words(view.now_ms, "", gone),
    };
    Some(Entry {
        of: OfDish::at(evening, held.dish)?,
        part: held.part,
        place: held.place.clone(),
        class: held.class,
        served: held.served,
        since: Moment::of(evening, held.since_ms),
        best: until(&held.best, "past its best"),
        may_be_eaten: until(&held.safe, "PAST SAFE LIMIT"),
        taken: held.taken.map(|(celsius, at)| Taken {
            celsius,
            words: evening.customs.taken(celsius),
            at: Moment::of(evening, at),
        }),
        measure: view.measure.iter().filter(due).find(same).map(|m| m.why.clone()),
        advice: held.advice.clone(),
    })
}

impl HoldingPage {
    /// The board as text.
    #[must_use]
    pub fn text(&self) -> String {
        let cards: Vec<Card> = self.holding.iter().map(card).collect();
        let parts = match cards.is_empty() {
            true => vec![Part::Words(NOTHING.to_owned())],
            false => vec![Part::Cards(cards)],
        };
        let title = headline(&self.title, &self.day, "what waits, and until when");
        let lead = [format!("As it stands at {}.", self.now.clock)];
        let board = Paper { id: "holding", title: "Holding", parts };
        paper::all(&title, &lead, &[board], &[CAUTION.to_owned()])
    }
}

fn card(entry: &Entry) -> Card {
    let title = match entry.part {
        Some(part) => format!("part {part}: {}", entry.of.title),
        None => entry.of.title.clone(),
    };
    let place = if entry.served { "on the table" } else { &entry.place };
    let mut lines =
        vec![("is", format!("{place}, {}, since {}", entry.class.kept(), entry.since.clock))];
    if let Some(taken) = &entry.taken {
        lines.push(("measured", format!("{} at {}", taken.words, taken.at.clock)));
    }
    lines.push(("at its best", until_words(&entry.best)));
    lines.push(("may be eaten", until_words(&entry.may_be_eaten)));
    if let Some(why) = &entry.measure {
        lines.push(("measure it", why.clone()));
    }
    if !entry.advice.is_empty() {
        lines.push(("do", entry.advice.clone()));
    }
    Card { letter: entry.of.letter, title, lines }
}

fn until_words(until: &Until) -> String {
    let at = until.at.as_ref().map_or_else(String::new, |at| format!(" ({})", at.clock));
    let why = if until.why.is_empty() { String::new() } else { format!(": {}", until.why) };
    format!("{}{at}{why}", until.words)
}
