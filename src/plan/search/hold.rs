//! How a finished dish waits: which ways there are, and what each costs.

use super::bits;
use super::laid::Laid;
use super::model::{Model, NONE};
use super::offer::{NEVER, Sum, Term};
use super::oven::Stint;
use super::price;
use super::state::{State, setting_if_held};
use crate::plan::problem::{Dish, Limit, Schedule, Use};

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
#[derive(Debug, Clone, Default)]
pub struct Outlook {
    dish: usize,
    ways: Vec<Way>,
    sum: Sum,
    /// What the cheapest wait costs from each start.
    least: Vec<i64>,
    /// The stretches of starts looked at, and those of one way.
    runs: Vec<(i32, i32)>,
    cut: Vec<(i32, i32)>,
}

impl Outlook {
    /// Looks how far before the due minute each place is free.
    pub fn look(&mut self, state: &State, dish: usize) {
        let d = &state.m.p.dishes[dish];
        let all = std::iter::once(NONE).chain(0..d.holds.len());
        let may = all.filter(|&h| d.held.is_none_or(|held| held == h));
        self.dish = dish;
        self.ways.clear();
        self.ways.extend(may.map(|hold| Way { hold, from: free_since(state, dish, hold) }));
    }

    /// The earliest minute at which the dish may be out.
    pub fn earliest(&self, state: &State) -> i32 {
        let due = state.m.p.dishes[self.dish].due;
        self.ways.iter().map(|w| w.from).min().unwrap_or(due).min(due)
    }

    /// The cheapest way to wait for a dish that is out and ready at these
    /// minutes: its price in all, and the hold. None if there is no way.
    fn best(&self, state: &State, out: i32, ready: i32) -> Option<(i64, usize)> {
        let mut best: Option<(i64, usize)> = None;
        for way in &self.ways {
            let most = best.map_or(i64::MAX, |b| b.0);
            if let Some(price) = self.price_below(most, state, *way, (out, ready)) {
                best = Some((price, way.hold));
            }
        }
        let d = &state.m.p.dishes[self.dish];
        best.map(|(price, hold)| (price + ready_price(d, ready), hold))
    }

    /// What one way of waiting costs; None if the dish cannot wait like that, or not for less than `most`.
    fn price_below(
        &self,
        most: i64,
        state: &State,
        way: Way,
        (out, ready): (i32, i32),
    ) -> Option<i64> {
        let d = &state.m.p.dishes[self.dish];
        let served = ready.max(d.due);
        if served == d.due && out < way.from {
            return None;
        }
        let price = wait_price(d, way.hold, served - out).filter(|p| *p < most)?;
        let price = price + limits_price(state, self.dish, way.hold, served)?;
        (price < most && room(state, self.dish, way.hold, out, served)).then_some(price)
    }

    /// Can the dish wait in this hold ([`NONE`]: go straight to the table)?
    fn may(&self, state: &State, hold: usize, made: (i32, i32)) -> bool {
        let way = self.ways.iter().find(|w| w.hold == hold);
        way.is_some_and(|w| self.price_below(i64::MAX, state, *w, made).is_some())
    }

    /// Adds to what each start of a set costs the cheapest wait that it leads to.
    /// `lo` is the first start, whose costs the list begins with; the dish is
    /// ready `minutes` after a start and was out `before` minutes earlier.
    pub fn add(
        &mut self,
        state: &State,
        (lo, minutes, before): (i32, i32, i32),
        runs: &[(i32, i32)],
        cost: &mut [i64],
    ) {
        let due = state.m.p.dishes[self.dish].due;
        // Starts from which the dish is ready later than it is due.
        let late = due.saturating_sub(minutes).saturating_add(1);
        self.least.clear();
        self.least.resize(cost.len(), NEVER);
        self.cut_runs(runs, (i32::MIN, late));
        self.in_time(state, lo, minutes, before);
        self.cut_runs(runs, (late, i32::MAX));
        if before == 0 {
            self.too_late(state, lo, minutes);
        } else {
            for s in self.runs.iter().flat_map(|&(from, past)| from..past) {
                let ready = s + minutes;
                if let Some((price, _)) = self.best(state, ready - before, ready) {
                    self.least[(s - lo) as usize] = price;
                }
            }
        }
        let scale = state.m.scale;
        for &(from, past) in runs {
            let both = (from - lo) as usize..(past - lo) as usize;
            for (cost, &wait) in cost[both.clone()].iter_mut().zip(&self.least[both]) {
                *cost = if wait >= NEVER { NEVER } else { *cost + wait * scale };
            }
        }
    }

