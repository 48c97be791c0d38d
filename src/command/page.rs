//! `potwatch now`, `holding`, `alarms`: pages of an evening as its journal has it.
//! `potwatch menu`, `guests`, `serving`, `ahead`: pages of what comes before it. Each as
//! text or, with `--json`, for programs.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::Context;
use serde::Serialize;

use super::exit::WrongUse;
use super::plan::Effort;
use super::{Exit, Streams};
use crate::kitchen::{Evening, TimeOfDay};
use crate::live::clock::Clocks;
use crate::live::{opening, times};
use crate::mise::servingware;
use crate::pages::{ahead, alarms, guests, holding, menu, now, serving};
use crate::plan::{Plan, Situation, risk};
use crate::run::{State, View, view};
use crate::store::disk::is_gone;
use crate::store::{IfThere, RealDisk, save};

/// What is asked of an evening.
#[derive(Debug, Clone, clap::Args)]
pub struct EveningFlags {
    /// The party file, or its name on your shelf
    #[arg(value_name = "PARTY")]
    pub party: PathBuf,
    /// Print it for programs
    #[arg(long)]
    pub json: bool,
    /// As it stood at this time of the party's day: only what was marked until then counts
    #[arg(long, value_name = "HH:MM")]
    pub at: Option<String>,
}

/// What is asked of a party, whatever its plan.
#[derive(Debug, Clone, clap::Args)]
pub struct PartyFlags {
    /// The party file, or its name on your shelf
    #[arg(value_name = "PARTY")]
    pub party: PathBuf,
    /// Print it for programs
    #[arg(long)]
    pub json: bool,
}

/// What is asked of a party and its plan.
#[derive(Debug, Clone, clap::Args)]
pub struct PlannedFlags {
    /// The party file, or its name on your shelf
    #[arg(value_name = "PARTY")]
    pub party: PathBuf,
    /// Print it for programs
    #[arg(long)]
    pub json: bool,
    /// How long to search for a plan if the evening has none yet, in seconds
    #[arg(long, value_name = "S", default_value_t = 2.0)]
    pub seconds: f64,
    /// Search so many rounds instead: the same plan every time
    #[arg(long, value_name = "N", conflicts_with = "seconds")]
    pub rounds: Option<u64>,
}

/// A page of a running evening.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfEvening {
    /// How it stands.
    Now,
    /// What waits.
    Holding,
    /// What is wrong.
    Alarms,
}

/// A page of what comes before the evening, which wants a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OfPlan {
    /// The dishes, and whether they go together.
    Menu,
    /// What each dish goes to the table in.
    Serving,
    /// What is made the day before.
    Ahead,
}

/// Prints a page of an evening. The journal is only read.
///
/// # Errors
/// What is wrong with the party's files, its journal or the call; trouble with the disk.
pub fn evening(
    page: OfEvening,
    flags: &EveningFlags,
    streams: &mut Streams,
) -> anyhow::Result<Exit> {
    let (state, view) = stands(flags, streams)?;
    let evening = state.evening();
    match page {
        OfEvening::Now => {
            let now = now::now(evening, state.plan().map(AsRef::as_ref), &view);
            print(&now, now::NowPage::text, flags.json, streams)
        }
        OfEvening::Holding => {
            let holding = holding::holding(evening, &view);
            print(&holding, holding::HoldingPage::text, flags.json, streams)
        }
        OfEvening::Alarms => {
            let alarms = alarms::alarms(evening, &view);
            print(&alarms, alarms::AlarmsPage::text, flags.json, streams)
        }
    }
}

/// The evening at the time that is asked for, and what is to be seen of it then.
fn stands(flags: &EveningFlags, streams: &mut Streams) -> anyhow::Result<(State, View)> {
    let own = super::own::Own::find(streams.var);
    let loaded = super::own::party(&flags.party, streams)?.evening;
    let (from, who) = opening::journal_of(&loaded, own.places.as_ref().map_err(Clone::clone)?);
    let evening = Arc::new(times::as_begun(loaded, &from));
    let asked = flags.at.as_deref().map(TimeOfDay::parse).transpose();
    let asked = asked.map_err(|why| WrongUse(format!("--at: {why}")))?;
    let at_ms = asked.map(|time| evening.face.ms_of(evening.face.minute_of(time)));
    let now_ms = at_ms.unwrap_or_else(|| Clocks::default().now().wall_ms);
    if is_gone(&from) {
        opening::not_long_over(&evening, now_ms)?;
        let party = flags.party.display();
        writeln!(streams.err, "potwatch: nothing was marked yet; cook it with `potwatch {party}`")?;
    }
    let state = super::tell::read_until(&evening, &from, &who, at_ms.unwrap_or(i64::MAX))?;
    let view = view(&state, now_ms);
    Ok((state, view))
}

/// Prints what each guest can eat of the dishes that are made.
///
/// # Errors
/// The party cannot be read; trouble with its journal or with writing.
pub fn guests(flags: &PartyFlags, streams: &mut Streams) -> anyhow::Result<Exit> {
    let loaded = super::own::party(&flags.party, streams)?.evening;
    let begun = begun(loaded, streams)?;
    let page = guests::guests(&begun.evening, &begun.dropped);
    print(&page, guests::GuestsPage::text, flags.json, streams)
}

