//! Single rules of who waits for whom, by blocks made by hand: knife work for another dish, a pan kept until its dish is
//! served, hours, and what of a service is known already.

use super::*;
use crate::kitchen::evening::WaitsFor;
use crate::kitchen::party::Stretch;
use crate::kitchen::{HoldClass, TimeOfDay};
use crate::plan::sample::{self, evening};
use crate::plan::{Begun, Block, HoldBlock, PanBlock, ServiceLine};

fn block(dish: usize, step: usize, load: u32, start: Minute, end: Minute) -> Block {
    let slots = Vec::new();
    Block { slots, ..sample::block(StepKey { dish, step, load }, "", (start, end)) }
}

fn running(keys: &[StepKey]) -> Situation {
    let run = || Begun::Running {
        start: 0,
        end: 20,
        way: 0,
        station: String::new(),
        cook: None,
        setting_c: None,
    };
    Situation {
        now: Some(5),
        begun: keys.iter().map(|k| (*k, run())).collect(),
        ..Situation::default()
    }
}

/// The chips (two loads of "cut") wait for what is cut among the steps of the dip.
#[test]
fn a_step_waits_for_what_is_cut_for_it_elsewhere() {
    let mut evening = evening();
    evening.sheets[1].waits_for.push(WaitsFor {
        step: "cut".into(),
        dish: "dip".into(),
        job: "mix".into(),
    });
    let blocks = vec![block(2, 0, 0, 0, 10), block(1, 0, 0, 12, 20), block(1, 0, 1, 20, 30)];
    let plan = Plan { blocks, ..Plan::default() };
    let arcs = |situation: &Situation| Net::new(&evening, situation, &plan).arcs[0].clone();
    let to = |to| [Arc { to, lag: 0, from_end: true }];
    assert_eq!(arcs(&Situation::default()), to(1));
    // The first load has begun: the next one waits.
    assert_eq!(arcs(&running(&[plan.blocks[0].key, plan.blocks[1].key])), to(2));
}

/// The dip (mixed in a bowl, dressed, waiting until 60) and the chips, which are cut in the same bowl after it.
#[test]
fn a_pan_is_free_when_the_dish_that_waits_in_it_is_served() {
    let evening = evening();
    let pan =
        |dish, from, to| PanBlock { cookware: "bowl-a".into(), numbers: vec![0], dish, from, to };
    let arcs = |waits: Option<(usize, Minute)>| {
        let hold = |(dish, to)| HoldBlock {
            dish,
            hold: 0,
            class: HoldClass::Cold,
            station: String::new(),
            slots: Vec::new(),
            from: 44,
            to,
            setting_c: None,
        };
        let plan = Plan {
            blocks: vec![block(2, 0, 0, 0, 6), block(2, 1, 0, 40, 44), block(1, 0, 0, 60, 72)],
            holds: waits.map(hold).into_iter().collect(),
            pans: vec![pan(1, 60, 80), pan(2, 0, 60)],
            ..Plan::default()
        };
        let net = Net::new(&evening, &Situation::default(), &plan);
        [0, 1].map(|from| net.arcs[from].iter().any(|a| a.to == 2))
    };
    assert_eq!(arcs(Some((2, 60))), [true, true]);
    assert_eq!(arcs(Some((2, 50))), [true, false], "it waits elsewhere by then");
    assert_eq!(arcs(Some((0, 60))), [true, false], "another dish waits");
    assert_eq!(arcs(None), [true, false]);
}

#[test]
fn hours_are_in_order_and_a_late_evening_goes_on() {
    let mut evening = evening();
    let at = |hour: i32| TimeOfDay(60 * hour);
    let of = |from, to| Stretch { from: at(from), to: at(to) };
    evening.party.cooks[0].free = vec![of(18, 20), of(15, 16)];
    assert_eq!(hours(&evening), [vec![(54_000, 57_600), (64_800, Seconds::MAX)]]);
}

/// Roast, chips and dip of one service: the roast is served already, nothing of the dip is left to do.
#[test]
fn what_is_served_or_has_nothing_left_is_known() {
    let evening = evening();
    let dishes = vec![(0, 100, 130), (1, 110, 130), (2, 90, 130)];
    let plan = Plan {
        blocks: vec![block(0, 2, 0, 80, 95), block(1, 1, 0, 100, 110)],
        services: vec![ServiceLine { service: 0, due: 120, dishes }],
        ..Plan::default()
    };
    let mut situation = Situation::default();
    situation.served.insert(0);
    let lines = Net::new(&evening, &situation, &plan).services;
    let known: Vec<_> = lines[0].dishes.iter().map(|d| (d.dish, d.last.len(), d.known)).collect();
    assert_eq!(known, [(0, 1, Some(6_000)), (1, 1, None), (2, 0, Some(5_400))]);
}
