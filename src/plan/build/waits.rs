//! The dishes: when they are due, how they may wait, and how much cushion they wish for.

use super::draft::Draft;
use super::map::{HoldAt, Reason, StayAt};
use super::steps::range;
use crate::kitchen::pans::in_heat;
use crate::kitchen::{self, HoldClass, Sheet, StationKind};
use crate::plan::problem::{Dish, Hold, Point, Use};
use crate::plan::{Held, HoldBlock, weights};

/// Minutes that a dish whose recipe names no place to wait stands on the pass
/// without getting worse, the most that it may after its last load, and the
/// points for each ten minutes between. Common practice, no source.
pub const PASS: (i32, i32, i64) = (2, 10, 5);

pub(super) fn add(draft: &mut Draft<'_>) {
    let dishes: Vec<_> = draft.dishes().collect();
    for (d, sheet) in dishes {
        let Some(&last_step) = draft.steps[d][sheet.last_step()].last() else { continue };
        let (mut holds, mut ats) = usual_holds(draft, d, sheet);
        let held = held(draft, d, sheet, &mut holds, &mut ats);
        let begun = draft.first_end(d, sheet.last_step()).and_then(|p| draft.known(p)).is_some();
        if begun {
            for hold in &mut holds {
                hold.soft_most = Some(weights::PAST_TASTE);
            }
            if held.is_none() && ats.iter().all(|at| at.station.is_some()) {
                // Wherever there is room: better than no plan.
                let (mut hold, at) = pass(draft, d, sheet);
                hold.soft_most = Some(weights::PAST_TASTE);
                holds.push(hold);
                ats.push(at);
            }
        }
        if !draft.running() {
            loads_can_wait(draft, d, sheet, &holds);
        }
        keep_pans(draft, d, sheet, &ats);
        let straight_price = holds
            .iter()
            .map(|h| h.best.map_or(0, |(best, price)| i64::from(best) * price))
            .min()
            .unwrap_or(0);
        draft.problem.dishes.push(Dish {
            last_step,
            due: draft.due(sheet.service),
            late_price: weights::LATE,
            cushion: cushion(sheet, &holds),
            cushion_price: weights::CUSHION,
            holds,
            straight: Vec::new(),
            straight_price,
            held,
        });
        draft.map.dishes.push(d);
        draft.map.holds.push(ats);
    }
}

/// The recipe's holds at every station that can be used; the pass if it has none.
fn usual_holds(draft: &Draft<'_>, d: usize, sheet: &Sheet) -> (Vec<Hold>, Vec<HoldAt>) {
    let (mut holds, mut ats) = (Vec::new(), Vec::new());
    let settled = draft.situation.places.get(&d).copied();
    for (h, hold) in sheet.recipe.holds.iter().enumerate() {
        for (i, station) in draft.evening.kitchen.stations.iter().enumerate() {
            if station.kind == hold.place
                && station.slots > 0
                && draft.is_up(i)
                && let Some(built) = hold_at(draft, d, hold, i)
            {
                holds.push(built);
                ats.push(HoldAt { hold: h, station: Some(i), class: hold.class });
            }
        }
    }
    // The place that the cook has settled is the only one, as long as it can be had.
    if settled.is_some_and(|settled| ats.iter().any(|at| at.hold == settled)) {
        let kept: Vec<bool> = ats.iter().map(|at| Some(at.hold) == settled).collect();
        let (mut of_hold, mut of_at) = (kept.iter(), kept.iter());
        holds.retain(|_| of_hold.next().is_some_and(|k| *k));
        ats.retain(|_| of_at.next().is_some_and(|k| *k));
    }
    let last = sheet.recipe.steps.get(sheet.last_step());
    let cannot_wait = last.is_some_and(|s| s.overdone_after == Some(0));
    if sheet.recipe.holds.is_empty() && !cannot_wait {
        let (hold, at) = pass(draft, d, sheet);
        holds.push(hold);
        ats.push(at);
    }
    (holds, ats)
}

fn minutes(n: u32) -> i32 {
    i32::try_from(n).unwrap_or(i32::MAX / 4)
}

