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

/// Every temperature of a sentence, in order.
pub fn heats(sentence: &str) -> Vec<Heat> {
    let lower = sentence.to_lowercase();
    let lower = if lower.len() == sentence.len() { lower } else { sentence.to_owned() };
    let mut found: Vec<Heat> = Vec::new();
    for (at, word) in numbers(&lower) {
        let rest = lower.get(at + word.len()..).unwrap_or_default();
        let before = lower.get(..at).unwrap_or_default();
        let gas = before.trim_end().ends_with("gas") || before.trim_end().ends_with("gas mark");
        let c = if gas { gas_mark(word, rest) } else { degrees(word, rest, before) };
        let Some(c) = c.filter(|c| (-40..=350).contains(c)) else { continue };
        let last = before.trim_end().rsplit([' ', '(', '/']).next().unwrap_or_default();
        let behind = rest.trim_start_matches(['\u{b0}', ' ']);
        let behind =
            behind.strip_prefix(['c', 'f']).filter(|b| b.starts_with(' ')).unwrap_or(behind);
        let fan = matches!(last, "fan" | "convection") || behind.trim_start().starts_with("fan");
        found.push(Heat { c, of: of(c, before, rest), at, fan });
    }
    found
}

/// Whole numbers of a text with their places; "1/2" is one.
fn numbers(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let digits = |c: char| c.is_ascii_digit() || c == '/';
    let mut at = 0;
    std::iter::from_fn(move || {
        let rest = text.get(at..)?;
        let from = at + rest.find(|c: char| c.is_ascii_digit())?;
        let number = text.get(from..)?;
        let length = number.find(|c| !digits(c)).unwrap_or(number.len());
        at = from + length;
        Some((from, number.get(..length)?.trim_end_matches('/')))
    })
}

fn gas_mark(word: &str, rest: &str) -> Option<i32> {
    let half = word.is_empty() || rest.starts_with(' ') && rest.trim_start().starts_with("1/");
    GAS_C.iter().find(|(mark, _)| *mark == word && !half).map(|(_, c)| *c)
}

/// A number with its sign of degrees, or an oven's number without one.
fn degrees(word: &str, rest: &str, before: &str) -> Option<i32> {
    let number: i32 = word.parse().ok()?;
    let bare = rest.trim_start();
    let marked =
        ["\u{b0}", "\u{ba}", "degrees", "degree", "deg"].iter().find_map(|m| bare.strip_prefix(m));
    let unit = marked.unwrap_or(bare).trim_start_matches([' ', '.']);
    let is = |names: &[&str]| {
        names.iter().any(|n| {
            unit.strip_prefix(n).is_some_and(|r| !r.starts_with(|c: char| c.is_alphanumeric()))
        })
    };
    if is(&["fahrenheit", "f"]) {
        return Some(fahrenheit(number));
    }
    if is(&["celsius", "centigrade", "c"]) && (marked.is_some() || rest.len() - bare.len() <= 1) {
        // "2 c. sugar" are cups.
        return (marked.is_some() || number >= 30).then_some(number);
    }
    let asked = before.trim_end().ends_with("oven to")
        || before.trim_end().ends_with("oven at")
        || before.trim_end().ends_with("bake at")
        || before.trim_end().ends_with("roast at");
    match (marked.is_some() || asked, number) {
        (true, 250..=550) => Some(fahrenheit(number)),
        (true, 100..=249) => Some(number),
        _ => None,
    }
}

/// °F as the nearest whole °C.
const fn fahrenheit(f: i32) -> i32 {
    let fifths = (f - 32) * 5;
    (fifths + if fifths >= 0 { 4 } else { -4 }) / 9
}

/// What a temperature is of, by the words around it.
fn of(c: i32, before: &str, rest: &str) -> Of {
    let after = rest.trim_start_matches(|ch: char| {
        ch == '\u{b0}' || ch == '.' || ch == ' ' || matches!(ch, 'f' | 'c')
    });
    let near: String = {
        let words: Vec<&str> = before.split_whitespace().collect();
        words.get(words.len().saturating_sub(9)..).unwrap_or_default().join(" ")
    };
    let has = |words: &[&str]| words.iter().any(|w| near.contains(w));
    let below = ["or lower", "or below", "or less", "or colder"];
    let above = ["or higher", "or above", "or more", "or hotter"];
    let starts = |words: &[&str]| words.iter().any(|w| after.starts_with(w));
    if starts(&below) || has(&["below", "at most", "or lower"]) && c <= 10 {
        return Of::KeptCold;
    }
    if c <= 10 {
        return Of::KeptCold;
    }
    if has(&["hold", "keep", "kept", "holding"]) && c < 100 {
        return Of::KeptHot;
    }
    let inside = has(&[
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
    ]);
    if inside || starts(&above) || c < 95 {
        return Of::Inside;
    }
    Of::Setting
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
            ("Add 2 c. sugar and 350 g flour, cut into 3 cm cubes", vec![]),
        ] {
            let found: Vec<(i32, Of)> = heats(text).iter().map(|h| (h.c, h.of)).collect();
            assert_eq!(found, expected, "{text}");
        }
        assert!(heats("Roast at 200°C/180°C fan").last().is_some_and(|h| h.fan));
    }

    /// The pairs that the US Armed Forces Recipe Service prints (TM 10-412, 2003).
    #[test]
    fn fahrenheit_is_what_a_handbook_prints() {
        for (f, c) in [(325, 163), (350, 177), (375, 191), (400, 204), (425, 218), (450, 232)] {
            assert_eq!(fahrenheit(f), c);
        }
    }
}
