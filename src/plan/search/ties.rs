//! The best minutes of a network: points on the line of time, tied two by two
//! by prices on the minutes between them, some of which must not be exceeded.
//!
//! The cost is a sum of convex functions of differences, so a point from which
//! no set of points gains by moving together by a minute, to either side, is
//! best of all (Murota, Discrete Convex Analysis, 2003: steepest descent for
//! L-natural-convex functions). The set that gains most is a minimum cut; it
//! is moved as far as the slopes stay as they are.

use super::cut::Cut;

/// Price of what must not be.
pub const HARD: i64 = i64::MAX / 16;

/// So much for each minute by which `x[to] - x[from]` is more than `at`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Tie {
    /// From this point.
    pub from: usize,
    /// To this one.
    pub to: usize,
    /// Minutes that cost nothing.
    pub at: i32,
    /// Price of each more; [`HARD`] if there must not be more.
    pub price: i64,
}

/// Moves of sets in one descent; far more than any needs.
const MOST_MOVES: usize = 2000;

/// Points and their ties. Point 0 is minute 0 and never moves.
#[derive(Debug, Clone, Default)]
pub struct Ties {
    ties: Vec<Tie>,
}

impl Ties {
    /// A price, or a limit if it is [`HARD`], on the minutes from one point to another.
    pub fn over(
        &mut self,
        (from, at_from): (usize, i32),
        (to, at_to): (usize, i32),
        at: i32,
        price: i64,
    ) {
        if from != to && price > 0 {
            self.ties.push(Tie {
                from,
                to,
                at: at.saturating_add(at_from).saturating_sub(at_to),
                price,
            });
        }
    }

    /// The same for too few minutes.
    pub fn under(&mut self, from: (usize, i32), to: (usize, i32), at: i32, price: i64) {
        self.over(to, from, at.saturating_neg(), price);
    }

    /// What it costs; None if something is as it must not be.
    #[cfg(test)]
    fn cost(&self, x: &[i32]) -> Option<i64> {
        let mut sum = 0i64;
        for t in &self.ties {
            let over = i64::from((x[t.to] - x[t.from]).saturating_sub(t.at).max(0));
            if over > 0 && t.price == HARD {
                return None;
            }
            sum = sum.saturating_add(t.price.saturating_mul(over));
        }
        Some(sum)
    }

    /// Puts points off as far as the limits ask; false if they ask for ever more.
    pub fn put_off(&self, x: &mut [i32]) -> bool {
        for _ in 0..=x.len() {
            let mut moved = false;
            for t in self.ties.iter().filter(|t| t.price == HARD) {
                let least = x[t.to].saturating_sub(t.at);
                if x[t.from] < least {
                    if t.from == 0 {
                        return false;
                    }
                    x[t.from] = least;
                    moved = true;
                }
            }
            if !moved {
                return true;
            }
        }
        false
    }

    /// Moves the points to where they cost least; they must keep all limits.
    pub fn descend(&self, x: &mut [i32]) {
        let mut cut = Cut::default();
        let (mut idle, mut by) = (0, 1);
        for _ in 0..MOST_MOVES {
            if self.step(x, by, &mut cut) {
                idle = 0;
                continue;
            }
            idle += 1;
            if idle == 2 {
                return;
            }
            by = -by;
        }
    }

    /// Moves the set that gains most to one side; false if none gains.
    fn step(&self, x: &mut [i32], by: i32, cut: &mut Cut) -> bool {
        cut.clear(x.len());
        cut.pin(0);
        for t in &self.ties {
            let gap = x[t.to] - x[t.from];
            // The point that stretches the tie by moving, and the one that eases it.
            let (more, less) = if by > 0 { (t.to, t.from) } else { (t.from, t.to) };
            if gap > t.at {
                cut.charge(more, t.price);
                cut.charge(less, -t.price);
            } else if gap == t.at {
                cut.bind(more, less, t.price);
            }
        }
        if !cut.run() {
            return false;
        }
        let mut far = i32::MAX;
        for t in &self.ties {
            let gap = x[t.to] - x[t.from];
            let change = by * (i32::from(cut.holds(t.to)) - i32::from(cut.holds(t.from)));
            if change > 0 && gap < t.at {
                far = far.min(t.at - gap);
            } else if change < 0 && gap > t.at {
                far = far.min(gap - t.at);
            }
        }
        if far == i32::MAX {
            return false;
        }
        for (v, x) in x.iter_mut().enumerate() {
            if cut.holds(v) {
                *x += by * far;
            }
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::super::rng::Rng;
    use super::*;

    /// The least cost by trying every minute of every point.
    fn least(ties: &Ties, x: &mut Vec<i32>, points: usize, most: i32) -> Option<i64> {
        if x.len() == points {
            return ties.cost(x);
        }
        let mut best: Option<i64> = None;
        for minute in 0..most {
            x.push(minute);
            if let Some(cost) = least(ties, x, points, most) {
                best = Some(best.map_or(cost, |b| b.min(cost)));
            }
            x.pop();
        }
        best
    }

    #[test]
    fn finds_what_trying_every_minute_finds() {
        let mut rng = Rng::new(7);
        let mut solved = 0;
        for round in 0..600 {
            let (points, most) = (2 + rng.below(4), 7);
            let mut ties = Ties::default();
            for v in 1..points {
                ties.under((0, 0), (v, 0), 0, HARD);
                ties.over((0, 0), (v, 0), most - 1, HARD);
            }
            for _ in 0..points * 2 {
                let (a, b) = (rng.below(points), rng.below(points));
                let hard = rng.chance(30);
                let at = rng.below(9) as i32 - if hard { 1 } else { 4 };
                ties.over((a, 0), (b, 0), at, if hard { HARD } else { 1 + rng.below(9) as i64 });
            }
            let best = least(&ties, &mut vec![0], points, most);
            let mut x = vec![0; points];
            let fits = ties.put_off(&mut x);
            assert_eq!(fits, best.is_some(), "round {round}");
            if fits {
                ties.descend(&mut x);
                assert_eq!(ties.cost(&x), best, "round {round}: {ties:?}");
                solved += 1;
            }
        }
        assert!(solved > 200);
    }
}
