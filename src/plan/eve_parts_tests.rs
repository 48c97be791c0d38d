//! The parts of which the day before is made, each worked by hand.

use serde_json::json;

use super::*;
use crate::kitchen::Kept;
use crate::plan::blocks::SettingBlock;
use crate::plan::build::{NoWay, Reason};
use crate::plan::compose::tests::supper;
use crate::plan::sample::{evening, evening_with};
use crate::plan::{Cost, SettingKind};

const ROAST: usize = 0;
const CHIPS: usize = 1;
const DIP: usize = 2;

/// The supper, with these steps done the day before.
fn ahead(steps: &[(usize, usize)]) -> Evening {
    let mut evening = evening();
    for (dish, step) in steps {
        evening.sheets[*dish].recipe.steps[*step].day_before = true;
    }
    evening
}

fn key(dish: usize, step: usize) -> StepKey {
    StepKey { dish, step, load: 0 }
}

fn block(key: StepKey, station: &str, (start, end): (Minute, Minute)) -> Block {
    let (_, plan) = supper();
    let one = plan.blocks.into_iter().next().expect("a block");
    Block { key, loads: 1, way: 0, station: station.to_owned(), start, end, ..one }
}

fn wait(
    dish: usize,
    (after_step, before_step): (usize, usize),
    (from, to): (Minute, Minute),
) -> WaitBlock {
    let (station, slots) = (Some("fridge".to_owned()), vec![0]);
    WaitBlock { dish, after_step, before_step, place: WaitPlace::Cold, station, slots, from, to }
}

fn pan(dish: usize, cookware: &str, (from, to): (Minute, Minute)) -> PanBlock {
    PanBlock { cookware: cookware.to_owned(), numbers: vec![0], dish, from, to }
}

fn heating((from, to): (Minute, Minute)) -> SettingBlock {
    let (station, kind) = ("oven".to_owned(), SettingKind::Heating);
    SettingBlock { station, kind, from, to, from_c: 21, to_c: 180 }
}

/// A plan in which the dip was mixed from 17:03 to 17:09 on the day before.
fn shown() -> Plan {
    let minutes = (-417, -411);
    Plan {
        blocks: vec![
            block(key(DIP, 0), "board", minutes),
            block(key(DIP, 1), "board", (1100, 1104)),
            block(key(ROAST, 0), "board", (960, 970)),
        ],
        waits: vec![wait(DIP, (0, 0), (-419, -417)), wait(DIP, (0, 1), (-411, 1100))],
        settings: vec![heating((-20, 0)), heating((1, 17))],
        pans: vec![
            pan(DIP, "bowl-a", minutes),
            pan(ROAST, "tin-small", (-5, 0)),
            pan(DIP, "bowl-a", (-1, 1)),
        ],
        ..Plan::default()
    }
}

/// Minutes of the recipes: season 10, roast 60, rest 10; cut 12, three loads of 9; mix 6, 30 to stand, dress 4.
#[test]
fn the_way_to_a_step_and_from_it_is_added_up() {
    let evening = evening();
    let to = |dish: usize, step: usize| at_the_least(&evening.sheets[dish], step, 3);
    assert_eq!([to(ROAST, 0), to(ROAST, 1), to(ROAST, 2)], [10, 70, 80]);
    assert_eq!([to(CHIPS, 0), to(CHIPS, 1), to(DIP, 0), to(DIP, 1)], [12, 12 + 27, 6, 6 + 30 + 4]);
    let from = |dish: usize, step: usize| to_the_end(&evening.sheets[dish], step, 3);
    assert_eq!([from(ROAST, 0), from(ROAST, 1), from(ROAST, 2)], [80, 70, 10]);
    assert_eq!([from(CHIPS, 0), from(CHIPS, 1), from(DIP, 0), from(DIP, 1)], [12 + 9, 9, 10, 4]);
}

