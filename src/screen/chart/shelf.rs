//! A fridge on one lane: what only waits in it needs no lane of its own. The
//! lane says at every time how many dishes wait, and which.

use super::lanes::{Item, Lane, LaneKind, What, alone, kind_word};
use crate::kitchen::Evening;
use crate::order::InOrder;

/// Gathers the lanes of each fridge and freezer on which things only wait into
/// one; lanes on which something is made stay as they are.
#[must_use]
pub fn gather(evening: &Evening, lanes: Vec<Lane>) -> Vec<Lane> {
    let mut out: Vec<Lane> = Vec::new();
    for lane in lanes {
        let station = shelf_of(&lane);
        let found = out.iter_mut().find(|o| station.is_some() && shelf_of(o) == station);
        match found {
            Some(into) => add(into, lane),
            None => out.push(lane),
        }
    }
    for lane in &mut out {
        if let Some(station) = shelf_of(lane) {
            lane.items = pieces(&lane.items);
            lane.name = name(evening, station).unwrap_or_else(|| lane.name.clone());
        }
    }
    out
}

/// The station of a lane on which things only wait in the cold.
fn shelf_of(lane: &Lane) -> Option<usize> {
    let waits = |i: &Item| matches!(i.what, What::Wait | What::Hold);
    match &lane.kind {
        LaneKind::Slots { station, .. } if lane.cold && lane.items.iter().all(waits) => {
            Some(*station)
        }
        _ => None,
    }
}

fn add(into: &mut Lane, lane: Lane) {
    if let (LaneKind::Slots { slots, .. }, LaneKind::Slots { slots: more, .. }) =
        (&mut into.kind, lane.kind)
    {
        slots.extend(more);
        slots.sort_unstable();
    }
    for item in lane.items {
        if !into.items.contains(&item) {
            into.items.push(item);
        }
    }
}

fn name(evening: &Evening, station: usize) -> Option<String> {
    let place = evening.kitchen.stations.get(station)?;
    let one = alone(evening, place.kind);
    Some(if one { kind_word(place.kind).to_owned() } else { place.title.clone() })
}

/// The same times in pieces that do not overlap: in each the same dishes wait.
fn pieces(items: &[Item]) -> Vec<Item> {
    let mut edges: Vec<i64> = items.iter().flat_map(|i| [i.from_ms, i.to_ms]).collect();
    edges.sort_unstable();
    edges.dedup();
    let mut out: Vec<Item> = Vec::new();
    for (&from_ms, &to_ms) in edges.iter().zip(edges.iter().skip(1)) {
        let mut there: Vec<&Item> =
            items.iter().filter(|i| i.from_ms < to_ms && from_ms < i.to_ms).collect();
        there.order_by_key(|i| (i.from_ms, i.dish));
        there.dedup_by_key(|i| i.dish);
        let Some((first, others)) = there.split_first() else { continue };
        let whole = first.from_ms == from_ms && first.to_ms == to_ms;
        if others.is_empty() && whole {
            out.push((*first).clone());
            continue;
        }
        let what =
            if others.iter().all(|i| i.what == first.what) { first.what } else { What::Wait };
        out.push(Item {
            from_ms,
            to_ms,
            body_ms: to_ms,
            what,
            others: others.iter().filter_map(|i| i.dish).collect(),
            // A piece of a wait is not as long as the wait.
            label: String::new(),
            sel: first.sel.filter(|_| others.is_empty()),
            ..(*first).clone()
        });
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wait(dish: usize, from: i64, to: i64) -> Item {
        Item {
            from_ms: from,
            body_ms: to,
            to_ms: to,
            what: What::Wait,
            dish: Some(dish),
            others: Vec::new(),
            sel: None,
            label: "wait".to_owned(),
            pinned: false,
        }
    }

    fn told(items: &[Item]) -> Vec<(i64, i64, Vec<usize>)> {
        let dishes = |i: &Item| i.dish.into_iter().chain(i.others.clone()).collect();
        items.iter().map(|i| (i.from_ms, i.to_ms, dishes(i))).collect()
    }

    #[test]
    fn pieces_name_who_is_there_at_every_time() {
        let items = [wait(0, 0, 100), wait(1, 20, 50), wait(2, 40, 120), wait(3, 200, 210)];
        let expect = vec![
            (0, 20, vec![0]),
            (20, 40, vec![0, 1]),
            (40, 50, vec![0, 1, 2]),
            (50, 100, vec![0, 2]),
            (100, 120, vec![2]),
            (200, 210, vec![3]),
        ];
        assert_eq!(told(&pieces(&items)), expect);
    }

    #[test]
    fn a_dish_on_two_shelves_counts_once() {
        assert_eq!(told(&pieces(&[wait(0, 0, 10), wait(0, 0, 10)])), vec![(0, 10, vec![0])]);
    }

    #[test]
    fn a_wait_alone_keeps_its_words() {
        assert_eq!(pieces(&[wait(0, 0, 10)]), vec![wait(0, 0, 10)]);
    }
}