    /// Takes over what lies of the runs in a stretch.
    fn cut_runs(&mut self, runs: &[(i32, i32)], (from, past): (i32, i32)) {
        self.runs.clear();
        let cut = runs.iter().map(|r| (r.0.max(from), r.1.min(past)));
        self.runs.extend(cut.filter(|r| r.0 < r.1));
    }

    /// The least prices of starts from which the dish is ready when it is due.
    fn in_time(&mut self, state: &State, lo: i32, minutes: i32, before: i32) {
        let d = &state.m.p.dishes[self.dish];
        // A start and the minute at which the dish is then out.
        let shift = minutes - before;
        for i in 0..self.ways.len() {
            let Way { hold, from } = self.ways[i];
            let Some(over) = limits_price(state, self.dish, hold, d.due) else { continue };
            let Some(first) = self.first_room(state, hold, from.saturating_sub(shift), shift)
            else {
                continue;
            };
            let terms = &mut self.sum.terms;
            terms.clear();
            let at = |waits: i32| d.due.saturating_sub(waits).saturating_sub(shift);
            let cushion = d.due.saturating_sub(d.cushion).saturating_sub(minutes);
            terms.push(Term::Over(cushion, d.cushion_price));
            let mut fixed = over;
            if let Some(h) = d.holds.get(hold) {
                terms.push(Term::Under(at(h.free), h.price));
                if let Some((best, fee)) = h.best {
                    terms.push(Term::Over(at(best), fee));
                }
                if let Some(fee) = h.soft_most {
                    terms.push(Term::Under(at(h.most), fee));
                }
            } else {
                fixed += d.straight_price;
            }
            self.lower(lo, (first, i32::MAX), fixed);
        }
    }

    /// The first start of the runs from which the dish may wait in the hold till
    /// it is due; where it may from one start it may from every later one.
    fn first_room(&self, state: &State, hold: usize, first: i32, shift: i32) -> Option<i32> {
        let d = &state.m.p.dishes[self.dish];
        let fits = |s: i32| match d.holds.get(hold) {
            None => s + shift == d.due,
            Some(_) => room(state, self.dish, hold, s + shift, d.due),
        };
        let first = first.max(self.runs.first()?.0);
        let last = self.runs.last()?.1 - 1;
        if first > last || !fits(last) {
            return None;
        }
        if fits(first) {
            return Some(first);
        }
        let (mut yes, mut no) = (last, first);
        while yes - no > 1 {
            let middle = no + (yes - no) / 2;
            if fits(middle) { yes = middle } else { no = middle }
        }
        Some(yes)
    }

    /// The least prices of starts from which the dish is late: it does not wait.
    fn too_late(&mut self, state: &State, lo: i32, minutes: i32) {
        let m = state.m;
        let d = &m.p.dishes[self.dish];
        for i in 0..self.ways.len() {
            let hold = self.ways[i].hold;
            let Some(price) = wait_price(d, hold, 0) else { continue };
            let terms = &mut self.sum.terms;
            terms.clear();
            terms.push(Term::Over(d.due - minutes, d.late_price));
            let mut upto = i32::MAX;
            for limit in limits(m, self.dish, option(hold)) {
                if state.stands(limit.from.task) {
                    let last = state.at(limit.from).saturating_add(limit.most) - minutes;
                    match limit.soft_most {
                        Some(fee) => terms.push(Term::Over(last, fee)),
                        None => upto = upto.min(last.saturating_add(1)),
                    }
                }
            }
            let fixed = price + d.cushion_price * i64::from(d.cushion.max(0));
            self.lower(lo, (i32::MIN, upto), fixed);
        }
    }

