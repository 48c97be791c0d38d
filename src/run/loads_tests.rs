//! Loads of one dish that are not equally far, and dishes that are said to be over before they are: nobody is left
//! without a word of what is on the heat. The minutes are invented.

use std::sync::Arc;

use super::alarms::alarms;
use super::marks::check;
use super::testbed::{evening, evening_by, event, key, marks, minute, ms, on_time, summary};
use super::{Phase, Progress, State, fold, food, measure, view};
use crate::kitchen::{Evening, FoodClass};
use crate::plan::planner::Planning;
use crate::plan::{Begun, Situation, risk};

type Row = (&'static str, &'static str);

/// On time up to a minute, and then these.
fn after(until: &str, more: &[Row]) -> State {
    fold(evening_by("us_consumer"), &rows(until, more))
}

fn rows(until: &str, more: &[Row]) -> Vec<super::Mark> {
    let mut rows = on_time(until);
    rows.extend(more);
    rows.sort_by_key(|r| ms(r.0));
    marks(&rows)
}

/// What the cook is asked or told; nothing if the mark is taken.
fn asked(state: &State, at: &str, what: &str) -> String {
    match check(state, &event(what), ms(at)) {
        Ok(()) => String::new(),
        Err(refusal) if refusal.may_insist => format!("sure? {}", refusal.text),
        Err(refusal) => refusal.text,
    }
}

fn rings(state: &State, key: &str, at: &str) -> bool {
    alarms(state, ms(at)).iter().any(|a| a.key == key)
}

/// Served as a whole at 17:52, the second basket is in the fryer till 17:58.
#[test]
fn a_load_on_the_heat_is_heard_though_its_dish_is_on_the_table() {
    let served = ("17:52", "serve fries");
    let state = after("17:50", &[served]);
    assert!(rings(&state, "pull_now:fries:fry:1", "17:59"));
    assert!(rings(&state, "overdone:fries:fry:1", "18:02"));
    let second = key(&evening(), "fries", "fry", 1);
    let begun = state.situation(ms("17:53")).begun.remove(&second);
    assert!(matches!(begun, Some(Begun::Running { .. })), "{begun:?}");
    let shown = view(&state, ms("17:58"));
    assert!(shown.do_now.iter().any(|p| p.key == Some(second)), "{}", summary(&shown));
    // The clock of what is on the table runs from when the first of it was out.
    let clock = |more: &[Row]| {
        let state = after("17:50", more);
        food::standing(&state, 2, ms("18:10")).map(|s| (s.used_ms, s.limit_ms))
    };
    assert_eq!(clock(&[served]), Some((20 * 60_000, Some(ms("19:50")))));
    let out = [served, ("17:58", "done fries fry 1")];
    assert_eq!(clock(&out), clock(&[served]));
    assert!(!rings(&after("17:50", &out), "pull_now:fries:fry:1", "17:59"));
    // Said to be eaten, it is in the fryer all the same.
    assert!(rings(
        &after("17:50", &[("17:52", "clear fries eaten")]),
        "pull_now:fries:fry:1",
        "17:59"
    ));
    // What had its time was only not marked; and a dish of which nothing was out is done as it is served.
    let over = |state: &State, load| {
        matches!(
            state.facts().progress.get(&key(&evening(), "fries", "fry", load)),
            Some(Progress::Done(..))
        )
    };
    assert!(over(&after("17:50", &[("17:58", "serve fries")]), 1));
    assert!(over(&after("17:42", &[("17:45", "serve fries")]), 0));
}

/// Three baskets, and the third is not begun: that it counts as done takes the second one out of no fryer.
#[test]
fn what_is_not_begun_of_a_served_dish_takes_nothing_off_the_heat() {
    let state = after("17:50", &[("16:10", "servings fries 12"), ("17:52", "serve fries")]);
    assert_eq!(state.loads(2, 0), 3);
    assert!(rings(&state, "pull_now:fries:fry:1", "17:59"));
}