/// A hold at a station; None if the dish does not fit there or it cannot be set so.
fn hold_at(draft: &Draft<'_>, d: usize, hold: &kitchen::Hold, i: usize) -> Option<Hold> {
    let sheet = &draft.evening.sheets[d];
    let station = &draft.evening.kitchen.stations[i];
    if let (StationKind::SlowCooker, Some(has), Some(portion)) =
        (station.kind, station.volume_ml, sheet.recipe.portion_ml)
        && u64::from(portion) * u64::from(sheet.servings) > u64::from(has)
    {
        return None;
    }
    let pans = &draft.evening.kitchen.cookware;
    if in_heat(station.kind)
        && let Some(kind) = &hold.cookware
        && !pans.iter().any(|w| w.kind == *kind && w.ovenproof)
    {
        return None;
    }
    let oven = match (draft.oven_at(i), hold.at_c) {
        (Some(_), None) if hold.class != HoldClass::Hot => return None,
        (Some(oven), at_c) => {
            let mut range = range(station, i, oven, at_c, hold.give_c).ok()?;
            // The setting chosen keeps hot food hot, if any setting accepted does.
            if let (HoldClass::Hot, Some(_), Some(profile)) =
                (hold.class, draft.limit(d), draft.profile())
            {
                let least_c = profile.hot_hold_least.c().ceil() as i32;
                if least_c <= range.most_c {
                    range.least_c = range.least_c.max(least_c);
                }
            }
            Some(range)
        }
        _ => None,
    };
    Some(Hold {
        uses: vec![Use { resource: draft.map.of_station(i), amount: 1 }],
        oven,
        setting_c: None,
        free: minutes(hold.free_minutes),
        price: weights::POINT_PER_TEN_MINUTES * i64::from(hold.points),
        most: minutes(hold.most_minutes),
        soft_most: None,
        best: hold.best_minutes.filter(|_| hold.short_points > 0).map(|best| {
            (minutes(best), weights::POINT_PER_TEN_MINUTES * i64::from(hold.short_points))
        }),
        limits: Vec::new(),
    })
}

/// Can the first load of the last step wait until the last one is done?
fn loads_can_wait(draft: &mut Draft<'_>, d: usize, sheet: &Sheet, holds: &[Hold]) {
    let between = between_loads(draft, d, sheet).min().unwrap_or(0);
    let most = holds.iter().map(|h| h.most).max().unwrap_or(0);
    if between > most {
        draft.reasons.push(Reason::Loads { dish: d, between, most });
    }
}

/// Minutes from the first load's end to the last's, in each mode of the last step.
fn between_loads<'d>(
    draft: &'d Draft<'_>,
    d: usize,
    sheet: &Sheet,
) -> impl Iterator<Item = i32> + use<'d> {
    let steps = draft.steps[d][sheet.last_step()].iter().map(|&s| &draft.problem.steps[s]);
    steps.flat_map(|s| &s.modes).map(|m| {
        let others = i32::try_from(m.loads.saturating_sub(1)).unwrap_or(i32::MAX);
        m.minutes.saturating_mul(others)
    })
}

/// Minutes from the first load's end to the last's, of those that have begun: what is done takes no minutes more,
/// and the first load has waited all the same.
fn known_between(draft: &Draft<'_>, d: usize, sheet: &Sheet) -> i32 {
    let tasks = draft.tasks[d][sheet.last_step()].iter().map(|&t| &draft.problem.tasks[t]);
    let ends: Vec<i32> = tasks.filter_map(|t| t.fixed).map(|f| f.end).collect();
    let (first, last) = (ends.iter().min(), ends.iter().max());
    first.zip(last).map_or(0, |(first, last)| last - first)
}

fn pass(draft: &Draft<'_>, d: usize, sheet: &Sheet) -> (Hold, HoldAt) {
    let (free, most, points) = PASS;
    // The first load waits for the last one, however it is done.
    let between = between_loads(draft, d, sheet);
    let between = between.max().unwrap_or(0).max(known_between(draft, d, sheet));
    let most = most.saturating_add(between);
    let hold =
        Hold { free, price: weights::POINT_PER_TEN_MINUTES * points, most, ..Hold::default() };
    (hold, HoldAt { hold: sheet.recipe.holds.len(), station: None, class: HoldClass::Room })
}

/// The hold in which a dish waits already: where the cook said, or else where
/// the plan on the screen has it since it came out.
fn held(
    draft: &Draft<'_>,
    d: usize,
    sheet: &Sheet,
    holds: &mut Vec<Hold>,
    ats: &mut Vec<HoldAt>,
) -> Option<usize> {
    let out = draft.first_end(d, sheet.last_step()).and_then(|p| draft.known(p))?;
    let shown = shown_hold(draft, d);
    let held = match draft.situation.held.get(&d) {
        Some(held) => held.clone(),
        // What comes out just now is put wherever is best.
        None if out < draft.problem.start => {
            let shown = shown?;
            Held {
                hold: Some(shown.hold),
                since: out,
                station: Some(shown.station.clone()).filter(|s| !s.is_empty()),
            }
        }
        None => return None,
    };
    let station = held.station.as_ref().and_then(|id| draft.station(id));
    let named = held.hold.filter(|&h| h < sheet.recipe.holds.len());
    let index = ats
        .iter()
        .position(|at| Some(at.hold) == named && at.station == station)
        .or_else(|| {
            named
                .is_none()
                .then(|| ats.iter().position(|at| at.station.is_none() && station.is_none()))?
        })
        .unwrap_or_else(|| {
            let (hold, at) = elsewhere(draft, d, sheet, named, station);
            holds.push(hold);
            ats.push(at);
            holds.len() - 1
        });
    if let Some(range) = holds[index].oven {
        let oven_c = draft.problem.ovens[range.oven].start_c;
        let shown_c = shown.and_then(|h| h.setting_c);
        holds[index].setting_c = Some(shown_c.unwrap_or(oven_c).clamp(range.least_c, range.most_c));
    }
    Some(index)
}

