//! The fold: what single marks do, and what holds for any marks in any order.

use proptest::prelude::*;

use super::state::Progress;
use super::testbed::{adopted, evening, event, key, marks, ms, on_time, plan, state};
use super::{Clearing, Event, Mark, PortionDid, State, StepId, fold, needs_reshuffle, view};
use crate::kitchen::StationKind;

fn check(rows: &[(&str, &str)], expect: &str) {
    let state = state(rows);
    let of = |(key, progress): (&crate::plan::StepKey, &Progress)| {
        let id = state.id(*key).expect("known");
        let minute = |ms| state.evening().face.label(state.minute(ms));
        match progress {
            Progress::Running(run) => format!("{} {} {}-", id.dish, id.step, minute(run.start_ms)),
            Progress::Done(run, end) => {
                format!("{} {} {}-{}", id.dish, id.step, minute(run.start_ms), minute(*end))
            }
            Progress::Skipped(_, at) => format!("{} {} left out {}", id.dish, id.step, minute(*at)),
        }
    };
    let progress: Vec<String> = state.facts().progress.iter().map(of).collect();
    let notes = state.notes().iter().map(|n| format!("{}: {}", n.seq, n.text));
    let all: Vec<String> = progress.into_iter().chain(notes).collect();
    assert_eq!(all.join("\n"), expect);
}

#[test]
fn a_step_starts_and_ends() {
    check(&[("16:40", "start soup chop"), ("16:51", "done soup chop")], "soup chop 16:40-16:51");
    check(&[("16:40", "start soup chop")], "soup chop 16:40-");
}

#[test]
fn a_mark_can_be_for_some_minutes_ago() {
    let start = Event::Started {
        id: StepId { dish: "soup".into(), step: "chop".into(), load: 0 },
        way: 0,
        station: "board".into(),
        cook: None,
        ago_minutes: 7,
    };
    let state = fold(evening(), &[Mark { seq: 1, at_ms: ms("16:47"), event: start }]);
    let chop = &state.facts().progress[&key(&evening(), "soup", "chop", 0)];
    assert_eq!(chop.run().map(|r| r.start_ms), Some(ms("16:40")));
}

#[test]
fn what_does_not_fit_is_noted_and_the_first_mark_counts() {
    check(
        &[
            ("16:40", "start soup chop"),
            ("16:41", "start soup chop"),
            ("16:50", "done soup chop"),
            ("16:55", "done soup chop"),
            ("16:56", "start soup chop"),
            ("16:57", "done soup stir"),
            ("16:58", "serve cake"),
            ("16:59", "more soup chop 5"),
        ],
        "soup chop 16:40-16:50\n\
         3: it runs already; the first mark counts\n\
         5: it is done already; the first mark counts\n\
         6: it is done already; undo that mark to start it again\n\
         7: the party has no step \"stir\" of \"soup\"\n\
         8: the party has no dish \"cake\"\n\
         9: more minutes for something that does not run",
    );
}

#[test]
fn a_forgotten_done_is_made_up_when_the_next_step_starts() {
    check(
        &[("16:40", "start soup chop"), ("16:53", "start soup simmer")],
        "soup chop 16:40-16:53\nsoup simmer 16:53-\n\
         3: \"chop\" was not marked done; it is taken to be",
    );
    check(
        &[("16:53", "done soup simmer")],
        "soup chop 16:13-16:23\nsoup simmer 16:23-16:53\n\
         2: its start was not marked; it is taken to have been on time\n\
         2: \"chop\" was not marked done; it is taken to be",
    );
}

#[test]
fn what_ends_by_itself_needs_no_mark() {
    check(
        &[
            ("18:00", "start pie bake"),
            ("18:40", "done pie bake"),
            ("18:40", "start pie rest"),
            ("19:00", "serve pie"),
        ],
        "pie fill 17:45-18:00\npie bake 18:00-18:40\npie rest 18:40-18:50\n\
         2: \"fill\" was not marked done; it is taken to be",
    );
}

