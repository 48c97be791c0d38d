//! The day before: what is made then is planned as an evening of its own, with
//! the cooks' hours of that day, and stands in the party's plan as what lies
//! behind its own day.
//!
//! Nothing but the fridge is shared by the two days, so the two problems are
//! solved one after the other: first the day before, as early in its hours as
//! can be, so that what cools is cold by night; then the day, for which those
//! steps are done. Once midnight has passed, what nobody marked is taken to
//! have been made as planned: the party says that it is made then.

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

use super::blocks::{Block, PanBlock, Plan, WaitBlock};
use super::planner::{Budget, NoPlan, Planning};
use super::situation::{Begun, Situation, StepKey};
use crate::kitchen::party::Stretch;
use crate::kitchen::recipe::Minutes;
use crate::kitchen::{
    After, DAY, Evening, Hands, Hold, HoldClass, Minute, Recipe, Service, Sheet, StationKind, Step,
    StepCare, TimeOfDay, WaitPlace, ahead,
};
use crate::order::InOrder;
use crate::safety::{CoolsFrom, Profile, cool_by};

/// Hours of a cook whose party file names none for the day before. Our choice.
const USUAL_HOURS: (Minute, Minute) = (17 * 60, 22 * 60);

/// Rounds of improvement: a handful of steps needs no more.
const ROUNDS: u64 = 200;

/// Where food may wait only so long for the day, it is ready so many minutes
/// before the last at which that is enough, at the most. Our choice.
const EASE: Minute = 60;

/// Food that may wait only so long for the day goes into the fridge so many minutes after its last step, at the most:
/// its wait counts from that step. Our choice.
const SOON: Minute = 15;

/// The day before, planned.
#[derive(Debug, Clone, PartialEq)]
pub struct Eve {
    /// What has happened, with the steps of the day before done as planned.
    pub situation: Situation,
    /// Blocks, waits, settings and pans of the day before, in minutes of the party's day.
    pub plan: Plan,
}

/// Plans what is left to be made the day before; None if there is nothing.
///
/// # Errors
/// As [`Planning::search`], of the day before.
pub fn settle(evening: &Evening, situation: &Situation) -> Result<Option<Eve>, NoPlan> {
    let open = open_steps(evening, situation);
    let eve = situation.now.is_some_and(|now| now < 0);
    if open.is_empty() && !(eve && dishes(evening, situation).next().is_some()) {
        return Ok(None);
    }
    let plan = match as_shown(evening, situation, &open) {
        Some(plan) => plan,
        None if open.is_empty() => Plan::default(),
        None => planned(evening, situation)?,
    };
    let evening_is_ahead = situation.now.is_none_or(|now| now < 0);
    let mut situation = situation.clone();
    if eve {
        // By the day what is hot now is cold.
        situation.oven_c.clear();
    }
    for block in plan.blocks.iter().filter(|b| open.contains(&(b.key.dish, b.key.step))) {
        let (start, end, way, station) = (block.start, block.end, block.way, block.station.clone());
        let done = Begun::Done { start, end, way, station, left_out: false };
        if let Entry::Vacant(place) = situation.begun.entry(block.key) {
            place.insert(done);
            // Once the day has come it counts as made.
            if evening_is_ahead {
                situation.planned.insert(block.key);
            }
        }
    }
    Ok(Some(Eve { situation, plan }))
}

/// By when a dish that is cooled in this plan must be how cold, by the party's
/// guidance: `70 °F by 20:50`, `in the fridge by 20:50`. Empty if it is not cooled.
#[must_use]
pub fn cooling(evening: &Evening, plan: &Plan, dish: usize) -> Vec<String> {
    let Some(sheet) = evening.sheets.get(dish) else { return Vec::new() };
    let Some(profile) = Profile::by_id(&evening.party.guidance) else { return Vec::new() };
    let step = |b: &&Block| sheet.recipe.steps.get(b.key.step);
    let of_dish = || plan.blocks.iter().filter(|b| b.key.dish == dish);
    let cools = of_dish().filter(|b| step(b).is_some_and(|s| s.care == Some(StepCare::Cools)));
    let Some(set) = cools.map(|b| b.start).min() else { return Vec::new() };
    let heats = |b: &&Block| evening.station(&b.station).is_some_and(|s| s.kind.heats());
    let off = of_dish().filter(heats).map(|b| b.end).filter(|end| *end <= set).max();
    let start_ms = evening.face.ms_of(off.unwrap_or(set));
    let points = cool_by(profile, CoolsFrom::Cooked, start_ms);
    let words = |point: &crate::safety::CoolBy<'_>| {
        let by = evening.face.label(evening.face.minute_at(point.by_ms));
        match &point.stage.to {
            Some(to) => format!("{} or colder by {by}", to.most_text(evening.customs.degrees)),
            None => format!("in the fridge by {by}"),
        }
    };
    points.iter().map(words).collect()
}

