//! The best minutes of an order: nothing that stands gains by moving a minute, alone or with others.

use super::super::insert::Inserter;
use super::super::model::Model;
use super::super::{price, put_off, shown, timing};
use super::{a_minute_away, judged, later, open_starts, some, whole};
use crate::plan::judge::judge;
use crate::plan::problem::{Problem, Schedule};

/// The least cost of a schedule with any of its open tasks a minute earlier or later together.
fn beside(problem: &Problem, schedule: &Schedule) -> Option<i64> {
    let all = a_minute_away(problem, schedule);
    all.filter_map(|moved| judge(problem, &moved).ok()).map(|cost| cost.total()).min()
}

#[test]
fn no_minute_earlier_or_later_is_cheaper() {
    let (mut timed, mut better, mut left, mut lost) = (0, 0, 0, 0);
    for seed in 1..=400 {
        let mut problem = later(&some(seed), [0, 700][seed as usize % 2]);
        // A link that breaks costs once: by the minute it is only near that.
        problem.links.clear();
        let m = Model::new(&problem);
        let Some(state) = whole(&m, seed) else { continue };
        let mut inserter = Inserter::default();
        let Some(best) = timing::best(&m, &state.schedule()) else {
            lost += 1;
            continue;
        };
        let told = shown::polish(&m, &mut inserter, &state);
        let same = best == state.schedule().start;
        if let Some(told) = &told {
            assert!(price::rank(told) < price::rank(&state) && !same, "seed {seed}");
            better += 1;
        }
        let told = told.unwrap_or(state);
        let cost = judged(&problem, &told).expect("it keeps every rule");
        timed += 1;
        left += i32::from(beside(&problem, &m.outward(&told.schedule())) < Some(cost));
    }
    println!(
        "{timed} timed, {better} of them better for it, {left} could be better still, {lost} lost"
    );
    assert!(timed > 100 && better > 5 && lost == 0, "{timed} {better} {lost}");
    assert!(left * 100 <= timed * 13, "{left} of {timed}");
}

/// A schedule that fits no more because something may begin only later: what must be is later, in its order, and
/// nothing is put off that need not be.
#[test]
fn what_must_be_is_put_off() {
    let (mut asked, mut kept, mut same, mut moves, mut cheaper) = (0, 0, 0, 0, 0);
    for seed in 1..=300 {
        let mut problem = later(&some(seed), [0, 700][seed as usize % 2]);
        let m = Model::new(&problem);
        let Some(state) = whole(&m, seed) else { continue };
        let warm = m.outward(&state.schedule());
        problem.anchors.clear();
        let open = open_starts(&problem, &warm);
        let (t, at) = open[seed as usize / 5 % open.len()];
        let by = (seed / 2 % 3) as i32;
        problem.tasks[t].earliest = at + by;
        asked += 1;
        let Some(off) = put_off(&problem, &warm) else { continue };
        kept += 1;
        let cost = |s: &Schedule| judge(&problem, s).expect("it keeps every rule").total();
        assert!(cost(&off.cheapest) <= cost(&off.least), "seed {seed}");
        cheaper += i32::from(cost(&off.cheapest) < cost(&off.least));
        assert!(off.least.start[t] >= at + by, "seed {seed}");
        if let Ok(now) = judge(&problem, &warm) {
            assert_eq!(off.least.start, warm.start, "seed {seed}: it fits as it is");
            assert!(cost(&off.cheapest) <= now.total(), "seed {seed}");
            same += 1;
        }
        for &(t, at) in &open {
            moves += off.least.start[t] - at;
            assert!(off.least.start[t] >= at, "seed {seed}: nothing is earlier");
        }
    }
    println!(
        "{kept} of {asked} kept, {same} as they were, {moves} minutes, {cheaper} cheaper otherwise"
    );
    assert!(kept * 100 >= asked * 76 && moves <= 110 && cheaper >= 9, "{kept} of {asked}");
}
