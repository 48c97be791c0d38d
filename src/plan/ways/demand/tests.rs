//! What a demand let go changes in a problem, and nothing else.

use super::super::tests::salads;
use super::*;
use crate::plan::build::{ModeAt, StepAt, TaskAt};
use crate::plan::problem::{Dish, Fixed, Hold, Mode, Oven, OvenUse, Resource, Step, Task};
use crate::plan::sample::evening;

const NEVER: &(dyn Fn() -> bool + Sync) = &|| false;

/// Two ovens, two cooks, a pan; the first oven is the second station's.
fn map() -> Map {
    let at = |stations: &[usize]| StepAt {
        dish: 0,
        step: 0,
        modes: stations.iter().map(|&s| ModeAt { way: 0, station: Some(s) }).collect(),
    };
    let key = StepKey::default();
    let task = |shadow| TaskAt { key, shadow };
    Map {
        stations: 2,
        cooks: 2,
        cookware: 1,
        ovens: vec![1, 0],
        // In the second station; there or in the first one.
        steps: vec![at(&[1]), at(&[1, 0])],
        tasks: vec![task(false), task(true), task(false), task(false)],
        dishes: vec![0, 2],
        ..Map::default()
    }
}

fn problem() -> Problem {
    let resource = |capacity, closed: &[(i32, i32)]| Resource { capacity, closed: closed.to_vec() };
    let oven = |oven| Some(OvenUse { oven, least_c: 180, most_c: 200 });
    let mode = |of| Mode { oven: oven(of), ..Mode::default() };
    let hold = |of| Hold { oven: oven(of), setting_c: Some(70), ..Hold::default() };
    let fixed = Some(Fixed { start: 0, end: 9, cook: None, setting_c: Some(180) });
    let task = |step, fixed, earliest| Task { step, fixed, earliest, ..Task::default() };
    let dish = |holds| Dish { late_price: 70, holds, ..Dish::default() };
    let shape = Oven { start_c: 20, up_c_per_min: 9, down_c_per_min: 9 };
    Problem {
        start: 1000,
        end: 2000,
        resources: vec![
            resource(2, &[]),
            resource(3, &[]),
            resource(100, &[(1000, 1030), (1100, 1200), (1900, 2000)]),
            resource(100, &[(1000, 1060), (1500, 1600)]),
            resource(1, &[]),
        ],
        ovens: vec![shape; 2],
        steps: vec![
            Step { modes: vec![mode(0)], ..Step::default() },
            Step { modes: vec![mode(0), mode(1)], ..Step::default() },
        ],
        tasks: vec![
            task(0, fixed, 1000),
            task(0, fixed, 1000),
            task(1, fixed, 1000),
            task(1, None, 1000),
        ],
        dishes: vec![dish(vec![hold(0), hold(1)]), dish(Vec::new())],
        ..Problem::default()
    }
}

fn let_go_of(demand: Demand) -> Problem {
    let mut problem = problem();
    let_go(&mut problem, &map(), &evening(), demand);
    problem
}

#[test]
fn of_pans_places_and_hands_there_is_plenty() {
    for (demand, resource) in [(Demand::Pans(0), 4), (Demand::Hands(1), 3), (Demand::Station(0), 0)]
    {
        let found = let_go_of(demand);
        let mut expected = problem();
        expected.resources[resource].capacity += PLENTY;
        if demand == Demand::Station(0) {
            // The second oven of the problem: one mode and one hold are in it, and of no step every mode.
            expected.steps[1].modes[1].oven = None;
            (expected.dishes[0].holds[1].oven, expected.dishes[0].holds[1].setting_c) =
                (None, None);
        }
        assert_eq!(found, expected, "{demand:?}");
    }
}

/// What runs there, and could nowhere else, has no setting any more; a shadow has the one it stands for.
#[test]
fn a_station_let_go_has_every_setting_at_once() {
    let mut expected = problem();
    expected.resources[1].capacity += PLENTY;
    expected.steps[0].modes[0].oven = None;
    expected.steps[1].modes[0].oven = None;
    (expected.dishes[0].holds[0].oven, expected.dishes[0].holds[0].setting_c) = (None, None);
    if let Some(fixed) = &mut expected.tasks[0].fixed {
        fixed.setting_c = None;
    }
    assert_eq!(let_go_of(Demand::Station(1)), expected);
}

