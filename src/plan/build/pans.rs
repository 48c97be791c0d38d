//! Who has which pan, and which food waits in the fridge: resources taken over
//! several steps and the waits between them.

use std::collections::BTreeMap;

use super::draft::Draft;
use super::map::{Reason, StayAt, StepAt};
use crate::kitchen::pans::{self, Asked, Take};
use crate::kitchen::{Cookware, Sheet, StationKind, WaitPlace};
use crate::order::InOrder;
use crate::plan::problem::{Stay, Use};
use crate::plan::{Begun, Situation};

pub(super) fn add(draft: &mut Draft<'_>) {
    let dishes: Vec<_> = draft.dishes().collect();
    let mut needs: Vec<Need<'_>> = Vec::new();
    for &(d, sheet) in &dishes {
        // What is made the day before is kept in containers; its pans are free again.
        for day_before in [true, false] {
            needs.extend(needs_of(draft, d, sheet, day_before));
        }
    }
    give(draft, &mut needs);
    for need in &needs {
        add_pans(draft, need);
    }
    follow(draft, &needs);
    for (d, sheet) in dishes {
        add_cold_waits(draft, d, sheet);
    }
}

/// What a dish needs of one kind of cookware on one day, and what it is given.
#[derive(Debug, Clone)]
struct Need<'s> {
    dish: usize,
    kind: &'s str,
    day_before: bool,
    steps: Vec<usize>,
    asked: Asked,
    ovenproof: bool,
    /// More pieces than the fewest may be taken: where its steps are done there
    /// is room for the recipe's own count.
    roomy: bool,
    /// Entries of the kitchen's cookware and how many of each; nothing if there are not enough.
    given: Vec<(usize, u32)>,
}

fn needs_of<'s>(draft: &Draft<'_>, d: usize, sheet: &'s Sheet, day_before: bool) -> Vec<Need<'s>> {
    let kitchen = &draft.evening.kitchen;
    let mut needs: BTreeMap<&str, Need<'_>> = BTreeMap::new();
    let steps = sheet.recipe.steps.iter().enumerate();
    for (s, step) in steps.filter(|(_, step)| step.day_before == day_before) {
        let modes = || draft.steps[d][s].iter().flat_map(|&s| &draft.map.steps[s].modes);
        let stations = || modes().filter_map(|m| Some((m, kitchen.stations.get(m.station?)?)));
        let hot = stations().any(|(_, at)| pans::in_heat(at.kind));
        let way = |way: usize| step.ways.get(way);
        let roomy = stations().all(|(m, at)| way(m.way).is_none_or(|w| w.slots <= at.slots));
        for ware in &step.cookware {
            let need = needs.entry(ware.kind.as_str()).or_insert_with(|| Need {
                dish: d,
                kind: &ware.kind,
                day_before,
                steps: Vec::new(),
                asked: Asked::default(),
                ovenproof: false,
                roomy: true,
                given: Vec::new(),
            });
            need.steps.push(s);
            need.ovenproof |= hot;
            need.roomy &= roomy;
            // What is made in loads needs a pan for one load.
            let loads = modes().map(|m| way(m.way).and_then(|w| w.load_servings));
            let asks = |load| Asked::of(&sheet.recipe, ware, sheet.servings, load);
            let asked = loads.map(asks).reduce(Asked::and).unwrap_or_else(|| asks(None));
            need.asked = need.asked.and(asked);
        }
    }
    // A dish that may wait in the oven in its pan has one that may go there, if there is one.
    for hold in sheet.recipe.holds.iter().filter(|h| pans::in_heat(h.place)) {
        if let Some(need) = hold.cookware.as_deref().and_then(|kind| needs.get_mut(kind)) {
            need.ovenproof = true;
        }
    }
    // One of which there are none stays outside: the bowl that a topping comes from.
    for need in needs.values_mut() {
        need.ovenproof &= pans::in_kitchen(kitchen, need.kind, need.asked, true).is_some();
    }
    needs.into_values().collect()
}

/// Gives each dish its pieces.
fn give(draft: &Draft<'_>, needs: &mut [Need<'_>]) {
    let mut given = vec![0_u32; draft.evening.kitchen.cookware.len()];
    for need in needs {
        let pieces = kept(draft, need).or_else(|| choose(draft, need, &given));
        need.given = pieces.unwrap_or_default();
        for &(ware, count) in &need.given {
            given[ware] = given[ware].saturating_add(count);
        }
    }
}

/// What has begun has found its pans, as the plan on the screen has them.
fn kept(draft: &Draft<'_>, need: &Need<'_>) -> Option<Vec<(usize, u32)>> {
    let previous = draft.situation.previous.as_ref()?;
    let mut starts = need.steps.iter().flat_map(|&s| draft.starts(need.dish, s));
    if !starts.any(|p| draft.known(p).is_some()) {
        return None;
    }
    let cookware = &draft.evening.kitchen.cookware;
    let mut pieces: BTreeMap<usize, u32> = BTreeMap::new();
    for pan in previous.pans.iter().filter(|p| p.dish == need.dish) {
        let ware = cookware.iter().position(|c| c.id == pan.cookware && c.kind == need.kind);
        if let Some(ware) = ware.filter(|_| (pan.from < 0) == need.day_before) {
            let count = u32::try_from(pan.numbers.len()).unwrap_or(u32::MAX);
            let most = pieces.entry(ware).or_default();
            *most = count.max(*most);
        }
    }
    let right = |(&ware, &count): (&usize, &u32)| {
        let ware: &Cookware = &cookware[ware];
        (count <= ware.count && (ware.ovenproof || !need.ovenproof))
            .then_some((ware.volume_ml, count))
    };
    let found: Vec<_> = pieces.iter().map(right).collect::<Option<_>>()?;
    pans::fewest(need.asked, &found).map(|_| pieces.into_iter().collect())
}

