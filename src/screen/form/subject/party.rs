//! The fields of a party.

use serde_json::{Value, json};

use super::choices as c;
use super::{Item, Kind, ListSpec, free_id, line, maybe};
use crate::kitchen::Course;
use crate::kitchen::menu::Warmth;
use crate::safety::Profile;
use crate::screen::form::{Known, slug, tree};

/// Guests, where nobody says how many.
const GUESTS: u64 = 8;

pub(super) const ITEMS: &[Item] = &[
    line("title", "Name", "What you call the evening.", Kind::Line(80)),
    line(
        "day",
        "Day",
        "When it is: 2026-12-05, today, tomorrow, or the next day of a name: saturday.",
        Kind::Day,
    ),
    Item::List(ListSpec {
        key: "services",
        title: "Services: when food goes to the table",
        one: "service",
        help: "A wave of dishes that go to the table together: starters at 18:00, mains at 19:00.",
        from: 0,
        items: SERVICE,
        sum: |_, entry, known| {
            let at = Kind::Clock.show(entry.get("at").unwrap_or(&Value::Null), known.reader);
            format!("{at}  {}", tree::text(entry, "title"))
        },
        make: service,
        pick: None,
    }),
    Item::List(ListSpec {
        key: "dishes",
        title: "Dishes",
        one: "dish",
        help: "Enter, then type a part of its name: your own recipes come before the built-in ones.",
        from: 0,
        items: DISH,
        sum: dish_line,
        make: dish,
        pick: Some(Kind::Recipe),
    }),
    Item::List(ListSpec {
        key: "guests",
        title: "Guests",
        one: "group of guests",
        help: "Who comes: groups that eat alike, with their diets and what they avoid.",
        from: 0,
        items: GUEST,
        sum: guest_line,
        make: |_, _, _| json!({"name": "guests", "count": 1}),
        pick: None,
    }),
    Item::List(ListSpec {
        key: "cooks",
        title: "Cooks",
        one: "cook",
        help: "Who cooks, and when they are free.",
        from: 0,
        items: COOK,
        sum: |_, entry, known| {
            let free = entry.get("free").unwrap_or(&Value::Null);
            format!("{}  {}", tree::text(entry, "name"), Kind::Hours.show(free, known.reader))
        },
        make: |root, _, _| {
            let id = free_id(tree::list(root, "cooks"), "helper");
            json!({"id": id, "name": "Helper", "free": [{"from": "17:00", "to": "20:00"}]})
        },
        pick: None,
    }),
    maybe(
        "appetite",
        "Appetite",
        "usual",
        "How much they eat; servings are proposed by it.",
        Kind::Choice(c::APPETITES),
    ),
    maybe(
        "least.starters",
        "Starters each",
        "2",
        "Of how many starters should every guest be able to eat? Guests who find fewer are named.",
        Kind::Count(0, 20),
    ),
    maybe(
        "least.mains",
        "Mains each",
        "2",
        "Of how many mains should every guest be able to eat? Guests who find fewer are named.",
        Kind::Count(0, 20),
    ),
    Item::Head("Kitchen and care"),
    line("kitchen", "Kitchen", "Where it is cooked. Your own come first.", Kind::Kitchen),
    line(
        "guidance",
        "Guidance",
        "Whose figures for safe food apply. Local codes and the words on a package come before them.",
        Kind::Guidance,
    ),
    line("room_c", "Room", "How warm it is where food stands.", Kind::Heat),
    line(
        "table_minutes",
        "On the table, min",
        "Minutes that a dish stands on the table once it is served.",
        Kind::Count(0, 600),
    ),
    maybe(
        "pool_knife_work",
        "Knife work",
        "in the mise alone",
        "Plan it: what several dishes want cut alike is one job on the chart, before the first of them needs it.",
        Kind::Yes,
    ),
    maybe(
        "degrees",
        "Degrees",
        "as in the settings",
        "Degrees on the screen of this party.",
        Kind::Choice(c::PARTY_DEGREES),
    ),
    maybe(
        "on_time_percent",
        "On time, %",
        "90",
        "Of a hundred such evenings, in how many should each service be on time? The plan makes room for it.",
        Kind::Count(50, 99),
    ),
    maybe(
        "own_times",
        "Your own times",
        "as the settings have it",
        "Plan by how long steps took on your past evenings, where that is known, or by the recipes alone.",
        Kind::Yes,
    ),
    super::borrowed::LIST,
    maybe(
        "shops",
        "Shops",
        "by the degrees",
        "Whose packs the shopping list reckons with.",
        Kind::Choice(c::SHOPS),
    ),
    Item::List(ListSpec {
        key: "in_house",
        title: "In the house already",
        one: "thing in the house",
        help: "It is taken off the shopping list: flour, 2 kg rice, 6 eggs.",
        from: 0,
        items: STOCK,
        sum: stock_line,
        make: |_, _, _| json!({"item": ""}),
        pick: None,
    }),
];

