//! Plain text and Markdown: a title, lines of ingredients, a method.

use super::clean;
use super::found::{Found, Origin, Words};
use super::line::{self, LineReading};
use super::trouble::Trouble;
use super::{duration, moment, number};

/// Most lines that are read.
const LINES_MOST: usize = 20_000;
/// Longest heading, in words.
const HEADING_WORDS: usize = 8;

/// A part of a recipe's text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Before,
    Ingredients,
    Method,
    Notes,
    /// Under a heading that belongs to none: nutrition, comments.
    Other,
}

/// Reads a text. Entities and tags are decoded.
///
/// # Errors
/// [`Trouble::NoRecipe`] if it has neither ingredients nor a method.
pub fn read(text: &str) -> Result<Found, Trouble> {
    read_marked(&clean::clean(text))
}

/// Reads a text that is plain already; "# " marks a title, "## " a heading, "- "
/// an entry of a list, as in Markdown.
///
/// # Errors
/// [`Trouble::NoRecipe`] if it has neither ingredients nor a method.
pub fn read_marked(text: &str) -> Result<Found, Trouble> {
    let lines: Vec<&str> = text.lines().map(str::trim_end).take(LINES_MOST).collect();
    let mut reader = Reader {
        found: Found::new(Origin::Text),
        part: Part::Before,
        section: None,
        paragraph: false,
        headed: lines.iter().any(|l| part_named(l).is_some_and(|p| p != Part::Notes)),
    };
    for line in lines {
        reader.line(line);
    }
    let found = reader.found;
    if found.is_empty() {
        let seen = match text.lines().filter(|l| !l.trim().is_empty()).count() {
            1 => "a text of 1 line".to_owned(),
            n => format!("a text of {n} lines"),
        };
        return Err(Trouble::NoRecipe { seen });
    }
    Ok(found)
}

struct Reader {
    found: Found,
    part: Part,
    section: Option<String>,
    /// The line before belongs to a paragraph that may go on.
    paragraph: bool,
    /// The text names its parts.
    headed: bool,
}

impl Reader {
    fn line(&mut self, raw: &str) {
        let line = raw.trim();
        if line.is_empty() || line.chars().all(|c| matches!(c, '-' | '=' | '*' | '_' | '~' | ' ')) {
            self.paragraph = false;
            return;
        }
        if let Some(part) = part_named(line) {
            (self.part, self.section, self.paragraph) = (part, None, false);
            return;
        }
        if self.about(line) {
            return;
        }
        let heading = heading(line);
        if let Some(words) = &heading {
            self.paragraph = false;
            if self.found.title.is_empty() && self.part == Part::Before {
                self.found.title = words.clone();
                return;
            }
            if line.starts_with('#') && self.part != Part::Before {
                self.headed_by(words);
                return;
            }
        }
        match self.part {
            Part::Before if self.headed => self.before(line),
            Part::Before => self.unheaded(line),
            Part::Ingredients => self.ingredient(line),
            Part::Method => self.step(line),
            Part::Notes => self.found.notes.push(bare(line).to_owned()),
            Part::Other => self.found.unplaced.push(line.to_owned()),
        }
    }

    /// A heading within a part: of some ingredients, of some steps, or of what is
    /// no part of the recipe any more.
    fn headed_by(&mut self, words: &str) {
        let begun = !self.found.lines.is_empty() && !self.found.method.is_empty();
        let lower = words.to_lowercase();
        let own = lower.starts_with("for ") || lower.starts_with("to ") || lower.contains("the ");
        match self.part {
            Part::Method if begun && !own && self.section.is_none() => {
                self.part = Part::Other;
                self.found.unplaced.push(words.to_owned());
            }
            Part::Ingredients | Part::Method => self.section = Some(words.to_owned()),
            _ => self.found.unplaced.push(words.to_owned()),
        }
    }

