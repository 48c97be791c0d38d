//! Where marks go: a journal on the disk, or for the demo nowhere but memory.

use crate::run::{Event, Mark};
use crate::store::{BootId, Entry, Journal, JournalError, Lock, RealDisk, Stamp};

use super::clock::Ticks;

/// The book of one evening.
pub enum Book {
    /// The demo's: forgotten when the program ends.
    Memory {
        /// The number of the next mark.
        next_seq: u64,
    },
    /// A real evening's: every mark is on the disk before it counts.
    Disk(Box<OnDisk>),
}

/// A journal and the right to write it.
pub struct OnDisk {
    /// The journal.
    pub journal: Journal<Event, RealDisk>,
    /// Which start of the computer this is.
    pub boot: BootId,
    /// Nobody else writes it while this lives.
    pub lock: Lock,
}

impl Book {
    /// Writes an event and returns its mark once it is durable.
    ///
    /// # Errors
    /// The journal's: nothing was marked.
    pub fn append(&mut self, at_ms: i64, ticks: Ticks, event: Event) -> Result<Mark, JournalError> {
        let seq = match self {
            Self::Memory { next_seq } => {
                let seq = *next_seq;
                *next_seq = seq.saturating_add(1);
                seq
            }
            Self::Disk(disk) => {
                let stamp =
                    Stamp { wall_ms: at_ms, mono_ms: ticks.mono_ms, boot: disk.boot.clone() };
                disk.journal.append(&stamp, &event)?
            }
        };
        Ok(Mark { seq, at_ms, event })
    }

    /// If writing has failed: tries to go on in a fresh file. Returns all marks
    /// that are in it if that succeeds.
    pub fn mend(&mut self) -> Option<Vec<Mark>> {
        let Self::Disk(disk) = self else { return None };
        disk.journal.broken()?;
        let recovered = disk.journal.reopen().ok()?;
        Some(marks(recovered.entries))
    }

    /// Why marks cannot be kept any more, if that is so.
    #[must_use]
    pub fn broken(&self) -> Option<&str> {
        match self {
            Self::Memory { .. } => None,
            Self::Disk(disk) => disk.journal.broken(),
        }
    }
}

/// Journal entries as marks.
#[must_use]
pub fn marks(entries: Vec<Entry<Event>>) -> Vec<Mark> {
    entries.into_iter().map(|e| Mark { seq: e.seq, at_ms: e.at.wall_ms, event: e.event }).collect()
}
