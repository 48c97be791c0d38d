//! What can happen in an evening. Events are appended to the journal and never
//! changed; everything else is computed from them.

use serde::{Deserialize, Serialize};

use crate::kitchen::{Minute, PartyChange, StationKind};
use crate::plan::Plan;

/// An event with the time at which it was marked.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Mark {
    /// Place in the journal, from 1.
    pub seq: u64,
    /// Unix milliseconds by the wall clock when it was marked.
    pub at_ms: i64,
    /// What happened.
    pub event: Event,
}

/// A load of a step, by the ids of the party's files.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct StepId {
    /// Id of the dish.
    pub dish: String,
    /// Id of the step in its recipe.
    pub step: String,
    /// Which load, from 0.
    #[serde(default)]
    pub load: u32,
}

/// Something that happened or that the cook decided.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "what")]
pub enum Event {
    /// A step has begun, where and by whom. `ago_minutes`: so long before the mark.
    Started {
        /// Which.
        id: StepId,
        /// Index of the way.
        way: usize,
        /// Id of the station.
        station: String,
        /// Id of the cook.
        cook: Option<String>,
        /// It began so many minutes before the mark was made.
        #[serde(default)]
        ago_minutes: u32,
    },
    /// A step is done (out of the oven, off the flame).
    Done {
        /// Which.
        id: StepId,
        /// It ended so many minutes before the mark was made.
        #[serde(default)]
        ago_minutes: u32,
    },
    /// A step is left out.
    Skipped {
        /// Which.
        id: StepId,
    },
    /// A running step needs so many more minutes from the mark on.
    NeedsMore {
        /// Which.
        id: StepId,
        /// Minutes from the mark on.
        minutes: u32,
    },
    /// A temperature was taken in a dish.
    Temperature {
        /// Id of the dish.
        dish: String,
        /// °C.
        celsius: f64,
    },
    /// A finished dish was put to wait in a place.
    HeldAt {
        /// Id of the dish.
        dish: String,
        /// Index of the hold in its recipe, if the recipe names this place.
        hold: Option<usize>,
        /// The kind of place.
        place: StationKind,
        /// Id of the station.
        station: Option<String>,
    },
    /// A dish stands on the table.
    Served {
        /// Id of the dish.
        dish: String,
    },
    /// A dish has left the table or its hold for good: eaten, put away, thrown out.
    Cleared {
        /// Id of the dish.
        dish: String,
        /// What became of it.
        how: Clearing,
    },
    /// A station cannot be used.
    StationDown {
        /// Its id.
        station: String,
    },
    /// It can be used again.
    StationUp {
        /// Its id.
        station: String,
    },
    /// A thermostat was set: the pre-heat has begun.
    OvenSet {
        /// Id of the station.
        station: String,
        /// °C.
        celsius: i32,
    },
    /// A service was moved.
    ServiceMoved {
        /// Its id.
        service: String,
        /// The new minute.
        to: Minute,
    },
    /// A dish is made for another number.
    ServingsChanged {
        /// Id of the dish.
        dish: String,
        /// How many.
        servings: u32,
    },
    /// A dish is not made after all.
    DishDropped {
        /// Its id.
        dish: String,
    },
    /// A dropped dish is made after all.
    DishBack {
        /// Its id.
        dish: String,
    },
    /// The cook wants a step to start at a minute.
    Pinned {
        /// Which.
        id: StepId,
        /// When.
        at: Minute,
    },
    /// The pin is taken out.
    Unpinned {
        /// Which.
        id: StepId,
    },
    /// A step is done in a certain way, as long as that can be had.
    WaySettled {
        /// Id of the dish.
        dish: String,
        /// Id of the step in its recipe.
        step: String,
        /// Index of the way.
        way: usize,
    },
    /// A finished dish waits in a certain place, as long as that can be had.
    PlaceSettled {
        /// Id of the dish.
        dish: String,
        /// Index of the hold in its recipe.
        hold: usize,
    },
    /// A cook is there in these minutes too; one whom the party does not name joins.
    CookThere {
        /// Id of the cook.
        cook: String,
        /// What they are called, if the party does not name them.
        name: String,
        /// The first minute.
        from: Minute,
        /// The minute after the last.
        to: Minute,
    },
    /// The party is another in one thing: a dish more, other items, other guests.
    PartyChanged {
        /// What is other.
        change: PartyChange,
    },
    /// A way out was taken: all of these at once, taken back as one.
    WayTaken {
        /// The way out in words.
        words: String,
        /// What it comes down to; never another of its kind, nor a plan or an undo.
        events: Vec<Event>,
    },
    /// The cook has seen an alarm.
    AlarmAcknowledged {
        /// Its key, as [`super::Alarm::key`].
        alarm: String,
    },
    /// An alarm comes back later.
    AlarmPutOff {
        /// Its key.
        alarm: String,
        /// Unix milliseconds.
        until_ms: i64,
    },
    /// The cook says what was done about a passed safety limit.
    AlarmAnswered {
        /// Its key.
        alarm: String,
        /// What was done.
        how: Answer,
    },
    /// The party goes by another guidance from now on: every clock is counted
    /// anew by it, from the same marks.
    GuidanceChanged {
        /// Id of the profile.
        to: String,
    },
    /// A food goes by another of the guidance's rules for its time out of
    /// control, chosen before it is taken out; none: by the ordinary one again.
    RuleChosen {
        /// Id of the dish.
        dish: String,
        /// Id of the rule in the guidance.
        rule: Option<String>,
    },
    /// The air of the room (or the garden) was measured.
    AirMeasured {
        /// °C.
        celsius: f64,
    },
    /// What a step uses from the fridge was taken out before the step began.
    IngredientsOut {
        /// The step.
        id: StepId,
    },
    /// It was put back.
    IngredientsBack {
        /// The step.
        id: StepId,
    },
    /// Something happened to a part of a finished dish that was divided.
    Portion {
        /// Id of the dish.
        dish: String,
        /// Which part, 1 to 9.
        part: u32,
        /// What.
        did: PortionDid,
    },
    /// The wall clock was found to be wrong and was set back: whatever was
    /// marked before happened so much earlier by the clock as it is now.
    ClockSetBack {
        /// By how much, ms; above 0.
        by_ms: i64,
    },
    /// The screen shows this plan from now on.
    PlanAdopted {
        /// The plan.
        plan: Box<Plan>,
        /// What moved, in one line.
        moved: String,
        /// Why.
        why: String,
    },
    /// An earlier event was a mistake.
    Undone {
        /// Its place in the journal.
        seq: u64,
    },
    /// A line of a list was ticked off, or its tick was taken away.
    Ticked {
        /// Which: `buy/` and the line's id, `mise/` and the job's, `tray/` and the dish's.
        line: String,
        /// It is done.
        on: bool,
    },
    /// The evening is over.
    Finished,
}

