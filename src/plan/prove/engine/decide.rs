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

    /// A beginning: variables with more weight come first.
    pub fn set(&mut self, base: usize, weight: f64) {
        self.activity[base] = weight;
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
