//! The same evening on several screens: each follows the others, marks from all of them are kept in one order, one
//! plans, and when that one dies another does.

use std::time::{Duration, Instant};

use potwatch::run::Event;

use super::cooking;
use super::small_party::{SmallParty, done, started};

/// Every screen follows within a second; the time of a loaded machine comes on top.
const FOLLOWS_WITHIN: Duration = Duration::from_secs(3);

fn temperature(seat: &mut super::Seat, celsius: u32) {
    for key in ["t", "s", &celsius.to_string(), "\r"] {
        seat.press(key);
    }
}

#[test]
fn every_screen_shows_what_any_of_them_marks() {
    let party = SmallParty::first_due_in(-15);
    party.begin(20, &[(14, started("soup", "chop", "counter")), (5, done("soup", "chop"))]);
    let mut first = cooking(&party);
    let mut second = cooking(&party);
    second.wait_text("This evening is open on another screen");
    second.wait_text("2nd screen");
    assert!(!first.text().contains("2nd screen"), "one leads");

    temperature(&mut second, 63);
    second.wait_text("taken: soup at 63");
    let marked = Instant::now();
    first.wait_text("on another screen: taken: soup at 63");
    assert!(marked.elapsed() < FOLLOWS_WITHIN, "{:?}", marked.elapsed());
    temperature(&mut first, 64);
    second.wait_text("on another screen: taken: soup at 64");
    // What one marked the other takes back, once it was there to be seen.
    std::thread::sleep(Duration::from_millis(600));
    second.press("u");
    second.wait_text("taken back");
    first.wait_text("on another screen: taken back");
    for mut seat in [second, first] {
        seat.press("q");
        assert_eq!(seat.exit_code(), 0);
    }
    let marks = party.marks();
    assert!(marks.iter().zip(1..).all(|(m, n)| m.seq == n), "one order");
    assert!(matches!(party.by_the_cook().last(), Some(Event::Undone { .. })));
}

#[test]
fn a_screen_that_follows_says_that_there_is_no_plan() {
    let party = SmallParty::first_due_in(20);
    party.begin(3, &[]);
    let first = cooking(&party);
    let mut second = cooking(&party);
    second.wait_text("2nd screen");
    // The soup has nowhere else to simmer.
    second.press("b");
    second.wait_text("Hob: out of order");
    second.press("2");
    first.wait_text("No plan meets all of it");
    second.wait_text("The other screen has no plan yet");
    second.press("u");
    second.wait_gone("The other screen has no plan yet");
    for mut seat in [second, first] {
        seat.press("q");
        assert_eq!(seat.exit_code(), 0);
    }
}

#[test]
fn when_the_screen_that_plans_is_killed_another_plans_by_itself() {
    let party = SmallParty::first_due_in(-2);
    party.begin(3, &[]);
    let first = cooking(&party);
    let mut second = cooking(&party);
    second.wait_text("2nd screen");
    first.kill();
    second.wait_text("The screen that planned has gone: this one plans from now on.");
    second.wait_gone("2nd screen");
    // What asks for another plan gets one: from this screen now.
    let plans = |party: &SmallParty| {
        party.marks().iter().filter(|m| matches!(m.event, Event::PlanAdopted { .. })).count()
    };
    let before = plans(&party);
    for key in ["v", "1"] {
        second.press(key);
    }
    second.press_until("3", "a service that is moved", |s| s.contents().contains("moved"));
    let begun = Instant::now();
    while plans(&party) == before {
        assert!(begun.elapsed() < super::seat::PATIENCE, "no plan:\n{}", second.text());
        std::thread::sleep(Duration::from_millis(20));
    }
    second.press("q");
    assert_eq!(second.exit_code(), 0);
}

/// Two screens mark at once, as fast as keys come: nothing that either shows as marked is lost.
#[test]
fn marks_that_come_at_once_are_all_kept() {
    let party = SmallParty::first_due_in(5);
    party.begin(1, &[]);
    let (mut first, mut second) = (cooking(&party), cooking(&party));
    second.wait_text("2nd screen");
    for n in 0..8 {
        first.press(&format!("ts{}\r", 50 + n));
        second.press(&format!("ts{}\r", 70 + n));
    }
    first.wait_text("soup at 57");
    second.wait_text("soup at 77");
    let taken = |marks: Vec<Event>| -> Vec<f64> {
        let celsius = |e| match e {
            Event::Temperature { celsius, .. } => Some(celsius),
            _ => None,
        };
        marks.into_iter().filter_map(celsius).collect()
    };
    first.kill();
    second.kill();
    let taken = taken(party.by_the_cook());
    for n in 0..8 {
        for celsius in [50.0 + f64::from(n), 70.0 + f64::from(n)] {
            let times = taken.iter().filter(|t| **t == celsius).count();
            assert_eq!(times, 1, "{celsius} in {taken:?}");
        }
    }
}

/// The plain telling follows what is marked on a screen, a line at a time, and draws nothing.
#[test]
fn an_evening_is_told_in_plain_lines() {
    let party = SmallParty::first_due_in(-2);
    party.begin(3, &[]);
    let mut first = cooking(&party);
    let env = party.env();
    let env: Vec<(&str, &str)> = env.iter().map(|(k, v)| (*k, v.as_str())).collect();
    let file = party.file.to_str().unwrap();
    let told = super::Seat::sized(40, 200, &[super::POTWATCH, "tell", file], &env);
    told.wait_text("Small supper");
    told.wait_text(" now: ");
    temperature(&mut first, 63);
    told.wait_text("taken: soup at 63");
    assert!(!told.see(vt100::Screen::alternate_screen), "no full screen");
    assert!(told.row("taken: soup at 63").unwrap().starts_with("15:"), "{}", told.text());
    first.press("q");
    assert_eq!(first.exit_code(), 0);
    // `--once` ends by itself.
    let mut once = super::Seat::sized(40, 200, &[super::POTWATCH, "tell", file, "--once"], &env);
    assert_eq!(once.ended(), 0);
    assert!(once.text().contains("Mains at "), "{}", once.text());
}
