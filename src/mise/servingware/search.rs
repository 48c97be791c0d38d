//! Which dish gets which pattern: all dishes at once, so that the whole costs
//! least and no piece is in two places.
//!
//! With one piece a dish and all dishes at one time this is the assignment
//! problem; several pieces a dish and pieces used again later make it more than
//! that, so it is searched: dish by dish, the one with the fewest choices left
//! first, cut off by a bound. The bound puts a price on each kind of piece at
//! each time that it is short (a Lagrangian relaxation, its prices found once
//! by a subgradient walk); for the assignment problem it is exact.

use std::cell::Cell;

use super::pattern::Pattern;

/// Dishes, their patterns and when they take what they take.
#[derive(Debug, Clone, Default)]
pub struct Case<'a> {
    /// The patterns of each dish, the cheapest first.
    pub patterns: Vec<&'a [Pattern]>,
    /// From when to when each dish takes its pieces, washing included.
    pub spans: Vec<(i32, i32)>,
    /// How many there are of each ware.
    pub stock: Vec<u32>,
}

/// What a search found.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Found {
    /// The index of each dish's pattern; nothing for a dish that goes without.
    pub chosen: Vec<Option<usize>>,
    /// It is known that nothing better exists.
    pub proved: bool,
}

/// Steps after which a search gives up proving that nothing is better.
const NODES: u32 = 60_000;
/// Steps of the walk that finds prices.
const PRICE_STEPS: u32 = 80;
/// Choices of a dish that are counted, to see which has the fewest left.
const CHOICES: usize = 12;
/// A dish that goes without, while it is asked how many must.
const WITHOUT: i64 = 1_000;

/// As many dishes as can be served, and for these the cheapest patterns.
#[must_use]
pub fn search(case: &Case) -> Found {
    within(case, NODES)
}

/// The same in no more steps than `limit` for each of its two questions.
fn within(case: &Case, limit: u32) -> Found {
    let (most, _) = run(case, Aim::Most, limit);
    let served: Vec<usize> = (0..case.patterns.len())
        .filter(|&d| most.chosen.get(d).is_some_and(Option::is_some))
        .collect();
    let part = case.part(&served);
    let (best, _) = run(&part, Aim::Cheapest, limit);
    let mut chosen = vec![None; case.patterns.len()];
    for (at, dish) in served.iter().enumerate() {
        if let Some(place) = chosen.get_mut(*dish) {
            // If the second search gave up before it found any, the first one's answer stands.
            let first = most.chosen.get(*dish).copied().flatten();
            *place = best.chosen.get(at).copied().flatten().or(first);
        }
    }
    Found { chosen, proved: most.proved && best.proved }
}

/// Can all of these dishes be served? Nothing if the search gave up. `steps`: how many a whole
/// series of such questions may still take; nothing is looked for once they are used up.
#[must_use]
pub fn possible(case: &Case, steps: &Cell<u32>) -> Option<bool> {
    let (most, took) = run(case, Aim::Most, NODES.min(steps.get()));
    steps.set(steps.get().saturating_sub(took));
    let all = most.chosen.iter().all(Option::is_some);
    (all || most.proved).then_some(all)
}

impl<'a> Case<'a> {
    /// The same question for some of the dishes.
    #[must_use]
    pub fn part(&self, dishes: &[usize]) -> Self {
        Self {
            patterns: dishes.iter().filter_map(|&d| self.patterns.get(d).copied()).collect(),
            spans: dishes.iter().filter_map(|&d| self.spans.get(d).copied()).collect(),
            stock: self.stock.clone(),
        }
    }

    fn pattern(&self, dish: usize, at: usize) -> Option<&'a Pattern> {
        self.patterns.get(dish)?.get(at)
    }
}

/// What is looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Aim {
    /// As many dishes served as can be.
    Most,
    /// All dishes served, at the least cost.
    Cheapest,
}

/// The tables of one search. Times are the starts of the dishes' spans: if no
/// piece is had twice at any of them, it never is.
struct Search<'a> {
    case: &'a Case<'a>,
    aim: Aim,
    /// For each dish, the times at which it takes its pieces.
    times: Vec<Vec<usize>>,
    wares: usize,
    /// The price of a piece at a time, `time * wares + ware`.
    prices: Vec<i64>,
    /// For each dish its patterns with the prices of what they take, the cheapest first.
    order: Vec<Vec<(i64, usize)>>,
    /// How many pieces are left, in the order of the prices.
    left: Vec<i64>,
    chosen: Vec<Option<usize>>,
    decided: Vec<bool>,
    best: Option<(i64, Vec<Option<usize>>)>,
    nodes: u32,
    /// No more steps than these.
    limit: u32,
}

