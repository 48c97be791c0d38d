//! One line of a journal: how it is written, and how it is proved whole when read.
//!
//! The first line is a header, each further one an event, all of them JSON:
//!
//! ```text
//! {"format":"potwatch journal","version":1,"party":"…","fingerprint":"…","created_ms":…,"crc":"…"}
//! {"seq":1,"wall_ms":…,"mono_ms":…,"boot":"…","event":…,"prev":"…","crc":"…"}
//! ```
//!
//! `crc` is the CRC-32/ISO-HDLC of every byte of the line before `,"crc"`, as eight lower-case hex digits; `prev`
//! is the `crc` of the line before. So a changed line, and one that was taken out, put in or moved, is noticed.
//! Every later version of the format keeps this rule for the header, so that an old program can tell
//! "newer than me" from "damaged".
//!
//! # Byte by byte
//!
//! UTF-8, no byte order mark, one `\n` (0x0A) behind each line and nowhere else: JSON writes line breaks within
//! strings as `\n`. No spaces between fields; the fields stand in this order. A line has at most
//! [`LINE_BYTES_MAX`] bytes.
//!
//! | bytes of an event line | what |
//! | --- | --- |
//! | 7, [`RECORD_START`] | `{"seq":` |
//! | 1 to 20 | its number in decimal digits: 1, 2, 3 … without a gap |
//! | 11 and its digits | `,"wall_ms":` and the wall clock, unix ms, perhaps with `-` |
//! | 11 and its digits | `,"mono_ms":` and the monotonic clock, ms |
//! | 9, 1 to 64, 1 | `,"boot":"`, which start of the computer, `"` |
//! | 9 and the event | `,"event":` and a JSON value, kept as it was written |
//! | 9, 8, 1 | `,"prev":"`, the line before's checksum, eight digits of 0-9a-f, `"` |
//! | 8, 8, 2 | `,"crc":"`, this line's checksum over all bytes above, `"}` |
//! | 1 | `\n` |
//!
//! The last 19 bytes of a line are found from its end, so a line is proved before any of it is parsed. The
//! first line's `prev` is its own absence: the first event names the header's `crc`.

use serde::{Deserialize, Serialize};

/// The name in the first line of every journal.
pub const FORMAT: &str = "potwatch journal";
/// The version of the format that this program writes, and the newest that it reads.
pub const VERSION: u32 = 1;
/// How each header begins, whatever its version.
pub const HEADER_START: &[u8] = br#"{"format":"potwatch journal","version":"#;
/// How each event line begins.
pub const RECORD_START: &[u8] = br#"{"seq":"#;
/// The longest line that is written or read, in bytes.
pub const LINE_BYTES_MAX: usize = 8 * 1024 * 1024;

const CRC_START: &str = r#","crc":""#;
const CRC_END: &str = r#""}"#;
const HEX_LEN: usize = 8;
const CRC_FIELD_LEN: usize = CRC_START.len() + HEX_LEN + CRC_END.len();

/// Which start of the computer a monotonic time belongs to: 1 to 64 letters, digits or `-`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct BootId(String);

impl BootId {
    /// Keeps the letters, digits and `-` of `text`, at most 64; `unknown` if there are none.
    pub fn new(text: &str) -> Self {
        let kept: String =
            text.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').take(64).collect();
        if kept.is_empty() { Self("unknown".into()) } else { Self(kept) }
    }

    /// The id as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// When something happened, by both clocks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    /// Wall clock, milliseconds since 1970-01-01T00:00Z. May go back between records.
    pub wall_ms: i64,
    /// Monotonic clock, milliseconds since any point; only comparable within one `boot`.
    pub mono_ms: u64,
    /// The start of the computer (or of the program) that `mono_ms` counts from.
    pub boot: BootId,
}

/// The first line of a journal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Header {
    /// Always [`FORMAT`].
    pub format: String,
    /// The version of the format.
    pub version: u32,
    /// The id of the party.
    pub party: String,
    /// The fingerprint of the party.
    pub fingerprint: String,
    /// When the journal was begun, wall clock, milliseconds since 1970-01-01T00:00Z.
    pub created_ms: i64,
}

