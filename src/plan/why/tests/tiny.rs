//! Tiny kitchens with a schedule each, and what trying everything finds.

use super::super::stand::{Claim, Stand};
use super::Random;
use crate::plan::judge::judge;
use crate::plan::problem::{
    Dish, HandsPart, Hold, Lag, Limit, Link, Mode, Oven, OvenUse, Point, Problem, Resource, Stay,
    Step, Task, Use,
};
use crate::plan::search::{Ask, solve};
use crate::plan::{Schedule, weights};

const END: i32 = 26;
/// Minutes of slip that are tried.
pub const TRIED: i32 = 7;
const HOB: usize = 0;
const RACK: usize = 1;
const COOK: usize = 2;
const PAN: usize = 3;

fn point(task: usize, end: bool) -> Point {
    Point { task, end }
}

fn mode(r: &mut Random) -> Mode {
    let minutes = 2 + r.to(2);
    let in_oven = r.to(9) < 4;
    let c = if r.to(1) == 0 { 30 } else { 40 };
    let hands = match r.to(2) {
        0 => vec![],
        1 => vec![
            HandsPart { from: 0, to: 1, percent: 100 },
            HandsPart { from: minutes - 1, to: minutes, percent: 100 },
        ],
        _ => vec![HandsPart { from: 0, to: minutes, percent: 60 }],
    };
    Mode {
        minutes,
        loads: 1,
        uses: vec![Use { resource: if in_oven { RACK } else { HOB }, amount: 1 }],
        oven: in_oven.then_some(OvenUse { oven: 0, least_c: c, most_c: c }),
        hands,
        price: 0,
    }
}

/// Four steps, two of each of two dishes, in one place after the other.
fn problem(seed: u64, one_at_a_time: bool) -> Problem {
    let r = &mut Random(seed);
    let steps: Vec<Step> = (0..4)
        .map(|s| Step { modes: vec![mode(r)], cooks: vec![COOK], first_task: s, task_count: 1 })
        .collect();
    let tasks = (0..4)
        .map(|step| Task { step, load: 0, fixed: None, earliest: 0, latest: i32::MAX })
        .collect();
    let lag = |r: &mut Random, from, to| Lag {
        from: point(from, true),
        to: point(to, false),
        least: r.to(2),
        most: if r.to(1) == 0 { 2 + r.to(2) } else { i32::MAX },
        soft_most: None,
        best: (r.to(3) == 0).then_some((4, 7)),
    };
    let lags = vec![lag(r, 0, 1), lag(r, 2, 3)];
    let dish = |r: &mut Random, last_step: usize| {
        let limit = |r: &mut Random| Limit {
            from: point(last_step - 1, true),
            most: 4 + r.to(5),
            soft_most: None,
        };
        let hold = |r: &mut Random| Hold {
            uses: vec![Use { resource: HOB, amount: 1 }],
            free: r.to(1),
            price: i64::from(r.to(5)) * 10,
            most: 1 + r.to(5),
            limits: if r.to(1) == 0 { vec![limit(r)] } else { vec![] },
            ..Hold::default()
        };
        let due = 14 + r.to(6);
        Dish {
            last_step,
            due,
            late_price: weights::LATE,
            cushion: r.to(2),
            cushion_price: 20,
            holds: (0..r.to(2)).map(|_| hold(r)).collect(),
            straight: vec![],
            straight_price: 0,
            held: None,
        }
    };
    let dishes = vec![dish(r, 1), dish(r, 3)];
    let closed = if r.to(2) == 0 { vec![(0, 2), (9, 11)] } else { vec![] };
    let stay = |a: usize, b: usize| Stay {
        uses: Use { resource: PAN, amount: 1 },
        from: vec![point(a, false), point(b, false)],
        to: vec![point(a, true), point(b, true)],
        through_hold: vec![],
    };
    let hobs = if one_at_a_time { 1 } else { 2 };
    Problem {
        start: 0,
        end: END,
        resources: [(hobs, vec![]), (1, vec![]), (100, closed), (1, vec![])]
            .map(|(capacity, closed)| Resource { capacity, closed })
            .to_vec(),
        ovens: vec![Oven { start_c: 20, up_c_per_min: 5, down_c_per_min: 5 }],
        steps,
        tasks,
        lags,
        stays: if r.to(2) == 0 { vec![stay(0, 1), stay(2, 3)] } else { vec![] },
        links: vec![Link { from_step: 0, to_step: 1, least: 0, price: 15 }],
        anchors: vec![],
        dishes,
        span_price: 4,
        effort_until: 20,
        idle_price: 1,
        finish_price: 0,
    }
}