/// An answer, and the steps that it took; no more than `limit`.
fn run(case: &Case, aim: Aim, limit: u32) -> (Found, u32) {
    let count = case.patterns.len();
    let mut starts: Vec<i32> = case.spans.iter().map(|s| s.0).collect();
    starts.sort_unstable();
    starts.dedup();
    let within = |span: &(i32, i32)| -> Vec<usize> {
        let at = |(_, t): &(usize, &i32)| span.0 <= **t && **t < span.1.max(span.0 + 1);
        starts.iter().enumerate().filter(at).map(|(i, _)| i).collect()
    };
    let wares = case.stock.len();
    let stock: Vec<i64> = case.stock.iter().map(|n| i64::from(*n)).collect();
    let mut search = Search {
        case,
        aim,
        times: case.spans.iter().map(within).collect(),
        wares,
        prices: vec![0; starts.len() * wares],
        order: Vec::new(),
        left: stock.repeat(starts.len()),
        chosen: vec![None; count],
        decided: vec![false; count],
        best: None,
        nodes: 0,
        limit,
    };
    search.find_prices();
    search.order = (0..count).map(|dish| search.in_order(dish)).collect();
    search.go(0, 0);
    let proved = search.nodes <= limit;
    let chosen = search.best.map_or_else(|| vec![None; count], |best| best.1);
    (Found { chosen, proved }, search.nodes)
}

