//! The JSON Schemas of the cook's files, generated from the types.

use std::sync::OnceLock;

use serde_json::Value;

use crate::kitchen::{Kitchen, Party, Recipe};

/// A kind of file that the cook owns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FileKind {
    /// A party.
    Party,
    /// A recipe.
    Recipe,
    /// A kitchen.
    Kitchen,
}

impl FileKind {
    /// All kinds.
    pub const ALL: [Self; 3] = [Self::Party, Self::Recipe, Self::Kitchen];

    /// Its name: "party".
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Party => "party",
            Self::Recipe => "recipe",
            Self::Kitchen => "kitchen",
        }
    }

    /// Its schema (JSON Schema, draft 2020-12).
    #[must_use]
    pub fn schema(self) -> &'static Value {
        static PARTY: OnceLock<Value> = OnceLock::new();
        static RECIPE: OnceLock<Value> = OnceLock::new();
        static KITCHEN: OnceLock<Value> = OnceLock::new();
        match self {
            Self::Party => PARTY.get_or_init(|| schemars::schema_for!(Party).to_value()),
            Self::Recipe => RECIPE.get_or_init(|| schemars::schema_for!(Recipe).to_value()),
            Self::Kitchen => KITCHEN.get_or_init(|| schemars::schema_for!(Kitchen).to_value()),
        }
    }

    /// The schema as it stands in `shared/schema/`, with a line break at its end.
    #[must_use]
    pub fn schema_text(self) -> String {
        format!("{:#}\n", self.schema())
    }
}
