//! The menu: the dishes by course, and what there is to see to.

mod dishes;
mod verdict;

use ratatui::layout::Rect;
use ratatui::style::Style;

use crate::screen::Scene;
use crate::screen::canvas::{Canvas, bottom, left};
use crate::screen::look::Ink;
use crate::screen::ui::Ui;
use verdict::{Remark, remarks};

/// From this width on the remarks stand beside the dishes, not below them.
const SIDE_BY_SIDE: u16 = 116;

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let remarks = remarks(scene);
    let (list, beside) = if field.width >= SIDE_BY_SIDE {
        let wide = (field.width * 6 / 10).max(76);
        left(field, wide)
    } else {
        let dishes = u16::try_from(scene.evening.sheets.len()).unwrap_or(u16::MAX);
        let wanted = dishes.saturating_add(2).min(field.height * 6 / 10);
        bottom(field, field.height.saturating_sub(wanted))
    };
    dishes::draw(canvas, list, scene, ui);
    let inset = Rect { x: beside.x + 1, width: beside.width.saturating_sub(2), ..beside };
    notes(canvas, inset, scene, &remarks);
}

/// What there is to see to, then what is so.
fn notes(canvas: &mut Canvas, field: Rect, scene: &Scene, remarks: &[Remark]) {
    let mut rest = field;
    let mut write = |canvas: &mut Canvas, indent: u16, words: &str, style: Style| {
        let line = Rect { x: rest.x + indent, width: rest.width.saturating_sub(indent), ..rest };
        let used = canvas.lines(line, words, style);
        rest = Rect { y: rest.y + used, height: rest.height - used.min(rest.height), ..rest };
        rest.y
    };
    let wrong = remarks.iter().filter(|r| r.wrong).count();
    let head = match wrong {
        0 => "Nothing to see to.".to_owned(),
        1 => "One thing to see to:".to_owned(),
        n => format!("{n} things to see to:"),
    };
    let mut y = write(canvas, 0, &head, scene.look.ink(Ink::Strong));
    for remark in remarks {
        let (sign, style) = match remark.wrong {
            true => (scene.look.glyphs().late, scene.look.ink(Ink::Strong)),
            false => (scene.look.glyphs().dot, Style::new()),
        };
        if y < field.bottom() {
            let row = Rect { y, height: 1, ..field };
            canvas.text(row.x, row.y, row.width.min(1), sign, style);
        }
        y = write(canvas, 2, &remark.words, style);
    }
}