const SERVICE: &[Item] = &[
    line("title", "Name", "What you call it: starters, mains, pudding.", Kind::Line(80)),
    line("at", "At", "When it stands on the table: 18:00 or 6pm.", Kind::Clock),
];

const DISH: &[Item] = &[
    line("recipe", "Recipe", "Enter or a letter: find another one.", Kind::Recipe),
    line("servings", "Servings", "How many to make.", Kind::Count(1, 500)),
    line("service", "Service", "In which wave it goes to the table.", Kind::ServiceOf),
    maybe("letter", "Letter", "chosen for you", "The letter on the chart.", Kind::Line(1)),
    maybe(
        "day_before",
        "The day before",
        "no",
        "Made the day before as far as it keeps: cooled, and heated again if it is served hot.",
        Kind::Yes,
    ),
    Item::List(ListSpec {
        key: "swaps",
        title: "Instead, in all of it",
        one: "swap",
        help: "Something else in the place of an item: oat drink for milk.",
        from: 0,
        items: SWAP,
        sum: swap_line,
        make: |_, _, _| json!({"item": "", "by": ""}),
        pick: None,
    }),
    Item::List(ListSpec {
        key: "half",
        title: "Instead, in one half of it",
        one: "swap for one half",
        help: "Half and half: one half as the recipe has it, the other with this instead.",
        from: 0,
        items: SWAP,
        sum: swap_line,
        make: |_, _, _| json!({"item": "", "by": ""}),
        pick: None,
    }),
];

const SWAP: &[Item] = &[
    line("item", "Item", "What the recipe has.", Kind::ItemOf),
    line("by", "Instead", "What comes in its place, as much of it: oat drink.", Kind::Line(80)),
];

const STOCK: &[Item] = &[
    line("item", "What", "In the words of the shopping list: plain flour.", Kind::Line(80)),
    maybe("amount", "How much", "enough", "As it was bought: 3, 1.5, 1/2.", Kind::Amount),
    maybe("unit", "Unit", "pieces", "g, kg, ml, l, cup, oz, lb, can, bunch.", Kind::Unit),
];

const GUEST: &[Item] = &[
    line("name", "Who", "A name or a description: the Tuesday choir.", Kind::Line(80)),
    line("count", "How many", "How many of them.", Kind::Count(1, 500)),
    maybe(
        "diets",
        "Diets",
        "none",
        "With commas between: vegetarian, vegan, gluten_free.",
        Kind::Words,
    ),
    maybe(
        "avoids",
        "Avoid",
        "nothing",
        "Foods or allergens that they avoid, with commas between: nuts, milk, mushroom.",
        Kind::Words,
    ),
    maybe(
        "heat",
        "Chilli",
        "whatever comes",
        "The hottest they like: 0 none at all, 1 mild, 2 hot, 3 very hot, 4 fierce.",
        Kind::Count(0, 4),
    ),
];

