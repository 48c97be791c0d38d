//! The report of the evening, as lines that the run has written.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::back;
use crate::screen::canvas::Canvas;
use crate::screen::look::Ink;
use crate::screen::ui::{Face, Ui};
use crate::screen::{Scene, text};

/// The lines of the report as wide as the window, or one that says that there is none yet.
fn lines(scene: &Scene, ui: &Ui) -> Vec<String> {
    if scene.status.report.is_empty() {
        return vec!["The report comes when the last service is over.".to_owned()];
    }
    let room = usize::from(ui.window.0.saturating_sub(2)).max(20);
    scene.status.report.iter().flat_map(|line| folded(line, room)).collect()
}

/// A line broken where it does not fit, the rest of it as far in as its beginning.
fn folded(line: &str, room: usize) -> Vec<String> {
    if text::width(line) <= room {
        return vec![line.to_owned()];
    }
    let inset = line.len() - line.trim_start().len();
    let broken = text::wrap(line, room.saturating_sub(inset));
    broken.into_iter().map(|part| format!("{:inset$}{part}", "")).collect()
}

/// Rows of the page at the last drawing. An alarm
/// may take one or two more; then the last lines are reached all the same.
fn room(scene: &Scene, ui: &Ui) -> usize {
    // The names of the faces take a row, where there are others.
    let faces = u16::from(scene.status.back.is_some());
    usize::from(ui.window.1.saturating_sub(3 + faces)).max(1)
}

/// First lines that the page can be scrolled to, so that its end stays at the foot.
fn tops(scene: &Scene, ui: &Ui) -> usize {
    lines(scene, ui).len().saturating_sub(room(scene, ui)) + 1
}

/// Draws the face of the report that is in front: the report itself, or one of
/// those that look back, once there is something to look back at.
pub(super) fn faces(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let Some(back) = &scene.status.back else { return draw(canvas, field, scene, ui) };
    let rest = back::faces(canvas, field, ui);
    match ui.face {
        Face::Report => draw(canvas, rest, scene, ui),
        _ => back::draw(canvas, rest, scene, ui, back),
    }
}

/// Rows that the face in front can be moved by.
pub(super) fn rows(scene: &Scene, ui: &Ui) -> usize {
    match &scene.status.back {
        Some(back) if ui.face != Face::Report => back::rows(back, ui),
        _ => tops(scene, ui),
    }
}

/// Draws the report from the line that it is scrolled to. A line that does not
/// begin with a space and has no stop is a heading.
fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let lines = lines(scene, ui);
    let height = usize::from(field.height);
    let last = tops(scene, ui) - 1;
    // The field is smaller than counted on while there is an alarm: its end is reached all the same.
    let end = lines.len().saturating_sub(height);
    let first = if last > 0 && ui.row >= last { end } else { ui.row.min(last) };
    for (at, line) in lines.iter().skip(first).take(height).enumerate() {
        let y = field.y + u16::try_from(at).unwrap_or(0);
        let heading = !line.starts_with(' ') && !line.ends_with('.');
        let style = if heading { scene.look.ink(Ink::Strong) } else { Style::new() };
        canvas.text(field.x + 1, y, field.width.saturating_sub(2), line, style);
    }
    if first + height < lines.len() && !field.is_empty() {
        let more = format!(" {} PgDn ", scene.look.glyphs().down);
        let y = field.bottom() - 1;
        canvas.text_right(field.x, y, field.width, &more, scene.look.ink(Ink::Strong));
    }
}
