//! Whole evenings of the demo party, played by its own cook against the real
//! planner, with and without faults: every plan adopted passes the check, the
//! reshuffles come to rest, no food passes a limit unannounced, and the cook is
//! not disturbed more often than the published figure for one operator.

use std::sync::Arc;

use chrono::NaiveDate;
use potwatch::kitchen::{Clockface, Evening, TimeOfDay};
use potwatch::plan::planner::{Budget, NoPlan, reshuffle};
use potwatch::plan::verify::verify;
use potwatch::plan::{Plan, Situation};
use potwatch::run::alarms::{Raised, alarms, history};
use potwatch::run::{
    AlarmKind, AlarmState, Event, Mark, State, fold, hand, marks, needs_reshuffle, view,
};
use potwatch::safety::Profile;
use potwatch::store::load::load_builtin;

const MINUTE_MS: i64 = 60_000;

fn demo() -> Arc<Evening> {
    let day = NaiveDate::from_ymd_opt(2026, 10, 24).expect("a day");
    Arc::new(load_builtin(Clockface::fixed(day, 0)).expect("the demo loads"))
}

/// The plan that the program would show.
fn planned(evening: &Evening, situation: &Situation, rounds: u64) -> Result<Plan, NoPlan> {
    let budget = Budget { seed: 1, rounds, stop: &|| false };
    reshuffle(evening, situation, &budget, &mut |_| ())
}

struct Party {
    state: State,
    marks: Vec<Mark>,
    reshuffles: Vec<(i64, String)>,
    faults: Vec<String>,
    /// How often there was none while a station was out of use.
    without_plan: usize,
    /// Reasons for another plan that the new plan did not take away.
    restless: Vec<String>,
}

impl Party {
    fn new(evening: Arc<Evening>) -> Self {
        let state = State::new(Arc::clone(&evening));
        let mut party = Self {
            state,
            marks: vec![],
            reshuffles: vec![],
            faults: vec![],
            without_plan: 0,
            restless: vec![],
        };
        let plan = planned(&evening, &Situation::default(), 1000).expect("the demo has a plan");
        party.mark(at("13:00"), adopted(plan));
        party
    }

    fn mark(&mut self, at_ms: i64, event: Event) {
        let mark = Mark { seq: self.marks.len() as u64 + 1, at_ms, event };
        self.state.apply(&mark);
        self.marks.push(mark);
    }

    /// Plans again if that is needed, as the live program does.
    fn reshuffle(&mut self, now_ms: i64) {
        let Some(why) = needs_reshuffle(&self.state, now_ms) else { return };
        self.reshuffles.push((now_ms, why.text.clone()));
        let evening = Arc::clone(self.state.evening());
        let situation = self.state.situation(now_ms);
        let clock = evening.face.label(self.state.minute(now_ms));
        let plan = match planned(&evening, &situation, 200) {
            Ok(plan) => plan,
            // Without the fryer nothing fries; the cook is told, and decides.
            Err(NoPlan::NoWay(_)) if !self.state.facts().down.is_empty() => {
                self.without_plan += 1;
                return;
            }
            Err(none) => {
                self.faults.push(format!("{clock} ({}): {none:?}", why.text));
                return;
            }
        };
        let profile = Profile::by_id(&evening.party.guidance).expect("known");
        if let Err(found) = verify(&evening, &situation, profile, &plan) {
            self.faults.extend(found.iter().map(|f| format!("{clock} ({}): {f}", why.text)));
        }
        self.mark(now_ms, adopted(plan));
        if let Some(why) = needs_reshuffle(&self.state, now_ms) {
            self.restless.push(format!("{clock} {}", why.text));
        }
    }

    /// Plays on until a time in steps of `tick_ms`; what `act` says is marked.
    fn play(
        &mut self,
        from: &str,
        until: &str,
        tick_ms: i64,
        mut act: impl FnMut(&State, i64) -> Option<Event>,
    ) {
        let mut now_ms = at(from);
        while now_ms <= at(until) {
            self.reshuffle(now_ms);
            for _ in 0..50 {
                let Some(event) = act(&self.state, now_ms) else { break };
                self.mark(now_ms, event);
            }
            now_ms += tick_ms;
        }
    }

