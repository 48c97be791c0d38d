//! Puts a tree of steps into what stands already, all of its starts, modes,
//! cooks and its hold chosen together.
//!
//! A dynamic program runs from the leaves to the root: for each start of a
//! step, what it costs at least with all that leads to it. It sees what stands,
//! the lags within the tree with their prices, and the pans kept meanwhile;
//! it does not see that two branches of the tree may want the same hands.
//! Then the tree is placed from the root down, each step looked at afresh, and
//! where a branch does not fit any more the step above tries another place.

use super::bits;
use super::hold;
use super::model::{Model, NONE};
use super::offer::{Counting, Day, NEVER, Offer, can_cook, part_in_stay, pick_cook};
use super::slide::{Piece, Slider, pieces};
use super::state::State;
use crate::plan::problem::{Lag, Schedule};

/// Places tried in one insertion before it is given up.
const MOST_TRIES: usize = 60;

/// What the program knows of a task in one of the modes of its step.
#[derive(Debug, Clone, Default)]
struct Row {
    task: usize,
    mode: usize,
    /// For each start what all that leads to it costs.
    below: Vec<i64>,
    /// The same with the task itself.
    sum: Vec<i64>,
}

/// Puts trees of steps in. Keeps its memory between uses.
#[derive(Debug, Clone, Default)]
pub struct Inserter {
    rows: Vec<Row>,
    spare: Vec<Row>,
    /// For each step of the model the rows of its modes: `(mode, first row, rows)`.
    table: Vec<Vec<(usize, usize, usize)>>,
    chosen: Vec<bool>,
    offer: Offer,
    day: Day,
    slider: Slider,
    list: Vec<Piece>,
    bends: Vec<i32>,
    least_start: Vec<i32>,
    buffer: Vec<i64>,
    tries: usize,
    /// Where the last insertion failed.
    pub stuck: Option<usize>,
}

impl Inserter {
    /// Puts in the unplaced tasks of these steps (parents before children) and
    /// settles their dishes. On failure some of them may stand: take them out.
    pub fn insert(&mut self, state: &mut State, steps: &[usize]) -> bool {
        self.begin(state, steps);
        for &step in steps.iter().rev() {
            if !self.climb(state, step) {
                self.stuck = Some(step);
                return false;
            }
        }
        self.tries = MOST_TRIES;
        for &step in steps {
            let parent = state.m.parent[step];
            if (parent == NONE || !self.chosen[parent]) && !self.descend(state, step) {
                self.stuck = Some(step);
                return false;
            }
        }
        true
    }

    /// Puts every task where another schedule has it, if it fits there, with
    /// its cook if he still can. Gives the steps that are left to do.
    pub fn keep_what_fits(&mut self, state: &mut State, warm: &Schedule) -> Vec<usize> {
        let m = state.m;
        let mut order: Vec<usize> =
            (0..m.p.tasks.len()).filter(|&t| state.active(t) && !state.placed[t]).collect();
        order.sort_by_key(|&t| (warm.start[t], t));
        let mut redo = Vec::new();
        self.day.read(state);
        for task in order {
            let step = m.p.tasks[task].step;
            let (mode, at) = (state.mode[step], warm.start[task]);
            let counting = Counting { day: false, dish: false };
            if redo.contains(&step)
                || !self.offer.work_out(state, &self.day, task, mode, counting)
                || !bits::has(&self.offer.set, at)
            {
                redo.push(step);
                continue;
            }
            let cook = warm.cook[task]
                .filter(|&c| can_cook(state, task, mode, at, c))
                .unwrap_or_else(|| pick_cook(state, &self.day, task, mode, at));
            state.place(task, at, cook);
            self.day.add(state, task);
        }
        for &step in &redo {
            take_out(state, step);
        }
        for (d, dish) in m.p.dishes.iter().enumerate() {
            if !hold::settle(state, d) {
                take_out(state, dish.last_step);
                redo.push(dish.last_step);
            }
        }
        redo
    }

    fn begin(&mut self, state: &State, steps: &[usize]) {
        self.stuck = None;
        self.spare.append(&mut self.rows);
        self.table.resize(state.m.p.steps.len(), Vec::new());
        self.table.iter_mut().for_each(Vec::clear);
        self.chosen.clear();
        self.chosen.resize(state.m.p.steps.len(), false);
        for &s in steps {
            self.chosen[s] = true;
        }
        self.day.read(state);
    }

    /// Children of a step that are put in with it.
    fn children(&self, m: &Model, step: usize) -> Vec<usize> {
        m.children[step].iter().copied().filter(|&c| self.chosen[c]).collect()
    }

