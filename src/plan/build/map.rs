//! What each integer of the problem stands for, and why none could be built.

use crate::kitchen::pans::Asked;
use crate::kitchen::{HoldClass, StationKind, WaitPlace};
use crate::plan::StepKey;

/// Which task, mode, hold and resource of the problem is which. Stations,
/// cooks, cookware and dishes are indexes into the evening's lists.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Map {
    /// Stations of the kitchen: the first resources.
    pub stations: usize,
    /// Cooks of the party: the next resources.
    pub cooks: usize,
    /// Entries of cookware: the last resources but for copies.
    pub cookware: usize,
    /// For each oven of the problem, its station.
    pub ovens: Vec<usize>,
    /// For each step of the problem, whose it is.
    pub steps: Vec<StepAt>,
    /// For each task, which load it is.
    pub tasks: Vec<TaskAt>,
    /// For each dish of the problem, its index in the evening.
    pub dishes: Vec<usize>,
    /// For each dish of the problem, its holds.
    pub holds: Vec<Vec<HoldAt>>,
    /// For each lag, why it is there.
    pub lags: Vec<LagWhy>,
    /// For each stay, what it is.
    pub stays: Vec<StayAt>,
    /// Resources after all of those: for each, the one that it is a copy of (see `build/begun.rs`).
    pub copies: Vec<usize>,
}

/// What a resource is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thing {
    /// Slots of a station.
    Station(usize),
    /// A cook's hands.
    Cook(usize),
    /// Pans of a kind and size.
    Cookware(usize),
}

/// A step of the problem.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepAt {
    /// Index of the dish.
    pub dish: usize,
    /// Index of the step in its recipe.
    pub step: usize,
    /// What its modes are.
    pub modes: Vec<ModeAt>,
}

/// A mode: a way at a station.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ModeAt {
    /// Index of the way in the recipe's step.
    pub way: usize,
    /// Index of the station; None only for a step that was left out.
    pub station: Option<usize>,
}

/// A task.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TaskAt {
    /// Which load of which step.
    pub key: StepKey,
    /// It only stands for the hands that a running load still wants at its
    /// end, and has no block of its own.
    pub shadow: bool,
}

/// A hold of the problem.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct HoldAt {
    /// Index of the hold in the recipe, or the number of its holds for a place
    /// that the recipe does not name.
    pub hold: usize,
    /// Index of the station; None for the pass.
    pub station: Option<usize>,
    /// How the dish is kept.
    pub class: HoldClass,
}

/// Why a lag is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LagWhy {
    /// Loads of a step follow each other.
    Loads {
        /// Index of the dish.
        dish: usize,
        /// Index of the step.
        step: usize,
    },
    /// A step follows another.
    After {
        /// Index of the dish.
        dish: usize,
        /// Index of the step before.
        before: usize,
        /// Index of the step after.
        step: usize,
    },
    /// A step waits for knife work among the steps of another dish.
    Board {
        /// Index of the dish.
        dish: usize,
        /// Index of the step.
        step: usize,
        /// Index of the dish with the knife work.
        from_dish: usize,
        /// Index of the step in which it is cut.
        from_step: usize,
    },
    /// The guidance's limit on time out of temperature control.
    Clock {
        /// Index of the dish.
        dish: usize,
    },
}

/// What a stay is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StayAt {
    /// A dish has a pan.
    Pan {
        /// Index of the dish.
        dish: usize,
        /// Index of the cookware.
        cookware: usize,
    },
    /// Food waits between two steps.
    Wait {
        /// Index of the dish.
        dish: usize,
        /// Index of the step before.
        after_step: usize,
        /// Index of the step after.
        before_step: usize,
        /// Where it waits.
        place: WaitPlace,
        /// Index of the station.
        station: usize,
    },
    /// Either of them once more, in a copy of what it takes: no block of its own.
    Copy {
        /// Index of the dish.
        dish: usize,
    },
}

