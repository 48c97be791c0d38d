//! A recipe as it is made when as much of it as keeps is made the day before.
//!
//! Steps done the day before are marked so; what was on the heat gets a step
//! that cools it fast before it goes into the fridge, and what is served hot a
//! step that heats it again on the day. No figure of any guidance is written
//! into these steps: times and temperatures are those of the party's guidance,
//! shown and asked for while they run.
//!
//! What may be made the day before the recipe itself says: food that may wait
//! cold between two of its steps overnight, a finished dish that may wait cold
//! overnight, or a hot dish that says how it is heated again ([`Reheating`]).
//! Of these the one that takes most work off the day is chosen.

use std::collections::BTreeSet;

use super::id;
use super::recipe::{
    After, Growth, Hands, HoldClass, Minutes, Recipe, Reheating, Step, StepCare, WaitPlace, Way,
};
use super::{Minute, StationKind};

/// Food that may wait in the cold so many minutes may wait overnight: from ten
/// in the evening to five in the next. Our choice; whether it is long enough for
/// a party's own hours the planner says.
pub const OVERNIGHT_MINUTES: u32 = 19 * 60;

/// The longest that cooked food may stand before it is set to cool. Our choice,
/// well within the two hours in which every guidance wants it in the fridge.
const STANDS_AT_MOST: u32 = 30;

/// What was hot and lay in the cold so long is cold: within six hours all guidance with two stages has it so (FDA Food
/// Code 2022, 3-501.14(A)). What lay there for less is cooled, and measured, like all that is hot.
const CHILLED_MINUTES: u32 = 6 * 60;

/// What has waited overnight waits in the cold no longer than this once it is
/// dished up: the night was its wait. Our choice.
const DISHED_UP_MINUTES: u32 = 30;

/// Why nothing of a dish is made the day before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotAhead {
    /// It is served hot, and the recipe does not say how it is heated again.
    NoReheating,
    /// Nothing of it may wait overnight.
    KeepsTooShort,
    /// Food leaves the steps before the heating elsewhere than by way of it.
    Forks,
}

impl NotAhead {
    /// The reason in a few words.
    #[must_use]
    pub const fn short(self) -> &'static str {
        match self {
            Self::NoReheating => "has to be: no way to heat it again",
            Self::KeepsTooShort => "has to be: does not keep overnight",
            Self::Forks => "has to be: its food goes two ways",
        }
    }

    /// One line without a full stop, and what would help.
    #[must_use]
    pub const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::NoReheating => (
                "cannot be made the day before: it is served hot, and the recipe names no way to \
                 heat it again",
                "Add \"reheat\" to the recipe, or make it on the day",
            ),
            Self::KeepsTooShort => (
                "cannot be made the day before: nothing of it may wait in the cold overnight",
                "Let a step or the finished dish wait in the fridge for 1200 minutes or more, or make it \
                 on the day",
            ),
            Self::Forks => (
                "cannot be made the day before: food of its earlier steps goes past the step \
                 after which it would be cooled",
                "Name a later step in the recipe's \"reheat\"",
            ),
        }
    }
}

/// The recipe with as much of it as keeps done the day before. A recipe that
/// says of its steps itself which are stays as it is.
///
/// # Errors
/// [`NotAhead`] if nothing of it can be.
pub fn day_before(recipe: &Recipe) -> Result<Recipe, NotAhead> {
    if recipe.steps.iter().any(|s| s.day_before) {
        return Ok(recipe.clone());
    }
    let mut ways: Vec<Recipe> = Vec::new();
    let hot = recipe.reheat.as_ref().map(|reheat| made_hot(recipe, reheat));
    ways.extend(hot.iter().flatten().cloned());
    ways.extend(made_cold(recipe));
    ways.extend((0..recipe.steps.len()).filter_map(|step| made_so_far(recipe, step)));
    let saved = |of: &Recipe| hands_on_the_day(recipe) - hands_on_the_day(of);
    match ways.into_iter().rev().filter(|w| saved(w) > 0).max_by_key(saved) {
        Some(best) => Ok(best),
        None => Err(match hot {
            Some(Err(why)) => why,
            None if recipe.holds.iter().any(|h| h.class == HoldClass::Hot) => NotAhead::NoReheating,
            _ => NotAhead::KeepsTooShort,
        }),
    }
}

/// Minutes of hands that the recipe's own servings ask for on the day, by the
/// first ways.
#[must_use]
pub fn hands_on_the_day(recipe: &Recipe) -> Minute {
    recipe.steps.iter().filter(|s| !s.day_before).map(|s| hands(recipe, s)).sum()
}

