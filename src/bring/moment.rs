//! Times in running text: "20 to 25 minutes", "about 1 hour 45 minutes - 2-1/2
//! hours", "half an hour", "1h30", "overnight", "18 minutes per pound".

use super::measure::UnitWord;
use super::number;
use crate::kitchen::units::Exact;

/// What "overnight" is taken as, in seconds: eight to twelve hours. Common
/// practice, no source.
const OVERNIGHT: (i64, i64) = (8 * 3600, 12 * 3600);
/// What "a few minutes" is taken as: two to five. Common practice, no source.
const FEW: (i64, i64) = (2, 5);
/// Longest time that is read, in units: more is no time.
const COUNT_MOST: i64 = 100_000;
/// Longest word of a number, in letters.
const WORD_MOST: usize = 20;

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
    /// It is a rate: "per pound".
    pub rate: bool,
    /// It says when or how often, not how long: "after 30 minutes", "every 10 minutes".
    pub when: Option<Point>,
}

/// What a time says that is no length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Point {
    /// "After 40 minutes": so long has gone by.
    After,
    /// "The last 5 minutes": a part of the whole, which is no shorter.
    Last,
    /// "Every 10 minutes", "within 2 hours".
    Other,
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
        let starts = lower.get(..at).is_some_and(|b| !b.ends_with(joined) && !by_clock(b));
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

/// "12:" of "12:30 hours": what follows is no number of its own.
fn by_clock(before: &str) -> bool {
    before.strip_suffix(':').is_some_and(|b| b.ends_with(|c: char| c.is_ascii_digit()))
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
    if ["hundred", "hundred and"].iter().any(|h| before.ends_with(h)) {
        // The end of a number that is not read: no time is better than a shorter one.
        return None;
    }
    let words: Vec<&str> = before.rsplit(' ').take(3).collect();
    let ends = |phrase: &str| before.ends_with(phrase);
    let least = ends("at least") || ends("minimum of") || ends("no less than");
    let most = ends("up to") || ends("at most") || ends("no more than");
    let about = ["about", "approximately", "around", "roughly", "approx.", "nearly", "~"]
        .iter()
        .any(|a| words.contains(a) || ends(a));
    let after = text.get(first.to..).unwrap_or_default().trim_start_matches([' ', ',', ')']);
    let until = ["or until", "until", "or till", "or just until", "or when"];
    let rate = [
        "per ",
        "a pound",
        "for each",
        "for every",
        "/lb",
        "to the pound",
        "each pound",
        "a kilo",
        "a kg",
        "/kg",
        "/ kg",
        "/ lb",
        "to the kilo",
        "each kilo",
        "each kg",
    ];
    // A side and a load are no weight: each takes that long.
    let of_load = ["per side", "per batch", "for each side", "for each batch"];
    let rate =
        rate.iter().any(|r| after.starts_with(r)) && !of_load.iter().any(|s| after.starts_with(s));
    let more = after.starts_with("or more") || after.starts_with("or longer");
    Some(Time {
        from: at,
        to: first.to,
        low: (!most).then_some(first.low),
        high: (!(least || more)).then_some(first.high),
        about,
        until: until.iter().any(|u| after.starts_with(u)),
        rate,
        when: is_when(before),
    })
}

/// Do these words make what follows them a point in time, or how often?
fn is_when(before: &str) -> Option<Point> {
    const ABOUT: [&str; 7] =
        ["about", "approximately", "around", "roughly", "approx.", "another", "~"];
    let mut bare = before;
    while let Some(shorter) = ABOUT.iter().find_map(|about| bare.strip_suffix(about)) {
        bare = shorter.trim_end();
    }
    let mut words = bare.rsplit(|c: char| !c.is_alphabetic());
    match words.next().unwrap_or_default() {
        "after" => Some(Point::After),
        "every" | "within" => Some(Point::Other),
        // "A final 10 minutes" are more time, "the final 10 minutes" are not.
        "last" | "final" if !matches!(words.next(), Some("a" | "one")) => Some(Point::Last),
        _ => None,
    }
}

