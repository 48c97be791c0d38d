//! Which pans a dish is given, which it keeps once it has begun, and the places that follow them.

use std::sync::Arc;

use serde_json::json;

use super::{StayAt, build};
use crate::kitchen::{Evening, Minute};
use crate::plan::compose::tests::{long_holds, supper};
use crate::plan::judge::judge;
use crate::plan::planner::Planning;
use crate::plan::sample::{block, evening, evening_with};
use crate::plan::ways::demand::{Demand, smallest};
use crate::plan::ways::works::Question;
use crate::plan::{Begun, Held, PanBlock, Plan, Situation, StepKey};

const ROAST: usize = 0;
const CHIPS: usize = 1;

fn key(dish: usize, step: usize) -> StepKey {
    StepKey { dish, step, load: 0 }
}

fn done(start: Minute, end: Minute, station: &str) -> Begun {
    Begun::Done { start, end, way: 0, station: station.to_owned(), left_out: false }
}

fn runs(start: Minute, end: Minute, station: &str, setting_c: Option<i32>) -> Begun {
    let cook = Some("kim".to_owned());
    Begun::Running { start, end, way: 0, station: station.to_owned(), cook, setting_c }
}

fn pan(dish: usize, cookware: &str, numbers: &[u32], from: Minute) -> PanBlock {
    let (cookware, numbers) = (cookware.to_owned(), numbers.to_vec());
    PanBlock { cookware, numbers, dish, from, to: from + 60 }
}

/// The tins that a dish is given, and how many of each.
fn tins(evening: &Evening, situation: &Situation, of: usize) -> Vec<(String, i32)> {
    let (problem, map) = build(evening, situation).expect("a problem");
    let stays = map.stays.iter().zip(&problem.stays);
    let mine = stays.filter_map(|(at, stay)| match at {
        StayAt::Pan { dish, cookware } if *dish == of => {
            let ware = &evening.kitchen.cookware[*cookware];
            (ware.kind == "tin").then(|| (ware.id.clone(), stay.uses.amount))
        }
        _ => None,
    });
    mine.collect()
}

/// The roast has been seasoned in a tin; the smallest that holds it is the small one.
#[test]
fn what_has_begun_keeps_the_tin_that_the_screen_shows_if_it_can_be_that_one() {
    let of = |evening: &Evening, begun: bool, pans: Vec<PanBlock>| {
        let seasoned = begun.then(|| (key(ROAST, 0), done(960, 970, "board")));
        let situation = Situation {
            now: Some(975),
            begun: seasoned.into_iter().collect(),
            previous: Some(Arc::new(Plan { pans, ..Plan::default() })),
            ..Situation::default()
        };
        tins(evening, &situation, ROAST)
    };
    let one = |id: &str| vec![(id.to_owned(), 1)];
    let large = |from| pan(ROAST, "tin-large", &[0], from);
    let plain = evening();
    assert_eq!(of(&plain, true, vec![large(960)]), one("tin-large"));
    assert_eq!(
        of(&plain, true, vec![large(960), large(1000)]),
        one("tin-large"),
        "one and the same"
    );
    assert_eq!(of(&plain, true, vec![large(0)]), one("tin-large"));
    let anew = [
        vec![],
        // Of the day before, of another dish, another thing, one that melts, more than there are, unheard of.
        vec![large(-1)],
        vec![pan(CHIPS, "tin-large", &[0], 960)],
        vec![pan(ROAST, "bowl-a", &[0], 960)],
        vec![pan(ROAST, "tin-thin", &[0], 960)],
        vec![pan(ROAST, "tin-large", &[0, 1], 960)],
        vec![pan(ROAST, "tin-huge", &[0], 960)],
    ];
    for (n, pans) in anew.into_iter().enumerate() {
        assert_eq!(of(&plain, true, pans), one("tin-small"), "{n}");
    }
    assert_eq!(of(&plain, false, vec![large(960)]), one("tin-small"), "not begun");
    // For eight it is three litres, which the small tin does not hold.
    let eight = evening_with(|p, _, _| p["dishes"][0]["servings"] = json!(8));
    assert_eq!(of(&eight, true, vec![pan(ROAST, "tin-small", &[0], 960)]), one("tin-large"));
}

