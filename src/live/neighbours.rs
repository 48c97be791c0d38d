//! A thread that notices what other screens of the same evening do: they have written to the journal, or the one
//! that planned is gone.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use crate::store::{Disk, Lead, RealDisk};

/// The journal is looked at so often: soon enough that every screen follows within a second, seldom enough to cost
/// next to nothing (a look is one question to the file system).
const LOOK: Duration = Duration::from_millis(250);
/// Whether somebody leads is asked every so many looks.
const LEAD_EVERY: u32 = 3;

/// What was noticed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Noticed {
    /// The journal has grown; it may have been this program itself.
    Written,
    /// Nobody leads.
    Leaderless,
}

/// What the thread asks of the screen that it looks out for.
#[derive(Debug, Default)]
pub struct Asked {
    /// The screen plans for all.
    pub leads: AtomicBool,
    /// Another screen was writing when this one looked: it wants to be told again.
    pub behind: AtomicBool,
}

/// Starts the thread. It goes on as long as `tell` gives true.
///
/// # Errors
/// If the system gives no thread.
pub fn watch(
    journal: PathBuf,
    asked: Arc<Asked>,
    tell: impl Fn(Noticed) -> bool + Send + 'static,
) -> std::io::Result<()> {
    let look = move || {
        // Unknown at first, so that the first look tells: others may have written since the journal was
        // read, before this thread ran.
        let mut len = None;
        for look in 0_u32.. {
            std::thread::sleep(LOOK);
            // A journal that cannot be looked at is told of when it is written.
            let now = RealDisk.len(&journal).ok().or(len);
            let grew = std::mem::replace(&mut len, now) != now;
            if (grew || asked.behind.load(Ordering::Relaxed)) && !tell(Noticed::Written) {
                return;
            }
            let asks = look % LEAD_EVERY == 0 && !asked.leads.load(Ordering::Relaxed);
            let is_free = || matches!(Lead::take(&journal), Ok(Some(_)));
            if asks && is_free() && !tell(Noticed::Leaderless) {
                return;
            }
        }
    };
    std::thread::Builder::new().name("neighbours".to_owned()).spawn(look).map(drop)
}

#[cfg(test)]
mod tests {
    use std::sync::mpsc::channel;

    use super::*;

    /// A journal that does not grow is told of once, as others may have written before the thread ran, and again
    /// as long as the screen is behind.
    #[test]
    fn who_is_behind_is_told_again() {
        let dir = tempfile::tempdir().unwrap();
        let journal = dir.path().join("supper.jsonl");
        std::fs::write(&journal, "a line\n").unwrap();
        let asked = Arc::new(Asked { leads: true.into(), behind: true.into() });
        let (sender, told) = channel();
        let tell = move |noticed| sender.send(noticed).is_ok();
        watch(journal, Arc::clone(&asked), tell).unwrap();
        // By a thread that looks four times a second.
        let patience = Duration::from_secs(60);
        for _ in 0..3 {
            assert_eq!(told.recv_timeout(patience), Ok(Noticed::Written));
        }
    }
}
