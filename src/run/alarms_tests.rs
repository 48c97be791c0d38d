//! Alarms, checked as (marks, now) -> what is raised, and what holds for any
//! marks and any way of looking at the clock.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::alarms::{alarms, at, history, raised};
use super::event::StepId;
use super::fold_tests::any_marks;
use super::state::MINUTE_MS;
use super::testbed::{adopted, evening, marks, ms, on_time, plan, state};
use super::{AlarmKind, AlarmState, Event, Mark, Rank, State, fold};

fn lines(state: &State, at_ms: i64) -> String {
    let line = |a: super::Alarm| {
        let state = match a.state {
            AlarmState::New => "new",
            AlarmState::Acknowledged => "seen",
            AlarmState::PutOff(_) => "later",
            AlarmState::Returned => "over",
        };
        format!("{:?} {state} {} [{}]", a.rank, a.title, a.key)
    };
    alarms(state, at_ms).into_iter().map(line).collect::<Vec<_>>().join("\n")
}

fn check(rows: &[(&str, &str)], at: &str, expect: &str) {
    assert_eq!(lines(&state(rows), ms(at)), expect, "at {at}");
}

#[test]
fn an_evening_on_time_is_silent() {
    for minute in 0..180 {
        let at_ms = ms("16:00") + minute * MINUTE_MS;
        let rows = on_time("19:30");
        let rows: Vec<_> = rows.into_iter().filter(|r| ms(r.0) <= at_ms).collect();
        assert_eq!(lines(&state(&rows), at_ms), "", "minute {minute}");
    }
}

#[test]
fn a_late_start_is_a_prompt_first_and_an_alarm_after_three_minutes() {
    check(&[], "16:22:59", "");
    check(&[], "16:23", "Notice new DIP is late: mix [step_due:::983]");
}

#[test]
fn a_late_start_on_which_a_service_hangs_is_an_alarm_after_one() {
    // The fries are ready two minutes before the starters.
    check(&on_time("17:20"), "17:43", "Warning new FRIES is late: fry [step_due:::1063]");
}

#[test]
fn late_starts_of_one_minute_are_one_alarm() {
    let mut two = plan(&evening());
    let start = two.blocks.iter().find(|b| b.key.dish == 1).map_or(0, |b| b.start);
    for block in two.blocks.iter_mut().filter(|b| b.key.dish == 0 && b.key.step == 0) {
        block.start = start;
    }
    let state = fold(evening(), &[Mark { seq: 1, at_ms: ms("16:00"), event: adopted(two) }]);
    assert_eq!(lines(&state, ms("16:24")), "Notice new 2 steps are late to start [step_due:::983]");
}

#[test]
fn a_start_that_drifts_from_plan_to_plan_stays_late() {
    let mut marks = marks(&[]);
    for minute in 1..=5 {
        let mut drifted = plan(&evening());
        let start = 980 + minute;
        for block in drifted.blocks.iter_mut().filter(|b| b.key.dish == 1 && b.key.step == 0) {
            block.start = start;
        }
        let at_ms = ms("16:20") + i64::from(minute) * MINUTE_MS;
        marks.push(Mark { seq: 10 + minute as u64, at_ms, event: adopted(drifted) });
    }
    let state = fold(evening(), &marks);
    assert_eq!(lines(&state, ms("16:25")), "Notice new DIP is late: mix [step_due:::983]");
}

#[test]
fn the_oven_asks_to_be_turned_on() {
    let mut rows = on_time("17:42");
    rows.retain(|r| r.1 != "oven 200");
    check(&rows, "17:44", "Notice new OVEN to 200 °C now [preheat_due:oven:200:0]");
    let set: Vec<_> = rows.into_iter().chain([("17:44", "oven 200")]).collect();
    check(&set, "17:45", "");
}