fn span(text: &str, at: usize) -> Option<Span> {
    let first = one_span(text, at)?;
    // "1 hour 45 minutes - 2-1/2 hours", "30 minutes to 1 hour".
    let joined = skip(text, first.whole.to, joints(text, at, &["- ", "-", "to ", "and "]));
    if first.single
        && joined > first.whole.to
        && let Some(upper) = one_span(text, joined)
        && upper.whole.low >= first.whole.high
    {
        return Some(Span { high: upper.whole.high, to: upper.whole.to, ..first.whole });
    }
    Some(first.whole)
}

/// A number or a range with its unit, and what goes on with it.
fn one_span(text: &str, at: usize) -> Option<One> {
    if let Some(whole) = clocked(text, at) {
        return Some(One { whole, single: true });
    }
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
        } else if let Some(part) = part_behind(text, end) {
            let more = seconds(part.of_one, unit)?;
            whole.low += if part.sure { more } else { 0 };
            whole.high += more;
            whole.to = part.to;
        }
    }
    Some(One { whole, single: low == high })
}

/// A time that may be the lower end of a range.
struct One {
    whole: Span,
    /// It is no range of itself.
    single: bool,
}

/// "1:30 hours", "2:30 minutes".
fn clocked(text: &str, at: usize) -> Option<Span> {
    // "At 12:30 hours" is by the clock.
    if text.get(..at).is_some_and(|b| b.trim_end().ends_with(" at")) {
        return None;
    }
    let start = text.get(at..)?;
    let length = start.bytes().take(3).take_while(u8::is_ascii_digit).count();
    let (whole, rest) = start.split_at_checked(length).filter(|(whole, _)| whole.len() <= 2)?;
    let sixtieths = rest.strip_prefix(':')?.get(..2)?;
    if !sixtieths.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let (unit, to) = unit(text, at + length + 3)?;
    let count = whole.parse::<i64>().ok()? * 60 + sixtieths.parse::<i64>().ok()?;
    let seconds = seconds(Exact::fraction(count.into(), 60)?, unit)?;
    Some(Span { low: seconds, high: seconds, to })
}

/// What stands behind a unit and is a part of it.
struct Part {
    of_one: Exact,
    /// Nothing else can be meant.
    sure: bool,
    to: usize,
}

/// "an hour and a half", unless it is half of something else: "and a half cup of stock". Where
/// it may be either, it takes that long at the most.
fn part_behind(text: &str, at: usize) -> Option<Part> {
    const GOES_ON: [&str; 19] = [
        "or",
        "until",
        "till",
        "at",
        "in",
        "on",
        "over",
        "per",
        "to",
        "and",
        "then",
        "with",
        "more",
        "longer",
        "before",
        "turning",
        "for",
        "if",
        "depending",
    ];
    let rest = text.get(at..)?.strip_prefix(" and ")?;
    let (of_one, used) = fraction_behind(rest)?;
    let after = rest.get(used..)?;
    let words = after.trim_start();
    let next = words.split(|c: char| !c.is_alphanumeric()).next()?;
    let of = words.strip_prefix("of ").and_then(|of| of.split(|c: char| !c.is_alphabetic()).next());
    // "Of simmering" is, "of the cream" is not.
    let other = of.is_some_and(|of| !of.ends_with("ing"))
        || UnitWord::of(next).is_some() && !GOES_ON.contains(&next);
    let sure = next.is_empty()
        || !after.starts_with(' ')
        || GOES_ON.contains(&next)
        || next.ends_with("ing")
        || of.is_some();
    let to = text.len() - after.len();
    (!other).then_some(Part { of_one, sure, to })
}

