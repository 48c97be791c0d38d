//! Questions about how far the evening has come. None of them changes anything.

use super::food;
use super::state::{Progress, State, Stay, Whereabouts};
use crate::kitchen::{HoldClass, StationKind};
use crate::plan::StepKey;

impl State {
    /// The way in which a load is or would be done.
    #[must_use]
    pub fn way_of(&self, key: StepKey) -> usize {
        let begun = |load| Some(self.facts.progress.get(&StepKey { load, ..key })?.run()?.way);
        // The loads of a step are done in one way: the one it was begun in.
        begun(key.load)
            .or_else(|| begun(0))
            .or_else(|| self.block(key).map(|b| b.way))
            .or_else(|| self.block(StepKey { load: 0, ..key }).map(|b| b.way))
            .unwrap_or(0)
    }

    /// The loads of a step in the way it is or would be done.
    #[must_use]
    pub fn loads(&self, dish: usize, step: usize) -> u32 {
        let way = self.way_of(StepKey { dish, step, load: 0 });
        self.sheet(dish).map_or(1, |s| s.loads(step, way))
    }

    /// When a load was over, as seen at `now_ms`: marked done or left out, or
    /// at its end if it ends by itself.
    #[must_use]
    pub fn over_ms(&self, key: StepKey, now_ms: i64) -> Option<i64> {
        let progress = self.facts.progress.get(&key)?;
        let Progress::Running(run) = progress else { return progress.end_ms() };
        if !self.ends_by_itself(key, run.way) {
            return None;
        }
        let end_ms = self.nominal_end_ms(key, run);
        (end_ms <= now_ms).then_some(end_ms)
    }

    /// Does a load run of which the cook is still to hear? Not one that has ended by itself, nor one of a dish that is
    /// not made after all or was thrown out before any of it was done: what was on the heat went with it.
    #[must_use]
    pub fn still_runs(&self, key: StepKey, now_ms: i64) -> bool {
        matches!(self.facts.progress.get(&key), Some(Progress::Running(_)))
            && self.over_ms(key, now_ms).is_none()
            && !self.is_dropped(key.dish)
            && !food::is_thrown_out_unfinished(self, key.dish, now_ms)
    }

    /// Does a load go on while a later one of its step is begun at a station: has it time left, needs it no hands, and is
    /// it in another place or one with room for both?
    #[must_use]
    pub(super) fn goes_on_beside(&self, load: StepKey, station: &str, at_ms: i64) -> bool {
        let Some(Progress::Running(run)) = self.facts.progress.get(&load) else { return false };
        let apart =
            run.station != station || self.evening.station(station).is_some_and(|s| s.slots > 1);
        let alone = food::heats(self, run) || self.ends_by_itself(load, run.way);
        apart && alone && self.nominal_end_ms(load, run) > at_ms
    }

    /// Does nobody need to be there when the step ends (dough that rises, a dip
    /// that chills)? It asks for no hands, forgives, and is not on the heat.
    #[must_use]
    pub fn ends_by_itself(&self, key: StepKey, way: usize) -> bool {
        self.step(key).is_some_and(|step| step.ends_by_itself(way))
    }

    /// When the last load of a step was over; None while any is not.
    #[must_use]
    pub fn step_over_ms(&self, dish: usize, step: usize, now_ms: i64) -> Option<i64> {
        let mut last = None;
        for load in 0..self.loads(dish, step) {
            last = last.max(Some(self.over_ms(StepKey { dish, step, load }, now_ms)?));
        }
        last
    }

    /// Indices of the steps that a step comes after.
    #[must_use]
    pub fn earlier_steps(&self, dish: usize, step: usize) -> Vec<usize> {
        let Some(sheet) = self.sheet(dish) else { return Vec::new() };
        let Some(found) = sheet.recipe.steps.get(step) else { return Vec::new() };
        let earlier = found.after.iter().filter_map(|a| sheet.step_index(&a.step));
        earlier.filter(|s| *s != step).collect()
    }

    /// Are the steps and loads before this one over?
    #[must_use]
    pub fn is_free(&self, key: StepKey, now_ms: i64) -> bool {
        let loads =
            (0..key.load).all(|l| self.over_ms(StepKey { load: l, ..key }, now_ms).is_some());
        loads
            && self
                .earlier_steps(key.dish, key.step)
                .into_iter()
                .all(|step| self.step_over_ms(key.dish, step, now_ms).is_some())
    }

    /// When the dish was finished: its last step was over.
    #[must_use]
    pub fn ready_ms(&self, dish: usize, now_ms: i64) -> Option<i64> {
        self.step_over_ms(dish, self.sheet(dish)?.last_step(), now_ms)
    }

