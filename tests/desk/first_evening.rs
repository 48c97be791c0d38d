//! The first evening: from an empty machine to a party of six dishes on the
//! lane chart, by keys alone.

use std::process::Command;
use std::time::{Duration, Instant};

use serde_json::Value;

use crate::seat::Seat;

const DISHES: [&str; 6] = ["apple and", "oat rolls", "pasta bake", "green beans", "beet", "berry"];

#[test]
fn six_dishes_from_an_empty_machine() {
    let home = tempfile::tempdir().unwrap();
    let home = home.path().to_str().unwrap();
    let begun = Instant::now();
    let program = env!("CARGO_BIN_EXE_potwatch");
    // With no file it opens the demo; from there one key leads to the desk.
    let mut seat = Seat::sized(36, 120, &[program], &[("POTWATCH_HOME", home)]);
    seat.wait_text("DEMO");
    seat.press_until("n", "the desk", |s| s.contents().contains("+ a new party"));
    seat.press("\r");
    seat.wait_text("Guidance");
    seat.press("Quince lunch");
    seat.wait_text("Party: Quince lunch");
    // The day, then past the two services to the dishes.
    seat.press("\x1b[Btomorrow");
    seat.press("\x1b[B\x1b[B\x1b[B\x1b[B");
    for dish in DISHES {
        seat.press("\r");
        seat.wait_text("find:");
        seat.press(dish);
        seat.wait_text(&format!("find: {dish}"));
        seat.press("\r");
        seat.wait_gone("find:");
    }
    seat.wait_text("add a dish");
    for dish in ["honey rolls", "pasta bake", "yoghurt pots"] {
        assert!(
            seat.text().to_lowercase().contains(&dish.to_lowercase()),
            "{dish}:\n{}",
            seat.text()
        );
    }
    assert!(!seat.text().contains("to put right"), "{}", seat.text());
    seat.press("\x13");
    seat.wait_text("Open its evening");
    assert!(std::path::Path::new(home).join("data/parties/quince-lunch.json").is_file());
    // Its evening: the plan, lane by lane.
    seat.press("\r");
    seat.wait_for("the chart", |s| {
        let text = s.contents();
        text.contains("Quince lunch") && text.contains("oven") && !text.contains("Open its")
    });
    seat.wait_still(Duration::from_millis(400));
    assert!(begun.elapsed() < Duration::from_secs(600));
    seat.press_until("4", "the plan", |s| s.contents().contains("Plan"));
    seat.press_until("q", "the end", |s| {
        s.contents().is_empty() || !s.contents().contains("Quince")
    });
    // It fits: all of it is on the table when it should be.
    let mut plan = Command::new(program);
    plan.args(["plan", "quince-lunch", "--rounds", "20", "--json"]).env("POTWATCH_HOME", home);
    let plan: Value = serde_json::from_slice(&plan.output().unwrap().stdout).unwrap();
    let dishes = plan["services"].as_array().unwrap().iter().flat_map(|s| {
        let dishes = s["dishes"].as_array().unwrap().iter();
        dishes.map(|d| (d["dish"].clone(), s["due_minute"].clone(), d["served_minute"].clone()))
    });
    let dishes: Vec<_> = dishes.collect();
    assert_eq!(dishes.len(), DISHES.len());
    assert!(dishes.iter().all(|(_, due, served)| due == served), "{dishes:?}");
}
