//! All starts at which one task fits, and what each of them costs, given what
//! stands already.

use super::bits;
use super::hold::Outlook;
use super::laid::Laid;
use super::model::{Model, NONE};
use super::state::State;
use crate::plan::problem::Point;

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
    pub fn read(&mut self, state: &Laid) {
        self.busy.clear();
        self.busy.resize(state.m.p.resources.len(), None);
        self.first = None;
        for &t in &state.m.handy {
            if state.stands(t) {
                self.add(state, t);
            }
        }
    }

    /// Adds a task that was just placed.
    pub fn add(&mut self, state: &Laid, task: usize) {
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
pub enum Term {
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

    /// What it costs more at `s + 1` than at `s`, before some minute.
    fn slope_at(self, s: i32) -> i64 {
        match self {
            Self::Over(x, price) if s >= x => price,
            Self::Under(x, price) if s < x => -price,
            _ => 0,
        }
    }
}

/// A sum of terms that is worked out for many minutes in a row.
#[derive(Debug, Clone, Default)]
pub struct Sum {
    /// Its terms.
    pub terms: Vec<Term>,
    /// `(minute, change of slope, jump)`
    bends: Vec<(i32, i64, i64)>,
}

impl Sum {
    /// Calls `line` for stretches of minutes over which the sum is a straight
    /// line: the first minute and the one after the last, the sum there, and its
    /// slope. Of all minutes those of the runs are of interest; these rise.
    pub fn lines(&mut self, runs: &[(i32, i32)], mut line: impl FnMut(i32, i32, i64, i64)) {
        let Some(&(lo, _)) = runs.first() else { return };
        self.bends.clear();
        let (mut value, mut slope) = (0, 0);
        for term in &self.terms {
            value += term.at(lo);
            slope += term.slope_at(lo);
            match *term {
                Term::Over(x, price) | Term::Under(x, price) if x > lo => {
                    self.bends.push((x, price, 0));
                }
                Term::After(x, price) if x >= lo => {
                    self.bends.push((x.saturating_add(1), 0, price))
                }
                Term::Before(x, price) if x > lo => self.bends.push((x, 0, -price)),
                _ => {}
            }
        }
        self.bends.sort_unstable();
        let mut bends = self.bends.iter().peekable();
        let mut s = lo;
        for &(from, past) in runs {
            value += slope * i64::from(from - s);
            s = from;
            while s < past {
                while let Some(&&(at, change, jump)) = bends.peek().filter(|b| b.0 <= s) {
                    value += jump + change * i64::from(s - at);
                    slope += change;
                    bends.next();
                }
                let upto = bends.peek().map_or(past, |b| b.0.min(past));
                line(s, upto, value, slope);
                value += slope * i64::from(upto - s);
                s = upto;
            }
        }
    }
}

/// Minutes of the last load of a step, and of those before it.
fn last_load(m: &Model, task: usize, mode: usize) -> (i32, i32) {
    let step = task_step(m, task);
    let minutes = m.p.steps[step].modes[mode].minutes;
    (minutes, minutes * (m.loads(step, mode).len().saturating_sub(1) as i32))
}

/// Room for working out offers, kept to save allocations.
#[derive(Debug, Clone, Default)]
pub struct Offer {
    set: Vec<u64>,
    /// The first start that is priced.
    pub lo: i32,
    /// The last of them.
    hi: i32,
    /// What each start from the first to the last costs, times [`Model::scale`],
    /// plus the minutes it lies before the end (so that of equals the latest is
    /// best); [`NEVER`] where it does not fit.
    pub cost: Vec<i64>,
    /// Stretches of starts that fit: the first and the one after the last.
    pub runs: Vec<(i32, i32)>,
    /// The words of the set that matter.
    words: (usize, usize),
    by_cook: Vec<u64>,
    sum: Sum,
    outlook: Outlook,
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
    /// Finds where a task fits in a mode within a window; false if nowhere.
    /// With `dish`, only where its finished dish can wait until it is served.
    pub fn find(
        &mut self,
        state: &State,
        (task, mode): (usize, usize),
        within: (i32, i32),
        dish: bool,
    ) -> bool {
        let m = state.m;
        self.set.resize(bits::words(m.h.max(0) as usize), 0);
        let (mut lo, mut hi) = window(state, task, mode);
        (lo, hi) = (lo.max(within.0), hi.min(within.1));
        if dish {
            let (minutes, before) = last_load(m, task, mode);
            for &d in &m.dishes_of[task_step(m, task)] {
                self.outlook.look(state, d);
                lo = lo.max(self.outlook.earliest(state) - minutes + before);
            }
        }
        self.fit(state, task, mode, (lo, hi))
    }

    /// Works out what the starts found cost; some may turn out not to be possible.
    pub fn price(
        &mut self,
        state: &State,
        day: &Day,
        (task, mode): (usize, usize),
        counting: Counting,
    ) {
        let m = state.m;
        (self.lo, self.hi) = match (self.runs.first(), self.runs.last()) {
            (Some(first), Some(last)) => (first.0, last.1 - 1),
            _ => return self.cost.clear(),
        };
        self.add_terms(state, day, task, mode, counting.day);
        if counting.dish {
            let (minutes, before) = last_load(m, task, mode);
            let at = (self.lo, minutes, before);
            for &d in &m.dishes_of[task_step(m, task)] {
                self.outlook.look(state, d);
                self.outlook.add(state, at, &self.runs, &mut self.cost);
            }
        }
    }

    /// Finds the starts that fit; false if there is none.
    fn fit(&mut self, state: &State, task: usize, mode: usize, (lo, hi): (i32, i32)) -> bool {
        let m = state.m;
        let step = &m.p.steps[task_step(m, task)];
        let way = &step.modes[mode];
        let lo = lo.max(0);
        if lo > hi {
            return false;
        }
        bits::only(&mut self.set, lo, hi);
        self.words = (lo as usize / 64, (hi as usize / 64 + 1).min(self.set.len()));
        let minutes = way.minutes.max(0) as usize;
        if minutes > 0 {
            for u in &way.uses {
                let free = state.profiles[u.resource].free(u.amount);
                bits::keep_runs(&mut self.set, self.words, free, 0, minutes);
            }
        }
        self.fit_stays(state, task, mode);
        if !way.hands.is_empty() {
            self.fit_cooks(state, &step.cooks, &way.hands);
        }
        if let Some(o) = way.oven {
            let line = &state.ovens[o.oven];
            for w in self.words.0..self.words.1 {
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
        let (first, past) = self.words;
        let set = &self.set[first..past];
        let (Some(a), Some(b)) =
            (set.iter().position(|&w| w != 0), set.iter().rposition(|&w| w != 0))
        else {
            return false;
        };
        self.words = (first + a, first + b + 1);
        self.runs.clear();
        bits::runs(&self.set, self.words, &mut self.runs);
        true
    }

    /// Leaves the starts at which at least one of the cooks has the hands.
    fn fit_cooks(
        &mut self,
        state: &State,
        cooks: &[usize],
        hands: &[crate::plan::problem::HandsPart],
    ) {
        let Self { set, by_cook, words, .. } = self;
        let keep = |set: &mut [u64], cook: usize| {
            for h in hands.iter().filter(|h| h.to > h.from) {
                let free = state.profiles[cook].free(h.percent);
                bits::keep_runs(set, *words, free, h.from as usize, (h.to - h.from) as usize);
            }
        };
        if let &[cook] = cooks {
            return keep(set, cook);
        }
        let length = set.len();
        by_cook.clear();
        by_cook.resize(length * 2, 0);
        let (any, one) = by_cook.split_at_mut(length);
        for &cook in cooks {
            one.copy_from_slice(set);
            keep(one, cook);
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
                    let (by, run) = (from.max(0) as usize, (to - from) as usize);
                    bits::keep_runs(&mut self.set, self.words, free, by, run);
                }
                _ => {}
            }
            if lo > i32::MIN / 2 || hi < i32::MAX / 2 {
                bits::clip(&mut self.set, lo, hi);
            }
        }
    }

    fn add_terms(&mut self, state: &State, day: &Day, task: usize, mode: usize, count_day: bool) {
        let m = state.m;
        let terms = &mut self.sum.terms;
        terms.clear();
        add_anchors(terms, m, task);
        add_lags(terms, state, task, mode);
        add_links(terms, state, task, mode);
        add_limits(terms, state, task, mode);
        if day.hurry > 0 {
            terms.push(Term::Over(0, day.hurry));
        }
        if count_day {
            add_day(terms, m, day, task, mode);
        }
        let Self { lo, hi, sum, runs, cost, .. } = self;
        let (lo, scale) = (*lo, m.scale);
        cost.clear();
        cost.resize((*hi - lo) as usize + 1, NEVER);
        sum.lines(runs, |from, past, value, slope| {
            // Of equals the later start.
            let mut price = value * scale + i64::from(m.h - from);
            for slot in &mut cost[(from - lo) as usize..(past - lo) as usize] {
                *slot = price;
                price += slope * scale - 1;
            }
        });
    }
}

/// From when to when, after its start, a task is part of a stay that names or spans its step; nothing where it is none.
pub fn part_in_stay(
    m: &Model,
    stay: usize,
    task: usize,
    mode: usize,
) -> (Option<i32>, Option<i32>) {
    let minutes = m.minutes(task, mode);
    match named_in_stay(m, stay, task, minutes) {
        (None, None) if lies_within(m, stay, task, mode) => (Some(0), Some(minutes)),
        named => named,
    }
}

/// Does a stay that does not name a task run all through it? It does where it spans its step, or goes on from a load
/// before it or until one after it.
fn lies_within(m: &Model, stay: usize, task: usize, mode: usize) -> bool {
    let s = &m.p.stays[stay];
    let loads = m.loads(task_step(m, task), mode);
    let (before, after) = (loads.start..task, task + 1..loads.end);
    let some = |list: &[Point], is: &dyn Fn(usize) -> bool| list.iter().any(|q| is(q.task));
    let of_step = |t: usize| m.p.tasks[t].step == task_step(m, task);
    if !some(&s.from, &of_step) && !some(&s.to, &of_step) {
        return true;
    }
    let since = some(&s.from, &|t| before.contains(&t)) && some(&s.to, &|t| !before.contains(&t));
    let until = some(&s.to, &|t| after.contains(&t)) && some(&s.from, &|t| !after.contains(&t));
    since || until
}

/// The same of a stay that names a task which takes so many minutes; nothing where it does not.
pub fn named_in_stay(
    m: &Model,
    stay: usize,
    task: usize,
    minutes: i32,
) -> (Option<i32>, Option<i32>) {
    let s = &m.p.stays[stay];
    let offset = |end: bool| if end { minutes } else { 0 };
    let from = s.from.iter().filter(|q| q.task == task).map(|q| offset(q.end)).min();
    let to = s.to.iter().filter(|q| q.task == task).map(|q| offset(q.end)).max();
    (from, to)
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
