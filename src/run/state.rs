//! What is known of the evening after all marks that count. Built by
//! [`mod@super::fold`]; nothing else remembers anything.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::adopt::MISS_STANDS_MS;
use super::asked::AskedFor;
use super::event::{Answer, Clearing, Event, Mark, StepId};
use super::memo::Memo;
use super::oven::Dial;
use super::reshuffle::Why;
use super::view::Changed;
use crate::kitchen::{Evening, Minute, Sheet, StationKind};
use crate::mise::ticks::Asked;
use crate::plan::{Block, HoldBlock, Plan, StepKey};

/// Milliseconds in a minute.
pub const MINUTE_MS: i64 = 60_000;

/// The state of the evening: the party and the fold of its marks.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// As the party file has it.
    pub(super) party: Arc<Evening>,
    /// As it is now, with all changes.
    pub(super) evening: Arc<Evening>,
    /// Every mark, in the order in which it came.
    pub(super) log: Vec<Arc<Mark>>,
    /// Which of them count no more.
    pub(super) void: Vec<bool>,
    pub(super) facts: Facts,
    pub(super) memo: Memo,
    pub(super) asked: AskedFor,
}

/// What the marks that count add up to. Times are unix milliseconds.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Facts {
    /// How far each load has come; loads not named have not begun.
    pub progress: BTreeMap<StepKey, Progress>,
    /// Loads of the day before that nobody marked and that are taken to be done.
    pub assumed: BTreeSet<StepKey>,
    /// Where each dish was put, in order of time.
    pub stays: BTreeMap<usize, Vec<Stay>>,
    /// Stations that cannot be used, and since when.
    pub down: BTreeMap<String, i64>,
    /// What happened to each station, in order of marks: a hold that failed once
    /// has failed, whatever is done to the station later.
    pub station_log: BTreeMap<String, Vec<(i64, StationMark)>>,
    /// What each thermostat was set to, in order of marks: the last is how it stands.
    pub dials: BTreeMap<String, Vec<Dial>>,
    /// Services that were moved, and to when.
    pub service_at: BTreeMap<usize, Minute>,
    /// Servings that were changed.
    pub servings: BTreeMap<usize, u32>,
    /// Dishes that are not made, and since when.
    pub dropped: BTreeMap<usize, i64>,
    /// Stretches in which a dish was dropped: from, to. What had been begun of it
    /// was there all the same.
    pub left: BTreeMap<usize, Vec<(i64, Option<i64>)>>,
    /// Steps that the cook wants to start at a minute.
    pub pins: BTreeMap<StepKey, Minute>,
    /// Ways that the cook has settled, by dish and step.
    pub ways: BTreeMap<(usize, usize), usize>,
    /// Places to wait that the cook has settled, by dish.
    pub places: BTreeMap<usize, usize>,
    /// Temperatures taken, in order of time.
    pub taken: BTreeMap<usize, Vec<Reading>>,
    /// The air of the room as measured, in order of time.
    pub air: Vec<Reading>,
    /// What steps use from the fridge and stood out before they began: from, to.
    pub early: BTreeMap<StepKey, Vec<(i64, Option<i64>)>>,
    /// Parts of finished dishes that went their own way.
    pub portions: BTreeMap<(usize, u32), Portion>,
    /// The guidance that was changed to, and when.
    pub guidance: Vec<(i64, String)>,
    /// Dishes for which another rule of the guidance was chosen: when, and which.
    pub rules: BTreeMap<usize, (i64, String)>,
    /// What the cook did about alarms, by key.
    pub handled: BTreeMap<String, Handled>,
    /// What is ticked off the lists: `buy/onion`.
    pub ticked: BTreeSet<String>,
    /// What the line asked when its tick was given, where it asks for anything.
    pub ticked_for: BTreeMap<String, Asked>,
    /// The plan on the screen.
    pub plan: Option<InForce>,
    /// The plan with which the evening began.
    pub first_plan: Option<Arc<Plan>>,
    /// The plans that it followed, oldest first; the last [`PLANS_KEPT`].
    pub plans_before: Vec<InForce>,
    /// What the last reshuffle moved and why, and when.
    pub change: Option<Changed>,
    /// Steps that were due and had not started when a plan moved them along
    /// with the clock: since when they are due.
    pub due_since: BTreeMap<StepKey, i64>,
    /// Dials that were due and had not been turned when a plan moved them along:
    /// the setting, and since when it is due.
    pub dials_due: BTreeMap<String, (i32, i64)>,
    /// Services that the plan on the screen misses.
    pub risks: BTreeMap<usize, Risk>,
    /// Services at risk that a reshuffle brought back, and when.
    pub relieved: BTreeMap<usize, (Risk, i64)>,
    /// Something happened that the plan on the screen does not know of.
    pub stale: Option<Why>,
    /// The cook closed the evening.
    pub finished_ms: Option<i64>,
    /// Marks that did not fit, and what was made of them.
    pub notes: Vec<Note>,
}

