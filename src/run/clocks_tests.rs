//! The clock of each food over whole evenings: by every guidance, with parts
//! that go their own way, ingredients out early, and clocks that were wrong.

use std::sync::Arc;

use proptest::prelude::*;

use super::event::{Event, Mark};
use super::food::{self, Food};
use super::testbed::{evening, evening_by, event, marks, ms};
use super::view::AlarmKind;
use super::{State, alarms, fold};
use crate::kitchen::Clockface;
use crate::safety::{ClockState, Profile};

const MIN: i64 = 60_000;

fn by(guidance: &str, rows: &[(&str, &str)]) -> State {
    fold(evening_by(guidance), &marks(rows))
}

fn used(state: &State, dish: &str, at: &str) -> i64 {
    let dish = evening().dish_index(dish).expect("known");
    food::standing(state, dish, ms(at)).map_or(-1, |s| s.minutes_used())
}

fn stands(state: &State, dish: &str, at: &str) -> ClockState {
    let dish = evening().dish_index(dish).expect("known");
    food::standing(state, dish, ms(at)).map_or(ClockState::Ok, |s| s.state)
}

fn passed_keys(state: &State, at: &str) -> Vec<String> {
    let all = alarms::alarms(state, ms(at));
    let past = all.into_iter().filter(|a| a.kind == AlarmKind::UnsafePast);
    past.map(|a| a.key).collect()
}

/// Off the heat at 17:20; it waits on the hob, as planned.
const SOUP: [(&str, &str); 4] = [
    ("16:40", "start soup chop"),
    ("16:50", "done soup chop"),
    ("16:50", "start soup simmer"),
    ("17:20", "done soup simmer"),
];

fn soup_and(rows: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    SOUP.iter().chain(rows).copied().collect()
}

/// USDA: 2 h in all. Food Code 2022, 3-501.19(B): 4 h from when it first left
/// control. UK: 2 h, once. Australia, New Zealand: 4 h in all. Canada: 2 h.
#[test]
fn each_guidance_has_its_own_limit_and_meaning() {
    let rows =
        soup_and(&[("17:20", "serve soup"), ("18:10", "hold soup 0 hob"), ("19:00", "serve soup")]);
    // Out 50 min, kept hot 50 min, out from 19:00 on.
    for (id, at_20_00, over_at) in [
        ("us_consumer", 110, Some("20:10")),
        ("canada", 110, Some("20:10")),
        ("australia", 110, Some("22:10")),
        ("new_zealand", 110, Some("22:10")),
        // Since 17:20, whatever came between.
        ("us_food_code_2022", 160, Some("21:20")),
        // A second time out is not allowed at all.
        ("uk", 50, Some("19:00")),
    ] {
        let state = by(id, &rows);
        assert_eq!(used(&state, "soup", "20:00"), at_20_00, "{id}");
        let over_at = over_at.expect("each has one");
        let over = |at_ms| {
            let known = marks(&rows).into_iter().filter(|m| m.at_ms <= at_ms);
            let state = fold(evening_by(id), &known.collect::<Vec<_>>());
            food::standing(&state, 0, at_ms).map(|s| s.state)
        };
        assert_ne!(over(ms(over_at) - 1), Some(ClockState::Over), "{id}");
        assert_eq!(over(ms(over_at)), Some(ClockState::Over), "{id}");
        // The warning came before the alarm.
        let keys: Vec<_> = super::alarms::history(evening_by(id), &marks(&rows), ms("23:00"))
            .into_iter()
            .filter(|a| a.key.contains("soup"))
            .map(|a| (a.kind, a.raised_ms))
            .collect();
        let at = |kind| keys.iter().find(|k| k.0 == kind).map(|k| k.1);
        assert_eq!(at(AlarmKind::UnsafePast), Some(ms(over_at)), "{id}");
        assert!(at(AlarmKind::UnsafeSoon).is_some_and(|t| t <= ms(over_at)), "{id}: {keys:?}");
    }
}

