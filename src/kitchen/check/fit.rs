//! Can a recipe be made in this kitchen, for this many?

use std::collections::BTreeMap;

use super::report::Report;
use super::suits::{in_heat, least_ml, pans_of, stations_for, stations_to_hold};
use crate::kitchen::{Dish, Kitchen, Recipe, StationKind, Step, WaitPlace, ahead};

/// Checks one sound recipe against the kitchen. What it finds stands at the
/// dish, since recipe and kitchen may each be right.
pub(super) fn check(
    index: usize,
    dish: &Dish,
    recipe: &Recipe,
    kitchen: &Kitchen,
    report: &mut Report,
) {
    let path = format!("dishes[{index}]");
    let servings = dish.servings;
    let mut sound = true;
    for step in &recipe.steps {
        sound &= ways(step, recipe, servings, kitchen, &path, report);
        cold_waits(step, kitchen, &path, report);
    }
    if sound {
        pans(recipe, servings, kitchen, &path, report);
    }
    holds(recipe, kitchen, &path, report);
}

/// Can it be made the day before, if it is to be?
pub(super) fn day_before(
    index: usize,
    dish: &Dish,
    recipe: &Recipe,
    kitchen: &Kitchen,
    report: &mut Report,
) {
    if !dish.day_before {
        return;
    }
    let path = format!("dishes[{index}].day_before");
    if let Err(why) = ahead::day_before(recipe) {
        let (what, remedy) = why.words();
        report.wrong(path, what, remedy);
    } else if !kitchen.stations.iter().any(|s| s.kind == StationKind::Fridge) {
        let what = "cannot be made the day before: there is no fridge to keep it in";
        report.wrong(path, what, "Add a fridge to the kitchen, or make it on the day");
    }
}

/// At least one way of a step must be possible.
fn ways(
    step: &Step,
    recipe: &Recipe,
    servings: u32,
    kitchen: &Kitchen,
    path: &str,
    report: &mut Report,
) -> bool {
    let mut reasons: Vec<String> = Vec::new();
    for way in &step.ways {
        match stations_for(kitchen, recipe, servings, step, way) {
            Ok(_) => return true,
            Err(reason) => reasons.push(reason),
        }
    }
    reasons.dedup();
    report.wrong(
        format!("{path}.recipe"),
        format!("step \"{}\" cannot be done in this kitchen: {}", step.id, reasons.join("; ")),
        "Add to the kitchen, give the step another way, or change the servings",
    );
    false
}

fn cold_waits(step: &Step, kitchen: &Kitchen, path: &str, report: &mut Report) {
    let fridge = kitchen.stations.iter().any(|s| s.kind == StationKind::Fridge);
    for after in step.after.iter().filter(|a| a.place == WaitPlace::Cold && a.least_minutes > 0) {
        if !fridge {
            report.wrong(
                format!("{path}.recipe"),
                format!(
                    "step \"{}\" follows \"{}\" after {} minutes in the cold, but there is no fridge",
                    step.id, after.step, after.least_minutes
                ),
                "Add a fridge to the kitchen, or choose another recipe",
            );
        }
    }
}

/// A pan stays with the dish from its first use to its last, so that one kind
/// of pan must suit all the steps that use it.
fn pans(recipe: &Recipe, servings: u32, kitchen: &Kitchen, path: &str, report: &mut Report) {
    let mut asked: BTreeMap<&str, (u32, u64, bool)> = BTreeMap::new();
    for step in &recipe.steps {
        let possible = || {
            step.ways.iter().filter(|w| stations_for(kitchen, recipe, servings, step, w).is_ok())
        };
        // Of several kinds in one oven step, any may be the one that goes in.
        let heat = step.cookware.len() == 1 && possible().all(|w| in_heat(w.station));
        // The least that any possible way asks: loads need smaller pans.
        let load = possible().map(|w| w.load_servings.unwrap_or(servings)).min();
        let load = load.unwrap_or(servings).min(servings);
        for need in &step.cookware {
            let entry = asked.entry(need.kind.as_str()).or_insert((0, 0, false));
            entry.0 = entry.0.max(need.count);
            entry.1 = entry.1.max(least_ml(recipe, load, need));
            entry.2 |= heat;
        }
    }
    for (kind, (count, ml, heat)) in asked {
        if let Err(reason) = pans_of(kitchen, kind, count, ml, heat) {
            report.wrong(
                format!("{path}.recipe"),
                format!("its pan goes through several steps: {reason}"),
                "Add to the kitchen's cookware, or change the servings",
            );
        }
    }
}

fn holds(recipe: &Recipe, kitchen: &Kitchen, path: &str, report: &mut Report) {
    let mut reasons: Vec<String> = Vec::new();
    for hold in &recipe.holds {
        match stations_to_hold(kitchen, hold) {
            Ok(_) => {}
            Err(reason) => reasons.push(format!("{}: {reason}", hold.place.word())),
        }
    }
    if reasons.is_empty() {
        return;
    }
    let all = reasons.len() == recipe.holds.len();
    report.note(
        format!("{path}.recipe"),
        format!("cannot wait in this kitchen as the recipe says: {}", reasons.join("; ")),
        if all { "It will go straight to the table" } else { "It waits in another of its places" },
    );
}
