//! What the system tells the program: end, stop, go on.
//!
//! * TERM, INT, HUP, QUIT: the screen is restored and the program ends with 128 + the signal's number, from the
//!   thread here, whatever the others are doing. Once the screen is restored a second one ends it at once. Marks are on the disk already.
//! * TSTP (and the cook's Ctrl-Z, through [`suspend`]): the screen is restored and the program's group stops. CONT,
//!   in the foreground: the screen is entered again and the next frame drawn whole.
//! * XFSZ, a file over the limit of size that the system sets: the write fails instead, and is told as such.
//! * WINCH, a new size of the window, is crossterm's to notice.

use std::sync::Arc;

use super::terminal::Stage;

/// How the program ends when it is not the cook who ends it.
#[derive(Clone)]
pub struct Ending {
    stage: Stage,
    last: Arc<dyn Fn() + Send + Sync>,
}

impl Ending {
    /// Restores this stage, then does `last`, which must be quick (stop a sound, say).
    pub fn new(stage: &Stage, last: impl Fn() + Send + Sync + 'static) -> Self {
        Self { stage: stage.clone(), last: Arc::new(last) }
    }

    /// Ends the program as a signal would: exit code 128 + `signal`.
    pub fn now(&self, signal: i32) -> ! {
        self.stage.leave();
        (self.last)();
        std::process::exit(128_i32.saturating_add(signal))
    }
}

/// What came of the wish to suspend.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Suspended {
    /// The program was stopped and has been continued; [`watch`]'s thread enters the screen again.
    Yes,
    /// Nobody could continue it: it was not started from a shell with job control.
    NoShell,
}

#[cfg(unix)]
pub use unix::{suspend, watch};

#[cfg(unix)]
mod unix {
    use std::io;
    use std::sync::Arc;
    use std::sync::atomic::{AtomicBool, Ordering};
    use std::thread;
    use std::time::Duration;

    use rustix::process::{Signal, getpgrp, getsid, kill_current_process_group};
    use rustix::termios::tcgetpgrp;
    use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP, SIGXFSZ};
    use signal_hook::flag;
    use signal_hook::iterator::Signals;

    use super::{Ending, Suspended};
    use crate::live::terminal::Stage;

    const ENDS: [i32; 4] = [SIGTERM, SIGINT, SIGHUP, SIGQUIT];
    /// How often to look whether a program continued in the background has come to the front.
    const BACKGROUND_LOOK: Duration = Duration::from_millis(200);

    /// Starts the thread that answers signals. `resumed` is called in it each time the screen was entered again.
    ///
    /// # Errors
    /// If the system does not let signals be watched.
    pub fn watch(ending: &Ending, resumed: impl Fn() + Send + 'static) -> io::Result<()> {
        let ended = Arc::new(AtomicBool::new(false));
        for signal in ENDS {
            flag::register_conditional_shutdown(signal, 128 + signal, ended.clone())?;
        }
        // Unanswered it would end the program with the screen as it is, in the middle of a mark.
        flag::register(SIGXFSZ, Arc::new(AtomicBool::new(false)))?;
        let signals = Signals::new(ENDS.into_iter().chain([SIGTSTP, SIGCONT]))?;
        let ending = ending.clone();
        thread::Builder::new()
            .name("signals".into())
            .spawn(move || answer(signals, &ending, &ended, &resumed))?;
        Ok(())
    }

    /// Restores the screen and stops the program's group, as Ctrl-Z does in other programs (in raw mode it is a
    /// key like others). Returns when continued.
    pub fn suspend(stage: &Stage) -> Suspended {
        // A group that is its session's first has no shell beside it. The system would ignore the stop for
        // such a group; the signal used here would not be ignored, and the program never come back.
        if getsid(None).is_ok_and(|session| session == getpgrp()) {
            return Suspended::NoShell;
        }
        stage.pause();
        // STOP and not TSTP, which our own handler would take. To the whole group, so that a program that
        // started this one gives the terminal back as well.
        let _ = kill_current_process_group(Signal::STOP);
        Suspended::Yes
    }

    fn answer(mut signals: Signals, ending: &Ending, ended: &AtomicBool, resumed: &impl Fn()) {
        let mut in_background = false;
        loop {
            let got: Vec<i32> = if in_background {
                thread::sleep(BACKGROUND_LOOK);
                signals.pending().collect()
            } else {
                signals.wait().collect()
            };
            if let Some(signal) = got.iter().find(|s| ENDS.contains(s)) {
                // Not before: some programs send one signal twice, to us and to our group.
                ending.stage.leave();
                ended.store(true, Ordering::SeqCst);
                ending.now(*signal);
            }
            let continued = got.contains(&SIGCONT);
            if got.contains(&SIGTSTP) && !continued {
                suspend(&ending.stage);
            }
            if continued || in_background {
                in_background = !in_foreground();
                if !in_background && ending.stage.resume().unwrap_or(false) {
                    resumed();
                }
            }
        }
    }

    /// False if the terminal is another program's at the moment. One that does not say is taken for ours; if it
    /// is gone, the watchdog notices.
    fn in_foreground() -> bool {
        tcgetpgrp(rustix::stdio::stdin()).map_or(true, |group| group == getpgrp())
    }
}

/// There are no signals here; does nothing.
///
/// # Errors
/// None.
#[cfg(not(unix))]
pub fn watch(_ending: &Ending, _resumed: impl Fn() + Send + 'static) -> std::io::Result<()> {
    Ok(())
}

/// There is no job control here; does nothing.
#[cfg(not(unix))]
pub fn suspend(_stage: &Stage) -> Suspended {
    Suspended::NoShell
}
