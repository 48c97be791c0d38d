//! `potwatch look-back PARTY`: how an evening went, and what to change next time.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::Context;
use clap::ValueEnum;

use super::exit::WrongUse;
use super::own::Own;
use super::{Exit, Streams};
use crate::kitchen::{Clockface, Minute};
use crate::live::clock::Clocks;
use crate::live::next_time::{self, Files};
use crate::live::opening;
use crate::live::times::{self, ByTimes};
use crate::mise::chart::{Happened, LEGEND, compared, compared_whole};
use crate::paper::{self, Head, Paper, Part, Table};
use crate::run::State;
use crate::run::look_back::{LookBack, Stretch, look_back};
use crate::store::disk::is_gone;
use crate::store::own::OwnShelf;
use crate::store::place::JOURNAL_ENDING;
use crate::store::{IfThere, RealDisk, save};

/// As what it is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum LookBackFormat {
    /// For reading in a terminal
    Text,
    /// A page for a browser and its printer, with the picture
    Html,
    /// The picture alone: planned against actual, dish by dish
    Svg,
}

/// What is asked.
#[derive(Debug, Clone, clap::Args)]
pub struct Flags {
    /// The party, a file or its name on your shelf; or the journal of a past evening
    #[arg(value_name = "PARTY")]
    pub party: PathBuf,
    /// As what
    #[arg(long, value_enum, default_value = "text", conflicts_with = "json")]
    pub format: LookBackFormat,
    /// Print it for programs
    #[arg(long)]
    pub json: bool,
    /// The file; printed if none is given
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Write the change of this number under "Next time" into its file
    #[arg(long, value_name = "N", conflicts_with_all = ["format", "json", "out"])]
    pub apply: Option<usize>,
}

/// Prints how the evening went, or makes a change. The journal is only read.
///
/// # Errors
/// What is wrong with the party's files, its journal or the call; trouble with the disk.
pub fn run(flags: &Flags, streams: &mut Streams) -> anyhow::Result<Exit> {
    let Some((state, file)) = evening(&flags.party, streams)? else { return Ok(Exit::WrongFile) };
    let back = look_back(&state, Clocks::default().now().wall_ms);
    if let Some(number) = flags.apply {
        return apply(&back, number, file.as_deref(), streams);
    }
    let text = match (flags.json, flags.format) {
        (true, _) => super::page::json(&back)?,
        (_, LookBackFormat::Svg) => picture(&state, &back),
        (_, LookBackFormat::Text) => {
            let (title, lead) = head(&back);
            paper::all(&title, &lead, &papers(&state, &back, false), &[])
        }
        (_, LookBackFormat::Html) => {
            let (title, lead) = head(&back);
            paper::page(&title, &lead, &papers(&state, &back, true), &[])
        }
    };
    match &flags.out {
        None => streams.out.write_all(text.as_bytes())?,
        Some(out) => save(&RealDisk, out, text.as_bytes(), IfThere::Refuse)
            .context("the look back was not written")?,
    }
    Ok(Exit::Done)
}

/// The evening of a party or of a journal, and the party's file.
fn evening(path: &Path, streams: &mut Streams) -> anyhow::Result<Option<(State, Option<PathBuf>)>> {
    let own = Own::find(streams.var);
    if path.to_string_lossy().ends_with(JOURNAL_ENDING) {
        let state = times::state_of(path, ByTimes::Own, own.customs())?;
        if state.is_none() {
            writeln!(
                streams.err,
                "potwatch: {}: the party is not kept beside this journal; give the party's file instead",
                path.display()
            )?;
        }
        return Ok(state.map(|state| (state, None)));
    }
    let loaded = super::own::party(path, streams)?;
    let places = own.places.as_ref().map_err(Clone::clone)?;
    let (from, who) = opening::journal_of(&loaded.evening, places);
    if is_gone(&from) {
        let party = &loaded.evening.party;
        writeln!(
            streams.err,
            "potwatch: nothing was marked of \"{}\" on {}; cook it with `potwatch {}`, or give the journal of \
             another evening (they lie in {})",
            party.title,
            party.day,
            path.display(),
            places.evenings().display()
        )?;
        return Ok(None);
    }
    // As it was cooked, whatever the files say by now: a change is proposed once.
    let state = match times::state_of(&from, ByTimes::Own, own.customs())? {
        Some(state) => state,
        None => super::tell::read(&Arc::new(loaded.evening), &from, &who)?,
    };
    Ok(Some((state, Some(own.party_file(path)))))
}

