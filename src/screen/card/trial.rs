//! A change to try, typed in the words of the command line.

use ratatui::crossterm::event::KeyCode;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::{Card, entry, foot};
use crate::plan::ways::parse::FORMS;
use crate::screen::Intent;
use crate::screen::canvas::{Canvas, middle, top};
use crate::screen::look::Ink;
use crate::screen::text;
use crate::screen::ui::Ui;

/// The most letters that are taken.
const MOST_LETTERS: usize = 60;

/// Draws the card: what was typed, and what can be.
pub fn draw(canvas: &mut Canvas, field: Rect, typed: &str) {
    let lines = u16::try_from(FORMS.len()).unwrap_or(u16::MAX);
    let card = middle(field, 78, lines.saturating_add(6).min(field.height));
    let inside = canvas.card(card, "What if", Style::new());
    let hints = [("Enter", "try it", KeyCode::Enter), ("Esc", "back", KeyCode::Esc)];
    let rest = foot(canvas, inside, &hints);
    let (typing, list) = top(rest, 2);
    entry(canvas, typing, "type: ", typed);
    for (row, (form, about)) in (list.y..list.bottom()).zip(FORMS) {
        let words = format!("{} {about}", text::fit(form, 20, canvas.cut()));
        let faint = canvas.look.ink(Ink::Faint);
        canvas.text(list.x + 1, row, list.width.saturating_sub(1), &words, faint);
    }
}

/// A key while the card is open.
pub fn press(ui: &mut Ui, code: KeyCode, mut typed: String) -> Vec<Intent> {
    match code {
        KeyCode::Enter if typed.trim().is_empty() => return Vec::new(),
        // The card stays open until what was typed is understood.
        KeyCode::Enter => {
            ui.card = Some(Card::Try { typed: typed.clone() });
            return vec![Intent::Try(typed)];
        }
        KeyCode::Backspace => {
            typed.pop();
        }
        KeyCode::Char(c) if typed.chars().count() < MOST_LETTERS && !c.is_control() => {
            typed.push(c);
        }
        _ => {}
    }
    ui.card = Some(Card::Try { typed });
    Vec::new()
}
