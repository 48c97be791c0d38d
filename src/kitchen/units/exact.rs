//! Exact numbers: a third of a cup stays a third of a cup through scaling,
//! merging and conversion, and is rounded once, when it is read aloud.

use std::fmt;
use std::ops::{Add, Mul, Neg, Sub};
use std::str::FromStr;

use num_rational::Ratio;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

/// Beyond this a number is not a kitchen's: it is cut to it.
const FARTHEST: f64 = 1e15;
/// Decimal places that are kept where a number has to be rounded.
const PLACES: u32 = 9;
const BILLION: i128 = 1_000_000_000;

/// An exact rational number.
///
/// Sums and products are exact as long as numerator and denominator fit 128
/// bits, which holds for any amounts of a kitchen; beyond that they are rounded
/// to nine decimal places. In a file it is a number, `1.5`, or a fraction in
/// quotation marks, `"1 1/3"`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Exact(Ratio<i128>);

impl Exact {
    /// Nothing.
    pub const ZERO: Self = Self(Ratio::new_raw(0, 1));
    /// One.
    pub const ONE: Self = Self(Ratio::new_raw(1, 1));

    /// A whole number.
    #[must_use]
    pub const fn whole(n: i64) -> Self {
        Self(Ratio::new_raw(n as i128, 1))
    }

    /// A fraction; nothing if the denominator is 0.
    #[must_use]
    pub fn fraction(numerator: i128, denominator: i128) -> Option<Self> {
        (denominator != 0).then(|| Self(Ratio::new(numerator, denominator)))
    }

    /// The decimal number that is written for `number`: 0.1 is one tenth. Nine
    /// places are kept; what is not finite or farther than 10^15 is cut to that.
    #[must_use]
    pub fn decimal(number: f64) -> Self {
        if number.is_nan() {
            return Self::ZERO;
        }
        let number = number.clamp(-FARTHEST, FARTHEST);
        // The shortest text that reads back as the same number is the one the cook wrote.
        let written = Self::from_str(&format!("{number}")).ok();
        written.filter(|n| n.decimal_places().is_some()).unwrap_or_else(|| Self::near(number))
    }

    fn near(number: f64) -> Self {
        let number = if number.is_nan() { 0.0 } else { number.clamp(-FARTHEST, FARTHEST) };
        // Within 10^24, so the cast is exact enough and never overflows.
        Self(Ratio::new((number * BILLION as f64).round() as i128, BILLION))
    }

    /// As a floating point number, for figures that are rough anyway.
    #[must_use]
    pub fn to_f64(self) -> f64 {
        let (whole, rest) = (self.0.to_integer(), self.0.fract());
        whole as f64 + *rest.numer() as f64 / *rest.denom() as f64
    }

    /// The numerator; negative for a number below nought.
    #[must_use]
    pub const fn numerator(self) -> i128 {
        *self.0.numer()
    }

    /// The denominator, at least 1; the fraction has no common divisor left.
    #[must_use]
    pub const fn denominator(self) -> i128 {
        *self.0.denom()
    }

    /// The quotient; nothing if `divisor` is nought.
    #[must_use]
    pub fn over(self, divisor: Self) -> Option<Self> {
        if divisor == Self::ZERO {
            return None;
        }
        Some(self * Self(divisor.0.recip()))
    }

    /// The least whole number that is not below it.
    #[must_use]
    pub fn ceil(self) -> Self {
        Self(self.0.ceil())
    }

    /// The greatest whole number that is not above it.
    #[must_use]
    pub fn floor(self) -> Self {
        Self(self.0.floor())
    }

    /// The nearest multiple of `step`, halves away from nought; itself if `step` is nought.
    #[must_use]
    pub fn to_nearest(self, step: Self) -> Self {
        self.over(step).map_or(self, |n| Self(n.0.round()) * step)
    }

    /// The least multiple of `step` that is not below it; itself if `step` is nought.
    #[must_use]
    pub fn up_to(self, step: Self) -> Self {
        self.over(step).map_or(self, |n| n.ceil() * step)
    }

