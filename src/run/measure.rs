//! When a thermometer is wanted: at the end of cooking of what the guidance
//! gives a least inner temperature for, when food goes into a hot hold and every
//! two hours while it is there, and while cooked food cools.
//!
//! These are prompts, not alarms: nothing goes wrong by a reading that is
//! missing, it is only not known. A reading that is taken answers them.

use super::food::{self, Food, Keeping};
use super::state::{MINUTE_MS, Progress, Reading, State};
use super::view::Measure;
use super::{portions, words};
use crate::kitchen::{FoodClass, StepCare};
use crate::order::InOrder;
use crate::plan::StepKey;
use crate::safety::cooling::{Curve, FRIDGE_AIR_C, outlook};
use crate::safety::{
    Control, CoolsFrom, Profile, caution, cool_by_readings, is_perishable, least_inner_c,
};

/// How often food in a hot hold is measured: common practice, no source. Two
/// hours leave time to heat it through again within the four of FDA Food Code
/// 2022, 3-501.19(B).
pub const EVERY_MINUTES: i64 = 120;

/// A reading from the end of cooking serves for the hold that follows within so
/// many minutes. Our choice.
const CARRIES_OVER_MS: i64 = 15 * MINUTE_MS;

/// After a reading that was too low, so long until the next: time for the heat
/// to do something. Our choice.
const AGAIN_MS: i64 = 5 * MINUTE_MS;

/// Cooling food is first measured after half the time of the first stage, at
/// most so long. Our choice, as for [`outlook`].
const FIRST_LOOK_MS: i64 = 60 * MINUTE_MS;

/// Every reading that is wanted now or later, as far as the marks tell, soonest
/// first.
#[must_use]
pub fn wanted(state: &State, now_ms: i64) -> Vec<Measure> {
    let Some(profile) = food::profile(state) else { return Vec::new() };
    let mut wanted = Vec::new();
    for dish in 0..state.evening().sheets.len() {
        if state.facts().finished_ms.is_some() {
            break;
        }
        wanted.extend(end_of_cooking(state, profile, dish, now_ms));
        for food in portions::foods(state, dish) {
            wanted.extend(while_kept(state, profile, food, now_ms));
        }
    }
    wanted.order_by_key(|m| (m.due_ms, m.dish, m.part));
    wanted
}

/// The step whose end is the end of cooking: the last one that heats, of the day
/// before as long as nothing of the day has been on the heat. The last load of it that
/// has begun: each is at its end of cooking when it comes out.
fn last_heat(state: &State, dish: usize) -> Option<StepKey> {
    let begun = state.facts().progress.iter().filter(|(key, _)| key.dish == dish);
    let steps = &state.sheet(dish)?.recipe.steps;
    let before = |step: usize| steps.get(step).is_some_and(|s| s.day_before);
    let last = begun.filter(|(_, p)| p.run().is_some_and(|run| food::heats(state, run)));
    let last = last.map(|(key, _)| *key);
    let last = last.max_by_key(|key| (!before(key.step), key.step, key.load))?;
    // A later step on the heat has not begun: cooking is not at its end.
    let same_day = |step: usize| before(step) == before(last.step);
    let later = steps.iter().enumerate().skip(last.step + 1).filter(|(step, _)| same_day(*step));
    let more = later.into_iter().any(|(step, rule)| {
        let way = state.way_of(StepKey { dish, step, load: 0 });
        rule.ways.get(way).is_some_and(|w| w.station.heats())
    });
    (!more).then_some(last)
}

/// The least inner temperature of a dish, °C, and the readings since its last
/// heating began; None if the guidance has no figure or it does not cook yet.
fn cooked(state: &State, profile: &Profile, dish: usize) -> Option<(f64, StepKey, Vec<Reading>)> {
    let last = last_heat(state, dish)?;
    let (key, since_ms) = next_out(state, last)?;
    let least_c = least_after(state, profile, key)?;
    let taken = state.facts().taken.get(&dish).into_iter().flatten();
    Some((least_c, key, taken.filter(|r| r.at_ms >= since_ms).copied().collect()))
}

/// Of loads that are on the heat at one time the one that comes out first, else the last one; and since when a reading
/// is of it: what was measured before another one came out may have been of that.
fn next_out(state: &State, last: StepKey) -> Option<(StepKey, i64)> {
    let loads = (0..=last.load).map(|load| StepKey { load, ..last });
    let known = loads.filter_map(|key| Some((key, state.facts().progress.get(&key)?)));
    let known: Vec<(StepKey, &Progress)> = known.collect();
    let running = known.iter().filter_map(|(key, progress)| match progress {
        Progress::Running(run) => Some((state.nominal_end_ms(*key, run), *key, run)),
        _ => None,
    });
    let Some((_, key, run)) = running.min_by_key(|r| (r.0, r.1)) else {
        let start_ms = state.facts().progress.get(&last)?.run()?.start_ms;
        return Some((last, start_ms));
    };
    let ends = known.iter().filter_map(|(_, progress)| progress.end_ms());
    Some((key, ends.fold(run.start_ms, i64::max)))
}

