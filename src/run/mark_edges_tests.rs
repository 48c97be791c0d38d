//! What single marks do and say, the ones that do not fit among them: each that counts for less than it says has its
//! note, each that the plan cannot know of asks for another plan, and says why.

use std::sync::Arc;

use super::alarms::{alarms, at, raised};
use super::event::{Event, Mark, StepId};
use super::state::Progress;
use super::testbed::{
    adopted, evening, evening_by, event, key, marks, minute, ms, on_time, plan, state,
};
use super::{AlarmKind, AlarmState, Answer, PortionDid, State, fold};
use crate::kitchen::{DAY, Evening, PartyChange};

/// Times and short forms of marks.
type Rows<'a> = &'a [(&'a str, &'a str)];

/// An event after these marks: what it is noted as, and why another plan is wanted.
fn said(rows: &[(&str, &str)], at: &str, event: Event) -> (State, String, String) {
    let mut all = marks(rows);
    all.push(Mark { seq: 900, at_ms: ms(at), event });
    let state = fold(evening(), &all);
    let notes: Vec<&str> =
        state.notes().iter().filter(|n| n.seq == 900).map(|n| n.text.as_str()).collect();
    let (notes, why) = (notes.join("; "), state.facts().stale.as_ref().map(|w| w.text.clone()));
    (state, notes, why.unwrap_or_default())
}

fn way_taken(events: Vec<Event>) -> Event {
    Event::WayTaken { words: "Serve later".into(), events }
}

#[test]
fn a_way_out_is_taken_up_to_forty_changes_and_never_ends_the_evening() {
    let later =
        |n: i32| (1..=n).map(|i| Event::ServiceMoved { service: "mains".into(), to: 1140 + i });
    for (n, note) in [(40, ""), (41, "it changes too much at once; the rest does not count")] {
        let (state, said, why) = said(&[], "16:30", way_taken(later(n).collect()));
        assert_eq!((said.as_str(), why.as_str()), (note, "because you chose: serve later"));
        assert_eq!(state.service_minute(1), 1180);
    }
    let (state, note, _) = said(&[], "16:30", way_taken(vec![Event::Finished]));
    assert_eq!(note, "a way out is made of changes alone; the rest does not count");
    assert_eq!(state.facts().finished_ms, None);
}

#[test]
fn ways_and_places_are_settled_if_the_recipe_has_them() {
    let way = |dish: &str, step: &str, way| Event::WaySettled {
        dish: dish.into(),
        step: step.into(),
        way,
    };
    let (state, note, why) = said(&[], "16:30", way("pie", "bake", 0));
    assert_eq!((note.as_str(), state.facts().ways.get(&(3, 1))), ("", Some(&0)));
    assert!(why.contains("done another way") && why.contains("pie"), "{why}");
    let (state, note, why) = said(&[], "16:30", way("pie", "bake", 1));
    assert_eq!(note, "the recipe has no such way; the plan chooses");
    assert!(state.facts().ways.is_empty() && why.is_empty());
    assert_eq!(
        said(&[], "16:30", way("pie", "stir", 0)).1,
        "the party has no step \"stir\" of \"pie\""
    );
    let place = |dish: &str, hold| Event::PlaceSettled { dish: dish.into(), hold };
    let (state, note, why) = said(&[], "16:30", place("pie", 1));
    assert_eq!((note.as_str(), state.facts().places.get(&3)), ("", Some(&1)));
    assert!(why.contains("shall wait elsewhere"), "{why}");
    let (state, note, why) = said(&[], "16:30", place("pie", 2));
    assert_eq!(note, "the recipe has no such place; the plan chooses");
    assert!(state.facts().places.is_empty() && why.is_empty());
    assert_eq!(said(&[], "16:30", place("cake", 0)).1, "the party has no dish \"cake\"");
}

#[test]
fn a_cook_is_there_longer_or_joins() {
    let there =
        |cook: &str, from, to| Event::CookThere { cook: cook.into(), name: "Bo".into(), from, to };
    let hours = |state: &State| -> Vec<(String, Vec<(i32, i32)>)> {
        let cooks = state.evening().party.cooks.iter();
        cooks
            .map(|c| (c.name.clone(), c.free.iter().map(|s| (s.from.0, s.to.0)).collect()))
            .collect()
    };
    let (state, note, why) = said(&[], "16:30", there("ana", 780, 840));
    assert_eq!((note.as_str(), hours(&state)), ("", vec![("Ana".into(), vec![(780, 1380)])]));
    assert!(why.starts_with("because Ana is there from 13:00"), "{why}");
    let (state, ..) = said(&[], "16:30", there("bo", 1020, 1080));
    assert_eq!(hours(&state)[1], ("Bo".into(), vec![(1020, 1080)]));
    for (from, to) in [(840, 840), (900, 840), (-1, 840), (840, 2 * DAY), (-2 * DAY, 840)] {
        let (state, note, why) = said(&[], "16:30", there("ana", from, to));
        assert_eq!((note.as_str(), why.as_str()), ("those are not hours of the party's day", ""));
        assert_eq!(hours(&state)[0].1, [(840, 1380)]);
    }
}

