//! When a thermometer is wanted, and what readings give cause for.

use super::alarms::alarms;
use super::measure::{self, EVERY_MINUTES};
use super::testbed::{evening_by, marks, ms, on_time};
use super::{AlarmKind, Event, Mark, PortionDid, Rank, State, fold, marks as may};
use crate::kitchen::StationKind;

type Rows = Vec<(&'static str, &'static str)>;

fn by(guidance: &str, until: &str, more: &[(&'static str, &'static str)]) -> State {
    let mut rows: Rows = on_time(until);
    rows.extend(more);
    rows.sort_by_key(|r| ms(r.0));
    fold(evening_by(guidance), &marks(&rows))
}

fn due(state: &State, dish: usize, at: &str) -> Option<(String, String)> {
    let wanted = measure::wanted(state, ms(at));
    let found = wanted.into_iter().find(|m| m.dish == dish)?;
    let clock = state.evening().face.label(state.minute(found.due_ms));
    Some((clock, found.why))
}

fn of(state: &State, at: &str, kind: AlarmKind) -> Option<(Rank, String)> {
    let found = alarms(state, ms(at)).into_iter().find(|a| a.kind == kind)?;
    Some((found.rank, found.cause))
}

/// USDA chart, June 2012: casseroles 165 °F (73.9 °C). The pie's bake ends at
/// 18:40, and a minute of it is hands.
#[test]
fn the_end_of_cooking_asks_for_the_least_inner_temperature() {
    let state = by("us_consumer", "18:10", &[]);
    let (at, why) = due(&state, 3, "18:10").expect("asked for");
    assert_eq!(at, "18:39");
    assert!(why.contains("end of cooking") && why.contains("73.9 °C"), "{why}");
    // Too low: again in five minutes. Hot enough: no more.
    let low = by("us_consumer", "18:10", &[("18:39", "temp pie 66")]);
    assert_eq!(due(&low, 3, "18:40").map(|d| d.0), Some("18:44".into()));
    let hot = by("us_consumer", "18:10", &[("18:39", "temp pie 66"), ("18:44", "temp pie 75")]);
    assert_eq!(due(&hot, 3, "18:45"), None);
    // The dip is not cooked.
    assert_eq!(due(&state, 1, "18:10"), None);
}

#[test]
fn food_taken_off_the_heat_too_soon_is_an_alarm_until_it_is_hot_or_answered() {
    let low = [("18:39", "temp pie 66")];
    let done = by("us_consumer", "18:40", &low);
    let (rank, cause) = of(&done, "18:41", AlarmKind::Undercooked).expect("raised");
    assert!(rank == Rank::Warning && cause.contains("66.0 °C") && cause.contains("73.9 °C"));
    assert_eq!(of(&by("us_consumer", "18:39", &low), "18:39", AlarmKind::Undercooked), None);
    let served = by("us_consumer", "19:00", &low);
    assert_eq!(of(&served, "19:01", AlarmKind::Undercooked).map(|a| a.0), Some(Rank::Urgent));
    // A reading of later, on the table, does not take it away.
    let cold = by("us_consumer", "19:00", &[low[0], ("19:20", "temp pie 50")]);
    assert!(of(&cold, "19:21", AlarmKind::Undercooked).is_some());
    for (at, mends) in [
        ("18:46", "temp pie 75"),
        ("19:05", "answer undercooked:pie:: kept_knowingly"),
        ("19:05", "answer undercooked:pie:: discarded"),
        ("19:05", "clear pie thrown_out"),
    ] {
        let state = by("us_consumer", "19:00", &[low[0], (at, mends)]);
        assert_eq!(of(&state, "19:30", AlarmKind::Undercooked), None, "{mends}");
    }
    // Not one that may be put off once it is on the table.
    let off = Event::AlarmPutOff { alarm: "undercooked:pie::".into(), until_ms: ms("19:10") };
    assert!(may::check(&served, &off, ms("19:01")).is_err());
}

/// On the hob from 17:20; every two hours while it is there.
#[test]
fn a_hot_hold_is_measured_when_it_begins_and_every_two_hours() {
    let state = by("us_consumer", "17:20", &[]);
    let (at, why) = due(&state, 0, "17:25").expect("asked for");
    assert_eq!(at, "17:20");
    assert!(why.contains("hot hold") && why.contains("60 °C"), "{why}");
    let hot = by("us_consumer", "17:20", &[("17:26", "temp soup 72")]);
    assert_eq!(due(&hot, 0, "17:30").map(|d| d.0), Some("19:26".into()));
    assert_eq!(EVERY_MINUTES, 120);
    // Measured at the end of cooking already.
    let before = by("us_consumer", "17:20", &[("17:15", "temp soup 80")]);
    assert_eq!(due(&before, 0, "17:30").map(|d| d.0), Some("19:15".into()));
    let cold = by("us_consumer", "17:20", &[("17:26", "temp soup 55")]);
    assert_eq!(due(&cold, 0, "17:27").map(|d| d.0), Some("17:31".into()));
    // On the table there is nothing to measure: its time counts.
    assert_eq!(due(&by("us_consumer", "18:00", &[]), 0, "18:05"), None);
}

