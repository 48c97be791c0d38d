//! What is in the house already, taken off what is wanted.

use super::buy::{self, Wanted};
use super::merge::{Lot, Measured};
use crate::kitchen::items::{self, Amount, Item, Market};
use crate::kitchen::party::Stock;
use crate::kitchen::units::{Exact, Measures, Unit, say};

/// A thing in the house, and how much of it is left to take.
#[derive(Debug)]
pub(super) struct Shelf<'a> {
    stock: &'a Stock,
    /// Nothing: as much as is wanted.
    left: Option<Exact>,
    used: bool,
}

pub(super) fn shelves(stock: &[Stock]) -> Vec<Shelf<'_>> {
    stock.iter().map(|stock| Shelf { stock, left: stock.amount, used: false }).collect()
}

/// Some dish wants of this item, if only to taste.
pub(super) fn is_wanted(shelves: &mut [Shelf<'_>], (name, item): (&str, Option<&Item>)) {
    let its = shelves.iter_mut().filter(|s| is_it(&s.stock.item, name, item));
    its.for_each(|shelf| shelf.used = true);
}

/// Takes from the house what it has of an item. What is left to buy, and what
/// was taken, both in the measure of `wanted`.
pub(super) fn take(
    shelves: &mut [Shelf<'_>],
    wanted: &Wanted,
    (name, item): (&str, Option<&Item>),
    market: Market,
    how: &mut Vec<String>,
) -> (Exact, Exact) {
    let (mut left, mut taken) = (wanted.amount, Exact::ZERO);
    for shelf in shelves.iter_mut().filter(|s| is_it(&s.stock.item, name, item)) {
        let Some(amount) = shelf.left else {
            return (Exact::ZERO, wanted.amount);
        };
        if !amount.is_positive() || !left.is_positive() {
            continue;
        }
        let Some(one) = worth(shelf.stock, item, wanted, market) else {
            let unit = shelf.stock.unit.unwrap_or(Unit::Piece);
            how.push(format!(
                "{} in the house cannot be set against it: no row says what that is in {}",
                say(amount, unit),
                wanted.unit.name(Exact::whole(2)),
            ));
            continue;
        };
        let has = amount * one;
        let used = has.min(left);
        shelf.left = (has - used).over(one);
        (left, taken) = (left - used, taken + used);
    }
    (left, taken)
}

fn is_it(words: &str, name: &str, item: Option<&Item>) -> bool {
    match (items::find(words), item) {
        (Some(a), Some(b)) => a.name == b.name,
        (None, None) => words.trim().to_lowercase() == name.to_lowercase(),
        _ => false,
    }
}

/// What one of the stock's unit is in the measure of `wanted`. It lies there as
/// it was bought, so nothing is taken off for peel.
fn worth(stock: &Stock, item: Option<&Item>, wanted: &Wanted, market: Market) -> Option<Exact> {
    let measures = match market {
        Market::Metric => Measures::Metric,
        Market::Us => Measures::UsCustomary,
    };
    let unit = stock.unit.unwrap_or(Unit::Piece);
    let amount = Amount { amount: Exact::ONE, unit, measures, size: None, cut: None };
    let lot = Lot::of(Measured { amount, pack: None, part: None });
    let has = buy::wanted(&lot, item, market, true);
    let amount = match (has.unit == wanted.unit, wanted.unit) {
        (true, _) => has.amount,
        // Cans against grams without their liquid.
        (false, Unit::G) => lot.grams(item?, market)?,
        // A bottle against millilitres.
        (false, Unit::Ml) => {
            has.sizes.first().map(|s| s.holds).filter(|h| h.unit == Unit::Ml)?.amount
        }
        (false, _) => return None,
    };
    amount.is_positive().then_some(amount)
}

/// What of the house no dish wants: said, so that a slip of the pen is seen.
pub(super) fn unused(shelves: &[Shelf<'_>]) -> Vec<String> {
    let idle = shelves.iter().filter(|s| !s.used);
    idle.map(|s| format!("{} is in the house, but no dish wants any", s.stock.item)).collect()
}
