//! What is too far away or too dear to be reckoned with is refused, whichever number it is; nothing nearer is.

use super::*;
use crate::plan::problem::{Anchor, Dish, Fixed, Hold, Lag, Limit, Link, Mode, Step, Task};

fn limit() -> Limit {
    Limit { from: Point { task: 0, end: true }, most: 5, soft_most: Some(1) }
}

/// A step that is done, one to come, and every rule that has a number.
fn problem() -> Problem {
    let (from, to) = (Point { task: 0, end: true }, Point { task: 1, end: false });
    let mode = Mode { minutes: 1, loads: 1, ..Mode::default() };
    let step = |first_task| Step {
        modes: vec![mode.clone()],
        first_task,
        task_count: 1,
        ..Step::default()
    };
    let fixed = Some(Fixed { start: -1, end: 0, cook: None, setting_c: None });
    let task = |step, fixed| Task { step, fixed, latest: i32::MAX, ..Task::default() };
    let hold =
        Hold { soft_most: Some(1), best: Some((1, 1)), limits: vec![limit()], ..Hold::default() };
    let dish = Dish { last_step: 1, holds: vec![hold], straight: vec![limit()], ..Dish::default() };
    Problem {
        end: 10,
        effort_until: 8,
        steps: vec![step(0), step(1)],
        tasks: vec![task(0, fixed), task(1, None)],
        lags: vec![Lag { from, to, least: 0, most: 5, soft_most: Some(1), best: Some((1, 1)) }],
        dishes: vec![dish],
        links: vec![Link { from_step: 0, to_step: 1, least: 0, price: 1 }],
        anchors: vec![Anchor { task: 1, start: 3, price: 1, mode: Some((0, 1)) }],
        ..Problem::default()
    }
}

type Minute = fn(&mut Problem) -> &mut i32;
type Price = fn(&mut Problem) -> &mut i64;

#[test]
fn minutes_that_are_too_far_away_are_refused() {
    let each: [Minute; 9] = [
        |p| &mut p.start,
        |p| &mut p.end,
        |p| &mut p.effort_until,
        |p| &mut p.steps[1].modes[0].minutes,
        |p| &mut p.tasks[0].fixed.as_mut().unwrap().start,
        |p| &mut p.tasks[0].fixed.as_mut().unwrap().end,
        |p| &mut p.dishes[0].due,
        |p| &mut p.dishes[0].holds[0].free,
        |p| &mut p.anchors[0].start,
    ];
    for (n, minute) in each.into_iter().enumerate() {
        for (far, fits) in [(FAR, true), (-FAR, true), (FAR + 1, false), (-FAR - 1, false)] {
            let mut p = problem();
            *minute(&mut p) = far;
            assert_eq!(Model::fits(&p).is_ok(), fits, "minute {n} at {far}");
        }
    }
}

#[test]
fn prices_that_are_too_dear_or_below_nothing_are_refused() {
    let each: [Price; 17] = [
        |p| &mut p.span_price,
        |p| &mut p.idle_price,
        |p| &mut p.finish_price,
        |p| &mut p.steps[1].modes[0].price,
        |p| p.lags[0].soft_most.as_mut().unwrap(),
        |p| &mut p.lags[0].best.as_mut().unwrap().1,
        |p| &mut p.dishes[0].late_price,
        |p| &mut p.dishes[0].cushion_price,
        |p| &mut p.dishes[0].straight_price,
        |p| p.dishes[0].straight[0].soft_most.as_mut().unwrap(),
        |p| &mut p.dishes[0].holds[0].price,
        |p| p.dishes[0].holds[0].soft_most.as_mut().unwrap(),
        |p| &mut p.dishes[0].holds[0].best.as_mut().unwrap().1,
        |p| p.dishes[0].holds[0].limits[0].soft_most.as_mut().unwrap(),
        |p| &mut p.links[0].price,
        |p| &mut p.anchors[0].price,
        |p| &mut p.anchors[0].mode.as_mut().unwrap().1,
    ];
    for (n, price) in each.into_iter().enumerate() {
        for (dear, fits) in [(DEAR, true), (0, true), (DEAR + 1, false), (-1, false)] {
            let mut p = problem();
            *price(&mut p) = dear;
            assert_eq!(Model::fits(&p).is_ok(), fits, "price {n} of {dear}");
        }
    }
}

/// What has begun was begun in one way.
#[test]
fn a_step_that_has_begun_has_one_way() {
    let mut p = problem();
    let mode = p.steps[1].modes[0].clone();
    p.steps[1].modes.push(mode.clone());
    assert!(Model::fits(&p).is_ok());
    p.steps[0].modes.push(mode);
    assert_eq!(Model::new(&p).err(), Some(NotModelled));
}