/// How hot a dish must be at the end of a step that heats, °C: heated again, what
/// the guidance says of that.
fn least_after(state: &State, profile: &Profile, key: StepKey) -> Option<f64> {
    if reheats(state, key) {
        return Some(profile.reheat.least.c());
    }
    let class = state.sheet(key.dish)?.recipe.safety.class;
    // For plants the figure is that of the hot hold: it is measured there.
    (class != FoodClass::CookedPlant).then(|| least_inner_c(profile, class, None))?
}

fn reheats(state: &State, key: StepKey) -> bool {
    state.step(key).is_some_and(|s| s.care == Some(StepCare::Reheats))
}

/// What a dish must reach where its cooking ends now, in words; None if the
/// guidance has no figure for it.
#[must_use]
pub fn least_words(state: &State, dish: usize) -> Option<String> {
    least_words_by(state, food::profile(state)?, dish)
}

/// As [`least_words`], by another guidance than the evening's of now.
#[must_use]
pub fn least_words_by(state: &State, profile: &Profile, dish: usize) -> Option<String> {
    let degrees = state.evening().customs.degrees;
    if last_heat(state, dish).is_some_and(|key| reheats(state, key)) {
        return Some(caution::reheat_words(profile, degrees));
    }
    caution::inner_words(profile, state.sheet(dish)?.recipe.safety.class, None, degrees)
}

/// Has a reading shown that a dish was taken off the heat too soon? The last
/// reading of it, and when it was taken off (unix ms).
#[must_use]
pub fn undercooked(state: &State, dish: usize, now_ms: i64) -> Option<(Reading, i64)> {
    undercooked_of(state, Food::whole(dish), now_ms)
}

/// The same of any food, by itself: a part has behind it what was measured of the
/// whole before it was taken off. Each load is held against what was measured of it.
#[must_use]
pub fn undercooked_of(state: &State, food: Food, now_ms: i64) -> Option<(Reading, i64)> {
    let last = last_heat(state, food.dish)?;
    let least_c = least_after(state, food::profile(state)?, last)?;
    let mut taken: Vec<Reading> = portions::taken(state, food);
    taken.retain(|r| r.at_ms <= now_ms);
    (0..=last.load).find_map(|load| {
        let key = StepKey { load, ..last };
        let Some(Progress::Done(run, end_ms)) = state.facts().progress.get(&key) else {
            return None;
        };
        let since = || taken.iter().filter(|r| r.at_ms >= run.start_ms);
        let enough = since().any(|r| r.celsius >= least_c - 1e-6);
        // What was measured long after says nothing of how hot it got.
        let until_ms = end_ms.saturating_add(CARRIES_OVER_MS).min(next_half_ms(state, key));
        let low = since().rfind(|r| r.at_ms <= until_ms)?;
        (!enough && *end_ms <= now_ms).then_some((*low, *end_ms))
    })
}

/// When the load after this one is half done: in its first half nobody measures what
/// has only just gone in, but what came out before it. Our choice.
fn next_half_ms(state: &State, key: StepKey) -> i64 {
    let next = StepKey { load: key.load + 1, ..key };
    let Some(run) = state.facts().progress.get(&next).and_then(Progress::run) else {
        return i64::MAX;
    };
    // Of two that are on the heat at one time a reading may be of either.
    let over_ms = state.facts().progress.get(&key).and_then(Progress::end_ms);
    if over_ms.is_some_and(|over_ms| run.start_ms < over_ms) {
        return i64::MAX;
    }
    let end_ms = state.nominal_end_ms(next, run);
    run.start_ms.saturating_add(end_ms.saturating_sub(run.start_ms).max(0) / 2)
}

fn end_of_cooking(state: &State, profile: &Profile, dish: usize, now_ms: i64) -> Option<Measure> {
    let gone = state.is_dropped(dish) || state.is_out_of_hand(dish);
    let (least_c, key, taken) = cooked(state, profile, dish).filter(|_| !gone)?;
    let progress = state.facts().progress.get(&key)?;
    let hot = taken.iter().any(|r| r.celsius >= least_c - 1e-6);
    // Long off the heat, a reading says nothing of how hot it got.
    let late = progress.end_ms().is_some_and(|end| end.saturating_add(CARRIES_OVER_MS) < now_ms);
    if hot || late || matches!(progress, Progress::Skipped(..)) {
        return None;
    }
    let end_ms = match progress {
        Progress::Running(run) => {
            let hands = state.step(key).map_or(0, |s| s.hands.end_minutes);
            state.nominal_end_ms(key, run).saturating_sub(i64::from(hands) * MINUTE_MS)
        }
        done => done.end_ms()?,
    };
    let again_ms = taken.last().map(|r| r.at_ms.saturating_add(AGAIN_MS));
    let why = least_words(state, dish).unwrap_or_default();
    let due_ms = again_ms.unwrap_or(end_ms).max(end_ms);
    let when = if reheats(state, key) { "heated again" } else { "end of cooking" };
    Some(measure(state, Food::whole(dish), due_ms, format!("{when}: {why}")))
}

