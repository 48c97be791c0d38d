//! Gives blocks, holds and waits their slots, and dishes their pans.

use super::Compose;
use super::slots::{Taking, number};
use crate::plan::blocks::{Block, HoldBlock, PanBlock, Plan, WaitBlock};

/// A thing of the plan that takes slots of a station.
#[derive(Debug, Clone, Copy)]
enum Thing {
    Block(usize),
    Hold(usize),
    Wait(usize),
}

impl Compose<'_> {
    pub(super) fn number_slots(&self, plan: &mut Plan) {
        for station in &self.evening.kitchen.stations {
            let (things, takings) = self.takings(plan, &station.id);
            let numbers = number(&takings, station.slots);
            for (thing, slots) in things.into_iter().zip(numbers) {
                match thing {
                    Thing::Block(i) => plan.blocks[i].slots = slots,
                    Thing::Hold(i) => plan.holds[i].slots = slots,
                    Thing::Wait(i) => plan.waits[i].slots = slots,
                }
            }
        }
    }

    fn takings(&self, plan: &Plan, station: &str) -> (Vec<Thing>, Vec<Taking>) {
        let (mut things, mut takings) = (Vec::new(), Vec::new());
        for (i, b) in plan.blocks.iter().enumerate().filter(|(_, b)| b.station == station) {
            things.push(Thing::Block(i));
            takings.push(Taking {
                from: b.start,
                to: b.end,
                amount: self.amount(b),
                prefer: self.shown_block(b).map_or_else(Vec::new, |p| p.slots.clone()),
                like: None,
                begun: b.begun,
            });
        }
        for (i, h) in plan.holds.iter().enumerate().filter(|(_, h)| h.station == station) {
            let from = things
                .iter()
                .position(|t| matches!(t, Thing::Block(b) if self.is_out(&plan.blocks[*b], h)));
            things.push(Thing::Hold(i));
            takings.push(Taking {
                from: h.from,
                to: h.to,
                amount: 1,
                prefer: self.shown_hold(h).map_or_else(Vec::new, |p| p.slots.clone()),
                like: from,
                begun: self.situation.held.contains_key(&h.dish),
            });
        }
        for (i, w) in plan.waits.iter().enumerate() {
            if w.station.as_deref() == Some(station) {
                things.push(Thing::Wait(i));
                takings.push(Taking {
                    from: w.from,
                    to: w.to,
                    amount: 1,
                    prefer: self.shown_wait(w).map_or_else(Vec::new, |p| p.slots.clone()),
                    like: None,
                    begun: self.situation.now.is_some_and(|now| w.from <= now),
                });
            }
        }
        (things, takings)
    }

    /// Slots that a block takes: those of its mode; of one that the problem does not
    /// have any more, those on the plan before.
    fn amount(&self, block: &Block) -> usize {
        let of_it = |t: &usize| {
            let at = self.map.tasks[*t];
            at.key == block.key && !at.shadow && self.problem.active(self.schedule, *t)
        };
        let task = (0..self.problem.tasks.len()).find(of_it);
        let uses = task.and_then(|t| {
            let step = self.problem.tasks[t].step;
            self.problem.steps[step].modes[self.schedule.mode[step]].uses.first()
        });
        let amount = uses.and_then(|u| usize::try_from(u.amount).ok());
        let before = || self.shown_block(block).map(|b| b.slots.len());
        let sheet = self.evening.sheets.get(block.key.dish);
        let way = || sheet?.recipe.steps.get(block.key.step)?.ways.get(block.way);
        amount.or_else(before).or_else(|| way().map(|w| w.slots as usize)).unwrap_or(1).max(1)
    }

    /// Does a block end with the dish coming out for this hold?
    fn is_out(&self, block: &Block, hold: &HoldBlock) -> bool {
        let sheet = self.evening.sheets.get(hold.dish);
        block.key.dish == hold.dish
            && block.key.load == 0
            && sheet.is_some_and(|s| s.last_step() == block.key.step)
    }

    fn shown_block(&self, block: &Block) -> Option<&Block> {
        let previous = self.situation.previous.as_ref()?;
        previous.blocks.iter().find(|b| b.key == block.key && b.station == block.station)
    }

    fn shown_hold(&self, hold: &HoldBlock) -> Option<&HoldBlock> {
        let previous = self.situation.previous.as_ref()?;
        previous.holds.iter().find(|h| h.dish == hold.dish && h.station == hold.station)
    }

    fn shown_wait(&self, wait: &WaitBlock) -> Option<&WaitBlock> {
        let previous = self.situation.previous.as_ref()?;
        previous.waits.iter().find(|w| {
            w.station == wait.station
                && (w.dish, w.after_step, w.before_step)
                    == (wait.dish, wait.after_step, wait.before_step)
        })
    }

    pub(super) fn number_pans(&self, plan: &mut Plan) {
        for ware in &self.evening.kitchen.cookware {
            let mine: Vec<usize> =
                (0..plan.pans.len()).filter(|&i| plan.pans[i].cookware == ware.id).collect();
            let takings: Vec<Taking> =
                mine.iter().map(|&i| self.pan_taking(&plan.pans[i])).collect();
            for (i, numbers) in mine.into_iter().zip(number(&takings, ware.count)) {
                plan.pans[i].numbers = numbers;
            }
        }
    }

    fn pan_taking(&self, pan: &PanBlock) -> Taking {
        let shown = self.situation.previous.as_ref().and_then(|previous| {
            previous.pans.iter().find(|p| p.dish == pan.dish && p.cookware == pan.cookware)
        });
        Taking {
            from: pan.from,
            to: pan.to,
            amount: pan.numbers.len(),
            prefer: shown.map_or_else(Vec::new, |p| p.numbers.clone()),
            // Of those that are taken from one minute on all stand already, or none.
            ..Taking::default()
        }
    }
}
