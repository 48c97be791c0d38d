//! What moves if a block runs late: the ordinary planner's answer to that
//! evening, at the minute at which the block should have ended.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::push::Net;
use super::stand::Stand;
use super::words::span;
use crate::kitchen::{Evening, Minute};
use crate::order::InOrder;
use crate::paper::capital;
use crate::plan::blocks::{Block, Plan, SettingKind};
use crate::plan::clash;
use crate::plan::judge::judge;
use crate::plan::planner::{Budget, NoPlan, Planning};
use crate::plan::problem::Schedule;
use crate::plan::situation::{Begun, Situation, StepKey};
use crate::plan::wire::{Term, TermKind, terms};

/// Minutes late that are worked out.
pub const MINUTES: [Minute; 3] = [5, 10, 20];

/// Rounds of search for each: the same answer on any machine.
pub const ROUNDS: u64 = 1000;

/// What moves if a block ends so many minutes late.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Late {
    /// Minutes late.
    pub minutes: Minute,
    /// Blocks that start at another minute or place, by their new start.
    pub moves: Vec<Move>,
    /// Services whose last dish is served at another minute.
    pub services: Vec<ServiceMove>,
    /// The plan then; None if there would be none.
    pub plan: Option<Arc<Plan>>,
    /// One line for each thing that moves; never empty.
    pub lines: Vec<String>,
}

/// A block that moves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Move {
    /// Which.
    pub key: StepKey,
    /// Its start in the plan as it is.
    pub from: Minute,
    /// Its start then.
    pub to: Minute,
    /// The station then, if it is another.
    pub station: Option<String>,
}

/// A service that moves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ServiceMove {
    /// Index of the service.
    pub service: usize,
    /// When it is due.
    pub due: Minute,
    /// When its last dish is served in the plan as it is.
    pub from: Minute,
    /// When it is served then.
    pub to: Minute,
}

/// What moves if a block of the plan ends some minutes late, for each of
/// [`MINUTES`]: noticed when it should have ended, all else having gone as
/// planned. None for a block that is done or is not in the plan, and if
/// `stop` ends it.
///
/// The latest is worked out first: what serves for it is tried for the others
/// too, so that running less late never seems worse than running later.
#[must_use]
pub fn all(
    evening: &Evening,
    situation: &Situation,
    plan: &Arc<Plan>,
    key: StepKey,
    stop: &(dyn Fn() -> bool + Sync),
) -> Option<Vec<Late>> {
    let mut all: Vec<Late> = Vec::new();
    for minutes in MINUTES.into_iter().rev() {
        let later = all.last().and_then(|l| l.plan.as_deref());
        let late = late(evening, situation, plan, key, minutes, later, stop)?;
        all.push(late);
    }
    all.reverse();
    Some(all)
}

fn late(
    evening: &Evening,
    situation: &Situation,
    plan: &Arc<Plan>,
    key: StepKey,
    minutes: Minute,
    later: Option<&Plan>,
    stop: &(dyn Fn() -> bool + Sync),
) -> Option<Late> {
    let then = situation_then(evening, situation, plan, key, minutes)?;
    let budget = Budget { seed: 1, rounds: ROUNDS, stop };
    let answer = Planning::new(evening, &then).and_then(|planning| {
        let others = [
            pushed(evening, situation, plan, key, minutes, &planning),
            later.map(|later| planning.schedule_of(later)),
        ];
        let (new, schedule) = best_from(&planning, planning.shown().as_ref(), &others, &budget)?;
        let passed = passed(&planning, &schedule);
        Ok((new, passed))
    });
    if stop() {
        return None;
    }
    Some(match answer {
        Ok((new, passed)) => {
            let mut late = told(evening, &then, plan, new, minutes);
            late.lines.splice(0..0, passed);
            late
        }
        Err(no_plan) => {
            let words = clash::words(evening, &no_plan);
            let lines = vec![format!("No plan is known then: {words}")];
            Late { minutes, moves: Vec::new(), services: Vec::new(), plan: None, lines }
        }
    })
}

/// The limits that are passed then, a line each: nothing matters more.
fn passed(planning: &Planning<'_>, schedule: &Schedule) -> Vec<String> {
    let evening = planning.evening();
    let terms = terms(evening, planning.problem(), planning.map(), schedule);
    let line = |term: Term| {
        let what = match term.kind {
            TermKind::PastSafetyLimit => "a safety limit",
            TermKind::PastMostWait => "the most it may wait",
            _ => return None,
        };
        let sheet = evening.dish_index(term.dish.as_ref()?).and_then(|d| evening.sheets.get(d))?;
        let name = capital(&sheet.short());
        Some(format!("{name} {} past {what}", span(term.amount)))
    };
    terms.into_iter().filter_map(line).collect()
}

