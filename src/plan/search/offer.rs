//! All starts at which one task fits, and what each of them costs, given what
//! stands already.

use super::bits;
use super::hold::Outlook;
use super::model::{Model, NONE};
use super::state::State;

/// Not possible.
pub const NEVER: i64 = i64::MAX / 4;

/// First and last hands-on minute of a cook so far.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Busy {
    /// First minute.
    pub first: i32,
    /// Minute after the last.
    pub last: i32,
}

/// What is worth knowing of the cooks' whole day while tasks are put in.
#[derive(Debug, Clone, Default)]
pub struct Day {
    /// For each resource that is a cook: when busy with tasks that are not fixed.
    pub busy: Vec<Option<Busy>>,
    /// The first hands-on minute of all.
    pub first: Option<i32>,
    /// A price on each minute later, which no schedule has to pay: makes a
    /// unit give way to what is put in after it.
    pub hurry: i64,
}

impl Day {
    /// Reads it from what stands.
    pub fn read(&mut self, state: &State) {
        self.busy.clear();
        self.busy.resize(state.m.p.resources.len(), None);
        self.first = None;
        for t in 0..state.placed.len() {
            if state.stands(t) && state.m.p.tasks[t].fixed.is_none() {
                self.add(state, t);
            }
        }
    }

    /// Adds a task that was just placed.
    pub fn add(&mut self, state: &State, task: usize) {
        let step = task_step(state.m, task);
        let hands = &state.m.p.steps[step].modes[state.mode[step]].hands;
        let (Some(a), Some(b)) = (hands.first(), hands.last()) else { return };
        let Some(busy) = self.busy.get_mut(state.cook[task]) else { return };
        let (first, last) = (state.start[task] + a.from, state.start[task] + b.to);
        *busy = Some(match *busy {
            Some(was) => Busy { first: was.first.min(first), last: was.last.max(last) },
            None => Busy { first, last },
        });
        self.first = Some(self.first.map_or(first, |f| f.min(first)));
    }
}

const fn task_step(m: &Model, task: usize) -> usize {
    m.p.tasks.as_slice()[task].step
}

/// A part of a cost that depends on the start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Term {
    /// So much for each minute later than this.
    Over(i32, i64),
    /// So much for each minute earlier than this.
    Under(i32, i64),
    /// So much once for any start later than this.
    After(i32, i64),
    /// So much once for any start earlier than this.
    Before(i32, i64),
}

impl Term {
    fn at(self, s: i32) -> i64 {
        match self {
            Self::Over(x, price) => price * i64::from((s - x).max(0)),
            Self::Under(x, price) => price * i64::from((x - s).max(0)),
            Self::After(x, price) => price * i64::from(s > x),
            Self::Before(x, price) => price * i64::from(s < x),
        }
    }
}

/// Room for working out offers, kept to save allocations.
#[derive(Debug, Clone, Default)]
pub struct Offer {
    /// Starts that fit.
    pub set: Vec<u64>,
    /// The first of them.
    pub lo: i32,
    /// The last of them.
    pub hi: i32,
    /// What each start from the first to the last costs, times [`Model::scale`],
    /// plus the minutes it lies before the end (so that of equals the latest is
    /// best); [`NEVER`] where it does not fit.
    pub cost: Vec<i64>,
    part: Vec<u64>,
    by_cook: Vec<u64>,
    terms: Vec<Term>,
}

/// Which costs an offer counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Counting {
    /// The cook's day growing longer.
    pub day: bool,
    /// The way the finished dish waits, for its last task.
    pub dish: bool,
}

impl Offer {
    /// Works out where a task fits in a mode within a window, and for what
    /// price. False if nowhere.
    pub fn work_out(
        &mut self,
        state: &State,
        day: &Day,
        (task, mode): (usize, usize),
        within: (i32, i32),
        counting: Counting,
    ) -> bool {
        let m = state.m;
        self.set.resize(bits::words(m.h.max(0) as usize), 0);
        self.cost.clear();
        let (mut lo, hi) = window(state, task, mode);
        lo = lo.max(within.0);
        let step = task_step(m, task);
        let looks: Vec<Outlook> = if counting.dish {
            m.dishes_of[step].iter().map(|&d| Outlook::new(state, d)).collect()
        } else {
            Vec::new()
        };
        let minutes = m.p.steps[step].modes[mode].minutes;
        let before = minutes * (m.loads(step, mode).len().saturating_sub(1) as i32);
        for look in &looks {
            lo = lo.max(look.earliest(state) - minutes + before);
        }
        if !self.fit(state, task, mode, (lo, hi.min(within.1))) {
            return false;
        }
        let first = self.set.iter().position(|&w| w != 0).unwrap_or(0);
        let last = self.set.iter().rposition(|&w| w != 0).unwrap_or(0);
        self.lo = (first * 64) as i32 + self.set[first].trailing_zeros() as i32;
        self.hi = (last * 64) as i32 + 63 - self.set[last].leading_zeros() as i32;
        self.price(state, day, task, mode, counting.day);
        for look in &looks {
            let Self { set, cost, lo, .. } = self;
            bits::each(set, |s| {
                let ready = s as i32 + minutes;
                let price = look.best(state, ready - before, ready).map_or(NEVER, |b| b.0);
                let slot = &mut cost[s - *lo as usize];
                *slot =
                    if price >= NEVER || *slot >= NEVER { NEVER } else { *slot + price * m.scale };
            });
        }
        true
    }

