//! A small seeded random sequence: the same seed gives the same numbers on every machine.

/// The state of a `splitmix64` sequence (Steele, Lea, Flood, "Fast splittable
/// pseudorandom number generators", OOPSLA 2014; constants from memory, not seen in a text).
#[derive(Debug, Clone)]
pub struct Rng(u64);

impl Rng {
    /// A sequence that depends on the seed alone.
    pub const fn new(seed: u64) -> Self {
        Self(seed ^ 0x9E37_79B9_7F4A_7C15)
    }

    /// Another sequence that goes its own way from here.
    pub const fn split(&mut self) -> Self {
        Self::new(self.bits())
    }

    /// The next 64 bits.
    pub const fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number below `n` (0 if `n` is 0).
    pub fn below(&mut self, n: usize) -> usize {
        if n == 0 {
            return 0;
        }
        ((u128::from(self.bits()) * n as u128) >> 64) as usize
    }

    /// True about `percent` times in a hundred.
    #[cfg(test)]
    pub fn chance(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    /// How much worse than before to accept, in 256ths of the temperature: an
    /// exponential variate, from a piecewise linear logarithm in integers, so
    /// that every machine has the same.
    pub fn boldness(&mut self) -> i64 {
        let bits = self.bits() | 1;
        let zeros = bits.leading_zeros();
        let fraction = ((bits << zeros) >> 55) & 0xFF;
        let log2 = i64::from(zeros) * 256 + 256 - fraction as i64;
        log2 * 177 / 256
    }

    /// Mixes the order of a list.
    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        for i in (1..list.len()).rev() {
            list.swap(i, self.below(i + 1));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stays_below_and_repeats() {
        let (mut a, mut b) = (Rng::new(7), Rng::new(7));
        for n in 1..200 {
            let x = a.below(n);
            assert!(x < n);
            assert_eq!(x, b.below(n));
        }
        let mut list: Vec<u32> = (0..50).collect();
        a.shuffle(&mut list);
        assert!(list.iter().enumerate().any(|(i, &x)| i as u32 != x));
        list.sort_unstable();
        assert_eq!(list, (0..50).collect::<Vec<u32>>());
    }
}
