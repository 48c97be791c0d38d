//! What lags and windows alone say, against trying every minute; and what hangs together.

use super::super::model::{Model, NONE};
use super::super::{begin, windows};
use super::{later, some};
use crate::plan::problem::{Lag, Limit, Point, Problem};

/// Every choice of modes and starts that keeps windows, lags and what holds of limits however long a dish waits.
struct Tried<'a> {
    p: &'a Problem,
    mode: Vec<usize>,
    start: Vec<i32>,
    /// First and last start of each task.
    ends: Vec<Option<(i32, i32)>>,
}

impl Tried<'_> {
    fn active(&self, t: usize) -> bool {
        let task = &self.p.tasks[t];
        task.load < self.p.steps[task.step].modes[self.mode[task.step]].loads
    }

    fn end(&self, t: usize) -> i32 {
        let task = &self.p.tasks[t];
        let minutes = self.p.steps[task.step].modes[self.mode[task.step]].minutes;
        task.fixed.map_or(self.start[t] + minutes, |f| f.end)
    }

    fn at(&self, q: Point) -> i32 {
        if q.end { self.end(q.task) } else { self.start[q.task] }
    }

    fn modes(&mut self, step: usize) {
        if step == self.p.steps.len() {
            return self.task(0);
        }
        let tasks = self.p.steps[step].tasks();
        let begun =
            tasks.filter(|&t| self.p.tasks[t].fixed.is_some()).map(|t| self.p.tasks[t].load + 1);
        let begun = begun.max().unwrap_or(0);
        for mode in 0..self.p.steps[step].modes.len() {
            if self.p.steps[step].modes[mode].loads >= begun {
                self.mode[step] = mode;
                self.modes(step + 1);
            }
        }
    }

    fn task(&mut self, t: usize) {
        if t == self.p.tasks.len() {
            if self.within_limits() {
                for t in 0..t {
                    let (at, done) = (self.start[t], self.active(t));
                    if done {
                        let ends = self.ends[t].get_or_insert((at, at));
                        *ends = (ends.0.min(at), ends.1.max(at));
                    }
                }
            }
            return;
        }
        let task = &self.p.tasks[t];
        if !self.active(t) {
            return self.task(t + 1);
        }
        let minutes = self.end(t) - self.start[t];
        let (from, to) = match task.fixed {
            Some(f) => (f.start, f.start),
            None => (task.earliest.max(self.p.start), task.latest.min(self.p.end - minutes)),
        };
        for at in from..=to {
            self.start[t] = at;
            let broken = self.p.lags.iter().filter(|l| l.from.task.max(l.to.task) == t).any(|l| {
                let gap = self.at(l.to) - self.at(l.from);
                self.active(l.from.task)
                    && self.active(l.to.task)
                    && (gap < l.least || gap > l.most && l.soft_most.is_none())
            });
            if !broken {
                self.task(t + 1);
            }
        }
    }

    fn within_limits(&self) -> bool {
        let kept = |limits: &[Limit], served: i32| {
            limits.iter().all(|l| {
                let hard = l.soft_most.is_none() && self.active(l.from.task);
                !hard || served - self.at(l.from) <= l.most
            })
        };
        self.p.dishes.iter().all(|d| {
            let ends = self.p.steps[d.last_step].tasks().filter(|&t| self.active(t));
            let served = ends.map(|t| self.end(t)).max().unwrap_or(d.due).max(d.due);
            let straight = d.held.is_none() && kept(&d.straight, served);
            let holds = d.holds.iter().enumerate();
            straight
                || holds
                    .filter(|(h, _)| d.held.is_none_or(|held| held == *h))
                    .any(|(_, h)| kept(&h.limits, served))
        })
    }
}