#[test]
fn a_pie_in_the_oven_is_done_then_nearly_overdone_then_overdone() {
    let rows = on_time("18:10");
    check(&rows, "18:39:59", "");
    check(&rows, "18:40:29", "");
    check(&rows, "18:40:30", "Notice new PIE is done [pull_now:pie:bake:0]");
    check(&rows, "18:47", "Warning new PIE overdone in 3 min [nearly_overdone:pie:bake:0]");
    check(&rows, "18:50", "Urgent new PIE overdone [overdone:pie:bake:0]");
    let more: Vec<_> = rows.into_iter().chain([("18:41", "more pie bake 5")]).collect();
    check(&more, "18:45", "");
    check(&more, "18:46:30", "Notice new PIE is done [pull_now:pie:bake:0]");
}

#[test]
fn seen_put_off_and_raised_anew() {
    let key = "pull_now:pie:bake:0";
    let mut rows = on_time("18:10");
    rows.push(("18:41", "seen pull_now:pie:bake:0"));
    check(&rows, "18:42", &format!("Notice seen PIE is done [{key}]"));
    // A new cause is a new alarm, though its key is the same.
    rows.push(("18:42", "more pie bake 3"));
    check(&rows, "18:45:30", &format!("Notice new PIE is done [{key}]"));
    rows.push(("18:46", "later pull_now:pie:bake:0 18:48"));
    check(&rows, "18:47", &format!("Notice later PIE is done [{key}]"));
    check(&rows, "18:48", &format!("Notice new PIE is done [{key}]"));
    assert_eq!(at(&state(&rows), ms("18:47")).next_ms, Some(ms("18:48")));
    // Worse is another alarm, whatever was done about the first.
    check(&rows, "18:52", "Warning new PIE overdone in 3 min [nearly_overdone:pie:bake:0]");
}

#[test]
fn a_dish_that_waits_too_long_is_an_alarm_only_if_it_will() {
    // Mains move to 19:20: the pie is out at 18:50 and good for a quarter of an hour.
    let mut rows = on_time("18:40");
    rows.push(("18:45", "move mains 19:20"));
    rows.retain(|r| r.1 != "serve pie");
    check(&rows, "18:59", "");
    check(&rows, "19:00", "Notice new PIE past its best in 5 min [best_soon:pie::]");
    check(&rows, "19:05", "Notice new PIE past its best [best_past:pie::]");
    rows.push(("19:06", "serve pie"));
    check(&rows, "19:06", "");
}

#[test]
fn food_on_the_table_runs_to_its_limit_and_stays_until_answered() {
    // Dairy, out of the fridge from 18:00; USDA: two hours; the lead is 30 minutes.
    let rows = on_time("19:00");
    let dip = |rows: &[(&str, &str)], at: &str| {
        let all = lines(&state(rows), ms(at));
        all.lines().filter(|l| l.contains(":dip:")).collect::<Vec<_>>().join("\n")
    };
    assert_eq!(dip(&rows, "19:19"), "");
    // Ten minutes on the counter while it was mixed count too.
    assert_eq!(dip(&rows, "19:20"), "Warning new DIP unsafe in 30 min [unsafe_soon:dip::]");
    // Seen, it comes back at the last minute at which there is time enough to act.
    let seen: Vec<_> = rows.iter().copied().chain([("19:21", "seen unsafe_soon:dip::")]).collect();
    assert!(dip(&seen, "19:29").starts_with("Warning seen"), "{}", dip(&seen, "19:29"));
    assert!(dip(&seen, "19:30").starts_with("Warning new"), "{}", dip(&seen, "19:30"));
    let again: Vec<_> = seen.iter().copied().chain([("19:31", "seen unsafe_soon:dip::")]).collect();
    assert!(dip(&again, "19:49").starts_with("Warning seen"));
    assert_eq!(dip(&rows, "19:50"), "Urgent new DIP past its safe limit [unsafe_past:dip::]");
    let mut rows = rows;
    rows.push(("19:51", "seen unsafe_past:dip::"));
    rows.push(("19:52", "later unsafe_past:dip:: 20:30"));
    assert_eq!(
        dip(&rows, "19:53"),
        "Urgent seen DIP past its safe limit [unsafe_past:dip::]",
        "a passed limit cannot be put off"
    );
    rows.push(("19:55", "clear dip put_away"));
    assert!(dip(&rows, "20:00").starts_with("Urgent seen"), "the fridge makes it no better");
    assert!(dip(&rows, "20:01").starts_with("Urgent new"), "ten minutes later it asks again");
    assert_eq!(at(&state(&rows), ms("20:00:30")).next_ms, Some(ms("20:01")));
    rows.push(("23:01", "answer unsafe_past:dip:: kept_knowingly"));
    assert_eq!(dip(&rows, "23:02"), "");
}

