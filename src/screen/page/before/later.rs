//! Pages whose lists are not on the screen: where the same is to be found.

use ratatui::layout::Rect;
use ratatui::style::Style;

use crate::screen::Scene;
use crate::screen::canvas::Canvas;
use crate::screen::look::Ink;
use crate::screen::ui::Page;

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, page: Page) {
    let inner = Rect {
        x: field.x + 2,
        y: field.y + 1,
        width: field.width.saturating_sub(4),
        height: field.height.saturating_sub(1),
    };
    let used = canvas.lines(inner, page.title(), scene.look.ink(Ink::Strong));
    let below = Rect { y: inner.y + used, height: inner.height.saturating_sub(used), ..inner };
    canvas.lines(below, words(page), Style::new());
}

const fn words(page: Page) -> &'static str {
    match page {
        Page::Serving => {
            "Which dish goes to the table in what, and what clashes: potwatch sheets PARTY --sheet serving-dishes"
        }
        Page::Ahead => "What can be made the day before stands under what if (9, then 8) for now.",
        _ => {
            "Printed from the shell. All of it as a page for browser and printer: potwatch sheets PARTY --format html --out evening.html. For a calendar: --format ics. Lists for the phone: potwatch shopping PARTY --format html --out shopping.html"
        }
    }
}