#[test]
fn guidance_air_and_clock_say_what_they_change() {
    let (_, note, why) = said(&[], "16:30", event("guidance uk"));
    assert_eq!(note, "");
    assert!(why.starts_with("because the evening goes by ") && why.contains("UK"), "{why}");
    let same = evening().party.guidance.clone();
    let (_, note, why) = said(&[], "16:30", Event::GuidanceChanged { to: same });
    assert_eq!((note.as_str(), why.as_str()), ("the party goes by this guidance already", ""));
    assert_eq!(said(&[], "16:30", event("air 35")).2, "because the room was measured");
    let week = 7 * 24 * 60;
    for (minutes, note) in [
        (week, ""),
        (week + 1, "a clock is set back by at most a week; it does not count"),
        (0, "a clock is set back by at most a week; it does not count"),
    ] {
        assert_eq!(said(&[], "16:30", event(&format!("setback {minutes}"))).1, note, "{minutes}");
    }
}

#[test]
fn parts_of_a_dish_go_where_they_are_put() {
    let rows = on_time("18:00");
    let part = |n: u32, did: PortionDid| Event::Portion { dish: "soup".into(), part: n, did };
    let (state, note, _) = said(&rows, "18:10", part(1, PortionDid::TakenOff));
    assert_eq!(
        (note.as_str(), state.next_portion(0), state.next_portion(1)),
        ("", Some(2), Some(1))
    );
    let hot = part(1, PortionDid::Temperature { celsius: 70.0 });
    assert_eq!(
        said(&rows, "18:10", hot).1,
        "the part was not taken off yet; it is taken to be just now"
    );
    for gone in ["part soup 1 clear eaten", "part soup 1 clear thrown_out"] {
        let (state, note, _) = said(&rows, "18:10", event(gone));
        assert!(note.is_empty() && state.portion_is_gone((0, 1)), "{gone}: {note}");
    }
    let (state, ..) = said(&rows, "18:10", event("part soup 1 fridge"));
    assert_eq!(state.facts().portions[&(0, 1)].stays.len(), 1);
    let to_nothing = part(1, PortionDid::JoinedTo { dish: "cake".into(), part: None });
    assert!(said(&rows, "18:10", to_nothing).1.contains("the party has no dish \"cake\""));
    // Nine parts, and no tenth.
    let nine: Vec<String> = (1..=9).map(|n| format!("part soup {n} off")).collect();
    let mut all: Vec<(&str, &str)> = rows.clone();
    all.extend(nine.iter().map(|n| ("18:10", n.as_str())));
    assert_eq!(self::state(&all).next_portion(0), None);
    let dropped = [("16:10", "drop soup")];
    let note = said(&dropped, "16:20", part(1, PortionDid::TakenOff)).1;
    assert_eq!(note, "marked for a dish that was dropped before there was any of it");
    let begun: Vec<_> = on_time("17:20").into_iter().chain([("17:25", "drop soup")]).collect();
    assert_eq!(said(&begun, "17:30", part(1, PortionDid::TakenOff)).1, "");
    // A clock that stood earlier puts nothing before what came before it.
    let mut marks = marks(&rows);
    let mark = |seq, at: &str, event| Mark { seq, at_ms: ms(at), event };
    marks.push(mark(901, "18:20", event("part soup 1 off")));
    marks.push(mark(902, "18:19:30", event("part soup 1 serve")));
    let stays = &fold(evening(), &marks).facts().portions[&(0, 1)].stays.clone();
    assert_eq!(stays[0].at_ms, ms("18:20"));
}

#[test]
fn a_step_is_begun_where_and_by_whom_the_mark_says() {
    let start = |way, station: &str, cook: Option<&str>| Event::Started {
        id: StepId { dish: "pie".into(), step: "fill".into(), load: 0 },
        way,
        station: station.into(),
        cook: cook.map(Into::into),
        ago_minutes: 0,
    };
    let fill = key(&evening(), "pie", "fill", 0);
    let run = |event| {
        let (state, note, _) = said(&[], "17:05", event);
        let run = state.facts().progress[&fill].run().expect("it runs").clone();
        (run.way, run.station, run.cook, note)
    };
    let ana = || Some("ana".to_owned());
    assert_eq!(run(start(0, "board", Some("ana"))), (0, "board".into(), ana(), String::new()));
    let (_, station, _, note) = run(start(0, "fridge", Some("ana")));
    assert_eq!((station.as_str(), note.as_str()), ("fridge", ""));
    let (way, _, _, note) = run(start(1, "board", Some("ana")));
    assert_eq!((way, note.as_str()), (0, "the recipe has no such way; the planned one counts"));
    let (_, station, _, note) = run(start(0, "attic", Some("ana")));
    assert_eq!(
        (station.as_str(), note.as_str()),
        ("board", "the kitchen has no station \"attic\"")
    );
}

