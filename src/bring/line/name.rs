//! What a line names: the item, and the remarks behind commas and in brackets.

use super::tokens::{Cursor, Kind};
use super::{IngredientLine, or, remark};
use crate::bring::lexicon;
use crate::bring::measure::{UnitKind, UnitWord};

/// Reads what follows the amount.
pub(super) fn read(c: &Cursor, found: &mut IngredientLine) {
    named(c, found);
    // "Feta for topping (about 1/2 cup)": the only amount there is.
    if found.amount.is_none() && found.prep.as_deref().is_none_or(|p| !p.ends_with("of")) {
        let measured =
            found.equals.iter().position(|m| m.unit.as_ref().is_some_and(UnitWord::measures));
        if let Some(only) = measured.map(|at| found.equals.remove(at)) {
            (found.amount, found.amount_to, found.unit) = (Some(only.amount), only.to, only.unit);
            found.about = true;
        }
    }
}

fn named(c: &Cursor, found: &mut IngredientLine) {
    let pieces = pieces(c);
    let mut name = String::new();
    let mut waiting: Vec<String> = Vec::new();
    for (text, bracket) in pieces {
        let text = trimmed(&text);
        if text.is_empty() {
            continue;
        }
        if name.is_empty() && !bracket {
            // "peeled, cored and sliced apples": the work comes before the name.
            if all_work(text) {
                waiting.push(text.to_owned());
                continue;
            }
            text.clone_into(&mut name);
        } else {
            remark::read(text, bracket, &name, found);
        }
    }
    if name.is_empty() && !waiting.is_empty() {
        // Only work is named: "chopped" is all there is.
        name = waiting.join(", ");
        waiting.clear();
    }
    for work in waiting {
        remark::prep(found, &work);
    }
    item(&name, found);
}

/// The name and the remarks, in order; brackets come out as pieces of their own.
fn pieces(c: &Cursor) -> Vec<(String, bool)> {
    let mut pieces: Vec<(String, bool)> = Vec::new();
    let mut run = String::new();
    let mut last = None;
    let mut index = c.at;
    while let Some(token) = c.tokens.get(index).copied() {
        let glued_next = c.tokens.get(index + 1).is_some_and(|t| t.glued);
        match token.kind {
            Kind::Sign('(' | '[') => {
                let mut here = c.clone();
                here.at = index;
                let end = here.closing(0).unwrap_or(c.tokens.len());
                pieces.push((c.between(index + 1, end).to_owned(), true));
                index = end + 1;
                continue;
            }
            Kind::Sign(',' | ';' | ')' | ']' | ':') => split(&mut run, &mut pieces),
            Kind::Sign('-') if !token.glued && !glued_next => split(&mut run, &mut pieces),
            // A full stop ends a remark unless it belongs to a short word.
            Kind::Sign('.') if !glued_next && c.tokens.get(index + 1).is_some() => {
                split(&mut run, &mut pieces);
            }
            _ => {
                if last.is_some() && !token.glued {
                    run.push(' ');
                }
                run.push_str(c.text.get(token.from..token.to).unwrap_or_default());
            }
        }
        last = Some(index);
        index += 1;
    }
    split(&mut run, &mut pieces);
    // Brackets stand where they were met; the name is the first piece that is none.
    pieces
}

fn split(run: &mut String, pieces: &mut Vec<(String, bool)>) {
    let text = std::mem::take(run);
    if !text.trim().is_empty() {
        pieces.push((text, false));
    }
}

fn trimmed(text: &str) -> &str {
    text.trim()
        .trim_matches(|c: char| matches!(c, '.' | '*' | '/' | '"' | '!') || c.is_whitespace())
}

/// Is every word of it work, or joins such words?
fn all_work(text: &str) -> bool {
    let mut any = false;
    let all = text.split_whitespace().all(|w| {
        let w = w.to_lowercase();
        any |= lexicon::is_done_before(&w);
        any |= w == "packed";
        lexicon::is_done_before(&w)
            || lexicon::is_adverb(&w)
            || matches!(w.as_str(), "and" | "or" | "packed")
    });
    all && any
}

