//! A family of parties for measuring and for tests that must hold for any
//! party: invented, seeded, kitchen-like.
//!
//! A [`Member`] is named by its steps (20, 40, 60, 90, 120; up to 60 one cook
//! and one oven, beyond that two of each), its tightness and its seed. From
//! the name alone follow, byte for byte:
//!
//! - its party ([`Member::party`]): dishes drawn from the templates in
//!   `dishes.rs` until the steps are just as many as asked, two to five
//!   services, and the cooks' hours. The hours set the tightness: hands-on
//!   minutes asked before a service, as a share of those that the cooks have,
//!   is 50 % where it is worst in a loose party, 80 % in a tight one and
//!   118 % in an over-tight one. More than 100 % cannot be on time, whoever
//!   plans. Over-tight parties with an even seed are those whose cooks also
//!   leave soon after the last service: there is no plan for them at all.
//! - its evening ([`Member::evening`]), as the program reads it.
//! - some way into the evening ([`midway`]): what has happened by then, with
//!   steps that run late or were forgotten, and the plan on the screen. This
//!   starts from a plan of the program's own search with rounds that are
//!   given, so it stays the same until the search is changed.
//! - with knife work pooled ([`jobs`]): its problem, in which two or three dishes
//!   each wait for a job done once for all of them.
//!
//! Written to files by `cargo run --release --example family -- DIR`.

#![allow(dead_code, reason = "each target uses its part")]

mod dice;
mod dishes;
mod draft;
mod hours;
pub mod jobs;
mod kitchens;
pub mod midway;
mod more_dishes;

use potwatch::kitchen::{Clockface, Course, Evening, Kitchen, Party, Recipe, Sourced, check};
use serde_json::{Value, json};

pub use dice::Dice;

/// Steps of the members.
pub const SIZES: [usize; 5] = [20, 40, 60, 90, 120];

/// How much of the cooks' time is spoken for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tightness {
    /// 50 %, services an hour apart or more.
    Loose,
    /// 80 %, services half an hour apart or more.
    Tight,
    /// 118 %, services ten minutes apart: something is late, or cannot be at all.
    OverTight,
}

impl Tightness {
    /// All, from loose to over-tight.
    pub const ALL: [Self; 3] = [Self::Loose, Self::Tight, Self::OverTight];

    /// Its name in file names.
    pub fn word(self) -> &'static str {
        match self {
            Self::Loose => "loose",
            Self::Tight => "tight",
            Self::OverTight => "over",
        }
    }

    /// Hands-on minutes asked, as a percentage of the cooks' minutes.
    pub fn percent(self) -> i32 {
        match self {
            Self::Loose => 50,
            Self::Tight => 80,
            Self::OverTight => 118,
        }
    }

    /// Room between two services, as a percentage of what the later one's
    /// dishes ask of the ovens.
    pub fn oven_percent(self) -> i32 {
        match self {
            Self::Loose => 120,
            Self::Tight => 70,
            Self::OverTight => 0,
        }
    }

    /// Minutes between two services at the least.
    pub fn gap(self) -> i32 {
        match self {
            Self::Loose => 60,
            Self::Tight => 30,
            Self::OverTight => 10,
        }
    }
}

/// One party of the family.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Member {
    /// Steps of all its dishes together; 4 or more.
    pub steps: usize,
    /// How much of the cooks' time is spoken for.
    pub tightness: Tightness,
    /// Which one of its kind.
    pub seed: u64,
}

/// Every member of the five sizes with these seeds, small ones first.
pub fn members(seeds: impl Iterator<Item = u64> + Clone) -> Vec<Member> {
    let mut all = Vec::new();
    for steps in SIZES {
        for tightness in Tightness::ALL {
            all.extend(seeds.clone().map(|seed| Member { steps, tightness, seed }));
        }
    }
    all
}

impl Member {
    /// `party-060-tight-1`.
    pub fn name(&self) -> String {
        format!("party-{:03}-{}-{}", self.steps, self.tightness.word(), self.seed)
    }

    /// Are there two cooks and two ovens?
    pub fn big(&self) -> bool {
        self.steps > 60
    }

    /// Do its cooks leave so soon that there is no plan?
    pub fn impossible(&self) -> bool {
        self.tightness == Tightness::OverTight && self.seed.is_multiple_of(2)
    }

    /// The party, whole: kitchen and recipes are written out in it.
    pub fn party(&self) -> Party {
        let mut dice = Dice::new(self.seed ^ ((self.steps as u64) << 20));
        let recipes = dishes::menu(self.steps, &mut dice);
        let waves = waves(&recipes, services_for(self.steps));
        let servings: Vec<u32> =
            recipes.iter().map(|_| [8, 8, 10, 12, 12, 14, 16][dice.below(7) as usize]).collect();
        let kitchen = kitchens::kitchen(self.big());
        let times = hours::times(self, &recipes, &servings, &waves);
        let services = hours::services(&times);
        let cooks = hours::cooks(self, &recipes, &servings, &waves, &times, &mut dice);
        let dishes: Vec<Value> = recipes
            .iter()
            .zip(servings.iter().zip(&waves))
            .map(|(recipe, (servings, wave))| {
                json!({
                    "id": recipe["id"], "recipe": recipe, "servings": servings,
                    "service": services[*wave]["id"]
                })
            })
            .collect();
        let party = json!({
            "id": self.name(), "title": format!("Party of {} steps", self.steps),
            "day": "2026-11-21", "services": services, "dishes": dishes, "cooks": cooks,
            "kitchen": kitchen, "table_minutes": 30
        });
        serde_json::from_value(party).expect("a party")
    }

    /// The party as one file, as a cook would keep it.
    pub fn file(&self) -> String {
        serde_json::to_string_pretty(&self.party()).expect("JSON") + "\n"
    }

    /// The evening that the program reads from it, in a place whose clock shows UTC.
    pub fn evening(&self) -> Evening {
        let party = self.party();
        let kitchen: Kitchen = inline(&party.kitchen);
        let recipes: Vec<Recipe> = party.dishes.iter().map(|d| inline(&d.recipe)).collect();
        let face = Clockface::fixed(party.day, 0);
        check::evening(party, kitchen, recipes, face)
    }
}

fn inline<T: Clone>(source: &Sourced<T>) -> T {
    match source {
        Sourced::Inline(thing) => (**thing).clone(),
        Sourced::Named(name) => panic!("{name} is not written out"),
    }
}

/// How many services a party of so many steps has at the most.
fn services_for(steps: usize) -> usize {
    match steps {
        ..=30 => 2,
        31..=50 => 3,
        51..=100 => 4,
        _ => 5,
    }
}

/// In which of at most `most` services each recipe is served; none is empty.
/// Starters come first and desserts last; where there are services enough,
/// dishes of a course take turns between two of them.
fn waves(recipes: &[Value], most: usize) -> Vec<usize> {
    let (mut starters, mut mains) = (0, 0);
    let mut wanted = Vec::new();
    for recipe in recipes {
        let course: Course = serde_json::from_value(recipe["course"].clone()).expect("known");
        wanted.push(match course {
            Course::Starter | Course::Bread => {
                starters += 1;
                if most > 4 { starters % 2 } else { 0 }
            }
            Course::Dessert | Course::Drink => most - 1,
            _ if most > 3 => {
                mains += 1;
                most - 3 + mains % 2
            }
            _ => 1,
        });
    }
    let mut used = wanted.clone();
    used.sort_unstable();
    used.dedup();
    wanted.iter().map(|w| used.iter().position(|u| u == w).expect("itself")).collect()
}
