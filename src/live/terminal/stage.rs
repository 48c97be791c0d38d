//! The on/off switch of the full screen.

use std::io;
use std::sync::{Arc, Mutex, MutexGuard, TryLockError};
use std::thread::{self, ThreadId};
use std::time::{Duration, Instant};

use crossterm::cursor::{Hide, Show};
use crossterm::event::{
    DisableBracketedPaste, DisableFocusChange, DisableMouseCapture, EnableBracketedPaste,
    EnableFocusChange, EnableMouseCapture,
};
use crossterm::style::{Print, ResetColor};
use crossterm::terminal::{
    BeginSynchronizedUpdate, Clear, ClearType, EndSynchronizedUpdate, EnterAlternateScreen,
    LeaveAlternateScreen,
};
use crossterm::{QueueableCommand, queue};
use ratatui::layout::Size;

use super::device::Device;
use super::failure::Failure;

/// No terminal is larger; a device that says so would make us reserve gigabytes.
const SIZE_MAX: Size = Size { width: 1000, height: 500 };
/// How long to wait for another thread to end its write before leaving the screen without it.
const PATIENCE: Duration = Duration::from_millis(500);
/// Failures of helper threads kept for the screen; more than that is one failure many times.
const FAILURES_MAX: usize = 8;

/// The full screen of one terminal: on or off, never half. Clones are the same switch.
///
/// Every method may be called from any thread, any number of times.
#[derive(Clone)]
pub struct Stage {
    shared: Arc<Shared>,
}

struct Shared {
    state: Mutex<State>,
    owner: Mutex<Option<ThreadId>>,
    failures: Mutex<Vec<Failure>>,
}

struct State {
    device: Box<dyn Device>,
    /// The full screen is on.
    entered: bool,
    /// The full screen is wanted: on, or off only until the program is continued.
    wanted: bool,
    mouse: bool,
    redraw: bool,
}

impl Stage {
    /// A switch for this device, off.
    pub fn new(device: impl Device + 'static) -> Self {
        let device = Box::new(device);
        let state = State { device, entered: false, wanted: false, mouse: false, redraw: false };
        Self {
            shared: Arc::new(Shared {
                state: Mutex::new(state),
                owner: Mutex::new(None),
                failures: Mutex::new(Vec::new()),
            }),
        }
    }

    /// Turns the full screen on.
    ///
    /// # Errors
    /// If the terminal does not let itself be switched or written to; it is then off.
    pub fn enter(&self) -> io::Result<()> {
        let mut state = self.state();
        state.wanted = true;
        if state.entered {
            return Ok(());
        }
        let done = state.switch_on(true);
        state.wanted = done.is_ok();
        done
    }

    /// Turns it off for good: the terminal is as it was before [`enter`](Self::enter).
    ///
    /// Never fails and never waits long: what a dead terminal does not take, it does not need.
    pub fn leave(&self) {
        self.turn_off(false);
    }

    /// Turns it off until [`resume`](Self::resume).
    pub fn pause(&self) {
        self.turn_off(true);
    }

    /// Turns it on again after [`pause`](Self::pause), or after the program was stopped without a chance to; the
    /// next frame is drawn whole. Says whether it is on; after [`leave`](Self::leave) it stays off.
    ///
    /// # Errors
    /// If the terminal does not let itself be switched or written to.
    pub fn resume(&self) -> io::Result<bool> {
        let mut state = self.state();
        if !state.wanted {
            return Ok(false);
        }
        let was_off = !state.entered;
        if !was_off {
            // Stopped from outside: the shell has set the terminal to its own liking meanwhile.
            let _ = state.device.raw(false);
        }
        state.switch_on(was_off)?;
        state.device.drop_input();
        state.redraw = true;
        Ok(true)
    }

    /// Turns the reports of mouse and touch on or off.
    ///
    /// # Errors
    /// If the terminal cannot be written to.
    pub fn set_mouse(&self, on: bool) -> io::Result<()> {
        let mut state = self.state();
        state.mouse = on;
        if !state.entered {
            return Ok(());
        }
        let mut bytes = Vec::new();
        if on {
            bytes.queue(EnableMouseCapture)?;
        } else {
            bytes.queue(DisableMouseCapture)?;
        }
        state.device.write(&bytes)
    }

    /// Sends bytes that draw nothing (bell, notice, title) between two frames; nothing if the full screen is off.
    ///
    /// # Errors
    /// If the terminal cannot be written to.
    pub fn send(&self, bytes: &[u8]) -> io::Result<()> {
        let mut state = self.state();
        if state.entered { state.device.write(bytes) } else { Ok(()) }
    }

    /// True if the full screen is on.
    pub fn is_entered(&self) -> bool {
        self.state().entered
    }