fn solved(problem: Problem, rounds: u64) -> Option<(Problem, Schedule)> {
    let ask = Ask { problem: &problem, warm: None, ready: &[], seed: 1, rounds, stop: &|| false };
    let schedule = solve(&ask, &mut |_, _| {}).schedule?;
    judge(&problem, &schedule).is_ok().then_some((problem, schedule))
}

/// A tiny kitchen and a valid schedule of it, good or not so good.
pub fn valid(seed: u64) -> Option<(Problem, Schedule)> {
    solved(problem(seed, false), (seed % 3) * 30)
}

/// The same where nothing can be shared.
pub fn valid_one_at_a_time(seed: u64) -> Option<(Problem, Schedule)> {
    let mut problem = problem(seed, true);
    // Two loads of 60 per cent share a cook as little as two of 100.
    problem.links.clear();
    solved(problem, (seed % 3) * 30)
}

/// The most minutes by which a load can slip so that for each of them, and all
/// before, there is a valid schedule that keeps all turns, in which nobody
/// starts earlier and no dish is served later: by trying all starts.
pub fn slip_by_trying(stand: &Stand, task: usize) -> i32 {
    let room = |by: i32| -> Vec<Vec<i32>> {
        (0..stand.problem.tasks.len())
            .map(|t| {
                let s = stand.start(t);
                if t == task { vec![s + by] } else { (s..=s + TRIED).collect() }
            })
            .collect()
    };
    (1..=TRIED).take_while(|&by| any(stand, &room(by))).count() as i32
}

fn any(stand: &Stand, choices: &[Vec<i32>]) -> bool {
    let [a, b, c, d] = choices else { return false };
    let mut schedule = stand.schedule.clone();
    for &a in a {
        for &b in b {
            for &c in c {
                for &d in d {
                    schedule.start = vec![a, b, c, d];
                    if good(stand, &schedule) {
                        return true;
                    }
                }
            }
        }
    }
    false
}

fn good(stand: &Stand, schedule: &Schedule) -> bool {
    let then = Stand { problem: stand.problem, schedule };
    let served = |d| then.serving(d).served <= stand.serving(d).served;
    let lags = stand.problem.lags.iter().all(|l| {
        let gap = then.at(l.to) - then.at(l.from);
        l.least <= gap && gap <= l.most
    });
    lags && (0..stand.problem.dishes.len()).all(served)
        && turns(stand, &then)
        && judge(stand.problem, schedule).is_ok()
}

/// Claims with their number among those of the same load at the same thing.
fn parts(stand: &Stand) -> Vec<(usize, Claim)> {
    let claims = stand.claims();
    let nth = |i: usize| {
        let same = |c: &&Claim| (c.who, c.resource) == (claims[i].who, claims[i].resource);
        claims[..i].iter().filter(same).count()
    };
    (0..claims.len()).map(|i| (nth(i), claims[i])).collect()
}

/// Whoever had a place, pan, oven or cook before another still has.
fn turns(before: &Stand, after: &Stand) -> bool {
    let (old, new) = (parts(before), parts(after));
    let pairs = |of: &[(usize, Claim)]| -> Vec<_> {
        let mut pairs = Vec::new();
        for (i, a) in of {
            let others = of.iter().filter(|(_, b)| b.resource == a.resource && b.who != a.who);
            for (j, b) in others {
                let apart = a.amount + b.amount > before.problem.resources[a.resource].capacity;
                if apart && a.to <= b.from {
                    pairs.push((a.resource, (a.who, *i), (b.who, *j)));
                }
            }
        }
        pairs
    };
    // A hold may come to nothing, and with it its turns; no turn is new.
    let had = pairs(&old);
    let kept = pairs(&new).iter().all(|p| had.contains(p));
    let heats = |s: &Stand| {
        let heats = s.heats();
        let mut order = Vec::new();
        for a in &heats {
            for b in heats.iter().filter(|b| b.c != a.c && a.to <= b.from) {
                order.push((a.who, b.who));
            }
        }
        order.sort_unstable();
        order
    };
    kept && heats(after).iter().all(|p| heats(before).contains(p))
}
