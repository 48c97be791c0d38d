//! What is likely to go wrong next, so that an answer can be ready when it does.
//!
//! Most new plans of an evening are asked for because one step runs over, or one was not begun in time. Which steps
//! these can be is known minutes before: those that run, and those that are to begin next. While nothing is asked a
//! plan is worked out for each of them, somewhat late, and the search for the plan that is really asked for begins
//! from whichever of these costs least as the evening stands by then ([`super::search::Ask::ready`]). Nothing of them
//! is shown, and nothing else depends on them.

use super::blocks::{Block, Plan};
use super::situation::{Begun, Held, Situation, StepKey};
use crate::kitchen::{Evening, Minute};

/// So many plans of a kind are begun from at the most; of those for what has not begun one less, where something runs over.
const FITTING: usize = 2;
/// What ends or begins within so many minutes may soon be late.
const SOON: Minute = 30;
/// Minutes by which the step that ends next may be late, and the one after it. The first new plan is asked for when it
/// is two, the next ones when it has become one, two and four minutes more (`run/reshuffle.rs`); and the cook may say at
/// once that it needs ten. A plan for one lateness is often far from the best for another: the order is another.
const ENDS_LATE: [&[Minute]; 2] = [&[1, 2, 3, 4, 5, 6, 8, 10], &[2, 5]];
/// The same of the two steps that begin next.
const BEGINS_LATE: [&[Minute]; 2] = [&[1, 3], &[1, 3]];

/// A plan is looked for four times, each so many times as long as the first: soon there is one for whatever comes next, and
/// what is found later is not all found from the first of them, where each would get stuck at the same. What is cheapest
/// in the end was often found for another lateness, and is gone on from once more.
pub const HELPINGS: [(Whence, u32); 4] =
    [(Whence::Nearest, 1), (Whence::Shown, 1), (Whence::Cheapest, 3), (Whence::Cheapest, 1)];

/// What a plan made ready is gone on from, besides the plan on the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whence {
    /// What was made ready for nearly the same.
    Nearest,
    /// Nothing else.
    Shown,
    /// The cheapest of all that was made ready for the same step, however late: they are as many ways to have gone.
    Cheapest,
}

impl Whence {
    /// The plans to go on from for a lateness, when the evening stands as it does `then`.
    #[must_use]
    pub fn of<'p>(self, ready: &'p [(Late, Plan)], late: &Late, then: &Situation) -> Vec<&'p Plan> {
        let same = |of: &Late| (of.key, of.runs) == (late.key, late.runs);
        match self {
            Self::Nearest => fitting(ready, then).collect(),
            Self::Shown => Vec::new(),
            Self::Cheapest => ready.iter().filter(|r| same(&r.0)).map(|r| &r.1).collect(),
        }
    }

    /// Keeps what was found, the latest first; the cheapest in place of those for the same lateness.
    pub fn keep(self, ready: &mut Vec<(Late, Plan)>, late: Late, plan: Plan) {
        if self == Self::Cheapest {
            ready.retain(|(of, _)| !of.is_like(&late));
        }
        ready.insert(0, (late, plan));
    }
}

/// A step that may soon be late.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Late {
    /// By so many minutes.
    pub minutes: Minute,
    /// The minute in which that is seen: it ends or begins late.
    pub seen: Minute,
    /// Which load.
    pub key: StepKey,
    /// It runs and will end late; else it will begin late.
    pub runs: bool,
}

impl Late {
    /// Is it the same lateness, whenever it is seen?
    #[must_use]
    pub fn is_like(&self, other: &Self) -> bool {
        let alike = |late: &Self| (late.minutes, late.key, late.runs);
        alike(self) == alike(other)
    }

    /// The evening in the minute in which that is seen, all else having gone by the plan.
    #[must_use]
    pub fn then(&self, evening: &Evening, situation: &Situation, plan: &Plan) -> Situation {
        // What has not ended ends in the next minute at the earliest. Much is not known by then: that the rest went by the
        // plan is taken for granted no longer than that.
        let first = self.seen.saturating_sub(self.minutes).saturating_add(1);
        let now = if self.runs { first.min(self.seen.saturating_sub(1)) } else { self.seen };
        let mut then = as_planned(evening, situation, plan, now, self.key);
        if let Some(Begun::Running { end, .. }) = then.begun.get_mut(&self.key) {
            *end = self.seen;
        }
        then
    }

    /// By how many minutes the step is late by now; None if that is not seen yet.
    fn really(&self, now: &Situation) -> Option<Minute> {
        let planned = self.seen.saturating_sub(self.minutes);
        let seen = match (now.begun.get(&self.key), self.runs) {
            (Some(Begun::Running { end, .. } | Begun::Done { end, .. }), true) => *end,
            (Some(Begun::Running { start, .. } | Begun::Done { start, .. }), false) => *start,
            (None, false) => now.now?,
            (None, true) => return None,
        };
        Some(seen.saturating_sub(planned))
    }
}

/// What may soon be late, the least late and the soonest seen first.
#[must_use]
pub fn likely(situation: &Situation, plan: &Plan) -> Vec<Late> {
    let Some(now) = situation.now else { return Vec::new() };
    let soon = |minute: Minute| minute >= now && minute <= now.saturating_add(SOON);
    let mut ends: Vec<(Minute, StepKey)> = situation
        .begun
        .iter()
        .filter_map(|(key, begun)| match begun {
            Begun::Running { end, .. } if soon(*end) => Some((*end, *key)),
            _ => None,
        })
        .collect();
    ends.sort_unstable();
    let open = |b: &&Block| soon(b.start) && !situation.begun.contains_key(&b.key);
    let mut starts: Vec<(Minute, StepKey)> =
        plan.blocks.iter().filter(open).map(|b| (b.start, b.key)).collect();
    starts.sort_unstable();

    let late = |which: &[(Minute, StepKey)], by: [&[Minute]; 2], runs: bool| -> Vec<Late> {
        let each = which.iter().zip(by);
        let all = each.flat_map(|((planned, key), by)| {
            by.iter().map(|minutes| {
                let seen = planned.saturating_add(*minutes);
                Late { minutes: *minutes, seen, key: *key, runs }
            })
        });
        all.collect()
    };
    let mut all = [late(&ends, ENDS_LATE, true), late(&starts, BEGINS_LATE, false)].concat();
    all.sort_unstable();
    all
}

