//! What an amount weighs, by a named row of the table and never by a guess.

use super::item::{Item, Measure};
use super::source::Source;
use crate::kitchen::units::{Dimension, Exact, Measures, Unit};

/// An amount of an item as a recipe has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Amount<'a> {
    /// How much.
    pub amount: Exact,
    /// Of what unit.
    pub unit: Unit,
    /// Which cup.
    pub measures: Measures,
    /// How large a piece is, if that is said.
    pub size: Option<&'a str>,
    /// How it is cut, if it is.
    pub cut: Option<&'a str>,
}

/// A weight and how it was come by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Weighed {
    /// Grams of the edible part.
    pub g: Exact,
    /// By which figure.
    pub by: HowWeighed,
}

/// The figure that turned an amount into grams.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum HowWeighed {
    /// It was a weight.
    Weight,
    /// A cup or spoon of it weighs so much: about right to a twentieth for
    /// liquids and powders, to a fifth for what is cut.
    Measure {
        /// Grams of one US cup, tablespoon or teaspoon.
        g: Exact,
        /// Of which.
        unit: Unit,
        /// Cut in which ways; empty: as it comes.
        cut: Vec<String>,
        /// By whom.
        source: Source,
    },
    /// A piece of it weighs so much.
    Piece {
        /// Grams of one.
        g: Exact,
        /// A piece, a clove, a bunch.
        unit: Unit,
        /// Of what size.
        size: Option<String>,
        /// By whom.
        source: Source,
    },
}

/// Why an amount has no weight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoWeight {
    /// No row says what a cup of it weighs when it is cut like that.
    NoMeasure,
    /// No row says what one of it weighs.
    NoPiece,
}

/// The way of cutting that a recipe's words mean, as the rows have it: "finely
/// chopped" → "chopped", "cut in matchsticks" → itself.
#[must_use]
pub fn cut_form(cut: &str) -> String {
    let lower = cut.to_lowercase();
    let finer = |w: &str| {
        !["finely", "roughly", "coarsely", "thinly", "thickly", "very", "lightly"].contains(&w)
    };
    let words: Vec<&str> =
        lower.split_whitespace().map(|w| w.trim_end_matches(',')).filter(|w| finer(w)).collect();
    match words.as_slice() {
        ["minced"] => "chopped".to_owned(),
        ["into" | "in", rest @ ..] | ["cut", "into", rest @ ..] => {
            format!("cut in {}", rest.join(" "))
        }
        _ => words.join(" "),
    }
}

impl Measure {
    /// Does the row hold for this way of cutting? Chopped and diced count as
    /// alike: where SR28 names both it gives one figure. Nothing else does.
    fn holds_for(&self, cut: Option<&str>) -> bool {
        let Some(cut) = cut.map(cut_form).filter(|c| !c.is_empty()) else {
            return self.cut.is_empty();
        };
        let alike = |own: &String| {
            *own == cut
                || (own == "chopped" && cut == "diced")
                || (own == "diced" && cut == "chopped")
        };
        self.cut.iter().any(alike)
    }
}

