//! `potwatch` and `potwatch PARTY.json`: the evening itself.

use std::path::Path;
use std::sync::Arc;

use super::own::Own;
use super::{Cli, Exit, Streams};
use crate::kitchen::check::words::nearest;
use crate::live::clock::Clocks;
use crate::live::next_time::CooksFiles;
use crate::live::pass::Opening;
use crate::live::session::{self, Left};
use crate::live::terminal::why_not_full_screen;
use crate::live::{demo, opening, rehearsal, surroundings, times};
use crate::run::hand::Habits;
use crate::store::load::load_builtin;
use crate::store::own::OwnShelf;
use crate::store::zone;
use clap::CommandFactory;

/// Opens the demo on today's day.
///
/// # Errors
/// Trouble with the terminal.
pub fn demo(streams: &mut Streams) -> anyhow::Result<Exit> {
    full_screen_or_why_not()?;
    let today = chrono::Local::now().date_naive();
    let own = Own::find(streams.var);
    let evening = load_builtin(zone::clockface(today))?.read_by(own.customs());
    // The demo keeps nothing, so it also runs where nothing can be kept.
    let places = own.places.as_ref().ok();
    let opening = demo::open(evening, surroundings::look(&own.settings))?;
    let notice = opening::in_one([own.trouble, opening.notice]);
    let opening = Opening { notice, ..opening };
    end(session::run(opening, &surroundings::around(places, &own.settings, false))?)
}

/// Opens a party.
///
/// # Errors
/// What is wrong with the party's files; trouble with the disk or the terminal.
pub fn run(path: &Path, streams: &mut Streams) -> anyhow::Result<Exit> {
    let hint = mistyped(path);
    let loaded = super::own::party(path, streams).inspect_err(|_| {
        if let Some(command) = hint {
            // Only a hint beside the error that is told anyway.
            let _ = writeln!(streams.err, "potwatch: did you mean `potwatch {command}`?");
        }
    })?;
    full_screen_or_why_not()?;
    let own = Own::find(streams.var);
    let places = own.places.as_ref().map_err(Clone::clone)?;
    let opening = opening::open(loaded.evening, places, surroundings::look(&own.settings))?;
    let party = own.party_file(path);
    let files = CooksFiles { party, own: OwnShelf::at(&places.data) };
    // On the full screen too: nobody sees what was printed before it opened.
    let notice = opening::in_one([own.trouble, opening.notice]);
    let opening = Opening { files: Some(files), notice, ..opening };
    end(session::run(opening, &surroundings::around(Some(places), &own.settings, true))?)
}

/// Plays a party ahead, from how its journal has it; nothing of it is kept.
///
/// # Errors
/// What is wrong with the party's files or its journal; trouble with the terminal.
pub fn rehearse(path: &Path, habits: Habits, streams: &mut Streams) -> anyhow::Result<Exit> {
    let evening = super::own::party(path, streams)?.evening;
    full_screen_or_why_not()?;
    let Own { places, settings, .. } = Own::find(streams.var);
    let places = places?;
    let (from, who) = opening::journal_of(&evening, &places);
    let evening = Arc::new(times::as_begun(evening, &from));
    let state = super::tell::read(&evening, &from, &who)?;
    let clocks = Clocks::default();
    let now_ms = clocks.now().wall_ms;
    let look = surroundings::look(&settings);
    let opening = rehearsal::open(&state, now_ms, habits, clocks, look);
    end(session::run(opening, &surroundings::around(Some(&places), &settings, false))?)
}

pub(super) fn full_screen_or_why_not() -> anyhow::Result<()> {
    match why_not_full_screen(std::env::var("TERM").ok().as_deref()) {
        None => Ok(()),
        Some(why) => anyhow::bail!("the full screen cannot open: {why}"),
    }
}

fn end(left: Left) -> anyhow::Result<Exit> {
    match left {
        Left::Closed => Ok(Exit::Done),
        Left::OwnParty => begin_own_party(),
    }
}

/// The subcommand that a missing file's name looks like.
fn mistyped(path: &Path) -> Option<String> {
    let name = path.to_str().filter(|n| !n.contains(['/', '\\', '.']))?;
    if path.exists() {
        return None;
    }
    let cli = Cli::command();
    nearest(name, cli.get_subcommands().map(clap::Command::get_name)).map(str::to_owned)
}

/// Leaves the demo for the desk. The thread that reads keys would take what is
/// typed there, so the program starts anew in its own place.
fn begin_own_party() -> anyhow::Result<Exit> {
    super::desk::become_program(&["desk"])
}
