//! Evenings half over in which more stands in a place than fits: what happened is allowed, and nothing more.

use serde_json::{Value, json};

use super::build;
use super::clock_tests::Dice;
use crate::kitchen::{Evening, Minute, StationKind, WaitPlace};
use crate::plan::compose::tests::long_holds;
use crate::plan::compose::{Solved, compose};
use crate::plan::judge::judge;
use crate::plan::planner::Planning;
use crate::plan::problem::Schedule;
use crate::plan::sample::{evening_with, read};
use crate::plan::verify::verify;
use crate::plan::{Begun, Held, Proof, Situation, StepKey};
use crate::safety::Profile;

fn key(dish: usize, step: usize) -> StepKey {
    StepKey { dish, step, load: 0 }
}

fn done(start: Minute, end: Minute, station: &str) -> Begun {
    Begun::Done { start, end, way: 0, station: station.to_owned(), left_out: false }
}

fn runs(start: Minute, end: Minute, station: &str) -> Begun {
    let (cook, setting_c) = (None, None);
    Begun::Running { start, end, way: 0, station: station.to_owned(), cook, setting_c }
}

/// The chips lie in a fridge of one place, in one load or in two; the roast is to wait there for its oven.
fn one_place(loads: u32) -> Evening {
    evening_with(|p, k, r| {
        long_holds(p, k, r);
        k["stations"][4]["slots"] = json!(1);
        r[0]["steps"][1]["after"][0] =
            json!({"step": "season", "place": "cold", "least_minutes": 20});
        r[1]["steps"][0]["ways"] =
            json!([{"station": "fridge", "minutes": 30, "load_servings": 6_u32.div_ceil(loads)}]);
        r[1]["steps"][0]["hands"] = json!({});
        r[1]["steps"][0]["cookware"] = json!([]);
    })
}

/// As of 16:40: the dip that was mixed by 16:31 waits there for its dressing, and the chips are in it since 16:35.
fn chilling() -> Situation {
    let begun = [(key(1, 0), runs(995, 1025, "fridge")), (key(2, 0), done(985, 991, "board"))];
    Situation { now: Some(1000), begun: begun.into(), ..Situation::default() }
}

#[test]
fn food_that_waits_in_a_fridge_in_which_a_step_was_begun_still_has_a_plan() {
    let (evening, situation) = (one_place(1), chilling());
    let planning = Planning::new(&evening, &situation).expect("a problem");
    let (plan, schedule) = planning.first().expect("a plan");
    let wait = |dish: usize| plan.waits.iter().find(|w| w.dish == dish).expect("a wait");
    let (roast, dip) = (wait(0), wait(2));
    assert_eq!(dip.from, 991);
    // The roast has no place before both are out.
    assert!(roast.from >= dip.to.max(1025), "{:?}", plan.waits);
    // With the one place of the list there would be none.
    let mut tight = planning.problem().clone();
    tight.resources[planning.map().of_station(4)].capacity = 1;
    assert!(judge(&tight, &schedule).is_err());
}

#[test]
fn the_next_load_waits_until_the_place_is_free_again() {
    let (evening, situation) = (one_place(2), chilling());
    let (plan, _) =
        Planning::new(&evening, &situation).expect("a problem").first().expect("a plan");
    let dip = plan.waits.iter().find(|w| w.dish == 2).expect("a wait");
    let second = plan.blocks.iter().find(|b| b.key == StepKey { load: 1, ..key(1, 0) });
    let second = second.expect("a block");
    assert!(second.start >= dip.to || second.end <= dip.from, "{second:?} {dip:?}");
    assert!(second.start >= 1025);
}

/// What runs comes out when it does: its food goes to what waits in the fridge already.
#[test]
fn what_comes_out_of_what_runs_finds_its_place() {
    let evening = one_place(1);
    let begun = [(key(0, 0), runs(995, 1005, "board")), (key(2, 0), done(985, 991, "board"))];
    let situation = Situation { now: Some(1000), begun: begun.into(), ..Situation::default() };
    let (plan, _) =
        Planning::new(&evening, &situation).expect("a problem").first().expect("a plan");
    let roast = plan.waits.iter().find(|w| w.dish == 0).expect("a wait");
    assert_eq!((roast.from, roast.slots.as_slice()), (1005, &[0][..]));
}

