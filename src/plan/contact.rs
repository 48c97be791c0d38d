//! What touches what: boards, pans, the fryer's basket, the grill and the slow
//! cooker carry what a guest does not eat from one dish to the next.
//!
//! The rule. All of them are clean when a day begins. What lies on one leaves
//! behind what is known to be in it by then: what its step uses, and the steps
//! before it. A dish against which nothing certain speaks for a guest must not
//! meet what speaks against it for that guest: before such a step the thing is
//! changed or washed, and with that it is clean again. Counter work without a
//! hand on it (food that rests or cools) touches no board; an oven's rack is
//! touched by trays alone.
//!
//! Nothing here means that a dish is free of anything: only what the recipes
//! name is known, and what is read from a label is not.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use super::blocks::{Block, PanBlock, Plan};
use super::situation::StepKey;
use crate::kitchen::choice::{Finding, finding};
use crate::kitchen::items::Answer;
use crate::kitchen::{Evening, Minute, StationKind, Step};
use crate::order::InOrder;

/// What is to be changed or washed before a step begins.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Clean {
    /// The step.
    #[serde(flatten)]
    pub key: StepKey,
    /// What it meets.
    pub thing: Thing,
    /// What would be left on it, in order.
    pub traces: Vec<Trace>,
}

/// Something that food touches.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Thing {
    /// A place at a counter: board, knife and hands. Station and slot.
    Board(String, u32),
    /// An air fryer, a grill or a slow cooker, by its id.
    Station(String),
    /// A pan: id of the cookware and its number.
    Pan(String, u32),
}

/// Something left on a thing that a guest of the next dish does not eat.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Trace {
    /// Index of the dish that left it.
    pub dish: usize,
    /// Index of its ingredient.
    pub ingredient: usize,
    /// Index of the guest.
    pub guest: usize,
}

/// What speaks against each dish for each guest, by dish and guest.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Known {
    findings: Vec<Vec<Finding>>,
}

impl Known {
    /// Holds every dish against every guest; nothing where no guest wishes anything.
    #[must_use]
    pub fn of(evening: &Evening) -> Self {
        let guests = &evening.party.guests;
        if guests.iter().all(|g| g.diets.is_empty() && g.avoids.is_empty()) {
            return Self::default();
        }
        let of_dish = |sheet| guests.iter().map(|guest| finding(sheet, guest)).collect();
        Self { findings: evening.sheets.iter().map(of_dish).collect() }
    }

    /// May a guest still eat of a dish, as far as is known?
    fn is_for(&self, dish: usize, guest: usize) -> bool {
        let found = self.findings.get(dish).and_then(|guests| guests.get(guest));
        found.is_some_and(|f| f.answer != Answer::Contains)
    }

    /// What these ingredients of a dish leave behind that speaks against it for a guest.
    fn left_by<'k>(
        &'k self,
        dish: usize,
        ingredients: &'k BTreeSet<usize>,
    ) -> impl Iterator<Item = Trace> + 'k {
        let guests = self.findings.get(dish).into_iter().flatten().enumerate();
        guests.flat_map(move |(guest, found)| {
            let certain = found.all.iter().filter(|r| r.answer == Answer::Contains);
            certain.filter(|r| ingredients.contains(&r.ingredient)).map(move |r| Trace {
                dish,
                ingredient: r.ingredient,
                guest,
            })
        })
    }
}

/// What is to be changed or washed in a plan, in order of time.
#[must_use]
pub fn cleans(evening: &Evening, known: &Known, plan: &Plan) -> Vec<Clean> {
    if known.findings.is_empty() {
        return Vec::new();
    }
    let mut touches: Vec<Touch> = plan.blocks.iter().flat_map(|b| of_block(evening, b)).collect();
    touches.extend(plan.pans.iter().flat_map(|p| of_pan(evening, plan, p)));
    touches.order_by(|a, b| (a.at, a.key, &a.thing).cmp(&(b.at, b.key, &b.thing)));
    let mut left: BTreeMap<Thing, BTreeSet<Trace>> = BTreeMap::new();
    let mut cleans = Vec::new();
    let mut day_before = true;
    for touch in touches {
        if day_before && touch.at >= 0 {
            left.clear();
        }
        day_before = touch.at < 0;
        let on_it = left.entry(touch.thing.clone()).or_default();
        let meets = |t: &&Trace| t.dish != touch.key.dish && known.is_for(touch.key.dish, t.guest);
        let traces: Vec<Trace> = on_it.iter().filter(meets).cloned().collect();
        if !traces.is_empty() {
            on_it.clear();
            note(&mut cleans, Clean { key: touch.key, thing: touch.thing, traces });
        }
        on_it.extend(known.left_by(touch.key.dish, &touch.ingredients));
    }
    cleans
}

