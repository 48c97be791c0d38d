//! Verbs of methods: where a thing is done and how long it takes when the text does
//! not say. The minutes are common practice, no source; a step that has them is
//! shown as guessed.

use crate::kitchen::StationKind;

/// What a verb asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doing {
    /// Heat, at a station.
    Heat(StationKind),
    /// Waiting, warm or cold, with nobody at it.
    Rest(StationKind),
    /// Work of hands.
    Work,
    /// Work at whatever stands before the cook: adding, stirring, covering.
    Along,
}

impl Doing {
    /// Is it what food does while nobody touches it?
    const fn goes_by_itself(self) -> bool {
        matches!(self, Self::Heat(_) | Self::Rest(_))
    }
}

/// A verb.
#[derive(Debug, Clone, Copy)]
pub struct Verb {
    /// Its base form, which is the label of the block.
    pub word: &'static str,
    /// What it asks for.
    pub doing: Doing,
    /// Likely minutes, where the text has none.
    pub minutes: u32,
}

const OVEN: Doing = Doing::Heat(StationKind::Oven);
const HOB: Doing = Doing::Heat(StationKind::Stovetop);
const GRILL: Doing = Doing::Heat(StationKind::Grill);
const ROOM: Doing = Doing::Rest(StationKind::Counter);
const COLD: Doing = Doing::Rest(StationKind::Fridge);
const FROST: Doing = Doing::Rest(StationKind::Freezer);

// A line holds as many verbs as it can: each alone on one would hide the groups.
#[rustfmt::skip]
const TABLE: &[(Doing, &[(&str, u32)])] = &[
    (OVEN, &[("bake", 30), ("roast", 45), ("reheat", 20), ("toast", 8), ("crisp", 10)]),
    (
        HOB,
        &[
            ("boil", 10), ("simmer", 15), ("saute", 6), ("sauté", 6), ("fry", 8), ("sear", 5),
            ("brown", 8), ("sweat", 10), ("steam", 10), ("poach", 10), ("blanch", 3), ("cook", 15),
            ("reduce", 10), ("melt", 3), ("scald", 3), ("stir-fry", 6), ("stir-cook", 8),
            ("pan-fry", 8), ("deep-fry", 6), ("parboil", 8), ("caramelize", 20),
            ("caramelise", 20), ("heat", 5), ("warm", 5), ("bring", 8), ("braise", 90),
            ("stew", 60), ("thicken", 5), ("wilt", 3), ("soften", 6), ("render", 10),
            ("scramble", 6), ("bubble", 5), ("flip", 2), ("deglaze", 2),
        ],
    ),
    (GRILL, &[("grill", 10), ("broil", 8), ("barbecue", 15), ("char", 6), ("smoke", 120)]),
    (Doing::Heat(StationKind::Microwave), &[("microwave", 4)]),
    (
        ROOM,
        &[
            ("stand", 10), ("rest", 10), ("cool", 20), ("rise", 60), ("prove", 60), ("proof", 60),
            ("soak", 30), ("infuse", 20), ("steep", 10), ("macerate", 30), ("set", 30),
            ("ferment", 240), ("dry", 20), ("thaw", 120), ("sit", 10),
        ],
    ),
    (COLD, &[("chill", 60), ("refrigerate", 60), ("marinate", 60), ("marinade", 60)]),
    (FROST, &[("freeze", 180)]),
    (
        Doing::Work,
        &[
            ("mix", 3), ("combine", 3), ("blend", 3), ("whisk", 3), ("beat", 4), ("whip", 5),
            ("knead", 10), ("chop", 5), ("slice", 5), ("dice", 5), ("cut", 5), ("peel", 8),
            ("grate", 5), ("mince", 4), ("trim", 5), ("wash", 3), ("rinse", 2), ("drain", 2),
            ("toss", 2), ("spread", 4), ("roll", 8), ("shape", 8), ("fill", 6), ("layer", 6),
            ("arrange", 4), ("line", 2), ("grease", 2), ("butter", 2), ("oil", 2), ("fold", 3),
            ("crush", 4), ("mash", 5), ("cream", 5), ("sift", 2), ("squeeze", 3), ("brush", 3),
            ("divide", 4), ("form", 8), ("press", 4), ("stuff", 8), ("rub", 4), ("strain", 3),
            ("puree", 4), ("purée", 4), ("process", 3), ("pulse", 3), ("break", 3), ("crack", 2),
            ("separate", 3), ("reconstitute", 3), ("grind", 5), ("prepare", 8), ("make", 8),
            ("dust", 2), ("coat", 4), ("dredge", 4), ("dip", 5), ("stack", 3), ("tie", 3),
            ("wrap", 4), ("score", 3), ("prick", 2), ("carve", 8), ("shred", 5), ("pit", 6),
            ("core", 5), ("seed", 4), ("halve", 4), ("quarter", 4), ("zest", 3), ("juice", 3),
            ("skewer", 6), ("pound", 4), ("thread", 6), ("pat", 2), ("dress", 2), ("punch", 1),
            ("weigh", 3), ("measure", 3), ("assemble", 6), ("plate", 4), ("ladle", 3),
            ("portion", 4), ("spoon", 3), ("garnish", 2), ("sprinkle", 2), ("scatter", 1),
            ("drizzle", 1), ("top", 2), ("serve", 3), ("unmould", 3), ("invert", 2), ("pipe", 6),
            ("clean", 4), ("scrub", 4), ("cube", 5), ("snip", 2), ("tear", 3), ("pick", 4),
            ("crumble", 3), ("flake", 3), ("smash", 3), ("transfer", 2), ("use", 2),
            ("dissolve", 2), ("gather", 2), ("turn out", 2), ("glaze", 2), ("decorate", 4),
        ],
    ),
    (
        Doing::Along,
        &[
            ("add", 2), ("stir", 1), ("pour", 1), ("cover", 1), ("uncover", 1), ("season", 1),
            ("return", 2), ("skim", 2), ("remove", 1), ("lower", 1), ("raise", 1), ("increase", 1),
            ("turn", 1), ("place", 2), ("put", 2), ("tip", 1), ("taste", 1), ("adjust", 1),
            ("discard", 1), ("baste", 1), ("let", 0), ("leave", 0), ("allow", 0), ("continue", 0),
            ("check", 1), ("reserve", 1), ("keep", 0), ("take", 1), ("lift", 1), ("immerse", 2),
            ("submerge", 2), ("repeat", 5), ("moisten", 1), ("preheat", 0), ("bring down", 1),
            ("switch", 0), ("slide", 1), ("lay", 2), ("swirl", 1), ("shake", 1), ("finish", 2),
        ],
    ),
];

