use std::collections::BTreeMap;
use std::sync::Arc;

use serde_json::{Value, json};

use crate::kitchen::units::Degrees;
use crate::kitchen::{DAY, Evening, PartyChange, StepCare};
use crate::plan::eve::cooling;
use crate::plan::planner::{Budget, NoPlan, Planning, plan_ahead, reshuffle};
use crate::plan::planner_tests::as_planned;
use crate::plan::sample::{evening_with, read};
use crate::plan::verify::verify;
use crate::plan::{Plan, Situation, StepKey};
use crate::safety::{Profile, hold_limits};

const BUDGET: Budget<'_> = Budget { seed: 1, rounds: 60, stop: &|| false };

/// The supper, its roast made the day before, cooled and heated again.
fn supper(change: impl FnOnce(&mut Value, &mut [Value; 3])) -> Evening {
    evening_with(|party, _, recipes| {
        party["dishes"][0]["day_before"] = json!(true);
        recipes[0]["reheat"] = json!({
            "ways": [{"station": "oven", "minutes": 30, "at_c": 160}],
            "hands": {"start_minutes": 2, "end_minutes": 2}, "cookware": [{"kind": "tin"}]});
        change(party, recipes);
    })
}

fn plan(evening: &Evening) -> Plan {
    plan_ahead(evening, &BUDGET, &mut |_| ()).expect("a plan")
}

fn is_sound(evening: &Evening, situation: &Situation, plan: &Plan) {
    let profile = Profile::by_id(&evening.party.guidance).expect("known");
    verify(evening, situation, profile, plan).expect("sound");
}

fn of_the_day_before(evening: &Evening, key: StepKey) -> bool {
    evening.sheets[key.dish].recipe.steps[key.step].day_before
}

#[test]
fn the_day_before_is_planned_with_its_cooling_and_the_day_with_its_reheating() {
    let evening = supper(|_, _| ());
    let plan = plan(&evening);
    is_sound(&evening, &Situation::default(), &plan);
    let of = |care| {
        let found = plan
            .blocks
            .iter()
            .find(|b| evening.sheets[b.key.dish].recipe.steps[b.key.step].care == Some(care));
        found.expect("a block")
    };
    let (cool, again) = (of(StepCare::Cools), of(StepCare::Reheats));
    // In the usual hours of the day before, with hands, and not marked.
    assert!(cool.start >= -7 * 60 && cool.end <= -2 * 60, "{cool:?}");
    assert!(cool.cook.is_some() && !cool.begun && !cool.slots.is_empty());
    // Overnight it has a place in the fridge, and its tin is free until the reheating.
    let night = plan.waits.iter().find(|w| w.from == cool.end).expect("a wait");
    assert!(night.to == again.start && night.station.as_deref() == Some("fridge"));
    let tins: Vec<_> = plan.pans.iter().filter(|p| p.dish == 0).map(|p| (p.from, p.to)).collect();
    assert_eq!(tins.len(), 2, "{tins:?}");
    assert!(tins[0].1 <= cool.end && tins[1].0 >= again.start);
    assert!(plan.blocks.is_sorted_by_key(|b| b.start) && plan.waits.is_sorted_by_key(|w| w.from));
    assert!(plan.settings.is_sorted_by_key(|s| s.from) && plan.pans.is_sorted_by_key(|p| p.from));
    // The oven is warmed for it.
    assert!(plan.settings.iter().any(|s| s.from > 0 && s.to <= again.start));
    assert!(again.end <= 19 * 60 && plan.cost.late == 0);
    // The same every time.
    assert_eq!(self::plan(&evening), plan);
}

/// By the guidance's own minutes from the end of the roasting on: USDA's two hours, the Food Code's two stages.
#[test]
fn it_says_by_when_a_cooked_dish_must_be_cold() {
    let of = |guidance: &str| {
        let mut evening = supper(|party, _| party["guidance"] = json!(guidance));
        evening.customs.degrees = Degrees::Fahrenheit;
        let plan = plan(&evening);
        let roast = StepKey { dish: 0, step: 1, load: 0 };
        let out = plan.blocks.iter().find(|b| b.key == roast).expect("roasted").end;
        let by = [120, 360].map(|minutes| evening.face.label(out + minutes));
        assert_eq!(cooling(&evening, &plan, 2), [""; 0], "the dip is never hot");
        (cooling(&evening, &plan, 0), by)
    };
    let (said, [two, _]) = of("us_consumer");
    assert_eq!(said, [format!("in the fridge by {two}")]);
    let (said, [two, six]) = of("us_food_code_2022");
    assert_eq!(said.len(), 2);
    assert!(said[0].starts_with("70 °F") && said[0].ends_with(&format!("or colder by {two}")));
    assert!(said[1].starts_with("41 °F") && said[1].ends_with(&format!("or colder by {six}")));
}

