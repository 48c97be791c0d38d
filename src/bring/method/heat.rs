//! Temperatures in a method, and what each is: the setting of an oven, or what the
//! guidance asks of the food.

/// A temperature in a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Heat {
    /// In whole °C.
    pub c: i32,
    /// What it is of.
    pub of: Of,
    /// Where its words begin, in bytes.
    pub at: usize,
    /// It was said of a fan oven.
    pub fan: bool,
}

/// What a temperature is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// An oven, a grill, oil: a setting.
    Setting,
    /// The inside of the food, to be reached.
    Inside,
    /// Food kept hot: at or above.
    KeptHot,
    /// Food kept cold: at or below.
    KeptCold,
}

/// °C of the settings of gas ovens, from mark ¼. Common practice, no source.
const GAS_C: [(&str, i32); 12] = [
    ("1/4", 110),
    ("1/2", 120),
    ("1", 140),
    ("2", 150),
    ("3", 160),
    ("4", 180),
    ("5", 190),
    ("6", 200),
    ("7", 220),
    ("8", 230),
    ("9", 240),
    ("10", 260),
];

/// What the inside of food reaches at the most, °C, unless it is sugar.
const HOTTEST_INSIDE_C: i32 = 110;
/// What is below is no setting, unless the words ask the oven itself for it, °C.
const LOWEST_SETTING_C: i32 = 95;

/// Words that make a temperature one of the inside of food, wherever they stand near it.
const INSIDE: [&str; 12] = [
    "internal",
    "thermometer",
    "registers",
    "reads",
    "reach",
    "inside",
    "centre",
    "center",
    "temperature of",
    "temperature is",
    "temperature must",
    "core",
];
/// The same, right behind a temperature.
const INSIDE_BEHIND: [&str; 5] =
    ["inside", "internal", "in the centre", "in the center", "in the thick"];

/// What stands behind a degree's sign or word: its letter, if it has one.
fn behind_degree(rest: &str) -> &str {
    let signs = |ch: char| matches!(ch, '\u{b0}' | '\u{ba}' | '.' | ' ');
    let after = rest.trim_start_matches(signs);
    let after = ["degrees", "degree"].iter().find_map(|w| after.strip_prefix(w)).unwrap_or(after);
    after.trim_start_matches(signs)
}

/// What stands behind a temperature and its letter.
fn behind(rest: &str) -> &str {
    let after = behind_degree(rest);
    let unit = ["celsius", "centigrade", "fahrenheit", "c", "f"];
    let bare = unit.iter().find_map(|u| {
        after.strip_prefix(u).filter(|r| !r.starts_with(|c: char| c.is_alphanumeric()))
    });
    bare.unwrap_or(after).trim_start_matches([' ', '.', ',', '(', '-'])
}

/// The words that a temperature's own are looked for in: a few, and none of the temperature
/// before it.
fn near(before: &str) -> &str {
    let words = before.rmatch_indices(char::is_whitespace).filter(|(at, blank)| {
        before.get(..*at).is_some_and(|b| !b.ends_with(char::is_whitespace)) && !blank.is_empty()
    });
    let at = words.map(|(at, _)| at).nth(NEAR_WORDS).unwrap_or(0);
    before.get(at..).unwrap_or_default().trim_start()
}

/// How many words before a temperature are near it.
const NEAR_WORDS: usize = 9;

