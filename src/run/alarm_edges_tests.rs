//! Alarms on their edges: when each is raised to the second, what it says, and how much it matters. By worked examples
//! on the small evening, whose minutes are invented.

use std::sync::Arc;

use super::alarms::{Bundle, alarms, bundle_of, bundles, history, raised};
use super::testbed::{adopted, evening, evening_by, event, marks, ms, on_time, plan, state};
use super::{Alarm, AlarmKind, AlarmState, Event, Mark, Rank, State, fold};
use crate::kitchen::{Evening, Minutes};
use crate::plan::Plan;

type Rows = Vec<(&'static str, &'static str)>;

/// The evening's marks with another plan adopted at a time.
fn with_plan(rows: &[(&str, &str)], at: &str, change: impl Fn(&mut Plan)) -> State {
    let mut plan = plan(&evening());
    change(&mut plan);
    let mut all = marks(rows);
    all.push(Mark { seq: 900, at_ms: ms(at), event: adopted(plan) });
    all.sort_by_key(|m| m.at_ms);
    fold(evening(), &all)
}

/// The state after these, in an evening that differs.
fn in_evening(rows: &[(&str, &str)], change: impl Fn(&mut Evening)) -> State {
    let mut evening = Evening::clone(&evening());
    change(&mut evening);
    fold(Arc::new(evening), &marks(rows))
}

/// The alarm of a kind, raised or yet to be noticed, as it stands at a time.
fn of(state: &State, at: &str, kind: AlarmKind) -> Option<Alarm> {
    alarms(state, ms(at)).into_iter().find(|a| a.kind == kind)
}

fn is_raised(state: &State, at: &str, kind: AlarmKind) -> bool {
    raised(state, ms(at)).iter().any(|a| a.kind == kind)
}

/// The second from which on an alarm is there: not one before.
fn from(state: &State, at: &str, before: &str, kind: AlarmKind) {
    assert!(is_raised(state, at, kind) && !is_raised(state, before, kind), "{kind:?} at {at}");
}

fn without(until: &str, words: &str) -> Rows {
    on_time(until).into_iter().filter(|r| !r.1.contains(words)).collect()
}

/// Ready so long before its service a dish has so much to spare.
fn pie_ready(plan: &mut Plan, at: &str) {
    plan.services[1].dishes[0].1 = super::testbed::minute(at);
}

#[test]
fn with_three_minutes_to_spare_a_service_hangs_on_a_start_with_four_it_does_not() {
    for (ready, at, before, rank) in [
        ("18:57", "17:06", "17:05:59", Rank::Warning),
        ("18:56", "17:08", "17:07:59", Rank::Notice),
    ] {
        let state = with_plan(&without("17:00", "pie"), "17:01", |p| pie_ready(p, ready));
        from(&state, at, before, AlarmKind::StepDue);
        assert_eq!(of(&state, at, AlarmKind::StepDue).map(|a| a.rank), Some(rank), "{ready}");
    }
}

/// The second load waits for the first: it is late from its end on, not from its own time.
#[test]
fn a_load_is_late_from_when_the_one_before_it_was_out() {
    let mut rows = on_time("17:42");
    rows.push(("17:55", "done fries fry 0"));
    let state = state(&rows);
    from(&state, "17:56", "17:55:59", AlarmKind::StepDue);
    let due = of(&state, "17:59", AlarmKind::StepDue).expect("raised");
    assert_eq!((due.dish, due.harm_ms), (Some(2), Some(ms("18:00"))));
    // At the service itself the harm is done.
    assert_eq!(of(&state, "18:00", AlarmKind::StepDue).and_then(|a| a.harm_ms), None);
}

/// Two that become late in one minute are one alarm, raised with the first of them.
#[test]
fn starts_of_one_minute_are_told_with_the_first() {
    let mut rows = without("16:48", "pie");
    rows.push(("16:50:40", "done soup chop"));
    let state = with_plan(&rows, "16:49", |p| {
        for block in p.blocks.iter_mut().filter(|b| b.key.dish == 3 && b.key.step == 0) {
            block.start = super::testbed::minute("16:50");
        }
    });
    from(&state, "16:53", "16:52:59", AlarmKind::StepDue);
    let both = of(&state, "16:54", AlarmKind::StepDue).expect("raised");
    assert_eq!((both.title.as_str(), both.dish), ("2 steps are late to start", None));
}

