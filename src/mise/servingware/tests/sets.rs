//! The sets of pieces that hold a dish, against every choice of pieces.

use super::*;

/// Every set that holds the dish and of which no piece can be left out, of as few pieces as can be or of one more.
fn every(need: &Need, wares: &[Servingware]) -> Vec<Vec<(usize, u32)>> {
    let fits: Vec<Option<Holds>> =
        wares.iter().map(|w| fit(need, w).ok().map(|f| f.holds)).collect();
    let holds = |counts: &[u32]| {
        let (mut ml, mut cm2) = (0, 0);
        for (holds, &n) in fits.iter().zip(counts) {
            match holds {
                Some(Holds::Ml(one)) => ml += u64::from(*one) * u64::from(n),
                Some(Holds::Cm2(one)) => cm2 += u64::from(*one) * u64::from(n),
                None => {}
            }
        }
        holds_all(need, ml, cm2)
    };
    let mut all: Vec<Vec<u32>> = vec![Vec::new()];
    for (ware, fits) in wares.iter().zip(&fits) {
        let most = if fits.is_some() { ware.count } else { 0 };
        let longer = |counts: &Vec<u32>| -> Vec<Vec<u32>> {
            (0..=most).map(|n| [counts.as_slice(), &[n]].concat()).collect()
        };
        all = all.iter().flat_map(longer).collect();
    }
    all.retain(|counts| holds(counts));
    let pieces = |counts: &Vec<u32>| counts.iter().sum::<u32>();
    let fewest = all.iter().map(pieces).min().unwrap_or(0);
    let is_spare = |counts: &Vec<u32>, ware: usize| {
        let mut fewer = counts.clone();
        fewer[ware] = fewer[ware].saturating_sub(1);
        fewer != *counts && holds(&fewer)
    };
    all.retain(|c| pieces(c) <= fewest + 1 && !(0..c.len()).any(|ware| is_spare(c, ware)));
    let uses = |counts: &Vec<u32>| -> Vec<(usize, u32)> {
        counts.iter().copied().enumerate().filter(|(_, n)| *n > 0).collect()
    };
    let mut sets: Vec<_> = all.iter().map(uses).collect();
    sets.sort();
    sets
}

/// Empty space, what is not quite right of each piece, and 300 ml for each piece more than one.
fn worth(need: &Need, wares: &[Servingware], uses: &[(usize, u32)]) -> i64 {
    let one = |ware: usize| fit(need, &wares[ware]).map(|f| f.holds.worth() + f.points).unwrap();
    let food = need.ml.map(i64::from).or(need.cm2.map(|cm2| 3 * i64::from(cm2)));
    let pieces: u32 = uses.iter().map(|u| u.1).sum();
    uses.iter().map(|&(ware, n)| one(ware) * i64::from(n)).sum::<i64>() - food.unwrap()
        + 300 * i64::from(pieces - 1)
}

#[test]
fn the_sets_of_a_dish_are_those_that_trying_everything_finds() {
    use WareKind::{Basket, Board, Bowl, Platter, Pot};
    let kits = [
        vec![ware(Bowl, 2, 300), ware(Pot, 1, 700), ware(Bowl, 3, 200), ware(Board, 1, 900)],
        vec![ware(Basket, 1, 500), ware(Board, 2, 300), ware(Platter, 1, 100), ware(Bowl, 2, 200)],
        // By share of the dish in another order than by figure.
        vec![ware(Bowl, 2, 150), ware(Board, 3, 100), ware(Basket, 1, 240), ware(Platter, 1, 200)],
        vec![ware(Bowl, 1, 100), ware(Bowl, 3, 400), ware(Basket, 2, 300), ware(Board, 1, 900)],
    ];
    let mut found = 0;
    for wares in &kits {
        for size in 1..=20 {
            let both = Need { cm2: Some(size * 60), ..need(0, Served::Dry, size * 100) };
            let alone = Need { ml: None, cm2: Some(size * 60), ..both.clone() };
            let needs = [need(0, Served::Spooned, size * 100), both, alone];
            for need in needs.iter().chain(&[super::need(0, Served::Laid, size * 60)]) {
                let sets = patterns(need, wares);
                let mut uses: Vec<_> = sets.all.iter().map(|p| p.uses.clone()).collect();
                uses.sort();
                assert_eq!(uses, every(need, wares), "{need:?} {wares:?}");
                assert!(sets.all.is_sorted_by_key(|p| p.cost) && !sets.cut);
                for set in &sets.all {
                    assert_eq!(set.cost, worth(need, wares, &set.uses), "{set:?} {need:?}");
                }
                let mut named: Vec<usize> = uses.iter().flatten().map(|u| u.0).collect();
                named.sort_unstable();
                named.dedup();
                assert_eq!(sets.wares(), named);
                found += uses.len();
            }
        }
    }
    assert!(found > 100, "{found}");
}

#[test]
fn a_dish_of_nothing_still_gets_one_piece() {
    let wares = [ware(WareKind::Bowl, 2, 500), ware(WareKind::Bowl, 1, 300)];
    let sets = patterns(&need(0, Served::Spooned, 0), &wares);
    let uses: Vec<_> = sets.all.iter().map(|p| p.uses.clone()).collect();
    assert_eq!(uses, [[(1, 1)], [(0, 1)]]);
}

/// Three of 24 bowls: 2 024 sets, more than are looked at; of 22 there are 1 540.
#[test]
fn what_was_not_looked_at_is_not_called_proved() {
    let lay = |kinds: usize| {
        let wares = vec![ware(WareKind::Bowl, 1, 300); kinds];
        let needs = [need(0, Served::Spooned, 850)];
        (patterns(&needs[0], &wares).cut, lay_out(&wares, &needs))
    };
    let (cut, laying) = lay(22);
    assert!(!cut && laying.proved && laying.places[0].is_served());
    let (cut, laying) = lay(24);
    assert!(cut && !laying.proved && laying.places[0].is_served());
}

/// A part that is heaped and a part that is laid out make a whole: 600 ml or 200 cm² of it.
#[test]
fn what_is_heaped_and_what_is_laid_out_make_a_whole() {
    let both = Need { cm2: Some(200), ..need(0, Served::Dry, 600) };
    let rows = [
        (600, 0, true),
        (599, 0, false),
        (0, 200, true),
        (0, 199, false),
        (300, 100, true),
        (299, 100, false),
        (300, 99, false),
        (150, 150, true),
        (450, 49, false),
    ];
    for (ml, cm2, enough) in rows {
        assert_eq!(holds_all(&both, ml, cm2), enough, "{ml} ml and {cm2} cm²");
    }
    // Food lies about 3 cm high.
    assert_eq!((Holds::Cm2(10).worth(), Holds::Ml(10).worth()), (30, 10));
}

#[test]
fn a_laying_is_for_the_needs_that_it_was_made_for() {
    let wares = [ware(WareKind::Bowl, 2, 1000)];
    let needs = [need(0, Served::Spooned, 900), need(1, Served::Spooned, 800)];
    let laying = lay_out(&wares, &needs);
    assert!(laying.is_for(&needs));
    assert!(!laying.is_for(&needs[..1]) && !laying.is_for(&[]));
    let later = Need { to: 61, ..needs[1].clone() };
    assert!(!laying.is_for(&[needs[0].clone(), later]));
}
