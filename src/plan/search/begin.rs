//! The first answer: dish by dish, the tightest first, each put in where it
//! costs least beside those before it.

use std::collections::VecDeque;

use super::insert::{Inserter, take_out};
use super::model::{Model, NONE};
use super::price;
use super::rng::Rng;
use super::state::State;
use super::timing;
use crate::plan::problem::Schedule;

/// Minutes that a dish may be late before anything else is tried.
const LATE_ROOM: i32 = 60;

/// How often units may be thrown out for one that finds no place.
const MOST_THROWS: usize = 60;

/// How often things are put off anew for those that follow them; and by how
/// many minutes all of it together.
const MOST_PUT_OFF: i32 = 48;

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
    if let Some(state) = warm.and_then(|warm| from_shown(m, inserter, warm, tell)) {
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

/// What can become of a schedule. Of equal cost the first of these: what stands on the screen stays.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Way {
    /// Just as it is.
    Kept,
    /// At the best minutes of its order.
    AtBest,
    /// What must be later put off, at the best minutes from there.
    OffAtBest,
    /// What must be later put off.
    Off,
    /// All of it later by the same.
    Together,
    /// What still fits of it, and the rest put in anew.
    Mended,
}

/// The cheapest schedule so far; whatever becomes it is told.
struct Cheapest<'t, 'm> {
    best: Option<(i64, Way, State<'m>)>,
    tell: &'t mut dyn FnMut(&State<'m>),
}

impl<'t, 'm> Cheapest<'t, 'm> {
    fn new(tell: &'t mut dyn FnMut(&State<'m>)) -> Self {
        Self { best: None, tell }
    }

    fn offer(&mut self, way: Way, state: Option<State<'m>>) {
        let Some(state) = state else { return };
        let total = price::cost(&state).total();
        if self.best.as_ref().is_none_or(|best| (total, way) < (best.0, best.1)) {
            (self.tell)(&state);
            self.best = Some((total, way, state));
        }
    }

    fn best(self) -> Option<State<'m>> {
        self.best.map(|best| best.2)
    }
}

/// The plan on the screen as it is, put off as far as it must be, or what still fits of it and the rest anew:
/// whichever is cheapest. What is there soonest comes first: all put off together takes some milliseconds.
fn from_shown<'m>(
    m: &'m Model,
    inserter: &mut Inserter,
    warm: &Schedule,
    tell: &mut dyn FnMut(&State<'m>),
) -> Option<State<'m>> {
    if !has_shape(m, warm) {
        return None;
    }
    let mut cheapest = Cheapest::new(tell);
    let kept = just_so(m, inserter, warm);
    let fits = kept.is_some();
    cheapest.offer(Way::Kept, kept);
    if !fits {
        cheapest.offer(Way::Mended, mend(m, inserter, warm).ok());
    }
    let as_shown = timed(m, inserter, warm);
    let in_order = as_shown.is_some();
    cheapest.offer(Way::AtBest, as_shown);
    if !fits {
        must_move(m, inserter, warm, in_order, &mut cheapest);
    }
    cheapest.best()
}

/// A schedule in its order, as it is or at its best minutes, whichever is
/// cheaper; None if its order cannot be kept.
pub fn put_off<'m>(m: &'m Model, inserter: &mut Inserter, warm: &Schedule) -> Option<State<'m>> {
    inserter.late_room = LATE_ROOM;
    if !has_shape(m, warm) {
        return None;
    }
    let as_shown = timed(m, inserter, warm);
    kept_or_moved(m, inserter, warm, as_shown)
}

/// A schedule as it is, or put off where it does not fit, or `as_shown` (at its best minutes): whichever is cheapest.
fn kept_or_moved<'m>(
    m: &'m Model,
    inserter: &mut Inserter,
    warm: &Schedule,
    as_shown: Option<State<'m>>,
) -> Option<State<'m>> {
    let nobody = &mut |_: &State<'m>| ();
    let mut cheapest = Cheapest::new(nobody);
    let in_order = as_shown.is_some();
    cheapest.offer(Way::AtBest, as_shown);
    match just_so(m, inserter, warm) {
        None => drop(must_move(m, inserter, warm, in_order, &mut cheapest)),
        kept => cheapest.offer(Way::Kept, kept),
    }
    cheapest.best()
}

