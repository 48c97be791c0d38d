//! Room for what has begun: it has found its pan and its place, even if the kitchen's list has too few. So has what is
//! done and waits in its pan for its service.
//!
//! There is as much then as all of it has, but for itself alone: nothing else may have of it before what is in use is
//! less than the list has. Loads that run and dishes that wait for their service are in use as well, beside food that waits
//! for its next step; where there are they alone, rule 4 of the problem is enough. When each gives it back is the search's
//! choice (but for what runs and what is served at a known minute), so no one capacity says that. Copies of the resource
//! do: one for each choice of begun ones that just fill what the list has (the last of them with no more than is
//! left), in which they and all that has not begun must fit. If those still in use fill the list, one of the copies is
//! full; if not, they stand whole in a copy.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::Draft;
use super::map::StayAt;
use crate::kitchen::Minute;
use crate::order::InOrder;
use crate::plan::problem::{Dish, Point, Resource, Stay, Task, Use};

/// Copies of one resource, at the most. With more than that whatever has not begun waits until nothing that has begun
/// has any of it.
const MOST_COPIES: usize = 24;

/// What has begun and takes some of a resource.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Begun {
    /// A stay.
    Stay(usize),
    /// A load that runs.
    Task(usize),
    /// A dish that waits in its hold.
    Hold(usize),
}

/// How much one of them takes, and when it gives it back, if that is no choice of the search.
#[derive(Debug, Clone, Copy)]
struct Taking {
    who: Begun,
    amount: i32,
    until: Option<Minute>,
}

pub(super) fn make_room(draft: &mut Draft<'_>) {
    let mut begun: BTreeMap<usize, Vec<Taking>> = BTreeMap::new();
    for (n, stay) in draft.problem.stays.iter().enumerate() {
        if has_it(draft, stay) {
            let Use { resource, amount } = stay.uses;
            let taking = Taking { who: Begun::Stay(n), amount, until: None };
            begun.entry(resource).or_default().push(taking);
        }
    }
    for (resource, mut takings) in begun {
        takings.extend(running(draft, resource));
        takings.extend(held(draft, resource));
        let taken = takings.iter().map(|t| t.amount).fold(0, i32::saturating_add);
        let there = draft.problem.resources[resource].capacity;
        if taken > there {
            draft.problem.resources[resource].capacity = taken;
            takings.order_by_key(|t| std::cmp::Reverse(t.until));
            let amounts: Vec<i32> = takings.iter().map(|t| t.amount).collect();
            let known = takings.iter().filter(|t| t.until.is_some()).count();
            for shares in fillings(&amounts, known, there) {
                let shares: Vec<(Begun, i32)> = takings.iter().map(|t| t.who).zip(shares).collect();
                add_copy(draft, (resource, there), &shares);
            }
        }
    }
}

/// The loads that run and take some of a resource.
fn running(draft: &Draft<'_>, resource: usize) -> Vec<Taking> {
    let problem = &draft.problem;
    let of_task = |(n, task): (usize, &Task)| {
        let until = task.fixed.map(|f| f.end).filter(|end| *end > problem.start)?;
        let amount = amount_of(&problem.steps[task.step].modes.first()?.uses, resource)?;
        Some(Taking { who: Begun::Task(n), amount, until: Some(until) })
    };
    problem.tasks.iter().enumerate().filter_map(of_task).collect()
}

/// The dishes that wait already in a hold that takes some of a resource, and are not served yet.
fn held(draft: &Draft<'_>, resource: usize) -> Vec<Taking> {
    let problem = &draft.problem;
    let of_dish = |(n, dish): (usize, &Dish)| {
        let amount = amount_of(&dish.holds.get(dish.held?)?.uses, resource)?;
        let loads = problem.tasks.get(problem.steps[dish.last_step].tasks())?;
        let ends: Option<Vec<Minute>> = loads.iter().map(|t| Some(t.fixed?.end)).collect();
        let until = ends.map(|ends| ends.into_iter().fold(dish.due, Minute::max));
        let over = until.is_some_and(|until| until <= problem.start);
        (!over).then_some(Taking { who: Begun::Hold(n), amount, until })
    };
    problem.dishes.iter().enumerate().filter_map(of_dish).collect()
}

fn amount_of(uses: &[Use], resource: usize) -> Option<i32> {
    uses.iter().find(|u| u.resource == resource).map(|u| u.amount)
}

/// Has it begun, and is it not over?
fn has_it(draft: &Draft<'_>, stay: &Stay) -> bool {
    let has = |p: &Point| draft.known(*p).is_some();
    let over = stay.to.iter().all(|p| draft.known(*p).is_some_and(|m| m <= draft.problem.start));
    let waits = stay.through_hold.iter().any(|&(dish, hold)| {
        let dish = draft.problem.dishes.get(dish);
        dish.is_some_and(|d| d.held == Some(hold) && d.due > draft.problem.start)
    });
    stay.from.iter().any(has) && (!over || waits)
}

/// Every choice of these amounts that just fills what there is: what counts of each, the last of them clipped. The first
/// few are given back at known minutes, the latest first in the list: none of them counts without those before it.
fn fillings(amounts: &[i32], known: usize, there: i32) -> BTreeSet<Vec<i32>> {
    let none = vec![0; amounts.len()];
    if there <= 0 {
        return [none].into();
    }
    let mut full = BTreeSet::new();
    let (mut seen, mut open) = (BTreeSet::new(), vec![none.clone()]);
    while let Some(shares) = open.pop() {
        let left = there - shares.iter().sum::<i32>();
        let may = |i: usize| shares[i] == 0 && (i == 0 || i >= known || shares[i - 1] > 0);
        for (i, &amount) in amounts.iter().enumerate().filter(|(i, _)| may(*i)) {
            let mut more = shares.clone();
            more[i] = amount.min(left);
            if amount >= left {
                full.insert(more);
            } else if seen.insert(more.clone()) {
                open.push(more);
            }
        }
        if full.len() > MOST_COPIES || seen.len() > MOST_COPIES * MOST_COPIES {
            let alone = |i: usize| {
                let mut all = none.clone();
                all[i] = there;
                all
            };
            return (0..amounts.len()).map(alone).collect();
        }
    }
    full
}

