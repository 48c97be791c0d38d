//! What is being typed into forms, kept until it is saved: a file for each thing.

use std::path::{Path, PathBuf};

use serde::Serialize;
use serde::de::DeserializeOwned;

use super::disk::Disk;
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

    /// The draft of a thing, if there is one that can be read. One that cannot
    /// is left where it is, beside a new one.
    #[must_use]
    pub fn find<T: DeserializeOwned>(&self, kind: &str, id: Option<&str>) -> Option<T> {
        let text = super::read::text_of(&self.path(kind, id)).ok()?;
        serde_json::from_str(&text).ok()
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
            Err(e) if e.kind() != std::io::ErrorKind::NotFound => {
                Err(FileTrouble::new("remove", &path, e))
            }
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
        assert_eq!(drafts.find::<String>("party", None), None);
        drafts.keep(&RealDisk, "party", None, &"typed").unwrap();
        drafts.keep(&RealDisk, "party", Some("supper"), &"more").unwrap();
        assert_eq!(drafts.find::<String>("party", None).as_deref(), Some("typed"));
        let mut ids = drafts.ids("party");
        ids.sort();
        assert_eq!(ids, [None, Some("supper".to_owned())]);
        assert_eq!(drafts.ids("recipe"), []);
        for _ in 0..2 {
            drafts.forget(&RealDisk, "party", None).unwrap();
        }
        assert_eq!(drafts.find::<String>("party", None), None);
    }
}