/// Two trays of a kind for one step are washed in one go.
fn note(cleans: &mut Vec<Clean>, clean: Clean) {
    let is_same = |c: &&mut Clean| match (&c.thing, &clean.thing) {
        (Thing::Pan(a, _), Thing::Pan(b, _)) => a == b && c.key == clean.key,
        _ => false,
    };
    match cleans.iter_mut().find(is_same) {
        Some(same) => {
            same.traces.extend(clean.traces);
            same.traces.order();
            same.traces.dedup();
        }
        None => cleans.push(clean),
    }
}

/// A dish on a thing, with the ingredients that are in it by then.
struct Touch {
    at: Minute,
    key: StepKey,
    thing: Thing,
    ingredients: BTreeSet<usize>,
}

/// What a block touches of its station.
fn of_block(evening: &Evening, block: &Block) -> Vec<Touch> {
    let kind = evening.station(&block.station).map(|s| s.kind);
    let hands = |s: &Step| s.hands.start_minutes > 0 || s.hands.between_percent > 0;
    let step = evening.sheets.get(block.key.dish).and_then(|s| s.recipe.steps.get(block.key.step));
    let things: Vec<Thing> = match kind {
        Some(StationKind::Counter) if step.is_some_and(hands) => {
            block.slots.iter().map(|&slot| Thing::Board(block.station.clone(), slot)).collect()
        }
        Some(StationKind::AirFryer | StationKind::Grill | StationKind::SlowCooker) => {
            vec![Thing::Station(block.station.clone())]
        }
        _ => Vec::new(),
    };
    let ingredients = in_it(evening, block.key.dish, block.key.step);
    let touch =
        |thing| Touch { at: block.start, key: block.key, thing, ingredients: ingredients.clone() };
    things.into_iter().map(touch).collect()
}

/// A pan in the hands of a dish: it is met by the first step that uses it.
fn of_pan(evening: &Evening, plan: &Plan, pan: &PanBlock) -> Vec<Touch> {
    let Some(sheet) = evening.sheets.get(pan.dish) else { return Vec::new() };
    let ware = evening.kitchen.cookware.iter().find(|w| w.id == pan.cookware);
    let Some(kind) = ware.map(|w| &w.kind) else { return Vec::new() };
    let uses = |b: &&Block| {
        let step = sheet.recipe.steps.get(b.key.step);
        b.key.dish == pan.dish
            && (pan.from..pan.to).contains(&b.start)
            && step.is_some_and(|s| s.cookware.iter().any(|need| need.kind == *kind))
    };
    let blocks = || plan.blocks.iter().filter(uses);
    let Some(first) = blocks().min_by_key(|b| (b.start, b.key)) else { return Vec::new() };
    let ingredients: BTreeSet<usize> =
        blocks().flat_map(|b| in_it(evening, pan.dish, b.key.step)).collect();
    let touch = |number: &u32| Touch {
        at: pan.from,
        key: first.key,
        thing: Thing::Pan(pan.cookware.clone(), *number),
        ingredients: ingredients.clone(),
    };
    pan.numbers.iter().map(touch).collect()
}

/// The ingredients that are in the food at a step: its own, and those of the steps before it.
fn in_it(evening: &Evening, dish: usize, step: usize) -> BTreeSet<usize> {
    let Some(sheet) = evening.sheets.get(dish) else { return BTreeSet::new() };
    let mut steps = BTreeSet::from([step]);
    let mut open = vec![step];
    while let Some(of) = open.pop().and_then(|s| sheet.recipe.steps.get(s)) {
        let before = of.after.iter().filter_map(|a| sheet.step_index(&a.step));
        open.extend(before.filter(|&s| steps.insert(s)));
    }
    let used = |names: &[String]| {
        names.is_empty()
            || names.iter().any(|n| sheet.step_index(n).is_some_and(|s| steps.contains(&s)))
    };
    let ingredients = sheet.recipe.ingredients.iter().enumerate();
    ingredients.filter(|(_, i)| used(&i.steps)).map(|(index, _)| index).collect()
}

