//! The fields of a kitchen: stations, pans, and what food goes to the table in.

use serde_json::{Value, json};

use super::choices as c;
use super::{Item, Kind, ListSpec, free_id, line, maybe, where_so};
use crate::kitchen::units::Degrees;
use crate::screen::form::{Known, kind, tree};

pub(super) const ITEMS: &[Item] = &[
    line("title", "Name", "What you call this kitchen.", Kind::Line(80)),
    Item::List(ListSpec {
        key: "stations",
        title: "Where food is made and waits",
        one: "station",
        help: "Ovens, hob, slow cooker, counter, fridge. Enter opens one: how many racks, how slow is it?",
        from: 0,
        items: STATION,
        sum: station_line,
        make: |root, _, _| {
            let id = free_id(tree::list(root, "stations"), "station");
            json!({"id": id, "title": "Hob", "kind": "stovetop", "slots": 4})
        },
        pick: None,
    }),
    Item::List(ListSpec {
        key: "cookware",
        title: "Pans, pots, trays, bowls",
        one: "pan",
        help: "Recipes ask for them by their kind, and a pan that is taken is not there for another dish.",
        from: 0,
        items: PAN,
        sum: pan_line,
        make: |root, _, _| {
            let id = free_id(tree::list(root, "cookware"), "pan");
            json!({"id": id, "title": "Saucepan", "kind": "saucepan", "count": 1})
        },
        pick: None,
    }),
    Item::List(ListSpec {
        key: "servingware",
        title: "What food goes to the table in",
        one: "serving dish",
        help: "Bowls, platters, boards. If you don't know what a bowl holds, fill it with water and weigh that.",
        from: 0,
        items: WARE,
        sum: ware_line,
        make: |root, _, _| {
            let id = free_id(tree::list(root, "servingware"), "ware");
            json!({"id": id, "title": "Bowl", "count": 1, "kind": "bowl", "keeps": "neither"})
        },
        pick: None,
    }),
];

fn has_dial(station: &Value) -> bool {
    matches!(tree::text(station, "kind"), "oven" | "grill")
}

fn has_volume(station: &Value) -> bool {
    tree::text(station, "kind") == "slow_cooker"
}

const STATION: &[Item] = &[
    line("title", "Name", "What you call it.", Kind::Line(80)),
    line("kind", "Kind", "Recipes ask for it by this.", Kind::Choice(c::STATIONS)),
    line(
        "slots",
        "Racks or places",
        "How much goes on at once: racks of an oven, burners of a hob, boards on the counter, shelf places of a fridge.",
        Kind::Count(1, 50),
    ),
    where_so(
        "thermostat.least_c",
        "Lowest setting",
        None,
        "The lowest that its dial can be set to.",
        Kind::Heat,
        has_dial,
    ),
    where_so("thermostat.most_c", "Highest setting", None, "The highest.", Kind::Heat, has_dial),
    where_so(
        "thermostat.up_c_per_min",
        "Minutes to heat",
        None,
        "Minutes from cold to 180 °C (350 °F). Set it, and wait for the light to go out: most ovens take 10 to 20.",
        Kind::HeatUp,
        has_dial,
    ),
    where_so(
        "thermostat.down_c_per_min",
        "Minutes to cool",
        None,
        "Minutes from 200 down to 150 °C (400 to 300 °F) with the door shut: some 8 to 20.",
        Kind::CoolDown,
        has_dial,
    ),
    where_so(
        "volume_ml",
        "Holds",
        Some("not known"),
        "Up to a finger below the rim. Fill it with water and write what went in: 4 l, or weighed: 4000 g.",
        Kind::Volume,
        has_volume,
    ),
];

const PAN: &[Item] = &[
    line("title", "Name", "What you call it.", Kind::Line(80)),
    line(
        "kind",
        "Kind",
        "What recipes call it: stock_pot, saucepan, frying_pan, oven_pan, sheet_tray, mixing_bowl, roasting_tin.",
        Kind::Line(40),
    ),
    line("count", "How many", "How many of it there are.", Kind::Count(1, 100)),
    maybe(
        "volume_ml",
        "Holds",
        "not known",
        "Fill it with water up to a finger below the rim and write what went in: 2.5 l, 10 cups, or weighed: 2500 g.",
        Kind::Volume,
    ),
    maybe("ovenproof", "Ovenproof", "no", "May it go into an oven?", Kind::Yes),
];

