//! Tiny random evenings half over: of four steps some are done, some run, some
//! are to come; dishes wait already, in one of several holds, some of them for a load to
//! come; and on the counter may stand more than it holds, as it happened.

use potwatch::plan::problem::{Fixed, Point, Problem, Resource, Stay, Step, Task, Use};

use super::tiny::{Random, dish, hold, mode, tiny};

/// What waits between steps stands here; the resources before it are those of
/// the tiny problems.
const COUNTER: usize = 5;

/// A problem of four steps, two or three of them begun, and three dishes.
pub fn midway(seed: u64) -> Problem {
    let r = &mut Random(seed ^ 0x51AB_0000);
    let mut p = tiny(seed + 1_000_000);
    p.resources.push(Resource { capacity: 1 + i32::from(r.chance(30)), closed: vec![] });
    let (first_task, cooks) = (p.tasks.len(), p.steps[0].cooks.clone());
    p.steps.push(Step { modes: vec![mode(r, 1)], cooks, first_task, task_count: 1 });
    p.tasks.push(Task { step: 3, load: 0, fixed: None, earliest: 0, latest: i32::MAX });
    p.dishes.push(dish(r, 3, first_task + 1));
    for d in 0..p.dishes.len() {
        let more = r.to(2);
        p.dishes[d].holds.extend((0..more).map(|_| hold(r, first_task + 1)));
        for h in &mut p.dishes[d].holds {
            if r.chance(30) {
                h.uses = vec![Use { resource: COUNTER, amount: 1 }];
                h.oven = None;
            }
        }
    }
    p.stays.extend([stay(r, &p, 0, 1), stay(r, &p, 2, 3)]);
    for s in [0, 2] {
        begin(r, &mut p, s);
    }
    if r.chance(50) {
        let s = 1 + 2 * r.to(1) as usize;
        begin(r, &mut p, s);
    }
    p
}

/// Does a dish wait already of which a load has not begun?
pub fn waits_for_a_load(p: &Problem) -> bool {
    p.dishes.iter().filter(|d| d.held.is_some()).any(|d| {
        let step = &p.steps[d.last_step];
        p.tasks[step.first_task..step.first_task + step.modes[0].loads]
            .iter()
            .any(|t| t.fixed.is_none())
    })
}

/// From the end of one step to the start of another on the counter.
fn stay(r: &mut Random, p: &Problem, from: usize, to: usize) -> Stay {
    let last = p.steps[from].first_task + p.steps[from].task_count - 1;
    let point = |task: usize, end: bool| Point { task, end };
    let dish = p.dishes.iter().position(|d| d.last_step == to && !d.holds.is_empty());
    Stay {
        uses: Use { resource: COUNTER, amount: 1 },
        from: vec![point(last, true)],
        to: vec![point(p.steps[to].first_task, r.chance(30))],
        through_hold: dish.filter(|_| r.chance(30)).map(|d| (d, 0)).into_iter().collect(),
    }
}

/// The step is done, or runs (of two loads, perhaps the first only).
fn begin(r: &mut Random, p: &mut Problem, s: usize) {
    let (first, count) = (p.steps[s].first_task, p.steps[s].task_count);
    p.steps[s].modes.truncate(1);
    let mode = p.steps[s].modes[0].clone();
    let loads = if r.chance(70) { count.min(mode.loads) } else { 1 };
    let mut start = r.to(3) - 5 - 3 * (loads as i32 - 1);
    let mut end = start;
    let mut out = i32::MAX;
    for t in first..first + loads {
        end = start + mode.minutes + r.to(1);
        p.tasks[t].fixed = Some(Fixed {
            start,
            end,
            cook: (!mode.hands.is_empty()).then(|| p.steps[s].cooks[0]),
            setting_c: mode.oven.map(|o| o.least_c - r.to(1)),
        });
        start = end;
        out = out.min(end);
    }
    p.links.retain(|l| l.to_step != s);
    p.anchors.retain(|a| p.tasks[a.task].fixed.is_none());
    let done = loads == mode.loads && end <= 0;
    for d in p.dishes.iter_mut().filter(|d| d.last_step == s && !d.holds.is_empty()) {
        // Of two loads the first may wait for the other.
        if done && r.chance(80) || !done && out <= 0 && r.chance(90) {
            let held = r.to(d.holds.len() as i32 - 1) as usize;
            d.held = Some(held);
            d.holds[held].most = 20;
            d.holds[held].setting_c = d.holds[held].oven.map(|o| o.least_c);
        }
    }
}
