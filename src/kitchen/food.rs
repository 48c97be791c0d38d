//! What kind of food a dish is, as far as keeping it safe goes.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The kind of food that decides which least inner temperature and which
/// keeping rules apply. The figures are in the guidance profile, not here.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum FoodClass {
    /// Any bird: whole, parts or ground, and stuffing.
    Poultry,
    /// Ground or otherwise broken-up meat.
    GroundMeat,
    /// Whole cuts of beef, pork, veal or lamb.
    WholeMeat,
    /// Fish and shellfish.
    Fish,
    /// Dishes in which egg is the main thing.
    EggDish,
    /// Mixed baked dishes and casseroles.
    Casserole,
    /// Cooked rice, beans, pasta, potatoes, vegetables.
    CookedPlant,
    /// Milk, cream, soft cheese, yoghurt and what is made of them.
    Dairy,
    /// Cut melon, leafy greens, tomatoes, sprouts and salads of them.
    CutProduce,
    /// Food cooked on an earlier day.
    Leftovers,
    /// Bread, dry cake, biscuits, crackers, whole nuts.
    BakedDry,
    /// Anything else.
    Other,
}

/// A documented reason why a food need not be kept hot or cold. Food that is
/// not said to be exempt counts as perishable.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Exemption {
    /// Baked dry all through, like crackers and crisp biscuits: water activity
    /// below 0.88 (Food Code 2022, 1-201.10(B), table B). Ordinary bread is moister.
    DryBaked,
    /// Plain bread and rolls, nothing moist in or on them: common practice, no
    /// source; shown to the cook as that.
    PlainBread,
    /// Unopened, hermetically sealed, commercially sterile (Food Code 2022, 1-201.10(B)).
    ShelfStableSealed,
    /// Honey, hard candy and the like: water activity below 0.88 (Food Code
    /// 2022, 1-201.10(B), table B).
    HighSugar,
    /// Commercial hard cheese (Food Code 2022, 3-501.17(G)). That clause waives
    /// the date mark only: the cheese still counts as perishable out of the fridge.
    HardCheese,
    /// Whole, uncut fruit or vegetables: not in the definition (Food Code 2022, 1-201.10(B)).
    WholeProduce,
}
