//! The report of the evening, as lines that the run has written.

use ratatui::layout::Rect;
use ratatui::style::Style;

use crate::screen::Scene;
use crate::screen::canvas::Canvas;
use crate::screen::card::visible;
use crate::screen::look::Ink;
use crate::screen::ui::Ui;

/// The lines of the report, or one that says that there is none yet.
pub(super) fn lines(scene: &Scene) -> Vec<String> {
    if scene.status.report.is_empty() {
        return vec!["The report comes when the last service is over.".to_owned()];
    }
    scene.status.report.clone()
}

/// Draws the report. A line that ends in a colon is a heading.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let lines = lines(scene);
    let room = usize::from(field.height);
    let (first, count) = visible(lines.len(), ui.row, room);
    for (at, line) in lines.iter().skip(first).take(count).enumerate() {
        let y = field.y + u16::try_from(at).unwrap_or(0);
        let heading = line.ends_with(':');
        let style = if heading { scene.look.ink(Ink::Strong) } else { Style::new() };
        canvas.text(field.x + 1, y, field.width.saturating_sub(2), line, style);
    }
    if first + count < lines.len() && !field.is_empty() {
        let sign = scene.look.glyphs().down;
        canvas.put(field.right() - 1, field.bottom() - 1, sign, scene.look.ink(Ink::Strong));
    }
}
