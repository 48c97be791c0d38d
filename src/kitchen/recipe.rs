//! A recipe: ingredients, steps with one or more ways to do them, and how the
//! finished dish holds. The shape of a recipe file.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::equipment::StationKind;
use super::food::{Exemption, FoodClass};
use super::servingware::Served;
use super::units::{Exact, Measures, Unit};

/// A recipe file, or the recipe inside a party file.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Recipe {
    /// Short name used by parties and events: lower-case letters, digits, `_` or `-`.
    pub id: String,
    /// The dish's name as the cook says it.
    pub title: String,
    /// Name of at most 12 letters for narrow blocks; the title's start if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub short: Option<String>,
    /// Where it belongs in a meal.
    pub course: Course,
    /// Servings that the amounts below make. 1 to 500.
    pub servings: u32,
    /// One serving in words: "a bowl", "two rolls".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub portion: Option<String>,
    /// Volume of one serving in millilitres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub portion_ml: Option<u32>,
    /// Area that one serving takes on a platter or board, in cm².
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub portion_cm2: Option<u32>,
    /// How it goes to the table; by its course if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub served: Option<Served>,
    /// Its serving dish must have a lid.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub lid: bool,
    /// Which cup and spoon the amounts mean.
    #[serde(default, skip_serializing_if = "Measures::is_default")]
    pub measures: Measures,
    /// What goes in.
    pub ingredients: Vec<Ingredient>,
    /// What is done. Exactly one step comes last: all others lead to it.
    pub steps: Vec<Step>,
    /// Ways for the finished dish to wait for its service, best first. A dish
    /// without any must go straight to the table.
    #[serde(default)]
    pub holds: Vec<Hold>,
    /// How it is heated again when it is made the day before. Without it a dish
    /// that is served hot is made on the day.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reheat: Option<Reheating>,
    /// How hot of chilli it is: 0 not at all, 1 mild, 2 hot, 3 very hot, 4 fierce; by
    /// its hottest ingredient if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heat: Option<u32>,
    /// What kind of food it is.
    pub safety: Safety,
    /// Words to the cook.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
}

impl Recipe {
    /// Is anything in it proposed that the cook has not confirmed?
    #[must_use]
    pub fn is_unconfirmed(&self) -> bool {
        self.safety.unconfirmed
            || self.steps.iter().any(|s| s.unconfirmed)
            || self.holds.iter().any(|h| h.unconfirmed)
    }
}

/// Where a dish belongs in a meal.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Course {
    /// Before the mains.
    Starter,
    /// The middle of the meal.
    Main,
    /// Beside the mains.
    Side,
    /// Sauces, gravies, dressings.
    Sauce,
    /// Bread.
    Bread,
    /// After the mains.
    Dessert,
    /// To drink.
    Drink,
}

/// One thing that goes into a dish.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Ingredient {
    /// What it is, in the words of the shopping list.
    pub item: String,
    /// How much, for the recipe's servings: 1.5, or "1 1/3"; nothing means "to taste".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amount: Option<Exact>,
    /// The amount's unit; pieces if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<Unit>,
    /// Knife work, as a past participle: "diced", "sliced".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut: Option<String>,
    /// Where it is kept until it is used.
    #[serde(default)]
    pub kept: Kept,
    /// Ids of the steps that use it; all of them if none is named.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<String>,
    /// Allergens, where the item's own list does not fit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub allergens: Option<Vec<String>>,
    /// May be left out.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub optional: bool,
    /// What may stand in for it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub swaps: Vec<Swap>,
    /// The upper end where the amount is a range: 3 of "2 to 3 cloves".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub amount_to: Option<Exact>,
    /// How large a piece is: "large", "2-inch".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<String>,
    /// What one can, packet or piece holds: 400 g of "2 x 400g tins".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pack: Option<Pack>,
    /// It goes in at more than one place of the method.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub divided: bool,
    /// What else is said of it: "at room temperature", "plus extra for dusting".
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// The line that it was read from, as the cook's page or card has it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<String>,
    /// It goes into one half of the dish only.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub half: Option<Half>,
}

