//! What a new plan moved, in one plain line.

use std::collections::BTreeMap;

use super::blocks::{Block, Change, Plan};
use super::situation::StepKey;
use crate::kitchen::{Evening, Minute};
use crate::order::InOrder;
use crate::paper::capital;

/// Letters that the line has at the most.
pub const MOST_LETTERS: usize = 90;

/// What is said where nothing moved.
pub const NOTHING_MOVED: &str = "Everything stays where it was.";

/// Steps that move by less are not spoken of, unless nothing else moved.
const SPOKEN_MINUTES: Minute = 3;

/// Says what moved from the old plan to the new one, what matters most first.
#[must_use]
pub fn describe(evening: &Evening, old: &Plan, new: &Plan, why: &str) -> Change {
    let mut items = Vec::new();
    services(evening, old, new, &mut items);
    dishes(evening, old, new, &mut items);
    steps(evening, old, new, &mut items);
    holds(evening, old, new, &mut items);
    items.order_by(|a, b| b.weight.cmp(&a.weight).then_with(|| a.words.cmp(&b.words)));
    Change { moved: join(&items), why: why.to_owned() }
}

/// Something that moved.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Item {
    weight: i64,
    words: String,
}

/// As many of the items as go on the line, and how many more there are.
fn join(items: &[Item]) -> String {
    let Some(first) = items.first() else { return NOTHING_MOVED.into() };
    let mut line = clip(&capital(&first.words), MOST_LETTERS - 1);
    let mut said = 1;
    for item in &items[1..] {
        let rest = items.len() - said - 1;
        let tail = if rest > 0 { format!("; {rest} more") } else { String::new() };
        let longer = format!("{line}; {}", item.words);
        if longer.chars().count() + tail.chars().count() + 1 > MOST_LETTERS {
            break;
        }
        (line, said) = (longer, said + 1);
    }
    let rest = items.len() - said;
    let tail = format!("; {rest} more");
    if rest > 0 && line.chars().count() + tail.chars().count() < MOST_LETTERS {
        line.push_str(&tail);
    }
    line.push('.');
    line
}

fn clip(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most.saturating_sub(1)).chain(['…']).collect()
}

/// A service that stands on the table later or earlier than before.
fn services(evening: &Evening, old: &Plan, new: &Plan, items: &mut Vec<Item>) {
    for line in &new.services {
        let Some(before) = old.services.iter().find(|l| l.service == line.service) else {
            continue;
        };
        let service = evening.party.services.get(line.service);
        let title = service.map_or("the service", |s| &s.title);
        let label = |minute| evening.face.label(minute);
        if line.due != before.due {
            let words = format!("{title} set to {}", label(line.due));
            items.push(Item { weight: 2_000_000_000, words });
        }
        let last = |l: &super::ServiceLine| l.dishes.iter().map(|d| d.2).max();
        let (Some(was), Some(is)) = (last(before), last(line)) else { continue };
        let moved = is - was - (line.due - before.due);
        if moved != 0 {
            let words = if is == was {
                format!("{title} on the table at {} as before", label(is))
            } else {
                format!("{title} {} ({})", by(is - was), label(is))
            };
            items.push(Item { weight: 1_000_000_000 + 1_000 * i64::from(moved.abs()), words });
        }
    }
}

/// "10 min later".
fn by(minutes: Minute) -> String {
    let way = if minutes >= 0 { "later" } else { "earlier" };
    format!("{} min {way}", minutes.abs())
}

fn made(plan: &Plan) -> BTreeMap<usize, usize> {
    let mut made = BTreeMap::new();
    for block in plan.blocks.iter().filter(|b| !b.begun) {
        *made.entry(block.key.dish).or_default() += 1;
    }
    made
}

fn short(evening: &Evening, dish: usize) -> String {
    evening.sheets.get(dish).map_or_else(|| "a dish".into(), crate::kitchen::Sheet::short)
}

/// Dishes that are new or no longer made.
fn dishes(evening: &Evening, old: &Plan, new: &Plan, items: &mut Vec<Item>) {
    let has = |plan: &Plan, dish: usize| plan.blocks.iter().any(|b| b.key.dish == dish);
    for dish in made(old).into_keys().filter(|&d| !has(new, d)) {
        let words = format!("{} is off", short(evening, dish));
        items.push(Item { weight: 900_000_000, words });
    }
    for dish in made(new).into_keys().filter(|&d| !has(old, d)) {
        let words = format!("{} is on", short(evening, dish));
        items.push(Item { weight: 900_000_000, words });
    }
}

/// Steps that move in time or to another place. One line a step: that of its first load that moves.
fn steps(evening: &Evening, old: &Plan, new: &Plan, items: &mut Vec<Item>) {
    let before: BTreeMap<StepKey, &Block> = old.blocks.iter().map(|b| (b.key, b)).collect();
    let mut seen: Vec<(usize, usize)> = Vec::new();
    let mut small: Option<Item> = None;
    let mut blocks: Vec<&Block> = new.blocks.iter().filter(|b| !b.begun).collect();
    blocks.order_by_key(|b| b.key);
    for block in blocks {
        let step = (block.key.dish, block.key.step);
        let Some(was) = before.get(&block.key).filter(|_| !seen.contains(&step)) else { continue };
        let elsewhere = block.station != was.station;
        let moved = block.start - was.start;
        if !elsewhere && moved == 0 {
            continue;
        }
        seen.push(step);
        let near = i64::from((240 - (was.start - new.made_for)).clamp(1, 240));
        let weight = near * i64::from(moved.abs().min(60)) + if elsewhere { 100_000 } else { 0 };
        let item = Item { weight, words: moves(evening, block, was, elsewhere, moved) };
        if elsewhere || moved.abs() >= SPOKEN_MINUTES {
            items.push(item);
        } else if small.as_ref().is_none_or(|s| s.weight < weight) {
            small = Some(item);
        }
    }
    if items.is_empty() {
        items.extend(small);
    }
}

fn moves(evening: &Evening, block: &Block, was: &Block, elsewhere: bool, moved: Minute) -> String {
    let sheet = evening.sheets.get(block.key.dish);
    let step = sheet.and_then(|s| s.recipe.steps.get(block.key.step));
    let (dish, label) = (short(evening, block.key.dish), step.map_or("", |s| &s.label));
    let same = dish.to_lowercase() == label.to_lowercase();
    let what = if same { dish } else { format!("{dish} {label}") };
    let at = evening.face.label(block.start);
    if !elsewhere {
        return format!("{what} {} ({at})", by(moved));
    }
    let (here, there) = (place(evening, &block.station), place(evening, &was.station));
    format!("{what} at {here} instead of {there} ({at})")
}

/// A station inside a sentence: "the oven", or by its title where there are several of the kind.
fn place(evening: &Evening, id: &str) -> String {
    let Some(station) = evening.station(id) else { return "the pass".to_owned() };
    let alike = evening.kitchen.stations.iter().filter(|s| s.kind == station.kind).count();
    if alike > 1 { station.title.clone() } else { format!("the {}", station.kind.word()) }
}

/// Dishes that wait elsewhere.
fn holds(evening: &Evening, old: &Plan, new: &Plan, items: &mut Vec<Item>) {
    for hold in &new.holds {
        let was = old.holds.iter().find(|h| h.dish == hold.dish);
        if was.is_some_and(|w| w.station != hold.station) {
            let place = place(evening, &hold.station);
            let words = format!("{} to wait at {place}", short(evening, hold.dish));
            items.push(Item { weight: 50_000, words });
        }
    }
}

#[cfg(test)]
#[path = "change_line_tests.rs"]
mod tests;
