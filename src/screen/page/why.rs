//! Why the chosen block stands where it does: how far it can go in large
//! figures, the reasons as sentences, and what moves if it runs late.

use ratatui::crossterm::event::KeyCode;
use ratatui::layout::Rect;
use ratatui::style::Style;

use crate::plan::why::late::{Late, MINUTES};
use crate::plan::why::room::Room;
use crate::plan::why::{Answer, Reasons, Why};
use crate::screen::Scene;
use crate::screen::bigtype;
use crate::screen::canvas::{Canvas, Hit, left, top};
use crate::screen::chart;
use crate::screen::look::Ink;
use crate::screen::text;
use crate::screen::ui::Ui;

/// Columns for the words at the left: "earlier", "later", "if late".
const GUTTER: u16 = 9;

/// Rows that the explanation takes of those that the chart would have.
pub(super) fn rows(field: Rect, scene: &Scene, ui: &Ui) -> u16 {
    if ui.why_key(scene).is_none() {
        return 0;
    }
    let head = if field.height >= 22 { 2 } else { 1 };
    // A small window keeps the block, where it would move to, and two lanes more.
    let chart_most = if field.height < 22 { 5 } else { field.height / 2 };
    let chart = (head + chart::wanted(scene, ui)).clamp(5, chart_most.max(5));
    let most = if field.height >= 36 { 24 } else { 14 };
    field.height.saturating_sub(chart).min(most)
}

/// Draws the explanation.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    if field.is_empty() {
        return;
    }
    let (band, body) = top(field, 1);
    canvas.fill(field, " ", Style::new());
    canvas.hit(field, Hit::Nothing);
    head(canvas, band, scene, ui);
    let body = Rect { x: body.x + 1, width: body.width.saturating_sub(2), ..body };
    let answer = scene.status.why.as_ref().filter(|a| Some(a.key) == ui.why_key(scene));
    match answer.map(|a| (a, &a.why)) {
        Some((answer, Some(why))) => whole(canvas, body, ui, answer, why),
        Some((answer, None)) if answer.done => {
            let words = "The plan is just being put right. Look again in a moment.";
            canvas.lines(body, words, Style::new());
        }
        _ => _ = canvas.lines(body, "Being worked out.", canvas.look.ink(Ink::Faint)),
    }
}

fn head(canvas: &mut Canvas, band: Rect, scene: &Scene, ui: &Ui) {
    let style = scene.look.ink(Ink::Band);
    canvas.fill(band, " ", style);
    let (later, back) = (" y later still ", " Esc back ");
    let wide = |words: &str| u16::try_from(text::width(words)).unwrap_or(0);
    let back_x = band.right().saturating_sub(wide(back));
    let later_x = back_x.saturating_sub(wide(later));
    canvas.text(back_x, band.y, wide(back), back, style);
    canvas.text(later_x, band.y, wide(later), later, style);
    canvas.hit(Rect { x: back_x, width: wide(back), ..band }, Hit::Key(KeyCode::Esc));
    canvas.hit(Rect { x: later_x, width: wide(later), ..band }, Hit::Key(KeyCode::Char('y')));
    let name = ui.why_key(scene).map_or_else(String::new, |key| {
        let sheet = scene.evening.sheets.get(key.dish);
        let label = sheet.and_then(|s| s.recipe.steps.get(key.step)).map_or("", |s| &s.label);
        let block = scene.plan.blocks.iter().find(|b| b.key == key);
        let label_of = |m| scene.evening.face.label(m);
        let at = block
            .map_or_else(String::new, |b| format!("{} to {}", label_of(b.start), label_of(b.end)));
        let short = sheet.map_or_else(String::new, crate::kitchen::Sheet::short);
        format!(" WHY HERE  {short}: {label} {at}")
    });
    canvas.text(band.x, band.y, later_x.saturating_sub(band.x), &name, style);
}

