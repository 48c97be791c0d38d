//! A little problem, widened: what becomes longer, shorter or stays, by hand.

use super::*;
use crate::plan::build::StepAt;
use crate::plan::problem::{Dish, Fixed, HandsPart, Hold, Lag, Mode, Point, Stay, Step, Task, Use};

const fn start(task: usize) -> Point {
    Point { task, end: false }
}

const fn end(task: usize) -> Point {
    Point { task, end: true }
}

fn step(minutes: i32, hands: i32, first_task: usize, task_count: usize) -> Step {
    let hands = vec![HandsPart { from: 0, to: hands, percent: 100 }];
    let mode = Mode { minutes, loads: task_count, hands, ..Mode::default() };
    Step { modes: vec![mode], cooks: vec![0], first_task, task_count }
}

fn lag(from: Point, to: Point, least: i32, most: i32) -> Lag {
    Lag { from, to, least, most, soft_most: None, best: None }
}

fn limit(from: Point, most: i32) -> Limit {
    Limit { from, most, soft_most: None }
}

/// Cut by hand (10), cooked in two loads (20, two of them by hand), served from the last step (5).
fn problem() -> Problem {
    let task = |step, load| Task { step, load, ..Task::default() };
    let mut rest = lag(end(2), start(3), 5, 15);
    rest.best = Some((10, 7));
    let hold = Hold { limits: vec![limit(end(2), 50), limit(end(0), 90)], ..Hold::default() };
    Problem {
        steps: vec![step(10, 10, 0, 1), step(20, 2, 1, 2), step(5, 5, 3, 1)],
        tasks: vec![task(0, 0), task(1, 0), task(1, 1), task(2, 0)],
        lags: vec![
            lag(end(0), start(1), 0, 30),
            lag(end(1), start(2), 0, i32::MAX),
            rest,
            lag(start(0), end(2), 12, i32::MAX),
            lag(start(0), end(2), i32::MIN, 60),
            lag(end(1), end(2), 20, 25),
        ],
        dishes: vec![Dish {
            last_step: 2,
            cushion: 5,
            cushion_price: 100,
            holds: vec![hold],
            straight: vec![limit(end(1), 40), limit(start(1), 70)],
            ..Dish::default()
        }],
        ..Problem::default()
    }
}

fn map() -> Map {
    let at = |step| StepAt { dish: 7, step, modes: Vec::new() };
    Map { steps: [0, 1, 2].map(at).into(), dishes: vec![7], ..Map::default() }
}

fn widened(problem: &Problem, step: usize, minutes: Minute) -> Problem {
    let mut room = Room::default();
    room.set_step(7, step, minutes);
    room.widen(problem, &map())
}

#[test]
fn what_follows_a_step_begins_so_much_later_and_waits_so_much_less() {
    let mut expected = problem();
    expected.steps[1].modes[0].minutes = 24;
    expected.lags[2].most = 11;
    expected.lags[2].best = Some((6, 7));
    // To its end it is so much further, from its end as much less far; between two of its ends neither.
    expected.lags[3].least = 16;
    expected.lags[4].most = 64;
    expected.lags[5].least = 24;
    expected.dishes[0].holds[0].limits[0].most = 46;
    expected.dishes[0].straight[0].most = 36;
    assert_eq!(widened(&problem(), 1, 4), expected);
    // Done by hand from its start to its end, it has the cook for longer, too.
    let mut expected = problem();
    expected.steps[0].modes[0].minutes = 14;
    expected.steps[0].modes[0].hands[0].to = 14;
    expected.lags[0].most = 26;
    expected.dishes[0].holds[0].limits[1].most = 86;
    assert_eq!(widened(&problem(), 0, 4), expected);
    // A best wait is never less than none.
    assert_eq!(widened(&problem(), 1, 10).lags[2].best, Some((0, 7)));
}

#[test]
fn no_more_is_added_than_its_own_limits_bear() {
    let minutes =
        |problem: &Problem, step: usize| widened(problem, step, 60).steps[step].modes[0].minutes;
    // It waits 5 to 15 minutes: ten more. Cut, it may lie for thirty.
    assert_eq!((minutes(&problem(), 1), minutes(&problem(), 0)), (30, 40));
    let mut tight = problem();
    tight.dishes[0].straight[0].most = 3;
    assert_eq!(minutes(&tight, 1), 23);
    tight.dishes[0].holds[0].limits[0].most = 2;
    assert_eq!(minutes(&tight, 1), 22);
    tight.lags[2].least = 20;
    assert_eq!(minutes(&tight, 1), 20);
    // The last step makes the dish ready, and has no room of this kind.
    assert_eq!(minutes(&problem(), 2), 5);
}

#[test]
fn what_has_begun_or_waits_in_its_pan_from_its_end_on_is_left_alone() {
    let mut begun = problem();
    begun.tasks[1].fixed = Some(Fixed { start: 0, end: 20, cook: None, setting_c: None });
    assert_eq!(widened(&begun, 1, 4), begun);
    assert!(widened(&begun, 0, 4) != begun);
    let stays = |from: Point| {
        let mut problem = problem();
        let uses = Use { resource: 0, amount: 1 };
        problem.stays =
            vec![Stay { uses, from: vec![from], to: vec![start(3)], through_hold: Vec::new() }];
        problem
    };
    assert_eq!(widened(&stays(end(2)), 1, 4), stays(end(2)));
    assert!(widened(&stays(start(2)), 1, 4) != stays(start(2)));
    assert!(widened(&stays(end(0)), 1, 4) != stays(end(0)));
}

#[test]
fn a_dish_is_to_be_ready_so_much_sooner_and_never_less_so() {
    let with = |minutes: Minute| {
        let mut room = Room::default();
        room.set_dish(7, minutes);
        let wide = room.widen(&problem(), &map());
        (wide.dishes[0].cushion, wide.dishes[0].cushion_price)
    };
    assert_eq!([4, 5, 6].map(with), [(5, 100), (5, 100), (6, ROOM_PRICE)]);
}

#[test]
fn room_is_kept_by_dish_and_step_once_each() {
    let mut room = Room::default();
    assert!(room.is_empty());
    for (dish, minutes) in [(4, 5), (2, 8), (4, 6), (3, 1), (3, 0)] {
        room.set_dish(dish, minutes);
    }
    assert_eq!(room.dishes, [(2, 8), (4, 6)]);
    assert_eq!([2, 3, 4].map(|d| room.of_dish(d)), [8, 0, 6]);
    let only_steps = Room { steps: vec![(0, 0, 1)], ..Room::default() };
    assert!(!room.is_empty() && !only_steps.is_empty());
    for (dish, step, minutes) in [(1, 2, 5), (1, 0, 3), (0, 2, 4), (1, 2, 6), (2, 2, 9), (2, 2, 0)]
    {
        room.set_step(dish, step, minutes);
    }
    assert_eq!(room.steps, [(0, 2, 4), (1, 0, 3), (1, 2, 6)]);
    assert_eq!([(0, 2), (1, 2), (2, 2)].map(|(d, s)| room.of_step(d, s)), [4, 6, 0]);
}
