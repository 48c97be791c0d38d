//! Reads the bytes of a journal: what is whole, what is a torn end, what is damage.
//!
//! A crash can leave at most one line unfinished, the last, because each line is on the disk before the next is
//! begun; the file system may also have made the file longer with zeros. That much is *cut* and set aside.
//! Anything else that does not fit was not done by a crash of ours: it is *damage*, and nothing is touched.

use super::record::{
    HEADER_START, Header, LineFault, RECORD_START, RawRecord, VERSION, decode_header, decode_record,
};

/// What the bytes of a journal hold.
#[derive(Debug, PartialEq, Eq)]
pub struct Scan<'a> {
    /// The header, unless the crash came before it was whole.
    pub header: Option<Header>,
    /// The whole event lines.
    pub records: Vec<WholeLine<'a>>,
    /// How many bytes from the start are whole lines.
    pub good_len: usize,
    /// The CRC of the last whole line.
    pub last_crc: u32,
    /// The bytes after them: an end that a crash tore, or nothing.
    pub tail: &'a [u8],
}

impl Scan<'_> {
    /// How many lines the torn end holds: 0 for nothing or zeros alone, else 1.
    pub fn torn_records(&self) -> u64 {
        u64::from(self.header.is_some() && self.tail.iter().any(|b| *b != 0))
    }
}

/// An event line that is whole and follows the one before it.
#[derive(Debug, PartialEq, Eq)]
pub struct WholeLine<'a> {
    /// Its number, counted from 1; the header is line 1.
    pub line: u64,
    /// Where it begins, counted from 0.
    pub byte: u64,
    /// What it says.
    pub record: RawRecord<'a>,
}

/// Why the bytes are not a journal that can be gone on with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Damage {
    /// The file does not begin like a journal at all.
    NotAJournal,
    /// It begins like a journal, and its first line is damaged.
    Header,
    /// Written by a newer program.
    Newer {
        /// The version that it names.
        version: u32,
    },
    /// A line before the end is damaged, or more of the end than a crash can tear.
    Line {
        /// Counted from 1, the header being line 1.
        line: u64,
        /// Where the line begins, counted from 0.
        byte: u64,
        /// What is wrong with it.
        fault: LineFault,
    },
}

/// Tells whole lines, a torn end and damage apart.
///
/// # Errors
/// [`Damage`] where the bytes are not what this program, crashed at any moment, could have left.
pub fn scan(bytes: &[u8]) -> Result<Scan<'_>, Damage> {
    let Some((header, last_crc, pos)) = scan_header(bytes)? else {
        return Ok(Scan {
            header: None,
            records: Vec::new(),
            good_len: 0,
            last_crc: 0,
            tail: bytes,
        });
    };
    let lines = bytes.get(pos..).unwrap_or_default();
    let on = scan_on(lines, &Known { events: 0, last_crc, len: pos as u64 })?;
    Ok(Scan { header: Some(header), good_len: pos + on.good_len, ..on })
}

/// What is known of a journal up to a place in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Known {
    /// How many event lines come before the place.
    pub events: u64,
    /// The CRC of the line before it.
    pub last_crc: u32,
    /// How many bytes come before it.
    pub len: u64,
}

/// Like [`scan`], for the bytes after what is known: `good_len` counts from there, and there is no header.
///
/// # Errors
/// As [`scan`].
pub fn scan_on<'a>(bytes: &'a [u8], known: &Known) -> Result<Scan<'a>, Damage> {
    let mut records: Vec<WholeLine<'_>> = Vec::new();
    let (mut last_crc, mut pos) = (known.last_crc, 0);
    while let Some(rest) = bytes.get(pos..).filter(|rest| !rest.is_empty()) {
        let seq = known.events + records.len() as u64 + 1;
        let (line, byte) = (seq + 1, known.len + pos as u64);
        let whole = first_line(rest).ok_or(LineFault::NoChecksum);
        match whole.and_then(|text| decode_next(text, seq, last_crc).map(|r| (text, r))) {
            Ok((text, record)) => {
                last_crc = record.crc;
                pos += text.len() + 1;
                records.push(WholeLine { line, byte, record });
            }
            // A whole line in the wrong place was not torn by a crash.
            Err(fault) if fault == LineFault::Chain || !is_torn(rest) => {
                return Err(Damage::Line { line, byte, fault });
            }
            Err(_) => break,
        }
    }
    let tail = bytes.get(pos..).unwrap_or_default();
    Ok(Scan { header: None, records, good_len: pos, last_crc, tail })
}