/// A schedule made for a moment much like this one, at the best minutes of its order, or where that does not fit put
/// off as [`put_off`] does (which takes milliseconds); None if its order cannot be kept.
pub fn again<'m>(m: &'m Model, inserter: &mut Inserter, made: &Schedule) -> Option<State<'m>> {
    inserter.late_room = LATE_ROOM;
    if !has_shape(m, made) {
        return None;
    }
    timed(m, inserter, made).or_else(|| kept_or_moved(m, inserter, made, None))
}

/// A schedule with what must be later put off and nothing else moved, and the
/// cheaper one of [`put_off`]; twice itself if it still fits. None if its order cannot be kept.
pub fn as_must_be<'m>(m: &'m Model, warm: &Schedule) -> Option<(State<'m>, State<'m>)> {
    let mut inserter = Inserter::default();
    inserter.late_room = LATE_ROOM;
    if !has_shape(m, warm) {
        return None;
    }
    if let Some(state) = just_so(m, &mut inserter, warm) {
        return Some((state.clone(), state));
    }
    let nobody = &mut |_: &State<'m>| ();
    let mut cheapest = Cheapest::new(nobody);
    let as_shown = timed(m, &mut inserter, warm);
    let in_order = as_shown.is_some();
    cheapest.offer(Way::AtBest, as_shown);
    let off = must_move(m, &mut inserter, warm, in_order, &mut cheapest);
    let cheapest = cheapest.best()?;
    Some((off.unwrap_or_else(|| cheapest.clone()), cheapest))
}

/// Offers all ways to keep the order of a schedule that no longer fits. Gives the one with what must be later put
/// off and nothing else moved. `in_order`: at the best minutes of its order it does fit.
fn must_move<'m>(
    m: &'m Model,
    inserter: &mut Inserter,
    warm: &Schedule,
    in_order: bool,
    cheapest: &mut Cheapest<'_, 'm>,
) -> Option<State<'m>> {
    let off = later(m, inserter, warm);
    cheapest.offer(Way::Off, off.clone());
    let best = off.as_ref().and_then(|off| timed(m, inserter, &off.schedule()));
    cheapest.offer(Way::OffAtBest, best);
    if !in_order && let Some(together) = all_later(m, inserter, warm) {
        let best = timed(m, inserter, &together.schedule());
        cheapest.offer(Way::Together, Some(together));
        cheapest.offer(Way::Together, best);
    }
    off
}

/// All that has not begun later by the same, the least that will do.
fn all_later<'m>(m: &'m Model, inserter: &mut Inserter, warm: &Schedule) -> Option<State<'m>> {
    let bare = in_modes_of(m, warm);
    let mut off = warm.clone();
    (1..=MOST_PUT_OFF).find_map(|by| {
        for (t, start) in off.start.iter_mut().enumerate() {
            if m.p.tasks[t].fixed.is_none() {
                *start = warm.start[t].saturating_add(by).max(0);
            }
        }
        let mut state = bare.clone();
        inserter.keep_all(&mut state, &off).then_some(state)
    })
}

/// The best minutes of the order of a schedule.
fn timed<'m>(m: &'m Model, inserter: &mut Inserter, order: &Schedule) -> Option<State<'m>> {
    let start = timing::best(m, order)?;
    just_so(m, inserter, &Schedule { start, ..order.clone() })
}

/// A schedule each of whose tasks stands where it is or as soon after as it
/// fits. What must not wait so long for the next is itself put off, again and again.
fn later<'m>(m: &'m Model, inserter: &mut Inserter, warm: &Schedule) -> Option<State<'m>> {
    let mut not_before = warm.start.clone();
    let bare = in_modes_of(m, warm);
    for tried in 0..MOST_PUT_OFF {
        let mut state = bare.clone();
        let Err(tasks) = inserter.put_off(&mut state, warm, &not_before) else {
            return Some(state);
        };
        let mut moved = false;
        for t in tasks.into_iter().filter(|&t| m.p.tasks[t].fixed.is_none()) {
            // In larger strides the longer it takes.
            not_before[t] = state.start[t].max(not_before[t]) + 1 + tried / 8;
            moved = true;
        }
        if !moved {
            return None;
        }
    }
    None
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

/// The state of a rough schedule, at its best minutes; None if it does not fit after all.
pub fn of_rough<'m>(m: &'m Model, inserter: &mut Inserter, rough: &Schedule) -> Option<State<'m>> {
    let state = just_so(m, inserter, rough)?;
    Some(polish(m, inserter, &state).unwrap_or(state))
}

