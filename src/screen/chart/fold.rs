//! Fitting many lanes into few rows, by rule: what only waits in a fridge has
//! one lane; lanes of one station are folded together where nothing on them overlaps; then the lanes that are needed
//! last are named in one line instead of shown; what is left is scrolled.

use super::lanes::{Lane, LaneKind, slot_name};
use super::shelf::gather;
use crate::kitchen::{Evening, StationKind};
use crate::order::InOrder;

/// Lanes as they are shown.
#[derive(Debug, Clone, PartialEq)]
pub struct Folded {
    /// The lanes with rows of their own, in order.
    pub lanes: Vec<Lane>,
    /// Names of the lanes left out and when each is needed next (unix ms, or the far future).
    pub quiet: Vec<(String, i64)>,
    /// Rows of each lane: 1 to 3.
    pub tall: u16,
    /// Lanes above the first one shown.
    pub above: usize,
    /// Lanes below the last one shown.
    pub below: usize,
}

/// Fits lanes into rows. `all`: the cook wants to see every lane, and scrolls;
/// `scroll`: lanes to leave out at the top then.
#[must_use]
pub fn fold(
    evening: &Evening,
    mut lanes: Vec<Lane>,
    rows: u16,
    now_ms: i64,
    all: bool,
    scroll: usize,
) -> Folded {
    let room = usize::from(rows);
    let mut quiet = Vec::new();
    if !all {
        lanes = gather(evening, lanes);
    }
    if lanes.len() > room && !all {
        lanes = merge(evening, lanes, room);
        if lanes.len() > room {
            quiet = hide(&mut lanes, room.saturating_sub(1), now_ms);
        }
    }
    let room = room - usize::from(!quiet.is_empty()).min(room);
    let above = scroll.min(lanes.len().saturating_sub(room));
    let below = lanes.len().saturating_sub(above + room);
    lanes.drain(..above);
    lanes.truncate(room);
    let tall = u16::try_from(room / lanes.len().max(1)).unwrap_or(1).clamp(1, 3);
    Folded { lanes, quiet, tall, above, below }
}

/// The order in which the lanes of a station are folded together.
const FIRST_TO_MERGE: [StationKind; 9] = [
    StationKind::Fridge,
    StationKind::Freezer,
    StationKind::Counter,
    StationKind::Stovetop,
    StationKind::Grill,
    StationKind::SlowCooker,
    StationKind::AirFryer,
    StationKind::Microwave,
    StationKind::Oven,
];

fn merge(evening: &Evening, mut lanes: Vec<Lane>, room: usize) -> Vec<Lane> {
    for kind in FIRST_TO_MERGE {
        let stations = evening.kitchen.stations.iter().enumerate();
        for (station, _) in stations.filter(|(_, s)| s.kind == kind) {
            if lanes.len() <= room {
                return lanes;
            }
            lanes = merge_station(evening, lanes, station);
        }
    }
    lanes
}

fn merge_station(evening: &Evening, lanes: Vec<Lane>, station: usize) -> Vec<Lane> {
    let mut out: Vec<Lane> = Vec::new();
    for lane in lanes {
        let LaneKind::Slots { station: s, slots } = &lane.kind else {
            out.push(lane);
            continue;
        };
        let fits = |o: &&mut Lane| {
            matches!(&o.kind, LaneKind::Slots { station, .. } if station == s) && !overlap(o, &lane)
        };
        match out.iter_mut().find(|o| *s == station && fits(o)) {
            Some(into) => {
                if let LaneKind::Slots { slots: more, .. } = &mut into.kind {
                    more.extend(slots);
                    more.sort_unstable();
                    into.name = slot_name(evening, station, more);
                }
                // A step on two slots lies on both lanes; once is enough now.
                for item in lane.items {
                    if !into.items.contains(&item) {
                        into.items.push(item);
                    }
                }
                into.items.order_by_key(|i| (i.from_ms, i.to_ms));
            }
            None => out.push(lane),
        }
    }
    out
}

fn overlap(a: &Lane, b: &Lane) -> bool {
    let clash = |x: &super::lanes::Item, y: &super::lanes::Item| {
        x != y && x.from_ms < y.to_ms && y.from_ms < x.to_ms
    };
    a.items.iter().any(|x| b.items.iter().any(|y| clash(x, y)))
}

/// Takes out the lanes needed last until the rest fits.
fn hide(lanes: &mut Vec<Lane>, room: usize, now_ms: i64) -> Vec<(String, i64)> {
    let mut by_need: Vec<(i64, usize)> =
        lanes.iter().enumerate().map(|(i, l)| (l.next_use_ms(now_ms), i)).collect();
    by_need.sort_unstable();
    // What runs or waits now is never left out: it is reached by scrolling.
    let keep = by_need.iter().filter(|(need, _)| *need <= now_ms).count().max(room);
    let mut gone: Vec<usize> = by_need.iter().skip(keep).map(|&(_, i)| i).collect();
    gone.sort_unstable();
    let quiet = gone
        .iter()
        .filter_map(|&i| lanes.get(i))
        .map(|l| (l.name.clone(), l.next_use_ms(now_ms)))
        .collect();
    let mut index = 0;
    lanes.retain(|_| {
        index += 1;
        gone.binary_search(&(index - 1)).is_err()
    });
    quiet
}
