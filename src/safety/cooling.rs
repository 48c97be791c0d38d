//! How fast a food cools, guessed from two readings: a reason to measure again
//! or to act sooner, never one to wait longer. No limit is computed from it.
//!
//! Newton's law of cooling, towards the air that drives it, as in the method of
//! two readings (N. Hedeen, D. Schaffner and L. Brown, Journal of Environmental
//! Health, March 2022, read in its abstract). When that was tried on 29 foods
//! in 25 restaurants, 2 of 12 foods that it passed had in truth failed (M. Igo,
//! N. Hedeen and D. Schaffner, Journal of Food Protection, read in its
//! abstract): so its answer is only ever an estimate. A thick roast or a full
//! pot lags behind it.

/// The air that drives cooling in a fridge, 37 °F, in °C: the value of the
/// method from memory, not seen in a text. It reproduces the Food Code's two
/// stages as one curve (see the tests).
pub const FRIDGE_AIR_C: f64 = 25.0 / 9.0;

/// What to say wherever an estimate stands.
pub const ONLY_AN_ESTIMATE: &str =
    "an estimate by Newton's law of cooling from two readings, not a safety decision";

/// Readings nearer than this say more of the probe than of the food, ms. Our choice.
const LEAST_APART_MS: i64 = 5 * 60_000;

/// A cooling curve through two readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Curve {
    air_c: f64,
    from_ms: i64,
    from_c: f64,
    /// Per minute, above 0.
    rate: f64,
}

impl Curve {
    /// The curve through two readings (unix ms, °C) in air of `air_c`; None if
    /// the food did not cool between them, is as cold as the air, or they lie
    /// less than five minutes apart.
    #[must_use]
    pub fn through(first: (i64, f64), second: (i64, f64), air_c: f64) -> Option<Self> {
        let apart_ms = second.0.checked_sub(first.0)?;
        let (warm, cool) = (first.1 - air_c, second.1 - air_c);
        if apart_ms < LEAST_APART_MS || !(cool > 0.0 && warm > cool && warm.is_finite()) {
            return None;
        }
        let rate = (warm / cool).ln() / (apart_ms as f64 / 60_000.0);
        Some(Self { air_c, from_ms: second.0, from_c: second.1, rate })
    }

    /// How warm it is at a time, if it goes on like that, °C.
    #[must_use]
    pub fn at(&self, ms: i64) -> f64 {
        let minutes = ms.saturating_sub(self.from_ms) as f64 / 60_000.0;
        self.air_c + (self.from_c - self.air_c) * (-self.rate * minutes).exp()
    }

    /// When it is as cold as `c`, if it goes on like that (unix ms, rounded
    /// up); None if it never gets so cold in this air.
    #[must_use]
    pub fn reaches_ms(&self, c: f64) -> Option<i64> {
        if c >= self.from_c {
            return Some(self.from_ms);
        }
        let minutes = ((self.from_c - self.air_c) / (c - self.air_c)).ln() / self.rate;
        let ms = (minutes * 60_000.0).ceil();
        // Beyond a week there is nothing to plan with.
        (c > self.air_c && ms.is_finite() && ms < 7.0 * 86_400_000.0)
            .then(|| self.from_ms.saturating_add(ms as i64))
    }

    /// The same in other air: the rate is the food's and its pan's.
    #[must_use]
    pub fn in_air(&self, air_c: f64) -> Self {
        Self { air_c, ..*self }
    }

    /// Per minute: the k of the law.
    #[must_use]
    pub fn rate(&self) -> f64 {
        self.rate
    }
}

/// What an estimate says of a point that must be passed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Outlook {
    /// When it is passed at this rate (unix ms); None: never in this air.
    pub reaches_ms: Option<i64>,
    /// At this rate it comes too late: act now.
    pub too_slow: bool,
    /// When to measure again (unix ms): halfway to the point or to the limit,
    /// whichever is sooner, within half an hour.
    pub measure_ms: i64,
}

