//! Where marks go: a journal on the disk, which the other screens of the same evening write too, or for the demo
//! nowhere but memory.

use std::io::ErrorKind;
use std::path::Path;

use crate::run::{Event, Mark};
use crate::store::{
    BootId, Disk, Entry, Journal, JournalError, Lead, Lock, LockError, RealDisk, Stamp, Turn, lock,
};

use super::clock::Ticks;

/// The book of one evening.
pub enum Book {
    /// The demo's: forgotten when the program ends.
    Memory {
        /// The number of the next mark.
        next_seq: u64,
    },
    /// A real evening's: every mark is on the disk before it counts.
    Disk(Box<dyn Shared>),
}

/// A journal that several screens write, each in its turn.
pub trait Shared {
    /// Takes the turn to write, and returns what others have marked since the last look.
    ///
    /// # Errors
    /// The journal's; [`JournalError::Busy`] if the turn does not come.
    fn take_turn(&mut self) -> Result<Vec<Mark>, JournalError>;
    /// Writes an event, in its turn, and returns its number once it is durable.
    ///
    /// # Errors
    /// The journal's: nothing was marked.
    fn append(&mut self, stamp: (i64, Ticks), event: &Event) -> Result<u64, JournalError>;
    /// Ends the turn.
    fn end_turn(&mut self);
    /// What others have marked since the last look; None while one of them writes: look again soon.
    ///
    /// # Errors
    /// The journal's.
    fn look(&mut self) -> Result<Option<Vec<Mark>>, JournalError>;
    /// If writing has failed: tries to go on in a fresh file. Returns all marks that are in it if that succeeds.
    fn mend(&mut self) -> Option<Vec<Mark>>;
    /// Why marks cannot be kept any more, if that is so.
    fn broken(&self) -> Option<&str>;
    /// Does this screen plan for all?
    fn leads(&self) -> bool;
    /// Takes the lead if nobody has it: does this screen lead now?
    fn try_lead(&mut self) -> bool;
}

impl Book {
    /// Begins a mark: returns what others have marked since the last look, to be taken in before it is decided
    /// whether the mark still makes sense. Ends with [`Self::end`].
    ///
    /// # Errors
    /// The journal's: nothing can be marked now.
    pub fn begin(&mut self) -> Result<Vec<Mark>, JournalError> {
        match self {
            Self::Memory { .. } => Ok(Vec::new()),
            Self::Disk(shared) => shared.take_turn(),
        }
    }

    /// Ends what [`Self::begin`] began.
    pub fn end(&mut self) {
        if let Self::Disk(shared) = self {
            shared.end_turn();
        }
    }

    /// Writes an event, between [`Self::begin`] and [`Self::end`], and returns its mark once it is durable.
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
            Self::Disk(shared) => shared.append((at_ms, ticks), &event)?,
        };
        Ok(Mark { seq, at_ms, event })
    }

    /// What other screens have marked since the last look; None while one of them writes: look again soon.
    ///
    /// # Errors
    /// The journal's.
    pub fn look(&mut self) -> Result<Option<Vec<Mark>>, JournalError> {
        match self {
            Self::Memory { .. } => Ok(Some(Vec::new())),
            Self::Disk(shared) => shared.look(),
        }
    }

    /// If writing has failed: tries to go on in a fresh file. Returns all marks
    /// that are in it if that succeeds.
    pub fn mend(&mut self) -> Option<Vec<Mark>> {
        match self {
            Self::Memory { .. } => None,
            Self::Disk(shared) => shared.mend(),
        }
    }

    /// Why marks cannot be kept any more, if that is so.
    #[must_use]
    pub fn broken(&self) -> Option<&str> {
        match self {
            Self::Memory { .. } => None,
            Self::Disk(shared) => shared.broken(),
        }
    }

    /// Does this screen plan for all screens of the evening?
    #[must_use]
    pub fn leads(&self) -> bool {
        match self {
            Self::Memory { .. } => true,
            Self::Disk(shared) => shared.leads(),
        }
    }

    /// Takes the lead if nobody has it: does this screen lead now?
    pub fn try_lead(&mut self) -> bool {
        match self {
            Self::Memory { .. } => true,
            Self::Disk(shared) => shared.try_lead(),
        }
    }
}

