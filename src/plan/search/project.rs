//! Problems without dishes whose cost is their last end: projects and job
//! shops, as published benchmark sets have them. The same model and answer,
//! another search: activity after activity at its earliest place, forward and
//! backward, and for machines that do one thing at a time a tabu search over
//! their orders.

mod serial;
mod shop;

use super::model::Model;
use super::rng::Rng;
use super::windows;
use serial::Serial;
use shop::Shop;

/// Matrices of more activities than this are not worth their time here.
const MOST_ACTIVITIES: usize = 400;
/// No path from one activity to another.
pub(super) const FAR: i32 = i32::MIN / 4;

/// Activities, what they take, and least minutes from start to start.
#[derive(Debug, Clone)]
pub struct Project {
    /// Number of activities.
    pub n: usize,
    /// Minutes searched.
    pub h: i32,
    /// Minutes of each.
    pub minutes: Vec<i32>,
    /// `(resource, amount)` of each.
    pub uses: Vec<Vec<(usize, i32)>>,
    /// What each resource has at each minute.
    pub room: Vec<Vec<i32>>,
    /// Longest paths: least minutes from the start of one to that of another.
    pub path: Vec<Vec<i32>>,
    /// Earliest starts.
    pub early: Vec<i32>,
    /// Latest starts.
    pub late: Vec<i32>,
    /// There are most lags, not only least ones.
    pub tight: bool,
}

impl Project {
    /// The project in a problem, if that is all there is to it.
    pub fn of(m: &Model) -> Option<Self> {
        let p = &m.p;
        let n = p.tasks.len();
        let plain_step = |s: &crate::plan::problem::Step| {
            s.modes.len() == 1
                && s.modes[0].loads == 1
                && s.modes[0].oven.is_none()
                && s.modes[0].hands.is_empty()
        };
        let plain = p.dishes.is_empty()
            && p.finish_price > 0
            && p.stays.is_empty()
            && p.links.is_empty()
            && p.anchors.is_empty()
            && n <= MOST_ACTIVITIES
            && p.tasks.iter().all(|t| t.fixed.is_none())
            && p.steps.iter().all(plain_step)
            && p.lags.iter().all(|l| l.soft_most.is_none() && l.best.is_none());
        if !plain || n == 0 {
            return None;
        }
        let mode = |t: usize| &p.steps[p.tasks[t].step].modes[0];
        let mut room: Vec<Vec<i32>> = Vec::new();
        for r in &p.resources {
            let mut left = vec![r.capacity.max(0); m.h as usize];
            for &(from, to) in &r.closed {
                let (from, to) = (from.clamp(0, m.h), to.clamp(0, m.h));
                left[from as usize..to.max(from) as usize].fill(0);
            }
            room.push(left);
        }
        let (early, late) = windows::start_windows(m);
        let mut project = Self {
            n,
            h: m.h,
            minutes: (0..n).map(|t| mode(t).minutes).collect(),
            uses: (0..n)
                .map(|t| mode(t).uses.iter().map(|u| (u.resource, u.amount)).collect())
                .collect(),
            room,
            path: vec![vec![FAR; n]; n],
            early,
            late,
            tight: false,
        };
        project.find_paths(&windows::arcs(m));
        Some(project)
    }

    fn find_paths(&mut self, arcs: &[windows::Arc]) {
        for i in 0..self.n {
            self.path[i][i] = 0;
        }
        for arc in arcs {
            let slot = &mut self.path[arc.from][arc.to];
            *slot = (*slot).max(arc.least);
        }
        for k in 0..self.n {
            let through = self.path[k].clone();
            for row in &mut self.path {
                let to_k = row[k];
                if to_k > FAR {
                    for (slot, &more) in row.iter_mut().zip(&through) {
                        if more > FAR {
                            *slot = (*slot).max((to_k + more).min(1 << 27));
                        }
                    }
                }
            }
        }
        for j in 0..self.n {
            for i in 0..self.n {
                if self.path[i][j] > FAR {
                    self.early[j] =
                        self.early[j].max((self.early[i] + self.path[i][j]).min(1 << 27));
                    self.tight |= i != j && self.path[i][j] < 0;
                }
            }
        }
    }

