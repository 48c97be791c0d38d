//! Plans a party and runs its evening: the library behind the `potwatch` program.

pub mod command;
pub mod kitchen;
pub mod live;
pub mod mise;
pub mod plan;
pub mod run;
pub mod safety;
pub mod screen;
pub mod store;

// The faulty disk of the tests is one file for the tests in here and those outside.
#[cfg(test)]
extern crate self as potwatch;
