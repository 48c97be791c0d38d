//! What the search says cannot be, and what it names as the cause.

use super::super::clash::ClashKind;
use super::super::model::Model;
use super::super::workload::overworked;
use super::super::{Standing, begin, beyond, first, solve};
use super::{NEVER, ask, least, midway, some, steps, waits_too_long, whole};
use crate::plan::judge::judge;
use crate::plan::problem::{Dish, HandsPart, Lag, Mode, Oven, OvenUse, Point, Problem, Resource};
use crate::plan::prove::Prover;
use crate::plan::search::rng::Rng;
use crate::plan::search::{Ask, Begin};

/// Something less of it, so that it perhaps cannot be.
fn harder(p: &mut Problem, rng: &mut Rng) {
    match rng.below(7) {
        0 => p.resources[rng.below(5)].capacity = 0,
        1 => p.resources[rng.below(4)].closed = vec![(rng.below(4) as i32, 10)],
        2 => p.ovens[0].start_c = -120 + rng.below(100) as i32,
        3 => p.end = 3 + rng.below(4) as i32,
        4 => {
            let t = rng.below(p.tasks.len());
            p.tasks[t].latest = p.tasks[t].earliest.max(rng.below(3) as i32);
        }
        5 => {
            let l = rng.below(p.lags.len());
            (p.lags[l].least, p.lags[l].soft_most) = (rng.below(6) as i32, None);
            p.lags[l].most = p.lags[l].least + rng.below(3) as i32;
        }
        _ => p.resources[2].closed = vec![(0, 3), (4, 7)],
    }
}

/// Half over, the search begun from the best answer gives it, as the judge reads it too; begun from nothing it never claims
/// that there is none.
#[test]
fn begun_from_the_best_half_way_the_search_stays_there() {
    let (mut begun, mut found, mut in_loads) = (0, 0, 0);
    for seed in 1..=2_000 {
        let problem = midway::midway(seed);
        let Ok(mut prover) = Prover::new(&problem) else { continue };
        prover.advance(u64::MAX, NEVER, &mut |_, _| ());
        let Some((best, cost)) = prover.best() else { continue };
        let answer = solve(&Ask { warm: Some(best), ..ask(&problem, 0) }, &mut |s, c| {
            assert_eq!(judge(&problem, s), Ok(*c), "seed {seed}");
        });
        let total = answer.schedule.is_some().then(|| answer.cost.total());
        assert_eq!(total, Some(cost.total()), "seed {seed}");
        let answer = solve(&ask(&problem, 50), &mut |_, _| ());
        if let Standing::Impossible(clash) = &answer.standing {
            assert!(!clash.proven, "seed {seed}: {clash:?}");
        }
        begun += 1;
        in_loads += usize::from(midway::waits_for_a_load(&problem));
        found += usize::from(answer.schedule.is_some());
    }
    assert!(begun >= 200 && found * 10 >= begun * 9, "{found} of {begun} found from nothing");
    assert!(in_loads > 5, "{in_loads} of them wait for a load of theirs");
}

#[test]
fn what_cannot_be_is_so() {
    let mut rng = Rng::new(21);
    let (mut possible, mut found, mut never, mut proven) = (0, 0, 0, 0);
    let mut kinds = [0; 4];
    for seed in 1..=600 {
        let mut problem = some(seed);
        (0..2).for_each(|_| harder(&mut problem, &mut rng));
        if waits_too_long(&problem) {
            continue;
        }
        let least = least(&problem);
        let answer = solve(&ask(&problem, 0), &mut |_, _| ());
        possible += i32::from(least.is_some());
        never += i32::from(least.is_none());
        if let Some(schedule) = &answer.schedule {
            assert!(Some(judge(&problem, schedule).expect("it keeps every rule").total()) >= least);
            found += 1;
        }
        let Standing::Impossible(clash) = answer.standing else { continue };
        if !clash.proven {
            continue;
        }
        assert_eq!(least, None, "seed {seed}: {clash:?}");
        assert_eq!(first(&problem, None), None);
        proven += 1;
        // Without the others it clashes all the same, and without any one of these too it does not.
        let clashes = |kept: &[usize]| {
            let mut p = problem.clone();
            let out = p.lags.iter_mut().enumerate().filter(|(l, _)| !kept.contains(l));
            out.for_each(|(_, l)| (l.least, l.most, l.soft_most) = (i32::MIN, i32::MAX, None));
            begin::windows_clash(&Model::new(&p)).is_some()
        };
        match clash.kind {
            ClashKind::Window { lags, tasks, task } => {
                assert!(clashes(&lags), "seed {seed}: they are enough");
                for out in 0..lags.len() {
                    let mut less = lags.clone();
                    less.remove(out);
                    assert!(!clashes(&less), "seed {seed}: each is needed");
                }
                assert!(tasks.contains(&task) && tasks.is_sorted_by(|a, b| a < b), "each once");
                kinds[0] += 1;
            }
            ClashKind::NoRoom { .. } => kinds[1] += 1,
            ClashKind::Dish { .. } => kinds[2] += 1,
            ClashKind::Hands { .. } => kinds[3] += 1,
            _ => {}
        }
    }
    println!(
        "{found} of {possible} found; {proven} of {never} that cannot be are proven: {kinds:?}"
    );
    assert!(possible > 40 && found * 100 >= possible * 93, "{found} of {possible}");
    assert!(proven * 100 >= never * 80, "{proven} of {never}");
    assert!(kinds.iter().all(|&k| k > 0), "{kinds:?}");
}

