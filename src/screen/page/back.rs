//! Faces of the report: planned against actual as a chart, what was late and why,
//! and what to change next time.

use ratatui::layout::Rect;
use ratatui::style::Style;

use crate::kitchen::Minute;
use crate::run::look_back::{Dish, LookBack, Stretch};
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, Hit, top};
use crate::screen::card::visible;
use crate::screen::look::Ink;
use crate::screen::text;
use crate::screen::ui::{Face, Ui};

/// What a stretch is drawn with: as planned, as it happened, beyond what was planned, waiting.
struct Signs {
    planned: &'static str,
    actual: &'static str,
    over: &'static str,
    waits: &'static str,
}

const FULL: Signs = Signs { planned: "╌", actual: "█", over: "▒", waits: "░" };
const PLAIN: Signs = Signs { planned: "-", actual: "#", over: "+", waits: "." };

/// Rows of a dish on the chart.
const TALL: usize = 2;
/// Rows above and below the dishes: faces, times; what the signs mean.
const AROUND: u16 = 3;

/// Draws the faces' names; what is left for the one in front.
pub(super) fn faces(canvas: &mut Canvas, field: Rect, ui: &Ui) -> Rect {
    let (row, rest) = top(field, 1);
    let mut x = row.x + 1;
    for face in Face::ALL {
        let style = match face == ui.face {
            true => canvas.look.ink(Ink::Chosen),
            false => canvas.look.ink(Ink::Faint),
        };
        let words = format!(" {} ", face.title());
        let wide = u16::try_from(text::width(&words)).unwrap_or(0);
        if x + wide > row.right() {
            break;
        }
        canvas.text(x, row.y, wide, &words, style);
        canvas.hit(Rect { x, width: wide, ..row }, Hit::Face(face));
        x += wide + 1;
    }
    rest
}

/// How far a face can be scrolled, or how many rows can be chosen on it.
pub(super) fn rows(back: &LookBack, ui: &Ui) -> usize {
    let room = ui.window.1.saturating_sub(3 + AROUND);
    match ui.face {
        Face::Report => 1,
        Face::Chart => back.dishes.len().saturating_sub(usize::from(room) / TALL) + 1,
        Face::Why => why(back, ui.window.0).len().saturating_sub(usize::from(room)) + 1,
        Face::NextTime => back.next_time.len().max(1),
    }
}

/// Draws the face in front.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui, back: &LookBack) {
    match ui.face {
        Face::Report => {}
        Face::Chart => chart(canvas, field, scene, ui, back),
        Face::Why => {
            let lines = why(back, field.width);
            for (at, line) in lines.iter().skip(ui.row).take(usize::from(field.height)).enumerate()
            {
                let y = field.y + u16::try_from(at).unwrap_or(0);
                let style =
                    if line.starts_with(' ') { Style::new() } else { scene.look.ink(Ink::Strong) };
                canvas.text(field.x + 1, y, field.width.saturating_sub(2), line, style);
            }
        }
        Face::NextTime => next_time(canvas, field, scene, ui, back),
    }
}

