//! The full screen: entered and left as one, whatever ends the program, and drawn without flicker.
//!
//! [`Stage`] is the on/off switch, shared with the signal thread, the watchdog and the panic hook. [`Terminal`] draws
//! on it and belongs to one thread. What is sent to the terminal, and why:
//!
//! | sent | meaning |
//! | --- | --- |
//! | `?1049` | alternate screen, so that the shell's text comes back |
//! | `?25` | cursor hidden while drawing |
//! | `?2004` | bracketed paste: a pasted text is not taken for keys |
//! | `?1004` | focus reports |
//! | `?1000 ?1002 ?1003 ?1015 ?1006` | mouse, only if asked for, since it takes the terminal's own copying away |
//! | `?2026` | each frame is shown at once; terminals that do not know it ignore it |
//! | `22;0t`, `23;0t` | the window's title is put by and brought back |

mod backend;
mod device;
mod failure;
mod stage;

pub use device::{Device, Tty, why_not_full_screen};
pub use failure::{Failure, install_panic_hook};
pub use stage::Stage;

use std::cell::RefCell;
use std::io;
use std::rc::Rc;

use ratatui::Frame;

use backend::Paper;

/// Draws frames on a [`Stage`]. The thread that makes it is the one whose panic leaves the full screen.
pub struct Terminal {
    stage: Stage,
    ink: Rc<RefCell<Vec<u8>>>,
    ratatui: ratatui::Terminal<Paper>,
}

impl Terminal {
    /// Enters the full screen.
    ///
    /// # Errors
    /// If the terminal cannot be written to or switched; it is then as it was.
    pub fn enter(stage: &Stage) -> io::Result<Self> {
        // What is drawn in colour is for our own themes to say. crossterm's way of honouring NO_COLOR sends an
        // empty colour command, which terminals take for "reset all", and so loses bold and reverse video.
        crossterm::style::force_color_output(true);
        stage.own();
        stage.enter()?;
        let ink = Rc::new(RefCell::new(Vec::new()));
        let made = ratatui::Terminal::new(Paper::new(stage.clone(), ink.clone()));
        match made {
            Ok(ratatui) => Ok(Self { stage: stage.clone(), ink, ratatui }),
            Err(e) => {
                stage.leave();
                Err(e)
            }
        }
    }

    /// Draws one frame, as one write. Does nothing while the program is suspended or the window has no area.
    ///
    /// # Errors
    /// If the terminal does not take it; it is probably gone, and the program should end.
    pub fn draw(&mut self, f: impl FnOnce(&mut Frame)) -> io::Result<()> {
        if !self.stage.is_entered() || self.stage.size()?.area() == 0 {
            return Ok(());
        }
        if self.stage.take_redraw() {
            // Also forgets what was drawn, so that all of the frame is sent.
            self.ratatui.clear()?;
        }
        self.ratatui.draw(f)?;
        let frame = std::mem::take(&mut *self.ink.borrow_mut());
        self.stage.show_frame(&frame)
    }

    /// The switch, to be shared with other threads.
    pub fn stage(&self) -> &Stage {
        &self.stage
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        // After a panic the hook has done it, and its message must stay on the screen.
        self.stage.leave();
    }
}

#[cfg(test)]
mod tests;
