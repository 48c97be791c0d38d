//! What it means that another plan is on the screen: what was late stays late,
//! and services that are missed are remembered since when.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::prompts::open_dials;
use super::state::{InForce, PLANS_KEPT, Risk, State};
use super::view::Changed;
use crate::kitchen::Minute;
use crate::plan::{Plan, StepKey};

/// A service counts as missed from so many minutes on.
pub const LATE_MATTERS: Minute = 3;

/// From so many minutes on a lateness is worse than before, and another alarm. Our own choice.
pub const WORSE: [Minute; 3] = [10, 20, 40];

/// So long a plan that misses a service must have been on the screen before that is an alarm (ms): a better one often
/// follows within seconds. Our own choice.
pub const MISS_STANDS_MS: i64 = 10_000;

/// A start that a new plan puts at most so many minutes ahead only drifted
/// with the clock; one put further ahead was moved on purpose.
const DRIFT: Minute = 2;

impl State {
    pub(super) fn adopt(&mut self, plan: &Plan, moved: &str, why: &str, at_ms: i64) {
        let plan = Arc::new(plan.clone());
        self.facts.due_since = self.still_due(&plan, at_ms);
        self.facts.dials_due = self.dials_still_due(&plan, at_ms);
        if let Some(before) = self.facts.plan.take() {
            self.facts.plans_before.push(before);
            let surplus = self.facts.plans_before.len().saturating_sub(PLANS_KEPT);
            self.facts.plans_before.drain(..surplus);
        }
        self.facts.first_plan.get_or_insert_with(|| Arc::clone(&plan));
        self.facts.plan = Some(InForce { plan, since_ms: at_ms });
        if !moved.is_empty() || !why.is_empty() {
            self.facts.change =
                Some(Changed { at_ms, moved: moved.to_owned(), why: why.to_owned() });
        }
        self.facts.stale = None;
        self.refresh_risks(at_ms);
    }

    /// Steps that were due by the old plan and only drift in the new one.
    fn still_due(&self, plan: &Plan, at_ms: i64) -> BTreeMap<StepKey, i64> {
        let soon = self.minute(at_ms).saturating_add(DRIFT);
        let waiting = plan.blocks.iter().filter(|b| b.start <= soon);
        waiting.filter_map(|b| Some((b.key, self.due_since(b.key, at_ms)?))).collect()
    }

    /// Since when a load that has not begun should have; None: it is not due.
    #[must_use]
    pub fn due_since(&self, key: StepKey, now_ms: i64) -> Option<i64> {
        if self.facts.progress.contains_key(&key) || self.is_dropped(key.dish) {
            return None;
        }
        let drifted = self.facts.due_since.get(&key).copied();
        drifted.or_else(|| {
            let start_ms = self.ms(self.block(key)?.start);
            (start_ms <= now_ms).then_some(start_ms)
        })
    }

    /// Dials that were due by the old plan and only drift in the new one.
    fn dials_still_due(&self, plan: &Plan, at_ms: i64) -> BTreeMap<String, (i32, i64)> {
        let soon_ms = self.ms(self.minute(at_ms).saturating_add(DRIFT));
        let mut due = BTreeMap::new();
        for station in self.evening.kitchen.stations.iter().filter(|s| s.thermostat.is_some()) {
            let Some((to_c, since_ms)) = self.dial_due(&station.id, at_ms) else { continue };
            let open = open_dials(self, &plan.settings, &station.id, soon_ms);
            if open.first().is_some_and(|t| t.to_c == to_c && self.ms(t.from) <= soon_ms) {
                due.insert(station.id.clone(), (to_c, since_ms));
            }
        }
        due
    }

    /// The setting to which a dial should have been turned, and since when; None
    /// if none is due.
    #[must_use]
    pub fn dial_due(&self, station: &str, now_ms: i64) -> Option<(i32, i64)> {
        let drifted = self.facts.dials_due.get(station).copied();
        drifted.or_else(|| {
            let open = open_dials(self, &self.plan()?.settings, station, now_ms);
            let turn = open.first().filter(|t| self.ms(t.from) <= now_ms)?;
            Some((turn.to_c, self.ms(turn.from)))
        })
    }

    /// Compares the plan on the screen with the services as they are due.
    pub(super) fn refresh_risks(&mut self, at_ms: i64) {
        let now_late = self.lateness();
        let before = std::mem::take(&mut self.facts.risks);
        for (service, (late, dish)) in &now_late {
            let level = level_of(*late);
            let fresh = Risk { since_ms: at_ms, late: *late, level, level_ms: at_ms, dish: *dish };
            let risk = match before.get(service) {
                Some(old) if old.level >= level => Risk { late: *late, dish: *dish, ..*old },
                Some(old) => Risk { since_ms: old.since_ms, ..fresh },
                None => fresh,
            };
            self.facts.relieved.remove(service);
            self.facts.risks.insert(*service, risk);
        }
        for (service, risk) in before {
            let over = now_late.contains_key(&service) || self.was_served_late(service);
            if at_ms >= risk.told_from_ms() && !over {
                self.facts.relieved.insert(service, (risk, at_ms));
            }
        }
    }

    /// Is nothing more to come of a service, and was some of it late? Then it is not on time again.
    fn was_served_late(&self, service: usize) -> bool {
        let sheets = self.evening.sheets.iter().enumerate();
        let of_it = sheets.filter(|(d, s)| s.service == service && !self.is_dropped(*d));
        let dishes: Vec<usize> = of_it.map(|(dish, _)| dish).collect();
        let late_ms = self.ms(self.service_minute(service).saturating_add(LATE_MATTERS));
        let late = |d: &usize| self.served_ms(*d).is_some_and(|at_ms| at_ms >= late_ms);
        dishes.iter().all(|d| self.is_out_of_hand(*d)) && dishes.iter().any(late)
    }

    /// For each service that is missed by the plan on the screen: by how many
    /// minutes, and by which dish.
    fn lateness(&self) -> BTreeMap<usize, (Minute, usize)> {
        let mut latest: BTreeMap<usize, (Minute, usize)> = BTreeMap::new();
        let Some(plan) = self.plan() else { return latest };
        for line in plan.services.iter().filter(|l| l.service < self.party.party.services.len()) {
            let due = self.service_minute(line.service);
            let waiting = line.dishes.iter().filter(|(dish, _, _)| {
                // Nobody waits for what was thrown out or put away either.
                let known = self.sheet(*dish).is_some();
                known && !self.is_dropped(*dish) && !self.is_out_of_hand(*dish)
            });
            for &(dish, ready, _) in waiting {
                let late = ready.saturating_sub(due);
                if late >= LATE_MATTERS && latest.get(&line.service).is_none_or(|l| l.0 < late) {
                    latest.insert(line.service, (late, dish));
                }
            }
        }
        latest
    }
}

/// How bad a lateness is: 0 below ten minutes, 1 below twenty, 2 below forty, 3.
#[must_use]
pub fn level_of(late: Minute) -> u32 {
    WORSE.into_iter().filter(|worse| late >= *worse).map(|_| 1).sum()
}
