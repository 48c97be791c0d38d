//! When a thermometer is wanted, to the second; and a soup that is cooked, cooled and heated again. Limits by the
//! guidance that each test names (FDA Food Code 2022, 3-501.14(A) and 3-403.11: 135 to 70 °F in two hours, reheated to
//! 165 °F); the minutes are invented.

use std::sync::Arc;

use serde_json::json;

use super::event::{Event, Mark};
use super::food::{Food, profile};
use super::measure::{cooling_missed, cools_between, cools_from_ms, undercooked, wanted};
use super::testbed::{evening_by, event, marks, ms, on_time};
use super::{State, fold};
use crate::kitchen::{Evening, FoodClass, StationKind, Step};

type Row = (&'static str, &'static str);

fn by(rows: &[Row], more: &[(&str, Event)]) -> State {
    let mut all = marks(rows);
    all.extend(more.iter().enumerate().map(|(n, (at, event))| Mark {
        seq: 900 + n as u64,
        at_ms: ms(at),
        event: event.clone(),
    }));
    all.sort_by_key(|m| m.at_ms);
    fold(evening_by("us_consumer"), &all)
}

fn taken(dish: &str, celsius: f64) -> Event {
    Event::Temperature { dish: dish.into(), celsius }
}

fn due(state: &State, dish: usize, at: &str) -> Option<String> {
    let found = wanted(state, ms(at)).into_iter().find(|m| m.dish == dish)?;
    Some(state.evening().face.read(found.due_ms))
}

/// The pie is off the heat at 18:40. A quarter of an hour later a reading still says how hot it got, and no later.
#[test]
fn a_reading_says_how_hot_it_got_for_a_quarter_of_an_hour() {
    let rows = on_time("18:40");
    let low = |at: &str| by(&rows, &[(at, taken("pie", 66.0))]);
    assert!(undercooked(&low("18:55"), 3, ms("18:56")).is_some());
    assert!(undercooked(&low("18:55:01"), 3, ms("18:56")).is_none());
    assert!(undercooked(&low("18:39"), 3, ms("18:40")).is_some(), "at the end itself");
    assert!(undercooked(&low("18:39"), 3, ms("18:39:59")).is_none());
    assert!(undercooked(&low("18:45"), 3, ms("18:45")).is_some());
    assert!(undercooked(&low("18:45"), 3, ms("18:44:59")).is_none(), "not known yet");
    let none = by(&rows, &[]);
    assert_eq!(due(&none, 3, "18:55").as_deref(), Some("18:40"));
    assert_eq!(due(&none, 3, "18:55:01"), None);
    // Just as hot as asked is hot enough.
    let class = none.evening().sheets[3].recipe.safety.class;
    let least = crate::safety::least_inner_c(profile(&none).expect("known"), class, None);
    let just = by(&rows, &[("18:39", taken("pie", least.expect("a figure")))]);
    assert_eq!((undercooked(&just, 3, ms("18:41")), due(&just, 3, "18:41")), (None, None));
}

/// In its hot hold from 17:20 on, every two hours; from the quarter of an hour before a hot reading serves.
#[test]
fn a_hot_reading_before_the_hold_serves_for_a_quarter_of_an_hour() {
    let rows = on_time("17:20");
    let with = |at: &str, c: f64| due(&by(&rows, &[(at, taken("soup", c))]), 0, "17:30");
    assert_eq!(with("17:05", 80.0).as_deref(), Some("19:05"));
    assert_eq!(with("17:04:59", 80.0).as_deref(), Some("17:20"));
    assert_eq!(with("17:15", 50.0).as_deref(), Some("17:20"), "too cold, but it was not there yet");
    assert_eq!(with("17:20", 50.0).as_deref(), Some("17:25"));
    let all = wanted(&by(&on_time("18:10"), &[]), ms("18:10"));
    assert!(all.is_sorted_by_key(|m| m.due_ms), "{all:?}");
}

/// The soup with two more steps: set to cool in the fridge, and heated again.
fn soup(guidance: &str, rows: &[Row], more: &[(&str, Event)]) -> State {
    other_soup(guidance, rows, more, |_| ())
}

