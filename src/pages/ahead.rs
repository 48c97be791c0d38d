//! What is made the day before, and what could be.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{CAUTION, OfDish, Planned, headline};
use crate::kitchen::menu::by_course;
use crate::kitchen::{Evening, Minute, Recipe, Sheet, StepCare, ahead};
use crate::paper::{self, Paper, Part};
use crate::plan::ways::words::minutes;
use crate::plan::{Plan, eve};

/// The format's name and number.
pub const AHEAD_FORMAT: &str = "potwatch ahead 1";

/// What is made when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AheadPage {
    /// `potwatch ahead 1`; another number means other fields.
    pub format: String,
    /// The party's title.
    pub title: String,
    /// Its day: 2026-11-25.
    pub day: String,
    /// The dishes, by course.
    pub dishes: Vec<Dish>,
}

/// A dish, and what is made of it before the day.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Dish {
    /// Which dish.
    pub of: OfDish,
    /// When it is made.
    pub made: Made,
    /// What that means, in a few words.
    pub words: String,
    /// Minutes of hands that it asks for on the day, as it is made.
    pub hands_on_the_day: Minute,
    /// Minutes of hands that it would take off the day if it were made the day before;
    /// nothing if it is already, cannot be, or is begun.
    pub would_save: Option<Minute>,
    /// Its steps of the day before, or those that could be.
    pub steps: Vec<Step>,
    /// Its steps that heat it again on the day.
    pub heated_again: Vec<Step>,
    /// How and by when it is cooled.
    pub cooling: Vec<String>,
}

/// When a dish is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Made {
    /// The day before, as far as it keeps.
    TheDayBefore,
    /// On the day.
    OnTheDay,
    /// Not at all: it was dropped.
    Not,
}

impl Made {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::TheDayBefore => "the day before",
            Self::OnTheDay => "on the day",
            Self::Not => "not made",
        }
    }
}

/// A step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// Its id.
    pub step: String,
    /// What is done.
    pub text: String,
    /// When it begins; nothing while there is no plan of it.
    pub starts: Option<Planned>,
}

/// How far a dish has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stands {
    /// Nothing of it is begun.
    Open,
    /// A step of it is begun: its steps stay on the day that they are on.
    Begun,
    /// It is not made after all.
    Dropped,
}

impl Stands {
    /// How a dish stands among those that were dropped and those that are begun.
    #[must_use]
    pub fn of(dish: usize, dropped: &[usize], mut begun: impl Iterator<Item = usize>) -> Self {
        match dropped.contains(&dish) {
            true => Self::Dropped,
            false if begun.any(|b| b == dish) => Self::Begun,
            false => Self::Open,
        }
    }
}

/// When a dish is made, and in a few words what that means.
#[must_use]
pub fn state(sheet: &Sheet, stands: Stands) -> (Made, String) {
    if stands == Stands::Dropped {
        return (Made::Not, String::new());
    }
    if is_made_before(sheet) {
        let left = minutes(ahead::hands_on_the_day(&sheet.recipe));
        return (Made::TheDayBefore, format!("{left} of your hands left on the day"));
    }
    let words = match would_save(sheet) {
        _ if stands == Stands::Begun => "is begun".to_owned(),
        Ok(saved) => format!("the day before: {} less of your hands", minutes(saved)),
        Err(why) => why.short().to_owned(),
    };
    (Made::OnTheDay, words)
}

fn is_made_before(sheet: &Sheet) -> bool {
    sheet.recipe.steps.iter().any(|s| s.day_before)
}

fn would_save(sheet: &Sheet) -> Result<Minute, ahead::NotAhead> {
    let made = ahead::day_before(&sheet.recipe)?;
    let now = ahead::hands_on_the_day(&sheet.recipe);
    Ok(now.saturating_sub(ahead::hands_on_the_day(&made)))
}

