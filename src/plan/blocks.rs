//! A plan for people and programs: who does what, where and when, and what it costs.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::contact::Clean;
use super::risk::Room;
use super::situation::StepKey;
use crate::kitchen::{Hands, HoldClass, Minute, WaitPlace};

/// A whole plan. Minutes are [`Minute`]s of the party's day; ids are those of the party's files.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Plan {
    /// The minute for which it was made: nothing new starts before it.
    pub made_for: Minute,
    /// One block for each load of each step, by start.
    pub blocks: Vec<Block>,
    /// One for each dish that waits for its service.
    pub holds: Vec<HoldBlock>,
    /// Waits between steps that take a place in a fridge.
    pub waits: Vec<WaitBlock>,
    /// What each thermostat is set to over time, pre-heats and coolings included.
    pub settings: Vec<SettingBlock>,
    /// Who has which pan when.
    pub pans: Vec<PanBlock>,
    /// The services and when their dishes are served.
    pub services: Vec<ServiceLine>,
    /// What it costs, term by term.
    pub cost: Cost,
    /// No plan costs less than this.
    pub bound: i64,
    /// How good it is known to be.
    pub proof: Proof,
    /// Room that it leaves for steps that run over, beyond what its recipes ask for.
    #[serde(default, skip_serializing_if = "Room::is_empty")]
    pub room: Room,
    /// Boards, pans and the like to be changed or washed for a guest's sake, by time.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cleans: Vec<Clean>,
}

/// One load of a step on its lane.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Block {
    /// Which step.
    #[serde(flatten)]
    pub key: StepKey,
    /// Loads of the step in this way.
    pub loads: u32,
    /// Index of the way in the recipe's step.
    pub way: usize,
    /// Id of the station.
    pub station: String,
    /// Slots of the station, from 0.
    pub slots: Vec<u32>,
    /// Id of the cook, if the step asks for hands.
    pub cook: Option<String>,
    /// First minute.
    pub start: Minute,
    /// Minute after the last.
    pub end: Minute,
    /// Minutes of full attention at the start.
    pub hands_start: Minute,
    /// Minutes of full attention at the end.
    pub hands_end: Minute,
    /// Per cent of attention in between.
    pub hands_between: i32,
    /// Oven setting, °C.
    pub setting_c: Option<i32>,
    /// It has begun or is done: it stands as it happened.
    pub begun: bool,
}

impl Block {
    /// Do its two ends ask for a cook all the while?
    #[must_use]
    pub const fn all_hands(&self) -> bool {
        let length = self.end - self.start;
        self.hands_start + self.hands_end >= length && length > 0
    }

    /// Is it done by hand: does it go on only while the cook is at it?
    #[must_use]
    pub const fn by_hand(&self) -> bool {
        self.hands_between >= Hands::BY_HAND as i32 || self.all_hands()
    }
}

/// A finished dish that waits for its service.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct HoldBlock {
    /// Index of the dish.
    pub dish: usize,
    /// Index of the hold in the recipe; the number of its holds for a place that
    /// the recipe does not name (the pass, or wherever the cook put it).
    pub hold: usize,
    /// Hot, cold or at room temperature.
    pub class: HoldClass,
    /// Id of the station; empty for the pass, which takes no slot.
    pub station: String,
    /// Slots of the station, from 0.
    pub slots: Vec<u32>,
    /// First minute.
    pub from: Minute,
    /// The minute it is served.
    pub to: Minute,
    /// Oven setting, °C.
    pub setting_c: Option<i32>,
}

/// Food that waits between two steps in a place that it takes up.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WaitBlock {
    /// Index of the dish.
    pub dish: usize,
    /// Index of the step before.
    pub after_step: usize,
    /// Index of the step it waits for.
    pub before_step: usize,
    /// Where it waits.
    pub place: WaitPlace,
    /// Id of the station, where it takes a slot.
    pub station: Option<String>,
    /// Slots of the station, from 0.
    pub slots: Vec<u32>,
    /// First minute.
    pub from: Minute,
    /// Minute after the last.
    pub to: Minute,
}

/// What a thermostat does for a while.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SettingBlock {
    /// Id of the station.
    pub station: String,
    /// Heating, cooling or keeping.
    pub kind: SettingKind,
    /// First minute; for heating and cooling the minute to turn the dial.
    pub from: Minute,
    /// Minute after the last.
    pub to: Minute,
    /// Temperature at the start, °C.
    pub from_c: i32,
    /// Setting, °C.
    pub to_c: i32,
}

/// What a thermostat does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum SettingKind {
    /// On its way up: a pre-heat that the cook must start.
    Heating,
    /// On its way down.
    Cooling,
    /// At its setting.
    Keeping,
}

/// A pan in the hands of a dish.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PanBlock {
    /// Id of the cookware.
    pub cookware: String,
    /// Which of them, from 0.
    pub numbers: Vec<u32>,
    /// Index of the dish.
    pub dish: usize,
    /// First minute.
    pub from: Minute,
    /// Minute after the last.
    pub to: Minute,
}

/// A service and when each of its dishes is served.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ServiceLine {
    /// Index of the service.
    pub service: usize,
    /// When it should stand on the table.
    pub due: Minute,
    /// `(dish, ready, served)`; late dishes are served after `due`.
    pub dishes: Vec<(usize, Minute, Minute)>,
}

/// What a plan costs, term by term, in cost units; the weights are in
/// `plan::weights`. The best plan has the least sum.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Cost {
    /// Minutes by which dishes miss their services, and limits exceeded that
    /// could no longer be kept.
    pub late: i64,
    /// Holds past their free minutes, waits short of best, second-best ways.
    pub quality: i64,
    /// Too little cushion before a service.
    pub risk: i64,
    /// Long hours, idle gaps, hopping between dishes.
    pub effort: i64,
    /// How far it moved from the plan on the screen.
    pub change: i64,
    /// Last end of all (benchmark problems only).
    pub finish: i64,
}

impl Cost {
    /// The sum of the terms.
    #[must_use]
    pub const fn total(&self) -> i64 {
        self.late + self.quality + self.risk + self.effort + self.change + self.finish
    }
}

/// How good a plan is known to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Proof {
    /// No plan costs less.
    Best,
    /// At most so many thousandths above the least cost possible.
    WithinPermille(u32),
    /// The search stopped; the bound says little.
    #[default]
    Stopped,
}

/// What a reshuffle moved, in one plain line, and why.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Change {
    /// "Rolls 10 min later (18:20), pie oven first."
    pub moved: String,
    /// "Because the soup runs 8 min over."
    pub why: String,
}