/// Food is thrown out or answered for only once its limit has passed: no word stops a clock beforehand.
#[test]
fn an_answer_counts_for_the_alarm_that_is_raised_and_no_other() {
    let by = |more: &[(&'static str, &'static str)]| {
        let mut rows = on_time("18:40");
        rows.extend(more);
        rows.sort_by_key(|r| ms(r.0));
        fold(evening_by("us_consumer"), &marks(&rows))
    };
    let answered = |state: &State, key: &str| {
        state.facts().handled.get(key).and_then(|h| h.answered).map(|(_, how)| how)
    };
    let none = by(&[("18:41", "answer undercooked:pie:: discarded")]);
    assert_eq!(answered(&none, "undercooked:pie::"), None);
    assert!(!none.is_gone(3) && none.notes().iter().any(|n| n.text.contains("had not passed")));
    let low = ("18:39", "temp pie 66");
    let other = by(&[low, ("18:41", "answer cooling_missed:pie:: discarded")]);
    assert!(!other.is_gone(3), "it is not the one that is raised");
    let just = by(&[low, ("18:40", "answer undercooked:pie:: discarded")]);
    assert_eq!(answered(&just, "undercooked:pie::"), Some(Answer::Discarded));
    assert!(just.is_gone(3));
    let before = by(&[low, ("18:39:30", "answer undercooked:pie:: discarded")]);
    assert!(!before.is_gone(3), "it was in the oven still");
}

/// What was done about an alarm counts from the moment in which it was raised.
#[test]
fn seen_and_put_off_count_at_once_and_the_later_of_both() {
    let key = "pull_now:pie:bake:0";
    let stands = |more: &[(&'static str, &'static str)], at: &str| {
        let rows: Vec<_> = on_time("18:10").into_iter().chain(more.iter().copied()).collect();
        alarms(&state(&rows), ms(at)).into_iter().find(|a| a.key == key).map(|a| a.state)
    };
    let until = |time: &str| Some(AlarmState::PutOff(ms(time)));
    let (seen, later) = ("seen pull_now:pie:bake:0", "later pull_now:pie:bake:0 18:45");
    assert_eq!(stands(&[("18:40:30", seen)], "18:41"), Some(AlarmState::Acknowledged));
    assert_eq!(stands(&[("18:40:30", later)], "18:41"), until("18:45"));
    assert_eq!(stands(&[("18:41", seen), ("18:42", later)], "18:43"), until("18:45"));
    assert_eq!(
        stands(&[("18:41", later), ("18:42", seen)], "18:43"),
        Some(AlarmState::Acknowledged)
    );
    // Until when it says, and then again.
    assert_eq!(stands(&[("18:41", later)], "18:44:59"), until("18:45"));
    assert_eq!(stands(&[("18:41", later)], "18:45"), Some(AlarmState::New));
}

/// A limit that comes near is told again at two thirds of its notice; seen just then it is not told a third time.
#[test]
fn a_limit_that_was_seen_is_told_again_once() {
    let rows = on_time("18:00");
    let soon = |state: &State, at_ms| {
        alarms(state, at_ms).into_iter().find(|a| a.kind == AlarmKind::UnsafeSoon)
    };
    let bare = state(&rows);
    let raised_ms = (ms("18:00")..ms("23:00")).step_by(60_000).find(|t| soon(&bare, *t).is_some());
    let first = soon(&bare, raised_ms.expect("it comes near")).expect("raised");
    let harm_ms = first.harm_ms.expect("not yet");
    let again_ms = harm_ms - (harm_ms - first.raised_ms) * 2 / 3;
    let seen = |at_ms: i64| {
        let mut all = marks(&rows);
        let event = Event::AlarmAcknowledged { alarm: first.key.clone() };
        all.push(Mark { seq: 900, at_ms, event });
        fold(evening(), &all)
    };
    let stands = |state: &State, at_ms| soon(state, at_ms).map(|a| a.state);
    let early = seen(first.raised_ms);
    assert_eq!(stands(&early, again_ms - 1), Some(AlarmState::Acknowledged));
    assert_eq!(stands(&early, again_ms), Some(AlarmState::New));
    assert_eq!(at(&early, first.raised_ms).next_ms.map(|t| t <= again_ms), Some(true));
    assert_eq!(stands(&seen(again_ms), again_ms + 1), Some(AlarmState::Acknowledged));
}