/// Of what was made ready that which is for what is late by now, the nearest first and few of them: to begin from
/// each takes some milliseconds. What runs over comes before what has not begun, which often waits for it.
pub fn fitting<'p>(ready: &'p [(Late, Plan)], now: &Situation) -> impl Iterator<Item = &'p Plan> {
    let near = |runs: bool| {
        let of_kind = ready.iter().enumerate().filter(|(_, (late, _))| late.runs == runs);
        let mut near: Vec<(u32, usize)> = of_kind
            .filter_map(|(n, (late, _))| {
                let by = late.really(now).filter(|by| *by > 0)?;
                Some((by.abs_diff(late.minutes), n))
            })
            .collect();
        near.sort_unstable();
        near.truncate(FITTING);
        near
    };
    let (over, mut waiting) = (near(true), near(false));
    waiting.truncate(FITTING - over.len().min(1));
    over.into_iter().chain(waiting).filter_map(|(_, n)| Some(&ready.get(n)?.1))
}

/// The evening at a minute to come, all having gone by the plan but for this step: it goes on if it runs, and has not
/// begun otherwise.
fn as_planned(
    evening: &Evening,
    situation: &Situation,
    plan: &Plan,
    minute: Minute,
    but: StepKey,
) -> Situation {
    let mut then = Situation { now: Some(minute), ..situation.clone() };
    let mut late = vec![but];
    let mut blocks: Vec<&Block> = plan.blocks.iter().collect();
    blocks.sort_unstable_by_key(|b| (b.start, b.key));
    for block in blocks {
        match then.begun.get(&block.key) {
            Some(Begun::Running { start, end, way, station, .. })
                if *end <= minute && block.key != but =>
            {
                let (start, end, way, station) = (*start, *end, *way, station.clone());
                then.begun
                    .insert(block.key, Begun::Done { start, end, way, station, left_out: false });
            }
            Some(_) => {}
            None if block.start >= minute || late.contains(&block.key) => {}
            // What comes after it, or would have its hands, has not begun either.
            None if waits(evening, plan, block, &late) => late.push(block.key),
            None => {
                then.begun.insert(block.key, begun(block, minute));
            }
        }
    }
    for set in plan.settings.iter().filter(|s| s.from <= minute) {
        let whole = (set.to - set.from).max(1);
        let gone = (minute - set.from).clamp(0, whole);
        let c = set.from_c + (set.to_c - set.from_c) * gone / whole;
        then.oven_c.insert(set.station.clone(), c);
    }
    finished(evening, plan, minute, &mut then);
    then
}

fn begun(block: &Block, minute: Minute) -> Begun {
    let (start, end, way) = (block.start, block.end, block.way);
    let station = block.station.clone();
    if end <= minute {
        return Begun::Done { start, end, way, station, left_out: false };
    }
    let (cook, setting_c) = (block.cook.clone(), block.setting_c);
    Begun::Running { start, end, way, station, cook, setting_c }
}

/// Does a block come after one of those that are late, or does the cook of one do it?
fn waits(evening: &Evening, plan: &Plan, block: &Block, late: &[StepKey]) -> bool {
    let Some(sheet) = evening.sheets.get(block.key.dish) else { return true };
    let Some(step) = sheet.recipe.steps.get(block.key.step) else { return true };
    let before = |key: &StepKey| {
        let after = || step.after.iter().any(|a| sheet.step_index(&a.step) == Some(key.step));
        key.dish == block.key.dish && (key.step == block.key.step || after())
    };
    // A pot that simmers longer lets the cook go on; one who still chops does nothing else.
    let cook = |key: &StepKey| {
        let other = plan.blocks.iter().find(|b| b.key == *key);
        block.cook.is_some() && other.is_some_and(|b| b.cook == block.cook && b.by_hand())
    };
    late.iter().any(|key| before(key) || cook(key))
}

/// Dishes that are ready by then are on the table, or wait where the plan has them.
fn finished(evening: &Evening, plan: &Plan, minute: Minute, then: &mut Situation) {
    for &(dish, ready, served) in plan.services.iter().flat_map(|line| &line.dishes) {
        let Some(sheet) = evening.sheets.get(dish) else { continue };
        let last = sheet.last_step();
        let mut loads = plan.blocks.iter().filter(|b| (b.key.dish, b.key.step) == (dish, last));
        let is_done = |b: &Block| matches!(then.begun.get(&b.key), Some(Begun::Done { .. }));
        if ready > minute || then.served.contains(&dish) || !loads.all(is_done) {
            continue;
        }
        if served <= minute {
            then.held.remove(&dish);
            then.served.insert(dish);
        } else if let Some(hold) = plan.holds.iter().find(|h| h.dish == dish && h.from <= minute) {
            then.held.entry(dish).or_insert_with(|| Held {
                hold: Some(hold.hold).filter(|h| *h < sheet.recipe.holds.len()),
                since: hold.from,
                station: Some(hold.station.clone()).filter(|s| !s.is_empty()),
            });
        }
    }
}
