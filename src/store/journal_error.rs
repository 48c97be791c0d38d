//! Why a journal is refused, in words that name the file, the place in it and the way out.

use std::path::{Path, PathBuf};

use super::record::{Header, LineFault, VERSION};
use super::recover::Damage;
use super::trouble::FileTrouble;

/// Whose journal it is. Both parts stand in its first line and must fit when it is opened again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Identity {
    /// The id of the party.
    pub party: String,
    /// A text that is the same for the same party and differs for another; see [`super::place::fingerprint`].
    pub fingerprint: String,
}

/// Why a journal cannot be opened, read or written.
#[derive(Debug, thiserror::Error)]
pub enum JournalError {
    /// A file operation failed.
    #[error(transparent)]
    File(#[from] FileTrouble),
    /// The file is something else.
    #[error("{} is not a potwatch journal; check the name", .path.display())]
    NotAJournal {
        /// The file.
        path: PathBuf,
    },
    /// A newer program wrote it.
    #[error(
        "{} was written by a newer potwatch (format {found}, this one knows up to {VERSION}); open it with that one",
        .path.display()
    )]
    Newer {
        /// The file.
        path: PathBuf,
        /// The format version that it names.
        found: u32,
    },
    /// It belongs to another party, or to an earlier state of this party's file.
    #[error(
        "{} belongs to the party \"{}\" ({}), not to \"{}\" ({}); nothing was changed",
        .path.display(), .found.party, .found.fingerprint, .wanted.party, .wanted.fingerprint
    )]
    OtherParty {
        /// The file.
        path: PathBuf,
        /// Whose it is.
        found: Identity,
        /// Whose it was taken for.
        wanted: Identity,
    },
    /// It is damaged where no crash of ours can have damaged it.
    #[error(
        "{} is damaged: line {line} (byte {byte}): {what}; nothing was changed; \
         `potwatch repair {}` saves what can be saved and keeps the damaged file",
        .path.display(), super::shell::typed(.path)
    )]
    Damaged {
        /// The file.
        path: PathBuf,
        /// The first damaged line, counted from 1.
        line: u64,
        /// Where that line begins, counted from 0.
        byte: u64,
        /// What is wrong with it.
        what: LineFault,
    },
    /// The line is damaged that says whose it is, and nothing else does.
    #[error(
        "{} is damaged in its first line, which says whose it is, and the party is not kept beside it; open the \
         party once more (`potwatch PARTY.json`), which keeps it there, and repair then; nothing was changed",
        .path.display()
    )]
    Nameless {
        /// The file.
        path: PathBuf,
    },
    /// A whole line holds an event that this program does not know.
    #[error(
        "{}: line {line} (byte {byte}) holds an event that this potwatch does not know ({what}); \
         it was probably written by a newer one: open it with that one; nothing was changed",
        .path.display()
    )]
    UnknownEvent {
        /// The file.
        path: PathBuf,
        /// The line, counted from 1.
        line: u64,
        /// Where that line begins, counted from 0.
        byte: u64,
        /// What the reader of events said.
        what: String,
    },
    /// It is not where it was, while the evening is open.
    #[error(
        "{} is gone: another program has moved or removed it; put it back and press again; \
         what was marked is shown here as long as this stays open",
        .path.display()
    )]
    Gone {
        /// The file.
        path: PathBuf,
    },
    /// It holds less than it did: another program than ours has been at it.
    #[error(
        "{} is shorter than it was: another program has changed it; leave and start again",
        .path.display()
    )]
    Shorter {
        /// The file.
        path: PathBuf,
    },
    /// Another screen of the same evening writes and does not come to an end.
    #[error(
        "another screen of this evening has been writing for {seconds} s; press again, or close that one"
    )]
    Busy {
        /// How long was waited.
        seconds: u64,
    },
    /// The event cannot be written so that it would come back. The journal itself is unharmed.
    #[error("this mark cannot be written down: {what}")]
    Unwritable {
        /// Why.
        what: String,
    },
    /// A write failed, now or earlier: what is marked from here on would be lost with the program.
    #[error("marks are not being saved any more: {why}")]
    NotDurable {
        /// What failed, with its remedy.
        why: String,
    },
}

pub(super) fn check_owner(
    path: &Path,
    header: &Header,
    wanted: &Identity,
) -> Result<(), JournalError> {
    let found = Identity { party: header.party.clone(), fingerprint: header.fingerprint.clone() };
    if found == *wanted {
        return Ok(());
    }
    Err(JournalError::OtherParty { path: path.to_path_buf(), found, wanted: wanted.clone() })
}

pub(super) fn refuse(path: &Path, damage: Damage) -> JournalError {
    let path = path.to_path_buf();
    match damage {
        Damage::NotAJournal => JournalError::NotAJournal { path },
        Damage::Newer { version } => JournalError::Newer { path, found: version },
        Damage::Header => {
            JournalError::Damaged { path, line: 1, byte: 0, what: LineFault::Checksum }
        }
        Damage::Line { line, byte, fault } => {
            JournalError::Damaged { path, line, byte, what: fault }
        }
    }
}
