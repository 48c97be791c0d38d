//! Who waits for whom in a plan: loads for loads, steps for steps, whatever
//! comes next at a slot, in a pan or at another oven setting for what is there
//! before. The orders are those of the plan; the minutes are not.

use std::collections::BTreeMap;

use super::jobs::{Job, Seconds, Stage, jobs, seconds};
use super::shared::Factor;
use crate::kitchen::{Evening, Minute, Thermostat};
use crate::order::InOrder;
use crate::plan::{Plan, Situation, StepKey};

/// A plan ready to be played.
#[derive(Debug, Clone)]
pub(super) struct Net {
    /// By planned start.
    pub jobs: Vec<Job>,
    /// For each job, which others wait for it.
    pub arcs: Vec<Vec<Arc>>,
    /// For each job, how many arcs lead to it.
    pub waits_for: Vec<u32>,
    pub factors: Vec<Factor>,
    /// For each cook, the hours, rising; the last has no end.
    pub hours: Vec<Vec<(Seconds, Seconds)>>,
    pub services: Vec<Line>,
}

/// That a job starts so long after another one ends, or starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Arc {
    pub to: usize,
    pub lag: Seconds,
    pub from_end: bool,
}

/// A service that is still to come.
#[derive(Debug, Clone)]
pub(super) struct Line {
    pub service: usize,
    pub due: Minute,
    pub dishes: Vec<DishLine>,
}

/// A dish of it.
#[derive(Debug, Clone)]
pub(super) struct DishLine {
    pub dish: usize,
    /// Loads of its last step.
    pub last: Vec<usize>,
    /// When it was ready, where that is known.
    pub known: Option<Seconds>,
}

impl Net {
    pub fn new(evening: &Evening, situation: &Situation, plan: &Plan) -> Self {
        let (jobs, factors) = jobs(evening, situation, plan);
        let by_key = jobs.iter().enumerate().map(|(j, job)| (job.key, j)).collect();
        let mut weave = Weave { evening, plan, arcs: vec![Vec::new(); jobs.len()], jobs, by_key };
        weave.steps();
        weave.slots();
        weave.settings();
        weave.pans();
        let services = weave.services(situation);
        let Weave { jobs, mut arcs, .. } = weave;
        let mut waits_for = vec![0; jobs.len()];
        for list in &mut arcs {
            list.order_by_key(|a| (a.to, a.from_end, -a.lag));
            list.dedup_by_key(|a| (a.to, a.from_end));
            list.iter().for_each(|a| waits_for[a.to] += 1);
        }
        Self { jobs, arcs, waits_for, factors, hours: hours(evening), services }
    }
}

/// Each cook's hours. A late evening runs past the last of them.
fn hours(evening: &Evening) -> Vec<Vec<(Seconds, Seconds)>> {
    let of = |cook: &crate::kitchen::Cook| {
        let minute = |t| seconds(evening.face.minute_of(t));
        let mut free: Vec<_> = cook.free.iter().map(|f| (minute(f.from), minute(f.to))).collect();
        free.sort_unstable();
        if let Some(last) = free.last_mut() {
            last.1 = Seconds::MAX;
        }
        free
    };
    evening.party.cooks.iter().map(of).collect()
}

/// Something that has a slot, or an oven at a setting, for a while.
#[derive(Debug, Clone)]
struct Stay {
    from: Minute,
    to: Minute,
    /// The job that is there; none: food that waits.
    job: Option<usize>,
    /// What ends it: these jobs' ends (or starts).
    freed_by: Vec<usize>,
    at_end: bool,
    setting_c: Option<i32>,
}

struct Weave<'a> {
    evening: &'a Evening,
    plan: &'a Plan,
    jobs: Vec<Job>,
    by_key: BTreeMap<StepKey, usize>,
    arcs: Vec<Vec<Arc>>,
}

