use serde_json::json;

use super::*;
use crate::run::testbed::{ms, on_time, state};

fn back(rows: &[(&str, &str)], now: &str) -> LookBack {
    look_back(&state(rows), ms(now))
}

fn edit<'a>(back: &'a LookBack, at: &str) -> Option<&'a Edit> {
    back.next_time.iter().find(|e| e.at == at)
}

/// The evening as planned up to a time, with other marks after it.
fn but(until: &str, more: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    on_time(until).into_iter().chain(more.iter().copied()).collect()
}

#[test]
fn an_evening_as_planned_has_nothing_late() {
    let back = back(&on_time("19:00"), "19:01");
    assert_eq!(back.late, []);
    assert!(back.services.iter().all(|s| !s.words.contains("late")), "{:?}", back.services);
    assert_eq!(back.next_time, []);
}

#[test]
fn what_took_long_is_the_last_link_of_the_chain() {
    let rows = [
        ("17:45", "start pie fill"),
        ("17:59", "done pie fill"),
        ("18:00", "start pie bake"),
        ("18:55", "done pie bake"),
        ("18:55", "start pie rest"),
        ("19:06", "serve pie"),
    ];
    let back = back(&rows, "19:10");
    let mains = back.late.iter().find(|l| l.what == "Mains").expect("late");
    assert_eq!(mains.minutes, 6);
    assert!(mains.chain.last().unwrap().contains("bake"), "{mains:?}");
    assert!(mains.chain.last().unwrap().contains("longer than planned"), "{mains:?}");
    // 55 minutes are beyond the recipe's high of 50: the recipe is asked about, half the way.
    let change = edit(&back, "/steps/1/ways/0/minutes").expect("a change");
    assert_eq!(change.was, json!({"low": 35, "likely": 40, "high": 50}));
    assert_eq!(change.becomes, json!({"low": 35, "likely": 48, "high": 55}));
    assert_eq!(edit(&back, "/on_time_percent").unwrap().becomes, 95);
}

#[test]
fn what_nothing_held_up_began_late_by_itself() {
    let rows = [("16:52", "start soup chop"), ("17:02", "done soup chop")];
    let back = back(&rows, "17:10");
    let chop = back.late.iter().find(|l| l.what.contains("soup")).expect("told");
    assert!(chop.chain[0].contains("began 12 min late, and nothing held it up"), "{chop:?}");
    assert!(back.next_time.is_empty(), "{:?}", back.next_time);
}

#[test]
fn what_is_cooked_to_a_temperature_is_never_proposed_shorter() {
    // The pie is of a class that has a least inner temperature.
    let rows = [("18:00", "start pie bake"), ("18:20", "done pie bake")];
    assert_eq!(edit(&back(&rows, "18:30"), "/steps/1/ways/0/minutes"), None);
}

#[test]
fn waits_readings_alarms_and_answers_are_told() {
    let rows =
        but("18:00", &[("18:01", "serve soup"), ("18:05", "temp pie 75.5"), ("18:10", "air 27")]);
    let back = back(&rows, "18:20");
    assert!(back.readings.iter().any(|r| r.reading.contains("75.5")), "{:?}", back.readings);
    assert!(back.dishes.iter().any(|d| !d.waits.is_empty()));
    assert_eq!(edit(&back, "/room_c").unwrap().becomes, 27);
    let seen = but("18:00", &[("18:30", "seen step_due:pie:bake:0")]);
    let back = super::look_back(&state(&seen), ms("18:40"));
    assert!(!back.alarms.is_empty());
    assert!(back.alarms.windows(2).all(|w| w[0].minute <= w[1].minute));
}

#[test]
fn what_was_left_stood_long_or_broke_changes_the_next_party() {
    let rows = but(
        "18:00",
        &[("18:00", "serve dip"), ("19:20", "clear dip put_away"), ("19:21", "down fryer")],
    );
    let back = back(&rows, "20:00");
    assert_eq!(edit(&back, "/dishes/1/servings").unwrap().becomes, 6);
    assert_eq!(edit(&back, "/table_minutes").unwrap().becomes, 80);
    let fryer = edit(&back, "/stations/2").expect("it broke");
    assert_eq!((fryer.about, fryer.becomes.is_null()), (About::Kitchen, true));
}

/// What was late, each with its minutes and its chain.
fn late(rows: &[(&str, &str)], now: &str) -> Vec<(String, i32, Vec<String>)> {
    back(rows, now).late.into_iter().map(|l| (l.what, l.minutes, l.chain)).collect()
}

