//! What is taken of each resource, a bit a minute and level, as rough schedules need it.

use crate::plan::search::bits::{self, mask};
use crate::plan::search::model::Model;
use crate::plan::search::state::State;

/// Levels into which a resource is divided at the most.
const MOST_LEVELS: i32 = 20;

/// For each resource and level the minutes at which less than so much is left.
#[derive(Debug, Clone, Default)]
pub struct Board {
    words: usize,
    /// For each resource what one level is.
    unit: Vec<i32>,
    /// For each resource its levels.
    levels: Vec<usize>,
    /// For each resource where its levels begin among those of a word.
    at: Vec<usize>,
    /// Levels of all resources together.
    width: usize,
    /// The first words of all levels, then their second words, and so on.
    bits: Vec<u64>,
}

impl Board {
    /// A board on which stands what stands in a state.
    pub fn new(m: &Model, bare: &State) -> Self {
        let mut amounts = amounts(m);
        // Levels of all cooks are the same, so that it is told once what hands ask of them.
        let of_cooks = |&c: &usize| [amounts[c].clone(), vec![m.p.resources[c].capacity]].concat();
        let hands: Vec<i32> = m.cooks.iter().flat_map(of_cooks).collect();
        m.cooks.iter().for_each(|&c| amounts[c].clone_from(&hands));
        let mut board = Self { words: bits::words(m.room.max(1) as usize), ..Self::default() };
        for (resource, amounts) in m.p.resources.iter().zip(&amounts) {
            let capacity = resource.capacity.max(0);
            let mut unit = amounts.iter().fold(capacity, |a, &b| common(a, b)).max(1);
            // Too many levels: asked for a little more than is wanted.
            unit = unit.max((capacity + MOST_LEVELS - 1) / MOST_LEVELS);
            board.unit.push(unit);
            board.levels.push((capacity / unit) as usize);
            board.at.push(board.width);
            board.width += (capacity / unit) as usize;
        }
        board.bits = vec![0; board.width * board.words];
        for (r, profile) in bare.profiles.iter().enumerate() {
            for minute in 0..board.words * 64 {
                let left = (profile.left(minute as i32).max(0) / board.unit[r]) as usize;
                let at = minute / 64 * board.width + board.at[r];
                for level in left.min(board.levels[r])..board.levels[r] {
                    board.bits[at + level] |= 1 << (minute % 64);
                }
            }
        }
        board
    }

    /// Takes over what another board of the same problem says.
    pub fn copy(&mut self, other: &Self) {
        self.bits.clone_from(&other.bits);
    }

    /// Levels that an amount takes; more than there are if it is too much.
    pub fn units(&self, resource: usize, amount: i32) -> usize {
        let unit = self.unit[resource];
        (amount.max(0) / unit + i32::from(amount % unit != 0)) as usize
    }

    /// Takes so many levels in some minutes.
    #[inline]
    pub fn take(&mut self, resource: usize, units: usize, from: i32, to: i32) {
        self.each_word(resource, units, (from, to), |levels, mask| {
            for level in 0..levels.len() {
                let left = levels.get(level + units).copied().unwrap_or(u64::MAX);
                levels[level] |= left & mask;
            }
        });
    }

    /// Gives back what was taken.
    #[inline]
    pub fn give(&mut self, resource: usize, units: usize, from: i32, to: i32) {
        self.each_word(resource, units, (from, to), |levels, mask| {
            for level in (0..levels.len()).rev() {
                let left = level.checked_sub(units).map_or(0, |lower| levels[lower]);
                levels[level] = (levels[level] & !mask) | (left & mask);
            }
        });
    }

    /// Calls `change` with the levels of a resource in each word of some minutes, and
    /// which of its minutes are meant.
    #[inline]
    fn each_word(
        &mut self,
        resource: usize,
        units: usize,
        (from, to): (i32, i32),
        change: impl Fn(&mut [u64], u64),
    ) {
        let from = from.max(0) as usize;
        let to = (to.max(0) as usize).min(self.words * 64);
        if from >= to || units == 0 {
            return;
        }
        let (count, at) = (self.levels[resource], self.at[resource]);
        for w in from / 64..=(to - 1) / 64 {
            let begin = w * self.width + at;
            change(&mut self.bits[begin..begin + count], mask(w, from, to));
        }
    }

    /// The 64 minutes from a minute on at which so much is not left; nothing is
    /// left after the last minute. `level` is from [`Self::level`].
    #[inline]
    fn busy(&self, level: usize, minute: usize) -> u64 {
        let (w, bit) = (minute / 64, minute % 64);
        let word = |w: usize| self.bits.get(w * self.width + level).copied().unwrap_or(u64::MAX);
        if bit == 0 { word(w) } else { word(w) >> bit | word(w + 1) << (64 - bit) }
    }

    /// Where the level lies that an amount asks for; None if there is not so much.
    #[inline]
    fn level(&self, resource: usize, units: usize) -> Option<usize> {
        (units <= self.levels[resource]).then(|| self.at[resource] + units - 1)
    }

