//! Improves a schedule: takes a few dishes (or the steps of a stretch of time,
//! or what shares a station) out and puts them back in another order.

use super::insert::{Inserter, take_out};
use super::model::{Model, NONE};
use super::price;
use super::rng::Rng;
use super::state::State;

/// How many costs back a new one is compared with (late acceptance: Burke &
/// Bykov, EJOR 258, 2017).
const MEMORY: usize = 40;
/// After so many rounds without a better one, back to the best.
const PATIENCE: u64 = 1500;

/// Where some steps stood.
#[derive(Debug, Clone, Default)]
struct Saved {
    steps: Vec<(usize, usize)>,
    tasks: Vec<(usize, i32, usize)>,
    dishes: Vec<(usize, usize)>,
}

/// The search from one schedule to better ones.
#[derive(Debug)]
pub struct Improver<'m> {
    /// Where it stands.
    pub state: State<'m>,
    rank: i64,
    best: Saved,
    best_rank: i64,
    memory: Vec<i64>,
    at: usize,
    idle: u64,
    rng: Rng,
    saved: Saved,
    out: Vec<usize>,
}

impl<'m> Improver<'m> {
    /// Begins at a schedule in which all tasks stand.
    pub fn new(state: State<'m>, rng: Rng) -> Self {
        let rank = price::rank(&state);
        let mut improver = Self {
            state,
            rank,
            best: Saved::default(),
            best_rank: rank,
            memory: vec![rank; MEMORY],
            at: 0,
            idle: 0,
            rng,
            saved: Saved::default(),
            out: Vec::new(),
        };
        improver.best = improver.everything();
        improver
    }

    fn everything(&self) -> Saved {
        let all: Vec<usize> = (0..self.state.m.p.steps.len()).collect();
        let mut saved = Saved::default();
        save(&self.state, &all, &mut saved);
        saved
    }

    /// One round; true if it found a new best, which then stands.
    pub fn round(&mut self, inserter: &mut Inserter) -> bool {
        self.choose();
        if self.out.is_empty() {
            return false;
        }
        save(&self.state, &self.out, &mut self.saved);
        for &s in &self.out {
            take_out(&mut self.state, s);
        }
        let fits = self.put_back(inserter);
        let rank = if fits { price::rank(&self.state) } else { i64::MAX };
        let slot = self.at % MEMORY;
        self.at += 1;
        if fits && (rank <= self.rank || rank <= self.memory[slot]) {
            self.rank = rank;
        } else {
            undo(&mut self.state, &self.out, &self.saved);
        }
        self.memory[slot] = self.memory[slot].min(self.rank);
        if self.rank < self.best_rank {
            self.best_rank = self.rank;
            self.best = self.everything();
            self.idle = 0;
            return true;
        }
        self.idle += 1;
        if self.idle >= PATIENCE {
            self.idle = 0;
            self.restart();
        }
        false
    }

    /// Goes back to the best, ready to accept a little worse again.
    fn restart(&mut self) {
        let all: Vec<usize> = (0..self.state.m.p.steps.len()).collect();
        undo(&mut self.state, &all, &self.best);
        self.rank = self.best_rank;
        let room = self.best_rank / 200 + self.state.m.scale;
        let percent = self.rng.below(100) as i64;
        self.memory.fill(self.best_rank.saturating_add(room * percent / 100));
    }

    fn put_back(&mut self, inserter: &mut Inserter) -> bool {
        let m = self.state.m;
        let mut units: Vec<usize> = self.out.iter().map(|&s| m.unit_of[s]).collect();
        units.sort_unstable();
        units.dedup();
        self.rng.shuffle(&mut units);
        let mut group = Vec::new();
        for unit in units {
            group.clear();
            group.extend(m.units[unit].iter().copied().filter(|s| self.out.contains(s)));
            if !inserter.insert(&mut self.state, &group) {
                return false;
            }
        }
        true
    }

    /// Chooses the steps to take out.
    fn choose(&mut self) {
        self.out.clear();
        let m = self.state.m;
        if m.units.is_empty() {
            return;
        }
        match self.rng.below(10) {
            0..=3 => self.choose_units(),
            4..=6 => self.choose_neighbours(),
            7 | 8 => self.choose_stretch(),
            _ => self.choose_resource(),
        }
        self.out.retain(|&s| can_move(m, s));
        self.out.sort_unstable();
        self.out.dedup();
    }

