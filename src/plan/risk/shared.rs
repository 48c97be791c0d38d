//! What makes steps slow together: an oven that is slow is slow for the whole
//! evening, and so is a cook.
//!
//! Every step that works by itself at a station that heats shares a **factor**
//! with the others there; every step that is done by hand shares one with the
//! others of that cook. A factor `s` is a number between 0 (as fast as ever) and
//! 1 (as slow as ever), drawn once an evening; with the step's own number `e` the
//! mixture `z = W s + (1 - W) e` has a trapezoid for its distribution, and its
//! own distribution function makes it even again: `u = F(z)`. So each step by
//! itself varies just as its recipe says, and two steps of one oven correlate by
//! `W² / (W² + (1 - W)²)`.
//!
//! [`W`] is our own assumption, no source: it makes that correlation 0.31.
//! Invented as it is, it is the difference between "nine small delays even out"
//! and "tonight everything from this oven is late", and the second is what
//! cooks tell of.
//!
//! What has happened tells of a factor: a step that took `d` minutes had a `z`
//! between those of `d - 1` and `d + 1` (minutes are whole), so `s` lies between
//! `(z - (1 - W)) / W` and `z / W`, evenly (given `s`, each `z` of that stretch
//! is as likely as any other). A step that still runs after `t` minutes makes an
//! `s` as likely as it leaves room for an `e` that lasts so long.

use super::spread::Spread;

/// The share of the factor in the mixture. Own assumption, no source.
pub const W: f64 = 0.4;

/// Parts in which a factor's chances are tabled where something runs.
const PARTS: usize = 64;

/// The share of mixtures below `z`: the trapezoid's distribution function.
#[must_use]
pub fn even(z: f64) -> f64 {
    let own = 1.0 - W;
    let z = z.clamp(0.0, 1.0);
    if z < W {
        z * z / (2.0 * W * own)
    } else if z <= own {
        (z - W / 2.0) / own
    } else {
        1.0 - (1.0 - z) * (1.0 - z) / (2.0 * W * own)
    }
}

/// The mixture below which a share `u` lies: [`even`] undone.
#[must_use]
pub fn uneven(u: f64) -> f64 {
    let own = 1.0 - W;
    let u = u.clamp(0.0, 1.0);
    let corner = W / (2.0 * own);
    if u < corner {
        (2.0 * W * own * u).sqrt()
    } else if u <= 1.0 - corner {
        u * own + W / 2.0
    } else {
        1.0 - (2.0 * W * own * (1.0 - u)).sqrt()
    }
}

/// A step's own number such that its mixture with factor `s` is `z`.
fn own_number(z: f64, s: f64) -> f64 {
    (z - W * s) / (1.0 - W)
}

/// A step's minutes on an evening with factor `s`, from its own number `e` in 0..1.
#[must_use]
pub fn minutes(spread: &Spread, s: f64, e: f64) -> f64 {
    spread.quantile(even(W * s + (1.0 - W) * e))
}

/// As [`minutes`], for a step that has lasted `elapsed` minutes already.
#[must_use]
pub fn minutes_beyond(spread: &Spread, s: f64, e: f64, elapsed: f64) -> f64 {
    let least = own_number(uneven(spread.share_below(elapsed)), s).clamp(0.0, 1.0);
    minutes(spread, s, least + (1.0 - least) * e)
}

/// What is known of a factor tonight.
#[derive(Debug, Clone, PartialEq)]
pub struct Factor {
    low: f64,
    high: f64,
    /// Running steps: the mixtures that they have passed.
    passed: Vec<f64>,
    /// Rising shares of the parts of `low..high`, where something runs.
    table: Vec<f64>,
}

impl Default for Factor {
    fn default() -> Self {
        Self { low: 0.0, high: 1.0, passed: Vec::new(), table: Vec::new() }
    }
}

impl Factor {
    /// A step took so many minutes, give or take one.
    pub fn took(&mut self, spread: &Spread, minutes: f64) {
        if !spread.varies() {
            return;
        }
        let z = |minutes: f64| uneven(spread.share_below(minutes));
        let low = ((z(minutes - 1.0) - (1.0 - W)) / W).max(self.low);
        let high = (z(minutes + 1.0) / W).min(self.high);
        // Marks that no factor explains (made late, or for another reason) tell nothing.
        if low < high {
            (self.low, self.high) = (low, high);
        }
    }

