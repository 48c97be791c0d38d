//! The journal against every fault that the disk in [`super::faulty_disk`] can show.
//!
//! The plan of these tests follows the published method of SQLite ("How SQLite Is Tested", sections 3.2 to 3.4):
//! fail operation 1, 2, 3 … until a run is clean, once and from then on; cut the power after each; fail the
//! recovery as well; then what was acknowledged must be there and nothing may be there that was never written.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::disk::Disk;
use super::faulty_disk::{FaultyDisk, How, When};
use super::journal::{Entry, Journal, Recovered, read};
use super::journal_error::{Identity, JournalError};
use super::record::{BootId, FORMAT, Header, Stamp, VERSION, encode_header};
use super::repair::repair;

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Mark {
    Done { dish: String, number: u32 },
    Temperature { celsius: f64 },
}

type Evening = Journal<Mark, FaultyDisk>;

fn mark(number: u32) -> Mark {
    Mark::Done { dish: format!("pie \"{number}\"\n"), number }
}

fn path() -> PathBuf {
    PathBuf::from("evenings/supper.journal")
}

fn who() -> Identity {
    Identity { party: "supper".into(), fingerprint: "f00dcafe".into() }
}

/// The wall clock of these tests runs backwards, as one that is being set may.
fn stamp(number: u32) -> Stamp {
    let wall_ms = 1_795_000_000_000 - i64::from(number) * 60_000;
    Stamp { wall_ms, mono_ms: u64::from(number), boot: BootId::new("boot-1") }
}

fn open(disk: &FaultyDisk) -> Result<(Evening, Recovered<Mark>), JournalError> {
    Journal::open(disk.clone(), &path(), &who(), 0)
}

fn numbers(entries: &[Entry<Mark>]) -> Vec<u32> {
    let number = |e: &Entry<Mark>| match &e.event {
        Mark::Done { number, .. } => *number,
        Mark::Temperature { .. } => 0,
    };
    entries.iter().map(number).collect()
}

/// A journal with `count` marks, all of them durable.
fn cooked(count: u32) -> FaultyDisk {
    let disk = FaultyDisk::new();
    let (mut journal, _) = open(&disk).unwrap();
    for n in 1..=count {
        assert_eq!(journal.append(&stamp(n), &mark(n)).unwrap(), u64::from(n));
    }
    disk
}

fn reopened(disk: &FaultyDisk) -> Recovered<Mark> {
    open(disk).unwrap().1
}

#[test]
fn what_was_marked_is_there_in_order_though_the_clock_went_back() {
    let disk = cooked(4);
    let got = reopened(&disk);
    assert_eq!(numbers(&got.entries), [1, 2, 3, 4]);
    assert!(
        got.entries
            .windows(2)
            .all(|w| w[0].seq + 1 == w[1].seq && w[0].at.wall_ms > w[1].at.wall_ms)
    );
    assert_eq!(got.cut, None);
    assert_eq!(got.entries[2], Entry { seq: 3, at: stamp(3), event: mark(3) });
}

#[test]
fn a_new_journal_is_empty_and_says_whose_it_is() {
    let disk = FaultyDisk::new();
    let got = Journal::<Mark, _>::open(disk.clone(), &path(), &who(), 77).unwrap().1;
    assert!(got.entries.is_empty() && got.cut.is_none());
    assert_eq!((got.header.party.as_str(), got.header.created_ms), ("supper", 77));
    assert_eq!(reopened(&disk).header, got.header);
}

#[test]
fn every_prefix_recovers_keeps_what_was_cut_and_can_be_gone_on_with() {
    let full = cooked(3);
    let bytes = full.contents(&path()).unwrap();
    for len in 0..=bytes.len() {
        let disk = FaultyDisk::new();
        disk.put(&path(), &bytes[..len]);
        let (mut journal, got) = open(&disk).unwrap();
        let old = numbers(&got.entries);
        assert!([1, 2, 3].starts_with(&old), "prefix of {len}");
        if let Some(cut) = &got.cut {
            let kept = disk.contents(cut.kept.as_deref().unwrap()).unwrap();
            assert_eq!(kept.len() as u64, cut.bytes);
            assert!(bytes[..len].ends_with(&kept));
        }
        // The next mark stands on a line of its own.
        journal.append(&stamp(9), &mark(9)).unwrap();
        let again = reopened(&disk);
        assert_eq!(numbers(&again.entries), [&old[..], &[9]].concat(), "prefix of {len}");
        assert_eq!(again.cut, None);
    }
}

