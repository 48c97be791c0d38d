//! Whole evenings with faults, from one number each. See `world` for what is held, `script` for what can happen.

use std::panic::{AssertUnwindSafe, catch_unwind};

pub use crate::script::{Act, script, shrink};
pub use crate::world::{Tally, play};

/// Plays the evening of a seed.
///
/// # Errors
/// What went wrong.
pub fn evening(seed: u64) -> Result<Tally, String> {
    attempt(seed, &script(seed))
}

/// Plays a script of one's own.
///
/// # Errors
/// What went wrong.
pub fn attempt(seed: u64, script: &[Act]) -> Result<Tally, String> {
    catch_unwind(AssertUnwindSafe(|| play(seed, script))).map_err(|panic| {
        let text = panic.downcast_ref::<String>().cloned();
        text.or_else(|| panic.downcast_ref::<&str>().map(|s| (*s).to_owned())).unwrap_or_default()
    })
}

/// A failing seed as a short script that fails in the same way, to be read.
pub fn told(seed: u64, why: &str) -> String {
    let first = |text: &str| text.split([':', '[', '{']).next().unwrap_or_default().to_owned();
    let like = first(why);
    let fails = |acts: &[Act]| attempt(seed, acts).is_err_and(|other| first(&other) == like);
    let short = shrink(&script(seed), &fails);
    format!("seed {seed}: {why}\nshortest script found ({} acts): {short:#?}", short.len())
}
