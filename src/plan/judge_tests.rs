//! Each rule at the head of `problem.rs` on a schedule that just keeps it and on one that just does not, and
//! each price by a sum worked out by hand. The judge is what the search and the prover are held against.

use super::judge::{Fault, judge};
use super::problem::{
    Anchor, Dish, Fixed, HandsPart, Hold, Lag, Limit, Link, Mode, Oven, OvenUse, Point, Problem,
    Resource, Schedule, Stay, Step, Task, Use,
};
use super::{Cost, judge};

/// Steps of so many minutes, each with one way, between the minutes 100 and 200.
fn line(minutes: &[i32]) -> Problem {
    let step = |(n, &minutes): (usize, &i32)| Step {
        modes: vec![Mode { minutes, loads: 1, ..Mode::default() }],
        cooks: Vec::new(),
        first_task: n,
        task_count: 1,
    };
    let task = |step| Task { step, earliest: 100, latest: 200, ..Task::default() };
    Problem {
        start: 100,
        end: 200,
        steps: minutes.iter().enumerate().map(step).collect(),
        tasks: (0..minutes.len()).map(task).collect(),
        ..Problem::default()
    }
}

/// Their starts, and nothing else chosen.
fn at(p: &Problem, starts: &[i32]) -> Schedule {
    Schedule {
        mode: vec![0; p.steps.len()],
        start: starts.to_vec(),
        cook: vec![None; starts.len()],
        setting_c: vec![None; starts.len()],
        hold: vec![None; p.dishes.len()],
        hold_setting_c: vec![None; p.dishes.len()],
    }
}

fn fault(p: &Problem, s: &Schedule) -> Option<Fault> {
    let faults = judge(p, s).err()?;
    assert_eq!(faults.len(), 1, "{faults:?}");
    faults.into_iter().next()
}

fn cost(p: &Problem, s: &Schedule) -> Cost {
    judge(p, s).expect("it keeps every rule")
}

const fn start(task: usize) -> Point {
    Point { task, end: false }
}

const fn end(task: usize) -> Point {
    Point { task, end: true }
}

fn begun(p: &mut Problem, task: usize, start: i32, end: i32) {
    p.tasks[task].fixed = Some(Fixed { start, end, cook: None, setting_c: None });
}

fn uses(p: &mut Problem, step: usize, resource: usize, amount: i32) {
    p.steps[step].modes[0].uses.push(Use { resource, amount });
}

fn room(capacity: i32) -> Resource {
    Resource { capacity, closed: Vec::new() }
}

/// The last step's dish, due at a minute.
fn served(p: &mut Problem, due: i32) -> &mut Dish {
    p.dishes.push(Dish { last_step: p.steps.len() - 1, due, ..Dish::default() });
    p.dishes.last_mut().expect("just put there")
}

#[test]
fn a_schedule_has_one_entry_for_everything_and_no_choice_that_is_not_there() {
    let mut p = line(&[10]);
    served(&mut p, 110);
    let good = at(&p, &[100]);
    assert!(judge(&p, &good).is_ok());
    let wrong: [fn(&mut Schedule); 8] = [
        |s| s.mode.push(0),
        |s| s.start.push(100),
        |s| s.cook.push(None),
        |s| s.setting_c.push(None),
        |s| s.hold.push(None),
        |s| s.hold_setting_c.push(None),
        |s| s.mode[0] = 1,
        |s| s.hold[0] = Some(0),
    ];
    for change in wrong {
        let mut s = good.clone();
        change(&mut s);
        assert_eq!(fault(&p, &s), Some(Fault::Shape), "{s:?}");
    }
}

