//! Can a recipe be made in this kitchen, for this many?

use std::collections::BTreeMap;

use super::MOST_SERVINGS;
use super::report::Report;
use super::suits::{enough, stations_for, stations_to_hold};
use crate::kitchen::pans::{Asked, in_heat};
use crate::kitchen::{Dish, Kitchen, Recipe, StationKind, Step, WaitPlace, ahead};

/// So many servings more are tried, where fewer would not do either.
const MORE_TRIED: u32 = 20;

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
    if ways(recipe, servings, kitchen, &path, report) {
        for reason in pans(recipe, servings, kitchen) {
            let remedy = remedy(recipe, servings, kitchen, "add to the kitchen's cookware");
            let what = format!("its pan goes through several steps: {reason}");
            report.wrong(format!("{path}.recipe"), what, remedy);
        }
    }
    for step in &recipe.steps {
        cold_waits(step, kitchen, &path, report);
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

/// At least one way of each step must be possible. Steps that fail alike are told
/// as one.
fn ways(
    recipe: &Recipe,
    servings: u32,
    kitchen: &Kitchen,
    path: &str,
    report: &mut Report,
) -> bool {
    let mut failed: Vec<(String, Vec<String>)> = Vec::new();
    for step in &recipe.steps {
        let Err(why) = one_way(step, recipe, servings, kitchen) else { continue };
        let name = format!("\"{}\"", step.id);
        match failed.iter_mut().find(|(reason, _)| *reason == why) {
            Some((_, steps)) => steps.push(name),
            None => failed.push((why, vec![name])),
        }
    }
    for (why, steps) in &failed {
        let (steps, others) = match steps.as_slice() {
            [one] => (format!("step {one}"), "give the step another way"),
            [first @ .., last] => {
                (format!("steps {} and {last}", first.join(", ")), "give the steps another way")
            }
            [] => continue,
        };
        let add = format!("add to the kitchen, or {others}");
        report.wrong(
            format!("{path}.recipe"),
            format!("{steps} cannot be done in this kitchen: {why}"),
            remedy(recipe, servings, kitchen, &add),
        );
    }
    failed.is_empty()
}

/// Is a way of the step possible? If not, why.
fn one_way(step: &Step, recipe: &Recipe, servings: u32, kitchen: &Kitchen) -> Result<(), String> {
    let mut reasons: Vec<String> = Vec::new();
    for way in &step.ways {
        match stations_for(kitchen, recipe, servings, step, way) {
            Ok(_) => return Ok(()),
            Err(reason) => reasons.push(reason),
        }
    }
    reasons.dedup();
    if reasons.is_empty() { Ok(()) } else { Err(reasons.join("; ")) }
}

/// What to do about it, beginning with the number of servings that the kitchen
/// does carry, if there is one.
fn remedy(recipe: &Recipe, servings: u32, kitchen: &Kitchen, else_do: &str) -> String {
    let fits = |n: &u32| {
        recipe.steps.iter().all(|s| one_way(s, recipe, *n, kitchen).is_ok())
            && pans(recipe, *n, kitchen).is_empty()
    };
    if let Some(most) = (1..servings.min(MOST_SERVINGS)).rev().find(fits) {
        return format!("Make it for {most} at the most, {else_do}");
    }
    let more = servings.saturating_add(1)..=servings.saturating_add(MORE_TRIED);
    if let Some(least) = more.into_iter().find(fits) {
        return format!("Make it for {least} at the least, {else_do}");
    }
    let mut letters = else_do.chars();
    letters.next().map_or(String::new(), |c| c.to_uppercase().chain(letters).collect())
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
/// of pan must suit all the steps that use it. What is missing, in words.
fn pans(recipe: &Recipe, servings: u32, kitchen: &Kitchen) -> Vec<String> {
    let mut asked: BTreeMap<&str, (Asked, bool)> = BTreeMap::new();
    for step in &recipe.steps {
        let possible = || {
            step.ways.iter().filter(|w| stations_for(kitchen, recipe, servings, step, w).is_ok())
        };
        // Of several kinds in one oven step, any may be the one that goes in.
        let heat = step.cookware.len() == 1 && possible().all(|w| in_heat(w.station));
        // The least that any possible way asks: loads need smaller pans.
        let load = possible().map(|w| w.load_servings.unwrap_or(servings)).min();
        for need in &step.cookware {
            let entry = asked.entry(need.kind.as_str()).or_default();
            entry.0 = entry.0.and(Asked::of(recipe, need, servings, load));
            entry.1 |= heat;
        }
    }
    let missing = |(kind, (asked, heat))| enough(kitchen, kind, asked, heat).err();
    asked.into_iter().filter_map(missing).collect()
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