    /// Lowers the least prices to those of the sum, over what lies of the runs in a stretch.
    fn lower(&mut self, lo: i32, (from, past): (i32, i32), fixed: i64) {
        let Self { sum, least, runs, cut, .. } = self;
        cut.clear();
        cut.extend(runs.iter().map(|r| (r.0.max(from), r.1.min(past))).filter(|r| r.0 < r.1));
        sum.lines(cut, |from, past, value, slope| {
            let mut price = fixed + value;
            for slot in &mut least[(from - lo) as usize..(past - lo) as usize] {
                *slot = (*slot).min(price);
                price += slope;
            }
        });
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
        let since = bits::run_start(state.profiles[u.resource].free(u.amount), d.due);
        // Free from the first minute on is free before: what was then does not count.
        if since > 0 {
            from = from.max(since);
        }
    }
    from
}

/// Price of the limits of a way of waiting that points that stand exceed; None
/// if one of them must not be.
pub fn limits_price(state: &Laid, dish: usize, hold: usize, served: i32) -> Option<i64> {
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
    let stays =
        || m.stays_through[dish].iter().all(|&s| keeps(state, s, (dish, hold), out, served));
    if served <= out {
        return stays();
    }
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
    free && warm && stays() && together(state, (dish, hold), out, served)
}

/// Is there room for what the hold and the stays that go on through it take of one resource together?
fn together(state: &State, through: (usize, usize), out: i32, served: i32) -> bool {
    let m = state.m;
    let (dish, hold) = through;
    let stays = |r: usize| {
        let all = m.stays_through[dish].iter().map(|&s| (s, &m.p.stays[s]));
        all.filter(move |(_, s)| s.uses.resource == r && s.through_hold.contains(&through))
    };
    m.stays_through[dish].iter().map(|&s| m.p.stays[s].uses.resource).all(|r| {
        let uses = m.p.dishes[dish].holds[hold].uses.iter().filter(|u| u.resource == r);
        let own: i32 = uses.map(|u| u.amount).sum();
        let alone = stays(r).count() + usize::from(own > 0) <= 1;
        alone
            || (out.max(0)..served).all(|minute| {
                let gone_on = |s: usize| state.ends_of_stay(s).1.is_none_or(|to| to <= minute);
                let kept = stays(r).filter(|(s, _)| gone_on(*s)).map(|(_, s)| s.uses.amount);
                state.profiles[r].left(minute) >= own + kept.sum::<i32>()
            })
    })
}

/// Would a stay that goes on through the hold have its resource so long?
fn keeps(state: &State, stay: usize, through: (usize, usize), out: i32, served: i32) -> bool {
    let s = &state.m.p.stays[stay];
    if !s.through_hold.contains(&through) {
        return true;
    }
    let (since, to) = state.ends_of_stay(stay);
    let since = since.unwrap_or(i32::MIN);
    let from = to.unwrap_or(out).max(since).max(0);
    let profile = &state.profiles[s.uses.resource];
    // What has been in too full a place all the time may stay as it is, and no longer.
    let held = state.m.p.dishes[through.0].held == Some(through.1);
    let crowded = || (since.max(0)..from).any(|minute| profile.left(minute) < 0);
    profile.fits(from, served, s.uses.amount) && (held || !crowded())
}

/// Settles how a dish waits whose last step stands; false if it cannot.
pub fn settle(state: &mut State, dish: usize) -> bool {
    settle_rather(state, dish, None)
}

/// The same, in a certain hold ([`NONE`]: straight to the table) if it can be.
fn settle_rather(state: &mut State, dish: usize, rather: Option<usize>) -> bool {
    if state.settled[dish] {
        return true;
    }
    let Some((out, ready)) = state.made(dish) else { return false };
    let mut outlook = Outlook::default();
    outlook.look(state, dish);
    let wished = rather.filter(|hold| outlook.may(state, *hold, (out, ready)));
    match wished.or_else(|| Some(outlook.best(state, out, ready)?.1)) {
        Some(hold) => {
            state.settle(dish, hold);
            true
        }
        None => false,
    }
}