    /// A step has run for so many minutes and goes on.
    pub fn lasts(&mut self, spread: &Spread, elapsed: f64) {
        let passed = spread.share_below(elapsed);
        if passed > 0.0 && passed < 1.0 {
            self.passed.push(uneven(passed));
        }
    }

    /// Makes ready to draw.
    pub fn settle(&mut self) {
        self.table.clear();
        if self.passed.is_empty() {
            return;
        }
        let mut sum = 0.0;
        for part in 0..PARTS {
            let s = self.at((part as f64 + 0.5) / PARTS as f64);
            let room = |z: &f64| 1.0 - own_number(*z, s).clamp(0.0, 1.0);
            sum += self.passed.iter().map(room).product::<f64>();
            self.table.push(sum);
        }
        if sum <= 0.0 {
            self.table.clear();
        }
    }

    fn at(&self, share: f64) -> f64 {
        self.low + (self.high - self.low) * share
    }

    /// The factor of an evening, from a number in 0..1.
    #[must_use]
    pub fn draw(&self, u: f64) -> f64 {
        let Some(&sum) = self.table.last() else { return self.at(u) };
        let goal = u * sum;
        let part = self.table.partition_point(|&t| t < goal).min(PARTS - 1);
        let before = part.checked_sub(1).and_then(|p| self.table.get(p)).copied().unwrap_or(0.0);
        let within =
            self.table.get(part).map_or(0.0, |t| (goal - before) / (t - before).max(1e-12));
        self.at((part as f64 + within.clamp(0.0, 1.0)) / PARTS as f64)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::risk::dice::Luck;

    struct Dice(Luck, u64);

    impl Dice {
        fn new(seed: u64) -> Self {
            Self(Luck::of(seed, 0), 0)
        }
    }

    fn number(dice: &mut Dice) -> f64 {
        dice.1 += 1;
        dice.0.number(dice.1)
    }

    #[test]
    fn the_mixture_is_made_even_again() {
        let mut rng = Dice::new(3);
        let (mut below, draws) = ([0_u32; 10], 100_000);
        for _ in 0..draws {
            let u = even(W * number(&mut rng) + (1.0 - W) * number(&mut rng));
            below[((u * 10.0) as usize).min(9)] += 1;
        }
        // Each tenth holds a tenth: the standard deviation of a count is 95.
        assert!(below.iter().all(|&n| (n as f64 - 10_000.0).abs() < 450.0), "{below:?}");
        for u in [0.0, 0.1, 0.33, 0.4, 0.5, 0.6, 0.9, 0.999, 1.0] {
            assert!((even(uneven(u)) - u).abs() < 1e-12, "{u}");
        }
    }

    #[test]
    fn two_steps_of_one_oven_correlate_as_said() {
        let mut rng = Dice::new(4);
        let (mut xy, mut xx, draws) = (0.0, 0.0, 100_000);
        for _ in 0..draws {
            let s = number(&mut rng);
            let x = W * s + (1.0 - W) * number(&mut rng) - 0.5;
            let y = W * s + (1.0 - W) * number(&mut rng) - 0.5;
            xy += x * y;
            xx += (x * x + y * y) / 2.0;
        }
        let said = W * W / (W * W + (1.0 - W) * (1.0 - W));
        assert!((xy / xx - said).abs() < 0.01, "{} {said}", xy / xx);
    }

    /// What is said of a factor after something happened is what is left over
    /// of many evenings when those are thrown out in which it did not happen.
    #[test]
    fn what_has_happened_tells_of_the_factor() {
        let (done, runs) = (Spread::new(20.0, 25.0, 35.0), Spread::new(10.0, 12.0, 18.0));
        let mut factor = Factor::default();
        factor.took(&done, 33.0);
        factor.lasts(&runs, 14.0);
        factor.settle();
        let mut rng = Dice::new(5);
        let (mut kept, mut sum, mut later, mut drawn, mut drawn_later) = (0, 0.0, 0.0, 0.0, 0.0);
        for _ in 0..2_000_000 {
            let s = number(&mut rng);
            let took = minutes(&done, s, number(&mut rng));
            let lasts = minutes(&runs, s, number(&mut rng));
            if (took - 33.0).abs() <= 1.0 && lasts > 14.0 {
                kept += 1;
                sum += s;
                later += lasts;
                let s = factor.draw(number(&mut rng));
                drawn += s;
                drawn_later += minutes_beyond(&runs, s, number(&mut rng), 14.0);
            }
        }
        let n = f64::from(kept);
        assert!(kept > 10_000, "{kept}");
        assert!((sum / n - drawn / n).abs() < 0.02, "{} {}", sum / n, drawn / n);
        assert!((later / n - drawn_later / n).abs() < 0.1, "{} {}", later / n, drawn_later / n);
    }

    /// For each factor the minutes run from those of the least own number to those of the greatest: it is possible
    /// if some of them are within a minute of what was seen.
    #[test]
    fn a_factor_lies_where_some_own_number_explains_the_minutes() {
        let spread = Spread::new(20.0, 25.0, 35.0);
        for took in [17.0, 21.0, 25.0, 33.0, 42.0] {
            let mut factor = Factor::default();
            factor.took(&spread, took);
            let possible = |s: &f64| {
                minutes(&spread, *s, 0.0) <= took + 1.0 && minutes(&spread, *s, 1.0) >= took - 1.0
            };
            let all: Vec<f64> =
                (0..=10_000).map(|n| f64::from(n) / 10_000.0).filter(possible).collect();
            let (low, high) = (all[0], all[all.len() - 1]);
            assert!((factor.draw(0.0) - low).abs() < 0.000_2, "{took}: {low} {factor:?}");
            assert!((factor.draw(1.0) - high).abs() < 0.000_2, "{took}: {high} {factor:?}");
        }
    }

    /// Where something runs a factor is as likely as it leaves room for own numbers that last so long; its
    /// shares added up in steps of a hundred-thousandth, against the table.
    #[test]
    fn draws_are_spread_as_what_runs_makes_them_likely() {
        let (done, runs) = (Spread::new(20.0, 25.0, 35.0), Spread::new(10.0, 12.0, 18.0));
        for took in [None, Some(27.0)] {
            let mut factor = Factor::default();
            took.iter().for_each(|&took| factor.took(&done, took));
            let (low, high) = (factor.draw(0.0), factor.draw(1.0));
            factor.lasts(&runs, 14.0);
            factor.settle();
            let room = |s: f64| {
                // The share of own numbers that last longer: all that are above the first such.
                let z = uneven(runs.share_below(14.0));
                (1.0 - (z - W * s) / (1.0 - W)).clamp(0.0, 1.0)
            };
            let at = |n: u32| low + (high - low) * (f64::from(n) + 0.5) / 100_000.0;
            let whole: f64 = (0..100_000).map(|n| room(at(n))).sum();
            let mut goals = [0.1, 0.3, 0.5, 0.7, 0.9].into_iter().peekable();
            let mut sum = 0.0;
            for n in 0..100_000 {
                sum += room(at(n));
                if let Some(u) = goals.next_if(|u| sum >= u * whole) {
                    assert!(
                        (factor.draw(u) - at(n)).abs() < 0.001,
                        "{u}: {} {}",
                        factor.draw(u),
                        at(n)
                    );
                }
            }
            assert_eq!(goals.next(), None);
        }
    }

    #[test]
    fn what_has_just_begun_or_outlasts_every_factor_tells_nothing() {
        let spread = Spread::new(20.0, 25.0, 35.0);
        for elapsed in [0.0, 15.0, 90.0] {
            let mut factor = Factor::default();
            factor.lasts(&spread, elapsed);
            assert_eq!(factor, Factor::default(), "{elapsed}");
        }
        // A fast oven, by one; and one that no fast oven keeps so long.
        let mut factor = Factor::default();
        factor.took(&spread, 17.0);
        let fast = factor.clone();
        factor.lasts(&spread, 42.9);
        factor.settle();
        assert_eq!([0.0, 0.5, 1.0].map(|u| factor.draw(u)), [0.0, 0.5, 1.0].map(|u| fast.draw(u)));
        // Settled again, it is tabled anew.
        let mut factor = Factor::default();
        factor.lasts(&spread, 26.0);
        factor.settle();
        let once = factor.clone();
        factor.settle();
        assert_eq!(factor, once);
    }

    #[test]
    fn marks_that_explain_nothing_tell_nothing() {
        let spread = Spread::new(20.0, 25.0, 35.0);
        let mut factor = Factor::default();
        factor.took(&Spread::new(5.0, 5.0, 5.0), 9.0);
        assert_eq!(factor, Factor::default());
        factor.took(&spread, 42.0);
        let slow = factor.clone();
        factor.took(&spread, 12.0);
        assert_eq!(factor, slow, "fast and slow at once: the second is not believed");
    }
}
