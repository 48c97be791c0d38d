//! Made-up cooks whose habits are known, and the evenings that they cook: minutes of the shelf's own
//! recipes, drawn. Invented.

#![allow(dead_code, reason = "each test target uses its part")]

use chrono::NaiveDate;
use potwatch::kitchen::{Clockface, Evening, Kitchen, Minutes, Recipe, check};
use potwatch::learn::{Group, Guard, Seen, by_hand};
use potwatch::store::shelf;
use serde_json::json;

/// The finalizer of splitmix64 (Steele, Lea, Flood, OOPSLA 2014; constants from memory).
const fn mix(z: u64) -> u64 {
    let z = z.wrapping_add(0x9E37_79B9_7F4A_7C15);
    let z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// The luck of one evening: a number in 0..1 for each name.
struct Luck(u64);

impl Luck {
    const fn of(seed: u64, evening: u32) -> Self {
        Self(mix(mix(seed) ^ evening as u64))
    }

    fn number(&self, salt: u64) -> f64 {
        (mix(self.0 ^ salt) >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// What is usual of a cook: logarithms of ratios of minutes.
#[derive(Debug, Clone, Copy)]
pub struct Habits {
    /// The oven, hob and fryers.
    pub station: f64,
    /// What is done by hand.
    pub hands: f64,
    /// Standard deviation of an evening with all from one station or by hand.
    pub evening: f64,
    /// What is usual of each step, in standard deviations of its recipe's own spread.
    pub usual: f64,
    /// The chance of each time, in the same.
    pub chance: f64,
    /// One mark in so many comes at another time by up to twice as long; 0: none.
    pub slips: u64,
}

/// An evening of all recipes of the shelf, in the kitchen "home".
pub fn whole_shelf() -> Evening {
    let recipes: Vec<Recipe> = shelf::recipes();
    let dishes: Vec<_> = recipes
        .iter()
        .map(|r| json!({"id": r.id, "recipe": r.id, "servings": r.servings, "service": "supper"}))
        .collect();
    let party = json!({
        "id": "shelf", "title": "The shelf", "day": "2026-10-24",
        "services": [{"id": "supper", "title": "Supper", "at": "19:00"}], "dishes": dishes,
        "cooks": [{"id": "kim", "name": "Kim", "free": [{"from": "08:00", "to": "22:00"}]}],
        "kitchen": "home"
    });
    let party: potwatch::kitchen::Party = serde_json::from_value(party).unwrap();
    let kitchen: Kitchen = shelf::kitchens().into_iter().find(|k| k.id == "home").unwrap();
    let face = Clockface::fixed(party.day, 0);
    check::evening(party, kitchen, recipes, face)
}

/// The minutes of one cook.
pub struct Cook {
    seed: u64,
    habits: Habits,
    evening: Evening,
}

impl Cook {
    pub fn new(seed: u64, habits: Habits) -> Self {
        Self { seed, habits, evening: whole_shelf() }
    }

    /// A number of the normal distribution: Box and Muller's way.
    fn normal(&self, evening: u32, name: &str) -> f64 {
        let salt = name.bytes().fold(7, |salt, b| mix(salt ^ u64::from(b)));
        let luck = Luck::of(self.seed, evening);
        let (a, b) = (luck.number(salt), luck.number(mix(salt)));
        (-2.0_f64 * (1.0 - a).ln()).sqrt() * (std::f64::consts::TAU * b).cos()
    }

    /// What was marked on an evening (from 1): so many dishes of the shelf, by turns.
    pub fn cooks(&self, evening: u32, dishes: usize) -> Vec<Seen> {
        let mut order: Vec<usize> = (0..self.evening.sheets.len()).collect();
        let drawn = |d: usize| Luck::of(self.seed, evening).number(mix(d as u64));
        order.sort_by(|a, b| drawn(*a).total_cmp(&drawn(*b)));
        let day = NaiveDate::from_ymd_opt(2026, 1, 1).unwrap()
            + chrono::Days::new(u64::from(evening) * 9);
        let mut seen = Vec::new();
        for dish in order.into_iter().take(dishes) {
            let sheet = &self.evening.sheets[dish];
            for step in &sheet.recipe.steps {
                if Guard::of(&sheet.recipe, step, 0) == Guard::Stays {
                    continue;
                }
                let way = &step.ways[0];
                let expected = f64::from(way.minutes.likely.max(1));
                let name = format!("{}/{}", sheet.id, step.id);
                let shares = self.shares(by_hand(step, 0), way.station);
                let took = self.took(evening, &name, shares.as_ref(), way.minutes);
                seen.push(Seen {
                    day,
                    evening: format!("evening-{evening}"),
                    recipe: sheet.id.clone(),
                    title: sheet.recipe.title.clone(),
                    step: step.id.clone(),
                    label: step.label.clone(),
                    station: way.station,
                    written: way.minutes,
                    shares,
                    expected,
                    took,
                    at_ms: i64::from(evening) * 800_000_000 + seen.len() as i64,
                });
            }
        }
        seen
    }

    fn shares(&self, by_hand: bool, kind: potwatch::kitchen::StationKind) -> Option<Group> {
        if by_hand {
            return Some(Group::Cook { cook: "kim".to_owned() });
        }
        let kitchen = &self.evening.kitchen;
        let station = kitchen.stations.iter().find(|s| s.kind == kind && kind.heats())?;
        Some(Group::Station { kitchen: kitchen.id.clone(), station: station.id.clone() })
    }

    fn took(&self, evening: u32, name: &str, shares: Option<&Group>, m: Minutes) -> f64 {
        let log = |n: u32| f64::from(n.max(1)).ln();
        // Of a standard normal a tenth lies beyond 1.2816.
        let (below, above) =
            ((log(m.likely) - log(m.low)) / 1.2816, (log(m.high) - log(m.likely)) / 1.2816);
        let both = f64::midpoint(below, above);
        let usual = self.habits.usual * both * self.normal(0, name);
        let chance = self.normal(evening, name);
        let chance = self.habits.chance * chance * if chance < 0.0 { below } else { above };
        let (group, night) = match shares {
            None => (0.0, 0.0),
            Some(group) => {
                let night = self.habits.evening * self.normal(evening, &group.words());
                match group {
                    Group::Station { .. } => (self.habits.station, night),
                    Group::Cook { .. } => (self.habits.hands, night),
                }
            }
        };
        let minutes = f64::from(m.likely.max(1)) * (group + usual + night + chance).exp();
        let slip = Luck::of(self.seed ^ 99, evening)
            .number(mix(name.len() as u64) ^ mix(name.bytes().map(u64::from).sum()));
        let slips = self.habits.slips > 0 && slip < 1.0 / self.habits.slips as f64;
        // Marks are to the half minute or so.
        (2.0 * minutes * if slips { 2.0 } else { 1.0 }).round().max(1.0) / 2.0
    }
}
