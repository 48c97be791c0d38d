//! Puts a tree of steps into what stands already, all of its starts, modes,
//! cooks and its hold chosen together.
//!
//! The dynamic program ([`super::program`]) says for each start of a step what
//! it costs at least with all that leads to it. It sees what stands, the lags
//! within the tree with their prices, and the pans kept meanwhile; it does not
//! see that two branches of the tree may want the same hands. Then the tree is
//! placed from the root down, each step looked at afresh, and where a branch
//! does not fit any more the step above tries another place.

use super::hold;
use super::model::{Model, NONE};
use super::offer::{Counting, Day, NEVER, Offer, can_cook, pick_cook};
use super::program::{Program, Rows, meet};
use super::state::State;
use crate::plan::problem::Schedule;

/// Places tried in one insertion before it is given up.
const MOST_TRIES: usize = 60;

/// Puts trees of steps in. Keeps its memory between uses.
#[derive(Debug, Clone, Default)]
pub struct Inserter {
    program: Program,
    offer: Offer,
    day: Day,
    room: Vec<(i32, i32)>,
    tries: usize,
    /// For each task the starts worth a look.
    within: Vec<(i32, i32)>,
    /// Minutes that a dish may be late; more only if there is no other way.
    pub late_room: i32,
    /// The room for lateness cut a window short.
    cramped: bool,
    /// Where the last insertion failed.
    pub stuck: Option<usize>,
}

impl Inserter {
    /// Puts a price on each minute later for the insertions that follow (0: none).
    pub const fn hurry(&mut self, price: i64) {
        self.day.hurry = price;
    }

    /// Puts in the unplaced tasks of these steps (parents before children) and
    /// settles their dishes. On failure some of them may stand: take them out.
    pub fn insert(&mut self, state: &mut State, steps: &[usize]) -> bool {
        self.begin(state, steps);
        self.narrow(state, steps, self.late_room);
        if self.put_in(state, steps) {
            return true;
        }
        // Perhaps it must be very late.
        if self.late_room >= state.m.h || !self.cramped {
            return false;
        }
        for &step in steps {
            take_out(state, step);
        }
        self.begin(state, steps);
        self.narrow(state, steps, state.m.h);
        self.put_in(state, steps)
    }

    /// Can these steps certainly not be put in, whatever is tried? Only the
    /// program looks, which asks for less than the placing does (but for steps
    /// in several loads, of which nothing is certain).
    pub fn hopeless(&mut self, state: &State, steps: &[usize]) -> bool {
        let m = state.m;
        let loads = |&s: &usize| m.modes[s].iter().all(|&w| m.loads(s, w).len() <= 1);
        self.begin(state, steps);
        self.narrow(state, steps, m.h);
        let all = (steps, self.within.as_slice());
        steps.iter().all(loads) && self.program.run(state, &self.day, all, false).is_err()
    }

    /// Can this task certainly not be put in, even by itself?
    pub fn no_room(&mut self, state: &State, task: usize) -> bool {
        let m = state.m;
        let far = i32::MAX / 4;
        let fits = |&mode: &usize| self.offer.find(state, (task, mode), (-far, far), false);
        !m.modes[m.p.tasks[task].step].iter().any(fits)
    }

    /// The cheapest place by what the program sees; where the tree does not fit
    /// there after all, all places.
    fn put_in(&mut self, state: &mut State, steps: &[usize]) -> bool {
        for sharp in [true, false] {
            let all = (steps, self.within.as_slice());
            if let Err(step) = self.program.run(state, &self.day, all, sharp) {
                self.stuck = Some(step);
                if sharp && !state.m.rewards {
                    self.program.begin(state.m, steps);
                    continue;
                }
                return false;
            }
            if self.place(state, steps) {
                return true;
            }
            if sharp {
                steps.iter().for_each(|&s| take_out(state, s));
                self.begin(state, steps);
            }
        }
        false
    }

