//! Measurements. They are slow and need an optimised build, so they only run
//! when asked for:
//! `cargo test --release --test bench -- --ignored --nocapture`

mod kitchens;
mod solver;
