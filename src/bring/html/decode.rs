//! Bytes of a file as text, whatever they were written in.

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

/// Bytes at the start in which a page names its encoding (HTML, "determining the
/// character encoding").
const PRESCAN: usize = 1024;

/// A file's text, and what the cook should know of how it was read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Decoded {
    /// The text.
    pub text: String,
    /// Signs that could not be read, or an encoding that was guessed.
    pub said: Option<String>,
}

/// Decodes a file: by its byte order mark, as UTF-8 if it is that, by what a page
/// says of itself, and otherwise as the web's usual Windows-1252.
#[must_use]
pub fn decode(bytes: &[u8]) -> Decoded {
    if let Some((encoding, mark)) = Encoding::for_bom(bytes) {
        return by(encoding, bytes.get(mark..).unwrap_or_default(), false);
    }
    if let Ok(text) = std::str::from_utf8(bytes) {
        return Decoded { text: text.to_owned(), said: None };
    }
    if let Some(wide) = without_mark(bytes) {
        return by(wide, bytes, false);
    }
    match declared(bytes) {
        // It says UTF-8 and mostly is.
        Some(encoding) if encoding != UTF_8 || mostly_utf8(bytes) => by(encoding, bytes, false),
        _ if mostly_utf8(bytes) => by(UTF_8, bytes, false),
        _ => by(WINDOWS_1252, bytes, true),
    }
}

fn by(encoding: &'static Encoding, bytes: &[u8], guessed: bool) -> Decoded {
    let (text, _) = encoding.decode_without_bom_handling(bytes);
    let lost = text.matches('\u{fffd}').count();
    let said = match (lost, guessed) {
        (0, false) => None,
        (0, true) => Some(format!(
            "the file does not say how its letters are written; they were read as {}",
            encoding.name()
        )),
        (n, _) => Some(format!(
            "{n} of its signs could not be read ({}); look for \u{fffd}",
            encoding.name()
        )),
    };
    Decoded { text: text.into_owned(), said }
}

/// UTF-16 without its mark: every other byte is nought.
fn without_mark(bytes: &[u8]) -> Option<&'static Encoding> {
    let start = bytes.get(..PRESCAN.min(bytes.len()) & !1).filter(|s| s.len() >= 4)?;
    let noughts = |from: usize| start.iter().skip(from).step_by(2).filter(|&&b| b == 0).count();
    let most = start.len() / 2 * 9 / 10;
    match (noughts(0) >= most, noughts(1) >= most) {
        (false, true) => Some(UTF_16LE),
        (true, false) => Some(UTF_16BE),
        _ => None,
    }
}

/// What a page says: `charset=…` near its start.
fn declared(bytes: &[u8]) -> Option<&'static Encoding> {
    let start = bytes.get(..PRESCAN.min(bytes.len()))?.to_ascii_lowercase();
    let at = start.windows(8).position(|w| w == b"charset=")?;
    let label: Vec<u8> = start
        .iter()
        .skip(at + 8)
        .skip_while(|b| matches!(b, b'"' | b'\'' | b' '))
        .take_while(|b| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_' | b':'))
        .copied()
        .collect();
    Encoding::for_label(&label)
}

/// Fewer than one sign in fifty is broken: a cut or mixed file, not another encoding.
fn mostly_utf8(bytes: &[u8]) -> bool {
    let high = bytes.iter().filter(|b| **b >= 0x80).count();
    let broken: usize = bytes.utf8_chunks().map(|c| c.invalid().len()).sum();
    broken * 4 < high || broken <= 3 && high > 3 * broken
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_are_read_in_whatever_they_were_written() {
        let utf16: Vec<u8> = "½ cup crème".encode_utf16().flat_map(u16::to_le_bytes).collect();
        let marked: Vec<u8> = [&[0xff, 0xfe][..], &utf16].concat();
        for bytes in [
            "½ cup crème".as_bytes(),
            b"\xef\xbb\xbf\xc2\xbd cup cr\xc3\xa8me",
            b"\xbd cup cr\xe8me",
            &utf16,
            &marked,
        ] {
            assert_eq!(decode(bytes).text, "½ cup crème", "{bytes:?}");
        }
        let page = b"<meta charset=\"ISO-8859-2\">\xb9unka";
        assert!(decode(page).text.ends_with("\u{161}unka"));
        assert!(decode(page).said.is_none());
        // Cut in the middle of a sign.
        let cut = decode("crème brûlée, crème frâiche".as_bytes().split_at(6).1.split_at(14).0);
        assert!(cut.text.contains("brûlée"), "{cut:?}");
    }
}
