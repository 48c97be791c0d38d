//! What can be printed of the evening, and how: paper is made by a command, so that it can go to a file or a printer.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::flow::Flow;
use crate::screen::Scene;
use crate::screen::canvas::Canvas;
use crate::screen::look::Ink;

/// What is printed, and the words after `potwatch` and before the party file's name.
const PRINTED: [(&str, &str); 6] = [
    (
        "All of it as one page, for a browser and the printer: what to buy, knife work, trays, chart, run sheet, \
         serving dishes, cards, labels, guidance",
        "sheets PARTY --format html --out evening.html",
    ),
    (
        "As text, all of it or some: shopping, mise, trays, chart, run-sheet, serving-dishes, cards, labels, guidance",
        "sheets PARTY --sheet run-sheet --sheet trays",
    ),
    ("The day and its alarms for a calendar", "sheets PARTY --format ics --out evening.ics"),
    ("The lane chart as a picture", "sheets PARTY --format svg --out chart.svg"),
    (
        "The shopping list alone, for the phone or the printer",
        "shopping PARTY --format html --out shopping.html",
    ),
    ("The temperature log, afterwards", "log PARTY --format html --out log.html"),
];

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene) {
    let mut flow = Flow::inset(field);
    flow.say(canvas, "Printed from the shell; PARTY is your party's file:", Style::new());
    for (what, how) in PRINTED {
        flow.say(canvas, what, scene.look.ink(Ink::Strong));
        flow.indented(canvas, 2, &format!("potwatch {how}"), Style::new());
    }
}
