//! How the program ends: the one table of exit codes, and what is printed when
//! something stops it.

use std::io::{ErrorKind, Write};
use std::process::ExitCode;

use crate::live::opening::LongOver;
use crate::store::read::Problems;
use crate::store::{JournalError, LockError};

/// How the program ends. The numbers are part of its interface.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// 0: done, or its reader stopped listening.
    Done,
    /// 1: the disk, the terminal or the machine failed.
    Failed,
    /// 2: called in a wrong way.
    Usage,
    /// 3: a party, recipe or kitchen file is wrong or not there.
    WrongFile,
    /// 4: no plan meets every demand of the party.
    NoPlan,
    /// 5: the evening's journal is damaged.
    Damaged,
    /// 6: the party is already open in another window.
    AlreadyOpen,
    /// 128 + n: stopped by signal n.
    Signal(u8),
}

impl Exit {
    /// The number that the shell sees.
    #[must_use]
    pub const fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Failed => 1,
            Self::Usage => 2,
            Self::WrongFile => 3,
            Self::NoPlan => 4,
            Self::Damaged => 5,
            Self::AlreadyOpen => 6,
            Self::Signal(n) => 128u8.saturating_add(n),
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit.code())
    }
}

/// The program was called in a wrong way, in words.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
pub struct WrongUse(pub String);

/// Prints what stopped the program and says how it ends.
pub fn report(error: &anyhow::Error, err: &mut dyn Write) -> Exit {
    let broken = |e: &std::io::Error| e.kind() == ErrorKind::BrokenPipe;
    if error.chain().filter_map(|e| e.downcast_ref()).any(broken) {
        return Exit::Done;
    }
    // Nobody is left to tell if stderr is gone.
    if let Some(problems) = error.downcast_ref::<Problems>() {
        let _ = writeln!(err, "{problems}");
        return Exit::WrongFile;
    }
    let _ = writeln!(err, "potwatch: {error:#}");
    exit_of(error)
}

/// The exit that an error stands for.
fn exit_of(error: &anyhow::Error) -> Exit {
    if error.is::<WrongUse>() {
        return Exit::Usage;
    }
    if error.is::<LongOver>() {
        return Exit::WrongFile;
    }
    if matches!(error.downcast_ref(), Some(LockError::AlreadyOpen { .. })) {
        return Exit::AlreadyOpen;
    }
    match error.downcast_ref() {
        Some(
            JournalError::Damaged { .. }
            | JournalError::NotAJournal { .. }
            | JournalError::Newer { .. }
            | JournalError::UnknownEvent { .. }
            | JournalError::Nameless { .. }
            | JournalError::OtherParty { .. },
        ) => Exit::Damaged,
        _ => Exit::Failed,
    }
}
