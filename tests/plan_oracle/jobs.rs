//! Tiny random problems in which dishes share work: a job that two dishes wait
//! for, and one before it.

use potwatch::plan::problem::{HandsPart, Lag, Mode, Point, Problem, Step, Task};

use super::tiny::{Random, tiny};

/// A problem of four steps and two dishes. The first step is a job that steps of
/// both dishes wait for; the last is a job that comes before it, and perhaps
/// before one of the dishes too.
pub fn jobs(seed: u64) -> Problem {
    let r = &mut Random(seed ^ 0x0B5E_55ED);
    let mut p = tiny(seed + 2_000_000);
    p.lags.retain(|l| p.tasks[l.from.task].step == p.tasks[l.to.task].step);
    p.dishes.iter_mut().for_each(|d| d.due += 1);
    for step in &mut p.steps {
        step.modes.truncate(1);
    }
    let job = p.tasks.len();
    let minutes = 1 + r.to(1);
    let mode = Mode {
        minutes,
        loads: 1,
        hands: vec![HandsPart { from: 0, to: minutes, percent: 100 }],
        ..Mode::default()
    };
    let cooks = p.steps[0].cooks.clone();
    p.steps.push(Step { modes: vec![mode], cooks, first_task: job, task_count: 1 });
    p.tasks.push(Task { step: 3, load: 0, fixed: None, earliest: 0, latest: i32::MAX });
    let last = p.steps[0].first_task + p.steps[0].task_count - 1;
    let (one, other) = (p.steps[1].first_task, p.steps[2].first_task);
    let first = p.steps[0].first_task;
    let mut pairs = vec![(last, one), (last, other), (job, first)];
    if r.chance(50) {
        pairs.push((job, other));
    }
    p.lags.extend(pairs.into_iter().map(|(from, to)| Lag {
        from: Point { task: from, end: true },
        to: Point { task: to, end: false },
        least: r.to(1),
        most: if r.chance(40) { 2 + r.to(4) } else { i32::MAX },
        soft_most: r.chance(30).then_some(40),
        best: r.chance(20).then_some((2, 7)),
    }));
    p
}
