//! Durations as pages give them: ISO 8601 (`PT1H30M`, `P0DT1H15M`, `PT1.5H`), and
//! what they write instead ("1 hour 30 minutes", "90").

use super::moment;
use crate::kitchen::units::Exact;

/// Longest duration that is believed: thirty days.
const MINUTES_MOST: i64 = 30 * 24 * 60;

/// Minutes of a duration, rounded up; nothing for an empty one or nought, which
/// pages write where they do not know.
#[must_use]
pub fn minutes(text: &str) -> Option<u32> {
    let text = text.trim();
    let minutes = match iso(text) {
        Some(minutes) => minutes,
        None if text.starts_with(['P', 'p']) => return None,
        None => {
            let found = moment::times(text);
            let seconds: i64 = found.iter().map(|t| t.high.or(t.low).unwrap_or(0)).sum();
            match seconds {
                0 => Exact::whole(text.parse::<i64>().ok()?),
                n => Exact::fraction(n.into(), 60)?,
            }
        }
    };
    let minutes = minutes.ceil().to_i64();
    if !(1..=MINUTES_MOST).contains(&minutes) {
        return None;
    }
    u32::try_from(minutes).ok()
}

/// `P[n]Y[n]M[n]W[n]DT[n]H[n]M[n]S`, blanks and lower case allowed; months and
/// years are no time to cook.
fn iso(text: &str) -> Option<Exact> {
    let text: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    let mut rest = text.strip_prefix(['P', 'p'])?;
    let mut sum = Exact::whole(0);
    let mut clock = false;
    let mut any = false;
    while !rest.is_empty() {
        if let Some(after) = rest.strip_prefix(['T', 't']).filter(|_| !clock) {
            clock = true;
            rest = after;
            continue;
        }
        let (number, used) = super::number::leading(rest)?;
        let mut signs = rest.get(used..)?.chars();
        let factor = match (signs.next()?.to_ascii_uppercase(), clock) {
            ('W', false) => Exact::whole(7 * 24 * 60),
            ('D', false) => Exact::whole(24 * 60),
            ('H', true) => Exact::whole(60),
            ('M', true) => Exact::ONE,
            ('S', true) => Exact::fraction(1, 60)?,
            ('Y' | 'M', false) if !number.is_positive() => Exact::whole(0),
            _ => return None,
        };
        sum = sum + number * factor;
        any = true;
        rest = signs.as_str();
    }
    any.then_some(sum)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn durations_are_read_as_pages_write_them() {
        for (text, expected) in [
            ("PT0H25M", Some(25)),
            ("P0DT1H15M", Some(75)),
            ("PT1.5H", Some(90)),
            ("pt1h 30m", Some(90)),
            ("PT90M", Some(90)),
            ("P1D", Some(1440)),
            ("P0Y0M0DT0H35M0.000S", Some(35)),
            ("PT45S", Some(1)),
            ("PT0M", None),
            ("", None),
            ("P1M", None),
            ("PT", None),
            ("PT99999999H", None),
            ("1 hour 30 minutes", Some(90)),
            ("45 mins", Some(45)),
            ("20", Some(20)),
            ("soon", None),
        ] {
            assert_eq!(minutes(text), expected, "{text}");
        }
    }
}
