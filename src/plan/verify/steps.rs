//! Every step stands once, in one of its ways, after all that it follows.

use super::Check;
use crate::kitchen::{After, Minute, WaitsFor};
use crate::plan::blocks::Block;
use crate::plan::situation::{Begun, StepKey};

impl Check<'_> {
    pub(super) fn steps(&mut self) {
        for (d, sheet) in self.wanted() {
            for wait in &sheet.waits_for {
                self.waits_across(d, wait);
            }
            for s in 0..sheet.recipe.steps.len() {
                self.whole(d, s);
                for after in &sheet.recipe.steps[s].after {
                    if let Some(before) = sheet.step_index(&after.step) {
                        self.follows(d, before, s, after);
                    }
                }
            }
        }
        for block in &self.plan.blocks {
            match self.begun(block.key) {
                Some(begun) => self.as_it_happened(block, begun),
                None if self.is_behind(block.key) => {}
                None => self.as_the_recipe_says(block),
            }
        }
    }

    /// All loads of a step are there, in order, in one way.
    fn whole(&mut self, dish: usize, step: usize) {
        let loads = self.loads(dish, step);
        let key = StepKey { dish, step, load: 0 };
        let Some(first) = loads.first() else {
            return self.fault(format!("{} is missing", self.name(key)));
        };
        let moved = self.had_to_move(&loads);
        let wanted = self.evening.sheets[dish].loads(step, first.way) as usize;
        let begun = loads.iter().filter(|b| self.is_behind(b.key)).count();
        let enough = loads.len() == wanted.max(begun) || (moved && self.servings_made(&loads));
        let one_each = loads.iter().enumerate().all(|(n, b)| b.key.load as usize == n);
        if !(enough && one_each) {
            self.fault(format!("{}: {} loads, not {wanted}", self.name(key), loads.len()));
        }
        for pair in loads.windows(2) {
            if pair[0].way != pair[1].way && !moved {
                self.fault(format!("{} changes its way between loads", self.name(key)));
            }
            if pair[1].start < pair[0].end && !self.is_behind(pair[1].key) {
                self.fault(format!("{}: loads overlap", self.name(key)));
            }
        }
    }

    /// Have some loads begun in another way than the rest are made in, because
    /// the cook did so or their station is out of use since?
    fn had_to_move(&self, loads: &[&Block]) -> bool {
        let begun = || loads.iter().filter(|b| self.begun(b.key).is_some());
        let ways = |b: &&&Block| begun().any(|o| o.way != b.way);
        begun().any(|b| self.situation.down.contains(&b.station)) || begun().any(|b| ways(&b))
    }

    /// Do the loads, in the ways that they have, make the servings?
    fn servings_made(&self, loads: &[&Block]) -> bool {
        let Some(sheet) = loads.first().and_then(|b| self.evening.sheets.get(b.key.dish)) else {
            return false;
        };
        let of_load = |b: &&Block| {
            let way = self.step(b.key).and_then(|s| s.ways.get(b.way));
            way.and_then(|w| w.load_servings).unwrap_or(sheet.servings)
        };
        loads.iter().map(of_load).fold(0, u32::saturating_add) >= sheet.servings
    }

    fn follows(&mut self, dish: usize, before: usize, step: usize, after: &After) {
        let (earlier, later) = (self.loads(dish, before), self.loads(dish, step));
        let ends = || earlier.iter().map(|b| b.end);
        let (Some(first_end), Some(last_end)) = (ends().next(), ends().max()) else { return };
        for block in &later {
            let too_soon = block.start < last_end + minutes(after.least_minutes);
            if too_soon && !self.is_behind(block.key) {
                self.fault(format!(
                    "{} starts too soon after {}",
                    self.name(block.key),
                    after.step
                ));
            }
        }
        let Some(most) = after.most_minutes else { return };
        let waited_for = earlier.first().is_some_and(|b| self.is_behind(b.key));
        if let Some(start) = later.first().filter(|b| !self.is_behind(b.key)).map(|b| b.start)
            && start > first_end + minutes(most)
            && !waited_for
        {
            let name = self.name(StepKey { dish, step, load: 0 });
            self.fault(format!("{name} starts too long after {}", after.step));
        }
    }

    /// What another dish's step cuts is cut before the step that wants it begins.
    fn waits_across(&mut self, dish: usize, wait: &WaitsFor) {
        let made = self.wanted().find(|(_, sheet)| sheet.id == wait.dish);
        let Some((from, sheet)) = made else { return };
        let (Some(cut), Some(step)) =
            (sheet.step_index(&wait.job), self.evening.sheets[dish].step_index(&wait.step))
        else {
            return;
        };
        let last_end = self.loads(from, cut).iter().map(|b| b.end).max();
        for block in self.loads(dish, step) {
            if last_end.is_some_and(|end| block.start < end) && !self.is_behind(block.key) {
                self.fault(format!("{} starts before {}", self.name(block.key), wait.job));
            }
        }
    }

    fn as_it_happened(&mut self, block: &Block, begun: &Begun) {
        let (start, end) = match begun {
            Begun::Running { start, end, .. } | Begun::Done { start, end, .. } => (*start, *end),
        };
        if block.start != start || block.end != end {
            self.fault(format!("{} does not stand as it happened", self.name(block.key)));
        }
    }

    fn as_the_recipe_says(&mut self, block: &Block) {
        let name = self.name(block.key);
        let Some(step) = self.step(block.key) else {
            return self.fault(format!("{name} is not in the recipe"));
        };
        let Some(way) = step.ways.get(block.way) else {
            return self.fault(format!("{name} has no way {}", block.way));
        };
        let sheet = &self.evening.sheets[block.key.dish];
        if block.end - block.start != sheet.minutes(block.key.step, block.way) {
            self.fault(format!("{name} has {} minutes", block.end - block.start));
        }
        let day_before = self.is_of_the_day_before(block.key);
        if day_before && block.end > 0 {
            self.fault(format!("{name} is not over on the day before"));
        }
        if block.start < self.now() || (block.start < self.plan.made_for && !day_before) {
            self.fault(format!("{name} starts in the past"));
        }
        if let Some(&pin) = self.situation.pins.get(&block.key)
            && pin >= self.now()
            && block.start < pin
        {
            self.fault(format!("{name} starts before its pin"));
        }
        match self.evening.station(&block.station) {
            None => self.fault(format!("{name}: no station {}", block.station)),
            Some(station) => {
                if station.kind != way.station {
                    self.fault(format!("{name} stands at the wrong kind of station"));
                }
                let loads = sheet.loads(block.key.step, block.way);
                let in_load = sheet.servings.div_ceil(loads.max(1));
                let volume = way.ml_per_serving.map(|ml| u64::from(ml) * u64::from(in_load));
                if let (Some(needs), Some(has)) = (volume, station.volume_ml)
                    && needs > u64::from(has)
                {
                    self.fault(format!("{name}: {needs} ml do not fit into {}", station.id));
                }
            }
        }
        if self.situation.down.contains(&block.station) {
            self.fault(format!("{name}: {} cannot be used", block.station));
        }
        if block.slots.len() != self.places_of(block, way) {
            self.fault(format!("{name} takes {} slots", block.slots.len()));
        }
        if let Some(at_c) = way.at_c
            && self.evening.station(&block.station).is_some_and(|s| s.thermostat.is_some())
            && block.setting_c.is_none_or(|c| (c - at_c).abs() > way.give_c)
        {
            self.fault(format!("{name} needs {at_c} °C, not {:?}", block.setting_c));
        }
    }
}

pub(super) fn minutes(n: u32) -> Minute {
    Minute::try_from(n).unwrap_or(Minute::MAX / 4)
}
