//! Diets, as far as the words of an item can speak against them.

use super::allergen::Allergen;
use super::item::{Item, Origin};
use super::words;

/// A diet that an item can be held against. That nothing speaks against it is
/// all that is ever known: how a food was made is not in its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Diet {
    /// Nothing of animals, honey included.
    Vegan,
    /// No meat, fish or shellfish, gelatine or rennet; milk and eggs are eaten.
    Vegetarian,
    /// No meat; fish, milk and eggs are eaten.
    Pescatarian,
    /// No wheat, rye, barley, nor oats unless labelled.
    GlutenFree,
    /// No milk.
    DairyFree,
    /// No tree nuts, no peanuts.
    NutFree,
    /// No pork.
    NoPork,
    /// No beef.
    NoBeef,
    /// No alcohol.
    NoAlcohol,
    /// Halal: can only be ruled out (pork, alcohol, meat without certificate).
    Halal,
    /// Kosher: can only be ruled out (pork, shellfish, meat without certificate).
    Kosher,
}

impl Diet {
    /// Every diet.
    pub const ALL: [Self; 11] = [
        Self::Vegan,
        Self::Vegetarian,
        Self::Pescatarian,
        Self::GlutenFree,
        Self::DairyFree,
        Self::NutFree,
        Self::NoPork,
        Self::NoBeef,
        Self::NoAlcohol,
        Self::Halal,
        Self::Kosher,
    ];

    /// What the cook calls it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Vegan => "vegan",
            Self::Vegetarian => "vegetarian",
            Self::Pescatarian => "pescatarian",
            Self::GlutenFree => "no gluten",
            Self::DairyFree => "no milk",
            Self::NutFree => "no nuts",
            Self::NoPork => "no pork",
            Self::NoBeef => "no beef",
            Self::NoAlcohol => "no alcohol",
            Self::Halal => "halal",
            Self::Kosher => "kosher",
        }
    }

    /// The diet that a word of a party or recipe file means.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        let key = words::key(word).join(" ");
        Some(match key.as_str() {
            "vegan" | "plant based" => Self::Vegan,
            "vegetarian" | "veggie" | "lacto ovo vegetarian" => Self::Vegetarian,
            "pescatarian" | "pescetarian" => Self::Pescatarian,
            "gluten free" | "no gluten" | "coeliac" | "celiac" => Self::GlutenFree,
            "dairy free" | "no dairy" | "lactose free" | "no milk" | "low lactose" => {
                Self::DairyFree
            }
            "nut free" | "no nut" => Self::NutFree,
            "no pork" | "pork free" => Self::NoPork,
            "no beef" | "beef free" | "hindu" => Self::NoBeef,
            "no alcohol" | "alcohol free" => Self::NoAlcohol,
            "halal" => Self::Halal,
            "kosher" => Self::Kosher,
            _ => return None,
        })
    }

    /// Can it only be ruled out by an item's name, never be met?
    #[must_use]
    pub const fn only_ruled_out(self) -> bool {
        matches!(self, Self::Halal | Self::Kosher)
    }

    /// Does an allergen break it?
    pub(super) const fn forbids(self, allergen: Allergen) -> bool {
        use Allergen as A;
        let animal = matches!(allergen, A::Fish | A::Crustaceans | A::Molluscs);
        match self {
            Self::Vegan => animal || matches!(allergen, A::Milk | A::Egg),
            Self::Vegetarian => animal,
            Self::GlutenFree => matches!(allergen, A::Wheat | A::Gluten),
            Self::DairyFree => matches!(allergen, A::Milk),
            Self::NutFree => matches!(allergen, A::TreeNuts | A::Peanut),
            Self::Kosher => matches!(allergen, A::Crustaceans | A::Molluscs),
            Self::Pescatarian | Self::NoPork | Self::NoBeef | Self::NoAlcohol | Self::Halal => {
                false
            }
        }
    }

    /// Does something of an animal break it? `None`: its certificate or label tells.
    pub(super) const fn forbids_origin(self, origin: Origin) -> Option<bool> {
        use Origin as O;
        Some(match self {
            Self::Vegan => true,
            Self::Vegetarian => !matches!(origin, O::Honey),
            Self::Pescatarian => !matches!(origin, O::Honey | O::Rennet),
            Self::GlutenFree | Self::DairyFree | Self::NutFree | Self::NoAlcohol => false,
            Self::NoPork => match origin {
                O::Pork => true,
                O::Gelatine | O::Meat => return None,
                _ => false,
            },
            Self::NoBeef => match origin {
                O::Beef => true,
                O::Gelatine | O::Meat | O::Rennet => return None,
                _ => false,
            },
            Self::Halal | Self::Kosher => match origin {
                O::Pork => true,
                O::Honey => false,
                O::Insect if matches!(self, Self::Kosher) => true,
                _ => return None,
            },
        })
    }

    /// Does alcohol break it?
    pub(super) const fn forbids_alcohol(self) -> bool {
        matches!(self, Self::NoAlcohol | Self::Halal)
    }

    /// Could something unlisted in a made-up food break it?
    pub(super) fn label_matters(self, item: &Item) -> bool {
        // Bread and mustard hide milk or egg; whether they hide pork or alcohol is rarer,
        // and the table lists where it is known.
        item.read_label && !matches!(self, Self::NoAlcohol | Self::NoPork | Self::NoBeef)
    }
}
