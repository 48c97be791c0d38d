//! A line as numbers, words and signs.

use crate::bring::number;
use crate::kitchen::units::Exact;

/// A piece of a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Token {
    pub kind: Kind,
    /// Where it begins and ends in the line, in bytes.
    pub from: usize,
    pub to: usize,
    /// No blank stands before it.
    pub glued: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Kind {
    Number(Exact),
    Word,
    Sign(char),
}

/// A line with its tokens and how far it has been read.
#[derive(Debug, Clone)]
pub(super) struct Cursor<'t> {
    pub text: &'t str,
    pub tokens: Vec<Token>,
    pub at: usize,
}

impl<'t> Cursor<'t> {
    pub fn new(text: &'t str) -> Self {
        Self { text, tokens: tokens(text), at: 0 }
    }

    pub fn token(&self, ahead: usize) -> Option<Token> {
        self.tokens.get(self.at + ahead).copied()
    }

    pub fn done(&self) -> bool {
        self.at >= self.tokens.len()
    }

    /// The word so many tokens ahead, in lower case.
    pub fn word(&self, ahead: usize) -> Option<String> {
        self.as_written(ahead).map(str::to_lowercase)
    }

    /// The word so many tokens ahead.
    pub fn as_written(&self, ahead: usize) -> Option<&'t str> {
        let token = self.token(ahead).filter(|t| t.kind == Kind::Word)?;
        self.text.get(token.from..token.to)
    }

    pub fn is_word(&self, ahead: usize, words: &[&str]) -> bool {
        self.word(ahead).is_some_and(|w| words.contains(&w.as_str()))
    }

    pub fn is_sign(&self, ahead: usize, sign: char) -> bool {
        self.token(ahead).is_some_and(|t| t.kind == Kind::Sign(sign))
    }

    pub fn number(&self, ahead: usize) -> Option<Exact> {
        match self.token(ahead)?.kind {
            Kind::Number(n) => Some(n),
            _ => None,
        }
    }

    pub fn glued(&self, ahead: usize) -> bool {
        self.token(ahead).is_some_and(|t| t.glued)
    }

    /// The text between two tokens by their index, the second not included.
    pub fn between(&self, from: usize, to: usize) -> &'t str {
        let begin = self.tokens.get(from).map_or(self.text.len(), |t| t.from);
        let end = match to.checked_sub(1).and_then(|last| self.tokens.get(last)) {
            Some(last) if to > from => last.to,
            _ => begin,
        };
        self.text.get(begin..end).unwrap_or_default()
    }

    /// Is there no word left that could be a name, but in brackets and behind commas?
    pub fn names_nothing(&self) -> bool {
        !matches!(
            self.token(0).map(|t| t.kind),
            Some(Kind::Word | Kind::Number(_) | Kind::Sign('('))
        )
    }

    /// The index of the bracket that closes the one `ahead`.
    pub fn closing(&self, ahead: usize) -> Option<usize> {
        let mut depth = 0usize;
        for (index, token) in self.tokens.iter().enumerate().skip(self.at + ahead) {
            match token.kind {
                Kind::Sign('(' | '[') => depth += 1,
                Kind::Sign(')' | ']') => {
                    depth = depth.saturating_sub(1);
                    if depth == 0 {
                        return Some(index);
                    }
                }
                _ => {}
            }
        }
        None
    }
}

fn tokens(text: &str) -> Vec<Token> {
    let mut found: Vec<Token> = Vec::new();
    let mut at = 0;
    while let Some(rest) = text.get(at..).filter(|r| !r.is_empty()) {
        let Some(c) = rest.chars().next() else { break };
        if c.is_whitespace() {
            at += c.len_utf8();
            continue;
        }
        let (kind, length) = if let Some((number, length)) = number_at(rest) {
            (Kind::Number(number), length)
        } else if is_times(rest) && found.last().is_some_and(|t| t.kind != Kind::Word) {
            (Kind::Word, 1)
        } else if c.is_alphanumeric() {
            (Kind::Word, word_length(rest))
        } else {
            (Kind::Sign(c), c.len_utf8())
        };
        let glued = found.last().is_some_and(|t| t.to == at);
        found.push(Token { kind, from: at, to: at + length, glued });
        at += length;
    }
    found
}

/// The x of "2x400g".
fn is_times(rest: &str) -> bool {
    let mut chars = rest.chars();
    matches!(chars.next(), Some('x' | 'X')) && chars.next().is_some_and(|c| c.is_ascii_digit())
}

/// A number at the start: digits, or `.5`.
fn number_at(rest: &str) -> Option<(Exact, usize)> {
    if let Some(after) = rest.strip_prefix('.') {
        let count = after.bytes().take_while(u8::is_ascii_digit).count().min(4);
        let digits = after.get(..count).filter(|d| !d.is_empty())?;
        let (number, used) = number::leading(&format!("0.{digits}"))?;
        // All but the nought that was put before it.
        return (used > 1).then(|| (number, used - 1));
    }
    number::leading(rest)
}

/// Letters and digits, with a hyphen, an apostrophe or a stroke between two letters.
fn word_length(rest: &str) -> usize {
    let mut length = 0;
    let mut chars = rest.char_indices().peekable();
    while let Some((at, c)) = chars.next() {
        let joins = matches!(c, '-' | '\'' | '&' | '/')
            && at > 0
            && chars.peek().is_some_and(|(_, next)| next.is_alphabetic());
        // A stroke joins short words only: "s/s", "w/o"; "cup/ounce" are two.
        let joins = joins && (c != '/' || at <= 2);
        if c.is_alphanumeric() || joins || c == '\'' && length > 0 {
            length = at + c.len_utf8();
        } else {
            break;
        }
    }
    length.max(rest.chars().next().map_or(1, char::len_utf8))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str) -> String {
        let cursor = Cursor::new(text);
        let each = cursor.tokens.iter().map(|t| match t.kind {
            Kind::Number(n) => format!("#{n}"),
            Kind::Word => text[t.from..t.to].to_owned(),
            Kind::Sign(c) => format!("'{c}"),
        });
        each.collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn a_line_is_cut_into_tokens() {
        for (text, expected) in [
            ("1 14.5-ounce can", "#1 #14.5 '- ounce can"),
            ("2x400g/14oz tins", "#2 x #400 g '/ #14 oz tins"),
            ("1-1/2 cups all-purpose flour", "#1.5 cups all-purpose flour"),
            ("½ c. baker's sugar", "½ c '. baker's sugar"),
            (".5 l 2% milk", "#0.5 l #2 '% milk"),
            ("bnls/sknls 3-to-4-inch", "bnls '/ sknls #3 '- to '- #4 '- inch"),
        ] {
            assert_eq!(shown(text), expected, "{text}");
        }
    }
}