/// A half of a dish that is made half and half.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Half {
    /// As the recipe has it.
    One,
    /// With other items.
    Other,
}

/// What one can, packet or piece of an ingredient holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pack {
    /// How much.
    pub amount: Exact,
    /// The amount's unit: a weight or a volume.
    pub unit: Unit,
}

/// Where an ingredient is kept until it is used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Kept {
    /// Dry and at room temperature.
    #[default]
    Cupboard,
    /// Chilled.
    Fridge,
    /// Frozen.
    Freezer,
}

/// An item that may stand in for another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Swap {
    /// The item that comes instead.
    pub item: String,
    /// The diets that the swap opens the dish to: "vegan", "gluten_free".
    #[serde(default)]
    pub opens: Vec<String>,
}

/// One step of a recipe.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// Short name within the recipe.
    pub id: String,
    /// What to do, as one sentence to the cook.
    pub text: String,
    /// One or two words for a block on the chart: "roast", "whip".
    pub label: String,
    /// Ways to do it, best first; at least one.
    pub ways: Vec<Way>,
    /// What it asks of the cook's hands.
    #[serde(default)]
    pub hands: Hands,
    /// Earlier steps of this dish that it follows.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub after: Vec<After>,
    /// Pans, pots, trays and bowls that it is done in.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cookware: Vec<CookwareNeed>,
    /// Minutes past its end at which it is overdone; nothing for steps that forgive.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub overdone_after: Option<u32>,
    /// How its minutes grow with the servings.
    #[serde(default)]
    pub grows: Growth,
    /// Measure the inner temperature at the end.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub probe: bool,
    /// Whether it cools the food to be kept, or heats kept food again: the
    /// guidance has times and temperatures for both.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub care: Option<StepCare>,
    /// It is done the day before the party.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub day_before: bool,
    /// The words of the method that it was read from, if it was brought in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub words: Option<String>,
    /// It was proposed from those words and the cook has not confirmed it yet.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub unconfirmed: bool,
}

impl Step {
    /// Its word for a block; a question mark before it until the cook has confirmed it.
    #[must_use]
    pub fn marked(&self) -> String {
        if self.unconfirmed { format!("?{}", self.label) } else { self.label.clone() }
    }

    /// Its sentence; that nobody has confirmed it, if so.
    #[must_use]
    pub fn sentence(&self) -> String {
        let mark = if self.unconfirmed { " (not confirmed yet)" } else { "" };
        format!("{}{mark}", self.text.trim())
    }

    /// Whether it ends by the clock alone, so that nobody marks its end: nothing is
    /// heated, no hands are wanted, and it forgives.
    #[must_use]
    pub fn ends_by_itself(&self, way: usize) -> bool {
        let heats = self.ways.get(way).is_none_or(|w| w.station.heats());
        let hands = self.hands.end_minutes > 0 || self.hands.between_percent > 0;
        !heats && !hands && self.overdone_after.is_none() && !self.probe
    }
}

/// What a step does for the safety of food that is kept overnight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum StepCare {
    /// Cools cooked food on its way into the fridge: the guidance's cooling times hold.
    Cools,
    /// Heats it again: the guidance's reheating temperature holds.
    Reheats,
}

/// How a dish that was made the day before is heated again.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reheating {
    /// Id of the step after which it is cooled; the last one if not given. What
    /// follows that step is done on the day, after the heating.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// Ways to heat it, best first; at least one.
    pub ways: Vec<Way>,
    /// What it asks of the cook's hands.
    #[serde(default)]
    pub hands: Hands,
    /// Pans, pots and trays that it is done in.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cookware: Vec<CookwareNeed>,
    /// What to do, as one sentence to the cook; a plain one if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
}