const WARE: &[Item] = &[
    line("title", "Name", "What you call it.", Kind::Line(80)),
    line("count", "How many", "How many of it there are.", Kind::Count(1, 100)),
    maybe("kind", "Kind", "by its measures", "What it is.", Kind::Choice(c::WARES)),
    maybe(
        "volume_ml",
        "Holds",
        "not known",
        "Fill it with water up to a finger below the rim and write what went in: 2.5 l, 10 cups, or weighed: 2500 g.",
        Kind::Volume,
    ),
    maybe(
        "area_cm2",
        "Area, cm²",
        "not known",
        "For flat ones: how long times how wide, in centimetres.",
        Kind::Count(1, 20_000),
    ),
    maybe(
        "size.shape",
        "Shape",
        "not measured",
        "Instead of filling it: its shape and inner measures.",
        Kind::Choice(c::SHAPES),
    ),
    where_so(
        "size.long_mm",
        "Longest, mm",
        None,
        "The longest way across the top.",
        Kind::Count(10, 2000),
        has_size,
    ),
    where_so(
        "size.wide_mm",
        "Other way, mm",
        Some("as long"),
        "The other way across.",
        Kind::Count(10, 2000),
        has_size,
    ),
    where_so(
        "size.deep_mm",
        "Deep, mm",
        Some("flat"),
        "How deep it is inside.",
        Kind::Count(1, 1000),
        has_size,
    ),
    line("keeps", "Keeps", "What it does for the food's temperature.", Kind::Choice(c::KEEPS)),
    maybe("ovenproof", "Ovenproof", "no", "May it go into an oven?", Kind::Yes),
    maybe("lid", "Lid", "no", "Has it a lid?", Kind::Yes),
    maybe(
        "stays_put",
        "Stays put",
        "no",
        "It stands on the table and is filled there; nobody carries it full.",
        Kind::Yes,
    ),
];

fn has_size(ware: &Value) -> bool {
    ware.get("size").is_some()
}

fn volume(entry: &Value, known: &Known) -> String {
    let ml = entry.get("volume_ml").filter(|v| !v.is_null());
    ml.map_or_else(String::new, |ml| format!(", {}", kind::Kind::Volume.show(ml, known.reader)))
}

fn number(entry: &Value, key: &str) -> u64 {
    entry.get(key).and_then(Value::as_u64).unwrap_or(0)
}

fn station_line(_: &Value, entry: &Value, known: &Known) -> String {
    let (kind, slots) = (tree::text(entry, "kind"), number(entry, "slots"));
    let place = match kind {
        "oven" => "rack",
        "stovetop" => "burner",
        "counter" => "board",
        "fridge" | "freezer" => "shelf place",
        _ => "place",
    };
    let s = if slots == 1 { "" } else { "s" };
    let heat = tree::get(entry, "thermostat.most_c").and_then(Value::as_f64);
    let degrees = |c: f64| match known.reader.customs.degrees {
        Degrees::Celsius => format!("{c:.0} °C"),
        Degrees::Fahrenheit => format!("{:.0} °F", c * 1.8 + 32.0),
    };
    let heat = heat.map_or_else(String::new, |c| format!(", up to {}", degrees(c)));
    format!("{}: {slots} {place}{s}{heat}{}", tree::text(entry, "title"), volume(entry, known))
}

fn pan_line(_: &Value, entry: &Value, known: &Known) -> String {
    let oven = entry.get("ovenproof").and_then(Value::as_bool) == Some(true);
    let title = tree::text(entry, "title");
    let oven = if oven && !title.contains("ovenproof") { ", ovenproof" } else { "" };
    format!("{} x {title}{}{oven}", number(entry, "count"), holds(title, entry, known))
}

fn ware_line(_: &Value, entry: &Value, known: &Known) -> String {
    let title = tree::text(entry, "title");
    format!("{} x {title}{}", number(entry, "count"), holds(title, entry, known))
}

/// How much it holds, unless its name says so: "Baking dish, 3 l"; told apart from a size in it.
fn holds(title: &str, entry: &Value, known: &Known) -> String {
    let said = volume(entry, known);
    let plain = said.trim_start_matches(", ");
    match plain {
        "" => String::new(),
        plain if title.to_lowercase().contains(&plain.to_lowercase()) => String::new(),
        plain if title.contains(|c: char| c.is_ascii_digit()) => format!(" (holds {plain})"),
        _ => said,
    }
}

/// A station that has become an oven gets the dial of a usual one; one that is
/// none any more loses it.
pub(super) fn settle(value: &mut Value, path: &str) {
    let Some(place) = path.strip_suffix(".kind").filter(|p| p.starts_with("stations[")) else {
        return;
    };
    let Some(station) = tree::get_mut(value, place) else { return };
    if !has_dial(station) {
        tree::take(station, "thermostat");
    } else if station.get("thermostat").is_none_or(Value::is_null) {
        // Rates of an ordinary home oven, those of the built-in kitchen.
        let usual = json!({"least_c": 50, "most_c": 250, "up_c_per_min": 12, "down_c_per_min": 6});
        tree::put(station, "thermostat", usual);
    }
    if !has_volume(station) {
        tree::take(station, "volume_ml");
    }
}

/// A new kitchen begins as a copy of a home's.
pub(super) fn fresh(known: &Known) -> Value {
    let home = known.kitchen("home").or(known.kitchens.first());
    let mut value = home.and_then(|k| serde_json::to_value(k).ok()).unwrap_or_else(
        || json!({"id": "kitchen", "title": "", "stations": [], "cookware": [], "servingware": []}),
    );
    tree::put(&mut value, "title", json!("My kitchen"));
    value
}
