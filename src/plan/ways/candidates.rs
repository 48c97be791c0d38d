//! What could be done differently, before any of it is tried: from the party,
//! from what has happened and from what clashes.

use super::change::{Change, day_before};
use super::demand::{Clash, Demand};
use crate::kitchen::{Evening, Growth, Minute, StationKind};
use crate::order::InOrder;
use crate::plan::build::stays_on;
use crate::plan::{Plan, Situation, StepKey};

/// Something to try, with a figure that is still to be found or without.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Candidate {
    /// As it stands.
    Plain(Vec<Change>),
    /// These services later, each by the least minutes that will do.
    Later(Vec<usize>),
    /// A cook begins earlier, by the least minutes that will do.
    Earlier(usize),
    /// A cook stays longer, by the least minutes that will do.
    Longer(usize),
    /// A second pair of hands, from the latest hour that will do.
    Helper,
    /// As many more of a pan as will do.
    MoreOf(usize),
    /// A dish for as many as will do, fewer than now.
    Fewer(usize),
}

/// What is known before anything is tried.
pub struct Known<'a> {
    /// The evening.
    pub evening: &'a Evening,
    /// What has happened.
    pub situation: &'a Situation,
    /// The best plan there is, if there is one at all.
    pub best: Option<&'a Plan>,
    /// What clashes, if that is known.
    pub clash: Option<&'a Clash>,
}

/// Everything worth trying, what helps most often first.
#[must_use]
pub fn candidates(known: &Known<'_>) -> Vec<Candidate> {
    let mut all = Vec::new();
    // Where there is too little of something, more of it soonest helps, and one look shows it.
    all.extend(borrowed(known));
    all.extend(later(known));
    all.extend(pins(known));
    let cooks = 0..known.evening.party.cooks.len();
    all.extend(cooks.clone().filter(|&c| is_yet_to_come(known, c)).map(Candidate::Earlier));
    all.extend(cooks.filter(|&c| leaves_too_soon(known, c)).map(Candidate::Longer));
    let dishes = dishes(known);
    let ahead = dishes.iter().filter(|&&d| day_before(known.evening, known.situation, d).is_some());
    all.extend(ahead.map(|&dish| Candidate::Plain(vec![Change::DayBefore { dish }])));
    all.push(Candidate::Helper);
    all.extend(places(known, &dishes));
    all.extend(ways(known, &dishes));
    let fewer = dishes.iter().filter(|&&d| servings_matter(known, d));
    all.extend(fewer.map(|&d| Candidate::Fewer(d)));
    all.extend(dishes.iter().map(|&dish| Candidate::Plain(vec![Change::Drop { dish }])));
    all
}

/// The first minute at which a cook is there.
#[must_use]
pub fn first_hour(evening: &Evening) -> Option<Minute> {
    evening.party.cooks.iter().filter_map(|cook| evening.comes(cook)).min()
}

/// Does a cook who is not gone yet leave before all is to be on the table, or will be?
fn leaves_too_soon(known: &Known<'_>, cook: usize) -> bool {
    let (evening, situation) = (known.evening, known.situation);
    let lines = known.best.iter().flat_map(|plan| &plan.services);
    let ready = lines.flat_map(|line| line.dishes.iter().map(|d| d.2)).max();
    let due = open_services(evening, situation).into_iter().map(|s| due(evening, situation, s));
    let Some(all) = due.max().max(ready) else { return false };
    let last = evening.party.cooks.get(cook).and_then(|c| evening.leaves(c));
    let stays = situation.now.is_some() && stays_on(evening, cook);
    last.is_some_and(|last| last < all && !stays && situation.now.is_none_or(|now| now < last))
}

/// Is the first hour of a cook still ahead?
fn is_yet_to_come(known: &Known<'_>, cook: usize) -> bool {
    let first = known.evening.party.cooks.get(cook).and_then(|c| known.evening.comes(c));
    first.is_some_and(|first| known.situation.now.is_none_or(|now| now < first))
}

/// When a service is wanted, with what was decided about it.
#[must_use]
pub fn due(evening: &Evening, situation: &Situation, service: usize) -> Minute {
    let moved = situation.service_at.get(&service).copied();
    moved.unwrap_or_else(|| evening.service_minute(service))
}

/// Services that still wait for a dish.
#[must_use]
pub fn open_services(evening: &Evening, situation: &Situation) -> Vec<usize> {
    let open = |d: usize| !situation.dropped.contains(&d) && !situation.served.contains(&d);
    let waits = |service: &usize| {
        let mut sheets = evening.sheets.iter().enumerate();
        sheets.any(|(d, s)| s.service == *service && open(d))
    };
    (0..evening.party.services.len()).filter(waits).collect()
}

