//! What stands just on an edge: found by making each comparison of this folder wrong and looking which of them
//! nobody noticed (`tests/mutants`).

use serde_json::json;

use super::cooling::Curve;
use super::profile::Profile;
use super::room_clock::{ClockState, RoomClock, Standing};
use super::timeline::{Control, FoodEvent};
use crate::kitchen::{Exemption, FoodClass};

const MIN: i64 = 60_000;
const HOUR: i64 = 60 * MIN;

fn profile(id: &str) -> &'static Profile {
    Profile::by_id(id).expect("built in")
}

fn at(profile: &Profile, events: &[FoodEvent], now_ms: i64) -> Standing {
    let mut clock = RoomClock::new(profile, 20.0);
    events.iter().for_each(|&e| clock.add(e));
    clock.at(now_ms)
}

const OUT: FoodEvent = FoodEvent::Out { at_ms: 0 };
const IN: FoodEvent = FoodEvent::Back { at_ms: 0, to: Control::Cold };

#[test]
fn every_built_in_profile_is_read_as_a_cook_s_own_would_be() {
    let ids = ["us_consumer", "us_food_code_2022", "uk", "australia", "new_zealand", "canada"];
    assert!(ids.iter().all(|id| Profile::by_id(id).is_some()) && Profile::all().len() == ids.len());
    for profile in Profile::all() {
        assert_eq!(profile.problems(), Vec::<String>::new(), "{}", profile.id);
        let text = serde_json::to_string(profile).expect("writes");
        assert_eq!(Profile::read(&text).as_ref(), Ok(profile), "{}", profile.id);
    }
}

/// UK: less than two hours, once (FSA; see assets/guidance/uk.json).
#[test]
fn one_occasion_may_end_in_the_fridge_and_a_second_may_not_begin() {
    let first = at(profile("uk"), &[OUT], HOUR);
    assert!(first.may_go_back && first.limit_ms.is_some() && first.state != ClockState::Over);
    assert!(first.advice.contains("put it in the fridge"), "{}", first.advice);
    let back = FoodEvent::Back { at_ms: HOUR, to: Control::Cold };
    let second = at(profile("uk"), &[OUT, back, FoodEvent::Out { at_ms: 2 * HOUR }], 2 * HOUR);
    assert_eq!((second.state, second.may_go_back), (ClockState::Over, false));
    let note = " It was out once before, and there is no second time.";
    assert!(second.why.ends_with(note), "{}", second.why);
}

/// Australia: under two hours in all it may go back, from two hours on it may not (Standard 3.2.2, clause 7(3), by
/// the guide "Safe Food Australia"; see assets/guidance/australia.json).
#[test]
fn at_two_hours_in_all_it_may_go_back_no_more() {
    let just_under = at(profile("australia"), &[OUT], 2 * HOUR - 1);
    let two_hours = at(profile("australia"), &[OUT], 2 * HOUR);
    assert!(just_under.may_go_back && !two_hours.may_go_back);
    assert!(two_hours.advice.contains("may not go back"), "{}", two_hours.advice);
}

/// FDA Food Code 2022, 3-501.19: once out, it is served or discarded; what is still cold is left alone.
#[test]
fn food_that_never_left_the_fridge_is_left_where_it_is() {
    let food_code = profile("us_food_code_2022");
    let kept = at(food_code, &[IN], HOUR);
    assert_eq!(kept.advice, "Leave it where it is kept hot or cold.");
    let begun = at(food_code, &[IN, OUT], HOUR);
    assert!(begun.advice.contains("throw out what is left"), "{}", begun.advice);
    assert!(!begun.may_go_back);
}

#[test]
fn a_warning_leaves_at_least_half_of_a_short_time() {
    let mut short = serde_json::to_value(profile("us_consumer")).expect("writes");
    short["room_rule"]["most"]["value_minutes"] = json!(20);
    short.as_object_mut().expect("object").remove("hot_day");
    let short = Profile::read(&short.to_string()).expect("reads");
    let standing = at(&short, &[OUT], MIN);
    assert_eq!((standing.limit_ms, standing.warn_ms), (Some(20 * MIN), Some(10 * MIN)));
}