/// Days too full for dish after dish: by way of a longer one there is a schedule all the same, mostly.
#[test]
fn a_day_too_full_is_drawn_together() {
    let (mut full, mut drawn) = (0, 0);
    for seed in 1..=400 {
        let mut problem = some(seed);
        problem.end -= 1;
        let m = Model::new(&problem);
        if whole(&m, seed).is_some() || least(&problem).is_none() {
            continue;
        }
        full += 1;
        let at = Begin { warm: None, ready: &[], seed };
        if let Some(state) = beyond::first(&problem, &m, at, NEVER) {
            let schedule = m.outward(&state.schedule());
            assert!(judge(&problem, &schedule).is_ok(), "seed {seed}");
            drawn += 1;
        }
        assert!(beyond::first(&problem, &m, at, &|| true).is_none() || full > 0);
    }
    println!("{drawn} of {full}");
    assert!(full >= 5 && drawn * 2 >= full, "{drawn} of {full}");
}

fn lag(from: usize, to: usize, least: i32, most: i32) -> Lag {
    let (from, to) = (Point { task: from, end: true }, Point { task: to, end: false });
    Lag { from, to, least, most, soft_most: None, best: None }
}

fn clash(p: &Problem) -> (ClashKind, bool) {
    match solve(&ask(p, 10), &mut |_, _| ()).standing {
        Standing::Impossible(clash) => (clash.kind, clash.proven),
        other => panic!("{other:?}"),
    }
}

#[test]
fn what_would_help_is_named_by_hand() {
    // 180 degrees at one a minute, and only 100 minutes for it; the other oven is not asked.
    let mut p = steps(&[(10, &[0])]);
    p.ovens = vec![Oven { start_c: 20, up_c_per_min: 50, down_c_per_min: 50 }; 2];
    p.ovens[1].up_c_per_min = 1;
    p.steps[0].modes[0].oven = Some(OvenUse { oven: 1, least_c: 200, most_c: 220 });
    let cold = ClashKind::NoRoom { task: 0, resources: vec![], ovens: vec![1] };
    assert_eq!(clash(&p), (cold, true));
    p.resources[0].closed = vec![(0, 95)];
    let neither = ClashKind::NoRoom { task: 0, resources: vec![], ovens: vec![] };
    assert_eq!(clash(&p), (neither, true), "either alone would not do");
    // Ten minutes on the hob and ten more at most five later; it is free for ten and for fifteen minutes.
    let mut p = steps(&[(10, &[1]), (10, &[1]), (10, &[0])]);
    p.lags = vec![lag(0, 1, 0, 5), lag(2, 1, 0, i32::MAX)];
    p.dishes = vec![Dish { last_step: 1, due: 90, late_price: 1, ..Dish::default() }];
    p.resources[1].closed = vec![(0, 30), (40, 85)];
    let dish = ClashKind::Dish { dish: 0, resources: vec![1], lags: vec![0] };
    assert_eq!(clash(&p), (dish, true));
    // Two at the same minute on one burner: likely, and more burners would help.
    let mut p = steps(&[(10, &[0, 1]), (10, &[1])]);
    p.tasks.iter_mut().for_each(|t| (t.earliest, t.latest) = (20, 25));
    p.dishes = (0..2).map(|last_step| Dish { last_step, due: 30, ..Dish::default() }).collect();
    let (kind, proven) = clash(&p);
    assert!(!proven, "the search cannot know");
    match kind {
        ClashKind::Crowded { dish: Some(dish), step, resources } => {
            assert_eq!((dish, resources), (step, vec![1]));
        }
        other => panic!("{other:?}"),
    }
    // Two lags that ask each other for more; the third has no part in it.
    let mut p = steps(&[(5, &[]), (5, &[]), (5, &[])]);
    p.lags = vec![lag(0, 1, 0, 50), lag(1, 2, 0, 50), lag(2, 0, -20, i32::MAX), lag(2, 1, -4, 9)];
    assert_eq!(clash(&p), (ClashKind::Circle { lags: vec![1, 3] }, true));
    p.lags[3].least = -15;
    assert!(solve(&ask(&p, 10), &mut |_, _| ()).schedule.is_some(), "just enough");
}

