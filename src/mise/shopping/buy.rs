//! From what the dishes want to what is sold: pieces, bunches, weight, packs.

use std::collections::BTreeMap;

use super::merge::{Class, Lot};
use super::{Packs, Purchase, Quantity};
use crate::kitchen::items::{Item, Market, Pack, SoldBy};
use crate::kitchen::units::{Exact, Measures, Unit, say};
use crate::order::InOrder;

/// A lot in the measure in which its item is bought, not rounded yet.
#[derive(Debug, Clone)]
pub(super) struct Wanted {
    /// As bought: what is peeled away included.
    pub amount: Exact,
    pub unit: Unit,
    /// The packs it comes in.
    pub sizes: Vec<Size>,
    /// What was reckoned with.
    pub how: Vec<String>,
    /// Why it could not be brought to what is sold.
    pub stuck: bool,
}

/// A pack, by what it holds in the unit of its [`Wanted`].
#[derive(Debug, Clone)]
pub(super) struct Size {
    pub name: String,
    /// What of it counts: without the liquid, where that is poured off.
    pub counts: Exact,
    /// What is written on it.
    pub holds: Quantity,
    pub makes: bool,
}

/// What is sold for a lot. `trimmed` says that the amounts are as bought already.
pub(super) fn wanted(lot: &Lot<'_>, item: Option<&Item>, market: Market, trimmed: bool) -> Wanted {
    let as_it_is = |stuck| Wanted {
        amount: lot.total,
        unit: lot.unit(),
        sizes: Vec::new(),
        how: Vec::new(),
        stuck,
    };
    let Some(item) = item else { return as_it_is(false) };
    let found = match item.sold_by {
        SoldBy::Piece => counted(lot, item, market, Unit::Piece),
        SoldBy::Bunch => counted(lot, item, market, Unit::Bunch),
        SoldBy::Head => counted(lot, item, market, Unit::Head),
        SoldBy::Weight => by_weight(lot, item, market, trimmed),
        SoldBy::Pack => in_packs(lot, item, market),
    };
    found.unwrap_or_else(|| as_it_is(!item.packs.is_empty() || lot.class != Class::Mass))
}

/// By the piece, bunch or head: the weights of the table are of the edible
/// part, so nothing is added for peel.
fn counted(lot: &Lot<'_>, item: &Item, market: Market, unit: Unit) -> Option<Wanted> {
    let plain = |amount, how| Wanted { amount, unit, sizes: Vec::new(), how, stuck: false };
    if matches!(&lot.class, Class::Count(u, _) if *u == unit) {
        let (amount, shared) = less_what_parts_share(lot);
        return Some(plain(amount, shared));
    }
    let one = item.weight(unit, None)?;
    let amount = lot.grams(item, market)?.over(one.g)?;
    let source = item.source(one.from.as_ref());
    let name = match unit {
        Unit::Piece => one.size.clone().unwrap_or_else(|| "one".to_owned()),
        unit => format!("a {}", unit.name(Exact::ONE)),
    };
    let how = format!("{name} is {} of edible part ({source})", say(one.g, Unit::G));
    Some(plain(amount, vec![how]))
}

/// A lemon that is zested for one dish is juiced for another, an egg gives a
/// yolk and a white: of pieces of which only a part is used, the part that
/// wants most decides.
fn less_what_parts_share(lot: &Lot<'_>) -> (Exact, Vec<String>) {
    let mut parts: BTreeMap<&str, Exact> = BTreeMap::new();
    for of in &lot.amounts {
        if let Some(part) = of.part {
            let sum = parts.entry(part).or_insert(Exact::ZERO);
            *sum = *sum + of.amount.amount;
        }
    }
    let all: Exact = parts.values().copied().sum();
    let most = parts.values().copied().max().unwrap_or(Exact::ZERO);
    if all == most {
        return (lot.total, Vec::new());
    }
    let each = parts.iter().map(|(part, n)| format!("{part} of {}", say(*n, Unit::Piece)));
    let each = each.collect::<Vec<_>>().join(", ");
    (lot.total - all + most, vec![format!("the same ones give {each}")])
}

fn by_weight(lot: &Lot<'_>, item: &Item, market: Market, trimmed: bool) -> Option<Wanted> {
    let edible = lot.grams(item, market)?;
    let share = if trimmed { Exact::ONE } else { item.edible_share() };
    let amount = edible.over(share)?;
    let how = item.edible.as_ref().filter(|_| share < Exact::ONE);
    let how = how.map(|e| {
        let source = item.source(e.from.as_ref());
        format!("{} % of it is edible ({source})", e.percent)
    });
    Some(Wanted {
        amount,
        unit: Unit::G,
        sizes: Vec::new(),
        how: how.into_iter().collect(),
        stuck: false,
    })
}

fn in_packs(lot: &Lot<'_>, item: &Item, market: Market) -> Option<Wanted> {
    let packs: Vec<&Pack> = item.packs_of(market).collect();
    if let Class::Container(unit, size) = &lot.class {
        return Some(containers(lot, &packs, *unit, *size));
    }
    let first = packs.first()?;
    let (unit, amount, mut how) = match (first.g, first.ml, first.pieces) {
        (Some(_), ..) => (Unit::G, lot.grams(item, market)?, Vec::new()),
        (_, Some(_), _) => (Unit::Ml, millilitres(lot, item, market)?, Vec::new()),
        _ => {
            let (amount, how) = pieces(lot, item, market)?;
            (Unit::Piece, amount, how)
        }
    };
    let sizes: Vec<Size> = packs
        .iter()
        .filter_map(|pack| {
            let holds = match unit {
                Unit::G => pack.g?,
                Unit::Ml => pack.ml?,
                _ => pack.pieces?,
            };
            let counts = pack.drained_g.filter(|_| unit == Unit::G).unwrap_or(holds);
            if counts < holds {
                how.push(format!(
                    "a {} of {} holds {} without its liquid ({})",
                    pack.name,
                    say(holds, unit),
                    say(counts, unit),
                    pack.source(),
                ));
            }
            Some(Size {
                name: pack.name.clone(),
                counts,
                holds: Quantity { amount: holds, unit },
                makes: pack.makes,
            })
        })
        .collect();
    Some(Wanted { amount, unit, sizes, how, stuck: false })
}