/// A first day that counts shortens what keeps shorter too.
#[test]
fn the_day_it_was_made_counts_for_every_class() {
    let mut counted = serde_json::to_value(profile("uk")).expect("writes");
    let days = |p: &Profile, class| p.leftover_days_of(class);
    assert_eq!(days(profile("uk"), FoodClass::CookedPlant), 1);
    counted["leftovers"]["day_made_counts"] = json!(true);
    let counted = Profile::read(&counted.to_string()).expect("reads");
    assert_eq!(days(&counted, FoodClass::CookedPlant), 0);
}

#[test]
fn whole_produce_is_no_class_that_was_cooked() {
    assert!(Exemption::WholeProduce.covers(FoodClass::Other));
    for class in [FoodClass::CookedPlant, FoodClass::Dairy, FoodClass::Leftovers] {
        assert!(!Exemption::WholeProduce.covers(class), "{class:?}");
    }
}

/// USDA: two hours, one hour above 90 °F (assets/guidance/us_consumer.json). Air that turns hot later makes the limit
/// shorter at once, also for a clock that runs once.
#[test]
fn air_that_turns_hot_shortens_what_has_begun() {
    let hot = FoodEvent::Air { at_ms: 90 * MIN, celsius: 35.0 };
    let consumer = profile("us_consumer");
    assert_ne!(at(consumer, &[OUT], 90 * MIN).state, ClockState::Over);
    let standing = at(consumer, &[OUT, hot], 91 * MIN);
    assert_eq!((standing.state, standing.limit_ms), (ClockState::Over, Some(90 * MIN)));
    let mut once = serde_json::to_value(consumer).expect("writes");
    once["room_rule"]["meaning"] = json!("one_occasion");
    let once = Profile::read(&once.to_string()).expect("reads");
    let from_the_start = FoodEvent::Air { at_ms: 0, celsius: 35.0 };
    assert_eq!(at(&once, &[from_the_start, OUT], MIN).limit_ms, Some(HOUR));
}

/// Food Code 2022, 3-501.19(B)(1): by time alone, from 41 °F or below, or 135 °F or above, on.
#[test]
fn food_that_was_lukewarm_to_start_with_has_no_time_left() {
    let lukewarm = FoodEvent::Food { at_ms: 0, celsius: 32.0 };
    let standing = at(profile("us_food_code_2022"), &[OUT, lukewarm], MIN);
    assert_eq!(standing.state, ClockState::Over);
    assert!(standing.why.contains("It was neither cold nor hot enough to start with"));
}

#[test]
fn the_first_limit_of_a_rule_with_two_is_the_one_that_counts_for_a_plan() {
    use super::limit::limit_minutes;
    assert_eq!(limit_minutes(profile("australia"), true, 20.0), Some(120));
    assert_eq!(limit_minutes(profile("us_consumer"), true, 20.0), Some(120));
    assert!(!Exemption::ShelfStableSealed.covers(FoodClass::Leftovers));
    assert!(Exemption::ShelfStableSealed.covers(FoodClass::Dairy));
}

#[test]
fn two_readings_five_minutes_apart_are_a_curve_and_closer_ones_are_none() {
    assert!(Curve::through((0, 70.0), (5 * MIN, 60.0), 20.0).is_some());
    assert!(Curve::through((0, 70.0), (5 * MIN - 1, 60.0), 20.0).is_none());
    let curve = Curve::through((0, 70.0), (30 * MIN, 60.0), 20.0).expect("a curve");
    assert_eq!(curve.reaches_ms(60.0), Some(30 * MIN));
    assert_eq!((curve.reaches_ms(20.0), curve.reaches_ms(19.0)), (None, None));
    // A tenth of a degree in twelve hours: nothing to plan with.
    let slow = Curve::through((0, 70.0), (12 * HOUR, 69.9), 20.0).expect("a curve");
    assert_eq!(slow.reaches_ms(21.0), None);
}
