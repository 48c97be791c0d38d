//! What was to be made the day before and was not marked: once midnight has
//! passed it is taken to have been made as planned, because the party says so.
//! A mark about it, when it comes, counts instead.

use crate::plan::StepKey;
use crate::run::state::{Progress, Run, State};

impl State {
    /// Takes what the plan has on the day before to be done, if that is over.
    pub(super) fn settle_the_day_before(&mut self, at_ms: i64) {
        if at_ms < self.ms(0) {
            return;
        }
        let Some(plan) = self.plan().map(std::sync::Arc::clone) else { return };
        for block in &plan.blocks {
            let key = block.key;
            let before = self.step(key).is_some_and(|s| s.day_before);
            if !before || self.is_dropped(key.dish) || self.facts.progress.contains_key(&key) {
                continue;
            }
            let run = Run {
                start_ms: self.ms(block.start),
                told_ms: at_ms,
                way: block.way,
                station: block.station.clone(),
                cook: block.cook.clone(),
                more_until_ms: None,
                setting_c: block.setting_c,
            };
            self.facts.progress.insert(key, Progress::Done(run, self.ms(block.end)));
            self.facts.assumed.insert(key);
        }
    }

    /// A mark about it counts more than what was taken for granted.
    pub(super) fn assume_no_more(&mut self, key: StepKey) {
        if self.facts.assumed.remove(&key) {
            self.facts.progress.remove(&key);
        }
    }
}
