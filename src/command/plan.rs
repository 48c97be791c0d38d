//! `potwatch plan PARTY.json`: the plan, for reading or for programs.

use std::path::Path;

use super::{Exit, Streams};
use crate::store::load::load_party_by;
use crate::store::zone;

/// Prints the plan of a party.
///
/// # Errors
/// What is wrong with the party's files; trouble with writing.
pub fn run(path: &Path, _json: bool, streams: &mut Streams) -> anyhow::Result<Exit> {
    let loaded = load_party_by(path, zone::clockface)?;
    super::check::print_notes(&loaded.notes, streams)?;
    Ok(Exit::Done)
}