fn apply(
    back: &LookBack,
    number: usize,
    party: Option<&Path>,
    streams: &mut Streams,
) -> anyhow::Result<Exit> {
    let edit = number.checked_sub(1).and_then(|n| back.next_time.get(n)).ok_or_else(|| {
        let most = back.next_time.len();
        WrongUse(format!("--apply {number}: there are {most} changes under \"Next time\""))
    })?;
    let own = OwnShelf::at(&Own::find(streams.var).places?.data);
    match next_time::apply(edit, Files { party, own: &own }) {
        Ok(done) => {
            writeln!(streams.err, "{}.\n{done}", edit.words)?;
            Ok(Exit::Done)
        }
        Err(why) => anyhow::bail!("nothing was changed: {why}"),
    }
}

fn head(back: &LookBack) -> (String, Vec<String>) {
    let title = format!("{}, {}: looking back", back.title, back.day);
    (title, back.services.iter().map(|s| format!("{}.", s.words)).collect())
}

fn picture(state: &State, back: &LookBack) -> String {
    let plan = state.facts().first_plan.clone().unwrap_or_default();
    compared_whole(state.evening(), &plan, &happened(state, back))
}

/// What happened to each dish, for the picture.
fn happened(state: &State, back: &LookBack) -> Vec<Happened> {
    let face = &state.evening().face;
    let mut all = Vec::new();
    for entry in &back.dishes {
        let Some(dish) = state.evening().dish_index(&entry.dish) else { continue };
        for step in &entry.steps {
            let Some(at) = step.actual else { continue };
            all.push(Happened {
                dish,
                from: at.from_minute,
                to: at.to_minute,
                label: step.label.clone(),
                words: format!("{}: {}, {}", entry.title, step.label, stretch(face, at)),
                waits: false,
            });
        }
        for wait in &entry.waits {
            all.push(Happened {
                dish,
                from: wait.stretch.from_minute,
                to: wait.stretch.to_minute,
                label: wait.place.clone(),
                words: format!(
                    "{} waits: {}, {}",
                    entry.title,
                    wait.place,
                    stretch(face, wait.stretch)
                ),
                waits: true,
            });
        }
    }
    all
}

fn stretch(face: &Clockface, at: Stretch) -> String {
    format!("{}-{}", face.label(at.from_minute), face.label(at.to_minute))
}

fn papers(state: &State, back: &LookBack, pictures: bool) -> Vec<Paper> {
    let mut papers = vec![late(back)];
    if pictures {
        let plan = state.facts().first_plan.clone().unwrap_or_default();
        let pictures = compared(state.evening(), &plan, &happened(state, back));
        let parts = vec![Part::Words(LEGEND.to_owned()), Part::Pictures(pictures)];
        papers.push(Paper { id: "chart", title: "Planned against actual", parts });
    }
    papers.push(next(back));
    papers.push(steps(&state.evening().face, back));
    papers.push(waits(&state.evening().face, back));
    papers.push(readings(back));
    papers.push(alarms(back));
    papers
}

fn late(back: &LookBack) -> Paper {
    let mut parts = Vec::new();
    for late in &back.late {
        parts.push(Part::Heading(format!("{}: {} min", late.what, late.minutes)));
        parts.push(Part::List(late.chain.clone()));
    }
    Paper { id: "late", title: "What was late, and why", parts: or(parts, "Nothing was late.") }
}

fn or(parts: Vec<Part>, none: &str) -> Vec<Part> {
    if parts.is_empty() { vec![Part::Words(none.to_owned())] } else { parts }
}

fn next(back: &LookBack) -> Paper {
    let row = |(n, edit): (usize, &crate::run::look_back::Edit)| {
        let (words, why) = (edit.words.clone(), edit.why.clone());
        vec![(n + 1).to_string(), edit.about.word().to_owned(), format!("{words}. {why}")]
    };
    let rows: Vec<Vec<String>> = back.next_time.iter().enumerate().map(row).collect();
    let parts = match rows.is_empty() {
        true => Vec::new(),
        false => vec![
            Part::Words(
                "`potwatch look-back PARTY --apply N` writes a change into its file.".to_owned(),
            ),
            table(
                "Changes for next time",
                &[("N", true), ("In the", true), ("Change", false)],
                rows,
            ),
        ],
    };
    Paper { id: "next-time", title: "Next time", parts: or(parts, "Nothing to change.") }
}

