//! Explanations: an evening worked out with pencil and paper, and rules that
//! every explanation of every plan must keep.

use super::chain::{Chain, End, chain};
use super::room::{MOST_MINUTES, price, room};
use super::stand::{Side, Stand};
use super::tight::{Tight, tights};
use super::{Why, find, late, push, text, why};
use crate::kitchen::Evening;
use crate::plan::compose::{Solved, compose};
use crate::plan::judge::judge;
use crate::plan::planner::{Budget, Planning, plan_ahead};
use crate::plan::sample::{evening, evening_with};
use crate::plan::ways::Figures;
use crate::plan::{Begun, Plan, Problem, Proof, Schedule, Situation, StepKey};
use std::collections::BTreeMap;
use std::sync::Arc;

const SIDES: [Side; 2] = [Side::Earlier, Side::Later];
const NEVER: fn() -> bool = || false;

fn at(hour: i32, minute: i32) -> i32 {
    hour * 60 + minute
}

/// The small supper (roast, chips in three loads, dip), set by hand: dish,
/// step, load and start. One cook, there until 17:00 and again from 17:10.
pub(super) fn by_hand(evening: &Evening) -> Plan {
    let starts = [
        ((0, 0, 0), at(17, 20)), // season, 10 min
        ((0, 1, 0), at(17, 30)), // roast, 60 min, hands 2 + 1
        ((0, 2, 0), at(18, 30)), // rest, 10 min; on the counter from 18:40 to 19:00
        ((1, 0, 0), at(17, 40)), // cut, 12 min
        ((1, 1, 0), at(18, 33)), // fry, 9 min each, hands 1 + 1
        ((1, 1, 1), at(18, 42)),
        ((1, 1, 2), at(18, 51)),
        ((2, 0, 0), at(17, 10)), // mix, 6 min
        ((2, 1, 0), at(18, 43)), // dress, 4 min; in the fridge from 18:47 to 19:00
    ];
    let situation = Situation::default();
    let planning = Planning::new(evening, &situation).expect("a problem");
    let (problem, map) = (planning.problem(), planning.map());
    let mut schedule = planning.schedule_of(&Plan::default());
    for ((dish, step, load), start) in starts {
        let key = StepKey { dish, step, load };
        let task = map.tasks.iter().position(|t| t.key == key).expect("a load");
        schedule.start[task] = start;
    }
    for (dish, hold) in [(0, 1), (1, 0), (2, 0)] {
        let at = map.dishes.iter().position(|&d| d == dish).expect("a dish");
        let chosen = map.holds[at].iter().position(|h| h.hold == hold).expect("a hold");
        schedule.hold[at] = Some(chosen);
    }
    let roast = map.tasks.iter().position(|t| (t.key.dish, t.key.step) == (0, 1)).expect("roast");
    schedule.setting_c[roast] = Some(180);
    let cost = judge(problem, &schedule).expect("it can be done");
    let solved = Solved { schedule: &schedule, cost, bound: 0, proof: Proof::Stopped };
    compose(evening, &situation, problem, map, solved)
}

fn explain(evening: &Evening, plan: &Plan, name: &str) -> Why {
    let situation = Situation::default();
    let planning = Planning::new(evening, &situation).expect("a problem");
    let key = find(evening, plan, name).expect("a step");
    why(&planning, plan, key, &NEVER).expect("a reason")
}

fn said(reasons: &super::Reasons) -> Vec<&str> {
    reasons.chain.iter().map(|s| s.text.as_str()).collect()
}