/// One way to do a step.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Way {
    /// The kind of station it is done at.
    pub station: StationKind,
    /// Slots (racks, burners, places) of the station that it takes for the
    /// recipe's own count of pans. Where the pans stand in it (oven, grill, hob,
    /// fridge, freezer), fewer pans take fewer, and more take more, up to what
    /// the station has.
    #[serde(default = "one")]
    pub slots: u32,
    /// How long it takes (one load, where it is done in loads).
    pub minutes: Minutes,
    /// The setting of a station with a thermostat, in °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_c: Option<i32>,
    /// How far off that setting may be, in °C either way.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub give_c: i32,
    /// The setting of a slow cooker or burner.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub setting: Option<Setting>,
    /// Servings in one load; more servings are done in loads one after another.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_servings: Option<u32>,
    /// Volume that one serving takes in the station, in ml (slow cookers).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ml_per_serving: Option<u32>,
    /// Quality points that this way costs against the best one. 0 to 1000.
    #[serde(default, skip_serializing_if = "is_nought")]
    pub points: u32,
}

fn one() -> u32 {
    1
}
fn is_zero(n: &i32) -> bool {
    *n == 0
}
fn is_nought(n: &u32) -> bool {
    *n == 0
}

/// How long a step takes: at the least, most likely and at the most.
/// A plain number in a file means all three.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(from = "MinutesInFile", into = "MinutesInFile")]
#[schemars(with = "MinutesInFile")]
pub struct Minutes {
    /// Nine evenings in ten it takes longer than this.
    pub low: u32,
    /// What the plan reckons with.
    pub likely: u32,
    /// Nine evenings in ten it takes less than this.
    pub high: u32,
}

impl Minutes {
    /// A time that does not vary.
    #[must_use]
    pub const fn exactly(minutes: u32) -> Self {
        Self { low: minutes, likely: minutes, high: minutes }
    }
}

#[derive(Debug, Clone, Copy, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
enum MinutesInFile {
    /// Always the same.
    Exactly(u32),
    /// From low to high.
    Between(MinutesBetween),
}

/// Low, likely and high minutes.
#[derive(Debug, Clone, Copy, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct MinutesBetween {
    /// Nine evenings in ten it takes longer than this.
    low: u32,
    /// What the plan reckons with.
    likely: u32,
    /// Nine evenings in ten it takes less than this.
    high: u32,
}

impl From<MinutesInFile> for Minutes {
    fn from(file: MinutesInFile) -> Self {
        match file {
            MinutesInFile::Exactly(minutes) => Self::exactly(minutes),
            MinutesInFile::Between(b) => Self { low: b.low, likely: b.likely, high: b.high },
        }
    }
}

impl From<Minutes> for MinutesInFile {
    fn from(m: Minutes) -> Self {
        if m.low == m.likely && m.likely == m.high {
            Self::Exactly(m.likely)
        } else {
            Self::Between(MinutesBetween { low: m.low, likely: m.likely, high: m.high })
        }
    }
}

/// The setting of a slow cooker or a burner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Setting {
    /// Low.
    Low,
    /// Medium.
    Medium,
    /// High.
    High,
    /// Keep warm.
    Warm,
}

/// What a step asks of one cook: full attention at its start and at its end,
/// and a share of it in between. A cook has 100 at any minute.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Hands {
    /// Minutes of full attention at the start (load, sear).
    #[serde(default)]
    pub start_minutes: u32,
    /// Minutes of full attention at the end (pull, plate).
    #[serde(default)]
    pub end_minutes: u32,
    /// Per cent in between: 100 chopping, 50 stir often, 10 look in, 0 leave alone.
    #[serde(default)]
    pub between_percent: u32,
}

impl Hands {
    /// Per cent of a cook from which on a step is done by hand: it goes on only
    /// while the cook is at it. Below that it goes on by itself.
    pub const BY_HAND: u32 = 50;
}

/// That a step follows an earlier one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct After {
    /// Id of the earlier step.
    pub step: String,
    /// Least minutes between its end and this step's start.
    #[serde(default, skip_serializing_if = "is_nought")]
    pub least_minutes: u32,
    /// Most minutes between; nothing for no limit of taste.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub most_minutes: Option<u32>,
    /// The wait that does it most good (doughs, dips, marinades, resting meat).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub best_minutes: Option<u32>,
    /// Quality points for each ten minutes short of the best wait.
    #[serde(default, skip_serializing_if = "is_nought")]
    pub short_points: u32,
    /// Where the food waits meanwhile.
    #[serde(default)]
    pub place: WaitPlace,
}