    fn fit(&mut self, state: &State, task: usize, mode: usize, (lo, hi): (i32, i32)) -> bool {
        let m = state.m;
        let step = &m.p.steps[task_step(m, task)];
        let way = &step.modes[mode];
        if lo > hi || hi < 0 {
            return false;
        }
        bits::only(&mut self.set, lo, hi);
        let minutes = way.minutes.max(0) as usize;
        if minutes > 0 {
            for u in &way.uses {
                self.part.clear();
                self.part.extend_from_slice(state.profiles[u.resource].free(u.amount));
                bits::erode(&mut self.part, minutes);
                bits::and_shifted(&mut self.set, &self.part, 0);
            }
        }
        self.fit_stays(state, task, mode);
        if !way.hands.is_empty() {
            self.fit_cooks(state, &step.cooks, &way.hands);
        }
        if let Some(o) = way.oven {
            let line = &state.ovens[o.oven];
            for w in 0..self.set.len() {
                let mut rest = self.set[w];
                while rest != 0 {
                    let bit = rest.trailing_zeros();
                    rest &= rest - 1;
                    let s = (w * 64) as i32 + bit as i32;
                    if !line.fits(s, s + way.minutes, o.least_c, o.most_c) {
                        self.set[w] &= !(1 << bit);
                    }
                }
            }
        }
        self.set.iter().any(|&w| w != 0)
    }

    /// Leaves the starts at which at least one of the cooks has the hands.
    fn fit_cooks(
        &mut self,
        state: &State,
        cooks: &[usize],
        hands: &[crate::plan::problem::HandsPart],
    ) {
        let Self { set, part, by_cook, .. } = self;
        let words = set.len();
        by_cook.clear();
        by_cook.resize(words * 2, 0);
        let (any, one) = by_cook.split_at_mut(words);
        for &cook in cooks {
            one.copy_from_slice(set);
            for h in hands.iter().filter(|h| h.to > h.from) {
                part.clear();
                part.extend_from_slice(state.profiles[cook].free(h.percent));
                bits::erode(part, (h.to - h.from) as usize);
                bits::and_shifted(one, part, h.from as usize);
            }
            for (a, &o) in any.iter_mut().zip(one.iter()) {
                *a |= o;
            }
        }
        set.copy_from_slice(any);
    }

    /// Leaves the starts at which the pans and places that the task keeps are
    /// free from where they are taken now to where it would have them.
    fn fit_stays(&mut self, state: &State, task: usize, mode: usize) {
        let m = state.m;
        for kept in &m.kept_by[task_step(m, task)] {
            let stay = &m.p.stays[kept.stay];
            let (from, to) = part_in_stay(m, kept.stay, task, mode);
            let free = state.profiles[stay.uses.resource].free(stay.uses.amount);
            let (a, b) = state.ends_of_stay(kept.stay);
            let spans = matches!((a, b), (Some(a), Some(b)) if a < b);
            let (mut lo, mut hi) = (i32::MIN / 2, i32::MAX / 2);
            if let (Some(from), Some(b)) = (from, b) {
                let edge = if spans { a.unwrap_or(b) } else { b };
                lo = bits::run_start(free, edge.max(0)) - from;
            }
            if let (Some(to), Some(a)) = (to, a) {
                let edge = if spans { b.unwrap_or(a) } else { a };
                hi = bits::run_end(free, edge.max(0)) - to;
            }
            match (from, to) {
                (Some(from), Some(to)) if to > from && !spans => {
                    self.part.clear();
                    self.part.extend_from_slice(free);
                    bits::erode(&mut self.part, (to - from) as usize);
                    bits::and_shifted(&mut self.set, &self.part, from.max(0) as usize);
                }
                _ => {}
            }
            if lo > i32::MIN / 2 || hi < i32::MAX / 2 {
                self.part.clear();
                self.part.resize(self.set.len(), 0);
                bits::only(&mut self.part, lo, hi);
                bits::and_shifted(&mut self.set, &self.part, 0);
            }
        }
    }

