//! The clock of food at the moments at which something begins or ends: what left control this very moment is out, what
//! was not known yet is not counted, and what is dropped or thrown out counts up to then and no further.

use std::sync::Arc;

use super::event::{Event, Mark, StepId};
use super::food::{self, standing};
use super::testbed::{evening, event, marks, ms, state};
use super::{State, fold};
use crate::kitchen::{Evening, Kept};
use crate::safety::{ClockState, Control};

/// Minutes that a dish was out, as known and at a time.
fn used(state: &State, dish: usize, at: &str) -> Option<i64> {
    standing(state, dish, ms(at)).map(|s| s.minutes_used())
}

fn in_evening(rows: &[(&str, &str)], change: impl Fn(&mut Evening)) -> State {
    let mut evening = Evening::clone(&evening());
    change(&mut evening);
    fold(Arc::new(evening), &marks(rows))
}

#[test]
fn what_leaves_control_this_moment_is_out() {
    let at_once = |rows: &[(&str, &str)], dish, at: &str| {
        standing(&state(rows), dish, ms(at)).map(|s| (s.minutes_used(), s.is_out))
    };
    assert_eq!(at_once(&[("16:20", "start dip mix")], 1, "16:20"), Some((0, true)));
    assert_eq!(at_once(&[("17:00", "early pie fill")], 3, "17:00"), Some((0, true)));
}

/// Told at half past, for ten minutes before: at 16:25 nobody knew.
#[test]
fn what_is_told_later_was_not_known_before() {
    let mix = StepId { dish: "dip".into(), step: "mix".into(), load: 0 };
    let station = "board".to_owned();
    let told = Event::Started { id: mix, way: 0, station, cook: None, ago_minutes: 10 };
    let mut all = marks(&[]);
    all.push(Mark { seq: 9, at_ms: ms("16:30"), event: told });
    let state = fold(evening(), &all);
    assert_eq!((used(&state, 1, "16:25"), used(&state, 1, "16:30")), (None, Some(10)));
}

#[test]
fn what_is_thrown_out_half_made_counts_up_to_then() {
    let thrown = [("16:20", "start dip mix"), ("16:30", "clear dip thrown_out")];
    let used_at = |more: &[(&'static str, &'static str)], at: &str| {
        used(&state(&[&thrown[..], more].concat()), 1, at)
    };
    assert_eq!((used_at(&[], "16:30"), used_at(&[], "17:00")), (Some(10), Some(10)));
    // Begun anew, its minutes go on: the first ones with them, to be on the safe side.
    let anew = [("16:40", "start dip chill")];
    assert_eq!(used_at(&anew, "17:00"), Some(20));
    // What is begun of another dish says nothing of this one.
    assert_eq!(used_at(&[("16:40", "start pie fill")], "17:00"), Some(10));
}

#[test]
fn what_is_dropped_is_out_until_it_is_put_into_the_cold() {
    let rows = |at: &'static str| {
        [("16:20", "start dip mix"), ("16:25", "drop dip"), (at, "hold dip 0 fridge")]
    };
    assert_eq!(used(&state(&rows("16:25")), 1, "17:00"), Some(5));
    assert_eq!(used(&state(&rows("16:35")), 1, "17:00"), Some(15));
    let from_there = [&rows("16:35")[..], &[("16:50", "hold dip 0 board")]].concat();
    assert_eq!(used(&state(&from_there), 1, "17:00"), Some(25));
    // On the heat too, from the first moment on.
    let soup =
        [("16:40", "start soup chop"), ("16:50", "start soup simmer"), ("17:06", "drop soup")];
    assert!(food::is_there(&state(&soup), 0, ms("17:06")));
    assert!(!food::is_there(&state(&soup[..1]), 0, ms("16:45")), "leeks alone need no cold");
    // Dry things become perishable by being cooked, though the second load waits.
    let dry = |rows: &[(&str, &str)]| {
        in_evening(rows, |e| e.sheets[2].recipe.ingredients[0].kept = Kept::Cupboard)
    };
    let fries = [("17:42", "start fries fry 0"), ("17:45", "drop fries")];
    assert!(food::is_there(&dry(&fries), 2, ms("17:45")));
}

