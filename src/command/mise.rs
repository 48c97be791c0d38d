//! `potwatch scale PARTY`, `potwatch mise PARTY` and `potwatch trays PARTY`: every
//! dish for the servings that are made, knife work of all dishes together, and
//! what stands ready for each.

use std::path::Path;

use super::{Exit, Streams};
use crate::mise::{knife, scale, trays};
use crate::pages::lists::Named;
use crate::plan::Plan;

/// Prints what each dish takes for the servings that are made.
///
/// # Errors
/// The party cannot be read; trouble with writing.
pub fn scale(party: &Path, json: bool, streams: &mut Streams) -> anyhow::Result<Exit> {
    let loaded = super::own::party(party, streams)?;
    let scaling = Named::of(scale::evening(&loaded.evening));
    super::page::print(&scaling, |named| scale::print::text(&named.list), json, streams)
}

/// Prints the jobs at the board, and what is opened and measured out.
///
/// # Errors
/// The party cannot be read; trouble with writing.
pub fn mise(party: &Path, json: bool, streams: &mut Streams) -> anyhow::Result<Exit> {
    let loaded = super::own::party(party, streams)?;
    let mise = Named::of(knife::pool(&loaded.evening));
    super::page::print(&mise, |named| knife::print::text(&named.list), json, streams)
}

/// Prints the trays, with the times of a plan if there is one.
///
/// # Errors
/// The party cannot be read; a wrong effort; trouble with writing.
pub fn trays(
    party: &Path,
    json: bool,
    effort: &super::plan::Effort,
    streams: &mut Streams,
) -> anyhow::Result<Exit> {
    let evening = super::plan::open(party, effort, streams)?;
    let plan: Option<Plan> = match super::plan::search(&evening, effort) {
        Ok(plan) => Some(plan),
        Err(_) => {
            writeln!(streams.err, "potwatch: there is no plan, so the trays have no times.")?;
            None
        }
    };
    let trays = Named::of(trays::lay(&evening, plan.as_ref(), &[]));
    let text = |named: &Named<_>| trays::print::text(&evening, &named.list);
    super::page::print(&trays, text, json, streams)
}
