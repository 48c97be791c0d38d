//! What counts as a problem in which only misses are priced, and pins that cannot be kept.

use super::*;
use crate::plan::build::TaskAt;
use crate::plan::problem::{Anchor, Dish, Fixed, Hold, Lag, Link, Mode, Point, Step, Task};

/// Every price there is.
fn priced() -> Problem {
    let point = Point { task: 0, end: false };
    let hold = Hold { price: 3, best: Some((9, 4)), soft_most: Some(50), ..Hold::default() };
    Problem {
        steps: vec![Step { modes: vec![Mode { price: 7, ..Mode::default() }], ..Step::default() }],
        lags: vec![Lag {
            from: point,
            to: point,
            least: 0,
            most: 5,
            soft_most: Some(60),
            best: Some((3, 2)),
        }],
        dishes: vec![Dish {
            late_price: 70,
            cushion: 5,
            cushion_price: 6,
            straight_price: 8,
            holds: vec![hold],
            ..Dish::default()
        }],
        links: vec![Link { from_step: 0, to_step: 0, least: 0, price: 1 }],
        anchors: vec![Anchor { task: 0, start: 0, price: 1, mode: None }],
        span_price: 4,
        idle_price: 2,
        ..Problem::default()
    }
}

#[test]
fn only_what_a_demand_missed_costs_is_left() {
    let mut problem = priced();
    problem.take_prices_away();
    let mut expected = priced();
    (expected.links, expected.anchors) = (Vec::new(), Vec::new());
    (expected.span_price, expected.idle_price) = (0, 0);
    expected.steps[0].modes[0].price = 0;
    expected.lags[0].best = None;
    let dish = &mut expected.dishes[0];
    (dish.cushion, dish.cushion_price, dish.straight_price) = (0, 0, 0);
    (dish.holds[0].price, dish.holds[0].best) = (0, None);
    assert_eq!(problem, expected);
    assert!(is_bare(&problem));
    // With any of these prices a bound above nothing proves no miss.
    let prices: [fn(&mut Problem); 3] = [
        |p| p.span_price = 1,
        |p| p.links.push(Link { from_step: 0, to_step: 0, least: 0, price: 1 }),
        |p| p.dishes[0].cushion_price = 1,
    ];
    for price in prices {
        let mut problem = problem.clone();
        price(&mut problem);
        assert!(!is_bare(&problem), "{problem:?}");
    }
}

#[test]
fn a_pin_holds_if_its_task_can_stand_there() {
    let key = StepKey { dish: 0, step: 1, load: 0 };
    let other = StepKey { dish: 0, step: 0, load: 0 };
    let at = |key, shadow| TaskAt { key, shadow };
    let task = |latest| Task { latest, ..Task::default() };
    let problem = |tasks| Problem { start: 50, tasks, ..Problem::default() };
    // Another's task and a shadow stand at 100; the task itself by 90 at the latest.
    let map =
        Map { tasks: vec![at(other, false), at(key, true), at(key, false)], ..Map::default() };
    let tasks = vec![task(100), task(100), task(90)];
    let can = |tasks: &[Task], minute| can_be_pinned(&problem(tasks.to_vec()), &map, key, minute);
    assert!(can(&tasks, 90) && !can(&tasks, 100) && !can(&tasks, 50));
    // Before the first minute it only says "not earlier", and what has begun stands.
    assert!(can(&tasks, 49));
    let mut begun = tasks;
    begun[2].fixed = Some(Fixed { start: 0, end: 9, cook: None, setting_c: None });
    assert!(can(&begun, 100));
    let unknown = StepKey { dish: 7, step: 0, load: 0 };
    assert!(can_be_pinned(&problem(begun), &map, unknown, 100));
}