/// Two loads of one step at the counter, ten minutes each: from the first start to the last end.
#[test]
fn loads_count_from_the_first_to_the_last() {
    let rows = [
        ("16:20", "start dip mix 0"),
        ("16:30", "done dip mix 0"),
        ("16:30", "start dip mix 1"),
        ("16:40", "done dip mix 1"),
        ("16:40", "start dip chill"),
    ];
    let two = |e: &mut Evening| {
        e.sheets[1].recipe.steps[0].ways[0].load_servings = Some(4);
    };
    let at = |at: &str| {
        let rows: Vec<_> = rows.iter().copied().filter(|r| ms(r.0) <= ms(at)).collect();
        used(&in_evening(&rows, two), 1, at)
    };
    assert_eq!((at("16:35"), at("16:39"), at("17:00")), (Some(15), Some(19), Some(20)));
}

/// Of an alarm the dish is that of the evening, the part that of its key.
#[test]
fn the_food_of_an_alarm_is_in_its_key() {
    let state = state(&[]);
    let of = |key: &str| food::of_alarm(&state, key).map(|f| (f.dish, f.part));
    assert_eq!(of("unsafe_past:pie::"), Some((3, None)));
    assert_eq!(of("cooling_missed:soup:part2:"), Some((0, Some(2))));
    assert_eq!((of("unsafe_past:cake::"), of("pull_now:pie:bake:0")), (None, None));
    assert!(matches!(event("part soup 2 off"), Event::Portion { part: 2, .. }));
}

/// A part has behind it what the whole had until it was taken off, and then its own; put with something else it goes
/// where that goes.
#[test]
fn a_part_shares_the_past_of_its_dish_and_the_future_of_what_it_is_put_with() {
    let served = super::testbed::on_time("18:00");
    let with = |more: &[(&'static str, &'static str)]| {
        let mut rows = [&served[..], more].concat();
        rows.sort_by_key(|r| ms(r.0));
        state(&rows)
    };
    let part = food::Food { dish: 0, part: Some(1) };
    let kept = |state: &State, at: &str| food::phases_of(state, part, ms(at)).last().map(|p| p.1);
    let out = Some(food::Keeping::Out);
    // What is done with the rest afterwards is not done with the part; what was done in that moment is.
    let apart = with(&[("18:10", "part soup 1 off"), ("18:20", "hold soup 0 fridge")]);
    assert_eq!(kept(&apart, "18:30"), out);
    let together = with(&[("18:10", "hold soup 9 fridge"), ("18:10:01", "part soup 1 off")]);
    assert_ne!(kept(&together, "18:30"), out);
    let taken = |state: &State| -> Vec<i64> {
        super::portions::taken(state, part).iter().map(|r| r.celsius as i64).collect()
    };
    let read = [
        ("17:30", "temp soup 80"),
        ("18:10", "part soup 1 off"),
        ("18:15", "temp soup 70"),
        ("18:20", "part soup 1 temp 60"),
        ("18:25", "temp dip 8"),
    ];
    assert_eq!(taken(&with(&read)), [80, 60]);
    let joined = [
        ("18:30", "part soup 1 join dip"),
        ("18:45", "temp dip 20"),
        ("18:50", "hold dip 0 fridge"),
    ];
    let both = with(&[&read[..], &joined].concat());
    assert_eq!(taken(&both), [80, 60, 20]);
    // With the dip it is in the fridge; the hold's number is one of the dip's, and among the soup's own it is a hot one.
    assert_eq!(kept(&both, "18:51"), Some(food::Keeping::In(Control::Chilling)));
    let on_the_board = [
        ("18:10", "part soup 1 off"),
        ("18:50", "done pie rest"),
        ("18:50", "hold pie 0 board"),
        ("18:52", "part soup 1 join pie"),
    ];
    let pie = super::testbed::on_time("18:45");
    let mut rows = [&pie[..], &on_the_board].concat();
    rows.sort_by_key(|r| ms(r.0));
    assert_eq!(
        kept(&state(&rows), "18:55"),
        out,
        "it stands on the board, whatever its own recipe says"
    );
}