    /// Do the lags ask each other for ever more minutes?
    pub fn circle(&self) -> bool {
        (0..self.n).any(|i| self.path[i][i] > 0)
    }

    /// The last end of a schedule.
    pub fn end(&self, starts: &[i32]) -> i32 {
        starts.iter().zip(&self.minutes).map(|(s, m)| s + m).max().unwrap_or(0)
    }

    /// The longest run of minutes from the start of each to the end of all.
    pub fn tails(&self) -> Vec<i32> {
        let tail = |i: usize| {
            let run = |j: usize| self.path[i][j].saturating_add(self.minutes[j]);
            (0..self.n).filter(|&j| self.path[i][j] > FAR).map(run).max().unwrap_or(0)
        };
        (0..self.n).map(tail).collect()
    }

    /// A minute before which nothing can be at its end: the longest path, and
    /// for each resource its work between the heads and tails of what needs it.
    pub fn bound(&self) -> i32 {
        let tails = self.tails();
        let mut bound = (0..self.n).map(|i| self.early[i] + tails[i]).max().unwrap_or(0);
        for r in 0..self.room.len() {
            bound = bound.max(self.energy(r, &tails));
        }
        bound
    }

    /// For each head and tail: work that lies behind the one and before the other.
    fn energy(&self, r: usize, tails: &[i32]) -> i32 {
        let most = self.room[r].iter().copied().max().unwrap_or(0);
        if most <= 0 {
            return 0;
        }
        // (head, minutes after the end, work)
        let mut jobs: Vec<(i32, i32, i64)> = Vec::new();
        for (i, &tail) in tails.iter().enumerate() {
            for &(resource, amount) in &self.uses[i] {
                if resource == r {
                    let work = i64::from(amount) * i64::from(self.minutes[i]);
                    jobs.push((self.early[i], tail - self.minutes[i], work));
                }
            }
        }
        let mut bound = 0;
        let heads: Vec<i32> = jobs.iter().map(|j| j.0).collect();
        jobs.sort_unstable_by_key(|j| std::cmp::Reverse(j.1));
        for head in heads {
            let mut work = 0i64;
            for j in jobs.iter().filter(|j| j.0 >= head) {
                work += j.2;
                let minutes = (work + i64::from(most) - 1) / i64::from(most);
                bound = bound.max(i64::from(head) + minutes + i64::from(j.1));
            }
        }
        bound.min(i64::from(i32::MAX)) as i32
    }
}

/// The search over a project.
pub struct Searcher<'a> {
    project: &'a Project,
    serial: Serial<'a>,
    shop: Option<Shop<'a>>,
    best: Option<(i32, Vec<i32>)>,
    rounds: u64,
    rng: Rng,
}

impl<'a> Searcher<'a> {
    /// Ready to search.
    pub fn new(project: &'a Project, rng: Rng) -> Self {
        Self { project, serial: Serial::new(project), shop: None, best: None, rounds: 0, rng }
    }

    /// The last end of these starts.
    pub fn end(&self, starts: &[i32]) -> i32 {
        self.project.end(starts)
    }

    /// One round; the starts if they are the best so far.
    pub fn round(&mut self) -> Option<Vec<i32>> {
        self.rounds += 1;
        let starts = match &mut self.shop {
            Some(shop) if self.rounds > 20 => shop.round(&mut self.rng)?,
            _ => self.serial.round(&mut self.rng)?,
        };
        let end = self.project.end(&starts);
        if self.best.as_ref().is_some_and(|b| b.0 <= end) {
            return None;
        }
        self.best = Some((end, starts.clone()));
        if self.rounds == 1 || self.shop.is_some() && self.rounds <= 20 {
            self.shop = Shop::new(self.project, &starts);
        }
        Some(starts)
    }
}

#[cfg(test)]
mod tests;