/// With the dish on the table and its second basket in the fryer there is a plan for the rest, and it knows of the basket.
#[test]
fn there_is_a_plan_though_a_load_of_a_served_dish_is_on_the_heat() {
    let mut party = Evening::clone(&evening_by("us_consumer"));
    party.kitchen.cookware[0].ovenproof = true;
    let state = fold(Arc::new(party), &rows("17:50", &[("17:52", "serve fries")]));
    let second = key(&evening(), "fries", "fry", 1);
    let situation = Situation { previous: None, ..state.situation(ms("17:53")) };
    let planning = Planning::new(state.evening(), &situation).expect("a problem");
    let (plan, _) = planning.first().expect("a plan");
    assert_eq!(planning.check(&plan).map_err(|_| ()), Ok(()));
    let basket = plan.blocks.iter().find(|b| b.key == second).expect("it is in the fryer");
    assert_eq!((basket.begun, basket.station.as_str()), (true, "fryer"));
    assert_eq!(basket.end, minute("17:58"));
}

/// Eight servings in two baskets; for four the second one is too many, and in the fryer.
#[test]
fn a_load_too_many_still_comes_out() {
    let fewer = after("17:50", &[("17:52", "servings fries 4")]);
    assert_eq!(asked(&fewer, "17:58", "done fries fry 1"), "");
    assert_eq!(asked(&fewer, "17:58", "more fries fry 5"), "The fries (fry) does not run.");
    assert_eq!(asked(&fewer, "17:58", "done fries fry 2"), "The step has no such load.");
    let out = after("17:50", &[("17:52", "servings fries 4"), ("17:58", "done fries fry 1")]);
    assert!(rings(&fewer, "pull_now:fries:fry:1", "17:59"));
    assert!(!rings(&out, "pull_now:fries:fry:1", "17:59"));
    let unmade = after("17:42", &[("17:45", "servings fries 4")]);
    assert_eq!(asked(&unmade, "17:46", "done fries fry 1"), "The step has no such load.");
}

/// A kitchen with a second fryer, and the evening up to a minute; the second basket goes there at another.
fn two_fryers(until: &str, begins: &str, more: &[Row]) -> State {
    let mut two = Evening::clone(&evening_by("us_consumer"));
    let mut other = two.kitchen.stations[2].clone();
    other.id = "fryer2".into();
    two.kitchen.stations.push(other);
    two.kitchen.cookware[0].ovenproof = true;
    two.sheets[2].recipe.safety.class = FoodClass::Poultry;
    let mut all = rows(until, more);
    let event = begin_at("fryer2");
    all.push(super::Mark { seq: 900, at_ms: ms(begins), event });
    all.sort_by_key(|m| m.at_ms);
    fold(Arc::new(two), &all)
}

fn begin_at(station: &str) -> super::Event {
    let mut begin = event("start fries fry 1");
    if let super::Event::Started { station: id, .. } = &mut begin {
        station.clone_into(id);
    }
    begin
}

/// The second basket goes into a second fryer while the first one fries: both are heard of, each at its end.
#[test]
fn two_loads_at_one_time_in_two_places_both_run() {
    let both = |more: &[Row]| two_fryers("17:42", "17:46", more);
    let state = both(&[]);
    let runs = |state: &State, load| {
        let progress = state.facts().progress.get(&key(&evening(), "fries", "fry", load));
        matches!(progress, Some(Progress::Running(_)))
    };
    assert!(runs(&state, 0) && runs(&state, 1));
    assert!(rings(&state, "pull_now:fries:fry:0", "17:51"));
    assert!(!rings(&state, "pull_now:fries:fry:1", "17:51"));
    assert!(rings(&state, "pull_now:fries:fry:1", "17:55"));
    let ends = |state: &State| {
        view(state, ms("17:47")).running.iter().filter(|p| p.dish == Some(2)).count()
    };
    assert_eq!(ends(&state), 2);
    // The second one out first: the first one is heard of all the same; its clock runs from the one that is out.
    let second = both(&[("17:48", "done fries fry 1")]);
    assert!(runs(&second, 0) && !runs(&second, 1));
    assert_eq!(second.out_ms(2, ms("17:49")), Some(ms("17:48")));
    assert_eq!(second.ready_ms(2, ms("17:49")), None);
    let done = both(&[("17:50", "done fries fry 0"), ("17:54", "done fries fry 1")]);
    assert_eq!(done.ready_ms(2, ms("17:55")), Some(ms("17:54")));
    // What had its time was only not marked.
    let late = two_fryers("17:42", "17:50", &[]);
    assert!(!runs(&late, 0) && runs(&late, 1));
    // And there is a plan, that knows of both.
    let situation = Situation { previous: None, ..state.situation(ms("17:47")) };
    let planning = Planning::new(state.evening(), &situation).expect("a problem");
    let (plan, _) = planning.first().expect("a plan");
    assert_eq!(planning.check(&plan).map_err(|_| ()), Ok(()));
    let at = |load| {
        let block = plan.blocks.iter().find(|b| b.key == key(&evening(), "fries", "fry", load));
        block.map(|b| (b.station.clone(), b.end)).expect("it is in the plan")
    };
    assert_eq!(at(0), ("fryer".to_owned(), minute("17:50")));
    assert_eq!(at(1), ("fryer2".to_owned(), minute("17:54")));
    let odds = risk::forecast(state.evening(), &situation, &plan, risk::SEED, 20);
    assert_eq!(odds.services.len(), 2);
}