/// Food Code 2022, 3-501.14(A): from 135 °F, 70 °F (21 °C) within 2 h, 41 °F
/// (5 °C) within 6 h. By USDA's consumer guidance no temperature on the way.
#[test]
fn cooling_food_is_measured_until_it_is_cold_and_too_slow_is_an_alarm() {
    let left = [("20:00", "temp soup 70"), ("20:00", "clear soup put_away")];
    let with = |more: &[(&'static str, &'static str)]| {
        by("us_food_code_2022", "17:20", &[&left[..], more].concat())
    };
    let (at, why) = due(&with(&[]), 0, "20:05").expect("asked for");
    assert_eq!(at, "21:00", "half of the first stage");
    assert!(why.contains("21.1 °C or colder by 22:00"), "{why}");
    let slow = with(&[("20:30", "temp soup 56"), ("21:00", "temp soup 54")]);
    assert!(due(&slow, 0, "21:01").is_some_and(|d| d.1.contains("too slow")));
    let cold =
        with(&[("21:00", "temp soup 30"), ("21:40", "temp soup 20"), ("23:00", "temp soup 4")]);
    assert_eq!(due(&cold, 0, "23:01"), None);
    assert_eq!(of(&cold, "23:59", AlarmKind::CoolingMissed), None);
    let missed = with(&[("21:00", "temp soup 45"), ("22:05", "temp soup 30")]);
    assert!(of(&missed, "22:06", AlarmKind::CoolingMissed).is_some_and(|a| a.0 == Rank::Urgent));
    // Getting cold later does not make it good; an answer ends it.
    let late = with(&[("22:05", "temp soup 30"), ("23:30", "temp soup 4")]);
    assert!(of(&late, "23:31", AlarmKind::CoolingMissed).is_some());
    let gone =
        with(&[("22:05", "temp soup 30"), ("22:06", "answer cooling_missed:soup:: discarded")]);
    assert_eq!(of(&gone, "22:07", AlarmKind::CoolingMissed), None);
    assert!(gone.is_gone(0));
    assert_eq!(due(&by("us_consumer", "17:20", &left), 0, "20:05"), None);
}

/// A reading that was confirmed as typed may still not fit the one before; that
/// is asked by itself, of parts too.
#[test]
fn a_reading_out_of_order_is_asked_back() {
    let state = by("us_consumer", "17:59", &[("17:40", "temp dip 4")]);
    let warm = Event::Temperature { dish: "dip".into(), celsius: 14.0 };
    assert!(may::is_out_of_order(&state, &warm, ms("17:50")));
    let refused = may::check(&state, &warm, ms("17:50")).expect_err("asked back");
    assert!(refused.may_insist && refused.text.contains("not heated since"), "{}", refused.text);
    let fits = Event::Temperature { dish: "dip".into(), celsius: 5.0 };
    assert!(!may::is_out_of_order(&state, &fits, ms("17:50")));
    let nothing = Event::Temperature { dish: "dip".into(), celsius: 900.0 };
    assert!(may::check(&state, &nothing, ms("17:50")).is_err_and(|r| !r.may_insist));
    let fridge = PortionDid::HeldAt {
        hold: None,
        place: StationKind::Fridge,
        station: Some("fridge".into()),
    };
    let mut state = by("us_consumer", "18:00", &[]);
    let part = |did| Event::Portion { dish: "soup".into(), part: 1, did };
    let mark = |seq, at: &str, event| Mark { seq, at_ms: ms(at), event };
    state.apply(&mark(90, "18:10", part(fridge)));
    state.apply(&mark(91, "18:40", part(PortionDid::Temperature { celsius: 40.0 })));
    let hotter = part(PortionDid::Temperature { celsius: 60.0 });
    assert!(may::is_out_of_order(&state, &hotter, ms("19:00")));
    assert!(may::check(&state, &hotter, ms("19:00")).is_err_and(|r| r.may_insist));
}

/// FDA Food Code 2022, 3-501.19(C): six hours for food that starts at 41 °F and
/// never passes 70 °F, instead of four; chosen before it is taken out.
#[test]
fn the_rule_of_six_hours_is_chosen_before_the_food_is_taken_out() {
    let chosen = |more: &[(&'static str, &'static str)]| {
        let first = [("16:01", "air 20"), ("17:40", "temp dip 4")];
        by("us_food_code_2022", "18:00", &[&first[..], more].concat())
    };
    let limit = |state: &State, at: &str| {
        let standing = super::food::standing(state, 1, ms(at)).expect("runs");
        standing.limit_ms.map(|ms| state.evening().face.label(state.minute(ms)))
    };
    let six = chosen(&[("17:50", "rule dip six_hours_cold")]);
    assert_eq!(limit(&six, "18:30"), Some("00:00".into()), "{:?}", six.notes());
    assert_eq!(limit(&chosen(&[]), "18:30"), Some("22:00".into()));
    // One warm reading ends it at once.
    let warm = chosen(&[("17:50", "rule dip six_hours_cold"), ("20:00", "temp dip 21.7")]);
    assert_eq!(limit(&warm, "20:01"), Some("20:00".into()));
    // Too late, unknown, or taken back: the ordinary four hours.
    for odd in [("18:10", "rule dip six_hours_cold"), ("17:50", "rule dip seven_hours")] {
        let state = chosen(&[odd]);
        assert_eq!(limit(&state, "18:30"), Some("22:00".into()), "{odd:?}");
        assert_eq!(state.notes().len(), 1, "{odd:?}");
    }
    let back = chosen(&[("17:50", "rule dip six_hours_cold"), ("17:51", "rule dip")]);
    assert_eq!(limit(&back, "18:30"), Some("22:00".into()));
    let late = Event::RuleChosen { dish: "dip".into(), rule: Some("six_hours_cold".into()) };
    assert!(may::check(&chosen(&[]), &late, ms("18:10")).is_err_and(|r| !r.may_insist));
    // In a warm room the rule does not hold.
    let warm = [("16:01", "air 24"), ("17:40", "temp dip 4"), ("17:50", "rule dip six_hours_cold")];
    let warm = by("us_food_code_2022", "18:00", &warm);
    assert_eq!(limit(&warm, "18:30"), Some("22:00".into()));
}
