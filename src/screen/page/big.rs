//! Big type: the countdown, its words, the clock, what is next. Alarms that
//! were not seen yet fill the screen.

use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use super::told::Told;
use super::{focus, frame, letter, panel};
use crate::run::{AlarmState, Rank};
use crate::screen::Scene;
use crate::screen::bigtype;
use crate::screen::canvas::{Canvas, bottom, left, top};
use crate::screen::look::{Ink, Look};
use crate::screen::text;
use crate::screen::ui::{FARTHER_M, Ui};

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let (rest, foot) = bottom(field, 1);
    frame::footer(canvas, foot, scene, ui);
    let (rest, echo) = bottom(rest, frame::echo_rows(rest, scene, ui));
    frame::echo_line(canvas, echo, scene, ui);
    match Told::of(scene).filter(|told| told.alarm.state == AlarmState::New) {
        Some(told) => alarm_page(canvas, rest, scene, &told),
        None => calm(canvas, rest, scene, ui),
    }
}

fn calm(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let now = scene.view.now_ms;
    let strong = scene.look.ink(Ink::Strong);
    let prompt = focus(scene.view);
    let (digits, unit) = panel::digits(scene);
    // From far off one line of what comes next is enough, and the words are worth as much as the digits.
    let is_farther = ui.distance_m.is_some_and(|m| m >= FARTHER_M);
    let most = if is_farther { 1 } else { 3 };
    let next = scene.view.do_now.iter().chain(&scene.view.next).skip(1);
    let lines = u16::try_from(next.clone().count()).unwrap_or(most).min(most) + 1;
    let scale =
        bigtype::fitting("00:00", field.width * 2 / 3, field.height * 2 / 5, 6, canvas.look).max(1);
    let scale = match prompt.filter(|_| is_farther) {
        Some(prompt) => evened(field, &prompt.short, lines, scale, canvas.look),
        None => scale,
    };
    let (_, tall) = bigtype::size(&digits, scale, canvas.look);
    let (upper, rest) = top(field, tall + 1);
    let (count, clock) = left(upper, bigtype::size("00:00", scale, canvas.look).0 + 3);
    bigtype::draw(canvas, count.x + 1, count.y, &digits, scale, panel::countdown_style(scene));
    let wide = bigtype::size(&digits, scale, canvas.look).0;
    canvas.text(count.x + 2 + wide, count.y + tall.saturating_sub(1), 12, unit, strong);
    small_clock(canvas, clock, scene);
    let Some(prompt) = prompt else {
        quiet(canvas, rest, scene, scale);
        return;
    };
    let (words, below) = bottom(rest, lines.min(rest.height / 3));
    let dish = prompt.dish.map(|d| (d, letter(scene, Some(d))));
    let used = big_words(canvas, words, &prompt.short, scale, strong);
    let (_, left_over) = top(words, used);
    let said = Rect { x: words.x + 1, width: words.width.saturating_sub(2), ..left_over };
    canvas.lines(top(said, 2).0, &prompt.text, Style::new());
    if let Some((dish, letter)) = dish {
        let y = clock.bottom().saturating_sub(1);
        let name = scene.evening.sheets.get(dish).map_or(String::new(), |s| s.short());
        let x = clock.x + 1;
        let room = clock.width.saturating_sub(2);
        let tag = format!(" {letter} ");
        let used = canvas.text(x, y, room, &tag, scene.look.tag(dish));
        canvas.text(x + used + 1, y, room.saturating_sub(used + 1), &name, strong);
    }
    for (row, prompt) in next.take(usize::from(below.height)).enumerate() {
        let y = below.y + u16::try_from(row).unwrap_or(0);
        let when = text::fit(&text::due(prompt.due_ms, now), 12, " ");
        let tag = format!(" {} ", letter(scene, prompt.dish));
        let style = prompt.dish.map_or(Style::new(), |d| scene.look.tag(d));
        canvas.pieces(
            below.x + 1,
            y,
            below.width.saturating_sub(2),
            &[(&when, strong), (&tag, style), (" ", Style::new()), (&prompt.short, strong)],
        );
    }
}

