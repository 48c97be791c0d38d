//! Activity after activity at its earliest place, in an order that is varied.
//!
//! With least lags alone the schedule is then pushed to the right and to the
//! left again (forward-backward improvement: Li & Willis, EJOR 56, 1992). With
//! most lags an activity that comes too late for one that stands sends that
//! one and what came after it back to be placed later (unscheduling: Franck,
//! Neumann & Schwindt, OR Spektrum 23, 2001).

use super::super::rng::Rng;
use super::{FAR, Project};

/// How often activities may be sent back in one schedule, for each of them.
const MOST_BACK: usize = 12;

/// Makes schedules.
#[derive(Debug, Clone)]
pub struct Serial<'a> {
    p: &'a Project,
    tails: Vec<i32>,
    /// Where the search stands: starts and their end.
    now: Option<(i32, Vec<i32>)>,
    best: i32,
    left: Vec<Vec<i32>>,
    /// For each activity those that wait for it, and for how many it waits itself.
    after: Vec<Vec<usize>>,
    waits: Vec<usize>,
    round: u64,
}

impl<'a> Serial<'a> {
    /// For a project.
    pub fn new(p: &'a Project) -> Self {
        let before = |j: usize, i: usize| {
            j != i
                && p.path[j][i] > FAR
                && (p.path[j][i] > 0 || p.path[j][i] == 0 && p.path[i][j] <= FAR)
        };
        let all = 0..p.n;
        let after: Vec<Vec<usize>> =
            all.clone().map(|j| all.clone().filter(|&i| before(j, i)).collect()).collect();
        let waits = all.clone().map(|i| all.clone().filter(|&j| before(j, i)).count()).collect();
        let (left, tails) = (p.room.clone(), p.tails());
        Self { p, tails, now: None, best: i32::MAX, left, after, waits, round: 0 }
    }

    /// Makes another schedule.
    pub fn round(&mut self, rng: &mut Rng) -> Option<Vec<i32>> {
        self.round += 1;
        let keys = self.keys(rng);
        let mut starts = self.forward(&keys, None)?;
        if !self.p.tight {
            starts = self.improve(starts);
        }
        let end = self.p.end(&starts);
        let bold = i32::from(rng.below(20) == 0);
        if self.now.as_ref().is_none_or(|now| end <= now.0.saturating_add(bold)) {
            self.now = Some((end, starts.clone()));
        }
        self.best = self.best.min(end);
        Some(starts)
    }

    /// The order in which activities are placed: low keys first.
    fn keys(&self, rng: &mut Rng) -> Vec<i32> {
        let n = self.p.n;
        let slack = |i: usize| -self.tails[i];
        match (&self.now, self.round) {
            (_, 1) => (0..n).map(slack).collect(),
            (None, _) | (_, 2..=6) => {
                let room = 2 + self.tails.iter().copied().max().unwrap_or(0) / 4;
                (0..n).map(|i| slack(i) + rng.below(room as usize) as i32).collect()
            }
            (Some((end, starts)), _) => self.vary(*end, starts, rng),
        }
    }

    /// Mixes the order of a stretch, or of a few activities, or of all a little.
    fn vary(&self, end: i32, starts: &[i32], rng: &mut Rng) -> Vec<i32> {
        let mut keys: Vec<i32> = starts.iter().map(|s| s * 8).collect();
        let n = self.p.n;
        match rng.below(3) {
            0 => {
                let width = 1 + rng.below(1 + (end as usize) / 3) as i32;
                let from = rng.below(end.max(1) as usize) as i32 - width / 2;
                for (key, &s) in keys.iter_mut().zip(starts) {
                    if s >= from && s < from + width {
                        *key = from * 8 + rng.below((width * 8) as usize) as i32;
                    }
                }
            }
            1 => {
                for _ in 0..1 + rng.below(4) {
                    let i = rng.below(n);
                    keys[i] += rng.below(end.max(1) as usize * 4) as i32 - end * 2;
                }
            }
            _ => {
                let room = 1 + rng.below(1 + end as usize);
                for key in &mut keys {
                    *key += rng.below(room) as i32;
                }
            }
        }
        keys
    }

    /// Right against the end, then left again, while that helps.
    fn improve(&mut self, mut starts: Vec<i32>) -> Vec<i32> {
        for _ in 0..4 {
            let end = self.p.end(&starts);
            let Some(right) = self.backward(&starts, end) else { break };
            let keys = right.clone();
            let Some(left) = self.forward(&keys, None) else { break };
            let better = self.p.end(&left) < end;
            if self.p.end(&left) <= end {
                starts = left;
            }
            if !better {
                break;
            }
        }
        starts
    }

    fn clear(&mut self) {
        for (left, room) in self.left.iter_mut().zip(&self.p.room) {
            left.copy_from_slice(room);
        }
    }

