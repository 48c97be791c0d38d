//! Machines that do one thing at a time: tabu search over the order on each
//! machine, exchanging neighbours at the ends of critical blocks (Nowicki &
//! Smutnicki, Management Science 42, 1996).

use super::super::rng::Rng;
use super::{FAR, Project};

/// Rounds without a better one before the search goes back to the best.
const PATIENCE: u32 = 8000;

/// A set of orders and where it leads.
#[derive(Debug, Clone)]
pub struct Shop<'a> {
    p: &'a Project,
    /// Direct predecessors and successors by lags: `(other, least)`.
    before: Vec<Vec<(usize, i32)>>,
    after: Vec<Vec<(usize, i32)>>,
    /// Machine of each activity, if it needs one.
    machine: Vec<Option<usize>>,
    order: Vec<Vec<usize>>,
    place: Vec<usize>,
    heads: Vec<i32>,
    queue: Vec<usize>,
    waits: Vec<u32>,
    tabu: Vec<u64>,
    round: u64,
    idle: u32,
    best: (i32, Vec<Vec<usize>>),
}

impl<'a> Shop<'a> {
    /// A shop, if the project is one: no most lags, no closed minutes, and
    /// each activity needs one machine at most, whole.
    pub fn new(p: &'a Project, starts: &[i32]) -> Option<Self> {
        if p.tight || p.early.iter().zip(&p.late).any(|(&e, &l)| e > l) {
            return None;
        }
        let whole =
            |r: usize, amount: i32| p.room[r].iter().all(|&c| c == p.room[r][0] && 2 * amount > c);
        let single = |uses: &Vec<(usize, i32)>| {
            uses.len() <= 1 && uses.iter().all(|&(r, amount)| whole(r, amount))
        };
        if p.h == 0 || !p.uses.iter().all(single) || p.uses.iter().all(Vec::is_empty) {
            return None;
        }
        let n = p.n;
        let machine: Vec<Option<usize>> = p.uses.iter().map(|u| u.first().map(|u| u.0)).collect();
        let mut order = vec![Vec::new(); p.room.len()];
        let mut all: Vec<usize> = (0..n).filter(|&i| p.minutes[i] > 0).collect();
        all.sort_by_key(|&i| (starts[i], i));
        for &i in &all {
            if let Some(r) = machine[i] {
                order[r].push(i);
            }
        }
        let mut before = vec![Vec::new(); n];
        let mut after = vec![Vec::new(); n];
        for (i, follow) in after.iter_mut().enumerate() {
            for j in (0..n).filter(|&j| j != i && p.path[i][j] > FAR) {
                let least = p.path[i][j];
                let by_others = |k: usize| {
                    k != i
                        && k != j
                        && p.path[i][k] > FAR
                        && p.path[k][j] > FAR
                        && p.path[i][k] + p.path[k][j] >= least
                };
                if !(0..n).any(by_others) {
                    follow.push((j, least));
                    before[j].push((i, least));
                }
            }
        }
        let mut shop = Self {
            p,
            before,
            after,
            machine: (0..n).map(|i| machine[i].filter(|_| p.minutes[i] > 0)).collect(),
            best: (i32::MAX, order.clone()),
            order,
            place: vec![0; n],
            heads: vec![0; n],
            queue: Vec::with_capacity(n),
            waits: vec![0; n],
            tabu: vec![0; n * n],
            round: 0,
            idle: 0,
        };
        shop.index();
        let end = shop.heads_and_end()?;
        shop.best = (end, shop.order.clone());
        Some(shop)
    }

    fn index(&mut self) {
        for line in &self.order {
            for (at, &i) in line.iter().enumerate() {
                self.place[i] = at;
            }
        }
    }

    fn machine_neighbour(&self, i: usize, step: isize) -> Option<usize> {
        let line = &self.order[self.machine[i]?];
        self.place[i].checked_add_signed(step).and_then(|at| line.get(at).copied())
    }

    /// Heads of all activities in the present orders, and the last end. None
    /// if the orders run in a circle.
    fn heads_and_end(&mut self) -> Option<i32> {
        let n = self.p.n;
        self.queue.clear();
        for i in 0..n {
            let machine = u32::from(self.machine[i].is_some() && self.place[i] > 0);
            self.waits[i] = self.before[i].len() as u32 + machine;
            self.heads[i] = self.p.early[i];
            if self.waits[i] == 0 {
                self.queue.push(i);
            }
        }
        let mut next = 0;
        let mut end = 0;
        while next < self.queue.len() {
            let i = self.queue[next];
            next += 1;
            let head = self.heads[i];
            end = end.max(head + self.p.minutes[i]);
            for &(j, least) in &self.after[i] {
                self.heads[j] = self.heads[j].max(head + least);
                self.waits[j] -= 1;
                if self.waits[j] == 0 {
                    self.queue.push(j);
                }
            }
            if let Some(j) = self.machine_neighbour(i, 1) {
                self.heads[j] = self.heads[j].max(head + self.p.minutes[i]);
                self.waits[j] -= 1;
                if self.waits[j] == 0 {
                    self.queue.push(j);
                }
            }
        }
        (next == n).then_some(end)
    }