/// "Is done" waits for half a minute, or a quarter of what the step forgives; "nearly" comes at half of it.
#[test]
fn what_forgives_a_minute_is_told_after_a_quarter_of_it() {
    let rows = on_time("17:42");
    let state = in_evening(&rows, |e| e.sheets[2].recipe.steps[0].overdone_after = Some(1));
    from(&state, "17:50:15", "17:50:14", AlarmKind::PullNow);
    from(&state, "17:50:30", "17:50:29", AlarmKind::NearlyOverdone);
    from(&state, "17:51", "17:50:59", AlarmKind::Overdone);
    let pull = of(&state, "17:50:20", AlarmKind::PullNow).expect("raised");
    assert_eq!((pull.rank, pull.harm_ms), (Rank::Warning, Some(ms("17:51"))));
}

#[test]
fn a_dial_matters_when_what_goes_in_next_has_three_minutes_to_spare() {
    let rows = without("17:41", "oven");
    for (ready, rank) in [("18:57", Rank::Warning), ("18:56", Rank::Notice)] {
        let state = with_plan(&rows, "17:41", |p| pie_ready(p, ready));
        from(&state, "17:44", "17:43:59", AlarmKind::PreheatDue);
        let dial = of(&state, "17:45", AlarmKind::PreheatDue).expect("raised");
        assert_eq!((dial.rank, dial.harm_ms), (rank, Some(ms("18:00"))));
        assert_eq!(of(&state, "18:00", AlarmKind::PreheatDue).and_then(|a| a.harm_ms), None);
        // Turned in the minute in which the pie goes in, it is the pie that waits.
        let late = with_plan(&rows, "17:41", |p| {
            pie_ready(p, ready);
            p.settings[0].from = super::testbed::minute("18:00");
            p.settings[0].to = super::testbed::minute("18:18");
        });
        assert_eq!(of(&late, "18:02", AlarmKind::PreheatDue).map(|a| a.rank), Some(rank));
    }
}

/// A dial that was due stays due since then when the plan only moves along with the clock; moved on purpose, or to
/// another setting, it is due anew.
#[test]
fn a_dial_that_drifts_is_due_since_it_first_was() {
    let to = |from: &'static str, c: i32| {
        with_plan(&without("17:41", "oven"), "17:43", |p| {
            p.settings[0].from = super::testbed::minute(from);
            p.settings[0].to_c = c;
        })
    };
    let drifted = to("17:45", 200);
    assert_eq!(drifted.dial_due("oven", ms("17:43")), Some((200, ms("17:42"))));
    from(&drifted, "17:44", "17:43:59", AlarmKind::PreheatDue);
    for (moved, c) in [("17:46", 200), ("17:45", 180)] {
        let anew = to(moved, c);
        assert_eq!(anew.dial_due("oven", ms("17:43")), None, "{moved} {c}");
        assert_eq!(anew.dial_due("oven", ms(moved)), Some((c, ms(moved))));
    }
    from(&to("17:45", 180), "17:47", "17:46:59", AlarmKind::PreheatDue);
    let as_planned = state(&without("17:41", "oven"));
    assert_eq!(as_planned.dial_due("oven", ms("17:41:59")), None);
    assert_eq!(as_planned.dial_due("oven", ms("17:42")), Some((200, ms("17:42"))));
}

/// The same of a step: put two minutes ahead it drifts, put three ahead it was moved.
#[test]
fn a_start_that_drifts_is_due_since_it_first_was() {
    let mix = super::testbed::key(&evening(), "dip", "mix", 0);
    let to = |start: &'static str| {
        with_plan(&[], "16:21", |p| {
            for block in p.blocks.iter_mut().filter(|b| b.key == mix) {
                block.start = super::testbed::minute(start);
            }
        })
    };
    assert_eq!(to("16:23").due_since(mix, ms("16:21")), Some(ms("16:20")));
    assert_eq!(to("16:24").due_since(mix, ms("16:21")), None);
    assert_eq!(to("16:24").due_since(mix, ms("16:24")), Some(ms("16:24")));
    assert_eq!(to("16:24").due_since(mix, ms("16:23:59")), None);
    assert_eq!(state(&[("16:21", "drop dip")]).due_since(mix, ms("16:30")), None);
    assert_eq!(state(&[("16:25", "start dip mix")]).due_since(mix, ms("16:30")), None);
}