    /// Of the 64 minutes of a word those for which so much is left in all of
    /// `minute + from..minute + to`.
    #[inline]
    pub fn starts(&self, (resource, units): (usize, usize), w: usize, from: i32, to: i32) -> u64 {
        if units == 0 || to <= from {
            return u64::MAX;
        }
        let Some(level) = self.level(resource, units) else { return 0 };
        let mut at = w * 64 + from.max(0) as usize;
        let mut run = (to - from) as usize;
        let mut all = 0;
        loop {
            let chunk = run.min(64);
            all |= !bits::eroded(!self.busy(level, at), !self.busy(level, at + 64), chunk);
            run -= chunk;
            if run == 0 || all == u64::MAX {
                return !all;
            }
            at += 64;
        }
    }

    /// The last of some minutes at which so much is not left. Minutes before the
    /// first are free, those after the last are not.
    #[inline]
    pub fn last_busy(&self, resource: usize, units: usize, from: i32, to: i32) -> Option<i32> {
        let from = from.max(0) as usize;
        if units == 0 || to <= from as i32 {
            return None;
        }
        let to = to as usize;
        let Some(level) = self.level(resource, units).filter(|_| to <= self.words * 64) else {
            return Some(i32::MAX / 4);
        };
        for w in (from / 64..=(to - 1) / 64).rev() {
            let busy = self.bits[w * self.width + level] & mask(w, from, to);
            if busy != 0 {
                return Some((w * 64) as i32 + 63 - busy.leading_zeros() as i32);
            }
        }
        None
    }

    /// The first of them.
    #[inline]
    pub fn first_busy(&self, resource: usize, units: usize, from: i32, to: i32) -> Option<i32> {
        let from = from.max(0) as usize;
        if units == 0 || to <= from as i32 {
            return None;
        }
        let Some(level) = self.level(resource, units) else { return Some(-(i32::MAX / 4)) };
        let (to, end) = (to as usize, self.words * 64);
        for w in from / 64..=(to - 1) / 64 {
            let word = self.bits.get(w * self.width + level).copied().unwrap_or(u64::MAX);
            let busy = word & mask(w, from, to);
            if busy != 0 || w * 64 >= end {
                return Some((w * 64) as i32 + busy.trailing_zeros() as i32);
            }
        }
        None
    }
}

/// For each resource all amounts that are asked of it.
fn amounts(m: &Model) -> Vec<Vec<i32>> {
    let p = &m.p;
    let mut amounts: Vec<Vec<i32>> = vec![Vec::new(); p.resources.len()];
    for step in &p.steps {
        for mode in &step.modes {
            mode.uses.iter().for_each(|u| amounts[u.resource].push(u.amount));
            for h in &mode.hands {
                step.cooks.iter().for_each(|&c| amounts[c].push(h.percent));
            }
        }
    }
    let holds = p.dishes.iter().flat_map(|d| &d.holds).flat_map(|h| &h.uses);
    let uses = p.stays.iter().map(|s| &s.uses).chain(holds);
    uses.for_each(|u| amounts[u.resource].push(u.amount));
    amounts
}

/// The greatest common divisor.
fn common(a: i32, b: i32) -> i32 {
    let (mut a, mut b) = (a.max(0), b.max(0));
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::search::rng::Rng;

    fn board(levels: usize) -> Board {
        // Another resource before it and one after it, to be left alone.
        let width = levels + 2;
        Board {
            words: 3,
            unit: vec![1, 5, 1],
            levels: vec![1, levels, 1],
            at: vec![0, 1, levels + 1],
            width,
            bits: vec![0; width * 3],
        }
    }

    #[test]
    fn it_is_what_counting_minute_by_minute_says() {
        let mut rng = Rng::new(9);
        for _ in 0..300 {
            let levels = 1 + rng.below(4);
            let mut board = board(levels);
            let mut left = vec![levels as i32; 192];
            let mut taken: Vec<(usize, i32, i32)> = Vec::new();
            for _ in 0..12 {
                let (from, length) = (rng.below(190) as i32, rng.below(80) as i32);
                let units = 1 + rng.below(levels);
                let all = from..(from + length).min(192);
                if rng.chance(30) && !taken.is_empty() {
                    let (units, from, to) = taken.swap_remove(rng.below(taken.len()));
                    board.give(1, units, from, to);
                    (from..to.min(192)).for_each(|m| left[m as usize] += units as i32);
                } else if all.clone().all(|m| left[m as usize] >= units as i32) {
                    board.take(1, units, from, from + length);
                    taken.push((units, from, from + length));
                    all.for_each(|m| left[m as usize] -= units as i32);
                }
                let (a, b) = (rng.below(192) as i32, rng.below(192) as i32);
                let busy = |&m: &i32| left[m as usize] < units as i32;
                assert_eq!(board.first_busy(1, units, a, b), (a..b).find(busy));
                assert_eq!(board.last_busy(1, units, a, b), (a..b).rev().find(busy));
                let (after, run) = (rng.below(20) as i32, rng.below(90) as i32);
                for w in 0..3 {
                    let starts = board.starts((1, units), w, after, after + run);
                    for s in 0..64 {
                        let minute = w as i32 * 64 + s;
                        let free =
                            |m: i32| left.get(m as usize).is_some_and(|&l| l >= units as i32);
                        let fits = (minute + after..minute + after + run).all(free);
                        assert_eq!(starts >> s & 1 == 1, fits);
                    }
                }
            }
            assert_eq!(board.units(1, 11), 3);
            assert!(board.last_busy(1, levels + 1, 3, 4) > Some(191));
            assert!(board.last_busy(1, 1, 190, 193) > Some(191), "after the end");
            assert_eq!(board.bits.iter().step_by(board.width).max(), Some(&0), "another's");
        }
    }
}
