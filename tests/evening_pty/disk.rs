//! A disk that takes no more: nothing is shown as marked that is not, and the screen says so.

#![cfg(target_os = "linux")]

use rustix::process::{Pid, Resource, Rlimit, prlimit};

use super::cooking;
use super::seat::Seat;
use super::small_party::SmallParty;

/// Files of the program may grow to so many bytes: a disk that is full, for one process alone.
fn room_for_files(seat: &Seat, bytes: Option<u64>) {
    let pid = Pid::from_raw(seat.pid().parse().unwrap());
    let old = prlimit(pid, Resource::Fsize, Rlimit { current: bytes, maximum: None }).unwrap();
    assert_eq!(old.maximum, None, "the tests themselves run without a limit");
}

#[test]
fn a_disk_that_fills_up_in_the_evening_is_told_and_once_there_is_room_it_goes_on() {
    let party = SmallParty::first_due_in(5);
    party.begin(1, &[]);
    let mut seat = cooking(&party);
    seat.press("ts60\r");
    seat.wait_text("taken: soup at 60");
    let had = party.by_the_cook();
    room_for_files(&seat, Some(0));
    seat.press("ts61\r");
    seat.wait_text("NOT SAVED");
    assert!(!seat.text().contains("taken: soup at 61"), "no mark is shown that is not one");
    assert_eq!(party.by_the_cook(), had, "the journal is as it was");
    // Without room the screen stays alive, and what is pressed is refused again.
    seat.press("4");
    seat.wait_text("NOT SAVED");
    seat.press("1");
    room_for_files(&seat, None);
    seat.press("ts62\r");
    seat.wait_text("taken: soup at 62");
    seat.wait_gone("NOT SAVED");
    assert_eq!(party.by_the_cook().len(), had.len() + 1);
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
}
