//! Numbers for places, and plans made of schedules by hand.

use std::sync::Arc;

use proptest::prelude::*;
use serde_json::json;

use super::slots::{Taking, number};
use super::{Solved, compose};
use crate::kitchen::{Evening, HoldClass, Minute};
use crate::plan::build::{build, schedule_of};
use crate::plan::judge;
use crate::plan::sample::{evening, evening_with};
use crate::plan::verify::verify;
use crate::plan::{Begun, Block, Cost, HoldBlock, Plan, Proof, SettingKind, Situation, StepKey};
use crate::safety::Profile;

fn taking(from: Minute, to: Minute, amount: usize, prefer: &[u32]) -> Taking {
    Taking { from, to, amount, prefer: prefer.to_vec(), like: None, begun: false }
}

#[test]
fn what_was_shown_keeps_its_numbers_and_others_go_round_it() {
    let takings = [taking(0, 10, 1, &[]), taking(5, 15, 1, &[0]), taking(2, 9, 1, &[1])];
    assert_eq!(number(&takings, 3), [vec![2], vec![0], vec![1]]);
    let mut hold = taking(10, 20, 1, &[]);
    hold.like = Some(0);
    assert_eq!(number(&[taking(0, 10, 1, &[2]), hold], 3), [vec![2], vec![2]]);
    assert_eq!(number(&[taking(0, 10, 2, &[]), taking(3, 5, 1, &[0])], 3), [vec![1, 2], vec![0]]);
}

#[test]
fn what_stands_already_shares_if_there_is_no_room() {
    let mut takings = [taking(0, 10, 1, &[]), taking(2, 8, 1, &[]), taking(9, 12, 1, &[])];
    takings[0].begun = true;
    takings[1].begun = true;
    assert_eq!(number(&takings, 1), [vec![0], vec![0], vec![0]]);
    assert_eq!(number(&[taking(0, 1, 5, &[])], 2), [vec![0, 1]]);
    assert_eq!(number(&[taking(0, 1, 1, &[])], 0), [Vec::<u32>::new()]);
    // Of two that want one place from one minute on, what stands there has it.
    let mut both = [taking(0, 10, 1, &[0]), taking(0, 5, 1, &[0])];
    assert_eq!(number(&both, 2), [vec![0], vec![1]]);
    both[1].begun = true;
    assert_eq!(number(&both, 2), [vec![1], vec![0]]);
}

proptest! {
    /// Interval colouring: where at no minute more is taken than there is, no
    /// two things meet on a number, whatever they prefer.
    #[test]
    fn numbers_never_meet_where_there_is_room(
        raw in proptest::collection::vec(
            (0..60_i32, 0..20_i32, 1..4_usize, proptest::collection::vec(0..6_u32, 0..3), any::<bool>()),
            1..40,
        ),
        count in 1..6_u32,
    ) {
        let mut takings: Vec<Taking> = Vec::new();
        for (from, long, amount, prefer, begun) in raw {
            let one = Taking { from, to: from + long, amount, prefer, like: None, begun };
            let fits = (one.from..one.to).all(|m| {
                let there = takings.iter().filter(|t| t.from <= m && m < t.to);
                there.map(|t| t.amount).sum::<usize>() + amount <= count as usize
            });
            if fits && amount <= count as usize {
                takings.push(one);
            }
        }
        let numbers = number(&takings, count);
        for (i, a) in takings.iter().enumerate() {
            prop_assert_eq!(numbers[i].len(), a.amount);
            prop_assert!(numbers[i].windows(2).all(|w| w[0] < w[1]));
            prop_assert!(numbers[i].iter().all(|&n| n < count));
            for (j, b) in takings.iter().enumerate().skip(i + 1) {
                if a.from.max(b.from) < a.to.min(b.to) {
                    prop_assert!(numbers[i].iter().all(|n| !numbers[j].contains(n)));
                }
            }
        }
    }
}

