//! The rows around a page.

use ratatui::crossterm::event::KeyCode;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::told::{self, Told};
use crate::order::InOrder;
use crate::plan::risk::words;
use crate::run::Rank;
use crate::screen::canvas::{Canvas, Hit, bottom, top};
use crate::screen::keys::{self, Press};
use crate::screen::look::Ink;
use crate::screen::ui::{Book, Page, Ui};
use crate::screen::{Scene, text};

/// Follows how good a plan is known to be, if it has room.
const ROOM_COSTS: &str = " With room for steps that run over.";

/// The line above the keys is given no more than one row in so many.
const ECHO_PART: u16 = 4;
/// With a question in it, one in so many.
const SAID_PART: u16 = 3;
/// The most rows for what a press led to.
const SAID_MOST: u16 = 3;
/// Columns that the key to the ways out takes at its right.
const WAYS_ROOM: u16 = 16;

/// The key to the ways out, in the evening's book.
pub(super) const WAYS_KEY: (&str, &str, KeyCode) = ("7", "ways out", KeyCode::Char('7'));

/// Draws the frame and gives the field inside it.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) -> Rect {
    let (head, mut rest) = top(field, 1);
    title(canvas, head, scene, ui);
    if ui.page.book() == Book::Before {
        let (row, below) = top(rest, 1);
        tabs(canvas, row, ui);
        rest = below;
    }
    let (rest, foot) = bottom(rest, 1);
    footer(canvas, foot, scene, ui);
    let (rest, echo) = bottom(rest, echo_rows(rest, scene, ui));
    echo_line(canvas, echo, scene, ui);
    match Told::of(scene).filter(|_| ui.page != Page::Alarms) {
        Some(told) => {
            let (band, rest) = top(rest, told.rows());
            told::band(canvas, band, scene, ui, &told);
            rest
        }
        None => rest,
    }
}

/// The title row: the clock, the party, its services, the page.
fn title(canvas: &mut Canvas, row: Rect, scene: &Scene, ui: &Ui) {
    let band = scene.look.ink(Ink::Band);
    canvas.fill(row, " ", band);
    let now = scene.view.now_ms;
    let mut right = String::new();
    if let Some(demo) = scene.status.demo {
        let how = if demo.paused { "stopped".to_owned() } else { format!("x{}", demo.speed) };
        right = match demo.rehearses {
            Some(habits) if row.width >= 100 => {
                format!("REHEARSAL {how}, {} {} ", habits.day.words(), habits.seed)
            }
            Some(_) => format!("REHEARSAL {how} "),
            None => format!("DEMO {how} "),
        };
    }
    if scene.status.follows {
        right.push_str("2nd screen ");
    }
    let page = match (ui.page.book(), ui.page) {
        (Book::Before, _) => "Before the evening: ".to_owned(),
        (Book::Evening, Page::Chart) => String::new(),
        (Book::Evening, other) => format!("{}: ", other.title()),
    };
    let left = format!(" {}  {page}{}", text::clock(scene.evening, now), scene.evening.party.title);
    let wide = u16::try_from(text::width(&right)).unwrap_or(0);
    canvas.text_right(row.x, row.y, row.width, &right, band);
    let room = row.width.saturating_sub(wide);
    let services = services(scene, 2, row.width >= 100);
    let short = services.iter().map(String::as_str).collect::<Vec<_>>().join("  ");
    let short = format!("{short}  ");
    let services_wide = u16::try_from(text::width(&short)).unwrap_or(room).min(room / 2 + 6);
    let at = row.x + room - services_wide.min(room);
    canvas.text(row.x, row.y, room.saturating_sub(services_wide + 1), &left, band);
    canvas.text(at, row.y, services_wide, &short, band);
}

