//! What is known of one item.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::allergen::Allergen;
use super::source::Source;
use crate::kitchen::Kept;
use crate::kitchen::units::{Exact, Unit};

/// One thing that recipes name and shops sell.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Item {
    /// Its name, as the shopping list has it.
    pub name: String,
    /// Other names for the same thing.
    #[serde(default)]
    pub also: Vec<String>,
    /// Where it is in the shop.
    #[serde(skip)]
    pub aisle: Aisle,
    /// Where it is kept at home until it is used.
    #[serde(default)]
    pub kept: Kept,
    /// The food of USDA SR28 that figures without a source of their own are from.
    #[serde(default)]
    pub sr28: Option<String>,
    /// How it is bought.
    #[serde(default)]
    pub sold_by: SoldBy,
    /// The item that is bought for it: lemons for lemon zest.
    #[serde(default)]
    pub comes_from: Option<String>,
    /// How much of it is left after peeling and trimming; all of it if not given.
    #[serde(default)]
    pub edible: Option<Edible>,
    /// Grams of a piece, clove, bunch …, edible part, the usual size first.
    #[serde(default)]
    pub weighs: Vec<Weight>,
    /// Grams of a cup or spoon of it, by the way it is cut.
    #[serde(default)]
    pub measures: Vec<Measure>,
    /// The packs it is sold in.
    #[serde(default)]
    pub packs: Vec<Pack>,
    /// Allergens that it holds.
    #[serde(default)]
    pub contains: Vec<Allergen>,
    /// Allergens that it often holds: read the label.
    #[serde(default)]
    pub may_contain: Vec<Allergen>,
    /// What of an animal it is, beside milk, egg, fish and shellfish, which are allergens.
    #[serde(default)]
    pub of: Vec<Origin>,
    /// What of an animal may be in it.
    #[serde(default)]
    pub may_be_of: Vec<Origin>,
    /// It is or holds alcohol.
    #[serde(default)]
    pub alcohol: bool,
    /// How hot of chilli it is: 0 not at all, 1 mild, 2 hot, 3 very hot, 4 fierce.
    #[serde(default)]
    pub heat: u8,
    /// Raw meat, poultry, fish or egg: what touches it is washed before anything else does.
    #[serde(default)]
    pub raw: bool,
    /// Made of several things: whatever is not listed may still be in it.
    #[serde(default)]
    pub read_label: bool,
    /// What else the cook should know.
    #[serde(default)]
    pub note: Option<String>,
}

/// Where things are in the shop. Our own, in the order of a walk through one.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Default,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Aisle {
    /// Fruit, vegetables, fresh herbs.
    Produce,
    /// Bread.
    Bread,
    /// Meat and poultry.
    Meat,
    /// Fish and shellfish.
    Fish,
    /// Milk, cheese, eggs and what is chilled beside them.
    Dairy,
    /// Cans, jars and stock.
    Cans,
    /// Pasta, rice, pulses, crumbs.
    Grains,
    /// Flour, sugar, chocolate.
    Baking,
    /// Salt, spices, dried herbs.
    Spices,
    /// Oil, vinegar, sauces.
    Oils,
    /// Nuts, seeds, dried fruit.
    Nuts,
    /// Frozen food.
    Frozen,
    /// Drinks.
    Drinks,
    /// Not in the table: look for it.
    #[default]
    Other,
    /// From the tap: not bought.
    Tap,
}

impl Aisle {
    /// Every aisle, in the order of the list.
    pub const ALL: [Self; 15] = [
        Self::Produce,
        Self::Bread,
        Self::Meat,
        Self::Fish,
        Self::Dairy,
        Self::Cans,
        Self::Grains,
        Self::Baking,
        Self::Spices,
        Self::Oils,
        Self::Nuts,
        Self::Frozen,
        Self::Drinks,
        Self::Other,
        Self::Tap,
    ];

    /// The head over its lines.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Produce => "Fruit, vegetables, herbs",
            Self::Bread => "Bread",
            Self::Meat => "Meat and poultry",
            Self::Fish => "Fish",
            Self::Dairy => "Milk, cheese, eggs",
            Self::Cans => "Cans, jars, stock",
            Self::Grains => "Pasta, rice, pulses",
            Self::Baking => "Baking",
            Self::Spices => "Salt and spices",
            Self::Oils => "Oil, vinegar, sauces",
            Self::Nuts => "Nuts, seeds, dried fruit",
            Self::Frozen => "Frozen",
            Self::Drinks => "Drinks",
            Self::Other => "Not in the table",
            Self::Tap => "From the tap",
        }
    }
}

