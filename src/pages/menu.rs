//! The menu: the dishes by course, what is wrong with it, then what is so.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{OfDish, headline};
use crate::kitchen::choice::{Choice, Enough, choices, for_nobody};
use crate::kitchen::menu::{Balance, Warmth, by_course};
use crate::kitchen::{Course, Evening, Minute, Sheet, StationKind};
use crate::mise::scale::{CrampedStep, cramped_steps};
use crate::order::InOrder;
use crate::paper::{self, Head, Paper, Part, Table};
use crate::plan::Plan;
use crate::plan::loads::{StationLoad, loads};
use crate::plan::risk::Forecast;
use crate::plan::risk::words::percent;
use crate::plan::ways::words::minutes;

/// The format's name and number.
pub const MENU_FORMAT: &str = "potwatch menu 1";

/// The dishes, and whether they go together.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MenuPage {
    /// `potwatch menu 1`; another number means other fields.
    pub format: String,
    /// The party's title.
    pub title: String,
    /// Its day: 2026-11-25.
    pub day: String,
    /// The dishes, by course.
    pub dishes: Vec<Dish>,
    /// What is wrong, then what is so.
    pub remarks: Vec<Remark>,
}

/// A dish of the menu.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Dish {
    /// Which dish.
    pub of: OfDish,
    /// Its course.
    pub course: Course,
    /// Servings that are made.
    pub servings: u32,
    /// How it comes to the table: "hot", "cold", "room".
    pub served: String,
    /// Title of its service.
    pub service: String,
    /// The kinds of station that heat it, by its first ways.
    pub cooks_on: Vec<StationKind>,
    /// It is not made after all.
    pub dropped: bool,
}

/// A sentence about the menu.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Remark {
    /// Something to see to.
    pub wrong: bool,
    /// It is about the guests: their page says more.
    pub guests: bool,
    /// The sentence.
    pub words: String,
}

impl Remark {
    fn wrong(words: impl Into<String>) -> Self {
        Self { wrong: true, guests: false, words: words.into() }
    }

    fn plain(words: impl Into<String>) -> Self {
        Self { wrong: false, guests: false, words: words.into() }
    }

    fn of_guests(self) -> Self {
        Self { guests: true, ..self }
    }
}

/// What the remarks are made from.
#[derive(Debug, Clone, Copy)]
pub struct Basis<'a> {
    /// The evening.
    pub evening: &'a Evening,
    /// Its plan; without blocks there is none yet.
    pub plan: &'a Plan,
    /// How each service fares, if that is known.
    pub odds: Option<&'a Forecast>,
    /// Dishes that are not made.
    pub dropped: &'a [usize],
    /// The plan is from before the last change.
    pub outdated: bool,
}

/// The page.
#[must_use]
pub fn menu(basis: Basis) -> MenuPage {
    let evening = basis.evening;
    let dish = |index: usize| {
        let sheet = evening.sheets.get(index)?;
        let service = evening.party.services.get(sheet.service);
        Some(Dish {
            of: OfDish::at(evening, index)?,
            course: sheet.recipe.course,
            servings: sheet.servings,
            served: Warmth::of(&sheet.recipe).word().to_owned(),
            service: service.map_or_else(String::new, |s| s.title.clone()),
            cooks_on: cooks_on(sheet),
            dropped: basis.dropped.contains(&index),
        })
    };
    MenuPage {
        format: MENU_FORMAT.to_owned(),
        title: evening.party.title.clone(),
        day: evening.party.day.to_string(),
        dishes: by_course(evening).into_iter().filter_map(dish).collect(),
        remarks: remarks(basis),
    }
}

/// The kinds of station that a dish is cooked on by its first ways; work on
/// the counter is taken for granted.
#[must_use]
pub fn cooks_on(sheet: &Sheet) -> Vec<StationKind> {
    let ways = sheet.recipe.steps.iter().filter_map(|s| s.ways.first());
    let mut kinds: Vec<StationKind> = ways.map(|w| w.station).filter(|k| k.heats()).collect();
    kinds.sort_unstable();
    kinds.dedup();
    kinds
}

/// The same in words: "oven, hob"; "no heat".
#[must_use]
pub fn cooks_on_words(kinds: &[StationKind]) -> String {
    match kinds {
        [] => "no heat".to_owned(),
        kinds => kinds.iter().map(|k| k.word()).collect::<Vec<_>>().join(", "),
    }
}

/// Everything worth saying, what is wrong first.
#[must_use]
pub fn remarks(basis: Basis) -> Vec<Remark> {
    let Basis { evening, dropped, .. } = basis;
    let mut all = Vec::new();
    let balance = Balance::of(evening, dropped);
    all.extend(time(basis));
    all.extend(missing(&balance));
    let choices = choices(evening, dropped);
    all.extend(guests(evening, &choices));
    all.extend(nobody(evening, dropped, &choices));
    all.extend(second_turns(evening, dropped));
    if balance != Balance::default() {
        let words = format!("{}; {}.", balance.courses_words(), balance.warmth_words());
        all.push(Remark::plain(words));
    }
    all.extend(stations(basis));
    all.order_by_key(|r| !r.wrong);
    all
}

/// Dishes whose pans do not all go in at once: the plan has them in for one turn.
fn second_turns(evening: &Evening, dropped: &[usize]) -> Vec<Remark> {
    let made = evening.sheets.iter().enumerate().filter(|(d, _)| !dropped.contains(d));
    let remark = |(_, sheet): (usize, &Sheet)| {
        let cramped = cramped_steps(&evening.kitchen, sheet).next()?;
        let (name, CrampedStep { label, wanted, place, has }) = (sheet.short(), cramped);
        Some(Remark::wrong(format!(
            "{name}: its pans take {wanted} places in the {place} ({label}) and there are {has}. \
             The plan allows for one turn: make less, or allow for another."
        )))
    };
    made.filter_map(remark).collect()
}

