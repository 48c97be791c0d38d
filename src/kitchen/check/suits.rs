//! Which stations and pans of a kitchen a way or a hold can use at all. The
//! planner asks the same questions as the check, so that they never disagree.

use super::MOST_STEP_MINUTES;
use crate::kitchen::{
    CookwareNeed, Growth, Hold, Kitchen, Recipe, Station, StationKind, Step, Way,
};

/// Stations, by index, at which a step can be done in one of its ways for so
/// many servings.
///
/// # Errors
/// Why there is none, as the end of a sentence: "the oven goes to 220 °C only".
pub fn stations_for(
    kitchen: &Kitchen,
    recipe: &Recipe,
    servings: u32,
    step: &Step,
    way: &Way,
) -> Result<Vec<usize>, String> {
    long_enough(recipe, servings, step, way)?;
    cookware(kitchen, recipe, servings, step, way)?;
    one_of(kitchen, way.station, |station| {
        if station.slots < way.slots {
            return Err(format!("has {} of the {} places", station.slots, way.slots));
        }
        reaches(station, way.at_c)?;
        let load = way.load_servings.unwrap_or(servings).min(servings);
        let needed = u64::from(way.ml_per_serving.unwrap_or(0)) * u64::from(load);
        match station.volume_ml {
            Some(ml) if station.kind == StationKind::SlowCooker && needed > u64::from(ml) => {
                Err(format!("holds {ml} ml of the {needed} ml"))
            }
            _ => Ok(()),
        }
    })
}

/// Stations, by index, at which a finished dish can wait.
///
/// # Errors
/// Why there is none, as the end of a sentence.
pub fn stations_to_hold(kitchen: &Kitchen, hold: &Hold) -> Result<Vec<usize>, String> {
    one_of(kitchen, hold.place, |station| reaches(station, hold.at_c))
}

/// Cookware, by index, that suits a need for so many servings, if there is
/// enough of it. `in_heat` asks for ovenproof pieces; `load` is the servings of
/// one load.
///
/// # Errors
/// Why there is not enough, as the end of a sentence.
pub fn pans_for(
    kitchen: &Kitchen,
    recipe: &Recipe,
    servings: u32,
    need: &CookwareNeed,
    in_heat: bool,
    load: Option<u32>,
) -> Result<Vec<usize>, String> {
    let least = least_ml(recipe, load.unwrap_or(servings).min(servings), need);
    pans_of(kitchen, &need.kind, need.count, least, in_heat)
}

/// Cookware, by index, of a kind, a least volume each (0 for any) and, if it
/// stands `in_heat`, ovenproof: `needed` pieces of it.
pub(super) fn pans_of(
    kitchen: &Kitchen,
    kind: &str,
    needed: u32,
    least: u64,
    in_heat: bool,
) -> Result<Vec<usize>, String> {
    let of_kind = || kitchen.cookware.iter().enumerate().filter(|(_, c)| c.kind == kind);
    let large = |ml: Option<u32>| least == 0 || ml.is_none_or(|ml| u64::from(ml) >= least);
    let suits: Vec<usize> = of_kind()
        .filter(|(_, c)| (c.ovenproof || !in_heat) && large(c.volume_ml))
        .map(|(index, _)| index)
        .collect();
    let count: u32 = suits.iter().filter_map(|&i| kitchen.cookware.get(i)).map(|c| c.count).sum();
    if count >= needed {
        return Ok(suits);
    }
    let asked = match needed {
        1 if kind.starts_with(['a', 'e', 'i', 'o']) => format!("an \"{kind}\""),
        1 => format!("a \"{kind}\""),
        n => format!("{n} of \"{kind}\""),
    };
    let mut asked = if least > 0 { format!("{asked} of {least} ml") } else { asked };
    if in_heat {
        asked.push_str(", ovenproof,");
    }
    let all: u32 = of_kind().map(|(_, c)| c.count).sum();
    let right = of_kind().filter(|(_, c)| c.ovenproof || !in_heat);
    let largest = right.filter_map(|(_, c)| c.volume_ml).max();
    Err(match (count, all) {
        (_, 0) => format!("it needs {asked} and there is none"),
        (0, _) if largest.is_some_and(|ml| u64::from(ml) < least) => {
            let ml = largest.unwrap_or_default();
            format!("it needs {asked} and the largest there holds {ml} ml")
        }
        (0, all) => format!("it needs {asked} and none of the {all} is like that"),
        (some, _) => format!("it needs {asked} and there are only {some}"),
    })
}

