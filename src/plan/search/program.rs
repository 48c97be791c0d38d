//! The dynamic program over a tree of steps: for each start of a step, what it
//! costs at least with all that leads to it.
//!
//! First only what can be, as stretches of starts: from the leaves to the root
//! where each step fits so that all that leads to it fits too. Then a quick
//! choice from the root down says what the tree costs at most; starts of the
//! root that cost more by themselves need no further look, nor do those of other
//! steps that lead to none of the rest. Then the prices, from the leaves up.

use super::bits;
use super::insert::mode_price;
use super::model::{Model, NONE};
use super::offer::{Counting, Day, NEVER, Offer, part_in_stay};
use super::reach::Reach;
use super::slide::{Piece, Slider};
use super::state::State;

/// Stretches of minutes: the first and the one after the last; rising, apart.
pub type Runs = Vec<(i32, i32)>;

/// What the program knows of a task in one of the modes of its step.
#[derive(Debug, Clone, Default)]
pub struct Row {
    /// The task.
    pub task: usize,
    /// The mode of its step.
    pub mode: usize,
    /// Starts that are possible and worth a look.
    pub runs: Runs,
    /// The first of them.
    pub lo: i32,
    /// For each start from there what all that leads to it costs.
    pub below: Vec<i64>,
    /// What the task itself costs.
    own: Vec<i64>,
    /// Both together.
    pub sum: Vec<i64>,
    /// It is priced already.
    priced: bool,
}

/// The rows of a step in one mode.
#[derive(Debug, Clone, Copy)]
pub struct Rows {
    /// The mode.
    pub mode: usize,
    /// The row of its first load that is put in.
    pub first: usize,
    /// Rows; none if nothing of it is left to put in.
    pub count: usize,
}

/// Keeps its memory between uses.
#[derive(Debug, Clone, Default)]
pub struct Program {
    /// All rows.
    pub rows: Vec<Row>,
    spare: Vec<Row>,
    /// For each step of the model the rows of its modes.
    pub table: Vec<Vec<Rows>>,
    /// For each step: is it put in now?
    pub chosen: Vec<bool>,
    /// What may lie between two rows that follow each other: `(child, parent, reach)`.
    reaches: Vec<(usize, usize, Reach)>,
    offer: Offer,
    slider: Slider,
    list: Vec<Piece>,
    bends: Vec<i32>,
    least_start: Vec<i32>,
    buffer: Vec<i64>,
    some: Runs,
    other: Runs,
}

impl Program {
    /// Begins with these steps; nothing is known of them yet.
    pub fn begin(&mut self, m: &Model, steps: &[usize]) {
        self.spare.append(&mut self.rows);
        self.reaches.clear();
        self.table.resize(m.p.steps.len(), Vec::new());
        self.table.iter_mut().for_each(Vec::clear);
        self.chosen.clear();
        self.chosen.resize(m.p.steps.len(), false);
        for &s in steps {
            self.chosen[s] = true;
        }
    }

    /// Runs the program for steps (parents before children) within windows of
    /// their tasks. With `sharp`, starts that cannot be the cheapest are left out.
    ///
    /// # Errors
    /// The step that fits nowhere.
    pub fn run(
        &mut self,
        state: &State,
        day: &Day,
        (steps, within): (&[usize], &[(i32, i32)]),
        sharp: bool,
    ) -> Result<(), usize> {
        for &step in steps.iter().rev() {
            if !self.find(state, step, within) {
                return Err(step);
            }
        }
        if sharp && !state.m.rewards {
            for &step in steps {
                let parent = state.m.parent[step];
                if parent == NONE || !self.chosen[parent] {
                    self.sharpen(state, day, step);
                } else {
                    self.lead_to(state.m, step);
                }
            }
        }
        for &step in steps.iter().rev() {
            if !self.price(state, day, step) {
                return Err(step);
            }
        }
        Ok(())
    }

    /// Finds the starts of a step from which all that leads to it fits, in each mode.
    fn find(&mut self, state: &State, step: usize, within: &[(i32, i32)]) -> bool {
        let m = state.m;
        for &mode in &m.modes[step] {
            let first = self.rows.len();
            let mut fits = true;
            for task in m.loads(step, mode).filter(|&t| !state.placed[t]) {
                fits = fits && self.find_task(state, (task, mode), first, within);
            }
            if fits {
                let count = self.rows.len() - first;
                self.table[step].push(Rows { mode, first, count });
            }
        }
        !self.table[step].is_empty()
    }

