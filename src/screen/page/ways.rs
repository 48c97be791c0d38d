//! What clashes, and the ways out: each solved already, to be taken with one key.

use ratatui::crossterm::event::KeyCode;
use ratatui::layout::Rect;
use ratatui::style::Style;

use crate::plan::ways::text::figure_words;
use crate::plan::ways::{Figures, WayOut, WaysSeen};
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, Hit, bottom, top};
use crate::screen::look::Ink;
use crate::screen::text;

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene) {
    let seen = &scene.status.ways;
    let (rest, foot) = bottom(field, 1);
    working(canvas, foot, scene, seen);
    if seen.fits() {
        let words = "Nothing clashes: the plan meets every demand.";
        canvas.text(rest.x + 1, rest.y + 1, rest.width.saturating_sub(2), words, Style::new());
        return;
    }
    // The ways out keep their room; the clash is cut short where both do not fit.
    let outs = seen.outs.len().max(1);
    let tall = if usize::from(rest.height) >= outs * 3 + 8 { 3 } else { 2 };
    let wanted = u16::try_from(outs * tall + 1).unwrap_or(u16::MAX);
    let room = rest.height.saturating_sub(wanted).max(rest.height / 3);
    let (above, _) = top(rest, room);
    let used = clash(canvas, above, scene, seen);
    let (_, below) = top(rest, used);
    ways(canvas, below, scene, seen, u16::try_from(tall).unwrap_or(2));
}

/// What is still being worked out, or for when it was.
fn working(canvas: &mut Canvas, row: Rect, scene: &Scene, seen: &WaysSeen) {
    let faint = scene.look.ink(Ink::Faint);
    let at = seen.made_for.map(|minute| scene.evening.face.label(minute));
    let words = match (seen.done, seen.tried, at) {
        (true, _, Some(at)) => format!("Worked out at {at}."),
        (false, (_, 0), _) => "Working out what clashes ...".to_owned(),
        (false, (done, of), _) => format!("Working out ways: {done} of {of} tried ..."),
        (true, _, None) => String::new(),
    };
    canvas.text(row.x + 1, row.y, row.width.saturating_sub(2), &words, faint);
}

/// What clashes; gives the rows used, a free one below it included.
fn clash(canvas: &mut Canvas, field: Rect, scene: &Scene, seen: &WaysSeen) -> u16 {
    let inner = Rect { x: field.x + 1, width: field.width.saturating_sub(2), ..field };
    let mut y = inner.y;
    let mut write = |canvas: &mut Canvas, words: &str, style: Style| {
        let left = Rect { y, height: inner.bottom().saturating_sub(y), ..inner };
        y += canvas.lines(left, words, style);
    };
    match &seen.best {
        Some(Ok(figures)) => {
            let words = format!("As it is: {}.", figure_words(scene.evening, figures));
            write(canvas, &words, Style::new());
        }
        Some(Err(lines)) => {
            let words = lines.join(" ");
            write(canvas, &words, Style::new());
        }
        None => {}
    }
    if let Some((clash, lines)) = &seen.clash {
        let strong = scene.look.ink(Ink::Strong);
        if clash.demands.is_empty() {
            let words = "What is missed lies in the past: no change to the rest brings it back.";
            write(canvas, words, strong);
        } else {
            write(canvas, "These do not go together:", strong);
            let bullets = usize::from(inner.height) >= lines.len() + 4;
            if bullets {
                for line in lines {
                    write(canvas, &format!("- {line}"), Style::new());
                }
            } else {
                write(canvas, &format!("{}.", lines.join("; ")), Style::new());
            }
            if !clash.proven {
                let faint = scene.look.ink(Ink::Faint);
                write(canvas, "(No way through was found; there may be one.)", faint);
            }
        }
    }
    (y - inner.y).saturating_add(1).min(field.height)
}

fn ways(canvas: &mut Canvas, field: Rect, scene: &Scene, seen: &WaysSeen, tall: u16) {
    if seen.outs.is_empty() {
        let past = seen.clash.as_ref().is_some_and(|c| c.0.demands.is_empty());
        if seen.done && seen.made_for.is_some() && !past {
            let words = "No way out was found: leave out more, or make it simpler.";
            canvas.text(field.x + 1, field.y, field.width, words, scene.look.ink(Ink::Strong));
        }
        return;
    }
    let (head, mut rest) = top(field, 1);
    let strong = scene.look.ink(Ink::Strong);
    canvas.text(head.x + 1, head.y, head.width, "Ways out, the least trouble first:", strong);
    for (n, out) in seen.outs.iter().enumerate() {
        let (strip, below) = top(rest, tall);
        rest = below;
        if strip.height >= 1 {
            way(canvas, strip, scene, n + 1, out);
        }
    }
}

/// One way out: its key and what is done, and what its plan is like.
fn way(canvas: &mut Canvas, strip: Rect, scene: &Scene, number: usize, out: &WayOut) {
    let key = format!(" {number} ");
    let room = strip.width.saturating_sub(6);
    let used = canvas.text(strip.x + 1, strip.y, 3, &key, scene.look.ink(Ink::Key));
    let sign = char::from_digit(u32::try_from(number).unwrap_or(0), 10).unwrap_or('0');
    canvas.hit(
        Rect { x: strip.x + 1, width: used, height: 1, ..strip },
        Hit::Key(KeyCode::Char(sign)),
    );
    let words = text::tame(&out.words);
    canvas.text(strip.x + 5, strip.y, room, &words, scene.look.ink(Ink::Strong));
    if strip.height >= 2 {
        let figures = Figures { late: 0, ..out.figures };
        // What was ready late stays so, whatever is taken.
        let on_time = if out.figures.late > 0 { "the rest on time" } else { "on time" };
        let words = format!("{on_time}; {}", figure_words(scene.evening, &figures));
        canvas.text(strip.x + 5, strip.y + 1, room, &words, Style::new());
    }
}
