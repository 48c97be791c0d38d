//! A whole recipe out of what was found: a proposal, whose steps, waits and kind of
//! food the cook confirms one by one. Whatever does not fit a field of a recipe
//! stands in its notes: nothing of the source is lost.

mod goes_in;
mod keeping;
mod steps;
#[cfg(test)]
mod tests;

pub(super) use goes_in::ingredient;

use super::clean::one_line;
use super::found::Found;
use super::method;
use crate::kitchen::id::spelled;
use crate::kitchen::units::{Dimension, Measures, Unit};
use crate::kitchen::{Course, Ingredient, Recipe};

/// Servings of a recipe that does not say: common practice, no source; told.
const SERVINGS_USUAL: u32 = 4;
/// Longest id that is made of a title, in letters: a number may come behind it.
const ID_MOST: usize = 36;
/// Longest title, in letters, as recipes have room for.
const TITLE_MOST: usize = 80;
/// Longest name for narrow blocks, in letters.
const SHORT_MOST: usize = 12;
/// Longest sentence, in letters, as recipes have room for.
const TEXT_MOST: usize = 600;
/// Most notes of a recipe.
const NOTES_MOST: usize = 40;

/// A proposal of a recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// The recipe; every step, wait and kind of food in it is marked unconfirmed.
    pub recipe: Recipe,
    /// What the cook should know of how it was made.
    pub said: Vec<String>,
}

/// Makes a recipe of what was found.
#[must_use]
pub fn draft(found: &Found) -> Draft {
    let mut said = found.said.clone();
    let mut notes = Vec::new();
    let servings = match found.servings {
        Some(servings) => servings,
        None => {
            said.push(format!(
                "it does not say how much it makes: {SERVINGS_USUAL} servings are a guess"
            ));
            SERVINGS_USUAL
        }
    };
    let mut ingredients = goes_in::ingredients(found, &mut notes, &mut said);
    let mut method = method::read(&found.method);
    steps::give_time(&mut method, found.times.cook);
    let steps = steps::steps(&method, servings, &mut notes, &mut said);
    goes_in::place(&mut ingredients, &steps);
    goes_in::place_as_told(&mut ingredients, found, &method, &steps);
    let safety = keeping::safety(found, &ingredients, &method);
    let holds = keeping::holds(&method, &steps, &mut said);
    let title = Some(fit(&found.title, TITLE_MOST)).filter(|t| !t.is_empty());
    let title = title.unwrap_or_else(|| "Brought-in dish".to_owned());
    let id: String = spelled(&title).chars().take(ID_MOST).collect();
    let id = id.trim_end_matches('-');
    let recipe = Recipe {
        id: if id.is_empty() { "brought-in".to_owned() } else { id.to_owned() },
        short: short(&title),
        course: course(found),
        servings: servings.clamp(1, crate::kitchen::check::MOST_SERVINGS),
        portion: found.portion.as_deref().map(|p| fit(p, TITLE_MOST)).filter(|p| !p.is_empty()),
        portion_ml: None,
        portion_cm2: None,
        served: None,
        lid: false,
        measures: measures(&ingredients),
        ingredients,
        steps,
        holds,
        reheat: None,
        heat: None,
        safety,
        notes: all_notes(found, notes),
        title,
    };
    Draft { recipe, said }
}

/// What is said beside the fields of a recipe, each as one plain line.
fn all_notes(found: &Found, own: Vec<String>) -> Vec<String> {
    let labelled = |label: &str, words: &Option<String>| {
        words.as_ref().filter(|w| !w.is_empty()).map(|w| format!("{label}: {w}"))
    };
    let mut notes = own;
    notes.extend(found.notes.iter().cloned());
    notes.extend(found.unplaced.iter().cloned());
    notes.extend(labelled("It makes", &found.makes).filter(|_| found.servings.is_none()));
    notes.extend(labelled("By", &found.author));
    notes.extend(labelled("From", &found.address));
    notes.extend(labelled("Licence of its text", &found.licence));
    if !found.tools.is_empty() {
        notes.push(format!("Tools: {}", found.tools.join(", ")));
    }
    if !found.diets.is_empty() {
        let diets = found.diets.join(", ");
        notes.push(format!("Its author claims {diets}: not checked, read the labels"));
    }
    let mut lines: Vec<String> = notes.iter().flat_map(|n| pieces(n, TEXT_MOST)).collect();
    if lines.len() > NOTES_MOST {
        // What is over is put together as far as there is room: longer lists are no recipe's.
        let rest = lines.split_off(NOTES_MOST - 1).join(" / ");
        lines.push(fit(&rest, TEXT_MOST));
    }
    lines
}

