//! Loads, minutes and names of a dish as it is made, by worked examples. Invented dishes.

use serde_json::{Value, json};

use super::*;
use crate::kitchen::{Minutes, OwnTime, StationKind, check};

fn sheet(step: Value, servings: u32) -> Sheet {
    let recipe: Recipe = serde_json::from_value(json!({
        "id": "r", "title": "A very long title", "course": "main", "servings": 8, "ingredients": [],
        "steps": [step], "safety": {"class": "cooked_plant"}}))
    .expect("reads");
    Sheet {
        id: "d".to_owned(),
        letter: 'D',
        recipe: recipe.clone(),
        written: recipe,
        servings,
        service: 0,
        jobs: Vec::new(),
        waits_for: Vec::new(),
    }
}

/// In loads of four: nine are three of them. In proportion: 20 minutes for eight are 23 for nine, rounded up.
#[test]
fn loads_and_minutes_grow_with_the_servings() {
    let fry = json!({"id": "a", "text": "Fry.", "label": "fry",
        "ways": [{"station": "air_fryer", "minutes": 8, "load_servings": 4}]});
    let loads: Vec<_> = [1, 4, 5, 8, 9].map(|n| sheet(fry.clone(), n).loads(0, 0)).into();
    assert_eq!(loads, [1, 1, 2, 2, 3]);
    assert_eq!((sheet(fry.clone(), 9).loads(0, 1), sheet(fry.clone(), 9).loads(1, 0)), (1, 1));
    assert_eq!(sheet(fry.clone(), 16).minutes(0, 0), 8, "each load as long as written");
    let mut none = sheet(fry, 16);
    none.recipe.steps[0].ways[0].load_servings = Some(0);
    assert_eq!(none.loads(0, 0), 1, "a load of nothing is none that is stated");
    let chop = json!({"id": "a", "text": "Chop.", "label": "chop", "grows": "proportion",
        "ways": [{"station": "counter", "minutes": {"low": 16, "likely": 20, "high": 30}}]});
    let of = |n: u32| {
        let sheet = sheet(chop.clone(), n);
        (sheet.low_minutes(0, 0), sheet.minutes(0, 0), sheet.high_minutes(0, 0))
    };
    assert_eq!((of(8), of(9), of(16)), ((16, 20, 30), (18, 23, 34), (32, 40, 60)));
    assert_eq!(of(0), (1, 1, 1), "a minute at the least");
    let none = sheet(chop, 16);
    assert_eq!((none.minutes(1, 0), none.minutes(0, 1)), (1, 1));
}

#[test]
fn a_name_for_narrow_places_is_the_recipes_or_twelve_letters() {
    let mut sheet = sheet(json!({"id": "a", "text": "A.", "label": "a", "ways": []}), 8);
    assert_eq!(sheet.short(), "A very long ");
    sheet.recipe.short = Some("pie".to_owned());
    assert_eq!(sheet.short(), "pie");
}

/// What is cut by a job and waits in the cold is out from its cut on; what another step has done is not.
#[test]
fn cold_pieces_are_out_from_their_cut_on() {
    let mut sheet = sheet(json!({"id": "cut", "text": "Cut.", "label": "cut", "ways": []}), 8);
    let mut mix = sheet.recipe.steps[0].clone();
    mix.id = "mix".to_owned();
    mix.after = vec![crate::kitchen::ahead::follows("cut", WaitPlace::Cold)];
    sheet.recipe.steps.push(mix);
    assert!(!sheet.cuts_cold("cut"), "no job of the party");
    let job = |step: &str| BoardJob { step: step.to_owned(), job: "j".into(), dishes: vec![] };
    sheet.jobs = vec![job("mix")];
    assert!(!sheet.cuts_cold("cut") && !sheet.cuts_cold("mix"));
    sheet.jobs = vec![job("cut")];
    assert!(sheet.cuts_cold("cut"));
    sheet.recipe.steps[1].after[0].place = WaitPlace::Room;
    assert!(!sheet.cuts_cold("cut"));
    assert_eq!(
        (sheet.last_step(), sheet.step_index("mix"), sheet.step_index("x")),
        (1, Some(1), None)
    );
}

