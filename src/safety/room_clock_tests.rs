//! The clock on published rules, on scripted evenings, and on random ones
//! against a minute-by-minute count.

use proptest::prelude::*;

use super::figure::f_to_c;
use super::profile::{ClockMeaning, Profile};
use super::room_clock::{ClockState, RoomClock, Standing};
use super::timeline::{Control, FoodEvent};

const MIN: i64 = 60_000;
const HOUR: i64 = 60 * MIN;
const COOL: f64 = 20.0;

fn consumer() -> &'static Profile {
    Profile::by_id("us_consumer").expect("built in")
}

fn food_code() -> &'static Profile {
    Profile::by_id("us_food_code_2022").expect("built in")
}

/// The consumer profile with another rule, for meanings that no built-in has.
fn with_rule(rule: serde_json::Value) -> Profile {
    let mut json = serde_json::to_value(consumer()).expect("writes");
    for (key, value) in rule.as_object().expect("object") {
        json["room_rule"][key] = value.clone();
    }
    json.as_object_mut().expect("object").remove("hot_day");
    Profile::read(&json.to_string()).expect("reads")
}

fn out(at_ms: i64) -> FoodEvent {
    FoodEvent::Out { at_ms }
}
fn back(at_ms: i64, to: Control) -> FoodEvent {
    FoodEvent::Back { at_ms, to }
}
fn food_f(at_ms: i64, fahrenheit: f64) -> FoodEvent {
    FoodEvent::Food { at_ms, celsius: f_to_c(fahrenheit) }
}
fn air_f(at_ms: i64, fahrenheit: f64) -> FoodEvent {
    FoodEvent::Air { at_ms, celsius: f_to_c(fahrenheit) }
}

fn clock<'p>(profile: &'p Profile, events: &[FoodEvent]) -> RoomClock<'p> {
    let mut clock = RoomClock::new(profile, COOL);
    events.iter().for_each(|&e| clock.add(e));
    clock
}

fn at(profile: &Profile, events: &[FoodEvent], now_ms: i64) -> Standing {
    clock(profile, events).at(now_ms)
}

#[test]
fn nothing_runs_before_the_food_leaves_control() {
    for profile in [consumer(), food_code()] {
        let standing = at(profile, &[back(0, Control::Cold)], 9 * HOUR);
        assert_eq!(
            (standing.state, standing.used_ms, standing.limit_ms),
            (ClockState::Ok, 0, None)
        );
        assert!(standing.may_go_back && !standing.is_out);
    }
}

/// US consumer: 2 h in all (USDA, June 2016), here across midnight and with a
/// return to the fridge between.
#[test]
fn a_total_counts_every_time_out_across_midnight() {
    let start = 23 * HOUR + 30 * MIN;
    let events = [out(start), back(start + 50 * MIN, Control::Chilling), out(start + 3 * HOUR)];
    let standing = at(consumer(), &events[..2], start + 3 * HOUR);
    assert_eq!((standing.minutes_used(), standing.minutes_left()), (50, 70));
    assert_eq!((standing.limit_ms, standing.may_go_back), (None, true));

    let standing = at(consumer(), &events, start + 3 * HOUR + 39 * MIN);
    assert_eq!((standing.minutes_used(), standing.state), (89, ClockState::Ok));
    assert_eq!(standing.limit_ms, Some(start + 3 * HOUR + 70 * MIN));
    let standing = at(consumer(), &events, start + 3 * HOUR + 40 * MIN);
    assert_eq!((standing.minutes_left(), standing.state), (30, ClockState::Soon));
    let standing = at(consumer(), &events, start + 3 * HOUR + 70 * MIN);
    assert_eq!((standing.minutes_left(), standing.state), (0, ClockState::Over));
    assert_eq!(standing.advice, "Throw it out.");
}

