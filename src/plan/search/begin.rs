//! The first answer: from the plan on the screen, or dish by dish, the tightest first, each put in where it
//! costs least beside those before it.

use std::collections::VecDeque;

use super::insert::{Inserter, take_out};
use super::model::Model;
use super::rng::Rng;
use super::shown;
use super::state::State;
use crate::plan::problem::Schedule;

/// Minutes that a dish may be late before anything else is tried.
const LATE_ROOM: i32 = 60;

/// How often units may be thrown out for one that finds no place.
const MOST_THROWS: usize = 60;

/// Attempts that differ; later ones are in orders mixed at random.
pub const ATTEMPTS: usize = 8;

/// The first schedule in which all tasks are placed, by the plan to keep or
/// else by one attempt after the other; or the step at which the first of them
/// was stuck. Each that is better than those before is told as soon as it is there; the last one told is given.
pub fn first<'m>(
    m: &'m Model,
    inserter: &mut Inserter,
    warm: Option<&Schedule>,
    rng: &mut Rng,
    tries: usize,
    stop: &dyn Fn() -> bool,
    tell: &mut dyn FnMut(&State<'m>),
) -> Result<State<'m>, Option<usize>> {
    inserter.late_room = LATE_ROOM;
    if let Some(state) = warm.and_then(|warm| shown::from_shown(m, inserter, warm, tell)) {
        return Ok(state);
    }
    let mut stuck = None;
    for number in 0..tries.max(1) {
        if number > 0 && stop() {
            break;
        }
        match attempt(m, inserter, number, rng) {
            Ok(state) => {
                tell(&state);
                return Ok(state);
            }
            Err(step) => stuck = stuck.or(step),
        }
    }
    Err(stuck)
}

/// One attempt at a schedule by itself.
pub fn attempt<'m>(
    m: &'m Model,
    inserter: &mut Inserter,
    number: usize,
    rng: &mut Rng,
) -> Result<State<'m>, Option<usize>> {
    let mut orders = orders(m);
    let which = number / 2 % orders.len();
    let mut order = orders.swap_remove(which);
    if number >= ATTEMPTS {
        rng.shuffle(&mut order);
        order.sort_by_key(|&u| m.layer[u]);
    }
    build(m, inserter, &order, number.is_multiple_of(2), rng)
}

/// Puts the units in, in this order. One that finds no place throws a few
/// others out, the more the oftener it failed, and those are put in again.
fn build<'m>(
    m: &'m Model,
    inserter: &mut Inserter,
    order: &[usize],
    phased: bool,
    rng: &mut Rng,
) -> Result<State<'m>, Option<usize>> {
    let mut state = State::new(m);
    let mut standing: Vec<usize> = Vec::new();
    let mut queue: VecDeque<usize> = if phased {
        in_phases(&mut state, inserter, order, &mut standing)
    } else {
        order.iter().copied().collect()
    };
    let mut failures = vec![0usize; m.units.len()];
    let mut throws = MOST_THROWS;
    let mut stuck = None;
    while let Some(unit) = queue.pop_front() {
        // A job that once found no room before what waits for it goes early.
        let early = failures[unit] > 0 && m.layer[unit] > 0;
        inserter.hurry(if early { m.p.span_price.max(10) * 4 } else { 0 });
        let fits = inserter.insert(&mut state, &m.units[unit]);
        inserter.hurry(0);
        if fits {
            standing.push(unit);
            continue;
        }
        stuck = stuck.or(inserter.stuck);
        for &s in &m.units[unit] {
            take_out(&mut state, s);
        }
        if standing.is_empty() || throws == 0 {
            return Err(stuck);
        }
        throws -= 1;
        failures[unit] += 1;
        for _ in 0..failures[unit].min(standing.len()) {
            // What waits for a job, first of all; else of two the one that is easier to place.
            let (a, b) = (rng.below(standing.len()), rng.below(standing.len()));
            let easier = if failures[standing[a]] <= failures[standing[b]] { a } else { b };
            let waits = standing.iter().position(|&u| m.jobs_of[u].contains(&unit));
            let thrown = standing.swap_remove(waits.unwrap_or(easier));
            for &s in &m.units[thrown] {
                take_out(&mut state, s);
            }
            queue.push_back(thrown);
        }
        queue.push_front(unit);
    }
    Ok(state)
}

