//! What each guest can choose from: every dish held against every diet and
//! avoidance. Three answers and no promise: something in it speaks against it,
//! the label decides, or nothing is known against it in the words given.

use super::evening::{Evening, Sheet};
use super::items::{self, Allergen, Answer, Diet};
use super::party::Guest;
use super::recipe::{Course, Ingredient};

/// An ingredient that speaks against a dish, or may.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reason {
    /// Index of the ingredient in the recipe.
    pub ingredient: usize,
    /// The diet or avoidance, as the guest says it.
    pub against: String,
    /// How sure that is.
    pub answer: Answer,
}

/// A dish for a guest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// The worst that is known of it.
    pub answer: Answer,
    /// Why, the worst first.
    pub reasons: Vec<Reason>,
}

/// How many dishes of a course a guest can choose from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Count {
    /// Nothing is known against them.
    pub open: usize,
    /// The label decides.
    pub label: usize,
}

/// Does a guest find enough?
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Enough {
    /// Of dishes against which nothing is known.
    Yes,
    /// If the labels allow it.
    IfLabelsAllow,
    /// Whatever the labels say, there is too little.
    No,
}

/// What a guest can choose from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    /// Each dish, in the order of the evening's sheets.
    pub dishes: Vec<Finding>,
    /// Starters.
    pub starters: Count,
    /// Mains.
    pub mains: Count,
    /// Is it enough?
    pub enough: Enough,
}

/// The least of starters and of mains that each guest should find. Our choice.
pub const LEAST: (usize, usize) = (2, 2);

/// What each guest of an evening can choose from among the dishes that are made.
#[must_use]
pub fn choices(evening: &Evening, dropped: &[usize]) -> Vec<Choice> {
    evening.party.guests.iter().map(|guest| choice(evening, guest, dropped)).collect()
}

fn choice(evening: &Evening, guest: &Guest, dropped: &[usize]) -> Choice {
    let dishes: Vec<Finding> = evening.sheets.iter().map(|sheet| finding(sheet, guest)).collect();
    let count = |course: Course| {
        let mut count = Count::default();
        for (d, (sheet, found)) in evening.sheets.iter().zip(&dishes).enumerate() {
            if sheet.recipe.course != course || dropped.contains(&d) {
                continue;
            }
            match found.answer {
                Answer::NothingKnown => count.open += 1,
                Answer::MayContain => count.label += 1,
                Answer::Contains => {}
            }
        }
        count
    };
    let (starters, mains) = (count(Course::Starter), count(Course::Main));
    let enough = enough(starters, LEAST.0).max(enough(mains, LEAST.1));
    Choice { dishes, starters, mains, enough }
}

fn enough(count: Count, least: usize) -> Enough {
    match count {
        c if c.open >= least => Enough::Yes,
        c if c.open + c.label >= least => Enough::IfLabelsAllow,
        _ => Enough::No,
    }
}

/// What is known of a dish and a guest.
#[must_use]
pub fn finding(sheet: &Sheet, guest: &Guest) -> Finding {
    let mut reasons = Vec::new();
    for (ingredient, of) in sheet.recipe.ingredients.iter().enumerate() {
        let diets = guest.diets.iter().map(|w| (w, true));
        let avoids = guest.avoids.iter().map(|w| (w, false));
        for (wish, is_diet) in diets.chain(avoids) {
            let answer = against(of, wish, is_diet);
            if answer > Answer::NothingKnown {
                reasons.push(Reason { ingredient, against: wish.clone(), answer });
            }
        }
    }
    reasons.sort_by_key(|r| (std::cmp::Reverse(r.answer), r.ingredient));
    let answer = reasons.first().map_or(Answer::NothingKnown, |r| r.answer);
    Finding { answer, reasons }
}

/// What is known of an ingredient and something that a guest does not eat. A
/// diet that nobody here knows leaves it to the label.
fn against(of: &Ingredient, wish: &str, is_diet: bool) -> Answer {
    match (is_diet, Diet::named(wish), Allergen::named(wish)) {
        (_, Some(diet), _) => items::ingredient_against(of, diet),
        (true, None, _) => Answer::MayContain,
        (false, None, Some(allergen)) => items::ingredient_allergen(of, allergen),
        (false, None, None) => items::avoided(&of.item, wish),
    }
}