/// Each of these was worked out by hand from the recipes and the starts above.
#[test]
fn a_supper_by_hand_has_the_reasons_that_a_pencil_finds() {
    let evening = evening();
    let plan = by_hand(&evening);
    let mix = explain(&evening, &plan, "mix");
    assert_eq!(said(&mix.earlier), ["Kim is there from 17:10 on."]);
    assert_eq!(mix.earlier.room.minutes, 0);
    // Alone until the seasoning begins at 17:20; pushing it along until the
    // roast comes out as the first chips go in, at 18:33.
    assert_eq!((mix.later.room.minutes, mix.slip.minutes), (4, 7));
    assert_eq!(mix.slip_until, "then too late for supper at 19:00");

    let dress = explain(&evening, &plan, "dress");
    assert_eq!(
        dress.earlier.chain[0].text,
        "Your hands are full until 18:43: chips (fry, load 2)."
    );

    let second = explain(&evening, &plan, "fry/2");
    assert_eq!(
        said(&second.earlier),
        [
            "Chips (fry, load 1) must be done first, at 18:42.",
            "It and chips (fry, load 1) could be 10 min earlier together, but it makes chips \
             wait 10 min longer past the best, for supper at 19:00.",
        ]
    );
    assert_eq!(
        said(&second.later),
        ["Next is chips (fry, load 3), at 18:51.", "Any later is too late for supper at 19:00."]
    );
    assert_eq!((second.slip.minutes, second.slip.late.is_some()), (0, true));

    let roast = explain(&evening, &plan, "roast/roast");
    assert_eq!(roast.earlier.chain[0].text, "Roast (season) must be done first, at 17:30.");
    assert_eq!(roast.later.chain[0].text, "Next is roast (rest), at 18:30.");
    let rest = explain(&evening, &plan, "rest");
    assert_eq!(rest.later.room.minutes, 5);
    let planning_ahead = Situation::default();
    let planning = Planning::new(&evening, &planning_ahead).expect("a problem");
    let schedule = planning.schedule_of(&plan);
    let stand = Stand { problem: planning.problem(), schedule: &schedule };
    let task = planning.map().tasks.iter().position(|t| t.key == rest.key).expect("a load");
    // The recipe lets the rest begin 5 min after the roast is out, no later.
    let wall = tights(&stand, &[(task, 6)], Side::Later);
    assert!(matches!(wall.as_slice(), [Tight::Wait { .. }]), "{wall:?}");
}

#[test]
fn what_has_happened_is_a_fact() {
    let evening = evening();
    let plan = by_hand(&evening);
    let key = find(&evening, &plan, "roast/roast").expect("a step");
    let then = |by| {
        late::situation_then(&evening, &Situation::default(), &Arc::new(plan.clone()), key, by)
    };
    let running = then(5).expect("a situation");
    assert_eq!(running.now, Some(at(18, 30)));
    let Some(Begun::Running { start, end, .. }) = running.begun.get(&key) else { panic!("runs") };
    assert_eq!((*start, *end), (at(17, 30), at(18, 35)));
    let planning = Planning::new(&evening, &running).expect("a problem");
    let (new, schedule) = planning.first().expect("a plan");
    assert!(judge(planning.problem(), &schedule).is_ok());
    let it = why(&planning, &new, key, &NEVER).expect("a reason");
    assert_eq!(it.fact.as_deref(), Some("It runs since 17:30; the end is expected at 18:35."));
    assert!(it.earlier.chain.is_empty() && it.later.chain.is_empty());
    // What follows the running roast is held up by it, and that is a fact.
    let rest = find(&evening, &new, "rest").expect("a step");
    let rest = why(&planning, &new, rest, &NEVER).expect("a reason");
    let words = said(&rest.earlier).join(" ");
    assert!(words.contains("Roast (roast) must be done first, at 18:35."), "{words}");
    // Of a step that is done nothing is worked out.
    let mut done = running.clone();
    let block = plan.blocks.iter().find(|b| b.key == key).expect("a block");
    let (way, station) = (block.way, block.station.clone());
    done.begun.insert(
        key,
        Begun::Done { start: at(17, 30), end: at(18, 30), way, station, left_out: false },
    );
    assert!(late::situation_then(&evening, &done, &Arc::new(plan), key, 5).is_none());
}

