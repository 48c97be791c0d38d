//! What has begun is in the way of what is to come, and no more than it is. A dish that waits already while another load of
//! it is to come takes its place for as long as nobody knows, and where more stands than there is room for nothing is claimed.

use super::*;
use crate::plan::problem::{Dish, Fixed, HandsPart, Hold, Mode, Resource, Stay, Step, Task, Use};
use crate::plan::prove::Prover;

/// What waits: in which place, how much of it, and whether a load is to come.
struct Waits {
    place: usize,
    amount: i32,
    to_come: bool,
}

fn claimed(capacity: [i32; 2], all: &[Waits]) -> bool {
    is_modelled(&problem(capacity, all))
}

fn is_modelled(p: &Problem) -> bool {
    match Model::new(p) {
        Ok(_) => true,
        Err(NotModelled) => false,
    }
}

fn problem(capacity: [i32; 2], all: &[Waits]) -> Problem {
    let mut p = Problem {
        end: 10,
        resources: capacity.map(|capacity| Resource { capacity, closed: Vec::new() }).to_vec(),
        ..Problem::default()
    };
    for Waits { place, amount, to_come } in all {
        let (step, first_task) = (p.steps.len(), p.tasks.len());
        let loads = if *to_come { 2 } else { 1 };
        let mode = Mode { minutes: 1, loads, ..Mode::default() };
        p.steps.push(Step { modes: vec![mode], first_task, task_count: loads, ..Step::default() });
        for load in 0..loads {
            let fixed = Fixed { start: -3, end: -2, cook: None, setting_c: None };
            let fixed = (load == 0).then_some(fixed);
            p.tasks.push(Task { step, load, fixed, latest: i32::MAX, ..Task::default() });
        }
        let uses = vec![Use { resource: *place, amount: *amount }];
        let holds = vec![Hold { uses, most: 20, ..Hold::default() }];
        p.dishes.push(Dish { last_step: step, due: 5, holds, held: Some(0), ..Dish::default() });
    }
    p
}

const fn waits(place: usize, amount: i32, to_come: bool) -> Waits {
    Waits { place, amount, to_come }
}

#[test]
fn where_there_is_no_room_for_what_stands_nothing_is_claimed() {
    assert!(claimed([1, 0], &[waits(0, 1, true)]), "just enough");
    assert!(!claimed([0, 0], &[waits(0, 1, true)]));
    assert!(claimed([2, 0], &[waits(0, 1, true), waits(0, 1, true)]), "both, just enough");
    assert!(!claimed([1, 0], &[waits(0, 1, true), waits(0, 1, true)]));
    assert!(claimed([2, 0], &[waits(0, 1, true), waits(0, 1, false)]), "beside what is all there");
    assert!(!claimed([1, 0], &[waits(0, 1, true), waits(0, 1, false)]));
    assert!(claimed([1, 3], &[waits(0, 1, true), waits(1, 3, true)]), "each place by itself");
    assert!(claimed([1, 0], &[waits(0, 3, false)]), "all there: it is excused");
}

/// The pan that it stands in goes on being in use with it.
#[test]
fn what_it_stands_in_stays_too() {
    let with_pan = |pans: i32| {
        let mut p = problem([1, pans], &[waits(0, 1, true)]);
        let point = |end: bool| Point { task: 0, end };
        p.stays.push(Stay {
            uses: Use { resource: 1, amount: 1 },
            from: vec![point(false)],
            to: vec![point(true)],
            through_hold: vec![(0, 0)],
        });
        is_modelled(&p)
    };
    assert!(with_pan(1) && !with_pan(0));
}

/// What runs needs the cook in its third minute alone: until then there is time for what takes one.
#[test]
fn what_runs_needs_its_cook_when_it_does() {
    let step = |first_task: usize, minutes: i32, from: i32| Step {
        modes: vec![Mode {
            minutes,
            loads: 1,
            hands: vec![HandsPart { from, to: minutes, percent: 100 }],
            ..Mode::default()
        }],
        cooks: vec![0],
        first_task,
        task_count: 1,
    };
    let fixed = Some(Fixed { start: -1, end: 2, cook: Some(0), setting_c: None });
    let mut p = Problem {
        end: 10,
        resources: vec![Resource { capacity: 100, closed: Vec::new() }],
        steps: vec![step(0, 3, 2), step(1, 1, 0)],
        tasks: vec![
            Task { fixed, ..Task::default() },
            Task { step: 1, latest: i32::MAX, ..Task::default() },
        ],
        dishes: vec![Dish { last_step: 1, late_price: 1, ..Dish::default() }],
        ..Problem::default()
    };
    for (due, late) in [(1, 0), (0, 1)] {
        p.dishes[0].due = due;
        let mut prover = Prover::new(&p).expect("modelled");
        prover.advance(u64::MAX, &|| false, &mut |_, _| ());
        assert_eq!(prover.best().map(|b| b.1.total()), Some(late), "due at {due}");
    }
    // In the minute after that it has both hands in it.
    (p.tasks[1].earliest, p.dishes[0].due) = (1, 2);
    let mut prover = Prover::new(&p).expect("modelled");
    prover.advance(u64::MAX, &|| false, &mut |_, _| ());
    assert_eq!(prover.best().map(|b| b.1.total()), Some(1));
}
