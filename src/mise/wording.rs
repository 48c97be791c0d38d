//! How amounts of things are said.

use crate::kitchen::items::{self, in_bulk, one_of, plural};
use crate::kitchen::units::{Dimension, Exact, Unit, say};

/// "5 onions", "3 sticks of celery", "2 bunches of parsley", "3 cans of white beans", "900 g mushrooms"; the thing
/// alone without an amount.
#[must_use]
pub fn amount_of(amount: Option<(Exact, Unit)>, item: &str) -> String {
    let Some((amount, unit)) = amount else { return item.to_owned() };
    let said = pieces(amount, unit, item).unwrap_or_else(|| say(amount, unit));
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
    }
}
