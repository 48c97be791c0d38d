//! Swaps that open a dish to a guest.

use super::{Finding, against, finding_of, wishes};
use crate::kitchen::evening::Evening;
use crate::kitchen::items::Answer;
use crate::kitchen::party::Guest;
use crate::kitchen::recipe::{Course, Ingredient};
use crate::kitchen::swap::{StandIn, halved, stand_ins, swapped};
use crate::order::InOrder;

/// What opens a dish to a guest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opening {
    /// Index of the dish.
    pub dish: usize,
    /// The swaps, all of which it takes.
    pub swaps: Vec<StandIn>,
    /// What is known of the dish then.
    pub answer: Answer,
    /// Half of it is enough: the halves may lie side by side for this guest.
    pub half_will_do: bool,
}

/// The dishes that swaps open to a guest: what counts as enough to choose from first, of that the surest.
/// Dishes without anything against them are not among them.
#[must_use]
pub fn openings(evening: &Evening, guest: &Guest, dropped: &[usize]) -> Vec<Opening> {
    let made = (0..evening.sheets.len()).filter(|d| !dropped.contains(d));
    let mut all: Vec<Opening> = made.filter_map(|dish| opening(evening, guest, dish)).collect();
    let course = |dish: usize| evening.sheets.get(dish).map(|s| s.recipe.course);
    let rank = |o: &Opening| match course(o.dish) {
        Some(Course::Main) => 0,
        Some(Course::Starter) => 1,
        _ => 2,
    };
    let counts = |o: &Opening| rank(o) < 2;
    all.order_by_key(|o| (!counts(o), o.answer, rank(o), o.swaps.len(), o.dish));
    all
}

fn opening(evening: &Evening, guest: &Guest, dish: usize) -> Option<Opening> {
    let sheet = evening.sheets.get(dish)?;
    let entry = evening.party.dishes.get(dish)?;
    let now = finding_of(&sheet.recipe, guest);
    if now.answer == Answer::NothingKnown || now.too_hot {
        return None;
    }
    let swaps = swaps_against(&sheet.written.ingredients, guest)?;
    let others = |of: &[StandIn]| -> Vec<StandIn> {
        of.iter().filter(|s| !swaps.iter().any(|n| n.item == s.item)).cloned().collect()
    };
    // What stands in for something else stays, in all of it or in half.
    let base = halved(swapped(sheet.written.clone(), &others(&entry.swaps)), &others(&entry.half));
    let whole = finding_of(&swapped(base.clone(), &swaps), guest);
    if whole.answer >= now.answer {
        return None;
    }
    let half: Finding = finding_of(&halved(base, &swaps), guest);
    let half_will_do = half.answer <= whole.answer;
    Some(Opening { dish, swaps, answer: whole.answer, half_will_do })
}

/// For each ingredient that speaks against the guest's wishes what would not; none
/// if one of those that surely do has nothing that could stand in for it.
fn swaps_against(ingredients: &[Ingredient], guest: &Guest) -> Option<Vec<StandIn>> {
    let wishes = wishes(guest);
    let worst = |of: &Ingredient| {
        let answers = wishes.iter().map(|wish| against(of, wish));
        answers.max().unwrap_or(Answer::NothingKnown)
    };
    let mut swaps: Vec<StandIn> = Vec::new();
    for of in ingredients {
        let now = worst(of);
        if now == Answer::NothingKnown || swaps.iter().any(|s| s.item == of.item) {
            continue;
        }
        let by = stand_ins(of)
            .into_iter()
            .map(|by| (worst(&Ingredient { item: by.clone(), allergens: None, ..of.clone() }), by))
            .filter(|(answer, _)| *answer < now)
            .min_by_key(|(answer, _)| *answer);
        match by {
            Some((_, by)) => swaps.push(StandIn { item: of.item.clone(), by }),
            None if now == Answer::Contains => return None,
            None => {}
        }
    }
    (!swaps.is_empty()).then_some(swaps)
}
