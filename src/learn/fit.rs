//! The mixed model's arithmetic: effects that begin at nothing, figures that are
//! sums of them and of chance with heavy tails, and how much wider or narrower than
//! was held beforehand all of that is with this cook.
//!
//! With weights for the figures, the most likely effects solve a system of linear
//! equations whose matrix is the precision (the inverse of the covariance) of the
//! effects: symmetric and positive, so Cholesky's factors solve it. The weights
//! follow from how far off each figure then is, `(ν + 1) / (ν + r²)` with `r` in
//! units of its scale, and so in turns, until nothing moves: expectation and
//! maximization for Student's t (Lange, Little, Taylor, "Robust statistical
//! modeling using the t distribution", JASA 84, 1989; from memory, not seen in a
//! text). What it ends at is the maximum of the posterior, which
//! `tests/outside/own_times.py` seeks in its own way.
//!
//! The [`Scatter`] is moved a few turns by the same method (variance components by
//! expectation and maximization: Dempster, Laird, Rubin, JRSS B 39, 1977; from
//! memory): the squares that are expected of effects and chances after the figures,
//! over the squares that were held, shrunk towards 1 as if 1 had been seen some times.

use super::prior::{CHANCE_SEEN, SCATTER_SEEN, TAILS};

/// Rounds of weights; they settle in a few.
const ROUNDS: usize = 60;
/// Effects that move less than this are settled.
const SETTLED: f64 = 1e-7;
/// Turns in which the scatter is moved. Fewer than it would take to settle: a last
/// shrinkage.
const TURNS: usize = 4;

/// A figure: the sum of some effects, and chance.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The effects that it is the sum of, by their place; at most three.
    pub of: Vec<usize>,
    /// The figure.
    pub is: f64,
    /// Scale of its chance (of a Student's t) as it is held beforehand. Above 0.
    pub chance: f64,
    /// Variance beside it, known and not to be learnt: that marks are not to the second.
    pub blur: f64,
}

/// What an effect is, and so what it is scattered like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// What is usual of a step.
    Usual,
    /// What an oven or a cook has in common with all that is done there: too few to
    /// learn of their width.
    Shared,
    /// One evening of such.
    Evening,
}

/// An effect as it is held beforehand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effect {
    /// What it is.
    pub kind: Kind,
    /// Standard deviation. Above 0.
    pub width: f64,
}

/// How much wider than was held everything is with this cook: variances over the
/// variances held, 1 before anything was seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scatter {
    /// The chance of the one time.
    pub chance: f64,
    /// What is usual of steps.
    pub usual: f64,
    /// Evenings.
    pub evening: f64,
}

impl Default for Scatter {
    fn default() -> Self {
        Self { chance: 1.0, usual: 1.0, evening: 1.0 }
    }
}

impl Scatter {
    /// Variance of an effect.
    fn of(&self, effect: &Effect) -> f64 {
        let held = effect.width * effect.width;
        match effect.kind {
            Kind::Usual => held * self.usual,
            Kind::Shared => held,
            Kind::Evening => held * self.evening,
        }
    }

    /// Square of the scale of a figure.
    fn at(&self, row: &Row) -> f64 {
        row.chance * row.chance * self.chance + row.blur
    }
}

/// The effects after all figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The most likely value of each.
    pub mean: Vec<f64>,
    /// The square of how far off each figure is from the sum of its effects, as it is
    /// to be expected: of the most likely ones, and of how unsure they are.
    pub off: Vec<f64>,
    /// What each figure counts for, 1 for one that lies as chance would have it.
    pub weight: Vec<f64>,
    /// How wide everything is with this cook.
    pub scatter: Scatter,
    /// The factor of the effects' precision.
    factor: Vec<Vec<f64>>,
}

impl Fit {
    /// The most likely effects after these figures.
    #[must_use]
    pub fn of(rows: &[Row], effects: &[Effect]) -> Self {
        let mut fit = Self::with(rows, effects, Scatter::default(), None);
        for _ in 0..TURNS {
            let scatter = fit.scatter_after(rows, effects);
            fit = Self::with(rows, effects, scatter, Some(fit));
        }
        fit
    }

