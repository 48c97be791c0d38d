//! The dishes of the menu, a row each.

use ratatui::layout::Rect;
use ratatui::style::Style;

use crate::kitchen::Sheet;
use crate::kitchen::menu::{Warmth, by_course};
use crate::pages::menu::{cooks_on, cooks_on_words};
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, Hit, top};
use crate::screen::card::visible;
use crate::screen::look::Ink;
use crate::screen::ui::Ui;

use super::super::table::{Column, name, number, rest, words, write};

const COURSE: u16 = 9;

/// Course, letter, title, servings, warmth, service, stations.
fn columns(width: u16) -> [Column; 7] {
    let left = rest(width, &[COURSE, 2, 5, 7]);
    let title = (left * 4 / 10).clamp(12, 36).min(left);
    let service = (left / 6).clamp(9, 16).min(left - title);
    let stations = left - title - service;
    [words(COURSE), words(2), words(title), number(5), words(7), words(service), words(stations)]
}

/// Draws the list.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let (head, list) = top(field, 1);
    let columns = columns(field.width);
    let faint = scene.look.ink(Ink::Faint);
    let heads = ["course", "", "dish", "for", "served", "service", "cooks on"];
    write(canvas, head, &columns, &heads, faint);
    let order = by_course(scene.evening);
    if order.is_empty() {
        canvas.text(list.x + 1, list.y, list.width, "No dishes yet.", faint);
        return;
    }
    let (first, count) = visible(order.len(), ui.row, usize::from(list.height));
    let mut last = None;
    for (at, index) in (first..first + count).enumerate() {
        let Some(&dish) = order.get(index) else { continue };
        let Some(sheet) = scene.evening.sheets.get(dish) else { continue };
        let line = Rect { y: list.y + u16::try_from(at).unwrap_or(0), height: 1, ..list };
        let is_new = last.replace(sheet.recipe.course) != Some(sheet.recipe.course);
        row(canvas, line, scene, &columns, (dish, sheet), (is_new, index == ui.row));
        canvas.hit(line, Hit::Row(index));
    }
    let below = order.len() - first - count;
    if below > 0 && !list.is_empty() {
        let more = format!("{} {below} more", scene.look.glyphs().down);
        let strong = scene.look.ink(Ink::Strong);
        canvas.text_right(list.x, list.bottom() - 1, list.width, &more, strong);
    }
}

fn row(
    canvas: &mut Canvas,
    line: Rect,
    scene: &Scene,
    columns: &[Column; 7],
    (dish, sheet): (usize, &Sheet),
    (names_course, is_chosen): (bool, bool),
) {
    let dropped = scene.view.dropped.contains(&dish);
    let style = match (is_chosen, dropped) {
        (true, _) => scene.look.ink(Ink::Chosen),
        (false, true) => scene.look.ink(Ink::Faint),
        _ => Style::new(),
    };
    if is_chosen {
        canvas.fill(line, " ", style);
    }
    let course = if names_course { sheet.recipe.course.word() } else { "" };
    let service = scene.evening.party.services.get(sheet.service);
    let service = service.map_or(String::new(), |s| s.title.clone());
    let stations = if dropped { "not made".to_owned() } else { cooks_on_words(&cooks_on(sheet)) };
    let cells = [
        course.to_owned(),
        String::new(),
        name(sheet, columns[2]),
        sheet.servings.to_string(),
        Warmth::of(&sheet.recipe).word().to_owned(),
        service,
        stations,
    ];
    write(canvas, line, columns, &cells, style);
    let tag = sheet.letter.to_string();
    canvas.text(line.x + 1 + COURSE, line.y, 1, &tag, scene.look.tag(dish));
}
