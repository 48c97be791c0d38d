//! What the party asks for, piece by piece, and the smallest set of pieces that
//! do not go together.
//!
//! **How it is found.** One demand after the other is let go. If the rest still
//! clashes, it stays let go; if the rest fits, it is taken up again. What is left
//! clashes, and with any one of them less it does not. The order says which of
//! several such sets comes out: pans and places first to go, services last. That
//! the rest "still clashes" is a search that found no way; [`Clash::proven`] says
//! whether that is certain for the set as a whole.

use std::collections::BTreeSet;

use super::works::{Look, Question, look_at};
use crate::kitchen::Evening;
use crate::plan::build::{Map, Reason, build};
use crate::plan::problem::Problem;
use crate::plan::{Situation, StepKey};

/// By how much earlier cooks might begin, in minutes, when their hours are let go.
const EARLIER: i32 = 12 * 60;

/// By how much later the evening might end when a service is let go, in minutes.
const LATER: i32 = 12 * 60;

/// As good as any number of a thing.
const PLENTY: i32 = 10_000;

/// Something that the party asks for. Indexes are those of the evening's lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Demand {
    /// There are only so many pans of a kind and size.
    Pans(usize),
    /// A station has only so many places, and one setting at a time.
    Station(usize),
    /// A cook has only two hands.
    Hands(usize),
    /// A step is pinned to its minute.
    Pin(StepKey),
    /// A dish is made.
    Dish(usize),
    /// A cook comes and goes at certain hours.
    Hours(usize),
    /// A service stands on the table at its time.
    Service(usize),
}

/// Demands that do not go together.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Clash {
    /// With any one of them less the rest can be met. Empty: what cannot be met
    /// lies in the past, or in the recipes themselves.
    pub demands: Vec<Demand>,
    /// It is certain that they do not go together. If not, no way was found.
    pub proven: bool,
}

/// The smallest set of demands that clash, as far as it is found. None if they
/// do not clash, or if it was stopped.
#[must_use]
pub fn smallest(question: &Question<'_>) -> Option<Clash> {
    if let Err(no_way) = build(question.evening, question.situation) {
        let dishes: BTreeSet<Demand> =
            no_way.reasons.iter().filter_map(of_reason).take(1).collect();
        return Some(Clash { demands: dishes.into_iter().collect(), proven: true });
    }
    let all = demands(question.evening, question.situation);
    let mut kept: BTreeSet<Demand> = all.iter().copied().collect();
    if !without(question, &all, &kept).is_a_clash() {
        return None;
    }
    // Whole groups first: most of a party has nothing to do with its clash.
    for group in groups(question, &all) {
        let less: BTreeSet<Demand> = kept.iter().copied().filter(|d| !group.contains(d)).collect();
        if less.len() < kept.len() && without(question, &all, &less).is_a_clash() {
            kept = less;
        }
    }
    for demand in all
        .iter()
        .filter(|d| !matches!(d, Demand::Service(_)))
        .chain(all.iter().filter(|d| matches!(d, Demand::Service(_))))
    {
        if (question.stop)() {
            return None;
        }
        let mut less = kept.clone();
        if less.remove(demand) && without(question, &all, &less).is_a_clash() {
            kept = less;
        }
    }
    let proven = without(question, &all, &kept) == Look::Clashes;
    Some(Clash { demands: kept.into_iter().collect(), proven })
}

/// The demand of something that is missing altogether.
fn of_reason(reason: &Reason) -> Option<Demand> {
    match reason {
        Reason::Step { dish, .. }
        | Reason::Pan { dish, .. }
        | Reason::Fridge { dish, .. }
        | Reason::Clock { dish, .. }
        | Reason::Loads { dish, .. } => Some(Demand::Dish(*dish)),
        Reason::NoHours => None,
    }
}

/// Every demand of an evening that can be let go.
#[must_use]
pub fn demands(evening: &Evening, situation: &Situation) -> Vec<Demand> {
    let kitchen = &evening.kitchen;
    let open = |d: &usize| !situation.dropped.contains(d) && !situation.served.contains(d);
    let dishes: Vec<usize> = (0..evening.sheets.len()).filter(open).collect();
    let services: BTreeSet<usize> =
        dishes.iter().filter_map(|&d| Some(evening.sheets.get(d)?.service)).collect();
    let mut all: Vec<Demand> = (0..kitchen.cookware.len()).map(Demand::Pans).collect();
    all.extend((0..kitchen.stations.len()).map(Demand::Station));
    all.extend((0..evening.party.cooks.len()).map(Demand::Hands));
    all.extend(situation.pins.keys().map(|k| Demand::Pin(*k)));
    all.extend(dishes.into_iter().map(Demand::Dish));
    all.extend((0..evening.party.cooks.len()).map(Demand::Hours));
    all.extend(services.into_iter().map(Demand::Service));
    all
}