#[test]
fn a_cook_is_one_of_those_who_can_and_none_where_no_hands_are_asked() {
    let mut p = line(&[10, 10]);
    p.resources = vec![room(100), room(100)];
    p.steps[0].cooks = vec![1];
    p.steps[0].modes[0].hands = vec![HandsPart { from: 0, to: 10, percent: 100 }];
    let with = |cooks: [Option<usize>; 2]| Schedule { cook: cooks.into(), ..at(&p, &[100, 100]) };
    assert_eq!(fault(&p, &with([Some(1), None])), None);
    for (cooks, task) in [([Some(0), None], 0), ([None, None], 0), ([Some(1), Some(1)], 1)] {
        assert_eq!(fault(&p, &with(cooks)), Some(Fault::Choice(format!("cook of task {task}"))));
    }
    let mut fixed = p.clone();
    fixed.tasks[0].fixed = Some(Fixed { start: 90, end: 105, cook: Some(0), setting_c: Some(180) });
    let mut s = with([Some(0), None]);
    s.setting_c[0] = Some(180);
    assert_eq!(fault(&fixed, &s), None, "what has begun has whom it has");
    let otherwise = Some(Fault::Choice("task 0 has begun otherwise".to_owned()));
    s.cook[0] = Some(1);
    assert_eq!(fault(&fixed, &s), otherwise);
    (s.cook[0], s.setting_c[0]) = (Some(0), Some(181));
    assert_eq!(fault(&fixed, &s), otherwise);
}

#[test]
fn a_setting_is_within_what_is_accepted_and_there_is_one_only_in_an_oven() {
    let mut p = line(&[10, 10]);
    p.ovens = vec![Oven { start_c: 180, up_c_per_min: 100, down_c_per_min: 100 }];
    p.steps[0].modes[0].oven = Some(OvenUse { oven: 0, least_c: 170, most_c: 190 });
    let wrong =
        |c: [Option<i32>; 2]| fault(&p, &Schedule { setting_c: c.into(), ..at(&p, &[150, 150]) });
    assert_eq!(wrong([Some(170), None]), None);
    assert_eq!(wrong([Some(190), None]), None);
    let of = |task: usize| Some(Fault::Choice(format!("setting of task {task}")));
    assert_eq!(wrong([Some(169), None]), of(0));
    assert_eq!(wrong([Some(191), None]), of(0));
    assert_eq!(wrong([None, None]), of(0));
    assert_eq!(wrong([Some(180), Some(180)]), of(1));
}

#[test]
fn a_wait_has_the_setting_of_its_place_and_stays_where_it_is() {
    let mut p = line(&[10]);
    p.ovens = vec![Oven { start_c: 70, up_c_per_min: 100, down_c_per_min: 100 }];
    let oven = Some(OvenUse { oven: 0, least_c: 60, most_c: 80 });
    let hot = Hold { oven, most: 60, ..Hold::default() };
    let there = Hold { setting_c: Some(70), ..hot.clone() };
    served(&mut p, 130).holds = vec![Hold { most: 60, ..Hold::default() }, hot, there];
    let wrong = |p: &Problem, hold: Option<usize>, c: Option<i32>| {
        let s = Schedule { hold: vec![hold], hold_setting_c: vec![c], ..at(p, &[110]) };
        fault(p, &s)
    };
    for (hold, c) in [(0, None), (1, Some(60)), (1, Some(80)), (2, Some(70))] {
        assert_eq!(wrong(&p, Some(hold), c), None, "{hold} {c:?}");
    }
    let of = Some(Fault::Choice("setting of the hold of dish 0".to_owned()));
    for (hold, c) in [(0, Some(70)), (1, Some(59)), (1, Some(81)), (1, None), (2, Some(71))] {
        assert_eq!(wrong(&p, Some(hold), c), of, "{hold} {c:?}");
    }
    assert_eq!(wrong(&p, None, Some(70)), of);
    p.dishes[0].held = Some(0);
    assert_eq!(wrong(&p, Some(0), None), None);
    let elsewhere = Some(Fault::Choice("dish 0 waits elsewhere already".to_owned()));
    assert_eq!(wrong(&p, Some(1), Some(70)), elsewhere);
    assert_eq!(wrong(&p, None, None), elsewhere);
}