/// The page; `plan` gives the times, if there is one, `stands` how far each dish has come.
#[must_use]
pub fn ahead(
    evening: &Evening,
    plan: Option<&Plan>,
    stands: impl Fn(usize) -> Stands,
) -> AheadPage {
    let dishes = by_course(evening).into_iter();
    AheadPage {
        format: AHEAD_FORMAT.to_owned(),
        title: evening.party.title.clone(),
        day: evening.party.day.to_string(),
        dishes: dishes.filter_map(|d| dish(evening, plan, d, stands(d))).collect(),
    }
}

fn dish(evening: &Evening, plan: Option<&Plan>, dish: usize, stands: Stands) -> Option<Dish> {
    let sheet = evening.sheets.get(dish)?;
    let (made, words) = state(sheet, stands);
    let stays = made == Made::OnTheDay && stands == Stands::Begun;
    let could = ahead::day_before(&sheet.recipe);
    let recipe = if made == Made::Not || stays { None } else { could.as_ref().ok() };
    // The plan has times only for steps that are in it as steps of that day.
    let timed = plan.filter(|_| made == Made::TheDayBefore);
    let is_again = |s: &crate::kitchen::Step| s.care == Some(StepCare::Reheats);
    Some(Dish {
        of: OfDish::at(evening, dish)?,
        made,
        words,
        hands_on_the_day: ahead::hands_on_the_day(&sheet.recipe),
        would_save: (made == Made::OnTheDay && !stays).then(|| would_save(sheet).ok()).flatten(),
        steps: steps(evening, timed, dish, recipe, |s| s.day_before),
        heated_again: steps(evening, timed, dish, recipe, is_again),
        cooling: timed.map_or_else(Vec::new, |plan| eve::cooling(evening, plan, dish)),
    })
}

fn steps(
    evening: &Evening,
    plan: Option<&Plan>,
    dish: usize,
    recipe: Option<&Recipe>,
    which: impl Fn(&crate::kitchen::Step) -> bool,
) -> Vec<Step> {
    let of = recipe.iter().flat_map(|r| &r.steps).filter(|s| which(s));
    let told = of.map(|s| Step {
        step: s.id.clone(),
        text: s.text.clone(),
        starts: plan.and_then(|plan| starts(evening, plan, dish, &s.id)),
    });
    told.collect()
}

/// When the plan has a step of a dish begin.
#[must_use]
pub fn starts(evening: &Evening, plan: &Plan, dish: usize, step: &str) -> Option<Planned> {
    let index = evening.sheets.get(dish)?.step_index(step)?;
    let block = plan.blocks.iter().find(|b| b.key.dish == dish && b.key.step == index)?;
    Some(Planned::of(evening, block.start))
}

impl AheadPage {
    /// The page as text.
    #[must_use]
    pub fn text(&self) -> String {
        let mut parts = Vec::new();
        for dish in &self.dishes {
            let name = format!("{} {}: {}", dish.of.letter, dish.of.title, dish.made.words());
            parts.push(Part::Heading(name));
            if !dish.words.is_empty() {
                parts.push(Part::Words(crate::paper::capital(&dish.words) + "."));
            }
            let again = "heat it again on the day: ";
            let steps = dish.steps.iter().map(|s| told(s, ""));
            let lines: Vec<String> = steps
                .chain(dish.heated_again.iter().map(|s| told(s, again)))
                .chain(dish.cooling.iter().cloned())
                .collect();
            if !lines.is_empty() {
                parts.push(Part::List(lines));
            }
        }
        let title = headline(&self.title, &self.day, "the day before");
        let paper = Paper { id: "ahead", title: "Made ahead", parts };
        paper::all(&title, &[], &[paper], &[CAUTION.to_owned()])
    }
}

fn told(step: &Step, before: &str) -> String {
    let at = step.starts.as_ref().map_or_else(String::new, |at| format!("{} ", at.clock));
    format!("{before}{at}{}", step.text)
}
