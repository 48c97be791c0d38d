//! Every touch of the disk goes through [`Disk`], so that a test can make any single one of them fail.

use crate::order::InOrder;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

/// The file operations that the store needs, and no others.
///
/// None of them is durable until the matching `sync_*` has returned `Ok`: contents with
/// [`sync_data`](Disk::sync_data) or [`sync_all`](Disk::sync_all), names (create, rename, remove) with
/// [`sync_dir`](Disk::sync_dir) on the folder that holds them.
pub trait Disk {
    /// An open file that can be appended to.
    type File;

    /// Makes a new, empty file; fails with `AlreadyExists` if the name is taken.
    fn create_new(&self, path: &Path) -> io::Result<Self::File>;
    /// Opens an existing file for appending at its end.
    fn open_append(&self, path: &Path) -> io::Result<Self::File>;
    /// Writes at the end and says how many bytes were taken, which may be fewer than given.
    fn append(&self, file: &mut Self::File, bytes: &[u8]) -> io::Result<usize>;
    /// Waits until the contents and the length are on the disk.
    fn sync_data(&self, file: &mut Self::File) -> io::Result<()>;
    /// Waits until the contents, the length and all attributes are on the disk.
    fn sync_all(&self, file: &mut Self::File) -> io::Result<()>;
    /// Writes over what is there from a byte on: what is written again is synced again, also where a sync that failed
    /// has let the system take it for durable.
    fn write_over(&self, path: &Path, from: u64, bytes: &[u8]) -> io::Result<()>;
    /// Cuts a file to `len` bytes.
    fn truncate(&self, path: &Path, len: u64) -> io::Result<()>;
    /// Gives a file another name, replacing what had that name.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Gives a file another name, or fails with `AlreadyExists` if that name is taken.
    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Removes a file.
    fn remove(&self, path: &Path) -> io::Result<()>;
    /// Waits until the names in a folder are on the disk (does nothing where the system has no such call).
    fn sync_dir(&self, dir: &Path) -> io::Result<()>;
    /// Makes a folder and the ones above it, readable by the owner alone; an existing one is left as it is.
    fn make_dir(&self, dir: &Path) -> io::Result<()>;
    /// Reads a whole plain file; more than `limit` bytes is an error of kind `FileTooLarge`.
    fn read(&self, path: &Path, limit: u64) -> io::Result<Vec<u8>>;
    /// The files of a folder, sorted by name.
    fn list(&self, dir: &Path) -> io::Result<Vec<PathBuf>>;
    /// How many bytes a file holds.
    fn len(&self, path: &Path) -> io::Result<u64>;
    /// Reads a file from a byte on; fails with `FileTooLarge` if that is more than `limit` bytes.
    fn read_from(&self, path: &Path, from: u64, limit: u64) -> io::Result<Vec<u8>>;
    /// Gives `to` the access rights of `from`; fails with `PermissionDenied` if `from` is marked read-only.
    fn copy_rights(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// The file that a name stands for once symbolic links are followed.
    fn follow(&self, path: &Path) -> io::Result<PathBuf>;
}

/// The real file system.
#[derive(Debug, Clone, Copy, Default)]
pub struct RealDisk;

impl Disk for RealDisk {
    type File = File;

    fn create_new(&self, path: &Path) -> io::Result<File> {
        OpenOptions::new().append(true).create_new(true).open(path)
    }

    fn open_append(&self, path: &Path) -> io::Result<File> {
        OpenOptions::new().append(true).open(path)
    }

    fn append(&self, file: &mut File, bytes: &[u8]) -> io::Result<usize> {
        file.write(bytes)
    }

    fn sync_data(&self, file: &mut File) -> io::Result<()> {
        file.sync_data()
    }

    fn sync_all(&self, file: &mut File) -> io::Result<()> {
        file.sync_all()
    }

    fn write_over(&self, path: &Path, from: u64, bytes: &[u8]) -> io::Result<()> {
        let mut file = OpenOptions::new().write(true).open(path)?;
        file.seek(SeekFrom::Start(from))?;
        file.write_all(bytes)
    }

