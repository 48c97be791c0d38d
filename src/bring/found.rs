//! A recipe as it was found: its words, put in their places, before any of them
//! is interpreted.

use super::measure::{UnitKind, UnitWord};
use crate::kitchen::Ingredient;
use crate::kitchen::units::Exact;

/// What a recipe was found in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// schema.org JSON-LD, in a page or a file of its own.
    JsonLd,
    /// schema.org microdata in a page.
    Microdata,
    /// schema.org RDFa in a page.
    Rdfa,
    /// The headings and lists of a page without any of these.
    PlainPage,
    /// Plain text or Markdown.
    Text,
}

impl Origin {
    /// In words: "from the page's JSON-LD".
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::JsonLd => "JSON-LD (schema.org)",
            Self::Microdata => "microdata (schema.org)",
            Self::Rdfa => "RDFa (schema.org)",
            Self::PlainPage => "the headings and lists of the page",
            Self::Text => "plain text",
        }
    }
}

/// A line of ingredients or of the method.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Words {
    /// The heading that it stands under.
    pub section: Option<String>,
    /// A name of its own, which steps sometimes have.
    pub name: Option<String>,
    /// The words.
    pub text: String,
    /// Minutes that the source gives this step.
    pub minutes: Option<u32>,
    /// The ingredient, where the source gives it in parts and no line needs to be read.
    pub given: Option<Box<Ingredient>>,
    /// What goes in at this step, where the source says so.
    pub supplies: Vec<Supply>,
}

/// An ingredient that a step names.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Supply {
    /// Its name, or a line of it.
    pub name: String,
    /// Which of the ingredients it is, counted from 1.
    pub position: Option<usize>,
}

impl Words {
    /// Words under a heading.
    #[must_use]
    pub fn new(section: Option<&str>, text: impl Into<String>) -> Self {
        Self { section: section.map(str::to_owned), text: text.into(), ..Self::default() }
    }
}

/// Times that a source gives for the whole recipe, in minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Times {
    /// To make ready.
    pub prep: Option<u32>,
    /// To cook.
    pub cook: Option<u32>,
    /// In all.
    pub total: Option<u32>,
}

/// A recipe as it was found. Texts are plain: entities decoded, no tags.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// What it was found in.
    pub origin: Origin,
    /// Its name; empty if it has none.
    pub title: String,
    /// How much it makes, in the source's words.
    pub makes: Option<String>,
    /// Servings or pieces that it makes.
    pub servings: Option<u32>,
    /// One serving or piece: "rolls", "loaf".
    pub portion: Option<String>,
    /// Lines of ingredients, headings left out.
    pub lines: Vec<Words>,
    /// The method, as finely cut as the source cuts it.
    pub method: Vec<Words>,
    /// Times for the whole.
    pub times: Times,
    /// Where in a meal it belongs, in the source's words.
    pub categories: Vec<String>,
    /// Tools that the source lists.
    pub tools: Vec<String>,
    /// The source's claim of diets; to be shown, not trusted.
    pub diets: Vec<String>,
    /// How it is cooked, in a word: "Baking".
    pub cooking: Option<String>,
    /// Who wrote it.
    pub author: Option<String>,
    /// Where it is from.
    pub address: Option<String>,
    /// What may be done with the text.
    pub licence: Option<String>,
    /// What is said about it, and notes.
    pub notes: Vec<String>,
    /// Lines that found no place: to be shown, none of them is lost.
    pub unplaced: Vec<String>,
    /// What the cook should know of how it was read.
    pub said: Vec<String>,
}

impl Found {
    /// An empty recipe.
    #[must_use]
    pub fn new(origin: Origin) -> Self {
        Self {
            origin,
            title: String::new(),
            makes: None,
            servings: None,
            portion: None,
            lines: Vec::new(),
            method: Vec::new(),
            times: Times::default(),
            categories: Vec::new(),
            tools: Vec::new(),
            diets: Vec::new(),
            cooking: None,
            author: None,
            address: None,
            licence: None,
            notes: Vec::new(),
            unplaced: Vec::new(),
            said: Vec::new(),
        }
    }