    /// "Serves 8", "Prep: 20 minutes", "Total time 1 h": what is said about the whole.
    fn about(&mut self, line: &str) -> bool {
        let plain = bare(line).replace("**", "");
        let lower = plain.to_lowercase();
        if self.part == Part::Method && lower.split_whitespace().count() > 6 {
            return false;
        }
        const MAKES: [&str; 8] =
            ["serves", "makes", "yield", "yields", "servings", "portions", "serving", "for "];
        let made = MAKES.iter().any(|m| lower.starts_with(m))
            && (lower.chars().any(|c| c.is_ascii_digit()) || says_number(&lower))
            && lower.split_whitespace().count() <= 10
            && (self.part != Part::Ingredients || counts_at_once(&lower))
            && (!lower.starts_with("for ") || lower.contains("people") || lower.contains("guests"));
        let counted = ["servings", "portions"].iter().any(|m| lower.ends_with(m))
            && lower.starts_with(|c: char| c.is_ascii_digit())
            && lower.split_whitespace().count() <= 4;
        if made || counted {
            self.found.read_yield(&plain);
            return true;
        }
        let Some((name, rest)) = plain.split_once(':') else { return false };
        let minutes = duration::minutes(rest);
        let slot = match name.trim().to_lowercase().trim_end_matches(" time") {
            "prep" | "preparation" | "hands-on" => &mut self.found.times.prep,
            "cook" | "cooking" | "bake" | "baking" => &mut self.found.times.cook,
            "total" | "ready in" | "time" => &mut self.found.times.total,
            _ => return false,
        };
        if minutes.is_some() {
            *slot = minutes;
        }
        minutes.is_some()
    }

    /// Before the first part of a text that names its parts.
    fn before(&mut self, line: &str) {
        if self.found.title.is_empty() {
            self.found.title = bare(line).to_owned();
        } else {
            self.found.notes.push(bare(line).to_owned());
        }
    }

    /// In a text that names no parts: lines that look like ingredients, then the method.
    fn unheaded(&mut self, line: &str) {
        if self.found.title.is_empty() {
            self.found.title = bare(line).to_owned();
        } else if looks_like_ingredient(line) {
            self.ingredient(line);
        } else if self.found.lines.is_empty() && !looks_like_step(line) {
            self.found.notes.push(bare(line).to_owned());
        } else {
            self.step(line);
        }
    }

    fn ingredient(&mut self, line: &str) {
        if let LineReading::Heading(words) = line::read(line) {
            self.section = Some(words);
            return;
        }
        self.found.lines.push(Words::new(self.section.as_deref(), bare(line)));
    }

    fn step(&mut self, line: &str) {
        let listed = without_number(line);
        let text = bare(listed);
        if let Some(words) = heading(line).filter(|_| line.ends_with(':') || line.starts_with("**"))
        {
            self.section = Some(words);
            self.paragraph = false;
            return;
        }
        let goes_on = self.paragraph
            && listed.len() == line.len()
            && text.len() == line.len()
            && self.found.method.last().is_some_and(|w| unfinished(&w.text, text));
        match self.found.method.last_mut().filter(|_| goes_on) {
            Some(last) => {
                last.text.push(' ');
                last.text.push_str(text);
            }
            None => self.found.method.push(Words::new(self.section.as_deref(), text)),
        }
        self.paragraph = true;
    }
}

/// Does the number stand right behind the first word: "Serves about 6"? Among ingredients
/// "Serving suggestion: 1 lemon" and "for the guests: 3 eggs" are some.
fn counts_at_once(lower: &str) -> bool {
    const ABOUT: [&str; 12] = [
        "about",
        "approx",
        "approximately",
        "around",
        "roughly",
        "up",
        "to",
        "between",
        "enough",
        "for",
        "yield",
        "a",
    ];
    let mut words = lower.split(|c: char| !c.is_alphanumeric() && c != '-').skip(1);
    let first = words.find(|w| !w.is_empty() && !ABOUT.contains(w)).unwrap_or_default();
    first.starts_with(|c: char| c.is_ascii_digit()) || says_number(first)
}

/// Does a text have a number in words: "serves four"?
fn says_number(lower: &str) -> bool {
    let words = lower.split(|c: char| !c.is_alphabetic() && c != '-');
    words
        .filter(|w| !matches!(*w, "a" | "an" | "half" | "quarter"))
        .any(|w| number::word(w).is_some())
}

/// Does a line that follows another go on with it?
fn unfinished(before: &str, next: &str) -> bool {
    !before.trim_end().ends_with(['.', '!', '?', ':']) || next.starts_with(char::is_lowercase)
}

/// The part that a heading names.
fn part_named(line: &str) -> Option<Part> {
    let bare =
        line.trim().trim_matches(|c: char| matches!(c, '#' | '*' | '_' | ' ' | ':' | '=' | '-'));
    let lower = bare.to_lowercase();
    if lower.split_whitespace().count() > 5 {
        return None;
    }
    let is = |words: &[&str]| words.iter().any(|w| *w == lower);
    if is(&[
        "ingredients",
        "ingredient list",
        "you will need",
        "you'll need",
        "what you need",
        "what you'll need",
        "shopping list",
        "the ingredients",
    ]) {
        return Some(Part::Ingredients);
    }
    if is(&[
        "method",
        "instructions",
        "directions",
        "preparation",
        "steps",
        "procedure",
        "what to do",
        "how to make it",
        "to make",
        "cooking instructions",
        "the method",
        "preparation method",
        "instruction",
    ]) {
        return Some(Part::Method);
    }
    if is(&["notes", "note", "tips", "tip", "cook's notes", "cook's note", "hints"]) {
        return Some(Part::Notes);
    }
    let other = [
        "nutrition",
        "comments",
        "reviews",
        "related",
        "equipment",
        "you may also like",
        "nutrition information",
        "nutrition facts",
        "leave a comment",
        "share this",
    ];
    (line.starts_with('#') && is(&other)).then_some(Part::Other)
}