/// What was late and why, what waited, the alarms: a line that begins with no space is a heading.
fn why(back: &LookBack, width: u16) -> Vec<String> {
    let room = usize::from(width.saturating_sub(6)).max(20);
    let mut lines = Vec::new();
    if back.late.is_empty() {
        lines.push("Nothing was late.".to_owned());
    }
    for late in &back.late {
        lines.push(format!("{}: {} min", late.what, late.minutes));
        for link in &late.chain {
            for (n, part) in text::wrap(link, room).into_iter().enumerate() {
                lines.push(format!("  {} {part}", if n == 0 { "-" } else { " " }));
            }
        }
    }
    let waits = back.dishes.iter().flat_map(|d| d.waits.iter().map(move |w| (d, w)));
    let mut head = Some("What waited");
    for (dish, wait) in waits {
        lines.extend(head.take().map(str::to_owned));
        let best = wait.best_minutes.map_or_else(String::new, |b| format!(", at its best for {b}"));
        let (minutes, planned) = (wait.stretch.minutes(), wait.planned_minutes);
        lines.push(format!(
            "  {} ({}): {minutes} min, planned {planned}{best}",
            dish.title, wait.place
        ));
    }
    let mut head = Some("What was measured");
    for reading in &back.readings {
        lines.extend(head.take().map(str::to_owned));
        let all = [&reading.when, &reading.food, &reading.what, &reading.reading, &reading.limit];
        let words: Vec<&str> =
            all.into_iter().map(String::as_str).filter(|w| !w.is_empty()).collect();
        let line = format!("{} {}", words.join("  "), reading.verdict);
        lines.extend(text::wrap(line.trim(), room).into_iter().map(|l| format!("  {l}")));
    }
    let mut head = Some("Alarms, and what was said to them");
    for alarm in &back.alarms {
        lines.extend(head.take().map(str::to_owned));
        lines.push(format!("  {} {}: {}", alarm.clock, alarm.rank, alarm.words()));
    }
    lines
}

fn next_time(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui, back: &LookBack) {
    let faint = scene.look.ink(Ink::Faint);
    if back.next_time.is_empty() {
        canvas.text(
            field.x + 1,
            field.y,
            field.width,
            "Nothing to change next time.",
            Style::new(),
        );
        return;
    }
    let room = usize::from(field.width.saturating_sub(8)).max(20);
    let (first, count) = visible(back.next_time.len(), ui.row, usize::from(field.height) / 3);
    let mut y = field.y;
    for (index, edit) in back.next_time.iter().enumerate().skip(first).take(count) {
        let chosen = index == ui.row;
        let style = if chosen { scene.look.ink(Ink::Chosen) } else { Style::new() };
        let mark = if chosen { ">" } else { " " };
        let from = y;
        let head = format!("{mark} {}: ", edit.about.word());
        for (n, part) in text::wrap(&edit.words, room.saturating_sub(head.len())).iter().enumerate()
        {
            let start = if n == 0 { head.clone() } else { " ".repeat(head.len()) };
            canvas.text(
                field.x + 1,
                y,
                field.width.saturating_sub(2),
                &format!("{start}{part}"),
                style,
            );
            y += 1;
        }
        for part in text::wrap(&edit.why, room) {
            canvas.text(field.x + 5, y, field.width.saturating_sub(6), &part, faint);
            y += 1;
        }
        canvas.hit(Rect { y: from, height: y - from, ..field }, Hit::Row(index));
        if y >= field.bottom() {
            return;
        }
    }
}

fn chart(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui, back: &LookBack) {
    let Some(span) = span(back) else {
        canvas.text(field.x + 1, field.y, field.width, "Nothing was marked.", Style::new());
        return;
    };
    let signs = if scene.look.ascii { &PLAIN } else { &FULL };
    let names = (field.width / 5).clamp(10, 22);
    let lane =
        Rect { x: field.x + 1 + names, width: field.width.saturating_sub(names + 2), ..field };
    if lane.width < 20 || field.height < 4 {
        return;
    }
    times(canvas, lane, scene, span);
    let shown = usize::from(field.height.saturating_sub(2)) / TALL;
    for (at, dish) in back.dishes.iter().skip(ui.row).take(shown).enumerate() {
        let y = field.y + 1 + u16::try_from(at * TALL).unwrap_or(0);
        let name = format!("{} {}", dish.letter, dish.short);
        canvas.text(field.x + 1, y, names, &name, scene.look.ink(Ink::Strong));
        draw_dish(canvas, Rect { y, ..lane }, scene, (dish, span), signs);
        let worst = dish.steps.iter().filter_map(|s| Some((over(s)?, s))).max_by_key(|o| o.0);
        if let Some((minutes, step)) = worst.filter(|o| o.0 >= 3) {
            let words = format!("  +{minutes} {}", step.label);
            canvas.text(field.x + 1, y + 1, names, &words, scene.look.ink(Ink::Heat));
        }
    }
    let legend = format!(
        "{} planned  {} as it happened  {} longer than planned  {} waited",
        signs.planned.repeat(2),
        signs.actual.repeat(2),
        signs.over.repeat(2),
        signs.waits.repeat(2)
    );
    let foot = field.bottom() - 1;
    canvas.text(
        field.x + 1,
        foot,
        field.width.saturating_sub(2),
        &legend,
        scene.look.ink(Ink::Faint),
    );
}

