//! `potwatch sheets PARTY.json`: everything that goes on paper or into a calendar.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use clap::ValueEnum;

use super::exit::WrongUse;
use super::page::Begun;
use super::plan::Effort;
use super::{Exit, Streams};
use crate::mise::sheets::{self, Make};
use crate::mise::{calendar, chart, servingware};
use crate::paper::{self, Paper};
use crate::store::IfThere;

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
    /// As what; nothing: for programs.
    pub format: Option<SheetsFormat>,
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
    let Begun { evening, plan, dropped, ticked, .. } = super::page::begun(loaded, streams)?;
    let plan = match plan {
        Some(plan) => plan,
        None => match super::plan::search(&evening, effort) {
            Ok(plan) => Arc::new(plan),
            Err(no_plan) => return super::plan::say_no_plan(path, &evening, &no_plan, streams),
        },
    };
    let laying = servingware::lay(&evening, Some(&plan), &dropped);
    let make = Make {
        evening: &evening,
        plan: &plan,
        laying: &laying,
        dropped: &dropped,
        ticked: &ticked,
    };
    let text = print(make, wanted)?;
    for line in servingware::clash_lines(&evening, &laying) {
        writeln!(streams.err, "potwatch: {line}")?;
    }
    match &wanted.out {
        None => streams.out.write_all(text.as_bytes())?,
        Some(out) => super::page::write(out, &text, wanted.there)?,
    }
    Ok(Exit::Done)
}

fn print(make: Make, wanted: &Wanted) -> anyhow::Result<String> {
    let of_all = |format: &str| {
        let text = format!("--sheet goes with text and html; {format} is one piece");
        if wanted.sheets.is_empty() { Ok(()) } else { Err(WrongUse(text)) }
    };
    let papers = || chosen(sheets::sheets(make), &wanted.sheets);
    let (title, lead, foot) = (make.title(), make.lead(), make.foot());
    Ok(match wanted.format {
        None => super::page::json(&paper::wire::sheets_file(&title, &lead, &papers()?, &foot))?,
        Some(SheetsFormat::Text) => paper::all(&title, &lead, &papers()?, &foot),
        Some(SheetsFormat::Html) => paper::page(&title, &lead, &papers()?, &foot),
        Some(SheetsFormat::Svg) => {
            of_all("svg")?;
            chart::whole(make.evening, make.plan)
        }
        Some(SheetsFormat::Ics) => {
            of_all("ics")?;
            let thaws = calendar::thawing(make.evening, make.plan, make.dropped);
            calendar::write(&calendar::calendar(make.evening, make.plan, &thaws))
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
