//! What a new plan keeps of the one on the screen, of what has happened and of dials that were turned.

use std::sync::Arc;

use serde_json::json;

use super::super::blocks::{Plan, SettingBlock, SettingKind};
use super::super::situation::{Begun, Held, Situation, StepKey};
use super::tests::{at_five, by_hand, composed, long_holds, oven_at_120, starts, supper};
use crate::kitchen::{Evening, Minute};
use crate::plan::sample::evening_with;

const H: Minute = 60;

fn key(dish: usize, step: usize) -> StepKey {
    StepKey { dish, step, load: 0 }
}

fn done(start: Minute, end: Minute, station: &str) -> Begun {
    Begun::Done { start, end, way: 0, station: station.into(), left_out: false }
}

#[test]
fn what_waits_and_what_is_in_use_keeps_its_place_and_its_pan() {
    let (evening, mut shown) = supper();
    let dip = shown.holds.iter_mut().find(|h| h.dish == 2).expect("the dip");
    dip.slots = vec![2];
    shown.waits[0].slots = vec![1];
    let bowl = shown.pans.iter_mut().find(|p| p.cookware == "bowl-a").expect("a bowl");
    bowl.numbers = vec![1];
    let bowl = bowl.clone();
    let plan = composed(&evening, &at_five(shown.clone()), &shown);
    let dip = plan.holds.iter().find(|h| h.dish == 2).expect("the dip");
    assert_eq!((&dip.slots, &plan.waits[0].slots), (&vec![2], &vec![1]));
    let kept = plan.pans.iter().find(|p| p.dish == bowl.dish && p.cookware == "bowl-a");
    assert_eq!(kept.map(|p| &p.numbers), Some(&bowl.numbers));
    // Who did what is done, and what is in the oven at which setting.
    let block = |key| plan.blocks.iter().find(|b| b.key == key).expect("a block");
    assert_eq!(block(key(0, 0)).cook.as_deref(), Some("kim"));
    assert_eq!((block(key(0, 1)).setting_c, block(key(0, 2)).cook.clone()), (Some(180), None));
}

/// The dip is dressed in the fridge, in its third place, and waits there until its service.
#[test]
fn a_dish_that_waits_where_it_was_finished_stays_in_its_place() {
    let evening = evening_with(|p, k, r| {
        long_holds(p, k, r);
        r[2]["steps"][1]["ways"][0]["station"] = json!("fridge");
    });
    let (_, mut hand) = supper();
    let dress = hand.blocks.iter_mut().find(|b| b.key == key(2, 1)).expect("the dressing");
    dress.station = "fridge".into();
    let mut shown = composed(&evening, &Situation::default(), &hand);
    let dress = shown.blocks.iter_mut().find(|b| b.key == key(2, 1)).expect("the dressing");
    dress.slots = vec![2];
    // The plan on the screen says nothing of where it waits.
    shown.holds.retain(|h| h.dish != 2);
    let plan = composed(&evening, &at_five(shown), &hand);
    let slots = |dish| plan.holds.iter().find(|h| h.dish == dish).expect("it waits").slots.clone();
    assert_eq!((slots(2), slots(1)), (vec![2], vec![0]));
}

/// The roast, made and served by 18:26; the chips and the dip are still to come.
#[test]
fn what_was_served_stays_among_what_is_still_to_come() {
    let (evening, shown) = supper();
    let at = |now: Minute| Situation {
        now: Some(now),
        begun: [
            (key(0, 0), done(16 * H, 16 * H + 10, "board")),
            // Two minutes in all: it was put in, and nobody was at its end.
            (key(0, 1), done(16 * H + 20, 16 * H + 22, "oven")),
            (key(0, 2), done(17 * H + 20, 17 * H + 30, "board")),
            (key(2, 0), done(16 * H + 25, 16 * H + 31, "board")),
        ]
        .into(),
        served: [0].into(),
        previous: Some(Arc::new(shown.clone())),
        ..Situation::default()
    };
    let plan = composed(&evening, &at(17 * H + 35), &shown);
    let roast = plan.blocks.iter().find(|b| b.key == key(0, 1)).expect("the roast");
    assert_eq!((roast.hands_start, roast.hands_end, roast.loads), (2, 0, 1));
    assert_eq!((roast.cook.as_deref(), roast.begun), (Some("kim"), true));
    let season = plan.blocks.iter().find(|b| b.key == key(0, 0)).expect("the seasoning");
    assert_eq!((season.hands_start, season.hands_between), (0, 100));
    assert_eq!(plan.services[0].dishes.iter().map(|d| d.0).collect::<Vec<_>>(), [0, 1, 2]);
    assert_eq!(plan.services[0].dishes[0], (0, 1050, 1140));
    // It waited from 17:30 on, until it was served.
    let waited = |plan: &Plan| {
        let hold = plan.holds.iter().find(|h| h.dish == 0);
        hold.map(|h| (h.from, h.to))
    };
    assert_eq!(waited(&plan), Some((17 * H + 30, 17 * H + 35)));
    assert_eq!(waited(&composed(&evening, &at(17 * H + 30), &shown)), None);
}