#[test]
fn undo_takes_a_mark_back_and_undoing_that_brings_it_again() {
    let started = [("16:40", "start soup chop")];
    check(&[started[0], ("16:41", "undo 2")], "");
    check(&[started[0], ("16:41", "undo 2"), ("16:42", "undo 3")], "soup chop 16:40-");
    check(&[started[0], ("16:41", "undo 2"), ("16:42", "undo 3"), ("16:43", "undo 4")], "");
    check(&[started[0], ("16:41", "undo 77")], "soup chop 16:40-\n3: there is no mark 77 to undo");
}

#[test]
fn the_undo_key_passes_over_plans_undos_and_seen_alarms() {
    let seq = |rows: &[(&str, &str)]| state(rows).last_undoable().map(|m| m.seq);
    assert_eq!(seq(&[]), None);
    let rows = [
        ("16:40", "start soup chop"),
        ("16:45", "temp soup 60"),
        ("16:46", "seen step_due:dip:mix:0"),
        ("16:47", "plan"),
    ];
    assert_eq!(seq(&rows), Some(3));
    let undone: Vec<_> = rows.into_iter().chain([("16:48", "undo 3")]).collect();
    assert_eq!(seq(&undone), Some(2));
    assert_eq!(state(&undone).last_redoable().map(|m| m.seq), Some(6));
    assert_eq!(state(&rows).last_redoable().map(|m| m.seq), None);
}

#[test]
fn the_plan_before_can_be_seen() {
    let mut later = plan(&evening());
    later.made_for += 5;
    let mut marks = marks(&[]);
    marks.push(Mark { seq: 2, at_ms: ms("16:05"), event: adopted(later) });
    let state = fold(evening(), &marks);
    assert_eq!(state.plan().map(|p| p.made_for), Some(965));
    assert_eq!(state.plan_before().map(|p| p.made_for), Some(960));
}

#[test]
fn food_in_the_oven_means_a_hot_oven() {
    let found = state(&[("18:00", "start pie bake")]);
    assert_eq!(found.temperature("oven", ms("18:00")), Some(200.0));
    let dialled = state(&[("17:45", "oven 195"), ("18:00", "start pie bake")]);
    assert_eq!(dialled.setting("oven"), Some(195), "a setting that the recipe accepts stays");
    assert_eq!(found.temperature("hob", ms("18:00")), None);
}

#[test]
fn servings_change_the_evening_and_its_loads() {
    let state = state(&[("16:40", "servings fries 12")]);
    assert_eq!(state.evening().sheets[2].servings, 12);
    assert_eq!(state.loads(2, 0), 3);
    assert_eq!(
        needs_reshuffle(&state, ms("16:40")).map(|w| w.text).as_deref(),
        Some("because you made the fries for 12")
    );
}

#[test]
fn the_situation_tells_the_planner_how_things_stand() {
    let state = state(&[
        ("16:20", "start dip mix"),
        ("16:31", "done dip mix"),
        ("16:40", "start soup chop"),
        ("16:41", "down fryer"),
        ("16:42", "move mains 19:20"),
        ("16:43", "pin pie fill 17:10"),
        ("16:44", "oven 180"),
        ("16:45", "drop fries"),
    ]);
    let now = state.situation(ms("16:53:20"));
    let face = &state.evening().face;
    let shown = format!(
        "{:?} {:?} {:?} {:?} {:?} {:?}",
        now.now.map(|m| face.label(m)),
        now.down,
        now.service_at,
        now.pins.values(),
        now.dropped,
        now.oven_c
    );
    assert_eq!(shown, "Some(\"16:53\") {\"fryer\"} {1: 1160} [1030] {2} {\"oven\": 114}");
    let chop = &now.begun[&key(&evening(), "soup", "chop", 0)];
    // Exactly ten minutes by the recipe and three over: a minute from now, rounded up.
    assert!(format!("{chop:?}").contains("start: 1000, end: 1015"), "{chop:?}");
}

#[test]
fn a_finished_dish_is_held_where_it_stays_or_is_put() {
    let at =
        |rows: &[(&str, &str)], dish, at| state(rows).situation(ms(at)).held.get(&dish).cloned();
    let soup = at(&on_time("17:20"), 0, "17:30").expect("held");
    assert_eq!((soup.hold, soup.station.as_deref(), soup.since), (Some(0), Some("hob"), 1040));
    let dip = at(&on_time("17:20"), 1, "17:35").expect("chilled by itself");
    assert_eq!((dip.hold, dip.station.as_deref()), (Some(0), Some("fridge")));
    assert_eq!(at(&on_time("17:20"), 1, "17:29"), None);
    let mut rows = on_time("18:40");
    rows.extend([("18:51", "done pie rest"), ("18:52", "hold pie 1 oven")]);
    assert_eq!(at(&rows, 3, "18:55").and_then(|h| h.station).as_deref(), Some("oven"));
    rows.push(("19:00", "serve pie"));
    assert_eq!(at(&rows, 3, "19:01"), None);
}

