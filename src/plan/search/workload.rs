//! Work that fits into no order: the hands that everything asks for at the least,
//! beside the minutes for which the cooks are there.

use super::clash::{Clash, ClashKind};
use super::model::Model;
use crate::plan::problem::Mode;

/// Dishes that are named.
const MOST_NAMED: usize = 3;

/// A smallest group of cooks who are asked for more than they can do, whoever of them does what
/// and whenever.
pub fn overworked(m: &Model) -> Option<Clash> {
    if m.cut {
        return None;
    }
    let mut groups: Vec<Vec<usize>> = m.p.steps.iter().map(|s| s.cooks.clone()).collect();
    groups.push(m.cooks.clone());
    for group in &mut groups {
        group.sort_unstable();
        group.dedup();
    }
    groups.retain(|group| !group.is_empty());
    groups.sort_by(|a, b| (a.len(), a).cmp(&(b.len(), b)));
    groups.dedup();
    groups.into_iter().find_map(|cooks| {
        let work = asked(m, &cooks);
        let asked: i64 = work.steps.iter().sum();
        let there: i64 = cooks.iter().map(|&c| there(m, c, work.from)).sum();
        if asked <= there {
            return None;
        }
        let minutes = |percent: i64| i32::try_from(percent / 100).unwrap_or(i32::MAX);
        let (asked, there) = (minutes(asked + 99), minutes(there));
        let dishes = busiest(m, &work.steps);
        Some(Clash::new(ClashKind::Hands { cooks, asked, there, dishes }))
    })
}

/// What steps ask of some cooks.
struct Work {
    /// Percent x minutes of each step at the least; nothing of those that others can do too.
    steps: Vec<i64>,
    /// The first minute at which one of them can begin.
    from: i32,
}

fn asked(m: &Model, cooks: &[usize]) -> Work {
    let mut work = Work { steps: vec![0; m.p.steps.len()], from: m.h };
    for (s, step) in m.p.steps.iter().enumerate() {
        let theirs = !step.cooks.is_empty() && step.cooks.iter().all(|c| cooks.contains(c));
        let open = |t: &usize| m.p.tasks[*t].fixed.is_none();
        let in_mode = |&mode: &usize| {
            let loads = m.loads(s, mode).filter(open).count() as i64;
            loads * hands(&step.modes[mode])
        };
        let least = m.modes[s].iter().map(in_mode).min().unwrap_or(0);
        if theirs && least > 0 {
            work.steps[s] = least;
            let loads = step.tasks();
            let early = loads.filter(open).map(|t| m.early[t]).min().unwrap_or(0);
            work.from = work.from.min(early);
        }
    }
    work
}

/// The dishes whose steps ask for most.
fn busiest(m: &Model, steps: &[i64]) -> Vec<usize> {
    let of_unit = |unit: &Vec<usize>| unit.iter().map(|&s| steps[s]).sum::<i64>();
    let made = |unit: &Vec<usize>| unit.iter().find_map(|&s| m.dishes_of[s].first().copied());
    let mut dishes: Vec<(i64, usize)> =
        m.units.iter().filter_map(|unit| Some((of_unit(unit), made(unit)?))).collect();
    dishes.retain(|&(work, _)| work > 0);
    dishes.sort_by_key(|&(work, dish)| (std::cmp::Reverse(work), dish));
    dishes.into_iter().take(MOST_NAMED).map(|(_, dish)| dish).collect()
}

/// Percent x minutes of one load.
fn hands(mode: &Mode) -> i64 {
    mode.hands.iter().map(|h| i64::from(h.percent) * i64::from(h.to - h.from)).sum()
}

/// Percent x minutes that a cook is there from a minute on.
fn there(m: &Model, cook: usize, from: i32) -> i64 {
    let resource = &m.p.resources[cook];
    let mut closed = resource.closed.clone();
    closed.sort_unstable();
    let (mut at, mut open) = (from.max(0), 0);
    for (begin, end) in closed.into_iter().chain([(m.h, m.h)]) {
        open += (begin.min(m.h) - at).max(0);
        at = at.max(end);
    }
    i64::from(open) * i64::from(resource.capacity.max(0))
}
