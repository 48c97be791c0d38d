//! A first schedule where none was found: the day is made longer, and what is
//! found for that is drawn together until it ends when the day really does.

use super::in_work::{Ground, Search};
use super::model::Model;
use super::rng::Rng;
use super::state::State;
use super::{Begin, insert::Inserter, shown};
use crate::plan::Cost;
use crate::plan::problem::{Problem, Schedule};

/// Minutes by which the day is made longer, one attempt after the other: what is found soon is found in a day
/// that is not much longer, if there is a beginning in it.
const LONGER: [i32; 2] = [60, 360];
/// The last end of all is so many times as dear as a dish that is late.
const DEARER: i64 = 4;
/// Rounds after which an attempt is given up.
const ROUNDS: u64 = 2_200;
/// Rounds between two looks.
const LOOK: u64 = 50;

/// A schedule within the day, by way of longer ones; None if none was found.
pub fn first<'m>(
    problem: &Problem,
    m: &'m Model,
    at: Begin<'_>,
    stop: &(dyn Fn() -> bool + Sync),
) -> Option<State<'m>> {
    let mut rng = Rng::new(at.seed);
    LONGER.iter().find_map(|minutes| {
        let at = Begin { seed: rng.bits(), ..at };
        drawn_together(problem, m, *minutes, at, stop)
    })
}

fn drawn_together<'m>(
    problem: &Problem,
    m: &'m Model,
    minutes: i32,
    at: Begin<'_>,
    stop: &(dyn Fn() -> bool + Sync),
) -> Option<State<'m>> {
    let longer = longer(problem, minutes);
    let ground = Ground::of(&longer).ok()?;
    let fits = |s: &Schedule| (0..s.start.len()).all(|t| problem.end_of(s, t) <= problem.end);
    let quiet = &mut |_: &Schedule, _: &Cost| {};
    let mut search = Search::begin_within(&ground, at, stop, quiet).ok()?;
    for _ in 0..ROUNDS / LOOK {
        if let Some((s, _)) = search.best().filter(|b| fits(&b.0)) {
            return shown::of_rough(m, &mut Inserter::default(), &m.inward(s));
        }
        if stop() {
            break;
        }
        search.advance(LOOK, stop, quiet);
    }
    None
}

/// The same problem on a day that is so much longer, at whose end everything is the dearer the later it is. What only
/// makes a plan better has no price: it would keep it from being drawn together.
fn longer(problem: &Problem, minutes: i32) -> Problem {
    let mut longer = problem.clone();
    longer.take_prices_away();
    longer.end = longer.end.saturating_add(minutes);
    for task in longer.tasks.iter_mut().filter(|t| t.latest >= problem.end - 1) {
        task.latest = task.latest.saturating_add(minutes);
    }
    let late = problem.dishes.iter().map(|d| d.late_price).max().unwrap_or(0);
    longer.finish_price = late.max(1) * DEARER;
    longer
}