/// A journal and what says whose turn it is to write it.
pub struct OnDisk<D: Disk, L: Locks> {
    journal: Journal<Event, D>,
    /// Which start of the computer this is.
    boot: BootId,
    locks: L,
    turn: Option<L::Turn>,
    lead: Option<L::Lead>,
}

/// What says whose turn it is: the system's locks, or in a simulation something like them.
pub trait Locks {
    /// The turn to write, as long as it lives.
    type Turn;
    /// The right to plan for all, as long as it lives.
    type Lead;

    /// Waits for the turn; `None` if it does not come.
    ///
    /// # Errors
    /// If there can be no locks.
    fn turn(&self, journal: &Path) -> Result<Option<Self::Turn>, LockError>;
    /// Takes the turn if nobody has it.
    ///
    /// # Errors
    /// If there can be no locks.
    fn turn_now(&self, journal: &Path) -> Result<Option<Self::Turn>, LockError>;
    /// Takes the lead if nobody has it.
    ///
    /// # Errors
    /// If there can be no locks.
    fn lead(&self, journal: &Path) -> Result<Option<Self::Lead>, LockError>;
}

/// The locks of the system, held together with the place among the screens.
#[derive(Debug)]
pub struct SystemLocks {
    /// The journal is not repaired while this lives.
    pub place: Lock,
}

impl Locks for SystemLocks {
    type Turn = Turn;
    type Lead = Lead;

    fn turn(&self, journal: &Path) -> Result<Option<Turn>, LockError> {
        Turn::wait(journal)
    }

    fn turn_now(&self, journal: &Path) -> Result<Option<Turn>, LockError> {
        Turn::now(journal)
    }

    fn lead(&self, journal: &Path) -> Result<Option<Lead>, LockError> {
        Lead::take(journal)
    }
}

/// The journal of a real evening on this computer.
pub type RealBook = OnDisk<RealDisk, SystemLocks>;

impl<D: Disk, L: Locks> OnDisk<D, L> {
    /// A journal that was just opened, in its turn.
    pub fn new(journal: Journal<Event, D>, boot: BootId, locks: L) -> Self {
        Self { journal, boot, locks, turn: None, lead: None }
    }

    fn busy() -> JournalError {
        JournalError::Busy { seconds: lock::TURN_WITHIN.as_secs() }
    }
}

fn no_lock(e: LockError, journal: &Path) -> JournalError {
    match e {
        // Its folder is not there any more.
        LockError::File(trouble) if trouble.source.kind() == ErrorKind::NotFound => {
            JournalError::Gone { path: journal.to_path_buf() }
        }
        LockError::File(trouble) => trouble.into(),
        other => JournalError::NotDurable { why: other.to_string() },
    }
}

impl<D: Disk, L: Locks> Shared for OnDisk<D, L> {
    fn take_turn(&mut self) -> Result<Vec<Mark>, JournalError> {
        let path = self.journal.path();
        let turn = self.locks.turn(path).map_err(|e| no_lock(e, path))?;
        self.turn = Some(turn.ok_or_else(Self::busy)?);
        let caught_up = self.journal.catch_up().map(marks);
        if caught_up.is_err() {
            self.turn = None;
        }
        caught_up
    }

    fn append(&mut self, (at_ms, ticks): (i64, Ticks), event: &Event) -> Result<u64, JournalError> {
        if self.turn.is_none() {
            return Err(Self::busy());
        }
        let stamp = Stamp { wall_ms: at_ms, mono_ms: ticks.mono_ms, boot: self.boot.clone() };
        self.journal.append(&stamp, event)
    }

    fn end_turn(&mut self) {
        self.turn = None;
    }