fn table(caption: &str, heads: &[(&'static str, bool)], rows: Vec<Vec<String>>) -> Part {
    let head = |(words, tight): &(&'static str, bool)| match tight {
        true => Head::tight(words),
        false => Head::wide(words),
    };
    Part::Table(Table::of(caption, heads.iter().map(head).collect(), rows))
}

fn steps(face: &Clockface, back: &LookBack) -> Paper {
    let mut rows = Vec::new();
    for dish in &back.dishes {
        for step in &dish.steps {
            let shown = |s: Option<Stretch>| s.map_or_else(|| "-".to_owned(), |s| stretch(face, s));
            let load = if step.load > 0 { format!(" {}", step.load + 1) } else { String::new() };
            rows.push(vec![
                shown(step.planned),
                shown(step.actual),
                against(step.actual.map(Stretch::minutes), step.recipe_minutes),
                format!("{}: {}{load}", dish.title, step.label),
            ]);
        }
    }
    let heads = [("Planned", true), ("Actual", true), ("Minutes", true), ("Step", false)];
    let part = (!rows.is_empty()).then(|| table("Steps, planned against actual", &heads, rows));
    let parts = or(part.into_iter().collect(), "No step was marked.");
    Paper { id: "steps", title: "Steps", parts }
}

fn against(took: Option<Minute>, recipe: Minute) -> String {
    match took.map(|t| t - recipe) {
        None => "left out".to_owned(),
        Some(0) => format!("recipe {recipe}"),
        Some(off) => format!("recipe {recipe}, {off:+}"),
    }
}

fn waits(face: &Clockface, back: &LookBack) -> Paper {
    let mut rows = Vec::new();
    for dish in &back.dishes {
        for wait in &dish.waits {
            let best = wait.best_minutes.map_or_else(String::new, |b| format!("best for {b}"));
            rows.push(vec![
                stretch(face, wait.stretch),
                format!("{} min", wait.stretch.minutes()),
                format!("planned {}", wait.planned_minutes),
                best,
                format!("{}: {}", dish.title, wait.place),
            ]);
        }
    }
    let heads =
        [("When", true), ("Waited", true), ("Planned", true), ("Recipe", true), ("Dish", false)];
    let part = (!rows.is_empty()).then(|| table("Dishes that waited", &heads, rows));
    Paper {
        id: "waits",
        title: "What waited",
        parts: or(part.into_iter().collect(), "No dish waited."),
    }
}

fn readings(back: &LookBack) -> Paper {
    let row = |r: &crate::run::look_back::Reading| {
        let all = [&r.what, &r.reading, &r.limit];
        let words: Vec<&str> =
            all.into_iter().map(String::as_str).filter(|w| !w.is_empty()).collect();
        vec![r.when.clone(), r.verdict.clone(), format!("{}: {}", r.food, words.join(", "))]
    };
    let rows: Vec<Vec<String>> = back.readings.iter().map(row).collect();
    let heads = [("When", true), ("Kept", true), ("What", false)];
    let part = (!rows.is_empty()).then(|| table("Temperatures and limits", &heads, rows));
    let parts = or(part.into_iter().collect(), "Nothing was measured, and no limit was passed.");
    Paper { id: "temperatures", title: "Temperatures and limits", parts }
}

fn alarms(back: &LookBack) -> Paper {
    let row = |a: &crate::run::look_back::Alarm| vec![a.clock.clone(), a.rank.clone(), a.words()];
    let rows: Vec<Vec<String>> = back.alarms.iter().map(row).collect();
    let heads = [("At", true), ("Rank", true), ("Alarm, and what was said to it", false)];
    let part = (!rows.is_empty()).then(|| table("Alarms", &heads, rows));
    Paper { id: "alarms", title: "Alarms", parts: or(part.into_iter().collect(), "No alarm came.") }
}
