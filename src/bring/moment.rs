//! Times in running text: "20 to 25 minutes", "about 1 hour 45 minutes - 2-1/2
//! hours", "half an hour", "1h30", "overnight", "18 minutes per pound".

use super::number;
use crate::kitchen::units::Exact;

/// What "overnight" is taken as, in seconds: eight to twelve hours. Common
/// practice, no source.
const OVERNIGHT: (i64, i64) = (8 * 3600, 12 * 3600);
/// What "a few minutes" is taken as: two to five. Common practice, no source.
const FEW: (i64, i64) = (2, 5);
/// Longest time that is read, in units: more is no time.
const COUNT_MOST: i64 = 100_000;

/// A time in a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Time {
    /// Where its words begin and end, in bytes.
    pub from: usize,
    /// The end of its words.
    pub to: usize,
    /// Seconds at the least; nothing for "up to an hour".
    pub low: Option<i64>,
    /// Seconds at the most; nothing for "at least an hour".
    pub high: Option<i64>,
    /// It is said to be rough.
    pub about: bool,
    /// "or until …", "until …" follows: what ends it is the food, not the clock.
    pub until: bool,
    /// It is a rate: "per pound", "for each side".
    pub rate: bool,
}

/// Every time of a text, in order. A second time that the first goes on with
/// ("1 hour 45 minutes") is one with it.
#[must_use]
pub fn times(text: &str) -> Vec<Time> {
    let lower = text.to_lowercase();
    // Lower case may be longer or shorter; then places would not fit.
    let lower = if lower.len() == text.len() { lower } else { text.to_owned() };
    let mut found: Vec<Time> = Vec::new();
    let mut at = 0;
    while at < lower.len() {
        let starts = at == 0 || !lower.get(..at).is_some_and(|b| b.ends_with(joined));
        let read = if starts { time_at(&lower, at) } else { None };
        match read {
            Some(time) => {
                at = time.to;
                found.push(time);
            }
            None => at += lower.get(at..).and_then(|r| r.chars().next()).map_or(1, char::len_utf8),
        }
    }
    found
}

fn joined(c: char) -> bool {
    c.is_alphanumeric() || c == '/' || c == '.'
}

/// A number or a range with its unit, in seconds, and where it ends.
struct Span {
    low: i64,
    high: i64,
    to: usize,
}

fn time_at(text: &str, at: usize) -> Option<Time> {
    let first = if let Some(rest) = text.get(at..).and_then(|r| r.strip_prefix("overnight")) {
        Span { low: OVERNIGHT.0, high: OVERNIGHT.1, to: text.len() - rest.len() }
    } else {
        span(text, at)?
    };
    let before = text.get(..at).unwrap_or_default().trim_end();
    let words: Vec<&str> = before.rsplit(' ').take(3).collect();
    let ends = |phrase: &str| before.ends_with(phrase);
    let least = ends("at least") || ends("minimum of") || ends("no less than");
    let most = ends("up to") || ends("at most") || ends("no more than");
    let about = ["about", "approximately", "around", "roughly", "approx.", "nearly", "~"]
        .iter()
        .any(|a| words.contains(a) || ends(a));
    let after = text.get(first.to..).unwrap_or_default().trim_start_matches([' ', ',', ')']);
    let until = ["or until", "until", "or till", "or just until", "or when"];
    let rate = ["per ", "a pound", "for each", "for every", "/lb", "to the pound", "each pound"];
    let more = after.starts_with("or more") || after.starts_with("or longer");
    Some(Time {
        from: at,
        to: first.to,
        low: (!most).then_some(first.low),
        high: (!(least || more)).then_some(first.high),
        about,
        until: until.iter().any(|u| after.starts_with(u)),
        rate: rate.iter().any(|r| after.starts_with(r)),
    })
}

fn span(text: &str, at: usize) -> Option<Span> {
    let (low, high, end) = numbers(text, at)?;
    let (unit, end) = unit(text, end)?;
    let mut whole = Span { low: seconds(low, unit)?, high: seconds(high, unit)?, to: end };
    // "1 hour 45 minutes", "1 hour and 20 to 30 minutes", "1h30".
    if unit > 60 {
        let skipped = skip(text, end, &["and ", "& ", ", "]);
        let smaller = numbers(text, skipped).and_then(|(l, h, e)| {
            let glued = skipped == end && unit == 3600;
            match self::unit(text, e) {
                Some((u, to)) if u < unit => Some((l, h, u, to)),
                None if glued && l < Exact::whole(60) => Some((l, h, 60, e)),
                _ => None,
            }
        });
        if let Some((l, h, u, to)) = smaller {
            whole.low += seconds(l, u)?;
            whole.high += seconds(h, u)?;
            whole.to = to;
        }
    }
    // "1 hour 45 minutes - 2-1/2 hours", "30 minutes to 1 hour".
    let joined = skip(text, whole.to, &["- ", "-", "to "]);
    if low == high
        && joined > whole.to
        && let Some(upper) = span(text, joined)
        && upper.low >= whole.high
    {
        return Some(Span { low: whole.low, high: upper.high, to: upper.to });
    }
    Some(whole)
}

