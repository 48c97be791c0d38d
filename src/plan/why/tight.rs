//! What stands in the way of moving a block: the rule that would be broken,
//! and who would have to give way. The judge says that a rule is broken; this
//! finds out by whom.

use super::stand::{Claim, Heat, Side, Stand, Who};
use crate::plan::judge::{Fault, judge};
use crate::plan::problem::{Limit, Problem, Schedule};

/// Something that stands in the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tight {
    /// It has begun: it stands as it happened.
    Begun,
    /// Nothing starts before the present minute, or before the hours begin.
    Now,
    /// The cook pinned it.
    Pin,
    /// The last minute of the evening.
    Horizon,
    /// The least or most wait between two loads.
    Wait {
        /// Index of the lag.
        lag: usize,
        /// The load at the other end.
        other: usize,
    },
    /// The place, pan or cook is taken.
    Taken {
        /// Index of the resource.
        resource: usize,
        /// By whom.
        by: Who,
        /// From when.
        from: i32,
        /// Until when.
        to: i32,
    },
    /// The cook is not there.
    Away {
        /// Index of the resource.
        resource: usize,
        /// The hours away.
        hours: (i32, i32),
    },
    /// The oven is at another setting for somebody else, or not there yet.
    Oven {
        /// Index of the oven.
        oven: usize,
        /// For whom.
        by: Who,
        /// Its setting then, °C.
        c: i32,
        /// From when.
        from: i32,
        /// Until when.
        to: i32,
        /// Minutes that it takes from the one setting to the other.
        change: i32,
    },
    /// The oven has to heat up (or cool down) first.
    Heating {
        /// Index of the oven.
        oven: usize,
        /// Minutes that it takes.
        minutes: i32,
    },
    /// The dish may wait for its service only so long.
    Hold {
        /// Index of the dish in the problem.
        dish: usize,
        /// The most minutes.
        most: i32,
    },
    /// The dish goes straight to the table.
    Straight {
        /// Index of the dish in the problem.
        dish: usize,
    },
    /// A safety limit on the minutes from a point to the table.
    Limit {
        /// Index of the dish in the problem.
        dish: usize,
        /// The most minutes.
        most: i32,
        /// Since when.
        since: i32,
    },
}

impl Tight {
    /// The load that would have to give way; None for a fact.
    #[must_use]
    pub fn gives_way(&self, stand: &Stand, side: Side) -> Option<usize> {
        match *self {
            Self::Wait { other, .. } => Some(other),
            Self::Taken { by, .. } | Self::Oven { by, .. } => giver(stand, by, side),
            _ => None,
        }
    }
}

/// The load whose move would free what `who` takes.
fn giver(stand: &Stand, who: Who, side: Side) -> Option<usize> {
    match (who, side) {
        (Who::Task(t) | Who::Hands(t), _) => Some(t),
        (Who::Stay(s), Side::Earlier) => {
            let points = stand.problem.stays[s].to.iter().filter(|p| stand.active(p.task));
            let last = points.max_by_key(|p| (stand.at(**p), p.task))?;
            let served = stand.stay_served(s);
            served.is_none_or(|served| served <= stand.at(*last)).then_some(last.task)
        }
        (Who::Stay(s), Side::Later) => {
            let points = stand.problem.stays[s].from.iter().filter(|p| stand.active(p.task));
            points.min_by_key(|p| (stand.at(**p), p.task)).map(|p| p.task)
        }
        // Until its service, which is a fact.
        (Who::Hold(_), Side::Earlier) => None,
        (Who::Hold(d), Side::Later) => stand.last_loads(d).map(|l| l.0),
    }
}

/// What stands in the way of moving some loads, each by so many minutes, with
/// nothing else moved. Empty if nothing does. A load that has begun does not move.
#[must_use]
pub fn tights(stand: &Stand, moves: &[(usize, i32)], side: Side) -> Vec<Tight> {
    if moves.iter().any(|&(t, _)| stand.begun(t)) {
        return vec![Tight::Begun];
    }
    let schedule = stand.moved(moves);
    match judge(stand.problem, &schedule) {
        Ok(_) => Vec::new(),
        Err(faults) => Finder { stand: *stand, schedule: &schedule, moves, side }.all(&faults),
    }
}

struct Finder<'a> {
    stand: Stand<'a>,
    /// With the loads moved.
    schedule: &'a Schedule,
    moves: &'a [(usize, i32)],
    side: Side,
}

