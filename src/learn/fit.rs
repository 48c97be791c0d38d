//! The mixed model's arithmetic: effects that begin at nothing with known widths,
//! figures that are sums of them and of chance with heavy tails.
//!
//! With weights for the figures, the most likely effects solve a system of linear
//! equations whose matrix is the precision (the inverse of the covariance) of the
//! effects: symmetric and positive, so Cholesky's factors solve it. The weights
//! follow from how far off each figure then is, `(ν + 1) / (ν + r²)` with `r` in
//! standard deviations, and so in turns, until nothing moves: expectation and
//! maximization for Student's t (Lange, Little, Taylor, "Robust statistical
//! modeling using the t distribution", JASA 84, 1989; from memory, not seen in a
//! text). What it ends at is the maximum of the posterior, which
//! `tests/outside/own_times.py` seeks in its own way.

use super::prior::{CHANCE_SEEN, TAILS};

/// Rounds of weights; they settle in a few.
const ROUNDS: usize = 60;
/// Effects that move less than this are settled.
const SETTLED: f64 = 1e-7;

/// A figure: the sum of some effects, and chance.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The effects that it is the sum of, by their place; at most three.
    pub of: Vec<usize>,
    /// The figure.
    pub is: f64,
    /// Standard deviation of its chance. Above 0.
    pub chance: f64,
    /// Variance beside it, known and not to be learnt: that marks are not to the second.
    pub blur: f64,
}

/// The effects after all figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// The most likely value of each.
    pub mean: Vec<f64>,
    /// How far off each figure is from the sum of its effects.
    pub off: Vec<f64>,
    /// What each figure counts for, 1 for one that lies as chance would have it.
    pub weight: Vec<f64>,
    /// The factor of the effects' precision.
    factor: Vec<Vec<f64>>,
}

impl Fit {
    /// The most likely effects of so many with these widths (standard deviations above 0).
    #[must_use]
    pub fn of(rows: &[Row], widths: &[f64]) -> Self {
        let mut weight = vec![1.0; rows.len()];
        let mut mean = vec![0.0; widths.len()];
        let mut factor = Vec::new();
        for _ in 0..ROUNDS {
            let (matrix, right) = equations(rows, widths, &weight);
            factor = cholesky(matrix);
            let next = solve(&factor, right);
            let moved = mean.iter().zip(&next).map(|(a, b): (&f64, &f64)| (a - b).abs());
            let moved = moved.fold(0.0, f64::max);
            mean = next;
            for (weight, row) in weight.iter_mut().zip(rows) {
                let off = row.is - sum(row, &mean);
                *weight = (TAILS + 1.0) / (TAILS + off * off / variance(row));
            }
            if moved < SETTLED {
                break;
            }
        }
        let off = rows.iter().map(|row| row.is - sum(row, &mean)).collect();
        Self { mean, off, weight, factor }
    }

    /// Mean and variance of a sum of effects.
    #[must_use]
    pub fn sum(&self, of: &[usize]) -> (f64, f64) {
        let mean = of.iter().map(|i| self.mean[*i]).sum();
        let mut which = vec![0.0; self.mean.len()];
        for i in of {
            which[*i] += 1.0;
        }
        // With the precision L Lᵀ the variance of vᵀx is the square of the length of L⁻¹ v.
        let half = down(&self.factor, which);
        (mean, half.iter().map(|x| x * x).sum())
    }
}

/// The variance of a chance that was believed to have `width`, after figures that
/// were so far `off` with such weights: as if the belief had been seen some times
/// (a scaled inverse chi-squared distribution's mean of its inverse).
#[must_use]
pub fn chance_after(width: f64, off: impl Iterator<Item = (f64, f64)>) -> f64 {
    let (mut sum, mut seen) = (CHANCE_SEEN * width * width, CHANCE_SEEN);
    for (off, weight) in off {
        sum += weight * off * off;
        seen += 1.0;
    }
    sum / seen
}

