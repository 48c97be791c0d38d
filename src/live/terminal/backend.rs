//! Collects what a frame writes, so that it goes out as one.

use std::cell::RefCell;
use std::io::{self, Write};
use std::rc::Rc;

use ratatui::backend::{Backend, ClearType, CrosstermBackend, WindowSize};
use ratatui::buffer::Cell;
use ratatui::layout::{Position, Size};

use super::stage::Stage;

/// crossterm's commands, on paper; the size is the stage's.
pub struct Paper {
    stage: Stage,
    commands: CrosstermBackend<Ink>,
    cursor: Position,
}

struct Ink(Rc<RefCell<Vec<u8>>>);

impl Write for Ink {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.borrow_mut().write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Paper {
    pub fn new(stage: Stage, ink: Rc<RefCell<Vec<u8>>>) -> Self {
        let commands = CrosstermBackend::new(Ink(ink));
        Self { stage, commands, cursor: Position::ORIGIN }
    }
}

impl Backend for Paper {
    type Error = io::Error;

    fn draw<'a, I>(&mut self, content: I) -> io::Result<()>
    where
        I: Iterator<Item = (u16, u16, &'a Cell)>,
    {
        self.commands.draw(content)
    }

    fn hide_cursor(&mut self) -> io::Result<()> {
        self.commands.hide_cursor()
    }

    fn show_cursor(&mut self) -> io::Result<()> {
        self.commands.show_cursor()
    }

    fn get_cursor_position(&mut self) -> io::Result<Position> {
        // To ask the terminal would wait for its answer among the keys.
        Ok(self.cursor)
    }

    fn set_cursor_position<P: Into<Position>>(&mut self, position: P) -> io::Result<()> {
        self.cursor = position.into();
        self.commands.set_cursor_position(self.cursor)
    }

    fn clear(&mut self) -> io::Result<()> {
        self.commands.clear()
    }

    fn clear_region(&mut self, region: ClearType) -> io::Result<()> {
        self.commands.clear_region(region)
    }

    fn append_lines(&mut self, lines: u16) -> io::Result<()> {
        self.commands.append_lines(lines)
    }

    fn size(&self) -> io::Result<Size> {
        self.stage.size()
    }

    fn window_size(&mut self) -> io::Result<WindowSize> {
        Ok(WindowSize { columns_rows: self.stage.size()?, pixels: Size::ZERO })
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