/// All cookware of a step must be there; in dry heat one kind of it at least
/// must be ovenproof, since a bowl that the topping comes from stays outside.
fn cookware(
    kitchen: &Kitchen,
    recipe: &Recipe,
    servings: u32,
    step: &Step,
    way: &Way,
) -> Result<(), String> {
    let pans = |need, heat| pans_for(kitchen, recipe, servings, need, heat, way.load_servings);
    for need in &step.cookware {
        pans(need, false)?;
    }
    if in_heat(way.station) {
        let mut missing = None;
        for need in &step.cookware {
            match pans(need, true) {
                Ok(_) => return Ok(()),
                Err(reason) => missing = missing.or(Some(reason)),
            }
        }
        missing.map_or(Ok(()), Err)
    } else {
        Ok(())
    }
}

/// Does cookware stand in dry heat at stations of this kind, so that it must be ovenproof?
#[must_use]
pub const fn in_heat(kind: StationKind) -> bool {
    matches!(kind, StationKind::Oven | StationKind::Grill)
}

/// Likely minutes of one load of a step, and its loads.
fn lasts(recipe: &Recipe, servings: u32, step: &Step, way: &Way) -> (u64, u64) {
    let likely = u64::from(way.minutes.likely);
    let minutes = match step.grows {
        Growth::Fixed => likely,
        Growth::Proportion => {
            (likely * u64::from(servings)).div_ceil(u64::from(recipe.servings.max(1)))
        }
    };
    let loads = way.load_servings.map_or(1, |n| servings.div_ceil(n.max(1)).max(1));
    (minutes.max(1), u64::from(loads))
}

fn long_enough(recipe: &Recipe, servings: u32, step: &Step, way: &Way) -> Result<(), String> {
    let (minutes, loads) = lasts(recipe, servings, step, way);
    if minutes * loads > u64::from(MOST_STEP_MINUTES) {
        let hours = (minutes * loads).div_ceil(60);
        return Err(format!("it takes {hours} hours for {servings} servings"));
    }
    let full = u64::from(step.hands.start_minutes) + u64::from(step.hands.end_minutes);
    if full > minutes {
        return Err(format!(
            "for {servings} servings it takes {minutes} min, less than the {full} of full attention"
        ));
    }
    Ok(())
}

/// The least volume of a pan in ml for so many servings; 0 for any.
#[must_use]
pub fn least_ml(recipe: &Recipe, servings: u32, need: &CookwareNeed) -> u64 {
    let made = u64::from(recipe.servings.max(1));
    (u64::from(need.least_ml.unwrap_or(0)) * u64::from(servings)).div_ceil(made)
}

fn reaches(station: &Station, at_c: Option<i32>) -> Result<(), String> {
    match (station.thermostat, at_c) {
        (Some(t), Some(at_c)) if at_c > t.most_c => {
            Err(format!("goes up to {} °C, not {at_c}", t.most_c))
        }
        (Some(t), Some(at_c)) if at_c < t.least_c => {
            Err(format!("goes down to {} °C, not {at_c}", t.least_c))
        }
        _ => Ok(()),
    }
}

fn one_of(
    kitchen: &Kitchen,
    kind: StationKind,
    suits: impl Fn(&Station) -> Result<(), String>,
) -> Result<Vec<usize>, String> {
    let mut found = Vec::new();
    let mut reasons = Vec::new();
    for (index, station) in kitchen.stations.iter().enumerate() {
        if station.kind != kind {
            continue;
        }
        match suits(station) {
            Ok(()) => found.push(index),
            Err(reason) => reasons.push(format!("the {} {reason}", kind.word())),
        }
    }
    reasons.dedup();
    if !found.is_empty() {
        Ok(found)
    } else if reasons.is_empty() {
        Err(format!("there is no {}", kind.word()))
    } else {
        Err(reasons.join("; "))
    }
}
