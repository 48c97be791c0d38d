//! The search against the independent judge: every schedule it gives keeps
//! every rule and costs what it says; it answers the same way every time; and
//! no problem, however odd, makes it panic. Published benchmark files are
//! read where the shared reference data lies; without them those tests say
//! that they skipped.

#[path = "outside/classic.rs"]
#[allow(dead_code)]
mod classic;
#[path = "bench/kitchens.rs"]
mod kitchens;

use std::path::{Path, PathBuf};

use kitchens::{Dice, Wish, party, running};
use potwatch::plan::judge::judge;
use potwatch::plan::problem::{
    Dish, Fixed, HandsPart, Hold, Lag, Mode, Oven, OvenUse, Point, Problem, Resource, Schedule,
    Step, Task, Use,
};
use potwatch::plan::search::{Answer, Ask, ClashKind, Standing, first, solve};

fn answer(problem: &Problem, warm: Option<&Schedule>, rounds: u64) -> Answer {
    let ask = Ask { problem, warm, ready: &[], seed: 5, rounds, stop: &|| false };
    let mut last = i64::MAX;
    solve(&ask, &mut |schedule, cost| {
        assert_eq!(judge(problem, schedule), Ok(*cost));
        assert!(cost.total() <= last, "each one given is better than the last");
        last = cost.total();
    })
}

#[test]
fn parties_get_schedules_that_keep_the_rules() {
    for seed in 1..=6 {
        let cooks = 1 + seed as usize % 2;
        let p = party(Wish { steps: 20 + 5 * seed as usize, cooks, ovens: cooks, seed });
        let begun = first(&p, None);
        let answer = answer(&p, None, 60);
        if let Some(begun) = begun {
            let cost = judge(&p, &begun).expect("the first schedule keeps the rules");
            assert!(answer.cost.total() <= cost.total());
        }
        assert!(answer.bound <= answer.cost.total());
        let schedule = answer.schedule.expect("a schedule");
        assert_eq!(judge(&p, &schedule), Ok(answer.cost));
    }
}

#[test]
fn a_running_party_is_planned_from_where_it_stands() {
    for seed in 1..=4 {
        let p = party(Wish { steps: 30, cooks: 1, ovens: 1, seed });
        let plan = answer(&p, None, 200).schedule.expect("a schedule");
        for now in [15 * 60, 17 * 60, 18 * 60 + 20] {
            let p = running(&p, &plan, now, seed);
            let kept = first(&p, Some(&plan));
            if let Some(kept) = kept {
                assert!(judge(&p, &kept).is_ok());
            }
            answer(&p, Some(&plan), 40);
        }
    }
}

/// A plan on the screen that cannot be made cheaper stays as it is, to the minute.
#[test]
fn a_plan_gives_way_to_a_cheaper_one_only() {
    let mut p = steps(&[10, 10]);
    p.dishes = vec![Dish { last_step: 0, due: 90, ..Dish::default() }];
    p.dishes[0].holds = vec![Hold { most: 90, ..Hold::default() }];
    let mut shown = answer(&p, None, 0).schedule.expect("a schedule");
    shown.start = vec![31, 44];
    shown.hold = vec![Some(0)];
    let p = Problem { idle_price: 0, ..p };
    let answer = answer(&p, Some(&shown), 50);
    assert_eq!(answer.cost.total(), 0);
    assert_eq!(answer.schedule, Some(shown));
}

#[test]
fn the_same_question_has_the_same_answer() {
    let p = party(Wish { steps: 30, cooks: 1, ovens: 1, seed: 9 });
    assert_eq!(answer(&p, None, 150), answer(&p, None, 150));
}

#[test]
fn nothing_to_do_is_done_at_once() {
    let answer = answer(&Problem::default(), None, 10);
    assert_eq!(answer.cost.total(), 0);
    assert_eq!(answer.schedule, Some(Schedule::default()));
    assert_eq!(answer.standing, Standing::Best);
}

fn task(step: usize) -> Task {
    Task { step, latest: i32::MAX, ..Task::default() }
}

