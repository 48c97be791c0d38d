//! What the cook hears and reads when things happen in another order than they should: food that goes on though its
//! alarm was seen, parts that go their own way, stations that work again, marks that come late. The minutes are
//! invented; the limits are those of the guidance that each test names.

use std::sync::Arc;

use super::afterwards::afterwards;
use super::alarms::{alarms, raised};
use super::event::{Event, Mark};
use super::food::{Food, Keeping, phases};
use super::report::report;
use super::testbed::{adopted, evening, evening_by, event, marks, ms, on_time, plan};
use super::{Alarm, AlarmKind, AlarmState, Rank, State, fold, food, view};
use crate::kitchen::{Evening, FoodClass};
use crate::run::marks::check;

type Row = (&'static str, &'static str);

fn by(guidance: &str, until: &str, more: &[Row]) -> State {
    let mut rows = on_time(until);
    rows.extend(more);
    rows.sort_by_key(|r| ms(r.0));
    fold(evening_by(guidance), &marks(&rows))
}

fn after(until: &str, more: &[Row]) -> State {
    by("us_consumer", until, more)
}

/// The alarm of this key as it stands at a time.
fn of(state: &State, key: &str, at: &str) -> Option<Alarm> {
    alarms(state, ms(at)).into_iter().find(|a| a.key == key)
}

fn stands(state: &State, key: &str, at: &str) -> Option<AlarmState> {
    of(state, key, at).map(|a| a.state)
}

const UNDER: &str = "undercooked:pie::";
const UNDER_1: &str = "undercooked:pie:part1:";

/// Casseroles 165 °F (USDA chart, June 2012). Seen while the pie waits, the warning is another one on the table; what
/// was said about it holds.
#[test]
fn what_is_not_cooked_through_is_heard_again_when_it_goes_to_the_table() {
    let low = ("18:39", "temp pie 66");
    let seen = [low, ("18:45", "seen undercooked:pie::"), ("18:50", "serve pie")];
    let state = after("18:40", &seen);
    assert_eq!(stands(&after("18:40", &seen[..2]), UNDER, "18:50"), Some(AlarmState::Acknowledged));
    let served = of(&state, UNDER, "18:50").expect("on the table");
    assert_eq!((served.state, served.rank), (AlarmState::New, Rank::Urgent));
    assert_eq!(served.raised_ms, ms("18:50"));
    let said = [low, ("18:45", "answer undercooked:pie:: kept_knowingly"), ("18:50", "serve pie")];
    assert_eq!(of(&after("18:40", &said), UNDER, "18:51"), None);
}

/// The pie that was not hot enough is divided: the part that is served is not hot enough either, whatever becomes of the rest.
#[test]
fn a_part_of_what_is_not_cooked_through_is_not_cooked_through() {
    let low = ("18:39", "temp pie 66");
    let part = [low, ("18:52", "part pie 1 off"), ("18:53", "clear pie thrown_out")];
    let served = after("18:40", &[&part[..], &[("18:54", "part pie 1 serve")]].concat());
    assert_eq!(of(&served, UNDER, "18:54"), None);
    let alarm = of(&served, UNDER_1, "18:54").expect("it is on the table");
    assert_eq!((alarm.rank, alarm.harm_ms), (Rank::Urgent, None));
    assert!(alarm.title.starts_with("PIE, PART 1,"), "{}", alarm.title);
    let gone = after("18:40", &[&part[..], &[("18:54", "part pie 1 clear thrown_out")]].concat());
    assert_eq!(of(&gone, UNDER_1, "18:54"), None);
    // Measured in the part alone, within a quarter of an hour of the heat.
    let alone = after("18:40", &[("18:45", "part pie 1 off"), ("18:46", "part pie 1 temp 60")]);
    assert!(of(&alone, UNDER_1, "18:46").is_some() && of(&alone, UNDER, "18:46").is_none());
    let key = |state: &State| raised(state, ms("18:55")).iter().any(|a| a.key == UNDER_1);
    // Hot enough before it was taken off; or said what is done, of all of it.
    let hot =
        [("18:39", "temp pie 75"), ("18:45", "part pie 1 off"), ("18:46", "part pie 1 temp 60")];
    assert!(!key(&after("18:40", &hot)));
    let said = ("18:41", "answer undercooked:pie:: kept_knowingly");
    assert!(!key(&after("18:40", &[low, said, ("18:45", "part pie 1 off")])));
    let later = ("18:47", "answer undercooked:pie:: kept_knowingly");
    assert!(key(&after("18:40", &[low, ("18:45", "part pie 1 off"), later])));
    // It is answered by itself.
    let own = ("18:56", "answer undercooked:pie:part1: discarded");
    let answered = after("18:40", &[&part[..], &[("18:54", "part pie 1 serve"), own]].concat());
    assert_eq!(of(&answered, UNDER_1, "18:57"), None);
    assert!(answered.portion_is_gone((3, 1)));
}

