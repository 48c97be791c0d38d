//! The table of units: their names, and what each is, exactly.
//!
//! Factors of the US and imperial units: NIST Handbook 44, appendix C; the same
//! fractions come out of Pint 0.25.3 and CLDR 48 (`tests/outside/units.py`).
//! US labels: 21 CFR 101.9(b)(5)(viii). The metric cup: CLDR 48, cup-metric;
//! spoons of 5 and 15 ml: NIST SP 430. From memory: the dessertspoon, the
//! Australian tablespoon, the Japanese cup, the dash.

use super::{Dimension, Exact, Measures, Unit};

/// A unit with its names.
pub(super) struct Row {
    pub unit: Unit,
    pub dimension: Dimension,
    /// The sign for narrow places.
    pub sign: &'static str,
    /// The name of one, in lower case.
    pub one: &'static str,
    /// The name of many.
    pub many: &'static str,
    /// Other words for it.
    pub also: &'static [&'static str],
}

const fn row(
    unit: Unit,
    dimension: Dimension,
    [sign, one, many]: [&'static str; 3],
    also: &'static [&'static str],
) -> Row {
    Row { unit, dimension, sign, one, many, also }
}

/// What is counted without a name.
pub(super) const PIECE: Row = row(
    Unit::Piece,
    Dimension::Count,
    ["piece", "piece", "pieces"],
    &["pc", "pcs", "each", "ea", "whole"],
);

use Dimension::{Container, Count, Mass, Volume};

/// Every unit once.
pub(super) const ROWS: &[Row] = &[
    row(Unit::G, Mass, ["g", "gram", "grams"], &["gm", "gms", "gr", "gramme", "grammes"]),
    row(Unit::Kg, Mass, ["kg", "kilogram", "kilograms"], &["kilo", "kilos", "kgs"]),
    row(Unit::Oz, Mass, ["oz", "ounce", "ounces"], &["ozs"]),
    row(Unit::Lb, Mass, ["lb", "pound", "pounds"], &["lbs", "#"]),
    row(Unit::Stone, Mass, ["st", "stone", "stones"], &[]),
    row(Unit::Stick, Mass, ["stick", "stick", "sticks"], &[]),
    row(
        Unit::Ml,
        Volume,
        ["ml", "millilitre", "millilitres"],
        &["milliliter", "milliliters", "mls", "cc", "ccs"],
    ),
    row(Unit::Cl, Volume, ["cl", "centilitre", "centilitres"], &["centiliter", "centiliters"]),
    row(Unit::Dl, Volume, ["dl", "decilitre", "decilitres"], &["deciliter", "deciliters"]),
    row(Unit::L, Volume, ["l", "litre", "litres"], &["liter", "liters", "ltr", "ltrs"]),
    row(Unit::Drop, Volume, ["drop", "drop", "drops"], &[]),
    row(Unit::Pinch, Volume, ["pinch", "pinch", "pinches"], &[]),
    row(Unit::Dash, Volume, ["dash", "dash", "dashes"], &[]),
    row(
        Unit::Tsp,
        Volume,
        ["tsp", "teaspoon", "teaspoons"],
        &["tsps", "teaspoonful", "teaspoonfuls"],
    ),
    row(
        Unit::Dsp,
        Volume,
        ["dsp", "dessertspoon", "dessertspoons"],
        &["dstspn", "dessertspoonful", "dessertspoonfuls", "dessert spoon", "dessert spoons"],
    ),
    row(
        Unit::Tbsp,
        Volume,
        ["tbsp", "tablespoon", "tablespoons"],
        &["tbsps", "tbs", "tbl", "tblsp", "tbspn", "tablespoonful", "tablespoonfuls"],
    ),
    row(
        Unit::FlOz,
        Volume,
        ["fl oz", "fluid ounce", "fluid ounces"],
        &["fl. oz", "floz", "fl_oz", "fl ozs"],
    ),
    row(Unit::Jigger, Volume, ["jigger", "jigger", "jiggers"], &[]),
    row(Unit::Cup, Volume, ["cup", "cup", "cups"], &["cupful", "cupfuls", "c"]),
    row(Unit::Pint, Volume, ["pt", "pint", "pints"], &["pts"]),
    row(Unit::Quart, Volume, ["qt", "quart", "quarts"], &["qts"]),
    row(Unit::Gallon, Volume, ["gal", "gallon", "gallons"], &["gals"]),
    row(Unit::DryPint, Volume, ["dry pt", "dry pint", "dry pints"], &["dry_pint"]),
    row(Unit::DryQuart, Volume, ["dry qt", "dry quart", "dry quarts"], &["dry_quart"]),
    row(Unit::Peck, Volume, ["peck", "peck", "pecks"], &[]),
    row(Unit::Bushel, Volume, ["bu", "bushel", "bushels"], &[]),
    PIECE,
    row(Unit::Clove, Count, ["clove", "clove", "cloves"], &[]),
    row(Unit::Head, Count, ["head", "head", "heads"], &["bulb", "bulbs"]),
    row(Unit::Stalk, Count, ["stalk", "stalk", "stalks"], &["rib", "ribs", "stem", "stems"]),
    row(Unit::Sprig, Count, ["sprig", "sprig", "sprigs"], &[]),
    row(Unit::Leaf, Count, ["leaf", "leaf", "leaves"], &[]),
    row(Unit::Slice, Count, ["slice", "slice", "slices"], &["rasher", "rashers"]),
    row(Unit::Sheet, Count, ["sheet", "sheet", "sheets"], &[]),
    row(Unit::Ear, Count, ["ear", "ear", "ears"], &["cob", "cobs"]),
    row(Unit::Bunch, Count, ["bunch", "bunch", "bunches"], &[]),
    row(Unit::Handful, Count, ["handful", "handful", "handfuls"], &[]),
    row(Unit::Can, Container, ["can", "can", "cans"], &["tin", "tins"]),
    row(Unit::Jar, Container, ["jar", "jar", "jars"], &[]),
    row(Unit::Bottle, Container, ["bottle", "bottle", "bottles"], &[]),
    row(Unit::Carton, Container, ["carton", "carton", "cartons"], &[]),
    row(Unit::Tub, Container, ["tub", "tub", "tubs"], &["pot", "pots"]),
    row(Unit::Bag, Container, ["bag", "bag", "bags"], &[]),
    row(Unit::Box, Container, ["box", "box", "boxes"], &[]),
    row(
        Unit::Packet,
        Container,
        ["packet", "packet", "packets"],
        &[
            "package",
            "packages",
            "pkg",
            "pkgs",
            "pack",
            "packs",
            "sachet",
            "sachets",
            "envelope",
            "envelopes",
            "pkt",
            "pkts",
        ],
    ),
];

