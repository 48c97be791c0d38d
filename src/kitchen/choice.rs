//! What each guest can choose from: every dish held against every diet and
//! avoidance. Three answers and no promise: something in it speaks against it,
//! the label decides, or nothing is known against it in the words given.

mod opening;
pub mod words;

pub use opening::{Opening, openings};

use super::evening::{Evening, Sheet};
use super::items::{self, Allergen, Answer, Diet};
use super::party::{Guest, Least};
use super::recipe::{Course, Half, Ingredient, Recipe};
use crate::order::InOrder;

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
    /// Which half of it is meant, if it is made half and half and they differ.
    pub half: Option<Half>,
    /// Whatever speaks against it, in either half: it lies on boards and in pans all the same.
    pub all: Vec<Reason>,
    /// It is hotter of chilli than they like.
    pub too_hot: bool,
}

impl Finding {
    /// Does the guest find something in it?
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.answer == Answer::NothingKnown && !self.too_hot
    }
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

/// What each guest of an evening can choose from among the dishes that are made.
#[must_use]
pub fn choices(evening: &Evening, dropped: &[usize]) -> Vec<Choice> {
    evening.party.guests.iter().map(|guest| choice(evening, guest, dropped)).collect()
}

/// What a guest can choose from among the dishes that are made.
#[must_use]
pub fn choice(evening: &Evening, guest: &Guest, dropped: &[usize]) -> Choice {
    let dishes: Vec<Finding> = evening.sheets.iter().map(|sheet| finding(sheet, guest)).collect();
    let count = |course: Course| {
        let mut count = Count::default();
        for (d, (sheet, found)) in evening.sheets.iter().zip(&dishes).enumerate() {
            if sheet.recipe.course != course || dropped.contains(&d) || found.too_hot {
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
    let Least { starters: few, mains: main } = evening.party.least;
    let enough = enough(starters, few).max(enough(mains, main));
    Choice { dishes, starters, mains, enough }
}

fn enough(count: Count, least: u32) -> Enough {
    let least = usize::try_from(least).unwrap_or(usize::MAX);
    match count {
        c if c.open >= least => Enough::Yes,
        c if c.open + c.label >= least => Enough::IfLabelsAllow,
        _ => Enough::No,
    }
}

/// Dishes that are made and that no guest can eat, whatever the labels say.
#[must_use]
pub fn for_nobody(evening: &Evening, choices: &[Choice], dropped: &[usize]) -> Vec<usize> {
    let nobody = |d: &usize| {
        let mut all = choices.iter().filter_map(|c| c.dishes.get(*d));
        all.all(|f| f.answer == Answer::Contains || f.too_hot)
    };
    let made = (0..evening.sheets.len()).filter(|d| !dropped.contains(d));
    if choices.is_empty() { Vec::new() } else { made.filter(nobody).collect() }
}

/// What is known of a dish and a guest.
#[must_use]
pub fn finding(sheet: &Sheet, guest: &Guest) -> Finding {
    finding_of(&sheet.recipe, guest)
}

/// What is known of a recipe and a guest. Of a dish that is made half and half the
/// better half counts, but never against an allergen: the halves lie side by side.
#[must_use]
pub fn finding_of(recipe: &Recipe, guest: &Guest) -> Finding {
    let too_hot = guest.heat.is_some_and(|most| heat(recipe) > most);
    let all = reasons(recipe, guest);
    let halves = recipe.ingredients.iter().any(|i| i.half.is_some());
    let of = |half: Half| -> Vec<Reason> {
        let stays = |r: &&Reason| {
            let of = recipe.ingredients.get(r.ingredient).and_then(|i| i.half);
            of.is_none_or(|h| h == half) || is_of_allergens(&r.against)
        };
        all.iter().filter(stays).cloned().collect()
    };
    let worst = |reasons: &[Reason]| reasons.first().map_or(Answer::NothingKnown, |r| r.answer);
    let (reasons, half) = match halves {
        false => (all.clone(), None),
        true => {
            let (one, other) = (of(Half::One), of(Half::Other));
            match worst(&one).cmp(&worst(&other)) {
                std::cmp::Ordering::Less => (one, Some(Half::One)),
                std::cmp::Ordering::Greater => (other, Some(Half::Other)),
                std::cmp::Ordering::Equal => (one, None),
            }
        }
    };
    Finding { answer: worst(&reasons), reasons, half, all, too_hot }
}

/// Everything that speaks against a recipe, the worst first.
fn reasons(recipe: &Recipe, guest: &Guest) -> Vec<Reason> {
    let mut reasons = Vec::new();
    let wishes = wishes(guest);
    for (ingredient, of) in recipe.ingredients.iter().enumerate() {
        for wish in &wishes {
            let answer = against(of, wish);
            if answer > Answer::NothingKnown {
                reasons.push(Reason { ingredient, against: wish.words.to_owned(), answer });
            }
        }
    }
    reasons.order_by_key(|r| (std::cmp::Reverse(r.answer), r.ingredient));
    reasons
}

/// Something that a guest does not eat, its words read once for all ingredients.
struct Wish<'a> {
    words: &'a str,
    means: Means,
}

enum Means {
    Diet(Diet),
    Allergens(Vec<Allergen>),
    /// A diet that nobody here knows: it is left to the label.
    UnknownDiet,
    /// Whatever bears these words.
    Words,
}

/// Each thing that a guest does not eat.
fn wishes(guest: &Guest) -> Vec<Wish<'_>> {
    let diets = guest.diets.iter().map(|words| (words, Means::UnknownDiet));
    let avoids = guest.avoids.iter().map(|words| (words, Means::Words));
    let read = |words: &str, otherwise: Means| match (otherwise, Diet::named(words)) {
        (_, Some(diet)) => Means::Diet(diet),
        (Means::Words, None) => match Allergen::all_named(words) {
            named if named.is_empty() => Means::Words,
            named => Means::Allergens(named),
        },
        (otherwise, None) => otherwise,
    };
    let all = diets.chain(avoids);
    all.map(|(words, otherwise)| Wish { words, means: read(words, otherwise) }).collect()
}

/// Is it about something that can make ill in traces?
fn is_of_allergens(wish: &str) -> bool {
    let diet = Diet::named(wish);
    items::names_allergen(wish)
        || matches!(diet, Some(Diet::GlutenFree | Diet::DairyFree | Diet::NutFree))
}

/// How hot of chilli a recipe is: as it says, or as its hottest ingredient.
#[must_use]
pub fn heat(recipe: &Recipe) -> u32 {
    let hottest = || {
        let items = recipe.ingredients.iter().filter_map(|i| items::find(&i.item));
        items.map(|item| u32::from(item.heat)).max().unwrap_or(0)
    };
    recipe.heat.unwrap_or_else(hottest)
}

/// A heat in a word.
#[must_use]
pub const fn heat_word(heat: u32) -> &'static str {
    match heat {
        0 => "not hot",
        1 => "mild",
        2 => "hot",
        3 => "very hot",
        _ => "fierce",
    }
}

/// What is known of an ingredient and something that a guest does not eat.
fn against(of: &Ingredient, wish: &Wish) -> Answer {
    match &wish.means {
        Means::Diet(diet) => items::ingredient_against(of, *diet),
        Means::Allergens(all) => {
            let answers = all.iter().map(|a| items::ingredient_allergen(of, *a));
            answers.max().unwrap_or(Answer::MayContain)
        }
        Means::UnknownDiet => Answer::MayContain,
        Means::Words => items::ingredient_avoided(of, wish.words),
    }
}

#[cfg(test)]
mod tests;