/// How many earlier plans are kept.
pub const PLANS_KEPT: usize = 60;

/// How far a load has come.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Progress {
    /// It runs.
    Running(Run),
    /// It is done.
    Done(Run, i64),
    /// It was left out at this time; with the run that was broken off, if it had begun.
    Skipped(Option<Run>, i64),
}

impl Progress {
    /// Done or left out.
    #[must_use]
    pub fn is_over(&self) -> bool {
        !matches!(self, Self::Running(_))
    }

    /// The run, if it had begun.
    #[must_use]
    pub fn run(&self) -> Option<&Run> {
        match self {
            Self::Running(run) | Self::Done(run, _) => Some(run),
            Self::Skipped(run, _) => run.as_ref(),
        }
    }

    /// When it was over.
    #[must_use]
    pub fn end_ms(&self) -> Option<i64> {
        match self {
            Self::Running(_) => None,
            Self::Done(_, end) | Self::Skipped(_, end) => Some(*end),
        }
    }
}

/// A load that has begun.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Run {
    /// When.
    pub start_ms: i64,
    /// When the mark came that told of it: what it undoes of a limit that had
    /// passed by then, it does not undo.
    pub told_ms: i64,
    /// Index of the way.
    pub way: usize,
    /// Id of the station.
    pub station: String,
    /// Id of the cook.
    pub cook: Option<String>,
    /// Until when the cook asked for more time.
    pub more_until_ms: Option<i64>,
    /// Oven setting, °C.
    pub setting_c: Option<i32>,
}

/// Where a dish was put, and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stay {
    /// When.
    pub at_ms: i64,
    /// Where.
    pub at: Whereabouts,
}

/// A part of a finished dish that went its own way.
#[derive(Debug, Clone, PartialEq)]
pub struct Portion {
    /// When it was taken off the rest.
    pub from_ms: i64,
    /// Where it was put since, in order of time.
    pub stays: Vec<Stay>,
    /// Temperatures taken in it, in order of time.
    pub taken: Vec<Reading>,
    /// When it was put together with something else, and with what: the dish,
    /// and the part of it or the rest.
    pub joined: Option<(i64, usize, Option<u32>)>,
}

/// Where a dish is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Whereabouts {
    /// It waits.
    Held {
        /// Index of the hold, if the recipe names this place.
        hold: Option<usize>,
        /// The kind of place.
        place: StationKind,
        /// Id of the station.
        station: Option<String>,
    },
    /// On the table.
    Table,
    /// Gone.
    Gone(Clearing),
}

/// What was marked of a station.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StationMark {
    /// It cannot be used.
    Down,
    /// It can be used again.
    Up,
    /// Its thermostat was set to so many °C.
    Set(i32),
}

/// A temperature taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// When.
    pub at_ms: i64,
    /// °C.
    pub celsius: f64,
}

/// What the cook did about an alarm, and when.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Handled {
    /// Seen at.
    pub seen_ms: Option<i64>,
    /// Put off: at, until.
    pub put_off: Option<(i64, i64)>,
    /// Answered: at, how.
    pub answered: Option<(i64, Answer)>,
}

/// A plan and since when it is on the screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InForce {
    /// The plan.
    pub plan: Arc<Plan>,
    /// Since when.
    pub since_ms: i64,
}

/// A service that the plan on the screen misses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Risk {
    /// Since when plans miss it without a break.
    pub since_ms: i64,
    /// Minutes late by the plan on the screen.
    pub late: Minute,
    /// How bad it has been: see [`super::alarms`]. Only rises.
    pub level: u32,
    /// Since when it is so bad.
    pub level_ms: i64,
    /// The dish that is latest.
    pub dish: usize,
}

impl Risk {
    /// From when on it is an alarm (unix ms): once plans have missed the service for long enough.
    #[must_use]
    pub fn told_from_ms(&self) -> i64 {
        self.level_ms.max(self.since_ms.saturating_add(MISS_STANDS_MS))
    }
}

/// A mark that did not fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    /// Its place in the journal.
    pub seq: u64,
    /// What was odd and what was made of it.
    pub text: String,
}

impl State {
    /// The evening as its files have it, before anything happened.
    #[must_use]
    pub fn party(&self) -> &Arc<Evening> {
        &self.party
    }

    /// The party as it is now, with all changes: servings, dishes, items, guests.
    #[must_use]
    pub fn evening(&self) -> &Arc<Evening> {
        &self.evening
    }

    /// What the marks add up to.
    #[must_use]
    pub fn facts(&self) -> &Facts {
        &self.facts
    }

