//! What is counted, against the same evenings counted by hand.

use super::super::jobs::{Job, Stage};
use super::super::net::{Arc as Edge, DishLine};
use super::super::shared::Factor;
use super::super::spread::Spread;
use super::super::tests::{after, job};
use super::*;
use crate::plan::StepKey;

fn net(jobs: Vec<Job>, edges: &[(usize, Edge)], dishes: Vec<DishLine>, due: i32) -> Net {
    let (mut arcs, mut waits_for) = (vec![Vec::new(); jobs.len()], vec![0; jobs.len()]);
    for &(from, edge) in edges {
        arcs[from].push(edge);
        waits_for[edge.to] += 1;
    }
    let (factors, hours) = (vec![Factor::default()], vec![vec![(0, Seconds::MAX)]]);
    let services = vec![Line { service: 0, due, dishes }];
    Net { jobs, arcs, waits_for, factors, hours, services }
}

/// Four loads one after the other: of step 0, two of step 1, one of step 2; planned at 0, 40, 60 and 80, due at 90. Beside
/// them a dish that was ready long ago.
#[test]
fn what_made_a_service_late_is_what_ran_over_on_the_way_to_it() {
    let of = |n: usize, step: usize, at: i32, spread: Spread| {
        let key = StepKey { dish: 1, step, load: n as u32 };
        Job { key, spread, ..job(n, at, 0.0) }
    };
    let jobs = vec![
        of(0, 0, 0, Spread::new(30.0, 40.0, 55.0)),
        of(1, 1, 40, Spread::new(15.0, 20.0, 30.0)),
        of(2, 1, 60, Spread::new(15.0, 20.0, 22.0)),
        of(3, 2, 80, Spread::new(9.0, 10.0, 12.0)),
    ];
    let dishes = vec![
        DishLine { dish: 0, last: vec![0], known: Some(-600) },
        DishLine { dish: 1, last: vec![3], known: None },
    ];
    let edges = [0, 1, 2].map(|n| (n, after(n + 1, 0)));
    let net = net(jobs, &edges, dishes, 90);
    let (mut play, mut tally) = (Play::new(&net), Tally::new(&net.services[0]));
    let (mut on_time, mut late) = (0, Vec::new());
    let mut blame: BTreeMap<usize, (u32, i64)> = BTreeMap::new();
    for n in 0..400 {
        play.evening(3, n);
        tally.count(&net, &play, &net.services[0]);
        late.push(play.end[3] - 90 * 60);
        if play.end[3] - 90 * 60 < 180 {
            on_time += 1;
            continue;
        }
        // Back from the last, as long as each began later than planned.
        let mut over = [0_i64; 3];
        for j in (0..4).rev() {
            let own = net.jobs[j].spread.likely() * 60.0;
            let by = f64::from(play.took[j]) - own;
            over[net.jobs[j].key.step] += if by >= 60.0 { by as i64 } else { 0 };
            if play.end[j] - play.took[j] == net.jobs[j].floor {
                break;
            }
        }
        for step in (0..3).filter(|&s| over[s] > 0) {
            let of = blame.entry(step).or_default();
            *of = (of.0 + 1, of.1 + over[step]);
        }
    }
    assert!((50..350).contains(&on_time) && blame.len() == 3, "{on_time} {blame:?}");
    assert_eq!((tally.on_time, tally.evenings), (on_time, 400));
    assert_eq!(tally.late, [vec![-600 - 90 * 60; 400], late]);
    let mut expected: Vec<(usize, (u32, i64))> = blame.into_iter().collect();
    expected.sort_by_key(|&(step, (_, sum))| (-sum, step));
    let threat = |(step, (evenings, sum)): (usize, (u32, i64))| {
        let over_minutes = i32::try_from(sum / i64::from(evenings) / 60).expect("minutes");
        Threat { dish: 1, step, evenings, over_minutes }
    };
    assert_eq!(tally.threats(), expected.into_iter().map(threat).collect::<Vec<_>>());
}

/// Done in 50 minutes where 40 were likely, it made its service late by ten: only it is to blame, and what merely began
/// before the other could is not.
#[test]
fn what_is_done_already_is_blamed_for_what_it_took() {
    let mut done = job(0, 5, 40.0);
    done.stage = Stage::Done(55 * 60);
    let dishes = vec![DishLine { dish: 0, last: vec![0], known: None }];
    let net = net(vec![done], &[], dishes, 45);
    let (mut play, mut tally) = (Play::new(&net), Tally::new(&net.services[0]));
    for n in 0..2 {
        play.evening(3, n);
        tally.count(&net, &play, &net.services[0]);
    }
    assert_eq!(tally.threats(), [Threat { dish: 0, step: 0, evenings: 2, over_minutes: 10 }]);
    assert_eq!((tally.on_time, &tally.late), (0, &vec![vec![600; 2]]));
}
