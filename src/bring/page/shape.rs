//! A schema.org Recipe (release 30.0) in any of the shapes that pages give it:
//! single values for lists and lists for single values, nested lists, strings for
//! objects and objects for strings.

use serde_json::Value;

use crate::bring::clean::{clean, clean_line};
use crate::bring::duration;
use crate::bring::found::{Found, Origin, Supply, Words};
use crate::bring::text;
use crate::bring::{given, share};

/// Deepest nesting of lists and sections.
const DEPTH_MOST: usize = 40;
/// Most lines of ingredients or steps; more are no recipe's.
const LINES_MOST: usize = 2_000;

/// Is it an object of this schema.org type, by its name or its full address?
pub fn is_a(value: &Value, name: &str) -> bool {
    let is = |v: &Value| {
        v.as_str().is_some_and(|t| t.rsplit(['/', '#', ':']).next().is_some_and(|t| t == name))
    };
    match value.get("@type") {
        Some(Value::Array(list)) => list.iter().any(is),
        Some(kind) => is(kind),
        None => false,
    }
}

/// A Recipe object's words.
pub fn recipe(value: &Value, origin: Origin) -> Found {
    let mut found = Found::new(origin);
    let first = |names: &[&str]| names.iter().find_map(|n| line_of(value.get(n)?));
    found.title = first(&["name", "headline"]).unwrap_or_default();
    for name in ["recipeYield", "yield"] {
        portion(value.get(name), &mut found);
    }
    for made in all(value, &["recipeYield", "yield"]) {
        found.read_yield(&made);
    }
    for name in ["recipeIngredient", "ingredients", "ingredient"] {
        if let (Some(value), true) = (value.get(name), found.lines.is_empty()) {
            ingredients(value, &mut None, &mut found.lines, 0);
        }
    }
    if found.lines.is_empty()
        && let Some(supply) = value.get("supply")
    {
        ingredients(supply, &mut None, &mut found.lines, 0);
    }
    for name in ["recipeInstructions", "step", "steps", "instructions"] {
        if let (Some(value), true) = (value.get(name), found.method.is_empty()) {
            method(value, None, &mut found.method, 0);
        }
    }
    let minutes = |name: &str| duration::minutes(&line_of(value.get(name)?)?);
    found.times.prep = minutes("prepTime");
    found.times.cook = minutes("cookTime").or_else(|| minutes("performTime"));
    found.times.total = minutes("totalTime");
    found.categories = all(value, &["recipeCategory"]);
    found.tools = all(value, &["tool"]);
    found.diets = all(value, &["suitableForDiet"]);
    for diet in &mut found.diets {
        *diet = diet.rsplit(['/', '#', ':']).next().unwrap_or_default().to_owned();
    }
    found.diets.retain(|d| !d.is_empty());
    found.cooking = first(&["cookingMethod"]);
    found.author = first(&["author", "creator"]);
    found.address = first(&["url", "mainEntityOfPage", "@id", "isBasedOn"]);
    found.licence = first(&["license"]);
    found.notes.extend(value.get("description").and_then(line_of));
    found.notes.extend(all(value, &["comment", "recipeNotes"]));
    found
}

/// The words for one serving, where a quantity of several things has them.
fn portion(made: Option<&Value>, found: &mut Found) {
    let quantities = match made {
        Some(Value::Array(list)) => list.as_slice(),
        Some(one) => std::slice::from_ref(one),
        None => return,
    };
    for quantity in quantities.iter().filter(|q| q.get("value").is_some()) {
        if let Some(words) = quantity.get("unitText").and_then(line_of) {
            found.take_portion(&words);
        }
    }
}

/// Every text of some properties.
fn all(value: &Value, names: &[&str]) -> Vec<String> {
    let mut list = Vec::new();
    for name in names {
        if let Some(value) = value.get(name) {
            texts(value, &mut list, 0);
        }
    }
    list
}

fn texts(value: &Value, list: &mut Vec<String>, depth: usize) {
    if depth > DEPTH_MOST || list.len() > LINES_MOST {
        return;
    }
    match value {
        Value::Array(values) => values.iter().for_each(|v| texts(v, list, depth + 1)),
        _ => list.extend(line_of(value).filter(|t| !list.contains(t))),
    }
}

