//! The edge: the terminal, signals, threads, clocks and sounds.

pub mod awake;
pub mod board;
pub mod book;
pub mod clock;
pub mod demo;
pub mod desk;
mod ears;
mod entrance;
pub mod hand;
pub mod neighbours;
pub mod next_time;
pub mod notify;
pub mod opening;
pub mod pass;
pub mod planner;
pub mod programs;
pub mod reasons;
pub mod rehearsal;
pub mod ringer;
pub mod session;
pub mod signals;
pub mod sound;
pub mod surroundings;
pub mod terminal;
pub mod times;
pub mod tryer;
pub mod watchdog;
