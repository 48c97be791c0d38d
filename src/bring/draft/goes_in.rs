//! Ingredients out of lines: each keeps its line, and what has no field of its own
//! stands in its note.

use super::{TEXT_MOST, TITLE_MOST, fit};
use crate::bring::found::{Found, Supply};
use crate::bring::line::{self, IngredientLine, LineReading, Measure};
use crate::bring::measure::UnitKind;
use crate::bring::method::Method;
use crate::kitchen::units::Exact;
use crate::kitchen::{Ingredient, Kept, Pack, Step, Swap, items};

/// Most ingredients of a recipe.
const LINES_MOST: usize = 100;
/// Highest amount of an ingredient; more is a mistake of the page.
const AMOUNT_MOST: Exact = Exact::whole(1_000_000);
/// Most words of a list of an ingredient.
const LISTED_MOST: usize = 40;
/// Most stand-ins that a line is taken to name.
const SWAPS_MOST: usize = 8;

/// What goes in, line by line. A line that could not be read is an ingredient of
/// that name without an amount, so that it stands on the shopping list; one that is
/// no ingredient is a note.
pub(super) fn ingredients(
    found: &Found,
    notes: &mut Vec<String>,
    said: &mut Vec<String>,
) -> Vec<Ingredient> {
    let mut list = Vec::new();
    let mut unread = 0;
    for words in &found.lines {
        if list.len() >= LINES_MOST {
            notes.push(format!("One more line of ingredients: {}", words.text));
            continue;
        }
        if let Some(given) = &words.given {
            let one = within(given.as_ref().clone(), &words.text);
            list.push(with_section(one, words.section.as_deref()));
            continue;
        }
        match line::read(&words.text) {
            LineReading::Ingredient(reading) => {
                let one = ingredient(&words.text, &reading);
                list.push(with_section(one, words.section.as_deref()));
            }
            LineReading::Heading(heading) => notes.push(format!("A heading: {heading}")),
            LineReading::Unread(why) => {
                unread += 1;
                notes.push(format!("Not read as an ingredient ({why}): {}", words.text));
            }
        }
    }
    if found.lines.len() > LINES_MOST {
        let over = found.lines.len() - LINES_MOST;
        said.push(format!(
            "{over} lines of ingredients are over what a recipe holds; see its notes"
        ));
    }
    if unread > 0 {
        said.push(format!(
            "{unread} lines could not be read as ingredients; they are in its notes"
        ));
    }
    list
}

fn with_section(mut one: Ingredient, section: Option<&str>) -> Ingredient {
    if let Some(section) = section {
        let note = one.note.take().map_or(String::new(), |n| format!("; {n}"));
        one.note = Some(fit(&format!("under \"{section}\"{note}"), TEXT_MOST));
    }
    one
}

/// An ingredient that the source gives in parts, as far as a recipe has room.
fn within(mut one: Ingredient, line: &str) -> Ingredient {
    let sound = |n: &Exact| n.is_positive() && *n <= AMOUNT_MOST;
    let title = |t: &String| Some(fit(t, TITLE_MOST)).filter(|t| !t.is_empty());
    let list = |list: Vec<String>| list.iter().filter_map(title).take(LISTED_MOST).collect();
    one.item = fit(&one.item, TITLE_MOST);
    one.amount = one.amount.filter(sound);
    one.amount_to = one.amount_to.filter(sound).filter(|to| one.amount.is_some_and(|a| *to > a));
    one.unit = one.unit.filter(|_| one.amount.is_some());
    one.pack = one.pack.filter(|p| sound(&p.amount));
    one.cut = one.cut.as_ref().and_then(title);
    one.size = one.size.as_ref().and_then(title);
    one.note = one.note.as_ref().map(|n| fit(n, TEXT_MOST)).filter(|n| !n.is_empty());
    one.allergens = one.allergens.map(list);
    one.swaps = one.swaps.into_iter().take(LISTED_MOST).collect();
    for swap in &mut one.swaps {
        swap.item = fit(&swap.item, TITLE_MOST);
        swap.opens = list(std::mem::take(&mut swap.opens));
    }
    one.line = Some(fit(line, TEXT_MOST)).filter(|l| !l.is_empty());
    one
}