/// The pages of the book before the evening with their keys, and the way back.
fn tabs(canvas: &mut Canvas, row: Rect, ui: &Ui) {
    let spare = if row.width >= 100 { "  " } else { " " };
    let mut x = row.x;
    // 9 turns to the other book, so that the ninth page has 0.
    let keys = ('1'..='8').chain(['0']);
    let (end, back) = if row.width >= 90 { (" ", "9 evening ") } else { ("", "") };
    let pages = Page::BEFORE.iter().zip(keys).map(|(&page, key)| {
        let title = match page {
            Page::Serving => "Serving",
            Page::Shopping if row.width < 90 => "Shop",
            other => other.title(),
        };
        (page, key, title)
    });
    for (page, key, title) in pages {
        let style = match page == ui.page {
            true => canvas.look.ink(Ink::Chosen),
            false => Style::new(),
        };
        let words = format!("{key} {title}");
        let wide = u16::try_from(text::width(&words)).unwrap_or(0);
        let wide = wide + if end.is_empty() { 1 } else { 2 };
        if x + wide > row.right() {
            return;
        }
        let here = Rect { x, width: wide, ..row };
        canvas.text(x, row.y, wide, &format!(" {words}{end}"), style);
        canvas.hit(here, Hit::Page(page));
        x += wide + u16::try_from(spare.len()).unwrap_or(1) - 1;
    }
    let wide = u16::try_from(back.len()).unwrap_or(0);
    if x + wide <= row.right() {
        canvas.text(row.right() - wide, row.y, wide, back, canvas.look.ink(Ink::Service));
        let here = Rect { x: row.right() - wide, width: wide, ..row };
        canvas.hit(here, Hit::Key(KeyCode::Char('9')));
    }
}

/// The services to come: `mains 19:00 in 25 min`.
fn services(scene: &Scene, most: usize, wide: bool) -> Vec<String> {
    let face = &scene.evening.face;
    let mut lines: Vec<_> = scene.plan.services.iter().collect();
    lines.order_by_key(|l| l.due);
    let ahead = lines.iter().filter(|l| face.ms_of(l.due) + 60_000 > scene.view.now_ms);
    ahead
        .take(most)
        .enumerate()
        .map(|(i, l)| {
            let title = scene.evening.party.services.get(l.service).map_or("", |s| &s.title);
            let due = face.ms_of(l.due);
            let odds = scene.status.odds.as_ref().and_then(|o| o.of(l.service));
            let sure = odds.filter(|_| wide).map(|odds| format!(", {}", words::percent(odds)));
            let sure = sure.unwrap_or_default();
            if i == 0 {
                let until = text::due(due, scene.view.now_ms);
                format!("{title} {} {until}{sure}", face.label(l.due))
            } else {
                format!("{title} {}{sure}", face.label(l.due))
            }
        })
        .collect()
}

/// Keys in a band, from the right; gives where they begin. While a card is
/// open keys are the card's, and none are given here.
pub(super) fn band_keys(
    canvas: &mut Canvas,
    row: Rect,
    mut right: u16,
    keys: &[(&str, &str, KeyCode)],
    style: Style,
) -> u16 {
    for (name, words, code) in keys.iter().rev() {
        let button = format!(" {name} {words} ");
        let wide = u16::try_from(text::width(&button)).unwrap_or(0);
        if right.saturating_sub(wide) < row.x + row.width / 3 {
            continue;
        }
        right -= wide;
        canvas.text(right, row.y, wide, &button, style);
        let under = style.add_modifier(ratatui::style::Modifier::UNDERLINED);
        canvas.text(right + 1, row.y, 1, name, under);
        canvas.hit(Rect { x: right, y: row.y, width: wide, height: 1 }, Hit::Key(*code));
    }
    right
}

