//! The time that parts of a dish spend at room temperature while it is made.

use super::{Food, left};
use crate::kitchen::{Kept, Sheet, StationKind, Step, WaitPlace};
use crate::plan::StepKey;
use crate::run::state::{Progress, State, StationMark};

/// A stretch of time, unix ms.
pub(super) type Stretch = (i64, i64);

/// Stretches in which a part of the dish was at room temperature while it was
/// made, and which no heat has ended since.
pub(super) fn made_stretches(state: &State, food: Food, now_ms: i64) -> Vec<Stretch> {
    let dish = food.dish;
    let Some(last) = state.sheet(dish).map(Sheet::last_step) else {
        return Vec::new();
    };
    let part = part(state, dish, last, now_ms, 0);
    let mut stretches = part.stretches;
    // Where it was while the dish was dropped is known from what was marked then.
    for dropped in &part.dropped {
        stretches = stretches.into_iter().flat_map(|s| without(s, *dropped)).collect();
        stretches.extend(left::out_in(state, dish, *dropped));
    }
    if let Some((gone_ms, _)) = left::gone_ms(state, food, now_ms) {
        stretches.iter_mut().for_each(|s| s.1 = s.1.min(gone_ms));
    }
    // What left control this very moment has no length yet, and is out all the same.
    let making = state.out_ms(dish, now_ms).is_none();
    stretches.retain(|s| s.0 < s.1 || (making && *s == (now_ms, now_ms)));
    stretches
}

fn without((from, to): Stretch, cut: Stretch) -> impl Iterator<Item = Stretch> {
    let pieces = [(from, to.min(cut.0)), (from.max(cut.1), to)];
    pieces.into_iter().filter(|s| s.0 < s.1)
}

/// Was a step of the dish begun in which something perishable is?
pub(super) fn is_on_the_way(state: &State, dish: usize, now_ms: i64) -> bool {
    let Some(last) = state.sheet(dish).map(Sheet::last_step) else { return false };
    part(state, dish, last, now_ms, 0).perishable
}

/// A moment before each time up to `now_ms` at which heat ended what went before
/// it: a mark told that a load of a step that heats began or was left out.
pub(super) fn heatings(state: &State, dish: usize, now_ms: i64) -> Vec<i64> {
    let begun = state.facts().progress.iter().filter(|(key, _)| key.dish == dish);
    let heated = begun.filter(|(_, p)| p.run().is_some_and(|run| super::heats(state, run)));
    let loads = heated
        .flat_map(|(key, _)| (0..state.loads(dish, key.step)).map(|load| StepKey { load, ..*key }));
    let times = loads.filter_map(|key| told_ms(state, key));
    times.map(|ms| ms.saturating_sub(1)).filter(|ms| *ms < now_ms).collect()
}

/// A part of a dish, as it comes out of a step.
#[derive(Debug, Clone, Default)]
struct Part {
    stretches: Vec<Stretch>,
    /// Stretches in which the dish was dropped after this had been begun.
    dropped: Vec<Stretch>,
    /// Something perishable is in it.
    perishable: bool,
}

fn part(state: &State, dish: usize, step: usize, now_ms: i64, depth: usize) -> Part {
    let Some(sheet) = state.sheet(dish) else { return Part::default() };
    let Some(recipe_step) = sheet.recipe.steps.get(step) else { return Part::default() };
    // Recipes are checked to have no circles; a depth keeps this total even so.
    if depth > sheet.recipe.steps.len() {
        return Part::default();
    }
    let times = times(state, dish, step, now_ms);
    let start_ms = times.map_or(now_ms, |t| t.0);
    // Until the last load has begun, the rest of it stands where it was.
    let taken_ms = all_begun_ms(state, dish, step, now_ms);
    let mut part = Part { perishable: uses_chilled(state, dish, recipe_step), ..Part::default() };
    if times.is_none() {
        part.perishable = false;
    }
    part.stretches.extend(early(state, dish, step, now_ms, taken_ms.unwrap_or(now_ms)));
    for after in &recipe_step.after {
        let Some(earlier) = sheet.step_index(&after.step).filter(|s| *s != step) else { continue };
        let before = self::part(state, dish, earlier, now_ms, depth + 1);
        let end_ms = self::times(state, dish, earlier, now_ms).map(|t| t.1);
        let over = state.step_over_ms(dish, earlier, now_ms).is_some();
        part.stretches.extend(before.stretches);
        part.dropped.extend(before.dropped);
        part.perishable |= before.perishable;
        let waits_out = after.place == WaitPlace::Room;
        if let Some(end_ms) = end_ms.filter(|_| over && waits_out && before.perishable) {
            part.stretches.push((end_ms, taken_ms.unwrap_or(now_ms)));
        }
    }
    match (times, kind(state, dish, step)) {
        (Some(times), Some(kind)) if kind.heats() => match broken_off(state, dish, step, now_ms) {
            _ if taken_ms.is_none() => part.perishable = true,
            // Heat that was broken off has ended nothing.
            true => {
                part.stretches.extend(part.perishable.then_some(times));
                part.perishable = true;
            }
            false => {
                let stretches = without_heat(state, dish, step, now_ms);
                part = Part { perishable: true, stretches, ..Part::default() };
            }
        },
        (Some(times), Some(StationKind::Counter)) if part.perishable => {
            part.stretches.push(times);
        }
        _ => {}
    }
    if times.is_some() && part.perishable {
        let dropped = left::dropped(state, dish, now_ms).into_iter();
        part.dropped.extend(dropped.filter(|d| d.0 >= start_ms));
    }
    part
}

