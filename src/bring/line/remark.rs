//! Remarks: what stands behind a comma or in brackets.

use super::tokens::Cursor;
use super::{IngredientLine, amount, or};
use crate::bring::lexicon;
use crate::kitchen::units::Exact;

/// Puts a remark where it belongs. `name` is the first piece of the line.
pub(super) fn read(text: &str, bracket: bool, name: &str, found: &mut IngredientLine) {
    let text = text.trim().trim_end_matches('.').trim();
    if text.is_empty() {
        return;
    }
    let lower = text.to_lowercase();
    if lower == "optional" || lower == "if desired" || lower == "if you like" {
        found.optional = true;
        return;
    }
    if let Some(rest) = lower.strip_prefix("optional ").or_else(|| lower.strip_suffix(" optional"))
    {
        found.optional = true;
        return read(rest.trim_matches(|c: char| !c.is_alphanumeric()), bracket, name, found);
    }
    if lower == "divided" || lower == "in all" || lower.starts_with("divided ") {
        found.divided = true;
        return note(found, text, lower != "divided");
    }
    if ["to taste", "or to taste", "as needed", "or as needed", "as desired", "as required"]
        .contains(&lower.as_str())
    {
        found.to_taste = true;
        return note(found, text, found.amount.is_some());
    }
    if let Some(other) = alternative(text, &lower) {
        // "sherry vinegar, white wine vinegar, or cider vinegar": a list of three.
        let listed = |n: &String| {
            let last = n.split_whitespace().last().unwrap_or_default().to_lowercase();
            !bracket
                && (lexicon::is_food(&last) || lexicon::is_shared(&last))
                && n.split_whitespace().count() <= 3
        };
        while let Some(earlier) = found.notes.pop_if(|n| listed(n)) {
            found.or.push(earlier);
        }
        found.or.push(other.to_owned());
        return note(found, text, crate::bring::number::leading(after_or(text)).is_some());
    }
    if measured(text, found) {
        return;
    }
    if is_prep(&lower) {
        return prep(found, text);
    }
    if lower.split_whitespace().all(|w| lexicon::is_size(w) || w == "or" || w == "to") {
        found.sizes.push(lower);
        return;
    }
    let describes = |w: &str| lexicon::is_qualifier(w.trim_matches(','));
    if !bracket && lower.split_whitespace().all(describes) && !is_list(name) {
        // Inverted: "pepper, black" is black pepper.
        let front = std::mem::take(&mut found.item);
        found.item = if front.is_empty() { text.to_owned() } else { format!("{front} {text}") };
        return;
    }
    note(found, text, true);
}

/// Adds to what is done beforehand.
pub(super) fn prep(found: &mut IngredientLine, work: &str) {
    let work = work.trim();
    found.prep = Some(match found.prep.take() {
        Some(before) if before.ends_with(" and") => format!("{before} {work}"),
        Some(before) => format!("{before}, {work}"),
        None => work.to_owned(),
    });
}

fn note(found: &mut IngredientLine, text: &str, wanted: bool) {
    if wanted {
        found.notes.push(text.to_owned());
    }
}

/// "salt and pepper" takes no description from behind a comma.
fn is_list(name: &str) -> bool {
    name.split_whitespace().any(|w| w == "and" || w == "&")
}

fn after_or(text: &str) -> &str {
    text.get(3..).unwrap_or_default()
}

/// "or 1 cup leeks", "or use all-purpose flour".
fn alternative<'t>(text: &'t str, lower: &str) -> Option<&'t str> {
    let rest = lower.strip_prefix("or ")?;
    const NOT: [&str; 10] = [
        "more",
        "less",
        "to ",
        "as ",
        "until",
        "a mix",
        "any",
        "enough",
        "a combination",
        "use a combination",
    ];
    if NOT.iter().any(|n| rest.starts_with(n)) || lexicon::is_size(rest) || is_prep(rest) {
        return None;
    }
    let other = or::without_amount(after_or(text));
    (!other.is_empty()).then_some(other)
}

/// "about 2 cups", "15 oz each": an amount beside the first.
fn measured(text: &str, found: &mut IngredientLine) -> bool {
    let mut c = Cursor::new(text);
    if c.is_word(0, &["each"]) {
        c.at += 1;
    }
    let head = amount::read(&mut c);
    let each = c.is_word(0, &["each", "apiece"]) || text.to_lowercase().starts_with("each ");
    let (Some(amount), true) = (head.amount, c.done() || each || c.is_word(0, &["total"])) else {
        return false;
    };
    let measures = head.unit.as_ref().is_some_and(crate::bring::measure::UnitWord::measures);
    if !(measures || head.unit.is_some() && c.done()) {
        // "about 3 large": so many pieces.
        if head.unit.is_none() && head.about && c.done() {
            found.notes.push(text.to_owned());
            return true;
        }
        return false;
    }
    let read = super::Measure { amount, to: head.to, unit: head.unit };
    if !each && !same(&read, found) {
        // "chicken breasts, 5 oz" behind 30 lb: each of them, or nothing of the sort.
        found.notes.push(text.to_owned());
        return true;
    }
    match each && measures && found.pack.is_none() {
        true => found.pack = Some(read),
        false => found.equals.push(read),
    }
    true
}

/// Can a second amount be the first in another unit? In units of one system it must
/// be about as much.
fn same(read: &super::Measure, found: &IngredientLine) -> bool {
    let pair = found.amount.zip(found.unit.as_ref()).zip(read.unit.as_ref());
    let Some(((amount, unit), other)) = pair else { return true };
    let Some(times) = unit.times(other) else { return true };
    let ratio = (times * read.amount).over(amount).map_or(0.0, Exact::to_f64);
    (0.8..=1.25).contains(&ratio)
}

/// Does it say what is done beforehand?
fn is_prep(lower: &str) -> bool {
    let mut words = lower.split(|c: char| c.is_whitespace() || c == ',').filter(|w| !w.is_empty());
    let first = words.by_ref().find(|w| !lexicon::is_adverb(w));
    let Some(first) = first else { return false };
    if lexicon::is_done_before(first) {
        return true;
    }
    // "stems removed", "at room temperature", "skin on": a noun and then the work.
    lower.starts_with("at room temp")
        || lower.starts_with("room temp")
        || words.take(4).any(|w| {
            matches!(
                w,
                "removed"
                    | "discarded"
                    | "separated"
                    | "trimmed"
                    | "reserved"
                    | "peeled"
                    | "sliced"
                    | "chopped"
                    | "diced"
                    | "cut"
            )
        })
}
