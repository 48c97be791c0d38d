//! Chances in words that a cook reads at a glance.

use super::forecast::{Odds, Threat};
use crate::kitchen::Evening;

/// "94 %"; never more than 99 or less than 1 unless nothing else was seen, as
/// nothing in a kitchen is certain.
#[must_use]
pub fn percent(odds: &Odds) -> String {
    format!("{} %", whole(odds.share()))
}

/// "93 to 95 %".
#[must_use]
pub fn interval(odds: &Odds) -> String {
    let (low, high) = odds.interval();
    let (low, high) = ((low * 100.0).floor() as u32, (high * 100.0).ceil() as u32);
    format!("{low} to {high} %")
}

/// "19 of 20 evenings on time".
#[must_use]
pub fn evenings(odds: &Odds) -> String {
    let (part, of) = of_twenty(odds.share());
    format!("{part} of {of} evenings on time")
}

/// "19 of 20 evenings on time (92 to 95 %). Watch the soup simmer (3 min over) and …"
#[must_use]
pub fn sentence(evening: &Evening, odds: &Odds) -> String {
    let head = format!("{}: {} ({})", percent(odds), evenings(odds), interval(odds));
    let names: Vec<String> = odds
        .threats
        .iter()
        .map(|t| format!("{} (+{} min)", step(evening, t), t.over_minutes.max(1)))
        .collect();
    if names.is_empty() {
        format!("{head}.")
    } else {
        format!("{head}. Watch {}.", names.join(", "))
    }
}

/// What is said where a plan stays below the wish.
#[must_use]
pub fn falls_short(wish: u32) -> String {
    format!(
        "{wish} % was wished for. Room was made where it could be; no plan was found that is so sure."
    )
}

/// "19 of 20 on time".
#[must_use]
pub fn often(odds: &Odds) -> String {
    let (part, of) = of_twenty(odds.share());
    format!("{part} of {of} on time")
}

/// A share as so many of twenty, or of a hundred where twenty would say all or nothing.
fn of_twenty(share: f64) -> (u32, u32) {
    let twentieths = (share * 20.0).round() as u32;
    match twentieths {
        1..=19 => (twentieths, 20),
        _ => (whole(share), 100),
    }
}

/// Whole per cent, 1 to 99.
fn whole(share: f64) -> u32 {
    ((share * 100.0).round() as u32).clamp(1, 99)
}

/// "soup simmer".
#[must_use]
pub fn step(evening: &Evening, threat: &Threat) -> String {
    let Some(sheet) = evening.sheets.get(threat.dish) else { return String::new() };
    let label = sheet.recipe.steps.get(threat.step).map_or("", |s| s.label.as_str());
    let short = sheet.short();
    if short.to_lowercase() == label.to_lowercase() { short } else { format!("{short} {label}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn odds(on_time: u32) -> Odds {
        Odds { on_time, evenings: 2_000, ..Odds::default() }
    }

    #[test]
    fn shares_read_aloud_and_nothing_is_certain() {
        let read = [1_880, 2_000, 0, 30].map(|n| (percent(&odds(n)), evenings(&odds(n))));
        let said = read.each_ref().map(|(p, e)| (p.as_str(), e.as_str()));
        assert_eq!(
            said,
            [
                ("94 %", "19 of 20 evenings on time"),
                ("99 %", "99 of 100 evenings on time"),
                ("1 %", "1 of 100 evenings on time"),
                ("2 %", "2 of 100 evenings on time"),
            ]
        );
    }

    #[test]
    fn the_interval_is_never_told_narrower_than_it_is() {
        // Wilson: 0.9288 to 0.9495.
        assert_eq!(interval(&odds(1_880)), "92 to 95 %");
    }

    #[test]
    fn what_endangers_a_service_is_named_with_its_minutes() {
        let evening = crate::plan::sample::evening();
        let threat = |dish, step, over_minutes| Threat { dish, step, evenings: 9, over_minutes };
        let mut service = odds(1_880);
        let head = "94 %: 19 of 20 evenings on time (92 to 95 %).";
        assert_eq!(sentence(&evening, &service), head);
        // A dish whose step is called as it is by itself, and less than a minute.
        service.threats = vec![threat(0, 1, 3), threat(1, 0, 0)];
        let said = format!("{head} Watch Roast (+3 min), Chips cut (+1 min).");
        assert_eq!(sentence(&evening, &service), said);
        assert_eq!(step(&evening, &threat(9, 0, 1)), "");
        assert_eq!(often(&odds(1_880)), "19 of 20 on time");
        assert!(falls_short(95).starts_with("95 % was wished for."));
    }

    #[test]
    fn a_wish_is_met_just_so_and_missed_beyond_what_counting_may_be_off() {
        assert!(odds(1_800).meets(90) && !odds(1_799).meets(90));
        // 1 760 of 2 000: Wilson's interval is 0.8650 to 0.8935.
        assert!(odds(1_760).falls_short_of(90) && !odds(1_760).falls_short_of(89));
        assert!(!odds(1_880).falls_short_of(90));
    }
}