impl Weave<'_> {
    /// `to` waits for `from`. What is done already only says "not earlier".
    fn arc(&mut self, from: usize, from_end: bool, to: usize, lag: Seconds) {
        if from >= to || self.jobs[to].stage != Stage::Ahead {
            return; // Only ahead in the plan's order: no rings.
        }
        let known = match self.jobs[from].stage {
            Stage::Done(end) => Some(if from_end { end } else { self.jobs[from].floor }),
            Stage::Runs(_) if !from_end => Some(self.jobs[from].floor),
            _ => None,
        };
        match known {
            Some(at) => self.jobs[to].floor = self.jobs[to].floor.max(at.saturating_add(lag)),
            None => self.arcs[from].push(Arc { to, lag, from_end }),
        }
    }

    fn loads(&self, dish: usize, step: usize) -> Vec<usize> {
        let from = StepKey { dish, step, load: 0 };
        let to = StepKey { dish, step, load: u32::MAX };
        self.by_key.range(from..=to).map(|(_, &j)| j).collect()
    }

    fn last_loads(&self, dish: usize) -> Vec<usize> {
        let last = self.evening.sheets.get(dish).map(crate::kitchen::Sheet::last_step);
        last.map_or_else(Vec::new, |step| self.loads(dish, step))
    }

    /// Loads follow each other; steps follow those that they come after.
    fn steps(&mut self) {
        for (d, sheet) in self.evening.sheets.iter().enumerate() {
            let across: Vec<_> = self.evening.waits_across(d).collect();
            for wait in across {
                let first = self.loads(d, wait.step);
                let first = first.iter().find(|&&j| self.jobs[j].stage == Stage::Ahead);
                let Some(&first) = first else { continue };
                for from in self.loads(wait.from_dish, wait.from_step) {
                    self.arc(from, true, first, 0);
                }
            }
            for (s, step) in sheet.recipe.steps.iter().enumerate() {
                let loads = self.loads(d, s);
                for pair in loads.windows(2) {
                    self.arc(pair[0], true, pair[1], 0);
                }
                let first = loads.iter().find(|&&j| self.jobs[j].stage == Stage::Ahead);
                let Some(&first) = first else { continue };
                for after in &step.after {
                    let Some(before) = sheet.step_index(&after.step) else { continue };
                    let lag = seconds(Minute::try_from(after.least_minutes).unwrap_or(0));
                    for from in self.loads(d, before) {
                        self.arc(from, true, first, lag);
                    }
                }
            }
        }
    }

    /// Everything that is somewhere: by station, with the slots.
    fn stays(&self) -> Vec<(&str, &[u32], Stay)> {
        let mut stays: Vec<(&str, &[u32], Stay)> = Vec::new();
        for b in &self.plan.blocks {
            let Some(&job) = self.by_key.get(&b.key) else { continue };
            let (from, to, setting_c) = (b.start, b.end, b.setting_c);
            let stay =
                Stay { from, to, job: Some(job), freed_by: vec![job], at_end: true, setting_c };
            stays.push((&b.station, &b.slots, stay));
        }
        for h in &self.plan.holds {
            let (from, to, setting_c) = (h.from, h.to, h.setting_c);
            let freed_by = self.last_loads(h.dish);
            let stay = Stay { from, to, job: None, freed_by, at_end: true, setting_c };
            stays.push((&h.station, &h.slots, stay));
        }
        for w in &self.plan.waits {
            let Some(station) = &w.station else { continue };
            let freed_by = self.loads(w.dish, w.before_step);
            let (from, to) = (w.from, w.to);
            let stay = Stay { from, to, job: None, freed_by, at_end: false, setting_c: None };
            stays.push((station, &w.slots, stay));
        }
        stays.order_by_key(|(_, _, s)| (s.from, s.to, s.job));
        stays
    }

    /// `y` cannot begin before `x` is over.
    fn follows(&mut self, x: &Stay, y: &Stay, lag: Seconds) {
        let Some(to) = y.job.filter(|_| x.to <= y.from) else { return };
        for &from in &x.freed_by {
            self.arc(from, x.at_end, to, lag);
        }
    }

    /// At each slot things follow each other in the plan's order.
    fn slots(&mut self) {
        let mut at: BTreeMap<(String, u32), Vec<Stay>> = BTreeMap::new();
        for (station, slots, stay) in self.stays() {
            for &slot in slots {
                at.entry((station.to_owned(), slot)).or_default().push(stay.clone());
            }
        }
        for stays in at.values() {
            for (i, y) in stays.iter().enumerate() {
                // What waits is not held up itself, so what was there before it counts, too.
                for x in stays[..i].iter().rev() {
                    self.follows(x, y, 0);
                    if x.job.is_some() {
                        break;
                    }
                }
            }
        }
    }

    /// An oven's setting changes when all that has the one before is out, and takes its time.
    fn settings(&mut self) {
        let ovens: Vec<(String, Thermostat)> = self
            .evening
            .kitchen
            .stations
            .iter()
            .filter_map(|s| Some((s.id.clone(), s.thermostat?)))
            .collect();
        for (id, thermostat) in ovens {
            let here = self.stays().into_iter().filter(|(station, _, _)| *station == id);
            let uses: Vec<Stay> =
                here.map(|(_, _, s)| s).filter(|s| s.setting_c.is_some()).collect();
            let groups: Vec<&[Stay]> = uses.chunk_by(|x, y| x.setting_c == y.setting_c).collect();
            for pair in groups.windows(2) {
                for (x, y) in pair[0].iter().flat_map(|x| pair[1].iter().map(move |y| (x, y))) {
                    let (from_c, to_c) = (x.setting_c.unwrap_or(0), y.setting_c.unwrap_or(0));
                    self.follows(x, y, seconds(thermostat.minutes(from_c, to_c)));
                }
            }
        }
    }

    /// A pan goes from dish to dish in the plan's order.
    fn pans(&mut self) {
        let plan = self.plan;
        let mut at: BTreeMap<(&str, u32), Vec<usize>> = BTreeMap::new();
        for (i, pan) in plan.pans.iter().enumerate() {
            for &number in &pan.numbers {
                at.entry((&pan.cookware, number)).or_default().push(i);
            }
        }
        for list in at.values_mut() {
            list.order_by_key(|&i| plan.pans.get(i).map(|p| (p.from, p.to)));
            for pair in list.windows(2) {
                let (Some(x), Some(y)) = (plan.pans.get(pair[0]), plan.pans.get(pair[1])) else {
                    continue;
                };
                if x.to > y.from {
                    continue;
                }
                let mut before = self.users(x.dish, &x.cookware);
                before.extend(self.last_loads(x.dish).into_iter().filter(|_| self.stays_in(x)));
                for to in self.users(y.dish, &y.cookware) {
                    for &from in &before {
                        self.arc(from, true, to, 0);
                    }
                }
            }
        }
    }

    /// Loads of a dish that are done in a kind of pan.
    fn users(&self, dish: usize, cookware: &str) -> Vec<usize> {
        let kind = self.evening.kitchen.cookware.iter().find(|c| c.id == cookware).map(|c| &c.kind);
        let (Some(kind), Some(sheet)) = (kind, self.evening.sheets.get(dish)) else {
            return Vec::new();
        };
        let steps = sheet.recipe.steps.iter().enumerate();
        let using = steps.filter(|(_, s)| s.cookware.iter().any(|c| c.kind == *kind));
        using.flat_map(|(s, _)| self.loads(dish, s)).collect()
    }

    /// Does the dish wait for its service in the pan?
    fn stays_in(&self, pan: &crate::plan::PanBlock) -> bool {
        self.plan.holds.iter().any(|h| h.dish == pan.dish && h.to == pan.to)
    }

    /// Services of which something is still to be served.
    fn services(&self, situation: &Situation) -> Vec<Line> {
        let mut lines = Vec::new();
        for line in &self.plan.services {
            let gone = |d: usize| situation.served.contains(&d) || situation.dropped.contains(&d);
            if line.dishes.iter().all(|d| gone(d.0)) {
                continue;
            }
            let dish = |&(dish, ready, _): &(usize, Minute, Minute)| {
                let last = self.last_loads(dish);
                let done = last.iter().all(|&j| matches!(self.jobs[j].stage, Stage::Done(_)));
                // Served it is ready, whatever the plan still says; what was marked knows better.
                let served = situation.served.contains(&dish);
                let now = situation.now.filter(|_| served);
                let ready = now.map_or(ready, |now| ready.min(now));
                let over = last.is_empty() || (served && !done);
                DishLine { dish, last, known: over.then_some(seconds(ready)) }
            };
            let made = line.dishes.iter().filter(|d| !situation.dropped.contains(&d.0));
            let dishes = made.map(dish).collect();
            lines.push(Line { service: line.service, due: line.due, dishes });
        }
        lines
    }
}

#[cfg(test)]
mod tests;
