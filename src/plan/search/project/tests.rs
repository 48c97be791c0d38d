//! Little projects against trying every start.

use super::*;
use crate::plan::problem::{Lag, Mode, Point, Problem, Resource, Step, Task, Use};
use crate::plan::search::{Ask, ClashKind, Standing, first, solve};

/// Some activities that want some of two resources; with `tight`, most lags too; with `shop`, machines that each do one
/// thing at a time.
fn project(rng: &mut Rng, n: usize, tight: bool, shop: bool) -> Problem {
    let capacity = if shop { 1 } else { 2 + rng.below(2) as i32 };
    let mut p = Problem { start: 3, end: 33, finish_price: 1, ..Problem::default() };
    p.resources = vec![Resource { capacity, closed: vec![] }; 2];
    if !shop && rng.chance(40) {
        p.resources[0].closed = vec![(5, 8)];
    }
    for step in 0..n {
        let mut uses: Vec<Use> = Vec::new();
        for resource in 0..2 {
            if uses.is_empty() && rng.chance(60) || !shop && rng.chance(40) {
                uses.push(Use { resource, amount: 1 + rng.below(capacity as usize) as i32 });
            }
        }
        let mode = Mode { minutes: 1 + rng.below(4) as i32, loads: 1, uses, ..Mode::default() };
        p.steps.push(Step {
            modes: vec![mode],
            first_task: step,
            task_count: 1,
            ..Step::default()
        });
        p.tasks.push(Task { step, earliest: 3, latest: i32::MAX, ..Task::default() });
    }
    for to in 1..n {
        if rng.chance(60) {
            let from = rng.below(to);
            let least = rng.below(3) as i32;
            let most = if tight && rng.chance(60) { least + rng.below(5) as i32 } else { i32::MAX };
            let (from, to) = (Point { task: from, end: true }, Point { task: to, end: false });
            p.lags.push(Lag { from, to, least, most, soft_most: None, best: None });
        }
    }
    p
}

/// The least last end by trying every start, below one that is known.
fn tried(p: &Problem, start: &mut Vec<i32>, best: &mut i32) {
    let t = start.len();
    let minutes = |t: usize| p.steps[t].modes[0].minutes;
    if t == p.tasks.len() {
        let end = (0..t).map(|t| start[t] + minutes(t)).max().unwrap_or(0);
        *best = end.min(*best);
        return;
    }
    for at in p.start..(*best).min(p.end + 1) - minutes(t) {
        start.push(at);
        let lags = p.lags.iter().filter(|l| l.to.task == t).all(|l| {
            let gap = at - start[l.from.task] - minutes(l.from.task);
            gap >= l.least && gap <= l.most
        });
        let room = || {
            (at..at + minutes(t)).all(|minute| {
                p.steps[t].modes[0].uses.iter().all(|u| {
                    let r = &p.resources[u.resource];
                    let on = |&s: &usize| start[s] <= minute && minute < start[s] + minutes(s);
                    let of = |s: usize| {
                        let uses = p.steps[s].modes[0].uses.iter();
                        uses.filter(|v| v.resource == u.resource).map(|v| v.amount).sum::<i32>()
                    };
                    let taken: i32 = (0..=t).filter(on).map(of).sum();
                    taken <= r.capacity && !r.closed.iter().any(|c| c.0 <= minute && minute < c.1)
                })
            })
        };
        if lags && room() {
            tried(p, start, best);
        }
        start.pop();
    }
}

fn solved(p: &Problem, rounds: u64) -> (Option<i64>, i64, Standing) {
    let ask = Ask { problem: p, warm: None, ready: &[], seed: 1, rounds, stop: &|| false };
    let answer = solve(&ask, &mut |s, c| {
        assert_eq!(crate::plan::judge::judge(p, s), Ok(*c));
    });
    (answer.schedule.map(|_| answer.cost.total()), answer.bound, answer.standing)
}