#[test]
fn what_is_hot_the_day_before_says_nothing_of_the_day() {
    let evening = supper(|_, _| ());
    let oven_c = BTreeMap::from([("oven".to_owned(), 180)]);
    let situation = Situation { now: Some(-5 * 60), oven_c, ..Situation::default() };
    let planning = Planning::new(&evening, &situation).expect("a problem");
    assert!(planning.situation().oven_c.is_empty());
}

/// What the check says of a plan after a block of the roast was moved: from and to.
fn said(now: Option<i32>, step: usize, from: i32, to: i32) -> Vec<String> {
    let evening = supper(|_, _| ());
    let mut plan = plan(&evening);
    let key = StepKey { dish: 0, step, load: 0 };
    let block = plan.blocks.iter_mut().find(|b| b.key == key).expect("a block");
    (block.start, block.end) = (from, to);
    let profile = Profile::by_id(&evening.party.guidance).expect("known");
    let situation = Situation { now, ..Situation::default() };
    let faults = verify(&evening, &situation, profile, &plan).err().unwrap_or_default();
    faults.into_iter().map(|f| f.what).collect()
}

#[test]
fn the_check_knows_the_day_before_its_hours_and_its_clock() {
    let any = |faults: Vec<String>, what: &str| faults.iter().any(|f| f.contains(what));
    // Nobody says otherwise: from 17:00 to 22:00, and longer only once that evening has begun.
    let minute = |minute: i32| format!("at minute {minute}");
    assert!(any(said(None, 0, -421, -411), &minute(-421)));
    assert!(!any(said(None, 0, -420, -410), &minute(-421)));
    assert!(any(said(None, 0, -129, -119), &minute(-120)));
    assert!(!any(said(None, 0, -130, -120), &minute(-120)));
    assert!(!any(said(Some(-500), 0, -129, -119), &minute(-120)));
    assert!(any(said(Some(-500), 0, -421, -411), &minute(-421)));
    let over = "roast/season is not over on the day before";
    assert!(any(said(None, 0, -9, 1), over));
    assert!(!any(said(None, 0, -10, 0), over));
    // Out of the oven at the beginning of its rest, and in the fridge within two hours.
    let evening = supper(|_, _| ());
    let rest = StepKey { dish: 0, step: 2, load: 0 };
    let out = plan(&evening).blocks.iter().find(|b| b.key == rest).expect("a rest").start;
    let late = "comes into the fridge after";
    assert!(!any(said(None, 3, out + 110, out + 120), late));
    let faults = said(None, 3, out + 111, out + 121);
    assert!(any(faults, "roast/cool comes into the fridge after 121 minutes; 120 are allowed"));
    // After midnight it lies behind.
    assert!(!any(said(Some(0), 3, out + 111, out + 121), late));
}

#[test]
fn what_is_made_the_day_before_has_its_pans_then() {
    let evening = supper(|_, _| ());
    let mut plan = plan(&evening);
    plan.pans.retain(|p| p.from >= 0);
    let profile = Profile::by_id(&evening.party.guidance).expect("known");
    let faults = verify(&evening, &Situation::default(), profile, &plan).expect_err("no tin");
    assert!(faults.iter().any(|f| f.what.starts_with("roast has 0 tin")), "{faults:?}");
}

#[test]
fn what_was_hot_the_day_before_is_cold_by_the_day() {
    // Roasted in the oven, for want of another way.
    let evening = supper(|_, recipes| {
        recipes[0]["steps"][1]["ways"].as_array_mut().expect("ways").pop();
    });
    let mut plan = plan(&evening);
    is_sound(&evening, &Situation::default(), &plan);
    assert!(plan.settings.iter().any(|s| s.to <= 0 && s.to_c >= 170));
    let heats = plan.settings.iter_mut().find(|s| s.from > 0).expect("a pre-heat");
    assert_eq!(heats.from_c, evening.party.room_c);
    heats.from_c = 180;
    let profile = Profile::by_id(&evening.party.guidance).expect("known");
    let faults = verify(&evening, &Situation::default(), profile, &plan).expect_err("it is cold");
    assert!(faults.iter().any(|f| f.what.contains("it has 21 °C, not 180")), "{faults:?}");
}

