//! The ways out of an evening in which not every demand can be met: each found,
//! solved by the ordinary planner, checked like any plan, and priced.
//!
//! Candidates with a figure still open (how much later, how much earlier, from
//! when, for how many) get the least that will do, by halving: each look is a
//! search for any schedule that meets every demand ([`super::works`]). Only then
//! is the plan made. One that does not resolve the clash is no way out.

use std::sync::Arc;

use super::candidates::{Candidate, Known, candidates, due, first_hour};
use super::change::{Change, Settle, apply};
use super::demand::{self, Clash, Demand};
use super::figures::Figures;
use super::price::{self, Loss};
use super::words;
use super::works::{Look, Question, look};
use crate::kitchen::{Evening, Minute};
use crate::order::InOrder;
use crate::plan::planner::{Budget, NoPlan, Planning};
use crate::plan::problem::Schedule;
use crate::plan::{Plan, Situation};

/// The most ways out that are shown.
pub const MOST: usize = 5;

/// The most of one kind among them.
const MOST_OF_KIND: usize = 2;

/// With fewer ways out than this, changes are tried together with a later service.
const ENOUGH: usize = 3;

/// Candidates that are tried so.
const TRIED_TOGETHER: usize = 12;

/// The most dishes that are dropped together where nothing less helps.
const MOST_DROPPED: usize = 4;

/// The most minutes by which a service is put off.
const MOST_LATER: Minute = 4 * 60;

/// The most minutes by which a cook begins earlier.
const MOST_EARLIER: Minute = 6 * 60;

/// The most minutes by which a cook stays longer.
const MOST_LONGER: Minute = 4 * 60;

/// The most pieces of one pan that are borrowed.
const MOST_MORE: Minute = 4;

/// A helper comes at a quarter of an hour.
const QUARTER: Minute = 15;

/// An evening whose ways out are wanted.
#[derive(Clone, Copy)]
pub struct Ask<'a> {
    /// The evening.
    pub evening: &'a Evening,
    /// What has happened.
    pub situation: &'a Situation,
    /// The same seed and rounds give the same answers, if nothing stops it.
    pub seed: u64,
    /// Rounds of improvement for each plan.
    pub rounds: u64,
    /// Asked now and then; true ends the work.
    pub stop: &'a (dyn Fn() -> bool + Sync),
    /// Has knife work follow a change.
    pub settle: Settle,
}

/// A way out: changes, and the plan that they make possible.
#[derive(Debug, Clone, PartialEq)]
pub struct WayOut {
    /// What is changed.
    pub changes: Vec<Change>,
    /// The same in words.
    pub words: String,
    /// The plan, checked: every service on time but for what was ready late, no limit passed.
    pub plan: Arc<Plan>,
    /// What the plan is like.
    pub figures: Figures,
    /// What the changes lose.
    pub loss: Loss,
    /// What it costs the cook, in cost units: see [`price`].
    pub price: i64,
}

/// What comes to light, as it does.
#[derive(Debug, Clone, PartialEq)]
pub enum News {
    /// The best plan without any change; or in words why there is none.
    Best(Result<Figures, Vec<String>>),
    /// Demands that clash; in words, one to a line.
    Clash(Clash, Vec<String>),
    /// A way out.
    Out(WayOut),
    /// So many of so many candidates were tried.
    Tried(usize, usize),
}

/// All that was found about an evening in which not every demand can be met.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// What clashes, if that is known.
    pub clash: Option<Clash>,
    /// What the best plan is like without any change; or in words why there is none.
    pub best: Result<Figures, Vec<String>>,
    /// The ways out, the least trouble first.
    pub outs: Vec<WayOut>,
}

/// As [`ways_out`], all at once.
#[must_use]
pub fn find(ask: &Ask<'_>) -> Option<Found> {
    let (mut clash, mut best) = (None, Err(Vec::new()));
    let outs = ways_out(ask, &mut |news| match news {
        News::Best(said) => best = said,
        News::Clash(found, _) => clash = Some(found),
        News::Out(_) | News::Tried(..) => {}
    })?;
    Some(Found { clash, best, outs })
}

