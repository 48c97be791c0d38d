//! `potwatch sheets PARTY.json`: everything that goes on paper or into a calendar.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::Context;
use clap::ValueEnum;

use super::exit::WrongUse;
use super::plan::Effort;
use super::{Exit, Streams};
use crate::kitchen::Evening;
use crate::live::opening;
use crate::mise::paper::{self, Make, Paper};
use crate::mise::{calendar, chart, servingware};
use crate::plan::Plan;
use crate::store::{IfThere, RealDisk, save};

/// How the sheets are printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SheetsFormat {
    /// For reading in a terminal
    Text,
    /// One page of them all, for a browser and its printer
    Html,
    /// The lane chart alone, as a picture
    Svg,
    /// The plan for a calendar (iCalendar, RFC 5545), with alarms
    Ics,
}

/// What is wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wanted {
    /// As what.
    pub format: SheetsFormat,
    /// Which sheets, by their names; all if there is none.
    pub sheets: Vec<String>,
    /// Into which file; printed if there is none.
    pub out: Option<PathBuf>,
    /// What if that file is there?
    pub there: IfThere,
}

/// Prints the sheets: of the evening as it stands if it has begun, else of a
/// plan that is made for them. The journal is only read.
///
/// # Errors
/// What is wrong with the party's files, its journal or the call; trouble with the disk.
pub fn run(
    path: &Path,
    wanted: &Wanted,
    effort: &Effort,
    streams: &mut Streams,
) -> anyhow::Result<Exit> {
    let loaded = super::own::party(path, streams)?.evening;
    let (evening, plan, dropped) = match begun(loaded, streams)? {
        Begun::Yes { evening, plan, dropped } => (evening, plan, dropped),
        Begun::No(evening) => match super::plan::search(&evening, effort) {
            Ok(plan) => (evening, Arc::new(plan), Vec::new()),
            Err(no_plan) => return super::plan::say_no_plan(path, &evening, &no_plan, streams),
        },
    };
    let laying = servingware::lay(&evening, Some(&plan), &dropped);
    let make = Make { evening: &evening, plan: &plan, laying: &laying, dropped: &dropped };
    let text = print(make, wanted)?;
    for line in servingware::clash_lines(&evening, &laying) {
        writeln!(streams.err, "potwatch: {line}")?;
    }
    match &wanted.out {
        None => streams.out.write_all(text.as_bytes())?,
        Some(out) => save(&RealDisk, out, text.as_bytes(), wanted.there).with_context(|| {
            let remedy = if out.exists() { " (--replace puts it in its place)" } else { "" };
            format!("the sheets were not written{remedy}")
        })?,
    }
    Ok(Exit::Done)
}

/// Has the evening been opened before?
enum Begun {
    /// As its journal has it.
    Yes { evening: Arc<Evening>, plan: Arc<Plan>, dropped: Vec<usize> },
    /// Not yet, or it never had a plan.
    No(Arc<Evening>),
}

fn begun(evening: Evening, streams: &mut Streams) -> anyhow::Result<Begun> {
    let evening = Arc::new(evening);
    let own = super::own::Own::find(streams.var);
    let Ok(places) = &own.places else { return Ok(Begun::No(evening)) };
    let (from, who) = opening::journal_of(&evening, places);
    let state = super::tell::read(&evening, &from, &who)?;
    let Some(plan) = state.plan() else { return Ok(Begun::No(evening)) };
    let at = evening.face.label(plan.made_for);
    writeln!(streams.err, "potwatch: by the plan of {at}, with what was marked until then")?;
    let dropped = state.facts().dropped.keys().copied().collect();
    Ok(Begun::Yes { evening: Arc::clone(state.evening()), plan: Arc::clone(plan), dropped })
}

fn print(make: Make, wanted: &Wanted) -> anyhow::Result<String> {
    let of_all = |format: &str| {
        let text = format!("--sheet goes with text and html; {format} is one piece");
        if wanted.sheets.is_empty() { Ok(()) } else { Err(WrongUse(text)) }
    };
    let papers = || chosen(paper::sheets(make), &wanted.sheets);
    let (title, lead, foot) = (make.title(), make.lead(), make.foot());
    Ok(match wanted.format {
        SheetsFormat::Text => paper::all(&title, &lead, &papers()?, &foot),
        SheetsFormat::Html => paper::page(&title, &lead, &papers()?, &foot),
        SheetsFormat::Svg => {
            of_all("svg")?;
            chart::whole(make.evening, make.plan)
        }
        SheetsFormat::Ics => {
            of_all("ics")?;
            calendar::write(&calendar::calendar(make.evening, make.plan, &[]))
        }
    })
}

/// Those that were asked for, in the order of all.
fn chosen(all: Vec<Paper>, names: &[String]) -> Result<Vec<Paper>, WrongUse> {
    if let Some(wrong) = names.iter().find(|n| all.iter().all(|p| p.id != n.as_str())) {
        let known: Vec<&str> = all.iter().map(|p| p.id).collect();
        return Err(WrongUse(format!("--sheet {wrong}: there are {}", known.join(", "))));
    }
    let wanted = |p: &Paper| names.is_empty() || names.iter().any(|n| n == p.id);
    Ok(all.into_iter().filter(wanted).collect())
}
