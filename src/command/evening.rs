//! `potwatch` and `potwatch PARTY.json`: the evening itself.

use std::path::Path;

use super::{Cli, Exit, Streams};
use crate::kitchen::check::words::nearest;
use crate::store::load::{load_builtin, load_party_by};
use crate::store::zone;
use clap::CommandFactory;

/// Opens the demo on today's day.
///
/// # Errors
/// Trouble with the terminal.
pub fn demo(_streams: &mut Streams) -> anyhow::Result<Exit> {
    let today = chrono::Local::now().date_naive();
    let _evening = load_builtin(zone::clockface(today))?;
    Ok(Exit::Done)
}

/// Opens a party.
///
/// # Errors
/// What is wrong with the party's files; trouble with the disk or the terminal.
pub fn run(path: &Path, streams: &mut Streams) -> anyhow::Result<Exit> {
    let loaded = load_party_by(path, zone::clockface).inspect_err(|_| {
        if let Some(command) = mistyped(path) {
            // Only a hint beside the error that is told anyway.
            let _ = writeln!(streams.err, "potwatch: did you mean `potwatch {command}`?");
        }
    })?;
    super::check::print_notes(&loaded.notes, streams)?;
    Ok(Exit::Done)
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