    /// The most likely effects with such a scatter, sought from those that were found with another.
    fn with(rows: &[Row], effects: &[Effect], scatter: Scatter, from: Option<Self>) -> Self {
        let first = || (vec![0.0; effects.len()], vec![1.0; rows.len()]);
        let (mut mean, mut weight) = from.map_or_else(first, |fit| (fit.mean, fit.weight));
        let mut factor = Vec::new();
        for _ in 0..ROUNDS {
            let (matrix, right) = equations(rows, effects, &weight, &scatter);
            factor = cholesky(matrix);
            let next = solve(&factor, right);
            let moved = mean.iter().zip(&next).map(|(a, b): (&f64, &f64)| (a - b).abs());
            let moved = moved.fold(0.0, f64::max);
            mean = next;
            for (weight, row) in weight.iter_mut().zip(rows) {
                let off = row.is - sum(row, &mean);
                *weight = (TAILS + 1.0) / (TAILS + off * off / scatter.at(row));
            }
            if moved < SETTLED {
                break;
            }
        }
        let mut fit = Self { mean, off: Vec::new(), weight, scatter, factor };
        let off = |row: &Row| (row.is - sum(row, &fit.mean)).powi(2) + fit.sum(&row.of).1;
        fit.off = rows.iter().map(off).collect();
        fit
    }

    /// The scatter that the squares after these figures speak for.
    fn scatter_after(&self, rows: &[Row], effects: &[Effect]) -> Scatter {
        let scatter = &self.scatter;
        let mut chance = Squares::default();
        for ((row, off), weight) in rows.iter().zip(&self.off).zip(&self.weight) {
            let all = scatter.at(row);
            // Of a short step most is the blur of the marks, which says little of the cook.
            let part = (all - row.blur) / all;
            chance.add(part, scatter.chance * weight * off / all);
        }
        let of = |kind: Kind| {
            let mut squares = Squares::default();
            for (place, effect) in effects.iter().enumerate().filter(|(_, e)| e.kind == kind) {
                let square = self.mean[place].powi(2) + self.sum(&[place]).1;
                squares.add(1.0, square / (effect.width * effect.width));
            }
            squares.shrunk()
        };
        Scatter { chance: chance.shrunk(), usual: of(Kind::Usual), evening: of(Kind::Evening) }
    }

    /// Mean and variance of a sum of effects.
    #[must_use]
    pub fn sum(&self, of: &[usize]) -> (f64, f64) {
        let mean = of.iter().map(|i| self.mean[*i]).sum();
        let mut which = vec![0.0; self.mean.len()];
        for i in of {
            which[*i] += 1.0;
        }
        // With the precision L Lᵀ the variance of vᵀx is the square of the length of L⁻¹ v,
        // which has nothing before the first of v.
        let first = of.iter().copied().min().unwrap_or(0);
        let half = down(&self.factor, which, first);
        (mean, half.iter().map(|x| x * x).sum())
    }
}

/// Squares over those that were held.
#[derive(Default)]
struct Squares {
    sum: f64,
    seen: f64,
}

impl Squares {
    fn add(&mut self, part: f64, square: f64) {
        self.sum += part * square;
        self.seen += part;
    }

    /// Their mean, as if 1 had been seen some times besides.
    fn shrunk(&self) -> f64 {
        (SCATTER_SEEN + self.sum) / (SCATTER_SEEN + self.seen)
    }
}

/// The square of the scale of a step's chance that was held to be `square`, after figures
/// that were so far `off` (squares) with such weights: as if what was held had been seen
/// some times (a scaled inverse chi-squared distribution's mean of its inverse).
#[must_use]
pub fn chance_after(square: f64, off: impl Iterator<Item = (f64, f64)>) -> f64 {
    let (mut sum, mut seen) = (CHANCE_SEEN * square, CHANCE_SEEN);
    for (off, weight) in off {
        sum += weight * off;
        seen += 1.0;
    }
    sum / seen
}

fn sum(row: &Row, mean: &[f64]) -> f64 {
    row.of.iter().map(|i| mean[*i]).sum()
}

fn equations(
    rows: &[Row],
    effects: &[Effect],
    weight: &[f64],
    scatter: &Scatter,
) -> (Vec<Vec<f64>>, Vec<f64>) {
    let n = effects.len();
    let mut matrix = vec![vec![0.0; n]; n];
    let mut right = vec![0.0; n];
    for (i, effect) in effects.iter().enumerate() {
        matrix[i][i] = 1.0 / scatter.of(effect);
    }
    for (row, weight) in rows.iter().zip(weight) {
        let precision = weight / scatter.at(row);
        for i in &row.of {
            right[*i] += precision * row.is;
            for j in &row.of {
                matrix[*i][*j] += precision;
            }
        }
    }
    (matrix, right)
}