fn while_kept(state: &State, profile: &Profile, food: Food, now_ms: i64) -> Option<Measure> {
    let safety = &state.sheet(food.dish)?.recipe.safety;
    if !is_perishable(safety.class, safety.exempt) {
        return None;
    }
    let taken = portions::taken(state, food);
    let Some(&(since_ms, keeping)) = food::phases_of(state, food, now_ms).last() else {
        let (start_ms, _) = cools_between(state, food, now_ms)?;
        return cooling(state, profile, food, start_ms, &taken);
    };
    match keeping {
        Keeping::In(Control::Hot) => Some(in_hot_hold(state, profile, food, since_ms, &taken)),
        Keeping::In(Control::Chilling) => {
            let out_ms = state.out_ms(food.dish, now_ms)?;
            let start_ms = cools_from_ms(state, food, out_ms, now_ms);
            cooling(state, profile, food, start_ms, &taken)
        }
        _ => None,
    }
}

/// Food that was set to cool between two of its steps and is not on the heat
/// again: since when its cooling counts (it left the heat), and since when it was
/// set to cool. Unix ms.
#[must_use]
pub fn cools_between(state: &State, food: Food, now_ms: i64) -> Option<(i64, i64)> {
    if food.part.is_some() || state.is_dropped(food.dish) || state.is_out_of_hand(food.dish) {
        return None;
    }
    set_to_cool(state, food.dish, now_ms)
}

/// The same of any dish, whatever became of it.
fn set_to_cool(state: &State, dish: usize, now_ms: i64) -> Option<(i64, i64)> {
    let of_dish = || state.facts().progress.iter().filter(|(key, _)| key.dish == dish);
    let begun = |(key, p): (&StepKey, &Progress)| {
        let run = p.run()?;
        (run.start_ms <= now_ms).then_some((*key, run.start_ms))
    };
    let cools = |key: &StepKey| state.step(*key).is_some_and(|s| s.care == Some(StepCare::Cools));
    let (_, set_ms) = of_dish().filter_map(begun).filter(|(k, _)| cools(k)).min_by_key(|b| b.1)?;
    let heated = || of_dish().filter(|(_, p)| p.run().is_some_and(|run| food::heats(state, run)));
    if heated().filter_map(begun).any(|(_, start_ms)| start_ms > set_ms) {
        return None;
    }
    let off_ms = heated().filter_map(|(key, _)| state.over_ms(*key, now_ms)).max();
    Some((off_ms.unwrap_or(set_ms).min(set_ms), set_ms))
}

fn in_hot_hold(
    state: &State,
    profile: &Profile,
    food: Food,
    since_ms: i64,
    taken: &[Reading],
) -> Measure {
    let limit = &profile.hot_hold_least;
    let serves = |r: &&Reading| {
        let before = r.at_ms < since_ms;
        let near = r.at_ms >= since_ms.saturating_sub(CARRIES_OVER_MS);
        !before || (near && limit.at_least(r.celsius))
    };
    let last = taken.iter().rev().find(serves);
    let due_ms = match last {
        None => since_ms,
        Some(r) if limit.at_least(r.celsius) => r.at_ms + EVERY_MINUTES * MINUTE_MS,
        Some(r) => r.at_ms + AGAIN_MS,
    };
    let degrees = state.evening().customs.degrees;
    let when = if last.is_none() { "into the hot hold" } else { "in the hot hold" };
    measure(state, food, due_ms, format!("{when}: at least {}", limit.least_text(degrees)))
}

/// When cooling starts to count: when the food left the heat or its hot hold, or
/// was last measured hot enough. That the step is over in which it was set to cool
/// begins nothing anew.
#[must_use]
pub fn cools_from_ms(state: &State, food: Food, out_ms: i64, now_ms: i64) -> i64 {
    let Some(profile) = food::profile(state) else { return out_ms };
    let taken = portions::taken(state, food);
    let hot = taken.iter().filter(|r| profile.hot_hold_least.at_least(r.celsius));
    let held = food::phases_of(state, food, now_ms);
    let after = held.iter().skip(1);
    let left = held.iter().zip(after).filter(|(a, _)| a.1 == Keeping::In(Control::Hot));
    let times = hot.map(|r| r.at_ms).chain(left.map(|(_, b)| b.0));
    let set = set_to_cool(state, food.dish, now_ms);
    let first_ms = set.map_or(out_ms, |(off_ms, _)| off_ms.min(out_ms));
    times.filter(|ms| *ms <= now_ms).fold(first_ms, i64::max)
}