    /// Fills the rows of a step; false if it fits nowhere in any mode.
    fn climb(&mut self, state: &State, step: usize) -> bool {
        let m = state.m;
        let mut any = false;
        for &mode in &m.modes[step] {
            let first = self.rows.len();
            let tasks = m.loads(step, mode).filter(|&t| !state.placed[t]);
            let mut earlier: Option<usize> = None;
            let mut fits = true;
            for task in tasks.clone() {
                let mut row = self.spare.pop().unwrap_or_default();
                (row.task, row.mode) = (task, mode);
                row.below.clear();
                row.below.resize(m.h.max(0) as usize + 1, 0);
                if let Some(earlier) = earlier {
                    self.chain(state, earlier, &mut row);
                } else {
                    row.below.fill(mode_price(m, step, mode) * m.scale);
                    for child in self.children(m, step) {
                        fits = fits && self.hang(state, child, &mut row);
                    }
                }
                let last = tasks.clone().next_back() == Some(task);
                let source = earlier.is_none() && self.children(m, step).is_empty();
                let counting = Counting { day: source, dish: last };
                fits = fits && self.offer.work_out(state, &self.day, task, mode, counting);
                row.sum.clear();
                if fits {
                    let both = row.below.iter().zip(&self.offer.cost);
                    row.sum.extend(both.map(|(&a, &b)| a.saturating_add(b).min(NEVER)));
                }
                earlier = Some(self.rows.len());
                self.rows.push(row);
            }
            let count = self.rows.len() - first;
            if fits && count > 0 && self.rows[first + count - 1].sum.iter().all(|&c| c >= NEVER) {
                fits = false;
            }
            if fits {
                self.table[step].push((mode, first, count));
                any = true;
            }
        }
        any
    }

    /// What the load before costs, for each start of this one.
    fn chain(&mut self, state: &State, earlier: usize, row: &mut Row) {
        let m = state.m;
        let from = std::mem::take(&mut self.rows[earlier]);
        let lags = m.lags_of[row.task].iter().map(|&i| &m.p.lags[i]);
        let between = lags.filter(|l| l.from.task == from.task || l.to.task == from.task);
        let reach = Reach::of(m, between, (from.task, from.mode), (row.task, row.mode));
        row.below.fill(NEVER);
        if !from.sum.is_empty() {
            self.slide(m, &reach, &from.sum, &mut row.below, false);
        }
        self.rows[earlier] = from;
    }

    /// Adds what a child with all that leads to it costs, for each start of
    /// its parent; false if it can stand nowhere.
    fn hang(&mut self, state: &State, child: usize, row: &mut Row) -> bool {
        let m = state.m;
        let mut buffer = std::mem::take(&mut self.buffer);
        buffer.clear();
        buffer.resize(row.below.len(), NEVER);
        let mut any = false;
        for i in 0..self.table[child].len() {
            let (mode, first, count) = self.table[child][i];
            let Some(last) = count.checked_sub(1).map(|c| first + c) else {
                buffer.fill(0);
                any = true;
                continue;
            };
            let from = std::mem::take(&mut self.rows[last]);
            let lags = m.pair_lags[child].iter().map(|&l| &m.p.lags[l]);
            let reach = Reach::of(m, lags, (from.task, mode), (row.task, row.mode));
            let kept = self.keep(state, child, &from, row);
            self.slide(m, &reach, &from.sum, &mut buffer, kept);
            self.rows[last] = from;
            any = true;
        }
        for (below, &more) in row.below.iter_mut().zip(&buffer) {
            *below = below.saturating_add(more).min(NEVER);
        }
        self.buffer = buffer;
        any
    }

    fn slide(&mut self, m: &Model, reach: &Reach, from: &[i64], out: &mut [i64], kept: bool) {
        reach.cut(m.scale, &mut self.bends, &mut self.list);
        let not_before = kept.then_some(self.least_start.as_slice());
        for &piece in &self.list {
            self.slider.run(from, piece, not_before, out);
        }
    }