/// Minutes that a load took longer than planned.
fn over(step: &crate::run::look_back::Step) -> Option<Minute> {
    Some(step.actual?.minutes() - step.planned?.minutes())
}

/// From the first to the last minute of what was planned or done. Of what stood for
/// half a day before, the last hours are shown.
fn span(back: &LookBack) -> Option<(Minute, Minute)> {
    let steps = back.dishes.iter().flat_map(|d| &d.steps);
    let stretches: Vec<Stretch> = steps.flat_map(|s| [s.planned, s.actual]).flatten().collect();
    let served = back.services.iter().filter_map(|s| s.served_minute);
    let to = stretches.iter().map(|s| s.to_minute).chain(served).max()?;
    let from = stretches.iter().map(|s| s.from_minute).min()?.max(to - 16 * 60);
    (to > from).then_some((from, to))
}

fn column(lane: Rect, (from, to): (Minute, Minute), minute: Minute) -> u16 {
    let past = i64::from((minute - from).clamp(0, to - from));
    let at = past * i64::from(lane.width) / i64::from((to - from).max(1));
    lane.x + u16::try_from(at).unwrap_or(0).min(lane.width)
}

/// The hours above the lanes, as many as have room.
fn times(canvas: &mut Canvas, lane: Rect, scene: &Scene, span: (Minute, Minute)) {
    let faint = scene.look.ink(Ink::Faint);
    let per_hour = i32::from(lane.width) * 60 / (span.1 - span.0).max(1);
    let every = if per_hour >= 12 {
        60
    } else if per_hour >= 6 {
        120
    } else {
        240
    };
    let mut hour = (span.0 + 59).div_euclid(60) * 60;
    while hour <= span.1 {
        let x = column(lane, span, hour);
        let label = scene.evening.face.label(hour);
        let fits = x + u16::try_from(text::width(&label)).unwrap_or(0) <= lane.right();
        if hour.rem_euclid(every) == 0 && fits {
            canvas.text(x, lane.y, lane.right() - x, &label, faint);
        }
        hour += 60;
    }
}

fn draw_dish(
    canvas: &mut Canvas,
    lane: Rect,
    scene: &Scene,
    (dish, span): (&Dish, (Minute, Minute)),
    signs: &Signs,
) {
    let at = |minute| column(lane, span, minute);
    let mut line = |y: u16, from: u16, to: u16, sign: &str, style: Style| {
        for x in from..to.max(from + 1).min(lane.right()) {
            canvas.put(x, y, sign, style);
        }
    };
    let ink = |ink| scene.look.ink(ink);
    for wait in &dish.waits {
        let (from, to) = (at(wait.stretch.from_minute), at(wait.stretch.to_minute));
        line(lane.y + 1, from, to, signs.waits, ink(Ink::Faint));
    }
    for step in &dish.steps {
        if let Some(planned) = step.planned {
            let (from, to) = (at(planned.from_minute), at(planned.to_minute));
            line(lane.y, from, to, signs.planned, ink(Ink::Faint));
        }
        let Some(actual) = step.actual else { continue };
        let (from, to) = (at(actual.from_minute), at(actual.to_minute));
        let tint = scene.look.line(scene.evening.dish_index(&dish.dish).unwrap_or(0));
        line(lane.y + 1, from, to, signs.actual, tint);
        if let Some(longer) = over(step).filter(|o| *o >= 3) {
            let beyond = at(actual.to_minute - longer);
            line(lane.y + 1, beyond, to, signs.over, ink(Ink::Heat));
        }
    }
}
