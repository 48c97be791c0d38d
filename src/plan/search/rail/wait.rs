//! How a dish waits that is put in: the cheapest way for which there is room.

use super::board::Board;
use super::heat::Heat;
use super::{Need, Rail, Way};
use crate::plan::problem::Hold;
use crate::plan::search::hold::{self, limits, option, wait_price};
use crate::plan::search::model::{Model, NONE};

/// What a hold takes.
pub fn way(board: &Board, hold: &Hold) -> Way {
    let need = |u: &crate::plan::problem::Use| Need {
        resource: u.resource,
        units: board.units(u.resource, u.amount),
        from: 0,
        to: 0,
    };
    let heat = Heat::of(hold.oven);
    Way {
        needs: hold.uses.iter().map(need).collect(),
        heat: hold.setting_c.map_or(heat, |c| heat.map(|h| h.set_to(c))),
        ..Way::default()
    }
}

/// What a hold takes. A wait that has begun goes on wherever it is: it was
/// looked at when it began.
fn taken<'a>(m: &Model, holds: &'a [Vec<Way>], d: usize, hold: usize) -> Option<&'a Way> {
    if m.p.dishes[d].held == Some(hold) { None } else { holds[d].get(hold) }
}

impl Rail<'_> {
    /// Lets a dish wait if it is made; false if it is and cannot.
    pub(super) fn settle(&mut self, d: usize) -> bool {
        self.settle_rather(d, None)
    }

    /// The same, in a certain hold ([`NONE`]: straight to the table) if it can be.
    pub(super) fn settle_rather(&mut self, d: usize, rather: Option<usize>) -> bool {
        if self.now.settled[d] {
            return true;
        }
        let Some((out, ready)) = self.now.laid.made(d) else { return true };
        let served = ready.max(self.m.p.dishes[d].due);
        let wished = rather.filter(|&hold| self.price_in(d, hold, out, served).is_some());
        let wished = wished.filter(|&hold| self.has_room(d, hold, out, served));
        let Some(hold) = wished.or_else(|| self.cheapest(d, out, served)) else { return false };
        self.now.settled[d] = true;
        self.now.served[d] = served;
        self.now.laid.hold[d] = hold;
        if let Some(way) = taken(self.m, &self.holds, d, hold) {
            for need in &way.needs {
                self.now.board.take(need.resource, need.units, out, served);
            }
            if let Some(heat) = way.heat.filter(|_| served > out) {
                let owner = self.m.p.tasks.len() + d;
                self.now.heats[heat.oven].push(heat.at(out, served).of_owner(owner));
            }
        }
        self.refresh_through(d);
        true
    }

    /// Takes a dish from where it waits, unless it did before all this began.
    pub(super) fn unsettle(&mut self, d: usize) {
        if !self.now.settled[d] || self.now.laid.held_already(d) {
            return;
        }
        let (hold, served) = (self.now.laid.hold[d], self.now.served[d]);
        let out = self.now.laid.made(d).map_or(served, |made| made.0);
        if let Some(way) = taken(self.m, &self.holds, d, hold) {
            for need in &way.needs {
                self.now.board.give(need.resource, need.units, out, served);
            }
            if let Some(heat) = way.heat {
                let owner = self.m.p.tasks.len() + d;
                self.now.heats[heat.oven].retain(|o| o.owner != owner);
            }
        }
        self.now.settled[d] = false;
        self.now.laid.hold[d] = NONE;
        self.refresh_through(d);
    }

    fn refresh_through(&mut self, d: usize) {
        let m = self.m;
        for &stay in &m.stays_through[d] {
            self.refresh_stay(stay);
        }
    }

    /// The cheapest way for a dish to wait for which there is room.
    fn cheapest(&self, d: usize, out: i32, served: i32) -> Option<usize> {
        let dish = &self.m.p.dishes[d];
        let all = std::iter::once(NONE).chain(0..dish.holds.len());
        let mut best = None;
        for h in all {
            let Some(price) = self.price_in(d, h, out, served) else { continue };
            let priced = (price, h);
            if best.is_none_or(|best| priced < best) && self.has_room(d, h, out, served) {
                best = Some(priced);
            }
        }
        best.map(|best| best.1)
    }

    /// What it costs a dish to wait in a hold, room or not; None if it must not.
    fn price_in(&self, d: usize, hold: usize, out: i32, served: i32) -> Option<i64> {
        let dish = &self.m.p.dishes[d];
        dish.held.is_none_or(|held| held == hold).then_some(())?;
        let price = wait_price(dish, hold, served - out)?;
        Some(price + hold::limits_price(&self.now.laid, d, hold, served)?)
    }

    fn has_room(&self, d: usize, hold: usize, out: i32, served: i32) -> bool {
        let m = self.m;
        let Some(way) = taken(self.m, &self.holds, d, hold) else { return true };
        if served <= out {
            return true;
        }
        let board = &self.now.board;
        let busy = |n: &Need| board.first_busy(n.resource, n.units, out, served).is_some();
        let in_the_way = || {
            way.heat.map(|h| h.at(out, served)).is_some_and(|heat| {
                let oven = &m.p.ovens[heat.oven];
                out < heat.warm(oven)
                    || self.now.heats[heat.oven].iter().any(|o| heat.after(oven, o).is_some())
            })
        };
        !way.needs.iter().any(busy)
            && !in_the_way()
            && m.stays_through[d].iter().all(|&s| self.keeps(s, (d, hold), served))
    }

    /// Would a stay that goes on through the hold have its resource so long?
    fn keeps(&self, stay: usize, through: (usize, usize), served: i32) -> bool {
        let s = &self.m.p.stays[stay];
        let units = self.now.board.units(s.uses.resource, s.uses.amount);
        match self.now.stays[stay] {
            (_, Some(to)) if s.through_hold.contains(&through) => {
                self.now.board.first_busy(s.uses.resource, units, to, served).is_none()
            }
            _ => true,
        }
    }

    /// The first start of a task at which a dish that is settled exceeds no limit.
    pub(super) fn by_limits(&self, t: usize) -> i32 {
        let m = self.m;
        let mut least = i32::MIN;
        for &(d, which, i) in &m.limits_of[t] {
            if self.now.settled[d] && option(self.now.laid.hold[d]) == which {
                let limit = &limits(m, d, which)[i];
                if limit.soft_most.is_none() {
                    let own = if limit.from.end { self.way(t).minutes } else { 0 };
                    least = least.max(self.now.served[d] - limit.most - own);
                }
            }
        }
        least
    }
}