/// Every temperature of a sentence, in order.
pub fn heats(sentence: &str) -> Vec<Heat> {
    let lower = sentence.to_lowercase();
    let lower = if lower.len() == sentence.len() { lower } else { sentence.to_owned() };
    let mut found: Vec<Heat> = Vec::new();
    let mut done = 0;
    for (at, word) in numbers(&lower) {
        let rest = lower.get(at + word.len()..).unwrap_or_default();
        let before = lower.get(..at).unwrap_or_default();
        let own = near(lower.get(done..at).unwrap_or_default());
        let gas = before.trim_end().ends_with("gas") || before.trim_end().ends_with("gas mark");
        let read =
            if gas { gas_mark(word, rest).map(|c| (c, true)) } else { degrees(word, rest, own) };
        let Some((mut c, sure)) = read.filter(|(c, _)| (-40..=350).contains(c)) else { continue };
        let last = before.trim_end().rsplit([' ', '(', '/']).next().unwrap_or_default();
        let behind = rest.trim_start_matches(['\u{b0}', ' ']);
        let behind =
            behind.strip_prefix(['c', 'f']).filter(|b| b.starts_with(' ')).unwrap_or(behind);
        let fan = matches!(last, "fan" | "convection") || fan_behind(behind);
        let twin = found.last().map(|h| h.of).filter(|_| same_again(own));
        let of = of(c, sure, own, rest, twin);
        // "165 degrees inside" is what no food is in °C.
        if matches!(of, Of::Inside | Of::KeptHot) && !sure && c >= HOTTEST_INSIDE_C {
            c = fahrenheit(c);
        }
        found.push(Heat { c, of, at, fan });
        done = at + word.len();
    }
    found
}

/// Do the words between two temperatures make the second the first once more: "75 °C (165 °F)",
/// "200 °C or fan 180 °C"?
fn same_again(between: &str) -> bool {
    const UNITS: [&str; 14] = [
        "c",
        "f",
        "celsius",
        "centigrade",
        "fahrenheit",
        "degrees",
        "degree",
        "deg",
        "or",
        "about",
        "fan",
        "gas",
        "mark",
        "convection",
    ];
    let mut words = between.split(|c: char| !c.is_alphanumeric()).filter(|w| !w.is_empty());
    let joined = between.contains(['/', '(']) || between.contains(" or ");
    joined && !between.contains([',', ';']) && words.all(|w| UNITS.contains(&w))
}

/// Is the degree before these words one of a fan oven: "160 °C fan", "(fan-forced)", "in a fan
/// oven"? "200 °C (fan 180 °C)" is not: its fan has a degree of its own.
fn fan_behind(behind: &str) -> bool {
    let bare = behind.trim_start_matches([' ', '(']);
    let bare = ["in a ", "in an ", "on "].iter().find_map(|w| bare.strip_prefix(w)).unwrap_or(bare);
    let Some(rest) = ["fan", "convection"].iter().find_map(|w| bare.strip_prefix(w)) else {
        return false;
    };
    !rest.trim_start_matches([' ', ':', '-']).starts_with(|c: char| c.is_ascii_digit())
}

/// Numbers of a text with their places; "1/2" and "62.5" are one each.
fn numbers(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let digits = |c: char| c.is_ascii_digit() || c == '/';
    let mut at = 0;
    std::iter::from_fn(move || {
        let rest = text.get(at..)?;
        let from = at + rest.find(|c: char| c.is_ascii_digit())?;
        let number = text.get(from..)?;
        let whole = number.find(|c| !digits(c)).unwrap_or(number.len());
        let tenths = number.get(whole..)?.strip_prefix(['.', ',']).map_or(0, |tenths| match tenths
            .find(|c: char| !c.is_ascii_digit())
            .unwrap_or(tenths.len())
        {
            0 => 0,
            length => length + 1,
        });
        let length = whole + tenths;
        at = from + length;
        Some((from, number.get(..length)?.trim_end_matches('/')))
    })
}

fn gas_mark(word: &str, rest: &str) -> Option<i32> {
    let half = word.is_empty() || rest.starts_with(' ') && rest.trim_start().starts_with("1/");
    GAS_C.iter().find(|(mark, _)| *mark == word && !half).map(|(_, c)| *c)
}

