//! One oven over time: which settings its uses can have, and where another
//! use still fits.
//!
//! Uses that overlap share a setting and form a group. Between groups the
//! setting can change by so many degrees a minute, so the settings that a
//! group can have, seen from the groups before it (or after it), are an
//! interval; a use fits if the intervals meet. That is exact in whole degrees.

use crate::plan::dial::STEP_C;
use crate::plan::problem::Oven;

/// A use of an oven with the settings it accepts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stint {
    /// First minute.
    pub start: i32,
    /// Minute after the last.
    pub end: i32,
    /// Lowest setting, °C.
    pub lo: i32,
    /// Highest setting, °C.
    pub hi: i32,
    /// Whose it is: a task, or a hold (number of tasks + dish).
    pub owner: usize,
}

/// Uses that overlap.
#[derive(Debug, Clone, Copy)]
struct Group {
    start: i32,
    end: i32,
    /// Settings that all of its uses accept.
    own: (i32, i32),
    /// Those of them that can be had after what comes before.
    ahead: (i32, i32),
    /// Those of them from which all that comes after can be had.
    back: (i32, i32),
}

/// All uses of one oven.
#[derive(Debug, Clone)]
pub struct OvenLine {
    up: i32,
    down: i32,
    start_c: i32,
    /// Uses that stand as they happened.
    fixed: Vec<Stint>,
    /// All others, by start.
    stints: Vec<Stint>,
    groups: Vec<Group>,
}

/// The mark of the dial nearest to a wish among the settings that can be.
fn on_dial(wish: i32, can: (i32, i32)) -> Option<i32> {
    let (first, last) = ((can.0 + STEP_C - 1).div_euclid(STEP_C), can.1.div_euclid(STEP_C));
    let near = (wish + STEP_C / 2).div_euclid(STEP_C);
    (first <= last).then(|| near.clamp(first, last) * STEP_C)
}

fn meet(a: (i32, i32), b: (i32, i32)) -> (i32, i32) {
    (a.0.max(b.0), a.1.min(b.1))
}

impl OvenLine {
    /// An oven that nobody uses.
    pub const fn new(oven: &Oven) -> Self {
        Self {
            up: oven.up_c_per_min,
            down: oven.down_c_per_min,
            start_c: oven.start_c,
            fixed: Vec::new(),
            stints: Vec::new(),
            groups: Vec::new(),
        }
    }

    /// Settings that can be had so long after one of these.
    const fn after(&self, from: (i32, i32), minutes: i32) -> (i32, i32) {
        (from.0 - self.down * minutes, from.1 + self.up * minutes)
    }

    /// Settings from which one of these can be had so long after.
    const fn before(&self, to: (i32, i32), minutes: i32) -> (i32, i32) {
        (to.0 - self.up * minutes, to.1 + self.down * minutes)
    }

    /// Settings that a use of these minutes may have, because of what happened.
    fn base(&self, start: i32, end: i32) -> (i32, i32) {
        // Nothing new begins before the start of the problem, not even a wait.
        if start < 0 {
            return (1, 0);
        }
        let c = self.start_c;
        let mut can = self.after((c, c), start);
        for f in &self.fixed {
            let has = (f.lo, f.lo);
            let so = if start >= f.end {
                self.after(has, start - f.end)
            } else if f.start >= end {
                self.before(has, f.start - end)
            } else {
                has
            };
            can = meet(can, so);
        }
        can
    }

    /// Puts in what stands as it happened (before any other use).
    pub fn put_fixed(&mut self, stint: Stint) {
        if stint.end > stint.start && stint.end > 0 {
            self.fixed.push(stint);
        }
    }

    /// Would a wait that has begun go on for these minutes? It is excused from
    /// what else stands as it happened, but nothing new must clash with it.
    pub fn goes_on(&self, stint: Stint) -> bool {
        let mut line = self.clone();
        line.put_begun(stint);
        line.groups.iter().all(|g| g.ahead.0 <= g.ahead.1)
    }

