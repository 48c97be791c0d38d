//! Bringing in recipes that people already have: pages, JSON-LD and text become
//! proposals. Pure: bytes in, proposals or a message out.
//!
//! [`read`] finds the recipes of a file; each is a [`Found`]: words in their places.
//! [`line::read`] reads an ingredient line, [`method::read`] a method; [`draft`] makes a
//! whole recipe of both, every step of it a proposal.

pub mod beside;
pub mod clean;
mod draft;
pub mod duration;
mod found;
mod given;
pub mod html;
pub mod lexicon;
pub mod line;
pub mod measure;
pub mod method;
pub mod moment;
pub mod number;
mod page;
mod share;
pub mod text;
mod trouble;
pub mod wire;
pub mod wire_found;
pub mod words;

pub use draft::{Draft, draft};
pub use found::{Found, Origin, Supply, Times, Words};
pub use share::share;
pub use trouble::Trouble;

use crate::kitchen::Ingredient;

/// Largest file that is read, in bytes. Saved pages carry their pictures inside.
pub const LARGEST: u64 = 16 * 1024 * 1024;

/// An ingredient out of a line as books and cards write it, with the line kept beside it.
///
/// # Errors
/// Why it is none, to go on after "This": "reads like a step of the method".
pub fn ingredient(text: &str) -> Result<Ingredient, &'static str> {
    match line::read(text) {
        line::LineReading::Ingredient(read) => Ok(draft::ingredient(text, &read)),
        line::LineReading::Heading(_) => Err("reads like a heading"),
        line::LineReading::Unread(why) => Err(why),
    }
}

/// Finds the recipes of a file, the fullest first: a saved page, JSON-LD, or text.
/// What kind it is its content says, not its name.
///
/// # Errors
/// [`Trouble`], if there is none.
pub fn read(bytes: &[u8]) -> Result<Vec<Found>, Trouble> {
    if bytes.len() as u64 > LARGEST {
        return Err(Trouble::TooLarge(LARGEST / (1024 * 1024)));
    }
    if let Some(kind) = not_text(bytes) {
        return Err(Trouble::NotText(kind));
    }
    let decoded = html::decode::decode(bytes);
    let text = decoded.text.trim();
    if text.is_empty() {
        return Err(Trouble::Empty);
    }
    // A disk that failed leaves noughts where the letters were.
    if !text.chars().any(char::is_alphanumeric) {
        return Err(Trouble::NoLetters);
    }
    let mut found = match text.chars().next() {
        Some('{' | '[') => page::read_json(text)?,
        _ if is_page(text) => page::read(text)?,
        _ => vec![text::read(text)?],
    };
    for one in &mut found {
        one.said.extend(decoded.said.clone());
    }
    Ok(found)
}

/// Does a text look like a page?
fn is_page(text: &str) -> bool {
    let mut chars = text.chars();
    let tag = chars.next() == Some('<')
        && chars.next().is_some_and(|c| c.is_ascii_alphabetic() || matches!(c, '!' | '?'));
    let start = text.chars().take(4096).collect::<String>().to_ascii_lowercase();
    tag || ["<!doctype html", "<html", "<body", "itemscope", "<ul>", "<ol>"]
        .iter()
        .any(|t| start.contains(t))
}

/// What kind of file it is, if it is no text: by how it begins.
fn not_text(bytes: &[u8]) -> Option<&'static str> {
    const KINDS: [(&[u8], &str); 9] = [
        (b"%PDF", "a PDF"),
        (b"PK\x03\x04", "an archive or an office document"),
        (b"\x89PNG", "a picture"),
        (b"\xff\xd8\xff", "a picture"),
        (b"GIF8", "a picture"),
        (b"\x1f\x8b", "a compressed file"),
        (b"\xd0\xcf\x11\xe0", "an office document"),
        (b"bplist", "a web archive"),
        (b"\x7fELF", "a program"),
    ];
    if let Some((_, kind)) = KINDS.iter().find(|(mark, _)| bytes.starts_with(mark)) {
        return Some(kind);
    }
    // Noughts stand in text only when two bytes make a sign.
    let start = bytes.get(..bytes.len().min(1024)).unwrap_or_default();
    let noughts = start.iter().filter(|&&b| b == 0).count();
    let wide = start.starts_with(&[0xff, 0xfe]) || start.starts_with(&[0xfe, 0xff]);
    (noughts > 0 && !wide && noughts * 3 < start.len()).then_some("not made of letters")
}

#[cfg(test)]
mod tests;
