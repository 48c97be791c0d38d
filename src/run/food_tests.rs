//! The clock of food that is neither hot nor cold, from the marks.

use proptest::prelude::*;

use super::food::{Keeping, phases, standing};
use super::state::MINUTE_MS;
use super::testbed::{evening_by, marks, ms, on_time, state};
use super::{Event, Mark, fold};
use crate::kitchen::StationKind;
use crate::safety::{ClockState, Control};

/// Minutes used and the limit of a dish, by its index.
fn used(rows: &[(&str, &str)], dish: usize, at: &str) -> Option<(i64, Option<String>)> {
    let state = state(rows);
    let standing = standing(&state, dish, ms(at))?;
    let limit = standing.limit_ms.map(|ms| state.evening().face.label(state.minute(ms)));
    Some((standing.minutes_used(), limit))
}

#[test]
fn chilled_things_on_the_counter_count_from_the_start() {
    assert_eq!(used(&[], 1, "16:25"), None, "nothing is out yet");
    let rows = on_time("16:20");
    assert_eq!(used(&rows, 1, "16:25"), Some((5, Some("18:20".into()))));
    // In the fridge the clock stands; what is used stays used.
    let rows = on_time("17:59");
    assert_eq!(used(&rows, 1, "17:59").map(|u| u.0), Some(10));
    let rows = on_time("18:00");
    assert_eq!(used(&rows, 1, "18:30"), Some((40, Some("19:50".into()))));
}

#[test]
fn dry_things_on_the_counter_do_not_count_and_the_heat_ends_what_did() {
    // Leeks from the cupboard are chopped; the stock goes in on the hob.
    assert_eq!(used(&on_time("16:49"), 0, "16:49"), None);
    // The pie is filled with cream for a quarter of an hour and waits 40 minutes.
    let rows = on_time("17:20");
    assert_eq!(used(&rows, 3, "17:59").map(|u| u.0), Some(54));
    let rows = on_time("18:00");
    assert_eq!(used(&rows, 3, "18:30"), None);
    // Its clock starts again when it comes out.
    let rows = on_time("18:40");
    assert_eq!(used(&rows, 3, "18:45"), Some((5, Some("20:40".into()))));
}

#[test]
fn a_finished_dish_whose_place_is_not_marked_stands_out() {
    let mut rows = on_time("18:40");
    rows.push(("18:50", "done pie rest"));
    assert_eq!(used(&rows, 3, "19:10").map(|u| u.0), Some(30));
    rows.push(("18:55", "hold pie 1 oven"));
    assert_eq!(used(&rows, 3, "19:10").map(|u| u.0), Some(15));
}

#[test]
fn an_oven_below_the_limit_holds_nothing_hot() {
    // 50 °C is below 60 °C, the least of USDA's Cooking for Groups.
    let mut rows = on_time("18:40");
    rows.extend([("18:50", "done pie rest"), ("18:50", "oven 50"), ("18:51", "hold pie 1 oven")]);
    assert_eq!(used(&rows, 3, "19:10").map(|u| u.0), Some(30));
    // Turning it up later does not make the food hot; a new mark says that it is.
    rows.push(("19:00", "oven 80"));
    assert_eq!(used(&rows, 3, "19:10").map(|u| u.0), Some(30));
}

#[test]
fn a_hold_that_fails_lets_the_clock_run_from_then_on() {
    for (fault, mended) in [("oven 50", "oven 80"), ("oven 0", "oven 90"), ("down oven", "up oven")]
    {
        let mut rows = on_time("18:40");
        rows.extend([("18:50", "oven 80"), ("18:50", "hold pie 1 oven")]);
        assert_eq!(used(&rows, 3, "19:30").map(|u| u.0), Some(10));
        rows.push(("19:00", fault));
        assert_eq!(used(&rows, 3, "19:30").map(|u| u.0), Some(40), "{fault}");
        rows.push(("19:10", mended));
        assert_eq!(used(&rows, 3, "19:30").map(|u| u.0), Some(40), "{mended}");
        rows.push(("19:20", "hold pie 0 board"));
        rows.push(("19:21", "hold pie 1 oven"));
        assert_eq!(used(&rows, 3, "19:30").map(|u| u.0), Some(31), "put back hot");
    }
    // A dip in a fridge that stops is out, wherever it was finished.
    let mut rows = on_time("17:20");
    rows.push(("17:40", "down fridge"));
    assert_eq!(used(&rows, 1, "17:50").map(|u| u.0), Some(20));
}

#[test]
fn no_word_of_the_cook_stops_a_clock_beforehand() {
    let mut rows = on_time("19:00");
    rows.push(("19:30", "answer unsafe_past:dip:: was_never_out"));
    assert_eq!(used(&rows, 1, "19:40").map(|u| u.1), Some(Some("19:50".into())));
    rows.push(("19:31", "answer unsafe_past:dip:: kept_knowingly"));
    assert_eq!(state(&rows).notes().len(), 2);
}

