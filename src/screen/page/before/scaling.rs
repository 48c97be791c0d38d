//! What each dish takes for the servings that are made, and what does not grow.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::flow::Flow;
use super::sections::more;
use super::table::{Column, name, number, rest, words, write};
use crate::mise::scale::print::{head, steps, summary, vessels, would_do};
use crate::mise::scale::{self, Scaled, ScaledAmount, Scaling};
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, Hit, left, top};
use crate::screen::card::visible;
use crate::screen::look::Ink;
use crate::screen::ui::Ui;

/// From this width on the chosen dish stands beside the list, not below.
const SIDE_BY_SIDE: u16 = 116;

fn scaled(scene: &Scene) -> Scaling {
    scale::without(scene.evening, &scene.view.dropped)
}

/// How many dishes can be chosen.
pub(super) fn rows(scene: &Scene) -> usize {
    scene.evening.sheets.len().saturating_sub(scene.view.dropped.len())
}

/// The dish of a row, by its index in the evening.
pub(super) fn dish(scene: &Scene, row: usize) -> Option<usize> {
    let made = (0..scene.evening.sheets.len()).filter(|d| !scene.view.dropped.contains(d));
    made.into_iter().nth(row)
}

/// Id of the dish of a row and the servings that guests and appetite ask for,
/// if it is made for others and somebody comes.
pub(super) fn as_asked(scene: &Scene, row: usize) -> Option<(String, u32)> {
    let scaled = scale::of_dish(scene.evening, dish(scene, row)?, &scene.view.dropped)?;
    let comes = !scene.evening.party.guests.is_empty();
    (comes && scaled.made != scaled.suggested).then_some((scaled.dish, scaled.suggested))
}

/// Letter, dish, servings made, factor, loads at most, servings asked for.
fn columns(width: u16) -> [Column; 6] {
    let left = rest(width, &[2, 6, 8, 7, 7]);
    [words(2), words(left), number(6), number(8), number(7), number(7)]
}

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let scaling = scaled(scene);
    let mut flow = Flow::inset(field);
    flow.say(canvas, &summary(&scaling), scene.look.ink(Ink::Strong));
    let field = Rect { x: field.x, width: field.width, ..flow.rest };
    let (list, beside) = if field.width >= SIDE_BY_SIDE {
        left(field, (field.width * 2 / 5).max(48))
    } else {
        let rows = u16::try_from(scaling.dishes.len()).unwrap_or(u16::MAX);
        top(field, rows.saturating_add(2).min(field.height * 2 / 5))
    };
    let (heads, list) = top(list, 1);
    // The last column is left to the sign that the list goes on.
    let columns = columns(list.width.saturating_sub(1));
    let titles = ["", "dish", "made", "factor", "loads", "asked"];
    write(canvas, heads, &columns, &titles, scene.look.ink(Ink::Faint));
    let (first, count) = visible(scaling.dishes.len(), ui.row, usize::from(list.height));
    for (at, index) in (first..first + count).enumerate() {
        let Some(dish) = scaling.dishes.get(index) else { continue };
        let place = Rect { y: list.y + u16::try_from(at).unwrap_or(0), height: 1, ..list };
        row(canvas, place, scene, &columns, (index, dish, index == ui.row));
        canvas.hit(place, Hit::Row(index));
    }
    more(canvas, list, scene, (first, count, scaling.dishes.len()));
    if let Some(dish) = scaling.dishes.get(ui.row) {
        chosen(canvas, beside, scene, dish);
    }
}

fn row(
    canvas: &mut Canvas,
    place: Rect,
    scene: &Scene,
    columns: &[Column],
    (number, dish, is_chosen): (usize, &Scaled, bool),
) {
    let at = self::dish(scene, number);
    let Some(sheet) = at.and_then(|d| scene.evening.sheets.get(d)) else { return };
    let style = if is_chosen { scene.look.ink(Ink::Chosen) } else { Style::new() };
    if is_chosen {
        canvas.fill(place, " ", style);
    }
    let loads = dish.steps.iter().map(|s| s.loads).max().unwrap_or(1);
    let asked = match dish.suggested {
        _ if scene.evening.party.guests.is_empty() => String::new(),
        same if same == dish.made => scene.look.glyphs().done.to_owned(),
        other => other.to_string(),
    };
    let cells = [
        String::new(),
        name(sheet, columns[1]),
        dish.made.to_string(),
        format!("x {}", dish.factor_words()),
        loads.to_string(),
        asked,
    ];
    write(canvas, place, columns, &cells, style);
    let tag = at.map_or(style, |dish| scene.look.tag(dish));
    canvas.text(place.x + 1, place.y, 1, &sheet.letter.to_string(), tag);
}

/// Everything of the chosen dish.
fn chosen(canvas: &mut Canvas, field: Rect, scene: &Scene, dish: &Scaled) {
    let mut flow = Flow::inset(field);
    let service = scene.look.ink(Ink::Service);
    flow.say(canvas, &head(dish), scene.look.ink(Ink::Strong));
    // The list has the number; the reckoning waits for room.
    if !scene.evening.party.guests.is_empty() && field.height >= 16 {
        flow.say(canvas, &would_do(dish), scene.look.ink(Ink::Faint));
    }
    // What must not be overlooked stands before the long lists where there is little room.
    let tight = field.width < 64 || field.height < 28;
    if tight {
        flow.notes(canvas, scene, &dish.beware.iter().map(|s| plain(s)).collect::<Vec<_>>());
        let all: Vec<String> = dish.amounts.iter().map(in_line).collect();
        flow.say(canvas, &format!("Takes {}.", all.join(", ")), Style::new());
    } else {
        flow.say(canvas, "Takes", service);
        amounts(canvas, &mut flow, scene, &dish.amounts);
    }
    for (word, said) in [("Steps", steps(dish)), ("Pans", vessels(dish))] {
        if said.is_empty() {
            continue;
        }
        if tight {
            flow.say(canvas, &format!("{word}: {}.", said.join("; ")), Style::new());
        } else {
            flow.say(canvas, word, service);
            for line in said {
                flow.indented(canvas, 2, &line, Style::new());
            }
        }
    }
    if !tight {
        flow.notes(canvas, scene, &dish.beware.iter().map(|s| plain(s)).collect::<Vec<_>>());
        flow.say(canvas, scale::print::ROUNDED, scene.look.ink(Ink::Faint));
    }
}

/// Notes bring their own full stop.
fn plain(sentence: &str) -> String {
    sentence.trim_end_matches('.').to_owned()
}

fn in_line(amount: &ScaledAmount) -> String {
    let exactly = if amount.counted { amount.exactly() } else { String::new() };
    let words = match amount.exact {
        Some(_) => format!("{} {} {exactly}", amount.take(), amount.thing()),
        None => format!("{} to taste", amount.item),
    };
    words.trim_end().to_owned()
}

fn amounts(canvas: &mut Canvas, flow: &mut Flow, scene: &Scene, amounts: &[ScaledAmount]) {
    for amount in amounts {
        let (line, rest) = top(flow.rest, 1);
        if line.height == 0 {
            return;
        }
        let left = self::rest(line.width, &[13, 24]);
        let columns = [number(13), words(24), words(left)];
        let exactly = amount.exactly();
        let loud = amount.counted && !exactly.is_empty();
        let style = if loud { scene.look.ink(Ink::Strong) } else { Style::new() };
        write(canvas, line, &columns, &[amount.take(), amount.thing(), exactly], style);
        flow.rest = rest;
    }
}
