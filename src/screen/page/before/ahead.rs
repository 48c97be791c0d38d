//! What is made the day before, and what could be.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::flow::Flow;
use super::table::{Column, name, rest, words, write};
use crate::kitchen::menu::by_course;
use crate::kitchen::{StepCare, ahead};
use crate::pages::ahead::{Made, Stands, starts, state};
use crate::plan::eve;
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, Hit, top};
use crate::screen::card::visible;
use crate::screen::look::Ink;
use crate::screen::ui::Ui;

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
    let rows = u16::try_from(order.len()).unwrap_or(u16::MAX);
    let (list, below) = top(field, rows.saturating_add(1).min(field.height * 6 / 10).max(2));
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
    if let Some(&dish) = order.get(ui.row) {
        about(canvas, top(below, 1).1, scene, dish);
    }
}

fn stands(scene: &Scene, dish: usize) -> Stands {
    Stands::of(dish, &scene.view.dropped, scene.view.spans.iter().map(|s| s.key.dish))
}

/// The steps of the day before of a dish with their times, how it is cooled and
/// heated again; or what could be done then.
fn about(canvas: &mut Canvas, field: Rect, scene: &Scene, dish: usize) {
    let Some(sheet) = scene.evening.sheets.get(dish) else { return };
    let is_made = sheet.recipe.steps.iter().any(|s| s.day_before);
    if !is_made && stands(scene, dish) == Stands::Begun {
        let words = "It is begun: its steps stay on the day.";
        Flow::inset(field).say(canvas, words, Style::new());
        return;
    }
    let made = match is_made {
        true => Ok(sheet.recipe.clone()),
        false => ahead::day_before(&sheet.recipe),
    };
    // The plan has times for them only if they are in it as steps of that day.
    let when = |step: &str| if is_made { at(scene, dish, step) } else { String::new() };
    let mut lines: Vec<(String, bool)> = Vec::new();
    match &made {
        Err(why) => lines.push((format!("It {}. {}.", why.words().0, why.words().1), false)),
        Ok(made) => {
            let head = if is_made { "The day before:" } else { "Enter moves to the day before:" };
            lines.push((head.to_owned(), true));
            for step in made.steps.iter().filter(|s| s.day_before) {
                lines.push((format!("{}{}", when(&step.id), step.text), false));
            }
            let again = made.steps.iter().filter(|s| s.care == Some(StepCare::Reheats));
            for step in again {
                lines.push(("On the day:".to_owned(), true));
                lines.push((format!("{}{}", when(&step.id), step.text), false));
            }
            if is_made {
                for words in eve::cooling(scene.evening, scene.plan, dish) {
                    lines.push((words, true));
                }
            }
        }
    }
    let mut flow = Flow::inset(field);
    for (words, strong) in lines {
        let style = if strong { scene.look.ink(Ink::Strong) } else { Style::new() };
        flow.say(canvas, &words, style);
    }
}

/// "19:40  " where the plan has a step; nothing where there is no plan of it yet.
fn at(scene: &Scene, dish: usize, step: &str) -> String {
    let starts = starts(scene.evening, scene.plan, dish, step);
    starts.map_or_else(String::new, |at| format!("{}  ", at.clock))
}
