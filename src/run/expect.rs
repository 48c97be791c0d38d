//! When a running step is expected to end.
//!
//! A step's minutes are a hump with its peak at `likely` that falls off in a
//! straight line on the late side, to nothing at `b`. `high` is the time that
//! one evening in ten exceeds; with half of the evenings on the late side,
//! `((b - high) / (b - likely))² = 0.2`, hence `b = likely + 1.809 (high - likely)`.
//! For such a slope the mean of what is left, given that `t` has passed
//! without an end, is a third of what the slope has left: `(b - t) / 3`.
//!
//! The expected end is therefore `likely` until that has passed; then, after
//! one minute of grace for a mark that is on its way, `t + (b - t) / 3`, and
//! never less than a minute from now. It never moves back as time goes on.

use super::state::{MINUTE_MS, Run, State};
use crate::plan::StepKey;

/// `1 / (1 - sqrt(0.2))`: how far the slope reaches beyond `likely`, in units of `high - likely`.
const REACH: f64 = 1.809_016_994_374_947_5;

/// Milliseconds for which a step has run at `now_ms`, to those for which it is
/// expected to run in all. `likely_ms` and `high_ms` are its minutes.
#[must_use]
pub fn expected_ms(likely_ms: i64, high_ms: i64, elapsed_ms: i64) -> i64 {
    if elapsed_ms < likely_ms {
        return likely_ms;
    }
    if elapsed_ms < likely_ms.saturating_add(MINUTE_MS) {
        return likely_ms.saturating_add(MINUTE_MS);
    }
    let spread = high_ms.saturating_sub(likely_ms).max(0);
    let last_ms = likely_ms as f64 + REACH * spread as f64;
    let rest = ((last_ms - elapsed_ms as f64) / 3.0).ceil();
    elapsed_ms.saturating_add((rest as i64).max(MINUTE_MS))
}

impl State {
    /// When a run ends if nothing is marked: by its likely minutes from its
    /// start, or when the time that the cook asked for is up. Prompts and
    /// "overdone" go by this.
    #[must_use]
    pub fn nominal_end_ms(&self, key: StepKey, run: &Run) -> i64 {
        run.more_until_ms.unwrap_or_else(|| {
            let likely = self.sheet(key.dish).map_or(1, |s| s.minutes(key.step, run.way));
            run.start_ms.saturating_add(i64::from(likely) * MINUTE_MS)
        })
    }

    /// When a run is expected to end, as seen at `now_ms`. The planner goes by this.
    #[must_use]
    pub fn expected_end_ms(&self, key: StepKey, run: &Run, now_ms: i64) -> i64 {
        if let Some(until) = run.more_until_ms
            && now_ms < until
        {
            return until;
        }
        let Some(sheet) = self.sheet(key.dish) else { return now_ms };
        let likely = i64::from(sheet.minutes(key.step, run.way)) * MINUTE_MS;
        let high = i64::from(sheet.high_minutes(key.step, run.way)) * MINUTE_MS;
        let elapsed = now_ms.saturating_sub(run.start_ms);
        let end = run.start_ms.saturating_add(expected_ms(likely, high, elapsed));
        // The cook's own word is the earliest end even after it has passed.
        end.max(run.more_until_ms.map_or(i64::MIN, |until| until.saturating_add(MINUTE_MS)))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn minutes(likely: i64, high: i64, elapsed: i64) -> i64 {
        expected_ms(likely * MINUTE_MS, high * MINUTE_MS, elapsed * MINUTE_MS) / MINUTE_MS
    }

    #[test]
    fn it_ends_on_time_until_it_does_not() {
        assert_eq!(minutes(30, 40, 0), 30);
        assert_eq!(minutes(30, 40, 29), 30);
        assert_eq!(minutes(30, 40, 30), 31, "a minute of grace");
        assert_eq!(minutes(30, 30, 31), 32, "and no more than one");
        // The slope reaches 48.1 minutes: (48.1 - 33) / 3 is five more.
        assert_eq!(minutes(30, 40, 33), 38);
        assert_eq!(minutes(30, 30, 45), 46, "never less than a minute from now");
    }

    /// The mean rest against a sum over the slope itself, done the long way.
    #[test]
    fn the_rest_is_the_mean_of_what_the_slope_has_left() {
        for (likely, high, elapsed) in [(30.0, 40.0, 32.0), (60.0, 95.0, 90.0), (10.0, 14.0, 12.0)]
        {
            let last = likely + REACH * (high - likely);
            let (mut weight, mut sum) = (0.0, 0.0);
            let parts = 200_000;
            for i in 0..parts {
                let x = elapsed + (last - elapsed) * (f64::from(i) + 0.5) / f64::from(parts);
                weight += last - x;
                sum += (last - x) * x;
            }
            let ms = |m: f64| (m * MINUTE_MS as f64) as i64;
            let expected = expected_ms(ms(likely), ms(high), ms(elapsed)) as f64 / MINUTE_MS as f64;
            assert!((expected - sum / weight).abs() < 0.001, "{expected} {}", sum / weight);
        }
    }

    proptest! {
        #[test]
        fn the_expected_end_never_moves_back(
            likely in 1_i64..600, spread in 0_i64..600, elapsed in 0_i64..2000, later in 0_i64..60_000
        ) {
            let (likely, high) = (likely * MINUTE_MS, (likely + spread) * MINUTE_MS);
            let elapsed = elapsed * MINUTE_MS;
            let now = expected_ms(likely, high, elapsed);
            prop_assert!(expected_ms(likely, high, elapsed + later) >= now);
            prop_assert!(now >= elapsed.min(likely));
            if elapsed >= likely + MINUTE_MS {
                prop_assert!(now >= elapsed + MINUTE_MS);
            }
        }
    }
}
