//! Text as it lies in pages, made plain: entities decoded, tags taken out,
//! fractions and blanks written in one way. Line breaks are kept.

/// Rounds of decoding: pages escape twice, seldom three times; a text that still
/// changes then is not unfolded for ever.
const DECODINGS_MOST: usize = 3;

/// Decodes entities to a fixed point, takes out tags (those that break a line
/// become a break), and writes fractions, blanks and dashes in one way.
#[must_use]
pub fn clean(text: &str) -> String {
    let mut text = text.to_owned();
    for _ in 0..DECODINGS_MOST {
        let next = without_tags(&html_escape::decode_html_entities(&text));
        if next == text {
            break;
        }
        text = next;
    }
    plain_signs(&text)
}

/// One line: [`clean`], with every run of blanks and breaks as one blank.
#[must_use]
pub fn clean_line(text: &str) -> String {
    one_line(&clean(text))
}

/// Every run of blanks and breaks as one blank, none at the ends.
#[must_use]
pub fn one_line(text: &str) -> String {
    let mut line = String::with_capacity(text.len());
    for word in text.split_whitespace() {
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    line
}

/// Tags that stand for the end of a line.
const BREAKS: [&str; 12] =
    ["br", "p", "/p", "li", "/li", "div", "/div", "tr", "/tr", "h2", "h3", "/ul"];

/// Takes out `<tag …>` and `<!-- … -->`; a lone `<` stays.
fn without_tags(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find('<') {
        let (before, tag) = rest.split_at(at);
        out.push_str(before);
        let inner = tag.get(1..).unwrap_or_default();
        let starts = inner.strip_prefix('/').unwrap_or(inner).chars().next();
        let is_tag = starts.is_some_and(|c| c.is_ascii_alphabetic() || c == '!');
        match inner.find('>') {
            Some(end) if is_tag => {
                let name: &str = inner.get(..end).unwrap_or_default();
                let name = name.trim_end_matches('/').split_whitespace().next().unwrap_or("");
                if BREAKS.contains(&name.to_ascii_lowercase().as_str()) {
                    out.push('\n');
                }
                rest = inner.get(end + 1..).unwrap_or_default();
            }
            _ => {
                out.push('<');
                rest = inner;
            }
        }
    }
    out.push_str(rest);
    out
}

/// Vulgar fractions as ` n/d`, every kind of blank as a blank, every kind of
/// dash as `-` (the long one as ` - `), and invisible signs taken out. To be done
/// before any Unicode normalisation, which would make eleven halves of `1½`.
#[must_use]
pub fn plain_signs(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        if let Some((n, d)) = vulgar(c) {
            if out.ends_with(|c: char| c.is_ascii_digit()) {
                out.push(' ');
            }
            out.push_str(&format!("{n}/{d}"));
            if chars.peek().is_some_and(|c| c.is_alphabetic()) {
                out.push(' ');
            }
            continue;
        }
        match c {
            '\u{2044}' | '\u{2215}' => out.push('/'),
            '\u{2010}'..='\u{2013}' | '\u{2212}' => out.push('-'),
            '\u{2014}' | '\u{2015}' => out.push_str(" - "),
            '\u{2018}' | '\u{2019}' | '\u{02bc}' => out.push('\''),
            '\u{201c}' | '\u{201d}' | '\u{2033}' => out.push('"'),
            '\u{00d7}' => out.push('x'),
            // Soft hyphens, joiners and marks of direction are not seen.
            '\u{00ad}' | '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}' => {}
            '\n' => out.push('\n'),
            '\\' if matches!(chars.peek(), Some('n' | 'r' | 't')) => {
                // Escaped once too often: a break or a tab, not two signs.
                chars.next();
                out.push(' ');
            }
            c if c.is_whitespace() || c.is_control() => out.push(' '),
            c => out.push(digit(c)),
        }
    }
    out
}

/// Raised and lowered digits as plain ones.
fn digit(c: char) -> char {
    match c {
        '\u{00b9}' => '1',
        '\u{00b2}' => '2',
        '\u{00b3}' => '3',
        '\u{2070}' | '\u{2074}'..='\u{2079}' => low_digit(c, 0x2070),
        '\u{2080}'..='\u{2089}' => low_digit(c, 0x2080),
        c => c,
    }
}

fn low_digit(c: char, nought: u32) -> char {
    char::from_digit((c as u32).saturating_sub(nought), 10).unwrap_or(c)
}

/// Numerator and denominator of a fraction that is one sign.
const fn vulgar(c: char) -> Option<(u8, u8)> {
    Some(match c {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅐' => (1, 7),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_pages_write_becomes_plain() {
        for (text, plain) in [
            ("1½ cups", "1 1/2 cups"),
            ("½cup", "1/2 cup"),
            ("1&frac12; cups rice", "1 1/2 cups rice"),
            ("1&#189; cups", "1 1/2 cups"),
            ("1 1&frasl;2 cups", "1 1/2 cups"),
            ("&amp;frac14; cup salt &amp;amp; pepper", "1/4 cup salt & pepper"),
            ("<a href=\"x\">kasha</a>,&nbsp;cooked", "kasha, cooked"),
            ("2<br/>lines", "2 lines"),
            ("salt < 1 g", "salt < 1 g"),
            ("10–12 shrimp", "10-12 shrimp"),
            ("6\\t large\\teggs\\n", "6 large eggs"),
            ("jalape\u{f1}o", "jalape\u{f1}o"),
            ("¹⁄₂ cup", "1/2 cup"),
        ] {
            assert_eq!(clean_line(text), plain, "{text}");
        }
        assert_eq!(clean("Mix.<br>Bake.<li>Serve."), "Mix.\nBake.\nServe.");
    }

    #[test]
    fn what_is_escaped_for_ever_is_not_unfolded_for_ever() {
        let text = format!("{}lt;b&gt;", "&amp;".replace(';', ";amp;amp;amp;amp;"));
        assert!(clean(&text).len() <= text.len());
    }
}
