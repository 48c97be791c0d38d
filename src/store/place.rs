//! Where the program keeps its own files, and how an evening's journal is named.

use std::ffi::OsStr;
use std::io;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use etcetera::BaseStrategy;

use super::disk::Disk;
use super::trouble::FileTrouble;

/// The variable that moves everything to a folder of the cook's choice.
pub const HOME_VAR: &str = "POTWATCH_HOME";
/// The ending of a journal's name.
pub const JOURNAL_ENDING: &str = ".journal";

const APP: &str = "potwatch";
const FINGERPRINT_SHOWN: usize = 8;
const PARTY_SHOWN_MAX: usize = 48;

/// Why there is no place for the program's files.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PlaceError {
    /// The variable names a folder that would depend on where the program is started.
    #[error("POTWATCH_HOME is \"{}\"; it must be a whole path from the root, such as /home/you/potwatch", .0.display())]
    NotAbsolute(PathBuf),
    /// The system does not say where the user's files are.
    #[error("no home folder is known; set POTWATCH_HOME to a folder for potwatch's files")]
    NoHome,
}

/// The folders of the program.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Places {
    /// What must not be lost: journals, crash notes.
    pub state: PathBuf,
    /// What the cook sets up once: settings.
    pub config: PathBuf,
    /// What is the cook's: their own recipes, kitchens and parties.
    pub data: PathBuf,
    /// What can be made again at any time: sound files.
    pub cache: PathBuf,
}

impl Places {
    /// The folders for this user: those of `POTWATCH_HOME` if it is given and not empty, else the system's
    /// (XDG Base Directory Specification; on Windows the user's application data).
    ///
    /// # Errors
    /// [`PlaceError`].
    pub fn find(potwatch_home: Option<&OsStr>) -> Result<Self, PlaceError> {
        if let Some(home) = potwatch_home.filter(|h| !h.is_empty()) {
            return Self::under(Path::new(home));
        }
        let base = etcetera::choose_base_strategy().map_err(|_| PlaceError::NoHome)?;
        Ok(Self {
            state: base.state_dir().unwrap_or_else(|| base.data_dir()).join(APP),
            config: base.config_dir().join(APP),
            data: base.data_dir().join(APP),
            cache: base.cache_dir().join(APP),
        })
    }

    /// The folders inside one folder.
    ///
    /// # Errors
    /// [`PlaceError::NotAbsolute`].
    pub fn under(home: &Path) -> Result<Self, PlaceError> {
        if !home.is_absolute() {
            return Err(PlaceError::NotAbsolute(home.to_path_buf()));
        }
        Ok(Self {
            state: home.join("state"),
            config: home.join("config"),
            data: home.join("data"),
            cache: home.join("cache"),
        })
    }

    /// Where the journals are.
    pub fn evenings(&self) -> PathBuf {
        self.state.join("evenings")
    }

    /// Where what is being typed into a form is kept until it is saved.
    pub fn drafts(&self) -> PathBuf {
        self.state.join("drafts")
    }

    /// The cook's settings.
    pub fn settings(&self) -> PathBuf {
        self.config.join("settings.json")
    }

    /// Where a note is left if the program itself fails.
    pub fn crash_notes(&self) -> PathBuf {
        self.state.join("crashes")
    }

    /// Where the sound files are unpacked for a player.
    pub fn sounds(&self) -> PathBuf {
        self.cache.join("sounds")
    }

    /// The journal of one evening.
    pub fn journal(&self, party: &str, day: NaiveDate, fingerprint: &str) -> PathBuf {
        self.evenings().join(journal_name(party, day, fingerprint))
    }
}

/// The name of an evening's journal: `party-day-fingerprint.journal`, in plain lower-case letters, digits and `-`.
///
/// Two evenings differ in at least the fingerprint, whatever their parties are called. The journal's first line
/// holds the whole of both and is checked when it is opened.
pub fn journal_name(party: &str, day: NaiveDate, fingerprint: &str) -> String {
    let fingerprint = plain_name(fingerprint, FINGERPRINT_SHOWN);
    format!("{}{fingerprint}{JOURNAL_ENDING}", name_start(party, day))
}

/// How the names of all journals of a party's day begin, whatever its dishes were when they were begun.
#[must_use]
pub fn name_start(party: &str, day: NaiveDate) -> String {
    format!("{}-{}-", plain_name(party, PARTY_SHOWN_MAX), day.format("%Y-%m-%d"))
}

/// A text that is the same for the same bytes and, but for one chance in 2⁶⁴, differs for others: FNV-1a, 64 bits,
/// as 16 hex digits. It never changes between versions of the program.
pub fn fingerprint(bytes: &[u8]) -> String {
    const OFFSET: u64 = 0xcbf2_9ce4_8422_2325;
    const PRIME: u64 = 0x0000_0100_0000_01b3;
    let hash = bytes.iter().fold(OFFSET, |h, b| (h ^ u64::from(*b)).wrapping_mul(PRIME));
    format!("{hash:016x}")
}