#[test]
fn what_has_not_begun_starts_and_ends_in_its_window() {
    let p = line(&[10]);
    let wrong = |p: &Problem, start| fault(p, &at(p, &[start]));
    let window = Some(Fault::Window { task: 0 });
    assert_eq!(wrong(&p, 100), None);
    assert_eq!(wrong(&p, 190), None);
    assert_eq!(wrong(&p, 99), window);
    assert_eq!(wrong(&p, 191), window, "it ends past the end of all");
    let mut p = line(&[10]);
    (p.tasks[0].earliest, p.tasks[0].latest) = (120, 130);
    assert_eq!(wrong(&p, 120), None);
    assert_eq!(wrong(&p, 130), None);
    assert_eq!(wrong(&p, 119), window);
    assert_eq!(wrong(&p, 131), window);
    p.tasks[0].earliest = 80;
    assert_eq!(wrong(&p, 99), window, "nothing new starts before the problem does");
    begun(&mut p, 0, 80, 300);
    assert_eq!(wrong(&p, 80), None, "what has begun stands where it is");
    let mut p = line(&[10]);
    p.steps[0].modes.push(Mode { loads: 0, ..Mode::default() });
    let s = Schedule { mode: vec![1], ..at(&p, &[50]) };
    assert_eq!(fault(&p, &s), None, "a load that is not done has no window");
}

#[test]
fn lags_hold_between_what_is_done_unless_both_ends_have_happened() {
    let mut p = line(&[10, 5]);
    p.lags =
        vec![Lag { from: end(0), to: start(1), least: 3, most: 7, soft_most: None, best: None }];
    let wrong = |p: &Problem, later| fault(p, &at(p, &[100, later]));
    let lag = Some(Fault::Lag { lag: 0 });
    assert_eq!(wrong(&p, 113), None);
    assert_eq!(wrong(&p, 117), None);
    assert_eq!(wrong(&p, 112), lag);
    assert_eq!(wrong(&p, 118), lag);
    let mut soft = p.clone();
    soft.lags[0].soft_most = Some(4);
    assert_eq!(cost(&soft, &at(&soft, &[100, 117])).late, 0);
    assert_eq!(cost(&soft, &at(&soft, &[100, 120])).late, 12, "three minutes past it at 4");
    assert_eq!(wrong(&soft, 112), lag, "the least is never soft");
    soft.lags[0].best = Some((6, 5));
    assert_eq!(cost(&soft, &at(&soft, &[100, 114])).quality, 10, "two minutes short of 6 at 5");
    assert_eq!(cost(&soft, &at(&soft, &[100, 116])).quality, 0);
    begun(&mut p, 0, 90, 112);
    assert_eq!(wrong(&p, 114), lag, "from the end that it really had");
    begun(&mut p, 1, 114, 119);
    assert_eq!(wrong(&p, 114), None);
    let mut p = line(&[10, 5]);
    p.lags = soft.lags;
    p.lags[0].soft_most = None;
    p.steps[1].modes.push(Mode { loads: 0, ..Mode::default() });
    let s = Schedule { mode: vec![0, 1], ..at(&p, &[100, 150]) };
    assert_eq!(fault(&p, &s), None, "void where a load is not done");
}

#[test]
fn no_more_is_used_than_there_is_at_any_minute() {
    let mut p = line(&[10, 10]);
    p.resources = vec![room(3)];
    uses(&mut p, 0, 0, 2);
    uses(&mut p, 1, 0, 1);
    let wrong = |p: &Problem, later| fault(p, &at(p, &[120, later]));
    assert_eq!(wrong(&p, 120), None, "two and one are three");
    uses(&mut p, 1, 0, 1);
    let at_minute = |minute| Some(Fault::Resource { resource: 0, minute });
    assert_eq!(wrong(&p, 129), at_minute(129));
    assert_eq!(wrong(&p, 130), None);
    assert_eq!(wrong(&p, 111), at_minute(120));
    assert_eq!(wrong(&p, 110), None);
    p.resources[0].closed = vec![(140, 145)];
    assert_eq!(wrong(&p, 130), None);
    assert_eq!(wrong(&p, 131), at_minute(140));
    assert_eq!(wrong(&p, 144), at_minute(144));
    assert_eq!(wrong(&p, 145), None);
}

