//! The search over rough schedules: a dish before or behind all others from some
//! minute on, some of a dish before or after something else, two dishes in each other's place, a dish ready earlier or later, a step
//! done another way. Dearer schedules are taken now and then, the less often the
//! longer it lasts; then it begins again from the best.

use super::cuts::Cuts;
use super::{Rail, Standing};
use crate::plan::problem::Schedule;
use crate::plan::search::foresight::{self, Foresight};
use crate::plan::search::model::NONE;
use crate::plan::search::price;
use crate::plan::search::rng::Rng;
use crate::plan::search::state::State;

/// Changes tried in the first cooling; each later one takes twice as long.
const FIRST_COOLING: u64 = 1_000;
/// Changes of the longest cooling.
const LONGEST_COOLING: u64 = 64_000;
/// Every so manieth change is worked off whatever it costs: how much dearer those are that are dearer is seen by these.
const MEASURED: u64 = 4;
/// How many of these, the last ones, say so; up to then every change is.
const SEEN: i64 = 64;
/// Minutes by which a dish may be wanted earlier or later.
const SHIFTS: [i32; 10] = [-60, -30, -15, -8, -3, 3, 8, 15, 30, 60];

/// A search in work.
#[derive(Debug, Clone)]
pub struct Orders<'m> {
    rail: Rail<'m>,
    /// What stands when only what has begun does.
    bare: Standing<'m>,
    /// The schedule from which changes are tried.
    base: Standing<'m>,
    /// The same without what comes late in it.
    cuts: Cuts<'m>,
    rank: i64,
    best: Standing<'m>,
    best_rank: i64,
    /// How much dearer those are that are dearer, in the middle.
    heat: i64,
    seen: i64,
    tried: u64,
    cooling: u64,
    /// For each task its place in the order.
    key: Vec<i32>,
    /// Units with something left to do, and for each their tasks that have not begun.
    units: Vec<Vec<usize>>,
    /// Steps that have not begun and may be done in several modes.
    choices: Vec<usize>,
    again: Vec<usize>,
    foresight: Foresight,
}

/// What is put in anew: all that comes at or after a minute, a step perhaps in another mode.
#[derive(Debug, Clone, Copy)]
struct Change {
    from: i32,
    mode: Option<(usize, usize)>,
}

impl<'m> Orders<'m> {
    /// Begins with a schedule that keeps every rule. None if it does not seem to.
    pub fn new(bare: &State<'m>, like: &Schedule) -> Option<Self> {
        let m = bare.m;
        let rail = Rail::new(m, bare)?;
        let open = |t: usize| m.p.tasks[t].fixed.is_none();
        let tasks = |unit: &Vec<usize>| -> Vec<usize> {
            let all = unit.iter().map(|&s| &m.p.steps[s]);
            all.flat_map(|s| s.tasks()).filter(|&t| open(t)).collect()
        };
        let units: Vec<Vec<usize>> = m.units.iter().map(tasks).filter(|u| !u.is_empty()).collect();
        let choices = (0..m.p.steps.len()).filter(|&s| m.modes[s].len() > 1).collect();
        let standing = rail.now.clone();
        let mut orders = Self {
            rail,
            bare: standing.clone(),
            base: standing.clone(),
            cuts: Cuts::default(),
            rank: i64::MAX,
            best: standing,
            best_rank: i64::MAX,
            heat: 0,
            seen: 0,
            tried: 0,
            cooling: FIRST_COOLING,
            key: vec![0; m.p.tasks.len()],
            units,
            choices,
            again: Vec::new(),
            foresight: Foresight::new(m),
        };
        orders.adopt(like).then_some(orders)
    }

    /// Goes on from a schedule, if it is the best so far; false if it does not
    /// seem to keep every rule.
    pub fn adopt(&mut self, like: &Schedule) -> bool {
        self.rail.now.clone_from(&self.bare);
        self.rail.now.laid.mode.clone_from(&like.mode);
        for i in 0..self.rail.open.len() {
            let t = self.rail.open[i];
            if self.rail.now.laid.active(t) {
                self.rail.stand(t, like.start[t], like.cook[t].unwrap_or(NONE));
            }
        }
        let (fits, rank) = self.settle_all(like);
        if fits && rank < self.best_rank {
            self.rank = rank;
            self.best_rank = rank;
            self.go_on_from_here();
            self.best.copy(&self.rail.now);
        }
        fits
    }