    /// Marks that did not fit, and what was made of them.
    #[must_use]
    pub fn notes(&self) -> &[Note] {
        &self.facts.notes
    }

    /// The plan on the screen.
    #[must_use]
    pub fn plan(&self) -> Option<&Arc<Plan>> {
        self.facts.plan.as_ref().map(|p| &p.plan)
    }

    /// The plan as it was before the last reshuffle.
    #[must_use]
    pub fn plan_before(&self) -> Option<&Arc<Plan>> {
        self.facts.plans_before.last().map(|p| &p.plan)
    }

    /// Every mark, in the order in which it came, and whether it counts.
    pub fn marks(&self) -> impl DoubleEndedIterator<Item = (&Mark, bool)> {
        self.log.iter().zip(&self.void).map(|(mark, void)| (mark.as_ref(), !void))
    }

    /// The number that the next mark gets.
    #[must_use]
    pub fn next_seq(&self) -> u64 {
        self.log.iter().map(|m| m.seq).max().unwrap_or(0).saturating_add(1)
    }

    /// The last mark that the undo key takes back: not a plan, not an undo,
    /// not that an alarm was seen.
    #[must_use]
    pub fn last_undoable(&self) -> Option<&Mark> {
        let takes_back = |e: &Event| {
            !matches!(
                e,
                Event::PlanAdopted { .. }
                    | Event::Undone { .. }
                    | Event::AlarmAcknowledged { .. }
                    | Event::ClockSetBack { .. }
            )
        };
        self.marks().rev().find(|(mark, counts)| *counts && takes_back(&mark.event)).map(|m| m.0)
    }

    /// The undo that can itself be undone: the last thing the cook did.
    #[must_use]
    pub fn last_redoable(&self) -> Option<&Mark> {
        let by_cook =
            |e: &Event| !matches!(e, Event::PlanAdopted { .. } | Event::ClockSetBack { .. });
        self.marks()
            .rev()
            .find(|(mark, counts)| *counts && by_cook(&mark.event))
            .map(|m| m.0)
            .filter(|mark| matches!(mark.event, Event::Undone { .. }))
    }

    /// A time that the arithmetic can bear: within a hundred days of the party.
    #[must_use]
    pub fn sane_ms(&self, ms: i64) -> i64 {
        let origin = self.party.face.origin_s.saturating_mul(1000);
        let reach = 100 * 24 * 60 * MINUTE_MS;
        ms.clamp(origin.saturating_sub(reach), origin.saturating_add(reach))
    }

    /// The minute of the party's day in which `ms` lies.
    #[must_use]
    pub fn minute(&self, ms: i64) -> Minute {
        self.party.face.minute_at(self.sane_ms(ms))
    }

    /// When a minute begins.
    #[must_use]
    pub fn ms(&self, minute: Minute) -> i64 {
        self.party.face.ms_of(minute)
    }

    /// When a service should stand on the table, as moved.
    #[must_use]
    pub fn service_minute(&self, service: usize) -> Minute {
        let moved = self.facts.service_at.get(&service).copied();
        moved.unwrap_or_else(|| self.party.service_minute(service))
    }

    /// When a dish's service begins (unix ms).
    #[must_use]
    pub fn due_ms(&self, dish: usize) -> i64 {
        self.sheet(dish).map_or(0, |s| self.ms(self.service_minute(s.service)))
    }

    /// A dish's sheet.
    #[must_use]
    pub fn sheet(&self, dish: usize) -> Option<&Sheet> {
        self.evening.sheets.get(dish)
    }

    /// The key of a step's load by its ids.
    #[must_use]
    pub fn key(&self, id: &StepId) -> Option<StepKey> {
        let dish = self.evening.dish_index(&id.dish)?;
        let step = self.evening.sheets.get(dish)?.step_index(&id.step)?;
        Some(StepKey { dish, step, load: id.load })
    }

    /// The ids of a step's load by its key.
    #[must_use]
    pub fn id(&self, key: StepKey) -> Option<StepId> {
        let sheet = self.sheet(key.dish)?;
        let step = sheet.recipe.steps.get(key.step)?;
        Some(StepId { dish: sheet.id.clone(), step: step.id.clone(), load: key.load })
    }

    /// The recipe's step of a key.
    #[must_use]
    pub fn step(&self, key: StepKey) -> Option<&crate::kitchen::Step> {
        self.sheet(key.dish)?.recipe.steps.get(key.step)
    }

    /// The block of a load in the plan on the screen.
    #[must_use]
    pub fn block(&self, key: StepKey) -> Option<&Block> {
        self.plan()?.blocks.iter().find(|b| b.key == key)
    }

    /// The hold of a dish in the plan on the screen.
    #[must_use]
    pub fn hold_block(&self, dish: usize) -> Option<&HoldBlock> {
        self.plan()?.holds.iter().find(|h| h.dish == dish)
    }
}
