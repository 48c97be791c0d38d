//! `potwatch log PARTY.json`: the temperature log of an evening, to be printed.

use std::path::Path;
use std::sync::Arc;

use anyhow::Context;
use clap::ValueEnum;

use super::{Exit, Streams};
use crate::live::clock::Clocks;
use crate::live::{opening, times};
use crate::run::food_log::{self, food_log};
use crate::store::disk::is_gone;
use crate::store::{IfThere, RealDisk, save};

/// How the log is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum LogFormat {
    /// For reading in a terminal
    Text,
    /// A page for a browser and its printer
    Html,
    /// Comma-separated values
    Csv,
}

impl From<LogFormat> for food_log::Format {
    fn from(format: LogFormat) -> Self {
        match format {
            LogFormat::Text => Self::Text,
            LogFormat::Html => Self::Html,
            LogFormat::Csv => Self::Csv,
        }
    }
}

/// Prints the log, without a format for programs. The journal is only read: the evening may be open elsewhere.
///
/// # Errors
/// What is wrong with the party's files or its journal; trouble with the disk.
pub fn run(
    path: &Path,
    format: Option<LogFormat>,
    out: Option<&Path>,
    streams: &mut Streams,
) -> anyhow::Result<Exit> {
    let loaded = super::own::party(path, streams)?;
    let places = super::own::Own::find(streams.var).places?;
    let (from, who) = opening::journal_of(&loaded.evening, &places);
    if is_gone(&from) {
        let title = &loaded.evening.party.title;
        writeln!(
            streams.err,
            "potwatch: nothing was marked of \"{title}\" on {} yet; cook it with `potwatch {}`",
            loaded.evening.party.day,
            path.display()
        )?;
        return Ok(Exit::WrongFile);
    }
    let state = super::tell::read(&Arc::new(times::as_begun(loaded.evening, &from)), &from, &who)?;
    let log = food_log(&state, Clocks::default().now().wall_ms);
    let text = match format {
        None => super::page::json(&food_log::wire::log_file(&log))?,
        Some(format) => log.print(format.into()),
    };
    match out {
        None => streams.out.write_all(text.as_bytes())?,
        Some(out) => save(&RealDisk, out, text.as_bytes(), IfThere::Refuse)
            .context("the log was not written")?,
    }
    Ok(Exit::Done)
}
