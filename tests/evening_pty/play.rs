//! A real evening, key by key: what is pressed shows on the screen and stands in the journal.

use potwatch::run::Event;

use super::small_party::{SmallParty, done, started, step};
use super::{cooking, demo, is_left};

#[test]
fn the_demo_says_that_it_is_one_and_runs_faster_and_not_at_all() {
    let (mut seat, home) = demo(24, 80, &[]);
    seat.wait_text("DEMO x1");
    seat.press(".");
    seat.wait_text("DEMO x2");
    seat.press("..");
    seat.wait_text("DEMO x10");
    seat.press(",");
    seat.wait_text("DEMO x5");
    seat.press("f");
    seat.wait_text("DEMO stopped");
    seat.wait_still(std::time::Duration::from_millis(2500));
    let stands = seat.text();
    std::thread::sleep(std::time::Duration::from_millis(1500));
    assert_eq!(seat.text(), stands, "nothing moves while it is stopped");
    seat.press("f");
    seat.wait_text("DEMO x5");
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
    seat.wait_for("the screen as it was", is_left);
    assert!(!home.path().join("state").exists(), "the demo keeps nothing");
}

#[test]
fn a_mark_is_on_the_disk_when_the_screen_shows_it_and_undo_takes_it_back() {
    let party = SmallParty::first_due_in(0);
    party.begin(1, &[]);
    let mut seat = cooking(&party);
    seat.wait_text("chop");
    seat.press_until(" ", "the mark", |s| s.contents().contains("started: soup (chop)"));
    let marked = party.by_the_cook();
    assert!(
        matches!(&marked[..], [Event::Started { id, .. }] if *id == step("soup", "chop")),
        "{marked:?}"
    );
    seat.press("u");
    seat.wait_text("taken back");
    let marked = party.by_the_cook();
    assert!(matches!(&marked[..], [_, Event::Undone { .. }]), "{marked:?}");
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
    seat.wait_for("the screen as it was", is_left);
}

#[test]
fn a_start_that_was_missed_is_noticed_moved_and_told_with_its_reason() {
    let party = SmallParty::first_due_in(-8);
    party.begin(20, &[]);
    let seat = cooking(&party);
    seat.wait_text("because the soup (chop) should have started 8 min ago");
    // What moved stands in front of the reason, or where both are long above it.
    assert!(seat.text().contains(" min later ("), "{}", seat.text());
    let plans = party.marks().into_iter().filter_map(|m| match m.event {
        Event::PlanAdopted { plan, why, .. } => Some((plan, why)),
        _ => None,
    });
    let plans: Vec<_> = plans.collect();
    let (first, (last, why)) = (&plans[0].0, plans.last().unwrap());
    assert!(why.contains("should have started"), "{why}");
    let begins = |p: &potwatch::plan::Plan| p.blocks.iter().map(|b| b.start).min().unwrap();
    assert!(begins(last) >= begins(first) + 8, "nothing starts in the past");
}

#[test]
fn an_alarm_shows_and_rings_until_it_is_seen() {
    let party = soup_left_on_the_hob();
    let mut seat = cooking(&party);
    seat.wait_text("SOUP overdone");
    seat.wait_bells(1);
    seat.press_until("k", "the alarm to be seen", |s| s.contents().contains("(seen)"));
    let seen = party.by_the_cook();
    let is_it = |e: &Event| matches!(e, Event::AlarmAcknowledged { alarm } if alarm.starts_with("overdone:soup:simmer"));
    assert!(seen.iter().any(is_it), "{seen:?}");
}

/// The soup should have come off the hob a quarter of an hour ago.
pub fn soup_left_on_the_hob() -> SmallParty {
    let party = SmallParty::first_due_in(-60);
    let chop = [(58, started("soup", "chop", "counter")), (48, done("soup", "chop"))];
    let simmer = (46, started("soup", "simmer", "hob"));
    party.begin(60, &[chop[0].clone(), chop[1].clone(), simmer]);
    party
}

#[test]
fn everything_else_that_a_cook_says_is_taken_and_written_down() {
    let party = soup_left_on_the_hob();
    let mut seat = cooking(&party);
    seat.wait_text("SOUP overdone");
    let says: [(&str, &str, &str); 8] = [
        ("m5", "5 min more", "needs_more"),
        ("ts71\r", "taken: soup at 71", "temperature"),
        ("hs1hs1", "waits on the hob: soup", "held_at"),
        ("v6", "moved: mains to", "service_moved"),
        ("b3", "out of use", "station_down"),
        ("b3", "in use again", "station_up"),
        ("xg", "dropped: salad", "dish_dropped"),
        ("xg", "back on: salad", "dish_back"),
    ];
    for (keys, echo, _) in says {
        for key in keys.chars() {
            seat.press(&key.to_string());
            std::thread::sleep(std::time::Duration::from_millis(20));
        }
        seat.wait_text(echo);
    }
    let names: Vec<String> = party.by_the_cook().iter().map(name_of).collect();
    for (keys, _, name) in says {
        assert!(names.iter().any(|n| n == name), "{keys}: {name} is not in {names:?}");
    }
}

fn name_of(event: &Event) -> String {
    serde_json::to_value(event).unwrap()["what"].as_str().unwrap().to_owned()
}

#[test]
fn what_the_cook_changes_moves_the_plan_and_the_screen_says_why() {
    let party = SmallParty::first_due_in(3);
    party.begin(1, &[]);
    let mut seat = cooking(&party);
    let changes = [
        ("v3", "because mains moved to"),
        ("b3", "because the oven is out of use"),
        ("xg", "because you dropped the salad"),
    ];
    for (keys, why) in changes {
        seat.press(keys);
        seat.wait_text(why);
    }
}

#[test]
fn every_page_has_its_help_and_every_action_is_in_the_list() {
    let (mut seat, _home) = demo(36, 120, &[]);
    for (page, title) in
        [("1", "Chart"), ("2", "Big"), ("3", "Holding"), ("4", "Plan"), ("5", "Alarms")]
    {
        seat.press(page);
        seat.press("?");
        seat.wait_text("Esc");
        let help = seat.text();
        assert!(help.contains("help") || help.contains("Help"), "{title}:\n{help}");
        seat.press("\x1b");
        std::thread::sleep(std::time::Duration::from_millis(100));
    }
    seat.press("a");
    seat.press("servings");
    seat.wait_text("Makes a dish for another number of people.");
    seat.press("\r");
    seat.wait_text("Make it for how many?");
}