#[test]
fn hot_food_in_the_fridge_is_chilling_not_cold() {
    let mut rows = on_time("17:20");
    let fridge = Event::HeldAt {
        dish: "soup".into(),
        hold: None,
        place: StationKind::Fridge,
        station: Some("fridge".into()),
    };
    rows.push(("17:30", "temp soup 70"));
    let mut marks = marks(&rows);
    marks.push(Mark { seq: 90, at_ms: ms("17:40"), event: fridge });
    let state = fold(super::testbed::evening(), &marks);
    let last = phases(&state, 0, ms("18:00")).last().map(|p| p.1);
    assert_eq!(last, Some(Keeping::In(Control::Chilling)));
    assert_eq!(standing(&state, 0, ms("18:00")).map(|s| s.is_out), Some(false));
}

/// FDA Food Code 2022, 3-501.19(B): four hours from when it leaves control,
/// whatever happens then; 3-501.16(A): not during preparation.
#[test]
fn by_the_food_code_one_episode_counts_and_preparation_does_not() {
    let at = |rows: &[(&str, &str)], dish: usize, at: &str| {
        let state = fold(evening_by("us_food_code_2022"), &marks(rows));
        let standing = standing(&state, dish, ms(at))?;
        let limit = standing.limit_ms.map(|ms| state.evening().face.label(state.minute(ms)));
        Some((standing.state, limit))
    };
    let rows = on_time("17:59");
    assert_eq!(at(&rows, 1, "17:59"), Some((ClockState::Ok, None)), "mixed, then chilled");
    let rows = on_time("18:00");
    assert_eq!(at(&rows, 1, "18:30"), Some((ClockState::Ok, Some("22:00".into()))));
    let mut rows = rows;
    rows.push(("19:00", "hold dip 0 fridge"));
    assert_eq!(at(&rows, 1, "22:01").map(|s| s.0), Some(ClockState::Over), "back is too late");
    // Carried from the hob into another hold it was never out.
    let mut rows = on_time("17:20");
    rows.retain(|r| !r.1.starts_with("done soup simmer"));
    rows.extend([
        ("17:21", "down hob"),
        ("17:22", "done soup simmer"),
        ("17:23", "hold soup 9 cooker"),
    ]);
    assert!(at(&rows, 0, "17:30").is_some());
}

/// Where a dish goes: hot on the hob, cold in the fridge, out on the counter or
/// the table.
fn places() -> impl Strategy<Value = Vec<(i64, u8)>> {
    prop::collection::vec((0_i64..70, 0_u8..4), 0..8)
}

fn go(place: u8) -> Event {
    let held = |hold, place, station: &str| Event::HeldAt {
        dish: "soup".into(),
        hold,
        place,
        station: Some(station.into()),
    };
    match place {
        0 => held(Some(0), StationKind::Stovetop, "hob"),
        1 => held(None, StationKind::Fridge, "fridge"),
        2 => held(None, StationKind::Counter, "board"),
        _ => Event::Served { dish: "soup".into() },
    }
}

proptest! {
    /// The time used is the time spent out, added up by another hand; no order
    /// of places and no later mark makes it less.
    #[test]
    fn the_clock_is_never_less_than_the_time_out(walk in places(), rest in 0_i64..100) {
        let mut marks = marks(&on_time("17:20"));
        let (mut at_ms, mut truth, mut place) = (ms("17:20"), 0, 0_u8);
        let mut before = 0;
        for (i, (minutes, next)) in walk.into_iter().enumerate() {
            at_ms += minutes * MINUTE_MS;
            truth += if place >= 2 { minutes } else { 0 };
            place = next;
            marks.push(Mark { seq: 100 + i as u64, at_ms, event: go(next) });
            let state = fold(super::testbed::evening(), &marks);
            let now = standing(&state, 0, at_ms).map_or(0, |s| s.minutes_used());
            prop_assert_eq!(now, truth);
            prop_assert!(now >= before);
            before = now;
        }
        truth += if place >= 2 { rest } else { 0 };
        let state = fold(super::testbed::evening(), &marks);
        let end_ms = at_ms + rest * MINUTE_MS;
        prop_assert_eq!(standing(&state, 0, end_ms).map_or(0, |s| s.minutes_used()), truth);
        // By USDA's two hours: over exactly from 120 minutes on.
        let over = standing(&state, 0, end_ms).is_some_and(|s| s.state == ClockState::Over);
        prop_assert_eq!(over, truth >= 120);
    }

    /// A reading never makes the clock shorter than it is without.
    #[test]
    fn a_reading_never_gives_time_back(
        walk in places(), at in 0_i64..300, celsius in 0.0_f64..95.0
    ) {
        let mut marks = marks(&on_time("17:20"));
        let mut at_ms = ms("17:20");
        for (i, (minutes, next)) in walk.into_iter().enumerate() {
            at_ms += minutes * MINUTE_MS;
            marks.push(Mark { seq: 100 + i as u64, at_ms, event: go(next) });
        }
        let without = fold(super::testbed::evening(), &marks);
        let taken_ms = ms("17:20") + at * MINUTE_MS;
        let event = Event::Temperature { dish: "soup".into(), celsius };
        marks.push(Mark { seq: 900, at_ms: taken_ms, event });
        let with = fold(super::testbed::evening(), &marks);
        for later in [0, 30, 120] {
            let now_ms = taken_ms.max(at_ms) + later * MINUTE_MS;
            let used = |state| standing(state, 0, now_ms).map_or(0, |s| s.used_ms);
            prop_assert!(used(&with) >= used(&without));
        }
    }
}