    fn raised(&self, until: &str) -> Vec<Raised> {
        history(Arc::clone(self.state.party()), &self.marks, at(until))
    }
}

fn adopted(plan: Plan) -> Event {
    Event::PlanAdopted { plan: Box::new(plan), moved: String::new(), why: String::new() }
}

fn at(time: &str) -> i64 {
    let day = NaiveDate::from_ymd_opt(2026, 10, 24).expect("a day");
    Clockface::fixed(day, 0).ms_of(TimeOfDay::parse(time).expect("a time").0)
}

/// Marks of an evening so many tenths of which the cook forgets; alarms as a
/// careful cook sees to them.
fn forgetful(seed: u64, tenths: u64) -> impl FnMut(&State, i64) -> Option<Event> {
    move |state, now_ms| {
        let event = hand::next_mark(state, now_ms, seed)?;
        let step = match &event {
            Event::Done { id, .. } | Event::Started { id, .. } => format!("{id:?}"),
            _ => return Some(event),
        };
        // The same step is forgotten each time, until an alarm tells of it.
        let sum = step.bytes().fold(seed, |sum, b| sum.wrapping_mul(31).wrapping_add(b.into()));
        let told = alarms(state, now_ms).iter().any(|a| a.state == AlarmState::Acknowledged);
        (told || sum % 10 >= tenths).then_some(event)
    }
}

/// Alarms in each stretch of ten minutes from the first mark to the end, rising.
fn per_ten_minutes(party: &Party, raised: &[Raised]) -> Vec<usize> {
    let first = party.marks.first().map_or(0, |m| m.at_ms);
    let last = party.marks.last().map_or(0, |m| m.at_ms);
    let stretches = (last - first) / (10 * MINUTE_MS) + 1;
    let mut counts: Vec<usize> = (0..stretches)
        .map(|i| {
            let from = first + i * 10 * MINUTE_MS;
            raised.iter().filter(|r| (from..from + 10 * MINUTE_MS).contains(&r.raised_ms)).count()
        })
        .collect();
    counts.sort_unstable();
    counts
}

/// What must hold of any evening, however it went.
fn check_sound(party: &Party, what: &str) -> Vec<Raised> {
    assert_eq!(party.faults, Vec::<String>::new(), "{what}");
    assert_eq!(party.restless, Vec::<String>::new(), "{what}");
    let raised = party.raised("23:59");
    for past in raised.iter().filter(|r| r.kind == AlarmKind::UnsafePast) {
        let dish = past.key.split(':').nth(1);
        let warned = raised.iter().any(|r| {
            r.kind == AlarmKind::UnsafeSoon
                && r.key.split(':').nth(1) == dish
                && r.raised_ms < past.raised_ms
        });
        assert!(warned, "{what}: {past:?} came without a warning");
    }
    let again = fold(Arc::clone(party.state.party()), &party.marks);
    assert_eq!(again, party.state, "{what}: the journal gives another state");
    raised
}

fn all_served(party: &Party) -> bool {
    (0..party.state.evening().sheets.len())
        .all(|d| party.state.is_dropped(d) || party.state.is_out_of_hand(d))
}

/// The published figure: about one alarm in ten minutes is very likely
/// acceptable, two the most that can be managed, more than ten a flood (a
/// textbook's account of ISA-18.2 and IEC 62682; the standards were not seen).
#[test]
fn a_mostly_careful_cook_is_seldom_disturbed() {
    let mut counts = Vec::new();
    for seed in 0..6 {
        let mut party = Party::new(demo());
        party.play("13:00", "23:00", 10_000, |s, now| hand::next_mark(s, now, seed));
        let raised = check_sound(&party, &format!("seed {seed}"));
        assert!(all_served(&party) && party.state.facts().finished_ms.is_some(), "seed {seed}");
        assert!(!raised.iter().any(|r| r.kind == AlarmKind::UnsafePast), "seed {seed}");
        counts.extend(per_ten_minutes(&party, &raised));
    }
    counts.sort_unstable();
    let at = |share: usize| counts[(counts.len() - 1) * share / 100];
    let mean = counts.iter().sum::<usize>() as f64 / counts.len() as f64;
    println!(
        "alarms in ten minutes: median {}, 95th {}, worst {}, mean {mean:.2}",
        at(50),
        at(95),
        at(100)
    );
    assert!(mean <= 1.0, "{mean}");
    assert!(at(95) <= 2 && at(100) <= 10, "{counts:?}");
}