fn settings(plan: &Plan) -> Vec<(SettingKind, Minute, Minute)> {
    plan.settings.iter().map(|s| (s.kind, s.from, s.to)).collect()
}

#[test]
fn an_oven_that_is_hot_already_is_kept_so_from_now_on() {
    let (evening, shown) = supper();
    let mut situation = oven_at_120(&shown);
    situation.oven_c = [("oven".to_owned(), 180)].into();
    let plan = composed(&evening, &situation, &shown);
    assert_eq!(settings(&plan)[0], (SettingKind::Keeping, 16 * H + 12, 17 * H + 20));
}

/// Heated from 16:04 on, at 120 °C by 16:12: what is under way is told from when it began; what is another setting, or has
/// not begun, or should long be over, is not taken for it.
#[test]
fn only_the_change_that_is_under_way_is_taken_for_it() {
    let (evening, shown) = supper();
    let begins = |change: &dyn Fn(&mut SettingBlock)| {
        let mut before = shown.clone();
        change(&mut before.settings[0]);
        let plan = composed(&evening, &oven_at_120(&before), &shown);
        settings(&plan)[0]
    };
    let (turned, hot) = (16 * H + 4, 16 * H + 18);
    let under_way = (SettingKind::Heating, turned, hot);
    assert_eq!(begins(&|_| ()), under_way);
    assert_eq!(begins(&|s| s.to = 16 * H + 11), under_way);
    // Anew it is turned six minutes before 16:20.
    let anew = (SettingKind::Heating, 16 * H + 14, 16 * H + 20);
    let others: [fn(&mut SettingBlock); 6] = [
        |s| s.station = "fryer".into(),
        |s| s.kind = SettingKind::Keeping,
        |s| s.to_c = 170,
        |s| s.from_c = 120,
        |s| s.from = 16 * H + 12,
        |s| s.to = 16 * H + 10,
    ];
    for (n, other) in others.iter().enumerate() {
        assert_eq!(begins(other), anew, "{n}");
    }
    // From above, the dial was turned down: heating is what is left of it.
    let down = begins(&|s| s.from_c = 200);
    assert_eq!(down, (SettingKind::Heating, 16 * H + 12, hot));
}

/// The roast is out since this minute: its heat is past, and the cooling for its hold the first that is shown.
#[test]
fn what_an_oven_was_used_for_is_no_setting_any_more() {
    let (evening, shown) = supper();
    let mut situation = at_five(shown.clone());
    situation.now = Some(17 * H + 20);
    situation.begun.insert(key(0, 1), done(16 * H + 20, 17 * H + 20, "oven"));
    let plan = composed(&evening, &situation, &shown);
    let all = [
        (SettingKind::Cooling, 17 * H + 20, 17 * H + 30),
        (SettingKind::Keeping, 17 * H + 30, 19 * H),
    ];
    assert_eq!(settings(&plan), all);
}

/// Something of the same dish elsewhere, or of another dish at the same place, has another number: that is not its own.
#[test]
fn what_is_alike_in_part_is_not_taken_for_it() {
    let (evening, hand) = supper();
    let mut shown = hand.clone();
    let mut dip = shown.holds.iter().find(|h| h.dish == 2).expect("the dip").clone();
    dip.slots = vec![2];
    let (mut elsewhere, mut another) = (dip.clone(), dip.clone());
    (elsewhere.station, elsewhere.slots) = ("board".to_owned(), vec![1]);
    (another.dish, another.slots) = (1, vec![1]);
    shown.holds.retain(|h| h.dish != 2);
    shown.holds.splice(0..0, [elsewhere, another, dip]);
    let mut wait = shown.waits[0].clone();
    wait.slots = vec![1];
    let others = [0, 1, 2, 3].map(|n| {
        let mut other = wait.clone();
        other.slots = vec![0];
        match n {
            0 => other.dish = 1,
            1 => other.after_step += 1,
            2 => other.before_step += 1,
            _ => other.station = Some("board".to_owned()),
        }
        other
    });
    shown.waits.splice(0..1, others.into_iter().chain([wait]));
    let mut bowl = shown.pans.iter().find(|p| p.cookware == "bowl-a").expect("a bowl").clone();
    bowl.numbers = vec![1];
    let (mut other, mut of_another) = (bowl.clone(), bowl.clone());
    (other.cookware, other.numbers) = ("bowl-b".to_owned(), vec![0]);
    (of_another.dish, of_another.numbers) = (bowl.dish + 1, vec![0]);
    shown.pans.retain(|p| p.cookware != "bowl-a");
    shown.pans.splice(0..0, [other, of_another, bowl.clone()]);
    let plan = composed(&evening, &at_five(shown), &hand);
    let dip = plan.holds.iter().find(|h| h.dish == 2).expect("the dip");
    assert_eq!((&dip.slots, &plan.waits[0].slots), (&vec![2], &vec![1]));
    let kept = plan.pans.iter().find(|p| p.dish == bowl.dish && p.cookware == "bowl-a");
    assert_eq!(kept.map(|p| &p.numbers), Some(&bowl.numbers));
}

