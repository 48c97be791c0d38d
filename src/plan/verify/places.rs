//! No two things stand in one slot, and no two dishes have one pan.

use std::collections::{BTreeMap, BTreeSet};

use super::{Check, steps::minutes};
use crate::kitchen::{Minute, StationKind, WaitPlace};

/// Something that takes a numbered place for a while.
#[derive(Clone)]
struct Taking {
    from: Minute,
    to: Minute,
    begun: bool,
    who: String,
}

/// What stands in each numbered place: (id, number) -> takings.
type Places = BTreeMap<(String, u32), Vec<Taking>>;

impl Check<'_> {
    pub(super) fn places(&mut self) {
        self.slots();
        self.cold_waits();
        self.pans();
    }

    fn slots(&mut self) {
        let mut places = Places::new();
        let mut put = |station: &str, slots: &[u32], taking: &Taking| {
            for &slot in slots {
                places.entry((station.to_owned(), slot)).or_default().push(taking.clone());
            }
        };
        for b in &self.plan.blocks {
            let begun = self.is_behind(b.key);
            let taking = Taking { from: b.start, to: b.end, begun, who: self.name(b.key) };
            put(&b.station, &b.slots, &taking);
        }
        for h in &self.plan.holds {
            let begun = self.situation.held.contains_key(&h.dish) || h.from < self.now();
            let who = format!("the hold of dish {}", h.dish);
            put(&h.station, &h.slots, &Taking { from: h.from, to: h.to, begun, who });
        }
        for w in &self.plan.waits {
            if let Some(station) = &w.station {
                let begun = w.from <= self.now();
                let who = format!("the wait of dish {}", w.dish);
                put(station, &w.slots, &Taking { from: w.from, to: w.to, begun, who });
            }
        }
        for (station, slot) in places.keys() {
            let slots = self.evening.station(station).map_or(0, |s| s.slots);
            if *slot >= slots {
                self.faults.push(super::Fault { what: format!("{station} has no slot {slot}") });
            }
        }
        self.apart(places);
    }

    /// Things in one numbered place follow each other.
    fn apart(&mut self, places: Places) {
        let now = self.now();
        for ((id, number), mut takings) in places {
            takings.retain(|t| t.to > t.from.max(now));
            takings.sort_by_key(|t| t.from);
            for (i, one) in takings.iter().enumerate() {
                for two in takings[i + 1..].iter().filter(|two| two.from < one.to) {
                    if !(one.begun && two.begun) {
                        let what = format!("{id} {number}: {} meets {}", one.who, two.who);
                        self.fault(what);
                    }
                }
            }
        }
    }

    /// Food that waits in the cold has a place there for the whole of its wait.
    fn cold_waits(&mut self) {
        for (d, sheet) in self.wanted() {
            for (s, step) in sheet.recipe.steps.iter().enumerate() {
                for after in step.after.iter().filter(|a| a.place == WaitPlace::Cold) {
                    let Some(before) = sheet.step_index(&after.step) else { continue };
                    let from = self.loads(d, before).first().map(|b| b.end);
                    let start = self.loads(d, s).iter().map(|b| b.start).max();
                    let (Some(from), Some(to)) = (from, start) else { continue };
                    let placed = self.plan.waits.iter().any(|w| {
                        (w.dish, w.after_step, w.before_step) == (d, before, s)
                            && w.from <= from.max(self.now())
                            && w.to >= to
                            && !w.slots.is_empty()
                            && w.station
                                .as_deref()
                                .and_then(|id| self.evening.station(id))
                                .is_some_and(|station| {
                                    matches!(
                                        station.kind,
                                        StationKind::Fridge | StationKind::Freezer
                                    )
                                })
                    });
                    // While the evening runs without a fridge the food goes where it can.
                    let nowhere = self.situation.now.is_some() && !self.has_fridge();
                    if to > from.max(self.now()) && !placed && !nowhere {
                        self.fault(format!(
                            "{}/{} has no place in the fridge",
                            sheet.id, after.step
                        ));
                    }
                }
            }
        }
    }

    fn has_fridge(&self) -> bool {
        let down = &self.situation.down;
        let mut stations = self.evening.kitchen.stations.iter();
        stations.any(|s| s.kind == StationKind::Fridge && !down.contains(&s.id))
    }

    fn pans(&mut self) {
        let mut places = Places::new();
        for p in &self.plan.pans {
            let who = self.evening.sheets.get(p.dish).map_or_else(String::new, |s| s.id.clone());
            let count = self.evening.kitchen.cookware.iter().find(|c| c.id == p.cookware);
            let count = count.map_or(0, |c| c.count);
            let begun = p.from < self.now();
            for &n in &p.numbers {
                if n >= count {
                    self.fault(format!("there is no {} number {n}", p.cookware));
                }
                let taking = Taking { from: p.from, to: p.to, begun, who: who.clone() };
                places.entry((p.cookware.clone(), n)).or_default().push(taking);
            }
        }
        self.apart(places);
        for (d, sheet) in self.wanted() {
            let kinds: BTreeSet<&str> = sheet
                .recipe
                .steps
                .iter()
                .flat_map(|s| s.cookware.iter().map(|c| c.kind.as_str()))
                .collect();
            for kind in kinds {
                // Overnight the food is in containers and its pans are free.
                self.has_its_pan(d, kind, true);
                self.has_its_pan(d, kind, false);
            }
        }
    }

    /// A dish has its pans of a kind from the first step of a day that uses one to
    /// the end of the last.
    fn has_its_pan(&mut self, d: usize, kind: &str, day_before: bool) {
        let sheet = &self.evening.sheets[d];
        let (mut from, mut to, mut count, mut least_ml) = (Minute::MAX, Minute::MIN, 0, 0);
        let mut in_oven = false;
        let steps = sheet.recipe.steps.iter().enumerate();
        for (s, step) in steps.filter(|(_, step)| step.day_before == day_before) {
            for need in step.cookware.iter().filter(|c| c.kind == kind) {
                for block in self.loads(d, s) {
                    from = from.min(block.start);
                    to = to.max(block.end);
                    let at = self.evening.station(&block.station).map(|s| s.kind);
                    in_oven |= matches!(at, Some(StationKind::Oven | StationKind::Grill));
                }
                count = count.max(need.count);
                let way = self.loads(d, s).first().and_then(|b| step.ways.get(b.way));
                let load = way.and_then(|w| w.load_servings).unwrap_or(sheet.servings);
                let servings = load.min(sheet.servings);
                let ml = u64::from(need.least_ml.unwrap_or(0)) * u64::from(servings);
                least_ml = least_ml.max(ml / u64::from(sheet.recipe.servings.max(1)));
            }
        }
        if let Some(hold) = self.plan.holds.iter().find(|h| h.dish == d && !day_before)
            && sheet
                .recipe
                .holds
                .get(hold.hold)
                .is_some_and(|h| h.cookware.as_deref() == Some(kind))
        {
            to = to.max(hold.to);
        }
        let from = from.max(self.now());
        let wares = &self.evening.kitchen.cookware;
        let large = |ml: Option<u32>| ml.is_none_or(|ml| u64::from(ml) >= least_ml);
        let of_kind = || wares.iter().filter(|c| c.kind == kind && large(c.volume_ml));
        // A kind of which too few may go in stays outside: the bowl of a topping.
        let proof: u32 = of_kind().filter(|c| c.ovenproof).map(|c| c.count).sum();
        let must_be_proof = in_oven && proof >= count;
        let fits = |id: &str| of_kind().any(|c| c.id == id && (c.ovenproof || !must_be_proof));
        let has: usize = self
            .plan
            .pans
            .iter()
            .filter(|p| p.dish == d && fits(&p.cookware) && p.from <= from && p.to >= to)
            .map(|p| p.numbers.len())
            .sum();
        if from < to && minutes(count) > Minute::try_from(has).unwrap_or(Minute::MAX) {
            self.fault(format!("{} has {has} of {count} {kind} from {from} to {to}", sheet.id));
        }
    }
}