/// The bytes up to the first `\n`, if there is one.
pub fn first_line(bytes: &[u8]) -> Option<&[u8]> {
    bytes.iter().position(|b| *b == b'\n').and_then(|end| bytes.get(..end))
}

fn decode_next(line: &[u8], seq: u64, prev: u32) -> Result<RawRecord<'_>, LineFault> {
    let record = decode_record(line)?;
    if record.seq == seq && record.prev == prev { Ok(record) } else { Err(LineFault::Chain) }
}

/// The header, its CRC and the byte after it; `None` if a crash came before it was whole.
fn scan_header(bytes: &[u8]) -> Result<Option<(Header, u32, usize)>, Damage> {
    let line = first_line(bytes);
    match line.map(decode_header) {
        Some(Ok((header, _))) if header.version > VERSION => {
            Err(Damage::Newer { version: header.version })
        }
        Some(Ok((header, crc))) => Ok(Some((header, crc, line.map_or(0, |l| l.len() + 1)))),
        _ if is_torn_header(bytes) => Ok(None),
        _ if looks_like_ours(bytes) => Err(Damage::Header),
        _ => Err(Damage::NotAJournal),
    }
}

/// A header that a crash tore is the file's only line, and begins as headers do or with zeros. It has swallowed no
/// mark, and is no longer than the first piece that a disk writes: of what was more than that, more than a header is lost.
fn is_torn_header(bytes: &[u8]) -> bool {
    /// The usual page of memory and block of a file system.
    const PIECE: usize = 4096;
    let core = without_zeros(bytes);
    let alone = first_line(core).is_none_or(|line| line.len() + 1 == core.len());
    let ours = HEADER_START.starts_with(core)
        || core.starts_with(HEADER_START)
        || core.first() == Some(&0);
    bytes.len() <= PIECE && alone && ours && whole_inside(core).is_empty()
}

fn looks_like_ours(bytes: &[u8]) -> bool {
    bytes.starts_with(HEADER_START)
        // Nothing else that we are given begins so: a disk has lost what was there.
        || bytes.first() == Some(&0)
        || bytes.split(|b| *b == b'\n').take(100).any(|line| decode_record(line).is_ok())
}

/// True if one crash can have left `rest` as the end of the file: at most one line, which is not whole, and
/// which has not swallowed another that is.
fn is_torn(rest: &[u8]) -> bool {
    let core = without_zeros(rest);
    let one_line = first_line(core).is_none_or(|line| line.len() + 1 == core.len());
    one_line && !swallows_whole_record(core)
}

/// Whether a line that is not whole holds one that is. That happens when the `\n` between two lines is damaged,
/// and then more is at stake than the one line a crash may cost.
fn swallows_whole_record(line: &[u8]) -> bool {
    // One byte after a record at the start may be its own damaged `\n`.
    whole_inside(line).iter().any(|i| i.start > 0 || i.start + i.bytes + 1 < line.len())
}

/// A whole record inside a line that is not one.
pub struct Inside<'a> {
    /// Where in the line it begins.
    pub start: usize,
    /// How long it is.
    pub bytes: usize,
    /// What it says.
    pub record: RawRecord<'a>,
}

