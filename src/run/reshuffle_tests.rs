//! When a new plan is asked for, to the second, and in which words.

use std::sync::Arc;

use super::event::{Event, Mark};
use super::testbed::{adopted, evening, id, marks, minute, ms, on_time, plan};
use super::{fold, needs_reshuffle};
use crate::kitchen::{Evening, HoldClass, StationKind, Way};
use crate::plan::planner::Planning;
use crate::plan::{Block, Plan, ServiceLine, StepKey};

type Row = (&'static str, &'static str);

fn why(rows: &[Row], at: &str) -> Option<String> {
    by(|_| (), rows, &[], at)
}

/// The reason by a plan that differs so from the testbed's, after these rows and other marks.
fn by(
    change: impl Fn(&mut Plan),
    rows: &[Row],
    more: &[(&str, Event)],
    at: &str,
) -> Option<String> {
    let mut all = marks(rows);
    let mut plan = plan(&evening());
    change(&mut plan);
    all[0].event = adopted(plan);
    all.extend(more.iter().enumerate().map(|(n, (at, event))| Mark {
        seq: 900 + n as u64,
        at_ms: ms(at),
        event: event.clone(),
    }));
    needs_reshuffle(&fold(evening(), &all), ms(at)).map(|w| w.text)
}

/// The mixing is planned from 16:20 to 16:30. A minute late counts, and three early.
#[test]
fn a_minute_late_or_three_early_ask_for_a_plan() {
    let start = |at: &'static str| why(&[(at, "start dip mix")], "16:22");
    assert_eq!(start("16:20:59"), None);
    assert_eq!(start("16:21").as_deref(), Some("because the dip (mix) started 1 min late"));
    assert_eq!(start("16:17").as_deref(), Some("because the dip (mix) started 3 min early"));
    assert_eq!(start("16:17:01"), None);
    let done = |at: &'static str| why(&[("16:20", "start dip mix"), (at, "done dip mix")], at);
    assert_eq!(done("16:30:59"), None);
    assert_eq!(done("16:31").as_deref(), Some("because the dip (mix) ended 1 min late"));
    assert_eq!(done("16:27:59").as_deref(), Some("because the dip (mix) ended 3 min early"));
    assert_eq!(done("16:28"), None);
    let runs = |at: &str| why(&[("16:20", "start dip mix")], at);
    assert_eq!(runs("16:30:59"), None, "its mark may come any moment");
    assert_eq!(runs("16:31").as_deref(), Some("because the dip (mix) overran by 1 min"));
    assert_eq!(runs("16:32:59").as_deref(), Some("because the dip (mix) overran by 2 min"));
}

#[test]
fn the_first_that_has_not_begun_is_the_reason() {
    let first = |at: &str| why(&[], at);
    assert_eq!(
        first("16:21").as_deref(),
        Some("because the dip (mix) should have started 1 min ago")
    );
    assert_eq!(
        first("16:41").as_deref(),
        Some("because the dip (mix) should have started 21 min ago")
    );
}

#[test]
fn a_dial_that_was_not_turned_is_a_reason_after_a_minute() {
    let mut rows = on_time("17:42");
    rows.retain(|r| r.1 != "oven 200");
    assert_eq!(why(&rows, "17:42:59"), None);
    assert_eq!(why(&rows, "17:43").as_deref(), Some("because the oven is not yet set to 200 °C"));
    rows.push(("17:42", "oven 200"));
    assert_eq!(why(&rows, "17:43"), None);
}

#[test]
fn a_dish_that_waits_elsewhere_is_a_reason_until_a_plan_knows_it() {
    let put = |how: &'static str| {
        let mut rows = on_time("18:40");
        rows.push(("18:51", how));
        rows
    };
    let told = Some("because the pie went elsewhere to wait");
    assert_eq!(why(&put("hold pie 0 board"), "18:52"), None);
    assert_eq!(why(&put("hold pie 1 oven"), "18:52").as_deref(), told);
    assert_eq!(why(&put("hold pie 9 fridge"), "18:52").as_deref(), told, "a place of no hold");
    // Which oven, nobody said; that it is another hold is known.
    let somewhere = Event::HeldAt {
        dish: "pie".into(),
        hold: Some(1),
        place: StationKind::Oven,
        station: None,
    };
    let rows = on_time("18:40");
    assert_eq!(by(|_| (), &rows, &[("18:51", somewhere)], "18:52").as_deref(), told);
    let mut known = put("hold pie 1 oven");
    known.push(("18:51:01", "plan"));
    assert_eq!(why(&known, "18:52"), None);
}

