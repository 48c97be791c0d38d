//! When some dish goes without: the fewest dishes that cannot be served
//! together, and the smallest piece that would help.

use std::cell::Cell;

use super::fit::{Unfit, fit};
use super::need::Need;
use super::search::{Case, possible};
use super::{HEADROOM_PERCENT, Table};
use crate::kitchen::{Keeps, Minute, Served, Servingware, WareKind};

/// Dishes of which each could be served without the others, but not all together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clash {
    /// Indexes of the dishes.
    pub dishes: Vec<usize>,
    /// Indexes of the wares that they could go into.
    pub wares: Vec<usize>,
    /// Of the kinds that suit them, why a ware does not: for a dish that nothing holds.
    pub unfit: Vec<(usize, Option<Unfit>)>,
    /// From when to when all of them want one.
    pub from: Minute,
    /// The minute after the last.
    pub to: Minute,
    /// What would help.
    pub borrow: Option<Borrow>,
}

/// What would make it work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Borrow {
    /// For which dish.
    pub dish: usize,
    /// What.
    pub kind: WareKind,
    /// How many of it.
    pub pieces: u32,
    /// Of at least this usable volume each.
    pub ml: Option<u32>,
    /// Of at least this usable area each.
    pub cm2: Option<u32>,
    /// With a lid.
    pub lid: bool,
    /// It goes into the oven.
    pub oven: bool,
}

/// More clashes than these are not looked for, one after the other.
const MOST: usize = 12;
/// Nor are more pieces of one kind asked for.
const MOST_PIECES: u32 = 40;
/// Nobody lends larger ones: several are asked for instead.
const LARGEST_ML: u32 = 12_000;
const LARGEST_CM2: u32 = 2_500;
/// All questions of one laying take no more steps of search than these together: what they leave
/// open is not told as a clash, and nothing is named to borrow for it.
const STEPS: u32 = 100_000;
/// Sizes to borrow are told in such steps.
const STEP_ML: u32 = 100;
const STEP_CM2: u32 = 50;

/// All clashes: each as if what was to be borrowed for those before it were there.
pub(super) fn clashes(wares: &[Servingware], needs: &[Need]) -> Vec<Clash> {
    let mut wares = wares.to_vec();
    let own = wares.len();
    let mut clashes = Vec::new();
    let steps = Cell::new(STEPS);
    while clashes.len() < MOST {
        let table = Table::new(&wares, needs);
        let Some(at) = fewest(&table.case(), &steps) else { break };
        let those: Vec<Need> = at.iter().filter_map(|&at| table.need(at).cloned()).collect();
        // One piece that helps everybody, else one that helps these.
        let helps = borrow(&wares, needs, &those, 1, &steps).or_else(|| {
            (1..=MOST_PIECES).find_map(|pieces| borrow(&wares, &those, &those, pieces, &steps))
        });
        clashes.push(clash(&wares, own, &table, &at, helps.as_ref().map(|h| h.0)));
        let Some((_, piece)) = helps else { break };
        wares.push(piece);
    }
    clashes
}

/// The dishes of a smallest clash: none can be left out of it. Nothing if all can be served.
fn fewest(case: &Case, steps: &Cell<u32>) -> Option<Vec<usize>> {
    let mut clash: Vec<usize> = (0..case.patterns.len()).collect();
    if possible(case, steps) != Some(false) {
        return None;
    }
    let mut at = 0;
    while at < clash.len() {
        let mut fewer = clash.clone();
        fewer.remove(at);
        if possible(&case.part(&fewer), steps) == Some(false) {
            clash = fewer;
        } else {
            at += 1;
        }
    }
    Some(clash)
}

fn clash(
    wares: &[Servingware],
    own: usize,
    table: &Table,
    at: &[usize],
    borrow: Option<Borrow>,
) -> Clash {
    let needs: Vec<&Need> = at.iter().filter_map(|&at| table.need(at)).collect();
    let sets = at.iter().filter_map(|&at| table.sets.get(at));
    let mut could: Vec<usize> =
        sets.flat_map(super::Patterns::wares).filter(|w| *w < own).collect();
    could.sort_unstable();
    could.dedup();
    let unfit = match needs.as_slice() {
        [one] => why_not(wares.get(..own).unwrap_or_default(), one),
        _ => Vec::new(),
    };
    Clash {
        dishes: needs.iter().map(|n| n.dish).collect(),
        wares: could,
        unfit,
        from: needs.iter().map(|n| n.from).max().unwrap_or(0),
        to: needs.iter().map(|n| n.to).min().unwrap_or(0),
        borrow,
    }
}

