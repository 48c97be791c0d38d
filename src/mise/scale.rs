//! Scaling: what a dish takes for the servings that are made, what of it is
//! rounded, and what does not grow with the guests.
//!
//! `rounding` says what each unit is rounded to, `vessels` which of the
//! kitchen's pans hold it, `beware` what does not grow, `servings` what guests
//! and appetite ask for, `print` puts it into words.

mod beware;
pub mod print;
mod rounding;
mod servings;
mod vessels;

pub use beware::{CrampedStep, cramped_steps};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use rounding::{counted, rounded, step_of};
use servings::Eaters;
pub use servings::{Appetite, servings};
pub use vessels::Vessel;

use super::amounts::{self, Portion};
use crate::kitchen::items::Answer;
use crate::kitchen::units::{Exact, Unit};
use crate::kitchen::{Course, Evening, Sheet, StationKind, choice};

/// All dishes of a party for the servings that are made.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Scaling {
    /// The party's name.
    pub title: String,
    /// Its day, `2026-11-25`.
    pub day: String,
    /// Who comes, counted.
    pub guests: u32,
    /// How much they eat.
    pub appetite: Appetite,
    /// The dishes, in the party's order.
    pub dishes: Vec<Scaled>,
}

/// A dish for the servings that are made.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Scaled {
    /// Id of the dish.
    pub dish: String,
    /// Its letter.
    pub letter: char,
    /// The recipe's title.
    pub title: String,
    /// Servings that the recipe is written for.
    pub written: u32,
    /// Servings that are made.
    pub made: u32,
    /// Made over written, exactly: the working factor by which each amount is multiplied.
    pub factor: Exact,
    /// What guests and appetite ask for, by common practice.
    pub suggested: u32,
    /// How that was reckoned.
    pub suggested_for: String,
    /// What goes in.
    pub amounts: Vec<ScaledAmount>,
    /// How long each step takes, and in how many loads.
    pub steps: Vec<ScaledStep>,
    /// Pans, pots, trays and bowls.
    pub vessels: Vec<Vessel>,
    /// What does not grow in proportion, each a sentence.
    pub beware: Vec<String>,
}

/// An amount for the servings that are made.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ScaledAmount {
    /// The item, in the recipe's words.
    pub item: String,
    /// Exactly; nothing for "to taste".
    pub exact: Option<Exact>,
    /// The upper end, where the recipe gives a range.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exact_to: Option<Exact>,
    /// Rounded to what can be measured or counted out.
    pub rounded: Option<Exact>,
    /// The upper end, rounded alike.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rounded_to: Option<Exact>,
    /// The unit of all of them.
    pub unit: Unit,
    /// It comes in whole ones, so that rounding shows: eggs, cans, packets, pieces.
    pub counted: bool,
    /// By how many per cent the rounded amount is more (or, below nought, less).
    pub off_percent: i32,
}

/// A step for the servings that are made, in its first way.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ScaledStep {
    /// Its label.
    pub label: String,
    /// Where it is done in that way.
    pub station: StationKind,
    /// Loads, one after another.
    pub loads: u32,
    /// Servings in the fullest of them, where it is done in loads.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_servings: Option<u32>,
    /// Likely minutes of one load.
    pub minutes: i32,
    /// Likely minutes of one load as the recipe is written.
    pub written_minutes: i32,
    /// Loads as the recipe is written.
    pub written_loads: u32,
}

/// Every dish of the evening, scaled.
#[must_use]
pub fn evening(evening: &Evening) -> Scaling {
    without(evening, &[])
}

/// Every dish that is not dropped, scaled.
#[must_use]
pub fn without(evening: &Evening, dropped: &[usize]) -> Scaling {
    let eaters = eaters(evening, dropped);
    let of_dish = |dish| scaled(evening, dish, dropped, eaters.get(dish).copied()?);
    let dishes = (0..evening.sheets.len()).filter(|dish| !dropped.contains(dish));
    Scaling {
        title: evening.party.title.clone(),
        day: evening.party.day.to_string(),
        guests: guests(evening),
        appetite: evening.party.appetite,
        dishes: dishes.filter_map(of_dish).collect(),
    }
}

