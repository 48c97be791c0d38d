//! No two dishes have one pan, each dish has pieces that hold what it makes, and
//! a step takes the places that its pieces need. Counted piece by piece from the
//! recipe's words, without [`crate::kitchen::pans`], by which plans are made.

use std::collections::BTreeSet;

use super::Check;
use super::places::{Places, Taking};
use crate::kitchen::{Cookware, CookwareNeed, Minute, Sheet, StationKind, Way};
use crate::plan::blocks::Block;

/// One pan: what it holds, ml, if that is known, and whether it may go into an oven.
#[derive(Clone, Copy)]
struct Piece {
    holds: Option<u32>,
    ovenproof: bool,
}

/// What a need asks in one load: pieces or a volume, and what the recipe says.
#[derive(Clone, Copy, Default)]
struct Demand {
    pieces: usize,
    total_ml: u64,
    stated: usize,
    each_ml: u64,
}

/// What a need asks for what is made at once.
fn demand(sheet: &Sheet, need: &CookwareNeed, way: Option<&Way>) -> Demand {
    let load = way.and_then(|w| w.load_servings);
    let made = f64::from(load.unwrap_or(sheet.servings).min(sheet.servings));
    let (written, count) = (f64::from(sheet.recipe.servings.max(1)), f64::from(need.count.max(1)));
    let up = |x: f64| (x - 1e-9).ceil().max(1.0);
    let stated = need.count.max(1) as usize;
    match need.least_ml.filter(|&ml| ml > 0) {
        Some(ml) => Demand {
            pieces: 1,
            total_ml: up(count * f64::from(ml) * made / written) as u64,
            stated,
            each_ml: u64::from(ml),
        },
        None if stated == 1 => Demand { pieces: 1, stated, ..Demand::default() },
        None => {
            let own = load.map_or(written, |load| f64::from(load).min(written));
            Demand { pieces: up(count * made / own) as usize, stated, ..Demand::default() }
        }
    }
}

/// How many of these pieces are used; None if they are not enough. `few` says
/// that the recipe's own number will do.
fn used(pieces: &[Piece], demand: Demand, few: bool) -> Option<usize> {
    let wanted = if few { demand.pieces.min(demand.stated) } else { demand.pieces };
    if demand.total_ml == 0 {
        return (pieces.len() >= wanted).then_some(wanted);
    }
    let hold = |n: &usize, unsaid: u64| {
        let nth = |p: &&Piece| {
            p.holds.map_or(unsaid, u64::from).saturating_mul(*n as u64) >= demand.total_ml
        };
        pieces.iter().filter(nth).count() >= *n
    };
    let unsaid = pieces.iter().filter(|p| p.holds.is_none()).count();
    let by_measure = (wanted.max(1)..=pieces.len()).find(|n| hold(n, demand.each_ml));
    // Pieces whose volume nobody stated are believed, if the recipe's number of them is there.
    let at_word = [unsaid.max(demand.stated), demand.stated];
    by_measure.or_else(|| at_word.into_iter().find(|n| hold(n, u64::MAX)))
}

const fn is_hot(kind: StationKind) -> bool {
    matches!(kind, StationKind::Oven | StationKind::Grill)
}