#[test]
fn what_has_begun_may_take_too_much_and_then_nothing_is_added() {
    let mut p = line(&[10, 10, 10]);
    p.resources = vec![room(1)];
    (0..3).for_each(|step| uses(&mut p, step, 0, 1));
    begun(&mut p, 0, 80, 110);
    begun(&mut p, 1, 90, 120);
    let wrong = |p: &Problem, new| fault(p, &at(p, &[0, 0, new]));
    assert_eq!(wrong(&p, 120), None);
    assert_eq!(wrong(&p, 119), Some(Fault::Resource { resource: 0, minute: 119 }));
    assert_eq!(wrong(&p, 105), Some(Fault::Resource { resource: 0, minute: 105 }));
    p.resources[0].closed = vec![(100, 120)];
    assert_eq!(wrong(&p, 120), None, "closed or not");
}

#[test]
fn hands_fall_on_one_cook_for_their_stretches_alone() {
    let mut p = line(&[10, 10]);
    p.resources = vec![room(100), room(100)];
    for step in &mut p.steps {
        step.cooks = vec![0, 1];
        step.modes[0].hands = vec![
            HandsPart { from: 0, to: 2, percent: 100 },
            HandsPart { from: 2, to: 9, percent: 50 },
            HandsPart { from: 9, to: 10, percent: 100 },
        ];
    }
    let wrong = |cooks: [usize; 2], later| {
        let s = Schedule { cook: cooks.map(Some).into(), ..at(&p, &[120, later]) };
        fault(&p, &s)
    };
    assert_eq!(wrong([0, 1], 120), None);
    assert_eq!(wrong([0, 0], 120), Some(Fault::Resource { resource: 0, minute: 120 }));
    assert_eq!(wrong([1, 1], 122), Some(Fault::Resource { resource: 1, minute: 122 }));
    assert_eq!(wrong([0, 0], 128), Some(Fault::Resource { resource: 0, minute: 128 }));
    assert_eq!(wrong([0, 0], 130), None);
}

#[test]
fn a_stay_lasts_from_the_earliest_to_the_latest_and_through_a_wait() {
    let mut p = line(&[10, 10, 10, 10]);
    p.resources = vec![room(1)];
    let stay = |through_hold| Stay {
        uses: Use { resource: 0, amount: 1 },
        from: vec![start(0), start(1)],
        to: vec![end(0), end(1)],
        through_hold,
    };
    p.stays = vec![stay(Vec::new())];
    uses(&mut p, 2, 0, 1);
    let wrong = |p: &Problem, other| fault(p, &at(p, &[130, 150, other, 110]));
    let at_minute = |minute| Some(Fault::Resource { resource: 0, minute });
    assert_eq!(wrong(&p, 120), None);
    assert_eq!(wrong(&p, 121), at_minute(130));
    assert_eq!(wrong(&p, 142), at_minute(142), "between the two as well");
    assert_eq!(wrong(&p, 159), at_minute(159));
    assert_eq!(wrong(&p, 160), None);
    // The last step's dish is out at 120, and waits until it is due.
    served(&mut p, 165).holds = vec![Hold { most: 60, ..Hold::default() }; 2];
    p.stays = vec![stay(vec![(0, 1)])];
    let waits = |p: &Problem, hold, other| {
        let s = Schedule { hold: vec![Some(hold)], ..at(p, &[130, 150, other, 110]) };
        fault(p, &s)
    };
    assert_eq!(waits(&p, 0, 160), None, "it waits elsewhere");
    assert_eq!(waits(&p, 1, 160), at_minute(160));
    assert_eq!(waits(&p, 1, 164), at_minute(164));
    assert_eq!(waits(&p, 1, 165), None);
    // Begun at one end alone, and at both.
    p.stays = vec![stay(Vec::new()), stay(Vec::new())];
    begun(&mut p, 0, 130, 140);
    assert_eq!(waits(&p, 0, 190), at_minute(130));
    begun(&mut p, 1, 150, 160);
    assert_eq!(waits(&p, 0, 190), None);
    p.stays[1] = stay(vec![(0, 1)]);
    assert_eq!(waits(&p, 1, 190), at_minute(130), "its wait has not begun");
    p.dishes[0].held = Some(1);
    assert_eq!(waits(&p, 1, 190), None);
}