/// The whole records inside a line that is not one, in order, without overlap.
pub fn whole_inside(line: &[u8]) -> Vec<Inside<'_>> {
    /// More places than a line of ours has; bounds the work on a hostile file.
    const TRIES_MAX: usize = 64;
    const CRC_START: &[u8] = br#","crc":""#;
    const CRC_LEN: usize = br#","crc":"01234567"}"#.len();
    let mut whole: Vec<Inside<'_>> = Vec::new();
    for start in places(line, RECORD_START).take(TRIES_MAX) {
        if whole.last().is_some_and(|last| start < last.start + last.bytes) {
            continue;
        }
        let from = line.get(start..).unwrap_or_default();
        let found = places(from, CRC_START).take(TRIES_MAX).find_map(|at| {
            let bytes = at + CRC_LEN;
            let record = decode_record(from.get(..bytes)?).ok()?;
            Some(Inside { start, bytes, record })
        });
        whole.extend(found);
    }
    whole
}

fn places<'a>(text: &'a [u8], what: &'a [u8]) -> impl Iterator<Item = usize> + 'a {
    text.windows(what.len()).enumerate().filter(move |(_, w)| *w == what).map(|(i, _)| i)
}

fn without_zeros(bytes: &[u8]) -> &[u8] {
    let end = bytes.iter().rposition(|b| *b != 0).map_or(0, |last| last + 1);
    bytes.get(..end).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::super::record::{BootId, FORMAT, Stamp, encode_header, encode_record};
    use super::*;

    fn header() -> Header {
        Header {
            format: FORMAT.into(),
            version: VERSION,
            party: "supper".into(),
            fingerprint: "f00d".into(),
            created_ms: 1,
        }
    }

    /// A journal with these events, and where each line ends.
    fn journal(events: &[&str]) -> (Vec<u8>, Vec<usize>) {
        let first = encode_header(&header()).unwrap();
        let (mut bytes, mut crc) = (first.line, first.crc);
        let mut ends = vec![bytes.len()];
        for (i, event) in events.iter().enumerate() {
            let at = Stamp { wall_ms: 1000 - i as i64, mono_ms: 1, boot: BootId::new("b") };
            let e = encode_record(i as u64 + 1, &at, &format!("\"{event}\""), crc);
            bytes.extend(e.line);
            crc = e.crc;
            ends.push(bytes.len());
        }
        (bytes, ends)
    }

    fn events<'a>(scan: &Scan<'a>) -> Vec<&'a str> {
        scan.records.iter().map(|w| w.record.event.trim_matches('"')).collect()
    }

    const FIVE: [&str; 5] = ["soup on", "pie in", "dip out", "pie out", "soup off"];

    #[test]
    fn every_prefix_holds_a_prefix_of_the_events() {
        let (bytes, ends) = journal(&FIVE);
        for len in 0..=bytes.len() {
            let got = scan(&bytes[..len]).unwrap_or_else(|d| panic!("prefix of {len}: {d:?}"));
            let whole = ends.iter().filter(|end| **end <= len).count();
            assert_eq!(got.header.is_some(), whole > 0, "prefix of {len}");
            assert_eq!(events(&got), FIVE[..whole.saturating_sub(1)], "prefix of {len}");
            assert_eq!(got.good_len + got.tail.len(), len);
        }
    }

    #[test]
    fn zeros_after_any_prefix_change_nothing() {
        let (bytes, _) = journal(&FIVE);
        for len in 0..=bytes.len() {
            for zeros in [1, 2, 511, 512] {
                let mut longer = bytes[..len].to_vec();
                longer.resize(len + zeros, 0);
                let (a, b) = (scan(&bytes[..len]).unwrap(), scan(&longer).unwrap());
                assert_eq!((events(&a), a.good_len), (events(&b), b.good_len));
            }
        }
    }

    #[test]
    fn every_flipped_bit_is_told() {
        let (bytes, ends) = journal(&FIVE);
        for bit in 0..bytes.len() * 8 {
            let mut bad = bytes.clone();
            bad[bit / 8] ^= 1 << (bit % 8);
            let in_last_line = bit / 8 >= ends[FIVE.len() - 1];
            match scan(&bad) {
                Err(_) => {}
                Ok(s) => {
                    assert!(in_last_line, "bit {bit} must not be put down to a crash");
                    assert_eq!(events(&s), FIVE[..4], "bit {bit}");
                    assert_eq!(s.torn_records(), 1, "bit {bit}");
                }
            }
        }
    }

    #[test]
    fn names_the_line_and_the_byte() {
        let (mut bytes, ends) = journal(&FIVE);
        bytes[ends[1] + 40] ^= 1;
        let fault = LineFault::Checksum;
        assert_eq!(scan(&bytes), Err(Damage::Line { line: 3, byte: ends[1] as u64, fault }));
    }

    #[test]
    fn a_line_taken_out_put_in_or_moved_is_damage_even_at_the_end() {
        let (bytes, ends) = journal(&FIVE);
        let line = |i: usize| bytes[ends[i - 1]..ends[i]].to_vec();
        let build = |order: &[usize]| {
            let mut b = bytes[..ends[0]].to_vec();
            order.iter().for_each(|i| b.extend(line(*i)));
            b
        };
        assert!(scan(&build(&[1, 2, 3, 4, 5])).is_ok());
        for order in [&[1, 2, 3, 5][..], &[2, 1], &[1, 1], &[2], &[1, 2, 3, 4, 5, 5]] {
            let bytes = build(order);
            let got = scan(&bytes);
            assert!(
                matches!(got, Err(Damage::Line { fault: LineFault::Chain, .. })),
                "{order:?}: {got:?}"
            );
        }
    }

    #[test]
    fn two_damaged_lines_at_the_end_are_more_than_a_crash() {
        let (mut bytes, ends) = journal(&FIVE);
        bytes[ends[3] + 12] ^= 4;
        bytes[ends[4] + 12] ^= 4;
        assert!(matches!(scan(&bytes), Err(Damage::Line { line: 5, .. })));
    }

    #[test]
    fn a_header_of_a_newer_version_is_not_called_damage() {
        let newer = encode_header(&Header { version: VERSION + 1, ..header() }).unwrap();
        assert_eq!(scan(&newer.line), Err(Damage::Newer { version: VERSION + 1 }));
    }

    #[test]
    fn other_files_are_not_taken_for_an_empty_journal() {
        let others: [&[u8]; 5] = [
            b"{\"dishes\":[]}\n",
            b"{\"dishes\":[]}",
            b"hello",
            b"\x7fELF",
            b"{\"format\":\"other\"}",
        ];
        for other in others {
            assert_eq!(scan(other), Err(Damage::NotAJournal));
        }
        assert_eq!(scan(b"").unwrap().header, None);
        assert_eq!(scan(&[0; 600]).unwrap().header, None);
    }

    #[test]
    fn a_header_that_has_swallowed_the_only_mark_is_damage() {
        let (mut bytes, ends) = journal(&FIVE[..1]);
        bytes[ends[0] - 1] ^= 0x20;
        assert_eq!(scan(&bytes), Err(Damage::Header));
    }

    /// A file whose blocks a disk has lost is none that was just begun.
    #[test]
    fn zeros_in_the_place_of_more_than_a_header_are_damage() {
        assert_eq!(scan(&[0; 100_000]), Err(Damage::Header));
        let (mut bytes, _) = journal(&["a mark", &"a plan ".repeat(2_000)]);
        bytes[..8192].fill(0);
        assert_eq!(scan(&bytes), Err(Damage::Header));
        bytes.truncate(9_000);
        assert_eq!(scan(&bytes), Err(Damage::Header));
    }

    #[test]
    fn a_damaged_header_before_whole_lines_is_damage() {
        let (mut bytes, _) = journal(&FIVE);
        bytes[60] ^= 1;
        assert_eq!(scan(&bytes), Err(Damage::Header));
        bytes[2] ^= 1;
        assert_eq!(scan(&bytes), Err(Damage::Header));
    }
}