    fn find_task(
        &mut self,
        state: &State,
        (task, mode): (usize, usize),
        first: usize,
        within: &[(i32, i32)],
    ) -> bool {
        let m = state.m;
        let step = m.p.tasks[task].step;
        let last = m.loads(step, mode).next_back() == Some(task);
        if !self.offer.find(state, (task, mode), within[task], last) {
            return false;
        }
        let at = self.rows.len();
        let mut row = self.spare.pop().unwrap_or_default();
        (row.task, row.mode, row.priced) = (task, mode, false);
        row.runs.clone_from(&self.offer.runs);
        self.rows.push(row);
        if at > first {
            let lags = m.lags_of[task].iter().map(|&i| &m.p.lags[i]);
            let from = self.rows[at - 1].task;
            let between = lags.filter(|l| l.from.task == from || l.to.task == from);
            let reach = Reach::of(m, between, (from, mode), (task, mode));
            return self.follow(at, &[(at - 1, reach)]);
        }
        let mut fits = true;
        for &child in &m.children[step] {
            fits = fits && (!self.chosen[child] || self.follow_child(m, child, at));
        }
        fits
    }

    /// Leaves the starts of a row before which a child fits in one of its modes.
    fn follow_child(&mut self, m: &Model, child: usize, row: usize) -> bool {
        let mut from = Vec::with_capacity(self.table[child].len());
        for rows in &self.table[child] {
            let Some(last) = rows.count.checked_sub(1).map(|c| rows.first + c) else { return true };
            let lags = m.pair_lags[child].iter().map(|&l| &m.p.lags[l]);
            let (child, parent) = (&self.rows[last], &self.rows[row]);
            let reach = Reach::of(m, lags, (child.task, rows.mode), (parent.task, parent.mode));
            from.push((last, reach));
        }
        self.follow(row, &from)
    }

    /// Leaves the starts of a row that some start of one of other rows leads to.
    fn follow(&mut self, row: usize, from: &[(usize, Reach)]) -> bool {
        self.some.clear();
        for (child, reach) in from {
            let (least, most) = reach.ends();
            let runs = self.rows[*child].runs.iter();
            self.some.extend(runs.map(|r| (r.0.saturating_add(least), r.1.saturating_add(most))));
            self.reaches.push((*child, row, reach.clone()));
        }
        join(&mut self.some);
        meet(&mut self.rows[row].runs, &self.some, &mut self.other);
        !self.rows[row].runs.is_empty()
    }

    /// Leaves out starts of the root that cost more by themselves than the
    /// cheapest of a few quick choices with all that leads to it.
    fn sharpen(&mut self, state: &State, day: &Day, step: usize) {
        let m = state.m;
        let mut known = NEVER;
        for i in 0..self.table[step].len() {
            let Rows { mode, first, count } = self.table[step][i];
            if count != 1 {
                return;
            }
            self.own(state, day, first);
            let row = &self.rows[first];
            let all = row.runs.iter().flat_map(|&(from, past)| from..past);
            let Some((own, at)) = all.map(|s| (row.own[(s - row.lo) as usize], s)).min() else {
                continue;
            };
            if own < known {
                let fee = mode_price(m, step, mode) * m.scale;
                known = known.min(own + fee + self.quick(state, day, step, first, at));
            }
        }
        if known >= NEVER {
            return;
        }
        for i in 0..self.table[step].len() {
            let Rows { mode, first, .. } = self.table[step][i];
            let most = known - mode_price(m, step, mode) * m.scale;
            let row = &mut self.rows[first];
            let mut kept: Runs = std::mem::take(&mut self.other);
            kept.clear();
            for &(from, past) in &row.runs {
                for s in from..past {
                    if row.own[(s - row.lo) as usize] <= most {
                        match kept.last_mut() {
                            Some(run) if run.1 == s => run.1 = s + 1,
                            _ => kept.push((s, s + 1)),
                        }
                    }
                }
            }
            // What was priced from its first start on stays so.
            std::mem::swap(&mut row.runs, &mut kept);
            self.other = kept;
        }
    }