/// Of two at one time each is measured as it comes out, and a low reading may be of either.
#[test]
fn of_two_loads_at_one_time_each_is_measured() {
    let wanted = |more: &[Row], at: &str| {
        let state = two_fryers("17:42", "17:46", more);
        let found = measure::wanted(&state, ms(at)).into_iter().find(|m| m.dish == 2);
        found.map(|m| state.evening().face.read(m.due_ms))
    };
    assert_eq!(
        wanted(&[], "17:47").as_deref(),
        Some("17:49"),
        "a minute of hands before the first is out"
    );
    let first = [("17:49", "temp fries 80"), ("17:50", "done fries fry 0")];
    assert_eq!(wanted(&first[..1], "17:49"), None);
    assert_eq!(wanted(&first, "17:51").as_deref(), Some("17:53"), "that was of the first");
    let both = [&first[..], &[("17:53", "temp fries 80")]].concat();
    assert_eq!(wanted(&both, "17:53"), None);
    // Half of the second one's time is over by 17:50.
    let low =
        two_fryers("17:42", "17:46", &[("17:50", "done fries fry 0"), ("17:51", "temp fries 60")]);
    assert!(rings(&low, "undercooked:fries::", "17:51"));
}

/// A second fryer, a second place on the board, or the one fryer.
#[test]
fn who_begins_what_cannot_go_on_beside_it_is_told_that_the_first_counts_as_done() {
    let ask = |station: &str, at: &str| {
        let mut two = Evening::clone(&evening());
        let mut other = two.kitchen.stations[2].clone();
        other.id = "fryer2".into();
        two.kitchen.stations.push(other);
        let state = fold(Arc::new(two), &rows("17:42", &[]));
        check(&state, &begin_at(station), ms(at)).map_err(|r| (r.text, r.may_insist))
    };
    let words = "The fries (fry, 1 of 2) still runs: it counts as done if you start this.";
    let sure = Err((words.to_owned(), true));
    assert_eq!(ask("fryer2", "17:45"), Ok(()), "both run");
    assert_eq!(ask("fryer", "17:48"), Ok(()), "there is room for one");
    assert_eq!(ask("fryer", "17:45"), sure, "it has only just gone in");
    // The next step, and the one before has half of its time before it.
    let pie = after("18:00", &[]);
    let bakes = "sure? The pie (bake) still runs: it counts as done if you start this.";
    assert_eq!(asked(&pie, "18:19", "start pie rest"), bakes);
    assert_eq!(asked(&pie, "18:20", "start pie rest"), "");
}

