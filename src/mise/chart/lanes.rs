//! What lies in which lane of the picture.

use crate::kitchen::{Evening, Minute, Sheet, StationKind, Step};
use crate::order::InOrder;
use crate::plan::{Block, Plan, SettingKind};

/// A lane of the picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Lane {
    /// What stands before it.
    pub title: String,
    /// What lies in it.
    pub items: Vec<Item>,
}

/// What an item is; each has a shape of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shape {
    /// A step of a dish.
    Step,
    /// A dish that waits for its service.
    Hold,
    /// Food that waits between two steps.
    Wait,
    /// A thermostat on its way up.
    Heating,
    /// A thermostat on its way down.
    Cooling,
    /// Hands at work, so many per cent.
    Hands(i32),
}

/// Something in a lane.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Item {
    /// What it is.
    pub shape: Shape,
    /// Index of its dish.
    pub dish: Option<usize>,
    /// First minute.
    pub from: Minute,
    /// Minute after the last.
    pub to: Minute,
    /// What it is called, the longest name first.
    pub names: Vec<String>,
    /// All of it, for who points at it or has it read aloud.
    pub words: String,
}

/// All lanes that have something in them: hands first, then stations by kind.
pub(super) fn lanes(evening: &Evening, plan: &Plan) -> Vec<Lane> {
    let mut lanes: Vec<Lane> =
        evening.party.cooks.iter().map(|c| hands(evening, plan, c)).collect();
    let mut stations: Vec<usize> = (0..evening.kitchen.stations.len()).collect();
    let order = |s: &usize| {
        let kind = evening.kitchen.stations.get(*s).map(|s| s.kind);
        StationKind::ALL.iter().position(|k| Some(*k) == kind)
    };
    stations.order_by_key(|s| (order(s), *s));
    for at in stations {
        let Some(station) = evening.kitchen.stations.get(at) else { continue };
        for slot in 0..station.slots {
            lanes.push(place(evening, plan, &station.id, slot));
        }
    }
    lanes.retain(|lane| !lane.items.is_empty());
    lanes
}

/// The lane of a slot of a station.
fn place(evening: &Evening, plan: &Plan, id: &str, slot: u32) -> Lane {
    let title = crate::plan::text::place(evening, id, &[slot]);
    let here = |station: &str, slots: &[u32]| station == id && slots.contains(&slot);
    let mut items: Vec<Item> = Vec::new();
    let blocks = plan.blocks.iter().filter(|b| here(&b.station, &b.slots));
    items.extend(blocks.map(|b| step(evening, b)));
    let holds = plan.holds.iter().filter(|h| here(&h.station, &h.slots));
    items.extend(holds.map(|h| {
        let words = "waits for its service";
        waiting(evening, Shape::Hold, h.dish, (h.from, h.to), words)
    }));
    let waits = plan.waits.iter().filter(|w| here(w.station.as_deref().unwrap_or(""), &w.slots));
    items.extend(waits.map(|w| {
        let words = "waits between two steps";
        waiting(evening, Shape::Wait, w.dish, (w.from, w.to), words)
    }));
    if slot == 0 {
        let turned = plan.settings.iter().filter(|s| s.station == id);
        items.extend(turned.filter_map(|s| {
            let shape = match s.kind {
                SettingKind::Heating => Shape::Heating,
                SettingKind::Cooling => Shape::Cooling,
                SettingKind::Keeping => return None,
            };
            let to = evening.customs.oven(s.to_c);
            let (from, until) = (evening.face.label(s.from), evening.face.label(s.to));
            let words = format!("{from} to {until}: dial to {to}");
            Some(Item { shape, dish: None, from: s.from, to: s.to, names: vec![to], words })
        }));
    }
    items.order_by_key(|i| (i.from, i.to, i.dish));
    Lane { title, items }
}

fn step(evening: &Evening, b: &Block) -> Item {
    let sheet = evening.sheets.get(b.key.dish);
    let letter = sheet.map_or(' ', |s| s.letter);
    let short = sheet.map_or_else(String::new, Sheet::short);
    let label =
        sheet.and_then(|s| s.recipe.steps.get(b.key.step)).map_or_else(String::new, Step::marked);
    let load = match b.loads {
        0 | 1 => String::new(),
        loads => format!(" {}/{loads}", b.key.load + 1),
    };
    let (from, to) = (evening.face.label(b.start), evening.face.label(b.end));
    let heat = b.setting_c.map(|c| evening.customs.oven(c));
    let heat = heat.map_or_else(String::new, |h| format!(", {h}"));
    Item {
        shape: Shape::Step,
        dish: Some(b.key.dish),
        from: b.start,
        to: b.end,
        names: vec![
            format!("{letter} {short}: {label}{load}"),
            format!("{letter} {label}{load}"),
            format!("{letter}{load}"),
            letter.to_string(),
        ],
        words: format!("{from} to {to}: {short}, {label}{load}{heat}"),
    }
}

fn waiting(
    evening: &Evening,
    shape: Shape,
    dish: usize,
    (from, to): (Minute, Minute),
    what: &str,
) -> Item {
    let sheet = evening.sheets.get(dish);
    let letter = sheet.map_or(' ', |s| s.letter);
    let short = sheet.map_or_else(String::new, Sheet::short);
    let (begin, end) = (evening.face.label(from), evening.face.label(to));
    let words = format!("{begin} to {end}: {short} {what}");
    let names =
        vec![format!("{letter} {short} waits"), format!("{letter} waits"), letter.to_string()];
    Item { shape, dish: Some(dish), from, to, names, words }
}

/// The lane of a cook's hands: whole attention as a block, a share of it as a bar.
fn hands(evening: &Evening, plan: &Plan, cook: &crate::kitchen::Cook) -> Lane {
    let mut items = Vec::new();
    let own = plan.blocks.iter().filter(|b| b.cook.as_deref() == Some(cook.id.as_str()));
    for b in own {
        let (middle, late) = (b.start + b.hands_start, b.end - b.hands_end);
        let parts = if b.hands_between >= 100 || middle >= late {
            vec![(b.start, b.end, 100)]
        } else {
            vec![(b.start, middle, 100), (middle, late, b.hands_between), (late, b.end, 100)]
        };
        for (from, to, percent) in parts.into_iter().filter(|p| p.0 < p.1 && p.2 > 0) {
            let whole = step(evening, b);
            let (begin, end) = (evening.face.label(from), evening.face.label(to));
            let name = whole.words.split_once(": ").map_or("", |w| w.1);
            items.push(Item {
                shape: Shape::Hands(percent),
                from,
                to,
                names: whole.names.get(1..).unwrap_or_default().to_vec(),
                words: format!("{begin} to {end}: {percent} % of {} for {name}", cook.name),
                ..whole
            });
        }
    }
    items.order_by_key(|i| (i.from, i.to, i.dish));
    Lane { title: cook.name.clone(), items }
}
