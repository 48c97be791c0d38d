//! What no schedule can cost less than: the sum of costs that cannot be
//! avoided one by one. Weak where dishes stand in each other's way; a prover
//! may do better, see [`Prover`].

use super::hold;
use super::insert::mode_price;
use super::model::Model;
use super::windows;
use crate::plan::problem::Problem;

/// Raises a bound, or proves that a cost cannot be beaten. The search asks it
/// for nothing yet but [`Simple`]; an exact one takes the same place.
pub trait Prover {
    /// No schedule of this model costs less. Prices below nothing give no bound.
    fn bound(&self, m: &Model) -> i64;
}

/// The sum of what cannot be avoided.
#[derive(Debug, Clone, Copy, Default)]
pub struct Simple;

impl Prover for Simple {
    fn bound(&self, m: &Model) -> i64 {
        if m.rewards {
            return i64::MIN / 4;
        }
        let ends = Ends::new(m);
        let dishes: i64 = (0..m.p.dishes.len()).map(|d| dish(m, d)).sum();
        let modes: i64 = (0..m.p.steps.len())
            .map(|s| m.modes[s].iter().map(|&w| mode_price(m, s, w)).min().unwrap_or(0))
            .sum();
        let finish = if m.p.finish_price > 0 {
            let last = (0..m.p.tasks.len()).filter(|&t| m.always_active(t));
            let end = last.map(|t| m.early[t] + windows::minutes(m, t).0).max().unwrap_or(0);
            m.p.finish_price.saturating_mul(i64::from(end) + i64::from(m.shift))
        } else {
            0
        };
        dishes + modes + lags(m) + anchors(m) + span(m, &ends) + finish
    }
}

/// Is there any price below nothing?
pub fn has_rewards(p: &Problem) -> bool {
    let hold = |h: &crate::plan::problem::Hold| {
        h.price.min(h.soft_most.unwrap_or(0)).min(h.best.map_or(0, |b| b.1)) < 0
            || h.limits.iter().any(|l| l.soft_most.unwrap_or(0) < 0)
    };
    p.span_price.min(p.idle_price).min(p.finish_price) < 0
        || p.steps.iter().flat_map(|s| &s.modes).any(|w| w.price < 0)
        || p.lags.iter().any(|l| l.soft_most.unwrap_or(0).min(l.best.map_or(0, |b| b.1)) < 0)
        || p.links.iter().any(|l| l.price < 0)
        || p.anchors.iter().any(|a| a.price.min(a.mode.map_or(0, |w| w.1)) < 0)
        || p.dishes.iter().any(|d| {
            d.late_price.min(d.cushion_price).min(d.straight_price) < 0
                || d.holds.iter().any(hold)
                || d.straight.iter().any(|l| l.soft_most.unwrap_or(0) < 0)
        })
}

/// Which dish each task leads to.
struct Ends {
    /// For each task a dish that cannot be ready before the task is done.
    dish: Vec<Option<usize>>,
}

impl Ends {
    fn new(m: &Model) -> Self {
        let n = m.p.tasks.len();
        let mut ends = Self { dish: vec![None; n] };
        for (d, dish) in m.p.dishes.iter().enumerate() {
            let last = m.p.steps[dish.last_step].first_task;
            if m.p.steps[dish.last_step].task_count == 0 || !m.always_active(last) {
                continue;
            }
            // Backward along arcs that put a task's end before the next one's start.
            let mut queue = vec![last];
            while let Some(t) = queue.pop() {
                if ends.dish[t].is_some() {
                    continue;
                }
                ends.dish[t] = Some(d);
                for arc in m.arcs_of[t].iter().filter(|a| a.to == t) {
                    if arc.least >= windows::minutes(m, arc.from).1 {
                        queue.push(arc.from);
                    }
                }
            }
        }
        ends
    }
}

