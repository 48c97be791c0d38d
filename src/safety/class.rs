//! Which foods count as perishable, and the sentence that says why.
//!
//! The source throughout is the definition of time/temperature control for
//! safety food, FDA Food Code 2022, 1-201.10(B), read in the document. Nothing
//! is guessed from a list of ingredients: a food counts as perishable unless
//! its recipe names an [`Exemption`] that covers its [`FoodClass`].

use super::figure::{Seen, Source};
use crate::kitchen::{Exemption, FoodClass};

/// Whether a food counts as perishable, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Verdict {
    /// It has to be kept hot or cold, and the clock of the guidance counts.
    pub perishable: bool,
    /// "counted as perishable because: cooked rice, …": one line, no full stop.
    pub because: String,
    /// The text that this rests on.
    pub source: Source,
}

/// Whether a food counts as perishable: yes, unless `exempt` covers it.
#[must_use]
pub fn is_perishable(class: FoodClass, exempt: Option<Exemption>) -> bool {
    !exempt.is_some_and(|e| e.lifts_the_clock() && e.covers(class))
}

/// Whether a food counts as perishable, with the reason in words.
#[must_use]
pub fn judge(class: FoodClass, exempt: Option<Exemption>) -> Verdict {
    let perishable = is_perishable(class, exempt);
    let because = match exempt {
        None => format!("counted as perishable because: {}", class.why_perishable()),
        Some(e) if !perishable => {
            format!("not counted as perishable because the recipe says: {}", e.condition())
        }
        Some(e) if e.covers(class) => format!(
            "counted as perishable because: {}; \"{}\" lengthens the days in the fridge, \
             not the time out of it",
            class.why_perishable(),
            e.id()
        ),
        Some(e) => format!(
            "counted as perishable because: {}; \"{}\" does not cover that",
            class.why_perishable(),
            e.id()
        ),
    };
    let source = exempt.filter(|e| e.covers(class)).map_or_else(definition, Exemption::source);
    Verdict { perishable, because, source }
}

fn definition() -> Source {
    food_code("1-201.10(B)")
}

fn food_code(clause: &str) -> Source {
    Source {
        document: "FDA Food Code 2022".to_owned(),
        clause: clause.to_owned(),
        edition: "2022".to_owned(),
        seen: Seen::IssuingDocument,
    }
}

impl FoodClass {
    /// Every class.
    pub const ALL: [Self; 12] = [
        Self::Poultry,
        Self::GroundMeat,
        Self::WholeMeat,
        Self::Fish,
        Self::EggDish,
        Self::Casserole,
        Self::CookedPlant,
        Self::Dairy,
        Self::CutProduce,
        Self::Leftovers,
        Self::BakedDry,
        Self::Other,
    ];

    /// As files write it: `ground_meat`.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Self::Poultry => "poultry",
            Self::GroundMeat => "ground_meat",
            Self::WholeMeat => "whole_meat",
            Self::Fish => "fish",
            Self::EggDish => "egg_dish",
            Self::Casserole => "casserole",
            Self::CookedPlant => "cooked_plant",
            Self::Dairy => "dairy",
            Self::CutProduce => "cut_produce",
            Self::Leftovers => "leftovers",
            Self::BakedDry => "baked_dry",
            Self::Other => "other",
        }
    }

    /// Why the class counts as perishable, for the cook.
    fn why_perishable(self) -> &'static str {
        match self {
            Self::Poultry => "poultry",
            Self::GroundMeat => "ground meat",
            Self::WholeMeat => "meat",
            Self::Fish => "fish or shellfish",
            Self::EggDish => "egg dish",
            Self::Casserole => "mixed cooked dish",
            Self::CookedPlant => "cooked plant food (rice, beans, pasta, potatoes, vegetables)",
            Self::Dairy => "dairy",
            Self::CutProduce => "cut melon, leafy greens, tomatoes or sprouts",
            Self::Leftovers => "food cooked earlier",
            Self::BakedDry => "baked, and not said to be dry all through",
            Self::Other => "nothing says that it is not",
        }
    }
}

impl Exemption {
    /// Every exemption.
    pub const ALL: [Self; 6] = [
        Self::DryBaked,
        Self::PlainBread,
        Self::ShelfStableSealed,
        Self::HighSugar,
        Self::HardCheese,
        Self::WholeProduce,
    ];