#[test]
fn windows_are_those_that_trying_every_minute_finds() {
    let (mut inside, mut just, mut clashes) = (0, 0, 0);
    for seed in 1..=300 {
        let mut problem = some(seed);
        problem.dishes.truncate(2);
        problem.stays.clear();
        if seed % 3 == 0 {
            // Lags of an hour that is too short for them.
            problem.end = 6;
        }
        if seed % 2 == 0 {
            // All in one mode and without limits: the windows are just those.
            problem.steps.iter_mut().for_each(|s| s.modes.truncate(1));
            for d in &mut problem.dishes {
                d.straight.clear();
                d.holds.iter_mut().for_each(|h| h.limits.clear());
            }
        }
        let (steps, n) = (problem.steps.len(), problem.tasks.len());
        let mut tried =
            Tried { p: &problem, mode: vec![0; steps], start: vec![0; n], ends: vec![None; n] };
        tried.modes(0);
        let ends = tried.ends;
        let some_way = ends.iter().any(Option::is_some);
        let m = Model::new(&later(&problem, 30));
        let (early, late) = windows::plain(&m);
        assert_eq!((&early, &late), (&m.early, &m.late));
        clashes += i32::from(!some_way);
        if let Some(task) = begin::windows_clash(&m) {
            assert!(!some_way, "seed {seed}: task {task}");
        } else if seed % 2 == 0 {
            assert!(some_way, "seed {seed}: nothing fits, and no task is without a minute");
        }
        for (t, &ends) in ends.iter().enumerate().filter(|(t, _)| m.always_active(*t)) {
            let Some((first, last)) = ends else { continue };
            assert!(early[t] <= first && last <= late[t], "seed {seed}: {t} in {first} to {last}");
            inside += 1;
            if seed % 2 == 0 {
                assert_eq!((early[t], late[t]), (first, last), "seed {seed}: task {t}");
                just += 1;
            }
        }
    }
    println!("{inside} windows, {just} of them just those; {clashes} without");
    assert!(inside > 400 && just > 100 && clashes > 10);
}

/// Each step is in one tree, below the step that it leads to; what several dishes wait for is one of its own, and
/// comes after those that wait for it.
#[test]
fn trees_and_layers() {
    let mut jobs = 0;
    for seed in 1..=200 {
        let mut problem = some(seed);
        if seed % 2 == 0 {
            // And a most from the later one back to the earlier one.
            let back = |l: &Lag| Lag { from: l.to, to: l.from, least: i32::MIN, most: 30, ..*l };
            let backward: Vec<Lag> = problem.lags.iter().map(back).collect();
            problem.lags.extend(backward);
        }
        let m = Model::new(&problem);
        let mut seen = vec![false; m.p.steps.len()];
        for (u, unit) in m.units.iter().enumerate() {
            for (i, &s) in unit.iter().enumerate() {
                assert!(!std::mem::replace(&mut seen[s], true) && m.unit_of[s] == u, "seed {seed}");
                let parent = m.parent[s];
                assert_eq!(parent == NONE, i == 0, "seed {seed}: the root comes first");
                assert!(parent == NONE || unit[..i].contains(&parent), "seed {seed}");
                assert_eq!(
                    m.children[s].iter().filter(|&&c| m.parent[c] == s).count(),
                    m.children[s].len()
                );
            }
            assert_eq!(m.parts[u].concat().len(), unit.len());
            assert_eq!(m.parts[u][0][0], unit[0], "the root is in the first part");
            for &job in &m.jobs_of[u] {
                assert!(m.layer[job] > m.layer[u] && job > u, "seed {seed}");
                jobs += 1;
            }
        }
        assert!(seen.into_iter().all(|s| s), "seed {seed}");
        assert!(m.layer.is_sorted(), "seed {seed}: dishes first");
        // Between a step and the one it leads to: every lag that names both.
        for (s, lags) in m.pair_lags.iter().enumerate() {
            let both = |l: &Lag| {
                let (a, b) = (m.p.tasks[l.from.task].step, m.p.tasks[l.to.task].step);
                m.parent[s] != NONE && [(a, b), (b, a)].contains(&(s, m.parent[s]))
            };
            let own: Vec<usize> = (0..m.p.lags.len()).filter(|&l| both(&m.p.lags[l])).collect();
            assert_eq!(lags, &own, "seed {seed}: step {s}");
        }
        // In `jobs` the first step is what two dishes wait for, and the last comes before it.
        if seed % 4 == 0 {
            let layer = |s: usize| m.layer[m.unit_of[s]];
            assert!(layer(0) > layer(1).max(layer(2)) || m.parent[0] != NONE, "seed {seed}");
            assert!(layer(3) >= layer(0) || m.parent[3] != NONE, "seed {seed}");
        }
    }
    assert!(jobs > 50, "{jobs}");
}
