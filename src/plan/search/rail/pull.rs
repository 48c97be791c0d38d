//! A task put in as soon as it fits; what must not wait so long for it, or keeps
//! what it needs, is pulled after it.

use super::{FAR, Rail};
use crate::plan::search::offer::named_in_stay;

/// Starts that are tried for one task before it is given up.
const MOST_STARTS: i32 = 12;
/// Tasks that are pulled one by another.
const MOST_PULLS: usize = 6;

impl Rail<'_> {
    /// Puts a task in as soon as it fits from the minute it is wanted on; false if
    /// it fits nowhere.
    pub(super) fn put(&mut self, t: usize) -> bool {
        let m = self.m;
        let step = m.p.tasks[t].step;
        let mut from = self.wanted[t].max(m.early[t]).max(self.by_limits(t));
        for tie in self.before[t].iter().filter(|tie| tie.least != i32::MIN) {
            if self.now.laid.stands(tie.other) {
                let since = self.now.laid.start[tie.other];
                from = from.max(since + self.between(tie, tie.other, t, tie.least));
            }
        }
        let last = self.last_by_ties(t);
        for tried in 0..MOST_STARTS {
            if self.broken {
                return false;
            }
            let (least, most) = self.by_stays(t);
            let Some((at, cook)) = self.fit(t, from.max(least)) else { return false };
            if at > last {
                return false;
            }
            // In larger strides the longer it takes.
            from = at + 1 + tried / 2;
            if at > most {
                if !self.pull_what_keeps(t, at) {
                    return false;
                }
                from = at;
                continue;
            }
            let Some(pulled) = self.pull_what_waits(t, at, MOST_PULLS) else { continue };
            // What was pulled may stand where this was to stand.
            if pulled && self.fit(t, at) != Some((at, cook)) {
                from = at;
                continue;
            }
            self.stand(t, at, cook);
            if m.dishes_of[step].iter().all(|&d| self.settle(d)) {
                return true;
            }
            self.lift(t);
        }
        false
    }

    /// The last start that tasks after this one allow that stand already.
    fn last_by_ties(&self, t: usize) -> i32 {
        let after = self.after[t].iter().filter(|tie| tie.least != i32::MIN);
        let standing = after.filter(|tie| self.now.laid.stands(tie.other));
        let last = standing
            .map(|tie| self.now.laid.start[tie.other] - self.between(tie, t, tie.other, tie.least));
        last.min().unwrap_or(FAR)
    }

    /// Moves what must not wait so long for a task that starts here. Gives whether
    /// there was any; None if it cannot be moved.
    fn pull_what_waits(&mut self, t: usize, at: i32, pulls: usize) -> Option<bool> {
        let mut pulled = false;
        for i in 0..self.before[t].len() {
            let tie = self.before[t][i];
            if tie.most == i32::MAX || !self.now.laid.stands(tie.other) {
                continue;
            }
            let least = at - self.between(&tie, tie.other, t, tie.most);
            if self.now.laid.start[tie.other] < least {
                let gap = if tie.least == i32::MIN { -FAR } else { tie.least };
                let most = at - self.between(&tie, tie.other, t, gap);
                if !self.pull(tie.other, (least, most), pulls) {
                    return None;
                }
                pulled = true;
            }
        }
        Some(pulled)
    }

    /// Moves what keeps a thing that others take before a task that starts here
    /// needs it; false if it cannot.
    fn pull_what_keeps(&mut self, t: usize, at: i32) -> bool {
        let m = self.m;
        let minutes = self.way(t).minutes;
        for &stay in &m.stays_of[t] {
            let s = &m.p.stays[stay];
            let units = self.now.board.units(s.uses.resource, s.uses.amount);
            let (_, to) = named_in_stay(m, stay, t, minutes);
            let (Some(to), (Some(a), b)) = (to, self.now.stays[stay]) else { continue };
            let edge = if self.spans(stay) { b.unwrap_or(a) } else { a };
            let busy = self.now.board.last_busy(s.uses.resource, units, edge, at + to);
            let Some(busy) = busy else { continue };
            let mut holders: Vec<usize> = s.from.iter().map(|q| q.task).collect();
            holders.retain(|&x| x != t && self.now.laid.stands(x));
            // The last first, so that those before it have room to follow.
            holders.sort_by_key(|&x| std::cmp::Reverse(self.now.laid.start[x]));
            for x in holders {
                let since = named_in_stay(m, stay, x, self.way(x).minutes).0.unwrap_or(0);
                let least = busy + 1 - since;
                if self.now.laid.start[x] < least && !self.pull(x, (least, at), MOST_PULLS) {
                    return false;
                }
            }
        }
        true
    }

    /// Moves a task that stands to a later start between two minutes, and what
    /// must not wait so long for it with it; false, and it stands where it stood,
    /// if it fits nowhere there.
    fn pull(&mut self, t: usize, (least, most): (i32, i32), pulls: usize) -> bool {
        let m = self.m;
        if pulls == 0 || m.p.tasks[t].fixed.is_some() {
            return false;
        }
        let (was, by) = (self.now.laid.start[t], self.now.laid.cook[t]);
        let most = most.min(self.last_by_ties(t));
        self.lift(t);
        let (from, to) = self.by_stays(t);
        let found = self.fit(t, least.max(from)).filter(|f| f.0 <= most.min(to));
        let (at, cook) = found.unwrap_or((was, by));
        let pulled = found.and_then(|_| self.pull_what_waits(t, at, pulls - 1));
        let fits = pulled.is_some_and(|any| !any || self.fit(t, at) == Some((at, cook)));
        let step = m.p.tasks[t].step;
        if fits {
            self.stand(t, at, cook);
            if m.dishes_of[step].iter().all(|&d| self.settle(d)) {
                return true;
            }
            self.lift(t);
        }
        self.broken |= found.is_some();
        self.stand(t, was, by);
        m.dishes_of[step].iter().for_each(|&d| {
            self.settle(d);
        });
        false
    }
}
