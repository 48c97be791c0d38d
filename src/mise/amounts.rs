//! Every amount of every dish of the evening, scaled to its servings.

use crate::kitchen::items::{self, Amount, Item, Market};
use crate::kitchen::units::{Degrees, Exact, Measures, Unit};
use crate::kitchen::{Evening, Ingredient, Sheet};

/// One ingredient of one dish, for the servings that are made.
#[derive(Debug, Clone, Copy)]
pub struct Portion<'a> {
    /// Index of the dish in the evening.
    pub dish: usize,
    /// Index of the ingredient in its recipe.
    pub index: usize,
    /// The dish.
    pub sheet: &'a Sheet,
    /// The ingredient as the recipe has it.
    pub ingredient: &'a Ingredient,
    /// How much for the servings made, exactly; nothing for "to taste".
    pub amount: Option<Exact>,
    /// The upper end, where the recipe gives a range.
    pub amount_to: Option<Exact>,
    /// The unit of both; pieces if the recipe names none.
    pub unit: Unit,
}

/// How much more than the recipe a sheet makes: servings made over servings written.
#[must_use]
pub fn factor(sheet: &Sheet) -> Exact {
    Exact::fraction(sheet.servings.into(), sheet.recipe.servings.into()).unwrap_or(Exact::ONE)
}

/// Every ingredient of every dish, in the evening's order.
#[must_use]
pub fn of_evening(evening: &Evening) -> Vec<Portion<'_>> {
    let sheets = evening.sheets.iter().enumerate();
    sheets.flat_map(|(dish, sheet)| of_sheet(dish, sheet)).collect()
}

/// Every ingredient of every dish that is not dropped.
#[must_use]
pub fn of_made<'a>(evening: &'a Evening, dropped: &[usize]) -> Vec<Portion<'a>> {
    let mut portions = of_evening(evening);
    portions.retain(|p| !dropped.contains(&p.dish));
    portions
}

/// The dishes that are not dropped.
pub fn made<'a>(evening: &'a Evening, dropped: &[usize]) -> impl Iterator<Item = &'a Sheet> {
    let sheets = evening.sheets.iter().enumerate();
    sheets.filter(move |(dish, _)| !dropped.contains(dish)).map(|(_, sheet)| sheet)
}

/// Every ingredient of one dish.
pub fn of_sheet(dish: usize, sheet: &Sheet) -> impl Iterator<Item = Portion<'_>> {
    let factor = factor(sheet);
    sheet.recipe.ingredients.iter().enumerate().map(move |(index, ingredient)| Portion {
        dish,
        index,
        sheet,
        ingredient,
        amount: ingredient.amount.map(|a| a * factor),
        amount_to: ingredient.amount_to.map(|a| a * factor),
        unit: ingredient.unit.unwrap_or(Unit::Piece),
    })
}

impl<'a> Portion<'a> {
    /// What is bought for: the upper end of a range, else the amount.
    #[must_use]
    pub fn most(&self) -> Option<Exact> {
        self.amount_to.or(self.amount)
    }

    /// The item of the table, if it has it.
    #[must_use]
    pub fn item(&self) -> Option<&'static Item> {
        items::find(&self.ingredient.item)
    }

    /// Which cup its recipe means.
    #[must_use]
    pub fn measures(&self) -> Measures {
        self.sheet.recipe.measures
    }

    /// Its most as the item table measures it; nothing for "to taste".
    #[must_use]
    pub fn measured(&self) -> Option<Amount<'a>> {
        Some(Amount {
            amount: self.most()?,
            unit: self.unit,
            measures: self.measures(),
            size: self.ingredient.size.as_deref(),
            cut: self.ingredient.cut.as_deref(),
        })
    }
}

/// In whose shops a party buys: as its file says, else by the degrees it reads.
#[must_use]
pub fn market(evening: &Evening) -> Market {
    evening.party.shops.unwrap_or(match evening.customs.degrees {
        Degrees::Celsius => Market::Metric,
        Degrees::Fahrenheit => Market::Us,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_made_has_no_portions() {
        let evening = crate::plan::sample::evening();
        let dishes = |dropped: &[usize]| -> Vec<usize> {
            of_made(&evening, dropped).iter().map(|p| p.dish).collect()
        };
        assert_eq!(dishes(&[]), [0, 1, 2, 2]);
        assert_eq!(dishes(&[0]), [1, 2, 2]);
        assert_eq!(dishes(&[1, 2]), [0]);
        assert!(dishes(&[0, 1, 2]).is_empty());
    }
}
