//! `potwatch party keep PARTY`: the party with what was changed while it was
//! planned and cooked, as a file. Without more it only says what would change.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use anyhow::Context;
use clap::Args;

use super::exit::WrongUse;
use super::own::Own;
use super::{Exit, Streams};
use crate::kitchen::{Evening, Party, Sourced};
use crate::live::opening;
use crate::run::kept::{Kept, kept};
use crate::screen::form::diff::{self, Change};
use crate::store::load::{Sources, is_path, load_document};
use crate::store::read::Document;
use crate::store::{IfThere, RealDisk, save, zone};

/// The flags of `potwatch party keep`.
#[derive(Debug, Args)]
pub struct KeepFlags {
    /// The party file, or its name on your shelf
    #[arg(value_name = "PARTY")]
    pub party: PathBuf,
    /// Write it into this new file
    #[arg(long, value_name = "FILE", conflicts_with = "replace")]
    pub out: Option<PathBuf>,
    /// Put it in the place of its own file
    #[arg(long)]
    pub replace: bool,
}

/// Says what was changed, and writes it if that is asked for.
///
/// # Errors
/// What is wrong with the party's files or its journal; there is a file, or it
/// was changed meanwhile; marks would be lost; trouble with the disk.
pub fn run(flags: &KeepFlags, streams: &mut Streams) -> anyhow::Result<Exit> {
    let own = Own::find(streams.var);
    let file = own.party_file(&flags.party);
    let before = std::fs::read(&file).ok();
    let loaded = super::own::party(&flags.party, streams)?;
    let evening = Arc::new(loaded.evening);
    let places = own.places.as_ref().map_err(Clone::clone)?;
    let (from, who) = opening::journal_of(&evening, places);
    let state = super::tell::read(&evening, &from, &who)?;
    let kept = kept(&state).map_err(WrongUse)?;
    let changes = changes(&evening.party, &kept.party)?;
    said(&changes, &kept, streams)?;
    if changes.is_empty() || (flags.out.is_none() && !flags.replace) {
        return Ok(Exit::Done);
    }
    let to = flags.out.as_deref().unwrap_or(&file);
    let party = movable(kept.party.clone(), state.evening(), &file, to);
    let text = super::page::json(&party)?;
    let folder = to.parent().unwrap_or(Path::new(""));
    let sources = Sources { folder, own: own.shelf.as_ref() };
    // Nothing is written that the program itself would refuse.
    let again = Document::parse(&to.display().to_string(), &text)
        .and_then(|document| load_document(document, sources, None, zone::clockface))?;
    let there = if flags.replace {
        let (journal, _) = opening::journal_of(&again.evening, places);
        if journal != from && kept.done > 0 {
            return Err(marks_would_be_lost(kept.done).into());
        }
        if std::fs::read(&file).ok() != before {
            anyhow::bail!("{} was changed meanwhile; nothing was written", file.display());
        }
        IfThere::Replace
    } else {
        IfThere::Refuse
    };
    save(&RealDisk, to, text.as_bytes(), there).context("the party was not written")?;
    writeln!(streams.err, "Wrote {}.", to.display())?;
    Ok(Exit::Done)
}

fn marks_would_be_lost(done: usize) -> WrongUse {
    let marks = opening::marks_said(done);
    WrongUse(format!(
        "{marks} of this evening belong to the dishes and steps as the file has them, and would \
         not be found by the changed one; write it into another file with --out"
    ))
}

fn changes(before: &Party, after: &Party) -> anyhow::Result<Vec<Change>> {
    let (before, after) = (serde_json::to_value(before)?, serde_json::to_value(after)?);
    Ok(diff::between(Some(&before), &after))
}

fn said(changes: &[Change], kept: &Kept, streams: &mut Streams) -> anyhow::Result<()> {
    if changes.is_empty() {
        writeln!(streams.out, "Nothing was changed that a party file holds.")?;
    }
    for Change { place, old, new } in changes {
        let line = match (old, new) {
            (Some(old), Some(new)) => format!("~ {place}: {old} -> {new}"),
            (None, Some(new)) => format!("+ {place}: {new}"),
            (Some(old), None) => format!("- {place}: {old}"),
            (None, None) => continue,
        };
        writeln!(streams.out, "{line}")?;
    }
    for words in &kept.stays {
        writeln!(streams.out, "  stays in the journal, no file holds it: {words}")?;
    }
    Ok(())
}

/// What the party names by a path is written out if its file moves to another
/// folder, where the path would lead elsewhere.
fn movable(mut party: Party, evening: &Evening, from: &Path, to: &Path) -> Party {
    if from.parent() == to.parent() {
        return party;
    }
    let by_path = |name: &str| is_path(name);
    for dish in &mut party.dishes {
        let sheet = evening.sheets.iter().find(|s| s.id == dish.id);
        if let (Sourced::Named(name), Some(sheet)) = (&dish.recipe, sheet)
            && by_path(name)
        {
            dish.recipe = Sourced::Inline(Box::new(sheet.written.clone()));
        }
    }
    if matches!(&party.kitchen, Sourced::Named(name) if by_path(name)) {
        party.kitchen = Sourced::Inline(Box::new(evening.own_kitchen()));
    }
    party
}