#[test]
fn eaten_after_the_limit_still_asks_and_thrown_out_does_not() {
    let count = |how: &'static str, at: &'static str| {
        let mut rows = on_time("19:00");
        rows.push((at, how));
        let all = lines(&state(&rows), ms("21:00"));
        all.lines().filter(|l| l.contains(":dip:")).count()
    };
    assert_eq!(count("clear dip eaten", "19:40"), 0);
    assert_eq!(count("clear dip eaten", "19:58"), 1);
    assert_eq!(count("clear dip thrown_out", "19:58"), 0);
    assert_eq!(count("clear dip put_away", "19:40"), 0);
}

#[test]
fn never_out_starts_the_clock_anew() {
    let mut rows = on_time("19:00");
    rows.push(("19:58", "answer unsafe_past:dip:: was_never_out"));
    let dip = |at: &str| {
        let all = lines(&state(&rows), ms(at));
        all.lines().filter(|l| l.contains(":dip:")).collect::<Vec<_>>().join("\n")
    };
    assert_eq!(dip("19:59"), "");
    assert_eq!(dip("21:28"), "Warning new DIP unsafe in 30 min [unsafe_soon:dip::]");
    assert_eq!(dip("21:58"), "Urgent new DIP past its safe limit [unsafe_past:dip::]");
}

#[test]
fn a_low_reading_starts_the_clock_of_a_hot_hold() {
    let soup = |rows: &[(&str, &str)], at: &str| {
        let state = state(rows);
        let board = super::holding::board(&state, ms(at));
        board.into_iter().find(|h| h.dish == 0).and_then(|h| h.safe.at_ms)
    };
    let mut rows = on_time("17:20");
    rows.retain(|r| !r.1.contains("fries"));
    assert_eq!(soup(&rows, "17:50"), None, "kept hot, as far as is known");
    // 140 °F is 60 °C (USDA Cooking for Groups): 62 is hot, 55 is not.
    rows.push(("17:40", "temp soup 62"));
    rows.push(("17:55", "temp soup 55"));
    assert_eq!(soup(&rows, "17:56"), Some(ms("19:40")), "two hours from the last good reading");
    rows.push(("18:05", "temp soup 75"));
    assert_eq!(soup(&rows, "18:06"), None, "hot again: the clock stands");
    rows.push(("18:10", "serve soup"));
    // 25 minutes are used up.
    assert_eq!(soup(&rows, "18:11"), Some(ms("19:45")));
}

#[test]
fn a_service_that_the_plan_misses_is_at_risk_until_a_plan_makes_it() {
    let late = |by: i32| {
        let mut plan = plan(&evening());
        for line in &mut plan.services {
            for dish in line.dishes.iter_mut().filter(|_| line.service == 1) {
                dish.1 = line.due + by;
                dish.2 = line.due + by;
            }
        }
        adopted(plan)
    };
    let mut marks = marks(&on_time("18:10"));
    let mut seq = 100;
    let mut add = |marks: &mut Vec<Mark>, at: &str, event| {
        seq += 1;
        marks.push(Mark { seq, at_ms: ms(at), event });
    };
    let at = |marks: &[Mark], at: &str| lines(&fold(evening(), marks), ms(at));
    add(&mut marks, "18:11", late(2));
    assert_eq!(at(&marks, "18:11"), "", "two minutes are not worth an alarm");
    add(&mut marks, "18:12", late(6));
    let first = "MAINS about 6 min late [service_at_risk:mains::0]";
    assert_eq!(at(&marks, "18:12"), "", "a better plan may follow within seconds");
    let later = |secs: i64| lines(&fold(evening(), &marks), ms("18:12") + secs * 1_000);
    assert_eq!(later(9), "");
    assert_eq!(later(10), format!("Warning new {first}"));
    add(&mut marks, "18:13", super::testbed::event("seen service_at_risk:mains::0"));
    add(&mut marks, "18:14", late(8));
    assert!(at(&marks, "18:14").contains("seen MAINS about 8 min late"));
    add(&mut marks, "18:15", late(15));
    assert!(at(&marks, "18:15").contains("new MAINS about 15 min late [service_at_risk:mains::1]"));
    add(&mut marks, "18:16", late(0));
    assert_eq!(at(&marks, "18:17"), "Notice over MAINS on time again [service_at_risk:mains::1]");
    assert_eq!(at(&marks, "18:27"), "");
    add(&mut marks, "18:28", late(15));
    let soon = Mark { seq: 200, at_ms: ms("18:28") + 5_000, event: late(0) };
    marks.push(soon);
    assert_eq!(
        at(&marks, "18:29"),
        "",
        "what stood for five seconds was not told, and is not taken back"
    );
}