/// Words behind which a verb may stand within a clause.
const BEFORE: [&str; 22] = [
    "and",
    "then",
    "or",
    "but",
    "let",
    "to",
    "now",
    "again",
    "also",
    "just",
    "immediately",
    "should",
    "must",
    "will",
    "next",
    "meanwhile",
    "stand",
    "carefully",
    "first",
    "finally",
    "please",
    "ccp",
];

/// Verbs that are things of the kitchen as often: an order only at the beginning, or
/// with what it is done to behind them ("oil the tin", not "oil and vinegar").
const THINGS: [&str; 30] = [
    "cream", "butter", "oil", "juice", "zest", "top", "line", "seed", "core", "pit", "quarter",
    "pound", "cube", "dress", "glaze", "toast", "stew", "steam", "brown", "roll", "dip", "dust",
    "score", "form", "plate", "process", "pulse", "crack", "grease", "garnish",
];
/// What stands behind such a verb.
const OBJECTS: [&str; 18] = [
    "the", "a", "an", "it", "them", "each", "all", "both", "with", "together", "lightly", "your",
    "two", "on", "over", "for", "until", "as",
];

/// What stands before a verb of heat and is one with it: "air fry", "slow-cook".
const PAIRED: [&str; 8] = ["slow", "air", "pressure", "pan", "deep", "shallow", "oven", "dry"];
/// Verbs whose own verb comes behind what they let do: "let the dough rise".
const LETS: [&str; 3] = ["let", "leave", "allow"];
/// Words between the two at the most.
const LETS_WORDS: usize = 5;
/// Words behind which stands a thing.
const ARTICLES: [&str; 8] = ["the", "a", "an", "your", "its", "their", "any", "all"];

/// Is a word an order here, by the word behind it?
fn orders(word: &str, next: &str, first: bool) -> bool {
    match word {
        "smoke" => first,
        "set" => !matches!(next, "the" | "oven" | "over" | "on" | "to" | "a"),
        _ => first || !THINGS.contains(&word) || OBJECTS.contains(&next),
    }
}

/// A verb in a clause.
#[derive(Debug, Clone, Copy)]
pub struct Met {
    /// The verb.
    pub verb: Verb,
    /// Where it begins, in bytes.
    pub at: usize,
}

/// The verb of a word, of "slow-cook" as well.
pub fn named(word: &str) -> Option<Verb> {
    in_table(word).or_else(|| {
        let (_, verb) = word.split_once('-').filter(|(first, _)| PAIRED.contains(first))?;
        in_table(verb).filter(heats)
    })
}

