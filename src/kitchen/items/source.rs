//! Where a figure of the item table comes from.

use std::fmt;

use serde::{Deserialize, Serialize};

/// Where a figure comes from.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Source {
    /// USDA National Nutrient Database for Standard Reference, release 28
    /// (September 2015), weights and refuse of the food with this number.
    Sr28(String),
    /// Armed Forces Recipe Service, TM 10-412 (June 2003): a card, or the weights
    /// and measures that the recipes give side by side.
    Afrs(String),
    /// From memory, not checked against a source.
    Memory,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Sr28(number) => write!(f, "USDA SR28, food {number}"),
            Self::Afrs(card) if card.is_empty() => f.write_str("TM 10-412 (2003), recipes"),
            Self::Afrs(card) => write!(f, "TM 10-412 (2003), card {card}"),
            Self::Memory => f.write_str("from memory"),
        }
    }
}

impl TryFrom<String> for Source {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        let (kind, rest) = text.split_once(' ').unwrap_or((&text, ""));
        match kind {
            "sr28" if rest.len() == 5 && rest.bytes().all(|b| b.is_ascii_digit()) => {
                Ok(Self::Sr28(rest.to_owned()))
            }
            "afrs" => Ok(Self::Afrs(rest.to_owned())),
            "memory" if rest.is_empty() => Ok(Self::Memory),
            _ => Err(format!("\"{text}\" is not a source: sr28 NUMBER, afrs CARD or memory")),
        }
    }
}

impl From<Source> for String {
    fn from(source: Source) -> Self {
        match source {
            Source::Sr28(number) => format!("sr28 {number}"),
            Source::Afrs(card) => format!("afrs {card}").trim_end().to_owned(),
            Source::Memory => "memory".to_owned(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_source_is_read_said_and_written() {
        for (text, said) in [
            ("sr28 11282", "USDA SR28, food 11282"),
            ("afrs A-25", "TM 10-412 (2003), card A-25"),
            ("afrs", "TM 10-412 (2003), recipes"),
            ("memory", "from memory"),
        ] {
            let source = Source::try_from(text.to_owned()).expect(text);
            assert_eq!((source.to_string(), String::from(source)), (said.into(), text.into()));
        }
        for wrong in
            ["sr28 1128", "sr28 112820", "sr28 1128x", "sr28", "memory of it", "a book", ""]
        {
            assert!(Source::try_from(wrong.to_owned()).is_err(), "{wrong}");
        }
    }
}
