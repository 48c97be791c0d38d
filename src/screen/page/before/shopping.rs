//! What to buy: all dishes together, by aisle, to be ticked off.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::flow::Flow;
use super::sections::{self, Line, tickable};
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
    list.headed().flat_map(|(_, lines)| lines).collect()
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
    format!("{}{}", shopping::TICKS, line.id)
}

/// Box, item, what to buy, whose.
fn columns(width: u16) -> [Column; 4] {
    let left = rest(width, &[4]);
    let name = (left * 3 / 10).clamp(16, 34);
    let buy = (left * 3 / 10).clamp(18, 38);
    [words(4), words(name), words(buy), words(left.saturating_sub(name + buy))]
}

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let list = list(scene);
    let ordered = ordered(&list);
    let (head, field) = top(field, 1);
    summary(canvas, head, scene, &list);
    let field = super::to_borrow(canvas, field, scene);
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
    behind(canvas, beside, scene, &list, ordered.get(ui.row).copied());
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
    for (head, under) in list.headed() {
        lines.push(Line::Head(head.to_owned()));
        lines.extend(number.by_ref().take(under.len()).map(Line::Row));
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
    let (tick, style) = tickable(canvas, place, scene, &tick_of(line), chosen);
    let cells = [tick.to_owned(), line.called(), line.to_buy(), line.shared()];
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
    let mut flow = Flow::inset(field);
    if let Some(line) = line {
        let head = format!("{}: {}, for {}", line.called(), line.to_buy(), line.shared());
        flow.say(canvas, &head, scene.look.ink(Ink::Strong));
        for words in line.behind() {
            flow.say(canvas, &words, Style::new());
        }
    }
    flow.notes(canvas, scene, &list.notes);
}
