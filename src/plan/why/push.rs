//! How far a block can slip if all that follows is pushed along: nobody
//! changes place, pan, cook or turn, nobody starts earlier, and no service is
//! later than it is now.
//!
//! What must stay apart is written as edges "starts at least so many minutes
//! after the start of"; pushing is the least starts that keep them all. The
//! judge has the last word on each.

use super::room::{MOST_MINUTES, late};
use super::stand::{Claim, Stand, Who};
use crate::order::InOrder;
use crate::plan::judge::judge;
use crate::plan::problem::{Point, Schedule};

/// How far a block can slip with the rest pushed along.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Slip {
    /// Minutes, each of them allowed.
    pub minutes: i32,
    /// It could slip further; [`MOST_MINUTES`] were looked at.
    pub more: bool,
    /// The dish (of the problem) that a minute more would make late; None if
    /// something else gives out first: then turns or places would have to change.
    pub late: Option<usize>,
}

/// The slip of a load. None if `stop` says so.
#[must_use]
pub fn slip(stand: &Stand, task: usize, stop: &dyn Fn() -> bool) -> Option<Slip> {
    if stand.begun(task) {
        return Some(Slip::default());
    }
    let net = Net::new(stand);
    let mut slip = Slip { more: true, ..Slip::default() };
    for minutes in 1..=MOST_MINUTES {
        if stop() {
            return None;
        }
        if net.slipped(stand, task, minutes).is_none() {
            let pushed = net.push(stand, task, minutes);
            let late = pushed.and_then(|p| late(stand, &p));
            return Some(Slip { more: false, late, ..slip });
        }
        slip.minutes = minutes;
    }
    Some(slip)
}

/// `to` starts at least `gap` minutes after the start of `from`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Edge {
    from: usize,
    to: usize,
    gap: i32,
}

/// The edges of a schedule.
#[derive(Debug)]
pub struct Net {
    edges: Vec<Edge>,
}

/// A point as minutes from the start of a load.
type Off = (usize, i32);

impl Net {
    /// The edges that hold in a schedule: waits, and the turns on every place, pan, oven and cook.
    #[must_use]
    pub fn new(stand: &Stand) -> Self {
        let mut net = Self { edges: Vec::new() };
        net.waits(stand);
        net.turns(stand);
        net.heats(stand);
        // What has happened against a rule stays so, and holds nobody up.
        net.edges.retain(|e| stand.start(e.to) >= stand.start(e.from) + e.gap);
        net.edges.sort_unstable();
        net.edges.dedup();
        net
    }

    /// A schedule with one load just so many minutes later, alone if that will
    /// do, else with the rest pushed along; every rule kept and no dish later.
    #[must_use]
    pub fn slipped(&self, stand: &Stand, task: usize, by: i32) -> Option<Schedule> {
        let fits = |s: &Schedule| judge(stand.problem, s).is_ok() && late(stand, s).is_none();
        let alone = Some(stand.moved(&[(task, by)])).filter(fits);
        alone.or_else(|| self.push(stand, task, by).filter(fits))
    }

    /// The least starts that keep all edges with one load just so many minutes later. None if
    /// there are none: the load itself would have to start later still, something that has
    /// begun would have to move, or the evening is too short.
    #[must_use]
    pub fn push(&self, stand: &Stand, task: usize, by: i32) -> Option<Schedule> {
        let mut start: Vec<i32> = starts(stand);
        *start.get_mut(task)? += by;
        let start = settled(stand, &self.edges, start)?;
        // Pushed on by itself it would not be so many minutes later, but more.
        let own = start[task] == stand.start(task) + by;
        own.then(|| Schedule { start, ..stand.schedule.clone() })
    }

    /// The least starts that keep all edges if one load, which may have begun,
    /// takes so many minutes longer: something to begin a search from.
    #[must_use]
    pub fn lengthened(&self, stand: &Stand, task: usize, by: i32) -> Option<Vec<i32>> {
        let minutes = stand.end(task) - stand.start(task);
        // What hangs on its end, not on its start.
        let longer = |e: &Edge| match e.from == task && e.gap >= minutes {
            true => Edge { gap: e.gap + by, ..*e },
            false => *e,
        };
        let edges: Vec<Edge> = self.edges.iter().map(longer).collect();
        settled(stand, &edges, starts(stand))
    }

    fn add(&mut self, from: Off, to: Off, least: i32) {
        if from.0 != to.0 && least > i32::MIN / 2 {
            self.edges.push(Edge { from: from.0, to: to.0, gap: from.1 + least - to.1 });
        }
    }

    fn waits(&mut self, stand: &Stand) {
        for lag in &stand.problem.lags {
            if !stand.active(lag.from.task) || !stand.active(lag.to.task) {
                continue;
            }
            let (from, to) = (off(stand, lag.from), off(stand, lag.to));
            self.add(from, to, lag.least);
            if lag.most < i32::MAX && lag.soft_most.is_none() {
                self.add(to, from, -lag.most);
            }
        }
    }