/// Puts the day before in front of the plan of the day.
pub fn merge(plan: &mut Plan, eve: &Plan) {
    for block in &mut plan.blocks {
        if let Some(planned) = eve.blocks.iter().find(|b| b.key == block.key) {
            block.clone_from(planned);
        }
    }
    // What the day knows of it as done is there once more.
    plan.waits.retain(|p| {
        let same = |w: &WaitBlock| {
            (p.dish, p.after_step, p.before_step) == (w.dish, w.after_step, w.before_step)
        };
        !eve.waits.iter().any(same)
    });
    plan.pans.retain(|p| {
        let meets = |e: &PanBlock| e.from < p.to && p.from < e.to;
        let same = |e: &PanBlock| e.dish == p.dish && e.cookware == p.cookware && meets(e);
        !eve.pans.iter().any(same)
    });
    plan.waits.extend(eve.waits.iter().cloned());
    plan.settings.extend(eve.settings.iter().cloned());
    plan.pans.extend(eve.pans.iter().cloned());
    plan.blocks.order_by_key(|b| (b.start, b.end, b.key));
    plan.waits.order_by_key(|w| (w.from, w.dish, w.before_step));
    plan.settings.order_by(|a, b| (a.from, a.to, &a.station).cmp(&(b.from, b.to, &b.station)));
    plan.pans.order_by(|a, b| (a.from, a.dish, &a.cookware).cmp(&(b.from, b.dish, &b.cookware)));
}

/// Dishes of which something is made the day before.
fn dishes<'e>(
    evening: &'e Evening,
    situation: &'e Situation,
) -> impl Iterator<Item = (usize, &'e Sheet)> {
    let made = |d: &usize| !situation.dropped.contains(d) && !situation.served.contains(d);
    let sheets = evening.sheets.iter().enumerate();
    sheets.filter(move |(d, s)| made(d) && s.recipe.steps.iter().any(|s| s.day_before))
}

/// Steps of the day before of which not every load has begun: dish and step.
fn open_steps(evening: &Evening, situation: &Situation) -> BTreeSet<(usize, usize)> {
    let mut open = BTreeSet::new();
    for (dish, sheet) in dishes(evening, situation) {
        for step in (0..sheet.recipe.steps.len()).filter(|s| sheet.recipe.steps[*s].day_before) {
            let begun = |load| situation.begun.get(&StepKey { dish, step, load });
            let way = begun(0).map_or(0, |b| match b {
                Begun::Running { way, .. } | Begun::Done { way, .. } => *way,
            });
            if (0..sheet.loads(step, way)).any(|load| begun(load).is_none()) {
                open.insert((dish, step));
            }
        }
    }
    open
}