/// Thrown out with the pie in the oven, it is in the oven no more; what was begun since then is.
#[test]
fn what_was_thrown_out_before_any_of_it_was_done_is_not_heard_of() {
    let out = ("18:20", "clear pie thrown_out");
    let gone = after("18:00", &[out]);
    let pie = key(&evening(), "pie", "bake", 0);
    for kind in ["pull_now", "nearly_overdone", "overdone"] {
        assert!(
            rings(&after("18:00", &[]), &format!("{kind}:pie:bake:0"), "18:51")
                == (kind == "overdone")
        );
        assert!(!rings(&gone, &format!("{kind}:pie:bake:0"), "18:51"));
    }
    let shown = view(&gone, ms("18:41"));
    let of_pie = |p: &super::Prompt| p.dish == Some(3);
    assert!(
        !shown.do_now.iter().any(of_pie) && !shown.running.iter().any(of_pie),
        "{}",
        summary(&shown)
    );
    assert!(shown.phases.contains(&(pie, Phase::Skipped)));
    assert!(!gone.situation(ms("18:21")).begun.contains_key(&pie), "the oven is free");
    assert_eq!(super::needs_reshuffle(&gone, ms("18:59")), None);
    assert!(!asked(&gone, "19:30", "finished").contains("still runs"));
    // Answered so, the same; begun again, it is heard again.
    let again = after("18:00", &[out, ("18:30", "skip pie bake"), ("18:31", "start pie bake")]);
    assert!(rings(&again, "pull_now:pie:bake:0", "19:12"));
    // Of several loads the first one was thrown out, the other one is in the fryer.
    assert!(rings(
        &after("17:50", &[("17:52", "clear fries thrown_out")]),
        "pull_now:fries:fry:1",
        "17:59"
    ));
    // Who throws it out is asked whether it is off the heat.
    let heat =
        "sure? The pie (bake) is on the heat, and nobody is told of it any more: take it off.";
    assert_eq!(asked(&after("18:00", &[]), "18:20", "clear pie thrown_out"), heat);
    let cold = "sure? It is not finished yet.";
    assert_eq!(asked(&after("17:20", &[]), "17:30", "clear pie thrown_out"), cold);
    let late = after("17:20", &[("19:30", "start pie bake")]);
    assert_eq!(asked(&late, "19:31", "answer unsafe_past:pie:: discarded"), heat);
    assert_eq!(asked(&late, "19:31", "answer unsafe_past:pie:: kept_knowingly"), "");
}

/// The rest of ten minutes is left out while the pie is in the oven, or not even there yet.
#[test]
fn a_dish_is_not_finished_by_leaving_out_its_last_step() {
    let bakes = after("18:00", &[]);
    let words = "sure? The pie (bake) comes first and is not done. Without its last step the dish counts as finished.";
    assert_eq!(asked(&bakes, "18:10", "skip pie rest"), words);
    assert_eq!(asked(&after("17:20", &[]), "17:21", "skip pie rest"), words);
    let mut out = on_time("18:40");
    out.retain(|r| r.1 != "start pie rest");
    assert_eq!(asked(&fold(evening(), &marks(&out)), "18:41", "skip pie rest"), "");
    assert_eq!(asked(&bakes, "18:10", "skip pie bake"), "", "it is not the last one");
    // Insisted on, it is not to be served before it is baked.
    let serve = |state: &State, at: &str| {
        let shown = view(state, ms(at));
        shown.do_now.iter().any(|p| p.short == "serve the pie")
    };
    let left_out = after("18:00", &[("18:10", "skip pie rest")]);
    assert!(!serve(&left_out, "19:01"));
    assert_eq!(asked(&left_out, "19:01", "serve pie"), "sure? Pie is not finished yet.");
    let done = after("18:00", &[("18:10", "skip pie rest"), ("19:02", "done pie bake")]);
    assert!(serve(&done, "19:02"));
    assert_eq!(asked(&done, "19:02", "serve pie"), "");
}

/// In the fridge till 17:30, on the board since 17:40: that is an hour out, whatever is said of its chilling then.
#[test]
fn what_went_elsewhere_is_given_no_more_minutes_where_it_was() {
    let board = ("17:40", "hold dip 9 board");
    let more = ("18:30", "more dip chill 60");
    let used = |rows: &[Row], at: &str| {
        let state = after("16:30", rows);
        food::standing(&state, 1, ms(at)).map(|s| (s.used_ms / 60_000, s.limit_ms, s.is_out))
    };
    let hour = Some((61, Some(ms("19:30")), true));
    assert_eq!(used(&[board], "18:31"), hour);
    assert_eq!(used(&[board, more], "18:31"), hour);
    let state = after("16:30", &[board]);
    assert_eq!(asked(&state, "18:30", "more dip chill 60"), "The dip (chill) does not run.");
    // A part of it is on the board.
    let part = [("17:40", "part dip 1 off"), ("17:41", "part dip 1 serve")];
    let limit = |more: &[Row]| {
        let rows = [&part[..], more].concat();
        let food = food::Food { dish: 1, part: Some(1) };
        food::standing_of(&after("16:30", &rows), food, ms("18:31")).map(|s| s.limit_ms)
    };
    assert_eq!(limit(&[more]), limit(&[]));
    // Where it chilled it may chill on; what has not ended yet too.
    assert_eq!(asked(&after("16:30", &[]), "18:30", "more dip chill 60"), "");
    assert_eq!(used(&[more], "18:31"), Some((10, None, false)));
    let early = [("17:00", "hold dip 0 fridge")];
    assert_eq!(asked(&after("16:30", &early), "17:20", "more dip chill 60"), "");
}

