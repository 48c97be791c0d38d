//! All alarms: what is wrong, what follows if nothing is done, what to do.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::told::{self, Told};
use crate::pages::CAUTION;
use crate::run::{Alarm, alarms};
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, Hit, bottom, top};
use crate::screen::card::visible;
use crate::screen::look::Ink;
use crate::screen::text;
use crate::screen::ui::Ui;

/// Rows of an alarm.
const TALL: u16 = 4;

/// "28 min left, " until the harm is done.
fn time_left(scene: &Scene, alarm: &Alarm) -> String {
    match alarm.harm_ms.map(|at| at - scene.view.now_ms).filter(|left| *left > 0) {
        Some(left) => format!("{} left, ", text::span(left)),
        None => String::new(),
    }
}

/// What is held back by design, so that nobody wonders where it is.
fn draw_held_back(canvas: &mut Canvas, row: Rect, scene: &Scene) {
    if row.is_empty() {
        return;
    }
    let titles: Vec<&str> = scene.view.held_back.iter().map(|a| a.title.as_str()).collect();
    let words = format!("Held back, a worse one of the same stands: {}", titles.join("; "));
    canvas.text(row.x + 1, row.y, row.width.saturating_sub(2), &words, scene.look.ink(Ink::Faint));
}

/// What came up together and was not seen yet, two rows each; gives the rest.
fn draw_bundles(canvas: &mut Canvas, field: Rect, scene: &Scene) -> Rect {
    let bundles = alarms::bundles(scene.evening, &scene.view.alarms, scene.view.now_ms);
    let mut rest = field;
    for bundle in bundles {
        let (rows, below) = top(rest, 2);
        rest = below;
        if rows.is_empty() {
            break;
        }
        let wide = rows.width.saturating_sub(2);
        canvas.text(rows.x + 1, rows.y, wide, &bundle.title, scene.look.ink(Ink::Strong));
        if rows.height > 1 {
            let words = bundle.words();
            canvas.text(rows.x + 3, rows.y + 1, wide.saturating_sub(2), &words, Style::new());
        }
    }
    if rest.height < field.height { top(rest, 1).1 } else { rest }
}

/// The most pressing alarm in a row of its own, if the list is so long that it is not among those `shown`, and no
/// bundle names it; gives the rest.
fn draw_told(canvas: &mut Canvas, field: Rect, scene: &Scene, shown: (usize, usize)) -> Rect {
    let Some(told) = Told::of(scene).filter(|told| told.bundle.is_none()) else { return field };
    let at = scene.view.alarms.iter().position(|a| a.key == told.alarm.key);
    if at.is_none_or(|at| (shown.0..shown.0 + shown.1).contains(&at)) {
        return field;
    }
    let (row, rest) = top(field, 1);
    let style = told.style(canvas);
    canvas.fill(row, " ", style);
    let words = told.words(canvas, scene);
    canvas.text(row.x + 1, row.y, row.width.saturating_sub(2), &words, style);
    rest
}

/// Draws the list.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let (rest, caution) = bottom(field, 1);
    let (rest, held_back) = bottom(rest, u16::from(!scene.view.held_back.is_empty()));
    draw_held_back(canvas, held_back, scene);
    canvas.text(caution.x + 1, caution.y, caution.width, CAUTION, scene.look.ink(Ink::Faint));
    let alarms = &scene.view.alarms;
    if alarms.is_empty() {
        canvas.text(rest.x + 1, rest.y + 1, rest.width, "No alarms.", Style::new());
        return;
    }
    let rest = draw_bundles(canvas, rest, scene);
    let shown = |rest: Rect| {
        let room = usize::from(rest.height / (TALL + 1)).max(1);
        visible(alarms.len(), ui.row, room)
    };
    let rest = draw_told(canvas, rest, scene, shown(rest));
    let (first, count) = shown(rest);
    let mut field = rest;
    for index in first..first + count {
        let Some(alarm) = alarms.get(index) else { continue };
        let (strip, below) = top(field, TALL + 1);
        field = below;
        let (head, body) = top(strip, 1);
        if head.is_empty() {
            break;
        }
        let style = told::alarm_style(canvas, alarm);
        let mark = if index == ui.row { ">" } else { " " };
        canvas.text(head.x, head.y, 1, mark, scene.look.ink(Ink::Strong));
        let words = format!(" {} ", told::alarm_words(canvas, scene, alarm));
        let since = format!(
            "{}since {} ",
            time_left(scene, alarm),
            text::clock(scene.evening, alarm.raised_ms)
        );
        let taken = u16::try_from(text::width(&since)).unwrap_or(16) + 3;
        canvas.text(head.x + 2, head.y, head.width.saturating_sub(taken), &words, style);
        canvas.text_right(head.x, head.y, head.width, &since, scene.look.ink(Ink::Faint));
        let rows = [("", &alarm.cause), ("else", &alarm.consequence), ("do", &alarm.remedy)];
        let mut body = Rect { x: body.x + 3, width: body.width.saturating_sub(4), ..body };
        for (name, words) in rows {
            let (row, below) = top(body, 1);
            body = below;
            if row.is_empty() {
                break;
            }
            canvas.text(row.x, row.y, 5, name, scene.look.ink(Ink::Faint));
            let ink = if name == "do" { scene.look.ink(Ink::Strong) } else { Style::new() };
            canvas.text(row.x + 6, row.y, row.width.saturating_sub(6), words, ink);
        }
        canvas.hit(strip, Hit::Row(index));
    }
    if first + count < alarms.len() {
        let more = format!("{} {} more", scene.look.glyphs().down, alarms.len() - first - count);
        canvas.text_right(caution.x, caution.y, caution.width, &more, scene.look.ink(Ink::Strong));
    }
}
