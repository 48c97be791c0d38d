//! Which pans, pots, trays and bowls the servings want of the kitchen's.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::kitchen::pans::{self, Asked};
use crate::kitchen::{Cookware, Kitchen, Sheet};

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

/// What all steps of a dish want in their first ways, each kind at its most.
pub(super) fn vessels(kitchen: &Kitchen, sheet: &Sheet) -> Vec<Vessel> {
    let mut kinds: Vec<(&str, Asked, bool)> = Vec::new();
    for step in &sheet.recipe.steps {
        let Some(way) = step.ways.first() else { continue };
        for need in &step.cookware {
            let asked = Asked::of(&sheet.recipe, need, sheet.servings, way.load_servings);
            let heat = pans::in_heat(way.station);
            match kinds.iter_mut().find(|(kind, ..)| *kind == need.kind) {
                Some((_, seen, hot)) => (*seen, *hot) = (seen.and(asked), *hot || heat),
                None => kinds.push((&need.kind, asked, heat)),
            }
        }
    }
    kinds.into_iter().map(|(kind, asked, heat)| vessel(kitchen, kind, asked, heat)).collect()
}

fn vessel(kitchen: &Kitchen, kind: &str, asked: Asked, heat: bool) -> Vessel {
    let take = |heat| Some((pans::in_kitchen(kitchen, kind, asked, heat)?, heat));
    // In dry heat one of a step's pieces must bear it; a bowl stays outside.
    let found = take(heat).or_else(|| if heat { take(false) } else { None });
    let smallest = found.and_then(|(take, heat)| {
        let suits = |c: &&Cookware| take.suits(c.volume_ml);
        let of_kind = pans::of_kind(kitchen, kind, heat).map(|(_, c)| c);
        of_kind.filter(suits).min_by_key(|c| c.volume_ml.unwrap_or(u32::MAX))
    });
    let largest = pans::of_kind(kitchen, kind, false).filter_map(|(_, c)| c.volume_ml).max();
    let largest = largest.filter(|&ml| ml > 0 && found.is_none());
    let small = |n: u64| u32::try_from(n).unwrap_or(u32::MAX);
    let count = found.map_or(asked.stated(), |(take, _)| take.pieces);
    Vessel {
        kind: kind.to_owned(),
        count,
        least_ml: Some(asked.each_of(count)).filter(|&ml| ml > 0).map(small),
        takes: smallest.map(|c| c.title.clone()),
        of_largest: largest.map(|ml| small(asked.total_ml().div_ceil(ml.into()))),
    }
}