/// What is only planned for the day before is not said to be done; what was done of a dish that is
/// served is.
#[test]
fn what_lies_outside_the_problem_is_told_as_it_is() {
    let eve = evening_with(|party, _, recipes| {
        party["dishes"][2]["day_before"] = serde_json::json!(true);
        recipes[2]["holds"][0]["most_minutes"] = serde_json::json!(2000);
    });
    let ahead = Situation::default();
    let budget = Budget { seed: 5, rounds: 60, stop: &NEVER };
    let plan = plan_ahead(&eve, &budget, &mut |_| ()).expect("a plan");
    let planning = Planning::new(&eve, &ahead).expect("a problem");
    let made = plan.blocks.iter().find(|b| b.start < 0).expect("the day before");
    let it = why(&planning, &plan, made.key, &NEVER).expect("a reason");
    let (from, to) = (eve.face.label(made.start), eve.face.label(made.end));
    assert_eq!(it.fact, Some(format!("It is to be made the day before: {from} to {to}.")));

    let evening = evening();
    let plan = by_hand(&evening);
    let mix = find(&evening, &plan, "dip/mix").expect("a step");
    let dress = find(&evening, &plan, "dress").expect("a step");
    let done = |start, end, left_out| {
        let station = "board".into();
        Begun::Done { start, end, way: 0, station, left_out }
    };
    let mixed = done(at(17, 0), at(17, 7), false);
    let served = Situation {
        now: Some(at(17, 15)),
        begun: [(mix, mixed), (dress, done(at(17, 10), at(17, 10), true))].into(),
        served: [2].into(),
        previous: Some(Arc::new(plan)),
        ..Situation::default()
    };
    let planning = Planning::new(&evening, &served).expect("a problem");
    let (new, _) = planning.first().expect("a plan");
    let fact = |key| why(&planning, &new, key, &NEVER).and_then(|w| w.fact);
    assert_eq!(fact(mix).as_deref(), Some("It is done: 17:00 to 17:07."));
    assert_eq!(fact(dress).as_deref(), Some("It was left out."));
}

/// A roast that begins now in a hot oven: it is the present that keeps it from being earlier.
#[test]
fn a_hot_oven_is_not_in_the_way() {
    let evening = evening();
    let plan = by_hand(&evening);
    let key = |name| find(&evening, &plan, name).expect("a step");
    let (start, end, station) = (at(17, 20), at(17, 30), "board".to_owned());
    let done = Begun::Done { start, end, way: 0, station, left_out: false };
    let situation = Situation {
        now: Some(at(17, 30)),
        begun: [(key("season"), done)].into(),
        oven_c: [("oven".to_owned(), 180)].into(),
        ..Situation::default()
    };
    let planning = Planning::new(&evening, &situation).expect("a problem");
    let schedule = planning.schedule_of(&plan);
    let stand = Stand { problem: planning.problem(), schedule: &schedule };
    let roast = key("roast/roast");
    let roast = planning.map().tasks.iter().position(|t| t.key == roast).expect("a load");
    let found = tights(&stand, &[(roast, -1)], Side::Earlier);
    assert!(found.contains(&Tight::Now), "{found:?}");
    assert!(!found.iter().any(|t| matches!(t, Tight::Heating { .. })), "{found:?}");
}

/// Where a limit is passed then, that is told before all else.
#[test]
fn a_limit_that_is_passed_by_running_late_is_told_first() {
    let evening = evening();
    let plan = Arc::new(by_hand(&evening));
    let mut passed = 0;
    for name in ["fry/1", "fry/2", "dress", "roast/roast"] {
        let key = find(&evening, &plan, name).expect("a step");
        let all = late::all(&evening, &Situation::default(), &plan, key, &NEVER).expect("ahead");
        for late in &all {
            let past = late.plan.as_ref().map(|p| Figures::of(&evening, p).past_limit);
            assert_eq!(late.lines[0].contains(" past "), past == Some(true), "{:?}", late.lines);
            passed += i32::from(past == Some(true));
        }
    }
    assert!(passed > 0);
}

