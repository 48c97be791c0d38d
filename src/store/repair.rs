//! Saves what can be saved of a damaged journal. The damaged one is kept as it is.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::path::{Path, PathBuf};

use super::disk::Disk;
use super::journal::{JOURNAL_BYTES_MAX, new_header};
use super::journal_error::{Identity, JournalError, check_owner, refuse};
use super::record::{
    LineFault, RawRecord, decode_header, decode_record, encode_header, encode_record,
};
use super::recover::{Damage, scan, whole_inside};
use super::save::{keep_copy, write_whole};
use super::trouble::FileTrouble;
use crate::order::InOrder;
use crate::run::Event;

/// A stretch of a damaged journal that could not be saved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lost {
    /// The line, counted from 1.
    pub line: u64,
    /// Where it begins, counted from 0.
    pub byte: u64,
    /// How many bytes it is long.
    pub bytes: u64,
    /// What is wrong with it.
    pub fault: LineFault,
}

/// What a repair did.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Repaired {
    /// How many events stand in the journal now.
    pub saved: u64,
    /// The lines that are gone.
    pub lost: Vec<Lost>,
    /// Numbers of events that no line was found for (a lost line may be one of them).
    pub missing: Vec<u64>,
    /// How many lines were there twice; one of each was saved.
    pub twice: u64,
    /// Numbers of the undos that are left out, because what they took back is lost.
    pub undos_lost: Vec<u64>,
    /// The damaged journal, byte for byte; `None` if there was nothing to repair.
    pub damaged: Option<PathBuf>,
}

impl fmt::Display for Repaired {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Some(damaged) = &self.damaged else {
            return write!(f, "the journal is sound: {} events, nothing to repair", self.saved);
        };
        write!(f, "{} events saved, {} lines lost", self.saved, self.lost.len())?;
        for lost in &self.lost {
            write!(
                f,
                "\n  line {} (byte {}, {} bytes): {}",
                lost.line, lost.byte, lost.bytes, lost.fault
            )?;
        }
        if !self.missing.is_empty() {
            write!(f, "\nevents missing: {}", ranges(&self.missing))?;
        }
        if self.twice > 0 {
            write!(f, "\nlines that were there twice: {}", self.twice)?;
        }
        if !self.undos_lost.is_empty() {
            let undos = ranges(&self.undos_lost);
            write!(f, "\nleft out, because what was undone is lost: {undos}")?;
        }
        write!(f, "\nthe damaged journal is kept as {}", damaged.display())
    }
}

/// Writes every whole event line of a damaged journal, in the order of their numbers, into a new journal in its
/// place, and keeps the damaged one beside it as `NAME.damaged`. Events are numbered anew without gaps; an undo
/// goes on naming the event that it took back, and is left out if that event is lost.
///
/// `who` is needed only if the first line is damaged too; if it is not, and `who` is given, they must agree.
/// Take the [`Lock`](super::lock::Lock) first.
///
/// # Errors
/// File trouble; `Newer`, `OtherParty`, `NotAJournal`; `Damaged` at line 1 if that line is gone and `who` is not
/// given. The journal is then as it was.
pub fn repair<D: Disk>(
    disk: &D,
    path: &Path,
    who: Option<&Identity>,
    now_ms: i64,
) -> Result<Repaired, JournalError> {
    let bytes =
        disk.read(path, JOURNAL_BYTES_MAX).map_err(|e| FileTrouble::new("read", path, e))?;
    let header = match scan(&bytes) {
        Ok(sound) => {
            let saved = sound.records.len() as u64;
            return Ok(Repaired { saved, ..Repaired::default() });
        }
        Err(Damage::Header) => {
            let who = who.ok_or_else(|| refuse(path, Damage::Header))?;
            new_header(who, now_ms)
        }
        Err(Damage::Line { .. }) => {
            let first = bytes.split(|b| *b == b'\n').next().unwrap_or_default();
            let (header, _) = decode_header(first).map_err(|_| refuse(path, Damage::Header))?;
            header
        }
        Err(other) => return Err(refuse(path, other)),
    };
    if let Some(who) = who {
        check_owner(path, &header, who)?;
    }
    let mut found = sort_out(&bytes);
    let events = tidy(&mut found);
    let first =
        encode_header(&header).map_err(|e| JournalError::Unwritable { what: e.to_string() })?;
    let (mut text, mut crc) = (first.line, first.crc);
    let (kept, undos_lost) = numbered_anew(&events);
    for ((old, event), seq) in kept.iter().zip(1..) {
        let line = encode_record(seq, &old.at, event, crc);
        text.extend_from_slice(&line.line);
        crc = line.crc;
    }
    // In this order a crash leaves the damaged journal in its place, or both.
    let damaged = keep_copy(disk, path, ".damaged", &bytes)?;
    write_whole(disk, path, &text)?;
    Ok(Repaired {
        saved: kept.len() as u64,
        undos_lost,
        missing: missing(&events),
        lost: found.lost,
        twice: found.twice,
        damaged: Some(damaged),
    })
}