fn steps(minutes: &[i32]) -> Problem {
    let step = |(i, &minutes): (usize, &i32)| Step {
        modes: vec![Mode { minutes, loads: 1, ..Mode::default() }],
        first_task: i,
        task_count: 1,
        ..Step::default()
    };
    Problem {
        end: 100,
        steps: minutes.iter().enumerate().map(step).collect(),
        tasks: (0..minutes.len()).map(task).collect(),
        ..Problem::default()
    }
}

fn lag(from: usize, to: usize, least: i32, most: i32) -> Lag {
    let (from, to) = (Point { task: from, end: true }, Point { task: to, end: false });
    Lag { from, to, least, most, soft_most: None, best: None }
}

#[test]
fn a_clash_is_named() {
    let kind = |p: &Problem| match answer(p, None, 20).standing {
        Standing::Impossible(clash) => {
            assert!(clash.proven);
            Some(clash.kind)
        }
        _ => None,
    };
    let mut p = steps(&[10, 10]);
    p.lags = vec![lag(0, 1, 5, i32::MAX), lag(1, 0, 5, i32::MAX)];
    assert_eq!(kind(&p), Some(ClashKind::Circle { lags: vec![0, 1] }));
    let mut p = steps(&[60, 60]);
    p.lags = vec![lag(0, 1, 0, i32::MAX)];
    assert!(matches!(kind(&p), Some(ClashKind::Window { lags, .. }) if lags == vec![0]));
    let mut p = steps(&[10]);
    p.steps[0].modes.clear();
    assert_eq!(kind(&p), Some(ClashKind::NoMode { step: 0 }));
    let mut p = steps(&[10]);
    p.steps[0].modes[0].uses = vec![Use { resource: 0, amount: 1 }];
    p.resources.push(Resource { capacity: 1, closed: vec![(5, 96)] });
    assert!(
        matches!(kind(&p), Some(ClashKind::NoRoom { task: 0, resources, .. }) if resources == vec![0])
    );
    // Two pairs of hands have 105 minutes from minute 20 on: for ten times ten by either of them
    // there is time, not with ten more by the one who leaves early.
    let mut p = steps(&[10; 11]);
    p.resources = vec![Resource { capacity: 100, closed: vec![] }; 2];
    p.resources[1].closed = vec![(45, 60), (50, 100)];
    for (step, task) in p.steps.iter_mut().zip(&mut p.tasks) {
        step.modes[0].hands = vec![HandsPart { from: 0, to: 10, percent: 100 }];
        step.cooks = vec![0, 1];
        task.earliest = 20;
    }
    let hands = ClashKind::Hands { cooks: vec![0, 1], asked: 110, there: 105, dishes: vec![] };
    assert_eq!(kind(&p), Some(hands));
    let mut alone = p.clone();
    for step in &mut alone.steps[..3] {
        step.cooks = vec![1];
    }
    let hands = ClashKind::Hands { cooks: vec![1], asked: 30, there: 25, dishes: vec![] };
    assert_eq!(kind(&alone), Some(hands));
    p.resources[1].closed.clear();
    assert_eq!(kind(&p), None, "enough if nobody leaves");
    let mut p = steps(&[10]);
    p.dishes = vec![Dish { last_step: 0, due: 50, ..Dish::default() }];
    p.tasks[0].latest = 20;
    assert!(matches!(kind(&p), Some(ClashKind::Dish { dish: 0, .. })));
}

/// Two steps were done at the same time, though each should follow the other: what happened clashes with nothing. Were
/// one of them still to come, it could not.
#[test]
fn what_happened_makes_no_circle() {
    let mut p = steps(&[10, 10, 10]);
    p.start = 10;
    p.lags = vec![lag(0, 1, 5, i32::MAX), lag(1, 0, 5, i32::MAX), lag(1, 2, 0, i32::MAX)];
    let done = Fixed { start: 0, end: 10, cook: None, setting_c: None };
    (p.tasks[0].fixed, p.tasks[1].fixed) = (Some(done), Some(done));
    let schedule = answer(&p, None, 20).schedule.expect("a schedule");
    assert!(judge(&p, &schedule).is_ok() && schedule.start[2] >= 10, "{schedule:?}");
    p.tasks[1].fixed = None;
    assert!(matches!(answer(&p, None, 20).standing, Standing::Impossible(clash) if clash.proven));
}

