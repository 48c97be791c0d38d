//! Amounts of one item put together: as they are where they are alike, by
//! named rows of the item table where they are not, apart where no row helps.

use std::collections::BTreeMap;

use crate::kitchen;
use crate::kitchen::items::{Amount, HowWeighed, Item, Market, NoWeight, Pack, Source, cut_form};
use crate::kitchen::units::{Dimension, Exact, Unit};
use crate::mise::amounts::Portion;
use crate::order::InOrder;

/// Amounts that can be summed as they are.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Class {
    /// Grams.
    Mass,
    /// Millilitres of the item cut in one way.
    Volume(String),
    /// Pieces, cloves, bunches of one size.
    Count(Unit, Option<String>),
    /// Cans, packets: of the size that the recipe says, in grams or millilitres,
    /// or of the usual one.
    Container(Unit, Option<(Exact, Unit)>),
}

/// An amount to be put together with others.
#[derive(Debug, Clone, Copy)]
pub(super) struct Measured<'a> {
    pub amount: Amount<'a>,
    /// What one can or packet holds, if that is said.
    pub pack: Option<kitchen::Pack>,
    /// The part of a piece that is used: its zest, its yolk.
    pub part: Option<&'a str>,
}

/// Amounts put together.
#[derive(Debug, Clone)]
pub(super) struct Lot<'a> {
    pub class: Class,
    /// In grams, millilitres or pieces.
    pub total: Exact,
    /// What was put together.
    pub amounts: Vec<Measured<'a>>,
    /// Where it comes from; empty for what lies in the house.
    pub portions: Vec<Portion<'a>>,
    /// The rows by which it was brought to grams.
    pub by: Vec<HowWeighed>,
}

impl<'a> Lot<'a> {
    fn empty(class: Class) -> Self {
        let (amounts, portions, by) = (Vec::new(), Vec::new(), Vec::new());
        Self { class, total: Exact::ZERO, amounts, portions, by }
    }

    /// A lot of one amount.
    pub fn of(measured: Measured<'a>) -> Self {
        let (class, total) = classed(&measured);
        Self { total, amounts: vec![measured], ..Self::empty(class) }
    }

    /// The unit that `total` counts.
    pub fn unit(&self) -> Unit {
        match self.class {
            Class::Mass => Unit::G,
            Class::Volume(_) => Unit::Ml,
            Class::Count(unit, _) | Class::Container(unit, _) => unit,
        }
    }

    /// Grams of the edible part of all of it, if rows say so.
    pub fn grams(&self, item: &Item, market: Market) -> Option<Exact> {
        self.amounts.iter().map(|a| grams(a, item, market).ok().map(|(g, _)| g)).sum()
    }
}

/// The class of an amount, and how much of the class's unit it is.
fn classed(of: &Measured<'_>) -> (Class, Exact) {
    let Amount { amount, unit, measures, size, cut } = of.amount;
    let base = unit.base(measures).unwrap_or(Exact::ONE);
    match unit.dimension() {
        Dimension::Mass => (Class::Mass, amount * base),
        Dimension::Volume => (Class::Volume(cut.map(cut_form).unwrap_or_default()), amount * base),
        Dimension::Count => (Class::Count(unit, size.map(str::to_owned)), amount),
        Dimension::Container => {
            let size = of.pack.and_then(|pack| {
                let base = pack.unit.base(measures)?;
                let mass = pack.unit.dimension() == Dimension::Mass;
                Some((pack.amount * base, if mass { Unit::G } else { Unit::Ml }))
            });
            (Class::Container(unit, size), amount)
        }
    }
}

/// Grams of the edible part of an amount, and the row that says so.
fn grams(of: &Measured<'_>, item: &Item, market: Market) -> Result<(Exact, HowWeighed), NoWeight> {
    if let (Class::Container(unit, size), amount) = classed(of) {
        let own = item.packs_of(market).find(|p| p.name == unit.name(Exact::ONE));
        let drained = own.and_then(|p| p.drained_g?.over(p.g?)).unwrap_or(Exact::ONE);
        let one = match size {
            Some((g, Unit::G)) => Some(g * drained),
            Some(_) => None,
            None => own.and_then(|p| p.drained_g.or(p.g)),
        };
        if let Some(g) = one {
            let source = own.map_or(Source::Memory, Pack::source);
            let by = HowWeighed::Piece { g, unit, size: None, source };
            return Ok((amount * g, by));
        }
    }
    item.grams(&of.amount).map(|w| (w.g, w.by))
}

/// Puts the amounts of one item together: a lot for each class; if there are
/// several, those that rows of the table turn into grams become one.
pub(super) fn lots<'a>(
    amounts: Vec<(Measured<'a>, Portion<'a>)>,
    item: Option<&Item>,
    market: Market,
) -> Vec<Lot<'a>> {
    let mut classes: BTreeMap<Class, Lot<'a>> = BTreeMap::new();
    for (measured, portion) in amounts {
        let (class, amount) = classed(&measured);
        let lot = classes.entry(class.clone()).or_insert_with(|| Lot::empty(class));
        lot.total = lot.total + amount;
        lot.amounts.push(measured);
        lot.portions.push(portion);
    }
    let lots: Vec<Lot<'a>> = classes.into_values().collect();
    match item {
        Some(item) if lots.len() > 1 => weighed(lots, item, market),
        _ => lots,
    }
}

fn weighed<'a>(lots: Vec<Lot<'a>>, item: &Item, market: Market) -> Vec<Lot<'a>> {
    let (heavy, mut rest): (Vec<_>, Vec<_>) =
        lots.into_iter().partition(|lot| lot.grams(item, market).is_some());
    if heavy.len() < 2 {
        rest.extend(heavy);
        rest.order_by(|a, b| a.class.cmp(&b.class));
        return rest;
    }
    let mut one = Lot::empty(Class::Mass);
    for lot in heavy {
        for of in &lot.amounts {
            let Ok((g, by)) = grams(of, item, market) else { continue };
            one.total = one.total + g;
            if by != HowWeighed::Weight && !one.by.contains(&by) {
                one.by.push(by);
            }
        }
        one.amounts.extend(lot.amounts);
        one.portions.extend(lot.portions);
    }
    rest.insert(0, one);
    rest
}
