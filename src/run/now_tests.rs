//! The picture of the present moment, checked as (marks, now) -> what is shown.

use super::event::{Event, Mark};
use super::testbed::{adopted, evening, key, marks, ms, on_time, plan, state, summary};
use super::view::{Phase, PromptKind};
use super::{fold, now, view};

fn check(rows: &[(&str, &str)], at: &str, expect: &str) {
    assert_eq!(summary(&view(&state(rows), ms(at))), expect, "at {at}");
}

#[test]
fn before_anything_the_first_start_is_expected() {
    check(
        &[],
        "16:10",
        "now: \n\
         next: 16:20 dip: mix | 16:30 dip into the fridge | 16:40 soup: chop | 16:50 soup: simmer\n\
         runs: \n\
         key: start: dip (mix)",
    );
}

#[test]
fn a_start_that_is_due_comes_first() {
    check(
        &[],
        "16:20:10",
        "now: 16:20 dip: mix\n\
         next: 16:30 dip into the fridge | 16:40 soup: chop | 16:50 soup: simmer | 17:05 pie: fill\n\
         runs: \n\
         key: start: dip (mix)",
    );
}

#[test]
fn what_the_cook_has_hands_on_is_expected_next() {
    check(
        &on_time("16:20"),
        "16:25",
        "now: \n\
         next: 16:30 dip: mix done | 16:30 dip into the fridge | 16:40 soup: chop | 16:50 soup: simmer\n\
         runs: 16:30 dip: mix done\n\
         key: done: dip (mix)",
    );
}

#[test]
fn the_pull_comes_before_the_start_and_the_dial_in_between() {
    let mut rows = on_time("17:42");
    rows.retain(|r| r.1 != "oven 200");
    check(
        &rows,
        "17:49:30",
        "now: 17:49 pull the fries 1 of 2 | 17:42 oven to 200 °C\n\
         next: 17:50 fries into the air fryer 2 of 2 | 18:00 serve starters | 18:00 pie into the oven | 18:40 pie: rest\n\
         runs: 17:49 pull the fries 1 of 2\n\
         key: out: fries (fry, 1 of 2)",
    );
}

#[test]
fn at_the_service_each_dish_is_marked_by_itself() {
    check(
        &on_time("17:59"),
        "18:00",
        "now: 18:00 pie into the oven | 18:00 serve the soup | 18:00 serve the dip | 18:00 serve the fries\n\
         next: 18:40 pie: rest | 19:00 serve the pie\n\
         runs: \n\
         key: in: pie (bake)",
    );
}

#[test]
fn a_step_that_ends_by_itself_asks_for_no_mark() {
    let state = state(&on_time("18:45"));
    let rest = key(&evening(), "pie", "rest", 0);
    assert_eq!(now::phase(&state, rest, ms("18:49")), Phase::Running);
    assert_eq!(now::phase(&state, rest, ms("18:50")), Phase::Done);
    let shown = view(&state, ms("18:55"));
    assert!(shown.do_now.is_empty());
    assert_eq!(shown.holding.iter().filter(|h| !h.served).count(), 1);
    assert_eq!(shown.expected.map(|e| e.label).as_deref(), Some("on the table: pie"));
}

#[test]
fn phases_tell_late_over_and_overdone() {
    let late = state(&[]);
    let mix = key(&evening(), "dip", "mix", 0);
    assert_eq!(now::phase(&late, mix, ms("16:19")), Phase::Ahead);
    assert_eq!(now::phase(&late, mix, ms("16:20:30")), Phase::Ahead);
    assert_eq!(now::phase(&late, mix, ms("16:21")), Phase::LateStart);
    let baking = state(&on_time("18:39"));
    let bake = key(&evening(), "pie", "bake", 0);
    assert_eq!(now::phase(&baking, bake, ms("18:39:59")), Phase::Running);
    assert_eq!(now::phase(&baking, bake, ms("18:40")), Phase::Over);
    assert_eq!(now::phase(&baking, bake, ms("18:50")), Phase::Overdone);
}

#[test]
fn the_picture_changes_at_the_next_minute_or_sooner() {
    let shown = view(&state(&on_time("18:10")), ms("18:10:20"));
    assert_eq!(shown.next_change_ms, ms("18:11"));
    // The pull is due a minute before the end: the hands at its end.
    let shown = view(&state(&[("18:00:30", "start pie bake")]), ms("18:39:10"));
    assert_eq!(shown.next_change_ms, ms("18:39:30"));
    assert!(shown.next.iter().any(|p| p.kind == PromptKind::TakeOut));
}

#[test]
fn what_a_reshuffle_moved_is_told_for_a_quarter_of_an_hour() {
    let mut state = state(&on_time("17:00"));
    let (mut plan, at) = (adopted(plan(&evening())), ms("17:01"));
    if let Event::PlanAdopted { moved, why, .. } = &mut plan {
        (*moved, *why) = ("Soup waits.".to_owned(), "because it does".to_owned());
    }
    state.apply(&Mark { seq: 900, at_ms: at, event: plan });
    let told = view(&state, ms("17:02")).last_change.unwrap();
    assert_eq!((told.at_ms, told.why.as_str()), (at, "because it does"));
    assert!(view(&state, ms("17:15:59")).last_change.is_some());
    // The very moment at which it goes is one at which the picture changes.
    assert!(view(&state, ms("17:15:59")).next_change_ms <= ms("17:16"));
    assert_eq!(view(&state, ms("17:16")).last_change, None);
}

#[test]
fn it_is_over_when_all_is_served() {
    assert!(view(&state(&on_time("18:59")), ms("19:00")).ending.is_none());
    assert!(view(&state(&on_time("19:00")), ms("19:00")).ending.is_some());
    assert!(view(&state(&[("17:00", "finished")]), ms("19:00")).ending.is_some());
}

#[test]
fn a_dial_that_was_set_asks_no_more() {
    let dials = |rows: &[(&str, &str)], at: &str| {
        let shown = view(&state(rows), ms(at));
        let all = shown.do_now.into_iter().chain(shown.next);
        all.filter(|p| p.kind == PromptKind::Dial).count()
    };
    assert_eq!(dials(&[], "17:00"), 1);
    assert_eq!(dials(&[("17:30", "oven 200")], "17:31"), 0);
    assert_eq!(dials(&[("17:30", "oven 180")], "17:31"), 1);
    assert_eq!(dials(&[("17:30", "down oven")], "17:31"), 0);
}

#[test]
fn a_soup_that_stays_on_the_hob_waits_hot_there() {
    let shown = view(&state(&on_time("17:21")), ms("17:25"));
    let soup = &shown.holding[0];
    assert_eq!((soup.place.as_str(), soup.class), ("hob", crate::kitchen::HoldClass::Hot));
    assert_eq!(soup.best.at_ms, Some(ms("18:20")));
    assert_eq!(soup.safe.at_ms, None, "{:?}", soup.safe);
}

#[test]
fn what_is_planned_to_wait_on_the_counter_waits_there_without_a_mark() {
    let mut plan = plan(&evening());
    plan.holds[0].class = crate::kitchen::HoldClass::Room;
    "board".clone_into(&mut plan.holds[0].station);
    let mut marks = marks(&on_time("17:21"));
    marks[0].event = adopted(plan);
    let shown = view(&fold(evening(), &marks), ms("17:25"));
    let soup = &shown.holding[0];
    assert_eq!(soup.place, "counter");
    assert_eq!(soup.best.at_ms, Some(ms("18:20")));
}