/// An event line that was proved whole; the event itself is still text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RawRecord<'a> {
    /// 1 for the first event, then one more each time.
    pub seq: u64,
    /// When it was written.
    pub at: Stamp,
    /// The event as JSON, byte for byte as written.
    pub event: &'a str,
    /// The CRC of the line before.
    pub prev: u32,
    /// The CRC of this line.
    pub crc: u32,
}

/// Why a line is not what was once written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum LineFault {
    /// The line has no checksum at its end, or is too long.
    #[error("it is cut short")]
    NoChecksum,
    /// The checksum is there and does not fit.
    #[error("its checksum does not fit")]
    Checksum,
    /// The checksum fits, and yet it is not a line of this format.
    #[error("it is not laid out as a line of this version")]
    Layout,
    /// A whole line, in the wrong place.
    #[error("it does not follow the line before it (a line was taken out, put in or moved)")]
    Chain,
}

/// A finished line, its `\n` included, and its CRC.
pub struct Encoded {
    /// The bytes to append.
    pub line: Vec<u8>,
    /// The CRC that the next line names as `prev`.
    pub crc: u32,
}

/// Lays out the header line.
///
/// # Errors
/// None in practice: a header is texts and whole numbers.
pub fn encode_header(header: &Header) -> serde_json::Result<Encoded> {
    let mut body = serde_json::to_string(header)?;
    body.truncate(body.len().saturating_sub(1)); // the closing brace comes after the checksum
    Ok(seal(body))
}

/// Lays out an event line.
pub fn encode_record(seq: u64, at: &Stamp, event_json: &str, prev: u32) -> Encoded {
    seal(format!(
        r#"{{"seq":{seq},"wall_ms":{},"mono_ms":{},"boot":"{}","event":{event_json},"prev":"{prev:08x}""#,
        at.wall_ms,
        at.mono_ms,
        at.boot.as_str()
    ))
}

/// Reads a header line, given without its `\n`.
///
/// # Errors
/// A [`LineFault`]; the version is not judged here.
pub fn decode_header(line: &[u8]) -> Result<(Header, u32), LineFault> {
    let (_, crc) = unseal(line)?;
    let header: Header = serde_json::from_slice(line).map_err(|_| LineFault::Layout)?;
    if header.format != FORMAT || !line.starts_with(HEADER_START) {
        return Err(LineFault::Layout);
    }
    Ok((header, crc))
}

/// Reads an event line, given without its `\n`.
///
/// # Errors
/// A [`LineFault`]; whether it follows the line before is not judged here.
pub fn decode_record(line: &[u8]) -> Result<RawRecord<'_>, LineFault> {
    let (body, crc) = unseal(line)?;
    parse_body(body, crc).ok_or(LineFault::Layout)
}

fn seal(body: String) -> Encoded {
    let crc = crc32fast::hash(body.as_bytes());
    let line = format!("{body}{CRC_START}{crc:08x}{CRC_END}\n").into_bytes();
    Encoded { line, crc }
}

/// Splits off the checksum and proves it.
fn unseal(line: &[u8]) -> Result<(&str, u32), LineFault> {
    if line.len() > LINE_BYTES_MAX {
        return Err(LineFault::NoChecksum);
    }
    let at = line.len().checked_sub(CRC_FIELD_LEN).ok_or(LineFault::NoChecksum)?;
    let (body, field) = line.split_at(at);
    let crc = std::str::from_utf8(field)
        .ok()
        .and_then(|t| t.strip_prefix(CRC_START)?.strip_suffix(CRC_END))
        .and_then(hex)
        .ok_or(LineFault::NoChecksum)?;
    if crc32fast::hash(body) != crc {
        return Err(LineFault::Checksum);
    }
    Ok((std::str::from_utf8(body).map_err(|_| LineFault::Layout)?, crc))
}

