//! An evening looked back at as a picture: for each dish a lane as it was planned
//! and below it one as it happened.

use super::draw::{pictures_of, whole_of};
use super::lanes::{Item, Lane, Shape};
use crate::kitchen::{Evening, Minute};
use crate::paper::Picture;
use crate::plan::Plan;

/// Something that happened to a dish.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Happened {
    /// Index of the dish.
    pub dish: usize,
    /// First minute.
    pub from: Minute,
    /// Minute after the last.
    pub to: Minute,
    /// A word for the block.
    pub label: String,
    /// All of it, for who points at it or has it read aloud.
    pub words: String,
    /// It waited there, finished.
    pub waits: bool,
}

/// What the shapes of these pictures mean.
pub const LEGEND: &str =
    "Dashed: as planned when the evening began. Filled: as it happened. Hatched: waited, finished.";

/// A picture for each stretch of time. `plan` is the one with which the evening began.
#[must_use]
pub fn compared(evening: &Evening, plan: &Plan, happened: &[Happened]) -> Vec<Picture> {
    pictures_of(evening, plan, &lanes(evening, plan, happened))
}

/// All of them as one picture, a file of its own.
#[must_use]
pub fn compared_whole(evening: &Evening, plan: &Plan, happened: &[Happened]) -> String {
    whole_of(evening, plan, &lanes(evening, plan, happened), &[LEGEND.to_owned()])
}

fn lanes(evening: &Evening, plan: &Plan, happened: &[Happened]) -> Vec<Lane> {
    let mut lanes = Vec::new();
    for (dish, sheet) in evening.sheets.iter().enumerate() {
        let blocks = plan.blocks.iter().filter(|b| b.key.dish == dish);
        let planned = blocks.map(|b| {
            let step = sheet.recipe.steps.get(b.key.step);
            let label = step.map(|s| s.label.clone()).unwrap_or_default();
            let when = format!("{} to {}", evening.face.label(b.start), evening.face.label(b.end));
            Item {
                shape: Shape::Wait,
                dish: Some(dish),
                from: b.start,
                to: b.end,
                words: format!("{}, planned: {label}, {when}", sheet.recipe.title),
                names: vec![label],
            }
        });
        let actual = happened.iter().filter(|h| h.dish == dish).map(|h| Item {
            shape: if h.waits { Shape::Hold } else { Shape::Step },
            dish: Some(dish),
            from: h.from,
            to: h.to,
            words: h.words.clone(),
            names: vec![h.label.clone()],
        });
        let planned = planned.collect();
        lanes.push(Lane { title: format!("{} as planned", sheet.letter), items: planned });
        let title = format!("{} {}", sheet.letter, sheet.short());
        lanes.push(Lane { title, items: actual.collect() });
    }
    lanes.retain(|lane| !lane.items.is_empty());
    lanes
}
