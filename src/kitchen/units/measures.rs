//! Which cup a recipe means.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The system of measures that a recipe's spoons, cups and pints belong to.
/// Grams, ounces and pounds mean the same in all of them (but on US labels).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Measures {
    /// US customary: a cup of 236.588 ml, a tablespoon of 14.787 ml, a pint of 473.176 ml.
    #[default]
    UsCustomary,
    /// US nutrition labels: a cup of 240 ml, a tablespoon of 15 ml, an ounce of 28 g.
    UsLabel,
    /// Metric: a cup of 250 ml, a tablespoon of 15 ml, a teaspoon of 5 ml; pints are imperial.
    Metric,
    /// Imperial: a cup of 284.131 ml (10 fl oz), a pint of 568.261 ml; spoons as in metric.
    Imperial,
    /// Australian: as metric, but with a tablespoon of 20 ml.
    Australian,
    /// Japanese: as metric, but with a cup of 200 ml.
    Japanese,
}

impl Measures {
    /// Every system.
    pub const ALL: [Self; 6] = [
        Self::UsCustomary,
        Self::UsLabel,
        Self::Metric,
        Self::Imperial,
        Self::Australian,
        Self::Japanese,
    ];

    /// What the cook calls it, with its cup: "US cups (236.6 ml)".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::UsCustomary => "US cups (236.6 ml)",
            Self::UsLabel => "US label cups (240 ml)",
            Self::Metric => "metric cups (250 ml)",
            Self::Imperial => "imperial cups (284.1 ml)",
            Self::Australian => "metric cups (250 ml), Australian tablespoons (20 ml)",
            Self::Japanese => "Japanese cups (200 ml)",
        }
    }

    pub(crate) fn is_default(&self) -> bool {
        *self == Self::default()
    }
}
