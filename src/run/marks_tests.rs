//! Which marks are taken, checked as (marks, now, what) -> why not.

use super::marks::{self, check};
use super::testbed::{adopted, evening, event, key, ms, on_time, plan, state};
use super::{Event, State, view};
use crate::safety::Doubt;

fn why(rows: &[(&str, &str)], at: &str, what: &str) -> String {
    match check(&state(rows), &event(what), ms(at)) {
        Ok(()) => "taken".to_owned(),
        Err(refusal) if refusal.may_insist => format!("sure? {}", refusal.text),
        Err(refusal) => refusal.text,
    }
}

#[test]
fn steps_are_marked_once_and_in_order() {
    let rows = on_time("16:55");
    let ask = |what: &str| why(&rows, "16:55", what);
    assert_eq!(ask("start pie fill"), "taken");
    assert_eq!(ask("start soup chop"), "The soup (chop) is done already.");
    assert_eq!(ask("start soup simmer"), "The soup (simmer) runs already.");
    assert_eq!(ask("done soup simmer"), "taken");
    assert_eq!(ask("done pie fill"), "sure? The pie (fill) has not been started.");
    assert_eq!(ask("start pie bake"), "sure? The pie (fill) comes first and has not begun.");
    assert_eq!(
        ask("start fries fry 1"),
        "sure? The fries (fry, 1 of 2) comes first and has not begun."
    );
    assert_eq!(ask("done fries fry 7"), "The step has no such load.");
    assert_eq!(ask("done soup stir"), "The party has no such step.");
    assert_eq!(ask("skip soup simmer"), "taken");
    assert_eq!(ask("skip soup chop"), "The soup (chop) is done already.");
    assert_eq!(why(&on_time("17:10"), "17:20", "start pie bake"), "taken", "fill runs: it is done");
}

#[test]
fn a_start_long_before_the_plan_is_asked_back() {
    assert_eq!(why(&[], "10:41", "start soup chop"), "taken");
    let early = "sure? The soup (chop) is planned for 16:40, in 6 h 10.";
    assert_eq!(why(&[], "10:30", "start soup chop"), early);
}

#[test]
fn more_minutes_are_for_what_runs() {
    let rows = on_time("16:55");
    let ask = |what: &str| why(&rows, "16:55", what);
    assert_eq!(ask("more soup simmer 5"), "taken");
    assert_eq!(ask("more soup simmer 0"), "How many minutes more? At least one.");
    assert_eq!(ask("more soup simmer 5000"), "That is more than a day.");
    assert_eq!(ask("more pie bake 5"), "The pie (bake) does not run.");
    let first = marks::more(&state(&rows), None, 4, ms("16:55"));
    // The soup ends at 17:20, the dip chills till 17:30.
    assert_eq!(first, Ok(event("more soup simmer 4")));
    assert!(marks::more(&state(&[]), None, 4, ms("16:00")).is_err());
}

#[test]
fn pins_services_dishes_and_stations_have_bounds() {
    let rows = on_time("17:20");
    let ask = |what: &str| why(&rows, "17:25", what);
    for (what, expect) in [
        ("pin pie bake 18:05", "taken"),
        ("pin pie bake 17:24", "That minute has passed."),
        ("pin soup chop 18:00", "It has begun: only what lies ahead can be pinned."),
        ("unpin pie bake", "It is not pinned."),
        ("move mains 19:10", "taken"),
        ("move mains 17:00", "That time has passed."),
        ("move lunch 19:00", "The party has no such service."),
        ("drop pie", "taken"),
        ("back pie", "It was not dropped."),
        ("servings pie 12", "taken"),
        ("servings pie 0", "Servings are 1 to 500."),
        ("servings soup 12", "It is made already."),
        ("down oven", "taken"),
        ("up oven", "The oven works."),
        ("down shed", "The kitchen has no such station."),
        ("oven 200", "taken"),
        ("oven 0", "taken"),
        ("oven 400", "The oven goes from 50 °C to 250 °C."),
        ("serve pie", "sure? Pie is not finished yet."),
        ("serve soup", "taken"),
        ("clear pie eaten", "sure? It is not finished yet."),
        ("hold soup 0 hob", "taken"),
        // Filled, and on the counter; that the dip chills by itself is no matter.
        ("finished", "sure? The pie still stands out."),
    ] {
        assert_eq!(ask(what), expect, "{what}");
    }
    let dropped = [("17:00", "drop pie"), ("17:01", "down oven")];
    let ask = |what: &str| why(&dropped, "17:05", what);
    assert_eq!(ask("start pie fill"), "Pie is dropped; bring it back first.");
    assert_eq!(ask("drop pie"), "It is dropped already.");
    assert_eq!(ask("down oven"), "The oven is out of use already.");
    assert_eq!(
        why(&[("17:01", "down oven")], "17:05", "start pie bake"),
        "The oven is out of use."
    );
    let served = on_time("18:00");
    let ask = |what: &str| why(&served, "18:05", what);
    assert_eq!(ask("serve soup"), "Soup is on the table already.");
    assert_eq!(ask("move starters 18:30"), "Starters: all served already.");
    assert_eq!(ask("drop soup"), "It is served already.");
    assert_eq!(
        ask("finished"),
        "sure? The pie (bake) still runs; dip, fries and soup still stand out."
    );
}

