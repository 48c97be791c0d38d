//! One evening, from its first step to its last.
//!
//! A step begins when its planned minute has come and all that it waits for is
//! over; if it asks for hands, when the cook has them, in the plan's order among
//! those that could begin (one that cannot yet begin holds nobody up, as on the
//! list that the screen shows). A cook has 100 per cent:
//!
//! - a step done **by hand** takes its share of the cook for as long as it lasts,
//!   and goes on more slowly while the cook also looks in elsewhere: what looking in
//!   leaves of the cook is shared by all that is done by hand;
//! - a step that goes on **by itself** takes full attention at its start. What
//!   the plan has later does not interrupt what is done by hand; what it has
//!   earlier does (the bread goes in, then the chopping goes on);
//! - at its end the alarm calls: it is pulled out on time, one after another,
//!   and what is done by hand meanwhile takes so much longer.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::dice::{Luck, mix};
use super::jobs::{Job, Seconds, Stage};
use super::net::Net;
use super::shared;

/// Added to times so that they sort as unsigned numbers.
const ZERO: i64 = 1 << 31;

/// Most per cent of a cook that looking in takes from work by hand.
const MOST_LOOKING_IN: i32 = 80;

/// What made a job begin when it did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum By {
    /// Its planned minute.
    Plan,
    /// That another job ended.
    End(usize),
    /// That another job had begun, and left the hands or the place.
    Start(usize),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum What {
    End,
    Pull,
    // What can begin from this moment on is there before the hands are given to anything.
    Ready,
    HandsFree,
}

/// A plan being played, evening after evening.
pub(super) struct Play<'a> {
    net: &'a Net,
    /// What comes next: time, kind, job or cook.
    coming: BinaryHeap<Reverse<(u64, What, usize)>>,
    /// Arcs still open, per job.
    open: Vec<u32>,
    /// When a job could begin, as far as is known.
    ready: Vec<Seconds>,
    pub by: Vec<By>,
    pub end: Vec<Seconds>,
    /// Seconds that each job took by itself.
    pub took: Vec<Seconds>,
    began: Vec<Seconds>,
    over: Vec<bool>,
    cooks: Vec<CookNow>,
    factors: Vec<f64>,
}

/// A cook at a moment.
#[derive(Debug, Clone, Default)]
struct CookNow {
    /// With both hands at a start or an end until then, and at which.
    busy_until: Seconds,
    busy_with: usize,
    /// Jobs done by hand now.
    at: Vec<usize>,
    hands: i32,
    looks_in: i32,
    /// When something left the hands or was looked after no more, the last time, and what.
    freed: (Seconds, usize),
    /// Jobs that could begin but for the hands, in the plan's order.
    waiting: Vec<usize>,
}

impl CookNow {
    /// By how much longer what is done by hand takes now: so many seconds in place of so many.
    fn slowed(&self) -> (i64, i64) {
        let free = i64::from(100 - self.looks_in.min(MOST_LOOKING_IN));
        (free.max(i64::from(self.hands)), free)
    }
}

/// Seconds, of which each so many become so many.
fn scaled(lasts: Seconds, become_: i64, each: i64) -> Seconds {
    ((i64::from(lasts) * become_ + each / 2) / each) as Seconds
}

impl<'a> Play<'a> {
    pub fn new(net: &'a Net) -> Self {
        let n = net.jobs.len();
        Self {
            net,
            coming: BinaryHeap::with_capacity(4 * n),
            open: vec![0; n],
            ready: vec![0; n],
            by: vec![By::Plan; n],
            end: vec![0; n],
            took: vec![0; n],
            began: vec![0; n],
            over: vec![false; n],
            cooks: vec![CookNow::default(); net.hours.len()],
            factors: vec![0.0; net.factors.len()],
        }
    }

    /// Plays an evening; [`Self::end`] has then when everything ended.
    pub fn evening(&mut self, seed: u64, evening: u32) {
        let luck = Luck::of(seed, evening);
        self.begin(luck);
        while let Some(Reverse((at, what, which))) = self.coming.pop() {
            let at = (at as i64 - ZERO) as Seconds;
            match what {
                What::Ready => self.could_begin(which, at),
                What::Pull => self.pull(which, at),
                What::End => self.ends(which, at),
                What::HandsFree => self.give_hands(which, at),
            }
        }
    }