    /// Puts in a wait that has begun; [`Self::take`] takes it out again.
    pub fn put_begun(&mut self, stint: Stint) {
        self.put_fixed(stint);
        self.rebuild();
    }

    /// Puts in a use. It should [`fit`](Self::fits).
    pub fn put(&mut self, stint: Stint) {
        if stint.end > stint.start {
            let at = self.stints.partition_point(|s| *s < stint);
            self.stints.insert(at, stint);
            self.rebuild();
        }
    }

    /// Takes out the use of an owner.
    pub fn take(&mut self, owner: usize) {
        let before = self.stints.len() + self.fixed.len();
        self.stints.retain(|s| s.owner != owner);
        self.fixed.retain(|s| s.owner != owner);
        if self.stints.len() + self.fixed.len() != before {
            self.rebuild();
        }
    }

    fn rebuild(&mut self) {
        let mut groups = std::mem::take(&mut self.groups);
        groups.clear();
        for s in &self.stints {
            let own = meet((s.lo, s.hi), self.base(s.start, s.end));
            match groups.last_mut() {
                Some(g) if s.start < g.end => {
                    g.end = g.end.max(s.end);
                    g.own = meet(g.own, own);
                }
                _ => {
                    groups.push(Group { start: s.start, end: s.end, own, ahead: own, back: own });
                }
            }
        }
        for i in 0..groups.len() {
            groups[i].ahead = groups[i].own;
            if i > 0 {
                let reach = self.after(groups[i - 1].ahead, groups[i].start - groups[i - 1].end);
                groups[i].ahead = meet(groups[i].own, reach);
            }
        }
        for i in (0..groups.len()).rev() {
            groups[i].back = groups[i].own;
            if i + 1 < groups.len() {
                let reach = self.before(groups[i + 1].back, groups[i + 1].start - groups[i].end);
                groups[i].back = meet(groups[i].own, reach);
            }
        }
        self.groups = groups;
    }

    /// Would a use of these minutes that accepts `lo..=hi` go together with all others?
    pub fn fits(&self, start: i32, end: i32, lo: i32, hi: i32) -> bool {
        if end <= start {
            return true;
        }
        let mut can = meet((lo, hi), self.base(start, end));
        if can.0 > can.1 {
            return false;
        }
        let (mut first, mut past) = (start, end);
        let after = self.groups.partition_point(|g| g.end <= start);
        let mut next = after;
        while let Some(g) = self.groups.get(next).filter(|g| g.start < end) {
            can = meet(can, g.own);
            (first, past) = (first.min(g.start), past.max(g.end));
            next += 1;
        }
        if let Some(g) = after.checked_sub(1).and_then(|i| self.groups.get(i)) {
            can = meet(can, self.after(g.ahead, first - g.end));
        }
        if let Some(g) = self.groups.get(next) {
            can = meet(can, self.before(g.back, g.start - past));
        }
        can.0 <= can.1
    }

    /// Do all uses go together?
    #[cfg(test)]
    fn sound(&self) -> bool {
        self.groups.iter().all(|g| g.ahead.0 <= g.ahead.1)
    }

    /// A setting for each owner: near the middle of what each group accepts,
    /// and one that a dial shows wherever what comes after leaves one.
    pub fn settings(&self) -> Vec<(usize, i32)> {
        let mut chosen = vec![0; self.groups.len()];
        let mut later: Option<(i32, i32)> = None;
        for (i, g) in self.groups.iter().enumerate().rev() {
            let mut can = g.ahead;
            if let Some((start, c)) = later {
                can = meet(can, self.before((c, c), start - g.end));
            }
            let wish = g.own.0 + (g.own.1 - g.own.0) / 2;
            chosen[i] = on_dial(wish, can).unwrap_or(wish.min(can.1).max(can.0));
            later = Some((g.start, chosen[i]));
        }
        let mut settings = Vec::with_capacity(self.stints.len());
        let mut g = 0;
        for s in &self.stints {
            while g + 1 < self.groups.len() && self.groups[g].end <= s.start {
                g += 1;
            }
            settings.push((s.owner, chosen.get(g).copied().unwrap_or(s.lo)));
        }
        settings
    }
}

