//! The minutes of a step as a distribution.
//!
//! A **split triangle**: below `likely` a right triangle that rises towards it,
//! above it one that falls from it, half of the evenings on either side. So
//! `likely` is the median and the mode of either side, and the reach of each
//! side is such that one evening in ten lies below `low` and one in ten above
//! `high`, which is what the recipe format says of them. It is the same hump
//! that [`crate::run::expect`] goes by for steps that run over.
//!
//! Each half is a right triangular distribution; for those, and for their
//! distribution and quantile functions, see Johnson, Kotz, Balakrishnan,
//! *Continuous Univariate Distributions* vol. 2, ch. 26 (from memory, not seen
//! in a text); the checks compare with SciPy's `triang`. That a step's minutes
//! are such a hump is our own choice: three figures from a cook say no more.

/// `1 / (1 - sqrt(0.2))`: how far a side reaches beyond `likely`, in units of
/// the distance to the point that a tenth of all evenings passes, which is a
/// fifth of that side: `((reach - 1) / reach)² = 0.2`.
pub const REACH: f64 = 1.809_016_994_374_947_5;

/// No step takes less than half a minute, whatever its figures say.
const LEAST_MINUTES: f64 = 0.5;

/// Minutes of a step: low, likely and high as reaches of the two triangles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// The median.
    likely: f64,
    /// From the least to the median.
    below: f64,
    /// From the median to the most.
    above: f64,
}

impl Spread {
    /// From minutes that one evening in ten stays below, the likely ones, and those that one in ten exceeds.
    #[must_use]
    pub fn new(low: f64, likely: f64, high: f64) -> Self {
        let reach = |distance: f64| REACH * distance.max(0.0);
        Self { likely, below: reach(likely - low), above: reach(high - likely) }
    }

    /// Does it vary at all?
    #[must_use]
    pub fn varies(&self) -> bool {
        self.below > 0.0 || self.above > 0.0
    }

    /// The likely minutes.
    #[must_use]
    pub const fn likely(&self) -> f64 {
        self.likely
    }

    /// Minutes that are never exceeded.
    #[must_use]
    pub fn most(&self) -> f64 {
        self.likely + self.above
    }

    /// Minutes that a share `u` of evenings stays below; `u` in 0..=1.
    #[must_use]
    pub fn quantile(&self, u: f64) -> f64 {
        let u = u.clamp(0.0, 1.0);
        let minutes = if u < 0.5 {
            self.likely - self.below * (1.0 - (2.0 * u).sqrt())
        } else {
            self.likely + self.above * (1.0 - (2.0 * (1.0 - u)).sqrt())
        };
        minutes.max(LEAST_MINUTES)
    }

    /// The share of evenings that stay below so many minutes.
    #[must_use]
    pub fn share_below(&self, minutes: f64) -> f64 {
        if minutes < self.likely {
            let left = minutes - (self.likely - self.below);
            if left <= 0.0 { 0.0 } else { 0.5 * (left / self.below) * (left / self.below) }
        } else {
            let left = self.most() - minutes;
            if left <= 0.0 { 1.0 } else { 1.0 - 0.5 * (left / self.above) * (left / self.above) }
        }
    }

    /// The same shape around other likely minutes: the cook has said how long it still takes.
    #[must_use]
    pub fn scaled_to(&self, likely: f64) -> Self {
        let by = likely / self.likely.max(LEAST_MINUTES);
        Self { likely, below: self.below * by, above: self.above * by }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn one_evening_in_ten_lies_beyond_either_figure() {
        let spread = Spread::new(25.0, 30.0, 45.0);
        for (u, minutes) in [(0.1, 25.0), (0.5, 30.0), (0.9, 45.0)] {
            assert!((spread.quantile(u) - minutes).abs() < 1e-9, "{u}");
            assert!((spread.share_below(minutes) - u).abs() < 1e-9, "{minutes}");
        }
    }

    /// SciPy 1.17: `0.5 * triang.ppf`-halves, made with
    /// `triang(1, loc=30-9.045085, scale=9.045085)` below and
    /// `triang(0, loc=30, scale=27.135255)` above.
    #[test]
    fn quantiles_are_those_of_two_right_triangles() {
        let spread = Spread::new(25.0, 30.0, 45.0);
        for (u, minutes) in
            [(0.02, 22.763_932_0), (0.25, 27.350_755_9), (0.75, 37.947_732_2), (0.98, 51.708_203_9)]
        {
            assert!((spread.quantile(u) - minutes).abs() < 1e-6, "{u}: {}", spread.quantile(u));
        }
    }

    #[test]
    fn what_never_varies_stays() {
        let spread = Spread::new(7.0, 7.0, 7.0);
        assert!(!spread.varies());
        assert_eq!([0.0, 0.3, 0.5, 1.0].map(|u| spread.quantile(u)), [7.0; 4]);
        assert_eq!([6.9, 7.0, 7.1].map(|m| spread.share_below(m)), [0.0, 1.0, 1.0]);
        // A side without any spread puts its half of the evenings on one point.
        let late_only = Spread::new(7.0, 7.0, 9.0);
        assert_eq!(late_only.quantile(0.2), 7.0);
        assert!(late_only.quantile(0.6) > 7.0);
    }

    proptest! {
        #[test]
        fn the_two_functions_undo_each_other(
            low in 2_u32..100, likely in 0_u32..60, high in 0_u32..90, u in 0.0_f64..1.0
        ) {
            let (low, likely) = (f64::from(low), f64::from(low + likely));
            let spread = Spread::new(low, likely, likely + f64::from(high));
            let minutes = spread.quantile(u);
            prop_assert!(minutes <= spread.most() + 1e-9 && minutes >= LEAST_MINUTES);
            if minutes > LEAST_MINUTES && spread.below > 0.0 && spread.above > 0.0 {
                prop_assert!((spread.share_below(minutes) - u).abs() < 1e-6);
            }
        }
    }
}
