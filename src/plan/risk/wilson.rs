//! How far a counted share may be off.
//!
//! The score interval: E. B. Wilson, "Probable inference, the law of
//! succession, and statistical inference", *Journal of the American Statistical
//! Association* 22 (1927) 209-212; the form used is that of R. G. Newcombe,
//! "Two-sided confidence intervals for the single proportion", *Statistics in
//! Medicine* 17 (1998) 857-872, method 3 (both from memory, not seen in a text).

/// Standard deviations on either side of a normal distribution that hold 95 % of it.
pub const Z_95: f64 = 1.959_963_984_540_054;

/// Between which shares the true one lies, 19 times in 20, if it was so
/// `hits` times out of `of`. `(0, 1)` where nothing was counted.
#[must_use]
pub fn interval(hits: u32, of: u32) -> (f64, f64) {
    if of == 0 {
        return (0.0, 1.0);
    }
    let (n, p, z2) = (f64::from(of), f64::from(hits.min(of)) / f64::from(of), Z_95 * Z_95);
    let middle = 2.0 * n * p + z2;
    let reach = Z_95 * (z2 + 4.0 * n * p * (1.0 - p)).sqrt();
    let below = 2.0 * (n + z2);
    // At the ends the sums cancel but for their last bits.
    let low = if hits == 0 { 0.0 } else { (middle - reach) / below };
    let high = if hits >= of { 1.0 } else { (middle + reach) / below };
    (low.max(0.0), high.min(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Newcombe (1998), table I, method 3: 81/263, 15/148, 0/20, 1/29 (from memory).
    #[test]
    fn intervals_are_the_published_ones() {
        let published = [
            (81, 263, 0.2553, 0.3662),
            (15, 148, 0.0624, 0.1605),
            (0, 20, 0.0000, 0.1611),
            (1, 29, 0.0061, 0.1718),
        ];
        for (hits, of, low, high) in published {
            let found = interval(hits, of);
            assert!((found.0 - low).abs() < 0.000_05, "{hits}/{of}: {found:?}");
            assert!((found.1 - high).abs() < 0.000_05, "{hits}/{of}: {found:?}");
        }
    }

    #[test]
    fn it_holds_the_share_and_nothing_impossible() {
        for of in [1, 2, 19, 2_000] {
            for hits in 0..=of {
                let (low, high) = interval(hits, of);
                let share = f64::from(hits) / f64::from(of);
                assert!((0.0..=share).contains(&low) && (share..=1.0).contains(&high));
                assert!(low < high);
            }
        }
        assert_eq!(interval(0, 0), (0.0, 1.0));
        assert_eq!(interval(9, 3), interval(3, 3));
    }
}
