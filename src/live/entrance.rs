//! The way onto the full screen, the same for the evening and the desk: the terminal is taken, and from then on given
//! back whatever ends the program; signals, a terminal that goes away and keys are looked after, each on a thread.

use std::io;
use std::path::Path;

use ratatui::crossterm::event::Event as Input;

use super::ears;
use super::signals::{self, Ending};
use super::terminal::{Stage, Terminal, Tty, install_panic_hook};
use super::watchdog;

/// Takes the terminal. `crash_notes`: where a note is left if the program itself fails. `resumed` is called when the
/// program was continued after a stop; `heard` is given what comes in and says whether anybody still listens.
///
/// # Errors
/// If the terminal cannot be used, or a thread cannot be started.
pub(super) fn enter(
    crash_notes: Option<&Path>,
    resumed: impl Fn() + Send + 'static,
    heard: impl Fn(io::Result<Input>) -> bool + Send + 'static,
) -> anyhow::Result<(Stage, Terminal)> {
    let stage = Stage::new(Tty::open()?);
    if let Some(notes) = crash_notes {
        install_panic_hook(&stage, notes);
    }
    let ending = Ending::new(&stage, || {});
    let terminal = Terminal::enter(&stage)?;
    signals::watch(&ending, resumed)?;
    watchdog::watch(&ending)?;
    ears::listen(stage.clone(), heard)?;
    Ok((stage, terminal))
}
