//! JSON as pages hold it: wrapped in comments, with raw line breaks in strings,
//! with a comma too many, or cut off.

use serde_json::Value;

/// Places at which a text that is cut off is tried to be ended.
const ENDS_MOST: usize = 24;

/// Largest block, in bytes: as values it takes up to twenty times its length.
const LARGEST: usize = 4 * 1024 * 1024;

/// What is wrong with a block that ends too soon.
pub const CUT: &str = "is cut off";

/// Values of a block of JSON, and what was wrong with it.
///
/// # Errors
/// What could not be mended, in a few words.
pub fn values(text: &str) -> Result<(Vec<Value>, Option<&'static str>), String> {
    let text = unwrapped(text);
    if text.is_empty() {
        return Err("is empty".to_owned());
    }
    if text.len() > LARGEST {
        return Err(format!("is larger than {} MB", LARGEST / (1024 * 1024)));
    }
    let first = match stream(text) {
        Ok(values) => return Ok((values, None)),
        Err(e) => e,
    };
    let mended = mend(text);
    if let Ok(values) = stream(&mended.text) {
        return Ok((values, Some("was not sound JSON and was mended")));
    }
    for (cut, open) in mended.ends.iter().rev() {
        let mut tried = mended.text.get(..*cut).unwrap_or_default().to_owned();
        tried.extend(open.iter().rev());
        if let Ok(values) = stream(&tried) {
            return Ok((values, Some(CUT)));
        }
    }
    if text.contains("&quot;") && !text.contains('"') {
        return values(&html_escape::decode_html_entities(text));
    }
    Err(format!("is not JSON ({first})"))
}

/// One value, or several one after another.
fn stream(text: &str) -> Result<Vec<Value>, serde_json::Error> {
    let values: Vec<Value> =
        serde_json::Deserializer::from_str(text).into_iter().collect::<Result<_, _>>()?;
    Ok(values)
}

/// Without comment and CDATA signs around it, and a last semicolon.
fn unwrapped(text: &str) -> &str {
    let mut text = text.trim();
    for _ in 0..6 {
        let mut inner = text;
        for sign in ["//", "<![CDATA[", "<!--", "\u{feff}"] {
            inner = inner.strip_prefix(sign).unwrap_or(inner).trim_start();
        }
        for sign in ["//]]>", "//-->", "]]>", "-->", "//", ";"] {
            inner = inner.strip_suffix(sign).unwrap_or(inner).trim_end();
        }
        if inner == text {
            break;
        }
        text = inner;
    }
    text
}

struct Mended {
    text: String,
    /// Places behind a whole member, with the brackets to be closed there.
    ends: Vec<(usize, Vec<char>)>,
}

/// Escapes what may not stand raw in a string, leaves out comments and commas too many.
fn mend(text: &str) -> Mended {
    let mut out = Mended { text: String::with_capacity(text.len()), ends: Vec::new() };
    let mut open: Vec<char> = Vec::new();
    let mut chars = text.chars().peekable();
    let mut comma: Option<usize> = None;
    while let Some(c) = chars.next() {
        match c {
            '"' => {
                comma = None;
                out.text.push('"');
                string(&mut chars, &mut out.text);
                continue;
            }
            '/' if chars.peek() == Some(&'/') => {
                chars.by_ref().find(|&c| c == '\n');
                continue;
            }
            '/' if chars.peek() == Some(&'*') => {
                skip_comment(&mut chars);
                continue;
            }
            '{' | '[' => {
                // Deeper than the reader of JSON goes there is nothing to save.
                if open.len() < 128 {
                    open.push(if c == '{' { '}' } else { ']' });
                }
                comma = None;
            }
            '}' | ']' => {
                if let Some(at) = comma.take() {
                    out.text.replace_range(at..=at, " ");
                }
                open.pop();
            }
            ',' => {
                out.ends.push((out.text.len(), open.clone()));
                if out.ends.len() > ENDS_MOST {
                    out.ends.remove(0);
                }
                comma = Some(out.text.len());
            }
            c if !c.is_whitespace() => comma = None,
            _ => {}
        }
        out.text.push(c);
        if matches!(c, '}' | ']') {
            out.ends.push((out.text.len(), open.clone()));
            if out.ends.len() > ENDS_MOST {
                out.ends.remove(0);
            }
        }
    }
    out
}

fn skip_comment(chars: &mut std::iter::Peekable<std::str::Chars>) {
    let mut star = false;
    for c in chars.by_ref().skip(1) {
        if star && c == '/' {
            return;
        }
        star = c == '*';
    }
}

/// The rest of a string, to its closing quote.
fn string(chars: &mut std::iter::Peekable<std::str::Chars>, out: &mut String) {
    while let Some(c) = chars.next() {
        match c {
            '"' => {
                out.push('"');
                return;
            }
            '\\' => match chars.next() {
                Some(next @ ('"' | '\\' | '/' | 'b' | 'f' | 'n' | 'r' | 't')) => {
                    out.push('\\');
                    out.push(next);
                }
                Some('u') => out.push_str("\\u"),
                Some('\n') => out.push_str("\\n"),
                Some(next) => out.push(next),
                None => {}
            },
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            '\r' => {}
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn json_of_pages_is_mended() {
        for (text, expected) in [
            ("//<![CDATA[\n{\"a\": 1}\n//]]>", r#"{"a":1}"#),
            ("<!-- {\"a\": [1,2,],} -->", r#"{"a":[1,2]}"#),
            ("{\"a\": \"x\n\ty\"};", r#"{"a":"x\n\ty"}"#),
            ("/* c */ {\"a\": 1, // one\n \"b\": \"it\\'s\"}", r#"{"a":1,"b":"it's"}"#),
            ("{\"a\": \"http://x//y\",}", r#"{"a":"http://x//y"}"#),
            ("{&quot;a&quot;: 1}", r#"{"a":1}"#),
            ("{\"a\": [\"one\", \"two\", \"thr", r#"{"a":["one","two"]}"#),
            ("[{\"a\": 1}, {\"b\": ", r#"[{"a":1}]"#),
        ] {
            let read = values(text).map(|v| v.0);
            let shown = read.map(|v| v.iter().map(Value::to_string).collect::<String>());
            assert_eq!(shown.as_deref(), Ok(expected), "{text}");
        }
        for text in ["", "nonsense", "{{{{", "\"", &"[".repeat(100_000)] {
            assert!(values(text).is_err());
        }
        assert_eq!(values("{} {}").map(|v| v.0.len()), Ok(2));
    }
}
