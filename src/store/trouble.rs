//! What went wrong with a file, in words a cook can act on.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

/// A file operation that failed: which one, on which file, why, and what to do about it.
#[derive(Debug)]
pub struct FileTrouble {
    /// What was being done, as in "could not *read* …".
    pub doing: &'static str,
    /// The file or folder.
    pub path: PathBuf,
    /// What the system said.
    pub source: io::Error,
}

impl FileTrouble {
    /// A failed operation on a file.
    pub fn new(doing: &'static str, path: &Path, source: io::Error) -> Self {
        Self { doing, path: path.to_path_buf(), source }
    }

    /// The way out, or an empty text where there is none to name.
    pub fn remedy(&self) -> &'static str {
        use io::ErrorKind as K;
        match self.source.kind() {
            K::StorageFull | K::QuotaExceeded => "free some space on it, then try again",
            K::ReadOnlyFilesystem | K::PermissionDenied => {
                "make it writable, or set POTWATCH_HOME to a folder that is"
            }
            K::NotFound => "check the name",
            K::AlreadyExists => "choose another name, or move the old file away first",
            K::FileTooLarge => "check that it is the file you meant",
            _ => "",
        }
    }
}

impl fmt::Display for FileTrouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "could not {} {}: {}", self.doing, self.path.display(), plain(&self.source))?;
        match self.remedy() {
            "" => Ok(()),
            remedy => write!(f, "; {remedy}"),
        }
    }
}

impl std::error::Error for FileTrouble {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        Some(&self.source)
    }
}

/// A system error without its jargon.
fn plain(e: &io::Error) -> String {
    use io::ErrorKind as K;
    match e.kind() {
        K::StorageFull => "the disk is full".into(),
        K::QuotaExceeded => "your share of the disk is used up".into(),
        K::ReadOnlyFilesystem => "the disk is read-only".into(),
        K::NotFound => "there is no such file or folder".into(),
        K::AlreadyExists => "there is already a file of that name".into(),
        K::FileTooLarge => "it is far too large for a file of this kind".into(),
        K::IsADirectory => "it is a folder, not a file".into(),
        K::WriteZero => "the disk stopped taking bytes".into(),
        // An error of our own making has its own words; the system's are kept for all else.
        K::PermissionDenied if e.raw_os_error().is_some() => "permission denied".into(),
        _ => e.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn says_what_where_why_and_what_to_do() {
        let said = |kind| {
            FileTrouble::new("write", Path::new("a.journal"), io::Error::from(kind)).to_string()
        };
        assert_eq!(
            said(io::ErrorKind::StorageFull),
            "could not write a.journal: the disk is full; free some space on it, then try again"
        );
        assert_eq!(
            said(io::ErrorKind::ReadOnlyFilesystem),
            "could not write a.journal: the disk is read-only; \
             make it writable, or set POTWATCH_HOME to a folder that is"
        );
        let own = io::Error::new(io::ErrorKind::PermissionDenied, "the file is marked read-only");
        assert!(
            FileTrouble::new("replace", Path::new("x"), own)
                .to_string()
                .starts_with("could not replace x: the file is marked read-only; ")
        );
    }

    /// errno 28 is ENOSPC and 30 is EROFS (POSIX names; the numbers are those of Linux and macOS).
    #[cfg(unix)]
    #[test]
    fn knows_the_systems_own_numbers() {
        let said = |errno| plain(&io::Error::from_raw_os_error(errno));
        assert_eq!(said(28), "the disk is full");
        assert_eq!(said(30), "the disk is read-only");
        assert_eq!(said(13), "permission denied");
    }
}
