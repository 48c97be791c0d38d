//! The evening at the minute at which a block should have ended, and what is told of what moves.

use super::super::tests::by_hand;
use super::*;
use crate::plan::blocks::SettingBlock;
use crate::plan::compose::tests::supper;
use crate::plan::sample::evening;

fn key(dish: usize, step: usize) -> StepKey {
    StepKey { dish, step, load: 0 }
}

fn ran(start: Minute, end: Minute, setting_c: Option<i32>) -> Begun {
    Begun::Running {
        start,
        end,
        way: 0,
        station: if setting_c.is_some() { "oven".into() } else { "board".into() },
        cook: Some("kim".into()),
        setting_c,
    }
}

fn done(start: Minute, end: Minute) -> Begun {
    Begun::Done { start, end, way: 0, station: "board".into(), left_out: false }
}

#[test]
fn a_dial_stands_as_far_as_it_has_come() {
    let setting = |kind, from, to, from_c, to_c| SettingBlock {
        station: "oven".into(),
        kind,
        from,
        to,
        from_c,
        to_c,
    };
    let plan = Plan {
        settings: vec![
            setting(SettingKind::Heating, 100, 120, 20, 180),
            setting(SettingKind::Keeping, 120, 160, 180, 180),
            setting(SettingKind::Cooling, 160, 170, 180, 80),
            setting(SettingKind::Heating, 300, 300, 80, 90),
        ],
        ..Plan::default()
    };
    // Eight degrees a minute up, ten down; what takes no time has not begun at its minute.
    for (now, c) in [
        (99, None),
        (100, Some(20)),
        (105, Some(60)),
        (119, Some(172)),
        (120, Some(180)),
        (159, Some(180)),
        (165, Some(130)),
        (170, Some(80)),
        (200, Some(80)),
        (300, Some(80)),
    ] {
        assert_eq!(temperature(&plan, "oven", now), c, "{now}");
    }
    assert_eq!(temperature(&plan, "hob", 130), None);
}

/// Seasoned 16:00 to 16:10 (960 to 970), roasted 980 to 1040, mixed 985 to 991, rested from 1040 on.
#[test]
fn all_else_has_gone_as_planned_when_a_block_is_found_late() {
    let (evening, plan) = supper();
    let plan = Arc::new(plan);
    let then = |situation: &Situation, key, minutes| {
        situation_then(&evening, situation, &plan, key, minutes).expect("a situation")
    };
    let ahead = Situation::default();
    // The roast seven minutes late, noticed at 17:20: the oven is as it was, and the rest has not begun.
    let late = then(&ahead, key(0, 1), 7);
    let expected = [
        (key(0, 0), done(960, 970)),
        (key(0, 1), ran(980, 1047, Some(180))),
        (key(2, 0), done(985, 991)),
    ];
    assert_eq!((late.now, late.begun), (Some(1040), expected.clone().into()));
    assert_eq!(late.oven_c, [("oven".to_owned(), 180)].into());
    assert!(late.served.is_empty() && late.previous.as_ref() == Some(&plan));
    // The mixing: the roast is in the oven.
    let late = then(&ahead, key(2, 0), 4);
    let expected = [
        (key(0, 0), done(960, 970)),
        (key(0, 1), ran(980, 1040, Some(180))),
        (key(2, 0), ran(985, 995, None)),
    ];
    assert_eq!((late.now, late.begun), (Some(991), expected.into()));
    // What has happened stands: who began when, what ended by then, also what the plan does not have.
    let situation = Situation {
        now: Some(988),
        begun: [
            (key(0, 0), ran(961, 991, None)),
            (key(0, 1), ran(981, 1045, Some(180))),
            (key(2, 0), ran(986, 991, None)),
            (key(9, 0), ran(900, 991, None)),
            (key(9, 1), ran(900, 992, None)),
        ]
        .into(),
        ..Situation::default()
    };
    let late = then(&situation, key(2, 0), 4);
    let expected = [
        (key(0, 0), done(961, 991)),
        (key(0, 1), ran(981, 1045, Some(180))),
        (key(2, 0), ran(986, 995, None)),
        (key(9, 0), done(900, 991)),
        (key(9, 1), ran(900, 992, None)),
    ];
    assert_eq!((late.now, late.begun), (Some(991), expected.into()));
    // It should have ended long ago: so many minutes from now.
    let over = Situation { now: Some(1060), begun: situation.begun, ..Situation::default() };
    let late = then(&over, key(0, 1), 7);
    assert_eq!((late.now, &late.begun[&key(0, 1)]), (Some(1060), &ran(981, 1067, Some(180))));
}