/// Served at 19:00, minute 1140.
#[test]
fn what_may_wait_only_so_long_is_ready_no_earlier() {
    let at = |evening: &Evening, dish: usize, moved: Option<Minute>| {
        let service_at = moved.map(|at| (0, at)).into_iter().collect();
        let situation = Situation { service_at, ..Situation::default() };
        earliest_ready(evening, &situation, &evening.sheets[dish])
    };
    // Seasoned, it waits 30 minutes at the most for an hour in the oven and ten of rest.
    let seasoned = ahead(&[(ROAST, 0)]);
    assert_eq!(at(&seasoned, ROAST, None), Some(1140 - 70 - 30));
    assert_eq!(at(&seasoned, ROAST, Some(1200)), Some(1200 - 70 - 30));
    // Roasted, it waits five for its rest; the wait before lies in the day before.
    let roasted = ahead(&[(ROAST, 0), (ROAST, 1)]);
    assert_eq!(at(&roasted, ROAST, None), Some(1140 - 10 - 5));
    // Nothing says how long a dip or chips wait; nothing waits where nothing is made ahead.
    assert_eq!(at(&ahead(&[(DIP, 0), (CHIPS, 0)]), DIP, None), None);
    assert_eq!(at(&seasoned, CHIPS, None), None);
    assert_eq!(at(&evening(), ROAST, None), None);
}

/// A dip that keeps 22 hours, dressed by 18:56, is not mixed before 20:56.
#[test]
fn the_day_before_is_planned_by_what_may_wait() {
    let mut evening = ahead(&[(DIP, 0)]);
    evening.sheets[DIP].recipe.steps[1].after[0].most_minutes = Some(22 * 60);
    let eve = settle(&evening, &Situation::default()).expect("a plan").expect("a day before");
    let [mixed] = eve.plan.blocks.as_slice() else { panic!("{:?}", eve.plan.blocks) };
    assert_eq!(mixed.key, key(DIP, 0));
    assert!(mixed.end >= 1136 - 22 * 60 && mixed.end <= -2 * 60, "{mixed:?}");
    // It counts as planned, not as done.
    assert_eq!(eve.situation.planned, BTreeSet::from([key(DIP, 0)]));
    let Some(Begun::Done { start, end, left_out: false, .. }) =
        eve.situation.begun.get(&key(DIP, 0))
    else {
        panic!("{:?}", eve.situation.begun);
    };
    assert_eq!((*start, *end), (mixed.start, mixed.end));
    // What may wait as long as it likes is made at once.
    let eve = settle(&ahead(&[(DIP, 0)]), &Situation::default()).expect("a plan").expect("it");
    assert_eq!((eve.plan.blocks[0].start, eve.plan.blocks[0].end), (-7 * 60, -7 * 60 + 6));
}

#[test]
fn a_recipe_of_the_day_before_ends_in_the_fridge() {
    let mut evening = evening_with(|_, _, recipes| {
        let more = [
            json!({"item": "milk", "amount": 1, "unit": "l", "kept": "fridge", "steps": ["dress"]}),
            json!({"item": "cream", "amount": 1, "unit": "l", "kept": "fridge"}),
        ];
        recipes[DIP]["ingredients"].as_array_mut().expect("a list").extend(more);
    });
    let recipe = &mut evening.sheets[DIP].recipe;
    recipe.steps[0].day_before = true;
    let before = recipe_before(recipe, &[0]);
    let steps: Vec<_> = before.steps.iter().map(|s| (s.id.as_str(), s.day_before)).collect();
    assert_eq!(steps, [("mix", false), (LAST, false)]);
    let last = |recipe: &Recipe| recipe.steps[1].after.clone();
    assert_eq!(last(&before), [ahead::follows("mix", WaitPlace::Cold)]);
    // Out on the table it is on its own day alone.
    assert_eq!(before.safety.table_minutes, Some(0));
    // What is used on the day alone takes no place in the fridge; what no step is named for stays as it is.
    let rows: Vec<_> = before
        .ingredients
        .iter()
        .map(|i| (i.item.as_str(), i.kept, i.unit.is_some(), i.steps.len()))
        .collect();
    assert_eq!(
        rows,
        [
            ("yoghurt", Kept::Fridge, true, 1),
            ("salt", recipe.ingredients[1].kept, false, 0),
            ("milk", Kept::Cupboard, false, 0),
            ("cream", Kept::Fridge, true, 0),
        ]
    );
    // What may wait only so long for the day goes in soon, and only that.
    recipe.steps[1].after[0].most_minutes = Some(120);
    assert_eq!(last(&recipe_before(recipe, &[0]))[0].most_minutes, Some(15));
    let roast = &evening.sheets[ROAST].recipe;
    let seasoned = recipe_before(roast, &[0]);
    assert_eq!(last(&seasoned)[0].most_minutes, Some(15));
    // Of two steps the last one goes in, by what waits for that.
    let roasted = recipe_before(roast, &[0, 1]);
    let after: Vec<_> =
        roasted.steps[2].after.iter().map(|a| (a.step.as_str(), a.most_minutes)).collect();
    assert_eq!(after, [("roast", Some(15))]);
}

