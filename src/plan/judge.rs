//! Validity and cost of a [`Schedule`], straight from the rules written at
//! [`super::problem`], minute by minute and as slow as it likes. It shares no
//! code with the search; tests hold the search against it, and no schedule
//! becomes a plan unless it passes.

use std::collections::BTreeMap;

use super::blocks::Cost;
use super::problem::{Dish, Hold, Limit, Point, Problem, Schedule};

/// A broken rule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// The schedule does not have one entry for each step, task or dish.
    Shape,
    /// A mode, cook, hold or setting that is not among the choices.
    Choice(String),
    /// A task starts or ends where it must not.
    Window {
        /// Index of the task.
        task: usize,
    },
    /// A lag is not kept.
    Lag {
        /// Index of the lag.
        lag: usize,
    },
    /// More of a resource is used than there is, or it is closed.
    Resource {
        /// Index of the resource.
        resource: usize,
        /// The first such minute.
        minute: i32,
    },
    /// Two uses of an oven do not go together, or it cannot be hot in time.
    Oven {
        /// Index of the oven.
        oven: usize,
        /// The minute at which the later use starts.
        minute: i32,
    },
    /// A dish waits without a hold, too long, or past a limit.
    Hold {
        /// Index of the dish.
        dish: usize,
    },
}

/// When a dish is out, ready and served.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Serving {
    /// End of the first load of its last step.
    pub out: i32,
    /// End of the last load.
    pub ready: i32,
    /// The later of that and the due minute.
    pub served: i32,
}

/// Judges a schedule: its cost if it keeps every rule, or else all faults found.
///
/// # Errors
/// The list of broken rules, never empty.
pub fn judge(problem: &Problem, schedule: &Schedule) -> Result<Cost, Vec<Fault>> {
    if !shaped(problem, schedule) {
        return Err(vec![Fault::Shape]);
    }
    let mut faults = choices(problem, schedule);
    if !faults.is_empty() {
        return Err(faults);
    }
    faults.extend(windows(problem, schedule));
    faults.extend(lags(problem, schedule));
    faults.extend(resources(problem, schedule));
    faults.extend(ovens(problem, schedule));
    faults.extend(holds(problem, schedule));
    if faults.is_empty() { Ok(cost(problem, schedule)) } else { Err(faults) }
}

/// Out, ready and served of a dish whose schedule has the right shape.
#[must_use]
pub fn serving(problem: &Problem, schedule: &Schedule, dish: usize) -> Serving {
    let dish = &problem.dishes[dish];
    let step = &problem.steps[dish.last_step];
    let ends: Vec<i32> = (step.first_task..step.first_task + step.task_count)
        .filter(|&t| problem.active(schedule, t))
        .map(|t| problem.end_of(schedule, t))
        .collect();
    let out = ends.first().copied().unwrap_or(dish.due);
    let ready = ends.iter().copied().max().unwrap_or(dish.due);
    Serving { out, ready, served: ready.max(dish.due) }
}

fn shaped(problem: &Problem, schedule: &Schedule) -> bool {
    schedule.mode.len() == problem.steps.len()
        && schedule.start.len() == problem.tasks.len()
        && schedule.cook.len() == problem.tasks.len()
        && schedule.setting_c.len() == problem.tasks.len()
        && schedule.hold.len() == problem.dishes.len()
        && schedule.hold_setting_c.len() == problem.dishes.len()
        && schedule.mode.iter().zip(&problem.steps).all(|(&m, s)| m < s.modes.len())
        && schedule
            .hold
            .iter()
            .zip(&problem.dishes)
            .all(|(h, d)| h.is_none_or(|h| h < d.holds.len()))
}

fn start_of(problem: &Problem, schedule: &Schedule, task: usize) -> i32 {
    problem.tasks[task].fixed.map_or(schedule.start[task], |f| f.start)
}

fn at(problem: &Problem, schedule: &Schedule, point: Point) -> i32 {
    if point.end {
        problem.end_of(schedule, point.task)
    } else {
        start_of(problem, schedule, point.task)
    }
}

