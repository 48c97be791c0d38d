//! The cook's own shelf: recipes, kitchens and parties of their own, a folder
//! of JSON files for each kind, named by their ids.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use super::disk::Disk;
use super::place;
use super::read::schema::FileKind;
use super::read::{CookFile, Document, Problems};
use super::save::{IfThere, save};
use super::trouble::FileTrouble;
use crate::order::InOrder;

/// Most files of a kind that are looked at.
const MOST_FILES: usize = 2_000;

/// The cook's own shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnShelf {
    folder: PathBuf,
}

impl OwnShelf {
    /// The shelf in a folder, which need not be there yet.
    #[must_use]
    pub fn at(folder: &Path) -> Self {
        Self { folder: folder.to_path_buf() }
    }

    /// The folder for a kind of file.
    #[must_use]
    pub fn folder(&self, kind: FileKind) -> PathBuf {
        self.folder.join(match kind {
            FileKind::Party => "parties",
            FileKind::Recipe => "recipes",
            FileKind::Kitchen => "kitchens",
        })
    }

    /// Where a thing of this id is kept, whether or not it is there.
    #[must_use]
    pub fn path(&self, kind: FileKind, id: &str) -> PathBuf {
        self.folder(kind).join(format!("{id}.json"))
    }

    /// The file of an id, if it is there. Only what can be an id is looked for.
    #[must_use]
    pub fn find(&self, kind: FileKind, id: &str) -> Option<PathBuf> {
        let path = is_id(id).then(|| self.path(kind, id))?;
        path.is_file().then_some(path)
    }

    /// The ids of a kind, in order; none if there is no such folder yet or it
    /// cannot be read.
    #[must_use]
    pub fn ids(&self, kind: FileKind) -> Vec<String> {
        let Ok(folder) = std::fs::read_dir(self.folder(kind)) else { return Vec::new() };
        let mut ids: Vec<String> = folder
            .take(MOST_FILES)
            .filter_map(|entry| {
                let path = entry.ok()?.path();
                let json = path.extension() == Some(OsStr::new("json")) && path.is_file();
                let id = path.file_stem()?.to_str()?;
                (json && is_id(id)).then(|| id.to_owned())
            })
            .collect();
        ids.order();
        ids
    }

    /// Everything of a kind: its id, and the thing or what is wrong with its file.
    #[must_use]
    pub fn all<T: CookFile>(&self) -> Vec<(String, Result<T, Problems>)> {
        let read = |id: &str| Document::read(&self.path(T::KIND, id))?.value::<T>();
        let ids = self.ids(T::KIND).into_iter();
        ids.map(|id| (id.clone(), read(&id))).collect()
    }

    /// An id for a new thing: `wanted`, or with a number if that is taken here
    /// or among the built-in ones.
    #[must_use]
    pub fn free_id(&self, kind: FileKind, wanted: &str) -> String {
        let taken =
            |id: &str| self.path(kind, id).exists() || super::shelf::text(kind, id).is_some();
        let stem: String = wanted.chars().take(36).collect();
        let numbered = (2..10_000).map(|n| format!("{stem}-{n}"));
        let mut ids = std::iter::once(wanted.to_owned()).chain(numbered);
        ids.find(|id| !taken(id)).unwrap_or_else(|| wanted.to_owned())
    }

    /// Writes a thing's file, whole or not at all.
    ///
    /// # Errors
    /// Trouble with the disk; `AlreadyExists` if it is there and may not be replaced.
    pub fn save<D: Disk>(
        &self,
        disk: &D,
        kind: FileKind,
        id: &str,
        text: &str,
        if_there: IfThere,
    ) -> Result<PathBuf, FileTrouble> {
        place::make(disk, &self.folder(kind))?;
        let path = self.path(kind, id);
        save(disk, &path, text.as_bytes(), if_there)?;
        Ok(path)
    }

    /// Takes a thing off the shelf: its file goes into the folder `taken-off`
    /// beside the others, under a name that is free there.
    ///
    /// # Errors
    /// Trouble with the disk.
    pub fn take_off<D: Disk>(
        &self,
        disk: &D,
        kind: FileKind,
        id: &str,
    ) -> Result<PathBuf, FileTrouble> {
        let folder = self.folder(kind).join("taken-off");
        place::make(disk, &folder)?;
        let numbered = (2..10_000).map(|n| format!("{id}-{n}"));
        let names = std::iter::once(id.to_owned()).chain(numbered);
        let free = names.map(|n| folder.join(format!("{n}.json"))).find(|p| !p.exists());
        let to = free.unwrap_or_else(|| folder.join("last.json"));
        let from = self.path(kind, id);
        let moved = disk.rename_new(&from, &to).and_then(|()| disk.sync_dir(&folder));
        moved.map_err(|e| FileTrouble::new("put away", &from, e))?;
        Ok(to)
    }
}

/// Can this be an id, and so a file's name?
#[must_use]
pub fn is_id(text: &str) -> bool {
    let good = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_' || c == '-';
    !text.is_empty() && text.len() <= 60 && text.chars().all(good)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kitchen::Recipe;
    use crate::store::{RealDisk, shelf};

    #[test]
    fn what_is_saved_is_found_and_what_is_taken_off_is_kept() {
        let dir = tempfile::tempdir().unwrap();
        let own = OwnShelf::at(&dir.path().join("data"));
        assert_eq!(own.ids(FileKind::Recipe), Vec::<String>::new());
        let text = shelf::text(FileKind::Recipe, "bean-dip").unwrap();
        let id = own.free_id(FileKind::Recipe, "bean-dip");
        assert_eq!(id, "bean-dip-2");
        own.save(&RealDisk, FileKind::Recipe, &id, text, IfThere::Refuse).unwrap();
        assert!(own.save(&RealDisk, FileKind::Recipe, &id, text, IfThere::Refuse).is_err());
        assert_eq!(own.free_id(FileKind::Recipe, "bean-dip"), "bean-dip-3");
        let all = own.all::<Recipe>();
        assert!(matches!(&all[..], [(name, Ok(_))] if *name == id));
        assert!(own.find(FileKind::Recipe, &id).is_some());
        for _ in 0..2 {
            own.save(&RealDisk, FileKind::Recipe, &id, text, IfThere::Replace).unwrap();
            let kept = own.take_off(&RealDisk, FileKind::Recipe, &id).unwrap();
            assert_eq!(std::fs::read_to_string(kept).unwrap(), text);
        }
        assert_eq!(own.find(FileKind::Recipe, &id), None);
        assert_eq!(own.ids(FileKind::Recipe), Vec::<String>::new());
    }

    #[test]
    fn only_ids_are_looked_for() {
        let dir = tempfile::tempdir().unwrap();
        let own = OwnShelf::at(dir.path());
        std::fs::write(dir.path().join("x.json"), "{}").unwrap();
        std::fs::create_dir(dir.path().join("recipes")).unwrap();
        std::fs::write(dir.path().join("recipes/Big.json"), "{}").unwrap();
        for name in ["../x", "/etc/passwd", "", "Big", "a/b", "."] {
            assert_eq!(own.find(FileKind::Recipe, name), None, "{name}");
        }
        assert!(own.ids(FileKind::Recipe).is_empty());
    }
}