/// Where food waits between two steps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WaitPlace {
    /// On the counter: counts against the safety clock.
    #[default]
    Room,
    /// In its hot pan or the warm oven it comes from.
    Hot,
    /// In the fridge: takes one place of a fridge for as long as it waits.
    Cold,
}

/// A pan, pot, tray or bowl that a step is done in. A pan is taken from the
/// first step of the dish that uses its kind to the end of the last that does.
///
/// Count and volume are for the recipe's own servings. With a volume, count x
/// least_ml is what must be held; it goes in proportion to what is made at once
/// (a load, where the way has loads), and as few pieces are taken as will hold
/// it in equal parts: one large dish for two smaller ones, three for more guests.
/// Without a volume a count of two or more goes in proportion, rounded up, up to
/// what the kitchen has (never below the recipe's own count for that); one stays
/// one. The reckoning is in [`super::pans`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CookwareNeed {
    /// Its kind, as the kitchen calls it: "sheet_tray", "stock_pot".
    pub kind: String,
    /// How many, for the recipe's servings. With other servings, or larger ones in
    /// the kitchen, there are more or fewer.
    #[serde(default = "one")]
    pub count: u32,
    /// The least volume of each in ml, for the recipe's servings and count. Count
    /// x volume goes in proportion to the servings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least_ml: Option<u32>,
}

/// How a step's minutes grow when the dish is made for more people.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Growth {
    /// Not at all; ways with `load_servings` are done in loads.
    #[default]
    Fixed,
    /// In proportion to the servings, rounded up (knife work, shaping).
    Proportion,
}

/// A way for the finished dish to wait for its service.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Hold {
    /// The kind of station it waits at: oven, slow cooker (on warm), stovetop
    /// (lidded pot on the lowest flame), counter, fridge. It takes a slot there.
    pub place: StationKind,
    /// Kept hot, kept cold, or left at room temperature.
    pub class: HoldClass,
    /// Setting of a station with a thermostat, in °C.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at_c: Option<i32>,
    /// How far off that setting may be, in °C either way.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub give_c: i32,
    /// Minutes it waits without getting worse.
    pub free_minutes: u32,
    /// Quality points for each ten minutes after that.
    pub points: u32,
    /// The most minutes that it may wait here.
    pub most_minutes: u32,
    /// The wait that does it most good, if waiting here improves it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub best_minutes: Option<u32>,
    /// Quality points for each ten minutes short of the best wait.
    #[serde(default, skip_serializing_if = "is_nought")]
    pub short_points: u32,
    /// It waits in a pan of this kind, which the dish has used: the pan stays taken.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cookware: Option<String>,
    /// It waits in its serving dish already: that is taken so long, and goes
    /// where it waits.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub dished: bool,
    /// The words of the method that it was read from, if it was brought in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub words: Option<String>,
    /// It was proposed and the cook has not confirmed it yet.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub unconfirmed: bool,
}

/// How a waiting dish is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum HoldClass {
    /// At or above the guidance's hot-holding limit.
    Hot,
    /// At or below the guidance's cold-holding limit.
    Cold,
    /// Neither: the clock of the guidance runs.
    Room,
}

impl HoldClass {
    /// In words, of food that is there.
    #[must_use]
    pub const fn kept(self) -> &'static str {
        match self {
            Self::Hot => "kept hot",
            Self::Cold => "kept cold",
            Self::Room => "at room temperature",
        }
    }
}

/// What kind of food the dish is, for the safety rules.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Safety {
    /// Its class.
    pub class: FoodClass,
    /// The documented reason why it need not be kept hot or cold. Without one
    /// it counts as perishable.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exempt: Option<Exemption>,
    /// Minutes that it will stand on the table; the party's figure if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub table_minutes: Option<u32>,
    /// The words that the class was read from, if the recipe was brought in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub words: Option<String>,
    /// The class was proposed and the cook has not confirmed it yet.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub unconfirmed: bool,
}

#[cfg(test)]
#[path = "recipe_tests.rs"]
mod tests;
