//! Two clocks of one food, told as one.

use super::more_pressing;
use crate::safety::{ClockState, FoodEvent, Profile, RoomClock, Standing};

const OK: ClockState = ClockState::Ok;
const SOON: ClockState = ClockState::Soon;
const OVER: ClockState = ClockState::Over;

/// A clock that stands so; the rest of it as of food that was taken out just now.
fn clock(state: ClockState, limit_ms: Option<i64>, warn_ms: Option<i64>, used_ms: i64) -> Standing {
    let profile = Profile::by_id("us_consumer").expect("built in");
    let mut clock = RoomClock::new(profile, 21.0);
    clock.add(FoodEvent::Out { at_ms: 0 });
    Standing { state, limit_ms, warn_ms, used_ms, ..clock.at(0) }
}

/// Both as one, whichever is named first.
fn both(a: &Standing, b: &Standing) -> Standing {
    let (ab, ba) = (more_pressing(a.clone(), b.clone()), more_pressing(b.clone(), a.clone()));
    assert_eq!(ab, ba);
    ab
}

#[test]
fn the_first_limit_counts_and_one_that_was_passed_before_any_other() {
    let limit = |a: (ClockState, Option<i64>), b: (ClockState, Option<i64>)| {
        let found = both(&clock(a.0, a.1, a.1, 9), &clock(b.0, b.1, b.1, 9));
        (found.state, found.limit_ms)
    };
    assert_eq!(limit((OK, Some(200)), (OK, Some(150))), (OK, Some(150)));
    assert_eq!(limit((OK, None), (OK, Some(150))), (OK, Some(150)), "one that stands has none");
    assert_eq!(limit((OVER, Some(90)), (OVER, Some(70))), (OVER, Some(70)));
    // The clock of what was eaten stands still with its limit ahead: the other one was passed.
    assert_eq!(limit((OVER, Some(90)), (SOON, Some(50))), (OVER, Some(90)));
}

#[test]
fn what_is_told_of_both_is_the_worse_of_each() {
    let (late, early) = (clock(OK, Some(200), Some(180), 7), clock(SOON, Some(210), Some(100), 5));
    let found = both(&late, &early);
    assert_eq!((found.state, found.limit_ms, found.warn_ms), (SOON, Some(200), Some(100)));
    assert_eq!((found.used_ms, found.is_out, found.may_go_back), (7, true, true));
    let kept = Standing { is_out: false, may_go_back: false, ..early };
    let found = both(&late, &kept);
    assert!(found.is_out && !found.may_go_back);
    assert_eq!(both(&kept, &clock(OK, None, None, 1)).warn_ms, Some(100));
}

/// What is advised, and why, is of the clock that counts: of two without a limit of the one that is out, else of the
/// one that has run longer.
#[test]
fn the_words_are_of_the_clock_that_counts() {
    let said = |why: &str, is_out: bool, used_ms: i64| {
        let of = clock(OK, None, None, used_ms);
        Standing { why: why.into(), is_out, ..of }
    };
    assert_eq!(both(&said("out", true, 1), &said("kept", false, 9)).why, "out");
    assert_eq!(both(&said("short", false, 1), &said("long", false, 9)).why, "long");
}