/// The lower factor of a symmetric positive matrix, in its place (its diagonal and what is below).
fn cholesky(mut a: Vec<Vec<f64>>) -> Vec<Vec<f64>> {
    // Before its first figure a row has none in the factor either: effects that never meet,
    // as those of two evenings, cost next to nothing when they come first.
    let begins = |row: &Vec<f64>| row.iter().position(|x| *x != 0.0).unwrap_or(0);
    let first: Vec<usize> = a.iter().map(begins).collect();
    for i in 0..a.len() {
        let (done, rest) = a.split_at_mut(i);
        let Some(row) = rest.first_mut() else { break };
        for (j, other) in done.iter().enumerate().skip(first[i]) {
            let from = first[i].max(first[j]).min(j);
            row[j] = (row[j] - dot(&row[from..j], &other[from..j])) / other[j];
        }
        let own = row[i] - dot(&row[..i], &row[..i]);
        // Widths above 0 keep it positive; rounding may not.
        row[i] = own.max(f64::MIN_POSITIVE).sqrt();
    }
    a
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// `L⁻¹ x`, with nothing in `x` before `first`.
fn down(factor: &[Vec<f64>], mut x: Vec<f64>, first: usize) -> Vec<f64> {
    for (i, row) in factor.iter().enumerate().skip(first) {
        x[i] = (x[i] - dot(&row[first..i], &x[first..i])) / row[i];
    }
    x
}

/// `(L Lᵀ)⁻¹ x`.
fn solve(factor: &[Vec<f64>], x: Vec<f64>) -> Vec<f64> {
    let mut x = down(factor, x, 0);
    for i in (0..x.len()).rev() {
        let inner: f64 = (i + 1..x.len()).map(|k| factor[k][i] * x[k]).sum();
        x[i] = (x[i] - inner) / factor[i][i];
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(of: &[usize], is: f64) -> Row {
        Row { of: of.to_vec(), is, chance: 0.1, blur: 0.0 }
    }

    fn effects(widths: &[f64]) -> Vec<Effect> {
        widths.iter().map(|width| Effect { kind: Kind::Usual, width: *width }).collect()
    }

    #[test]
    fn without_figures_nothing_is_known_but_the_widths() {
        let fit = Fit::of(&[], &effects(&[0.2, 0.1]));
        assert_eq!(fit.mean, [0.0, 0.0]);
        let (mean, variance) = fit.sum(&[0, 1]);
        assert!(mean == 0.0 && (variance - 0.05).abs() < 1e-12, "{variance}");
    }

    /// One effect, one figure: the textbook's weighted mean of belief and figure,
    /// with the figure's own weight in it.
    #[test]
    fn one_figure_moves_an_effect_part_of_the_way() {
        let fit = Fit::with(&[row(&[0], 0.1)], &effects(&[0.2]), Scatter::default(), None);
        let (w, mean) = (fit.weight[0], fit.mean[0]);
        let (belief, figure) = (1.0 / 0.04, w / 0.01);
        assert!((mean - figure * 0.1 / (belief + figure)).abs() < 1e-9, "{mean}");
        assert!((fit.sum(&[0]).1 - 1.0 / (belief + figure)).abs() < 1e-9);
    }

    #[test]
    fn a_figure_far_off_counts_for_next_to_nothing() {
        let rows: Vec<Row> = (0..6).map(|_| row(&[0], 0.05)).collect();
        let calm = Fit::of(&rows, &effects(&[0.2])).mean[0];
        let with_slip: Vec<Row> = rows.into_iter().chain([row(&[0], 1.4)]).collect();
        let fit = Fit::of(&with_slip, &effects(&[0.2]));
        assert!((fit.mean[0] - calm).abs() < 0.01, "{} {calm}", fit.mean[0]);
        assert!(fit.weight[6] < 0.05, "{}", fit.weight[6]);
    }

    #[test]
    fn what_steps_share_is_told_from_what_is_theirs() {
        // Five steps at an oven, all a tenth longer: the oven is blamed, not each step.
        let rows: Vec<Row> = (0..5).map(|s| row(&[s, 5], 0.1)).collect();
        let fit = Fit::of(&rows, &effects(&[0.08, 0.08, 0.08, 0.08, 0.08, 0.1]));
        assert!(fit.mean[5] > 2.0 * fit.mean[0], "{:?}", fit.mean);
    }

    /// Figures that lie far more, and far less, apart than was held: the scatter follows,
    /// and says less of few figures than of many.
    #[test]
    fn the_scatter_follows_the_figures() {
        let scatter = |width: f64, n: usize| {
            let apart = |i: usize| if i.is_multiple_of(2) { width } else { -width };
            let rows: Vec<Row> = (0..n).map(|i| row(&[0], apart(i))).collect();
            Fit::of(&rows, &effects(&[0.2])).scatter.chance
        };
        assert!(scatter(0.2, 60) > 2.0, "{}", scatter(0.2, 60));
        assert!(scatter(0.02, 60) < 0.5, "{}", scatter(0.02, 60));
        assert!(scatter(0.2, 4) < scatter(0.2, 60) && scatter(0.2, 4) > 1.0);
    }
}
