//! `potwatch shopping PARTY.json`: what to buy, as text, for the phone or the printer.

use std::path::Path;

use anyhow::Context;

use super::exit::WrongUse;
use super::{Exit, Streams};
use crate::mise::shopping::{self, print};
use crate::pages::lists::Named;
use crate::store::{IfThere, RealDisk, save};

/// As what the list is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum ShoppingFormat {
    /// Plain text, 78 columns.
    Text,
    /// Markdown with boxes to tick.
    Markdown,
    /// One page of HTML, for the printer.
    Html,
    /// Comma-separated values.
    Csv,
    /// For programs.
    Json,
}

/// Prints the shopping list of a party, or writes it into a file.
///
/// # Errors
/// The party cannot be read; trouble with writing.
pub fn run(
    party: &Path,
    format: ShoppingFormat,
    figures: bool,
    out: Option<&Path>,
    streams: &mut Streams,
) -> anyhow::Result<Exit> {
    if figures && !matches!(format, ShoppingFormat::Text | ShoppingFormat::Json) {
        let why = "--figures goes with text; json has them in any case";
        return Err(WrongUse(why.to_owned()).into());
    }
    let loaded = super::own::party(party, streams)?;
    let list = shopping::list(&loaded.evening);
    let ticked = print::Ticked::new();
    let text = match format {
        ShoppingFormat::Text => print::text(&list, &ticked, figures),
        ShoppingFormat::Markdown => print::markdown(&list, &ticked),
        ShoppingFormat::Html => print::html(&list, &ticked),
        ShoppingFormat::Csv => print::csv(&list, &ticked),
        ShoppingFormat::Json => super::page::json(&Named::of(list))?,
    };
    match out {
        Some(path) => save(&RealDisk, path, text.as_bytes(), IfThere::Refuse)
            .context("the list was not written")?,
        None => streams.out.write_all(text.as_bytes())?,
    }
    Ok(Exit::Done)
}
