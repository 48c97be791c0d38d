//! One evening, several screens, one writer at a time.
//!
//! Three locks of the operating system's, each on a file beside the journal, so that they go when a program goes,
//! however it goes. The files themselves stay; their presence means nothing.
//!
//! * [`Lock`] (`.lock`): every screen of an evening holds it together with the others for as long as it is open;
//!   who must have the journal alone (`potwatch repair`) takes it alone.
//! * [`Turn`] (`.turn`): held for the moment of writing.
//! * [`Lead`] (`.lead`): held for as long as it lives by the one screen that plans for all. When that screen goes,
//!   another takes it.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, Read, Seek, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use super::disk::beside;
use super::trouble::FileTrouble;

/// The turn to write is waited for so long. A write takes a fraction of a millisecond; a slow disk, some hundred.
pub const TURN_WITHIN: Duration = Duration::from_secs(3);
/// Between two looks at a turn that is taken.
const LOOK_AGAIN: Duration = Duration::from_millis(1);

/// Why a journal cannot be locked.
#[derive(Debug, thiserror::Error)]
pub enum LockError {
    /// Another process has it.
    #[error("{} is already open ({}); go on there, or close it first", .journal.display(), holder(*.pid))]
    AlreadyOpen {
        /// The journal.
        journal: PathBuf,
        /// The process that has it, where that can be told.
        pid: Option<u32>,
    },
    /// The folder's file system has no locks.
    #[error(
        "the folder of {} cannot lock files, so two programs could write one evening; \
         set POTWATCH_HOME to a folder on this computer's own disk",
        .journal.display()
    )]
    NoLocks {
        /// The journal.
        journal: PathBuf,
    },
    /// The lock file cannot be made or opened.
    #[error(transparent)]
    File(#[from] FileTrouble),
}

/// A place among the screens of an evening. It ends when this is dropped or the process ends.
#[derive(Debug)]
pub struct Lock {
    _file: File,
}

impl Lock {
    /// Takes the journal for this program alone, without waiting. The journal itself need not exist yet; its
    /// folder must.
    ///
    /// # Errors
    /// [`LockError`]; `AlreadyOpen` while any screen has it.
    pub fn take(journal: &Path) -> Result<Self, LockError> {
        let file = lock_file(journal, ".lock")?;
        if taken(file.try_lock(), journal)? {
            return Ok(Self { _file: file });
        }
        let pid = read_pid(journal);
        Err(LockError::AlreadyOpen { journal: journal.to_path_buf(), pid })
    }

    /// Takes the journal together with the other screens of its evening, without waiting.
    ///
    /// # Errors
    /// [`LockError`]; `AlreadyOpen` while a program has it alone.
    pub fn share(journal: &Path) -> Result<Self, LockError> {
        let file = lock_file(journal, ".lock")?;
        if taken(file.try_lock_shared(), journal)? {
            return Ok(Self { _file: file });
        }
        Err(LockError::AlreadyOpen { journal: journal.to_path_buf(), pid: None })
    }
}

/// The turn to write a journal, as long as this lives.
#[derive(Debug)]
pub struct Turn {
    _file: File,
}

impl Turn {
    /// Waits for the turn, at most [`TURN_WITHIN`]; `None` if it did not come.
    ///
    /// # Errors
    /// [`LockError`].
    pub fn wait(journal: &Path) -> Result<Option<Self>, LockError> {
        let file = lock_file(journal, ".turn")?;
        let begun = Instant::now();
        while !taken(file.try_lock(), journal)? {
            if begun.elapsed() > TURN_WITHIN {
                return Ok(None);
            }
            std::thread::sleep(LOOK_AGAIN);
        }
        Ok(Some(Self { _file: file }))
    }

    /// Takes the turn if nobody has it.
    ///
    /// # Errors
    /// [`LockError`].
    pub fn now(journal: &Path) -> Result<Option<Self>, LockError> {
        let file = lock_file(journal, ".turn")?;
        Ok(taken(file.try_lock(), journal)?.then_some(Self { _file: file }))
    }
}

/// The right to plan for all screens of an evening, as long as this lives.
#[derive(Debug)]
pub struct Lead {
    file: File,
}

impl Lead {
    /// Takes the lead if nobody has it.
    ///
    /// # Errors
    /// [`LockError`].
    pub fn take(journal: &Path) -> Result<Option<Self>, LockError> {
        let mut file = lock_file(journal, ".lead")?;
        if !taken(file.try_lock(), journal)? {
            return Ok(None);
        }
        // The number is only for the words of a refusal: a disk too full to hold it is no reason not to lead.
        let _ = write_pid(&mut file);
        Ok(Some(Self { file }))
    }
}

impl Drop for Lead {
    fn drop(&mut self) {
        // So that a later holder is never announced by this number. Closing the file lets go of the lock.
        let _ = self.file.set_len(0);
    }
}

fn lock_file(journal: &Path, ending: &str) -> Result<File, LockError> {
    Ok(open_to_lock(&beside(journal, ending))?)
}

