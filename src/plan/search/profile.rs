//! How much of a resource is left at each minute, and for each amount that is
//! ever asked for, the minutes at which so much is left, as bits.

use super::bits;
use crate::plan::problem::Resource;

/// What is left of one resource.
#[derive(Debug, Clone)]
pub struct Profile {
    left: Vec<i32>,
    /// What would be left if nothing stood but what has begun.
    begun: Vec<i32>,
    /// Amounts that tasks ask for, rising.
    levels: Vec<i32>,
    /// For each level the minutes at which so much is left.
    free: Vec<Vec<u64>>,
}

/// Less than nothing: what is left in closed minutes.
const CLOSED: i32 = -(1 << 28);

impl Profile {
    /// All of it free for `h` minutes, save the closed ones.
    pub fn new(resource: &Resource, levels: Vec<i32>, h: i32) -> Self {
        let mut left = vec![resource.capacity.max(0); h.max(0) as usize];
        for &(from, to) in &resource.closed {
            let (from, to) = (from.clamp(0, h.max(0)), to.clamp(0, h.max(0)));
            if from < to {
                left[from as usize..to as usize].fill(CLOSED);
            }
        }
        let free = levels.iter().map(|_| vec![0; bits::words(left.len())]).collect();
        let begun = left.clone();
        let mut profile = Self { left, begun, levels, free };
        profile.refresh(0, h.max(0) as usize);
        profile
    }

    fn refresh(&mut self, from: usize, to: usize) {
        for (&level, free) in self.levels.iter().zip(&mut self.free) {
            bits::refresh(free, from, &self.left[from..to], level);
        }
    }

    /// Takes what stands as it happened: never less than nothing is left, so
    /// that what happened is allowed and nothing more.
    pub fn take_fixed(&mut self, from: i32, to: i32, amount: i32) {
        let (from, to) = self.cut(from, to);
        for left in &mut self.left[from..to] {
            *left = if *left > 0 { (*left - amount).max(0) } else { *left };
        }
        self.begun[from..to].copy_from_slice(&self.left[from..to]);
        self.refresh(from, to);
    }

    /// Could something that has begun go on for these minutes? It may where so
    /// much is left, and where nothing but what has begun is in its way.
    pub fn goes_on(&self, from: i32, to: i32, amount: i32) -> bool {
        let (from, to) = self.cut(from, to);
        (from..to).all(|m| self.left[m] >= amount || self.left[m] == self.begun[m])
    }

    /// Takes what has begun, as far as it is there; gives what it took at each minute.
    pub fn take_begun(&mut self, from: i32, to: i32, amount: i32) -> Vec<i32> {
        let (from, to) = self.cut(from, to);
        let taken: Vec<i32> = self.left[from..to].iter().map(|l| amount.min((*l).max(0))).collect();
        for (m, taken) in (from..to).zip(&taken) {
            self.left[m] -= taken;
            self.begun[m] -= taken;
        }
        self.refresh(from, to);
        taken
    }

    /// Gives back what [`Self::take_begun`] took.
    pub fn give_back(&mut self, from: i32, taken: &[i32]) {
        let (from, _) = self.cut(from, from);
        let to = (from + taken.len()).min(self.left.len());
        for (m, taken) in (from..to).zip(taken) {
            self.left[m] += taken;
            self.begun[m] += taken;
        }
        self.refresh(from, to);
    }

    /// Takes an amount (gives it back, if negative).
    pub fn take(&mut self, from: i32, to: i32, amount: i32) {
        let (from, to) = self.cut(from, to);
        if from >= to || amount == 0 {
            return;
        }
        for left in &mut self.left[from..to] {
            *left -= amount;
        }
        self.refresh(from, to);
    }

    fn cut(&self, from: i32, to: i32) -> (usize, usize) {
        let h = self.left.len() as i32;
        let from = from.clamp(0, h);
        (from as usize, to.clamp(from, h) as usize)
    }

    /// What is left at a minute.
    pub fn left(&self, minute: i32) -> i32 {
        usize::try_from(minute).ok().and_then(|m| self.left.get(m)).copied().unwrap_or(0)
    }

    /// Minutes at which at least so much is left; the amount must be a level.
    pub fn free(&self, amount: i32) -> &[u64] {
        match self.levels.binary_search(&amount) {
            Ok(i) => &self.free[i],
            Err(_) => &[],
        }
    }

    /// Is so much left in all of these minutes? Minutes outside do not count,
    /// but for those past the horizon, at which nothing is left.
    pub fn fits(&self, from: i32, to: i32, amount: i32) -> bool {
        let from = from.max(0);
        from >= to || bits::run_end(self.free(amount), from) >= to
    }
}

#[cfg(test)]
mod tests;
