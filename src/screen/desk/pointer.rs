//! What the mouse does at the desk: a click on a tab turns to its shelf, one on a row chooses it, a click on the chosen one is Enter, the wheel scrolls.

use ratatui::crossterm::event::{
    KeyCode, KeyEvent, KeyModifiers, MouseButton, MouseEvent, MouseEventKind,
};

use super::{Bring, Desk, Wish};
use crate::screen::canvas::{Hit, Hits};
use crate::screen::form;

impl Desk {
    /// A press of a button or a turn of the wheel. `hits` is what the last draw gave.
    pub fn mouse(&mut self, event: &MouseEvent, hits: &Hits) -> Vec<Wish> {
        match event.kind {
            MouseEventKind::Down(MouseButton::Left) => match hits.at(event.column, event.row) {
                Some(Hit::Row(row)) => self.click(row),
                Some(Hit::Shelf(at)) => {
                    self.say = None;
                    self.go(at);
                    Vec::new()
                }
                _ => Vec::new(),
            },
            MouseEventKind::ScrollUp => self.wheel(false),
            MouseEventKind::ScrollDown => self.wheel(true),
            _ => Vec::new(),
        }
    }

    fn click(&mut self, row: usize) -> Vec<Wish> {
        self.say = None;
        if let Some(form) = self.form.as_mut() {
            let asks = form::click(form, row, &self.known);
            return self.asked(asks);
        }
        let at = match self.menu.as_mut() {
            Some(at) => at,
            None => &mut self.row,
        };
        if *at != row {
            *at = row;
            return Vec::new();
        }
        self.key(KeyCode::Enter)
    }

    fn wheel(&mut self, down: bool) -> Vec<Wish> {
        if let Some(form) = self.form.as_mut() {
            form::wheel(form, down, &self.known);
            return Vec::new();
        }
        // A path is being typed: nothing scrolls.
        if self.export.is_some() || matches!(self.bring, Some(Bring::Ask { .. })) {
            return Vec::new();
        }
        self.key(if down { KeyCode::Down } else { KeyCode::Up })
    }

    fn key(&mut self, code: KeyCode) -> Vec<Wish> {
        self.press(&KeyEvent::new(code, KeyModifiers::NONE))
    }
}