/// A heading's words: marked as one, or short and without an end.
fn heading(line: &str) -> Option<String> {
    let marked = line.starts_with('#') || line.starts_with("**") && line.ends_with("**");
    let bare = line.trim_matches(|c: char| matches!(c, '#' | '*' | '_' | ' '));
    let named = bare.ends_with(':');
    let name = bare.trim_end_matches(':').trim();
    let words = name.split_whitespace().count();
    let short = words <= HEADING_WORDS && !name.ends_with(['.', '!', '?', ',']);
    (marked && words > 0 || named && short && words > 0).then(|| name.to_owned())
}

/// Without the sign of a list before it.
fn bare(line: &str) -> &str {
    let marks =
        ['-', '*', '+', '\u{2022}', '\u{25aa}', '\u{25e6}', '\u{b7}', '\u{25a2}', '\u{2610}'];
    let rest = line.trim_start();
    let mut chars = rest.chars();
    match chars.next() {
        Some(c) if marks.contains(&c) && chars.as_str().starts_with([' ', '\t']) => {
            chars.as_str().trim_start()
        }
        Some('>') => chars.as_str().trim_start(),
        Some(c) if c != '*' && marks.contains(&c) && c != '-' && c != '+' => {
            chars.as_str().trim_start()
        }
        _ => rest.trim_start_matches('#').trim_start(),
    }
}

/// Without "1.", "2)", "Step 3:" before it.
#[must_use]
pub fn without_number(line: &str) -> &str {
    let rest = bare(line);
    let lower = rest.to_lowercase();
    let step = if lower.starts_with("step ") { rest.get(5..).unwrap_or(rest) } else { rest };
    let digits = step.bytes().take_while(u8::is_ascii_digit).count();
    let after = step.get(digits..).unwrap_or_default();
    let dotted = after.strip_prefix(['.', ')', ':']).or_else(|| after.strip_prefix(" -"));
    match dotted {
        Some(text) if (1..=3).contains(&digits) && (text.is_empty() || text.starts_with(' ')) => {
            text.trim_start()
        }
        _ => rest,
    }
}

fn looks_like_ingredient(line: &str) -> bool {
    let text = bare(line);
    let short = text.split_whitespace().count() <= 14 && !text.ends_with(['.', '!']);
    if !short || without_number(line).len() < text.len() {
        return false;
    }
    match line::read(line) {
        LineReading::Ingredient(found) => {
            text.len() < line.trim_start().len()
                || (found.amount.is_some() && moment::times(text).is_empty())
                || found.to_taste
        }
        LineReading::Heading(_) => true,
        LineReading::Unread(_) => false,
    }
}

fn looks_like_step(line: &str) -> bool {
    without_number(line).len() < bare(line).len() || line.trim_end().ends_with('.')
}

/// A method in one text, cut where its author cut it: at line breaks, and at
/// numbers that begin a step within a line. A text of one paragraph is one piece.
#[must_use]
pub fn paragraphs(text: &str) -> Vec<String> {
    let mut pieces = Vec::new();
    for line in text.lines().map(str::trim).filter(|l| !l.is_empty()) {
        for piece in numbered(line) {
            let piece = without_number(piece).trim();
            if piece.chars().any(char::is_alphanumeric) {
                pieces.push(piece.to_owned());
            }
        }
    }
    pieces
}

