//! Ids, titles and the nearest word to a mistyped one.

use std::collections::{BTreeMap, BTreeSet};

use super::report::Report;
use crate::kitchen::StationKind;

/// Longest id, in characters.
pub const LONGEST_ID: usize = 40;
/// Longest title or name, in characters.
pub const LONGEST_TITLE: usize = 80;
/// Longest sentence to the cook, in characters.
pub const LONGEST_TEXT: usize = 600;

/// Most known words that one is compared with.
const MOST_KNOWN: usize = 500;

/// The known word nearest to `word`, if one is near enough to be meant.
#[must_use]
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain = |text: &str| text.trim().to_lowercase().replace(['-', ' '], "_");
    if word.len() > 4 * LONGEST_ID {
        return None;
    }
    let word = plain(word);
    let length = word.chars().count();
    known
        .into_iter()
        .take(MOST_KNOWN)
        .map(|k| (strsim::osa_distance(&word, &plain(k)), k))
        .filter(|&(distance, k)| {
            distance <= (length.max(k.chars().count()) / 3).max(1)
                || (length >= 4 && plain(k).starts_with(&word))
        })
        .min_by_key(|&(distance, _)| distance)
        .map(|(_, k)| k)
}

/// A remedy that names the nearest known word, or lists them all.
#[must_use]
pub fn mean<'a>(word: &str, known: impl IntoIterator<Item = &'a str> + Clone) -> String {
    match nearest(word, known.clone()) {
        Some(near) => format!("Did you mean \"{near}\"?"),
        None => {
            let mut seen = BTreeSet::new();
            let list: Vec<&str> = known.into_iter().filter(|k| seen.insert(*k)).collect();
            match list.len() {
                0 => "There is none yet; add it".to_owned(),
                n if n > 30 => format!("Known are {} and {} more", list[..30].join(", "), n - 30),
                1 => format!("The only one is {}", list[0]),
                _ => format!("Known are {}", list.join(", ")),
            }
        }
    }
}

/// A station's kind with its article: "an oven".
#[must_use]
pub fn a_kind(kind: StationKind) -> String {
    let article = match kind {
        StationKind::Oven | StationKind::AirFryer => "an",
        _ => "a",
    };
    format!("{article} {}", kind.word())
}

/// An id must be short, of lower-case letters, digits, `_` and `-`: it stands
/// in other files, in events and in file names.
pub(super) fn id(report: &mut Report, path: String, id: &str) {
    let good = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_' || c == '-';
    let example = "Write lower-case letters, digits, _ or -, like \"leek_pie\"";
    if id.is_empty() {
        report.wrong(path, "is empty", example);
    } else if id.chars().count() > LONGEST_ID {
        report.wrong(path, "is too long", format!("Use at most {LONGEST_ID} letters"));
    } else if !id.chars().all(good) {
        let shown: String = id.escape_debug().collect();
        report.wrong(path, format!("\"{shown}\" cannot be an id"), example);
    }
}

/// A title, name or label must be there, fit on a line, and hold no control signs.
pub(super) fn title(report: &mut Report, path: String, text: &str) {
    line(report, path, text, LONGEST_TITLE);
}

/// One line of text of at most `longest` characters.
pub(super) fn line(report: &mut Report, path: String, text: &str, longest: usize) {
    if text.trim().is_empty() {
        report.wrong(path, "is empty", "Write what the cook would call it");
    } else if text.chars().count() > longest {
        report.wrong(path, "is too long", format!("Use at most {longest} characters"));
    } else if text.chars().any(char::is_control) {
        report.wrong(
            path,
            "holds a line break or another control sign",
            "Write it as one plain line",
        );
    }
}

/// Ids that come twice, each reported at its second place.
pub(super) fn twice<'a>(
    report: &mut Report,
    list: &str,
    field: &str,
    ids: impl IntoIterator<Item = &'a str>,
) {
    let mut first: BTreeMap<&str, usize> = BTreeMap::new();
    for (index, id) in ids.into_iter().enumerate() {
        if id.is_empty() {
            continue;
        }
        if let Some(&earlier) = first.get(id) {
            report.wrong(
                format!("{list}[{index}].{field}"),
                format!("\"{id}\" is already the {field} of {list}[{earlier}]"),
                "Give each its own",
            );
        } else {
            first.insert(id, index);
        }
    }
}

/// The entries of a list that are looked at: all, or where there are more than
/// `most`, which is wrong, the first of them. So no list, however long, takes
/// the check long.
pub(super) fn at_most<'a, T>(
    report: &mut Report,
    path: &str,
    list: &'a [T],
    most: usize,
) -> &'a [T] {
    let length = list.len();
    if length > most {
        report.wrong(path, format!("has {length} entries"), format!("Use at most {most}"));
    }
    list.get(..most).unwrap_or(list)
}
