//! Uses of an oven by the settings that they accept, two by two.

use crate::plan::problem::{Oven, OvenUse};
use crate::plan::search::model::Model;
use crate::plan::search::state::{State, setting_if_held};

/// A use of an oven, or the wish for one.
#[derive(Debug, Clone, Copy)]
pub struct Heat {
    /// The oven.
    pub oven: usize,
    /// First minute.
    pub from: i32,
    /// Minute after the last.
    pub to: i32,
    /// Settings accepted, °C.
    lo: i32,
    hi: i32,
    /// Whose it is: a task, or a hold (number of tasks + dish).
    pub owner: usize,
}

impl Heat {
    /// What a mode or hold asks for.
    pub fn of(oven: Option<OvenUse>) -> Option<Self> {
        oven.map(|o| Self {
            oven: o.oven,
            from: 0,
            to: 0,
            lo: o.least_c,
            hi: o.most_c,
            owner: usize::MAX,
        })
    }

    /// The same from when to when.
    pub const fn at(self, from: i32, to: i32) -> Self {
        Self { from, to, ..self }
    }

    /// The same of this owner.
    pub const fn of_owner(self, owner: usize) -> Self {
        Self { owner, ..self }
    }

    /// Only this setting.
    pub const fn set_to(self, c: i32) -> Self {
        Self { lo: c, hi: c, ..self }
    }

    /// Minutes from one use to the other at the least; None if they can be had together.
    fn apart(&self, oven: &Oven, other: &Self) -> Option<i32> {
        if self.lo > other.hi {
            Some(oven.minutes(self.lo, other.hi))
        } else if self.hi < other.lo {
            Some(oven.minutes(self.hi, other.lo))
        } else {
            None
        }
    }

    /// The first minute at which the oven can be warm enough.
    pub fn warm(&self, oven: &Oven) -> i32 {
        oven.minutes(oven.start_c, oven.start_c.clamp(self.lo, self.hi.max(self.lo)))
    }

    /// The first start from which this use is out of the way of another, if it is in its way.
    pub fn after(&self, oven: &Oven, other: &Self) -> Option<i32> {
        self.in_the_way(oven, other).map(|after| other.to + after)
    }

    fn in_the_way(&self, oven: &Oven, other: &Self) -> Option<i32> {
        let (before, after) = (self.apart(oven, other)?, other.apart(oven, self)?);
        let clash = self.to + before > other.from && self.from < other.to + after;
        (clash && self.to > self.from).then_some(after)
    }
}

/// The uses that stand as they happened.
pub fn standing(m: &Model, bare: &State) -> Vec<Vec<Heat>> {
    let mut heats = vec![Vec::new(); m.p.ovens.len()];
    for (t, task) in m.p.tasks.iter().enumerate().filter(|(t, _)| bare.stands(*t)) {
        let mode = &m.p.steps[task.step].modes[bare.mode[task.step]];
        if let (Some(f), Some(heat)) = (task.fixed, Heat::of(mode.oven))
            && let Some(c) = f.setting_c
            && f.end > f.start.max(0)
        {
            heats[heat.oven].push(heat.at(f.start, f.end).set_to(c));
        }
        debug_assert!(bare.placed[t]);
    }
    for (d, dish) in m.p.dishes.iter().enumerate().filter(|(d, _)| bare.settled[*d]) {
        if let Some(hold) = dish.holds.get(bare.hold[d])
            && let (Some(heat), Some(c)) = (Heat::of(hold.oven), setting_if_held(hold))
        {
            heats[heat.oven].push(heat.at(bare.wait[d].0, bare.wait[d].1).set_to(c));
        }
    }
    heats
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::search::rng::Rng;

    #[test]
    fn two_uses_are_apart_as_trying_every_setting_says() {
        let mut rng = Rng::new(17);
        let (mut clear, mut clash) = (0, 0);
        for round in 0..4000 {
            let up_c_per_min = 1 + rng.below(3) as i32;
            let oven = Oven { start_c: rng.below(30) as i32, up_c_per_min, down_c_per_min: 1 };
            let mut heat = || {
                let (from, lo) = (rng.below(30) as i32, rng.below(30) as i32);
                let (least_c, most_c) = (lo, lo + rng.below(8) as i32);
                let heat = Heat::of(Some(OvenUse { oven: 0, least_c, most_c })).expect("one");
                heat.at(from, from + rng.below(6) as i32).of_owner(3)
            };
            let (one, other) = (heat(), heat());
            assert_eq!((one.owner, one.oven), (3, 0));
            // Two settings with which one use may be in these minutes beside the other.
            let together = |one: Heat| {
                (one.lo..=one.hi).any(|a| {
                    (other.lo..=other.hi).any(|b| {
                        a == b
                            || one.to + oven.minutes(a, b) <= other.from
                            || other.to + oven.minutes(b, a) <= one.from
                    })
                })
            };
            let first = (0..200)
                .find(|&from| (one.lo..=one.hi).any(|c| oven.minutes(oven.start_c, c) <= from));
            assert_eq!(one.warm(&oven), first.expect("warm at some time"), "round {round}");
            let after = one.after(&oven, &other);
            if one.to > one.from {
                assert_eq!(after.is_none(), together(one), "round {round}: {one:?} {other:?}");
            }
            let Some(after) = after else {
                clear += 1;
                continue;
            };
            clash += 1;
            // From there on it is out of the way, and no sooner.
            let at = |from: i32| one.at(from, from + one.to - one.from);
            assert!(together(at(after)), "round {round}");
            assert!((one.from..after).all(|from| !together(at(from))), "round {round}");
            assert!(one.set_to(other.lo).after(&oven, &other).is_none());
        }
        assert!(clear > 500 && clash > 500, "{clear} and {clash}");
    }
}
