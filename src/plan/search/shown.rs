//! To go on from a schedule that was made before: the plan on the screen, one made ready, a rough one. As it is, put off
//! as far as what happened asks, or what still fits of it and the rest anew.

use super::insert::{Inserter, take_out};
use super::model::{Model, NONE};
use super::price;
use super::state::State;
use super::timing;
use crate::plan::problem::Schedule;

/// How often things are put off anew for those that follow them; and by how
/// many minutes all of it together.
const MOST_PUT_OFF: i32 = 48;

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

    /// Is there such a one at all?
    fn offer(&mut self, way: Way, state: Option<State<'m>>) -> bool {
        let Some(state) = state else { return false };
        let total = price::cost(&state).total();
        if self.best.as_ref().is_none_or(|best| (total, way) < (best.0, best.1)) {
            (self.tell)(&state);
            self.best = Some((total, way, state));
        }
        true
    }

    fn best(self) -> Option<State<'m>> {
        self.best.map(|best| best.2)
    }
}

/// From the plan on the screen: as it is, put off as far as it must be, or what still fits of it and the rest anew,
/// whichever is cheapest. Each that is cheaper than those before is told as soon as it is there: what still fits stands
/// in a fraction of a millisecond, all of it put off takes several.
pub fn from_shown<'m>(
    m: &'m Model,
    inserter: &mut Inserter,
    warm: &Schedule,
    tell: &mut dyn FnMut(&State<'m>),
) -> Option<State<'m>> {
    if !has_shape(m, warm) {
        return None;
    }
    let mut cheapest = Cheapest::new(tell);
    let fits = cheapest.offer(Way::Kept, just_so(m, inserter, warm));
    if !fits {
        cheapest.offer(Way::Mended, mend(m, inserter, warm));
    }
    in_order(m, inserter, (warm, fits), &mut cheapest);
    cheapest.best()
}

/// A schedule in its order, as it is or at its best minutes, whichever is cheaper, or put off where it does not fit;
/// None if its order cannot be kept.
pub fn put_off<'m>(m: &'m Model, inserter: &mut Inserter, warm: &Schedule) -> Option<State<'m>> {
    if !has_shape(m, warm) {
        return None;
    }
    let mut nobody = |_: &State<'m>| ();
    let mut cheapest = Cheapest::new(&mut nobody);
    let fits = cheapest.offer(Way::Kept, just_so(m, inserter, warm));
    in_order(m, inserter, (warm, fits), &mut cheapest);
    cheapest.best()
}

/// A schedule made for a moment much like this one, at the best minutes of its order, or where that does not fit put
/// off as [`put_off`] does (which takes milliseconds); None if its order cannot be kept.
pub fn again<'m>(m: &'m Model, inserter: &mut Inserter, made: &Schedule) -> Option<State<'m>> {
    if !has_shape(m, made) {
        return None;
    }
    timed(m, inserter, made).or_else(|| put_off(m, inserter, made))
}

/// A schedule with what must be later put off and nothing else moved, and the
/// cheaper one of [`put_off`]; twice itself if it still fits. None if its order cannot be kept.
pub fn as_must_be<'m>(
    m: &'m Model,
    inserter: &mut Inserter,
    warm: &Schedule,
) -> Option<(State<'m>, State<'m>)> {
    if !has_shape(m, warm) {
        return None;
    }
    if let Some(kept) = just_so(m, inserter, warm) {
        return Some((kept.clone(), kept));
    }
    let mut nobody = |_: &State<'m>| ();
    let mut cheapest = Cheapest::new(&mut nobody);
    let off = in_order(m, inserter, (warm, false), &mut cheapest);
    let cheapest = cheapest.best()?;
    Some((off.unwrap_or_else(|| cheapest.clone()), cheapest))
}

/// Offers a schedule at the best minutes of its order and, where it `fits` no more as it is, all ways to put it off in that
/// order. Gives the one with what must be later put off and nothing else moved.
fn in_order<'m>(
    m: &'m Model,
    inserter: &mut Inserter,
    (warm, fits): (&Schedule, bool),
    cheapest: &mut Cheapest<'_, 'm>,
) -> Option<State<'m>> {
    let timely = cheapest.offer(Way::AtBest, timed(m, inserter, warm));
    if fits {
        return None;
    }
    let off = later(m, inserter, warm);
    cheapest.offer(Way::Off, off.clone());
    let at_best = off.as_ref().and_then(|off| timed(m, inserter, &off.schedule()));
    cheapest.offer(Way::OffAtBest, at_best);
    if !timely && let Some(together) = all_later(m, inserter, warm) {
        let at_best = timed(m, inserter, &together.schedule());
        cheapest.offer(Way::Together, Some(together));
        cheapest.offer(Way::Together, at_best);
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
fn mend<'m>(m: &'m Model, inserter: &mut Inserter, warm: &Schedule) -> Option<State<'m>> {
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
            return None;
        }
        for &s in &m.units[unit] {
            take_out(&mut state, s);
        }
        redo.extend_from_slice(&m.units[unit]);
        redo.retain(|&s| step_open(&state, s));
    }
    (0..m.p.steps.len()).all(|s| !step_open(&state, s)).then_some(state)
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