/// Food Code 2022, 3-501.14(A): 70 °F (21 °C) within two hours.
#[test]
fn the_report_says_how_what_is_left_is_cooled() {
    let mut rows = super::testbed::on_time("19:00");
    rows.push(("19:20", "clear soup put_away"));
    let state = fold(super::testbed::evening_by("us_food_code_2022"), &marks(&rows));
    let text = super::report(&state, ms("19:30")).text(&state);
    let within = format!("Cool hot food to 21 °C within {}", super::words::minutes(120));
    assert!(text.contains(&within), "{text}");
}

/// What the screens show of the evening besides what to do.
#[test]
fn the_view_has_all_that_runs_is_done_and_is_out_early() {
    let rows = [&super::testbed::on_time("18:10")[..], &[("18:11", "early pie rest")]].concat();
    let view = super::view(&state(&rows), ms("18:12"));
    let rest = super::testbed::key(&evening(), "pie", "rest", 0);
    assert_eq!(view.early, [rest]);
    let (begun, done) = ("18:13", [("18:12", "start pie rest")]);
    assert!(super::view(&state(&[&rows[..], &done].concat()), ms(begun)).early.is_empty());
    assert_eq!(view.phases.len(), 9);
    assert!(view.phases.is_sorted_by_key(|p| p.0));
    let fill = super::testbed::key(&evening(), "pie", "fill", 0);
    let span = view.spans.iter().find(|s| s.key == fill).expect("it was begun");
    assert_eq!((span.from_ms, span.to_ms), (ms("17:05"), ms("17:20")));
    let two = super::view(&state(&super::testbed::on_time("17:10")), ms("17:12"));
    assert!(
        two.running.len() > 1 && two.running.is_sorted_by_key(|p| p.due_ms),
        "{:?}",
        two.running
    );
}

#[test]
fn a_clock_that_has_run_has_left_control_though_it_stands_now() {
    let chilled = super::testbed::on_time("17:59");
    let left = |guidance: &str, rows: &[(&str, &str)]| {
        let state = fold(super::testbed::evening_by(guidance), &marks(rows));
        food::has_left_control(&state, 1, ms("17:59"))
    };
    assert!(left("us_consumer", &chilled), "ten minutes of mixing");
    assert!(!left("us_food_code_2022", &chilled), "where preparation counts apart");
    assert!(!left("us_consumer", &[]));
}

/// Measured this very moment, the air counts at once: above 90 °F (32 °C) one hour instead of two.
#[test]
fn hot_air_counts_from_the_moment_at_which_it_was_measured() {
    let rows = [&super::testbed::on_time("18:00")[..], &[("18:30", "air 35")]].concat();
    let limit = |at: &str| standing(&state(&rows), 1, ms(at)).and_then(|s| s.limit_ms);
    assert_eq!(limit("18:30"), limit("18:31"));
    assert!(limit("18:30") < limit("18:29"));
}

/// What was said of a dish before a part of it was taken off is said of the part; what was said later is not.
#[test]
fn an_answer_is_of_the_parts_that_were_in_it() {
    let served = super::testbed::on_time("18:00");
    let part = food::Food { dish: 1, part: Some(1) };
    let open = |off: &'static str, answered: &'static str| {
        let more = [(off, "part dip 1 off"), (answered, "answer unsafe_past:dip:: kept_knowingly")];
        let mut rows = [&served[..], &more].concat();
        rows.sort_by_key(|r| ms(r.0));
        food::passed(&state(&rows), part, ms("20:10")).is_some()
    };
    assert!(!open("20:00:01", "20:00"));
    assert!(open("19:59", "20:00"), "nobody said anything of this one");
    let whole = |answered: &'static str| {
        let rows = [&served[..], &[(answered, "answer unsafe_past:dip:: kept_knowingly")]].concat();
        food::passed(&state(&rows), food::Food::whole(1), ms("20:10")).is_some()
    };
    assert!(!whole("19:50"), "at its limit itself");
}

/// "It was never out" forgives what was before it and no more, on the counter as it is made too.
#[test]
fn never_out_counts_from_that_word_on() {
    let word = ("18:25", "answer unsafe_past:dip:: was_never_out");
    let mixing = [("16:20", "start dip mix"), word];
    assert_eq!(
        (used(&state(&mixing), 1, "18:25"), used(&state(&mixing), 1, "18:30")),
        (Some(0), Some(5))
    );
    let chills =
        [("16:20", "start dip mix"), ("18:22", "done dip mix"), ("18:22", "start dip chill"), word];
    assert_eq!(used(&state(&chills), 1, "18:40").unwrap_or(0), 0);
}

