//! The edge: the terminal, signals, threads, clocks and sounds.

pub mod notify;
pub mod signals;
pub mod sound;
pub mod terminal;
pub mod watchdog;