const COOK: &[Item] = &[
    line("name", "Name", "What they are called.", Kind::Line(80)),
    line(
        "free",
        "Free",
        "Hours in which they cook: 12:00-20:00, several with commas between.",
        Kind::Hours,
    ),
    maybe(
        "free_day_before",
        "Day before",
        "17:00-22:00",
        "Hours of the day before in which they cook what is made ahead.",
        Kind::Hours,
    ),
];

fn service(root: &Value, _: &str, _: &Known) -> Value {
    let services = tree::list(root, "services");
    let (name, at) = match services.len() {
        0 => ("Starters", "18:00"),
        1 => ("Mains", "19:00"),
        _ => ("Desserts", "20:15"),
    };
    json!({"id": free_id(services, &slug(name, "service")), "title": name, "at": at})
}

/// Everybody who comes.
fn everybody(root: &Value) -> u64 {
    let count = |guest: &Value| guest.get("count").and_then(Value::as_u64).unwrap_or(1);
    let all: u64 = tree::list(root, "guests").iter().map(count).sum();
    if all == 0 { GUESTS } else { all.min(500) }
}

/// A dish of a recipe: a serving for everybody, in the usual service of its course.
fn dish(root: &Value, recipe: &str, known: &Known) -> Value {
    let services = tree::list(root, "services");
    let course = known.recipe(recipe).map(|r| r.course);
    let last = services.len().saturating_sub(1);
    let usual = match course {
        Some(Course::Starter | Course::Drink) => 0,
        Some(Course::Dessert) => last,
        _ => last.min(1),
    };
    let service = services.get(usual).map_or("", |s| tree::text(s, "id"));
    json!({
        "id": free_id(tree::list(root, "dishes"), recipe),
        "recipe": recipe,
        "servings": everybody(root),
        "service": service,
    })
}

fn dish_line(root: &Value, entry: &Value, known: &Known) -> String {
    let title = recipe_title(entry.get("recipe").unwrap_or(&Value::Null), known);
    let servings = entry.get("servings").and_then(Value::as_u64).unwrap_or(0);
    let service = service_title(root, tree::text(entry, "service"));
    format!("{title}, for {servings}, {service}")
}

fn guest_line(_: &Value, entry: &Value, _: &Known) -> String {
    let words = |key: &str| {
        let list = tree::list(entry, key).iter().filter_map(Value::as_str);
        list.collect::<Vec<_>>().join(", ")
    };
    let count = entry.get("count").and_then(Value::as_u64).unwrap_or(1);
    let mut line = format!("{count} {}", tree::text(entry, "name"));
    let (diets, avoids) = (words("diets"), words("avoids"));
    if !diets.is_empty() {
        line = format!("{line}: {diets}");
    }
    if avoids.is_empty() { line } else { format!("{line}; no {avoids}") }
}

/// "milk: oat drink instead".
fn swap_line(_: &Value, entry: &Value, _: &Known) -> String {
    let word = |key: &str| Some(tree::text(entry, key)).filter(|t| !t.is_empty());
    let nothing = "(nothing yet)";
    let (item, by) = (word("item").unwrap_or(nothing), word("by").unwrap_or(nothing));
    format!("{item}: {by} instead")
}

/// "2 kg rice", "flour, enough".
fn stock_line(_: &Value, entry: &Value, known: &Known) -> String {
    let show = |key: &str, kind: Kind| {
        entry.get(key).filter(|v| !v.is_null()).map(|v| kind.show(v, known.reader))
    };
    let item = Some(tree::text(entry, "item")).filter(|i| !i.is_empty());
    let item = item.unwrap_or("(nothing yet)").to_owned();
    let unit = show("unit", Kind::Unit).filter(|u| u != "piece");
    match show("amount", Kind::Amount) {
        Some(amount) => {
            [Some(amount), unit, Some(item)].into_iter().flatten().collect::<Vec<_>>().join(" ")
        }
        None => format!("{item}, enough"),
    }
}