/// The day before as the plan on the screen has it, if that can still be done.
fn as_shown(
    evening: &Evening,
    situation: &Situation,
    open: &BTreeSet<(usize, usize)>,
) -> Option<Plan> {
    let shown = situation.previous.as_ref()?;
    // After midnight nothing of it is to be done any more.
    let now = situation.now.filter(|now| *now < 0);
    let of_eve = |dish: usize, step: usize| evening.is_of_the_day_before(dish, step);
    let blocks: Vec<Block> =
        shown.blocks.iter().filter(|b| of_eve(b.key.dish, b.key.step)).cloned().collect();
    for &(dish, step) in open {
        let sheet = evening.sheets.get(dish)?;
        let loads: Vec<&Block> =
            blocks.iter().filter(|b| (b.key.dish, b.key.step) == (dish, step)).collect();
        let way = loads.first()?.way;
        let whole = loads.len() == sheet.loads(step, way) as usize;
        let ahead = |b: &&Block| {
            let begun = situation.begun.contains_key(&b.key);
            let long = b.end - b.start == sheet.minutes(step, b.way);
            let up = !situation.down.contains(&b.station);
            begun || (long && up && b.start < 0 && now.is_none_or(|now| b.start >= now))
        };
        if !whole || !loads.iter().all(ahead) {
            return None;
        }
    }
    // What runs over would push what follows it.
    let late = now.is_some_and(|now| {
        let over = |b: &&Block| match situation.begun.get(&b.key) {
            Some(Begun::Running { end, .. } | Begun::Done { end, .. }) => *end > b.end.max(now),
            None => false,
        };
        blocks.iter().any(|b| over(&b))
    });
    let plan = Plan {
        waits: shown.waits.iter().filter(|w| of_eve(w.dish, w.before_step)).cloned().collect(),
        settings: shown.settings.iter().filter(|s| s.to <= 0).cloned().collect(),
        pans: shown.pans.iter().filter(|p| p.to <= 0).cloned().collect(),
        blocks,
        ..Plan::default()
    };
    (!late).then_some(plan)
}

/// Plans the day before by itself: as early as each dish can be ready, or where
/// that leaves too little room, by the end of the hours.
fn planned(evening: &Evening, situation: &Situation) -> Result<Plan, NoPlan> {
    planned_by(evening, situation, true).or_else(|_| planned_by(evening, situation, false))
}

fn planned_by(evening: &Evening, situation: &Situation, early: bool) -> Result<Plan, NoPlan> {
    let face = evening.face.day_before();
    let shift = face.minute_at(evening.face.ms_of(0));
    let mut maps: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    let mut before = Evening { face, ..evening.clone() };
    before.party.day = before.face.day;
    let hours = hours(&mut before);
    before.party.services.clear();
    for (d, sheet) in before.sheets.iter_mut().enumerate() {
        let mut due = hours.0;
        if let Some((_, of)) = dishes(evening, situation).find(|(of, _)| *of == d) {
            let steps: Vec<usize> =
                (0..of.recipe.steps.len()).filter(|s| of.recipe.steps[*s].day_before).collect();
            let ready = earliest_ready(evening, situation, of).map(|at| at + shift + SOON);
            sheet.recipe = recipe_before(&of.recipe, &steps);
            due = if early {
                hours.0 + at_the_least(sheet, sheet.last_step(), steps.len())
            } else {
                hours.1
            };
            due = ready.map_or(due, |at| due.max(at + EASE)).clamp(hours.0, hours.1.max(hours.0));
            let waits = ready.map_or(DAY, |at| (due - at).max(0));
            sheet.recipe.holds = vec![in_the_fridge(waits)];
            maps.insert(d, steps);
        }
        sheet.service = d;
        let (id, title) = (sheet.id.clone(), sheet.recipe.title.clone());
        before.party.services.push(Service { id, title, at: TimeOfDay(due) });
    }
    let before_it = situation_before(evening, situation, &maps, shift);
    let planning = Planning::new(&before, &before_it).map_err(|no| of_the_day(no, &maps))?;
    let budget = Budget { seed: 1, rounds: ROUNDS, stop: &|| false };
    let (plan, _) = planning.search(None, &budget).map_err(|no| of_the_day(no, &maps))?;
    Ok(back(plan, &maps, shift))
}

/// Gives each cook the hours of the day before; from the first to the last.
fn hours(before: &mut Evening) -> (Minute, Minute) {
    for cook in &mut before.party.cooks {
        let (from, to) = (TimeOfDay(USUAL_HOURS.0), TimeOfDay(USUAL_HOURS.1));
        cook.free = std::mem::take(&mut cook.free_day_before);
        if cook.free.is_empty() {
            cook.free = vec![Stretch { from, to }];
        }
    }
    let free = || before.party.cooks.iter().flat_map(|c| &c.free);
    let first = free().map(|f| f.from.0).min().unwrap_or(USUAL_HOURS.0);
    (first, free().map(|f| f.to.0).max().unwrap_or(USUAL_HOURS.1))
}