fn choices(problem: &Problem, schedule: &Schedule) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (t, task) in problem.tasks.iter().enumerate() {
        if !problem.active(schedule, t) {
            continue;
        }
        let step = &problem.steps[task.step];
        let mode = &step.modes[schedule.mode[task.step]];
        match task.fixed {
            Some(fixed) => {
                if schedule.cook[t] != fixed.cook || schedule.setting_c[t] != fixed.setting_c {
                    faults.push(Fault::Choice(format!("task {t} has begun otherwise")));
                }
            }
            None => {
                let cook_fits = match schedule.cook[t] {
                    Some(cook) => step.cooks.contains(&cook),
                    None => mode.hands.is_empty(),
                };
                if !cook_fits {
                    faults.push(Fault::Choice(format!("cook of task {t}")));
                }
                let setting_fits = match (&mode.oven, schedule.setting_c[t]) {
                    (Some(oven), Some(c)) => oven.least_c <= c && c <= oven.most_c,
                    (Some(_), None) => false,
                    (None, setting) => setting.is_none(),
                };
                if !setting_fits {
                    faults.push(Fault::Choice(format!("setting of task {t}")));
                }
            }
        }
    }
    for (d, dish) in problem.dishes.iter().enumerate() {
        if dish.held.is_some() && schedule.hold[d] != dish.held {
            faults.push(Fault::Choice(format!("dish {d} waits elsewhere already")));
        }
        let setting = schedule.hold_setting_c[d];
        let fits = match schedule.hold[d].map(|h| &dish.holds[h]) {
            None => setting.is_none(),
            Some(hold) => match (&hold.oven, hold.setting_c, setting) {
                (None, _, setting) => setting.is_none(),
                (Some(_), Some(has), Some(c)) => has == c,
                (Some(oven), None, Some(c)) => oven.least_c <= c && c <= oven.most_c,
                (Some(_), _, None) => false,
            },
        };
        if !fits {
            faults.push(Fault::Choice(format!("setting of the hold of dish {d}")));
        }
    }
    faults
}

fn windows(problem: &Problem, schedule: &Schedule) -> Vec<Fault> {
    (0..problem.tasks.len())
        .filter(|&t| problem.active(schedule, t) && problem.tasks[t].fixed.is_none())
        .filter(|&t| {
            let task = &problem.tasks[t];
            let start = schedule.start[t];
            start < task.earliest
                || start < problem.start
                || start > task.latest
                || problem.end_of(schedule, t) > problem.end
        })
        .map(|task| Fault::Window { task })
        .collect()
}

fn lags(problem: &Problem, schedule: &Schedule) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (l, lag) in problem.lags.iter().enumerate() {
        let Some(gap) = gap(problem, schedule, lag.from, lag.to) else { continue };
        let both_fixed = problem.tasks[lag.from.task].fixed.is_some()
            && problem.tasks[lag.to.task].fixed.is_some();
        let too_long = gap > i64::from(lag.most) && lag.soft_most.is_none();
        if !both_fixed && (gap < i64::from(lag.least) || too_long) {
            faults.push(Fault::Lag { lag: l });
        }
    }
    faults
}

/// Minutes from one point to the other; None if a load of theirs is not done.
fn gap(problem: &Problem, schedule: &Schedule, from: Point, to: Point) -> Option<i64> {
    (problem.active(schedule, from.task) && problem.active(schedule, to.task))
        .then(|| i64::from(at(problem, schedule, to)) - i64::from(at(problem, schedule, from)))
}

/// How much of each resource is used at each minute: (by fixed tasks, in all).
type Load = BTreeMap<(usize, i32), (i32, i32)>;

fn resources(problem: &Problem, schedule: &Schedule) -> Vec<Fault> {
    let mut load = Load::new();
    for t in 0..problem.tasks.len() {
        if problem.active(schedule, t) {
            add_task(&mut load, problem, schedule, t);
        }
    }
    for stay in &problem.stays {
        if let Some((from, to, fixed)) = stay_span(problem, schedule, stay) {
            add(&mut load, problem, stay.uses.resource, stay.uses.amount, from, to, fixed);
        }
    }
    for (d, dish) in problem.dishes.iter().enumerate() {
        if let Some(hold) = schedule.hold[d].map(|h| &dish.holds[h]) {
            let serving = serving(problem, schedule, d);
            for u in &hold.uses {
                let already = dish.held.is_some();
                add(&mut load, problem, u.resource, u.amount, serving.out, serving.served, already);
            }
        }
    }
    let mut faults: BTreeMap<usize, i32> = BTreeMap::new();
    for (&(resource, minute), &(fixed, all)) in &load {
        let r = &problem.resources[resource];
        let closed = r.closed.iter().any(|&(from, to)| from <= minute && minute < to);
        let capacity = if closed { 0 } else { r.capacity };
        if all > capacity.max(fixed) {
            faults.entry(resource).or_insert(minute);
        }
    }
    faults.into_iter().map(|(resource, minute)| Fault::Resource { resource, minute }).collect()
}

fn add_task(load: &mut Load, problem: &Problem, schedule: &Schedule, t: usize) {
    let task = &problem.tasks[t];
    let mode = &problem.steps[task.step].modes[schedule.mode[task.step]];
    let (start, end) = (start_of(problem, schedule, t), problem.end_of(schedule, t));
    let fixed = task.fixed.is_some();
    for u in &mode.uses {
        add(load, problem, u.resource, u.amount, start, end, fixed);
    }
    if let Some(cook) = schedule.cook[t] {
        for part in &mode.hands {
            add(load, problem, cook, part.percent, start + part.from, start + part.to, fixed);
        }
    }
}