    /// A critical path, from its last activity to its first; heads must be fresh.
    fn critical(&self, end: i32, rng: &mut Rng) -> Vec<usize> {
        let last: Vec<usize> =
            (0..self.p.n).filter(|&i| self.heads[i] + self.p.minutes[i] == end).collect();
        let mut path = Vec::new();
        let mut at = last.get(rng.below(last.len())).copied();
        while let Some(i) = at {
            path.push(i);
            let machine = self
                .machine_neighbour(i, -1)
                .filter(|&j| self.heads[j] + self.p.minutes[j] == self.heads[i]);
            let job = self.before[i]
                .iter()
                .find(|&&(j, least)| self.heads[j] + least == self.heads[i])
                .map(|b| b.0);
            at = match (machine, job) {
                (Some(a), Some(b)) => Some(if rng.below(2) == 0 { a } else { b }),
                (a, b) => a.or(b),
            };
            if path.len() > self.p.n {
                break;
            }
        }
        path.reverse();
        path
    }

    /// Neighbours on a machine at the ends of blocks of a critical path.
    fn moves(&self, path: &[usize]) -> Vec<(usize, usize)> {
        let mut moves = Vec::new();
        let with_machine: Vec<usize> =
            path.iter().copied().filter(|&i| self.machine[i].is_some()).collect();
        let same = |a: &usize, b: &usize| self.machine[*a] == self.machine[*b];
        let blocks: Vec<&[usize]> = with_machine.chunk_by(same).collect();
        for (b, block) in blocks.iter().enumerate() {
            let len = block.len();
            if len < 2 {
                continue;
            }
            if b > 0 {
                moves.push((block[0], block[1]));
            }
            if b + 1 < blocks.len() && (len > 2 || b == 0) {
                moves.push((block[len - 2], block[len - 1]));
            }
        }
        moves.retain(|&(a, b)| self.machine_neighbour(a, 1) == Some(b));
        moves
    }

    fn swap(&mut self, a: usize, b: usize) {
        if let Some(r) = self.machine[a] {
            let (x, y) = (self.place[a], self.place[b]);
            self.order[r].swap(x, y);
            (self.place[a], self.place[b]) = (y, x);
        }
    }

    /// One exchange; the starts if they are the best so far.
    pub fn round(&mut self, rng: &mut Rng) -> Option<Vec<i32>> {
        self.round += 1;
        let end = self.heads_and_end()?;
        let path = self.critical(end, rng);
        let moves = self.moves(&path);
        let mut chosen: Option<(i32, usize, usize)> = None;
        for &(a, b) in &moves {
            self.swap(a, b);
            let reached = self.heads_and_end();
            self.swap(b, a);
            let Some(reached) = reached else { continue };
            let banned = self.tabu[b * self.p.n + a] > self.round;
            if banned && reached >= self.best.0 {
                continue;
            }
            let noisy = (reached, rng.below(1 << 16));
            if chosen.is_none_or(|c| noisy.0 < c.0 || noisy.0 == c.0 && noisy.1 & 1 == 0) {
                chosen = Some((reached, a, b));
            }
        }
        let pick = chosen.or_else(|| {
            let (a, b) = *moves.get(rng.below(moves.len()))?;
            Some((i32::MAX, a, b))
        });
        let (_, a, b) = pick?;
        self.swap(a, b);
        // The reverse exchange is barred for a while.
        self.tabu[a * self.p.n + b] = self.round + 8 + rng.below(8) as u64;
        let Some(end) = self.heads_and_end() else {
            self.swap(b, a);
            return None;
        };
        if end < self.best.0 {
            self.best = (end, self.order.clone());
            self.idle = 0;
            return Some(self.heads.clone());
        }
        self.idle += 1;
        if self.idle > PATIENCE {
            self.restart(rng);
        }
        None
    }

    /// Back to the best, with some neighbours exchanged.
    fn restart(&mut self, rng: &mut Rng) {
        self.idle = 0;
        self.order.clone_from(&self.best.1);
        self.index();
        for _ in 0..3 + rng.below(10) {
            let Some(end) = self.heads_and_end() else { return };
            let path = self.critical(end, rng);
            let moves = self.moves(&path);
            if let Some(&(a, b)) = moves.get(rng.below(moves.len())) {
                self.swap(a, b);
                if self.heads_and_end().is_none() {
                    self.swap(b, a);
                }
            }
        }
    }
}
