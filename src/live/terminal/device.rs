//! The terminal as a device: bytes out, raw mode, size.

use std::io::{self, IsTerminal, Write};
use std::time::{Duration, Instant};

use ratatui::layout::Size;

/// How long a terminal that takes no bytes is waited for, where its writes do not block.
const WRITE_PATIENCE: Duration = Duration::from_secs(2);

/// What a [`Stage`](super::Stage) needs of a terminal.
pub trait Device: Send {
    /// Writes all the bytes.
    ///
    /// # Errors
    /// If the terminal does not take them.
    fn write(&mut self, bytes: &[u8]) -> io::Result<()>;
    /// Turns raw mode (each key at once, none echoed) on or off; twice is as good as once.
    ///
    /// # Errors
    /// If the terminal does not let itself be switched.
    fn raw(&mut self, on: bool) -> io::Result<()>;
    /// The size in cells.
    ///
    /// # Errors
    /// If the terminal does not say.
    fn size(&self) -> io::Result<Size>;
    /// Throws away what was typed or reported and not yet read.
    fn drop_input(&mut self);
}

/// The program's own terminal.
pub struct Tty {
    #[cfg(unix)]
    out: std::fs::File,
    #[cfg(not(unix))]
    out: io::Stdout,
}

impl Tty {
    /// The terminal that standard output goes to.
    ///
    /// # Errors
    /// If standard output is closed.
    pub fn open() -> io::Result<Self> {
        // A handle of our own: the standard library's has a lock, which a thread that hangs in a write would
        // keep from the thread that is to end the program.
        #[cfg(unix)]
        let out = {
            use std::os::fd::AsFd;
            std::fs::File::from(io::stdout().as_fd().try_clone_to_owned()?)
        };
        #[cfg(not(unix))]
        let out = io::stdout();
        Ok(Self { out })
    }
}

impl Device for Tty {
    fn write(&mut self, mut bytes: &[u8]) -> io::Result<()> {
        let begun = Instant::now();
        while !bytes.is_empty() {
            match self.out.write(bytes) {
                Ok(0) => return Err(io::Error::from(io::ErrorKind::WriteZero)),
                Ok(taken) => bytes = bytes.get(taken..).unwrap_or_default(),
                Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
                // Another program on this terminal may have made it non-blocking.
                Err(e) if e.kind() == io::ErrorKind::WouldBlock => {
                    if begun.elapsed() > WRITE_PATIENCE {
                        return Err(e);
                    }
                    std::thread::sleep(Duration::from_millis(1));
                }
                Err(e) => return Err(e),
            }
        }
        self.out.flush()
    }

    fn raw(&mut self, on: bool) -> io::Result<()> {
        if on {
            crossterm::terminal::enable_raw_mode()
        } else {
            crossterm::terminal::disable_raw_mode()
        }
    }

    #[cfg(unix)]
    fn size(&self) -> io::Result<Size> {
        // Not crossterm's, which starts another program to ask when the terminal is gone.
        let size = rustix::termios::tcgetwinsize(&self.out)?;
        Ok(Size::new(size.ws_col, size.ws_row))
    }

    #[cfg(not(unix))]
    fn size(&self) -> io::Result<Size> {
        let (width, height) = crossterm::terminal::size()?;
        Ok(Size::new(width, height))
    }

    fn drop_input(&mut self) {
        #[cfg(unix)]
        {
            use rustix::termios::{QueueSelector, tcflush};
            // A terminal that is gone has no input to drop.
            let _ = tcflush(rustix::stdio::stdin(), QueueSelector::IFlush);
        }
    }
}

/// Why there can be no full screen here, with what to do instead; `None` if there can.
///
/// `term` is the variable `TERM`.
pub fn why_not_full_screen(term: Option<&str>) -> Option<&'static str> {
    judge(io::stdin().is_terminal(), io::stdout().is_terminal(), term)
}

fn judge(keys: bool, screen: bool, term: Option<&str>) -> Option<&'static str> {
    if !screen {
        return Some(
            "the output is not a terminal; run it in one, or use `potwatch plan` for a plan as text",
        );
    }
    if !keys {
        return Some("there is no keyboard (the input is not a terminal); run it in a terminal");
    }
    // Windows has no TERM; elsewhere it is set by every terminal.
    if term == Some("dumb") || (cfg!(unix) && term.is_none_or(str::is_empty)) {
        return Some(
            "this terminal cannot show a full screen (TERM is \"dumb\" or not set); \
             use `potwatch plan` for a plan as text",
        );
    }
    None
}

#[cfg(test)]
mod tests {
    use super::judge;

    #[test]
    fn no_full_screen_where_there_is_none() {
        assert_eq!(judge(true, true, Some("xterm-256color")), None);
        assert!(
            judge(true, false, Some("xterm")).unwrap().starts_with("the output is not a terminal")
        );
        assert!(judge(false, true, Some("xterm")).unwrap().starts_with("there is no keyboard"));
        assert!(judge(true, true, Some("dumb")).unwrap().contains("potwatch plan"));
        #[cfg(unix)]
        assert!(judge(true, true, None).is_some() && judge(true, true, Some("")).is_some());
    }
}
