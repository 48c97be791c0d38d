//! The customs of the cook's kitchen: how temperatures, oven dials, numbers and
//! the clock are read and written there. They change words only: what is kept
//! and reckoned with stays in °C, whole minutes and exact amounts.

mod locale;
mod settings;

pub use locale::Locale;
pub use settings::{Colours, FARTHEST_M, Settings};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::clock::Hours;
use super::units::Degrees;

/// How things are read and written in this kitchen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Customs {
    /// Temperatures of food, rooms and fridges.
    pub degrees: Degrees,
    /// What stands on the dial of the oven.
    pub oven: OvenDial,
    /// The clock.
    pub hours: Hours,
    /// A comma before the tenths, not a point.
    pub comma: bool,
}

/// What stands on the dial of the cook's oven.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum OvenDial {
    /// Degrees, as recipes mean them: top and bottom heat.
    #[default]
    Plain,
    /// Degrees of an oven with a fan, set lower than recipes for top and bottom heat say.
    Fan,
    /// Gas marks.
    GasMark,
}

/// A fan oven is set lower by so much, °C: common practice, no source.
pub const FAN_LOWER_C: i32 = 20;
/// Below this setting a fan oven is set as any other, °C: there the oven keeps
/// food warm, and what counts is how warm its air is. Our own caution.
pub const FAN_FROM_C: i32 = 120;

impl Customs {
    /// A temperature of food or of a room: `63 °C`, `145 °F`.
    #[must_use]
    pub fn heat(self, celsius: f64) -> String {
        self.degrees.show(celsius)
    }

    /// A reading to a tenth, as it was taken: `62.3 °C`.
    #[must_use]
    pub fn reading(self, celsius: f64) -> String {
        let text = match self.degrees {
            Degrees::Celsius => format!("{celsius:.1} °C"),
            Degrees::Fahrenheit => format!("{:.1} °F", celsius * 1.8 + 32.0),
        };
        if self.comma { text.replace('.', ",") } else { text }
    }

    /// A reading as it was taken: whole where it is, else to a tenth, so that one just short of a limit is not shown
    /// as being at it: `63 °C`, `62.6 °C`.
    #[must_use]
    pub fn taken(self, celsius: f64) -> String {
        match self.degrees {
            Degrees::Celsius => format!("{} °C", self.number(celsius, 1)),
            Degrees::Fahrenheit => format!("{} °F", self.number(celsius * 1.8 + 32.0, 1)),
        }
    }

    /// What a number read from the oven's dial means.
    #[must_use]
    pub const fn dial_words(self) -> &'static str {
        match (self.oven, self.degrees) {
            (OvenDial::GasMark, _) => "gas mark",
            (OvenDial::Fan, Degrees::Celsius) => "degrees Celsius, fan",
            (OvenDial::Fan, Degrees::Fahrenheit) => "degrees Fahrenheit, fan",
            (OvenDial::Plain, Degrees::Celsius) => "degrees Celsius",
            (OvenDial::Plain, Degrees::Fahrenheit) => "degrees Fahrenheit",
        }
    }

    /// A setting of an oven as its dial has it: `180 °C`, `fan 160 °C`, `gas 4`.
    /// `celsius` is what recipes mean: top and bottom heat.
    #[must_use]
    pub fn oven(self, celsius: i32) -> String {
        match self.oven {
            OvenDial::Fan if celsius >= FAN_FROM_C => {
                format!("fan {}", self.heat(f64::from(celsius - FAN_LOWER_C)))
            }
            OvenDial::GasMark => match gas_mark(celsius) {
                Some(mark) => format!("gas {mark}"),
                None => self.heat(f64::from(celsius)),
            },
            _ => self.heat(f64::from(celsius)),
        }
    }

    /// What recipes mean, in °C, by a number that the cook read from the dial.
    #[must_use]
    pub fn oven_c(self, dial: f64) -> f64 {
        if let Some(c) = mark_c(dial).filter(|_| self.oven == OvenDial::GasMark) {
            return c;
        }
        let c = match self.degrees {
            Degrees::Celsius => dial,
            Degrees::Fahrenheit => celsius(dial),
        };
        let lower = f64::from(FAN_LOWER_C);
        let fan = self.oven == OvenDial::Fan && c >= f64::from(FAN_FROM_C) - lower;
        if fan { c + lower } else { c }
    }

    /// A number with at most so many decimals, none of them a needless nought.
    #[must_use]
    pub fn number(self, value: f64, decimals: usize) -> String {
        let text = format!("{value:.decimals$}");
        let text = match text.contains('.') {
            true => text.trim_end_matches('0').trim_end_matches('.'),
            false => &text,
        };
        let text = if text == "-0" { "0" } else { text };
        if self.comma { text.replace('.', ",") } else { text.to_owned() }
    }
}

fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

/// Gas marks and the °C that recipes print beside them: from memory.
const GAS_MARKS: [(f64, &str, i32); 12] = [
    (0.25, "¼", 110),
    (0.5, "½", 125),
    (1.0, "1", 140),
    (2.0, "2", 150),
    (3.0, "3", 170),
    (4.0, "4", 180),
    (5.0, "5", 190),
    (6.0, "6", 200),
    (7.0, "7", 220),
    (8.0, "8", 230),
    (9.0, "9", 240),
    (10.0, "10", 260),
];
/// Farther than this from any mark a dial has none, °C.
const NO_MARK: i32 = 12;

