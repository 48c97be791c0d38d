//! Scripted cases for the clocks of the built-in profiles, each derived from
//! the published rule that is named beside it, by hand.

use super::figure::f_to_c;
use super::limit::{cool_by, cool_by_readings};
use super::{ClockState, Control, CoolsFrom, FoodEvent, Profile, RoomClock, Standing};

const MIN: i64 = 60_000;
const HOUR: i64 = 60 * MIN;

fn profile(id: &str) -> &'static Profile {
    Profile::by_id(id).expect("built in")
}

fn at(clock: RoomClock<'static>, events: &[FoodEvent], now_ms: i64) -> Standing {
    let mut clock = clock;
    events.iter().for_each(|e| clock.add(*e));
    clock.at(now_ms)
}

fn by(id: &str, air_f: f64, events: &[FoodEvent], now_ms: i64) -> Standing {
    at(RoomClock::new(profile(id), f_to_c(air_f)), events, now_ms)
}

fn out(at_ms: i64) -> FoodEvent {
    FoodEvent::Out { at_ms }
}

fn back(at_ms: i64, to: Control) -> FoodEvent {
    FoodEvent::Back { at_ms, to }
}

/// FSANZ 2 h / 4 h rule: out 50 min, back in, out 80 min: 130 min together,
/// use it, do not chill it again. New Zealand's advice counts alike.
#[test]
fn australia_sums_and_then_forbids_chilling_again() {
    let events = [out(0), back(50 * MIN, Control::Cold), out(3 * HOUR)];
    for id in ["australia", "new_zealand"] {
        let standing = by(id, 70.0, &events, 3 * HOUR + 80 * MIN);
        assert_eq!((standing.minutes_used(), standing.may_go_back), (130, false), "{id}");
        assert_eq!(standing.state, ClockState::Ok);
        let standing = by(id, 70.0, &events, 3 * HOUR + 190 * MIN);
        assert_eq!(standing.state, ClockState::Over);
    }
}

/// Schedule 4 of the regulations: below 63 °C for 70 min, heated again, again
/// out: a second occasion is not allowed. Cold food: less than 4 h, once.
#[test]
fn the_uk_has_one_occasion_hot_or_cold() {
    let hot =
        [back(0, Control::Hot), out(HOUR), back(HOUR + 70 * MIN, Control::Hot), out(4 * HOUR)];
    assert_eq!(by("uk", 70.0, &hot[..3], 3 * HOUR).state, ClockState::Ok);
    assert_eq!(by("uk", 70.0, &hot, 4 * HOUR).limit_ms, Some(4 * HOUR));
    assert_eq!(by("uk", 70.0, &hot, 4 * HOUR).state, ClockState::Over);
    // From hot 2 h, from cold 4 h, and 2 h where nobody knows.
    for (start, hours) in [(Some(Control::Hot), 2), (Some(Control::Cold), 4), (None, 2)] {
        let mut events: Vec<FoodEvent> = start.map(|c| back(0, c)).into_iter().collect();
        events.push(out(HOUR));
        let limit = by("uk", 70.0, &events, 2 * HOUR).limit_ms;
        assert_eq!(limit, Some((1 + hours) * HOUR), "{start:?}");
    }
    // A fridge that failed is no display: the ordinary limit holds.
    let warm = FoodEvent::Food { at_ms: 2 * HOUR, celsius: 12.0 };
    let standing = by("uk", 70.0, &[back(0, Control::Cold), warm], 2 * HOUR);
    assert_eq!((standing.limit_ms, standing.state), (Some(2 * HOUR), ClockState::Over));
    // Food that is still cooling is not cold: its cooling counts, and 2 h hold.
    let cooling = [back(0, Control::Chilling), out(HOUR)];
    assert_eq!(by("uk", 70.0, &cooling, HOUR).limit_ms, Some(2 * HOUR));
}

/// Food Code 2022, 3-501.19(B): hot food of 150 °F off the heat at 18:00: out by
/// 22:00, whatever it is by then; heating it again does not reset that.
#[test]
fn four_hours_by_time_alone_are_not_reset() {
    let events = [
        FoodEvent::Food { at_ms: 18 * HOUR, celsius: f_to_c(150.0) },
        out(18 * HOUR),
        back(20 * HOUR, Control::Hot),
        FoodEvent::Food { at_ms: 20 * HOUR, celsius: f_to_c(165.0) },
        out(21 * HOUR),
    ];
    for now in [18, 20, 21] {
        let known: Vec<_> = events.into_iter().filter(|e| e.at_ms() <= now * HOUR).collect();
        let standing = by("us_food_code_2022", 70.0, &known, now * HOUR);
        assert_eq!(standing.limit_ms, Some(22 * HOUR), "{now}");
    }
    let over = by("us_food_code_2022", 70.0, &events, 22 * HOUR);
    assert_eq!((over.state, over.may_go_back), (ClockState::Over, false));
}