/// A name for narrow blocks: as many words of the title as have room, up to a bracket.
/// A title that is short itself needs none.
fn short(title: &str) -> Option<String> {
    const LINKS: [&str; 10] = ["and", "with", "in", "of", "the", "a", "on", "or", "&", "-"];
    let bare = title.split(['(', ',', ':', '[']).next().unwrap_or_default().trim();
    let mut words: Vec<&str> = Vec::new();
    for word in bare.split(' ') {
        let long = words.iter().chain([&word]).map(|w| w.chars().count() + 1).sum::<usize>();
        if long > SHORT_MOST + 1 {
            break;
        }
        words.push(word);
    }
    while words.last().is_some_and(|w| LINKS.contains(&w.to_lowercase().as_str())) {
        words.pop();
    }
    let name = words.join(" ");
    (!name.is_empty() && name != title).then_some(name)
}

/// Where it belongs in a meal, by its category, else by its name.
fn course(found: &Found) -> Course {
    const WORDS: [(Course, &[&str]); 6] = [
        (Course::Drink, &["drink", "beverage", "punch", "cocktail", "lemonade", "cordial"]),
        (
            Course::Dessert,
            &[
                "dessert",
                "cake",
                "pudding",
                "sweet",
                "cookie",
                "biscuit",
                "pie crust",
                "ice cream",
                "crumble",
                "compote",
                "tart",
                "custard",
                "brownie",
            ],
        ),
        (Course::Bread, &["bread", "roll", "loaf", "loaves", "bun", "flatbread", "scone"]),
        (Course::Sauce, &["sauce", "gravy", "dressing", "relish", "chutney", "salsa", "dip"]),
        (Course::Starter, &["starter", "appetizer", "appetiser", "soup", "antipasti", "snack"]),
        (Course::Side, &["side", "vegetable", "salad", "accompaniment", "slaw"]),
    ];
    let has = |text: &str, words: &[&str]| {
        let plain = |c: char| if c.is_alphanumeric() { c } else { ' ' };
        let text: String = text.to_lowercase().chars().map(plain).collect();
        let text = format!(" {} ", one_line(&text));
        words.iter().any(|w| text.contains(&format!(" {w} ")) || text.contains(&format!(" {w}s ")))
    };
    let by = |text: &str| WORDS.iter().find(|(_, words)| has(text, words)).map(|(c, _)| *c);
    let main = |text: &String| has(text, &["main", "dinner", "entree", "entrée", "supper"]);
    let told = found.categories.iter().find_map(|c| by(c));
    if told.is_none() && found.categories.iter().any(main) {
        return Course::Main;
    }
    told.or_else(|| by(&found.title)).unwrap_or(Course::Main)
}

/// Which cup is meant: grams and millilitres without pounds and ounces are written
/// where the cup is metric. Common practice, no source; the form shows it.
fn measures(ingredients: &[Ingredient]) -> Measures {
    let units = || ingredients.iter().filter_map(|i| i.unit);
    let metric = units().any(|u| matches!(u, Unit::G | Unit::Kg | Unit::Ml | Unit::L | Unit::Dl));
    let other = units().any(|u| {
        matches!(u, Unit::Oz | Unit::Lb | Unit::FlOz | Unit::Quart | Unit::Pint | Unit::Stick)
    });
    let measured = units().any(|u| matches!(u.dimension(), Dimension::Mass | Dimension::Volume));
    if measured && metric && !other { Measures::Metric } else { Measures::default() }
}

/// One plain line of at most so many letters.
fn fit(text: &str, most: usize) -> String {
    let line = plain(text);
    if line.chars().count() <= most {
        return line;
    }
    let cut: String = line.chars().take(most.saturating_sub(1)).collect();
    format!("{}\u{2026}", cut.trim_end())
}

/// A text as lines of at most so many letters, cut at blanks: none of it is lost.
fn pieces(text: &str, most: usize) -> Vec<String> {
    let mut list = Vec::new();
    let mut line = String::new();
    for word in plain(text).split(' ') {
        let long = line.chars().count() + word.chars().count() + 1 > most;
        if long && !line.is_empty() {
            list.push(std::mem::take(&mut line));
        }
        let mut letters = word.chars().peekable();
        while letters.peek().is_some() {
            if !line.is_empty() {
                line.push(' ');
            }
            line.extend(letters.by_ref().take(most));
            if letters.peek().is_some() {
                list.push(std::mem::take(&mut line));
            }
        }
    }
    list.extend(Some(line).filter(|l| !l.is_empty()));
    list
}

fn plain(text: &str) -> String {
    one_line(&text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect::<String>())
}