#[test]
fn an_adopted_plan_is_kept_with_what_it_says_and_the_last_sixty_before_it() {
    let plan = Box::new(plan(&evening()));
    let adopt = |n: u64, moved: &str, why: &str| Mark {
        seq: n,
        at_ms: ms("16:00") + n as i64 * 1000,
        event: Event::PlanAdopted { plan: plan.clone(), moved: moved.into(), why: why.into() },
    };
    let told = |moved: &str, why: &str| {
        let state = fold(evening(), &[adopt(1, moved, why)]);
        state.facts().change.clone().map(|c| (c.moved, c.why))
    };
    assert_eq!(told("", ""), None);
    assert_eq!(told("PIE", ""), Some(("PIE".into(), String::new())));
    assert_eq!(told("", "late"), Some((String::new(), "late".into())));
    let many: Vec<Mark> = (1..=70).map(|n| adopt(n, "", "")).collect();
    let before = &fold(evening(), &many).facts().plans_before.clone();
    assert_eq!(before.len(), super::state::PLANS_KEPT);
    assert_eq!(before.last().map(|p| p.since_ms), Some(ms("16:00") + 69_000));
    // A plan that knows of the room's heat: nothing is outstanding any more.
    let hot = [("16:01", "air 35")];
    assert!(state(&hot).facts().stale.is_some());
    assert_eq!(with_plan(&hot, "16:02", |_| ()).facts().stale, None);
}

/// Mains late by so many minutes in the plan that is adopted.
fn late_mains(by: i32) -> Event {
    let mut plan = plan(&evening());
    let late = plan.services[1].due + by;
    for dish in &mut plan.services[1].dishes {
        (dish.1, dish.2) = (late, late);
    }
    adopted(plan)
}

fn adopting(rows: &[(&str, &str)], more: &[(&str, Event)]) -> State {
    let mut all = marks(rows);
    let more = more.iter().enumerate();
    all.extend(more.map(|(n, (at, event))| Mark {
        seq: 800 + n as u64,
        at_ms: ms(at),
        event: event.clone(),
    }));
    all.sort_by_key(|m| m.at_ms);
    fold(evening(), &all)
}

