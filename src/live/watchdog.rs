//! Ends the program when its terminal is gone.
//!
//! A terminal can go without a signal that reaches us: the hang-up is ignored, or sent to another program. Then
//! crossterm 0.29 never returns from waiting for keys and takes a whole processor (its issue 793). So a thread of
//! its own waits for the hang-up, without reading a byte.

use std::io;

use super::signals::Ending;

/// Starts the watch. When standard input hangs up, is closed or fails, the program ends as by SIGHUP.
///
/// # Errors
/// If the system has no more threads.
#[cfg(unix)]
pub fn watch(ending: &Ending) -> io::Result<()> {
    let ending = ending.clone();
    std::thread::Builder::new().name("watchdog".into()).spawn(move || {
        unix::wait_for_hang_up();
        ending.now(signal_hook::consts::SIGHUP);
    })?;
    Ok(())
}

/// There are no terminals that hang up here; does nothing.
///
/// # Errors
/// None.
#[cfg(not(unix))]
pub fn watch(_ending: &Ending) -> io::Result<()> {
    Ok(())
}

#[cfg(unix)]
mod unix {
    use std::thread;
    use std::time::Duration;

    use rustix::event::{PollFd, PollFlags, Timespec, poll};
    use rustix::io::Errno;
    use rustix::stdio::stdin;
    use rustix::termios::isatty;

    /// Linux tells at once; elsewhere, where waiting for a terminal may not tell of its end, this is how often
    /// to ask.
    const ASK_EVERY_S: i64 = if cfg!(target_os = "linux") { 30 } else { 2 };

    pub fn wait_for_hang_up() {
        let gone = PollFlags::HUP | PollFlags::ERR | PollFlags::NVAL;
        let patience = Timespec { tv_sec: ASK_EVERY_S, tv_nsec: 0 };
        loop {
            // No event is asked for: keys waiting to be read do not wake this.
            let mut fds = [PollFd::from_borrowed_fd(stdin(), PollFlags::empty())];
            match poll(&mut fds, Some(&patience)) {
                Ok(_) if fds.iter().any(|fd| fd.revents().intersects(gone)) => return,
                Ok(_) if !isatty(stdin()) => return,
                Ok(_) | Err(Errno::INTR) => {}
                // Without memory for so small a thing the program will not last; this is not the place to say so.
                Err(_) => thread::sleep(Duration::from_secs(1)),
            }
        }
    }
}