/// Two baskets of what must reach 165 °F. That the second one is in does not make the first one hot.
#[test]
fn a_first_load_that_was_not_hot_enough_is_told() {
    let fried = |more: &[Row], at: &str| {
        let mut evening = Evening::clone(&evening_by("us_consumer"));
        evening.sheets[2].recipe.safety.class = FoodClass::Poultry;
        let mut rows = on_time("17:58");
        rows.extend(more);
        rows.sort_by_key(|r| ms(r.0));
        rows.retain(|r| ms(r.0) <= ms(at));
        let state = fold(Arc::new(evening), &marks(&rows));
        of(&state, "undercooked:fries::", at).map(|a| a.raised_ms)
    };
    let low = ("17:49", "temp fries 60");
    assert_eq!(fried(&[low], "17:49"), None, "it is on the heat");
    assert_eq!(fried(&[low], "17:50"), Some(ms("17:50")));
    assert_eq!(fried(&[low], "17:57"), Some(ms("17:50")), "the next one is in");
    // Measured on the board just after the next one went in; later than that it is of the next one.
    assert_eq!(fried(&[("17:53:59", "temp fries 60")], "17:55"), Some(ms("17:53:59")));
    assert_eq!(fried(&[("17:54:01", "temp fries 60")], "17:55"), None);
    assert_eq!(fried(&[("17:54:01", "temp fries 60")], "17:58"), Some(ms("17:58")));
    assert_eq!(fried(&[low, ("17:57", "temp fries 76")], "17:59"), None, "a better reading");
}

#[test]
fn an_evening_is_not_over_while_a_part_of_a_dish_stands_out() {
    let part = [("18:55", "part pie 1 serve")];
    let gone = ["soup", "dip", "fries", "pie"].map(|d| format!("clear {d} eaten"));
    let end = |more: &[Row]| {
        let mut rows: Vec<(&str, &str)> = on_time("19:00");
        rows.extend(part);
        rows.extend(gone.iter().map(|g| ("19:30", g.as_str())));
        rows.extend(more);
        rows.sort_by_key(|r| ms(r.0));
        view(&fold(evening(), &marks(&rows)), ms("19:40")).ending.expect("all is served")
    };
    let still = end(&[]);
    assert!(!still.closed, "{}", still.title);
    assert_eq!(still.title, "All is served; a part of one dish is still out.");
    assert!(end(&[("19:35", "part pie 1 clear eaten")]).closed);
    let more = end(&[("18:56", "part pie 2 serve")]);
    assert_eq!(more.title, "All is served; 2 dishes and parts of dishes are still out.");
}

/// Mains eight minutes late by the plan, and served so: nothing is on time again. Served on time after all, it is.
#[test]
fn what_was_served_late_is_not_on_time_again() {
    let told = |serves: &'static str| {
        let mut late = plan(&evening());
        let due = late.services[1].due;
        for dish in &mut late.services[1].dishes {
            (dish.1, dish.2) = (due + 8, due + 8);
        }
        let mut all = marks(&on_time("18:40"));
        all.push(Mark { seq: 900, at_ms: ms("18:41"), event: adopted(late) });
        all.push(Mark { seq: 901, at_ms: ms(serves), event: event("serve pie") });
        let found = alarms(&fold(evening(), &all), ms("19:09"));
        found.into_iter().find(|a| a.state == AlarmState::Returned).map(|a| a.title)
    };
    assert_eq!(told("19:08"), None);
    assert_eq!(told("19:02").as_deref(), Some("MAINS on time again"));
}

