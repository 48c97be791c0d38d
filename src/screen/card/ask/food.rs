//! Rows about parts of dishes, ingredients out early and guidance.

use super::rows::{Choice, digit, mark};
use super::{Ask, Kind, dish_words};
use crate::kitchen::{Kept, StationKind};
use crate::plan::StepKey;
use crate::run::event::Clearing;
use crate::run::{Event, Phase, PortionDid};
use crate::safety::Profile;
use crate::screen::{Scene, marks, text};

impl Ask {
    /// A line of caution or of help under the rows, if the question has one.
    #[must_use]
    pub fn caution(&self) -> Option<&'static str> {
        match self.kind {
            Kind::Guidance => Some(crate::safety::caution::SHORT),
            Kind::Temperature(_) | Kind::PartTemperature(..) => {
                Some(crate::safety::caution::HOW_TO_MEASURE)
            }
            _ => None,
        }
    }

    /// What is said where there is nothing to choose from.
    #[must_use]
    pub const fn none(&self) -> Option<&'static str> {
        match self.kind {
            Kind::Items(_) => Some("Nothing is known that could stand in for what it takes."),
            Kind::OtherService(_) => Some("There is no other service."),
            Kind::Openings(_) => Some("Nothing is known that would open a dish to them."),
            Kind::Shelf => Some("All that is on the shelf is on the menu."),
            _ => None,
        }
    }
}

/// The dishes of which something is there to be divided or moved, in order.
pub fn divisibles(scene: &Scene) -> Vec<usize> {
    let there = scene.view.holding.iter().chain(&scene.view.portions).map(|h| h.dish);
    let mut dishes: Vec<usize> = there.chain(scene.view.away.iter().map(|a| a.0)).collect();
    dishes.sort_unstable();
    dishes.dedup();
    dishes
}

/// The wanted dish if it can be divided, else the first that can.
#[must_use]
pub fn divisible(scene: &Scene, wanted: usize) -> Option<usize> {
    let there = divisibles(scene);
    there.iter().copied().find(|d| *d == wanted).or_else(|| there.first().copied())
}

/// Where a part of a dish can go: one that is taken off now, or one that was.
pub(super) fn portion_rows(scene: &Scene, dish: usize) -> Vec<Choice> {
    let Some(sheet) = scene.evening.sheets.get(dish) else { return Vec::new() };
    let mut rows = Vec::new();
    let mut row = |words: String, part: u32, did: PortionDid| {
        let event = Event::Portion { dish: sheet.id.clone(), part, did };
        rows.push(mark(digit(rows.len()), words, event, false));
    };
    let cold = || {
        let fridge = scene.evening.kitchen.stations.iter().find(|s| s.kind == StationKind::Fridge);
        fridge.map(|s| PortionDid::HeldAt {
            hold: None,
            place: s.kind,
            station: Some(s.id.clone()),
        })
    };
    let there = scene.view.portions.iter().filter(|p| p.dish == dish);
    let known: Vec<u32> = there.filter_map(|p| p.part).collect();
    let whole = scene.view.holding.iter().find(|h| h.dish == dish);
    if let (Some(next), Some(whole)) = (scene.view.next_part.get(dish).copied().flatten(), whole) {
        if !whole.served {
            row(format!("part {next}: to the table, the rest stays"), next, PortionDid::Served);
        }
        if let Some(did) = cold() {
            row(format!("part {next}: into the fridge, the rest stays"), next, did);
        }
        row(format!("part {next}: taken off, stays here for now"), next, PortionDid::TakenOff);
    }
    for part in known {
        row(format!("part {part}: to the table"), part, PortionDid::Served);
        if let Some(did) = cold() {
            row(format!("part {part}: into the fridge"), part, did);
        }
        let eaten = PortionDid::Cleared { how: Clearing::Eaten };
        row(format!("part {part}: nothing is left"), part, eaten);
        let away = PortionDid::Cleared { how: Clearing::PutAway };
        row(format!("part {part}: put away, into the fridge"), part, away);
        let out = PortionDid::Cleared { how: Clearing::ThrownOut };
        row(format!("part {part}: thrown out"), part, out);
        if whole.is_some() {
            let together = PortionDid::JoinedTo { dish: sheet.id.clone(), part: None };
            row(format!("part {part}: put together with the rest"), part, together);
        }
    }
    for (_, part) in scene.view.away.iter().copied().filter(|a| a.0 == dish) {
        row(format!("part {part}, put away: to the table"), part, PortionDid::Served);
        let eaten = PortionDid::Cleared { how: Clearing::Eaten };
        row(format!("part {part}, put away: nothing is left"), part, eaten);
        let out = PortionDid::Cleared { how: Clearing::ThrownOut };
        row(format!("part {part}, put away: thrown out"), part, out);
    }
    rows
}

/// Steps that use something from the fridge and have not begun: out, or back.
#[must_use]
pub fn early_rows(scene: &Scene) -> Vec<Choice> {
    let mut rows = Vec::new();
    for (dish, sheet) in scene.evening.sheets.iter().enumerate() {
        for (step, rule) in sheet.recipe.steps.iter().enumerate() {
            let key = StepKey { dish, step, load: 0 };
            let uses: Vec<&str> = sheet
                .recipe
                .ingredients
                .iter()
                .filter(|i| i.kept != Kept::Cupboard && i.steps.contains(&rule.id))
                .map(|i| i.item.as_str())
                .collect();
            let ahead = matches!(marks::phase(scene, key), Phase::Ahead | Phase::LateStart);
            if uses.is_empty() || !ahead || scene.view.dropped.contains(&dish) {
                continue;
            }
            let Some(id) = marks::step_id(scene, key) else { continue };
            let name = text::tame(&format!("{}: {}", dish_words(scene, dish), uses.join(", ")));
            rows.push(match scene.view.early.contains(&key) {
                true => mark(
                    digit(rows.len()),
                    format!("{name}: back in the fridge"),
                    Event::IngredientsBack { id },
                    false,
                ),
                false => mark(digit(rows.len()), name, Event::IngredientsOut { id }, false),
            });
        }
    }
    rows
}

/// The built-in guidance, the present one marked.
pub(super) fn guidance_rows(scene: &Scene) -> Vec<Choice> {
    let now = scene.evening.party.guidance.as_str();
    let rows = Profile::all().iter().enumerate();
    rows.map(|(i, profile)| {
        let mark_now = if profile.id == now { " (now)" } else { "" };
        let words = format!("{}: {}{mark_now}", profile.id, profile.title);
        mark(digit(i), words, Event::GuidanceChanged { to: profile.id.clone() }, false)
    })
    .collect()
}