/// Chopping until 18:05 keeps the board, that the filling, that the baking, that the resting: 75 minutes on the board
/// are twenty for the pie, and ten at the table.
#[test]
fn a_chain_goes_back_through_the_board_to_what_took_long() {
    let rows = [
        ("16:40", "start soup chop"),
        ("18:05", "done soup chop"),
        ("18:05", "start pie fill"),
        ("18:20", "done pie fill"),
        ("18:20", "start pie bake"),
        ("19:00", "done pie bake"),
        ("19:00", "start pie rest"),
        ("19:10", "serve pie"),
    ];
    let chain = [
        "the pie was ready at 19:10",
        "the pie (rest) began 20 min late: the pie (bake) was not done",
        "the pie (bake) began 20 min late: the pie (fill) was not done",
        "the pie (fill) began 60 min late: the counter was taken by the soup (chop)",
        "the soup (chop) took 75 min longer than planned",
    ];
    let found = late(&rows, "19:15");
    assert_eq!(found, [("Mains".to_owned(), 10, chain.map(str::to_owned).to_vec())]);
}

#[test]
fn a_chain_goes_back_through_the_cook_who_was_busy() {
    let rows = [
        ("17:05", "start pie fill"),
        ("17:50", "done pie fill"),
        ("17:50", "start fries fry 0"),
        ("17:58", "done fries fry 0"),
        ("17:58", "start fries fry 1"),
        ("18:06", "done fries fry 1"),
        ("18:06", "serve fries"),
    ];
    let found = late(&rows, "18:10");
    let starters = found.iter().find(|l| l.0 == "Starters").expect("late");
    assert_eq!(starters.1, 6);
    let chain = [
        "the fries (fry, 2 of 2) began 8 min late: the fries (fry, 1 of 2) was not done",
        "the fries (fry, 1 of 2) began 8 min late: Ana was busy with the pie (fill)",
        "the pie (fill) took 30 min longer than planned",
    ];
    assert_eq!(starters.2[1..], chain.map(str::to_owned));
    assert_eq!(found.len(), 1, "the filling is told of once: {found:?}");
}

/// Out of use from an hour before it was wanted on, a station is the reason; before that it is not.
#[test]
fn a_station_that_was_out_of_use_is_the_reason() {
    let root = |down: &'static str| {
        let rows = [
            (down, "down fryer"),
            ("17:50", "up fryer"),
            ("17:50", "start fries fry 0"),
            ("18:02", "done fries fry 0"),
        ];
        late(&rows, "18:10")
    };
    let chain = |why: &str| {
        let text = format!(
            "the fries (fry, 1 of 2) began 8 min late{why}; and it took 4 min longer than planned"
        );
        vec![("The fries (fry, 1 of 2)".to_owned(), 12, vec![text])]
    };
    assert_eq!(root("16:42"), chain(": the air fryer was out of use"));
    assert_eq!(root("16:41"), chain(", and nothing held it up"));
}

/// Two minutes late is late; a step is told of by itself from five minutes on.
#[test]
fn a_minute_or_two_is_no_lateness() {
    let served = |at: &'static str| {
        let mut rows = on_time("18:40");
        rows.push((at, "serve pie"));
        late(&rows, "19:30")
    };
    assert_eq!(served("19:01"), []);
    let chain = vec!["the pie was ready at 18:50, and served later".to_owned()];
    assert_eq!(served("19:02"), [("Mains".to_owned(), 2, chain)]);
    let chopped = |from: &'static str, to: &'static str| {
        late(&[(from, "start soup chop"), (to, "done soup chop")], "17:30").len()
    };
    assert_eq!((chopped("16:40", "16:54"), chopped("16:40", "16:55")), (0, 1));
    assert_eq!((chopped("16:44", "16:54"), chopped("16:45", "16:55")), (0, 1));
}

/// Moved to before it could be ready, a service is late by its plan.
#[test]
fn a_plan_that_could_not_make_it_is_part_of_the_chain() {
    let moved = |to: &str| {
        let mut rows = on_time("18:40");
        let event = format!("move mains {to}");
        rows.extend([("18:41", event.as_str()), ("19:00", "serve pie")]);
        late(&rows, "19:30").remove(0).2
    };
    let by_plan = "by the plan it would not have been ready before 18:50";
    let rest = "the pie (rest) was on time, and what followed was not begun";
    assert_eq!(moved("18:47"), ["the pie was ready at 18:50", by_plan, rest]);
    assert_eq!(moved("18:48"), ["the pie was ready at 18:50", rest]);
}

fn by(change: impl Fn(&mut crate::kitchen::Evening), rows: &[(&str, &str)], now: &str) -> LookBack {
    let mut evening = crate::kitchen::Evening::clone(&crate::run::testbed::evening());
    change(&mut evening);
    let state = crate::run::fold(std::sync::Arc::new(evening), &crate::run::testbed::marks(rows));
    look_back(&state, ms(now))
}