/// The same with other steps.
fn other_soup(
    guidance: &str,
    rows: &[Row],
    more: &[(&str, Event)],
    change: impl Fn(&mut Evening),
) -> State {
    let mut evening = Evening::clone(&evening_by(guidance));
    let step = |json| serde_json::from_value::<Step>(json).expect("a step");
    let steps = &mut evening.sheets[0].recipe.steps;
    steps.push(step(json!({"id": "cool", "text": "Cool it.", "label": "cool", "care": "cools",
        "ways": [{"station": "fridge", "minutes": 120}], "after": [{"step": "simmer"}]})));
    steps.push(step(
        json!({"id": "heat", "text": "Heat it again.", "label": "heat", "care": "reheats",
        "ways": [{"station": "stovetop", "minutes": 15}], "after": [{"step": "cool"}]}),
    ));
    change(&mut evening);
    let begin = |step: &str, station: &str| Event::Started {
        id: super::testbed::id("soup", step, 0),
        way: 0,
        station: station.into(),
        cook: None,
        ago_minutes: 0,
    };
    let mut all: Vec<Mark> = rows
        .iter()
        .map(|(at, text)| {
            let event = match *text {
                "cool" => begin("cool", "fridge"),
                "heat" => begin("heat", "hob"),
                text => event(text),
            };
            (*at, event)
        })
        .chain(more.iter().cloned())
        .enumerate()
        .map(|(n, (at, event))| Mark { seq: n as u64 + 1, at_ms: ms(at), event })
        .collect();
    all.sort_by_key(|m| m.at_ms);
    fold(Arc::new(evening), &all)
}

const COOLED: [Row; 3] =
    [("10:00", "start soup simmer"), ("10:30", "done soup simmer"), ("10:40", "cool")];

#[test]
fn food_that_is_set_to_cool_cools_since_it_left_the_heat() {
    let code = |more: &[(&str, Event)]| soup("us_food_code_2022", &COOLED, more);
    let (off, set) = (ms("10:30"), ms("10:40"));
    let food = Food { dish: 0, part: None };
    let at = |state: &State, at: &str| cools_between(state, food, ms(at));
    let plain = code(&[]);
    assert_eq!((at(&plain, "10:39:59"), at(&plain, "10:40")), (None, Some((off, set))));
    assert_eq!(cools_between(&plain, Food { dish: 0, part: Some(1) }, ms("11:00")), None);
    assert_eq!(cools_between(&plain, Food { dish: 3, part: None }, ms("11:00")), None);
    // Two hours to 21.1 °C: first looked at after half of them.
    assert_eq!(due(&plain, 0, "11:00").as_deref(), Some("11:30"));
    // Another dish on the heat changes nothing; this one again ends it, and so does dropping it.
    let pie = code(&[("10:50", event("start pie bake"))]);
    assert_eq!(at(&pie, "11:00"), Some((off, set)));
    assert_eq!(at(&code(&[("10:50", event("drop soup"))]), "11:00"), None);
    assert_eq!(at(&code(&[("10:50", event("clear soup thrown_out"))]), "11:00"), None);
    let again = soup("us_food_code_2022", &[&COOLED[..], &[("17:30", "heat")]].concat(), &[]);
    assert_eq!((at(&again, "17:29:59").is_some(), at(&again, "17:30")), (true, None));
    // 40 °C five minutes after it had to be 21.1.
    let slow = code(&[("12:35", taken("soup", 40.0))]);
    let missed = cooling_missed(&slow, food, ms("12:36")).expect("too slow");
    assert_eq!((missed.by_ms, missed.reading.celsius), (ms("12:30"), 40.0));
    assert_eq!(cooling_missed(&slow, food, ms("12:34")), None);
    // At its time itself it has to be so cold.
    let just = code(&[("12:30", taken("soup", 22.0))]);
    assert_eq!(cooling_missed(&just, food, ms("12:30")).map(|m| m.by_ms), Some(ms("12:30")));
    let quick = code(&[("12:30", taken("soup", 21.0)), ("12:35", taken("soup", 21.0))]);
    assert_eq!(cooling_missed(&quick, food, ms("12:36")), None);
    // Measured on the board, before it was set to cool, it says nothing of the fridge.
    let before = code(&[("10:35", taken("soup", 85.0))]);
    assert_eq!(cooling_missed(&before, food, ms("11:00")), None);
}

#[test]
fn food_that_is_heated_again_is_measured_by_the_figure_for_that() {
    let rows = [&COOLED[..], &[("17:30", "heat")]].concat();
    let running = soup("us_food_code_2022", &rows, &[]);
    let asked = wanted(&running, ms("17:35")).into_iter().find(|m| m.dish == 0).expect("asked for");
    assert!(asked.why.starts_with("heated again: "), "{}", asked.why);
    assert_eq!(asked.due_ms, ms("17:45"));
    let done = [&rows[..], &[("17:45", "done soup heat")]].concat();
    let at = |c: f64| {
        let state = soup("us_food_code_2022", &done, &[("17:44", taken("soup", c))]);
        undercooked(&state, 0, ms("17:46")).map(|u| u.0.celsius)
    };
    // 165 °F are 73.9 °C.
    assert_eq!((at(73.0), at(74.0)), (Some(73.0), None));
}