#[test]
fn what_is_raised_next_lies_ahead_and_all_stand_in_order() {
    let state = state(&on_time("18:10"));
    assert!(at(&state, ms("18:40:30")).next_ms.is_some_and(|t| t > ms("18:40:30")));
    let keys: Vec<String> = raised(&state, ms("23:00")).into_iter().map(|a| a.key).collect();
    assert!(keys.len() > 3 && keys.is_sorted(), "{keys:?}");
    // Food on the table: what brought it about is told, so that foods there are told as one.
    let past = alarms(&state, ms("23:00")).into_iter().find(|a| a.key == "unsafe_past:soup::");
    assert_eq!(past.and_then(|a| a.root).as_deref(), Some("They stand on the table."));
    // What is over comes after what is new.
    let mut late = plan(&evening());
    (late.services[1].dishes[0].1, late.services[1].dishes[0].2) = (1150, 1150);
    let mut all = marks(&on_time("18:10"));
    all.push(Mark { seq: 901, at_ms: ms("18:36"), event: adopted(late) });
    all.push(Mark { seq: 902, at_ms: ms("18:38"), event: event("plan") });
    let both = alarms(&fold(evening(), &all), ms("18:41"));
    let states: Vec<AlarmState> = both.iter().map(|a| a.state).collect();
    assert_eq!(states, [AlarmState::New, AlarmState::Returned]);
}

/// What the party has made the day before is taken to be done once midnight has passed, until a mark says otherwise.
#[test]
fn the_day_before_is_over_at_midnight() {
    let mut before = Evening::clone(&evening());
    for step in &mut before.sheets[1].recipe.steps {
        step.day_before = true;
    }
    let before = Arc::new(before);
    let mut plan = plan(&evening());
    for block in plan.blocks.iter_mut().filter(|b| b.key.dish == 1) {
        let long = block.end - block.start;
        block.start = if block.key.step == 0 { -300 } else { -290 };
        block.end = block.start + long;
    }
    let face = |minute: i32| crate::kitchen::Clockface::fixed(evening().party.day, 0).ms_of(minute);
    let after = |more: &[(i64, &str)]| {
        let mut all = vec![Mark { seq: 1, at_ms: face(-400), event: adopted(plan.clone()) }];
        all.extend(more.iter().enumerate().map(|(n, (at_ms, text))| Mark {
            seq: 2 + n as u64,
            at_ms: *at_ms,
            event: event(text),
        }));
        fold(Arc::clone(&before), &all)
    };
    let mix = key(&evening(), "dip", "mix", 0);
    let of = |state: &State| match state.facts().progress.get(&mix) {
        Some(Progress::Done(run, end_ms)) => Some((run.start_ms, Some(*end_ms))),
        Some(Progress::Running(run)) => Some((run.start_ms, None)),
        _ => None,
    };
    let planned = Some((face(-300), Some(face(-290))));
    assert_eq!(of(&after(&[(face(0) - 1, "air 21")])), None);
    assert_eq!(of(&after(&[(face(0), "air 21")])), planned);
    assert_eq!(of(&after(&[(face(-100), "drop dip"), (face(10), "air 21")])), None);
    // What was marked stays as it was marked, and what is marked later counts instead.
    let marked =
        [(face(-280), "start dip mix"), (face(-260), "done dip mix"), (face(10), "air 21")];
    assert_eq!(of(&after(&marked)), Some((face(-280), Some(face(-260)))));
    let assumed = after(&[(face(10), "air 21")]);
    assert!(assumed.facts().assumed.contains(&mix) && !assumed.is_begun(1) && !assumed.is_begun(0));
    let told = after(&[(face(10), "air 21"), (ms("16:05"), "start dip mix")]);
    assert_eq!(of(&told), Some((ms("16:05"), None)));
    assert!(!told.facts().assumed.contains(&mix) && told.is_begun(1));
}

/// A recipe is not changed under the cook's hands.
#[test]
fn what_was_begun_keeps_its_recipe() {
    let mut recipe = evening().sheets[0].written.clone();
    recipe.title = "Another soup".into();
    let change = PartyChange::RecipeChanged { dish: "soup".into(), recipe: Box::new(recipe) };
    let changed = || Event::PartyChanged { change: change.clone() };
    let (state, note, _) = said(&[("16:40", "start soup chop")], "16:41", changed());
    assert_eq!(note, "it was begun by the steps as they were; the change does not count");
    assert_eq!(state.evening().sheets[0].recipe.title, "Soup");
    let (state, note, why) = said(&[("16:40", "start dip mix")], "16:41", changed());
    assert_eq!(
        (note.as_str(), state.evening().sheets[0].recipe.title.as_str()),
        ("", "Another soup")
    );
    assert!(why.starts_with("because the "), "{why}");
    assert_eq!(minute("16:41"), 1001);
}

/// A dish that joined the menu this evening is a food like any other: its limit can be answered for.
#[test]
fn the_limit_of_a_dish_that_was_added_is_answered() {
    let recipe = evening().sheets[1].written.clone();
    let dish =
        serde_json::json!({"id": "beans", "recipe": recipe, "servings": 8, "service": "mains"});
    let dish = serde_json::from_value(dish).expect("a dish");
    let added = Event::PartyChanged { change: PartyChange::DishAdded { dish: Box::new(dish) } };
    let mark = |seq, at: &str, event| Mark { seq, at_ms: ms(at), event };
    let mut all = marks(&[]);
    all.push(mark(90, "16:10", added));
    all.push(mark(91, "17:00", Event::Served { dish: "beans".into() }));
    let stands = |all: &[Mark], at: &str| {
        let state = fold(evening_by("us_food_code_2022"), all);
        raised(&state, ms(at)).iter().any(|a| a.key == "unsafe_past:beans::")
    };
    assert!(stands(&all, "23:00"));
    all.push(mark(92, "23:00", event("answer unsafe_past:beans:: discarded")));
    assert!(!stands(&all, "23:01"));
    let state = fold(evening_by("us_food_code_2022"), &all);
    assert!(state.notes().iter().all(|n| n.seq != 92) && state.is_gone(4), "{:?}", state.notes());
}