#[test]
fn a_service_moves_by_minutes() {
    let state = state(&on_time("17:20"));
    assert_eq!(marks::move_service(&state, 1, 10, ms("17:25")), Ok(event("move mains 19:10")));
    assert!(marks::move_service(&state, 1, -200, ms("17:25")).is_err());
    assert!(marks::move_service(&state, 9, 10, ms("17:25")).is_err());
}

#[test]
fn alarms_are_put_off_within_bounds_and_limits_are_answered() {
    let rows = on_time("19:00");
    let ask = |at: &str, what: &str| why(&rows, at, what);
    let soon = "unsafe_soon:dip::";
    assert_eq!(ask("19:25", &format!("later {soon} 19:40")), "taken");
    assert_eq!(
        ask("19:25", &format!("later {soon} 20:00")),
        "Its limit is at 19:50: put it off until then at most."
    );
    assert_eq!(ask("19:25", &format!("later {soon} 19:25")), "Put it off for at least a minute.");
    assert_eq!(ask("19:25", "seen step_due:::1"), "That alarm is over.");
    let past = "unsafe_past:dip::";
    assert_eq!(
        ask("19:55", &format!("later {past} 20:00")),
        "A passed safety limit cannot be put off: say what you did."
    );
    assert_eq!(ask("19:55", &format!("answer {past} discarded")), "taken");
    assert_eq!(
        ask("19:25", &format!("answer {soon} discarded")),
        "Only a passed safety limit asks what you did."
    );
    let baking = state(&on_time("18:10"));
    assert!(marks::put_off(&baking, "pull_now:pie:bake:0", 2, ms("18:41")).is_ok());
    assert!(marks::put_off(&baking, "pull_now:pie:bake:0", 61, ms("18:41")).is_err());
}

#[test]
fn doubtful_temperatures_are_asked_back() {
    let hot = state(&on_time("17:20"));
    let take = |typed: &str| marks::temperature(&hot, 0, typed, ms("17:25"));
    assert_eq!(take("72"), Ok(event("temp soup 72")));
    assert!(
        matches!(take("165 F"), Ok(Event::Temperature { celsius, .. }) if (celsius - 73.9).abs() < 0.1)
    );
    assert_eq!(take("165").map_err(|a| (a.doubt, a.can_confirm)), Err((Doubt::OtherUnit, true)));
    assert_eq!(take("900").map_err(|a| (a.doubt, a.can_confirm)), Err((Doubt::Impossible, false)));
    let sure = marks::sure_temperature(
        &hot,
        0,
        30.0,
        crate::kitchen::units::Degrees::Celsius,
        ms("17:25"),
    );
    assert_eq!(sure, Ok(event("temp soup 30")));
    assert!(!why(&on_time("17:20"), "17:25", "temp soup 1000").starts_with("sure?"));
}

#[test]
fn undo_and_redo_name_the_mark() {
    let rows = on_time("16:30");
    assert_eq!(marks::undo(&state(&rows)), Ok(event("undo 4")));
    assert!(marks::redo(&state(&rows)).is_err());
    let undone: Vec<_> = rows.into_iter().chain([("16:31", "undo 4")]).collect();
    assert_eq!(marks::undo(&state(&undone)), Ok(event("undo 3")));
    assert_eq!(marks::redo(&state(&undone)), Ok(event("undo 5")));
    assert!(marks::undo(&State::new(evening())).is_err());
    assert_eq!(why(&undone, "16:32", "undo 4"), "It is undone already.");
    assert_eq!(why(&undone, "16:32", "undo 1"), "A plan is not undone; pin what must not move.");
    assert_eq!(why(&undone, "16:32", "undo 90"), "There is no such mark.");
}

/// Whatever the one key offers is taken, all evening, and pressing it whenever
/// something is due serves everything.
#[test]
fn the_one_key_plays_the_whole_evening() {
    let mut state = State::new(evening());
    let mut seq = 1;
    let mut mark = |state: &mut State, at_ms, event| {
        state.apply(&super::Mark { seq, at_ms, event });
        seq += 1;
    };
    mark(&mut state, ms("16:00"), adopted(plan(&evening())));
    for minute in 0..200 {
        let at_ms = ms("16:00") + minute * 60_000;
        for _ in 0..10 {
            if view(&state, at_ms).do_now.is_empty() {
                break;
            }
            let event = marks::expected(&state, at_ms).expect("something is due");
            assert_eq!(check(&state, &event, at_ms), Ok(()), "{event:?}");
            mark(&mut state, at_ms, event);
        }
        assert!(view(&state, at_ms).do_now.is_empty(), "minute {minute}");
    }
    assert!(view(&state, ms("19:10")).ending.is_some());
    assert_eq!(state.notes(), []);
    let bake = &state.facts().progress[&key(&evening(), "pie", "bake", 0)];
    assert_eq!(bake.end_ms(), Some(ms("18:39")), "pulled when the hands are first needed");
}