/// Takes the item out of the first piece: what precedes it, what follows it.
fn item(name: &str, found: &mut IngredientLine) {
    let (name, after) = or::before_clause(name);
    let mut words: Vec<&str> = name.split_whitespace().collect();
    leading_work(&mut words, found);
    trailing_work(&mut words, found);
    if let Some(after) = after {
        remark::read(after, false, name, found);
    }
    inner_work(&mut words, found);
    fullness(&mut words, found);
    let whole = words.join(" ");
    let (first, others) = or::split(&whole);
    let mut words: Vec<&str> = first.split_whitespace().collect();
    trailing_unit(&mut words, found);
    let front = std::mem::take(&mut found.item);
    let item = words.join(" ");
    let item = if front.is_empty() { item } else { format!("{front} {item}") };
    // Behind an amount a capital is a name's.
    let began = found.amount.is_none() && found.unit.is_none();
    found.item = if began { lower_first(&item) } else { item };
    let mut others: Vec<String> = others.into_iter().filter(|o| *o != found.item).collect();
    others.append(&mut found.or);
    found.or = others;
}

/// "finely chopped walnuts", "peeled and diced carrots"; not of what is bought so
/// ("can chopped tomatoes"), nor where the work is all there is.
fn leading_work(words: &mut Vec<&str>, found: &mut IngredientLine) {
    let bought = found.unit.as_ref().is_some_and(|u| u.kind == UnitKind::Pack);
    if bought || (found.amount.is_none() && found.unit.is_none()) {
        return;
    }
    let lower: Vec<String> = words.iter().map(|w| w.to_lowercase()).collect();
    let mut end = 0;
    let mut at = 0;
    while let Some(word) = lower.get(at) {
        if lexicon::is_done_before(word) && !sold_so(&lower, at) {
            end = at + 1;
        } else if !(lexicon::is_adverb(word)
            || end > 0 && matches!(word.as_str(), "and" | "or" | "&"))
        {
            break;
        }
        at += 1;
    }
    if end > 0 && end < words.len() {
        let work: Vec<&str> = words.drain(..end).collect();
        remark::prep(found, &work.join(" "));
    }
}

/// Names that have a participle of their own: "crushed red pepper", "whipped cream".
fn sold_so(words: &[String], at: usize) -> bool {
    const SOLD: [(&str, &[&str]); 9] = [
        ("crushed", &["red", "tomatoes", "pineapple", "ice", "chili", "chile", "hot"]),
        ("whipped", &["cream", "topping"]),
        ("split", &["peas", "pea", "lentils", "red", "yellow", "green"]),
        ("pulled", &["pork"]),
        ("pressed", &["tofu"]),
        ("strained", &["tomatoes", "yogurt", "yoghurt"]),
        ("cut", &["rite"]),
        ("shredded", &["wheat"]),
        ("dried-off", &[]),
    ];
    let next = words.get(at + 1).map(String::as_str);
    let word = words.get(at).map(String::as_str);
    SOLD.iter().any(|(w, nexts)| Some(*w) == word && next.is_some_and(|n| nexts.contains(&n)))
}

/// "scallions chopped", "ginger peeled and finely minced", "chuck cut into cubes".
fn trailing_work(words: &mut Vec<&str>, found: &mut IngredientLine) {
    const JOINS: [&str; 22] = [
        "and", "or", "into", "in", "to", "a", "pieces", "chunks", "cubes", "slices", "strips",
        "dice", "half", "halves", "quarters", "rings", "of", "the", "wedges", "rounds", "on",
        "bias",
    ];
    let lower: Vec<String> = words.iter().map(|w| w.to_lowercase()).collect();
    let starts = (1..lower.len()).find(|&at| {
        let work = lower.get(at).is_some_and(|w| lexicon::is_done_before(w));
        let adverb = lower.get(at).is_some_and(|w| lexicon::is_adverb(w))
            && lower.get(at + 1).is_some_and(|w| lexicon::is_done_before(w));
        (work || adverb)
            && lower.iter().skip(at).all(|w| {
                let number = w.starts_with(|c: char| c.is_ascii_digit());
                lexicon::is_done_before(w)
                    || lexicon::is_adverb(w)
                    || JOINS.contains(&w.as_str())
                    || lexicon::is_size(w)
                    || number
            })
    });
    if let Some(at) = starts {
        let work = words.split_off(at).join(" ");
        remark::prep(found, &work);
    }
}

