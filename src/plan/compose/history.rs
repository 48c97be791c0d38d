//! What lies behind and is no longer planned, but belongs on the chart: the
//! steps of dishes that have been served.

use super::Compose;
use crate::plan::blocks::{Block, Plan};
use crate::plan::situation::{Begun, StepKey};

impl Compose<'_> {
    pub(super) fn add_history(&self, plan: &mut Plan) {
        for (key, begun) in &self.situation.begun {
            let shown = self.map.tasks.iter().any(|t| t.key == *key);
            if let Begun::Done { start, end, way, station, .. } = begun
                && self.situation.served.contains(&key.dish)
                && !shown
            {
                plan.blocks.push(self.done(*key, *start, *end, *way, station));
            }
        }
        let Some(previous) = &self.situation.previous else { return };
        for line in &previous.services {
            let Some(mine) = plan.services.iter_mut().find(|l| l.service == line.service) else {
                continue;
            };
            let served = |d: &&(usize, _, _)| self.situation.served.contains(&d.0);
            let missing: Vec<_> = line.dishes.iter().filter(served).copied().collect();
            mine.dishes.extend(missing);
            mine.dishes.sort_unstable();
            mine.dishes.dedup_by_key(|d| d.0);
        }
        for hold in previous.holds.iter().filter(|h| self.situation.served.contains(&h.dish)) {
            let to = hold.to.min(self.problem.start);
            if hold.from < to && !self.situation.dropped.contains(&hold.dish) {
                let mut hold = hold.clone();
                hold.to = to;
                plan.holds.push(hold);
            }
        }
    }

    fn done(&self, key: StepKey, start: i32, end: i32, way: usize, station: &str) -> Block {
        let step = self.evening.sheets.get(key.dish).and_then(|s| s.recipe.steps.get(key.step));
        let hands = step.map(|s| s.hands).unwrap_or_default();
        let whole = |n: u32| i32::try_from(n).unwrap_or(i32::MAX);
        let hands_start = whole(hands.start_minutes).min(end - start);
        let loads = self
            .situation
            .begun
            .keys()
            .filter(|k| (k.dish, k.step) == (key.dish, key.step))
            .count();
        Block {
            key,
            loads: u32::try_from(loads).unwrap_or(u32::MAX),
            way,
            station: station.to_owned(),
            slots: Vec::new(),
            cook: self.shown(key).and_then(|b| b.cook.clone()),
            start,
            end,
            hands_start,
            hands_end: whole(hands.end_minutes).min(end - start - hands_start),
            hands_between: whole(hands.between_percent),
            setting_c: self.shown(key).and_then(|b| b.setting_c),
            begun: true,
        }
    }
}