/// How many rows the line above the keys is given: more than one if trouble or a notice does not fit into it, since
/// the remedy comes last.
pub(super) fn echo_rows(field: Rect, scene: &Scene, ui: &Ui) -> u16 {
    let status = scene.status;
    let said = said_rows(field.width, scene, ui);
    if said > 0 {
        let wrong = status.trouble.as_ref().map_or(0, |t| rows_of(t, trouble_room(field, scene)));
        return said.saturating_add(wrong).min(field.height / SAID_PART).max(1);
    }
    let beside = ui.say.is_some() || status.echo.is_some();
    let (words, room, more) = match (&status.trouble, &status.notice) {
        (Some(trouble), _) => (trouble, trouble_room(field, scene), u16::from(beside)),
        (None, Some(notice)) if !beside => (notice, field.width.saturating_sub(2), 0),
        _ => return 1,
    };
    let lines = rows_of(words, room);
    let rows = lines.saturating_add(more);
    // One row if it fits beside what a press led to.
    let rows = if lines <= 1 { 1 } else { rows };
    rows.min(field.height / ECHO_PART).max(1)
}

fn rows_of(words: &str, room: u16) -> u16 {
    u16::try_from(text::wrap(&text::tame(words), usize::from(room)).len()).unwrap_or(u16::MAX)
}

/// Rows of its own for what a press led to, if it does not fit into one, or beside trouble into half of one: of "press
/// again to mark it all the same" the end must not be cut off.
fn said_rows(width: u16, scene: &Scene, ui: &Ui) -> u16 {
    let Some(say) = &ui.say else { return 0 };
    let room = width.saturating_sub(2);
    let fits = if scene.status.trouble.is_some() { room / 2 } else { room };
    if text::width(say) <= usize::from(fits) { 0 } else { rows_of(say, room).min(SAID_MOST) }
}

/// The columns for trouble: the way out of it stands at its right, if there is one.
fn trouble_room(field: Rect, scene: &Scene) -> u16 {
    let keys = if scene.status.clashes { WAYS_ROOM } else { 0 };
    field.width.saturating_sub(2 + keys)
}

/// The line above the keys: trouble, what a press led to, the last mark, a
/// notice, the chosen block, or the last reshuffle. Beside trouble what a press
/// led to comes first for its few seconds: who marks something must see that it was taken.
pub(super) fn echo_line(canvas: &mut Canvas, row: Rect, scene: &Scene, ui: &Ui) {
    let status = scene.status;
    let plain = Style::new();
    let strong = scene.look.ink(Ink::Strong);
    if let Some(trouble) = &status.trouble {
        trouble_line(canvas, row, (scene, ui), trouble);
        return;
    }
    if let Some(say) = &ui.say {
        canvas.lines(Rect { x: row.x + 1, width: row.width.saturating_sub(2), ..row }, say, strong);
        return;
    }
    if let Some(echo) = &status.echo {
        let key = scene.look.ink(Ink::Key);
        let used = canvas.text(row.x + 1, row.y, row.width.saturating_sub(10), echo, strong);
        if status.undo.is_some() && ui.card.is_none() {
            let x = row.x + used + 3;
            let room = row.right().saturating_sub(x);
            let used = canvas.pieces(x, row.y, room, &[(" u ", key), (" undo", plain)]);
            canvas.hit(Rect { x, width: used, ..row }, Hit::Key(KeyCode::Char('u')));
        }
        return;
    }
    if let Some(notice) = &status.notice {
        let field = Rect { x: row.x + 1, width: row.width.saturating_sub(2), ..row };
        if row.height > 1 {
            canvas.lines(field, notice, plain);
        } else {
            canvas.text(field.x, field.y, field.width, notice, plain);
        }
        return;
    }
    if status.thinking {
        let faint = scene.look.ink(Ink::Faint);
        canvas.text(
            row.x + 1,
            row.y,
            row.width.saturating_sub(2),
            "looking for a better plan",
            faint,
        );
    } else if let Some(quality) = crate::plan::text::known_quality(status.proof) {
        let faint = scene.look.ink(Ink::Faint);
        // Said of the party's own prices, by which room only costs.
        let room = if scene.plan.room.is_empty() { "" } else { ROOM_COSTS };
        let words = format!("{quality}{room}");
        canvas.text(row.x + 1, row.y, row.width.saturating_sub(2), &words, faint);
    }
}

