//! What has happened so far, as the planner needs to know it.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::blocks::Plan;
use crate::kitchen::Minute;

/// One load of a step of a dish, by index.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
pub struct StepKey {
    /// Index of the dish in the evening's sheets.
    pub dish: usize,
    /// Index of the step in its recipe.
    pub step: usize,
    /// Which load, from 0.
    pub load: u32,
}

/// What has happened, in minutes of the party's day. The default is a party
/// that lies ahead, with nothing begun.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Situation {
    /// The present minute; nothing new starts before it. None: planning ahead.
    pub now: Option<Minute>,
    /// Loads that have begun, are done or were skipped.
    pub begun: BTreeMap<StepKey, Begun>,
    /// Of what is begun, what is only planned for the day before: its times can still be met.
    pub planned: BTreeSet<StepKey>,
    /// Stations that cannot be used.
    pub down: BTreeSet<String>,
    /// Temperature that a station with a thermostat has now, °C (cold if not named).
    pub oven_c: BTreeMap<String, i32>,
    /// Stations whose dial should have been turned by now and has not been.
    pub unturned: BTreeSet<String>,
    /// When each service is due, where it was moved: index of the service.
    pub service_at: BTreeMap<usize, Minute>,
    /// Dishes that will not be made.
    pub dropped: BTreeSet<usize>,
    /// Dishes that have been served.
    pub served: BTreeSet<usize>,
    /// Steps that the cook wants to start at a certain minute.
    pub pins: BTreeMap<StepKey, Minute>,
    /// Ways that the cook has settled: `(dish, step)` and the index of the way.
    /// It holds for loads that have not begun.
    pub ways: BTreeMap<(usize, usize), usize>,
    /// Places to wait that the cook has settled: dish, and the index of the hold
    /// in its recipe. It holds until the dish waits somewhere.
    pub places: BTreeMap<usize, usize>,
    /// Finished dishes that wait, and where.
    pub held: BTreeMap<usize, Held>,
    /// The plan on the screen, from which a new one should not stray far.
    pub previous: Option<Arc<Plan>>,
}

impl Situation {
    /// Has anything begun that is not merely planned for the day before?
    #[must_use]
    pub fn has_begun(&self) -> bool {
        self.begun.keys().any(|load| !self.planned.contains(load))
    }
}

/// How far a load has come.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Begun {
    /// It runs.
    Running {
        /// When it started.
        start: Minute,
        /// When it is expected to end: never before the present minute.
        end: Minute,
        /// Index of the way.
        way: usize,
        /// Id of the station.
        station: String,
        /// Id of the cook, if it asks for hands.
        cook: Option<String>,
        /// Oven setting, °C.
        setting_c: Option<i32>,
    },
    /// It is done.
    Done {
        /// When it started.
        start: Minute,
        /// When it ended.
        end: Minute,
        /// Index of the way.
        way: usize,
        /// Id of the station.
        station: String,
        /// It was left out before it began: start and end are the minute of that mark, and way and station are where
        /// it would have been.
        left_out: bool,
    },
}

/// A finished dish that waits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Held {
    /// Index of the hold in its recipe; None: a place that the recipe does not name.
    pub hold: Option<usize>,
    /// Since when.
    pub since: Minute,
    /// Id of the station.
    pub station: Option<String>,
}
