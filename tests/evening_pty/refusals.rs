//! What the program says instead of opening, and with which exit code.

use super::seat::Seat;
use super::small_party::{SmallParty, done, started};
use super::{POTWATCH, at, cooking, is_left};

/// Waits for the end and gives the exit code and all that was said.
fn ended(mut seat: Seat) -> (u32, String) {
    let code = seat.ended();
    assert!(seat.see(is_left), "the screen is as it was");
    (code, seat.text().replace('\n', ""))
}

#[test]
fn a_journal_is_not_repaired_while_its_evening_is_open() {
    let party = SmallParty::first_due_in(5);
    let mut first = cooking(&party);
    let pid = first.pid();
    let journal = party.journal();
    let (code, said) =
        ended(Seat::sized(30, 300, &[POTWATCH, "repair", journal.to_str().unwrap()], &[]));
    assert_eq!(code, 6, "{said}");
    assert!(said.contains(&format!("is already open (process {pid})")), "{said}");
    first.press("q");
    assert_eq!(first.exit_code(), 0);
}

#[test]
fn a_damaged_journal_is_refused_repaired_and_gone_on_with() {
    let party = SmallParty::first_due_in(-15);
    party.begin(20, &[(14, started("soup", "chop", "counter")), (5, done("soup", "chop"))]);
    let journal = party.journal();
    let mut bytes = std::fs::read(&journal).unwrap();
    let at_byte = bytes.windows(9).position(|w| w == b"\"started\"").unwrap() + 3;
    bytes[at_byte] ^= 1;
    std::fs::write(&journal, &bytes).unwrap();

    let (code, said) = ended(at(&party, 30, 300, &[]));
    assert_eq!(code, 5, "{said}");
    let remedy = format!("`potwatch repair {}`", journal.display());
    assert!(said.contains("is damaged: line 3") && said.contains(&remedy), "{said}");
    assert_eq!(std::fs::read(&journal).unwrap(), bytes, "nothing was changed");

    let (code, said) =
        ended(Seat::sized(30, 300, &[POTWATCH, "repair", journal.to_str().unwrap()], &[]));
    assert_eq!(code, 0, "{said}");
    assert!(said.contains("2 events saved, 1 lines lost"), "{said}");
    let damaged = said.split("kept as ").nth(1).unwrap().trim();
    assert_eq!(std::fs::read(damaged).unwrap(), bytes, "the damaged one is kept");

    let mut seat = cooking(&party);
    seat.wait_text("Going on where you were: 1 mark,");
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
}

#[test]
fn a_day_that_is_past_names_the_remedy() {
    let party = SmallParty::first_due_in(5);
    let text = std::fs::read_to_string(&party.file).unwrap();
    let day = party.evening.party.day;
    let past = day - chrono::Days::new(2);
    std::fs::write(&party.file, text.replace(&day.to_string(), &past.to_string())).unwrap();
    let (code, said) = ended(at(&party, 24, 200, &[]));
    assert_eq!(code, 3, "{said}");
    assert!(
        said.contains("is past") && said.contains("set \"day\" in the file to today"),
        "{said}"
    );
}

#[test]
fn without_a_full_screen_it_says_why() {
    let party = SmallParty::first_due_in(5);
    let (code, said) = ended(at(&party, 24, 200, &[("TERM", "dumb")]));
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("the full screen cannot open") && said.contains("TERM"), "{said}");

    // Its answers go into a file, so nobody would see the screen.
    let file = party.file.display();
    let line = format!("'{POTWATCH}' '{file}' > /dev/null; echo code $?");
    let (_, said) = ended(Seat::sized(24, 200, &["/bin/sh", "-c", &line], &[]));
    assert!(said.contains("the full screen cannot open") && said.contains("code 1"), "{said}");
}

#[test]
fn a_home_that_cannot_be_written_is_named() {
    let party = SmallParty::first_due_in(5);
    // A file where a folder must be made: refused to every user, the system's own too.
    std::fs::write(party.home(), "not a folder").unwrap();
    let (code, said) = ended(at(&party, 24, 200, &[]));
    assert_eq!(code, 1, "{said}");
    assert!(said.contains(&party.home().display().to_string()), "{said}");
}
