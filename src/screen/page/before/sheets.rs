//! What can be printed of the evening: Enter writes the chosen one into a file, and the command beside it does so later.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::flow::Flow;
use crate::pages::sheets::Printed;
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, Hit};
use crate::screen::look::Ink;
use crate::screen::ui::Ui;

/// How many things can be printed.
pub(super) const ROWS: usize = Printed::ALL.len();

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let mut flow = Flow::inset(field);
    let lead = match scene.status.demo {
        None => {
            "Enter writes the chosen one into the folder that potwatch was started in; a file that is there stays. \
             The command does the same, PARTY being your party's file."
        }
        Some(_) => {
            "In an evening of your own Enter writes the chosen one into a file; PARTY is your party's file."
        }
    };
    flow.say(canvas, lead, scene.look.ink(Ink::Faint));
    for (row, printed) in Printed::ALL.into_iter().enumerate() {
        let from = flow.rest;
        let chosen = row == ui.row;
        let what = scene.look.ink(if chosen { Ink::Chosen } else { Ink::Strong });
        let mark = if chosen { ">" } else { " " };
        canvas.text(from.x, from.y, 1, mark, what);
        flow.indented(canvas, 2, printed.what(), what);
        flow.indented(canvas, 4, &format!("potwatch {}", printed.command()), Style::new());
        canvas.hit(Rect { height: flow.rest.y.saturating_sub(from.y), ..from }, Hit::Row(row));
    }
}