/// The hob went out; what stood on it is out until it is put there anew, and that mark counts.
#[test]
fn what_is_put_back_where_it_was_once_the_place_works_again_is_kept_again() {
    let down = [("17:30", "down hob"), ("17:35", "up hob")];
    let last = |more: &[Row]| {
        let state = after("17:20", &[&down[..], more].concat());
        phases(&state, 0, ms("17:50")).last().copied()
    };
    assert_eq!(last(&[]), Some((ms("17:30"), Keeping::Out)));
    let hot = Some((ms("17:40"), Keeping::In(crate::safety::Control::Hot)));
    assert_eq!(last(&[("17:40", "hold soup 0 hob")]), hot);
    // Where nothing failed the first mark counts.
    let twice = after("17:20", &[("17:30", "hold soup 0 hob"), ("17:40", "hold soup 0 hob")]);
    assert_eq!(twice.last_stay(0).map(|s| s.at_ms), Some(ms("17:20")));
    let twice = after("18:40", &[("18:55", "hold pie 0 board"), ("18:58", "hold pie 0 board")]);
    assert_eq!(twice.facts().stays.get(&3).map(Vec::len), Some(1));
}

/// On the table from 18:00 on, put away at 20:10, ten minutes past its limit; thrown out, it is said. Then it is no
/// more in any fridge.
#[test]
fn what_was_put_away_and_is_thrown_out_after_all_has_no_label() {
    let away = [("20:10", "clear soup put_away"), ("20:12", "answer unsafe_past:soup:: discarded")];
    let state = after("19:00", &away);
    assert_eq!(alarms(&state, ms("20:13")).iter().filter(|a| a.dish == Some(0)).count(), 0);
    let left = afterwards(&state, ms("20:13"));
    let names = |lines: &[String]| lines.iter().any(|l| l.starts_with("Soup"));
    assert!(!names(&left.must_go) && !names(&left.cooling), "{left:?}");
    assert!(left.labels.is_empty() && report(&state, ms("20:13")).kept.is_empty(), "{left:?}");
}

/// What was put away can come out again, or go for good: of the whole and of a part.
#[test]
fn what_was_put_away_can_be_taken_out_again_or_thrown_out() {
    let away = [("18:10", "part soup 1 serve"), ("18:40", "part soup 1 clear put_away")];
    let state = after("18:00", &[&away[..], &[("18:40", "clear soup put_away")]].concat());
    let may = |text: &str| check(&state, &event(text), ms("19:00")).map_err(|r| r.text);
    for text in [
        "part soup 1 serve",
        "part soup 1 fridge",
        "part soup 1 clear eaten",
        "part soup 1 clear thrown_out",
        "part soup 1 temp 12",
        "serve dip",
        "clear soup thrown_out",
        "clear soup eaten",
    ] {
        let refused = may(text).err();
        let table = text == "serve dip";
        assert_eq!(refused.is_some(), table, "{text}: {refused:?}");
    }
    assert_eq!(may("clear soup put_away"), Err("It is cleared already.".into()));
    assert_eq!(may("part soup 1 clear put_away"), Err("That part is gone.".into()));
    // On the table again its time goes on; and who divides is shown it.
    let again = after("18:00", &[&away[..], &[("19:00", "part soup 1 serve")]].concat());
    let part = Food { dish: 0, part: Some(1) };
    assert!(food::standing_of(&again, part, ms("19:05")).is_some_and(|s| s.is_out));
    assert_eq!(view(&after("18:00", &away), ms("19:00")).away, [(0, 1)]);
    assert_eq!(view(&again, ms("19:05")).away, []);
    for gone in ["part soup 1 clear eaten", "part soup 1 clear thrown_out"] {
        let state = after("18:00", &[&away[..], &[("18:50", gone)]].concat());
        assert!(check(&state, &event("part soup 1 serve"), ms("19:00")).is_err());
        assert_eq!(view(&state, ms("19:00")).away, []);
    }
}