/// Cans stay cans: of the size that the recipe says, else of the usual one.
fn containers(lot: &Lot<'_>, packs: &[&Pack], unit: Unit, size: Option<(Exact, Unit)>) -> Wanted {
    let name = unit.name(Exact::ONE);
    let own = packs.iter().find(|p| p.name == name);
    let usual = own.and_then(|p| p.g.map(|g| (g, Unit::G)).or(p.ml.map(|ml| (ml, Unit::Ml))));
    let holds = size.or(usual).map(|(amount, unit)| Quantity { amount, unit });
    let sizes =
        holds.map(|holds| Size { name: name.to_owned(), counts: Exact::ONE, holds, makes: false });
    Wanted {
        amount: lot.total,
        unit,
        sizes: sizes.into_iter().collect(),
        how: Vec::new(),
        stuck: false,
    }
}

/// Millilitres of a lot: as they are, or by the row of the item as it comes.
fn millilitres(lot: &Lot<'_>, item: &Item, market: Market) -> Option<Exact> {
    if let Class::Volume(_) = lot.class {
        return Some(lot.total);
    }
    let row = item.measures.iter().find(|m| m.cut.is_empty())?;
    let one = row.unit.base(Measures::UsCustomary)?;
    Some(lot.grams(item, market)?.over(row.g)? * one)
}

/// Pieces of a lot, and what of them counts once for several parts.
fn pieces(lot: &Lot<'_>, item: &Item, market: Market) -> Option<(Exact, Vec<String>)> {
    match lot.class {
        Class::Count(Unit::Piece, _) => Some(less_what_parts_share(lot)),
        _ => Some((lot.grams(item, market)?.over(item.weight(Unit::Piece, None)?.g)?, Vec::new())),
    }
}

/// What to buy so that there is enough: rounded up once.
pub(super) fn purchase(wanted: &Wanted, left: Exact, market: Market) -> Purchase {
    if !wanted.sizes.is_empty() {
        let packs = fewest(&wanted.sizes, left);
        let amount = match wanted.unit {
            Unit::G | Unit::Ml | Unit::Piece => {
                packs.iter().map(|p| Exact::whole(p.count.into()) * p.holds.amount).sum()
            }
            _ => packs.iter().map(|p| Exact::whole(p.count.into())).sum(),
        };
        return Purchase { exact: left, amount, unit: wanted.unit, packs };
    }
    let step = match (wanted.unit, market) {
        (Unit::G, Market::Metric) if left < Exact::whole(100) => Exact::whole(10),
        (Unit::G, Market::Metric) if left < Exact::whole(1000) => Exact::whole(50),
        (Unit::G, Market::Metric) => Exact::whole(100),
        // A quarter of a pound.
        (Unit::G, Market::Us) => Unit::Stick.base(Measures::UsCustomary).unwrap_or(Exact::ONE),
        (Unit::Ml, _) => Exact::whole(10),
        _ => Exact::ONE,
    };
    Purchase { exact: left, amount: left.up_to(step), unit: wanted.unit, packs: Vec::new() }
}

/// The packs that hold enough with least over; of two such choices the one of fewer packs.
fn fewest(sizes: &[Size], need: Exact) -> Vec<Packs> {
    let mut sizes: Vec<&Size> = sizes.iter().collect();
    sizes.order_by_key(|size| std::cmp::Reverse(size.counts));
    let (mut best, mut least): (Vec<u32>, Option<(Exact, u32)>) = (Vec::new(), None);
    let mut counts = vec![0; sizes.len()];
    choose(&sizes, need, 0, &mut counts, &mut |counts| {
        let held = |c: &[u32]| -> Exact {
            sizes.iter().zip(c).map(|(s, &n)| s.counts * Exact::whole(n.into())).sum()
        };
        let mark = (held(counts), counts.iter().fold(0, |a: u32, &b| a.saturating_add(b)));
        if least.is_none_or(|l| mark < l) {
            least = Some(mark);
            best = counts.to_vec();
        }
    });
    let packs = sizes.iter().zip(best).filter(|(_, count)| *count > 0);
    packs
        .map(|(size, count)| Packs {
            count,
            name: size.name.clone(),
            holds: size.holds,
            makes: size.makes,
        })
        .collect()
}

/// Every sensible choice: of each size but the smallest as many as fit or a few
/// less, the rest of the smallest.
fn choose(
    sizes: &[&Size],
    left: Exact,
    at: usize,
    counts: &mut [u32],
    tell: &mut impl FnMut(&[u32]),
) {
    let Some(size) = sizes.get(at) else { return };
    let whole = left.over(size.counts).map_or(Exact::ZERO, Exact::ceil).max(Exact::ZERO);
    let most = u32::try_from(whole.to_i64()).unwrap_or(u32::MAX);
    if at + 1 == sizes.len() {
        counts[at] = most;
        tell(counts);
        return;
    }
    for count in most.saturating_sub(6)..=most {
        counts[at] = count;
        let rest = left - size.counts * Exact::whole(count.into());
        choose(sizes, rest, at + 1, counts, tell);
    }
}

#[cfg(test)]
#[path = "buy_tests.rs"]
mod tests;
