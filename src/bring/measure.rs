//! The words for units on ingredient lines: those of the kitchen, and words that
//! only say in what shape a thing comes. Which of them add up exactly.

use crate::kitchen::units::{Dimension, Exact, Measures, Unit};

/// A unit as a line writes it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnitWord {
    /// The word, in lower case and without a full stop: "tbsp", "sprigs".
    pub word: String,
    /// The kitchen's unit, if it has one for the word.
    pub unit: Option<Unit>,
    /// What the word says.
    pub kind: UnitKind,
}

/// What a unit's word says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UnitKind {
    /// A weight or a volume.
    Measure,
    /// What goods are packed in; what it holds may be told beside it.
    Pack,
    /// A piece or a part of something: clove, slice, bunch.
    Part,
    /// As much as it happens to be: pinch, handful.
    Vague,
    /// A length, of a root or a loaf: it counts nothing.
    Length,
}

/// Words that are no unit of the kitchen, or another one than they look.
const WORDS: &[(&[&str], Option<Unit>, UnitKind)] = &[
    (&["container", "containers", "tube", "tubes"], Some(Unit::Tub), UnitKind::Pack),
    (&["punnet", "punnets", "pouch", "pouches", "env"], Some(Unit::Packet), UnitKind::Pack),
    (&["tblsps", "tablesp", "tb", "tbsp's"], Some(Unit::Tbsp), UnitKind::Measure),
    (&["teasp", "tspn"], Some(Unit::Tsp), UnitKind::Measure),
    (&["lt", "lts"], Some(Unit::L), UnitKind::Measure),
    (&["onz"], Some(Unit::Oz), UnitKind::Measure),
    (&["lbr"], Some(Unit::Lb), UnitKind::Measure),
    (&["grs"], Some(Unit::G), UnitKind::Measure),
    (&["bundle", "bundles"], Some(Unit::Bunch), UnitKind::Part),
    (&["strip", "strips", "wedge", "wedges", "twist", "twists"], None, UnitKind::Part),
    (&["fillet", "fillets", "filet", "filets", "loaf", "loaves"], None, UnitKind::Part),
    (&["block", "blocks", "bar", "bars", "slab", "slabs"], None, UnitKind::Part),
    (&["chunk", "chunks", "ball", "balls", "cube", "cubes"], None, UnitKind::Part),
    (&["knob", "knobs", "pat", "pats", "splash", "splashes"], None, UnitKind::Vague),
    (&["drizzle", "glug", "glugs", "squeeze", "squirt"], None, UnitKind::Vague),
    (&["dollop", "dollops", "scoop", "scoops", "fistful"], None, UnitKind::Vague),
    (&["bar spoon", "bar spoons", "barspoon", "barspoons"], None, UnitKind::Vague),
    (&["inch", "inches", "in", "cm", "centimetre", "centimeter"], None, UnitKind::Length),
    (&["mm"], None, UnitKind::Length),
];

/// Words that the kitchen knows as units and a line does not mean as such.
const NO_UNITS: &[&str] =
    &["each", "ea", "whole", "st", "stone", "stones", "stem", "stems", "pot", "pots", "bu"];

impl UnitWord {
    /// The unit that a word stands for. `T` and `t` differ by case alone.
    #[must_use]
    pub fn of(word: &str) -> Option<Self> {
        let lower = word.trim_end_matches('.').to_lowercase();
        if NO_UNITS.contains(&lower.as_str()) {
            return None;
        }
        if let Some((_, unit, kind)) = WORDS.iter().find(|w| w.0.contains(&lower.as_str())) {
            return Some(Self { word: lower, unit: *unit, kind: *kind });
        }
        let unit = Unit::named(word)?;
        let kind = match (unit, unit.dimension()) {
            (Unit::Pinch | Unit::Dash | Unit::Drop | Unit::Handful, _) => UnitKind::Vague,
            (Unit::Stick, _) => UnitKind::Part,
            (_, Dimension::Mass | Dimension::Volume) => UnitKind::Measure,
            (_, Dimension::Container) => UnitKind::Pack,
            (_, Dimension::Count) => UnitKind::Part,
        };
        let word = match word {
            "T" => "tbsp".to_owned(),
            "t" => "tsp".to_owned(),
            _ => lower,
        };
        Some(Self { word, unit: Some(unit), kind })
    }

    /// Does it measure a weight or a volume?
    #[must_use]
    pub fn measures(&self) -> bool {
        self.kind == UnitKind::Measure
    }

    /// How many of this unit one of `other` is, where that is exact: both of one
    /// system, both weights or both volumes, or the same word.
    #[must_use]
    pub fn times(&self, other: &Self) -> Option<Exact> {
        if self.unit == other.unit && (self.unit.is_some() || self.word == other.word) {
            return Some(Exact::ONE);
        }
        let (mine, its) = (self.unit?, other.unit?);
        let same = family(mine).is_some() && family(mine) == family(its);
        let base = |unit: Unit| unit.base(Measures::default());
        if same { base(its)?.over(base(mine)?) } else { None }
    }
}

/// Units that are whole parts of one another.
const fn family(unit: Unit) -> Option<u8> {
    match unit {
        Unit::Tsp
        | Unit::Tbsp
        | Unit::FlOz
        | Unit::Cup
        | Unit::Pint
        | Unit::Quart
        | Unit::Gallon => Some(0),
        Unit::Ml | Unit::Cl | Unit::Dl | Unit::L => Some(1),
        Unit::Oz | Unit::Lb => Some(2),
        Unit::G | Unit::Kg => Some(3),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_units() {
        for (word, unit) in [
            ("cups", Some(Unit::Cup)),
            ("T", Some(Unit::Tbsp)),
            ("t", Some(Unit::Tsp)),
            ("Tbsp", Some(Unit::Tbsp)),
            ("oz.", Some(Unit::Oz)),
            ("LBS", Some(Unit::Lb)),
            ("tins", Some(Unit::Can)),
            ("leaves", Some(Unit::Leaf)),
            ("wedges", None),
        ] {
            assert_eq!(UnitWord::of(word).map(|u| u.unit), Some(unit), "{word}");
        }
        for word in ["glass", "egg", "s", "", "ts", "whole", "each"] {
            assert_eq!(UnitWord::of(word), None, "{word}");
        }
    }

    #[test]
    fn what_is_of_one_system_adds_up() {
        let times = |a, b| UnitWord::of(a)?.times(&UnitWord::of(b)?);
        assert_eq!(times("cup", "tbsp"), Exact::fraction(1, 16));
        assert_eq!(times("gal", "qt"), Exact::fraction(1, 4));
        assert_eq!(times("lb", "oz"), Exact::fraction(1, 16));
        assert_eq!(times("kg", "g"), Exact::fraction(1, 1000));
        assert_eq!(times("cup", "ml"), None);
        assert_eq!(times("cup", "oz"), None);
        assert_eq!(times("tins", "cans"), Some(Exact::ONE));
        assert_eq!(times("wedge", "strip"), None);
    }
}