/// What is wrong, and what a press led to beside it or above.
fn trouble_line(canvas: &mut Canvas, row: Rect, (scene, ui): (&Scene, &Ui), trouble: &str) {
    let status = scene.status;
    let own = said_rows(row.width, scene, ui);
    let (above, row) = bottom(row, row.height.saturating_sub(own).max(1));
    if let Some(say) = ui.say.as_ref().filter(|_| !above.is_empty()) {
        let field = Rect { x: above.x + 1, width: above.width.saturating_sub(2), ..above };
        canvas.lines(field, say, scene.look.ink(Ink::Strong));
    }
    canvas.fill(row, " ", scene.look.rank(Rank::Urgent));
    let words = format!(" {trouble}");
    let urgent = scene.look.rank(Rank::Urgent);
    let said = ui.say.as_ref().or(status.echo.as_ref()).filter(|_| above.is_empty());
    let mut right = row.right();
    if status.clashes && ui.card.is_none() && ui.page.book() == Book::Evening {
        right = band_keys(canvas, row, right, &[WAYS_KEY], urgent);
    }
    if row.height > 1 {
        let used = u16::from(said.is_some());
        if let Some(said) = said {
            canvas.text(row.x + 1, row.y, right.saturating_sub(row.x + 1), said, urgent);
        }
        let room = trouble_room(row, scene);
        let below = Rect { x: row.x + 1, y: row.y + used, width: room, height: row.height - used };
        canvas.lines(below, trouble, urgent);
        return;
    }
    let mut x = row.x;
    if let Some(said) = said {
        // Half of the row at the most: what is wrong is never pushed out of it.
        let room = right.saturating_sub(x) / 2;
        x += canvas.text(x, row.y, room, &format!(" {said}"), urgent) + 2;
    }
    canvas.text(x, row.y, right.saturating_sub(x), &words, urgent);
}

/// The row of keys, as many as fit. While a card is open keys are the card's.
pub(super) fn footer(canvas: &mut Canvas, row: Rect, scene: &Scene, ui: &Ui) {
    if ui.card.is_some() {
        return;
    }
    let hints = keys::footer(scene, ui);
    let most = if row.width < 100 { 6 } else { 12 };
    let must = hints.len().min(most);
    let mut x = row.x;
    // The other book, help and the list of actions keep their place at the end.
    let stays = |code: KeyCode| match code {
        KeyCode::Char('?' | 'a') => true,
        KeyCode::Char('9') => row.width >= 100 || ui.page.book() == Book::Before,
        _ => false,
    };
    let tail: Vec<&(Press, String)> = hints.iter().filter(|(p, _)| stays(p.code)).collect();
    let wide = |h: &(Press, String)| {
        u16::try_from(text::width(&h.0.name()) + text::width(&h.1) + 5).unwrap_or(u16::MAX)
    };
    let kept: u16 = tail.iter().map(|h| wide(h)).fold(0, u16::saturating_add);
    let first = hints.first();
    let body = hints.iter().filter(|h| !tail.contains(h)).take(must);
    for hint in body {
        let room = row.right().saturating_sub(x).saturating_sub(kept);
        let is_first = first.is_some_and(|f| f == hint);
        if wide(hint) > room + 2 && !(is_first && room > 12) {
            continue;
        }
        x += key_hint(canvas, row, x, room, hint);
    }
    for hint in tail {
        let room = row.right().saturating_sub(x);
        if wide(hint) > room + 2 {
            break;
        }
        x += key_hint(canvas, row, x, room, hint);
    }
}

fn key_hint(canvas: &mut Canvas, row: Rect, x: u16, room: u16, hint: &(Press, String)) -> u16 {
    let (press, words) = hint;
    let key = format!(" {} ", press.name());
    let words = format!(" {words}");
    let used = canvas.pieces(
        x,
        row.y,
        room.min(row.right().saturating_sub(x)),
        &[(&key, canvas.look.ink(Ink::Key)), (&words, Style::new())],
    );
    canvas.hit(Rect { x, width: used, height: 1, ..row }, Hit::Key(press.code));
    used + 2
}