/// What happened to a part of a dish.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", tag = "did")]
pub enum PortionDid {
    /// It was taken off the rest. Until then it shares the dish's history.
    TakenOff,
    /// It was put to wait in a place.
    HeldAt {
        /// Index of the hold in the recipe, if the recipe names this place.
        hold: Option<usize>,
        /// The kind of place.
        place: StationKind,
        /// Id of the station.
        station: Option<String>,
    },
    /// It stands on the table.
    Served,
    /// It is gone.
    Cleared {
        /// What became of it.
        how: Clearing,
    },
    /// A temperature was taken in it.
    Temperature {
        /// °C.
        celsius: f64,
    },
    /// It was put together with the rest of a dish, or with another part: from
    /// then on what is longest out counts for all of it.
    JoinedTo {
        /// Id of the dish.
        dish: String,
        /// The part; the rest of the dish if none.
        part: Option<u32>,
    },
}

/// What became of a dish.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Clearing {
    /// Nothing is left.
    Eaten,
    /// Into the fridge.
    PutAway,
    /// Thrown out.
    ThrownOut,
}

/// What was done about a passed safety limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Answer {
    /// Thrown out.
    Discarded,
    /// Kept, knowing the limit.
    KeptKnowingly,
    /// It had not been out: the marks were wrong.
    WasNeverOut,
}