/// "1. Boil. 2. Drain." as two; a line without such numbers as one.
fn numbered(line: &str) -> Vec<&str> {
    let mut pieces = Vec::new();
    let mut begin = 0;
    let mut next = 1_u32;
    let mut from = 0;
    // Only numbers that count from one, each behind the end of a sentence.
    while let Some(found) = line.get(from..).and_then(|rest| {
        [". ", ") "].iter().filter_map(|end| rest.find(&format!("{next}{end}"))).min()
    }) {
        let at = from + found;
        let before = line.get(..at).unwrap_or_default().trim_end();
        if !before.is_empty() && !before.ends_with(['.', '!', '?', ')', ';']) {
            from = at + 1;
            continue;
        }
        if at > begin {
            pieces.push(line.get(begin..at).unwrap_or_default());
        }
        (begin, from, next) = (at, at + 2, next + 1);
    }
    pieces.push(line.get(begin..).unwrap_or_default());
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parts(text: &str) -> (String, Option<u32>, Vec<String>, Vec<String>) {
        let found = read(text).expect("a recipe");
        let shown = |list: &[Words]| {
            list.iter()
                .map(|w| match &w.section {
                    Some(section) => format!("[{section}] {}", w.text),
                    None => w.text.clone(),
                })
                .collect()
        };
        (found.title.clone(), found.servings, shown(&found.lines), shown(&found.method))
    }

    #[test]
    fn a_text_with_headings_is_read() {
        let text = "# Leek pot\n\nServes 16\nPrep time: 20 min\nA pot for cold nights.\n\n\
            ## Ingredients\n- 2 kg leeks, sliced\n* 1 l stock\n\n### For the top\n- 80 g oats\n\n\
            ## Method\n1. Sweat the leeks\nuntil soft.\n2) Add stock; simmer 30 minutes.\n\n## Notes\n- Keeps two days.";
        let (title, servings, lines, method) = parts(text);
        assert_eq!((title.as_str(), servings), ("Leek pot", Some(16)));
        assert_eq!(lines, ["2 kg leeks, sliced", "1 l stock", "[For the top] 80 g oats"]);
        assert_eq!(method, ["Sweat the leeks until soft.", "Add stock; simmer 30 minutes."]);
        let found = read(text).expect("a recipe");
        assert_eq!(found.times.prep, Some(20));
        assert_eq!(found.notes, ["A pot for cold nights.", "Keeps two days."]);
    }

    #[test]
    fn a_text_without_headings_is_read() {
        let text = "Beet relish\nMakes 6 jars\n1 kg beets, grated\n300 ml vinegar\nsalt, to taste\n\n\
            Boil everything for 40 minutes, stirring often.\nFill into hot jars.";
        let (title, servings, lines, method) = parts(text);
        assert_eq!((title.as_str(), servings), ("Beet relish", Some(6)));
        assert_eq!(lines, ["1 kg beets, grated", "300 ml vinegar", "salt, to taste"]);
        assert_eq!(method.len(), 2);
        assert_eq!(read(text).expect("a recipe").portion.as_deref(), Some("jars"));
    }

    /// How much it makes is a number of servings or pieces, never a weight or a width.
    #[test]
    fn servings_are_counted_and_not_measured() {
        for (makes, servings) in [
            ("Serves four", Some(4)),
            ("Serves 6 as a starter, 4 as a main", Some(6)),
            ("Makes 2 dozen rolls", Some(24)),
            ("Makes one 23 cm cake", Some(1)),
            ("Makes a 9-inch pie", None),
            ("Makes 500 ml", None),
            ("Yield: 1 to 1 1/2 quarts", None),
            ("Makes 2 kg, serves 12", Some(12)),
            ("Serves 4-6", Some(4)),
            ("Makes 12 (serves 6)", Some(12)),
        ] {
            let text = format!("Beets\n{makes}\n\nIngredients\n1 kg beets\n\nMethod\nBoil.");
            assert_eq!(parts(&text).1, servings, "{makes}");
        }
    }

    #[test]
    fn no_ingredient_is_taken_for_a_yield() {
        for (line, kept) in [
            ("Serving suggestion: 1 lemon, cut", true),
            ("for the two guests: 3 eggs", true),
            ("Serves about 6", false),
            ("For 12 people", false),
            ("Makes enough for four", false),
        ] {
            let found = read(&format!("Beets\n\nIngredients\n{line}\n1 kg beets\n\nMethod\nBoil."));
            let lines = found.expect("a recipe").lines;
            assert_eq!(lines.iter().any(|w| w.text == line), kept, "{line}");
        }
    }

    #[test]
    fn a_method_in_one_text_is_cut_at_its_numbers() {
        assert_eq!(
            paragraphs("1. Boil. 2. Drain, then cook 3. 3. Serve."),
            ["Boil.", "Drain, then cook 3.", "Serve."]
        );
        assert_eq!(paragraphs("Use 1. 5 kg of flour."), ["Use 1. 5 kg of flour."]);
        assert_eq!(paragraphs("Mix.\nStep 2: Bake.\n3) Cool"), ["Mix.", "Bake.", "Cool"]);
    }

    #[test]
    fn a_text_that_is_no_recipe_is_said_to_be_none() {
        assert!(matches!(read("Bus times"), Err(Trouble::NoRecipe { .. })));
        assert!(matches!(read("***\n---\n"), Err(Trouble::NoRecipe { .. })));
    }
}