fn runs(start: Minute, end: Minute, station: &str, setting_c: Option<i32>) -> Begun {
    let cook = Some("kim".to_owned());
    Begun::Running { start, end, way: 0, station: station.into(), cook, setting_c }
}

/// It is 18:20. The cook put the chips in at 200 °C beside the roast at 180 °C, which is out at 18:45, and perhaps the dip at
/// 180 °C after them. Each has its own heat once what was in before is out, if it is still in by then.
#[test]
fn what_was_put_in_at_odds_has_its_own_heat_once_the_other_is_out() {
    let told = |chips: Minute, dip: Option<Minute>| {
        let evening = evening_with(|p, k, r| {
            long_holds(p, k, r);
            k["stations"][0]["slots"] = json!(3);
            let oven = |c: i32| json!([{"station": "oven", "minutes": 40, "at_c": c}]);
            r[1]["steps"][1]["ways"] = oven(200);
            if dip.is_some() {
                r[2]["steps"][1]["ways"] = oven(180);
                r[2]["steps"][1]["hands"] = json!({});
            }
        });
        let dressed = dip.map_or(done(1060, 1064, "board"), |to| runs(1095, to, "oven", Some(180)));
        let situation = Situation {
            now: Some(1100),
            begun: [
                (key(0, 0), done(1000, 1010, "board")),
                (key(0, 1), runs(1065, 1125, "oven", Some(180))),
                (key(1, 0), done(1000, 1012, "board")),
                (key(1, 1), runs(1090, chips, "oven", Some(200))),
                (key(2, 0), done(985, 991, "board")),
                (key(2, 1), dressed),
            ]
            .into(),
            ..Situation::default()
        };
        let rest = [(0, 2, 0, 0, "board", 1125, None)];
        let holds = [(0, 1, "board", None), (1, 0, "board", None), (2, 0, "fridge", None)];
        settings(&composed(&evening, &situation, &by_hand(&evening, &rest, &holds)))
    };
    use SettingKind::{Cooling, Heating, Keeping};
    // The dial stands at the chips' 200 °C: two minutes down, and two up again at 18:45.
    let roast = [(Cooling, 1100, 1102), (Keeping, 1102, 1125)];
    assert_eq!(told(1126, None), roast);
    assert_eq!(told(1127, None), roast);
    let chips = [(Heating, 1125, 1127), (Keeping, 1127, 1128)];
    assert_eq!(told(1128, None), [roast, chips].concat());
    // It stands at the dip's 180 °C, which is the roast's as well.
    let roast = (Keeping, 1065, 1125);
    assert_eq!(told(1126, Some(1125)), [roast]);
    assert_eq!(told(1126, Some(1138)), [roast, (Keeping, 1125, 1138)]);
    let turned = [(Heating, 1125, 1127), (Keeping, 1127, 1130)];
    let back = [(Cooling, 1130, 1132), (Keeping, 1132, 1138)];
    assert_eq!(told(1130, Some(1138)), [&[roast][..], &turned[..], &back[..]].concat());
}