    fn price(&mut self, state: &State, day: &Day, task: usize, mode: usize, count_day: bool) {
        let m = state.m;
        self.terms.clear();
        add_anchors(&mut self.terms, m, task);
        add_lags(&mut self.terms, state, task, mode);
        add_links(&mut self.terms, state, task, mode);
        add_limits(&mut self.terms, state, task, mode);
        if day.hurry > 0 {
            self.terms.push(Term::Over(0, day.hurry));
        }
        if count_day {
            add_day(&mut self.terms, m, day, task, mode);
        }
        let Self { set, cost, terms, lo, hi, .. } = self;
        cost.resize((*hi - *lo) as usize + 1, NEVER);
        let h = i64::from(m.h);
        bits::each(set, |s| {
            let extra: i64 = terms.iter().map(|t| t.at(s as i32)).sum();
            cost[s - *lo as usize] = extra * m.scale + h - s as i64;
        });
    }
}

/// From when to when, after its start, a task is part of a stay that names or spans its step.
pub fn part_in_stay(
    m: &Model,
    stay: usize,
    task: usize,
    mode: usize,
) -> (Option<i32>, Option<i32>) {
    let s = &m.p.stays[stay];
    let minutes = m.minutes(task, mode);
    let offset = |end: bool| if end { minutes } else { 0 };
    let from = s.from.iter().filter(|q| q.task == task).map(|q| offset(q.end)).min();
    let to = s.to.iter().filter(|q| q.task == task).map(|q| offset(q.end)).max();
    if from.is_none() && to.is_none() { (Some(0), Some(minutes)) } else { (from, to) }
}

/// First and last start of a task in a mode, by its own window and by the hard
/// lags and limits to what stands.
pub fn window(state: &State, task: usize, mode: usize) -> (i32, i32) {
    let m = state.m;
    let t = &m.p.tasks[task];
    let minutes = m.minutes(task, mode);
    let mut lo = m.early[task].max(t.earliest).max(0);
    let mut hi = m.late[task].min(m.h - minutes);
    for &i in &m.lags_of[task] {
        let lag = &m.p.lags[i];
        let most = if lag.soft_most.is_some() { i32::MAX } else { lag.most };
        let own = |end: bool| if end { minutes } else { 0 };
        if lag.from.task == lag.to.task {
            let gap = own(lag.to.end) - own(lag.from.end);
            if (lag.least != i32::MIN && gap < lag.least) || gap > most {
                return (1, 0);
            }
        } else if lag.to.task == task && state.stands(lag.from.task) {
            let since = state.at(lag.from) - own(lag.to.end);
            if lag.least != i32::MIN {
                lo = lo.max(since + lag.least);
            }
            if most != i32::MAX {
                hi = hi.min(since + most);
            }
        } else if lag.from.task == task && state.stands(lag.to.task) {
            let until = state.at(lag.to) - own(lag.from.end);
            if lag.least != i32::MIN {
                hi = hi.min(until - lag.least);
            }
            if most != i32::MAX {
                lo = lo.max(until - most);
            }
        }
    }
    // Loads still to be placed come before this one, each in its own window.
    if t.load > 0 && !state.placed[task - 1] {
        lo = lo.max(window(state, task - 1, mode).0 + m.minutes(task - 1, mode));
    }
    for &(dish, option, i) in &m.limits_of[task] {
        if state.settled[dish] && super::hold::option(state.hold[dish]) == option {
            let limit = &super::hold::limits(m, dish, option)[i];
            if limit.soft_most.is_none() {
                let own = if limit.from.end { minutes } else { 0 };
                lo = lo.max(state.wait[dish].1 - limit.most - own);
            }
        }
    }
    (lo, hi)
}

fn add_anchors(terms: &mut Vec<Term>, m: &Model, task: usize) {
    for &a in &m.anchors_of[task] {
        let anchor = &m.p.anchors[a];
        terms.push(Term::Over(anchor.start, anchor.price));
        terms.push(Term::Under(anchor.start, anchor.price));
    }
}

