//! Scaling: what a dish takes for the servings that are made, what of it is
//! rounded, and what does not grow with the guests.

mod servings;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use servings::{Appetite, servings};

use super::amounts::{self, Portion};
use crate::kitchen::items::{Aisle, Item};
use crate::kitchen::units::{Dimension, Exact, Measures, Unit, say};
use crate::kitchen::{Evening, Growth, Sheet, StationKind};

/// A dish for the servings that are made.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Scaled {
    /// Id of the dish.
    pub dish: String,
    /// The recipe's title.
    pub title: String,
    /// Servings that the recipe is written for.
    pub written: u32,
    /// Servings that are made.
    pub made: u32,
    /// Made over written, exactly.
    pub factor: Exact,
    /// What guests and appetite ask for, by common practice.
    pub suggested: u32,
    /// What goes in.
    pub amounts: Vec<ScaledAmount>,
    /// How long each step takes, and in how many loads.
    pub steps: Vec<ScaledStep>,
    /// Pans, pots, trays and bowls.
    pub vessels: Vec<Vessel>,
    /// What does not grow in proportion, each a sentence.
    pub beware: Vec<String>,
}

/// An amount for the servings that are made.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ScaledAmount {
    /// The item, in the recipe's words.
    pub item: String,
    /// Exactly; nothing for "to taste".
    pub exact: Option<Exact>,
    /// Rounded to what can be measured or counted out.
    pub rounded: Option<Exact>,
    /// The unit of both.
    pub unit: Unit,
}

/// A step for the servings that are made, in its first way.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ScaledStep {
    /// Its label.
    pub label: String,
    /// Loads, one after another.
    pub loads: u32,
    /// Likely minutes of one load.
    pub minutes: i32,
    /// Likely minutes of one load as the recipe is written.
    pub written_minutes: i32,
}

/// Cookware for the servings that are made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Vessel {
    /// Its kind.
    pub kind: String,
    /// How many at once.
    pub count: u32,
    /// The least volume of each in ml.
    pub least_ml: Option<u32>,
    /// The smallest of the kitchen's that is large enough, if one is.
    pub takes: Option<String>,
    /// How many of the kitchen's largest of the kind would hold it all, where none is large enough.
    pub of_largest: Option<u32>,
}

/// Every dish of the evening, scaled.
#[must_use]
pub fn evening(evening: &Evening) -> Vec<Scaled> {
    (0..evening.sheets.len()).filter_map(|dish| of_dish(evening, dish)).collect()
}

/// One dish of the evening, scaled; nothing if there is no such dish.
#[must_use]
pub fn of_dish(evening: &Evening, dish: usize) -> Option<Scaled> {
    let sheet = evening.sheets.get(dish)?;
    let recipe = &sheet.recipe;
    let alike = evening.sheets.iter().filter(|s| s.recipe.course == recipe.course).count();
    let guests = evening.party.guests.iter().map(|g| g.count).sum();
    let portions: Vec<Portion<'_>> = amounts::of_sheet(dish, sheet).collect();
    Some(Scaled {
        dish: sheet.id.clone(),
        title: recipe.title.clone(),
        written: recipe.servings,
        made: sheet.servings,
        factor: amounts::factor(sheet),
        suggested: servings(recipe.course, guests, alike, evening.party.appetite),
        amounts: portions.iter().map(scaled_amount).collect(),
        steps: steps(sheet),
        vessels: vessels(evening, sheet),
        beware: beware(sheet, &portions),
    })
}

fn scaled_amount(portion: &Portion<'_>) -> ScaledAmount {
    let item = portion.item();
    ScaledAmount {
        item: portion.ingredient.item.clone(),
        exact: portion.amount,
        rounded: portion.amount.map(|a| rounded(a, portion.unit, item)),
        unit: portion.unit,
    }
}

/// To what can be measured or counted out, never to nothing: spoons and ounces
/// to a quarter (Armed Forces Recipe Service: ¼ tsp, ¼ oz), cups to an eighth,
/// grams and millilitres to 1, 5 or 10, eggs and cloves to whole ones, cans and
/// packets up to whole ones, other pieces to halves.
#[must_use]
pub fn rounded(amount: Exact, unit: Unit, item: Option<&Item>) -> Exact {
    let part = |n: i128| Exact::fraction(1, n).unwrap_or(Exact::ONE);
    let egg = || item.is_some_and(|i| i.aisle == Aisle::Dairy);
    let step = match unit {
        Unit::Tsp | Unit::Tbsp | Unit::Dsp | Unit::Oz | Unit::FlOz => part(4),
        Unit::Cup => part(8),
        // A quarter of an ounce.
        Unit::Lb => part(64),
        Unit::G | Unit::Ml | Unit::Kg | Unit::L | Unit::Cl | Unit::Dl => {
            let base = unit.base(Measures::Metric).unwrap_or(Exact::ONE);
            let small = amount * base;
            let step = match () {
                () if small < Exact::whole(50) => Exact::ONE,
                () if small < Exact::whole(1000) => Exact::whole(5),
                () => Exact::whole(10),
            };
            step.over(base).unwrap_or(Exact::ONE)
        }
        Unit::Piece if egg() => Exact::ONE,
        Unit::Piece | Unit::Head | Unit::Stalk | Unit::Slice => part(2),
        Unit::Bunch | Unit::Handful => part(4),
        _ => Exact::ONE,
    };
    if unit.dimension() == Dimension::Container {
        return amount.up_to(Exact::ONE);
    }
    let near = amount.to_nearest(step);
    if amount.is_positive() { near.max(step) } else { near }
}

