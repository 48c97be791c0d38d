//! A figure of a guidance profile: its value, as printed, and where it was read.

use serde::{Deserialize, Serialize};

use crate::kitchen::units::Degrees;

/// How far a figure was verified.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Seen {
    /// Read in the document of the body that issued it.
    #[serde(rename = "issuing document")]
    IssuingDocument,
    /// Read in another published page that reports it.
    #[serde(rename = "another published page")]
    AnotherPublishedPage,
    /// Worked out from figures that were read.
    #[serde(rename = "computed")]
    Computed,
    /// Not seen in a text. Never laxer than a verified figure (see
    /// [`super::Profile::problems`]).
    #[serde(rename = "from memory")]
    FromMemory,
}

impl std::fmt::Display for Seen {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::IssuingDocument => "read in the issuing document",
            Self::AnotherPublishedPage => "read in another published page",
            Self::Computed => "computed",
            Self::FromMemory => "from memory, not seen in a text",
        })
    }
}

/// Where a figure comes from.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// Title of the document.
    pub document: String,
    /// Section, page or row in it.
    pub clause: String,
    /// Edition or date.
    pub edition: String,
    /// How far it was verified.
    pub seen: Seen,
}

impl std::fmt::Display for Source {
    /// `FDA Food Code 2022, 3-501.19(B)`; the edition follows when the title
    /// does not already say it, and "from memory" always shows.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}, {}", self.document, self.clause)?;
        if !self.document.contains(&self.edition) {
            write!(f, " ({})", self.edition)?;
        }
        match self.seen {
            Seen::IssuingDocument | Seen::AnotherPublishedPage => Ok(()),
            Seen::Computed => f.write_str(" [computed]"),
            Seen::FromMemory => f.write_str(" [from memory, not seen in a text]"),
        }
    }
}

/// °C of a temperature in °F.
#[must_use]
pub fn f_to_c(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

/// °F of a temperature in °C.
#[must_use]
pub fn c_to_f(celsius: f64) -> f64 {
    celsius * 1.8 + 32.0
}

/// Slack in °C for the rounding of `f64` conversions only.
const ROUNDING_C: f64 = 1e-6;

/// A temperature that guidance prints, in the unit that the body works in. The
/// other unit is converted, not taken from the print, so that one limit holds
/// for both: 135 °F is 57.2 °C here although the Food Code prints 57 °C beside
/// it. The file says `value_f` or `value_c`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "HeatFile", into = "HeatFile")]
pub struct Heat {
    value: f64,
    unit: Degrees,
    /// The words of the document: "135 °F (57 °C)".
    pub printed: String,
    /// Where it was read.
    pub source: Source,
}

impl Heat {
    /// In °C, converted exactly.
    #[must_use]
    pub fn c(&self) -> f64 {
        match self.unit {
            Degrees::Celsius => self.value,
            Degrees::Fahrenheit => f_to_c(self.value),
        }
    }

    /// Whether a reading in °C is at or above it. Not a number: no.
    #[must_use]
    pub fn at_least(&self, reading_c: f64) -> bool {
        reading_c >= self.c() - ROUNDING_C
    }

    /// Whether a reading in °C is at or below it. Not a number: no.
    #[must_use]
    pub fn at_most(&self, reading_c: f64) -> bool {
        reading_c <= self.c() + ROUNDING_C
    }

    /// For the screen, as a least temperature: rounded up to a tenth, so that
    /// what is shown is never laxer than the limit. `57.3 °C`, `135 °F`.
    #[must_use]
    pub fn least_text(&self, unit: Degrees) -> String {
        self.text(unit, |tenths| (tenths - 1e-4).ceil())
    }

    /// For the screen, as a greatest temperature: rounded down to a tenth.
    #[must_use]
    pub fn most_text(&self, unit: Degrees) -> String {
        self.text(unit, |tenths| (tenths + 1e-4).floor())
    }

    fn text(&self, unit: Degrees, round: impl Fn(f64) -> f64) -> String {
        let (value, sign) = match unit {
            Degrees::Celsius => (self.c(), "°C"),
            Degrees::Fahrenheit if self.unit == unit => (self.value, "°F"),
            Degrees::Fahrenheit => (c_to_f(self.value), "°F"),
        };
        let tenths = round(value * 10.0);
        // A whole number of degrees is shown without its tenth.
        if tenths % 10.0 == 0.0 {
            format!("{:.0} {sign}", tenths / 10.0)
        } else {
            format!("{:.1} {sign}", tenths / 10.0)
        }
    }
}

/// A [`Heat`] as the profile's file writes it.
#[derive(Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct HeatFile {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    value_f: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    value_c: Option<f64>,
    printed: String,
    source: Source,
}

impl TryFrom<HeatFile> for Heat {
    type Error = String;

