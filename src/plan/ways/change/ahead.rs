//! What of a dish can be made the day before: what its recipe says
//! ([`crate::kitchen::ahead`]), if the dish is still whole and the day before is
//! not over.

use crate::kitchen::{Evening, Minute, Recipe, Sheet, StepCare, ahead};
use crate::plan::Situation;

/// From ten in the evening on nothing more is begun the day before. Our choice.
const LATEST: Minute = -2 * 60;

/// What is done the day before.
#[derive(Debug, Clone, PartialEq)]
pub struct Ahead {
    /// Index of the dish.
    pub dish: usize,
    /// Its recipe, with the steps of the day before marked, cooled and heated again.
    pub recipe: Recipe,
    /// Minutes of the cook's hands that it takes the day before.
    pub hands: Minute,
}

/// What of a dish can be made the day before: what saves the most work on the
/// day. None on the day itself, if the dish has begun, if nothing of it can
/// wait, or if it is made so already.
#[must_use]
pub fn day_before(evening: &Evening, situation: &Situation, dish: usize) -> Option<Ahead> {
    let sheet = evening.sheets.get(dish)?;
    if situation.now.is_some_and(|now| now > LATEST) {
        return None;
    }
    if situation.begun.keys().any(|k| k.dish == dish) || situation.held.contains_key(&dish) {
        return None;
    }
    if sheet.recipe.steps.iter().any(|s| s.day_before) {
        return None;
    }
    let recipe = ahead::day_before(&sheet.recipe).ok()?;
    let made = Sheet { recipe, ..sheet.clone() };
    let hands = hands(&made);
    Some(Ahead { dish, recipe: made.recipe, hands })
}

impl Ahead {
    /// Is all of the dish made then, but for what is done with it on the day?
    #[must_use]
    pub fn is_whole(&self, of: &Recipe) -> bool {
        of.steps.iter().all(|s| self.recipe.steps.iter().any(|b| b.id == s.id && b.day_before))
    }

    /// Is it heated again on the day?
    #[must_use]
    pub fn is_reheated(&self) -> bool {
        self.recipe.steps.iter().any(|s| s.care == Some(StepCare::Reheats))
    }

    /// The labels of what is done then, cooling apart.
    pub fn labels(&self) -> impl Iterator<Item = &str> {
        let steps = self.recipe.steps.iter().filter(|s| s.day_before && s.care.is_none());
        steps.map(|s| s.label.as_str())
    }
}

/// Minutes of hands that the steps of the day before ask for, in their first ways.
fn hands(sheet: &Sheet) -> Minute {
    let of = |(s, step): (usize, &crate::kitchen::Step)| {
        let minute = |n: u32| Minute::try_from(n).unwrap_or(Minute::MAX / 4);
        let long = sheet.minutes(s, 0);
        let full = minute(step.hands.start_minutes).saturating_add(minute(step.hands.end_minutes));
        let full = full.min(long);
        let between = (long - full).saturating_mul(minute(step.hands.between_percent)) / 100;
        full.saturating_add(between).saturating_mul(minute(sheet.loads(s, 0)))
    };
    let steps = sheet.recipe.steps.iter().enumerate().filter(|(_, s)| s.day_before);
    steps.map(of).fold(0, Minute::saturating_add)
}
