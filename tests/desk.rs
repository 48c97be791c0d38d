//! The desk and its forms: drawn at three sizes, and used in a real pty by keys
//! alone, from an empty machine to an evening, and killed at every key.

#[path = "desk/bringing.rs"]
mod bringing;
#[path = "support/cases.rs"]
mod cases;
#[path = "desk/fields.rs"]
mod fields;
#[path = "desk/first_evening.rs"]
mod first_evening;
#[path = "desk/golden.rs"]
mod golden;
#[path = "desk/kills.rs"]
mod kills;
#[path = "support/seat.rs"]
mod seat;
#[path = "desk/sequences.rs"]
mod sequences;