    fn choose_units(&mut self) {
        let m = self.state.m;
        let count = 1 + self.rng.below(3).min(m.units.len() - 1);
        for _ in 0..count {
            let unit = self.rng.below(m.units.len());
            self.out.extend_from_slice(&m.units[unit]);
        }
    }

    /// A unit and others that stand close to one of its tasks.
    fn choose_neighbours(&mut self) {
        let m = self.state.m;
        let unit = self.rng.below(m.units.len());
        let steps = &m.units[unit];
        let step = steps[self.rng.below(steps.len())];
        let Some(task) = m.loads(step, self.state.mode[step]).next() else { return };
        let (start, end) = (self.state.start[task], self.state.end(task));
        let mut near: Vec<(i32, usize)> = Vec::new();
        for t in (0..m.p.tasks.len()).filter(|&t| self.state.stands(t)) {
            let other = m.unit_of[m.p.tasks[t].step];
            if other != unit {
                let gap = (self.state.start[t] - end).max(start - self.state.end(t)).max(0);
                near.push((gap + self.rng.below(15) as i32, other));
            }
        }
        near.sort_unstable();
        let mut units: Vec<usize> = Vec::new();
        let count = 1 + self.rng.below(2);
        for (_, other) in near {
            if !units.contains(&other) {
                units.push(other);
            }
            if units.len() >= count {
                break;
            }
        }
        self.out.extend_from_slice(steps);
        for u in units {
            self.out.extend_from_slice(&m.units[u]);
        }
    }

    /// The steps that stand in a stretch of time.
    fn choose_stretch(&mut self) {
        let m = self.state.m;
        let task = self.rng.below(m.p.tasks.len());
        if !self.state.stands(task) {
            return;
        }
        let from = self.state.start[task] - self.rng.below(30) as i32;
        let to = self.state.end(task) + self.rng.below(30) as i32;
        for t in (0..m.p.tasks.len()).filter(|&t| self.state.stands(t)) {
            if self.state.start[t] < to && self.state.end(t) > from {
                self.out.push(m.p.tasks[t].step);
            }
        }
        self.rng.shuffle(&mut self.out);
        self.out.truncate(10);
    }

    /// Units that use the same resource or oven, up to three.
    fn choose_resource(&mut self) {
        let m = self.state.m;
        let step = self.rng.below(m.p.steps.len());
        let mode = &m.p.steps[step].modes[self.state.mode[step]];
        let uses = |s: usize| {
            let other = &m.p.steps[s].modes[self.state.mode[s]];
            let oven =
                mode.oven.is_some() && mode.oven.map(|o| o.oven) == other.oven.map(|o| o.oven);
            oven || other.uses.iter().any(|u| mode.uses.iter().any(|v| u.resource == v.resource))
        };
        let mut units: Vec<usize> =
            (0..m.p.steps.len()).filter(|&s| uses(s)).map(|s| m.unit_of[s]).collect();
        units.sort_unstable();
        units.dedup();
        self.rng.shuffle(&mut units);
        units.truncate(2 + self.rng.below(2));
        for u in units.into_iter().filter(|&u| u != NONE) {
            self.out.extend_from_slice(&m.units[u]);
        }
    }
}

/// Has the step anything that is not fixed?
fn can_move(m: &Model, step: usize) -> bool {
    let s = &m.p.steps[step];
    (s.first_task..s.first_task + s.task_count).any(|t| m.p.tasks[t].fixed.is_none())
        || m.modes[step].len() > 1
        || !m.dishes_of[step].is_empty()
}

fn save(state: &State, steps: &[usize], saved: &mut Saved) {
    let m = state.m;
    saved.steps.clear();
    saved.tasks.clear();
    saved.dishes.clear();
    for &s in steps {
        saved.steps.push((s, state.mode[s]));
        for t in m.loads(s, state.mode[s]).filter(|&t| m.p.tasks[t].fixed.is_none()) {
            saved.tasks.push((t, state.start[t], state.cook[t]));
        }
        for &d in &m.dishes_of[s] {
            saved.dishes.push((d, state.hold[d]));
        }
    }
}

fn undo(state: &mut State, steps: &[usize], saved: &Saved) {
    for &s in steps {
        take_out(state, s);
    }
    for &(s, mode) in &saved.steps {
        state.mode[s] = mode;
    }
    for &(t, start, cook) in &saved.tasks {
        state.place(t, start, cook);
    }
    for &(d, hold) in &saved.dishes {
        if !state.settled[d] {
            state.settle(d, hold);
        }
    }
}
