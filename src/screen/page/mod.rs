//! The pages, and the frame that most of them share: the title row at the top,
//! the alarm band under it, the words of the last mark and the keys below.

mod alarms;
mod back;
mod before;
mod big;
mod frame;
mod holding;
mod home;
mod list;
mod panel;
mod report;
mod tiny;
mod told;
mod ways;
mod what_if;
mod why;

pub use list::{now_row as plan_now, row_key as plan_row};

use ratatui::crossterm::event::KeyCode;
use ratatui::layout::Rect;

use super::Scene;
use super::canvas::{Canvas, Hit};
use super::ui::{Page, Ui};
use crate::run::{Event, Prompt, View};

/// Below this size only what to do now is shown.
pub const LEAST: (u16, u16) = (60, 18);

/// Below this size no card is drawn.
pub const LEAST_FOR_CARDS: (u16, u16) = (30, 8);

/// Draws the page in front, and the card over it.
pub fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let fits = |least: (u16, u16)| field.width >= least.0 && field.height >= least.1;
    if !fits(LEAST) {
        tiny::draw(canvas, field, scene, ui);
    } else if ui.page == Page::Big {
        big::draw(canvas, field, scene, ui);
    } else {
        let inside = frame::draw(canvas, field, scene, ui);
        match ui.page {
            Page::Chart | Page::Big => home::draw(canvas, inside, scene, ui),
            Page::Holding => holding::draw(canvas, inside, scene, ui),
            Page::Plan => list::draw(canvas, inside, scene, ui),
            Page::Alarms => alarms::draw(canvas, inside, scene, ui),
            Page::Report => report::faces(canvas, inside, scene, ui),
            Page::Ways => ways::draw(canvas, inside, scene),
            Page::WhatIf => what_if::draw(canvas, inside, scene, ui),
            _ => before::draw(canvas, inside, scene, ui),
        }
    }
    if ui.card.is_some() && fits(LEAST_FOR_CARDS) {
        // A press beside the card closes it.
        canvas.hit(field, Hit::Key(KeyCode::Esc));
        let below = told::over_card(canvas, field, scene, ui, fits(LEAST));
        super::card::draw(canvas, below, scene, ui);
    }
}

/// What each row of the list of the page in front is about, by a name that it keeps while the list changes around it;
/// none where rows are lines of a text or keys name what they are about.
#[must_use]
pub fn row_names(scene: &Scene, page: Page) -> Vec<String> {
    match page {
        Page::Plan => list::names(scene),
        Page::Alarms => scene.view.alarms.iter().map(|a| a.key.clone()).collect(),
        Page::Holding => {
            let held = scene.view.holding.iter().chain(&scene.view.portions);
            held.map(|h| format!("{} {:?}", h.dish, h.part)).collect()
        }
        Page::WhatIf => {
            let rows = scene.status.tries.rows.iter();
            rows.map(|(of, _)| format!("{:?}", of.changes)).collect()
        }
        _ => Vec::new(),
    }
}

/// The thing that the large countdown counts down to: what wants hands now, or next.
#[must_use]
pub fn focus(view: &View) -> Option<&Prompt> {
    view.do_now.first().or_else(|| view.next.first())
}

/// What the large countdown counts down to (unix ms): the thing that wants
/// hands, or after the last service the nearest safe limit of what is still out.
#[must_use]
pub fn deadline(view: &View) -> Option<i64> {
    let out_still = view.ending.as_ref().is_some_and(|e| !e.closed);
    let limits = view.holding.iter().filter_map(|h| h.safe.at_ms);
    let nearest = limits.filter(|at| out_still && *at > view.now_ms).min();
    focus(view).map(|p| p.due_ms).or(nearest)
}

/// How far the reasons of the explained block can be scrolled.
#[must_use]
pub fn why_lines(scene: &Scene) -> usize {
    why::lines(scene)
}

/// The dish that the chosen row of a page before the evening is about.
#[must_use]
pub fn chosen_dish(scene: &Scene, ui: &Ui) -> Option<usize> {
    before::chosen_dish(scene, ui)
}

/// What ticking the chosen line of a list off means, or taking its tick away.
#[must_use]
pub fn tick(scene: &Scene, ui: &Ui) -> Option<Event> {
    let line = before::tick(scene, ui)?;
    let on = !scene.view.ticked.contains(&line);
    Some(Event::Ticked { line, on })
}

/// The chosen dish for as many as guests and appetite ask for, if it is made for others.
#[must_use]
pub fn as_asked(scene: &Scene, ui: &Ui) -> Option<Event> {
    let (dish, servings) = before::as_asked(scene, ui)?;
    Some(Event::ServingsChanged { dish, servings })
}

/// How many rows the list of the page in front has.
#[must_use]
pub fn rows(scene: &Scene, ui: &Ui) -> usize {
    match ui.page {
        Page::Plan => list::count(scene),
        Page::Alarms => scene.view.alarms.len(),
        Page::Holding => scene.view.holding.len() + scene.view.portions.len(),
        Page::Report => report::rows(scene, ui),
        Page::WhatIf => scene.status.tries.rows.len(),
        Page::Chart | Page::Big | Page::Ways => 1,
        _ => before::rows(scene, ui),
    }
}

/// The letter of a dish, or nothing.
fn letter(scene: &Scene, dish: Option<usize>) -> String {
    let sheet = dish.and_then(|d| scene.evening.sheets.get(d));
    sheet.map_or(String::new(), |s| s.letter.to_string())
}
