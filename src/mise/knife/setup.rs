//! What is opened and measured out for each dish.

use super::Setup;
use crate::kitchen::Evening;
use crate::kitchen::items::Aisle;
use crate::kitchen::units::{Dimension, Unit};
use crate::mise::amounts::Portion;
use crate::mise::wording::amount_of;

/// Dish by dish; dishes with nothing to open or measure are not listed.
pub(super) fn setups(evening: &Evening, portions: &[Portion<'_>]) -> Vec<Setup> {
    let dishes = evening.sheets.iter().enumerate();
    let setups = dishes.map(|(dish, sheet)| {
        let of_dish = || portions.iter().filter(move |p| p.dish == dish);
        Setup {
            dish: sheet.id.clone(),
            letter: sheet.letter,
            title: sheet.recipe.title.clone(),
            open: of_dish().filter(|p| is_opened(p)).map(words).collect(),
            measure: of_dish().filter(|p| is_measured(p)).map(words).collect(),
        }
    });
    setups.filter(|s| !(s.open.is_empty() && s.measure.is_empty())).collect()
}

fn words(portion: &Portion<'_>) -> String {
    let amount = portion.most().map(|a| (a, portion.unit));
    let words = amount_of(amount, portion.ingredient.item.trim());
    if amount.is_none() { format!("{words} to taste") } else { words }
}

/// It comes in cans, tins or jars, and is no spice.
pub(super) fn is_opened(portion: &Portion<'_>) -> bool {
    let can = |p: &crate::kitchen::items::Pack| matches!(p.name.as_str(), "can" | "tin" | "jar");
    let item = portion.item().filter(|i| i.aisle != Aisle::Spices);
    portion.unit.dimension() == Dimension::Container
        || item.is_some_and(|i| i.packs.iter().any(can))
}

/// Salt, spices, and what is taken by the spoon.
pub(super) fn is_measured(portion: &Portion<'_>) -> bool {
    let spoon = matches!(portion.unit, Unit::Tsp | Unit::Tbsp | Unit::Dsp | Unit::Pinch);
    let spice = portion.item().is_some_and(|i| i.aisle == Aisle::Spices);
    portion.ingredient.cut.is_none() && !is_opened(portion) && (spice || spoon)
}
