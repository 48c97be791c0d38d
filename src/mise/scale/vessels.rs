//! Which pans, pots, trays and bowls the servings want of the kitchen's.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::kitchen::check::suits;
use crate::kitchen::{CookwareNeed, Kitchen, Sheet, Way};

/// Cookware for the servings that are made, a load at a time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Vessel {
    /// Its kind.
    pub kind: String,
    /// How many at once.
    pub count: u32,
    /// The least volume of each in ml, for the fullest load.
    pub least_ml: Option<u32>,
    /// The smallest of the kitchen's that will do, if there are enough of them.
    pub takes: Option<String>,
    /// How many of the kitchen's largest of the kind would hold it all, where none is large enough.
    pub of_largest: Option<u32>,
}

/// What all steps of a dish want, each kind at its most.
pub(super) fn vessels(kitchen: &Kitchen, sheet: &Sheet) -> Vec<Vessel> {
    let mut vessels: Vec<Vessel> = Vec::new();
    for step in &sheet.recipe.steps {
        let Some(way) = step.ways.first() else { continue };
        for need in &step.cookware {
            let vessel = vessel(kitchen, sheet, way, need);
            match vessels.iter_mut().find(|v| v.kind == vessel.kind) {
                Some(seen) => {
                    // The step that wants most says which piece it is.
                    let more = (vessel.least_ml, vessel.count) > (seen.least_ml, seen.count);
                    let count = seen.count.max(vessel.count);
                    if more {
                        *seen = vessel;
                    }
                    seen.count = count;
                }
                None => vessels.push(vessel),
            }
        }
    }
    vessels
}

fn vessel(kitchen: &Kitchen, sheet: &Sheet, way: &Way, need: &CookwareNeed) -> Vessel {
    let recipe = &sheet.recipe;
    let load = way.load_servings.unwrap_or(sheet.servings).min(sheet.servings);
    let least = Some(suits::least_ml(recipe, load, need)).filter(|&ml| ml > 0);
    let suitable =
        |heat| suits::pans_for(kitchen, recipe, sheet.servings, need, heat, way.load_servings);
    let heat = suits::in_heat(way.station);
    // In dry heat one of a step's pieces must bear it; a bowl stays outside.
    let found = suitable(heat).or_else(|why| if heat { suitable(false) } else { Err(why) });
    let pieces = found.unwrap_or_default();
    let pieces = pieces.iter().filter_map(|&index| kitchen.cookware.get(index));
    let takes = pieces.min_by_key(|c| c.volume_ml.unwrap_or(u32::MAX)).map(|c| c.title.clone());
    let of_kind = kitchen.cookware.iter().filter(|c| c.kind == need.kind);
    let largest = of_kind.filter_map(|c| c.volume_ml).max().filter(|&ml| ml > 0);
    let all = least.unwrap_or(0).saturating_mul(need.count.into());
    let of_largest = largest.filter(|_| takes.is_none()).map(|ml| all.div_ceil(ml.into()));
    let small = |n: u64| u32::try_from(n).unwrap_or(u32::MAX);
    Vessel {
        kind: need.kind.clone(),
        count: need.count,
        least_ml: least.map(small),
        takes,
        of_largest: of_largest.map(small),
    }
}
