//! Numbers as recipes write them, exactly: `1 1/2`, `1-1/2`, `1,5`, `1,000`,
//! "half a dozen".

use crate::kitchen::units::Exact;

/// Most digits of one number.
const DIGITS_MOST: usize = 7;
/// Most digits of a denominator.
const DENOMINATOR_DIGITS_MOST: usize = 3;

/// Reads a number at the start of `text`: digits, a decimal, a fraction or a
/// mixed number. Gives it and the bytes that it takes.
#[must_use]
pub fn leading(text: &str) -> Option<(Exact, usize)> {
    let (whole, used) = digits(text)?;
    let rest = text.get(used..)?;
    if let Some((denominator, more)) = after_slash(rest) {
        return Some((Exact::fraction(whole.into(), denominator.into())?, used + more));
    }
    if let Some((number, more)) = decimals(whole, used, rest) {
        return Some((number, used + more));
    }
    if let Some((fraction, more)) = mixed(rest) {
        return Some((Exact::whole(whole) + fraction, used + more));
    }
    Some((Exact::whole(whole), used))
}

/// Digits at the start, with commas between thousands.
fn digits(text: &str) -> Option<(i64, usize)> {
    let length = text.bytes().take_while(u8::is_ascii_digit).count();
    if length == 0 || length > DIGITS_MOST {
        return None;
    }
    let mut number: i64 = text.get(..length)?.parse().ok()?;
    let mut used = length;
    while length <= 3 && number <= 9_999 {
        let group = text.get(used..).unwrap_or_default().strip_prefix(',');
        let Some(group) = group else { break };
        if group.bytes().take_while(u8::is_ascii_digit).count() != 3 {
            break;
        }
        number = number * 1000 + group.get(..3)?.parse::<i64>().ok()?;
        used += 4;
    }
    // "10 000": a blank between thousands, told from "1 400 g tin" by the nought behind it.
    while length <= 3 && number <= 9_999 {
        let group = text.get(used..).unwrap_or_default().strip_prefix(' ');
        let Some(group) = group.filter(|g| g.starts_with('0')) else { break };
        if number == 0 || group.bytes().take_while(u8::is_ascii_digit).count() != 3 {
            break;
        }
        number = number * 1000 + group.get(..3)?.parse::<i64>().ok()?;
        used += 4;
    }
    Some((number, used))
}

/// `/d`, with a denominator that is one, and no third part as in a date.
fn after_slash(rest: &str) -> Option<(i64, usize)> {
    let after = rest.strip_prefix('/')?;
    let length = after.bytes().take_while(u8::is_ascii_digit).count();
    if length == 0 || length > DENOMINATOR_DIGITS_MOST {
        return None;
    }
    let denominator: i64 = after.get(..length)?.parse().ok()?;
    (denominator > 0).then_some((denominator, length + 1))
}

/// `.5` or `,5` after the whole part; a comma must have its digits right behind it.
fn decimals(whole: i64, used: usize, rest: &str) -> Option<(Exact, usize)> {
    let after = rest.strip_prefix('.').or_else(|| rest.strip_prefix(','))?;
    let length = after.bytes().take_while(u8::is_ascii_digit).count();
    // A comma before three digits divides thousands, which `digits` has read.
    if length == 0 || length > 4 || used + length > DIGITS_MOST {
        return None;
    }
    let part: i64 = after.get(..length)?.parse().ok()?;
    let scale = 10_i64.pow(u32::try_from(length).ok()?);
    Some((Exact::fraction((whole * scale + part).into(), scale.into())?, length + 1))
}

/// A proper fraction after a blank or a hyphen (` 1/2`, `-1/2`, ` & 1/2`, ` and 1/2`).
fn mixed(rest: &str) -> Option<(Exact, usize)> {
    let blank = rest.len() - rest.trim_start_matches(' ').len();
    let after = rest.get(blank..)?;
    let joined =
        ["-", "& ", "and "].iter().find_map(|j| after.strip_prefix(j).map(|a| (a, j.len())));
    let (after, join) = match joined {
        Some(found) => found,
        None if blank > 0 => (after, 0),
        None => return None,
    };
    let length = after.bytes().take_while(u8::is_ascii_digit).count();
    if length == 0 || length > DENOMINATOR_DIGITS_MOST {
        return None;
    }
    let numerator: i64 = after.get(..length)?.parse().ok()?;
    let (denominator, more) = after_slash(after.get(length..)?)?;
    // "1-3/2" is no mixed number; neither is "1 0/2".
    if !(0 < numerator && numerator < denominator) {
        return None;
    }
    Some((Exact::fraction(numerator.into(), denominator.into())?, blank + join + length + more))
}