/// As few pieces as will do; rather some more, up to the recipe's own count, than
/// pieces that another dish was given already.
fn choose(draft: &Draft<'_>, need: &Need<'_>, given: &[u32]) -> Option<Vec<(usize, u32)>> {
    let take = pans::in_kitchen(&draft.evening.kitchen, need.kind, need.asked, need.ovenproof)?;
    let more = need.roomy && need.asked.total_ml() > 0;
    let most = if more { need.asked.stated().max(take.pieces) } else { take.pieces };
    let free = (take.pieces..=most).find_map(|n| pick(draft, need, take.of(n), given, true));
    free.or_else(|| pick(draft, need, take, given, false))
}

/// The smallest pieces that suit, those first that the fewest others were given,
/// measured by how many there are; only such as were given to nobody, if `free`.
fn pick(
    draft: &Draft<'_>,
    need: &Need<'_>,
    take: Take,
    given: &[u32],
    free: bool,
) -> Option<Vec<(usize, u32)>> {
    let fitting = pans::of_kind(&draft.evening.kitchen, need.kind, need.ovenproof);
    let mut fitting: Vec<(usize, &Cookware)> =
        fitting.filter(|(_, ware)| take.suits(ware.volume_ml)).collect();
    // A pan without a stated volume comes last: it is taken at the cook's word.
    fitting.order_by_key(|&(i, ware)| {
        let each = u64::from(given[i]) * 1_000_000 / u64::from(ware.count.max(1));
        (ware.volume_ml.unwrap_or(u32::MAX), ware.ovenproof, each, i)
    });
    let there = |(i, ware): &(usize, &Cookware)| {
        (*i, if free { ware.count.saturating_sub(given[*i]) } else { ware.count })
    };
    let there: Vec<(usize, u32)> = fitting.iter().map(there).collect();
    if let Some(&(whole, _)) = there.iter().find(|(_, count)| *count >= take.pieces) {
        return Some(vec![(whole, take.pieces)]);
    }
    let (mut left, mut chosen) = (take.pieces, Vec::new());
    for (i, count) in there {
        let some = left.min(count);
        if some > 0 {
            chosen.push((i, some));
            left -= some;
        }
    }
    (left == 0).then_some(chosen)
}

/// Takes the pieces from the first step that uses them to the end of the last.
fn add_pans(draft: &mut Draft<'_>, need: &Need<'_>) {
    if need.given.is_empty() {
        draft.reasons.push(Reason::Pan {
            dish: need.dish,
            kind: need.kind.to_owned(),
            asked: need.asked,
            ovenproof: need.ovenproof,
        });
    }
    for &(cookware, count) in &need.given {
        let amount = i32::try_from(count).unwrap_or(i32::MAX / 4);
        let stay = Stay {
            uses: Use { resource: draft.map.of_cookware(cookware), amount },
            from: need.steps.iter().flat_map(|&s| draft.starts(need.dish, s)).collect(),
            to: need.steps.iter().flat_map(|&s| draft.ends(need.dish, s)).collect(),
            // Filled in when the holds are known.
            through_hold: Vec::new(),
        };
        draft.problem.stays.push(stay);
        draft.map.stays.push(StayAt::Pan { dish: need.dish, cookware });
    }
}

/// The places that steps take follow the pieces that their dish was given. What
/// runs keeps the places it has.
fn follow(draft: &mut Draft<'_>, needs: &[Need<'_>]) {
    let (evening, situation) = (draft.evening, draft.situation);
    let cookware = &evening.kitchen.cookware;
    for (at, step) in draft.map.steps.iter().zip(&mut draft.problem.steps) {
        let running = running_places(situation, at);
        for (mode, m) in step.modes.iter_mut().zip(&at.modes) {
            let there = m.station.and_then(|i| evening.kitchen.stations.get(i));
            let (Some(uses), Some(station)) = (mode.uses.first_mut(), there) else { continue };
            let sheet = &evening.sheets[at.dish];
            let of_step = &sheet.recipe.steps[at.step];
            let Some(way) = of_step.ways.get(m.way) else { continue };
            let pieces = |kind: &str| {
                let given = needs.iter().find(|n| {
                    (n.dish, n.kind, n.day_before) == (at.dish, kind, of_step.day_before)
                });
                let given = given.map_or(&[][..], |n| &n.given);
                let proof = given.iter().all(|&(ware, _)| cookware[ware].ovenproof);
                (given.iter().map(|&(w, n)| (cookware[w].volume_ml, n)).collect(), proof)
            };
            let (recipe, has) = (&sheet.recipe, station.slots);
            let places = running
                .unwrap_or_else(|| pans::places(recipe, sheet.servings, of_step, way, has, pieces));
            uses.amount = i32::try_from(places).unwrap_or(i32::MAX / 4);
        }
    }
}

/// The places that a running load of a step has on the plan on the screen.
fn running_places(situation: &Situation, at: &StepAt) -> Option<u32> {
    let previous = situation.previous.as_ref()?;
    let mut blocks = previous.blocks.iter().filter(|b| {
        (b.key.dish, b.key.step) == (at.dish, at.step)
            && matches!(situation.begun.get(&b.key), Some(Begun::Running { .. }))
    });
    let places = blocks.find_map(|b| Some(b.slots.len()).filter(|&n| n > 0))?;
    u32::try_from(places).ok()
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
