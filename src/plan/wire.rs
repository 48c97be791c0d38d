//! The plan for other programs: `potwatch plan PARTY.json --json`.
//!
//! One document holds the party whole (its kitchen and recipes written out),
//! the plan with ids instead of indexes, and every price that was counted, so
//! that another program can check both without this one. The schema in
//! `shared/schema/plan.schema.json` is made from these types; what the fields
//! say is the specification.
//!
//! **Time.** `…_minute` is a minute since local midnight at the start of the
//! party's day (`clock` ties minute 0 to unix time); things from minute `a` to
//! minute `b` take the minutes `a` to `b - 1`.
//!
//! **A plan is valid** if, at every minute from `made_for_minute` on, for all that
//! has not begun:
//! 1. every step of every dish stands once for each load of its way (servings
//!    divided by the way's `load_servings`, rounded up; else one), the loads in
//!    order and not overlapping, each as long as the way's likely minutes
//!    (in proportion to the servings, rounded up, where the step says so);
//! 2. a step starts at least `least_minutes` after the last load's end of each
//!    step that it comes after, and at most `most_minutes` after the first's;
//! 3. no slot of a station and no pan is had by two at a time; a pan is taken
//!    from the first start to the last end of a dish's steps that use its kind,
//!    and on to the serving if the dish waits in a hold that names the kind;
//!    food that waits cold has a fridge place from the first load's end to the
//!    last load's start;
//! 4. no cook is asked for more than 100 per cent, or outside their hours
//!    (while an evening runs, the last hours have no end);
//! 5. whatever is in a station with a thermostat has a setting within
//!    `give_c` of its `at_c`, kept for as long as it is in; between settings
//!    lie the minutes that the thermostat needs at its own rate;
//! 6. a dish is out when the first load of its last step ends, ready when the
//!    last does, served at the later of ready and due; from out to served it
//!    is in one hold, for at most its `most_minutes`;
//! 7. a perishable dish is out of temperature control for at most its
//!    `limit_minutes` between one heating and the next, or the end of its
//!    `table_minutes` after the serving.
//!
//! **The cost** is the sum of `terms`: each is `amount` times `weight`, and
//! [`Term`] says how its amount is counted.

mod chance;
mod make;
mod terms;
#[cfg(test)]
mod tests;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub use chance::{ChanceEntry, ThreatEntry};
pub use make::{plan_file, problem_file, whole_party};
pub(crate) use terms::terms;
pub use terms::{Term, TermKind};

use super::blocks::{Cost, Proof, SettingKind};
use super::problem::Problem;
use crate::kitchen::{HoldClass, Minute, Party, WaitPlace};

/// What `format` says.
pub const PLAN_FORMAT: &str = "potwatch plan 1";

/// What `format` says in an exported problem.
pub const PROBLEM_FORMAT: &str = "potwatch problem 1";

/// A plan, whole.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanFile {
    /// `potwatch plan 1`; another number means other fields.
    pub format: String,
    /// The party, with its kitchen and recipes written out.
    pub party: Party,
    /// What minute 0 is.
    pub clock: Clock,
    /// The minute for which it was made: nothing new starts before it.
    pub made_for_minute: Minute,
    /// While the evening runs: the present minute.
    pub now_minute: Option<Minute>,
    /// Services and when their dishes are served.
    pub services: Vec<ServiceEntry>,
    /// Each load of each step, by start.
    pub steps: Vec<StepEntry>,
    /// Steps that wait for knife work among the steps of another dish, which is
    /// done before they start.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub knife_waits: Vec<KnifeWait>,
    /// What is changed or washed before a step, since a guest of its dish does
    /// not eat what would be left on it; by start.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cleans: Vec<CleanEntry>,
    /// Dishes that wait for their service, by start.
    pub holds: Vec<HoldEntry>,
    /// Food that waits between two steps in a place that it takes up.
    pub waits: Vec<WaitEntry>,
    /// What each thermostat is set to over time.
    pub settings: Vec<SettingEntry>,
    /// Who has which pan when.
    pub pans: Vec<PanEntry>,
    /// Pairs of steps that the cook would rather do in one go.
    pub links: Vec<LinkEntry>,
    /// What the plan costs: the sums of the terms by their kind.
    pub cost: CostEntry,
    /// What it costs, piece by piece; pieces that cost nothing are left out.
    pub terms: Vec<Term>,
    /// No plan for this evening costs less than this.
    pub bound: i64,
    /// How good the plan is known to be.
    pub proof: ProofEntry,
}

