//! A service that will be missed: ways out are offered, one is taken, and it is still
//! taken after the program was killed.

use potwatch::run::Event;

use super::small_party::SmallParty;
use super::{cooking, is_left};

/// The soup takes 40 minutes and was to begin half an hour ago: mains will be late.
fn late_by_half_an_hour() -> SmallParty {
    let party = SmallParty::first_due_in(-30);
    party.begin(31, &[]);
    party
}

fn taken(party: &SmallParty) -> Vec<Event> {
    let marks = party.by_the_cook().into_iter();
    marks.filter(|e| matches!(e, Event::WayTaken { .. })).collect()
}

#[test]
fn a_way_out_is_offered_taken_with_one_key_and_survives_a_kill() {
    let party = late_by_half_an_hour();
    let mut seat = cooking(&party);
    seat.wait_text("MAINS about ");
    seat.wait_text("7 ways out");
    seat.press("7");
    seat.wait_text("These do not go together:");
    seat.wait_text("Worked out at 1");
    let first =
        seat.row(" 1  ").expect("a way out").trim().trim_start_matches('1').trim().to_owned();
    let took = format!("taken: {first}");
    seat.press_until("1", "the way out to be taken", |s| s.contents().contains(&took));
    seat.wait_gone("MAINS about ");
    let before = taken(&party);
    assert!(
        matches!(&before[..], [Event::WayTaken { words, events }]
            if *words == first && !events.is_empty()),
        "{first}: {before:?}"
    );
    seat.kill();
    assert_eq!(taken(&party), before, "it was on the disk when the screen showed it");
    let mut seat = cooking(&party);
    seat.wait_text("Going on where you were");
    assert!(!seat.text().contains("MAINS about "), "{}", seat.text());
    seat.press_until("u", "the way out to be taken back", |s| s.contents().contains("taken back"));
    seat.wait_text("MAINS about ");
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
    seat.wait_for("the screen as it was", is_left);
}

#[test]
fn a_change_that_was_typed_is_tried_and_taken() {
    let party = late_by_half_an_hour();
    let mut seat = cooking(&party);
    seat.press("8");
    seat.wait_text("As it is");
    seat.press("y");
    seat.wait_text("service NAME 18:30");
    seat.press("drop soop\r");
    seat.wait_text("There is no dish \"soop\". Did you mean \"soup\"?");
    seat.press("\u{7f}\u{7f}\u{7f}\u{7f}soup\r");
    seat.wait_text("Leave out Bean soup: ");
    seat.wait_text("Enter takes it.");
    // Held down, the key that tried it would not take it too.
    let took = "taken: Leave out Bean soup";
    seat.press_until("\r", "the change to be taken", |s| s.contents().contains(took));
    let drops = |e: &Event| *e == Event::DishDropped { dish: "soup".into() };
    assert!(
        matches!(&taken(&party)[..], [Event::WayTaken { events, .. }] if events.iter().all(drops)),
    );
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
}
