//! What is looked for near a schedule: that it gets on, always in the same way, and what it lets go.

use super::engine::{Limits, Outcome};
use super::near::{FIRST, KINDS, Kind, LEAST, Near, parts};
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

/// The demo's problem and a first schedule of it.
fn demo(of: impl FnOnce(&Problem, &Schedule)) {
    let (evening, ahead) = (sample::evening(), Situation::default());
    let planning = Planning::new(&evening, &ahead).expect("a problem");
    of(planning.problem(), &first(planning.problem()));
}

#[test]
fn parts_are_let_go_whole_and_a_stretch_lets_go_what_is_done_in_it() {
    demo(|p, s| {
        let (part, parts) = parts(p);
        let open: Vec<usize> = (0..p.tasks.len()).filter(|&t| p.active(s, t)).collect();
        let span = |t: usize| (s.start[t], p.end_of(s, t));
        let mut near = Near::of(p);
        let mut share = [[0; 3]; 2];
        for round in 0..400 {
            let kind = KINDS[round % 3];
            near.much[kind as usize] = [150, 300][round / 3 % 2];
            let free = near.free(p, s, kind);
            let is_free = |t: usize| free.tasks[t];
            let all: Vec<usize> = (0..parts)
                .filter(|&n| p.tasks.iter().zip(&free.tasks).any(|(t, f)| *f && part[t.step] == n))
                .collect();
            share[round / 3 % 2][round % 3] += open.iter().filter(|&&t| is_free(t)).count();
            if let Kind::Stretch = kind {
                // From just before the first of them ends to just after the last begins, and all that is done then.
                let let_go: Vec<usize> = open.iter().copied().filter(|&t| is_free(t)).collect();
                let to = let_go.iter().map(|&t| span(t).0).max().unwrap_or(0) + 1;
                let from = let_go.iter().map(|&t| span(t).1).min().unwrap_or(0) - 1;
                let (from, to) = (from.min(to - 1), to.max(from + 1));
                for &t in &open {
                    let within = span(t).0 < to && span(t).1 > from;
                    assert!(let_go.is_empty() || !within || is_free(t), "task {t}");
                }
                for (d, dish) in p.dishes.iter().enumerate() {
                    assert_eq!(free.dishes[d], p.steps[dish.last_step].tasks().any(is_free));
                }
                continue;
            }
            let most = near.much[kind as usize].div_ceil(100);
            assert!(!all.is_empty() && all.len() <= most, "{all:?} of {most}");
            for (t, task) in p.tasks.iter().enumerate() {
                assert_eq!(is_free(t), all.contains(&part[task.step]), "task {t}");
            }
            for (d, dish) in p.dishes.iter().enumerate() {
                assert_eq!(free.dishes[d], all.contains(&part[dish.last_step]));
            }
            if let Kind::Beside = kind {
                // One of them is a dish at whose time, or a quarter of an hour before, each other is made.
                let ends = |n: usize| {
                    let own = open.iter().filter(|&&t| part[p.tasks[t].step] == n);
                    let ends = own.map(|&t| span(t));
                    ends.fold((i32::MAX, i32::MIN), |e, s| (e.0.min(s.0), e.1.max(s.1)))
                };
                let beside = |n: usize, other: usize| {
                    open.iter().any(|&t| {
                        let (from, to) = (ends(n).0 - 15, ends(n).1);
                        part[p.tasks[t].step] == other && span(t).0 < to && span(t).1 > from
                    })
                };
                assert!(all.iter().any(|&n| all.iter().all(|&other| beside(n, other))), "{all:?}");
            }
        }
        for (less, more) in share[0].iter().zip(&share[1]) {
            assert!(
                less * 5 < more * 4 && *less > 0,
                "more is let go where it is to be more: {share:?}"
            );
        }
    });
}

/// Every other time the dish is one by what its being late costs: the one that is late is let go more often.
#[test]
fn what_is_late_is_let_go_more_often() {
    let mut p = three_steps();
    let dish = |last_step: usize| crate::plan::problem::Dish {
        last_step,
        due: 50,
        late_price: 7,
        ..crate::plan::problem::Dish::default()
    };
    for step in &mut p.steps {
        step.modes =
            vec![crate::plan::problem::Mode { minutes: 5, loads: 1, ..Default::default() }];
    }
    p.dishes = vec![dish(1), dish(2)];
    let s = Schedule { mode: vec![0; 3], start: vec![0, 46, 40], ..Schedule::default() };
    let mut near = Near::of(&p);
    near.much = [100; 3];
    let late = (0..400).filter(|_| near.free(&p, &s, Kind::Beside).tasks[1]).count();
    assert!((260..340).contains(&late), "{late} of 400, where half would be 200");
    let s = Schedule { start: vec![0, 45, 40], ..s };
    let late = (0..400).filter(|_| near.free(&p, &s, Kind::Beside).tasks[1]).count();
    assert!((160..240).contains(&late), "{late} of 400 where nothing is late");
    p.dishes.clear();
    assert!(!near.free(&p, &s, Kind::Beside).tasks.contains(&true), "no dish");
}

/// What is not let go stays where and how it is: ways, cooks, settings, waits; and what one cook does one after the
/// other stays so.
#[test]
fn what_is_kept_is_kept() {
    demo(|p, s| {
        let mut prover = Prover::new(p).expect("modelled");
        prover.suggest(s);
        prover.look_near(1, NEVER, &mut |_, _| ());
        let (mut found, mut moved) = (0, 0);
        for round in 0..60 {
            let (base, _) = prover.best().cloned().expect("a schedule");
            let free = prover.near.free(p, &base, KINDS[round % 3]);
            let said = prover.model.kept(&base, &prover.near.values, &free);
            let limits = Limits { conflicts: 100, work: 400_000, stop: NEVER };
            let outcome = prover.model.engine.solve_within(&said, &limits);
            if outcome != Outcome::Found {
                prover.take(&outcome, &mut |_, _| ());
                continue;
            }
            found += 1;
            let now = prover.model.schedule();
            let kept: Vec<usize> =
                (0..p.tasks.len()).filter(|&t| p.active(&base, t) && !free.tasks[t]).collect();
            for &t in &kept {
                let step = p.tasks[t].step;
                assert_eq!((now.mode[step], now.cook[t]), (base.mode[step], base.cook[t]));
                assert_eq!(now.setting_c[t], base.setting_c[t], "round {round}: task {t}");
                moved += i32::from(now.start[t] != base.start[t]);
            }
            for d in (0..p.dishes.len()).filter(|&d| !free.dishes[d]) {
                assert_eq!(now.hold[d], base.hold[d], "round {round}: dish {d}");
                assert_eq!(now.hold_setting_c[d], base.hold_setting_c[d]);
            }
            let whole = |t: usize| {
                let mode = &p.steps[p.tasks[t].step].modes[base.mode[p.tasks[t].step]];
                mode.hands.len() == 1
                    && mode.hands[0].to == mode.minutes
                    && mode.hands[0].percent == 100
            };
            for &a in kept.iter().filter(|&&t| whole(t)) {
                for &b in
                    kept.iter().filter(|&&b| b != a && whole(b) && base.cook[a] == base.cook[b])
                {
                    let order = |s: &Schedule| s.start[a] < s.start[b];
                    assert_eq!(order(&now), order(&base), "round {round}: {a} and {b}");
                }
            }
            prover.take(&outcome, &mut |s, c| assert_eq!(judge(p, s), Ok(*c)));
        }
        assert!(found > 0 && moved > 0, "{found} found, {moved} moved");
    });
}