/// The first of three loads must not wait long for the step after the last:
/// idle hands that would like them all early must not push the last one so
/// early that the first finds no place.
#[test]
fn loads_leave_room_for_those_before_them() {
    let mut p = steps(&[12, 3]);
    p.resources = vec![Resource { capacity: 100, closed: Vec::new() }];
    let hands = |to| vec![potwatch::plan::problem::HandsPart { from: 0, to, percent: 100 }];
    p.steps[0].modes[0].loads = 3;
    p.steps[0].task_count = 3;
    p.steps[1].first_task = 3;
    p.tasks = (0..3).map(|load| Task { load, ..task(0) }).chain([task(1)]).collect();
    for (step, minutes) in p.steps.iter_mut().zip([1, 3]) {
        step.cooks = vec![0];
        step.modes[0].hands = hands(minutes);
    }
    p.lags = vec![lag(0, 1, 0, i32::MAX), lag(1, 2, 0, i32::MAX)];
    p.lags.extend([lag(0, 3, 0, 40), lag(1, 3, 0, i32::MAX), lag(2, 3, 0, i32::MAX)]);
    // The last load would like to lie far before the dressing; the first must not.
    p.lags[4].best = Some((60, 5));
    p.dishes = vec![Dish { last_step: 1, due: 90, late_price: 1000, ..Dish::default() }];
    let schedule = answer(&p, None, 20).schedule.expect("a schedule");
    assert!(judge(&p, &schedule).is_ok());
    assert_eq!(schedule.start[3], 87);
    assert!(schedule.start[0] + 12 >= 47);
}

#[test]
fn a_dish_is_ready_just_when_it_should_be() {
    let mut p = steps(&[10]);
    let warm = Hold { most: 60, free: 5, price: 3, ..Hold::default() };
    p.dishes = vec![Dish { last_step: 0, due: 50, holds: vec![warm], ..Dish::default() }];
    p.dishes[0].cushion = 8;
    p.dishes[0].cushion_price = 2;
    let answer = answer(&p, None, 20);
    // Five minutes of hold are free; three more would cost 9 and save 6 of cushion.
    assert_eq!(answer.schedule.map(|s| s.start), Some(vec![35]));
    assert_eq!((answer.cost.quality, answer.cost.risk), (0, 6));
}

/// The first load waits in an oven that is too hot by now and full; the second
/// is still to come. What happened does not make the rest impossible.
#[test]
fn a_wait_that_has_begun_goes_on_whatever_the_oven_does() {
    let mut p = steps(&[7]);
    p.start = 20;
    p.end = 200;
    p.steps[0].modes[0].loads = 2;
    p.steps[0].task_count = 2;
    let done = Fixed { start: 8, end: 15, cook: None, setting_c: None };
    p.tasks =
        vec![Task { fixed: Some(done), ..task(0) }, Task { load: 1, earliest: 20, ..task(0) }];
    p.lags = vec![lag(0, 1, 0, i32::MAX)];
    p.resources = vec![Resource { capacity: 0, closed: Vec::new() }];
    p.ovens = vec![Oven { start_c: 200, up_c_per_min: 10, down_c_per_min: 5 }];
    let warm = Hold {
        uses: vec![Use { resource: 0, amount: 1 }],
        oven: Some(OvenUse { oven: 0, least_c: 70, most_c: 90 }),
        setting_c: Some(84),
        most: 10,
        soft_most: Some(2000),
        ..Hold::default()
    };
    p.dishes = vec![Dish {
        last_step: 0,
        due: 22,
        late_price: 1000,
        holds: vec![warm],
        held: Some(0),
        ..Dish::default()
    }];
    let answer = answer(&p, None, 20);
    // Ready at 27: five minutes late, two past the ten that it may wait.
    assert_eq!(answer.schedule.map(|s| s.start[1]), Some(20));
    assert_eq!(answer.cost.late, 5 * 1000 + 2 * 2000);
}

