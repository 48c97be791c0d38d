//! The problem made ready for the search: shifted to begin at minute 0, huge
//! numbers cut to what arithmetic can bear, and indexed by task and step.

use super::bound;
use super::tame;
use super::windows;
use crate::plan::problem::{Lag, Problem, Schedule};

/// The most minutes that are searched. Longer problems are searched in part
/// and never called impossible for lack of room.
pub const MOST_MINUTES: i32 = 1 << 14;

/// No cook, hold, parent, …
pub const NONE: usize = usize::MAX;

/// A resource that a step keeps because a stay names it or spans it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Kept {
    /// Index of the stay.
    pub stay: usize,
    /// It names a task of the step; else it only spans it.
    pub named: bool,
}

/// The problem, its indices and what follows from it before any search.
#[derive(Debug)]
pub struct Model {
    /// The problem, beginning at minute 0.
    pub p: Problem,
    /// What was minute [`Problem::start`] outside.
    pub shift: i32,
    /// Minutes searched: `0..h`.
    pub h: i32,
    /// Minutes that profiles cover: also the waits of dishes due after the end.
    pub room: i32,
    /// The horizon was too long and has been cut.
    pub cut: bool,
    /// Weight of prices against the wish to start late, so that plans of the
    /// same cost are told apart the same way every time.
    pub scale: i64,
    /// Modes that each step may have.
    pub modes: Vec<Vec<usize>>,
    /// For each task the lags that name it.
    pub lags_of: Vec<Vec<usize>>,
    /// For each task the stays that name it.
    pub stays_of: Vec<Vec<usize>>,
    /// For each step the stays that name or span it.
    pub kept_by: Vec<Vec<Kept>>,
    /// For each task `(dish, option, limit)`: option 0 is straight, then the holds.
    pub limits_of: Vec<Vec<(usize, usize, usize)>>,
    /// For each task its anchors.
    pub anchors_of: Vec<Vec<usize>>,
    /// For each step its links.
    pub links_of: Vec<Vec<usize>>,
    /// For each step the dishes that it makes ready.
    pub dishes_of: Vec<Vec<usize>>,
    /// For each dish the stays that go on through its holds.
    pub stays_through: Vec<Vec<usize>>,
    /// For each task the arcs that hold whatever the modes.
    pub arcs_of: Vec<Vec<windows::Arc>>,
    /// Earliest start of each task by lags and windows alone.
    pub early: Vec<i32>,
    /// Latest start of each task by lags and windows alone.
    pub late: Vec<i32>,
    /// The step that each step leads to in its tree, or [`NONE`].
    pub parent: Vec<usize>,
    /// The steps that lead to each step in its tree.
    pub children: Vec<Vec<usize>>,
    /// For each step the lags between it and its parent.
    pub pair_lags: Vec<Vec<usize>>,
    /// Trees of steps, mostly one a dish; the root comes first, parents before children.
    /// A unit comes after all units that wait for it: dishes first, then what
    /// several of them share.
    pub units: Vec<Vec<usize>>,
    /// How many units wait for each unit in a row: 0 for a dish, 1 for a job that dishes wait for.
    pub layer: Vec<usize>,
    /// For each unit those of later layers that it waits for.
    pub jobs_of: Vec<Vec<usize>>,
    /// Each unit cut at its loose ends, where any wait will do: the part with
    /// the root first, then what may as well be done hours before.
    pub parts: Vec<Vec<Vec<usize>>>,
    /// The unit of each step.
    pub unit_of: Vec<usize>,
    /// There is a price below nothing.
    pub rewards: bool,
    /// Resources that are some step's cook, rising.
    pub cooks: Vec<usize>,
    /// For each task: is it active whatever the modes?
    pub always: Vec<bool>,
    /// Tasks that have not begun and want hands in some mode.
    pub handy: Vec<usize>,
}