/// Prints a page that wants a plan: by that of the evening if it has begun, else by one that is
/// made for it; without one the page has no times.
///
/// # Errors
/// The party cannot be read; a wrong effort; trouble with its journal or with writing.
pub fn planned(page: OfPlan, flags: &PlannedFlags, streams: &mut Streams) -> anyhow::Result<Exit> {
    let effort = Effort { seconds: flags.seconds, rounds: flags.rounds, seed: 1 };
    let loaded = super::plan::open(&flags.party, &effort, streams)?;
    let begun = begun(loaded, streams)?;
    let (evening, dropped) = (&begun.evening, &begun.dropped);
    let plan = match begun.plan {
        Some(plan) => Some(plan),
        None => match super::plan::search(evening, &effort) {
            Ok(plan) => Some(Arc::new(plan)),
            Err(no_plan) => {
                super::plan::say_no_plan(&flags.party, evening, &no_plan, streams)?;
                None
            }
        },
    };
    let plan = plan.as_deref();
    match page {
        OfPlan::Menu => {
            let none = Plan::default();
            let odds = plan.map(|plan| {
                risk::forecast(evening, &begun.situation, plan, risk::SEED, risk::EVENINGS)
            });
            let basis = menu::Basis {
                evening,
                plan: plan.unwrap_or(&none),
                odds: odds.as_ref(),
                dropped,
                outdated: begun.outdated,
            };
            print(&menu::menu(basis), menu::MenuPage::text, flags.json, streams)
        }
        OfPlan::Serving => {
            let laying = servingware::lay(evening, plan, dropped);
            let page = serving::serving(evening, &laying);
            print(&page, serving::ServingPage::text, flags.json, streams)
        }
        OfPlan::Ahead => {
            let is_begun = || begun.situation.begun.keys().map(|key| key.dish);
            let stands = |dish| ahead::Stands::of(dish, dropped, is_begun());
            let page = ahead::ahead(evening, plan, stands);
            print(&page, ahead::AheadPage::text, flags.json, streams)
        }
    }
}

/// An evening as it stands.
pub(super) struct Begun {
    /// By the times that it began with, if it has begun.
    pub evening: Arc<Evening>,
    /// The plan in force, if it has one.
    pub plan: Option<Arc<Plan>>,
    /// The plan is from before the last change.
    pub outdated: bool,
    /// How it stands, for who looks ahead from now.
    pub situation: Situation,
    /// Dishes that are not made.
    pub dropped: Vec<usize>,
    /// What is ticked on the lists.
    pub ticked: BTreeSet<String>,
}

/// An evening as its journal has it, if there is one, and says so. The journal is only read.
pub(super) fn begun(evening: Evening, streams: &mut Streams) -> anyhow::Result<Begun> {
    let evening = Arc::new(evening);
    let own = super::own::Own::find(streams.var);
    let not_yet = |evening| Begun {
        evening,
        plan: None,
        outdated: false,
        situation: Situation::default(),
        dropped: Vec::new(),
        ticked: BTreeSet::new(),
    };
    let Ok(places) = &own.places else { return Ok(not_yet(evening)) };
    let (from, who) = opening::journal_of(&evening, places);
    let state = super::tell::read(&evening, &from, &who)?;
    let Some(plan) = state.plan() else { return Ok(not_yet(evening)) };
    let at = evening.face.label(plan.made_for);
    writeln!(streams.err, "potwatch: by the plan of {at}, with what was marked until then")?;
    let dropped = state.facts().dropped.keys().copied().collect();
    let ticked = state.facts().ticked.clone();
    Ok(Begun {
        evening: Arc::clone(state.evening()),
        plan: Some(Arc::clone(plan)),
        outdated: state.facts().stale.is_some(),
        situation: state.situation(Clocks::default().now().wall_ms),
        dropped,
        ticked,
    })
}

/// Prints a page as text or as JSON.
pub(super) fn print<T: Serialize>(
    page: &T,
    text: impl Fn(&T) -> String,
    json: bool,
    streams: &mut Streams,
) -> anyhow::Result<Exit> {
    let text = if json { self::json(page)? } else { text(page) };
    streams.out.write_all(text.as_bytes())?;
    Ok(Exit::Done)
}

/// A value for programs, with a line break at its end.
pub(super) fn json<T: Serialize>(value: &T) -> anyhow::Result<String> {
    Ok(serde_json::to_string_pretty(value)? + "\n")
}

/// Writes a file, whole or not at all.
pub(super) fn write(out: &Path, text: &str, there: IfThere) -> anyhow::Result<()> {
    save(&RealDisk, out, text.as_bytes(), there).with_context(|| {
        let refused = there == IfThere::Refuse && out.exists();
        let remedy = if refused { " (--replace puts it in its place)" } else { "" };
        format!("nothing was written{remedy}")
    })
}