    fn take(&mut self, i: usize, start: i32, sign: i32) {
        for &(r, amount) in &self.p.uses[i] {
            let (from, to) = (start as usize, (start + self.p.minutes[i]) as usize);
            for left in &mut self.left[r][from..to] {
                *left -= sign * amount;
            }
        }
    }

    /// The first start from `from` on at which an activity fits.
    fn fit(&self, i: usize, from: i32) -> Option<i32> {
        let minutes = self.p.minutes[i];
        let mut start = from;
        'again: while start + minutes <= self.p.h {
            for &(r, amount) in &self.p.uses[i] {
                let stretch = &self.left[r][start as usize..(start + minutes) as usize];
                if let Some(at) = stretch.iter().rposition(|&left| left < amount) {
                    start += at as i32 + 1;
                    continue 'again;
                }
            }
            return Some(start);
        }
        None
    }

    /// The last start up to `from` at which an activity fits.
    fn fit_back(&self, i: usize, from: i32) -> Option<i32> {
        let minutes = self.p.minutes[i];
        let mut start = from;
        'again: while start >= 0 {
            for &(r, amount) in &self.p.uses[i] {
                let stretch = &self.left[r][start as usize..(start + minutes) as usize];
                if let Some(at) = stretch.iter().position(|&left| left < amount) {
                    start += at as i32 - minutes;
                    continue 'again;
                }
            }
            return Some(start);
        }
        None
    }

    /// Earliest places in the order of the keys, those before others first.
    fn forward(&mut self, keys: &[i32], limit: Option<i32>) -> Option<Vec<i32>> {
        let n = self.p.n;
        self.clear();
        let mut starts = vec![FAR; n];
        let mut least = self.p.early.clone();
        // How many that each waits for do not stand yet.
        let mut open = self.waits.clone();
        let mut ready: Vec<usize> = (0..n).filter(|&i| open[i] == 0).collect();
        let mut back = n * MOST_BACK;
        let mut placed = 0;
        while placed < n {
            let first = (0..ready.len()).min_by_key(|&r| (keys[ready[r]], ready[r]))?;
            let i = ready[first];
            let mut from = least[i].max(0);
            let mut until = self.p.late[i].min(limit.unwrap_or(i32::MAX));
            for j in (0..n).filter(|&j| starts[j] > FAR) {
                if self.p.path[j][i] > FAR {
                    from = from.max(starts[j] + self.p.path[j][i]);
                }
                if self.p.path[i][j] > FAR {
                    until = until.min(starts[j] - self.p.path[i][j]);
                }
            }
            let start = self.fit(i, from)?;
            if start <= until {
                self.take(i, start, 1);
                starts[i] = start;
                ready.swap_remove(first);
                for &k in &self.after[i] {
                    open[k] -= 1;
                    if open[k] == 0 {
                        ready.push(k);
                    }
                }
                placed += 1;
                continue;
            }
            let sent = self.send_back(i, start, &mut starts, &mut least, &mut back)?;
            sent.iter().flat_map(|&j| &self.after[j]).for_each(|&k| open[k] += 1);
            placed -= sent.len();
            ready = (0..n).filter(|&i| starts[i] <= FAR && open[i] == 0).collect();
        }
        Some(starts)
    }

    /// Sends back what stands too early for activity `i` at its earliest place; which that were.
    fn send_back(
        &mut self,
        i: usize,
        start: i32,
        starts: &mut [i32],
        least: &mut [i32],
        back: &mut usize,
    ) -> Option<Vec<usize>> {
        let mut first = i32::MAX;
        for j in 0..self.p.n {
            if starts[j] > FAR && self.p.path[i][j] > FAR && start + self.p.path[i][j] > starts[j] {
                first = first.min(starts[j]);
                least[j] = start + self.p.path[i][j];
            }
        }
        if first == i32::MAX || *back == 0 {
            return None;
        }
        *back -= 1;
        let mut sent = Vec::new();
        for j in 0..self.p.n {
            if starts[j] > FAR && (starts[j] > first || least[j] > starts[j]) {
                self.take(j, starts[j], -1);
                starts[j] = FAR;
                sent.push(j);
            }
        }
        Some(sent)
    }

    /// Latest places before an end, in falling order of ends.
    fn backward(&mut self, starts: &[i32], end: i32) -> Option<Vec<i32>> {
        let n = self.p.n;
        self.clear();
        let mut order: Vec<usize> = (0..n).collect();
        order.sort_by_key(|&i| std::cmp::Reverse((starts[i] + self.p.minutes[i], starts[i])));
        let mut right = vec![FAR; n];
        for &i in &order {
            let mut until = (end - self.p.minutes[i]).min(self.p.late[i]);
            for j in (0..n).filter(|&j| j != i && self.p.path[i][j] > FAR && right[j] > FAR) {
                until = until.min(right[j] - self.p.path[i][j]);
            }
            let start = self.fit_back(i, until)?;
            self.take(i, start, 1);
            right[i] = start;
        }
        Some(right)
    }
}
