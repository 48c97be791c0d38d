//! The whole cost of a schedule in the making, all of whose tasks stand.

use super::hold;
use super::insert::mode_price;
use super::laid::Laid;
use super::offer::Day;
use crate::plan::Cost;

/// The cost term by term.
pub fn cost(state: &Laid) -> Cost {
    let m = state.m;
    let mut cost = Cost::default();
    for (d, dish) in m.p.dishes.iter().enumerate() {
        let Some((out, ready)) = state.made(d) else { continue };
        let served = ready.max(dish.due);
        let late = dish.late_price * i64::from(served - dish.due);
        cost.late += late;
        cost.risk += hold::ready_price(dish, ready) - late;
        let waits = served - out;
        let over = dish
            .holds
            .get(state.hold[d])
            .map_or(0, |h| h.soft_most.map_or(0, |fee| fee * i64::from((waits - h.most).max(0))));
        cost.late += over;
        cost.quality += hold::wait_price(dish, state.hold[d], waits).unwrap_or(0) - over;
        for limit in hold::limits(m, d, hold::option(state.hold[d])) {
            if let (Some(fee), true) = (limit.soft_most, state.active(limit.from.task)) {
                let over = served - state.at(limit.from) - limit.most;
                cost.late += fee * i64::from(over.max(0));
            }
        }
    }
    for (step, &mode) in state.mode.iter().enumerate() {
        let own = m.p.steps[step].modes[mode].price;
        cost.quality += own;
        cost.change += mode_price(m, step, mode) - own;
    }
    for lag in &m.p.lags {
        if (lag.best.is_some() || lag.soft_most.is_some())
            && state.active(lag.from.task)
            && state.active(lag.to.task)
        {
            let gap = state.at(lag.to) - state.at(lag.from);
            if let Some((best, fee)) = lag.best {
                cost.quality += fee * i64::from((best - gap).max(0));
            }
            if let Some(fee) = lag.soft_most.filter(|_| lag.most != i32::MAX) {
                cost.late += fee * i64::from((gap - lag.most).max(0));
            }
        }
    }
    for anchor in m.p.anchors.iter().filter(|a| state.active(a.task)) {
        cost.change += anchor.price * i64::from((state.start[anchor.task] - anchor.start).abs());
    }
    cost.effort = effort(state);
    if m.p.finish_price != 0 {
        let ends = (0..state.start.len()).filter(|&t| state.active(t)).map(|t| state.end(t));
        // The outside counts from its own minute 0.
        let last = ends.max().map_or(0, |end| i64::from(end) + i64::from(m.shift));
        cost.finish = m.p.finish_price * last;
    }
    cost
}

/// What each unit costs by itself: its dishes late, waiting or short of
/// cushion, and waits too long between its steps.
pub fn by_unit(state: &Laid) -> Vec<i64> {
    let m = state.m;
    let mut prices = vec![0i64; m.units.len()];
    for (d, dish) in m.p.dishes.iter().enumerate() {
        let Some((out, ready)) = state.made(d) else { continue };
        let waits = hold::wait_price(dish, state.hold[d], ready.max(dish.due) - out).unwrap_or(0);
        prices[m.unit_of[dish.last_step]] += hold::ready_price(dish, ready) + waits;
    }
    for lag in m.p.lags.iter().filter(|l| l.soft_most.is_some() && l.most != i32::MAX) {
        if state.active(lag.from.task) && state.active(lag.to.task) {
            let gap = state.at(lag.to) - state.at(lag.from);
            let over = i64::from((gap - lag.most).max(0));
            let unit = m.unit_of[m.p.tasks[lag.to.task].step];
            prices[unit] += over * lag.soft_most.unwrap_or(0);
        }
    }
    prices
}

fn effort(state: &Laid) -> i64 {
    let m = state.m;
    let mut price = 0;
    if m.p.span_price != 0 || m.p.idle_price != 0 {
        let mut day = Day::default();
        day.read(state);
        let span = day.first.map_or(0, |f| (m.p.effort_until - f).max(0));
        price += m.p.span_price * i64::from(span);
        let hours: i64 = day.busy.iter().flatten().map(|b| i64::from(b.last - b.first)).sum();
        price += m.p.idle_price * (100 * hours - work(state));
    }
    for link in &m.p.links {
        let loads = m.loads(link.from_step, state.mode[link.from_step]);
        let ended = loads.map(|t| state.end(t)).max();
        let to = m.p.steps[link.to_step].first_task;
        if ended.is_some_and(|e| state.start[to] > e + link.least) {
            price += link.price;
        }
    }
    price
}

/// Percent x minutes of all tasks with a cook that are not fixed.
fn work(state: &Laid) -> i64 {
    let m = state.m;
    let mut sum = 0;
    for (step, &mode) in state.mode.iter().enumerate() {
        let hands = &m.p.steps[step].modes[mode].hands;
        let one: i64 = hands.iter().map(|h| i64::from(h.percent) * i64::from(h.to - h.from)).sum();
        let loads = m.loads(step, mode).filter(|&t| m.p.tasks[t].fixed.is_none()).count();
        sum += one * loads as i64;
    }
    sum
}

/// What the search compares: the cost and, of equals, the later starts.
pub fn rank(state: &Laid) -> i64 {
    let m = state.m;
    let early: i64 = (0..state.start.len())
        .filter(|&t| state.active(t))
        .map(|t| i64::from(m.h - state.start[t].clamp(0, m.h)))
        .sum();
    cost(state).total().saturating_mul(m.scale).saturating_add(early)
}
