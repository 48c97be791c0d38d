//! Which few ways out are shown, which plans do what was settled, and the least figure that will do.

use super::super::tests::{ask, salads};
use super::*;
use crate::kitchen::HoldClass;
use crate::plan::planner::plan_ahead;
use crate::plan::{Begun, Block, Held, HoldBlock, ServiceLine, StepKey, sample};

const NEVER: &(dyn Fn() -> bool + Sync) = &|| false;

fn key(dish: usize, step: usize) -> StepKey {
    StepKey { dish, step, load: 0 }
}

fn block(key: StepKey, way: usize, start: Minute, begun: bool) -> Block {
    Block { way, begun, ..sample::block(key, "board", (start, start + 10)) }
}

fn way_out(price: i64, change: Change, loss: Loss) -> WayOut {
    WayOut {
        changes: vec![change],
        words: String::new(),
        plan: Arc::new(Plan::default()),
        figures: Figures::default(),
        loss,
        price,
    }
}

#[test]
fn the_cheapest_five_are_shown_two_of_a_kind_and_none_that_loses_more() {
    let servings = |servings| Loss { servings, ..Loss::default() };
    let moved = |moved| Loss { moved, ..Loss::default() };
    let drop = |dish| Change::Drop { dish };
    let later = |to| Change::ServiceAt { service: 0, to };
    let way = |way| Change::Way { dish: 0, step: 0, way };
    let place = |hold| Change::Place { dish: 0, hold };
    let settled = Loss { settled: 1, ..Loss::default() };
    let all = [
        way_out(60, place(0), settled),
        way_out(10, drop(0), servings(6)),
        way_out(20, drop(1), servings(6)),
        // The third of its kind; the same again; more minutes than a cheaper one.
        way_out(25, drop(2), servings(6)),
        way_out(30, later(1), moved(9)),
        way_out(35, later(1), moved(9)),
        way_out(40, later(2), moved(10)),
        way_out(50, way(1), settled),
        // The sixth.
        way_out(70, place(1), settled),
    ];
    let prices = |outs: &[WayOut]| outs.iter().map(|o| o.price).collect::<Vec<_>>();
    assert_eq!(prices(&ranked(&all)), [10, 20, 30, 50, 60]);
    // With one less before it the last is shown.
    let less: Vec<WayOut> = all.iter().filter(|o| o.price != 50).cloned().collect();
    assert_eq!(prices(&ranked(&less)), [10, 20, 30, 60, 70]);
    assert_eq!(prices(&ranked(&all[6..7])), [40]);
    // What loses less of one thing and more of another is another way out.
    let other = Loss { moved: 5, servings: 1, ..Loss::default() };
    let all = [way_out(10, later(1), moved(9)), way_out(20, later(2), other)];
    assert_eq!(ranked(&all).len(), 2);
}

#[test]
fn a_plan_does_what_was_settled_or_is_none() {
    let hold = |dish, hold| HoldBlock {
        dish,
        hold,
        class: HoldClass::Room,
        station: String::new(),
        slots: Vec::new(),
        from: 0,
        to: 9,
        setting_c: None,
    };
    let plan = Plan {
        blocks: vec![block(key(0, 1), 1, 100, false), block(key(1, 1), 0, 120, true)],
        holds: vec![hold(0, 1), hold(1, 0)],
        ..Plan::default()
    };
    let way = |dish, way| obeyed(&plan, &[Change::Way { dish, step: 1, way }]);
    assert!(way(0, 1) && !way(0, 0) && way(1, 0) && !way(1, 1) && way(7, 7));
    let place = |dish, hold| obeyed(&plan, &[Change::Place { dish, hold }]);
    assert!(place(0, 1) && !place(0, 0) && place(1, 0) && !place(1, 1) && place(7, 7));
    let both = |second| {
        let first = Change::Way { dish: 0, step: 1, way: 1 };
        obeyed(&plan, &[first, Change::Way { dish: 1, step: 1, way: second }])
    };
    assert!(needs_its_place(&plan, &[Change::Place { dish: 1, hold: 0 }]));
    assert!(!needs_its_place(&plan, &[Change::Place { dish: 7, hold: 7 }]));
    assert!(both(0) && !both(1) && obeyed(&plan, &[]));
    assert!(obeyed(&plan, &[Change::Drop { dish: 0 }]));
    // A pin is kept to the minute; what has begun stands where it stands.
    let pinned = |key, at| {
        let pins = [(key, at)].into();
        pins_kept(&plan, &Situation { pins, ..Situation::default() })
    };
    assert!(pinned(key(0, 1), 100) && !pinned(key(0, 1), 101) && pinned(key(1, 1), 7));
    assert!(pinned(key(7, 7), 7));
}