/// The log holds it against that figure too, not against that of its cooking: of whole meat 145 °F would do
/// for the one (USDA chart, June 2012) and not for the other.
#[test]
fn the_log_holds_what_is_heated_again_against_the_figure_for_that() {
    let rows = [&COOLED[..], &[("17:30", "heat")]].concat();
    let row = |guidance: &str, at: &str, c: f64| {
        let state = other_soup(guidance, &rows, &[(at, taken("soup", c))], |e| {
            e.sheets[0].recipe.safety.class = FoodClass::WholeMeat;
        });
        let log = super::food_log::food_log(&state, ms("17:50"));
        let row = log.rows.into_iter().find(|r| r.what == "measured").expect("measured");
        (row.limit, row.verdict)
    };
    let (limit, verdict) = row("us_consumer", "17:44", 66.0);
    assert!(limit.starts_with("73.9 °C") && verdict.is_empty(), "{limit} {verdict}");
    assert_eq!(row("us_consumer", "17:44", 74.0).1, "ok");
    // One reading does not show that it stayed so for fifteen seconds.
    assert_eq!(row("us_food_code_2022", "17:44", 74.0).1, "");
    // While it was cooked the other figure held.
    let (limit, verdict) = row("us_consumer", "10:29", 66.0);
    assert!(limit.contains("62.8 °C") && verdict == "ok", "{limit} {verdict}");
}

/// It has a label too: for this day, since it is heated again on it.
#[test]
fn food_that_cools_between_its_steps_has_its_times_and_a_label() {
    let state = soup("us_food_code_2022", &COOLED, &[]);
    let after = super::afterwards::afterwards(&state, ms("11:00"));
    assert!(after.cooling[0].contains("by 12:30"), "{:?}", after.cooling);
    let days: Vec<_> = after.labels.iter().map(|l| (l.food.as_str(), l.made, l.use_by)).collect();
    let day = state.evening().party.day;
    assert_eq!(days, [("Soup", day, Some(day))]);
    // 30 to 20 °C in half an hour, in air of 2.8 °C: at 5 °C after 134 minutes more, well within six hours.
    let quick = [("11:00", taken("soup", 30.0)), ("11:30", taken("soup", 20.0))];
    let state = soup("us_food_code_2022", &COOLED, &quick);
    let told = super::afterwards::afterwards(&state, ms("11:35")).cooling.join("\n");
    assert!(told.contains("at 13:44; measure again at 12:00. (an estimate"), "{told}");
}

/// It cools in its last step, until 12:40. That this is over, and that it is on the table, gives no new two hours, and
/// what was measured before stays measured.
#[test]
fn cooling_goes_on_when_the_step_is_over_in_which_it_was_set_to_cool() {
    let last = |more: &[(&str, Event)]| {
        other_soup("us_food_code_2022", &COOLED, more, |e| {
            e.sheets[0].recipe.steps.truncate(3);
        })
    };
    let food = Food { dish: 0, part: None };
    let plain = last(&[]);
    assert_eq!(cools_from_ms(&plain, food, ms("12:40"), ms("12:50")), ms("10:30"));
    assert_eq!(due(&plain, 0, "12:50").as_deref(), Some("11:30"));
    let missed = |more: &[(&str, Event)], at: &str| {
        let found = cooling_missed(&last(more), food, ms(at));
        found.map(|m| (m.by_ms, m.reading.celsius))
    };
    let (slow, told) = (("12:35", taken("soup", 40.0)), Some((ms("12:30"), 40.0)));
    let served = ("13:00", event("serve soup"));
    for at in ["12:36", "12:40", "13:30"] {
        assert_eq!(missed(std::slice::from_ref(&slow), at), told, "{at}");
    }
    assert_eq!(missed(&[slow, served.clone()], "13:30"), told);
    assert_eq!(missed(&[("12:50", taken("soup", 40.0))], "12:51"), told);
    // On the table it may get warm.
    let cold = ("12:20", taken("soup", 4.0));
    assert_eq!(missed(&[cold, served, ("13:20", taken("soup", 40.0))], "13:30"), None);
}

/// What does not cook on the way of the simmering may be set to cool before that is over.
#[test]
fn cooling_counts_at_the_latest_from_when_it_was_set_to_cool() {
    let food = Food { dish: 0, part: None };
    let beside = |rows: &[Row]| {
        let state = other_soup("us_food_code_2022", rows, &[], |e| {
            e.sheets[0].recipe.steps[2].after[0].step = "chop".into();
        });
        cools_between(&state, food, ms("11:00"))
    };
    let (on, set, off) = (("10:00", "start soup simmer"), ("10:40", "cool"), "done soup simmer");
    assert_eq!(beside(&[on, set]), Some((ms("10:40"), ms("10:40"))));
    assert_eq!(beside(&[on, set, ("10:50", off)]), Some((ms("10:40"), ms("10:40"))));
    assert_eq!(beside(&[on, ("10:20", off), set]), Some((ms("10:20"), ms("10:40"))));
}

