//! The source beside what was read from it: each line with its reading, each proposal
//! with the words that it came from. What a page shows and a command prints.

use super::draft::draft;
use super::found::Found;
use super::line::{self, LineReading};
use super::words::reading_words;
use crate::kitchen::{Hold, HoldClass, Recipe, Step, WaitPlace};

/// Words of the source with what was made of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Beside {
    /// The words of the source; empty where it has none for it.
    pub source: String,
    /// What was made of them.
    pub reading: String,
    /// They could not be read, or what was made of them is a guess.
    pub doubtful: bool,
}

/// A part of a reading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// Its heading.
    pub title: String,
    /// Its lines.
    pub rows: Vec<Beside>,
}

/// A recipe as it was found beside the recipe that is proposed of it.
#[must_use]
pub fn beside(found: &Found) -> Vec<Part> {
    let made = draft(found);
    let recipe = &made.recipe;
    let said = made.said.iter().map(|s| row("", s.clone(), true)).collect();
    let notes = recipe.notes.iter().map(|n| row(n, "kept as a note".to_owned(), false)).collect();
    let parts = [
        ("The dish", the_dish(found, recipe)),
        ("What goes in", found.lines.iter().map(|w| ingredient(&w.text)).collect()),
        ("Steps that are proposed, to be confirmed one by one", steps(recipe)),
        ("How it may wait, proposed", recipe.holds.iter().map(hold).collect()),
        ("Notes", notes),
        ("To know", said),
    ];
    let parts = parts.into_iter().filter(|(_, rows): &(_, Vec<Beside>)| !rows.is_empty());
    parts.map(|(title, rows)| Part { title: title.to_owned(), rows }).collect()
}

fn row(source: &str, reading: String, doubtful: bool) -> Beside {
    Beside { source: source.to_owned(), reading, doubtful }
}

fn the_dish(found: &Found, recipe: &Recipe) -> Vec<Beside> {
    let kind = serde_json::to_value(recipe.safety.class);
    let kind = kind.ok().and_then(|k| k.as_str().map(|k| k.replace('_', " "))).unwrap_or_default();
    let class = recipe.safety.words.as_deref().unwrap_or_default();
    vec![
        row(&found.title, format!("{}, {}", recipe.title, recipe.course.word()), false),
        row(
            found.makes.as_deref().unwrap_or_default(),
            format!("makes {} servings", recipe.servings),
            found.servings.is_none(),
        ),
        row(class, format!("kind of food, proposed: {kind}"), class.is_empty()),
    ]
}

fn ingredient(text: &str) -> Beside {
    let reading = line::read(text);
    let read = matches!(reading, LineReading::Ingredient(_));
    row(text, reading_words(&reading), !read)
}

fn steps(recipe: &Recipe) -> Vec<Beside> {
    let one = |(n, step): (usize, &Step)| {
        let words = step.words.as_deref().unwrap_or_default();
        row(words, format!("{}. {}", n + 1, step_words(step, &recipe.steps)), words.is_empty())
    };
    recipe.steps.iter().enumerate().map(one).collect()
}

fn hold(hold: &Hold) -> Beside {
    let how = match hold.class {
        HoldClass::Hot => "hot",
        HoldClass::Cold => "cold",
        HoldClass::Room => "at room temperature",
    };
    let words = hold.words.as_deref().unwrap_or_default();
    let (place, most) = (hold.place.word(), hold.most_minutes);
    row(words, format!("waits {how}, {place}, at most {most} min"), words.is_empty())
}

/// A step on one line: "simmer: hob, 25 to 30 min, hands 10 %, after 1, then 20 min".
fn step_words(step: &Step, all: &[Step]) -> String {
    let mut parts = Vec::new();
    if let Some(way) = step.ways.first() {
        let minutes = way.minutes;
        let heat = way.at_c.map_or(String::new(), |c| format!(" at {c} °C"));
        parts.push(format!("{}{heat}", way.station.word()));
        parts.push(match minutes.low == minutes.high {
            true => format!("{} min", minutes.likely),
            false => format!("{} to {} min", minutes.low, minutes.high),
        });
        parts.extend(way.load_servings.map(|n| format!("{n} servings a load")));
    }
    parts.push(match step.hands.between_percent {
        100 => "all hands".to_owned(),
        0 => "left alone".to_owned(),
        percent => format!("hands {percent} %"),
    });
    for after in &step.after {
        let number = all.iter().position(|s| s.id == after.step).map_or(0, |n| n + 1);
        let cold = if after.place == WaitPlace::Cold { " in the cold" } else { "" };
        parts.push(match after.least_minutes {
            0 => format!("after {number}"),
            wait => format!("{wait} min{cold} after {number}"),
        });
    }
    parts.extend(step.probe.then(|| "measure the inside".to_owned()));
    format!("{}: {}", step.label, parts.join(", "))
}