/// Finds ways out. Each is told when it is found; the best few, ranked, are
/// returned. None if every demand is met without any change. Where only the plan on
/// the screen misses one, the way out is a plan that does not, and no change.
pub fn ways_out(ask: &Ask<'_>, tell: &mut dyn FnMut(News)) -> Option<Vec<WayOut>> {
    let mut finder = Finder { ask: *ask, near: None };
    if let Some(out) = finder.out(Vec::new(), None) {
        tell(News::Best(Ok(out.figures)));
        if ask.situation.previous.is_none() || goes_on(ask) {
            if !out.figures.works() {
                tell(News::Clash(Clash { demands: Vec::new(), proven: true }, Vec::new()));
            }
            return None;
        }
        tell(News::Out(out.clone()));
        return Some(vec![out]);
    }
    let best = finder.plan(ask.evening, ask.situation, None);
    let (plan, said) = match best {
        Ok((plan, _)) => {
            let figures = Figures::of(ask.evening, &plan);
            (Some(plan), Ok(figures))
        }
        Err(no_plan) => (None, Err(crate::plan::clash::lines(ask.evening, &no_plan))),
    };
    tell(News::Best(said));
    let question = Question {
        evening: ask.evening,
        situation: ask.situation,
        near: plan.as_ref(),
        seed: ask.seed,
        stop: ask.stop,
    };
    let clash = demand::smallest(&question);
    if let Some(clash) = &clash {
        let lines = words::of_clash(ask.evening, ask.situation, clash);
        tell(News::Clash(clash.clone(), lines));
    }
    finder.near = plan.clone();
    let known = Known {
        evening: ask.evening,
        situation: ask.situation,
        best: plan.as_ref(),
        clash: clash.as_ref(),
    };
    Some(finder.try_all(&known, tell))
}

/// The best few of some ways out: the cheapest first, not too many of one kind,
/// and none that loses as much as a cheaper one in every way, or more.
#[must_use]
pub fn ranked(outs: &[WayOut]) -> Vec<WayOut> {
    let mut sorted: Vec<&WayOut> = outs.iter().collect();
    sorted.order_by(|a, b| (a.price, &a.changes).cmp(&(b.price, &b.changes)));
    let mut best: Vec<&WayOut> = Vec::new();
    for out in sorted {
        // The same loss on another dish is another way out.
        let worse = |o: &&WayOut| o.loss.within(&out.loss) && o.loss != out.loss;
        let of_kind = best.iter().filter(|o| kind(o) == kind(out)).count();
        let known = best.iter().any(|o| o.changes == out.changes);
        if best.len() < MOST && of_kind < MOST_OF_KIND && !known && !best.iter().any(worse) {
            best.push(out);
        }
    }
    best.into_iter().cloned().collect()
}

fn kind(out: &WayOut) -> Vec<std::mem::Discriminant<Change>> {
    out.changes.iter().map(std::mem::discriminant).collect()
}

/// Does the plan on the screen, followed from now on, meet every demand that can
/// still be met? What it missed before is past: no order of the rest changes it.
fn goes_on(ask: &Ask<'_>) -> bool {
    let planning = Planning::new(ask.evening, ask.situation);
    let first = planning.and_then(|p| p.first());
    first.is_ok_and(|(plan, _)| meets(&plan, &Figures::of(ask.evening, &plan), ask.situation))
}

/// Does a plan meet every demand that can still be met? What was ready late is a fact.
fn meets(plan: &Plan, figures: &Figures, situation: &Situation) -> bool {
    latest(plan, situation).is_none() && !figures.past_limit
}

/// A dish that does not wait at all is no dish that waits in another place.
fn needs_its_place(plan: &Plan, changes: &[Change]) -> bool {
    changes.iter().all(|change| match *change {
        Change::Place { dish, .. } => plan.holds.iter().any(|h| h.dish == dish),
        _ => true,
    })
}

struct Finder<'a> {
    ask: Ask<'a>,
    /// The best plan without any change, if there is one.
    near: Option<Plan>,
}

