//! JSON text to a tree whose every value knows its line, and plain words for
//! the place where text stops being JSON.
//!
//! The grammar is RFC 8259's. Strings and numbers are handed to `serde_json`;
//! only the brackets, the lines and the messages are ours. Time and memory grow
//! linearly with the text.

use serde_json::Number;

pub use super::tree::{Field, Held, Node};

/// Deepest nesting of lists and objects that is read. A party needs nine.
pub const DEEPEST: usize = 64;

/// Where text stops being JSON.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SyntaxError {
    /// The line, from 1.
    pub line: u32,
    /// The column in characters, from 1.
    pub column: u32,
    /// What is wrong, without a full stop.
    pub what: String,
    /// What would be right, without a full stop.
    pub remedy: String,
}

/// Reads one JSON value. A byte order mark before it is passed over.
///
/// # Errors
/// The first place at which the text is not JSON.
pub fn parse(text: &str) -> Result<Node, SyntaxError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = Reader { text, at: 0, line: 1, line_start: 0, depth: 0 };
    reader.space();
    if reader.peek().is_none() {
        return Err(reader.error("the file is empty", "Begin with {"));
    }
    let node = reader.value("")?;
    reader.space();
    match reader.peek() {
        None => Ok(node),
        Some('}' | ']') => {
            Err(reader.error("one closing bracket too many", "Take it out, or open it before"))
        }
        Some(_) => Err(reader.error("something follows the end", "One file holds one { … }")),
    }
}

struct Reader<'a> {
    text: &'a str,
    /// Byte offset of the next character.
    at: usize,
    line: u32,
    /// Byte offset of the line's start.
    line_start: usize,
    depth: usize,
}

impl<'a> Reader<'a> {
    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or_default()
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn error(&self, what: impl Into<String>, remedy: impl Into<String>) -> SyntaxError {
        let before = self.text.get(self.line_start..self.at).unwrap_or_default();
        let column = u32::try_from(before.chars().count() + 1).unwrap_or(u32::MAX);
        SyntaxError { line: self.line, column, what: what.into(), remedy: remedy.into() }
    }

    fn space(&mut self) {
        for byte in self.text.as_bytes().iter().skip(self.at) {
            match byte {
                b' ' | b'\t' | b'\r' => self.at += 1,
                b'\n' => {
                    self.at += 1;
                    self.line += 1;
                    self.line_start = self.at;
                }
                _ => break,
            }
        }
    }

    /// A value. `closed` is the bracket that would close what is around it.
    fn value(&mut self, closed: &str) -> Result<Node, SyntaxError> {
        let line = self.line;
        let held = match self.peek() {
            Some('{') => self.object()?,
            Some('[') => self.list()?,
            Some('"') => Held::Text(self.string()?),
            Some('-' | '0'..='9') => self.number()?,
            Some(_) => match self.word() {
                "true" => self.take(4, Held::Truth(true)),
                "false" => self.take(5, Held::Truth(false)),
                "null" => self.take(4, Held::Null),
                word => return Err(self.no_value(word, closed)),
            },
            None => return Err(self.cut_off(closed, line)),
        };
        Ok(Node { line, held })
    }

    fn take(&mut self, bytes: usize, held: Held) -> Held {
        self.at += bytes;
        held
    }

