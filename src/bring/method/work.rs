//! What a clause says beside its verb: place, setting, hands, loads, pans.

use crate::kitchen::{Setting, StationKind};

fn has(lower: &str, words: &[&str]) -> bool {
    words.iter().any(|w| lower.contains(w))
}

/// The place that the words name, if they name one. `lower` is in lower case.
pub fn named_station(lower: &str) -> Option<StationKind> {
    use StationKind as K;
    let out = has(lower, &["from oven", "from the oven", "out of the oven"]);
    if has_but(lower, &["slow cook", "slow-cook"], &["ed"]) {
        Some(K::SlowCooker)
    } else if has(lower, &["air fryer", "air-fryer", "air fry", "air-fry"]) {
        Some(K::AirFryer)
    } else if has(lower, &["microwave"]) {
        Some(K::Microwave)
    } else if has_but(lower, &["oven"], NO_OVEN) && !out {
        Some(K::Oven)
    } else if has(lower, &["under the grill", "on the grill", "barbecue", "broiler"]) {
        Some(K::Grill)
    } else if has(
        lower,
        &["griddle", "skillet", "frying pan", "saucepan", "on the hob", "stovetop"],
    ) {
        Some(K::Stovetop)
    } else {
        None
    }
}

/// What stands behind "oven" where a dish or a glove is meant.
const NO_OVEN: &[&str] =
    &["proof", "-proof", " proof", "-safe", " safe", " dish", " glove", " mitt", "-ready"];

/// Is one of the words there, with none of `but` right behind it?
fn has_but(lower: &str, words: &[&str], but: &[&str]) -> bool {
    let meant = |(at, word): (usize, &str)| {
        let after = lower.get(at + word.len()..).unwrap_or_default();
        !but.iter().any(|b| after.starts_with(b))
    };
    words.iter().any(|w| lower.match_indices(*w).any(meant))
}

/// Does a clause take from the heat what is on it, and not a lid or a bay leaf?
pub fn takes_out(lower: &str) -> bool {
    let out = [" it out", " them out", " out after", "out of the oven", "off the hob"];
    has(lower, &out) || has(lower, &["from the oven", "off the heat", "from the heat"])
}

/// Where food that waits is put, if the words name it.
pub fn named_rest(lower: &str) -> Option<StationKind> {
    if has(lower, &["freezer"]) {
        Some(StationKind::Freezer)
    } else if has(lower, &["fridge", "refrigerat", "in a cold place", "chill"]) {
        Some(StationKind::Fridge)
    } else if has(lower, &["room temperature", "on the counter", "warm place", "on a rack"]) {
        Some(StationKind::Counter)
    } else {
        None
    }
}

/// Per cent of the hands between start and end, if the words say it.
pub fn hands(lower: &str) -> Option<u32> {
    let not = ["without stirring", "undisturbed", "unattended", "do not stir", "don't stir"];
    if has(lower, &not) {
        return Some(0);
    }
    let stirs = ["stir", "whisk", "toss", "turn", "bast", "shak", "flip", "skim", "swirl", "beat"];
    if !has(lower, &stirs) {
        return None;
    }
    let always = ["constant", "continuous", "continual", "all the time", "without stopping"];
    if has(lower, &always) || has(lower, &["keep stirring", "non-stop", "nonstop"]) {
        return Some(100);
    }
    let often = ["often", "frequent", "intermittent", "regularly", "every minute"];
    if has(lower, &often) {
        return Some(50);
    }
    let seldom = ["occasional", "now and then", "now and again", "from time to time", "sometimes"];
    let counted = ["once", "twice", "two or three times", "a few times", "a couple of times"];
    let between = ["halfway", "half way", "every", "at intervals", "periodically", "turning"];
    if has(lower, &seldom) || has(lower, &counted) || has(lower, &between) {
        return Some(10);
    }
    // "Cook 5 minutes, stirring": all the while.
    has(lower, &["stirring", "whisking", "beating", "swirling"]).then_some(100)
}

