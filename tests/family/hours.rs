//! When the services are, and when the cooks are there: what makes a party
//! loose, tight or over-tight.

use serde_json::{Value, json};

use super::draft::MADE_FOR;
use super::{Dice, Member, Tightness};

/// The last service.
const LAST: i32 = 19 * 60;
const TITLES: [&str; 5] = ["First", "Second", "Third", "Fourth", "Fifth"];

/// Minutes at which the services are, the last at seven: apart by the
/// tightness's gap, or, where there is to be room for it, by what the dishes of
/// the later one ask of the ovens.
pub fn times(member: &Member, recipes: &[Value], servings: &[u32], waves: &[usize]) -> Vec<i32> {
    let count = waves.iter().max().map_or(1, |&last| last + 1);
    let ovens = if member.big() { 2 } else { 1 };
    let mut times = vec![LAST; count];
    for wave in (1..count).rev() {
        let of_wave = recipes.iter().zip(servings).zip(waves).filter(|(_, w)| **w == wave);
        let oven: i32 = of_wave.map(|((r, s), _)| oven_minutes(r, *s)).sum();
        let room = oven * member.tightness.oven_percent() / (100 * ovens);
        times[wave - 1] = times[wave] - room.clamp(member.tightness.gap(), 100);
    }
    times
}

/// The services at these minutes.
pub fn services(times: &[i32]) -> Vec<Value> {
    let named = times.iter().zip(TITLES);
    named
        .map(|(&at, title)| json!({ "id": title.to_lowercase(), "title": title, "at": time(at) }))
        .collect()
}

fn time(minute: i32) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

/// One cook or two, with hours that give the party its tightness.
pub fn cooks(
    member: &Member,
    recipes: &[Value],
    servings: &[u32],
    waves: &[usize],
    times: &[i32],
    dice: &mut Dice,
) -> Vec<Value> {
    let count = if member.big() { 2 } else { 1 };
    let rest = if member.tightness == Tightness::OverTight { 0 } else { dice.from(10, 25) };
    let mut begin = LAST - 30;
    for (wave, due) in times.iter().copied().enumerate() {
        let until = recipes.iter().zip(servings).zip(waves).filter(|(_, w)| **w <= wave);
        let asked: i32 = until.clone().map(|((r, s), _)| hands_percent(r, *s)).sum();
        // A hundred per cent of a minute is a minute; rounded so that it is never easier.
        let need = asked / (member.tightness.percent() * count);
        begin = begin.min(due - need - rest);
        if member.tightness != Tightness::OverTight {
            let longest = until.map(|((r, s), _)| chain(r, *s)).max().unwrap_or(0);
            begin = begin.min(due - longest - 20 - rest);
        }
    }
    let end = if member.impossible() { LAST + 3 } else { LAST + 150 };
    let middle = begin + (LAST - begin) * dice.from(30, 60) / 100;
    (0..count)
        .map(|n| {
            let free = if n == 0 && rest > 0 {
                json!([
                    { "from": time(begin), "to": time(middle) },
                    { "from": time(middle + rest), "to": time(end) }
                ])
            } else {
                json!([{ "from": time(begin), "to": time(end) }])
            };
            let (id, name) = [("inger", "Inger"), ("olav", "Olav")][n as usize];
            json!({ "id": id, "name": name, "free": free })
        })
        .collect()
}

/// Attention that a dish asks for at the least, in hundredths of a minute.
pub fn hands_percent(recipe: &Value, servings: u32) -> i32 {
    steps(recipe)
        .map(|step| {
            let hands = |key: &str| step["hands"][key].as_i64().unwrap_or(0) as i32;
            let full = hands("start_minutes") + hands("end_minutes");
            let ask = |(minutes, loads): (i32, i32)| {
                loads * (100 * full + hands("between_percent") * (minutes - full))
            };
            ways(step, servings).map(ask).min().unwrap_or(0)
        })
        .sum()
}

/// Minutes that a dish is in an oven where it can be done nowhere else.
fn oven_minutes(recipe: &Value, servings: u32) -> i32 {
    let only = |step: &&Value| {
        step["ways"].as_array().is_some_and(|ways| ways.iter().all(|w| w["station"] == "oven"))
    };
    let first = |step: &Value| ways(step, servings).next().map_or(0, |(minutes, _)| minutes);
    steps(recipe).filter(only).map(first).sum()
}

/// Minutes of a dish's longest chain of steps at the least, with the waits
/// that must be.
fn chain(recipe: &Value, servings: u32) -> i32 {
    let mut ends: Vec<(String, i32)> = Vec::new();
    for step in steps(recipe) {
        let after = step["after"].as_array().cloned().unwrap_or_default();
        let begin = after.iter().map(|a| {
            let before = ends.iter().find(|(id, _)| a["step"] == id.as_str());
            let least = a["least_minutes"].as_i64().unwrap_or(0) as i32;
            before.map_or(0, |(_, end)| *end) + least
        });
        let lasts = ways(step, servings).map(|(minutes, loads)| minutes * loads).min();
        let end = begin.max().unwrap_or(0) + lasts.unwrap_or(0);
        ends.push((step["id"].as_str().unwrap_or_default().to_owned(), end));
    }
    ends.iter().map(|e| e.1).max().unwrap_or(0)
}

fn steps(recipe: &Value) -> impl Iterator<Item = &Value> {
    recipe["steps"].as_array().into_iter().flatten()
}

/// Likely minutes of a load, and loads, of each way.
fn ways(step: &Value, servings: u32) -> impl Iterator<Item = (i32, i32)> {
    let grows = step["grows"] == "proportion";
    step["ways"].as_array().into_iter().flatten().map(move |way| {
        let servings = servings as i32;
        let likely = way["minutes"]["likely"].as_i64().unwrap_or(1) as i32;
        let minutes = if grows { (likely * servings + MADE_FOR - 1) / MADE_FOR } else { likely };
        let per_load = way["load_servings"].as_i64().map_or(servings, |n| n as i32).max(1);
        (minutes, (servings + per_load - 1) / per_load)
    })
}
