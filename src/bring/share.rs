//! A recipe as schema.org JSON-LD (release 30.0), for other programs: everything of it
//! that the standard has a place for. An ingredient is a line of text, as nearly every
//! program expects it, where the line reads back as the same ingredient; else it is a
//! PropertyValue with its parts.

use serde_json::{Map, Value, json};

use super::draft::ingredient;
use super::given;
use super::line::{self, LineReading};
use crate::kitchen::units::Unit;
use crate::kitchen::{Course, Ingredient, Recipe, Step};

/// The recipe as a JSON-LD document.
#[must_use]
pub fn share(recipe: &Recipe) -> Value {
    let mut out = Map::new();
    let mut put = |name: &str, value: Value| {
        out.insert(name.to_owned(), value);
    };
    put("@context", json!("https://schema.org"));
    put("@type", json!("Recipe"));
    put("name", json!(plain(&recipe.title)));
    put("recipeCategory", json!(category(recipe.course)));
    put("recipeYield", made(recipe));
    if let Some(minutes) = longest(&recipe.steps) {
        put("totalTime", json!(duration(minutes)));
    }
    put("recipeIngredient", recipe.ingredients.iter().map(goes_in).collect());
    let tools = tools(&recipe.steps);
    if !tools.is_empty() {
        put("tool", tools.iter().map(|name| json!({"@type": "HowToTool", "name": name})).collect());
    }
    let steps = recipe.steps.iter().enumerate();
    put("recipeInstructions", steps.map(|(n, s)| step(n, s, &recipe.ingredients)).collect());
    if !recipe.notes.is_empty() {
        let note = |note: &String| json!({"@type": "Comment", "text": plain(note)});
        put("comment", recipe.notes.iter().map(note).collect());
    }
    Value::Object(out)
}

/// Texts of the standard may be HTML: its signs are written as entities. What would look
/// like a tag gets another bracket, since readers decode again and again and take tags out.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut letters = text.chars().peekable();
    while let Some(c) = letters.next() {
        let tag = letters.peek().is_some_and(|n| n.is_ascii_alphabetic() || matches!(n, '/' | '!'));
        match c {
            '&' => out.push_str("&amp;"),
            '<' if tag => out.push('\u{2039}'),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            c => out.push(c),
        }
    }
    out
}

const fn category(course: Course) -> &'static str {
    match course {
        Course::Starter => "Starter",
        Course::Main => "Main course",
        Course::Side => "Side dish",
        Course::Sauce => "Sauce",
        Course::Bread => "Bread",
        Course::Dessert => "Dessert",
        Course::Drink => "Drink",
    }
}

/// How much it makes: as words, and with the words for one serving as a quantity.
fn made(recipe: &Recipe) -> Value {
    let words = json!(match recipe.servings {
        1 => "1 serving".to_owned(),
        n => format!("{n} servings"),
    });
    match &recipe.portion {
        Some(portion) => json!([
            words,
            {"@type": "QuantitativeValue", "value": recipe.servings, "unitText": plain(portion)}
        ]),
        None => words,
    }
}

fn duration(minutes: u64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("PT{minutes}M"),
        (hours, 0) => format!("PT{hours}H"),
        (hours, minutes) => format!("PT{hours}H{minutes}M"),
    }
}

/// Likely minutes of the longest way through the steps, waits with them.
fn longest(steps: &[Step]) -> Option<u64> {
    let mut ends: Vec<u64> = Vec::new();
    for step in steps {
        let after = step.after.iter().filter_map(|a| {
            let before = steps.iter().position(|s| s.id == a.step)?;
            Some(ends.get(before)? + u64::from(a.least_minutes))
        });
        let begin = after.max().unwrap_or(0);
        ends.push(begin + likely(step));
    }
    ends.into_iter().max().filter(|m| *m > 0)
}

fn likely(step: &Step) -> u64 {
    step.ways.first().map_or(0, |way| u64::from(way.minutes.likely))
}

fn tools(steps: &[Step]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for need in steps.iter().flat_map(|s| &s.cookware) {
        let name = need.kind.replace('_', " ");
        if !names.contains(&name) {
            names.push(name);
        }
    }
    names
}

/// A step: its word, its sentence, and on the direction, since a HowToStep has neither, its
/// likely minutes and what goes in: each a HowToSupply at its place among the ingredients.
fn step(index: usize, step: &Step, ingredients: &[Ingredient]) -> Value {
    let text = plain(&step.text);
    let mut direction = json!({"@type": "HowToDirection", "text": text});
    if let (Some(map), minutes @ 1..) = (direction.as_object_mut(), likely(step)) {
        map.insert("performTime".to_owned(), json!(duration(minutes)));
    }
    let used = ingredients.iter().enumerate().filter(|(_, one)| one.steps.contains(&step.id));
    let supply: Vec<Value> = used
        .map(
            |(n, one)| json!({"@type": "HowToSupply", "position": n + 1, "name": plain(&one.item)}),
        )
        .collect();
    if let (Some(map), false) = (direction.as_object_mut(), supply.is_empty()) {
        map.insert("supply".to_owned(), Value::Array(supply));
    }
    json!({
        "@type": "HowToStep",
        "position": index + 1,
        "name": plain(&step.label),
        "text": text,
        "itemListElement": [direction],
    })
}

/// An ingredient: a line if that reads back as the same one.
fn goes_in(one: &Ingredient) -> Value {
    let text = words(one);
    let same = match line::read(&text) {
        LineReading::Ingredient(read) => given::same(&ingredient(&text, &read), one),
        LineReading::Heading(_) | LineReading::Unread(_) => false,
    };
    if same { json!(text) } else { given::write(one) }
}

/// An ingredient as recipes write it: "2 x 400 g cans tomatoes, chopped, drained".
pub(super) fn words(one: &Ingredient) -> String {
    let mut parts: Vec<String> = Vec::new();
    if let Some(amount) = one.amount {
        let to = one.amount_to.map_or(String::new(), |to| format!("-{to}"));
        parts.push(format!("{amount}{to}"));
    }
    parts.extend(one.pack.map(|p| format!("({} {})", p.amount, p.unit.sign())));
    parts.extend(one.size.clone());
    if let (Some(amount), Some(unit)) = (one.amount, one.unit.filter(|u| *u != Unit::Piece)) {
        parts.push(unit.after(amount).to_owned());
    }
    parts.push(one.item.clone());
    let swaps = one.swaps.iter().map(|s| format!("or {}", s.item));
    parts.extend(swaps);
    let mut text = parts.join(" ");
    let behind = [one.cut.clone(), one.note.clone()].into_iter().flatten();
    let told = [(one.divided, "divided"), (one.optional, "optional")];
    let told = told.into_iter().filter(|(is, _)| *is).map(|(_, word)| word.to_owned());
    for words in behind.chain(told) {
        text = format!("{text}, {words}");
    }
    text
}