fn guests(evening: &Evening) -> u32 {
    evening.party.guests.iter().fold(0, |sum: u32, g| sum.saturating_add(g.count))
}

/// One dish of the evening beside those that are not dropped; nothing if there is no such dish.
#[must_use]
pub fn of_dish(evening: &Evening, dish: usize, dropped: &[usize]) -> Option<Scaled> {
    scaled(evening, dish, dropped, eaters(evening, dropped).get(dish).copied()?)
}

/// For each dish the guests who may eat of it, whatever labels say, and which of them find no other of its course.
fn eaters(evening: &Evening, dropped: &[usize]) -> Vec<Eaters> {
    let mut all = vec![Eaters::default(); evening.sheets.len()];
    for guest in &evening.party.guests {
        let open = |sheet: &Sheet| {
            let found = choice::finding(sheet, guest);
            found.answer != Answer::Contains && !found.too_hot
        };
        let made = evening.sheets.iter().enumerate().filter(|(d, _)| !dropped.contains(d));
        let finds: Vec<(usize, Course)> =
            made.filter(|(_, s)| open(s)).map(|(d, s)| (d, s.recipe.course)).collect();
        for (dish, course) in &finds {
            let no_other = finds.iter().filter(|f| f.1 == *course).count() == 1;
            let Some(of) = all.get_mut(*dish) else { continue };
            of.eat = of.eat.saturating_add(guest.count);
            of.only = of.only.saturating_add(if no_other { guest.count } else { 0 });
        }
    }
    all
}

fn scaled(evening: &Evening, dish: usize, dropped: &[usize], eaters: Eaters) -> Option<Scaled> {
    let sheet = evening.sheets.get(dish)?;
    let recipe = &sheet.recipe;
    let course = recipe.course;
    let alike = amounts::made(evening, dropped).filter(|s| s.recipe.course == course).count();
    let (guests, appetite) = (guests(evening), evening.party.appetite);
    let portions: Vec<Portion<'_>> = amounts::of_sheet(dish, sheet).collect();
    Some(Scaled {
        dish: sheet.id.clone(),
        letter: sheet.letter,
        title: recipe.title.clone(),
        written: recipe.servings,
        made: sheet.servings,
        factor: amounts::factor(sheet),
        suggested: servings::for_eaters(course, (guests, eaters), alike, appetite),
        suggested_for: servings::words(course, (guests, eaters), alike, appetite),
        amounts: portions.iter().map(scaled_amount).collect(),
        steps: steps(sheet),
        vessels: vessels::vessels(&evening.kitchen, sheet),
        beware: beware::beware(&evening.kitchen, sheet, &portions),
    })
}

fn scaled_amount(portion: &Portion<'_>) -> ScaledAmount {
    let (unit, item) = (portion.unit, portion.item());
    let round = |amount: Exact| rounded(amount, unit, item);
    let (exact, exact_to) = (portion.amount, portion.amount_to);
    let most = exact_to.or(exact);
    ScaledAmount {
        item: portion.ingredient.item.clone(),
        exact,
        exact_to,
        rounded: exact.map(round),
        rounded_to: exact_to.map(round),
        unit,
        counted: counted(unit),
        off_percent: most.map_or(0, |exact| rounding::off_percent(exact, round(exact))),
    }
}

fn steps(sheet: &Sheet) -> Vec<ScaledStep> {
    let written = Sheet { servings: sheet.recipe.servings, ..sheet.clone() };
    let steps = sheet.recipe.steps.iter().enumerate();
    let scaled = steps.filter_map(|(s, step)| {
        let way = step.ways.first()?;
        Some(ScaledStep {
            label: step.label.clone(),
            station: way.station,
            loads: sheet.loads(s, 0),
            load_servings: way.load_servings.map(|n| n.min(sheet.servings)),
            minutes: sheet.minutes(s, 0),
            written_minutes: written.minutes(s, 0),
            written_loads: written.loads(s, 0),
        })
    });
    scaled.collect()
}

#[cfg(test)]
mod tests;
