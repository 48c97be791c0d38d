//! Improves a schedule: takes a few dishes (or the steps of a stretch of time,
//! or what shares a station) out and puts them back in another order.

use super::insert::{Inserter, take_out};
use super::model::{Model, NONE};
use super::price;
use super::rng::Rng;
use super::state::State;
use crate::plan::problem::Schedule;

/// Rounds of the first cooling; each later one takes half as long again.
const FIRST_COOLING: u64 = 600;
/// Of a hundred insertions so many lean towards earlier minutes.
const HURRIED: usize = 40;
/// Rounds of the longest cooling.
const LONGEST_COOLING: u64 = 12_000;

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
    /// How much worse is accepted, and what it falls by: `heat -= heat >> cool`
    /// every so many rounds.
    heat: i64,
    round: u64,
    cooling: u64,
    coolings: u64,
    rng: Rng,
    saved: Saved,
    out: Vec<usize>,
    /// Only what is fixed stands here.
    bare: State<'m>,
    /// The unit that goes back first.
    lead: Option<usize>,
}

impl<'m> Improver<'m> {
    /// Begins at a schedule in which all tasks stand.
    pub fn new(state: State<'m>, rng: Rng) -> Self {
        let rank = price::rank(&state);
        let bare = State::new(state.m);
        let mut improver = Self {
            state,
            rank,
            best: Saved::default(),
            best_rank: rank,
            heat: 0,
            round: 0,
            cooling: FIRST_COOLING,
            coolings: 0,
            rng,
            saved: Saved::default(),
            out: Vec::new(),
            bare,
            lead: None,
        };
        improver.best = improver.everything();
        improver.heat_up();
        improver
    }

    /// What the best state so far costs, as [`price::rank`] says it.
    pub const fn best_rank(&self) -> i64 {
        self.best_rank
    }

    /// The best state so far, as a schedule.
    pub fn best_schedule(&self) -> Schedule {
        let mut schedule = self.state.schedule();
        for &(s, mode) in &self.best.steps {
            schedule.mode[s] = mode;
        }
        for &(t, start, cook) in &self.best.tasks {
            schedule.start[t] = start;
            schedule.cook[t] = (cook != NONE).then_some(cook);
        }
        for &(d, hold) in &self.best.dishes {
            schedule.hold[d] = (hold != NONE).then_some(hold);
        }
        schedule
    }

    /// Goes on from another state, the best so far.
    pub fn adopt(&mut self, state: State<'m>) {
        self.rank = price::rank(&state);
        self.state = state;
        self.best_rank = self.rank;
        self.best = self.everything();
    }

    fn everything(&self) -> Saved {
        let all: Vec<usize> = (0..self.state.m.p.steps.len()).collect();
        let mut saved = Saved::default();
        save(&self.state, &all, &mut saved);
        saved
    }

    /// One round; true if it found a new best, which then stands.
    pub fn round(&mut self, inserter: &mut Inserter) -> bool {
        self.choose(inserter);
        if self.out.is_empty() {
            return false;
        }
        save(&self.state, &self.out, &mut self.saved);
        for &s in &self.out {
            take_out(&mut self.state, s);
        }
        let fits = self.put_back(inserter);
        let rank = if fits { price::rank(&self.state) } else { i64::MAX };
        let bold = (self.heat / 256).saturating_mul(self.rng.boldness());
        if fits && rank <= self.rank.saturating_add(bold) {
            self.rank = rank;
        } else {
            undo(&mut self.state, &self.out, &self.saved);
        }
        let better = self.rank < self.best_rank;
        if better {
            self.best_rank = self.rank;
            self.best = self.everything();
        }
        self.cool_down();
        better
    }

    /// Cools to a five-hundredth over a cooling, in steps of a hundredth of it.
    fn cool_down(&mut self) {
        self.round += 1;
        if self.round.is_multiple_of((self.cooling / 100).max(1)) {
            self.heat -= self.heat / 16;
        }
        if self.round >= self.cooling {
            self.round = 0;
            self.coolings += 1;
            self.cooling = (self.cooling * 3 / 2).min(LONGEST_COOLING);
            if !self.coolings.is_multiple_of(3) {
                self.restart();
            }
            self.heat_up();
        }
    }

    /// Each cooling begins hotter or cooler than the last.
    fn heat_up(&mut self) {
        let part = [64, 16, 128, 8, 32][(self.coolings % 5) as usize];
        self.heat = self.rank / part + 1000 * self.state.m.scale;
    }

    /// Goes back to the best.
    fn restart(&mut self) {
        let all: Vec<usize> = (0..self.state.m.p.steps.len()).collect();
        undo(&mut self.state, &all, &self.best);
        self.rank = self.best_rank;
    }

