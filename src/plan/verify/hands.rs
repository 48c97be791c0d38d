//! No cook is asked for more than there is of them, or when they are away.

use std::collections::BTreeMap;

use super::{Check, steps::minutes};
use crate::kitchen::party::Stretch;
use crate::kitchen::{Cook, Minute, TimeOfDay};
use crate::plan::blocks::Block;

impl Check<'_> {
    pub(super) fn hands(&mut self) {
        // (cook, minute) -> (percent asked by what has begun, percent asked in all)
        let mut asked: BTreeMap<(&str, Minute), (i32, i32)> = BTreeMap::new();
        for block in &self.plan.blocks {
            let begun = self.is_behind(block.key);
            if !begun {
                self.asks_as_the_recipe_says(block);
            }
            let Some(cook) = &block.cook else { continue };
            for (from, to, percent) in parts(block) {
                for minute in from.max(self.now())..to {
                    let entry = asked.entry((cook, minute)).or_default();
                    entry.1 += percent;
                    if begun {
                        entry.0 += percent;
                    }
                }
            }
        }
        let mut faults = Vec::new();
        for ((cook, minute), (begun, all)) in asked {
            if all > begun.max(if self.is_free(cook, minute) { 100 } else { 0 }) {
                faults.push(format!("{cook} is asked for {all} at minute {minute}"));
            }
        }
        faults.into_iter().for_each(|what| self.fault(what));
    }

    fn asks_as_the_recipe_says(&mut self, block: &Block) {
        let Some(step) = self.step(block.key) else { return };
        let name = self.name(block.key);
        let hands = step.hands;
        let long = block.end - block.start;
        let start = minutes(hands.start_minutes).min(long);
        let end = minutes(hands.end_minutes).min(long - start);
        let same = (block.hands_start, block.hands_end) == (start, end)
            && (block.hands_between == minutes(hands.between_percent) || start + end == long);
        if !same {
            self.fault(format!("{name} asks for other hands than the recipe"));
        }
        if parts(block).next().is_some() && block.cook.is_none() {
            self.fault(format!("{name} has no cook"));
        }
    }

    /// 17:00 to 22:00 unless the party file says otherwise; longer while it runs late.
    fn is_there_the_day_before(&self, cook: &Cook, minute: Minute) -> bool {
        let (face, before) = (&self.evening.face, self.evening.face.day_before());
        let at = |time| face.minute_at(before.ms_of(before.minute_of(time)));
        let free = cook.free_day_before.iter().map(|f| (at(f.from), at(f.to)));
        let mut free: Vec<_> = free.collect();
        if free.is_empty() {
            free.push((at(TimeOfDay(17 * 60)), at(TimeOfDay(22 * 60))));
        }
        let last = free.iter().map(|f| f.1).max();
        free.iter().any(|&(from, to)| {
            let stays = self.situation.now.is_some() && Some(to) == last;
            from <= minute && (minute < to || stays)
        })
    }

    fn is_free(&self, cook: &str, minute: Minute) -> bool {
        let cooks = &self.evening.party.cooks;
        let Some(at) = cooks.iter().position(|c| c.id == cook) else { return false };
        let cook = &cooks[at];
        if minute < 0 && self.is_there_the_day_before(cook, minute) {
            return true;
        }
        let face = &self.evening.face;
        let within = |f: &Stretch| (face.minute_of(f.from)..face.minute_of(f.to)).contains(&minute);
        if cook.free.iter().any(within) {
            return true;
        }
        // While an evening runs late the first cook, whose kitchen it is, and who leaves last of all
        // stay on: lateness has its own price.
        let to = |cook: &Cook| cook.free.iter().map(|f| face.minute_of(f.to)).max();
        let is_over = || to(cook).is_some_and(|own| own <= minute);
        let stays = || at == 0 || to(cook) == cooks.iter().filter_map(to).max();
        self.situation.now.is_some() && is_over() && stays()
    }
}

/// A block's demands on its cook: from, to, percent.
fn parts(block: &Block) -> impl Iterator<Item = (Minute, Minute, i32)> {
    let from = block.start + block.hands_start;
    let to = block.end - block.hands_end;
    [(block.start, from, 100), (from, to, block.hands_between), (to, block.end, 100)]
        .into_iter()
        .filter(|&(from, to, percent)| from < to && percent > 0)
}
