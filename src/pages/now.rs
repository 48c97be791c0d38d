//! How the evening stands: what wants hands now, what runs, what comes next, the
//! services. It is what the chart and the big type show.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Moment, OfDish, headline};
use crate::kitchen::Evening;
use crate::paper::span;
use crate::paper::{self, Paper, Part};
use crate::plan::Plan;
use crate::run::{AlarmState, Prompt, PromptKind, View};

/// The format's name and number.
pub const NOW_FORMAT: &str = "potwatch now 1";

/// So many of the things that come next are told as text; the plan has the rest.
const TOLD_NEXT: usize = 12;

/// An evening at a moment.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NowPage {
    /// `potwatch now 1`; another number means other fields.
    pub format: String,
    /// The party's title.
    pub title: String,
    /// Its day: 2026-11-25.
    pub day: String,
    /// The moment of which it tells.
    pub now: Moment,
    /// There is a plan: the evening was opened.
    pub planned: bool,
    /// The services.
    pub services: Vec<Service>,
    /// Alarms that were not answered, the most pressing first.
    pub alarms: Vec<Banner>,
    /// What wants the cook's hands now, the most pressing first.
    pub do_now: Vec<Task>,
    /// What runs by itself, by end.
    pub running: Vec<Task>,
    /// Readings that are wanted now or later.
    pub measure: Vec<Task>,
    /// What comes next, the soonest first.
    pub next: Vec<Task>,
    /// Ids of stations that cannot be used.
    pub down: Vec<String>,
    /// Ids of dishes that are not made after all.
    pub dropped: Vec<String>,
    /// What the last reshuffle moved, while that is fresh.
    pub moved: Option<Moved>,
    /// What the end means, once all is served.
    pub ending: Option<String>,
}

/// A service.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Service {
    /// Its title.
    pub title: String,
    /// When it should stand on the table.
    pub due: Moment,
    /// When its last dish will, by the plan.
    pub expected: Moment,
    /// Minutes by which it is late; 0: on time.
    pub late_minutes: i64,
}

/// An alarm in a line.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Banner {
    /// "urgent", "warning" or "notice".
    pub rank: String,
    /// A few words.
    pub title: String,
    /// What to do.
    pub remedy: String,
}

/// Something to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Task {
    /// What kind of thing.
    pub kind: Kind,
    /// The dish it is about.
    pub of: Option<OfDish>,
    /// Id of the step it is about.
    pub step: Option<String>,
    /// Which load of that step, from 0.
    pub load: Option<u32>,
    /// A few words.
    pub short: String,
    /// What to do, where, with what.
    pub text: String,
    /// When it is due.
    pub due: Moment,
}

/// Kinds of things to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Start a step.
    Start,
    /// Put in.
    PutIn,
    /// End a step.
    Finish,
    /// Take out.
    TakeOut,
    /// Turn the dial.
    Dial,
    /// Take to the table.
    Serve,
    /// Take a temperature.
    Measure,
}

/// What a reshuffle moved.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Moved {
    /// When.
    pub at: Moment,
    /// What.
    pub what: String,
    /// Why.
    pub why: String,
}

/// The evening of a view; `plan` is the one in force.
#[must_use]
pub fn now(evening: &Evening, plan: Option<&Plan>, view: &View) -> NowPage {
    let tasks = |of: &[Prompt]| of.iter().map(|p| task(evening, p)).collect();
    let unanswered = view.alarms.iter().filter(|a| a.state == AlarmState::New);
    let banner = |a: &crate::run::Alarm| Banner {
        rank: a.rank.word().to_owned(),
        title: a.title.clone(),
        remedy: a.remedy.clone(),
    };
    let id = |dish: &usize| evening.sheets.get(*dish).map(|s| s.id.clone());
    NowPage {
        format: NOW_FORMAT.to_owned(),
        title: evening.party.title.clone(),
        day: evening.party.day.to_string(),
        now: Moment::of(evening, view.now_ms),
        planned: plan.is_some(),
        services: plan.map_or_else(Vec::new, |plan| services(evening, plan)),
        alarms: unanswered.map(banner).collect(),
        do_now: tasks(&view.do_now),
        running: tasks(&view.running),
        measure: view.measure.iter().map(|m| reading(evening, m)).collect(),
        next: tasks(&view.next),
        down: view.down.clone(),
        dropped: view.dropped.iter().filter_map(id).collect(),
        moved: view.last_change.as_ref().filter(|c| !c.moved.is_empty()).map(|c| Moved {
            at: Moment::of(evening, c.at_ms),
            what: c.moved.clone(),
            why: c.why.clone(),
        }),
        ending: view.ending.as_ref().map(|e| e.title.clone()),
    }
}