#[test]
fn a_wait_takes_its_place_from_out_to_served() {
    let mut p = line(&[10, 10]);
    p.resources = vec![room(1)];
    uses(&mut p, 0, 0, 1);
    let hold = Hold { uses: vec![Use { resource: 0, amount: 1 }], most: 60, ..Hold::default() };
    served(&mut p, 140).holds = vec![hold];
    let wrong =
        |p: &Problem, other| fault(p, &Schedule { hold: vec![Some(0)], ..at(p, &[other, 110]) });
    let at_minute = |minute| Some(Fault::Resource { resource: 0, minute });
    assert_eq!(wrong(&p, 110), None);
    assert_eq!(wrong(&p, 111), at_minute(120));
    assert_eq!(wrong(&p, 139), at_minute(139));
    assert_eq!(wrong(&p, 140), None);
    p.resources[0].closed = vec![(125, 130)];
    assert_eq!(wrong(&p, 140), at_minute(125));
    p.dishes[0].held = Some(0);
    assert_eq!(wrong(&p, 140), None, "it stands there already");
}

/// Two in an oven that has 100 °C at minute 100, heats by 10 °C a minute and cools by 5.
fn baking() -> Problem {
    let mut p = line(&[10, 10]);
    p.ovens = vec![Oven { start_c: 100, up_c_per_min: 10, down_c_per_min: 5 }];
    for step in &mut p.steps {
        step.modes[0].oven = Some(OvenUse { oven: 0, least_c: 50, most_c: 250 });
    }
    p
}

#[test]
fn an_oven_has_one_setting_at_a_time_and_needs_its_minutes_between_two() {
    let p = baking();
    let oven = |minute| Some(Fault::Oven { oven: 0, minute });
    let wrong = |starts: [i32; 2], c: [i32; 2]| {
        fault(&p, &Schedule { setting_c: c.map(Some).into(), ..at(&p, &starts) })
    };
    assert_eq!(wrong([110, 112], [200, 200]), None, "one setting, hot after 10 minutes");
    assert_eq!(wrong([109, 112], [200, 200]), oven(109));
    assert_eq!(wrong([111, 140], [201, 201]), None, "a begun minute is a whole one");
    assert_eq!(wrong([110, 140], [201, 201]), oven(110));
    assert_eq!(wrong([110, 125], [200, 250]), None, "50 degrees up in 5 minutes");
    assert_eq!(wrong([110, 124], [200, 250]), oven(124));
    assert_eq!(wrong([110, 130], [200, 150]), None, "50 degrees down in 10 minutes");
    assert_eq!(wrong([110, 129], [200, 150]), oven(129));
    assert_eq!(wrong([129, 110], [150, 200]), oven(129), "whichever is named first");
    assert_eq!(wrong([110, 119], [200, 201]), oven(119), "not two at once");
}

#[test]
fn what_has_begun_is_excused_among_itself_in_an_oven() {
    let mut p = baking();
    let fix = |p: &mut Problem, task: usize, start, end, c| {
        p.tasks[task].fixed = Some(Fixed { start, end, cook: None, setting_c: Some(c) });
    };
    let wrong = |p: &Problem, starts: [i32; 2], c: [i32; 2]| {
        fault(p, &Schedule { setting_c: c.map(Some).into(), ..at(p, &starts) })
    };
    fix(&mut p, 0, 95, 105, 200);
    assert_eq!(wrong(&p, [95, 110], [200, 200]), None);
    assert_eq!(wrong(&p, [95, 114], [200, 240]), None, "hot from what it has at the start");
    fix(&mut p, 1, 98, 108, 240);
    assert_eq!(wrong(&p, [95, 98], [200, 240]), None);
    // What was over before the problem starts says nothing about the oven; what ends in it does.
    let mut p = baking();
    fix(&mut p, 0, 80, 100, 250);
    assert_eq!(wrong(&p, [80, 100], [250, 100]), None);
    fix(&mut p, 0, 80, 101, 250);
    assert_eq!(wrong(&p, [80, 130], [250, 100]), Some(Fault::Oven { oven: 0, minute: 130 }));
    assert_eq!(wrong(&p, [80, 131], [250, 100]), None);
    // Left out: it took no time.
    fix(&mut p, 0, 120, 120, 250);
    assert_eq!(wrong(&p, [120, 115], [250, 100]), None);
}