    /// Places what the program has priced, from the roots down.
    fn place(&mut self, state: &mut State, steps: &[usize]) -> bool {
        self.tries = MOST_TRIES;
        for &step in steps {
            let parent = state.m.parent[step];
            let root = parent == NONE || !self.program.chosen[parent];
            if root && !self.descend(state, step) {
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
        let mut redo = Vec::new();
        self.day.read(state);
        for task in in_order_of(state, warm) {
            let step = m.p.tasks[task].step;
            if redo.contains(&step) || !self.put_where(state, task, warm) {
                redo.push(step);
            }
        }
        for &step in &redo {
            take_out(state, step);
        }
        for d in hold::settle_all(state, warm) {
            let last = m.p.dishes[d].last_step;
            take_out(state, last);
            redo.push(last);
        }
        redo
    }

    /// The same, if all of it fits; false as soon as something does not.
    pub fn keep_all(&mut self, state: &mut State, warm: &Schedule) -> bool {
        self.day.read(state);
        in_order_of(state, warm).into_iter().all(|task| self.put_where(state, task, warm))
            && hold::settle_all(state, warm).is_empty()
    }

    /// Puts a task where another schedule has it, with its cook if he still can; false if it does not fit there.
    fn put_where(&mut self, state: &mut State, task: usize, warm: &Schedule) -> bool {
        let (mode, at) = (state.mode[state.m.p.tasks[task].step], warm.start[task]);
        if !self.offer.find(state, (task, mode), (at, at), false) {
            return false;
        }
        self.put_with(state, task, at, warm.cook[task]);
        true
    }

    /// Puts a task where it fits, with this cook if he can.
    fn put_with(&mut self, state: &mut State, task: usize, at: i32, cook: Option<usize>) {
        let mode = state.mode[state.m.p.tasks[task].step];
        let cook = cook
            .filter(|&c| can_cook(state, task, mode, at, c))
            .unwrap_or_else(|| pick_cook(state, &self.day, task, mode, at));
        state.place(task, at, cook);
        self.day.add(state, task);
    }

    /// Puts every task where another schedule has it or as soon after as it
    /// fits, no sooner than the minutes given, in the order of that schedule.
    ///
    /// # Errors
    /// Where something finds no place: the tasks that should stand later for it.
    pub fn put_off(
        &mut self,
        state: &mut State,
        warm: &Schedule,
        not_before: &[i32],
    ) -> Result<(), Vec<usize>> {
        let m = state.m;
        self.day.read(state);
        for task in in_order_of(state, warm) {
            let mode = state.mode[m.p.tasks[task].step];
            let within = (warm.start[task].max(not_before[task]), i32::MAX / 4);
            let fits = self.offer.find(state, (task, mode), within, false);
            let Some(&(at, _)) = self.offer.runs.first().filter(|_| fits) else {
                return Err(holding_back(state, task));
            };
            self.put_with(state, task, at, warm.cook[task]);
        }
        let Some(&without) = hold::settle_all(state, warm).first() else { return Ok(()) };
        let dish = &m.p.dishes[without];
        let limits = dish.holds.iter().flat_map(|h| &h.limits).chain(&dish.straight);
        let mut tasks: Vec<usize> = limits.map(|l| l.from.task).collect();
        tasks.extend(m.loads(dish.last_step, state.mode[dish.last_step]));
        Err(tasks)
    }

    fn begin(&mut self, state: &State, steps: &[usize]) {
        self.stuck = None;
        self.program.begin(state.m, steps);
        self.day.read(state);
    }

    /// Finds the starts worth a look for each task: a dish not too late, and
    /// each step as its lags to the step after it allow.
    fn narrow(&mut self, state: &State, steps: &[usize], late_room: i32) {
        let m = state.m;
        let far = i32::MAX / 4;
        self.cramped = false;
        self.within.clear();
        self.within.extend(m.early.iter().zip(&m.late).map(|(&a, &b)| (a, b)));
        for &step in steps {
            let s = &m.p.steps[step];
            for task in s.tasks().rev() {
                let (mut lo, mut hi) = self.within[task];
                for &d in &m.dishes_of[step] {
                    let latest = m.p.dishes[d].due.max(0).saturating_add(late_room);
                    self.cramped |= latest < hi;
                    hi = hi.min(latest);
                }
                for arc in &m.arcs_of[task] {
                    if arc.from == task && self.wanted(state, arc.to) {
                        hi = hi.min(self.within[arc.to].1.saturating_sub(arc.least));
                    } else if arc.to == task && self.wanted(state, arc.from) {
                        lo = lo.max(self.within[arc.from].0.saturating_add(arc.least));
                    }
                }
                self.within[task] = (lo.max(-far), hi.min(far));
            }
        }
    }

    /// Is the task put in now?
    fn wanted(&self, state: &State, task: usize) -> bool {
        !state.placed[task] && self.program.chosen[state.m.p.tasks[task].step]
    }

    /// Children of a step that are put in with it.
    fn children(&self, m: &Model, step: usize) -> Vec<usize> {
        m.children[step].iter().copied().filter(|&c| self.program.chosen[c]).collect()
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
        for i in 0..self.program.table[step].len() {
            let Rows { mode, first, count } = self.program.table[step][i];
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
        let Rows { first, count, .. } = self.program.table[step][i];
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
        let (task, mode) = (self.program.rows[row].task, self.program.rows[row].mode);
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
        let row = &self.program.rows[row];
        let (from, past) = (row.runs.first()?.0, row.runs.last()?.1);
        let key = (row.task, row.mode);
        if !self.offer.find(state, key, (from, past - 1), dish) {
            return None;
        }
        meet(&mut self.offer.runs, &row.runs, &mut self.room);
        self.offer.price(state, &self.day, key, Counting { day: true, dish });
        let mut best: Option<(i64, i32)> = None;
        let free = |s: i32| !barred.iter().any(|b| b.0 == row.mode && b.1 <= s && s <= b.2);
        for s in self.offer.runs.iter().flat_map(|&(from, past)| from..past) {
            let (own, below) = ((s - self.offer.lo) as usize, (s - row.lo) as usize);
            let cost = self.offer.cost[own] + row.below[below];
            if cost < NEVER && best.is_none_or(|b| cost <= b.0) && free(s) {
                best = Some((cost, s));
            }
        }
        best
    }
}

/// What is done and does not stand yet, in the order of another schedule.
fn in_order_of(state: &State, warm: &Schedule) -> Vec<usize> {
    let open = |&t: &usize| state.active(t) && !state.placed[t];
    let mut order: Vec<usize> = (0..state.m.p.tasks.len()).filter(open).collect();
    order.sort_by_key(|&t| (warm.start[t], t));
    order
}

/// Tasks that stand and leave a task no minute that is late enough.
fn holding_back(state: &State, task: usize) -> Vec<usize> {
    let m = state.m;
    let lags = m.lags_of[task].iter().map(|&l| &m.p.lags[l]);
    let hard = lags.filter(|l| l.soft_most.is_none());
    let other = |l: &crate::plan::problem::Lag| {
        let most = l.to.task == task && l.most != i32::MAX;
        let least = l.from.task == task && l.least != i32::MIN;
        if most {
            Some(l.from.task)
        } else if least {
            Some(l.to.task)
        } else {
            None
        }
    };
    hard.filter_map(other).filter(|&t| t != task && state.stands(t)).collect()
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
