//! How likely each service is on time, and what endangers it.
//!
//! The minutes of every step become a distribution ([`spread`]); steps at one
//! station, or in one cook's hands, are slow together ([`shared`]). The plan is
//! played forward many times ([`play`]) as the evening would go ([`net`] says
//! who waits for whom), and what happened is counted ([`tally`]): for each
//! service the share of evenings in which it was on time, with an interval
//! ([`wilson`]), and the three steps whose overruns made it late most.
//!
//! While the evening runs, what is done stays as it happened, what runs is
//! given the rest of its own distribution, and how slow an oven or a cook is
//! tonight is learned from what they have done.
//!
//! What is **not** in the figure: marks that come late, ovens that heat slower
//! than their thermostat says, things dropped on the floor, a new plan that
//! finds a better way out. The interval is that of the counting alone.
//!
//! The same plan, situation, seed and count give the same answer on every
//! machine: only integers, the four operations and square roots are used.

pub mod cushion;
mod dice;
mod forecast;
mod jobs;
mod net;
mod play;
mod room;
mod shared;
mod spread;
mod tally;
pub mod wilson;
pub mod words;

#[cfg(test)]
mod play_tests;
#[cfg(test)]
mod rules_tests;
#[cfg(test)]
mod tests;

pub use forecast::{Forecast, Odds, Threat, forecast};
pub use room::Room;
pub use spread::Spread;

use crate::kitchen::Minute;

/// A service is on time if none of its dishes is so many minutes late. Below
/// that nobody at the table notices (common practice, no source).
pub const GRACE_MINUTES: Minute = 3;

/// Evenings played for what a screen shows: the interval is then at most 4.4
/// percentage points wide, and 2.7 around 90 %.
pub const EVENINGS: u32 = 2_000;

/// The seed of the evenings played where nobody gives another.
pub const SEED: u64 = 1;

/// How many of the steps that endanger a service are named.
pub const THREATS: usize = 3;