impl Map {
    /// The resource of a station.
    #[must_use]
    pub const fn of_station(&self, station: usize) -> usize {
        station
    }

    /// The resource of a cook.
    #[must_use]
    pub const fn of_cook(&self, cook: usize) -> usize {
        self.stations + cook
    }

    /// The resource of an entry of cookware.
    #[must_use]
    pub const fn of_cookware(&self, cookware: usize) -> usize {
        self.stations + self.cooks + cookware
    }

    /// The copies of a resource.
    pub fn copies_of(&self, resource: usize) -> impl Iterator<Item = usize> + '_ {
        let own = self.stations + self.cooks + self.cookware;
        let copies = self.copies.iter().enumerate();
        copies.filter(move |(_, of)| **of == resource).map(move |(n, _)| own + n)
    }

    /// What a resource is.
    #[must_use]
    pub fn thing(&self, resource: usize) -> Thing {
        let copy = resource.checked_sub(self.stations + self.cooks + self.cookware);
        let resource = copy.and_then(|c| self.copies.get(c).copied()).unwrap_or(resource);
        if resource < self.stations {
            Thing::Station(resource)
        } else if resource < self.stations + self.cooks {
            Thing::Cook(resource - self.stations)
        } else {
            Thing::Cookware(resource - self.stations - self.cooks)
        }
    }
}

/// Why no problem could be built: everything that was found.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{} thing(s) cannot be done in this kitchen", .reasons.len())]
pub struct NoWay {
    /// Never empty.
    pub reasons: Vec<Reason>,
}

/// Something that cannot be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reason {
    /// No station takes a step, in any of its ways.
    Step {
        /// Index of the dish.
        dish: usize,
        /// Index of the step.
        step: usize,
        /// Why not, way by way and station by station.
        whys: Vec<WayWhy>,
    },
    /// There is no fitting pan.
    Pan {
        /// Index of the dish.
        dish: usize,
        /// The kind asked for.
        kind: String,
        /// What is asked of it.
        asked: Asked,
        /// It must stand an oven.
        ovenproof: bool,
    },
    /// Food must wait cold and there is no fridge to be used.
    Fridge {
        /// Index of the dish.
        dish: usize,
        /// Index of the step that it waits for.
        step: usize,
    },
    /// The recipe's own work and the time on the table take longer than the
    /// guidance lets the food be out of temperature control.
    Clock {
        /// Index of the dish.
        dish: usize,
        /// Minutes that it needs at the least, the table included.
        needs: i32,
        /// Minutes on the table among them.
        table: i32,
        /// Minutes that the guidance allows.
        limit: i32,
    },
    /// The first load of the dish cannot wait for the last one.
    Loads {
        /// Index of the dish.
        dish: usize,
        /// Minutes from the end of the first load to the end of the last, at the least.
        between: i32,
        /// The most minutes that it may wait, in any place.
        most: i32,
    },
    /// No cook has any hours.
    NoHours,
}

/// Why a way of a step cannot be had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WayWhy {
    /// The kitchen has no station of the kind.
    NoStation(StationKind),
    /// The station is out of use.
    Down(usize),
    /// The station has too few slots.
    Slots {
        /// Index of the station.
        station: usize,
        /// Slots that the way takes.
        needs: u32,
        /// Slots that it has.
        has: u32,
    },
    /// The thermostat does not reach the setting.
    Setting {
        /// Index of the station.
        station: usize,
        /// The setting, °C.
        at_c: i32,
        /// Its range, °C.
        range: (i32, i32),
    },
    /// None of the pans that the step needs may go in.
    Pan {
        /// Index of the station.
        station: usize,
        /// The kind of pan.
        kind: String,
    },
    /// The food does not fit in.
    Volume {
        /// Index of the station.
        station: usize,
        /// What the food takes, ml.
        needs_ml: u64,
        /// What the station holds, ml.
        has_ml: u32,
    },
}