#[test]
fn what_happened_is_told_in_the_minutes_and_steps_of_the_day_before() {
    let evening = ahead(&[(ROAST, 0), (ROAST, 2)]);
    let maps = BTreeMap::from([(ROAST, vec![0, 2])]);
    let done =
        |start, end| Begun::Done { start, end, way: 0, station: "board".into(), left_out: false };
    let running = |start, end| Begun::Running {
        start,
        end,
        way: 0,
        station: "board".into(),
        cook: None,
        setting_c: None,
    };
    let situation = |now| Situation {
        now: Some(now),
        begun: [
            (key(ROAST, 0), done(-90, -80)),
            (key(ROAST, 1), done(-80, -70)),
            (key(ROAST, 2), running(-60, -50)),
            (key(DIP, 0), done(-9, -3)),
        ]
        .into(),
        pins: [(key(ROAST, 2), -60), (key(DIP, 1), -5)].into(),
        ways: [((ROAST, 2), 1), ((CHIPS, 0), 1)].into(),
        down: ["hob".to_owned()].into(),
        oven_c: [("oven".to_owned(), 180)].into(),
        ..Situation::default()
    };
    let before = situation_before(&evening, &situation(-55), &maps, DAY);
    assert_eq!(before.now, Some(1385));
    let begun = [(key(ROAST, 0), done(1350, 1360)), (key(ROAST, 1), running(1380, 1390))];
    assert_eq!(before.begun, begun.into());
    assert_eq!(before.pins, [(key(ROAST, 1), 1380)].into());
    assert_eq!(before.ways, [((ROAST, 1), 1)].into());
    assert_eq!(before.dropped, BTreeSet::from([CHIPS, DIP]));
    assert!(before.down.contains("hob") && before.oven_c.contains_key("oven"));
    // From midnight on what is broken or hot says nothing of an evening that is over.
    for now in [0, 60] {
        let after = situation_before(&evening, &situation(now), &maps, DAY);
        assert!(after.now.is_none() && after.down.is_empty() && after.oven_c.is_empty(), "{now}");
    }
}

#[test]
fn its_plan_comes_back_in_minutes_and_steps_of_the_day() {
    let plan = Plan {
        blocks: vec![
            block(key(DIP, 1), "board", (1020, 1026)),
            block(key(DIP, 9), "fridge", (1026, 1027)),
        ],
        waits: vec![wait(DIP, (0, 1), (1000, 1020)), wait(DIP, (1, 9), (1026, 1030))],
        settings: vec![heating((1004, 1020))],
        pans: vec![pan(DIP, "bowl-a", (1020, 1026))],
        cost: Cost { late: 7, ..Cost::default() },
        ..Plan::default()
    };
    let eve = back(plan, &BTreeMap::from([(DIP, vec![2, 3])]), DAY);
    let expected = Plan {
        blocks: vec![block(key(DIP, 3), "board", (-420, -414))],
        waits: vec![wait(DIP, (2, 3), (-440, -420))],
        settings: vec![heating((-436, -420))],
        pans: vec![pan(DIP, "bowl-a", (-420, -414))],
        ..Plan::default()
    };
    assert_eq!(eve, expected);
}

