//! Turns a schedule of integers back into a [`Plan`] for people: which slots,
//! which pans, when to turn which dial, when each dish is served.

mod heat;
mod history;
mod places;
pub mod slots;

#[cfg(test)]
mod kept_tests;
#[cfg(test)]
pub(crate) mod tests;

use super::blocks::{Block, Cost, HoldBlock, PanBlock, Plan, Proof, ServiceLine, WaitBlock};
use super::build::{Map, StayAt};
use super::judge::{self, Serving};
use super::problem::{Point, Problem, Schedule};
use super::risk::Room;
use super::situation::{Begun, Situation, StepKey};
use crate::kitchen::{Evening, Minute};
use crate::order::InOrder;

/// A schedule with what is known about it.
#[derive(Debug, Clone, Copy)]
pub struct Solved<'a> {
    /// The schedule, which keeps every rule of its problem.
    pub schedule: &'a Schedule,
    /// What it costs.
    pub cost: Cost,
    /// No schedule costs less.
    pub bound: i64,
    /// How good it is known to be.
    pub proof: Proof,
}

/// The plan of a schedule. Slots and pans have numbers such that no two things
/// have one at a time; what was on the plan before keeps its numbers if it can.
#[must_use]
pub fn compose(
    evening: &Evening,
    situation: &Situation,
    problem: &Problem,
    map: &Map,
    solved: Solved<'_>,
) -> Plan {
    let compose = Compose { evening, situation, problem, map, schedule: solved.schedule };
    let mut plan = Plan {
        made_for: problem.start,
        blocks: compose.blocks(),
        holds: compose.holds(),
        waits: compose.waits(),
        settings: compose.settings(),
        pans: compose.pans(),
        services: compose.services(),
        cost: solved.cost,
        bound: solved.bound,
        proof: solved.proof,
        room: Room::default(),
        cleans: Vec::new(),
    };
    compose.add_history(&mut plan);
    compose.number_slots(&mut plan);
    compose.number_pans(&mut plan);
    plan.blocks.order_by_key(|b| (b.start, b.end, b.key));
    plan.holds.order_by_key(|h| (h.from, h.dish));
    plan.waits.order_by_key(|w| (w.from, w.dish, w.before_step));
    plan.settings.order_by(|a, b| (a.from, a.to, &a.station).cmp(&(b.from, b.to, &b.station)));
    plan.pans.order_by(|a, b| (a.from, a.dish, &a.cookware).cmp(&(b.from, b.dish, &b.cookware)));
    plan
}

/// Everything that the parts of a plan are made from.
struct Compose<'a> {
    evening: &'a Evening,
    situation: &'a Situation,
    problem: &'a Problem,
    map: &'a Map,
    schedule: &'a Schedule,
}

