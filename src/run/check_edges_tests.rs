//! What may be marked and what may not, each with its sentence, on the edges.

use super::event::{Event, StepId};
use super::marks::check;
use super::testbed::{evening_by, event, marks, minute, ms, on_time, state};
use super::{PortionDid, State, fold};
use crate::kitchen::{DAY, StationKind};

type Row = (&'static str, &'static str);

/// Why not; nothing if it may be.
fn why(state: &State, event: &Event, at: &str) -> String {
    check(state, event, ms(at)).err().map(|r| r.text).unwrap_or_default()
}

fn table(rows: &[(&[Row], Event, &str, &str)]) {
    for (before, event, at, text) in rows {
        assert_eq!(why(&state(before), event, at), *text, "{event:?} at {at} after {before:?}");
    }
}

#[test]
fn steps_loads_pins_and_more_minutes_have_their_bounds() {
    let load =
        |load| Event::Skipped { id: StepId { dish: "fries".into(), step: "fry".into(), load } };
    let chopping: &[Row] = &[("16:40", "start soup chop")];
    table(&[
        (&[], load(1), "16:10", ""),
        (&[], load(2), "16:10", "The step has no such load."),
        (chopping, event("more soup chop 1440"), "16:45", ""),
        (chopping, event("more soup chop 1441"), "16:45", "That is more than a day."),
        (&[], event("pin pie fill 16:45"), "16:45:30", ""),
        (&[], event("pin pie fill 16:44"), "16:45:30", "That minute has passed."),
    ]);
    // Six hours before its time the one key is hardly meant.
    assert_eq!(why(&state(&[]), &event("start dip mix"), "10:20:01"), "");
    assert!(why(&state(&[]), &event("start dip mix"), "10:20").contains("is planned for 16:20"));
}

#[test]
fn places_and_cleared_dishes_have_their_bounds() {
    let dropped: &[Row] = &[("16:20", "start dip mix"), ("16:25", "drop dip")];
    let nothing: &[Row] = &[("16:10", "drop dip")];
    table(&[
        (dropped, event("hold dip 0 fridge"), "16:30", ""),
        (nothing, event("hold dip 0 fridge"), "16:30", "Dip is dropped; bring it back first."),
        (&[], event("hold dip 0 fridge"), "16:30", "It is not finished yet."),
        (&[("16:30", "serve dip")], event("hold dip 0 fridge"), "16:31", ""),
        (dropped, event("clear dip thrown_out"), "16:30", ""),
        (&[], event("clear dip thrown_out"), "16:30", "It is not finished yet."),
    ]);
    let finished = on_time("17:20");
    assert_eq!(why(&state(&finished), &event("clear soup eaten"), "17:30"), "");
}

#[test]
fn dials_services_and_alarms_have_their_bounds() {
    let set = |celsius| Event::OvenSet { station: "oven".into(), celsius };
    let range = "The oven goes from 50 °C to 250 °C.";
    // Off is as cold as the room, which the party says is 21 °C.
    assert_eq!(state(&[]).evening().party.room_c, 21);
    let cold = [("16:01", "air -5")];
    for (rows, c, text) in [
        (&[][..], 21, ""),
        (&[], 22, range),
        (&[], 50, ""),
        (&[], 251, range),
        (&cold, 0, ""),
        (&cold, 1, range),
    ] {
        let said = why(&state(rows), &set(c), "16:10").replace(" (", "\u{0}");
        assert_eq!(said.is_empty(), text.is_empty(), "{c}: {said}");
    }
    let to = |to| Event::ServiceMoved { service: "mains".into(), to };
    table(&[
        (&[], to(minute("16:10")), "16:10:30", ""),
        (&[], to(minute("16:09")), "16:10:30", "That time has passed."),
        (&[], to(minute("16:10") + DAY), "16:10:30", ""),
        (&[], to(minute("16:11") + DAY), "16:10:30", "That is more than a day away."),
    ]);
    let rows = on_time("18:10");
    let pull = "pull_now:pie:bake:0";
    let off = |text: &str| why(&state(&rows), &event(&format!("later {pull} {text}")), "18:41");
    assert_eq!((off("19:41").as_str(), off("18:41:01").as_str()), ("", ""));
    assert_eq!(off("19:41:01"), "Put it off for at most an hour.");
    assert_eq!(off("18:41"), "Put it off for at least a minute.");
}