    /// Works out how early the child may start for each start of its parent,
    /// so that what is kept from one to the other is free between. False if
    /// nothing is kept.
    fn keep(&mut self, state: &State, child: usize, from: &Row, to: &Row) -> bool {
        let m = state.m;
        let parent = m.parent[child];
        let mut kept = false;
        for k in &m.kept_by[child] {
            if !m.kept_by[parent].iter().any(|o| o.stay == k.stay) {
                continue;
            }
            let uses = m.p.stays[k.stay].uses;
            let free = state.profiles[uses.resource].free(uses.amount);
            if bits::run_end(free, 0) >= m.h {
                continue;
            }
            let (a, b) = part_in_stay(m, k.stay, from.task, from.mode);
            let after = b.or(a).unwrap_or(0);
            let (a, b) = part_in_stay(m, k.stay, to.task, to.mode);
            let before = a.or(b).unwrap_or(0);
            if !kept {
                self.least_start.clear();
                self.least_start.resize(to.below.len(), i32::MIN / 2);
                kept = true;
            }
            let mut since = 0;
            let mut minute = 0;
            for (s, least) in self.least_start.iter_mut().enumerate() {
                while minute < s as i32 + before {
                    minute += 1;
                    if !bits::has(free, minute - 1) {
                        since = minute;
                    }
                }
                *least = (*least).max(since - after);
            }
        }
        kept
    }

    /// Places a step and all that leads to it.
    fn descend(&mut self, state: &mut State, step: usize) -> bool {
        let mut barred: Vec<(usize, i32, i32)> = Vec::new();
        let children = self.children(state.m, step);
        for attempt in 1..=4 {
            if self.tries == 0 {
                return false;
            }
            self.tries -= 1;
            let Some((mode, at)) = self.place_step(state, step, &barred) else { return false };
            let mut stuck = None;
            for &child in &children {
                if !self.descend(state, child) {
                    stuck = Some(child);
                    break;
                }
            }
            if stuck.is_none() {
                return true;
            }
            self.clear(state, step);
            let around = 3 * attempt;
            barred.push((mode, at - around, at + around));
        }
        false
    }

    /// Takes out a step and all below it that was put in.
    fn clear(&mut self, state: &mut State, step: usize) {
        for child in self.children(state.m, step) {
            self.clear(state, child);
        }
        take_out(state, step);
        self.day.read(state);
    }

    /// Places the loads of a step, the last one first, and settles its dishes.
    fn place_step(
        &mut self,
        state: &mut State,
        step: usize,
        barred: &[(usize, i32, i32)],
    ) -> Option<(usize, i32)> {
        let mut best: Option<(i64, usize, i32, usize)> = None;
        for i in 0..self.table[step].len() {
            let (mode, first, count) = self.table[step][i];
            let Some(last) = count.checked_sub(1).map(|c| first + c) else {
                state.mode[step] = mode;
                return self.finish(state, step).then_some((mode, 0));
            };
            let found = self.cheapest(state, last, true, barred);
            if let Some((cost, at)) = found
                && best.is_none_or(|b| cost < b.0)
            {
                best = Some((cost, mode, at, i));
            }
        }
        let (_, mode, at, i) = best?;
        let (_, first, count) = self.table[step][i];
        state.mode[step] = mode;
        self.put(state, first + count - 1, at);
        for row in (first..first + count - 1).rev() {
            let Some((_, at)) = self.cheapest(state, row, false, &[]) else {
                take_out(state, step);
                return None;
            };
            self.put(state, row, at);
        }
        if self.finish(state, step) {
            return Some((mode, at));
        }
        take_out(state, step);
        None
    }

    fn put(&mut self, state: &mut State, row: usize, at: i32) {
        let (task, mode) = (self.rows[row].task, self.rows[row].mode);
        let cook = pick_cook(state, &self.day, task, mode, at);
        state.place(task, at, cook);
        self.day.add(state, task);
    }

    /// Settles the dishes that a step makes ready.
    fn finish(&mut self, state: &mut State, step: usize) -> bool {
        let m = state.m;
        m.dishes_of[step].iter().all(|&d| hold::settle(state, d))
    }

    /// The cheapest start of a row's task, as things stand now.
    fn cheapest(
        &mut self,
        state: &State,
        row: usize,
        dish: bool,
        barred: &[(usize, i32, i32)],
    ) -> Option<(i64, i32)> {
        let row = &self.rows[row];
        let counting = Counting { day: true, dish };
        if !self.offer.work_out(state, &self.day, row.task, row.mode, counting) {
            return None;
        }
        let mut best: Option<(i64, i32)> = None;
        let free = |s: i32| !barred.iter().any(|b| b.0 == row.mode && b.1 <= s && s <= b.2);
        bits::each(&self.offer.set, |s| {
            let cost = self.offer.cost[s].saturating_add(row.below[s]);
            if cost < NEVER && best.is_none_or(|b| cost <= b.0) && free(s as i32) {
                best = Some((cost, s as i32));
            }
        });
        best
    }
}