/// What a dish costs at least: late as its longest path makes it, or short of
/// cushion, or waiting.
fn dish(m: &Model, d: usize) -> i64 {
    let dish = &m.p.dishes[d];
    let step = dish.last_step;
    let loads = || m.modes[step].iter().map(|&w| m.loads(step, w));
    if loads().any(|l| l.is_empty()) {
        return 0;
    }
    let first = m.p.steps[step].first_task;
    let earliest = m.early[first] + windows::minutes(m, first).0;
    let single = loads().all(|l| l.len() == 1);
    let from = earliest.max(dish.due - super::model::MOST_MINUTES);
    let price = |ready: i32| {
        let waits = ready.max(dish.due) - ready;
        let options = std::iter::once(super::model::NONE).chain(0..dish.holds.len());
        let wait = options.filter_map(|h| hold::wait_price(dish, h, waits)).min();
        hold::ready_price(dish, ready) + if single { wait.unwrap_or(0) } else { 0 }
    };
    (from..=earliest.max(dish.due)).map(price).min().unwrap_or(0)
}

/// Waits that windows make too long or too short.
fn lags(m: &Model) -> i64 {
    let mut sum = 0;
    for lag in &m.p.lags {
        let (a, b) = (lag.from, lag.to);
        if !m.always_active(a.task) || !m.always_active(b.task) || a.task == b.task {
            continue;
        }
        let minutes = |t: usize, end: bool| if end { windows::minutes(m, t) } else { (0, 0) };
        let (from, to) = (minutes(a.task, a.end), minutes(b.task, b.end));
        let shortest = m.early[b.task] + to.0 - m.late[a.task] - from.1;
        let longest = m.late[b.task] + to.1 - m.early[a.task] - from.0;
        if let Some(fee) = lag.soft_most.filter(|_| lag.most != i32::MAX) {
            sum += fee * i64::from((shortest - lag.most).max(0));
        }
        if let Some((best, fee)) = lag.best {
            sum += fee * i64::from((best - longest).max(0));
        }
    }
    sum
}

/// Moves that windows force.
fn anchors(m: &Model) -> i64 {
    let forced = |a: &crate::plan::problem::Anchor| {
        let away = (m.early[a.task] - a.start).max(a.start - m.late[a.task]).max(0);
        a.price * i64::from(away)
    };
    m.p.anchors.iter().filter(|a| m.always_active(a.task)).map(forced).sum()
}

/// The hands' work for the dishes cannot begin later than so long before the
/// last of them is served; each minute of delay costs more than it saves.
fn span(m: &Model, ends: &Ends) -> i64 {
    let cheapest = m.p.dishes.iter().map(|d| d.late_price).min().unwrap_or(0);
    if m.p.span_price == 0 || m.cooks.is_empty() || cheapest < m.p.span_price {
        return 0;
    }
    let mut work = 0i64;
    for (t, task) in m.p.tasks.iter().enumerate() {
        if ends.dish[t].is_none() || task.fixed.is_some() {
            continue;
        }
        let within = |&w: &usize| -> i64 {
            let mode = &m.p.steps[task.step].modes[w];
            let inside = mode.hands.iter().filter(|h| h.to <= mode.minutes);
            inside.map(|h| i64::from(h.percent) * i64::from(h.to - h.from)).sum()
        };
        work += m.modes[task.step].iter().map(within).min().unwrap_or(0);
    }
    if work <= 0 || m.cooks.iter().any(|&c| m.p.resources[c].capacity > 100) {
        return 0;
    }
    // Late already: those minutes are paid for, and may carry the work later.
    let until = (0..m.p.dishes.len()).map(|d| least_ready(m, d)).max().unwrap_or(0);
    let until = i64::from(until);
    let minutes = (work + 99) / 100;
    let cooks = m.cooks.len() as i64;
    let span = i64::from(m.p.effort_until) - (until - (minutes + cooks - 1) / cooks);
    m.p.span_price * span.max(0)
}

/// The earliest minute at which a dish can be ready, and no earlier than it is due.
fn least_ready(m: &Model, d: usize) -> i32 {
    let dish = &m.p.dishes[d];
    let step = &m.p.steps[dish.last_step];
    if step.task_count == 0 {
        return dish.due;
    }
    (m.early[step.first_task] + windows::minutes(m, step.first_task).1).max(dish.due)
}