    /// As files write it: `dry_baked`.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Self::DryBaked => "dry_baked",
            Self::PlainBread => "plain_bread",
            Self::ShelfStableSealed => "shelf_stable_sealed",
            Self::HighSugar => "high_sugar",
            Self::HardCheese => "hard_cheese",
            Self::WholeProduce => "whole_produce",
        }
    }

    /// What must be true of the food. The recipe's author vouches for it.
    #[must_use]
    pub fn condition(self) -> &'static str {
        match self {
            Self::DryBaked => "baked dry all through, nothing moist in or on it",
            Self::PlainBread => "plain bread, baked through, nothing moist in or on it",
            Self::ShelfStableSealed => "a sealed can, jar or pouch, sold unchilled and not opened",
            Self::HighSugar => "so sugary that it keeps unchilled, like honey or hard candy",
            Self::HardCheese => "hard cheese from a maker, at most 39 % moisture",
            Self::WholeProduce => "raw fruit or vegetables, whole and uncut",
        }
    }

    /// The text that it rests on. For [`Self::DryBaked`] and [`Self::HighSugar`]
    /// that is the line "water activity below 0.88", which holds at any pH; that
    /// a given food lies below it is the recipe author's word, since no kitchen
    /// measures it. Ordinary bread is moister than that: [`Self::PlainBread`] says
    /// that it rests on practice alone.
    #[must_use]
    pub fn source(self) -> Source {
        food_code(match self {
            Self::PlainBread => {
                return Source {
                    document: "common practice".to_owned(),
                    clause: "plain bread keeps at room temperature".to_owned(),
                    edition: "no source".to_owned(),
                    seen: Seen::FromMemory,
                };
            }
            Self::DryBaked | Self::HighSugar => "1-201.10(B), table B, water activity below 0.88",
            Self::ShelfStableSealed | Self::WholeProduce => "1-201.10(B)",
            Self::HardCheese => "3-501.17(G)",
        })
    }

    /// Whether it takes the food off the clock of time out of control. The hard
    /// cheese clause waives only the date mark: the cheese still has to be kept
    /// cold.
    #[must_use]
    pub fn lifts_the_clock(self) -> bool {
        self != Self::HardCheese
    }

    /// Whether it can be true of a food of this class. Cooked meat is never
    /// "whole produce", whatever a recipe says.
    #[must_use]
    pub fn covers(self, class: FoodClass) -> bool {
        use FoodClass::{BakedDry, CookedPlant, Dairy, Leftovers, Other};
        match self {
            Self::DryBaked | Self::PlainBread => matches!(class, BakedDry | Other),
            Self::HighSugar => matches!(class, BakedDry | CookedPlant | Other),
            Self::HardCheese => matches!(class, Dairy | Other),
            Self::WholeProduce => class == Other,
            Self::ShelfStableSealed => class != Leftovers,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn food_is_perishable_unless_an_exemption_that_covers_it_is_named() {
        for class in FoodClass::ALL {
            assert!(is_perishable(class, None), "{class:?}");
            let verdict = judge(class, None);
            assert!(verdict.because.starts_with("counted as perishable because: "));
            for exempt in Exemption::ALL {
                let verdict = judge(class, Some(exempt));
                assert_eq!(verdict.perishable, is_perishable(class, Some(exempt)));
                if !exempt.covers(class) {
                    assert!(verdict.perishable, "{class:?} {exempt:?}");
                    assert!(verdict.because.contains("does not cover"));
                }
            }
        }
    }

    /// FDA Food Code 2022, 1-201.10(B): heat-treated plant food is in the
    /// definition; table B takes out what is below 0.88 water activity.
    #[test]
    fn the_definition_of_the_food_code_holds() {
        assert!(is_perishable(FoodClass::CookedPlant, Some(Exemption::WholeProduce)));
        assert!(is_perishable(FoodClass::CutProduce, Some(Exemption::WholeProduce)));
        assert!(!is_perishable(FoodClass::Other, Some(Exemption::WholeProduce)));
        assert!(!is_perishable(FoodClass::BakedDry, Some(Exemption::DryBaked)));
        assert!(is_perishable(FoodClass::BakedDry, None));
        let verdict = judge(FoodClass::BakedDry, Some(Exemption::DryBaked));
        assert_eq!(
            verdict.because,
            "not counted as perishable because the recipe says: baked dry all through, nothing \
             moist in or on it"
        );
        assert!(verdict.source.to_string().contains("table B"));
    }

    /// 3-501.17(G) exempts hard cheese from date marking, not from 3-501.16.
    #[test]
    fn hard_cheese_is_still_kept_cold() {
        let verdict = judge(FoodClass::Dairy, Some(Exemption::HardCheese));
        assert!(verdict.perishable);
        assert!(verdict.because.contains("days in the fridge"));
        assert_eq!(verdict.source.clause, "3-501.17(G)");
    }

    #[test]
    fn ids_are_those_of_the_files() {
        for class in FoodClass::ALL {
            assert_eq!(serde_json::to_string(&class).ok(), Some(format!("\"{}\"", class.id())));
        }
        for exempt in Exemption::ALL {
            assert_eq!(serde_json::to_string(&exempt).ok(), Some(format!("\"{}\"", exempt.id())));
        }
    }
}
