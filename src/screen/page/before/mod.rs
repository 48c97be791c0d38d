//! The pages before the evening.

mod ahead;
mod flow;
mod guests;
mod menu;
mod mise;
mod scaling;
mod sections;
mod serving;
mod sheets;
mod shopping;
mod table;
mod trays;

use ratatui::layout::Rect;

use crate::kitchen::borrowed;
use crate::screen::Scene;
use crate::screen::canvas::Canvas;
use crate::screen::look::Ink;
use crate::screen::ui::{Page, Ui};

/// Draws the page in front, if it is one of these.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    match ui.page {
        Page::Menu => menu::draw(canvas, field, scene, ui),
        Page::Guests => guests::draw(canvas, field, scene, ui),
        Page::Ahead => ahead::draw(canvas, field, scene, ui),
        Page::Shopping => shopping::draw(canvas, field, scene, ui),
        Page::Mise => mise::draw(canvas, field, scene, ui),
        Page::Trays => trays::draw(canvas, field, scene, ui),
        Page::Scaling => scaling::draw(canvas, field, scene, ui),
        Page::Serving => serving::draw(canvas, field, scene, ui),
        Page::Sheets => sheets::draw(canvas, field, scene, ui),
        _ => {}
    }
}

/// What is to be borrowed for the day, above a page's list; gives what is left of the field.
fn to_borrow(canvas: &mut Canvas, field: Rect, scene: &Scene) -> Rect {
    let lines = borrowed::lines(&scene.evening.kitchen, &scene.evening.party.borrowed);
    if lines.is_empty() {
        return field;
    }
    let mut flow = flow::Flow::inset(field);
    let words = format!("To borrow: {}", lines.join("; "));
    flow.say(canvas, &words, scene.look.ink(Ink::Strong));
    Rect { x: field.x, width: field.width, ..flow.rest }
}

/// How many rows the list of the page in front has.
pub(super) fn rows(scene: &Scene, ui: &Ui) -> usize {
    match ui.page {
        Page::Menu | Page::Ahead => scene.evening.sheets.len(),
        Page::Guests => scene.evening.party.guests.len(),
        Page::Shopping => shopping::rows(scene),
        Page::Mise => mise::rows(scene),
        Page::Trays => trays::rows(scene),
        Page::Scaling => scaling::rows(scene),
        Page::Serving => serving::rows(scene),
        Page::Sheets => sheets::ROWS,
        _ => 1,
    }
}

/// What a tick on the chosen row is about.
pub(super) fn tick(scene: &Scene, ui: &Ui) -> Option<String> {
    match ui.page {
        Page::Shopping => shopping::tick(scene, ui.row),
        Page::Mise => mise::tick(scene, ui.row),
        Page::Trays => trays::tick(scene, ui.row),
        _ => None,
    }
}

/// The dish that the chosen row of the menu is about.
pub(super) fn chosen_dish(scene: &Scene, ui: &Ui) -> Option<usize> {
    match ui.page {
        Page::Menu | Page::Ahead => {
            crate::kitchen::menu::by_course(scene.evening).get(ui.row).copied()
        }
        Page::Scaling => scaling::dish(scene, ui.row),
        _ => None,
    }
}

/// The servings that guests and appetite ask for of the chosen dish, if it is made for others.
pub(super) fn as_asked(scene: &Scene, ui: &Ui) -> Option<(String, u32)> {
    match ui.page {
        Page::Scaling => scaling::as_asked(scene, ui.row),
        _ => None,
    }
}