    /// As a whole number, cut to what an `i64` holds and towards nought.
    #[must_use]
    pub fn to_i64(self) -> i64 {
        let least = i128::from(i64::MIN);
        i64::try_from(self.0.to_integer().clamp(least, i128::from(i64::MAX))).unwrap_or(0)
    }

    /// Is it above nought?
    #[must_use]
    pub fn is_positive(self) -> bool {
        self > Self::ZERO
    }

    /// Is it a whole number?
    #[must_use]
    pub fn is_whole(self) -> bool {
        self.0.is_integer()
    }

    /// Places after the decimal point that write it exactly, at most `PLACES`.
    fn decimal_places(self) -> Option<u32> {
        (0..=PLACES).find(|&n| 10_i128.pow(n) % self.0.denom() == 0)
    }

    fn digits(text: &str) -> Option<i128> {
        let plain = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        // Eighteen digits leave room for the denominator in every sum.
        if plain && text.len() <= 18 { text.parse().ok() } else { None }
    }

    fn unsigned(text: &str) -> Option<Self> {
        if let Some((whole, part)) = text.split_once(' ') {
            let part = part.trim_start();
            let below_one = part.contains('/');
            return below_one.then(|| Some(Self::unsigned(whole)? + Self::unsigned(part)?))?;
        }
        if let Some((numerator, denominator)) = text.split_once('/') {
            return Self::fraction(Self::digits(numerator)?, Self::digits(denominator)?);
        }
        let Some((whole, part)) = text.split_once('.') else {
            return Some(Self(Ratio::from_integer(Self::digits(text)?)));
        };
        let whole = if whole.is_empty() { 0 } else { Self::digits(whole)? };
        let places = u32::try_from(part.len()).ok().filter(|&n| n <= 18)?;
        let part = Self::fraction(Self::digits(part)?, 10_i128.pow(places))?;
        Some(Self(Ratio::from_integer(whole)) + part)
    }
}

/// What is said of text that is not a number.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("\"{0}\" is not an amount; write it as 1.5, 2/3 or 1 1/3")]
pub struct NotAnAmount(String);

impl FromStr for Exact {
    type Err = NotAnAmount;

    /// Reads `3`, `1.5`, `2/3`, `1 1/3`, each with a minus sign or without.
    fn from_str(text: &str) -> Result<Self, NotAnAmount> {
        let trimmed = text.trim();
        let (minus, rest) = match trimmed.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, trimmed),
        };
        let shown = || text.chars().take(40).collect();
        let number = Self::unsigned(rest).ok_or_else(|| NotAnAmount(shown()))?;
        Ok(if minus { -number } else { number })
    }
}

impl Add for Exact {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        use num_rational_ops::plus;
        plus(self.0, other.0).map_or_else(|| Self::near(self.to_f64() + other.to_f64()), Self)
    }
}

impl Sub for Exact {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Neg for Exact {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul for Exact {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        use num_rational_ops::times;
        times(self.0, other.0).map_or_else(|| Self::near(self.to_f64() * other.to_f64()), Self)
    }
}

impl std::iter::Sum for Exact {
    fn sum<I: Iterator<Item = Self>>(numbers: I) -> Self {
        numbers.fold(Self::ZERO, |a, b| a + b)
    }
}

/// Sums and products that say when they do not fit.
mod num_rational_ops {
    use num_rational::Ratio;

    /// Room is left so that neither a later comparison nor a negation overflows.
    const MOST: i128 = i128::MAX >> 24;

    fn fits(ratio: Ratio<i128>) -> Option<Ratio<i128>> {
        (ratio.numer().abs() <= MOST && *ratio.denom() <= MOST).then_some(ratio)
    }

    pub fn plus(a: Ratio<i128>, b: Ratio<i128>) -> Option<Ratio<i128>> {
        let left = a.numer().checked_mul(*b.denom())?;
        let right = b.numer().checked_mul(*a.denom())?;
        let below = a.denom().checked_mul(*b.denom())?;
        fits(Ratio::new(left.checked_add(right)?, below))
    }

