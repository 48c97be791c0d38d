//! What does not grow in proportion to the servings.

use crate::kitchen::items::{Aisle, Item};
use crate::kitchen::pans::{self, Asked};
use crate::kitchen::units::Exact;
use crate::kitchen::{Growth, Kitchen, Sheet, StationKind, Step};
use crate::mise::amounts::{self, Portion};

const LEAVENING: [&str; 4] = ["baking powder", "bicarbonate of soda", "dried yeast", "fresh yeast"];

/// Each a sentence; none for the servings that the recipe is written for.
/// Common practice, no source.
pub(super) fn beware(kitchen: &Kitchen, sheet: &Sheet, portions: &[Portion<'_>]) -> Vec<String> {
    let factor = amounts::factor(sheet);
    if factor == Exact::ONE {
        return Vec::new();
    }
    let more = factor > Exact::ONE;
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
    let leavening = named(|i| LEAVENING.contains(&i.name.as_str()));
    let half = Exact::fraction(1, 2).unwrap_or(Exact::ONE);
    if !leavening.is_empty() && (factor > Exact::whole(2) || factor < half) {
        said.push(format!(
            "Leavening ({leavening}) does not scale far: mix it in batches near the recipe's size."
        ));
    }
    let oven = steps(sheet, |kind| matches!(kind, StationKind::Oven));
    if !oven.is_empty() {
        let pans =
            if more { "more pans, not a deeper one" } else { "a smaller pan, not a thinner layer" };
        said.push(format!(
            "Oven time stays as written ({oven}) as long as the food lies as deep: take {pans}."
        ));
    }
    said.extend(short_of_pans(kitchen, sheet));
    let hob = steps(sheet, |kind| matches!(kind, StationKind::Stovetop));
    if !hob.is_empty() {
        let pan = match more {
            true => "A fuller pan is slower to the boil and to reduce",
            false => "A pan with less in it boils and dries out sooner",
        };
        said.push(format!("{pan} ({hob}): go by the look, the minutes are the recipe's."));
    }
    said
}

/// What of the pans, racks and burners the servings would take beyond those that
/// there are: the plan takes what there is.
fn short_of_pans(kitchen: &Kitchen, sheet: &Sheet) -> Vec<String> {
    let mut said: Vec<String> = Vec::new();
    let mut say = |what: String| {
        if !said.contains(&what) {
            said.push(what);
        }
    };
    for step in &sheet.recipe.steps {
        let Some(way) = step.ways.first() else { continue };
        for need in &step.cookware {
            let asked = Asked::of(&sheet.recipe, need, sheet.servings, way.load_servings);
            let take = pans::in_kitchen(kitchen, &need.kind, asked, false);
            if let Some(take) = take.filter(|take| take.pieces < asked.wanted()) {
                let (kind, has) = (need.kind.replace('_', " "), take.pieces);
                let wanted = asked.wanted();
                say(format!(
                    "{wanted} x {kind} would be in step and the kitchen has {has}: the rest lies \
                     closer, or goes after."
                ));
            }
        }
        if let Some(CrampedStep { label, wanted, place, has }) = cramped(kitchen, sheet, step) {
            say(format!(
                "Its pans want {wanted} places for {label} and the {place} has {has}: put in the \
                 rest as there is room, and allow for it; the plan does not."
            ));
        }
    }
    said
}

/// A step whose pans do not all go in at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CrampedStep<'a> {
    /// The step's label.
    pub label: &'a str,
    /// Places that its pans take.
    pub wanted: u32,
    /// Where: "oven".
    pub place: &'static str,
    /// The most places that one such station has.
    pub has: u32,
}

/// The steps of a dish, in their first ways, whose pans take more places than there are: the plan
/// has them in for one turn.
pub fn cramped_steps<'a>(
    kitchen: &'a Kitchen,
    sheet: &'a Sheet,
) -> impl Iterator<Item = CrampedStep<'a>> {
    sheet.recipe.steps.iter().filter_map(|step| cramped(kitchen, sheet, step))
}

fn cramped<'a>(kitchen: &Kitchen, sheet: &Sheet, step: &'a Step) -> Option<CrampedStep<'a>> {
    let way = step.ways.first()?;
    let stations = kitchen.stations.iter().filter(|s| s.kind == way.station);
    let has = stations.map(|s| s.slots).max()?;
    let all = |has| pans::places_in(kitchen, &sheet.recipe, sheet.servings, step, way, has);
    let (label, wanted, place) = (step.label.as_str(), all(u32::MAX), way.station.word());
    (wanted > all(has)).then_some(CrampedStep { label, wanted, place, has })
}

/// Labels of the steps whose minutes stay and that are done at such a station.
fn steps(sheet: &Sheet, at: fn(StationKind) -> bool) -> String {
    let fixed = sheet.recipe.steps.iter().filter(|s| s.grows == Growth::Fixed);
    let there = fixed.filter(|s| s.ways.first().is_some_and(|w| at(w.station)));
    there.map(|s| s.label.as_str()).collect::<Vec<_>>().join(", ")
}