/// The outlook of a food that must be at most `to_c` by `by_ms`, from its last
/// two readings.
#[must_use]
pub fn outlook(curve: &Curve, to_c: f64, by_ms: i64) -> Outlook {
    let reaches_ms = curve.reaches_ms(to_c);
    let until_ms = reaches_ms.unwrap_or(by_ms).min(by_ms).max(curve.from_ms);
    let half_ms = (until_ms - curve.from_ms) / 2;
    Outlook {
        reaches_ms,
        too_slow: reaches_ms.is_none_or(|at| at > by_ms),
        measure_ms: curve.from_ms + half_ms.min(30 * 60_000),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::safety::f_to_c;

    const MIN: i64 = 60_000;

    fn minutes(ms: Option<i64>) -> f64 {
        ms.expect("gets there") as f64 / MIN as f64
    }

    /// A published exercise: a pot of soup of 100 °C in running water of 10 °C
    /// has 60 °C after 10 min; k is 0.058779 a minute, and 20 °C is reached
    /// after 37.4 min (a calculus text's worked example, read in a copy).
    #[test]
    fn a_published_worked_example() {
        let curve = Curve::through((0, 100.0), (10 * MIN, 60.0), 10.0).expect("cools");
        assert!((curve.rate() - 0.058_779).abs() < 5e-7, "{}", curve.rate());
        assert!((minutes(curve.reaches_ms(20.0)) - 37.38).abs() < 0.005);
        assert!((curve.at(10 * MIN) - 60.0).abs() < 1e-9 && (curve.at(0) - 100.0).abs() < 1e-9);
    }

    /// A second one: 90 to 50 °C in 25 min at 20 °C; then to 30 °C 32.4 min
    /// more; from 90 to 30 °C in a freezer of -15 °C 25.0 min (the problem was
    /// read on a page of exercises; the answers are computed).
    #[test]
    fn a_second_example_and_another_air() {
        let curve = Curve::through((0, 90.0), (25 * MIN, 50.0), 20.0).expect("cools");
        assert!((minutes(curve.reaches_ms(30.0)) - 25.0 - 32.42).abs() < 0.005);
        let hot = Curve::through((-25 * MIN, 90.0 + (90.0 - 20.0) * 4.0 / 3.0), (0, 90.0), 20.0);
        let freezer = hot.expect("cools").in_air(-15.0);
        assert!((freezer.rate() - curve.rate()).abs() < 1e-9);
        assert!((minutes(freezer.reaches_ms(30.0)) - 25.00).abs() < 0.005);
    }

    /// Food Code 2022, 3-501.14(A): 135 to 70 °F in 2 h is 0.2364 in tenfolds an
    /// hour towards 37 °F, 135 to 41 °F in 6 h is 0.2315: nearly one curve.
    #[test]
    fn the_food_codes_stages_are_nearly_one_curve() {
        assert!((FRIDGE_AIR_C - f_to_c(37.0)).abs() < 1e-9);
        for (to_f, hours, slope) in [(70.0, 2, 0.2364), (41.0, 6, 0.2315)] {
            let end = (hours * 60 * MIN, f_to_c(to_f));
            let curve = Curve::through((0, f_to_c(135.0)), end, FRIDGE_AIR_C).expect("cools");
            let per_hour = curve.rate() * 60.0 / std::f64::consts::LN_10;
            assert!((per_hour - slope).abs() < 5e-5, "{per_hour}");
        }
    }

    #[test]
    fn readings_that_are_no_cooling_give_no_curve() {
        let none = |a, b| Curve::through(a, b, 3.0).is_none();
        assert!(none((0, 60.0), (10 * MIN, 60.0)) && none((0, 60.0), (10 * MIN, 61.0)));
        assert!(none((0, 60.0), (MIN, 50.0)) && none((10 * MIN, 60.0), (0, 50.0)));
        assert!(none((0, 60.0), (10 * MIN, 3.0)) && none((0, 60.0), (10 * MIN, 2.0)));
        assert!(none((0, f64::NAN), (10 * MIN, 50.0)) && none((0, 60.0), (10 * MIN, f64::NAN)));
        assert!(
            none((0, f64::INFINITY), (10 * MIN, 50.0)) && none((i64::MIN, 60.0), (i64::MAX, 50.0))
        );
    }

    #[test]
    fn an_outlook_asks_to_measure_before_anything_is_late() {
        let curve = Curve::through((0, 70.0), (30 * MIN, 60.0), 3.0).expect("cools");
        for by in [40, 60, 120, 360, 10_000] {
            let outlook = outlook(&curve, 21.0, by * MIN);
            assert!(outlook.measure_ms <= by * MIN && outlook.measure_ms > 30 * MIN);
            assert!(outlook.measure_ms <= 60 * MIN);
            let reaches = outlook.reaches_ms.expect("gets there");
            assert_eq!(outlook.too_slow, reaches > by * MIN);
            assert!((curve.at(reaches) - 21.0).abs() < 0.001);
        }
        assert_eq!(curve.reaches_ms(3.0), None);
        assert!(outlook(&curve, 2.0, 60 * MIN).too_slow);
        assert_eq!(curve.reaches_ms(61.0), Some(30 * MIN));
    }
}