/// A limit that comes near is put off until it at the most.
#[test]
fn a_safety_warning_is_put_off_to_its_limit_at_most() {
    let state = fold(evening_by("us_consumer"), &marks(&on_time("18:00")));
    let soon = (0..300).find_map(|m| {
        let now_ms = ms("18:00") + m * 60_000;
        let all = super::alarms::alarms(&state, now_ms);
        let found = all.into_iter().find(|a| a.key == "unsafe_soon:soup::")?;
        Some((now_ms, found.harm_ms.expect("not yet")))
    });
    let (now_ms, harm_ms) = soon.expect("it comes near");
    let off = |until_ms| {
        let event = Event::AlarmPutOff { alarm: "unsafe_soon:soup::".into(), until_ms };
        check(&state, &event, now_ms).is_ok()
    };
    assert!(off(harm_ms) && !off(harm_ms + 1), "{now_ms} {harm_ms}");
}

#[test]
fn what_is_settled_has_its_bounds() {
    let way = |way| Event::WaySettled { dish: "pie".into(), step: "bake".into(), way };
    let place = |hold| Event::PlaceSettled { dish: "pie".into(), hold };
    let there = |from: &str, to: &str| {
        let (from, to) = (minute(from), minute(to));
        Event::CookThere { cook: "bo".into(), name: "Bo".into(), from, to }
    };
    let at = |from, to| Event::CookThere { cook: "bo".into(), name: "Bo".into(), from, to };
    let (passed, no_hours) =
        ("Those hours have passed.", "Those are not hours of the party's day.");
    let baking: &[Row] = &[("18:00", "start pie bake")];
    table(&[
        (&[], way(0), "16:10", ""),
        (&[], way(1), "16:10", "The recipe has no such way."),
        (baking, way(0), "18:10", "It has begun already."),
        (&[], place(1), "16:10", ""),
        (&[], place(2), "16:10", "The recipe has no such place."),
        (&[], there("17:00", "18:00"), "17:59:30", ""),
        (&[], there("17:00", "18:00"), "18:00", passed),
        (&[], there("18:00", "18:00"), "17:00", passed),
        (&[], there("18:01", "18:00"), "17:00", passed),
        (&[], at(0, 2 * DAY - 1), "16:10", ""),
        (&[], at(-1, 1100), "16:10", no_hours),
        (&[], at(1000, 2 * DAY), "16:10", no_hours),
        (
            &[],
            Event::WayTaken { words: "x".into(), events: vec![] },
            "16:10",
            "There is nothing to take.",
        ),
        (
            &[],
            Event::WayTaken { words: "x".into(), events: vec![Event::Finished] },
            "16:10",
            "There is nothing to take.",
        ),
        (&[], Event::WayTaken { words: "x".into(), events: vec![place(1)] }, "16:10", ""),
    ]);
}

#[test]
fn guidance_rules_and_what_is_out_early_have_their_bounds() {
    let same = evening_by("uk").party.guidance.clone();
    let by = |guidance: &str| fold(evening_by(guidance), &marks(&[]));
    let to = |to: &str| Event::GuidanceChanged { to: to.into() };
    assert_eq!(why(&by("uk"), &to(&same), "16:10"), "The evening goes by that already.");
    assert_eq!(why(&by("uk"), &to("canada"), "16:10"), "");
    let code = by("us_food_code_2022");
    let rule =
        |id: Option<&str>| Event::RuleChosen { dish: "dip".into(), rule: id.map(Into::into) };
    let known =
        super::food::profile(&code).expect("known").chosen_rules.iter().map(|r| r.id.clone());
    for id in known {
        assert_eq!(why(&code, &rule(Some(&id)), "16:10"), "");
    }
    assert_eq!(why(&code, &rule(Some("none such")), "16:10"), "The guidance has no such rule.");
    assert_eq!(why(&code, &rule(None), "16:10"), "");
    let out: &[Row] = &[("16:30", "early pie fill")];
    let back: &[Row] = &[("16:30", "early pie fill"), ("16:35", "putback pie fill")];
    let begun: &[Row] = &[("17:05", "start pie fill")];
    table(&[
        (&[], event("early pie fill"), "16:30", ""),
        (out, event("early pie fill"), "16:31", "It is out already."),
        (out, event("putback pie fill"), "16:31", ""),
        (back, event("early pie fill"), "16:36", ""),
        (back, event("putback pie fill"), "16:36", "It was not taken out."),
        (&[], event("putback pie fill"), "16:36", "It was not taken out."),
        (begun, event("early pie fill"), "17:06", "That step has begun: it counts from then."),
        (&[], event("setback 60"), "16:10", ""),
        (&[], event("setback 10081"), "16:10", "A clock is set back by at most a week."),
    ]);
}