/// A resource once more, as the list has it: for these shares of what has begun, and for all else.
fn add_copy(draft: &mut Draft<'_>, (resource, there): (usize, i32), shares: &[(Begun, i32)]) {
    let copy = draft.problem.resources.len();
    draft.problem.resources.push(Resource { capacity: there, closed: Vec::new() });
    draft.map.copies.push(resource);
    let share = |who: Begun| shares.iter().find(|(of, _)| *of == who).map(|(_, share)| *share);
    for n in 0..draft.problem.stays.len() {
        let stay = &draft.problem.stays[n];
        let (StayAt::Pan { dish, .. } | StayAt::Wait { dish, .. }) = draft.map.stays[n] else {
            continue;
        };
        if stay.uses.resource == resource {
            let amount = share(Begun::Stay(n)).unwrap_or(stay.uses.amount);
            let stay = Stay { uses: Use { resource: copy, amount }, ..stay.clone() };
            push_stay(draft, stay, dish);
        }
    }
    for s in 0..draft.problem.steps.len() {
        if draft.problem.steps[s].tasks().any(|t| share(Begun::Task(t)).is_some()) {
            add_loads(draft, (resource, copy), s, &share);
            continue;
        }
        for mode in &mut draft.problem.steps[s].modes {
            let amount = amount_of(&mode.uses, resource);
            mode.uses.extend(amount.map(|amount| Use { resource: copy, amount }));
        }
    }
    for (d, dish) in draft.problem.dishes.iter_mut().enumerate() {
        for (h, hold) in dish.holds.iter_mut().enumerate() {
            let own = share(Begun::Hold(d)).filter(|_| dish.held == Some(h));
            let amount = amount_of(&hold.uses, resource).map(|amount| own.unwrap_or(amount));
            let some = amount.filter(|amount| *amount > 0);
            hold.uses.extend(some.map(|amount| Use { resource: copy, amount }));
        }
    }
}

/// The loads of a step of which one runs: each by itself, for what runs may count for less than those to come.
fn add_loads(
    draft: &mut Draft<'_>,
    (resource, copy): (usize, usize),
    step: usize,
    share: &dyn Fn(Begun) -> Option<i32>,
) {
    let step = &draft.problem.steps[step];
    let of_step = step.modes.first().and_then(|m| amount_of(&m.uses, resource)).unwrap_or(0);
    for task in step.tasks() {
        let amount = share(Begun::Task(task)).unwrap_or(of_step);
        let point = |end| Point { task, end };
        let stay = Stay {
            uses: Use { resource: copy, amount },
            from: vec![point(false)],
            to: vec![point(true)],
            through_hold: Vec::new(),
        };
        push_stay(draft, stay, draft.map.tasks[task].key.dish);
    }
}

fn push_stay(draft: &mut Draft<'_>, stay: Stay, dish: usize) {
    if stay.uses.amount > 0 {
        draft.problem.stays.push(stay);
        draft.map.stays.push(StayAt::Copy { dish });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// For all amounts of up to four: whoever still has some, the copies leave others just what the list has besides.
    #[test]
    fn copies_leave_what_the_list_has_besides_whoever_gives_back_first() {
        let mut asked = 0;
        for there in 1..=4 {
            for code in 0..4_i32.pow(4) {
                let amounts: Vec<i32> = (0..4).map(|i| code / 4_i32.pow(i) % 4 + 1).collect();
                let fits = amounts.iter().all(|a| *a <= there);
                if !fits || amounts.iter().sum::<i32>() <= there {
                    continue;
                }
                for known in 0..=4 {
                    let copies = fillings(&amounts, known, there);
                    // Of those that give it back at a known minute the last ones have some.
                    let may =
                        |still: &i32| (1..known).all(|i| still >> i & 1 <= still >> (i - 1) & 1);
                    for still in (0..1 << amounts.len()).filter(may) {
                        let has = |shares: &[i32]| {
                            let all = shares.iter().enumerate();
                            let mine = all.filter(|(i, _)| still >> i & 1 == 1);
                            mine.map(|(_, share)| share).sum::<i32>()
                        };
                        let left = copies.iter().map(|c| there - has(c)).min().unwrap_or(there);
                        let besides = (there - has(&amounts)).max(0);
                        let all =
                            format!("{amounts:?} ({known}) of {there}, {still:b}: {copies:?}");
                        assert_eq!(left, besides, "{all}");
                        asked += 1;
                    }
                }
            }
        }
        assert!(asked > 1_000, "{asked}");
    }

    #[test]
    fn where_there_would_be_too_many_copies_all_else_waits() {
        let copies = fillings(&[1; 12], 0, 6);
        assert_eq!(copies.len(), 12);
        assert!(copies.iter().all(|c| c.iter().sum::<i32>() == 6 && c.contains(&6)));
        // Where it is known who gives back first, few will do.
        assert_eq!(fillings(&[1; 12], 12, 6).len(), 1);
        assert_eq!(fillings(&[1; 12], 11, 6).len(), 2);
        assert_eq!(fillings(&[1, 2], 0, 0), [vec![0, 0]].into(), "there is none");
    }
}