/// Five minutes late, the next party gets more room, step by step: 90, 95, 99 of a hundred.
#[test]
fn a_late_service_asks_for_more_room_next_time() {
    let asked = |percent: u32, served: &'static str| {
        let mut rows = on_time("18:40");
        rows.push((served, "serve pie"));
        let back = by(|e| e.party.on_time_percent = percent, &rows, "19:30");
        edit(&back, "/on_time_percent").map(|e| (e.was.clone(), e.becomes.clone()))
    };
    for (was, becomes) in [(79, 90), (80, 95), (94, 95), (95, 99), (98, 99)] {
        assert_eq!(asked(was, "19:05"), Some((json!(was), json!(becomes))));
        assert_eq!(asked(was, "19:04"), None);
    }
    assert_eq!(asked(99, "19:05"), None);
}

/// From ten minutes beyond what was reckoned with to six hours, to the next five minutes; the longest counts.
#[test]
fn what_stood_long_on_the_table_is_reckoned_with() {
    let table = |cleared: &'static str, now: &str| {
        let rows = but("17:59", &[("18:00", "serve dip"), (cleared, "clear dip eaten")]);
        let back = by(|e| e.party.table_minutes = 60, &rows, now);
        edit(&back, "/table_minutes").map(|e| e.becomes.clone())
    };
    assert_eq!(table("19:09", "19:30"), None);
    assert_eq!(table("19:10", "19:30"), Some(json!(70)));
    assert_eq!(table("19:11", "19:30"), Some(json!(75)));
    assert_eq!(table("24:00", "24:30"), Some(json!(360)));
    assert_eq!(table("24:01", "24:30"), None);
    // Still there when the evening was closed: until then, whenever one looks back. While it goes on nothing is said.
    let open = |more: &[(&'static str, &'static str)], now: &str| {
        let back = by(|e| e.party.table_minutes = 60, &but("18:00", more), now);
        edit(&back, "/table_minutes").map(|e| e.becomes.clone())
    };
    assert_eq!(open(&[], "19:40"), None);
    assert_eq!(open(&[("19:20", "finished")], "19:40"), Some(json!(80)));
    assert_eq!(open(&[("19:20", "finished")], "43:00"), Some(json!(80)), "on the day after");
}

/// Two degrees beside what was planned; of several the warmest.
#[test]
fn a_room_that_was_other_than_planned_is_planned_so_next_time() {
    let air = |rows: &[(&str, &str)]| {
        edit(&back(rows, "19:00"), "/room_c").map(|e| (e.was.clone(), e.becomes.clone()))
    };
    assert_eq!(crate::run::testbed::evening().party.room_c, 21);
    assert_eq!(air(&[("17:00", "air 22.9")]), None);
    assert_eq!(air(&[("17:00", "air 23")]), Some((json!(21), json!(23))));
    // 32.4 °C are a hot day: above 32 °C an hour less is allowed.
    assert_eq!(air(&[("17:00", "air 32.4")]), Some((json!(21), json!(33))));
    assert_eq!(air(&[("17:00", "air 19.1")]), None);
    assert_eq!(air(&[("17:00", "air 19")]), Some((json!(21), json!(19))));
    let all = [("17:00", "air 24"), ("17:10", "air 29.6"), ("17:20", "air 26")];
    assert_eq!(air(&all), Some((json!(21), json!(30))));
}

/// Fifteen in a hundred fewer than were made, rounded down, if that is fewer than the file says.
#[test]
fn of_what_was_left_less_is_made() {
    let servings = |more: &[(&'static str, &'static str)]| {
        edit(&back(&but("17:00", more), "20:00"), "/dishes/1/servings").map(|e| e.becomes.clone())
    };
    let (served, away) = (("18:00", "serve dip"), ("18:30", "clear dip put_away"));
    assert_eq!(servings(&[served, away]), Some(json!(6)));
    assert_eq!(servings(&[served, ("18:30", "clear dip thrown_out")]), Some(json!(6)));
    assert_eq!(servings(&[served, ("18:30", "clear dip eaten")]), None);
    assert_eq!(servings(&[away]), None, "it was never on the table");
    assert_eq!(servings(&[("17:00", "servings dip 4"), served, away]), Some(json!(3)));
    assert_eq!(servings(&[("17:00", "servings dip 10"), served, away]), None);
    assert_eq!(servings(&[("17:00", "servings dip 1"), served, away]), None, "none is no dish");
}

