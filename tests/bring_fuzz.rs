//! Broken files of every kind that recipes come in: known shapes cut, doubled, joined
//! and sprinkled with what breaks readers, by seeded dice. None may end in a panic;
//! whatever is read must become a recipe that the check finds sound, with no line lost.
//!
//!     FUZZ_SECONDS=600 cargo test --release --test bring_fuzz -- --ignored --nocapture
//!
//! plays for so long, half a second a reader in turn, and prints the count of each. A
//! case that fails is named by its reader and seed: FUZZ_READER=text FUZZ_SEED=N plays it alone.

#[path = "family/dice.rs"]
#[allow(dead_code, reason = "each target uses its part")]
mod dice;

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::time::{Duration, Instant};

use dice::Dice;
use potwatch::bring::beside::beside;
use potwatch::bring::line::LineReading;
use potwatch::bring::{self, Found, Origin, Words, clean, duration, line, method, words};
use potwatch::kitchen::check::{Severity, check_recipe};

/// Longest case, in bytes: what eats time by its size alone is tried in `bring/html`.
const BYTES_MOST: usize = 40_000;

const JSON: &str = r#"{"@context":"https://schema.org","@graph":["x",{"@type":["Recipe"],"name":"Leek &amp; barley pot","recipeYield":["8","8 servings"],"recipeCategory":"Main course","prepTime":"PT20M","totalTime":"P0DT1H15M","suitableForDiet":"https://schema.org/VeganDiet","tool":[{"@type":"HowToTool","name":"pot"}],"recipeIngredient":["2 kg leeks, sliced","1 1/2 cups barley",["3 (15 oz each) cans beans"],{"@type":"PropertyValue","name":"onion","value":"1 1/3","unitText":"kg","valueReference":[{"name":"cut","value":"diced"},{"name":"pack","value":"400","unitText":"g"},{"name":"optional","value":true}]}],"recipeInstructions":[{"@type":"HowToSection","name":"Pot","itemListElement":[{"@type":"HowToStep","text":"Sweat the leeks 10 minutes, stirring often."},{"@type":"HowToStep","name":"simmer","itemListElement":{"@type":"HowToDirection","text":"Add barley; simmer 40 minutes.","performTime":"PT40M"}}]},"Bake at 180 &deg;C for 30 to 35 minutes until it reads 74 °C for 15 seconds."]}]}"#;

const MICRODATA: &str = "<div itemscope itemtype='http://schema.org/Recipe'><h1 itemprop=name>Leek pot</h1>\
    <time itemprop=totalTime datetime=PT50M>50 min</time><span itemprop=recipeYield>16 portions</span>\
    <ul><li itemprop=recipeIngredient>2 kg leeks, sliced<li itemprop=recipeIngredient>&frac12; l cream</ul>\
    <ol itemprop=recipeInstructions><li>Sweat the leeks.<li>Add cream; simmer 20 minutes.</ol></div>";

const RDFA: &str = "<body vocab='https://schema.org/' typeof=Recipe><h1 property=name>Leek pot</h1>\
    <p property=recipeIngredient>2 kg leeks, sliced<p property=recipeIngredient>½ l cream\
    <div property=recipeInstructions>Sweat the leeks.<br>Add cream; simmer 20 minutes.</div>";

const PAGE: &str = "<html><title>x</title><nav><ul><li>1 kg menu</ul></nav><h1>Leek pot</h1><p>Serves 16</p>\
    <h2>Ingredients</h2><ul><li>2 kg leeks, sliced<li>½ l cream</ul>\
    <h2>Method</h2><ol><li>Sweat the leeks.<li>Add cream; simmer 20 minutes.</ol><footer>more</footer>";

const TEXT: &str = "# Leek and barley pot\n\nServes 8\nPrep time: 20 min\nA pot for cold nights.\n\n\
    ## Ingredients\n- 2 kg leeks, sliced\n* 1 l stock\n[ ] 3 (400 g) tins beans\n\n### For the top\n- 80 g oats\n\n\
    ## Method\n1. Sweat the leeks\nuntil soft, 10 min.\n2) Add stock; simmer 30 minutes. Serve hot.\n\n## Notes\n- Keeps two days.";

const LINES: [&str; 8] = [
    "1 1/2 lb (680 g) large potatoes, peeled and cubed",
    "2 x 400g tins chopped tomatoes, drained",
    "juice of 2 lemons, plus more to taste",
    "½ cup plus 2 tablespoons butter, melted and cooled (optional)",
    "150g/5oz plain flour or rye flour, divided",
    "3 to 4 garlic cloves, minced",
    "1,5 kg beef chuck, cut into 3 cm cubes",
    "For the dressing:",
];