/// FSANZ: after 2 h in all it may still be eaten but not put back.
#[test]
fn after_the_first_sum_food_is_used_and_not_kept() {
    let state = by("australia", &soup_and(&[("17:20", "serve soup")]));
    let advice = |at| food::standing(&state, 0, ms(at)).expect("runs").advice;
    assert!(advice("19:19").contains("fridge"), "{}", advice("19:19"));
    assert!(advice("19:20").contains("may not go back"), "{}", advice("19:20"));
    assert_eq!(stands(&state, "soup", "21:20"), ClockState::Over);
}

/// A clock reckons by instants: midnight and the night on which the clocks
/// change (29 March 2026 in Europe, 01:00 UTC) are nothing to it.
#[test]
fn midnight_and_summer_time_do_not_touch_a_clock() {
    let mut evening = super::super::kitchen::Evening::clone(&evening());
    evening.face = Clockface::fixed(evening.party.day, 0);
    let evening = Arc::new(evening);
    let late: Vec<Mark> = marks(&soup_and(&[("17:20", "serve soup")]))
        .into_iter()
        .map(|m| Mark { at_ms: m.at_ms + 6 * 60 * MIN, ..m })
        .collect();
    let state = fold(evening, &late);
    // Off the hob at 23:20: over at 01:20 of the next day.
    let over = ms("23:20") + 120 * MIN;
    let at = |t| food::standing(&state, 0, t).map(|s| (s.minutes_used(), s.state));
    assert_eq!(at(over - MIN), Some((119, ClockState::Soon)));
    assert_eq!(at(over), Some((120, ClockState::Over)));
}

/// On a hot day an hour counts, and food that was out for most of it before is
/// warned of the moment that it comes out again, not a tick later.
#[test]
fn what_comes_out_in_hot_air_is_warned_of_at_once() {
    let rows = [
        ("16:00", "early pie fill"),
        ("16:58", "putback pie fill"),
        ("17:10", "air 34"),
        ("17:20", "start pie fill"),
    ];
    let keys = |at| -> Vec<String> {
        let all = alarms::alarms(&by("us_consumer", &rows), ms(at)).into_iter();
        all.filter(|a| a.safety).map(|a| a.key).collect()
    };
    assert_eq!(keys("17:20"), ["unsafe_soon:pie::"]);
    assert_eq!(keys("17:21"), ["unsafe_soon:pie::"]);
    assert_eq!(keys("17:22"), ["unsafe_past:pie::"]);
}

/// That the rest was fried is only told when the dish is served: what had
/// passed its limit by then stays past it, whenever the rest is said to have
/// gone in.
#[test]
fn heat_that_is_told_of_late_undoes_no_limit() {
    let mut rows = vec![
        ("16:00", "early fries fry"),
        ("17:42", "start fries fry 0"),
        ("17:50", "done fries fry 0"),
    ];
    assert!(passed_keys(&by("canada", &rows), "17:59").is_empty());
    assert_eq!(passed_keys(&by("canada", &rows), "18:00"), ["unsafe_past:fries::"]);
    rows.push(("18:03", "serve fries"));
    assert_eq!(passed_keys(&by("canada", &rows), "18:03"), ["unsafe_past:fries::"]);
    assert_eq!(passed_keys(&by("canada", &rows), "19:03"), ["unsafe_past:fries::"]);
    rows.push(("18:10", "answer unsafe_past:fries:: kept_knowingly"));
    assert!(passed_keys(&by("canada", &rows), "18:10").is_empty());
}