impl Search<'_> {
    fn cost(&self, pattern: &Pattern) -> i64 {
        match self.aim {
            Aim::Most => 0,
            Aim::Cheapest => pattern.cost,
        }
    }

    /// What going without costs, where that is allowed.
    fn without(&self) -> Option<i64> {
        (self.aim == Aim::Most).then_some(WITHOUT)
    }

    /// The cost of a pattern with the prices of what it takes.
    fn priced(&self, dish: usize, pattern: &Pattern) -> i64 {
        let mut cost = self.cost(pattern);
        for &time in self.times.get(dish).map_or(&[][..], Vec::as_slice) {
            for &(ware, n) in &pattern.uses {
                let price = self.prices.get(time * self.wares + ware).copied().unwrap_or(0);
                cost += price * i64::from(n);
            }
        }
        cost
    }

    /// Is all that it takes left?
    fn fits(&self, dish: usize, pattern: &Pattern) -> bool {
        self.times.get(dish).into_iter().flatten().all(|&time| {
            pattern.uses.iter().all(|&(ware, n)| {
                self.left.get(time * self.wares + ware).is_some_and(|left| *left >= i64::from(n))
            })
        })
    }

    fn take(&mut self, dish: usize, pattern: &Pattern, sign: i64) {
        for &time in self.times.get(dish).map_or(&[][..], Vec::as_slice) {
            for &(ware, n) in &pattern.uses {
                if let Some(left) = self.left.get_mut(time * self.wares + ware) {
                    *left -= sign * i64::from(n);
                }
            }
        }
    }

    /// The patterns of a dish at the prices as they are, the cheapest first.
    fn in_order(&self, dish: usize) -> Vec<(i64, usize)> {
        let patterns = self.case.patterns.get(dish).copied().unwrap_or_default();
        let mut order: Vec<(i64, usize)> =
            patterns.iter().enumerate().map(|(at, p)| (self.priced(dish, p), at)).collect();
        order.sort_unstable();
        order
    }

    /// The cheaper of a pattern and of going without. Nothing if it may not go without.
    fn or_without(&self, pattern: Option<(i64, usize)>) -> Option<(i64, Option<usize>)> {
        let with = pattern.map(|(cost, at)| (cost, Some(at)));
        match (with, self.without()) {
            (Some(with), Some(without)) if without < with.0 => Some((without, None)),
            (None, Some(without)) => Some((without, None)),
            (with, _) => with,
        }
    }

    /// The patterns of a dish that are still to be had, the cheapest first.
    fn open(&self, dish: usize) -> impl Iterator<Item = (i64, usize)> {
        let order = self.order.get(dish).map_or(&[][..], Vec::as_slice);
        order.iter().copied().filter(move |&(_, at)| {
            self.case.pattern(dish, at).is_some_and(|pattern| self.fits(dish, pattern))
        })
    }

    /// Raises the price of what is asked for too often and lowers that of what
    /// is not, by less and less, and keeps the prices with the highest bound.
    fn find_prices(&mut self) {
        let dishes = self.case.patterns.len();
        if self.aim == Aim::Most {
            self.price_the_busiest();
        }
        let mut best = (i64::MIN, self.prices.clone());
        let mut step = match self.aim {
            Aim::Most => WITHOUT / 2,
            Aim::Cheapest => 512,
        };
        let mut since = 0;
        for _ in 0..PRICE_STEPS {
            let mut over: Vec<i64> = self.left.iter().map(|n| -n).collect();
            let mut bound = -self.prices.iter().zip(&self.left).map(|(p, n)| p * n).sum::<i64>();
            for dish in 0..dishes {
                // A dish that nothing holds has no say in the prices.
                let patterns = self.case.patterns.get(dish).copied().unwrap_or_default();
                let priced = patterns.iter().enumerate();
                let least = priced.map(|(at, p)| (self.priced(dish, p), at)).min();
                let Some((cost, at)) = self.or_without(least) else { continue };
                bound += cost;
                let pattern = at.and_then(|at| self.case.pattern(dish, at));
                for &time in self.times.get(dish).map_or(&[][..], Vec::as_slice) {
                    for &(ware, n) in pattern.map_or(&[][..], |p| &p.uses) {
                        if let Some(over) = over.get_mut(time * self.wares + ware) {
                            *over += i64::from(n);
                        }
                    }
                }
            }
            if bound > best.0 {
                best = (bound, self.prices.clone());
                since = 0;
            } else {
                since += 1;
                if since >= 4 {
                    (step, since) = ((step / 2).max(1), 0);
                }
            }
            for (price, over) in self.prices.iter_mut().zip(&over) {
                *price = (*price + step * over).max(0);
            }
        }
        self.prices = best.1;
    }

    /// Begins at the time at which most dishes take something: there each piece is worth a dish. Where any piece
    /// does for any dish that is exact at once; from nothing the walk would not always come there.
    fn price_the_busiest(&mut self) {
        let dishes = |time: usize| self.times.iter().filter(|t| t.contains(&time)).count();
        let times = 0..self.prices.len().checked_div(self.wares).unwrap_or(0);
        let Some(busiest) = times.max_by_key(|&time| dishes(time)) else { return };
        let there = self.prices.iter_mut().skip(busiest * self.wares).take(self.wares);
        there.for_each(|price| *price = WITHOUT);
    }

    /// Decides one more dish; `spent` is the cost so far.
    fn go(&mut self, depth: usize, spent: i64) {
        self.nodes += 1;
        if self.nodes > self.limit {
            return;
        }
        let dishes = self.case.patterns.len();
        if depth == dishes {
            if self.best.as_ref().is_none_or(|b| spent < b.0) {
                self.best = Some((spent, self.chosen.clone()));
            }
            return;
        }
        let Some((bound, next)) = self.look(spent) else { return };
        if self.best.as_ref().is_some_and(|b| self.rounded(bound) >= b.0) {
            return;
        }
        let choices: Vec<(i64, usize)> = self.open(next).collect();
        self.decide(next, true);
        for (_, at) in choices {
            let Some(pattern) = self.case.pattern(next, at) else { continue };
            self.take(next, pattern, 1);
            self.set(next, Some(at));
            self.go(depth + 1, spent + self.cost(pattern));
            self.set(next, None);
            self.take(next, pattern, -1);
        }
        if let Some(cost) = self.without() {
            self.go(depth + 1, spent + cost);
        }
        self.decide(next, false);
    }

    fn decide(&mut self, dish: usize, is: bool) {
        if let Some(decided) = self.decided.get_mut(dish) {
            *decided = is;
        }
    }

    fn set(&mut self, dish: usize, at: Option<usize>) {
        if let Some(chosen) = self.chosen.get_mut(dish) {
            *chosen = at;
        }
    }

    /// A bound for all that can come of here, and the dish to decide next;
    /// nothing if a dish has no choice left.
    fn look(&self, spent: i64) -> Option<(i64, usize)> {
        let mut bound = spent - self.prices.iter().zip(&self.left).map(|(p, n)| p * n).sum::<i64>();
        let mut next: Option<(usize, usize)> = None;
        let undecided = self.decided.iter().enumerate().filter(|(_, is)| !**is);
        for (dish, _) in undecided {
            let mut open = self.open(dish).take(CHOICES);
            let least = open.next();
            bound += self.or_without(least)?.0;
            let count = usize::from(least.is_some()) + open.count();
            if next.is_none_or(|n| (count, dish) < n) {
                next = Some((count, dish));
            }
        }
        next.map(|n| (bound, n.1))
    }

    /// How many dishes go without is a whole number.
    fn rounded(&self, bound: i64) -> i64 {
        match self.aim {
            Aim::Most => (bound + WITHOUT - 1).div_euclid(WITHOUT) * WITHOUT,
            Aim::Cheapest => bound,
        }
    }
}

#[cfg(test)]
#[path = "search_tests.rs"]
mod tests;
