//! The fields of a recipe: what it is, what goes in, how it waits. Its steps: `step.rs`.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::choices as c;
use super::{Item, Kind, ListSpec, free_id, line, maybe, step};
use crate::bring;
use crate::screen::form::{Known, kind, tree};

pub(super) const ITEMS: &[Item] = &[
    line("title", "Name", "The dish as you say it.", Kind::Line(80)),
    maybe(
        "short",
        "Short name",
        "its beginning",
        "At most 12 letters, for narrow blocks on the chart.",
        Kind::Line(12),
    ),
    line("course", "Course", "Where it belongs in a meal.", Kind::Choice(c::COURSES)),
    line("servings", "Servings", "Servings that the amounts below make.", Kind::Count(1, 500)),
    maybe("portion", "One serving", "not said", "In words: a bowl, two rolls.", Kind::Line(80)),
    maybe(
        "portion_ml",
        "Its volume",
        "not known",
        "How much room one serving takes in a bowl: 250 ml, 1 cup. Chooses the serving dish.",
        Kind::Volume,
    ),
    maybe(
        "served",
        "Served",
        "by its course",
        "How it goes to the table.",
        Kind::Choice(c::SERVED),
    ),
    line(
        "safety.class",
        "Kind of food",
        "Decides the least inner temperature and how it must be kept. If two fit, take the stricter.",
        Kind::Choice(c::CLASSES),
    ),
    maybe(
        "safety.exempt",
        "Exempt",
        "none: it counts as perishable",
        "A documented reason why it need not be kept hot or cold. Leave it out if you are not sure.",
        Kind::Choice(c::EXEMPTIONS),
    ),
    maybe(
        "measures",
        "Cups and spoons",
        "US cups (236.6 ml)",
        "Which cup and spoon the amounts mean.",
        Kind::Choice(c::MEASURES),
    ),
    Item::List(ListSpec {
        key: "steps",
        title: "Steps",
        one: "step",
        help: "What is done, where, and how long it takes. The lanes redraw as you type.",
        from: 0,
        items: step::ITEMS,
        sum: step::summary,
        make: step::make,
        pick: None,
    }),
    Item::List(ListSpec {
        key: "ingredients",
        title: "What goes in",
        one: "ingredient",
        help: "Enter opens it: how much of what, cut how, used in which steps.",
        from: 0,
        items: INGREDIENT,
        sum: ingredient_line,
        make: |_, _, _| json!({"item": "", "kept": "cupboard"}),
        pick: None,
    }),
    Item::List(ListSpec {
        key: "holds",
        title: "How it may wait, done, for its service",
        one: "way to wait",
        help: "Best first. Without any it must go straight to the table.",
        from: 0,
        items: HOLD,
        sum: hold_line,
        make: |_, _, _| json!({"place": "counter", "class": "room", "free_minutes": 10, "points": 2, "most_minutes": 30}),
        pick: None,
    }),
];

const INGREDIENT: &[Item] = &[
    maybe(
        "line",
        "As a line",
        "not written",
        "As a book has it: 2 large onions, finely diced. What is read from it stands in the fields below, as you type.",
        Kind::Spoken,
    ),
    line("item", "What", "In the words of the shopping list: onion, plain flour.", Kind::Line(80)),
    maybe(
        "amount",
        "How much",
        "to taste",
        "For all its servings: 3, 1.5, 2/3, 1 1/3.",
        Kind::Amount,
    ),
    maybe(
        "unit",
        "Unit",
        "pieces",
        "g, kg, ml, l, tsp, tbsp, cup, oz, lb, clove, can, bunch.",
        Kind::Unit,
    ),
    maybe("cut", "Cut", "not cut", "Knife work: diced, sliced, grated.", Kind::Line(80)),
    line("kept", "Kept", "Where it is kept until it is used.", Kind::Choice(c::KEPT)),
    maybe("size", "Size", "not said", "How large a piece is: large, 5 cm.", Kind::Line(80)),
    maybe("optional", "May be left out", "no", "The dish is whole without it.", Kind::Yes),
    maybe("note", "Note", "none", "What else is said of it: at room temperature.", Kind::Line(200)),
    maybe(
        "allergens",
        "Allergens",
        "those of the item",
        "Only where the item's own do not fit, with commas between: milk, gluten.",
        Kind::Words,
    ),
    Item::List(ListSpec {
        key: "steps",
        title: "Used in",
        one: "step that takes it",
        help: "The steps that it goes into: its knife work is done before them, and it stays cold until then. None: the first ones.",
        from: 0,
        items: &[],
        sum: |root, entry, _| step_label(root, entry.as_str().unwrap_or_default()),
        make: |_, picked, _| json!(picked),
        pick: Some(Kind::StepBefore),
    }),
];

const HOLD: &[Item] = &[
    line(
        "place",
        "Where",
        "It takes a place there for as long as it waits.",
        Kind::Choice(c::STATIONS),
    ),
    line("class", "How", "How it is kept meanwhile.", Kind::Choice(c::HELD)),
    maybe("at_c", "Set to", "no dial", "The setting of the oven that keeps it.", Kind::Oven),
    line(
        "free_minutes",
        "As good for",
        "Minutes that it waits without getting worse.",
        Kind::Count(0, 2880),
    ),
    line(
        "points",
        "Then worse by",
        "Quality points for each ten minutes after that: 1 hardly, 10 badly.",
        Kind::Count(0, 1000),
    ),
    line(
        "most_minutes",
        "At the most",
        "Minutes after which it is not worth serving.",
        Kind::Count(1, 2880),
    ),
    maybe(
        "best_minutes",
        "Best wait",
        "none",
        "A wait that does it good: a dip that gains.",
        Kind::Count(1, 2880),
    ),
    maybe(
        "cookware",
        "In its pan",
        "no",
        "The kind of pan it waits in, which stays taken.",
        Kind::Line(40),
    ),
];