/// The items of the recipe of the dish that a path lies in, each once.
pub(super) fn items_of(root: &Value, path: &str, known: &Known) -> Vec<(String, String)> {
    let dish = path.split_once(']').map_or("", |(at, _)| at);
    let recipe = tree::get(root, &format!("{dish}].recipe"));
    let items: Vec<String> = match recipe {
        Some(Value::String(id)) => known
            .recipe(id)
            .map(|r| r.ingredients.iter().map(|i| i.item.clone()).collect())
            .unwrap_or_default(),
        Some(inline) => tree::list(inline, "ingredients")
            .iter()
            .map(|i| tree::text(i, "item").to_owned())
            .collect(),
        None => Vec::new(),
    };
    let mut all: Vec<(String, String)> = Vec::new();
    for item in items.into_iter().filter(|i| !i.is_empty()) {
        if all.iter().all(|(known, _)| *known != item) {
            all.push((item.clone(), item));
        }
    }
    all
}

/// The title of a recipe that a dish names or carries.
pub(super) fn recipe_title(value: &Value, known: &Known) -> String {
    match value {
        Value::String(id) => known.recipe(id).map_or_else(|| id.clone(), |r| r.title.clone()),
        inline => format!("{} (in this party)", tree::text(inline, "title")),
    }
}

/// The title of a kitchen that a party names or carries.
pub(super) fn kitchen_title(value: &Value, known: &Known) -> String {
    match value {
        Value::String(id) => known.kitchen(id).map_or_else(|| id.clone(), |k| k.title.clone()),
        inline => format!("{} (in this party)", tree::text(inline, "title")),
    }
}

/// The name of a service by its id.
pub(super) fn service_title(root: &Value, id: &str) -> String {
    let services = tree::list(root, "services").iter();
    let found = services.into_iter().find(|s| tree::text(s, "id") == id);
    found.map_or_else(|| id.to_owned(), |s| tree::text(s, "title").to_owned())
}

/// Recipes to choose from.
pub(super) fn recipes(known: &Known) -> Vec<(String, String)> {
    use crate::screen::form::Sort;
    let one = |r: &crate::kitchen::Recipe| {
        let own = if known.is_own(Sort::Recipe, &r.id) { ", your own" } else { "" };
        let words = format!("{} ({}, {}{own})", r.title, r.course.word(), Warmth::of(r).word());
        (r.id.clone(), words)
    };
    known.recipes.iter().map(one).collect()
}

/// Kitchens to choose from.
pub(super) fn kitchens(known: &Known) -> Vec<(String, String)> {
    known.kitchens.iter().map(|k| (k.id.clone(), k.title.clone())).collect()
}

/// A new party: tomorrow, two services, the usual guests, one cook.
pub(super) fn fresh(known: &Known) -> Value {
    let day = known.reader.today.succ_opt().unwrap_or(known.reader.today);
    let own =
        known.kitchens.iter().find(|k| known.is_own(crate::screen::form::Sort::Kitchen, &k.id));
    let kitchen = own.or(known.kitchen("home")).map_or("home", |k| k.id.as_str());
    json!({
        "id": "party",
        "title": "Supper",
        "day": day.to_string(),
        "services": [
            {"id": "starters", "title": "Starters", "at": "18:00"},
            {"id": "mains", "title": "Mains", "at": "19:00"},
        ],
        "dishes": [],
        "cooks": [{"id": "cook", "name": "Cook", "free": [{"from": "12:00", "to": "20:30"}]}],
        "kitchen": kitchen,
        "guests": [{"name": "guests", "count": GUESTS}],
        "guidance": known.settings.guidance.as_deref().unwrap_or(Profile::DEFAULT_ID),
        "room_c": 21,
        "table_minutes": 45,
    })
}