#[test]
fn running_late_is_worked_out_and_the_same_every_time() {
    let evening = evening();
    let plan = Arc::new(by_hand(&evening));
    let key = find(&evening, &plan, "fry/3").expect("a step");
    let ahead = Situation::default();
    let all = late::all(&evening, &ahead, &plan, key, &NEVER).expect("an answer");
    assert_eq!(Some(&all), late::all(&evening, &ahead, &plan, key, &NEVER).as_ref());
    assert_eq!(all.iter().map(|l| l.minutes).collect::<Vec<_>>(), late::MINUTES);
    for late in &all {
        let minutes = late.minutes;
        // The last load is out at 19:00 as planned: so much later is the supper.
        assert_eq!(late.services.len(), 1);
        assert_eq!((late.services[0].due, late.services[0].to), (at(19, 0), at(19, minutes)));
        assert_eq!(late.lines[0], format!("Supper {minutes} min late (19:{minutes:02})"));
    }
    // The first load late by 5: the two after it move, with the supper.
    let key = find(&evening, &plan, "fry/1").expect("a step");
    let all = late::all(&evening, &ahead, &plan, key, &NEVER).expect("an answer");
    // Running less late is never worse than running later.
    let late_cost = |l: &late::Late| l.plan.as_ref().map(|p| p.cost.late);
    assert!(all.is_sorted_by_key(late_cost), "{:?}", all.iter().map(late_cost).collect::<Vec<_>>());
    let late = &all[0];
    let second = late.moves.iter().find(|m| (m.key.dish, m.key.load) == (1, 1)).expect("it moves");
    assert_eq!((second.from, second.to), (at(18, 42), at(18, 47)));
    assert_eq!(late.lines[0], "Supper 5 min late (19:05)");
}

#[test]
fn names_that_are_wrong_or_mean_several_are_answered() {
    let evening = evening();
    let plan = by_hand(&evening);
    let key = |name| find(&evening, &plan, name);
    assert_eq!(key("dip/mix").expect("a step"), StepKey { dish: 2, step: 0, load: 0 });
    assert_eq!(key("chips/fry/3").expect("a step"), StepKey { dish: 1, step: 1, load: 2 });
    let wrong = key("chips/fly").expect_err("no such step");
    assert!(wrong.contains("Did you mean \"chips/fry\"?") && wrong.contains("dip/mix"), "{wrong}");
    let wrong = key("dres").expect_err("no such step");
    assert!(wrong.contains("Did you mean \"dip/dress\"?"), "{wrong}");
    let odd = key("").expect_err("nothing");
    assert!(odd.contains("no step \"\""), "{odd}");
}

#[test]
fn the_text_keeps_to_its_columns() {
    let evening = evening();
    let plan = Arc::new(by_hand(&evening));
    for block in &plan.blocks {
        let planning_situation = Situation::default();
        let planning = Planning::new(&evening, &planning_situation).expect("a problem");
        let it = why(&planning, &plan, block.key, &NEVER).expect("a reason");
        let late = late::all(&evening, &planning_situation, &plan, block.key, &NEVER);
        let late = late.expect("an answer");
        assert_eq!(late.len(), 3);
        let text = text::text(&evening, &it, &late);
        assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    }
}

/// What must be true of every chain: each link is a rule that breaks when its
/// load alone is moved, and who is named is in its way; a price is a dearer
/// schedule; a late service is later.
fn holds(stand: &Stand, task: usize, side: Side, chain: &Chain) {
    let valid = judge(stand.problem, stand.schedule).expect("a valid schedule");
    let all = chain.links.iter().chain(chain.tree.values());
    for link in all {
        let alone = [(link.task, link.by)];
        assert!(tights(stand, &alone, side).contains(&link.tight), "{link:?}");
        if link.tight != Tight::Begun {
            let moved = stand.moved(&alone);
            let faults = judge(stand.problem, &moved).expect_err("a broken rule");
            meets(stand, &moved, link.tight, &faults);
        }
    }
    for tight in &chain.also {
        assert!(chain.links.first().is_some_and(|l| l.task == task && l.tight != *tight));
    }
    let cost = |moves: &[(usize, i32)]| judge(stand.problem, &stand.moved(moves));
    match &chain.end {
        End::Fact => {
            let last = chain.links.last().expect("a fact");
            assert_eq!(last.tight.gives_way(stand, side), None);
        }
        End::Late { moves, dish } => {
            let moved = stand.moved(moves);
            let then = Stand { problem: stand.problem, schedule: &moved };
            assert!(then.serving(*dish).served > stand.serving(*dish).served);
            assert!(cost(moves).is_ok());
        }
        End::Blocked { moves, tight } => assert!(tights(stand, moves, side).contains(tight)),
        End::Price { moves } => {
            assert!(price(&cost(moves).expect("it can be done")) > price(&valid));
        }
        End::Nothing { moves } => {
            assert!(price(&cost(moves).expect("it can be done")) <= price(&valid));
        }
    }
    // A chain goes from one block to the next.
    for pair in chain.links.windows(2) {
        assert_eq!(pair[0].tight.gives_way(stand, side), Some(pair[1].task));
    }
}

