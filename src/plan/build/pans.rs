//! Who has which pan, and which food waits in the fridge: resources taken over
//! several steps and the waits between them.

use std::collections::BTreeMap;

use super::draft::Draft;
use super::map::{Reason, StayAt};
use super::steps::hot_all_round;
use crate::kitchen::{Cookware, Sheet, StationKind, WaitPlace};
use crate::plan::problem::{Stay, Use};

pub(super) fn add(draft: &mut Draft<'_>) {
    let mut given = vec![0_u32; draft.evening.kitchen.cookware.len()];
    let dishes: Vec<_> = draft.dishes().collect();
    for &(d, sheet) in &dishes {
        // What is made the day before is kept in containers; its pans are free again.
        for day_before in [true, false] {
            for (kind, need) in needs(draft, d, sheet, day_before) {
                add_pans(draft, d, kind, &need, &mut given);
            }
        }
    }
    for (d, sheet) in dishes {
        add_cold_waits(draft, d, sheet);
    }
    make_room_for_begun(draft);
}

/// What a dish needs of one kind of cookware.
#[derive(Debug, Clone, Default)]
struct Need {
    steps: Vec<usize>,
    count: u32,
    least_ml: Option<u32>,
    ovenproof: bool,
}

fn needs<'s>(
    draft: &Draft<'_>,
    d: usize,
    sheet: &'s Sheet,
    day_before: bool,
) -> BTreeMap<&'s str, Need> {
    let mut needs: BTreeMap<&str, Need> = BTreeMap::new();
    let steps = sheet.recipe.steps.iter().enumerate();
    for (s, step) in steps.filter(|(_, step)| step.day_before == day_before) {
        let modes = || draft.steps[d][s].iter().flat_map(|&s| &draft.map.steps[s].modes);
        let stations = modes().filter_map(|m| draft.evening.kitchen.stations.get(m.station?));
        let hot = stations.map(|s| s.kind).any(hot_all_round);
        // What is made in loads needs a pan for one load.
        let load = |way: usize| {
            let load = step.ways.get(way).and_then(|w| w.load_servings).filter(|&n| n > 0);
            load.unwrap_or(sheet.servings).min(sheet.servings)
        };
        let servings = modes().map(|m| load(m.way)).max().unwrap_or(sheet.servings);
        for ware in &step.cookware {
            let need = needs.entry(ware.kind.as_str()).or_default();
            need.steps.push(s);
            need.count = need.count.max(ware.count.max(1));
            let least_ml = ware.least_ml.map(|ml| scaled(ml, sheet, servings));
            need.least_ml = need.least_ml.max(least_ml);
            need.ovenproof |= hot;
        }
    }
    // A dish that may wait in the oven in its pan has one that may go there, if there is one.
    for hold in sheet.recipe.holds.iter().filter(|h| hot_all_round(h.place)) {
        if let Some(kind) = hold.cookware.as_deref()
            && let Some(need) = needs.get_mut(kind)
        {
            need.ovenproof = true;
        }
    }
    for (kind, need) in &mut needs {
        need.ovenproof &= has_ovenproof(draft, kind, need.count, need.least_ml);
    }
    needs
}

/// Are there enough pans of a kind and size that may go where it is hot all
/// round? One of which there are none stays outside: the bowl that a topping comes from.
pub(super) fn has_ovenproof(
    draft: &Draft<'_>,
    kind: &str,
    count: u32,
    least_ml: Option<u32>,
) -> bool {
    let suits = |w: &&Cookware| {
        w.kind == kind
            && w.ovenproof
            && least_ml.is_none_or(|ml| w.volume_ml.is_none_or(|has| has >= ml))
    };
    let there = draft.evening.kitchen.cookware.iter().filter(suits);
    there.map(|w| w.count).fold(0, u32::saturating_add) >= count.max(1)
}

/// A volume for the recipe's servings as a volume for so many.
pub(super) fn scaled(ml: u32, sheet: &Sheet, servings: u32) -> u32 {
    let made = u64::from(sheet.recipe.servings.max(1));
    let scaled = (u64::from(ml) * u64::from(servings)).div_ceil(made);
    u32::try_from(scaled).unwrap_or(u32::MAX)
}