/// "fresh chopped parsley": the work stands between a description and the noun.
fn inner_work(words: &mut Vec<&str>, found: &mut IngredientLine) {
    if found.amount.is_none() || found.unit.as_ref().is_some_and(|u| u.kind == UnitKind::Pack) {
        return;
    }
    let lower: Vec<String> = words.iter().map(|w| w.to_lowercase()).collect();
    let Some(at) = (1..lower.len().saturating_sub(1)).find(|&at| {
        lower.get(at).is_some_and(|w| lexicon::is_knife_work(w))
            && lower.iter().take(at).all(|w| lexicon::is_qualifier(w) || lexicon::is_adverb(w))
            && !sold_so(&lower, at)
    }) else {
        return;
    };
    let before = at.checked_sub(1).and_then(|b| lower.get(b));
    let from = at - usize::from(before.is_some_and(|w| lexicon::is_adverb(w)));
    let work: Vec<&str> = words.drain(from..=at).collect();
    remark::prep(found, &work.join(" "));
}

/// "packed brown sugar", "loosely packed basil leaves": how the measure is filled.
fn fullness(words: &mut Vec<&str>, found: &mut IngredientLine) {
    let is = |w: &str| {
        matches!(
            w.to_lowercase().as_str(),
            "packed"
                | "loosely"
                | "lightly"
                | "firmly"
                | "tightly"
                | "well-packed"
                | "heaped"
                | "heaping"
                | "rounded"
                | "level"
        )
    };
    let count = words.iter().take_while(|w| is(w)).count();
    let packed = words.iter().take(count).any(|w| w.to_lowercase().contains("pack"));
    if count > 0 && count < words.len() && packed {
        let taken: Vec<&str> = words.drain(..count).collect();
        found.notes.push(taken.join(" "));
    }
}

/// "4 garlic cloves", "2 celery stalks": the unit stands behind the name.
fn trailing_unit(words: &mut Vec<&str>, found: &mut IngredientLine) {
    const BEHIND: [&str; 24] = [
        "clove", "cloves", "stalk", "stalks", "rib", "ribs", "sprig", "sprigs", "ear", "ears",
        "head", "heads", "slice", "slices", "strip", "strips", "stick", "sticks", "wedge",
        "wedges", "bunch", "bunches", "fillet", "fillets",
    ];
    if found.amount.is_none() || found.unit.is_some() || words.len() < 2 {
        return;
    }
    let Some(last) = words.last().map(|w| w.to_lowercase()) else { return };
    let spice = words.len() == 2
        && words.first().is_some_and(|w| matches!(w.to_lowercase().as_str(), "whole" | "dried"));
    let whole = |w: &str| words.iter().any(|x| x.to_lowercase().starts_with(w));
    let fits = match last.as_str() {
        "fillet" | "fillets" => whole("anchov"),
        "ear" | "ears" => whole("corn"),
        "stick" | "sticks" => whole("cinnamon") || whole("celery") || whole("butter"),
        _ => !spice,
    };
    if BEHIND.contains(&last.as_str()) && fits {
        words.pop();
        found.unit = UnitWord::of(&last);
    }
}

/// A capital that only began the line becomes small.
fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) if chars.clone().next().is_none_or(char::is_lowercase) => {
            first.to_lowercase().chain(chars).collect()
        }
        _ => text.to_owned(),
    }
}
