//! The cautions that stand wherever a figure is shown, and figures in words
//! with their source.

use super::figure::{Heat, Seen};
use super::limit::least_inner;
use super::profile::Profile;
use crate::kitchen::units::Degrees;
use crate::kitchen::{FoodClass, HoldClass};

/// Stands on every page and report that shows a safety figure.
pub const LOCAL_RULES_WIN: &str = "Local rules and package directions win.";

/// For a page with room for one line.
pub const SHORT: &str = "A help, not a guarantee. Local rules and package directions win.";

/// Beside a clock: it knows only what was marked.
pub const ONLY_WHAT_IS_MARKED: &str =
    "Counts what was marked. If you are not sure how long it stood, throw it out.";

/// Beside an advice to heat again. (Toxins that survive: Baldwin 2012, p. 21.)
pub const HEATING_IS_NO_CURE: &str =
    "Heating again does not make food good that stood too long: some poisons survive.";

/// Beside a temperature field.
pub const HOW_TO_MEASURE: &str =
    "Measure the coldest, thickest part, away from bone and pan; note the lowest reading.";

/// The cautions of a report that uses this profile, one line each.
#[must_use]
pub fn lines(profile: &Profile) -> Vec<String> {
    let mut lines = vec![
        format!("Safety figures: {}, written for {}.", profile.title, profile.for_whom),
        SHORT.to_owned(),
        ONLY_WHAT_IS_MARKED.to_owned(),
        HEATING_IS_NO_CURE.to_owned(),
    ];
    if has_memory(profile) {
        lines.push("Figures marked \"from memory\" were not seen in a text.".to_owned());
    }
    lines
}

/// Is any of it from memory?
fn has_memory(profile: &Profile) -> bool {
    let mut sources = profile.thawing.iter().map(|t| &t.source);
    sources.any(|s| s.seen == Seen::FromMemory)
        || profile.figures().iter().any(|f| f.source.seen == Seen::FromMemory)
}

/// Every figure of the profile with its source, for a report's last page:
/// `hot_hold_least: 140 °F (60 °C) - USDA …, pages 22-25 (…); read in …`.
#[must_use]
pub fn sources(profile: &Profile) -> Vec<String> {
    let figure = |f: &super::ledger::Figure<'_>| {
        format!("{}: {} - {}; {}", f.name, f.printed, f.source, f.source.seen)
    };
    profile.figures().iter().map(figure).collect()
}

/// How food is held, for the cook: `keep at 140 °F or hotter`.
#[must_use]
pub fn hold_words(profile: &Profile, held: HoldClass, unit: Degrees) -> String {
    match held {
        HoldClass::Hot => format!("keep at {} or hotter", profile.hot_hold_least.least_text(unit)),
        HoldClass::Cold => format!("keep at {} or colder", profile.cold_hold_most.most_text(unit)),
        HoldClass::Room => profile.room_rule.title.clone(),
    }
}

/// What a food must reach inside: `at least 145 °F inside, then rest 3 min`;
/// `None` if neither the guidance nor the recipe (in °C) has a figure.
#[must_use]
pub fn inner_words(
    profile: &Profile,
    class: FoodClass,
    recipe_c: Option<f64>,
    unit: Degrees,
) -> Option<String> {
    let inner = least_inner(profile, class);
    let own_c = recipe_c.filter(|c| c.is_finite());
    let own_higher = own_c.filter(|&c| inner.is_none_or(|i| c > i.counts().c()));
    let least = match (own_higher, inner) {
        (Some(celsius), _) => format!("{} (the recipe's own)", shown_least(celsius, unit)),
        (None, Some(inner)) => inner.counts().least_text(unit),
        (None, None) => return None,
    };
    let mut words = format!("at least {least} inside");
    if let Some(hold) = inner.and_then(|i| i.hold.as_ref()) {
        words.push_str(&format!(" for {} s", hold.value_seconds));
    }
    if let Some(rest) = inner.and_then(|i| i.rest.as_ref()) {
        words.push_str(&format!(", then rest {} min", rest.value_minutes));
    }
    Some(words)
}

/// A recipe's own least temperature, rounded up to a whole degree.
fn shown_least(celsius: f64, unit: Degrees) -> String {
    match unit {
        Degrees::Celsius => format!("{:.0} °C", (celsius - 1e-6).ceil()),
        Degrees::Fahrenheit => format!("{:.0} °F", (super::c_to_f(celsius) - 1e-6).ceil()),
    }
}

