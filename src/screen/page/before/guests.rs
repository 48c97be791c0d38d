//! The guests: what each can choose from, dish by dish, and why not.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::sections::more;
use super::table::{Column, number, rest, words, write};
use crate::kitchen::Guest;
use crate::kitchen::choice::words::{against, wishes};
use crate::kitchen::choice::{Choice, Enough, choices};
use crate::kitchen::items::Answer;
use crate::pages::guests::CAUTION;
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, Hit, bottom, top};
use crate::screen::card::visible;
use crate::screen::look::Ink;
use crate::screen::text;
use crate::screen::ui::Ui;

/// How many, name, wishes, starters, mains, enough?
fn columns(width: u16) -> [Column; 6] {
    let left = rest(width, &[4, 10, 10, 14]);
    let name = left / 2;
    [number(4), words(name), words(left - name), words(10), words(10), words(14)]
}

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let (rest, foot) = bottom(field, 1);
    canvas.text(foot.x + 1, foot.y, foot.width, CAUTION, scene.look.ink(Ink::Faint));
    let guests = &scene.evening.party.guests;
    if guests.is_empty() {
        let words = "No guests are named. Name them in the party file: \
                     \"guests\": [{\"name\": \"the choir\", \"count\": 8, \"diets\": [\"vegan\"]}].";
        let inner = Rect { x: rest.x + 1, width: rest.width.saturating_sub(2), ..rest };
        canvas.lines(inner, words, Style::new());
        return;
    }
    let all = choices(scene.evening, &scene.view.dropped);
    let rows = u16::try_from(guests.len()).unwrap_or(u16::MAX);
    let (list, below) = top(rest, rows.saturating_add(1).min(rest.height / 2).max(2));
    let (head, list) = top(list, 1);
    let columns = columns(field.width);
    let heads = ["", "guest", "eats, avoids", "starters", "mains", "enough?"];
    write(canvas, head, &columns, &heads, scene.look.ink(Ink::Faint));
    let (first, count) = visible(guests.len(), ui.row, usize::from(list.height));
    for (at, index) in (first..first + count).enumerate() {
        let (Some(guest), Some(choice)) = (guests.get(index), all.get(index)) else { continue };
        let line = Rect { y: list.y + u16::try_from(at).unwrap_or(0), height: 1, ..list };
        row(canvas, line, scene, &columns, (guest, choice), index == ui.row);
        canvas.hit(line, Hit::Row(index));
    }
    more(canvas, list, scene, (first, count, guests.len()));
    if let (Some(guest), Some(choice)) = (guests.get(ui.row), all.get(ui.row)) {
        dishes(canvas, top(below, 1).1, scene, guest, choice);
    }
}

fn row(
    canvas: &mut Canvas,
    line: Rect,
    scene: &Scene,
    columns: &[Column],
    (guest, choice): (&Guest, &Choice),
    is_chosen: bool,
) {
    let style = match (is_chosen, choice.enough) {
        (true, _) => scene.look.ink(Ink::Chosen),
        (false, Enough::No) => scene.look.ink(Ink::Strong),
        _ => Style::new(),
    };
    if is_chosen {
        canvas.fill(line, " ", style);
    }
    let glyphs = scene.look.glyphs();
    let enough = match choice.enough {
        Enough::Yes => "enough".to_owned(),
        Enough::IfLabelsAllow => "? read labels".to_owned(),
        Enough::No => format!("{} too little", glyphs.late),
    };
    let cells = [
        guest.count.to_string(),
        guest.name.clone(),
        wishes(guest),
        choice.starters.words(),
        choice.mains.words(),
        enough,
    ];
    write(canvas, line, columns, &cells, style);
}

/// Every dish for the chosen guest, and what speaks against it.
fn dishes(canvas: &mut Canvas, field: Rect, scene: &Scene, guest: &Guest, choice: &Choice) {
    let (head, mut rest) = top(field, 1);
    let words = format!(
        "For {}: at least {} starters and {} mains",
        text::tame(&guest.name),
        scene.evening.party.least.starters,
        scene.evening.party.least.mains
    );
    let inner = Rect { x: head.x + 1, width: head.width.saturating_sub(2), ..head };
    canvas.text(inner.x, inner.y, inner.width, &words, scene.look.ink(Ink::Strong));
    for dish in crate::kitchen::menu::by_course(scene.evening) {
        let (line, below) = top(rest, 1);
        let (Some(sheet), Some(found)) = (scene.evening.sheets.get(dish), choice.dishes.get(dish))
        else {
            continue;
        };
        if line.is_empty() {
            return;
        }
        if scene.view.dropped.contains(&dish) {
            continue;
        }
        rest = below;
        let glyphs = scene.look.glyphs();
        let (sign, style) = match found.answer {
            _ if found.too_hot => (glyphs.overdone, scene.look.ink(Ink::Strong)),
            Answer::NothingKnown => (glyphs.dot, Style::new()),
            Answer::MayContain => ("?", Style::new()),
            Answer::Contains => (glyphs.overdone, scene.look.ink(Ink::Strong)),
        };
        canvas.text(line.x + 1, line.y, 1, &sheet.letter.to_string(), scene.look.tag(dish));
        let room = (line.width / 3).clamp(12, 40);
        canvas.text(line.x + 3, line.y, 1, sign, style);
        canvas.text(line.x + 5, line.y, room, &sheet.recipe.title, style);
        let x = line.x + 5 + room + 1;
        let why = against(guest, sheet, found);
        canvas.text(x, line.y, line.right().saturating_sub(x + 1), &why, style);
    }
}
