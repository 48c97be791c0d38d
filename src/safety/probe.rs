//! Readings that the cook types: taken, or asked back when they cannot be
//! right or look like the other unit. Nothing doubtful is taken silently.
//!
//! A lone number cannot always give itself away: 75 °F typed as 75 °C in a hot
//! pan looks right. What can be told apart is.

use super::figure::{c_to_f, f_to_c};
use crate::kitchen::units::Degrees;

/// A kitchen thermometer shows nothing outside this, in °C. Readings beyond are
/// refused. Our choice.
pub const POSSIBLE_C: (f64, f64) = (-40.0, 300.0);

/// Food that holds water is not hotter than water boils, 100 °C at sea level;
/// syrup and frying fat are, so the cook can confirm.
const HOTTEST_FOOD_C: f64 = 98.0;

/// What is being measured, which decides what is likely.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Expect {
    /// Food at the end of cooking or held hot.
    HotFood,
    /// Food held cold.
    ColdFood,
    /// Any other food.
    Food,
    /// The air of the room or the garden.
    Air,
}

impl Expect {
    /// What is likely, in °C: our choice, wide enough for a hold that is failing.
    fn likely_c(self) -> (f64, f64) {
        match self {
            Self::HotFood => (45.0, HOTTEST_FOOD_C),
            Self::ColdFood => (-1.0, 15.0),
            Self::Food => (-25.0, HOTTEST_FOOD_C),
            Self::Air => (-10.0, 45.0),
        }
    }
}

/// A reading that was taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Probe {
    /// In °C, converted exactly.
    pub celsius: f64,
    /// The number as typed.
    pub typed: f64,
    /// Its unit.
    pub unit: Degrees,
}

/// Why a reading is asked back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doubt {
    /// It is not a number with or without C or F.
    NotANumber,
    /// Outside [`POSSIBLE_C`]. Cannot be confirmed.
    Impossible,
    /// It would be likely in the other unit and is not in this one.
    OtherUnit,
    /// Hotter than food gets.
    TooHot,
}

/// A reading that is asked back.
#[derive(Debug, Clone, PartialEq)]
pub struct AskAgain {
    /// Why.
    pub doubt: Doubt,
    /// What to ask the cook, in a sentence or two.
    pub message: String,
    /// The same number in the other unit, if that would be likely.
    pub instead: Option<Probe>,
    /// The cook may say that it is right as typed.
    pub can_confirm: bool,
}

impl std::fmt::Display for AskAgain {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for AskAgain {}

impl Probe {
    /// Reads what was typed: `165`, `74.5`, `74,5`, `165 F`, `74c`. Without a
    /// letter it is in `unit`. A unit typed with the number is not doubted.
    ///
    /// # Errors
    /// [`AskAgain`], as for [`Self::take`].
    pub fn parse(text: &str, unit: Degrees, expect: Expect) -> Result<Self, AskAgain> {
        let text = text.trim();
        let (number, letter) = match (text.strip_suffix(['c', 'C']), text.strip_suffix(['f', 'F']))
        {
            (Some(number), _) => (number, Some(Degrees::Celsius)),
            (_, Some(number)) => (number, Some(Degrees::Fahrenheit)),
            _ => (text, None),
        };
        let number = number.trim_end_matches(['°', ' ']).replace(',', ".");
        let plain = |c: char| c.is_ascii_digit() || matches!(c, '.' | '-' | '+');
        let value = number.parse::<f64>().ok().filter(|_| number.chars().all(plain));
        let Some(value) = value else {
            return Err(AskAgain {
                doubt: Doubt::NotANumber,
                message: format!("\"{text}\" is not a temperature; type it as 165 or 74C."),
                instead: None,
                can_confirm: false,
            });
        };
        match (letter, Self::take(value, letter.unwrap_or(unit), expect)) {
            (Some(unit), Err(ask)) if ask.doubt == Doubt::OtherUnit => {
                Self::confirm(value, unit, expect)
            }
            (_, taken) => taken,
        }
    }

