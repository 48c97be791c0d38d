//! Plans a party and runs its evening: the library behind the `potwatch` program.

// Nothing ends the program but its end: what cannot be done is said, and the evening goes on.
#![cfg_attr(
    not(test),
    deny(
        clippy::unwrap_used,
        clippy::expect_used,
        clippy::panic,
        clippy::todo,
        clippy::unimplemented,
        clippy::unreachable,
        clippy::dbg_macro
    )
)]

#[cfg_attr(not(test), deny(clippy::indexing_slicing))]
pub mod bring;
#[cfg_attr(not(test), deny(clippy::indexing_slicing))]
pub mod command;
pub mod kitchen;
pub mod learn;
#[cfg_attr(not(test), deny(clippy::indexing_slicing))]
pub mod live;
pub mod mise;
mod order;
#[cfg_attr(not(test), deny(clippy::indexing_slicing))]
pub mod pages;
#[cfg_attr(not(test), deny(clippy::indexing_slicing))]
pub mod paper;
pub mod plan;
#[cfg_attr(not(test), deny(clippy::indexing_slicing))]
pub mod run;
#[cfg_attr(not(test), deny(clippy::indexing_slicing))]
pub mod safety;
pub mod screen;
#[cfg_attr(not(test), deny(clippy::indexing_slicing))]
pub mod store;

// The faulty disk of the tests is one file for the tests in here and those outside.
#[cfg(test)]
extern crate self as potwatch;
