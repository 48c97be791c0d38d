//! The home page: what to do now above, the lane chart below, and between them
//! one line that says what the last reshuffle moved and why.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::{list, panel};
use crate::screen::canvas::{Canvas, top};
use crate::screen::look::Ink;
use crate::screen::ui::{Sel, Ui};
use crate::screen::{Scene, chart, marks, text};

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let (rows, scale) = panel::rows(field, scene.look);
    let (above, rest) = top(field, rows);
    panel::draw(canvas, above, scene, scale);
    let (line, rest) = top(rest, if field.height >= 30 { 2 } else { 1 });
    changed(canvas, line, scene, ui);
    let free = chart::draw(canvas, rest, scene, ui);
    if free.height >= 5 {
        list::coming(canvas, top(free, 1).1, scene);
    }
}

/// The chosen block in words, or what the last reshuffle moved and why.
fn changed(canvas: &mut Canvas, line: Rect, scene: &Scene, ui: &Ui) {
    let faint = scene.look.ink(Ink::Faint);
    let strong = scene.look.ink(Ink::Strong);
    if line.is_empty() {
        return;
    }
    if let Some(words) = ui.selected.map(|sel| chosen(scene, sel)) {
        canvas.text(line.x + 1, line.y, line.width.saturating_sub(2), &words, strong);
    } else if let Some((moved, why)) = &scene.view.last_change {
        let room = usize::from(line.width.saturating_sub(10));
        // What moved may be long; why it did is not crowded out by it.
        let least = text::width(why).min(room * 2 / 5);
        let moved = text::clip(&text::tame(moved), room.saturating_sub(least), canvas.cut());
        canvas.pieces(
            line.x + 1,
            line.y,
            line.width.saturating_sub(2),
            &[("moved: ", faint), (&moved, Style::new()), (" ", faint), (why, faint)],
        );
    }
}

fn chosen(scene: &Scene, sel: Sel) -> String {
    let face = &scene.evening.face;
    match sel {
        Sel::Step(key) => {
            let sheet = scene.evening.sheets.get(key.dish);
            let step = sheet.and_then(|s| s.recipe.steps.get(key.step));
            let text = step.map_or(String::new(), |s| text::tame(&s.text));
            let when = marks::block(scene, key).map_or(String::new(), |b| {
                format!("{}-{}", face.label(b.start), face.label(b.end))
            });
            let letter = sheet.map_or(' ', |s| s.letter);
            format!("{letter} {when} {text}")
        }
        Sel::Hold(dish) => {
            let sheet = scene.evening.sheets.get(dish);
            let hold = scene.plan.holds.iter().find(|h| h.dish == dish);
            let when = hold
                .map_or(String::new(), |h| format!("{}-{}", face.label(h.from), face.label(h.to)));
            let short = sheet.map_or(String::new(), crate::kitchen::Sheet::short);
            format!("{} {when} {short} holds for its service", sheet.map_or(' ', |s| s.letter))
        }
    }
}