/// How an item is bought.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize,
)]
#[serde(rename_all = "snake_case")]
pub enum SoldBy {
    /// In the packs that are listed.
    #[default]
    Pack,
    /// By the piece.
    Piece,
    /// Loose, by weight.
    Weight,
    /// By the bunch.
    Bunch,
    /// By the head (garlic, of which recipes take cloves).
    Head,
}

/// Part of what is bought that is left to cook with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Edible {
    /// Per cent of the weight as bought. Above 0, at most 100.
    pub percent: Exact,
    /// Where the figure is from, if not from the item's own food in SR28.
    #[serde(default)]
    pub from: Option<Source>,
}

/// What one of something weighs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Weight {
    /// A piece, a clove, a bunch …
    #[serde(default = "piece")]
    pub unit: Unit,
    /// Its size: "medium", "large".
    #[serde(default)]
    pub size: Option<String>,
    /// Grams of its edible part.
    pub g: Exact,
    /// Where the figure is from, if not from the item's own food in SR28.
    #[serde(default)]
    pub from: Option<Source>,
}

const fn piece() -> Unit {
    Unit::Piece
}

/// What a cup or spoon of it weighs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Measure {
    /// The ways it is cut for which this holds; as it comes if none is named.
    #[serde(default)]
    pub cut: Vec<String>,
    /// A US customary cup, tablespoon or teaspoon.
    pub unit: Unit,
    /// Grams of one.
    pub g: Exact,
    /// Where the figure is from, if not from the item's own food in SR28.
    #[serde(default)]
    pub from: Option<Source>,
}

/// A pack that it is sold in. Exactly one of `g`, `ml` and `pieces` is given.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Pack {
    /// "can", "bag", "bottle".
    pub name: String,
    /// Grams in it.
    #[serde(default)]
    pub g: Option<Exact>,
    /// Millilitres in it.
    #[serde(default)]
    pub ml: Option<Exact>,
    /// Pieces in it.
    #[serde(default)]
    pub pieces: Option<Exact>,
    /// It does not hold that much but makes it, with water: a stock cube.
    #[serde(default)]
    pub makes: bool,
    /// Grams in it without the liquid.
    #[serde(default)]
    pub drained_g: Option<Exact>,
    /// Where such packs are sold.
    pub sold: Market,
    /// Where the size is from; from memory if not given.
    #[serde(default)]
    pub from: Option<Source>,
}

/// Whose shops: packs differ.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Default,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Market {
    /// Grams and litres.
    #[default]
    Metric,
    /// US packs.
    Us,
}

/// What of an animal something is made of, beside the allergens.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Origin {
    /// Beef, veal.
    Beef,
    /// Pork.
    Pork,
    /// Lamb, mutton, goat.
    Lamb,
    /// Birds.
    Poultry,
    /// Game.
    Game,
    /// Other meat, or which is not said.
    Meat,
    /// Gelatine, mostly of pigs or cattle.
    Gelatine,
    /// Rennet of calves' stomachs, in some cheeses.
    Rennet,
    /// Honey.
    Honey,
    /// Colours of insects.
    Insect,
}

impl Pack {
    /// Where its size is from.
    #[must_use]
    pub fn source(&self) -> Source {
        self.from.clone().unwrap_or(Source::Memory)
    }
}

impl Item {
    /// Where a figure of this item is from.
    #[must_use]
    pub fn source(&self, own: Option<&Source>) -> Source {
        match (own, &self.sr28) {
            (Some(own), _) => own.clone(),
            (None, Some(number)) => Source::Sr28(number.clone()),
            (None, None) => Source::Memory,
        }
    }

    /// The edible part of what is bought, as a fraction of its weight. Above 0, at most 1.
    #[must_use]
    pub fn edible_share(&self) -> Exact {
        let percent = self.edible.as_ref().map_or(Exact::whole(100), |e| e.percent);
        percent.over(Exact::whole(100)).unwrap_or(Exact::ONE)
    }

    /// Grams of the edible part of one: of that size, or of the usual one.
    #[must_use]
    pub fn weight(&self, unit: Unit, size: Option<&str>) -> Option<&Weight> {
        let of_unit = || self.weighs.iter().filter(|w| w.unit == unit);
        let sized = size.and_then(|size| of_unit().find(|w| w.size.as_deref() == Some(size)));
        sized.or_else(|| of_unit().next())
    }

    /// The packs of a market, as listed.
    pub fn packs_of(&self, market: Market) -> impl Iterator<Item = &Pack> {
        self.packs.iter().filter(move |p| p.sold == market)
    }
}
