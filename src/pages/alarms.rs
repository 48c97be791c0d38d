//! The alarms: what is wrong, what follows if nothing is done, what to do.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{CAUTION, Moment, OfDish, headline};
use crate::kitchen::Evening;
use crate::paper::span;
use crate::paper::{self, Paper, Part};
use crate::run::alarms::{Bundle, bundles};
use crate::run::{Alarm, AlarmState, View};

/// The format's name and number.
pub const ALARMS_FORMAT: &str = "potwatch alarms 1";

/// The alarms of a moment.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AlarmsPage {
    /// `potwatch alarms 1`; another number means other fields.
    pub format: String,
    /// The party's title.
    pub title: String,
    /// Its day: 2026-11-25.
    pub day: String,
    /// The moment of which it tells.
    pub now: Moment,
    /// Alarms, the most pressing first; put-off ones last.
    pub alarms: Vec<Entry>,
    /// What came up together and was not seen yet is told as one, the most pressing first.
    #[serde(default)]
    pub bundles: Vec<Together>,
    /// Held back by design: a worse one of the same thing stands.
    pub held_back: Vec<Entry>,
}

/// Alarms that are told as one; each keeps its own cause, limit and answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Together {
    /// Their keys, most dangerous first.
    pub keys: Vec<String>,
    /// The highest of their ranks.
    pub rank: String,
    /// They are about food and its limits.
    pub safety: bool,
    /// How many and what.
    pub title: String,
    /// What they have in common, as far as that is known; else when they came.
    pub cause: String,
    /// What to do first.
    pub remedy: String,
}

/// An alarm.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Its stable name: kind, dish and step.
    pub key: String,
    /// "urgent", "warning" or "notice".
    pub rank: String,
    /// A few words.
    pub title: String,
    /// What is wrong.
    pub cause: String,
    /// What happens if nothing is done.
    pub consequence: String,
    /// What to do.
    pub remedy: String,
    /// When it became due.
    pub raised: Moment,
    /// When the harm is done; nothing: already.
    pub harm: Option<Moment>,
    /// Where it stands with the cook.
    pub state: Stands,
    /// When a put-off one comes back.
    pub again: Option<Moment>,
    /// The dish it is about.
    pub of: Option<OfDish>,
    /// It is about a safety limit.
    pub safety: bool,
}

/// Where an alarm stands with the cook.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Stands {
    /// Not yet seen.
    New,
    /// Seen, still true.
    Seen,
    /// Comes back later.
    PutOff,
    /// No longer true, not yet seen.
    OverByItself,
}

/// The alarms of a view.
#[must_use]
pub fn alarms(evening: &Evening, view: &View) -> AlarmsPage {
    let all = |of: &[Alarm]| of.iter().map(|alarm| entry(evening, alarm)).collect();
    AlarmsPage {
        format: ALARMS_FORMAT.to_owned(),
        title: evening.party.title.clone(),
        day: evening.party.day.to_string(),
        now: Moment::of(evening, view.now_ms),
        alarms: all(&view.alarms),
        bundles: bundles(evening, &view.alarms, view.now_ms).into_iter().map(together).collect(),
        held_back: all(&view.held_back),
    }
}

fn together(bundle: Bundle) -> Together {
    let Bundle { keys, rank, safety, title, cause, remedy, .. } = bundle;
    Together { keys, rank: rank.word().to_owned(), safety, title, cause, remedy }
}

fn entry(evening: &Evening, alarm: &Alarm) -> Entry {
    let (state, again) = match alarm.state {
        AlarmState::New => (Stands::New, None),
        AlarmState::Acknowledged => (Stands::Seen, None),
        AlarmState::PutOff(at) => (Stands::PutOff, Some(Moment::of(evening, at))),
        AlarmState::Returned => (Stands::OverByItself, None),
    };
    Entry {
        key: alarm.key.clone(),
        rank: alarm.rank.word().to_owned(),
        title: alarm.title.clone(),
        cause: alarm.cause.clone(),
        consequence: alarm.consequence.clone(),
        remedy: alarm.remedy.clone(),
        raised: Moment::of(evening, alarm.raised_ms),
        harm: alarm.harm_ms.map(|at| Moment::of(evening, at)),
        state,
        again,
        of: alarm.dish.and_then(|dish| OfDish::at(evening, dish)),
        safety: alarm.safety,
    }
}

impl AlarmsPage {
    /// The same page with the alarms of these keys alone, and the bundles that they are in;
    /// nothing if none of them stands any more.
    #[must_use]
    pub fn of_keys(mut self, keys: &[String]) -> Option<Self> {
        self.alarms.retain(|alarm| keys.contains(&alarm.key));
        self.bundles.retain(|bundle| bundle.keys.iter().any(|key| keys.contains(key)));
        self.held_back.clear();
        (!self.alarms.is_empty()).then_some(self)
    }

    /// The alarms as text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut parts = Vec::new();
        for bundle in &self.bundles {
            parts.push(Part::Heading(format!("Together: {}", bundle.title)));
            parts.push(Part::Words(format!("{} {}", bundle.cause, bundle.remedy)));
        }
        for alarm in &self.alarms {
            parts.push(Part::Heading(format!("{}: {}", alarm.rank, alarm.title)));
            parts.push(Part::Words(self.since(alarm)));
            parts.push(Part::List(said(alarm)));
        }
        if parts.is_empty() {
            parts.push(Part::Words("No alarms.".to_owned()));
        }
        if !self.held_back.is_empty() {
            let titles: Vec<&str> = self.held_back.iter().map(|a| a.title.as_str()).collect();
            let words = "Held back, a worse one of the same stands";
            parts.push(Part::Heading(words.to_owned()));
            parts.push(Part::Words(titles.join("; ")));
        }
        let title = headline(&self.title, &self.day, "alarms");
        let lead = [format!("As it stands at {}.", self.now.clock)];
        let paper = Paper { id: "alarms", title: "Alarms", parts };
        paper::all(&title, &lead, &[paper], &[CAUTION.to_owned()])
    }

    fn since(&self, alarm: &Entry) -> String {
        let left = alarm.harm.as_ref().map(|at| at.unix_ms - self.now.unix_ms);
        let left = left.filter(|left| *left > 0);
        let left = left.map_or_else(String::new, |left| format!("{} left, ", span(left)));
        let state = match (alarm.state, &alarm.again) {
            (Stands::New, _) => String::new(),
            (Stands::PutOff, Some(at)) => format!(", put off until {}", at.clock),
            (Stands::Seen | Stands::PutOff, _) => ", seen".to_owned(),
            (Stands::OverByItself, _) => ", over by itself".to_owned(),
        };
        format!("{left}since {}{state}", alarm.raised.clock)
    }
}

/// What is wrong, what follows, what to do; what is not said has no line.
fn said(alarm: &Entry) -> Vec<String> {
    let (cause, or_else, remedy) = (&alarm.cause, &alarm.consequence, &alarm.remedy);
    let said = [("", cause), ("else: ", or_else), ("do: ", remedy)];
    let said = said.into_iter().filter(|(_, words)| !words.is_empty());
    said.map(|(name, words)| format!("{name}{words}")).collect()
}