/// Does a clause put a lid on (true) or take it off (false)? "Cover with water" does neither.
pub fn lid(lower: &str) -> Option<bool> {
    let lids = ["lid", "foil", "film", "cloth", "towel", "paper"];
    if lower.contains("uncover") || has(lower, &["without a lid", "remove lid", "remove the lid"]) {
        Some(false)
    } else if !lower.contains("cover") || has(lower, &["to cover", "recover"]) {
        None
    } else {
        (!lower.contains(" with ") || has(lower, &lids)).then_some(true)
    }
}

/// Does a clause change the heat of what is on it already: "reduce the heat", "turn the oven
/// down", "lower to 160 °C"? "Reduce the sauce" does not.
pub fn turns_heat(lower: &str, setting: bool) -> bool {
    const VERBS: [&str; 5] = ["reduce ", "lower ", "turn ", "increase ", "raise "];
    let bare = ["then ", "now ", "and "].iter().find_map(|w| lower.strip_prefix(w));
    let bare = bare.unwrap_or(lower);
    if !VERBS.iter().any(|v| bare.starts_with(v)) {
        return false;
    }
    const BETWEEN: [&str; 10] =
        ["down", "up", "back", "right", "the", "your", "its", "oven", "gas", "grill"];
    const HEATS: [&str; 6] = ["heat", "oven", "temperature", "flame", "gas", "hob"];
    const LOWER: [&str; 5] = ["low", "medium", "medium-low", "medium-high", "high"];
    let trimmed = |w: &'_ str| w.trim_matches(|c: char| !c.is_alphanumeric()).to_owned();
    let mut words = bare.split_whitespace().skip(1).take(TURNING_WORDS).map(trimmed).peekable();
    let mut last = String::new();
    while let Some(word) = words.next_if(|w| BETWEEN.contains(&w.as_str())) {
        last = word;
    }
    let next = words.next().unwrap_or_default();
    // "Turn it into a tin, place in a 200 °C oven" turns no heat, "raise the oven shelf" neither.
    if HEATS.contains(&next.as_str()) || next.is_empty() && HEATS.contains(&last.as_str()) {
        return true;
    }
    if next == "off" || matches!(next.as_str(), "down" | "up") {
        return HEATS.contains(&last.as_str());
    }
    let to = words.next().unwrap_or_default();
    let number = setting
        && (to.starts_with(|c: char| c.is_ascii_digit())
            || matches!(to.as_str(), "gas" | "fan" | "about"));
    next == "to" && (number || LOWER.contains(&to.as_str()) && has(bare, &["heat", "flame"]))
}

/// Words behind its verb that can be an order to the heat.
const TURNING_WORDS: usize = 8;

/// The setting of a burner or slow cooker.
pub fn setting(lower: &str) -> Option<Setting> {
    if has(lower, &["medium heat", "medium-high", "medium-low", "moderate heat", "medium flame"]) {
        Some(Setting::Medium)
    } else if has(
        lower,
        &[
            "low heat",
            "low flame",
            "gentle heat",
            "on low",
            "simmer",
            "lowest",
            "reduce heat",
            "gently",
        ],
    ) {
        Some(Setting::Low)
    } else if has(lower, &["high heat", "on high", "high flame", "boil", "hot pan", "brisk"]) {
        Some(Setting::High)
    } else {
        None
    }
}

/// In how many loads: "in two batches", "a few at a time".
pub fn loads(lower: &str) -> Option<u32> {
    let words = ["batches", "per batch", "each batch", "a few at a time"];
    if !has(lower, &words) {
        return None;
    }
    if !lower.contains("batches") {
        // How many is not said: more than one.
        return Some(2);
    }
    let before = lower.split("batches").next().unwrap_or_default();
    let count = before.split_whitespace().rev().take(3).find_map(|w| {
        let digits = w.parse::<u32>().ok();
        digits.or_else(|| {
            let number = crate::bring::number::word(w)?;
            u32::try_from(number.to_i64()).ok()
        })
    });
    Some(count.filter(|n| (2..=20).contains(n)).unwrap_or(2))
}