#[test]
fn a_reshuffle_is_asked_for_when_the_plan_no_longer_holds() {
    let why =
        |rows: &[(&str, &str)], at: &str| needs_reshuffle(&state(rows), ms(at)).map(|w| w.text);
    assert_eq!(why(&[], "16:19"), None);
    assert_eq!(why(&[], "16:20:59"), None, "below a minute nothing is late");
    assert_eq!(
        why(&[], "16:24").as_deref(),
        Some("because the dip (mix) should have started 4 min ago")
    );
    let to_soup = on_time("16:50");
    assert_eq!(why(&to_soup, "17:04"), None);
    let to_pie = on_time("17:05");
    assert_eq!(why(&to_pie, "17:20:40"), None, "the marks may be on their way");
    let mut long = on_time("17:05");
    long.push(("17:20", "done pie fill"));
    assert_eq!(why(&long, "17:23").as_deref(), Some("because the soup (simmer) overran by 3 min"));
    long.push(("17:21", "more soup simmer 12"));
    assert_eq!(
        why(&long, "17:23").as_deref(),
        Some("because the soup (simmer) needed 13 min more")
    );
    let down: Vec<_> = on_time("17:20").into_iter().chain([("17:21", "down oven")]).collect();
    assert_eq!(why(&down, "17:22").as_deref(), Some("because the oven is out of use"));
    let moved: Vec<_> =
        on_time("17:20").into_iter().chain([("17:21", "move mains 19:10")]).collect();
    assert_eq!(why(&moved, "17:22").as_deref(), Some("because mains moved to 19:10"));
    let undone: Vec<_> = on_time("16:20").into_iter().chain([("16:21", "undo 2")]).collect();
    assert_eq!(why(&undone, "16:21").as_deref(), Some("because a mark was undone"));
    assert_eq!(why(&on_time("18:40"), "18:45"), None);
}

#[test]
fn the_first_reason_is_that_there_is_no_plan() {
    let state = State::new(evening());
    assert!(needs_reshuffle(&state, ms("16:00")).is_some());
    assert!(view(&state, ms("16:00")).do_now.is_empty());
}

