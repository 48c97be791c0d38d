//! The chain of reasons: from a block over those that would have to give way
//! to a fact, or to what a move of them all would cost.

use std::collections::BTreeMap;

use super::room::{Room, late, price};
use super::stand::{Side, Stand};
use super::tight::{Tight, tights};
use crate::plan::judge::judge;

/// Minutes by which a move is priced, the first that can be made: large
/// figures say more than small ones.
const PRICED_MINUTES: [i32; 4] = [10, 5, 2, 1];

/// One block of the chain, and what stands in its way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Link {
    /// The load that does not move.
    pub task: usize,
    /// By how many minutes it would.
    pub by: i32,
    /// What stands in its way.
    pub tight: Tight,
}

/// Where a chain ends.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum End {
    /// In its last link: a fact.
    Fact,
    /// All these could move together, but then this dish (of the problem) would be served late.
    Late {
        /// Each load and its minutes.
        moves: Vec<(usize, i32)>,
        /// Index of the dish.
        dish: usize,
    },
    /// All these could move together, at a price.
    Price {
        /// Each load and its minutes.
        moves: Vec<(usize, i32)>,
    },
    /// All these would have to move together, and that cannot be.
    Blocked {
        /// Each load and its minutes.
        moves: Vec<(usize, i32)>,
        /// What stands in their way.
        tight: Tight,
    },
    /// All these could move together for nothing: nothing holds them.
    Nothing {
        /// Each load and its minutes.
        moves: Vec<(usize, i32)>,
    },
}

/// Why a block does not move to one side.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chain {
    /// From the block on.
    pub links: Vec<Link>,
    /// Where it ends.
    pub end: End,
    /// What else stands in the block's own way.
    pub also: Vec<Tight>,
    /// For each load that would have to give way, the link that leads there.
    pub tree: BTreeMap<usize, Link>,
}

impl Chain {
    /// The links from the block to a load that would have to give way.
    #[must_use]
    pub fn path(&self, to: usize) -> Vec<Link> {
        path(&self.tree, to)
    }
}

fn path(tree: &BTreeMap<usize, Link>, to: usize) -> Vec<Link> {
    let (mut links, mut at) = (Vec::new(), to);
    while let Some(&link) = tree.get(&at) {
        links.push(link);
        at = link.task;
    }
    links.reverse();
    links
}

/// The chain of a load, from the first minute that is not free. The shortest
/// one that ends in a fact; if there is none, what a move would cost. None if
/// the schedule is not valid.
#[must_use]
pub fn chain(stand: &Stand, task: usize, side: Side, room: Room) -> Option<Chain> {
    judge(stand.problem, stand.schedule).ok()?;
    let mut walk = Walk { stand: *stand, side, from: BTreeMap::new(), order: vec![task] };
    let first = room.free + 1;
    if room.free < room.minutes && !stand.begun(task) {
        return Some(walk.alone(task, room));
    }
    let mut own: Vec<Tight> = Vec::new();
    let mut at = 0;
    while let Some(&t) = walk.order.get(at) {
        let by = side.by(if t == task { first } else { 1 });
        let found = tights(stand, &[(t, by)], side);
        if t == task {
            own.clone_from(&found);
        }
        let end = match found.iter().find(|f| f.gives_way(stand, side).is_none()) {
            Some(&tight) => Some((Some(Link { task: t, by, tight }), End::Fact)),
            None if found.is_empty() => {
                let moves = vec![(t, by)];
                late(stand, &stand.moved(&moves)).map(|dish| (None, End::Late { moves, dish }))
            }
            None => None,
        };
        if let Some((link, end)) = end {
            let mut links = path(&walk.from, t);
            links.extend(link);
            return Some(Chain { also: also(&own, &links), links, end, tree: walk.from });
        }
        for tight in found {
            walk.add(Link { task: t, by, tight });
        }
        at += 1;
    }
    let end = walk.together(task, first);
    Some(Chain { links: Vec::new(), end, also: Vec::new(), tree: walk.from })
}

/// What of the block's own reasons is not told by the chain.
fn also(own: &[Tight], links: &[Link]) -> Vec<Tight> {
    own.iter().filter(|t| links.first().is_none_or(|l| l.tight != **t)).copied().collect()
}

struct Walk<'a> {
    stand: Stand<'a>,
    side: Side,
    /// For each load reached, the link that led there.
    from: BTreeMap<usize, Link>,
    order: Vec<usize>,
}

impl Walk<'_> {
    fn add(&mut self, link: Link) {
        if let Some(next) = link.tight.gives_way(&self.stand, self.side)
            && !self.order.contains(&next)
        {
            self.order.push(next);
            self.from.insert(next, link);
        }
    }

    /// The block can move by itself, at a price.
    fn alone(&self, task: usize, room: Room) -> Chain {
        let by = PRICED_MINUTES.into_iter().find(|m| room.free < *m && *m <= room.minutes);
        let moves = vec![(task, self.side.by(by.unwrap_or(room.free + 1)))];
        let (links, tree) = (Vec::new(), BTreeMap::new());
        Chain { links, end: self.price_of(moves), also: Vec::new(), tree }
    }

    fn price_of(&self, moves: Vec<(usize, i32)>) -> End {
        let stand = &self.stand;
        if let Some(dish) = late(stand, &stand.moved(&moves)) {
            return End::Late { moves, dish };
        }
        let cost = |s| judge(stand.problem, s).map(|c| price(&c)).unwrap_or(i64::MAX);
        if cost(&stand.moved(&moves)) > cost(stand.schedule) {
            End::Price { moves }
        } else {
            End::Nothing { moves }
        }
    }

    /// All that was reached, moved together; more blocks are taken along while
    /// they stand in the way.
    fn together(&mut self, task: usize, first: i32) -> End {
        let side = self.side;
        let moves = |order: &[usize], minutes: i32| -> Vec<(usize, i32)> {
            let by = |t| if t == task { minutes.max(first) } else { minutes };
            order.iter().map(|&t| (t, side.by(by(t)))).collect()
        };
        // Each round takes one more load along, or ends.
        for _ in 0..self.stand.problem.tasks.len() {
            let all = moves(&self.order, 1);
            let found = tights(&self.stand, &all, side);
            let Some(&tight) = found.first() else { break };
            let givers = found.iter().filter_map(|f| f.gives_way(&self.stand, side));
            match givers.into_iter().find(|g| !self.order.contains(g)) {
                Some(next) => self.order.push(next),
                None => return End::Blocked { moves: all, tight },
            }
        }
        let fits = |m: &i32| tights(&self.stand, &moves(&self.order, *m), side).is_empty();
        let minutes = PRICED_MINUTES.into_iter().find(fits).unwrap_or(1);
        self.price_of(moves(&self.order, minutes))
    }
}