#[test]
fn odd_numbers_never_panic() {
    let mut dice = Dice::new(11);
    let odd = [i32::MIN, i32::MIN + 1, -1, 0, 1, 1 << 20, i32::MAX - 1, i32::MAX];
    for round in 0..300 {
        let mut p = party(Wish { steps: 12, cooks: 1, ovens: 1, seed: round });
        let mut pick = || odd[dice.below(odd.len() as i32) as usize];
        for _ in 0..3 {
            match round % 9 {
                0 => p.end = pick(),
                1 => p.start = pick(),
                2 => p.lags[0].least = pick(),
                3 => p.lags[1].most = pick(),
                4 => p.dishes[0].due = pick(),
                5 => p.steps[0].modes[0].minutes = pick(),
                6 => p.resources[0].closed = vec![(pick(), pick())],
                7 => p.ovens[0].start_c = pick(),
                _ => p.tasks[0].earliest = pick(),
            }
        }
        let ask = Ask { problem: &p, warm: None, ready: &[], seed: 1, rounds: 3, stop: &|| false };
        solve(&ask, &mut |_, _| ());
    }
}

#[test]
fn broken_indices_are_said_to_be_broken() {
    let mut p = party(Wish { steps: 12, cooks: 1, ovens: 1, seed: 1 });
    p.lags[0].from.task = 10_000;
    assert!(first(&p, None).is_none());
    let answer = answer(&p, None, 3);
    assert!(matches!(answer.standing, Standing::Impossible(c) if c.proven));
}

/// The shared reference data, if this machine has it.
fn data(set: &str) -> Option<PathBuf> {
    let beside = Path::new(env!("CARGO_MANIFEST_DIR")).parent()?;
    let places = [beside.join("shared"), beside.parent()?.join("shared")];
    let found = places.iter().map(|p| p.join("reference/data/scheduling").join(set));
    let found = found.into_iter().find(|p| p.is_dir());
    if found.is_none() {
        eprintln!("skipped: no reference data for {set}");
    }
    found
}

/// Optima as published: Fisher & Thompson (1963) for ft06, Lawrence (1984) for la01 and la05.
#[test]
fn job_shops_reach_their_known_optimum() {
    let Some(folder) = data("jobshop") else { return };
    for (name, optimum) in [("ft06", 55), ("la01", 666), ("la05", 593)] {
        let p = classic::read(&folder.join(format!("{name}.jss"))).expect("a job shop");
        let answer = answer(&p, None, 4000);
        assert_eq!(answer.cost.total(), optimum, "{name}");
        assert!(answer.bound <= optimum);
    }
}

/// Optima or bounds and what cannot be done, as in the sets' own tables
/// (PSPLIB: Kolisch & Sprecher 1997; UBO: Franck, Neumann & Schwindt 2001).
#[test]
fn projects_keep_between_bound_and_table() {
    for (set, ending) in [("rcpsp_j30", "sm"), ("rcpsp_max_ubo10", "sch")] {
        let Some(folder) = data(set) else { continue };
        let table = std::fs::read_to_string(folder.join("optimum.csv")).expect("a table");
        let (mut files, mut at_optimum) = (0, 0);
        for line in table.lines().skip(1).filter(|l| l.contains(ending)).take(30) {
            let (name, optimum) = line.split_once(',').expect("name and optimum");
            let p = classic::read(&folder.join(name)).expect("a project");
            let answer = answer(&p, None, 120);
            files += 1;
            let Ok(optimum) = optimum.trim().parse::<i64>() else {
                assert!(answer.schedule.is_none(), "{name} has no schedule");
                at_optimum += 1;
                continue;
            };
            assert!(answer.bound <= optimum, "{name}: bound {}", answer.bound);
            if answer.schedule.is_some() {
                assert!(answer.cost.total() >= optimum, "{name}: better than the best");
                at_optimum += usize::from(answer.cost.total() == optimum);
            }
        }
        assert!(at_optimum * 10 >= files * 8, "{set}: {at_optimum} of {files} at the optimum");
    }
}
