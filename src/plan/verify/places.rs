//! No two things stand in one slot, and food that waits cold has a place.

use std::collections::BTreeMap;

use super::Check;
use crate::kitchen::{Minute, StationKind, WaitPlace};
use crate::order::InOrder;
use crate::plan::situation::{Begun, StepKey};

/// Something that takes a numbered place for a while.
#[derive(Clone)]
pub(super) struct Taking {
    pub from: Minute,
    pub to: Minute,
    pub begun: bool,
    pub who: String,
}

/// What stands in each numbered place: (id, number) -> takings.
pub(super) type Places = BTreeMap<(String, u32), Vec<Taking>>;

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
                // What runs comes out when it does, wherever there is room for it.
                let key = StepKey { dish: w.dish, step: w.after_step, load: 0 };
                let runs = matches!(self.begun(key), Some(Begun::Running { .. }));
                let begun = runs || w.from <= self.now();
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
    pub(super) fn apart(&mut self, places: Places) {
        let now = self.now();
        for ((id, number), mut takings) in places {
            takings.retain(|t| t.to > t.from.max(now));
            takings.order_by_key(|t| t.from);
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

    pub(super) fn has_fridge(&self) -> bool {
        let down = &self.situation.down;
        let mut stations = self.evening.kitchen.stations.iter();
        stations.any(|s| s.kind == StationKind::Fridge && !down.contains(&s.id))
    }
}
