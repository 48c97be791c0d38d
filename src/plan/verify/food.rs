//! Dishes reach the table, wait only as they may, and none is planned past a
//! safety limit, its time on the table included.

use super::{Check, out::Way, steps::minutes};
use crate::kitchen::{Minute, Sheet, StationKind, WaitPlace};
use crate::plan::blocks::HoldBlock;
use crate::safety::{class, limit};

/// Minutes that a dish whose recipe names no hold may stand on the pass after its last load.
const ON_THE_PASS: Minute = 10;

impl Check<'_> {
    pub(super) fn food(&mut self) {
        for (d, sheet) in self.wanted() {
            let Some((out, ready, served)) = self.serving(d) else { continue };
            self.is_on_its_line(d, sheet, ready, served);
            let hold = self.plan.holds.iter().find(|h| h.dish == d);
            match hold {
                Some(hold) => self.waits_as_it_may(d, sheet, hold, (out, ready, served)),
                None if self.situation.held.contains_key(&d) => {}
                None => {
                    if served > out && self.begun_last(d).is_none() {
                        self.fault(format!("{} waits {} minutes nowhere", sheet.id, served - out));
                    }
                }
            }
            self.is_safe(d, sheet, hold, served);
            self.is_cold_in_time(d, sheet);
        }
    }

    /// The first load of the last step, if it has begun.
    fn begun_last(&self, d: usize) -> Option<()> {
        let step = self.evening.sheets[d].last_step();
        self.begun(crate::plan::StepKey { dish: d, step, load: 0 }).map(|_| ())
    }

    fn is_on_its_line(&mut self, d: usize, sheet: &Sheet, ready: Minute, served: Minute) {
        let due = self.due(sheet.service);
        let listed = self.plan.services.iter().any(|l| {
            l.service == sheet.service && l.due == due && l.dishes.contains(&(d, ready, served))
        });
        if !listed {
            self.fault(format!("{} is not on the line of its service", sheet.id));
        }
    }

    fn waits_as_it_may(
        &mut self,
        d: usize,
        s: &Sheet,
        h: &HoldBlock,
        (out, ready, served): (Minute, Minute, Minute),
    ) {
        let out_already = self.begun_last(d).is_some();
        // Loads that came out before the rest had to change its way wait by themselves.
        let from_fits = h.from == out || (out_already && h.from >= out);
        if !from_fits || h.to != served {
            self.fault(format!("the hold of {} is not from {out} to {served}", s.id));
        }
        let Some(rule) = s.recipe.holds.get(h.hold) else {
            let on_the_pass = s.recipe.holds.is_empty() && served - ready <= ON_THE_PASS;
            if !on_the_pass && !out_already {
                self.fault(format!("{} has no hold {}", s.id, h.hold));
            }
            return;
        };
        let station = self.evening.station(&h.station);
        if station.is_none_or(|st| st.kind != rule.place) || h.class != rule.class {
            self.fault(format!("{} waits in the wrong place", s.id));
        }
        let has_dial = station.is_some_and(|st| st.thermostat.is_some());
        if let (true, Some(at_c)) = (has_dial, rule.at_c)
            && h.setting_c.is_none_or(|c| (c - at_c).abs() > rule.give_c)
            && !self.situation.held.contains_key(&d)
        {
            self.fault(format!("{} waits at {:?}, not {at_c} °C", s.id, h.setting_c));
        }
        if served - out > minutes(rule.most_minutes) && !out_already {
            self.fault(format!("{} waits {} minutes", s.id, served - out));
        }
    }

    /// What its food is without heat or cold, from one heating to the next and to the end of the time on the table.
    fn is_safe(&mut self, d: usize, sheet: &Sheet, hold: Option<&HoldBlock>, served: Minute) {
        let perishable =
            class::is_perishable(sheet.recipe.safety.class, sheet.recipe.safety.exempt);
        let air_c = f64::from(self.evening.party.room_c);
        let Some(most) = limit::limit_minutes(self.profile, perishable, air_c) else { return };
        let kept = hold.is_some_and(|h| {
            limit::setting_holds(self.profile, h.class, h.setting_c.map(f64::from))
        });
        let (heated, last) = self.ways(d, sheet);
        let served = last.iter().map(|w| self.at_the_table(d, sheet, *w, (served, kept)));
        let ways: Vec<Way> = heated.into_iter().chain(served).collect();
        // While the evening runs, what cannot keep its limit any more is told and not refused: the
        // cook needs a plan for the rest.
        if self.situation.now.is_some() && ways.iter().any(|w| i64::from(w.least) > most) {
            return;
        }
        let bound = ways.iter().filter(|w| !w.under_way);
        let Some(way) = bound.max_by_key(|w| w.out).filter(|w| i64::from(w.out) > most) else {
            return;
        };
        let until = match way.up_to.and_then(|s| sheet.recipe.steps.get(s)) {
            Some(step) => format!("up to {}", step.id),
            None => "the table included".to_owned(),
        };
        self.fault(format!(
            "{} is without heat or cold for {} minutes, {until}; {most} are allowed",
            sheet.id, way.out
        ));
    }

    /// What is made the day before is in the fridge before its time is up.
    fn is_cold_in_time(&mut self, d: usize, sheet: &Sheet) {
        let safety = &sheet.recipe.safety;
        let perishable = class::is_perishable(safety.class, safety.exempt);
        let air_c = f64::from(self.evening.party.room_c);
        let Some(most) = limit::limit_minutes(self.profile, perishable, air_c) else { return };
        let steps = &sheet.recipe.steps;
        let leaving = steps.iter().filter(|s| !s.day_before).flat_map(|s| &s.after);
        let leaving = leaving.filter_map(|a| sheet.step_index(&a.step));
        for step in leaving.filter(|s| steps[*s].day_before) {
            let end = self.loads(d, step).iter().map(|b| b.end).max();
            let since = self.last_controlled(d, step, steps.len());
            let (Some(end), Some((since, begun))) = (end, since) else { continue };
            if i64::from(end - since) > most && !begun && self.now() < 0 {
                let name = &steps[step].id;
                self.fault(format!(
                    "{}/{name} comes into the fridge after {} minutes; {most} are allowed",
                    sheet.id,
                    end - since
                ));
            }
        }
    }

    /// Since when the food at the end of this step is without heat or cold, along its
    /// longest such chain, and whether that has begun already. None if the plan has no such step.
    pub(super) fn last_controlled(
        &self,
        d: usize,
        step: usize,
        depth: usize,
    ) -> Option<(Minute, bool)> {
        let sheet = &self.evening.sheets[d];
        let loads = self.loads(d, step);
        let (first, begun) = loads.first().map(|b| (*b, self.begun(b.key).is_some()))?;
        let kind = self.evening.station(&first.station).map_or(StationKind::Counter, |s| s.kind);
        if kind.heats() || kind.chills() {
            return Some((first.end, begun));
        }
        let rule = sheet.recipe.steps.get(step)?;
        let earlier = rule.after.iter().filter_map(|after| {
            let before = sheet.step_index(&after.step)?;
            match after.place {
                WaitPlace::Room if depth > 0 => self.last_controlled(d, before, depth - 1),
                WaitPlace::Room => None,
                WaitPlace::Hot | WaitPlace::Cold => Some((first.start, begun)),
            }
        });
        // What this step itself brings out of its store leaves it no sooner than what it is put to.
        earlier.min_by_key(|&(since, _)| since).or(Some((first.start, begun)))
    }
}
