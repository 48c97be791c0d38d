//! The units of amounts.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::table::{self, Row};
use super::{Exact, Measures};

/// The unit of an ingredient's amount. What a spoon, a cup or a pint holds is
/// said by the recipe's [`Measures`].
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Unit {
    /// Grams.
    G,
    /// Kilograms.
    Kg,
    /// Avoirdupois ounces, 28.350 g.
    Oz,
    /// Avoirdupois pounds, 453.592 g.
    Lb,
    /// Stones of 14 lb, 6350.293 g.
    Stone,
    /// US sticks of butter, a quarter of a pound, 113.398 g.
    Stick,
    /// Millilitres.
    Ml,
    /// Centilitres.
    Cl,
    /// Decilitres.
    Dl,
    /// Litres.
    L,
    /// Drops, 0.051 ml.
    Drop,
    /// Pinches, 0.231 ml.
    Pinch,
    /// Dashes, an eighth of a US teaspoon.
    Dash,
    /// Teaspoons: US 4.929 ml, elsewhere 5 ml.
    Tsp,
    /// Dessertspoons, two teaspoons.
    Dsp,
    /// Tablespoons: US 14.787 ml, Australia 20 ml, elsewhere 15 ml.
    Tbsp,
    /// Fluid ounces: US 29.574 ml, imperial 28.413 ml.
    FlOz,
    /// Jiggers of 1½ US fluid ounces, 44.360 ml.
    Jigger,
    /// Cups: US 236.588 ml, metric 250 ml, imperial 284.131 ml.
    Cup,
    /// Pints: US 473.176 ml, imperial 568.261 ml.
    Pint,
    /// Quarts: US 946.353 ml, imperial 1136.523 ml.
    Quart,
    /// Gallons: US 3785.412 ml, imperial 4546.09 ml.
    Gallon,
    /// US dry pints (berries), 550.610 ml.
    DryPint,
    /// US dry quarts, 1101.221 ml.
    DryQuart,
    /// US pecks, 8.810 l.
    Peck,
    /// US bushels, 35.239 l.
    Bushel,
    /// Pieces: eggs, onions, lemons.
    Piece,
    /// Cloves of garlic.
    Clove,
    /// Heads of garlic, lettuce, cabbage.
    Head,
    /// Stalks or sticks of celery, rhubarb, lemongrass.
    Stalk,
    /// Sprigs of herbs.
    Sprig,
    /// Leaves.
    Leaf,
    /// Slices and rashers.
    Slice,
    /// Sheets of pastry, pasta or gelatine.
    Sheet,
    /// Ears of corn.
    Ear,
    /// Bunches of herbs.
    Bunch,
    /// Handfuls.
    Handful,
    /// Cans or tins.
    Can,
    /// Jars.
    Jar,
    /// Bottles.
    Bottle,
    /// Cartons.
    Carton,
    /// Tubs and pots.
    Tub,
    /// Bags.
    Bag,
    /// Boxes.
    Box,
    /// Packets, sachets and envelopes.
    Packet,
}

/// What a unit measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// Mass, in grams.
    Mass,
    /// Volume, in millilitres.
    Volume,
    /// Things that are counted: pieces, cloves, bunches.
    Count,
    /// Containers that are counted: cans, packets.
    Container,
}

impl Unit {
    /// Every unit, as in the table.
    pub fn all() -> impl Iterator<Item = Self> {
        table::ROWS.iter().map(|r| r.unit)
    }