/// A number with its sign of degrees, or an oven's number without one, in °C; and whether its
/// letter says so. Of tenths the food's own limit is the next degree above.
fn degrees(word: &str, rest: &str, near: &str) -> Option<(i32, bool)> {
    let (whole, tenths) = word.split_once(['.', ',']).unwrap_or((word, ""));
    let number: i32 = whole.parse().ok().filter(|n| (0..10_000).contains(n))?;
    let above = i32::from(tenths.bytes().any(|b| b != b'0'));
    let below =
        near.strip_suffix(['-', '\u{2212}']).is_some_and(|b| b.is_empty() || b.ends_with(' '));
    let number = if below { -number } else { number + above };
    let bare = rest.trim_start();
    // "A 400-degree oven".
    let bare = bare.strip_prefix('-').filter(|b| b.starts_with("deg")).unwrap_or(bare);
    let marked =
        ["\u{b0}", "\u{ba}", "degrees", "degree", "deg"].iter().find_map(|m| bare.strip_prefix(m));
    let unit = marked.unwrap_or(bare).trim_start_matches([' ', '.']);
    let is = |names: &[&str]| {
        names.iter().any(|n| {
            unit.strip_prefix(n).is_some_and(|r| !r.starts_with(|c: char| c.is_alphanumeric()))
        })
    };
    if is(&["fahrenheit", "f"]) {
        return Some((fahrenheit(number), true));
    }
    if is(&["celsius", "centigrade", "c"]) && (marked.is_some() || rest.len() - bare.len() <= 1) {
        // "2 c. sugar" are cups.
        return (marked.is_some() || number >= 30 || below).then_some((number, true));
    }
    let food = || reaches(near) || kept(near) || speaks_of_inside(near, behind(rest));
    match (marked.is_some(), number) {
        // "Turn the tin by 90 degrees" is no heat.
        (true, 40..=99) => food().then_some((number, false)),
        (marked, 250..=550) if marked || is_asked(near) => Some((fahrenheit(number), false)),
        (marked, 100..=249) if marked || is_asked(near) => Some((number, false)),
        _ => None,
    }
}

/// Do these words ask an oven for what follows them?
fn is_asked(near: &str) -> bool {
    let near = near.trim_end();
    near.ends_with("oven to") || asks_at(near) || turns_oven_to(near)
}

/// "Bake at", "in the oven at".
fn asks_at(near: &str) -> bool {
    let near = near.trim_end();
    ["oven at", "bake at", "roast at", "dry at"].iter().any(|w| near.ends_with(w))
}

/// "Heat the oven to", "turn the heat down to": an order to the oven itself, not to food that
/// is in it.
fn turns_oven_to(near: &str) -> bool {
    const BETWEEN: [&str; 20] = [
        "the",
        "your",
        "an",
        "a",
        "its",
        "of",
        "down",
        "up",
        "back",
        "again",
        "oven",
        "fan",
        "gas",
        "electric",
        "conventional",
        "convection",
        "temperature",
        "heat",
        "setting",
        "about",
    ];
    let mut words = near.split_whitespace().rev();
    if !words.next().is_some_and(|w| matches!(w, "to" | "at")) {
        return false;
    }
    let mut oven = false;
    for word in words {
        match word {
            "reduce" | "lower" | "turn" => return true,
            "preheat" | "pre-heat" | "heat" | "set" | "increase" | "raise" if oven => return true,
            _ if !BETWEEN.contains(&word) => return false,
            _ => oven |= word == "oven",
        }
    }
    false
}

/// Is what follows these words what food is cooked to: "reheat to", "roast until it is"?
fn reaches(near: &str) -> bool {
    const COOKS: [&str; 12] = [
        "reheat",
        "cook",
        "roast",
        "bake",
        "warm",
        "finish",
        "grill",
        "poach",
        "heat to",
        "heated to",
        "heat through",
        "until",
    ];
    const NO_FOOD: [&str; 12] = [
        "preheat", "pre", "reduce", "lower", "turn", "increase", "raise", "set", "oil", "fat",
        "syrup", "sugar",
    ];
    let bare = ["about", "at least"].iter().find_map(|w| near.trim_end().strip_suffix(w));
    let bare = bare.unwrap_or(near);
    let last = bare.split_whitespace().next_back().unwrap_or_default();
    let mut words = bare.split(|c: char| !c.is_alphanumeric());
    matches!(last, "to" | "until" | "till" | "is")
        && COOKS.iter().any(|w| near.contains(w))
        && !words.any(|w| NO_FOOD.contains(&w))
        && !turns_oven_to(near)
}

/// Do these words keep food at what follows them? "Keep the skin on and roast until" does not.
fn kept(near: &str) -> bool {
    let at = ["hold", "keep", "kept"].iter().filter_map(|w| near.rfind(w)).max();
    let on = at.and_then(|at| near.get(at..));
    on.is_some_and(|on| {
        let cooks = ["cook", "roast", "bake", "grill", "heat"].iter().any(|w| on.contains(w));
        let ends = on.contains(" until ") || on.trim_end().ends_with(" to");
        !(cooks && ends || asks_at(on) && !on.contains("oven at"))
    })
}

