//! One ingredient line, read: how much, of what, what is done to it beforehand.
//!
//! The grammar is that of English recipes: `[about] number [range] [package]
//! [size] [unit] ["of"] name {"," remark}`, with sums ("½ cup plus 2 tablespoons"),
//! equal amounts ("150 g/5 oz"), units behind the name ("4 garlic cloves") and
//! parts of a thing ("juice of 2 lemons").

mod amount;
mod name;
mod or;
mod remark;
#[cfg(test)]
mod tests;
mod tokens;

use super::clean;
use super::lexicon;
use super::measure::UnitWord;
use crate::kitchen::units::Exact;
use tokens::Cursor;

/// Longest line that is read as an ingredient, in characters: longer ones are
/// paragraphs.
pub const LINE_LONGEST: usize = 600;

/// What a line turned out to be.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LineReading {
    /// An ingredient.
    Ingredient(Box<IngredientLine>),
    /// A heading above ingredients: "For the dressing".
    Heading(String),
    /// Neither, and why.
    Unread(&'static str),
}

/// An amount with its unit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Measure {
    /// How much, or the lower end of a range.
    pub amount: Exact,
    /// The upper end of a range.
    pub to: Option<Exact>,
    /// The unit; pieces if there is none.
    pub unit: Option<UnitWord>,
}

/// An ingredient line, read.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct IngredientLine {
    /// How much in all; the lower end of a range; nothing where the line has no number.
    pub amount: Option<Exact>,
    /// The upper end of a range.
    pub amount_to: Option<Exact>,
    /// The unit of the amount.
    pub unit: Option<UnitWord>,
    /// What a sum is made of, where the line adds: "2 lb 4 oz".
    pub parts: Vec<Measure>,
    /// The same amount in other units.
    pub equals: Vec<Measure>,
    /// What one can, packet or piece holds.
    pub pack: Option<Measure>,
    /// What it is.
    pub item: String,
    /// What may be taken instead.
    pub or: Vec<String>,
    /// What is done to it beforehand: "finely chopped", "melted and cooled".
    pub prep: Option<String>,
    /// How large a piece is.
    pub sizes: Vec<String>,
    /// Whatever else is said.
    pub notes: Vec<String>,
    /// It may be left out.
    pub optional: bool,
    /// It goes in at more than one place.
    pub divided: bool,
    /// As much as tastes good.
    pub to_taste: bool,
    /// The amount is said to be rough.
    pub about: bool,
}

impl IngredientLine {
    /// What is done beforehand, if it is knife work.
    #[must_use]
    pub fn cut(&self) -> Option<&str> {
        let prep = self.prep.as_deref()?;
        let knife = |w: &str| lexicon::is_knife_work(&w.to_lowercase());
        prep.split(|c: char| !c.is_alphanumeric() && c != '-').any(knife).then_some(prep)
    }

    /// The amount as it is written first: of a sum its first part.
    #[must_use]
    pub fn first(&self) -> Option<(Exact, Option<Exact>)> {
        match self.parts.first() {
            Some(part) => Some((part.amount, part.to)),
            None => self.amount.map(|a| (a, self.amount_to)),
        }
    }
}

/// Reads a line, as it stands in the source (entities and tags included).
#[must_use]
pub fn read(line: &str) -> LineReading {
    let plain = clean::clean_line(line);
    let text = without_bullet(&plain);
    if text.chars().count() > LINE_LONGEST {
        return LineReading::Unread("too long for an ingredient");
    }
    if let Some(heading) = heading(text) {
        return LineReading::Heading(heading);
    }
    if !text.chars().any(char::is_alphabetic) {
        return LineReading::Unread("names no ingredient");
    }
    if numbered_step(text) {
        return LineReading::Unread("reads like a step of the method");
    }
    let mut found = IngredientLine::default();
    let text = labelled(text, &mut found);
    let mut cursor = Cursor::new(text);
    part_of(&mut cursor, &mut found);
    let begin = cursor.at;
    amount::read(&mut cursor).put_into(&mut found);
    if found.unit.is_some() && cursor.names_nothing() {
        // "2 cloves", "10 whole cloves": what looks like a unit is the thing itself.
        cursor.at = begin;
        amount::number_only(&mut cursor).put_into(&mut found);
    }
    name::read(&cursor, &mut found);
    if found.item.is_empty() {
        return LineReading::Unread("names no ingredient");
    }
    LineReading::Ingredient(Box::new(found))
}