fn steps(sheet: &Sheet) -> Vec<ScaledStep> {
    let written = Sheet { servings: sheet.recipe.servings, ..sheet.clone() };
    let steps = sheet.recipe.steps.iter().enumerate();
    steps
        .map(|(s, step)| ScaledStep {
            label: step.label.clone(),
            loads: sheet.loads(s, 0),
            minutes: sheet.minutes(s, 0),
            written_minutes: written.minutes(s, 0),
        })
        .collect()
}

fn vessels(evening: &Evening, sheet: &Sheet) -> Vec<Vessel> {
    let mut vessels: Vec<Vessel> = Vec::new();
    for need in sheet.recipe.steps.iter().flat_map(|s| &s.cookware) {
        let (made, written) = (u64::from(sheet.servings), u64::from(sheet.recipe.servings.max(1)));
        let least_ml = need.least_ml.map(|ml| (u64::from(ml) * made).div_ceil(written));
        let least_ml = least_ml.map(|ml| u32::try_from(ml).unwrap_or(u32::MAX));
        match vessels.iter_mut().find(|v| v.kind == need.kind) {
            Some(vessel) => {
                vessel.count = vessel.count.max(need.count);
                vessel.least_ml = vessel.least_ml.max(least_ml);
            }
            None => vessels.push(Vessel {
                kind: need.kind.clone(),
                count: need.count,
                least_ml,
                takes: None,
                of_largest: None,
            }),
        }
    }
    for vessel in &mut vessels {
        let of_kind = || evening.kitchen.cookware.iter().filter(|c| c.kind == vessel.kind);
        let enough = |c: &&crate::kitchen::Cookware| match (vessel.least_ml, c.volume_ml) {
            (Some(least), Some(ml)) => ml >= least,
            _ => true,
        };
        let takes = of_kind().filter(enough).min_by_key(|c| c.volume_ml.unwrap_or(u32::MAX));
        let largest = of_kind().filter_map(|c| c.volume_ml).max().filter(|&ml| ml > 0);
        let all = vessel.least_ml.unwrap_or(0).saturating_mul(vessel.count);
        let of_largest = largest.filter(|_| takes.is_none()).map(|ml| all.div_ceil(ml));
        (vessel.takes, vessel.of_largest) = (takes.map(|c| c.title.clone()), of_largest);
    }
    vessels
}

/// What does not grow in proportion. Common practice, no source.
fn beware(sheet: &Sheet, portions: &[Portion<'_>]) -> Vec<String> {
    let factor = amounts::factor(sheet);
    if factor == Exact::ONE {
        return Vec::new();
    }
    let mut said = Vec::new();
    let named = |wanted: fn(&Item) -> bool| {
        let known = portions.iter().filter_map(|p| p.item()).filter(|i| wanted(i));
        known.map(|i| i.name.as_str()).collect::<Vec<_>>().join(", ")
    };
    let seasoning = named(|i| i.aisle == Aisle::Spices || i.heat > 0);
    if !seasoning.is_empty() {
        said.push(format!(
            "Salt and spice do not grow in step ({seasoning}): put in two thirds, taste, then the rest."
        ));
    }
    const LEAVENING: [&str; 4] =
        ["baking powder", "bicarbonate of soda", "dried yeast", "fresh yeast"];
    let leavening = named(|i| LEAVENING.contains(&i.name.as_str()));
    let half = Exact::fraction(1, 2).unwrap_or(Exact::ONE);
    if !leavening.is_empty() && (factor > Exact::whole(2) || factor < half) {
        said.push(format!(
            "Leavening ({leavening}) does not scale far: mix it in batches near the recipe's size."
        ));
    }
    let oven = sheet.recipe.steps.iter().filter(|s| {
        s.grows == Growth::Fixed && s.ways.iter().any(|w| w.station == StationKind::Oven)
    });
    let oven: Vec<&str> = oven.map(|s| s.label.as_str()).collect();
    if !oven.is_empty() {
        said.push(format!(
            "Oven time stays as written ({}) as long as the food lies as deep: take more pans, not a deeper one.",
            oven.join(", ")
        ));
    }
    said
}

impl ScaledAmount {
    /// "4 1/2 → 5" where rounding shows, else the amount alone.
    #[must_use]
    pub fn words(&self) -> String {
        match (self.exact, self.rounded) {
            (Some(exact), Some(rounded)) => {
                let (exact, rounded) = (say(exact, self.unit), say(rounded, self.unit));
                if exact == rounded { exact } else { format!("{rounded} (exactly {exact})") }
            }
            _ => "to taste".to_owned(),
        }
    }
}
