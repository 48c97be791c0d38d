//! Writes a whole file so that a crash leaves either the old one or the new one, never half of one.

use std::io;
use std::path::{Path, PathBuf};

use super::disk::{Disk, append_all, beside, folder_of};
use super::trouble::FileTrouble;

/// The largest file that is compared when a copy is kept, in bytes.
const COPY_BYTES_MAX: u64 = 512 * 1024 * 1024;

/// What to do if there is already a file of that name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum IfThere {
    /// Fail, and leave it alone.
    Refuse,
    /// Put the new one in its place, with the access rights of the old one.
    Replace,
}

impl IfThere {
    /// [`Self::Replace`] where the cook asked for that, else [`Self::Refuse`].
    #[must_use]
    pub const fn with(replace: bool) -> Self {
        if replace { Self::Replace } else { Self::Refuse }
    }
}

/// Writes `bytes` to `path`: into a file beside it, to the disk, then under its name. A symbolic link stays one.
///
/// # Errors
/// [`FileTrouble`]; `AlreadyExists` if it is there and may not be replaced, `PermissionDenied` if it is marked
/// read-only. The file at `path` is then what it was.
pub fn save<D: Disk>(
    disk: &D,
    path: &Path,
    bytes: &[u8],
    if_there: IfThere,
) -> Result<(), FileTrouble> {
    let real = disk.follow(path);
    let there = real.is_ok();
    let target = real.unwrap_or_else(|_| path.to_path_buf());
    if there && if_there == IfThere::Refuse {
        return Err(FileTrouble::new("write", path, io::Error::from(io::ErrorKind::AlreadyExists)));
    }
    let rights_of = there.then_some(target.as_path());
    put(disk, &target, bytes, rights_of, if_there).map_err(|e| FileTrouble::new("write", path, e))
}

/// Puts `bytes` in the place of `path`, which is a file of the program's own.
pub(super) fn write_whole<D: Disk>(disk: &D, path: &Path, bytes: &[u8]) -> Result<(), FileTrouble> {
    put(disk, path, bytes, None, IfThere::Replace).map_err(|e| FileTrouble::new("write", path, e))
}

/// Like [`write_whole`], but fails with `AlreadyExists` if there is such a file.
pub(super) fn write_new<D: Disk>(disk: &D, path: &Path, bytes: &[u8]) -> Result<(), FileTrouble> {
    put(disk, path, bytes, None, IfThere::Refuse).map_err(|e| FileTrouble::new("begin", path, e))
}

/// Keeps `bytes` in a file beside `path`, named with `ending` and a number if need be; a file that already holds
/// just these bytes is taken for it, so that repeating a step after a crash leaves no second copy.
pub(super) fn keep_copy<D: Disk>(
    disk: &D,
    path: &Path,
    ending: &str,
    bytes: &[u8],
) -> Result<PathBuf, FileTrouble> {
    const TRIES_MAX: u32 = 1000;
    for n in 1..=TRIES_MAX {
        let more = if n == 1 { String::new() } else { format!("-{n}") };
        let kept = beside(path, &format!("{ending}{more}"));
        let free = match disk.read(&kept, COPY_BYTES_MAX) {
            Ok(there) => there == bytes,
            Err(e) => e.kind() == io::ErrorKind::NotFound,
        };
        if free {
            // Written again even if it is there: it may not have reached the disk.
            write_whole(disk, &kept, bytes)?;
            return Ok(kept);
        }
    }
    let taken = io::Error::from(io::ErrorKind::AlreadyExists);
    Err(FileTrouble::new("keep a copy beside", path, taken))
}

fn put<D: Disk>(
    disk: &D,
    target: &Path,
    bytes: &[u8],
    rights_of: Option<&Path>,
    if_there: IfThere,
) -> io::Result<()> {
    let draft = beside(target, &format!(".{}.tmp", std::process::id()));
    let mut file = match disk.create_new(&draft) {
        // Left by an earlier program of the same number that was killed here.
        Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {
            disk.remove(&draft)?;
            disk.create_new(&draft)?
        }
        made => made?,
    };
    // The rights first: what others may not read they may not read in the draft either.
    let written = rights_of
        .map_or(Ok(()), |old| disk.copy_rights(old, &draft))
        .and_then(|()| append_all(disk, &mut file, bytes))
        .and_then(|()| disk.sync_all(&mut file));
    drop(file);
    let named = written.and_then(|()| match if_there {
        IfThere::Replace => disk.rename(&draft, target),
        IfThere::Refuse => disk.rename_new(&draft, target),
    });
    if let Err(e) = named {
        // The first error is the one to tell; a draft that cannot be removed either is only litter.
        let _ = disk.remove(&draft);
        return Err(e);
    }
    disk.sync_dir(folder_of(target))
}
