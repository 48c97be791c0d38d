//! What is being typed into forms, kept until it is saved: a file for each thing.

use std::fs::File;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use serde::Serialize;
use serde::de::DeserializeOwned;

use super::disk::{Disk, beside, is_gone};
use super::lock::{self, LockError};
use super::own::is_id;
use super::place;
use super::save::write_whole;
use super::trouble::FileTrouble;

/// What stands for a thing that has no name yet.
const NEW: &str = "+new";

/// The folder of drafts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drafts {
    folder: PathBuf,
}

impl Drafts {
    /// The drafts in a folder, which need not be there yet.
    #[must_use]
    pub fn at(folder: &Path) -> Self {
        Self { folder: folder.to_path_buf() }
    }

    fn path(&self, kind: &str, id: Option<&str>) -> PathBuf {
        self.folder.join(format!("{kind}.{}.json", id.unwrap_or(NEW)))
    }

    /// The draft of a thing, if there is one.
    ///
    /// # Errors
    /// A sentence why it cannot be read: see [`put_aside`](Self::put_aside).
    pub fn find<T: DeserializeOwned>(
        &self,
        kind: &str,
        id: Option<&str>,
    ) -> Result<Option<T>, String> {
        let path = self.path(kind, id);
        if is_gone(&path) {
            return Ok(None);
        }
        let read = super::read::text_of(&path).map_err(|problems| problems.to_string());
        let read = read.and_then(|text| serde_json::from_str(&text).map_err(|e| e.to_string()));
        read.map_err(|why| format!("What you had typed and not saved cannot be read ({why})"))
    }

    /// Gives a draft that cannot be read another name, so that a new one does not take its place. Where it is now.
    ///
    /// # Errors
    /// Trouble with the disk.
    pub fn put_aside<D: Disk>(
        &self,
        disk: &D,
        kind: &str,
        id: Option<&str>,
    ) -> Result<PathBuf, FileTrouble> {
        const TRIES_MAX: u32 = 1000;
        let path = self.path(kind, id);
        for n in 1..=TRIES_MAX {
            let to = beside(&path, &format!(".unreadable-{n}"));
            match disk.rename_new(&path, &to) {
                Err(e) if e.kind() == ErrorKind::AlreadyExists => {}
                done => {
                    let done = done.and_then(|()| disk.sync_dir(&self.folder));
                    return done.map(|()| to).map_err(|e| FileTrouble::new("put aside", &path, e));
                }
            }
        }
        let taken = std::io::Error::from(ErrorKind::AlreadyExists);
        Err(FileTrouble::new("put aside", &path, taken))
    }

    /// The right to write the draft of a thing, as long as the file is open: of several desks one has it; `None` while
    /// another has. It goes when that program goes, however it goes.
    ///
    /// # Errors
    /// Trouble with the disk, or the system has no locks.
    pub fn claim<D: Disk>(
        &self,
        disk: &D,
        kind: &str,
        id: Option<&str>,
    ) -> Result<Option<File>, LockError> {
        // Not among the drafts: a name here says nothing of whether something was typed.
        let folder = beside(&self.folder, "-open");
        place::make(disk, &folder)?;
        let path = folder.join(format!("{kind}.{}.lock", id.unwrap_or(NEW)));
        let file = lock::open_to_lock(&path)?;
        Ok(lock::taken(file.try_lock(), &path)?.then_some(file))
    }

    /// The ids of the drafts of a kind.
    #[must_use]
    pub fn ids(&self, kind: &str) -> Vec<Option<String>> {
        let Ok(folder) = std::fs::read_dir(&self.folder) else { return Vec::new() };
        let names = folder.filter_map(|e| e.ok()?.file_name().into_string().ok());
        let ids = names.filter_map(|name| {
            let id = name.strip_prefix(kind)?.strip_prefix('.')?.strip_suffix(".json")?.to_owned();
            match id == NEW {
                true => Some(None),
                false => is_id(&id).then_some(Some(id)),
            }
        });
        ids.collect()
    }

    /// Keeps a draft: when this returns it is on the disk, whole.
    ///
    /// # Errors
    /// Trouble with the disk.
    pub fn keep<D: Disk, T: Serialize>(
        &self,
        disk: &D,
        kind: &str,
        id: Option<&str>,
        draft: &T,
    ) -> Result<(), FileTrouble> {
        place::make(disk, &self.folder)?;
        let path = self.path(kind, id);
        let bytes = serde_json::to_vec(draft)
            .map_err(|e| FileTrouble::new("keep", &path, std::io::Error::other(e)))?;
        write_whole(disk, &path, &bytes)
    }

    /// Forgets a draft, if there is one.
    ///
    /// # Errors
    /// Trouble with the disk.
    pub fn forget<D: Disk>(
        &self,
        disk: &D,
        kind: &str,
        id: Option<&str>,
    ) -> Result<(), FileTrouble> {
        let path = self.path(kind, id);
        match disk.remove(&path) {
            Err(e) if e.kind() != ErrorKind::NotFound => Err(FileTrouble::new("remove", &path, e)),
            _ => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::RealDisk;

    #[test]
    fn drafts_come_back_and_go() {
        let dir = tempfile::tempdir().unwrap();
        let drafts = Drafts::at(&dir.path().join("drafts"));
        assert_eq!(drafts.find::<String>("party", None), Ok(None));
        drafts.keep(&RealDisk, "party", None, &"typed").unwrap();
        drafts.keep(&RealDisk, "party", Some("supper"), &"more").unwrap();
        assert_eq!(drafts.find("party", None), Ok(Some("typed".to_owned())));
        let mut ids = drafts.ids("party");
        ids.sort();
        assert_eq!(ids, [None, Some("supper".to_owned())]);
        assert_eq!(drafts.ids("recipe"), []);
        for _ in 0..2 {
            drafts.forget(&RealDisk, "party", None).unwrap();
        }
        assert_eq!(drafts.find::<String>("party", None), Ok(None));
    }
}
