//! Rough schedules by the thousand: everything has a minute from which on it is
//! wanted, and is put in in that order, each task as soon as it then fits. So what
//! is late flows up into whatever is left free, and a change (a dish earlier, two
//! dishes in each other's place) is tried in a few microseconds: what comes before
//! the change stays, the rest is put in anew. Where a task must not wait so long
//! for the next, it is pulled after it.
//!
//! It keeps every rule but one: settings of an oven are looked at two by two.
//! What it finds is put into a [`State`] and so looked at again before it counts.

mod board;
mod cuts;
mod heat;
mod orders;
mod pull;
mod put;
mod wait;

pub use orders::Orders;

use board::Board;
use heat::Heat;

use super::laid::Laid;
use super::model::{Model, NONE};
use super::offer::named_in_stay;
use super::state::State;
use crate::plan::problem::{HandsPart, Mode, Schedule};

/// Later than any minute.
const FAR: i32 = i32::MAX / 4;

/// Levels that are taken from a start on, for so long.
#[derive(Debug, Clone, Copy)]
struct Need {
    resource: usize,
    units: usize,
    from: i32,
    to: i32,
}

/// What a task wants in one of the modes of its step.
#[derive(Debug, Clone, Default)]
struct Way {
    minutes: i32,
    needs: Vec<Need>,
    /// Of a cook, whoever it is.
    hands: Vec<Need>,
    /// Of stays that this task both begins and ends, if they do not span it already.
    kept: Vec<(usize, Need)>,
    heat: Option<Heat>,
}

/// A lag to or from another task, from an end or a start to an end or a start.
#[derive(Debug, Clone, Copy)]
struct Tie {
    other: usize,
    /// The end of the earlier task counts, or else its start; and the later one's.
    ends: (bool, bool),
    least: i32,
    most: i32,
}

/// A resource that is kept: from when to when so far, if that is known.
type Kept = (Option<i32>, Option<i32>);

/// All that changes when something is put in or taken out.
#[derive(Debug, Clone)]
struct Standing<'m> {
    laid: Laid<'m>,
    board: Board,
    heats: Vec<Vec<Heat>>,
    stays: Vec<Kept>,
    settled: Vec<bool>,
    /// For each dish when it is served, if it is settled.
    served: Vec<i32>,
}

impl Standing<'_> {
    /// Becomes what another is, in the room that this one has.
    fn copy(&mut self, other: &Self) {
        self.laid.mode.clone_from(&other.laid.mode);
        self.laid.placed.clone_from(&other.laid.placed);
        self.laid.start.clone_from(&other.laid.start);
        self.laid.cook.clone_from(&other.laid.cook);
        self.laid.hold.clone_from(&other.laid.hold);
        self.board.copy(&other.board);
        self.heats.clone_from(&other.heats);
        self.stays.clone_from(&other.stays);
        self.settled.clone_from(&other.settled);
        self.served.clone_from(&other.served);
    }
}

/// Rough schedules of a problem.
#[derive(Debug, Clone)]
pub struct Rail<'m> {
    m: &'m Model,
    /// Where things stand now.
    now: Standing<'m>,
    /// For each task a way for each mode of its step.
    ways: Vec<Vec<Way>>,
    before: Vec<Vec<Tie>>,
    after: Vec<Vec<Tie>>,
    /// For each dish and hold what it takes.
    holds: Vec<Vec<Way>>,
    /// Tasks that have not begun, each after those that lead to it.
    open: Vec<usize>,
    /// For each task the minute from which on it is wanted.
    wanted: Vec<i32>,
    /// Something was pulled without what it was pulled for: nothing stands as it should.
    broken: bool,
}

