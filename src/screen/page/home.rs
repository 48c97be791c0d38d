//! The home page: what to do now above, the lane chart below, and between them
//! one line that says what the last reshuffle moved and why.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::{list, panel, why};
use crate::plan::change::NOTHING_MOVED;
use crate::run::Changed;
use crate::screen::canvas::{Canvas, bottom, top};
use crate::screen::look::Ink;
use crate::screen::ui::{Sel, Ui};
use crate::screen::{Scene, chart, marks, text};

/// With so many rows (the frame's taken off, and an alarm's) the last reshuffle has two: a window of 30.
const TWO_LINES_FROM: u16 = 25;

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let (rows, scale) = panel::rows(field, scene.look);
    let (above, rest) = top(field, rows);
    panel::draw(canvas, above, scene, scale);
    let (line, rest) = top(rest, if field.height >= TWO_LINES_FROM { 2 } else { 1 });
    changed(canvas, line, scene, ui);
    let (rest, reasons) = bottom(rest, why::rows(rest, scene, ui));
    let free = chart::draw(canvas, rest, scene, ui);
    why::draw(canvas, reasons, scene, ui);
    if !reasons.is_empty() {
        return;
    }
    if free.height >= 5 && scene.view.ending.is_none() {
        list::coming(canvas, top(free, 1).1, scene);
    }
}

/// The chosen block in words, or what the last reshuffle moved and why.
fn changed(canvas: &mut Canvas, line: Rect, scene: &Scene, ui: &Ui) {
    let line = Rect { x: line.x + 1, width: line.width.saturating_sub(2), ..line };
    if line.is_empty() {
        return;
    }
    if let Some(words) = ui.selected.map(|sel| chosen(scene, sel)) {
        canvas.lines(line, &words, scene.look.ink(Ink::Strong));
    } else if let Some(change) = &scene.view.last_change {
        news(canvas, line, scene, change);
    }
}

/// What a reshuffle moved, why, and when that was. With two rows each has its
/// own. With one the reason does without which step it was, and then what moved
/// is clipped.
fn news(canvas: &mut Canvas, line: Rect, scene: &Scene, change: &Changed) {
    let faint = scene.look.ink(Ink::Faint);
    let clock = format!("{} ", text::clock(scene.evening, change.at_ms));
    let moved = text::tame(change.moved.trim_end_matches('.'));
    let why = reason(change);
    let room = usize::from(line.width).saturating_sub(text::width(&clock));
    if line.height < 2 || text::width(&moved) + text::width(&why) <= room {
        let fits = text::width(&moved) + text::width(&why) <= room;
        let why = if fits { why } else { without_brackets(&why) };
        let kept = room.saturating_sub(text::width(&why)).max(room / 4);
        let moved = text::clip(&moved, kept, canvas.cut());
        let pieces = [(clock.as_str(), faint), (&moved, Style::new()), (&why, faint)];
        canvas.pieces(line.x, line.y, line.width, &pieces);
        return;
    }
    canvas.pieces(line.x, line.y, line.width, &[(&clock, faint), (&moved, Style::new())]);
    let indent = u16::try_from(text::width(&clock)).unwrap_or(0).min(line.width);
    let why = why.trim_start_matches([',', ' ']);
    canvas.text(line.x + indent, line.y + 1, line.width - indent, why, faint);
}

/// Why something moved, to stand behind what did: ", because the soup runs over."
fn reason(change: &Changed) -> String {
    let why = text::tame(change.why.trim_end_matches('.'));
    if why.is_empty() {
        return ".".to_owned();
    }
    // What stays is no consequence of what happened.
    match why.strip_prefix("because ").filter(|_| change.moved == NOTHING_MOVED) {
        Some(rest) => format!(", though {rest}."),
        None => format!(", {why}."),
    }
}

/// "because the fritters (fry, 2 of 2) overran" without what is in brackets.
fn without_brackets(words: &str) -> String {
    match (words.find(" ("), words.find(')')) {
        (Some(from), Some(to)) if from < to => {
            let (head, _) = words.split_at(from);
            let (_, tail) = words.split_at(to + 1);
            format!("{head}{tail}")
        }
        _ => words.to_owned(),
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