/// What was borrowed this evening is a station like any other: begun at, held at, out of use.
#[test]
fn a_borrowed_station_is_known_to_every_mark() {
    let borrowed = serde_json::json!([{"what": "station", "like": "oven", "count": 1}]);
    let borrowed = serde_json::from_value(borrowed).expect("something borrowed");
    let change = PartyChange::Borrowed { all: borrowed };
    let mut all = marks(&[("17:05", "start pie fill"), ("17:20", "done pie fill")]);
    let mark = |seq, at: &str, event| Mark { seq, at_ms: ms(at), event };
    all.push(mark(90, "17:30", Event::PartyChanged { change }));
    let other =
        fold(evening(), &all).evening().kitchen.stations.last().expect("one more").id.clone();
    let bake = StepId { dish: "pie".into(), step: "bake".into(), load: 0 };
    let begun =
        Event::Started { id: bake, way: 0, station: other.clone(), cook: None, ago_minutes: 0 };
    all.push(mark(91, "18:00", begun));
    let held = Event::HeldAt {
        dish: "pie".into(),
        hold: Some(1),
        place: crate::kitchen::StationKind::Oven,
        station: Some(other.clone()),
    };
    all.push(mark(92, "18:40", event("done pie rest")));
    all.push(mark(93, "18:41", held));
    all.push(mark(94, "18:50", Event::StationDown { station: other.clone() }));
    let state = fold(evening(), &all);
    let noted = |seq| state.notes().iter().filter(|n| n.seq == seq).count();
    assert_eq!((noted(91), noted(93), noted(94)), (0, 0, 0), "{:?}", state.notes());
    let bake = &state.facts().progress[&key(&evening(), "pie", "bake", 0)];
    assert_eq!(bake.run().map(|r| r.station.as_str()), Some(other.as_str()));
    let at = &state.last_stay(3).expect("it was put there").at;
    assert!(
        matches!(at, super::state::Whereabouts::Held { station: Some(id), .. } if *id == other)
    );
    assert!(state.facts().down.contains_key(&other));
}