    fn try_from(file: HeatFile) -> Result<Self, String> {
        let (value, unit) = match (file.value_f, file.value_c) {
            (Some(value), None) => (value, Degrees::Fahrenheit),
            (None, Some(value)) => (value, Degrees::Celsius),
            _ => return Err("a temperature has either value_f or value_c".to_owned()),
        };
        Ok(Self { value, unit, printed: file.printed, source: file.source })
    }
}

impl From<Heat> for HeatFile {
    fn from(heat: Heat) -> Self {
        let (value_f, value_c) = match heat.unit {
            Degrees::Fahrenheit => (Some(heat.value), None),
            Degrees::Celsius => (None, Some(heat.value)),
        };
        Self { value_f, value_c, printed: heat.printed, source: heat.source }
    }
}

/// A length of time in minutes that guidance prints.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Minutes {
    /// Whole minutes.
    pub value_minutes: i64,
    /// The words of the document: "2 hours".
    pub printed: String,
    /// Where it was read.
    pub source: Source,
}

/// A length of time in seconds that guidance prints.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seconds {
    /// Whole seconds.
    pub value_seconds: i64,
    /// The words of the document: "15 seconds".
    pub printed: String,
    /// Where it was read.
    pub source: Source,
}

/// A length of time in days that guidance prints.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Days {
    /// Whole days; where a range is printed, its short end.
    pub value_days: i64,
    /// The words of the document: "3 to 4 days".
    pub printed: String,
    /// Where it was read.
    pub source: Source,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn heat(json: &str) -> Result<Heat, serde_json::Error> {
        serde_json::from_str(json)
    }

    const SOURCE: &str =
        r#""source":{"document":"D 2022","clause":"1","edition":"2022","seen":"computed"}"#;

    #[test]
    fn a_limit_in_fahrenheit_is_met_by_a_reading_in_either_unit() {
        let limit = heat(&format!(r#"{{"value_f":135,"printed":"135 °F (57 °C)",{SOURCE}}}"#));
        let limit = limit.expect("reads");
        assert!(limit.at_least(f_to_c(135.0)));
        assert!(limit.at_least((135.0 - 32.0) * 5.0 / 9.0));
        assert!(!limit.at_least(f_to_c(134.9)));
        assert!(!limit.at_least(57.2));
        assert!(!limit.at_least(f64::NAN) && !limit.at_most(f64::NAN));
        assert_eq!(limit.least_text(Degrees::Celsius), "57.3 °C");
        assert_eq!(limit.least_text(Degrees::Fahrenheit), "135 °F");
    }

    #[test]
    fn what_is_shown_is_never_laxer_than_the_limit() {
        for tenths in -400..3000_i32 {
            for (key, unit) in [("value_f", Degrees::Fahrenheit), ("value_c", Degrees::Celsius)] {
                let value = f64::from(tenths) / 10.0;
                let limit =
                    heat(&format!(r#"{{"{key}":{value},"printed":"x",{SOURCE}}}"#)).expect("reads");
                for shown in [Degrees::Celsius, Degrees::Fahrenheit] {
                    let read = |text: String| {
                        let number: f64 =
                            text.split(' ').next().unwrap_or("").parse().expect("number");
                        if shown == Degrees::Celsius { number } else { f_to_c(number) }
                    };
                    let (least, most) =
                        (read(limit.least_text(shown)), read(limit.most_text(shown)));
                    assert!(least >= limit.c() - 2e-5 && least < limit.c() + 0.1 + 1e-9);
                    assert!(most <= limit.c() + 2e-5 && most > limit.c() - 0.1 - 1e-9);
                    if shown == unit {
                        assert!((least - limit.c()).abs() < 1e-9);
                        assert!((most - limit.c()).abs() < 1e-9);
                    }
                }
            }
        }
    }

    #[test]
    fn a_temperature_names_exactly_one_unit() {
        for body in [r#""value_f":1,"value_c":1,"#, "", r#""value":1,"#] {
            assert!(heat(&format!(r#"{{{body}"printed":"x",{SOURCE}}}"#)).is_err(), "{body}");
        }
    }

    #[test]
    fn a_source_reads_as_one_line() {
        let mut source = Source {
            document: "FDA Food Code 2022".into(),
            clause: "3-501.19(B)".into(),
            edition: "2022".into(),
            seen: Seen::IssuingDocument,
        };
        assert_eq!(source.to_string(), "FDA Food Code 2022, 3-501.19(B)");
        source.document = "Some chart".into();
        source.edition = "June 2012".into();
        source.seen = Seen::FromMemory;
        assert_eq!(
            source.to_string(),
            "Some chart, 3-501.19(B) (June 2012) [from memory, not seen in a text]"
        );
    }
}
