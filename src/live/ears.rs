//! Reads input on a thread of its own, so that a loop can sleep on one channel.

use std::io;
use std::panic::catch_unwind;
use std::time::Duration;

use ratatui::crossterm::event::{self, Event as Input};

use super::terminal::Stage;

/// While the full screen is left, input is looked for so often.
const WHILE_AWAY: Duration = Duration::from_millis(50);

/// Starts the thread. `tell` is given what comes in, and at last why nothing
/// more does; it says whether anybody still listens.
///
/// # Errors
/// If the system has no more threads.
pub(super) fn listen(
    stage: Stage,
    tell: impl Fn(io::Result<Input>) -> bool + Send + 'static,
) -> io::Result<()> {
    let read = move || loop {
        if !stage.is_entered() {
            // Reading the terminal from the background would stop the program.
            std::thread::sleep(WHILE_AWAY);
            continue;
        }
        // A sequence that the reader of keys does not expect may make it panic (crossterm 0.29 takes 1 from a cursor
        // position of 0): that costs this sequence, and must not cost the ears.
        let Ok(read) = catch_unwind(event::read) else { continue };
        match read {
            Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
            heard => {
                let deaf = heard.is_err();
                if !tell(heard) || deaf {
                    return;
                }
            }
        }
    };
    std::thread::Builder::new().name("input".to_owned()).spawn(read).map(drop)
}
