//! The cook's own settings: what they keep for every evening, in a file of their own.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Customs, Locale, OvenDial};
use crate::kitchen::clock::Hours;
use crate::kitchen::units::Degrees;

/// The settings file. What it leaves open follows the system's locale, or is as usual.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
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
    /// Id of the guidance that a new party begins with. Parties that there are keep theirs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub guidance: Option<String>,
    /// Notices sound; yes if not given. The screen shows every alarm, with or without a sound.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sound_notices: Option<bool>,
    /// Warnings sound; yes if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sound_warnings: Option<bool>,
    /// Urgent alarms sound; yes if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sound_urgent: Option<bool>,
    /// A program that is started when alarms come, by its whole path or its name, and what it is
    /// given; no shell reads it. On its input it gets the alarms that came, as
    /// `potwatch alarms --json` prints them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on_alarm: Option<Vec<String>>,
    /// The ground that colours stand on, or none at all; as the terminal says if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub colours: Option<Colours>,
    /// How far from the screen the cook works, in metres, 1 to 9. From afar big type comes to the
    /// front by itself; it does not if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(range(min = 1, max = 9))]
    pub distance_m: Option<u8>,
    /// Keep the computer awake while an evening is open; yes if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub keep_awake: Option<bool>,
}

/// The farthest that a cook can say to stand from the screen, metres.
pub const FARTHEST_M: u8 = 9;

/// The ground that colours stand on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Colours {
    /// Bright letters on a dark ground.
    Dark,
    /// Dark letters on a bright ground.
    Light,
    /// No colours: bold, reverse and underline alone.
    None,
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