    fn push(&mut self, at: Seconds, what: What, which: usize) {
        self.coming.push(Reverse(((i64::from(at) + ZERO) as u64, what, which)));
    }

    fn begin(&mut self, luck: Luck) {
        self.coming.clear();
        self.over.fill(false);
        self.open.copy_from_slice(&self.net.waits_for);
        for (f, factor) in self.net.factors.iter().enumerate() {
            self.factors[f] = factor.draw(luck.number(mix(!(f as u64))));
        }
        for cook in &mut self.cooks {
            cook.at.clear();
            cook.waiting.clear();
            (cook.hands, cook.looks_in, cook.busy_until, cook.busy_with) = (0, 0, Seconds::MIN, 0);
            cook.freed = (Seconds::MIN, 0);
        }
        for (j, job) in self.net.jobs.iter().enumerate() {
            (self.ready[j], self.by[j]) = (job.floor, By::Plan);
            self.took[j] = self.lasts(job, luck);
            match job.stage {
                Stage::Done(end) => self.end[j] = end,
                Stage::Runs(_) => self.starts(j, job.floor, true),
                Stage::Ahead if self.open[j] == 0 => self.push(job.floor, What::Ready, j),
                Stage::Ahead => {}
            }
        }
    }

    /// Seconds that a job takes tonight.
    fn lasts(&self, job: &Job, luck: Luck) -> Seconds {
        if let Stage::Done(end) = job.stage {
            return end - job.floor;
        }
        let factor = job.factor.and_then(|f| self.factors.get(f)).copied();
        let elapsed = if let Stage::Runs(elapsed) = job.stage { elapsed } else { 0.0 };
        let own = luck.number(job.salt);
        if elapsed > 0.0 && job.spread.share_below(elapsed) >= 1.0 {
            // Longer than ever: some minute or so more.
            return ((elapsed + 2.0 * own) * 60.0) as Seconds + 1;
        }
        if !job.spread.varies() {
            return (job.spread.likely().max(elapsed) * 60.0) as Seconds;
        }
        let minutes = match factor {
            Some(s) => shared::minutes_beyond(&job.spread, s, own, elapsed),
            None => {
                let passed = job.spread.share_below(elapsed);
                job.spread.quantile(passed + (1.0 - passed) * own)
            }
        };
        (minutes * 60.0).round() as Seconds
    }

    /// All that a job waits for is over.
    fn could_begin(&mut self, j: usize, at: Seconds) {
        let job = &self.net.jobs[j];
        match job.cook {
            Some(cook) if job.by_hand.is_some() || job.head > 0 => {
                let waiting = &mut self.cooks[cook].waiting;
                let place = waiting.partition_point(|&w| w < j);
                waiting.insert(place, j);
                self.give_hands(cook, at);
            }
            _ => self.starts(j, at, false),
        }
    }

    /// Lets the cook begin what waits, in the plan's order.
    fn give_hands(&mut self, c: usize, at: Seconds) {
        if self.cooks[c].waiting.is_empty() {
            return;
        }
        if let Some(opens) = self.away_until(c, at) {
            return self.push(opens, What::HandsFree, c);
        }
        while let Some(&j) = self.cooks[c].waiting.first() {
            let (job, cook) = (&self.net.jobs[j], &self.cooks[c]);
            if at < cook.busy_until {
                return; // A look is due when that is over.
            }
            let fits = match job.by_hand {
                Some(percent) => cook.hands + percent <= 100,
                None => cook.at.iter().all(|&other| j < other),
            };
            if !fits {
                return;
            }
            if at > self.ready[j] {
                let (when, what) = cook.freed;
                self.by[j] = if when == at { By::End(what) } else { By::Start(cook.busy_with) };
            }
            self.cooks[c].waiting.remove(0);
            self.starts(j, at, false);
        }
    }

    /// When a cook who is away comes back.
    fn away_until(&self, c: usize, at: Seconds) -> Option<Seconds> {
        let hours = &self.net.hours[c];
        let here = hours.iter().any(|&(from, to)| from <= at && at < to);
        if here { None } else { hours.iter().map(|h| h.0).find(|&from| from > at) }
    }