/// Three litres of roast: in one large tin, or in two small ones on two racks.
#[test]
fn racks_follow_the_tins_and_what_is_in_keeps_its_own() {
    let racks = |large_ml: u32, situation: &Situation| {
        let evening = evening_with(|_, k, r| {
            k["cookware"][0]["count"] = json!(2);
            k["cookware"][1]["volume_ml"] = json!(large_ml);
            let two = json!([{"kind": "tin", "count": 2, "least_ml": 1500}]);
            r[0]["steps"][0]["cookware"] = two.clone();
            r[0]["steps"][1]["cookware"] = two;
            r[0]["steps"][1]["ways"][0]["slots"] = json!(2);
        });
        let (problem, map) = build(&evening, situation).expect("a problem");
        let at = map.steps.iter().position(|s| (s.dish, s.step) == (ROAST, 1)).expect("a step");
        problem.steps[at].modes[0].uses[0].amount
    };
    let ahead = Situation::default();
    assert_eq!([4000, 3000, 2999].map(|ml| racks(ml, &ahead)), [1, 1, 2]);
    // One tin would do; the plan on the screen has it on so many racks.
    let shown = |of: StepKey, slots: &[u32], begun: Option<Begun>| {
        let mut shown = block(of, "oven", (980, 1040));
        shown.slots = slots.to_vec();
        let seasoned = (key(ROAST, 0), done(960, 970, "board"));
        let situation = Situation {
            now: Some(1000),
            begun: [seasoned].into_iter().chain(begun.map(|b| (of, b))).collect(),
            previous: Some(Arc::new(Plan { blocks: vec![shown], ..Plan::default() })),
            ..Situation::default()
        };
        racks(4000, &situation)
    };
    let roasts = || Some(runs(980, 1040, "oven", Some(180)));
    assert_eq!(shown(key(ROAST, 1), &[0, 1], roasts()), 2);
    assert_eq!(shown(key(ROAST, 1), &[0], roasts()), 1);
    assert_eq!(shown(key(ROAST, 1), &[], roasts()), 1, "nobody knows");
    assert_eq!(shown(key(ROAST, 1), &[0, 1], None), 1, "not begun");
    let cuts = Some(runs(995, 1007, "board", None));
    assert_eq!(shown(key(CHIPS, 0), &[0, 1], cuts), 1, "something else is");
}

/// The roast and the chips want three and a half litres of tin each: a large one, or for the chips two small ones. There is one
/// large one and two small ones.
fn bakes(racks: u32) -> Evening {
    evening_with(|_, k, r| {
        k["stations"][0]["slots"] = json!(racks);
        k["cookware"][0]["count"] = json!(2);
        for step in [0, 1] {
            r[0]["steps"][step]["cookware"] = json!([{"kind": "tin", "least_ml": 3500}]);
        }
        r[1]["steps"][1]["ways"] =
            json!([{"station": "oven", "minutes": 20, "at_c": 180, "slots": 2}]);
        r[1]["steps"][1]["cookware"] = json!([{"kind": "tin", "count": 2, "least_ml": 1750}]);
    })
}

#[test]
fn more_tins_are_taken_than_another_dishs_only_where_there_is_room_for_them() {
    let ahead = Situation::default();
    let of = |racks, dish| tins(&bakes(racks), &ahead, dish);
    assert_eq!(of(2, ROAST), [("tin-large".to_owned(), 1)]);
    assert_eq!(of(2, CHIPS), [("tin-small".to_owned(), 2)]);
    assert_eq!(of(1, CHIPS), [("tin-large".to_owned(), 1)]);
}

/// Both were begun in the large tin, of which the kitchen's list has one: then there are two, as long as both are in use.
#[test]
fn what_was_begun_has_found_its_pan_whatever_the_list_says() {
    let evening = bakes(2);
    let pans = vec![pan(ROAST, "tin-large", &[0], 900), pan(CHIPS, "tin-large", &[0], 900)];
    let there = |begun: &[(StepKey, Begun)], held: bool, now: Minute| {
        let mut situation = Situation {
            now: Some(now),
            begun: begun.iter().cloned().collect(),
            previous: Some(Arc::new(Plan { pans: pans.clone(), ..Plan::default() })),
            ..Situation::default()
        };
        if held {
            let station = Some("oven".to_owned());
            situation.held.insert(ROAST, Held { hold: Some(0), since: 972, station });
        }
        let (problem, map) = build(&evening, &situation).expect("a problem");
        problem.resources[map.of_cookware(1)].capacity
    };
    let seasoned = (key(ROAST, 0), done(900, 910, "board"));
    let baked = (key(CHIPS, 1), runs(960, 1150, "oven", Some(180)));
    assert_eq!(there(std::slice::from_ref(&seasoned), false, 975), 1);
    assert_eq!(there(&[seasoned.clone(), baked.clone()], false, 975), 2);
    // The roast is out of its tin; or it waits in it for its service, until then.
    let out = [
        seasoned,
        (key(ROAST, 1), done(911, 971, "oven")),
        (key(ROAST, 2), done(971, 972, "board")),
        baked,
    ];
    assert_eq!(there(&out, false, 975), 1);
    assert_eq!(there(&out, true, 975), 2);
    assert_eq!([1139, 1140].map(|now| there(&out, true, now)), [2, 1]);
}

