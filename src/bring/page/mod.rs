//! Recipes of a saved page: every way in which pages say them.

mod markup;
mod mend;
mod plain;
mod shape;

use serde_json::Value;

use super::found::{Found, Origin};
use super::html::{self, ROOT, Tree};
use super::trouble::Trouble;
use crate::order::InOrder;

/// Values that are looked at in one block: more are not a page's.
const VALUES_MOST: usize = 200_000;
/// Most recipes of one page.
const RECIPES_MOST: usize = 50;

/// The recipes of a page, the fullest first.
///
/// # Errors
/// [`Trouble::NoRecipe`], with what was found instead.
pub fn read(text: &str) -> Result<Vec<Found>, Trouble> {
    let page = html::parse(text);
    let mut said = Vec::new();
    match page.cut {
        Some(html::Cut::TooMuch) => {
            said.push("the page is nested beyond measure; parts of it were left out".to_owned());
        }
        Some(html::Cut::Tag(line)) => said.push(format!(
            "line {line} holds a tag with tens of thousands of attributes; the rest was left out"
        )),
        None => {}
    }
    let mut found = Vec::new();
    for (index, block) in scripts(&page.tree).enumerate() {
        match mend::values(block) {
            Ok((values, trouble)) => {
                let more = recipes(&values);
                if let Some(trouble) = trouble.filter(|_| !more.is_empty()) {
                    let still = still_read(trouble, &more);
                    said.push(format!("block {} of JSON-LD {trouble}{still}", index + 1));
                }
                found.extend(more);
            }
            Err(why) => said.push(format!("block {} of JSON-LD {why}", index + 1)),
        }
    }
    found.extend(markup::recipes(&page.tree, Origin::Microdata));
    found.extend(markup::recipes(&page.tree, Origin::Rdfa));
    found.retain(|f| !f.is_empty());
    if found.is_empty() {
        found.extend(plain::recipe(&page.tree));
    }
    if found.is_empty() {
        return Err(Trouble::NoRecipe { seen: seen(&page.tree, &said) });
    }
    Ok(ordered(found, said))
}

/// The recipes of a file of JSON.
///
/// # Errors
/// [`Trouble::NoRecipe`], with what was found instead.
pub fn read_json(text: &str) -> Result<Vec<Found>, Trouble> {
    let (values, trouble) =
        mend::values(text).map_err(|why| Trouble::NoRecipe { seen: format!("the file {why}") })?;
    let mut found = recipes(&values);
    found.retain(|f| !f.is_empty());
    if found.is_empty() {
        let mut seen =
            "it is JSON, but no schema.org Recipe with ingredients or a method".to_owned();
        if let Some(trouble) = trouble {
            seen.push_str("; the file ");
            seen.push_str(trouble);
        }
        return Err(Trouble::NoRecipe { seen });
    }
    let said = trouble.map(|t| format!("the file {t}{}", still_read(t, &found)));
    let said = said.into_iter().collect();
    Ok(ordered(found, said))
}

/// What goes with the trouble of a block: what is cut off was read as far as it goes, if that gave anything.
fn still_read(trouble: &str, found: &[Found]) -> &'static str {
    let some = found.iter().any(|f| !f.is_empty());
    if some && trouble == mend::CUT { "; what it still holds was read" } else { "" }
}

/// The fullest first; what was said goes with each. The same recipe told twice is one.
fn ordered(mut found: Vec<Found>, said: Vec<String>) -> Vec<Found> {
    found.order_by_key(|f| (std::cmp::Reverse(f.fullness()), f.origin));
    let mut list: Vec<Found> = Vec::new();
    for one in found {
        let twin =
            |f: &Found| f.title == one.title && (f.lines == one.lines || f.origin != one.origin);
        if !list.iter().any(twin) {
            list.push(one);
        }
    }
    list.truncate(RECIPES_MOST);
    for one in &mut list {
        one.said.extend(said.iter().cloned());
    }
    list
}

/// What stands in a page's blocks of JSON-LD: what is labelled so, and what is
/// labelled otherwise and is it.
fn scripts(tree: &Tree) -> impl Iterator<Item = &str> {
    tree.walk(ROOT).filter(|&id| tree.name(id) == "script").filter_map(|id| {
        let kind = tree.attribute(id, "type").unwrap_or_default();
        // Entities that were escaped twice.
        let kind = html_escape::decode_html_entities(kind).to_ascii_lowercase();
        let text = tree.children(id).map(|c| tree.text(c)).find(|t| !t.trim().is_empty())?;
        let is = || {
            text.trim_start().starts_with(['{', '[', '/', '<'])
                && text.contains("schema.org")
                && text.contains("Recipe")
        };
        (kind.contains("ld+json") || is()).then_some(text)
    })
}

/// Every recipe in values, however deep.
fn recipes(values: &[Value]) -> Vec<Found> {
    let mut found = Vec::new();
    let mut left = VALUES_MOST;
    for value in values {
        search(value, &mut found, &mut left);
    }
    found
}

fn search(value: &Value, found: &mut Vec<Found>, left: &mut usize) {
    let Some(fewer) = left.checked_sub(1) else { return };
    *left = fewer;
    match value {
        Value::Array(list) => list.iter().for_each(|v| search(v, found, left)),
        Value::Object(_) if shape::is_a(value, "Recipe") && found.len() < RECIPES_MOST => {
            found.push(shape::recipe(value, Origin::JsonLd));
        }
        Value::Object(fields) => fields.values().for_each(|v| search(v, found, left)),
        _ => {}
    }
}

/// What a page without a recipe holds, for the message.
fn seen(tree: &Tree, said: &[String]) -> String {
    let title = tree.walk(ROOT).find(|&id| tree.name(id) == "title");
    let title = title.map(|id| html::inline_text(tree, id)).filter(|t| !t.is_empty());
    let words = match html::inline_text(tree, ROOT).split_whitespace().count() {
        1 => "1 word".to_owned(),
        n => format!("{n} words"),
    };
    let mut seen = match title {
        Some(title) => format!("a page \"{}\" of {words}", clipped(&title)),
        None => format!("a page of {words}"),
    };
    for one in said.iter().take(3) {
        seen.push_str("; ");
        seen.push_str(one);
    }
    seen
}

fn clipped(text: &str) -> String {
    const LONGEST: usize = 60;
    let mut short: String = text.chars().take(LONGEST).collect();
    if text.chars().nth(LONGEST).is_some() {
        short.push('…');
    }
    short
}