/// The rule that is named is among those that the judge finds broken.
fn meets(stand: &Stand, moved: &Schedule, tight: Tight, faults: &[crate::plan::judge::Fault]) {
    use crate::plan::judge::Fault;
    let found = |want: &dyn Fn(&Fault) -> bool| assert!(faults.iter().any(want), "{tight:?}");
    match tight {
        Tight::Wait { lag, .. } => found(&|f| *f == Fault::Lag { lag }),
        Tight::Taken { resource, by, from, to } => {
            found(&|f| matches!(f, Fault::Resource { resource: r, .. } if *r == resource));
            let then = Stand { problem: stand.problem, schedule: moved };
            let named = then
                .claims()
                .into_iter()
                .find(|c| (c.who, c.resource, c.from, c.to) == (by, resource, from, to));
            assert!(named.is_some(), "{tight:?}");
        }
        Tight::Away { resource, .. } => {
            found(&|f| matches!(f, Fault::Resource { resource: r, .. } if *r == resource));
        }
        Tight::Oven { oven, .. } | Tight::Heating { oven, .. } => {
            found(&|f| matches!(f, Fault::Oven { oven: o, .. } if *o == oven));
        }
        Tight::Hold { dish, .. } | Tight::Straight { dish } | Tight::Limit { dish, .. } => {
            found(&|f| *f == Fault::Hold { dish });
        }
        Tight::Now | Tight::Pin | Tight::Horizon => {
            found(&|f| matches!(f, Fault::Window { .. }));
        }
        Tight::Begun => {}
    }
}

/// The room of a block, by trying every minute.
fn room_by_trying(stand: &Stand, task: usize, side: Side) -> (i32, i32) {
    let base = price(&judge(stand.problem, stand.schedule).expect("valid"));
    let costs: Vec<Option<i64>> = (1..=MOST_MINUTES)
        .map(|m| {
            let moved = stand.moved(&[(task, side.by(m))]);
            let then = Stand { problem: stand.problem, schedule: &moved };
            let in_time = (0..stand.problem.dishes.len())
                .all(|d| then.serving(d).served <= stand.serving(d).served);
            judge(stand.problem, &moved).ok().filter(|_| in_time).map(|c| price(&c))
        })
        .collect();
    let minutes = costs.iter().take_while(|c| c.is_some()).count();
    let free = costs.iter().take_while(|c| c.is_some_and(|c| c <= base)).count();
    (minutes as i32, free as i32)
}

fn every_block(problem: &Problem, schedule: &Schedule) {
    let stand = Stand { problem, schedule };
    for task in (0..problem.tasks.len()).filter(|&t| stand.active(t)) {
        for side in SIDES {
            let r = room(&stand, task, side, &NEVER).expect("valid");
            let c = chain(&stand, task, side, r).expect("valid");
            holds(&stand, task, side, &c);
            if !stand.begun(task) {
                assert_eq!((r.minutes, r.free), room_by_trying(&stand, task, side));
                assert_eq!(r.more, r.minutes == MOST_MINUTES);
                // A minute further a rule breaks, or a dish is later.
                let first = [(task, side.by(r.minutes + 1))];
                let wall = !tights(&stand, &first, side).is_empty();
                let late = super::room::late(&stand, &stand.moved(&first)).is_some();
                assert_eq!(wall || late, !r.more);
            }
        }
        let slip = push::slip(&stand, task, &NEVER).expect("valid");
        let net = push::Net::new(&stand);
        for by in (1..=slip.minutes).filter(|_| !stand.begun(task)) {
            let pushed = net.slipped(&stand, task, by).expect("it can slip");
            assert!(judge(problem, &pushed).is_ok());
            assert_eq!(pushed.start[task], schedule.start[task] + by);
            let then = Stand { problem, schedule: &pushed };
            assert!((0..problem.tasks.len()).all(|t| then.start(t) >= stand.start(t)));
            assert_eq!(super::room::late(&stand, &pushed), None);
        }
    }
}

