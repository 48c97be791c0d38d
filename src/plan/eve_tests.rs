use std::collections::BTreeMap;
use std::sync::Arc;

use serde_json::{Value, json};

use crate::kitchen::{Evening, StepCare};
use crate::plan::planner::{Budget, NoPlan, Planning, plan_ahead, reshuffle};
use crate::plan::planner_tests::as_planned;
use crate::plan::sample::evening_with;
use crate::plan::verify::verify;
use crate::plan::{Plan, Situation, StepKey};
use crate::safety::Profile;

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
    // The oven is warmed for it.
    assert!(plan.settings.iter().any(|s| s.from > 0 && s.to <= again.start));
    assert!(again.end <= 19 * 60 && plan.cost.late == 0);
    // The same every time.
    assert_eq!(self::plan(&evening), plan);
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
