//! A dish that is not made after all is still food on the counter: its clock,
//! its warning and its alarm go on until the cook says what became of it.

use super::alarms::{alarms, history};
use super::food;
use super::testbed::{evening, evening_by, marks, ms, on_time};
use super::view::{AlarmKind, Countdown};
use super::{Event, State, fold, holding, marks as may};
use crate::run::event::Clearing;

type Rows = Vec<(&'static str, &'static str)>;

fn with(until: &str, more: &[(&'static str, &'static str)]) -> Rows {
    let mut rows = on_time(until);
    rows.extend(more);
    rows.sort_by_key(|r| ms(r.0));
    rows
}

fn state(rows: &Rows) -> State {
    fold(evening(), &marks(rows))
}

fn used(rows: &Rows, dish: usize, at: &str) -> Option<i64> {
    let known: Rows = rows.iter().copied().filter(|r| ms(r.0) <= ms(at)).collect();
    food::standing(&state(&known), dish, ms(at)).map(|s| s.minutes_used())
}

fn safety(rows: &Rows, at: &str) -> Vec<String> {
    let found = alarms(&state(rows), ms(at));
    found.into_iter().filter(|a| a.safety).map(|a| a.key).collect()
}

/// USDA: two hours in all; the warning comes 30 minutes before.
#[test]
fn a_finished_dish_that_is_dropped_keeps_its_alarm() {
    // Out of the oven at 18:40, resting on the counter.
    let pie = |more: &[(&'static str, &'static str)]| {
        let mut rows = with("18:40", &[&[("18:52", "drop pie")], more].concat());
        rows.retain(|r| !r.1.starts_with("serve"));
        rows
    };
    let of_pie = |rows: &Rows, at: &str| {
        let found = safety(rows, at);
        found.into_iter().filter(|k| k.contains(":pie:")).collect::<Vec<_>>()
    };
    let rows = pie(&[]);
    assert_eq!(used(&rows, 3, "19:40"), Some(60));
    assert!(of_pie(&rows, "20:09").is_empty());
    assert_eq!(of_pie(&rows, "20:10"), ["unsafe_soon:pie::"]);
    assert_eq!(of_pie(&rows, "20:40"), ["unsafe_past:pie::"]);
    assert_eq!(of_pie(&rows, "23:59"), ["unsafe_past:pie::"], "until it is answered");
    for answer in ["answer unsafe_past:pie:: discarded", "answer unsafe_past:pie:: kept_knowingly"]
    {
        assert!(of_pie(&pie(&[("20:41", answer)]), "20:42").is_empty());
    }
    let board = holding::board(&state(&rows), ms("20:50"));
    let entry = board.iter().find(|h| h.dish == 3).expect("it is there");
    assert_eq!((entry.safe.state, entry.best.at_ms), (Countdown::Past, None));
    // Thrown out in time there is nothing to say.
    assert!(of_pie(&pie(&[("18:55", "clear pie thrown_out")]), "23:00").is_empty());
}

#[test]
fn what_was_begun_of_a_dropped_dish_stands_out_until_it_is_marked_where_it_went() {
    // Filled with cream from 17:05 on.
    let pie = |more: &[(&'static str, &'static str)]| {
        with("17:20", &[&[("17:25", "drop pie")], more].concat())
    };
    assert_eq!(used(&pie(&[]), 3, "18:05"), Some(60));
    assert_eq!(safety(&pie(&[("17:30", "clear soup eaten")]), "19:05"), ["unsafe_past:pie::"]);
    let chilled = pie(&[("17:35", "hold pie 9 fridge")]);
    assert_eq!(used(&chilled, 3, "20:00"), Some(30));
    let away = pie(&[("17:35", "clear pie put_away")]);
    assert_eq!(used(&away, 3, "20:00"), Some(30));
    // A hot place does not keep what is not cooked through.
    let warm = pie(&[("17:35", "hold pie 1 oven")]);
    assert_eq!(used(&warm, 3, "18:05"), Some(60));
    let gone = pie(&[("17:35", "clear pie thrown_out")]);
    assert!(!safety(&gone, "23:00").iter().any(|k| k.contains("pie")));
    // It is on the board until it is gone, and may be marked without being asked twice.
    let there = state(&pie(&[]));
    let board = holding::board(&there, ms("18:00"));
    let entry = board.iter().find(|h| h.dish == 3).expect("there");
    assert!(entry.advice.contains("put it in the fridge"), "{}", entry.advice);
    for how in [Clearing::PutAway, Clearing::ThrownOut] {
        let event = Event::Cleared { dish: "pie".into(), how };
        assert_eq!(may::check(&there, &event, ms("18:00")), Ok(()));
    }
    // Nothing perishable was begun: nothing is there.
    let early = with("16:45", &[("16:46", "drop pie"), ("16:47", "drop soup")]);
    assert!(holding::board(&state(&early), ms("17:00")).is_empty());
    assert!(safety(&early, "23:00").iter().all(|k| k.contains("dip")));
}