/// Ten minutes on the way; then it measures 50 °C in its hold, from the moment in which it was put there.
#[test]
fn a_reading_of_the_moment_is_of_the_place_where_it_was_put() {
    let more = [("17:30", "hold soup 0 hob"), ("17:30", "temp soup 50")];
    let rows = [&super::testbed::on_time("17:20")[..], &more].concat();
    assert_eq!(used(&state(&rows), 0, "17:50"), Some(30));
    let more = [("17:30", "hold soup 0 hob"), ("17:30", "temp soup 80")];
    let hot = [&super::testbed::on_time("17:20")[..], &more].concat();
    assert!(used(&state(&hot), 0, "17:50").is_none_or(|used| used <= 10));
}

/// Eaten, it was said; if it stands there again after all, nobody knows where it was meanwhile.
#[test]
fn what_is_there_again_was_out_all_the_while() {
    let back = |to: &'static str| {
        let more = [("18:20", "clear dip eaten"), ("18:30", to)];
        let rows = [&super::testbed::on_time("18:00")[..], &more].concat();
        used(&state(&rows), 1, "19:00")
    };
    assert_eq!((back("hold dip 0 board"), back("hold dip 0 fridge")), (Some(70), Some(40)));
}

/// From when on a dish is kept how: hot until its oven is turned down; never hot in one that was turned down as it came.
#[test]
fn a_hold_lasts_until_its_station_fails() {
    use food::Keeping::{In, Out};
    let kept = |more: &[(&'static str, &'static str)]| {
        let rows = [&super::testbed::on_time("18:40")[..], more].concat();
        let kept = food::phases(&state(&rows), 3, ms("19:30")).into_iter();
        kept.filter(|p| p.0 >= ms("18:51")).collect::<Vec<_>>()
    };
    let fails = [("18:50", "oven 80"), ("18:51", "hold pie 1 oven"), ("19:00", "oven 50")];
    assert_eq!(kept(&fails), [(ms("18:51"), In(Control::Hot)), (ms("19:00"), Out)]);
    let at_once = [("18:50", "oven 80"), ("18:51", "hold pie 1 oven"), ("18:51", "oven 50")];
    assert_eq!(kept(&at_once), [(ms("18:51"), Out)]);
}

fn by(guidance: &str, rows: &[(&str, &str)]) -> State {
    fold(super::testbed::evening_by(guidance), &marks(rows))
}

fn after(until: &str, more: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    let mut rows = [&super::testbed::on_time(until)[..], more].concat();
    rows.sort_by_key(|r| ms(r.0));
    rows
}

/// Four hours by the Food Code, 3-501.19(B); by our choice as many for preparation, which counts apart.
#[test]
fn preparation_that_took_too_long_stays_past_its_limit_on_the_table() {
    let state = by("us_food_code_2022", &after("18:00", &[("12:00", "early dip mix")]));
    let stands = standing(&state, 1, ms("18:30")).expect("runs");
    assert_eq!((stands.state, stands.limit_ms), (ClockState::Over, Some(ms("16:00"))));
    assert_eq!((stands.minutes_used(), stands.is_out), (270, true));
    // That it was never out counts for preparation too, from that word on.
    let word = ("17:10", "answer unsafe_past:pie:: was_never_out");
    let pie = [("12:30", "early pie fill"), ("17:05", "start pie fill"), word];
    let stands = standing(&by("us_food_code_2022", &pie), 3, ms("17:40")).expect("runs");
    assert_eq!((stands.state, stands.minutes_used()), (ClockState::Ok, 30));
}

