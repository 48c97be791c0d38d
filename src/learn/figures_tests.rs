//! The arithmetic of the cook's own times, figure by figure, against another program's.
//!
//! The evenings are invented. What comes of them was worked out by `tests/outside/own_times.py` (SciPy's BFGS over the
//! density written down with SciPy's distributions, NumPy's inverse for the covariance), which shares no code with ours;
//! where a step has more than one oven or cook, by its covariance and the formula in [`super::own`]'s comments.

use chrono::NaiveDate;
use serde_json::{Value, json};

use super::own::{Estimate, Known};
use super::{Group, Seen};
use crate::kitchen::{Clockface, Evening, Minutes, StationKind, check};

const ROAST: Minutes = Minutes { low: 330, likely: 400, high: 520 };
const BAKE: Minutes = Minutes { low: 40, likely: 45, high: 60 };
const CHOP: Minutes = Minutes { low: 8, likely: 10, high: 15 };
const REST: Minutes = Minutes { low: 5, likely: 10, high: 10 };
const KNEAD: Minutes = Minutes { low: 10, likely: 10, high: 10 };

/// Evening, recipe, step, the recipe's minutes, minutes by the recipe for the servings made, minutes it took.
type Row = (u32, &'static str, &'static str, Minutes, f64, f64);

const ROWS: [Row; 11] = [
    (3, "pie", "knead", KNEAD, 10.0, 13.0),
    (1, "roast", "cook", ROAST, 400.0, 440.0),
    (2, "roast", "cook", ROAST, 400.0, 470.0),
    (3, "roast", "cook", ROAST, 400.0, 420.0),
    (1, "pie", "bake", BAKE, 45.0, 50.0),
    (2, "pie", "bake", BAKE, 90.0, 100.0),
    (3, "pie", "bake", BAKE, 45.0, 58.0),
    (1, "pie", "chop", CHOP, 10.0, 9.0),
    (2, "pie", "chop", CHOP, 10.0, 8.0),
    (3, "pie", "chop", CHOP, 10.0, 14.0),
    (2, "roast", "rest", REST, 10.0, 12.0),
];

fn known() -> Known {
    let seen = |(evening, recipe, step, written, expected, took): Row| {
        let (station, shares) = match step {
            "cook" | "bake" => (
                StationKind::Oven,
                Some(Group::Station { kitchen: "home".to_owned(), station: "oven".to_owned() }),
            ),
            "rest" => (StationKind::Counter, None),
            _ => (StationKind::Counter, Some(Group::Cook { cook: "kim".to_owned() })),
        };
        Seen {
            day: NaiveDate::from_ymd_opt(2026, 9, evening).expect("a day"),
            evening: format!("evening-{evening}"),
            recipe: recipe.to_owned(),
            title: recipe.to_uppercase(),
            step: step.to_owned(),
            label: format!("the {step}"),
            station,
            written,
            shares,
            expected,
            took,
            at_ms: 0,
        }
    };
    Known::from(ROWS.into_iter().map(seen).collect())
}

fn near(what: &str, ours: f64, theirs: f64) {
    assert!((ours - theirs).abs() < 2e-4, "{what}: {ours}, by the other program {theirs}");
}

/// Minutes are whole, and within a half of the other program's.
fn minutes(one: &Estimate, theirs: [f64; 3]) {
    for (ours, theirs) in [one.own.low, one.own.likely, one.own.high].into_iter().zip(theirs) {
        assert!((f64::from(ours) - theirs).abs() <= 0.501, "{}: {ours} {theirs}", one.step);
    }
}

#[test]
fn scatter_shares_and_steps_are_what_scipy_finds() {
    let known = known();
    let scatter = known.scatter();
    near("chance", scatter.chance, 1.141_276);
    near("usual", scatter.usual, 0.922_982);
    near("evening", scatter.evening, 1.012_126);
    let [oven, kim] = &known.shares()[..] else { panic!("{:?}", known.shares()) };
    assert!(matches!(oven.group, Group::Station { .. }), "{oven:?}");
    for (share, theirs) in [
        (oven, [1.069_988, 0.980_418, 1.167_741, 6.0, 3.0]),
        (kim, [1.111_227, 0.997_451, 1.237_982, 4.0, 3.0]),
    ] {
        near("ratio", share.ratio, theirs[0]);
        near("low", share.low, theirs[1]);
        near("high", share.high, theirs[2]);
        near("steps", share.steps as f64, theirs[3]);
        near("evenings", share.evenings as f64, theirs[4]);
    }
    let all = known.all();
    let of = |step: &str| all.iter().find(|e| e.step == step).expect("it was seen");
    for (step, by_step, by_share, theirs) in [
        ("cook", 1.022_328, 1.069_988, [379.32, 437.55, 531.64]),
        ("bake", 1.060_782, 1.069_988, [46.55, 51.08, 64.07]),
        ("chop", 0.894_592, 1.111_227, [8.21, 9.94, 14.06]),
        ("rest", 1.120_995, 1.0, [6.47, 11.21, 11.21]),
        ("knead", 1.053_245, 1.111_227, [10.50, 11.70, 13.04]),
    ] {
        near(step, of(step).by_step, by_step);
        near(step, of(step).by_share, by_share);
        minutes(of(step), theirs);
    }
    assert_eq!((of("bake").title.as_str(), of("bake").label.as_str()), ("PIE", "the bake"));
}