#[test]
fn every_flipped_bit_is_refused_or_reported_and_never_changes_an_event() {
    let bytes = cooked(3).contents(&path()).unwrap();
    for bit in 0..bytes.len() * 8 {
        let mut bad = bytes.clone();
        bad[bit / 8] ^= 1 << (bit % 8);
        let disk = FaultyDisk::new();
        disk.put(&path(), &bad);
        match open(&disk) {
            Err(_) => assert_eq!(disk.contents(&path()).unwrap(), bad, "refused, so not touched"),
            Ok((_, got)) => {
                assert_eq!(numbers(&got.entries), [1, 2], "bit {bit}");
                assert_eq!(got.cut.unwrap().records, 1, "bit {bit}");
            }
        }
    }
}

#[test]
fn zeros_at_the_end_are_cut() {
    let disk = FaultyDisk::new();
    let mut bytes = cooked(2).contents(&path()).unwrap();
    bytes.extend([0; 300]);
    disk.put(&path(), &bytes);
    let got = reopened(&disk);
    assert_eq!(numbers(&got.entries), [1, 2]);
    let cut = got.cut.unwrap();
    assert_eq!((cut.bytes, cut.records), (300, 0));
}

#[test]
fn two_tears_at_one_place_keep_both_ends() {
    let disk = FaultyDisk::new();
    let bytes = cooked(2).contents(&path()).unwrap();
    for torn in ["{\"seq\":3,\"wa", "{\"seq\":3,\"wall"] {
        disk.put(&path(), &[&bytes[..], torn.as_bytes()].concat());
        let kept = reopened(&disk).cut.unwrap().kept.unwrap();
        assert_eq!(disk.contents(&kept).unwrap(), torn.as_bytes());
    }
    let torn = disk.names().iter().filter(|n| n.to_string_lossy().contains(".torn-3")).count();
    assert_eq!(torn, 2);
}

#[test]
fn only_reading_changes_nothing() {
    let disk = FaultyDisk::new();
    let mut bytes = cooked(2).contents(&path()).unwrap();
    bytes.extend(b"{\"seq\":3");
    disk.put(&path(), &bytes);
    let got: Recovered<Mark> = read(&disk, &path()).unwrap();
    assert_eq!((numbers(&got.entries), got.cut.unwrap().kept), (vec![1, 2], None));
    assert_eq!(disk.contents(&path()).unwrap(), bytes);
    assert_eq!(disk.names().len(), 1);
}

// ---- refusals ----

#[test]
fn damage_in_the_middle_names_line_byte_and_remedy() {
    let disk = FaultyDisk::new();
    let mut bytes = cooked(3).contents(&path()).unwrap();
    let second = bytes.iter().enumerate().filter(|(_, b)| **b == b'\n').nth(1).unwrap().0 + 1;
    bytes[second + 30] ^= 1;
    disk.put(&path(), &bytes);
    let said = open(&disk).err().unwrap().to_string();
    assert_eq!(
        said,
        format!(
            "evenings/supper.journal is damaged: line 3 (byte {second}): its checksum does not fit; \
             nothing was changed; `potwatch repair evenings/supper.journal` saves what can be saved and keeps \
             the damaged file"
        )
    );
}