/// Takes out the tasks of a step that are not fixed, and unsettles its dishes.
pub fn take_out(state: &mut State, step: usize) {
    let m = state.m;
    for &d in &m.dishes_of[step] {
        state.unsettle(d);
    }
    for t in m.loads(step, state.mode[step]) {
        state.unplace(t);
    }
}

/// Price of a mode, other modes in the plan on the screen included.
pub fn mode_price(m: &Model, step: usize, mode: usize) -> i64 {
    let mut price = m.p.steps[step].modes[mode].price;
    for task in m.loads(step, mode) {
        for &a in &m.anchors_of[task] {
            if let Some((was, fee)) = m.p.anchors[a].mode
                && was != mode
            {
                price += fee;
            }
        }
    }
    price
}

/// The minutes that may lie between two starts, and their price.
#[derive(Debug, Clone)]
struct Reach {
    least: i32,
    most: i32,
    /// `(minutes, price over, price under)`
    bends: Vec<(i32, i64, i64)>,
}

impl Reach {
    /// Joins the lags between a child's last load and a parent's first. Loads
    /// in between are taken to follow each other at once.
    fn of<'a>(
        m: &Model,
        lags: impl Iterator<Item = &'a Lag>,
        child: (usize, usize),
        parent: (usize, usize),
    ) -> Self {
        let far = i32::MAX / 4;
        let mut reach = Self { least: -far, most: far, bends: Vec::new() };
        // Start of any load of one of the two, from the start that stands for its step.
        let offset = |point: crate::plan::problem::Point| -> Option<i32> {
            let own = &m.p.tasks[point.task];
            let (at, mode) =
                if own.step == m.p.tasks[child.0].step && own.load <= m.p.tasks[child.0].load {
                    child
                } else {
                    parent
                };
            if own.step != m.p.tasks[at].step || own.load >= m.p.steps[own.step].modes[mode].loads {
                return None;
            }
            let minutes = m.p.steps[own.step].modes[mode].minutes;
            let loads = own.load as i32 - m.p.tasks[at].load as i32;
            Some(loads * minutes + if point.end { minutes } else { 0 })
        };
        for lag in lags {
            let (Some(a), Some(b)) = (offset(lag.from), offset(lag.to)) else { continue };
            let forward = m.p.tasks[lag.from.task].step == m.p.tasks[child.0].step
                && (m.p.tasks[lag.to.task].step != m.p.tasks[child.0].step
                    || lag.to.task > lag.from.task);
            // gap = (parent + b) - (child + a), or the other way round
            let shift = if forward { b - a } else { a - b };
            let least = if lag.least == i32::MIN { -far } else { lag.least };
            let hard = if lag.soft_most.is_some() { i32::MAX } else { lag.most };
            let most = if hard == i32::MAX { far } else { hard };
            let (lo, hi) = if forward {
                (least - shift, most - shift)
            } else {
                (-most - shift, -least - shift)
            };
            reach.least = reach.least.max(lo);
            reach.most = reach.most.min(hi);
            let mut bend = |minutes: i32, over: i64, under: i64| {
                if forward {
                    reach.bends.push((minutes - shift, over, under));
                } else {
                    reach.bends.push((-minutes - shift, under, over));
                }
            };
            if let Some(price) = lag.soft_most.filter(|_| lag.most != i32::MAX) {
                bend(lag.most, price, 0);
            }
            if let Some((best, price)) = lag.best {
                bend(best, 0, price);
            }
        }
        reach
    }

    fn cut(&self, scale: i64, bends: &mut Vec<i32>, out: &mut Vec<Piece>) {
        bends.clear();
        bends.extend(self.bends.iter().map(|b| b.0));
        let price = |minutes: i32| -> i64 {
            let sum: i64 = self
                .bends
                .iter()
                .map(|&(at, over, under)| {
                    over * i64::from((minutes - at).max(0))
                        + under * i64::from((at - minutes).max(0))
                })
                .sum();
            sum * scale
        };
        let far = i32::MAX / 4;
        let (least, most) = (self.least.max(-far), self.most.min(far));
        if self.bends.is_empty() {
            out.clear();
            if least <= most {
                out.push(Piece { least, most, price: 0, slope: 0 });
            }
            return;
        }
        // Beyond the search no minutes need a price; keeps sums small.
        let near = 2 * super::model::MOST_MINUTES;
        pieces(least.max(-near), most.min(near), bends, price, out);
    }
}