fn services(evening: &Evening, plan: &Plan) -> Vec<Service> {
    let moment = |minute| Moment::of(evening, evening.face.ms_of(minute));
    let told = plan.services.iter().filter_map(|line| {
        let title = evening.party.services.get(line.service)?.title.clone();
        let last = line.dishes.iter().map(|d| d.2).max().unwrap_or(line.due);
        let late_minutes = i64::from((last - line.due).max(0));
        Some(Service { title, due: moment(line.due), expected: moment(last), late_minutes })
    });
    told.collect()
}

fn task(evening: &Evening, prompt: &Prompt) -> Task {
    let step = prompt.key.and_then(|key| {
        let sheet = evening.sheets.get(key.dish)?;
        Some(sheet.recipe.steps.get(key.step)?.id.clone())
    });
    let dish = prompt.dish.or(prompt.key.map(|key| key.dish));
    Task {
        kind: match prompt.kind {
            PromptKind::Start => Kind::Start,
            PromptKind::PutIn => Kind::PutIn,
            PromptKind::Finish => Kind::Finish,
            PromptKind::TakeOut => Kind::TakeOut,
            PromptKind::Dial => Kind::Dial,
            PromptKind::Serve => Kind::Serve,
        },
        of: dish.and_then(|dish| OfDish::at(evening, dish)),
        step,
        load: prompt.key.map(|key| key.load),
        short: prompt.short.clone(),
        text: prompt.text.clone(),
        due: Moment::of(evening, prompt.due_ms),
    }
}

fn reading(evening: &Evening, wanted: &crate::run::Measure) -> Task {
    Task {
        kind: Kind::Measure,
        of: OfDish::at(evening, wanted.dish),
        step: None,
        load: None,
        short: wanted.short.clone(),
        text: wanted.why.clone(),
        due: Moment::of(evening, wanted.due_ms),
    }
}

impl NowPage {
    /// The evening as text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut lead = vec![format!("As it stands at {}.", self.now.clock)];
        lead.extend(self.ending.clone());
        if let Some(moved) = &self.moved {
            lead.push(format!("Moved at {}: {} {}", moved.at.clock, moved.what, moved.why));
        }
        if !self.planned {
            lead.push("It was not opened yet, so there is no plan of it.".to_owned());
        }
        let mut papers = Vec::new();
        let mut list = |id, title, lines: Vec<String>| {
            if !lines.is_empty() {
                papers.push(Paper { id, title, parts: vec![Part::List(lines)] });
            }
        };
        let alarms = self.alarms.iter();
        let alarms = alarms.map(|a| format!("{}: {}. {}", a.rank, a.title, a.remedy)).collect();
        list("alarms", "Alarms", alarms);
        list("do-now", "Do now", self.do_now.iter().map(|t| self.told(t)).collect());
        list("running", "Runs by itself", self.running.iter().map(|t| self.told(t)).collect());
        list("measure", "Measure", self.measure.iter().map(|t| self.told(t)).collect());
        let mut next: Vec<String> =
            self.next.iter().take(TOLD_NEXT).map(|t| self.told(t)).collect();
        if self.next.len() > TOLD_NEXT {
            next.push(format!("and {} more", self.next.len() - TOLD_NEXT));
        }
        list("next", "Next", next);
        list("services", "Services", self.services.iter().map(service_words).collect());
        let mut gone: Vec<String> = self.down.iter().map(|s| format!("{s} is broken")).collect();
        gone.extend(self.dropped.iter().map(|d| format!("{d} is not made")));
        list("gone", "Not as planned", gone);
        let title = headline(&self.title, &self.day, "how it stands");
        paper::all(&title, &lead, &papers, &[])
    }

    /// "18:04, in 4 min: pull the pie. The pie out of the oven."
    fn told(&self, task: &Task) -> String {
        let left = task.due.unix_ms - self.now.unix_ms;
        let when = match left {
            l if l >= 60_000 => format!(", in {}", span(l)),
            l if l <= -60_000 => format!(", {} ago", span(l)),
            _ => ", now".to_owned(),
        };
        format!("{}{when}: {}. {}", task.due.clock, task.short, crate::paper::capital(&task.text))
    }
}

fn service_words(service: &Service) -> String {
    let late = match service.late_minutes {
        0 => "on time by the plan".to_owned(),
        n => format!("{n} min late by the plan ({})", service.expected.clock),
    };
    format!("{} {}: {late}", service.title, service.due.clock)
}