/// 3-501.19(C): a salad of 40 °F out at 12:00 and measured 71 °F at 16:30 goes
/// at 16:30.
#[test]
fn six_hours_end_with_the_first_warm_reading() {
    let clock = || {
        RoomClock::by_rule(profile("us_food_code_2022"), "six_hours_cold", f_to_c(69.0))
            .expect("has the rule")
    };
    let events = [
        back(11 * HOUR, Control::Cold),
        FoodEvent::Food { at_ms: 12 * HOUR, celsius: f_to_c(40.0) },
        out(12 * HOUR),
        FoodEvent::Food { at_ms: 16 * HOUR + 30 * MIN, celsius: f_to_c(71.0) },
    ];
    assert_eq!(at(clock(), &events[..3], 16 * HOUR).limit_ms, Some(18 * HOUR));
    let standing = at(clock(), &events, 16 * HOUR + 30 * MIN);
    assert_eq!((standing.state, standing.limit_ms), (ClockState::Over, Some(16 * HOUR + 30 * MIN)));
}

/// 3-501.14(A): 135 °F at 20:00, 70 °F at 21:10: 41 °F by 02:00, six hours in
/// all, not by 01:10. Australia's second leg is its own: 60 °C at 20:00, above
/// 21 °C still at 21:00, below at 21:30: 5 °C by 01:00.
#[test]
fn cooling_stages_count_together_or_each_by_itself() {
    let readings = [(20 * HOUR, f_to_c(135.0)), (21 * HOUR + 10 * MIN, f_to_c(70.0))];
    let code = profile("us_food_code_2022");
    let points = cool_by_readings(code, CoolsFrom::Cooked, 20 * HOUR, &readings);
    assert_eq!(points.iter().map(|p| p.by_ms).collect::<Vec<_>>(), [22 * HOUR, 26 * HOUR]);
    let australia = profile("australia");
    let by = |readings: &[(i64, f64)]| -> Vec<i64> {
        let points = cool_by_readings(australia, CoolsFrom::Cooked, 20 * HOUR, readings);
        points.iter().map(|p| p.by_ms).collect()
    };
    assert_eq!(by(&[]), [22 * HOUR, 26 * HOUR]);
    let latest: Vec<i64> =
        cool_by(australia, CoolsFrom::Cooked, 20 * HOUR).iter().map(|p| p.by_ms).collect();
    assert_eq!(by(&[]), latest);
    let taken = [(21 * HOUR, 25.0), (21 * HOUR + 30 * MIN, 20.0)];
    assert_eq!(by(&taken), [22 * HOUR, 25 * HOUR]);
    // Nothing that is measured makes a point later.
    for first in (0..240).step_by(10) {
        for celsius in [10.0, 21.0, 21.1, 40.0] {
            let points = by(&[(20 * HOUR + first * MIN, celsius)]);
            assert!(points.iter().zip(&latest).all(|(a, b)| a <= b), "{first} {celsius}");
        }
    }
}

/// USDA, June 2016: on a patio of 95 °F, out 61 min: over. Where the air
/// crosses 90 °F after 70 min the rule is silent: over now, and it says so.
/// Canada the same above 32 °C (from memory).
#[test]
fn a_hot_patio_has_an_hour() {
    for id in ["us_consumer", "canada"] {
        assert_eq!(by(id, 95.0, &[out(0)], 61 * MIN).state, ClockState::Over, "{id}");
        let crossing = FoodEvent::Air { at_ms: 70 * MIN, celsius: f_to_c(91.0) };
        let standing = by(id, 88.0, &[out(0), crossing], 70 * MIN);
        assert_eq!(standing.state, ClockState::Over, "{id}");
        assert!(standing.why.contains("does not say how to count both"), "{}", standing.why);
    }
}

/// The UK's pairs of heat and time for the core of food (Food Standards Agency,
/// read in a copy: 60 °C 45 min, 65 °C 10 min, 70 °C 2 min, 75 °C 30 s, 80 °C 6 s)
/// are held to mean the same at z 7.5 °C: so as minutes at 70 °C they come to
/// 2.09, 2.15, 2.00, 2.32 and 2.15. The program reckons with no such model; it
/// asks for the one pair that its data have, and this shows that it is the least.
#[test]
fn the_pairs_of_the_uk_agree_and_ours_is_one_of_them() {
    let at_70 = |celsius: f64, seconds: f64| seconds / 60.0 * 10_f64.powf((celsius - 70.0) / 7.5);
    let pairs = [(60.0, 2700.0), (65.0, 600.0), (70.0, 120.0), (75.0, 30.0), (80.0, 6.0)];
    let found = pairs.map(|(c, s)| (at_70(c, s) * 100.0).round() / 100.0);
    assert_eq!(found, [2.09, 2.15, 2.00, 2.32, 2.15]);
    for (class, inner) in &profile("uk").least_inner {
        let Some(hold) = &inner.hold else { continue };
        let ours = (inner.least.c(), f64::from(u32::try_from(hold.value_seconds).unwrap_or(0)));
        assert!(pairs.contains(&ours), "{class:?}: {ours:?}");
    }
    assert!(profile("uk").least_inner.values().any(|inner| inner.hold.is_some()));
}

/// A US quart of water from 60 to 212 °F takes 317 Btu (a pound of water, a
/// degree Fahrenheit: the Btu's definition, water's weight at 60 °F 0.999 g/ml):
/// the volumes and weights that the program converts by agree with it.
#[test]
fn a_quart_of_water_weighs_what_its_heat_says() {
    use crate::kitchen::units::{Measures, Unit};
    let of = |unit: Unit| unit.base(Measures::UsCustomary).expect("a measure").to_f64();
    let pounds = of(Unit::Quart) * 0.999 / of(Unit::Lb);
    assert_eq!((pounds * (212.0 - 60.0)).round(), 317.0);
}
