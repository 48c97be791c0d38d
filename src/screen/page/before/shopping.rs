//! What to buy: all dishes together, by aisle, to be ticked off.

use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use super::sections::{self, Line, ticked};
use super::table::{Column, rest, words, write};
use crate::mise::shopping::{self, ShoppingList};
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, bottom, left, top};
use crate::screen::look::Ink;
use crate::screen::ui::Ui;

/// From this width on what is behind a line stands beside the list, not below.
const SIDE_BY_SIDE: u16 = 116;

/// Lines in the order of the page: what to buy by aisle, then what is at hand.
fn ordered(list: &ShoppingList) -> Vec<&shopping::Line> {
    let buy = list.aisles().flat_map(|(_, lines)| lines);
    buy.chain(list.at_hand()).collect()
}

/// The list of the dishes that are made.
fn list(scene: &Scene) -> ShoppingList {
    shopping::list_without(scene.evening, &scene.view.dropped)
}

/// How many lines can be chosen.
pub(super) fn rows(scene: &Scene) -> usize {
    list(scene).lines.len()
}

/// What a tick on a row is about.
pub(super) fn tick(scene: &Scene, row: usize) -> Option<String> {
    ordered(&list(scene)).get(row).map(|line| tick_of(line))
}

fn tick_of(line: &shopping::Line) -> String {
    format!("buy/{}", line.id)
}

/// Box, item, what to buy, whose.
fn columns(width: u16) -> [Column; 4] {
    let left = rest(width, &[4]);
    let name = (left * 3 / 10).clamp(16, 34);
    let buy = (left * 3 / 10).clamp(18, 30);
    [words(4), words(name), words(buy), words(left.saturating_sub(name + buy))]
}

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let list = list(scene);
    let ordered = ordered(&list);
    let (head, field) = top(field, 1);
    summary(canvas, head, scene, &list);
    let (field, beside) = if field.width >= SIDE_BY_SIDE {
        left(field, (field.width * 65 / 100).max(80))
    } else {
        bottom(field, (field.height / 4).clamp(3, 6))
    };
    let lines = lines(&list);
    let columns = columns(field.width);
    sections::draw(canvas, field, scene, (&lines, ui.row), &mut |canvas, place, number, chosen| {
        if let Some(line) = ordered.get(number) {
            row(canvas, place, scene, &columns, (line, chosen));
        }
    });
    let inset = Rect { x: beside.x + 1, width: beside.width.saturating_sub(2), ..beside };
    behind(canvas, inset, scene, &list, ordered.get(ui.row).copied());
}

/// "3 of 74 ticked off; for 9 dishes".
fn summary(canvas: &mut Canvas, row: Rect, scene: &Scene, list: &ShoppingList) {
    let to_buy: Vec<&shopping::Line> = list.lines.iter().filter(|l| l.buy.is_some()).collect();
    let done = to_buy.iter().filter(|l| scene.view.ticked.contains(&tick_of(l))).count();
    let words = format!("{} of {} bought, for {} dishes", done, to_buy.len(), list.dishes.len());
    let room = row.width.saturating_sub(2);
    canvas.text(row.x + 1, row.y, room, &words, scene.look.ink(Ink::Strong));
}

fn lines(list: &ShoppingList) -> Vec<Line> {
    let mut number = 0..;
    let mut lines = Vec::new();
    let mut add = |lines: &mut Vec<Line>, head: &str, count: usize| {
        lines.push(Line::Head(head.to_owned()));
        lines.extend(number.by_ref().take(count).map(Line::Row));
    };
    for (aisle, of_aisle) in list.aisles() {
        add(&mut lines, aisle.title(), of_aisle.len());
    }
    let at_hand = list.at_hand().count();
    if at_hand > 0 {
        add(&mut lines, "Nothing to buy, but see that it is there", at_hand);
    }
    lines
}

fn row(
    canvas: &mut Canvas,
    place: Rect,
    scene: &Scene,
    columns: &[Column],
    (line, chosen): (&shopping::Line, bool),
) {
    let done = scene.view.ticked.contains(&tick_of(line));
    let style = match (chosen, done) {
        (true, _) => scene.look.ink(Ink::Chosen),
        (_, true) => scene.look.ink(Ink::Faint).add_modifier(Modifier::CROSSED_OUT),
        _ => Style::new(),
    };
    if chosen {
        canvas.fill(place, " ", style);
    }
    let cells = [ticked(done).to_owned(), line.called(), line.to_buy(), line.shared()];
    write(canvas, place, columns, &cells, style);
}

/// What the chosen line was reckoned from, then what the list cannot answer for.
fn behind(
    canvas: &mut Canvas,
    field: Rect,
    scene: &Scene,
    list: &ShoppingList,
    line: Option<&shopping::Line>,
) {
    let mut rest = field;
    let mut say = |canvas: &mut Canvas, words: &str, style: Style| {
        let used = canvas.lines(rest, words, style).min(rest.height);
        rest = Rect { y: rest.y + used, height: rest.height - used, ..rest };
    };
    if let Some(line) = line {
        let head = format!("{}: {}, for {}", line.called(), line.to_buy(), line.shared());
        say(canvas, &head, scene.look.ink(Ink::Strong));
        for words in line.behind() {
            say(canvas, &words, Style::new());
        }
    }
    for note in &list.notes {
        let words = format!("{} {note}.", scene.look.glyphs().late);
        say(canvas, &words, scene.look.ink(Ink::Strong));
    }
}
