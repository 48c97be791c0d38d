//! The fields of what is borrowed for a party.

use serde_json::{Value, json};

use super::choices as c;
use super::{Item, Kind, ListSpec, line};
use crate::kitchen::borrowed::MOST_OF_EACH;
use crate::screen::form::{Known, tree};

pub(super) const LIST: Item = Item::List(ListSpec {
    key: "borrowed",
    title: "Borrowed for the day",
    one: "thing borrowed",
    help: "More of what the kitchen has: one more baking dish, a burner, an air fryer.",
    from: 0,
    items: ITEMS,
    sum: |root, entry, known| {
        let count = entry.get("count").and_then(Value::as_u64).unwrap_or(1);
        let like = tree::text(entry, "like");
        let title = title(root, tree::text(entry, "what"), like, known);
        let title = if like.is_empty() { "(nothing yet)".to_owned() } else { title };
        match tree::text(entry, "what") {
            "station" if count == 1 => format!("another one like: {title}, with 1 place"),
            "station" => format!("another one like: {title}, with {count} places"),
            _ => format!("{count} more: {title}"),
        }
    },
    make: |_, _, _| json!({"what": "cookware", "like": "", "count": 1}),
    pick: None,
});

const ITEMS: &[Item] = &[
    line(
        "what",
        "What",
        "A pan, pot, tray or bowl; or one more station.",
        Kind::Choice(c::LENDABLE),
    ),
    line("like", "Like", "Which of the kitchen's own it is like.", Kind::KitchenOf),
    line(
        "count",
        "How many",
        "How many more; of a station, how many places it has: burners, racks.",
        Kind::Count(1, MOST_OF_EACH),
    ),
];

/// Ids and titles of what the party's kitchen has of a kind of thing.
fn things(root: &Value, what: &str, known: &Known) -> Vec<(String, String)> {
    let kitchen = match root.get("kitchen") {
        Some(Value::String(id)) => serde_json::to_value(known.kitchen(id)).unwrap_or_default(),
        Some(inline) => inline.clone(),
        None => Value::Null,
    };
    let list = if what == "station" { "stations" } else { "cookware" };
    let thing = |t: &Value| (tree::text(t, "id").to_owned(), tree::text(t, "title").to_owned());
    tree::list(&kitchen, list).iter().map(thing).collect()
}

/// What the entry that a path lies in may be like.
pub(super) fn like_what(root: &Value, path: &str, known: &Known) -> Vec<(String, String)> {
    let entry = path.split_once(']').map_or("", |(at, _)| at);
    let what = tree::get(root, &format!("{entry}].what")).and_then(Value::as_str);
    things(root, what.unwrap_or_default(), known)
}

/// The title of what something is like; its id if the kitchen has it no more.
fn title(root: &Value, what: &str, id: &str, known: &Known) -> String {
    let found = things(root, what, known).into_iter().find(|(own, _)| own == id);
    found.map_or_else(|| id.to_owned(), |(_, title)| title)
}

/// The same, whether it is a pan or a station.
pub(super) fn like_title(root: &Value, id: &str, known: &Known) -> String {
    let titles = ["cookware", "station"].map(|what| title(root, what, id, known));
    titles.into_iter().find(|title| title != id).unwrap_or_else(|| id.to_owned())
}