    /// Lets all dishes wait, each as is cheapest by itself, or as a schedule has it, whichever is better for all of them
    /// together (see [`super::super::hold::settle_all`]). Gives whether all can, and the rank of it.
    fn settle_all(&mut self, like: &Schedule) -> (bool, i64) {
        let (rail, dishes) = (&mut self.rail, 0..like.hold.len());
        let own = |d: usize| like.hold[d].unwrap_or(NONE);
        let settle = |rail: &mut Rail<'m>, as_there: bool| {
            dishes.clone().for_each(|d| rail.unsettle(d));
            let mut each = dishes.clone();
            let fits = each.all(|d| rail.settle_rather(d, as_there.then(|| own(d))));
            (fits, price::rank(&rail.now.laid))
        };
        let alone = settle(rail, false);
        if alone.0 && dishes.clone().all(|d| rail.now.laid.hold[d] == own(d)) {
            return alone;
        }
        let there = settle(rail, true);
        let better = there.0 && (!alone.0 || there.1 < alone.1);
        if better { there } else { settle(rail, false) }
    }

    /// What the best schedule costs, as [`price::rank`] says it.
    pub const fn best_rank(&self) -> i64 {
        self.best_rank
    }

    /// The best schedule.
    pub fn schedule(&mut self) -> Schedule {
        self.rail.now.copy(&self.best);
        self.rail.schedule()
    }

    /// Changes are tried from where everything stands now.
    fn go_on_from_here(&mut self) {
        self.base.copy(&self.rail.now);
        self.cuts.forget();
    }

    /// Is there nothing to be changed?
    pub fn is_over(&self) -> bool {
        self.units.is_empty()
    }

    /// Tries one change; true if what comes of it is the best so far.
    pub fn round(&mut self, rng: &mut Rng) -> bool {
        self.tried += 1;
        if self.tried > self.cooling {
            self.tried = 0;
            self.cooling = (self.cooling * 2).min(LONGEST_COOLING);
            self.rail.now.copy(&self.best);
            self.go_on_from_here();
            self.rank = self.best_rank;
        }
        let Some(change) = self.change(rng) else { return false };
        let measured = self.seen < SEEN || self.tried.is_multiple_of(MEASURED);
        let most = (!measured).then(|| self.rank.saturating_add(self.boldness(rng)));
        if !self.work_off(change, most.unwrap_or(i64::MAX)) {
            return false;
        }
        let rank = price::rank(&self.rail.now.laid);
        if measured && rank > self.rank {
            self.seen = (self.seen + 1).min(SEEN);
            self.heat += ((rank - self.rank).min(self.rank / 2) - self.heat) / self.seen;
        }
        // What is measured counts for itself too: the first that are dearer would be refused otherwise.
        let most = most.unwrap_or_else(|| self.rank.saturating_add(self.boldness(rng)));
        if rank > most {
            return false;
        }
        self.rank = rank;
        self.go_on_from_here();
        let better = rank < self.best_rank;
        if better {
            self.best_rank = rank;
            self.best.copy(&self.rail.now);
        }
        better
    }

    /// How much dearer a schedule may be: less and less over a cooling.
    fn boldness(&self, rng: &mut Rng) -> i64 {
        let left = (self.cooling - self.tried) as i128 * 64 / self.cooling as i128;
        let heat = (i128::from(self.heat) * left * left / (4096 * 8)) as i64;
        (heat / 256).saturating_mul(rng.boldness())
    }

    /// Puts in anew all that comes at or after a change; false if something finds no place.
    fn work_off(&mut self, Change { from, mode }: Change, most: i64) -> bool {
        let Self { rail, base, cuts, key, again, foresight: seen, .. } = self;
        cuts.lay(rail, base, from);
        if let Some((step, mode)) = mode {
            rail.set_mode(step, mode);
        }
        // What leads to a task comes before it, whatever the keys say.
        again.clear();
        seen.begin();
        for &t in &rail.open {
            if !rail.now.laid.active(t) {
                continue;
            }
            let leads = rail.before[t].iter().filter(|tie| tie.least != i32::MIN);
            let last =
                leads.filter(|tie| rail.now.laid.active(tie.other)).map(|tie| key[tie.other]);
            key[t] = key[t].max(last.max().unwrap_or(i32::MIN));
            if key[t] >= from || !rail.now.laid.placed[t] {
                again.push(t);
            } else {
                seen.stands(rail.m, t, rail.now.laid.start[t]);
            }
        }
        again.sort_by_key(|&t| key[t]);
        for &t in again.iter().rev() {
            if rail.now.laid.placed[t] {
                rail.lift(t);
            }
        }
        rail.broken = false;
        let within = foresight::within(rail.m, most);
        again.iter().all(|&t| {
            rail.put(t) && {
                seen.stands(rail.m, t, rail.now.laid.start[t]);
                seen.least() <= within
            }
        })
    }

    /// Chooses a change: sets what is wanted when, and the order. None if nothing
    /// would change.
    fn change(&mut self, rng: &mut Rng) -> Option<Change> {
        self.as_it_stands(rng);
        let from = match rng.below(40) {
            0..=23 => self.give_way(rng),
            24..=33 => self.move_some(rng),
            34..=36 => self.swap_two(rng),
            37 => return self.do_otherwise(rng),
            _ => self.shift_one(rng),
        };
        from.map(|from| Change { from, mode: None })
    }

    /// Everything is wanted where it stands; what is late, and what only others
    /// wait for, as soon as may be.
    fn as_it_stands(&mut self, rng: &mut Rng) {
        let m = self.rail.m;
        let hurry = rng.below(8);
        for unit in &self.units {
            let laid = &self.base.laid;
            let steps = unit.iter().map(|&t| m.p.tasks[t].step);
            let mut dishes = steps.flat_map(|s| &m.dishes_of[s]).peekable();
            let job = dishes.peek().is_none();
            let is_late = |&d: &usize| laid.made(d).is_some_and(|(_, r)| r > m.p.dishes[d].due);
            let soon = hurry == 0 || job || dishes.any(is_late);
            for &t in unit {
                self.key[t] = self.base.laid.start[t];
                self.rail.wanted[t] = if soon { 0 } else { self.key[t] };
            }
        }
    }

    /// Tasks of a unit that stand.
    fn active(&self, unit: usize) -> Vec<usize> {
        let mut tasks = self.units[unit].clone();
        tasks.retain(|&t| self.base.laid.active(t));
        tasks.sort_by_key(|&t| (self.key[t], t));
        tasks
    }

    /// A unit: every other time of two the one whose dish is later.
    fn pick(&self, rng: &mut Rng) -> usize {
        let (a, b) = (rng.below(self.units.len()), rng.below(self.units.len()));
        let late = |u: usize| {
            let m = self.rail.m;
            let steps = self.units[u].iter().map(|&t| m.p.tasks[t].step);
            let dishes = steps.flat_map(|s| &m.dishes_of[s]);
            let late = |&d: &usize| self.base.laid.made(d).map(|(_, r)| r - m.p.dishes[d].due);
            dishes.filter_map(late).max().unwrap_or(0).max(0)
        };
        if rng.below(2) == 0 && late(b) > late(a) { b } else { a }
    }

    /// Tasks come so many minutes later (or earlier): wanted then, or as soon as
    /// may be but in this order.
    fn move_by(&mut self, tasks: &[usize], by: i32, rng: &mut Rng) -> Option<i32> {
        let soon = rng.below(2) == 0;
        let mut first = i32::MAX;
        for &t in tasks {
            first = first.min(self.key[t]);
            self.key[t] += by;
            first = first.min(self.key[t]);
            self.rail.wanted[t] = if soon { 0 } else { self.key[t] };
        }
        (by != 0).then_some(first)
    }

    /// Some of a unit comes just before or after a task of another.
    fn move_some(&mut self, rng: &mut Rng) -> Option<i32> {
        let unit = self.pick(rng);
        let mut tasks = self.active(unit);
        if tasks.is_empty() {
            return None;
        }
        let at = rng.below(tasks.len());
        match rng.below(8) {
            0 => tasks = vec![tasks[at]],
            1 => tasks.truncate(at + 1),
            2 => drop(tasks.drain(..at)),
            _ => {}
        }
        let other = rng.below(self.units.len());
        let others = self.active(other);
        if other == unit || others.is_empty() {
            return None;
        }
        let to = others[rng.below(others.len())];
        let anchor = if rng.below(2) == 0 { tasks[0] } else { tasks[tasks.len() - 1] };
        let beside = if rng.below(2) == 0 { -1 } else { 1 };
        let by = self.key[to] + beside - self.key[anchor];
        self.move_by(&tasks, by, rng)
    }

    /// Two units change places: the first or the last tasks of both.
    fn swap_two(&mut self, rng: &mut Rng) -> Option<i32> {
        let (a, b) = (self.pick(rng), rng.below(self.units.len()));
        let (one, two) = (self.active(a), self.active(b));
        if a == b || one.is_empty() || two.is_empty() {
            return None;
        }
        let by = if rng.below(2) == 0 {
            self.key[two[0]] - self.key[one[0]]
        } else {
            self.key[two[two.len() - 1]] - self.key[one[one.len() - 1]]
        };
        let first = self.move_by(&one, by, rng)?;
        Some(first.min(self.move_by(&two, -by, rng)?))
    }

    /// A unit comes some minutes earlier or later.
    fn shift_one(&mut self, rng: &mut Rng) -> Option<i32> {
        let tasks = self.active(self.pick(rng));
        self.move_by(&tasks, SHIFTS[rng.below(SHIFTS.len())], rng)
    }

    /// From a task of another unit on, a unit has the right of way: it goes before all else, or
    /// gives way to all else up to the other's end.
    fn give_way(&mut self, rng: &mut Rng) -> Option<i32> {
        let first = rng.below(2) == 0;
        let unit = self.pick(rng);
        let tasks = self.active(unit);
        let other = rng.below(self.units.len());
        let others = self.active(other);
        if other == unit || others.is_empty() || tasks.is_empty() {
            return None;
        }
        let from = self.key[others[rng.below(others.len())]];
        if first {
            return self.gather(&tasks, (from, i32::MAX), from - 1);
        }
        let end = self.key[others[others.len() - 1]];
        self.gather(&tasks, (from, end), end + 1)
    }

    /// Tasks between two minutes come one right after the other, as soon as may be.
    fn gather(&mut self, tasks: &[usize], (from, to): (i32, i32), at: i32) -> Option<i32> {
        let mut first = None;
        for &t in tasks {
            let key = self.key[t];
            if key >= from && key <= to {
                first = Some(first.unwrap_or(at).min(key));
                self.key[t] = at;
                self.rail.wanted[t] = 0;
            }
        }
        first
    }

    /// A step is done in another mode.
    fn do_otherwise(&mut self, rng: &mut Rng) -> Option<Change> {
        let m = self.rail.m;
        let step = *self.choices.get(rng.below(self.choices.len()))?;
        let mode = m.modes[step][rng.below(m.modes[step].len())];
        if mode == self.base.laid.mode[step] {
            return None;
        }
        let loads = self.base.laid.loads(step);
        let (mut first, mut last) = (i32::MAX, 0);
        for t in loads.filter(|&t| m.p.tasks[t].fixed.is_none()) {
            first = first.min(self.key[t]);
            last = last.max(self.key[t]);
        }
        for t in m.loads(step, mode) {
            self.key[t] = if self.key[t] == 0 { last } else { self.key[t] };
            self.rail.wanted[t] = 0;
        }
        let soon = rng.below(2) == 0;
        let unit = self.units.iter().find(|u| u.iter().any(|&t| m.p.tasks[t].step == step))?;
        for &t in unit.iter().filter(|_| soon) {
            self.rail.wanted[t] = 0;
        }
        Some(Change { from: first, mode: Some((step, mode)) })
    }
}
