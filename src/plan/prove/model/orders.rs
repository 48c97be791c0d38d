//! Two that cannot use a resource at once: one comes before the other. Said
//! once for each pair, whatever they share.

use std::collections::BTreeMap;

use super::super::engine::{Expr, Item, Lit};
use super::{Model, Pair};

/// Most pairs for which this is said; beyond, the resources alone see to it.
const MOST_PAIRS: usize = 12_000;

impl Model<'_> {
    pub(super) fn orders(&mut self) {
        let mut known: BTreeMap<(Expr2, Expr2), Lit> = BTreeMap::new();
        let mut pairs = 0;
        for r in 0..self.items.len() {
            let capacity = self.p.resources[r].capacity;
            let items = self.items[r].clone();
            for (i, a) in items.iter().enumerate() {
                for b in &items[i + 1..] {
                    if a.amount + b.amount <= capacity
                        || a.start.var == b.start.var
                        || pairs >= MOST_PAIRS
                    {
                        continue;
                    }
                    if !self.lasts(a) || !self.lasts(b) || self.apart(a, b) {
                        continue;
                    }
                    pairs += 1;
                    self.order(a, b, &mut known);
                }
            }
        }
    }

    /// Does it always take some time?
    fn lasts(&self, item: &Item) -> bool {
        item.length().is_some_and(|l| l > 0)
            || self.engine.lowest(item.end) > self.engine.highest(item.start)
    }

    fn apart(&self, a: &Item, b: &Item) -> bool {
        let e = &self.engine;
        e.highest(a.end) <= e.lowest(b.start) || e.highest(b.end) <= e.lowest(a.start)
    }

    fn order(&mut self, a: &Item, b: &Item, known: &mut BTreeMap<(Expr2, Expr2), Lit>) {
        let key = |i: &Item| Expr2::of(i.start, i.end);
        let (a, b) = if key(a) <= key(b) { (a, b) } else { (b, a) };
        let first = match known.get(&(key(a), key(b))) {
            Some(&lit) => lit,
            None => {
                let lit = self.engine.yes_or_no();
                known.insert((key(a), key(b)), lit);
                let (one, other) = ((a.start, a.end), (b.start, b.end));
                self.pairs.push(Pair { one, other, first: lit });
                lit
            }
        };
        let mut when: Vec<Lit> = a.present.into_iter().chain(b.present).collect();
        when.push(first);
        self.engine.difference(&when, a.end, 0, b.start);
        if let Some(last) = when.last_mut() {
            *last = first.not();
        }
        self.engine.difference(&when, b.end, 0, a.start);
    }
}

/// Two expressions, to compare.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Expr2(u32, i32, u32, i32);

impl Expr2 {
    fn of(a: Expr, b: Expr) -> Self {
        Self(a.var.index() as u32, a.add, b.var.index() as u32, b.add)
    }
}
