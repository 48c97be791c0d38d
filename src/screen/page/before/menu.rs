//! The menu: the dishes by course, and what there is to see to.

mod dishes;

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::flow::Flow;
use crate::pages::menu::{Basis, Remark, remarks};
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, bottom, left};
use crate::screen::look::Ink;
use crate::screen::ui::Ui;

/// From this width on the remarks stand beside the dishes, not below them.
const SIDE_BY_SIDE: u16 = 116;

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let remarks = remarks(Basis {
        evening: scene.evening,
        plan: scene.plan,
        odds: scene.status.odds.as_ref(),
        dropped: &scene.view.dropped,
        outdated: scene.view.outdated,
    });
    let (list, beside) = if field.width >= SIDE_BY_SIDE {
        let wide = (field.width * 6 / 10).max(76);
        left(field, wide)
    } else {
        let dishes = u16::try_from(scene.evening.sheets.len()).unwrap_or(u16::MAX);
        let wanted = dishes.saturating_add(2).min(field.height * 6 / 10);
        bottom(field, field.height.saturating_sub(wanted))
    };
    dishes::draw(canvas, list, scene, ui);
    notes(canvas, beside, scene, &remarks);
}

/// What there is to see to, then what is so.
fn notes(canvas: &mut Canvas, field: Rect, scene: &Scene, remarks: &[Remark]) {
    let mut flow = Flow::inset(field);
    let wrong = remarks.iter().filter(|r| r.wrong).count();
    let head = match wrong {
        0 => "Nothing to see to.".to_owned(),
        1 => "One thing to see to:".to_owned(),
        n => format!("{n} things to see to:"),
    };
    flow.say(canvas, &head, scene.look.ink(Ink::Strong));
    for remark in remarks {
        let (sign, style) = match remark.wrong {
            true => (scene.look.glyphs().late, scene.look.ink(Ink::Strong)),
            false => (scene.look.glyphs().dot, Style::new()),
        };
        let Rect { x, y, width, height } = flow.rest;
        if height > 0 {
            canvas.text(x, y, width.min(1), sign, style);
        }
        flow.indented(canvas, 2, &words(remark), style);
    }
}

/// A remark's sentence, and on which page there is more.
fn words(remark: &Remark) -> String {
    match remark.words.strip_suffix('.') {
        Some(words) if remark.guests => format!("{words} (page 2)."),
        _ => remark.words.clone(),
    }
}