    /// What all that leads to a start of a row costs when each step is done as
    /// late as it can be, in its first mode that fits; [`NEVER`] if that is not possible.
    fn quick(&mut self, state: &State, day: &Day, step: usize, row: usize, at: i32) -> i64 {
        let m = state.m;
        let mut sum = 0;
        for &child in &m.children[step] {
            if !self.chosen[child] {
                continue;
            }
            let mut least = NEVER;
            for i in 0..self.table[child].len() {
                let Rows { mode, first, count } = self.table[child][i];
                let fee = mode_price(m, child, mode) * m.scale;
                if count == 0 {
                    least = least.min(0);
                    continue;
                }
                if count > 1 || least < NEVER {
                    continue;
                }
                let Some(reach) = self.reaches.iter().find(|r| (r.0, r.1) == (first, row)) else {
                    continue;
                };
                let (shortest, longest) = reach.2.ends();
                let runs = &self.rows[first].runs;
                let Some(s) =
                    last_in(runs, at.saturating_sub(longest), at.saturating_sub(shortest))
                else {
                    continue;
                };
                let wait = reach.2.price(at - s) * m.scale;
                let source = !m.children[child].iter().any(|&c| self.chosen[c]);
                let key = (self.rows[first].task, mode);
                let last = m.loads(child, mode).next_back() == Some(key.0);
                let counting = Counting { day: source, dish: last };
                self.offer.runs.clear();
                self.offer.runs.push((s, s + 1));
                self.offer.price(state, day, key, counting);
                let own = self.offer.cost.first().copied().unwrap_or(NEVER);
                if own < NEVER {
                    let below = self.quick(state, day, child, first, s);
                    least = (own + wait + fee + below).min(NEVER);
                }
            }
            sum = (sum + least).min(NEVER);
            if sum >= NEVER {
                break;
            }
        }
        sum
    }

    /// Leaves the starts of a step's rows that lead to some start of its parent's.
    fn lead_to(&mut self, m: &Model, step: usize) {
        for i in 0..self.table[step].len() {
            let Rows { first, count, .. } = self.table[step][i];
            for row in (first..first + count).rev() {
                self.some.clear();
                for (child, parent, reach) in self.reaches.iter().filter(|r| r.0 == row) {
                    debug_assert_eq!(*child, row);
                    let (least, most) = reach.ends();
                    let runs = self.rows[*parent].runs.iter();
                    let back =
                        |r: &(i32, i32)| (r.0.saturating_sub(most), r.1.saturating_sub(least));
                    self.some.extend(runs.map(back));
                }
                join(&mut self.some);
                meet(&mut self.rows[row].runs, &self.some, &mut self.other);
            }
        }
        debug_assert!(m.parent[step] != NONE);
    }

    /// Prices what a row's task costs by itself.
    fn own(&mut self, state: &State, day: &Day, row: usize) {
        let m = state.m;
        let (task, mode) = (self.rows[row].task, self.rows[row].mode);
        let step = m.p.tasks[task].step;
        let last = m.loads(step, mode).next_back() == Some(task);
        let first = m.loads(step, mode).find(|&t| !state.placed[t]) == Some(task);
        let source = first && !m.children[step].iter().any(|&c| self.chosen[c]);
        let counting = Counting { day: source, dish: last };
        std::mem::swap(&mut self.offer.runs, &mut self.rows[row].runs);
        self.offer.price(state, day, (task, mode), counting);
        std::mem::swap(&mut self.offer.runs, &mut self.rows[row].runs);
        std::mem::swap(&mut self.offer.cost, &mut self.rows[row].own);
        self.rows[row].lo = self.offer.lo;
        self.rows[row].priced = true;
    }

    /// Fills the rows of a step with prices; false if it fits nowhere in any mode.
    fn price(&mut self, state: &State, day: &Day, step: usize) -> bool {
        let mut any = false;
        let modes = std::mem::take(&mut self.table[step]);
        for &rows in &modes {
            let fits = (rows.first..rows.first + rows.count)
                .all(|row| self.price_row(state, day, row, row > rows.first));
            if fits {
                self.table[step].push(rows);
                any = true;
            }
        }
        any
    }

    fn price_row(&mut self, state: &State, day: &Day, at: usize, chained: bool) -> bool {
        let m = state.m;
        if self.rows[at].runs.is_empty() {
            return false;
        }
        if !self.rows[at].priced {
            self.own(state, day, at);
        }
        let mut row = std::mem::take(&mut self.rows[at]);
        let (step, length) = (m.p.tasks[row.task].step, row.own.len());
        row.below.clear();
        let mut fits = true;
        if chained {
            row.below.resize(length, NEVER);
            let chain = self.reaches.iter().position(|r| (r.0, r.1) == (at - 1, at));
            if let Some(reach) = chain {
                let mut below = std::mem::take(&mut row.below);
                self.slide(m, reach, &row, &mut below, false);
                row.below = below;
            }
        } else {
            row.below.resize(length, mode_price(m, step, row.mode) * m.scale);
            for &child in &m.children[step] {
                fits = fits && (!self.chosen[child] || self.hang(state, child, at, &mut row));
            }
        }
        row.sum.clear();
        row.sum.resize(length, NEVER);
        let mut any = false;
        for s in row.runs.iter().flat_map(|&(from, past)| from - row.lo..past - row.lo) {
            let sum = (row.below[s as usize] + row.own[s as usize]).min(NEVER);
            row.sum[s as usize] = sum;
            any |= sum < NEVER;
        }
        self.rows[at] = row;
        fits && any
    }

