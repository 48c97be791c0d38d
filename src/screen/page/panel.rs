//! What to do now: the large countdown, the words of what it counts down to,
//! what comes next and what is holding.

use ratatui::crossterm::event::KeyCode;
use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use super::{deadline, focus, letter};
use crate::run::{Countdown, Ending, Holding, Limit, Measure, Prompt, Rank};
use crate::screen::Scene;
use crate::screen::bigtype;
use crate::screen::canvas::{Canvas, Hit, left, top};
use crate::screen::look::{Ink, Look};
use crate::screen::{marks, text};

/// Columns for when something is due.
const WHEN: u16 = 12;

/// Rows that the panel takes in a field, and the scale of its digits.
pub(super) fn rows(field: Rect, look: Look) -> (u16, u16) {
    match (field.width, field.height) {
        (180.., 52..) if !look.ascii => (11, 3),
        (104.., 28..) => (7, 2),
        _ if look.ascii => (7, 1),
        _ => (4, 1),
    }
}

/// Draws the panel.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, scale: u16) {
    let ink = scene.look.ink(Ink::Strong);
    let (digits, unit) = digits(scene);
    let wide = (26 * scale + 2).min(field.width / 2);
    let (clock, rest) = left(field, wide);
    let (digits_wide, _) = bigtype::size(&digits, scale, canvas.look);
    bigtype::draw(canvas, clock.x + 1, clock.y, &digits, scale, countdown_style(scene));
    let unit_x = clock.x + 1 + digits_wide + 1;
    if !unit.is_empty() && unit_x < clock.right() {
        let mut y = field.bottom().saturating_sub(if scale == 1 { 1 } else { 2 });
        for word in unit.split(' ').rev() {
            canvas.text(unit_x, y, clock.right() - unit_x, word, ink);
            y = y.saturating_sub(1);
        }
    }
    let (words, board) =
        if field.width >= 190 { left(rest, rest.width * 6 / 10) } else { (rest, Rect::default()) };
    let columns = Rect { width: words.width.saturating_sub(1), ..words };
    if board.is_empty() {
        prompts(canvas, columns, scene, true);
    } else {
        prompts(canvas, columns, scene, false);
        holdings(canvas, board, scene, usize::from(field.height));
    }
}

/// What the large type says: the countdown and its unit, or how things are.
pub(super) fn digits(scene: &Scene) -> (String, &'static str) {
    match (deadline(scene.view), &scene.view.ending) {
        (Some(at), _) => text::countdown(at, scene.view.now_ms),
        (None, Some(_)) => ("END".to_owned(), ""),
        (None, None) => ("--".to_owned(), ""),
    }
}

/// What there is to say where nothing wants hands.
pub(super) fn nothing_to_do<'a>(scene: &Scene<'a>) -> &'a str {
    match &scene.view.ending {
        Some(ending) => &ending.title,
        None => "Nothing to do for now.",
    }
}

/// Late hands are worth a colour; the digits say so by themselves too.
pub(super) fn countdown_style(scene: &Scene) -> Style {
    let bold = Style::new().add_modifier(Modifier::BOLD);
    let late = focus(scene.view).is_some_and(|p| p.due_ms <= scene.view.now_ms - 60_000);
    match scene.look.rank(Rank::Warning).bg {
        Some(colour) if late && !matches!(scene.look.ground, crate::screen::Ground::Light) => {
            bold.fg(colour)
        }
        _ => bold,
    }
}

fn prompts(canvas: &mut Canvas, field: Rect, scene: &Scene, with_holding: bool) {
    let view = scene.view;
    let mut rest = field;
    let now: Vec<&Prompt> = view.do_now.iter().collect();
    let mut next: Vec<&Prompt> = view.next.iter().collect();
    let holding = u16::from(with_holding && !view.holding.is_empty());
    let head = now.first().copied().or_else(|| {
        let first = next.first().copied();
        next = next.split_off(next.len().min(1));
        first
    });
    let Some(head) = head else {
        let words = nothing_to_do(scene);
        canvas.text(rest.x, rest.y, rest.width, words, scene.look.ink(Ink::Strong));
        let below = top(rest, 1).1;
        match &view.ending {
            Some(ending) => ended(canvas, below, scene, ending, with_holding),
            None => running(canvas, below, scene),
        }
        return;
    };
    line(canvas, top(rest, 1).0, scene, head, true);
    rest = top(rest, 1).1;
    if rest.height >= 5 {
        let rows = if rest.height >= 8 { 3 } else { 2 };
        let sentence = Rect {
            x: rest.x + WHEN + 1,
            width: rest.width.saturating_sub(WHEN + 1),
            ..top(rest, rows).0
        };
        let used = canvas.lines(sentence, &head.text, Style::new());
        rest = top(rest, used).1;
    }
    for reading in marks::measures(scene).take(usize::from(rest.height / 4).clamp(1, 3)) {
        measure_line(canvas, top(rest, 1).0, scene, reading);
        rest = top(rest, 1).1;
    }
    let more = now.iter().skip(1).chain(next.iter());
    let room =
        usize::from(rest.height.saturating_sub(holding * if rest.height > 4 { 2 } else { 1 }));
    for prompt in more.take(room.min(4)) {
        line(canvas, top(rest, 1).0, scene, prompt, false);
        rest = top(rest, 1).1;
    }
    if holding > 0 && rest.height > 0 {
        let rows = usize::from(rest.height).min(3);
        for held in view.holding.iter().take(rows) {
            hold_line(canvas, top(rest, 1).0, scene, held);
            rest = top(rest, 1).1;
        }
    }
}