impl Model {
    /// Prepares a problem whose indices have been checked (see [`tame::sound`]).
    pub fn new(problem: &Problem) -> Self {
        let (p, cut) = tame::tame(problem);
        let n = p.tasks.len();
        let steps = p.steps.len();
        let mut model = Self {
            h: p.end,
            room: p.dishes.iter().map(|d| d.due).fold(p.end, i32::max).min(MOST_MINUTES),
            scale: tame::scale(&p),
            shift: problem.start,
            cut,
            modes: (0..steps).map(|s| allowed_modes(&p, s)).collect(),
            lags_of: vec![Vec::new(); n],
            stays_of: vec![Vec::new(); n],
            kept_by: vec![Vec::new(); steps],
            limits_of: vec![Vec::new(); n],
            anchors_of: vec![Vec::new(); n],
            links_of: vec![Vec::new(); steps],
            dishes_of: vec![Vec::new(); steps],
            stays_through: vec![Vec::new(); p.dishes.len()],
            arcs_of: vec![Vec::new(); n],
            early: Vec::new(),
            late: Vec::new(),
            parent: vec![NONE; steps],
            children: vec![Vec::new(); steps],
            pair_lags: vec![Vec::new(); steps],
            units: Vec::new(),
            layer: Vec::new(),
            jobs_of: Vec::new(),
            parts: Vec::new(),
            unit_of: vec![NONE; steps],
            rewards: bound::has_rewards(&p),
            cooks: Vec::new(),
            always: Vec::new(),
            handy: Vec::new(),
            p,
        };
        model.always = (0..n).map(|t| model.in_all_modes(t)).collect();
        model.index();
        model.grow_trees();
        model.parts = model.units.iter().map(|unit| cut_loose(&model, unit)).collect();
        model.span_stays();
        for arc in windows::arcs(&model) {
            model.arcs_of[arc.from].push(arc);
            model.arcs_of[arc.to].push(arc);
        }
        (model.early, model.late) = windows::plain(&model);
        model
    }

    fn index(&mut self) {
        let p = &self.p;
        for (i, lag) in p.lags.iter().enumerate() {
            self.lags_of[lag.from.task].push(i);
            if lag.to.task != lag.from.task {
                self.lags_of[lag.to.task].push(i);
            }
        }
        for (i, stay) in p.stays.iter().enumerate() {
            for point in stay.from.iter().chain(&stay.to) {
                if !self.stays_of[point.task].contains(&i) {
                    self.stays_of[point.task].push(i);
                }
            }
            for &(dish, _) in &stay.through_hold {
                if !self.stays_through[dish].contains(&i) {
                    self.stays_through[dish].push(i);
                }
            }
        }
        for (d, dish) in p.dishes.iter().enumerate() {
            self.dishes_of[dish.last_step].push(d);
            let holds = dish.holds.iter().map(|h| &h.limits);
            for (option, limits) in std::iter::once(&dish.straight).chain(holds).enumerate() {
                for (i, limit) in limits.iter().enumerate() {
                    self.limits_of[limit.from.task].push((d, option, i));
                }
            }
        }
        for (i, anchor) in p.anchors.iter().enumerate() {
            self.anchors_of[anchor.task].push(i);
        }
        for (i, link) in p.links.iter().enumerate() {
            self.links_of[link.from_step].push(i);
            if link.to_step != link.from_step {
                self.links_of[link.to_step].push(i);
            }
        }
        let wants_hands = |&t: &usize| {
            let modes = &p.steps[p.tasks[t].step].modes;
            p.tasks[t].fixed.is_none() && modes.iter().any(|m| !m.hands.is_empty())
        };
        self.handy = (0..p.tasks.len()).filter(wants_hands).collect();
        self.cooks = p.steps.iter().flat_map(|s| s.cooks.iter().copied()).collect();
        self.cooks.sort_unstable();
        self.cooks.dedup();
    }