/// The cheapest of what the search makes of several beginnings.
fn best_from(
    planning: &Planning<'_>,
    first: Option<&Schedule>,
    others: &[Option<Schedule>],
    budget: &Budget<'_>,
) -> Result<(Plan, Schedule), NoPlan> {
    let mut best = planning.search(first, budget);
    for warm in others.iter().flatten() {
        let found = planning.search(Some(warm), budget);
        let cost = |of: &Result<(Plan, Schedule), NoPlan>| {
            of.as_ref().map_or(i64::MAX, |found| found.0.cost.total())
        };
        if cost(&found) < cost(&best) {
            best = found;
        }
    }
    best
}

/// The plan with all that follows pushed along, nobody changing places or
/// turns: late, but something to begin from. None if it breaks a rule.
fn pushed(
    evening: &Evening,
    situation: &Situation,
    plan: &Arc<Plan>,
    key: StepKey,
    minutes: Minute,
    planning: &Planning<'_>,
) -> Option<Schedule> {
    // As planned, at the same minute: what is pushed.
    let as_planned = situation_then(evening, situation, plan, key, 0)?;
    let before = Planning::new(evening, &as_planned).ok()?;
    let shown = before.shown()?;
    let stand = Stand { problem: before.problem(), schedule: &shown };
    let task = before.map().tasks.iter().position(|t| t.key == key && !t.shadow)?;
    let starts = Net::new(&stand).lengthened(&stand, task, minutes)?;
    let of_key: BTreeMap<StepKey, i32> = before
        .map()
        .tasks
        .iter()
        .zip(starts)
        .filter(|(at, _)| !at.shadow)
        .map(|(at, start)| (at.key, start))
        .collect();
    let mut schedule = planning.shown()?;
    for (t, at) in planning.map().tasks.iter().enumerate() {
        let open = !at.shadow && planning.problem().tasks[t].fixed.is_none();
        if let Some(&start) = of_key.get(&at.key).filter(|_| open) {
            schedule.start[t] = start;
        }
    }
    judge(planning.problem(), &schedule).is_ok().then_some(schedule)
}

/// The evening at the minute at which the block should have ended. None if it
/// is done or not in the plan.
#[must_use]
pub fn situation_then(
    evening: &Evening,
    situation: &Situation,
    plan: &Arc<Plan>,
    key: StepKey,
    minutes: Minute,
) -> Option<Situation> {
    let block = plan.blocks.iter().find(|b| b.key == key)?;
    let end = match situation.begun.get(&key) {
        None => block.end,
        Some(Begun::Running { end, .. }) => *end,
        Some(Begun::Done { .. }) => return None,
    };
    let now = situation.now.unwrap_or(end).max(end);
    let mut begun = BTreeMap::new();
    for b in &plan.blocks {
        let so_far = situation.begun.get(&b.key);
        if let Some(then) = begun_then(b, so_far, now, (b.key == key).then_some(minutes)) {
            begun.insert(b.key, then);
        }
    }
    for (key, so_far) in &situation.begun {
        begun.entry(*key).or_insert_with(|| ended(so_far, now));
    }
    let mut then =
        Situation { now: Some(now), begun, previous: Some(Arc::clone(plan)), ..situation.clone() };
    then.pins.retain(|key, at| *at >= now && !then.begun.contains_key(key));
    for line in &plan.services {
        let on_table = line.dishes.iter().filter(|d| d.2 < now);
        then.served.extend(on_table.map(|d| d.0));
    }
    let thermostats = evening.kitchen.stations.iter().filter(|s| s.thermostat.is_some());
    for station in thermostats {
        if let Some(c) = temperature(plan, &station.id, now) {
            then.oven_c.insert(station.id.clone(), c);
        }
    }
    Some(then)
}