/// The supper with the chips cut at a station and minute, and the dip dressed at a minute.
fn chips_cut(station: &'static str, cut: Minute, dressed: Minute) -> (Evening, Plan, Plan) {
    let evening = evening_with(|p, k, r| {
        long_holds(p, k, r);
        if station == "fridge" {
            r[1]["steps"][0]["ways"][0]["station"] = json!("fridge");
            // They may stand about for as long as it takes.
            r[1]["safety"] = json!({"class": "baked_dry", "exempt": "dry_baked"});
        }
    });
    let mut starts = starts();
    for start in &mut starts {
        match (start.0, start.1) {
            (1, 0) => (start.4, start.5) = (station, cut),
            (2, 1) => start.5 = dressed,
            _ => {}
        }
    }
    let holds = [(0, 0, "oven", Some(80)), (1, 0, "board", None), (2, 0, "fridge", None)];
    let hand = by_hand(&evening, &starts, &holds);
    let mut shown = composed(&evening, &Situation::default(), &hand);
    // All wants the first place of where it is.
    for block in shown.blocks.iter_mut().filter(|b| b.station == station) {
        block.slots = vec![0];
    }
    shown.waits[0].slots = vec![0];
    for hold in shown.holds.iter_mut().filter(|h| h.dish == 2) {
        hold.slots = vec![0];
    }
    (evening, hand, shown)
}

fn slots_of(plan: &Plan, key: StepKey) -> Vec<u32> {
    plan.blocks.iter().find(|b| b.key == key).expect("a block").slots.clone()
}

/// Two things are to have one place from the same minute on: the one that stands there by now has it.
#[test]
fn what_stands_in_a_place_since_this_minute_keeps_it() {
    // The dip is mixed at 16:31, and waits in the fridge, where the chips are to be cut.
    let (evening, hand, shown) = chips_cut("fridge", 991, 1100);
    let at = |now: Minute| {
        let mut situation = at_five(shown.clone());
        situation.now = Some(now);
        if now < 991 {
            situation.begun.insert(key(2, 0), runs(985, 991, "board", None));
        }
        let plan = composed(&evening, &situation, &hand);
        (plan.waits[0].slots.clone(), slots_of(&plan, key(1, 0)))
    };
    assert_eq!(at(991), (vec![0], vec![1]));
    assert_eq!(at(990), (vec![1], vec![0]));
    // It is dressed at 17:34, and the cook says that it stands in the fridge.
    let (evening, hand, shown) = chips_cut("fridge", 1054, 1050);
    let at = |said: bool| {
        let mut situation = at_five(shown.clone());
        situation.now = Some(1054);
        situation.begun.insert(key(0, 1), done(980, 1040, "oven"));
        situation.begun.insert(key(0, 2), done(1040, 1050, "board"));
        situation.begun.insert(key(2, 1), done(1050, 1054, "board"));
        situation.oven_c.insert("oven".to_owned(), 80);
        if said {
            let station = Some("fridge".to_owned());
            situation.held.insert(2, Held { hold: Some(0), since: 1054, station });
        }
        let plan = composed(&evening, &situation, &hand);
        let hold = plan.holds.iter().find(|h| h.dish == 2).expect("it waits");
        (hold.slots.clone(), slots_of(&plan, key(1, 0)))
    };
    assert_eq!(at(true), (vec![0], vec![1]));
    assert_eq!(at(false), (vec![1], vec![0]));
    // The chips are being cut since 17:20, when the roast is to rest.
    let (evening, hand, shown) = chips_cut("board", 1040, 1100);
    let at = |begun: bool| {
        let mut situation = at_five(shown.clone());
        situation.now = Some(1040);
        situation.begun.insert(key(0, 1), done(980, 1040, "oven"));
        if begun {
            situation.begun.insert(key(1, 0), runs(1040, 1052, "board", None));
        }
        let plan = composed(&evening, &situation, &hand);
        (slots_of(&plan, key(0, 2)), slots_of(&plan, key(1, 0)))
    };
    assert_eq!(at(true), (vec![1], vec![0]));
    assert_eq!(at(false), (vec![0], vec![1]));
}

/// Seasoned on both halves of the counter: as the plan on the screen had it, or else as the recipe says.
#[test]
fn what_is_done_stays_in_as_many_places_as_it_had() {
    let evening = evening_with(|p, k, r| {
        long_holds(p, k, r);
        r[0]["steps"][0]["ways"][0]["slots"] = json!(2);
    });
    let (_, hand) = supper();
    let mut shown = composed(&evening, &Situation::default(), &hand);
    let season = shown.blocks.iter_mut().find(|b| b.key == key(0, 0)).expect("a block");
    assert_eq!(season.slots, [0, 1]);
    season.slots = vec![1];
    let mut situation = at_five(shown);
    assert_eq!(slots_of(&composed(&evening, &situation, &hand), key(0, 0)), [1]);
    situation.previous = None;
    assert_eq!(slots_of(&composed(&evening, &situation, &hand), key(0, 0)), [0, 1]);
}
