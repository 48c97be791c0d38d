//! Measurements. They are slow and need an optimised build, so they only run
//! when asked for:
//! `cargo test --release --test bench -- --ignored --nocapture`

#[path = "../family/mod.rs"]
mod family;
#[path = "../support/seat.rs"]
mod seat;
#[path = "../support/small_party.rs"]
mod small_party;

mod beside;
mod kitchens;
mod risk;
mod screen;
mod solver;