impl Finder<'_> {
    fn try_all(&self, known: &Known<'_>, tell: &mut dyn FnMut(News)) -> Vec<WayOut> {
        let all = candidates(known);
        let mut outs: Vec<WayOut> = Vec::new();
        let mut failed: Vec<Change> = Vec::new();
        // With no plan at all the cook first wants any that there is.
        let dropped = |outs: &mut Vec<WayOut>, tell: &mut dyn FnMut(News)| {
            if let Some(out) = self.fewest_dropped(known) {
                tell(News::Out(out.clone()));
                outs.push(out);
            }
        };
        if known.best.is_none() {
            dropped(&mut outs, tell);
        }
        for (done, candidate) in all.iter().enumerate() {
            if (self.ask.stop)() {
                return ranked(&outs);
            }
            tell(News::Tried(done, all.len()));
            let is_told = |changes: &Vec<Change>| outs.iter().any(|out| out.changes == *changes);
            if matches!(candidate, Candidate::Plain(changes) if is_told(changes)) {
                continue;
            }
            match self.solve(known, candidate) {
                Some(out) => {
                    tell(News::Out(out.clone()));
                    outs.push(out);
                }
                None => {
                    if let Candidate::Plain(changes) = candidate
                        && let [change] = changes.as_slice()
                    {
                        failed.push(change.clone());
                    }
                }
            }
        }
        if ranked(&outs).len() < ENOUGH {
            for change in failed.iter().take(TRIED_TOGETHER) {
                if (self.ask.stop)() {
                    break;
                }
                if let Some(out) = self.with_later(known, change) {
                    tell(News::Out(out.clone()));
                    outs.push(out);
                }
            }
        }
        if outs.is_empty() && known.best.is_some() && !(self.ask.stop)() {
            dropped(&mut outs, tell);
        }
        tell(News::Tried(all.len(), all.len()));
        ranked(&outs)
    }

    /// Several dishes dropped, where several things clash at once: one after the other that
    /// clashes or is late till the rest is on time, then each taken up again that need not go.
    fn fewest_dropped(&self, known: &Known<'_>) -> Option<WayOut> {
        let drops = |dishes: &[usize]| -> Vec<Change> {
            dishes.iter().map(|&dish| Change::Drop { dish }).collect()
        };
        let mut dropped: Vec<usize> = Vec::new();
        let mut next = match known.best {
            Some(plan) => latest(plan, known.situation),
            None => known.clash.and_then(dish_of),
        };
        let mut schedule = loop {
            dropped.push(next.filter(|dish| !dropped.contains(dish))?);
            let changes = drops(&dropped);
            if let Some(schedule) = self.look(&changes) {
                break schedule;
            }
            if dropped.len() == MOST_DROPPED || (self.ask.stop)() {
                return None;
            }
            let changed =
                apply(self.ask.evening, self.ask.situation, &changes, self.ask.settle).ok()?;
            next = match self.plan(&changed.evening, &changed.situation, None) {
                Ok((plan, _)) => latest(&plan, &changed.situation),
                Err(_) => {
                    let question = self.question(&changed.evening, &changed.situation);
                    demand::smallest(&question).as_ref().and_then(dish_of)
                }
            };
        };
        for at in (0..dropped.len() - 1).rev() {
            let mut less = dropped.clone();
            less.remove(at);
            if let Some(found) = self.look(&drops(&less)) {
                (dropped, schedule) = (less, found);
            }
        }
        self.out(drops(&dropped), Some(schedule))
    }

    fn question<'q>(&'q self, evening: &'q Evening, situation: &'q Situation) -> Question<'q> {
        let Ask { seed, stop, .. } = self.ask;
        Question { evening, situation, near: self.near.as_ref(), seed, stop }
    }

    fn solve(&self, known: &Known<'_>, candidate: &Candidate) -> Option<WayOut> {
        let evening = self.ask.evening;
        match candidate {
            Candidate::Plain(changes) => self.out(changes.clone(), None),
            Candidate::Later(services) => self.later(known.best, services, &[]),
            Candidate::Earlier(cook) => {
                let first = evening.comes(evening.party.cooks.get(*cook)?)?;
                let now = self.ask.situation.now.unwrap_or(0);
                let most = (first - now).min(MOST_EARLIER);
                let late = known.best.map_or(QUARTER, |p| Figures::of(evening, p).late);
                self.least(1, late, most, |by| {
                    vec![Change::CookThere { cook: *cook, from: first - by, to: first }]
                })
            }
            Candidate::Longer(cook) => {
                let last = evening.leaves(evening.party.cooks.get(*cook)?)?;
                self.least(1, QUARTER, MOST_LONGER, |by| {
                    vec![Change::CookThere { cook: *cook, from: last, to: last + by }]
                })
            }
            Candidate::Helper => self.helper(),
            Candidate::MoreOf(ware) => self.least(1, 1, MOST_MORE, |count| {
                let count = u32::try_from(count).unwrap_or(1);
                vec![Change::MoreOf { ware: *ware, count }]
            }),
            Candidate::Fewer(dish) => {
                let servings = evening.sheets.get(*dish)?.servings;
                let less = Minute::try_from(servings.saturating_sub(1)).ok()?;
                self.least(1, less / 4, less, |by| {
                    let by = u32::try_from(by).unwrap_or(0);
                    let servings = servings.saturating_sub(by).max(1);
                    vec![Change::Servings { dish: *dish, servings }]
                })
            }
        }
    }

    /// A second pair of hands until the last service, from the latest quarter
    /// of an hour that will do.
    fn helper(&self) -> Option<WayOut> {
        let (evening, situation) = (self.ask.evening, self.ask.situation);
        let services = super::candidates::open_services(evening, situation);
        let to = services.iter().map(|&s| self.due(s)).max()?;
        let first = situation.now.or_else(|| first_hour(evening))?;
        let last = (to - 1).div_euclid(QUARTER) * QUARTER;
        let most = (last - first).div_euclid(QUARTER);
        self.least(0, 2, most, |n| vec![Change::Helper { from: last - n * QUARTER, to }])
    }

    fn due(&self, service: usize) -> Minute {
        due(self.ask.evening, self.ask.situation, service)
    }

    /// Services put off by the least minutes that will do, beside other changes.
    fn later(&self, best: Option<&Plan>, services: &[usize], with: &[Change]) -> Option<WayOut> {
        let late = best.map_or(0, |plan| {
            let lines = plan.services.iter().filter(|l| services.contains(&l.service));
            lines.flat_map(|l| l.dishes.iter().map(|d| d.2 - l.due)).max().unwrap_or(0)
        });
        let all = |by: &[Minute]| {
            let moved = services.iter().zip(by).filter(|(_, by)| **by > 0);
            let moved = moved
                .map(|(&service, by)| Change::ServiceAt { service, to: self.due(service) + by });
            with.iter().cloned().chain(moved).collect::<Vec<Change>>()
        };
        let mut by = vec![0; services.len()];
        // What the best plan is late by will mostly do; else twice as much, and again.
        let same = |minutes| all(&vec![minutes; services.len()]);
        let (mut found, mut schedule) = self.halve(1, late.max(8), MOST_LATER, same)?;
        by.fill(found);
        // Of several services each by no more than it needs, the first of them first.
        let mut in_turn: Vec<usize> = (0..services.len()).collect();
        in_turn.order_by_key(|&at| (self.due(services[at]), at));
        for at in in_turn.into_iter().filter(|_| services.len() > 1) {
            let least = self.not_before(services, &by, at);
            let with_own = |own: Minute| {
                let mut by = by.clone();
                if let Some(slot) = by.get_mut(at) {
                    *slot = own;
                }
                all(&by)
            };
            if let Some(own) = self.halve(least, found, found, with_own) {
                (by[at], schedule) = own;
            }
            found = by.iter().copied().max().unwrap_or(found);
        }
        self.out(all(&by), Some(schedule))
    }

    /// By how much a service must be put off so that none that was to come before it, each
    /// put off by its own minutes, comes after it.
    fn not_before(&self, services: &[usize], by: &[Minute], at: usize) -> Minute {
        let due = self.due(services[at]);
        let earlier = services.iter().zip(by).filter(|(s, _)| self.due(**s) < due);
        earlier.map(|(&s, by)| self.due(s) + by - due).max().unwrap_or(0).max(0)
    }

    /// A change that does not do alone, with the services that are late with it put off.
    fn with_later(&self, known: &Known<'_>, change: &Change) -> Option<WayOut> {
        let changes = std::slice::from_ref(change);
        let changed = apply(self.ask.evening, self.ask.situation, changes, self.ask.settle).ok()?;
        let (plan, _) = self.plan(&changed.evening, &changed.situation, None).ok()?;
        let late = |plan: &Plan| Figures::of(self.ask.evening, plan).late;
        if known.best.is_some_and(|best| late(&plan) * 4 > late(best) * 3) {
            return None;
        }
        let lines = plan.services.iter().filter(|l| l.dishes.iter().any(|d| d.2 > l.due));
        let services: Vec<usize> = lines.map(|l| l.service).collect();
        self.later(Some(&plan), &services, changes)
    }

    /// The way out with the least figure that will do; see [`Self::halve`].
    fn least(
        &self,
        least: Minute,
        likely: Minute,
        most: Minute,
        changes: impl Fn(Minute) -> Vec<Change>,
    ) -> Option<WayOut> {
        let (figure, schedule) = self.halve(least, likely, most, &changes)?;
        self.out(changes(figure), Some(schedule))
    }

    /// The least figure from `least` to `most` with which every demand is met: looked
    /// for from the likely one on, doubled until it does, then halved down. More is
    /// taken to be never worse.
    fn halve(
        &self,
        least: Minute,
        likely: Minute,
        most: Minute,
        changes: impl Fn(Minute) -> Vec<Change>,
    ) -> Option<(Minute, Schedule)> {
        if most < least {
            return None;
        }
        let (mut low, mut high) = (least, likely.clamp(least, most));
        let mut found = loop {
            match self.look(&changes(high)) {
                Some(schedule) => break (high, schedule),
                None if high >= most => return None,
                None => (low, high) = (high + 1, high.max(1).saturating_mul(2).min(most)),
            }
        };
        while low < high {
            let middle = low + (high - low) / 2;
            match self.look(&changes(middle)) {
                Some(schedule) => {
                    found = (middle, schedule);
                    high = middle;
                }
                None => low = middle + 1,
            }
        }
        Some(found)
    }

    fn look(&self, changes: &[Change]) -> Option<Schedule> {
        let changed = apply(self.ask.evening, self.ask.situation, changes, self.ask.settle).ok()?;
        match look(&self.question(&changed.evening, &changed.situation)) {
            Look::Works(schedule) => Some(schedule),
            Look::Clashes | Look::NotFound => None,
        }
    }

    /// The way out of some changes, if it is one.
    fn out(&self, changes: Vec<Change>, schedule: Option<Schedule>) -> Option<WayOut> {
        let schedule = match schedule {
            Some(schedule) => schedule,
            None => self.look(&changes)?,
        };
        let (evening, situation) = (self.ask.evening, self.ask.situation);
        let changed = apply(evening, situation, &changes, self.ask.settle).ok()?;
        let plan = self.plan(&changed.evening, &changed.situation, Some(&schedule)).ok()?.0;
        let figures = Figures::of(&changed.evening, &plan);
        let kept = pins_kept(&plan, &changed.situation) && obeyed(&plan, &changes);
        let as_said = kept && needs_its_place(&plan, &changes);
        if !meets(&plan, &figures, &changed.situation) || !as_said {
            return None;
        }
        let (own, loss) = price::of_changes(evening, situation, &changes);
        let words = words::of_changes(evening, situation, &changes);
        let price = own.saturating_add(price::of_plan(&plan));
        Some(WayOut { changes, words, plan: Arc::new(plan), figures, loss, price })
    }

    /// The ordinary planner's plan: from the one on the screen, and if that
    /// misses a demand from a schedule that is known to meet them all.
    fn plan(
        &self,
        evening: &Evening,
        situation: &Situation,
        known: Option<&Schedule>,
    ) -> Result<(Plan, Schedule), NoPlan> {
        let planning = Planning::new(evening, situation)?;
        let Ask { seed, rounds, stop, .. } = self.ask;
        let budget = Budget { seed, rounds, stop };
        let first = planning.search(planning.shown().as_ref(), &budget);
        let does = |(plan, _): &(Plan, Schedule)| {
            meets(plan, &Figures::of(evening, plan), situation) && pins_kept(plan, situation)
        };
        match (&first, known) {
            (Ok(found), _) if does(found) => first,
            (_, Some(known)) => planning.search(Some(known), &budget).or(first),
            _ => first,
        }
    }
}