fn variance(row: &Row) -> f64 {
    row.chance * row.chance + row.blur
}

fn sum(row: &Row, mean: &[f64]) -> f64 {
    row.of.iter().map(|i| mean[*i]).sum()
}

fn equations(rows: &[Row], widths: &[f64], weight: &[f64]) -> (Vec<Vec<f64>>, Vec<f64>) {
    let n = widths.len();
    let mut matrix = vec![vec![0.0; n]; n];
    let mut right = vec![0.0; n];
    for (i, width) in widths.iter().enumerate() {
        matrix[i][i] = 1.0 / (width * width);
    }
    for (row, weight) in rows.iter().zip(weight) {
        let precision = weight / variance(row);
        for i in &row.of {
            right[*i] += precision * row.is;
            for j in &row.of {
                matrix[*i][*j] += precision;
            }
        }
    }
    (matrix, right)
}

/// The lower factor of a symmetric positive matrix, in its place.
fn cholesky(mut a: Vec<Vec<f64>>) -> Vec<Vec<f64>> {
    for i in 0..a.len() {
        let (done, rest) = a.split_at_mut(i);
        let Some(row) = rest.first_mut() else { break };
        for (j, other) in done.iter().enumerate() {
            row[j] = (row[j] - dot(&row[..j], &other[..j])) / other[j];
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

/// `L⁻¹ x`.
fn down(factor: &[Vec<f64>], mut x: Vec<f64>) -> Vec<f64> {
    for (i, row) in factor.iter().enumerate() {
        x[i] = (x[i] - dot(&row[..i], &x[..i])) / row[i];
    }
    x
}

/// `(L Lᵀ)⁻¹ x`.
fn solve(factor: &[Vec<f64>], x: Vec<f64>) -> Vec<f64> {
    let mut x = down(factor, x);
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

    #[test]
    fn without_figures_nothing_is_known_but_the_widths() {
        let fit = Fit::of(&[], &[0.2, 0.1]);
        assert_eq!(fit.mean, [0.0, 0.0]);
        let (mean, variance) = fit.sum(&[0, 1]);
        assert!(mean == 0.0 && (variance - 0.05).abs() < 1e-12, "{variance}");
    }

    /// One effect, one figure: the textbook's weighted mean of belief and figure,
    /// with the figure's own weight in it.
    #[test]
    fn one_figure_moves_an_effect_part_of_the_way() {
        let fit = Fit::of(&[row(&[0], 0.1)], &[0.2]);
        let (w, mean) = (fit.weight[0], fit.mean[0]);
        let (belief, figure) = (1.0 / 0.04, w / 0.01);
        assert!((mean - figure * 0.1 / (belief + figure)).abs() < 1e-9, "{mean}");
        assert!((fit.sum(&[0]).1 - 1.0 / (belief + figure)).abs() < 1e-9);
    }

    #[test]
    fn a_figure_far_off_counts_for_next_to_nothing() {
        let rows: Vec<Row> = (0..6).map(|_| row(&[0], 0.05)).collect();
        let calm = Fit::of(&rows, &[0.2]).mean[0];
        let with_slip: Vec<Row> = rows.into_iter().chain([row(&[0], 1.4)]).collect();
        let fit = Fit::of(&with_slip, &[0.2]);
        assert!((fit.mean[0] - calm).abs() < 0.01, "{} {calm}", fit.mean[0]);
        assert!(fit.weight[6] < 0.05, "{}", fit.weight[6]);
    }

    #[test]
    fn what_steps_share_is_told_from_what_is_theirs() {
        // Five steps at an oven, all a tenth longer: the oven is blamed, not each step.
        let rows: Vec<Row> = (0..5).map(|s| row(&[s, 5], 0.1)).collect();
        let fit = Fit::of(&rows, &[0.08, 0.08, 0.08, 0.08, 0.08, 0.1]);
        assert!(fit.mean[5] > 2.0 * fit.mean[0], "{:?}", fit.mean);
    }
}