    fn truncate(&self, path: &Path, len: u64) -> io::Result<()> {
        // An append-only handle may not set the length on every system, hence a second handle.
        OpenOptions::new().write(true).open(path)?.set_len(len)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        match fs::hard_link(from, to) {
            Ok(()) => fs::remove_file(from),
            Err(e) if e.kind() == io::ErrorKind::AlreadyExists => Err(e),
            // Some file systems have no hard links: look first, then rename. Two programs racing for the
            // same new name is all that is lost.
            Err(_) if fs::symlink_metadata(to).is_ok() => {
                Err(io::Error::from(io::ErrorKind::AlreadyExists))
            }
            Err(_) => fs::rename(from, to),
        }
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    #[cfg(unix)]
    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        match File::open(or_here(dir))?.sync_all() {
            // Some network and overlay file systems cannot sync a folder; there is nothing more to do there.
            Err(e)
                if matches!(e.kind(), io::ErrorKind::InvalidInput | io::ErrorKind::Unsupported) =>
            {
                Ok(())
            }
            done => done,
        }
    }

    #[cfg(not(unix))]
    fn sync_dir(&self, _dir: &Path) -> io::Result<()> {
        Ok(())
    }

    fn make_dir(&self, dir: &Path) -> io::Result<()> {
        let missing: Vec<&Path> = dir.ancestors().take_while(|p| !or_here(p).exists()).collect();
        let mut builder = fs::DirBuilder::new();
        builder.recursive(true);
        #[cfg(unix)]
        {
            use std::os::unix::fs::DirBuilderExt;
            builder.mode(0o700);
        }
        builder.create(dir)?;
        for made in missing.iter().rev() {
            self.sync_dir(folder_of(made))?;
        }
        Ok(())
    }

    fn read(&self, path: &Path, limit: u64) -> io::Result<Vec<u8>> {
        // Looked at before opening: to open a pipe would wait for its other end.
        if !fs::metadata(path)?.is_file() {
            return Err(io::Error::new(io::ErrorKind::InvalidInput, "it is not a plain file"));
        }
        read_at_most(&mut File::open(path)?, limit)
    }

    fn list(&self, dir: &Path) -> io::Result<Vec<PathBuf>> {
        let mut files = Vec::new();
        for entry in fs::read_dir(or_here(dir))? {
            let entry = entry?;
            if entry.file_type()?.is_file() {
                files.push(entry.path());
            }
        }
        files.order();
        Ok(files)
    }

    fn len(&self, path: &Path) -> io::Result<u64> {
        fs::metadata(path).map(|about| about.len())
    }

    fn read_from(&self, path: &Path, from: u64, limit: u64) -> io::Result<Vec<u8>> {
        let mut file = File::open(path)?;
        file.seek(SeekFrom::Start(from))?;
        read_at_most(&mut file, limit)
    }

    fn copy_rights(&self, from: &Path, to: &Path) -> io::Result<()> {
        let rights = fs::metadata(from)?.permissions();
        if rights.readonly() {
            return Err(io::Error::new(
                io::ErrorKind::PermissionDenied,
                "the file is marked read-only",
            ));
        }
        fs::set_permissions(to, rights)
    }

    fn follow(&self, path: &Path) -> io::Result<PathBuf> {
        fs::canonicalize(path)
    }
}

/// The rest of an open file, if it is at most `limit` bytes.
fn read_at_most(file: &mut File, limit: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    file.take(limit.saturating_add(1)).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > limit {
        return Err(io::Error::from(io::ErrorKind::FileTooLarge));
    }
    Ok(bytes)
}

/// Writes all the bytes, however small the pieces that the disk takes.
///
/// # Errors
/// What the disk says; `WriteZero` if it stops taking bytes without saying why.
pub fn append_all<D: Disk>(disk: &D, file: &mut D::File, mut bytes: &[u8]) -> io::Result<()> {
    while !bytes.is_empty() {
        match disk.append(file, bytes) {
            Ok(0) => return Err(io::Error::from(io::ErrorKind::WriteZero)),
            Ok(taken) => bytes = bytes.get(taken..).unwrap_or_default(),
            Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
            Err(e) => return Err(e),
        }
    }
    Ok(())
}

/// Is there no such file? One that may not be looked at is not gone: who goes on to read it is told why that fails.
#[must_use]
pub fn is_gone(path: &Path) -> bool {
    fs::symlink_metadata(path).is_err_and(|e| e.kind() == io::ErrorKind::NotFound)
}

/// The folder that holds `path`; the current one for a bare name.
pub fn folder_of(path: &Path) -> &Path {
    or_here(path.parent().unwrap_or(path))
}

/// `path` with more text at the end of its last part: `a/b.journal` and `.lock` give `a/b.journal.lock`.
pub fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_os_string();
    name.push(ending);
    PathBuf::from(name)
}

fn or_here(path: &Path) -> &Path {
    if path.as_os_str().is_empty() { Path::new(".") } else { path }
}