#[test]
fn days_ahead_a_service_that_is_missed_is_no_alarm() {
    let mut late = plan(&evening());
    late.services.iter_mut().for_each(|line| line.dishes.iter_mut().for_each(|d| d.1 += 30));
    let marks = [Mark { seq: 1, at_ms: ms("12:00") - 48 * 60 * MINUTE_MS, event: adopted(late) }];
    let state = fold(evening(), &marks);
    assert_eq!(lines(&state, ms("05:30")), "");
    assert!(lines(&state, ms("07:30")).contains("late [service_at_risk"), "half a day ahead it is");
}

#[test]
fn a_service_whose_time_has_come_without_its_dish_is_late() {
    let rows: Vec<_> = on_time("18:40").into_iter().filter(|r| !r.1.contains("pie")).collect();
    let found = lines(&state(&rows), ms("19:03"));
    assert!(found.contains("MAINS about 3 min late [service_at_risk:mains::0]"), "{found}");
}

#[test]
fn after_a_long_sleep_every_alarm_is_there_in_order_of_danger() {
    let found = alarms(&state(&on_time("18:10")), ms("02:10") + 24 * 60 * MINUTE_MS);
    let kinds: Vec<AlarmKind> = found.iter().map(|a| a.kind).collect();
    use AlarmKind::{Overdone, ServiceAtRisk, UnsafePast};
    assert_eq!(kinds, [UnsafePast, UnsafePast, UnsafePast, Overdone, ServiceAtRisk]);
    assert!(found.is_sorted_by_key(|a| std::cmp::Reverse(a.rank)));
}

#[test]
fn the_history_keeps_what_was_cleared() {
    let mut rows = on_time("18:10");
    rows.push(("18:48", "done pie bake"));
    let kinds: Vec<(AlarmKind, Rank)> = history(evening(), &marks(&rows), ms("18:50"))
        .into_iter()
        .filter(|r| r.key.contains(":pie:"))
        .map(|r| (r.kind, r.rank))
        .collect();
    assert_eq!(
        kinds,
        [(AlarmKind::PullNow, Rank::Notice), (AlarmKind::NearlyOverdone, Rank::Warning)]
    );
}

/// What a program sees that looks at these times, and at each mark before it counts.
fn seen_at(marks: &[Mark], ticks: &[i64], end_ms: i64) -> BTreeSet<(String, i64)> {
    let mut state = State::new(evening());
    let mut seen = BTreeSet::new();
    let mut look = |state: &State, at_ms: i64| {
        seen.extend(raised(state, at_ms).into_iter().map(|a| (a.key, a.raised_ms)));
    };
    let mut from_ms = i64::MIN;
    for mark in marks {
        let until_ms = mark.at_ms;
        ticks.iter().filter(|t| (from_ms..until_ms).contains(*t)).for_each(|t| look(&state, *t));
        look(&state, until_ms);
        state.apply(mark);
        from_ms = until_ms;
    }
    ticks.iter().filter(|t| (from_ms..end_ms).contains(*t)).for_each(|t| look(&state, *t));
    look(&state, end_ms);
    seen
}