#[test]
fn pins_that_are_past_or_begun_are_gone_and_what_was_on_the_table_is_served() {
    let (evening, mut plan) = supper();
    plan.services[0].dishes[1].2 = 1040;
    plan.services[0].dishes[2].2 = 1039;
    let pins = [
        (key(0, 0), 960),
        (key(0, 1), 1050),
        (key(1, 0), 1060),
        (key(1, 1), 1039),
        (key(2, 1), 1040),
    ];
    let situation = Situation { pins: pins.into(), ..Situation::default() };
    let then = situation_then(&evening, &situation, &Arc::new(plan), key(0, 1), 5);
    let then = then.expect("a situation");
    assert_eq!(then.pins, [(key(1, 0), 1060), (key(2, 1), 1040)].into());
    assert_eq!(then.served, [2].into());
}

#[test]
fn what_moves_is_told_in_its_order_services_first() {
    let (evening, old) = supper();
    let mut new = old.clone();
    for block in &mut new.blocks {
        match (block.key.dish, block.key.step, block.key.load) {
            (1, 1, 1) => block.start += 5,
            (1, 0, 0) => block.station = "hob".into(),
            // It has begun, and is no move.
            (0, 0, 0) => block.start += 1,
            _ => {}
        }
    }
    new.blocks.reverse();
    new.services[0].dishes[1].2 += 5;
    let then = Situation { begun: [(key(0, 0), done(961, 970))].into(), ..Situation::default() };
    let late = told(&evening, &then, &old, new, 5);
    let cut = Move { key: key(1, 0), from: 1060, to: 1060, station: Some("hob".into()) };
    let fry = StepKey { dish: 1, step: 1, load: 1 };
    let fry = Move { key: fry, from: 1120, to: 1125, station: None };
    assert_eq!(late.moves, [cut, fry]);
    assert_eq!(late.services, [ServiceMove { service: 0, due: 1140, from: 1140, to: 1145 }]);
    let moved = ["Chips: cut 17:40 to 17:40, Hob", "Chips: fry 2 18:40 to 18:45"];
    assert_eq!(late.lines[0], "Supper 5 min late (19:05)");
    assert_eq!(late.lines[1..], moved);
    // And where no service moves, or nothing, or one is on time again.
    let all = lines(&evening, &late.moves, &[]);
    assert_eq!(all, ["Every service stays as it is.", moved[0], moved[1]]);
    assert_eq!(lines(&evening, &[], &[]), ["Nothing moves; every service is as it was."]);
    let again = ServiceMove { service: 0, due: 1140, from: 1150, to: 1140 };
    assert_eq!(lines(&evening, &[], &[again]), ["Supper on time again (19:00)"]);
}

const NEVER: &(dyn Fn() -> bool + Sync) = &|| false;

/// Fried from 18:33 on in loads of nine minutes, the first five late: the two after it are as late, and the dip is dressed once the
/// cook has hands for it, as the second is in.
#[test]
fn what_must_wait_is_pushed_along_and_nothing_else() {
    let evening = evening();
    let (plan, ahead) = (Arc::new(by_hand(&evening)), Situation::default());
    let fry = |load| StepKey { dish: 1, step: 1, load };
    let then = situation_then(&evening, &ahead, &plan, fry(0), 5).expect("a situation");
    let planning = Planning::new(&evening, &then).expect("a problem");
    let schedule = pushed(&evening, &ahead, &plan, fry(0), 5, &planning).expect("it can be done");
    let start = |key| {
        let at = planning.map().tasks.iter().position(|t| t.key == key && !t.shadow);
        schedule.start[at.expect("a load")]
    };
    assert_eq!([fry(0), fry(1), fry(2)].map(start), [1113, 1127, 1136]);
    assert_eq!([key(0, 1), key(0, 2), key(2, 0), key(2, 1)].map(start), [1050, 1110, 1030, 1128]);
    assert!(judge(planning.problem(), &schedule).is_ok());
}

/// Whichever beginning is the good one: of the plan on the screen as it is put off, and of one that was looked for longer.
#[test]
fn of_several_beginnings_the_cheapest_plan_is_kept() {
    let evening = evening();
    let (plan, ahead) = (Arc::new(by_hand(&evening)), Situation::default());
    let (at_once, longer) =
        (Budget { seed: 1, rounds: 0, stop: NEVER }, Budget { seed: 1, rounds: 400, stop: NEVER });
    let mut better = 0;
    for block in &plan.blocks {
        let then = situation_then(&evening, &ahead, &plan, block.key, 10).expect("a situation");
        let planning = Planning::new(&evening, &then).expect("a problem");
        let shown = planning.shown();
        let off = planning.search(shown.as_ref(), &at_once).expect("a plan").0.cost.total();
        let (good, schedule) = planning.search(shown.as_ref(), &longer).expect("a plan");
        better += usize::from(good.cost.total() < off);
        let good = off.min(good.cost.total());
        for (first, others) in [
            (shown.as_ref(), [None, Some(schedule.clone())]),
            (shown.as_ref(), [Some(schedule.clone()), shown.clone()]),
            (Some(&schedule), [shown.clone(), None]),
        ] {
            let found = best_from(&planning, first, &others, &at_once).expect("a plan").0;
            assert!(found.cost.total() <= good, "{:?}", block.key);
        }
    }
    assert!(better > 0);
}
