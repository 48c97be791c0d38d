//! What of a dish can be made the day before.
//!
//! The recipe says it: steps whose food may wait in the fridge until the next
//! evening (a cold wait without a most, or with one long enough), with all that
//! comes before them; or the whole dish, if it may wait finished in the fridge
//! so long. The guidance's clock of time out of cold is checked like any other.

use std::collections::BTreeMap;

use crate::kitchen::{Evening, HoldClass, Minute, Sheet, StationKind, WaitPlace};
use crate::plan::{Begun, Held, Situation, StepKey};

/// When what is made the day before is done: eight in the evening, or later,
/// up to [`LATEST`], where the food may not wait so long. Our choice.
const DONE: Minute = -4 * 60;

/// The latest that the cook still cooks on the day before: eleven. Our choice.
const LATEST: Minute = -60;

/// What is done the day before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ahead {
    /// Index of the dish.
    pub dish: usize,
    /// Its steps, by index in the recipe.
    pub steps: Vec<usize>,
    /// Their loads as they would have happened.
    pub begun: BTreeMap<StepKey, Begun>,
    /// Where the dish waits, if all of it is done.
    pub held: Option<Held>,
    /// Minutes of the cook's hands that it takes the day before.
    pub hands: Minute,
}

/// What of a dish can be made the day before: what saves the most work on the
/// day. None on the day itself, if the dish has begun, or if nothing of it can wait.
#[must_use]
pub fn day_before(evening: &Evening, situation: &Situation, dish: usize) -> Option<Ahead> {
    let sheet = evening.sheets.get(dish)?;
    if situation.now.is_some_and(|now| now > DONE) {
        return None;
    }
    if situation.begun.keys().any(|k| k.dish == dish) || situation.held.contains_key(&dish) {
        return None;
    }
    let due = situation.service_at.get(&sheet.service).copied();
    let due = due.unwrap_or_else(|| evening.service_minute(sheet.service));
    let whole = (0..sheet.recipe.steps.len()).collect::<Vec<_>>();
    let whole = finished(evening, sheet, due).map(|(done, held)| (whole, done, Some(held)));
    let parts = (0..sheet.recipe.steps.len()).filter_map(|s| {
        let steps = with_all_before(sheet, s);
        Some((steps.clone(), leaves_off(sheet, &steps, due)?, None))
    });
    let best = whole.into_iter().chain(parts).max_by_key(|(steps, ..)| hands(sheet, steps))?;
    let (steps, done, held) = best;
    let begun = times(evening, situation, sheet, dish, &steps, done)?;
    let hands = hands(sheet, &steps);
    (hands > 0).then_some(Ahead { dish, steps, begun, held, hands })
}

/// When the whole dish would be done, and where it would wait.
fn finished(evening: &Evening, sheet: &Sheet, due: Minute) -> Option<(Minute, Held)> {
    let holds = sheet.recipe.holds.iter().enumerate();
    holds.filter(|(_, h)| h.place == StationKind::Fridge && h.class == HoldClass::Cold).find_map(
        |(index, hold)| {
            let done = done_for(due, Some(hold.most_minutes))?;
            let fridge = evening.kitchen.stations.iter().find(|s| s.kind == hold.place)?;
            let held = Held { hold: Some(index), since: done, station: Some(fridge.id.clone()) };
            Some((done, held))
        },
    )
}

/// When the steps would be done, if all that leaves them may wait cold until the day.
fn leaves_off(sheet: &Sheet, steps: &[usize], due: Minute) -> Option<Minute> {
    let mut done = DONE;
    let mut leaves = false;
    for (s, step) in sheet.recipe.steps.iter().enumerate() {
        if steps.contains(&s) {
            continue;
        }
        for after in &step.after {
            let before = sheet.step_index(&after.step)?;
            if !steps.contains(&before) {
                continue;
            }
            if after.place != WaitPlace::Cold {
                return None;
            }
            leaves = true;
            done = done.max(done_for(due, after.most_minutes)?);
        }
    }
    leaves.then_some(done)
}

