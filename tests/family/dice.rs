//! Numbers that depend on a seed alone.

/// SplitMix64 (Steele, Lea & Flood, OOPSLA 2014).
pub struct Dice(u64);

impl Dice {
    /// Dice for a seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// 0 to n - 1; 0 if n is 0 or less.
    pub fn below(&mut self, n: i32) -> i32 {
        let n = u64::try_from(n).unwrap_or(1).max(1);
        i32::try_from((self.next() >> 33) % n).expect("below an i32")
    }

    /// One of these numbers, both ends included.
    pub fn from(&mut self, least: i32, most: i32) -> i32 {
        least + self.below(most - least + 1)
    }

    /// True so many times in a hundred.
    pub fn chance(&mut self, percent: i32) -> bool {
        self.below(100) < percent
    }

    /// One of these.
    pub fn pick<'a>(&mut self, words: &[&'a str]) -> &'a str {
        words[self.below(words.len() as i32) as usize]
    }

    /// The numbers below n in another order (Fisher and Yates).
    pub fn order(&mut self, n: usize) -> Vec<usize> {
        let mut order: Vec<usize> = (0..n).collect();
        for i in (1..n).rev() {
            order.swap(i, self.below(i as i32 + 1) as usize);
        }
        order
    }
}
