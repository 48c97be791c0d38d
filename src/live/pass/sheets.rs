//! Writes what is printed of the evening into a file, from the page of the sheets.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::Pass;
use crate::pages::sheets::Printed;
use crate::store::{IfThere, RealDisk, save};

/// So many files of one name are written side by side; who has more takes old ones away first.
const MOST_OF_A_NAME: u32 = 99;

impl Pass {
    /// Writes the one at a place in the list, and says where it is.
    pub(super) fn write_sheet(&mut self, at: usize) {
        let Some(printed) = Printed::ALL.get(at).copied() else { return };
        self.ui.say = Some(match &self.files {
            None => "The demo and rehearsals write no file.".to_owned(),
            Some(_) => match printed.text(&self.state, self.view.now_ms) {
                Ok(text) => written(&self.state.evening().party.id, printed, &text).map_or_else(
                    |why| format!("NOT WRITTEN: {why}"),
                    |file| format!("Written: {}", file.display()),
                ),
                Err(why) => why.to_owned(),
            },
        });
    }
}

/// Writes it into the folder that the program was started in. Where it is now.
fn written(party: &str, printed: Printed, text: &str) -> Result<PathBuf, String> {
    let folder = std::env::current_dir()
        .map_err(|e| format!("the folder that the program was started in is gone ({e})"))?;
    written_into(&folder, party, printed, text)
}

/// Writes it under a name that nothing has yet: "supper-evening.html", "supper-evening-2.html".
fn written_into(
    folder: &Path,
    party: &str,
    printed: Printed,
    text: &str,
) -> Result<PathBuf, String> {
    let (name, ending) = printed.file();
    for n in 1..=MOST_OF_A_NAME {
        let more = if n == 1 { String::new() } else { format!("-{n}") };
        let file = folder.join(format!("{party}-{name}{more}.{ending}"));
        match save(&RealDisk, &file, text.as_bytes(), IfThere::Refuse) {
            Err(trouble) if trouble.source.kind() == ErrorKind::AlreadyExists => {}
            saved => return saved.map(|()| file).map_err(|trouble| trouble.to_string()),
        }
    }
    Err(format!(
        "{} has {MOST_OF_A_NAME} files {party}-{name}: take some away first",
        folder.display()
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_there_stays_whatever_it_is() {
        let folder = tempfile::tempdir().unwrap();
        let next = || written_into(folder.path(), "supper", Printed::Page, "new");
        let name = |file: Result<PathBuf, String>| {
            file.unwrap().file_name().unwrap().to_string_lossy().into_owned()
        };
        let path = |name: &str| folder.path().join(name);
        std::fs::write(path("supper-evening.html"), "old").unwrap();
        std::fs::create_dir(path("supper-evening-2.html")).unwrap();
        assert_eq!(name(next()), "supper-evening-3.html");
        #[cfg(unix)]
        std::os::unix::fs::symlink("nowhere", path("supper-evening-4.html")).unwrap();
        #[cfg(not(unix))]
        std::fs::write(path("supper-evening-4.html"), "").unwrap();
        for n in 5..=MOST_OF_A_NAME {
            assert_eq!(name(next()), format!("supper-evening-{n}.html"));
        }
        assert!(next().unwrap_err().contains("take some away first"));
        assert_eq!(std::fs::read_to_string(path("supper-evening.html")).unwrap(), "old");
        let chart = written_into(folder.path(), "supper", Printed::Chart, "new");
        assert_eq!(name(chart), "supper-chart.svg");
    }
}