/// Of what is said to be gone nothing more is planned: so the cook is asked.
#[test]
fn what_is_cleared_or_dropped_too_soon_is_asked_about() {
    let first = after("17:50", &[]);
    let part =
        "sure? Fries: not all of it is done. What has not begun is made no more: clear a part.";
    for how in ["eaten", "put_away", "thrown_out"] {
        assert_eq!(asked(&first, "17:52", &format!("clear fries {how}")), part, "{how}");
    }
    assert_eq!(asked(&after("17:58", &[]), "17:59", "clear fries eaten"), "");
    let heat = |name: &str| {
        format!("sure? The {name} is on the heat, and nobody is told of it any more: take it off.")
    };
    assert_eq!(asked(&first, "17:52", "drop fries"), heat("fries (fry, 2 of 2)"));
    assert_eq!(asked(&after("18:00", &[]), "18:10", "drop pie"), heat("pie (bake)"));
    assert_eq!(asked(&after("18:40", &[]), "18:41", "drop pie"), "");
    // The dip waits for the guests, and has not been on the table.
    let chilled = after("17:30", &[]);
    let waits =
        "sure? Dip was not served. Put away, it is served no more; what waits is put to wait.";
    assert_eq!(asked(&chilled, "17:35", "clear dip put_away"), waits);
    assert_eq!(asked(&chilled, "17:35", "clear dip thrown_out"), "");
    let served = after("17:30", &[("17:40", "part dip 1 serve")]);
    assert_eq!(asked(&served, "17:45", "clear dip put_away"), "", "the rest of it");
    assert_eq!(asked(&after("18:00", &[]), "18:30", "clear dip put_away"), "");
    // Out for long, it goes into the fridge without a question.
    let warm = after("17:30", &[("17:31", "hold dip 9 board")]);
    assert_eq!(asked(&warm, "19:15", "clear dip put_away"), "");
}

/// The oven breaks ten minutes into the bake. In it nothing is hot any more, until it works again or the pie goes elsewhere.
#[test]
fn what_is_left_in_a_station_that_is_out_of_use_is_out() {
    let used = |more: &[Row], at: &str| {
        let state = after("18:00", more);
        food::standing(&state, 3, ms(at)).map(|s| (s.minutes_used(), s.is_out))
    };
    let down = ("18:10", "down oven");
    assert_eq!(used(&[down], "18:09"), None);
    assert_eq!(used(&[down], "18:40"), Some((30, true)));
    assert_eq!(used(&[down, ("18:40", "done pie bake")], "18:50"), Some((40, true)));
    assert!(rings(&after("18:00", &[down]), "unsafe_past:pie::", "20:10"));
    assert!(!rings(&after("18:00", &[]), "unsafe_past:pie::", "20:10"));
    // It works again while the pie is in: then heat has ended it.
    let up = ("18:15", "up oven");
    assert_eq!(used(&[down, up, ("18:45", "done pie bake")], "18:50"), Some((5, true)));
    // That it broke later is nothing to it.
    assert_eq!(
        used(&[("18:40", "done pie bake"), ("18:41", "down oven")], "18:50"),
        Some((10, true))
    );
    // Who marks it reads what is in it.
    let state = after("18:00", &[down]);
    let mark = state.marks().last().expect("a mark").0.clone();
    let words = super::echo(&state, &mark);
    assert_eq!(words.as_deref(), Some("out of use: the oven, with the pie (bake)"));
}
