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

/// Starts the thread. It goes on as long as `tell` gives true.
///
/// # Errors
/// If the system gives no thread.
pub fn watch(
    journal: PathBuf,
    leads: Arc<AtomicBool>,
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
            if std::mem::replace(&mut len, now) != now && !tell(Noticed::Written) {
                return;
            }
            let asks = look % LEAD_EVERY == 0 && !leads.load(Ordering::Relaxed);
            let is_free = || matches!(Lead::take(&journal), Ok(Some(_)));
            if asks && is_free() && !tell(Noticed::Leaderless) {
                return;
            }
        }
    };
    std::thread::Builder::new().name("neighbours".to_owned()).spawn(look).map(drop)
}
