//! The ways to put one dish into serving dishes: each a set that holds it and
//! of which none can be left out.

use super::fit::{Holds, ONE_MORE, fit, holds_all};
use super::need::Need;
use crate::kitchen::Servingware;
use crate::order::InOrder;

/// A set of serving dishes that holds a dish.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pattern {
    /// `(index of the ware, how many of it)`, by index.
    pub uses: Vec<(usize, u32)>,
    /// Empty space, and what is not quite right, in ml.
    pub cost: i64,
}

/// All patterns of a dish, the cheapest first.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Patterns {
    /// The patterns.
    pub all: Vec<Pattern>,
    /// There are more than were looked at.
    pub cut: bool,
}

/// No more sets than these are looked at for a dish. Up to three pieces of
/// twenty kinds there are fewer.
const MOST: usize = 2_000;

/// The patterns of a dish: with as few pieces as can hold it, or one more.
#[must_use]
pub fn patterns(need: &Need, wares: &[Servingware]) -> Patterns {
    let mut kinds: Vec<Kind> = wares
        .iter()
        .enumerate()
        .filter_map(|(ware, w)| {
            let fit = fit(need, w).ok()?;
            let worth = fit.holds.worth();
            (worth > 0).then_some(Kind {
                ware,
                count: w.count,
                holds: fit.holds,
                cost: worth + fit.points,
            })
        })
        .collect();
    // The largest first, so that few pieces come before many.
    kinds.order_by_key(|k| (std::cmp::Reverse(k.share(need)), k.ware));
    let Some(fewest) = fewest(need, &kinds) else { return Patterns::default() };
    let mut walk = Walk { need, kinds: &kinds, most: fewest + 1, found: Patterns::default() };
    walk.go(0, &mut Vec::new(), Sum::default());
    let mut found = walk.found;
    found.all.order_by(|a, b| (a.cost, &a.uses).cmp(&(b.cost, &b.uses)));
    found
}

/// A kind of ware that suits.
struct Kind {
    ware: usize,
    count: u32,
    holds: Holds,
    cost: i64,
}

impl Kind {
    /// The share of the dish that one piece holds, in millionths.
    fn share(&self, need: &Need) -> u64 {
        let (holds, want) = match self.holds {
            Holds::Ml(ml) => (ml, need.ml),
            Holds::Cm2(cm2) => (cm2, need.cm2),
        };
        u64::from(holds) * 1_000_000 / u64::from(want.unwrap_or(1).max(1))
    }
}

/// What is chosen so far.
#[derive(Debug, Clone, Copy, Default)]
struct Sum {
    ml: u64,
    cm2: u64,
    pieces: u32,
    cost: i64,
}

impl Sum {
    fn with(self, kind: &Kind, n: u32) -> Self {
        let (mut ml, mut cm2) = (self.ml, self.cm2);
        match kind.holds {
            Holds::Ml(each) => ml += u64::from(each) * u64::from(n),
            Holds::Cm2(each) => cm2 += u64::from(each) * u64::from(n),
        }
        let cost = self.cost + i64::from(n) * kind.cost;
        Self { ml, cm2, pieces: self.pieces + n, cost }
    }
}

/// The fewest pieces that hold it, the largest taken first; nothing if all together do not.
fn fewest(need: &Need, kinds: &[Kind]) -> Option<u32> {
    let mut sum = Sum::default();
    for kind in kinds {
        for _ in 0..kind.count {
            sum = sum.with(kind, 1);
            if holds_all(need, sum.ml, sum.cm2) {
                return Some(sum.pieces);
            }
        }
    }
    None
}

struct Walk<'a> {
    need: &'a Need,
    kinds: &'a [Kind],
    most: u32,
    found: Patterns,
}

impl Walk<'_> {
    /// Tries all counts of the kinds from `at` on.
    fn go(&mut self, at: usize, chosen: &mut Vec<(usize, u32)>, sum: Sum) {
        if holds_all(self.need, sum.ml, sum.cm2) && sum.pieces > 0 {
            self.keep(chosen, sum);
            return;
        }
        let Some(kind) = self.kinds.get(at) else { return };
        if self.found.all.len() >= MOST {
            self.found.cut = true;
            return;
        }
        let most = kind.count.min(self.most.saturating_sub(sum.pieces));
        for n in (1..=most).rev() {
            // More of it than it takes is no new set.
            let fewer = sum.with(kind, n - 1);
            if n > 1 && holds_all(self.need, fewer.ml, fewer.cm2) {
                continue;
            }
            chosen.push((at, n));
            self.go(at + 1, chosen, sum.with(kind, n));
            chosen.pop();
        }
        self.go(at + 1, chosen, sum);
    }

    /// Keeps a set. The last piece was needed and all others hold more, so none can be left out.
    fn keep(&mut self, chosen: &[(usize, u32)], sum: Sum) {
        let ware = |&(at, n): &(usize, u32)| self.kinds.get(at).map(|k| (k.ware, n));
        let mut uses: Vec<(usize, u32)> = chosen.iter().filter_map(ware).collect();
        uses.sort_unstable();
        let more = i64::from(sum.pieces.saturating_sub(1)) * ONE_MORE;
        let cost = sum.cost + more - self.food();
        self.found.all.push(Pattern { uses, cost });
    }

    /// What the food itself takes up, in ml.
    fn food(&self) -> i64 {
        match (self.need.ml, self.need.cm2) {
            (Some(ml), _) => Holds::Ml(ml).worth(),
            (None, Some(cm2)) => Holds::Cm2(cm2).worth(),
            (None, None) => 0,
        }
    }
}

impl Patterns {
    /// The wares that any of them uses, by index.
    #[must_use]
    pub fn wares(&self) -> Vec<usize> {
        let uses = self.all.iter().flat_map(|p| p.uses.iter().map(|u| u.0));
        let mut wares: Vec<usize> = uses.collect();
        wares.sort_unstable();
        wares.dedup();
        wares
    }
}
