//! Checks a [`Plan`] against the evening itself: recipes, kitchen, cooks'
//! hours, guidance, what has happened. It knows neither the integer problem nor
//! the search, so a slip in either shows here. Every plan that reaches a screen
//! or a file has passed it.

mod food;
mod hands;
mod heat;
mod out;
mod pans;
mod places;
mod steps;

use std::fmt;

use super::blocks::{Block, Plan};
use super::situation::{Begun, Situation, StepKey};
use crate::kitchen::{Evening, Minute, Sheet, Step};
use crate::order::InOrder;
use crate::safety::Profile;

/// A rule that the plan breaks, in words for a developer or a bug report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// What is wrong and where.
    pub what: String,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.what)
    }
}

/// Checks every rule.
///
/// # Errors
/// All faults found, never empty.
pub fn verify(
    evening: &Evening,
    situation: &Situation,
    profile: &Profile,
    plan: &Plan,
) -> Result<(), Vec<Fault>> {
    let mut check = Check { evening, situation, profile, plan, faults: Vec::new() };
    check.steps();
    check.places();
    check.hands();
    check.heat();
    check.food();
    if check.faults.is_empty() { Ok(()) } else { Err(check.faults) }
}

/// How long a dish is planned to be without heat or cold when its last step ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Uncontrolled {
    /// Since this minute, along its longest such chain.
    pub since: Minute,
    /// Minutes before that since it was last heated, along its longest such way. Chilling stops the clock and does not set
    /// it back.
    pub before: Minute,
}

/// What a plan says of a dish; nothing for one that it does not make.
#[must_use]
pub fn uncontrolled(
    evening: &Evening,
    profile: &Profile,
    plan: &Plan,
    dish: usize,
) -> Option<Uncontrolled> {
    let situation = &Situation::default();
    let check = Check { evening, situation, profile, plan, faults: Vec::new() };
    let sheet = evening.sheets.get(dish)?;
    let (last, depth) = (sheet.last_step(), sheet.recipe.steps.len());
    let (since, _) = check.last_controlled(dish, last, depth)?;
    let (_, ways) = check.ways(dish, sheet);
    let out = ways.iter().map(|w| w.out).max()?;
    let stretch = check.left(dish, last)? - since;
    Some(Uncontrolled { since, before: (out - stretch).max(0) })
}

/// The plan under check and what was found so far.
struct Check<'a> {
    evening: &'a Evening,
    situation: &'a Situation,
    profile: &'a Profile,
    plan: &'a Plan,
    faults: Vec<Fault>,
}

impl<'a> Check<'a> {
    fn fault(&mut self, what: String) {
        self.faults.push(Fault { what });
    }

    /// The present minute, or long ago where the party lies ahead.
    fn now(&self) -> Minute {
        self.situation.now.unwrap_or(Minute::MIN / 2)
    }

    /// Dishes that the plan must bring to the table.
    fn wanted(&self) -> impl Iterator<Item = (usize, &'a Sheet)> + use<'a> {
        let (dropped, served) = (&self.situation.dropped, &self.situation.served);
        self.evening
            .sheets
            .iter()
            .enumerate()
            .filter(move |(d, _)| !dropped.contains(d) && !served.contains(d))
    }

    fn step(&self, key: StepKey) -> Option<&'a Step> {
        self.evening.sheets.get(key.dish)?.recipe.steps.get(key.step)
    }

    /// The blocks of a step, by load.
    fn loads(&self, dish: usize, step: usize) -> Vec<&'a Block> {
        let mut loads: Vec<&Block> =
            self.plan.blocks.iter().filter(|b| b.key.dish == dish && b.key.step == step).collect();
        loads.order_by_key(|b| b.key.load);
        loads
    }

    fn begun(&self, key: StepKey) -> Option<&'a Begun> {
        self.situation.begun.get(&key)
    }

    /// Is it done the day before? After midnight that lies behind, marked or not.
    fn is_of_the_day_before(&self, key: StepKey) -> bool {
        self.step(key).is_some_and(|s| s.day_before)
    }

    /// Begun, or taken to be done because the day before is over.
    fn is_behind(&self, key: StepKey) -> bool {
        self.begun(key).is_some() || (self.is_of_the_day_before(key) && self.now() >= 0)
    }

    /// When a service is due, moved or not.
    fn due(&self, service: usize) -> Minute {
        let moved = self.situation.service_at.get(&service).copied();
        moved.unwrap_or_else(|| self.evening.service_minute(service))
    }

    /// First load's end, last load's end, and the minute it is served.
    fn serving(&self, dish: usize) -> Option<(Minute, Minute, Minute)> {
        let sheet = self.evening.sheets.get(dish)?;
        let loads = self.loads(dish, sheet.last_step());
        let ready = loads.iter().map(|b| b.end).max()?;
        Some((loads.first()?.end, ready, ready.max(self.due(sheet.service))))
    }

    /// "soup/simmer", for messages.
    fn name(&self, key: StepKey) -> String {
        let dish = self.evening.sheets.get(key.dish).map_or("?", |s| s.id.as_str());
        let step = self.step(key).map_or("?", |s| s.id.as_str());
        if key.load == 0 {
            format!("{dish}/{step}")
        } else {
            format!("{dish}/{step} load {}", key.load + 1)
        }
    }
}
