//! Windows too small for pages: one column with what to do now, or one line.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::told::Told;
use super::{focus, frame, letter};
use crate::run::Prompt;
use crate::screen::Scene;
use crate::screen::bigtype;
use crate::screen::canvas::{Canvas, bottom, top};
use crate::screen::look::Ink;
use crate::screen::text;
use crate::screen::ui::Ui;

/// Below this size there is one line only.
const ONE_LINE: (u16, u16) = (24, 6);

/// Draws what fits.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    if field.width < ONE_LINE.0 || field.height < ONE_LINE.1 {
        one_line(canvas, field, scene);
    } else {
        column(canvas, field, scene, ui);
    }
}

/// The most pressing thing in a line, and how much room there should be.
fn one_line(canvas: &mut Canvas, field: Rect, scene: &Scene) {
    let strong = scene.look.ink(Ink::Strong);
    let first = match (Told::of(scene), focus(scene.view)) {
        (Some(told), _) => told.bundle.map_or(told.alarm.title.clone(), |b| b.title),
        (None, Some(p)) => words(scene, p),
        (None, None) => super::panel::nothing_to_do(scene).to_owned(),
    };
    canvas.text(field.x, field.y, field.width, &first, strong);
    if field.height > 1 {
        let words = format!("needs 60x18, has {}x{}", field.width, field.height);
        canvas.text(field.x, field.y + 1, field.width, &words, Style::new());
    }
}

fn words(scene: &Scene, prompt: &Prompt) -> String {
    let (digits, _) = text::countdown(prompt.due_ms, scene.view.now_ms);
    format!("{digits} {} {}", letter(scene, prompt.dish), prompt.short)
}

fn column(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let strong = scene.look.ink(Ink::Strong);
    let now = scene.view.now_ms;
    let (head, rest) = top(field, 1);
    canvas.fill(head, " ", scene.look.ink(Ink::Band));
    let title = format!(" {}  {}", text::clock(scene.evening, now), scene.evening.party.title);
    canvas.text(head.x, head.y, head.width, &title, scene.look.ink(Ink::Band));
    let (rest, foot) = bottom(rest, 1);
    frame::footer(canvas, foot, scene, ui);
    let rows = if rest.height >= 5 { frame::echo_rows(rest, scene, ui) } else { 0 };
    let (rest, echo) = bottom(rest, rows);
    if !echo.is_empty() {
        frame::echo_line(canvas, echo, scene, ui);
    }
    let mut rest = rest;
    if let Some(told) = Told::of(scene) {
        let (band, below) = top(rest, 1);
        let style = told.style(canvas);
        canvas.fill(band, " ", style);
        let words = told.words(canvas, scene);
        canvas.text(band.x, band.y, band.width, &words, style);
        rest = below;
    }
    let Some(prompt) = focus(scene.view) else {
        canvas.text(rest.x, rest.y, rest.width, super::panel::nothing_to_do(scene), strong);
        held(canvas, top(rest, 1).1, scene);
        return;
    };
    let (digits, unit) = text::countdown(prompt.due_ms, now);
    let (wide, tall) = bigtype::size(&digits, 1, canvas.look);
    if rest.height >= tall + 4 && wide + 6 < rest.width {
        bigtype::draw(canvas, rest.x + 1, rest.y, &digits, 1, strong);
        let x = rest.x + 2 + wide;
        canvas.text(x, rest.y + tall - 1, rest.right().saturating_sub(x), unit, strong);
        rest = top(rest, tall + 1).1;
    }
    let used = canvas.lines(top(rest, 2).0, &words(scene, prompt), strong);
    rest = top(rest, used).1;
    for next in scene.view.do_now.iter().chain(&scene.view.next).skip(1) {
        let (row, below) = top(rest, 1);
        if row.is_empty() {
            break;
        }
        let due = text::due(next.due_ms, now);
        let words = format!("{due}: {} {}", letter(scene, next.dish), next.short);
        canvas.text(row.x, row.y, row.width, &words, Style::new());
        rest = below;
    }
    held(canvas, rest, scene);
}

/// What waits and what stands on the table, a row each.
fn held(canvas: &mut Canvas, mut rest: Rect, scene: &Scene) {
    for held in &scene.view.holding {
        let (row, below) = top(rest, 1);
        if row.is_empty() {
            break;
        }
        let (limit, words) = super::panel::nearest(held, scene.view.now_ms);
        let line = format!("{} {words}", letter(scene, Some(held.dish)));
        canvas.text(row.x, row.y, row.width, &line, scene.look.limit(limit.state));
        rest = below;
    }
}