impl Item {
    /// Grams of the edible part.
    ///
    /// # Errors
    /// No row of the table says what it weighs.
    pub fn grams(&self, of: &Amount<'_>) -> Result<Weighed, NoWeight> {
        match (of.unit.dimension(), of.unit.base(of.measures)) {
            (Dimension::Mass, Some(g)) => Ok(Weighed { g: of.amount * g, by: HowWeighed::Weight }),
            (Dimension::Volume, Some(ml)) => {
                let row = self.measures.iter().find(|m| m.holds_for(of.cut));
                let row = row.ok_or(NoWeight::NoMeasure)?;
                // The rows are of US customary cups and spoons.
                let one = row.unit.base(Measures::UsCustomary).ok_or(NoWeight::NoMeasure)?;
                let dense = row.g.over(one).ok_or(NoWeight::NoMeasure)?;
                let by = HowWeighed::Measure {
                    g: row.g,
                    unit: row.unit,
                    cut: row.cut.clone(),
                    source: self.source(row.from.as_ref()),
                };
                Ok(Weighed { g: of.amount * ml * dense, by })
            }
            _ => {
                let one = self.weight(of.unit, of.size).ok_or(NoWeight::NoPiece)?;
                let by = HowWeighed::Piece {
                    g: one.g,
                    unit: one.unit,
                    size: one.size.clone(),
                    source: self.source(one.from.as_ref()),
                };
                Ok(Weighed { g: of.amount * one.g, by })
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::find;
    use super::*;

    fn of(amount: &str, unit: Unit, cut: Option<&'static str>) -> Amount<'static> {
        let amount = amount.parse().expect("amount");
        Amount { amount, unit, measures: Measures::UsCustomary, size: None, cut }
    }

    fn grams(item: &str, of: &Amount<'_>) -> Result<f64, NoWeight> {
        find(item).expect("item").grams(of).map(|w| w.g.to_f64())
    }

    #[test]
    fn cups_and_pieces_weigh_what_the_tables_say() {
        // USDA SR28: onions (11282), chopped 160 g a cup, medium 110 g, large 150 g.
        assert_eq!(grams("onion", &of("2", Unit::Cup, Some("chopped"))), Ok(320.0));
        assert_eq!(grams("onion", &of("2", Unit::Cup, Some("finely diced"))), Ok(320.0));
        assert_eq!(grams("onion", &of("3", Unit::Piece, None)), Ok(330.0));
        let large = Amount { size: Some("large"), ..of("2", Unit::Piece, None) };
        assert_eq!(grams("onion", &large), Ok(300.0));
        // Flour (20081): 125 g a cup; so a metric cup holds more.
        assert_eq!(grams("flour", &of("1/2", Unit::Cup, None)), Ok(62.5));
        let metric = Amount { measures: Measures::Metric, ..of("1", Unit::Cup, None) };
        let g = grams("flour", &metric).expect("row");
        assert!((g - 125.0 * 250.0 / 236.588_236_5).abs() < 1e-9, "{g}");
        assert_eq!(grams("flour", &of("1", Unit::Lb, None)), Ok(453.592_37));
    }

    #[test]
    fn nothing_is_weighed_across_ways_of_cutting() {
        assert_eq!(grams("onion", &of("1", Unit::Cup, Some("sliced"))), Err(NoWeight::NoMeasure));
        assert_eq!(grams("onion", &of("1", Unit::Cup, None)), Err(NoWeight::NoMeasure));
        assert_eq!(grams("flour", &of("1", Unit::Bunch, None)), Err(NoWeight::NoPiece));
        // SR28 has no volume for raw cashews.
        assert_eq!(grams("cashews", &of("1", Unit::Cup, None)), Err(NoWeight::NoMeasure));
    }

    /// Chopped and diced are alike, whichever of the two the row names; nothing else is.
    #[test]
    fn a_row_holds_for_its_own_way_of_cutting() {
        let ways = ["chopped", "diced", "sliced", "shredded"];
        for own in ways {
            let g = Exact::whole(100);
            let row = Measure { cut: vec![own.to_owned()], unit: Unit::Cup, g, from: None };
            for cut in ways {
                let alike = own == cut || [own, cut].iter().all(|c| ways[..2].contains(c));
                assert_eq!(row.holds_for(Some(cut)), alike, "{own}, {cut}");
            }
            assert!(!row.holds_for(None) && !row.holds_for(Some("finely")), "{own}");
        }
    }

    #[test]
    fn ways_of_cutting() {
        for (words, form) in [
            ("Finely chopped", "chopped"),
            ("minced", "chopped"),
            ("cut into wedges", "cut in wedges"),
            ("cut in wedges", "cut in wedges"),
            ("very thinly sliced", "sliced"),
        ] {
            assert_eq!(cut_form(words), form, "{words}");
        }
    }
}