/// An hour that the wall clock shows twice is still an hour.
#[test]
fn a_change_of_the_clocks_does_not_move_a_limit() {
    use crate::kitchen::{Clockface, TimeOfDay};
    let day = chrono::NaiveDate::from_ymd_opt(2026, 10, 31).expect("a day");
    let mut face = Clockface::fixed(day, -4 * 3600);
    // 2 h at night become 1 h: offsets of -4 h, then -5 h from 06:00 UTC on.
    face.offsets.push((face.origin_s + 26 * 3600, -5 * 3600));
    let left = face.ms_of(face.minute_of(TimeOfDay(24 * 60 + 30)));
    let standing = at(consumer(), &[out(left)], left + 119 * MIN);
    assert_eq!(standing.minutes_left(), 1);
    let limit = face.minute_at(standing.limit_ms.expect("runs"));
    assert_eq!(
        (face.label(face.minute_at(left)), face.label(limit)),
        ("00:30".into(), "01:30".into())
    );
}

/// From the rule of Food Code 2022, 3-501.19(B): hot food at 150 °F off the
/// heat at 18:00 is discarded at 22:00 whatever its temperature, and heating it
/// again does not move that.
#[test]
fn food_code_four_hours_never_move() {
    let six = 18 * HOUR;
    let mut events = vec![back(six, Control::Hot), food_f(six, 150.0), out(six)];
    for (extra, now) in [
        (food_f(six + 30 * MIN, 150.0), six + HOUR),
        (back(six + HOUR, Control::Hot), six + 2 * HOUR),
        (food_f(six + 2 * HOUR, 165.0), six + 3 * HOUR - 1),
    ] {
        events.push(extra);
        let standing = at(food_code(), &events, now);
        assert_eq!((standing.limit_ms, standing.state), (Some(22 * HOUR), ClockState::Ok));
        assert!(!standing.may_go_back);
    }
    // Warned an hour before: time to heat and serve it.
    assert_eq!(at(food_code(), &events, 21 * HOUR).state, ClockState::Soon);
    let standing = at(food_code(), &events, 22 * HOUR);
    assert_eq!((standing.state, standing.minutes_left()), (ClockState::Over, 0));
    assert_eq!(standing.source.to_string(), "FDA Food Code 2022, 3-501.19(B)");
}

/// 3-501.19(B) wants a start at 41 °F or less, or 135 °F or more.
#[test]
fn food_code_hours_need_a_right_start() {
    for (f, state) in [
        (41.0, ClockState::Ok),
        (41.5, ClockState::Over),
        (134.0, ClockState::Over),
        (135.0, ClockState::Ok),
    ] {
        let standing = at(food_code(), &[food_f(0, f), out(0)], MIN);
        assert_eq!(standing.state, state, "{f} °F: {}", standing.why);
    }
    // Never measured: the cook's word.
    assert_eq!(at(food_code(), &[out(0)], MIN).state, ClockState::Ok);
    // Taken from the fridge before it was cold: the cooling counts as well.
    let events = [back(0, Control::Chilling), out(3 * HOUR)];
    let standing = at(food_code(), &events, 3 * HOUR + MIN);
    assert_eq!(standing.limit_ms, Some(4 * HOUR));
    assert!(standing.why.contains("before it was measured cold"), "{}", standing.why);
}

/// From the rule of Food Code 2022, 3-501.19(C): a salad at 40 °F out at 12:00
/// and at 71 °F at 16:30 is discarded at 16:30.
#[test]
fn food_code_six_hours_end_when_the_food_is_warm() {
    let noon = 12 * HOUR;
    let mut clock = RoomClock::by_rule(food_code(), "six_hours_cold", COOL).expect("a rule");
    clock.add(food_f(noon, 40.0));
    clock.add(out(noon));
    clock.add(food_f(noon + 3 * HOUR, 70.0));
    let standing = clock.at(noon + 4 * HOUR);
    assert_eq!((standing.state, standing.limit_ms), (ClockState::Ok, Some(18 * HOUR)));
    clock.add(food_f(noon + 4 * HOUR + 30 * MIN, 71.0));
    let standing = clock.at(noon + 4 * HOUR + 30 * MIN);
    assert_eq!(standing.state, ClockState::Over);
    assert_eq!(standing.limit_ms, Some(16 * HOUR + 30 * MIN));
    assert!(standing.why.contains("measured above 70 °F (21 °C)"), "{}", standing.why);
    // Warm air afterwards does not let the ordinary rule take over.
    clock.add(air_f(noon + 5 * HOUR, 80.0));
    assert_eq!(clock.at(noon + 5 * HOUR).limit_ms, Some(16 * HOUR));
}