fn in_table(word: &str) -> Option<Verb> {
    TABLE.iter().find_map(|(doing, list)| {
        let (word, minutes) = list.iter().find(|(w, _)| *w == word)?;
        Some(Verb { word, doing: *doing, minutes: *minutes })
    })
}

const fn heats(verb: &Verb) -> bool {
    matches!(verb.doing, Doing::Heat(_))
}

/// Does a text begin with a verb?
pub fn begins_with_verb(text: &str) -> bool {
    let lower = text.trim_start().to_lowercase();
    let mut words = lower.split(|c: char| !c.is_alphanumeric() && c != '-');
    let first = words.next().unwrap_or_default();
    let next = words.next().unwrap_or_default();
    named(first).is_some() && orders(first, next, false)
        || first.ends_with("ly") && named(next).is_some()
}

/// The verbs of a clause, in order: base forms that stand where an order stands.
pub fn verbs(clause: &str) -> Vec<Met> {
    let mut found = Vec::new();
    let mut previous = String::new();
    let mut stopped = true;
    // "Air" of "air fry" stands where an order does; so many words ago something was let do.
    let (mut pair, mut lets) = (false, usize::MAX);
    let mut at = 0;
    for piece in clause.split_inclusive(|c: char| !c.is_alphanumeric() && c != '-') {
        let word = piece.trim_end_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
        if !word.is_empty() {
            let behind = clause.get(at + piece.len()..).unwrap_or_default().to_lowercase();
            let next = behind.split(|c: char| !c.is_alphanumeric() && c != '-').next();
            let next = next.unwrap_or_default();
            let ordered = stopped
                || BEFORE.contains(&previous.as_str())
                || previous.ends_with("ly") && previous.len() > 4;
            let let_do = lets < LETS_WORDS && !ARTICLES.contains(&previous.as_str());
            let such = |v: &Verb| ordered || pair && heats(v) || let_do && v.doing.goes_by_itself();
            let begins = orders(&word, next, at == 0);
            if let Some(verb) = named(&word).filter(such).filter(|_| begins) {
                // Put aside, it waits for nothing but its turn.
                let aside = word == "set" && next == "aside";
                let minutes = if aside { 0 } else { verb.minutes };
                found.push(Met { verb: Verb { minutes, ..verb }, at });
            }
            pair = ordered && PAIRED.contains(&word.as_str());
            lets =
                if ordered && LETS.contains(&word.as_str()) { 0 } else { lets.saturating_add(1) };
            previous = word;
            stopped = false;
        }
        if piece.ends_with([',', ';', ':', '.', '(', ')']) {
            (stopped, lets) = (true, usize::MAX);
        }
        at += piece.len();
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(clause: &str) -> Vec<&'static str> {
        verbs(clause).into_iter().map(|m| m.verb.word).collect()
    }

    #[test]
    fn orders_are_told_from_nouns() {
        assert_eq!(words("Using a hot oven, bake at 180 C"), ["bake"]);
        assert_eq!(words("Place the roast in a pan on the heat"), ["place"]);
        assert_eq!(words("Let rest"), ["let", "rest"]);
        assert_eq!(words("Bring to a boil over a medium heat"), ["bring"]);
        assert_eq!(words("Gently simmer until brown"), ["simmer"]);
        assert_eq!(words("Mix eggs, cream and oil"), ["mix"]);
        assert_eq!(words("Oil a tin, butter the paper"), ["oil", "butter"]);
        assert_eq!(words("Set the tin in the sink; set aside"), ["set"]);
        assert_eq!(words("the top should be dry"), [] as [&str; 0]);
        assert_eq!(words("Let the stand mixer run"), ["let"]);
        assert_eq!(words("Let it stand"), ["let", "stand"]);
        assert_eq!(words("Leave the meat to one side, rest"), ["leave", "rest"]);
        assert_eq!(words("Air fry the chips"), ["fry"]);
        assert_eq!(words("Slow-cook the beans"), ["cook"]);
        assert_eq!(words("Heat until it starts to smoke"), ["heat"]);
        assert!(begins_with_verb("drain well") && !begins_with_verb("pepper"));
    }

    #[test]
    fn no_verb_is_listed_twice() {
        let mut all: Vec<&str> = TABLE.iter().flat_map(|t| t.1).map(|w| w.0).collect();
        all.sort_unstable();
        let count = all.len();
        all.dedup();
        assert_eq!(all.len(), count);
    }
}
