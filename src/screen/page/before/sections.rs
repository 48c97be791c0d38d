//! Lists in sections: rows under headings, scrolled together.

use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use crate::screen::Scene;
use crate::screen::canvas::{Canvas, Hit};
use crate::screen::card::visible;
use crate::screen::look::Ink;

/// A line of such a list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Line {
    /// A heading; it cannot be chosen.
    Head(String),
    /// Something to be read that cannot be chosen.
    Note(String),
    /// A row, by its number.
    Row(usize),
}

/// Draws what is in sight; `row` draws one row: its number, whether it is chosen.
pub(super) fn draw(
    canvas: &mut Canvas,
    field: Rect,
    scene: &Scene,
    (lines, chosen): (&[Line], usize),
    row: &mut dyn FnMut(&mut Canvas, Rect, usize, bool),
) {
    let at = lines.iter().position(|l| *l == Line::Row(chosen)).unwrap_or(0);
    let room = usize::from(field.height);
    let (first, count) = visible(lines.len(), at, room);
    for (below, index) in (first..first + count).enumerate() {
        let y = field.y + u16::try_from(below).unwrap_or(0);
        let place = Rect { y, height: 1, ..field };
        let inner = place.width.saturating_sub(2);
        match lines.get(index) {
            Some(Line::Head(words)) => {
                canvas.text(place.x + 1, y, inner, words, scene.look.ink(Ink::Service));
            }
            Some(Line::Note(words)) => {
                let sign = scene.look.glyphs().late;
                canvas.text(place.x + 1, y, 1, sign, scene.look.ink(Ink::Strong));
                let room = inner.saturating_sub(2);
                canvas.text(place.x + 3, y, room, words, scene.look.ink(Ink::Strong));
            }
            Some(&Line::Row(number)) => {
                row(canvas, place, number, number == chosen);
                canvas.hit(place, Hit::Row(number));
            }
            None => {}
        }
    }
    more(canvas, field, scene, (first, count, lines.len()));
}

/// Signs at the right edge that a list goes on above or below: its first line in sight, how
/// many are, and how many there are.
pub(super) fn more(
    canvas: &mut Canvas,
    field: Rect,
    scene: &Scene,
    (first, count, all): (usize, usize, usize),
) {
    let g = scene.look.glyphs();
    let faint = scene.look.ink(Ink::Faint);
    if first > 0 && field.height > 0 {
        canvas.text_right(field.x, field.y, field.width, g.up, faint);
    }
    if first + count < all && field.height > 0 {
        canvas.text_right(field.x, field.bottom() - 1, field.width, g.down, faint);
    }
}

/// Prepares a row that can be ticked off: fills it if it is chosen, and gives the box before it and the style of its words.
pub(super) fn tickable(
    canvas: &mut Canvas,
    place: Rect,
    scene: &Scene,
    tick: &str,
    chosen: bool,
) -> (&'static str, Style) {
    let done = scene.view.ticked.contains(tick);
    let style = match (chosen, done) {
        (true, _) => scene.look.ink(Ink::Chosen),
        (_, true) => scene.look.ink(Ink::Faint).add_modifier(Modifier::CROSSED_OUT),
        _ => Style::new(),
    };
    if chosen {
        canvas.fill(place, " ", style);
    }
    (if done { "[x]" } else { "[ ]" }, style)
}
