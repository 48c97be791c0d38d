//! An ingredient as a PropertyValue of schema.org, with its parts as values that it
//! refers to: what is shared so is read back to the letter.

use serde_json::{Map, Value, json};

use super::clean::one_line;
use crate::kitchen::units::{Exact, Unit};
use crate::kitchen::{Half, Ingredient, Kept, Pack, Swap, items};

/// Most parts that are looked at.
const PARTS_MOST: usize = 60;

/// Do two ingredients say the same of what goes in? The line that one was read from
/// and the steps that use it are no part of that.
pub(super) fn same(a: &Ingredient, b: &Ingredient) -> bool {
    let bare = |one: &Ingredient| Ingredient {
        line: None,
        steps: Vec::new(),
        unit: one.unit.filter(|u| *u != Unit::Piece),
        ..one.clone()
    };
    bare(a) == bare(b)
}

/// Writes an ingredient with all its parts.
pub(super) fn write(one: &Ingredient) -> Value {
    let mut out = Map::new();
    out.insert("@type".to_owned(), json!("PropertyValue"));
    out.insert("name".to_owned(), json!(one.item));
    match (one.amount, one.amount_to) {
        (Some(low), Some(high)) => {
            out.insert("minValue".to_owned(), json!(low.to_string()));
            out.insert("maxValue".to_owned(), json!(high.to_string()));
        }
        (Some(amount), None) => {
            out.insert("value".to_owned(), json!(amount.to_string()));
        }
        _ => {}
    }
    if let Some(unit) = one.unit {
        out.insert("unitText".to_owned(), json!(unit.sign()));
    }
    out.insert("valueReference".to_owned(), Value::Array(parts(one)));
    Value::Object(out)
}

fn parts(one: &Ingredient) -> Vec<Value> {
    let part =
        |name: &str, value: Value| json!({"@type": "PropertyValue", "name": name, "value": value});
    let kept = match one.kept {
        Kept::Cupboard => "cupboard",
        Kept::Fridge => "fridge",
        Kept::Freezer => "freezer",
    };
    let mut parts = vec![part("kept", json!(kept))];
    for (name, text) in [("cut", &one.cut), ("size", &one.size), ("note", &one.note)] {
        parts.extend(text.as_ref().map(|t| part(name, json!(t))));
    }
    if let Some(pack) = one.pack {
        let (amount, unit) = (pack.amount.to_string(), pack.unit.sign());
        parts.push(
            json!({"@type": "PropertyValue", "name": "pack", "value": amount, "unitText": unit}),
        );
    }
    for (name, is) in [("optional", one.optional), ("divided", one.divided)] {
        parts.extend(is.then(|| part(name, json!(true))));
    }
    let allergens = one.allergens.iter();
    parts.extend(allergens.map(|list| part("allergens", json!(list.join(", ")))));
    for swap in &one.swaps {
        let mut or = part("or", json!(swap.item));
        if let (Some(map), false) = (or.as_object_mut(), swap.opens.is_empty()) {
            map.insert("description".to_owned(), json!(swap.opens.join(", ")));
        }
        parts.push(or);
    }
    parts.extend(
        one.half.map(|half| part("half", json!(if half == Half::One { "one" } else { "other" }))),
    );
    parts
}

/// Reads an ingredient that was written so; nothing of any other PropertyValue.
pub(super) fn read(value: &Value) -> Option<Ingredient> {
    let parts = value.get("valueReference")?.as_array()?;
    let item = text(value, "name")?;
    let amount = number(value, "value").or_else(|| number(value, "minValue"));
    let mut one = Ingredient {
        kept: items::find(&item).map_or(Kept::Cupboard, |known| known.kept),
        item,
        amount,
        unit: text(value, "unitText").and_then(|u| Unit::named(&u)).filter(|_| amount.is_some()),
        cut: None,
        steps: Vec::new(),
        allergens: None,
        optional: false,
        swaps: Vec::new(),
        amount_to: number(value, "maxValue").filter(|to| amount.is_some_and(|a| *to > a)),
        size: None,
        pack: None,
        divided: false,
        note: None,
        line: None,
        half: None,
    };
    for part in parts.iter().take(PARTS_MOST) {
        take(&mut one, part);
    }
    Some(one)
}

fn take(one: &mut Ingredient, part: &Value) {
    let words = text(part, "value");
    let yes = part.get("value").and_then(Value::as_bool) == Some(true);
    match text(part, "name").as_deref() {
        Some("kept") => {
            one.kept = match words.as_deref() {
                Some("fridge") => Kept::Fridge,
                Some("freezer") => Kept::Freezer,
                _ => Kept::Cupboard,
            }
        }
        Some("cut") => one.cut = words,
        Some("size") => one.size = words,
        Some("note") => one.note = words,
        Some("pack") => {
            let unit = text(part, "unitText").and_then(|u| Unit::named(&u));
            one.pack = number(part, "value").zip(unit).map(|(amount, unit)| Pack { amount, unit });
        }
        Some("optional") => one.optional = yes,
        Some("divided") => one.divided = yes,
        Some("allergens") => one.allergens = Some(listed(words.as_deref())),
        Some("or") => {
            let opens = listed(text(part, "description").as_deref());
            one.swaps.extend(words.map(|item| Swap { item, opens }));
        }
        Some("half") => {
            one.half = Some(if words.as_deref() == Some("one") { Half::One } else { Half::Other });
        }
        _ => {}
    }
}

fn listed(words: Option<&str>) -> Vec<String> {
    let words = words.unwrap_or_default().split(", ").map(str::to_owned);
    words.filter(|w| !w.is_empty()).collect()
}

fn text(value: &Value, name: &str) -> Option<String> {
    let tame: String =
        value.get(name)?.as_str()?.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    Some(one_line(&tame)).filter(|t| !t.is_empty())
}

fn number(value: &Value, name: &str) -> Option<Exact> {
    let number: Exact = match value.get(name)? {
        Value::String(text) => text.parse().ok()?,
        Value::Number(n) => n.to_string().parse().ok()?,
        _ => return None,
    };
    number.is_positive().then_some(number)
}