/// Where nothing wants hands: how things are, and what is still out.
fn quiet(canvas: &mut Canvas, field: Rect, scene: &Scene, scale: u16) {
    let strong = scene.look.ink(Ink::Strong);
    let words = panel::nothing_to_do(scene);
    let (upper, lower) = top(field, field.height * 2 / 3);
    let used = big_words(canvas, upper, words.trim_end_matches('.'), scale, strong);
    let (_, between) = top(upper, used + 1);
    let mut rest = Rect { height: between.height + lower.height, ..between };
    for held in &scene.view.holding {
        panel::hold_line(canvas, top(rest, 1).0, scene, held);
        rest = top(rest, 1).1;
    }
    for line in scene.view.ending.iter().flat_map(|e| &e.lines) {
        let (row, below) = top(rest, 1);
        canvas.text(row.x + 1, row.y, row.width.saturating_sub(2), line, Style::new());
        rest = below;
    }
}

fn small_clock(canvas: &mut Canvas, field: Rect, scene: &Scene) {
    let time = text::clock(scene.evening, scene.view.now_ms);
    let scale = bigtype::fitting(&time, field.width, field.height, 2, canvas.look);
    let faint = scene.look.ink(Ink::Faint);
    if scale == 0 {
        canvas.text_right(field.x, field.y, field.width.saturating_sub(1), &time, faint);
        return;
    }
    let (wide, _) = bigtype::size(&time, scale, canvas.look);
    let x = field.right().saturating_sub(wide + 1).max(field.x);
    bigtype::draw(canvas, x, field.y, &time, scale, faint);
}

/// Words as large as they go, at most at a scale; in plain type if the font
/// lacks their letters. Gives the rows used.
fn big_words(canvas: &mut Canvas, field: Rect, words: &str, most: u16, style: Style) -> u16 {
    let words = text::tame(words);
    let room = field.width.saturating_sub(2);
    let Some((scale, lines)) = largest(&words, field, most, canvas.look) else {
        return canvas.lines(Rect { x: field.x + 1, width: room, ..field }, &words, style);
    };
    let tall = bigtype::size("0", scale, canvas.look).1 + 1;
    for (row, line) in lines.iter().enumerate() {
        let y = field.y + u16::try_from(row).unwrap_or(0) * tall;
        bigtype::draw(canvas, field.x + 1, y, line, scale, style);
    }
    rows_of(&lines, tall).min(field.height)
}

/// The largest scale, at most `most`, at which words fit a field, and their lines.
fn largest(words: &str, field: Rect, most: u16, look: Look) -> Option<(u16, Vec<String>)> {
    let scales = (1..=most.max(1)).rev().filter(|_| bigtype::can_show(words));
    let set = |scale| (scale, bigtype::even(words, field.width.saturating_sub(2), scale, look));
    scales.map(set).find(|(scale, lines)| {
        let tall = bigtype::size("0", *scale, look).1 + 1;
        !lines.is_empty() && rows_of(lines, tall) <= field.height + 1
    })
}

fn rows_of(lines: &[String], tall: u16) -> u16 {
    u16::try_from(lines.len()).unwrap_or(u16::MAX).saturating_mul(tall)
}

/// The scale of the digits, at most `most`, that leaves the words the room to be read from as far:
/// the smaller of both scales is the largest that it can be.
fn evened(field: Rect, words: &str, lines: u16, most: u16, look: Look) -> u16 {
    let words = text::tame(words);
    let smaller = |scale: u16| {
        let below = top(field, bigtype::size("0", scale, look).1 + 1).1;
        let room = bottom(below, lines.min(below.height / 3)).0;
        largest(&words, room, scale, look).map_or(0, |(scale, _)| scale)
    };
    (1..=most).max_by_key(|&scale| (smaller(scale), scale)).unwrap_or(1)
}

