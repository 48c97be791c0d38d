//! What is looked for near a schedule: that it gets on, always in the same way, and what it lets go.

use super::engine::Outcome;
use super::near::{FIRST, Kind, LEAST, Near, parts};
use super::{Prover, solve};
use crate::plan::judge::judge;
use crate::plan::planner::Planning;
use crate::plan::problem::{Lag, Point, Problem, Schedule, Step, Task};
use crate::plan::search::Ask;
use crate::plan::{Situation, sample};

const NEVER: &(dyn Fn() -> bool + Sync) = &|| false;

fn first(problem: &Problem) -> Schedule {
    let ask = Ask { problem, warm: None, ready: &[], seed: 1, rounds: 0, stop: NEVER };
    solve(&ask, &mut |_, _| ()).schedule.expect("there is one")
}

#[test]
fn a_first_schedule_gets_better_and_each_time_the_same_way() {
    let (evening, ahead) = (sample::evening(), Situation::default());
    let planning = Planning::new(&evening, &ahead).expect("a problem");
    let problem = planning.problem();
    let first = first(problem);
    let begun = judge(problem, &first).expect("it keeps every rule").total();
    let near = |seed: u64, pieces: u64| {
        let mut prover = Prover::new(problem).expect("modelled").with_seed(seed);
        prover.suggest(&first);
        for _ in 0..pieces {
            prover.look_near(200_000, NEVER, &mut |s, c| assert_eq!(judge(problem, s), Ok(*c)));
        }
        prover.best().cloned().expect("a schedule")
    };
    let better = near(1, 4);
    assert!(better.1.total() < begun, "{} and {begun} before", better.1.total());
    assert_eq!(near(1, 4), better);
    assert!(near(1, 1).1.total() >= better.1.total(), "what was found is kept");
    assert_eq!(near(1, 0).1.total(), begun);
}

/// Also where the engine has nothing to try: it ends when its work is done, without anybody who stops it.
#[test]
fn it_comes_to_an_end() {
    let (evening, ahead) = (sample::evening(), Situation::default());
    let planning = Planning::new(&evening, &ahead).expect("a problem");
    let problem = planning.problem();
    let ask = Ask { problem, warm: None, ready: &[], seed: 1, rounds: 20_000, stop: NEVER };
    let best = solve(&ask, &mut |_, _| ()).schedule.expect("there is one");
    let mut prover = Prover::new(problem).expect("modelled");
    prover.suggest(&best);
    let cost = judge(problem, &best).expect("it keeps every rule").total();
    for _ in 0..20 {
        prover.look_near(20_000, NEVER, &mut |_, _| ());
    }
    assert_eq!(prover.best().map(|b| b.1.total()), Some(cost), "none is better");
}

/// By hand: the first step and the third are joined by a lag, the second stands alone.
fn three_steps() -> Problem {
    let point = |task: usize, end: bool| Point { task, end };
    let lag = Lag {
        from: point(0, true),
        to: point(2, false),
        least: 0,
        most: 5,
        soft_most: None,
        best: None,
    };
    let step = |n: usize| Step { first_task: n, task_count: 1, ..Step::default() };
    Problem {
        steps: (0..3).map(step).collect(),
        tasks: (0..3).map(|step| Task { step, ..Task::default() }).collect(),
        lags: vec![lag],
        ..Problem::default()
    }
}

#[test]
fn what_lags_join_is_one_part() {
    let (part, count) = parts(&three_steps());
    assert_eq!(count, 2);
    assert!(part[0] == part[2] && part[0] != part[1], "{part:?}");
}

#[test]
fn what_is_tried_in_vain_lets_more_go_and_what_takes_too_long_less() {
    let mut near = Near::of(&three_steps());
    let much = |near: &Near| near.much[Kind::Parts as usize];
    near.heed(Kind::Parts, &Outcome::Found);
    assert_eq!(much(&near), FIRST);
    near.heed(Kind::Parts, &Outcome::Stopped);
    assert!(much(&near) < FIRST);
    for _ in 0..1000 {
        near.heed(Kind::Parts, &Outcome::Stopped);
    }
    assert_eq!(much(&near), LEAST);
    near.heed(Kind::Parts, &Outcome::Refuted(vec![0]));
    assert!(much(&near) > LEAST);
    for _ in 0..1000 {
        near.heed(Kind::Parts, &Outcome::Refuted(vec![0]));
    }
    // There are two parts, and no more than all is let go.
    assert_eq!(much(&near), 200);
    assert_eq!(near.much[Kind::Stretch as usize], FIRST, "each kind by itself");
}