/// FDA Food Code 2022, 3-501.14(A): 135 to 70 °F in two hours. Off the heat at 17:20, 50 °C at 19:30: it must go, and
/// no label says until when it keeps; nor what was too long out before heat ended that.
#[test]
fn what_cooled_too_slowly_must_go_and_gets_no_label() {
    let slow = [("17:25", "clear soup put_away"), ("19:30", "temp soup 50")];
    let told = |more: &[Row]| {
        let state = by("us_food_code_2022", "17:20", &[&slow[..], more].concat());
        let after = afterwards(&state, ms("19:40"));
        let kept = report(&state, ms("19:40")).kept;
        let keeps = kept.iter().map(|k| k.keeps.clone()).collect::<Vec<_>>().join("");
        (after.must_go.join(""), after.labels.len(), keeps)
    };
    let (must_go, labels, keeps) = told(&[]);
    assert_eq!((must_go.as_str(), labels), ("Soup: cooled too slowly. Throw it out.", 0));
    assert_eq!(keeps, "it cooled too slowly: throw it out");
    let (known, labels, _) = told(&[("19:35", "answer cooling_missed:soup:: kept_knowingly")]);
    assert_eq!((known.as_str(), labels), ("Soup: cooled too slowly. Throw it out.", 0));
    // The thermometer had stood in something else.
    let (wrong, labels, keeps) = told(&[("19:35", "answer cooling_missed:soup:: was_never_out")]);
    assert_eq!((wrong.as_str(), labels), ("", 1));
    assert!(keeps.starts_with("eat it"), "{keeps}");
    // Not cooked through, nobody said what was done, and into the fridge with it.
    let low = [("18:39", "temp pie 66"), ("18:50", "clear pie put_away")];
    let state = by("us_consumer", "18:40", &low);
    let left = afterwards(&state, ms("19:00"));
    let words = "Pie: was not cooked through. Heat it through and measure, or throw it out.";
    assert!(left.must_go.iter().any(|l| l == words), "{:?}", left.must_go);
    assert!(left.labels.iter().all(|l| l.food != "Pie"));
    let kept = report(&state, ms("19:00")).kept;
    assert_eq!(kept.first().map(|k| k.keeps.as_str()), Some("it was not cooked through"));
}

/// Parts are on the pages as dishes are.
#[test]
fn the_report_tells_of_parts_too() {
    let parts = [
        ("18:10", "part soup 1 serve"),
        ("18:40", "part soup 2 clear put_away"),
        ("18:41", "part soup 3 fridge"),
    ];
    let told = report(&after("18:00", &parts), ms("18:45"));
    let out: Vec<&str> = told.out.iter().map(|o| o.dish.as_str()).collect();
    assert!(out.contains(&"Soup, part 1") && !out.contains(&"Soup, part 3"), "{out:?}");
    let kept: Vec<&str> = told.kept.iter().map(|k| k.dish.as_str()).collect();
    assert_eq!(kept, ["Soup, part 2"]);
}

/// A warning is put off until its limit; then what has less time left is put with it.
#[test]
fn what_was_put_off_comes_back_when_its_limit_comes_nearer_than_that() {
    const KEY: &str = "unsafe_soon:soup::";
    let off = [("19:31", "later unsafe_soon:soup:: 20:00")];
    assert_eq!(stands(&after("19:00", &off), KEY, "19:40"), Some(AlarmState::PutOff(ms("20:00"))));
    let parts = [off[0], ("19:32", "part dip 1 off"), ("19:35", "part dip 1 join soup")];
    let joined = of(&after("19:00", &parts), KEY, "19:40").expect("nearer");
    assert_eq!((joined.harm_ms, joined.state), (Some(ms("19:50")), AlarmState::New));
    let short = [("19:31", "later unsafe_soon:soup:: 19:45"), parts[1], parts[2]];
    assert_eq!(
        stands(&after("19:00", &short), KEY, "19:40"),
        Some(AlarmState::PutOff(ms("19:45")))
    );
}

