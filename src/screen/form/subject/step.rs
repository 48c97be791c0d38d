//! The fields of a step of a recipe.

use serde_json::{Value, json};

use super::choices as c;
use super::recipe::step_label;
use super::{Item, Kind, ListSpec, free_id, line, maybe, where_so};
use crate::screen::form::{Known, kind, tree};

pub(super) const ITEMS: &[Item] = &[
    line("label", "On the chart", "One or two words for its block: roast, whip.", Kind::Line(24)),
    line("text", "What to do", "One sentence to the cook.", Kind::Line(600)),
    line(
        "ways[0].station",
        "Where",
        "The station it is done at. Other ways to do it come below.",
        Kind::Choice(c::STATIONS),
    ),
    line(
        "ways[0].minutes",
        "Minutes",
        "40; or from the least to the most, 35-48; or low, likely, high: 35 40 48.",
        Kind::Minutes,
    ),
    where_so(
        "ways[0].at_c",
        "Oven set to",
        Some("no dial"),
        "As the recipe means it, or as your dial has it: 180 °C, 350 °F, fan 160 °C, gas 4.",
        Kind::Oven,
        |step| is_at(step, &["oven", "grill", "air_fryer"]),
    ),
    where_so(
        "ways[0].give_c",
        "Give, °C",
        Some("0"),
        "How far off that setting may be, so that it can share an oven.",
        Kind::Count(0, 60),
        |step| is_at(step, &["oven", "grill"]),
    ),
    where_so(
        "ways[0].setting",
        "Flame or setting",
        Some("not said"),
        "Of a burner or a slow cooker.",
        Kind::Choice(c::FLAMES),
        |step| is_at(step, &["stovetop", "slow_cooker"]),
    ),
    line(
        "ways[0].slots",
        "Racks or places",
        "How many racks, burners or boards it takes at once.",
        Kind::Count(1, 50),
    ),
    maybe(
        "ways[0].load_servings",
        "Servings a load",
        "all at once",
        "If it is done in loads one after another: how many servings go in at once.",
        Kind::Count(1, 500),
    ),
    line("grows", "For more people", "How its minutes grow.", Kind::Choice(c::GROWS)),
    Item::Head("Your hands"),
    line(
        "hands.start_minutes",
        "Hands at the start",
        "Minutes of full attention when it begins: load, sear.",
        Kind::Count(0, 600),
    ),
    line(
        "hands.between_percent",
        "Between, %",
        "100 chopping all the time, 50 stir often, 10 look in now and then, 0 leave alone.",
        Kind::Count(0, 100),
    ),
    line(
        "hands.end_minutes",
        "Hands at the end",
        "Minutes of full attention when it ends: pull, plate.",
        Kind::Count(0, 600),
    ),
    maybe(
        "overdone_after",
        "Overdone after",
        "it forgives",
        "Minutes past its end at which it is overdone.",
        Kind::Count(1, 600),
    ),
    maybe("probe", "Take its heat", "no", "Measure the inner temperature at the end.", Kind::Yes),
    Item::List(ListSpec {
        key: "after",
        title: "Comes after",
        one: "step before it",
        help: "The steps that must be done first, and how long the food waits between.",
        from: 0,
        items: AFTER,
        sum: |root, entry, _| {
            let label = step_label(root, tree::text(entry, "step"));
            let wait = entry.get("least_minutes").and_then(Value::as_u64).filter(|n| *n > 0);
            wait.map_or(label.clone(), |n| format!("{label}, then {n} min"))
        },
        make: |_, picked, _| json!({"step": picked, "place": "room"}),
        pick: Some(Kind::StepBefore),
    }),
    Item::List(ListSpec {
        key: "cookware",
        title: "Done in",
        one: "pan",
        help: "The pans, trays and bowls it is done in: a pan that is taken is not there for another dish.",
        from: 0,
        items: PAN,
        sum: |_, entry, _| {
            let count = entry.get("count").and_then(Value::as_u64).unwrap_or(1);
            format!("{count} x {}", tree::text(entry, "kind"))
        },
        make: |_, _, _| json!({"kind": "saucepan", "count": 1}),
        pick: None,
    }),
    Item::List(ListSpec {
        key: "ways",
        title: "Other ways to do it",
        one: "other way",
        help: "Where else it could be done, if the best place is taken.",
        from: 1,
        items: WAY,
        sum: |_, entry, known| {
            let of = |key: &str, kind: Kind| {
                entry.get(key).map_or_else(String::new, |v| kind.show(v, known.reader))
            };
            let station = of("station", Kind::Choice(c::STATIONS));
            format!("{station}, {} min", of("minutes", Kind::Minutes))
        },
        make: |_, _, _| json!({"station": "oven", "slots": 1, "minutes": 30, "at_c": 180, "give_c": 10, "points": 5}),
        pick: None,
    }),
];