/// Longest word of a number, in bytes.
const WORD_MOST: usize = 16;

/// Numbers that are written as words, "forty-five" as well. "Few" and "some" are none.
#[must_use]
pub fn word(word: &str) -> Option<Exact> {
    if word.len() > WORD_MOST {
        return None;
    }
    let lower = word.to_ascii_lowercase();
    let part = |n: i64, d: i64| Exact::fraction(n.into(), d.into());
    match lower.as_str() {
        "a" | "an" => return Some(Exact::ONE),
        "couple" | "pair" => return Some(Exact::whole(2)),
        "dozen" => return Some(Exact::whole(12)),
        "half" | "one-half" => return part(1, 2),
        "quarter" | "one-quarter" => return part(1, 4),
        "three-quarters" => return part(3, 4),
        "one-third" => return part(1, 3),
        "two-thirds" => return part(2, 3),
        _ => {}
    }
    let whole = match lower.split_once('-') {
        Some((tens, ones)) => return tens_and_ones(tens, ones),
        None => place(&TENS, &lower).map(|n| n * 10 + 20),
    };
    whole.or_else(|| Some(place(&ONES, &lower)? + 1)).map(Exact::whole)
}

/// From one on.
const ONES: [&str; 19] = [
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
];
/// From twenty on.
const TENS: [&str; 8] =
    ["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"];

fn place(list: &[&str], word: &str) -> Option<i64> {
    i64::try_from(list.iter().position(|w| *w == word)?).ok()
}

/// "Forty" and "five" are 45.
#[must_use]
pub fn tens_and_ones(tens: &str, ones: &str) -> Option<Exact> {
    let ones = place(&ONES, ones).filter(|n| *n < 9)? + 1;
    Some(Exact::whole(place(&TENS, tens)? * 10 + 20 + ones))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_read_exactly() {
        for (text, n, d, used) in [
            ("1 cup", 1, 1, 1),
            ("1 1/2 cups", 3, 2, 5),
            ("1-1/2 cups", 3, 2, 5),
            ("1/2-3/4 cup", 1, 2, 3),
            ("1 and 1/2", 3, 2, 9),
            ("1.5kg", 3, 2, 3),
            ("1,5 kg", 3, 2, 3),
            ("1,000 g", 1000, 1, 5),
            ("10 000 g", 10_000, 1, 6),
            ("1 050 g", 1050, 1, 5),
            ("1 400g tin", 1, 1, 1),
            ("2-3 cloves", 2, 1, 1),
            ("1 14.5-ounce", 1, 1, 1),
            ("3, chopped", 3, 1, 1),
            ("1/0 cup", 1, 1, 1),
            ("12/25/2026", 12, 25, 5),
        ] {
            let number = Exact::fraction(n, d).expect("a number");
            assert_eq!(leading(text), Some((number, used)), "{text}");
        }
        for text in ["", "x", "12345678 g"] {
            assert_eq!(leading(text), None, "{text}");
        }
        for (text, n) in [("forty-five", 45), ("Thirty", 30), ("sixteen", 16), ("one", 1)] {
            assert_eq!(word(text), Some(Exact::whole(n)), "{text}");
        }
        for (text, n) in [("seventeen", 17), ("nineteen", 19), ("ninety-nine", 99), ("dozen", 12)] {
            assert_eq!(word(text), Some(Exact::whole(n)), "{text}");
        }
        for text in ["ten-minute", "twenty-minute", "half-baked", "twenty-ten", "twenty-one-two"] {
            assert_eq!(word(text), None, "{text}");
        }
        // A word of a whole page is none, and is not read through.
        assert_eq!(word(&"twenty-".repeat(100_000)), None);
    }
}