#[test]
fn what_cannot_be_made_the_day_before_is_named_by_the_recipes_own_steps() {
    let reasons = |a, b, c| {
        NoPlan::NoWay(NoWay {
            reasons: vec![
                Reason::Step { dish: DIP, step: a, whys: Vec::new() },
                Reason::Fridge { dish: DIP, step: b },
                Reason::Fridge { dish: ROAST, step: c },
                Reason::NoHours,
            ],
        })
    };
    let maps = BTreeMap::from([(DIP, vec![2, 5])]);
    assert_eq!(of_the_day(reasons(1, 0, 1), &maps), reasons(5, 2, 1));
    assert_eq!(of_the_day(reasons(7, 7, 7), &maps), reasons(7, 7, 7));
}

#[test]
fn the_day_before_stands_in_the_plan_once_and_in_order() {
    let done = block(key(DIP, 0), "board", (-400, -390));
    let planned = block(key(DIP, 0), "board", (-420, -414));
    let mut plan = Plan {
        blocks: vec![
            block(key(ROAST, 0), "board", (960, 970)),
            block(key(DIP, 1), "board", (960, 964)),
            done,
        ],
        waits: vec![wait(ROAST, (0, 1), (970, 980)), wait(DIP, (0, 1), (-390, 960))],
        settings: vec![heating((964, 980)), heating((950, 960))],
        pans: vec![
            pan(ROAST, "bowl-a", (-418, -415)),
            pan(DIP, "bowl-b", (-418, -415)),
            pan(DIP, "bowl-a", (-415, -413)),
            pan(DIP, "bowl-a", (-421, -419)),
            pan(DIP, "bowl-a", (-414, -400)),
            pan(DIP, "bowl-a", (-430, -420)),
            pan(DIP, "bowl-a", (960, 970)),
        ],
        ..Plan::default()
    };
    let eve = Plan {
        blocks: vec![planned.clone()],
        waits: vec![wait(DIP, (0, 1), (-414, 960))],
        settings: vec![heating((-436, -420))],
        pans: vec![pan(DIP, "bowl-a", (-420, -414))],
        ..Plan::default()
    };
    merge(&mut plan, &eve);
    assert_eq!(
        plan.blocks,
        [
            planned,
            block(key(DIP, 1), "board", (960, 964)),
            block(key(ROAST, 0), "board", (960, 970))
        ]
    );
    assert_eq!(plan.waits, [wait(DIP, (0, 1), (-414, 960)), wait(ROAST, (0, 1), (970, 980))]);
    assert_eq!(plan.settings, [heating((-436, -420)), heating((950, 960)), heating((964, 980))]);
    // Of its own bowl at its own time alone is nothing left, and what only touches it stays.
    assert_eq!(
        plan.pans,
        [
            pan(DIP, "bowl-a", (-430, -420)),
            pan(DIP, "bowl-a", (-420, -414)),
            pan(ROAST, "bowl-a", (-418, -415)),
            pan(DIP, "bowl-b", (-418, -415)),
            pan(DIP, "bowl-a", (-414, -400)),
            pan(DIP, "bowl-a", (960, 970)),
        ]
    );
}

/// What is shown, as it is settled at this minute with these changes.
fn settled(now: Option<Minute>, change: impl FnOnce(&mut Situation, &mut Plan)) -> Option<Eve> {
    let mut plan = shown();
    let mut situation = Situation { now, ..Situation::default() };
    change(&mut situation, &mut plan);
    situation.previous = Some(std::sync::Arc::new(plan));
    settle(&ahead(&[(DIP, 0)]), &situation).expect("a plan")
}

fn mixed(eve: &Eve) -> (Minute, Minute) {
    let [one] = eve.plan.blocks.as_slice() else { panic!("{:?}", eve.plan.blocks) };
    (one.start, one.end)
}