/// "a half", "three quarters", with its length.
fn fraction_behind(text: &str) -> Option<(Exact, usize)> {
    const PARTS: [(&str, i64, i64); 9] = [
        ("a half", 1, 2),
        ("one half", 1, 2),
        ("one-half", 1, 2),
        ("half", 1, 2),
        ("a quarter", 1, 4),
        ("one quarter", 1, 4),
        ("three quarters", 3, 4),
        ("three-quarters", 3, 4),
        ("three quarter", 3, 4),
    ];
    let whole = |w: &str| text.strip_prefix(w).is_some_and(|t| !t.starts_with(char::is_alphabetic));
    // "Halfway through" is no half.
    let (words, n, d) = PARTS.into_iter().find(|(words, ..)| whole(words))?;
    Some((Exact::fraction(n.into(), d.into())?, words.len()))
}

/// What may join two numbers; the last of `words` only behind "between".
fn joints<'w>(text: &str, at: usize, words: &'w [&'w str]) -> &'w [&'w str] {
    let between = text.get(..at).is_some_and(|b| b.trim_end().ends_with("between"));
    let many = words.len().saturating_sub(usize::from(!between));
    words.get(..many).unwrap_or(words)
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
    // "Another hour".
    let other = rest.strip_prefix("another ").filter(|after| after.starts_with("hour"));
    if other.is_some() {
        return Some((Exact::ONE, Exact::ONE, at + "another".len()));
    }
    let (low, end) = one(text, at)?;
    let words = ["- ", "-", "to about ", "to ", "or ", "and "];
    let next = skip(text, end, joints(text, at, &words));
    if next > end && let Some((high, to)) = one(text, next)
        // "1 1/2" has been read whole; "20 25" is no range.
        && text.get(end..next).is_some_and(|j| !j.trim().is_empty())
        && high > low
    {
        return Some((low, high, to));
    }
    Some((low, low, end))
}

/// One number, in digits or words; "two and a half", "1 and three quarters" as well.
fn one(text: &str, at: usize) -> Option<(Exact, usize)> {
    let (number, end) = bare_one(text, at)?;
    let behind = text.get(end..).unwrap_or_default();
    let part = behind.strip_prefix(" and ").filter(|_| number >= Exact::ONE);
    let Some((part, used)) = part.and_then(fraction_behind) else { return Some((number, end)) };
    Some((number + part, end + " and ".len() + used))
}

fn bare_one(text: &str, at: usize) -> Option<(Exact, usize)> {
    let rest = text.get(at..)?;
    if let Some((number, used)) = number::leading(rest) {
        return Some((number, at + used));
    }
    for quarters in ["three quarters", "three-quarters"] {
        if rest.starts_with(quarters) {
            let end = at + quarters.len();
            let of = skip(text, end, &["of an", "of a"]);
            return Some((Exact::fraction(3, 4)?, of));
        }
    }
    // "forty-five" is one word, "ten-minute" are two.
    let whole = letters(rest, |c| c.is_alphabetic() || c == '-')?;
    let bare = letters(rest, char::is_alphabetic)?;
    let (word, number) =
        [whole, bare].into_iter().find_map(|word| Some((word, number::word(word)?)))?;
    let end = at + word.len();
    if number < Exact::ONE {
        // "half an hour", "a quarter of an hour".
        return Some((number, skip(text, end, &["of an", "an", "of a", "a"])));
    }
    if matches!(word, "a" | "an") {
        let next = text.get(skip(text, end, &[])..).unwrap_or_default();
        let half = letters(next, char::is_alphabetic).and_then(|w| Some((w, number::word(w)?)));
        if let Some((word, half)) = half.filter(|(_, half)| *half < Exact::ONE) {
            let end = text.len() - next.len() + word.len();
            return Some((half, skip(text, end, &["of an", "an", "of a", "a"])));
        }
    }
    // "forty five".
    let next = text.get(end..).and_then(|t| t.strip_prefix(' ')).unwrap_or_default();
    let both = letters(next, char::is_alphabetic)
        .and_then(|ones| Some((number::tens_and_ones(word, ones)?, ones.len())));
    if let Some((number, used)) = both {
        return Some((number, end + 1 + used));
    }
    Some((number, end))
}

/// The word at the start of a text; none, if it is longer than any number.
fn letters(text: &str, of: fn(char) -> bool) -> Option<&str> {
    let end = text.char_indices().take(WORD_MOST).find(|(_, c)| !of(*c)).map(|(at, _)| at);
    let end =
        end.or_else(|| (text.chars().take(WORD_MOST).count() < WORD_MOST).then_some(text.len()))?;
    text.get(..end).filter(|w| !w.is_empty())
}

/// A unit of time in seconds, and where its word ends.
fn unit(text: &str, at: usize) -> Option<(i64, usize)> {
    let rest = text.get(at..)?;
    let bare = rest.trim_start_matches([' ', '-']);
    let begin = text.len() - bare.len();
    const MORE: [&str; 7] =
        ["more ", "additional ", "further ", "extra ", "full ", "whole ", "good "];
    let bare = MORE.iter().find_map(|more| bare.strip_prefix(more)).unwrap_or(bare);
    let begin = begin.max(text.len() - bare.len());
    let word = letters(bare, char::is_alphabetic)?;
    let length = word.len();
    let seconds = match word {
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
            ("bake for 1:30 hours", "5400-5400"),
            ("whisk for 2:30 minutes", "150-150"),
            ("1 hour and a half", "5400-5400"),
            ("an hour and a quarter at 180 C", "4500-4500"),
            ("2 hours and a half cup of stock", "7200-7200"),
            ("three quarters of an hour", "2700-2700"),
            ("forty-five minutes", "2700-2700"),
            ("thirty minutes", "1800-1800"),
            ("between 20 and 30 minutes", "1200-1800"),
            ("between 30 minutes and an hour", "1800-3600"),
            ("simmer 20 minutes and 30 minutes more", "1200-1200 1800-1800"),
            ("1 and a half hours", "5400-5400"),
            ("one and a half hours", "5400-5400"),
            ("two and a quarter hours", "8100-8100"),
            ("an hour and a half of simmering", "5400-5400"),
            ("an hour and a half turning it", "5400-5400"),
            ("an hour and a half uncovered", "3600-5400"),
            ("an hour and a half of the stock", "3600-3600"),
            ("forty five minutes", "2700-2700"),
            ("twenty-five to thirty five minutes", "1500-2100"),
            ("a hundred and twenty minutes", ""),
            ("nineteen minutes", "1140-1140"),
            ("bake for another hour", "3600-3600"),
            ("cook a further hour", "3600-3600"),
            ("put it in at 12:30 hours", ""),
            ("half an hour to an hour", "1800-3600"),
            ("a quarter of an hour", "900-900"),
        ] {
            assert_eq!(shown(text).join(" "), expected, "{text}");
        }
        let two = shown("Boil 5 minutes, then simmer for 40 minutes or until soft.");
        assert_eq!(two, ["300-300", "2400-2400"]);
        let time = times("simmer about 40 min or until soft").remove(0);
        assert!(time.about && time.until && !time.rate);
        assert!(times("roast 18 minutes per pound").remove(0).rate);
        assert!(!times("sear 2 minutes per side").remove(0).rate);
        let when = |text: &str| times(text).remove(0).when;
        assert_eq!(when("after about 30 minutes"), Some(Point::After));
        assert_eq!(when("for the last 5 minutes"), Some(Point::Last));
        for other in ["turn every 15 minutes", "chill within 2 hours"] {
            assert_eq!(when(other), Some(Point::Other), "{other}");
        }
        for long in ["chill for 2 hours", "bake for a final 5 minutes", "for another 5 minutes"] {
            assert_eq!(when(long), None, "{long}");
        }
    }

    /// However long a text is that goes on and on, it is read in a moment.
    #[test]
    fn no_text_is_read_twice() {
        let many = 20_000;
        for text in
            ["1 hour to ", "an hour - ", "twenty-", "twenty ", "half a ", "1 hour and ", "a "]
        {
            let long = text.repeat(many);
            assert!(times(&long).len() <= many, "{text}");
        }
    }
}