/// A plan that was made since, and still has food wait there, will not do; unless that food is on the table.
#[test]
fn a_station_that_broke_matters_while_food_is_to_wait_there() {
    let broke = |until: &str, at: &'static str, planned: &'static str, now: &str| {
        let mut rows = on_time(until);
        rows.extend([(at, "down hob"), (planned, "plan")]);
        why(&rows, now)
    };
    let told = broke("17:20", "17:40", "17:41", "17:41:30");
    assert_eq!(told.as_deref(), Some("because the hob is out of use"));
    assert_eq!(broke("18:00", "18:05", "18:06", "18:06:30"), None, "the soup is on the table");
    // A plan that has it stand there for want of anything better says so; another one would say no more.
    let mut stands = plan(&evening());
    let mut hot = 0;
    for hold in stands.holds.iter_mut().filter(|h| h.station == "hob") {
        hold.class = HoldClass::Room;
        hot += 1;
    }
    assert!(hot > 0, "something waits on the hob");
    let mut rows = on_time("17:20");
    rows.push(("17:40", "down hob"));
    assert_eq!(by(|_| (), &rows, &[("17:41", adopted(stands))], "17:41:30"), None);
}

#[test]
fn what_began_elsewhere_or_otherwise_is_a_reason() {
    let begin = |station: &str, way: usize| {
        let event = Event::Started {
            id: id("dip", "mix", 0),
            way,
            station: station.to_owned(),
            cook: None,
            ago_minutes: 0,
        };
        by(|_| (), &[], &[("16:20", event)], "16:21")
    };
    assert_eq!(begin("board", 0), None);
    assert_eq!(begin("hob", 0).as_deref(), Some("because the dip (mix) went on the hob"));
}

/// The station is the planned one; the recipe has one way, and the plan speaks of another.
#[test]
fn what_began_another_way_is_a_reason() {
    let told = by(|plan| plan.blocks[0].way = 1, &[("16:20", "start dip mix")], &[], "16:21");
    assert_eq!(told.as_deref(), Some("because the dip (mix) went another way"));
}

#[test]
fn more_time_that_was_asked_for_is_a_reason_at_once() {
    let more = |at: &'static str, now: &str| {
        why(&[("16:20", "start dip mix"), (at, "more dip mix 5")], now)
    };
    let told = more("16:30:10", "16:30:30");
    assert_eq!(told.as_deref(), Some("because the dip (mix) needed 5 min more"));
    assert_eq!(more("16:25", "16:29"), None, "until just its end");
}

/// What the plan says of the evening that the marks say otherwise.
#[test]
fn a_plan_that_does_not_do_what_was_asked_for_is_a_reason() {
    let mains = |plan: &mut Plan| plan.services[1].due += 10;
    let told = by(mains, &[], &[], "16:10");
    assert!(told.as_deref().is_some_and(|t| t.ends_with("moved to 19:00")), "{told:?}");
    let odd = |plan: &mut Plan| {
        let line = ServiceLine { service: 2, due: 0, ..plan.services[1].clone() };
        plan.services.push(line);
    };
    assert_eq!(by(odd, &[], &[], "16:10"), None, "there is no such service");
    // These plans were made since and do not heed it.
    let told = why(&[("16:05", "drop dip"), ("16:06", "plan")], "16:10");
    assert_eq!(told.as_deref(), Some("because you dropped the dip"));
    let told = why(&[("16:05", "down fryer"), ("16:06", "plan")], "16:10");
    assert_eq!(told.as_deref(), Some("because the air fryer is out of use"));
}

/// Nobody waits for the steps of what was thrown out.
#[test]
fn what_is_gone_asks_for_no_plan() {
    assert_eq!(why(&[("16:05", "clear dip thrown_out")], "16:21"), None);
    let lacks = |plan: &mut Plan| plan.blocks.retain(|b| b.key.dish != 3);
    assert_eq!(by(lacks, &[("16:05", "clear pie thrown_out")], &[], "16:10"), None);
    assert!(by(lacks, &[], &[], "16:10").is_some());
}

/// Due since 16:20 and put off to 16:24 at 16:23: after three minutes more it is asked again; put off at 16:30, after
/// five. So it is with a dial.
#[test]
fn what_drifts_asks_again_when_it_has_drifted_as_long_again() {
    let put_off = |at: &'static str, to: &'static str, now: &str| {
        let mut plan = plan(&evening());
        let mix = |b: &&mut Block| (b.key.dish, b.key.step) == (1, 0);
        plan.blocks.iter_mut().filter(mix).for_each(|b| b.start = minute(to));
        let waits = |b: &&mut Block| (b.key.dish, b.key.step) == (1, 1);
        plan.blocks.iter_mut().filter(waits).for_each(|b| b.start = minute("16:50"));
        by(|_| (), &[], &[(at, adopted(plan))], now)
    };
    assert_eq!(put_off("16:23", "16:24", "16:26:59"), None);
    let told = put_off("16:23", "16:24", "16:27");
    assert_eq!(told.as_deref(), Some("because the dip (mix) should have started 7 min ago"));
    assert_eq!(put_off("16:30", "16:31", "16:35:59"), None);
    assert!(put_off("16:30", "16:31", "16:36").is_some());
    let dial = |now: &str| {
        let mut plan = plan(&evening());
        plan.settings[0].from = minute("17:46");
        let mut rows = on_time("17:42");
        rows.retain(|r| r.1 != "oven 200");
        by(|_| (), &rows, &[("17:45", adopted(plan))], now)
    };
    assert_eq!(dial("17:48:59"), None);
    assert_eq!(dial("17:49").as_deref(), Some("because the oven is not yet set to 200 °C"));
}

