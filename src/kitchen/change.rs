//! Changes of the party: what the cook decides about dishes and guests after the
//! file was read. A change is data that a journal keeps, so each brings with it
//! all that it needs.

use serde::{Deserialize, Serialize};

use super::ahead;
use super::borrowed::{self, Borrowed};
use super::check::{self, HoldLimits, Place, Problem, Severity};
use super::evening::{Evening, Sheet};
use super::party::{Appetite, Dish, Guest, Least, Sourced};
use super::recipe::Recipe;
use super::swap::StandIn;

/// A change of the party. Dishes and services are named by their ids.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "to")]
pub enum PartyChange {
    /// A dish more, after all others.
    DishAdded {
        /// The dish; its recipe is written out in it.
        dish: Box<Dish>,
    },
    /// A dish goes to the table with another service.
    DishMoved {
        /// The dish.
        dish: String,
        /// The service.
        service: String,
    },
    /// Something stands in for an item of a dish, or no more.
    Swapped {
        /// The dish.
        dish: String,
        /// The item, as the recipe calls it.
        item: String,
        /// What comes instead; none: the item after all.
        by: Option<String>,
    },
    /// The same in half of the dish.
    Halved {
        /// The dish.
        dish: String,
        /// The item, as the recipe calls it.
        item: String,
        /// What comes instead in that half; none: the item in all of it.
        by: Option<String>,
    },
    /// A dish is made the day before, as far as it keeps, or on the day.
    DayBefore {
        /// The dish.
        dish: String,
        /// The day before?
        on: bool,
    },
    /// A dish is made by another recipe, or by its own after it was mended.
    RecipeChanged {
        /// The dish.
        dish: String,
        /// The recipe, whole.
        recipe: Box<Recipe>,
    },
    /// Something else is borrowed.
    Borrowed {
        /// All that is.
        all: Vec<Borrowed>,
    },
    /// Others come, or they eat otherwise.
    GuestsChanged {
        /// All guests.
        guests: Vec<Guest>,
    },
    /// How much each guest should find to choose from.
    LeastChanged {
        /// Starters.
        starters: u32,
        /// Mains.
        mains: u32,
    },
    /// The guests eat more or less.
    AppetiteChanged {
        /// How much.
        appetite: Appetite,
    },
}

impl PartyChange {
    /// Id of the dish that it is about, if it is about one.
    #[must_use]
    pub fn dish(&self) -> Option<&str> {
        match self {
            Self::DishAdded { dish } => Some(&dish.id),
            Self::DishMoved { dish, .. }
            | Self::Swapped { dish, .. }
            | Self::Halved { dish, .. }
            | Self::DayBefore { dish, .. }
            | Self::RecipeChanged { dish, .. } => Some(dish),
            Self::Borrowed { .. }
            | Self::GuestsChanged { .. }
            | Self::LeastChanged { .. }
            | Self::AppetiteChanged { .. } => None,
        }
    }

    /// Does it move anything on the chart?
    #[must_use]
    pub const fn wants_plan(&self) -> bool {
        match self {
            Self::DishAdded { .. }
            | Self::DishMoved { .. }
            | Self::DayBefore { .. }
            | Self::Borrowed { .. }
            | Self::RecipeChanged { .. } => true,
            Self::Swapped { .. }
            | Self::Halved { .. }
            | Self::GuestsChanged { .. }
            | Self::LeastChanged { .. }
            | Self::AppetiteChanged { .. } => false,
        }
    }

    /// Are the dish's steps others afterwards, so that none may have begun?
    #[must_use]
    pub const fn changes_steps(&self) -> bool {
        matches!(self, Self::DayBefore { .. } | Self::RecipeChanged { .. })
    }

    /// The evening after the change. `limits` holds each known guidance profile.
    ///
    /// # Errors
    /// One sentence with what is wrong and what would help, if there is no such
    /// dish or service or the party would make no sense afterwards.
    pub fn apply(&self, evening: &Evening, limits: &[HoldLimits]) -> Result<Evening, String> {
        let mut new = evening.clone();
        match self {
            Self::DishAdded { dish } => add(&mut new, dish)?,
            Self::DishMoved { dish, service } => {
                let at = index(&new, dish)?;
                let services = &new.party.services;
                let found = services.iter().position(|s| s.id == *service);
                let found = found.ok_or_else(|| format!("There is no service \"{service}\"."))?;
                if let Some(sheet) = new.sheets.get_mut(at) {
                    sheet.service = found;
                }
                with_dish(&mut new, at, |dish| dish.service.clone_from(service));
            }
            Self::Swapped { dish, item, by } => {
                swap(&mut new, dish, (item, by.as_deref()), |d| &mut d.swaps)?;
            }
            Self::Halved { dish, item, by } => {
                swap(&mut new, dish, (item, by.as_deref()), |d| &mut d.half)?;
            }
            Self::DayBefore { dish, on } => {
                let at = index(&new, dish)?;
                with_dish(&mut new, at, |dish| dish.day_before = *on);
                if let (true, Some(sheet)) = (*on, new.sheets.get(at)) {
                    can_be_ahead(sheet)?;
                }
            }
            Self::RecipeChanged { dish, recipe } => {
                let at = index(&new, dish)?;
                if let Some(sheet) = new.sheets.get_mut(at) {
                    sheet.written = Recipe::clone(recipe);
                }
                let recipe = Sourced::Inline(recipe.clone());
                with_dish(&mut new, at, |dish| dish.recipe = recipe);
            }
            Self::Borrowed { all } => {
                new.kitchen = borrowed::with(evening.own_kitchen(), all);
                new.party.borrowed.clone_from(all);
            }
            Self::GuestsChanged { guests } => new.party.guests.clone_from(guests),
            Self::LeastChanged { starters, mains } => {
                new.party.least = Least { starters: *starters, mains: *mains };
            }
            Self::AppetiteChanged { appetite } => new.party.appetite = *appetite,
        }
        let before = wrong(evening, limits);
        // Of what is borrowed more is never worse, but told with other figures.
        let more = matches!(self, Self::Borrowed { .. });
        let known = |problem: &Problem| {
            before.iter().any(|old| old == problem || more && old.place == problem.place)
        };
        match wrong(&new, limits).into_iter().find(|problem| !known(problem)) {
            Some(problem) => Err(told(&new, &problem)),
            None => Ok(new),
        }
    }
}

