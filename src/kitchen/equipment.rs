//! A kitchen: stations and cookware. The shape of a kitchen file.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::servingware::Servingware;

/// A kitchen file, or the kitchen inside a party file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Kitchen {
    /// Short name.
    pub id: String,
    /// What the cook calls it.
    pub title: String,
    /// Where food is made and waits.
    pub stations: Vec<Station>,
    /// Pans, pots, trays, bowls.
    #[serde(default)]
    pub cookware: Vec<Cookware>,
    /// What food goes to the table in.
    #[serde(default)]
    pub servingware: Vec<Servingware>,
}

/// A place where steps are done or food waits.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Station {
    /// Short name within the kitchen.
    pub id: String,
    /// What the cook calls it.
    pub title: String,
    /// Its kind.
    pub kind: StationKind,
    /// Racks, burners, boards, shelf places: how much goes on at once. 1 to 50.
    pub slots: u32,
    /// Its thermostat, if it has one (ovens, grills; an air fryer heats at once).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thermostat: Option<Thermostat>,
    /// Usable volume in ml (slow cookers).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume_ml: Option<u32>,
}

/// The kinds of station.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum StationKind {
    /// Oven; slots are racks.
    Oven,
    /// Hob; slots are burners.
    Stovetop,
    /// Slow cooker with low, high and warm.
    SlowCooker,
    /// Air fryer; done in loads.
    AirFryer,
    /// Microwave.
    Microwave,
    /// Grill.
    Grill,
    /// Work surface; slots are boards.
    Counter,
    /// Fridge; slots are shelf places.
    Fridge,
    /// Freezer; slots are places.
    Freezer,
}

impl StationKind {
    /// All kinds, in the order in which lanes are shown.
    pub const ALL: [Self; 9] = [
        Self::Oven,
        Self::Stovetop,
        Self::SlowCooker,
        Self::AirFryer,
        Self::Microwave,
        Self::Grill,
        Self::Counter,
        Self::Fridge,
        Self::Freezer,
    ];

    /// What the cook calls it, inside a sentence.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Oven => "oven",
            Self::Stovetop => "hob",
            Self::SlowCooker => "slow cooker",
            Self::AirFryer => "air fryer",
            Self::Microwave => "microwave",
            Self::Grill => "grill",
            Self::Counter => "counter",
            Self::Fridge => "fridge",
            Self::Freezer => "freezer",
        }
    }

    /// Does it heat food (a step there ends the clock of food left at room temperature)?
    #[must_use]
    pub const fn heats(self) -> bool {
        !matches!(self, Self::Counter | Self::Fridge | Self::Freezer)
    }

    /// Does it keep food cold?
    #[must_use]
    pub const fn chills(self) -> bool {
        matches!(self, Self::Fridge | Self::Freezer)
    }
}

/// How a station with a thermostat behaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Thermostat {
    /// Lowest setting, °C.
    pub least_c: i32,
    /// Highest setting, °C.
    pub most_c: i32,
    /// How fast it heats, whole °C a minute.
    pub up_c_per_min: u32,
    /// How fast it cools, whole °C a minute.
    pub down_c_per_min: u32,
}

impl Thermostat {
    /// Whole minutes to go from one temperature to another, rounded up.
    #[must_use]
    pub fn minutes(self, from_c: i32, to_c: i32) -> i32 {
        let (change, rate) = if to_c >= from_c {
            (to_c - from_c, self.up_c_per_min)
        } else {
            (from_c - to_c, self.down_c_per_min)
        };
        let rate = i32::try_from(rate.max(1)).unwrap_or(i32::MAX);
        change / rate + i32::from(change % rate != 0)
    }
}

/// A kind of pan, pot, tray or bowl.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cookware {
    /// Short name within the kitchen.
    pub id: String,
    /// What the cook calls it.
    pub title: String,
    /// Its kind, as recipes ask for it: "sheet_tray", "stock_pot".
    pub kind: String,
    /// How many of it there are.
    pub count: u32,
    /// Usable volume in ml.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume_ml: Option<u32>,
    /// May go into an oven.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub ovenproof: bool,
}