/// As of 18:32 the roast waits in its tin in the oven until 19:00, and the chips are fried up to 18:59 in the only tin
/// there is, whatever the list says. The dip is dressed, or still to be dressed: in a tin.
fn in_one_tin(dressed: bool) -> (Evening, Situation) {
    let evening = evening_with(|p, k, r| {
        long_holds(p, k, r);
        k["cookware"]
            .as_array_mut()
            .expect("a list")
            .retain(|c| c["kind"] != "tin" || c["id"] == "tin-small");
        r[1]["steps"][1]["cookware"] = json!([{"kind": "tin"}]);
        if !dressed {
            r[2]["steps"][1]["cookware"] = json!([{"kind": "tin"}]);
        }
    });
    let (_, mut shown) = supper();
    shown.pans.push(PanBlock { to: 1139, ..pan(CHIPS, "tin-small", &[0], 1110) });
    let station = Some("oven".to_owned());
    let mut situation = Situation {
        now: Some(1112),
        begun: [
            (key(0, 0), done(960, 970, "board")),
            (key(0, 1), done(980, 1040, "oven")),
            (key(0, 2), done(1040, 1050, "board")),
            (key(1, 0), done(1060, 1072, "board")),
            (key(1, 1), runs(1110, 1119, "fryer", None)),
            (key(2, 0), done(985, 991, "board")),
        ]
        .into(),
        held: [(ROAST, Held { hold: Some(0), since: 1050, station })].into(),
        oven_c: [("oven".to_owned(), 80)].into(),
        previous: Some(Arc::new(shown)),
        ..Situation::default()
    };
    if dressed {
        situation.begun.insert(key(2, 1), done(1100, 1104, "board"));
    }
    (evening, situation)
}

#[test]
fn food_that_waits_in_a_pan_in_which_another_dish_was_begun_still_has_a_plan() {
    let (evening, situation) = in_one_tin(true);
    let planning = Planning::new(&evening, &situation).expect("a problem");
    let (plan, schedule) = planning.first().expect("a plan");
    assert_eq!(plan.cost.late, 0);
    // With the one of the list there would be none.
    let mut tight = planning.problem().clone();
    tight.resources[planning.map().of_cookware(0)].capacity = 1;
    assert!(judge(&tight, &schedule).is_err());
}

/// There is no second tin for a third dish, whichever of the two gives its own back.
#[test]
fn a_third_dish_waits_for_the_pan_until_neither_of_two_begun_in_it_has_it() {
    let (evening, situation) = in_one_tin(false);
    let planning = Planning::new(&evening, &situation).expect("a problem");
    let (plan, schedule) = planning.first().expect("a plan");
    let dress = plan.blocks.iter().find(|b| b.key == key(2, 1)).expect("a block");
    assert_eq!((dress.start, plan.cost.late > 0), (1140, true));
    // A minute sooner the roast is still in it, and after that nothing is in the way.
    let at = planning.map().tasks.iter().position(|t| t.key == key(2, 1)).expect("a task");
    let from = |minute: Minute| {
        let mut other = schedule.clone();
        other.start[at] = minute;
        judge(planning.problem(), &other).is_ok()
    };
    assert_eq!([1139, 1140, 1141].map(from), [false, true, true]);
    // It is the tin that is missing.
    let (stop, seed): (&(dyn Fn() -> bool + Sync), _) = (&|| false, 1);
    let question = Question { evening: &evening, situation: &situation, near: None, seed, stop };
    let clash = smallest(&question).expect("a clash");
    assert!(clash.demands.contains(&Demand::Pans(0)), "{clash:?}");
    // And each tin of the plan is one of the list.
    assert!(plan.pans.iter().filter(|p| p.cookware == "tin-small").all(|p| p.numbers == [0]));
    assert_eq!(plan.pans.iter().filter(|p| p.cookware == "tin-small").count(), 3);
}

/// A fridge of one place in which two dishes wait has none for a third before both are out of it.
#[test]
fn a_third_dish_waits_for_the_fridge_until_neither_of_two_begun_in_it_is_there() {
    let evening = evening_with(|p, k, r| {
        long_holds(p, k, r);
        k["stations"][4]["slots"] = json!(1);
        r[0]["steps"][1]["after"][0] = json!({"step": "season", "place": "cold"});
        r[1]["steps"][1]["after"][0] = json!({"step": "cut", "place": "cold"});
    });
    let begun = [(key(0, 0), done(960, 970, "board")), (key(2, 0), done(985, 991, "board"))];
    let situation = Situation { now: Some(1000), begun: begun.into(), ..Situation::default() };
    let planning = Planning::new(&evening, &situation).expect("a problem");
    let (plan, _) = planning.first().expect("a plan");
    let waits = |dish: usize| plan.waits.iter().find(|w| w.dish == dish).expect("a wait");
    let chips = waits(CHIPS);
    assert!(chips.from >= waits(ROAST).to.max(waits(2).to), "{:?}", plan.waits);
}