/// The minute on the day before from which the food may wait until `due`.
fn done_for(due: Minute, most: Option<u32>) -> Option<Minute> {
    let most = most.map_or(i32::MAX, |m| i32::try_from(m).unwrap_or(i32::MAX));
    let done = due.saturating_sub(most).max(DONE);
    (done <= LATEST).then_some(done)
}

fn with_all_before(sheet: &Sheet, step: usize) -> Vec<usize> {
    let mut steps = vec![step];
    let mut next = 0;
    while let Some(&at) = steps.get(next) {
        for after in sheet.recipe.steps.get(at).map(|s| s.after.as_slice()).unwrap_or_default() {
            if let Some(before) = sheet.step_index(&after.step)
                && !steps.contains(&before)
            {
                steps.push(before);
            }
        }
        next += 1;
    }
    steps.sort_unstable();
    steps
}

/// Minutes of hands that the steps ask for, in their first ways.
fn hands(sheet: &Sheet, steps: &[usize]) -> Minute {
    let of = |s: usize| {
        let hands = sheet.recipe.steps.get(s).map(|s| s.hands).unwrap_or_default();
        let minute = |n: u32| Minute::try_from(n).unwrap_or(Minute::MAX / 4);
        let long = sheet.minutes(s, 0);
        let full = minute(hands.start_minutes).saturating_add(minute(hands.end_minutes)).min(long);
        let between = (long - full).saturating_mul(minute(hands.between_percent)) / 100;
        let loads = minute(sheet.loads(s, 0));
        full.saturating_add(between).saturating_mul(loads)
    };
    steps.iter().map(|&s| of(s)).fold(0, Minute::saturating_add)
}

/// Each load one after the other, the last one ending at `done`.
fn times(
    evening: &Evening,
    situation: &Situation,
    sheet: &Sheet,
    dish: usize,
    steps: &[usize],
    done: Minute,
) -> Option<BTreeMap<StepKey, Begun>> {
    let mut starts: BTreeMap<usize, Minute> = BTreeMap::new();
    let mut begun = BTreeMap::new();
    // Recipes cannot go round in a ring: each pass settles at least one step.
    for _ in 0..=steps.len() {
        for &s in steps {
            if starts.contains_key(&s) {
                continue;
            }
            let followers = steps.iter().flat_map(|&f| {
                let after = sheet.recipe.steps.get(f).map(|s| s.after.as_slice());
                let after = after.unwrap_or_default().iter();
                after.filter(move |a| sheet.step_index(&a.step) == Some(s)).map(move |a| (f, a))
            });
            let followers: Vec<_> = followers.collect();
            if followers.iter().any(|(f, _)| !starts.contains_key(f)) {
                continue;
            }
            let until = followers.iter().map(|(f, a)| {
                let least = Minute::try_from(a.least_minutes).unwrap_or(0);
                starts.get(f).copied().unwrap_or(done) - least
            });
            let mut end = until.min().unwrap_or(done);
            let station = station_for(evening, situation, sheet, s)?;
            for load in (0..sheet.loads(s, 0)).rev() {
                let start = end - sheet.minutes(s, 0);
                let done = Begun::Done { start, end, way: 0, station: station.clone() };
                begun.insert(StepKey { dish, step: s, load }, done);
                end = start;
            }
            starts.insert(s, end);
        }
    }
    Some(begun)
}

/// A station for the first way of a step.
fn station_for(
    evening: &Evening,
    situation: &Situation,
    sheet: &Sheet,
    step: usize,
) -> Option<String> {
    let way = sheet.recipe.steps.get(step)?.ways.first()?;
    let stations = evening.kitchen.stations.iter();
    let fits = |s: &&crate::kitchen::Station| {
        s.kind == way.station && s.slots >= way.slots && !situation.down.contains(&s.id)
    };
    stations.into_iter().find(fits).map(|s| s.id.clone())
}