/// Whatever has been done of it by any time, the rest is planned around that;
/// once midnight has passed what was not marked counts as made.
#[test]
fn the_day_before_goes_on_from_where_it_stands() {
    let evening = supper(|_, _| ());
    let first = plan(&evening);
    for now in [-24 * 60, -7 * 60, -6 * 60 - 30, -5 * 60, -3 * 60, 60, 16 * 60] {
        let begun = if now < 0 { as_planned(&first, now) } else { BTreeMap::new() };
        let previous = Some(Arc::new(first.clone()));
        let situation = Situation { now: Some(now), begun, previous, ..Situation::default() };
        let next = reshuffle(&evening, &situation, &BUDGET, &mut |_| ()).expect("a plan");
        is_sound(&evening, &situation, &next);
        for block in first.blocks.iter().filter(|b| of_the_day_before(&evening, b.key)) {
            let same = next.blocks.iter().find(|b| b.key == block.key).expect("still there");
            assert_eq!((same.start, same.end), (block.start, block.end), "{now}");
        }
    }
}

/// An hour late on the day before, what is left of it is put off.
#[test]
fn what_is_late_the_day_before_is_put_off() {
    let evening = supper(|_, _| ());
    let first = plan(&evening);
    let start = first.blocks.iter().map(|b| b.start).min().expect("blocks");
    let (now, previous) = (Some(start + 60), Some(Arc::new(first)));
    let situation = Situation { now, previous, ..Situation::default() };
    let next = reshuffle(&evening, &situation, &BUDGET, &mut |_| ()).expect("a plan");
    is_sound(&evening, &situation, &next);
    assert!(next.blocks.iter().all(|b| b.start >= start + 60));
}

#[test]
fn what_does_not_fit_into_the_hours_of_the_day_before_is_said() {
    let evening = supper(|party, _| {
        party["cooks"][0]["free_day_before"] = json!([{"from": "21:00", "to": "21:30"}]);
    });
    let no = plan_ahead(&evening, &BUDGET, &mut |_| ()).expect_err("too short");
    let NoPlan::Clash { words, .. } = no else { panic!("{no:?}") };
    assert!(words.iter().all(|w| w.starts_with("The day before: ")), "{words:?}");
}

/// A dip that may wait for 22 hours only is not made at five for the next evening.
#[test]
fn food_that_keeps_a_certain_time_is_made_no_earlier() {
    let evening = supper(|party, recipes| {
        party["dishes"][0]["day_before"] = json!(false);
        party["dishes"][2]["day_before"] = json!(true);
        recipes[2]["steps"][1]["after"][0]["most_minutes"] = json!(120);
        recipes[2]["holds"] = json!([{"place": "fridge", "class": "cold", "free_minutes": 1320,
            "points": 1, "most_minutes": 1320}]);
    });
    let plan = plan(&evening);
    is_sound(&evening, &Situation::default(), &plan);
    let last = plan.blocks.iter().filter(|b| of_the_day_before(&evening, b.key)).map(|b| b.end);
    // Dished up at 18:55 at the latest: not ready before 20:55.
    assert!(last.max().is_some_and(|end| end >= -3 * 60 - 5), "{plan:?}");
    let ahead = Situation::default();
    let planning = Planning::new(&evening, &ahead).expect("a problem");
    assert_eq!(planning.situation().begun.len(), 2);
}

/// What is made the day before and may wait so long for the day, and no longer, is used in time:
/// a plan in which it is not was found, priced as if it could not be helped, and refused by the
/// check.
#[test]
fn what_waits_for_the_day_waits_no_longer_than_it_may() {
    let evening = ten();
    let budget = Budget { rounds: 30, ..BUDGET };
    let shown = plan_ahead(&evening, &budget, &mut |_| ()).expect("a plan");
    let mut before = evening.clone();
    for id in ["lentil-soup", "chicken-thighs"] {
        let change = PartyChange::DayBefore { dish: id.into(), on: true };
        before = change.apply(&before, hold_limits()).expect("a change");
    }
    let situation = Situation { previous: Some(Arc::new(shown)), ..Situation::default() };
    let planning = Planning::new(&before, &situation).expect("a problem");
    for seed in 1..=3 {
        let budget = Budget { seed, ..budget };
        let (plan, _) = planning.search(planning.shown().as_ref(), &budget).expect("a plan");
        is_sound(&before, &situation, &plan);
    }
}