#[test]
fn six_hours_fall_back_to_four_without_a_cold_start_and_cool_air() {
    let rule = |events: &[FoodEvent], air: f64| {
        let mut clock = RoomClock::by_rule(food_code(), "six_hours_cold", air).expect("a rule");
        events.iter().for_each(|&e| clock.add(e));
        let standing = clock.at(MIN);
        assert!(standing.why.contains("needs a cold start"), "{}", standing.why);
        standing.limit_ms
    };
    assert_eq!(rule(&[out(0)], COOL), Some(4 * HOUR));
    assert_eq!(rule(&[food_f(0, 150.0), out(0)], COOL), Some(4 * HOUR));
    assert_eq!(rule(&[food_f(0, 40.0), out(0)], 22.0), Some(4 * HOUR));
    assert!(RoomClock::by_rule(consumer(), "six_hours_cold", COOL).is_none());
}

/// USDA, June 2016: one hour above 90 °F. On a patio at 95 °F food that is out
/// 61 min is over.
#[test]
fn a_hot_day_has_one_hour() {
    let events = [air_f(-HOUR, 95.0), out(0)];
    assert_eq!(at(consumer(), &events, 29 * MIN).state, ClockState::Ok);
    assert_eq!(at(consumer(), &events, 30 * MIN).state, ClockState::Soon);
    assert_eq!(at(consumer(), &events, 60 * MIN - 1).state, ClockState::Soon);
    let standing = at(consumer(), &events, 61 * MIN);
    assert_eq!((standing.state, standing.limit_ms), (ClockState::Over, Some(60 * MIN)));
    assert_eq!(
        standing.why,
        "61 of 60 min in all, every time out together (1 hour, because the air was above 90 °F \
         (32 °C))."
    );
    // The Food Code has no such rule.
    assert_eq!(at(food_code(), &events, 61 * MIN).limit_ms, Some(4 * HOUR));
}

/// The published rule is silent on air that crosses 90 °F while food is out;
/// the strict reading is: over at once if the hour is used. The sentence says so.
#[test]
fn air_that_turns_hot_applies_to_all_of_the_time() {
    let events = [air_f(0, 88.0), out(0), air_f(70 * MIN, 91.0)];
    assert_eq!(at(consumer(), &events[..2], 70 * MIN).state, ClockState::Ok);
    let standing = at(consumer(), &events, 70 * MIN);
    assert_eq!((standing.state, standing.limit_ms), (ClockState::Over, Some(70 * MIN)));
    assert!(standing.why.contains("does not say how to count both"), "{}", standing.why);
    // It does not get better when the air cools, or the food goes back.
    let later = [&events[..], &[air_f(75 * MIN, 70.0), back(80 * MIN, Control::Chilling)]].concat();
    assert_eq!(at(consumer(), &later, 3 * HOUR).limit_ms, Some(70 * MIN));
    // Hot air while the food is in the fridge is nothing to it.
    let inside =
        [out(0), back(30 * MIN, Control::Cold), air_f(40 * MIN, 99.0), air_f(50 * MIN, 70.0)];
    let standing = at(consumer(), &inside, HOUR);
    assert_eq!((standing.minutes_used(), standing.minutes_left()), (30, 90));
}

#[test]
fn a_hold_that_fails_counts_from_when_it_was_last_known_good() {
    let events = [
        back(0, Control::Hot),
        food_f(HOUR, 150.0),
        food_f(2 * HOUR, 130.0),
        food_f(2 * HOUR + 20 * MIN, 165.0),
    ];
    let standing = at(consumer(), &events[..3], 2 * HOUR);
    assert_eq!((standing.minutes_used(), standing.state), (60, ClockState::Soon));
    assert!(standing.is_out && standing.why.contains("hold had failed"), "{}", standing.why);
    // Heated through: the clock stands still, what is used stays used.
    let standing = at(consumer(), &events, 5 * HOUR);
    assert_eq!((standing.minutes_used(), standing.state), (80, ClockState::Ok));
    assert!(!standing.is_out);
    // A fridge that is too warm; food that is only being cooled is not that.
    let warm = [back(0, Control::Cold), food_f(HOUR, 50.0)];
    assert_eq!(at(consumer(), &warm, HOUR).minutes_used(), 60);
    let cooling = [back(0, Control::Chilling), food_f(HOUR, 90.0)];
    assert_eq!(at(consumer(), &cooling, HOUR).minutes_used(), 0);
    let both = [&cooling[..], &[food_f(4 * HOUR, 40.0), food_f(5 * HOUR, 45.0)]].concat();
    assert_eq!(at(consumer(), &both, 5 * HOUR).minutes_used(), 60);
    // Two probes at once: the worse one counts.
    let twice = [back(0, Control::Hot), food_f(HOUR, 150.0), food_f(HOUR, 120.0)];
    assert_eq!(at(consumer(), &twice, 2 * HOUR).minutes_used(), 120);
}

