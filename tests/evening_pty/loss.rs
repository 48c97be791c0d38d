//! Killed at any moment, the evening goes on where it was, and nothing that the screen had shown
//! as done is lost.

use std::time::Duration;

use potwatch::run::Event;

use super::faulty_disk::Dice;
use super::small_party::{SmallParty, done, started};
use super::{cooking, is_left};

#[test]
fn killed_again_and_again_it_goes_on_and_says_so() {
    let party = SmallParty::first_due_in(-2);
    party.begin(3, &[]);
    let mut before: Vec<Event> = Vec::new();
    // Right after the mark shows, and at times when a plan is on its way into the journal.
    for pause_ms in [0, 3, 15, 60, 250, 700] {
        let mut seat = cooking(&party);
        match before.len() {
            0 => {}
            1 => seat.wait_text("Going on where you were: 1 mark, the last at 15:"),
            n => seat.wait_text(&format!("Going on where you were: {n} marks, the last at 15:")),
        }
        let shown = format!("taken: soup at {}", 60 + before.len());
        for key in ["t", "s", &(60 + before.len()).to_string(), "\r"] {
            seat.press(key);
        }
        seat.wait_text(&shown);
        let marks = party.by_the_cook();
        assert_eq!(marks.len(), before.len() + 1, "what shows is on the disk");
        std::thread::sleep(Duration::from_millis(pause_ms));
        seat.kill();
        let after = party.by_the_cook();
        assert_eq!(after, marks, "what was on the disk is there after the kill");
        assert!(after.starts_with(&before), "nothing before it changed");
        before = after;
    }
}

/// The program is killed while keys are still on their way: each mark is there whole or not at all.
#[test]
fn killed_in_the_middle_of_marks_it_keeps_a_whole_number_of_them() {
    let party = SmallParty::first_due_in(5);
    party.begin(1, &[]);
    let mut had = 0;
    for pause_ms in [1, 4, 9, 17] {
        let mut seat = cooking(&party);
        for celsius in ["61", "62", "63", "64", "65", "66"] {
            seat.press(&format!("ts{celsius}\r"));
        }
        std::thread::sleep(Duration::from_millis(pause_ms));
        let shown = seat.row("taken: soup at ");
        seat.kill();
        let marks = party.by_the_cook();
        if let Some(shown) = shown {
            let told = marks[had..].iter().any(|e| {
                matches!(e, Event::Temperature { celsius, .. }
                    if shown.contains(&format!("at {celsius}")))
            });
            assert!(told, "{shown} is not in {marks:?}");
        }
        had = marks.len();
    }
}

#[test]
fn a_mark_that_the_power_cut_in_two_is_set_aside_and_told() {
    let party = SmallParty::first_due_in(-15);
    party.begin(20, &[(14, started("soup", "chop", "counter")), (5, done("soup", "chop"))]);
    let journal = party.journal();
    let whole = std::fs::read(&journal).unwrap();
    std::fs::write(&journal, &whole[..whole.len() - 20]).unwrap();
    let mut seat = cooking(&party);
    seat.wait_text("Going on where you were: 1 mark,");
    seat.wait_text("A mark that was not finished");
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
    seat.wait_for("the screen as it was", is_left);
    let torn = std::fs::read_dir(journal.parent().unwrap()).unwrap();
    let mut torn =
        torn.filter(|e| e.as_ref().unwrap().file_name().to_string_lossy().contains(".torn-"));
    assert!(torn.next().is_some(), "what was cut off is kept");
}

/// Killed at random moments, five hundred times: `KILLS=500 cargo test --release --test evening_pty five_hundred --
/// --ignored --nocapture`. What the screen had shown as taken is in the journal each time, in one order.
#[test]
#[ignore = "minutes long"]
fn killed_five_hundred_times() {
    let kills: u32 = std::env::var("KILLS").ok().and_then(|n| n.parse().ok()).unwrap_or(500);
    let party = SmallParty::first_due_in(5);
    party.begin(1, &[]);
    let mut dice = Dice(u64::from(kills));
    let (mut had, mut shown_of) = (0, 0);
    for round in 0..kills {
        let mut seat = super::at(&party, 30, 150, &[]);
        if dice.below(4) > 0 {
            seat.wait_for("the evening", |s| s.contents().contains("Small supper"));
        }
        let first = 50 + dice.below(20);
        for celsius in first..first + dice.below(8) {
            seat.press(&format!("ts{celsius}\r"));
        }
        std::thread::sleep(Duration::from_micros(dice.below(400_000)));
        let shown = seat.row("taken: soup at ");
        seat.kill();
        let marks = party.by_the_cook();
        assert!(marks.len() >= had, "round {round}: {had} marks were there, {} are", marks.len());
        if let Some(shown) = shown {
            shown_of += 1;
            let is_it = |e: &Event| matches!(e, Event::Temperature { celsius, .. } if shown.contains(&format!("at {celsius}")));
            assert!(marks[had..].iter().any(is_it), "round {round}: {shown} is not in {marks:?}");
        }
        had = marks.len();
    }
    println!("{kills} kills, {had} marks kept, {shown_of} kills with a mark on the screen");
    assert!(shown_of * 4 > kills, "the kills must come while marks are made");
}
