//! The party as it is cooked: a file beside an evening's journal with all that the
//! journal's marks are about, so that the evening can be looked back at when the
//! cook's own files are others or gone. With it, the cook's own times that the
//! evening goes by: they stay as they were when the first step began, whatever
//! other evenings teach meanwhile.
//!
//! `NAME.party.json` beside `NAME.journal`. It holds no mark; written whole or not
//! at all, and anew when the cook's files were changed.

use std::path::{Path, PathBuf};

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::disk::{Disk, is_gone};
use super::load::load_document;
use super::read::{Document, FileProblem, LARGEST, Problems};
use super::save::{IfThere, keep_copy, save};
use super::trouble::FileTrouble;
use crate::kitchen::check::self_contained;
use crate::kitchen::{Clockface, Evening, OwnTime, Party};

/// The format's name and number.
const FORMAT: &str = "potwatch evening 1";

#[derive(Serialize, Deserialize)]
struct Cooked {
    format: String,
    /// What the evening goes by.
    times: Vec<OwnTime>,
    party: serde_json::Value,
}

/// The file beside a journal.
#[must_use]
pub fn beside(journal: &Path) -> PathBuf {
    journal.with_extension("party.json")
}

/// The own times that the evening of a journal goes by; none if there is no such file.
///
/// # Errors
/// What is wrong with it.
pub fn times(journal: &Path) -> Result<Option<Vec<OwnTime>>, Problems> {
    let path = beside(journal);
    if is_gone(&path) {
        return Ok(None);
    }
    let text = super::read::text_of(&path)?;
    let wrong = |what: String| {
        let remedy = "Put it back as it was, if you have it".to_owned();
        Problems::one(FileProblem::wrong(&path.display().to_string(), None, "", what, remedy))
    };
    let cooked: Cooked =
        serde_json::from_str(&text).map_err(|e| wrong(format!("cannot be read: {e}")))?;
    match cooked.format == FORMAT {
        true => Ok(Some(cooked.times)),
        false => Err(wrong("was written by another potwatch than this one".to_owned())),
    }
}

/// The evening of a journal as it was cooked; `None` if there is no such file.
///
/// # Errors
/// What is wrong with it.
pub fn read(
    journal: &Path,
    face: impl FnOnce(NaiveDate) -> Clockface,
) -> Result<Option<(Evening, Vec<OwnTime>)>, Problems> {
    let path = beside(journal);
    if is_gone(&path) {
        return Ok(None);
    }
    let text = super::read::text_of(&path)?;
    let name = path.display().to_string();
    let Ok(cooked) = serde_json::from_str::<Cooked>(&text) else {
        // Read as a party it is told with line and remedy what is wrong.
        return Document::parse(&name, &text)?.value::<Party>().map(|_| None);
    };
    let document = Document::parse(&name, &cooked.party.to_string())?;
    let folder = path.parent().unwrap_or(Path::new(""));
    let loaded = load_document(document, folder, None, face)?;
    Ok(Some((loaded.evening, cooked.times)))
}

/// Keeps an evening beside its journal, if what is there is another. What is there and cannot be understood is kept
/// too, under another name.
///
/// # Errors
/// Trouble with the disk.
pub fn keep<D: Disk>(disk: &D, journal: &Path, evening: &Evening) -> Result<(), FileTrouble> {
    let cooked = Cooked {
        format: FORMAT.to_owned(),
        times: evening.own_times.list().to_vec(),
        party: serde_json::to_value(self_contained(evening)).unwrap_or_default(),
    };
    let text = serde_json::to_string(&cooked).unwrap_or_default() + "\n";
    let path = beside(journal);
    match disk.read(&path, LARGEST) {
        Ok(there) if there == text.as_bytes() => return Ok(()),
        Ok(there) if !is_ours(&there) => drop(keep_copy(disk, &path, ".damaged", &there)?),
        _ => {}
    }
    save(disk, &path, text.as_bytes(), IfThere::Replace)
}

fn is_ours(bytes: &[u8]) -> bool {
    serde_json::from_slice::<Cooked>(bytes).is_ok_and(|cooked| cooked.format == FORMAT)
}