/// Seen two minutes before it went into the fridge, five minutes before its limit; three minutes later it is out once more.
#[test]
fn what_comes_out_again_with_minutes_left_is_warned_of_anew() {
    const KEY: &str = "unsafe_soon:dip::";
    let rows = [
        ("19:43", "seen unsafe_soon:dip::"),
        ("19:45", "hold dip 0 fridge"),
        ("19:48", "serve dip"),
    ];
    assert_eq!(stands(&after("19:00", &rows[..1]), KEY, "19:44"), Some(AlarmState::Acknowledged));
    assert_eq!(stands(&after("19:00", &rows[..2]), KEY, "19:47"), None);
    let again = of(&after("19:00", &rows), KEY, "19:48").expect("out again");
    assert_eq!((again.state, again.raised_ms), (AlarmState::New, ms("19:48")));
    assert_eq!(again.harm_ms, Some(ms("19:53")));
    // From the board to the table it only goes on.
    let moved = [("20:21", "seen unsafe_soon:pie::"), ("20:23", "hold pie 0 board")];
    let pie = of(&after("19:00", &moved), "unsafe_soon:pie::", "20:24").expect("raised");
    assert_eq!((pie.state, pie.raised_ms), (AlarmState::Acknowledged, ms("20:10")));
}

/// At 200 °C by 18:00, out of order from 18:00 to 18:20: by five degrees a minute it is at 100, and off until it is
/// set again.
#[test]
fn an_oven_that_was_out_of_order_is_cold_and_asks_for_its_dial() {
    let rows = [("18:00", "down oven"), ("18:20", "up oven")];
    let mut hot = on_time("17:42");
    hot.extend(rows);
    let state = fold(evening(), &marks(&hot));
    let c = |at: &str| state.temperature("oven", ms(at)).map(f64::round);
    assert_eq!((c("18:00"), c("18:20"), c("18:30")), (Some(200.0), Some(100.0), Some(50.0)));
    assert_eq!(state.dial_due("oven", ms("18:21")), Some((200, ms("17:42"))));
    let shown = view(&state, ms("18:21"));
    assert!(
        shown.do_now.iter().any(|p| p.short.to_lowercase().starts_with("oven to 200")),
        "{:?}",
        shown.do_now
    );
    // One that nobody had turned on is as warm as the room, and off as it was.
    let cold = fold(evening(), &marks(&[("16:10", "down oven"), ("16:20", "up oven")]));
    assert_eq!((cold.setting("oven"), cold.temperature("oven", ms("16:30"))), (None, Some(21.0)));
}

/// The pie was in from 18:00 on, and at 18:25 the oven was turned down for it. That it had gone in is told after that.
#[test]
fn a_start_that_is_told_late_turns_no_dial_back() {
    let bake = |ago: u32| Event::Started {
        id: super::testbed::id("pie", "bake", 0),
        way: 0,
        station: "oven".into(),
        cook: None,
        ago_minutes: ago,
    };
    let told = |ago: u32| {
        let mut all = marks(&on_time("17:20"));
        all.push(Mark { seq: 900, at_ms: ms("18:25"), event: event("oven 80") });
        all.push(Mark { seq: 901, at_ms: ms("18:30"), event: bake(ago) });
        fold(evening(), &all)
    };
    let late = told(30);
    assert_eq!(late.setting("oven"), Some(80));
    let c = |at: &str| late.temperature("oven", ms(at)).map(f64::round);
    assert_eq!((c("18:26"), c("18:50")), (Some(195.0), Some(80.0)), "it was hot, and cools");
    assert_eq!(told(2).setting("oven"), Some(200), "it went in after that");
    // Two turns of one dial, the clock put right by seconds in between: the last one counts.
    let mut all = marks(&[]);
    for (seq, at, to) in [(900, "18:25:10", "oven 80"), (901, "18:25", "oven 200")] {
        all.push(Mark { seq, at_ms: ms(at), event: event(to) });
    }
    let state = fold(evening(), &all);
    assert_eq!(state.setting("oven"), Some(200));
    all.push(Mark { seq: 902, at_ms: ms("18:40"), event: event("hold pie 1 oven") });
    let mut rows = marks(&on_time("17:20"));
    rows.extend(all.into_iter().skip(1));
    rows.push(Mark { seq: 903, at_ms: ms("18:41"), event: event("done pie rest") });
    rows.push(Mark { seq: 904, at_ms: ms("18:42"), event: event("hold pie 1 oven") });
    let kept = phases(&fold(evening(), &rows), 3, ms("18:50"));
    assert!(matches!(kept.last(), Some((_, Keeping::In(_)))), "{kept:?}");
}