impl Finder<'_> {
    fn all(&self, faults: &[Fault]) -> Vec<Tight> {
        let mut found: Vec<Tight> = Vec::new();
        for fault in faults {
            for tight in self.of(fault) {
                if !found.contains(&tight) {
                    found.push(tight);
                }
            }
        }
        found
    }

    fn problem(&self) -> &Problem {
        self.stand.problem
    }

    fn after(&self) -> Stand<'_> {
        Stand { problem: self.stand.problem, schedule: self.schedule }
    }

    fn of(&self, fault: &Fault) -> Vec<Tight> {
        match *fault {
            Fault::Window { task } => vec![self.window(task)],
            Fault::Lag { lag } => self.lag(lag).into_iter().collect(),
            Fault::Resource { resource, .. } => self.taken(resource),
            Fault::Oven { oven, .. } => self.oven(oven),
            Fault::Hold { dish } => self.hold(dish),
            Fault::Shape | Fault::Choice(_) => Vec::new(),
        }
    }

    fn window(&self, task: usize) -> Tight {
        let (t, start) = (&self.problem().tasks[task], self.schedule.start[task]);
        if start < self.problem().start {
            Tight::Now
        } else if start < t.earliest || start > t.latest {
            Tight::Pin
        } else {
            Tight::Horizon
        }
    }

    fn has_moved(&self, task: usize) -> bool {
        self.moves.iter().any(|m| m.0 == task)
    }

    fn lag(&self, lag: usize) -> Option<Tight> {
        let l = &self.problem().lags[lag];
        let others = [l.from.task, l.to.task].into_iter().filter(|&t| !self.has_moved(t));
        others.map(|other| Tight::Wait { lag, other }).next()
    }

    /// Claims that are where they were, and those that moved along.
    fn claims(&self, resource: usize) -> (Vec<Claim>, Vec<Claim>) {
        let before = self.stand.claims();
        let claims = self.after().claims();
        claims.into_iter().filter(|c| c.resource == resource).partition(|c| before.contains(c))
    }

    fn taken(&self, resource: usize) -> Vec<Tight> {
        let (theirs, ours) = self.claims(resource);
        let first = ours.iter().map(|c| c.from).min().unwrap_or(0).max(self.problem().start);
        let last = ours.iter().map(|c| c.to).max().unwrap_or(0);
        let r = &self.problem().resources[resource];
        let (mut edge, mut any): (Vec<Tight>, Vec<Tight>) = (Vec::new(), Vec::new());
        for minute in first..last {
            if !ours.iter().any(|c| c.covers(minute)) {
                continue;
            }
            let here = || theirs.iter().filter(|c| c.covers(minute));
            let both = || here().chain(ours.iter().filter(|c| c.covers(minute)));
            let fixed: i32 = both().filter(|c| c.fixed).map(|c| c.amount).sum();
            let closed = r.closed.iter().find(|h| h.0 <= minute && minute < h.1);
            let capacity = if closed.is_some() { 0 } else { r.capacity };
            if both().map(|c| c.amount).sum::<i32>() <= capacity.max(fixed) {
                continue;
            }
            if let Some(&hours) = closed {
                edge.push(Tight::Away { resource, hours });
                continue;
            }
            for c in here() {
                let tight = Tight::Taken { resource, by: c.who, from: c.from, to: c.to };
                let at_edge = match self.side {
                    Side::Earlier => c.to == minute + 1,
                    Side::Later => c.from == minute,
                };
                if at_edge { edge.push(tight) } else { any.push(tight) }
            }
        }
        if edge.is_empty() { any } else { edge }
    }

    fn oven(&self, oven: usize) -> Vec<Tight> {
        let before = self.stand.heats();
        let heats = self.after().heats().into_iter().filter(|h| h.oven == oven);
        let (theirs, ours): (Vec<Heat>, Vec<Heat>) = heats.partition(|h| before.contains(h));
        let the_oven = &self.problem().ovens[oven];
        let mut found = Vec::new();
        for own in &ours {
            let minutes = the_oven.minutes(the_oven.start_c, own.c);
            // An oven that is hot already is not what keeps anything from starting in the past.
            if minutes > 0 && own.from - self.problem().start < minutes && !own.fixed {
                found.push(Tight::Heating { oven, minutes });
            }
            for h in theirs.iter().filter(|h| h.c != own.c) {
                let (first, second) = if h.from <= own.from { (h, own) } else { (own, h) };
                let change = the_oven.minutes(first.c, second.c);
                if second.from - first.to < change {
                    let (by, c, from, to) = (h.who, h.c, h.from, h.to);
                    found.push(Tight::Oven { oven, by, c, from, to, change });
                }
            }
        }
        found
    }

    fn hold(&self, d: usize) -> Vec<Tight> {
        let (dish, after) = (&self.problem().dishes[d], self.after());
        let serving = after.serving(d);
        let waits = serving.served - serving.out;
        let chosen = self.schedule.hold[d].and_then(|h| dish.holds.get(h));
        let mut found = Vec::new();
        match chosen {
            None if waits != 0 => found.push(Tight::Straight { dish: d }),
            Some(hold) if waits > hold.most && hold.soft_most.is_none() => {
                found.push(Tight::Hold { dish: d, most: hold.most });
            }
            _ => {}
        }
        let limits: &[Limit] = chosen.map_or(&dish.straight, |h| &h.limits);
        for limit in limits {
            let hard = limit.soft_most.is_none() && after.active(limit.from.task);
            if hard && serving.served - after.at(limit.from) > limit.most {
                let since = self.stand.at(limit.from);
                found.push(Tight::Limit { dish: d, most: limit.most, since });
            }
        }
        found
    }
}