#[test]
fn marks_that_do_not_fit_are_noted_each_with_its_reason() {
    let done = |load, ago_minutes| Event::Done {
        id: StepId { dish: "soup".into(), step: "chop".into(), load },
        ago_minutes,
    };
    let hold = |hold| Event::HeldAt {
        dish: "pie".into(),
        hold,
        place: crate::kitchen::StationKind::Counter,
        station: Some("board".into()),
    };
    let chopping = [("16:40", "start soup chop")];
    let dropped = [("16:10", "drop dip")];
    let begun = [("16:20", "start dip mix"), ("16:25", "drop dip")];
    let table: [(Rows<'_>, Event, &str); 19] = [
        (&[], event("temp soup 500"), "500 °C cannot be; the reading does not count"),
        (&[], event("temp soup 400"), ""),
        (
            &[("16:10", "serve dip")],
            event("serve dip"),
            "it is there already; the first mark counts",
        ),
        (
            &[("16:10", "clear dip put_away")],
            event("hold dip 0 fridge"),
            "it was gone, and is back",
        ),
        (&dropped, event("start dip mix"), "marked for a dish that was dropped"),
        (
            &dropped,
            event("clear dip put_away"),
            "marked for a dish that was dropped before there was any of it",
        ),
        (&begun, event("clear dip put_away"), ""),
        (&[], event("clear pie put_away"), ""),
        (&chopping, done(501, 0), "\"chop\" has no load 501"),
        (&chopping, done(0, 0), ""),
        (&chopping, done(0, 5), ""),
        (&chopping, done(0, 6), "it ends before it starts; it is taken to end as it starts"),
        (&[], hold(Some(1)), "the recipe has no such hold; only the place counts"),
        (&[], hold(Some(0)), ""),
        (&[], hold(None), ""),
        (&chopping, event("more soup chop 1440"), ""),
        (&chopping, event("more soup chop 1441"), "more than a day more; it is taken to be a day"),
        (&chopping, event("pin soup chop 17:00"), "pinned though it has begun"),
        (&[], event("unpin soup chop"), "there is no pin to take out"),
    ];
    for (rows, event, note) in table {
        let what = format!("{event:?}");
        assert_eq!(said(rows, "16:45", event).1, note, "{what}");
    }
    let (state, ..) = said(&[], "16:45", event("temp soup 500"));
    assert!(state.facts().taken.is_empty());
    let (state, ..) = said(&chopping, "16:45", done(0, 6));
    assert_eq!(
        state.facts().progress[&key(&evening(), "soup", "chop", 0)].end_ms(),
        Some(ms("16:40"))
    );
}

#[test]
fn what_the_cook_decides_about_a_step_asks_for_another_plan() {
    let why = |rows: &[(&str, &str)], text: &str| said(rows, "16:45", event(text)).2;
    assert!(why(&[], "skip pie rest").starts_with("because you left out "));
    assert!(why(&[], "pin pie fill 17:30").starts_with("because you pinned "));
    let pinned = [("16:30", "pin pie fill 17:30"), ("16:31", "plan")];
    assert!(why(&pinned, "unpin pie fill").starts_with("because you unpinned "));
    assert!(said(&pinned, "16:45", event("unpin pie fill")).0.facts().pins.is_empty());
    let ticked =
        |rows: &[(&str, &str)]| state(rows).facts().ticked.iter().cloned().collect::<Vec<_>>();
    assert_eq!(ticked(&[("16:10", "tick buy/onion")]), ["buy/onion"]);
    assert!(ticked(&[("16:10", "tick buy/onion"), ("16:11", "untick buy/onion")]).is_empty());
}

/// What was made up to be done goes back to the first step; and what has begun drifts no more.
#[test]
fn a_dish_on_the_table_has_all_its_steps_behind_it() {
    let done = |state: &State, step: &str| {
        let key = key(&evening(), "pie", step, 0);
        state.facts().progress.get(&key).and_then(|p| Some((p.run()?.start_ms, p.end_ms()?)))
    };
    let served = state(&[("19:00", "serve pie")]);
    assert_eq!(done(&served, "rest"), Some((ms("18:50"), ms("19:00"))));
    assert_eq!(done(&served, "bake"), Some((ms("18:10"), ms("18:50"))));
    assert_eq!(done(&served, "fill"), Some((ms("17:55"), ms("18:10"))));
    let mix = key(&evening(), "dip", "mix", 0);
    let mut drifted = plan(&evening());
    for block in drifted.blocks.iter_mut().filter(|b| b.key == mix) {
        block.start += 3;
    }
    let after = |text: &str| {
        let mut all = marks(&[]);
        all.push(Mark { seq: 90, at_ms: ms("16:21"), event: adopted(drifted.clone()) });
        let before = fold(evening(), &all).facts().due_since.contains_key(&mix);
        all.push(Mark { seq: 91, at_ms: ms("16:22"), event: event(text) });
        (before, fold(evening(), &all).facts().due_since.contains_key(&mix))
    };
    for text in ["start dip mix", "done dip mix", "skip dip mix", "serve dip"] {
        assert_eq!(after(text), (true, false), "{text}");
    }
    assert_eq!(after("start soup chop"), (true, true));
}

/// A run that was never planned has the station and the setting of its recipe; told of later, it says when.
#[test]
fn a_run_without_a_plan_is_where_its_recipe_has_it() {
    let only = |event: Event| {
        let state = fold(evening(), &[Mark { seq: 1, at_ms: ms("18:40"), event }]);
        state.facts().progress[&key(&evening(), "pie", "bake", 0)].run().cloned().expect("a run")
    };
    let bake = StepId { dish: "pie".into(), step: "bake".into(), load: 0 };
    let run = only(Event::Done { id: bake.clone(), ago_minutes: 2 });
    assert_eq!((run.station.as_str(), run.setting_c), ("oven", Some(200)));
    assert_eq!((run.start_ms, run.told_ms), (ms("17:58"), ms("18:40")));
    let begun =
        Event::Started { id: bake, way: 0, station: "oven".into(), cook: None, ago_minutes: 7 };
    let run = only(begun);
    assert_eq!((run.start_ms, run.told_ms, run.setting_c), (ms("18:33"), ms("18:40"), Some(200)));
    // What the dial says if the recipe bears it, else as planned.
    let mut bears = Evening::clone(&evening());
    bears.sheets[3].recipe.steps[1].ways[0].give_c = 15;
    let mut plan = plan(&evening());
    for block in plan.blocks.iter_mut().filter(|b| b.setting_c.is_some()) {
        block.setting_c = Some(190);
    }
    let set = |rows: &[(&str, &str)]| {
        let mut all = vec![Mark { seq: 1, at_ms: ms("16:00"), event: adopted(plan.clone()) }];
        all.extend(rows.iter().enumerate().map(|(n, (at, text))| Mark {
            seq: 2 + n as u64,
            at_ms: ms(at),
            event: event(text),
        }));
        let state = fold(Arc::new(bears.clone()), &all);
        let bake = &state.facts().progress[&key(&evening(), "pie", "bake", 0)];
        bake.run().and_then(|r| r.setting_c)
    };
    let start = ("18:00", "start pie bake");
    assert_eq!(set(&[start]), Some(190));
    assert_eq!(set(&[("17:42", "oven 215"), start]), Some(215));
    assert_eq!(set(&[("17:42", "oven 216"), start]), Some(190));
}

#[test]
fn readings_of_one_moment_keep_the_order_in_which_they_came() {
    let state =
        state(&[("17:00", "temp soup 70"), ("17:00", "temp soup 71"), ("16:59", "temp soup 60")]);
    let taken: Vec<f64> = state.facts().taken[&0].iter().map(|r| r.celsius).collect();
    assert_eq!(taken, [60.0, 70.0, 71.0]);
}

#[test]
fn marks_about_the_kitchen_and_the_party_say_what_they_change_or_why_not() {
    let service = |id: &str, to| Event::ServiceMoved { service: id.into(), to };
    let dial = |station: &str, celsius| Event::OvenSet { station: station.into(), celsius };
    let days = "that is days away; the service stays where it was";
    let table: [(Rows<'_>, Event, &str, &str); 18] = [
        (&[], event("drop dip"), "", "because you dropped the dip"),
        (
            &[],
            event("answer unsafe_soon:soup:: discarded"),
            "only a passed safety limit is answered",
            "",
        ),
        (&[], event("down attic"), "the kitchen has no station \"attic\"", ""),
        (&[], event("down oven"), "", "because the oven is out of use"),
        (&[("16:10", "down oven")], event("up oven"), "", "because the oven works again"),
        (&[], event("up oven"), "the station was so already", ""),
        (&[], dial("hob", 200), "\"hob\" has no dial for degrees", ""),
        (&[], dial("oven", 601), "601 °C cannot be; the dial stays as it was", ""),
        (&[], dial("oven", 600), "", ""),
        (&[], service("lunch", 1150), "the party has no service \"lunch\"", ""),
        (&[], service("mains", 4 * DAY + 1), days, ""),
        (&[], service("mains", 1150), "", "because Mains moved to 19:10"),
        (&[], service("mains", 1140), "", ""),
        (&[], event("servings fries 501"), "servings are 1 to 500; they stay as they were", ""),
        (&[], event("servings fries 12"), "", "because you made the fries for 12"),
        (
            &[("16:10", "drop dip"), ("16:11", "plan")],
            event("drop dip"),
            "it was dropped already",
            "",
        ),
        (&[], event("back dip"), "it was not dropped", ""),
        (&[("16:10", "drop dip")], event("back dip"), "", "because you brought the dip back"),
    ];
    for (rows, event, note, why) in table {
        let what = format!("{event:?}");
        let (_, said_note, said_why) = said(rows, "16:45", event);
        assert_eq!(
            (said_note.as_str(), said_why.to_lowercase()),
            (note, why.to_lowercase()),
            "{what}"
        );
    }
    let (up, ..) = said(&[("16:10", "down oven")], "16:45", event("up oven"));
    assert!(up.facts().down.is_empty());
    let (twelve, ..) = said(&[], "16:45", event("servings fries 12"));
    assert_eq!(twelve.facts().servings.get(&2), Some(&12));
    // Ready at 18:50 by the plan: for 18:40 it is ten minutes late.
    let (earlier, ..) = said(&[], "16:45", service("mains", 1120));
    assert_eq!(earlier.facts().risks.get(&1).map(|r| r.late), Some(10));
    let (far, ..) = said(&[], "16:45", service("mains", 4 * DAY + 1));
    assert_eq!(far.service_minute(1), 1140);
}

/// Turned, or out of use, a dial that drifted is due no more.
#[test]
fn a_dial_that_was_turned_drifts_no_more() {
    let mut moved = plan(&evening());
    moved.settings[0].from += 3;
    let rows: Vec<_> = on_time("17:41").into_iter().filter(|r| !r.1.starts_with("oven")).collect();
    let after = |text: &str| {
        let mut all = marks(&rows);
        all.push(Mark { seq: 90, at_ms: ms("17:43"), event: adopted(moved.clone()) });
        let before = fold(evening(), &all).facts().dials_due.contains_key("oven");
        all.push(Mark { seq: 91, at_ms: ms("17:44"), event: event(text) });
        (before, fold(evening(), &all).facts().dials_due.contains_key("oven"))
    };
    assert_eq!((after("oven 200"), after("down oven")), ((true, false), (true, false)));
    assert_eq!(after("air 22"), (true, true));
}

/// The way that the plan chose is the one that a run is taken to have been done in.
#[test]
fn a_run_goes_by_the_way_of_the_plan() {
    let mut two = Evening::clone(&evening());
    let ways = &mut two.sheets[3].recipe.steps[1].ways;
    let mut fry = ways[0].clone();
    (fry.station, fry.at_c) = (crate::kitchen::StationKind::AirFryer, None);
    fry.minutes = crate::kitchen::Minutes::exactly(20);
    ways.push(fry);
    let bake = key(&evening(), "pie", "bake", 0);
    let mut plan = plan(&evening());
    for block in plan.blocks.iter_mut().filter(|b| b.key == bake) {
        (block.way, block.station, block.setting_c) = (1, "fryer".into(), None);
    }
    let adopted = Mark { seq: 1, at_ms: ms("16:00"), event: adopted(plan) };
    let done = Mark { seq: 2, at_ms: ms("18:40"), event: event("done pie bake") };
    let before = fold(Arc::new(two.clone()), std::slice::from_ref(&adopted));
    assert_eq!((before.way_of(bake), state(&[]).way_of(bake)), (1, 0));
    let after = fold(Arc::new(two), &[adopted, done]);
    let run = after.facts().progress[&bake].run().expect("a run");
    assert_eq!((run.way, run.station.as_str(), run.setting_c), (1, "fryer", None));
    assert_eq!(run.start_ms, ms("18:20"));
    let dropped = state(&[("16:10", "drop dip")]);
    assert!(dropped.all_loads().all(|k| k.dish != 1) && dropped.all_loads().count() > 4);
}

/// What a mark is read back as names the thing that it is about.
#[test]
fn marks_are_read_back_by_the_names_of_the_party() {
    let part = |text: &str| (event(&format!("part soup 1 {text}")), "soup, part 1: ");
    let there = Event::CookThere { cook: "ana".into(), name: "?".into(), from: 780, to: 840 };
    let moved = PartyChange::DishMoved { dish: "dip".into(), service: "mains".into() };
    let table: [(Event, &str); 10] = [
        (event("move mains 19:10"), "moved: Mains to 19:10"),
        (there, "from 13:00: Ana"),
        (Event::PartyChanged { change: moved }, "with Mains: dip"),
        (part("off").0, "taken off"),
        (part("serve").0, "on the table"),
        (part("clear eaten").0, "eaten"),
        (part("fridge").0, "waits in the fridge"),
        (part("temp 50").0, "50"),
        (part("join dip").0, "together with dip"),
        (event("undo 2"), "taken back \u{2013} "),
    ];
    let state = state(&[("16:20", "start dip mix"), ("16:30", "done dip mix")]);
    for (event, words) in table {
        let mark = Mark { seq: 90, at_ms: ms("16:45"), event };
        let said = super::echo(&state, &mark).expect("words").to_lowercase();
        assert!(said.contains(&words.to_lowercase()), "{said:?} has no {words:?}");
    }
    let undone = |seq| {
        let event = Event::Undone { seq };
        super::echo(&state, &Mark { seq: 90, at_ms: ms("16:45"), event }).expect("words")
    };
    assert!(undone(3).contains("mix") && undone(2) != undone(3), "{} {}", undone(2), undone(3));
    let code = fold(evening_by("us_food_code_2022"), &marks(&[]));
    let rule = |id: &str| {
        let event = Event::RuleChosen { dish: "dip".into(), rule: Some(id.into()) };
        super::echo(&code, &Mark { seq: 90, at_ms: ms("16:45"), event }).expect("words")
    };
    let profile = super::food::profile(&code).expect("known");
    for one in &profile.chosen_rules {
        assert!(rule(&one.id).ends_with(&one.title), "{}", rule(&one.id));
    }
    assert!(rule("none such").ends_with("the ordinary rule"));
}

/// A clock that runs backwards by more than a minute is told of; a mark that comes twice counts once.
#[test]
fn marks_out_of_order_and_marks_that_come_twice_are_noted() {
    let mark = |seq, at: &str, text: &str| Mark { seq, at_ms: ms(at), event: event(text) };
    let notes = |marks: &[Mark]| -> Vec<String> {
        fold(evening(), marks).notes().iter().map(|n| n.text.clone()).collect()
    };
    let after = |at: &str| notes(&[mark(1, "16:10", "air 21"), mark(2, at, "air 21")]);
    assert_eq!(after("16:09"), [""; 0]);
    assert_eq!(after("16:08:59"), ["the clock stood earlier than at the mark before"]);
    let twice = [mark(1, "16:10", "servings fries 9"), mark(1, "16:11", "servings fries 12")];
    assert_eq!(notes(&twice), ["this mark comes twice in the journal; the first one counts"]);
    assert_eq!(fold(evening(), &twice).evening().sheets[2].servings, 9);
    // What was put off until a time is put off until then by the clock as it is now.
    let off = |more: &[Mark]| {
        let mut all = marks(&on_time("18:10"));
        all.push(mark(80, "18:41", "later pull_now:pie:bake:0 18:50"));
        all.extend_from_slice(more);
        let handled = fold(evening(), &all).facts().handled["pull_now:pie:bake:0"].clone();
        handled.put_off.map(|p| p.1)
    };
    assert_eq!(off(&[]), Some(ms("18:50")));
    assert_eq!(off(&[mark(81, "17:43", "setback 60")]), Some(ms("17:50")));
    let too_far = 8 * 24 * 60;
    assert_eq!(off(&[mark(81, "18:43", &format!("setback {too_far}"))]), Some(ms("18:50")));
}
