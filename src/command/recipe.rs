//! `potwatch recipe read FILE`: a recipe that somebody already has, from a saved
//! page, JSON-LD or text; every line beside its reading, every proposal beside its
//! words. `--out` writes the proposal as a recipe file. `potwatch recipe share RECIPE`:
//! a recipe of the cook's own for other programs.

use std::io::Read;
use std::path::{Path, PathBuf};

use anyhow::Context;
use clap::Args;

use super::exit::WrongUse;
use super::own::Own;
use super::page::write;
use super::{Exit, Streams};
use crate::bring::{self, Found, Trouble, wire_found, words};
use crate::kitchen::Recipe;
use crate::store::load::is_path;
use crate::store::read::schema::FileKind;
use crate::store::read::{Document, FileProblem, Problems, at_most};
use crate::store::{IfThere, shelf};

/// Flags of `recipe read`.
#[derive(Debug, Args)]
pub struct ReadFlags {
    /// A saved page, JSON-LD, a text or Markdown file; - reads what is piped in
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Of a page with several recipes: this one, counted from 1; else the fullest
    #[arg(long, value_name = "N")]
    which: Option<usize>,
    /// Print it whole, for programs
    #[arg(long)]
    json: bool,
    /// Write the recipe that is proposed into this file; nothing in it is confirmed
    #[arg(long, value_name = "OUT.json")]
    out: Option<PathBuf>,
    /// Put it in the place of a file that is there
    #[arg(long, requires = "out")]
    replace: bool,
}

/// Runs the command.
///
/// # Errors
/// A file that cannot be read or holds no recipe, a number past the last recipe.
pub fn read(flags: &ReadFlags, streams: &mut Streams) -> anyhow::Result<Exit> {
    let found = recipes(&flags.file, streams)?;
    let number = flags.which.unwrap_or(1);
    let Some(one) = number.checked_sub(1).and_then(|at| found.get(at)) else {
        let count = found.len();
        return Err(WrongUse(format!("--which {number}: there are {count} recipes")).into());
    };
    if let Some(out) = &flags.out {
        let draft = bring::draft(one);
        write(out, &super::page::json(&draft.recipe)?, IfThere::with(flags.replace))?;
        let said = draft.said.iter().map(|s| format!("  ! {s}\n")).collect::<String>();
        let (steps, lines) = (draft.recipe.steps.len(), draft.recipe.ingredients.len());
        writeln!(
            streams.err,
            "written: {} ({lines} ingredients, {steps} steps)\n{said}Nothing in it is confirmed: \
             `potwatch desk` shows each step beside its words",
            out.display()
        )?;
    }
    if flags.json {
        serde_json::to_writer_pretty(&mut streams.out, &wire_found::entry(one))?;
        writeln!(streams.out)?;
        return Ok(Exit::Done);
    }
    if flags.out.is_none() {
        writeln!(streams.out, "{}", words::found(one))?;
    }
    if flags.which.is_none() && found.len() > 1 {
        let titles: Vec<String> =
            found.iter().enumerate().map(|(i, f)| format!("{} {}", i + 1, f.title)).collect();
        writeln!(streams.err, "the file holds {} recipes: {}", found.len(), titles.join("; "))?;
    }
    Ok(Exit::Done)
}

/// Flags of `recipe share`.
#[derive(Debug, Args)]
pub struct ShareFlags {
    /// The recipe file, or its name on a shelf
    #[arg(value_name = "RECIPE")]
    recipe: PathBuf,
    /// The file; printed if none is given
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Put it in the place of a file that is there
    #[arg(long, requires = "out")]
    replace: bool,
}

/// `recipe share`: prints a recipe as schema.org JSON-LD, or writes it into a file.
///
/// # Errors
/// Everything that is wrong with the recipe's file; trouble with writing.
pub fn share(flags: &ShareFlags, streams: &mut Streams) -> anyhow::Result<Exit> {
    let shared = bring::share(&named(&flags.recipe, streams)?);
    match &flags.out {
        Some(out) => write(out, &super::page::json(&shared)?, IfThere::with(flags.replace))?,
        None => {
            serde_json::to_writer_pretty(&mut streams.out, &shared)?;
            writeln!(streams.out)?;
        }
    }
    Ok(Exit::Done)
}

/// A recipe by its file, or by its name on the cook's shelf or the built-in one.
fn named(name: &Path, streams: &Streams) -> anyhow::Result<Recipe> {
    let id = name.to_str().filter(|n| !is_path(n) && !name.exists());
    let own = || Own::find(streams.var).shelf?.find(FileKind::Recipe, id?);
    let built_in = || shelf::recipes().into_iter().find(|r| Some(r.id.as_str()) == id);
    match own() {
        Some(path) => Ok(Document::read(&path)?.value()?),
        None => match built_in() {
            Some(recipe) => Ok(recipe),
            None => Ok(Document::read(name)?.value()?),
        },
    }
}

/// The recipes of a file, or of stdin.
fn recipes(path: &Path, streams: &mut Streams) -> anyhow::Result<Vec<Found>> {
    let mut bytes = Vec::new();
    let shown = path.display().to_string();
    if shown == "-" {
        streams.input.take(bring::LARGEST + 1).read_to_end(&mut bytes).context("stdin")?;
    } else {
        bytes = at_most(path, bring::LARGEST).map_err(|e| not_there(&shown, &e.to_string()))?;
    }
    bring::read(&bytes).map_err(|e| trouble(&shown, &e).into())
}

fn not_there(file: &str, why: &str) -> Problems {
    let remedy = "Name a saved page (.html), a .json or a .txt file".to_owned();
    Problems::one(FileProblem::wrong(file, None, "", format!("cannot be read: {why}"), remedy))
}

fn trouble(file: &str, trouble: &Trouble) -> Problems {
    Problems::one(FileProblem::wrong(file, None, "", trouble.what(), trouble.remedy().to_owned()))
}
