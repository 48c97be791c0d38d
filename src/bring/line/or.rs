//! Where a name ends, and what may be taken instead of it.

use crate::bring::lexicon;
use crate::bring::number;

/// Clauses that end a name: what follows is a remark.
const CLAUSES: [&str; 24] = [
    " for ",
    " to taste",
    " plus ",
    " + ",
    " such as ",
    " preferably",
    " at room ",
    " as needed",
    " or to taste",
    " or more",
    " if ",
    " with ",
    " without ",
    " to serve",
    " to garnish",
    " cut into",
    " cut in ",
    " torn into",
    " optional",
    " like ",
    " about ",
    " per ",
    " until ",
    " or so",
];

/// The name, and the remark that follows it without a comma.
pub(super) fn before_clause(name: &str) -> (&str, Option<&str>) {
    let lower = name.to_ascii_lowercase();
    let found = CLAUSES.iter().filter_map(|c| {
        let at = lower.find(c)?;
        let ends = c.ends_with(' ')
            || lower
                .get(at + c.len()..)
                .is_none_or(|r| r.is_empty() || r.starts_with(|c: char| !c.is_alphanumeric()));
        (at > 0 && ends).then_some(at)
    });
    match found.min() {
        Some(at) => (name.get(..at).unwrap_or(name), name.get(at..).map(str::trim)),
        None => (name, None),
    }
}

/// The first of "butter or olive oil", and the others. "chicken or vegetable
/// stock" are two stocks.
pub(super) fn split(name: &str) -> (String, Vec<String>) {
    let mut parts = name.split(" or ").map(str::trim).filter(|p| !p.is_empty());
    let Some(first) = parts.next() else { return (name.to_owned(), Vec::new()) };
    let others: Vec<&str> = parts.collect();
    let Some(last) = others.last() else { return (first.to_owned(), Vec::new()) };
    let tail = shared_tail(first, last);
    let whole = |part: &str| {
        let has = tail.is_empty() || part.to_lowercase().ends_with(&tail.to_lowercase());
        if has { part.to_owned() } else { format!("{part} {tail}") }
    };
    let others = others.iter().map(|o| whole(without_amount(o))).filter(|o| !o.is_empty());
    (whole(first), others.collect())
}

/// The noun that the first name takes from the last one, if it has none itself.
fn shared_tail(first: &str, last: &str) -> String {
    let mut words: Vec<&str> = last.split_whitespace().collect();
    let Some(noun) = words.pop() else { return String::new() };
    let noun_lower = noun.to_lowercase();
    let own = first.split_whitespace().last().unwrap_or_default().to_lowercase();
    let liquid = matches!(
        noun_lower.as_str(),
        "stock" | "broth" | "bouillon" | "oil" | "vinegar" | "juice" | "zest" | "milk" | "flour"
    );
    let incomplete = lexicon::is_qualifier(&own) || lexicon::is_size(&own) || liquid;
    let complete = lexicon::is_food(&own) && !(liquid && first.split_whitespace().count() == 1)
        || own == noun_lower
        || matches!(own.as_str(), "butter" | "water" | "lard" | "ghee" | "margarine" | "oil");
    if words.is_empty() || complete || lexicon::is_shared(&own) {
        return String::new();
    }
    if incomplete || lexicon::is_shared(&noun_lower) && !lexicon::is_food(&own) {
        return noun.to_owned();
    }
    String::new()
}

/// "1 cup leeks" as "leeks": the amount of what may be taken instead.
pub(super) fn without_amount(text: &str) -> &str {
    let mut rest = text.trim();
    rest = rest.strip_prefix("use ").unwrap_or(rest);
    let Some((_, used)) = number::leading(rest) else { return rest };
    rest = rest.get(used..).unwrap_or_default().trim_start();
    let word = rest.split_whitespace().next().unwrap_or_default();
    if super::super::measure::UnitWord::of(word).is_some() {
        rest = rest.get(word.len()..).unwrap_or_default().trim_start();
    }
    rest.strip_prefix("of ").unwrap_or(rest)
}