fn add_lags(terms: &mut Vec<Term>, state: &State, task: usize, mode: usize) {
    let m = state.m;
    for &i in &m.lags_of[task] {
        let lag = &m.p.lags[i];
        if lag.soft_most.is_none() && lag.best.is_none() {
            continue;
        }
        let own = |end: bool| if end { m.minutes(task, mode) } else { 0 };
        if lag.to.task == task && lag.from.task != task && state.stands(lag.from.task) {
            let since = state.at(lag.from) - own(lag.to.end);
            if let Some(price) = lag.soft_most.filter(|_| lag.most != i32::MAX) {
                terms.push(Term::Over(since + lag.most, price));
            }
            if let Some((best, price)) = lag.best {
                terms.push(Term::Under(since + best, price));
            }
        } else if lag.from.task == task && lag.to.task != task && state.stands(lag.to.task) {
            let until = state.at(lag.to) - own(lag.from.end);
            if let Some(price) = lag.soft_most.filter(|_| lag.most != i32::MAX) {
                terms.push(Term::Under(until - lag.most, price));
            }
            if let Some((best, price)) = lag.best {
                terms.push(Term::Over(until - best, price));
            }
        }
    }
}

fn add_links(terms: &mut Vec<Term>, state: &State, task: usize, mode: usize) {
    let m = state.m;
    let step = task_step(m, task);
    for &l in &m.links_of[step] {
        let link = &m.p.links[l];
        let first = m.p.steps[link.to_step].first_task;
        if link.to_step == step && first == task {
            let loads = m.loads(link.from_step, state.mode[link.from_step]);
            if link.from_step == step || !loads.clone().all(|t| state.placed[t]) {
                continue;
            }
            if let Some(ended) = loads.map(|t| state.end(t)).max() {
                terms.push(Term::After(ended + link.least, link.price));
            }
        } else if link.from_step == step
            && link.to_step != step
            && m.loads(step, mode).next_back() == Some(task)
            && state.stands(first)
        {
            let end = state.start[first] - link.least;
            terms.push(Term::Before(end - m.minutes(task, mode), link.price));
        }
    }
}

fn add_limits(terms: &mut Vec<Term>, state: &State, task: usize, mode: usize) {
    let m = state.m;
    for &(dish, option, i) in &m.limits_of[task] {
        let limit = &super::hold::limits(m, dish, option)[i];
        let Some(price) = limit.soft_most else { continue };
        if state.settled[dish] && super::hold::option(state.hold[dish]) == option {
            let own = if limit.from.end { m.minutes(task, mode) } else { 0 };
            terms.push(Term::Under(state.wait[dish].1 - limit.most - own, price));
        }
    }
}

fn add_day(terms: &mut Vec<Term>, m: &Model, day: &Day, task: usize, mode: usize) {
    let step = &m.p.steps[task_step(m, task)];
    let hands = &step.modes[mode].hands;
    let (Some(a), Some(b)) = (hands.first(), hands.last()) else { return };
    let first = day.first.map_or(m.p.effort_until, |f| f.min(m.p.effort_until));
    if m.p.span_price > 0 {
        terms.push(Term::Under(first - a.from, m.p.span_price));
    }
    let price = m.p.idle_price * 100;
    let busy = step.cooks.iter().filter_map(|&c| day.busy[c]);
    if price > 0 {
        if let Some(from) = busy.clone().map(|b| b.first).min() {
            terms.push(Term::Under(from - a.from, price));
        }
        if let Some(to) = busy.map(|b| b.last).max() {
            terms.push(Term::Over(to - b.to, price));
        }
    }
}

/// Does this cook have the hands for a task at a start?
pub fn can_cook(state: &State, task: usize, mode: usize, start: i32, cook: usize) -> bool {
    let step = &state.m.p.steps[task_step(state.m, task)];
    let hands = &step.modes[mode].hands;
    !hands.is_empty()
        && step.cooks.contains(&cook)
        && hands.iter().all(|p| state.profiles[cook].fits(start + p.from, start + p.to, p.percent))
}

/// The cook who takes a task at a start that fits: the one whose day grows least.
pub fn pick_cook(state: &State, day: &Day, task: usize, mode: usize, start: i32) -> usize {
    let step = &state.m.p.steps[task_step(state.m, task)];
    let hands = &step.modes[mode].hands;
    let (Some(a), Some(b)) = (hands.first(), hands.last()) else { return NONE };
    let growth = |c: usize| match day.busy[c] {
        Some(busy) => (busy.first - start - a.from).max(0) + (start + b.to - busy.last).max(0),
        None => 0,
    };
    let able = step.cooks.iter().copied().filter(|&c| can_cook(state, task, mode, start, c));
    able.min_by_key(|&c| (growth(c), c)).unwrap_or(NONE)
}