    /// When the dish was finished, and not by its last step being left out before what comes before that is over.
    #[must_use]
    pub(super) fn made_ms(&self, dish: usize, now_ms: i64) -> Option<i64> {
        self.ready_ms(dish, now_ms).filter(|_| !self.is_unmade(dish, now_ms))
    }

    /// The first load before a dish's last step that is not over; None if all are.
    #[must_use]
    pub(super) fn open_before(&self, dish: usize, now_ms: i64) -> Option<StepKey> {
        let steps = self.earlier_steps(dish, self.sheet(dish)?.last_step()).into_iter();
        let mut keys = steps.flat_map(|step| {
            (0..self.loads(dish, step)).map(move |load| StepKey { dish, step, load })
        });
        keys.find(|key| self.over_ms(*key, now_ms).is_none())
    }

    /// Is a dish finished in that its last step was left out alone, and not by what comes before that?
    #[must_use]
    pub(super) fn is_unmade(&self, dish: usize, now_ms: i64) -> bool {
        let Some(step) = self.sheet(dish).map(crate::kitchen::Sheet::last_step) else {
            return false;
        };
        let left_out = |load| {
            let progress = self.facts.progress.get(&StepKey { dish, step, load });
            matches!(progress, Some(Progress::Skipped(None, _)))
        };
        (0..self.loads(dish, step)).any(left_out) && self.open_before(dish, now_ms).is_some()
    }

    /// Did a load of a dish's last step end by itself in the cold, and was the dish or a part of it put somewhere since?
    /// Then it runs on no more, whatever is said of its minutes: where it went counts.
    #[must_use]
    pub(super) fn went_on(&self, key: StepKey, now_ms: i64) -> bool {
        let Some(Progress::Running(run)) = self.facts.progress.get(&key) else { return false };
        let chills = self.evening.station(&run.station).is_some_and(|s| s.kind.chills());
        let last = self.sheet(key.dish).is_some_and(|s| s.last_step() == key.step);
        let Some(over_ms) = self.over_ms(key, now_ms).filter(|_| chills && last) else {
            return false;
        };
        let mut stays = self.facts.stays.get(&key.dish).into_iter().flatten();
        let mut parts = self.facts.portions.range((key.dish, 0)..=(key.dish, u32::MAX));
        stays.any(|s| s.at_ms >= over_ms) || parts.any(|(_, p)| p.from_ms >= over_ms)
    }

    /// When the first load of the dish's last step was over: from then on it waits.
    #[must_use]
    pub fn out_ms(&self, dish: usize, now_ms: i64) -> Option<i64> {
        let step = self.sheet(dish)?.last_step();
        let loads = 0..self.loads(dish, step);
        loads.filter_map(|load| self.over_ms(StepKey { dish, step, load }, now_ms)).min()
    }

    /// When the dish went to the table first.
    #[must_use]
    pub fn served_ms(&self, dish: usize) -> Option<i64> {
        let stays = self.facts.stays.get(&dish)?;
        stays.iter().find(|s| s.at == Whereabouts::Table).map(|s| s.at_ms)
    }

    /// Where the dish was put last.
    #[must_use]
    pub fn last_stay(&self, dish: usize) -> Option<&Stay> {
        self.facts.stays.get(&dish)?.last()
    }

    /// Eaten, put away or thrown out.
    #[must_use]
    pub fn is_gone(&self, dish: usize) -> bool {
        self.last_stay(dish).is_some_and(|s| matches!(s.at, Whereabouts::Gone(_)))
    }

    /// Is the dish not made after all?
    #[must_use]
    pub fn is_dropped(&self, dish: usize) -> bool {
        self.facts.dropped.contains_key(&dish)
    }

    /// How a place keeps food: by the recipe's hold, else by what the place is.
    #[must_use]
    pub fn class_of(&self, dish: usize, hold: Option<usize>, place: StationKind) -> HoldClass {
        let hold = hold.and_then(|h| self.sheet(dish)?.recipe.holds.get(h));
        match hold {
            Some(hold) => hold.class,
            None if place.chills() => HoldClass::Cold,
            // A place that the recipe does not name may be off: the clock runs.
            None => HoldClass::Room,
        }
    }

    /// Every load of every step of every dish that is made, in order of key.
    pub fn all_loads(&self) -> impl Iterator<Item = StepKey> {
        let sheets = self.evening.sheets.iter().enumerate();
        sheets.filter(|(dish, _)| !self.is_dropped(*dish)).flat_map(move |(dish, sheet)| {
            (0..sheet.recipe.steps.len()).flat_map(move |step| {
                (0..self.loads(dish, step)).map(move |load| StepKey { dish, step, load })
            })
        })
    }
}
