//! Reading the cook's files: from bytes to a typed value, or to everything that
//! is wrong with them, each with its line.

pub mod json;
mod problem;
pub mod schema;
mod structure;
mod tree;

use std::io::Read;
use std::path::Path;

use serde::de::DeserializeOwned;

use crate::kitchen::{Kitchen, Party, Recipe};
use crate::order::InOrder;
use json::Node;
pub use problem::{FileProblem, Problems};
use schema::FileKind;

/// Largest file that is read, in bytes. A self-contained party of 40 dishes is
/// well below a megabyte.
pub const LARGEST: u64 = 5 * 1024 * 1024;

/// A kind of file that the cook owns.
pub trait CookFile: DeserializeOwned {
    /// Which kind.
    const KIND: FileKind;
}

impl CookFile for Party {
    const KIND: FileKind = FileKind::Party;
}
impl CookFile for Recipe {
    const KIND: FileKind = FileKind::Recipe;
}
impl CookFile for Kitchen {
    const KIND: FileKind = FileKind::Kitchen;
}

/// A file's text as a tree that knows its lines.
#[derive(Debug, Clone)]
pub struct Document {
    /// The file's name as messages show it.
    pub file: String,
    /// What is in it.
    pub tree: Node,
}

impl Document {
    /// Reads JSON text. `file` is the name for messages.
    ///
    /// # Errors
    /// The place at which it stops being JSON.
    pub fn parse(file: &str, text: &str) -> Result<Self, Problems> {
        match json::parse(text) {
            Ok(tree) => Ok(Self { file: file.to_owned(), tree }),
            Err(e) => Err(Problems::one(FileProblem {
                column: Some(e.column),
                ..FileProblem::wrong(file, Some(e.line), "", e.what, e.remedy)
            })),
        }
    }

    /// Reads a file from the disk.
    ///
    /// # Errors
    /// Why it cannot be read, or the place at which it stops being JSON.
    pub fn read(path: &Path) -> Result<Self, Problems> {
        let file = shown(path);
        Self::parse(&file, &text_of(path)?)
    }

    /// The kind of file that its fields look like.
    #[must_use]
    pub fn kind(&self) -> Option<FileKind> {
        let has = |key: &str| self.tree.field(key).is_some();
        let score = |keys: &[&str]| keys.iter().filter(|k| has(k)).count();
        let scores = [
            (score(&["dishes", "services", "cooks", "day", "guests"]), FileKind::Party),
            (score(&["steps", "ingredients", "course", "holds", "servings"]), FileKind::Recipe),
            (score(&["stations", "cookware", "servingware"]), FileKind::Kitchen),
        ];
        scores.into_iter().filter(|s| s.0 > 0).max_by_key(|s| s.0).map(|s| s.1)
    }

    /// The typed value, if the file has the right structure.
    ///
    /// # Errors
    /// Every field that is missing, unknown, or of the wrong type.
    pub fn value<T: CookFile>(&self) -> Result<T, Problems> {
        let found = structure::judge(T::KIND.schema(), &self.tree);
        if !found.is_empty() {
            let list = found
                .into_iter()
                .map(|f| FileProblem::wrong(&self.file, Some(f.line), &f.path, f.what, f.remedy));
            return Err(list.collect());
        }
        serde_json::from_value(self.tree.to_value()).map_err(|e| {
            Problems::one(FileProblem::wrong(
                &self.file,
                Some(1),
                "",
                format!("cannot be read as a {}: {e}", T::KIND.word()),
                format!("Compare it with what `potwatch schema {}` prints", T::KIND.word()),
            ))
        })
    }

    /// The line of a path such as `dishes[2].steps[1].minutes`, or of the
    /// nearest part of it that is there.
    #[must_use]
    pub fn line_of(&self, path: &str) -> u32 {
        self.tree.at(path).line
    }
}

