//! When the program itself fails: the terminal first, then the words, then where the details are.

use std::backtrace::Backtrace;
use std::panic::PanicHookInfo;
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};

use super::stage::Stage;
use crate::store::{IfThere, RealDisk, place, save};

/// A failure of the program: a defect of ours, not the cook's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Failure {
    /// What went wrong, in the programmer's words.
    pub message: String,
    /// Where in the source.
    pub place: String,
    /// The thread.
    pub thread: String,
    /// The file with the details, if it could be written.
    pub note: Option<PathBuf>,
}

impl Failure {
    /// What the cook is told.
    fn words(&self) -> String {
        let note = self.note.as_ref().map_or_else(String::new, |note| {
            format!("\nThe details are in {}; please send them with your report.", note.display())
        });
        format!(
            "potwatch failed: {} (in {}, {})\nEvery mark made before is saved; start it again to go on.{note}\n",
            self.message, self.thread, self.place
        )
    }
}

/// From here on a failure leaves a note in `notes`. In the thread that draws it also leaves the full screen and says so
/// on standard error; in another thread the full screen stays, and [`Stage::take_failures`] tells. Where the program is built
/// to end at any failure (the profile `small`), every thread does as the one that draws.
pub fn install_panic_hook(stage: &Stage, notes: &Path) {
    let (stage, notes) = (stage.clone(), notes.to_path_buf());
    std::panic::set_hook(Box::new(move |panic| {
        let ends = cfg!(panic = "abort") || stage.is_own() || !stage.is_entered();
        if ends {
            stage.leave();
        }
        let failure = describe(panic, &notes);
        if ends {
            // Not `eprint!`, which panics if standard error is gone.
            let _ = std::io::Write::write_all(&mut std::io::stderr(), failure.words().as_bytes());
        } else {
            stage.add_failure(failure);
        }
    }));
}

fn describe(panic: &PanicHookInfo<'_>, notes: &Path) -> Failure {
    let payload = panic.payload();
    let message = payload
        .downcast_ref::<&str>()
        .map(|text| (*text).to_string())
        .or_else(|| payload.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "no message".into());
    let place = panic.location().map_or_else(|| "somewhere".into(), ToString::to_string);
    let thread = std::thread::current().name().unwrap_or("a helper thread").to_string();
    let failure = Failure { message, place, thread, note: None };
    let note = leave_note(&failure, &Backtrace::force_capture().to_string(), notes);
    Failure { note, ..failure }
}

fn leave_note(failure: &Failure, trace: &str, notes: &Path) -> Option<PathBuf> {
    let now_ms = SystemTime::now().duration_since(UNIX_EPOCH).map_or(0, |d| d.as_millis());
    let path = notes.join(format!("crash-{now_ms}-{}.txt", std::process::id()));
    let text = format!(
        "potwatch {} failed\nmessage: {}\nplace: {}\nthread: {}\nunix ms: {now_ms}\nsystem: {} {}\n\n{trace}\n",
        env!("CARGO_PKG_VERSION"),
        failure.message,
        failure.place,
        failure.thread,
        std::env::consts::OS,
        std::env::consts::ARCH,
    );
    place::make(&RealDisk, notes).ok()?;
    save(&RealDisk, &path, text.as_bytes(), IfThere::Refuse).ok()?;
    Some(path)
}
