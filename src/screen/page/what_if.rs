//! What if: tries beside the evening as it is, figure by figure.

use std::cmp::Ordering;

use ratatui::layout::Rect;
use ratatui::style::Style;

use crate::plan::ways::text::{chances, figure_words, least_chance, points};
use crate::plan::ways::words::minutes;
use crate::plan::ways::{Figures, Outcome, Tried, Try};
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, Hit, bottom, top};
use crate::screen::card::visible;
use crate::screen::look::Ink;
use crate::screen::text;
use crate::screen::ui::Ui;

/// Columns of the figures, from the right: their heads and widths.
const COLUMNS: [(&str, u16); 7] = [
    ("late", 9),
    ("chance", 8),
    ("waits", 11),
    ("points", 7),
    ("hands from", 11),
    ("long", 11),
    ("idle", 11),
];

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let rows = &scene.status.tries.rows;
    let tall = if field.height >= 16 { 3 } else { 1 };
    let (rest, foot) = bottom(field, tall);
    if rows.is_empty() {
        let words = "Working out what would come of changes ...";
        canvas.text(rest.x + 1, rest.y + 1, rest.width, words, scene.look.ink(Ink::Faint));
        return;
    }
    let (head, list) = top(rest, 1);
    let columns = Columns::of(field.width);
    let faint = scene.look.ink(Ink::Faint);
    canvas.text(head.x + 1, head.y, columns.words, "what if", faint);
    columns.write(canvas, head, &COLUMNS.map(|c| c.0.to_owned()), faint);
    let (first, count) = visible(rows.len(), ui.row, usize::from(list.height));
    for (at, index) in (first..first + count).enumerate() {
        let Some((of, tried)) = rows.get(index) else { continue };
        let y = list.y + u16::try_from(at).unwrap_or(0);
        let line = Rect { y, height: 1, ..list };
        row(canvas, line, scene, &columns, (of, tried.as_ref()), index == ui.row);
        canvas.hit(line, Hit::Row(index));
    }
    if let Some((of, tried)) = rows.get(ui.row) {
        chosen(canvas, foot, scene, ui.row, of, tried.as_ref());
    }
}

/// As many columns of figures as the width has room for.
struct Columns {
    /// What is left for the words.
    words: u16,
    shown: usize,
}

impl Columns {
    fn of(width: u16) -> Self {
        let mut left = width.saturating_sub(2);
        let mut shown = 0;
        for (_, wide) in COLUMNS {
            if left < wide + 30 {
                break;
            }
            left -= wide;
            shown += 1;
        }
        Self { words: left, shown }
    }

    fn write(&self, canvas: &mut Canvas, row: Rect, cells: &[String; 7], style: Style) {
        let mut x = row.x + 1 + self.words;
        for (cell, (_, wide)) in cells.iter().zip(COLUMNS).take(self.shown) {
            canvas.text_right(x, row.y, wide, cell, style);
            x += wide;
        }
    }
}

fn row(
    canvas: &mut Canvas,
    line: Rect,
    scene: &Scene,
    columns: &Columns,
    (of, tried): (&Try, Option<&Tried>),
    is_chosen: bool,
) {
    let style = match (is_chosen, tried) {
        (true, _) => scene.look.ink(Ink::Chosen),
        (false, None) => scene.look.ink(Ink::Faint),
        _ => Style::new(),
    };
    if is_chosen {
        canvas.fill(line, " ", style);
    }
    let words = text::tame(&of.words);
    canvas.text(line.x + 1, line.y, columns.words.saturating_sub(1), &words, style);
    let cells = match tried {
        None => [(); 7].map(|()| "...".to_owned()),
        Some(Tried::NoPlan(_)) => {
            let mut cells = [(); 7].map(|()| String::new());
            "no plan".clone_into(&mut cells[0]);
            cells
        }
        Some(Tried::Plan(outcome)) => cells(scene, outcome),
    };
    columns.write(canvas, line, &cells, style);
}

fn cells(scene: &Scene, outcome: &Outcome) -> [String; 7] {
    let f = &outcome.figures;
    let late = match (f.past_limit, f.late) {
        (true, _) => "! limit".to_owned(),
        (false, 0) => "on time".to_owned(),
        (false, late) => minutes(late),
    };
    let begins = f.begins.map_or_else(String::new, |m| scene.evening.face.label(m));
    let (chance, waits) = (least_chance(&outcome.odds), minutes(f.waits));
    [late, chance, waits, points(f.quality), begins, minutes(f.span), minutes(f.idle)]
}

/// The chosen try in sentences: what is better and worse than as it is.
fn chosen(
    canvas: &mut Canvas,
    foot: Rect,
    scene: &Scene,
    row: usize,
    of: &Try,
    tried: Option<&Tried>,
) {
    let inner = Rect { x: foot.x + 1, width: foot.width.saturating_sub(2), ..foot };
    let words = match tried {
        None => format!("{}: being worked out ...", of.words),
        Some(Tried::NoPlan(why)) => format!("{}: there is no plan. {}", of.words, why.join(" ")),
        Some(Tried::Plan(outcome)) if row == 0 => {
            let chances = chances(scene.evening, &outcome.odds);
            let figures = figure_words(scene.evening, &outcome.figures);
            format!("As it is: on time {chances}; {figures}.")
        }
        Some(Tried::Plan(outcome)) => {
            let against = scene.status.tries.as_it_is().map(|now| compared(scene, now, outcome));
            let against = against.unwrap_or_default();
            format!("{}: {against}. Enter takes it.", of.words)
        }
    };
    canvas.lines(inner, &text::tame(&words), scene.look.ink(Ink::Strong));
}

/// "12 min less late, food waits 20 min longer, 1.5 points better".
fn compared(scene: &Scene, now: &Outcome, then: &Outcome) -> String {
    let (a, b) = (&now.figures, &then.figures);
    let mut parts = Vec::new();
    let mut add =
        |from: i64, to: i64, less: &str, more: &str, words: &dyn Fn(i64) -> String| match to
            .cmp(&from)
        {
            Ordering::Less => parts.push(less.replace("{}", &words(from - to))),
            Ordering::Greater => parts.push(more.replace("{}", &words(to - from))),
            Ordering::Equal => {}
        };
    let time = |n: i64| minutes(i32::try_from(n).unwrap_or(i32::MAX));
    add(a.late.into(), b.late.into(), "{} less late", "{} more late", &time);
    let limit = |f: &Figures| i64::from(f.past_limit);
    add(limit(a), limit(b), "no limit is passed any more", "a limit is passed", &|_| String::new());
    add(a.waits.into(), b.waits.into(), "food waits {} less", "food waits {} longer", &time);
    add(a.quality, b.quality, "{} points better", "{} points worse", &points);
    let begins = |f: &Figures| i64::from(f.begins.unwrap_or(0));
    if a.begins.is_some() && b.begins.is_some() {
        add(begins(a), begins(b), "hands {} sooner", "hands {} later", &time);
    }
    add(a.idle.into(), b.idle.into(), "{} less idle", "{} more idle", &time);
    let (had, has) = (chances(scene.evening, &now.odds), chances(scene.evening, &then.odds));
    if had != has && !has.is_empty() {
        parts.push(format!("on time {has}"));
    }
    if parts.is_empty() { "no different".to_owned() } else { parts.join(", ") }
}
