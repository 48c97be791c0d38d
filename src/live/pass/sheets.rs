//! Writes what is printed of the evening into a file, from the page of the sheets.

use std::path::{Path, PathBuf};

use super::Pass;
use crate::pages::sheets::Printed;
use crate::store::{Disk as _, IfThere, RealDisk, save};

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
    let file = free(&folder, party, printed)?;
    let saved = save(&RealDisk, &file, text.as_bytes(), IfThere::Refuse);
    saved.map(|()| file).map_err(|trouble| trouble.to_string())
}

/// A file that is not there yet: "supper-evening.html", "supper-evening-2.html".
fn free(folder: &Path, party: &str, printed: Printed) -> Result<PathBuf, String> {
    let there = RealDisk.list(folder).map_err(|e| format!("{}: {e}", folder.display()))?;
    let (name, ending) = printed.file();
    let numbered = (1..=MOST_OF_A_NAME).map(|n| match n {
        1 => folder.join(format!("{party}-{name}.{ending}")),
        n => folder.join(format!("{party}-{name}-{n}.{ending}")),
    });
    let mut free = numbered.filter(|file| !there.contains(file));
    free.next().ok_or_else(|| {
        format!(
            "{} has {MOST_OF_A_NAME} files {party}-{name}: take some away first",
            folder.display()
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_that_is_there_stays() {
        let folder = tempfile::tempdir().unwrap();
        let next = || free(folder.path(), "supper", Printed::Page);
        let name = |file: Result<PathBuf, String>| {
            file.unwrap().file_name().unwrap().to_string_lossy().into_owned()
        };
        assert_eq!(name(next()), "supper-evening.html");
        std::fs::write(folder.path().join("supper-evening.html"), "").unwrap();
        assert_eq!(name(next()), "supper-evening-2.html");
        for n in 2..=MOST_OF_A_NAME {
            std::fs::write(folder.path().join(format!("supper-evening-{n}.html")), "").unwrap();
        }
        assert!(next().unwrap_err().contains("take some away first"));
        assert_eq!(name(free(folder.path(), "supper", Printed::Chart)), "supper-chart.svg");
    }
}