#[test]
fn projects_against_trying_every_start() {
    let mut rng = Rng::new(41);
    for (tight, shop) in [(false, false), (true, false), (false, true)] {
        let (mut all, mut found, mut at_best, mut soon, mut at_bound, mut without) =
            (0, 0, 0, 0, 0, 0);
        for round in 0..120 {
            let n = 3 + rng.below(3);
            let p = project(&mut rng, n, tight, shop);
            let mut best = i32::MAX;
            tried(&p, &mut Vec::new(), &mut best);
            let m = Model::new(&p);
            assert!(
                Project::of(&m)
                    .is_some_and(|x| x.tight == p.lags.iter().any(|l| l.most < i32::MAX))
            );
            let (cost, bound, standing) = solved(&p, 300);
            if best == i32::MAX {
                assert_eq!(cost, None, "round {round}");
                without += 1;
                continue;
            }
            let best = i64::from(best);
            assert!(bound <= best, "round {round}: {bound} above {best}");
            all += 1;
            at_bound += i32::from(bound == best);
            assert_eq!(standing == Standing::Best, cost == Some(bound), "round {round}");
            assert!(cost.is_none_or(|cost| cost >= best), "round {round}");
            (found, at_best) =
                (found + i32::from(cost.is_some()), at_best + i32::from(cost == Some(best)));
            soon += i32::from(solved(&p, 1).0 == Some(best));
            let begun = first(&p, None);
            assert!(begun.is_none_or(|s| crate::plan::judge::judge(&p, &s).is_ok()));
        }
        println!(
            "{all}, {without} without; {found} found, {at_best} best, {soon} in a round, {at_bound} at the bound"
        );
        assert!(
            all >= 60 && found * 100 >= all * 95 && at_best * 100 >= all * 80,
            "{found} {at_best}"
        );
    }
}

/// Larger ones: when all of them together end after so many rounds, and what the bounds say together. No dearer than a
/// little above what is reached now.
#[test]
fn larger_projects() {
    let mut rng = Rng::new(43);
    let kinds = [
        ("plain", false, false, [259, 255, 255, 252], 918),
        ("tight", true, false, [730, 608, 484, 482], 527),
        ("shop", false, true, [239, 237, 237, 237], 934),
    ];
    for (name, tight, shop, most, least) in kinds {
        let (mut ends, mut bounds) = ([0; 4], 0);
        for _ in 0..8 {
            let mut p = project(&mut rng, 16, tight, shop);
            p.end = 150;
            for (end, rounds) in ends.iter_mut().zip([1, 8, 40, 400]) {
                let (cost, bound, _) = solved(&p, rounds);
                *end += cost.unwrap_or(150);
                bounds += bound;
            }
        }
        let within = ends.iter().zip(most).all(|(end, most)| *end <= most);
        assert!(within && bounds >= least, "{name}: ends {ends:?}, bounds {bounds}");
    }
}

/// What is not a project is not searched as one.
#[test]
fn only_projects_are_projects() {
    let mut rng = Rng::new(4);
    let sound = project(&mut rng, 4, true, false);
    let is = |p: &Problem| Project::of(&Model::new(p)).is_some();
    assert!(is(&sound));
    type Edit = dyn Fn(&mut Problem);
    let edits: [&Edit; 8] = [
        &|p| p.finish_price = 0,
        &|p| p.dishes.push(crate::plan::problem::Dish::default()),
        &|p| p.lags[0].soft_most = Some(1),
        &|p| p.lags[0].best = Some((1, 1)),
        &|p| {
            let mode = p.steps[0].modes[0].clone();
            p.steps[0].modes.push(mode);
        },
        &|p| {
            p.anchors.push(crate::plan::problem::Anchor { task: 0, start: 1, price: 1, mode: None })
        },
        &|p| {
            p.tasks[0].fixed =
                Some(crate::plan::problem::Fixed { start: 3, end: 4, cook: None, setting_c: None })
        },
        &|p| {
            p.steps[0].cooks = vec![0];
            p.steps[0].modes[0].hands =
                vec![crate::plan::problem::HandsPart { from: 0, to: 1, percent: 5 }];
        },
    ];
    for (kind, edit) in edits.iter().enumerate() {
        let mut p = sound.clone();
        edit(&mut p);
        assert!(!is(&p), "kind {kind}");
    }
    // Lags that ask each other for more; just as much as there is is none.
    let mut p = project(&mut rng, 2, false, false);
    let lag = |from: usize, to: usize, least: i32| {
        let (from, to) = (Point { task: from, end: false }, Point { task: to, end: false });
        Lag { from, to, least, most: i32::MAX, soft_most: None, best: None }
    };
    p.lags = vec![lag(0, 1, 4), lag(1, 0, -4)];
    assert!(!Project::of(&Model::new(&p)).expect("one").circle());
    p.lags[1].least = -3;
    assert!(Project::of(&Model::new(&p)).expect("one").circle());
    match solved(&p, 10).2 {
        Standing::Impossible(clash) => {
            assert!(
                clash.proven
                    && matches!(clash.kind, ClashKind::Circle { .. } | ClashKind::Window { .. })
            );
        }
        other => panic!("{other:?}"),
    }
}