fn ingredient_line(root: &Value, entry: &Value, known: &Known) -> String {
    let show = |key: &str, kind: Kind| {
        entry.get(key).filter(|v| !v.is_null()).map(|v| kind.show(v, known.reader))
    };
    let amount = show("amount", Kind::Amount);
    let unit = show("unit", Kind::Unit).filter(|u| u != "piece");
    let item = Some(tree::text(entry, "item").to_owned()).filter(|i| !i.is_empty());
    let words = [amount, unit, item.or_else(|| Some("(nothing yet)".to_owned()))];
    let words = words.into_iter().flatten().collect::<Vec<_>>().join(" ");
    let cut = show("cut", Kind::Words).map_or_else(String::new, |cut| format!(", {cut}"));
    let steps = tree::list(entry, "steps").iter().filter_map(Value::as_str);
    let steps: Vec<String> = steps.map(|id| step_label(root, id)).collect();
    let into = if steps.is_empty() { String::new() } else { format!("  ({})", steps.join(", ")) };
    format!("{words}{cut}{into}")
}

fn hold_line(_: &Value, entry: &Value, known: &Known) -> String {
    let word = |key: &str, choices| {
        entry.get(key).map_or_else(String::new, |v| Kind::Choice(choices).show(v, known.reader))
    };
    let number = |key: &str| kind::plain(entry.get(key).unwrap_or(&Value::Null));
    let mark = step::mark(entry);
    format!(
        "{mark}{}, {}: as good for {} min, {} at the most",
        word("place", c::STATIONS),
        word("class", c::HELD),
        number("free_minutes"),
        number("most_minutes")
    )
}

/// What the cook calls a step.
pub(super) fn step_label(root: &Value, id: &str) -> String {
    let steps = tree::list(root, "steps");
    let found = steps.iter().enumerate().find(|(_, s)| tree::text(s, "id") == id);
    found.map_or_else(|| id.to_owned(), |(n, s)| format!("{} {}", n + 1, tree::text(s, "label")))
}

/// The steps that the step at a path may follow.
pub(super) fn steps_before(root: &Value, path: &str) -> Vec<(String, String)> {
    let own = path.strip_prefix("steps[").and_then(|rest| rest.split(']').next());
    let own: Option<usize> = own.and_then(|n| n.parse().ok());
    let steps = tree::list(root, "steps").iter().enumerate().filter(|(n, _)| Some(*n) != own);
    steps
        .map(|(_, s)| {
            let id = tree::text(s, "id");
            (id.to_owned(), step_label(root, id))
        })
        .collect()
}

/// Reads an ingredient's line into its fields, each time that the line changes. Which steps use it and
/// what was said of its allergens stays.
pub(super) fn settle(value: &mut Value, path: &str) {
    if let Some(place) =
        path.strip_prefix("ingredients[").and_then(|_| path.strip_suffix(".amount"))
    {
        // An amount of its own is no range any more: its upper end has no field to put it right in.
        return tree::take(value, &format!("{place}.amount_to"));
    }
    let Some(place) = path.strip_prefix("ingredients[").and_then(|_| path.strip_suffix(".line"))
    else {
        return;
    };
    let Ok(read) = bring::ingredient(tree::text(value, path)) else { return };
    let Ok(Value::Object(read)) = serde_json::to_value(read) else { return };
    let Some(entry) = tree::get_mut(value, place).and_then(Value::as_object_mut) else { return };
    for field in READ {
        match read.get(field) {
            Some(found) => _ = entry.insert(field.to_owned(), found.clone()),
            None => _ = entry.remove(field),
        }
    }
}

/// The fields of an ingredient that its line gives.
const READ: [&str; 12] = [
    "item",
    "amount",
    "amount_to",
    "unit",
    "cut",
    "kept",
    "optional",
    "size",
    "pack",
    "note",
    "divided",
    "swaps",
];

/// Forgets steps that are not there any more.
pub(super) fn tidy(value: &mut Value) {
    let steps = tree::list(value, "steps").iter();
    let ids: BTreeSet<String> = steps.map(|s| tree::text(s, "id").to_owned()).collect();
    for step in tree::get_mut(value, "steps").and_then(Value::as_array_mut).into_iter().flatten() {
        if let Some(after) = step.get_mut("after").and_then(Value::as_array_mut) {
            after.retain(|a| ids.contains(tree::text(a, "step")));
        }
    }
    let items = tree::get_mut(value, "ingredients").and_then(Value::as_array_mut);
    for item in items.into_iter().flatten() {
        if let Some(steps) = item.get_mut("steps").and_then(Value::as_array_mut) {
            steps.retain(|s| s.as_str().is_some_and(|s| ids.contains(s)));
        }
    }
}

/// A new recipe: one step, to be told.
pub(super) fn fresh() -> Value {
    let ids: &[Value] = &[];
    json!({
        "id": free_id(ids, "recipe"),
        "title": "New dish",
        "course": "main",
        "servings": 8,
        "measures": "metric",
        "ingredients": [],
        "steps": [step::first()],
        "holds": [],
        "safety": {"class": "other"},
    })
}