#[test]
fn two_evenings_never_mix() {
    let disk = cooked(1);
    for (party, fingerprint) in [("supper", "0"), ("brunch", "f00dcafe")] {
        let other = Identity { party: party.into(), fingerprint: fingerprint.into() };
        let refused = Journal::<Mark, _>::open(disk.clone(), &path(), &other, 0).err().unwrap();
        assert!(matches!(refused, JournalError::OtherParty { .. }));
        assert!(refused.to_string().contains(r#"belongs to the party "supper" (f00dcafe)"#));
    }
}

#[test]
fn a_newer_format_and_another_file_are_refused_in_words() {
    let disk = FaultyDisk::new();
    let header = Header {
        format: FORMAT.into(),
        version: VERSION + 1,
        party: "supper".into(),
        fingerprint: "f00dcafe".into(),
        created_ms: 0,
    };
    disk.put(&path(), &encode_header(&header).unwrap().line);
    assert_eq!(
        open(&disk).err().unwrap().to_string(),
        "evenings/supper.journal was written by a newer potwatch (format 2, this one knows up to 1); \
         open it with that one"
    );
    disk.put(&path(), b"{\"dishes\": []}\n");
    assert_eq!(
        open(&disk).err().unwrap().to_string(),
        "evenings/supper.journal is not a potwatch journal; check the name"
    );
}

#[test]
fn an_event_of_a_newer_program_is_not_taken_for_damage() {
    #[derive(Serialize, Deserialize)]
    struct Newer {
        flambe: u8,
    }
    let disk = FaultyDisk::new();
    let (mut journal, _) = Journal::<Newer, _>::open(disk.clone(), &path(), &who(), 0).unwrap();
    journal.append(&stamp(1), &Newer { flambe: 1 }).unwrap();
    let before = disk.contents(&path());
    let refused = open(&disk).err().unwrap();
    assert!(matches!(refused, JournalError::UnknownEvent { line: 2, .. }), "{refused}");
    assert_eq!(disk.contents(&path()), before);
}

#[test]
fn an_event_that_would_not_come_back_is_refused_and_the_journal_goes_on() {
    let disk = FaultyDisk::new();
    let (mut journal, _) = open(&disk).unwrap();
    for celsius in [f64::NAN, f64::INFINITY] {
        let refused = journal.append(&stamp(1), &Mark::Temperature { celsius });
        assert!(matches!(refused, Err(JournalError::Unwritable { .. })));
    }
    let exact = Mark::Temperature { celsius: 0.1 + 0.2 };
    assert_eq!(journal.append(&stamp(1), &exact).unwrap(), 1);
    assert_eq!(reopened(&disk).entries[0].event, exact);
}

// ---- a failing disk ----

#[test]
fn after_a_failed_write_nothing_counts_as_saved_until_reopened() {
    for how in [How::Error, How::Full] {
        for op in [1, 2] {
            let disk = cooked(2);
            let (journal, _) = open(&disk).unwrap();
            drop(journal);
            let faulty = disk.with(When::Never, how);
            let (mut journal, _) = open(&faulty).unwrap();
            let opened_in = faulty.ops();
            let faulty = disk.with(When::Once(opened_in + op), how);
            let (mut broken, _) = open(&faulty).unwrap();
            for number in [3, 4, 5] {
                let refused = broken.append(&stamp(number), &mark(number));
                assert!(matches!(refused, Err(JournalError::NotDurable { .. })), "mark {number}");
            }
            assert!(broken.broken().is_some());
            let found = numbers(&broken.reopen().unwrap().entries);
            assert!(found == [1, 2] || found == [1, 2, 3]);
            assert_eq!(broken.append(&stamp(6), &mark(6)).unwrap() as usize, found.len() + 1);
            assert!(broken.broken().is_none());
            // Even without power from here on, since the reopening wrote the file anew.
            let kept = reopened(&disk.after_power_cut(0));
            assert_eq!(numbers(&kept.entries), [&found[..], &[6]].concat());
            drop(journal.append(&stamp(7), &mark(7)));
        }
    }
}

#[test]
fn a_full_and_a_read_only_disk_say_so() {
    let disk = cooked(1);
    let fresh = disk.with(When::Never, How::Full);
    drop(open(&fresh));
    let opened_in = fresh.ops();
    let (mut journal, _) = open(&disk.with(When::From(opened_in + 1), How::Full)).unwrap();
    assert_eq!(
        journal.append(&stamp(2), &mark(2)).unwrap_err().to_string(),
        "marks are not being saved any more: could not write evenings/supper.journal: the disk is full; \
         free some space on it, then try again"
    );
    for (how, words) in [
        (
            How::Full,
            "could not begin evenings/supper.journal: the disk is full; free some space on it",
        ),
        (
            How::ReadOnly,
            "could not begin evenings/supper.journal: the disk is read-only; make it writable",
        ),
    ] {
        let refused = open(&FaultyDisk::new().with(When::From(1), how)).err().unwrap().to_string();
        assert!(refused.starts_with(words), "{refused}");
    }
}

/// A program killed between writing and syncing leaves a mark that can be read and is not yet on the disk.
#[test]
fn a_mark_that_is_shown_again_after_a_kill_is_made_durable_first() {
    let disk = cooked(2);
    let whole = cooked(3).contents(&path()).unwrap();
    let third = &whole[disk.contents(&path()).unwrap().len()..];
    let mut file = disk.open_append(&path()).unwrap();
    disk.append(&mut file, third).unwrap();
    assert_eq!(numbers(&reopened(&disk.after_power_cut(0)).entries), [1, 2]);
    assert_eq!(numbers(&reopened(&disk).entries), [1, 2, 3]);
    assert_eq!(numbers(&reopened(&disk.after_power_cut(0)).entries), [1, 2, 3]);
}

/// A mark whose sync failed and which could not even be cut off again is there to be read, and the system takes it for
/// durable: whoever takes it in, by opening or by looking, makes it so before it counts.
#[test]
fn a_mark_left_by_a_disk_that_failed_is_made_durable_by_who_takes_it_in() {
    for by_looking in [false, true] {
        let disk = cooked(2);
        let (mut other, _) = open(&disk).unwrap();
        let (mut failing, _) = open(&disk).unwrap();
        // The write is the first operation from here on, the sync the second, the cut the third.
        disk.set(Some((When::From(2), How::Error)));
        assert!(failing.append(&stamp(3), &mark(3)).is_err());
        disk.set(None);
        drop(failing);
        assert_eq!(numbers(&reopened(&disk.after_power_cut(0)).entries), [1, 2]);
        let taken_in = if by_looking { other.look().unwrap() } else { reopened(&disk).entries };
        assert_eq!(numbers(&taken_in).last(), Some(&3));
        assert_eq!(numbers(&reopened(&disk.after_power_cut(0)).entries), [1, 2, 3]);
    }
}

/// What a run of the program did: the marks that it was told were saved, and the last it tried.
#[derive(Debug, Default)]
struct Ledger {
    saved: Vec<u32>,
    last_tried: u32,
}

/// An evening of five marks on a disk with faults; the program opens again, as it would, when it is let.
fn evening(disk: &FaultyDisk, first: u32) -> Ledger {
    let mut ledger = Ledger { saved: (1..first).collect(), last_tried: first - 1 };
    let Some((mut journal, got)) = open(disk).or_else(|_| open(disk)).ok() else { return ledger };
    ledger.saved = numbers(&got.entries);
    for number in first..first + 5 {
        ledger.last_tried = number;
        if journal.append(&stamp(number), &mark(number)).is_ok() {
            ledger.saved.push(number);
        } else if let Ok(got) = journal.reopen() {
            ledger.saved = numbers(&got.entries);
        }
    }
    ledger
}

/// Nothing saved is missing, nothing is there that was not tried, nothing is there twice or out of order.
fn check(ledger: &Ledger, found: &[u32], what: &str) {
    assert!(
        ledger.saved.iter().all(|n| found.contains(n)),
        "{what}: {ledger:?} but found {found:?}"
    );
    assert!(found.windows(2).all(|w| w[0] < w[1]), "{what}: {found:?}");
    assert!(found.last().is_none_or(|n| *n <= ledger.last_tried), "{what}: {found:?}");
}

/// The states that an evening may begin from: no file, a sound journal, one with a torn end.
fn beginnings() -> Vec<(FaultyDisk, u32)> {
    let torn = cooked(2);
    let mut bytes = torn.contents(&path()).unwrap();
    bytes.extend(b"{\"seq\":3,\"wall_ms\":17950");
    torn.put(&path(), &bytes);
    vec![(FaultyDisk::new(), 1), (cooked(2).after_power_cut(0), 3), (torn, 3)]
}

#[test]
fn a_fault_at_every_operation_and_a_power_cut_after_it_lose_nothing_saved() {
    const POWER_CUTS: u64 = 20;
    for begin in 0..beginnings().len() {
        for how in [How::Error, How::Full, How::ReadOnly, How::Short] {
            for op in 1.. {
                let mut reached = true;
                for when in [When::Once(op), When::From(op)] {
                    let (disk, first) = beginnings().swap_remove(begin);
                    let faulty = disk.with(when, how);
                    let ledger = evening(&faulty, first);
                    reached &= faulty.ops() >= op;
                    let what = format!("begin {begin}, {how:?} {when:?}");
                    check(
                        &ledger,
                        &numbers(&reopened(&disk.with(When::Never, how)).entries),
                        &what,
                    );
                    let (disk, first) = beginnings().swap_remove(begin);
                    let ledger = evening(&disk.with(when, how), first);
                    for seed in 0..POWER_CUTS {
                        let cut = disk.after_power_cut(seed);
                        let found = numbers(&reopened(&cut).entries);
                        check(&ledger, &found, &format!("{what}, power cut {seed}"));
                        assert_eq!(numbers(&reopened(&cut).entries), found, "opened twice");
                        assert_eq!(numbers(&reopened(&cut.after_power_cut(0)).entries), found);
                    }
                }
                if !reached {
                    assert!(op > 5, "the run must have been long enough to fail in");
                    break;
                }
            }
        }
    }
}

#[test]
fn a_power_cut_during_recovery_itself_loses_nothing_saved() {
    for (disk, first) in beginnings() {
        let ledger = evening(&disk, first);
        let number = first + 5;
        // A mark that was not synced, so that there is something to recover.
        let mut file = disk.open_append(&path()).unwrap();
        let line = "{\"seq\":99,\"wall_ms\":1,\"mono_ms\":1,\"boot\":\"b\",\"event\":\"torn\",\"prev\":\"00\"\n";
        disk.append(&mut file, line.as_bytes()).unwrap();
        for seed in 0..30 {
            for op in 1..15 {
                let cut = disk.after_power_cut(seed);
                drop(open(&cut.with(When::From(op), How::Error)));
                for second in 0..5 {
                    let again = cut.after_power_cut(second);
                    let (mut journal, got) = open(&again).unwrap();
                    let found = numbers(&got.entries);
                    check(&ledger, &found, &format!("cut {seed}, op {op}, cut {second}"));
                    journal.append(&stamp(number), &mark(number)).unwrap();
                    let end = numbers(&reopened(&again.after_power_cut(0)).entries);
                    assert_eq!(end, [&found[..], &[number]].concat());
                }
            }
        }
    }
}

// ---- repair ----

fn damaged_at(disk: &FaultyDisk, line: usize) -> Vec<u8> {
    let mut bytes = disk.contents(&path()).unwrap();
    let start = bytes.iter().enumerate().filter(|(_, b)| **b == b'\n').nth(line - 2).unwrap().0 + 1;
    bytes[start + 50] ^= 0x10;
    bytes
}

#[test]
fn repair_saves_every_whole_line_keeps_the_damaged_file_and_says_what_is_gone() {
    let disk = cooked(5);
    let bad = damaged_at(&disk, 4);
    disk.put(&path(), &bad);
    let done = repair(&disk, &path(), Some(&who()), 0).unwrap();
    assert_eq!((done.saved, done.lost.len(), done.lost[0].line), (4, 1, 4));
    assert_eq!(done.missing, [3]);
    assert_eq!(disk.contents(done.damaged.as_deref().unwrap()).unwrap(), bad);
    let said = done.to_string();
    assert!(said.starts_with("4 events saved, 1 lines lost\n  line 4 (byte "), "{said}");
    assert!(said.ends_with("kept as evenings/supper.journal.damaged"), "{said}");
    let (mut journal, got) = open(&disk).unwrap();
    assert_eq!(numbers(&got.entries), [1, 2, 4, 5]);
    assert_eq!(got.entries[2].at, stamp(4));
    assert_eq!(journal.append(&stamp(6), &mark(6)).unwrap(), 5);
    assert_eq!(repair(&disk, &path(), None, 0).unwrap().damaged, None, "nothing more to repair");
}

#[test]
fn repair_saves_two_lines_that_ran_into_one() {
    let disk = cooked(5);
    let mut bytes = disk.contents(&path()).unwrap();
    let newline = bytes.iter().enumerate().filter(|(_, b)| **b == b'\n').nth(2).unwrap().0;
    bytes[newline] ^= 0x20;
    disk.put(&path(), &bytes);
    assert!(matches!(open(&disk), Err(JournalError::Damaged { line: 3, .. })));
    let done = repair(&disk, &path(), None, 0).unwrap();
    assert_eq!((done.saved, done.lost.len()), (5, 0));
    assert_eq!(numbers(&reopened(&disk).entries), [1, 2, 3, 4, 5]);
}

#[test]
fn repair_lets_an_undo_name_the_mark_that_it_took_back() {
    use crate::run::Event;
    let served = |dish: &str| Event::Served { dish: dish.to_owned() };
    // 2 is damaged: 4 took back 3, which becomes 2; 5 took back the lost 2; 6 took back that undo; 7 took
    // back 4, which becomes 3.
    let events = [
        served("soup"),
        served("dip"),
        served("pie"),
        Event::Undone { seq: 3 },
        Event::Undone { seq: 2 },
        Event::Undone { seq: 5 },
        Event::Undone { seq: 4 },
    ];
    let disk = FaultyDisk::new();
    let (mut journal, _) =
        Journal::<Event, FaultyDisk>::open(disk.clone(), &path(), &who(), 0).unwrap();
    for (event, n) in events.iter().zip(1..) {
        assert_eq!(journal.append(&stamp(n), event).unwrap(), n as u64);
    }
    drop(journal);
    let bad = damaged_at(&disk, 3);
    disk.put(&path(), &bad);
    let done = repair(&disk, &path(), Some(&who()), 0).unwrap();
    assert_eq!((done.saved, &done.undos_lost[..]), (4, &[5, 6][..]));
    assert!(done.to_string().contains("left out, because what was undone is lost: 5-6"), "{done}");
    let (_, got) = Journal::<Event, FaultyDisk>::open(disk, &path(), &who(), 0).unwrap();
    let saved: Vec<Event> = got.entries.into_iter().map(|e| e.event).collect();
    let expect =
        vec![served("soup"), served("pie"), Event::Undone { seq: 2 }, Event::Undone { seq: 3 }];
    assert_eq!(saved, expect);
}

#[test]
fn repair_takes_a_line_that_is_there_twice_once() {
    let disk = cooked(3);
    let mut bytes = disk.contents(&path()).unwrap();
    let last = bytes[..bytes.len() - 1].iter().rposition(|b| *b == b'\n').unwrap() + 1;
    bytes.extend_from_within(last..);
    disk.put(&path(), &bytes);
    let done = repair(&disk, &path(), None, 0).unwrap();
    assert_eq!((done.saved, done.twice), (3, 1));
}

#[test]
fn repair_without_a_first_line_must_be_told_whose_it_is() {
    let disk = cooked(3);
    let mut bytes = disk.contents(&path()).unwrap();
    bytes[50] ^= 1;
    disk.put(&path(), &bytes);
    assert!(matches!(repair(&disk, &path(), None, 0), Err(JournalError::Damaged { line: 1, .. })));
    let done = repair(&disk, &path(), Some(&who()), 5).unwrap();
    assert_eq!((done.saved, done.lost[0].line), (3, 1));
    assert_eq!(numbers(&reopened(&disk).entries), [1, 2, 3]);
}

#[test]
fn a_power_cut_during_repair_leaves_the_damaged_journal_or_the_repaired_one() {
    let whole = cooked(5);
    let bad = damaged_at(&whole, 3);
    for op in 1..20 {
        for seed in 0..10 {
            let disk = FaultyDisk::new();
            disk.put(&path(), &bad);
            drop(repair(&disk.with(When::From(op), How::Error), &path(), None, 0));
            let cut = disk.after_power_cut(seed);
            let now = cut.contents(&path()).unwrap();
            if now != bad {
                assert_eq!(
                    cut.contents(Path::new("evenings/supper.journal.damaged")).unwrap(),
                    bad
                );
            }
            repair(&cut, &path(), None, 0).unwrap();
            assert_eq!(numbers(&reopened(&cut).entries), [1, 3, 4, 5]);
        }
    }
}
