//! What a form knows of the world around it: the shelves, the day, the customs.

use std::collections::BTreeSet;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::kind::Reader;
use crate::kitchen::check::HoldLimits;
use crate::kitchen::id::spelled;
use crate::kitchen::{Customs, Kitchen, Party, Recipe, Settings};

/// The kinds of thing that forms are for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Sort {
    /// A party.
    Party,
    /// A recipe.
    Recipe,
    /// A kitchen.
    Kitchen,
    /// The cook's settings.
    Settings,
}

impl Sort {
    /// All of them, in the order of the desk.
    pub const ALL: [Self; 4] = [Self::Party, Self::Recipe, Self::Kitchen, Self::Settings];

    /// One of them, inside a sentence.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Party => "party",
            Self::Recipe => "recipe",
            Self::Kitchen => "kitchen",
            Self::Settings => "settings",
        }
    }

    /// The text of a file of this kind; why not, if the tree is not one.
    pub fn file_text(self, value: &Value) -> Result<String, String> {
        fn text<T: for<'a> Deserialize<'a> + Serialize>(value: &Value) -> Result<String, String> {
            let typed: T = serde_json::from_value(value.clone()).map_err(|e| e.to_string())?;
            serde_json::to_string_pretty(&typed).map(|t| t + "\n").map_err(|e| e.to_string())
        }
        match self {
            Self::Party => text::<Party>(value),
            Self::Recipe => text::<Recipe>(value),
            Self::Kitchen => text::<Kitchen>(value),
            Self::Settings => text::<Settings>(value),
        }
    }
}

/// The shelves, the day and the customs of the cook.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// Recipes, the cook's own before the built-in ones.
    pub recipes: Vec<Recipe>,
    /// Kitchens, the cook's own before the built-in ones.
    pub kitchens: Vec<Kitchen>,
    /// The cook's own parties.
    pub parties: Vec<Party>,
    /// The cook's settings.
    pub settings: Settings,
    /// Which of them are the cook's own.
    pub own: BTreeSet<(Sort, String)>,
    /// Files of the shelf that cannot be read: what, its name, and why.
    pub broken: Vec<(Sort, String, String)>,
    /// Things with changes that are not saved yet.
    pub drafts: BTreeSet<(Sort, Option<String>)>,
    /// The limits of hot holding that a check needs.
    pub limits: Vec<HoldLimits>,
    /// How things are read and written, and the day.
    pub reader: Reader,
}

impl PartialEq for Reader {
    fn eq(&self, other: &Self) -> bool {
        self.customs == other.customs && self.today == other.today
    }
}

impl Known {
    /// Nothing on any shelf.
    #[must_use]
    pub fn nothing(customs: Customs, today: NaiveDate) -> Self {
        Self {
            recipes: Vec::new(),
            kitchens: Vec::new(),
            parties: Vec::new(),
            settings: Settings::default(),
            own: BTreeSet::new(),
            broken: Vec::new(),
            drafts: BTreeSet::new(),
            limits: Vec::new(),
            reader: Reader { customs, today },
        }
    }

    /// A recipe by its id; the cook's own first.
    #[must_use]
    pub fn recipe(&self, id: &str) -> Option<&Recipe> {
        self.recipes.iter().find(|r| r.id == id)
    }

    /// A kitchen by its id; the cook's own first.
    #[must_use]
    pub fn kitchen(&self, id: &str) -> Option<&Kitchen> {
        self.kitchens.iter().find(|k| k.id == id)
    }

    /// Is it the cook's own?
    #[must_use]
    pub fn is_own(&self, sort: Sort, id: &str) -> bool {
        self.own.contains(&(sort, id.to_owned()))
    }
}

/// An id made of a name: lower-case letters, digits and `-`; `usual` if
/// nothing of the name can stand in one.
#[must_use]
pub fn slug(name: &str, usual: &str) -> String {
    let id: String = spelled(name).chars().take(32).collect();
    let id = id.trim_end_matches('-');
    if id.is_empty() { usual.to_owned() } else { id.to_owned() }
}
