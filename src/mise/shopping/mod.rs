//! The shopping list: all dishes merged by item, raised by what is cut away,
//! less what is in the house, rounded once to something that can be bought.
//!
//! An item has one line, unless its amounts cannot be brought to one measure
//! by a named row of the item table: then each keeps its own, and the list says
//! why. `merge` puts amounts together, `buy` turns them into pieces, bunches,
//! grams and packs, `house` takes off what is there already.

mod buy;
mod house;
mod list;
mod merge;
pub mod print;
mod wording;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

pub(super) use list::{for_dish, share};
pub use list::{list, list_without};
pub(super) use wording::shared;

/// A tick off this list begins with this, the line's id follows.
pub const TICKS: &str = "buy/";

use crate::kitchen::items::{Aisle, Market};
use crate::kitchen::units::{Exact, Unit};

/// What is to be bought for an evening, in the order of a walk through the shop.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ShoppingList {
    /// The party's name.
    pub title: String,
    /// Its day, `2026-11-25`.
    pub day: String,
    /// Whose packs are reckoned with.
    pub shops: Market,
    /// The dishes it is for.
    pub dishes: Vec<ForDish>,
    /// What to buy, aisle by aisle, by name.
    pub lines: Vec<Line>,
    /// What to borrow for the day, each in words: "1 more: Baking dish, 3 l".
    pub borrow: Vec<String>,
    /// What the list cannot answer for, each a sentence.
    pub notes: Vec<String>,
}

/// A dish that is bought for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ForDish {
    /// Its id.
    pub id: String,
    /// Its letter.
    pub letter: char,
    /// Its title.
    pub title: String,
    /// Servings that are made.
    pub servings: u32,
}

/// One thing to buy.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Line {
    /// Stays the same as long as the item and its measure do: ticks hold on to it.
    pub id: String,
    /// What it is.
    pub item: String,
    /// Where it is in the shop.
    pub aisle: Aisle,
    /// The sum of what the dishes want, edible part; nothing if all want it "to taste".
    pub need: Option<Quantity>,
    /// What is taken from the house, in the measure it is bought in.
    pub in_house: Option<Quantity>,
    /// What to buy; nothing if there is enough in the house, it comes from the
    /// tap, or is only wanted to taste.
    pub buy: Option<Purchase>,
    /// What each dish wants of it.
    pub shares: Vec<Share>,
    /// Figures that were used, with their source, and what else there is to know.
    pub how: Vec<String>,
}

/// So much of something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Quantity {
    /// How much, exactly.
    pub amount: Exact,
    /// Of what.
    pub unit: Unit,
}

/// What to put into the basket.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Purchase {
    /// Before rounding: as bought, less what is in the house.
    pub exact: Exact,
    /// Rounded up, once, to what is sold.
    pub amount: Exact,
    /// The unit of both: pieces, bunches, heads, cans, grams or millilitres.
    pub unit: Unit,
    /// The packs that make it up; none for what is sold loose.
    pub packs: Vec<Packs>,
}

/// So many packs of one size.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Packs {
    /// How many.
    pub count: u32,
    /// "can", "bag".
    pub name: String,
    /// What one holds.
    pub holds: Quantity,
    /// It makes that much, with water: a stock cube.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub makes: bool,
}

/// What one dish wants of an item.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Share {
    /// Id of the dish.
    pub dish: String,
    /// Its letter.
    pub letter: char,
    /// What the recipe calls the item, where that differs from the line.
    pub words: Option<String>,
    /// How much, exactly, in the recipe's unit; nothing for "to taste".
    pub quantity: Option<Quantity>,
    /// How it is cut.
    pub cut: Option<String>,
    /// The dish does without if need be.
    pub optional: bool,
}

impl ShoppingList {
    /// Lines under their headings, as they are shown and printed: what there is to buy, aisle by aisle; then what
    /// need not be bought (in the house, to taste, from the tap).
    pub fn headed(&self) -> impl Iterator<Item = (&'static str, Vec<&Line>)> {
        // None: what need not be bought.
        let shelves = Aisle::ALL.into_iter().map(Some).chain([None]);
        shelves.filter_map(|aisle| {
            let here = |l: &&Line| l.buy.as_ref().map(|_| l.aisle) == aisle;
            let lines: Vec<&Line> = self.lines.iter().filter(here).collect();
            let head = aisle.map_or("Nothing to buy, but see that it is there", Aisle::title);
            (!lines.is_empty()).then_some((head, lines))
        })
    }
}