fn add(
    load: &mut Load,
    p: &Problem,
    resource: usize,
    amount: i32,
    from: i32,
    to: i32,
    fixed: bool,
) {
    for minute in from.max(p.start)..to {
        let entry = load.entry((resource, minute)).or_default();
        entry.1 += amount;
        if fixed {
            entry.0 += amount;
        }
    }
}

/// From when to when a stay lasts, and whether all of it stands already; None if void.
fn stay_span(
    problem: &Problem,
    schedule: &Schedule,
    stay: &super::problem::Stay,
) -> Option<(i32, i32, bool)> {
    let active = |p: &&Point| problem.active(schedule, p.task);
    let from = stay.from.iter().filter(active).map(|&p| at(problem, schedule, p)).min()?;
    let mut to = stay.to.iter().filter(active).map(|&p| at(problem, schedule, p)).max()?;
    let mut fixed = stay
        .from
        .iter()
        .chain(&stay.to)
        .filter(active)
        .all(|p| problem.tasks[p.task].fixed.is_some());
    for &(dish, hold) in &stay.through_hold {
        if schedule.hold[dish] == Some(hold) {
            to = to.max(serving(problem, schedule, dish).served);
            fixed &= problem.dishes[dish].held.is_some();
        }
    }
    Some((from, to, fixed))
}

/// A use of an oven: from, to, setting, and whether it stands already.
type OvenUse = (i32, i32, i32, bool);

fn ovens(problem: &Problem, schedule: &Schedule) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (o, oven) in problem.ovens.iter().enumerate() {
        let mut uses = oven_uses(problem, schedule, o);
        uses.sort_unstable();
        for (i, &(from, to, c, fixed)) in uses.iter().enumerate() {
            if from - problem.start < oven.minutes(oven.start_c, c) && !fixed {
                faults.push(Fault::Oven { oven: o, minute: from });
            }
            for &(from2, _, c2, fixed2) in &uses[i + 1..] {
                let clash =
                    if from2 < to { c != c2 } else { c != c2 && from2 - to < oven.minutes(c, c2) };
                if clash && !(fixed && fixed2) {
                    faults.push(Fault::Oven { oven: o, minute: from2 });
                }
            }
        }
    }
    faults
}

/// All uses of an oven that last any time after the start of the problem.
fn oven_uses(problem: &Problem, schedule: &Schedule, oven: usize) -> Vec<OvenUse> {
    let mut uses = Vec::new();
    for (t, task) in problem.tasks.iter().enumerate() {
        let mode = &problem.steps[task.step].modes[schedule.mode[task.step]];
        if !problem.active(schedule, t) || mode.oven.is_none_or(|u| u.oven != oven) {
            continue;
        }
        let (start, end) = (start_of(problem, schedule, t), problem.end_of(schedule, t));
        if let Some(c) = schedule.setting_c[t]
            && end > start
            && end > problem.start
        {
            uses.push((start, end, c, task.fixed.is_some()));
        }
    }
    for (d, dish) in problem.dishes.iter().enumerate() {
        let Some(hold) = schedule.hold[d].map(|h| &dish.holds[h]) else { continue };
        let serving = serving(problem, schedule, d);
        if let (Some(u), Some(c)) = (&hold.oven, schedule.hold_setting_c[d])
            && u.oven == oven
            && serving.served > serving.out
            && serving.served > problem.start
        {
            uses.push((serving.out, serving.served, c, dish.held.is_some()));
        }
    }
    uses
}

fn holds(problem: &Problem, schedule: &Schedule) -> Vec<Fault> {
    (0..problem.dishes.len())
        .filter(|&d| !hold_fits(problem, schedule, d))
        .map(|dish| Fault::Hold { dish })
        .collect()
}

fn hold_fits(problem: &Problem, schedule: &Schedule, d: usize) -> bool {
    let dish = &problem.dishes[d];
    let serving = serving(problem, schedule, d);
    let waits = serving.served - serving.out;
    let chosen = schedule.hold[d].map(|h| &dish.holds[h]);
    let long_enough = match chosen {
        None => waits == 0,
        Some(hold) => waits <= hold.most || hold.soft_most.is_some(),
    };
    long_enough
        && limits(dish, chosen).iter().all(|limit| {
            limit.soft_most.is_some() || over_limit(problem, schedule, limit, serving) == 0
        })
}

fn limits<'a>(dish: &'a Dish, chosen: Option<&'a Hold>) -> &'a [Limit] {
    chosen.map_or(&dish.straight, |hold| &hold.limits)
}