/// A value as one line: a text, a number, an object's name, a quantity.
fn line_of(value: &Value) -> Option<String> {
    let line = match value {
        Value::String(text) => clean_line(text),
        Value::Number(n) => n.to_string(),
        Value::Array(list) => return list.iter().find_map(line_of),
        Value::Object(_) => match quantity(value) {
            Some(quantity) => quantity,
            None => ["name", "text", "@value", "url", "@id"]
                .iter()
                .find_map(|n| value.get(n).filter(|v| !v.is_object()).and_then(line_of))?,
        },
        Value::Null | Value::Bool(_) => return None,
    };
    (!line.is_empty()).then_some(line)
}

/// A QuantitativeValue, or what of a PropertyValue says how much: "31 1/4 lb".
fn quantity(value: &Value) -> Option<String> {
    let of = |name: &str| value.get(name).filter(|v| !v.is_object()).and_then(line_of);
    let number = match (of("value"), of("minValue"), of("maxValue")) {
        (Some(value), _, _) => value,
        (None, Some(low), Some(high)) => format!("{low}-{high}"),
        (None, low, high) => low.or(high)?,
    };
    let unit = of("unitText").or_else(|| of("unitCode").map(|code| unit_of(&code).to_owned()));
    Some(match unit {
        Some(unit) if !unit.is_empty() => format!("{number} {unit}"),
        _ => number,
    })
}

/// The word for a code of UN/CEFACT Recommendation 20, where it is one that
/// kitchens measure by.
fn unit_of(code: &str) -> &str {
    match code.rsplit(':').next().unwrap_or_default() {
        "GRM" => "g",
        "KGM" => "kg",
        "ONZ" => "oz",
        "LBR" => "lb",
        "MLT" => "ml",
        "CLT" => "cl",
        "DLT" => "dl",
        "LTR" => "l",
        "G21" => "cup",
        "G24" => "tbsp",
        "G25" => "tsp",
        "OZA" => "fl oz",
        "PTL" | "PT" => "pint",
        "QTL" | "QT" => "quart",
        "GLL" => "gallon",
        "C62" | "EA" | "H87" | "NMP" => "",
        other => other,
    }
}

/// Lines of ingredients: texts of one or many lines, lists, PropertyValue,
/// HowToSupply, and what else has a name and perhaps a quantity.
fn ingredients(value: &Value, section: &mut Option<String>, into: &mut Vec<Words>, depth: usize) {
    if depth > DEPTH_MOST || into.len() >= LINES_MOST {
        return;
    }
    match value {
        Value::String(block) => {
            for line in clean(block).lines().map(str::trim).filter(|l| !l.is_empty()) {
                into.push(Words::new(section.as_deref(), line));
            }
        }
        Value::Array(list) => {
            for value in list {
                ingredients(value, section, into, depth + 1);
            }
        }
        Value::Object(_) => {
            let inner = ["itemListElement", "item", "recipeIngredient"];
            if let Some(inner) = inner.iter().find_map(|n| value.get(n)) {
                let mut named = value.get("name").and_then(line_of).or_else(|| section.clone());
                return ingredients(inner, &mut named, into, depth + 1);
            }
            if let Some(one) = given::read(value) {
                let line = share::words(&one);
                let given = Some(Box::new(one));
                into.push(Words { given, ..Words::new(section.as_deref(), line) });
                return;
            }
            let required = value.get("requiredQuantity").or_else(|| value.get("amount"));
            let amount = quantity(value).or_else(|| required.and_then(line_of));
            let name = ["name", "text", "item"].iter().find_map(|n| value.get(n).and_then(line_of));
            let line = match (amount, name) {
                (Some(amount), Some(name)) => format!("{amount} {name}"),
                (amount, name) => name.or(amount).unwrap_or_default(),
            };
            let more = value.get("description").and_then(line_of);
            let line = more.map_or(line.clone(), |more| format!("{line}, {more}"));
            if !line.is_empty() {
                into.push(Words::new(section.as_deref(), line));
            }
        }
        Value::Number(_) | Value::Null | Value::Bool(_) => {}
    }
}