/// The bytes of a plain file, at most one more than `most`: who reads on knows that there are too many.
///
/// # Errors
/// Why it cannot be read, in the system's words.
pub fn at_most(path: &Path, most: u64) -> std::io::Result<Vec<u8>> {
    // Looked at before opening: to open a pipe would wait for its other end.
    if !std::fs::metadata(path)?.is_file() {
        return Err(std::io::Error::other("it is not a plain file"));
    }
    let file = std::fs::File::open(path)?;
    let mut bytes = Vec::new();
    file.take(most + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// The text of a file.
///
/// # Errors
/// Why it cannot be read, in plain words.
pub fn text_of(path: &Path) -> Result<String, Problems> {
    let file = shown(path);
    let fail = |what: String, remedy: &str| {
        Problems::one(FileProblem::wrong(&file, None, "", what, remedy.to_owned()))
    };
    let meta = std::fs::metadata(path).map_err(|e| unreadable(&file, path, &e))?;
    if meta.is_dir() {
        return Err(fail("is a folder, not a file".into(), "Name a file in it"));
    }
    if !meta.is_file() {
        return Err(fail("is not a plain file".into(), "Name a JSON file on the disk"));
    }
    let mut bytes = Vec::new();
    std::fs::File::open(path)
        .and_then(|f| f.take(LARGEST + 1).read_to_end(&mut bytes))
        .map_err(|e| unreadable(&file, path, &e))?;
    if bytes.len() as u64 > LARGEST {
        let most = LARGEST / (1024 * 1024);
        return Err(fail(
            format!("is larger than {most} MB"),
            "A party is a few hundred lines; is this the right file?",
        ));
    }
    match String::from_utf8(bytes) {
        Ok(text) => Ok(text),
        Err(e) => {
            let good = e.utf8_error().valid_up_to();
            let before = e.as_bytes().get(..good).unwrap_or_default();
            let line = 1 + before.iter().filter(|&&b| b == b'\n').count();
            Err(Problems::one(FileProblem::wrong(
                &file,
                u32::try_from(line).ok(),
                "",
                "is not text in UTF-8".into(),
                "Save it as UTF-8 in your editor".into(),
            )))
        }
    }
}

fn unreadable(file: &str, path: &Path, e: &std::io::Error) -> Problems {
    use std::io::ErrorKind as K;
    let (what, remedy) = match e.kind() {
        K::NotFound => {
            let remedy = match beside(path) {
                Some(near) => format!("Did you mean \"{near}\"?"),
                None => "Check the name and the folder".to_owned(),
            };
            ("there is no such file".to_owned(), remedy)
        }
        K::PermissionDenied => {
            ("may not be read".to_owned(), "Give yourself the right to read it".to_owned())
        }
        _ => (format!("cannot be read: {e}"), "Check the disk, then try again".to_owned()),
    };
    Problems::one(FileProblem::wrong(file, None, "", what, remedy))
}

/// The file in the same folder whose name is nearest to a missing one.
fn beside(path: &Path) -> Option<String> {
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    // Compared without the ending that all of them share.
    let mut stems: Vec<String> = std::fs::read_dir(folder)
        .ok()?
        .take(2000)
        .filter_map(|e| e.ok()?.file_name().to_str()?.strip_suffix(".json").map(str::to_owned))
        .collect();
    stems.order();
    let wanted = path.file_stem()?.to_str()?;
    let near = crate::kitchen::check::words::nearest(wanted, stems.iter().map(String::as_str))?;
    Some(path.with_file_name(format!("{near}.json")).display().to_string())
}

fn shown(path: &Path) -> String {
    path.display().to_string().escape_debug().to_string()
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc::channel;
    use std::time::Duration;

    use super::*;

    /// A pipe that nobody writes to is refused at once; it would be waited for without end, with the screen as it is.
    #[cfg(unix)]
    #[test]
    fn a_pipe_is_not_waited_for() {
        let dir = tempfile::tempdir().unwrap();
        let pipe = dir.path().join("pipe");
        let made = std::process::Command::new("mkfifo").arg(&pipe).status().unwrap();
        assert!(made.success());
        let (sender, told) = channel();
        std::thread::spawn(move || {
            let said = at_most(&pipe, 10).unwrap_err().to_string();
            let _ = sender.send(said);
        });
        let said = told.recv_timeout(Duration::from_secs(20));
        assert_eq!(said.as_deref(), Ok("it is not a plain file"));
    }
}