struct Found<'a> {
    whole: Vec<RawRecord<'a>>,
    lost: Vec<Lost>,
    twice: u64,
}

/// Takes every line by itself: whole ones are kept, whatever stands around them.
fn sort_out(bytes: &[u8]) -> Found<'_> {
    let mut found = Found { whole: Vec::new(), lost: Vec::new(), twice: 0 };
    let mut byte = 0;
    for (i, text) in bytes.split(|b| *b == b'\n').enumerate() {
        let here = Lost {
            line: i as u64 + 1,
            byte,
            bytes: text.len() as u64,
            fault: LineFault::NoChecksum,
        };
        byte += text.len() as u64 + 1;
        if i == 0 && decode_header(text).is_ok() || text.is_empty() {
            continue;
        }
        match decode_record(text) {
            Ok(record) => found.whole.push(record),
            Err(fault) => {
                // Two lines that ran into one because the `\n` between them is damaged are both saved.
                let inside = whole_inside(text);
                let covered: usize = inside.iter().map(|i| i.bytes + 1).sum();
                if covered < text.len() {
                    found.lost.push(Lost { fault, ..here });
                }
                found.whole.extend(inside.into_iter().map(|i| i.record));
            }
        }
    }
    found
}

/// By number, each once.
fn tidy<'a>(found: &mut Found<'a>) -> Vec<RawRecord<'a>> {
    let mut events = std::mem::take(&mut found.whole);
    let before = events.len();
    events.order_by_key(|r| r.seq);
    events.dedup_by(|a, b| a.seq == b.seq && a.crc == b.crc);
    found.twice = (before - events.len()) as u64;
    events
}

/// The events in order, each undo with the new number of what it takes back; and the old numbers of undos that are
/// left out, because what they took back is lost or two events claim its number.
fn numbered_anew<'a>(events: &[RawRecord<'a>]) -> (Vec<(RawRecord<'a>, Cow<'a, str>)>, Vec<u64>) {
    let mut kept: Vec<(RawRecord<'a>, Cow<'a, str>)> = Vec::new();
    // Old numbers to new ones; None where two events have the same.
    let mut renamed: BTreeMap<u64, Option<u64>> = BTreeMap::new();
    let mut left_out = Vec::new();
    for record in events {
        let event = match undone_by(record.event) {
            None => Cow::Borrowed(record.event),
            Some(target) => match renamed.get(&target).copied().flatten() {
                Some(new) if new == target => Cow::Borrowed(record.event),
                Some(new) => match serde_json::to_string(&Event::Undone { seq: new }) {
                    Ok(event) => Cow::Owned(event),
                    Err(_) => Cow::Borrowed(record.event),
                },
                None => {
                    left_out.push(record.seq);
                    continue;
                }
            },
        };
        kept.push((record.clone(), event));
        let new = kept.len() as u64;
        renamed.entry(record.seq).and_modify(|known| *known = None).or_insert(Some(new));
    }
    (kept, left_out)
}

/// The number of the event that this one takes back, if it is an undo.
fn undone_by(event: &str) -> Option<u64> {
    match serde_json::from_str(event) {
        Ok(Event::Undone { seq }) => Some(seq),
        _ => None,
    }
}

fn missing(events: &[RawRecord<'_>]) -> Vec<u64> {
    /// More than this many numbers help nobody.
    const NAMED_MAX: usize = 1000;
    let there: BTreeSet<u64> = events.iter().map(|r| r.seq).collect();
    let last = there.last().copied().unwrap_or(0);
    (1..last).filter(|n| !there.contains(n)).take(NAMED_MAX).collect()
}

/// `1, 4-6` for 1, 4, 5, 6.
fn ranges(numbers: &[u64]) -> String {
    let mut out: Vec<(u64, u64)> = Vec::new();
    for n in numbers {
        match out.last_mut() {
            Some((_, to)) if *to + 1 == *n => *to = *n,
            _ => out.push((*n, *n)),
        }
    }
    let texts: Vec<String> = out
        .iter()
        .map(|(from, to)| if from == to { from.to_string() } else { format!("{from}-{to}") })
        .collect();
    texts.join(", ")
}