/// Marks in order of time, as a running program appends them.
fn in_order(marks: Vec<Mark>) -> Vec<Mark> {
    // A clock that is set back has tests of its own.
    let kept = marks.into_iter().filter(|m| !matches!(m.event, Event::ClockSetBack { .. }));
    let marks: Vec<Mark> = kept.collect();
    let mut times: Vec<i64> =
        marks.iter().map(|m| m.at_ms.clamp(ms("15:00"), ms("23:00"))).collect();
    times.sort_unstable();
    marks.into_iter().zip(times).map(|(m, at_ms)| Mark { at_ms, ..m }).collect()
}

/// A fridge that fails with two parts of the dip in it: both warn at once, and one
/// press sees both; each is answered by itself.
#[test]
fn what_comes_up_together_is_seen_together() {
    let mut rows = on_time("17:20");
    rows.extend([("17:45", "down fridge"), ("17:45", "part dip 1 off")]);
    let state = state(&rows);
    let found = alarms(&state, ms("19:30"));
    let dip: Vec<&str> =
        found.iter().filter(|a| a.key.contains(":dip:")).map(|a| a.key.as_str()).collect();
    assert_eq!(dip, ["unsafe_soon:dip::", "unsafe_soon:dip:part1:"]);
    let both = super::alarms::bundle(&found, dip[1]);
    let foods = ["unsafe_past:pie::", dip[0], dip[1]];
    assert_eq!(both.iter().map(|a| a.key.as_str()).collect::<Vec<_>>(), foods);
    assert!(super::alarms::bundle(&found, "no such").is_empty());
    let told = super::alarms::bundles(state.evening(), &found, ms("19:30"));
    let foods = told.iter().find(|b| b.safety).expect("told as one");
    let title = "3 FOODS: PIE past the safe limit; DIP and DIP part 1 unsafe in ";
    assert!(foods.title.starts_with(title), "{foods:#?}");
    assert_eq!(foods.rank, Rank::Urgent);
    // Where the dip is is known, where the part of it was put is not: they share no cause.
    let roots: Vec<Option<&str>> = both.iter().map(|a| a.root.as_deref()).collect();
    assert_eq!(roots[1], Some("The fridge is out of order since 17:45."), "{roots:?}");
    assert_eq!(foods.cause, "All came up at 19:05.");
    // The lesser ones are held back by design, and can be shown.
    let past = at(&state, ms("23:00")).held_back;
    assert!(past.iter().any(|a| a.key == "unsafe_soon:dip::"), "{past:#?}");
}