const METHODS: [&str; 6] = [
    "Preheat the oven to 200°C/180°C fan/gas 6. Roast 1 hour 45 minutes - 2-1/2 hours, turning once.",
    "Meanwhile fry in three batches, 4 minutes a side; set aside for use in Step 3. Let stand 10 minutes.",
    "CCP: Internal temperature must reach 165 F. or higher for 15 seconds. Hold for service at 140 F. or higher.",
    "Cover; refrigerate at least 3 to 4 hours or overnight. Serve cold.",
    "Brown lightly in 325 F. oven, about 20 to 25 minutes or in 375 F. convection oven for about 6 minutes.",
    "Cook in the slow cooker on low for 6-8 hours, stirring now and then, 18 minutes per pound.",
];

/// What readers stumble over.
const CRUMBS: [&str; 56] = [
    "{",
    "}",
    "[",
    "]",
    "\"",
    ",",
    ":",
    "\\",
    "\\u0000",
    "\\ud800",
    "null",
    "true",
    "1e999",
    "-1",
    "</script>",
    "<script type='application/ld+json'>",
    "<!--",
    "-->",
    "<![CDATA[",
    "]]>",
    "<p",
    "<table><tr>",
    "</body>",
    "<template>",
    "<svg>",
    "<ul>",
    "<li>",
    "itemscope",
    "itemprop=",
    "&lt;",
    "&amp;lt;",
    "&#x110000;",
    "&#0;",
    "&frac12;",
    "½",
    "1½",
    "⁄",
    "10/0",
    "0/0",
    "1/0 cup",
    "99999999999999999999",
    "1 000 000",
    "0.0000001",
    "\u{0}",
    "\u{202e}",
    "\u{feff}",
    "\u{301}",
    "🍲",
    "\r",
    "\t",
    "\n\n",
    "PT",
    "P1Y",
    " - ",
    "°",
    "'",
];

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Reader {
    JsonLdInAPage,
    Json,
    Microdata,
    Rdfa,
    PlainPage,
    Text,
    Line,
    Method,
}

const READERS: [(Reader, &str); 8] = [
    (Reader::JsonLdInAPage, "json_ld_in_a_page"),
    (Reader::Json, "json"),
    (Reader::Microdata, "microdata"),
    (Reader::Rdfa, "rdfa"),
    (Reader::PlainPage, "plain_page"),
    (Reader::Text, "text"),
    (Reader::Line, "line"),
    (Reader::Method, "method"),
];

fn one<'a>(dice: &mut Dice, list: &[&'a str]) -> &'a str {
    let at = dice.below(i32::try_from(list.len()).expect("short"));
    list[usize::try_from(at).expect("no less than nought")]
}

/// A sound case of a reader.
fn sound(reader: Reader, dice: &mut Dice) -> String {
    match reader {
        Reader::JsonLdInAPage => {
            format!("<html><body><script type=\"application/ld+json\">{JSON}</script>{PAGE}")
        }
        Reader::Json => JSON.to_owned(),
        Reader::Microdata => MICRODATA.to_owned(),
        Reader::Rdfa => RDFA.to_owned(),
        Reader::PlainPage => PAGE.to_owned(),
        Reader::Text => TEXT.to_owned(),
        Reader::Line => one(dice, &LINES).to_owned(),
        Reader::Method => format!("{}\n{}", one(dice, &METHODS), one(dice, &METHODS)),
    }
}

/// A place in some bytes.
fn place(dice: &mut Dice, bytes: &[u8]) -> usize {
    let most = i32::try_from(bytes.len()).expect("short") + 1;
    usize::try_from(dice.below(most)).expect("no less than nought")
}

/// A case broken in one to eight ways.
fn broken(reader: Reader, dice: &mut Dice) -> Vec<u8> {
    let mut bytes = sound(reader, dice).into_bytes();
    for _ in 0..=dice.below(8) {
        let (a, b) = (place(dice, &bytes), place(dice, &bytes));
        let (from, to) = (a.min(b), a.max(b));
        match dice.below(8) {
            0 => bytes.truncate(to),
            1 => drop(bytes.drain(from..to.min(from + 40))),
            2 => {
                let again = bytes[from..to].to_vec();
                bytes.splice(from..from, again);
            }
            3 => {
                let crumb = one(dice, &CRUMBS);
                let many = if dice.below(6) == 0 { 1 + dice.below(400) } else { 1 };
                let crumbs = crumb.repeat(usize::try_from(many).expect("some"));
                bytes.splice(from..from, crumbs.into_bytes());
            }
            4 => {
                let other = READERS[usize::try_from(dice.below(8)).expect("some")].0;
                let other = sound(other, dice).into_bytes();
                let at = place(dice, &other);
                bytes.splice(from..to, other[at..].to_vec());
            }
            5 if from < bytes.len() => bytes[from] ^= 1 << dice.below(8),
            6 => bytes.splice(from..from, one(dice, &CRUMBS).bytes()).for_each(drop),
            _ => {
                let (low, high) = bytes.split_at(from);
                bytes = [high, low].concat();
            }
        }
        bytes.truncate(BYTES_MOST);
    }
    if dice.below(40) == 0 {
        // In two bytes a sign, with its mark.
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let wide = text.encode_utf16().flat_map(u16::to_le_bytes);
        return [0xff, 0xfe].into_iter().chain(wide).collect();
    }
    bytes
}