/// Groups of demands to be let go at once.
fn groups(question: &Question<'_>, all: &[Demand]) -> Vec<Vec<Demand>> {
    let of = |pick: fn(&Demand) -> bool| all.iter().copied().filter(pick).collect::<Vec<_>>();
    let mut groups = vec![
        of(|d| matches!(d, Demand::Pans(_))),
        of(|d| matches!(d, Demand::Pin(_))),
        of(|d| matches!(d, Demand::Station(_))),
        of(|d| matches!(d, Demand::Hands(_))),
    ];
    // All dishes of a service, with the service.
    let services = question.evening.party.services.len();
    for service in (0..services).rev() {
        let of_service = |d: &&Demand| match d {
            Demand::Dish(dish) => {
                question.evening.sheets.get(*dish).is_some_and(|s| s.service == service)
            }
            Demand::Service(s) => *s == service,
            _ => false,
        };
        groups.push(all.iter().filter(of_service).copied().collect());
    }
    groups
}

/// Is there a way with only these demands of all?
fn without(question: &Question<'_>, all: &[Demand], kept: &BTreeSet<Demand>) -> Look {
    let gone: BTreeSet<Demand> = all.iter().copied().filter(|d| !kept.contains(d)).collect();
    let evening = question.evening;
    let mut situation = question.situation.clone();
    for demand in &gone {
        match demand {
            Demand::Dish(dish) => {
                situation.dropped.insert(*dish);
            }
            Demand::Pin(key) => {
                situation.pins.remove(key);
            }
            _ => {}
        }
    }
    let question = Question { situation: &situation, ..*question };
    look_at(&question, |problem, map| {
        let hours = (0..map.cooks).filter(|c| gone.contains(&Demand::Hours(*c))).collect();
        let_hours_go(problem, map, &hours, situation.now.is_none());
        for demand in &gone {
            let_go(problem, map, evening, *demand);
        }
    })
}

impl Look {
    const fn is_a_clash(&self) -> bool {
        !self.works()
    }
}

/// Takes a demand out of the problem.
fn let_go(problem: &mut Problem, map: &Map, evening: &Evening, demand: Demand) {
    match demand {
        Demand::Pans(pans) => plenty(problem, map, map.of_cookware(pans)),
        Demand::Station(station) => {
            plenty(problem, map, map.of_station(station));
            let of = |oven: usize| map.ovens.get(oven) == Some(&station);
            for mode in problem.steps.iter_mut().flat_map(|s| &mut s.modes) {
                mode.oven = mode.oven.filter(|o| !of(o.oven));
            }
            for hold in problem.dishes.iter_mut().flat_map(|d| &mut d.holds) {
                if hold.oven.is_some_and(|o| of(o.oven)) {
                    (hold.oven, hold.setting_c) = (None, None);
                }
            }
            for (task, at) in problem.tasks.iter_mut().zip(&map.tasks) {
                let modes = map.steps.get(task.step).map(|s| s.modes.as_slice());
                let here = modes.unwrap_or_default().iter().all(|m| m.station == Some(station));
                if let Some(fixed) = task.fixed.as_mut().filter(|_| here && !at.shadow) {
                    fixed.setting_c = None;
                }
            }
        }
        Demand::Hands(cook) => plenty(problem, map, map.of_cook(cook)),
        Demand::Service(service) => {
            later_end(problem, map);
            for (dish, at) in problem.dishes.iter_mut().zip(&map.dishes) {
                if evening.sheets.get(*at).is_some_and(|s| s.service == service) {
                    dish.late_price = 0;
                }
            }
        }
        Demand::Dish(_) | Demand::Pin(_) | Demand::Hours(_) => {}
    }
}

fn plenty(problem: &mut Problem, map: &Map, resource: usize) {
    for resource in map.copies_of(resource).chain([resource]) {
        if let Some(resource) = problem.resources.get_mut(resource) {
            resource.capacity = resource.capacity.saturating_add(PLENTY);
        }
    }
}

/// These cooks come and go as is best; of a party that lies ahead also before
/// the first hour of all.
fn let_hours_go(problem: &mut Problem, map: &Map, gone: &BTreeSet<usize>, ahead: bool) {
    if gone.is_empty() {
        return;
    }
    let before = problem.start;
    if ahead {
        problem.start -= EARLIER;
        for task in problem.tasks.iter_mut().filter(|t| t.fixed.is_none()) {
            task.earliest = if task.earliest == before { problem.start } else { task.earliest };
        }
    }
    let start = problem.start;
    for cook in 0..map.cooks {
        let Some(resource) = problem.resources.get_mut(map.of_cook(cook)) else { continue };
        if gone.contains(&cook) {
            resource.closed.clear();
        } else if ahead {
            resource.closed.insert(0, (start, before));
            merge(&mut resource.closed);
        }
    }
}

/// The evening may end later; cooks who have gone by its end do not come back.
fn later_end(problem: &mut Problem, map: &Map) {
    let (before, end) = (problem.end, problem.end.saturating_add(LATER));
    problem.end = end;
    for cook in 0..map.cooks {
        let closed = problem.resources.get_mut(map.of_cook(cook)).map(|r| &mut r.closed);
        let last = closed.and_then(|c| c.last_mut()).filter(|last| last.1 >= before);
        if let Some(last) = last {
            last.1 = end;
        }
    }
}

fn merge(closed: &mut Vec<(i32, i32)>) {
    let mut out: Vec<(i32, i32)> = Vec::new();
    for &(from, to) in closed.iter() {
        match out.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(to),
            _ => out.push((from, to)),
        }
    }
    *closed = out;
}

#[cfg(test)]
mod tests;
