//! Draws the desk.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::{Bring, Desk, brought};
use crate::screen::canvas::{Canvas, Hit, Hits, bottom, middle, top};
use crate::screen::card::visible;
use crate::screen::form::{self, Sort};
use crate::screen::look::Ink;
use crate::screen::text;

/// Draws the desk, or the form that is open on it, at any size; gives what a pointer hits where.
pub fn draw(field: Rect, buf: &mut Buffer, desk: &Desk) -> Hits {
    let mut hits = Hits::default();
    let field = field.intersection(buf.area);
    if field.is_empty() {
        return hits;
    }
    let mut canvas = Canvas::new(buf, field, &mut hits, desk.look);
    match &desk.form {
        Some(form) => form::draw(&mut canvas, field, form, &desk.known),
        None => shelf(&mut canvas, field, desk),
    }
    hits
}

fn shelf(canvas: &mut Canvas, field: Rect, desk: &Desk) {
    let band = canvas.look.ink(Ink::Band);
    let (head, rest) = top(field, 1);
    canvas.fill(head, " ", band);
    canvas.text(head.x, head.y, head.width, " Your desk: parties, recipes, kitchens", band);
    let (rest, foot) = bottom(rest, 1);
    keys(canvas, foot, desk);
    let (rest, say) = bottom(rest, 1);
    let strong = canvas.look.ink(Ink::Strong);
    if let Some(words) = &desk.say {
        canvas.text(say.x + 1, say.y, say.width.saturating_sub(2), words, strong);
    }
    let (tabs, rest) = top(rest, 1);
    draw_tabs(canvas, tabs, desk);
    let (find, rest) = top(rest, 2);
    match desk.typed.is_empty() {
        true => {
            let words = "  type a part of a name to find it";
            canvas.text(find.x, find.y, find.width, words, canvas.look.ink(Ink::Faint));
        }
        false => {
            let words = format!("  find: {}_", desk.typed);
            canvas.text(find.x, find.y, find.width, &words, strong);
        }
    }
    rows(canvas, rest, desk);
    if desk.menu.is_some() || desk.export.is_some() || desk.bring.is_some() {
        canvas.hit(field, Hit::Nothing);
    }
    menu(canvas, field, desk);
    if let Some(bring) = &desk.bring {
        brought::draw(canvas, field, bring);
    }
}

fn draw_tabs(canvas: &mut Canvas, row: Rect, desk: &Desk) {
    let mut x = row.x + 1;
    for (at, sort) in Sort::ALL.into_iter().enumerate() {
        let word = match sort {
            Sort::Party => " Parties ",
            Sort::Recipe => " Recipes ",
            Sort::Kitchen => " Kitchens ",
            Sort::Settings => " Settings ",
        };
        let ink = if sort == desk.sort { Ink::Chosen } else { Ink::Plain };
        let room = row.right().saturating_sub(x);
        let width = canvas.text(x, row.y, room, word, canvas.look.ink(ink));
        canvas.hit(Rect { x, width, ..row }, Hit::Shelf(at));
        x += width + 1;
    }
    canvas.text(
        x + 1,
        row.y,
        row.right().saturating_sub(x + 1),
        "Tab: the next",
        canvas.look.ink(Ink::Faint),
    );
}

