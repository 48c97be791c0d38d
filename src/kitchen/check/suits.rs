//! Which stations and pans of a kitchen a way or a hold can use at all. The
//! planner asks the same questions as the check, so that they never disagree.

use super::MOST_STEP_MINUTES;
use crate::kitchen::pans::{self, Asked};
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
        let places = pans::places_in(kitchen, recipe, servings, step, way, station.slots);
        if station.slots < places {
            return Err(format!("has {} of the {places} places", station.slots));
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

/// Is there cookware of a kind for what is asked and, if it stands `in_heat`,
/// ovenproof?
///
/// # Errors
/// Why not, as the end of a sentence: "it needs …".
pub fn enough(kitchen: &Kitchen, kind: &str, asked: Asked, in_heat: bool) -> Result<(), String> {
    if pans::in_kitchen(kitchen, kind, asked, in_heat).is_some() {
        return Ok(());
    }
    let all: u32 = pans::of_kind(kitchen, kind, false).map(|(_, c)| c.count).sum();
    let right = || pans::of_kind(kitchen, kind, in_heat).map(|(_, c)| c);
    let (article, words) = (article(kind, in_heat), kind.replace('_', " "));
    let heat = if in_heat { "ovenproof " } else { "" };
    let one = format!("{article} {heat}{words}");
    let total = asked.total_ml();
    let room = if total > 0 { format!(" for {total} ml") } else { String::new() };
    // The largest of them is what the cook knows it by.
    let Some(largest) = right().max_by_key(|c| c.volume_ml) else {
        return Err(match all {
            // By the word that recipes have for it: it is what the cook would add.
            0 => format!("it needs {article} {heat}\"{kind}\"{room} and there is none"),
            1 => format!("it needs {one}{room} and the one there is not"),
            all => format!("it needs {one}{room} and none of the {all} there is"),
        });
    };
    let is_only = |n: u32| if n == 1 { "is only 1".to_owned() } else { format!("are only {n}") };
    let as_large = right().filter(|c| c.volume_ml == largest.volume_ml).map(|c| c.count).sum();
    let would = |ml: u32| total.div_ceil(ml.max(1).into());
    Err(match largest.volume_ml.filter(|&ml| would(ml) > u64::from(as_large)) {
        Some(ml) => {
            let (would, only, title) = (would(ml), is_only(as_large), &largest.title);
            format!(
                "it needs {one}{room} and the largest, \"{title}\", holds {ml} ml: \
                 {would} of those would do and there {only}"
            )
        }
        None => {
            let (n, only) = (asked.stated(), is_only(right().map(|c| c.count).sum()));
            format!("it needs {n} of \"{}\"{room} and there {only}", largest.title)
        }
    })
}

fn article(kind: &str, in_heat: bool) -> &'static str {
    if in_heat || kind.starts_with(['a', 'e', 'i', 'o']) { "an" } else { "a" }
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
    let pans = |need: &CookwareNeed, heat| {
        let asked = Asked::of(recipe, need, servings, way.load_servings);
        enough(kitchen, &need.kind, asked, heat)
    };
    for need in &step.cookware {
        pans(need, false)?;
    }
    if pans::in_heat(way.station) {
        let mut missing = None;
        for need in &step.cookware {
            match pans(need, true) {
                Ok(()) => return Ok(()),
                Err(reason) => missing = missing.or(Some(reason)),
            }
        }
        missing.map_or(Ok(()), Err)
    } else {
        Ok(())
    }
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
