//! How amounts of things are said.

use crate::kitchen::items::{self, in_bulk, one_of, plural};
use crate::kitchen::units::{Dimension, Exact, Unit, say};
use crate::mise::scale::rounded;

/// "1 tray", "3 trays".
pub(super) fn some(n: u32, what: &str) -> String {
    if n == 1 { format!("1 {what}") } else { format!("{n} {what}s") }
}

/// An amount as it is measured out, the same on every list: to what spoons, scales and a knife can do.
pub(super) fn taken(amount: Exact, unit: Unit, item: &str) -> Exact {
    rounded(amount, unit, items::find(item))
}

/// "5 onions", "3 sticks of celery", "2 bunches of parsley", "3 cans of white beans", "900 g mushrooms", as it is
/// measured out; the thing alone without an amount.
#[must_use]
pub fn amount_of(amount: Option<(Exact, Unit)>, item: &str) -> String {
    let Some((amount, unit)) = amount else { return item.to_owned() };
    let amount = taken(amount, unit, item);
    let said = pieces(amount, unit, item).unwrap_or_else(|| measured(amount, unit));
    let name = named(amount, unit, item);
    match unit.dimension() {
        Dimension::Count if unit == Unit::Piece && one_of(item).is_none() => {
            format!("{said} {name}")
        }
        Dimension::Count | Dimension::Container => format!("{said} of {name}"),
        Dimension::Mass | Dimension::Volume => format!("{said} {name}"),
    }
}

/// "3 sticks" where a thing's name is not counted.
pub(super) fn pieces(amount: Exact, unit: Unit, item: &str) -> Option<String> {
    let one = one_of(item).filter(|_| unit == Unit::Piece)?;
    let name = if amount > Exact::ONE { plural(one) } else { one.to_owned() };
    Some(format!("{} {name}", say(amount, unit)))
}

/// The thing's name beside such an amount: "onions", "white beans" of those in cans, "mushrooms" by weight.
pub(super) fn named(amount: Exact, unit: Unit, item: &str) -> String {
    let bulk = |name: &str| {
        let one = items::find(item).and_then(|i| i.weight(Unit::Piece, None));
        in_bulk(name, one.map(|w| w.g))
    };
    match unit {
        Unit::Piece if amount > Exact::ONE => plural(item),
        Unit::Piece => item.to_owned(),
        // A can says it already.
        Unit::Can => bulk(item.strip_prefix("canned ").unwrap_or(item)),
        _ if unit.dimension() == Dimension::Volume => item.to_owned(),
        _ => bulk(item),
    }
}

/// A rounded amount with its unit; pounds with their ounces.
pub(super) fn measured(amount: Exact, unit: Unit) -> String {
    match unit {
        Unit::Piece => bare(amount, unit),
        Unit::Lb => {
            let pounds = amount.floor();
            let ounces = (amount - pounds) * Exact::whole(16);
            match (pounds.is_positive(), ounces.is_positive()) {
                (true, true) => format!("{} lb {} oz", mixed(pounds), mixed(ounces)),
                (false, true) => format!("{} oz", mixed(ounces)),
                _ => format!("{} lb", mixed(pounds)),
            }
        }
        Unit::G | Unit::Ml | Unit::Kg | Unit::L | Unit::Cl | Unit::Dl => say(amount, unit),
        _ => format!("{} {}", mixed(amount), unit.after(amount)),
    }
}

/// The lower end of a range: without its unit where it is the same as that of the upper.
pub(super) fn bare(amount: Exact, unit: Unit) -> String {
    match unit {
        Unit::Lb | Unit::G | Unit::Ml | Unit::Kg | Unit::L | Unit::Cl | Unit::Dl => {
            measured(amount, unit)
        }
        _ => mixed(amount),
    }
}

/// "4 1/2" where halves, thirds, quarters or eighths write it, else a decimal.
pub(super) fn mixed(amount: Exact) -> String {
    let whole = amount.floor();
    let part = amount - whole;
    let written = [2, 3, 4, 8].into_iter().find(|&d| (part * Exact::whole(d)).is_whole());
    match written {
        _ if part == Exact::ZERO => whole.to_string(),
        Some(d) => {
            let above = part * Exact::whole(d);
            if whole.is_positive() {
                format!("{whole} {above}/{d}")
            } else {
                format!("{above}/{d}")
            }
        }
        None => format!("{:.2}", amount.to_f64()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_read_as_a_cook_says_them() {
        let said = |n: i64, unit, item| amount_of(Some((Exact::whole(n), unit)), item);
        assert_eq!(said(5, Unit::Piece, "onion"), "5 onions");
        assert_eq!(said(3, Unit::Piece, "celery"), "3 sticks of celery");
        assert_eq!(said(1, Unit::Piece, "celery"), "1 stick of celery");
        assert_eq!(said(3, Unit::Can, "canned white beans"), "3 cans of white beans");
        assert_eq!(said(2, Unit::Bunch, "spring onion"), "2 bunches of spring onions");
        assert_eq!(said(3, Unit::Clove, "garlic"), "3 cloves of garlic");
        assert_eq!(said(900, Unit::G, "mushroom"), "900 g mushrooms");
        assert_eq!(said(900, Unit::G, "butternut squash"), "900 g butternut squash");
        assert_eq!(said(2, Unit::Tsp, "ground cumin"), "2 tsp ground cumin");
        let third = |n, unit, item| amount_of(Exact::fraction(n, 3).map(|a| (a, unit)), item);
        assert_eq!(third(10, Unit::Clove, "garlic"), "3 cloves of garlic");
        assert_eq!(third(2, Unit::Can, "canned tomatoes"), "1 can of tomatoes");
        assert_eq!(third(4, Unit::Piece, "egg"), "1 egg");
        assert_eq!(third(4, Unit::Piece, "lemon"), "1 1/2 lemons");
        assert_eq!(third(1000, Unit::G, "red lentils"), "335 g red lentils");
    }
}
