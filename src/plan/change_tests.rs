//! What is said of moves.

use super::change::{MOST_LETTERS, describe};
use super::compose::tests::supper;
use super::{Plan, StepKey};

fn moved(change: impl FnOnce(&mut Plan)) -> String {
    let (evening, old) = supper();
    let mut new = old.clone();
    change(&mut new);
    let change = describe(&evening, &old, &new, "Because the soup runs 8 min over.");
    assert_eq!(change.why, "Because the soup runs 8 min over.");
    assert!(change.moved.chars().count() <= MOST_LETTERS, "{}", change.moved);
    change.moved
}

fn shift(plan: &mut Plan, dish: usize, step: usize, minutes: i32) {
    for block in plan.blocks.iter_mut().filter(|b| (b.key.dish, b.key.step) == (dish, step)) {
        block.start += minutes;
        block.end += minutes;
    }
}

#[test]
fn nothing_moved_is_said_too() {
    assert_eq!(moved(|_| ()), "Everything stays where it was.");
}

#[test]
fn a_late_service_comes_first() {
    let line = moved(|p| {
        shift(p, 0, 2, 10);
        p.services[0].dishes[0].2 += 12;
    });
    assert_eq!(line, "Supper 12 min later (19:12); Roast rest 10 min later (17:30).");
    let line = moved(|p| {
        p.services[0].due += 15;
        p.services[0].dishes.iter_mut().for_each(|d| d.2 += 15);
    });
    assert_eq!(line, "Supper set to 19:15.");
    // Set later, and its food comes when it came before.
    let line = moved(|p| p.services[0].due += 15);
    assert_eq!(line, "Supper set to 19:15; Supper on the table at 19:00 as before.");
}

#[test]
fn a_step_is_named_once_and_small_moves_only_alone() {
    assert_eq!(moved(|p| shift(p, 1, 1, -5)), "Chips fry 5 min earlier (18:25).");
    assert_eq!(moved(|p| shift(p, 1, 1, 1)), "Chips fry 1 min later (18:31).");
    let line = moved(|p| {
        shift(p, 1, 1, 1);
        shift(p, 2, 1, 8);
    });
    assert_eq!(line, "Yoghurt dip dress 8 min later (18:28).");
}

#[test]
fn another_place_is_named_with_the_one_before() {
    let line = moved(|p| {
        let key = StepKey { dish: 0, step: 1, load: 0 };
        let roast = p.blocks.iter_mut().find(|b| b.key == key).expect("the roast");
        roast.station = "fryer".into();
    });
    assert_eq!(line, "Roast at the air fryer instead of the oven (16:20).");
    let line = moved(|p| p.holds[0].station = "board".into());
    assert_eq!(line, "Roast to wait at the counter.");
}

#[test]
fn what_does_not_go_on_the_line_is_counted() {
    let line = moved(|p| {
        for (dish, step) in [(0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (2, 0), (2, 1)] {
            shift(p, dish, step, 10);
        }
    });
    assert!(line.ends_with(" more."), "{line}");
    assert!(line.starts_with("Roast season 10 min later (16:10)"), "{line}");
}

#[test]
fn a_dish_that_is_dropped_is_off() {
    let line = moved(|p| {
        p.blocks.retain(|b| b.key.dish != 2);
        p.services[0].dishes.retain(|d| d.0 != 2);
    });
    assert_eq!(line, "Yoghurt dip is off.");
}
