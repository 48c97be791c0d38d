//! What each station carries by a plan: which dishes, for how long, and when
//! nothing more goes on it.

use super::blocks::Plan;
use crate::kitchen::{Evening, Minute};

/// What a station carries.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StationLoad {
    /// Index of the station in the kitchen.
    pub station: usize,
    /// The dishes that are made or wait there, in order.
    pub dishes: Vec<usize>,
    /// Minutes that its slots are taken, added up over the slots.
    pub slot_minutes: Minute,
    /// The most slots that are taken at once.
    pub most: u32,
    /// The longest stretch in which every slot is taken: from, to.
    pub full: Option<(Minute, Minute)>,
}

/// What every station carries that carries anything, in the kitchen's order.
#[must_use]
pub fn loads(evening: &Evening, plan: &Plan) -> Vec<StationLoad> {
    let stations = evening.kitchen.stations.iter().enumerate();
    stations
        .map(|(index, station)| {
            let of = takings(plan, &station.id);
            load(index, station.slots, &of)
        })
        .filter(|l| !l.dishes.is_empty())
        .collect()
}

/// A dish on some slots for a while.
#[derive(Clone, Copy)]
struct Taking {
    dish: usize,
    slots: u32,
    from: Minute,
    to: Minute,
}

fn takings(plan: &Plan, station: &str) -> Vec<Taking> {
    let count = |slots: &[u32]| u32::try_from(slots.len()).unwrap_or(u32::MAX);
    let blocks = plan.blocks.iter().filter(|b| b.station == station).map(|b| Taking {
        dish: b.key.dish,
        slots: count(&b.slots),
        from: b.start,
        to: b.end,
    });
    let holds = plan.holds.iter().filter(|h| h.station == station).map(|h| Taking {
        dish: h.dish,
        slots: count(&h.slots),
        from: h.from,
        to: h.to,
    });
    let waits = plan.waits.iter().filter(|w| w.station.as_deref() == Some(station));
    let waits =
        waits.map(|w| Taking { dish: w.dish, slots: count(&w.slots), from: w.from, to: w.to });
    blocks.chain(holds).chain(waits).filter(|t| t.from < t.to && t.slots > 0).collect()
}

fn load(station: usize, slots: u32, takings: &[Taking]) -> StationLoad {
    let mut dishes: Vec<usize> = takings.iter().map(|t| t.dish).collect();
    dishes.sort_unstable();
    dishes.dedup();
    let minutes = |t: &Taking| {
        let slots = Minute::try_from(t.slots).unwrap_or(Minute::MAX);
        (t.to - t.from).saturating_mul(slots)
    };
    let slot_minutes = takings.iter().map(minutes).fold(0, Minute::saturating_add);
    let mut changes: Vec<Minute> = takings.iter().flat_map(|t| [t.from, t.to]).collect();
    changes.sort_unstable();
    changes.dedup();
    let (mut most, mut full, mut open) = (0, None, None);
    for &at in &changes {
        let now = takings.iter().filter(|t| t.from <= at && at < t.to);
        let taken = now.map(|t| t.slots).fold(0, u32::saturating_add);
        most = most.max(taken);
        match open {
            None if taken >= slots => open = Some(at),
            Some(from) if taken < slots => {
                full = longer(full, (from, at));
                open = None;
            }
            _ => {}
        }
    }
    StationLoad { station, dishes, slot_minutes, most, full }
}

fn longer(a: Option<(Minute, Minute)>, b: (Minute, Minute)) -> Option<(Minute, Minute)> {
    match a {
        Some(a) if a.1 - a.0 >= b.1 - b.0 => Some(a),
        _ => Some(b),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_stretch_without_a_free_slot() {
        let on = |dish, slots, from, to| Taking { dish, slots, from, to };
        let all = [on(2, 1, 0, 50), on(0, 1, 10, 20), on(1, 1, 20, 35), on(0, 2, 60, 70)];
        let load = load(3, 2, &all);
        assert_eq!(load.dishes, [0, 1, 2]);
        assert_eq!(load.slot_minutes, 50 + 10 + 15 + 20);
        assert_eq!((load.most, load.full), (2, Some((10, 35))));
    }

    #[test]
    fn a_station_with_room_to_spare_is_never_full() {
        let load = load(0, 2, &[Taking { dish: 0, slots: 1, from: 5, to: 9 }]);
        assert_eq!((load.most, load.full, load.slot_minutes), (1, None, 4));
    }

    /// Minute by minute and slot by slot, of a whole supper with a night in the fridge.
    #[test]
    fn every_station_carries_what_the_plan_puts_there() {
        let (evening, mut plan) = crate::plan::compose::tests::supper();
        // Nothing on its slots, and nothing of no length.
        for (minutes, slots) in [(0, vec![0, 1]), (10, vec![])] {
            let mut block = plan.blocks[0].clone();
            block.station = "hob".to_owned();
            (block.end, block.slots) = (block.start + minutes, slots);
            plan.blocks.push(block);
        }
        // Two stretches as long as each other in which both boards are full.
        let boards = plan.blocks.iter().find(|b| b.station == "board").expect("a board").clone();
        for start in [1200, 1240] {
            for slot in [0, 1] {
                let (mut block, slots) = (boards.clone(), vec![slot]);
                (block.start, block.end, block.slots) = (start, start + 30, slots);
                plan.blocks.push(block);
            }
        }
        let mut expected = Vec::new();
        for (index, station) in evening.kitchen.stations.iter().enumerate() {
            let blocks = plan
                .blocks
                .iter()
                .map(|b| (b.key.dish, Some(&b.station), &b.slots, b.start, b.end));
            let holds =
                plan.holds.iter().map(|h| (h.dish, Some(&h.station), &h.slots, h.from, h.to));
            let waits =
                plan.waits.iter().map(|w| (w.dish, w.station.as_ref(), &w.slots, w.from, w.to));
            let all: Vec<_> =
                blocks.chain(holds).chain(waits).filter(|t| t.1 == Some(&station.id)).collect();
            let at = |minute: Minute| all.iter().filter(move |t| t.3 <= minute && minute < t.4);
            let taken = |minute: Minute| at(minute).map(|t| t.2.len()).sum::<usize>();
            let minutes = -1500..1500;
            let mut dishes = std::collections::BTreeSet::new();
            let (mut most, mut slot_minutes, mut full, mut since) = (0, 0, None, None);
            for minute in minutes {
                dishes.extend(at(minute).filter(|t| !t.2.is_empty()).map(|t| t.0));
                most = most.max(taken(minute));
                slot_minutes += taken(minute);
                if taken(minute) < station.slots as usize {
                    since = None;
                    continue;
                }
                let from = *since.get_or_insert(minute);
                if full.is_none_or(|(a, b)| b - a < minute + 1 - from) {
                    full = Some((from, minute + 1));
                }
            }
            if !dishes.is_empty() {
                expected.push(StationLoad {
                    station: index,
                    dishes: dishes.into_iter().collect(),
                    slot_minutes: slot_minutes as Minute,
                    most: most as u32,
                    full,
                });
            }
        }
        let found = loads(&evening, &plan);
        assert_eq!(found, expected);
        // Oven, fryer, boards and fridge; the hob carries nothing.
        assert_eq!(found.iter().map(|l| l.station).collect::<Vec<_>>(), [0, 2, 3, 4]);
        assert_eq!(found[2].full, Some((1200, 1230)));
    }
}
