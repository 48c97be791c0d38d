//! What a change refuses, and what it leaves of the evening.

use serde_json::json;

use super::change::{Ahead, Change, Changed, apply, day_before};
use super::tests::salads;
use crate::kitchen::clock::DAY;
use crate::kitchen::party::Stretch;
use crate::kitchen::{Evening, Minute, StepCare, TimeOfDay};
use crate::plan::sample::evening;
use crate::plan::{Begun, Held, Situation, StepKey};

fn one(evening: &Evening, situation: &Situation, change: Change) -> Result<Changed, String> {
    apply(evening, situation, &[change], |_, _, _| ()).map_err(|idle| idle.0)
}

fn key(dish: usize, step: usize, load: u32) -> StepKey {
    StepKey { dish, step, load }
}

fn begun(key: StepKey) -> Situation {
    let station = "board".into();
    let done = Begun::Done { start: 0, end: 5, way: 0, station, left_out: false };
    Situation { begun: [(key, done)].into(), ..Situation::default() }
}

#[test]
fn what_can_do_nothing_says_why() {
    let (evening, ahead) = (evening(), Situation::default());
    let now = |now| Situation { now: Some(now), ..Situation::default() };
    let to = |to| Change::ServiceAt { service: 0, to };
    let there = |from, to| Change::CookThere { cook: 0, from, to };
    let waiting = Situation {
        held: [(0, Held { hold: Some(0), since: 0, station: None })].into(),
        ..Situation::default()
    };
    let another = [
        (&ahead, Change::ServiceAt { service: 1, to: 1140 }, "The party has no such service."),
        (&now(1000), to(999), "That time has passed."),
        (&ahead, to(-1), "That is not on the party's day."),
        (&ahead, to(2 * DAY), "That is not on the party's day."),
        // There from 16:00 to 17:00 and from 17:10 to 20:00.
        (&ahead, there(960, 1020), "Kim is there already."),
        (&ahead, there(1190, 1200), "Kim is there already."),
        (&ahead, there(900, 900), "Those are not hours of the party's day."),
        (&ahead, Change::Way { dish: 0, step: 1, way: 2 }, "The recipe has no such way."),
        (&ahead, Change::Way { dish: 0, step: 3, way: 0 }, "The recipe has no such way."),
        (&begun(key(0, 1, 3)), Change::Way { dish: 0, step: 1, way: 1 }, "It has begun already."),
        (&ahead, Change::Place { dish: 0, hold: 2 }, "The recipe has no such place."),
        (&waiting, Change::Place { dish: 0, hold: 1 }, "It waits already."),
    ];
    for (situation, change, why) in another {
        let said = one(&evening, situation, change.clone()).map(|_| ());
        assert_eq!(said, Err(why.to_owned()), "{change:?}");
    }
}

#[test]
fn what_is_changed_stands_in_the_evening() {
    let (evening, ahead) = (evening(), Situation::default());
    let now = Situation { now: Some(1000), ..Situation::default() };
    let done = |situation: &Situation, change| one(&evening, situation, change).expect("a change");
    let to = |to| Change::ServiceAt { service: 0, to };
    assert_eq!(done(&now, to(1000)).situation.service_at, [(0, 1000)].into());
    assert_eq!(done(&ahead, to(2 * DAY - 1)).situation.service_at, [(0, 2 * DAY - 1)].into());
    let way = Change::Way { dish: 0, step: 1, way: 1 };
    // The steps beside it have begun.
    for before in [key(0, 0, 7), key(0, 2, 0)] {
        assert_eq!(done(&begun(before), way.clone()).situation.ways, [((0, 1), 1)].into());
    }
    let place = done(&ahead, Change::Place { dish: 0, hold: 1 });
    assert_eq!(place.situation.places, [(0, 1)].into());
    let fewer = done(&ahead, Change::Servings { dish: 1, servings: 4 });
    assert_eq!(fewer.evening.sheets.iter().map(|s| s.servings).collect::<Vec<_>>(), [4, 4, 8]);
    let party = fewer.evening.party.dishes.iter().map(|d| d.servings);
    assert_eq!(party.collect::<Vec<_>>(), [4, 4, 8]);
}

