//! Files: the cook's own and the shelf inside the program; the journal of an evening, its lock, saving, and where
//! things are kept.
//!
//! This is the only code that touches the disk. The journal knows nothing of kitchens: events are any type that
//! serde can write and read back, times and identities are arguments.

pub mod cooked;
pub mod disk;
pub mod drafts;
pub mod forgotten;
pub mod journal;
pub mod journal_error;
pub mod load;
pub mod lock;
pub mod own;
pub mod place;
pub mod read;
pub mod record;
pub mod recover;
pub mod repair;
pub mod save;
pub mod settings;
pub mod shelf;
pub mod shell;
pub mod trouble;
pub mod zone;

#[cfg(test)]
#[path = "../../tests/support/faulty_disk.rs"]
mod faulty_disk;
#[cfg(test)]
mod journal_tests;
#[cfg(test)]
mod save_tests;

pub use disk::{Disk, RealDisk};
pub use journal::{Cut, Entry, Journal, Recovered, boot_id};
pub use journal_error::{Identity, JournalError};
pub use lock::{Lead, Lock, LockError, Turn};
pub use place::Places;
pub use record::{BootId, Stamp};
pub use repair::{Repaired, repair};
pub use save::{IfThere, save};
pub use trouble::FileTrouble;