#[cfg(test)]
mod tests {
    use super::super::rng::Rng;
    use super::*;

    /// The rule itself, by trying every setting of every use.
    fn some_settings(
        oven: &Oven,
        fixed: &[Stint],
        stints: &[Stint],
        chosen: &mut Vec<i32>,
    ) -> bool {
        let i = chosen.len();
        if i == stints.len() {
            return true;
        }
        let s = stints[i];
        for c in s.lo..=s.hi {
            let apart = |o: &Stint, oc: i32| {
                if o.start < s.end && s.start < o.end {
                    oc == c
                } else if o.end <= s.start {
                    s.start - o.end >= oven.minutes(oc, c)
                } else {
                    o.start - s.end >= oven.minutes(c, oc)
                }
            };
            let good = s.start >= oven.minutes(oven.start_c, c)
                && fixed.iter().all(|f| apart(f, f.lo))
                && stints[..i].iter().zip(chosen.iter()).all(|(o, &oc)| apart(o, oc));
            if good {
                chosen.push(c);
                if some_settings(oven, fixed, stints, chosen) {
                    return true;
                }
                chosen.pop();
            }
        }
        false
    }

    #[test]
    fn settings_are_those_that_a_dial_shows() {
        let oven = Oven { start_c: 20, up_c_per_min: 10, down_c_per_min: 5 };
        let mut line = OvenLine::new(&oven);
        let stint = |start, lo, hi, owner| Stint { start, end: start + 30, lo, hi, owner };
        // 80 give or take ten, but not below 57 and 163 as the recipe says it.
        line.put(stint(60, 75, 90, 0));
        line.put(stint(120, 153, 173, 1));
        line.put(stint(200, 181, 184, 2));
        assert_eq!(line.settings(), [(0, 80), (1, 165), (2, 182)]);
        assert_eq!(on_dial(-3, (-9, -1)), Some(-5));
    }

    #[test]
    fn fits_as_trying_every_setting_says() {
        let mut rng = Rng::new(3);
        let (mut yes, mut no) = (0, 0);
        for round in 0..3000 {
            let oven = Oven {
                start_c: rng.below(8) as i32,
                up_c_per_min: 1 + rng.below(2) as i32,
                down_c_per_min: 1 + rng.below(2) as i32,
            };
            let mut line = OvenLine::new(&oven);
            let mut fixed = Vec::new();
            if rng.chance(50) {
                let c = rng.below(8) as i32;
                let f = Stint { start: -2, end: 1 + rng.below(3) as i32, lo: c, hi: c, owner: 99 };
                line.put_fixed(f);
                fixed.push(f);
            }
            let mut stints: Vec<Stint> = Vec::new();
            for owner in 0..4 {
                let (start, lo) = (rng.below(14) as i32, rng.below(8) as i32);
                let s = Stint {
                    start,
                    end: start + 1 + rng.below(3) as i32,
                    lo,
                    hi: lo + rng.below(4) as i32,
                    owner,
                };
                let mut with = stints.clone();
                with.push(s);
                let can = some_settings(&oven, &fixed, &with, &mut Vec::new());
                assert_eq!(line.fits(s.start, s.end, s.lo, s.hi), can, "round {round}: {line:?}");
                if can {
                    yes += 1;
                    line.put(s);
                    stints = with;
                    assert!(line.sound());
                } else {
                    no += 1;
                }
            }
            let mut chosen = vec![0; stints.len()];
            for (owner, c) in line.settings() {
                let i = stints.iter().position(|s| s.owner == owner).unwrap();
                chosen[i] = c;
                assert!(stints[i].lo <= c && c <= stints[i].hi);
            }
            for (s, &c) in stints.iter().zip(&chosen) {
                let mut exact = stints.clone();
                for (e, &ec) in exact.iter_mut().zip(&chosen) {
                    (e.lo, e.hi) = (ec, ec);
                }
                assert!(some_settings(&oven, &fixed, &exact, &mut Vec::new()), "{s:?} {c}");
            }
        }
        assert!(yes > 1000 && no > 1000);
    }
}