/// On the table by a mark of 18:30; the clock is put right by ten seconds, then a part of it is taken off.
#[test]
fn a_part_is_taken_off_after_all_that_was_marked_before() {
    let mut all = marks(&on_time("17:20"));
    all.push(Mark { seq: 900, at_ms: ms("18:30"), event: event("serve soup") });
    all.push(Mark { seq: 901, at_ms: ms("18:29:50"), event: event("part soup 1 off") });
    let state = fold(evening_by("us_consumer"), &all);
    let part = Food { dish: 0, part: Some(1) };
    let limit = |food| food::standing_of(&state, food, ms("18:40")).and_then(|s| s.limit_ms);
    assert_eq!(limit(part), Some(ms("20:30")));
    assert_eq!(limit(part), limit(Food::whole(0)));
}

/// A place that does not heat is not set to anything, whatever the recipe's hold says.
#[test]
fn a_fridge_is_cold_whatever_heat_is_written_beside_it() {
    let mut evening = Evening::clone(&evening());
    evening.sheets[1].recipe.holds[0].at_c = Some(80);
    let rows = [&on_time("17:30")[..], &[("17:35", "hold dip 0 fridge")]].concat();
    let state = fold(Arc::new(evening), &marks(&rows));
    let cold = Keeping::In(crate::safety::Control::Cold);
    assert_eq!(phases(&state, 1, ms("17:40")).last().map(|p| p.1), Some(cold));
}

#[test]
fn a_thermometer_that_is_wanted_is_told_once() {
    let mut teller = super::telling::Teller::default();
    let state = after("18:00", &[]);
    let mut said = |at: &str| {
        let lines = teller.lines(&state, &view(&state, ms(at)));
        lines.into_iter().filter(|l| l.contains("measure the pie")).collect::<Vec<_>>()
    };
    assert!(said("18:38").is_empty());
    let now = said("18:39");
    assert_eq!(now.len(), 1, "{now:?}");
    assert!(now[0].starts_with("18:39 now: measure the pie (end of cooking: "), "{now:?}");
    assert!(said("18:41").is_empty());
}

/// Kinds that ask what was done come back, of a part as of the whole.
#[test]
fn an_answer_is_wanted_of_a_part_as_of_the_whole() {
    let part = [
        ("18:39", "temp pie 66"),
        ("18:52", "part pie 1 serve"),
        ("18:53", "seen undercooked:pie:part1:"),
    ];
    let state = after("18:40", &part);
    assert_eq!(stands(&state, UNDER_1, "19:02:59"), Some(AlarmState::Acknowledged));
    assert_eq!(stands(&state, UNDER_1, "19:03"), Some(AlarmState::New));
    assert!(of(&state, UNDER_1, "19:03").is_some_and(|a| a.kind == AlarmKind::Undercooked));
}

/// What is not cooked through makes all of it so that it is put together with; what was said of it before that is said.
#[test]
fn what_is_put_together_with_what_is_not_cooked_through_is_not_either() {
    let pie = [("18:39", "temp pie 66"), ("18:45", "part pie 1 off")];
    let soup = |more: &[Row]| {
        let rows = [&pie[..], more, &[("18:50", "part pie 1 join soup")]].concat();
        raised(&after("18:40", &rows), ms("18:51")).iter().any(|a| a.key == "undercooked:soup::")
    };
    assert!(soup(&[]));
    assert!(!soup(&[("18:46", "answer undercooked:pie:part1: was_never_out")]));
}

