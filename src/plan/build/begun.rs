//! Room for what has begun: it has found its pan and its place, even if the kitchen's list has too few. So has what is
//! done and waits in its pan for its service.
//!
//! There is as much then as all of it has, but for itself alone: nothing else may have of it before what is in use is
//! less than the list has. When each gives it back is the search's choice, so no one capacity says that. Copies of the
//! resource do: one for each choice of begun ones that just fill what the list has (the last of them with no more than is
//! left), in which they and all that has not begun must fit. If those still in use fill the list, one of the copies is
//! full; if not, they stand whole in a copy.

use std::collections::{BTreeMap, BTreeSet};

use super::draft::Draft;
use super::map::StayAt;
use crate::plan::problem::{Point, Resource, Stay, Use};

/// Copies of one resource, at the most. With more than that whatever has not begun waits until nothing that has begun
/// has any of it.
const MOST_COPIES: usize = 24;

pub(super) fn make_room(draft: &mut Draft<'_>) {
    let mut begun: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (n, stay) in draft.problem.stays.iter().enumerate() {
        if has_it(draft, stay) {
            begun.entry(stay.uses.resource).or_default().push(n);
        }
    }
    for (resource, stays) in begun {
        let amounts: Vec<i32> = stays.iter().map(|&n| draft.problem.stays[n].uses.amount).collect();
        let taken = amounts.iter().copied().fold(0, i32::saturating_add);
        let there = draft.problem.resources[resource].capacity;
        if taken > there {
            draft.problem.resources[resource].capacity = taken;
            for shares in fillings(&amounts, there) {
                add_copy(draft, (resource, there), &stays, &shares);
            }
        }
    }
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

/// Every choice of these amounts that just fills what there is: what counts of each, the last of them clipped.
fn fillings(amounts: &[i32], there: i32) -> BTreeSet<Vec<i32>> {
    let none = vec![0; amounts.len()];
    if there <= 0 {
        return [none].into();
    }
    let mut full = BTreeSet::new();
    let (mut seen, mut open) = (BTreeSet::new(), vec![none.clone()]);
    while let Some(shares) = open.pop() {
        let left = there - shares.iter().sum::<i32>();
        for (i, &amount) in amounts.iter().enumerate().filter(|(i, _)| shares[*i] == 0) {
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
fn add_copy(
    draft: &mut Draft<'_>,
    (resource, there): (usize, i32),
    begun: &[usize],
    shares: &[i32],
) {
    let copy = draft.problem.resources.len();
    draft.problem.resources.push(Resource { capacity: there, closed: Vec::new() });
    draft.map.copies.push(resource);
    let again = |amount| Use { resource: copy, amount };
    for n in 0..draft.problem.stays.len() {
        let mut stay = draft.problem.stays[n].clone();
        let share = begun.iter().zip(shares).find(|(of, _)| **of == n).map(|(_, share)| *share);
        stay.uses = again(share.unwrap_or(stay.uses.amount));
        let (StayAt::Pan { dish, .. } | StayAt::Wait { dish, .. }) = draft.map.stays[n] else {
            continue;
        };
        if draft.problem.stays[n].uses.resource == resource && stay.uses.amount > 0 {
            draft.problem.stays.push(stay);
            draft.map.stays.push(StayAt::Copy { dish });
        }
    }
    let modes = draft.problem.steps.iter_mut().flat_map(|s| &mut s.modes).map(|m| &mut m.uses);
    let holds = draft.problem.dishes.iter_mut().flat_map(|d| &mut d.holds).map(|h| &mut h.uses);
    for uses in modes.chain(holds) {
        let amount = uses.iter().find(|u| u.resource == resource).map(|u| u.amount);
        uses.extend(amount.map(again));
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
                let copies = fillings(&amounts, there);
                for still in 0..1 << amounts.len() {
                    let has = |shares: &[i32]| {
                        let mine = shares.iter().enumerate().filter(|(i, _)| still >> i & 1 == 1);
                        mine.map(|(_, share)| share).sum::<i32>()
                    };
                    let left = copies.iter().map(|c| there - has(c)).min().unwrap_or(there);
                    let besides = (there - has(&amounts)).max(0);
                    assert_eq!(left, besides, "{amounts:?} of {there}, {still:b}: {copies:?}");
                    asked += 1;
                }
            }
        }
        assert!(asked > 1_000, "{asked}");
    }

    #[test]
    fn where_there_would_be_too_many_copies_all_else_waits() {
        let copies = fillings(&[1; 12], 6);
        assert_eq!(copies.len(), 12);
        assert!(copies.iter().all(|c| c.iter().sum::<i32>() == 6 && c.contains(&6)));
        assert_eq!(fillings(&[1, 2], 0), [vec![0, 0]].into(), "there is none");
    }
}