/// What was seen is given back in order of days, however it came.
#[test]
fn the_oldest_comes_first() {
    let days: Vec<NaiveDate> = known().seen().iter().map(|s| s.day).collect();
    assert!(days.is_sorted(), "{days:?}");
}

fn read<T: serde::de::DeserializeOwned>(value: Value) -> T {
    serde_json::from_value(value).expect("test data reads")
}

/// An evening at home, with two ovens of which one was used before, and two cooks.
fn evening(cooks: &[&str], ovens: &[&str]) -> Evening {
    let day = "2026-10-24";
    let cooks: Vec<Value> = cooks
        .iter()
        .map(|c| json!({"id": c, "name": c, "free": [{"from": "10:00", "to": "23:00"}]}))
        .collect();
    let station = |id: &&str| {
        json!({"id": id, "title": id, "kind": "oven", "slots": 2, "thermostat":
            {"least_c": 50, "most_c": 250, "up_c_per_min": 10, "down_c_per_min": 5}})
    };
    let mut stations: Vec<Value> = ovens.iter().map(station).collect();
    stations.push(json!({"id": "board", "title": "Board", "kind": "counter", "slots": 2}));
    let minutes = |m: Minutes| json!({"low": m.low, "likely": m.likely, "high": m.high});
    let step = |id: &str, station: &str, m: Minutes, percent: u32| {
        let mut way = json!({"station": station, "minutes": minutes(m)});
        if station == "oven" {
            way["at_c"] = json!(120);
        }
        json!({"id": id, "text": id, "label": id, "ways": [way],
            "hands": {"start_minutes": 1, "end_minutes": 0, "between_percent": percent}})
    };
    let recipe = |id: &str, steps: Value| {
        read(json!({"id": id, "title": format!("A {id}"), "course": "main", "servings": 8,
            "ingredients": [{"item": "flour"}], "steps": steps, "holds": [],
            "safety": {"class": "baked_dry", "exempt": "plain_bread"}}))
    };
    let recipes = vec![
        recipe("roast", json!([step("cook", "oven", ROAST, 0)])),
        recipe(
            "loaf",
            json!([
                step("bake", "oven", ROAST, 0),
                step("shape", "counter", Minutes { low: 160, likely: 200, high: 300 }, 100)
            ]),
        ),
    ];
    let dish = |id: &str, recipe: &str| json!({"id": id, "recipe": recipe, "servings": 8, "service": "all"});
    let party: crate::kitchen::Party = read(json!({
        "id": "p", "title": "P", "day": day, "services": [{"id": "all", "title": "All", "at": "21:00"}],
        "dishes": [dish("one", "roast"), dish("again", "roast"), dish("loaf", "loaf")],
        "cooks": cooks, "kitchen": "home"}));
    let kitchen = read(json!({"id": "home", "title": "Home", "stations": stations}));
    let face = Clockface::fixed(party.day, 0);
    check::evening(party, kitchen, recipes, face)
}

/// With a second oven or cook that nobody knows yet it is half as sure, and half as slow.
#[test]
fn what_an_evening_goes_by_with_an_oven_and_a_cook_not_seen_before() {
    let of = known().of(&evening(&["kim", "lou"], &["oven", "oven2"]));
    let names: Vec<(&str, &str)> =
        of.iter().map(|e| (e.title.as_str(), e.label.as_str())).collect();
    // The roast stands twice on the menu, and once here.
    assert_eq!(names, [("A roast", "cook"), ("A loaf", "bake"), ("A loaf", "shape")]);
    near("cook", of[0].by_step, 1.022_328);
    near("cook", of[0].by_share, 1.034_402);
    minutes(&of[0], [358.85, 423.00, 529.36]);
    near("bake", of[1].by_step, 1.0);
    minutes(&of[1], [341.17, 413.76, 538.28]);
    near("shape", of[2].by_share, 1.054_148);
    minutes(&of[2], [169.24, 210.83, 314.30]);
}

/// Of another oven only what is usual of the step comes along; of what was never seen at all, nothing.
#[test]
fn in_another_kitchen_the_step_goes_on_speaking_for_itself() {
    let of = known().of(&evening(&["lou"], &["range"]));
    assert_eq!(of.len(), 1, "{of:?}");
    near("cook", of[0].by_share, 1.0);
    minutes(&of[0], [340.35, 408.93, 525.27]);
    // A plan is another by it; where the minutes come out as the recipe has them, by nothing.
    let at_home = evening(&["kim"], &["oven"]);
    assert_eq!(known().times(&at_home).len(), 3);
    let just = known().of(&at_home).into_iter().map(|e| Estimate { own: e.written, ..e });
    assert!(!just.into_iter().any(|e| e.moves()));
    assert!(Known::from(Vec::new()).of(&evening(&["kim"], &["oven"])).is_empty());
}