/// Of the wares whose shape suits a dish: what is wrong with each; nothing
/// wrong but its size, and too few of it, is `None`.
fn why_not(wares: &[Servingware], need: &Need) -> Vec<(usize, Option<Unfit>)> {
    let reasons = wares.iter().enumerate().map(|(at, ware)| (at, fit(need, ware).err()));
    reasons.filter(|(_, why)| *why != Some(Unfit::Kind)).collect()
}

/// The smallest of so many pieces, made for one of `those`, with which all of
/// `needs` can be served, and the ware that they are.
fn borrow(
    wares: &[Servingware],
    needs: &[Need],
    those: &[Need],
    pieces: u32,
    steps: &Cell<u32>,
) -> Option<(Borrow, Servingware)> {
    let each = those.iter().filter_map(|need| smallest(wares, needs, need, pieces, steps));
    // Of dishes that the same size helps, the one that goes into it.
    let wholly = |borrow: &Borrow, ware: &Servingware| {
        let need = those.iter().find(|n| n.dish == borrow.dish);
        need.is_some_and(|n| {
            !super::pattern::patterns(n, std::slice::from_ref(ware)).all.is_empty()
        })
    };
    each.min_by_key(|(borrow, ware)| (fit_worth(borrow), !wholly(borrow, ware), borrow.dish))
}

fn fit_worth(borrow: &Borrow) -> i64 {
    let flat = borrow.cm2.map(|cm2| i64::from(cm2) * super::ML_A_CM2);
    flat.or(borrow.ml.map(i64::from)).unwrap_or(0)
}

/// The smallest size, in steps, of so many pieces that hold the whole of one of the dishes and with
/// which all can be served. A smaller one might do with some other piece beside it: but nobody
/// borrows a cup for the rest of the rice.
fn smallest(
    wares: &[Servingware],
    needs: &[Need],
    need: &Need,
    pieces: u32,
    left: &Cell<u32>,
) -> Option<(Borrow, Servingware)> {
    let deep = need.ml.is_some();
    let (step, largest) = if deep { (STEP_ML, LARGEST_ML) } else { (STEP_CM2, LARGEST_CM2) };
    let works = |steps: u32| {
        let mut more = wares.to_vec();
        more.push(piece(need, pieces, steps * step, deep));
        possible(&Table::new(&more, needs).case(), left) == Some(true)
    };
    let most = largest / step;
    let whole = need.ml.or(need.cm2).unwrap_or(0).div_ceil(pieces.max(1)).div_ceil(step);
    if !works(most) {
        return None;
    }
    let (mut low, mut high) = (whole.clamp(1, most) - 1, most);
    while high - low > 1 {
        let middle = low.midpoint(high);
        if works(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    let ware = piece(need, pieces, high * step, deep);
    let borrow = Borrow {
        dish: need.dish,
        kind: ware.is_a(),
        pieces,
        ml: ware.volume_ml,
        cm2: ware.area_cm2,
        lid: ware.lid,
        oven: ware.ovenproof,
    };
    Some((borrow, ware))
}

/// A ware of the kind that suits a dish best.
fn piece(need: &Need, count: u32, size: u32, deep: bool) -> Servingware {
    Servingware {
        id: String::new(),
        title: String::new(),
        count,
        kind: Some(need.best_kind()),
        volume_ml: deep.then_some(size),
        area_cm2: (!deep).then_some(size),
        size: None,
        keeps: Keeps::Neither,
        ovenproof: need.oven,
        lid: need.lid || need.served == Served::Ladled,
        stays_put: false,
    }
}

impl Table<'_> {
    fn need(&self, at: usize) -> Option<&Need> {
        self.needs.get(*self.asking.get(at)?)
    }
}

/// The food alone, without the room for a spoon.
#[must_use]
pub(super) fn food_only(with_headroom: u32) -> u32 {
    let whole = u64::from(with_headroom) * 100 / u64::from(100 + HEADROOM_PERCENT);
    u32::try_from(whole).unwrap_or(u32::MAX)
}
