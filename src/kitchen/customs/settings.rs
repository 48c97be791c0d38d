//! The cook's own settings: what they keep for every evening, in a file of their own.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Customs, Locale, OvenDial};
use crate::kitchen::clock::Hours;
use crate::kitchen::units::Degrees;

/// The settings file. What it leaves open follows the system's locale.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    /// Degrees on the screen; a party that says otherwise is shown as it says.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub degrees: Option<Degrees>,
    /// What stands on the dial of the oven.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub oven: Option<OvenDial>,
    /// The clock: 24 hours, or 12 with am and pm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<Hours>,
    /// A comma before the tenths, not a point.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub comma: Option<bool>,
    /// Plan by the cook's own times, as past evenings have shown them; yes if not
    /// given. A party may say otherwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub own_times: Option<bool>,
}

impl Settings {
    /// The customs that follow: what is set, the locale's for the rest.
    #[must_use]
    pub fn customs(&self, locale: &Locale) -> Customs {
        let usual = locale.customs();
        Customs {
            degrees: self.degrees.unwrap_or(usual.degrees),
            oven: self.oven.unwrap_or(usual.oven),
            hours: self.hours.unwrap_or(usual.hours),
            comma: self.comma.unwrap_or(usual.comma),
        }
    }
}