/// The dish that will be later than any other. What is ready when the plan is made is not
/// made any sooner, nor by leaving it out.
fn latest(plan: &Plan, situation: &Situation) -> Option<usize> {
    let lines = plan.services.iter();
    let open =
        |d: &&(usize, Minute, Minute)| d.1 > plan.made_for && !situation.served.contains(&d.0);
    let late = lines.flat_map(|l| l.dishes.iter().filter(open).map(|d| (d.2 - l.due, d.0)));
    late.filter(|(by, _)| *by > 0).max().map(|(_, dish)| dish)
}

/// A dish that clashes.
fn dish_of(clash: &Clash) -> Option<usize> {
    clash.demands.iter().find_map(|demand| match demand {
        Demand::Dish(dish) => Some(*dish),
        _ => None,
    })
}

/// Does the plan keep every pin? One that cannot be kept only says "not earlier".
fn pins_kept(plan: &Plan, situation: &Situation) -> bool {
    plan.blocks
        .iter()
        .all(|b| b.begun || situation.pins.get(&b.key).is_none_or(|at| b.start == *at))
}

/// Does the plan do what was settled? A way that cannot be had settles nothing.
#[must_use]
pub fn obeyed(plan: &Plan, changes: &[Change]) -> bool {
    changes.iter().all(|change| match *change {
        Change::Way { dish, step, way } => {
            let mut blocks = plan.blocks.iter();
            blocks.all(|b| (b.key.dish, b.key.step) != (dish, step) || b.way == way)
        }
        Change::Place { dish, hold } => plan.holds.iter().all(|h| h.dish != dish || h.hold == hold),
        _ => true,
    })
}

#[cfg(test)]
mod tests;