/// Hot on the hob until it is put away at 20:00; 21.1 °C within two hours by the Food Code, 3-501.14(A).
#[test]
fn cooling_after_the_hot_hold_is_first_measured_half_way() {
    let at = |more: &[Row]| {
        let rows = [&on_time("17:20")[..], &[("20:00", "clear soup put_away")], more].concat();
        due(&fold(evening_by("us_food_code_2022"), &marks(&rows)), 0, "22:00")
    };
    assert_eq!(at(&[]).as_deref(), Some("21:00"));
    assert_eq!(at(&[("21:00", "temp soup 45")]).as_deref(), Some("21:30"));
    assert_eq!(at(&[("21:56", "temp soup 45")]).as_deref(), Some("22:01"), "five minutes later");
    let part = [&on_time("18:00")[..], &[("18:10", "part soup 1 fridge")]].concat();
    let asked = wanted(&fold(evening_by("us_food_code_2022"), &marks(&part)), ms("18:11"));
    let of_part = asked.iter().find(|m| m.part == Some(1)).expect("asked for");
    assert_eq!((of_part.dish, of_part.short.as_str()), (0, "measure the soup, part 1"));
}

/// The pie bakes from 18:00 to 18:40; a minute before its end it is measured.
#[test]
fn the_end_of_cooking_is_asked_for_while_there_is_one() {
    let asked = |until: &str, more: &[Row], at: &str| {
        let mut rows = [&on_time(until)[..], more].concat();
        rows.sort_by_key(|r| ms(r.0));
        due(&by(&rows, &[]), 3, at)
    };
    let baking = |more: &[Row]| asked("18:10", more, "18:20");
    assert_eq!(baking(&[("17:59", "temp pie 80")]).as_deref(), Some("18:39"), "not of this heat");
    assert_eq!(baking(&[("18:10", "temp pie 40")]).as_deref(), Some("18:39"), "not before its end");
    assert_eq!(baking(&[("18:15", "skip pie bake")]), None);
    assert_eq!(asked("18:40", &[], "18:45").as_deref(), Some("18:40"));
    for gone in ["serve pie", "drop pie", "clear pie thrown_out"] {
        assert_eq!(asked("18:40", &[("18:44", gone)], "18:45"), None, "{gone}");
    }
    let closed = by(&[&on_time("18:10")[..], &[("18:15", "finished")]].concat(), &[]);
    assert!(wanted(&closed, ms("18:20")).is_empty());
    // Of plants the guidance's figure is that of the hot hold.
    assert_eq!(due(&by(&on_time("17:00"), &[]), 0, "17:10"), None);
}

/// Each load as it comes out, but not at the end of a step that another one on the heat follows; of two days each has
/// its own end.
#[test]
fn it_is_the_last_heat_that_is_measured() {
    let with = |rows: &[Row], dish: usize, at: &str, change: &dyn Fn(&mut Evening)| {
        let mut evening = Evening::clone(&evening_by("us_consumer"));
        change(&mut evening);
        due(&fold(Arc::new(evening), &marks(rows)), dish, at)
    };
    let birds = |e: &mut Evening| e.sheets[2].recipe.safety.class = FoodClass::Poultry;
    assert_eq!(with(&on_time("17:42"), 2, "17:45", &birds).as_deref(), Some("17:49"));
    assert_eq!(with(&on_time("17:50"), 2, "17:55", &birds).as_deref(), Some("17:57"));
    let browned = |e: &mut Evening| e.sheets[3].recipe.steps[2].ways[0].station = StationKind::Oven;
    assert_eq!(with(&on_time("18:10"), 3, "18:20", &browned), None);
    assert_eq!(with(&on_time("18:10"), 3, "18:20", &|_| ()).as_deref(), Some("18:39"));
    let simmers = |before: bool| {
        let state = other_soup("us_consumer", &COOLED[..1], &[], |e| {
            let recipe = &mut e.sheets[0].recipe;
            recipe.safety.class = FoodClass::Casserole;
            recipe.steps[..3].iter_mut().for_each(|s| s.day_before = before);
        });
        due(&state, 0, "10:10")
    };
    assert_eq!((simmers(false), simmers(true).as_deref()), (None, Some("10:30")));
}
