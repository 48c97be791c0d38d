//! Turns an evening and what has happened into a [`Problem`] of integers, and
//! remembers in a [`Map`] which integer stands for what.
//!
//! What the parts say, one file each: [`places`] the stations, cooks, pans and
//! hours; [`steps`] the ways, loads and what has begun; [`order`] what follows
//! what; [`pans`] who has which pan and fridge place; [`waits`] the dishes and
//! how they wait; [`begun`] room for what was begun beyond what there is; [`clock`] (with [`food`]) the safety limits; [`moves`] pins and the plan on
//! the screen. The prices are in [`super::weights`].
//!
//! While the evening runs a plan always exists as far as the facts allow:
//! limits whose clock has started already, and waits that have begun, may be
//! exceeded at a price heavier than lateness.

mod back;
mod begun;
#[cfg(test)]
mod begun_tests;
pub mod clock;
#[cfg(test)]
mod clock_tests;
mod draft;
#[cfg(test)]
mod fits_tests;
mod food;
pub mod map;
mod moves;
mod order;
mod pans;
#[cfg(test)]
mod pans_tests;
mod places;
#[cfg(test)]
mod shown_tests;
mod steps;
mod waits;

#[cfg(test)]
mod tests;

pub use back::schedule_of;
pub use map::{HoldAt, LagWhy, Map, ModeAt, NoWay, Reason, StayAt, StepAt, TaskAt, Thing, WayWhy};
pub use places::stays_on;

use super::problem::Problem;
use super::situation::Situation;
use crate::kitchen::Evening;
use draft::Draft;

/// Minutes after the last service and its time on the table in which late
/// plans still find room.
pub const SLACK_MINUTES: i32 = 180;

/// How the cook's pins are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Pins {
    /// They hold, as long as each by itself can be kept.
    #[default]
    Hold,
    /// They only say "not earlier".
    NotEarlier,
}

/// Builds the problem of an evening as it stands.
///
/// # Errors
/// [`NoWay`] if something can be seen at once to be impossible: a step that no
/// station takes, a pan that is not there, a table time past the guidance.
pub fn build(evening: &Evening, situation: &Situation) -> Result<(Problem, Map), NoWay> {
    build_with(evening, situation, Pins::Hold)
}

/// As [`build`], with a say in the pins.
///
/// # Errors
/// As [`build`].
pub fn build_with(
    evening: &Evening,
    situation: &Situation,
    pins: Pins,
) -> Result<(Problem, Map), NoWay> {
    let mut draft = Draft::new(evening, situation);
    places::add(&mut draft);
    steps::add(&mut draft);
    order::add(&mut draft);
    pans::add(&mut draft);
    waits::add(&mut draft);
    begun::make_room(&mut draft);
    clock::add(&mut draft);
    moves::add(&mut draft, pins);
    draft.finish()
}
