//! One evening, one writer.
//!
//! The lock is the operating system's, on a file beside the journal, so it goes when the program goes, however it
//! goes. The file itself stays; its presence means nothing.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, Read, Seek, Write};
use std::path::{Path, PathBuf};

use super::disk::beside;
use super::trouble::FileTrouble;

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

/// The right to write a journal. It ends when this is dropped or the process ends.
#[derive(Debug)]
pub struct Lock {
    file: File,
}

impl Lock {
    /// Takes the lock of a journal without waiting. The journal itself need not exist yet; its folder must.
    ///
    /// # Errors
    /// [`LockError`].
    pub fn take(journal: &Path) -> Result<Self, LockError> {
        let path = beside(journal, ".lock");
        let opened =
            OpenOptions::new().read(true).write(true).create(true).truncate(false).open(&path);
        let mut file = opened.map_err(|e| FileTrouble::new("lock", &path, e))?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                let pid = read_pid(&mut file);
                return Err(LockError::AlreadyOpen { journal: journal.to_path_buf(), pid });
            }
            Err(TryLockError::Error(e)) if e.kind() == io::ErrorKind::Unsupported => {
                return Err(LockError::NoLocks { journal: journal.to_path_buf() });
            }
            Err(TryLockError::Error(e)) => return Err(FileTrouble::new("lock", &path, e).into()),
        }
        // The number is only for the message of the second start: a disk too full to hold it is no reason
        // to refuse the first.
        let _ = write_pid(&mut file);
        Ok(Self { file })
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        // So that a later holder is never announced by this number. Closing the file lets go of the lock.
        let _ = self.file.set_len(0);
    }
}

fn write_pid(file: &mut File) -> io::Result<()> {
    file.set_len(0)?;
    file.rewind()?;
    file.write_all(format!("{}\n", std::process::id()).as_bytes())
}

fn read_pid(file: &mut File) -> Option<u32> {
    let mut text = String::new();
    file.take(20).read_to_string(&mut text).ok()?;
    text.trim().parse().ok()
}

fn holder(pid: Option<u32>) -> String {
    pid.map_or_else(|| "in another window".into(), |pid| format!("process {pid}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_second_is_told_who_has_it_and_gets_it_after_the_first() {
        let dir = tempfile::tempdir().unwrap();
        let journal = dir.path().join("a.journal");
        let first = Lock::take(&journal).unwrap();
        let said = Lock::take(&journal).unwrap_err().to_string();
        let me = std::process::id();
        assert_eq!(
            said,
            format!(
                "{} is already open (process {me}); go on there, or close it first",
                journal.display()
            )
        );
        drop(first);
        let again = Lock::take(&journal).unwrap();
        assert!(Lock::take(&dir.path().join("b.journal")).is_ok(), "another evening is not locked");
        drop(again);
    }

    #[test]
    fn what_an_old_lock_file_says_does_not_matter() {
        let dir = tempfile::tempdir().unwrap();
        let journal = dir.path().join("a.journal");
        for left in ["1\n", "", "no number at all, and rather long"] {
            std::fs::write(beside(&journal, ".lock"), left).unwrap();
            drop(Lock::take(&journal).unwrap());
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
}