/// The cook's clock was an hour fast and was set right: the food was out as
/// long as it was out.
#[test]
fn a_clock_that_was_set_back_takes_no_minute_from_the_food() {
    let rows = soup_and(&[("17:20", "serve soup"), ("17:50", "setback 60")]);
    // By the right clock: out since 16:20; it is 16:50 now, then 18:20.
    let mut state_marks = marks(&rows);
    let last = state_marks.last_mut().expect("there");
    last.at_ms = ms("16:50");
    let state = fold(evening(), &state_marks);
    assert_eq!(used(&state, "soup", "16:50"), 30);
    assert_eq!(stands(&state, "soup", "18:19"), ClockState::Soon);
    assert_eq!(stands(&state, "soup", "18:20"), ClockState::Over);
    // Mark by mark it is the same.
    let mut by_one = State::new(evening());
    state_marks.iter().for_each(|m| by_one.apply(m));
    assert_eq!(by_one, state);
    // Taken back, the marks stand where they were.
    let undo = Mark { seq: 99, at_ms: ms("17:51"), event: Event::Undone { seq: 7 } };
    state_marks.push(undo);
    assert_eq!(used(&fold(evening(), &state_marks), "soup", "17:51"), 31);
}

/// Changing the guidance mid-way counts anew from the same events, and back.
#[test]
fn another_guidance_counts_the_same_events_anew() {
    let rows = soup_and(&[("17:20", "serve soup"), ("19:25", "guidance australia")]);
    let state = by("us_consumer", &rows);
    assert_eq!(state.evening().party.guidance, "australia");
    assert_eq!(stands(&state, "soup", "19:25"), ClockState::Ok);
    assert_eq!(stands(&by("us_consumer", &rows[..5]), "soup", "19:25"), ClockState::Over);
    let mut back = rows.clone();
    back.push(("19:30", "guidance us_consumer"));
    assert_eq!(stands(&by("us_consumer", &back), "soup", "19:30"), ClockState::Over);
    assert!(super::needs_reshuffle(&state, ms("19:25")).is_some());
    // A guidance that there is not changes nothing.
    let odd = by("us_consumer", &[("17:00", "guidance atlantis")]);
    assert_eq!(odd.evening().party.guidance, "us_consumer");
    assert_eq!(odd.notes().len(), 1);
}

/// USDA: 1 h above 90 °F (32 °C). The garden is measured while the soup is out.
#[test]
fn a_room_that_turns_out_hot_shortens_the_clock() {
    let state = by("us_consumer", &soup_and(&[("17:20", "serve soup"), ("18:00", "air 33")]));
    assert_eq!(stands(&state, "soup", "18:19"), ClockState::Soon);
    assert_eq!(stands(&state, "soup", "18:20"), ClockState::Over);
    assert_eq!(state.evening().party.room_c, 33);
    // A cool room later does not lengthen it again.
    let rows = soup_and(&[("17:20", "serve soup"), ("18:00", "air 33"), ("18:10", "air 20")]);
    assert_eq!(stands(&by("us_consumer", &rows), "soup", "18:20"), ClockState::Over);
}

/// The cream for the pie stands on the counter from 16:20 on.
#[test]
fn ingredients_out_early_count_until_they_go_back_or_are_cooked() {
    let early = [("16:20", "early pie fill")];
    assert_eq!(used(&by("us_consumer", &early), "pie", "17:00"), 40);
    let back = [early[0], ("16:50", "putback pie fill"), ("17:05", "start pie fill")];
    assert_eq!(used(&by("us_consumer", &back), "pie", "17:25"), 50);
    let used_on = [early[0], ("17:05", "start pie fill"), ("17:20", "done pie fill")];
    assert_eq!(used(&by("us_consumer", &used_on), "pie", "17:20"), 60);
    let late = [("17:05", "start pie fill"), ("17:10", "early pie fill")];
    let state = by("us_consumer", &late);
    assert_eq!((used(&state, "pie", "17:10"), state.notes().len()), (5, 1));
}

