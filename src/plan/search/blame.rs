//! Finds out what clashes where there is no schedule: things are left out or
//! made plenty, one at a time, and what would help is what is to blame.

use super::begin::{self, windows_clash};
use super::clash::{Clash, ClashKind};
use super::insert::Inserter;
use super::model::Model;
use super::rng::Rng;
use super::state::State;
use super::windows;
use crate::plan::problem::{Lag, Problem};

/// Is there a task without a minute to start in, by lags and windows alone? Where lags ask each other for more by a
/// minute or two at a time the day is long enough for many rounds: that is seen by itself.
pub fn windows(m: &Model) -> Option<Clash> {
    if !m.cut && runs_in_circle(m) {
        return Some(circle(&m.p));
    }
    let task = windows_clash(m).filter(|_| !m.cut)?;
    let clashes = |p: &Problem| windows_clash(&Model::new(p)).is_some();
    let lags = needed_lags(&m.p, clashes);
    let mut tasks: Vec<usize> =
        lags.iter().flat_map(|&l| [m.p.lags[l].from.task, m.p.lags[l].to.task]).collect();
    tasks.push(task);
    tasks.sort_unstable();
    tasks.dedup();
    Some(Clash::new(ClashKind::Window { task, lags, tasks }))
}

/// The clash of lags that ask each other for ever more minutes.
pub fn circle(p: &Problem) -> Clash {
    let lags = needed_lags(p, |p| runs_in_circle(&Model::new(p)));
    Clash::new(ClashKind::Circle { lags })
}

/// What stands in the way of one task or dish even when it is alone.
pub fn alone(problem: &Problem, m: &Model) -> Option<Clash> {
    let bare = State::new(m);
    let mut inserter = Inserter::default();
    for task in 0..m.p.tasks.len() {
        let certain = m.p.tasks[task].fixed.is_none() && m.always_active(task) && !m.cut;
        if certain && inserter.no_room(&bare, task) {
            return Some(Clash::new(no_room(problem, task)));
        }
    }
    for (dish, d) in m.p.dishes.iter().enumerate() {
        let unit = &m.units[m.unit_of[d.last_step]];
        if !m.cut && inserter.hopeless(&bare, unit) {
            return Some(Clash::new(no_place(problem, dish)));
        }
    }
    None
}

/// What probably stands in the way where the search found no first schedule.
pub fn stuck(problem: &Problem, m: &Model, step: Option<usize>) -> Clash {
    let step = step.unwrap_or(0);
    let root = m.unit_of.get(step).and_then(|&u| m.units.get(u)).and_then(|u| u.first());
    let dish = root.and_then(|&s| m.dishes_of[s].first().copied());
    let goes = |p: &Problem| {
        let m = Model::new(p);
        let (mut inserter, mut rng) = (Inserter::default(), Rng::new(0));
        begin::first(&m, &mut inserter, None, &mut rng, 2, &|| false, &mut |_| ()).is_ok()
    };
    let resources = helpful_resources(problem, goes);
    Clash::likely(ClashKind::Crowded { dish, step, resources })
}

fn runs_in_circle(m: &Model) -> bool {
    let mut arcs = windows::arcs(m);
    // What lies between two things that happened is as it happened.
    arcs.retain(|a| [a.from, a.to].iter().any(|&t| m.p.tasks[t].fixed.is_none()));
    let mut early = vec![0i64; m.p.tasks.len()];
    for _ in 0..=m.p.tasks.len() {
        let mut moved = false;
        for arc in &arcs {
            let reach = early[arc.from] + i64::from(arc.least);
            if reach > early[arc.to] {
                early[arc.to] = reach;
                moved = true;
            }
        }
        if !moved {
            return false;
        }
    }
    true
}

/// A lag that asks for nothing.
fn silence(lag: &mut Lag) {
    (lag.least, lag.most, lag.soft_most) = (i32::MIN, i32::MAX, None);
}

/// Lags of which none can be left out if the clash is to stay.
fn needed_lags(p: &Problem, clashes: impl Fn(&Problem) -> bool) -> Vec<usize> {
    let mut p = p.clone();
    let mut needed = Vec::new();
    for l in 0..p.lags.len() {
        let was = p.lags[l].clone();
        silence(&mut p.lags[l]);
        if !clashes(&p) {
            p.lags[l] = was;
            needed.push(l);
        }
    }
    needed
}

/// Resources each of which would help if there were plenty of it at all times.
fn helpful_resources(p: &Problem, goes: impl Fn(&Problem) -> bool) -> Vec<usize> {
    let helps = |&r: &usize| {
        let mut p = p.clone();
        p.resources[r].closed.clear();
        p.resources[r].capacity = 1 << 20;
        goes(&p)
    };
    (0..p.resources.len()).filter(helps).collect()
}

fn no_room(problem: &Problem, task: usize) -> ClashKind {
    let goes = |p: &Problem| {
        let m = Model::new(p);
        !Inserter::default().no_room(&State::new(&m), task)
    };
    let quick = |&o: &usize| {
        let mut p = problem.clone();
        (p.ovens[o].up_c_per_min, p.ovens[o].down_c_per_min) = (10_000, 10_000);
        goes(&p)
    };
    let resources = helpful_resources(problem, goes);
    let ovens = (0..problem.ovens.len()).filter(quick).collect();
    ClashKind::NoRoom { task, resources, ovens }
}

fn no_place(problem: &Problem, dish: usize) -> ClashKind {
    let goes = |p: &Problem| {
        let m = Model::new(p);
        let unit = &m.units[m.unit_of[p.dishes[dish].last_step]];
        !Inserter::default().hopeless(&State::new(&m), unit)
    };
    let resources = helpful_resources(problem, goes);
    let free = |&l: &usize| {
        let mut p = problem.clone();
        silence(&mut p.lags[l]);
        // A step cut off from its dish would be done by itself: the dish goes, and so must it.
        let m = Model::new(&p);
        let bare = State::new(&m);
        let mut inserter = Inserter::default();
        m.units.iter().all(|unit| !inserter.hopeless(&bare, unit))
    };
    let lags = (0..problem.lags.len()).filter(free).collect();
    ClashKind::Dish { dish, resources, lags }
}
