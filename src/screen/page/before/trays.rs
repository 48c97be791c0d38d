//! What stands ready for each dish, what stays cold until when, and the room.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::flow::Flow;
use super::sections::{more, tickable};
use super::table::{Column, name, number, rest, words, write};
use crate::mise::ticks;
use crate::mise::trays::{self, Tray, Trays, print};
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, Hit, left, top};
use crate::screen::card::visible;
use crate::screen::look::Ink;
use crate::screen::ui::Ui;

/// From this width on the chosen tray stands beside the list, not below.
const SIDE_BY_SIDE: u16 = 116;

fn laid(scene: &Scene) -> Trays {
    let plan = Some(scene.plan).filter(|p| !p.blocks.is_empty());
    trays::lay(scene.evening, plan, &scene.view.dropped)
}

/// How many trays can be chosen.
pub(super) fn rows(scene: &Scene) -> usize {
    scene.evening.sheets.len().saturating_sub(scene.view.dropped.len())
}

/// What a tick on a row is about.
pub(super) fn tick(scene: &Scene, row: usize) -> Option<String> {
    laid(scene).trays.get(row).map(tick_of)
}

fn tick_of(tray: &Tray) -> String {
    format!("{}{}", ticks::TRAYS, tray.dish)
}

/// Box, letter, dish, on the counter, cold, first out.
fn columns(width: u16) -> [Column; 6] {
    let left = rest(width, &[4, 2, 9, 6, 18]);
    [words(4), words(2), words(left), number(9), number(6), words(18)]
}

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let trays = laid(scene);
    let rest = room(canvas, field, scene, &trays);
    let (list, beside) = if rest.width >= SIDE_BY_SIDE {
        left(rest, (rest.width / 2).max(60))
    } else {
        let rows = u16::try_from(trays.trays.len()).unwrap_or(u16::MAX);
        top(rest, rows.saturating_add(1).min(rest.height / 2))
    };
    let (head, list) = top(list, 1);
    let columns = columns(list.width);
    let heads = ["", "", "dish", "counter", "cold", "  first out"];
    write(canvas, head, &columns, &heads, scene.look.ink(Ink::Faint));
    let (first, count) = visible(trays.trays.len(), ui.row, usize::from(list.height));
    for (at, index) in (first..first + count).enumerate() {
        let Some(tray) = trays.trays.get(index) else { continue };
        let place = Rect { y: list.y + u16::try_from(at).unwrap_or(0), height: 1, ..list };
        row(canvas, place, scene, &columns, (tray, index == ui.row));
        canvas.hit(place, Hit::Row(index));
    }
    more(canvas, list, scene, (first, count, trays.trays.len()));
    if let Some(tray) = trays.trays.get(ui.row) {
        chosen(canvas, beside, scene, tray);
    }
}

/// Counter and fridge, and what does not fit; gives what is left of the field.
fn room(canvas: &mut Canvas, field: Rect, scene: &Scene, trays: &Trays) -> Rect {
    let mut flow = Flow::inset(field);
    flow.say(canvas, &print::room(scene.evening, trays).join(" "), Style::new());
    flow.notes(canvas, scene, &trays.notes);
    Rect { x: field.x, width: field.width, ..flow.rest }
}

fn row(
    canvas: &mut Canvas,
    place: Rect,
    scene: &Scene,
    columns: &[Column],
    (tray, is_chosen): (&Tray, bool),
) {
    let (tick, style) = tickable(canvas, place, scene, &tick_of(tray), is_chosen);
    let out = print::by_time(tray).iter().find_map(|c| c.out_at);
    let out = out.map_or_else(String::new, |at| format!("  {}", scene.evening.face.label(at)));
    let dish = scene.evening.dish_index(&tray.dish);
    let sheet = dish.and_then(|d| scene.evening.sheets.get(d));
    let cells = [
        tick.to_owned(),
        String::new(),
        sheet.map_or_else(|| tray.title.clone(), |sheet| name(sheet, columns[2])),
        tray.counter.len().to_string(),
        tray.cold.len().to_string(),
        out,
    ];
    write(canvas, place, columns, &cells, style);
    let tag = dish.map_or(style, |dish| scene.look.tag(dish));
    let x = place.x + 1 + columns.first().map_or(0, |c| c.wide);
    canvas.text(x, place.y, 1, &tray.letter.to_string(), tag);
}

/// Everything of the chosen tray, and when it leaves the cold.
fn chosen(canvas: &mut Canvas, field: Rect, scene: &Scene, tray: &Tray) {
    let mut flow = Flow::inset(field);
    let head = format!("{} {}", tray.letter, tray.title);
    flow.say(canvas, &head, scene.look.ink(Ink::Strong));
    flow.say(canvas, "On the counter", scene.look.ink(Ink::Service));
    flow.say(canvas, &print::ready(tray), Style::new());
    if !tray.cold.is_empty() {
        flow.say(canvas, "Cold until it is wanted", scene.look.ink(Ink::Service));
    }
    for cold in print::by_time(tray) {
        let store = print::store(cold.kept);
        let until = print::until(scene.evening, cold);
        flow.say(canvas, &format!("{store}: {}{until}", cold.thing.words()), Style::new());
    }
}