    /// Each step hangs on the step that follows it most closely; but what
    /// several dishes wait for hangs on none of them, unless it must follow at once.
    fn grow_trees(&mut self) {
        let steps = self.p.steps.len();
        let awaited = self.awaited_by();
        let mut wish: Vec<Option<(i64, usize)>> = vec![None; steps];
        for lag in &self.p.lags {
            let (a, b) = (self.p.tasks[lag.from.task].step, self.p.tasks[lag.to.task].step);
            if a == b || lag.least == i32::MIN {
                continue;
            }
            let room = if lag.most == i32::MAX { i64::from(i32::MAX) } else { lag.most.into() };
            let soft = i64::from(lag.soft_most.is_some()) * 1_000_000;
            let key = (room - i64::from(lag.least) + soft, b);
            if awaited[a] != awaited[b] && awaited[a].len() > 1 && key.0 >= i64::from(LOOSE) {
                continue;
            }
            if wish[a].is_none_or(|w| key < w) {
                wish[a] = Some(key);
            }
        }
        for (a, wish) in wish.iter().enumerate() {
            let Some((_, b)) = *wish else { continue };
            let mut up = b;
            while up != a && self.parent[up] != NONE {
                up = self.parent[up];
            }
            if up != a {
                self.parent[a] = b;
                self.children[b].push(a);
            }
        }
        for (i, lag) in self.p.lags.iter().enumerate() {
            let (a, b) = (self.p.tasks[lag.from.task].step, self.p.tasks[lag.to.task].step);
            if self.parent[a] == b && a != b {
                self.pair_lags[a].push(i);
            } else if self.parent[b] == a && a != b {
                self.pair_lags[b].push(i);
            }
        }
        for root in (0..steps).filter(|&s| self.parent[s] == NONE) {
            let mut unit = vec![root];
            let mut next = 0;
            while next < unit.len() {
                unit.extend_from_slice(&self.children[unit[next]]);
                next += 1;
            }
            self.units.push(unit);
        }
        self.find_layers();
    }

    /// For each step the dishes that cannot be ready before it is done.
    fn awaited_by(&self) -> Vec<Vec<usize>> {
        let steps = self.p.steps.len();
        let mut before: Vec<Vec<usize>> = vec![Vec::new(); steps];
        for lag in self.p.lags.iter().filter(|l| l.least != i32::MIN) {
            let (a, b) = (self.p.tasks[lag.from.task].step, self.p.tasks[lag.to.task].step);
            if a != b && !before[b].contains(&a) {
                before[b].push(a);
            }
        }
        let mut awaited = vec![Vec::new(); steps];
        for (d, dish) in self.p.dishes.iter().enumerate() {
            let mut queue = vec![dish.last_step];
            while let Some(s) = queue.pop() {
                if awaited[s].last() != Some(&d) {
                    awaited[s].push(d);
                    queue.extend_from_slice(&before[s]);
                }
            }
        }
        awaited
    }

    /// Sorts the units so that each comes after those that wait for it.
    fn find_layers(&mut self) {
        let number = |model: &mut Self| {
            for (u, unit) in model.units.iter().enumerate() {
                for &s in unit {
                    model.unit_of[s] = u;
                }
            }
        };
        number(self);
        let of = |model: &Self, lag: &Lag| {
            let unit = |task: usize| model.unit_of[model.p.tasks[task].step];
            (unit(lag.from.task), unit(lag.to.task))
        };
        let waits = |lag: &&Lag| lag.least != i32::MIN;
        let mut layer = vec![0usize; self.units.len()];
        for _ in 0..self.units.len() {
            let mut moved = false;
            for lag in self.p.lags.iter().filter(waits) {
                let (a, b) = of(self, lag);
                // Units that wait for each other are left as they are in the end.
                if a != b && layer[a] <= layer[b] && layer[b] < self.units.len() {
                    layer[a] = layer[b] + 1;
                    moved = true;
                }
            }
            if !moved {
                break;
            }
        }
        let mut order: Vec<usize> = (0..self.units.len()).collect();
        order.sort_by_key(|&u| (layer[u], u));
        self.units = order.iter().map(|&u| std::mem::take(&mut self.units[u])).collect();
        self.layer = order.iter().map(|&u| layer[u]).collect();
        number(self);
        let mut jobs_of: Vec<Vec<usize>> = vec![Vec::new(); self.units.len()];
        for lag in self.p.lags.iter().filter(waits) {
            let (a, b) = of(self, lag);
            if self.layer[a] > self.layer[b] && !jobs_of[b].contains(&a) {
                jobs_of[b].push(a);
            }
        }
        self.jobs_of = jobs_of;
    }