    /// Does it hold anything that could be cooked?
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.lines.is_empty() && self.method.is_empty()
    }

    /// How much of a recipe it is: among several of one page the fullest is meant.
    #[must_use]
    pub fn fullness(&self) -> usize {
        self.lines.len() + self.method.len() + usize::from(!self.title.is_empty())
    }

    /// Takes the words for one serving as they stand, where the source has them apart.
    pub fn take_portion(&mut self, words: &str) {
        let first = words.split_whitespace().next().unwrap_or_default().to_lowercase();
        if !first.is_empty() && !PLAIN.contains(&first.as_str()) {
            self.portion = self.portion.take().or_else(|| Some(words.to_owned()));
        }
    }

    /// Reads how much it makes: "Serves 4 to 6", "24 rolls", "1 loaf".
    pub fn read_yield(&mut self, text: &str) {
        let text = text.trim();
        if text.is_empty() {
            return;
        }
        if let Some((number, after)) = counted(text) {
            let dozens = after.trim_start().to_lowercase().starts_with("dozen");
            let number = if dozens { number * Exact::whole(12) } else { number };
            let count =
                u32::try_from(number.ceil().to_i64()).ok().filter(|n| (1..=500).contains(n));
            let behind = after.trim_start().get("dozen".len()..).filter(|_| dozens);
            let after = behind.unwrap_or(after);
            self.servings = self.servings.or(count);
            self.portion = self.portion.take().or_else(|| portion_word(after));
        }
        // The longer words say more: ["4", "4 servings"].
        if self.makes.as_ref().is_none_or(|m| m.len() < text.len()) {
            self.makes = Some(text.to_owned());
        }
    }
}

/// The first number of a text that counts something, with what stands behind it: neither a
/// weight, a volume nor the size of a cake.
fn counted(text: &str) -> Option<(Exact, &str)> {
    let mut at = 0;
    while let Some(found) = text.get(at..)?.find(|c: char| c.is_ascii_digit()) {
        let from = at + found;
        let Some((number, used)) = super::number::leading(text.get(from..)?) else { break };
        at = from + used;
        let after = text.get(at..)?;
        if !measures(after) {
            return Some((number, after));
        }
    }
    let mut end = 0;
    text.split_inclusive(|c: char| !c.is_alphabetic() && c != '-').find_map(|piece| {
        end += piece.len();
        let word = piece.trim_end_matches(|c: char| !c.is_alphabetic());
        let number = super::number::word(word)
            .filter(|_| !matches!(word.to_lowercase().as_str(), "a" | "an" | "half" | "quarter"))?;
        let after = text.get(end - (piece.len() - word.len())..)?;
        Some((number, after)).filter(|(_, after)| !measures(after))
    })
}

/// Does a unit of weight, volume or length stand behind a number, or such a range's other end?
fn measures(after: &str) -> bool {
    let bare = after.trim_start();
    let range = bare.strip_prefix('-').or_else(|| bare.strip_prefix("to ")).map(str::trim_start);
    let used = range.and_then(super::number::leading).map_or(0, |(_, used)| used);
    let rest = range.and_then(|range| range.get(used..)).unwrap_or(bare);
    let rest = rest.trim_start_matches([' ', '-']);
    if rest.starts_with('"') {
        return true;
    }
    UnitWord::of(first_word(rest))
        .is_some_and(|u| u.measures() || u.kind == UnitKind::Length && u.word != "in")
}

fn first_word(text: &str) -> &str {
    text.split(|c: char| !c.is_alphabetic()).next().unwrap_or_default()
}

/// Words that say no more than "one serving".
const PLAIN: [&str; 12] = [
    "serving", "servings", "portion", "portions", "people", "person", "persons", "guests", "to",
    "or", "as", "generous",
];

/// "rolls" of " rolls (small)"; nothing of " servings".
fn portion_word(after: &str) -> Option<String> {
    let words: Vec<&str> = after
        .split(|c: char| !c.is_alphabetic() && c != '-' && c != ' ')
        .next()?
        .split_whitespace()
        .take(4)
        .collect();
    let first = words.first()?.to_lowercase();
    (first.contains(char::is_alphabetic) && !PLAIN.contains(&first.as_str()))
        .then(|| words.join(" "))
}
