//! `potwatch party new`: a first party from dishes of the built-in shelf, by
//! flags or, where somebody is there to be asked, by a few questions.

mod ask;
mod draft;
mod wish;

use std::path::{Path, PathBuf};

use anyhow::Context;
use chrono::{Local, NaiveDate};
use clap::Args;

use super::exit::WrongUse;
use super::own::Own;
use super::{Exit, Streams};
use crate::kitchen::{Course, Recipe};
use crate::order::InOrder;
use crate::safety::Profile;
use crate::store::load::{Sources, load_document};
use crate::store::read::Document;
use crate::store::shell::typed;
use crate::store::{IfThere, RealDisk, save, shelf, zone};
use draft::Draft;
use wish::{CookWish, DayWish, DishWish, ServiceWish};

/// What the new party is to be. What is missing is asked for, if somebody is there.
#[derive(Debug, Clone, Args)]
pub struct Flags {
    /// Show the dishes and kitchens of the shelf
    #[arg(long)]
    pub list: bool,
    /// What the party is called
    #[arg(long)]
    pub title: Option<String>,
    /// Its day: 2026-11-25, today or tomorrow
    #[arg(long)]
    pub day: Option<DayWish>,
    /// When food goes to the table; may be given several times
    #[arg(long = "service", value_name = "NAME=TIME")]
    pub services: Vec<ServiceWish>,
    /// A dish: id of the shelf or path of a recipe; may be given several times
    #[arg(long = "dish", value_name = "RECIPE[:SERVINGS[:SERVICE]]")]
    pub dishes: Vec<DishWish>,
    /// How many come
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=500))]
    pub guests: Option<u32>,
    /// Who cooks and when; may be given several times
    #[arg(long = "cook", value_name = "NAME=FROM-TO[,FROM-TO…]")]
    pub cooks: Vec<CookWish>,
    /// The kitchen: id of the shelf or path of a kitchen
    #[arg(long, value_name = "KITCHEN")]
    pub kitchen: Option<String>,
    /// Of a hundred evenings, in how many each service should be on time; 90 if not given
    #[arg(long, value_name = "PERCENT", value_parser = clap::value_parser!(u32).range(50..=99))]
    pub on_time: Option<u32>,
    /// Whose food safety guidance counts, by its id in `--list`
    #[arg(long, value_name = "GUIDANCE", value_parser = guidance)]
    pub guidance: Option<String>,
    /// Where to write it; stdout if it is not given and nothing is asked
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Replace the file if there is one
    #[arg(long)]
    pub force: bool,
}

/// The id of a built-in guidance profile.
fn guidance(text: &str) -> Result<String, String> {
    match Profile::by_id(text.trim()) {
        Some(profile) => Ok(profile.id.clone()),
        None => {
            let mean = crate::kitchen::check::words::mean(text, Profile::ids());
            Err(format!("there is no guidance \"{text}\". {mean}"))
        }
    }
}

/// Writes the party, or shows the shelf.
///
/// # Errors
/// Flags that are missing or lead to no sound party; trouble with the disk.
pub fn run(mut flags: Flags, streams: &mut Streams) -> anyhow::Result<Exit> {
    // What the cook set is what they would have answered.
    if flags.guidance.is_none() {
        flags.guidance = super::own::Own::find(streams.var).settings.guidance;
    }
    if flags.list {
        return list(streams).map(|()| Exit::Done);
    }
    let today = Local::now().date_naive();
    if let Some(out) = flags.out.as_deref().filter(|o| !flags.force && o.exists()) {
        let out = typed(out);
        let why = format!("{out} is already there; name another file, or replace it with --force");
        return Err(WrongUse(why).into());
    }
    let missing = missing(&flags);
    let asked = !missing.is_empty();
    let (draft, out) = if missing.is_empty() {
        (Draft::of_flags(&flags, today), flags.out.clone())
    } else if streams.asks {
        match ask::ask(&flags, today, streams)? {
            Some((draft, out)) => (draft, Some(out)),
            None => {
                writeln!(streams.err, "\npotwatch: the answers ended; nothing was written")?;
                return Ok(Exit::Failed);
            }
        }
    } else {
        let why =
            format!("a new party needs {}; see `potwatch party new --help`", missing.join(", "));
        return Err(WrongUse(why).into());
    };
    let text = sound(&draft, out.as_deref(), asked, streams)?;
    let Some(text) = text else { return Ok(Exit::Usage) };
    match out {
        None => streams.out.write_all(text.as_bytes())?,
        Some(out) => {
            let there = IfThere::with(flags.force);
            save(&RealDisk, &out, text.as_bytes(), there).context("the party was not written")?;
            let out = out.display();
            writeln!(streams.err, "Wrote {out}. Cook it with `potwatch {out}`.")?;
        }
    }
    Ok(Exit::Done)
}