/// °C of a gas mark, between two of them in proportion; nothing off the dial.
fn mark_c(mark: f64) -> Option<f64> {
    GAS_MARKS.windows(2).find_map(|pair| match *pair {
        [(from, _, low), (to, _, high)] if (from..=to).contains(&mark) => {
            let part = (mark - from) / (to - from);
            Some(f64::from(low) + part * f64::from(high - low))
        }
        _ => None,
    })
}

/// The nearest gas mark, the hotter of two; nothing where a dial has none.
fn gas_mark(c: i32) -> Option<&'static str> {
    let far = |mark: &&(f64, &str, i32)| (mark.2 - c).abs();
    let nearest = GAS_MARKS.iter().rev().min_by_key(far)?;
    (far(&nearest) <= NO_MARK).then_some(nearest.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_dial_shows_degrees_fan_degrees_or_gas_marks() {
        let plain = Customs::default();
        let fan = Customs { oven: OvenDial::Fan, ..plain };
        let gas = Customs { oven: OvenDial::GasMark, ..plain };
        let us = Customs { degrees: Degrees::Fahrenheit, ..plain };
        assert_eq!(plain.oven(180), "180 °C");
        assert_eq!(us.oven(177), "351 °F");
        assert_eq!(fan.oven(180), "fan 160 °C");
        // A warm hold is never set cooler than it must be.
        assert_eq!(fan.oven(80), "80 °C");
        for (c, mark) in [
            (140, "1"),
            (150, "2"),
            (170, "3"),
            (180, "4"),
            (190, "5"),
            (200, "6"),
            (220, "7"),
            (230, "8"),
            (240, "9"),
            (120, "½"),
            (110, "¼"),
            (185, "5"),
        ] {
            assert_eq!(gas.oven(c), format!("gas {mark}"), "{c}");
        }
        assert_eq!((gas.oven(80), gas.oven(300)), ("80 °C".into(), "300 °C".into()));
    }

    #[test]
    fn a_dial_that_was_read_is_the_setting_that_was_meant() {
        for degrees in [Degrees::Celsius, Degrees::Fahrenheit] {
            for oven in [OvenDial::Plain, OvenDial::Fan] {
                let customs = Customs { degrees, oven, ..Customs::default() };
                for c in (60..=90).chain(FAN_FROM_C..=250) {
                    let shown = customs.oven(c);
                    let digits: String =
                        shown.chars().filter(|c| c.is_ascii_digit() || *c == '-').collect();
                    let back = customs.oven_c(digits.parse().expect("a number"));
                    assert!((back - f64::from(c)).abs() <= 0.6, "{shown}: {back}");
                }
            }
        }
        let gas = Customs { oven: OvenDial::GasMark, ..Customs::default() };
        assert_eq!(gas.oven_c(6.0), 200.0);
        assert_eq!(gas.oven_c(4.5), 185.0);
        assert_eq!(gas.oven_c(80.0), 80.0);
        // Half way from a quarter (110 °C) to a half (125 °C); twelve degrees off a mark it is none.
        assert_eq!(gas.oven_c(0.375), 117.5);
        assert_eq!([97, 98, 272, 273].map(|c| gas.oven(c)), ["97 °C", "gas ¼", "gas 10", "273 °C"]);
    }

    #[test]
    fn a_reading_keeps_its_tenth() {
        let celsius = Customs::default();
        let fahrenheit = Customs { degrees: Degrees::Fahrenheit, ..celsius };
        let comma = Customs { comma: true, ..celsius };
        assert_eq!(celsius.reading(74.0), "74.0 °C");
        assert_eq!(fahrenheit.reading(74.0), "165.2 °F");
        assert_eq!(comma.reading(62.34), "62,3 °C");
    }

    #[test]
    fn a_reading_just_short_of_a_limit_does_not_look_as_if_it_were_at_it() {
        let celsius = Customs::default();
        let fahrenheit = Customs { degrees: Degrees::Fahrenheit, ..celsius };
        let comma = Customs { comma: true, ..celsius };
        assert_eq!([62.6, 63.0].map(|c| celsius.taken(c)), ["62.6 °C", "63 °C"]);
        assert_eq!([62.6, 60.0].map(|c| comma.taken(c)), ["62,6 °C", "60 °C"]);
        assert_eq!(fahrenheit.taken((164.6 - 32.0) / 1.8), "164.6 °F");
        assert_eq!(fahrenheit.taken((165.0 - 32.0) / 1.8), "165 °F");
    }

    #[test]
    fn numbers_have_no_needless_noughts() {
        let dot = Customs::default();
        let comma = Customs { comma: true, ..dot };
        assert_eq!(dot.number(1.50, 2), "1.5");
        assert_eq!(comma.number(1.25, 2), "1,25");
        assert_eq!(dot.number(1200.0, 2), "1200");
        assert_eq!(dot.number(-0.001, 1), "0");
    }
}