/// First what stands close to the services, of all units; then what can be
/// done at any time before; then in the same way what these wait for. Gives the
/// units that found no place, in order.
fn in_phases(
    state: &mut State,
    inserter: &mut Inserter,
    order: &[usize],
    standing: &mut Vec<usize>,
) -> VecDeque<usize> {
    let m = state.m;
    let mut failed = vec![false; m.units.len()];
    for layer in order.chunk_by(|&a, &b| m.layer[a] == m.layer[b]) {
        for &u in layer {
            failed[u] = !inserter.insert(state, &m.parts[u][0]);
            if failed[u] {
                m.units[u].iter().for_each(|&s| take_out(state, s));
            }
        }
        for &u in layer.iter().filter(|&&u| m.parts[u].len() > 1) {
            if failed[u] {
                continue;
            }
            failed[u] = !m.parts[u][1..].iter().all(|part| inserter.insert(state, part));
            if failed[u] {
                m.units[u].iter().for_each(|&s| take_out(state, s));
            }
        }
    }
    standing.extend(order.iter().copied().filter(|&u| !failed[u]));
    order.iter().copied().filter(|&u| failed[u]).collect()
}

/// Orders in which units are put in: the tightest, the earliest due, the
/// busiest and the dearest first; jobs after what waits for them.
fn orders(m: &Model) -> Vec<Vec<usize>> {
    let due = |u: usize| {
        let dishes = m.units[u].iter().flat_map(|&s| &m.dishes_of[s]);
        dishes.map(|&d| m.p.dishes[d].due).min().unwrap_or(i32::MAX)
    };
    let steps = |u: usize| m.units[u].iter().map(|&s| &m.p.steps[s]);
    let work = |u: usize| -> i64 {
        steps(u)
            .flat_map(|s| &s.modes[0].hands)
            .map(|h| i64::from(h.percent) * i64::from(h.to - h.from))
            .sum()
    };
    let slack = |u: usize| -> i32 {
        let tasks = m.units[u].iter().flat_map(|&s| m.loads(s, m.modes[s][0]));
        tasks.map(|t| m.late[t] - m.early[t]).min().unwrap_or(i32::MAX)
    };
    let wait = |u: usize| -> i64 {
        let dishes = m.units[u].iter().flat_map(|&s| &m.dishes_of[s]);
        let cheapest = |d: &usize| {
            let holds = &m.p.dishes[*d].holds;
            holds.iter().map(|h| (i64::from(h.free), -h.price)).max().unwrap_or((-1, 0))
        };
        dishes.map(cheapest).min().map_or(i64::MAX, |w| w.0)
    };
    let oven = |u: usize| steps(u).any(|s| s.modes.iter().any(|w| w.oven.is_some()));
    let all = 0..m.units.len();
    let mut orders: Vec<Vec<usize>> = vec![all.collect(); 4];
    orders[0].sort_by_key(|&u| (wait(u), !oven(u), -work(u), u));
    orders[1].sort_by_key(|&u| (due(u), wait(u), -work(u), u));
    orders[2].sort_by_key(|&u| (slack(u), -work(u), u));
    orders[3].sort_by_key(|&u| (std::cmp::Reverse(due(u)), !oven(u), wait(u), u));
    for order in &mut orders {
        order.sort_by_key(|&u| m.layer[u]);
    }
    orders
}

/// Is there a task that certainly runs and has no minute to start in?
pub fn windows_clash(m: &Model) -> Option<usize> {
    (0..m.p.tasks.len())
        .find(|&t| m.p.tasks[t].fixed.is_none() && m.always_active(t) && m.early[t] > m.late[t])
}