#[test]
fn only_dishes_that_are_waited_for_make_a_service_late() {
    let rows = on_time("18:40");
    let risk = |more: &[(&'static str, &'static str)], by: i32| {
        let rows: Rows = rows.iter().chain(more).copied().collect();
        adopting(&rows, &[("18:55", late_mains(by))]).facts().risks.get(&1).map(|r| r.late)
    };
    assert_eq!((risk(&[], 3), risk(&[], 2)), (Some(3), None));
    assert_eq!(risk(&[("18:50", "drop pie")], 6), None);
    assert_eq!(risk(&[("18:50", "serve pie")], 6), None);
    assert_eq!(risk(&[("18:50", "clear pie thrown_out")], 6), None);
    assert_eq!(risk(&[("18:50", "hold pie 0 board")], 6), Some(6));
    // By the plan that is on the screen already, too.
    let now = |more: &[(&'static str, Event)]| {
        let all = [&[("18:12", late_mains(6))], more].concat();
        adopting(&on_time("18:10"), &all).facts().risks.contains_key(&1)
    };
    let (drop, back) = (("18:13", event("drop pie")), ("18:14", event("back pie")));
    assert!(now(&[]) && !now(std::slice::from_ref(&drop)) && now(&[drop, back]));
    assert!(!now(&[("18:13", event("serve pie"))]));
    // A plan from elsewhere that speaks of services and dishes that are not there harms nothing.
    let odd = with_plan(&rows, "18:55", |p| {
        let mut line = p.services[1].clone();
        line.service = 2;
        line.due = 0;
        p.services.push(line);
        let (late, due) = (p.services[1].due + 30, p.services[1].due);
        p.services[1].dishes.push((99, late, due));
    });
    assert!(odd.facts().risks.is_empty(), "{:?}", odd.facts().risks);
    // Of two that are late, and one of them later, the later one is named; of two alike the first.
    let two = |soup: i32, dip: i32| {
        let late = with_plan(&[], "16:05", |p| {
            let due = p.services[0].due;
            p.services[0].dishes = vec![(0, due + soup, due), (1, due + dip, due)];
        });
        late.facts().risks.get(&0).map(|r| (r.late, r.dish))
    };
    assert_eq!((two(5, 9), two(9, 5), two(7, 7)), (Some((9, 1)), Some((9, 0)), Some((7, 0))));
}

/// Late, on time, late, on time: each time told, unless it had been seen since it came up.
#[test]
fn a_service_that_is_late_once_more_is_a_new_alarm_and_its_end_is_told_again() {
    let seen = |at: &'static str| (at, event("seen service_at_risk:mains::0"));
    let rows = on_time("18:10");
    let over = |more: &[(&str, Event)], at: &str| {
        let found = alarms(&adopting(&rows, more), ms(at));
        found.iter().any(|a| a.kind == AlarmKind::ServiceAtRisk && a.state == AlarmState::Returned)
    };
    let once = [("18:12", late_mains(6)), seen("18:12"), ("18:14", late_mains(0))];
    assert!(!over(&once, "18:15"), "it was seen as it came up");
    let twice = [&once[..], &[("18:16", late_mains(6)), ("18:18", late_mains(0))]].concat();
    assert!(over(&twice, "18:19"), "the second time it was not");
    let third = adopting(&rows, &twice[..4]);
    assert!(third.facts().relieved.is_empty() && third.facts().risks.contains_key(&1));
}

/// With no plan that says so, a service that gets later is another alarm each time that it is worse, whenever anybody
/// looks; and one that the plan has told is not told again.
#[test]
fn a_service_that_gets_later_is_another_alarm_without_a_plan_too() {
    let mut rows = on_time("18:00");
    rows.push(("19:05", "seen service_at_risk:mains::0"));
    let rises_after = |rows: &Rows, at: &str| {
        let found = alarms(&state(rows), ms(at));
        let found = found.into_iter().filter(|a| a.kind == AlarmKind::ServiceAtRisk);
        found.map(|a| (a.key, a.state)).collect::<Vec<_>>()
    };
    let rises = |at: &str| rises_after(&rows, at);
    let row = |level: u32, state| vec![(format!("service_at_risk:mains::{level}"), state)];
    assert_eq!(rises("19:09:59"), row(0, AlarmState::Acknowledged));
    assert_eq!(rises("19:10"), row(1, AlarmState::New));
    assert_eq!(rises("19:20"), row(2, AlarmState::New));
    assert_eq!(rises("20:30"), row(3, AlarmState::New));
    let told = history(evening(), &marks(&on_time("18:00")), ms("20:30"));
    let told = told.iter().filter(|r| r.kind == AlarmKind::ServiceAtRisk).map(|r| r.raised_ms);
    assert_eq!(told.collect::<Vec<_>>(), ["19:03", "19:10", "19:20", "19:40"].map(ms));
    let planned = adopting(&on_time("18:10"), &[("18:12", late_mains(15))]);
    let found = |at: &str| {
        let found = raised(&planned, ms(at));
        found.iter().filter(|a| a.kind == AlarmKind::ServiceAtRisk).count()
    };
    assert_eq!((found("19:15"), found("19:20")), (1, 2));
    // The pie's rest was left out while it bakes: the dish counts as finished, and is not.
    let mut left_out = rows.clone();
    left_out.insert(left_out.len() - 1, ("18:10", "skip pie rest"));
    assert_eq!(rises_after(&left_out, "19:10"), row(1, AlarmState::New));
    let cause = of(&state(&left_out), "19:10", AlarmKind::ServiceAtRisk).expect("raised").cause;
    assert!(cause.contains("ready at about 19:10"), "{cause}");
}

/// The dip goes on chilling until 18:08, and no plan says so. That it is ready by itself then is no mark: who looks
/// only later still hears that the guests wait, until it stands before them.
#[test]
fn what_gets_ready_late_by_itself_is_waited_for_until_it_is_served() {
    let rows: Rows =
        without("18:00", "dip").into_iter().chain([("17:08", "start dip chill")]).collect();
    let late = state(&rows);
    let told = |at: &str| of(&late, at, AlarmKind::ServiceAtRisk).map(|a| (a.key, a.raised_ms));
    let once = Some(("service_at_risk:starters::0".to_owned(), ms("18:03")));
    assert_eq!(
        ["18:02", "18:03", "18:09", "18:40"].map(told),
        [None, once.clone(), once.clone(), once]
    );
    let cause = |at: &str| of(&late, at, AlarmKind::ServiceAtRisk).expect("raised").cause;
    assert!(cause("18:05").contains("ready at about 18:05"), "{}", cause("18:05"));
    assert!(cause("18:30").contains("ready since 18:08"), "{}", cause("18:30"));
    let served: Rows = rows.into_iter().chain([("18:41", "serve dip")]).collect();
    assert_eq!(of(&state(&served), "18:42", AlarmKind::ServiceAtRisk), None);
}

#[test]
fn a_late_service_says_since_when_and_by_how_much() {
    let rows: Rows = without("18:40", "pie");
    let state = state(&rows);
    let at = |at: &str| of(&state, at, AlarmKind::ServiceAtRisk).expect("raised");
    let title = |time: &str| at(time).title;
    assert_eq!(title("19:03"), "MAINS about 3 min late");
    assert_eq!(title("19:09"), "MAINS about 9 min late");
    assert!(at("19:09").cause.contains("due since 9 min"), "{}", at("19:09").cause);
    let planned = adopting(&on_time("18:10"), &[("18:12", late_mains(6))]);
    let cause = |at: &str| of(&planned, at, AlarmKind::ServiceAtRisk).expect("raised").cause;
    assert!(cause("18:50").contains("due in 10 min"), "{}", cause("18:50"));
    assert!(cause("19:00").contains("due now"), "{}", cause("19:00"));
    assert!(cause("19:00:59").contains("due now"), "{}", cause("19:00:59"));
    assert!(cause("19:01").contains("due since 1 min"), "{}", cause("19:01"));
    let harm = |at: &str| of(&planned, at, AlarmKind::ServiceAtRisk).and_then(|a| a.harm_ms);
    assert_eq!((harm("18:59"), harm("19:00")), (Some(ms("19:00")), None));
}

/// The pie waits on the board from 18:50 on, by the plan until 19:00.
#[test]
fn past_its_best_is_told_half_way_if_that_is_short() {
    let rows = on_time("18:40");
    let board = |free: u32, most: u32, until: &str| {
        let until = super::testbed::minute(until);
        let mut plan = plan(&evening());
        plan.services[1].dishes[0].2 = until;
        let mut all = marks(&rows);
        all.push(Mark { seq: 900, at_ms: ms("18:41"), event: adopted(plan) });
        let mut evening = Evening::clone(&evening());
        let hold = &mut evening.sheets[3].recipe.holds[0];
        (hold.free_minutes, hold.most_minutes) = (free, most);
        fold(Arc::new(evening), &all)
    };
    // Eight minutes at the most, all of them planned: told at half of them, not five minutes before.
    from(&board(6, 8, "19:00"), "18:54", "18:53:59", AlarmKind::BestSoon);
    from(&board(6, 8, "19:00"), "18:58", "18:57:59", AlarmKind::BestPast);
    // Served just at the end of its free minutes: no alarm before, and the limit is their end.
    let just = board(10, 40, "19:00");
    assert!(!is_raised(&just, "18:59:59", AlarmKind::BestSoon));
    from(&just, "19:00", "18:59:59", AlarmKind::BestPast);
    // The plan serves it later than the service is due: it will be past its best by then.
    from(&board(15, 40, "19:10"), "19:00", "18:59:59", AlarmKind::BestSoon);
}

/// Fried food has no place to wait: ten minutes on the pass from when the first of it came out, at 17:50.
#[test]
fn what_has_no_hold_may_stand_ten_minutes_on_the_pass() {
    let state = state(&on_time("17:58"));
    from(&state, "18:00", "17:59:59", AlarmKind::BestPast);
}

/// 165 °F by the USDA chart of June 2012; 66 °C at 18:39, its bake over at 18:40, due at 19:00.
#[test]
fn undercooked_food_harms_at_its_service_and_at_once_on_the_table() {
    let at = |more: &[(&'static str, &'static str)], until: &str, at: &str| {
        let mut rows = on_time(until);
        rows.push(("18:39", "temp pie 66"));
        rows.extend(more);
        rows.sort_by_key(|r| ms(r.0));
        of(&fold(evening_by("us_consumer"), &marks(&rows)), at, AlarmKind::Undercooked)
    };
    let waits = at(&[], "18:40", "18:45").expect("raised");
    assert_eq!((waits.raised_ms, waits.harm_ms), (ms("18:40"), Some(ms("19:00"))));
    assert_eq!(at(&[], "18:40", "19:00").map(|a| a.harm_ms), Some(None), "due, and not hot");
    let served = at(&[], "19:00", "19:00").expect("raised");
    assert_eq!((served.rank, served.harm_ms), (Rank::Urgent, None));
    let early = at(&[("18:55", "serve pie")], "18:40", "18:57").expect("raised");
    assert_eq!((early.rank, early.harm_ms), (Rank::Urgent, None), "eaten before its service");
    // Measured again on the pass, after its service was due: raised then.
    let again = at(&[("19:05", "temp pie 60")], "18:40", "19:06").expect("raised");
    assert_eq!((again.raised_ms, again.harm_ms), (ms("18:40").max(again.raised_ms), None));
    // Thrown out or answered in the very minute it is silent.
    assert_eq!(at(&[("18:50", "clear pie thrown_out")], "18:40", "18:50"), None);
    let answered = [("18:40", "answer undercooked:pie:: kept_knowingly")];
    assert_eq!(at(&answered, "18:40", "18:45"), None);
}

fn made_up(key: &str, kind: AlarmKind, rank: Rank, safety: bool) -> Alarm {
    Alarm {
        key: key.into(),
        kind,
        rank,
        title: format!("title of {key}"),
        cause: String::new(),
        consequence: String::new(),
        remedy: "Do it.".into(),
        raised_ms: ms("18:00"),
        harm_ms: None,
        state: AlarmState::New,
        dish: Some(0),
        safety,
        root: None,
    }
}

#[test]
fn bundles_come_in_the_order_of_their_first_alarm_and_are_found_by_any_of_theirs() {
    let all = [
        made_up("overdone:soup::", AlarmKind::Overdone, Rank::Urgent, false),
        made_up("unsafe_soon:soup::", AlarmKind::UnsafeSoon, Rank::Warning, true),
        made_up("unsafe_soon:dip::", AlarmKind::UnsafeSoon, Rank::Warning, true),
        made_up("pull_now:soup::", AlarmKind::PullNow, Rank::Notice, false),
    ];
    let found = bundles(&evening(), &all, ms("18:01"));
    assert_eq!(found.iter().map(|b: &Bundle| b.safety).collect::<Vec<_>>(), [false, true]);
    let turned = [all[1].clone(), all[2].clone(), all[0].clone(), all[3].clone()];
    let found = bundles(&evening(), &turned, ms("18:01"));
    assert_eq!(found.iter().map(|b| b.safety).collect::<Vec<_>>(), [true, false]);
    for alarm in &all {
        let bundle = bundle_of(&evening(), &all, &alarm.key, ms("18:01")).expect("one of two");
        assert_eq!(bundle.safety, alarm.safety, "{}", alarm.key);
    }
    assert_eq!(bundle_of(&evening(), &all, "no such", ms("18:01")), None);
    let title = |alarms: &[Alarm]| bundles(&evening(), alarms, ms("18:01"))[0].title.clone();
    let done = |n: usize| Alarm { key: format!("{n}"), ..all[3].clone() };
    assert_eq!(title(&[done(1), done(2)]), "2 THINGS: SOUP and SOUP are done");
    assert_eq!(title(&[done(1), all[0].clone()]), "2 THINGS: SOUP is done; SOUP overdone");
}

/// The clock is set back by an hour: what was raised before that is an hour earlier by it, and no second alarm.
#[test]
fn in_the_history_a_clock_set_back_makes_no_second_alarm() {
    let mut rows = on_time("18:10");
    rows.push(("18:45", "setback 60"));
    let all = history(evening(), &marks(&rows), ms("17:50"));
    let pulls: Vec<i64> =
        all.iter().filter(|r| r.kind == AlarmKind::PullNow).map(|r| r.raised_ms).collect();
    assert_eq!(pulls, [ms("17:40:30")]);
}

/// The expected minutes of a step are its own, whatever its neighbours take.
#[test]
fn minutes_of_a_step_that_was_changed_move_its_alarm() {
    let state = in_evening(&on_time("17:42"), |e| {
        e.sheets[2].recipe.steps[0].ways[0].minutes = Minutes::exactly(9);
    });
    from(&state, "17:51:30", "17:51:29", AlarmKind::PullNow);
}
