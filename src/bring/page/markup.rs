//! Microdata (HTML Standard, "Microdata") and RDFa Lite (W3C, RDFa Lite 1.1): the
//! elements of a page as the same values that JSON-LD has.

use serde_json::{Map, Value};

use super::shape;
use crate::bring::found::{Found, Origin};
use crate::bring::html::{self, NodeId, ROOT, Tree};

/// Items within items.
const DEPTH_MOST: usize = 12;

struct Names {
    kind: &'static str,
    property: &'static str,
}

const MICRODATA: Names = Names { kind: "itemtype", property: "itemprop" };
const RDFA: Names = Names { kind: "typeof", property: "property" };

/// The recipes of a page by one of the two.
pub fn recipes(tree: &Tree, origin: Origin) -> Vec<Found> {
    let names = if origin == Origin::Rdfa { &RDFA } else { &MICRODATA };
    let is = |id: &NodeId| {
        let kinds = tree.attribute(*id, names.kind).unwrap_or_default();
        kinds.split_whitespace().any(|k| k.rsplit(['/', '#', ':']).next() == Some("Recipe"))
    };
    let items = tree.walk(ROOT).filter(is).take(super::RECIPES_MOST);
    items.map(|id| shape::recipe(&item(tree, names, id, 0), origin)).collect()
}

/// An item as an object.
fn item(tree: &Tree, names: &Names, top: NodeId, depth: usize) -> Value {
    let mut fields = Map::new();
    if let Some(kind) = tree.attribute(top, names.kind) {
        fields.insert("@type".to_owned(), Value::from(kind));
    }
    let mut tops = vec![top];
    // Properties that stand elsewhere on the page.
    for id in tree.attribute(top, "itemref").unwrap_or_default().split_whitespace().take(20) {
        tops.extend(tree.walk(ROOT).find(|&n| tree.attribute(n, "id") == Some(id)));
    }
    for (index, &part) in tops.iter().enumerate() {
        let mut at = if index == 0 { tree.after(part, part, true) } else { Some(part) };
        while let Some(id) = at {
            let inner = tree.attribute(id, names.kind).is_some()
                || tree.attribute(id, "itemscope").is_some();
            if let Some(property) = tree.attribute(id, names.property) {
                let value = match inner && depth < DEPTH_MOST {
                    true => item(tree, names, id, depth + 1),
                    false => property_value(tree, id),
                };
                for name in property.split_whitespace() {
                    let name = name.rsplit(['/', '#', ':']).next().unwrap_or(name);
                    add(&mut fields, name, value.clone());
                }
            }
            at = tree.after(id, part, !inner);
        }
    }
    if fields.len() <= 1 {
        // "<li itemprop=recipeInstructions itemscope itemtype=…/HowToStep>Stir.</li>"
        fields.insert("text".to_owned(), Value::from(html::block_text(tree, top)));
    }
    Value::Object(fields)
}

fn add(fields: &mut Map<String, Value>, name: &str, value: Value) {
    match fields.get_mut(name) {
        Some(Value::Array(list)) => list.push(value),
        Some(there) => {
            let first = there.take();
            *there = Value::Array(vec![first, value]);
        }
        None => {
            fields.insert(name.to_owned(), value);
        }
    }
}

/// The value of a property, by the element that it is on.
fn property_value(tree: &Tree, id: NodeId) -> Value {
    let by = |name: &str| tree.attribute(id, name).map(str::to_owned);
    let value = match tree.name(id) {
        "meta" => by("content"),
        "a" | "area" | "link" => by("content").or_else(|| by("href")),
        "img" | "audio" | "video" | "source" | "iframe" | "embed" | "track" => by("src"),
        "object" => by("data"),
        "data" | "meter" => by("value"),
        "time" => by("datetime").or_else(|| by("content")),
        _ => by("content").filter(|c| !c.trim().is_empty()),
    };
    // Pages link the words of a property to another page; the words are meant.
    let linked = tree.name(id) == "a" && tree.attribute(id, "content").is_none();
    let words = || html::block_text(tree, id);
    Value::from(match value {
        Some(value) if !linked || words().is_empty() => value,
        _ => words(),
    })
}