    /// Adds what a child with all that leads to it costs, for each start of
    /// its parent; false if it can stand nowhere.
    fn hang(&mut self, state: &State, child: usize, at: usize, row: &mut Row) -> bool {
        let m = state.m;
        let mut buffer = std::mem::take(&mut self.buffer);
        buffer.clear();
        buffer.resize(row.below.len(), NEVER);
        let mut any = false;
        for i in 0..self.table[child].len() {
            let Rows { first, count, .. } = self.table[child][i];
            let Some(last) = count.checked_sub(1).map(|c| first + c) else {
                buffer.fill(0);
                any = true;
                continue;
            };
            let Some(reach) = self.reaches.iter().position(|r| (r.0, r.1) == (last, at)) else {
                continue;
            };
            let kept = self.keep(state, child, last, row);
            self.slide(m, reach, row, &mut buffer, kept);
            any = true;
        }
        for (below, &more) in row.below.iter_mut().zip(&buffer) {
            *below = (*below + more).min(NEVER);
        }
        self.buffer = buffer;
        any
    }

    /// Lowers the prices of a row's starts to those of the cheapest start before each.
    fn slide(&mut self, m: &Model, reach: usize, to: &Row, out: &mut [i64], kept: bool) {
        let (child, _, reach) = &self.reaches[reach];
        reach.cut(m.scale, &mut self.bends, &mut self.list);
        let from = &self.rows[*child];
        let not_before = kept.then_some(self.least_start.as_slice());
        for &piece in &self.list {
            let (before, after) = ((from.lo, from.sum.as_slice()), (to.lo, &mut *out));
            self.slider.run(before, piece, not_before, after, &to.runs);
        }
    }

    /// Works out how early the child may start for each start of its parent,
    /// so that what is kept from one to the other is free between. False if
    /// nothing is kept.
    fn keep(&mut self, state: &State, child: usize, from: usize, to: &Row) -> bool {
        let m = state.m;
        let parent = m.parent[child];
        let from = &self.rows[from];
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
            let Some(after) = b.or(a) else { continue };
            let (a, b) = part_in_stay(m, k.stay, to.task, to.mode);
            let Some(before) = a.or(b) else { continue };
            if !kept {
                self.least_start.clear();
                self.least_start.resize(to.below.len(), i32::MIN / 2);
                kept = true;
            }
            let mut since = bits::run_start(free, to.lo + before);
            let mut minute = to.lo + before;
            for (s, least) in self.least_start.iter_mut().enumerate() {
                while minute < to.lo + s as i32 + before {
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
}

/// Sorts runs and joins those that touch.
fn join(runs: &mut Runs) {
    runs.sort_unstable();
    let mut kept = 0;
    for i in 0..runs.len() {
        let run = runs[i];
        if run.0 >= run.1 {
            continue;
        }
        if kept > 0 && run.0 <= runs[kept - 1].1 {
            runs[kept - 1].1 = runs[kept - 1].1.max(run.1);
        } else {
            runs[kept] = run;
            kept += 1;
        }
    }
    runs.truncate(kept);
}

/// Leaves what lies in runs of the others too.
pub fn meet(runs: &mut Runs, others: &[(i32, i32)], room: &mut Runs) {
    room.clear();
    let mut next = 0;
    for &(from, past) in runs.iter() {
        while next < others.len() && others[next].1 <= from {
            next += 1;
        }
        let mut at = next;
        while at < others.len() && others[at].0 < past {
            room.push((from.max(others[at].0), past.min(others[at].1)));
            at += 1;
        }
    }
    std::mem::swap(runs, room);
}

/// The last minute of the runs in `from..=to`.
fn last_in(runs: &[(i32, i32)], from: i32, to: i32) -> Option<i32> {
    let run = runs.iter().rev().find(|r| r.0 <= to)?;
    let last = to.min(run.1 - 1);
    (last >= from).then_some(last)
}