/// Does the kitchen carry it, by the plan?
fn time(basis: Basis) -> Vec<Remark> {
    let Basis { evening, plan, odds, .. } = basis;
    if plan.blocks.is_empty() {
        return vec![Remark::plain("There is no plan yet.")];
    }
    if basis.outdated {
        return vec![Remark::plain(
            "The plan is from before the last change: the next one says whether the kitchen carries it.",
        )];
    }
    let mut all = Vec::new();
    let mut on_time = Vec::new();
    for line in &plan.services {
        let title = evening.party.services.get(line.service).map_or("", |s| &s.title);
        let late = line.dishes.iter().map(|d| d.2 - line.due).max().unwrap_or(0);
        let odds = odds.and_then(|o| o.of(line.service));
        let sure = odds.map_or(String::new(), |o| format!(", on time on {}", percent(o)));
        if late > 0 {
            let dishes = line.dishes.iter().filter(|d| d.2 > line.due);
            let names: Vec<String> = dishes.filter_map(|d| short(evening, d.0)).collect();
            let late = minutes(late);
            all.push(Remark::wrong(format!("{title} {late} late: {}.", names.join(", "))));
        } else {
            on_time.push(format!("{title} {}{sure}", evening.face.label(line.due)));
        }
    }
    if !on_time.is_empty() {
        let words = format!("The kitchen carries it: {}.", on_time.join("; "));
        all.push(Remark::plain(words));
    }
    all
}

fn short(evening: &Evening, dish: usize) -> Option<String> {
    evening.sheets.get(dish).map(Sheet::short)
}

/// Courses that a supper should not be without. Common practice, no source.
fn missing(balance: &Balance) -> Vec<Remark> {
    let mut all = Vec::new();
    if balance.course(Course::Main) == 0 {
        all.push(Remark::wrong("There is no main."));
    }
    let [hot, cold, room] = balance.warmth;
    if hot >= 4 && cold + room == 0 {
        all.push(Remark::wrong("Every dish is hot: nothing can stand ready early."));
    }
    all
}

fn guests(evening: &Evening, choices: &[Choice]) -> Option<Remark> {
    let guests = &evening.party.guests;
    if guests.is_empty() {
        return Some(Remark::plain("No guests are named.").of_guests());
    }
    let few = guests.iter().zip(choices).filter(|(_, c)| c.enough == Enough::No);
    let names: Vec<&str> = few.map(|(g, _)| g.name.as_str()).collect();
    let words = format!("Too little to choose from for {}.", names.join("; "));
    (!names.is_empty()).then(|| Remark::wrong(words).of_guests())
}

/// Dishes that no guest can eat.
fn nobody(evening: &Evening, dropped: &[usize], choices: &[Choice]) -> Vec<Remark> {
    let nobody = for_nobody(evening, choices, dropped);
    let names = nobody.into_iter().filter_map(|d| short(evening, d));
    let words = |name: String| format!("{name}: not for any of the guests.");
    names.map(|name| Remark::wrong(words(name)).of_guests()).collect()
}

/// What the stations that heat carry, the fullest first.
fn stations(basis: Basis) -> Vec<Remark> {
    let Basis { evening, plan, .. } = basis;
    let of = |l: &StationLoad| evening.kitchen.stations.get(l.station);
    let mut loads = loads(evening, plan);
    loads.retain(|l| of(l).is_some_and(|s| s.kind.heats()));
    loads.order_by_key(|l| std::cmp::Reverse(l.slot_minutes));
    let label = |m: Minute| evening.face.label(m);
    let words = |l: &StationLoad| {
        let title = of(l).map_or("", |s| &s.title);
        let n = l.dishes.len();
        let dishes = if n == 1 { "1 dish".to_owned() } else { format!("{n} dishes") };
        let full = match l.full {
            Some((from, to)) => format!(", full from {} to {}", label(from), label(to)),
            None => String::new(),
        };
        Remark::plain(format!("{title}: {dishes}, {}{full}.", minutes(l.slot_minutes)))
    };
    loads.iter().map(words).collect()
}

impl MenuPage {
    /// The page as text.
    #[must_use]
    pub fn text(&self) -> String {
        let row = |dish: &Dish| {
            let stations = match dish.dropped {
                true => "not made".to_owned(),
                false => cooks_on_words(&dish.cooks_on),
            };
            let words = format!(
                "{}, for {}, {}, {}, cooks on: {stations}",
                dish.of.title, dish.servings, dish.served, dish.service
            );
            vec![dish.course.word().to_owned(), dish.of.letter.to_string(), words]
        };
        let table = Table::of(
            "Dishes by course",
            vec![Head::tight("Course"), Head::tight("Letter"), Head::wide("Dish")],
            self.dishes.iter().map(row),
        );
        let dishes = match self.dishes.is_empty() {
            true => Part::Words("No dishes yet.".to_owned()),
            false => Part::Table(table),
        };
        let mut papers = vec![Paper { id: "menu", title: "Menu", parts: vec![dishes] }];
        let said = |wrong: bool| -> Vec<String> {
            self.remarks.iter().filter(|r| r.wrong == wrong).map(|r| r.words.clone()).collect()
        };
        let wrong = match said(true) {
            all if all.is_empty() => Part::Words("Nothing to see to.".to_owned()),
            all => Part::List(all),
        };
        papers.push(Paper { id: "to-see-to", title: "To see to", parts: vec![wrong] });
        let parts = vec![Part::List(said(false))];
        papers.push(Paper { id: "as-it-is", title: "As it is", parts });
        paper::all(&headline(&self.title, &self.day, "menu"), &[], &papers, &[])
    }
}