#[test]
fn the_log_says_what_was_done_about_a_reading() {
    let log = |how: &str| {
        let answer = format!("answer undercooked:pie:: {how}");
        let mut rows: Vec<(&str, &str)> = on_time("18:40");
        rows.extend([("18:39", "temp pie 66"), ("18:45", answer.as_str())]);
        rows.sort_by_key(|r| ms(r.0));
        let state = fold(evening_by("us_consumer"), &marks(&rows));
        let rows = super::food_log::food_log(&state, ms("18:50")).rows;
        let said = rows.into_iter().filter(|r| r.what.contains("about its reading"));
        said.map(|r| (r.at_ms == ms("18:45"), r.food, r.what)).collect::<Vec<_>>()
    };
    for (how, what) in [
        ("discarded", "done about its reading: thrown out"),
        ("kept_knowingly", "done about its reading: kept, knowing it"),
        ("was_never_out", "said about its reading: it was wrong"),
    ] {
        assert_eq!(log(how), [(true, "Pie".to_owned(), what.to_owned())]);
    }
}

/// FDA Food Code 2022, 3-401.13: plants that are held hot reach 135 °F. It is in the hot hold that they are measured.
#[test]
fn plants_are_measured_in_their_hot_hold_and_not_as_they_come_off() {
    let state = by("us_food_code_2022", "17:20", &[("17:19", "temp soup 50")]);
    assert!(super::measure::undercooked(&state, 0, ms("17:21")).is_none());
    let wanted = super::measure::wanted(&state, ms("17:21"));
    let soup = wanted.iter().find(|m| m.dish == 0).expect("it is held hot");
    assert!(soup.why.starts_with("into the hot hold"), "{}", soup.why);
}

/// FDA Food Code 2022, 3-501.14(A): two hours to 70 °F, from when it was last hot. What is measured after the moment that
/// is asked about is not known then; what was measured before it was hot once more says nothing of how it cools.
#[test]
fn only_what_was_measured_since_it_cools_and_by_now_says_how_it_cooled() {
    let missed = |more: &[Row], at: &str| {
        let rows = [&[("17:25", "clear soup put_away")], more].concat();
        let state = by("us_food_code_2022", "17:20", &rows);
        super::measure::cooling_missed(&state, Food::whole(0), ms(at)).map(|m| m.reading.at_ms)
    };
    let slow = [("19:30", "temp soup 50")];
    assert_eq!((missed(&slow, "19:29"), missed(&slow, "19:30")), (None, Some(ms("19:30"))));
    let hot = [("18:00", "temp soup 15"), ("18:30", "temp soup 80"), ("20:31", "temp soup 30")];
    assert_eq!(missed(&hot, "20:31"), Some(ms("20:31")));
}

/// The hob goes out under the soup, and the new plan has it in the oven: somebody must carry it there.
#[test]
fn what_stands_where_it_is_not_kept_any_more_is_to_be_moved() {
    let moves = |more: &[Row], at: &str| {
        let mut moved = plan(&evening());
        (moved.holds[0].station, moved.holds[0].setting_c) = ("oven".to_owned(), Some(80));
        let rows = [&on_time("17:20")[..], more].concat();
        let mut all = marks(&rows);
        all.push(Mark { seq: 900, at_ms: ms("17:31"), event: adopted(moved) });
        all.sort_by_key(|m| m.at_ms);
        let shown = view(&fold(evening(), &all), ms(at));
        let soup = shown.do_now.into_iter().find(|p| p.dish == Some(0));
        soup.map(|p| (p.short, p.due_ms))
    };
    let down = ("17:30", "down hob");
    let put = Some(("soup into the oven, 80 °C".to_owned(), ms("17:30")));
    assert_eq!(moves(&[down], "17:32"), put);
    assert_eq!(moves(&[], "17:32"), None, "it is kept where it stands");
    assert_eq!(moves(&[down, ("17:33", "oven 80"), ("17:34", "hold soup 1 oven")], "17:35"), None);
    assert_eq!(
        moves(&[down, ("17:34", "hold soup 9 board")], "17:35"),
        None,
        "the cook chose that"
    );
}