/// A load at `now` if it goes as planned, but for one that is late.
fn begun_then(
    b: &Block,
    so_far: Option<&Begun>,
    now: Minute,
    late: Option<Minute>,
) -> Option<Begun> {
    let (way, station) = (b.way, b.station.clone());
    let running = |start: Minute, end: Minute| Begun::Running {
        start,
        end,
        way,
        station: station.clone(),
        cook: b.cook.clone(),
        setting_c: b.setting_c,
    };
    if let Some(minutes) = late {
        return Some(match so_far {
            Some(Begun::Running { start, way, station, cook, setting_c, .. }) => Begun::Running {
                start: *start,
                end: now + minutes,
                way: *way,
                station: station.clone(),
                cook: cook.clone(),
                setting_c: *setting_c,
            },
            _ => running(b.start, now + minutes),
        });
    }
    if let Some(so_far) = so_far {
        return Some(ended(so_far, now));
    }
    match (b.start < now, b.end <= now) {
        (false, _) => None,
        (true, true) => {
            Some(Begun::Done { start: b.start, end: b.end, way, station, left_out: false })
        }
        (true, false) => Some(running(b.start, b.end)),
    }
}

/// What runs and is expected to end by then is done.
fn ended(so_far: &Begun, now: Minute) -> Begun {
    match so_far {
        Begun::Running { start, end, way, station, .. } if *end <= now => Begun::Done {
            start: *start,
            end: *end,
            way: *way,
            station: station.clone(),
            left_out: false,
        },
        other => other.clone(),
    }
}

/// What a thermostat stands at by the plan, °C; None before its first setting.
fn temperature(plan: &Plan, station: &str, now: Minute) -> Option<i32> {
    let of = plan.settings.iter().filter(|s| s.station == station && s.from <= now);
    let last = of.max_by_key(|s| (s.from, s.to))?;
    if last.kind == SettingKind::Keeping {
        return Some(last.to_c);
    }
    let (gone, whole) = ((now - last.from).min(last.to - last.from), (last.to - last.from).max(1));
    Some(last.from_c + (last.to_c - last.from_c) * gone / whole)
}

fn told(evening: &Evening, then: &Situation, old: &Plan, new: Plan, minutes: Minute) -> Late {
    let before: BTreeMap<StepKey, &Block> = old.blocks.iter().map(|b| (b.key, b)).collect();
    let open = new.blocks.iter().filter(|b| !then.begun.contains_key(&b.key));
    let mut moves: Vec<Move> = open
        .filter_map(|b| {
            let was = before.get(&b.key)?;
            let station = (b.station != was.station).then(|| b.station.clone());
            let moved = b.start != was.start || station.is_some();
            moved.then_some(Move { key: b.key, from: was.start, to: b.start, station })
        })
        .collect();
    moves.order_by_key(|m| (m.to, m.key));
    let last = |plan: &Plan, service: usize| {
        let line = plan.services.iter().find(|l| l.service == service)?;
        line.dishes.iter().map(|d| d.2).max()
    };
    let services: Vec<ServiceMove> = new
        .services
        .iter()
        .filter_map(|line| {
            let (from, to) = (last(old, line.service)?, last(&new, line.service)?);
            (from != to).then_some(ServiceMove { service: line.service, due: line.due, from, to })
        })
        .collect();
    let lines = lines(evening, &moves, &services);
    Late { minutes, moves, services, plan: Some(Arc::new(new)), lines }
}

/// The services first: they are what the guests see.
fn lines(evening: &Evening, moves: &[Move], services: &[ServiceMove]) -> Vec<String> {
    let clock = |minute| evening.face.label(minute);
    let mut lines = Vec::new();
    for s in services {
        let title = evening.party.services.get(s.service).map_or("the service", |s| &s.title);
        let late = s.to - s.due;
        let words = if late > 0 {
            format!("{} {} late ({})", capital(title), span(i64::from(late)), clock(s.to))
        } else {
            format!("{} on time again ({})", capital(title), clock(s.to))
        };
        lines.push(words);
    }
    if services.is_empty() {
        lines.push(if moves.is_empty() {
            "Nothing moves; every service is as it was.".to_owned()
        } else {
            "Every service stays as it is.".to_owned()
        });
    }
    for m in moves {
        let Some(sheet) = evening.sheets.get(m.key.dish) else { continue };
        let label = sheet.recipe.steps.get(m.key.step).map_or("", |s| &s.label);
        let load = if m.key.load > 0 { format!(" {}", m.key.load + 1) } else { String::new() };
        let at = m.station.as_ref().and_then(|id| evening.station(id));
        let at = at.map_or_else(String::new, |s| format!(", {}", s.title));
        let name = capital(&sheet.short());
        lines.push(format!("{name}: {label}{load} {} to {}{at}", clock(m.from), clock(m.to)));
    }
    lines
}

#[cfg(test)]
mod tests;