#[test]
fn parts_have_their_bounds() {
    let served = on_time("18:00");
    let off: Vec<Row> = [&served[..], &[("18:05", "part soup 1 off")]].concat();
    let gone: Vec<Row> = [&off[..], &[("18:06", "part soup 1 clear eaten")]].concat();
    let dip_gone: Vec<Row> = [&off[..], &[("18:06", "clear dip eaten")]].concat();
    let nine = "A dish is divided into nine parts at most, numbered from 1.";
    let nobody = |name: &str| format!("The {name} is not there to put it with.");
    let itself = Event::Portion {
        dish: "soup".into(),
        part: 1,
        did: PortionDid::JoinedTo { dish: "soup".into(), part: Some(1) },
    };
    let attic = Event::Portion {
        dish: "soup".into(),
        part: 1,
        did: PortionDid::HeldAt {
            hold: None,
            place: StationKind::Oven,
            station: Some("hob".into()),
        },
    };
    let (not_soup, not_dip) = (nobody("soup"), nobody("dip"));
    table(&[
        (&served, event("part soup 1 off"), "18:10", ""),
        (&served, event("part soup 2 off"), "18:10", nine),
        (&served, event("part soup 1 fridge"), "18:10", ""),
        (&served, event("part soup 2 fridge"), "18:10", "That part was not taken off yet."),
        (&off, event("part soup 1 off"), "18:10", "That part was taken off already."),
        (&off, event("part soup 1 join dip"), "18:10", ""),
        (&off, itself, "18:10", &not_soup),
        (&dip_gone, event("part soup 1 join dip"), "18:10", &not_dip),
        (&off, attic, "18:10", "The kitchen has no such place."),
        (&gone, event("part soup 1 serve"), "18:10", "That part is gone."),
        (
            &[("16:10", "drop soup")],
            event("part soup 1 off"),
            "16:20",
            "Soup is dropped; bring it back first.",
        ),
    ]);
    // A part that stands out keeps the evening open, like a dish.
    let cleared = |more: &[Row]| -> Vec<Row> {
        let all = ["soup", "dip", "fries", "pie"];
        let mut rows = [&on_time("19:00")[..], more].concat();
        let words = all.map(|d| match d {
            "soup" => "clear soup thrown_out",
            "dip" => "clear dip thrown_out",
            "fries" => "clear fries thrown_out",
            _ => "clear pie thrown_out",
        });
        rows.extend(words.map(|w| ("19:20", w)));
        rows.sort_by_key(|r| ms(r.0));
        rows
    };
    let close = |more: &[Row]| why(&state(&cleared(more)), &Event::Finished, "19:21");
    assert_eq!(close(&[]), "");
    assert_eq!(close(&[("18:30", "part soup 1 serve")]), "The soup, part 1 still stands out.");
}

/// Four degrees are a probe's; five more were heat.
#[test]
fn a_reading_that_is_warmer_than_its_place_is_asked_back() {
    let cold = [&on_time("17:59")[..], &[("17:40", "temp dip 4")]].concat();
    let dip = |celsius: f64, at: &str| {
        why(&state(&cold), &Event::Temperature { dish: "dip".into(), celsius }, at)
    };
    assert_eq!((dip(8.0, "17:50").as_str(), dip(8.1, "17:50").is_empty()), ("", false));
    assert!(dip(4.0, "17:39").contains("later than now") && dip(4.0, "17:40").is_empty());
    // On the table it may be as warm as the room.
    let out = [&on_time("18:00")[..], &[("18:05", "temp dip 8")]].concat();
    let there = |celsius: f64| {
        why(&state(&out), &Event::Temperature { dish: "dip".into(), celsius }, "18:40")
    };
    assert_eq!((there(25.0).as_str(), there(25.1).is_empty()), ("", false));
}
