//! The edge: the terminal, signals, threads, clocks and sounds.

pub mod signals;
pub mod terminal;
pub mod watchdog;