/// The rank and the title of an alarm, as large as both go together; the rank
/// gives way first.
fn alarm_title(canvas: &mut Canvas, field: Rect, word: &str, title: &str, style: Style) {
    let room = field.width.saturating_sub(2);
    for scale in (1..=4).rev().filter(|_| bigtype::can_show(title)) {
        let lines = bigtype::even(title, room, scale, canvas.look);
        let count = u16::try_from(lines.len()).unwrap_or(u16::MAX);
        let tall = bigtype::size(word, scale, canvas.look).1;
        for (rank, gap) in [(scale.min(2), 1), (1, 1), (1, 0), (0, 1), (0, 0)] {
            let above = if rank == 0 { 1 } else { bigtype::size(word, rank, canvas.look).1 + 1 };
            let below = count.saturating_mul(tall + gap).saturating_sub(gap);
            if lines.is_empty() || above.saturating_add(below) > field.height {
                continue;
            }
            if rank > 0 {
                bigtype::draw(canvas, field.x + 1, field.y, word, rank, style);
            }
            for (row, line) in lines.iter().enumerate() {
                let y = field.y + above + u16::try_from(row).unwrap_or(0) * (tall + gap);
                bigtype::draw(canvas, field.x + 1, y, line, scale, style);
            }
            return;
        }
    }
    let words = format!("{word} {title}");
    canvas.lines(Rect { x: field.x + 1, width: room, ..field }, &words, style);
}

fn alarm_page(canvas: &mut Canvas, field: Rect, scene: &Scene, told: &Told) {
    // A line under each row of large letters would strike through them.
    let style = canvas.look.rank(told.rank()).remove_modifier(Modifier::UNDERLINED);
    canvas.fill(field, " ", style);
    let inside = Rect {
        x: field.x + 1,
        y: field.y + 1,
        width: field.width.saturating_sub(2),
        height: field.height.saturating_sub(1),
    };
    let word = match told.rank() {
        Rank::Notice => "NOTE",
        Rank::Warning => "SOON",
        Rank::Urgent => "NOW!",
    };
    let sign = canvas.look.glyphs().ranks[told.rank() as usize % 3];
    let time = text::clock(scene.evening, scene.view.now_ms);
    canvas.text_right(inside.x, inside.y, inside.width, &format!("{sign} {word} {time}"), style);
    let (rest, keys) = bottom(inside, 2);
    // Of a bundle large letters say how many; what and in which order is a list.
    let listed = u16::try_from(told.bundle.as_ref().map_or(0, |b| b.keys.len())).unwrap_or(0);
    let rows = if field.height >= 30 { 3 } else { 2 } + listed.min(rest.height / 2);
    let (words, said) = bottom(rest, rows);
    let title = told.bundle.as_ref().map_or(&told.alarm.title, |b| &b.count);
    alarm_title(canvas, words, word, &text::tame(title), style);
    let said = Rect { x: said.x + 1, width: said.width.saturating_sub(2), ..said };
    let (list, said) = top(said, listed.min(rest.height / 2));
    list_bundle(canvas, list, scene, told, style);
    canvas.lines(said, &told.remedy(), style);
    let mut x = keys.x + 1;
    for (name, words, code) in told.keys(scene) {
        let button = format!("[ {name} ] {words}");
        let wide = canvas.text(x, keys.y, keys.right().saturating_sub(x), &button, style);
        let place = Rect { x, width: wide, height: 1, ..keys };
        canvas.hit(place, crate::screen::Hit::Key(code));
        x += wide + 4;
    }
}

/// The alarms of a bundle, a row each, most dangerous first; the last row says
/// how many more there are.
fn list_bundle(canvas: &mut Canvas, list: Rect, scene: &Scene, told: &Told, style: Style) {
    let keys = told.bundle.iter().flat_map(|b| &b.keys);
    let titles: Vec<&str> = keys
        .filter_map(|key| scene.view.alarms.iter().find(|a| a.key == *key))
        .map(|a| a.title.as_str())
        .collect();
    let room = usize::from(list.height);
    for (row, title) in titles.iter().enumerate().take(room) {
        let y = list.y + u16::try_from(row).unwrap_or(0);
        let left = titles.len() - row;
        if row + 1 == room && left > 1 {
            canvas.text(list.x, y, list.width, &format!("and {left} more: 5 lists them"), style);
        } else {
            canvas.text(list.x, y, list.width, &text::tame(title), style);
        }
    }
}
