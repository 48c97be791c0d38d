//! Units of the kitchen: temperatures and amounts, and how they are read aloud.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How the cook reads temperatures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Degrees {
    /// Degrees Celsius.
    #[default]
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

impl Degrees {
    /// `180 °C` or `356 °F`, rounded to whole degrees.
    #[must_use]
    pub fn show(self, celsius: f64) -> String {
        match self {
            Self::Celsius => format!("{celsius:.0} °C"),
            Self::Fahrenheit => format!("{:.0} °F", celsius * 1.8 + 32.0),
        }
    }
}

/// The unit of an ingredient's amount.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Unit {
    /// Grams.
    G,
    /// Kilograms.
    Kg,
    /// Millilitres.
    Ml,
    /// Litres.
    L,
    /// US teaspoon, 4.929 ml.
    Tsp,
    /// US tablespoon, 14.787 ml.
    Tbsp,
    /// US cup, 236.588 ml.
    Cup,
    /// Avoirdupois ounce, 28.350 g.
    Oz,
    /// Avoirdupois pound, 453.592 g.
    Lb,
    /// Pieces: eggs, onions, lemons.
    Piece,
    /// Cloves of garlic.
    Clove,
    /// Cans or tins.
    Can,
    /// Packets.
    Packet,
    /// Bunches of herbs.
    Bunch,
    /// A pinch, to taste.
    Pinch,
}
