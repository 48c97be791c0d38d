//! Amounts as they are said: rounded once, here.

use super::{Exact, Unit};

/// `1.2 kg`, `350 ml`, `1 1/2 tbsp`, `3 cloves`, `5` for pieces. Weights and
/// volumes are rounded to three figures, other amounts to an eighth.
#[must_use]
pub fn say(amount: Exact, unit: Unit) -> String {
    match unit {
        Unit::G | Unit::Ml | Unit::Kg | Unit::L | Unit::Cl | Unit::Dl => metric(amount, unit),
        Unit::Piece => fraction(amount),
        _ => format!("{} {}", fraction(amount), unit.after(amount)),
    }
}

fn metric(amount: Exact, unit: Unit) -> String {
    let (small, large) = match unit {
        Unit::G | Unit::Kg => ("g", "kg"),
        _ => ("ml", "l"),
    };
    let base = unit.base(super::Measures::Metric).unwrap_or(Exact::ONE);
    let number = (amount * base).to_f64();
    // Rounding may carry over: 999.6 g is 1 kg.
    if three_figures(number) >= 1000.0 {
        format!("{} {large}", three_figures(number / 1000.0))
    } else {
        format!("{} {small}", three_figures(number))
    }
}

fn three_figures(number: f64) -> f64 {
    if number == 0.0 || !number.is_finite() {
        return 0.0;
    }
    let places = 2 - number.abs().log10().floor() as i32;
    // Beyond a thousandth of a gram nothing is said.
    let scale = 10_f64.powi(places.clamp(-12, 3));
    (number * scale).round() / scale
}

/// Eighths below 10, halves below 100, whole numbers beyond; thirds stay
/// thirds, and what would be nothing is an eighth.
fn fraction(amount: Exact) -> String {
    let step = if amount < Exact::whole(10) {
        8
    } else if amount < Exact::whole(100) {
        2
    } else {
        1
    };
    let small = amount.denominator() == 3 && amount < Exact::whole(10);
    let part = Exact::fraction(1, step).unwrap_or(Exact::ONE);
    let near = if small { amount } else { amount.to_nearest(part) };
    let shown = if near == Exact::ZERO && amount.is_positive() { part } else { near };
    let (above, below) = (shown.numerator(), shown.denominator());
    match (above / below, above % below) {
        (whole, 0) => whole.to_string(),
        (0, rest) => format!("{rest}/{below}"),
        (whole, rest) => format!("{whole} {rest}/{below}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_said_as_cooks_say_them() {
        for (amount, unit, said) in [
            ("1234", Unit::G, "1.23 kg"),
            ("999.6", Unit::G, "1 kg"),
            ("0.35", Unit::L, "350 ml"),
            ("2.5", Unit::L, "2.5 l"),
            ("453.59237", Unit::G, "454 g"),
            ("1/3", Unit::G, "0.333 g"),
            ("1 1/3", Unit::Cup, "1 1/3 cups"),
            ("3/4", Unit::Cup, "3/4 cup"),
            ("1", Unit::Cup, "1 cup"),
            ("2", Unit::Stick, "2 sticks"),
            ("2", Unit::Pinch, "2 pinches"),
            ("2", Unit::Lb, "2 lb"),
            ("2", Unit::Can, "2 cans"),
            ("2.26", Unit::Tbsp, "2 1/4 tbsp"),
            ("1/100", Unit::Tsp, "1/8 tsp"),
            ("1", Unit::Clove, "1 clove"),
            ("3", Unit::Clove, "3 cloves"),
            ("10.3", Unit::Piece, "10 1/2"),
            ("1/2", Unit::Bunch, "1/2 bunch"),
            ("0", Unit::Piece, "0"),
            ("0", Unit::G, "0 g"),
            ("9.9", Unit::Piece, "9 7/8"),
            ("10", Unit::Piece, "10"),
            ("99.7", Unit::Piece, "99 1/2"),
            ("100.4", Unit::Piece, "100"),
            ("10 1/3", Unit::Tbsp, "10 1/2 tbsp"),
        ] {
            assert_eq!(say(amount.parse().expect("amount"), unit), said);
        }
    }
}