/// Closed, an evening says nothing more of the pie in the oven: so it asks first.
#[test]
fn an_evening_in_which_something_runs_is_not_closed_without_a_word() {
    let ask = |rows: &[Row], at: &str| {
        let gone = ["soup", "dip", "fries"].map(|d| format!("clear {d} eaten"));
        let mut all: Vec<(&str, &str)> = rows.to_vec();
        all.extend(gone.iter().map(|g| ("18:05", g.as_str())));
        all.sort_by_key(|r| ms(r.0));
        check(&fold(evening(), &marks(&all)), &Event::Finished, ms(at))
    };
    let refused = ask(&on_time("18:00"), "18:10").expect_err("the pie is in the oven");
    assert_eq!(refused.text, "The pie (bake) still runs.");
    assert!(refused.may_insist);
    // Filled, and on the counter since.
    let begun =
        on_time("18:00").into_iter().filter(|r| r.1 != "start pie bake").collect::<Vec<_>>();
    assert_eq!(ask(&begun, "18:10").expect_err("it is out").text, "The pie still stands out.");
    let served = [&on_time("19:00")[..], &[("19:30", "clear pie eaten")]].concat();
    assert!(ask(&served, "19:31").is_ok());
}

/// The first basket is out while the second one fries: served as a whole, nobody would be told when that one is done.
#[test]
fn who_serves_the_first_of_several_loads_is_told_to_serve_a_part() {
    let asked = |until: &str, at: &str| {
        let state = after(until, &[]);
        check(&state, &event("serve fries"), ms(at)).map_err(|r| (r.text, r.may_insist))
    };
    let words = "Fries: not all of it is done. What has not begun counts as done if you serve it: \
                 serve a part.";
    assert_eq!(asked("17:50", "17:52"), Err((words.to_owned(), true)));
    assert_eq!(asked("17:42", "17:45"), Err(("Fries is not finished yet.".to_owned(), true)));
    assert_eq!(asked("17:58", "17:58"), Ok(()));
    let part = check(&after("17:50", &[]), &event("part fries 1 serve"), ms("17:52"));
    assert!(part.is_ok());
}

/// On the board since 16:20, warned of at 17:50; that it is finished, and stays there, is no new cause.
#[test]
fn what_is_finished_where_it_stood_is_not_warned_of_anew() {
    let mut evening = Evening::clone(&evening_by("us_consumer"));
    evening.sheets[1].recipe.steps.truncate(1);
    let rows = [
        ("16:20", "start dip mix"),
        ("18:01", "seen unsafe_soon:dip::"),
        ("18:05", "done dip mix"),
    ];
    let state = fold(Arc::new(evening), &marks(&rows));
    let dip = of(&state, "unsafe_soon:dip::", "18:06").expect("it is out");
    assert_eq!((dip.state, dip.raised_ms), (AlarmState::Acknowledged, ms("17:50")));
}

/// The pie stood too long before it went into the oven, and makes the mains late. Thrown out, nobody waits for it.
#[test]
fn a_service_does_not_wait_for_what_was_thrown_out_in_an_answer() {
    let mut late = plan(&evening());
    let due = late.services[1].due;
    for dish in &mut late.services[1].dishes {
        (dish.1, dish.2) = (due + 70, due + 70);
    }
    let mut all = marks(&[&on_time("17:20")[..], &[("19:10", "start pie bake")]].concat());
    all.push(Mark { seq: 900, at_ms: ms("19:11"), event: adopted(late) });
    let state = fold(evening_by("us_consumer"), &all);
    let risk = |state: &State| {
        alarms(state, ms("19:13")).iter().any(|a| {
            a.kind == AlarmKind::ServiceAtRisk
                && a.state != AlarmState::Returned
                && a.key.contains("mains")
        })
    };
    assert!(risk(&state));
    let how = event("answer unsafe_past:pie:: discarded");
    all.push(Mark { seq: 901, at_ms: ms("19:12"), event: how });
    let state = fold(evening_by("us_consumer"), &all);
    assert!(state.is_gone(3));
    assert!(!risk(&state));
}