    /// A job begins; one that `ran` did so before the first moment played.
    fn starts(&mut self, j: usize, at: Seconds, ran: bool) {
        let net = self.net;
        let job = &net.jobs[j];
        self.began[j] = at;
        let Some(c) = job.cook else {
            return self.goes_on(j, at, at + self.took[j]);
        };
        if let Some(percent) = job.by_hand {
            self.change(c, at, |cook| cook.hands += percent);
            let (takes, each) = self.cooks[c].slowed();
            self.cooks[c].at.push(j);
            return self.goes_on(j, at, at + scaled(self.took[j], takes, each));
        }
        let took = self.took[j].max(job.head + job.tail);
        let pull = at + took - job.tail;
        if job.head > 0 && !ran {
            self.both_hands(c, j, at, job.head);
        }
        self.change(c, at, |cook| cook.looks_in += job.look_in);
        self.goes_on(j, at, at + took);
        if job.tail > 0 {
            self.push(pull, What::Pull, j);
        }
    }

    /// What a cook has in hand or looks after changes: what is left of all that is done by hand takes longer or
    /// less long from now on.
    fn change(&mut self, c: usize, at: Seconds, change: impl FnOnce(&mut CookNow)) {
        let was = self.cooks[c].slowed();
        change(&mut self.cooks[c]);
        let now = self.cooks[c].slowed();
        if was == now {
            return;
        }
        let goes_on = at.max(self.cooks[c].busy_until);
        for i in 0..self.cooks[c].at.len() {
            let j = self.cooks[c].at[i];
            let from = goes_on.max(self.began[j]);
            let left = (self.end[j] - from).max(0);
            let end = from + scaled(left, now.0 * was.1, now.1 * was.0);
            let sooner = end < self.end[j];
            self.end[j] = end;
            if sooner {
                self.push(end, What::End, j);
            }
        }
    }

    /// Notes when a job ends, and frees what waits for its start.
    fn goes_on(&mut self, j: usize, at: Seconds, end: Seconds) {
        self.end[j] = end;
        let pulled = self.net.jobs[j].by_hand.is_none() && self.net.jobs[j].tail > 0;
        if !pulled {
            self.push(end, What::End, j);
        }
        self.free(j, at, false);
    }

    /// A cook has both hands full for a while; what is done by hand waits.
    fn both_hands(&mut self, c: usize, j: usize, at: Seconds, lasts: Seconds) {
        let cook = &mut self.cooks[c];
        (cook.busy_until, cook.busy_with) = (at + lasts, j);
        for &other in &cook.at {
            self.end[other] += lasts;
        }
        self.push(at + lasts, What::HandsFree, c);
    }

    /// What goes on by itself is taken out, as soon as no other start or end is in the cook's hands.
    fn pull(&mut self, j: usize, at: Seconds) {
        let job = &self.net.jobs[j];
        let Some(c) = job.cook else { return };
        let busy = self.cooks[c].busy_until;
        if at < busy {
            return self.push(busy, What::Pull, j);
        }
        self.both_hands(c, j, at, job.tail);
        self.end[j] = at + job.tail;
        self.push(at + job.tail, What::End, j);
    }

    fn ends(&mut self, j: usize, at: Seconds) {
        if self.over[j] {
            return; // It went faster than was thought.
        }
        if self.end[j] > at {
            return self.push(self.end[j], What::End, j); // It was interrupted.
        }
        self.over[j] = true;
        let job = &self.net.jobs[j];
        self.free(j, at, true);
        if let Some(c) = job.cook {
            self.cooks[c].at.retain(|&other| other != j);
            self.change(c, at, |cook| match job.by_hand {
                Some(percent) => cook.hands -= percent,
                None => cook.looks_in -= job.look_in,
            });
            self.cooks[c].freed = (at, j);
            self.push(at, What::HandsFree, c);
        }
    }

    /// Tells those that wait for a job's end, or its start.
    fn free(&mut self, j: usize, at: Seconds, is_end: bool) {
        let net = self.net;
        for arc in net.arcs[j].iter().filter(|a| a.from_end == is_end) {
            let soonest = at.saturating_add(arc.lag);
            if soonest > self.ready[arc.to] {
                self.ready[arc.to] = soonest;
                self.by[arc.to] = if is_end { By::End(j) } else { By::Start(j) };
            }
            self.open[arc.to] -= 1;
            if self.open[arc.to] == 0 {
                self.push(self.ready[arc.to], What::Ready, arc.to);
            }
        }
    }
}
