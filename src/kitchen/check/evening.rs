//! From a checked party to the evening that everything else reads.

use std::collections::BTreeSet;

use crate::kitchen::{
    Clockface, Customs, Dish, Evening, Kitchen, OwnTimes, Party, Recipe, Sheet, Sourced, ahead,
    borrowed, swap,
};

/// Puts a checked party together: one sheet a dish, each with its own letter.
/// `kitchen` is the cook's own, and `recipes` holds one recipe a dish, in the party's order.
#[must_use]
pub fn evening(party: Party, kitchen: Kitchen, recipes: Vec<Recipe>, face: Clockface) -> Evening {
    let letters = letters(&party.dishes, &recipes);
    let sheets = party
        .dishes
        .iter()
        .zip(recipes)
        .zip(letters)
        .map(|((dish, recipe), letter)| Sheet {
            id: dish.id.clone(),
            letter,
            recipe: as_made(dish, recipe.clone()),
            written: recipe,
            servings: dish.servings,
            service: party.services.iter().position(|s| s.id == dish.service).unwrap_or(0),
            jobs: Vec::new(),
            waits_for: Vec::new(),
        })
        .collect();
    let kitchen = borrowed::with(kitchen, &party.borrowed);
    let customs = Customs { hours: face.hours, ..Customs::default() };
    Evening { party, kitchen, sheets, face, customs, own_times: OwnTimes::default() }
        .read_by(customs)
}

/// The recipe as the dish is made by it: with other items in all or half of it,
/// and the day before, if it is to be and can.
#[must_use]
pub fn as_made(dish: &Dish, recipe: Recipe) -> Recipe {
    let recipe = swap::halved(swap::swapped(recipe, &dish.swaps), &dish.half);
    if !dish.day_before {
        return recipe;
    }
    ahead::day_before(&recipe).unwrap_or(recipe)
}

/// The party with its kitchen and recipes written out in place: one file that
/// needs no other.
#[must_use]
pub fn self_contained(evening: &Evening) -> Party {
    let mut party = evening.party.clone();
    party.kitchen = Sourced::Inline(Box::new(evening.own_kitchen()));
    for (dish, sheet) in party.dishes.iter_mut().zip(&evening.sheets) {
        dish.recipe = Sourced::Inline(Box::new(sheet.written.clone()));
        dish.letter = Some(sheet.letter);
    }
    party
}

/// A letter for each dish: its own, or the first free one of its title, or the
/// first free one at all.
fn letters(dishes: &[Dish], recipes: &[Recipe]) -> Vec<char> {
    let mut taken: BTreeSet<char> = dishes.iter().filter_map(|d| d.letter).collect();
    dishes
        .iter()
        .zip(recipes)
        .map(|(dish, recipe)| {
            let letter = dish.letter.unwrap_or_else(|| free_letter(&recipe.title, &taken));
            taken.insert(letter);
            letter
        })
        .collect()
}

/// The first letter of a title that is not taken, or the first free one at all.
#[must_use]
pub fn free_letter(title: &str, taken: &BTreeSet<char>) -> char {
    let of_title = title.chars().filter(char::is_ascii_alphabetic);
    let all = ('A'..='Z').chain('a'..='z').chain('0'..='9');
    let mut letters = of_title.map(|c| c.to_ascii_uppercase()).chain(all);
    letters.find(|c| !taken.contains(c)).unwrap_or('?')
}