#[test]
fn a_wait_in_an_oven_is_a_use_of_it() {
    let mut p = baking();
    let hold = Hold {
        oven: Some(OvenUse { oven: 0, least_c: 50, most_c: 250 }),
        most: 60,
        ..Hold::default()
    };
    served(&mut p, 140).holds = vec![hold];
    p.steps[1].modes[0].oven = None;
    let wrong = |p: &Problem, other| {
        let (setting_c, hold) = (vec![Some(200), None], vec![Some(0)]);
        let s = at(p, &[other, 110]);
        fault(p, &Schedule { setting_c, hold, hold_setting_c: vec![Some(100)], ..s })
    };
    let oven = |minute| Some(Fault::Oven { oven: 0, minute });
    // The wait is at 100 °C from 120 to 140: 10 minutes up to 200, 20 down from there.
    assert_eq!(wrong(&p, 150), None);
    assert_eq!(wrong(&p, 149), oven(149));
    assert_eq!(wrong(&p, 110), oven(120));
    p.dishes[0].due = 120;
    assert_eq!(wrong(&p, 110), None, "no wait, no use");
    p.dishes[0].due = 100;
    begun(&mut p, 1, 80, 90);
    assert_eq!(wrong(&p, 110), None, "over when the problem starts");
}

#[test]
fn a_dish_waits_only_in_a_place_no_longer_than_it_may() {
    let mut p = line(&[10]);
    served(&mut p, 140).holds = vec![Hold { most: 20, ..Hold::default() }];
    let wrong =
        |p: &Problem, start, hold| fault(p, &Schedule { hold: vec![hold], ..at(p, &[start]) });
    let held = Some(Fault::Hold { dish: 0 });
    assert_eq!(wrong(&p, 130, None), None);
    assert_eq!(wrong(&p, 129, None), held);
    assert_eq!(wrong(&p, 110, Some(0)), None);
    assert_eq!(wrong(&p, 109, Some(0)), held);
    p.dishes[0].holds[0].soft_most = Some(7);
    let s = Schedule { hold: vec![Some(0)], ..at(&p, &[108]) };
    assert_eq!(cost(&p, &s).late, 14, "two minutes too long at 7");
    // Limits from a point to the serving: of the place, or of none.
    let limit = |most, soft_most| Limit { from: start(0), most, soft_most };
    p.dishes[0].holds[0].limits = vec![limit(30, None)];
    assert_eq!(wrong(&p, 110, Some(0)), None);
    assert_eq!(wrong(&p, 109, Some(0)), held);
    p.dishes[0].holds[0].limits = vec![limit(30, Some(3))];
    let s = Schedule { hold: vec![Some(0)], ..at(&p, &[105]) };
    assert_eq!(cost(&p, &s).late, 5 * 7 + 5 * 3);
    p.dishes[0].straight = vec![limit(9, None)];
    assert_eq!(wrong(&p, 130, None), held);
    p.dishes[0].straight = vec![limit(10, None)];
    assert_eq!(wrong(&p, 130, None), None);
}

/// Two loads of ten minutes, one after the other.
fn in_two_loads(due: i32) -> Problem {
    let mut p = line(&[10]);
    p.steps[0].task_count = 2;
    p.steps[0].modes[0].loads = 2;
    p.tasks.push(Task { load: 1, ..p.tasks[0].clone() });
    served(&mut p, due).holds = vec![Hold { most: 60, ..Hold::default() }];
    p
}

#[test]
fn out_with_the_first_load_ready_with_the_last_and_served_when_due_or_later() {
    let p = in_two_loads(150);
    let s = at(&p, &[110, 125]);
    let serving = judge::serving(&p, &s, 0);
    assert_eq!((serving.out, serving.ready, serving.served), (120, 135, 150));
    let late = at(&p, &[110, 145]);
    assert_eq!(judge::serving(&p, &late, 0).served, 155);
    assert_eq!(fault(&p, &s), Some(Fault::Hold { dish: 0 }), "the first load waits");
}