/// Past a blank and one of `words`; the place itself if none stands there.
fn skip(text: &str, at: usize, words: &[&str]) -> usize {
    let rest = text.get(at..).unwrap_or_default();
    let bare = rest.trim_start_matches(' ');
    let blank = rest.len() - bare.len();
    let word = words.iter().find(|w| bare.starts_with(**w)).map_or(0, |w| w.len());
    let after = bare.get(word..).unwrap_or_default();
    let more = after.len() - after.trim_start_matches(' ').len();
    if word == 0 && blank == 0 { at } else { at + blank + word + more }
}

fn seconds(count: Exact, unit: i64) -> Option<i64> {
    (count <= Exact::whole(COUNT_MOST)).then(|| (count * Exact::whole(unit)).ceil().to_i64())
}

/// A number or a range of two, and where they end.
fn numbers(text: &str, at: usize) -> Option<(Exact, Exact, usize)> {
    let rest = text.get(at..)?;
    for few in ["a few more ", "a few ", "a couple of ", "several "] {
        if let Some(after) = rest.strip_prefix(few) {
            let (low, high) = if few == "a couple of " { (2, 3) } else { FEW };
            return Some((Exact::whole(low), Exact::whole(high), text.len() - after.len()));
        }
    }
    let (low, end) = one(text, at)?;
    let next = skip(text, end, &["- ", "-", "to about ", "to ", "or "]);
    if next > end && let Some((high, to)) = one(text, next)
        // "1 1/2" has been read whole; "20 25" is no range.
        && text.get(end..next).is_some_and(|j| !j.trim().is_empty())
        && high > low
    {
        return Some((low, high, to));
    }
    Some((low, low, end))
}

/// One number, in digits or words.
fn one(text: &str, at: usize) -> Option<(Exact, usize)> {
    let rest = text.get(at..)?;
    if let Some((number, used)) = number::leading(rest) {
        return Some((number, at + used));
    }
    let length = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
    let word = rest.get(..length).filter(|w| !w.is_empty())?;
    let number = number::word(word)?;
    let mut end = at + length;
    if number < Exact::ONE {
        // "half an hour", "a quarter of an hour".
        end = skip(text, end, &["of an", "an", "of a", "a"]);
        return Some((number, end.max(at + length)));
    }
    if matches!(word, "a" | "an")
        && let Some((fraction, end)) = one(text, skip(text, end, &[]))
        && fraction < Exact::ONE
    {
        return Some((fraction, end));
    }
    // "two and a half hours".
    let half = skip(text, end, &["and a half"]);
    if text.get(end..half).is_some_and(|s| s.contains("half")) {
        return Some((number + Exact::fraction(1, 2)?, half));
    }
    Some((number, end))
}

/// A unit of time in seconds, and where its word ends.
fn unit(text: &str, at: usize) -> Option<(i64, usize)> {
    let rest = text.get(at..)?;
    let bare = rest.trim_start_matches([' ', '-']);
    let begin = text.len() - bare.len();
    let bare =
        bare.strip_prefix("more ").or_else(|| bare.strip_prefix("additional ")).unwrap_or(bare);
    let begin = begin.max(text.len() - bare.len());
    let length = bare.find(|c: char| !c.is_alphabetic()).unwrap_or(bare.len());
    let seconds = match bare.get(..length)? {
        "s" | "sec" | "secs" | "second" | "seconds" => 1,
        "m" | "min" | "mins" | "minute" | "minutes" => 60,
        "h" | "hr" | "hrs" | "hour" | "hours" => 3600,
        "d" | "day" | "days" => 86_400,
        _ => return None,
    };
    // "2 m" is a length as often; "2m" is none.
    if length == 1 && begin > at && bare.starts_with('m') {
        return None;
    }
    Some((seconds, begin + length))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str) -> Vec<String> {
        let end = |e: Option<i64>| e.map_or("?".to_owned(), |s| s.to_string());
        times(text).iter().map(|t| format!("{}-{}", end(t.low), end(t.high))).collect()
    }

    #[test]
    fn times_are_read_from_running_text() {
        for (text, expected) in [
            ("Roast 20 to 25 minutes, turning once.", "1200-1500"),
            ("bake for 1 hour 45 minutes - 2-1/2 hours", "6300-9000"),
            ("about half an hour", "1800-1800"),
            ("a quarter of an hour", "900-900"),
            ("rest for 1h30", "5400-5400"),
            ("leave overnight", "28800-43200"),
            ("Chill at least 3 to 4 hours", "10800-?"),
            ("up to 2 days", "?-172800"),
            ("a few minutes", "120-300"),
            ("an hour and 20 minutes", "4800-4800"),
            ("30 minutes to 1 hour", "1800-3600"),
            ("two and a half hours", "9000-9000"),
            ("1 1/2 hours", "5400-5400"),
            ("fry 90 seconds a side", "90-90"),
            ("10-minute rest", "600-600"),
            ("cook 5 more minutes", "300-300"),
            ("cut into 2 cm cubes, 3 per person", ""),
            ("Heat to 165 F. for 15 seconds", "15-15"),
        ] {
            assert_eq!(shown(text).join(" "), expected, "{text}");
        }
        let two = shown("Boil 5 minutes, then simmer for 40 minutes or until soft.");
        assert_eq!(two, ["300-300", "2400-2400"]);
        let time = times("simmer about 40 min or until soft").remove(0);
        assert!(time.about && time.until && !time.rate);
        assert!(times("roast 18 minutes per pound").remove(0).rate);
    }
}
