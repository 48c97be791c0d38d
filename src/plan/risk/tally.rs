//! Counts what happened over the evenings played.
//!
//! **On time**: no dish of the service is ready [`super::GRACE_MINUTES`] or more
//! after its due minute.
//!
//! **What endangers it**: in an evening that makes a service late, its latest
//! dish is followed back: it ended late because its last step began late or ran
//! over; that began late because something else ended late (a step before it,
//! whatever had the place, the pan, the oven's setting or the cook's hands); and
//! so on back to a step that began when it was planned. Every step on that chain
//! that ran over its likely minutes by at least one is to blame for those
//! minutes. The steps with the most minutes to blame over all late evenings
//! endanger the service most.

use std::collections::BTreeMap;

use super::forecast::Threat;
use super::jobs::{Seconds, seconds};
use super::net::{Line, Net};
use super::play::{By, Play};
use super::{GRACE_MINUTES, THREATS};
use crate::order::InOrder;

/// An overrun below this is not spoken of.
const LEAST_OVERRUN: Seconds = 60;

/// What happened to a service.
#[derive(Debug, Clone, Default)]
pub(super) struct Tally {
    pub on_time: u32,
    pub evenings: u32,
    /// For each of its dishes, seconds from due to ready, evening by evening.
    pub late: Vec<Vec<Seconds>>,
    /// Evenings and seconds for which each step is to blame.
    blame: BTreeMap<(usize, usize), (u32, i64)>,
    chain: Vec<((usize, usize), Seconds)>,
}

impl Tally {
    pub fn new(line: &Line) -> Self {
        Self { late: vec![Vec::new(); line.dishes.len()], ..Self::default() }
    }

    /// Counts an evening that was just played.
    pub fn count(&mut self, net: &Net, play: &Play<'_>, line: &Line) {
        let due = seconds(line.due);
        let mut latest: Option<(Seconds, Option<usize>)> = None;
        for (dish, late) in line.dishes.iter().zip(&mut self.late) {
            let last = dish.last.iter().copied().max_by_key(|&j| (play.end[j], j));
            let ready = dish.known.or(last.map(|j| play.end[j])).unwrap_or(due);
            late.push(ready.saturating_sub(due));
            if latest.is_none_or(|(at, _)| ready > at) {
                latest = Some((ready, last.filter(|_| dish.known.is_none())));
            }
        }
        self.evenings += 1;
        match latest {
            Some((ready, last)) if ready.saturating_sub(due) >= seconds(GRACE_MINUTES) => {
                if let Some(last) = last {
                    self.follow(net, play, last);
                }
            }
            _ => self.on_time += 1,
        }
    }

    /// Follows a job back to what began on its planned minute.
    fn follow(&mut self, net: &Net, play: &Play<'_>, last: usize) {
        self.chain.clear();
        let (mut job, mut by_its_end) = (last, true);
        // A chain only goes back in time, and no job is twice on it but for its start and end.
        for _ in 0..2 * net.jobs.len() {
            let Some(own) = net.jobs.get(job) else { break };
            let over = play.took[job] - (own.spread.likely() * 60.0) as Seconds;
            if by_its_end && over >= LEAST_OVERRUN {
                let step = (own.key.dish, own.key.step);
                match self.chain.iter_mut().find(|c| c.0 == step) {
                    Some(seen) => seen.1 += over,
                    None => self.chain.push((step, over)),
                }
            }
            (job, by_its_end) = match play.by[job] {
                By::Plan => break,
                By::End(before) => (before, true),
                By::Start(before) => (before, false),
            };
        }
        for &(step, over) in &self.chain {
            let (evenings, sum) = self.blame.entry(step).or_default();
            *evenings += 1;
            *sum += i64::from(over);
        }
    }

    /// The steps that endanger it most, the worst first.
    pub fn threats(&self) -> Vec<Threat> {
        let mut steps: Vec<_> = self.blame.iter().collect();
        steps.order_by_key(|&(&step, &(_, sum))| (std::cmp::Reverse(sum), step));
        let worst = steps.into_iter().take(THREATS);
        worst
            .map(|(&(dish, step), &(evenings, sum))| Threat {
                dish,
                step,
                evenings,
                over_minutes: i32::try_from(sum / (60 * i64::from(evenings.max(1)))).unwrap_or(0),
            })
            .collect()
    }
}

#[cfg(test)]
mod tests;