/// The pie rests on the counter from 18:40 to 18:50. Left there, it is out since 18:40, by any guidance, and once; put
/// into the hot oven within five minutes it was being made and carried.
#[test]
fn what_goes_straight_into_its_hold_was_not_out() {
    for (guidance, most) in [("us_food_code_2022", 240), ("uk", 120)] {
        let pie = |more: &[(&'static str, &'static str)], at: &str| {
            let rested = [&[("18:50", "oven 80"), ("18:50", "done pie rest")][..], more].concat();
            standing(&by(guidance, &after("18:40", &rested)), 3, ms(at))
                .expect("it runs or has run")
        };
        let stays = pie(&[], "19:10");
        assert_eq!(stays.limit_ms, Some(ms("18:40") + most * 60_000), "{guidance}");
        assert_ne!(stays.state, ClockState::Over, "{guidance}: once, not twice");
        for at in ["18:54", "18:55"] {
            let held = pie(&[(at, "hold pie 1 oven")], "19:30");
            assert_eq!((held.minutes_used(), held.limit_ms, held.is_out), (10, None, false));
        }
        assert!(pie(&[("18:55:01", "hold pie 1 oven")], "19:30").minutes_used() > 10);
        // Measured too cold on its way, it has been out since it was finished.
        let cold = [("18:52", "temp pie 50"), ("18:54", "hold pie 1 oven")];
        let limit = pie(&cold, "19:30").limit_ms;
        assert_eq!(limit, Some(ms("18:50") + most * 60_000), "{guidance}");
    }
}

/// From the moment on at which it is taken out its time runs: it is too late for another rule.
#[test]
fn in_the_moment_in_which_it_is_taken_out_no_other_rule_can_be_chosen() {
    let notes = |at: &'static str| {
        by("us_food_code_2022", &after("18:00", &[(at, "rule dip six_hours_cold")])).notes().len()
    };
    assert_eq!((notes("17:59:59"), notes("18:00")), (0, 1));
}

#[test]
fn a_reading_counts_from_the_moment_at_which_the_dish_was_finished_and_at_once() {
    let soup = |read: (&'static str, &'static str), at: &str| {
        used(&state(&after("17:20", &[read])), 0, at)
    };
    assert_eq!(soup(("17:20", "temp soup 50"), "17:50"), Some(30));
    assert_eq!(soup(("17:40", "temp soup 50"), "17:40"), Some(20));
    // Put into its place before it was finished, it waits there from then on.
    let early = state(&after("17:20", &[("17:00", "hold soup 0 hob")]));
    let kept = food::phases(&early, 0, ms("17:30"));
    assert_eq!(kept, [(ms("17:20"), food::Keeping::In(Control::Hot))]);
}

#[test]
fn a_station_that_works_again_keeps_food_and_one_that_fails_does_so_at_once() {
    use food::Keeping::{In, Out};
    let kept = |more: &[(&'static str, &'static str)], at: &str| {
        let all = [more, &[("18:50", "oven 80"), ("18:51", "hold pie 1 oven")]].concat();
        food::phases(&state(&after("18:40", &all)), 3, ms(at)).last().map(|p| p.1)
    };
    let (down, up) = (("18:45", "down oven"), ("18:47", "up oven"));
    assert_eq!(kept(&[down], "19:00"), Some(Out));
    assert_eq!(kept(&[down, up], "19:00"), Some(In(Control::Hot)));
    assert_eq!(kept(&[("18:51", "down oven")], "19:00"), Some(Out));
    let fails = [("19:00", "oven 50")];
    assert_eq!(kept(&fails, "18:59:59"), Some(In(Control::Hot)));
    assert_eq!(kept(&fails, "19:00"), Some(Out));
}

/// The dip chills until 17:30 and no place to wait is planned. Taken out before that it stands on the counter.
#[test]
fn what_ends_in_the_fridge_by_itself_stays_there() {
    let kept = |more: &[(&'static str, &'static str)]| {
        let mut plan = super::testbed::plan(&evening());
        plan.holds.clear();
        let mut all = marks(&after("16:30", more));
        all[0].event = super::testbed::adopted(plan);
        food::phases(&fold(evening(), &all), 1, ms("18:00"))
    };
    let cold = [(ms("17:30"), food::Keeping::In(Control::Cold))];
    assert_eq!((kept(&[]), kept(&[("17:30", "done dip chill")])), (cold.to_vec(), cold.to_vec()));
    assert_eq!(kept(&[("17:25", "done dip chill")]), [(ms("17:25"), food::Keeping::Out)]);
}

/// Out since 18:40, two hours; 66 °C at the end of its baking is another matter.
#[test]
fn an_answer_about_a_reading_is_none_about_the_time_out() {
    let more = [("18:39", "temp pie 66"), ("20:45", "answer undercooked:pie:: kept_knowingly")];
    let state = state(&after("19:00", &more));
    assert_eq!(state.notes().len(), 0, "{:?}", state.notes());
    assert!(food::passed(&state, food::Food::whole(3), ms("20:46")).is_some());
}