/// The journals in a folder, by name; none if there is no such folder.
///
/// # Errors
/// If the folder is there and cannot be read.
pub fn journals_in<D: Disk>(disk: &D, evenings: &Path) -> Result<Vec<PathBuf>, FileTrouble> {
    match disk.list(evenings) {
        Ok(mut files) => {
            files.retain(|f| f.to_string_lossy().ends_with(JOURNAL_ENDING));
            Ok(files)
        }
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(Vec::new()),
        Err(e) => Err(FileTrouble::new("look into", evenings, e)),
    }
}

/// Makes a folder of the program's own, with those above it, for this user alone.
///
/// # Errors
/// If it cannot be made.
pub fn make<D: Disk>(disk: &D, dir: &Path) -> Result<(), FileTrouble> {
    disk.make_dir(dir).map_err(|e| FileTrouble::new("make the folder", dir, e))
}

/// Letters, digits and single `-`, which every file system takes; never empty.
fn plain_name(text: &str, len_max: usize) -> String {
    let mut name = String::new();
    for c in text.chars() {
        let c = c.to_ascii_lowercase();
        if c.is_ascii_alphanumeric() {
            name.push(c);
        } else if !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
        if name.len() >= len_max {
            break;
        }
    }
    let name = name.trim_end_matches('-');
    if name.is_empty() { "x".into() } else { name.into() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day() -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 11, 28).unwrap()
    }

    #[test]
    fn names_are_plain_whatever_the_party_is_called() {
        let print = "0123456789abcdef";
        let name = |party| journal_name(party, day(), print);
        assert_eq!(name("autumn-supper"), "autumn-supper-2026-11-28-01234567.journal");
        assert_eq!(name("../../Grüße  an: alle/*"), "gr-e-an-alle-2026-11-28-01234567.journal");
        assert_eq!(name(""), "x-2026-11-28-01234567.journal");
        assert_eq!(name("食べ物"), "x-2026-11-28-01234567.journal");
        assert_eq!(
            name(&"long ".repeat(40)).len(),
            "-2026-11-28-01234567.journal".len() + PARTY_SHOWN_MAX
        );
    }

    #[test]
    fn other_parties_days_and_states_have_other_names() {
        let other_day = NaiveDate::from_ymd_opt(2026, 11, 29).unwrap();
        let names = [
            journal_name("a", day(), "11111111"),
            journal_name("b", day(), "11111111"),
            journal_name("a", other_day, "11111111"),
            journal_name("a", day(), "11111112"),
        ];
        for (i, a) in names.iter().enumerate() {
            assert!(names.iter().skip(i + 1).all(|b| a != b));
        }
    }

    /// FNV-1a 64 test values for "", "a" and "foobar": from memory, not seen in a text.
    #[test]
    fn fingerprint_is_fnv_1a() {
        assert_eq!(fingerprint(b""), "cbf29ce484222325");
        assert_eq!(fingerprint(b"a"), "af63dc4c8601ec8c");
        assert_eq!(fingerprint(b"foobar"), "85944171f73967e8");
    }

    #[test]
    fn the_cooks_own_folder_wins() {
        let dir = tempfile::tempdir().unwrap();
        let places = Places::find(Some(dir.path().as_os_str())).unwrap();
        assert_eq!(places.evenings(), dir.path().join("state/evenings"));
        assert!(places.journal("a", day(), "ff").starts_with(dir.path()));
        let relative = Places::find(Some(OsStr::new("data"))).unwrap_err();
        assert!(relative.to_string().contains("\"data\""));
    }

    #[test]
    fn the_systems_folders_are_the_programs_own() {
        for home in [None, Some(OsStr::new(""))] {
            let places = Places::find(home).unwrap();
            assert!(places.state.is_absolute() && places.state.ends_with(APP));
        }
    }

    #[test]
    fn only_journals_are_listed() {
        let dir = tempfile::tempdir().unwrap();
        let evenings = dir.path().join("a/b");
        let disk = super::super::disk::RealDisk;
        assert_eq!(journals_in(&disk, &evenings).unwrap(), Vec::<PathBuf>::new());
        make(&disk, &evenings).unwrap();
        make(&disk, &evenings).unwrap();
        for name in ["b.journal", "a.journal", "a.journal.lock", "a.journal.torn-3"] {
            std::fs::write(evenings.join(name), "").unwrap();
        }
        let found = journals_in(&disk, &evenings).unwrap();
        assert_eq!(found, [evenings.join("a.journal"), evenings.join("b.journal")]);
    }

    #[cfg(unix)]
    #[test]
    fn folders_are_for_the_user_alone() {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir().unwrap();
        let evenings = dir.path().join("state/evenings");
        make(&super::super::disk::RealDisk, &evenings).unwrap();
        let mode = std::fs::metadata(&evenings).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o700);
    }
}
