//! What a clash names, and what is borrowed for whom.

use super::*;

fn clashes(wares: &[Servingware], needs: &[Need]) -> Vec<Clash> {
    lay_out(wares, needs).clashes
}

#[test]
fn a_clash_names_each_ware_of_the_kitchen_once_and_none_that_is_borrowed() {
    let bowl = ware(WareKind::Bowl, 1, 1000);
    let wares = [
        Servingware { ovenproof: true, ..bowl.clone() },
        Servingware { lid: true, ..bowl.clone() },
    ];
    let spooned = |dish| need(dish, Served::Spooned, 900);
    // The first could go into the second bowl alone, the last into the first alone.
    let needs = [Need { lid: true, ..spooned(0) }, spooned(1), Need { oven: true, ..spooned(2) }];
    let [clash] = &clashes(&wares, &needs)[..] else { panic!("one clash") };
    assert_eq!((clash.dishes.as_slice(), clash.wares.as_slice()), (&[0, 1, 2][..], &[0, 1][..]));
    // Four dishes and one bowl: three are borrowed, one after the other.
    let needs = [spooned(0), spooned(1), spooned(2), spooned(3)];
    let three = clashes(&[bowl], &needs);
    assert_eq!(three.len(), 3);
    for clash in three {
        assert_eq!(clash.wares, [0], "{clash:?}");
        assert_eq!(clash.borrow.map(|b| (b.pieces, b.ml)), Some((1, Some(900))));
    }
}

/// Nobody lends more than 12 l: for the larger dish such a bowl would only be a part.
#[test]
fn of_dishes_that_the_same_size_helps_the_one_that_goes_into_it_is_named() {
    let wares = [ware(WareKind::Bowl, 3, 10_000)];
    let needs = [need(0, Served::Spooned, 30_000), need(1, Served::Spooned, 12_000)];
    let [clash] = &clashes(&wares, &needs)[..] else { panic!("one clash") };
    let borrow = clash.borrow.expect("something helps");
    assert_eq!((borrow.dish, borrow.ml, borrow.pieces), (1, Some(12_000), 1));
}

/// A square centimetre counts as 3 ml: 450 cm² are more than a bowl of a litre, 300 cm² less.
#[test]
fn the_smaller_thing_is_borrowed_be_it_flat_or_deep() {
    let dish = Servingware { area_cm2: Some(500), ..ware(WareKind::Dish, 1, 1500) };
    let borrowed = |cm2| {
        let needs = [need(0, Served::Laid, cm2), need(1, Served::Spooned, 1000)];
        let clashes = clashes(std::slice::from_ref(&dish), &needs);
        clashes[0].borrow.map(|b| (b.dish, b.kind, b.ml, b.cm2))
    };
    assert_eq!(borrowed(450), Some((1, WareKind::Bowl, Some(1000), None)));
    assert_eq!(borrowed(300), Some((0, WareKind::Platter, None, Some(300))));
}
