//! Does a party make sense? Everything that is wrong with it, all at once.
//!
//! A party whose check finds nothing of [`Severity::Wrong`] can be made into an
//! [`crate::kitchen::Evening`] that the planner, the run and the screens read without a further
//! doubt: every id resolves, no chain of steps runs in a circle, every step has
//! a way that this kitchen allows, every number lies within the bounds below.

mod evening;
mod fit;
mod order;
mod party;
mod recipe;
mod report;
mod stations;
mod steps;
pub mod suits;
pub mod words;

pub use evening::{as_made, evening, free_letter, self_contained};
pub use report::{Document, Place, Problem, Severity};

use super::{Clockface, Kitchen, Party, Recipe, borrowed};
use report::Report;

/// Most dishes in a party: letters and lanes stay readable.
pub const MOST_DISHES: usize = 40;
/// Most steps of all dishes together.
pub const MOST_STEPS: usize = 400;
/// Most servings of a dish or a recipe.
pub const MOST_SERVINGS: u32 = 500;
/// Most minutes that one step takes, all its loads together: a day.
pub const MOST_STEP_MINUTES: u32 = 24 * 60;
/// Most minutes that food must wait between two steps: two days, as far back
/// as an evening is planned.
pub const MOST_MUST_WAIT_MINUTES: u32 = 48 * 60;
/// Most minutes that food may wait, between steps or finished: two weeks.
pub const MOST_WAIT_MINUTES: u32 = 14 * 24 * 60;
/// Most quality points that one thing may cost.
pub const MOST_POINTS: u32 = 1000;
/// Lowest and highest temperature that a file may name, °C.
pub const TEMPERATURES_C: (i32, i32) = (-40, 600);

/// What the check must know of a guidance profile. The figures themselves are
/// kept by the safety rules.
#[derive(Debug, Clone, PartialEq)]
pub struct HoldLimits {
    /// The profile's id, as a party names it.
    pub guidance: String,
    /// Food kept hot stays at or above this, °C.
    pub hot_c: f64,
}

/// Everything wrong with, or worth knowing about, a party with its kitchen and
/// its recipes (one a dish, in the party's order). `limits` holds each known
/// guidance profile.
#[must_use]
pub fn check(
    party: &Party,
    kitchen: &Kitchen,
    recipes: &[Recipe],
    limits: &[HoldLimits],
) -> Vec<Problem> {
    let recipes: Vec<Option<&Recipe>> = recipes.iter().map(Some).collect();
    check_parts(party, Some(kitchen), &recipes, limits)
}

/// Like [`check`], with what could be read: a party whose kitchen or some of
/// whose recipes are missing is checked as far as it goes.
#[must_use]
pub fn check_parts(
    party: &Party,
    kitchen: Option<&Kitchen>,
    recipes: &[Option<&Recipe>],
    limits: &[HoldLimits],
) -> Vec<Problem> {
    let mut report = Report::of(Document::Party);
    party::check(party, recipes, limits, &mut report);
    let mut all = report.into_problems();
    let limit = limits.iter().find(|l| l.guidance == party.guidance);
    let mut sound_kitchen = None;
    if let Some(kitchen) = kitchen {
        let mut report = Report::of(Document::Kitchen);
        stations::check(kitchen, &mut report);
        let sound = report.is_sound();
        all.extend(report.into_problems());
        if sound {
            let mut report = Report::of(Document::Party);
            party::borrowed(party, kitchen, &mut report);
            all.extend(report.into_problems());
            sound_kitchen = Some(borrowed::with(kitchen.clone(), &party.borrowed));
        }
    }
    for (index, recipe) in recipes.iter().enumerate() {
        let Some(recipe) = recipe else { continue };
        let mut report = Report::of(Document::Recipe(index));
        recipe::check(recipe, limit, &mut report);
        let sound = report.is_sound();
        all.extend(report.into_problems());
        let dish = party.dishes.get(index).filter(|d| (1..=MOST_SERVINGS).contains(&d.servings));
        // What is wrong in itself would only repeat itself where the two meet.
        if let (Some(kitchen), Some(dish), true) = (&sound_kitchen, dish, sound) {
            let mut report = Report::of(Document::Party);
            let made = as_made(dish, (*recipe).clone());
            fit::check(index, dish, &made, kitchen, &mut report);
            fit::day_before(index, dish, recipe, kitchen, &mut report);
            all.extend(report.into_problems());
        }
    }
    all
}

/// Everything wrong with a recipe by itself.
#[must_use]
pub fn check_recipe(recipe: &Recipe) -> Vec<Problem> {
    let mut report = Report::of(Document::Recipe(0));
    recipe::check(recipe, None, &mut report);
    report.into_problems()
}

/// Everything wrong with a kitchen by itself.
#[must_use]
pub fn check_kitchen(kitchen: &Kitchen) -> Vec<Problem> {
    let mut report = Report::of(Document::Kitchen);
    stations::check(kitchen, &mut report);
    report.into_problems()
}

/// What only the wall clock of the day can show to be wrong: a stretch of a
/// cook's hours that falls into the hour which the clocks skip.
#[must_use]
pub fn check_clock(party: &Party, face: &Clockface) -> Vec<Problem> {
    let mut report = Report::of(Document::Party);
    for (c, cook) in party.cooks.iter().enumerate() {
        for (f, stretch) in cook.free.iter().enumerate() {
            if stretch.from < stretch.to
                && face.minute_of(stretch.from) >= face.minute_of(stretch.to)
            {
                report.wrong(
                    format!("cooks[{c}].free[{f}]"),
                    format!("{} to {} is skipped on that night", stretch.from, stretch.to),
                    "Write hours outside the one that the clocks skip",
                );
            }
        }
    }
    report.into_problems()
}

#[cfg(test)]
mod tests;
