//! What a clause says beside its verb: place, setting, hands, loads, pans.

use crate::kitchen::{Setting, StationKind};

fn has(lower: &str, words: &[&str]) -> bool {
    words.iter().any(|w| lower.contains(w))
}

/// The place that the words name, if they name one. `lower` is in lower case.
pub fn named_station(lower: &str) -> Option<StationKind> {
    use StationKind as K;
    let out = has(lower, &["from oven", "from the oven", "out of the oven"]);
    if has(lower, &["slow cooker", "slow-cooker"]) {
        Some(K::SlowCooker)
    } else if has(lower, &["air fryer", "air-fryer"]) {
        Some(K::AirFryer)
    } else if has(lower, &["microwave"]) {
        Some(K::Microwave)
    } else if has(lower, &["oven"]) && !out {
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
    let stirs = ["stir", "whisk", "toss", "turn", "bast", "shak", "flip", "skim", "swirl", "beat"];
    if !has(lower, &stirs) {
        return None;
    }
    if has(
        lower,
        &["constantly", "continuously", "all the time", "without stopping", "keep stirring"],
    ) {
        return Some(100);
    }
    if has(lower, &["often", "frequently", "intermittently", "regularly"]) {
        return Some(50);
    }
    if has(
        lower,
        &[
            "occasionally",
            "now and then",
            "from time to time",
            "once or twice",
            "sometimes",
            "turning once",
            "halfway",
            "half way",
            "every few minutes",
            "a few times",
            "turning",
        ],
    ) {
        return Some(10);
    }
    None
}

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
    let words = ["in batches", "batches", "a few at a time", "in small batches"];
    if !has(lower, &words) {
        return None;
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