/// Heat ends the clock, but not the memory of a limit that was passed: toxins
/// survive it (Baldwin 2012, p. 21).
#[test]
fn a_passed_limit_stays_though_the_food_is_cooked_since() {
    let rows = [
        ("16:00", "early pie fill"),
        ("17:05", "start pie fill"),
        ("18:05", "start pie bake"),
        ("18:45", "done pie bake"),
    ];
    let state = by("us_consumer", &rows);
    // Out 16:00 to 18:05.
    assert_eq!(passed_keys(&by("us_consumer", &rows[..2]), "18:00"), ["unsafe_past:pie::"]);
    assert_eq!(passed_keys(&state, "18:10"), ["unsafe_past:pie::"]);
    assert_eq!(passed_keys(&state, "18:50"), ["unsafe_past:pie::"]);
    let kept = [&rows[..], &[("18:50", "answer unsafe_past:pie:: kept_knowingly")]].concat();
    assert!(passed_keys(&by("us_consumer", &kept), "18:51").is_empty());
    let never = [&rows[..], &[("18:50", "answer unsafe_past:pie:: was_never_out")]].concat();
    assert!(passed_keys(&by("us_consumer", &never), "18:51").is_empty());
    let gone = [&rows[..], &[("18:50", "answer unsafe_past:pie:: discarded")]].concat();
    let gone = by("us_consumer", &gone);
    assert!(passed_keys(&gone, "18:51").is_empty() && gone.is_gone(3));
}

/// Food Code 2022, 3-501.16(A): the hold limits do not bind during preparation.
/// Without end it may not be either: by our choice, as long as the rule allows.
#[test]
fn preparation_is_no_episode_but_has_an_end() {
    let rows = [("13:10", "early pie fill"), ("17:05", "start pie fill")];
    let state = by("us_food_code_2022", &rows);
    assert_eq!(stands(&state, "pie", "16:09"), ClockState::Ok);
    assert_eq!(stands(&state, "pie", "17:09"), ClockState::Soon);
    assert_eq!(stands(&state, "pie", "17:10"), ClockState::Over);
}

#[test]
fn half_on_the_table_and_half_in_the_fridge_have_a_clock_each() {
    let rows = soup_and(&[
        ("17:20", "hold soup 0 hob"),
        ("18:00", "part soup 1 serve"),
        ("19:00", "serve soup"),
    ]);
    let state = by("us_consumer", &rows);
    let of = |part, at: &str| {
        food::standing_of(&state, Food { dish: 0, part }, ms(at)).map(|s| s.minutes_used())
    };
    assert_eq!((of(Some(1), "19:30"), of(None, "19:30")), (Some(90), Some(30)));
    assert_eq!(passed_keys(&state, "20:00"), ["unsafe_past:soup:part1:"]);
    assert_eq!(passed_keys(&state, "21:00"), ["unsafe_past:soup::", "unsafe_past:soup:part1:"],);
    // What is done about the one says nothing of the other.
    let rows = [&rows[..], &[("21:05", "answer unsafe_past:soup:part1: discarded")]].concat();
    let state = by("us_consumer", &rows);
    assert_eq!(passed_keys(&state, "21:06"), ["unsafe_past:soup::"]);
    assert!(state.portion_is_gone((0, 1)) && !state.is_gone(0));
}

#[test]
fn what_is_put_together_counts_by_what_was_out_longest() {
    let rows = soup_and(&[
        ("17:20", "hold soup 0 hob"),
        ("17:30", "part soup 1 serve"),
        ("18:40", "part soup 1 join soup"),
        ("19:00", "serve soup"),
    ]);
    let state = by("us_consumer", &rows);
    // The part: 70 min on the table, then with the rest, and out again at 19:00.
    assert_eq!(used(&state, "soup", "19:30"), 100);
    assert_eq!(passed_keys(&state, "19:50"), ["unsafe_past:soup::"]);
    assert!(super::holding::portions(&state, ms("19:00")).is_empty());
}

#[test]
fn odd_marks_about_parts_are_noted_and_harm_nothing() {
    let rows = soup_and(&[
        ("17:20", "serve soup"),
        ("17:21", "part soup 0 off"),
        ("17:22", "part soup 1 temp 60"),
        ("17:23", "part soup 1 off"),
        ("17:24", "part soup 1 join soup 1"),
        ("17:25", "part soup 1 join soup 7"),
        ("17:26", "part soup 2 off"),
        ("17:27", "part soup 2 join soup 1"),
        ("17:28", "part soup 1 join soup 2"),
        ("17:29", "part soup 2 serve"),
    ]);
    let state = by("us_consumer", &rows);
    assert_eq!(state.notes().len(), 7, "{:?}", state.notes());
    assert_eq!(used(&state, "soup", "18:20"), 60);
}

