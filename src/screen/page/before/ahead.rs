//! What is made the day before, and what could be.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::flow::Flow;
use super::sections::more;
use super::table::{Column, name, rest, words, write};
use crate::kitchen::menu::by_course;
use crate::kitchen::{Recipe, Step, StepCare, ahead};
use crate::pages::ahead::{Made, Stands, starts, state};
use crate::plan::eve;
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, Hit, top};
use crate::screen::card::visible;
use crate::screen::look::Ink;
use crate::screen::text;
use crate::screen::ui::Ui;

/// Rows that the list keeps, its head among them, whatever is said below it.
const LEAST_ROWS: u16 = 6;

/// What moving a dish saves, in words.
const SAVES: u16 = 43;

/// Letter, dish, when, what that means.
fn columns(width: u16) -> [Column; 4] {
    let left = rest(width, &[2, 16]);
    let title = (left / 3).min(left.saturating_sub(SAVES)).clamp(12, 34).min(left);
    [words(2), words(title), words(16), words(left - title)]
}

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let order = by_course(scene.evening);
    let chosen = order.get(ui.row).copied();
    let rows = u16::try_from(order.len()).unwrap_or(u16::MAX).saturating_add(1);
    // What is said of the chosen dish has the room it takes, as long as a few dishes stay in sight.
    let about = chosen.map_or_else(Vec::new, |dish| about(scene, dish, field));
    let wanted = height(&about, field.width).saturating_add(1);
    let most = field.height.saturating_sub(wanted).max(LEAST_ROWS).min(field.height);
    let (list, below) = top(field, rows.min(most));
    let (head, list) = top(list, 1);
    let columns = columns(field.width);
    let faint = scene.look.ink(Ink::Faint);
    write(canvas, head, &columns, &["", "dish", "is made", ""], faint);
    let (first, count) = visible(order.len(), ui.row, usize::from(list.height));
    for (at, index) in (first..first + count).enumerate() {
        let Some(&dish) = order.get(index) else { continue };
        let Some(sheet) = scene.evening.sheets.get(dish) else { continue };
        let line = Rect { y: list.y + u16::try_from(at).unwrap_or(0), height: 1, ..list };
        let (made, what) = state(sheet, stands(scene, dish));
        let style = match index == ui.row {
            true => scene.look.ink(Ink::Chosen),
            false if made == Made::TheDayBefore => scene.look.ink(Ink::Strong),
            false => Style::new(),
        };
        if index == ui.row {
            canvas.fill(line, " ", style);
        }
        let cells = [String::new(), name(sheet, columns[1]), made.words().to_owned(), what];
        write(canvas, line, &columns, &cells, style);
        canvas.text(line.x + 1, line.y, 1, &sheet.letter.to_string(), scene.look.tag(dish));
        canvas.hit(line, Hit::Row(index));
    }
    more(canvas, list, scene, (first, count, order.len()));
    let mut flow = Flow::inset(top(below, 1).1);
    for (words, strong) in about {
        let style = if strong { scene.look.ink(Ink::Strong) } else { Style::new() };
        flow.say(canvas, &words, style);
    }
}

/// Rows that those lines take, inset as [`Flow`] writes them.
fn height(lines: &[(String, bool)], width: u16) -> u16 {
    let room = usize::from(width.saturating_sub(2));
    let rows: usize = lines.iter().map(|(words, _)| text::wrap(words, room).len()).sum();
    u16::try_from(rows).unwrap_or(u16::MAX)
}

fn stands(scene: &Scene, dish: usize) -> Stands {
    Stands::of(dish, &scene.view.dropped, scene.view.spans.iter().map(|s| s.key.dish))
}

/// The steps of the day before of a dish with their times, how it is cooled and
/// heated again; or what could be done then. Lines, and whether they stand out. Where
/// the recipe's sentences are too long for the field, its steps are named instead.
fn about(scene: &Scene, dish: usize, field: Rect) -> Vec<(String, bool)> {
    let Some(sheet) = scene.evening.sheets.get(dish) else { return Vec::new() };
    let is_made = sheet.recipe.steps.iter().any(|s| s.day_before);
    if !is_made && stands(scene, dish) == Stands::Begun {
        return vec![("It is begun: its steps stay on the day.".to_owned(), false)];
    }
    let made = match is_made {
        true => Ok(sheet.recipe.clone()),
        false => ahead::day_before(&sheet.recipe),
    };
    let made = match made {
        Err(why) => return vec![(format!("It {}. {}.", why.words().0, why.words().1), false)],
        Ok(made) => made,
    };
    let room = field.height.saturating_sub(LEAST_ROWS + 1);
    let whole = lines(scene, dish, (&made, is_made), |step| step.text.clone());
    match height(&whole, field.width) > room {
        true => lines(scene, dish, (&made, is_made), |step| step.label.clone()),
        false => whole,
    }
}

fn lines(
    scene: &Scene,
    dish: usize,
    (made, is_made): (&Recipe, bool),
    words: impl Fn(&Step) -> String,
) -> Vec<(String, bool)> {
    // The plan has times for them only if they are in it as steps of that day.
    let line = |step: &Step| {
        let when = if is_made { at(scene, dish, &step.id) } else { String::new() };
        (format!("{when}{}", words(step)), false)
    };
    let head = if is_made { "The day before:" } else { "Enter moves to the day before:" };
    let mut lines = vec![(head.to_owned(), true)];
    lines.extend(made.steps.iter().filter(|s| s.day_before).map(line));
    for step in made.steps.iter().filter(|s| s.care == Some(StepCare::Reheats)) {
        lines.extend([("On the day:".to_owned(), true), line(step)]);
    }
    if is_made {
        let cooling = eve::cooling(scene.evening, scene.plan, dish);
        lines.extend(cooling.into_iter().map(|words| (words, true)));
    }
    lines
}

/// "19:40  " where the plan has a step; nothing where there is no plan of it yet.
fn at(scene: &Scene, dish: usize, step: &str) -> String {
    let starts = starts(scene.evening, scene.plan, dish, step);
    starts.map_or_else(String::new, |at| format!("{}  ", at.clock))
}
