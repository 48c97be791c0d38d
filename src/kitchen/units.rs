//! Units of the kitchen: temperatures, exact numbers and the units of amounts,
//! and how they are read aloud.

mod exact;
mod measures;
mod say;
mod table;
mod unit;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use exact::Exact;
pub use measures::Measures;
pub use say::say;
pub use unit::{Dimension, Unit};

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