fn rows(canvas: &mut Canvas, field: Rect, desk: &Desk) {
    let things = desk.things();
    let (first, count) = visible(things.len(), desk.row, usize::from(field.height));
    let names = (field.width / 2).min(46);
    for ((n, thing), y) in things.iter().enumerate().skip(first).take(count).zip(field.y..) {
        let focus = n == desk.row;
        canvas.hit(Rect { y, height: 1, ..field }, Hit::Row(n));
        let style = canvas.look.ink(if focus { Ink::Chosen } else { Ink::Plain });
        let faint = canvas.look.ink(Ink::Faint);
        let own = match (thing.broken, thing.own && thing.id.is_some(), thing.id.is_some()) {
            (true, _, _) => "!",
            (_, true, _) => "*",
            _ => " ",
        };
        canvas.text(field.x + 1, y, 1, own, canvas.look.ink(Ink::Strong));
        let room = usize::from(names.saturating_sub(4));
        let title =
            if focus { text::fit(&thing.title, room, canvas.cut()) } else { thing.title.clone() };
        canvas.text(field.x + 3, y, names.saturating_sub(4), &title, style);
        let room = field.width.saturating_sub(names + 1);
        canvas.text(field.x + names, y, room, &thing.more, faint);
    }
    let used = u16::try_from(count).unwrap_or(field.height);
    if desk.sort != Sort::Settings && used + 2 <= field.height && desk.typed.is_empty() {
        let words = match desk.sort {
            Sort::Party => "Parties that you saved stand here, the evening is one Enter away.",
            _ => "* your own; the others are built in: copy one to change it.",
        };
        let y = field.y + used + 1;
        canvas.text(
            field.x + 3,
            y,
            field.width.saturating_sub(4),
            words,
            canvas.look.ink(Ink::Faint),
        );
    }
}

fn keys(canvas: &mut Canvas, row: Rect, desk: &Desk) {
    let back = if desk.typed.is_empty() { "leave" } else { "all again" };
    let asks = matches!(desk.bring, Some(Bring::Ask { .. }));
    let all = match (desk.menu.is_some(), desk.export.is_some()) {
        _ if asks => [("Enter", "read it"), ("Esc", "leave it"), ("", "")],
        (_, true) => [("Enter", "write it"), ("Esc", "leave it"), ("", "")],
        (true, _) => [("Enter", "do it"), ("Esc", "back"), ("", "")],
        _ => [("Enter", "open"), ("Tab", "next shelf"), ("Esc", back)],
    };
    let mut x = row.x;
    for (key, words) in all.into_iter().filter(|k| !k.0.is_empty()) {
        let pieces =
            [(format!(" {key} "), canvas.look.ink(Ink::Key)), (format!(" {words}"), Style::new())];
        let pieces: Vec<(&str, Style)> = pieces.iter().map(|(t, s)| (t.as_str(), *s)).collect();
        x += canvas.pieces(x, row.y, row.right().saturating_sub(x), &pieces) + 2;
    }
}

fn menu(canvas: &mut Canvas, field: Rect, desk: &Desk) {
    let title = desk.chosen().map_or_else(String::new, |t| t.title);
    if let Some((_, path)) = &desk.export {
        let recipe = desk.sort == Sort::Recipe;
        let card = middle(field, 70.min(field.width), 6.min(field.height));
        let inside = canvas.card(card, &title, Style::new());
        let words = match recipe {
            true => "Write it as schema.org JSON-LD, what that can say of it:",
            false => "Write it, with its recipes and its kitchen, into one file:",
        };
        canvas.text(inside.x + 1, inside.y, inside.width.saturating_sub(2), words, Style::new());
        // The end of a long path is what is being typed.
        let room = usize::from(inside.width.saturating_sub(4)).max(1);
        let skip = path.chars().count().saturating_sub(room);
        let shown: String = path.chars().skip(skip).chain(std::iter::once('_')).collect();
        let y = inside.y + 2;
        if y < inside.bottom() {
            canvas.text(
                inside.x + 1,
                y,
                inside.width.saturating_sub(2),
                &shown,
                canvas.look.ink(Ink::Strong),
            );
        }
        return;
    }
    let Some(at) = desk.menu else { return };
    let deeds = desk.deeds();
    let rows = u16::try_from(deeds.len()).unwrap_or(8);
    let card = middle(field, 56.min(field.width), (rows + 2).min(field.height));
    let inside = canvas.card(card, &title, Style::new());
    for ((n, deed), y) in deeds.iter().enumerate().zip(inside.y..inside.bottom()) {
        canvas.hit(Rect { y, height: 1, ..inside }, Hit::Row(n));
        let style = canvas.look.ink(if n == at { Ink::Chosen } else { Ink::Plain });
        let words =
            text::fit(&format!(" {}", deed.words()), usize::from(inside.width), canvas.cut());
        canvas.text(inside.x, y, inside.width, &words, style);
    }
}