/// The flags without which there is no party.
fn missing(flags: &Flags) -> Vec<&'static str> {
    [
        ("--day", flags.day.is_none()),
        ("--service", flags.services.is_empty()),
        ("--dish", flags.dishes.is_empty()),
    ]
    .into_iter()
    .filter_map(|(name, missing)| missing.then_some(name))
    .collect()
}

/// The party file's text, if the check finds nothing wrong with it.
fn sound(
    draft: &Draft,
    out: Option<&Path>,
    asked: bool,
    streams: &mut Streams,
) -> anyhow::Result<Option<String>> {
    let folder = out.and_then(Path::parent).unwrap_or(Path::new(""));
    let party = draft.party(folder)?;
    let text = super::page::json(&party)?;
    let name = out.map_or("the new party".to_owned(), |o| o.display().to_string());
    let own = Own::find(streams.var);
    let sources = Sources { folder, own: own.shelf.as_ref() };
    let loaded = Document::parse(&name, &text)
        .and_then(|document| load_document(document, sources, None, zone::clockface));
    match loaded {
        Ok(loaded) => {
            super::check::print_notes(&loaded.notes, streams)?;
            Ok(Some(text))
        }
        Err(problems) => {
            for p in &problems.list {
                writeln!(streams.err, "{}", p.sentence())?;
            }
            writeln!(streams.err, "potwatch: this would be no sound party; nothing was written")?;
            if asked {
                writeln!(streams.err, "Your answers again: {}", draft.command_line(out))?;
            }
            Ok(None)
        }
    }
}

/// The shelf by course, then the kitchens.
fn list(streams: &mut Streams) -> anyhow::Result<()> {
    for (course, recipes) in by_course() {
        writeln!(streams.out, "{}", plural(course))?;
        for recipe in recipes {
            writeln!(streams.out, "  {:<20}  {}", recipe.id, recipe.title)?;
        }
    }
    writeln!(streams.out, "Kitchens")?;
    for kitchen in shelf::kitchens() {
        writeln!(streams.out, "  {:<20}  {}", kitchen.id, kitchen.title)?;
    }
    writeln!(streams.out, "Guidance")?;
    for profile in Profile::all() {
        writeln!(streams.out, "  {:<20}  {}", profile.id, profile.title)?;
    }
    Ok(())
}

/// The shelf's recipes by course, in the order of a meal.
fn by_course() -> Vec<(Course, Vec<Recipe>)> {
    let mut recipes = shelf::recipes();
    recipes.order_by(|a, b| (a.course, &a.id).cmp(&(b.course, &b.id)));
    let mut courses: Vec<(Course, Vec<Recipe>)> = Vec::new();
    for recipe in recipes {
        match courses.last_mut() {
            Some((course, list)) if *course == recipe.course => list.push(recipe),
            _ => courses.push((recipe.course, vec![recipe])),
        }
    }
    courses
}

const fn plural(course: Course) -> &'static str {
    match course {
        Course::Starter => "Starters",
        Course::Main => "Mains",
        Course::Side => "Sides",
        Course::Sauce => "Sauces",
        Course::Bread => "Breads",
        Course::Dessert => "Desserts",
        Course::Drink => "Drinks",
    }
}

/// The day after, or the same one at the end of time.
fn tomorrow(today: NaiveDate) -> NaiveDate {
    today.succ_opt().unwrap_or(today)
}
