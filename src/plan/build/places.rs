//! Stations, ovens, cooks with their hours, cookware, and how long the evening is.

use super::SLACK_MINUTES;
use super::draft::Draft;
use super::map::Reason;
use crate::kitchen::{Cook, Evening, Minute};
use crate::plan::problem::{Oven, Resource};
use crate::plan::{Begun, weights};

pub(super) fn add(draft: &mut Draft<'_>) {
    add_hours(draft);
    add_stations(draft);
    add_cooks(draft);
    for ware in &draft.evening.kitchen.cookware {
        draft.problem.resources.push(Resource { capacity: amount(ware.count), closed: Vec::new() });
        draft.map.cookware += 1;
    }
}

fn amount(count: u32) -> i32 {
    i32::try_from(count).unwrap_or(i32::MAX / 4)
}

/// When the problem starts and ends, and the prices that go with the hours.
fn add_hours(draft: &mut Draft<'_>) {
    let free = draft.evening.party.cooks.iter().flat_map(|c| &c.free);
    let first = free.map(|s| draft.evening.face.minute_of(s.from)).min();
    let Some(start) = draft.situation.now.or(first) else {
        draft.reasons.push(Reason::NoHours);
        return;
    };
    let services = draft.dishes().map(|(d, sheet)| (draft.due(sheet.service), draft.table(d)));
    let (last, table) =
        services.fold((start, 0), |(due, table), (d, t)| (due.max(d), table.max(t)));
    draft.problem.start = start;
    draft.problem.end = last + table + SLACK_MINUTES;
    draft.problem.effort_until = last;
    if draft.running() {
        draft.problem.end = draft.problem.end.max(start + work_left(draft));
    }
    // Once the hours have begun they are spent. What is made the day before a
    // party that lies ahead is no part of them.
    if !draft.situation.has_begun() || !draft.running() {
        draft.problem.span_price = weights::SPAN;
        draft.problem.idle_price = weights::IDLE;
    }
}

/// Minutes in which everything left could be done one step after the other: an
/// end by which even the latest evening is over.
fn work_left(draft: &Draft<'_>) -> Minute {
    let mut left = SLACK_MINUTES;
    for (d, sheet) in draft.dishes() {
        for (s, step) in sheet.recipe.steps.iter().enumerate() {
            let done = matches!(draft.begun(d, s, 0), Some(Begun::Done { .. }));
            let waits = step.after.iter().map(|a| amount(a.least_minutes)).max().unwrap_or(0);
            let ways = (0..step.ways.len())
                .map(|w| sheet.minutes(s, w).saturating_mul(amount(sheet.loads(s, w))));
            if !done {
                left = left.saturating_add(waits + ways.max().unwrap_or(0)).min(7 * 24 * 60);
            }
        }
    }
    left
}

fn add_stations(draft: &mut Draft<'_>) {
    let evening = draft.evening;
    for (i, station) in evening.kitchen.stations.iter().enumerate() {
        let capacity = if draft.is_up(i) { amount(station.slots) } else { 0 };
        draft.problem.resources.push(Resource { capacity, closed: Vec::new() });
        draft.map.stations += 1;
        if let Some(thermostat) = station.thermostat {
            let start_c = in_use(draft, &station.id)
                .or_else(|| draft.situation.oven_c.get(&station.id).copied())
                .unwrap_or(evening.party.room_c);
            draft.problem.ovens.push(Oven {
                start_c,
                up_c_per_min: amount(thermostat.up_c_per_min),
                down_c_per_min: amount(thermostat.down_c_per_min),
            });
            draft.map.ovens.push(i);
        }
    }
}

/// The setting of a station at which something runs.
fn in_use(draft: &Draft<'_>, id: &str) -> Option<i32> {
    let running = draft.situation.begun.iter().filter(|(k, _)| draft.is_made(k.dish));
    running
        .filter_map(|(_, begun)| match begun {
            Begun::Running { station, setting_c, .. } if station == id => *setting_c,
            _ => None,
        })
        .next_back()
}

/// Does a cook stay on past their last hour, as long as there is work, once the evening runs? The first of
/// them does, whose kitchen it is, and who leaves last of all: lateness costs enough. Another helper is gone.
#[must_use]
pub fn stays_on(evening: &Evening, cook: usize) -> bool {
    let cooks = &evening.party.cooks;
    let leaves = |cook: &Cook| evening.leaves(cook);
    cook == 0 || cooks.get(cook).and_then(leaves) == cooks.iter().filter_map(leaves).max()
}

fn add_cooks(draft: &mut Draft<'_>) {
    let evening = draft.evening;
    let face = &evening.face;
    for (c, cook) in evening.party.cooks.iter().enumerate() {
        let mut free: Vec<(Minute, Minute)> =
            cook.free.iter().map(|s| (face.minute_of(s.from), face.minute_of(s.to))).collect();
        free.sort_unstable();
        if draft.running()
            && stays_on(evening, c)
            && let Some(last) = free.iter_mut().max_by_key(|f| f.1)
        {
            let needed = draft.problem.start + work_left(draft);
            last.1 = (last.1 + SLACK_MINUTES).max(needed).min(draft.problem.end);
        }
        let closed = closed(&free, draft.problem.start, draft.problem.end);
        draft.problem.resources.push(Resource { capacity: 100, closed });
        draft.map.cooks += 1;
    }
}

/// What lies between the free stretches, from start to end.
fn closed(free: &[(Minute, Minute)], start: Minute, end: Minute) -> Vec<(Minute, Minute)> {
    let mut closed = Vec::new();
    let mut from = start;
    for &(opens, closes) in free {
        if opens.min(end) > from {
            closed.push((from, opens.min(end)));
        }
        from = from.max(closes);
    }
    if from < end {
        closed.push((from, end));
    }
    closed
}

#[cfg(test)]
mod tests {
    use super::closed;

    #[test]
    fn closed_hours_lie_between_the_free_ones() {
        assert_eq!(closed(&[(10, 20), (30, 40)], 0, 50), [(0, 10), (20, 30), (40, 50)]);
        assert_eq!(closed(&[(10, 30), (20, 40)], 15, 40), []);
        assert_eq!(closed(&[(10, 40), (20, 30)], 10, 50), [(40, 50)]);
        assert_eq!(closed(&[(60, 70)], 0, 50), [(0, 50)]);
        assert_eq!(closed(&[(0, 10)], 20, 50), [(20, 50)]);
    }
}