impl Check<'_> {
    pub(super) fn pans(&mut self) {
        let mut places = Places::new();
        for p in &self.plan.pans {
            let who = self.evening.sheets.get(p.dish).map_or_else(String::new, |s| s.id.clone());
            let count = self.ware(&p.cookware).map_or(0, |c| c.count);
            let begun = p.from < self.now();
            for &n in &p.numbers {
                if n >= count {
                    self.fault(format!("there is no {} number {n}", p.cookware));
                }
                let taking = Taking { from: p.from, to: p.to, begun, who: who.clone() };
                places.entry((p.cookware.clone(), n)).or_default().push(taking);
            }
        }
        self.apart(places);
        for (d, sheet) in self.wanted() {
            let needs = sheet.recipe.steps.iter().flat_map(|s| &s.cookware);
            let kinds: BTreeSet<&str> = needs.map(|c| c.kind.as_str()).collect();
            for kind in kinds {
                // Overnight the food is in containers and its pans are free.
                self.has_its_pan(d, kind, true);
                self.has_its_pan(d, kind, false);
            }
        }
    }

    fn ware(&self, id: &str) -> Option<&Cookware> {
        self.evening.kitchen.cookware.iter().find(|c| c.id == id)
    }

    /// Every single piece of a kind in the kitchen.
    fn all_of(&self, kind: &str) -> Vec<Piece> {
        let of_kind = self.evening.kitchen.cookware.iter().filter(|c| c.kind == kind);
        let piece = |c: &Cookware| Piece { holds: c.volume_ml, ovenproof: c.ovenproof };
        of_kind.flat_map(|c| std::iter::repeat_n(piece(c), c.count as usize)).collect()
    }

    /// The pieces of a kind that a dish has all the time from a minute to another.
    fn pieces(&self, dish: usize, kind: &str, from: Minute, to: Minute) -> Vec<Piece> {
        let mine = self.plan.pans.iter().filter(|p| p.dish == dish && p.from <= from && p.to >= to);
        let known = mine.filter_map(|p| Some((p, self.ware(&p.cookware)?)));
        let pieces = known.filter(|(_, c)| c.kind == kind).flat_map(|(p, c)| {
            p.numbers.iter().map(|_| Piece { holds: c.volume_ml, ovenproof: c.ovenproof })
        });
        pieces.collect()
    }

    /// A dish has its pans of a kind from the first step of a day that uses one to
    /// the end of the last.
    fn has_its_pan(&mut self, d: usize, kind: &str, day_before: bool) {
        let sheet = &self.evening.sheets[d];
        let (mut from, mut to) = (Minute::MAX, Minute::MIN);
        let (mut in_oven, mut begun) = (false, false);
        let mut asked = Demand::default();
        let steps = sheet.recipe.steps.iter().enumerate();
        for (s, step) in steps.filter(|(_, step)| step.day_before == day_before) {
            let loads = self.loads(d, s);
            for need in step.cookware.iter().filter(|c| c.kind == kind) {
                for block in &loads {
                    from = from.min(block.start);
                    to = to.max(block.end);
                    let at = self.evening.station(&block.station).map(|s| s.kind);
                    in_oven |= at.is_some_and(is_hot);
                    begun |= self.is_behind(block.key);
                }
                let way = loads.first().and_then(|b| step.ways.get(b.way));
                let more = demand(sheet, need, way);
                asked.pieces = asked.pieces.max(more.pieces);
                asked.total_ml = asked.total_ml.max(more.total_ml);
                asked.stated = asked.stated.max(more.stated);
                asked.each_ml = asked.each_ml.max(more.each_ml);
            }
        }
        if let Some(hold) = self.plan.holds.iter().find(|h| h.dish == d && !day_before)
            && let Some(named) = sheet.recipe.holds.get(hold.hold)
            && named.cookware.as_deref() == Some(kind)
        {
            to = to.max(hold.to);
        }
        let from = from.max(self.now());
        if from >= to {
            return;
        }
        // A kind of which too few may go in stays outside: the bowl of a topping.
        let all = self.all_of(kind);
        let proof: Vec<Piece> = all.iter().copied().filter(|p| p.ovenproof).collect();
        let must_be_proof = in_oven && used(&proof, asked, true).is_some();
        let mut has = self.pieces(d, kind, from, to);
        has.retain(|p| p.ovenproof || !must_be_proof);
        // All that there is will do, and what has begun has found its pans.
        let there = if must_be_proof { proof.len() } else { all.len() };
        let few = begun || asked.pieces > there;
        let short = asked.pieces > has.len() && !begun && has.len() < there;
        if short || used(&has, asked, few).is_none() {
            let (n, id) = (has.len(), &sheet.id);
            let (pieces, ml) = (asked.pieces, asked.total_ml);
            self.fault(format!(
                "{id} has {n} {kind} from {from} to {to}, for {pieces} pieces and {ml} ml"
            ));
        }
    }

    /// Places that a block takes by the pieces that its dish has: those of the way
    /// are for the recipe's own count. At the counter, and where a station holds
    /// the food itself, they are always the way's.
    pub(super) fn places_of(&self, block: &Block, way: &Way) -> usize {
        let own = way.slots as usize;
        let Some(sheet) = self.evening.sheets.get(block.key.dish) else { return own };
        let has = self.evening.station(&block.station).map_or(0, |s| s.slots as usize);
        let hot = match way.station {
            StationKind::Oven | StationKind::Grill => true,
            StationKind::Stovetop | StationKind::Fridge | StationKind::Freezer => false,
            _ => return own,
        };
        let of_need = |need: &CookwareNeed| {
            let pieces = self.pieces(block.key.dish, &need.kind, block.start, block.end);
            let goes_in = !hot || pieces.iter().all(|p| p.ovenproof);
            let asked = demand(sheet, need, Some(way));
            // All that it has, where the recipe would like more.
            let most = Demand { pieces: asked.pieces.min(pieces.len().max(asked.stated)), ..asked };
            let n = used(&pieces, most, true).filter(|_| goes_in && !pieces.is_empty())?;
            let n = if asked.total_ml == 0 { asked.pieces.min(pieces.len()) } else { n };
            Some((own * n).div_ceil(asked.stated))
        };
        let needs = self.step(block.key).map_or(&[][..], |s| &s.cookware);
        let deciding = if hot { needs.len() } else { needs.len().min(1) };
        let wanted = needs[..deciding].iter().filter_map(of_need).max().unwrap_or(own);
        if wanted > own { wanted.min(has.max(own)) } else { wanted }
    }
}