/// What one bit of food lives through, minute by minute from 16:00, written
/// without any of the code above: is it out?
#[derive(Debug, Clone)]
struct Life {
    /// Minutes after 16:00, rising: early out, fill, bake, off, moves.
    early: Option<i64>,
    fill: i64,
    bake: i64,
    off: i64,
    moves: Vec<(i64, u8)>,
    split: Option<i64>,
    part_moves: Vec<(i64, u8)>,
    join: Option<i64>,
    /// The dish is dropped, and perhaps brought back.
    drop: Option<(i64, Option<i64>)>,
    /// Wall clock steps: (true minute, minutes the clock is moved by).
    steps: Vec<(i64, i64)>,
    now: i64,
}

/// Where the moves lead: 0 hot in the oven, 1 onto the counter, 2 to the
/// table, 3 into the fridge.
fn is_out_there(place: u8) -> bool {
    matches!(place, 1 | 2)
}

impl Life {
    /// Is the rest (or the part) out of control in this minute?
    fn is_out(&self, minute: i64, part: bool) -> bool {
        if minute < self.bake {
            return self.early.is_some_and(|e| minute >= e) || minute >= self.fill;
        }
        if minute < self.off {
            return false;
        }
        let last = |moves: &[(i64, u8)], until: i64| {
            moves.iter().rev().find(|m| m.0 <= until).map(|m| m.1)
        };
        let of_rest = |until| last(&self.moves, until).is_none_or(is_out_there);
        let Some(split) = self.split.filter(|s| part && minute >= *s) else {
            return of_rest(minute);
        };
        if self.join.is_some_and(|j| minute >= j) {
            // Unmarked places count as out.
            return of_rest(minute);
        }
        match last(&self.part_moves, minute).filter(|_| true) {
            Some(place) => is_out_there(place),
            None => of_rest(split),
        }
    }

    /// Minutes out since the last heat, counted one by one.
    fn real(&self, part: bool) -> i64 {
        let from = if self.now >= self.bake { self.bake } else { 0 };
        (from..self.now).filter(|m| self.is_out(*m, part)).count() as i64
    }

    /// The wall clock at a true minute, in ms, and the marks with it.
    fn wall(&self, minute: i64) -> i64 {
        let by: i64 = self.steps.iter().filter(|s| s.0 <= minute).map(|s| s.1).sum();
        ms("16:00") + (minute + by) * MIN
    }

    fn marks(&self) -> Vec<Mark> {
        let place = |code: u8, part: bool| match (code, part) {
            (0, false) => "hold pie 1 oven",
            (1, false) => "hold pie 0 board",
            (2, false) => "serve pie",
            (_, false) => "hold pie 9 fridge",
            (0, true) => "part pie 1 oven",
            (1, true) => "part pie 1 board",
            (2, true) => "part pie 1 serve",
            (_, true) => "part pie 1 fridge",
        };
        let mut rows: Vec<(i64, u8, String)> = vec![
            (self.fill, 1, "start pie fill".into()),
            (self.bake, 2, "start pie bake".into()),
            (self.off, 3, "done pie bake".into()),
            (self.off, 3, "skip pie rest".into()),
        ];
        rows.extend(self.early.map(|m| (m, 0, "early pie fill".into())));
        rows.extend(self.moves.iter().map(|m| (m.0, 4, place(m.1, false).into())));
        rows.extend(self.split.map(|m| (m, 5, "part pie 1 off".into())));
        rows.extend(self.part_moves.iter().map(|m| (m.0, 6, place(m.1, true).into())));
        rows.extend(self.join.map(|m| (m, 7, "part pie 1 join pie".into())));
        rows.extend(self.drop.map(|d| (d.0, 8, "drop pie".into())));
        rows.extend(self.drop.and_then(|d| d.1).map(|m| (m, 9, "back pie".into())));
        let back = self.steps.iter().filter(|s| s.1 < 0);
        rows.extend(back.map(|s| (s.0, 0, format!("setback {}", -s.1))));
        rows.retain(|r| r.0 <= self.now);
        rows.sort();
        let mark = |(i, row): (usize, &(i64, u8, String))| Mark {
            seq: i as u64 + 1,
            at_ms: self.wall(row.0),
            event: event(&row.2),
        };
        rows.iter().enumerate().map(mark).collect()
    }
}