/// Events that a journal may hold, sensible and not.
fn any_event() -> impl Strategy<Value = Event> {
    let dish = prop::sample::select(vec!["soup", "dip", "fries", "pie", "cake"]);
    let step = prop::sample::select(vec![
        "chop", "simmer", "mix", "chill", "fry", "fill", "bake", "rest", "stir",
    ]);
    let station = prop::sample::select(vec!["oven", "hob", "fryer", "board", "fridge", "shed"]);
    let id = (dish.clone(), step, 0_u32..4).prop_map(|(d, s, load)| StepId {
        dish: d.into(),
        step: s.into(),
        load,
    });
    let portion_dish = dish.clone();
    let alarm = prop::sample::select(vec![
        "unsafe_past:soup:part1:",
        "unsafe_past:dip::0",
        "step_due:soup:chop:0",
        "x",
    ]);
    prop_oneof![
        4 => (id.clone(), 0_usize..3, station.clone(), 0_u32..90).prop_map(
            |(id, way, station, ago_minutes)| Event::Started {
                id, way, station: station.into(), cook: Some("ana".into()), ago_minutes
            }),
        4 => (id.clone(), 0_u32..90).prop_map(|(id, ago_minutes)| Event::Done { id, ago_minutes }),
        1 => id.clone().prop_map(|id| Event::Skipped { id }),
        1 => (id.clone(), any::<u32>()).prop_map(|(id, minutes)| Event::NeedsMore { id, minutes }),
        1 => (id.clone(), -9000_i32..9000).prop_map(|(id, at)| Event::Pinned { id, at }),
        1 => id.clone().prop_map(|id| Event::Unpinned { id }),
        1 => (dish.clone(), any::<f64>()).prop_map(|(d, celsius)| Event::Temperature {
            dish: d.into(), celsius }),
        1 => (dish.clone(), 0_usize..3, station.clone()).prop_map(|(d, hold, s)| Event::HeldAt {
            dish: d.into(), hold: Some(hold), place: StationKind::Oven, station: Some(s.into()) }),
        2 => dish.clone().prop_map(|d| Event::Served { dish: d.into() }),
        1 => dish.clone().prop_map(|d| Event::Cleared { dish: d.into(), how: Clearing::PutAway }),
        1 => station.clone().prop_map(|s| Event::StationDown { station: s.into() }),
        1 => station.clone().prop_map(|s| Event::StationUp { station: s.into() }),
        1 => (station, any::<i32>()).prop_map(|(s, celsius)| Event::OvenSet {
            station: s.into(), celsius }),
        1 => (dish.clone(), 0_usize..3).prop_map(|(d, hold)| Event::PlaceSettled {
            dish: d.into(), hold }),
        1 => (dish.clone(), 0_usize..3).prop_map(|(d, way)| Event::WaySettled {
            dish: d.into(), step: "bake".into(), way }),
        1 => (any::<i32>(), any::<i32>()).prop_map(|(from, to)| Event::WayTaken {
            words: "help".into(),
            events: vec![
                Event::CookThere { cook: "ana".into(), name: "Ana".into(), from, to },
                Event::CookThere { cook: "zoe".into(), name: "Zoe".into(), from: 1020, to: 1140 },
                Event::Undone { seq: 1 },
                Event::ServiceMoved { service: "mains".into(), to },
            ] }),
        1 => any::<i32>().prop_map(|to| Event::ServiceMoved { service: "mains".into(), to }),
        1 => (dish.clone(), 0_u32..600).prop_map(|(d, servings)| Event::ServingsChanged {
            dish: d.into(), servings }),
        1 => dish.clone().prop_map(|d| Event::DishDropped { dish: d.into() }),
        1 => dish.prop_map(|d| Event::DishBack { dish: d.into() }),
        1 => alarm.clone().prop_map(|alarm| Event::AlarmAcknowledged { alarm: alarm.into() }),
        1 => (alarm.clone(), any::<i64>()).prop_map(|(alarm, until_ms)| Event::AlarmPutOff {
            alarm: alarm.into(), until_ms }),
        1 => alarm.prop_map(|alarm| Event::AlarmAnswered {
            alarm: alarm.into(), how: super::Answer::WasNeverOut }),
        1 => prop::sample::select(vec!["uk", "australia", "us_food_code_2022", "atlantis"])
            .prop_map(|to| Event::GuidanceChanged { to: to.into() }),
        1 => any::<f64>().prop_map(|celsius| Event::AirMeasured { celsius }),
        1 => id.clone().prop_map(|id| Event::IngredientsOut { id }),
        1 => id.clone().prop_map(|id| Event::IngredientsBack { id }),
        1 => prop_oneof![any::<i64>(), 0_i64..7_200_000]
            .prop_map(|by_ms| Event::ClockSetBack { by_ms }),
        3 => (portion_dish, 0_u32..5, any_portion()).prop_map(|(dish, part, did)| {
            Event::Portion { dish: dish.into(), part, did }
        }),
        1 => (prop::sample::select(vec!["buy/onion", "mise/onion, diced"]), any::<bool>())
            .prop_map(|(line, on)| Event::Ticked { line: line.into(), on }),
        1 => Just(event("plan")),
        3 => (1_u64..40).prop_map(|seq| Event::Undone { seq }),
        1 => Just(Event::Finished),
    ]
}

fn any_portion() -> impl Strategy<Value = PortionDid> {
    let dish = prop::sample::select(vec!["soup", "dip", "cake"]);
    prop_oneof![
        3 => Just(PortionDid::TakenOff),
        1 => Just(PortionDid::HeldAt {
            hold: Some(0), place: StationKind::Fridge, station: Some("fridge".into()) }),
        1 => Just(PortionDid::Served),
        1 => Just(PortionDid::Cleared { how: Clearing::PutAway }),
        1 => any::<f64>().prop_map(|celsius| PortionDid::Temperature { celsius }),
        2 => (dish, prop::option::of(0_u32..5)).prop_map(|(dish, part)| PortionDid::JoinedTo {
            dish: dish.into(), part }),
    ]
}

