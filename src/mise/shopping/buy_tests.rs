//! Packs against trying every choice, and what is bought loose against the steps that are sold.

use super::*;
use crate::kitchen::items::{self, Amount};
use crate::kitchen::units::Measures;
use crate::mise::shopping::merge::Measured;

/// The packs of an item that hold the same kind of thing, as they are chosen from; and their unit.
fn sizes(item: &Item, market: Market) -> (Unit, Vec<Size>) {
    let packs: Vec<&Pack> = item.packs_of(market).collect();
    let of = |p: &&Pack| {
        let g = p.g.map(|g| (p.drained_g.unwrap_or(g), g, Unit::G));
        g.or(p.ml.map(|ml| (ml, ml, Unit::Ml))).or(p.pieces.map(|n| (n, n, Unit::Piece)))
    };
    let unit = packs.first().and_then(of).map_or(Unit::G, |p| p.2);
    let size = |p: &&Pack| {
        let (counts, amount, own) = of(p)?;
        let holds = Quantity { amount, unit };
        (own == unit).then(|| Size { name: p.name.clone(), counts, holds, makes: p.makes })
    };
    (unit, packs.iter().filter_map(size).collect())
}

/// In parts small enough for the packs of a pound, which have five places, and a tenth of them.
fn fine(amount: Exact) -> i128 {
    (amount * Exact::whole(10_000_000)).to_i64().into()
}

/// The least that is over and the fewest packs for it, by trying every choice.
fn tried(sizes: &[i128], need: i128) -> (i128, i128) {
    let Some((&size, rest)) = sizes.split_first() else {
        return if need <= 0 { (-need, 0) } else { (i128::MAX, 0) };
    };
    let most = need.max(0).div_euclid(size) + 1;
    let from = if rest.is_empty() { most - 1 } else { 0 };
    let one = |n: i128| {
        let (over, packs) = tried(rest, need - n * size);
        (over, packs + n)
    };
    (from..=most).map(one).min().unwrap_or((i128::MAX, 0))
}

#[test]
fn packs_of_every_item_leave_as_little_over_as_can_be() {
    let mut several = 0;
    for (item, market) in items::all().iter().flat_map(|i| [(i, Market::Metric), (i, Market::Us)]) {
        let (unit, sizes) = sizes(item, market);
        let Some(largest) = sizes.iter().map(|s| s.counts).max() else { continue };
        several += usize::from(sizes.len() > 1);
        for tenths in [1, 4, 9, 10, 11, 16, 23, 37, 50] {
            let need = (largest * Exact::whole(tenths)).over(Exact::whole(10)).unwrap();
            let wanted =
                Wanted { amount: need, unit, sizes: sizes.clone(), how: vec![], stuck: false };
            let bought = purchase(&wanted, need, market);
            let name = format!("{need} of {}", item.name);
            let one = |p: &Packs| sizes.iter().find(|s| s.name == p.name && s.holds == p.holds);
            let counts = |p: &Packs| one(p).unwrap().counts * Exact::whole(p.count.into());
            let over = bought.packs.iter().map(counts).sum::<Exact>() - need;
            let packs: u32 = bought.packs.iter().map(|p| p.count).sum();
            let each: Vec<i128> = sizes.iter().map(|s| fine(s.counts)).collect();
            assert_eq!((fine(over), i128::from(packs)), tried(&each, fine(need)), "{name}");
            // What is put into the basket is what is written on the packs.
            let held = |p: &Packs| p.holds.amount * Exact::whole(p.count.into());
            assert_eq!(bought.amount, bought.packs.iter().map(held).sum::<Exact>(), "{name}");
            assert_eq!((bought.exact, bought.unit), (need, unit), "{name}");
        }
    }
    assert!(several >= 20, "{several} items come in packs of several sizes");
}

/// Grams of the metric shops to 10, 50 and 100, US ones to a quarter of a pound (113.398 g); the rest to whole ones.
#[test]
fn what_is_sold_loose_is_rounded_up_to_what_is_weighed_out() {
    let rows = [
        (Unit::G, Market::Metric, "1", "10"),
        (Unit::G, Market::Metric, "91", "100"),
        (Unit::G, Market::Metric, "99.5", "100"),
        (Unit::G, Market::Metric, "100", "100"),
        (Unit::G, Market::Metric, "101", "150"),
        (Unit::G, Market::Metric, "999", "1000"),
        (Unit::G, Market::Metric, "1000", "1000"),
        (Unit::G, Market::Metric, "1001", "1100"),
        (Unit::G, Market::Us, "1", "113.3980925"),
        (Unit::G, Market::Us, "453.59237", "453.59237"),
        (Unit::G, Market::Us, "453.6", "566.9904625"),
        (Unit::Ml, Market::Metric, "11", "20"),
        (Unit::Ml, Market::Us, "1011", "1020"),
        (Unit::Piece, Market::Metric, "2 1/3", "3"),
        (Unit::Bunch, Market::Us, "1/4", "1"),
    ];
    for (unit, market, need, bought) in rows {
        let (need, bought): (Exact, Exact) = (need.parse().unwrap(), bought.parse().unwrap());
        let wanted = Wanted { amount: need, unit, sizes: vec![], how: vec![], stuck: false };
        assert_eq!(purchase(&wanted, need, market).amount, bought, "{need} {unit:?}");
    }
}

/// Cans, bottles and cartons as the recipe counts them: of the size that it says, else of the item's usual one.
#[test]
fn containers_are_of_the_usual_size_if_none_is_said() {
    let words = |name: &str, unit: Unit, pack: Option<(i64, Unit)>| {
        let amount = Amount {
            amount: Exact::whole(2),
            unit,
            measures: Measures::Metric,
            size: None,
            cut: None,
        };
        let of = |(n, unit)| crate::kitchen::Pack { amount: Exact::whole(n), unit };
        let lot = Lot::of(Measured { amount, pack: pack.map(of), part: None });
        let wanted = wanted(&lot, items::find(name), Market::Metric, false);
        purchase(&wanted, wanted.amount, Market::Metric).words()
    };
    assert_eq!(words("canned tomatoes", Unit::Can, None), "2 cans of 400 g");
    assert_eq!(words("canned tomatoes", Unit::Can, Some((800, Unit::G))), "2 cans of 800 g");
    assert_eq!(words("canned tomatoes", Unit::Can, Some((1, Unit::Kg))), "2 cans of 1 kg");
    // Of what is sold by volume too.
    assert_eq!(words("white wine", Unit::Bottle, None), "2 bottles of 750 ml");
    assert_eq!(words("milk", Unit::Carton, Some((2, Unit::L))), "2 cartons of 2 l");
    assert_eq!(words("milk", Unit::Can, None), "2 cans");
}