#[test]
fn what_is_shown_of_the_day_before_stays_while_it_can_be_done() {
    let running = |end| Begun::Running {
        start: -417,
        end,
        way: 0,
        station: "board".into(),
        cook: None,
        setting_c: None,
    };
    for now in [None, Some(-900), Some(-418), Some(-417), Some(0), Some(60)] {
        let eve = settled(now, |_, _| ()).expect("a day before");
        assert_eq!(mixed(&eve), (-417, -411), "{now:?}");
        // How long it waits over night is the day's to say.
        assert_eq!(eve.plan.waits, [wait(DIP, (0, 0), (-419, -417))]);
        assert_eq!(eve.plan.settings, [heating((-20, 0))]);
        assert_eq!(
            eve.plan.pans,
            [pan(DIP, "bowl-a", (-417, -411)), pan(ROAST, "tin-small", (-5, 0))]
        );
    }
    // Under way, and not over its time.
    let eve = settled(Some(-415), |s, _| _ = s.begun.insert(key(DIP, 0), running(-411)));
    let eve = eve.expect("a day before");
    assert_eq!((mixed(&eve), eve.plan.waits.len()), ((-417, -411), 1), "the plan that is shown");
    // Over its time it stands as it happens, and nothing of what was shown is taken for granted.
    let eve = settled(Some(-405), |s, _| _ = s.begun.insert(key(DIP, 0), running(-400)));
    assert_eq!(eve.expect("a day before").plan, Plan::default());
    // From another plan: too short, at a board that is out of use, gone by.
    let other =
        |now, change: fn(&mut Situation, &mut Plan)| mixed(&settled(now, change).expect("it"));
    assert_eq!(other(None, |_, p| p.blocks[0].end -= 1), (-420, -414));
    assert_eq!(other(None, |_, p| p.blocks[0].end += 1), (-420, -414));
    assert_eq!(other(Some(-416), |_, _| ()), (-416, -410));
    assert_eq!(other(None, |_, p| drop(p.blocks.remove(0))), (-420, -414));
}

#[test]
fn when_there_is_nothing_of_the_day_before_to_be_planned() {
    let done =
        Begun::Done { start: -417, end: -411, way: 0, station: "board".into(), left_out: false };
    let oven = || [("oven".to_owned(), 180)].into();
    // On that evening what is done of it stays in the plan, and what is hot is cold by the day.
    let begun = |s: &mut Situation| {
        s.begun.insert(key(DIP, 0), done.clone());
        s.oven_c = oven();
    };
    let eve = settled(Some(-60), |s, _| begun(s)).expect("still that evening");
    assert_eq!((mixed(&eve), eve.plan.waits.len()), ((-417, -411), 1));
    assert!(eve.situation.oven_c.is_empty() && eve.situation.planned.is_empty());
    // On the day it is over.
    assert_eq!(settled(Some(0), |s, _| begun(s)), None);
    assert_eq!(settled(None, |s, _| begun(s)), None);
    // From midnight on what nobody marked counts as made, and what is hot is hot.
    let eve = settled(Some(0), |s, _| s.oven_c = oven()).expect("made by now");
    assert!(eve.situation.begun.contains_key(&key(DIP, 0)));
    assert_eq!((eve.situation.planned.len(), eve.situation.oven_c.len()), (0, 1));
    // Dishes that are off or served, and dishes of the day.
    assert_eq!(settled(Some(-60), |s, _| _ = s.dropped.insert(DIP)), None);
    assert_eq!(settled(Some(-60), |s, _| _ = s.served.insert(DIP)), None);
    let today = Situation { now: Some(-60), ..Situation::default() };
    assert_eq!(settle(&evening(), &today), Ok(None));
}

/// From the last heat before it is set to cool, not from the first.
#[test]
fn food_cools_from_the_moment_it_leaves_the_heat() {
    let (mut evening, mut plan) = supper();
    evening.sheets[ROAST].recipe.steps[2].care = Some(StepCare::Cools);
    evening.party.guidance = "us_consumer".to_owned();
    let out = plan.blocks.iter().find(|b| b.key == key(ROAST, 1)).expect("roasted").end;
    plan.blocks.push(block(key(ROAST, 1), "hob", (900, 930)));
    let rest = plan.blocks.iter().find(|b| b.key == key(ROAST, 2)).expect("a rest").start;
    assert_eq!(out, rest, "straight from the oven");
    // Two hours: USDA, Leftovers and Food Safety; from memory.
    let two = evening.face.label(out + 120);
    assert_eq!(cooling(&evening, &plan, ROAST), [format!("in the fridge by {two}")]);
}