/// How food is heated again: `165 °F all through for 15 s, within 120 min`.
#[must_use]
pub fn reheat_words(profile: &Profile, unit: Degrees) -> String {
    let least: &Heat = &profile.reheat.least;
    let mut words = format!("{} all through", least.least_text(unit));
    if let Some(hold) = &profile.reheat.hold {
        words.push_str(&format!(" for {} s", hold.value_seconds));
    }
    if let Some(within) = &profile.reheat.within {
        words.push_str(&format!(", within {} min", within.value_minutes));
    }
    if let Some(stand) = &profile.reheat.microwave_stand {
        words.push_str(&format!("; from a microwave, {} min covered", stand.value_minutes));
    }
    if let Some(elsewhere) = &profile.reheat.elsewhere {
        let heat = elsewhere.least.least_text(unit);
        words.push_str(&format!("; in {}, {heat}", elsewhere.where_it_holds));
    }
    words
}

/// How to thaw, one line a way, with its source: `Thaw in the fridge, at most
/// 41 °F (FDA Food Code 2022, 3-501.13).`
#[must_use]
pub fn thaw_words(profile: &Profile, unit: Degrees) -> Vec<String> {
    let line = |thaw: &super::Thaw| {
        let mut words = format!("Thaw {}", thaw.how);
        if let Some(most) = &thaw.food_most {
            words.push_str(&format!(", the food at most {}", most.most_text(unit)));
        }
        if let Some(most) = &thaw.water_most {
            words.push_str(&format!(", the water at most {}", most.most_text(unit)));
        }
        let minutes = [&thaw.change_every, &thaw.most, &thaw.minutes_per_kg, &thaw.use_within];
        for said in minutes.into_iter().flatten() {
            words.push_str(&format!("; {}", said.printed));
        }
        format!("{words} ({}).", thaw.source)
    };
    profile.thawing.iter().map(line).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn profile(id: &str) -> &'static Profile {
        Profile::by_id(id).expect("built in")
    }

    #[test]
    fn one_line_cautions_fit_a_narrow_screen() {
        for line in
            [LOCAL_RULES_WIN, SHORT, ONLY_WHAT_IS_MARKED, HEATING_IS_NO_CURE, HOW_TO_MEASURE]
        {
            assert!(line.len() <= 84, "{line}");
        }
        assert!(SHORT.ends_with(LOCAL_RULES_WIN));
        for line in [LOCAL_RULES_WIN, SHORT, ONLY_WHAT_IS_MARKED] {
            assert!(line.chars().count() <= 78, "{line}");
        }
    }

    #[test]
    fn a_report_names_its_guidance_and_says_who_wins() {
        let lines = lines(profile("us_food_code_2022"));
        assert!(lines[0].contains("FDA Food Code 2022"));
        assert!(lines[1].contains("Local rules and package directions win."));
        assert!(!lines.iter().any(|l| l.contains("from memory")));
        let mut doubtful = profile("us_consumer").clone();
        doubtful.leftovers.most.source.seen = Seen::FromMemory;
        assert!(super::lines(&doubtful).iter().any(|l| l.contains("from memory")));
        let sources = sources(&doubtful);
        assert!(sources.iter().any(|l| l.starts_with("leftovers.most") && l.contains("memory")));
        assert_eq!(
            sources[0],
            "hot_hold_least: 140 °F (60 °C) - USDA FSIS Cooking for Groups, pages 22-25 (2011 \
             revision); read in the issuing document"
        );
    }

    /// USDA chart, June 2012: 145 °F and 3 min rest; Food Code 2022,
    /// 3-401.11(A)(2) 155 °F 17 s, 3-403.11 165 °F 15 s in 2 h.
    #[test]
    fn figures_read_as_a_cook_would_say_them() {
        use FoodClass::{BakedDry, GroundMeat, Poultry, WholeMeat};
        let (home, code) = (profile("us_consumer"), profile("us_food_code_2022"));
        let (f, c) = (Degrees::Fahrenheit, Degrees::Celsius);
        let words = |p, class, own, unit| inner_words(p, class, own, unit).unwrap_or_default();
        assert_eq!(words(home, WholeMeat, None, f), "at least 145 °F inside, then rest 3 min");
        assert_eq!(words(home, WholeMeat, None, c), "at least 62.8 °C inside, then rest 3 min");
        assert_eq!(words(code, GroundMeat, None, f), "at least 155 °F inside for 17 s");
        assert_eq!(words(home, Poultry, Some(60.0), c), "at least 73.9 °C inside");
        assert_eq!(
            words(home, Poultry, Some(82.0), f),
            "at least 180 °F (the recipe's own) inside"
        );
        assert_eq!(inner_words(home, BakedDry, None, f), None);
        assert_eq!(
            words(home, BakedDry, Some(95.5), c),
            "at least 96 °C (the recipe's own) inside"
        );
        assert_eq!(hold_words(code, HoldClass::Hot, f), "keep at 135 °F or hotter");
        assert_eq!(hold_words(home, HoldClass::Cold, c), "keep at 4.4 °C or colder");
        assert_eq!(
            reheat_words(code, f),
            "165 °F all through for 15 s, within 120 min; from a microwave, 2 min covered"
        );
        assert_eq!(reheat_words(home, f), "165 °F all through");
    }
}