/// The same order with its best minutes, if that is better.
pub fn polish<'m>(m: &'m Model, inserter: &mut Inserter, state: &State<'m>) -> Option<State<'m>> {
    let now = state.schedule();
    let start = timing::best(m, &now).filter(|start| *start != now.start)?;
    let timed = just_so(m, inserter, &Schedule { start, ..now })?;
    (price::rank(&timed) < price::rank(state)).then_some(timed)
}

/// A schedule just as it is; None if anything of it does not fit.
fn just_so<'m>(m: &'m Model, inserter: &mut Inserter, schedule: &Schedule) -> Option<State<'m>> {
    let mut state = in_modes_of(m, schedule);
    inserter.keep_all(&mut state, schedule).then_some(state)
}

/// Only what is fixed stands; the others have their modes.
fn in_modes_of<'m>(m: &'m Model, schedule: &Schedule) -> State<'m> {
    let mut state = State::new(m);
    for step in 0..m.p.steps.len() {
        if m.modes[step].contains(&schedule.mode[step]) {
            state.mode[step] = schedule.mode[step];
        }
    }
    state
}

/// Does a schedule say something of each step, task and dish that can be?
fn has_shape(m: &Model, s: &Schedule) -> bool {
    let (tasks, dishes) = (m.p.tasks.len(), m.p.dishes.len());
    let modes = s.mode.iter().zip(&m.modes);
    s.mode.len() == m.p.steps.len()
        && [s.start.len(), s.cook.len(), s.setting_c.len()] == [tasks; 3]
        && [s.hold.len(), s.hold_setting_c.len()] == [dishes; 2]
        && modes.clone().all(|(mode, may)| may.contains(mode))
        && s.hold.iter().zip(&m.p.dishes).all(|(h, d)| h.is_none_or(|h| h < d.holds.len()))
        && s.cook.iter().all(|c| c.is_none_or(|c| c < m.p.resources.len()))
}

/// Keeps a schedule as far as it still fits, and puts the rest in anew.
fn mend<'m>(
    m: &'m Model,
    inserter: &mut Inserter,
    warm: &Schedule,
) -> Result<State<'m>, Option<usize>> {
    let steps = m.p.steps.len();
    let mut state = in_modes_of(m, warm);
    let mut redo = inserter.keep_what_fits(&mut state, warm);
    let mut tried = vec![false; m.units.len()];
    // First only the steps that do not fit, then their whole dishes.
    loop {
        redo.sort_by_key(|&s| (m.unit_of[s], place_in_unit(m, s)));
        redo.dedup();
        let mut failed = None;
        for group in redo.chunk_by(|&a, &b| m.unit_of[a] == m.unit_of[b]) {
            if !inserter.insert(&mut state, group) {
                failed = Some(m.unit_of[group[0]]);
                for &s in group {
                    take_out(&mut state, s);
                }
                break;
            }
        }
        let Some(unit) = failed else { break };
        if std::mem::replace(&mut tried[unit], true) {
            return Err(inserter.stuck);
        }
        for &s in &m.units[unit] {
            take_out(&mut state, s);
        }
        redo.extend_from_slice(&m.units[unit]);
        redo.retain(|&s| step_open(&state, s));
    }
    let whole = (0..steps).all(|s| !step_open(&state, s));
    if whole { Ok(state) } else { Err(inserter.stuck) }
}

/// Has the step tasks that do not stand, or a dish that is not settled?
fn step_open(state: &State, step: usize) -> bool {
    let m = state.m;
    m.loads(step, state.mode[step]).any(|t| !state.placed[t])
        || m.dishes_of[step].iter().any(|&d| !state.settled[d])
}

fn place_in_unit(m: &Model, step: usize) -> usize {
    let unit = m.unit_of[step];
    if unit == NONE {
        return 0;
    }
    m.units[unit].iter().position(|&s| s == step).unwrap_or(0)
}

/// Is there a task that certainly runs and has no minute to start in?
pub fn windows_clash(m: &Model) -> Option<usize> {
    (0..m.p.tasks.len())
        .find(|&t| m.p.tasks[t].fixed.is_none() && m.always_active(t) && m.early[t] > m.late[t])
}