impl Clean {
    /// A few words behind a prompt: "new board", "washed basket".
    #[must_use]
    pub fn tag(&self, evening: &Evening) -> &'static str {
        match self.kind(evening) {
            Some(StationKind::AirFryer) => "washed basket",
            Some(StationKind::Grill) => "scrubbed grill",
            Some(StationKind::SlowCooker) => "washed pot",
            Some(_) => "new board",
            None => "washed pan",
        }
    }

    fn kind(&self, evening: &Evening) -> Option<StationKind> {
        match &self.thing {
            Thing::Board(..) => Some(StationKind::Counter),
            Thing::Station(id) => evening.station(id).map(|s| s.kind),
            Thing::Pan(..) => None,
        }
    }

    /// What to do: "change the board".
    #[must_use]
    pub fn remedy(&self, evening: &Evening) -> String {
        match (self.kind(evening), &self.thing) {
            (Some(StationKind::AirFryer), _) => "wash the air fryer's basket".to_owned(),
            (Some(StationKind::Grill), _) => "scrub the grill or lay foil".to_owned(),
            (Some(StationKind::SlowCooker), _) => "wash the slow cooker's pot".to_owned(),
            (_, Thing::Pan(id, _)) => {
                let ware = evening.kitchen.cookware.iter().find(|w| w.id == *id);
                let kind = ware.map_or_else(|| "pan".to_owned(), |w| w.kind.replace('_', " "));
                let sheet = evening.sheets.get(self.key.dish);
                let step = sheet.and_then(|s| s.recipe.steps.get(self.key.step));
                let on_the_hob =
                    |s: &Step| s.ways.iter().any(|w| w.station == StationKind::Stovetop);
                let oil = if step.is_some_and(on_the_hob) { " and take fresh oil" } else { "" };
                format!("wash the {kind}{oil}")
            }
            _ => "change board and knife, wash hands".to_owned(),
        }
    }

    /// What was on it: "wheat flour of the rolls".
    #[must_use]
    pub fn traces_words(&self, evening: &Evening) -> String {
        let mut dishes: BTreeMap<usize, Vec<String>> = BTreeMap::new();
        for trace in &self.traces {
            let sheet = evening.sheets.get(trace.dish);
            let item = sheet.and_then(|s| s.recipe.ingredients.get(trace.ingredient));
            let items = dishes.entry(trace.dish).or_default();
            if let Some(item) = item.filter(|i| !items.contains(&i.item)) {
                items.push(item.item.clone());
            }
        }
        let of = |(dish, items): (usize, Vec<String>)| {
            let name = evening.sheets.get(dish).map_or_else(String::new, |s| s.short());
            let more = if items.len() > 2 { " and more" } else { "" };
            let items: Vec<String> = items.into_iter().take(2).collect();
            format!("{name}: {}{more}", items.join(", "))
        };
        dishes.into_iter().map(of).collect::<Vec<_>>().join("; ")
    }

    /// The guests on whose account: "the beekeeper".
    #[must_use]
    pub fn guests_words(&self, evening: &Evening) -> String {
        let guests: BTreeSet<usize> = self.traces.iter().map(|t| t.guest).collect();
        let names = guests.into_iter().filter_map(|g| evening.party.guests.get(g));
        names.map(|g| g.name.as_str()).collect::<Vec<_>>().join(", ")
    }

    /// The whole of it in a sentence: "First change board and knife, wash hands: on it was
    /// (rolls: flour), and this is for the beekeeper too."
    #[must_use]
    pub fn sentence(&self, evening: &Evening) -> String {
        format!(
            "First {}: it had been used ({}), and {} may eat of this.",
            self.remedy(evening),
            self.traces_words(evening),
            self.guests_words(evening)
        )
    }
}

/// Said wherever the cook is told of what touches what.
pub const ONLY_WHAT_IS_NAMED: &str =
    "Only what the recipes name is known of boards and pans. Read the labels, ask the guest.";

/// What is to be done before a step, if anything.
pub fn before(plan: &Plan, key: StepKey) -> impl Iterator<Item = &Clean> {
    plan.cleans.iter().filter(move |c| c.key == key)
}