/// From the Australian 2 h / 4 h rule (FSANZ): out 50 min, back, out 80 min
/// makes 130 min: use it, do not chill it again; past 4 h throw it out.
#[test]
fn a_running_sum_first_forbids_going_back() {
    let profile = with_rule(serde_json::json!({
        "meaning": "running_sum",
        "most": {"value_minutes": 240, "printed": "4 hours", "source": source()},
        "rechill_within": {"value_minutes": 120, "printed": "2 hours", "source": source()}
    }));
    let events = [out(0), back(50 * MIN, Control::Cold), out(2 * HOUR)];
    let standing = at(&profile, &events, 2 * HOUR + 69 * MIN);
    assert!(standing.may_go_back, "{}", standing.minutes_used());
    let standing = at(&profile, &events, 2 * HOUR + 80 * MIN);
    assert_eq!((standing.minutes_used(), standing.may_go_back), (130, false));
    assert_eq!(standing.state, ClockState::Ok);
    assert!(standing.advice.contains("may not go back"), "{}", standing.advice);
    let standing = at(&profile, &events, 2 * HOUR + 190 * MIN);
    assert_eq!(standing.state, ClockState::Over);
}

/// From the UK hot rule (2 h below 63 °C, one occasion): 70 min, heated again,
/// 70 min more: the second occasion is not allowed.
#[test]
fn one_occasion_has_no_second() {
    let profile = with_rule(serde_json::json!({"meaning": "one_occasion"}));
    let events = [out(0), back(70 * MIN, Control::Hot), out(3 * HOUR)];
    let standing = at(&profile, &events[..2], 2 * HOUR + 59 * MIN);
    assert_eq!((standing.minutes_used(), standing.state), (70, ClockState::Ok));
    assert_eq!(standing.limit_ms, None);
    let standing = at(&profile, &events, 3 * HOUR);
    assert_eq!((standing.state, standing.limit_ms), (ClockState::Over, Some(3 * HOUR)));
    assert!(standing.why.contains("no second time"), "{}", standing.why);
    let standing = at(&profile, &events[..1], 2 * HOUR);
    assert_eq!((standing.state, standing.limit_ms), (ClockState::Over, Some(2 * HOUR)));
}

fn source() -> serde_json::Value {
    serde_json::to_value(&consumer().room_rule.most.source).expect("writes")
}

#[test]
fn a_profile_that_changes_counts_from_the_same_events() {
    let events = [out(0), back(90 * MIN, Control::Cold), out(3 * HOUR)];
    assert_eq!(at(consumer(), &events, 4 * HOUR).state, ClockState::Over);
    assert_eq!(at(food_code(), &events, 4 * HOUR).state, ClockState::Over);
    assert_eq!(at(food_code(), &events, 4 * HOUR - 1).state, ClockState::Soon);
    // A clock that was set back does not give time back.
    assert_eq!(at(consumer(), &events, 0).minutes_used(), 90);
}

/// A random evening on a grid of minutes: stretches in and out of control, and
/// the air. What is true at each minute is known; the events tell it.
#[derive(Debug, Clone)]
struct Evening {
    stretches: Vec<(i64, i64)>,
    air: Vec<(i64, f64)>,
    now: i64,
}

impl Evening {
    fn events(&self) -> Vec<FoodEvent> {
        let mut events: Vec<_> =
            self.air.iter().map(|&(m, c)| FoodEvent::Air { at_ms: m * MIN, celsius: c }).collect();
        let mut minute = 0;
        for &(inside, outside) in &self.stretches {
            events.push(back(minute * MIN, Control::Cold));
            events.push(out((minute + inside) * MIN));
            minute += inside + outside;
        }
        events.push(back(minute * MIN, Control::Cold));
        events.retain(|e| e.at_ms() <= self.now * MIN);
        events
    }