fn whole(canvas: &mut Canvas, body: Rect, ui: &Ui, answer: &Answer, why: &Why) {
    let (scroll, open) = (ui.why.map_or(0, |v| v.scroll), ui.why.map_or(0, |v| v.late));
    let large = body.height >= 17 && body.width >= 100 && why.fact.is_none();
    let rest = if large { figures(canvas, body, why) } else { facts(canvas, body, why) };
    let late_rows = match why.later.chain.is_empty() {
        true => rest.height.saturating_sub(1),
        false => late_rows(rest.height, &late_lines(answer, open)),
    };
    let (reasons, late) = top(rest, rest.height.saturating_sub(late_rows));
    if why.later.chain.is_empty() {
        // It stands as it happened: there is only what follows.
    } else if reasons.width >= 100 {
        let (a, b) = left(reasons, reasons.width / 2);
        let a = Rect { width: a.width.saturating_sub(2), ..a };
        side(canvas, a, "earlier", &why.earlier, scroll);
        side(canvas, b, "later", &why.later, scroll);
    } else {
        let most = reasons.height;
        let want = |r: &Reasons| wrapped(r, reasons.width).len();
        let half = usize::from(most / 2);
        let (up, down) = (want(&why.earlier), want(&why.later));
        let first = if up <= half {
            up
        } else {
            up.min(usize::from(most).saturating_sub(down.min(usize::from(most) - half)))
        };
        let (a, b) = top(reasons, u16::try_from(first).unwrap_or(most));
        side(canvas, a, "earlier", &why.earlier, scroll);
        side(canvas, b, "later", &why.later, scroll);
    }
    if_late(canvas, late, answer, open);
}

/// "7 min", "3 h +".
fn figure(minutes: i32, more: bool) -> String {
    let words = text::span(i64::from(minutes) * 60_000);
    if more { format!("{words} and more") } else { words }
}

/// How far it can go, in a line or two.
fn facts(canvas: &mut Canvas, body: Rect, why: &Why) -> Rect {
    let strong = canvas.look.ink(Ink::Strong);
    let words = match &why.fact {
        Some(fact) if why.later.chain.is_empty() => fact.clone(),
        fact => {
            let of = |r: Room| figure(r.minutes, r.more);
            let pinned = fact.as_ref().map_or_else(String::new, |f| format!("{f} "));
            let slip = match why.slip.more {
                true => String::new(),
                false => format!(", {}", why.slip_until),
            };
            format!(
                "{pinned}Earlier {}, later {}; pushing others along {}{slip}.",
                of(why.earlier.room),
                of(why.later.room),
                figure(why.slip.minutes, why.slip.more),
            )
        }
    };
    let used = canvas.lines(Rect { height: body.height.min(2), ..body }, &words, strong);
    top(body, used).1
}

/// The same in large type: three figures side by side.
fn figures(canvas: &mut Canvas, body: Rect, why: &Why) -> Rect {
    let strong = canvas.look.ink(Ink::Strong);
    let (_, tall) = bigtype::size("0", 1, canvas.look);
    let of = |r: Room| (r.minutes, r.more);
    let three = [
        ("min earlier, alone".to_owned(), of(why.earlier.room)),
        ("min later, alone".to_owned(), of(why.later.room)),
        (
            format!("min later, the rest pushed along, {}", why.slip_until),
            (why.slip.minutes, why.slip.more),
        ),
    ];
    let (row, rest) = top(body, tall + 1);
    let wide = body.width / 4;
    let mut x = row.x;
    for (words, (minutes, more)) in three {
        let digits = format!("{minutes}{}", if more { "+" } else { "" });
        bigtype::draw(canvas, x, row.y, &digits, 1, strong);
        let at = x + bigtype::size(&digits, 1, canvas.look).0 + 2;
        let room = (x + wide).min(row.right()).saturating_sub(at + 1);
        let room = if x + wide * 2 > row.right() { row.right().saturating_sub(at) } else { room };
        let field = Rect { x: at, y: row.y + 1, width: room, height: tall.saturating_sub(1) };
        canvas.lines(field, &words, strong);
        x += wide;
    }
    rest
}

/// The sentences of a side, each beginning a line.
fn wrapped(reasons: &Reasons, width: u16) -> Vec<String> {
    let room = usize::from(width.saturating_sub(GUTTER));
    let also = reasons.also.iter().map(|a| format!("Also: {a}"));
    let all = reasons.chain.iter().map(|s| s.text.clone()).chain(also);
    all.flat_map(|s| text::wrap(&s, room)).collect()
}