/// Minutes of hands that a step asks for in its first way, all loads together.
fn hands(recipe: &Recipe, step: &Step) -> Minute {
    let Some(way) = step.ways.first() else { return 0 };
    let whole = |n: u32| Minute::try_from(n).unwrap_or(Minute::MAX / 4);
    let loads = way.load_servings.filter(|n| *n > 0).map_or(1, |n| recipe.servings.div_ceil(n));
    let long = whole(way.minutes.likely);
    let full = whole(step.hands.start_minutes.saturating_add(step.hands.end_minutes)).min(long);
    let between = (long - full).saturating_mul(whole(step.hands.between_percent)) / 100;
    full.saturating_add(between).saturating_mul(whole(loads.max(1)))
}

/// Served hot: made up to a step, cooled, heated again.
fn made_hot(recipe: &Recipe, reheat: &Reheating) -> Result<Recipe, NotAhead> {
    let at = match &reheat.after {
        Some(id) => recipe.steps.iter().position(|s| s.id == *id),
        None => last(recipe),
    };
    let at = at.ok_or(NotAhead::Forks)?;
    let done = with_all_before(recipe, at);
    let mut made = recipe.clone();
    let (cool, again) = (free_id(recipe, "cool"), free_id(recipe, "reheat"));
    for (s, step) in made.steps.iter_mut().enumerate() {
        step.day_before = done.contains(&s);
        for after in step.after.iter_mut().filter(|_| !step.day_before) {
            let Some(before) = index(recipe, &after.step) else { continue };
            if before == at {
                after.step.clone_from(&again);
            } else if done.contains(&before) && (!keeps_overnight(after) || is_warm(recipe, before))
            {
                return Err(NotAhead::Forks);
            }
        }
    }
    let from = recipe.steps.get(at).map(|s| s.id.clone()).unwrap_or_default();
    made.steps.push(cool_step(&cool, &from));
    made.steps.push(reheat_step(reheat, &again, &cool));
    Ok(made)
}

/// Served cold: all of it made, and kept in the fridge until it is dished up.
fn made_cold(recipe: &Recipe) -> Option<Recipe> {
    let overnight = |most: u32| most >= OVERNIGHT_MINUTES;
    let mut holds = recipe.holds.iter();
    let hold = holds.find(|h| {
        h.place == StationKind::Fridge && h.class == HoldClass::Cold && overnight(h.most_minutes)
    })?;
    let most = hold.most_minutes;
    let at = last(recipe)?;
    let mut made = recipe.clone();
    made.steps.iter_mut().for_each(|s| s.day_before = true);
    let mut from = recipe.steps.get(at)?.id.clone();
    if is_warm(recipe, at) {
        let cool = free_id(recipe, "cool");
        made.steps.push(cool_step(&cool, &from));
        from = cool;
    }
    made.steps.push(dish_up(&free_id(recipe, "dish-up"), &from, most));
    for hold in made.holds.iter_mut().filter(|h| h.class == HoldClass::Cold) {
        hold.most_minutes = hold.most_minutes.min(DISHED_UP_MINUTES);
        hold.free_minutes = hold.free_minutes.min(DISHED_UP_MINUTES);
        (hold.best_minutes, hold.short_points) = (None, 0);
    }
    Some(made)
}

/// Made up to a step and all before it, if what leaves them may wait cold overnight.
fn made_so_far(recipe: &Recipe, step: usize) -> Option<Recipe> {
    let done = with_all_before(recipe, step);
    let mut made = recipe.clone();
    let mut cooled: Vec<(String, String)> = Vec::new();
    let mut leaves = false;
    for (s, step) in made.steps.iter_mut().enumerate() {
        step.day_before = done.contains(&s);
        for after in step.after.iter_mut().filter(|_| !step.day_before) {
            let before = index(recipe, &after.step)?;
            if !done.contains(&before) {
                continue;
            }
            if !keeps_overnight(after) {
                return None;
            }
            leaves = true;
            if is_warm(recipe, before) {
                let known = cooled.iter().find(|(of, _)| *of == after.step).map(|c| c.1.clone());
                let n = cooled.len();
                let cool = known.unwrap_or_else(|| {
                    let name = if n == 0 { "cool".to_owned() } else { format!("cool{}", n + 1) };
                    free_id(recipe, &name)
                });
                if !cooled.iter().any(|c| c.1 == cool) {
                    cooled.push((after.step.clone(), cool.clone()));
                }
                after.step = cool;
            }
        }
    }
    let cools = cooled.iter().map(|(from, cool)| cool_step(cool, from));
    made.steps.extend(cools);
    leaves.then_some(made)
}

fn keeps_overnight(after: &After) -> bool {
    after.place == WaitPlace::Cold && after.most_minutes.is_none_or(|m| m >= OVERNIGHT_MINUTES)
}