    fn is_out(&self, minute: i64) -> bool {
        let mut from = 0;
        self.stretches.iter().any(|&(inside, outside)| {
            let leaves = from + inside;
            from = leaves + outside;
            (leaves..from).contains(&minute)
        })
    }

    fn is_hot(&self, minute: i64) -> bool {
        let mut air: Vec<_> = self.air.iter().filter(|a| a.0 <= minute).collect();
        air.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        air.last().is_some_and(|a| a.1 > 32.0)
    }
}

fn evening() -> impl Strategy<Value = Evening> {
    (
        prop::collection::vec((1..90_i64, 1..90_i64), 1..6),
        prop::collection::vec((0..600_i64, 15.0..45.0_f64), 0..5),
        0..700_i64,
    )
        .prop_map(|(stretches, air, now)| Evening { stretches, air, now })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..Default::default() })]

    #[test]
    fn the_clock_is_the_real_time_out_in_any_order(
        (evening, shuffled) in evening().prop_flat_map(|e| {
            let events = e.events();
            let twice = [events.clone(), events].concat();
            (Just(e), Just(twice).prop_shuffle())
        }),
    ) {
        let real = (0..evening.now).filter(|&m| evening.is_out(m)).count() as i64;
        let now = evening.now * MIN;
        let standing = at(consumer(), &shuffled, now);
        prop_assert_eq!(standing.used_ms, real * MIN);
        prop_assert_eq!(&standing, &at(consumer(), &evening.events(), now));
        // Over by the strict reading, minute by minute.
        let (mut used, mut hot, mut over) = (0, false, false);
        for minute in 0..evening.now {
            if evening.is_out(minute) {
                used += 1;
                hot |= evening.is_hot(minute);
                over |= used >= if hot { 60 } else { 120 };
            }
        }
        if over {
            prop_assert_eq!(standing.state, ClockState::Over);
        } else if evening.air.is_empty() {
            prop_assert_ne!(standing.state, ClockState::Over);
        }
        // The one-episode limit is where the first time out put it.
        let first = (0..evening.now).find(|&m| evening.is_out(m));
        if let Some(first) = first {
            let standing = at(food_code(), &shuffled, now);
            prop_assert_eq!(standing.limit_ms, Some((first + 240) * MIN));
        }
    }

    #[test]
    fn forgotten_returns_and_stray_marks_never_make_the_clock_smaller(
        evening in evening(),
        forget in prop::collection::vec(any::<bool>(), 20),
        stray in prop::collection::vec((0..700_i64, 0..3_u8, -5.0..100.0_f64), 0..6),
    ) {
        let real = (0..evening.now).filter(|&m| evening.is_out(m)).count() as i64;
        let mut events = evening.events();
        let mut kept = forget.iter().cycle();
        events.retain(|e| !matches!(e, FoodEvent::Back { .. }) || kept.next() == Some(&true));
        for (minute, kind, celsius) in stray {
            let at_ms = minute.min(evening.now) * MIN;
            events.push(match kind {
                0 => out(at_ms),
                1 => FoodEvent::Air { at_ms, celsius },
                // A reading taken while it stands out says nothing for it.
                _ if evening.is_out(at_ms / MIN) => FoodEvent::Food { at_ms, celsius },
                _ => continue,
            });
        }
        let standing = at(consumer(), &events, evening.now * MIN);
        prop_assert!(standing.used_ms >= real * MIN, "{} < {}", standing.minutes_used(), real);
    }

    /// A hot hold whose food falls below the limit unseen, is measured now and
    /// then, and is heated again: at each bad reading the clock has at least
    /// the real time below.
    #[test]
    fn a_failing_hold_is_never_counted_short(
        phases in prop::collection::vec((1..120_i64, 1..120_i64), 1..5),
        readings in prop::collection::vec(0..900_i64, 1..12),
    ) {
        let good = |minute: i64| {
            let mut from = 0;
            !phases.iter().any(|&(hot, cool)| {
                let falls = from + hot;
                from = falls + cool;
                (falls..from).contains(&minute)
            })
        };
        let mut readings = readings;
        readings.sort_unstable();
        let mut events = vec![back(0, Control::Hot)];
        for minute in readings {
            events.push(food_f(minute * MIN, if good(minute) { 150.0 } else { 120.0 }));
            if !good(minute) {
                let since_good = (0..minute).rev().take_while(|&m| !good(m)).count() as i64;
                let standing = at(consumer(), &events, minute * MIN);
                prop_assert!(standing.is_out);
                prop_assert!(standing.used_ms >= since_good * MIN);
            }
        }
    }

    #[test]
    fn once_over_always_over_whatever_follows(
        events in prop::collection::vec(any_event(), 1..14),
        cut in 0..14_usize,
        later in 0..900_i64,
    ) {
        let mut events = events;
        events.sort_by_key(|e| e.at_ms());
        let known = events.get(..cut.min(events.len())).unwrap_or(&[]);
        for rule in ["two_hours", "four_hours", "six_hours_cold"] {
            for profile in [consumer(), food_code()] {
                let Some(mut clock) = RoomClock::by_rule(profile, rule, COOL) else { continue };
                known.iter().for_each(|&e| clock.add(e));
                let now = known.last().map_or(0, |e| e.at_ms());
                let before = clock.at(now);
                events.iter().skip(known.len()).for_each(|&e| clock.add(e));
                let after = clock.at(now + later * MIN);
                if before.state == ClockState::Over {
                    prop_assert_eq!(after.state, ClockState::Over, "{}", rule);
                    prop_assert!(after.limit_ms <= before.limit_ms);
                }
                prop_assert!(after.used_ms >= before.used_ms || profile.id != "us_consumer");
            }
        }
    }

    #[test]
    fn a_warning_comes_before_its_limit(events in prop::collection::vec(any_event(), 1..14)) {
        for profile in [consumer(), food_code()] {
            for minute in (0..900).step_by(7) {
                let standing = at(profile, &events, minute * MIN);
                match (standing.state, standing.warn_ms, standing.limit_ms) {
                    (_, Some(warn), Some(limit)) => prop_assert!(warn < limit),
                    (state, None, None) => prop_assert_eq!(state, ClockState::Ok),
                    _ => prop_assert!(false, "a limit without a warning"),
                }
            }
        }
    }

    #[test]
    fn no_numbers_make_it_panic(
        times in prop::collection::vec((any::<i64>(), any::<f64>(), 0..6_u8), 0..12),
        now in any::<i64>(),
        air in any::<f64>(),
    ) {
        let events = times.iter().map(|&(at_ms, celsius, kind)| event(at_ms, celsius, kind));
        for rule in ["two_hours", "four_hours", "six_hours_cold"] {
            for profile in [consumer(), food_code()] {
                if let Some(mut clock) = RoomClock::by_rule(profile, rule, air) {
                    events.clone().for_each(|e| clock.add(e));
                    let standing = clock.at(now);
                    prop_assert!(standing.used_ms >= 0);
                    let _ = (standing.minutes_used(), standing.minutes_left());
                }
            }
        }
    }
}

fn event(at_ms: i64, celsius: f64, kind: u8) -> FoodEvent {
    match kind {
        0 => out(at_ms),
        1 => back(at_ms, Control::Hot),
        2 => back(at_ms, Control::Cold),
        3 => back(at_ms, Control::Chilling),
        4 => FoodEvent::Food { at_ms, celsius },
        _ => FoodEvent::Air { at_ms, celsius },
    }
}

fn any_event() -> impl Strategy<Value = FoodEvent> {
    (0..900_i64, -5.0..100.0_f64, 0..6_u8)
        .prop_map(|(minute, celsius, kind)| event(minute * MIN, celsius, kind))
}

#[test]
fn meanings_are_written_as_files_write_them() {
    for (meaning, text) in [
        (ClockMeaning::Total, "\"total\""),
        (ClockMeaning::OneEpisodeThenDiscard, "\"one_episode_then_discard\""),
        (ClockMeaning::OneOccasion, "\"one_occasion\""),
        (ClockMeaning::RunningSum, "\"running_sum\""),
    ] {
        assert_eq!(serde_json::to_string(&meaning).ok().as_deref(), Some(text));
    }
}