/// An ingredient out of its line.
#[must_use]
pub(in crate::bring) fn ingredient(text: &str, read: &IngredientLine) -> Ingredient {
    let mut more: Vec<String> = Vec::new();
    let sound = |n: &Exact| n.is_positive() && *n <= AMOUNT_MOST;
    let unit = read.unit.as_ref();
    let counts = unit.is_none_or(|u| u.kind != UnitKind::Length);
    let amount = read.amount.filter(sound).filter(|_| counts);
    if let Some(unit) = unit.filter(|u| u.unit.is_none() && counts) {
        more.push(unit.word.clone());
    }
    if let (Some(length), Some(unit), false) = (read.amount, unit, counts) {
        more.push(format!("{length} {}", unit.word));
    }
    let cut = read.cut().map(|c| fit(c, TITLE_MOST));
    more.extend(read.prep.clone().filter(|_| cut.is_none()));
    more.extend(read.about.then(|| "about".to_owned()));
    more.extend(read.equals.iter().map(|m| format!("that is {}", measured(m))));
    let pack = read.pack.as_ref().and_then(packed);
    more.extend(
        read.pack.as_ref().filter(|_| pack.is_none()).map(|p| format!("{} each", measured(p))),
    );
    more.extend(read.notes.iter().cloned());
    more.extend(read.to_taste.then(|| "to taste".to_owned()).filter(|_| amount.is_some()));
    let (swaps, rest) = read.or.split_at(read.or.len().min(SWAPS_MOST));
    more.extend(rest.iter().map(|o| format!("or {o}")));
    let size = fit(&read.sizes.join(", "), TITLE_MOST);
    let item = fit(&read.item, TITLE_MOST);
    Ingredient {
        kept: items::find(&item).map_or(Kept::Cupboard, |known| known.kept),
        item,
        amount,
        unit: unit.and_then(|u| u.unit).filter(|_| amount.is_some()),
        cut,
        steps: Vec::new(),
        allergens: None,
        optional: read.optional,
        swaps: swaps
            .iter()
            .map(|o| Swap { item: fit(o, TITLE_MOST), opens: Vec::new() })
            .filter(|s| !s.item.is_empty())
            .collect(),
        amount_to: read.amount_to.filter(sound).filter(|to| amount.is_some_and(|a| *to > a)),
        size: Some(size).filter(|s| !s.is_empty()),
        pack,
        divided: read.divided,
        note: Some(fit(&more.join(", "), TEXT_MOST)).filter(|n| !n.is_empty()),
        line: Some(fit(text, TEXT_MOST)).filter(|l| !l.is_empty()),
        half: None,
    }
}

fn packed(m: &Measure) -> Option<Pack> {
    let unit = m.unit.as_ref().filter(|u| u.measures())?.unit?;
    let sound = m.amount.is_positive() && m.amount <= AMOUNT_MOST && m.to.is_none();
    sound.then_some(Pack { amount: m.amount, unit })
}

fn measured(m: &Measure) -> String {
    let to = m.to.map_or(String::new(), |to| format!(" to {to}"));
    let unit = m.unit.as_ref().map_or(String::new(), |u| format!(" {}", u.word));
    format!("{}{to}{unit}", m.amount)
}

/// Says which steps use an ingredient: those whose words name it. One that none
/// names belongs to all of them.
pub(super) fn place(ingredients: &mut [Ingredient], steps: &[Step]) {
    for one in ingredients {
        let Some(name) =
            one.item.split_whitespace().last().map(|w| items::singular(&w.to_lowercase()))
        else {
            continue;
        };
        let names = |step: &&Step| {
            let words = step.words.as_deref().unwrap_or(&step.text).to_lowercase();
            let mut all = words.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty());
            all.any(|w| items::singular(w) == name)
        };
        one.steps = steps.iter().filter(names).take(40).map(|s| s.id.clone()).collect();
    }
}

/// Where the source itself says which step takes what, that is believed. What no step names then goes in at all.
pub(super) fn place_as_told(
    ingredients: &mut [Ingredient],
    found: &Found,
    method: &Method,
    steps: &[Step],
) {
    if found.method.iter().all(|words| words.supplies.is_empty()) {
        return;
    }
    let items: Vec<String> = ingredients.iter().map(|one| one.item.to_lowercase()).collect();
    for one in ingredients.iter_mut() {
        one.steps.clear();
    }
    let made = || method.steps.iter().zip(steps);
    for (piece, words) in found.method.iter().enumerate() {
        let mut taking: Vec<&Step> =
            made().filter(|(p, _)| p.piece == piece).map(|(_, s)| s).collect();
        if taking.is_empty() {
            // Words that became no step of their own: what they take goes in with the next.
            let next = made().find(|(p, _)| p.piece > piece).or_else(|| made().next_back());
            taking.extend(next.map(|(_, s)| s));
        }
        for at in words.supplies.iter().flat_map(|supply| meant(supply, &items)) {
            let Some(one) = ingredients.get_mut(at) else { continue };
            for step in &taking {
                if !one.steps.contains(&step.id) {
                    one.steps.push(step.id.clone());
                }
            }
        }
    }
}

/// Which ingredients a step means: the one at that place if it has that name, else all of the name.
fn meant(supply: &Supply, items: &[String]) -> Vec<usize> {
    let name = supply.name.to_lowercase();
    let read = match line::read(&supply.name) {
        LineReading::Ingredient(read) => read.item.to_lowercase(),
        LineReading::Heading(_) | LineReading::Unread(_) => name.clone(),
    };
    let is = |at: usize| items.get(at).is_some_and(|item| *item == name || *item == read);
    match supply.position.and_then(|n| n.checked_sub(1)).filter(|at| is(*at)) {
        Some(at) => vec![at],
        None => (0..items.len()).filter(|at| is(*at)).collect(),
    }
}
