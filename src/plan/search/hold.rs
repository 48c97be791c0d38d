//! How a finished dish waits: which ways there are, and what each costs.

use super::bits;
use super::model::{Model, NONE};
use super::oven::Stint;
use super::state::{State, setting_if_held};
use crate::plan::problem::{Dish, Limit, Use};

/// Limits of a way of waiting: option 0 is straight to the table, then the holds.
pub fn limits(m: &Model, dish: usize, option: usize) -> &[Limit] {
    let d = &m.p.dishes[dish];
    match option.checked_sub(1) {
        None => &d.straight,
        Some(h) => &d.holds[h].limits,
    }
}

/// The option of a hold index or [`NONE`].
pub const fn option(hold: usize) -> usize {
    if hold == NONE { 0 } else { hold + 1 }
}

/// Price of being ready and served when it is, whatever the hold.
pub fn ready_price(d: &Dish, ready: i32) -> i64 {
    let served = ready.max(d.due);
    let short = (d.cushion - (d.due - ready).max(0)).max(0);
    d.late_price * i64::from(served - d.due) + d.cushion_price * i64::from(short)
}

/// Price of waiting so long in a hold ([`NONE`]: straight); None if it must not.
pub fn wait_price(d: &Dish, hold: usize, waits: i32) -> Option<i64> {
    let Some(hold) = d.holds.get(hold) else {
        return (waits == 0).then_some(d.straight_price);
    };
    let past = |minutes: i32, price: i64| price * i64::from(minutes.max(0));
    let mut price = past(waits - hold.free, hold.price);
    if let Some((best, fee)) = hold.best {
        price += past(best - waits, fee);
    }
    match hold.soft_most {
        Some(fee) => price += past(waits - hold.most, fee),
        None if waits > hold.most => return None,
        None => {}
    }
    Some(price)
}

/// A way of waiting, and the earliest a dish may be out for it if it is ready in time.
#[derive(Debug, Clone, Copy)]
struct Way {
    hold: usize,
    from: i32,
}

/// The ways in which a dish could wait, given all else that stands.
#[derive(Debug)]
pub struct Outlook {
    dish: usize,
    ways: Vec<Way>,
}

impl Outlook {
    /// Looks how far before the due minute each place is free.
    pub fn new(state: &State, dish: usize) -> Self {
        let d = &state.m.p.dishes[dish];
        let all = std::iter::once(NONE).chain(0..d.holds.len());
        let may = all.filter(|&h| d.held.is_none_or(|held| held == h));
        let ways = may.map(|hold| Way { hold, from: free_since(state, dish, hold) });
        Self { dish, ways: ways.collect() }
    }

    /// The earliest minute at which the dish may be out.
    pub fn earliest(&self, state: &State) -> i32 {
        let due = state.m.p.dishes[self.dish].due;
        self.ways.iter().map(|w| w.from).min().unwrap_or(due).min(due)
    }

    /// The cheapest way to wait for a dish that is out and ready at these
    /// minutes: its price in all, and the hold. None if there is no way.
    pub fn best(&self, state: &State, out: i32, ready: i32) -> Option<(i64, usize)> {
        let d = &state.m.p.dishes[self.dish];
        let served = ready.max(d.due);
        let mut best: Option<(i64, usize)> = None;
        for way in &self.ways {
            if served == d.due && out < way.from {
                continue;
            }
            let Some(price) = wait_price(d, way.hold, served - out) else { continue };
            if best.is_some_and(|b| b.0 <= price) {
                continue;
            }
            let Some(over) = limits_price(state, self.dish, way.hold, served) else { continue };
            let price = price + over;
            if best.is_none_or(|b| price < b.0) && room(state, self.dish, way.hold, out, served) {
                best = Some((price, way.hold));
            }
        }
        best.map(|(price, hold)| (price + ready_price(d, ready), hold))
    }
}

/// The earliest minute from which a hold's places are free until the dish is due.
fn free_since(state: &State, dish: usize, hold: usize) -> i32 {
    let m = state.m;
    let d = &m.p.dishes[dish];
    let Some(h) = d.holds.get(hold) else { return d.due };
    let mut from = if h.soft_most.is_some() { i32::MIN / 4 } else { d.due - h.most.max(0) };
    if d.due <= 0 || d.due > m.room || d.held == Some(hold) {
        return from;
    }
    for u in &h.uses {
        from = from.max(bits::run_start(state.profiles[u.resource].free(u.amount), d.due));
    }
    from
}

/// Price of the limits of a way of waiting that points that stand exceed; None
/// if one of them must not be.
fn limits_price(state: &State, dish: usize, hold: usize, served: i32) -> Option<i64> {
    let mut price = 0;
    for limit in limits(state.m, dish, option(hold)) {
        if state.stands(limit.from.task) {
            let over = served - state.at(limit.from) - limit.most;
            if over > 0 {
                price += limit.soft_most? * i64::from(over);
            }
        }
    }
    Some(price)
}

/// Is there room to wait in the hold for these minutes?
fn room(state: &State, dish: usize, hold: usize, out: i32, served: i32) -> bool {
    let m = state.m;
    let Some(h) = m.p.dishes[dish].holds.get(hold) else { return true };
    if served <= out {
        return true;
    }
    let stays =
        || m.stays_through[dish].iter().all(|&s| keeps(state, s, (dish, hold), out, served));
    if m.p.dishes[dish].held == Some(hold) {
        let goes_on = |u: &Use| state.profiles[u.resource].goes_on(out, served, u.amount);
        let owner = m.p.tasks.len() + dish;
        let warm = h.oven.zip(setting_if_held(h)).is_none_or(|(o, c)| {
            let stint = Stint { start: out, end: served, lo: c, hi: c, owner };
            state.ovens[o.oven].goes_on(stint)
        });
        return warm && h.uses.iter().all(goes_on) && stays();
    }
    let free = h.uses.iter().all(|u| state.profiles[u.resource].fits(out, served, u.amount));
    let warm = h.oven.is_none_or(|o| {
        let (lo, hi) = h.setting_c.map_or((o.least_c, o.most_c), |c| (c, c));
        state.ovens[o.oven].fits(out, served, lo, hi)
    });
    free && warm && stays()
}

/// Would a stay that goes on through the hold have its resource so long?
fn keeps(state: &State, stay: usize, through: (usize, usize), out: i32, served: i32) -> bool {
    let s = &state.m.p.stays[stay];
    if !s.through_hold.contains(&through) {
        return true;
    }
    let (_, to) = state.ends_of_stay(stay);
    let from = to.map_or(out, |to| to.max(0));
    state.profiles[s.uses.resource].fits(from, served, s.uses.amount)
}

/// Settles how a dish waits whose last step stands; false if it cannot.
pub fn settle(state: &mut State, dish: usize) -> bool {
    if state.settled[dish] {
        return true;
    }
    let Some((out, ready)) = state.made(dish) else { return false };
    match Outlook::new(state, dish).best(state, out, ready) {
        Some((_, hold)) => {
            state.settle(dish, hold);
            true
        }
        None => false,
    }
}