#[test]
fn the_latest_dish_is_let_go_first_and_none_that_is_on_time() {
    let line = |dishes: &[(usize, Minute)]| {
        let dishes = dishes.iter().map(|&(dish, by)| (dish, 90 + by, 100 + by)).collect();
        ServiceLine { service: 0, due: 100, dishes }
    };
    let situation = Situation { served: [8].into(), ..Situation::default() };
    let of = |services| latest(&Plan { services, made_for: 90, ..Plan::default() }, &situation);
    assert_eq!(of(vec![line(&[(0, 3), (1, 9)]), line(&[(2, 5)])]), Some(1));
    assert_eq!(of(vec![line(&[(0, 0), (1, -9)])]), None);
    assert_eq!(of(vec![line(&[(3, 1), (4, 0)])]), Some(3));
    // Ready when the plan is made, or served: that is no sooner without it.
    let ready = ServiceLine { service: 0, due: 100, dishes: vec![(3, 90, 103), (8, 120, 120)] };
    assert_eq!(of(vec![ready]), None);
    let clash = |demands| dish_of(&Clash { demands, proven: true });
    assert_eq!(clash(vec![Demand::Pans(1), Demand::Dish(4), Demand::Dish(2)]), Some(4));
    assert_eq!(clash(vec![Demand::Service(1)]), None);
}

/// Ten minutes are missing (see the tests of the ways out): the supper ten minutes later does, and nothing less.
#[test]
fn the_least_figure_is_found_from_wherever_it_is_looked_for() {
    let evening = salads(|_, _| ());
    let situation = Situation::default();
    let ask = ask(&evening, &situation, 20);
    let finder = Finder { ask, near: None };
    let due = evening.service_minute(0);
    for (least, likely, most) in [
        (1, 1, 240),
        (1, 8, 10),
        (1, 300, 12),
        (10, 10, 10),
        (10, 1, 11),
        (11, 11, 11),
        (13, 0, 240),
        (1, 1, 9),
        (9, 9, 9),
        (2, 1, 1),
    ] {
        let by = |by| vec![Change::ServiceAt { service: 0, to: due + by }];
        let found = finder.halve(least, likely, most, by).map(|f| f.0);
        let expected = Some(least.max(10)).filter(|by| *by <= most);
        assert_eq!(found, expected, "{least} {likely} {most}");
    }
}

