//! Where blocks would move to if the explained one ran late: lanes of their
//! own, each under the lanes of its station.

use std::collections::BTreeMap;

use super::lanes::{Item, Lane, LaneKind, What};
use crate::kitchen::Step;
use crate::order::InOrder;
use crate::plan::Block;
use crate::plan::why::late::Late;
use crate::screen::Scene;
use crate::screen::ui::{Sel, Ui};

/// The lanes, with those of what would move among them.
#[must_use]
pub fn with_then(scene: &Scene, ui: &Ui, mut lanes: Vec<Lane>) -> Vec<Lane> {
    let Some(late) = ui.why_late(scene) else { return lanes };
    for (station, rows) in by_station(scene, ui, late) {
        let of_it =
            |l: &Lane| matches!(&l.kind, LaneKind::Slots { station: s, .. } if *s == station);
        let at = lanes.iter().rposition(of_it).map_or(lanes.len(), |i| i + 1);
        for (n, items) in rows.into_iter().enumerate() {
            let name = if n == 0 { name(scene, station) } else { String::new() };
            let kind = LaneKind::Then(station);
            lanes.insert(at + n, Lane { name, kind, items, down: false, cold: false });
        }
    }
    lanes
}

/// "→ hob": what would stand there.
fn name(scene: &Scene, station: usize) -> String {
    let station = scene.evening.kitchen.stations.get(station);
    let word = station.map_or("", |s| super::kind_word(s.kind));
    format!("{} {word}", scene.look.glyphs().arrow)
}

/// For each station the items, in rows in which none overlap.
fn by_station(scene: &Scene, ui: &Ui, late: &Late) -> BTreeMap<usize, Vec<Vec<Item>>> {
    let mut stations: BTreeMap<usize, Vec<Vec<Item>>> = BTreeMap::new();
    let Some(plan) = &late.plan else { return stations };
    let own = ui.why_key(scene);
    let mut blocks: Vec<&Block> = plan
        .blocks
        .iter()
        .filter(|b| Some(b.key) == own || late.moves.iter().any(|m| m.key == b.key))
        .collect();
    blocks.order_by_key(|b| (b.start, b.key));
    for block in blocks {
        let Some(at) = scene.evening.kitchen.stations.iter().position(|s| s.id == block.station)
        else {
            continue;
        };
        let item = item(scene, block);
        let rows = stations.entry(at).or_default();
        let free = |row: &&mut Vec<Item>| row.last().is_none_or(|l| l.to_ms <= item.from_ms);
        match rows.iter_mut().find(free) {
            Some(row) => row.push(item),
            None => rows.push(vec![item]),
        }
    }
    stations
}

fn item(scene: &Scene, block: &Block) -> Item {
    let (from_ms, to_ms) =
        (scene.evening.face.ms_of(block.start), scene.evening.face.ms_of(block.end));
    let sheet = scene.evening.sheets.get(block.key.dish);
    let step = sheet.and_then(|s| s.recipe.steps.get(block.key.step));
    Item {
        from_ms,
        body_ms: to_ms,
        to_ms,
        what: What::Then,
        dish: Some(block.key.dish),
        others: Vec::new(),
        sel: Some(Sel::Step(block.key)),
        label: step.map_or_else(String::new, Step::marked),
        pinned: false,
    }
}

/// While a block is explained: the lane of the block, those of what would move
/// and those that change, and then whatever is needed soonest, in their order.
#[must_use]
pub fn of_interest(scene: &Scene, ui: &Ui, mut lanes: Vec<Lane>, rows: u16) -> Vec<Lane> {
    let mut order: Vec<(u8, i64, usize)> = lanes
        .iter()
        .enumerate()
        .map(|(i, l)| (rank(scene, ui, l), l.next_use_ms(scene.view.now_ms), i))
        .collect();
    order.sort_unstable();
    let mut keep: Vec<usize> = order.iter().take(usize::from(rows)).map(|o| o.2).collect();
    keep.sort_unstable();
    let mut index = 0;
    lanes.retain(|_| {
        index += 1;
        keep.binary_search(&(index - 1)).is_ok()
    });
    lanes
}

/// How many lanes the explanation wants to be seen.
#[must_use]
pub fn wanted(scene: &Scene, ui: &Ui) -> u16 {
    let lanes = super::lanes(scene.evening, scene.plan, scene.view);
    let lanes = with_then(scene, ui, lanes);
    let wanted = lanes.iter().filter(|l| rank(scene, ui, l) < 3).count();
    u16::try_from(wanted).unwrap_or(u16::MAX)
}

fn rank(scene: &Scene, ui: &Ui, lane: &Lane) -> u8 {
    let sels = || lane.items.iter().filter_map(|i| i.sel);
    let moves = |sel: Sel| match (sel, ui.why_late(scene)) {
        (Sel::Step(key), Some(late)) => late.moves.iter().any(|m| m.key == key),
        _ => false,
    };
    match lane.kind {
        LaneKind::Cook(_) => 3,
        LaneKind::Then(_) => 1,
        _ if sels().any(|s| Some(s) == ui.selected) => 0,
        _ if sels().any(moves) => 2,
        _ => 3,
    }
}