/// A point of the guidance's cooling that was missed.
#[derive(Debug, Clone, PartialEq)]
pub struct Missed {
    /// The first reading that shows it.
    pub reading: Reading,
    /// By when it should have been colder (unix ms).
    pub by_ms: i64,
    /// How cold, in the party's degrees.
    pub most: String,
}

/// Does a reading show that food in the fridge is warmer than it may be by then?
#[must_use]
pub fn cooling_missed(state: &State, food: Food, now_ms: i64) -> Option<Missed> {
    let safety = &state.sheet(food.dish)?.recipe.safety;
    let profile = food::profile(state)?;
    if !is_perishable(safety.class, safety.exempt) {
        return None;
    }
    let degrees = state.evening().customs.degrees;
    let set = set_to_cool(state, food.dish, now_ms);
    let start_ms = match state.out_ms(food.dish, now_ms) {
        Some(out_ms) => cools_from_ms(state, food, out_ms, now_ms),
        None => set?.0,
    };
    let phases = food::phases_of(state, food, now_ms);
    let chills = |at_ms: i64| match phases.iter().rev().find(|p| p.0 <= at_ms) {
        Some((_, kept)) => *kept == Keeping::In(Control::Chilling),
        // Not finished then, it was in the fridge if it had been set to cool.
        None => set.is_some_and(|(_, set_ms)| at_ms >= set_ms),
    };
    let taken: Vec<Reading> = portions::taken(state, food);
    let seen: Vec<(i64, f64)> = taken.iter().map(|r| (r.at_ms, r.celsius)).collect();
    let cooled = |r: &&Reading| (start_ms..=now_ms).contains(&r.at_ms) && chills(r.at_ms);
    cool_by_readings(profile, CoolsFrom::Cooked, start_ms, &seen).iter().find_map(|point| {
        let to = point.stage.to.as_ref()?;
        let mut since = taken.iter().filter(cooled);
        let met = since.clone().any(|r| r.at_ms <= point.by_ms && to.at_most(r.celsius));
        let late = since.find(|r| r.at_ms >= point.by_ms && !to.at_most(r.celsius));
        let most = to.most_text(degrees);
        late.filter(|_| !met).map(|r| Missed { reading: *r, by_ms: point.by_ms, most })
    })
}

fn cooling(
    state: &State,
    profile: &Profile,
    food: Food,
    start_ms: i64,
    taken: &[Reading],
) -> Option<Measure> {
    let seen: Vec<(i64, f64)> = taken.iter().map(|r| (r.at_ms, r.celsius)).collect();
    let points = cool_by_readings(profile, CoolsFrom::Cooked, start_ms, &seen);
    let mut since = seen.iter().rev().filter(|r| r.0 >= start_ms);
    let last = since.next();
    let open =
        points.iter().find(|p| p.to_c.is_some_and(|to| last.is_none_or(|r| r.1 > to + 1e-6)))?;
    let to_c = open.to_c?;
    let half_ms = |from_ms: i64| ((open.by_ms - from_ms) / 2).clamp(0, FIRST_LOOK_MS);
    let mut slow = false;
    let due_ms = match (last, since.next()) {
        (None, _) => start_ms + half_ms(start_ms),
        (Some(last), before) => {
            let curve = before.and_then(|b| Curve::through(*b, *last, FRIDGE_AIR_C));
            let outlook = curve.map(|curve| outlook(&curve, to_c, open.by_ms));
            slow = outlook.is_some_and(|o| o.too_slow);
            let asked_ms = outlook.map_or(last.0 + half_ms(last.0), |o| o.measure_ms);
            asked_ms.max(last.0 + AGAIN_MS)
        }
    };
    let most = open.stage.to.as_ref()?.most_text(state.evening().customs.degrees);
    let by = words::clock(state, open.by_ms);
    let hurry = if slow { "; too slow by an estimate: divide it, ice water, stir" } else { "" };
    Some(measure(state, food, due_ms, format!("cooling: {most} or colder by {by}{hurry}")))
}

fn measure(state: &State, food: Food, due_ms: i64, why: String) -> Measure {
    let name = match food.part {
        Some(part) => format!("{}, part {part}", words::dish(state, food.dish)),
        None => words::dish(state, food.dish),
    };
    Measure { dish: food.dish, part: food.part, due_ms, short: format!("measure the {name}"), why }
}
