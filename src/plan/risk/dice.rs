//! Numbers that look random and depend on nothing but what they are asked for:
//! the same step has the same luck on the same evening, whatever the plan. So
//! two plans are compared over the same evenings.

/// The finalizer of `splitmix64` (Steele, Lea, Flood, "Fast splittable
/// pseudorandom number generators", OOPSLA 2014; constants from memory, not seen in a text).
#[must_use]
pub const fn mix(z: u64) -> u64 {
    let z = z.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// The luck of one evening.
#[derive(Debug, Clone, Copy)]
pub struct Luck(u64);

impl Luck {
    /// Of evening number `evening` of a seed.
    #[must_use]
    pub const fn of(seed: u64, evening: u32) -> Self {
        Self(mix(mix(seed) ^ evening as u64))
    }

    /// A number in `0.0..1.0` for a thing that is named by `salt`.
    #[must_use]
    pub fn number(self, salt: u64) -> f64 {
        // The upper 53 bits, which a double holds exactly.
        (mix(self.0 ^ salt) >> 11) as f64 / (1_u64 << 53) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_spread_evenly_over_evenings_and_things() {
        let mut counts = [0_u32; 20];
        for evening in 0..200 {
            for salt in 0..200 {
                let u = Luck::of(7, evening).number(mix(salt));
                counts[(u * 20.0) as usize] += 1;
            }
        }
        // 2000 in each, with a standard deviation of 44.
        assert!(counts.iter().all(|&n| n.abs_diff(2_000) < 220), "{counts:?}");
        let (one, other) = (Luck::of(7, 3).number(5), Luck::of(8, 3).number(5));
        assert!(one != other && Luck::of(7, 3).number(5) == one);
    }
}