/// Does a step's food come from the heat, with no chilling since?
fn is_warm(recipe: &Recipe, step: usize) -> bool {
    let mut queue = vec![step];
    let mut seen = BTreeSet::new();
    while let Some(at) = queue.pop() {
        let Some(step) = recipe.steps.get(at).filter(|_| seen.insert(at)) else { continue };
        let kind = step.ways.first().map(|w| w.station);
        if kind.is_some_and(StationKind::heats) {
            return true;
        }
        let long = step.ways.first().is_some_and(|w| w.minutes.low >= CHILLED_MINUTES);
        if !(long && kind.is_some_and(StationKind::chills)) {
            let cold = |a: &After| a.place == WaitPlace::Cold && a.least_minutes >= CHILLED_MINUTES;
            let warm = step.after.iter().filter(|a| !cold(a));
            queue.extend(warm.filter_map(|a| index(recipe, &a.step)));
        }
    }
    false
}

/// Minutes by common practice, no source; how it is done is FDA Food Code 2022,
/// 3-501.15, and the depth a page of an extension service.
fn cool_step(id: &str, from: &str) -> Step {
    let text = "Divide it into shallow containers, no deeper than 5 cm (2 in); stand a big pot in \
                ice water and stir. Lids loosely on, then into the fridge.";
    let after = After { most_minutes: Some(STANDS_AT_MOST), ..follows(from, WaitPlace::Room) };
    Step {
        hands: Hands { start_minutes: 6, end_minutes: 3, between_percent: 10 },
        care: Some(StepCare::Cools),
        day_before: true,
        ..plain(id, "cool", text, counter(20, 30, 45), vec![after])
    }
}

fn reheat_step(reheat: &Reheating, id: &str, cool: &str) -> Step {
    let plain_words = "Heat it all through again, stirring or turning it; measure the middle.";
    let text = reheat.text.as_deref().unwrap_or(plain_words);
    Step {
        ways: reheat.ways.clone(),
        hands: reheat.hands,
        cookware: reheat.cookware.clone(),
        probe: true,
        care: Some(StepCare::Reheats),
        ..plain(id, "reheat", text, counter(1, 1, 1), vec![follows(cool, WaitPlace::Cold)])
    }
}

/// Minutes by common practice, no source.
fn dish_up(id: &str, from: &str, most: u32) -> Step {
    let text = "Out of the fridge: stir, taste, put it into what it is served in.";
    let after = After { most_minutes: Some(most), ..follows(from, WaitPlace::Cold) };
    Step {
        hands: Hands { between_percent: 100, ..Hands::default() },
        ..plain(id, "dish up", text, counter(3, 5, 8), vec![after])
    }
}

/// A step with nothing but a way, and what it follows.
pub(crate) fn plain(id: &str, label: &str, text: &str, way: Way, after: Vec<After>) -> Step {
    Step {
        id: id.to_owned(),
        text: text.to_owned(),
        label: label.to_owned(),
        ways: vec![way],
        hands: Hands::default(),
        after,
        cookware: Vec::new(),
        overdone_after: None,
        grows: Growth::Fixed,
        probe: false,
        care: None,
        day_before: false,
        words: None,
        unconfirmed: false,
    }
}

/// A step that follows another as soon or as late as one likes; the food waits in such a place.
pub(crate) fn follows(step: &str, place: WaitPlace) -> After {
    After {
        step: step.to_owned(),
        least_minutes: 0,
        most_minutes: None,
        best_minutes: None,
        short_points: 0,
        place,
    }
}

/// A way that takes one place of a station and nothing else.
pub(crate) const fn way(station: StationKind, minutes: Minutes) -> Way {
    Way {
        station,
        slots: 1,
        minutes,
        at_c: None,
        give_c: 0,
        setting: None,
        load_servings: None,
        ml_per_serving: None,
        points: 0,
    }
}

const fn counter(low: u32, likely: u32, high: u32) -> Way {
    way(StationKind::Counter, Minutes { low, likely, high })
}

fn index(recipe: &Recipe, id: &str) -> Option<usize> {
    recipe.steps.iter().position(|s| s.id == id)
}

fn last(recipe: &Recipe) -> Option<usize> {
    let followed = |id: &str| recipe.steps.iter().any(|s| s.after.iter().any(|a| a.step == id));
    recipe.steps.iter().rposition(|s| !followed(&s.id))
}

fn free_id(recipe: &Recipe, name: &str) -> String {
    id::free(name, |id| index(recipe, id).is_some())
}

fn with_all_before(recipe: &Recipe, step: usize) -> BTreeSet<usize> {
    let (mut seen, mut queue) = (BTreeSet::new(), vec![step]);
    while let Some(at) = queue.pop() {
        if seen.insert(at) {
            let after = recipe.steps.get(at).map(|s| s.after.as_slice()).unwrap_or_default();
            queue.extend(after.iter().filter_map(|a| index(recipe, &a.step)));
        }
    }
    seen
}

#[cfg(test)]
#[path = "ahead_tests.rs"]
mod tests;