#[test]
fn every_sentence_of_the_small_supper_is_true() {
    let evening = evening();
    let ahead = Situation::default();
    let planning = Planning::new(&evening, &ahead).expect("a problem");
    for rounds in [0, 60, 400] {
        let budget = Budget { seed: 5, rounds, stop: &NEVER };
        let plan = plan_ahead(&evening, &budget, &mut |_| ()).expect("a plan");
        every_block(planning.problem(), &planning.schedule_of(&plan));
    }
    let plan = Arc::new(by_hand(&evening));
    every_block(planning.problem(), &planning.schedule_of(&plan));
    // And in the middle of the evening, each block late by some minutes.
    for block in &plan.blocks {
        let then = late::situation_then(&evening, &ahead, &plan, block.key, 7).expect("ahead");
        let planning = Planning::new(&evening, &then).expect("a problem");
        let (_, schedule) = planning.first().expect("a plan");
        every_block(planning.problem(), &schedule);
    }
}

/// SplitMix64 (Steele, Lea & Flood, OOPSLA 2014): enough for test data.
struct Random(u64);

impl Random {
    fn to(&mut self, n: i32) -> i32 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) % (n as u64 + 1)) as i32
    }
}

mod tiny;

#[test]
fn every_sentence_of_tiny_kitchens_is_true() {
    let mut seen: BTreeMap<&str, u32> = BTreeMap::new();
    for seed in 1..=150 {
        let Some((problem, schedule)) = tiny::valid(seed) else { continue };
        every_block(&problem, &schedule);
        let stand = Stand { problem: &problem, schedule: &schedule };
        for task in 0..problem.tasks.len() {
            for side in SIDES {
                let r = room(&stand, task, side, &NEVER).expect("valid");
                let c = chain(&stand, task, side, r).expect("valid");
                for link in c.links {
                    let name = match link.tight {
                        Tight::Wait { .. } => "wait",
                        Tight::Taken { .. } => "taken",
                        Tight::Oven { .. } => "oven",
                        Tight::Heating { .. } => "heating",
                        Tight::Now => "now",
                        Tight::Away { .. } => "away",
                        Tight::Hold { .. } => "hold",
                        Tight::Straight { .. } => "straight",
                        Tight::Limit { .. } => "limit",
                        _ => "other",
                    };
                    *seen.entry(name).or_default() += 1;
                }
                let end = match c.end {
                    End::Fact => "ends in a fact",
                    End::Late { .. } => "ends late",
                    End::Price { .. } => "ends in a price",
                    End::Blocked { .. } => "ends blocked",
                    End::Nothing { .. } => "ends in nothing",
                };
                *seen.entry(end).or_default() += 1;
            }
        }
    }
    // The trial is worth something only if it meets them all.
    for name in [
        "wait",
        "taken",
        "oven",
        "heating",
        "now",
        "away",
        "hold",
        "straight",
        "limit",
        "ends in a fact",
        "ends late",
        "ends in a price",
        "ends in nothing",
    ] {
        assert!(seen.get(name).is_some_and(|n| *n > 0), "{name}: {seen:?}");
    }
}

/// The slip against trying all starts: on kitchens where only one thing fits
/// anywhere at a time, the push is the best there is with all turns kept.
#[test]
fn the_slip_is_the_most_that_trying_everything_finds() {
    let (mut compared, mut moved) = (0, 0);
    for seed in 1..=60 {
        let Some((problem, schedule)) = tiny::valid_one_at_a_time(seed) else { continue };
        let stand = Stand { problem: &problem, schedule: &schedule };
        for task in 0..problem.tasks.len() {
            let slip = push::slip(&stand, task, &NEVER).expect("valid");
            let best = tiny::slip_by_trying(&stand, task);
            assert_eq!(slip.minutes.min(tiny::TRIED), best, "seed {seed}, task {task}");
            compared += 1;
            moved += i32::from(best > 0);
        }
    }
    assert!(compared > 100 && moved > 20, "{compared} {moved}");
}