fn over_limit(problem: &Problem, schedule: &Schedule, limit: &Limit, serving: Serving) -> i64 {
    if !problem.active(schedule, limit.from.task) {
        return 0;
    }
    let since = i64::from(at(problem, schedule, limit.from));
    (i64::from(serving.served) - since - i64::from(limit.most)).max(0)
}

fn cost(problem: &Problem, schedule: &Schedule) -> Cost {
    let mut cost = Cost::default();
    for d in 0..problem.dishes.len() {
        dish_cost(problem, schedule, d, &mut cost);
    }
    for (s, &mode) in schedule.mode.iter().enumerate() {
        cost.quality += problem.steps[s].modes[mode].price;
    }
    for lag in &problem.lags {
        let Some(gap) = gap(problem, schedule, lag.from, lag.to) else { continue };
        if let Some((best, price)) = lag.best {
            cost.quality += price * (i64::from(best) - gap).max(0);
        }
        if let Some(price) = lag.soft_most {
            cost.late += price * (gap - i64::from(lag.most)).max(0);
        }
    }
    cost.effort = effort(problem, schedule);
    cost.change = change(problem, schedule);
    let last = (0..problem.tasks.len())
        .filter(|&t| problem.active(schedule, t))
        .map(|t| problem.end_of(schedule, t))
        .max();
    cost.finish = problem.finish_price * i64::from(last.unwrap_or(0));
    cost
}

fn dish_cost(problem: &Problem, schedule: &Schedule, d: usize, cost: &mut Cost) {
    let dish = &problem.dishes[d];
    let serving = serving(problem, schedule, d);
    let past = |minutes: i32, price: i64| price * i64::from(minutes.max(0));
    cost.late += past(serving.served - dish.due, dish.late_price);
    let early = (dish.due - serving.ready).max(0);
    cost.risk += past(dish.cushion - early, dish.cushion_price);
    let waits = serving.served - serving.out;
    let chosen = schedule.hold[d].map(|h| &dish.holds[h]);
    if chosen.is_none() {
        cost.quality += dish.straight_price;
    }
    if let Some(hold) = chosen {
        cost.quality += past(waits - hold.free, hold.price);
        if let Some((best, price)) = hold.best {
            cost.quality += past(best - waits, price);
        }
        if let Some(price) = hold.soft_most {
            cost.late += past(waits - hold.most, price);
        }
    }
    for limit in limits(dish, chosen) {
        if let Some(price) = limit.soft_most {
            cost.late += price * over_limit(problem, schedule, limit, serving);
        }
    }
}

fn effort(problem: &Problem, schedule: &Schedule) -> i64 {
    // For each cook: first hands-on minute, minute after the last, percent x minutes.
    let mut by_cook: BTreeMap<usize, (i32, i32, i64)> = BTreeMap::new();
    for (t, task) in problem.tasks.iter().enumerate() {
        let Some(cook) = schedule.cook[t] else { continue };
        if task.fixed.is_some() || !problem.active(schedule, t) {
            continue;
        }
        for part in &problem.steps[task.step].modes[schedule.mode[task.step]].hands {
            let (from, to) = (schedule.start[t] + part.from, schedule.start[t] + part.to);
            let entry = by_cook.entry(cook).or_insert((from, to, 0));
            entry.0 = entry.0.min(from);
            entry.1 = entry.1.max(to);
            entry.2 += i64::from(part.percent) * i64::from(to - from);
        }
    }
    let first = by_cook.values().map(|e| e.0).min();
    let span = first.map_or(0, |first| i64::from((problem.effort_until - first).max(0)));
    let idle: i64 = by_cook.values().map(|e| 100 * i64::from(e.1 - e.0) - e.2).sum();
    let hops: i64 = problem.links.iter().map(|link| hop(problem, schedule, link)).sum();
    problem.span_price * span + problem.idle_price * idle + hops
}

fn hop(problem: &Problem, schedule: &Schedule, link: &super::problem::Link) -> i64 {
    let from = &problem.steps[link.from_step];
    let to = problem.steps[link.to_step].first_task;
    let ended = (from.first_task..from.first_task + from.task_count)
        .filter(|&t| problem.active(schedule, t))
        .map(|t| problem.end_of(schedule, t))
        .max();
    match ended {
        Some(ended) if start_of(problem, schedule, to) > ended + link.least => link.price,
        _ => 0,
    }
}

fn change(problem: &Problem, schedule: &Schedule) -> i64 {
    problem
        .anchors
        .iter()
        .filter(|a| problem.active(schedule, a.task))
        .map(|a| {
            let moved = i64::from(schedule.start[a.task]) - i64::from(a.start);
            let step = problem.tasks[a.task].step;
            let other = match a.mode {
                Some((mode, price)) if schedule.mode[step] != mode => price,
                _ => 0,
            };
            a.price * moved.abs() + other
        })
        .sum()
}
