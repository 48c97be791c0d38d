//! The planner. `build` turns an evening and what has happened into a
//! [`Problem`] of integers; `search` finds schedules for it; `compose`
//! turns the best one into a [`Plan`] for people; `verify` checks each plan
//! against the evening, sharing no code with the search.
//!
//! Nothing here reads a clock, a file or the screen: time, seeds and budgets
//! are arguments.

pub mod blocks;
pub mod build;
pub mod change;
#[cfg(test)]
mod change_tests;
pub mod clash;
#[cfg(test)]
mod clash_tests;
pub mod compose;
pub mod contact;
#[cfg(test)]
mod contact_tests;
pub mod dial;
pub mod eve;
pub mod judge;
#[cfg(test)]
mod judge_tests;
pub mod loads;
pub mod planner;
#[cfg(test)]
mod planner_tests;
pub mod problem;
pub mod prove;
pub mod pursuit;
pub mod ready;
#[cfg(test)]
mod ready_tests;
pub mod risk;
#[cfg(test)]
pub(crate) mod sample;
pub mod search;
pub mod situation;
pub mod text;
pub mod verify;
#[cfg(test)]
mod verify_tests;
pub mod ways;
pub mod weights;
pub mod why;
pub mod wire;

pub use blocks::{
    Block, Change, Cost, HoldBlock, PanBlock, Plan, Proof, ServiceLine, SettingBlock, SettingKind,
    WaitBlock,
};
pub use problem::{Problem, Schedule};
pub use situation::{Begun, Held, Situation, StepKey};