const AFTER: &[Item] = &[
    line("step", "Step", "The step that must be done first.", Kind::StepBefore),
    maybe(
        "least_minutes",
        "Wait at least",
        "0",
        "Minutes that the food must wait: rest, rise, cool.",
        Kind::Count(0, 2880),
    ),
    maybe(
        "most_minutes",
        "At the most",
        "no limit",
        "Minutes that it may wait.",
        Kind::Count(0, 2880),
    ),
    maybe(
        "best_minutes",
        "Best wait",
        "none",
        "The wait that does it most good: marinades, doughs.",
        Kind::Count(1, 2880),
    ),
    maybe(
        "short_points",
        "Short of it",
        "0",
        "Quality points for each ten minutes short of the best wait.",
        Kind::Count(0, 1000),
    ),
    line("place", "Waits", "Where the food waits meanwhile.", Kind::Choice(c::WAITS)),
];

const PAN: &[Item] = &[
    line(
        "kind",
        "Kind",
        "As your kitchen calls it: stock_pot, saucepan, frying_pan, oven_pan, sheet_tray, mixing_bowl.",
        Kind::Line(40),
    ),
    line("count", "How many", "How many of it.", Kind::Count(1, 50)),
    maybe(
        "least_ml",
        "At least",
        "any",
        "The least that each must hold for all servings: 4.5 l.",
        Kind::Volume,
    ),
];

const WAY: &[Item] = &[
    line("station", "Where", "The station it is done at.", Kind::Choice(c::STATIONS)),
    line("minutes", "Minutes", "40, 35-48, or 35 40 48.", Kind::Minutes),
    maybe("at_c", "Set to", "no dial", "180 °C, 350 °F, fan 160 °C, gas 4.", Kind::Oven),
    maybe("give_c", "Give, °C", "0", "How far off that setting may be.", Kind::Count(0, 60)),
    maybe(
        "setting",
        "Flame or setting",
        "not said",
        "Of a burner or a slow cooker.",
        Kind::Choice(c::FLAMES),
    ),
    line("slots", "Racks or places", "How many it takes at once.", Kind::Count(1, 50)),
    maybe(
        "load_servings",
        "Servings a load",
        "all at once",
        "If it is done in loads.",
        Kind::Count(1, 500),
    ),
    maybe(
        "ml_per_serving",
        "Room a serving",
        "not said",
        "Volume that a serving takes in a slow cooker.",
        Kind::Volume,
    ),
    maybe(
        "points",
        "Worse by",
        "0",
        "Quality points that this way costs against the best one.",
        Kind::Count(0, 1000),
    ),
];

fn is_at(step: &Value, kinds: &[&str]) -> bool {
    kinds.contains(&tree::text(step, "ways[0].station"))
}

/// A step in a line: `roast: oven, 40 min, after 1 tray`.
pub(super) fn summary(root: &Value, entry: &Value, known: &Known) -> String {
    let of = |key: &str, kind: Kind| {
        tree::get(entry, key).map_or_else(String::new, |v| kind.show(v, known.reader))
    };
    let station = of("ways[0].station", Kind::Choice(c::STATIONS));
    let minutes = of("ways[0].minutes", Kind::Minutes);
    let after: Vec<String> = tree::list(entry, "after")
        .iter()
        .map(|a| step_label(root, tree::text(a, "step")))
        .collect();
    let after =
        if after.is_empty() { String::new() } else { format!(", after {}", after.join(" and ")) };
    let mark = mark(entry);
    format!("{mark}{}: {station}, {minutes} min{after}", tree::text(entry, "label"))
}

/// What stands before a proposal that nobody has confirmed.
pub(super) fn mark(entry: &Value) -> &'static str {
    let open = entry.get("unconfirmed").map(kind::plain).is_some_and(|u| u == "yes");
    if open { "? " } else { "" }
}

/// A step to begin with.
pub(super) fn first() -> Value {
    json!({
        "id": "step",
        "text": "Cook it.",
        "label": "cook",
        "ways": [{"station": "stovetop", "slots": 1, "minutes": 20, "give_c": 0}],
        "hands": {"start_minutes": 2, "end_minutes": 2, "between_percent": 10},
        "grows": "fixed",
    })
}

/// A new step follows the one before it.
pub(super) fn make(root: &Value, _: &str, _: &Known) -> Value {
    let steps = tree::list(root, "steps");
    let mut step = first();
    tree::put(&mut step, "id", json!(free_id(steps, "step")));
    tree::put(&mut step, "label", json!("next"));
    if let Some(last) = steps.last() {
        tree::put(&mut step, "after", json!([{"step": tree::text(last, "id"), "place": "room"}]));
    }
    step
}