fn life() -> impl Strategy<Value = Life> {
    let moves = || prop::collection::vec((1..80_i64, 0..4_u8), 0..5);
    let steps = prop::collection::vec((0..400_i64, prop_oneof![-90..-1_i64, 1..90_i64]), 0..3);
    (
        (prop::option::of(0..60_i64), 60..90_i64, 1..60_i64, 20..60_i64),
        (moves(), prop::option::of(0..120_i64), moves(), prop::option::of(0..120_i64)),
        (steps, 0..500_i64, prop::option::of((0..300_i64, prop::option::of(1..120_i64)))),
    )
        .prop_map(
            |((early, fill, to_bake, to_off), (moves, split, parts, join), (steps, now, drop))| {
                let (bake, off) = (fill + to_bake, fill + to_bake + to_off);
                let rising = |from: i64, moves: Vec<(i64, u8)>| {
                    let mut at = from;
                    moves
                        .into_iter()
                        .map(|(gap, place)| {
                            at += gap;
                            (at, place)
                        })
                        .collect::<Vec<_>>()
                };
                let moves = rising(off, moves);
                let split = split.map(|s| off + 1 + s);
                let part_moves = split.map_or_else(Vec::new, |s| rising(s, parts));
                let last = part_moves.last().map_or(split.unwrap_or(off), |m| m.0);
                let join = split.and(join).map(|j| last + 1 + j);
                let mut steps = steps;
                steps.sort_unstable();
                let drop = drop.map(|(at, back)| (at, back.map(|b| at + b)));
                Life { early, fill, bake, off, moves, split, part_moves, join, drop, steps, now }
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..Default::default() })]

    /// Against a count minute by minute: no clock is ever short, by any
    /// guidance that sums; and without wall clocks that were wrong it is exact.
    #[test]
    fn no_clock_is_smaller_than_the_real_time_out(life in life()) {
        let now_ms = life.wall(life.now);
        for guidance in ["us_consumer", "canada", "australia", "new_zealand"] {
            let state = fold(evening_by(guidance), &life.marks());
            let used = |part| {
                food::standing_of(&state, Food { dish: 3, part }, now_ms).map_or(0, |s| s.used_ms)
            };
            let (rest, part) = (life.real(false) * MIN, life.real(true) * MIN);
            let there = life.split.is_some_and(|s| s <= life.now);
            let joined = life.join.is_some_and(|j| j <= life.now);
            prop_assert!(used(None) >= rest, "{}: {} < {rest}", guidance, used(None));
            if joined {
                prop_assert!(used(None) >= part, "{}: {} < {part}", guidance, used(None));
            } else if there {
                prop_assert!(used(Some(1)) >= part, "{}: {} < {part}", guidance, used(Some(1)));
            }
            if life.steps.is_empty() && life.drop.is_none() && !joined {
                prop_assert_eq!(used(None), rest);
                if there {
                    prop_assert_eq!(used(Some(1)), part);
                }
            }
            // The limit is passed when the real time has, whatever the profile's clock means.
            let most = Profile::by_id(guidance).expect("built in").room_rule.most.value_minutes;
            if life.real(false) >= most {
                let standing = food::standing(&state, 3, now_ms).expect("runs");
                prop_assert_eq!(standing.state, ClockState::Over);
            }
        }
    }
}