    /// On each resource, whoever had a unit of it before stays before.
    fn turns(&mut self, stand: &Stand) {
        let mut claims = stand.claims();
        claims.order_by_key(|c| (c.resource, c.from, c.to, c.who));
        for of_one in claims.chunk_by(|a, b| a.resource == b.resource) {
            let Some(resource) = of_one.first().map(|c| c.resource) else { continue };
            if of_one.iter().any(|c| matches!(c.who, Who::Hands(_))) {
                self.pairs(stand, of_one, stand.problem.resources[resource].capacity);
            } else {
                self.units(stand, of_one);
            }
        }
    }

    /// A cook is shared by per cent: whoever cannot be served at the same time keeps turns.
    fn pairs(&mut self, stand: &Stand, claims: &[Claim], capacity: i32) {
        for (i, a) in claims.iter().enumerate() {
            for b in claims.iter().skip(i + 1) {
                if a.amount + b.amount > capacity && a.to <= b.from {
                    self.before(stand, a, b, 0);
                }
            }
        }
    }

    /// Places and pans are given out one by one, the lowest free one first.
    fn units(&mut self, stand: &Stand, claims: &[Claim]) {
        let mut had: Vec<Claim> = Vec::new();
        for claim in claims {
            for _ in 0..claim.amount {
                match had.iter().position(|last| last.to <= claim.from) {
                    Some(unit) => {
                        let last = std::mem::replace(&mut had[unit], *claim);
                        self.before(stand, &last, claim, 0);
                    }
                    None => had.push(*claim),
                }
            }
        }
    }

    fn heats(&mut self, stand: &Stand) {
        let heats = stand.heats();
        for a in &heats {
            for b in heats.iter().filter(|b| b.oven == a.oven && b.c != a.c && a.to <= b.from) {
                let change = stand.problem.ovens[a.oven].minutes(a.c, b.c);
                let claim = |h: &super::stand::Heat| Claim {
                    who: h.who,
                    resource: 0,
                    amount: 0,
                    from: h.from,
                    to: h.to,
                    fixed: h.fixed,
                };
                self.before(stand, &claim(a), &claim(b), change);
            }
        }
    }

    /// The second begins at least so many minutes after the first ends.
    fn before(&mut self, stand: &Stand, first: &Claim, second: &Claim, least: i32) {
        for &from in &ends(stand, first) {
            for &to in &begins(stand, second) {
                self.add(from, to, least);
            }
        }
    }
}

fn starts(stand: &Stand) -> Vec<i32> {
    (0..stand.problem.tasks.len()).map(|t| stand.start(t)).collect()
}

/// The least starts from these on that keep all edges and the cooks' hours.
fn settled(stand: &Stand, edges: &[Edge], mut start: Vec<i32>) -> Option<Vec<i32>> {
    loop {
        let mut moved = false;
        for edge in edges {
            let least = start[edge.from].saturating_add(edge.gap);
            if start[edge.to] < least {
                if stand.begun(edge.to) || least > stand.problem.end {
                    return None;
                }
                start[edge.to] = least;
                moved = true;
            }
        }
        for (t, at) in start.iter_mut().enumerate() {
            if *at > stand.start(t)
                && let Some(later) = when_there(stand, t, *at)
            {
                *at = later;
                moved = true;
            }
        }
        if !moved {
            return Some(start);
        }
    }
}

fn off(stand: &Stand, point: Point) -> Off {
    let t = point.task;
    (t, if point.end { stand.end(t) - stand.start(t) } else { 0 })
}

/// The points at which a claim begins: none of them may come sooner.
fn begins(stand: &Stand, claim: &Claim) -> Vec<Off> {
    match claim.who {
        Who::Task(t) | Who::Hands(t) => vec![(t, claim.from - stand.start(t))],
        Who::Stay(s) => points(stand, &stand.problem.stays[s].from),
        Who::Hold(d) => stand
            .last_loads(d)
            .map(|(first, _)| off(stand, Point { task: first, end: true }))
            .into_iter()
            .collect(),
    }
}

/// The points at which a claim ends. A service is none: it does not move.
fn ends(stand: &Stand, claim: &Claim) -> Vec<Off> {
    match claim.who {
        Who::Task(t) | Who::Hands(t) => vec![(t, claim.to - stand.start(t))],
        Who::Stay(s) => points(stand, &stand.problem.stays[s].to),
        Who::Hold(_) => Vec::new(),
    }
}

fn points(stand: &Stand, points: &[Point]) -> Vec<Off> {
    points.iter().filter(|p| stand.active(p.task)).map(|&p| off(stand, p)).collect()
}

/// The next start at which the load's cook is there all the while; None if this one will do.
fn when_there(stand: &Stand, task: usize, start: i32) -> Option<i32> {
    let problem = stand.problem;
    let step = problem.tasks[task].step;
    let mode = &problem.steps[step].modes[stand.schedule.mode[step]];
    let closed = &problem.resources.get(stand.schedule.cook[task]?)?.closed;
    let clash = |part: &crate::plan::problem::HandsPart| {
        let meets = |h: &&(i32, i32)| start + part.from < h.1 && h.0 < start + part.to;
        closed.iter().find(meets).map(|h| h.1 - part.from)
    };
    mode.hands.iter().filter_map(clash).max()
}