impl Compose<'_> {
    fn at(&self, point: Point) -> Minute {
        if point.end {
            self.problem.end_of(self.schedule, point.task)
        } else {
            self.start(point.task)
        }
    }

    fn start(&self, task: usize) -> Minute {
        self.problem.tasks[task].fixed.map_or(self.schedule.start[task], |f| f.start)
    }

    fn serving(&self, dish: usize) -> Serving {
        judge::serving(self.problem, self.schedule, dish)
    }

    fn station_id(&self, station: Option<usize>) -> String {
        let found = station.and_then(|i| self.evening.kitchen.stations.get(i));
        found.map_or_else(String::new, |s| s.id.clone())
    }

    fn cook_id(&self, resource: usize) -> Option<String> {
        let cook = resource.checked_sub(self.map.stations)?;
        self.evening.party.cooks.get(cook).map(|c| c.id.clone())
    }

    fn blocks(&self) -> Vec<Block> {
        (0..self.problem.tasks.len())
            .filter(|&t| self.problem.active(self.schedule, t) && !self.map.tasks[t].shadow)
            .map(|t| self.block(t))
            .collect()
    }

    fn block(&self, task: usize) -> Block {
        let (t, key) = (&self.problem.tasks[task], self.map.tasks[task].key);
        let at = self.map.steps[t.step].modes[self.schedule.mode[t.step]];
        let (start, end) = (self.start(task), self.problem.end_of(self.schedule, task));
        let step = &self.evening.sheets[key.dish].recipe.steps[key.step];
        let asks =
            self.situation.begun.get(&key).is_none_or(|b| matches!(b, Begun::Running { .. }));
        let whole = |n: u32| Minute::try_from(n).unwrap_or(Minute::MAX);
        let hands_start = whole(step.hands.start_minutes).min(end - start);
        let way = step.ways.get(at.way);
        let station = at.station.and_then(|i| self.evening.kitchen.stations.get(i));
        let shown = self.shown(key).filter(|b| t.fixed.is_some() && b.way == at.way);
        let dial = station.is_some_and(|s| s.thermostat.is_some());
        Block {
            key,
            loads: self.loads_of(key.dish, key.step),
            way: at.way,
            station: self.station_id(at.station),
            slots: Vec::new(),
            cook: match shown.filter(|_| !asks) {
                Some(shown) => shown.cook.clone(),
                None => self.schedule.cook[task]
                    .filter(|_| has_hands(step.hands))
                    .and_then(|c| self.cook_id(c)),
            },
            start,
            end,
            hands_start,
            hands_end: whole(step.hands.end_minutes).min(end - start - hands_start),
            hands_between: whole(step.hands.between_percent),
            setting_c: match self.schedule.setting_c[task] {
                Some(c) => Some(c),
                None if dial => self.begun_setting(task).or(shown.and_then(|s| s.setting_c)),
                None => way.and_then(|w| w.at_c),
            },
            begun: t.fixed.is_some(),
        }
    }

    /// A block as the plan on the screen has it.
    fn shown(&self, key: StepKey) -> Option<&Block> {
        self.situation.previous.as_ref()?.blocks.iter().find(|b| b.key == key)
    }

    fn begun_setting(&self, task: usize) -> Option<i32> {
        match self.situation.begun.get(&self.map.tasks[task].key)? {
            Begun::Running { setting_c, .. } => *setting_c,
            Begun::Done { .. } => None,
        }
    }

    /// Loads of a step, over all the ways that they are made in.
    fn loads_of(&self, dish: usize, step: usize) -> u32 {
        let tasks = (0..self.problem.tasks.len()).filter(|&t| {
            let at = self.map.tasks[t];
            (at.key.dish, at.key.step, at.shadow) == (dish, step, false)
                && self.problem.active(self.schedule, t)
        });
        u32::try_from(tasks.count()).unwrap_or(u32::MAX)
    }

    fn holds(&self) -> Vec<HoldBlock> {
        let mut holds = Vec::new();
        for (d, &dish) in self.map.dishes.iter().enumerate() {
            let Some(chosen) = self.schedule.hold[d] else { continue };
            let (at, serving) = (self.map.holds[d][chosen], self.serving(d));
            if serving.served > serving.out {
                holds.push(HoldBlock {
                    dish,
                    hold: at.hold,
                    class: at.class,
                    station: self.station_id(at.station),
                    slots: Vec::new(),
                    from: serving.out,
                    to: serving.served,
                    setting_c: self.schedule.hold_setting_c[d],
                });
            }
        }
        holds
    }

    /// From when to when a stay lasts; None if it does not.
    fn span(&self, stay: usize) -> Option<(Minute, Minute)> {
        let stay = &self.problem.stays[stay];
        let active = |p: &&Point| self.problem.active(self.schedule, p.task);
        let from = stay.from.iter().filter(active).map(|&p| self.at(p)).min()?;
        let mut to = stay.to.iter().filter(active).map(|&p| self.at(p)).max()?;
        for &(dish, hold) in &stay.through_hold {
            if self.schedule.hold[dish] == Some(hold) {
                to = to.max(self.serving(dish).served);
            }
        }
        (from < to).then_some((from, to))
    }

    fn waits(&self) -> Vec<WaitBlock> {
        let mut waits = Vec::new();
        for (n, at) in self.map.stays.iter().enumerate() {
            let StayAt::Wait { dish, after_step, before_step, place, station } = *at else {
                continue;
            };
            if let Some((from, to)) = self.span(n) {
                let station = Some(self.station_id(Some(station)));
                let slots = Vec::new();
                waits.push(WaitBlock {
                    dish,
                    after_step,
                    before_step,
                    place,
                    station,
                    slots,
                    from,
                    to,
                });
            }
        }
        waits
    }

    /// A block for each pan; how many it is of is said by as many numbers, all 0 for now.
    fn pans(&self) -> Vec<PanBlock> {
        let mut pans = Vec::new();
        for (n, at) in self.map.stays.iter().enumerate() {
            let StayAt::Pan { dish, cookware } = *at else { continue };
            let Some(ware) = self.evening.kitchen.cookware.get(cookware) else { continue };
            if let Some((from, to)) = self.span(n) {
                let many = usize::try_from(self.problem.stays[n].uses.amount).unwrap_or(0);
                let (cookware, numbers) = (ware.id.clone(), vec![0; many]);
                pans.push(PanBlock { cookware, numbers, dish, from, to });
            }
        }
        pans
    }

    fn services(&self) -> Vec<ServiceLine> {
        let services = self.evening.party.services.iter().enumerate();
        services
            .map(|(service, _)| {
                let moved = self.situation.service_at.get(&service).copied();
                let due = moved.unwrap_or_else(|| self.evening.service_minute(service));
                let of_it = |d: &usize| {
                    let sheet = self.evening.sheets.get(self.map.dishes[*d]);
                    sheet.is_some_and(|s| s.service == service)
                };
                let dishes = (0..self.map.dishes.len()).filter(of_it).map(|d| {
                    let serving = self.serving(d);
                    (self.map.dishes[d], serving.ready, serving.served)
                });
                ServiceLine { service, due, dishes: dishes.collect() }
            })
            .collect()
    }
}

fn has_hands(hands: crate::kitchen::Hands) -> bool {
    hands.start_minutes > 0 || hands.end_minutes > 0 || hands.between_percent > 0
}