/// Ten minutes by the recipe, neither more nor less: two minutes beside that change it by half of them.
#[test]
fn minutes_beyond_the_recipe_change_it_by_half() {
    let mix = |done: &'static str| {
        let rows = [("16:20", "start dip mix"), (done, "done dip mix")];
        edit(&back(&rows, "17:00"), "/steps/0/ways/0/minutes")
            .map(|e| (e.becomes.clone(), e.why.clone()))
    };
    let to = |low: u32, likely: u32, high: u32| json!({"low": low, "likely": likely, "high": high});
    assert_eq!(mix("16:31"), None);
    let (becomes, why) = mix("16:32").expect("longer");
    assert_eq!((becomes, why.as_str()), (to(10, 11, 12), "The dip took 12 min to mix."));
    assert_eq!(mix("16:29"), None);
    assert_eq!(mix("16:28").map(|m| m.0), Some(to(8, 9, 10)));
    assert_eq!(mix("16:20"), None, "marked at once, it says nothing");
    // Of loads the first; of one in which less was made, as long as the recipe's own would take.
    let load = |load: u32| {
        let (start, done) = (format!("start fries fry {load}"), format!("done fries fry {load}"));
        let rows = [("17:42", start.as_str()), ("18:00", done.as_str())];
        edit(&back(&rows, "18:30"), "/steps/0/ways/0/minutes").is_some()
    };
    assert_eq!((load(0), load(1)), (true, false));
    let grown = by(
        |e| {
            let dip = &mut e.sheets[1];
            for recipe in [&mut dip.recipe, &mut dip.written] {
                recipe.steps[0].grows = crate::kitchen::Growth::Proportion;
            }
            dip.servings = 16;
        },
        &[("16:20", "start dip mix"), ("16:44", "done dip mix")],
        "17:00",
    );
    let change = edit(&grown, "/steps/0/ways/0/minutes").expect("longer");
    assert_eq!(change.becomes, to(10, 11, 12));
    assert_eq!(change.why, "The dip took 24 min for 16 servings to mix.");
}

/// All that broke is taken out, the last first, so that the places of those before it hold; the one counter stays.
#[test]
fn what_broke_is_taken_out_but_for_the_one_counter() {
    let broken = |rows: &[(&str, &str)]| {
        let edits = back(rows, "20:00").next_time;
        edits.into_iter().map(|e| e.at).filter(|at| at.starts_with("/stations")).collect::<Vec<_>>()
    };
    let rows = [("17:00", "down hob"), ("17:01", "down fryer"), ("17:02", "down board")];
    assert_eq!(broken(&rows), ["/stations/2", "/stations/1"]);
    assert_eq!(broken(&[("17:00", "down hob"), ("18:00", "up hob")]), [""; 0]);
}

/// In the oven from 18:50 to the table at 19:00; ten minutes on the counter were planned.
#[test]
fn where_a_dish_waited_is_told_with_its_minutes() {
    let waits = |rows: &[(&str, &str)], now: &str| back(rows, now).dishes.remove(3).waits;
    let rows = but("18:40", &[("18:50", "hold pie 1 oven"), ("19:00", "serve pie")]);
    let stretch = Stretch { from_minute: 18 * 60 + 50, to_minute: 19 * 60 };
    let wait = Wait {
        place: "oven".to_owned(),
        stretch,
        planned_minutes: 10,
        best_minutes: Some(30),
        most_minutes: Some(90),
    };
    assert_eq!((waits(&rows, "19:30"), stretch.minutes()), (vec![wait.clone()], 10));
    let until_now = Stretch { to_minute: 18 * 60 + 57, ..stretch };
    let waiting = &rows[..rows.len() - 1];
    let left = [waiting, &[("18:57", "finished")]].concat();
    let then = [Wait { stretch: until_now, ..wait }];
    assert_eq!((waits(waiting, "18:57"), waits(&left, "43:00")), (then.to_vec(), then.to_vec()));
}

#[test]
fn an_alarm_is_told_with_what_was_said_to_it() {
    let pulled = |more: &[(&'static str, &'static str)]| {
        let all = back(&but("18:00", more), "19:00").alarms;
        let of = all.iter().find(|a| a.title.starts_with("PIE")).expect("the pie runs over");
        (of.clock.clone(), of.words())
    };
    let (at, title) = pulled(&[]);
    assert!(!title.contains('('), "{title}");
    let key = "later pull_now:pie:bake:0 18:51";
    let (_, put_off) = pulled(&[("18:43", key)]);
    assert_eq!(put_off, format!("{title} (put off 18:43 by 8 min)"), "{at}");
    let (_, both) = pulled(&[("18:42", "seen pull_now:pie:bake:0"), ("18:43", key)]);
    assert_eq!(both, format!("{title} (seen 18:42; put off 18:43 by 8 min)"));
}
