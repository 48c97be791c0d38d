//! In which order the board is used, and what is washed between.
//!
//! Raw meat, fish, poultry and eggs come after everything that is eaten as it is,
//! and nothing comes after them on a board that was not washed (FDA Food Code
//! 2022, 3-302.11 and 4-602.11, from memory: raw animal food apart from food that
//! is ready to eat; surfaces cleaned between kinds of raw animal food and before
//! anything ready to eat). That mild things come before strong ones, and what
//! holds an allergen after what does not, is common practice, no source.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::kitchen::Kept;
use crate::kitchen::items::{self, Allergen, Item, Origin, Raw, SoldBy};

/// What a job leaves on the board, in the order in which jobs are done.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Board {
    /// Herbs, and fruit that is zested or juiced.
    Herbs,
    /// Fruit and vegetables.
    Plants,
    /// Onion, garlic, chilli: what is cut after them tastes of them.
    Strong,
    /// What holds an allergen: nuts, cheese, bread.
    Allergen,
    /// Raw fish and shellfish.
    Fish,
    /// Raw meat.
    Meat,
    /// Raw poultry and eggs.
    Poultry,
}

/// Their smell stays on the board. Common practice, no source.
const STRONG: [&str; 9] = [
    "onion",
    "red onion",
    "spring onion",
    "shallot",
    "garlic",
    "leek",
    "chives",
    "grated horseradish",
    "ginger root",
];

impl Board {
    /// Where something belongs that the table does not have: as its words sound, a plant if by none.
    #[must_use]
    pub fn of_words(words: &str) -> Self {
        match items::sounds_raw(words) {
            Some(Raw::Fish) => Self::Fish,
            Some(Raw::Poultry) => Self::Poultry,
            Some(Raw::Meat) => Self::Meat,
            None => Self::Plants,
        }
    }

    /// Where an item belongs.
    #[must_use]
    pub fn of(item: &Item, cut: &str) -> Self {
        let holds = |allergens: &[Allergen]| allergens.iter().any(|a| item.contains.contains(a));
        if item.raw {
            return if holds(&[Allergen::Fish, Allergen::Crustaceans, Allergen::Molluscs]) {
                Self::Fish
            } else if holds(&[Allergen::Egg]) || item.of.contains(&Origin::Poultry) {
                Self::Poultry
            } else {
                Self::Meat
            };
        }
        if !item.contains.is_empty() && !holds(&[Allergen::Celery]) {
            return Self::Allergen;
        }
        if item.heat > 0 || STRONG.contains(&item.name.as_str()) {
            return Self::Strong;
        }
        if item.sold_by == SoldBy::Bunch || cut == "zested" || cut == "juiced" {
            return Self::Herbs;
        }
        Self::Plants
    }

    /// It is raw animal food.
    #[must_use]
    pub const fn is_raw(self) -> bool {
        matches!(self, Self::Fish | Self::Meat | Self::Poultry)
    }

    /// What is washed between a job of this kind and the next of another; nothing
    /// where wiping the board is enough.
    #[must_use]
    pub const fn wash_before(self, next: Self) -> Option<&'static str> {
        match (self.is_raw(), next) {
            (true, _) => Some("Wash board, knife and hands, hot and with soap: raw food was on it"),
            (false, Self::Fish | Self::Meat | Self::Poultry) => {
                Some("A clean board for raw food, apart from all that is ready")
            }
            (false, Self::Allergen) => {
                Some("Wash board, knife and hands before what holds an allergen")
            }
            (false, _) => None,
        }
    }

    /// Its name for a heading.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Herbs => "Herbs, zest and juice",
            Self::Plants => "Fruit and vegetables",
            Self::Strong => "Onion, garlic and what else is strong",
            Self::Allergen => "What holds an allergen",
            Self::Fish => "Raw fish",
            Self::Meat => "Raw meat",
            Self::Poultry => "Raw poultry and eggs",
        }
    }
}

/// Where it waits once it is cut: cold if it was, and what must be kept cold
/// from the cut on (FDA Food Code 2022, 1-201.10: cut melons, cut tomatoes, cut
/// leafy greens).
pub(in crate::mise) fn waits(words: &str, item: Option<&Item>, kept: Kept) -> Kept {
    const COLD_ONCE_CUT: [&str; 10] = [
        "tomato",
        "plum tomato",
        "cherry tomato",
        "melon",
        "watermelon",
        "lettuce",
        "spinach",
        "kale",
        "rocket",
        "white cabbage",
    ];
    let cold = match item {
        Some(item) => item.raw || COLD_ONCE_CUT.contains(&item.name.as_str()),
        None => items::sounds_raw(words).is_some(),
    };
    let own = item.map_or(Kept::Cupboard, |i| i.kept);
    if cold || kept != Kept::Cupboard || own != Kept::Cupboard {
        Kept::Fridge
    } else {
        Kept::Cupboard
    }
}
