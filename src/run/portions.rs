//! Parts of finished dishes that go their own way, and batches that are put
//! together: which foods there are, and where each of them was.
//!
//! A part shares the dish's history up to when it was taken off. What is put
//! together keeps every history: each of them is followed on through the places
//! where the whole of it goes, and the one that was out longest counts.

use super::food::Food;
use super::state::{Reading, State, Stay, Whereabouts};
use crate::kitchen::StationKind;

/// More joints than nine parts of each of a party's dishes can have.
const DEEPEST: usize = 1000;

/// The foods of a dish that are looked after by themselves: the rest, and its
/// parts that were not put together with something.
#[must_use]
pub fn foods(state: &State, dish: usize) -> Vec<Food> {
    let parts = state.facts().portions.range((dish, 0)..=(dish, u32::MAX));
    let own = parts
        .filter(|(_, p)| p.joined.is_none())
        .map(|((_, part), _)| Food { dish, part: Some(*part) });
    std::iter::once(Food { dish, part: None }).chain(own).collect()
}

/// What a food is a part of by now: itself, or what it was put together with.
#[must_use]
pub fn end_of(state: &State, food: Food) -> Food {
    let mut food = food;
    for _ in 0..DEEPEST {
        let portion = food.part.and_then(|part| state.facts().portions.get(&(food.dish, part)));
        match portion.and_then(|p| p.joined) {
            Some((_, dish, part)) => food = Food { dish, part },
            None => break,
        }
    }
    food
}

/// Everything that was put together with a food, and the food itself, first.
#[must_use]
pub fn together(state: &State, food: Food) -> Vec<Food> {
    let parts =
        state.facts().portions.keys().map(|(dish, part)| Food { dish: *dish, part: Some(*part) });
    let joined = parts.filter(|f| *f != food && end_of(state, *f) == food);
    std::iter::once(food).chain(joined).collect()
}

/// Where a food was put, in order of time.
#[must_use]
pub fn stays(state: &State, food: Food) -> Vec<Stay> {
    stays_by(state, food).into_iter().map(|(_, stay)| stay).collect()
}

/// The same, each with the dish whose recipe its hold is of: put together with something else, a part is kept as that is.
#[must_use]
pub fn stays_by(state: &State, food: Food) -> Vec<(usize, Stay)> {
    stays_to(state, food, DEEPEST)
}

fn stays_to(state: &State, food: Food, depth: usize) -> Vec<(usize, Stay)> {
    let own = |stay: &Stay| (food.dish, stay.clone());
    let of_dish = state.facts().stays.get(&food.dish).into_iter().flatten();
    let mut stays: Vec<(usize, Stay)> = of_dish.map(own).collect();
    let portion = food.part.and_then(|part| state.facts().portions.get(&(food.dish, part)));
    let Some(portion) = portion else { return stays };
    stays.retain(|(_, s)| s.at_ms <= portion.from_ms);
    stays.extend(portion.stays.iter().map(own));
    let Some((joined_ms, dish, part)) = portion.joined.filter(|_| depth > 0) else { return stays };
    stays.retain(|(_, s)| s.at_ms <= joined_ms);
    let onto = stays_to(state, Food { dish, part }, depth - 1);
    // Where that was when they were put together; nobody marked it: it stood out.
    let then = onto.iter().rev().find(|(_, s)| s.at_ms <= joined_ms);
    let out = Whereabouts::Held { hold: None, place: StationKind::Counter, station: None };
    let (of, at) = then.map_or((dish, out), |(of, s)| (*of, s.at.clone()));
    stays.push((of, Stay { at_ms: joined_ms, at }));
    stays.extend(onto.into_iter().filter(|(_, s)| s.at_ms > joined_ms));
    stays
}

/// The temperatures that were taken in a food, in order of time.
#[must_use]
pub fn taken(state: &State, food: Food) -> Vec<Reading> {
    taken_to(state, food, DEEPEST)
}

fn taken_to(state: &State, food: Food, depth: usize) -> Vec<Reading> {
    let of_dish = state.facts().taken.get(&food.dish).cloned().unwrap_or_default();
    let Some(part) = food.part else { return of_dish };
    let Some(portion) = state.facts().portions.get(&(food.dish, part)) else { return of_dish };
    let mut taken = of_dish;
    taken.retain(|r| r.at_ms <= portion.from_ms);
    taken.extend(portion.taken.iter().copied());
    if let Some((joined_ms, dish, part)) = portion.joined.filter(|_| depth > 0) {
        taken.retain(|r| r.at_ms <= joined_ms);
        let onto = taken_to(state, Food { dish, part }, depth - 1);
        taken.extend(onto.into_iter().filter(|r| r.at_ms > joined_ms));
    }
    taken
}