/// Does it change what earlier marks say?
fn rewrites(event: &Event) -> bool {
    matches!(event, Event::Undone { .. } | Event::ClockSetBack { .. })
}

/// Marks with numbers that mostly rise and times that mostly do.
pub(super) fn any_marks() -> impl Strategy<Value = Vec<Mark>> {
    let one = (any_event(), prop_oneof![20 => 0_i64..600_000, 1 => any::<i64>()], 0_u8..12);
    prop::collection::vec(one, 0..40).prop_map(|rows| {
        let (mut at_ms, mut marks) = (ms("16:00"), vec![]);
        for (i, (event, step, odd)) in rows.into_iter().enumerate() {
            at_ms = if (0..600_000).contains(&step) { at_ms + step } else { step };
            let seq = if odd == 0 { i as u64 } else { i as u64 + 1 };
            marks.push(Mark { seq, at_ms, event });
            at_ms = at_ms.clamp(ms("10:00"), ms("23:00"));
        }
        marks
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(192))]

    #[test]
    fn one_by_one_is_all_at_once(marks in any_marks()) {
        let mut one_by_one = State::new(evening());
        for mark in &marks {
            one_by_one.apply(mark);
        }
        prop_assert_eq!(one_by_one, fold(evening(), &marks));
    }

    #[test]
    fn whatever_is_marked_everything_can_still_be_asked(marks in any_marks(), at in any::<i64>()) {
        let state = fold(evening(), &marks);
        for now in [at, ms("17:30"), marks.last().map_or(0, |m| m.at_ms)] {
            let shown = view(&state, now);
            let next = shown.next_change_ms;
            prop_assert!(next > shown.now_ms && next <= shown.now_ms + 60_000);
            let _ = needs_reshuffle(&state, now);
            let situation = state.situation(now);
            for begun in situation.begun.values() {
                let ordered = match begun {
                    crate::plan::Begun::Running { end, .. } => situation.now <= Some(*end),
                    crate::plan::Begun::Done { start, end, .. } => start <= end,
                };
                prop_assert!(ordered, "{:?}", begun);
            }
        }
    }

    #[test]
    fn do_and_undo_is_as_if_nothing_was_done(marks in any_marks(), extra in any_event()) {
        prop_assume!(!matches!(extra, Event::Undone { .. } | Event::PlanAdopted { .. }));
        let before = fold(evening(), &marks);
        let mut after = before.clone();
        let at_ms = ms("18:00");
        let seq = 1000;
        after.apply(&Mark { seq, at_ms, event: extra });
        after.apply(&Mark { seq: seq + 1, at_ms, event: Event::Undone { seq } });
        // After an undo a plan is asked for anew; till it is there the one on the screen counts as old.
        let undone = crate::run::View { outdated: before.facts().stale.is_some(), ..view(&after, at_ms) };
        prop_assert_eq!(view(&before, at_ms), undone);
        let mut situation = (before.situation(at_ms), after.situation(at_ms));
        situation.0.previous = None;
        situation.1.previous = None;
        prop_assert_eq!(situation.0, situation.1);
    }

    /// More marks never take back what earlier ones said, unless they undo it.
    #[test]
    fn a_longer_journal_knows_more(marks in any_marks(), cut in 0_usize..40) {
        let marks: Vec<Mark> =
            marks.into_iter().filter(|m| !rewrites(&m.event)).collect();
        let part = fold(evening(), &marks[..cut.min(marks.len())]);
        let whole = fold(evening(), &marks);
        for (key, progress) in &part.facts().progress {
            let later = whole.facts().progress.get(key);
            prop_assert!(later.is_some());
            if matches!(progress, Progress::Done(..)) {
                prop_assert_eq!(later, Some(progress));
            }
        }
        for (dish, stays) in &part.facts().stays {
            let later = &whole.facts().stays[dish];
            prop_assert!(later.starts_with(stays));
        }
        prop_assert!(whole.notes().starts_with(part.notes()));
    }
}