/// The lines of a side for so many rows. If they are too many the other ways
/// go first, then the middle of the chain: the first reason and the fact stay.
fn fitted(reasons: &Reasons, width: u16, rows: usize, scroll: usize) -> Vec<String> {
    let all = wrapped(reasons, width);
    if scroll > 0 {
        let skip = scroll.min(all.len().saturating_sub(rows));
        return all.into_iter().skip(skip).take(rows).collect();
    }
    if all.len() <= rows {
        return all;
    }
    let room = usize::from(width.saturating_sub(GUTTER));
    let lines =
        |i: usize| reasons.chain.get(i).map_or_else(Vec::new, |s| text::wrap(&s.text, room));
    let count = reasons.chain.len();
    let last = if count > 1 { lines(count - 1) } else { Vec::new() };
    let mut out = lines(0);
    let mut said = 1;
    while said + 1 < count {
        let next = lines(said);
        let gap = usize::from(said + 2 < count);
        if out.len() + next.len() + last.len() + gap > rows {
            break;
        }
        out.extend(next);
        said += 1;
    }
    let hidden = count.saturating_sub(said + 1);
    let whole = out.len() + last.len() <= rows;
    if hidden > 0 && out.len() + last.len() < rows {
        out.push(format!("({hidden} more between: PgDn)"));
    }
    if whole {
        out.extend(last);
    } else if let Some(line) = last.first() {
        // The fact at the end matters more than the last words on the way.
        out.truncate(rows.saturating_sub(1));
        out.push(if last.len() > 1 { format!("{line} ...") } else { line.clone() });
    }
    out.truncate(rows);
    out
}

fn side(canvas: &mut Canvas, field: Rect, name: &str, reasons: &Reasons, scroll: usize) {
    let lines = fitted(reasons, field.width, usize::from(field.height), scroll);
    canvas.text(field.x, field.y, GUTTER.min(field.width), name, canvas.look.ink(Ink::Strong));
    for (y, line) in (field.y..field.bottom()).zip(lines) {
        let room = field.width.saturating_sub(GUTTER);
        canvas.text(field.x + GUTTER, y, room, &line, Style::new());
    }
}

fn late_of(answer: &Answer, open: usize) -> Option<&Late> {
    let minutes = MINUTES.get(open)?;
    answer.late.iter().find(|l| l.minutes == *minutes)
}

fn late_lines(answer: &Answer, open: usize) -> Vec<String> {
    match late_of(answer, open) {
        Some(late) => late.lines.clone(),
        None if answer.done => vec!["It is done: nothing can be late.".to_owned()],
        None => vec!["Being worked out.".to_owned()],
    }
}

fn late_rows(rows: u16, lines: &[String]) -> u16 {
    let want = u16::try_from(lines.len() + 1).unwrap_or(u16::MAX);
    want.min(if rows >= 12 { rows / 2 } else { 2.max(rows / 3) }).min(rows)
}

/// What moves: a line each if there is room, else one after the other.
fn if_late(canvas: &mut Canvas, field: Rect, answer: &Answer, open: usize) {
    if field.is_empty() {
        return;
    }
    let minutes = MINUTES.get(open).copied().unwrap_or(0);
    let strong = canvas.look.ink(Ink::Strong);
    let mut lines = late_lines(answer, open);
    let name = format!("{minutes} late");
    canvas.text(field.x, field.y, GUTTER.min(field.width), &name, strong);
    let text_field =
        Rect { x: field.x + GUTTER, width: field.width.saturating_sub(GUTTER), ..field };
    let Some(first) = (!lines.is_empty()).then(|| lines.remove(0)) else { return };
    if field.height <= 3 {
        lines.insert(0, first.trim_end_matches('.').to_owned());
        canvas.lines(text_field, &lines.join("; "), Style::new());
        return;
    }
    canvas.text(text_field.x, text_field.y, text_field.width, &first, strong);
    let rest = top(text_field, 1).1;
    let columns = if rest.width >= 150 {
        3
    } else if rest.width >= 70 {
        2
    } else {
        1
    };
    let wide = rest.width / columns;
    let rows = usize::from(rest.height.max(1));
    let room = rows * usize::from(columns);
    if lines.len() > room {
        let more = lines.len() - room + 1;
        lines.truncate(room - 1);
        lines.push(format!("and {more} more"));
    }
    for (i, line) in lines.iter().enumerate() {
        let column = u16::try_from(i / rows).unwrap_or(0);
        let y = rest.y + u16::try_from(i % rows).unwrap_or(0);
        canvas.text(rest.x + column * wide, y, wide.saturating_sub(1), line, Style::new());
    }
}

/// How many lines the reasons have at the most: as far as they can be scrolled.
pub(super) fn lines(scene: &Scene) -> usize {
    let why = scene.status.why.as_ref().and_then(|a| a.why.as_ref());
    why.map_or(0, |w| wrapped(&w.earlier, 60).len().max(wrapped(&w.later, 60).len()))
}