/// After the last service: the key to the report, what is still out and until
/// when, and how each service went.
fn ended(canvas: &mut Canvas, field: Rect, scene: &Scene, ending: &Ending, with_holding: bool) {
    let (row, mut rest) = top(field, 1);
    let key = scene.look.ink(Ink::Key);
    let pieces = [(" 6 ", key), (" the report: planned against actual", Style::new())];
    let used = canvas.pieces(row.x, row.y, row.width, &pieces);
    canvas.hit(Rect { width: used, ..row }, Hit::Key(KeyCode::Char('6')));
    let out = scene.view.holding.iter().filter(|_| with_holding && !ending.closed);
    for held in out.take(usize::from(rest.height)) {
        hold_line(canvas, top(rest, 1).0, scene, held);
        rest = top(rest, 1).1;
    }
    for line in ending.lines.iter().take(usize::from(rest.height)) {
        canvas.text(rest.x, rest.y, rest.width, line, Style::new());
        rest = top(rest, 1).1;
    }
}

/// Without anything to do, what runs by itself is worth a look.
fn running(canvas: &mut Canvas, field: Rect, scene: &Scene) {
    for (row, prompt) in scene.view.running.iter().take(usize::from(field.height)).enumerate() {
        let y = field.y + u16::try_from(row).unwrap_or(0);
        line(canvas, Rect { y, height: 1, ..field }, scene, prompt, false);
    }
}

/// A prompt on a row: when, the letter of its dish, a few words.
/// A reading that is wanted, with the key that takes it.
pub(super) fn measure_line(canvas: &mut Canvas, row: Rect, scene: &Scene, reading: &Measure) {
    if row.is_empty() {
        return;
    }
    let tag = format!("{} ", letter(scene, Some(reading.dish)));
    let why = format!("  {}", reading.why);
    let pieces = [
        (" t ", scene.look.ink(Ink::Key)),
        (" ", Style::new()),
        (tag.as_str(), scene.look.tag(reading.dish)),
        (reading.short.as_str(), scene.look.ink(Ink::Strong)),
        (why.as_str(), scene.look.ink(Ink::Faint)),
    ];
    canvas.pieces(row.x, row.y, row.width, &pieces);
}

fn line(canvas: &mut Canvas, row: Rect, scene: &Scene, prompt: &Prompt, first: bool) {
    if row.is_empty() {
        return;
    }
    let now = scene.view.now_ms;
    let due = prompt.due_ms;
    let when = if due <= now - 60_000 {
        format!("{} late", text::span(now - due))
    } else {
        text::due(due, now)
    };
    let strong = scene.look.ink(Ink::Strong);
    let style = if due <= now - 60_000 {
        scene.look.rank(Rank::Warning)
    } else if first {
        scene.look.ink(Ink::Chosen)
    } else {
        Style::new()
    };
    let when = text::fit(&format!(" {when}"), usize::from(WHEN), " ");
    canvas.text(row.x, row.y, WHEN, &when, style);
    let letter = letter(scene, prompt.dish);
    let mut x = row.x + WHEN + 1;
    if let Some(dish) = prompt.dish {
        x += canvas.text(x, row.y, 2, &letter, scene.look.tag(dish)) + 1;
    }
    let words = if first { strong } else { Style::new() };
    let used = canvas.text(x, row.y, row.right().saturating_sub(x), &prompt.short, words);
    let x = x + used + 2;
    let rest = row.right().saturating_sub(x);
    if !first && rest > 24 && row.width > 90 {
        canvas.text(x, row.y, rest, &prompt.text, scene.look.ink(Ink::Faint));
    }
}

fn holdings(canvas: &mut Canvas, field: Rect, scene: &Scene, rows: usize) {
    if scene.view.holding.is_empty() {
        canvas.text(field.x, field.y, field.width, "nothing holds", scene.look.ink(Ink::Faint));
        return;
    }
    canvas.text(field.x, field.y, field.width, "holding", scene.look.ink(Ink::Strong));
    for (row, held) in scene.view.holding.iter().take(rows.saturating_sub(1)).enumerate() {
        let y = field.y + 1 + u16::try_from(row).unwrap_or(0);
        hold_line(canvas, Rect { y, height: 1, ..field }, scene, held);
    }
}

/// A waiting dish on a row: its letter, where, and its nearest limit.
pub(super) fn hold_line(canvas: &mut Canvas, row: Rect, scene: &Scene, held: &Holding) {
    if row.is_empty() {
        return;
    }
    let faint = scene.look.ink(Ink::Faint);
    let word = if held.served { " on table" } else { " holding" };
    canvas.text(row.x, row.y, WHEN, word, faint);
    let mut x = row.x + WHEN + 1;
    let letter = letter(scene, Some(held.dish));
    x += canvas.text(x, row.y, 2, &letter, scene.look.tag(held.dish)) + 1;
    let (limit, words) = nearest(held, scene.view.now_ms);
    let style = scene.look.limit(limit.state);
    let place = if held.served { String::new() } else { format!("{}: ", held.place) };
    let end = row.right();
    x += canvas.text(x, row.y, end.saturating_sub(x), &place, Style::new());
    canvas.text(x, row.y, end.saturating_sub(x), &words, style);
}

/// The limit of a dish that comes first, and words for it.
pub(super) fn nearest(held: &Holding, now_ms: i64) -> (&Limit, String) {
    let worse = held.safe.state > Countdown::Fine && held.safe.state >= held.best.state;
    let sooner = match (held.safe.at_ms, held.best.at_ms) {
        (Some(safe), Some(best)) => safe <= best,
        (Some(_), None) => true,
        _ => false,
    };
    if worse || (sooner && held.best.state == Countdown::Fine) {
        (&held.safe, held.safe.words(now_ms, "may stay", "PAST SAFE LIMIT"))
    } else {
        (&held.best, held.best.words(now_ms, "best", "past its best"))
    }
}
