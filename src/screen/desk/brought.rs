//! Draws the bringing in: the question for the file, and the source beside its reading.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::bring::Bring;
use crate::bring::beside::{Beside, Part, beside};
use crate::screen::canvas::{Canvas, bottom, middle, top};
use crate::screen::look::Ink;
use crate::screen::text;

/// From this width on the reading stands beside the source, else below it.
const WIDE: u16 = 100;

/// Draws it over the desk.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, bring: &Bring) {
    match bring {
        Bring::Ask { path, why } => ask(canvas, field, path, why.as_deref()),
        Bring::Shown { found, which, scroll, path } => {
            canvas.fill(field, " ", Style::new());
            let (head, rest) = top(field, 1);
            let band = canvas.look.ink(Ink::Band);
            canvas.fill(head, " ", band);
            let Some(one) = found.get(*which) else { return };
            let from = if path.is_empty() { "the pasted text" } else { path.as_str() };
            let words = format!(" Bring in: {}", one.title);
            let right = match found.len() {
                1 => format!("{}, {from} ", one.origin.words()),
                n => format!("{} of {n} in it ", which + 1),
            };
            let right = text::clip(&right, usize::from(head.width / 2), canvas.cut());
            let used = canvas.text_right(head.x, head.y, head.width, &right, band);
            canvas.text(head.x, head.y, head.width.saturating_sub(used + 1), &words, band);
            let (rest, foot) = bottom(rest, 1);
            keys(canvas, foot, found.len() > 1);
            let lines = lines(&beside(one), usize::from(rest.width));
            let most = lines.len().saturating_sub(usize::from(rest.height));
            for (line, y) in lines.iter().skip((*scroll).min(most)).zip(rest.y..rest.bottom()) {
                put(canvas, Rect { y, height: 1, ..rest }, line);
            }
        }
    }
}

fn ask(canvas: &mut Canvas, field: Rect, path: &str, why: Option<&str>) {
    let card = middle(field, 76.min(field.width), 12.min(field.height));
    let inside = canvas.card(card, "Bring in a recipe", Style::new());
    let inside = Rect { x: inside.x + 1, width: inside.width.saturating_sub(2), ..inside };
    let words = "Name its file: a saved page (.html), JSON-LD (.json) or a text (.txt, .md). \
        Or paste the recipe's text here: it is read at once.";
    let used = canvas.lines(inside, words, Style::new());
    let (_, rest) = top(inside, used + 1);
    // The end of a long path is what is being typed.
    let room = usize::from(rest.width.saturating_sub(2)).max(1);
    let skip = path.chars().count().saturating_sub(room);
    let shown: String = path.chars().skip(skip).chain(std::iter::once('_')).collect();
    let (line, rest) = top(rest, 2);
    canvas.text(line.x, line.y, line.width, &shown, canvas.look.ink(Ink::Strong));
    if let Some(why) = why {
        canvas.lines(rest, &format!("! {}", text::tame(why)), canvas.look.ink(Ink::Strong));
    }
}

fn keys(canvas: &mut Canvas, row: Rect, many: bool) {
    let ascii = canvas.look.ascii;
    let arrows = if ascii { "Up/Down" } else { "\u{2191}\u{2193}" };
    let sides = if ascii { "Left/Right" } else { "\u{2190}\u{2192}" };
    let all = [
        Some(("Enter", "take it into a form")),
        Some((arrows, "more")),
        many.then_some((sides, "another of them")),
        Some(("Esc", "back")),
    ];
    let mut x = row.x;
    for (key, words) in all.into_iter().flatten() {
        let (key, words) = (format!(" {key} "), format!(" {words}"));
        let pieces = [(key.as_str(), canvas.look.ink(Ink::Key)), (words.as_str(), Style::new())];
        x += canvas.pieces(x, row.y, row.right().saturating_sub(x), &pieces) + 2;
    }
}

/// A line of the page.
#[derive(Debug)]
enum Line {
    Head(String),
    /// The source, what was read, and whether that is doubtful.
    Pair(String, String, bool),
    /// What was read, below its source.
    Below(String, bool),
    Blank,
}

fn lines(parts: &[Part], width: usize) -> Vec<Line> {
    let mut out = Vec::new();
    for part in parts {
        if !out.is_empty() {
            out.push(Line::Blank);
        }
        out.push(Line::Head(part.title.clone()));
        for row in &part.rows {
            if width >= usize::from(WIDE) {
                side_by_side(&mut out, row, width);
            } else {
                one_below_the_other(&mut out, row, width);
            }
        }
    }
    out
}

fn side_by_side(out: &mut Vec<Line>, row: &Beside, width: usize) {
    let half = (width / 2).saturating_sub(4).max(1);
    let (source, reading) = (wrapped(&row.source, half), wrapped(&row.reading, half));
    for at in 0..source.len().max(reading.len()) {
        let of = |lines: &[String]| lines.get(at).cloned().unwrap_or_default();
        out.push(Line::Pair(of(&source), of(&reading), row.doubtful && at == 0));
    }
}

fn one_below_the_other(out: &mut Vec<Line>, row: &Beside, width: usize) {
    for line in wrapped(&row.source, width.saturating_sub(4).max(1)) {
        out.push(Line::Pair(line, String::new(), false));
    }
    for (at, line) in wrapped(&row.reading, width.saturating_sub(8).max(1)).into_iter().enumerate()
    {
        out.push(Line::Below(line, row.doubtful && at == 0));
    }
}

fn wrapped(words: &str, room: usize) -> Vec<String> {
    if words.is_empty() { Vec::new() } else { text::wrap(&text::tame(words), room) }
}

fn put(canvas: &mut Canvas, row: Rect, line: &Line) {
    let strong = canvas.look.ink(Ink::Strong);
    let mark = |doubtful: bool| if doubtful { "?" } else { " " };
    match line {
        Line::Blank => {}
        Line::Head(title) => {
            canvas.text(row.x + 1, row.y, row.width, title, canvas.look.ink(Ink::Service));
        }
        Line::Pair(source, reading, doubtful) => {
            let half = row.width / 2;
            let room = if reading.is_empty() { row.width.saturating_sub(3) } else { half };
            canvas.text(row.x + 2, row.y, room, source, canvas.look.ink(Ink::Faint));
            if !reading.is_empty() {
                canvas.text(row.x + half, row.y, 1, mark(*doubtful), strong);
                let room = row.width.saturating_sub(half + 3);
                canvas.text(row.x + half + 2, row.y, room, reading, Style::new());
            }
        }
        Line::Below(reading, doubtful) => {
            canvas.text(row.x + 4, row.y, 1, mark(*doubtful), strong);
            canvas.text(row.x + 6, row.y, row.width.saturating_sub(7), reading, Style::new());
        }
    }
}