/// The first minute (of the party's day) at which what waits for the day may be
/// ready, where it may wait only so long.
fn earliest_ready(evening: &Evening, situation: &Situation, sheet: &Sheet) -> Option<Minute> {
    let due = situation.service_at.get(&sheet.service).copied();
    let due = due.unwrap_or_else(|| evening.service_minute(sheet.service));
    let steps = &sheet.recipe.steps;
    let is_before = |id: &str| steps.iter().any(|s| s.id == id && s.day_before);
    let of_day = (0..steps.len()).filter(|s| !steps[*s].day_before);
    let at = of_day.flat_map(|s| {
        let leaving = steps[s].after.iter().filter(|a| is_before(&a.step));
        let most = leaving.filter_map(|a| a.most_minutes).min();
        most.map(|m| {
            due - to_the_end(sheet, s, steps.len()) - i32::try_from(m).unwrap_or(i32::MAX / 4)
        })
    });
    at.max()
}

/// Minutes from the start of a step to the end of the dish, at the least.
fn to_the_end(sheet: &Sheet, step: usize, depth: usize) -> Minute {
    let steps = &sheet.recipe.steps;
    let follows = |s: &usize| steps[*s].after.iter().any(|a| a.step == steps[step].id);
    let next = (0..steps.len()).filter(follows).filter(|_| depth > 0);
    sheet.minutes(step, 0) + next.map(|s| to_the_end(sheet, s, depth - 1)).max().unwrap_or(0)
}

/// Minutes from the first step to the end of a step, if hands are always free.
fn at_the_least(sheet: &Sheet, step: usize, depth: usize) -> Minute {
    let loads = Minute::try_from(sheet.loads(step, 0)).unwrap_or(1);
    let own = sheet.minutes(step, 0).saturating_mul(loads);
    let after = sheet.recipe.steps.get(step).map(|s| s.after.as_slice()).unwrap_or_default();
    let before = after.iter().filter(|_| depth > 0).filter_map(|a| {
        let least = Minute::try_from(a.least_minutes).unwrap_or(0);
        Some(at_the_least(sheet, sheet.step_index(&a.step)?, depth - 1) + least)
    });
    own.saturating_add(before.max().unwrap_or(0))
}

/// The steps of the day before alone, and into the fridge.
fn recipe_before(recipe: &Recipe, steps: &[usize]) -> Recipe {
    let mut before = recipe.clone();
    let kept = |id: &str| steps.iter().any(|&s| recipe.steps[s].id == id);
    before.steps = steps.iter().map(|&s| recipe.steps[s].clone()).collect();
    let followed = |id: &str| before.steps.iter().any(|s| s.after.iter().any(|a| a.step == id));
    let leaves: Vec<String> =
        before.steps.iter().map(|s| s.id.clone()).filter(|id| !followed(id)).collect();
    before.steps.iter_mut().for_each(|s| s.day_before = false);
    let bounded = |leaf: &str| {
        let mut later = recipe.steps.iter().flat_map(|s| &s.after).filter(|a| a.step == leaf);
        later.any(|a| a.most_minutes.is_some())
    };
    before.steps.push(into_the_fridge(&leaves, bounded));
    for ingredient in &mut before.ingredients {
        let used = !ingredient.steps.is_empty();
        ingredient.steps.retain(|id| kept(id));
        if used && ingredient.steps.is_empty() {
            // Used on the day only: by no step of this recipe.
            ingredient.kept = crate::kitchen::Kept::Cupboard;
            ingredient.unit = None;
        }
    }
    before.safety.table_minutes = Some(0);
    before
}

/// Where the food of the day before waits, for so long.
fn in_the_fridge(waits: Minute) -> Hold {
    let most_minutes = u32::try_from(waits).unwrap_or(0);
    Hold {
        place: StationKind::Fridge,
        class: HoldClass::Cold,
        at_c: None,
        give_c: 0,
        free_minutes: most_minutes,
        points: 0,
        most_minutes,
        best_minutes: None,
        short_points: 0,
        cookware: None,
        dished: false,
        words: None,
        unconfirmed: false,
    }
}

/// A last step for all that waits for the day; `bounded`: what of it may wait only so long.
fn into_the_fridge(leaves: &[String], bounded: impl Fn(&str) -> bool) -> Step {
    let way = ahead::way(StationKind::Fridge, Minutes::exactly(1));
    let follows = |step: &String| {
        let soon = u32::try_from(SOON).ok().filter(|_| bounded(step));
        After { most_minutes: soon, ..ahead::follows(step, WaitPlace::Cold) }
    };
    let after = leaves.iter().map(follows).collect();
    Step { hands: Hands::default(), ..ahead::plain(LAST, "fridge", "Into the fridge.", way, after) }
}