fn shown_hold<'a>(draft: &Draft<'a>, d: usize) -> Option<&'a HoldBlock> {
    draft.situation.previous.as_ref()?.holds.iter().find(|h| h.dish == d)
}

/// A hold at a place that is out of use or that the recipe does not name.
fn elsewhere(
    draft: &Draft<'_>,
    d: usize,
    sheet: &Sheet,
    named: Option<usize>,
    station: Option<usize>,
) -> (Hold, HoldAt) {
    let recipe_hold = named.and_then(|h| sheet.recipe.holds.get(h));
    if let (Some(h), Some(recipe_hold), Some(i)) = (named, recipe_hold, station)
        && draft.evening.kitchen.stations[i].kind == recipe_hold.place
        && draft.is_up(i)
        && let Some(hold) = hold_at(draft, d, recipe_hold, i)
    {
        return (hold, HoldAt { hold: h, station, class: recipe_hold.class });
    }
    let (mut hold, mut at) = pass(draft, d, sheet);
    if let Some(i) = station {
        let kind = draft.evening.kitchen.stations[i].kind;
        at.station = station;
        at.class = if kind.chills() && draft.is_up(i) {
            HoldClass::Cold
        } else if kind.heats() && draft.is_up(i) {
            HoldClass::Hot
        } else {
            HoldClass::Room
        };
        hold.uses = vec![Use { resource: draft.map.of_station(i), amount: 1 }];
    }
    (hold, at)
}

/// A hold that names a pan keeps it.
fn keep_pans(draft: &mut Draft<'_>, d: usize, sheet: &Sheet, ats: &[HoldAt]) {
    let dish = draft.problem.dishes.len();
    for (stay, at) in draft.problem.stays.iter_mut().zip(&draft.map.stays) {
        let StayAt::Pan { dish: of, cookware } = *at else { continue };
        let kind = draft.evening.kitchen.cookware.get(cookware).map(|w| &w.kind);
        let before = |p: &Point| sheet.recipe.steps[draft.map.tasks[p.task].key.step].day_before;
        if of != d || stay.from.iter().all(before) {
            continue;
        }
        for (h, hold) in ats.iter().enumerate() {
            let named = sheet.recipe.holds.get(hold.hold).and_then(|h| h.cookware.as_ref());
            if named.is_some() && named == kind {
                stay.through_hold.push((dish, h));
            }
        }
    }
}

/// Minutes before its service at which a dish should be ready: what its last
/// steps may well run over by, as far as it can wait for nothing.
fn cushion(sheet: &Sheet, holds: &[Hold]) -> i32 {
    let free = holds.iter().map(|h| h.free.min(h.most)).max().unwrap_or(0);
    spread(sheet).min(free).min(weights::MOST_CUSHION)
}

/// A wait as long as this takes up what the steps before it run over by.
const BUFFER_MINUTES: u32 = 30;

/// What the last steps may run over by: the spreads of the longest chain of
/// steps that follow each other tightly, added as squares, rounded up.
fn spread(sheet: &Sheet) -> i32 {
    let steps = &sheet.recipe.steps;
    let own = |s: usize| {
        let over = i64::from(sheet.high_minutes(s, 0) - sheet.minutes(s, 0)).max(0);
        let loads = i64::from(sheet.loads(s, 0));
        (loads * i64::from(sheet.minutes(s, 0)), loads * over * over)
    };
    let (mut at, mut squares) = (sheet.last_step(), 0);
    // A recipe's steps cannot follow each other in a ring; the count is for those that do.
    for _ in 0..steps.len() {
        squares += own(at).1;
        let tight = |a: &&kitchen::After| {
            a.most_minutes.is_some_and(|most| most.saturating_sub(a.least_minutes) < BUFFER_MINUTES)
        };
        let before = steps[at].after.iter().filter(tight);
        let before = before.filter_map(|a| sheet.step_index(&a.step));
        match before.max_by_key(|&b| (own(b).0, b)) {
            Some(before) => at = before,
            None => break,
        }
    }
    let mut root = 0_i64;
    while root * root < squares {
        root += 1;
    }
    i32::try_from(root).unwrap_or(i32::MAX)
}
