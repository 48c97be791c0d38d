//! Text below text: each piece takes the lines that it needs of what is left of a field.

use ratatui::layout::Rect;
use ratatui::style::Style;

use crate::screen::Scene;
use crate::screen::canvas::Canvas;
use crate::screen::look::Ink;

/// A field that fills from the top.
pub(super) struct Flow {
    /// What is left of it.
    pub rest: Rect,
}

impl Flow {
    /// A field of which nothing is used yet, but for a column that is left free at both sides.
    pub const fn inset(field: Rect) -> Self {
        let width = field.width.saturating_sub(2);
        Self { rest: Rect { x: field.x.saturating_add(1), width, ..field } }
    }

    /// Writes a text in as many lines as it takes.
    pub fn say(&mut self, canvas: &mut Canvas, words: &str, style: Style) {
        self.indented(canvas, 0, words, style);
    }

    /// The same, so many columns in.
    pub fn indented(&mut self, canvas: &mut Canvas, by: u16, words: &str, style: Style) {
        let rest = self.rest;
        let line = Rect { x: rest.x + by, width: rest.width.saturating_sub(by), ..rest };
        let used = canvas.lines(line, words, style).min(rest.height);
        self.rest = Rect { y: rest.y + used, height: rest.height - used, ..rest };
    }

    /// What a list cannot answer for, marked as something to see to.
    pub fn notes(&mut self, canvas: &mut Canvas, scene: &Scene, notes: &[String]) {
        for note in notes {
            let words = format!("{} {note}.", scene.look.glyphs().late);
            self.say(canvas, &words, scene.look.ink(Ink::Strong));
        }
    }
}