    /// Takes a number in a unit.
    ///
    /// # Errors
    /// [`AskAgain`] if it cannot be right or looks like the other unit.
    pub fn take(value: f64, unit: Degrees, expect: Expect) -> Result<Self, AskAgain> {
        let probe = Self::possible(value, unit, expect)?;
        let instead = Self::other(value, unit, expect);
        if is_likely(probe.celsius, expect) {
            return Ok(probe);
        }
        let doubt = match (expect, instead) {
            (_, Some(_)) => Doubt::OtherUnit,
            (Expect::HotFood | Expect::ColdFood | Expect::Food, None)
                if probe.celsius > HOTTEST_FOOD_C =>
            {
                Doubt::TooHot
            }
            _ => return Ok(probe),
        };
        let message = match instead {
            Some(other) => format!("{probe} is unlikely here. Did you mean {other}?"),
            None => format!("{probe} is hotter than food gets. Is that right?"),
        };
        Err(AskAgain { doubt, message, instead, can_confirm: true })
    }

    /// Takes a number that the cook has confirmed.
    ///
    /// # Errors
    /// [`AskAgain`] if it is impossible: that cannot be confirmed.
    pub fn confirm(value: f64, unit: Degrees, expect: Expect) -> Result<Self, AskAgain> {
        Self::possible(value, unit, expect)
    }

    fn possible(value: f64, unit: Degrees, expect: Expect) -> Result<Self, AskAgain> {
        let probe = Self::new(value, unit);
        // Not a number lies in no range.
        if (POSSIBLE_C.0..=POSSIBLE_C.1).contains(&probe.celsius) {
            return Ok(probe);
        }
        let (least, most) = match unit {
            Degrees::Celsius => POSSIBLE_C,
            Degrees::Fahrenheit => (c_to_f(POSSIBLE_C.0), c_to_f(POSSIBLE_C.1)),
        };
        let instead = Self::other(value, unit, expect);
        let mut message = format!(
            "{probe} cannot be: a thermometer shows {least:.0} to {most:.0} {}.",
            sign(unit)
        );
        if let Some(other) = instead {
            message.push_str(&format!(" Did you mean {other}?"));
        }
        Err(AskAgain { doubt: Doubt::Impossible, message, instead, can_confirm: false })
    }

    /// The number in the other unit, if that is likely.
    fn other(value: f64, unit: Degrees, expect: Expect) -> Option<Self> {
        let other = match unit {
            Degrees::Celsius => Degrees::Fahrenheit,
            Degrees::Fahrenheit => Degrees::Celsius,
        };
        Some(Self::new(value, other)).filter(|probe| is_likely(probe.celsius, expect))
    }

    fn new(value: f64, unit: Degrees) -> Self {
        let celsius = match unit {
            Degrees::Celsius => value,
            Degrees::Fahrenheit => f_to_c(value),
        };
        Self { celsius, typed: value, unit }
    }
}

impl std::fmt::Display for Probe {
    /// As typed: `165 °F`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{} {}", self.typed, sign(self.unit))
    }
}

fn sign(unit: Degrees) -> &'static str {
    match unit {
        Degrees::Celsius => "°C",
        Degrees::Fahrenheit => "°F",
    }
}

fn is_likely(celsius: f64, expect: Expect) -> bool {
    let (least, most) = expect.likely_c();
    (least..=most).contains(&celsius)
}

#[cfg(test)]
mod tests {
    use super::Degrees::{Celsius, Fahrenheit};
    use super::*;

    fn doubt(value: f64, unit: Degrees, expect: Expect) -> Option<Doubt> {
        Probe::take(value, unit, expect).err().map(|ask| ask.doubt)
    }

