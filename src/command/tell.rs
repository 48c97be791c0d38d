//! `potwatch tell PARTY.json`: the evening as plain lines, added to as it goes. It only reads: the evening is open
//! elsewhere, or nobody has begun it yet.

use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use super::{Exit, Streams};
use crate::kitchen::Evening;
use crate::live::clock::{Clocks, Ticks};
use crate::live::{book, opening, times};
use crate::run::telling::Teller;
use crate::run::{Event, State, fold, view};
use crate::store::disk::is_gone;
use crate::store::{Disk, Identity, JournalError, RealDisk, Recovered, journal};

/// The journal is looked at so often.
const LOOK: Duration = Duration::from_millis(250);
/// The time is looked at at least so often.
const LOOK_AT_LEAST_MS: i64 = 20_000;

/// Tells until the evening is over, or once.
///
/// # Errors
/// What is wrong with the party's files or its journal; trouble with the disk.
pub fn run(path: &Path, once: bool, streams: &mut Streams) -> anyhow::Result<Exit> {
    let loaded = super::own::party(path, streams)?;
    let places = super::own::Own::find(streams.var).places?;
    let (from, who) = opening::journal_of(&loaded.evening, &places);
    let evening = Arc::new(times::as_begun(loaded.evening, &from));
    let clocks = Clocks::default();
    let mut teller = Teller::default();
    let mut len = RealDisk.len(&from).ok();
    let mut state = read(&evening, &from, &who)?;
    if len.is_none() {
        opening::not_long_over(&evening, clocks.now().wall_ms)?;
        writeln!(
            streams.err,
            "potwatch: nothing was marked yet; cook it with `potwatch {}`",
            path.display()
        )?;
    }
    loop {
        let began = clocks.now();
        let now_ms = began.wall_ms;
        let seen = view(&state, now_ms);
        for line in teller.lines(&state, &seen) {
            writeln!(streams.out, "{line}")?;
        }
        streams.out.flush()?;
        if once || seen.ending.is_some_and(|e| e.closed) {
            return Ok(Exit::Done);
        }
        while is_early(began, clocks.now(), seen.next_change_ms) {
            std::thread::sleep(LOOK);
            let now = RealDisk.len(&from).ok();
            if len.is_some() && now.is_none() {
                return Err(JournalError::Gone { path: from }.into());
            }
            if std::mem::replace(&mut len, now) != now {
                state = read(&evening, &from, &who)?;
                break;
            }
        }
    }
}

/// Is there nothing new before it is `next_ms`? By a clock that was set back meanwhile that would be an hour or more
/// without a word.
fn is_early(began: Ticks, now: Ticks, next_ms: i64) -> bool {
    let waited_ms = i64::try_from(now.mono_ms.saturating_sub(began.mono_ms)).unwrap_or(i64::MAX);
    now.wall_ms < next_ms.min(began.wall_ms + LOOK_AT_LEAST_MS) && waited_ms < LOOK_AT_LEAST_MS
}

/// The evening as its journal has it now; untouched, if there is none. The journal is only read.
///
/// # Errors
/// Trouble with the journal; it is another party's.
pub(super) fn read(evening: &Arc<Evening>, from: &Path, who: &Identity) -> anyhow::Result<State> {
    read_until(evening, from, who, i64::MAX)
}

/// As [`read`], with what was marked until a time (unix ms).
///
/// # Errors
/// As [`read`].
pub(super) fn read_until(
    evening: &Arc<Evening>,
    from: &Path,
    who: &Identity,
    until_ms: i64,
) -> anyhow::Result<State> {
    if is_gone(from) {
        return Ok(State::new(Arc::clone(evening)));
    }
    let recovered: Recovered<Event> = journal::read(&RealDisk, from)?;
    if recovered.header.party != who.party || recovered.header.fingerprint != who.fingerprint {
        anyhow::bail!("{} is the journal of another party", from.display());
    }
    let mut marks = book::marks(recovered.entries);
    marks.retain(|mark| mark.at_ms <= until_ms);
    Ok(fold(Arc::clone(evening), &marks))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::run::testbed::evening;

    /// "Nothing was marked" is said of an evening whose journal is not there, and of no other.
    #[cfg(unix)]
    #[test]
    fn a_journal_that_cannot_be_looked_at_is_not_taken_for_none() {
        let dir = tempfile::tempdir().unwrap();
        let who = Identity { party: "small".into(), fingerprint: "f00d".into() };
        let none = read(&evening(), &dir.path().join("none.journal"), &who).unwrap();
        assert_eq!(none.marks().count(), 0);
        let file = dir.path().join("file");
        std::fs::write(&file, "").unwrap();
        let around = dir.path().join("around.journal");
        std::os::unix::fs::symlink(&around, &around).unwrap();
        for unseen in [file.join("a.journal"), around] {
            let Err(error) = read(&evening(), &unseen, &who) else { panic!("it is told") };
            let said = error.to_string();
            assert!(said.starts_with("could not read"), "{said}");
        }
    }

    #[test]
    fn it_looks_again_in_time_though_the_clock_was_set_back() {
        let at = |wall_ms, mono_ms| Ticks { wall_ms, mono_ms };
        let began = at(9_000_000, 5_000);
        assert!(is_early(began, at(9_001_000, 6_000), 9_002_000));
        assert!(!is_early(began, at(9_002_000, 7_000), 9_002_000), "something is due");
        assert!(!is_early(began, at(9_020_000, 25_000), 9_600_000), "at least so often");
        assert!(is_early(began, at(5_419_000, 24_000), 9_600_000));
        assert!(!is_early(began, at(5_420_000, 25_000), 9_600_000), "an hour back");
    }
}