/// Millilitres of a US gallon, 231 cubic inches.
const US_GALLON: (i128, i128) = (473_176_473, 125_000);
/// Millilitres of an imperial gallon.
const IMPERIAL_GALLON: (i128, i128) = (454_609, 100);
/// Grams of a pound.
const POUND: (i128, i128) = (45_359_237, 100_000);
/// Millilitres of a US bushel, 2150.42 cubic inches.
const BUSHEL: (i128, i128) = (220_244_188_543, 6_250_000);

/// Grams or millilitres of one; 1 for what is counted.
pub(super) fn factor(unit: Unit, measures: Measures) -> Exact {
    use Measures as M;
    let us = measures == M::UsCustomary;
    // US labels give no pints: theirs are the customary ones.
    let gallon = if us || measures == M::UsLabel { US_GALLON } else { IMPERIAL_GALLON };
    match unit {
        Unit::Kg | Unit::L => Exact::whole(1000),
        Unit::Dl => Exact::whole(100),
        Unit::Cl => Exact::whole(10),
        Unit::Oz if measures == M::UsLabel => Exact::whole(28),
        Unit::Oz => part(POUND, 16),
        Unit::Lb => part(POUND, 1),
        Unit::Stone => part(POUND, 1) * Exact::whole(14),
        Unit::Stick => part(POUND, 4),
        // CLDR 48.
        Unit::Drop => part((157_725_491, 3_072_000_000), 1),
        Unit::Pinch => part((473_176_473, 2_048_000_000), 1),
        Unit::Jigger => part((1_419_529_419, 32_000_000), 1),
        Unit::Dash => part(US_GALLON, 768 * 8),
        Unit::Tsp if us => part(US_GALLON, 768),
        Unit::Tsp => Exact::whole(5),
        Unit::Dsp if us => part(US_GALLON, 384),
        Unit::Dsp => Exact::whole(10),
        Unit::Tbsp if us => part(US_GALLON, 256),
        Unit::Tbsp if measures == M::Australian => Exact::whole(20),
        Unit::Tbsp => Exact::whole(15),
        Unit::FlOz if us => part(US_GALLON, 128),
        Unit::FlOz if measures == M::UsLabel => Exact::whole(30),
        Unit::FlOz => part(IMPERIAL_GALLON, 160),
        Unit::Cup => match measures {
            M::UsCustomary => part(US_GALLON, 16),
            M::UsLabel => Exact::whole(240),
            M::Metric | M::Australian => Exact::whole(250),
            M::Imperial => part(IMPERIAL_GALLON, 16),
            M::Japanese => Exact::whole(200),
        },
        Unit::Pint => part(gallon, 8),
        Unit::Quart => part(gallon, 4),
        Unit::Gallon => part(gallon, 1),
        Unit::DryPint => part(BUSHEL, 64),
        Unit::DryQuart => part(BUSHEL, 32),
        Unit::Peck => part(BUSHEL, 4),
        Unit::Bushel => part(BUSHEL, 1),
        _ => Exact::ONE,
    }
}

fn part((numerator, denominator): (i128, i128), parts: i128) -> Exact {
    Exact::fraction(numerator, denominator * parts).unwrap_or(Exact::ONE)
}