    /// Asks for the next frame to be drawn whole.
    pub fn ask_redraw(&self) {
        self.state().redraw = true;
    }

    /// The size of the terminal in cells.
    ///
    /// # Errors
    /// If the terminal does not say.
    pub fn size(&self) -> io::Result<Size> {
        let size = self.state().device.size()?;
        Ok(Size::new(size.width.min(SIZE_MAX.width), size.height.min(SIZE_MAX.height)))
    }

    /// What helper threads failed with since this was last asked.
    pub fn take_failures(&self) -> Vec<Failure> {
        std::mem::take(&mut *unpoisoned(self.shared.failures.lock()))
    }

    pub(super) fn add_failure(&self, failure: Failure) {
        let mut failures = unpoisoned(self.shared.failures.lock());
        if failures.len() < FAILURES_MAX {
            failures.push(failure);
        }
    }

    /// Makes the calling thread the one that draws.
    pub(super) fn own(&self) {
        *unpoisoned(self.shared.owner.lock()) = Some(thread::current().id());
    }

    pub(super) fn is_own(&self) -> bool {
        *unpoisoned(self.shared.owner.lock()) == Some(thread::current().id())
    }

    pub(super) fn take_redraw(&self) -> bool {
        std::mem::take(&mut self.state().redraw)
    }

    /// Shows a frame's bytes at once.
    pub(super) fn show_frame(&self, frame: &[u8]) -> io::Result<()> {
        let mut bytes = Vec::with_capacity(frame.len() + 16);
        bytes.queue(BeginSynchronizedUpdate)?;
        bytes.extend_from_slice(frame);
        bytes.queue(EndSynchronizedUpdate)?;
        self.send(&bytes)
    }

    #[cfg(test)]
    pub(super) fn shared_is_free(&self) -> bool {
        self.shared.state.try_lock().is_ok()
    }

    fn state(&self) -> MutexGuard<'_, State> {
        unpoisoned(self.shared.state.lock())
    }

    fn turn_off(&self, wanted: bool) {
        let Some(mut state) = self.state_soon() else {
            // The thread that draws hangs in a write that the terminal does not take. Its bytes cannot be
            // helped; that keys work and are seen again can.
            let _ = crossterm::terminal::disable_raw_mode();
            return;
        };
        state.wanted &= wanted;
        if std::mem::take(&mut state.entered) {
            if let Ok(bytes) = leave_bytes() {
                let _ = state.device.write(&bytes);
            }
            if state.mouse {
                // Reports on their way would turn up as text on the shell's line.
                state.device.drop_input();
            }
            let _ = state.device.raw(false);
        }
    }

    fn state_soon(&self) -> Option<MutexGuard<'_, State>> {
        let begun = Instant::now();
        loop {
            match self.shared.state.try_lock() {
                Ok(state) => return Some(state),
                Err(TryLockError::Poisoned(state)) => return Some(state.into_inner()),
                Err(TryLockError::WouldBlock) if begun.elapsed() > PATIENCE => return None,
                Err(TryLockError::WouldBlock) => thread::sleep(Duration::from_millis(5)),
            }
        }
    }
}

impl State {
    fn switch_on(&mut self, put_title_by: bool) -> io::Result<()> {
        self.device.raw(true)?;
        // Marked before writing: half of the bytes may arrive, and leaving undoes any part of them.
        self.entered = true;
        let bytes = enter_bytes(self.mouse, put_title_by)?;
        if let Err(e) = self.device.write(&bytes) {
            let _ = leave_bytes().and_then(|b| self.device.write(&b));
            let _ = self.device.raw(false);
            self.entered = false;
            return Err(e);
        }
        Ok(())
    }
}

fn enter_bytes(mouse: bool, put_title_by: bool) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    if put_title_by {
        bytes.queue(Print("\x1b[22;0t"))?;
    }
    queue!(
        bytes,
        EnterAlternateScreen,
        Clear(ClearType::All),
        Hide,
        EnableBracketedPaste,
        EnableFocusChange
    )?;
    if mouse {
        bytes.queue(EnableMouseCapture)?;
    }
    Ok(bytes)
}

/// Undoes everything that entering, drawing or the mouse may have set, also from the middle of a frame.
fn leave_bytes() -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    queue!(
        bytes,
        EndSynchronizedUpdate,
        DisableMouseCapture,
        DisableFocusChange,
        DisableBracketedPaste,
        ResetColor,
        LeaveAlternateScreen,
        Show,
        Print("\x1b[23;0t")
    )?;
    Ok(bytes)
}

/// A thread that panicked with the lock does not keep the others from restoring the terminal.
fn unpoisoned<T>(got: Result<T, std::sync::PoisonError<T>>) -> T {
    got.unwrap_or_else(std::sync::PoisonError::into_inner)
}
