//! The pages before the evening.

mod guests;
mod later;
mod menu;
mod table;

use ratatui::layout::Rect;

use crate::screen::Scene;
use crate::screen::canvas::Canvas;
use crate::screen::ui::{Page, Ui};

/// Draws the page in front, if it is one of these.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    match ui.page {
        Page::Menu => menu::draw(canvas, field, scene, ui),
        Page::Guests => guests::draw(canvas, field, scene, ui),
        Page::Shopping | Page::Mise | Page::Trays | Page::Serving | Page::Ahead | Page::Sheets => {
            later::draw(canvas, field, scene, ui.page);
        }
        _ => {}
    }
}

/// How many rows the list of the page in front has.
pub(super) fn rows(scene: &Scene, ui: &Ui) -> usize {
    match ui.page {
        Page::Menu => scene.evening.sheets.len(),
        Page::Guests => scene.evening.party.guests.len(),
        _ => 1,
    }
}

/// The dish that the chosen row of the menu is about.
pub(super) fn chosen_dish(scene: &Scene, ui: &Ui) -> Option<usize> {
    match ui.page {
        Page::Menu => crate::kitchen::menu::by_course(scene.evening).get(ui.row).copied(),
        _ => None,
    }
}
