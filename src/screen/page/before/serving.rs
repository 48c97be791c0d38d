//! Which serving dish each dish goes to the table in, from when to when, and what clashes.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::flow::Flow;
use super::sections::more;
use super::table::{Column, name, rest, words, write};
use crate::mise::servingware::{Laying, Row, clash_of, rows as rows_of, summary};
use crate::paper;
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, Hit, top};
use crate::screen::card::visible;
use crate::screen::look::Ink;
use crate::screen::ui::Ui;

/// How many rows can be chosen.
pub(super) fn rows(scene: &Scene) -> usize {
    scene.status.laying.as_ref().map_or(1, |l| l.places.len().max(1))
}

/// Letter, dish, from, until, into, how full.
fn columns(width: u16) -> [Column; 6] {
    let left = rest(width, &[2, 7, 7, 16]);
    let dish = (left * 2 / 5).min(34);
    let into = (left - dish).min(60);
    [words(2), words(dish), words(7), words(7), words(into), words(16 + left - dish - into)]
}

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let Some(laying) = scene.status.laying.as_deref() else { return };
    let rows = rows_of(scene.evening, laying);
    let field = super::to_borrow(canvas, field, scene);
    let field = missing(canvas, field, scene, laying);
    let wanted = u16::try_from(rows.len()).unwrap_or(u16::MAX).saturating_add(1);
    let (list, below) = top(field, wanted.min(field.height.saturating_mul(2) / 3));
    let (head, list) = top(list, 1);
    let columns = columns(list.width);
    let heads = ["", "dish", "from", "until", "goes into", "full"];
    write(canvas, head, &columns, &heads, scene.look.ink(Ink::Faint));
    let (first, count) = visible(rows.len(), ui.row, usize::from(list.height));
    for (at, index) in (first..first + count).enumerate() {
        let Some(row) = rows.get(index) else { continue };
        let place = Rect { y: list.y + u16::try_from(at).unwrap_or(0), height: 1, ..list };
        line(canvas, place, scene, &columns, (row, index == ui.row));
        canvas.hit(place, Hit::Row(index));
    }
    more(canvas, list, scene, (first, count, rows.len()));
    if let Some(row) = rows.get(ui.row) {
        chosen(canvas, top(below, 1).1, scene, laying, row);
    }
}

/// What nothing is left for and what to borrow; gives what is left of the field.
fn missing(canvas: &mut Canvas, field: Rect, scene: &Scene, laying: &Laying) -> Rect {
    let mut flow = Flow::inset(field);
    if let Some(words) = summary(scene.evening, laying) {
        let words = format!("{} {words}", scene.look.glyphs().late);
        flow.say(canvas, &words, scene.look.ink(Ink::Strong));
    }
    Rect { x: field.x, width: field.width, ..flow.rest }
}

fn line(
    canvas: &mut Canvas,
    place: Rect,
    scene: &Scene,
    columns: &[Column; 6],
    (row, is_chosen): (&Row, bool),
) {
    let Some(sheet) = scene.evening.sheets.get(row.dish) else { return };
    let style = match (is_chosen, &row.into) {
        (true, _) => scene.look.ink(Ink::Chosen),
        (false, None) => scene.look.ink(Ink::Strong),
        _ => Style::new(),
    };
    if is_chosen {
        canvas.fill(place, " ", style);
    }
    let face = &scene.evening.face;
    let cells = [
        String::new(),
        name(sheet, columns[1]),
        face.label(row.from),
        face.label(row.to),
        row.into.clone().unwrap_or_else(|| "nothing is left".to_owned()),
        row.fill.clone(),
    ];
    write(canvas, place, columns, &cells, style);
    canvas.text(place.x + 1, place.y, 1, &sheet.letter.to_string(), scene.look.tag(row.dish));
}

/// All about the chosen one.
fn chosen(canvas: &mut Canvas, field: Rect, scene: &Scene, laying: &Laying, row: &Row) {
    let Some(sheet) = scene.evening.sheets.get(row.dish) else { return };
    let face = &scene.evening.face;
    let mut flow = Flow::inset(field);
    let head = format!(
        "{}: on the table at {}, cleared at {}",
        sheet.recipe.title,
        face.label(row.served_at),
        face.label(row.to)
    );
    flow.say(canvas, &head, scene.look.ink(Ink::Strong));
    let missing = match &row.into {
        Some(_) => Vec::new(),
        None => clash_of(scene.evening, laying, row.dish),
    };
    for words in row.notes.iter().chain(&missing) {
        flow.say(canvas, &paper::capital(words), Style::new());
    }
}