    fn put_back(&mut self, inserter: &mut Inserter) -> bool {
        let m = self.state.m;
        let mut units: Vec<usize> = self.out.iter().map(|&s| m.unit_of[s]).collect();
        units.sort_unstable();
        units.dedup();
        self.rng.shuffle(&mut units);
        if let Some(at) = self.lead.and_then(|lead| units.iter().position(|&u| u == lead)) {
            units.swap(0, at);
        }
        // What others wait for goes where they leave it room.
        units.sort_by_key(|&u| m.layer[u]);
        let phased = self.rng.below(2) == 0;
        let mut groups: Vec<Vec<usize>> = Vec::new();
        for layer in units.chunk_by(|&a, &b| m.layer[a] == m.layer[b]) {
            if phased {
                let firsts = layer.iter().map(|&u| &m.parts[u][..1]);
                let rests = layer.iter().map(|&u| &m.parts[u][1..]);
                groups.extend(firsts.flatten().cloned());
                groups.extend(rests.flatten().cloned());
            } else {
                groups.extend(layer.iter().map(|&u| m.units[u].clone()));
            }
        }
        for mut group in groups {
            group.retain(|s| self.out.contains(s));
            if group.is_empty() {
                continue;
            }
            if self.rng.below(100) < HURRIED {
                let unit = self.state.m.p.span_price.max(10);
                inserter.hurry([unit / 10, unit / 3, unit, unit * 4, unit * 12][self.rng.below(5)]);
            }
            let fits = inserter.insert(&mut self.state, &group);
            inserter.hurry(0);
            if !fits {
                return false;
            }
        }
        true
    }

    /// Chooses the steps to take out.
    fn choose(&mut self, inserter: &mut Inserter) {
        self.out.clear();
        self.lead = None;
        let m = self.state.m;
        if m.units.is_empty() {
            return;
        }
        match self.rng.below(20) {
            0..=5 => self.choose_units(3),
            6 => self.choose_units(7),
            7..=9 => self.choose_neighbours(),
            10..=13 => self.choose_blockers(inserter),
            14..=17 => self.choose_stretch(),
            _ => self.choose_resource(),
        }
        self.choose_jobs();
        self.out.retain(|&s| can_move(m, s));
        self.out.sort_unstable();
        self.out.dedup();
    }

    /// A dear unit, and some of those that stand where it would like to be.
    fn choose_blockers(&mut self, inserter: &mut Inserter) {
        let m = self.state.m;
        let prices = price::by_unit(&self.state);
        let picks = 1 + self.rng.below(3);
        let pick = (0..picks).map(|_| self.rng.below(m.units.len()));
        let unit = pick.max_by_key(|&u| prices[u]).unwrap_or(0);
        let steps: Vec<usize> = m.units[unit].iter().copied().filter(|&s| can_move(m, s)).collect();
        let mut blockers: Vec<usize> = Vec::new();
        if inserter.insert(&mut self.bare, &steps) {
            for &s in &steps {
                for t in m.loads(s, self.bare.mode[s]) {
                    self.add_blockers(t, unit, &mut blockers);
                }
            }
        }
        for &s in &steps {
            take_out(&mut self.bare, s);
        }
        blockers.sort_unstable();
        blockers.dedup();
        self.rng.shuffle(&mut blockers);
        blockers.truncate(1 + self.rng.below(4));
        self.lead = Some(unit);
        self.out.extend_from_slice(&steps);
        for u in blockers {
            self.out.extend_from_slice(&m.units[u]);
        }
    }

    /// Units that want the same as a task of the bare state at the same minutes.
    fn add_blockers(&self, task: usize, unit: usize, blockers: &mut Vec<usize>) {
        let m = self.state.m;
        let (start, end) = (self.bare.start[task], self.bare.end(task));
        let step = m.p.tasks[task].step;
        let mine = &m.p.steps[step].modes[self.bare.mode[step]];
        for t in (0..m.p.tasks.len()).filter(|&t| self.state.stands(t)) {
            if self.state.start[t] >= end || self.state.end(t) <= start {
                continue;
            }
            let other = m.p.tasks[t].step;
            let theirs = &m.p.steps[other].modes[self.state.mode[other]];
            let hands = !mine.hands.is_empty() && !theirs.hands.is_empty();
            let uses =
                mine.uses.iter().any(|u| theirs.uses.iter().any(|v| u.resource == v.resource));
            if m.unit_of[other] != unit && (hands || uses) {
                blockers.push(m.unit_of[other]);
            }
        }
    }

    /// Every other time what the units wait for goes out with them.
    fn choose_jobs(&mut self) {
        let m = self.state.m;
        if m.jobs_of.iter().all(Vec::is_empty) || self.rng.below(2) == 0 {
            return;
        }
        for i in 0..self.out.len() {
            for &job in &m.jobs_of[m.unit_of[self.out[i]]] {
                self.out.extend_from_slice(&m.units[job]);
            }
        }
    }

    fn choose_units(&mut self, most: usize) {
        let m = self.state.m;
        let count = 1 + self.rng.below(most).min(m.units.len() - 1);
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
        let count = 1 + self.rng.below(3);
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
    s.tasks().any(|t| m.p.tasks[t].fixed.is_none())
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