/// The method: texts, lists, HowToStep, HowToSection, HowToDirection, HowToTip,
/// ItemList of ListItem, and objects that have only their parts.
fn method(value: &Value, section: Option<&str>, into: &mut Vec<Words>, depth: usize) {
    if depth > DEPTH_MOST || into.len() >= LINES_MOST {
        return;
    }
    match value {
        Value::String(block) => {
            for step in text::paragraphs(&clean(block)) {
                into.push(Words::new(section, step));
            }
        }
        // Of several texts each is a step, line breaks or not.
        Value::Array(list) if list.len() > 1 && list.iter().all(Value::is_string) => {
            let texts = list.iter().filter_map(line_of).take(LINES_MOST);
            into.extend(texts.map(|t| Words::new(section, text::without_number(&t))));
        }
        Value::Array(list) => list.iter().for_each(|v| method(v, section, into, depth + 1)),
        Value::Object(_) => step(value, section, into, depth),
        Value::Number(_) | Value::Null | Value::Bool(_) => {}
    }
}

/// What a step or a direction names as going in: texts, or HowToSupply with a name.
fn supplies(value: &Value) -> Vec<Supply> {
    let list = match value.get("supply") {
        Some(Value::Array(list)) => list.as_slice(),
        Some(one) => std::slice::from_ref(one),
        None => return Vec::new(),
    };
    let supply = |one: &Value| {
        let name = one.get("name").map_or_else(|| line_of(one), line_of)?;
        let position = one.get("position").and_then(Value::as_u64);
        Some(Supply { name, position: position.and_then(|n| usize::try_from(n).ok()) })
    };
    list.iter().take(LINES_MOST).filter_map(supply).collect()
}

fn step(value: &Value, section: Option<&str>, into: &mut Vec<Words>, depth: usize) {
    let words = |name: &str| value.get(name).and_then(line_of);
    let parts = ["itemListElement", "item", "steps", "step"].iter().find_map(|n| value.get(n));
    if is_a(value, "HowToSection") || is_a(value, "ItemList") {
        let name = words("name");
        let section = name.as_deref().or(section);
        if let Some(parts) = parts {
            method(parts, section, into, depth + 1);
        } else if let Some(text) = words("text").or_else(|| words("description")) {
            into.push(Words::new(section, text));
        }
        return;
    }
    let minutes =
        ["performTime", "totalTime", "prepTime"].iter().find_map(|n| duration::minutes(&words(n)?));
    let text = words("text").or_else(|| words("description").filter(|_| parts.is_none()));
    let name = words("name").filter(|n| text.as_ref().is_none_or(|t| !begins(t, n)));
    match (text, parts) {
        (Some(text), parts) => {
            let mut own = Vec::new();
            if let Some(parts) = parts {
                method(parts, section, &mut own, depth + 1);
            }
            let given = minutes.or(match own.as_slice() {
                [only] => only.minutes,
                _ => None,
            });
            let within = own.iter().flat_map(|w| w.supplies.iter().cloned());
            let supplies = supplies(value).into_iter().chain(within).take(LINES_MOST).collect();
            let words = Words { name, minutes: given, supplies, ..Words::new(section, text) };
            // Directions that say more than the step itself are its parts.
            let told: usize = own.iter().map(|w| w.text.len()).sum();
            if own.len() > 1 && told > words.text.len() {
                into.extend(own)
            } else {
                into.push(words)
            }
        }
        (None, Some(parts)) => {
            let begun = into.len();
            method(parts, section, into, depth + 1);
            if let Some(first) = into.get_mut(begun) {
                first.name = first.name.take().or(name);
                first.minutes = first.minutes.or(minutes);
                first.supplies.extend(supplies(value));
            }
        }
        (None, None) => {
            if let Some(text) = name.or_else(|| words("@value")) {
                into.push(Words { minutes, ..Words::new(section, text) });
            }
        }
    }
}

/// Does a step's name only repeat how its text begins?
fn begins(text: &str, name: &str) -> bool {
    let bare = name.trim_end_matches(['.', '…', ' ']);
    text.to_lowercase().starts_with(&bare.to_lowercase())
}