    /// Finds the steps in whose course a stay's resource is taken already.
    fn span_stays(&mut self) {
        for (i, stay) in self.p.stays.iter().enumerate() {
            let mut named: Vec<usize> =
                stay.from.iter().chain(&stay.to).map(|q| self.p.tasks[q.task].step).collect();
            named.sort_unstable();
            named.dedup();
            for &s in &named {
                self.kept_by[s].push(Kept { stay: i, named: true });
                // Walk to the root; what lies between two named steps is spanned.
                let mut between = Vec::new();
                let mut up = self.parent[s];
                while up != NONE {
                    if named.contains(&up) {
                        for &m in &between {
                            let kept = Kept { stay: i, named: false };
                            let list: &mut Vec<Kept> = &mut self.kept_by[m];
                            if !list.contains(&kept) {
                                list.push(kept);
                            }
                        }
                        break;
                    }
                    between.push(up);
                    up = self.parent[up];
                }
            }
        }
    }

    /// Minutes of a task in a mode of its step; what a fixed task took, for that.
    #[inline]
    pub fn minutes(&self, task: usize, mode: usize) -> i32 {
        let t = &self.p.tasks[task];
        match t.fixed {
            Some(f) => f.end - f.start,
            None => self.p.steps[t.step].modes[mode].minutes,
        }
    }

    /// Tasks of a step that are active in a mode.
    #[inline]
    pub fn loads(&self, step: usize, mode: usize) -> std::ops::Range<usize> {
        let s = &self.p.steps[step];
        let count = s.modes[mode].loads.min(s.task_count);
        s.first_task..s.first_task + count
    }

    /// Is the task active in every mode that its step may have?
    #[inline]
    pub fn always_active(&self, task: usize) -> bool {
        self.always[task]
    }

    fn in_all_modes(&self, task: usize) -> bool {
        let t = &self.p.tasks[task];
        let s = &self.p.steps[t.step];
        self.modes[t.step].iter().all(|&m| t.load < s.modes[m].loads)
    }

    /// A schedule of the outside moved to this model's minutes.
    pub fn inward(&self, schedule: &Schedule) -> Schedule {
        self.moved(schedule, -self.shift)
    }

    /// A schedule of this model moved to the minutes of the outside.
    pub fn outward(&self, schedule: &Schedule) -> Schedule {
        self.moved(schedule, self.shift)
    }

    fn moved(&self, schedule: &Schedule, by: i32) -> Schedule {
        let mut moved = schedule.clone();
        for s in &mut moved.start {
            *s = s.saturating_add(by);
        }
        moved
    }
}

/// Modes in which all of the step's fixed tasks are active; all of them if there is none such.
fn allowed_modes(p: &Problem, step: usize) -> Vec<usize> {
    let s = &p.steps[step];
    let tasks = &p.tasks[s.tasks()];
    let fixed = tasks.iter().filter(|t| t.fixed.is_some()).map(|t| t.load + 1).max().unwrap_or(0);
    let good: Vec<usize> = (0..s.modes.len()).filter(|&m| s.modes[m].loads >= fixed).collect();
    match good.first() {
        // What has begun has its mode; the other loads follow it.
        Some(&m) if fixed > 0 => vec![m],
        Some(_) => good,
        None => (0..s.modes.len()).collect(),
    }
}

/// Waits of so many minutes and more count as any wait.
const LOOSE: i32 = 45;

/// Cuts a tree of steps where a step need not follow closely.
fn cut_loose(m: &Model, unit: &[usize]) -> Vec<Vec<usize>> {
    let mut parts: Vec<Vec<usize>> = Vec::new();
    let mut part_of = vec![NONE; m.p.steps.len()];
    for &step in unit {
        let loose = |&l: &usize| m.p.lags[l].most >= LOOSE;
        let parent = m.parent[step];
        let part = if parent == NONE || m.pair_lags[step].iter().all(loose) {
            parts.push(Vec::new());
            parts.len() - 1
        } else {
            part_of[parent]
        };
        part_of[step] = part;
        parts[part].push(step);
    }
    parts
}
