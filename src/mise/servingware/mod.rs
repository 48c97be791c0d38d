//! Each dish to the serving dish that fits it most tightly, all dishes at once:
//! by volume or area, by what may go into the oven, keeps hot or cold, has a
//! lid, is flat or deep; a piece is used again where the times allow. Where
//! that cannot be, which dishes clash and what is to be borrowed.
//!
//! `need` says what a dish asks, `fit` what suits it, `pattern` in how many
//! pieces, `search` who gets what, `number` which of several alike, `clash`
//! why not, `words` all of it for the cook.

mod clash;
mod fit;
mod need;
mod number;
mod pattern;
mod search;
#[cfg(test)]
mod tests;
pub mod words;

pub use clash::{Borrow, Clash};
pub use fit::{Fit, Holds, ML_A_CM2, ONE_MORE, Unfit, fit};
pub use need::{DISHING_MINUTES, HEADROOM_PERCENT, Need, WASHING_MINUTES, needs, served_at};
pub use words::{Row, clash_lines, clash_of, rows, summary};

use crate::kitchen::{Evening, Minute, Servingware};
use crate::order::InOrder;
use crate::plan::Plan;
use pattern::{Patterns, patterns};
use search::{Case, search};

/// Which dish goes to the table in what.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Laying {
    /// One for each dish that is served, in their order.
    pub places: Vec<Place>,
    /// What cannot be, and what would help; empty if every dish has its place.
    pub clashes: Vec<Clash>,
    /// Empty space in all pieces, and what is not quite right, in ml.
    pub cost: i64,
    /// Nothing fits more tightly, and no more dishes could be served.
    pub proved: bool,
}

impl Laying {
    /// Was it made for these?
    #[must_use]
    pub fn is_for(&self, needs: &[Need]) -> bool {
        self.places.iter().map(|p| &p.need).eq(needs)
    }
}

/// A dish and what it is served in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// What it asks.
    pub need: Need,
    /// Its pieces; empty for a dish that comes in its pan, or that has none.
    pub pieces: Vec<Piece>,
    /// Of which wares some piece would be large enough, or part of a set that
    /// is, were nobody else there.
    pub could: Vec<usize>,
}

/// A piece of servingware.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Piece {
    /// Index of the ware in the kitchen.
    pub ware: usize,
    /// Which of its pieces, from 0.
    pub number: u32,
    /// What it holds of the food.
    pub holds: Holds,
}

impl Place {
    /// Has it something to come to the table in?
    #[must_use]
    pub fn is_served(&self) -> bool {
        !self.need.wants_one() || !self.pieces.is_empty()
    }
}

/// The serving dishes of an evening, but for dishes that are not made; without a
/// plan by the party's own times.
#[must_use]
pub fn lay(evening: &Evening, plan: Option<&Plan>, dropped: &[usize]) -> Laying {
    lay_out(&evening.kitchen.servingware, &wanted(evening, plan, dropped))
}

/// What the dishes that are made ask for.
#[must_use]
pub fn wanted(evening: &Evening, plan: Option<&Plan>, dropped: &[usize]) -> Vec<Need> {
    let mut needs = needs(evening, plan);
    needs.retain(|need| !dropped.contains(&need.dish));
    needs
}

/// The serving dishes for these needs.
#[must_use]
pub fn lay_out(wares: &[Servingware], needs: &[Need]) -> Laying {
    let table = Table::new(wares, needs);
    let found = search(&table.case());
    let given = |at: usize| {
        let pattern = found.chosen.get(at).copied().flatten();
        pattern.and_then(|p| table.sets.get(at)?.all.get(p))
    };
    let uses: Vec<number::Use> = (0..table.asking.len())
        .flat_map(|at| {
            let (from, to) = table.span(at);
            let pattern = given(at).map_or(&[][..], |p| &p.uses);
            pattern.iter().map(move |&(ware, pieces)| number::Use {
                dish: at,
                ware,
                pieces,
                from,
                to,
            })
        })
        .collect();
    let numbers = number::numbers(&uses);
    let pieces = |need: &Need, at: usize| {
        let own = uses.iter().zip(&numbers).filter(|(u, _)| u.dish == at);
        let of = own.flat_map(|(u, numbers)| {
            let holds = wares.get(u.ware).and_then(|w| fit(need, w).ok()).map(|f| f.holds);
            numbers
                .iter()
                .filter_map(move |&number| Some(Piece { ware: u.ware, number, holds: holds? }))
        });
        let mut pieces: Vec<Piece> = of.collect();
        pieces.order_by_key(|p| (p.ware, p.number));
        pieces
    };
    let places = needs.iter().enumerate().map(|(index, need)| {
        let at = table.asking.iter().position(|&i| i == index);
        let could = at.and_then(|at| table.sets.get(at)).map_or_else(Vec::new, Patterns::wares);
        let pieces = at.map_or_else(Vec::new, |at| pieces(need, at));
        Place { need: need.clone(), pieces, could }
    });
    let places: Vec<Place> = places.collect();
    let served = places.iter().all(Place::is_served);
    // A kitchen that lists none is one whose dishes were not entered: nothing is missing from it.
    let clashes =
        if served || wares.is_empty() { Vec::new() } else { clash::clashes(wares, needs) };
    let cut = table.sets.iter().any(|s| s.cut);
    let cost = (0..table.asking.len()).filter_map(given).map(|p| p.cost).sum();
    Laying { places, clashes, cost, proved: found.proved && !cut }
}

/// The dishes that ask for something, with the sets that hold them.
struct Table<'a> {
    needs: &'a [Need],
    /// Indexes of the needs that ask for something.
    asking: Vec<usize>,
    /// The sets of each of those.
    sets: Vec<Patterns>,
    stock: Vec<u32>,
}

impl<'a> Table<'a> {
    fn new(wares: &[Servingware], needs: &'a [Need]) -> Self {
        let asking: Vec<usize> =
            (0..needs.len()).filter(|&i| needs.get(i).is_some_and(Need::wants_one)).collect();
        let need = |&i: &usize| needs.get(i);
        let sets = asking.iter().filter_map(need).map(|n| patterns(n, wares)).collect();
        Self { needs, asking, sets, stock: wares.iter().map(|w| w.count).collect() }
    }

    fn span(&self, at: usize) -> (Minute, Minute) {
        let need = self.asking.get(at).and_then(|&i| self.needs.get(i));
        need.map_or((0, 0), |n| (n.from, n.to.saturating_add(WASHING_MINUTES)))
    }

    fn case(&self) -> Case<'_> {
        Case {
            patterns: self.sets.iter().map(|s| s.all.as_slice()).collect(),
            spans: (0..self.asking.len()).map(|at| self.span(at)).collect(),
            stock: self.stock.clone(),
        }
    }
}
