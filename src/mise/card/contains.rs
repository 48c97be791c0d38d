//! What a dish contains, as far as the words of its recipe tell.

use crate::kitchen::Recipe;
use crate::kitchen::items::{Allergen, Answer, ingredient_allergen};

/// The allergens of a dish.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Contains {
    /// Those that are in it.
    pub contains: Vec<Allergen>,
    /// Those that may be in it.
    pub may: Vec<Allergen>,
    /// The ingredients whose labels decide about those.
    pub read: Vec<String>,
}

/// The allergens of a dish, optional ingredients counted too.
#[must_use]
pub fn contains(recipe: &Recipe) -> Contains {
    let mut found = Contains::default();
    for allergen in Allergen::ALL {
        let answers = recipe.ingredients.iter().map(|i| (ingredient_allergen(i, allergen), i));
        match answers.clone().map(|a| a.0).max() {
            Some(Answer::Contains) => found.contains.push(allergen),
            Some(Answer::MayContain) => found.may.push(allergen),
            _ => {}
        }
        for (_, ingredient) in answers.filter(|a| a.0 == Answer::MayContain) {
            if !found.read.contains(&ingredient.item) {
                found.read.push(ingredient.item.clone());
            }
        }
    }
    found
}

impl Contains {
    /// "milk, wheat"; what is not known is not called absent.
    #[must_use]
    pub fn words(&self) -> String {
        let names: Vec<&str> = self.contains.iter().map(|a| a.word()).collect();
        match (names.is_empty(), self.read.is_empty()) {
            (false, _) => names.join(", "),
            (true, false) => "no allergen named in the recipe; labels decide".to_owned(),
            (true, true) => "no allergen named in the recipe".to_owned(),
        }
    }
}