    fn row(self) -> &'static Row {
        table::ROWS.iter().find(|r| r.unit == self).unwrap_or(&table::PIECE)
    }

    /// What it measures.
    #[must_use]
    pub fn dimension(self) -> Dimension {
        self.row().dimension
    }

    /// Grams or millilitres that one of it is, exactly, in these measures;
    /// nothing for what is counted.
    #[must_use]
    pub fn base(self, measures: Measures) -> Option<Exact> {
        let counted = matches!(self.dimension(), Dimension::Count | Dimension::Container);
        (!counted).then(|| table::factor(self, measures))
    }

    /// The sign for narrow places: "tbsp", "g"; for things that are counted their name.
    #[must_use]
    pub fn sign(self) -> &'static str {
        self.row().sign
    }

    /// Its name for an amount: "clove" for one and less, "cloves" for more.
    #[must_use]
    pub fn name(self, amount: Exact) -> &'static str {
        let row = self.row();
        if amount <= Exact::ONE { row.one } else { row.many }
    }

    /// What stands after an amount: "tbsp", "g", but "1 cup" and "2 cups", for a sign that is a word is one of several like
    /// any word.
    #[must_use]
    pub fn after(self, amount: Exact) -> &'static str {
        let row = self.row();
        if row.sign == row.one { self.name(amount) } else { row.sign }
    }

    /// The unit that a word means: "tablespoons", "tbsp.", "T", "lbs", "tins".
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        let word = word.trim().trim_end_matches('.');
        // The one pair that only its case tells apart.
        match word {
            "T" => return Some(Self::Tbsp),
            "t" => return Some(Self::Tsp),
            _ => {}
        }
        let word = word.to_lowercase();
        let same = |r: &&Row| {
            r.one == word || r.many == word || r.sign == word || r.also.contains(&word.as_str())
        };
        table::ROWS.iter().find(same).map(|r| r.unit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn exact(text: &str) -> Exact {
        text.parse().expect("number")
    }

    fn base(unit: Unit, measures: Measures) -> Exact {
        unit.base(measures).expect("factor")
    }

    /// 1 gallon = 231 cubic inches, 1 inch = 2.54 cm; 1 lb = 453.59237 g; the
    /// imperial gallon = 4.54609 l; the US bushel = 2150.42 cubic inches (NIST
    /// Handbook 44, appendix C).
    #[test]
    fn factors_follow_from_the_definitions() {
        let inch = exact("2.54");
        let cubic = inch * inch * inch;
        let us = Measures::UsCustomary;
        let gallon = exact("231") * cubic;
        assert_eq!(base(Unit::Gallon, us), gallon);
        let part = |n: i64| gallon.over(Exact::whole(n)).expect("not nought");
        for (unit, parts) in [
            (Unit::Quart, 4),
            (Unit::Pint, 8),
            (Unit::Cup, 16),
            (Unit::FlOz, 128),
            (Unit::Tbsp, 256),
            (Unit::Tsp, 768),
            (Unit::Dash, 768 * 8),
        ] {
            assert_eq!(base(unit, us), part(parts), "{unit:?}");
        }
        let gallon = exact("4546.09");
        let part = |n: i64| gallon.over(Exact::whole(n)).expect("not nought");
        for (unit, parts) in [
            (Unit::Gallon, 1),
            (Unit::Quart, 4),
            (Unit::Pint, 8),
            (Unit::Cup, 16),
            (Unit::FlOz, 160),
        ] {
            assert_eq!(base(unit, Measures::Imperial), part(parts), "{unit:?}");
        }
        let bushel = exact("2150.42") * cubic;
        assert_eq!(base(Unit::Bushel, us), bushel);
        assert_eq!(base(Unit::Peck, us) * Exact::whole(4), bushel);
        assert_eq!(base(Unit::DryQuart, us) * Exact::whole(32), bushel);
        assert_eq!(base(Unit::DryPint, us) * Exact::whole(64), bushel);
        let pound = exact("453.59237");
        assert_eq!(base(Unit::Lb, us), pound);
        assert_eq!(base(Unit::Oz, us) * Exact::whole(16), pound);
        assert_eq!(base(Unit::Stick, us) * Exact::whole(4), pound);
        assert_eq!(base(Unit::Stone, us), pound * Exact::whole(14));
    }

    #[test]
    fn the_same_word_is_another_cup_elsewhere() {
        let cup = |m| base(Unit::Cup, m).to_string();
        assert_eq!(cup(Measures::UsCustomary), "236.5882365");
        // 21 CFR 101.9(b)(5)(viii).
        assert_eq!(cup(Measures::UsLabel), "240");
        assert_eq!(base(Unit::Oz, Measures::UsLabel), Exact::whole(28));
        // CLDR 48, cup-metric.
        assert_eq!(cup(Measures::Metric), "250");
        assert_eq!(cup(Measures::Imperial), "284.130625");
        assert_eq!(base(Unit::Tbsp, Measures::Australian), Exact::whole(20));
    }

    #[test]
    fn every_unit_has_one_row_and_every_word_one_unit() {
        let mut words: Vec<&str> = Vec::new();
        for row in table::ROWS {
            let mut own: Vec<&str> = row.also.to_vec();
            own.extend([row.one, row.many, row.sign]);
            own.sort_unstable();
            own.dedup();
            for word in own {
                assert!(!words.contains(&word), "\"{word}\" twice");
                assert_eq!(word, word.to_lowercase());
                assert_eq!(Unit::named(word), Some(row.unit).filter(|_| word != "t"), "{word}");
                words.push(word);
            }
        }
        let mut units: Vec<Unit> = Unit::all().collect();
        units.sort_unstable();
        units.dedup();
        assert_eq!(units.len(), table::ROWS.len());
        // Every variant has a row: its file word leads back to it.
        let schema = schemars::schema_for!(Unit).to_value().to_string();
        assert_eq!(schema.matches("\"const\"").count(), units.len());
    }

    #[test]
    fn words_of_units_are_read_in_all_their_spellings() {
        for (word, unit) in [
            ("T", Unit::Tbsp),
            ("t", Unit::Tsp),
            ("Tbsp.", Unit::Tbsp),
            ("tablespoonfuls", Unit::Tbsp),
            ("lbs", Unit::Lb),
            ("tins", Unit::Can),
            ("gal", Unit::Gallon),
            ("qt", Unit::Quart),
            ("fluid ounces", Unit::FlOz),
            ("Litre", Unit::L),
            ("sachet", Unit::Packet),
        ] {
            assert_eq!(Unit::named(word), Some(unit), "{word}");
        }
        assert_eq!(Unit::named("furlong"), None);
        assert_eq!(Unit::Clove.name(exact("1/2")), "clove");
        assert_eq!(Unit::Clove.name(exact("2")), "cloves");
    }
}
