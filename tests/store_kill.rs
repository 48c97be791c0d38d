//! A real program, real files, killed at any moment: every mark that it called saved is there afterwards.
//!
//! This test file starts itself again as the program that is killed.

#![cfg(unix)]

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use potwatch::store::journal::read;
use potwatch::store::{
    BootId, Identity, Journal, Lock, LockError, RealDisk, Recovered, Stamp, boot_id,
};

const JOURNAL_VAR: &str = "POTWATCH_TEST_JOURNAL";
const ROUNDS: u64 = 50;

fn who() -> Identity {
    Identity { party: "supper".into(), fingerprint: "0123456789abcdef".into() }
}

/// Not a test by itself: the cook's program, marking as fast as the disk takes it. It prints the number of each
/// mark once that is saved.
#[test]
fn a_program_that_marks_without_end() {
    let Some(path) = std::env::var_os(JOURNAL_VAR).map(PathBuf::from) else { return };
    let _lock = Lock::take(&path).unwrap();
    let (mut journal, got): (_, Recovered<u64>) =
        Journal::open(RealDisk, &path, &who(), 0).unwrap();
    let boot = boot_id(&RealDisk, 0);
    for number in got.entries.len() as u64 + 1.. {
        let at = Stamp { wall_ms: 0, mono_ms: 0, boot: boot.clone() };
        journal.append(&at, &number).unwrap();
        println!("saved {number}");
    }
}

/// Starts the program, kills it after a while, and returns the number of the last mark that it called saved.
fn mark_until_killed(journal: &Path, after: Duration) -> Option<u64> {
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "a_program_that_marks_without_end", "--nocapture"])
        .env(JOURNAL_VAR, journal)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let out = BufReader::new(child.stdout.take().unwrap());
    let reader = std::thread::spawn(move || {
        let lines = out.lines().map_while(Result::ok);
        lines.filter_map(|l| l.strip_prefix("saved ")?.parse().ok()).last()
    });
    std::thread::sleep(after);
    child.kill().unwrap();
    child.wait().unwrap();
    reader.join().unwrap()
}

#[test]
fn killed_again_and_again_nothing_saved_is_lost() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("supper.journal");
    let mut saved = 0;
    let mut rounds_that_saved = 0;
    for round in 0..ROUNDS {
        // From before it can have opened the file to well into marking.
        let after = Duration::from_millis(round * 7 % 40);
        if let Some(last) = mark_until_killed(&path, after) {
            assert!(last > saved, "round {round}: numbers go on where they were");
            saved = last;
            rounds_that_saved += 1;
        }
        match read::<u64, _>(&RealDisk, &path) {
            Ok(got) => {
                let events: Vec<u64> = got.entries.iter().map(|e| e.event).collect();
                assert!(events.len() as u64 >= saved, "round {round}: {} of {saved}", events.len());
                assert!(events.iter().zip(1..).all(|(e, n)| *e == n), "round {round}");
                saved = events.len() as u64;
            }
            Err(e) => assert!(saved == 0, "round {round}: {e}"),
        }
    }
    assert!(rounds_that_saved > 5, "the program must have got to marking: {rounds_that_saved}");
}

#[test]
fn a_second_start_is_told_and_a_killed_first_leaves_no_lock() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("supper.journal");
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "a_program_that_marks_without_end", "--nocapture"])
        .env(JOURNAL_VAR, &path)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    // The journal is begun under the lock; to try the lock earlier could take it from the other program.
    let begun = Instant::now();
    while !path.exists() {
        assert!(begun.elapsed() < Duration::from_secs(20), "the other program never began");
        std::thread::sleep(Duration::from_millis(2));
    }
    let refused = Lock::take(&path);
    assert!(matches!(refused, Err(LockError::AlreadyOpen { .. })));
    child.kill().unwrap();
    child.wait().unwrap();
    Lock::take(&path).expect("a killed program leaves no lock");
}

#[test]
fn the_boot_id_is_the_same_until_the_computer_starts_again() {
    let id = boot_id(&RealDisk, 1);
    assert_ne!(id, BootId::new(""));
    if Path::new("/proc/sys/kernel/random/boot_id").exists() {
        assert_eq!(id, boot_id(&RealDisk, 2));
        assert_eq!(id.as_str().len(), 36, "a UUID");
    }
}