/// Something to change or wash before a step. Only what the recipes name is
/// known: labels and guests know more.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CleanEntry {
    /// Id of the dish.
    pub dish: String,
    /// Id of its step.
    pub step: String,
    /// Its load, from 0.
    pub load: u32,
    /// What to do, in words: "change board and knife, wash hands".
    pub what: String,
    /// Id of the station or the cookware.
    pub thing: String,
    /// Its slot or number, from 0; none of a station as a whole.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub number: Option<u32>,
    /// What would be left on it.
    pub traces: Vec<TraceEntry>,
}

/// What a dish leaves on a thing and a guest of the next dish does not eat.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TraceEntry {
    /// Id of the dish that left it.
    pub dish: String,
    /// The ingredient, as its recipe names it.
    pub item: String,
    /// The guest's name.
    pub guest: String,
}

/// A step that waits for knife work among the steps of another dish.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KnifeWait {
    /// Id of the dish.
    pub dish: String,
    /// Id of its step that waits.
    pub step: String,
    /// Id of the dish among whose steps it is cut.
    pub cut_with: String,
    /// Id of that step.
    pub cut: String,
}

/// What minute 0 is, and what the wall clock shows.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Clock {
    /// Unix seconds of minute 0; minute `m` begins 60 x `m` seconds later.
    pub origin_unix_s: i64,
    /// `[unix seconds, seconds east of UTC]`: the offset that holds from then
    /// on; the first one also before.
    pub offsets: Vec<(i64, i32)>,
}

/// A service.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ServiceEntry {
    /// Id of the service.
    pub service: String,
    /// When it should stand on the table, moved or not.
    pub due_minute: Minute,
    /// Its dishes.
    pub dishes: Vec<DishEntry>,
    /// How it fares; nothing once all of it is served. The party's
    /// `on_time_percent` is what was wished for.
    pub chance: Option<ChanceEntry>,
}

/// A dish and its serving.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DishEntry {
    /// Id of the dish.
    pub dish: String,
    /// Servings made.
    pub servings: u32,
    /// End of the first load of its last step; nothing for a dish served before.
    pub out_minute: Option<Minute>,
    /// End of the last load of its last step.
    pub ready_minute: Minute,
    /// The later of due and ready.
    pub served_minute: Minute,
    /// Minutes before the service at which it would best be ready.
    pub cushion_minutes: i32,
    /// Minutes that it stands on the table.
    pub table_minutes: u32,
    /// Minutes that it may be out of temperature control, the table included;
    /// nothing for food that need not be kept hot or cold.
    pub limit_minutes: Option<i64>,
}

/// A load of a step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StepEntry {
    /// Id of the dish.
    pub dish: String,
    /// Id of the step in its recipe.
    pub step: String,
    /// Which load, from 0.
    pub load: u32,
    /// Loads that the step has.
    pub loads: u32,
    /// Which of the step's ways, from 0.
    pub way: usize,
    /// Id of the station.
    pub station: String,
    /// Which of its slots, from 0.
    pub slots: Vec<u32>,
    /// Id of the cook, if it asks for hands.
    pub cook: Option<String>,
    /// First minute.
    pub start_minute: Minute,
    /// Minute after the last.
    pub end_minute: Minute,
    /// What it asks of the cook.
    pub hands: Vec<HandsEntry>,
    /// The station's setting, °C.
    pub setting_c: Option<i32>,
    /// It has begun or is done, and stands as it happened.
    pub begun: bool,
    /// Its recipe's step was read from a text and nobody has confirmed it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub unconfirmed: bool,
}

/// A stretch of a cook's attention.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HandsEntry {
    /// First minute.
    pub from_minute: Minute,
    /// Minute after the last.
    pub to_minute: Minute,
    /// 1 to 100 per cent of the cook.
    pub percent: i32,
}