#[test]
fn hours_that_touch_or_meet_become_one() {
    let evening = evening();
    let hours = |from, to| {
        let change = Change::CookThere { cook: 0, from, to };
        let changed = one(&evening, &Situation::default(), change).expect("a change");
        let free = &changed.evening.party.cooks[0].free;
        free.iter().map(|f| (f.from.0, f.to.0)).collect::<Vec<(Minute, Minute)>>()
    };
    assert_eq!(hours(1020, 1030), [(960, 1200)]);
    assert_eq!(hours(1000, 1040), [(960, 1200)]);
    assert_eq!(hours(900, 1210), [(900, 1210)]);
    assert_eq!(hours(1200, 1260), [(960, 1020), (1030, 1260)]);
    assert_eq!(hours(900, 950), [(900, 950), (960, 1020), (1030, 1200)]);
    // Part of it is there already.
    assert_eq!(hours(950, 1000), [(950, 1020), (1030, 1200)]);
    assert_eq!(hours(1190, 1201), [(960, 1020), (1030, 1201)]);
    let whole = Stretch { from: TimeOfDay(960), to: TimeOfDay(1200) };
    let face = &evening.face;
    assert_eq!(super::change::joined(face, &[whole], Stretch { ..whole }), [whole]);
}

/// The board makes one job less of the chips: what was their second step is their first.
#[test]
fn what_was_settled_about_jobs_that_are_no_more_is_given_up() {
    let evening = evening();
    let situation = Situation {
        pins: [(key(0, 1, 0), 1000), (key(1, 0, 0), 1010), (key(1, 1, 0), 1020)].into(),
        ways: [((0, 1), 1), ((1, 0), 0), ((1, 1), 0)].into(),
        ..Situation::default()
    };
    let change = [Change::Servings { dish: 1, servings: 4 }];
    let changed = apply(&evening, &situation, &change, |evening, _, _| {
        evening.sheets[1].recipe.steps.remove(0);
    });
    let left = changed.expect("a change").situation;
    assert_eq!(left.pins, [(key(0, 1, 0), 1000)].into());
    assert_eq!(left.ways, [((0, 1), 1)].into());
}

/// A salad of half an hour, ten minutes of which want the cook and half of the rest: 10 + 10.
#[test]
fn hands_of_the_day_before_are_those_of_its_steps() {
    let hands = |hands: serde_json::Value| {
        let evening = salads(|_, r| {
            r[1]["holds"][0]["most_minutes"] = json!(1370);
            r[1]["steps"][0]["hands"] = hands;
        });
        day_before(&evening, &Situation::default(), 1).map(|a| a.hands)
    };
    let half = json!({"start_minutes": 6, "end_minutes": 4, "between_percent": 50});
    assert_eq!(hands(half), Some(20));
    assert_eq!(hands(json!({"start_minutes": 20, "end_minutes": 15})), Some(30));
}

#[test]
fn the_day_before_ends_at_ten_and_marks_its_dish() {
    let evening = salads(|_, r| r[1]["holds"][0]["most_minutes"] = json!(1370));
    let at = |now| {
        let situation = Situation { now: Some(now), ..Situation::default() };
        day_before(&evening, &situation, 1).is_some()
    };
    assert!(at(-120) && !at(-119));
    // What has begun of another dish is no hindrance.
    assert!(day_before(&evening, &begun(key(0, 0, 0)), 1).is_some());
    assert!(day_before(&evening, &begun(key(1, 0, 0)), 1).is_none());
    let changed = one(&evening, &Situation::default(), Change::DayBefore { dish: 1 });
    let dishes = changed.expect("a change").evening.party.dishes;
    assert_eq!(dishes.iter().map(|d| d.day_before).collect::<Vec<_>>(), [false, true]);
}

#[test]
fn what_is_made_ahead_is_told_by_its_steps_without_their_cooling() {
    let of = evening().sheets[0].recipe.clone();
    let mut recipe = of.clone();
    recipe.steps[0].day_before = true;
    recipe.steps[1].day_before = true;
    let mut cool = recipe.steps[1].clone();
    (cool.id, cool.label, cool.care) = ("cool".into(), "cool".into(), Some(StepCare::Cools));
    let mut again = of.steps[1].clone();
    (again.id, again.care) = ("again".into(), Some(StepCare::Reheats));
    recipe.steps.push(cool);
    let part = Ahead { dish: 0, recipe: recipe.clone(), hands: 0 };
    assert!(!part.is_whole(&of) && !part.is_reheated());
    assert_eq!(part.labels().collect::<Vec<_>>(), ["season", "roast"]);
    recipe.steps[2].day_before = true;
    recipe.steps.push(again);
    let whole = Ahead { dish: 0, recipe, hands: 0 };
    assert!(whole.is_whole(&of) && whole.is_reheated());
    assert_eq!(whole.labels().collect::<Vec<_>>(), ["season", "roast", "rest"]);
}