/// More work than hands: just as it is when counted minute by minute, for every group of cooks.
#[test]
fn hands_are_counted_minute_by_minute() {
    let mut rng = Rng::new(8);
    let (mut some, mut none) = (0, 0);
    for round in 0..400 {
        let n = 2 + rng.below(5);
        let mut p = steps(&vec![(10, &[] as &[usize]); n]);
        p.resources = vec![Resource { capacity: 100, closed: vec![] }; 3];
        (p.start, p.end) = (5, 30 + rng.below(15) as i32);
        for r in &mut p.resources {
            let from = rng.below(40) as i32;
            r.closed = vec![(from, from + rng.below(12) as i32)];
            if rng.chance(30) {
                r.closed.insert(0, (from.min(3), from + 4));
            }
            r.capacity = [100, 100, 50][rng.below(3)];
        }
        for s in 0..n {
            let percent = [100, 50, 30][rng.below(3)];
            p.steps[s].modes[0].hands = vec![
                HandsPart { from: 0, to: 1 + rng.below(4) as i32, percent },
                HandsPart { from: 6, to: 9, percent: 100 },
            ];
            p.steps[s].cooks =
                [vec![0], vec![1, 0], vec![2, 1], vec![0, 1, 2]][rng.below(4)].clone();
            p.tasks[s].earliest = 5 + rng.below(15) as i32;
            if rng.chance(30) {
                let mut quick = p.steps[s].modes[0].clone();
                quick.hands.pop();
                p.steps[s].modes.push(quick);
            }
            p.dishes.push(Dish { last_step: s, due: 30, ..Dish::default() });
        }
        let work = |s: usize| -> i32 {
            let mode = |m: &Mode| m.hands.iter().map(|h| h.percent * (h.to - h.from)).sum();
            p.steps[s].modes.iter().map(mode).min().unwrap_or(0)
        };
        let mut groups: Vec<Vec<usize>> = p.steps.iter().map(|s| s.cooks.clone()).collect();
        groups.push((0..3).filter(|c| p.steps.iter().any(|s| s.cooks.contains(c))).collect());
        groups.iter_mut().for_each(|g| g.sort_unstable());
        groups.sort_by_key(|g| (g.len(), g.clone()));
        let over = groups.into_iter().find_map(|g| {
            let theirs: Vec<usize> =
                (0..n).filter(|&s| p.steps[s].cooks.iter().all(|c| g.contains(c))).collect();
            let from = theirs.iter().map(|&s| p.tasks[s].earliest).min()?;
            let open = |&(c, minute): &(usize, i32)| {
                !p.resources[c].closed.iter().any(|x| x.0 <= minute && minute < x.1)
            };
            let minutes = g.iter().flat_map(|&c| (from..p.end).map(move |m| (c, m)));
            let there: i32 = minutes.filter(open).map(|(c, _)| p.resources[c].capacity).sum();
            let asked: i32 = theirs.iter().map(|&s| work(s)).sum();
            let mut dishes = theirs;
            dishes.sort_by_key(|&s| (-work(s), s));
            dishes.truncate(3);
            (asked > there).then_some((g, (asked + 99) / 100, there / 100, dishes))
        });
        match (overworked(&Model::new(&p)).map(|c| c.kind), over) {
            (None, None) => none += 1,
            (Some(ClashKind::Hands { cooks, asked, there, dishes }), Some(over)) => {
                assert_eq!((cooks, asked, there, dishes), over, "round {round}");
                some += 1;
            }
            other => panic!("round {round}: {other:?}"),
        }
    }
    assert!(some > 40 && none > 40, "{some} and {none}");
}