    /// The letters, digits, `_` and `-` that stand here.
    fn word(&self) -> &'a str {
        let rest = self.rest();
        let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_' && c != '-');
        rest.get(..end.unwrap_or(rest.len())).unwrap_or_default()
    }

    fn no_value(&self, word: &str, closed: &str) -> SyntaxError {
        let shown: String = word.chars().take(40).collect();
        match (word, self.peek()) {
            ("", Some('}' | ']')) => {
                self.error("a value is missing before the bracket", "Add it, or take out the comma")
            }
            ("", Some(',')) => {
                self.error("a value is missing before the comma", "Add it, or take out the comma")
            }
            ("", Some('\'')) => self.error("text stands in single quotes", "Use \" instead of '"),
            ("", Some('/' | '#')) => {
                self.error("JSON has no comments", "Take it out; recipes have \"notes\" for words")
            }
            ("", Some('+' | '.')) => {
                self.error("a number cannot begin like this", "Write 5 for +5, and 0.5 for .5")
            }
            ("", Some(c)) => self.error(
                format!("expected a value, found {}", sign(c)),
                "Write text in \"…\", a number, true, false, a list [ ] or an object { }",
            ),
            ("True" | "False" | "TRUE" | "FALSE", _) => self
                .error(format!("{shown} is not a value"), "Write true or false in small letters"),
            ("None" | "Null" | "NULL" | "nil" | "undefined" | "NaN" | "Infinity", _) => {
                self.error(format!("{shown} is not a value"), "Leave the field out")
            }
            (_, None) => self.cut_off(closed, self.line),
            _ => self.error(
                format!("the word {shown} stands without quotation marks"),
                format!("Write \"{shown}\""),
            ),
        }
    }

    fn cut_off(&self, closed: &str, opened: u32) -> SyntaxError {
        if closed.is_empty() {
            return self.error("the file ends before its value", "Begin with {");
        }
        self.error(
            format!("the file ends inside what begins on line {opened}"),
            format!("Add the missing {closed}, or get the rest of the file"),
        )
    }

    fn deeper(&mut self) -> Result<(), SyntaxError> {
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(self.error(
                format!("more than {DEEPEST} brackets inside one another"),
                "Is this a party, a recipe or a kitchen? They need about nine",
            ));
        }
        self.at += 1;
        self.space();
        Ok(())
    }

    fn list(&mut self) -> Result<Held, SyntaxError> {
        let opened = self.line;
        self.deeper()?;
        let mut list = Vec::new();
        if self.peek() != Some(']') {
            loop {
                if self.peek().is_none() {
                    return Err(self.cut_off("]", opened));
                }
                list.push(self.value("]")?);
                if !self.comma(']', opened)? {
                    break;
                }
            }
        }
        self.at += 1;
        self.depth -= 1;
        Ok(Held::List(list))
    }

    fn object(&mut self) -> Result<Held, SyntaxError> {
        let opened = self.line;
        self.deeper()?;
        let mut fields = Vec::new();
        if self.peek() != Some('}') {
            loop {
                let line = self.line;
                let key = self.key(opened)?;
                let node = self.value("}")?;
                fields.push(Field { key, line, node });
                if !self.comma('}', opened)? {
                    break;
                }
            }
        }
        self.at += 1;
        self.depth -= 1;
        Ok(Held::Object(fields))
    }

    /// The name of a field and its colon.
    fn key(&mut self, opened: u32) -> Result<String, SyntaxError> {
        match self.peek() {
            Some('"') => {}
            None => return Err(self.cut_off("}", opened)),
            Some('\'') => {
                return Err(self.error("text stands in single quotes", "Use \" instead of '"));
            }
            Some('/' | '#') => return Err(self.no_value("", "}")),
            Some(c) => {
                let word = self.word();
                return Err(if word.is_empty() {
                    self.error(
                        format!("expected the name of a field, found {}", sign(c)),
                        "Write \"name\": value, with a comma between fields",
                    )
                } else {
                    self.no_value(word, "}")
                });
            }
        }
        let key = self.string()?;
        self.space();
        match self.peek() {
            Some(':') => {}
            None => return Err(self.cut_off("}", opened)),
            Some(c) => {
                let shown: String = key.chars().take(40).flat_map(char::escape_debug).collect();
                return Err(self.error(
                    format!("expected : after \"{shown}\", found {}", sign(c)),
                    format!("Write \"{shown}\": value"),
                ));
            }
        }
        self.at += 1;
        self.space();
        if self.peek().is_none() {
            return Err(self.cut_off("}", opened));
        }
        Ok(key)
    }

    /// After a value: true after a comma that leads on, false before the
    /// closing bracket.
    fn comma(&mut self, close: char, opened: u32) -> Result<bool, SyntaxError> {
        self.space();
        match self.peek() {
            Some(c) if c == close => Ok(false),
            Some(',') => {
                let (at, line, line_start) = (self.at, self.line, self.line_start);
                self.at += 1;
                self.space();
                if self.peek() != Some(close) {
                    return Ok(true);
                }
                // The message is for the comma.
                (self.at, self.line, self.line_start) = (at, line, line_start);
                Err(self.error(
                    format!("a comma stands before the closing {close}"),
                    "Take out the comma after the last entry",
                ))
            }
            Some(c @ ('}' | ']')) => Err(self.error(
                format!("found {c}, but what begins on line {opened} is closed by {close}"),
                format!("Write {close} here, or add what is missing before"),
            )),
            Some(c) => Err(self.error(
                format!("expected a comma or {close}, found {}", sign(c)),
                "Put a comma after each entry but the last",
            )),
            None => Err(self.cut_off(&close.to_string(), opened)),
        }
    }

    fn number(&mut self) -> Result<Held, SyntaxError> {
        let rest = self.rest();
        let end = rest.find(|c: char| !matches!(c, '0'..='9' | '+' | '-' | '.' | 'e' | 'E'));
        let text = rest.get(..end.unwrap_or(rest.len())).unwrap_or_default();
        let number = serde_json::from_str::<Number>(text).map_err(|e| {
            let shown: String = text.chars().take(40).collect();
            if e.to_string().contains("out of range") {
                self.error(format!("{shown} is beyond all bounds"), "Write a number of the kitchen")
            } else {
                self.error(
                    format!("{shown} is not a number"),
                    "Write it like 12 or 0.5, without leading zeros",
                )
            }
        })?;
        self.at += text.len();
        Ok(Held::Number(number))
    }

    fn string(&mut self) -> Result<String, SyntaxError> {
        let rest = self.rest();
        let mut bytes = rest.bytes().enumerate().skip(1);
        let end = loop {
            match bytes.next() {
                Some((_, b'\\')) => {
                    bytes.next();
                }
                Some((index, b'"')) => break index,
                Some((_, b'\n')) | None => {
                    return Err(self.error(
                        "the text that begins here is not closed on its line",
                        "Add \" at its end; a line break in text is written \\n",
                    ));
                }
                Some(_) => {}
            }
        };
        let token = rest.get(..=end).unwrap_or_default();
        let text = serde_json::from_str::<String>(token).map_err(|_| {
            self.error(
                "the text that begins here holds a sign that JSON does not allow",
                "Write a tab as \\t, a backslash as \\\\, a quotation mark as \\\"",
            )
        })?;
        self.at += token.len();
        Ok(text)
    }
}

fn sign(c: char) -> String {
    if c.is_control() { format!("the sign U+{:04X}", u32::from(c)) } else { c.to_string() }
}
