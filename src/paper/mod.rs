//! What goes on paper or into other programs: sheets as data (`sheet`) printed as text or as one page for a browser
//! (`html`), escaping for HTML, quoting for tables, lines of a width. Pure.

mod html;
mod lines;
mod sheet;
mod text;
pub mod wire;

pub use html::page;
pub use lines::{COLUMNS, Lines};
pub use sheet::{Card, Head, Paper, Part, Picture, Row, TICKED, Table};
pub use text::{all, text};

/// Text that HTML takes for nothing but text; control signs become spaces.
#[must_use]
pub fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            c if c.is_control() => escaped.push(' '),
            c => escaped.push(c),
        }
    }
    escaped
}

/// With a capital first letter.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}

/// A row of comma-separated values with its end of line (RFC 4180): quoted where
/// it must be, quotes doubled.
#[must_use]
pub fn csv_row(cells: &[&str]) -> String {
    let field = |text: &&str| {
        if text.contains([',', '"', '\n', '\r']) {
            format!("\"{}\"", text.replace('"', "\"\""))
        } else {
            (*text).to_owned()
        }
    };
    format!("{}\r\n", cells.iter().map(field).collect::<Vec<_>>().join(","))
}

/// `text` after `start` in lines of at most `width` columns (a longer word stands
/// alone), the later ones indented as far as `start`, as long as that leaves a quarter of them.
#[must_use]
pub fn wrapped(start: &str, text: &str, width: usize) -> String {
    let indent = start.chars().count().min(width - width / 4);
    let (mut out, mut row, mut fresh) = (String::new(), start.to_owned(), true);
    for word in text.split(' ') {
        let with = row.chars().count() + word.chars().count() + usize::from(!fresh);
        if with > width && !fresh {
            out.push_str(row.trim_end());
            out.push('\n');
            (row, fresh) = (" ".repeat(indent), true);
        }
        if !fresh {
            row.push(' ');
        }
        row.push_str(word);
        fresh = false;
    }
    out.push_str(row.trim_end());
    out.push('\n');
    out
}

/// What a list cannot answer for, at its end, in lines of at most `width` columns; nothing if there is nothing.
#[must_use]
pub fn notes(notes: &[String], width: usize) -> String {
    if notes.is_empty() {
        return String::new();
    }
    let lines = notes.iter().map(|note| wrapped("  - ", &format!("{note}."), width));
    format!("\nNotes\n{}", lines.collect::<String>())
}

/// Several things as "a", "a and b", "a, b and c".
#[must_use]
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// A day, in ms.
pub const DAY_MS: i64 = 24 * 3_600_000;

/// From here on a stretch of time is told in whole days (ms). Our choice.
pub const IN_DAYS_MS: i64 = 3 * DAY_MS;

/// A stretch of time in words: `4 min`, `1 h 05`, `6 days`. Rounded down to
/// whole minutes, or to days from three on; the sign is left to the sentence.
#[must_use]
pub fn span(ms: i64) -> String {
    let minutes = ms.unsigned_abs() / 60_000;
    if minutes < 60 {
        format!("{minutes} min")
    } else if ms.unsigned_abs() < IN_DAYS_MS.unsigned_abs() {
        format!("{} h {:02}", minutes / 60, minutes % 60)
    } else {
        format!("{} days", ms.unsigned_abs() / DAY_MS.unsigned_abs())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_stays_text() {
        assert_eq!(escape("<b> & \"x\"\u{7}"), "&lt;b&gt; &amp; &quot;x&quot; ");
        assert_eq!(csv_row(&["a,b", "say \"x\"", "plain"]), "\"a,b\",\"say \"\"x\"\"\",plain\r\n");
    }

    #[test]
    fn long_stretches_are_told_in_days() {
        let hours = |h: i64| span(h * 3_600_000 + 300_000);
        assert_eq!([hours(0), hours(1), hours(71)], ["5 min", "1 h 05", "71 h 05"]);
        assert_eq!([hours(72), hours(-160)], ["3 days", "6 days"]);
    }

    #[test]
    fn lines_keep_to_their_width() {
        let text = wrapped("  [ ] salt  ", "S 20 g, P 25 g, M 10 g and to taste", 26);
        assert_eq!(
            text,
            "  [ ] salt  S 20 g, P 25\n            g, M 10 g and\n            to taste\n"
        );
    }
}