#[test]
fn dropped_from_the_heat_it_is_out_and_bringing_it_back_forgives_nothing() {
    let rows = with("16:50", &[("17:00", "drop soup"), ("18:00", "back soup")]);
    assert_eq!(used(&rows, 0, "17:40"), Some(40));
    assert_eq!(used(&rows, 0, "18:20"), Some(60), "on the heat again, as far as is known");
    let done = with(
        "16:50",
        &[("17:00", "drop soup"), ("18:00", "back soup"), ("18:30", "done soup simmer")],
    );
    assert_eq!(used(&done, 0, "18:40"), Some(60), "kept hot on the hob, as planned");
    // A limit that passed while it was dropped stays.
    let late = with(
        "16:50",
        &[("17:00", "drop soup"), ("19:05", "back soup"), ("19:30", "done soup simmer")],
    );
    assert_eq!(safety(&late, "19:40"), ["unsafe_past:soup::"]);
}

/// Heat ends what went before only if it was not broken off.
#[test]
fn heat_that_was_broken_off_ends_nothing() {
    let rows = with("18:00", &[("18:05", "skip pie bake")]);
    assert_eq!(used(&rows, 3, "18:05"), Some(60), "from 17:05 on");
    let fries: Rows = vec![("17:00", "early fries fry"), ("17:42", "start fries fry 0")];
    // The second load is still where the first came from.
    assert_eq!(used(&fries, 2, "17:41"), Some(41));
    assert!(used(&fries, 2, "17:45").is_some_and(|m| m >= 42));
}

/// 3-501.19(B): a clock that going back to be kept does not stop has its
/// warning too, an hour before (our lead), wherever the food is by then.
#[test]
fn a_clock_that_runs_on_while_it_is_kept_warns_before_its_limit() {
    let mut rows = on_time("18:00");
    rows.push(("19:00", "hold dip 0 fridge"));
    let raised = history(evening_by("us_food_code_2022"), &marks(&rows), ms("23:00"));
    let at = |kind| {
        let mut found = raised.iter().filter(|r| r.key.contains(":dip:") && r.kind == kind);
        found.next().map(|r| r.raised_ms)
    };
    assert_eq!(at(AlarmKind::UnsafeSoon), Some(ms("21:00")));
    assert_eq!(at(AlarmKind::UnsafePast), Some(ms("22:00")));
    let state = fold(evening_by("us_food_code_2022"), &marks(&rows));
    let live = alarms(&state, ms("21:30"));
    assert!(live.iter().any(|a| a.key == "unsafe_soon:dip::"), "{live:#?}");
    let entry = holding::board(&state, ms("21:30")).into_iter().find(|h| h.dish == 1);
    assert_eq!(entry.and_then(|h| h.safe.at_ms), Some(ms("22:00")));
}

/// What the air is after the food was eaten is nothing to it; and a reading of
/// the very moment in which it was put somewhere is of that place.
#[test]
fn later_air_and_readings_of_the_moment_make_no_alarm() {
    let rows = with("18:40", &[("18:55", "clear soup eaten"), ("21:30", "air 25")]);
    assert!(!safety(&rows, "21:31").iter().any(|k| k.contains("soup")));
    let rows = with("18:40", &[("18:52", "temp pie 80"), ("18:52", "hold pie 1 oven")]);
    let rows: Rows = rows.into_iter().filter(|r| !r.1.starts_with("serve")).collect();
    assert_eq!(used(&rows, 3, "20:30"), Some(12));
}

/// UK: a display of less than two hours, once. What is dressed on the board and
/// put in the fridge was being prepared; the table is the one occasion.
#[test]
fn preparing_is_no_occasion_of_its_own() {
    let mut rows: Rows = on_time("16:30");
    rows.retain(|r| !r.1.contains("chill"));
    rows.extend([
        ("16:30", "skip dip chill"),
        ("16:32", "hold dip 0 fridge"),
        ("18:00", "serve dip"),
    ]);
    let raised = history(evening_by("uk"), &marks(&rows), ms("23:00"));
    let at = |kind| raised.iter().find(|r| r.kind == kind).map(|r| r.raised_ms);
    assert!(at(AlarmKind::UnsafePast).is_some_and(|t| t >= ms("20:00")), "{raised:?}");
    assert!(at(AlarmKind::UnsafeSoon).is_some_and(|t| t >= ms("19:00")));
}