/// A finished dish that waits.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HoldEntry {
    /// Id of the dish.
    pub dish: String,
    /// Which of the recipe's holds, from 0; nothing for a place that it does
    /// not name: the pass, where a dish whose recipe names no hold may stand
    /// 2 minutes for nothing, at 5 points for each ten minutes after, and at
    /// most 10 after its last load.
    pub hold: Option<usize>,
    /// Hot, cold or at room temperature.
    pub class: HoldClass,
    /// Id of the station; nothing for the pass, which takes no slot.
    pub station: Option<String>,
    /// Which of its slots, from 0.
    pub slots: Vec<u32>,
    /// First minute.
    pub from_minute: Minute,
    /// The minute it is served.
    pub to_minute: Minute,
    /// The station's setting, °C.
    pub setting_c: Option<i32>,
}

/// Food that waits between two steps.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WaitEntry {
    /// Id of the dish.
    pub dish: String,
    /// Id of the step before.
    pub after_step: String,
    /// Id of the step that it waits for.
    pub before_step: String,
    /// Where it waits.
    pub place: WaitPlace,
    /// Id of the station.
    pub station: Option<String>,
    /// Which of its slots, from 0.
    pub slots: Vec<u32>,
    /// First minute.
    pub from_minute: Minute,
    /// Minute after the last.
    pub to_minute: Minute,
}

/// What a thermostat does for a while.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SettingEntry {
    /// Id of the station.
    pub station: String,
    /// Heating, cooling or keeping.
    pub kind: SettingKind,
    /// First minute; for heating and cooling the minute to turn the dial.
    pub from_minute: Minute,
    /// Minute after the last.
    pub to_minute: Minute,
    /// Temperature at the start, °C.
    pub from_c: i32,
    /// Setting, °C.
    pub to_c: i32,
}

/// Pans in the hands of a dish.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PanEntry {
    /// Id of the cookware.
    pub cookware: String,
    /// Which of them, from 0.
    pub numbers: Vec<u32>,
    /// Id of the dish.
    pub dish: String,
    /// First minute.
    pub from_minute: Minute,
    /// Minute after the last.
    pub to_minute: Minute,
}

/// A step that the cook would rather start just when another ends.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LinkEntry {
    /// Id of the dish.
    pub dish: String,
    /// Id of the step before.
    pub from_step: String,
    /// Id of the step after.
    pub to_step: String,
}

/// The cost by kind, in cost units, in the order in which they weigh.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CostEntry {
    /// The sum of all.
    pub total: i64,
    /// Minutes late, and limits that could no longer be kept.
    pub late: i64,
    /// Holds past their free minutes, waits short of best, second-best ways.
    pub quality: i64,
    /// Too little cushion before a service.
    pub risk: i64,
    /// Long hours, idle gaps, hopping between dishes.
    pub effort: i64,
    /// How far it moved from the plan that was on the screen.
    pub change: i64,
}

impl From<Cost> for CostEntry {
    fn from(cost: Cost) -> Self {
        let Cost { late, quality, risk, effort, change, .. } = cost;
        Self { total: cost.total(), late, quality, risk, effort, change }
    }
}

/// How good a plan is known to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", deny_unknown_fields, tag = "known")]
pub enum ProofEntry {
    /// No plan costs less.
    Best,
    /// At most so many thousandths above the least cost possible.
    Within {
        /// Thousandths.
        permille: u32,
    },
    /// The search stopped; the bound says little.
    Stopped,
}

impl From<Proof> for ProofEntry {
    fn from(proof: Proof) -> Self {
        match proof {
            Proof::Best => Self::Best,
            Proof::WithinPermille(permille) => Self::Within { permille },
            Proof::Stopped => Self::Stopped,
        }
    }
}

/// The planner's own problem, for outside solvers: `potwatch plan PARTY.json
/// --problem`. Its rules and prices are written at the head of
/// `src/plan/problem.rs`; the names say what its indexes stand for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ProblemFile {
    /// `potwatch problem 1`.
    pub format: String,
    /// What the indexes stand for.
    pub names: Names,
    /// The problem's own fields.
    #[serde(flatten)]
    pub problem: Problem,
}

/// What the indexes of a problem stand for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Names {
    /// Ids of stations, cooks and cookware.
    pub resources: Vec<String>,
    /// Ids of stations.
    pub ovens: Vec<String>,
    /// `dish/step`.
    pub steps: Vec<String>,
    /// `dish/step/load`.
    pub tasks: Vec<String>,
    /// Ids of dishes.
    pub dishes: Vec<String>,
}
