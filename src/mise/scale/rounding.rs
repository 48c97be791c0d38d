//! To what amounts are rounded.

use crate::kitchen::items::{Aisle, Item};
use crate::kitchen::units::{Dimension, Exact, Measures, Unit};

/// What comes in whole ones, or in parts of one that can be cut.
#[must_use]
pub fn counted(unit: Unit) -> bool {
    matches!(unit.dimension(), Dimension::Count | Dimension::Container)
}

/// The step to which an amount is rounded: spoons and ounces to a quarter (Armed
/// Forces Recipe Service, TM 10-412, 2003: quarters of a teaspoon and of an
/// ounce), pounds to a quarter of an ounce, cups to an eighth, grams and
/// millilitres to 1 below 50, 5 below 1000, else 10; whole eggs, cloves, cans and
/// packets; other pieces to halves, bunches to quarters.
#[must_use]
pub fn step_of(amount: Exact, unit: Unit, item: Option<&Item>) -> Exact {
    let part = |n: i128| Exact::fraction(1, n).unwrap_or(Exact::ONE);
    // Eggs, and what else of the dairy is not divided.
    let egg = item.is_some_and(|i| i.aisle == Aisle::Dairy);
    match unit {
        Unit::Tsp | Unit::Tbsp | Unit::Dsp | Unit::Oz | Unit::FlOz => part(4),
        Unit::Cup => part(8),
        // A quarter of an ounce.
        Unit::Lb => part(64),
        Unit::G | Unit::Ml | Unit::Kg | Unit::L | Unit::Cl | Unit::Dl => {
            let base = unit.base(Measures::Metric).unwrap_or(Exact::ONE);
            let small = amount * base;
            let step = match () {
                () if small < Exact::whole(50) => Exact::ONE,
                () if small < Exact::whole(1000) => Exact::whole(5),
                () => Exact::whole(10),
            };
            step.over(base).unwrap_or(Exact::ONE)
        }
        Unit::Piece if egg => Exact::ONE,
        Unit::Piece | Unit::Head | Unit::Stalk | Unit::Slice => part(2),
        Unit::Bunch | Unit::Handful => part(4),
        _ => Exact::ONE,
    }
}

/// To the nearest [`step_of`], never to nothing; cans and packets up, since what
/// is opened is there.
#[must_use]
pub fn rounded(amount: Exact, unit: Unit, item: Option<&Item>) -> Exact {
    let step = step_of(amount, unit, item);
    if unit.dimension() == Dimension::Container {
        return amount.up_to(step);
    }
    let near = amount.to_nearest(step);
    if amount.is_positive() { near.max(step) } else { near }
}

/// By how many per cent a rounded amount is off, to the nearest; 0 for nothing.
pub(super) fn off_percent(exact: Exact, rounded: Exact) -> i32 {
    let off = (rounded - exact).over(exact).unwrap_or(Exact::ZERO) * Exact::whole(100);
    i32::try_from(off.to_nearest(Exact::ONE).to_i64()).unwrap_or(i32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kitchen::items;

    fn exact(text: &str) -> Exact {
        text.parse().unwrap()
    }

    #[test]
    fn whole_ones_stay_whole_and_cans_are_opened() {
        let egg = items::find("egg");
        let to = |amount, unit, item| rounded(exact(amount), unit, item).to_string();
        assert_eq!(to("4.5", Unit::Piece, egg), "5");
        assert_eq!(to("4.2", Unit::Piece, egg), "4");
        assert_eq!(to("1/5", Unit::Piece, egg), "1");
        assert_eq!(to("2 1/8", Unit::Can, None), "3");
        assert_eq!(to("2", Unit::Can, None), "2");
        assert_eq!(to("2.3", Unit::Piece, items::find("onion")), "2.5");
        assert_eq!(off_percent(exact("4.5"), exact("5")), 11);
        assert_eq!(off_percent(exact("4.2"), exact("4")), -5);
        assert_eq!(off_percent(Exact::ZERO, Exact::ZERO), 0);
    }

    #[test]
    fn spoons_ounces_and_grams_go_to_what_is_measured() {
        let to = |amount, unit| rounded(exact(amount), unit, None).to_string();
        assert_eq!(to("1 1/3", Unit::Tsp), "1.25");
        assert_eq!(to("1/16", Unit::Tsp), "0.25");
        assert_eq!(to("7.37", Unit::Oz), "7.25");
        assert_eq!(to("333 1/3", Unit::G), "335");
        assert_eq!(to("1.3333", Unit::Kg), "1.33");
        assert_eq!(to("12 1/3", Unit::G), "12");
        assert_eq!(to("0", Unit::G), "0");
    }
}