#[test]
fn lateness_cushion_waiting_and_ways_have_their_prices() {
    let mut p = in_two_loads(150);
    let dish = &mut p.dishes[0];
    (dish.late_price, dish.cushion, dish.cushion_price, dish.straight_price) = (100, 8, 5, 1);
    (dish.holds[0].free, dish.holds[0].price, dish.holds[0].best) = (10, 3, Some((25, 2)));
    p.steps[0].modes[0].price = 40;
    let of = |starts: [i32; 2]| cost(&p, &Schedule { hold: vec![Some(0)], ..at(&p, &starts) });
    // Out at 130, ready at 146: 20 minutes' wait, ten of them paid, five short of the best; four of cushion.
    assert_eq!(of([120, 136]), Cost { quality: 40 + 30 + 10, risk: 20, ..Cost::default() });
    // Out at 140, ready at 153: three late, 13 of wait; no cushion at all, and not less than none.
    let late = Cost { late: 300, quality: 40 + 9 + 24, risk: 40, ..Cost::default() };
    assert_eq!(of([130, 143]), late);
    // Out at 121, ready at 140: 29 of wait; more cushion than is wanted.
    assert_eq!(of([111, 130]), Cost { quality: 40 + 57, ..Cost::default() });
    let mut p = line(&[10]);
    served(&mut p, 110).straight_price = 6;
    assert_eq!(cost(&p, &at(&p, &[100])), Cost { quality: 6, ..Cost::default() });
}

#[test]
fn hours_gaps_hops_and_the_last_end_have_their_prices() {
    let mut p = line(&[10, 10, 10]);
    p.resources = vec![room(100), room(100)];
    for step in &mut p.steps {
        step.cooks = vec![0, 1];
        step.modes[0].hands = vec![HandsPart { from: 1, to: 5, percent: 50 }];
    }
    (p.span_price, p.effort_until, p.idle_price, p.finish_price) = (7, 150, 1, 2);
    let of = |p: &Problem, cooks: [usize; 3], starts: [i32; 3]| {
        cost(p, &Schedule { cook: cooks.map(Some).into(), ..at(p, &starts) })
    };
    // From 111 on. The first cook: 111 to 135, 24 minutes less two times two; the other: 4 less 2.
    let effort = 7 * 39 + (2_400 - 400) + (400 - 200);
    let expected = Cost { effort, finish: 2 * 140, ..Cost::default() };
    assert_eq!(of(&p, [0, 0, 1], [110, 130, 130]), expected);
    let mut hops = p.clone();
    (hops.span_price, hops.idle_price, hops.finish_price) = (0, 0, 0);
    hops.links = vec![Link { from_step: 0, to_step: 1, least: 3, price: 9 }];
    assert_eq!(of(&hops, [0, 0, 1], [110, 123, 130]).effort, 0);
    assert_eq!(of(&hops, [0, 0, 1], [110, 124, 130]).effort, 9);
    // What has begun counts for none of it.
    begun(&mut p, 0, 95, 105);
    p.tasks[0].fixed.as_mut().expect("begun").cook = Some(0);
    let effort = 7 * (150 - 131) + (400 - 200) + (400 - 200);
    assert_eq!(of(&p, [0, 0, 1], [95, 130, 130]).effort, effort);
    p.effort_until = 120;
    assert_eq!(of(&p, [0, 0, 1], [95, 130, 130]).effort, 400, "no span past its end");
}

#[test]
fn moving_from_what_was_shown_has_its_price_either_way() {
    let mut p = line(&[10]);
    p.steps[0].modes.push(Mode { minutes: 5, loads: 1, ..Mode::default() });
    p.anchors = vec![Anchor { task: 0, start: 120, price: 3, mode: Some((0, 50)) }];
    let of = |mode, start| cost(&p, &Schedule { mode: vec![mode], ..at(&p, &[start]) }).change;
    assert_eq!(of(0, 120), 0);
    assert_eq!(of(0, 124), 12);
    assert_eq!(of(0, 116), 12);
    assert_eq!(of(1, 120), 50);
    assert_eq!(of(1, 121), 53);
}