/// Twelve minutes instead of the recipe's ten, where the recipe still says ten of that step, there.
#[test]
fn own_times_stand_where_the_recipe_says_what_it_said() {
    let step = json!({"id": "a", "text": "A.", "label": "a", "grows": "proportion",
        "ways": [{"station": "counter", "minutes": 10}, {"station": "stovetop", "minutes": 10}]});
    let minutes = |n: u32| Minutes { low: n, likely: n, high: n };
    let time = |recipe: &str, step: &str, station: StationKind, written: u32| OwnTime {
        recipe: recipe.to_owned(),
        step: step.to_owned(),
        station,
        written: minutes(written),
        own: minutes(12),
    };
    let made = |times: Vec<OwnTime>| {
        let mut recipe = sheet(step.clone(), 8).recipe;
        OwnTimes::from(times).onto(&mut recipe);
        recipe.steps[0].ways.iter().map(|w| w.minutes.likely).collect::<Vec<_>>()
    };
    let at = StationKind::Counter;
    assert_eq!(made(vec![time("r", "a", at, 10)]), [12, 10]);
    assert_eq!(made(vec![time("r", "a", at, 11)]), [10, 10], "the recipe says otherwise by now");
    assert_eq!(made(vec![time("x", "a", at, 10)]), [10, 10]);
    assert_eq!(made(vec![time("r", "x", at, 10)]), [10, 10]);
    let all = OwnTimes::from(vec![time("r", "a", at, 10)]);
    let written = |r: &str, s: &str, k: StationKind, now: u32| {
        all.written(r, s, k, minutes(now)).map(|t| t.written.likely)
    };
    assert_eq!(written("r", "a", at, 12), Some(10));
    assert_eq!(written("r", "a", at, 10), None);
    assert_eq!(written("r", "a", StationKind::Stovetop, 12), None);
    assert_eq!(written("r", "x", at, 12), None);
    assert_eq!(written("x", "a", at, 12), None);
    // Of an evening: planned by 12 for eight, 24 for sixteen, written as 20; and as ever without them.
    let evening = evening(step, 16).by_own_times(all);
    assert_eq!((evening.sheets[0].minutes(0, 0), evening.written_minutes(0, 0, 0)), (24, 20));
    assert_eq!((evening.sheets[0].minutes(0, 1), evening.written_minutes(0, 0, 1)), (20, 20));
    assert_eq!((evening.written_minutes(0, 0, 2), evening.written_minutes(1, 0, 0)), (1, 1));
    let without = evening.by_own_times(OwnTimes::default());
    assert_eq!((without.sheets[0].minutes(0, 0), without.written_minutes(0, 0, 0)), (20, 20));
}

fn evening(step: Value, servings: u32) -> Evening {
    let party: Party = serde_json::from_value(json!({
        "id": "p", "title": "P", "day": "2026-10-24", "table_minutes": 70,
        "services": [{"id": "s", "title": "S", "at": "18:00"}, {"id": "t", "title": "T", "at": "17:30"}],
        "dishes": [{"id": "d", "recipe": "r", "servings": servings, "service": "t"}],
        "cooks": [{"id": "ana", "name": "Ana", "free": [{"from": "14:00", "to": "23:00"}]}],
        "kitchen": "home"}))
    .expect("reads");
    let kitchen = json!({"id": "home", "title": "Home", "stations": [], "cookware": []});
    let face = Clockface::fixed(party.day, 0);
    let recipe = sheet(step, servings).recipe;
    check::evening(party, serde_json::from_value(kitchen).expect("reads"), vec![recipe], face)
}

/// The cook's settings, but for the party's own degrees.
#[test]
fn customs_are_the_cooks_and_degrees_the_partys() {
    use crate::kitchen::Customs;
    use crate::kitchen::clock::Hours;
    use crate::kitchen::units::Degrees;
    let bare = || evening(json!({"id": "a", "text": "A.", "label": "a", "ways": []}), 8);
    let customs = Customs {
        degrees: Degrees::Fahrenheit,
        hours: Hours::Twelve,
        comma: true,
        ..Customs::default()
    };
    let read = bare().read_by(customs);
    assert_eq!((read.customs, read.face.hours), (customs, Hours::Twelve));
    let mut own = bare();
    own.party.degrees = Some(Degrees::Celsius);
    let read = own.read_by(customs);
    assert_eq!(read.customs, Customs { degrees: Degrees::Celsius, ..customs });
}

#[test]
fn services_and_the_table_are_those_of_the_party() {
    let mut evening = evening(json!({"id": "a", "text": "A.", "label": "a", "ways": []}), 8);
    assert_eq!((evening.service_minute(0), evening.last_service()), (1080, Some(1080)));
    assert_eq!((evening.sheets[0].service, evening.service_minute(2)), (1, 0));
    assert_eq!((evening.table_minutes(0), evening.table_minutes(9)), (70, 70));
    evening.sheets[0].recipe.safety.table_minutes = Some(15);
    assert_eq!(evening.table_minutes(0), 15);
    evening.party.services.clear();
    assert_eq!(evening.last_service(), None);
}

/// Heating 10 °C a minute, cooling 5: a started minute counts.
#[test]
fn a_thermostat_takes_whole_minutes() {
    let oven = crate::kitchen::Thermostat {
        least_c: 50,
        most_c: 250,
        up_c_per_min: 10,
        down_c_per_min: 5,
    };
    let took =
        [(20, 200), (20, 201), (200, 150), (200, 149), (80, 80)].map(|(a, b)| oven.minutes(a, b));
    assert_eq!(took, [18, 19, 10, 11, 0]);
}
