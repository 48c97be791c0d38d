//! What a plan says, read back as numbers, and what it costs to leave it: ways and places by both of what names them.

use std::sync::Arc;

use serde_json::json;

use super::{build, schedule_of};
use crate::kitchen::{Evening, HoldClass, Minute};
use crate::plan::sample::{block, evening_with};
use crate::plan::{Block, HoldBlock, Plan, Situation, StepKey};

const ROAST: usize = 0;
const CHIPS: usize = 1;

/// The supper with two ovens, two fryers and two cooks.
fn doubled() -> Evening {
    evening_with(|p, k, _| {
        let stations = k["stations"].as_array_mut().expect("a list");
        for (of, id) in [(0, "oven2"), (2, "fryer2")] {
            let mut other = stations[of].clone();
            other["id"] = json!(id);
            stations.push(other);
        }
        let mut lou = p["cooks"][0].clone();
        lou["id"] = json!("lou");
        p["cooks"].as_array_mut().expect("a list").push(lou);
    })
}

fn key(dish: usize, step: usize, load: u32) -> StepKey {
    StepKey { dish, step, load }
}

fn roast(way: usize, station: &str) -> Block {
    Block { way, ..block(key(ROAST, 1, 0), station, (1000, 1060)) }
}

fn with(blocks: Vec<Block>) -> Plan {
    Plan { blocks, ..Plan::default() }
}

#[test]
fn a_block_is_read_back_by_its_way_and_its_station() {
    let evening = doubled();
    let (problem, map) = build(&evening, &Situation::default()).expect("a problem");
    let task = map.tasks.iter().position(|t| t.key == key(ROAST, 1, 0)).expect("a task");
    let read = |b: Block| {
        let schedule = schedule_of(&problem, &map, &evening, &with(vec![b]));
        let mode = schedule.mode[problem.tasks[task].step];
        (mode, schedule.start[task], schedule.setting_c[task], schedule.cook[task])
    };
    let mode = |way, station| read(roast(way, station)).0;
    assert_eq!(
        [mode(0, "oven"), mode(0, "oven2"), mode(1, "fryer"), mode(1, "fryer2")],
        [0, 1, 2, 3]
    );
    // What there is no such mode for is left at the first.
    assert_eq!([mode(1, "oven2"), mode(0, "fryer2"), mode(0, "nowhere")], [0, 0, 0]);
    let set = |setting_c| read(Block { setting_c, ..roast(0, "oven") }).2;
    assert_eq!(
        [set(Some(175)), set(Some(300)), set(Some(9)), set(None)],
        [175, 190, 170, 170].map(Some)
    );
    assert_eq!(read(Block { setting_c: Some(175), ..roast(1, "fryer") }).2, None);
    let cook = |id: &str| read(Block { cook: Some(id.to_owned()), ..roast(0, "oven") }).3;
    let cooks = [map.of_cook(0), map.of_cook(1), map.of_cook(0)].map(Some);
    assert_eq!([cook("kim"), cook("lou"), cook("nobody")], cooks);
    assert_eq!(read(roast(0, "oven")).1, 1000);
    let nothing = schedule_of(&problem, &map, &evening, &Plan::default());
    assert_eq!(nothing.start[task], problem.start);
    // Nobody is asked for at the rest.
    let rest = map.tasks.iter().position(|t| t.key == key(ROAST, 2, 0)).expect("a task");
    assert_eq!(nothing.cook[rest], None);
}

#[test]
fn a_hold_is_read_back_by_what_it_is_and_where() {
    let evening = doubled();
    let (problem, map) = build(&evening, &Situation::default()).expect("a problem");
    let read = |dish, hold, station: &str, setting_c| {
        let hold = HoldBlock {
            dish,
            hold,
            class: HoldClass::Room,
            station: station.to_owned(),
            slots: Vec::new(),
            from: 0,
            to: 0,
            setting_c,
        };
        let plan = Plan { holds: vec![hold], ..Plan::default() };
        let schedule = schedule_of(&problem, &map, &evening, &plan);
        (schedule.hold[ROAST], schedule.hold_setting_c[ROAST])
    };
    assert_eq!(read(ROAST, 0, "oven", Some(75)), (Some(0), Some(75)));
    assert_eq!(read(ROAST, 0, "oven2", Some(99)), (Some(1), Some(90)));
    assert_eq!(read(ROAST, 0, "oven2", None), (Some(1), Some(60)));
    assert_eq!(read(ROAST, 1, "board", None), (Some(2), None));
    for (dish, hold, station) in [(ROAST, 1, "oven"), (ROAST, 0, "board"), (CHIPS, 0, "oven")] {
        assert_eq!(read(dish, hold, station, None), (None, None), "{hold} {station}");
    }
}

/// Each load is held to its minute; the place of a step counts once, and only where the plan had one that there is.
#[test]
fn what_is_shown_is_held_to_its_minutes_and_once_to_its_place() {
    let evening = doubled();
    let anchors = |blocks: Vec<Block>| {
        let situation = Situation {
            now: Some(990),
            previous: Some(Arc::new(with(blocks))),
            ..Situation::default()
        };
        let (problem, map) = build(&evening, &situation).expect("a problem");
        let all = problem.anchors.into_iter();
        all.map(|a| (map.tasks[a.task].key, a.start, a.mode.map(|m| m.0))).collect::<Vec<_>>()
    };
    let place = |way, station| anchors(vec![roast(way, station)])[0].2;
    assert_eq!([place(0, "oven2"), place(1, "fryer"), place(1, "fryer2")], [1, 2, 3].map(Some));
    assert_eq!([place(1, "oven"), place(0, "fryer"), place(0, "nowhere")], [None; 3]);
    assert_eq!(anchors(vec![Block { begun: true, ..roast(0, "oven") }]), []);
    let fry = |load: u32| {
        let start: Minute = [1100, 1110, 1120][load as usize];
        block(key(CHIPS, 1, load), "fryer2", (start, start + 9))
    };
    let fried = |load, start, mode| (key(CHIPS, 1, load), start, mode);
    let all = [fried(0, 1100, Some(1)), fried(1, 1110, None), fried(2, 1120, None)];
    assert_eq!(anchors(vec![fry(2), fry(1), fry(0)]), all);
    assert_eq!(anchors(vec![fry(1)]), [fried(1, 1110, Some(1))]);
}
