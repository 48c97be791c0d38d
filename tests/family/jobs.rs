//! Knife work that several dishes share, as steps of their own ahead of the
//! dishes that use it: a problem of the family with such jobs added.

use std::collections::BTreeSet;

use potwatch::plan::problem::{Fixed, HandsPart, Lag, Mode, Point, Problem, Schedule, Step, Task};

use super::Dice;

/// Minutes that cut food waits at the most. Common practice, no source.
const KEEPS: i32 = 240;
/// Minutes of washing board and knife.
const WASH: i32 = 3;

/// The same party with the first cuts of its dishes pooled: one job for two or
/// three dishes each whose services are not far apart, their own cuts shorter for
/// it; raw meat and fish after all else, with a wash between. The cooks come
/// earlier by what the jobs take.
pub fn pooled(problem: &Problem, seed: u64) -> Problem {
    let mut dice = Dice::new(seed ^ 0x6A0B);
    let mut p = problem.clone();
    let mut cuts = dice.order(p.steps.len());
    cuts.retain(|&s| is_cut(&p, s));
    cuts.sort_by_cached_key(|&s| due(&p, s) + dice.below(60));
    let (mut clean, mut raw) = (Vec::new(), Vec::new());
    while cuts.len() >= 2 {
        let users: Vec<usize> = cuts.drain(..cuts.len().min(2 + dice.below(2) as usize)).collect();
        let minutes = dice.from(3, 8);
        let job = job(&mut p, minutes, users[0]);
        for &user in &users {
            shorten(&mut p, user);
            let to = p.steps[user].first_task;
            p.lags.push(lag(job, to, KEEPS));
        }
        if dice.chance(30) { raw.push(job) } else { clean.push(job) }
    }
    if !raw.is_empty() && !clean.is_empty() {
        let like = p.tasks[raw[0]].step;
        let wash = job(&mut p, WASH, like);
        p.lags.extend(clean.iter().map(|&job| lag(job, wash, i32::MAX)));
        p.lags.extend(raw.iter().map(|&job| lag(wash, job, i32::MAX)));
    }
    let asked: i32 =
        clean.iter().chain(&raw).map(|&t| p.steps[p.tasks[t].step].modes[0].minutes).sum();
    let cooks = p.steps.iter().map(|s| s.cooks.len()).max().unwrap_or(1).max(1) as i32;
    let begin = p.start - asked / cooks;
    for task in &mut p.tasks {
        if task.earliest == p.start {
            task.earliest = begin;
        }
    }
    p.start = begin;
    p
}

/// When the first dish is served that a step leads to.
fn due(p: &Problem, step: usize) -> i32 {
    let dishes = p.dishes.iter().filter(|d| after(p, step).contains(&d.last_step));
    dishes.map(|d| d.due).min().unwrap_or(p.end)
}

/// A step with which its dish begins, by hand from its start to its end.
fn is_cut(p: &Problem, s: usize) -> bool {
    let step = &p.steps[s];
    let [mode] = step.modes.as_slice() else { return false };
    let whole = HandsPart { from: 0, to: mode.minutes, percent: 100 };
    let begins = || p.lags.iter().all(|l| p.tasks[l.to.task].step != s);
    step.task_count == 1 && mode.minutes > 3 && mode.hands == [whole] && begins()
}

/// Adds a step of its own at the place and with the cooks of another; gives its task.
fn job(p: &mut Problem, minutes: i32, like: usize) -> usize {
    let task = p.tasks.len();
    let step = Step {
        modes: vec![Mode {
            minutes,
            loads: 1,
            uses: p.steps[like].modes[0].uses.clone(),
            hands: vec![HandsPart { from: 0, to: minutes, percent: 100 }],
            ..Mode::default()
        }],
        cooks: p.steps[like].cooks.clone(),
        first_task: task,
        task_count: 1,
    };
    let (step_at, latest) = (p.steps.len(), i32::MAX);
    p.steps.push(step);
    p.tasks.push(Task { step: step_at, earliest: p.start, latest, ..Task::default() });
    task
}

fn shorten(p: &mut Problem, step: usize) {
    let mode = &mut p.steps[step].modes[0];
    mode.minutes -= 3;
    mode.hands[0].to = mode.minutes;
}

fn lag(from: usize, to: usize, most: i32) -> Lag {
    let (from, to) = (Point { task: from, end: true }, Point { task: to, end: false });
    Lag { from, to, least: 0, most, soft_most: None, best: None }
}

/// The steps that come after a step, and itself.
fn after(p: &Problem, step: usize) -> BTreeSet<usize> {
    let (mut seen, mut queue) = (BTreeSet::from([step]), vec![step]);
    while let Some(a) = queue.pop() {
        for lag in &p.lags {
            let b = p.tasks[lag.to.task].step;
            if p.tasks[lag.from.task].step == a && seen.insert(b) {
                queue.push(b);
            }
        }
    }
    seen
}

/// The same at a later minute when all went as planned: what was to have begun
/// runs or is done; and the schedule shown as that problem's. (What waits ready is not held.)
pub fn running(problem: &Problem, shown: &Schedule, now: i32) -> (Problem, Schedule) {
    let (mut p, mut kept) = (problem.clone(), shown.clone());
    p.start = now;
    for t in 0..p.tasks.len() {
        let (start, end) = (shown.start[t], problem.end_of(shown, t));
        if problem.active(shown, t) && start < now {
            let (cook, setting_c) = (shown.cook[t], shown.setting_c[t]);
            p.tasks[t].fixed = Some(Fixed { start, end, cook, setting_c });
            let step = p.tasks[t].step;
            let mode = shown.mode[step];
            p.steps[step].modes = vec![problem.steps[step].modes[mode].clone()];
            kept.mode[step] = 0;
        }
        p.tasks[t].earliest = p.tasks[t].earliest.max(now);
    }
    p.links.retain(|l| p.tasks[p.steps[l.to_step].first_task].fixed.is_none());
    (p, kept)
}

/// Steps that more than one dish waits for.
pub fn shared(p: &Problem) -> usize {
    let dishes = |s: usize| {
        let after = after(p, s);
        p.dishes.iter().filter(|d| after.contains(&d.last_step)).count()
    };
    (0..p.steps.len()).filter(|&s| dishes(s) > 1).count()
}