/// "4 minutes a side".
pub fn per_side(lower: &str) -> bool {
    has(lower, &["per side", "a side", "each side", "on both sides", "on either side"])
}

/// Pans by the words of recipes, as the kitchens of the shelf call them.
pub fn cookware(lower: &str) -> Vec<&'static str> {
    const PANS: [(&str, &[&str]); 9] = [
        ("sheet_tray", &["sheet pan", "baking sheet", "baking tray", "sheet tray", "cookie sheet"]),
        ("oven_pan", &["roasting pan", "roasting tin", "steam table pan", "oven pan"]),
        ("baking_dish", &["baking dish", "gratin dish", "ovenproof dish", "casserole dish"]),
        ("loaf_tin", &["loaf tin", "loaf pan"]),
        ("stock_pot", &["stock pot", "stockpot", "large pot", "big pot", "soup pot"]),
        ("saucepan", &["saucepan", "sauce pan", "small pot", "milk pan"]),
        ("frying_pan", &["frying pan", "skillet", "saute pan", "fry pan"]),
        ("mixing_bowl", &["mixing bowl", "mixer bowl", "large bowl", "big bowl"]),
        ("blender_jar", &["blender"]),
    ];
    PANS.iter().filter(|(_, words)| has(lower, words)).map(|(kind, _)| *kind).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hands_are_read_by_how_often_they_are_wanted() {
        for (words, percent) in [
            ("cook 5 minutes, stirring", Some(100)),
            ("stir constantly", Some(100)),
            ("shaking the pan frequently", Some(50)),
            ("stir every 5 minutes", Some(10)),
            ("turning once", Some(10)),
            ("cook without stirring", Some(0)),
            ("stir in the milk", None),
            ("everything goes into the pan", None),
        ] {
            assert_eq!(hands(words), percent, "{words}");
        }
    }

    #[test]
    fn an_order_to_the_heat_is_told_from_one_to_the_food() {
        for (words, turns) in [
            ("reduce the heat", true),
            ("turn the oven down to 160 °c", true),
            ("turn down the heat", true),
            ("lower to 160 °c", true),
            ("turn to gas 4", true),
            ("reduce the oven temperature to 160 °c", true),
            ("turn the heat down", true),
            ("reduce to low heat", true),
            ("turn oven to 160 °c", true),
            ("turn into a tin, place in a 200 °c oven", false),
            ("turn the chicken over in the oven", false),
            ("raise the oven shelf", false),
            ("reduce to a thick sauce over high heat", false),
            ("turn the fish and heat through", false),
            ("reduce the sauce", false),
        ] {
            assert_eq!(turns_heat(words, true), turns, "{words}");
        }
    }

    #[test]
    fn an_oven_is_no_dish_for_it() {
        for (words, station) in [
            ("sear in an ovenproof pan", None),
            ("put it into the oven", Some(StationKind::Oven)),
            ("in an oven dish in the oven", Some(StationKind::Oven)),
            ("add the slow-cooked beans", None),
            ("slow-cook the beans", Some(StationKind::SlowCooker)),
        ] {
            assert_eq!(named_station(words), station, "{words}");
        }
    }

    #[test]
    fn a_lid_is_told_from_water_that_covers() {
        for (words, on) in [
            ("cover", Some(true)),
            ("cover with a lid", Some(true)),
            ("simmer, covered, 20 minutes", Some(true)),
            ("uncover", Some(false)),
            ("simmer uncovered", Some(false)),
            ("cover the beans with water", None),
            ("add water to cover", None),
            ("drain", None),
        ] {
            assert_eq!(lid(words), on, "{words}");
        }
    }
}