fn index(evening: &Evening, dish: &str) -> Result<usize, String> {
    evening.dish_index(dish).ok_or_else(|| format!("The party has no dish \"{dish}\"."))
}

/// # Errors
/// Why nothing of it is made the day before.
fn can_be_ahead(sheet: &Sheet) -> Result<(), String> {
    ahead::day_before(&sheet.recipe).map(|_| ()).map_err(|why| {
        let (what, remedy) = why.words();
        format!("{} {what}. {remedy}.", sheet.written.title)
    })
}

/// Changes a dish of the party, and makes its recipe anew.
fn with_dish(evening: &mut Evening, at: usize, change: impl FnOnce(&mut Dish)) {
    let Some(dish) = evening.party.dishes.get_mut(at) else { return };
    change(dish);
    let dish = dish.clone();
    if let Some(sheet) = evening.sheets.get_mut(at) {
        sheet.recipe = check::as_made(&dish, sheet.written.clone());
        evening.own_times.onto(&mut sheet.recipe);
    }
}

fn add(evening: &mut Evening, dish: &Dish) -> Result<(), String> {
    let Sourced::Inline(recipe) = &dish.recipe else {
        return Err("A dish that is added brings its recipe with it.".to_owned());
    };
    if evening.dish_index(&dish.id).is_some() {
        return Err(format!("The party has a dish \"{}\" already.", dish.id));
    }
    let services = &evening.party.services;
    let service = services.iter().position(|s| s.id == dish.service);
    let service = service.ok_or_else(|| format!("There is no service \"{}\".", dish.service))?;
    let mut dish = dish.clone();
    let mut made = check::as_made(&dish, Recipe::clone(recipe));
    evening.own_times.onto(&mut made);
    let taken = evening.sheets.iter().map(|s| s.letter).collect();
    let letter = dish.letter.filter(|l| !evening.sheets.iter().any(|s| s.letter == *l));
    let letter = letter.unwrap_or_else(|| check::free_letter(&recipe.title, &taken));
    // The letter of another dish is no reason to refuse this one.
    dish.letter = dish.letter.map(|_| letter);
    evening.sheets.push(Sheet {
        id: dish.id.clone(),
        letter,
        recipe: made,
        written: Recipe::clone(recipe),
        servings: dish.servings,
        service,
        jobs: Vec::new(),
        waits_for: Vec::new(),
    });
    evening.party.dishes.push(dish);
    Ok(())
}

fn swap(
    evening: &mut Evening,
    dish: &str,
    (item, by): (&str, Option<&str>),
    list: fn(&mut Dish) -> &mut Vec<StandIn>,
) -> Result<(), String> {
    let at = index(evening, dish)?;
    let sheet = evening.sheets.get(at);
    let has = sheet.is_some_and(|s| s.written.ingredients.iter().any(|i| i.item == item));
    if !has {
        return Err(format!("There is no \"{item}\" in it."));
    }
    with_dish(evening, at, |dish| {
        // An item is swapped in all of a dish or in half of it, not in both.
        dish.swaps.retain(|s| s.item != item);
        dish.half.retain(|s| s.item != item);
        if let Some(by) = by {
            list(dish).push(StandIn { item: item.to_owned(), by: by.to_owned() });
        }
    });
    Ok(())
}

/// Everything that is wrong with an evening.
fn wrong(evening: &Evening, limits: &[HoldLimits]) -> Vec<Problem> {
    let recipes: Vec<Recipe> = evening.sheets.iter().map(|s| s.written.clone()).collect();
    let mut problems = check::check(&evening.party, &evening.own_kitchen(), &recipes, limits);
    problems.retain(|p| p.severity == Severity::Wrong);
    problems
}

fn told(evening: &Evening, problem: &Problem) -> String {
    let Place { document, path } = &problem.place;
    let of = match document {
        check::Document::Recipe(d) => evening.sheets.get(*d).map(|s| s.written.title.clone()),
        check::Document::Party | check::Document::Kitchen => None,
    };
    let of = of.map_or_else(String::new, |title| format!("{title}: "));
    format!("{of}{path} {}. {}.", problem.what, problem.remedy)
}

#[cfg(test)]
#[path = "change_tests.rs"]
mod tests;
