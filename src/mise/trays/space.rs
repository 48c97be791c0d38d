//! Room in fridge and freezer over the day.

use super::{Cold, Space, Tray};
use crate::kitchen::items::Item;
use crate::kitchen::units::{Dimension, Exact};
use crate::kitchen::{Evening, Kept, Minute, StationKind};
use crate::mise::amounts::Portion;
use crate::order::InOrder;
use crate::plan::Plan;

/// Millilitres that a place of a fridge holds where the kitchen does not say.
/// Common practice, no source: half a shelf, 30 x 30 x 15 cm, filled with boxes.
const PLACE_ML: i64 = 10_000;
/// Boxes and bags take half as much again as what is in them. Common practice, no source.
const BOXED: (i128, i128) = (3, 2);
/// What has no weight in the table is counted as so much. A guess.
const UNKNOWN_ML: i64 = 300;

/// Something in the store until a minute.
struct Lies {
    words: String,
    ml: Exact,
    raw: bool,
    /// What thaws in the fridge comes into it; all else is in the store from the first.
    from: Option<Minute>,
    until: Option<Minute>,
}

impl Lies {
    fn is_there(&self, at: Option<Minute>) -> bool {
        match at {
            Some(at) => {
                self.from.is_none_or(|from| from <= at) && self.until.is_none_or(|until| at < until)
            }
            None => self.from.is_none(),
        }
    }
}

/// The fullest minute of a store.
pub(super) fn count(
    evening: &Evening,
    plan: Option<&Plan>,
    portions: &[Portion<'_>],
    trays: &[Tray],
    (kind, kept): (StationKind, Kept),
) -> Space {
    let stations = || evening.kitchen.stations.iter().filter(|s| s.kind == kind);
    let places: u32 = stations().map(|s| s.slots).sum();
    let volume: u32 = stations().filter_map(|s| s.volume_ml).sum();
    let one = match i64::from(volume).checked_div(i64::from(places)) {
        Some(ml) if ml > 0 => ml,
        _ => PLACE_ML,
    };
    let lies = ingredients(portions, trays, kept);
    let taken = plan.map(|p| by_plan(evening, p, kind)).unwrap_or_default();
    let mut minutes: Vec<Option<Minute>> = vec![None];
    if plan.is_some() {
        // It is fullest when something has just come in, or before anything went out.
        minutes.extend(taken.iter().map(|t| Some(t.0)));
        minutes.extend(lies.iter().filter(|l| l.from.is_some()).map(|l| l.from));
    }
    let mut fullest = Space { places, wanted: 0, of_ingredients: 0, at: None, holds: Vec::new() };
    for at in minutes {
        let there: Vec<&Lies> = lies.iter().filter(|l| l.is_there(at)).collect();
        let of_ingredients = room(&there, one);
        let of_dishes: u32 = match at {
            Some(at) => taken.iter().filter(|t| t.0 <= at && at < t.1).map(|t| t.2).sum(),
            None => 0,
        };
        let wanted = of_ingredients.saturating_add(of_dishes);
        if wanted > fullest.wanted {
            let mut there = there;
            there.order_by(|a, b| b.ml.cmp(&a.ml).then_with(|| a.words.cmp(&b.words)));
            let holds = there.iter().map(|l| l.words.clone()).collect();
            fullest = Space { places, wanted, of_ingredients, at, holds };
        }
    }
    fullest
}

/// Places for these: raw food has its own, below all else.
fn room(there: &[&Lies], one: i64) -> u32 {
    let of = |raw: bool| {
        let ml: Exact = there.iter().filter(|l| l.raw == raw).map(|l| l.ml).sum();
        let places = ml.over(Exact::whole(one)).map_or(Exact::ZERO, Exact::ceil);
        u32::try_from(places.to_i64()).unwrap_or(u32::MAX)
    };
    of(true).saturating_add(of(false))
}

fn ingredients(portions: &[Portion<'_>], trays: &[Tray], kept: Kept) -> Vec<Lies> {
    let cold = trays.iter().flat_map(|t| t.cold.iter().map(move |c| (t, c)));
    let thaws = |c: &Cold| kept == Kept::Fridge && c.kept == Kept::Freezer && c.out_at < c.used_at;
    let mine = cold.filter(|(_, c)| c.kept == kept || thaws(c));
    mine.filter_map(|(tray, cold)| {
        let (from, until) = match thaws(cold) {
            true => (cold.out_at, cold.used_at),
            false => (None, cold.out_at),
        };
        let portion =
            portions.iter().find(|p| p.dish == tray.index && p.index == cold.thing.ingredient)?;
        Some(Lies {
            words: format!("{} {}", tray.letter, cold.thing.words()),
            ml: volume(portion, portion.item()),
            raw: cold.raw,
            from,
            until,
        })
    })
    .collect()
}

/// As much room as it takes, boxed: a gram counts as a millilitre.
fn volume(portion: &Portion<'_>, item: Option<&Item>) -> Exact {
    let (more, less) = BOXED;
    let boxed = Exact::fraction(more, less).unwrap_or(Exact::ONE);
    let Some(amount) = portion.measured() else { return Exact::ZERO };
    let by_volume = || {
        let ml = amount.unit.base(amount.measures)?;
        (amount.unit.dimension() == Dimension::Volume).then_some(amount.amount * ml)
    };
    let grams = || Some(item?.grams(&amount).ok()?.g);
    let mass = || {
        let g = amount.unit.base(amount.measures)?;
        (amount.unit.dimension() == Dimension::Mass).then_some(amount.amount * g)
    };
    by_volume().or_else(mass).or_else(grams).map_or(Exact::whole(UNKNOWN_ML), |ml| ml * boxed)
}

/// `(from, to, places)` of what the plan puts there.
fn by_plan(evening: &Evening, plan: &Plan, kind: StationKind) -> Vec<(Minute, Minute, u32)> {
    let is_it = |id: &str| evening.station(id).is_some_and(|s| s.kind == kind);
    let slots = |s: &[u32]| u32::try_from(s.len()).unwrap_or(u32::MAX);
    let blocks = plan.blocks.iter().map(|b| (b.start, b.end, slots(&b.slots), b.station.as_str()));
    let holds = plan.holds.iter().map(|h| (h.from, h.to, slots(&h.slots), h.station.as_str()));
    let waits = plan
        .waits
        .iter()
        .filter_map(|w| Some((w.from, w.to, slots(&w.slots), w.station.as_deref()?)));
    let all = blocks.chain(holds).chain(waits);
    all.filter(|t| t.0 < t.1 && is_it(t.3)).map(|(a, b, n, _)| (a, b, n)).collect()
}