/// Dish, step, load, way, station, minute, setting.
pub(super) type Start = (usize, usize, u32, usize, &'static str, Minute, Option<i32>);

/// A plan by hand, of starts alone.
pub(super) fn by_hand(
    evening: &Evening,
    starts: &[Start],
    holds: &[(usize, usize, &str, Option<i32>)],
) -> Plan {
    let blocks = starts.iter().map(|&(dish, step, load, way, station, start, setting_c)| Block {
        key: StepKey { dish, step, load },
        loads: 1,
        way,
        station: station.to_owned(),
        slots: Vec::new(),
        cook: Some("kim".to_owned()),
        start,
        end: start + evening.sheets[dish].minutes(step, way),
        hands_start: 0,
        hands_end: 0,
        hands_between: 0,
        setting_c,
        begun: false,
    });
    let holds = holds.iter().map(|&(dish, hold, station, setting_c)| HoldBlock {
        dish,
        hold,
        class: HoldClass::Room,
        station: station.to_owned(),
        slots: Vec::new(),
        from: 0,
        to: 0,
        setting_c,
    });
    Plan { blocks: blocks.collect(), holds: holds.collect(), ..Plan::default() }
}

const H: Minute = 60;

/// Roast at 180 °C, then in the oven at 80 °C; chips in three loads, the dip chilled.
pub(super) fn starts() -> Vec<Start> {
    vec![
        (0, 0, 0, 0, "board", 16 * H, None),
        (0, 1, 0, 0, "oven", 16 * H + 20, Some(180)),
        (0, 2, 0, 0, "board", 17 * H + 20, None),
        (1, 0, 0, 0, "board", 17 * H + 40, None),
        (1, 1, 0, 0, "fryer", 18 * H + 30, None),
        (1, 1, 1, 0, "fryer", 18 * H + 40, None),
        (1, 1, 2, 0, "fryer", 18 * H + 50, None),
        (2, 0, 0, 0, "board", 16 * H + 25, None),
        (2, 1, 0, 0, "board", 18 * H + 20, None),
    ]
}

pub(crate) fn long_holds(
    _: &mut serde_json::Value,
    _: &mut serde_json::Value,
    r: &mut [serde_json::Value; 3],
) {
    r[0]["holds"][0]["most_minutes"] = json!(120);
    r[1]["holds"] = json!([{"place": "counter", "class": "room", "free_minutes": 5, "points": 3,
        "most_minutes": 30}]);
}

pub(crate) fn composed(evening: &Evening, situation: &Situation, hand: &Plan) -> Plan {
    let (problem, map) = build(evening, situation).expect("a problem");
    let schedule = schedule_of(&problem, &map, evening, hand);
    let cost = judge::judge(&problem, &schedule).expect("a schedule that keeps the rules");
    let solved = Solved { schedule: &schedule, cost, bound: 0, proof: Proof::Stopped };
    let plan = compose(evening, situation, &problem, &map, solved);
    let profile = Profile::by_id(&evening.party.guidance).expect("built in");
    assert_eq!(verify(evening, situation, profile, &plan), Ok(()));
    assert_eq!(schedule_of(&problem, &map, evening, &plan), schedule);
    plan
}

pub(crate) fn supper() -> (Evening, Plan) {
    let evening = evening_with(long_holds);
    let holds = [(0, 0, "oven", Some(80)), (1, 0, "board", None), (2, 0, "fridge", None)];
    let hand = by_hand(&evening, &starts(), &holds);
    let plan = composed(&evening, &Situation::default(), &hand);
    (evening, plan)
}

#[test]
fn a_plan_has_every_part_in_its_place() {
    let (_, plan) = supper();
    assert_eq!((plan.made_for, plan.blocks.len()), (16 * H, 9));
    let fry: Vec<(Minute, Minute, u32)> = plan
        .blocks
        .iter()
        .filter(|b| b.station == "fryer")
        .map(|b| (b.start, b.end, b.loads))
        .collect();
    assert_eq!(fry, [(1110, 1119, 3), (1120, 1129, 3), (1130, 1139, 3)]);
    // The roast waits from its rest on, the chips from their first load on.
    let holds: Vec<_> = plan.holds.iter().map(|h| (h.dish, h.from, h.to)).collect();
    assert_eq!(holds, [(0, 17 * H + 30, 19 * H), (2, 18 * H + 24, 19 * H), (1, 1119, 19 * H)]);
    assert_eq!((plan.waits[0].from, plan.waits[0].to), (16 * H + 31, 18 * H + 20));
    assert_eq!(plan.services[0].dishes, [(0, 1050, 1140), (1, 1139, 1140), (2, 1104, 1140)]);
    let pans: Vec<_> =
        plan.pans.iter().map(|p| (p.cookware.as_str(), p.dish, p.from, p.to)).collect();
    // The tin goes back into the oven with the roast.
    assert_eq!(pans[0], ("tin-small", 0, 16 * H, 19 * H));
    assert_eq!(pans[1], ("bowl-b", 2, 16 * H + 25, 16 * H + 31));
}

#[test]
fn the_oven_is_heated_as_late_as_it_can_be_and_cooled_in_time() {
    let (_, plan) = supper();
    let settings: Vec<_> =
        plan.settings.iter().map(|s| (s.kind, s.from, s.to, s.from_c, s.to_c)).collect();
    assert_eq!(
        settings,
        [
            (SettingKind::Heating, 16 * H + 4, 16 * H + 20, 21, 180),
            (SettingKind::Keeping, 16 * H + 20, 17 * H + 20, 180, 180),
            (SettingKind::Cooling, 17 * H + 20, 17 * H + 30, 180, 80),
            (SettingKind::Keeping, 17 * H + 30, 19 * H, 80, 80),
        ]
    );
}

/// Seasoned and mixed, and the roast in the oven.
pub(super) fn at_five(previous: Plan) -> Situation {
    let key = |dish, step| StepKey { dish, step, load: 0 };
    Situation {
        now: Some(17 * H),
        begun: [
            (
                key(0, 0),
                Begun::Done {
                    start: 16 * H,
                    end: 16 * H + 11,
                    way: 0,
                    station: "board".into(),
                    left_out: false,
                },
            ),
            (
                key(0, 1),
                Begun::Running {
                    start: 16 * H + 20,
                    end: 17 * H + 20,
                    way: 0,
                    station: "oven".into(),
                    cook: Some("kim".into()),
                    setting_c: Some(180),
                },
            ),
            (
                key(2, 0),
                Begun::Done {
                    start: 16 * H + 25,
                    end: 16 * H + 31,
                    way: 0,
                    station: "board".into(),
                    left_out: false,
                },
            ),
        ]
        .into(),
        oven_c: [("oven".to_owned(), 180)].into(),
        previous: Some(Arc::new(previous)),
        ..Situation::default()
    }
}

#[test]
fn a_running_evening_keeps_numbers_settings_and_what_happened() {
    let (evening, mut shown) = supper();
    let key = |dish, step| StepKey { dish, step, load: 0 };
    for block in &mut shown.blocks {
        block.slots =
            block.slots.iter().map(|s| if block.station == "board" { 1 - s } else { *s }).collect();
    }
    let roast = shown.blocks.iter_mut().find(|b| b.key == key(0, 1)).expect("the roast");
    roast.slots = vec![1];
    let situation = at_five(shown.clone());
    let plan = composed(&evening, &situation, &shown);
    assert_eq!(plan.made_for, 17 * H);
    let block =
        |dish, step| plan.blocks.iter().find(|b| b.key == key(dish, step)).expect("a block");
    assert_eq!(
        (block(0, 0).start, block(0, 0).end, block(0, 0).begun),
        (16 * H, 16 * H + 11, true)
    );
    assert_eq!((&block(0, 1).slots, block(0, 1).begun), (&vec![1], true));
    for shown in shown.blocks.iter().filter(|b| b.station == "board") {
        assert_eq!(block(shown.key.dish, shown.key.step).slots, shown.slots);
    }
    assert_eq!(plan.cost.change, 0);
    let first = &plan.settings[0];
    assert_eq!(
        (first.kind, first.from, first.to),
        (SettingKind::Keeping, 16 * H + 20, 17 * H + 20)
    );
}

/// Twelve past four: the first step is done, and the oven stands at 120 °C.
pub(super) fn oven_at_120(shown: &Plan) -> Situation {
    let first = StepKey { dish: 0, step: 0, load: 0 };
    let done = Begun::Done {
        start: 16 * H,
        end: 16 * H + 10,
        way: 0,
        station: "board".into(),
        left_out: false,
    };
    Situation {
        now: Some(16 * H + 12),
        begun: [(first, done)].into(),
        oven_c: [("oven".to_owned(), 120)].into(),
        previous: Some(Arc::new(shown.clone())),
        ..Situation::default()
    }
}

#[test]
fn a_dial_that_was_turned_stays_turned() {
    let (evening, shown) = supper();
    let situation = oven_at_120(&shown);
    let plan = composed(&evening, &situation, &shown);
    let first: Vec<_> = plan.settings[..2].iter().map(|s| (s.kind, s.from, s.to)).collect();
    assert_eq!(
        first,
        [
            (SettingKind::Heating, 16 * H + 4, 16 * H + 18),
            (SettingKind::Keeping, 16 * H + 18, 17 * H + 20)
        ]
    );
}

#[test]
fn an_oven_that_cools_by_itself_is_not_taken_for_a_dial_that_was_turned() {
    let (evening, shown) = supper();
    let mut situation = oven_at_120(&shown);
    situation.unturned.insert("oven".to_owned());
    let first = composed(&evening, &situation, &shown).settings.remove(0);
    assert_eq!((first.kind, first.from_c), (SettingKind::Heating, 120));
    assert!(Some(first.from) >= situation.now, "{first:?}");
}

#[test]
fn served_dishes_stay_on_the_chart_as_they_were() {
    let (evening, shown) = supper();
    let done = |start, end, station: &str| Begun::Done {
        start,
        end,
        way: 0,
        station: station.into(),
        left_out: false,
    };
    let mut situation = Situation {
        now: Some(19 * H + 5),
        begun: [
            (StepKey { dish: 2, step: 0, load: 0 }, done(16 * H + 25, 16 * H + 31, "board")),
            (StepKey { dish: 2, step: 1, load: 0 }, done(18 * H + 20, 18 * H + 24, "board")),
        ]
        .into(),
        served: [2].into(),
        dropped: [0, 1].into(),
        previous: Some(Arc::new(shown)),
        ..Situation::default()
    };
    let plan = composed(&evening, &situation, &Plan::default());
    assert_eq!(plan.blocks.iter().map(|b| b.key.dish).collect::<Vec<_>>(), [2, 2]);
    assert_eq!(plan.holds.iter().map(|h| (h.dish, h.to)).collect::<Vec<_>>(), [(2, 19 * H)]);
    assert_eq!(plan.services[0].dishes, [(2, 1104, 1140)]);
    assert_eq!(plan.cost, Cost::default());
    situation.dropped.insert(2);
    situation.served.clear();
    assert!(composed(&evening, &situation, &Plan::default()).blocks.is_empty());
}

#[test]
fn a_plan_survives_json() {
    let (_, plan) = supper();
    let text = serde_json::to_string(&plan).expect("json");
    assert_eq!(serde_json::from_str::<Plan>(&text).expect("a plan"), plan);
    assert!(evening().sheets.len() == 3);
}
