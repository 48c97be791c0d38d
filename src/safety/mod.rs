//! Keeping food safe: guidance profiles, which food counts as perishable, how
//! long it may be out of control, and what the screens say about it.
//!
//! Every limit comes from the party's [`Profile`]; nothing here, and no setting,
//! makes one laxer. Pure: instants are milliseconds that the caller gives.

pub mod caution;
pub mod class;
pub mod cooling;
#[cfg(test)]
mod edge_tests;
pub mod figure;
pub mod lead;
pub mod ledger;
#[cfg(test)]
mod ledger_tables;
#[cfg(test)]
mod ledger_tests;
pub mod limit;
pub mod probe;
pub mod profile;
pub mod room_clock;
#[cfg(test)]
mod room_clock_tests;
mod room_count;
mod timeline;
#[cfg(test)]
mod vectors_tests;

pub use class::{Verdict, is_perishable, judge};
pub use figure::{Heat, Seen, Source, c_to_f, f_to_c};
pub use lead::{Remedy, remedy_for};
pub use limit::{
    CoolBy, RoomLimit, cool_by, cool_by_readings, is_controlled, least_inner, least_inner_c,
    limit_minutes, room_limit, setting_holds,
};
pub use probe::{AskAgain, Doubt, Expect, Probe};
pub use profile::{ClockMeaning, CoolsFrom, Inner, Profile, Thaw, ThawWay, TimeRule, hold_limits};
pub use room_clock::{ClockState, RoomClock, Standing};
pub use timeline::{Control, FoodEvent};