    fn look(&mut self) -> Result<Option<Vec<Mark>>, JournalError> {
        // While another writes, what it writes is not durable yet.
        let path = self.journal.path();
        match self.locks.turn_now(path).map_err(|e| no_lock(e, path))? {
            Some(_turn) => self.journal.look().map(marks).map(Some),
            None => Ok(None),
        }
    }

    fn mend(&mut self) -> Option<Vec<Mark>> {
        self.journal.broken()?;
        let _turn = self.locks.turn(self.journal.path()).ok().flatten()?;
        let recovered = self.journal.reopen().ok()?;
        Some(marks(recovered.entries))
    }

    fn broken(&self) -> Option<&str> {
        self.journal.broken()
    }

    fn leads(&self) -> bool {
        self.lead.is_some()
    }

    fn try_lead(&mut self) -> bool {
        if self.lead.is_none() {
            // Without locks nobody leads; that there are none was said when the evening was opened.
            self.lead = self.locks.lead(self.journal.path()).ok().flatten();
        }
        self.lead.is_some()
    }
}

/// Journal entries as marks.
#[must_use]
pub fn marks(entries: Vec<Entry<Event>>) -> Vec<Mark> {
    entries.into_iter().map(|e| Mark { seq: e.seq, at_ms: e.at.wall_ms, event: e.event }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::{Identity, Lock};

    /// A screen that looks just while another writes reads nothing that is not durable, and knows that it must
    /// look again: nobody would tell it of that mark a second time.
    #[test]
    fn who_looks_while_another_writes_is_told_to_look_again() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("supper.jsonl");
        let who = Identity { party: "supper".to_owned(), fingerprint: "f00d".to_owned() };
        let screen = || {
            let place = Lock::share(&path).unwrap();
            let (journal, _) = Journal::<Event, _>::open(RealDisk, &path, &who, 0).unwrap();
            OnDisk::new(journal, BootId::new("boot"), SystemLocks { place })
        };
        let (mut one, mut other) = (screen(), screen());
        assert!(one.take_turn().unwrap().is_empty());
        one.append((1, Ticks { wall_ms: 1, mono_ms: 1 }), &Event::Finished).unwrap();
        assert_eq!(other.look().unwrap(), None);
        one.end_turn();
        let seen = other.look().unwrap().expect("nobody writes");
        assert!(matches!(seen.as_slice(), [Mark { event: Event::Finished, .. }]), "{seen:?}");
        assert_eq!(other.look().unwrap().map(|more| more.len()), Some(0));
    }

    /// A journal that is moved away under an open evening is told as that; put back, the evening goes on.
    #[test]
    fn a_journal_that_is_gone_is_told_with_the_way_out_and_gone_on_with_when_it_is_back() {
        let dir = tempfile::tempdir().unwrap();
        let (folder, away) = (dir.path().join("evenings"), dir.path().join("away"));
        std::fs::create_dir(&folder).unwrap();
        let path = folder.join("supper.journal");
        let who = Identity { party: "supper".to_owned(), fingerprint: "f00d".to_owned() };
        let place = Lock::share(&path).unwrap();
        let (journal, _) = Journal::<Event, _>::open(RealDisk, &path, &who, 0).unwrap();
        let mut book = OnDisk::new(journal, BootId::new("boot"), SystemLocks { place });
        let ticks = Ticks { wall_ms: 1, mono_ms: 1 };
        for (from, to) in [(&path, &dir.path().join("supper.journal")), (&folder, &away)] {
            std::fs::rename(from, to).unwrap();
            for said in [book.take_turn().map(drop), book.look().map(drop)] {
                let said = said.unwrap_err().to_string();
                assert!(said.contains("is gone") && said.contains("put it back"), "{said}");
            }
            std::fs::rename(to, from).unwrap();
            assert!(book.take_turn().unwrap().is_empty());
            book.append((1, ticks), &Event::Finished).unwrap();
            book.end_turn();
        }
        let (_, recovered) = Journal::<Event, _>::open(RealDisk, &path, &who, 0).unwrap();
        assert_eq!(recovered.entries.len(), 2);
    }
}