/// A dish that is mixed, chilled or waits cold, and is dressed; and may wait in the fridge, or on the counter.
fn any_dish(dice: &mut Dice, n: u32) -> Value {
    let mut minutes = |most: u32| 4 + dice.below(most);
    let step = |id: &str, station: &str, minutes: u32, after: Value| {
        json!({"id": id, "text": "Do it.", "label": id, "after": after,
            "ways": [{"station": station, "minutes": minutes}]})
    };
    let after = |id: &str, place: &str| json!([{"step": id, "place": place}]);
    let (mix, chill, dress) = (minutes(12), minutes(30), minutes(12));
    let steps = match dice.below(4) {
        0 => json!([
            step("mix", "counter", mix, json!([])),
            step("dress", "counter", dress, after("mix", "cold"))
        ]),
        1 => json!([
            step("chill", "fridge", chill, json!([])),
            step("dress", "counter", dress, after("chill", "room"))
        ]),
        2 => json!([
            step("mix", "counter", mix, json!([])),
            step("chill", "fridge", chill, after("mix", "room")),
            step("dress", "counter", dress, after("chill", "cold"))
        ]),
        _ => {
            let mut chill = step("chill", "fridge", chill, json!([]));
            chill["ways"][0]["load_servings"] = json!(4);
            json!([chill, step("dress", "counter", dress, after("chill", "room"))])
        }
    };
    let hold = |place: &str, class: &str| {
        json!({"place": place, "class": class, "free_minutes": 30, "points": 1,
            "most_minutes": 240})
    };
    let holds = match dice.below(3) {
        0 => json!([hold("counter", "room")]),
        _ => json!([hold("fridge", "cold")]),
    };
    json!({"id": format!("d{n}"), "title": "A dish", "course": "side", "servings": 8,
        "ingredients": [{"item": "salt"}], "steps": steps, "holds": holds,
        "safety": {"class": "cooked_plant"}})
}

/// The dishes in a kitchen with so many places in the fridge and on the counter.
fn dinner(dishes: &[Value], fridge: u32, counter: u32) -> Evening {
    let letters = ["A", "B", "C", "D", "E", "F"];
    let party = json!({
        "id": "small", "title": "Small supper", "day": "2026-11-20",
        "services": [{"id": "supper", "title": "Supper", "at": "18:30"}],
        "dishes": (0..dishes.len()).map(|n| json!({"id": format!("d{n}"), "recipe": format!("d{n}"),
            "servings": 8, "service": "supper", "letter": letters[n]}))
            .collect::<Value>(),
        "cooks": [{"id": "kim", "name": "Kim", "free": [{"from": "16:00", "to": "20:00"}]}],
        "kitchen": "small", "table_minutes": 10
    });
    let kitchen = json!({
        "id": "small", "title": "Small kitchen",
        "stations": [
            {"id": "board", "title": "Counter", "kind": "counter", "slots": counter},
            {"id": "fridge", "title": "Fridge", "kind": "fridge", "slots": fridge}
        ],
        "cookware": []
    });
    read(party, kitchen, dishes.to_vec())
}