/// Settles how all dishes wait, each as is cheapest by itself, or as another schedule has it, where that leaves fewer without
/// a wait or is no dearer: one that waits where it is cheapest for it may take the place of another that can only wait there.
/// Gives those that cannot.
pub fn settle_all(state: &mut State, like: &Schedule) -> Vec<usize> {
    let open: Vec<usize> = (0..state.settled.len()).filter(|&d| !state.settled[d]).collect();
    let own = |d: usize| like.hold[d].unwrap_or(NONE);
    let alone = settle_each(state, &open, |_| None);
    if alone.is_empty() && open.iter().all(|&d| state.hold[d] == own(d)) {
        return alone;
    }
    let price_of = |state: &State, without: &[usize]| {
        (without.len(), if without.is_empty() { price::cost(state).total() } else { 0 })
    };
    let price_alone = price_of(state, &alone);
    let there = settle_each(state, &open, |d| Some(own(d)));
    if price_of(state, &there) <= price_alone {
        return there;
    }
    settle_each(state, &open, |_| None)
}

/// Settles these dishes anew, in a certain hold where there is one to be rather; gives those that cannot wait at all.
fn settle_each(
    state: &mut State,
    open: &[usize],
    rather: impl Fn(usize) -> Option<usize>,
) -> Vec<usize> {
    open.iter().for_each(|&d| state.unsettle(d));
    open.iter().copied().filter(|&d| !settle_rather(state, d, rather(d))).collect()
}

#[cfg(test)]
mod tests {
    use super::super::rail::Orders;
    use super::super::tests::steps;
    use super::*;
    use crate::plan::problem::{Hold, Problem};

    /// Two dishes of ten minutes, due at 60: one place is the cheapest to wait in for both, and the only one for the second.
    fn problem() -> Problem {
        let place = |resource, price| {
            let uses = vec![Use { resource, amount: 1 }];
            Hold { uses, price, most: 60, ..Hold::default() }
        };
        let dish = |last_step, holds| Dish { last_step, due: 60, holds, ..Dish::default() };
        Problem {
            dishes: vec![dish(0, vec![place(0, 1), place(1, 3)]), dish(1, vec![place(0, 1)])],
            ..steps(&[(10, &[]), (10, &[])])
        }
    }

    #[test]
    fn a_dish_leaves_its_cheapest_wait_to_one_that_can_wait_nowhere_else() {
        let p = problem();
        let m = Model::new(&p);
        let stands = || {
            let mut state = State::new(&m);
            state.place(0, 30, NONE);
            state.place(1, 40, NONE);
            state
        };
        let mut alone = stands();
        assert!(settle(&mut alone, 0) && !settle(&mut alone, 1), "each by itself they clash");
        let mut like = alone.schedule();
        like.hold = vec![Some(1), Some(0)];
        let mut state = stands();
        assert!(settle_all(&mut state, &like).is_empty());
        assert_eq!(state.schedule().hold, like.hold);
        assert_eq!(price::cost(&state).total(), 20 * 3 + 10);
        let mut orders = Orders::new(&State::new(&m), &like).expect("orders begin from it as well");
        assert_eq!(orders.schedule().hold, like.hold);
        // A schedule that says nothing of use: the first that comes waits where it likes.
        like.hold = vec![None, None];
        let mut state = stands();
        assert_eq!(settle_all(&mut state, &like), [1]);
        assert_eq!(state.schedule().hold[0], Some(0));
    }

    /// Where each may wait where it likes, what is cheaper than the schedule's own wait is taken.
    #[test]
    fn a_cheaper_wait_than_the_schedules_is_taken() {
        let p = problem();
        let m = Model::new(&p);
        let mut state = State::new(&m);
        state.place(0, 10, NONE);
        state.place(1, 50, NONE);
        let mut like = state.schedule();
        like.hold = vec![Some(1), None];
        assert!(settle_all(&mut state, &like).is_empty());
        assert_eq!(state.schedule().hold[0], Some(0));
        let orders = Orders::new(&State::new(&m), &like);
        assert_eq!(orders.expect("orders").schedule().hold[0], Some(0));
    }
}