    #[test]
    fn a_likely_reading_is_taken_as_typed() {
        for (value, unit, expect, celsius) in [
            (165.0, Fahrenheit, Expect::HotFood, 73.888_888_9),
            (62.0, Celsius, Expect::HotFood, 62.0),
            (38.0, Fahrenheit, Expect::ColdFood, 3.333_333_3),
            (4.0, Celsius, Expect::ColdFood, 4.0),
            (72.0, Fahrenheit, Expect::Air, 22.222_222_2),
            // Lukewarm: bad news, but no sign of the other unit.
            (20.0, Celsius, Expect::HotFood, 20.0),
            (115.0, Fahrenheit, Expect::HotFood, 46.111_111_1),
            (25.0, Celsius, Expect::ColdFood, 25.0),
            (-18.0, Celsius, Expect::Food, -18.0),
        ] {
            let probe = Probe::take(value, unit, expect).expect("taken");
            assert!((probe.celsius - celsius).abs() < 1e-6, "{probe}");
        }
    }

    #[test]
    fn the_other_unit_is_noticed_and_offered() {
        for (value, unit, expect, instead) in [
            (165.0, Celsius, Expect::HotFood, 73.888_888_9),
            (165.0, Celsius, Expect::Food, 73.888_888_9),
            (74.0, Fahrenheit, Expect::HotFood, 74.0),
            (38.0, Celsius, Expect::ColdFood, 3.333_333_3),
            (4.0, Fahrenheit, Expect::ColdFood, 4.0),
            (72.0, Celsius, Expect::Air, 22.222_222_2),
        ] {
            let ask = Probe::take(value, unit, expect).expect_err("asked back");
            assert_eq!((ask.doubt, ask.can_confirm), (Doubt::OtherUnit, true), "{ask}");
            let other = ask.instead.expect("offered");
            assert!((other.celsius - instead).abs() < 1e-6);
            let sure = Probe::confirm(value, unit, expect).expect("confirmed");
            assert_eq!((sure.typed, sure.unit), (value, unit));
        }
        let ask = Probe::take(74.0, Fahrenheit, Expect::HotFood).expect_err("asked back");
        assert_eq!(ask.message, "74 °F is unlikely here. Did you mean 74 °C?");
    }

    #[test]
    fn the_impossible_is_never_taken() {
        for value in [-40.1, 300.1, 1e9, f64::INFINITY, f64::NEG_INFINITY, f64::NAN] {
            for expect in [Expect::HotFood, Expect::ColdFood, Expect::Food, Expect::Air] {
                assert_eq!(doubt(value, Celsius, expect), Some(Doubt::Impossible), "{value}");
                let ask = Probe::confirm(value, Celsius, expect).expect_err("refused");
                assert!(!ask.can_confirm);
            }
        }
        assert_eq!(doubt(573.0, Fahrenheit, Expect::Food), Some(Doubt::Impossible));
        assert_eq!(doubt(-41.0, Fahrenheit, Expect::Food), Some(Doubt::Impossible));
        assert_eq!(doubt(110.0, Celsius, Expect::Food), Some(Doubt::OtherUnit));
        assert_eq!(doubt(250.0, Celsius, Expect::HotFood), Some(Doubt::TooHot));
        assert_eq!(doubt(100.0, Celsius, Expect::HotFood), Some(Doubt::TooHot));
    }

    #[test]
    fn typed_text_is_read_with_its_unit() {
        let parse = |text| Probe::parse(text, Celsius, Expect::HotFood);
        for (text, celsius) in
            [("74", 74.0), (" 74,5 ", 74.5), ("165 °F", 73.888_888_9), ("165f", 73.888_888_9)]
        {
            let probe = parse(text).expect(text);
            assert!((probe.celsius - celsius).abs() < 1e-6, "{text}");
        }
        // A unit that was typed is meant.
        assert_eq!(parse("74F").map(|p| p.unit), Ok(Fahrenheit));
        for text in ["", "warm", "7 4", "1e2", "nan", "inf", "°C", "--5", "é"] {
            assert_eq!(parse(text).map_err(|ask| ask.doubt), Err(Doubt::NotANumber), "{text}");
        }
        assert_eq!(parse("900").map_err(|ask| ask.doubt), Err(Doubt::Impossible));
        assert_eq!(parse("250C").map_err(|ask| ask.doubt), Err(Doubt::TooHot));
    }
}