#[test]
fn a_forgetful_cook_is_told_and_nothing_is_flooded() {
    for seed in 10..13 {
        let mut party = Party::new(demo());
        party.play("13:00", "23:30", 10_000, forgetful(seed, 2));
        let raised = check_sound(&party, &format!("seed {seed}"));
        assert!(all_served(&party), "seed {seed}");
        let worst = per_ten_minutes(&party, &raised).pop().unwrap_or(0);
        println!("forgetful, seed {seed}: {} alarms, worst ten minutes {worst}", raised.len());
        assert!(worst <= 10, "seed {seed}: {worst}");
    }
}

/// The dip is put on the table early, and nobody marks anything from half past five on: the alarms
/// come, the plan drifts, and nothing falls over.
#[test]
fn a_cook_who_walks_away_finds_every_alarm() {
    let mut party = Party::new(demo());
    party.play("13:00", "17:30", 10_000, |s, now| hand::next_mark(s, now, 2));
    // Whatever the plan has out by then, this is.
    party.mark(at("17:31"), Event::Served { dish: "dip".into() });
    party.play("17:31", "20:30", MINUTE_MS, |_, _| None);
    let raised = check_sound(&party, "walked away");
    let shown = view(&party.state, at("20:30"));
    assert!(shown.alarms.is_sorted_by_key(|a| std::cmp::Reverse(a.rank)));
    assert!(raised.iter().any(|r| r.kind == AlarmKind::ServiceAtRisk));
    // And after eight hours of sleep with nothing planned in between, too.
    let woken = view(&party.state, at("28:30"));
    let past = |a: &&potwatch::run::Alarm| a.kind == AlarmKind::UnsafePast && a.key.contains("dip");
    assert_eq!(woken.alarms.iter().filter(past).count(), 1, "{:?}", woken.alarms);
}

/// Things go wrong that the cook tells of; each is a mark that is allowed.
#[test]
fn mishaps_are_planned_around() {
    let mishaps = [
        ("15:40", Event::StationDown { station: "fryer".into() }),
        ("16:10", Event::ServiceMoved { service: "mains".into(), to: 19 * 60 + 20 }),
        ("16:30", Event::DishDropped { dish: "crumble".into() }),
        ("16:50", Event::StationUp { station: "fryer".into() }),
        ("17:05", Event::ServingsChanged { dish: "sprouts".into(), servings: 12 }),
        ("17:10", Event::DishBack { dish: "crumble".into() }),
    ];
    let mut party = Party::new(demo());
    let mut from = "13:00";
    for (time, event) in mishaps {
        party.play(from, time, 10_000, |s, now| hand::next_mark(s, now, 4));
        let asked = marks::check(&party.state, &event, at(time));
        let fits = match &event {
            // The station's id depends on the demo's kitchen.
            Event::StationDown { station } | Event::StationUp { station } => {
                party.state.evening().station(station).is_some()
            }
            _ => true,
        };
        assert_eq!((asked, fits), (Ok(()), true), "{time}");
        party.mark(at(time), event);
        from = time;
    }
    let undo = marks::undo(&party.state).expect("something to undo");
    party.mark(at("17:10"), undo);
    assert!(party.state.is_dropped(8), "the crumble's return is undone");
    let redo = marks::redo(&party.state).expect("just undone");
    party.mark(at("17:10"), redo);
    assert!(!party.state.is_dropped(8));
    party.play("17:10", "23:30", 10_000, |s, now| hand::next_mark(s, now, 4));
    check_sound(&party, "mishaps");
    assert!(party.without_plan > 0, "the sprouts need the fryer");
    assert!(all_served(&party));
}
