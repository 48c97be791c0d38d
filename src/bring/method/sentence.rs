//! A method's text as sentences and clauses.

/// Abbreviations whose full stop ends no sentence.
const SHORT: [&str; 22] = [
    "f", "c", "no", "min", "mins", "hr", "hrs", "approx", "tbsp", "tsp", "oz", "lb", "lbs", "pt",
    "qt", "gal", "in", "deg", "ca", "e.g", "i.e", "temp",
];

/// The sentences of a text, each with its full stop.
pub fn sentences(text: &str) -> Vec<&str> {
    let mut list = Vec::new();
    let mut begin = 0;
    for (at, c) in text.char_indices() {
        let end = at + c.len_utf8();
        let rest = text.get(end..).unwrap_or_default();
        let ends = match c {
            '\n' => true,
            '!' | '?' => rest.starts_with(' '),
            '.' => {
                rest.starts_with(' ') && ends_here(text.get(begin..at).unwrap_or_default(), rest)
            }
            _ => false,
        };
        if ends {
            push(&mut list, text.get(begin..end));
            begin = end;
        }
    }
    push(&mut list, text.get(begin..));
    list
}

/// Does a full stop between these end a sentence?
fn ends_here(before: &str, after: &str) -> bool {
    let last = before.rsplit([' ', '(', '/']).next().unwrap_or_default().to_lowercase();
    let next = after.trim_start().chars().next();
    let begins = next.is_none_or(|c| c.is_uppercase() || matches!(c, '"' | '(' | '\''));
    let last = last.trim_start_matches(|c: char| c.is_ascii_digit() || c == '\u{b0}');
    if !SHORT.contains(&last) {
        return begins || next.is_some_and(|c| c.is_ascii_digit());
    }
    // "at 350 F. Bake" ends one; "325 F. 10 minutes" and "350 F. or higher" do not.
    begins && !after.trim_start().starts_with("F.") && last.len() == 1
}

fn push<'t>(list: &mut Vec<&'t str>, piece: Option<&'t str>) {
    let piece = piece.unwrap_or_default().trim();
    if piece.chars().any(char::is_alphanumeric) {
        list.push(piece);
    }
}

/// The clauses of a sentence: what is done one after another within it, each with
/// the words that join it to the one before; nothing before the first.
pub fn clauses(sentence: &str) -> Vec<(&'static str, &str)> {
    let mut list: Vec<&str> = Vec::new();
    let mut joints = vec![""];
    let mut begin = 0;
    let mut depth = 0_i32;
    for (at, c) in sentence.char_indices() {
        match c {
            '(' => depth += 1,
            ')' => depth -= 1,
            _ => {}
        }
        if depth > 0 || at < begin {
            continue;
        }
        let rest = sentence.get(at..).unwrap_or_default();
        const JOINTS: [&str; 8] =
            ["; ", ", then ", " then ", ", and then ", " and then ", ", and ", " and ", ", "];
        let join = JOINTS.iter().filter(|j| rest.starts_with(**j)).max_by_key(|j| j.len());
        if let Some(join) = join {
            let after = rest.get(join.len()..).unwrap_or_default();
            // "salt and pepper" is one thing; "drain and return" are two.
            let begins = match *join {
                ", " => begins_with_turning(after),
                join => !join.ends_with("and ") || super::verbs::begins_with_verb(after),
            };
            if begins {
                push(&mut list, sentence.get(begin..at));
                // Of nothing but signs no clause is made.
                joints.truncate(list.len());
                joints.push(if list.is_empty() { "" } else { *join });
                begin = at + join.len();
            }
        }
    }
    push(&mut list, sentence.get(begin..));
    joints.into_iter().zip(list).collect()
}

/// Longest order to an oven, in letters.
const TURNING_MOST: usize = 120;

/// "turn the oven down to 160 °C", up to where it ends.
fn begins_with_turning(text: &str) -> bool {
    // Words far behind decide nothing, and a sentence may be a page long.
    let near = text.char_indices().nth(TURNING_MOST).map_or(text.len(), |(at, _)| at);
    let text = text.get(..near).unwrap_or_default();
    let end = [", ", "; ", " and ", " then "].iter().filter_map(|e| text.find(e)).min();
    let clause = text.get(..end.unwrap_or(text.len())).unwrap_or_default();
    let set = super::heat::heats(clause).iter().any(|h| h.of == super::heat::Of::Setting);
    super::work::turns_heat(&clause.to_lowercase(), set)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_end_where_they_end() {
        for (text, count) in [
            ("Bake at 350 F. 10 minutes. Cool.", 2),
            ("Heat to 165 F. or higher for 15 seconds. Drain.", 2),
            ("Roast at 180 C. Rest for 10 min. before carving.", 2),
            ("Use 1 tbsp. oil. Stir!  Serve?", 3),
            ("Simmer 1.5 hours.", 1),
            ("", 0),
        ] {
            assert_eq!(sentences(text).len(), count, "{text}: {:?}", sentences(text));
        }
        let parts = clauses(
            "Bring to a boil; season with salt and pepper, then drain and return to the pan.",
        );
        assert_eq!(
            parts,
            [
                ("", "Bring to a boil"),
                ("; ", "season with salt and pepper"),
                (", then ", "drain"),
                (" and ", "return to the pan.")
            ]
        );
    }
}
