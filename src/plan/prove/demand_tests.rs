//! Every kind of demand is named where it is one of those that clash, by little problems made by hand: what is not said to
//! be a demand could never be given up.

use super::{Clashing, Demand, Met, Patience, clash, met};
use crate::plan::problem::{
    Dish, Hold, Lag, Limit, Mode, Point, Problem, Resource, Step, Task, Use,
};

const ALL_THE_TIME: Patience<'static> = Patience { work: u64::MAX, stop: &|| false };

/// Two steps of two minutes that nothing joins, the second one's dish due at minute 10 and served straight; one place for
/// one of them.
fn two_steps() -> Problem {
    let mode = Mode {
        minutes: 2,
        loads: 1,
        uses: vec![Use { resource: 0, amount: 1 }],
        ..Mode::default()
    };
    let step = |first_task: usize| Step {
        modes: vec![mode.clone()],
        first_task,
        task_count: 1,
        ..Step::default()
    };
    let task = |step: usize| Task { step, latest: i32::MAX, ..Task::default() };
    Problem {
        end: 20,
        resources: vec![Resource { capacity: 1, closed: Vec::new() }],
        steps: vec![step(0), step(1)],
        tasks: vec![task(0), task(1)],
        dishes: vec![Dish { last_step: 1, due: 10, ..Dish::default() }],
        ..Problem::default()
    }
}

const fn end_of(task: usize) -> Point {
    Point { task, end: true }
}

fn clashes(change: impl FnOnce(&mut Problem)) -> Vec<Demand> {
    let mut problem = two_steps();
    assert_eq!(clash(&problem, &ALL_THE_TIME), None, "as it is");
    change(&mut problem);
    let Some(Clashing { demands, smallest }) = clash(&problem, &ALL_THE_TIME) else {
        panic!("there is a way: {problem:?}");
    };
    assert!(smallest);
    demands
}

#[test]
fn when_something_is_done() {
    let all = clashes(|p| {
        let to = Point { task: 1, end: false };
        let lag = Lag { from: end_of(0), to, least: 0, most: 2, soft_most: None, best: None };
        p.lags.push(lag);
        p.dishes[0].due = 2;
        (p.tasks[0].latest, p.tasks[1].earliest) = (0, 8);
    });
    let ends = [Demand::Earliest { task: 1 }, Demand::Latest { task: 0 }, Demand::Most { lag: 0 }];
    assert_eq!(all, ends);
    let all = clashes(|p| p.steps[0].modes[0].minutes = 30);
    assert_eq!(all, [Demand::End { task: 0 }]);
}

#[test]
fn how_long_a_dish_waits() {
    let hold = |most: i32| Hold { most, ..Hold::default() };
    let all = clashes(|p| {
        p.dishes[0].holds = vec![hold(5)];
        p.tasks[1].latest = 0;
    });
    assert_eq!(all, [Demand::Latest { task: 1 }, Demand::HoldMost { dish: 0, hold: 0 }]);

    let limit = |from: usize| Limit { from: end_of(from), most: 5, soft_most: None };
    let all = clashes(|p| {
        p.dishes[0].holds = vec![Hold { limits: vec![limit(1)], ..hold(20) }];
        p.tasks[1].latest = 0;
    });
    let held = Demand::Limit { dish: 0, hold: Some(0), limit: 0 };
    assert_eq!(all, [Demand::Latest { task: 1 }, held]);

    let all = clashes(|p| {
        p.dishes[0].straight = vec![limit(0)];
        p.tasks[0].latest = 0;
    });
    assert_eq!(all, [Demand::Latest { task: 0 }, Demand::Limit { dish: 0, hold: None, limit: 0 }]);
}

/// A way of waiting that takes less than no time is none.
#[test]
fn a_wait_that_cannot_be() {
    let all = clashes(|p| {
        p.dishes[0].holds = vec![Hold { most: -1, ..Hold::default() }];
        p.tasks[1].latest = 0;
    });
    assert_eq!(all, [Demand::Latest { task: 1 }, Demand::HoldMost { dish: 0, hold: 0 }]);
}

#[test]
fn what_there_is() {
    let all = clashes(|p| {
        p.dishes[0].due = 2;
        p.tasks.iter_mut().for_each(|t| t.latest = 0);
    });
    let at_once = [Demand::Latest { task: 0 }, Demand::Latest { task: 1 }];
    assert_eq!(all, [&at_once[..], &[Demand::Capacity { resource: 0 }]].concat());

    let all = clashes(|p| {
        p.tasks[0].latest = 0;
        p.resources[0].closed = vec![(0, 5)];
    });
    // Closed minutes are a use of all there is: were there more than that, they would be in nobody's way.
    let closed = [Demand::Capacity { resource: 0 }, Demand::Open { resource: 0 }];
    assert_eq!(all, [&[Demand::Latest { task: 0 }], &closed[..]].concat());

    let all = clashes(|p| p.steps[0].modes[0].uses[0].amount = 2);
    assert_eq!(all, [Demand::Capacity { resource: 0 }], "more than there is");
}

#[test]
fn when_a_dish_is_due() {
    let mut problem = two_steps();
    problem.tasks[1].earliest = 12;
    assert_eq!(clash(&problem, &ALL_THE_TIME), None, "late is a way");
    let in_time = met(&problem, &[], &ALL_THE_TIME);
    let both = vec![Demand::Earliest { task: 1 }, Demand::Due { dish: 0 }];
    assert_eq!(in_time, Met::No(Clashing { demands: both, smallest: true }));
    let given_up = met(&problem, &[Demand::Due { dish: 0 }], &ALL_THE_TIME);
    assert!(matches!(given_up, Met::Yes(_)));
}
