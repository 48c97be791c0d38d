//! The holding board: what waits or stands on the table, the nearest limit on top.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::letter;
use crate::pages::holding::NOTHING;
use crate::run::{Holding, Limit};
use crate::screen::canvas::{Canvas, Hit, bottom, top};
use crate::screen::card::visible;
use crate::screen::look::Ink;
use crate::screen::ui::Ui;
use crate::screen::{Scene, marks, text};

/// Draws the board.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let (rest, caution) = bottom(field, 1);
    let words = "Local food safety rules and package directions win over these figures.";
    canvas.text(caution.x + 1, caution.y, caution.width, words, scene.look.ink(Ink::Faint));
    let rows: Vec<&Holding> = scene.view.holding.iter().chain(&scene.view.portions).collect();
    if rows.is_empty() {
        canvas.text(rest.x + 1, rest.y + 1, rest.width, NOTHING, Style::new());
        return;
    }
    let tall: u16 =
        if rest.height / u16::try_from(rows.len()).unwrap_or(u16::MAX).max(1) >= 4 { 4 } else { 3 };
    let (head, list) = top(rest, 1);
    header(canvas, head, scene);
    let room = usize::from(list.height / tall);
    let (first, count) = visible(rows.len(), ui.row, room);
    for (at, index) in (first..first + count).enumerate() {
        let Some(held) = rows.get(index) else { continue };
        let y = list.y + u16::try_from(at).unwrap_or(0) * tall;
        let strip = Rect { y, height: tall, ..list }.intersection(list);
        entry(canvas, strip, scene, held, index == ui.row);
        canvas.hit(strip, Hit::Row(index));
    }
    if first + count < rows.len() && !list.is_empty() {
        let more = format!("{} {} more", scene.look.glyphs().down, rows.len() - first - count);
        let y = list.bottom() - 1;
        canvas.text_right(list.x, y, list.width, &more, scene.look.ink(Ink::Strong));
    }
}

/// Columns of the board: where each begins, as shares of its width.
fn columns(width: u16) -> [u16; 4] {
    [0, 4, width * 42 / 100, width * 71 / 100]
}

fn header(canvas: &mut Canvas, row: Rect, scene: &Scene) {
    let style = scene.look.ink(Ink::Faint);
    let [_, dish, best, safe] = columns(row.width);
    canvas.text(row.x + dish, row.y, best.saturating_sub(dish), "dish and place", style);
    canvas.text(row.x + best, row.y, safe - best, "at its best", style);
    canvas.text(row.x + safe, row.y, row.width - safe, "may be eaten", style);
}

fn entry(canvas: &mut Canvas, strip: Rect, scene: &Scene, held: &Holding, chosen: bool) {
    if strip.is_empty() {
        return;
    }
    let [_, dish, best, safe] = columns(strip.width);
    let strong = scene.look.ink(Ink::Strong);
    let now = scene.view.now_ms;
    let y = strip.y;
    if chosen {
        canvas.text(strip.x, y, 1, ">", strong);
    }
    let tag = letter(scene, Some(held.dish));
    canvas.text(strip.x + 1, y, 2, &tag, scene.look.tag(held.dish));
    let title = scene.evening.sheets.get(held.dish).map_or("", |s| s.recipe.title.as_str());
    let title = match held.part {
        Some(part) => format!("part {part}: {title}"),
        None => title.to_owned(),
    };
    canvas.text(strip.x + dish, y, (best - dish).saturating_sub(1), &title, strong);
    let mut limit = |from: u16, to: u16, limit: &Limit, gone: &str| {
        let words = limit.words(now, "", gone);
        let at = limit.at_ms.map(|at| format!(" ({})", text::clock(scene.evening, at)));
        let style = scene.look.limit(limit.state);
        let room = to.saturating_sub(from + 1);
        let pieces = [(words.as_str(), style), (at.as_deref().unwrap_or(""), Style::new())];
        canvas.pieces(strip.x + from, y, room, &pieces);
    };
    limit(best, safe, &held.best, "PAST ITS BEST");
    limit(safe, strip.width, &held.safe, "PAST SAFE LIMIT");
    let below = Rect { x: strip.x + dish, width: strip.width.saturating_sub(dish + 1), ..strip };
    keeping(canvas, top(below, 1).1, scene, held);
}

/// How a dish is kept and since when, and what to do with it.
fn keeping(canvas: &mut Canvas, field: Rect, scene: &Scene, held: &Holding) {
    if field.is_empty() {
        return;
    }
    let faint = scene.look.ink(Ink::Faint);
    let kept = held.class.kept();
    let place = if held.served { "on the table" } else { held.place.as_str() };
    let since = text::clock(scene.evening, held.since_ms);
    let taken = held.taken.map_or(String::new(), |(c, at)| {
        let degrees = scene.evening.customs.taken(c);
        format!(", {degrees} at {}", text::clock(scene.evening, at))
    });
    let words = format!("{place}, {kept}, since {since}{taken}");
    canvas.text(field.x, field.y, field.width, &words, Style::new());
    if field.height < 2 {
        return;
    }
    let mut wanted = marks::measures(scene);
    let wanted = wanted.find(|m| (m.dish, m.part) == (held.dish, held.part));
    if let Some(reading) = wanted {
        let words = format!(" measure it ({})", reading.why);
        let pieces = [
            (" t ", scene.look.ink(Ink::Key)),
            (words.as_str(), scene.look.ink(Ink::Strong)),
            ("  ", Style::new()),
            (held.advice.as_str(), faint),
        ];
        canvas.pieces(field.x, field.y + 1, field.width, &pieces);
        return;
    }
    let both = format!("{} ({})", held.advice, held.safe.why);
    let fits = text::width(&both) <= usize::from(field.width);
    let words = if fits { &both } else { &held.advice };
    canvas.text(field.x, field.y + 1, field.width, words, faint);
}
