//! What a line of a list asks, so that a tick does not stand for more than was bought, cut or laid out when it was
//! given: more guests, another dish or a swap ask anew.

use std::collections::BTreeMap;

use super::shopping::{self, Quantity};
use super::{amounts, knife};
use crate::kitchen::Evening;
use crate::kitchen::units::{Exact, Unit};

/// A tick off the trays begins with this, the dish's id follows.
pub const TRAYS: &str = "tray/";

/// The beginnings of all ticks that lists have, one for each.
pub const LISTS: [&str; 3] = [shopping::TICKS, knife::TICKS, TRAYS];

/// What a line asks.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Asked {
    /// How much; nothing where it is not said.
    much: Option<Quantity>,
    /// What lies on it, of a tray.
    things: Vec<String>,
}

impl Asked {
    /// Is what was ticked off enough for what is asked now?
    #[must_use]
    pub fn covers(&self, now: &Self) -> bool {
        let enough = match (self.much, now.much) {
            (Some(had), Some(now)) => had.unit == now.unit && had.amount >= now.amount,
            (None, Some(_)) => false,
            (_, None) => true,
        };
        enough && now.things.iter().all(|thing| self.things.contains(thing))
    }
}

/// What each line of the list asks that a tick is off, by its tick; nothing of a list that is not known.
#[must_use]
pub fn asked(evening: &Evening, dropped: &[usize], tick: &str) -> BTreeMap<String, Asked> {
    let of =
        |kind: &str, id: &str, much| (format!("{kind}{id}"), Asked { much, things: Vec::new() });
    if tick.starts_with(shopping::TICKS) {
        let lines = shopping::list_without(evening, dropped).lines;
        lines.iter().map(|l| of(shopping::TICKS, &l.id, l.need)).collect()
    } else if tick.starts_with(knife::TICKS) {
        let jobs = knife::pool_without(evening, dropped).jobs;
        jobs.iter().map(|j| of(knife::TICKS, &j.id, j.total)).collect()
    } else if tick.starts_with(TRAYS) {
        let tray = |sheet: &crate::kitchen::Sheet| {
            let much = Quantity { amount: Exact::whole(sheet.servings.into()), unit: Unit::Piece };
            let things = sheet.recipe.ingredients.iter().map(|i| i.item.clone()).collect();
            (format!("{TRAYS}{}", sheet.id), Asked { much: Some(much), things })
        };
        amounts::made(evening, dropped).map(tray).collect()
    } else {
        BTreeMap::new()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tick_covers_what_it_was_given_for_and_less() {
        let asked = |n: Option<i64>, unit: Unit, things: &[&str]| Asked {
            much: n.map(|n| Quantity { amount: Exact::whole(n), unit }),
            things: things.iter().map(|t| (*t).to_owned()).collect(),
        };
        let g = |n: i64| asked(Some(n), Unit::G, &[]);
        assert!(g(500).covers(&g(500)) && g(500).covers(&g(400)) && !g(500).covers(&g(501)));
        assert!(!g(500).covers(&asked(Some(3), Unit::Piece, &[])), "another measure");
        let taste = asked(None, Unit::G, &[]);
        assert!(taste.covers(&taste) && g(500).covers(&taste) && !taste.covers(&g(1)));
        let tray = |things: &[&str]| asked(Some(8), Unit::Piece, things);
        assert!(tray(&["leek", "almonds"]).covers(&tray(&["leek"])));
        assert!(!tray(&["leek", "almonds"]).covers(&tray(&["leek", "pumpkin seeds"])));
    }
}