/// What is only planned for the day before has not happened yet, however far ahead it lies: what waits for the day from
/// then on may wait from then on.
#[test]
fn dishes_moved_one_after_the_other_days_ahead_are_on_time() {
    let mut evening = six();
    let mut shown = plan(&evening);
    for id in ["lentil-soup", "chicken-thighs"] {
        let change = PartyChange::DayBefore { dish: id.into(), on: true };
        evening = change.apply(&evening, hold_limits()).expect("a change");
        let previous = Some(Arc::new(shown));
        let situation = Situation { previous, now: Some(-6 * DAY + 600), ..Situation::default() };
        shown = reshuffle(&evening, &situation, &BUDGET, &mut |_| ()).expect("a plan");
        is_sound(&evening, &situation, &shown);
        assert_eq!(shown.cost.late, 0, "{id}");
    }
    // The rub waits for a day at the most, and not less than it takes to be on time.
    let spread = shown.waits.iter().find(|w| w.dish == 2 && w.before_step == 1).expect("a wait");
    assert!(spread.from < 0 && spread.to - spread.from <= DAY, "{spread:?}");
}

/// Six dishes of the shelf for eight, in two services.
fn six() -> Evening {
    let dish = |id: &str, service: &str| json!({"id": id, "recipe": id, "servings": 8, "service": service});
    let party = json!({
        "id": "six", "title": "Six dishes", "day": "2026-12-05", "kitchen": "home",
        "services": [
            {"id": "starters", "title": "Starters", "at": "18:00"},
            {"id": "mains", "title": "Mains", "at": "19:00"}],
        "dishes": [
            dish("lentil-soup", "starters"), dish("bean-dip", "starters"),
            dish("chicken-thighs", "mains"), dish("crisp-sprouts", "mains"),
            dish("herb-rice", "mains"), dish("pear-crumble", "mains")],
        "cooks": [{"id": "kim", "name": "Kim", "free": [{"from": "12:00", "to": "20:30"}]}],
        "guests": [{"name": "guests", "count": 8}]
    });
    let shelf = [
        include_str!("../../assets/recipes/lentil-soup.json"),
        include_str!("../../assets/recipes/bean-dip.json"),
        include_str!("../../assets/recipes/chicken-thighs.json"),
        include_str!("../../assets/recipes/crisp-sprouts.json"),
        include_str!("../../assets/recipes/herb-rice.json"),
        include_str!("../../assets/recipes/pear-crumble.json"),
    ];
    let json = |text: &str| serde_json::from_str::<Value>(text).expect("our own file");
    let kitchen = json(include_str!("../../assets/kitchens/home.json"));
    read(party, kitchen, shelf.into_iter().map(json).collect())
}

/// Ten dishes of the shelf for ten, in three services.
fn ten() -> Evening {
    let dish = |id: &str, service: &str| json!({"id": id, "recipe": id, "servings": 10, "service": service});
    let party = json!({
        "id": "ten", "title": "Ten dishes", "day": "2026-12-05", "kitchen": "home",
        "services": [
            {"id": "starters", "title": "Starters", "at": "18:00"},
            {"id": "mains", "title": "Mains", "at": "19:00"},
            {"id": "desserts", "title": "Desserts", "at": "20:00"}],
        "dishes": [
            dish("lentil-soup", "starters"), dish("beet-salad", "starters"),
            dish("cheese-straws", "starters"), dish("chicken-thighs", "mains"),
            dish("pasta-bake", "mains"), dish("glazed-carrots", "mains"),
            dish("minted-peas", "mains"), dish("buttermilk-mash", "mains"),
            dish("apple-sponge", "desserts"), dish("vanilla-custard", "desserts")],
        "cooks": [{"id": "kim", "name": "Kim", "free": [{"from": "12:00", "to": "20:30"}]}],
        "guests": [{"name": "guests", "count": 10}]
    });
    let shelf = [
        include_str!("../../assets/recipes/lentil-soup.json"),
        include_str!("../../assets/recipes/beet-salad.json"),
        include_str!("../../assets/recipes/cheese-straws.json"),
        include_str!("../../assets/recipes/chicken-thighs.json"),
        include_str!("../../assets/recipes/pasta-bake.json"),
        include_str!("../../assets/recipes/glazed-carrots.json"),
        include_str!("../../assets/recipes/minted-peas.json"),
        include_str!("../../assets/recipes/buttermilk-mash.json"),
        include_str!("../../assets/recipes/apple-sponge.json"),
        include_str!("../../assets/recipes/vanilla-custard.json"),
    ];
    let json = |text: &str| serde_json::from_str::<Value>(text).expect("our own file");
    let kitchen = json(include_str!("../../assets/kitchens/home.json"));
    read(party, kitchen, shelf.into_iter().map(json).collect())
}