/// Opens a file that is there to be locked, and makes it if it is not.
pub(super) fn open_to_lock(path: &Path) -> Result<File, FileTrouble> {
    let opened = OpenOptions::new().read(true).write(true).create(true).truncate(false).open(path);
    opened.map_err(|e| FileTrouble::new("lock", path, e))
}

/// True if it was taken, false if another has it.
pub(super) fn taken(tried: Result<(), TryLockError>, journal: &Path) -> Result<bool, LockError> {
    match tried {
        Ok(()) => Ok(true),
        Err(TryLockError::WouldBlock) => Ok(false),
        Err(TryLockError::Error(e)) if has_no_locks(&e) => {
            Err(LockError::NoLocks { journal: journal.to_path_buf() })
        }
        Err(TryLockError::Error(e)) => Err(FileTrouble::new("lock", journal, e).into()),
    }
}

/// Does the system say that files cannot be locked there? A network's file system may say that it has run out of locks.
fn has_no_locks(e: &io::Error) -> bool {
    #[cfg(unix)]
    if e.raw_os_error() == Some(rustix::io::Errno::NOLCK.raw_os_error()) {
        return true;
    }
    e.kind() == io::ErrorKind::Unsupported
}

fn write_pid(file: &mut File) -> io::Result<()> {
    file.set_len(0)?;
    file.rewind()?;
    file.write_all(format!("{}\n", std::process::id()).as_bytes())
}

/// The process that leads, if one does and its number can be told.
fn read_pid(journal: &Path) -> Option<u32> {
    let mut text = String::new();
    File::open(beside(journal, ".lead")).ok()?.take(20).read_to_string(&mut text).ok()?;
    text.trim().parse().ok()
}

fn holder(pid: Option<u32>) -> String {
    pid.map_or_else(|| "in another window".into(), |pid| format!("process {pid}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn screens_share_it_and_who_wants_it_alone_is_told_who_leads() {
        let dir = tempfile::tempdir().unwrap();
        let journal = dir.path().join("a.journal");
        let (first, second) = (Lock::share(&journal).unwrap(), Lock::share(&journal).unwrap());
        let lead = Lead::take(&journal).unwrap().expect("nobody leads yet");
        assert!(Lead::take(&journal).unwrap().is_none(), "one leads");
        let said = Lock::take(&journal).unwrap_err().to_string();
        let me = std::process::id();
        assert_eq!(
            said,
            format!(
                "{} is already open (process {me}); go on there, or close it first",
                journal.display()
            )
        );
        drop((first, lead));
        let said = Lock::take(&journal).unwrap_err().to_string();
        assert!(said.contains("(in another window)"), "{said}");
        assert!(Lead::take(&journal).unwrap().is_some(), "another leads now");
        drop(second);
        let alone = Lock::take(&journal).unwrap();
        assert!(Lock::share(&journal).is_err() && Lock::take(&journal).is_err());
        assert!(Lock::take(&dir.path().join("b.journal")).is_ok(), "another evening is not locked");
        drop(alone);
        Lock::share(&journal).unwrap();
    }

    #[test]
    fn writers_take_turns() {
        let dir = tempfile::tempdir().unwrap();
        let journal = dir.path().join("a.journal");
        let turn = Turn::wait(&journal).unwrap().expect("nobody writes");
        assert!(Turn::now(&journal).unwrap().is_none());
        let waiting = std::thread::spawn({
            let journal = journal.clone();
            move || Turn::wait(&journal).unwrap().is_some()
        });
        std::thread::sleep(Duration::from_millis(20));
        drop(turn);
        assert!(waiting.join().unwrap(), "the turn comes when the other is done");
    }

    #[test]
    fn what_an_old_lock_file_says_does_not_matter() {
        let dir = tempfile::tempdir().unwrap();
        let journal = dir.path().join("a.journal");
        for left in ["1\n", "", "no number at all, and rather long"] {
            for ending in [".lock", ".lead", ".turn"] {
                std::fs::write(beside(&journal, ending), left).unwrap();
            }
            drop(Lock::take(&journal).unwrap());
            drop((Lead::take(&journal).unwrap(), Turn::wait(&journal).unwrap()));
        }
    }

    #[test]
    fn a_missing_folder_is_named() {
        let dir = tempfile::tempdir().unwrap();
        let said = Lock::take(&dir.path().join("no/a.journal")).unwrap_err().to_string();
        assert!(
            said.contains("could not lock") && said.contains("no such file or folder"),
            "{said}"
        );
    }

    #[cfg(unix)]
    #[test]
    fn a_folder_without_locks_is_named_with_the_way_out() {
        let nolck = rustix::io::Errno::NOLCK.raw_os_error();
        for e in [io::Error::from(io::ErrorKind::Unsupported), io::Error::from_raw_os_error(nolck)]
        {
            let said = taken(Err(TryLockError::Error(e)), Path::new("a.journal"));
            assert!(said.unwrap_err().to_string().contains("set POTWATCH_HOME"));
        }
    }
}