fn parse_body(body: &str, crc: u32) -> Option<RawRecord<'_>> {
    let rest = body.strip_prefix(r#"{"seq":"#)?;
    let (seq, rest) = rest.split_once(r#","wall_ms":"#)?;
    let (wall_ms, rest) = rest.split_once(r#","mono_ms":"#)?;
    let (mono_ms, rest) = rest.split_once(r#","boot":""#)?;
    let (boot, rest) = rest.split_once(r#"","event":"#)?;
    // From the end, because an event may itself hold a field of any name.
    let (event, prev) = rest.strip_suffix('"')?.rsplit_once(r#","prev":""#)?;
    let id = BootId::new(boot);
    (id.as_str() == boot).then_some(())?;
    Some(RawRecord {
        seq: seq.parse().ok()?,
        at: Stamp { wall_ms: wall_ms.parse().ok()?, mono_ms: mono_ms.parse().ok()?, boot: id },
        event,
        prev: hex(prev)?,
        crc,
    })
}

/// Eight lower-case hex digits and nothing else.
fn hex(text: &str) -> Option<u32> {
    let plain =
        text.len() == HEX_LEN && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
    plain.then(|| u32::from_str_radix(text, 16).ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn stamp(wall_ms: i64, mono_ms: u64) -> Stamp {
        Stamp { wall_ms, mono_ms, boot: BootId::new("b-1") }
    }

    fn without_newline(e: &Encoded) -> &[u8] {
        e.line.strip_suffix(b"\n").unwrap()
    }

    /// The check value of CRC-32/ISO-HDLC in the "Catalogue of parametrised CRC algorithms":
    /// the digits 1 to 9 give cbf43926.
    #[test]
    fn checksum_is_the_published_one() {
        assert_eq!(crc32fast::hash(b"123456789"), 0xCBF4_3926);
        assert!(seal("123456789".into()).line.ends_with(b",\"crc\":\"cbf43926\"}\n"));
    }

    #[test]
    fn a_line_is_one_json_object_that_a_person_can_read() {
        let e = encode_record(7, &stamp(-5, 9), r#"{"done":"soup"}"#, 0xab);
        let text = String::from_utf8(e.line.clone()).unwrap();
        assert!(text.starts_with(
            r#"{"seq":7,"wall_ms":-5,"mono_ms":9,"boot":"b-1","event":{"done":"soup"},"prev":"000000ab","crc":""#
        ));
        let json: serde_json::Value = serde_json::from_str(&text).unwrap();
        assert_eq!(json["event"]["done"], "soup");
        assert_eq!(json["crc"], format!("{:08x}", e.crc));
    }

    #[test]
    fn a_header_comes_back() {
        let header = Header {
            format: FORMAT.into(),
            version: VERSION,
            party: "supper \"x\"".into(),
            fingerprint: "00ff".into(),
            created_ms: 12,
        };
        let e = encode_header(&header).unwrap();
        assert!(e.line.starts_with(HEADER_START));
        assert_eq!(decode_header(without_newline(&e)), Ok((header, e.crc)));
    }

    #[test]
    fn an_event_may_hold_any_field_name() {
        let event = r#"{"seq":1,"event":{"prev":"00000000","crc":"11111111"},"boot":"x"}"#;
        let e = encode_record(1, &stamp(0, 0), event, 3);
        let r = decode_record(without_newline(&e)).unwrap();
        assert_eq!((r.event, r.prev, r.crc), (event, 3, e.crc));
    }

    #[test]
    fn boot_ids_hold_nothing_that_would_break_the_line() {
        assert_eq!(BootId::new("a\"b\n-é1").as_str(), "ab-1");
        assert_eq!(BootId::new("\"").as_str(), "unknown");
    }

    proptest! {
        #[test]
        fn comes_back_as_it_went(seq: u64, wall: i64, mono: u64, prev: u32, text: String) {
            let event = serde_json::to_string(&text).unwrap();
            let at = stamp(wall, mono);
            let e = encode_record(seq, &at, &event, prev);
            prop_assert_eq!(e.line.iter().filter(|b| **b == b'\n').count(), 1);
            let r = decode_record(without_newline(&e)).unwrap();
            prop_assert_eq!(&r, &RawRecord { seq, at, event: &event, prev, crc: e.crc });
        }

        #[test]
        fn every_changed_bit_is_noticed(text in "[a-z\\PC]{0,12}", bit in 0usize..4096) {
            let event = serde_json::to_string(&text).unwrap();
            let e = encode_record(3, &stamp(4, 5), &event, 6);
            let mut line = without_newline(&e).to_vec();
            let bit = bit % (line.len() * 8);
            line[bit / 8] ^= 1 << (bit % 8);
            prop_assert!(decode_record(&line).is_err());
        }

        #[test]
        fn junk_is_never_a_record(junk: Vec<u8>) {
            prop_assert!(decode_record(&junk).is_err());
            prop_assert!(decode_header(&junk).is_err());
        }
    }
}