/// Ingredients out too long before the oven, and the pie then too long on the table: the first limit
/// stands, at its own time, and the second does not take its place.
#[test]
fn a_limit_passed_later_does_not_replace_the_first() {
    let out = StepId { dish: "pie".to_owned(), step: "fill".to_owned(), load: 0 };
    let marks = [
        Mark { seq: 1, at_ms: ms("15:00"), event: Event::IngredientsOut { id: out } },
        Mark { seq: 2, at_ms: ms("23:00"), event: Event::Served { dish: "pie".to_owned() } },
    ];
    let state = fold(evening(), &marks);
    for hours in 0..7 {
        let found = raised(&state, ms("23:00") + hours * 60 * MINUTE_MS);
        let past: Vec<i64> =
            found.iter().filter(|a| a.key == "unsafe_past:pie::").map(|a| a.raised_ms).collect();
        assert_eq!(past, [ms("17:00")], "{hours} h on the table");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Every unseen alarm is told, in one bundle or alone, in order of danger, and
    /// a bundle sounds by the highest rank in it; food is never mixed with the rest.
    #[test]
    fn bundles_hold_every_unseen_alarm_once(marks in any_marks(), at in 0_i64..600) {
        let state = fold(evening(), &marks);
        let now_ms = ms("15:00") + at * MINUTE_MS;
        let found = alarms(&state, now_ms);
        let told = super::alarms::bundles(state.evening(), &found, now_ms);
        for bundle in &told {
            let of = |key: &String| found.iter().find(|a| a.key == *key).expect("there");
            let members: Vec<&crate::run::view::Alarm> = bundle.keys.iter().map(of).collect();
            prop_assert!(members.len() > 1);
            prop_assert!(members.iter().all(|a| a.state == AlarmState::New));
            prop_assert!(members.iter().all(|a| a.safety == bundle.safety));
            prop_assert_eq!(members.iter().map(|a| a.rank).max(), Some(bundle.rank));
            prop_assert!(members.is_sorted_by_key(|a| std::cmp::Reverse(a.rank)));
        }
        for safety in [true, false] {
            let new = found.iter().filter(|a| a.state == AlarmState::New && a.safety == safety);
            let told = told.iter().filter(|b| b.safety == safety).map(|b| b.keys.len()).sum::<usize>();
            let count = new.count();
            prop_assert_eq!(told, if count > 1 { count } else { 0 });
        }
    }

    /// Coarse ticks, fine ticks, a gap of eight hours, a clock that jumps back
    /// and comes again: the alarms raised by a time are the same.
    #[test]
    fn how_often_one_looks_makes_no_difference(
        marks in any_marks(),
        coarse in prop::collection::vec(0_i64..480, 0..12),
        length in 0_i64..480,
    ) {
        let marks = in_order(marks);
        let last = marks.last().map_or(ms("16:00"), |m| m.at_ms);
        let end_ms = last + length * MINUTE_MS;
        let start_ms = marks.first().map_or(ms("16:00"), |m| m.at_ms);
        let fine: Vec<i64> = (0..480).map(|m| start_ms + m * MINUTE_MS).collect();
        let coarse: Vec<i64> = coarse.into_iter().map(|m| ms("15:00") + m * MINUTE_MS).collect();
        let often = seen_at(&marks, &fine, end_ms);
        prop_assert_eq!(&often, &seen_at(&marks, &coarse, end_ms));
        prop_assert_eq!(&often, &seen_at(&marks, &[], end_ms));
        let noted: BTreeSet<(String, i64)> = history(evening(), &marks, end_ms)
            .into_iter().map(|r| (r.key, r.raised_ms)).collect();
        prop_assert_eq!(often, noted);
    }

    /// Between two marks each cause raises one alarm, at one time, and the next
    /// one is announced: nothing is raised before `next_ms`.
    #[test]
    fn each_cause_fires_once_and_is_announced(marks in any_marks(), minutes in 1_i64..400) {
        let marks = in_order(marks);
        let state = fold(evening(), &marks);
        let start_ms = marks.last().map_or(ms("16:00"), |m| m.at_ms);
        let mut fired: BTreeMap<String, i64> = BTreeMap::new();
        let mut next = at(&state, start_ms).next_ms;
        for alarm in raised(&state, start_ms) {
            fired.insert(alarm.key, alarm.raised_ms);
        }
        for minute in 1..=minutes {
            let at_ms = start_ms + minute * MINUTE_MS;
            for alarm in raised(&state, at_ms) {
                let before = fired.insert(alarm.key.clone(), alarm.raised_ms);
                if let Some(before) = before {
                    prop_assert_eq!(before, alarm.raised_ms, "{}", alarm.key);
                } else {
                    prop_assert!(next.is_some_and(|n| n <= at_ms), "{} unannounced", alarm.key);
                }
            }
            next = at(&state, at_ms).next_ms;
        }
    }

    /// The most pressing comes first, and a passed safety limit is never put off.
    #[test]
    fn alarms_are_ranked(marks in any_marks(), at in 0_i64..600) {
        let state = fold(evening(), &marks);
        let found = alarms(&state, ms("15:00") + at * MINUTE_MS);
        let active: Vec<_> = found.iter()
            .filter(|a| matches!(a.state, AlarmState::New | AlarmState::Acknowledged)).collect();
        prop_assert!(active.is_sorted_by_key(|a| std::cmp::Reverse(a.rank)));
        for alarm in found.iter().filter(|a| a.kind == AlarmKind::UnsafePast) {
            prop_assert!(!matches!(alarm.state, AlarmState::PutOff(_) | AlarmState::Returned));
        }
        for alarm in &found {
            prop_assert!(!alarm.remedy.is_empty() && !alarm.cause.is_empty());
            prop_assert_eq!(alarm.key.split(':').count(), 4);
            prop_assert!(alarm.title.chars().count() <= 40, "{}", alarm.title);
        }
    }
}