/// "4. Return the pan to the oven and …".
fn numbered_step(text: &str) -> bool {
    const WORDS_LEAST: usize = 8;
    let rest = text.trim_start_matches(|c: char| c.is_ascii_digit());
    let Some(rest) = rest.strip_prefix(['.', ')']).filter(|_| rest.len() < text.len()) else {
        return false;
    };
    let sentence = rest.trim_start().starts_with(char::is_uppercase) && rest.starts_with(' ');
    sentence && rest.split_whitespace().count() >= WORDS_LEAST
}

/// "Garnish: candied ginger": a word and a colon before the ingredient.
fn labelled<'t>(text: &'t str, found: &mut IngredientLine) -> &'t str {
    const WORDS_MOST: usize = 4;
    let Some((label, rest)) = text.split_once(':') else { return text };
    let words = label.split_whitespace().count();
    let plain = label.chars().all(|c| c.is_alphabetic() || c.is_whitespace());
    // "Onions: 3" names the thing first.
    if !plain || words == 0 || words > WORDS_MOST || !rest.chars().any(char::is_alphabetic) {
        return text;
    }
    match label.to_lowercase().as_str() {
        "optional" => found.optional = true,
        _ => found.notes.push(label.trim().to_owned()),
    }
    rest.trim_start()
}

/// Without the sign that a list puts before its lines.
fn without_bullet(line: &str) -> &str {
    let bare = line.trim_start_matches(|c: char| {
        c.is_whitespace()
            || matches!(
                c,
                '-' | '*'
                    | '\u{2022}'
                    | '\u{25a2}'
                    | '\u{25a1}'
                    | '\u{25cf}'
                    | '\u{25e6}'
                    | '\u{2610}'
                    | '\u{b7}'
                    | '>'
                    | '+'
            )
    });
    let boxed = ["[ ]", "[x]", "[]"].iter().find_map(|b| bare.strip_prefix(b));
    boxed.unwrap_or(bare).trim()
}

/// "For the dressing:", "## Filling", "**Topping**".
fn heading(text: &str) -> Option<String> {
    let marked = text.starts_with('#') || text.starts_with("**") && text.ends_with("**");
    let bare = text.trim_matches(|c| matches!(c, '#' | '*' | '_' | ' '));
    let named = bare.strip_suffix(':').filter(|n| !n.contains(':'));
    let lower = bare.to_lowercase();
    let for_the = ["for the ", "for serving", "to serve", "to garnish", "to finish"];
    let purpose = for_the.iter().any(|f| lower.starts_with(f)) && !bare.contains(',');
    let numbered = bare.chars().any(|c| c.is_ascii_digit());
    let short = bare.split_whitespace().count() <= 8;
    let is = marked || named.is_some() && short && !numbered || purpose && short && !numbered;
    let name = named.unwrap_or(bare).trim();
    (is && name.chars().any(char::is_alphabetic)).then(|| name.to_owned())
}

/// "juice of 2 lemons", "finely grated zest and juice of 1 lime", "kernels from
/// 2 ears corn": the part is what is used, the amount that of the whole.
fn part_of(c: &mut Cursor, found: &mut IngredientLine) {
    const PARTS: [&str; 20] = [
        "juice", "zest", "rind", "peel", "kernels", "leaves", "seeds", "pulp", "yolk", "yolks",
        "white", "whites", "flesh", "juices", "zests", "meat", "scraped", "grated", "needles",
        "greens",
    ];
    const WORDS_MOST: usize = 8;
    let mut ahead = 0;
    let mut is_part = false;
    while ahead < WORDS_MOST {
        let Some(word) = c.word(ahead) else { return };
        if matches!(word.as_str(), "of" | "from") {
            break;
        }
        is_part |= PARTS.contains(&word.as_str());
        ahead += 1;
        if c.is_sign(ahead, ',') {
            ahead += 1;
        }
    }
    let number = |at: usize| {
        c.number(at).is_some() || c.word(at).is_some_and(|w| super::number::word(&w).is_some())
    };
    let about = usize::from(c.word(ahead + 1).is_some_and(|w| lexicon::is_about(&w) && w != "a"));
    let part = is_part && c.is_word(ahead, &["of"]) || c.is_word(ahead, &["from"]);
    let counted = c.word(0).is_none_or(|w| super::number::word(&w).is_none());
    if part && ahead > 0 && counted && number(ahead + 1 + about) {
        found.prep = Some(c.between(c.at, c.at + ahead + 1).to_lowercase());
        c.at += ahead + 1;
    }
}