fn speaks_of_inside(near: &str, behind: &str) -> bool {
    INSIDE_BEHIND.iter().any(|w| behind.starts_with(w)) || INSIDE.iter().any(|w| near.contains(w))
}

/// °F as the nearest whole °C.
const fn fahrenheit(f: i32) -> i32 {
    let fifths = (f - 32) * 5;
    (fifths + if fifths >= 0 { 4 } else { -4 }) / 9
}

/// What a temperature is of, by the words around it; `twin` is what the one before it is of,
/// if this is the same once more. In doubt it is what the food must reach: an oven that is
/// set to that would leave it raw, and nobody would look.
fn of(c: i32, sure: bool, near: &str, rest: &str, twin: Option<Of>) -> Of {
    let after = behind(rest);
    let has = |words: &[&str]| words.iter().any(|w| near.contains(w));
    let below = ["or lower", "or below", "or less", "or colder"];
    let above = ["or higher", "or above", "or more", "or hotter"];
    let starts = |words: &[&str]| words.iter().any(|w| after.starts_with(w));
    if starts(&below) || c <= 10 {
        return Of::KeptCold;
    }
    if starts(&INSIDE_BEHIND) {
        return Of::Inside;
    }
    if let Some(twin) = twin {
        return twin;
    }
    let ordered = turns_oven_to(near);
    let asked = ordered || asks_at(near) || starts(&["oven", "fan oven", "gas oven"]);
    let hottest = if sure { 99 } else { 212 };
    if kept(near) && c <= hottest && !(asked && c >= LOWEST_SETTING_C) {
        return Of::KeptHot;
    }
    // Where no food is that hot, the words right before it say more than those near it.
    let inside = speaks_of_inside(near, after) && !(asked && c > HOTTEST_INSIDE_C);
    let unsure = !sure && c <= 212 && reaches(near);
    if inside || unsure || starts(&above) {
        return Of::Inside;
    }
    let warms = ["reheat", "warm", "heat through"];
    let low = c < LOWEST_SETTING_C && !(ordered || asked && !(asks_at(near) && has(&warms)));
    if low { Of::Inside } else { Of::Setting }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn settings_are_told_from_what_food_must_reach() {
        for (text, expected) in [
            ("Bake at 350 F. 10 minutes", vec![(177, Of::Setting)]),
            (
                "Roast at 200°C/180°C fan/gas 6",
                vec![(200, Of::Setting), (180, Of::Setting), (200, Of::Setting)],
            ),
            ("Preheat the oven to 400 degrees", vec![(204, Of::Setting)]),
            ("gas mark 4", vec![(180, Of::Setting)]),
            (
                "Internal temperature must reach 165 F. or higher for 15 seconds",
                vec![(74, Of::Inside)],
            ),
            ("until a thermometer reads 75 °C", vec![(75, Of::Inside)]),
            ("Hold at 140 F. or higher for service", vec![(60, Of::KeptHot)]),
            ("Hold for service at 41 F. or lower", vec![(5, Of::KeptCold)]),
            ("Bake in a 350-degree oven", vec![(177, Of::Setting)]),
            ("Bake at 90 °C for 3 hours", vec![(90, Of::Setting)]),
            ("Keep warm in the oven at 70 °C until served", vec![(70, Of::KeptHot)]),
            ("Grill until 75 degrees C inside", vec![(75, Of::Inside)]),
            ("Grill until 165 degrees inside", vec![(74, Of::Inside)]),
            ("until the internal temperature reaches 165 degrees", vec![(74, Of::Inside)]),
            ("until the core reaches 165 degrees for 15 seconds", vec![(74, Of::Inside)]),
            ("until a thermometer reads 150 °Celsius", vec![(150, Of::Inside)]),
            ("until a thermometer reads 150 degrees C", vec![(150, Of::Inside)]),
            ("Add 2 c. sugar and 350 g flour, cut into 3 cm cubes", vec![]),
        ] {
            assert_eq!(of_each(text), expected, "{text}");
        }
    }

    fn of_each(text: &str) -> Vec<(i32, Of)> {
        heats(text).iter().map(|h| (h.c, h.of)).collect()
    }

    /// What food must reach is no oven's setting, wherever it stands.
    #[test]
    fn an_oven_is_set_to_what_it_is_asked_for_alone() {
        for (text, expected) in [
            ("Reheat in the oven to 75 °C", vec![(75, Of::Inside)]),
            ("Cook in the oven to 165 °F internal", vec![(74, Of::Inside)]),
            ("Warm through in a low oven to 74 C", vec![(74, Of::Inside)]),
            ("Finish in the oven to 63 °C in the centre", vec![(63, Of::Inside)]),
            ("Reheat in the oven at 75 °C", vec![(75, Of::Inside)]),
            ("Cook in the oven to 165 degrees", vec![(74, Of::Inside)]),
            ("Reheat to 165 degrees", vec![(74, Of::Inside)]),
            ("Bake until it is 165 degrees", vec![(74, Of::Inside)]),
            ("Roast until 75 degrees inside", vec![(75, Of::Inside)]),
            ("Cook to 62.5 °C", vec![(63, Of::Inside)]),
            ("Cook to 75 °C (167 °F)", vec![(75, Of::Inside), (75, Of::Inside)]),
            ("Keep the skin on and roast until 75 °C", vec![(75, Of::Inside)]),
            ("Roast at 90 °C (75 °C inside)", vec![(90, Of::Setting), (75, Of::Inside)]),
            ("Roast at 90 °C, to 75 °C", vec![(90, Of::Setting), (75, Of::Inside)]),
            (
                "Take it out when the core reads 63 °C, then raise the oven to 220 °C",
                vec![(63, Of::Inside), (220, Of::Setting)],
            ),
            ("Hold at 140 degrees for service", vec![(60, Of::KeptHot)]),
            // What an oven is asked for is.
            ("Preheat the oven to 80 °C", vec![(80, Of::Setting)]),
            ("Turn the oven down to 90 °C", vec![(90, Of::Setting)]),
            ("Lower the oven temperature to 90 °C", vec![(90, Of::Setting)]),
            ("Preheat your fan oven to 350", vec![(177, Of::Setting)]),
            ("Dry in a 90 °C oven", vec![(90, Of::Setting)]),
            ("Place in the centre of the oven at 180 °C", vec![(180, Of::Setting)]),
            ("Test the centre and bake at 160 °C", vec![(160, Of::Setting)]),
            ("Reduce the heat to 160 degrees", vec![(160, Of::Setting)]),
            ("Keep the lid on and bake at 140 °C", vec![(140, Of::Setting)]),
            ("Reduce the heat to 90 °C", vec![(90, Of::Setting)]),
            ("Bring the cauliflower to the boil and cook to 165 degrees", vec![(74, Of::Inside)]),
            ("Turn the tin by 90 degrees", vec![]),
            ("Freeze at -18 °C", vec![(-18, Of::KeptCold)]),
        ] {
            assert_eq!(of_each(text), expected, "{text}");
        }
    }

    #[test]
    fn a_fan_is_that_of_the_degree_beside_it() {
        assert!(heats("Roast at 200°C/180°C fan").last().is_some_and(|h| h.fan));
        for (text, fan) in [
            ("160°C (fan-forced)", vec![true]),
            ("160 C in a fan oven", vec![true]),
            ("200°C (fan 180°C)", vec![false, true]),
            ("200C (180C fan)", vec![false, true]),
            ("200C fan 180C", vec![false, true]),
        ] {
            let found: Vec<bool> = heats(text).iter().map(|h| h.fan).collect();
            assert_eq!(found, fan, "{text}");
        }
    }

    /// The pairs that the US Armed Forces Recipe Service prints (TM 10-412, 2003).
    #[test]
    fn fahrenheit_is_what_a_handbook_prints() {
        for (f, c) in [(325, 163), (350, 177), (375, 191), (400, 204), (425, 218), (450, 232)] {
            assert_eq!(fahrenheit(f), c);
        }
    }
}
