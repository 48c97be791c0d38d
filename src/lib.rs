//! Plans a party and runs its evening: the library behind the `potwatch` program.

pub mod command;
pub mod kitchen;
pub mod live;
pub mod plan;
pub mod run;
pub mod safety;
pub mod screen;
pub mod store;