/// On the table since 18:00, over at 19:50; it had never been out, says the cook at 20:00. Of a part that is taken off
/// afterwards nobody has said so.
#[test]
fn never_out_forgives_what_stood_on_the_table_before() {
    let word = ("20:00", "answer unsafe_past:dip:: was_never_out");
    let state = state(&after("18:00", &[word, ("20:01", "part dip 1 off")]));
    assert_eq!(used(&state, 1, "20:10"), Some(10));
    let part = food::Food { dish: 1, part: Some(1) };
    assert!(food::passed(&state, part, ms("20:10")).is_some());
}

#[test]
fn the_guidance_of_a_moment_is_the_last_that_was_changed_to() {
    let id = |state: &State, at: &str| food::profile_at(state, ms(at)).map(|p| p.id.clone());
    let changed = state(&[("17:00", "guidance uk"), ("18:00", "guidance canada")]);
    assert_eq!(id(&changed, "16:59:59").as_deref(), Some("us_consumer"));
    assert_eq!(id(&changed, "17:00").as_deref(), Some("uk"));
    assert_eq!(id(&changed, "18:00").as_deref(), Some("canada"));
    // One that nobody knows is taken for the strictest.
    let most = |p: &crate::safety::Profile| p.room_rule.most.value_minutes;
    let least = crate::safety::Profile::all().iter().map(most).min();
    assert_eq!(food::profile(&by("atlantis", &[])).map(most), least);
}

/// The potatoes of the second load.
fn second_load_out(rows: &[(&str, &str)], at: &str) -> State {
    let second = StepId { dish: "fries".into(), step: "fry".into(), load: 1 };
    let mut all = marks(rows);
    all.push(Mark { seq: 900, at_ms: ms(at), event: Event::IngredientsOut { id: second } });
    fold(evening(), &all)
}

/// The first load stands on the counter from 17:50 on. What is taken out for the second at 19:00 takes no minute away.
#[test]
fn what_is_taken_out_for_a_second_load_gives_the_first_no_time_back() {
    let first = [("17:42", "start fries fry 0"), ("17:50", "done fries fry 0")];
    let state = second_load_out(&first, "19:00");
    assert_eq!(used(&state, 2, "19:10"), Some(80));
}

/// The potatoes are out from 16:00 on; the first load of them is fried, and in the fridge, before 18:00.
#[test]
fn what_waits_for_a_second_load_is_out_wherever_the_first_one_is() {
    let first = [
        ("16:00", "early fries fry"),
        ("17:42", "start fries fry 0"),
        ("17:50", "done fries fry 0"),
        ("17:55", "hold fries 0 fridge"),
    ];
    let stands = |guidance: &str, more: &[(&str, &str)], at: &str| {
        let rows = [&first[..], more].concat();
        standing(&by(guidance, &rows), 2, ms(at)).map(|s| (s.state, s.minutes_used(), s.is_out))
    };
    // Two hours in all by USDA's consumer guidance, four by the Food Code.
    let consumer = |at: &str| stands("us_consumer", &[], at);
    assert_eq!(consumer("17:59"), Some((ClockState::Soon, 119, true)));
    assert_eq!(consumer("18:00"), Some((ClockState::Over, 120, true)));
    let code = |more: &[(&str, &str)], at: &str| stands("us_food_code_2022", more, at);
    assert_eq!(code(&[], "19:59").map(|s| s.0), Some(ClockState::Soon));
    assert_eq!(code(&[], "20:00").map(|s| s.0), Some(ClockState::Over));
    // Fried too, or thrown out, it counts no more.
    let fried = [("17:58", "start fries fry 1")];
    assert_eq!(stands("us_consumer", &fried, "18:10"), Some((ClockState::Ok, 5, false)));
    let thrown = [("18:30", "clear fries thrown_out")];
    assert_ne!(code(&thrown, "21:00").map(|s| s.0), Some(ClockState::Over));
    // Put back into the fridge, all of it is there.
    let back = [("17:57", "putback fries fry")];
    assert_eq!(stands("us_consumer", &back, "18:10"), Some((ClockState::Ok, 117, false)));
}
