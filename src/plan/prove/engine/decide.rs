//! Which variable is tried next: the one that conflicts spoke of most (lately).

/// A heap of variables by activity.
#[derive(Debug, Default)]
pub struct Order {
    activity: Vec<f64>,
    bump: f64,
    heap: Vec<u32>,
    place: Vec<u32>,
}

const NOWHERE: u32 = u32::MAX;

impl Order {
    /// One more variable.
    pub fn grow(&mut self) {
        let base = self.activity.len();
        self.activity.push(0.0);
        self.place.push(NOWHERE);
        self.bump = self.bump.max(1.0);
        self.free(base);
    }

    /// It can be tried again.
    pub fn free(&mut self, base: usize) {
        if self.place[base] == NOWHERE {
            self.place[base] = self.heap.len() as u32;
            self.heap.push(base as u32);
            self.up(self.heap.len() - 1);
        }
    }

    /// Takes the first out.
    pub fn next(&mut self) -> Option<usize> {
        let first = *self.heap.first()?;
        let last = self.heap.pop()?;
        self.place[first as usize] = NOWHERE;
        if !self.heap.is_empty() {
            self.heap[0] = last;
            self.place[last as usize] = 0;
            self.down(0);
        }
        Some(first as usize)
    }

    /// It took part in a conflict.
    pub fn bump(&mut self, base: usize) {
        self.activity[base] += self.bump;
        if self.activity[base] > 1e100 {
            self.activity.iter_mut().for_each(|a| *a *= 1e-100);
            self.bump *= 1e-100;
        }
        if self.place[base] != NOWHERE {
            self.up(self.place[base] as usize);
        }
    }

    /// Older conflicts count for less.
    pub fn decay(&mut self) {
        self.bump /= 0.95;
    }

    /// A beginning: variables with more weight come first. It has this weight at the least.
    pub fn raise(&mut self, base: usize, weight: f64) {
        self.activity[base] = self.activity[base].max(weight);
        if self.place[base] != NOWHERE {
            self.up(self.place[base] as usize);
        }
    }

    fn before(&self, a: u32, b: u32) -> bool {
        let (x, y) = (self.activity[a as usize], self.activity[b as usize]);
        x > y || x == y && a < b
    }

    fn up(&mut self, mut i: usize) {
        let it = self.heap[i];
        while i > 0 {
            let parent = (i - 1) / 2;
            if !self.before(it, self.heap[parent]) {
                break;
            }
            self.heap[i] = self.heap[parent];
            self.place[self.heap[i] as usize] = i as u32;
            i = parent;
        }
        self.heap[i] = it;
        self.place[it as usize] = i as u32;
    }

    fn down(&mut self, mut i: usize) {
        let it = self.heap[i];
        loop {
            let mut child = 2 * i + 1;
            if child >= self.heap.len() {
                break;
            }
            if child + 1 < self.heap.len() && self.before(self.heap[child + 1], self.heap[child]) {
                child += 1;
            }
            if !self.before(self.heap[child], it) {
                break;
            }
            self.heap[i] = self.heap[child];
            self.place[self.heap[i] as usize] = i as u32;
            i = child;
        }
        self.heap[i] = it;
        self.place[it as usize] = i as u32;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::search::rng::Rng;

    /// Against putting them in order: the weightiest first, of equal ones the first made.
    #[test]
    fn the_weightiest_comes_first() {
        for seed in 0..200 {
            let (mut order, r) = (Order::default(), &mut Rng::new(seed));
            let count = 1 + r.below(12);
            let mut weights = vec![0.0_f64; count];
            (0..count).for_each(|_| order.grow());
            let mut out: Vec<usize> = Vec::new();
            let mut bump = 1.0;
            for _ in 0..80 {
                let base = r.below(count);
                match r.below(6) {
                    0 => {
                        let weight = r.below(8) as f64;
                        weights[base] = weights[base].max(weight);
                        order.raise(base, weight);
                    }
                    1 => {
                        weights[base] += bump;
                        order.bump(base);
                    }
                    2 => {
                        bump /= 0.95;
                        order.decay();
                    }
                    3 => {
                        out.retain(|&b| b != base);
                        order.free(base);
                    }
                    _ => {
                        let left = (0..count).filter(|b| !out.contains(b));
                        let first =
                            left.max_by(|&a, &b| weights[a].total_cmp(&weights[b]).then(b.cmp(&a)));
                        assert_eq!(order.next(), first, "seed {seed}: {weights:?} but {out:?}");
                        out.extend(first);
                    }
                }
            }
        }
    }

    /// Where weights grow beyond all bounds they are made smaller together, in the same order.
    #[test]
    fn weights_may_grow_for_ever() {
        let mut order = Order::default();
        (0..3).for_each(|_| order.grow());
        for n in 0..20_000 {
            order.bump(if n < 19_999 { 1 } else { 2 });
            order.decay();
        }
        assert!(order.activity.iter().all(|a| a.is_finite()) && order.bump.is_finite());
        assert_eq!([order.next(), order.next(), order.next()], [Some(1), Some(2), Some(0)]);
        assert_eq!(order.next(), None);
    }
}