/// What the cook did by a minute, with no regard to how much goes where, and how much of it is in the fridge: loads that
/// run, dishes that wait for their service, food between steps.
fn half_over(dice: &mut Dice, evening: &Evening, now: Minute) -> (Situation, [usize; 3]) {
    let mut situation = Situation { now: Some(now), ..Situation::default() };
    let mut there = [0; 3];
    for (dish, sheet) in evening.sheets.iter().enumerate() {
        let mut at = 960 + dice.below(60) as i32;
        for (step, of_step) in sheet.recipe.steps.iter().enumerate() {
            let kind = of_step.ways[0].station;
            let station = evening.kitchen.stations.iter().find(|s| s.kind == kind);
            let station = &station.expect("a station").id;
            for load in 0..sheet.loads(step, 0) {
                let end = at + sheet.minutes(step, 0);
                if at < now {
                    let begun = if now < end { runs } else { done };
                    let key = StepKey { load, ..key(dish, step) };
                    situation.begun.insert(key, begun(at, end, station));
                    there[0] += usize::from(station == "fridge" && now < end);
                }
                at = end;
            }
            let out = at;
            at += dice.below(60) as i32;
            let next = sheet.recipe.steps.get(step + 1);
            let cold = next.is_some_and(|n| n.after[0].place == WaitPlace::Cold);
            there[2] += usize::from(cold && out < now && now <= at);
            if next.is_none() && out < now {
                let place = sheet.recipe.holds[0].place;
                let station = evening.kitchen.stations.iter().find(|s| s.kind == place);
                let station = station.map(|s| s.id.clone());
                there[1] += usize::from(place == StationKind::Fridge);
                situation.held.insert(dish, Held { hold: Some(0), since: out, station });
            }
        }
    }
    (situation, there)
}

/// Moves some of what is to come, and gives how many of the schedules that the problem takes were composed and checked.
fn moved(
    dice: &mut Dice,
    evening: &Evening,
    situation: &Situation,
    schedule: &Schedule,
) -> Result<usize, String> {
    let (problem, map) = build(evening, situation).expect("a problem");
    let profile = Profile::by_id(&evening.party.guidance).expect("built in");
    let mut taken = 0;
    for _ in 0..30 {
        let mut other = schedule.clone();
        for (t, task) in problem.tasks.iter().enumerate() {
            if task.fixed.is_none() && dice.below(2) == 0 {
                other.start[t] += dice.below(61) as i32 - 30;
            }
        }
        let Ok(cost) = judge(&problem, &other) else { continue };
        taken += 1;
        let solved = Solved { schedule: &other, cost, bound: 0, proof: Proof::Stopped };
        let plan = compose(evening, situation, &problem, &map, solved);
        verify(evening, situation, profile, &plan).map_err(|faults| format!("{faults:?}"))?;
    }
    Ok(taken)
}

/// There is always a plan if there is one with more room, and the last check refuses none that the problem takes.
#[test]
fn more_than_fits_never_leaves_an_evening_without_a_plan() {
    let mut dice = Dice(5);
    let (mut crowded, mut mixed, mut taken) = (0, [0; 3], 0);
    for _ in 0..300 {
        let dishes: Vec<Value> = (0..3 + dice.below(4)).map(|n| any_dish(&mut dice, n)).collect();
        let roomy = dinner(&dishes, 9, 9);
        let tight = dinner(&dishes, 1 + dice.below(3), 2 + dice.below(2));
        let now = 970 + dice.below(130) as i32;
        let (situation, [run, held, wait]) = half_over(&mut dice, &roomy, now);
        let there = tight.kitchen.stations[1].slots as usize;
        if run + held + wait > there {
            crowded += 1;
            mixed[0] += usize::from(run > 0 && wait > 0);
            mixed[1] += usize::from(held > 0 && wait > 0);
            mixed[2] += usize::from(run > 0 && held > 0);
        }
        let planned = |evening: &Evening| {
            let planning = Planning::new(evening, &situation).map_err(|no| format!("{no:?}"))?;
            planning.first().map_err(|no| format!("{no:?}"))
        };
        if planned(&roomy).is_err() {
            continue;
        }
        let all = format!("as of {now}, {there}: {run} {held} {wait} {situation:?}");
        let (_, schedule) = planned(&tight).unwrap_or_else(|no| panic!("{no} {all}"));
        match moved(&mut dice, &tight, &situation, &schedule) {
            Ok(n) => taken += n,
            Err(faults) => panic!("{faults} {all}"),
        }
    }
    assert!(crowded > 40 && mixed.iter().all(|n| *n > 5), "{crowded} crowded, {mixed:?}");
    assert!(taken > 500, "{taken}");
}