#[test]
fn a_plan_that_does_not_know_what_is_open_is_a_reason() {
    let begun = by(|plan| plan.blocks[0].begun = true, &[], &[], "16:10");
    assert_eq!(begun.as_deref(), Some("because the dip (mix) did not begin after all"));
    let lacks = |plan: &mut Plan| plan.blocks.retain(|b| (b.key.dish, b.key.step) != (3, 2));
    assert_eq!(
        by(lacks, &[], &[], "16:10").as_deref(),
        Some("because the plan lacks the pie (rest)")
    );
    assert_eq!(by(lacks, &[("16:05", "finished")], &[], "16:10"), None, "the evening is closed");
}

/// Closed before there was any plan, it asks for none; opened again it does.
#[test]
fn a_closed_evening_asks_for_no_first_plan() {
    let closed = [Mark { seq: 1, at_ms: ms("16:05"), event: Event::Finished }];
    assert_eq!(needs_reshuffle(&fold(evening(), &closed), ms("16:10")), None);
    let undone = Mark { seq: 2, at_ms: ms("16:06"), event: Event::Undone { seq: 1 } };
    let open = fold(evening(), &[&closed[..], &[undone]].concat());
    assert!(needs_reshuffle(&open, ms("16:10")).is_some());
}

/// Whatever became of the first of two loads, the next plan has the other one: also where both could have been made at
/// once elsewhere, and where start and end were marked in one moment.
#[test]
fn the_next_plan_has_the_loads_that_are_left() {
    let mut party = Evening::clone(&evening());
    let ways = &mut party.sheets[2].recipe.steps[0].ways;
    let oven = StationKind::Oven;
    ways.push(Way { station: oven, at_c: Some(200), load_servings: None, ..ways[0].clone() });
    party.kitchen.cookware[0].ovenproof = true;
    let party = Arc::new(party);
    let rows: [&[Row]; 5] = [
        &[],
        &[("17:41", "start fries fry 0"), ("17:41", "done fries fry 0")],
        &[("17:40", "start fries fry 0"), ("17:48", "done fries fry 0")],
        &[("17:40", "start fries fry 0"), ("17:41", "skip fries fry 0")],
        &[("17:41", "skip fries fry 0")],
    ];
    for rows in rows {
        let mut all = marks(rows);
        let now_ms = ms("17:50");
        let state = fold(Arc::clone(&party), &all);
        let situation = state.situation(now_ms);
        let planning = Planning::new(state.evening(), &situation).expect("a problem");
        let plan = planning.first().expect("a plan").0;
        all.push(Mark { seq: 900, at_ms: now_ms, event: adopted(plan) });
        let state = fold(Arc::clone(&party), &all);
        let planned = |key| state.plan().is_some_and(|p| p.blocks.iter().any(|b| b.key == key));
        let lacks = |key: &_| !planned(*key) && !state.facts().progress.contains_key(key);
        let lacking: Vec<StepKey> = state.all_loads().filter(lacks).collect();
        assert!(lacking.is_empty(), "after {rows:?} the plan lacks {lacking:?}");
        assert!(rows.is_empty() || state.loads(2, 0) == 2, "{rows:?}");
    }
}

/// The pie is planned to wait on the board until 19:00. Put into the fridge, it is not there when the board is out of use,
/// and the plan is another one; standing there it stays, and only the cook moves it.
#[test]
fn a_place_without_heat_that_breaks_matters_to_what_does_not_stand_there() {
    let rows = |more: &[Row]| {
        let mut rows: Vec<Row> = on_time("18:40");
        rows.extend([("18:50", "done pie rest")]);
        rows.extend(more);
        rows
    };
    let after = |more: &[Row]| {
        let rows = rows(more);
        let plan = plan(&evening());
        by(|_| (), &rows, &[("18:53", adopted(plan))], "18:54")
    };
    let elsewhere = after(&[("18:51", "hold pie 9 fridge"), ("18:52", "down board")]);
    assert_eq!(elsewhere.as_deref(), Some("because the counter is out of use"));
    assert_eq!(after(&[("18:51", "hold pie 0 board"), ("18:52", "down board")]), None);
}