/// Reads a case and holds what comes of it against what must be so: was there a recipe?
fn play(reader: Reader, bytes: &[u8]) -> bool {
    let text = String::from_utf8_lossy(bytes);
    let found = match reader {
        Reader::Line => {
            let reading = line::read(&text);
            if let LineReading::Ingredient(one) = &reading {
                assert!(!one.item.is_empty());
            }
            let mut found = Found::new(Origin::Text);
            found.lines.push(Words::new(None, clean::clean_line(&text)));
            vec![found]
        }
        Reader::Method => {
            let _ = duration::minutes(&text);
            let _ = method::times(&text);
            let mut found = Found::new(Origin::Text);
            found.method = text.lines().map(|l| Words::new(None, l)).collect();
            vec![found]
        }
        _ => bring::read(bytes).unwrap_or_default(),
    };
    found.iter().take(4).for_each(becomes_a_recipe);
    !found.is_empty()
}

fn becomes_a_recipe(found: &Found) {
    let recipe = bring::draft(found).recipe;
    let wrong: Vec<_> =
        check_recipe(&recipe).into_iter().filter(|p| p.severity == Severity::Wrong).collect();
    assert!(wrong.is_empty(), "{wrong:?}");
    assert!(recipe.steps.iter().all(|s| s.unconfirmed) && recipe.safety.unconfirmed);
    assert_eq!(recipe.safety.exempt, None);
    // Each line of the source is an ingredient or a note.
    let kept = recipe.ingredients.len() + recipe.notes.len();
    assert!(kept >= found.lines.len().min(40), "{kept} of {} lines", found.lines.len());
    assert!(!beside(found).is_empty() && !words::found(found).is_empty());
    let shared = serde_json::to_vec(&bring::share(&recipe)).expect("JSON");
    if !recipe.ingredients.is_empty() {
        let back = bring::read(&shared).expect("what was shared is a recipe").remove(0);
        assert_eq!(back.lines.len(), recipe.ingredients.len());
        assert_eq!(back.method.len(), recipe.steps.len());
    }
}

/// A case of a reader by its seed: was there a recipe, and how long it took; the case
/// itself, if it failed.
fn case(reader: Reader, seed: u64) -> Result<(bool, Duration), Vec<u8>> {
    let mut dice = Dice::new(seed);
    let bytes = broken(reader, &mut dice);
    let begun = Instant::now();
    match catch_unwind(AssertUnwindSafe(|| play(reader, &bytes))) {
        Ok(read) => Ok((read, begun.elapsed())),
        Err(_) => Err(bytes),
    }
}

fn must_hold(reader: (Reader, &str), seed: u64) -> (bool, Duration) {
    case(reader.0, seed).unwrap_or_else(|bytes| {
        panic!("FUZZ_READER={} FUZZ_SEED={seed}: {}", reader.1, String::from_utf8_lossy(&bytes))
    })
}

#[test]
fn broken_files_of_every_kind_are_read_or_refused() {
    let mut sound_dice = Dice::new(1);
    for reader in READERS {
        assert!(play(reader.0, sound(reader.0, &mut sound_dice).as_bytes()));
        for seed in 0..60 {
            must_hold(reader, seed);
        }
    }
}

#[test]
#[ignore = "as long as FUZZ_SECONDS says"]
fn broken_files_for_as_long_as_is_asked() {
    let number = |name: &str| std::env::var(name).ok().and_then(|v| v.parse::<u64>().ok());
    if let (Ok(wanted), Some(seed)) = (std::env::var("FUZZ_READER"), number("FUZZ_SEED")) {
        let reader = READERS.into_iter().find(|r| r.1 == wanted).expect("a reader of that name");
        let bytes = broken(reader.0, &mut Dice::new(seed));
        println!("{}", String::from_utf8_lossy(&bytes));
        play(reader.0, &bytes);
        return;
    }
    let until = Instant::now() + Duration::from_secs(number("FUZZ_SECONDS").unwrap_or(60));
    let first = number("FUZZ_FIRST").unwrap_or(1_000_000);
    let mut counts: BTreeMap<&str, (u64, u64, Duration)> = BTreeMap::new();
    while Instant::now() < until {
        for reader in READERS {
            let turn = Instant::now();
            let (count, read, slowest) = counts.entry(reader.1).or_default();
            while turn.elapsed() < Duration::from_millis(500) {
                let (is_read, took) = must_hold(reader, first + *count);
                *slowest = (*slowest).max(took);
                *read += u64::from(is_read);
                *count += 1;
            }
        }
    }
    for (reader, (count, read, slowest)) in &counts {
        let slowest = slowest.as_millis();
        println!("{reader}: {count} cases, {read} of them a recipe, the slowest {slowest} ms");
    }
    println!("{} cases in all", counts.values().map(|c| c.0).sum::<u64>());
}