/// A dish of the service costs nothing late, and the evening may last twelve hours longer; the cook who had gone by its end
/// does not come back.
#[test]
fn a_service_let_go_may_be_as_late_as_it_likes() {
    let mut expected = problem();
    expected.end = 2720;
    expected.resources[2].closed[2] = (1900, 2720);
    expected.dishes.iter_mut().for_each(|d| d.late_price = 0);
    assert_eq!(let_go_of(Demand::Service(0)), expected);
    // Another service is as dear as before.
    expected.dishes.iter_mut().for_each(|d| d.late_price = 70);
    assert_eq!(let_go_of(Demand::Service(1)), expected);
    for demand in [Demand::Dish(0), Demand::Pin(StepKey::default()), Demand::Hours(0)] {
        assert_eq!(let_go_of(demand), problem());
    }
}

#[test]
fn hours_let_go_begin_twelve_hours_earlier_for_those_cooks_alone() {
    let without = |gone: &[usize], ahead| {
        let mut problem = problem();
        problem.tasks[3].earliest = 1000;
        let_hours_go(&mut problem, &map(), &gone.iter().copied().collect(), ahead);
        problem
    };
    assert_eq!(without(&[], true), problem());
    let mut expected = problem();
    expected.start = 280;
    // What has begun stays, and what had its own earliest minute keeps it.
    expected.tasks[3].earliest = 280;
    expected.resources[2].closed = vec![(280, 1030), (1100, 1200), (1900, 2000)];
    expected.resources[3].closed = Vec::new();
    assert_eq!(without(&[1], true), expected);
    // While the evening runs nothing begins before now.
    let mut expected = problem();
    expected.resources[3].closed = Vec::new();
    assert_eq!(without(&[1], false), expected);
    let mut own = problem();
    own.tasks[3].earliest = 1200;
    let_hours_go(&mut own, &map(), &[0].into(), true);
    assert_eq!(own.tasks[3].earliest, 1200);
}

#[test]
fn stretches_that_touch_or_meet_become_one() {
    let merged = |closed: &[(i32, i32)]| {
        let mut closed = closed.to_vec();
        merge(&mut closed);
        closed
    };
    assert_eq!(merged(&[(0, 5), (5, 9), (20, 30)]), [(0, 9), (20, 30)]);
    assert_eq!(merged(&[(0, 9), (3, 5), (10, 12)]), [(0, 9), (10, 12)]);
    assert_eq!(merged(&[]), []);
}

/// All that can be let go of a small supper, and in which groups: by kind, and a service with its dishes.
#[test]
fn demands_of_what_is_left_are_let_go_by_kind_and_by_service() {
    let evening = evening();
    let pin = StepKey { dish: 2, step: 0, load: 0 };
    let situation =
        Situation { dropped: [0].into(), pins: [(pin, 1000)].into(), ..Situation::default() };
    let all = demands(&evening, &situation);
    let mut expected: Vec<Demand> = (0..5).map(Demand::Pans).collect();
    expected.extend((0..5).map(Demand::Station));
    expected.extend([Demand::Hands(0), Demand::Pin(pin), Demand::Dish(1), Demand::Dish(2)]);
    expected.extend([Demand::Hours(0), Demand::Service(0)]);
    assert_eq!(all, expected);
    let served = Situation { served: [1].into(), ..situation.clone() };
    assert!(!demands(&evening, &served).contains(&Demand::Dish(1)));
    let question =
        Question { evening: &evening, situation: &situation, near: None, seed: 1, stop: NEVER };
    let groups = groups(&question, &all);
    let service = vec![Demand::Dish(1), Demand::Dish(2), Demand::Service(0)];
    let (pans, stations) = (expected[..5].to_vec(), expected[5..10].to_vec());
    let known = [pans, vec![Demand::Pin(pin)], stations, vec![Demand::Hands(0)], service];
    assert_eq!(groups, known);
}

/// That a clash is certain is said where it was proved, and nowhere else; each part of it let go makes the rest fit.
#[test]
fn a_clash_is_said_to_be_certain_where_it_is_proved() {
    let evening = salads(|_, _| ());
    let situation = Situation::default();
    let question =
        Question { evening: &evening, situation: &situation, near: None, seed: 1, stop: NEVER };
    let clash = smallest(&question).expect("a clash");
    let all = demands(&evening, &situation);
    let kept: BTreeSet<Demand> = clash.demands.iter().copied().collect();
    assert_eq!(clash.proven, without(&question, &all, &kept) == Look::Clashes);
    for demand in &clash.demands {
        let less = kept.iter().copied().filter(|d| d != demand).collect();
        assert!(without(&question, &all, &less).works(), "{demand:?}");
    }
}