/// Id of the step that [`into_the_fridge`] adds; no recipe's id has a space.
const LAST: &str = "into the fridge";

/// What has happened of the day before, in its own minutes and steps.
fn situation_before(
    evening: &Evening,
    situation: &Situation,
    maps: &BTreeMap<usize, Vec<usize>>,
    shift: Minute,
) -> Situation {
    let key = |key: &StepKey| {
        let step = maps.get(&key.dish)?.iter().position(|s| *s == key.step)?;
        Some(StepKey { step, ..*key })
    };
    let begun = situation.begun.iter().filter_map(|(k, b)| Some((key(k)?, later(b, shift))));
    let pins = situation.pins.iter().filter_map(|(k, at)| Some((key(k)?, at + shift)));
    let ways = situation.ways.iter().filter_map(|((dish, step), way)| {
        let key = key(&StepKey { dish: *dish, step: *step, load: 0 })?;
        Some(((key.dish, key.step), *way))
    });
    let now = situation.now.filter(|now| *now < 0);
    Situation {
        now: now.map(|now| now + shift),
        begun: begun.collect(),
        down: now.map_or_else(BTreeSet::new, |_| situation.down.clone()),
        oven_c: now.map_or_else(BTreeMap::new, |_| situation.oven_c.clone()),
        dropped: (0..evening.sheets.len()).filter(|d| !maps.contains_key(d)).collect(),
        pins: pins.collect(),
        ways: ways.collect(),
        ..Situation::default()
    }
}

fn later(begun: &Begun, by: Minute) -> Begun {
    let mut begun = begun.clone();
    match &mut begun {
        Begun::Running { start, end, .. } | Begun::Done { start, end, .. } => {
            (*start, *end) = (*start + by, *end + by);
        }
    }
    begun
}

/// The plan of the day before in minutes and steps of the party's day.
fn back(plan: Plan, maps: &BTreeMap<usize, Vec<usize>>, shift: Minute) -> Plan {
    let step = |dish: usize, step: usize| maps.get(&dish)?.get(step).copied();
    let mut eve = Plan::default();
    for mut block in plan.blocks {
        let Some(step) = step(block.key.dish, block.key.step) else { continue };
        block.key.step = step;
        (block.start, block.end) = (block.start - shift, block.end - shift);
        eve.blocks.push(block);
    }
    for mut wait in plan.waits {
        let steps = (step(wait.dish, wait.after_step), step(wait.dish, wait.before_step));
        let (Some(after), Some(before)) = steps else { continue };
        (wait.after_step, wait.before_step) = (after, before);
        (wait.from, wait.to) = (wait.from - shift, wait.to - shift);
        eve.waits.push(wait);
    }
    for mut setting in plan.settings {
        (setting.from, setting.to) = (setting.from - shift, setting.to - shift);
        eve.settings.push(setting);
    }
    for mut pan in plan.pans {
        (pan.from, pan.to) = (pan.from - shift, pan.to - shift);
        eve.pans.push(pan);
    }
    eve
}

/// Why the day before cannot be planned, by the steps of the party's recipes.
fn of_the_day(no: NoPlan, maps: &BTreeMap<usize, Vec<usize>>) -> NoPlan {
    use super::build::Reason;
    let step = |dish: usize, step: usize| {
        maps.get(&dish).and_then(|m| m.get(step)).copied().unwrap_or(step)
    };
    match no {
        NoPlan::NoWay(mut no) => {
            for reason in &mut no.reasons {
                if let Reason::Step { dish, step: at, .. } | Reason::Fridge { dish, step: at } =
                    reason
                {
                    *at = step(*dish, *at);
                }
            }
            NoPlan::NoWay(no)
        }
        NoPlan::Clash { clash, words } => {
            let words = words.into_iter().map(|w| format!("The day before: {w}")).collect();
            NoPlan::Clash { clash, words }
        }
        other => other,
    }
}

#[cfg(test)]
#[path = "eve_tests.rs"]
mod tests;

#[cfg(test)]
#[path = "eve_parts_tests.rs"]
mod parts_tests;
