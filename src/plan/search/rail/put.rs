//! One task put in beside what stands, or taken out.

use super::{FAR, Rail, Tie, Way};
use crate::plan::search::bits::mask;
use crate::plan::search::model::NONE;
use crate::plan::search::offer::named_in_stay;

impl Rail<'_> {
    #[inline]
    pub(super) fn way(&self, task: usize) -> &Way {
        &self.ways[task][self.now.laid.mode[self.m.p.tasks[task].step]]
    }

    /// Minutes from the start of the earlier to the start of the later of two
    /// tasks for so many between the points of their tie.
    #[inline]
    pub(super) fn between(&self, tie: &Tie, earlier: usize, later: usize, minutes: i32) -> i32 {
        let part = |end: bool, t: usize| {
            if end { self.m.minutes(t, self.now.laid.mode[self.m.p.tasks[t].step]) } else { 0 }
        };
        minutes + part(tie.ends.0, earlier) - part(tie.ends.1, later)
    }

    /// The first start from a minute on at which a task fits, and its cook.
    pub(super) fn fit(&self, t: usize, from: i32) -> Option<(i32, usize)> {
        let (least, most) = self.window(t);
        let from = from.max(least);
        if from > most {
            return None;
        }
        for w in from as usize / 64..=most as usize / 64 {
            let mut set = self.starts(t, w) & mask(w, from as usize, most as usize + 1);
            while set != 0 {
                let s = (w * 64) as i32 + set.trailing_zeros() as i32;
                match self.clear_of_heat(t, s) {
                    None => return Some((s, self.able(t, s))),
                    Some(next) => set &= mask(w, next.max(s + 1) as usize, usize::MAX),
                }
            }
        }
        None
    }

    /// First and last start of a task by its own window.
    #[inline]
    fn window(&self, t: usize) -> (i32, i32) {
        let task = &self.m.p.tasks[t];
        (task.earliest.max(0), task.latest.min(self.m.h - self.way(t).minutes))
    }

    /// The starts of a word at which everything is there that a task wants but
    /// for the heat.
    #[inline]
    fn starts(&self, t: usize, w: usize) -> u64 {
        let way = self.way(t);
        let board = &self.now.board;
        let mut set = u64::MAX;
        if !way.hands.is_empty() {
            let cooks = &self.m.p.steps[self.m.p.tasks[t].step].cooks;
            set = cooks.iter().fold(0, |any, &cook| any | self.handy(way, cook, w));
        }
        for n in &way.needs {
            if set == 0 {
                return 0;
            }
            set &= board.starts((n.resource, n.units), w, n.from, n.to);
        }
        for (stay, n) in &way.kept {
            if set != 0 && !self.spans(*stay) {
                set &= board.starts((n.resource, n.units), w, n.from, n.to);
            }
        }
        set
    }

    /// The starts of a word at which a cook has the hands.
    #[inline]
    fn handy(&self, way: &Way, cook: usize, w: usize) -> u64 {
        way.hands.iter().fold(u64::MAX, |set, h| {
            if set == 0 { 0 } else { set & self.now.board.starts((cook, h.units), w, h.from, h.to) }
        })
    }

    /// The first cook who has the hands at a start that fits.
    fn able(&self, t: usize, s: i32) -> usize {
        let way = self.way(t);
        match self.m.p.steps[self.m.p.tasks[t].step].cooks.as_slice() {
            _ if way.hands.is_empty() => NONE,
            &[cook] => cook,
            all => {
                let (w, bit) = (s as usize / 64, s as usize % 64);
                let can = |&&c: &&usize| self.handy(way, c, w) >> bit & 1 == 1;
                all.iter().find(can).copied().unwrap_or(NONE)
            }
        }
    }

    /// None if a task has its heat at a start; else the next start that is
    /// clear of what is in its way.
    fn clear_of_heat(&self, t: usize, s: i32) -> Option<i32> {
        let way = self.way(t);
        let heat = way.heat?.at(s, s + way.minutes);
        let oven = &self.m.p.ovens[heat.oven];
        let others = self.now.heats[heat.oven].iter();
        let free = others.filter_map(|o| heat.after(oven, o)).max().unwrap_or(s);
        let free = free.max(heat.warm(oven));
        (free > s).then_some(free)
    }

    /// Is it known already from when to when a stay lasts?
    #[inline]
    pub(super) fn spans(&self, stay: usize) -> bool {
        matches!(self.now.stays[stay], (Some(a), Some(b)) if a < b)
    }

    /// Starts of a task between which what it keeps is free from where it is
    /// taken now to where the task would have it.
    pub(super) fn by_stays(&self, t: usize) -> (i32, i32) {
        let m = self.m;
        let minutes = self.way(t).minutes;
        let (mut least, mut most) = (i32::MIN, FAR);
        for &stay in &m.stays_of[t] {
            let uses = m.p.stays[stay].uses;
            let units = self.now.board.units(uses.resource, uses.amount);
            let (from, to) = named_in_stay(m, stay, t, minutes);
            let (a, b) = self.now.stays[stay];
            let spans = self.spans(stay);
            if let (Some(from), Some(b)) = (from, b) {
                let edge = if spans { a.unwrap_or(b) } else { b };
                let busy = self.now.board.last_busy(uses.resource, units, 0, edge);
                least = least.max(busy.map_or(i32::MIN, |busy| busy + 1 - from));
            }
            if let (Some(to), Some(a)) = (to, a) {
                let edge = if spans { b.unwrap_or(a) } else { a };
                let busy = self.now.board.first_busy(uses.resource, units, edge, m.room);
                most = most.min(busy.map_or(FAR, |busy| busy - to));
            }
        }
        (least, most)
    }

    /// Lets a task stand where it was found to fit.
    pub(super) fn stand(&mut self, t: usize, at: i32, cook: usize) {
        self.now.laid.placed[t] = true;
        self.now.laid.start[t] = at;
        self.now.laid.cook[t] = cook;
        let way = &self.ways[t][self.now.laid.mode[self.m.p.tasks[t].step]];
        for n in &way.needs {
            self.now.board.take(n.resource, n.units, at + n.from, at + n.to);
        }
        if cook != NONE {
            for h in &way.hands {
                self.now.board.take(cook, h.units, at + h.from, at + h.to);
            }
        }
        if let Some(heat) = way.heat {
            self.now.heats[heat.oven].push(heat.at(at, at + way.minutes).of_owner(t));
        }
        self.refresh_stays(t);
    }

    /// A step is done in another mode; nothing of it stands then that has not begun.
    pub(super) fn set_mode(&mut self, step: usize, mode: usize) {
        let m = self.m;
        for t in self.now.laid.loads(step) {
            if self.now.laid.placed[t] && m.p.tasks[t].fixed.is_none() {
                self.lift(t);
            }
        }
        self.now.laid.mode[step] = mode;
    }

    /// Takes a task out that stands and has not begun; its dishes are no longer settled.
    pub(super) fn lift(&mut self, t: usize) {
        let m = self.m;
        for &d in &m.dishes_of[m.p.tasks[t].step] {
            self.unsettle(d);
        }
        self.now.laid.placed[t] = false;
        let (at, cook) = (self.now.laid.start[t], self.now.laid.cook[t]);
        let way = &self.ways[t][self.now.laid.mode[m.p.tasks[t].step]];
        for n in &way.needs {
            self.now.board.give(n.resource, n.units, at + n.from, at + n.to);
        }
        if cook != NONE {
            for h in &way.hands {
                self.now.board.give(cook, h.units, at + h.from, at + h.to);
            }
        }
        if let Some(heat) = way.heat {
            self.now.heats[heat.oven].retain(|o| o.owner != t);
        }
        self.refresh_stays(t);
    }

    fn refresh_stays(&mut self, t: usize) {
        let m = self.m;
        for &stay in &m.stays_of[t] {
            self.refresh_stay(stay);
        }
    }

    /// Takes and gives back what a stay takes more or less than before.
    pub(super) fn refresh_stay(&mut self, stay: usize) {
        let s = &self.m.p.stays[stay];
        let laid = &self.now.laid;
        let ends = |list: &[crate::plan::problem::Point]| {
            let standing = list.iter().filter(|q| laid.stands(q.task)).map(|&q| laid.at(q));
            standing.fold(None, |ends: Option<(i32, i32)>, at| {
                Some(ends.map_or((at, at), |(a, b)| (a.min(at), b.max(at))))
            })
        };
        let from = ends(&s.from).map(|e| e.0);
        let mut to = ends(&s.to).map(|e| e.1);
        if let Some(last) = to {
            for &(d, h) in &s.through_hold {
                if self.now.settled[d] && laid.hold[d] == h {
                    to = Some(last.max(self.now.served[d]));
                }
            }
        }
        let was = std::mem::replace(&mut self.now.stays[stay], (from, to));
        if was == (from, to) {
            return;
        }
        let units = self.now.board.units(s.uses.resource, s.uses.amount);
        let span = |kept: super::Kept| kept.0.zip(kept.1).filter(|(a, b)| a < b);
        let (was, now) = (span(was).unwrap_or((0, 0)), span((from, to)).unwrap_or((0, 0)));
        let r = s.uses.resource;
        let board = &mut self.now.board;
        if was.0 == was.1 || now.0 == now.1 || now.0 >= was.1 || now.1 <= was.0 {
            board.give(r, units, was.0, was.1);
            board.take(r, units, now.0, now.1);
        } else {
            board.give(r, units, was.0, now.0);
            board.give(r, units, now.1, was.1);
            board.take(r, units, now.0, was.0);
            board.take(r, units, was.1, now.1);
        }
    }
}
