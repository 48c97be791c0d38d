//! `potwatch repair JOURNAL`: saves what can be saved of a damaged journal.

use std::path::Path;

use super::{Exit, Streams};
use crate::live::clock::Clocks;
use crate::live::opening;
use crate::store::disk::is_gone;
use crate::store::read::{FileProblem, Problems};
use crate::store::{Identity, JournalError, Lock, RealDisk, cooked, repair, zone};

/// Repairs a journal in place; the damaged one is kept beside it.
///
/// # Errors
/// If it is open elsewhere, is no journal, nothing says whose it is, or the disk fails.
pub fn run(journal: &Path, streams: &mut Streams) -> anyhow::Result<Exit> {
    if is_gone(journal) {
        // Its lock would be made beside it.
        let (file, why) = (journal.display().to_string(), "there is no such file".to_owned());
        let remedy = "Check the name and the folder".to_owned();
        return Err(Problems::one(FileProblem::wrong(&file, None, "", why, remedy)).into());
    }
    let _lock = Lock::take(journal)?;
    let now_ms = Clocks::default().now().wall_ms;
    let repaired = match repair(&RealDisk, journal, None, now_ms) {
        // The line is gone that says whose it is.
        Err(JournalError::Damaged { line: 1, .. }) => {
            repair(&RealDisk, journal, Some(&owner(journal)?), now_ms)?
        }
        done => done?,
    };
    writeln!(streams.out, "{}: {repaired}", journal.display())?;
    Ok(Exit::Done)
}

/// Whose a journal is, by the party that is kept beside it.
fn owner(journal: &Path) -> Result<Identity, JournalError> {
    let kept = cooked::read(journal, zone::clockface);
    let evening = kept.ok().flatten().map(|(evening, _)| evening);
    let nameless = || JournalError::Nameless { path: journal.to_path_buf() };
    evening.map(|evening| opening::identity_of(&evening)).ok_or_else(nameless)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::command::run_with;
    use crate::live::clock::Ticks;
    use crate::run::Event;
    use crate::screen::Look;
    use crate::store::load::load_builtin;
    use crate::store::{Places, journal::read};

    fn repaired(journal: &Path) -> (Exit, String) {
        let (mut out, mut err, mut input) = (Vec::new(), Vec::new(), std::io::empty());
        let mut streams = Streams {
            out: &mut out,
            err: &mut err,
            input: &mut input,
            asks: false,
            var: &|_: &str| None,
        };
        let args = ["potwatch".into(), "repair".into(), journal.as_os_str().to_owned()];
        let exit = run_with(args, &mut streams);
        (exit, [out, err].map(|bytes| String::from_utf8(bytes).unwrap()).concat())
    }

    #[test]
    fn a_journal_that_is_not_there_is_said_to_be_missing_and_nothing_is_made() {
        let dir = tempfile::tempdir().unwrap();
        let (exit, said) = repaired(&dir.path().join("none.journal"));
        assert_eq!(exit, Exit::WrongFile, "{said}");
        assert_eq!(std::fs::read_dir(dir.path()).unwrap().count(), 0);
    }

    /// What the message about a damaged journal tells the cook to type works for each of its lines, the first as well:
    /// whose it is stands beside it, and if not, opening the party once puts it there.
    #[test]
    fn a_journal_whose_first_line_is_damaged_is_repaired() {
        let dir = tempfile::tempdir().unwrap();
        let places = Places::under(dir.path()).unwrap();
        let look = Look::choose(true, "", "dumb", None, true);
        let today = zone::clockface(chrono::Local::now().date_naive());
        let evening = load_builtin(today).unwrap();
        let (journal, _) = opening::journal_of(&evening, &places);
        let open = || opening::open(evening.clone(), &places, look);
        let mut opened = open().unwrap();
        opened.book.begin().unwrap();
        for at_ms in [1, 2] {
            let ticks = Ticks { wall_ms: at_ms, mono_ms: 0 };
            opened.book.append(at_ms, ticks, Event::Finished).unwrap();
        }
        opened.book.end();
        drop(opened);
        let mut bytes = std::fs::read(&journal).unwrap();
        bytes[60] ^= 1;
        for is_kept in [true, false] {
            std::fs::write(&journal, &bytes).unwrap();
            if !is_kept {
                std::fs::remove_file(cooked::beside(&journal)).unwrap();
                let (exit, said) = repaired(&journal);
                assert_eq!(exit, Exit::Damaged, "{said}");
                assert!(said.contains("whose it is") && said.contains("PARTY.json"), "{said}");
                assert_eq!(std::fs::read(&journal).unwrap(), bytes);
            }
            let said = open().err().unwrap().to_string();
            assert!(said.contains("line 1 (byte 0)") && said.contains("potwatch repair"), "{said}");
            let (exit, said) = repaired(&journal);
            assert_eq!(exit, Exit::Done, "{said}");
            assert!(said.contains("2 events saved, 1 lines lost"), "{said}");
            assert_eq!(read::<Event, _>(&RealDisk, &journal).unwrap().entries.len(), 2);
            open().unwrap();
        }
    }
}
