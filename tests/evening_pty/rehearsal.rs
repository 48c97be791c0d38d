//! The evening played ahead in front of itself.

use super::seat::Seat;
use super::small_party::SmallParty;
use super::{POTWATCH, cooking};

#[test]
fn a_rehearsal_runs_in_front_of_the_evening_and_nothing_of_it_is_kept() {
    let party = SmallParty::first_due_in(40);
    let mut seat = cooking(&party);
    seat.press("4");
    seat.press("n");
    seat.wait_text("REHEARSAL x60");
    seat.wait_text("nothing of it is kept");
    seat.press("....");
    seat.wait_text("REHEARSAL x600");
    // Played to its end by the program's cook: the report says what it was.
    seat.wait_text("A rehearsal, ordinary day 1: none of this happened.");
    seat.press("q");
    seat.wait_text("this is the evening itself");
    assert!(!seat.text().contains("REHEARSAL"));
    assert_eq!(party.by_the_cook(), [], "no mark of it reached the journal");
    // Pressed twice at once it would end the rehearsal alone.
    std::thread::sleep(std::time::Duration::from_millis(800));
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
}

#[test]
fn what_is_marked_in_a_rehearsal_is_forgotten() {
    let party = SmallParty::first_due_in(40);
    let mut seat = cooking(&party);
    seat.press("ts3\r");
    seat.wait_text("taken: soup at 3");
    seat.press("4n");
    seat.wait_text("REHEARSAL");
    let before = party.by_the_cook().len();
    seat.press("ts44\r");
    seat.wait_text("taken: soup at 44");
    assert_eq!(party.by_the_cook().len(), before);
    seat.press("q");
    seat.wait_text("this is the evening itself");
}

#[test]
fn a_party_is_rehearsed_by_command() {
    let party = SmallParty::first_due_in(60);
    let env = party.env();
    let env: Vec<(&str, &str)> = env.iter().map(|(k, v)| (*k, v.as_str())).collect();
    let file = party.file.display().to_string();
    let words = [POTWATCH, "rehearse", "--bad", "--seed", "3", file.as_str()];
    let mut seat = Seat::sized(30, 120, &words, &env);
    seat.wait_text("REHEARSAL x60, bad day 3");
    seat.press("....");
    seat.wait_text("A rehearsal, bad day 3: none of this happened.");
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
}

#[test]
fn nobody_rehearses_while_an_alarm_is_unseen() {
    let party = super::play::soup_left_on_the_hob();
    let mut seat = cooking(&party);
    seat.wait_text("SOUP overdone");
    seat.press("4n");
    seat.wait_text("See to the alarm first");
    assert!(!seat.text().contains("REHEARSAL"));
}