    pub fn times(a: Ratio<i128>, b: Ratio<i128>) -> Option<Ratio<i128>> {
        // Reduced crosswise first, so that only what stays is multiplied.
        let (c, d) = (Ratio::new(*a.numer(), *b.denom()), Ratio::new(*b.numer(), *a.denom()));
        let above = c.numer().checked_mul(*d.numer())?;
        let below = c.denom().checked_mul(*d.denom())?;
        fits(Ratio::new(above, below))
    }
}

impl fmt::Display for Exact {
    /// `3`, `1.25`, `1 1/3`: as a file has it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(places) = self.decimal_places() {
            let scaled = self.0.numer() * (10_i128.pow(places) / self.0.denom());
            let (sign, scaled) = (if scaled < 0 { "-" } else { "" }, scaled.unsigned_abs());
            let ten = 10_u128.pow(places);
            write!(f, "{sign}{}", scaled / ten)?;
            return match places {
                0 => Ok(()),
                _ => write!(f, ".{:0width$}", scaled % ten, width = places as usize),
            };
        }
        let sign = if *self.0.numer() < 0 { "-" } else { "" };
        let (above, below) = (self.0.numer().unsigned_abs(), self.0.denom().unsigned_abs());
        match (above / below, above % below) {
            (0, rest) => write!(f, "{sign}{rest}/{below}"),
            (whole, rest) => write!(f, "{sign}{whole} {rest}/{below}"),
        }
    }
}

impl Serialize for Exact {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.decimal_places() {
            Some(0) => match i64::try_from(*self.0.numer()) {
                Ok(whole) => serializer.serialize_i64(whole),
                Err(_) => serializer.serialize_f64(self.to_f64()),
            },
            // A decimal number of so few digits reads back as the same number.
            Some(_) if self.to_f64().abs() < 1e6 => serializer.serialize_f64(self.to_f64()),
            _ => serializer.collect_str(self),
        }
    }
}

#[derive(Deserialize)]
#[serde(untagged)]
enum InFile {
    Whole(i64),
    Decimal(f64),
    Text(String),
}

impl<'de> Deserialize<'de> for Exact {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match InFile::deserialize(deserializer)? {
            InFile::Whole(n) => Ok(Self::whole(n)),
            InFile::Decimal(n) => Ok(Self::decimal(n)),
            InFile::Text(text) => text.parse().map_err(serde::de::Error::custom),
        }
    }
}

impl JsonSchema for Exact {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Amount".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "description": "A number, or a fraction as text: \"1 1/3\".",
            "anyOf": [
                { "type": "number", "format": "double" },
                { "type": "string", "format": "fraction" },
            ],
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn exact(text: &str) -> Exact {
        text.parse().expect(text)
    }