/// Each service later, those first that the best plan misses; and all that it
/// misses together, if there are several.
fn later(known: &Known<'_>) -> Vec<Candidate> {
    let open = open_services(known.evening, known.situation);
    let missed = |service: &usize| {
        known.best.is_some_and(|plan| {
            let mut lines = plan.services.iter().filter(|l| l.service == *service);
            lines.any(|l| l.dishes.iter().any(|d| d.2 > l.due))
        })
    };
    let (late, other): (Vec<usize>, Vec<usize>) = open.iter().copied().partition(missed);
    let together = if late.is_empty() { open.clone() } else { late.clone() };
    let mut all: Vec<Candidate> =
        late.iter().chain(&other).map(|&s| Candidate::Later(vec![s])).collect();
    if together.len() > 1 {
        all.push(Candidate::Later(together));
    }
    all
}

/// More of what the clash has too few of: pans, places to cook, boards. Nobody
/// lends a fridge for an evening.
fn borrowed(known: &Known<'_>) -> Vec<Candidate> {
    let of = |demand: &Demand| match *demand {
        Demand::Pans(ware) => Some(Candidate::MoreOf(ware)),
        Demand::Station(station) => {
            let there = known.evening.kitchen.stations.get(station)?;
            let places = if there.kind == StationKind::Oven { there.slots } else { 1 };
            let change = Change::Another { station, places };
            (!there.kind.chills()).then(|| Candidate::Plain(vec![change]))
        }
        _ => None,
    };
    known.clash.map_or_else(Vec::new, |clash| clash.demands.iter().filter_map(of).collect())
}

/// Each pin given up, and all of them.
fn pins(known: &Known<'_>) -> Vec<Candidate> {
    let pins: Vec<StepKey> = known.situation.pins.keys().copied().collect();
    let unpin = |key: &StepKey| Change::Unpin { key: *key };
    let mut all: Vec<Candidate> =
        pins.iter().map(|key| Candidate::Plain(vec![unpin(key)])).collect();
    if pins.len() > 1 {
        all.push(Candidate::Plain(pins.iter().map(unpin).collect()));
    }
    all
}

/// Dishes that are still to be made, those that clash first.
fn dishes(known: &Known<'_>) -> Vec<usize> {
    let situation = known.situation;
    let last_done = |d: usize| {
        let sheet = known.evening.sheets.get(d);
        let key = sheet.map(|s| StepKey { dish: d, step: s.last_step(), load: 0 });
        key.is_some_and(|k| situation.begun.contains_key(&k))
    };
    let open = |d: &usize| {
        !situation.dropped.contains(d) && !situation.served.contains(d) && !last_done(*d)
    };
    let mut dishes: Vec<usize> = (0..known.evening.sheets.len()).filter(open).collect();
    let clashes =
        |d: usize| known.clash.is_some_and(|clash| clash.demands.contains(&Demand::Dish(d)));
    dishes.order_by_key(|&d| (!clashes(d), d));
    dishes
}

/// Does it take less time or room to make fewer servings?
fn servings_matter(known: &Known<'_>, dish: usize) -> bool {
    let Some(sheet) = known.evening.sheets.get(dish).filter(|s| s.servings > 1) else {
        return false;
    };
    sheet.recipe.steps.iter().enumerate().any(|(step, s)| {
        let begun = known.situation.begun.contains_key(&StepKey { dish, step, load: 0 });
        let ways = |w: &crate::kitchen::Way| {
            w.load_servings.is_some_and(|n| n < sheet.servings) || w.ml_per_serving.is_some()
        };
        let pans = s.cookware.iter().any(|c| c.least_ml.is_some() || c.count > 1);
        !begun && (s.grows == Growth::Proportion || pans || s.ways.iter().any(ways))
    })
}

/// Other ways to do a step. Every plan chooses among them by itself, so one of
/// them only helps where the search alone did not come upon it.
fn ways(known: &Known<'_>, dishes: &[usize]) -> Vec<Candidate> {
    let mut all = Vec::new();
    for &dish in dishes {
        let Some(sheet) = known.evening.sheets.get(dish) else { continue };
        for (step, s) in sheet.recipe.steps.iter().enumerate() {
            let key = StepKey { dish, step, load: 0 };
            if known.situation.begun.contains_key(&key) || s.ways.len() < 2 {
                continue;
            }
            let now = known.best.and_then(|p| p.blocks.iter().find(|b| b.key == key));
            let other = (0..s.ways.len()).filter(|w| now.is_none_or(|b| b.way != *w));
            all.extend(other.map(|way| Candidate::Plain(vec![Change::Way { dish, step, way }])));
        }
    }
    all
}

/// Other places to wait; as with [`ways`].
fn places(known: &Known<'_>, dishes: &[usize]) -> Vec<Candidate> {
    let mut all = Vec::new();
    for &dish in dishes {
        let holds = known.evening.sheets.get(dish).map_or(0, |s| s.recipe.holds.len());
        let now = known.best.and_then(|p| p.holds.iter().find(|h| h.dish == dish));
        if holds < 2 {
            continue;
        }
        let other = (0..holds).filter(|h| now.is_none_or(|b| b.hold != *h));
        all.extend(other.map(|hold| Candidate::Plain(vec![Change::Place { dish, hold }])));
    }
    all
}
