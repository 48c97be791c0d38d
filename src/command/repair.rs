//! `potwatch repair JOURNAL`: saves what can be saved of a damaged journal.

use std::path::Path;

use super::{Exit, Streams};
use crate::live::clock::Clocks;
use crate::store::{Lock, RealDisk, repair};

/// Repairs a journal in place; the damaged one is kept beside it.
///
/// # Errors
/// If it is open elsewhere, is no journal, or the disk fails.
pub fn run(journal: &Path, streams: &mut Streams) -> anyhow::Result<Exit> {
    let _lock = Lock::take(journal)?;
    let repaired = repair(&RealDisk, journal, None, Clocks::default().now().wall_ms)?;
    writeln!(streams.out, "{}: {repaired}", journal.display())?;
    Ok(Exit::Done)
}