/// Salad a is wanted at 18:30 and b at 19:00, half an hour of one cook's hands each, and it is 18:00. The plan on the screen
/// has b first: a would be half an hour late, however it is followed. Another order is the way out, and no change; a
/// plan that is on time is none to be left.
#[test]
fn a_shown_plan_that_misses_what_could_be_met_is_planned_anew() {
    let evening = salads(|p, _| {
        p["services"][0]["at"] = serde_json::json!("18:30");
        let late = serde_json::json!({"id": "late", "title": "Late", "at": "19:00"});
        p["services"].as_array_mut().expect("a list").push(late);
        p["dishes"][1]["service"] = serde_json::json!("late");
    });
    let ahead = Situation::default();
    let planning = Planning::new(&evening, &ahead).expect("a problem");
    let budget = Budget { seed: 1, rounds: 20, stop: NEVER };
    let (plan, _) = planning.search(None, &budget).expect("a plan");
    assert_eq!(plan.cost.late, 0);
    let ways = |plan: Plan| {
        let previous = Some(Arc::new(plan));
        let situation = Situation { now: Some(18 * 60), previous, ..Situation::default() };
        let ask = ask(&evening, &situation, 20);
        (ways_out(&ask, &mut |_| ()), goes_on(&ask))
    };
    assert_eq!(ways(plan.clone()), (None, true));
    let mut turned = plan;
    for block in &mut turned.blocks {
        let by = if block.key.dish == 0 { 30 } else { -30 };
        (block.start, block.end) = (block.start + by, block.end + by);
    }
    turned.blocks.reverse();
    let (out, goes_on) = ways(turned);
    assert!(!goes_on);
    let out = out.expect("a way out");
    assert_eq!((out.len(), out[0].changes.len(), out[0].figures.late), (1, 0, 0));
}

/// The supper at 19:00, all of it done as planned but the dip's dressing, at 19:02; it is 19:03
/// and nothing is served yet.
fn dip_ready_late(change: impl FnOnce(&mut Situation, &Plan)) -> (Evening, Situation) {
    let evening = sample::evening();
    let budget = Budget { seed: 1, rounds: 60, stop: NEVER };
    let plan = plan_ahead(&evening, &budget, &mut |_| ()).expect("a plan");
    let due = evening.service_minute(0);
    let mut situation = Situation { now: Some(due + 3), ..Situation::default() };
    for b in &plan.blocks {
        let late = (b.key.dish, b.key.step) == (2, 1);
        let (start, end) = if late { (due - 2, due + 2) } else { (b.start, b.end) };
        let (way, station) = (b.way, b.station.clone());
        situation.begun.insert(b.key, Begun::Done { start, end, way, station, left_out: false });
    }
    for h in plan.holds.iter().filter(|h| h.dish != 2) {
        let named = h.hold < evening.sheets[h.dish].recipe.holds.len();
        let hold = Some(h.hold).filter(|_| named);
        let station = Some(h.station.clone()).filter(|s| !s.is_empty());
        situation.held.insert(h.dish, Held { hold, since: h.from, station });
    }
    change(&mut situation, &plan);
    situation.previous = Some(Arc::new(plan));
    (evening, situation)
}

#[test]
fn what_was_ready_late_is_a_fact_and_no_dish_to_leave_out() {
    // The last chips run until 19:10.
    let last = StepKey { dish: 1, step: 1, load: 2 };
    let (evening, situation) = dip_ready_late(|s, plan| {
        let b = plan.blocks.iter().find(|b| b.key == last).expect("a load");
        let (start, end, cook) = (b.start, 19 * 60 + 10, b.cook.clone());
        let (way, station, setting_c) = (b.way, b.station.clone(), None);
        s.begun.insert(last, Begun::Running { start, end, way, station, cook, setting_c });
        s.held.remove(&1);
    });
    let mut all = Vec::new();
    let outs = ways_out(&ask(&evening, &situation, 20), &mut |news| {
        if let News::Out(out) = news {
            all.push(out.words);
        }
    });
    assert!(!outs.expect("the chips are late").is_empty());
    assert!(all.iter().all(|words| !words.contains("Leave out")), "{all:?}");
    // With nothing else late nothing clashes: what is missed lies behind.
    let (evening, situation) = dip_ready_late(|_, _| ());
    let mut told = Vec::new();
    assert_eq!(ways_out(&ask(&evening, &situation, 20), &mut |news| told.push(news)), None);
    let [News::Best(Ok(best)), News::Clash(clash, _)] = told.as_slice() else { panic!("{told:?}") };
    assert_eq!((best.late, clash.demands.len(), clash.proven), (2, 0, true));
}