    #[test]
    fn numbers_and_fractions_are_read_and_written_alike() {
        for (text, above, below) in [
            ("3", 3, 1),
            ("1.25", 5, 4),
            ("2/3", 2, 3),
            ("1 1/3", 4, 3),
            (".5", 1, 2),
            ("-1 1/2", -3, 2),
        ] {
            assert_eq!(exact(text), Exact::fraction(above, below).expect("fraction"), "{text}");
        }
        for wrong in ["", "1/0", "two", "1 2", "1 1.5", "1/", "--1", "1e9", "1/2/3", "½"] {
            assert!(wrong.parse::<Exact>().is_err(), "{wrong}");
        }
        assert_eq!(exact("1 2/6").to_string(), "1 1/3");
        assert_eq!(exact("-1/3").to_string(), "-1/3");
        assert_eq!(exact("-1 1/2").to_string(), "-1.5");
        assert_eq!(exact("0.05").to_string(), "0.05");
        // Eighteen digits before the point or behind it are read, each of them; no more.
        let digits = "123456789012345678";
        assert_eq!(exact(digits).numerator(), 123_456_789_012_345_678);
        let below = Exact::fraction(123_456_789_012_345_678, 10_i128.pow(18));
        assert_eq!(Some(exact(&format!("0.{digits}"))), below);
        for wrong in [format!("{digits}9"), format!("0.{digits}9")] {
            assert!(wrong.parse::<Exact>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_decimal_number_is_the_one_that_was_written() {
        assert_eq!(Exact::decimal(0.1), exact("1/10"));
        assert_eq!(Exact::decimal(1.65), exact("33/20"));
        assert_eq!(Exact::decimal(f64::NAN), Exact::ZERO);
        assert_eq!(Exact::decimal(f64::INFINITY), Exact::decimal(1e15));
        assert_eq!(Exact::decimal(1e-300), Exact::ZERO);
        // Nine places are kept.
        assert_eq!(Exact::decimal(0.123_456_789_12), exact("0.123456789"));
        assert_eq!(Exact::decimal(-2.000_000_000_6), exact("-2.000000001"));
    }

    /// Two and three, each by so little more that no sum or product of them fits: to nine places they are 5 and 6.
    #[test]
    fn what_does_not_fit_is_rounded_to_nine_places() {
        let (some, other) = (10_i128.pow(30) + 57, 10_i128.pow(30) + 61);
        let two = Exact::fraction(2 * some + 1, some).expect("fraction");
        let three = Exact::fraction(3 * other + 1, other).expect("fraction");
        assert_eq!((two + three, three - two, two * three), (exact("5"), exact("1"), exact("6")));
        // What is too large or too fine by itself is cut as soon as it is reckoned with.
        let far = Exact::fraction(10_i128.pow(32), 1).expect("fraction");
        let fine = Exact::fraction(1, 10_i128.pow(32)).expect("fraction");
        let cut = [far * Exact::ONE, far + Exact::ZERO].map(Exact::to_f64);
        assert!(cut.iter().all(|&c| (c - 1e15).abs() < 1.0), "{cut:?}");
        assert_eq!([fine * Exact::ONE, fine + Exact::ZERO], [Exact::ZERO; 2]);
    }

    /// In a file a decimal number is a number; a third, and what a number would not hold whole, is text.
    #[test]
    fn a_file_has_numbers_where_they_hold_the_amount() {
        for (amount, file) in [
            ("1.25", "1.25"),
            ("-0.5", "-0.5"),
            ("3", "3"),
            ("1000000", "1000000"),
            ("1234567.5", "\"1234567.5\""),
            ("1/3", "\"1/3\""),
        ] {
            assert_eq!(serde_json::to_string(&exact(amount)).expect("JSON"), file);
        }
    }

    #[test]
    fn rounding_is_asked_for() {
        let quarter = exact("1/4");
        assert_eq!(exact("2.13").to_nearest(quarter), exact("2.25"));
        assert_eq!(exact("2.12").to_nearest(quarter), exact("2"));
        assert_eq!(exact("2.01").up_to(quarter), exact("2.25"));
        assert_eq!(exact("2").up_to(Exact::ZERO), exact("2"));
        assert_eq!(exact("7/2").over(exact("7/4")), Some(exact("2")));
        assert_eq!(exact("1").over(Exact::ZERO), None);
    }

    proptest! {
        #[test]
        fn a_file_keeps_every_number(above in -999_999_999_i128..999_999_999, below in 1_i128..99_999) {
            let number = Exact::fraction(above, below).expect("fraction");
            let file = serde_json::to_string(&number).expect("JSON");
            prop_assert_eq!(serde_json::from_str::<Exact>(&file).expect("number"), number, "{}", file);
            prop_assert_eq!(exact(&number.to_string()), number);
            prop_assert!((number.to_f64() - above as f64 / below as f64).abs() < 1e-6);
        }

        #[test]
        fn nothing_overflows(numbers in proptest::collection::vec((any::<i64>(), 1..i64::MAX), 1..30)) {
            let numbers = numbers.into_iter().filter_map(|(n, d)| Exact::fraction(n.into(), d.into()));
            let (mut sum, mut product) = (Exact::ZERO, Exact::ONE);
            for n in numbers {
                sum = sum + n;
                product = product * n;
                prop_assert!(sum <= sum.ceil() && product.floor() <= product);
            }
            let _ = serde_json::to_string(&sum).expect("JSON");
        }
    }
}