/// Gives a dish the smallest pans that fit, those first that the fewest others
/// were given, measured by how many there are.
fn add_pans(draft: &mut Draft<'_>, d: usize, kind: &str, need: &Need, given: &mut [u32]) {
    let cookware = &draft.evening.kitchen.cookware;
    let fits = |w: &Cookware| {
        w.kind == kind
            && w.count > 0
            && (w.ovenproof || !need.ovenproof)
            && need.least_ml.is_none_or(|ml| w.volume_ml.is_none_or(|has| has >= ml))
    };
    let mut fitting: Vec<usize> = (0..cookware.len()).filter(|&i| fits(&cookware[i])).collect();
    // A pan without a stated volume comes last: it is taken at the cook's word.
    let rank = |i: usize| {
        let ware = &cookware[i];
        let each = u64::from(given[i]) * 1_000_000 / u64::from(ware.count);
        (ware.volume_ml.unwrap_or(u32::MAX), ware.ovenproof, each, i)
    };
    fitting.sort_by_key(|&i| rank(i));
    let (mut left, mut chosen) = (need.count, Vec::new());
    if let Some(&whole) = fitting.iter().find(|&&i| cookware[i].count >= need.count) {
        chosen.push((whole, need.count));
        left = 0;
    }
    for &i in &fitting {
        let take = left.min(cookware[i].count);
        if take > 0 {
            chosen.push((i, take));
            left -= take;
        }
    }
    if left > 0 {
        draft.reasons.push(Reason::Pan {
            dish: d,
            kind: kind.to_owned(),
            count: need.count,
            least_ml: need.least_ml,
            ovenproof: need.ovenproof,
            fitting: fitting.iter().map(|&i| cookware[i].count).sum(),
        });
        return;
    }
    for (cookware, count) in chosen {
        given[cookware] += count;
        let amount = i32::try_from(count).unwrap_or(i32::MAX / 4);
        let stay = Stay {
            uses: Use { resource: draft.map.of_cookware(cookware), amount },
            from: need.steps.iter().flat_map(|&s| draft.starts(d, s)).collect(),
            to: need.steps.iter().flat_map(|&s| draft.ends(d, s)).collect(),
            // Filled in when the holds are known.
            through_hold: Vec::new(),
        };
        draft.problem.stays.push(stay);
        draft.map.stays.push(StayAt::Pan { dish: d, cookware });
    }
}

/// Food that waits cold between two steps takes one place of the fridge with
/// the most places, until the last load of the later step starts.
fn add_cold_waits(draft: &mut Draft<'_>, d: usize, sheet: &Sheet) {
    for (s, step) in sheet.recipe.steps.iter().enumerate() {
        for after in step.after.iter().filter(|a| a.place == WaitPlace::Cold) {
            let Some(before) = sheet.step_index(&after.step) else { continue };
            let Some(from) = draft.first_end(d, before) else { continue };
            let Some(station) = fridge(draft) else {
                // While the evening runs the food goes where there is room.
                if !draft.running() {
                    draft.reasons.push(Reason::Fridge { dish: d, step: s });
                }
                continue;
            };
            draft.problem.stays.push(Stay {
                uses: Use { resource: draft.map.of_station(station), amount: 1 },
                from: vec![from],
                to: draft.starts(d, s).collect(),
                through_hold: Vec::new(),
            });
            draft.map.stays.push(StayAt::Wait {
                dish: d,
                after_step: before,
                before_step: s,
                place: WaitPlace::Cold,
                station,
            });
        }
    }
}

/// The fridge in which food waits between steps: the one with the most places, the first of equals.
pub(super) fn fridge(draft: &Draft<'_>) -> Option<usize> {
    let stations = draft.evening.kitchen.stations.iter().enumerate();
    stations
        .filter(|(i, s)| s.kind == StationKind::Fridge && s.slots > 0 && draft.is_up(*i))
        .max_by_key(|(i, s)| (s.slots, std::cmp::Reverse(*i)))
        .map(|(i, _)| i)
}

/// What has begun has found its pan and its place, even if the kitchen's list says otherwise.
fn make_room_for_begun(draft: &mut Draft<'_>) {
    let mut begun: BTreeMap<usize, i32> = BTreeMap::new();
    for stay in &draft.problem.stays {
        let has = |p: &crate::plan::problem::Point| draft.known(*p).is_some();
        let over =
            stay.to.iter().all(|p| draft.known(*p).is_some_and(|m| m <= draft.problem.start));
        if stay.from.iter().any(has) && !over {
            *begun.entry(stay.uses.resource).or_default() += stay.uses.amount;
        }
    }
    for (resource, amount) in begun {
        let capacity = &mut draft.problem.resources[resource].capacity;
        *capacity = (*capacity).max(amount);
    }
}