impl<'m> Rail<'m> {
    /// Only what has begun stands; a dish that is made already waits as is cheapest.
    /// None if it cannot.
    pub fn new(m: &'m Model, bare: &State<'m>) -> Option<Self> {
        let tasks = m.p.tasks.len();
        let board = Board::new(m, bare);
        let ways = (0..tasks).map(|t| {
            let modes = &m.p.steps[m.p.tasks[t].step].modes;
            modes.iter().map(|mode| way(m, &board, t, mode)).collect()
        });
        let ways: Vec<Vec<Way>> = ways.collect();
        let of_dish = |d: &crate::plan::problem::Dish| -> Vec<Way> {
            d.holds.iter().map(|h| wait::way(&board, h)).collect()
        };
        let holds = m.p.dishes.iter().map(of_dish).collect();
        let (before, after) = ties(m);
        let open = in_order(m, &before);
        let now = Standing {
            laid: (**bare).clone(),
            board,
            heats: heat::standing(m, bare),
            stays: (0..m.p.stays.len()).map(|s| bare.ends_of_stay(s)).collect(),
            settled: bare.settled.clone(),
            served: bare.wait.iter().map(|w| w.1).collect(),
        };
        let wanted = vec![0; tasks];
        let mut rail = Self { m, now, ways, before, after, holds, open, wanted, broken: false };
        let made = (0..m.p.dishes.len()).filter(|&d| bare.made(d).is_some());
        made.into_iter().all(|d| rail.settle(d)).then_some(rail)
    }

    /// Where everything stands, as a schedule in the model's minutes; settings
    /// are for a [`State`] to find.
    pub fn schedule(&self) -> Schedule {
        let chosen = |i: usize| (i != NONE).then_some(i);
        let laid = &self.now.laid;
        Schedule {
            mode: laid.mode.clone(),
            start: laid.start.clone(),
            cook: laid.cook.iter().map(|&c| chosen(c)).collect(),
            setting_c: vec![None; laid.start.len()],
            hold: laid.hold.iter().map(|&h| chosen(h)).collect(),
            hold_setting_c: vec![None; laid.hold.len()],
        }
    }
}

fn way(m: &Model, board: &Board, task: usize, mode: &Mode) -> Way {
    let need = |resource: usize, amount: i32, from: i32, to: i32| Need {
        resource,
        units: board.units(resource, amount),
        from,
        to,
    };
    let minutes = mode.minutes;
    let needs = mode.uses.iter().map(|u| need(u.resource, u.amount, 0, minutes)).collect();
    // Whoever it is: all cooks have the same levels.
    let cook = m.p.steps[m.p.tasks[task].step].cooks.first().copied();
    let hand = |h: &HandsPart| cook.map(|c| need(c, h.percent, h.from, h.to));
    let hands = mode.hands.iter().filter_map(hand).collect();
    let kept = m.stays_of[task].iter().filter_map(|&stay| {
        let uses = m.p.stays[stay].uses;
        let (from, to) = named_in_stay(m, stay, task, minutes);
        let (from, to) = from.zip(to).filter(|(from, to)| from < to)?;
        Some((stay, need(uses.resource, uses.amount, from, to)))
    });
    Way { minutes, needs, hands, kept: kept.collect(), heat: Heat::of(mode.oven) }
}

/// The lags before and after each task that bind whatever they cost.
fn ties(m: &Model) -> (Vec<Vec<Tie>>, Vec<Vec<Tie>>) {
    let n = m.p.tasks.len();
    let (mut before, mut after) = (vec![Vec::new(); n], vec![Vec::new(); n]);
    for lag in m.p.lags.iter().filter(|l| l.from.task != l.to.task) {
        let most = if lag.soft_most.is_some() { i32::MAX } else { lag.most };
        let ends = (lag.from.end, lag.to.end);
        let tie = |other: usize| Tie { other, ends, least: lag.least, most };
        if lag.least != i32::MIN || most != i32::MAX {
            after[lag.from.task].push(tie(lag.to.task));
            before[lag.to.task].push(tie(lag.from.task));
        }
    }
    (before, after)
}

/// The tasks that have not begun, each after those that lead to it.
fn in_order(m: &Model, before: &[Vec<Tie>]) -> Vec<usize> {
    let open: Vec<usize> = (0..m.p.tasks.len()).filter(|&t| m.p.tasks[t].fixed.is_none()).collect();
    let mut depth = vec![0usize; m.p.tasks.len()];
    // Lags that run in a circle stop at the count.
    for _ in 0..open.len() {
        let mut moved = false;
        for &t in &open {
            let leads = before[t].iter().filter(|tie| tie.least != i32::MIN);
            let least = leads.map(|tie| depth[tie.other] + 1).max().unwrap_or(0);
            if m.p.tasks[t].fixed.is_none() && depth[t] < least.min(open.len()) {
                depth[t] = least;
                moved = true;
            }
        }
        if !moved {
            break;
        }
    }
    let mut order = open;
    order.sort_by_key(|&t| (depth[t], t));
    order
}

#[cfg(test)]
mod tests;