/// When a mark told that a load was begun or left out.
fn told_ms(state: &State, key: StepKey) -> Option<i64> {
    let progress = state.facts().progress.get(&key)?;
    progress.run().map_or_else(|| progress.end_ms(), |run| Some(run.told_ms))
}

/// When the last load of a step was begun (or left out); None while one is not,
/// as far as was known at `now_ms`.
fn all_begun_ms(state: &State, dish: usize, step: usize, now_ms: i64) -> Option<i64> {
    let begun = |load| {
        let key = StepKey { dish, step, load };
        told_ms(state, key).filter(|told_ms| *told_ms <= now_ms)?;
        let progress = state.facts().progress.get(&key)?;
        progress.run().map_or_else(|| progress.end_ms(), |run| Some(run.start_ms))
    };
    (0..state.loads(dish, step)).map(begun).try_fold(i64::MIN, |last, at| Some(last.max(at?)))
}

/// Was the step left out while it ran, in every load that had begun?
fn broken_off(state: &State, dish: usize, step: usize, now_ms: i64) -> bool {
    let loads = (0..state.loads(dish, step)).map(|load| StepKey { dish, step, load });
    let mut begun = loads.filter_map(|key| state.facts().progress.get(&key)).peekable();
    let off = |p: &Progress| matches!(p, Progress::Skipped(_, at_ms) if *at_ms <= now_ms);
    begun.peek().is_some() && begun.all(off)
}

/// What loads of a step stood in a station that was out of use, if it was so to their end: nothing there kept them hot.
fn without_heat(state: &State, dish: usize, step: usize, now_ms: i64) -> Vec<Stretch> {
    let stretch = |load: u32| {
        let key = StepKey { dish, step, load };
        let run = state.facts().progress.get(&key)?.run()?;
        let end_ms = state.over_ms(key, now_ms).map_or(now_ms, |end| end.min(now_ms));
        let log = state.facts().station_log.get(&run.station)?.iter();
        let known = log.filter(|(ms, what)| *ms < end_ms && !matches!(what, StationMark::Set(_)));
        let (ms, last) = known.max_by_key(|(ms, _)| *ms)?;
        (*last == StationMark::Down).then(|| (run.start_ms.max(*ms), end_ms))
    };
    (0..state.loads(dish, step)).filter_map(stretch).filter(|s| s.0 < s.1).collect()
}

/// From the first start of a step's loads to the last end, or to now.
fn times(state: &State, dish: usize, step: usize, now_ms: i64) -> Option<Stretch> {
    let loads = (0..state.loads(dish, step)).filter_map(|load| {
        let key = StepKey { dish, step, load };
        let progress = state.facts().progress.get(&key)?;
        let end_ms = state.over_ms(key, now_ms).unwrap_or(now_ms);
        let start_ms = progress.run().map_or(end_ms, |run| run.start_ms);
        // As it was known at that time.
        let known = told_ms(state, key).is_some_and(|told_ms| told_ms <= now_ms);
        (known && start_ms <= now_ms).then(|| (start_ms, end_ms.clamp(start_ms, now_ms)))
    });
    loads.reduce(|a, b| (a.0.min(b.0), a.1.max(b.1)))
}

/// What a step uses from the fridge and was taken out before the last of it was used.
fn early(state: &State, dish: usize, step: usize, now_ms: i64, used_ms: i64) -> Vec<Stretch> {
    let of_step = StepKey { dish, step, load: 0 }..=StepKey { dish, step, load: u32::MAX };
    let stretches = state.facts().early.range(of_step).flat_map(|(_, s)| s);
    stretches
        .filter(|(from, _)| *from <= now_ms)
        .map(|(from, to)| (*from, to.map_or(used_ms, |to| to.min(used_ms)).min(now_ms)))
        .collect()
}

fn kind(state: &State, dish: usize, step: usize) -> Option<StationKind> {
    let run = state.facts().progress.get(&StepKey { dish, step, load: 0 })?.run()?;
    state.evening().station(&run.station).map(|s| s.kind)
}

/// Does a step use something from the fridge or freezer, or cut what goes back there?
fn uses_chilled(state: &State, dish: usize, step: &Step) -> bool {
    let Some(sheet) = state.sheet(dish) else { return false };
    let cold = sheet.recipe.ingredients.iter().filter(|i| i.kept != Kept::Cupboard);
    let used = cold.map(|i| &i.steps).any(|s| s.is_empty() || s.contains(&step.id));
    used || sheet.cuts_cold(&step.id)
}

/// Rising, apart from each other.
pub(super) fn merged(mut stretches: Vec<Stretch>) -> Vec<Stretch> {
    stretches.sort_unstable();
    let mut merged: Vec<Stretch> = Vec::new();
    for (from, to) in stretches {
        match merged.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(to),
            _ => merged.push((from, to)),
        }
    }
    merged
}

#[cfg(test)]
mod tests {
    use super::{merged, without};

    /// Stretches that touch are one: what goes on is out once, not twice.
    #[test]
    fn stretches_that_meet_are_one() {
        assert_eq!(merged(vec![(6, 9), (1, 3), (3, 4), (5, 7)]), [(1, 4), (5, 9)]);
        assert_eq!(merged(vec![(1, 9), (2, 3)]), [(1, 9)]);
        let left = |cut| without((2, 8), cut).collect::<Vec<_>>();
        assert_eq!(
            (left((4, 5)), left((1, 9)), left((2, 3))),
            (vec![(2, 4), (5, 8)], vec![], vec![(3, 8)])
        );
    }
}
